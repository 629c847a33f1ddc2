"""How long it flies: a flown profile on the packs, the receiver's share counted, which side meets its limit first and when to land."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.flight_loads import CHARGES, LOWEST_CHARGE, PHASES, Flights, Profile, loads, profile_of
from twinkit.physics import flown_profile as flown
from twinkit.physics import pack as packs

CURVE_POINTS = 61
SAME_TIME = 0.01         # sides that differ by less end together


@dataclass(frozen=True)
class PackFlight:
    """One pack over the flight, SI. current and volts (at the controller) over phases and charges, full_volts at full throttle over charges.

    delivered: charge over that of the label. flights and correction: flights logged, and their charge over the computed one. time: its first limit; limit:
    "charge" or "cut-off", and the phase it is met in. climb_volts: the lowest of a cell in launch and climb. At the land-by time: charge left, charge to put
    back, volts of a cell when full throttle is wanted once more, how much longer circuits would last. least_charge: where these volts meet the cut-off.
    """

    side: str
    label: float
    capacity: float
    cells: float
    cut_off: float
    regulator_current: float
    profile: Profile
    current: np.ndarray
    volts: np.ndarray
    full_volts: np.ndarray
    flights: int = 0
    correction: float = 1.0
    spread: float = None
    time: float = None
    time_low: float = None
    time_high: float = None
    limit: str = None
    phase: str = None
    climb_volts: float = None
    charge_at_landing: float = None
    put_back: float = None
    end_volts: float = None
    least_charge: float = None
    reserve_time: float = None
    charges: np.ndarray = None

    @property
    def delivered(self):
        return self.capacity / self.label

    def charge(self, time):
        """Charge left after these times."""
        return flown.charge_in_flight(time, self.profile.durations, CHARGES, self.current, self.capacity)

    def time_to(self, end):
        """Time until this charge is left."""
        return flown.time_to_charge(end, self.profile.durations, CHARGES, self.current, self.capacity)

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
        return replace(self, current=factor * self.current, flights=len(rows), correction=factor,
                       spread=min(spread, float(np.hypot(s["capacity"], s["log"] / np.sqrt(len(rows))))))

    def limited(self):
        """With the first of its limits: the usable charge drawn, or the cut-off met under the load of the phase flown."""
        drawn = float(self.time_to(1.0 - self.profile.usable))
        cut = float(flown.time_to_volts(self.cells * self.cut_off, self.profile.durations, CHARGES, self.current, self.volts, self.capacity))
        time = min(drawn, cut)
        phase = PHASES[int(np.searchsorted(self.profile.begins, time, side="right")) - 1]
        return replace(self, time=time, limit="cut-off" if cut < drawn else "charge", phase=phase, time_low=time * (1.0 - self.spread),
                       time_high=time * (1.0 + self.spread), climb_volts=self._climb_volts())

    def _climb_volts(self):
        """The lowest volts of a cell while it is launched and climbs."""
        ends = self.charge(self.profile.begins[1:3])
        return min(float(np.interp(-left, -CHARGES, self.volts[k])) for k, left in enumerate(ends)) / self.cells

    def landed(self, land_by, times):
        """With the numbers at the land-by time, and the curve at these times."""
        left, cell = float(self.charge(land_by)), self.full_volts / self.cells
        rest = flown.phase_time(left, LOWEST_CHARGE, CHARGES, self.current[-1], self.capacity)
        return replace(self, charge_at_landing=left, put_back=(1.0 - left) * self.capacity, charges=self.charge(times), reserve_time=float(rest),
                       end_volts=float(np.interp(-left, -CHARGES, cell)), least_charge=float(np.interp(-self.cut_off, -cell, CHARGES)))

    def mean(self, phase):
        """Mean current of a phase until the first limit; None when the phase takes no time."""
        begins = np.append(self.profile.begins, np.inf)
        begin, end = np.minimum(begins[PHASES.index(phase):][:2], self.time)
        return float(self.charge(begin) - self.charge(end)) * self.capacity / (end - begin) if end > begin else None


@dataclass(frozen=True, kw_only=True)
class Endurance(Result):
    """SI. packs: one PackFlight for each pack that empties by itself. first: the side that meets its limit first, or "both".

    feeds: the side whose pack feeds the receiver, "shared", or "" when a pack of its own does. holds: whether the thrust holds the cruise speed.
    The times of the curves are those of `times`; begins are where the phases of `profile` begin.
    """

    profile: Profile
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
    cruise_speed: float
    cruise_throttle: float
    cruise_throttle_end: float

    @property
    def first_pack(self):
        """The PackFlight that meets its limit first."""
        return min(self.packs, key=lambda p: p.time)


def endurance(g, start, power, wing, wiring):
    """The flight: launch at full throttle, climb, straight cruise, then circuits until a limit is met; logged flights correct it."""
    for result in (start, power, wing, wiring):
        g.use(result)
    profile, share, shares = profile_of(g), g("limits.timer_first"), delivered(g)
    cut_off, log = {side: g(f"wiring.{side}.cut_off") for side in ("left", "right")}, g.rows("bench.flights")
    if not g.complete:
        return Endurance.unknown(g)
    if wing.cruise_throttle is None:
        return replace(Endurance.unknown(g), holds=False, cruise_speed=wing.cruise_speed)
    drain, cut_off["shared"] = wiring.regulator_input_current, max(cut_off.values())
    given = (power, wing, drain, shares, profile, Flights())
    found, held = loads(*given)
    if not power.shared:
        found, held = loads(*given, before=found)
    labels = {p.side: p.capacity for p in power.packs} | {"shared": sum(p.capacity for p in power.packs)}
    spread = spread_of(wing)
    flights = [PackFlight(p.side, labels[p.side], float(p.capacity[0]), p.cells, cut_off[p.side], p.regulator, profile, p.current[0], p.volts[0], p.full_volts[0])
               .corrected(log, spread).limited() for p in found]
    ends = {pack.side: pack.time for pack in flights}
    land_by, last = min(ends.values()), max(ends.values())
    times = np.linspace(0.0, last, CURVE_POINTS)
    flights = tuple(pack.landed(land_by, times) for pack in flights)
    return Endurance(
        profile=profile, time_left=ends.get("left", land_by), time_right=ends.get("right", land_by), land_by=land_by, land_by_low=min(p.time_low for p in flights),
        land_by_high=min(p.time_high for p in flights), first=min(ends, key=ends.get) if last - land_by > SAME_TIME * land_by else "both",
        timer_first=share * land_by, packs=flights, feeds=_feeds(drain, power.shared), holds=True, end_charge=1.0 - profile.usable, cut_off=cut_off["shared"],
        times=times, cruise_speed=wing.cruise_speed, cruise_throttle=float(held[0, 0]), cruise_throttle_end=float(np.interp(profile.usable - 1.0, -CHARGES, held[0])),
        **g.marks())


def delivered(g):
    """Side of each pack -> the charge it delivers over that on its label, at its age and temperature."""
    usual, sides = tables.values("pack/defaults"), ("shared",) if g("power.packs") == "one" else ("left", "right")
    ages, temperature = [g(f"power.{side}.pack_age") for side in sides], g("power.pack_temperature")
    share = lambda age: float(packs.delivered_share(age, temperature, usual["share_at_retirement"], usual["cold_loss"], usual["warm"]))  # noqa: E731
    return dict(zip(sides, map(share, ages)))


def _feeds(drain, shared):
    """The side whose pack feeds the receiver: "both" when both do, "shared" with a common pack, "" when none of the flight packs does."""
    sides = [side for side, current in drain.items() if current > 0.0]
    return "" if not sides else "shared" if shared else sides[0] if len(sides) == 1 else "both"


def spread_of(wing):
    """Relative spread of the times: what a pack delivers, what the drives draw, and the drag they must carry."""
    s = tables.values("weight/spreads")
    return float(np.sqrt(s["capacity"] ** 2 + s["drive"] ** 2 + drag_spread(wing) ** 2))


def drag_spread(wing):
    """Relative spread of the drag at cruise speed."""
    return float((np.interp(wing.cruise_speed, wing.speeds, wing.drag_high) - wing.cruise_drag) / wing.cruise_drag)
