"""How long it flies: a flown profile on both packs, the receiver's share counted, and which side must land first."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.power import solve
from twinkit.physics import flown_profile as profile
from twinkit.physics import pack as packs

LOWEST_CHARGE = 0.05     # beyond this nobody plans to fly
CHARGES = np.linspace(1.0, LOWEST_CHARGE, 12)
CRUISE_THROTTLES = 8     # positions tried at every charge for the cruise
LOWEST_SHARE = 0.6       # the lowest of them, share of the throttle found by the wing page
CURVE_POINTS = 61
PHASES = ("launch", "climb", "cruise")
SAME_TIME = 0.01         # sides that differ by less end together


@dataclass(frozen=True)
class PackFlight:
    """One pack over the flight, SI. Currents are those of the whole pack with the receiver's share, volts those at full throttle, over CHARGES.

    flights and correction: flights logged, and their charge over the computed one. time: until the usable charge is drawn. At the land-by time:
    charge left, charge to put back, volts of a cell when full throttle is wanted once more. least_charge: where these volts meet the cut-off.
    """

    side: str
    capacity: float
    cells: float
    regulator_current: float
    launch_current: np.ndarray
    climb_current: np.ndarray
    cruise_current: np.ndarray
    volts: np.ndarray
    launch: float
    climb: float
    flights: int = 0
    correction: float = 1.0
    spread: float = None
    time: float = None
    time_low: float = None
    time_high: float = None
    charge_at_landing: float = None
    put_back: float = None
    end_volts: float = None
    least_charge: float = None
    charges: np.ndarray = None

    def charge(self, time):
        """Charge left after these times."""
        time = np.asarray(time, dtype=float)
        after = lambda full, spent, current: profile.charge_after(full, np.maximum(spent, 0.0), CHARGES, current, self.capacity)  # noqa: E731
        at_climb = after(1.0, np.minimum(time, self.launch), self.launch_current)
        at_cruise = after(at_climb, np.minimum(time - self.launch, self.climb), self.climb_current)
        return after(at_cruise, time - self.launch - self.climb, self.cruise_current)

    def time_to(self, end):
        """Time until this charge is left."""
        between = lambda full, low, current: profile.phase_time(full, low, CHARGES, current, self.capacity)  # noqa: E731
        after_launch, after_climb = self.charge(self.launch), self.charge(self.launch + self.climb)
        if end >= after_launch:
            return between(1.0, end, self.launch_current)
        if end >= after_climb:
            return self.launch + between(after_launch, end, self.climb_current)
        return self.launch + self.climb + between(after_climb, end, self.cruise_current)

    def corrected(self, log, spread):
        """With the currents that the flight log shows; without a log as computed. spread is that of the computed times."""
        own = ("left", "right") if self.side == "shared" else (self.side,)
        rows = [(row["time"], sum(row[side] or 0.0 for side in own)) for row in log]
        rows = [(time, drawn) for time, drawn in rows if time and drawn]
        if not rows:
            return replace(self, spread=spread)
        times, drawn = np.array(rows).T
        factor = float(drawn.sum() / ((1.0 - self.charge(times)) * self.capacity).sum())
        s = tables.values("weight/spreads")
        return replace(self, launch_current=factor * self.launch_current, climb_current=factor * self.climb_current,
                       cruise_current=factor * self.cruise_current, flights=len(rows), correction=factor,
                       spread=min(spread, float(np.hypot(s["capacity"], s["log"] / np.sqrt(len(rows))))))

    def landed(self, end, land_by, times, cut_off):
        """With the numbers at the end of the usable charge and at the land-by time, and the curve at these times."""
        left, cell = float(self.charge(land_by)), self.volts / self.cells
        return replace(self, time=end, time_low=end * (1.0 - self.spread), time_high=end * (1.0 + self.spread), charge_at_landing=left,
                       put_back=(1.0 - left) * self.capacity, charges=self.charge(times), end_volts=float(np.interp(-left, -CHARGES, cell)),
                       least_charge=float(np.interp(-cut_off, -cell, CHARGES)))

    def mean(self, phase):
        """Mean current of "launch", "climb" or "cruise"; None when the phase takes no time."""
        begin, end = {"launch": (0.0, self.launch), "climb": (self.launch, self.launch + self.climb), "cruise": (self.launch + self.climb, self.time)}[phase]
        return float(self.charge(begin) - self.charge(end)) * self.capacity / (end - begin) if end > begin else None


@dataclass(frozen=True, kw_only=True)
class Endurance(Result):
    """SI. packs: one PackFlight for each pack that empties by itself. first: the side that reaches the end of its usable charge first, or "both".

    feeds: the side whose pack feeds the receiver, "shared", or "" when a pack of its own does. holds: whether the thrust holds the cruise speed.
    The times of the curves are those of `times`; climb_from and cruise_from are where these phases begin.
    """

    time_left: float
    time_right: float
    land_by: float
    land_by_low: float
    land_by_high: float
    first: str
    timer_first: float
    packs: tuple
    feeds: str
    holds: bool
    end_charge: float
    cut_off: float
    times: np.ndarray
    climb_from: float
    cruise_from: float
    cruise_speed: float
    cruise_throttle: float
    cruise_throttle_end: float


def endurance(g, start, power, wing, wiring):
    """The flight: launch at full throttle, climb, then cruise at the speed of page 05 until the usable charge is drawn; logged flights correct it."""
    for result in (start, power, wing, wiring):
        g.use(result)
    launch, climb, stick, usable, extra = (g(f"weight.{n}") for n in ("time_launch", "time_climb", "throttle_climb", "usable", "manoeuvre"))
    share = g("limits.timer_first")
    cut_off, log = max(g(f"wiring.{side}.cut_off") for side in ("left", "right")), g.rows("bench.flights")
    if not g.complete:
        return Endurance.unknown(g)
    if wing.cruise_throttle is None:
        return replace(Endurance.unknown(g), holds=False, cruise_speed=wing.cruise_speed)
    table, spread = _currents(power, wing, stick, extra), _spread(wing)
    flown = [PackFlight(*pack, launch, climb).corrected(log, spread) for pack in _packs(table, power, wiring.regulator_input_current)]
    ends = {pack.side: float(pack.time_to(1.0 - usable)) for pack in flown}
    land_by, last = min(ends.values()), max(ends.values())
    times = np.linspace(0.0, last, CURVE_POINTS)
    packs_flown = tuple(pack.landed(ends[pack.side], land_by, times, cut_off) for pack in flown)
    return Endurance(
        time_left=ends.get("left", land_by), time_right=ends.get("right", land_by), land_by=land_by, land_by_low=min(p.time_low for p in packs_flown),
        land_by_high=min(p.time_high for p in packs_flown), first=min(ends, key=ends.get) if last - land_by > SAME_TIME * land_by else "both",
        timer_first=share * land_by, packs=packs_flown, feeds=_feeds(wiring.regulator_input_current, power.shared), holds=True, end_charge=1.0 - usable, cut_off=cut_off,
        times=times, climb_from=launch, cruise_from=launch + climb, cruise_speed=wing.cruise_speed, cruise_throttle=float(table["throttle"][0]),
        cruise_throttle_end=float(np.interp(usable - 1.0, -CHARGES, table["throttle"])), **g.marks())


def _feeds(drain, shared):
    """The side whose pack feeds the receiver: "both" when both do, "shared" with a common pack, "" when none of the flight packs does."""
    sides = [side for side, current in drain.items() if current > 0.0]
    return "" if not sides else "shared" if shared else sides[0] if len(sides) == 1 else "both"


def _currents(power, wing, stick, extra):
    """Pack current of both sides in each phase, at full throttle the volts too, over CHARGES; all phases and charges solved as one array.

    In the cruise the sticks are opened as the packs sag, so that the thrust goes on carrying the drag.
    """
    tries = np.linspace(LOWEST_SHARE * wing.cruise_throttle, 1.0, CRUISE_THROTTLES)
    throttle = np.concatenate(([1.0, stick], tries))[:, None]
    climb_speed = wing.climb_speed or wing.approach_speed
    speed = np.concatenate(([wing.stall_speed, climb_speed], np.full(CRUISE_THROTTLES, wing.cruise_speed)))[:, None]
    curve = tables.read("pack/cell_voltage").columns
    cell = packs.open_circuit_voltage(CHARGES, curve["charge"], curve["ramadass2004"])
    left, right = (replace(side, emf=side.pack.cells * cell) for side in (power.left, power.right))
    point = solve(left, right, power.shared, throttle + 0.0 * CHARGES, throttle + 0.0 * CHARGES, speed, power.density)
    thrust = (point.left.thrust + point.right.thrust)[2:]
    below, weight, held = _where(thrust, wing.cruise_drag, tries)
    column = np.arange(CHARGES.size)
    at = lambda rows: rows[below, column] + weight * (rows[below + 1, column] - rows[below, column])  # noqa: E731
    table = {side: {"launch": own.pack_current[0], "climb": own.pack_current[1], "cruise": (1.0 + extra) * at(own.pack_current[2:]), "volts": own.pack_volts[0]}
             for side, own in (("left", point.left), ("right", point.right))}
    return table | {"throttle": held}


def _where(thrust, wanted, tries):
    """For each charge the row below the wanted thrust, the share of the way to the next, and the throttle; full throttle where it does not suffice."""
    below = np.clip((thrust < wanted).sum(axis=0) - 1, 0, tries.size - 2)
    column = np.arange(thrust.shape[1])
    low, high = thrust[below, column], thrust[below + 1, column]
    weight = np.clip((wanted - low) / (high - low), 0.0, 1.0)
    return below, weight, tries[below] + weight * (tries[below + 1] - tries[below])


def _packs(table, power, drain):
    """Side, capacity, cells, receiver's share, currents of the phases and volts of each pack that empties by itself."""
    if not power.shared:
        drains = [(p.side, p.capacity, p.cells, drain.get(p.side, 0.0), table[p.side]) for p in power.packs]
    else:
        common = {name: table["left"][name] + table["right"][name] for name in PHASES} | {"volts": np.minimum(table["left"]["volts"], table["right"]["volts"])}
        drains = [("shared", sum(p.capacity for p in power.packs), power.packs[0].cells, sum(drain.values()), common)]
    return [(side, capacity, cells, load, *(currents[name] + load for name in PHASES), currents["volts"]) for side, capacity, cells, load, currents in drains]


def _spread(wing):
    """Relative spread of the times: what a pack delivers, what the drives draw, and the drag they must carry."""
    s = tables.values("weight/spreads")
    drag = (np.interp(wing.cruise_speed, wing.speeds, wing.drag_high) - wing.cruise_drag) / wing.cruise_drag
    return float(np.sqrt(s["capacity"] ** 2 + s["drive"] ** 2 + drag**2))
