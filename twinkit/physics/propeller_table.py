"""A propeller's coefficients tabulated once: lookup, thrust and torque, zero-thrust advance ratio."""

from dataclasses import dataclass

import numpy as np

from twinkit.physics.propeller import Coefficients, blade_element

ROWS, COLUMNS = 9, 97             # speeds and advance ratios tabulated


@dataclass(frozen=True)
class PropellerTable:
    """CT and CP of one propeller over ln n (rows, even steps) and advance ratio from zero (columns, even steps), at one density."""

    diameter: float
    density: float
    n_low: float
    n_high: float
    advance_ratio_high: float
    ct: np.ndarray
    cp: np.ndarray

    @property
    def driven_advance_ratio(self):
        """Last tabulated advance ratio up to which the shaft takes power at every tabulated speed."""
        last = self.cp.shape[1] - 1
        driven = (self.cp <= 0.0).any(axis=0)
        return self.advance_ratio_high * (max(int(np.argmax(driven)) - 1, 0) if driven.any() else last) / last


def propeller_table(diameter, pitch, blades, style, section, density, viscosity, n_low=15.0, n_high=500.0, windmill_angle=0.1):
    """Table of CT and CP of one propeller, built once and looked up often.

    Arguments:
        diameter [m]: propeller diameter, scalar
        pitch [m]: nominal pitch, scalar
        blades [1]: number of blades, scalar
        style [object]: Style of the blades
        section [object]: SectionModel
        density [kg/m^3]: air density the table is made for, scalar
        viscosity [Pa s]: dynamic viscosity of the air, scalar
        n_low [1/s]: lowest tabulated revolutions per second, scalar
        n_high [1/s]: highest tabulated revolutions per second, scalar
        windmill_angle [rad]: how far below its zero-lift angle the blade at 3/4 radius meets the air at the last column, scalar
    Returns:
        [object]: PropellerTable of 9 speeds by 97 advance ratios
    Relation: blade_element at the nodes; J_last = 0.75 pi tan(beta(0.75) - zero_lift_angle + windmill_angle)
    Holds for: as blade_element; thrust goes negative, then power, before the last column
    Breaks when: windmill_angle nears the stalling angle
    Errs: bilinear lookup differs from blade_element by less than 0.0006 in CT and 0.0004 in CP above 50 rev/s, 0.001 below
    Example:
        >>> from twinkit.physics.propeller import SectionModel, Style
        >>> style = Style("plain", [0.15, 0.5, 1.0], [0.16, 0.19, 0.04], -0.07, 0.024)
        >>> section = SectionModel(5.215, 0.1041, 0.7, 1e5, 3e3, 0.2623, 0.0519, 0.0353, 1.5, 3.0, -0.5063, 0.1018, 0.4764, 0.15, 0.8, 0.2, 16)
        >>> table = propeller_table(diameter=0.2032, pitch=0.1524, blades=2, style=style, section=section, density=1.225,
        ...                         viscosity=1.81e-5, n_low=15.0, n_high=500.0, windmill_angle=0.1)
        >>> round(float(table.advance_ratio_high), 4), round(float(table.ct[4, 0]), 4)
        (1.2212, 0.0975)
    Source: [twinkit_propeller_fit] grid and its interpolation error
    """
    reference = 0.75                # radius ratio at which a blade's pitch is customarily judged
    beta = np.arctan(pitch / diameter / (np.pi * reference))
    last = reference * np.pi * np.tan(beta - style.zero_lift_angle + windmill_angle)
    n = np.exp(np.linspace(np.log(n_low), np.log(n_high), ROWS))[:, None]
    grid = blade_element(n, np.linspace(0.0, last, COLUMNS), diameter, pitch, blades, style, section, density, viscosity)
    return PropellerTable(diameter, density, n_low, n_high, last, grid.ct, grid.cp)


def _locate(table, n, advance_ratio, density):
    """First corner's index in the flat grids, fractions of the cell over ln n and over J, and where ln n is not held at an edge."""
    rows, columns = table.ct.shape
    step_u, step_j = _steps(table)
    with np.errstate(divide="ignore", invalid="ignore"):
        u = np.log(n * (density / (table.density * table.n_low))) / step_u     # equal Reynolds number: n rho is what counts
    free = (u > 0.0) & (u < rows - 1)
    u, j = np.clip(u, 0.0, rows - 1), np.clip(advance_ratio / step_j, 0.0, columns - 1)
    row = np.minimum(np.fmax(u, 0.0).astype(np.intp), rows - 2)          # fmax: nan picks some cell, its fraction stays nan
    column = np.minimum(np.fmax(j, 0.0).astype(np.intp), columns - 2)
    return row * columns + column, u - row, j - column, free


def _steps(table):
    """Steps of the grid over ln n and over J."""
    rows, columns = table.ct.shape
    return np.log(table.n_high / table.n_low) / (rows - 1), table.advance_ratio_high / (columns - 1)


def _blend(grid, place):
    """Bilinear value of a grid, with its slopes over J along the lower and the upper row and its rise from row to row."""
    at, u, j, _ = place
    flat, columns = grid.ravel(), grid.shape[1]
    a, c = flat[at], flat[at + columns]
    lower, upper = flat[at + 1] - a, flat[at + columns + 1] - c
    low = a + lower * j
    rise = c + upper * j - low
    return low + rise * u, lower, upper, rise


def coefficients(table, n, advance_ratio, density):
    """CT and CP of a tabulated propeller.

    Arguments:
        table [object]: PropellerTable
        n [1/s]: revolutions per second, any shape
        advance_ratio [1]: V/(n D), any shape
        density [kg/m^3]: air density, any shape
    Returns:
        ct [1]: thrust coefficient, broadcast shape
        cp [1]: power coefficient, broadcast shape
        inside [1]: False where outside the table
    Relation: bilinear in (ln(n rho/rho_table), J)
    Holds for: the table's range
    Breaks when: outside it: speed is held at the edge; beyond the last J, CT and CP grow as J^2; below J = 0 the static values stand
    Errs: by the interpolation error of propeller_table
    Example:
        >>> table = PropellerTable(0.2, 1.225, 50.0, 200.0, 0.8, np.array([[0.1, 0.0], [0.12, 0.01]]), np.array([[0.05, 0.02], [0.04, 0.02]]))
        >>> both = coefficients(table=table, n=100.0, advance_ratio=0.4, density=1.225)
        >>> round(float(both.ct), 4), round(float(both.cp), 4)
        (0.0575, 0.0325)
    Source: [twinkit_propeller_fit] grid and its interpolation error
    """
    n, advance_ratio, density = np.broadcast_arrays(*(np.asarray(a, float) for a in (n, advance_ratio, density)))
    reynolds_n = n * density / table.density
    inside = (reynolds_n >= table.n_low) & (reynolds_n <= table.n_high) & (advance_ratio >= 0.0) & (advance_ratio <= table.advance_ratio_high)
    growth = np.maximum(1.0, advance_ratio / table.advance_ratio_high) ** 2
    place = _locate(table, n, advance_ratio, density)
    return Coefficients(_blend(table.ct, place)[0] * growth, _blend(table.cp, place)[0] * growth, inside)


@dataclass(frozen=True)
class Loads:
    """Thrust [N] and shaft torque [N m] of a propeller; inside is False where its table is left."""

    thrust: np.ndarray
    torque: np.ndarray
    inside: np.ndarray


def loads(table, n, airspeed, density):
    """Thrust and shaft torque of a tabulated propeller.

    Arguments:
        table [object]: PropellerTable
        n [1/s]: revolutions per second, any shape
        airspeed [m/s]: speed along the axis, any shape
        density [kg/m^3]: air density, any shape
    Returns:
        thrust [N]: negative when the propeller brakes, broadcast shape
        torque [N m]: negative when the air drives the shaft, broadcast shape
        inside [1]: False where the table is left
    Relation: T = CT rho n^2 D^4, Q = CP rho n^2 D^5/(2 pi)
    Holds for: n >= 0, axial flow
    Breaks when: V/(n D) lies beyond the table: loads stay at what the last column gives at this airspeed, down to a standing propeller
    Errs: as blade_element; the drag of a standing propeller is only an order of magnitude
    Example:
        >>> table = PropellerTable(0.2, 1.225, 50.0, 200.0, 0.8, np.array([[0.1, 0.0], [0.12, 0.01]]), np.array([[0.05, 0.02], [0.04, 0.02]]))
        >>> both = loads(table=table, n=100.0, airspeed=8.0, density=1.225)
        >>> round(float(both.thrust), 3), round(float(both.torque), 4)
        (1.127, 0.0203)
    Source: [uiuc_propeller_db] definitions of the coefficients
    """
    n, airspeed, density = np.broadcast_arrays(*(np.asarray(a, float) for a in (n, airspeed, density)))
    used = np.maximum(n, airspeed / (table.diameter * table.advance_ratio_high))
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(used == 0.0, 0.0, airspeed / (used * table.diameter))
    inside = (n * density >= table.n_low * table.density) & (n * density <= table.n_high * table.density) & (airspeed >= 0.0) & (used == n)
    push = density * used**2 * table.diameter**4
    place = _locate(table, used, ratio, density)
    return Loads(_blend(table.ct, place)[0] * push, _blend(table.cp, place)[0] * push * table.diameter / (2.0 * np.pi), inside)


def torque_and_slope(table, n, airspeed, density):
    """Shaft torque of a tabulated propeller and its slope over the shaft's angular speed, for Newton steps.

    Arguments:
        table [object]: PropellerTable
        n [1/s]: revolutions per second, any shape
        airspeed [m/s]: speed along the axis, any shape
        density [kg/m^3]: air density, any shape
    Returns:
        torque [N m]: shaft torque as in loads, broadcast shape
        slope [N m s/rad]: dQ/d(2 pi n), broadcast shape
    Relation: dQ/dn = rho n D^5 (2 CP + dCP/d ln n - J dCP/dJ)/(2 pi)
    Holds for: as loads
    Breaks when: as loads; the slope is zero where the torque is held
    Errs: not at all against the interpolated table (it is its derivative)
    Example:
        >>> table = PropellerTable(0.2, 1.225, 50.0, 200.0, 0.8, np.array([[0.1, 0.0], [0.12, 0.01]]), np.array([[0.05, 0.02], [0.04, 0.02]]))
        >>> torque, slope = torque_and_slope(table=table, n=110.0, airspeed=8.0, density=1.225)
        >>> round(float(torque), 4), round(float(slope), 7)
        (0.0251, 8.04e-05)
    Source: [uiuc_propeller_db] definitions of the coefficients
    """
    held = airspeed / (table.diameter * table.advance_ratio_high)
    used = np.maximum(n, held)
    ratio = airspeed / (np.maximum(used, np.finfo(float).tiny) * table.diameter)
    place = _locate(table, used, ratio, density)
    step_u, step_j = _steps(table)
    cp, lower, upper, rise = _blend(table.cp, place)
    over_speed, over_ratio = np.where(place[3], rise / step_u, 0.0), (lower + (upper - lower) * place[1]) / step_j
    scale = density * table.diameter**5 / (2.0 * np.pi) * used
    slope = np.where(n >= held, scale * (2.0 * cp + over_speed - ratio * over_ratio) / (2.0 * np.pi), 0.0)
    return scale * used * cp, slope


def zero_thrust_advance_ratio(table, n, density):
    """Advance ratio at which a propeller neither pulls nor brakes.

    Arguments:
        table [object]: PropellerTable
        n [1/s]: revolutions per second, any shape
        density [kg/m^3]: air density, any shape
    Returns:
        [1]: advance ratio, nan where the table holds no crossing, broadcast shape
    Relation: CT(n, J) = 0, the last sign change along the table's column direction
    Holds for: the table's range of speed; outside it the nearest row stands
    Breaks when: the table's thrust does not change sign (returns nan)
    Errs: high by 7.5 % in the mean, 11 % rms against measured propellers
    Example:
        >>> table = PropellerTable(0.2, 1.225, 50.0, 200.0, 0.8, np.array([[0.1, -0.1], [0.12, -0.04]]), np.array([[0.05, 0.02], [0.04, 0.02]]))
        >>> round(float(zero_thrust_advance_ratio(table=table, n=100.0, density=1.225)), 4)
        0.4889
    Source: [twinkit_propeller_fit] error against measured zero-thrust points
    """
    n, density = np.broadcast_arrays(np.asarray(n, float), np.asarray(density, float))
    grid = np.linspace(0.0, table.advance_ratio_high, table.ct.shape[1])
    ct = _blend(table.ct, _locate(table, n[..., None], grid, density[..., None]))[0]
    last = ct.shape[-1] - 1 - np.argmax(ct[..., ::-1] > 0.0, axis=-1)
    after = np.minimum(last + 1, ct.shape[-1] - 1)
    a, b = (np.take_along_axis(ct, i[..., None], -1)[..., 0] for i in (last, after))
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where((a > 0.0) & (b <= 0.0), grid[last] + (grid[after] - grid[last]) * a / (a - b), np.nan)
