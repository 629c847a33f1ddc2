"""Layouts of a twin: the choices, which combinations can be built, and the wiring of each. Habits of the trade: [wiring_trade]."""

from __future__ import annotations

from dataclasses import dataclass, replace
from difflib import get_close_matches
from itertools import product

from twinkit.circuit import parts
from twinkit.circuit.mistakes import MISTAKES
from twinkit.circuit.parts import Wire, Wiring

CHOICES = {
    "packs": {"one": "one shared pack", "two": "two separate packs", "joined": "two packs joined in parallel"},
    "controllers": {"two": "a controller for each motor", "one": "one controller for both motors"},
    "source": {
        "left_bec": "the regulator of the left controller", "right_bec": "the regulator of the right controller",
        "both": "the regulators of both controllers, joined directly", "both_diodes": "the regulators of both controllers through a diode each",
        "stand_alone": "a stand-alone regulator", "receiver_pack": "a receiver pack",
    },
    "stand_alone_feed": {"none": "", "left": "fed by the left pack", "right": "fed by the right pack", "shared": "fed by the common power lead"},
    "throttle": {"two_channels": "a receiver output for each controller", "y_lead": "one receiver output and a Y lead",
                 "one_channel": "one receiver output"},
}
OPTO_CHOICES = ((False, False), (True, False), (False, True), (True, True))
_OTHER = {"left": "right", "right": "left", "left_bec": "right_bec", "right_bec": "left_bec"}


@dataclass(frozen=True)
class Layout:
    """The choices that fix a wiring. `opto` says for (left, right) whether the controller is opto-isolated.

    With one controller for both motors `source="left_bec"` means the regulator of that controller.
    """
    packs: str = "two"
    controllers: str = "two"
    source: str = "left_bec"
    stand_alone_feed: str = "none"
    throttle: str = "two_channels"
    opto: tuple[bool, bool] = (False, False)

    def __post_init__(self):
        for field, choices in CHOICES.items():
            given = getattr(self, field)
            if given not in choices:
                near = get_close_matches(str(given), choices, n=1)
                hint = f"; nearest is {near[0]!r}" if near else ""
                raise ValueError(f"{field} reads {given!r}: allowed are {', '.join(choices)}{hint}")
        if self.opto not in OPTO_CHOICES:
            raise ValueError(f"opto reads {self.opto!r}: it takes two yes/no values, (left, right)")

    def mirrored(self):
        """The same layout with left and right exchanged."""
        if self.controllers == "one":
            return self
        return replace(self, source=_OTHER.get(self.source, self.source), opto=self.opto[::-1],
                       stand_alone_feed=_OTHER.get(self.stand_alone_feed, self.stand_alone_feed))

    def words(self):
        """The layout in one sentence."""
        said = [CHOICES["packs"][self.packs], CHOICES["controllers"][self.controllers], CHOICES["throttle"][self.throttle]]
        source = CHOICES["source"][self.source]
        if self.controllers == "one" and self.source == "left_bec":
            source = "the regulator of the controller"
        if self.source == "stand_alone":
            source += f" {CHOICES['stand_alone_feed'][self.stand_alone_feed]}"
        opto = {(True, True): "; both sides opto-isolated", (True, False): "; left controller opto-isolated",
                (False, True): "; right controller opto-isolated"}.get(self.opto, "")
        sentence = f"{', '.join(said)}; the receiver is fed by {source}{opto}."
        return sentence[0].upper() + sentence[1:]


def why_not(layout):
    """Why a layout cannot be built, in one sentence; empty when it can. Buildable does not mean wise: that is for the checks."""
    single, source, feed = layout.controllers == "one", layout.source, layout.stand_alone_feed
    if single and layout.packs == "two":
        return "One controller has one battery lead: use one pack, or join the packs."
    if single and source in ("right_bec", "both", "both_diodes"):
        return "One controller has at most one regulator: call it left_bec."
    if single and layout.throttle != "one_channel":
        return "One controller takes one signal: it needs one receiver output and neither a Y lead nor a second output."
    if single and layout.opto[0] != layout.opto[1]:
        return "One controller is either opto-isolated or not: say the same for left and right."
    if not single and layout.throttle == "one_channel":
        return "Two controllers need a Y lead or a receiver output each."
    for side, opto in zip(("left", "right"), layout.opto):
        if opto and source in (f"{side}_bec", "both", "both_diodes"):
            which = "controller" if single else f"{side} controller"
            return f"The {which} is opto-isolated and has no regulator to feed the receiver."
    if source != "stand_alone" and feed != "none":
        return "Only a stand-alone regulator needs a feed."
    if source == "stand_alone" and feed == "none":
        return "A stand-alone regulator needs a pack to feed it."
    if source == "stand_alone" and layout.packs == "two" and feed == "shared":
        return "Feeding one regulator from both packs joins the packs: take the left or the right one."
    if source == "stand_alone" and layout.packs != "two" and feed != "shared":
        return "With one power lead for both sides the regulator is fed by that common lead."
    return ""


def combinations():
    """Every combination of the choices, buildable or not."""
    names = tuple(CHOICES)
    return tuple(Layout(**dict(zip(names, values)), opto=opto) for *values, opto in product(*CHOICES.values(), OPTO_CHOICES))


def buildable():
    """Every layout that can be built."""
    return tuple(layout for layout in combinations() if not why_not(layout))


def build(layout, mistakes=()):
    """The wiring of a layout, with the named mistakes planted in turn.

    Arguments: layout, a Layout; mistakes, names of MISTAKES. Returns a Wiring.
    """
    reason = why_not(layout)
    if reason:
        raise ValueError(f"this layout cannot be built. {reason}")
    wiring = _Harness(layout).wiring()
    for name in mistakes:
        if name not in MISTAKES:
            near = get_close_matches(name, MISTAKES, n=1)
            hint = f"; nearest is {near[0]!r}" if near else ""
            raise ValueError(f"no mistake is called {name!r}{hint}")
        wiring = MISTAKES[name].plant(wiring)
    return wiring


class _Harness:
    """Collects the parts and wires of one layout."""

    def __init__(self, layout):
        self.layout = layout
        self.parts, self.wires, self.insulated = {}, [], set()
        self.sides = ("centre",) if layout.controllers == "one" else ("left", "right")

    def wiring(self):
        for side, opto in zip(self.sides, self.layout.opto):
            self.add(parts.controller(side, opto))
        for side in ("left", "right"):
            self.add(parts.motor(side))
        outputs = {"one_channel": ("throttle",), "y_lead": ("throttle",), "two_channels": ("left_throttle", "right_throttle")}
        self.add(parts.receiver(outputs[self.layout.throttle] + ("rudder",)))
        self.power()
        self.servo_leads()
        self.receiver_source()
        self.motor_wires()
        declared = {"parallel"} if self.layout.packs == "joined" else set()
        return Wiring(tuple(self.parts.values()), tuple(self.wires), frozenset(self.insulated), frozenset(declared))

    def add(self, part):
        self.parts[part.id] = part
        return part

    def join(self, wire_id, a, b, role, side, name, *connectors):
        (first, first_pin), (second, second_pin) = a, b
        self.wires.append(Wire(wire_id, self.parts[first].pin(first_pin), self.parts[second].pin(second_pin), role, side, name, connectors))

    def pair(self, wire_id, a, b, side, name, *connectors, pins=("+", "-", "+", "-")):
        """A positive and a negative power wire; pins are + and - of `a`, then of `b`."""
        self.join(f"{wire_id}_plus", (a, pins[0]), (b, pins[2]), "power +", side, f"{name}, positive", *connectors)
        self.join(f"{wire_id}_minus", (a, pins[1]), (b, pins[3]), "power -", side, f"{name}, negative", *connectors)

    def power(self):
        pack_sides = ("centre",) if self.layout.packs == "one" else ("left", "right")
        if self.layout.packs == "joined":
            self.add(parts.power_joint())
        for side in pack_sides:
            pack, socket = self.add(parts.pack(side)), self.add(parts.socket(side))
            self.pair(pack.id, pack.id, socket.id, side, f"{pack.name} lead", f"{pack.name} plug")
            if self.layout.packs == "joined":
                self.pair(f"{side}_joining", socket.id, "power_joint", side, f"{side} lead to the power joint")
        for side in self.sides:
            b = ("+", "-", "B+", "B-")
            self.pair(parts.part_id(side, "power"), self.feed_point(side), parts.part_id(side, "controller"), side,
                      f"{self.parts[parts.part_id(side, 'controller')].name} power lead", pins=b)

    def feed_point(self, side):
        """The part from which a controller or regulator of that side takes its power."""
        return {"one": "socket", "joined": "power_joint", "two": f"{side}_socket"}[self.layout.packs]

    def servo_leads(self):
        throttle = self.layout.throttle
        if throttle == "y_lead":
            self.add(parts.y_lead())
            for name, role, word in (("S", "signal", "signal"), ("V", "5 V", "red"), ("G", "ground", "ground")):
                self.join(f"trunk_{word}", ("y_lead", f"trunk.{name}"), ("receiver", f"throttle.{name}"), role, "centre",
                          f"Y lead trunk, {word}", "Y trunk plug")
        for side in self.sides:
            controller = self.parts[parts.part_id(side, "controller")]
            head = {"y_lead": ("y_lead", side), "two_channels": ("receiver", f"{side}_throttle"), "one_channel": ("receiver", "throttle")}[throttle]
            lead, plug = parts.part_id(side, "servo"), "servo plug" if side == "centre" else f"{side} servo plug"
            end = {name: (head[0], f"{head[1]}.{name}") for name in "SVG"}
            said = f"{controller.name} servo lead"
            self.join(f"{lead}_signal", (controller.id, "S"), end["S"], "signal", side, f"{said}, signal", plug)
            self.join(f"{lead}_ground", (controller.id, "SG"), end["G"], "ground", side, f"{said}, ground", plug)
            if self.layout.source == "both_diodes":
                diode = self.add(parts.diode(side))
                self.join(f"{lead}_red_to_diode", (controller.id, "V5"), (diode.id, "A"), "5 V", side, f"{said}, red up to the diode")
                self.join(f"{lead}_red", (diode.id, "K"), end["V"], "5 V", side, f"{said}, red after the diode", plug)
            elif controller.opto or self.layout.source == "both" or self.layout.source == ("left_bec" if side == "centre" else f"{side}_bec"):
                self.join(f"{lead}_red", (controller.id, "V5"), end["V"], "5 V", side, f"{said}, red", plug)
            else:
                self.insulated.add(controller.pin("V5"))

    def receiver_source(self):
        if self.layout.source == "stand_alone":
            self.add(parts.regulator())
            self.pair("regulator_in", self.feed_point(self.layout.stand_alone_feed), "regulator", "centre", "regulator input",
                      pins=("+", "-", "in+", "in-"))
            feed = ("regulator", "out+", "out-")
        elif self.layout.source == "receiver_pack":
            self.add(parts.receiver_pack())
            feed = ("receiver_pack", "+", "-")
        else:
            return
        part, plus, minus = feed
        name = self.parts[part].name
        self.join(f"{part}_red", (part, plus), ("receiver", "battery.V"), "5 V", "centre", f"{name} lead, red", f"{name} plug")
        self.join(f"{part}_ground", (part, minus), ("receiver", "battery.G"), "ground", "centre", f"{name} lead, ground", f"{name} plug")

    def motor_wires(self):
        for side in ("left", "right"):
            controller = "controller" if self.sides == ("centre",) else f"{side}_controller"
            for number in "123":
                self.join(f"{side}_phase_{number}", (controller, f"PH{number}"), (f"{side}_motor", number), "phase", side,
                          f"{side} motor wire {number}", f"{side} motor plugs")
