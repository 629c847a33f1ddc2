"""One motor out on this build: what is held at which speed and throttle, either side dead, with every uncertain input moved in turn."""

from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np

from twinkit import tables
from twinkit.constants import STANDARD_GRAVITY
from twinkit.design import yaw
from twinkit.design.yaw import Shape
from twinkit.physics import asymmetric_thrust, control_surfaces, engine_out, engine_out_closed_forms, performance, sideslip_drag
from twinkit.physics.air import dynamic_pressure
from twinkit.physics.derivatives import LateralDerivatives
from twinkit.physics.wing import chord_along_span

SIDES = ("left", "right")
OTHER = {"left": "right", "right": "left"}
# Inputs moved up and down by one standard deviation, two cases each after the nominal one; the last four move the climb alone.
UNCERTAIN = ("thrust", "dead propeller", "fin", "rudder", "body", "nacelles and propellers", "slipstream", "mass", "drag", "span efficiency", "sideslip drag")
CONTROL_CASES = 1 + 2 * 7       # cases that move a minimum control speed
LEVEL_STEPS = 6                 # each takes the drag of the last thrust; from the last three follows where they lead (Aitken)


@dataclass(frozen=True)
class Banded:
    """A number with the ends of its one-sigma band; inf: beyond every speed tried."""

    value: float
    low: float
    high: float


def banded(cases):
    """Value with its band from cases along the first axis: the nominal one, then pairs with one input moved up and down."""
    cases = np.asarray(cases, dtype=float)
    value = cases[0]
    with np.errstate(invalid="ignore"):
        moved = cases[1:] - value
        pairs = np.nan_to_num(moved, nan=0.0, posinf=np.inf, neginf=-np.inf).reshape(-1, 2, *value.shape)
        up, down = (np.sqrt(np.sum(end**2, axis=0)) for end in (np.maximum(pairs.max(axis=1), 0.0), np.minimum(pairs.min(axis=1), 0.0)))
        low, high = value - down, value + up
    return value, np.where(np.isfinite(low), low, np.min(cases, axis=0)), np.where(np.isfinite(value), high, value)


def single(cases):
    """The same as one Banded of floats."""
    return Banded(*(float(x) for x in banded(cases)))


@dataclass(frozen=True)
class Inputs:
    """What the balance is made of in some cases, arrays that broadcast together. frame: the keywords that the engine_out searches share."""

    shape: Shape
    derivatives: LateralDerivatives
    fin_cy: np.ndarray        # side force by sideslip, of the fin, and of bodies and propellers
    body_cy: np.ndarray
    frame: dict
    cd0: np.ndarray
    induced_factor: np.ndarray
    sideways: np.ndarray      # factor on the drag of sideslip and rudder


@dataclass(frozen=True)
class Situation:
    """Everything the balance on one motor is made of, SI. Arrays: sides (2, 1) with the left motor dead first, moved inputs (cases,) or (2, cases)."""

    shape: Shape
    lift: float
    density: float
    mass: float
    cd0: float
    induced_factor: float
    chord: float
    arm: np.ndarray
    disk: np.ndarray
    dead_coefficient: np.ndarray      # of the dead propeller, on the live one's disc
    rudder_used: float                # effective angles
    rudder_full: float
    aileron_limit: float
    sideslip_limit: float
    bank_limit: float
    dead_state: str
    moved: dict

    @cached_property
    def nominal(self):
        """Derivatives of the nominal case."""
        return self.likely.derivatives

    def inputs(self, side=None, shape=None, moved=True):
        """The inputs: both sides (2, ...) or one of them, every moved case or the nominal one, another fin and rudder if asked."""
        shape = shape or self.shape
        row = (lambda x: x if side is None or np.ndim(x) < 2 else x[side])
        factor = (lambda name: row(self.moved[name])) if moved else (lambda name: 1.0)
        factors = dict(zip(("fin", "rudder", "body", "small"), (factor(name) for name in yaw.FACTORS)))
        parts = yaw.sideslip_parts(shape, factors["fin"], factors["body"], factors["small"])
        derivatives = yaw.derivatives_of(shape, self.lift, **factors, parts=parts)
        frame = {"density": self.density, "mass": self.mass * factor("mass"), "wing_area": shape.wing_area, "wing_span": shape.wing_span, "arm": row(self.arm),
                 "chord": self.chord, "disk_area": row(self.disk), "drag_coefficient": row(self.dead_coefficient) * factor("dead propeller"),
                 "slipstream_factor": shape.values["slipstream_factor"] * factor("slipstream"), "aileron_limit": self.aileron_limit, "sideslip_limit": self.sideslip_limit}
        return Inputs(shape, derivatives, parts["fin"].cy_beta, sum(parts[name].cy_beta for name in yaw.BODIES if name in parts), frame,
                      self.cd0 * factor("drag"), self.induced_factor * factor("span efficiency"), factor("sideslip drag"))

    def as_likely(self):
        """The same with nothing moved: one case."""
        return replace(self, moved={name: factor[..., :1] for name, factor in self.moved.items()})

    @cached_property
    def every(self):
        """Both sides in every case."""
        return self.inputs()

    @cached_property
    def likely(self):
        """Both sides, most likely values: arrays (2, 1)."""
        return self.inputs(moved=False)

    def _asked(self, side, case, best):
        """Arguments of the engine_out searches for rows of (side, case, whether the best case with bank and full rudder is meant)."""
        pick = lambda x: x if np.ndim(x) == 0 else x[case] if np.ndim(x) == 1 else x[side, case if x.shape[1] > 1 else 0]  # noqa: E731
        derivatives = LateralDerivatives(**{f.name: pick(getattr(self.every.derivatives, f.name)) for f in fields(LateralDerivatives)})
        return derivatives, {name: pick(x) for name, x in self.every.frame.items()} | {
            "rudder_limit": np.where(best, self.rudder_full, self.rudder_used), "bank_limit": np.where(best, self.bank_limit, 0.0)}

    def control_speed(self, grid, live, side, case, best):
        """Minimum control speeds for rows of live thrust (rows, speeds) with side (0 left dead, 1 right), case and best (rows,); inf where there is none."""
        derivatives, frame = self._asked(side, case, best)
        found = engine_out.minimum_control_speed(derivatives, grid, live * self._thrust_factor(side, case)[:, None], **frame)
        return np.where(np.isfinite(found.speed), found.speed, np.inf)

    def holdable(self, speed, full, side, case, best):
        """Live thrust held at a speed where the live motor gives `full` at full throttle, by rows as control_speed -> HoldableThrust."""
        derivatives, frame = self._asked(side, case, best)
        return engine_out.holdable_thrust(derivatives, speed, full * self._thrust_factor(side, case), **frame)

    def _thrust_factor(self, side, case):
        return self.moved["thrust"][side, case]

    def may_climb(self, height, rudder_share, speed, full, side, wanted):
        """Whether every moved input alone leaves a climb, for several fins (fins,): what the lower end of the band needs at least. Quick: nothing is searched."""
        i = self.inputs(side, self.shape.with_fin(np.asarray(height)[:, None], np.asarray(rudder_share)[:, None]))
        thrust = self._thrusts_for(i, speed, wanted, LEVEL_STEPS)[-1]
        trim = self._straight(i, thrust, speed, 0.0)
        held = (np.abs(trim.rudder) <= self.rudder_used) & (np.abs(trim.sideslip) <= self.sideslip_limit) & (np.abs(trim.aileron) <= self.aileron_limit)
        return np.all(held & (thrust <= full * self.moved["thrust"][side]), axis=1)

    def with_fin(self, height, rudder_share, speed, full, side):
        """Climb rates (fins, cases) on what is held with wings level at one speed, for several fins."""
        i = self.inputs(side, self.shape.with_fin(np.asarray(height)[:, None], np.asarray(rudder_share)[:, None]))
        held = engine_out.holdable_thrust(i.derivatives, speed, full * self.moved["thrust"][side], **i.frame, rudder_limit=self.rudder_used, bank_limit=0.0)
        return self.climb(held.thrust, speed, inputs=i)

    def dead_drag(self, speed, dead):
        """Drag of the dead propeller of a side, nominal, at any speeds."""
        k = SIDES.index(dead)
        return asymmetric_thrust.dead_propeller_drag(speed, self.density, self.disk[k, 0], self.dead_coefficient[k, 0])

    def climb(self, thrust, speed, bank=0.0, inputs=None):
        """Climb rate on a live thrust, the drag of sideslip, rudder and ailerons counted; thrust (2, cases) where no other inputs are given."""
        i = inputs or self.every
        left = thrust - self._dead(i, speed) - self.sideways_drag(i, thrust, speed, bank)
        return performance.climb(left, speed, i.frame["mass"], i.frame["wing_area"], self.density, i.cd0, i.induced_factor).rate

    def closed_climb(self, speed):
        """Climb rate (cases,) with both throttles closed: two dead propellers, no sideslip."""
        i = self.every
        return performance.climb(-self._dead(i, speed).sum(axis=0), speed, i.frame["mass"], i.frame["wing_area"], self.density, i.cd0, i.induced_factor).rate

    def level_thrusts(self, speed):
        """Live thrust (2,) that level flight with wings level takes, nominal; beyond what the rudder has its greatest drag is counted."""
        one, two, three = self._thrusts_for(self.likely, speed, 0.0, LEVEL_STEPS)[-3:]
        bend = (three - two) - (two - one)
        return (three - np.divide((three - two) ** 2, bend, out=np.zeros_like(three), where=np.abs(bend) > 1e-12))[:, 0]

    def level_thrust_of_both(self, speed):
        """Thrust that level flight on both motors takes, nominal."""
        return float(performance.level_drag(speed, self.mass, self.shape.wing_area, self.density, self.cd0, self.induced_factor))

    def _dead(self, i, speed):
        return asymmetric_thrust.dead_propeller_drag(speed, self.density, i.frame["disk_area"], i.frame["drag_coefficient"])

    def _thrusts_for(self, i, speed, rate, steps):
        """Live thrusts that lead to the one for a climb rate: each takes the drag of sideslip and rudder on the one before, always from below."""
        mass, area = i.frame["mass"], i.frame["wing_area"]
        without = (performance.level_drag(speed, mass, area, self.density, i.cd0, i.induced_factor) + self._dead(i, speed)
                   + mass * STANDARD_GRAVITY * rate / speed)
        thrusts = [without]
        for _ in range(steps):
            thrusts.append(without + self.sideways_drag(i, thrusts[-1], speed, 0.0))
        return thrusts

    def _straight(self, i, thrust, speed, bank):
        """Sideslip, effective rudder and aileron of straight flight with the left motor dead, or the right one seen in a mirror."""
        f = i.frame
        lift = f["mass"] * STANDARD_GRAVITY / (dynamic_pressure(self.density, speed) * f["wing_area"])
        roll = asymmetric_thrust.slipstream_roll(thrust, speed, self.density, lift, f["disk_area"], self.chord, f["arm"], f["slipstream_factor"])
        moments = asymmetric_thrust.asymmetric_moments(thrust, self._dead(i, speed), f["arm"], f["arm"], roll, "left")
        return engine_out.engine_out_trim(i.derivatives, speed, self.density, f["mass"], f["wing_area"], f["wing_span"], bank, moments.yawing, moments.rolling)

    def sideways_drag(self, i, thrust, speed, bank):
        """Drag of sideslip, rudder and ailerons on a live thrust; what is beyond the limits of a control counts at its limit, none without a rudder."""
        trim, shape = self._straight(i, thrust, speed, bank), i.shape
        most = control_surfaces.effective_limit(control_surfaces.BEST_ANGLE)
        rudder, sideslip = np.clip(trim.rudder, -most, most), np.clip(trim.sideslip, -self.sideslip_limit, self.sideslip_limit)
        aileron = np.clip(trim.aileron, -self.aileron_limit, self.aileron_limit) if np.isfinite(self.aileron_limit) else 0.0
        fin = shape.fin_height * shape.fin_chord / shape.wing_area
        coefficient = (sideslip_drag.moved_surface_drag(shape.rudder_share, fin, control_surfaces.deflection_for(rudder))
                       + sideslip_drag.moved_surface_drag(shape.aileron_share, 1.0 - shape.aileron_inner, aileron)
                       + sideslip_drag.fin_induced_drag(i.fin_cy * sideslip + i.derivatives.cy_rudder * rudder, fin, yaw.fin_aspect(shape))
                       + sideslip_drag.body_sideslip_drag(i.body_cy, sideslip))
        return np.nan_to_num(i.sideways * coefficient * dynamic_pressure(self.density, speed) * i.frame["wing_area"])

    def moments(self, thrust, speed, dead):
        """Yawing and rolling moment of a live thrust with this side dead, nominal."""
        k = SIDES.index(dead)
        arm, lift = self.arm[k, 0], self.mass * STANDARD_GRAVITY / (dynamic_pressure(self.density, speed) * self.shape.wing_area)
        roll = asymmetric_thrust.slipstream_roll(thrust, speed, self.density, lift, self.disk[k, 0], self.chord, arm, self.shape.values["slipstream_factor"])
        return asymmetric_thrust.asymmetric_moments(thrust, self.dead_drag(speed, dead), arm, arm, roll, dead)

    def trim(self, thrust, speed, dead, bank=0.0):
        """Sideslip, effective rudder and aileron at a bank (right wing down above zero), nominal."""
        moments = self.moments(thrust, speed, dead)
        return engine_out.engine_out_trim(self.nominal, speed, self.density, self.mass, self.shape.wing_area, self.shape.wing_span, bank, moments.yawing, moments.rolling)

    def slip(self, thrust, speed, dead):
        """Bank and sideslip with the rudder in the middle, wings held by aileron: BankedTrim."""
        d = self.nominal
        return engine_out_closed_forms.aileron_only_trim(self.moments(thrust, speed, dead).yawing, speed, self.density, self.mass, self.shape.wing_area,
                                                         self.shape.wing_span, d.cy_beta, d.cn_beta)


def situation(g, start, geometry, weight, power, wing, shape, limits):
    """The situation of this build; limits: travel, used share, aileron throw and dead-propeller state from section rudder."""
    v = shape.values
    dead = tables.read("engine_out/dead_propeller").row("state", limits["dead_propeller"])
    out = weight.cg_out or 0.0
    disks = np.array([np.pi * power.side(side).propeller_diameter ** 2 / 4.0 for side in SIDES])      # left, right
    live = disks[::-1, None]                                                                            # left dead: the right one is live
    ailerons = control_surfaces.effective_limit(travel=limits["aileron_throw"]) if shape.aileron_share > 0.0 and shape.aileron_inner < 1.0 else np.inf
    return Situation(
        shape=shape, lift=wing.cl_max / limits["approach_factor"] ** 2, density=start.density, mass=wing.mass, cd0=wing.cd0, induced_factor=wing.induced_factor,
        chord=_chord_at(geometry), arm=np.array([[geometry.nacelle_out - out], [geometry.nacelle_out + out]]), disk=live,
        dead_coefficient=dead["drag_coefficient"] * disks[:, None] / live,
        rudder_used=float(control_surfaces.effective_limit(travel=limits["used_share"] * limits["throw"])),
        rudder_full=float(control_surfaces.effective_limit(travel=limits["throw"])), aileron_limit=float(ailerons), sideslip_limit=v["sideslip_limit"],
        bank_limit=v["bank_limit"], dead_state=limits["dead_propeller"], moved=_moved(power, wing, v, dead))


def _chord_at(geometry):
    """Chord of the wing behind the propellers."""
    place = min(2.0 * geometry.nacelle_out / geometry.span, 1.0)
    return float(chord_along_span(place, geometry.chord, geometry.chord, geometry.tip_chord, geometry.taper_start))


def _moved(power, wing, values, dead):
    """Factor on each uncertain input in each case."""
    parts = dict(zip(*(tables.read("engine_out/estimate_bands").columns[c] for c in ("part", "band"))))
    span = tables.values("wing/assumptions")["oswald_band"]
    live = np.array([power.right.band_flight, power.left.band_flight])
    even = lambda band: (1.0 + band, 1.0 - band)  # noqa: E731
    ends = {"thrust": even(live), "dead propeller": (dead["high"] / dead["drag_coefficient"], dead["low"] / dead["drag_coefficient"]), "fin": even(parts["fin"]),
            "rudder": even(values["rudder_band"]), "body": even(parts["body"]), "nacelles and propellers": even(parts["nacelles"]),
            "slipstream": even(values["slipstream_band"] / values["slipstream_factor"]), "mass": (wing.mass_high / wing.mass, wing.mass_low / wing.mass),
            "drag": (wing.cd0_high / wing.cd0, wing.cd0_low / wing.cd0), "span efficiency": (1.0 / (1.0 - span), 1.0 / (1.0 + span)),
            "sideslip drag": even(values["sideslip_drag_band"])}
    found = {}
    for number, name in enumerate(UNCERTAIN):
        factor = np.ones((2, 1 + 2 * len(UNCERTAIN)) if name == "thrust" else 1 + 2 * len(UNCERTAIN))
        factor[..., 1 + 2 * number], factor[..., 2 + 2 * number] = ends[name]
        found[name] = factor
    return found
