"""Performance in straight flight: stall, glide, climb and level speeds."""

from dataclasses import dataclass

import numpy as np

from twinkit import constants as const

CROSSING_STEPS = 40   # halvings of one grid cell: far below rounding of the speeds


@dataclass(frozen=True)
class Climb:
    """Steady climb or descent; `status` is "steady", "too much thrust" or "too little thrust"."""

    angle: np.ndarray
    rate: np.ndarray
    cl: np.ndarray
    drag: np.ndarray
    status: np.ndarray


@dataclass(frozen=True)
class LevelSpeeds:
    """Slowest and fastest steady level speed the thrust allows; `status` tells which of them exist."""

    slow: np.ndarray
    fast: np.ndarray
    status: np.ndarray


def _floats(*values):
    return np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values))


def _positive(value):
    return np.where(value > 0.0, value, np.nan)


def stall_speed(mass, area, density, cl_max):
    """Slowest steady level speed of a wing.

    Arguments:
        mass [kg]: aeroplane mass, any shape
        area [m^2]: wing area, any shape
        density [kg/m^3]: air density, any shape
        cl_max [1]: greatest lift coefficient of the wing, any shape
    Returns:
        [m/s]: speed, broadcast shape
    Relation: V = sqrt(2 m g / (rho S CLmax))
    Holds for: rigid wing, level flight, no thrust component along the lift
    Breaks when: an argument <= 0 (returns nan)
    Errs: low by a few per cent when the section loses lift at low Reynolds number
    Example:
        >>> round(float(stall_speed(mass=1.05, area=0.22, density=1.225, cl_max=1.1)), 2)
        8.33
    Source: [anderson_apd] level flight at CLmax
    """
    mass, area, density, cl_max = (_positive(value) for value in _floats(mass, area, density, cl_max))
    return np.sqrt(2.0 * mass * const.STANDARD_GRAVITY / (density * area * cl_max))


def level_drag(speed, mass, area, density, cd0, induced_factor):
    """Drag, and so the thrust wanted, in steady level flight.

    Arguments:
        speed [m/s]: airspeed, any shape
        mass [kg]: aeroplane mass, any shape
        area [m^2]: wing area, any shape
        density [kg/m^3]: air density, any shape
        cd0 [1]: zero-lift drag coefficient, any shape
        induced_factor [1]: factor K of the squared lift coefficient, any shape
    Returns:
        [N]: drag, broadcast shape
    Relation: D = q S CD0 + K (m g)^2 / (q S)
    Holds for: above the stall, thrust along the path
    Breaks when: speed, area or density <= 0 (returns nan)
    Errs: low near the stall
    Example:
        >>> round(float(level_drag(speed=12.0, mass=1.05, area=0.22, density=1.225, cd0=0.045, induced_factor=0.0723)), 3)
        1.268
    Source: [anderson_apd] thrust required
    """
    speed, mass, area, density, cd0, factor = _floats(speed, mass, area, density, cd0, induced_factor)
    pressure_area = 0.5 * _positive(density) * _positive(speed) ** 2 * _positive(area)
    return pressure_area * cd0 + factor * (mass * const.STANDARD_GRAVITY) ** 2 / pressure_area


def max_glide_ratio(cd0, induced_factor):
    """Greatest ratio of lift to drag.

    Arguments:
        cd0 [1]: zero-lift drag coefficient, any shape
        induced_factor [1]: factor K of the squared lift coefficient, any shape
    Returns:
        [1]: greatest lift to drag, broadcast shape
    Relation: E = 1 / (2 sqrt(CD0 K))
    Holds for: parabolic polars, propellers folded or counted in CD0
    Breaks when: cd0 or induced_factor <= 0 (returns nan)
    Errs: high when windmilling propellers are not counted
    Example:
        >>> round(float(max_glide_ratio(cd0=0.045, induced_factor=0.0723)), 2)
        8.77
    Source: [anderson_apd] maximum lift to drag
    """
    cd0, factor = _floats(cd0, induced_factor)
    return 0.5 / np.sqrt(_positive(cd0) * _positive(factor))


def best_glide_speed(mass, area, density, cd0, induced_factor):
    """Speed of the flattest glide and of least drag.

    Arguments:
        mass [kg]: aeroplane mass, any shape
        area [m^2]: wing area, any shape
        density [kg/m^3]: air density, any shape
        cd0 [1]: zero-lift drag coefficient, any shape
        induced_factor [1]: factor K of the squared lift coefficient, any shape
    Returns:
        [m/s]: speed, broadcast shape
    Relation: V = sqrt(2 m g / (rho S)) (K / CD0)^(1/4)
    Holds for: parabolic polars; check it against the stall speed
    Breaks when: an argument <= 0 (returns nan)
    Errs: 5 per cent either way with a CD0 known to 20 per cent
    Example:
        >>> round(float(best_glide_speed(mass=1.05, area=0.22, density=1.225, cd0=0.045, induced_factor=0.0723)), 2)
        9.84
    Source: [anderson_apd] minimum thrust required
    """
    mass, area, density, cd0, factor = (_positive(v) for v in _floats(mass, area, density, cd0, induced_factor))
    return np.sqrt(2.0 * mass * const.STANDARD_GRAVITY / (density * area)) * (factor / cd0) ** 0.25


def min_power_speed(mass, area, density, cd0, induced_factor):
    """Speed of least power in level flight and of least sink in the glide.

    Arguments:
        mass [kg]: aeroplane mass, any shape
        area [m^2]: wing area, any shape
        density [kg/m^3]: air density, any shape
        cd0 [1]: zero-lift drag coefficient, any shape
        induced_factor [1]: factor K of the squared lift coefficient, any shape
    Returns:
        [m/s]: speed, broadcast shape
    Relation: V = V_best_glide / 3^(1/4), where CL = sqrt(3 CD0 / K)
    Holds for: parabolic polars; on draggy models it lies below the stall and cannot be flown
    Breaks when: an argument <= 0 (returns nan)
    Errs: low, the polar is too kind near the stall
    Example:
        >>> round(float(min_power_speed(mass=1.05, area=0.22, density=1.225, cd0=0.045, induced_factor=0.0723)), 2)
        7.48
    Source: [anderson_apd] minimum power required
    """
    return best_glide_speed(mass, area, density, cd0, induced_factor) / 3.0**0.25


def climb(thrust, speed, mass, area, density, cd0, induced_factor):
    """Steady straight climb or descent with the lift held at m g cos(angle), both equations solved together.

    Arguments:
        thrust [N]: thrust along the path, any shape
        speed [m/s]: airspeed along the path, any shape
        mass [kg]: aeroplane mass, any shape
        area [m^2]: wing area, any shape
        density [kg/m^3]: air density, any shape
        cd0 [1]: zero-lift drag coefficient, any shape
        induced_factor [1]: factor K of the squared lift coefficient, any shape
    Returns:
        angle [rad]: climb angle, broadcast shape
        rate [m/s]: vertical speed, up positive
        cl [1]: lift coefficient flown; compare it with the greatest
        drag [N]: drag
        status [choice]: "steady", "too much thrust" or "too little thrust" (then angle, rate, cl, drag are nan)
    Relation: T - q S CD0 - K (m g cos)^2 / (q S) = m g sin, the root between -1 and 1 in closed form
    Holds for: any steady angle up to straight up or down
    Breaks when: the speed cannot be held even straight up or down (nan and status); speed, area, density <= 0 (nan)
    Errs: high near the stall, where the polar is too kind
    Example:
        >>> up = climb(thrust=8.0, speed=12.0, mass=1.05, area=0.22, density=1.225, cd0=0.045, induced_factor=0.0723)
        >>> round(float(up.rate), 2), str(up.status)
        (8.05, 'steady')
    Source: [anderson_apd] climb without the small-angle step
    """
    thrust, speed, mass, area, density, cd0, factor = _floats(thrust, speed, mass, area, density, cd0, induced_factor)
    weight = _positive(mass) * const.STANDARD_GRAVITY
    pressure_area = 0.5 * _positive(density) * _positive(speed) ** 2 * _positive(area)
    excess = thrust - pressure_area * cd0                # with no lift at all
    level_induced = factor * weight**2 / pressure_area
    known = np.isfinite(excess) & np.isfinite(level_induced)
    steady = known & (np.abs(excess) <= weight)
    with np.errstate(invalid="ignore"):
        root = np.sqrt(weight**2 - 4.0 * level_induced * (excess - level_induced))
        sine = np.where(steady, 2.0 * (excess - level_induced) / (weight + root), np.nan)
    sine = np.clip(sine, -1.0, 1.0)
    square = 1.0 - sine**2
    status = np.where(steady, "steady", np.where(excess > 0.0, "too much thrust", "too little thrust"))
    status = np.where(known, status, "not known")
    return Climb(angle=np.arcsin(sine), rate=speed * sine, cl=weight * np.sqrt(square) / pressure_area,
                 drag=np.where(steady, pressure_area * cd0 + level_induced * square, np.nan), status=status)


def climb_rate_from_power(power_available, power_required, mass):
    """Rate of climb from the power left over, for shallow climbs.

    Arguments:
        power_available [W]: thrust times speed of all motors that run, any shape
        power_required [W]: drag times speed in level flight, any shape
        mass [kg]: aeroplane mass, any shape
    Returns:
        [m/s]: rate of climb, broadcast shape
    Relation: (Pa - Pr) / (m g)
    Holds for: climb angles up to about 20 degrees
    Breaks when: mass <= 0 (returns nan)
    Errs: low in steep climbs, where less lift and so less drag is wanted
    Example:
        >>> round(float(climb_rate_from_power(power_available=48.0, power_required=15.2, mass=1.05)), 3)
        3.185
    Source: [anderson_apd] excess power
    """
    available, required, mass = _floats(power_available, power_required, mass)
    return (available - required) / (_positive(mass) * const.STANDARD_GRAVITY)


def level_speeds(speed, thrust, drag):
    """Slowest and fastest steady level speed from thrust and drag sampled on a grid of speeds.

    Arguments:
        speed [m/s]: rising grid of four speeds or more, shape (speeds,); let it begin at the stall speed
        thrust [N]: thrust of the running motors at those speeds, last axis over the speeds
        drag [N]: level drag at those speeds, last axis over the speeds
    Returns:
        slow [m/s]: highest speed below the fast one at which the excess rises through zero, the shape without the last axis
        fast [m/s]: highest speed at which the excess thrust falls through zero
        status [choice]: "both", "fast only" (the grid's foot limits), "beyond grid" (excess left at its top), "none"
    Relation: T(V) = D(V), cubic through the four nearest samples, halved down inside the cell
    Holds for: smooth curves, the grid finer than the dip or hump looked for
    Breaks when: a sample is not finite, or there is no excess anywhere (nan)
    Errs: with the fourth power of the grid step; thrust misses drag by under 0.1 per cent with steps of 0.5 m/s
    Example:
        >>> found = level_speeds(speed=[6.0, 9.0, 12.0, 15.0, 18.0], thrust=[4.0, 3.5, 3.0, 2.5, 2.0], drag=[4.3, 2.2, 1.4, 1.6, 2.1])
        >>> round(float(found.slow), 2), round(float(found.fast), 2), str(found.status)
        (6.4, 17.68, 'both')
    Source: [anderson_apd] thrust available against thrust required
    """
    speed = np.asarray(speed, dtype=float)
    thrust, drag = _floats(thrust, drag)
    if speed.ndim != 1 or speed.size < 4 or np.any(np.diff(speed) <= 0.0):
        raise ValueError("speed must be one rising row of at least four speeds")
    if thrust.shape[-1:] != speed.shape:
        raise ValueError(f"thrust and drag have {thrust.shape[-1:]} samples on their last axis; speed has {speed.shape}")
    shape = thrust.shape[:-1]
    excess = (thrust - drag).reshape(-1, speed.size)
    finite = np.isfinite(excess).all(axis=1)
    positive = np.where(finite[:, np.newaxis], excess, -1.0) > 0.0
    cells = speed.size - 1

    falling = positive[:, :-1] & ~positive[:, 1:]
    has_fast = falling.any(axis=1)
    fast_cell = cells - 1 - np.argmax(falling[:, ::-1], axis=1)
    fast_cell = np.where(has_fast, fast_cell, cells - 1)
    beyond = positive[:, -1]
    limit = np.where(beyond, cells, fast_cell)
    rising = ~positive[:, :-1] & positive[:, 1:] & (np.arange(cells) <= limit[:, np.newaxis])
    has_slow = rising.any(axis=1)
    slow_cell = np.where(has_slow, cells - 1 - np.argmax(rising[:, ::-1], axis=1), 0)

    status = np.where(beyond, "beyond grid", np.where(has_fast, np.where(has_slow, "both", "fast only"), "none"))
    fast = np.where(has_fast & ~beyond, _zero_in_cell(speed, excess, fast_cell), np.nan)
    slow = np.where(has_slow, _zero_in_cell(speed, excess, slow_cell), np.nan)
    return LevelSpeeds(slow=slow.reshape(shape), fast=fast.reshape(shape), status=status.reshape(shape))


def _zero_in_cell(grid, values, cell):
    """Zero of the cubic through the four samples about a cell, one cell per row."""
    first = np.clip(cell - 1, 0, grid.size - 4)
    picks = first[:, np.newaxis] + np.arange(4)
    nodes, differences = grid[picks].T, np.take_along_axis(values, picks, axis=1).T.copy()
    for order in range(1, 4):       # Newton's divided differences
        differences[order:] = (differences[order:] - differences[order - 1:-1]) / (nodes[order:] - nodes[:4 - order])
    low, high = grid[cell], grid[cell + 1]
    up = np.take_along_axis(values, (cell + 1)[:, np.newaxis], axis=1)[:, 0] > 0.0
    for _ in range(CROSSING_STEPS):
        middle = 0.5 * (low + high)
        total = differences[3]
        for order in (2, 1, 0):
            total = differences[order] + (middle - nodes[order]) * total
        above = (total > 0.0) == up
        high, low = np.where(above, middle, high), np.where(above, low, middle)
    return 0.5 * (low + high)
