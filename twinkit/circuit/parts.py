"""Parts, pins, wires and the wiring of a twin: immutable, topology only.

A part is a thing with pins; a wire joins two pins; a connector is a group of wires that come apart together. What a part joins
inside itself is written as joints. Sides are as seen from the cockpit. Habits of wiring: [wiring_trade].
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cached_property
from typing import NamedTuple

SIDES = ("left", "right", "centre")

# What a wire is for; a drawing takes its colour from this.
ROLES = ("power +", "power -", "signal", "5 V", "ground", "phase", "balance")

# What a pin belongs to. A sound net never mixes two of these.
LEVELS = ("battery +", "5 V", "minus", "signal", "phase", "mount", "balance")

# How two pins of one part are joined inside it.
#   copper     a plain joint (the branches of a Y lead, the rails of a receiver)
#   ground     the ground trace of a controller or regulator; made for small currents
#   winding    a motor winding; a meter beeps through it
#   bridge     capacitors and transistors; a meter shows a reading, no beep
#   regulator  input + to output +; a meter shows kilohms or a diode at most
#   diode      conducts from the first pin to the second only
JOINTS = ("copper", "ground", "winding", "bridge", "regulator", "diode")


class Pin(NamedTuple):
    """One terminal of one part."""
    part: str
    name: str

    def __str__(self):
        return f"{self.part}.{self.name}"


@dataclass(frozen=True)
class Joint:
    """A connection inside a part, between two of its pin names."""
    first: str
    second: str
    kind: str


@dataclass(frozen=True)
class Part:
    """A thing with pins. `levels` gives the level of each pin, `joints` what is joined inside."""
    id: str
    kind: str
    side: str
    name: str
    levels: tuple[tuple[str, str], ...]
    joints: tuple[Joint, ...] = ()
    opto: bool = False

    def pin(self, name):
        """The pin of that name; refuses a name this part does not have."""
        if name not in self._level_of:
            raise ValueError(f"{self.name} has no pin {name!r}: it has {', '.join(self._level_of)}")
        return Pin(self.id, name)

    def has_pin(self, name):
        return name in self._level_of

    def level(self, name):
        """The level (one of LEVELS) of a pin name."""
        return self._level_of[name]

    @cached_property
    def _level_of(self):
        return dict(self.levels)

    @cached_property
    def pins(self):
        return tuple(Pin(self.id, name) for name, _ in self.levels)

    @cached_property
    def inner(self):
        """The joints as (pin, pin, kind)."""
        return tuple((self.pin(joint.first), self.pin(joint.second), joint.kind) for joint in self.joints)


@dataclass(frozen=True)
class Wire:
    """One wire between two pins. `connectors` are the plugs it passes through."""
    id: str
    a: Pin
    b: Pin
    role: str
    side: str
    name: str
    connectors: tuple[str, ...] = ()


def _missing(what, given, known):
    near = get_close_matches(given, known, n=1)
    hint = f"; nearest is {near[0]!r}" if near else ""
    return ValueError(f"this wiring has no {what} {given!r}{hint}")


@dataclass(frozen=True)
class Wiring:
    """A whole wiring. Every method returns a fact or a changed copy; nothing is changed in place.

    `insulated` are the pins whose cut wire end is insulated; `declared` are joins made on purpose ("parallel", "series", "paralleled regulators").
    """
    parts: tuple[Part, ...]
    wires: tuple[Wire, ...]
    insulated: frozenset[Pin] = frozenset()
    declared: frozenset[str] = frozenset()

    def __post_init__(self):
        for what, things in (("part", self.parts), ("wire", self.wires)):
            ids = [thing.id for thing in things]
            if len(set(ids)) != len(ids):
                twice = sorted({i for i in ids if ids.count(i) > 1})
                raise ValueError(f"two {what}s share the id {', '.join(twice)}: every id is used once")
        for wire in self.wires:
            if wire.role not in ROLES:
                raise ValueError(f"wire {wire.id!r} has the role {wire.role!r}: allowed are {', '.join(ROLES)}")
            for pin in (wire.a, wire.b):
                self.part(pin.part).pin(pin.name)

    @cached_property
    def worked_out(self):
        """A place for what has been worked out from this wiring, so that it is done once."""
        return {}

    @cached_property
    def _parts(self):
        return {part.id: part for part in self.parts}

    @cached_property
    def _wires(self):
        return {wire.id: wire for wire in self.wires}

    # -- looking ------------------------------------------------------------------------------------------------------

    def part(self, part_id):
        """The part of that id."""
        if part_id not in self._parts:
            raise _missing("part", part_id, self._parts)
        return self._parts[part_id]

    def wire(self, wire_id):
        """The wire of that id."""
        if wire_id not in self._wires:
            raise _missing("wire", wire_id, self._wires)
        return self._wires[wire_id]

    def has_wire(self, wire_id):
        return wire_id in self._wires

    def of_kind(self, kind):
        """All parts of one kind, in the order of the wiring."""
        return tuple(part for part in self.parts if part.kind == kind)

    @property
    def receiver(self):
        return self.of_kind("receiver")[0]

    @property
    def pins(self):
        return tuple(pin for part in self.parts for pin in part.pins)

    @property
    def connectors(self):
        """Names of all connectors, in the order in which they are first met."""
        return tuple(dict.fromkeys(name for wire in self.wires for name in wire.connectors))

    def level(self, pin):
        """The level (one of LEVELS) of a pin."""
        return self.part(pin.part).level(pin.name)

    def words(self, pin):
        """The pin in plain words, for a table or a drawing."""
        return f"{self.part(pin.part).name}, {pin_words(pin.name)}"

    def wires_at(self, pin):
        """All wires that end on a pin."""
        return tuple(wire for wire in self.wires if pin in (wire.a, wire.b))

    def contacts(self, connector):
        """All wires that pass through one connector."""
        if connector not in self.connectors:
            raise _missing("connector", connector, self.connectors)
        return tuple(wire for wire in self.wires if connector in wire.connectors)

    # -- changed copies -----------------------------------------------------------------------------------------------

    def without_wire(self, *wire_ids):
        """The wiring with these wires cut."""
        gone = {self.wire(wire_id).id for wire_id in wire_ids}
        return replace(self, wires=tuple(wire for wire in self.wires if wire.id not in gone))

    def with_wire(self, *wires):
        """The wiring with these wires added."""
        return replace(self, wires=self.wires + wires)

    def without_part(self, part_id):
        """The wiring with a part taken out, its wires with it."""
        gone = self.part(part_id).id
        return replace(self, parts=tuple(part for part in self.parts if part.id != gone),
                       wires=tuple(wire for wire in self.wires if gone not in (wire.a.part, wire.b.part)),
                       insulated=frozenset(pin for pin in self.insulated if pin.part != gone))

    def with_part(self, part):
        """The wiring with a part added, not yet wired."""
        return replace(self, parts=self.parts + (part,))

    def unplugged(self, *connectors):
        """The wiring with these connectors pulled apart."""
        gone = [wire.id for connector in connectors for wire in self.contacts(connector)]
        return self.without_wire(*gone)

    def rewired(self, wire_id, a=None, b=None):
        """The wiring with one or both ends of a wire moved to another pin."""
        old = self.wire(wire_id)
        new = replace(old, a=a or old.a, b=b or old.b)
        return replace(self, wires=tuple(new if wire.id == wire_id else wire for wire in self.wires))

    def bared(self, pin):
        """The wiring with the insulation of a cut wire end missing."""
        if pin not in self.insulated:
            raise ValueError(f"{self.words(pin)} is not an insulated end, so it cannot be bared")
        return replace(self, insulated=self.insulated - {pin})

    def declaring(self, join):
        """The wiring with one more join declared as made on purpose."""
        return replace(self, declared=self.declared | {join})


_PIN_WORDS = {
    "+": "positive", "-": "negative", "B+": "battery positive", "B-": "battery negative", "S": "signal", "V5": "red servo wire",
    "SG": "black servo wire", "PH1": "motor wire 1", "PH2": "motor wire 2", "PH3": "motor wire 3", "1": "wire 1", "2": "wire 2", "3": "wire 3",
    "mount": "mount", "in+": "input positive", "in-": "input negative", "out+": "output positive", "out-": "output negative",
    "V": "+", "G": "-", "A": "side of the regulator", "K": "side of the receiver",
    "BAL+": "balance lead, outer red", "BAL-": "balance lead, outer black", "BAL": "balance lead, between the cells",
}


def pin_words(name):
    """A pin name in plain words; `channel.S` reads "channel signal"."""
    head, _, tail = name.rpartition(".")
    return f"{head.replace('_', ' ')} {_PIN_WORDS[tail]}".strip()


# -- the parts of the trade ---------------------------------------------------------------------------------------------

def _sided(side, what):
    return what if side == "centre" else f"{side} {what}"


def part_id(side, what):
    """The id of a part: what it is, with the side in front unless it sits in the centre."""
    return _sided(side, what).replace(" ", "_")


def pack(side):
    """A flight pack with its main lead and balance lead."""
    return Part(part_id(side, "pack"), "pack", side, _sided(side, "pack"),
                (("+", "battery +"), ("-", "minus"), ("BAL+", "battery +"), ("BAL-", "minus"), ("BAL", "balance")),
                (Joint("+", "BAL+", "copper"), Joint("-", "BAL-", "copper")))


def socket(side):
    """The aeroplane's half of a pack plug."""
    return Part(part_id(side, "socket"), "socket", side, f"{_sided(side, 'pack plug')}, aeroplane's half", (("+", "battery +"), ("-", "minus")))


def power_joint():
    """The place where the leads of joined packs meet."""
    return Part("power_joint", "joint", "centre", "power joint", (("+", "battery +"), ("-", "minus")))


def controller(side, opto):
    """A speed controller. With `opto` it has no regulator and its signal side is isolated: the red wire is then an input."""
    levels = (("B+", "battery +"), ("B-", "minus"), ("PH1", "phase"), ("PH2", "phase"), ("PH3", "phase"),
              ("S", "signal"), ("V5", "5 V"), ("SG", "minus"))
    joints = [Joint("B+", "B-", "bridge"), Joint("V5", "SG", "bridge")]
    joints += [Joint(phase, pole, "bridge") for phase in ("PH1", "PH2", "PH3") for pole in ("B+", "B-")]
    if not opto:
        joints += [Joint("B-", "SG", "ground"), Joint("B+", "V5", "regulator")]
    return Part(part_id(side, "controller"), "controller", side, _sided(side, "controller"), levels, tuple(joints), opto)


def motor(side):
    """A three-wire motor on its mount."""
    return Part(part_id(side, "motor"), "motor", side, _sided(side, "motor"),
                (("1", "phase"), ("2", "phase"), ("3", "phase"), ("mount", "mount")),
                (Joint("1", "2", "winding"), Joint("2", "3", "winding"), Joint("1", "3", "winding")))


def receiver(outputs):
    """A receiver with the named outputs and a battery port; all + pins are one rail, all - pins another."""
    ports = outputs + ("battery",)
    levels = [(f"{port}.S", "signal") for port in outputs]
    levels += [(f"{port}.{pole}", level) for port in ports for pole, level in (("V", "5 V"), ("G", "minus"))]
    joints = [Joint(f"battery.{pole}", f"{port}.{pole}", "copper") for port in outputs for pole in ("V", "G")]
    joints.append(Joint("battery.V", "battery.G", "bridge"))
    return Part("receiver", "receiver", "centre", "receiver", tuple(levels), tuple(joints))


def regulator():
    """A stand-alone regulator (BEC)."""
    return Part("regulator", "regulator", "centre", "stand-alone regulator",
                (("in+", "battery +"), ("in-", "minus"), ("out+", "5 V"), ("out-", "minus")),
                (Joint("in-", "out-", "ground"), Joint("in+", "out+", "regulator"), Joint("in+", "in-", "bridge"), Joint("out+", "out-", "bridge")))


def receiver_pack():
    """A small pack for the receiver alone."""
    return Part("receiver_pack", "receiver_pack", "centre", "receiver pack", (("+", "5 V"), ("-", "minus")))


def diode(side):
    """A diode in a red servo wire: lets current pass towards the receiver only."""
    return Part(part_id(side, "diode"), "diode", side, _sided(side, "diode"), (("A", "5 V"), ("K", "5 V")), (Joint("A", "K", "diode"),))


def y_lead():
    """A Y lead: one trunk plug for the receiver, a left and a right branch."""
    ends = ("trunk", "left", "right")
    levels = [(f"{end}.{name}", level) for end in ends for name, level in (("S", "signal"), ("V", "5 V"), ("G", "minus"))]
    joints = [Joint(f"trunk.{name}", f"{end}.{name}", "copper") for end in ends[1:] for name in ("S", "V", "G")]
    return Part("y_lead", "y_lead", "centre", "Y lead", tuple(levels), tuple(joints))
