"""Nets: which pins are joined, by which kind of connection, and how a motor turns for an order of its wires.

A net is a set of pins joined by the chosen connections. Three views are used throughout:
`copper` (wires and plain joints), `ground` (also the thin ground traces inside controllers and regulators),
`beeping` (also motor windings: what a continuity tester beeps through). Habits of the trade: [wiring_trade].
"""

from __future__ import annotations

from dataclasses import dataclass

from twinkit.circuit.parts import Pin

VIEWS = {
    "copper": ("copper",),
    "ground": ("copper", "ground"),
    "beeping": ("copper", "ground", "winding"),
}


class Nets:
    """The pins of a wiring grouped into nets (union-find), in one of the views. Take them from `nets`, which keeps them."""

    def __init__(self, wiring, view):
        up = {pin: pin for pin in wiring.pins}

        def root(pin):
            while up[pin] != pin:
                up[pin] = up[up[pin]]
                pin = up[pin]
            return pin

        for first, second, _ in _connections(wiring, view):
            up[root(first)] = root(second)
        members = {}
        for pin in up:
            members.setdefault(root(pin), set()).add(pin)
        self.groups = tuple(frozenset(net) for net in members.values())
        self._net = {pin: net for net in self.groups for pin in net}

    def same(self, a, b):
        """Whether two pins are in one net."""
        return self._net[a] is self._net[b]

    def net(self, pin):
        """All pins joined to this one, itself included."""
        return self._net[pin]


def nets(wiring, view="copper"):
    """The nets of a wiring in one of the VIEWS. `groups` holds all of them, each a frozenset of pins."""
    if view not in wiring.worked_out:
        wiring.worked_out[view] = Nets(wiring, view)
    return wiring.worked_out[view]


def _connections(wiring, view):
    """Every connection that counts in a view: two pins and the wire, None for a joint inside a part."""
    for wire in wiring.wires:
        yield wire.a, wire.b, wire
    for part in wiring.parts:
        for first, second, kind in part.inner:
            if kind in VIEWS[view]:
                yield first, second, None


def feeds(wiring, copper, start, end, open_parts=frozenset()):
    """How current gets from one pin to another: "direct", "diode", or "" for no way. Diodes pass one way only."""
    if copper.same(start, end):
        return "direct"
    diodes = [part for part in wiring.of_kind("diode") if part.id not in open_parts]
    reached, grown = [start], True
    while grown:
        grown = False
        for part in diodes:
            behind = part.pin("K")
            if behind not in reached and any(copper.same(pin, part.pin("A")) for pin in reached):
                reached.append(behind)
                grown = True
    return "diode" if any(copper.same(pin, end) for pin in reached) else ""


def wires_on_ways(wiring, start, end):
    """All wires that lie on any way from one pin to another without passing a pin twice, in the ground view."""
    near = {}
    for a, b, wire in _connections(wiring, "ground"):
        near.setdefault(a, []).append((b, wire))
        near.setdefault(b, []).append((a, wire))
    found, trail = set(), []

    def walk(pin, seen):
        if pin == end:
            found.update(wire.id for wire in trail if wire is not None)
            return
        for other, wire in near.get(pin, ()):
            if other not in seen:
                trail.append(wire)
                walk(other, seen | {other})
                trail.pop()

    walk(start, frozenset((start,)))
    return tuple(wire for wire in wiring.wires if wire.id in found)


@dataclass(frozen=True)
class Source:
    """A part that can feed the receiver: its 5 V pin, its ground pin and the pins it is fed by (none for a receiver pack)."""
    part: str
    plus: Pin
    minus: Pin
    fed_plus: Pin | None = None
    fed_minus: Pin | None = None


def sources(wiring):
    """Every part of the wiring that can give 5 V, connected or not."""
    found = [Source(part.id, part.pin("V5"), part.pin("SG"), part.pin("B+"), part.pin("B-"))
             for part in wiring.of_kind("controller") if not part.opto]
    found += [Source(part.id, part.pin("out+"), part.pin("out-"), part.pin("in+"), part.pin("in-")) for part in wiring.of_kind("regulator")]
    found += [Source(part.id, part.pin("+"), part.pin("-")) for part in wiring.of_kind("receiver_pack")]
    return tuple(found)


def receiver_pins(wiring):
    """The + rail and the - rail of the receiver."""
    return wiring.receiver.pin("battery.V"), wiring.receiver.pin("battery.G")


def throttle_outputs(wiring):
    """Signal pins of the receiver's throttle outputs."""
    return tuple(pin for pin in outputs(wiring) if "throttle" in pin.name)


def outputs(wiring):
    """Signal pins of all receiver outputs."""
    return tuple(pin for pin in wiring.receiver.pins if pin.name.endswith(".S"))


def turning_sense(order):
    """Which way a motor turns for an order of its three wires, against the order (1, 2, 3): +1 the same way, -1 reversed.

    Swapping any two wires reverses; moving all three round does not (the sign of the permutation).
    Common practice, no source; it follows from the three phases being a third of a turn apart.
    """
    order = tuple(order)
    if sorted(order) != [1, 2, 3]:
        raise ValueError(f"a motor has the wires 1, 2 and 3, each once: {order!r} is no order of them")
    crossings = sum(order[i] > order[j] for i in range(3) for j in range(i + 1, 3))
    return -1 if crossings % 2 else 1
