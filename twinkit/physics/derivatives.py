"""Lateral stability derivatives of a small aeroplane, estimated from its geometry.

Axes x forward, y right, z down. Sideslip beta > 0: wind from the right. Rudder > 0: trailing edge left.
Aileron > 0: right-roll command. Coefficients: CY, Cl, Cn on wing area and span; rates on p b / 2V, r b / 2V.
"""
from dataclasses import dataclass

import numpy as np

from twinkit.physics.stability import munk_factor
from twinkit.physics.wing import lift_slope_datcom


@dataclass(frozen=True)
class SideslipPart:
    """What one part of the aeroplane adds to CYbeta, Clbeta and Cnbeta [1/rad]; band = share of each that is uncertain."""

    cy_beta: np.ndarray
    cl_beta: np.ndarray
    cn_beta: np.ndarray
    band: np.ndarray


@dataclass(frozen=True)
class SideslipRow:
    """One row of the contribution table: the part's derivatives [1/rad] and the half-widths of their bands."""

    part: str
    cy_beta: np.ndarray
    cl_beta: np.ndarray
    cn_beta: np.ndarray
    cy_band: np.ndarray
    cl_band: np.ndarray
    cn_band: np.ndarray


@dataclass(frozen=True)
class DampingDerivatives:
    """Derivatives by the rates p b / 2V and r b / 2V [1]."""

    cy_p: np.ndarray
    cl_p: np.ndarray
    cn_p: np.ndarray
    cy_r: np.ndarray
    cl_r: np.ndarray
    cn_r: np.ndarray


@dataclass(frozen=True)
class LateralDerivatives:
    """Every lateral coefficient derivative [1/rad], scalars or arrays of one broadcastable shape.

    cy, cl, cn: side force (right), rolling moment (right wing down), yawing moment (nose right);
    by beta, by the rates p and r (as p b / 2V and r b / 2V), by rudder (trailing edge left) and aileron (right roll).
    """

    cy_beta: np.ndarray
    cl_beta: np.ndarray
    cn_beta: np.ndarray
    cy_rudder: np.ndarray
    cl_rudder: np.ndarray
    cn_rudder: np.ndarray
    cl_aileron: np.ndarray
    cn_aileron: np.ndarray
    cl_p: np.ndarray
    cn_p: np.ndarray
    cl_r: np.ndarray
    cn_r: np.ndarray
    cy_r: np.ndarray
    cy_p: np.ndarray = 0.0
    cy_aileron: np.ndarray = 0.0


def fin_lift_slope(height, area, end_plate_factor, section_slope_ratio, half_chord_sweep):
    """Lift slope of a fin standing on a body and near a tailplane.

    Arguments:
        height [m]: height of the fin above the body, any shape
        area [m^2]: fin area with the rudder, any shape
        end_plate_factor [1]: gain of aspect ratio by body and tailplane, any shape
        section_slope_ratio [1]: section lift slope over 2 pi, any shape
        half_chord_sweep [rad]: sweep of the half-chord line, any shape
    Returns:
        [1/rad]: slope of the fin's own lift coefficient, broadcast shape
    Relation: DATCOM slope at AR_eff = k b_v^2 / S_v
    Holds for: fins of low aspect ratio below the stall, k from 1.0 (alone) to 1.9; 1.55 is usual with a low tailplane
    Breaks when: area <= 0 (returns nan or inf)
    Errs: by about 15 per cent either way, from the end-plate factor
    Example:
        >>> round(float(fin_lift_slope(height=0.19, area=0.024, end_plate_factor=1.55, section_slope_ratio=0.9,
        ...                            half_chord_sweep=0.0)), 2)
        2.78
    Source: [datcom_lateral] vertical panels; [lateral_memory] end-plate factor
    """
    aspect_ratio = np.asarray(end_plate_factor) * np.asarray(height) ** 2 / np.asarray(area, dtype=float)
    return lift_slope_datcom(aspect_ratio=aspect_ratio, section_slope_ratio=section_slope_ratio,
                             half_chord_sweep=half_chord_sweep)


def fin_sidewash_factor(area_ratio, quarter_chord_sweep, wing_height_ratio, aspect_ratio):
    """Sidewash and slowed air at the fin: (1 + d sigma/d beta) q_v/q.

    Arguments:
        area_ratio [1]: fin area over wing area, any shape
        quarter_chord_sweep [rad]: sweep of the wing's quarter-chord line, any shape
        wing_height_ratio [1]: height of the body axis above the wing over body depth (low wing > 0), any shape
        aspect_ratio [1]: aspect ratio of the wing, any shape
    Returns:
        [1]: factor on the fin's side force, broadcast shape
    Relation: 0.724 + 3.06 (S_v/S)/(1 + cos sweep) + 0.4 z_w/d + 0.009 AR
    Holds for: one fin on the body, wing ratio z_w/d from -0.5 (high wing) to 0.5 (low wing)
    Breaks when: the fin stands on a boom or in a slipstream
    Errs: either way by about 10 per cent
    Example:
        >>> round(float(fin_sidewash_factor(area_ratio=0.109, quarter_chord_sweep=0.0, wing_height_ratio=0.02,
        ...                                 aspect_ratio=5.5)), 3)
        0.948
    Source: [datcom_lateral] fin sidewash
    """
    return (0.724 + 3.06 * np.asarray(area_ratio) / (1.0 + np.cos(quarter_chord_sweep))
            + 0.4 * np.asarray(wing_height_ratio) + 0.009 * np.asarray(aspect_ratio))


def fin_sideslip(lift_slope, sidewash_factor, area, arm, height, wing_area, wing_span, band):
    """Fin's share of the sideslip derivatives.

    Arguments:
        lift_slope [1/rad]: lift slope of the fin, any shape
        sidewash_factor [1]: factor of fin_sidewash_factor, any shape
        area [m^2]: fin area, any shape
        arm [m]: fin aerodynamic centre behind the centre of gravity, any shape
        height [m]: fin aerodynamic centre above the centre of gravity, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
        band [1]: uncertain share of the estimate, any shape
    Returns:
        [1/rad]: SideslipPart, broadcast shape
    Relation: CYbeta = -a_v eta S_v/S; Clbeta = CYbeta z_v/b; Cnbeta = -CYbeta l_v/b
    Holds for: angles below the fin's stall, about 15 degrees of sideslip and rudder together
    Breaks when: the fin is stalled or blanketed
    Errs: as the slope and the sidewash factor do
    Example:
        >>> part = fin_sideslip(lift_slope=2.78, sidewash_factor=0.94, area=0.024, arm=0.47, height=0.03,
        ...                     wing_area=0.22, wing_span=1.10, band=0.2)
        >>> round(float(part.cn_beta), 3)
        0.122
    Source: [datcom_lateral] vertical panels
    """
    cy_beta = -np.asarray(lift_slope) * sidewash_factor * area / wing_area
    return SideslipPart(cy_beta, cy_beta * height / wing_span, -cy_beta * arm / wing_span, np.asarray(band))


def body_sideslip(length, width, depth, volume, count, interference, viscous_factor, wing_area, wing_span, band):
    """Share of a body, or of several equal nacelles, in the sideslip derivatives.

    Arguments:
        length [m]: body length, any shape
        width [m]: greatest width, any shape
        depth [m]: greatest depth, any shape
        volume [m^3]: volume of one body, any shape
        count [1]: number of equal bodies, any shape
        interference [1]: gain of side force beside the wing, any shape
        viscous_factor [1]: share of the frictionless moment that is left, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
        band [1]: uncertain share of the estimate, any shape
    Returns:
        [1/rad]: SideslipPart, broadcast shape
    Relation: Cnbeta = -2 (k2 - k1) Vol/(S b) f; CYbeta = -2 K (width depth)/S
    Holds for: slender bodies (length over 3 diameters); f 0.75 (0.6 to 1), K 1.5 (1 wing in the middle, 1.9 wing at the edge)
    Breaks when: length is not above the equivalent diameter
    Errs: either way by a third; square edges shed more side force than counted
    Example:
        >>> part = body_sideslip(length=0.8, width=0.085, depth=0.095, volume=0.00452, count=1, interference=1.5,
        ...                      viscous_factor=0.75, wing_area=0.22, wing_span=1.10, band=0.33)
        >>> round(float(part.cn_beta), 4)
        -0.0256
    Source: [munk_tr184] apparent mass of spheroids; [datcom_lateral] body side force
    """
    section = np.asarray(width) * np.asarray(depth)
    fineness = length / np.sqrt(4.0 * section / np.pi)
    cn_beta = -2.0 * munk_factor(fineness=fineness) * volume * viscous_factor * count / (wing_area * np.asarray(wing_span))
    cy_beta = -2.0 * interference * section * count / wing_area
    return SideslipPart(cy_beta, np.zeros_like(cn_beta * cy_beta), cn_beta, np.asarray(band))


def propeller_sideslip(lift_slope, blade_side_area, inflow_pressure_ratio, count, lead, wing_area, wing_span, band):
    """Share of turning propellers, seen as small fins, in the sideslip derivatives.

    Arguments:
        lift_slope [1/rad]: lift slope of the equivalent fin (aspect ratio about 8), any shape
        blade_side_area [m^2]: side area of one propeller's blades as projected, any shape
        inflow_pressure_ratio [1]: dynamic pressure at the disc over that of flight, any shape
        count [1]: number of equal propellers, any shape
        lead [m]: disc ahead of the centre of gravity, any shape
        wing_area [m^2]: wing area, any shape
        wing_span [m]: wing span, any shape
        band [1]: uncertain share of the estimate, any shape
    Returns:
        [1/rad]: SideslipPart, broadcast shape
    Relation: CYbeta = -a n (q_disc/q) S_side/S; Cnbeta = CYbeta x_p/b
    Holds for: turning propellers at small yaw
    Breaks when: the propeller stands still
    Errs: either way by half, from the blade side area
    Example:
        >>> part = propeller_sideslip(lift_slope=4.9, blade_side_area=0.00075, inflow_pressure_ratio=1.2, count=2, lead=0.16,
        ...                           wing_area=0.22, wing_span=1.10, band=0.5)
        >>> round(float(part.cn_beta), 4)
        -0.0058
    Source: [ribner_tr819]
    """
    cy_beta = -np.asarray(lift_slope) * blade_side_area * inflow_pressure_ratio * count / wing_area
    cn_beta = cy_beta * lead / wing_span
    return SideslipPart(cy_beta, np.zeros_like(cn_beta), cn_beta, np.asarray(band))


def dihedral_sideslip(wing_lift_slope, dihedral, taper_ratio, band):
    """Share of the wing's dihedral in the sideslip derivatives.

    Arguments:
        wing_lift_slope [1/rad]: lift slope of the wing, any shape
        dihedral [rad]: dihedral of each half, any shape
        taper_ratio [1]: tip chord over root chord, any shape
        band [1]: uncertain share of the estimate, any shape
    Returns:
        [1/rad]: SideslipPart, broadcast shape
    Relation: Clbeta = -(a dihedral / 6)(1 + 2 taper)/(1 + taper), strip theory; a dihedral / 4 with no taper
    Holds for: straight wings with the same dihedral from root to tip, no sweep
    Breaks when: the dihedral is in the tips only
    Errs: high by about a tenth at aspect ratio 5
    Example:
        >>> round(float(dihedral_sideslip(wing_lift_slope=4.1, dihedral=0.07, taper_ratio=1.0, band=0.15).cl_beta), 4)
        -0.0717
    Source: [strip_theory]
    """
    taper = np.asarray(taper_ratio, dtype=float)
    cl_beta = -np.asarray(wing_lift_slope) * dihedral / 6.0 * (1.0 + 2.0 * taper) / (1.0 + taper)
    nothing = np.zeros_like(cl_beta)
    return SideslipPart(nothing, cl_beta, nothing, np.asarray(band))


def wing_height_sideslip(wing_position, effect_at_edge, band):
    """Share of the wing's height on the body in the sideslip derivatives.

    Arguments:
        wing_position [1]: -1 wing at the bottom of the body, 0 in the middle, +1 on top, any shape
        effect_at_edge [1/rad]: size of Clbeta with the wing on top, any shape
        band [1]: uncertain share of the estimate, any shape
    Returns:
        [1/rad]: SideslipPart, broadcast shape
    Relation: Clbeta = -position size, straight line between bottom and top
    Holds for: body depth under a fifth of the span; size 0.034 to 0.057 per radian (0.0006 to 0.0010 per degree)
    Breaks when: the wing stands on struts away from the body
    Errs: either way by a quarter
    Example:
        >>> round(float(wing_height_sideslip(wing_position=1.0, effect_at_edge=0.046, band=0.25).cl_beta), 3)
        -0.046
    Source: [lateral_memory] wing height
    """
    cl_beta = -np.asarray(wing_position) * np.asarray(effect_at_edge)
    nothing = np.zeros_like(cl_beta)
    return SideslipPart(nothing, cl_beta, nothing, np.asarray(band))


def contribution_table(parts):
    """Table of what each part adds to CYbeta, Clbeta and Cnbeta, with the sum in the last row.

    Arguments:
        parts [object]: dict of part name -> SideslipPart
    Returns:
        [1/rad]: tuple of SideslipRow, one per part in the order given, then "total"
    Relation: total = sum of parts; band of the total = root of the sum of squares of the parts' bands
    Holds for: parts whose errors are independent of each other
    Breaks when: parts is empty (the total is zero)
    Errs: low in its band when one cause moves several parts together
    Example:
        >>> fin = SideslipPart(cy_beta=-0.285, cl_beta=-0.008, cn_beta=0.122, band=0.2)
        >>> body = SideslipPart(cy_beta=-0.11, cl_beta=0.0, cn_beta=-0.026, band=0.33)
        >>> [round(float(row.cn_beta), 3) for row in contribution_table(parts={"fin": fin, "body": body})]
        [0.122, -0.026, 0.096]
    Source: [datcom_lateral] build-up by parts
    """
    rows = [SideslipRow(name, part.cy_beta, part.cl_beta, part.cn_beta, *(
        np.abs(value) * part.band for value in (part.cy_beta, part.cl_beta, part.cn_beta))) for name, part in parts.items()]
    total = [sum((getattr(row, name) for row in rows), 0.0) for name in ("cy_beta", "cl_beta", "cn_beta")]
    bands = [np.sqrt(sum((getattr(row, name) ** 2 for row in rows), 0.0)) for name in ("cy_band", "cl_band", "cn_band")]
    return (*rows, SideslipRow("total", *total, *bands))


def antisymmetric_lift_slope(section_lift_slope, aspect_ratio):
    """Lift slope of a wing whose two halves are loaded opposite ways, as in rolling.

    Arguments:
        section_lift_slope [1/rad]: lift slope of the section, any shape
        aspect_ratio [1]: aspect ratio of the wing, any shape
    Returns:
        [1/rad]: slope for antisymmetric loading, broadcast shape
    Relation: a0 / (1 + 2 a0 / (pi AR)), lifting line of the elliptic wing (second harmonic)
    Holds for: straight wings of aspect ratio above 4
    Breaks when: aspect_ratio <= 0
    Errs: not for the elliptic wing; a few per cent either way for others
    Example:
        >>> round(float(antisymmetric_lift_slope(section_lift_slope=5.65, aspect_ratio=5.5)), 2)
        3.42
    Source: [lifting_line_rolling] second harmonic
    """
    slope = np.asarray(section_lift_slope, dtype=float)
    return slope / (1.0 + 2.0 * slope / (np.pi * np.asarray(aspect_ratio)))


def damping_derivatives(section_lift_slope, aspect_ratio, taper_ratio, lift_coefficient, fin_cy_beta, fin_arm_ratio,
                        fin_height_ratio, wing_yaw_damping):
    """Derivatives by roll rate and yaw rate, wing and fin together.

    Arguments:
        section_lift_slope [1/rad]: lift slope of the wing section, any shape
        aspect_ratio [1]: aspect ratio of the wing, any shape
        taper_ratio [1]: tip chord over root chord, any shape
        lift_coefficient [1]: lift coefficient in the flight state, any shape
        fin_cy_beta [1/rad]: side-force slope of the fin in the aeroplane's coefficients (below zero), any shape
        fin_arm_ratio [1]: fin arm over wing span, any shape
        fin_height_ratio [1]: fin height above the centre of gravity over wing span, any shape
        wing_yaw_damping [1]: size of the wing's and body's own yaw damping, any shape
    Returns:
        [1]: DampingDerivatives, broadcast shape
    Relation: wing Clp = -(a_anti/2)[1/8 + (1 + 3 taper)/(12 (1 + taper))] (load half by the elliptic, half by the real chord),
        Clr = CL/4, Cnp = -CL/8, Cnr = -given; fin CYp = 2 CYb z/b, CYr = -2 CYb l/b and their moments
    Holds for: straight wings, attached flow; wing yaw damping about 0.01
    Breaks when: part of the wing is stalled (roll damping is lost or changes sign)
    Errs: Clp high by 2 to 7 per cent against the lifting line, Clr and Cnp by 30 per cent, Cnr by 20 per cent
    Example:
        >>> d = damping_derivatives(section_lift_slope=5.65, aspect_ratio=5.5, taper_ratio=1.0, lift_coefficient=0.53,
        ...                         fin_cy_beta=-0.285, fin_arm_ratio=0.427, fin_height_ratio=0.029, wing_yaw_damping=0.01)
        >>> [round(float(v), 3) for v in (d.cl_p, d.cn_r, d.cy_r)]
        [-0.499, -0.114, 0.243]
    Source: [lifting_line_rolling] roll damping; [schrenk_tm948] load; [lateral_memory] CL/4, CL/8; [strip_theory] fin
    """
    cy_p = 2.0 * np.asarray(fin_cy_beta) * fin_height_ratio
    cy_r = -2.0 * np.asarray(fin_cy_beta) * fin_arm_ratio
    lift, taper = np.asarray(lift_coefficient), np.asarray(taper_ratio, dtype=float)
    load = 0.5 * (1.0 / 8.0 + (1.0 + 3.0 * taper) / (12.0 * (1.0 + taper)))
    return DampingDerivatives(
        cy_p=cy_p,
        cl_p=-antisymmetric_lift_slope(section_lift_slope, aspect_ratio) * load + cy_p * fin_height_ratio,
        cn_p=-lift / 8.0 - cy_p * fin_arm_ratio,
        cy_r=cy_r,
        cl_r=lift / 4.0 + cy_r * fin_height_ratio,
        cn_r=-np.asarray(wing_yaw_damping) - cy_r * fin_arm_ratio)
