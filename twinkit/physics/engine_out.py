"""One motor out, straight flight: balance of rudder, aileron and sideslip, minimum control speed.

Signs: sideslip > 0 wind from the right; bank > 0 right wing down; yawing moment > 0 nose right; rudder > 0 trailing edge left;
aileron > 0 right-roll command. Left motor dead: yawing and rolling moment below zero, rudder below zero, bank toward the live
motor above zero. Rudder angles here are effective angles (control_surfaces turns them into real ones).
"""
from dataclasses import dataclass

import numpy as np

from twinkit.constants import STANDARD_GRAVITY
from twinkit.physics.asymmetric_thrust import dead_propeller_drag, slipstream_roll

CASES_AT_ONCE = 512          # cases x speeds that stay in the processor's cache
NO_SIDE = 1e-100             # stands for an angle that bank does not change
HALVINGS = 12                # of one grid cell, before the last straight-line step
SAMPLED_THRUSTS = 33         # between zero and full, when the holdable thrust is bracketed


@dataclass(frozen=True)
class EngineOutTrim:
    """Sideslip, effective rudder and aileron [rad] of straight flight."""

    sideslip: np.ndarray
    rudder: np.ndarray
    aileron: np.ndarray


@dataclass(frozen=True)
class ControlSpeed:
    """Minimum control speed [m/s], how it was found ("found", "below the grid", "above the grid"), and what is left of each limit.

    Bank used and spare angles [rad] hold at that speed; the one that is zero sets it (with all spare, the bank limit does).
    """

    speed: np.ndarray
    status: np.ndarray
    bank: np.ndarray
    spare_sideslip: np.ndarray
    spare_rudder: np.ndarray
    spare_aileron: np.ndarray


@dataclass(frozen=True)
class HoldableThrust:
    """Largest live thrust [N] held, "limited", "all of it" or "none", and bank and spare angles [rad] at that thrust.

    The spare angle that is zero sets it; with all spare, the bank limit or the motor does.
    """

    thrust: np.ndarray
    status: np.ndarray
    bank: np.ndarray
    spare_sideslip: np.ndarray
    spare_rudder: np.ndarray
    spare_aileron: np.ndarray


def _answers(derivatives):
    """Columns (side force, rolling, yawing) of the inverse of the 3x3, each as (sideslip, rudder, aileron); adds no angle."""
    d = derivatives
    ya, yb, yr = (np.asarray(v, dtype=float) for v in (d.cy_aileron, d.cy_beta, d.cy_rudder))
    minor_b = d.cl_rudder * d.cn_aileron - d.cl_aileron * d.cn_rudder
    minor_r = d.cl_beta * d.cn_aileron - d.cl_aileron * d.cn_beta
    minor_a = d.cl_beta * d.cn_rudder - d.cl_rudder * d.cn_beta
    determinant = yb * minor_b - yr * minor_r + ya * minor_a
    with np.errstate(divide="ignore"):
        over = np.where(determinant == 0.0, np.nan, 1.0 / determinant)
    side = (minor_b * over, -minor_r * over, minor_a * over)
    roll = ((ya * d.cn_rudder - yr * d.cn_aileron) * over, (yb * d.cn_aileron - ya * d.cn_beta) * over,
            (yr * d.cn_beta - yb * d.cn_rudder) * over)
    yaw = ((yr * d.cl_aileron - ya * d.cl_rudder) * over, (ya * d.cl_beta - yb * d.cl_aileron) * over,
           (yb * d.cl_rudder - yr * d.cl_beta) * over)
    return side, roll, yaw


def engine_out_trim(derivatives, speed, density, mass, wing_area, wing_span, bank, yawing_moment, rolling_moment):
    """Sideslip, rudder and aileron that hold straight flight at a bank angle.

    Arguments:
        derivatives [object]: LateralDerivatives, scalars or arrays
        speed [m/s]: flight speed, any shape
        density [kg/m^3]: air density, any shape
        mass [kg]: aeroplane mass, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
        bank [rad]: bank angle, right wing down above zero, any shape
        yawing_moment [N m]: moment of the motors, any shape
        rolling_moment [N m]: moment of the motors, any shape
    Returns:
        [rad]: EngineOutTrim, broadcast shape
    Relation: CYbeta beta + CYdr dr + CYda da + W sin(bank)/(q S) = 0; same for Cl and Cn with the moments over q S b
    Holds for: level or gently sloping path, sideslip under 15 degrees, effective rudder angles
    Breaks when: the three controls cannot be told apart (returns nan), fin or wing stalled (sideslip is then meaningless)
    Errs: either way by the derivatives' bands
    Example:
        >>> from twinkit.physics.derivatives import LateralDerivatives
        >>> d = LateralDerivatives(cy_beta=-0.445, cl_beta=-0.105, cn_beta=0.088, cy_rudder=0.172, cl_rudder=0.005,
        ...     cn_rudder=-0.0736, cl_aileron=0.20, cn_aileron=-0.0106, cl_p=-0.40, cn_p=-0.066, cl_r=0.14, cn_r=-0.114, cy_r=0.243)
        >>> t = engine_out_trim(derivatives=d, speed=12.0, density=1.225, mass=1.05, wing_area=0.22, wing_span=1.10, bank=0.0873,
        ...                     yawing_moment=-0.424, rolling_moment=-0.13)
        >>> round(float(np.degrees(t.rudder)), 1)
        -16.0
    Source: [lateral_identity] balance of side force, roll and yaw
    """
    pressure_area = 0.5 * np.asarray(density) * np.asarray(speed, dtype=float) ** 2 * wing_area
    force = np.asarray(mass) * STANDARD_GRAVITY * np.sin(bank) / pressure_area
    roll, yaw = (np.asarray(moment) / (pressure_area * wing_span) for moment in (rolling_moment, yawing_moment))
    return EngineOutTrim(*(-(s * force + l * roll + n * yaw) for s, l, n in zip(*_answers(derivatives))))


def _as_columns(derivatives, limits, others):
    """Broadcast derivatives, limits of (sideslip, rudder, aileron) and case values to columns (cases, 1), and their common shape.

    Each controlled angle is -side force (sin(bank) - sine_0), with sine_0 = by_roll L/(W b) + by_yaw N/(W b); so it stays within its
    limit while sin(bank) is within room/force of sine_0.  Returns ((by_roll, by_yaw, room, side) per angle, case values, shape).
    """
    controlled = []
    for side, rolling, yawing, limit in zip(*_answers(derivatives), limits):
        side = np.where(side == 0.0, NO_SIDE, side)
        controlled += [-rolling / side, -yawing / side, limit / np.abs(side), np.abs(side)]
    arrays = np.broadcast_arrays(*controlled, *others)
    columns = [np.ascontiguousarray(a, dtype=float).reshape(-1, 1) for a in arrays]
    return (columns[0:4], columns[4:8], columns[8:12]), columns[12:], arrays[0].shape


def _window(controlled, case, speed, thrust):
    """Lowest and highest sin(bank) that hold with the left motor dead, and for each angle (sine_0, room) over sin(bank)."""
    density, mass, area, span, arm, chord, disk, drag_coefficient, factor, _ = case
    weight = mass * STANDARD_GRAVITY
    by_force = (0.5 * density * area / weight) * (speed * speed)
    roll = slipstream_roll(thrust, speed, density, 1.0 / by_force, disk, chord, arm, factor) * (-1.0 / (weight * span))
    yaw = (thrust + dead_propeller_drag(speed, density, disk, drag_coefficient)) * (-arm / (weight * span))
    rooms = [(by_roll * roll + by_yaw * yaw, room * by_force) for by_roll, by_yaw, room, _ in controlled]
    low = np.maximum(np.maximum(*(middle - room for middle, room in rooms[:2])), rooms[2][0] - rooms[2][1])
    high = np.minimum(np.minimum(*(middle + room for middle, room in rooms[:2])), rooms[2][0] + rooms[2][1])
    return low, high, rooms, by_force


def _slack(controlled, case, speed, thrust):
    """Above zero where some sin(bank) in 0..greatest keeps every angle within its limit; continuous in speed and thrust."""
    low, high, _, _ = _window(controlled, case, speed, thrust)
    return np.minimum(np.minimum(high - low, high), case[-1] - low)


def _bank_and_spare(controlled, case, speed, thrust):
    """Least bank that holds, and what is left of each limit there (columns)."""
    low, _, rooms, by_force = _window(controlled, case, speed, thrust)
    sine = np.minimum(np.maximum(low, 0.0), case[-1])
    spare = [(room - np.abs(sine - middle)) * part[3] / by_force for part, (middle, room) in zip(controlled, rooms)]
    return (np.arcsin(sine), *spare)


def _picked(controlled, case, rows):
    """The columns of some rows."""
    return [[v[rows] for v in part] for part in controlled], [v[rows] for v in case]


def minimum_control_speed(derivatives, speed_grid, live_thrust, density, mass, wing_area, wing_span, arm, chord, disk_area,
                          drag_coefficient, slipstream_factor, rudder_limit, aileron_limit, sideslip_limit, bank_limit):
    """Lowest speed from which up every speed can be flown straight on one motor.

    Arguments:
        derivatives [object]: LateralDerivatives, scalars or arrays of cases
        speed_grid [m/s]: rising speeds, shape (n,)
        live_thrust [N]: thrust of the live motor at those speeds, not below zero, shape (n,) or (cases..., n)
        density [kg/m^3]: air density, shape of the cases
        mass [kg]: aeroplane mass, shape of the cases
        wing_area [m^2]: wing area, shape of the cases
        wing_span [m]: wing span, shape of the cases
        arm [m]: motor from the plane of symmetry, shape of the cases
        chord [m]: wing chord behind the propeller, shape of the cases
        disk_area [m^2]: disc area of one propeller, shape of the cases
        drag_coefficient [1]: drag coefficient of the dead propeller's disc, shape of the cases
        slipstream_factor [1]: factor of slipstream_roll, shape of the cases
        rudder_limit [rad]: greatest effective rudder angle, shape of the cases
        aileron_limit [rad]: greatest aileron angle, shape of the cases
        sideslip_limit [rad]: greatest sideslip, shape of the cases
        bank_limit [rad]: greatest bank toward the live motor, 0 for wings level, shape of the cases
    Returns:
        [m/s]: ControlSpeed, shape of the cases; the lowest grid speed stands for "below the grid", nan for "above the grid"
    Relation: for some bank in 0..limit |rudder|, |aileron|, |sideslip| within limits, at V and at every higher V; thrust straight
        between grid speeds
    Holds for: an aeroplane alike left and right; a grid that is fine beside the thrust curve (1 m/s) and reaches past the answer
    Breaks when: derivatives make the balance singular (nan, "above the grid")
    Errs: either way by the bands of derivatives, drag and slipstream; usually 10 to 15 per cent
    Example:
        >>> from twinkit.physics.derivatives import LateralDerivatives
        >>> d = LateralDerivatives(cy_beta=-0.445, cl_beta=-0.105, cn_beta=0.088, cy_rudder=0.172, cl_rudder=0.005,
        ...     cn_rudder=-0.0736, cl_aileron=0.20, cn_aileron=-0.0106, cl_p=-0.40, cn_p=-0.066, cl_r=0.14, cn_r=-0.114, cy_r=0.243)
        >>> v = minimum_control_speed(derivatives=d, speed_grid=np.array([6.0, 12.0, 18.0, 24.0, 30.0]),
        ...     live_thrust=np.array([5.0, 4.0, 3.0, 2.0, 1.0]), density=1.225, mass=1.05, wing_area=0.22, wing_span=1.10, arm=0.22,
        ...     chord=0.20, disk_area=0.02483, drag_coefficient=0.15, slipstream_factor=0.5,
        ...     rudder_limit=0.4363, aileron_limit=0.349, sideslip_limit=0.2618, bank_limit=0.0873)
        >>> round(float(v.speed), 1), str(v.status)
        (16.0, 'found')
    Source: [cfr_23_149] bank of 5 degrees and straight flight; [lateral_identity]
    """
    grid = np.asarray(speed_grid, dtype=float)
    thrust = np.asarray(live_thrust, dtype=float)
    if grid.ndim != 1 or thrust.shape[-1:] != grid.shape or np.any(np.diff(grid) <= 0.0) or grid[0] <= 0.0:
        raise ValueError("speed_grid must rise from above zero and live_thrust must have one value per speed in its last axis")
    others = (density, mass, wing_area, wing_span, arm, chord, disk_area, drag_coefficient, slipstream_factor, np.sin(bank_limit),
              np.zeros(thrust.shape[:-1]))
    controlled, columns, shape = _as_columns(derivatives, (sideslip_limit, rudder_limit, aileron_limit), others)
    case = columns[:10]
    thrust = np.broadcast_to(thrust, (*shape, grid.size)).reshape(-1, grid.size)
    held_above = np.empty(thrust.shape[0], dtype=int)      # index of the lowest grid speed of the unbroken run at the top
    for start in range(0, held_above.size, CASES_AT_ONCE):
        part = slice(start, start + CASES_AT_ONCE)
        lost = ~(_slack(*_picked(controlled, case, part), grid, thrust[part]) >= 0.0)[:, ::-1]
        held_above[part] = grid.size - np.where(lost.any(axis=1), lost.argmax(axis=1), grid.size)
    speed = np.where(held_above == 0, grid[0], np.nan)
    between = np.flatnonzero((held_above > 0) & (held_above < grid.size))
    for start in range(0, between.size, 8 * CASES_AT_ONCE):
        rows = between[start:start + 8 * CASES_AT_ONCE]
        speed[rows] = _cross(*_picked(controlled, case, rows), grid, thrust[rows], held_above[rows])
    status = np.select([held_above == 0, held_above == grid.size], ["below the grid", "above the grid"], "found")
    columns = _bank_and_spare(controlled, case, speed[:, None], _between(speed, grid, thrust)[:, None])
    return ControlSpeed(*(v.reshape(shape) for v in (speed, status, *columns)))


def _between(wanted, grid, values):
    """Values (cases, n) on a grid (n,), straight between its points, at one wanted place per case."""
    cell = np.clip(np.searchsorted(grid, wanted) - 1, 0, grid.size - 2)
    rows = np.arange(wanted.size)
    share = (wanted - grid[cell]) / (grid[cell + 1] - grid[cell])
    return values[rows, cell] + share * (values[rows, cell + 1] - values[rows, cell])


def _cross(controlled, case, grid, thrust, above):
    """Speeds in the cells below index `above` where the slack passes zero."""
    base, width = grid[above - 1, None], (grid[above] - grid[above - 1])[:, None]
    rows = np.arange(above.size)
    first = thrust[rows, above - 1][:, None]
    rise = thrust[rows, above][:, None] - first

    def slack(share):
        return _slack(controlled, case, base + share * width, first + share * rise)

    low, high = np.zeros_like(base), np.ones_like(base)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        held = slack(middle) >= 0.0
        low, high = np.where(held, low, middle), np.where(held, middle, high)
    below, beyond = slack(low), slack(high)
    step = np.divide(-below, beyond - below, out=np.ones_like(low), where=beyond > below)
    return (base + (low + np.clip(step, 0.0, 1.0) * (high - low)) * width)[:, 0]


def holdable_thrust(derivatives, speed, full_thrust, density, mass, wing_area, wing_span, arm, chord, disk_area,
                    drag_coefficient, slipstream_factor, rudder_limit, aileron_limit, sideslip_limit, bank_limit):
    """Largest live thrust up to which straight flight can be held at a speed.

    Arguments:
        derivatives [object]: LateralDerivatives, scalars or arrays
        speed [m/s]: flight speed, any shape
        full_thrust [N]: thrust of the live motor at full throttle and that speed, any shape
        density [kg/m^3]: air density, any shape
        mass [kg]: aeroplane mass, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
        arm [m]: motor from the plane of symmetry, any shape
        chord [m]: wing chord behind the propeller, any shape
        disk_area [m^2]: disc area of one propeller, any shape
        drag_coefficient [1]: drag coefficient of the dead propeller's disc, any shape
        slipstream_factor [1]: factor of slipstream_roll, any shape
        rudder_limit [rad]: greatest effective rudder angle, any shape
        aileron_limit [rad]: greatest aileron angle, any shape
        sideslip_limit [rad]: greatest sideslip, any shape
        bank_limit [rad]: greatest bank toward the live motor, 0 for wings level, any shape
    Returns:
        [N]: HoldableThrust, broadcast shape; 0 and "none" when not even the dead propeller is held
    Relation: greatest T such that every thrust from 0 to T is held with some bank in 0..limit
    Holds for: as minimum_control_speed
    Breaks when: speed <= 0
    Errs: either way by the bands of derivatives and slipstream; usually 20 per cent
    Example:
        >>> from twinkit.physics.derivatives import LateralDerivatives
        >>> d = LateralDerivatives(cy_beta=-0.445, cl_beta=-0.105, cn_beta=0.088, cy_rudder=0.172, cl_rudder=0.005,
        ...     cn_rudder=-0.0736, cl_aileron=0.20, cn_aileron=-0.0106, cl_p=-0.40, cn_p=-0.066, cl_r=0.14, cn_r=-0.114, cy_r=0.243)
        >>> t = holdable_thrust(derivatives=d, speed=10.0, full_thrust=4.33, density=1.225, mass=1.05, wing_area=0.22,
        ...     wing_span=1.10, arm=0.22, chord=0.20, disk_area=0.02483, drag_coefficient=0.15, slipstream_factor=0.5,
        ...     rudder_limit=0.4363, aileron_limit=0.349, sideslip_limit=0.2618, bank_limit=0.0873)
        >>> round(float(t.thrust), 2), str(t.status)
        (1.78, 'limited')
    Source: [lateral_identity]
    """
    others = (density, mass, wing_area, wing_span, arm, chord, disk_area, drag_coefficient, slipstream_factor, np.sin(bank_limit),
              speed, full_thrust)
    controlled, columns, shape = _as_columns(derivatives, (sideslip_limit, rudder_limit, aileron_limit), others)
    case, speed, full = columns[:10], columns[10], columns[11]
    shares = np.linspace(0.0, 1.0, SAMPLED_THRUSTS)
    lost = ~(_slack(controlled, case, speed, shares * full) >= 0.0)
    first = np.where(lost.any(axis=1), lost.argmax(axis=1), SAMPLED_THRUSTS)[:, None]
    low = shares[np.maximum(first - 1, 0)]
    high = shares[np.minimum(first, SAMPLED_THRUSTS - 1)]
    for _ in range(3 * HALVINGS):
        middle = 0.5 * (low + high)
        held = _slack(controlled, case, speed, middle * full) >= 0.0
        low, high = np.where(held, middle, low), np.where(held, high, middle)
    thrust = np.where(first == 0, 0.0, np.where(first == SAMPLED_THRUSTS, 1.0, low)) * full
    status = np.select([first == 0, first == SAMPLED_THRUSTS], ["none", "all of it"], "limited")
    columns = _bank_and_spare(controlled, case, speed, thrust)
    return HoldableThrust(*(v.reshape(shape) for v in (thrust, status, *columns)))
