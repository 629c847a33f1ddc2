"""What works in a wiring: which packs are live, whether the receiver is fed, which controllers have power and signal, which motors can run.

Worked out from the nets and a set of conditions (a dead pack, an open bridge ...); nothing here knows a layout. Power may come back by any way
the graph offers, so a motor current that has lost its own negative is found on the thin servo grounds, which then count as burnt. [wiring_trade]
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from twinkit.circuit.facts import phases
from twinkit.circuit.nets import feeds, nets, outputs, receiver_pins, sources, wires_on_ways

# Conditions by kind of part. All open unless the word says shorted or high.
CONDITIONS = {
    "pack": ("dead", "unplugged", "cell shorted"),
    "receiver_pack": ("dead", "unplugged"),
    "controller": ("dead", "bridge dead", "bridge shorted", "regulator dead", "regulator high", "voltage cut"),
    "regulator": ("regulator dead", "regulator high"),
    "motor": ("dead", "propeller lost"),
    "diode": ("open",),
    "receiver": ("dead",),
}
_ROLES_THAT_BURN = ("ground", "5 V", "signal")


@dataclass(frozen=True, order=True)
class Condition:
    """A part in a state other than sound."""
    part: str
    state: str


@dataclass(frozen=True)
class ControllerWorking:
    """What one controller has: live packs that feed it, power by its own leads, a throttle signal, a motor that it can turn."""
    part: str
    side: str
    packs: tuple[str, ...]
    own_negative: bool
    signal: bool
    drives: tuple[str, ...]
    by_sneak_path: bool

    @property
    def powered(self):
        return bool(self.packs)


@dataclass(frozen=True)
class Working:
    """What works: the receiver, the sources that feed it, each controller, the sides whose motor can run."""
    radio: bool
    sources: tuple[str, ...]
    controllers: tuple[ControllerWorking, ...]
    runs: tuple[str, ...]
    sneak_path: bool
    burnt: tuple[str, ...]
    dragged_down: tuple[str, ...]
    over_voltage: bool

    def controller(self, part):
        """The state of the controller of that id."""
        return next(state for state in self.controllers if state.part == part)


def working(wiring, conditions=()):
    """What works in a wiring under the given conditions, after anything that burns has burnt.

    Arguments: wiring, a Wiring; conditions, Condition records. Returns a Working.
    """
    conditions = frozenset(conditions)
    for condition in conditions:
        kind = wiring.part(condition.part).kind
        if condition.state not in CONDITIONS.get(kind, ()):
            raise ValueError(f"{wiring.part(condition.part).name} cannot be {condition.state!r}: allowed are {', '.join(CONDITIONS.get(kind, ('nothing',)))}")
    burnt = ()
    while True:
        state = _State(wiring, conditions).settle()
        stray = _stray_wires(wiring, state, conditions)
        if not stray:
            return replace(state, burnt=burnt)
        burnt += stray
        wiring = wiring.without_wire(*stray)


def _stray_wires(wiring, state, conditions):
    """Thin wires that would carry a motor's current because its controller has lost its own negative."""
    found = []
    for controller in state.controllers:
        part = wiring.part(controller.part)
        idle = {"dead", "bridge dead", "voltage cut"} & {c.state for c in conditions if c.part == part.id}
        if controller.powered and not controller.own_negative and not idle:
            for pack in controller.packs:
                ways = wires_on_ways(wiring, part.pin("B-"), wiring.part(pack).pin("-"))
                found += [wire.id for wire in ways if wire.role in _ROLES_THAT_BURN]
    return tuple(dict.fromkeys(found))


class _State:
    """One pass over the graph with fixed wires."""

    def __init__(self, wiring, conditions):
        self.wiring = wiring
        self.states = {}
        for condition in conditions:
            self.states.setdefault(condition.part, set()).add(condition.state)
        self.copper, self.ground = nets(wiring), nets(wiring, "ground")
        self.plus, self.minus = receiver_pins(wiring)

    def is_in(self, part, *states):
        return bool(self.states.get(part, set()) & set(states))

    def settle(self):
        present = [pack for pack in self.wiring.of_kind("pack") if not self.is_in(pack.id, "dead", "unplugged")]
        dragged = [pack for pack in present if self.shorted(pack)]
        self.live = [pack for pack in present if pack not in dragged]
        feeding = tuple(source for source in sources(self.wiring) if self.feeds_receiver(source))
        over = any(self.is_in(source.part, "regulator high") for source in feeding) or self.pack_on_rail()
        radio = bool(feeding) and not over and not self.is_in("receiver", "dead") and not self.ground.same(self.plus, self.minus)
        controllers = tuple(self.controller(part, radio) for part in self.wiring.of_kind("controller"))
        runs = tuple(motor.side for motor in self.wiring.of_kind("motor") if any(motor.id in state.drives for state in controllers))
        sneak = radio and (not any(self.copper.same(source.minus, self.minus) for source in feeding)
                           or any(state.by_sneak_path for state in controllers if state.signal))
        return Working(radio, tuple(source.part for source in feeding), controllers, runs, sneak, (), tuple(pack.id for pack in dragged), over)

    def shorted(self, pack):
        """Whether something pulls this pack down: a short across it, a bridge shorted on its bus, a shorted cell of a pack joined to it."""
        plus, minus = pack.pin("+"), pack.pin("-")
        if self.ground.same(plus, minus) or self.is_in(pack.id, "cell shorted"):
            return True
        across = [(part.pin("B+"), part.pin("B-")) for part in self.wiring.of_kind("controller") if self.is_in(part.id, "bridge shorted")]
        across += [(part.pin("+"), part.pin("-")) for part in self.wiring.of_kind("pack") if self.is_in(part.id, "cell shorted")]
        return any(self.copper.same(plus, high) and self.ground.same(minus, low) for high, low in across)

    def packs_across(self, plus, minus):
        """Live packs that feed a pair of pins; the negative may come back by any way."""
        return tuple(pack for pack in self.live if self.copper.same(pack.pin("+"), plus) and self.ground.same(pack.pin("-"), minus))

    def feeds_receiver(self, source):
        if self.is_in(source.part, "dead", "unplugged", "regulator dead"):
            return False
        if source.fed_plus is not None and not self.packs_across(source.fed_plus, source.fed_minus):
            return False
        open_diodes = {part for part, states in self.states.items() if "open" in states}
        way = feeds(self.wiring, self.copper, source.plus, self.plus, open_diodes)
        return bool(way) and self.ground.same(source.minus, self.minus)

    def pack_on_rail(self):
        return any(self.copper.same(pack.pin("+"), self.plus) for pack in self.live)

    def controller(self, part, radio):
        packs = self.packs_across(part.pin("B+"), part.pin("B-"))
        own = any(self.copper.same(pack.pin("-"), part.pin("B-")) for pack in packs)
        signal = radio and self.has_signal(part)
        able = packs and signal and not self.is_in(part.id, "dead", "bridge dead", "bridge shorted", "voltage cut")
        drives = tuple(link.motor for link in phases(self.wiring) if link.one_to_one and link.controllers == (part.id,)
                       and not self.is_in(link.motor, "dead", "propeller lost")) if able else ()
        sneak = not self.copper.same(part.pin("SG"), self.minus) and self.ground.same(part.pin("SG"), self.minus)
        return ControllerWorking(part.id, part.side, tuple(pack.id for pack in packs), own, signal, drives, sneak)

    def has_signal(self, part):
        """One throttle output on the signal wire, a ground to compare it with, and for an opto controller 5 V on its input."""
        net = self.copper.net(part.pin("S"))
        reached = [pin for pin in outputs(self.wiring) if pin in net]
        clean = all(self.wiring.level(pin) == "signal" for pin in net)
        fed = not part.opto or self.copper.same(part.pin("V5"), self.plus)
        return clean and fed and len(reached) == 1 and "throttle" in reached[0].name and self.ground.same(part.pin("SG"), self.minus)
