"""One motor out, and two that pull unlike: what the rudder holds, at which speed and throttle, and how far these numbers can be trusted."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from twinkit import tables
from twinkit.design import levers
from twinkit.design.base import Result
from twinkit.design.one_motor import CONTROL_CASES, OTHER, SIDES, UNCERTAIN, Banded, Situation, banded, single, situation
from twinkit.design.pulls import GRID_SPEEDS, THROTTLES
from twinkit.design.unlike import Unlike, unlike
from twinkit.design.yaw import derivatives_of, derived, shape_of, sideslip_parts
from twinkit.physics import control_surfaces
from twinkit.physics.derivatives import LateralDerivatives, contribution_table
from twinkit.physics.thrust_mismatch import throttle_for_thrust

CG_HEIGHT_SHARE = 0.5    # height of the CG between the middle of the fuselage and the wing, while page 04 does not know it


@dataclass(frozen=True)
class OneSide:
    """One motor dead, SI. Minimum control speeds: full throttle and the throttle looked at, wings level with a band; best: 5 degrees of bank, full rudder.

    The rest is at approach speed: thrust of the live motor at full throttle, drag of the dead propeller, what level flight takes, what the rudder holds.
    inf: at no speed. Throttles are None where full throttle is not enough, angles are real ones and None beyond the rudder's travel.
    """

    dead: str
    live: str
    full: Banded
    look: Banded
    launch: float
    best_full: float
    thrust: float
    dead_drag: float
    level_thrust: float
    level_throttle: float
    level_rudder: float
    cap_thrust: Banded
    cap: Banded
    cap_status: str
    climb: Banded
    sideslip: float
    rudder: float
    aileron: float
    full_moment: float      # of the live motor at full throttle
    thrust_moment: float    # about the CG, sizes: live thrust, dead propeller, rudder, sideslip; the last counts with the motors
    drag_moment: float
    rudder_moment: float
    sideslip_moment: float
    rudder_force: float
    safe_cap: float         # throttle held with the margin of the limits
    leave_cap: float        # throttle held at the speed at which it leaves hand or ground
    best_cap: float         # the best case: 5 degrees of bank, full rudder
    best_climb: float
    level_speed: float      # slowest speed from approach up at which what is held with wings level carries level flight; None: none
    fast_speed: float       # where that climbs best, and how
    fast_climb: float
    fast_cap: float
    slip_full: float        # sideslip with the rudder in the middle at full throttle, and on the thrust of level flight
    slip_level: float
    sideways_drag: float    # of sideslip, rudder and ailerons on the thrust that is held
    closed_climb: Banded    # with both throttles closed

    @property
    def safe_throttle(self):
        """Throttle to close to, in whole per cent: what is held with the margin of the limits, and at the lower end of the band; 0 when nothing is."""
        held = [cap for cap in (self.safe_cap, self.cap.low) if cap is not None and np.isfinite(cap)]
        return float(np.floor(100.0 * min(held, default=0.0)) / 100.0)


@dataclass(frozen=True, kw_only=True)
class OneMotorOut(Result):
    """SI. Only shape, derivatives and parts are known while the power is not. Curves run over throttles, for the side that is worse to lose."""

    derivatives: LateralDerivatives
    parts: tuple
    derived: tuple            # by controls and rates, with bands
    thin_effectiveness: float  # of a thin sheet in ideal air, and what is left of it in practice with this hinge
    effectiveness: float
    brakes: tuple             # of the left and the right controller
    throw: float
    used_angle: float
    used_effective: float
    throw_effective: float
    full_effect_angle: float  # travel up to which the rudder has its full effect, and beyond which it has no more
    best_angle: float
    has_rudder: bool
    has_ailerons: bool
    stall: float
    approach: float
    cruise: float
    margin: float
    look_throttle: float
    launch: str
    launch_throttle: float
    leave_speed: float
    left: OneSide
    right: OneSide
    worse: str                # side whose loss is worse
    alike: bool               # the difference is not worth telling
    throttles: np.ndarray
    curve: np.ndarray
    curve_low: np.ndarray
    curve_high: np.ndarray
    curve_best: np.ndarray
    slip_approach: np.ndarray
    slip_cruise: np.ndarray
    slip_look: float          # at approach on the throttle looked at, the rudder in the middle
    sideslip_limit: float
    band_parts: tuple         # (input, lower, higher) shift of the worse side's full-throttle speed
    unlike: Unlike
    nacelle_out: float
    closest_out: float        # how close in the propellers may stand beside the fuselage, with the room of the limits
    situation: Situation
    speeds: np.ndarray        # thrust of the live motor at full throttle over these, the worse side dead
    live: np.ndarray
    live_look: np.ndarray     # the same on the throttle looked at, and on the one it leaves the ground with
    live_launch: np.ndarray
    live_at_approach: np.ndarray      # over the throttles

    @property
    def bad(self):
        """The side that is worse to lose."""
        return getattr(self, self.worse) if self.worse else None

    @property
    def control_speed(self):
        """Minimum control speed of the worse side on full throttle, wings level; None when there is none."""
        return _number(self.bad.full.value) if self.bad else None

    @cached_property
    def levers(self):
        """What a change of the build does, nominal inputs, the worse side dead: rows of Lever, the build as it is first."""
        return levers.levers(self)

    def changes_that_climb(self, wanted):
        """Changes with which the lower end of the climb on one motor reaches `wanted`; None when there are none.

        The smallest usual fin; when none does, the same with the nacelles as close in as they may stand, with propellers that fold, or with both.
        """
        return levers.changes_that_climb(self, wanted)

    def fin_that_points(self, wanted):
        """Smallest fin height with which the weathercock stability reaches `wanted`; None when no usual fin does."""
        return levers.fin_that_points(self, wanted)


def one_motor_out(g, start, geometry, weight, power, wing, pulls):
    """Everything page 06 tells. The CG is that of page 04, until then the one page 05 wants."""
    g.use(start), g.use(geometry), g.use(weight, needed=False), g.use(power), g.use(wing), g.use(pulls)
    entries = {name: g(f"rudder.{name}") for name in ("throw", "used_share", "aileron_throw", "approach_factor", "dead_propeller")}
    curve = g("rudder.curve") == "five_points" and g("power.throttle") == "two_channels"       # one channel moves both sides alike
    entries["mix_share"] = g("rudder.mix_share") if g("rudder.mix") == "thrust" else tables.values("rudder/assumptions")["steering_difference"]
    entries["brakes"] = tuple(bool(g(f"wiring.{side}.brake")) for side in SIDES)
    kv_spread = g("limits.kv_spread")
    if geometry.missing or wing.cl_max is None:
        return OneMotorOut.unknown(g)
    cg = weight.cg_behind if weight.cg_behind is not None else wing.cg_first
    below = weight.cg_below if weight.cg_below is not None else CG_HEIGHT_SHARE * geometry.wing_above
    shape = shape_of(g, geometry, cg, below)
    fields = _sideways(shape, entries, wing)
    if not g.complete:
        unknown = OneMotorOut.unknown(g)
        return OneMotorOut(**{**vars(unknown), **fields})
    case = situation(g, start, geometry, weight, power, wing, shape, entries)
    fields |= {"margin": pulls.margin, "look_throttle": pulls.look_throttle, "launch_throttle": pulls.launch_throttle, "launch": start.launch,
               "leave_speed": pulls.leave_speed, "situation": case, "sideslip_limit": case.sideslip_limit, "nacelle_out": geometry.nacelle_out,
               "closest_out": geometry.fuselage_width / 2.0 + max(power.left.propeller_diameter, power.right.propeller_diameter) / 2.0 + g("limits.tip_fuselage")}
    fields |= _balanced(case, pulls, wing, curve, kv_spread, entries["mix_share"])
    return OneMotorOut(**fields, **g.marks())


def _sideways(shape, entries, wing):
    """What is known from the shape alone."""
    throw, used = entries["throw"], entries["used_share"] * entries["throw"]
    parts = sideslip_parts(shape)
    derivatives = derivatives_of(shape, wing.cl_max / entries["approach_factor"] ** 2, parts=parts)
    return {"derivatives": derivatives, "parts": contribution_table(parts), "derived": derived(shape, derivatives), "brakes": entries["brakes"],
            "thin_effectiveness": float(control_surfaces.thin_aerofoil_effectiveness(shape.rudder_share)),
            "throw_effective": float(control_surfaces.effective_limit(travel=throw)),
            "effectiveness": float(control_surfaces.surface_effectiveness(chord_share=shape.rudder_share, gap_openness=shape.gap)), "throw": throw, "used_angle": used,
            "used_effective": float(control_surfaces.effective_limit(travel=used)),
            "full_effect_angle": float(control_surfaces.FULL_EFFECT_ANGLE), "best_angle": float(control_surfaces.BEST_ANGLE),
            "has_rudder": shape.rudder_share > 0.0, "has_ailerons": shape.aileron_share > 0.0 and shape.aileron_inner < 1.0, "stall": wing.stall_speed,
            "approach": wing.approach_speed, "cruise": wing.cruise_speed}


def _balanced(case, pulls, wing, curve, kv_spread, mix_share):
    """Fields of OneMotorOut that take the balance; all speeds and throttles are solved at once."""
    approach, cruise, grid, speeds, curves, points = wing.approach_speed, wing.cruise_speed, pulls.grid, pulls.speeds, pulls.curves, pulls.points
    above = np.flatnonzero(grid > approach)
    control, best = _control_speeds(case, grid, points[..., :GRID_SPEEDS])                       # (2, asked, cases), (2, asked)
    held = _held(case, speeds, points[:, 0], np.concatenate([[GRID_SPEEDS], above]))
    climbs, best_climbs = case.climb(held["cases"], approach), case.climb(held["best"][:, None], approach, held["best_bank"][:, None], case.likely)
    closed, level, sideways = single(case.closed_climb(approach)), case.level_thrusts(approach), case.sideways_drag(case.likely, held["cases"][:, :1], approach, 0.0)
    sides = {}
    for k, dead in enumerate(SIDES):
        here = curves[k, :, GRID_SPEEDS]                                                         # thrust at approach over the throttles
        throttle = lambda thrust, place: _number(throttle_for_thrust(np.atleast_1d(thrust), THROTTLES, curves[k, :, place])[0])  # noqa: B023, E731
        cases, best_held = held["cases"][k], held["best"][k]
        climb = np.nan_to_num(held["climb"][k], nan=-np.inf)
        top = int(np.argmax(climb))
        flown = held["speeds"]
        sides[dead] = OneSide(
            dead=dead, live=OTHER[dead], full=single(control[k, 0]), look=single(control[k, 1]), launch=float(control[k, 2, 0]), best_full=float(best[k, 0]),
            thrust=float(here[-1]), cap_thrust=single(cases),
            cap=_throttles(throttle_for_thrust(np.minimum(cases / case.moved["thrust"][k], here[-1]), THROTTLES, here)), cap_status=str(held["status"][k]),
            climb=single(climbs[k]), best_cap=throttle(best_held, GRID_SPEEDS), best_climb=float(best_climbs[k, 0]),
            safe_cap=throttle(held["safe"][k], GRID_SPEEDS + 1), leave_cap=throttle(held["leave"][k], GRID_SPEEDS + 2), level_speed=_first_above(flown, climb),
            sideways_drag=float(sideways[k, 0]), closed_climb=closed, fast_speed=float(flown[top]), fast_climb=float(climb[top]), fast_cap=throttle(held["flown"][k, top], held["places"][top]),
            **_at_approach(case, dead, float(cases[0]), approach, here, float(level[k])))
    other, worse = sorted(SIDES, key=lambda side: (sides[side].full.value, -sides[side].cap.value))
    k = SIDES.index(worse)
    drawn, drawn_best = _control_speeds(case, grid, curves[k:k + 1, :, :GRID_SPEEDS], k)
    value, low, high = banded(drawn[0].T)
    pair = [sides[side].full.value for side in (worse, other)]
    slips = [np.abs(case.slip(curves[k, :, place], speeds[place], worse).angle) for place in (GRID_SPEEDS, GRID_SPEEDS + 3)]
    middle = wing.cruise_throttle if wing.cruise_throttle is not None else 0.5      # the middle of the stick where no throttle holds the cruise
    return {**sides, "worse": worse, "alike": not np.isfinite(pair).all() or pair[0] - pair[1] <= case.shape.values["alike"] * pair[0], "throttles": THROTTLES,
            "curve": value, "curve_low": low, "curve_high": high, "curve_best": drawn_best[0], "slip_approach": slips[0], "slip_cruise": slips[1],
            "slip_look": float(np.abs(case.slip(points[k, 1, GRID_SPEEDS], approach, worse).angle)),
            "speeds": grid, "live": points[k, 0, :GRID_SPEEDS], "live_look": points[k, 1, :GRID_SPEEDS], "live_launch": points[k, 2, :GRID_SPEEDS],
            "live_at_approach": curves[k, :, GRID_SPEEDS], "band_parts": _band_parts(control[k, 0]),
            "unlike": unlike(case, THROTTLES, (0.0, *pulls.standing), (cruise, *pulls.cruising), (approach, *pulls.approaching), middle,
                             _both(case, approach, THROTTLES, pulls.approaching), curve, kv_spread, mix_share)}


def _both(case, speed, throttles, pulling):
    """Throttle of both motors for level flight at a speed; full where that is not enough."""
    wanted = case.level_thrust_of_both(speed)
    found = throttle_for_thrust(np.atleast_1d(wanted), throttles, pulling[0] + pulling[1])[0]
    return float(found) if np.isfinite(found) else 1.0


def _control_speeds(case, grid, live, first=0):
    """Minimum control speeds of live thrust (sides, throttles, speeds), sides counted from `first`: wings level (sides, throttles, cases), best (sides, throttles)."""
    shape = live.shape[:2]
    side, row, moved = (x.ravel() for x in np.indices((*shape, CONTROL_CASES + 1)))
    best = moved == CONTROL_CASES                                                                # the last column asks for the best case, nominal inputs
    found = case.control_speed(grid, live[side, row], first + side, np.where(best, 0, moved), best).reshape(*shape, -1)
    return found[..., :-1], found[..., -1]


def _held(case, speeds, full, places):
    """What is held: at the approach in every case and in the best one, with the margin and on leaving, and over the speeds at some places; both sides.

    full: thrust at full throttle (2, speeds); places: on the speed axis, the approach first.
    """
    count, fixed = len(UNCERTAIN) * 2 + 1, [GRID_SPEEDS, GRID_SPEEDS + 1, GRID_SPEEDS + 2]
    place = np.concatenate([np.full(count, fixed[0]), fixed, places])
    moved = np.concatenate([np.arange(count), np.zeros(3 + places.size, int)])
    best = np.arange(place.size) == count
    side, column = (x.ravel() for x in np.indices((2, place.size)))
    found = case.holdable(speeds[place[column]], full[side, place[column]], side, moved[column], best[column])
    thrust, status, bank = (x.reshape(2, -1) for x in (found.thrust, found.status, found.bank))
    flown = thrust[:, count + 3:]
    return {"cases": thrust[:, :count], "best": thrust[:, count], "best_bank": bank[:, count], "safe": thrust[:, count + 1], "leave": thrust[:, count + 2], "status": status[:, 0],
            "flown": flown, "speeds": speeds[places], "places": places, "climb": case.climb(flown, speeds[places], inputs=case.likely)}


def _at_approach(case, dead, held, approach, samples, level):
    """Fields of OneSide: level flight, and the balance on the thrust that is held."""
    k, d = SIDES.index(dead), case.nominal
    needed = throttle_for_thrust(np.array([level]), THROTTLES, samples)[0]
    for_level, trim = case.trim(level, approach, dead), case.trim(held, approach, dead)
    drag = float(case.dead_drag(approach, dead))
    pressure_area = 0.5 * case.density * approach**2 * case.shape.wing_area
    moment = pressure_area * case.shape.wing_span
    arm = float(case.arm[k, 0])
    real = lambda angle: _number(abs(control_surfaces.deflection_for(angle)))  # noqa: E731
    slip = {name: abs(float(case.slip(thrust, approach, dead).angle)) for name, thrust in (("slip_full", samples[-1]), ("slip_level", level))}
    return {"dead_drag": drag, "level_thrust": level, "level_throttle": _number(needed), "level_rudder": real(for_level.rudder), "sideslip": _number(trim.sideslip),
            "rudder": real(trim.rudder), "aileron": _number(trim.aileron), "full_moment": float(samples[-1]) * arm, "thrust_moment": held * arm, "drag_moment": drag * arm,
            "rudder_moment": _number(abs(trim.rudder * d.cn_rudder) * moment), "sideslip_moment": _number(abs(trim.sideslip * d.cn_beta) * moment),
            "rudder_force": _number(abs(trim.rudder * d.cy_rudder) * pressure_area), **slip}


def _throttles(cases):
    """A throttle with its band; no end of it lies outside the stick."""
    found = single(cases)
    return Banded(found.value, max(found.low, 0.0), min(found.high, 1.0))


def _first_above(speeds, values):
    """Speed at which values first reach zero, straight between the samples; None when they never do."""
    over = np.flatnonzero(values >= 0.0)
    if over.size == 0:
        return None
    i = over[0]
    return float(speeds[0] if i == 0 else np.interp(0.0, values[i - 1:i + 1], speeds[i - 1:i + 1]))


def _number(x):
    """A float, None where there is none."""
    return float(x) if np.isfinite(x) else None


def _band_parts(speeds):
    """What each uncertain input does to a minimum control speed: (input, lower, higher) shift, the largest first."""
    with np.errstate(invalid="ignore"):
        pairs = (speeds[1:] - speeds[0]).reshape(-1, 2)
    moved = [(name, float(min(pair.min(), 0.0)), float(max(pair.max(), 0.0))) for name, pair in zip(UNCERTAIN, pairs) if np.isfinite(speeds[0])]
    return tuple(sorted((row for row in moved if row[2] - row[1] > 0.0), key=lambda row: row[1] - row[2]))
