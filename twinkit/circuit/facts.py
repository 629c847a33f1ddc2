"""Facts behind the wiring rules: what is joined to what. No verdicts here; the checks give those.

Each function returns small records with the pins involved. `facts` gathers them all. Rule of thumb of the trade behind each: [wiring_trade].
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from itertools import combinations

from twinkit.circuit.nets import feeds, nets, outputs, receiver_pins, sources, turning_sense
from twinkit.circuit.parts import Pin


@dataclass(frozen=True)
class ReceiverSource:
    """A 5 V pin that reaches the receiver; way is "direct" or "diode"."""
    pin: Pin
    way: str


@dataclass(frozen=True)
class ReceiverFeed:
    """All 5 V pins that reach the receiver. `fight` is true when two or more do and one of them not through a diode."""
    sources: tuple[ReceiverSource, ...]
    fight: bool
    declared: bool


@dataclass(frozen=True)
class UnusedRed:
    """The red servo wire of a controller that feeds nothing; `touches` lists whatever its cut end is joined to all the same."""
    pin: Pin
    touches: tuple[Pin, ...]
    insulated: bool


@dataclass(frozen=True)
class SignalLink:
    """Receiver outputs on the signal wire of a controller; `by_y` when a Y lead lies between; `other_side` when the output bears the other side's name."""
    controller: str
    outputs: tuple[Pin, ...]
    by_y: bool
    other_side: bool
    is_throttle: bool


@dataclass(frozen=True)
class GroundReturn:
    """How the ground of a controller's servo plug, or of a supply of its own, reaches the receiver: by wire alone, or at least by some way (through other parts)."""
    part: str
    by_wire: bool
    by_any_way: bool


@dataclass(frozen=True)
class OptoLink:
    """An opto-isolated controller: whether its red (an input) and its servo ground reach the receiver, and whether its battery negative is apart from it."""
    controller: str
    red_fed: bool
    ground_joined: bool
    isolated: bool


@dataclass(frozen=True)
class MixedNet:
    """A net that holds pins of different levels, for example a pack's + and a controller's battery negative."""
    levels: tuple[str, ...]
    pins: tuple[Pin, ...]


@dataclass(frozen=True)
class JoinedPacks:
    """Packs whose + are in one net (through wires, regulators' leads or balance leads); `declared` when meant."""
    packs: tuple[str, ...]
    declared: bool


@dataclass(frozen=True)
class SeriesLink:
    """The - of one pack joined to the + of another."""
    negative_of: str
    positive_of: str
    declared: bool


@dataclass(frozen=True)
class ControllerLoad:
    """The motors that hang on one controller: their currents add, the voltage stays."""
    controller: str
    motors: tuple[str, ...]


@dataclass(frozen=True)
class PhaseLink:
    """The three wires of a motor: `order` is the controller's wire (1 to 3, 0 for none) at each motor wire, `sense` +1, -1 or 0 (cannot tell)."""
    motor: str
    controllers: tuple[str, ...]
    order: tuple[int, int, int]
    one_to_one: bool
    sense: int


@dataclass(frozen=True)
class SharedThrottle:
    """Controllers on one receiver output: no difference of thrust can be steered between them."""
    output: Pin
    controllers: tuple[str, ...]


@dataclass(frozen=True)
class SharedBalance:
    """Packs whose balance leads are joined."""
    packs: tuple[str, ...]


@dataclass(frozen=True)
class Carried:
    """What runs through a group of wires: motors whose current it carries, motors whose throttle signal, sources whose 5 V."""
    wires: tuple[str, ...]
    motors: tuple[str, ...]
    signals: tuple[str, ...]
    feeds: tuple[str, ...]


@dataclass(frozen=True)
class Facts:
    """All facts of one wiring. Field names are what a check or a test asks for."""
    receiver_feed: ReceiverFeed
    unused_reds: tuple[UnusedRed, ...]
    signals: tuple[SignalLink, ...]
    joined_outputs: tuple[tuple[Pin, ...], ...]
    grounds: tuple[GroundReturn, ...]
    opto: tuple[OptoLink, ...]
    mixed_nets: tuple[MixedNet, ...]
    joined_packs: tuple[JoinedPacks, ...]
    series_links: tuple[SeriesLink, ...]
    loads: tuple[ControllerLoad, ...]
    phases: tuple[PhaseLink, ...]
    shorted_phases: tuple[tuple[Pin, Pin], ...]
    shared_throttle: tuple[SharedThrottle, ...]
    shared_balance: tuple[SharedBalance, ...]
    unpowered: tuple[Pin, ...]


def receiver_feed(wiring):
    """R01, R02: which sources reach the receiver's + rail. Exactly one red lead should."""
    copper, (rail, _) = nets(wiring), receiver_pins(wiring)
    found = []
    for source in sources(wiring):
        way = feeds(wiring, copper, source.plus, rail)
        if way:
            found.append(ReceiverSource(source.plus, way))
    # A bare joint between two outputs on the near side of the diodes is a fight as well.
    joined = any(copper.same(a.pin, b.pin) for a, b in combinations(found, 2))
    fight = len(found) > 1 and (joined or any(source.way == "direct" for source in found))
    return ReceiverFeed(tuple(found), fight, "paralleled regulators" in wiring.declared)


def unused_reds(wiring):
    """R03: red servo wires that feed nothing, what they touch, and whether their cut end is insulated."""
    copper, (rail, _) = nets(wiring), receiver_pins(wiring)
    found = []
    for part in wiring.of_kind("controller"):
        red = part.pin("V5")
        way = feeds(wiring, copper, red, rail)
        if not way:
            found.append(UnusedRed(red, tuple(sorted(copper.net(red) - {red})), red in wiring.insulated))
    return tuple(found)


def signals(wiring):
    """R04: the receiver outputs on each controller's signal wire. Exactly one is sound."""
    copper = nets(wiring)
    found = []
    for part in wiring.of_kind("controller"):
        net = copper.net(part.pin("S"))
        reached = tuple(pin for pin in outputs(wiring) if pin in net)
        other = {"left": "right_", "right": "left_"}.get(part.side)
        found.append(SignalLink(part.id, reached, any(wiring.part(pin.part).kind == "y_lead" for pin in net),
                                any(other and pin.name.startswith(other) for pin in reached),
                                bool(reached) and all("throttle" in pin.name for pin in reached)))
    return tuple(found)


def joined_outputs(wiring):
    """R04: groups of receiver outputs joined to each other; sound wiring has none."""
    groups = (tuple(sorted(set(outputs(wiring)) & net)) for net in nets(wiring).groups)
    return tuple(sorted(group for group in groups if len(group) > 1))


def grounds(wiring):
    """R05: how the ground of each throttle plug, and of a stand-alone regulator or receiver pack, reaches the receiver's - rail."""
    copper, ground, (_, rail) = nets(wiring), nets(wiring, "ground"), receiver_pins(wiring)
    pins = [part.pin(name) for kind, name in (("controller", "SG"), ("regulator", "out-"), ("receiver_pack", "-")) for part in wiring.of_kind(kind)]
    return tuple(GroundReturn(pin.part, copper.same(pin, rail), ground.same(pin, rail)) for pin in pins)


def opto_links(wiring):
    """R06: how opto-isolated controllers are joined to the receiver."""
    copper, ground, (plus, minus) = nets(wiring), nets(wiring, "ground"), receiver_pins(wiring)
    return tuple(OptoLink(part.id, copper.same(part.pin("V5"), plus), copper.same(part.pin("SG"), minus), not ground.same(part.pin("SG"), part.pin("B-")))
                 for part in wiring.of_kind("controller") if part.opto)


def mixed_nets(wiring):
    """R07: nets that hold pins of two levels: reversed plugs, shorts, a pack on a 5 V rail, a winding on its mount. Sound wiring has none.

    A declared series link (pack - on pack +) is left out.
    """
    found = []
    for net in nets(wiring).groups:
        levels = {wiring.level(pin) for pin in net}
        series = levels == {"battery +", "minus"} and "series" in wiring.declared and _only_series(wiring, net)
        if len(levels) > 1 and not series:
            found.append(MixedNet(tuple(sorted(levels)), tuple(sorted(net))))
    return tuple(sorted(found, key=lambda mixed: mixed.pins))


def _only_series(wiring, net):
    minus = {pin.part for pin in net if wiring.level(pin) == "minus"}
    plus = {pin.part for pin in net if wiring.level(pin) == "battery +"}
    return not minus & plus and all(wiring.part(part).kind in ("pack", "socket") for part in minus | plus)


def joined_packs(wiring):
    """R08: groups of packs whose + are in one net. Joined negatives through the servo grounds are normal."""
    groups = [tuple(sorted({pin.part for pin in net if wiring.part(pin.part).kind == "pack" and pin.name == "+"})) for net in nets(wiring).groups]
    return tuple(JoinedPacks(group, "parallel" in wiring.declared) for group in sorted(groups) if len(group) > 1)


def series_links(wiring):
    """R09: the - of one pack wired to the + of another."""
    copper, packs = nets(wiring), wiring.of_kind("pack")
    return tuple(SeriesLink(a.id, b.id, "series" in wiring.declared) for a in packs for b in packs
                 if a != b and copper.same(a.pin("-"), b.pin("+")))


def loads(wiring):
    """R11: motors on each controller. One each is sound: on a shared one both currents pass, at the same voltage."""
    copper = nets(wiring)
    found = []
    for part in wiring.of_kind("controller"):
        hot = frozenset().union(*(copper.net(part.pin(phase)) for phase in ("PH1", "PH2", "PH3")))
        found.append(ControllerLoad(part.id, tuple(motor.id for motor in wiring.of_kind("motor") if hot & set(motor.pins))))
    return tuple(found)


def phases(wiring):
    """R14: how the wires of each motor are joined, and which way it turns against the straight order."""
    copper = nets(wiring)
    found = []
    for motor in wiring.of_kind("motor"):
        ends = [tuple(pin for pin in sorted(copper.net(motor.pin(number))) if pin.name.startswith("PH")) for number in "123"]
        order = tuple(int(end[0].name[2]) if len(end) == 1 else 0 for end in ends)
        controllers = tuple(sorted({pin.part for end in ends for pin in end}))
        sound = len(controllers) == 1 and sorted(order) == [1, 2, 3]
        found.append(PhaseLink(motor.id, controllers, order, sound, turning_sense(order) if sound else 0))
    return tuple(found)


def shorted_phases(wiring):
    """R14: pairs of motor outputs of one controller in one net."""
    copper = nets(wiring)
    return tuple((part.pin(a), part.pin(b)) for part in wiring.of_kind("controller") for a, b in combinations(("PH1", "PH2", "PH3"), 2)
                 if copper.same(part.pin(a), part.pin(b)))


def shared_throttle(wiring):
    """R15: controllers that hang on one receiver output."""
    copper = nets(wiring)
    found = []
    for output in outputs(wiring):
        on = tuple(part.id for part in wiring.of_kind("controller") if copper.same(part.pin("S"), output))
        if len(on) > 1:
            found.append(SharedThrottle(output, on))
    return tuple(found)


def shared_balance(wiring):
    """R16: packs whose balance leads are joined."""
    copper = nets(wiring)
    return tuple(SharedBalance((a.id, b.id)) for a, b in combinations(wiring.of_kind("pack"), 2) if copper.same(a.pin("BAL"), b.pin("BAL")))


def unpowered(wiring):
    """Battery inputs of controllers and regulators that no pack reaches by its own power wires, + and - of one pack alike."""
    copper, packs = nets(wiring), wiring.of_kind("pack")
    found = []
    for part in wiring.of_kind("controller") + wiring.of_kind("regulator"):
        plus, minus = (part.pin("B+"), part.pin("B-")) if part.kind == "controller" else (part.pin("in+"), part.pin("in-"))
        by_plus = [pack for pack in packs if copper.same(pack.pin("+"), plus)]
        by_minus = [pack for pack in packs if copper.same(pack.pin("-"), minus)]
        found += [] if by_plus else [plus]
        found += [] if by_minus else [minus]
    return tuple(found)


def carried(wiring, wire_ids):
    """R12, R17: what a group of wires carries, found by cutting it: add the motors' currents on a trunk. For a plug give its contacts."""
    ids = tuple(wire_ids)
    before, after = _reach(wiring), _reach(wiring.without_wire(*ids))
    lost = [tuple(sorted({name for name, _ in old - new})) for old, new in zip(before, after)]
    return Carried(ids, *lost)


def _reach(wiring):
    """Pairs (motor, pack), (motor, output) and (source, rail or pack) that hang together in a wiring."""
    copper, (rail, _) = nets(wiring), receiver_pins(wiring)
    driven = [(wiring.part(load.controller), motor) for load in loads(wiring) for motor in load.motors]
    power = {(motor, (pack.id, pole)) for part, motor in driven for pack in wiring.of_kind("pack")
             for pole in ("+", "-") if copper.same(part.pin(f"B{pole}"), pack.pin(pole))}
    power |= {(motor.id, number) for motor in wiring.of_kind("motor") for number in "123"
              if any(pin.name.startswith("PH") for pin in copper.net(motor.pin(number)))}
    signal = {(motor, output) for part, motor in driven for output in outputs(wiring) if copper.same(part.pin("S"), output)}
    feed = {(source.part, "rail") for source in sources(wiring) if feeds(wiring, copper, source.plus, rail)}
    feed |= {(source.part, pack.id) for source in sources(wiring) if source.fed_plus for pack in wiring.of_kind("pack")
             if copper.same(source.fed_plus, pack.pin("+")) and feeds(wiring, copper, source.plus, rail)}
    return power, signal, feed


def trunks(wiring):
    """R17: connectors that both motors or the only receiver source depend on, each with what it carries."""
    found = [(name, carried(wiring, [wire.id for wire in wiring.contacts(name)])) for name in wiring.connectors]
    only = len(receiver_feed(wiring).sources) == 1
    return tuple((name, load) for name, load in found if len(load.motors) > 1 or len(load.signals) > 1 or (only and load.feeds))


def facts(wiring):
    """All facts of a wiring at once."""
    return Facts(receiver_feed(wiring), unused_reds(wiring), signals(wiring), joined_outputs(wiring), grounds(wiring), opto_links(wiring),
                 mixed_nets(wiring), joined_packs(wiring), series_links(wiring), loads(wiring), phases(wiring), shorted_phases(wiring),
                 shared_throttle(wiring), shared_balance(wiring), unpowered(wiring))


def changed(before, after):
    """Names of the facts in which two wirings differ."""
    return tuple(field.name for field in fields(Facts) if getattr(before, field.name) != getattr(after, field.name))
