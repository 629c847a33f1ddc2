"""The meter sheet: what a multimeter must show between pairs of pins of this very layout, with every pack unplugged.

`read` tells what a wiring shows, so a sheet made from the wiring as meant and read on the wiring as built finds the differences.
"beep" is less than about an ohm. A reading in kilohms, or on the diode range, through a regulator or bridge is normal and is no beep.
Common practice, no source. [wiring_trade]
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from twinkit.circuit.facts import changed, facts, phases
from twinkit.circuit.nets import nets, receiver_pins, throttle_outputs
from twinkit.circuit.parts import Pin, part_id

READINGS = ("beep", "no beep", "normal reading", "right way", "wrong way", "nothing")

NORMAL = {
    "supply": "rises as the capacitors charge and settles above 1 kilohm; on the diode range with the probes reversed about 0.5 to 1.0 V",
    "rail": "no beep; settles to some kilohms",
    "phase": "above 1 kilohm; on the diode range a diode reading one way",
    "diode": "on the diode range about 0.2 to 0.5 V, red probe first; nothing with the probes exchanged",
}
BEFORE = ("Propellers off. Packs out. One probe pair, the continuity range first; repeat the sheet after every rewire.",
          "First power through a current-limited supply or a 21 W car lamp in series.")


@dataclass(frozen=True)
class MeterLine:
    """One measurement: probes (red on a), plugs pulled for it besides the packs, what must be read, and what another reading reveals."""
    kind: str
    a: Pin
    b: Pin
    pulled: tuple[str, ...]
    expected: str
    normal: str
    reveals: str

    def probes(self, wiring):
        """Where the probes go and what is pulled: the name of this line, the same whatever it reads."""
        out = f", with out: {', '.join(self.pulled)}" if self.pulled else ""
        return f"{wiring.words(self.a)} to {wiring.words(self.b)}{out}"

    def words(self, wiring):
        """The line as it is read aloud."""
        note = f" ({self.normal})" if self.normal else ""
        return f"{self.probes(wiring)}: {self.expected}{note}"


_REVEALS = {
    "negatives": "No beep with one power lead or joined packs: a power negative without contact. With separate packs: a servo ground without contact.",
    "negatives apart": "A beep with separate packs and a servo plug out: the negatives are joined somewhere else.",
    "positives": "With separate packs a beep means that they are joined in parallel.",
    "supply": "A beep is a short across the battery leads: do not plug in.",
    "polarity": "No beep: no contact, or + and - exchanged at the plug.",
    "pack polarity": "The plug of the pack itself is the wrong way round, or in the wrong place. Measured in volts on the pack, red probe first.",
    "source red": "A beep where the red wire must be insulated: two sources would fight. No beep where it must feed: the receiver gets nothing.",
    "red on battery": "A beep: battery voltage would reach the receiver and servos.",
    "red stub": "A beep: the cut red wire touches the negative side; its regulator would be shorted.",
    "ground": "No beep: no servo ground, or the plug upside down.",
    "ground alone": "No beep: this servo ground is open and another way hides it.",
    "signal": "No beep: open signal, wrong output, or plug upside down.",
    "signals apart": "With one output each a beep means joined outputs; with a Y lead no beep means an open branch.",
    "signal clear": "A beep: the signal wire is on the ground wire or on the red wire.",
    "cross signal": "A beep: the throttle plugs of left and right are exchanged.",
    "outputs": "A beep: two outputs are joined and damage each other.",
    "isolation": "Tells whether the controller is opto-isolated, as the layout says.",
    "windings": "No beep or unequal readings: a broken winding. Three equal readings are right.",
    "motor wires": "No beep: a motor wire has no contact.",
    "phases apart": "A beep: two motor wires touch, or the controller is damaged.",
    "mount": "A beep: a screw or a chafed wire touches the winding.",
    "phase on negative": "A beep: a chafed wire, or a shorted bridge.",
    "motors apart": "A beep: wires of the two motors are mixed up.",
    "rail": "A beep: short on the receiver's supply.",
    "regulator in": "No beep: no feed, or + and - exchanged.",
    "regulator out": "No beep: the regulator does not reach the receiver, or its plug is the wrong way round.",
    "diode": "No reading this way: diode the wrong way round or no contact. A beep: bridged.",
}


@dataclass(frozen=True)
class SeenBy:
    """How a wiring as built shows that it is not the wiring as meant: names of changed facts, meter lines that differ, motors that turn the other way."""
    facts: tuple[str, ...]
    lines: tuple[MeterLine, ...]
    turning: tuple[str, ...]

    @property
    def seen(self):
        return bool(self.facts or self.lines or self.turning)


def sheet(wiring):
    """All lines for a wiring, with the reading each must give."""
    bench, lines = _Bench(wiring), []
    for group in (_power, _receiver, _servo_leads, _motors):
        for kind, a, b, pulled, normal in group(wiring):
            expected = bench.read(kind, a, b, pulled)
            lines.append(MeterLine(kind, a, b, pulled, expected, NORMAL[normal] if expected == "normal reading" else "", _REVEALS[kind]))
    return tuple(lines)


def read(wiring, line):
    """What a line shows on a wiring, for example one with a mistake in it."""
    return _Bench(wiring).read(line.kind, line.a, line.b, line.pulled)


def readings(built, lines):
    """What every line of a sheet shows on the wiring as built; "nothing" where a probe finds no part."""
    known, bench = set(built.pins), _Bench(built)
    return tuple(bench.read(line.kind, line.a, line.b, line.pulled) if {line.a, line.b} <= known else "nothing" for line in lines)


def differences(lines, built):
    """Lines of a sheet that read otherwise on the wiring as built, each with that reading. Lines on a part that is not there are passed over."""
    known = set(built.pins)
    return tuple((line, shown) for line, shown in zip(lines, readings(built, lines)) if shown != line.expected and {line.a, line.b} <= known)


def direction_test(meant, built):
    """Motors that turn the other way than meant when each is run alone, for a moment, propeller off. No meter shows this."""
    senses = {link.motor: link.sense for link in phases(meant)}
    return tuple(link.motor for link in phases(built) if link.sense and link.sense == -senses.get(link.motor, 0))


def seen_by(meant, built):
    """What shows the difference between a wiring as meant and as built: the facts, the meter, the direction test."""
    return SeenBy(changed(facts(meant), facts(built)), tuple(line for line, _ in differences(sheet(meant), built)), direction_test(meant, built))


class _Bench:
    """A wiring on the bench with every pack out; keeps the nets for each set of pulled plugs."""

    def __init__(self, wiring):
        self.wiring, self.bare, self.kept = wiring, wiring, {}
        for part in wiring.of_kind("pack") + wiring.of_kind("receiver_pack"):
            self.bare = self.bare.without_part(part.id)

    def joined(self, pulled):
        if pulled not in self.kept:
            apart = self.bare.unplugged(*(name for name in pulled if name in self.bare.connectors))
            self.kept[pulled] = nets(apart, "beeping"), nets(apart)
        return self.kept[pulled]

    def read(self, line_kind, a, b, pulled):
        if line_kind == "pack polarity":
            ends = {pin for wire in self.wiring.wires_at(a) if wire.connectors for pin in (wire.a, wire.b)}
            ends = ends if self.wiring.wires_at(Pin(a.part, "-")) else set()
            return "right way" if b in ends else "wrong way" if ends else "nothing"
        beeping, copper = self.joined(pulled)
        if beeping.same(a, b):
            return "beep"
        for part in self.bare.parts:
            for first, second, kind in part.inner:
                if kind == "bridge" and (beeping.same(a, first) and beeping.same(b, second) or beeping.same(a, second) and beeping.same(b, first)):
                    return "normal reading"
                if kind == "diode" and copper.same(a, first) and copper.same(b, second):
                    return "normal reading"
        return "no beep"


def _servo_plugs(wiring):
    return tuple(name for name in wiring.connectors if name.endswith("servo plug"))


def _power(wiring):
    controllers, sockets = wiring.of_kind("controller"), wiring.of_kind("socket")
    for pack in wiring.of_kind("pack"):
        yield "pack polarity", pack.pin("+"), wiring.part(part_id(pack.side, "socket")).pin("+"), (), "supply"
    for pack in wiring.of_kind("receiver_pack"):
        yield "pack polarity", pack.pin("+"), receiver_pins(wiring)[0], (), "supply"
    for socket in sockets:
        yield "supply", socket.pin("+"), socket.pin("-"), (), "supply"
        for part in controllers:
            if len(sockets) == 1 or len(controllers) == 1 or part.side == socket.side or nets(wiring).same(socket.pin("+"), part.pin("B+")):
                yield "polarity", socket.pin("+"), part.pin("B+"), (), "supply"
                yield "polarity", socket.pin("-"), part.pin("B-"), _servo_plugs(wiring), "supply"
    for first, second in combinations(controllers, 2):
        yield "negatives", first.pin("B-"), second.pin("B-"), (), "supply"
        for plug in _servo_plugs(wiring):
            yield "negatives apart", first.pin("B-"), second.pin("B-"), (plug,), "supply"
        yield "positives", first.pin("B+"), second.pin("B+"), (), "supply"
    for part in wiring.of_kind("regulator"):
        feed = wiring.wire("regulator_in_plus").a.part
        yield "regulator in", Pin(feed, "+"), part.pin("in+"), (), "supply"
        yield "regulator in", Pin(feed, "-"), part.pin("in-"), _servo_plugs(wiring) + ("stand-alone regulator plug",), "supply"
        yield "supply", part.pin("in+"), part.pin("in-"), (), "supply"


def _receiver(wiring):
    plus, minus = receiver_pins(wiring)
    yield "rail", plus, minus, (), "rail"
    for part in wiring.of_kind("controller"):
        yield "red on battery", plus, part.pin("B+"), (), "supply"
        if wiring.of_kind("diode"):
            yield "diode", part.pin("V5"), plus, (), "diode"
        else:
            yield "source red", plus, part.pin("V5"), (), "supply"
        yield "red stub", part.pin("V5"), part.pin("SG"), _servo_plugs(wiring), "rail"
    for part in wiring.of_kind("regulator"):
        yield "regulator out", part.pin("out+"), plus, (), "supply"
        yield "regulator out", part.pin("out-"), minus, _servo_plugs(wiring), "supply"
        yield "red on battery", plus, part.pin("in+"), (), "supply"


def _servo_leads(wiring):
    controllers, (plus, minus) = wiring.of_kind("controller"), receiver_pins(wiring)
    plugs = _servo_plugs(wiring)
    for part in controllers:
        own = "servo plug" if part.side == "centre" else f"{part.side} servo plug"
        others = tuple(name for name in plugs if name != own) + tuple(name for name in wiring.connectors if name == "stand-alone regulator plug")
        yield "ground", minus, part.pin("SG"), (), "rail"
        if others:
            yield "ground alone", minus, part.pin("SG"), others, "rail"
        yield "isolation", part.pin("B-"), part.pin("SG"), plugs, "supply"
        yield "signal clear", part.pin("S"), minus, (), "rail"
        yield "signal clear", part.pin("S"), plus, (), "rail"
        for output in throttle_outputs(wiring):
            mine = len(throttle_outputs(wiring)) == 1 or output.name.startswith(part.side)
            yield "signal" if mine else "cross signal", output, part.pin("S"), (), "rail"
    for first, second in combinations(controllers, 2):
        yield "signals apart", first.pin("S"), second.pin("S"), (), "rail"
    for first, second in combinations(throttle_outputs(wiring), 2):
        yield "outputs", first, second, plugs, "rail"


def _motors(wiring):
    controllers, motors = wiring.of_kind("controller"), wiring.of_kind("motor")
    bullets = tuple(name for name in wiring.connectors if name.endswith("motor plugs"))
    for motor in motors:
        for first, second in combinations("123", 2):
            yield "windings", motor.pin(first), motor.pin(second), bullets, "phase"
        hiding = tuple(name for name in bullets if not name.startswith(motor.side)) if len(controllers) == 1 else ()
        for number in "123":
            yield "motor wires", wiring.wire(f"{motor.side}_phase_{number}").a, motor.pin(number), hiding, "phase"
        yield "mount", motor.pin("1"), motor.pin("mount"), (), "phase"
    for part in controllers:
        for first, second in combinations(("PH1", "PH2", "PH3"), 2):
            yield "phases apart", part.pin(first), part.pin(second), bullets, "phase"
        for phase in ("PH1", "PH2", "PH3"):
            yield "phase on negative", part.pin(phase), part.pin("B-"), bullets, "phase"
    for first, second in combinations(motors, 2):
        if len(controllers) == 2:
            yield "motors apart", first.pin("1"), second.pin("1"), (), "phase"
