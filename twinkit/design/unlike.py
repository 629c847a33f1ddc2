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
    shelf_rudder: float     # trim for two motors of one label whose Kv differ by the usual spread; sideslip without a rudder
    toe_out: float
    toe_gain: float         # share of the arm that toe-out takes off
    toe_force: float
    steer_throttle: float
    steer_difference: float
    steer_moment: float
    steer_rudder: float     # rudder angle with the same moment; None without a rudder or beyond its travel
    steer_sideslip: float


def unlike(situation, throttles, standing, cruise, approach, cruise_throttle, curve, kv_spread):
    """Unlike motors of this build.

    standing, cruise, approach: (speed, thrust left, thrust right) with both running alike at rising throttles that hold 0, 1/4, 1/2, 3/4, 1;
    curve: the builder's choice; kv_spread: the usual difference of two units of one label.
    """
    v, arm = situation.shape.values, float(situation.arm.mean())
    _, left, right = standing
    made = thrust_mismatch.five_point_throttle_curve(throttles, left, right, OUTPUT_STEP)
    stronger = str(made.stronger_side) if abs(right[-1] - left[-1]) > ALIKE * max(abs(left[-1]), abs(right[-1])) else "alike"
    points = np.searchsorted(throttles, thrust_mismatch.CURVE_POINTS)
    weak, strong = (left, right) if stronger != "left" else (right, left)
    full = (1.0, 1.0)
    trimmed = tuple(float(made.outputs[-1]) if side == stronger else 1.0 for side in ("left", "right"))
    half = min(v["steering_difference"] / 2.0, cruise_throttle, 1.0 - cruise_throttle)

    def trim(flown, outputs):
        speed, *thrusts = flown
        one, two = (float(np.interp(output, throttles, thrust)) for output, thrust in zip(outputs, thrusts))
        return _trim(situation, arm, two - one, speed)

    plain, curved, steering = trim(cruise, full), trim(cruise, trimmed), trim(cruise, (cruise_throttle + half, cruise_throttle - half))
    shelf = _trim(situation, arm, 2.0 * kv_spread * float(cruise[1][-1]), cruise[0])     # thrust goes about with the square of the speed of rotation
    return Unlike(
        curve=curve, plain_cruise=plain, curved_cruise=curved, cruise=curved if curve else plain, approach=trim(approach, trimmed if curve else full), stronger=stronger,
        outputs=tuple(float(x) for x in made.outputs), thrusts=tuple((float(a), float(b)) for a, b in zip(weak[points], strong[points])),
        left_over=float(made.largest_left_over), left_over_stick=float(made.stick_of_largest),
        shelf_rudder=abs(shelf.rudder if shelf.rudder is not None else shelf.sideslip), toe_out=v["toe_out"],
        toe_gain=1.0 - float(thrust_mismatch.toe_out_arm(arm, situation.shape.propeller_lead, v["toe_out"])) / arm,
        toe_force=float(thrust_mismatch.toe_out_side_force(max(left[-1], right[-1]), v["toe_out"])), steer_throttle=cruise_throttle, steer_difference=2.0 * half,
        steer_moment=abs(steering.difference) * arm, steer_rudder=None if steering.rudder is None else abs(steering.rudder), steer_sideslip=abs(steering.sideslip))


def _trim(situation, arm, difference, speed):
    """The trim for one difference of thrust."""
    d = situation.nominal
    where = {"thrust_difference": difference, "arm": arm, "speed": speed, "density": situation.density, "wing_area": situation.shape.wing_area,
             "wing_span": situation.shape.wing_span}
    rudder = None
    if situation.shape.rudder_share > 0.0:
        angle = float(control_surfaces.deflection_for(thrust_mismatch.mismatch_rudder(**where, cn_rudder=d.cn_rudder)))
        rudder = angle if np.isfinite(angle) else None
    return Trim(speed, difference, rudder, float(thrust_mismatch.mismatch_sideslip(**where, cn_beta=d.cn_beta)))
