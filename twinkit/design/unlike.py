"""Two motors that do not pull alike: what trim they take, the throttle curve that makes them alike, toe-out, steering by thrust."""

from dataclasses import dataclass

import numpy as np

from twinkit.physics import control_surfaces, thrust_mismatch

OUTPUT_STEP = 0.01      # transmitters round an output to whole per cent
ALIKE = 1e-6            # difference of thrust over the thrust below which the motors are the same


@dataclass(frozen=True)
class Trim:
    """What unlike thrusts take at full throttle and one speed: difference right less left, real rudder angle (None: more than there is) and sideslip."""

    speed: float
    difference: float
    rudder: float
    sideslip: float


@dataclass(frozen=True)
class TrimLine:
    """Trim over the throttles at one speed, sizes: without and with the five points; rudder (nan beyond its travel), or sideslip without a rudder."""

    place: str                # "cruise" or "approach"
    speed: float
    plain: np.ndarray
    curved: np.ndarray


@dataclass(frozen=True)
class Steering:
    """Rudder stick at full to the right, both motors running, at one speed: left throttle less right one, and what it does."""

    place: str
    speed: float
    throttle: float           # of both with the stick in the middle
    difference: float
    moment: float
    rudder: float             # rudder angle with the same moment; None without a rudder or beyond its travel
    sideslip: float


@dataclass(frozen=True)
class Unlike:
    """Unlike motors, SI. curve: whether the builder flies with the five points; cruise and approach are then told with them.

    plain_cruise is always told without, curved_cruise always with them.
    """

    curve: bool
    plain_cruise: Trim
    curved_cruise: Trim
    cruise: Trim
    approach: Trim
    stronger: str           # "left" or "right", "alike" where neither is
    outputs: tuple          # for the stronger side at stick 0, 1/4, 1/2, 3/4, 1
    thrusts: tuple          # thrust of the weaker and of the stronger side at these stick positions, standing, without the curve
    left_over: float        # largest difference that the curve leaves, stronger less weaker, standing
    left_over_stick: float
    end_left_over: float    # the same with the upper end point alone
    end_left_over_stick: float
    lines: tuple            # TrimLine; for two motors of one label with the usual spread of Kv where the sides are told alike
    shelf_rudder: float     # trim for two motors of one label whose Kv differ by the usual spread; sideslip without a rudder
    toe_out: float
    toe_gain: float         # share of the arm that toe-out takes off
    toe_force: float
    offset: float           # how far in the stronger motor would stand for moments alike at full throttle in cruise
    offset_left_over: float  # moment that this leaves at half throttle, over that without it
    steering: tuple         # Steering in cruise and on the approach


def unlike(situation, throttles, standing, cruise, approach, cruise_throttle, approach_throttle, curve, kv_spread, mix_share):
    """Unlike motors of this build.

    standing, cruise, approach: (speed, thrust left, thrust right) with both running alike at rising throttles that hold 0, 1/4, 1/2, 3/4, 1;
    curve: the builder's choice; kv_spread: one standard deviation of the difference of two units of one label; mix_share: difference of the throttles at full rudder.
    """
    v, arm = situation.shape.values, float(situation.arm.mean())
    _, left, right = standing
    made = thrust_mismatch.five_point_throttle_curve(throttles, left, right, OUTPUT_STEP)
    simple = thrust_mismatch.end_point_curve(throttles, left, right, OUTPUT_STEP)
    stronger = str(made.stronger_side) if abs(right[-1] - left[-1]) > ALIKE * max(abs(left[-1]), abs(right[-1])) else "alike"
    points = np.searchsorted(throttles, thrust_mismatch.CURVE_POINTS)
    weak, strong = (left, right) if stronger != "left" else (right, left)
    full = (1.0, 1.0)
    trimmed = tuple(float(made.outputs[-1]) if side == stronger else 1.0 for side in ("left", "right"))

    def trim(flown, outputs):
        speed, *thrusts = flown
        one, two = (float(np.interp(output, throttles, thrust)) for output, thrust in zip(outputs, thrusts))
        return _trim(situation, arm, two - one, speed)

    plain, curved = trim(cruise, full), trim(cruise, trimmed)
    shelf = _trim(situation, arm, 2.0 * kv_spread * float(cruise[1][-1]), cruise[0])     # thrust goes about with the square of the speed of rotation
    offset, offset_left = _offset(arm, throttles, cruise, stronger)
    return Unlike(
        curve=curve, plain_cruise=plain, curved_cruise=curved, cruise=curved if curve else plain, approach=trim(approach, trimmed if curve else full), stronger=stronger,
        outputs=tuple(float(x) for x in made.outputs), thrusts=tuple((float(a), float(b)) for a, b in zip(weak[points], strong[points])),
        left_over=float(made.largest_left_over), left_over_stick=float(made.stick_of_largest), end_left_over=float(simple.largest_left_over),
        end_left_over_stick=float(simple.stick_of_largest),
        lines=tuple(_line(situation, arm, throttles, place, flown, made.outputs, stronger, kv_spread) for place, flown in (("cruise", cruise), ("approach", approach))),
        shelf_rudder=abs(shelf.rudder if shelf.rudder is not None else shelf.sideslip), toe_out=v["toe_out"],
        toe_gain=1.0 - float(thrust_mismatch.toe_out_arm(arm, situation.shape.propeller_lead, v["toe_out"])) / arm,
        toe_force=float(thrust_mismatch.toe_out_side_force(max(left[-1], right[-1]), v["toe_out"])), offset=offset, offset_left_over=offset_left,
        steering=tuple(_steering(situation, arm, place, flown, throttle, throttles, mix_share)
                       for place, flown, throttle in (("cruise", cruise, cruise_throttle), ("approach", approach, approach_throttle))))


def _line(situation, arm, throttles, place, flown, outputs, stronger, kv_spread):
    """Trim over the throttles at one speed."""
    speed, left, right = flown
    if stronger == "alike":
        plain = 2.0 * kv_spread * left
        return TrimLine(place, speed, _sizes(situation, arm, plain, speed), np.full_like(plain, np.nan))
    eased = np.interp(np.interp(throttles, thrust_mismatch.CURVE_POINTS, outputs), throttles, right if stronger == "right" else left)
    curved = eased - left if stronger == "right" else right - eased
    return TrimLine(place, speed, *(_sizes(situation, arm, difference, speed) for difference in (right - left, curved)))


def _offset(arm, throttles, cruise, stronger):
    """How far in the stronger motor would stand, and the share of the turning moment that this leaves at half throttle."""
    _, left, right = cruise
    weak, strong = (left, right) if stronger == "right" else (right, left)
    if stronger == "alike" or strong[-1] == 0.0:      # so fast that neither motor pulls any more
        return 0.0, 0.0
    closer = arm * weak[-1] / strong[-1]
    half = [float(np.interp(0.5, throttles, thrust)) for thrust in (weak, strong)]
    without = (half[1] - half[0]) * arm
    return arm - closer, float((half[1] * closer - half[0] * arm) / without) if without else 0.0


def _steering(situation, arm, place, flown, throttle, throttles, share):
    """Full rudder stick to the right at one speed; what would go beyond the stick is cut off."""
    speed, left, right = flown
    middle = float(np.clip(throttle, 0.0, 1.0))
    up, down = min(middle + share / 2.0, 1.0), max(middle - share / 2.0, 0.0)
    difference = float(np.interp(up, throttles, left) - np.interp(down, throttles, right))
    found = _trim(situation, arm, difference, speed)
    return Steering(place, speed, middle, up - down, difference * arm, None if found.rudder is None else abs(found.rudder), abs(found.sideslip))


def _frame(situation, arm, difference, speed):
    return {"thrust_difference": difference, "arm": arm, "speed": speed, "density": situation.density, "wing_area": situation.shape.wing_area,
            "wing_span": situation.shape.wing_span}


def _sizes(situation, arm, difference, speed):
    """Sizes of the trim for differences of thrust: rudder, or sideslip without one."""
    frame = _frame(situation, arm, difference, speed)
    if situation.shape.rudder_share > 0.0:
        return np.abs(control_surfaces.deflection_for(thrust_mismatch.mismatch_rudder(**frame, cn_rudder=situation.nominal.cn_rudder)))
    return np.abs(thrust_mismatch.mismatch_sideslip(**frame, cn_beta=situation.nominal.cn_beta))


def _trim(situation, arm, difference, speed):
    """The trim for one difference of thrust."""
    frame = _frame(situation, arm, difference, speed)
    rudder = None
    if situation.shape.rudder_share > 0.0:
        angle = float(control_surfaces.deflection_for(thrust_mismatch.mismatch_rudder(**frame, cn_rudder=situation.nominal.cn_rudder)))
        rudder = angle if np.isfinite(angle) else None
    return Trim(speed, difference, rudder, float(thrust_mismatch.mismatch_sideslip(**frame, cn_beta=situation.nominal.cn_beta)))
