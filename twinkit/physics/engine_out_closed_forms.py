"""Closed forms of straight flight on one motor: exact where ailerons and roll are left out.

They show what matters and check the full balance of engine_out. Signs and effective rudder angle as there.
"""
from dataclasses import dataclass

import numpy as np

from twinkit.constants import STANDARD_GRAVITY


@dataclass(frozen=True)
class BankedTrim:
    """Bank and one control angle [rad] of a special straight flight."""

    bank: np.ndarray
    angle: np.ndarray


def zero_sideslip_trim(yawing_moment, speed, density, mass, wing_area, wing_span, fin_arm, cn_rudder):
    """Bank and rudder that fly straight on one motor with no sideslip; ailerons and roll left out.

    Arguments:
        yawing_moment [N m]: moment of the motors, nose right above zero, any shape
        speed [m/s]: flight speed, any shape
        density [kg/m^3]: air density, any shape
        mass [kg]: aeroplane mass, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
        fin_arm [m]: fin behind the centre of gravity, any shape
        cn_rudder [1/rad]: yawing moment by rudder (below zero), any shape
    Returns:
        [rad]: BankedTrim, angle = effective rudder, broadcast shape
    Relation: sin(bank) = -N/(W l_v); rudder = -N/(q S b Cndr)
    Holds for: rudder force acting at the fin arm
    Breaks when: |N| > W l_v (bank is nan)
    Errs: leaves out the side force of the ailerons
    Example:
        >>> t = zero_sideslip_trim(yawing_moment=-0.424, speed=12.0, density=1.225, mass=1.05, wing_area=0.22, wing_span=1.10,
        ...                        fin_arm=0.47, cn_rudder=-0.0736)
        >>> round(float(np.degrees(t.bank)), 2), round(float(np.degrees(t.angle)), 2)
        (5.03, -15.46)
    Source: [lateral_identity]
    """
    sine = -np.asarray(yawing_moment) / (np.asarray(mass) * STANDARD_GRAVITY * fin_arm)
    pressure = 0.5 * np.asarray(density) * np.asarray(speed, dtype=float) ** 2
    return BankedTrim(np.arcsin(np.where(np.abs(sine) <= 1.0, sine, np.nan)),
                      -yawing_moment / (pressure * wing_area * wing_span * cn_rudder))


def aileron_only_trim(yawing_moment, speed, density, mass, wing_area, wing_span, cy_beta, cn_beta):
    """Bank and sideslip that fly straight on one motor with the rudder in the middle; aileron yaw left out.

    Arguments:
        yawing_moment [N m]: moment of the motors, nose right above zero, any shape
        speed [m/s]: flight speed, any shape
        density [kg/m^3]: air density, any shape
        mass [kg]: aeroplane mass, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
        cy_beta [1/rad]: side force by sideslip (below zero), any shape
        cn_beta [1/rad]: yawing moment by sideslip (above zero), any shape
    Returns:
        [rad]: BankedTrim, angle = sideslip, broadcast shape
    Relation: beta = -N/(q S b Cnbeta); sin(bank) = -CYbeta beta q S/W
    Holds for: sideslip under 15 degrees
    Breaks when: the side force exceeds the weight (bank is nan)
    Errs: leaves out the ailerons' yaw, which needs some degrees more
    Example:
        >>> t = aileron_only_trim(yawing_moment=-0.424, speed=12.0, density=1.225, mass=1.05, wing_area=0.22, wing_span=1.10,
        ...                       cy_beta=-0.445, cn_beta=0.088)
        >>> round(float(np.degrees(t.bank)), 1), round(float(np.degrees(t.angle)), 1)
        (10.9, 12.9)
    Source: [lateral_identity]
    """
    pressure_area = 0.5 * np.asarray(density) * np.asarray(speed, dtype=float) ** 2 * wing_area
    sideslip = -np.asarray(yawing_moment) / (pressure_area * wing_span * cn_beta)
    sine = -cy_beta * sideslip * pressure_area / (np.asarray(mass) * STANDARD_GRAVITY)
    return BankedTrim(np.arcsin(np.where(np.abs(sine) <= 1.0, sine, np.nan)), sideslip)


def rudder_limited_speed(yawing_moment, rudder, bank, density, mass, wing_area, wing_span, cy_beta, cn_beta, cy_rudder, cn_rudder):
    """Speed at which a given rudder angle just balances a fixed yawing moment; aileron yaw left out.

    Arguments:
        yawing_moment [N m]: moment of the motors, nose right above zero, any shape
        rudder [rad]: effective rudder angle, below zero against a dead left motor, any shape
        bank [rad]: bank angle, right wing down above zero, any shape
        density [kg/m^3]: air density, any shape
        mass [kg]: aeroplane mass, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
        cy_beta [1/rad]: side force by sideslip, any shape
        cn_beta [1/rad]: yawing moment by sideslip, any shape
        cy_rudder [1/rad]: side force by rudder, any shape
        cn_rudder [1/rad]: yawing moment by rudder, any shape
    Returns:
        [m/s]: speed, broadcast shape
    Relation: V^2 = 2 [(Cnb/CYb) W b sin(bank) - N]/(rho S b dr [Cndr - Cnb CYdr/CYb])
    Holds for: moment that does not change with speed
    Breaks when: the bank alone is more than enough (returns nan)
    Errs: low, as ailerons yaw against the turn they are held for
    Example:
        >>> round(float(rudder_limited_speed(yawing_moment=-0.8, rudder=-0.4363, bank=0.0873, density=1.225, mass=1.05,
        ...     wing_area=0.22, wing_span=1.10, cy_beta=-0.445, cn_beta=0.088, cy_rudder=0.172, cn_rudder=-0.0736)), 2)
        15.37
    Source: [lateral_identity]
    """
    weathercock = np.asarray(cn_beta) / cy_beta
    needed = weathercock * mass * STANDARD_GRAVITY * wing_span * np.sin(bank) - yawing_moment
    square = 2.0 * needed / (np.asarray(density) * wing_area * wing_span * rudder * (cn_rudder - weathercock * cy_rudder))
    return np.sqrt(np.where(square >= 0.0, square, np.nan))


def level_flight_rudder(drag_coefficient, dead_drag_coefficient, arm, wing_span, cn_rudder):
    """Size of the rudder that level flight on one motor takes with no sideslip, at any speed.

    Arguments:
        drag_coefficient [1]: drag coefficient of the aeroplane, dead propeller included, on wing area, any shape
        dead_drag_coefficient [1]: the dead propeller's part of it, on wing area, any shape
        arm [m]: motor from the plane of symmetry, any shape
        wing_span [m]: wing span, any shape
        cn_rudder [1/rad]: yawing moment by rudder, any shape
    Returns:
        [rad]: size of the effective rudder angle, broadcast shape
    Relation: |dr| = (CD + CD_dead)(y_T/b)/|Cndr|
    Holds for: thrust equal to drag
    Breaks when: cn_rudder = 0 (inf)
    Errs: leaves out ailerons and slipstream roll, low by a few degrees
    Example:
        >>> round(float(np.degrees(level_flight_rudder(drag_coefficient=0.0823, dead_drag_coefficient=0.0169, arm=0.22,
        ...                                            wing_span=1.10, cn_rudder=-0.0736))), 1)
        15.4
    Source: [lateral_identity]
    """
    return (np.asarray(drag_coefficient) + dead_drag_coefficient) * arm / (np.asarray(wing_span) * np.abs(cn_rudder))
