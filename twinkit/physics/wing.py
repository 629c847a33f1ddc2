"""Wing and tail shapes: area, mean chord and its place, lift slope, dihedral, loading."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class WingGeometry:
    """Figures of a straight-edged planform; set-backs count rearward from the leading edge of the root."""

    area: np.ndarray
    aspect_ratio: np.ndarray
    mac: np.ndarray
    mac_y: np.ndarray
    mac_setback: np.ndarray
    quarter_chord_sweep: np.ndarray
    half_chord_sweep: np.ndarray


def _floats(*values):
    return np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values))


def _positive(value):
    return np.where(value > 0.0, value, np.nan)


def lift_slope_prandtl(aspect_ratio, section_slope):
    """Lift slope of a wing with elliptic loading.

    Arguments:
        aspect_ratio [1]: span squared over area, any shape
        section_slope [1/rad]: lift slope of the section, any shape
    Returns:
        [1/rad]: lift slope of the wing, broadcast shape
    Relation: a = a0 / (1 + a0 / (pi AR))
    Holds for: straight wings, aspect ratio above 4
    Breaks when: aspect_ratio <= 0 (returns nan)
    Errs: high, by 2.5 per cent at aspect ratio 8, 8 per cent at 4 and 21 per cent at 2
    Example:
        >>> round(float(lift_slope_prandtl(aspect_ratio=6.0, section_slope=6.02)), 3)
        4.563
    Source: [anderson_foa] elliptic wing
    """
    ratio, slope = _floats(aspect_ratio, section_slope)
    return slope / (1.0 + slope / (np.pi * _positive(ratio)))


def lift_slope_glauert(aspect_ratio, section_slope, tau):
    """Lift slope of a wing whose loading is not elliptic.

    Arguments:
        aspect_ratio [1]: span squared over area, any shape
        section_slope [1/rad]: lift slope of the section, any shape
        tau [1]: planform factor of the slope, 0 for elliptic loading, any shape
    Returns:
        [1/rad]: lift slope of the wing, broadcast shape
    Relation: a = a0 / (1 + (a0 / (pi AR)) (1 + tau))
    Holds for: straight wings, aspect ratio above 4
    Breaks when: aspect_ratio <= 0 (returns nan)
    Errs: high below aspect ratio 4
    Example:
        >>> round(float(lift_slope_glauert(aspect_ratio=8.0, section_slope=6.2832, tau=0.055)), 3)
        4.972
    Source: [glauert1926] rectangular and tapered wings; [anderson_foa] general wing
    """
    ratio, slope, tau = _floats(aspect_ratio, section_slope, tau)
    return slope / (1.0 + slope / (np.pi * _positive(ratio)) * (1.0 + tau))


def lift_slope_helmbold(aspect_ratio, section_slope):
    """Lift slope of a straight wing of any aspect ratio.

    Arguments:
        aspect_ratio [1]: span squared over area, any shape
        section_slope [1/rad]: lift slope of the section, any shape
    Returns:
        [1/rad]: lift slope of the wing, broadcast shape
    Relation: a = a0 / (sqrt(1 + k^2) + k) with k = a0 / (pi AR)
    Holds for: straight wings and tails, any aspect ratio
    Breaks when: aspect_ratio <= 0 (returns nan)
    Errs: within a few per cent of tests on smooth wings
    Example:
        >>> round(float(lift_slope_helmbold(aspect_ratio=6.0, section_slope=6.02)), 3)
        4.397
    Source: [anderson_apd] Example 2.8
    """
    ratio, slope = _floats(aspect_ratio, section_slope)
    k = slope / (np.pi * _positive(ratio))
    return slope / (np.sqrt(1.0 + k * k) + k)


def lift_slope_datcom(aspect_ratio, section_slope_ratio, half_chord_sweep):
    """Lift slope of a wing or tail of any aspect ratio and moderate sweep.

    Arguments:
        aspect_ratio [1]: span squared over area, any shape
        section_slope_ratio [1]: section lift slope over 2 pi, 0.85 to 0.95 at small Reynolds number, any shape
        half_chord_sweep [rad]: sweep of the mid-chord line, any shape
    Returns:
        [1/rad]: lift slope, broadcast shape
    Relation: a = 2 pi AR / (2 + sqrt((AR / kappa)^2 (1 + tan^2 sweep) + 4))
    Holds for: low speed, sweep below about 60 degrees
    Breaks when: aspect_ratio or section_slope_ratio <= 0 (returns nan)
    Errs: within 5 per cent; the ratio kappa carries most of it
    Example:
        >>> round(float(lift_slope_datcom(aspect_ratio=5.5, section_slope_ratio=0.9, half_chord_sweep=0.1)), 3)
        4.085
    Source: [datcom] wing lift slope, Polhamus form, Mach number zero
    """
    ratio, kappa, sweep = _floats(aspect_ratio, section_slope_ratio, half_chord_sweep)
    ratio, kappa = _positive(ratio), _positive(kappa)
    return 2.0 * np.pi * ratio / (2.0 + np.sqrt(np.square(ratio / kappa) * (1.0 + np.square(np.tan(sweep))) + 4.0))


def chord_along_span(eta, root_chord, break_chord, tip_chord, break_fraction):
    """Chord of a wing with at most two straight-edged pieces in each half.

    Arguments:
        eta [1]: distance from the plane of symmetry over half the span, -1 to 1, any shape
        root_chord [m]: chord in the plane of symmetry, any shape
        break_chord [m]: chord where the pieces meet, any shape
        tip_chord [m]: chord at the tip, any shape
        break_fraction [1]: place of the joint over half the span, 0 to 1, any shape
    Returns:
        [m]: chord, broadcast shape
    Relation: straight lines root - break - tip
    Holds for: break_fraction 0 to 1; at 1 the break chord is the tip
    Breaks when: |eta| > 1 or break_fraction outside 0 to 1 (returns nan)
    Errs: nothing; rounded tips are not counted
    Example:
        >>> along = chord_along_span(eta=[0.25, 0.75], root_chord=0.2, break_chord=0.18, tip_chord=0.1, break_fraction=0.5)
        >>> [round(float(chord), 3) for chord in along]
        [0.19, 0.14]
    Source: [anderson_foa] planform geometry
    """
    eta, root, middle, tip, joint = _floats(np.abs(eta), root_chord, break_chord, tip_chord, break_fraction)
    inside = (eta <= 1.0) & (joint >= 0.0) & (joint <= 1.0)
    with np.errstate(over="ignore", invalid="ignore"):  # far outside a piece that is next to nothing, where the other piece counts
        inner = root + (middle - root) * (eta / np.where(joint > 0.0, joint, 1.0))
        outer = middle + (tip - middle) * ((eta - joint) / np.where(joint < 1.0, 1.0 - joint, 1.0))
    chord = np.where(((eta <= joint) & (joint > 0.0)) | (joint >= 1.0), inner, outer)
    return np.where(inside, chord, np.nan)


def wing_geometry(span, root_chord, break_chord, tip_chord, break_fraction, break_setback, tip_setback):
    """Area, aspect ratio, mean aerodynamic chord and sweep of a planform of up to two pieces in each half.

    Arguments:
        span [m]: tip to tip, projected, any shape
        root_chord [m]: chord in the plane of symmetry, any shape
        break_chord [m]: chord where the pieces meet, any shape
        tip_chord [m]: chord at the tip, any shape
        break_fraction [1]: place of the joint over half the span, 0 to 1, any shape
        break_setback [m]: leading edge at the joint, distance behind the leading edge of the root, any shape
        tip_setback [m]: leading edge at the tip, distance behind the leading edge of the root, any shape
    Returns:
        area [m^2]: projected area of both halves, broadcast shape
        aspect_ratio [1]: span squared over area
        mac [m]: mean aerodynamic chord
        mac_y [m]: distance of the mean chord from the plane of symmetry
        mac_setback [m]: leading edge of the mean chord behind that of the root
        quarter_chord_sweep [rad]: area-weighted mean sweep of the quarter-chord line
        half_chord_sweep [rad]: area-weighted mean sweep of the mid-chord line
    Relation: mac = (2/S) int c^2 dy, mac_y = (2/S) int c y dy, mac_setback = (2/S) int c x_le dy
    Holds for: straight-edged pieces; one piece is break_fraction 1
    Breaks when: span <= 0, area <= 0 or break_fraction outside 0 to 1 (nan throughout)
    Errs: nothing; rounded tips are not counted
    Example:
        >>> wing = wing_geometry(span=1.16, root_chord=0.22, break_chord=0.2, tip_chord=0.12,
        ...                      break_fraction=0.5, break_setback=0.005, tip_setback=0.04)
        >>> round(float(wing.area), 4), round(float(wing.mac), 4), round(float(wing.mac_setback), 4)
        (0.2146, 0.1899, 0.0105)
    Source: [anderson_foa] planform geometry
    """
    span, root, middle, tip, joint, x1, x2 = _floats(
        span, root_chord, break_chord, tip_chord, break_fraction, break_setback, tip_setback)
    span = np.where((span > 0.0) & (joint >= 0.0) & (joint <= 1.0), span, np.nan)
    inner, outer = joint * span / 2.0, (1.0 - joint) * span / 2.0
    half_area = _positive(inner * (root + middle) / 2.0 + outer * (middle + tip) / 2.0)
    square = inner * (root**2 + root * middle + middle**2) / 3.0 + outer * (middle**2 + middle * tip + tip**2) / 3.0
    first_y = inner**2 * (root + 2.0 * middle) / 6.0 + outer * (
        inner * (middle + tip) / 2.0 + outer * (middle + 2.0 * tip) / 6.0)
    first_x = inner * x1 * (root + 2.0 * middle) / 6.0 + outer * (
        x1 * (2.0 * middle + tip) + x2 * (middle + 2.0 * tip)) / 6.0

    def sweep(share):
        inner_rise = np.where(joint > 0.0, (root + middle) / 2.0 * (x1 + share * (middle - root)), 0.0)
        outer_rise = np.where(joint < 1.0, (middle + tip) / 2.0 * (x2 - x1 + share * (tip - middle)), 0.0)
        return np.arctan((inner_rise + outer_rise) / half_area)

    return WingGeometry(
        area=2.0 * half_area, aspect_ratio=span**2 / (2.0 * half_area), mac=square / half_area,
        mac_y=first_y / half_area, mac_setback=first_x / half_area,
        quarter_chord_sweep=sweep(0.25), half_chord_sweep=sweep(0.5))


def equivalent_dihedral(inner_dihedral, outer_dihedral, break_fraction):
    """Dihedral of a plain V wing that rolls as much in a slip as one bent at a joint.

    Arguments:
        inner_dihedral [rad]: slope of the inner piece against the horizontal, any shape
        outer_dihedral [rad]: slope of the outer piece against the horizontal, any shape
        break_fraction [1]: place of the joint over half the span, 0 to 1, any shape
    Returns:
        [rad]: equivalent dihedral, broadcast shape
    Relation: G = G1 f^2 + G2 (1 - f^2), the slope weighted with its arm
    Holds for: strips of constant chord and lift slope, small angles
    Breaks when: break_fraction outside 0 to 1 (returns nan)
    Errs: high by up to 15 per cent when the outer piece tapers
    Example:
        >>> round(float(equivalent_dihedral(inner_dihedral=0.02, outer_dihedral=0.14, break_fraction=0.6)), 4)
        0.0968
    Source: [etkin_reid] strip method for the dihedral effect
    """
    inner, outer, joint = _floats(inner_dihedral, outer_dihedral, break_fraction)
    joint = np.where((joint >= 0.0) & (joint <= 1.0), joint, np.nan)
    return inner * joint**2 + outer * (1.0 - joint**2)


def wing_loading(mass, area):
    """Mass carried by each square metre of wing.

    Arguments:
        mass [kg]: aeroplane mass, any shape
        area [m^2]: wing area, any shape
    Returns:
        [kg/m^2]: wing loading, broadcast shape
    Relation: m / S
    Holds for: any aeroplane
    Breaks when: area <= 0 (returns nan)
    Errs: nothing
    Example:
        >>> round(float(wing_loading(mass=1.05, area=0.22)), 3)
        4.773
    Source: [reynolds1989] wing loading
    """
    mass, area = _floats(mass, area)
    return mass / _positive(area)


def cubic_loading(mass, area):
    """Wing loading freed from size, so that models of different span compare.

    Arguments:
        mass [kg]: aeroplane mass, any shape
        area [m^2]: wing area, any shape
    Returns:
        [kg/m^3]: cubic wing loading, broadcast shape
    Relation: m / S^1.5
    Holds for: comparing aeroplanes of like kind
    Breaks when: area <= 0 (returns nan)
    Errs: the bands of ease drawn from it are habit, not law
    Example:
        >>> round(float(cubic_loading(mass=1.05, area=0.22)), 2)
        10.18
    Source: [reynolds1989] cubic wing loading
    """
    mass, area = _floats(mass, area)
    return mass / _positive(area) ** 1.5
