"""The wing with this mass on this power: loading, stall, drag, level and climbing flight, launch and landing, clearances, sheets."""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.cutting import CuttingPlan, cutting_plan
from twinkit.design.pitch import pitch
from twinkit.design.polar import drag_polar
from twinkit.design.room import room
from twinkit.design.strength import OwnStrip, SparBeam, strength
from twinkit.physics import lifting_line, manoeuvre
from twinkit.physics import performance as flight
from twinkit.physics import wing as wings

TURN_BANKS = tuple(np.radians((30.0, 45.0, 60.0)))
GRID_SPEEDS = 61        # speeds of the curves
THROTTLES = 16          # throttle positions tried for the cruise
POWER_ON_TOP = 1.12     # where the speed axis ends, over the speed without thrust
POWER_OFF_TOP = 3.0     # the same in stall speeds, while the power is not known


@dataclass(frozen=True)
class Turn:
    """A level turn: bank, load factor, stall speed in it, and the radius flown with the approach speed's margin."""

    bank: float
    load_factor: float
    stall_speed: float
    speed: float
    radius: float


@dataclass(frozen=True, kw_only=True)
class Performance(Result):
    """SI. Places count behind the leading edge at the root. Fields that need the power, the CG or the propellers are None while these are not known."""

    # mass and loading
    mass: float
    mass_low: float
    mass_high: float
    mass_from: str
    loading: float
    cubic_loading: float
    kinds: tuple
    board_loading: float
    # lift
    cl_max: float
    cl_max_low: float
    cl_max_high: float
    stall_speed: float
    stall_low: float
    stall_high: float
    approach_speed: float
    turns: tuple
    stall_eta: float
    # drag
    reynolds: float
    drag_parts: tuple
    cd0: float
    cd0_low: float
    cd0_high: float
    induced_factor: float
    ideal_efficiency: float
    glide_ratio: float
    glide_speed: float
    min_power_speed: float
    min_power: float
    speeds: np.ndarray
    drag: np.ndarray
    drag_low: np.ndarray
    drag_high: np.ndarray
    # on the thrust of page 01
    thrust: np.ndarray
    thrust_low: np.ndarray
    thrust_high: np.ndarray
    climb_rates: np.ndarray
    climb_rate: float
    climb_low: float
    climb_high: float
    climb_speed: float
    top_speed: float
    top_low: float
    top_high: float
    zero_thrust_speed: float
    zero_over_stall: float
    cruise_speed: float
    cruise_drag: float
    power: object             # the drives it flies on
    hard_turn: Turn
    # pitch
    neutral_place: float
    neutral_band: float
    neutral_behind: float
    neutral_low: float
    neutral_high: float
    tail_shift: float
    body_shift: float
    cg_front: float
    cg_rear: float
    cg_first: float
    elevator_front: float
    static_margin: float
    static_margin_band: float
    tail_volume: float
    fin_volume: float
    fin_share: float
    spiral: float
    # strength
    design_lift: float
    bending_root: float
    bending_elliptic: float
    nacelle_eta: float
    bending_nacelle: float
    spar: SparBeam
    own_strip: OwnStrip
    spar_end: float
    bending_spar_end: float
    spar_stress: float
    spar_reserve: float
    spar_allowable: float
    skin_stress: float
    skin_reserve: float
    skin_allowable: float
    reach_needed: float
    tube_needed: tuple
    tip_rise: float
    nacelle_mass: float
    landing_force: float
    landing_torsion_stress: float
    torsion_allowable: float
    landing_factor: float
    landing_bond: float
    bond_length: float
    bond_allowable: float
    # launch, landing, clearances
    launch_lost: float
    launch_ratio: float
    launch_status: str
    throw_needed: float
    release_height: float
    landing_distance: float
    fence_height: float
    propeller_diameter: float
    tip_fuselage: float
    tip_ground: float
    tip_hand: float
    tip_tip: float
    nacelle_places: tuple
    wheel_track: float
    wheel_angle: float
    # cutting
    cutting: CuttingPlan
    longest_part: float
    longest_part_name: str

    @cached_property
    def cruise_throttle(self):
        """Equal throttle of both sides that carries the drag of the cruise; None when full throttle does not, or the power is not known."""
        return _throttle(self.power, self.cruise_speed, self.cruise_drag) if self.power is not None and self.power.thrust is not None else None

    @property
    def greatest_speed(self):
        """The fastest the propellers pull it, nose down; guessed from the stall speed while the power is not known."""
        return self.zero_thrust_speed or self.top_speed or 2.5 * self.stall_speed


def performance(g, start, geometry, weight, power):
    """Everything page 05 tells. The mass is that of page 04, until then the first guess of page 00."""
    g.use(start), g.use(geometry), g.use(weight, needed=False), g.use(power, needed=False)
    a = tables.values("wing/assumptions")
    entries = {name: g(f"wing.{name}") for name in ("oswald", "cruise_factor", "throw_speed", "grip_behind", "gear_height", "pieces")}
    approach_factor, sheet = g("rudder.approach_factor"), (g("start.sheet_length"), g("start.sheet_width"))
    if not g.complete:
        return Performance.unknown(g)
    mass = _mass(g, start, weight, a)
    lift = _lift(g, start, geometry, mass, approach_factor)
    polar = drag_polar(g, start, geometry, mass["mass"], lift["cl_max"], approach_factor, entries["oswald"], a)
    on_power = _on_power(start, geometry, mass, lift, polar, power, entries["cruise_factor"], a)
    cruise_cl = lift["cl_max"] / entries["cruise_factor"] ** 2
    section = tables.read("sections/sections").row("section", geometry.section)
    nacelle_mass = _nacelle_mass(g, geometry, weight)
    fitted = pitch(g, geometry, weight, a, lift["cl_max"], cruise_cl, section["moment"])
    fields = {
        **mass, **lift, **polar, **on_power, **fitted, **strength(g, geometry, mass["mass"], nacelle_mass, a),
        **_launch(mass["mass"], lift["stall_speed"], on_power, entries["throw_speed"], g("limits.launch_sink"), a), **room(g, geometry, weight, entries, a),
        "loading": float(wings.wing_loading(mass["mass"], geometry.area)), "cubic_loading": float(wings.cubic_loading(mass["mass"], geometry.area)),
        "kinds": _kinds(float(wings.cubic_loading(mass["mass"], geometry.area))), "board_loading": _board_loading(g, geometry), "nacelle_mass": nacelle_mass,
        "cutting": cutting_plan(geometry.outlines, max(sheet), min(sheet), a["cut_gap"]),
    }
    fields["power"] = power
    fields["longest_part"], fields["longest_part_name"] = max((geometry.span / entries["pieces"], "wing"), (geometry.fuselage_length, "fuselage"))
    return Performance(**fields, **g.marks())


def _mass(g, start, weight, a):
    """Mass with its band, and where it comes from: "scale", "list" or "guess"."""
    if weight.mass is not None:
        return {"mass": weight.mass, "mass_low": weight.mass_low, "mass_high": weight.mass_high, "mass_from": weight.mass_origin}
    g.assume("start.mass_guess")
    band = a["mass_guess_band"]
    return {"mass": start.mass_guess, "mass_low": start.mass_guess * (1 - band), "mass_high": start.mass_guess * (1 + band), "mass_from": "guess"}


def _board_loading(g, geometry):
    """Mass that another square metre of wing adds, glue and growth counted."""
    return g("weight.sheet_mass") * geometry.wing_board / geometry.area * (1.0 + g("weight.glue_share")) * (1.0 + g("weight.growth"))


def _kinds(cubic):
    rows = tables.read("wing/cubic_loading").rows()
    return tuple(row["kind"] for row in rows if row["low"] <= cubic and not cubic >= row["high"])


def _lift(g, start, geometry, mass, approach_factor):
    """Stall speed with its band: the section's usual value, or the builder's own."""
    table = tables.read("sections/sections").row("section", geometry.section)
    entry, own = g.record.get("wing.cl_max"), g.maybe("wing.cl_max")
    if own is None:
        g.assume("wing.cl_max")
        best, low, high = table["cl_max"], table["cl_max_low"], table["cl_max_high"]
    else:
        measured = entry.origin == "measured"
        band = tables.values("wing/assumptions")["cl_measured_band"]
        best, low, high = own, own * (1 - band if measured else table["cl_max_low"] / table["cl_max"]), own * (1 + band if measured else table["cl_max_high"] / table["cl_max"])
    stall = float(flight.stall_speed(mass["mass"], geometry.area, start.density, best))
    spread = lambda m, cl: stall * np.hypot(np.sqrt(m / mass["mass"]) - 1.0, np.sqrt(best / cl) - 1.0)  # noqa: E731
    banks = np.array(TURN_BANKS)
    in_turn = manoeuvre.turn_stall_speed(stall, banks)
    rows = zip(banks, manoeuvre.load_factor(banks), in_turn, approach_factor * in_turn, manoeuvre.turn_radius(approach_factor * in_turn, banks))
    slope = 2.0 * np.pi * tables.values("wing/assumptions")["section_slope_ratio"]
    line = _line(geometry.span, geometry.chord, geometry.tip_chord, geometry.taper_start, geometry.washout, slope, float(best))
    return {
        "cl_max": float(best), "cl_max_low": float(low), "cl_max_high": float(high), "stall_speed": stall, "stall_low": float(stall - spread(mass["mass_low"], high)),
        "stall_high": float(stall + spread(mass["mass_high"], low)), "approach_speed": approach_factor * stall,
        "turns": tuple(Turn(*map(float, row)) for row in rows), "stall_eta": line[0], "ideal_efficiency": line[1],
    }


@lru_cache(maxsize=64)
def _line(span, chord, tip, joint, washout, slope, cl):
    """Where along the half span the section first reaches its greatest lift, and the span efficiency of the ideal wing."""
    found = lifting_line.lifting_line(span=span, root_chord=chord, break_chord=chord, tip_chord=tip if joint < 1.0 else chord, break_fraction=joint,
                                      section_slope=slope, root_angle=0.1, break_washout=washout * joint, tip_washout=washout, terms=40)
    return float(found.eta[np.argmax(found.basic_cl + cl * found.unit_cl)]), float(1.0 / (1.0 + found.delta))


def _on_power(start, geometry, mass, lift, polar, power, cruise_factor, a):
    """Drag on a grid of speeds, and what the thrust of page 01 makes of it."""
    stall = lift["stall_speed"]
    zero = None if power.thrust is None or not np.isfinite(power.zero_thrust_speed) else power.zero_thrust_speed
    top = max(POWER_ON_TOP * zero, 2.0 * stall) if zero else POWER_OFF_TOP * stall
    speeds = np.linspace(stall, top, GRID_SPEEDS)
    # rows: nominal, more thrust, more drag without lift, more induced drag, more mass
    cd0, factor, kilos = (np.full((5, 1), x) for x in (polar["cd0"], polar["induced_factor"], mass["mass"]))
    cd0[2], factor[3], kilos[4] = polar["cd0_high"], polar["induced_factor"] * (1.0 + a["oswald_band"]), mass["mass_high"]
    level = flight.level_drag(speeds, kilos, geometry.area, start.density, cd0, factor)
    spread = np.sqrt(np.sum((level[2:] - level[0]) ** 2, axis=0))
    cruise = cruise_factor * stall
    cruise_drag = float(flight.level_drag(cruise, mass["mass"], geometry.area, start.density, polar["cd0"], polar["induced_factor"]))
    fields = dict.fromkeys(("thrust", "thrust_low", "thrust_high", "climb_rates", "climb_rate", "climb_low", "climb_high", "climb_speed", "top_speed", "top_low",
                            "top_high", "zero_thrust_speed", "zero_over_stall", "hard_turn"))
    fields |= {"speeds": speeds, "drag": level[0], "drag_low": level[0] - spread, "drag_high": level[0] + spread, "cruise_speed": cruise, "cruise_drag": cruise_drag}
    if power.thrust is None:
        return fields
    solved = np.isfinite(power.thrust)
    at = np.append(speeds, start.cruise_guess)
    left, right = (np.interp(at, power.speeds[solved], row[solved]) for row in (power.thrust_left, power.thrust_right))
    # the model errs alike on both sides; its band was worked out at the cruise, beyond which the newtons stay, not the share
    thrust, band = (left + right)[:-1], sum(np.maximum(row[:-1], row[-1]) * side.band_flight for row, side in ((left, power.left), (right, power.right)))
    pull = np.vstack([thrust, thrust + band, thrust, thrust, thrust])
    climb = flight.climb(pull, speeds, kilos, geometry.area, start.density, cd0, factor)
    usable = np.where(speeds >= lift["approach_speed"], climb.rate, np.nan)
    low_high = {}
    if np.isfinite(usable).any(axis=1).all():
        best = np.nanmax(usable, axis=1)
        width = float(np.sqrt(np.sum((best[1:] - best[0]) ** 2)))
        low_high = {"climb_rate": float(best[0]), "climb_low": float(best[0]) - width, "climb_high": float(best[0]) + width,
                    "climb_speed": float(speeds[np.nanargmax(usable[0])])}
    crossing = flight.level_speeds(speeds, pull, level)
    fast = crossing.fast
    if np.isfinite(fast).all():
        width = float(np.sqrt(np.sum((fast[1:] - fast[0]) ** 2)))
        low_high |= {"top_speed": float(fast[0]), "top_low": float(fast[0]) - width, "top_high": float(fast[0]) + width}
    fields |= low_high | {"thrust": thrust, "thrust_low": thrust - band, "thrust_high": thrust + band, "climb_rates": climb.rate[0]}
    if zero:
        fields |= {"zero_thrust_speed": zero, "zero_over_stall": zero / stall}
    fields["hard_turn"] = _hard_turn(speeds, thrust, stall, mass["mass"], geometry.area, start.density, polar)
    return fields


def _hard_turn(speeds, thrust, stall, mass, area, density, polar):
    """The tightest level turn that full throttle sustains and the wing carries; None when there is none."""
    held = np.minimum(manoeuvre.sustained_load_factor(thrust, speeds, mass, area, density, polar["cd0"], polar["induced_factor"]), (speeds / stall) ** 2)
    turns = held > 1.0 + 1e-6
    if not turns.any():
        return None
    bank = np.arccos(1.0 / np.where(turns, held, np.nan))
    radius = np.where(turns, manoeuvre.turn_radius(speeds, bank), np.inf)
    k = int(np.nanargmin(radius))
    return Turn(*map(float, (bank[k], held[k], stall * np.sqrt(held[k]), speeds[k], radius[k])))


def _throttle(power, speed, wanted):
    """Equal throttle of both sides whose thrust carries the drag; None when full throttle does not."""
    throttles = np.linspace(1.0 / THROTTLES, 1.0, THROTTLES)
    point = power.solve(throttles, throttles, speed)
    thrust = np.asarray(point.left.thrust + point.right.thrust)
    short = np.flatnonzero(~(thrust >= wanted))
    last = short[-1] if short.size else -1
    if last == THROTTLES - 1:
        return None
    if last < 0:
        return float(throttles[0])
    share = (wanted - thrust[last]) / (thrust[last + 1] - thrust[last])
    return float(throttles[last] + share * (throttles[last + 1] - throttles[last]))


def _launch(mass, stall, on_power, throw_speed, sink, a):
    """A throw by hand at full throttle in still air, and the slowest throw that sinks no deeper than allowed; None while the thrust is not known."""
    if on_power["thrust"] is None:
        return dict.fromkeys(("launch_lost", "launch_ratio", "launch_status", "throw_needed", "release_height"))
    carries = a["release_margin"] * stall
    excess = float(np.interp(carries, on_power["speeds"], on_power["thrust"] - on_power["drag"]))
    speeds = np.append(np.linspace(0.0, carries, GRID_SPEEDS), throw_speed)
    throw = manoeuvre.hand_launch(throw_speed=speeds, headwind=0.0, stall_speed=stall, lift_margin=a["release_margin"], mass=mass, excess_thrust=excess)
    lost = float(throw.height_lost[-1])
    enough = np.flatnonzero(throw.height_lost[:-1] <= sink)
    return {"launch_lost": lost if np.isfinite(lost) else None, "launch_ratio": float(throw.ratio[-1]), "launch_status": str(throw.status[-1]),
            "throw_needed": float(speeds[enough[0]]) if enough.size else carries, "release_height": a["release_height"]}


def _nacelle_mass(g, geometry, weight):
    """Mass that the heavier nacelle carries, by the list of page 04; until then the heavier motor; None when neither is known."""
    motors = [m for m in (g.maybe(f"power.{side}.motor_mass") for side in ("left", "right")) if m is not None]
    if not weight.items:
        return max(motors, default=None)
    carried = [i for i in weight.items if i.group in ("motors", "parts") and i.mass is not None and abs(abs(i.out) - geometry.nacelle_out) <= geometry.nacelle_width]
    return max(sum(i.mass / 2 if i.mirrored else i.mass for i in carried if i.mirrored or np.sign(i.out) == side) for side in (-1.0, 1.0))
