"""Moments of one live motor: dead-propeller drag, slipstream on the wing, yawing and rolling moment.

Axes x forward, y right, z down: yawing moment > 0 nose right, rolling moment > 0 right wing down.
"""
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class AsymmetricMoments:
    """Moments of the live motor and the dead propeller [N m]."""

    yawing: np.ndarray
    rolling: np.ndarray


def dead_side_sign(dead_side):
    """Sign of the yawing moment that a dead motor leaves: -1 left, +1 right.

    Arguments:
        dead_side [choice]: "left" or "right", one or an array of them
    Returns:
        [1]: -1.0 or 1.0, shape of dead_side
    Relation: the live right motor turns the nose left, and the other way round
    Holds for: one motor each side
    Breaks when: dead_side is another word (ValueError)
    Errs: not
    Example:
        >>> float(dead_side_sign(dead_side="left"))
        -1.0
    Source: [lateral_signs]
    """
    side = np.asarray(dead_side)
    if not np.all((side == "left") | (side == "right")):
        raise ValueError(f"dead_side is {dead_side!r}; allowed are 'left' and 'right'")
    return np.where(side == "left", -1.0, 1.0)


def dead_propeller_drag(speed, density, disk_area, drag_coefficient):
    """Drag of a propeller that gives no thrust.

    Arguments:
        speed [m/s]: flight speed, any shape
        density [kg/m^3]: air density, any shape
        disk_area [m^2]: disc area of the propeller, any shape
        drag_coefficient [1]: drag coefficient on the disc area, by its state (folded, stopped, windmilling, braked), any shape
    Returns:
        [N]: drag, broadcast shape
    Relation: D = rho V^2/2 CD_d A
    Holds for: small propellers; coefficients in data/engine_out/dead_propeller
    Breaks when: the propeller still gives thrust
    Errs: either way by the band of the coefficient, up to a factor of 2
    Example:
        >>> round(float(dead_propeller_drag(speed=12.0, density=1.225, disk_area=0.02483, drag_coefficient=0.15)), 3)
        0.329
    Source: [lateral_memory] drag of stopped propellers; [hartman_negative_thrust] trend
    """
    return 0.5 * np.asarray(density) * np.asarray(speed) ** 2 * drag_coefficient * disk_area


def stopped_drag_coefficient(solidity, blade_factor):
    """Drag coefficient on the disc of a propeller that does not turn.

    Arguments:
        solidity [1]: blade area over disc area, any shape
        blade_factor [1]: drag coefficient of the blades' own area, any shape
    Returns:
        [1]: drag coefficient on the disc area, broadcast shape
    Relation: CD_d = factor sigma; factor 0.8 stopped and unfolded, 0.1 folded or feathered
    Holds for: propellers of solidity 0.06 to 0.15
    Breaks when: the propeller turns
    Errs: either way by a fifth
    Example:
        >>> round(float(stopped_drag_coefficient(solidity=0.095, blade_factor=0.8)), 3)
        0.076
    Source: [lateral_memory] drag of stopped propellers
    """
    return np.asarray(solidity) * np.asarray(blade_factor)


def windmilling_drag_coefficient(thrust_coefficient, advance_ratio):
    """Drag coefficient on the disc of a propeller turned by the air.

    Arguments:
        thrust_coefficient [1]: CT = T/(rho n^2 D^4) at the advance ratio, below zero, any shape
        advance_ratio [1]: J = V/(n D), any shape
    Returns:
        [1]: drag coefficient on the disc area, broadcast shape
    Relation: CD_d = -8 CT/(pi J^2)
    Holds for: any turning propeller; without friction take CT at zero torque
    Breaks when: advance_ratio <= 0
    Errs: as CT does
    Example:
        >>> round(float(windmilling_drag_coefficient(thrust_coefficient=-0.025, advance_ratio=0.75)), 3)
        0.113
    Source: [lateral_identity] definitions of CT, J and CD on the disc
    """
    return -8.0 * np.asarray(thrust_coefficient) / (np.pi * np.asarray(advance_ratio, dtype=float) ** 2)


def slipstream_roll(thrust, speed, density, lift_coefficient, disk_area, chord, arm, slipstream_factor):
    """Size of the rolling moment of one live slipstream on the wing.

    Arguments:
        thrust [N]: live thrust, any shape
        speed [m/s]: flight speed, any shape
        density [kg/m^3]: air density, any shape
        lift_coefficient [1]: lift coefficient of the wing, any shape
        disk_area [m^2]: disc area of one propeller, any shape
        chord [m]: wing chord behind the propeller, any shape
        arm [m]: propeller axis from the plane of symmetry, any shape
        slipstream_factor [1]: share of the rise of dynamic pressure that turns into lift, any shape
    Returns:
        [N m]: rolling moment away from the live side, broadcast shape
    Relation: L = K CL (T/A) c D_s y_T; D_s = D sqrt(V_d/V_j), V_j = sqrt(V^2 + 2 T/(rho A)), V_d = (V + V_j)/2
    Holds for: tractor propellers ahead of the wing; K 0.5 (0.2 to 0.8); no thrust, no moment
    Breaks when: the wing behind the propeller is stalled
    Errs: either way by 60 per cent: an order of magnitude
    Example:
        >>> round(float(slipstream_roll(thrust=4.0, speed=12.0, density=1.225, lift_coefficient=0.53, disk_area=0.02483,
        ...                             chord=0.20, arm=0.22, slipstream_factor=0.5)), 3)
        0.298
    Source: [momentum_theory] jet speed; [lateral_practice] factor
    """
    pushing = np.maximum(thrust, 0.0)
    speed, disk_area = np.asarray(speed, dtype=float), np.asarray(disk_area, dtype=float)
    jet = np.sqrt(speed ** 2 + 2.0 * pushing / (density * disk_area))
    share = np.divide(0.5 * (speed + jet), jet, out=np.ones(np.shape(jet)), where=jet > 0.0)
    diameter = np.sqrt(4.0 * disk_area / np.pi)
    return slipstream_factor * lift_coefficient * pushing / disk_area * chord * diameter * np.sqrt(share) * arm


def thrust_centre_moment(side_force, radius):
    """Yawing moment of a propeller that meets the air from below: its thrust no longer pulls in the middle.

    Arguments:
        side_force [N]: force of the propeller in its own plane, any shape
        radius [m]: radius of the propeller, any shape
    Returns:
        [N m]: size of the moment, broadcast shape; it turns the nose away from the side on which the blade goes down
    Relation: N = F R
    Holds for: angles of attack under 15 degrees
    Breaks when: the propeller gives no thrust
    Errs: either way by half
    Example:
        >>> round(float(thrust_centre_moment(side_force=0.07, radius=0.0889)), 4)
        0.0062
    Source: [ribner_tr819] pitching moment of a yawed propeller about equal to side force times radius
    """
    return np.asarray(side_force) * radius


def asymmetric_moments(live_thrust, dead_drag, live_arm, dead_arm, rolling_moment, dead_side):
    """Yawing and rolling moment of one live motor.

    Arguments:
        live_thrust [N]: thrust of the live motor, any shape
        dead_drag [N]: drag of the dead propeller, any shape
        live_arm [m]: arm of the live thrust about the centre of gravity, any shape
        dead_arm [m]: arm of the dead propeller, any shape
        rolling_moment [N m]: size of the slipstream's rolling moment, any shape
        dead_side [choice]: "left" or "right", one or an array of them
    Returns:
        [N m]: AsymmetricMoments, broadcast shape
    Relation: N = s (T y_live + D_dead y_dead), L = s size; s = -1 left dead, +1 right dead
    Holds for: thrust lines near level
    Breaks when: both motors are dead
    Errs: leaves out the propeller's side force (under 1 per cent of the yaw) and motor torque
    Example:
        >>> m = asymmetric_moments(live_thrust=4.0, dead_drag=0.329, live_arm=0.22, dead_arm=0.22, rolling_moment=0.30,
        ...                        dead_side="left")
        >>> round(float(m.yawing), 3), round(float(m.rolling), 3)
        (-0.952, -0.3)
    Source: [lateral_identity]
    """
    sign = dead_side_sign(dead_side)
    return AsymmetricMoments(sign * (np.asarray(live_thrust) * live_arm + np.asarray(dead_drag) * dead_arm),
                             sign * np.asarray(rolling_moment))
