"""Motor and propeller constants from bench readings, with their uncertainty and the reading that does not fit.

Readings run along the last axis; any axes before it are separate benches, fitted side by side.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import stdtr

ROUNDS = 60  # of the weights in the fit with errors in every reading; settles in under 20


@dataclass(frozen=True)
class MotorFit:
    """Kv and resistance of a motor with controller and leads (SI)."""

    kv: np.ndarray
    resistance: np.ndarray
    kv_sigma: np.ndarray
    resistance_sigma: np.ndarray
    correlation: np.ndarray
    scatter: np.ndarray
    residual: np.ndarray
    inflation: np.ndarray


@dataclass(frozen=True)
class NoLoadFit:
    """No-load current as a straight line over speed (SI)."""

    constant: np.ndarray
    slope: np.ndarray
    constant_sigma: np.ndarray
    slope_sigma: np.ndarray
    correlation: np.ndarray
    scatter: np.ndarray
    residual: np.ndarray


@dataclass(frozen=True)
class CoefficientFit:
    """A thrust or power coefficient (SI)."""

    coefficient: np.ndarray
    sigma: np.ndarray
    scatter: np.ndarray
    residual: np.ndarray


@dataclass(frozen=True)
class Outliers:
    """How far each reading stands from the rest (SI)."""

    distance: np.ndarray
    suspect: np.ndarray
    bend: np.ndarray


@dataclass(frozen=True)
class OneReading:
    """Running resistance from a single loaded reading (SI)."""

    resistance: np.ndarray
    sigma: np.ndarray
    ratio: np.ndarray


def _rows(*values):
    """The readings as float arrays of one shape."""
    return np.broadcast_arrays(*(np.asarray(x, float) for x in values))


def _plane(first, second, result):
    """Least squares of result = a first + b second: a, b, their unscaled covariance, residual, scatter."""
    s11, s12, s22 = ((x * y).sum(-1) for x, y in ((first, first), (first, second), (second, second)))
    t1, t2 = (first * result).sum(-1), (second * result).sum(-1)
    det = s11 * s22 - s12**2
    with np.errstate(divide="ignore", invalid="ignore"):
        det = np.where(det > 1e-13 * s11 * s22, det, np.nan)
        a, b = (s22 * t1 - s12 * t2) / det, (s11 * t2 - s12 * t1) / det
        covariance = s22 / det, -s12 / det, s11 / det
        residual = result - a[..., None] * first - b[..., None] * second
        spare = first.shape[-1] - 2
        scatter = np.sqrt((residual**2).sum(-1) / spare) if spare > 0 else np.full_like(a, np.nan)
    return a, b, covariance, residual, scatter


def fit_motor(voltage, current, speed):
    """Kv and running resistance from bench readings, noise taken to be in the volts.

    Arguments:
        voltage [V]: readings at the controller input, readings along the last axis
        current [A]: readings, same shape
        speed [rad/s]: readings, same shape
    Returns:
        kv [rad/(s V)]: speed constant
        resistance [ohm]: motor, controller and leads behind the voltmeter
        kv_sigma [rad/(s V)]: standard uncertainty
        resistance_sigma [ohm]: standard uncertainty
        correlation [1]: of 1/kv and resistance
        scatter [V]: standard deviation of the residuals; nan with two readings
        residual [V]: reading less fit, one per reading
        inflation [1]: growth of the variances by speed and current moving together; over 30: add prop-off readings
    Relation: V = w/kv + I R, least squares without intercept; covariance s^2 (X^T X)^-1
    Holds for: full throttle, steady readings, loaded and prop-off ones together
    Breaks when: all readings lie on one ray (returns nan); part throttle
    Errs: resistance low when the current readings are noisy by more than 2 %: use fit_motor_noisy
    Example:
        >>> found = fit_motor(voltage=[6.02, 9.015, 11.985, 12.0], current=[6.111, 11.81, 19.228, 0.79],
        ...                   speed=[591.4, 852.7, 1097.0, 1311.2])
        >>> round(float(found.kv), 1), round(float(found.resistance), 4)
        (110.0, 0.1053)
    Source: [bevington_data] multiple regression and error matrix
    """
    volts, amps, omega = _rows(voltage, current, speed)
    return _motor(*_plane(omega, amps, volts), omega, amps)


def _motor(emf, resistance, covariance, residual, scatter, omega, amps):
    """A MotorFit from 1/kv and R with their unscaled covariance."""
    c11, c12, c22 = covariance
    with np.errstate(divide="ignore", invalid="ignore"):
        kv, correlation = 1 / emf, c12 / np.sqrt(c11 * c22)
        inflation = 1 / (1 - (omega * amps).sum(-1) ** 2 / ((omega**2).sum(-1) * (amps**2).sum(-1)))
        return MotorFit(kv, resistance, scatter * np.sqrt(c11) * kv**2, scatter * np.sqrt(c22), correlation, scatter,
                        residual, inflation)


def fit_motor_noisy(voltage, current, speed, voltage_sigma, current_sigma, speed_sigma):
    """Kv and running resistance when volts, amperes and speed are all noisy.

    Arguments:
        voltage [V]: readings at the controller input, readings along the last axis
        current [A]: readings, same shape
        speed [rad/s]: readings, same shape
        voltage_sigma [V]: standard uncertainty of each reading, any shape
        current_sigma [A]: standard uncertainty of each reading, any shape
        speed_sigma [rad/s]: standard uncertainty of each reading, any shape
    Returns:
        kv [rad/(s V)]: speed constant
        resistance [ohm]: motor, controller and leads behind the voltmeter
        kv_sigma [rad/(s V)]: standard uncertainty, from the given ones
        resistance_sigma [ohm]: standard uncertainty, from the given ones
        correlation [1]: of 1/kv and resistance
        scatter [1]: residuals over what the given uncertainties promise; well over 1: they are too small
        residual [V]: reading less fit, one per reading
        inflation [1]: as fit_motor
    Relation: least sum of (V - w/kv - I R)^2 / (s_V^2 + s_w^2/kv^2 + s_I^2 R^2), reached by York's rounds
    Holds for: independent errors; a common error of a meter is not seen by any fit
    Breaks when: an uncertainty is negative or all are zero (returns nan)
    Errs: uncertainties low by a few per cent with fewer than six readings
    Example:
        >>> found = fit_motor_noisy(voltage=[6.02, 9.015, 11.985, 12.0], current=[6.111, 11.81, 19.228, 0.79],
        ...     speed=[591.4, 852.7, 1097.0, 1311.2], voltage_sigma=0.02, current_sigma=0.3, speed_sigma=2.0)
        >>> round(float(found.kv), 1), round(float(found.resistance), 4)
        (110.0, 0.1053)
    Source: [york_2004] unified equations, here for a plane through the origin
    """
    volts, amps, omega, s_volts, s_amps, s_omega = _rows(voltage, current, speed, voltage_sigma, current_sigma,
                                                         speed_sigma)
    known = (s_volts >= 0) & (s_amps >= 0) & (s_omega >= 0)
    emf, resistance, *_ = _plane(omega, amps, volts)
    true_omega, true_amps = omega, amps
    with np.errstate(divide="ignore", invalid="ignore"):
        for _ in range(ROUNDS):
            a, b = emf[..., None], resistance[..., None]
            variance = s_volts**2 + (a * s_omega) ** 2 + (b * s_amps) ** 2
            weight = np.where(known & (variance > 0), 1 / variance, np.nan)
            pull = weight * (volts - a * omega - b * amps)
            true_omega, true_amps = omega + a * s_omega**2 * pull, amps + b * s_amps**2 * pull
            s11, s12 = (weight * true_omega * omega).sum(-1), (weight * true_omega * amps).sum(-1)
            s21, s22 = (weight * true_amps * omega).sum(-1), (weight * true_amps * amps).sum(-1)
            t1, t2 = (weight * true_omega * volts).sum(-1), (weight * true_amps * volts).sum(-1)
            det = s11 * s22 - s12 * s21
            emf, resistance = (s22 * t1 - s12 * t2) / det, (s11 * t2 - s21 * t1) / det
        residual = volts - emf[..., None] * omega - resistance[..., None] * amps
        c11, c12, c22 = ((weight * x * y).sum(-1) for x, y in (
            (true_omega, true_omega), (true_omega, true_amps), (true_amps, true_amps)))
        det = c11 * c22 - c12**2
        spare = volts.shape[-1] - 2
        scatter = np.sqrt((weight * residual**2).sum(-1) / spare) if spare > 0 else np.full_like(emf, np.nan)
    fit = _motor(emf, resistance, (c22 / det, -c12 / det, c11 / det), residual, np.ones_like(emf), omega, amps)
    return MotorFit(**{**vars(fit), "scatter": scatter})


def fit_no_load(current, speed):
    """No-load current over speed from prop-off readings.

    Arguments:
        current [A]: prop-off readings along the last axis
        speed [rad/s]: readings, same shape
    Returns:
        constant [A]: part that does not depend on speed
        slope [A s/rad]: growth with speed
        constant_sigma [A]: standard uncertainty; nan with two readings
        slope_sigma [A s/rad]: standard uncertainty; nan with two readings
        correlation [1]: of the two
        scatter [A]: standard deviation of the residuals; nan with two readings
        residual [A]: reading less fit, one per reading
    Relation: I0 = a + b w, least squares
    Holds for: the range of speed measured
    Breaks when: all readings at one speed (returns nan)
    Errs: a clamp meter's zero error goes straight into the constant
    Example:
        >>> line = fit_no_load(current=[0.70, 0.74, 0.79], speed=[652.7, 979.8, 1311.2])
        >>> round(float(line.constant), 3), round(float(line.slope) * 1e3, 4)
        (0.609, 0.1367)
    Source: [bevington_data] straight-line fit
    """
    amps, omega = _rows(current, speed)
    constant, slope, (c11, c12, c22), residual, scatter = _plane(np.ones_like(omega), omega, amps)
    return NoLoadFit(constant, slope, scatter * np.sqrt(c11), scatter * np.sqrt(c22), c12 / np.sqrt(c11 * c22),
                     scatter, residual)


def fit_thrust_coefficient(thrust, speed, density, diameter, thrust_sigma=1.0, common_sigma=0.0):
    """Static thrust coefficient from bench readings.

    Arguments:
        thrust [N]: readings along the last axis
        speed [rad/s]: readings, same shape
        density [kg/m^3]: air density, any shape
        diameter [m]: propeller diameter, any shape
        thrust_sigma [N]: uncertainty of each reading, only the ratios count, any shape
        common_sigma [1]: relative error all readings share (scale, arm ratio, density), any shape
    Returns:
        coefficient [1]: C_T
        sigma [1]: standard uncertainty, scatter and common error together
        scatter [1]: weighted standard deviation of the residuals; thrust over C_T rho n^2 D^4 when all weigh alike
        residual [N]: reading less fit, one per reading
    Relation: T = C_T rho n^2 D^4, n = w/(2 pi), weighted least squares through the origin
    Holds for: standing still, free air around the propeller
    Breaks when: one reading only (sigma is nan)
    Errs: low in a small room, high close to the table behind it
    Example:
        >>> fit = fit_thrust_coefficient(thrust=[3.196, 6.619, 11.001], speed=[591.4, 852.7, 1097.0], density=1.20,
        ...                              diameter=0.2286, thrust_sigma=[0.02, 0.03, 0.05], common_sigma=0.01)
        >>> round(float(fit.coefficient), 4), round(float(fit.sigma), 4)
        (0.1099, 0.0011)
    Source: [bevington_data] weighted fit through the origin
    """
    turns = np.asarray(speed, float) / (2 * np.pi)
    base = np.asarray(density, float) * turns**2 * np.asarray(diameter, float) ** 4
    return _coefficient(thrust, base, thrust_sigma, common_sigma)


def fit_power_coefficient(torque, speed, density, diameter, torque_sigma=1.0, common_sigma=0.0):
    """Static power coefficient from torque, measured or from the motor as (I - I0)/kv.

    Arguments:
        torque [N m]: readings along the last axis
        speed [rad/s]: readings, same shape
        density [kg/m^3]: air density, any shape
        diameter [m]: propeller diameter, any shape
        torque_sigma [N m]: uncertainty of each reading, only the ratios count, any shape
        common_sigma [1]: relative error all readings share (kv, density, clamp scale), any shape
    Returns:
        coefficient [1]: C_P
        sigma [1]: standard uncertainty, scatter and common error together
        scatter [1]: weighted standard deviation of the residuals, as fit_thrust_coefficient
        residual [N m]: reading less fit, one per reading
    Relation: Q = C_P rho n^2 D^5/(2 pi), n = w/(2 pi), weighted least squares through the origin
    Holds for: standing still, full throttle if the torque comes from the motor current
    Breaks when: one reading only (sigma is nan)
    Errs: with the error of kv and of the clamp meter one to one, if the torque comes from the current
    Example:
        >>> fit = fit_power_coefficient(torque=[0.0489, 0.1003, 0.1673], speed=[591.4, 852.7, 1097.0], density=1.20,
        ...                             diameter=0.2286, torque_sigma=[0.001, 0.001, 0.002], common_sigma=0.01)
        >>> round(float(fit.coefficient), 4), round(float(fit.sigma), 4)
        (0.0459, 0.0005)
    Source: [bevington_data] weighted fit through the origin
    """
    turns = np.asarray(speed, float) / (2 * np.pi)
    base = np.asarray(density, float) * turns**2 * np.asarray(diameter, float) ** 5 / (2 * np.pi)
    return _coefficient(torque, base, torque_sigma, common_sigma)


def _coefficient(load, base, sigma, common):
    """Weighted fit of load = c base through the origin; the weights are scaled to a mean of one."""
    load, base, sigma = _rows(load, base, sigma)
    weight = 1 / sigma**2
    weight = weight / weight.mean(-1, keepdims=True)
    square = (weight * base**2).sum(-1)
    coefficient = (weight * base * load).sum(-1) / square
    residual = load - coefficient[..., None] * base
    spare = load.shape[-1] - 1
    scatter = np.sqrt((weight * residual**2).sum(-1) / spare) if spare > 0 else np.full_like(coefficient, np.nan)
    return CoefficientFit(coefficient, np.hypot(scatter / np.sqrt(square), coefficient * common), scatter, residual)


def power_law_exponent(speed, load):
    """Exponent of a load over speed: a check of the readings, 2 for thrust and torque of a propeller.

    Arguments:
        speed [rad/s]: readings along the last axis
        load [N]: thrust (or torque) readings, same shape
    Returns:
        [1]: slope of ln(load) over ln(speed)
    Relation: slope of the straight-line fit of ln T over ln w
    Holds for: one propeller in one air
    Breaks when: a reading is not positive, or all at one speed (returns nan)
    Errs: off 2 by more than 0.05: look for a scale offset, a flexing propeller or recirculating air
    Example:
        >>> round(float(power_law_exponent(speed=[591.4, 852.7, 1097.0], load=[3.196, 6.619, 11.001])), 3)
        2.0
    Source: [bevington_data] straight-line fit
    """
    omega, load = (np.log(np.where(x > 0, x, np.nan)) for x in _rows(speed, load))
    return _plane(np.ones_like(omega), omega, load)[1]


def motor_outliers(voltage, current, speed, false_alarm=0.05):
    """Points at readings that do not belong to the others, and at a bend of the whole row.

    Arguments:
        voltage [V]: readings at the controller input, readings along the last axis
        current [A]: readings, same shape
        speed [rad/s]: readings, same shape
        false_alarm [1]: chance to point at a good row by mistake
    Returns:
        distance [1]: residual of each reading against the fit of the others, in its standard deviations
        suspect [1]: chance of so great a distance in a good row, less false_alarm; negative = point at it
        bend [1]: t-value of an added I^2 term; beyond 3 either way the resistance changes along the row
    Relation: t_i = e_i / (s_(i) sqrt(1 - h_i)), n - 3 degrees of freedom, chance times n
    Holds for: five readings or more
    Breaks when: fewer than four readings (returns nan)
    Errs: two wrong readings can hide each other; put right the first, then look again
    Example:
        >>> looked = motor_outliers(voltage=[6.02, 8.0, 9.6, 11.985, 6.0, 12.0],
        ...     current=[6.111, 9.799, 11.81, 19.228, 0.7, 0.79], speed=[591.4, 768.2, 852.7, 1097.0, 652.7, 1311.2],
        ...     false_alarm=0.05)
        >>> [bool(s < 0) for s in looked.suspect]
        [False, False, True, False, False, False]
    Source: [cook_residuals] externally studentised residuals
    """
    volts, amps, omega = _rows(voltage, current, speed)
    emf, resistance, (c11, c12, c22), residual, scatter = _plane(omega, amps, volts)
    spare = volts.shape[-1] - 3
    blank = np.full(volts.shape, np.nan)
    if spare < 1:
        return Outliers(blank, blank, blank.mean(-1))
    c11, c12, c22 = (c[..., None] for c in (c11, c12, c22))
    leverage = c11 * omega**2 + 2 * c12 * omega * amps + c22 * amps**2
    with np.errstate(divide="ignore", invalid="ignore"):
        others = ((residual**2).sum(-1, keepdims=True) - residual**2 / (1 - leverage)) / spare
        distance = residual / np.sqrt(np.maximum(others, 0) * (1 - leverage))
        chance = np.minimum(2 * stdtr(spare, -np.abs(distance)) * volts.shape[-1], 1)
        square = _plane(omega, amps, amps**2)[3]
        size = (square**2).sum(-1)
        term = (square * residual).sum(-1) / size
        left = ((residual - term[..., None] * square) ** 2).sum(-1) / spare
        bend = term * np.sqrt(size / left)
    return Outliers(distance, chance - false_alarm, bend)


def one_reading(voltage, current, speed, kv, catalogue_resistance, voltage_sigma, current_sigma, speed_sigma, kv_sigma):
    """Running resistance from one loaded full-throttle reading when Kv is taken from the label.

    Arguments:
        voltage [V]: at the controller input, any shape
        current [A]: any shape
        speed [rad/s]: any shape
        kv [rad/(s V)]: speed constant, 0.97 of the label by default, any shape
        catalogue_resistance [ohm]: resistance on the label, for the ratio, any shape
        voltage_sigma [V]: standard uncertainty, any shape
        current_sigma [A]: standard uncertainty, any shape
        speed_sigma [rad/s]: standard uncertainty, any shape
        kv_sigma [rad/(s V)]: standard uncertainty, any shape
    Returns:
        resistance [ohm]: running resistance with controller, leads and commutation; nan if the reading denies kv
        sigma [ohm]: standard uncertainty
        ratio [1]: over the catalogue resistance; 1.7 to 3 is usual
    Relation: R = (V - w/kv)/I
    Holds for: full throttle; predictions with a like propeller at 1 to 1.5 times the voltage
    Breaks when: w/kv >= V: kv is greater than assumed (returns nan)
    Errs: resistance takes up the error of kv
    Example:
        >>> run = one_reading(voltage=23.7, current=14.7, speed=839.4, kv=41.89, catalogue_resistance=0.116,
        ...     voltage_sigma=0.1, current_sigma=0.3, speed_sigma=1.0, kv_sigma=1.0)
        >>> round(float(run.resistance), 3), round(float(run.ratio), 2)
        (0.249, 2.15)
    Source: [bevington_data] propagation of errors; [bench_rows] usual ratio
    """
    amps, omega, kv = (np.asarray(x, float) for x in (current, speed, kv))
    resistance = (np.asarray(voltage, float) - omega / kv) / amps
    sigma = np.sqrt(np.square(voltage_sigma) + np.square(speed_sigma / kv) + np.square(omega * kv_sigma / kv**2)
                    + np.square(resistance * current_sigma)) / amps
    resistance = np.where((resistance > 0) & (amps > 0), resistance, np.nan)
    return OneReading(resistance, np.where(np.isnan(resistance), np.nan, sigma), resistance / catalogue_resistance)
