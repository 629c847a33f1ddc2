"""Where the parts of a wiring stand on the paper, where their wires leave them, and the ways the wires take. Inches, nose up, left side left.

Everything is worked out from the graph: a part that is not in it is not placed, a wire that is not in it is not drawn.
"""

from collections import defaultdict
from dataclasses import dataclass

WIDTH, HEIGHT = 7.0, 6.4
SIGN = {"left": -1, "right": 1, "centre": 0}
MIDDLE = WIDTH / 2
LANE_GAP = 0.12           # between wires that run side by side
PIN_GAP = 0.17            # between neighbouring pins of a servo plug
PAIR_GAP = 0.2            # between + and - of a power lead
STUB = 0.24               # length drawn of a wire end that goes nowhere
INNER_EDGE = {"left": "right", "right": "left"}


@dataclass(frozen=True)
class Box:
    """A part on the paper: its middle and its size."""

    x: float
    y: float
    w: float
    h: float

    def point(self, edge, offset):
        """A point on an edge, offset from its middle: to the right, or upwards."""
        return {"top": (self.x + offset, self.y + self.h / 2), "bottom": (self.x + offset, self.y - self.h / 2),
                "left": (self.x - self.w / 2, self.y + offset), "right": (self.x + self.w / 2, self.y + offset)}[edge]


@dataclass(frozen=True)
class Port:
    """Where a pin leaves its part: a point on an edge."""

    x: float
    y: float
    edge: str


class Places:
    """The boxes of all parts, the ports of all pins, and the ways of all wires of one wiring."""

    def __init__(self, wiring, in_nacelles):
        self.wiring = wiring
        self.kinds = {part.kind for part in wiring.parts}
        self.single = any(part.kind == "controller" and part.side == "centre" for part in wiring.parts)
        self.in_nacelles = in_nacelles and not self.single
        self.boxes = {part.id: self._box(part) for part in wiring.parts if part.kind != "diode"}
        self.ports = {}
        for part in wiring.parts:
            if part.kind != "diode":
                self._ports(part)
        for part in wiring.of_kind("diode"):
            top = self.ports[(f"{part.side}_controller", "V5", "servo")]
            self.boxes[part.id] = Box(top.x, top.y - 0.33, 0.22, 0.18)
            self._row(part, "top", 0.0, 0.0, [("A", "servo")])
            self._row(part, "bottom", 0.0, 0.0, [("K", "servo")])
        self.ways = self._ways()

    # --- boxes -----------------------------------------------------------------------------------------------------------

    def _box(self, part):
        s = SIGN[part.side]
        if part.kind == "pack":
            return Box(MIDDLE + 0.58 * s, 6.05, 1.0, 0.4)
        if part.kind == "socket":
            return Box(MIDDLE + 0.58 * s, 5.32, 1.06 if s else 1.3, 0.4)
        if part.kind == "joint":
            return Box(MIDDLE, 4.75, 1.3, 0.34)
        if part.kind == "controller":
            if self.in_nacelles:
                return Box(MIDDLE + 2.6 * s, 4.35, 1.16, 0.66)
            return Box(MIDDLE + 1.2 * s, 3.65, 1.16, 0.66)
        if part.kind == "motor":
            return Box(MIDDLE + 2.6 * s, 5.95, 0.9, 0.4)
        if part.kind == "regulator":
            return Box(MIDDLE + 1.1, 2.87, 0.94, 0.5) if self.single else Box(MIDDLE, 3.65, 0.94, 0.5)
        if part.kind == "y_lead":
            return Box(MIDDLE - (0.3 if "regulator" in self.kinds else 0.0), 2.22, 1.36, 0.42)
        if part.kind == "receiver":
            return Box(MIDDLE, 1.42, 2.5, 0.6)
        return Box(MIDDLE, 0.56, 1.1, 0.34)

    # --- ports -----------------------------------------------------------------------------------------------------------

    def _row(self, part, edge, middle, gap, pins):
        """Pins beside each other on an edge, from left to right or from the top down; each is a pin name and the bundle it belongs to."""
        for number, (pin, bundle) in enumerate(pins):
            along = (number - (len(pins) - 1) / 2) * gap
            x, y = self.boxes[part.id].point(edge, middle + along if edge in ("top", "bottom") else middle - along)
            self.ports[(part.id, pin, bundle)] = Port(x, y, edge)

    def _ports(self, part):
        getattr(self, "_" + part.kind)(part, SIGN[part.side])

    @staticmethod
    def _poles(side, bundle, plus="+", minus="-"):
        """+ and - of a power lead with + on the outer side."""
        return [(minus, bundle), (plus, bundle)] if side > 0 else [(plus, bundle), (minus, bundle)]

    @staticmethod
    def _servo(side, head=""):
        names = ("S", "V", "G") if head else ("S", "V5", "SG")
        pins = [(f"{head}.{name}" if head else name, "servo") for name in names]
        return pins[::-1] if side > 0 else pins

    def _pack(self, part, s):
        self._row(part, "bottom", 0.0, PAIR_GAP, self._poles(s, "pack"))

    def _socket(self, part, s):
        self._row(part, "top", 0.0, PAIR_GAP, self._poles(s, "pack"))
        self._outlets(part, s)

    def _joint(self, part, s):
        for side in (-1, 1):
            self._row(part, "top", 0.36 * side, PAIR_GAP, self._poles(side, "left lead" if side < 0 else "right lead"))
        self._outlets(part, s)

    def _outlets(self, part, s):
        """The power leads that leave a plug or joint, in the order of where they go."""
        found = {self.bundle(wire): wire for wire in self.wiring.wires if part.id in (wire.a.part, wire.b.part)}
        pins = []
        for name, side in (("left power", -1), ("left lead", -1), ("power", -1), ("regulator input", -1 if s > 0 else 1), ("right lead", 1), ("right power", 1)):
            if name in found and not (part.kind == "joint" and name.endswith("lead")):
                pins += self._poles(side, name)
        beside = self.single and len(pins) > 2
        self._row(part, "bottom", PAIR_GAP if beside else 0.0, PAIR_GAP, pins)

    def _controller(self, part, s):
        bundle = "power" if part.side == "centre" else f"{part.side} power"
        servo = self._servo(s)
        self._row(part, "bottom", 0.0, PIN_GAP, servo)
        if self.in_nacelles:
            inner = INNER_EDGE[part.side]
            self._row(part, inner, 0.0, PAIR_GAP, [("B+", bundle), ("B-", bundle)])
            self._row(part, "top", 0.0, PIN_GAP, [(f"PH{n}", part.side) for n in ("321" if s < 0 else "123")])
            return
        self._row(part, "top", 0.0, PAIR_GAP, self._poles(s, bundle, "B+", "B-"))
        for side in ("left", "right") if part.side == "centre" else (part.side,):
            self._row(part, side, 0.0, PIN_GAP, [(f"PH{n}", side) for n in "123"])

    def _motor(self, part, s):
        self._row(part, "bottom", 0.0, PIN_GAP, [(n, part.side) for n in ("321" if s < 0 else "123")])

    def _receiver(self, part, s):
        outputs = [pin.name.rpartition(".")[0] for pin in part.pins if pin.name.endswith("throttle.S")]
        beside = "regulator" in self.kinds and "throttle" in outputs
        for head in outputs:
            side = -1 if head.startswith("left") else 1 if head.startswith("right") else 0
            self._row(part, "top", 0.78 * side if side else (-0.3 if beside else 0.0), PIN_GAP, self._servo(side, head))
        if self.kinds & {"receiver_pack", "regulator"}:
            edge = "bottom" if "receiver_pack" in self.kinds else "top"
            self._row(part, edge, 0.75 if beside else 0.0, PAIR_GAP, [("battery.V", "supply"), ("battery.G", "supply")])

    def _y_lead(self, part, s):
        for side, head in ((-1, "left"), (1, "right")):
            self._row(part, "top", 0.38 * side, PIN_GAP, self._servo(side, head))
        self._row(part, "bottom", 0.0, PIN_GAP, self._servo(0, "trunk"))

    def _regulator(self, part, s):
        feed = next((wire.a.part for wire in self.wiring.wires if wire.b.part == part.id), "")
        self._row(part, "top", 0.0, PAIR_GAP, self._poles(-1 if feed.startswith("right") else 1, "regulator input", "in+", "in-"))
        self._row(part, "bottom", 0.0, PAIR_GAP, [("out+", "supply"), ("out-", "supply")])

    def _receiver_pack(self, part, s):
        self._row(part, "top", 0.0, PAIR_GAP, [("+", "supply"), ("-", "supply")])

    # --- ways ------------------------------------------------------------------------------------------------------------

    @staticmethod
    def bundle(wire):
        """Which lead a wire belongs to; ports are kept for each lead of a pin."""
        if wire.role == "phase":
            return wire.side
        if wire.role in ("signal", "5 V", "ground"):
            return "supply" if wire.connectors and wire.connectors[0] in ("stand-alone regulator plug", "receiver pack plug") else "servo"
        name = wire.id.removesuffix("_plus").removesuffix("_minus")
        return {"left_joining": "left lead", "right_joining": "right lead", "regulator_in": "regulator input"}.get(name, name.replace("_", " ") if "pack" not in name else "pack")

    def port(self, pin, bundle):
        """The port of a pin in a lead; None for a pin that is not drawn."""
        return self.ports.get((pin.part, pin.name, bundle))

    def spot(self, pin):
        """A place that stands for a pin: its port, the end of its stub where nothing else hangs on it, or the lower edge of its part."""
        port = next((port for (part, name, _), port in self.ports.items() if (part, name) == (pin.part, pin.name)), None)
        if port is None:
            box = self.boxes[pin.part]
            return box.point("bottom", -0.3 * box.w)
        loose = pin.name == "V5" and not any(pin in (wire.a, wire.b) and wire.id in self.ways for wire in self.wiring.wires)
        return port.x, port.y - (STUB if loose else 0.0)

    def _ways(self):
        """The points every wire passes, from one end to the other."""
        leads = defaultdict(list)
        for wire in self.wiring.wires:
            bundle = self.bundle(wire)
            ends = self.port(wire.a, bundle), self.port(wire.b, bundle)
            if all(ends):
                leads[(wire.a.part, wire.b.part, bundle)].append((wire, *sorted(ends, key=lambda port: -port.y)))
        ways = {}
        for key, members in leads.items():
            for wire, top, low in members:
                ways[wire.id] = self._way(top, low, self._lane(key, members, top, low))
        return ways

    def _lane(self, key, members, top, low):
        """Height at which a wire of a lead runs across: the outermost in the direction it takes runs highest, so that none cross."""
        middle = self._height(key, top, low)
        going = sum(b.x - a.x for _, a, b in members)
        order = sorted((a.x for _, a, _ in members), reverse=going > 0)
        return middle + ((len(order) - 1) / 2 - order.index(top.x)) * LANE_GAP

    def _height(self, key, top, low):
        first, second, bundle = key
        if self.single and bundle in ("supply", "regulator input") and "regulator" in self.kinds:
            return 2.1 if bundle == "supply" else 4.28
        if bundle == "supply" and "receiver_pack" not in self.kinds:
            return 3.24
        if bundle == "servo" and "y_lead" != first:
            return 2.95 if self.in_nacelles else 2.66
        return (top.y + low.y) / 2

    @staticmethod
    def _way(top, low, lane):
        vertical = ("top", "bottom")
        if abs(top.x - low.x) < 1e-6:
            return ((top.x, top.y), (low.x, low.y))
        if top.edge in vertical and low.edge in vertical:
            return ((top.x, top.y), (top.x, lane), (low.x, lane), (low.x, low.y))
        return ((top.x, top.y), (top.x, low.y), (low.x, low.y))
