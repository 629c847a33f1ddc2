"""What page 01 draws: torque of motor and propeller over rpm (quick), thrust over airspeed with sampled bands (slow)."""

from dataclasses import dataclass, fields

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.drive_parts import SOURCES_OF_ERROR, moved, sigmas
from twinkit.design.drive_variants import alike_motors, alike_propellers, chances, varied
from twinkit.design.power import Point, TwoSides, plain, solve
from twinkit.physics.propeller_table import loads

GRID_RPM = 81
GRID_SPEEDS = 21
VARIANTS = 200
LOW, HIGH = 16.0, 84.0   # percentiles of a band: two variants in three lie inside
ROOM = 2.0               # standard deviations kept above the greatest thrust
UNCERTAIN = tuple(f.name for f in fields(Point) if f.name not in ("solved", "running"))


@dataclass(frozen=True)
class TorqueLines:
    """Torque [N m] over speed_of_rotation [rad/s] of one side: what its propeller asks and what its motor gives.

    bands: one standard deviation at the running point by the names of UNCERTAIN, SI.
    """

    propeller: np.ndarray
    motor: np.ndarray
    point: Point
    bands: dict


@dataclass(frozen=True, kw_only=True)
class Curves(Result):
    """Running point and torque curves at the throttle and airspeed looked at; the greatest rotation and torque keep the axes still while the sliders move."""

    look: TwoSides
    rotation: np.ndarray
    left: TorqueLines
    right: TorqueLines
    greatest_torque: float


def curves(g, power):
    """Both sides' torque curves at the throttle and airspeed looked at."""
    g.use(power)
    if not g.complete:
        return Curves.unknown(g)
    throttle, sides = g("power.look_throttle"), (power.left, power.right)
    (look, errors), = with_errors(power, throttle, throttle, g("power.look_speed"))
    top = max(s.kv * s.emf_full for s in sides)
    rotation, made = np.linspace(0.0, top, GRID_RPM), {}
    for s in sides:
        point = getattr(look, s.side)
        asked = s.torque_factor * loads(s.table, rotation / (2.0 * np.pi), look.speed, power.density).torque
        # the volts at the controller are held at those of the running point when the pack is shared, else they sag with the motor's own current
        volts, sag = ((point.pack_volts + s.lead_resistance * point.pack_current, s.lead_resistance) if power.shared
                      else (s.emf, s.supply_resistance + s.lead_resistance))
        offered = throttle * (volts - sag * s.idle_current) - rotation / s.kv
        current = offered / (s.resistance + s.resistance_growth * rotation + s.series_resistance + throttle**2 * sag)
        given = (current - s.no_load_base - s.no_load_slope * rotation) / s.kv
        made[s.side] = TorqueLines(asked, np.where(current > 0.0, given, np.nan), point, errors[s.side])
    full = max(power.full.left.torque, power.full.right.torque)
    return Curves(look=look, rotation=rotation, **made, greatest_torque=full, **g.marks())


def with_errors(power, throttle_left, throttle_right, speed):
    """Running points, and one standard deviation of both sides' numbers (UNCERTAIN) there, absolute: every error's own step, added in quadrature.

    A list of (TwoSides, {side: {name: band}}). A number that is not there (the efficiency of a standing motor) has no band.
    """
    correlation = tables.values("power/assumptions")["ct_cp_correlation"]
    throttle_left, throttle_right, speed = np.broadcast_arrays(*np.atleast_1d(throttle_left, throttle_right, speed))
    steps, shape = [], (len(SOURCES_OF_ERROR) + 1, speed.size)
    for s in (power.left, power.right):
        standing, flying = (sigmas(s, state) for state in ("static", "flight"))
        factors = {name: np.ones(shape) for name in SOURCES_OF_ERROR}
        for row, name in enumerate(SOURCES_OF_ERROR, 1):
            factors[name][row] += np.where(speed == 0.0, standing[name], flying[name])
        steps.append(moved(s, factors))
    solved = solve(*steps, power.shared, *(np.broadcast_to(x, shape) for x in (throttle_left, throttle_right, speed)), power.density)
    made = []
    for k in range(speed.size):
        found = {}
        for side in ("left", "right"):
            point = getattr(solved, side)
            off = {name: getattr(point, name)[1:, k] - getattr(point, name)[0, k] for name in UNCERTAIN}
            found[side] = {name: float(np.sqrt(max(np.sum(d**2) + 2.0 * correlation * d[0] * d[1], 0.0))) if np.isfinite(d).all() else np.nan for name, d in off.items()}
        made.append((plain(solved, (0, k)), found))
    return made


@dataclass(frozen=True, kw_only=True)
class Bands(Result):
    """Thrust over airspeed at the throttle looked at: as computed, and the ends of the band that holds two variants in three."""

    throttle: float
    speed: float
    speeds: np.ndarray
    thrust_left: np.ndarray
    thrust_right: np.ndarray
    left_low: np.ndarray
    left_high: np.ndarray
    right_low: np.ndarray
    right_high: np.ndarray
    greatest: float          # for the axis: the upper end of the band at full throttle, whatever the throttle looked at
    now: TwoSides
    more_right: float        # thrust of the right over that of the left at the airspeed looked at, less one
    more_low: float
    more_high: float
    alike_propellers: bool
    alike_motors: bool


def bands(g, power, curves):
    """Seeded variants of both drives. Alike propellers, motors and packs nobody measured err together; every unit has its own spread besides."""
    g.use(curves)
    unit = g("limits.kv_spread")
    if not g.complete:
        return Bands.unknown(g)
    look, sides = curves.look, (power.left, power.right)
    speeds = np.linspace(0.0, max(power.zero_thrust_speed if np.isfinite(power.zero_thrust_speed) else 0.0, power.speeds[-1] * 0.6), GRID_SPEEDS)
    grid = np.append(speeds, look.speed)
    throttle = look.throttle_left
    nominal = solve(*sides, power.shared, throttle, throttle, grid, power.density)
    chance = chances(*sides, power.shared, VARIANTS)
    variants = [varied(s, chance[s.side], np.minimum(grid / power.flight_speed, 1.0), unit) for s in sides]
    sampled = solve(*variants, power.shared, throttle, throttle, np.broadcast_to(grid, (VARIANTS, grid.size)), power.density)
    ends = {s.side: np.nanpercentile(getattr(sampled, s.side).thrust[:, :-1], (LOW, HIGH), axis=0) for s in sides}
    with np.errstate(invalid="ignore", divide="ignore"):
        more = _more(nominal.left.thrust[-1], nominal.right.thrust[-1])
        spread = _more(sampled.left.thrust[:, -1], sampled.right.thrust[:, -1])
    known = np.isfinite(spread).any()
    low, high = np.nanpercentile(spread, (LOW, HIGH)) if known else (np.nan, np.nan)
    return Bands(throttle=throttle, speed=look.speed, speeds=speeds, thrust_left=nominal.left.thrust[:-1], thrust_right=nominal.right.thrust[:-1],
                 left_low=ends["left"][0], left_high=ends["left"][1], right_low=ends["right"][0], right_high=ends["right"][1],
                 greatest=float(max(getattr(power.full, s.side).thrust * (1.0 + ROOM * s.band_static) for s in sides)), now=look,
                 more_right=float(more), more_low=float(low), more_high=float(high), alike_propellers=alike_propellers(*sides), alike_motors=alike_motors(*sides), **g.marks())


def _more(left, right):
    """Right over left, less one; nan where either does not pull."""
    return np.where((left > 0.0) & (right > 0.0), right / left - 1.0, np.nan)
