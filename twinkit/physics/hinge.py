"""Hinge moment of a plain control surface: what the air asks of a servo. Positive moment turns the trailing edge down."""

import numpy as np


def hinge_slopes(chord_share):
    """Slopes of the hinge moment coefficient with the angle of the whole surface and with the angle of the flap, ideal fluid.

    Arguments:
        chord_share [1]: chord behind the hinge over whole chord, above 0 to 1, any shape
    Returns:
        [1/rad]: b1, by angle of attack, and b2, by flap angle; moment over q times flap span times flap chord squared, first axis (b1, b2)
    Relation: cos t = 2 E - 1 at the hinge, s = pi - t measured from the nose as h: b1 = -I/E^2 with
        I = (pi - h)/2 + sin(2h)/4 - (1 - cos h)(pi - h - sin h); b2 = -((1 - h/pi) I + sin h ((pi - h) cos h + sin h)/(2 pi))/E^2
    Holds for: thin sections, small angles, sealed hinge at the nose of the flap, two-dimensional flow
    Breaks when: chord_share is not above 0 or above 1 (returns nan)
    Errs: high by a quarter to a half for real surfaces of low aspect ratio with thick boundary layers: on the safe side for a servo
    Example:
        >>> [round(float(b), 3) for b in hinge_slopes(chord_share=0.35)]
        [-0.687, -0.988]
    Source: [glauert1927_flap] theory of an aerofoil with hinged flap
    """
    share = np.asarray(chord_share, dtype=float)
    share = np.where((share > 0.0) & (share <= 1.0), share, np.nan)
    hinge = np.arccos(2.0 * share - 1.0)
    rest = np.pi - hinge
    load = rest / 2.0 + np.sin(2.0 * hinge) / 4.0 - (1.0 - np.cos(hinge)) * (rest - np.sin(hinge))
    by_flap = (1.0 - hinge / np.pi) * load + np.sin(hinge) * (rest * np.cos(hinge) + np.sin(hinge)) / (2.0 * np.pi)
    return np.stack(np.broadcast_arrays(-load, -by_flap)) / share**2


def hinge_moment(speed, density, span, chord, chord_share, deflection, incidence):
    """Moment about the hinge of a control surface.

    Arguments:
        speed [m/s]: airspeed, any shape
        density [kg/m^3]: air density, any shape
        span [m]: length of the control surface along its hinge, any shape
        chord [m]: chord of the control surface behind its hinge, any shape
        chord_share [1]: that chord over the chord of the whole surface, any shape
        deflection [rad]: angle of the control surface, any shape
        incidence [rad]: angle of attack of the whole surface, any shape
    Returns:
        [N m]: hinge moment, negative when it pushes a surface back that is turned down, broadcast shape
    Relation: H = rho/2 V^2 b c_f^2 (b1 alpha + b2 delta)
    Holds for: plain surfaces without balance ahead of the hinge
    Breaks when: chord_share is not above 0 or above 1 (returns nan)
    Errs: as hinge_slopes
    Example:
        >>> round(float(hinge_moment(speed=24.0, density=1.2, span=0.4, chord=0.044, chord_share=0.35, deflection=0.21, incidence=0.0)), 4)
        -0.0555
    Source: [glauert1927_flap] theory of an aerofoil with hinged flap
    """
    by_incidence, by_flap = hinge_slopes(chord_share)
    return 0.5 * np.asarray(density) * np.square(speed) * span * np.square(chord) * (by_incidence * incidence + by_flap * deflection)
