"""Two motors that do not pull alike: trim, toe-out, and the throttle curve that makes the thrusts equal.

Signs: thrust difference = right minus left; with more thrust on the right the nose goes left (yawing moment below zero),
which takes rudder below zero (trailing edge right), or else leaves sideslip above zero.
"""
from dataclasses import dataclass

import numpy as np

CURVE_POINTS = np.linspace(0.0, 1.0, 5)      # stick positions of the throttle curve


@dataclass(frozen=True)
class ThrottleCurve:
    """Five outputs [1] for the stronger side, and the thrust right minus left [N] left over at each sampled throttle."""

    stronger_side: np.ndarray
    outputs: np.ndarray
    left_over: np.ndarray
    largest_left_over: np.ndarray
    stick_of_largest: np.ndarray


def mismatch_rudder(thrust_difference, arm, speed, density, wing_area, wing_span, cn_rudder):
    """Rudder that balances unlike thrusts with no sideslip.

    Arguments:
        thrust_difference [N]: right thrust minus left thrust, any shape
        arm [m]: motor from the plane of symmetry, any shape
        speed [m/s]: flight speed, any shape
        density [kg/m^3]: air density, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
        cn_rudder [1/rad]: yawing moment by rudder (below zero), any shape
    Returns:
        [rad]: effective rudder angle, broadcast shape
    Relation: dr = dT y_T/(q S b Cndr)
    Holds for: small angles, bank dT y_T/(W l_v) held with it
    Breaks when: speed is 0 (inf)
    Errs: as the rudder derivative does, 20 per cent
    Example:
        >>> round(float(np.degrees(mismatch_rudder(thrust_difference=0.2, arm=0.22, speed=12.0, density=1.225, wing_area=0.22,
        ...                                        wing_span=1.10, cn_rudder=-0.0736))), 2)
        -1.6
    Source: [lateral_identity]
    """
    pressure = 0.5 * np.asarray(density) * np.asarray(speed, dtype=float) ** 2
    return np.asarray(thrust_difference) * arm / (pressure * wing_area * wing_span * cn_rudder)


def mismatch_sideslip(thrust_difference, arm, speed, density, wing_area, wing_span, cn_beta):
    """Sideslip that unlike thrusts leave with the rudder in the middle.

    Arguments:
        thrust_difference [N]: right thrust minus left thrust, any shape
        arm [m]: motor from the plane of symmetry, any shape
        speed [m/s]: flight speed, any shape
        density [kg/m^3]: air density, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
        cn_beta [1/rad]: yawing moment by sideslip (above zero), any shape
    Returns:
        [rad]: sideslip, broadcast shape
    Relation: beta = dT y_T/(q S b Cnbeta)
    Holds for: small angles, wings held by aileron
    Breaks when: speed is 0 (inf)
    Errs: as the weathercock derivative does, 30 per cent
    Example:
        >>> round(float(np.degrees(mismatch_sideslip(thrust_difference=0.2, arm=0.22, speed=12.0, density=1.225, wing_area=0.22,
        ...                                          wing_span=1.10, cn_beta=0.088))), 2)
        1.34
    Source: [lateral_identity]
    """
    pressure = 0.5 * np.asarray(density) * np.asarray(speed, dtype=float) ** 2
    return np.asarray(thrust_difference) * arm / (pressure * wing_area * wing_span * cn_beta)


def toe_out_arm(arm, lead, toe_out):
    """Arm of the thrust about the centre of gravity when the motor points outward.

    Arguments:
        arm [m]: propeller from the plane of symmetry, any shape
        lead [m]: propeller ahead of the centre of gravity, any shape
        toe_out [rad]: thrust line turned outward at the front, any shape
    Returns:
        [m]: arm, broadcast shape
    Relation: y_T cos(e) - x_p sin(e)
    Holds for: any angle
    Breaks when: nothing; below zero the live motor turns the nose toward itself
    Errs: leaves out the slipstream's turn of direction
    Example:
        >>> round(float(toe_out_arm(arm=0.22, lead=0.16, toe_out=0.0523599)), 4)
        0.2113
    Source: [lateral_identity]
    """
    return np.asarray(arm) * np.cos(toe_out) - np.asarray(lead) * np.sin(toe_out)


def toe_out_without_arm(arm, lead):
    """Toe-out that leads the thrust line through the centre of gravity.

    Arguments:
        arm [m]: propeller from the plane of symmetry, any shape
        lead [m]: propeller ahead of the centre of gravity, any shape
    Returns:
        [rad]: toe-out, broadcast shape
    Relation: atan(y_T/x_p)
    Holds for: propellers ahead of the centre of gravity
    Breaks when: lead < 0 (more than a right angle: of no use)
    Errs: not
    Example:
        >>> round(float(np.degrees(toe_out_without_arm(arm=0.22, lead=0.16))), 1)
        54.0
    Source: [lateral_identity]
    """
    return np.arctan2(arm, lead)


def toe_out_side_force(thrust, toe_out):
    """Side force of one toed-out motor, outward.

    Arguments:
        thrust [N]: thrust of the motor, any shape
        toe_out [rad]: thrust line turned outward at the front, any shape
    Returns:
        [N]: side force, broadcast shape
    Relation: T sin(e)
    Holds for: any angle; both motors cancel while they pull alike
    Breaks when: nothing
    Errs: not
    Example:
        >>> round(float(toe_out_side_force(thrust=4.0, toe_out=0.0523599)), 2)
        0.21
    Source: [lateral_identity]
    """
    return np.asarray(thrust) * np.sin(toe_out)


def _between(wanted, throttle, values):
    """Values at wanted throttles, straight between the samples; wanted (..., m), throttle (n,), values (..., n)."""
    cell = np.clip(np.searchsorted(throttle, wanted, side="right") - 1, 0, throttle.size - 2)
    shape = (*np.broadcast_shapes(wanted.shape[:-1], values.shape[:-1]), wanted.shape[-1])
    cell, values = np.broadcast_to(cell, shape), np.broadcast_to(values, (*shape[:-1], throttle.size))
    low, high = np.take_along_axis(values, cell, -1), np.take_along_axis(values, cell + 1, -1)
    return low + (wanted - throttle[cell]) / (throttle[cell + 1] - throttle[cell]) * (high - low)


def throttle_for_thrust(thrust, throttle_samples, thrust_samples):
    """Smallest throttle that gives a thrust, from measured or computed samples.

    Arguments:
        thrust [N]: wanted thrusts, shape (..., m)
        throttle_samples [1]: rising throttles, shape (n,)
        thrust_samples [N]: thrust at those throttles, shape (..., n)
    Returns:
        [1]: throttle, shape (..., m); the first sample when less is wanted, nan when more is wanted than there is
    Relation: straight lines between samples; a fall of thrust with throttle is levelled first
    Holds for: thrust that rises with throttle
    Breaks when: more is wanted than the last sample gives (returns nan)
    Errs: by the curvature between samples
    Example:
        >>> t = throttle_for_thrust(thrust=np.array([1.0, 3.0]), throttle_samples=np.array([0.0, 0.5, 1.0]),
        ...                         thrust_samples=np.array([0.0, 2.0, 4.0]))
        >>> [round(float(v), 2) for v in t]
        [0.25, 0.75]
    Source: [lateral_identity]
    """
    throttle = np.asarray(throttle_samples, dtype=float)
    wanted, samples = np.asarray(thrust, dtype=float), np.maximum.accumulate(np.asarray(thrust_samples, dtype=float), axis=-1)
    above = (samples[..., None, :] < wanted[..., None]).sum(axis=-1)
    cell = np.clip(above - 1, 0, throttle.size - 2)
    samples = np.broadcast_to(samples, (*cell.shape[:-1], throttle.size))
    low, high = np.take_along_axis(samples, cell, -1), np.take_along_axis(samples, cell + 1, -1)
    share = np.divide(wanted - low, high - low, out=np.zeros(cell.shape), where=(above > 0) & (high > low))
    found = throttle[cell] + share * (throttle[cell + 1] - throttle[cell])
    return np.where(above < throttle.size, found, np.nan)


def five_point_throttle_curve(throttle, left_thrust, right_thrust, output_step):
    """Five-point curve for the stronger side that makes its thrust follow the weaker side's.

    Arguments:
        throttle [1]: rising throttles that reach from 0 to 1, shape (n,)
        left_thrust [N]: thrust of the left side at those throttles, shape (..., n)
        right_thrust [N]: thrust of the right side at those throttles, shape (..., n)
        output_step [1]: step to which a transmitter rounds an output, for example 0.01; 0 for no rounding, one number
    Returns:
        [1]: ThrottleCurve; outputs shape (..., 5) at stick 0, 1/4, 1/2, 3/4, 1; stronger_side "left" or "right" by full thrust
    Relation: output = throttle at which the stronger side gives the weaker side's thrust; straight lines between the five
    Holds for: thrust that rises with throttle; one battery state and speed (a curve made on the bench holds in flight within
        some per cent)
    Breaks when: throttle does not reach from 0 to 1 (ValueError)
    Errs: between the points by the curvature of the thrust curves: that is what is left over
    Example:
        >>> c = five_point_throttle_curve(throttle=np.array([0.0, 0.25, 0.5, 0.75, 1.0]),
        ...                               left_thrust=np.array([0.0, 0.5, 1.5, 2.8, 4.0]),
        ...                               right_thrust=np.array([0.0, 0.6, 1.7, 3.1, 4.4]), output_step=0.01)
        >>> str(c.stronger_side), [round(float(v), 2) for v in c.outputs]
        ('right', [0.0, 0.21, 0.45, 0.7, 0.92])
    Source: [lateral_identity]
    """
    throttle, weak, strong, right_stronger = _sides(throttle, left_thrust, right_thrust)
    outputs = _rounded(throttle_for_thrust(np.minimum(_between(CURVE_POINTS, throttle, weak), _most(strong)), throttle, strong), output_step)
    return _followed(throttle, weak, strong, right_stronger, outputs)


def end_point_curve(throttle, left_thrust, right_thrust, output_step):
    """Upper end point for the stronger side that makes the full thrusts alike: all that a transmitter without a throttle curve can do.

    Arguments:
        throttle [1]: rising throttles that reach from 0 to 1, shape (n,)
        left_thrust [N]: thrust of the left side at those throttles, shape (..., n)
        right_thrust [N]: thrust of the right side at those throttles, shape (..., n)
        output_step [1]: step to which a transmitter rounds an output, for example 0.01; 0 for no rounding, one number
    Returns:
        [1]: ThrottleCurve; its outputs lie on a straight line from 0 to the end point
    Relation: end point = throttle at which the stronger side gives the weaker side's full thrust; output = stick times end point
    Holds for: as five_point_throttle_curve
    Breaks when: as five_point_throttle_curve
    Errs: in the middle of the stick, where the two thrust curves bend unlike: that is what is left over
    Example:
        >>> c = end_point_curve(throttle=np.array([0.0, 0.25, 0.5, 0.75, 1.0]), left_thrust=np.array([0.0, 0.5, 1.5, 2.8, 4.0]),
        ...                     right_thrust=np.array([0.0, 0.6, 1.7, 3.1, 4.4]), output_step=0.01)
        >>> [round(float(v), 2) for v in c.outputs], round(float(c.largest_left_over), 2)
        ([0.0, 0.23, 0.46, 0.69, 0.92], 0.05)
    Source: [lateral_identity]
    """
    throttle, weak, strong, right_stronger = _sides(throttle, left_thrust, right_thrust)
    end = _rounded(throttle_for_thrust(np.minimum(weak[..., -1:], _most(strong)), throttle, strong), output_step)
    return _followed(throttle, weak, strong, right_stronger, end * CURVE_POINTS)


def _sides(throttle, left_thrust, right_thrust):
    """Throttles checked, thrust of the weaker and of the stronger side, and whether the right one is the stronger."""
    throttle = np.asarray(throttle, dtype=float)
    if throttle.ndim != 1 or np.any(np.diff(throttle) <= 0.0) or throttle[0] > 0.0 or throttle[-1] < 1.0:
        raise ValueError("throttle must rise and reach from 0 to 1")
    left, right = np.broadcast_arrays(np.asarray(left_thrust, dtype=float), np.asarray(right_thrust, dtype=float))
    right_stronger = right[..., -1:] >= left[..., -1:]
    return throttle, np.where(right_stronger, left, right), np.where(right_stronger, right, left), right_stronger


def _most(thrust):
    return np.maximum.accumulate(thrust, axis=-1)[..., -1:]


def _rounded(outputs, step):
    return np.clip(np.round(outputs / step) * step, 0.0, 1.0) if step > 0.0 else outputs


def _followed(throttle, weak, strong, right_stronger, outputs):
    """The curve with what it leaves over at every sampled throttle."""
    followed = _between(_between(throttle, CURVE_POINTS, outputs), throttle, strong)
    left_over = np.where(right_stronger, followed - weak, weak - followed)
    worst = np.argmax(np.abs(left_over), axis=-1)
    return ThrottleCurve(np.where(right_stronger[..., 0], "right", "left"), outputs, left_over,
                         np.take_along_axis(left_over, worst[..., None], -1)[..., 0], throttle[worst])
