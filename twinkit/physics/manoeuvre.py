"""Manoeuvres: level turns and the hand launch."""

from dataclasses import dataclass

import numpy as np

from twinkit import constants as const


@dataclass(frozen=True)
class Launch:
    """Hand launch: airspeed at release over the stall speed, height lost and time until the sink has stopped."""

    ratio: np.ndarray
    height_lost: np.ndarray
    time: np.ndarray
    status: np.ndarray


def _floats(*values):
    return np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values))


def _positive(value):
    return np.where(value > 0.0, value, np.nan)


def load_factor(bank):
    """Lift over weight in a level turn.

    Arguments:
        bank [rad]: bank angle, any shape
    Returns:
        [1]: load factor, same shape
    Relation: n = 1 / cos(bank)
    Holds for: level, coordinated turns
    Breaks when: |bank| >= 90 degrees (returns nan)
    Errs: nothing
    Example:
        >>> round(float(load_factor(bank=0.7854)), 4)
        1.4142
    Source: [anderson_apd] level turn
    """
    cosine = np.cos(np.asarray(bank, dtype=float))
    return 1.0 / np.where((np.abs(bank) < np.pi / 2.0) & (cosine > 0.0), cosine, np.nan)


def sustained_load_factor(thrust, speed, mass, area, density, cd0, induced_factor):
    """Load factor at which thrust carries the drag: the hardest level turn that loses neither height nor speed.

    Arguments:
        thrust [N]: thrust of all motors at this speed, any shape
        speed [m/s]: true airspeed, any shape
        mass [kg]: mass, any shape
        area [m^2]: wing area, any shape
        density [kg/m^3]: air density, any shape
        cd0 [1]: drag coefficient without lift, any shape
        induced_factor [1]: factor K of the polar, any shape
    Returns:
        [1]: load factor, broadcast shape; below 1 where not even level flight is held, 0 where thrust does not carry the drag without lift
    Relation: T = q S cd0 + K (n W)^2 / (q S), q = rho V^2 / 2
    Holds for: level, coordinated turns on the parabolic polar; the wing may stall first: hold it against (V / Vs)^2
    Breaks when: speed, area, density, mass or induced_factor <= 0 (returns nan)
    Errs: high near the stall, where the drag grows faster
    Example:
        >>> round(float(sustained_load_factor(thrust=6.0, speed=12.0, mass=1.05, area=0.22, density=1.225, cd0=0.045, induced_factor=0.0723)), 3)
        3.602
    Source: [anderson_apd] level turn
    """
    thrust, speed, mass, area, density, cd0, factor = _floats(thrust, speed, mass, area, density, cd0, induced_factor)
    lift = 0.5 * _positive(density) * _positive(speed) ** 2 * _positive(area)
    spare = np.maximum(thrust - lift * cd0, 0.0)
    return np.sqrt(spare * lift / _positive(factor)) / (_positive(mass) * const.STANDARD_GRAVITY)


def turn_stall_speed(level_stall_speed, bank):
    """Stall speed in a level turn.

    Arguments:
        level_stall_speed [m/s]: stall speed in straight level flight, any shape
        bank [rad]: bank angle, any shape
    Returns:
        [m/s]: stall speed in the turn, broadcast shape
    Relation: V = Vs sqrt(1 / cos(bank))
    Holds for: level, coordinated turns
    Breaks when: |bank| >= 90 degrees (returns nan)
    Errs: low when the inner wing tip is much slower than the outer one (tight turns)
    Example:
        >>> round(float(turn_stall_speed(level_stall_speed=8.33, bank=1.0472)), 2)
        11.78
    Source: [anderson_apd] level turn
    """
    return np.asarray(level_stall_speed, dtype=float) * np.sqrt(load_factor(bank))


def turn_radius(speed, bank):
    """Radius of a level turn.

    Arguments:
        speed [m/s]: airspeed, any shape
        bank [rad]: bank angle, right positive, any shape
    Returns:
        [m]: radius, positive to the right, broadcast shape; infinite for wings level
    Relation: R = V^2 / (g tan(bank))
    Holds for: level, coordinated turns in still air
    Breaks when: |bank| >= 90 degrees (returns nan)
    Errs: nothing in still air
    Example:
        >>> round(float(turn_radius(speed=12.0, bank=0.7854)), 2)
        14.68
    Source: [anderson_apd] level turn
    """
    speed, bank = _floats(speed, bank)
    bank = np.where(np.abs(bank) < np.pi / 2.0, bank, np.nan)
    with np.errstate(divide="ignore"):
        return speed**2 / (const.STANDARD_GRAVITY * np.tan(bank))


def turn_rate(speed, bank):
    """Rate of turn of a level turn.

    Arguments:
        speed [m/s]: airspeed, any shape
        bank [rad]: bank angle, right positive, any shape
    Returns:
        [rad/s]: rate of turn, positive to the right, broadcast shape
    Relation: omega = g tan(bank) / V
    Holds for: level, coordinated turns
    Breaks when: speed <= 0 or |bank| >= 90 degrees (returns nan)
    Errs: nothing
    Example:
        >>> round(float(turn_rate(speed=12.0, bank=0.7854)), 4)
        0.8172
    Source: [anderson_apd] level turn
    """
    speed, bank = _floats(speed, bank)
    bank = np.where(np.abs(bank) < np.pi / 2.0, bank, np.nan)
    return const.STANDARD_GRAVITY * np.tan(bank) / _positive(speed)


def hand_launch(throw_speed, headwind, stall_speed, lift_margin, mass, excess_thrust):
    """Height a thrown aeroplane gives away until its wing carries it and the sink has stopped.

    Arguments:
        throw_speed [m/s]: speed of the hand over the ground, 6 to 8 for 1 kg, any shape
        headwind [m/s]: wind against the throw, any shape
        stall_speed [m/s]: stall speed, any shape
        lift_margin [1]: speed over stall speed at which the lift coefficient flown carries the weight, 1.1 usual, any shape
        mass [kg]: aeroplane mass, any shape
        excess_thrust [N]: thrust less drag, mean over the launch, any shape
    Returns:
        ratio [1]: airspeed at release over stall speed, broadcast shape
        height_lost [m]: height lost, 0 when the release is fast enough
        time [s]: time until the sink has stopped
        status [choice]: "flies at release", "sinks then climbs" or "never flies" (no excess thrust; nan)
    Relation: dw/dt = g (1 - (V/Vl)^2), V = V0 + (T-D) t / m, Vl = margin Vs, integrated in closed form
    Holds for: level release, wing held at one lift coefficient, small sink angles
    Breaks when: stall_speed, lift_margin or mass <= 0 (nan)
    Errs: low when the throw is nose up or the wing is stalled by it; keep a third in hand
    Example:
        >>> throw = hand_launch(throw_speed=6.5, headwind=1.0, stall_speed=8.33, lift_margin=1.1, mass=1.05, excess_thrust=6.0)
        >>> round(float(throw.ratio), 3), round(float(throw.height_lost), 3)
        (0.9, 0.183)
    Source: [launch_motion] vertical and horizontal motion of a thrown wing
    """
    throw, wind, stall, margin, mass, excess = _floats(throw_speed, headwind, stall_speed, lift_margin, mass, excess_thrust)
    release = throw + wind
    level = _positive(stall) * _positive(margin)
    known = np.isfinite(release * level * excess) & (mass > 0.0)
    flies = known & (release >= level)
    sinks = known & ~flies & (excess > 0.0)
    gain = np.where(sinks, excess / _positive(mass), np.nan)
    start = release / level
    end = 0.5 * (np.sqrt(np.maximum(12.0 - 3.0 * start**2, 0.0)) - start)
    height = const.STANDARD_GRAVITY * level**2 / gain**2 * (
        (end**2 - start**2) / 2.0 - start * (end - start) - (end**4 - start**4) / 12.0 + start**3 * (end - start) / 3.0)
    status = np.where(flies, "flies at release", np.where(sinks, "sinks then climbs", "never flies"))
    return Launch(ratio=release / _positive(stall), height_lost=np.where(flies, 0.0, height),
                  time=np.where(flies, 0.0, level * (end - start) / gain), status=np.where(known, status, "not known"))
