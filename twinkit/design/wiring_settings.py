"""What is set in both controllers and in the radio, as the builder has seen it; what nobody has seen is not guessed."""

from dataclasses import dataclass

from twinkit.design.base import Result
from twinkit.quantities import SIDES

SETTINGS = ("brake", "timing", "cut_off", "set_cells", "calibrated", "cut_set", "failsafe_set", "turns", "print_faces")
TURNS = {"normal": "clockwise", "reverse": "anticlockwise"}
OTHER_TURN = {"clockwise": "anticlockwise", "anticlockwise": "clockwise"}


@dataclass(frozen=True, kw_only=True)
class Settings(Result):
    """What is set in the controllers. values: name -> (left, right). seen: name -> (left, right) whether somebody entered it. sides: those with a controller of their own.

    hands: propeller hands; needed_turns: the way each motor must turn for them; turns: the way each turns, a mistake that is tried included. cells: of each side's pack.
    """

    values: dict
    seen: dict
    sides: tuple
    hands: tuple
    needed_turns: tuple
    turns: tuple
    cells: tuple
    isolation: str

    def unlike(self, name):
        """Whether both sides have this setting, somebody has seen both, and they differ in it."""
        one, other = self.values[name]
        return len(self.sides) == 2 and one != other and not self.unseen(name)

    def unseen(self, name):
        """The sides of which nobody has entered this setting."""
        return tuple(side for side, seen in zip(SIDES, self.seen[name]) if not seen and side in self.sides)


def settings(g, layout):
    """Settings of both controllers, and the turning that the propellers ask for."""
    g.use(layout, needed=False)
    values = {name: tuple(g.maybe(f"wiring.{side}.{name}") for side in SIDES) for name in SETTINGS}
    seen = {name: tuple(g.record.written(f"wiring.{side}.{name}") for side in SIDES) for name in SETTINGS}
    hands = tuple(g(f"power.{side}.propeller_hand") for side in SIDES)
    cells = cells_of(g)
    sides = ("left",) if g("power.controllers") == "one" else SIDES
    isolation = g("wiring.isolation")
    if not g.complete:
        return Settings.unknown(g)
    turned = layout.turned or ()
    turns = tuple(OTHER_TURN[turn] if f"{side}_motor" in turned else turn for side, turn in zip(SIDES, values["turns"]))
    return Settings(values=values, seen=seen, sides=sides, hands=hands, needed_turns=tuple(TURNS[hand] for hand in hands), turns=turns,
                    cells=tuple(cells.get(side, cells.get("shared")) for side in SIDES), isolation=isolation, **g.marks())


def cells_of(g):
    """Side of each pack -> its cells in series."""
    found = {side: g(f"power.{side}.cells") for side in (("shared",) if g("power.packs") == "one" else SIDES)}
    return {side: int(n) for side, n in found.items() if n is not None}


@dataclass(frozen=True)
class Channel:
    """One receiver output as the transmitter shows it; None where nobody has looked."""

    channel: int
    drives: str
    direction: str
    note: str


@dataclass(frozen=True, kw_only=True)
class Radio(Result):
    """The transmitter as seen. throttles: the outputs that drive a throttle in this layout. channels: what was entered.

    mix: whether the rudder stick is mixed to the throttles, None where nobody has said; mix_asleep: throttle above idle up to which it does nothing [1], mix_wanted: at least so much
    (entries of page 06). antenna: where it lies; antenna_carbon, antenna_power: how far from these [m].
    range_tried: whether the range check was passed with both motors at half and full (page 07).
    """

    throttles: tuple
    channels: tuple
    mix: bool
    mix_asleep: float
    mix_wanted: float
    antenna: str
    antenna_carbon: float
    antenna_power: float
    range_tried: bool

    def of(self, drives):
        """The channels that drive something."""
        return tuple(one for one in self.channels if one.drives == drives)


def radio(g, layout):
    """The transmitter and the antenna as the builder has seen them."""
    g.use(layout)
    seen = {name: g.maybe(f"wiring.{name}") for name in ("antenna", "antenna_carbon", "antenna_power")}
    mixed, begins, idle, wanted = g("rudder.mix"), g.maybe("rudder.mix_from"), g("rudder.idle"), g("limits.mix_above_idle")
    mix = mixed == "thrust" if mixed == "thrust" or g.record.written("rudder.mix") else None
    rows = g.rows("wiring.channels")
    tried = [g(f"bench.range_{name}") for name in ("half", "full")]
    if not g.complete:
        return Radio.unknown(g)
    throttles = ("left_throttle", "right_throttle") if layout.layout.throttle == "two_channels" else ("throttle",)
    channels = tuple(Channel(None if row["channel"] is None else int(row["channel"]), row["drives"], row["direction"], row["note"] or "") for row in rows)
    return Radio(throttles=throttles, channels=channels, antenna=seen.pop("antenna") or "", **seen, mix=mix,
                 mix_asleep=None if begins is None else begins - idle, mix_wanted=wanted, range_tried=tried == ["passed", "passed"], **g.marks())


@dataclass(frozen=True)
class EndPointCost:
    """One side gets less of the stick than the other: how much less [1], at which stick [1], thrust of the even side and what the other lacks of it [N]."""

    off: float
    stick: float
    even: float
    lost: float

    @property
    def share(self):
        return self.lost / self.even


def end_point_costs(power, offs=(0.02, 0.05, 0.10)):
    """What unequal throttle end points do to the thrust of the left side, standing, by the drives of page 01."""
    costs = []
    for off in offs:
        for stick in (0.5, 1.0):
            even, less = (float(power.solve(left, stick, 0.0).left.thrust) for left in (stick, stick - off))
            costs.append(EndPointCost(off, stick, even, even - less))
    return tuple(costs)
