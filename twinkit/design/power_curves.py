"""What page 01 draws: torque of motor and propeller over rpm (quick), thrust over airspeed with sampled bands (slow)."""

from dataclasses import dataclass

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.drive_parts import moved, propeller_band, sigmas
from twinkit.design.power import Point, TwoSides, plain, solve
from twinkit.physics.propeller_table import loads

GRID_RPM = 81
GRID_SPEEDS = 21
VARIANTS = 200
SEED = 1903              # fixed, so that a picture does not change by itself
LOW, HIGH = 16.0, 84.0   # percentiles of a band: two variants in three lie inside
ROOM = 2.0               # standard deviations kept above the greatest thrust
UNCERTAIN = ("thrust", "speed_of_rotation", "torque", "motor_current")


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
    look, errors = with_errors(power, throttle, throttle, g("power.look_speed"))
    top = max(s.kv * s.emf_full for s in sides)
    rotation, made = np.linspace(0.0, top, GRID_RPM), {}
    for s in sides:
        point = getattr(look, s.side)
        asked = s.torque_factor * loads(s.table, rotation / (2.0 * np.pi), look.speed, power.density).torque
        # the volts at the controller are held at those of the running point when the pack is shared, else they sag with the motor's own current
        volts, sag = ((point.pack_volts + s.lead_resistance * point.pack_current, s.lead_resistance) if power.shared
                      else (s.emf, s.supply_resistance + s.lead_resistance))
        offered = throttle * (volts - sag * s.idle_current) - rotation / s.kv
        current = offered / (s.resistance + s.series_resistance + throttle**2 * sag)
        given = (current - s.no_load_base - s.no_load_slope * rotation) / s.kv
        made[s.side] = TorqueLines(asked, np.where(current > 0.0, given, np.nan), point, errors[s.side])
    full = max(power.full.left.torque, power.full.right.torque)
    return Curves(look=look, rotation=rotation, **made, greatest_torque=full, **g.marks())


def with_errors(power, throttle_left, throttle_right, speed):
    """A running point, and one standard deviation of both sides' numbers (UNCERTAIN) there, absolute: every error's own step, added in quadrature."""
    correlation = tables.values("power/assumptions")["ct_cp_correlation"]
    state = "static" if speed == 0.0 else "flight"
    steps = []
    for s in (power.left, power.right):
        own = sigmas(s, state)
        steps.append(moved(s, {name: 1.0 + np.array([0.0, *(value if other == name else 0.0 for other in own)]) for name, value in own.items()}))
    solved = solve(*steps, power.shared, throttle_left, throttle_right, np.full(len(own) + 1, speed), power.density)
    found = {}
    for s in (power.left, power.right):
        point = getattr(solved, s.side)
        off = {name: getattr(point, name)[1:] - getattr(point, name)[0] for name in UNCERTAIN}
        found[s.side] = {name: float(np.sqrt(np.sum(d**2) + 2.0 * correlation * d[0] * d[1])) for name, d in off.items()}
    return plain(solved, 0), found


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
    """Seeded variants of both drives. Alike propellers, motors and packs err together; every unit has its own spread besides."""
    g.use(curves)
    unit = g("limits.kv_spread")
    if not g.complete:
        return Bands.unknown(g)
    look, sides = curves.look, (power.left, power.right)
    speeds = np.linspace(0.0, max(power.zero_thrust_speed if np.isfinite(power.zero_thrust_speed) else 0.0, power.speeds[-1] * 0.6), GRID_SPEEDS)
    grid = np.append(speeds, look.speed)
    throttle = look.throttle_left
    nominal = solve(*sides, power.shared, throttle, throttle, grid, power.density)
    rng = np.random.default_rng(SEED)
    chance = {s.side: _chances(rng, VARIANTS // 2) for s in sides}
    alike_propellers = _same(*sides, "propeller_diameter", "propeller_pitch", "blades", "propeller_style", "propeller_measured")
    alike_motors = _same(*sides, "kv_label", "motor_mass", "catalogue_resistance", "kv_from", "resistance_from")
    alike_packs = power.shared or (_same(power.left.pack, power.right.pack, "capacity", "c_rating", "measured") and not power.left.pack.measured)
    for together, names in ((alike_propellers, ("ct", "cp")), (alike_motors, ("kv", "resistance", "no_load")), (alike_packs, ("supply",))):
        if together:
            chance["right"].update({name: chance["left"][name] for name in names})
    chance = {side: {name: np.concatenate([own[name], chance[other][name]]) for name in own}       # each used twice, sides exchanged: alike sides get alike bands
              for (side, own), other in zip(chance.items(), ("right", "left"))}
    cruise = next(m for m in power.moments if m.name == "cruise").sides.speed
    variants = [moved(s, _variant(s, chance[s.side], grid, cruise, unit)) for s in sides]
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
                 more_right=float(more), more_low=float(low), more_high=float(high), alike_propellers=alike_propellers, alike_motors=alike_motors, **g.marks())


def _more(left, right):
    """Right over left, less one; nan where either does not pull."""
    return np.where((left > 0.0) & (right > 0.0), right / left - 1.0, np.nan)


def _same(one, other, *names):
    return all(getattr(one, name) == getattr(other, name) for name in names)


def _chances(rng, count):
    """Standard normal chances of one side: CT and CP going together, the rest by themselves."""
    correlation = tables.values("power/assumptions")["ct_cp_correlation"]
    free = {name: rng.standard_normal(count) for name in ("ct", "cp", "kv", "resistance", "supply", "no_load", "unit")}
    free["cp"] = correlation * free["ct"] + np.sqrt(1.0 - correlation**2) * free["cp"]
    return free


def _variant(side, chance, grid, cruise, unit):
    """Factors of the variants (first axis) over the airspeeds: the propeller's band widens from standing to cruise."""
    static, flying = (propeller_band(side, state, 0.0) for state in ("static", "flight"))
    share = np.minimum(grid / cruise, 1.0)
    own = sigmas(side, "static")
    factors = {name: np.exp(chance[name][:, None] * (getattr(static, name) * (1.0 - share) + getattr(flying, name) * share)) for name in ("ct", "cp")}
    factors |= {name: np.exp(chance[name][:, None] * own[name]) for name in ("kv", "resistance", "supply", "no_load")}
    if side.kv_from == "label":
        factors["kv"] = factors["kv"] * (1.0 + unit * chance["unit"][:, None])
    return factors
