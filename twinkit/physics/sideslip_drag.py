"""Drag of a flight that is trimmed sideways: moved surfaces, a fin that pushes, bodies that meet the air from the side.

All as drag coefficients on the wing area, to be added to the drag of straight flight with everything in the middle.
"""
import numpy as np

# Plain flaps: profile drag = FLAP_DRAG (c_f/c)^FLAP_POWER (S_f/S) sin^2(angle).
FLAP_DRAG = 1.7
FLAP_POWER = 1.38


def moved_surface_drag(chord_share, area_share, deflection):
    """Profile drag of a plain control surface that is moved out of the middle.

    Arguments:
        chord_share [1]: chord behind the hinge over whole chord, any shape
        area_share [1]: area of the fin or wing that carries the surface, over wing area, any shape
        deflection [rad]: real angle of the surface, any sign, any shape
    Returns:
        [1]: drag coefficient on wing area, broadcast shape
    Relation: dCD = 1.7 (c_f/c)^1.38 (S_f/S) sin^2(delta)
    Holds for: plain hinged surfaces to 60 degrees; chord share 0.1 to 0.5
    Breaks when: chord_share < 0 (returns nan)
    Errs: either way by half at the Reynolds numbers of small models
    Example:
        >>> round(float(moved_surface_drag(chord_share=0.45, area_share=0.109, deflection=0.3665)), 4)
        0.0079
    Source: [young_flaps] plain flaps
    """
    share = np.asarray(chord_share, dtype=float)
    return FLAP_DRAG * np.where(share >= 0.0, np.abs(share), np.nan) ** FLAP_POWER * area_share * np.sin(deflection) ** 2


def fin_induced_drag(side_force, area_share, aspect_ratio):
    """Induced drag of the fin for the side force it makes, by sideslip and rudder together.

    Arguments:
        side_force [1]: side-force coefficient of fin and rudder on wing area, any sign, any shape
        area_share [1]: fin area over wing area, any shape
        aspect_ratio [1]: aspect ratio of the fin with its end plates counted, any shape
    Returns:
        [1]: drag coefficient on wing area, broadcast shape
    Relation: dCD = CY^2/(pi AR_eff S_v/S)
    Holds for: a fin below its stall
    Breaks when: area_share or aspect_ratio <= 0 (inf or meaningless)
    Errs: low by a fifth: small fins are not elliptic
    Example:
        >>> round(float(fin_induced_drag(side_force=0.031, area_share=0.109, aspect_ratio=2.2)), 5)
        0.00128
    Source: [lateral_identity] induced drag of any lifting surface, referred to the wing area
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(side_force) ** 2 / (np.pi * np.asarray(aspect_ratio, dtype=float) * area_share)


def body_sideslip_drag(cy_beta, sideslip):
    """Drag of bodies and turning propellers that meet the air from the side.

    Arguments:
        cy_beta [1/rad]: their side force by sideslip (below zero), any shape
        sideslip [rad]: sideslip, any sign, any shape
    Returns:
        [1]: drag coefficient on wing area, broadcast shape
    Relation: the side force stands at right angles to the body: dCD = -CYbeta beta sin(beta)
    Holds for: sideslip under 20 degrees
    Breaks when: the side force is not proportional to sideslip any more
    Errs: high by up to half for a smooth round body, where the force leans back half as far; low for a flat-sided box
    Example:
        >>> round(float(body_sideslip_drag(cy_beta=-0.205, sideslip=0.15)), 4)
        0.0046
    Source: [lateral_identity] force at right angles to the body; [munk_tr184] the leaning of the force
    """
    return -np.asarray(cy_beta) * sideslip * np.sin(sideslip)
