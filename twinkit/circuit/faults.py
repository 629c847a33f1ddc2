"""Failures in flight: every single failure a wiring can have, pairs of them, and what each leaves running.

Failures are enumerated from the graph and their outcomes worked out from it. "Dead" means open; what is shorted or fails high says so.
The receiver needs its 5 V: without it there is no control. Habits of the trade: common practice, no source. [wiring_trade]
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations

from twinkit.circuit.facts import joined_packs, loads, receiver_feed
from twinkit.circuit.nets import nets
from twinkit.circuit.working import Condition, working

RESULTS = ("both", "left only", "right only", "no motor", "radio lost")

# What a note means, in the words a page prints.
NOTES = {
    "by sneak path": "The missing ground is replaced by a way through other parts; it works until that way opens too.",
    "burns": "The motor's full current tries to return through thin servo wires and the receiver; they burn.",
    "half capacity": "One of the joined packs carries everything; half the flight time is left.",
    "soft": "The controller cuts or reduces power by itself and may give some back after the throttle is closed.",
    "rare: common bus": "Both controllers see the same voltage, so one alone cuts only if they are set differently.",
    "running on is on record": "A controller should stop without a signal, but one is on record that ran on.",
    "fire risk": "A short across a pack: fire risk.",
    "over-voltage": "The receiver and all servos get more than they stand; diodes do not stop it.",
    "overspeed": "The motor races without its propeller; its controller stays live.",
    "stutters": "A motor with one wire open stutters and does not restart: close that throttle.",
    "logic may stop too": "Some controllers run their own logic from the same regulator; then this motor stops as well.",
    "no reserve left": "The receiver runs on its last source.",
    "joined regulators": "Regulators joined without diodes: what is left carries everything, and a live one can feed back into a dead one.",
    "two motors on one controller": "Two sensorless motors on one controller are never timed properly; whether they run is luck.",
}


@dataclass(frozen=True)
class Failure:
    """One thing that fails: conditions of parts and wires that open. `kind` groups like failures, `side` is where."""
    kind: str
    side: str
    words: str
    conditions: tuple[Condition, ...] = ()
    cut: tuple[str, ...] = ()

    @property
    def code(self):
        return f"{self.kind}: {self.cut[0] if len(self.cut) == 1 else self.side}"


@dataclass(frozen=True)
class Outcome:
    """What is left after a failure: one of RESULTS, notes (keys of NOTES), wires burnt, sources that still feed the receiver."""
    result: str
    notes: tuple[str, ...]
    burnt: tuple[str, ...]
    sources: tuple[str, ...]

    def words(self):
        """The outcome in plain sentences."""
        said = {"both": "Both motors run.", "left only": "Only the left motor runs.", "right only": "Only the right motor runs.",
                "no motor": "No motor runs; the radio works, you glide under control.",
                "radio lost": "The receiver has no supply: both motors are cut and there is no control."}[self.result]
        return " ".join((said, *(NOTES[note] for note in self.notes)))


def single_failures(wiring):
    """Every single failure of a wiring, in a fixed order: packs, controllers, receiver supply, motors, servo leads, power negatives."""
    return (*_pack_failures(wiring), *_controller_failures(wiring), *_supply_failures(wiring), *_motor_failures(wiring), *_lead_failures(wiring))


def _pack_failures(wiring):
    joined = {pack for group in joined_packs(wiring) for pack in group.packs}
    for part in wiring.of_kind("pack"):
        yield Failure("pack dead", part.side, f"the {part.name} dies or its positive lead opens", (Condition(part.id, "dead"),))
        if part.id in joined:
            yield Failure("cell shorted", part.side, f"a cell of the {part.name} shorts", (Condition(part.id, "cell shorted"),))


def _controller_failures(wiring):
    for part in wiring.of_kind("controller"):
        own = "" if part.opto else ", its regulator included"
        yield Failure("controller dead", part.side, f"the {part.name} dies{own}", (Condition(part.id, "dead"),))
        if not part.opto:
            yield Failure("bridge dead", part.side, f"the {part.name} no longer drives its motor, its regulator lives", (Condition(part.id, "bridge dead"),))
        yield Failure("bridge shorted", part.side, f"the bridge of the {part.name} shorts", (Condition(part.id, "bridge shorted"),))
        yield Failure("voltage cut", part.side, f"the {part.name} reaches its low-voltage cut-off", (Condition(part.id, "voltage cut"),))
    for wire in wiring.wires:
        if wire.role == "power -" and wire.b.name == "B-":
            part = wiring.part(wire.b.part)
            yield Failure("power negative open", part.side, f"the battery negative of the {part.name} opens", cut=(wire.id,))


def _supply_failures(wiring):
    for source in receiver_feed(wiring).sources:
        part = wiring.part(source.pin.part)
        if part.kind == "receiver_pack":
            yield Failure("supply dead", part.side, f"the {part.name} is flat or open", (Condition(part.id, "dead"),))
            continue
        name = f"the {part.name}" if part.kind == "regulator" else f"the regulator in the {part.name}"
        yield Failure("supply dead", part.side, f"{name} dies, all else lives", (Condition(part.id, "regulator dead"),))
        yield Failure("supply high", part.side, f"{name} fails with its full input on the 5 V wire", (Condition(part.id, "regulator high"),))
    for part in wiring.of_kind("diode"):
        yield Failure("diode open", part.side, f"the {part.name} opens", (Condition(part.id, "open"),))
    receiver = wiring.receiver
    yield Failure("receiver dead", receiver.side, "the receiver itself dies", (Condition(receiver.id, "dead"),))


def _motor_failures(wiring):
    for part in wiring.of_kind("motor"):
        yield Failure("motor dead", part.side, f"the {part.name} dies", (Condition(part.id, "dead"),))
        yield Failure("propeller lost", part.side, f"the {part.side} propeller is lost", (Condition(part.id, "propeller lost"),))
    for wire in wiring.wires:
        if wire.role == "phase":
            yield Failure("phase open", wire.side, f"{wire.name} opens", cut=(wire.id,))


def _lead_failures(wiring):
    kinds = {"signal": "signal open", "ground": "servo ground open", "5 V": "servo red open"}
    for wire in wiring.wires:
        if wire.role in kinds:
            yield Failure(kinds[wire.role], wire.side, f"one wire opens ({wire.name})", cut=(wire.id,))
    for name in wiring.connectors:
        contacts = wiring.contacts(name)
        if any(wire.role in kinds for wire in contacts):
            trunk = "trunk out" if name == "Y trunk plug" else "servo plug out" if name.endswith("servo plug") else "supply plug out"
            yield Failure(trunk, contacts[0].side, f"the {name} comes out", cut=tuple(wire.id for wire in contacts))


def outcome(wiring, *failures):
    """What one failure, or several, leave of a wiring. Of several the worst order counts: what the first burns or over-volts stays spoilt."""
    conditions = {condition for failure in failures for condition in failure.conditions}
    gone = {wire for failure in failures for wire in failure.cut}
    burnt, over = (), False
    for failure in failures if len(failures) > 1 else ():
        alone = working(wiring.without_wire(*failure.cut), failure.conditions)
        burnt, over = burnt + alone.burnt, over or alone.over_voltage
    if over:
        conditions.add(Condition(wiring.receiver.id, "dead"))
    sound, after = working(wiring), working(wiring.without_wire(*gone.union(burnt)), conditions)
    after = replace(after, burnt=tuple(dict.fromkeys(burnt + after.burnt)), over_voltage=over or after.over_voltage)
    return Outcome(_result(after), tuple(_notes(wiring, failures, conditions, sound, after)), after.burnt, after.sources)


def _result(state):
    if not state.radio:
        return "radio lost"
    if len(state.runs) == 2:
        return "both"
    return f"{state.runs[0]} only" if state.runs else "no motor"


def _notes(wiring, failures, conditions, sound, after):
    kinds, states = {failure.kind for failure in failures}, {condition.state for condition in conditions}
    if after.burnt:
        yield "burns"
    if after.dragged_down:
        yield "fire risk"
    if after.sneak_path and not sound.sneak_path:
        yield "by sneak path"
    if after.runs and any(_fewer_packs(sound, after, state) for state in after.controllers if state.drives):
        yield "half capacity"
    if "voltage cut" in states:
        yield "soft"
        if _common_bus(wiring):
            yield "rare: common bus"
    if "signal open" in kinds:
        yield "running on is on record"
    if after.over_voltage:
        yield "over-voltage"
    if "propeller lost" in states:
        yield "overspeed"
    if "phase open" in kinds:
        yield "stutters"
    if after.radio:
        lost = set(sound.sources) - set(after.sources)
        if any(c.state == "regulator dead" and wiring.part(c.part).kind == "controller" for c in conditions):
            yield "logic may stop too"
        if lost and len(after.sources) == 1:
            yield "no reserve left"
        if lost and receiver_feed(wiring).fight:
            yield "joined regulators"
    if after.runs and any(len(load.motors) > 1 for load in loads(wiring)):
        yield "two motors on one controller"


def _fewer_packs(sound, after, state):
    return len(state.packs) < len(sound.controller(state.part).packs) and after.controller(state.part).powered


def _common_bus(wiring):
    copper, controllers = nets(wiring), wiring.of_kind("controller")
    return any(copper.same(a.pin("B+"), b.pin("B+")) for a, b in combinations(controllers, 2))


def failure_table(wiring):
    """Every single failure with its outcome."""
    if "failures" not in wiring.worked_out:
        wiring.worked_out["failures"] = tuple((failure, outcome(wiring, failure)) for failure in single_failures(wiring))
    return wiring.worked_out["failures"]


def pairs(wiring):
    """Every pair of failures with its outcome, one after the other as they are asked for; pairs of one part or wire with itself are left out."""
    for first, second in combinations(single_failures(wiring), 2):
        same_part = {c.part for c in first.conditions} & {c.part for c in second.conditions}
        if not same_part and not set(first.cut) & set(second.cut):
            yield first, second, outcome(wiring, first, second)


@dataclass(frozen=True)
class SinglePoint:
    """One failure that loses everything: the radio, or both motors at once."""
    failure: Failure
    outcome: Outcome
    sentence: str


def single_points(wiring):
    """The single failures that lose the radio or both motors, each with a plain sentence."""
    found = []
    for failure, result in failure_table(wiring):
        if result.result in ("radio lost", "no motor"):
            start = {"radio lost": "the radio is lost and both motors with it", "no motor": "both motors stop; the radio stays"}[result.result]
            more = "".join(f" {NOTES[note]}" for note in result.notes)
            found.append(SinglePoint(failure, result, f"If {failure.words}, {start}.{more}"))
    return tuple(found)
