"""Lateral motion in small angles: system matrices, modes, and yaw alone.

States, in this order: sideslip beta, roll rate p, yaw rate r, bank phi, heading psi (rad, rad/s; stability axes, level flight).
Inputs, in this order: effective rudder, aileron (rad), rolling moment, yawing moment of the motors (N m).
Sideslip > 0 wind from the right, p > 0 right wing going down, r > 0 nose going right.
"""
from dataclasses import dataclass

import numpy as np

from twinkit.constants import STANDARD_GRAVITY

STATES = ("sideslip", "roll rate", "yaw rate", "bank", "heading")


@dataclass(frozen=True)
class LateralSystem:
    """x' = matrix x + inputs u; shapes (..., 5, 5) and (..., 5, 4)."""

    matrix: np.ndarray
    inputs: np.ndarray


@dataclass(frozen=True)
class LateralModes:
    """Roots [1/s] and times [s] of the lateral modes; status tells which of them exist."""

    roll: np.ndarray
    dutch_roll: np.ndarray
    spiral: np.ndarray
    roll_time: np.ndarray
    dutch_roll_period: np.ndarray
    dutch_roll_damping: np.ndarray
    spiral_doubling_time: np.ndarray
    status: np.ndarray


@dataclass(frozen=True)
class YawAlone:
    """Yaw with wings level and a straight path: natural frequency [rad/s], damping ratio [1], sideslips [rad]."""

    frequency: np.ndarray
    damping_ratio: np.ndarray
    static_sideslip: np.ndarray
    peak_sideslip: np.ndarray


def lateral_system(derivatives, speed, density, mass, wing_area, wing_span, roll_inertia, yaw_inertia, product_inertia):
    """System and input matrix of lateral motion about level flight.

    Arguments:
        derivatives [object]: LateralDerivatives, scalars or arrays
        speed [m/s]: flight speed, any shape
        density [kg/m^3]: air density, any shape
        mass [kg]: aeroplane mass, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
        roll_inertia [kg m^2]: Ix, any shape
        yaw_inertia [kg m^2]: Iz, any shape
        product_inertia [kg m^2]: Ixz, any shape
    Returns:
        [1]: LateralSystem, broadcast shape with two more axes
    Relation: beta' = Y/(m V) - r + g phi/V; [p'; r'] = inverse([Ix, -Ixz; -Ixz, Iz]) [L; N]; phi' = p; psi' = r
    Holds for: small angles, steady speed, level flight
    Breaks when: Ix Iz <= Ixz^2 or speed <= 0 (nan)
    Errs: with the derivatives; the spiral root is a small difference and only its size order is known
    Example:
        >>> from twinkit.physics.derivatives import LateralDerivatives
        >>> d = LateralDerivatives(cy_beta=-0.445, cl_beta=-0.105, cn_beta=0.088, cy_rudder=0.172, cl_rudder=0.005,
        ...     cn_rudder=-0.0736, cl_aileron=0.20, cn_aileron=-0.0106, cl_p=-0.40, cn_p=-0.066, cl_r=0.14, cn_r=-0.114, cy_r=0.243)
        >>> s = lateral_system(derivatives=d, speed=12.0, density=1.225, mass=1.05, wing_area=0.22, wing_span=1.10,
        ...                    roll_inertia=0.036, yaw_inertia=0.062, product_inertia=0.001)
        >>> round(float(s.matrix[1, 1]), 2)
        -10.9
    Source: [etkin_reid] lateral equations
    """
    d = derivatives
    speed = np.asarray(speed, dtype=float)
    pressure_area = 0.5 * np.asarray(density) * speed ** 2 * wing_area
    rate = 0.5 * np.asarray(wing_span) / np.where(speed > 0.0, speed, np.nan)
    by_momentum = pressure_area / (np.asarray(mass) * speed)
    moment = pressure_area * wing_span
    ix, iz, ixz = (np.asarray(v, dtype=float) for v in (roll_inertia, yaw_inertia, product_inertia))
    determinant = np.where(ix * iz > ixz ** 2, ix * iz - ixz ** 2, np.nan)
    roll_by_roll, cross, yaw_by_yaw = iz / determinant, ixz / determinant, ix / determinant

    def turned(roll, yaw):
        return roll_by_roll * roll + cross * yaw, cross * roll + yaw_by_yaw * yaw

    beta_roll, beta_yaw = turned(moment * d.cl_beta, moment * d.cn_beta)
    p_roll, p_yaw = turned(moment * rate * d.cl_p, moment * rate * d.cn_p)
    r_roll, r_yaw = turned(moment * rate * d.cl_r, moment * rate * d.cn_r)
    rudder_roll, rudder_yaw = turned(moment * d.cl_rudder, moment * d.cn_rudder)
    aileron_roll, aileron_yaw = turned(moment * d.cl_aileron, moment * d.cn_aileron)
    state_rows = (
        (by_momentum * d.cy_beta, by_momentum * rate * d.cy_p, by_momentum * rate * d.cy_r - 1.0, STANDARD_GRAVITY / speed, 0.0),
        (beta_roll, p_roll, r_roll, 0.0, 0.0),
        (beta_yaw, p_yaw, r_yaw, 0.0, 0.0),
        (0.0, 1.0, 0.0, 0.0, 0.0),
        (0.0, 0.0, 1.0, 0.0, 0.0))
    input_rows = (
        (by_momentum * d.cy_rudder, by_momentum * d.cy_aileron, 0.0, 0.0),
        (rudder_roll, aileron_roll, roll_by_roll, cross),
        (rudder_yaw, aileron_yaw, cross, yaw_by_yaw),
        (0.0, 0.0, 0.0, 0.0),
        (0.0, 0.0, 0.0, 0.0))
    shape = np.broadcast_shapes(*(np.shape(v) for row in (*state_rows, *input_rows) for v in row))

    def stacked(rows):
        return np.stack([np.stack([np.broadcast_to(v, shape) for v in row], axis=-1) for row in rows], axis=-2)

    return LateralSystem(stacked(state_rows), stacked(input_rows))


def doubling_time(root):
    """Time in which a mode doubles; below zero: the time in which it halves.

    Arguments:
        root [1/s]: real part of a root, any shape
    Returns:
        [s]: time, shape of root
    Relation: ln 2/root
    Holds for: any mode
    Breaks when: root is 0 (inf)
    Errs: as the root does
    Example:
        >>> round(float(doubling_time(root=0.02295)), 1)
        30.2
    Source: [lateral_identity]
    """
    with np.errstate(divide="ignore"):
        return np.log(2.0) / np.asarray(root, dtype=float)


def lateral_modes(matrix):
    """Roll, Dutch roll and spiral mode of a lateral system.

    Arguments:
        matrix [object]: system matrix, shape (..., 5, 5) or (..., 4, 4)
    Returns:
        [1/s]: LateralModes, shape of the leading axes; what does not exist is nan and named in status
    Relation: eigenvalues; the fastest swing is the Dutch roll, of the two real roots the more negative is roll, the other spiral
    Holds for: small angles
    Breaks when: roll and spiral join in a slow swing ("roll and spiral joined"), or nothing swings ("no swing")
    Errs: with the derivatives; the spiral by far the most
    Example:
        >>> m = lateral_modes(matrix=np.array([[-0.25, 0.0, -1.0, 0.18], [-16.0, -8.4, 2.2, 0.0], [4.5, -0.35, -0.76, 0.0],
        ...                                    [0.0, 1.0, 0.0, 0.0]]))
        >>> round(float(m.roll), 2), str(m.status)
        (-8.43, 'three modes')
    Source: [etkin_reid] lateral modes
    """
    roots = np.linalg.eigvals(np.asarray(matrix, dtype=float)[..., :4, :4]).astype(complex)
    roots = np.take_along_axis(roots, np.argsort(-np.abs(roots.imag), axis=-1, kind="stable"), -1)
    swings = np.abs(roots.imag) > 1e-9 * np.abs(roots).max(axis=-1, keepdims=True)
    swing, joined = swings[..., 0], swings[..., 2]
    dutch = np.where(swing, roots[..., 0].real + 1j * np.abs(roots[..., 0].imag), np.nan)
    two = np.sort(np.where(joined[..., None], np.nan, roots[..., 2:].real), axis=-1)
    two = np.where(swing[..., None], two, np.sort(roots.real, axis=-1)[..., [0, -1]])
    roll, spiral = two[..., 0], two[..., 1]
    status = np.select([~swing, joined], ["no swing", "roll and spiral joined"], "three modes")
    with np.errstate(divide="ignore", invalid="ignore"):
        return LateralModes(roll, dutch, spiral, -1.0 / roll, 2.0 * np.pi / dutch.imag, -dutch.real / np.abs(dutch),
                            doubling_time(spiral), status)


def mode_shape(matrix, root, state, reference):
    """Complex ratio of two states in a mode.

    Arguments:
        matrix [object]: system matrix, shape (..., n, n)
        root [1/s]: root of the mode, real or complex, shape (...)
        state [choice]: state above the line, one of STATES
        reference [choice]: state below the line, one of STATES
    Returns:
        [1]: ratio, shape (...)
    Relation: x solves (A - root I) x = 0 (the smallest singular direction)
    Holds for: single roots
    Breaks when: the reference takes no part in the mode (inf or huge)
    Errs: with the matrix
    Example:
        >>> a = np.array([[-0.25, 0.0, -1.0, 0.18], [-16.0, -8.4, 2.2, 0.0], [4.5, -0.35, -0.76, 0.0], [0.0, 1.0, 0.0, 0.0]])
        >>> round(float(abs(mode_shape(matrix=a, root=-8.43, state="bank", reference="sideslip"))), 1)
        15.7
    Source: [etkin_reid] lateral modes
    """
    matrix = np.asarray(matrix)
    shifted = matrix - np.asarray(root)[..., None, None] * np.eye(matrix.shape[-1])
    direction = np.conj(np.linalg.svd(shifted)[2][..., -1, :])
    return direction[..., STATES.index(state)] / direction[..., STATES.index(reference)]


def short_time_heading(yawing_moment, yaw_inertia, time):
    """Heading in the first moments after a yawing moment sets in at once.

    Arguments:
        yawing_moment [N m]: moment, any shape
        yaw_inertia [kg m^2]: Iz, any shape
        time [s]: time since, any shape
    Returns:
        [rad]: heading, broadcast shape
    Relation: N t^2/(2 Iz)
    Holds for: times short beside 1/frequency of yaw, Ixz small
    Breaks when: the fin has begun to answer
    Errs: high, by some per cent at a tenth of the yaw period
    Example:
        >>> round(float(np.degrees(short_time_heading(yawing_moment=-0.952, yaw_inertia=0.062, time=0.1))), 2)
        -4.4
    Source: [lateral_identity]
    """
    return 0.5 * np.asarray(yawing_moment) / yaw_inertia * np.asarray(time) ** 2


def yaw_alone(yawing_moment, speed, density, wing_area, wing_span, yaw_inertia, cn_beta, cn_r):
    """Yaw after a sudden moment with the wings held level and the path straight.

    Arguments:
        yawing_moment [N m]: moment, nose right above zero, any shape
        speed [m/s]: flight speed, any shape
        density [kg/m^3]: air density, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
        yaw_inertia [kg m^2]: Iz, any shape
        cn_beta [1/rad]: yawing moment by sideslip (above zero), any shape
        cn_r [1]: yawing moment by yaw rate, any shape
    Returns:
        [1]: YawAlone, broadcast shape
    Relation: w^2 = q S b Cnb/Iz; zeta = -Nr/(2 w); static = -N/(q S b Cnb); peak = static (1 + exp(-pi zeta/sqrt(1 - zeta^2)))
    Holds for: bank held at zero, moment set in at once
    Breaks when: cn_beta <= 0 (nan); zeta >= 1 has no overshoot (peak = static)
    Errs: low in the swing, as the real aeroplane also rolls
    Example:
        >>> y = yaw_alone(yawing_moment=-0.88, speed=12.0, density=1.225, wing_area=0.22, wing_span=1.10, yaw_inertia=0.062,
        ...               cn_beta=0.088, cn_r=-0.114)
        >>> round(float(y.frequency), 2), round(float(np.degrees(y.static_sideslip)), 1), round(float(y.damping_ratio), 2)
        (5.5, 26.8, 0.16)
    Source: [lateral_identity] second-order step answer
    """
    speed = np.asarray(speed, dtype=float)
    moment = 0.5 * np.asarray(density) * speed ** 2 * wing_area * wing_span
    stiffness = np.where(np.asarray(cn_beta) > 0.0, moment * cn_beta, np.nan)
    frequency = np.sqrt(stiffness / yaw_inertia)
    damping = -moment * np.asarray(wing_span) * cn_r / (2.0 * speed * yaw_inertia) / (2.0 * frequency)
    static = -np.asarray(yawing_moment) / stiffness
    under = np.where(np.abs(damping) < 1.0, 1.0 - damping ** 2, np.nan)
    overshoot = np.where(damping >= 1.0, 0.0, np.exp(-np.pi * damping / np.sqrt(under)))
    return YawAlone(frequency, damping, static, static * (1.0 + overshoot))
