"""What nine variants in ten do: numbers of page 01 over seeded variants of both drives, standing and in the cruise of the first guess."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.drive_variants import SEED, chances, triangle, varied
from twinkit.design.power import SideDrive, TwoSides, solve
from twinkit.design.power_heat import settled

SIDES = ("left", "right")
VARIANTS = 2000
CRUISES = 400            # of them, whose own throttle for the cruise is sought
ENDS = (5.0, 95.0)       # percentiles: nine variants in ten lie inside
GRID_THROTTLES = 21      # as power_moments seeks the throttle of the nominal drives


def nine_in_ten(values):
    """Ends of the band that holds nine in ten of these values; what is not there (nan) is left out, nan where nothing is."""
    values = np.asarray(values, dtype=float)
    if np.isnan(values).all():
        return np.nan, np.nan
    low, high = np.nanpercentile(values, ENDS, method="nearest")
    return float(low), float(high)


def cell_volts(side, half, shared):
    """Volts of a cell at the terminals of a side's half full pack at full throttle."""
    return (side.emf_half - side.supply_resistance * (half.pack_current if shared else getattr(half, side.side).pack_current)) / side.pack.cells


@dataclass(frozen=True)
class Tried:
    """Variants of both drives, made for one airspeed (the band of a propeller widens in flight); running points are solved when first asked for."""

    made: tuple
    chance: dict
    shared: bool
    density: float
    speed: float

    @property
    def count(self):
        return self.made[0].kv.size

    def at(self, throttle_left, throttle_right, charge="emf"):
        """All variants at these throttles; charge: "emf" (the one looked at), "emf_half" or "emf_full"."""
        lever = lambda t: np.broadcast_to(np.asarray(t, dtype=float), (self.count,))  # noqa: E731
        sides = (replace(s, emf=getattr(s, charge)) for s in self.made)
        return solve(*sides, self.shared, lever(throttle_left), lever(throttle_right), np.full(self.count, self.speed), self.density)

    @cached_property
    def full(self) -> TwoSides:
        return self.at(1.0, 1.0)

    @cached_property
    def fresh(self) -> TwoSides:
        return self.at(1.0, 1.0, "emf_full")

    @cached_property
    def half(self) -> TwoSides:
        return self.at(1.0, 1.0, "emf_half")

    def some(self, count):
        """The first so many of both halves: a variant and the one with its sides exchanged stay together."""
        half, every = count // 2, self.count // 2
        which = np.r_[0:half, every:every + half]
        own = lambda value: value[which] if np.ndim(value) == 1 else value  # noqa: E731
        made = tuple(replace(s, **{name: own(value) for name, value in vars(s).items() if isinstance(value, np.ndarray)}) for s in self.made)
        return replace(self, made=made, chance={side: {name: own(value) for name, value in found.items()} for side, found in self.chance.items()})


def tried(sides: tuple[SideDrive, SideDrive], shared, density, unit, flight_speed, speed=0.0, count=VARIANTS):
    """So many variants of these two sides at an airspeed; unit as in drive_variants.varied."""
    chance, flying = chances(*sides, shared, count), min(speed / flight_speed, 1.0)
    return Tried(tuple(varied(s, chance[s.side], flying, unit) for s in sides), chance, shared, density, speed)


@dataclass(frozen=True, kw_only=True)
class Spread(Result):
    """Variants standing, unit (one standard deviation of two units of one label), and the ends of the zero-thrust speed, nine in ten.

    faster: by side, the highest speed of rotation of each variant over that of the drive as told. within: by side, how far the thrust at full throttle may lie
    from the one told, nine times in ten, as shares: standing and at the guessed cruise speed.
    """

    standing: Tried
    unit: float
    zero_thrust_speed: tuple
    faster: dict
    within: dict


def spread(g, power):
    """The variants of this build's drives."""
    g.use(power)
    unit = g("limits.kv_spread")
    if not g.complete:
        return Spread.unknown(g)
    made = tried((power.left, power.right), power.shared, power.density, unit, power.flight_speed)
    return Spread(standing=made, unit=unit, **_unloaded(power, unit), within=_within(power, made, unit), **g.marks())


def _within(power, standing, unit):
    """The larger of both ends of a side's thrust, over the thrust, less one: standing and in flight."""
    sides, speed = (power.left, power.right), power.flight_speed
    flying = tried(sides, power.shared, power.density, unit, speed, speed).full
    told = solve(*sides, power.shared, 1.0, 1.0, np.array([0.0, speed]), power.density)
    off = lambda two, side, k: max(abs(end / getattr(told, side).thrust[k] - 1.0) for end in nine_in_ten(getattr(two, side).thrust))  # noqa: E731
    with np.errstate(invalid="ignore", divide="ignore"):
        return {s: (float(off(standing.full, s, 0)), float(off(flying, s, 1))) for s in SIDES}


def _unloaded(power, unit):
    """Where the air has taken the load off the propellers. The zero-thrust speed goes with the rotation there and with the advance ratio of zero thrust, which
    the propeller model has too high on average."""
    speed = power.zero_thrust_speed
    if not np.isfinite(speed):
        return {"zero_thrust_speed": (np.nan, np.nan), "faster": dict.fromkeys(SIDES, np.ones(CRUISES))}
    sides = power.left, power.right
    there = tried(sides, power.shared, power.density, unit, power.flight_speed, speed, CRUISES).full
    nominal = solve(*sides, power.shared, 1.0, 1.0, speed, power.density)
    faster = {s: getattr(there, s).speed_of_rotation / getattr(nominal, s).speed_of_rotation for s in SIDES}
    return {"zero_thrust_speed": nine_in_ten(speed * 0.5 * (faster["left"] + faster["right"]) * _advance(CRUISES)), "faster": faster}


def _advance(count):
    """Advance ratio of zero thrust over the model's, drawn apart from the drives: a seed used twice would tie it to their first chance."""
    assumed = tables.values("power/assumptions")
    return (1.0 + assumed["zero_thrust_spread"] * np.random.default_rng(SEED + 5).standard_normal(count)) / (1.0 + assumed["zero_thrust_bias"])


@dataclass(frozen=True, kw_only=True)
class FlightSpread(Result):
    """Nine in ten, SI: throttle in cruise; by side the temperature a motor settles at in cruise and its seconds to the winding's limit in the climb;
    by supply the time of the cruise; right over left at full throttle in cruise, less left [N]. Numbers that are not known are not there."""

    cruise: Tried
    throttle: tuple
    settles: dict
    lasts: dict
    times: dict
    difference: tuple


def in_flight(g, air, power, moments, spread, heat, discharge):
    """The variants in the cruise of the first guess, and in the climb at the throttle of page 04."""
    for result in (power, moments, spread):
        g.use(result)
    for result in (air, heat, discharge):
        g.use(result, needed=False)
    stick, extra = g("weight.throttle_climb"), g("weight.manoeuvre")
    if not g.complete:
        return FlightSpread.unknown(g)
    speed, sides = moments.named("cruise").sides.speed, (power.left, power.right)
    cruise = tried(sides, power.shared, power.density, spread.unit, power.flight_speed, speed)
    settles, lasts = _warm(air, power, moments, heat, stick, cruise.some(CRUISES))
    full = cruise.full
    return FlightSpread(cruise=cruise, throttle=nine_in_ten(throttles(cruise.some(CRUISES), moments.cruise_thrust / _lift_over_drag(CRUISES))), settles=settles, lasts=lasts,
                        times=_times(discharge, power, moments, cruise, extra), difference=nine_in_ten(full.right.thrust - full.left.thrust), **g.marks())


def _lift_over_drag(count):
    """Lift over drag of such aeroplanes over the usual one."""
    assumed = tables.values("power/assumptions")
    low, usual, high = (assumed[f"lift_over_drag{end}"] for end in ("_low", "", "_high"))
    return triangle(np.random.default_rng(SEED + 4).random(count), low / usual, 1.0, high / usual)


def throttles(made, wanted):
    """The throttle at which each variant gives a thrust, as power_moments seeks it: 1 where full throttle does not."""
    grid = np.linspace(0.0, 1.0, GRID_THROTTLES)
    over = tuple(replace(s, **{name: value[:, None] for name, value in vars(s).items() if isinstance(value, np.ndarray) and value.ndim == 1}) for s in made.made)
    shape = (made.count, grid.size)
    thrust = solve(*over, made.shared, np.broadcast_to(grid, shape), np.broadcast_to(grid, shape), np.full(shape, made.speed), made.density).thrust
    return np.array([np.interp(wanted, row, grid) for row in thrust])


def _warm(air, power, moments, heat, stick, made):
    """Nine in ten of the temperatures in cruise and of the seconds in the climb."""
    if not heat.known or heat.state("cruise") is None:
        return {}, {}
    count, band = made.count, tables.values("motor/cooling")["cooling_band"]
    sides = tuple(replace(s, motor_mass=power.side(s.side).motor_mass) for s in made.made)
    cooling = tuple(np.exp(band * made.chance[s]["cooling"]) for s in SIDES)
    held = lambda throttle, speed: settled(sides, power.shared, np.full(count, throttle), np.full(count, speed), power.density, air.temperature, cooling)[1]  # noqa: E731
    cruising, climbing = held(moments.cruise_throttle, made.speed), held(stick, moments.named("climb").sides.speed)
    return ({s: nine_in_ten(np.where(w.runaway, heat.burnt, w.temperature)) for s, w in zip(SIDES, cruising)}, {s: nine_in_ten(w.time) for s, w in zip(SIDES, climbing)})


def _times(discharge, power, moments, made, extra):
    """Nine in ten of the time each supply lasts: the charge it gives and the current of its side, at the throttle held, err."""
    if not discharge.known:
        return {}
    at = made.at(moments.cruise_throttle, moments.cruise_throttle)
    return {s.side: nine_in_ten(s.time * shorter(s.side, moments.named("cruise").sides, at, float(np.mean(s.current)), extra)) for s in discharge.supplies}


def shorter(side, nominal, at, current, extra):
    """Over the variants, the time of a supply over its nominal one. current: its mean one with the receiver's share, in which only the drives err."""
    drawn = lambda two: two.pack_current if side == "shared" else getattr(two, side).pack_current  # noqa: E731
    rng = np.random.default_rng(SEED + {"left": 1, "right": 2}.get(side, 3))
    charge = np.exp(tables.values("weight/spreads")["capacity"] * rng.standard_normal(drawn(at).size))
    return charge * current / np.maximum(current + (1.0 + extra) * (drawn(at) - drawn(nominal)), 1e-9 * current)
