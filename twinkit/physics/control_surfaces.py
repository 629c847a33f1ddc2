"""Rudder and ailerons: how much a moving surface does, and what it does to the aeroplane.

Rudder > 0: trailing edge left. Aileron > 0: right-roll command. The lift of a plain surface falls behind its angle above
20 degrees; equations linear in the rudder use the *effective* angle of this module and turn it back into the real one.
"""
from dataclasses import dataclass

import numpy as np

from twinkit.physics.derivatives import antisymmetric_lift_slope

# Shares of the thin-aerofoil effectiveness left in practice, with the chord shares between which they are joined straight.
CHORD_KNOCK_DOWN = ((0.25, 0.72), (0.30, 0.80))
OPEN_GAP_LOSS = 0.10
# Above FULL_EFFECT_ANGLE each further radian loses EFFECT_LOSS_RATE; the line ends at END_ANGLE, then the lift stays.
FULL_EFFECT_ANGLE = np.radians(20.0)
EFFECT_LOSS_RATE = 0.03 / np.radians(1.0)
END_ANGLE = np.radians(30.0)
# Greatest effective angle: where d[delta (1 - rate (delta - full))]/d delta = 0.
BEST_ANGLE = (1.0 + EFFECT_LOSS_RATE * FULL_EFFECT_ANGLE) / (2.0 * EFFECT_LOSS_RATE)


@dataclass(frozen=True)
class RudderDerivatives:
    """Derivatives by rudder angle [1/rad]."""

    cy_rudder: np.ndarray
    cl_rudder: np.ndarray
    cn_rudder: np.ndarray


@dataclass(frozen=True)
class AileronDerivatives:
    """Derivatives by aileron angle [1/rad], both ailerons moved by that angle."""

    cl_aileron: np.ndarray
    cn_aileron: np.ndarray


def thin_aerofoil_effectiveness(chord_share):
    """Change of angle of attack per change of flap angle, ideal fluid.

    Arguments:
        chord_share [1]: chord behind the hinge over whole chord, 0 to 1, any shape
    Returns:
        [1]: effectiveness tau, shape of chord_share
    Relation: tau = 1 - (theta - sin theta)/pi, cos theta = 2 c_f/c - 1
    Holds for: thin sections, small angles, sealed hinge, no friction
    Breaks when: chord_share is outside 0 to 1 (returns nan)
    Errs: high by a quarter for real small surfaces
    Example:
        >>> round(float(thin_aerofoil_effectiveness(chord_share=0.25)), 4)
        0.609
    Source: [houghton_carpenter] eq. 4.52
    """
    share = np.asarray(chord_share, dtype=float)
    theta = np.arccos(np.where((share >= 0.0) & (share <= 1.0), 2.0 * share - 1.0, np.nan))
    return 1.0 - (theta - np.sin(theta)) / np.pi


def surface_effectiveness(chord_share, gap_openness):
    """Effectiveness of a plain control surface as built.

    Arguments:
        chord_share [1]: chord behind the hinge over whole chord, any shape
        gap_openness [1]: 0 sealed hinge line, 1 open slot, any shape
    Returns:
        [1]: effectiveness tau, broadcast shape
    Relation: tau_thin times 0.72 up to a share of 0.25, 0.80 from 0.30, straight between; times 1 - 0.1 gap
    Holds for: plain hinged plates at chord Reynolds numbers of 50 000 to 200 000, chord share 0.15 to 0.6
    Breaks when: chord_share is outside 0 to 1 (returns nan)
    Errs: either way by 15 per cent
    Example:
        >>> round(float(surface_effectiveness(chord_share=0.40, gap_openness=0.0)), 3)
        0.598
    Source: [flap_chart] shares of the thin-aerofoil value; [lateral_practice] open gap
    """
    shares, factors = zip(*CHORD_KNOCK_DOWN)
    return (thin_aerofoil_effectiveness(chord_share) * np.interp(chord_share, shares, factors)
            * (1.0 - OPEN_GAP_LOSS * np.asarray(gap_openness)))


def effective_deflection(deflection):
    """Angle that a surface without loss would need for the same lift.

    Arguments:
        deflection [rad]: real angle of the surface, any sign, any shape
    Returns:
        [rad]: effective angle, shape of deflection
    Relation: delta to 20 degrees; then delta (1 - 0.03 (|delta| - 20)) in degrees (0.85 at 25, 0.70 at 30); the lift stays above 30
    Holds for: plain surfaces on a fin or wing that is not itself stalled
    Breaks when: the fin is stalled by sideslip and rudder together
    Errs: either way; the loss begins between 15 and 20 degrees
    Example:
        >>> round(float(np.degrees(effective_deflection(deflection=0.4363323))), 2)
        21.25
    Source: [lateral_practice] loss at large angle
    """
    angle = np.asarray(deflection, dtype=float)
    size = np.minimum(np.abs(angle), END_ANGLE)
    return np.sign(angle) * size * (1.0 - EFFECT_LOSS_RATE * np.maximum(size - FULL_EFFECT_ANGLE, 0.0))


def effective_limit(travel):
    """Greatest effective angle to be had within a travel.

    Arguments:
        travel [rad]: greatest real angle to one side (above zero), any shape
    Returns:
        [rad]: effective angle, shape of travel
    Relation: effective_deflection at the smaller of the travel and 26.7 degrees, where the lift is greatest
    Holds for: as effective_deflection
    Breaks when: travel < 0 (meaningless)
    Errs: as effective_deflection
    Example:
        >>> round(float(np.degrees(effective_limit(travel=0.4363323))), 2)
        21.25
    Source: [lateral_practice] loss at large angle
    """
    return effective_deflection(np.minimum(travel, BEST_ANGLE))


def deflection_for(effective_angle):
    """Real angle of the surface that gives an effective angle; the inverse of effective_deflection.

    Arguments:
        effective_angle [rad]: effective angle, any sign, any shape
    Returns:
        [rad]: real angle, shape of effective_angle
    Relation: smaller root of delta (1 - k (delta - delta_0)) = effective angle above delta_0 = 20 degrees
    Holds for: angles up to the greatest effective angle, 21.3 degrees
    Breaks when: more is asked than the surface can give (returns nan)
    Errs: as effective_deflection
    Example:
        >>> round(float(np.degrees(deflection_for(effective_angle=0.3708825))), 2)
        25.0
    Source: [lateral_practice] loss at large angle
    """
    angle = np.asarray(effective_angle, dtype=float)
    size = np.abs(angle)
    linear = 1.0 + EFFECT_LOSS_RATE * FULL_EFFECT_ANGLE
    under_root = linear ** 2 - 4.0 * EFFECT_LOSS_RATE * size
    bent = (linear - np.sqrt(np.where(under_root >= 0.0, under_root, np.nan))) / (2.0 * EFFECT_LOSS_RATE)
    return np.sign(angle) * np.where(size <= FULL_EFFECT_ANGLE, size, bent)


def rudder_derivatives(lift_slope, effectiveness, pressure_ratio, area, span_share, arm, height, wing_area, wing_span):
    """Side force, rolling and yawing moment by rudder.

    Arguments:
        lift_slope [1/rad]: lift slope of the fin, any shape
        effectiveness [1]: effectiveness tau of the rudder, any shape
        pressure_ratio [1]: dynamic pressure at the fin over that of flight, any shape
        area [m^2]: fin area with rudder, any shape
        span_share [1]: height of the rudder over height of the fin, any shape
        arm [m]: fin aerodynamic centre behind the centre of gravity, any shape
        height [m]: fin aerodynamic centre above the centre of gravity, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
    Returns:
        [1/rad]: RudderDerivatives, broadcast shape
    Relation: CY = a_v tau (S_v/S)(b_r/b_v) q_v/q; Cl = CY z_v/b; Cn = -CY l_v/b
    Holds for: effective angles; fin outside the slipstreams (wing nacelles), pressure ratio about 0.95
    Breaks when: the fin is stalled
    Errs: as the slope and the effectiveness do, 20 per cent together
    Example:
        >>> r = rudder_derivatives(lift_slope=2.78, effectiveness=0.60, pressure_ratio=0.95, area=0.024, span_share=1.0,
        ...                        arm=0.47, height=0.03, wing_area=0.22, wing_span=1.10)
        >>> round(float(r.cn_rudder), 4)
        -0.0739
    Source: [datcom_lateral] vertical panels; [flap_chart]
    """
    cy = np.asarray(lift_slope) * effectiveness * pressure_ratio * span_share * area / wing_area
    return RudderDerivatives(cy, cy * height / wing_span, -cy * arm / wing_span)


def aileron_derivatives(section_lift_slope, aspect_ratio, effectiveness, inner_edge, outer_edge, taper_ratio, lift_coefficient,
                        adverse_yaw_factor):
    """Rolling and yawing moment by ailerons.

    Arguments:
        section_lift_slope [1/rad]: lift slope of the wing section, any shape
        aspect_ratio [1]: aspect ratio of the wing, any shape
        effectiveness [1]: effectiveness tau of the ailerons, any shape
        inner_edge [1]: inner end of the aileron over half span, any shape
        outer_edge [1]: outer end of the aileron over half span, any shape
        taper_ratio [1]: tip chord over root chord, any shape
        lift_coefficient [1]: lift coefficient in the flight state, any shape
        adverse_yaw_factor [1]: yaw against the roll per unit of lift coefficient, any shape
    Returns:
        [1/rad]: AileronDerivatives, broadcast shape
    Relation: Cl = (a_anti tau/2)([eta^2/2 - (1 - taper) eta^3/3]/(1 + taper) - 2 (1 - eta^2)^(3/2)/(3 pi)), inner to outer edge
        (load half by the real, half by the elliptic chord); Cn = -k CL Cl
    Holds for: straight tapered wings, both ailerons moved by the same angle; k about 0.1 (0 to 0.2), less with differential
    Breaks when: the wing or the aileron is stalled; an edge is outside 0 to 1 (nan)
    Errs: within 5 per cent of the lifting line, up to 10 per cent high for a short aileron at a square tip
    Example:
        >>> a = aileron_derivatives(section_lift_slope=5.65, aspect_ratio=5.5, effectiveness=0.40, inner_edge=0.40,
        ...                         outer_edge=0.95, taper_ratio=1.0, lift_coefficient=0.53, adverse_yaw_factor=0.1)
        >>> round(float(a.cl_aileron), 3), round(float(a.cn_aileron), 4)
        (0.234, -0.0124)
    Source: [schrenk_tm948] load; [lifting_line_rolling] second harmonic; [lateral_memory] adverse yaw
    """
    taper = np.asarray(taper_ratio, dtype=float)
    inner, outer = np.asarray(inner_edge, dtype=float), np.asarray(outer_edge, dtype=float)
    by_chord = ((outer ** 2 - inner ** 2) / 2.0 - (1.0 - taper) * (outer ** 3 - inner ** 3) / 3.0) / (1.0 + taper)
    with np.errstate(invalid="ignore"):
        by_ellipse = 2.0 / (3.0 * np.pi) * ((1.0 - inner ** 2) ** 1.5 - (1.0 - outer ** 2) ** 1.5)
    cl = antisymmetric_lift_slope(section_lift_slope, aspect_ratio) * effectiveness * 0.5 * (by_chord + by_ellipse)
    return AileronDerivatives(cl, -np.asarray(adverse_yaw_factor) * lift_coefficient * cl)
