"""Pitch balance: tail volumes, downwash, neutral point, static margin, trim; and the spiral parameter.

Places along the chord are fractions of the mean aerodynamic chord, counted rearward from its leading edge.
"""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class NeutralPoint:
    """Neutral point and the lift slope of the whole aeroplane."""

    place: np.ndarray
    lift_slope: np.ndarray
    tail_shift: np.ndarray
    body_shift: np.ndarray


@dataclass(frozen=True)
class Trim:
    """Attitude, lift of wing and tail, and tail setting of steady flight without pitching moment."""

    body_angle: np.ndarray
    wing_cl: np.ndarray
    tail_cl: np.ndarray
    tail_incidence: np.ndarray


def _floats(*values):
    return np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values))


def _positive(value):
    return np.where(value > 0.0, value, np.nan)


def horizontal_tail_volume(tail_area, tail_arm, wing_area, mac):
    """Tailplane area times arm over wing area times mean chord.

    Arguments:
        tail_area [m^2]: tailplane area with elevator, any shape
        tail_arm [m]: quarter chord of the wing to quarter chord of the tailplane, any shape
        wing_area [m^2]: wing area, any shape
        mac [m]: mean aerodynamic chord of the wing, any shape
    Returns:
        [1]: tail volume, broadcast shape
    Relation: VH = Sh lh / (S c)
    Holds for: one tailplane behind the wing
    Breaks when: wing_area or mac <= 0 (returns nan)
    Errs: nothing
    Example:
        >>> round(float(horizontal_tail_volume(tail_area=0.045, tail_arm=0.55, wing_area=0.22, mac=0.2)), 4)
        0.5625
    Source: [etkin_reid_pitch] tail volume
    """
    tail_area, arm, area, mac = _floats(tail_area, tail_arm, wing_area, mac)
    return tail_area * arm / (_positive(area) * _positive(mac))


def vertical_tail_volume(fin_area, fin_arm, wing_area, span):
    """Fin area times arm over wing area times span.

    Arguments:
        fin_area [m^2]: fin area with rudder, any shape
        fin_arm [m]: quarter chord of the wing to quarter chord of the fin, any shape
        wing_area [m^2]: wing area, any shape
        span [m]: wing span, any shape
    Returns:
        [1]: fin volume, broadcast shape
    Relation: VV = Sv lv / (S b)
    Holds for: one fin behind the wing
    Breaks when: wing_area or span <= 0 (returns nan)
    Errs: nothing
    Example:
        >>> round(float(vertical_tail_volume(fin_area=0.024, fin_arm=0.47, wing_area=0.22, span=1.1)), 4)
        0.0466
    Source: [etkin_reid_pitch] fin volume
    """
    fin_area, arm, area, span = _floats(fin_area, fin_arm, wing_area, span)
    return fin_area * arm / (_positive(area) * _positive(span))


def downwash_far(wing_lift_slope, aspect_ratio):
    """Change of downwash angle with angle of attack far behind the wing: an upper bound at the tail.

    Arguments:
        wing_lift_slope [1/rad]: lift slope of the wing, any shape
        aspect_ratio [1]: span squared over area of the wing, any shape
    Returns:
        [1]: downwash gradient, broadcast shape
    Relation: de/da = 2 a / (pi AR)
    Holds for: elliptic loading, tail in the plane of a flat wake
    Breaks when: aspect_ratio <= 0 (returns nan)
    Errs: high for a tail near the wing or off the wake, so the neutral point comes out too far forward: the safe side
    Example:
        >>> round(float(downwash_far(wing_lift_slope=4.4, aspect_ratio=5.5)), 4)
        0.5093
    Source: [anderson_foa] twice the downwash at the lifting line
    """
    slope, ratio = _floats(wing_lift_slope, aspect_ratio)
    return 2.0 * slope / (np.pi * _positive(ratio))


def downwash_at_tail(aspect_ratio, wake_share):
    """Change of downwash angle with angle of attack at an ordinary tail.

    Arguments:
        aspect_ratio [1]: span squared over area of the wing, any shape
        wake_share [1]: share felt at the tail, 0.9 for a tail one chord above or below the wake, 1 in it, any shape
    Returns:
        [1]: downwash gradient, broadcast shape
    Relation: de/da = k 4 / (AR + 2)
    Holds for: aspect ratio 3 to 12, tail two to four chords behind the wing
    Breaks when: aspect_ratio <= 0 (returns nan)
    Errs: 15 per cent either way
    Example:
        >>> round(float(downwash_at_tail(aspect_ratio=5.5, wake_share=0.9)), 3)
        0.48
    Source: [mit_lab11] downwash in the neutral-point estimate
    """
    ratio, share = _floats(aspect_ratio, wake_share)
    return share * 4.0 / (_positive(ratio) + 2.0)


def munk_factor(fineness):
    """Difference of the apparent-mass factors of a prolate spheroid, across less along.

    Arguments:
        fineness [1]: length over greatest diameter, 1 or more, any shape
    Returns:
        [1]: k2 - k1, same shape
    Relation: e^2 = 1 - 1/f^2, a0 = 2 (1-e^2)/e^3 (atanh e - e), b0 = 1 - a0/2, k1 = a0/(2-a0), k2 = b0/(2-b0)
    Holds for: spheroids, exactly; bodies of like fineness, fairly
    Breaks when: fineness < 1 (returns nan)
    Errs: square bodies exceed it by some 10 per cent
    Example:
        >>> round(float(munk_factor(fineness=4.99)), 4)
        0.8347
    Source: [munk1924] apparent mass of spheroids
    """
    fineness = np.asarray(fineness, dtype=float)
    fineness = np.where(fineness >= 1.0, fineness, np.nan)
    square = 1.0 - 1.0 / fineness**2
    exact = np.where(square > 1.0e-3, square, 0.5)
    e = np.sqrt(exact)
    near_sphere = 1.0 / 3.0 + square / 5.0 + square**2 / 7.0 + square**3 / 9.0   # series of (atanh e - e) / e^3
    bracket = np.where(square > 1.0e-3, (np.arctanh(e) - e) / (exact * e), near_sphere)
    along = 2.0 * (1.0 - square) * bracket
    across = 1.0 - along / 2.0
    return across / (2.0 - across) - along / (2.0 - along)


def body_pitch_slope(fineness, volume, wing_area, mac, viscous_share, upwash):
    """Nose-up pitching moment slope that a fuselage or the nacelles add.

    Arguments:
        fineness [1]: length over diameter of the circle with the greatest cross-section, any shape
        volume [m^3]: volume of the body, of all nacelles together, any shape
        wing_area [m^2]: wing area, any shape
        mac [m]: mean aerodynamic chord, any shape
        viscous_share [1]: share left in real flow, 0.75 usual, any shape
        upwash [1]: mean gradient of the upwash over the body, 0 for none, any shape
    Returns:
        [1/rad]: dCm/dalpha of the body, positive destabilises, broadcast shape
    Relation: 2 (k2 - k1) volume k (1 + upwash) / (S c)
    Holds for: slender bodies, small angles
    Breaks when: fineness < 1, wing_area or mac <= 0 (returns nan)
    Errs: low by the lift a nacelle takes from the wing; allow 0.005 to 0.01 chords more for each nacelle
    Example:
        >>> round(float(body_pitch_slope(fineness=7.9, volume=0.00452, wing_area=0.22, mac=0.2, viscous_share=0.75, upwash=0.2)), 4)
        0.169
    Source: [munk1924] moment of a slender body
    """
    volume, area, mac, share, upwash = _floats(volume, wing_area, mac, viscous_share, upwash)
    return 2.0 * munk_factor(fineness) * volume * share * (1.0 + upwash) / (_positive(area) * _positive(mac))


def neutral_point(wing_centre, wing_lift_slope, tail_lift_slope, tail_area_ratio, tail_arm_ratio, tail_pressure_ratio,
                  downwash_gradient, body_slope):
    """Place of the centre of gravity at which the aeroplane is indifferent in pitch.

    Arguments:
        wing_centre [1]: aerodynamic centre of the wing in mean chords, 0.25 usual, any shape
        wing_lift_slope [1/rad]: lift slope of the wing, any shape
        tail_lift_slope [1/rad]: lift slope of the tailplane on its own area, any shape
        tail_area_ratio [1]: tailplane area over wing area, any shape
        tail_arm_ratio [1]: quarter chord of the wing to quarter chord of the tailplane, in mean chords, any shape
        tail_pressure_ratio [1]: dynamic pressure at the tail over that of the stream, 0.9 to 1, any shape
        downwash_gradient [1]: change of downwash with angle of attack at the tail, any shape
        body_slope [1/rad]: dCm/dalpha of fuselage and nacelles together, destabilising positive, any shape
    Returns:
        place [1]: neutral point in mean chords behind the leading edge of the mean chord
        lift_slope [1/rad]: lift slope of the aeroplane
        tail_shift [1]: how far the tail moves it rearward
        body_shift [1]: how far the bodies move it forward
    Relation: x = xw + (at' lt - Cma_body) / (a + at'), at' = at (Sh/S) eta (1 - de/da), lt in chords from the wing
    Holds for: controls held, power off, small angles
    Breaks when: the lift slope of the aeroplane is not positive (returns nan)
    Errs: rearward by 0.02 to 0.03 chords under power with the propellers ahead of the centre of gravity: the unsafe side
    Example:
        >>> found = neutral_point(wing_centre=0.25, wing_lift_slope=4.1, tail_lift_slope=3.4, tail_area_ratio=0.2, tail_arm_ratio=2.75,
        ...                       tail_pressure_ratio=0.9, downwash_gradient=0.48, body_slope=0.16)
        >>> round(float(found.place), 3), round(float(found.lift_slope), 3)
        (0.412, 4.418)
    Source: [etkin_reid_pitch] neutral point of wing, body and tail
    """
    place, wing, tail, area, arm, pressure, wash, body = _floats(
        wing_centre, wing_lift_slope, tail_lift_slope, tail_area_ratio, tail_arm_ratio, tail_pressure_ratio,
        downwash_gradient, body_slope)
    tail_slope = tail * area * pressure * (1.0 - wash)
    total = _positive(wing + tail_slope)
    return NeutralPoint(place=place + (tail_slope * arm - body) / total, lift_slope=total,
                        tail_shift=tail_slope * arm / total, body_shift=body / total)


def neutral_point_quick(aspect_ratio, tail_aspect_ratio, tail_volume):
    """Neutral point in one line, a cross-check without bodies.

    Arguments:
        aspect_ratio [1]: aspect ratio of the wing, any shape
        tail_aspect_ratio [1]: aspect ratio of the tailplane, any shape
        tail_volume [1]: horizontal tail volume, any shape
    Returns:
        [1]: neutral point in mean chords behind the leading edge of the mean chord, broadcast shape
    Relation: x = 1/4 + (1 + 2/AR) / (1 + 2/ARh) (1 - 4/(AR + 2)) VH
    Holds for: ordinary tails
    Breaks when: an aspect ratio <= 0 (returns nan)
    Errs: rearward by 0.05 to 0.08 chords, as bodies and the tail's own lift are left out: the unsafe side
    Example:
        >>> round(float(neutral_point_quick(aspect_ratio=5.5, tail_aspect_ratio=4.0, tail_volume=0.55)), 4)
        0.4833
    Source: [mit_lab11] neutral-point estimate
    """
    ratio, tail_ratio, volume = _floats(aspect_ratio, tail_aspect_ratio, tail_volume)
    ratio, tail_ratio = _positive(ratio), _positive(tail_ratio)
    return 0.25 + (1.0 + 2.0 / ratio) / (1.0 + 2.0 / tail_ratio) * (1.0 - 4.0 / (ratio + 2.0)) * volume


def static_margin(neutral_place, cg_place):
    """How far the centre of gravity lies ahead of the neutral point.

    Arguments:
        neutral_place [1]: neutral point in mean chords, any shape
        cg_place [1]: centre of gravity in mean chords, any shape
    Returns:
        [1]: static margin, positive is stable, broadcast shape
    Relation: SM = x_np - x_cg
    Holds for: controls held
    Breaks when: never
    Errs: as the neutral point
    Example:
        >>> round(float(static_margin(neutral_place=0.412, cg_place=0.3)), 3)
        0.112
    Source: [etkin_reid_pitch] static margin
    """
    neutral, cg = _floats(neutral_place, cg_place)
    return neutral - cg


def cg_for_margin(neutral_place, margin, mac, mac_setback):
    """Place of the centre of gravity that gives a wanted static margin.

    Arguments:
        neutral_place [1]: neutral point in mean chords, any shape
        margin [1]: wanted static margin, any shape
        mac [m]: mean aerodynamic chord, any shape
        mac_setback [m]: leading edge of the mean chord behind that of the root, any shape
    Returns:
        [m]: distance behind the leading edge of the root, broadcast shape
    Relation: setback + (x_np - SM) c
    Holds for: controls held
    Breaks when: mac <= 0 (returns nan)
    Errs: as the neutral point
    Example:
        >>> round(float(cg_for_margin(neutral_place=0.412, margin=0.12, mac=0.1897, mac_setback=0.0122)), 4)
        0.0676
    Source: [etkin_reid_pitch] static margin
    """
    neutral, margin, mac, setback = _floats(neutral_place, margin, mac, mac_setback)
    return setback + (neutral - margin) * _positive(mac)


def trim(cl, cg_place, wing_centre, wing_moment, wing_lift_slope, wing_setting, tail_lift_slope, tail_area_ratio, tail_arm_ratio,
         tail_pressure_ratio, downwash_gradient, body_slope, thrust_moment):
    """Tail setting that leaves no pitching moment at a given lift coefficient.

    Arguments:
        cl [1]: lift coefficient of the aeroplane, any shape
        cg_place [1]: centre of gravity in mean chords, any shape
        wing_centre [1]: aerodynamic centre of the wing in mean chords, any shape
        wing_moment [1]: moment coefficient of the wing about it, negative for camber, any shape
        wing_lift_slope [1/rad]: lift slope of the wing, any shape
        wing_setting [rad]: zero-lift line of the wing against the body axis, nose up positive, any shape
        tail_lift_slope [1/rad]: lift slope of the tailplane on its own area, any shape
        tail_area_ratio [1]: tailplane area over wing area, any shape
        tail_arm_ratio [1]: quarter chord of the wing to quarter chord of the tailplane, in mean chords, any shape
        tail_pressure_ratio [1]: dynamic pressure at the tail over that of the stream, any shape
        downwash_gradient [1]: change of downwash with angle of attack at the tail, any shape
        body_slope [1/rad]: dCm/dalpha of fuselage and nacelles together, any shape
        thrust_moment [1]: moment coefficient of the thrust about the centre of gravity, nose up positive, any shape
    Returns:
        body_angle [rad]: angle of attack of the body axis, broadcast shape
        wing_cl [1]: lift coefficient of the wing
        tail_cl [1]: lift coefficient of the tailplane on its own area
        tail_incidence [rad]: zero-lift line of the tailplane against the body axis, nose up positive
    Relation: CLw + t CLt = CL; Cm0 + CLw (h - hw) - t CLt (lt - h + hw) + Cmb alpha + Cm_thrust = 0, t = eta Sh / S
    Holds for: small angles, attached flow on both surfaces; check tail_cl against what the tail can give
    Breaks when: lift slopes, tail area or tail arm <= 0 (returns nan)
    Errs: by the downwash at zero lift and by the slipstream; expect to trim by half a degree in flight
    Example:
        >>> held = trim(cl=0.5, cg_place=0.3, wing_centre=0.25, wing_moment=-0.05, wing_lift_slope=4.1, wing_setting=0.05,
        ...             tail_lift_slope=3.4, tail_area_ratio=0.2, tail_arm_ratio=2.75, tail_pressure_ratio=0.9, downwash_gradient=0.48,
        ...             body_slope=0.16, thrust_moment=0.01)
        >>> round(float(held.tail_cl), 3), round(float(held.tail_incidence), 4)
        (-0.007, -0.0156)
    Source: [etkin_reid_pitch] trim of wing, body and tail
    """
    cl, cg, place, moment, wing, setting, tail, area, arm, pressure, wash, body, thrust = _floats(
        cl, cg_place, wing_centre, wing_moment, wing_lift_slope, wing_setting, tail_lift_slope, tail_area_ratio, tail_arm_ratio,
        tail_pressure_ratio, downwash_gradient, body_slope, thrust_moment)
    wing, tail, arm = _positive(wing), _positive(tail), _positive(arm)
    weight = _positive(area * pressure)
    lever = cg - place
    # CLw = CL - t CLt; alpha = CLw / a - setting. Gathered for t CLt:
    known = moment + cl * lever + body * (cl / wing - setting) + thrust
    tail_share = known / (arm + body / wing)
    wing_cl = cl - tail_share
    tail_cl = tail_share / weight
    wing_angle = wing_cl / wing
    return Trim(body_angle=wing_angle - setting, wing_cl=wing_cl, tail_cl=tail_cl,
                tail_incidence=tail_cl / tail - (wing_angle - setting) + wash * wing_angle)


def spiral_parameter(fin_arm, dihedral, span, cl):
    """Simple measure of spiral stability.

    Arguments:
        fin_arm [m]: centre of gravity to quarter chord of the fin, any shape
        dihedral [rad]: equivalent dihedral, any shape
        span [m]: wing span, any shape
        cl [1]: lift coefficient flown, any shape
    Returns:
        [1]: the parameter; above 5 the aeroplane rights itself, below it winds in, broadcast shape
    Relation: B = lv G / (b CL) with G in degrees
    Holds for: ordinary fins
    Breaks when: span or cl <= 0 (returns nan)
    Errs: a rule of thumb; wing height and fin height are left out
    Example:
        >>> round(float(spiral_parameter(fin_arm=0.47, dihedral=0.0873, span=1.1, cl=0.5)), 2)
        4.27
    Source: [mit_lab11] spiral stability
    """
    arm, dihedral, span, cl = _floats(fin_arm, dihedral, span, cl)
    return arm * np.degrees(dihedral) / (_positive(span) * _positive(cl))
