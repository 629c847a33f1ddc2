"""Drag: skin friction, drag of the parts, the polar and its fit."""

from dataclasses import dataclass

import numpy as np

# Coefficients of the flat-plate relations, each named after the relation it belongs to.
BLASIUS_MEAN = 1.328
POWER_LAW_MEAN, POWER_LAW_EXPONENT = 0.074, 0.2
SCHLICHTING_MEAN, SCHLICHTING_EXPONENT = 0.455, 2.58
WHITE_LOCAL, WHITE_SCALE = 0.42, 0.056

LEAST_SPREAD = 1.0e-18   # of the squared lift coefficients, below which the points are one point


@dataclass(frozen=True)
class DragBuildUp:
    """Zero-lift drag coefficient and what each part adds to it (last axis over the parts)."""

    cd0: np.ndarray
    part_cd0: np.ndarray
    misc_cd0: np.ndarray
    gap_cd0: np.ndarray


@dataclass(frozen=True)
class PolarFit:
    """Parabolic polar fitted to measured points."""

    cd0: np.ndarray
    induced_factor: np.ndarray
    residual: np.ndarray


def _floats(*values):
    return np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values))


def _positive(value):
    return np.where(value > 0.0, value, np.nan)


def friction_laminar(reynolds):
    """Mean skin friction of one side of a plate in laminar flow.

    Arguments:
        reynolds [1]: Reynolds number on the length, any shape
    Returns:
        [1]: mean friction coefficient, same shape
    Relation: Cf = 1.328 / sqrt(Re)
    Holds for: smooth plates, Reynolds number 1e3 to 5e5
    Breaks when: reynolds <= 0 (returns nan)
    Errs: far too low on foam board, whose blunt edges trip the flow
    Example:
        >>> round(float(friction_laminar(reynolds=2.0e5)), 5)
        0.00297
    Source: [anderson_foa] Blasius plate
    """
    return BLASIUS_MEAN / np.sqrt(_positive(np.asarray(reynolds, dtype=float)))


def friction_turbulent_power(reynolds):
    """Mean skin friction of one side of a plate in turbulent flow, power law.

    Arguments:
        reynolds [1]: Reynolds number on the length, any shape
    Returns:
        [1]: mean friction coefficient, same shape
    Relation: Cf = 0.074 / Re^0.2
    Holds for: turbulent from the edge on, Reynolds number 5e5 to 1e7
    Breaks when: reynolds <= 0 (returns nan)
    Errs: within 6 per cent of the logarithmic law in its range, high by 3 per cent at 1e5
    Example:
        >>> round(float(friction_turbulent_power(reynolds=1.0e6)), 5)
        0.00467
    Source: [anderson_foa] one-fifth power law
    """
    return POWER_LAW_MEAN / _positive(np.asarray(reynolds, dtype=float)) ** POWER_LAW_EXPONENT


def friction_turbulent(reynolds):
    """Mean skin friction of one side of a plate in turbulent flow, logarithmic law.

    Arguments:
        reynolds [1]: Reynolds number on the length, any shape
    Returns:
        [1]: mean friction coefficient, same shape
    Relation: Cf = 0.455 / (log10 Re)^2.58
    Holds for: turbulent from the edge on, Reynolds number 1e5 to 1e9
    Breaks when: reynolds <= 1e4 (returns nan)
    Errs: within 4 per cent; right choice for blunt foam edges at every Reynolds number here
    Example:
        >>> round(float(friction_turbulent(reynolds=2.0e5)), 5)
        0.00615
    Source: [schlichting] Prandtl-Schlichting law
    """
    reynolds = np.asarray(reynolds, dtype=float)
    reynolds = np.where(reynolds > 1.0e4, reynolds, np.nan)
    return SCHLICHTING_MEAN / np.log10(reynolds) ** SCHLICHTING_EXPONENT


def friction_turbulent_local(reynolds):
    """Local skin friction of a plate in turbulent flow.

    Arguments:
        reynolds [1]: Reynolds number on the distance from the leading edge, any shape
    Returns:
        [1]: local friction coefficient, same shape
    Relation: cf = 0.42 / ln^2(0.056 Re)
    Holds for: turbulent from the edge on, Reynolds number 1e5 to 1e9
    Breaks when: reynolds <= 1e4 (returns nan)
    Errs: within 4 per cent
    Example:
        >>> round(float(friction_turbulent_local(reynolds=1.0e6)), 5)
        0.00351
    Source: [anderson_apd] White-Christoph local friction
    """
    reynolds = np.asarray(reynolds, dtype=float)
    reynolds = np.where(reynolds > 1.0e4, reynolds, np.nan)
    return WHITE_LOCAL / np.log(WHITE_SCALE * reynolds) ** 2


def friction_with_transition(reynolds, transition_reynolds):
    """Mean skin friction of a plate that is laminar in front and turbulent behind.

    Arguments:
        reynolds [1]: Reynolds number on the length, any shape
        transition_reynolds [1]: Reynolds number on the distance to the transition, above 1e4, any shape
    Returns:
        [1]: mean friction coefficient, broadcast shape
    Relation: Cf = Cft(Re) - (Ret/Re) (Cft(Ret) - Cfl(Ret)); laminar when Re <= Ret
    Holds for: smooth plates; never below the laminar value, unlike the short form Cft - 1700/Re
    Breaks when: reynolds <= 0 or transition_reynolds <= 1e4 (returns nan)
    Errs: by the guess of the transition, up to a factor 2 at Reynolds number 2e5
    Example:
        >>> round(float(friction_with_transition(reynolds=2.0e5, transition_reynolds=8.0e4)), 5)
        0.00502
    Source: [schlichting] plate with transition
    """
    reynolds, transition = _floats(reynolds, transition_reynolds)
    step = friction_turbulent(transition) - friction_laminar(transition)
    mixed = friction_turbulent(np.maximum(reynolds, transition)) - transition / _positive(reynolds) * step
    return np.where(reynolds <= transition, friction_laminar(reynolds) + 0.0 * step, mixed)


def form_factor_wing(thickness_ratio):
    """Rise of a wing's drag over the friction of a plate of its wetted area.

    Arguments:
        thickness_ratio [1]: greatest thickness over chord, any shape
    Returns:
        [1]: form factor, same shape
    Relation: FF = 1 + 2 (t/c) + 60 (t/c)^4
    Holds for: streamlined sections, thickness ratio up to 0.25
    Breaks when: thickness_ratio < 0 (returns nan)
    Errs: low for stepped or square-edged sections
    Example:
        >>> round(float(form_factor_wing(thickness_ratio=0.11)), 4)
        1.2288
    Source: [hoerner] sections, fully turbulent
    """
    thickness = np.asarray(thickness_ratio, dtype=float)
    thickness = np.where(thickness >= 0.0, thickness, np.nan)
    return 1.0 + 2.0 * thickness + 60.0 * thickness**4


def form_factor_body(fineness):
    """Rise of a body's drag over the friction of a plate of its wetted area.

    Arguments:
        fineness [1]: length over diameter of the circle with the greatest cross-section, any shape
    Returns:
        [1]: form factor, same shape
    Relation: FF = 1 + 60 / f^3 + f / 400
    Holds for: rounded bodies, fineness 4 and more
    Breaks when: fineness <= 0 (returns nan)
    Errs: low by 30 to 50 per cent for boxes with square edges
    Example:
        >>> round(float(form_factor_body(fineness=8.0)), 4)
        1.1372
    Source: [raymer] component build-up
    """
    fineness = _positive(np.asarray(fineness, dtype=float))
    return 1.0 + 60.0 / fineness**3 + fineness / 400.0


def drag_build_up(friction, form_factor, interference, wetted_area, wing_area, misc_drag_area, gap_share):
    """Zero-lift drag coefficient, part by part.

    Arguments:
        friction [1]: mean friction coefficient of each part, last axis over the parts
        form_factor [1]: form factor of each part, last axis over the parts
        interference [1]: interference factor of each part, last axis over the parts
        wetted_area [m^2]: wetted area of each part, last axis over the parts
        wing_area [m^2]: reference area, any shape
        misc_drag_area [m^2]: summed drag area of wheels, horns, blunt ends, any shape
        gap_share [1]: rise of the whole for gaps and leaks, 0.10 to 0.20 on foam board, any shape
    Returns:
        cd0 [1]: zero-lift drag coefficient of the aeroplane
        part_cd0 [1]: what each part adds, last axis over the parts
        misc_cd0 [1]: what the summed drag areas add
        gap_cd0 [1]: what the gaps add
    Relation: CD0 S = (1 + gaps) (sum Cf FF Q Swet + misc)
    Holds for: subsonic aeroplanes, no stall
    Breaks when: wing_area <= 0 (returns nan)
    Errs: 20 per cent either way on a first foam aeroplane; measure the glide
    Example:
        >>> build = drag_build_up(friction=[0.0064, 0.0055], form_factor=[1.23, 1.3], interference=[1.05, 1.0],
        ...                       wetted_area=[0.42, 0.22], wing_area=0.22, misc_drag_area=0.002, gap_share=0.15)
        >>> round(float(build.cd0), 4)
        0.0368
    Source: [raymer] component build-up
    """
    parts = np.asarray(friction, dtype=float) * form_factor * np.asarray(interference) * np.asarray(wetted_area)
    parts = np.atleast_1d(parts)
    area = _positive(np.asarray(wing_area, dtype=float))
    part_cd0 = parts / area[..., np.newaxis]
    misc_cd0 = np.asarray(misc_drag_area, dtype=float) / area
    bare = part_cd0.sum(axis=-1) + misc_cd0
    gap_cd0 = bare * gap_share
    return DragBuildUp(cd0=bare + gap_cd0, part_cd0=part_cd0, misc_cd0=misc_cd0, gap_cd0=gap_cd0)


def induced_factor(aspect_ratio, oswald):
    """Factor of the squared lift coefficient in the polar.

    Arguments:
        aspect_ratio [1]: span squared over area, any shape
        oswald [1]: efficiency of the polar, 0.70 to 0.85 here, any shape
    Returns:
        [1]: induced factor K, broadcast shape
    Relation: K = 1 / (pi AR e)
    Holds for: parabolic polars
    Breaks when: aspect_ratio or oswald <= 0 (returns nan)
    Errs: as much as the efficiency, 10 per cent either way
    Example:
        >>> round(float(induced_factor(aspect_ratio=5.5, oswald=0.8)), 5)
        0.07234
    Source: [anderson_apd] drag polar
    """
    ratio, oswald = _floats(aspect_ratio, oswald)
    return 1.0 / (np.pi * _positive(ratio) * _positive(oswald))


def drag_coefficient(cl, cd0, induced_factor):
    """Drag coefficient from the parabolic polar.

    Arguments:
        cl [1]: lift coefficient, any shape
        cd0 [1]: zero-lift drag coefficient, any shape
        induced_factor [1]: factor K of the squared lift coefficient, any shape
    Returns:
        [1]: drag coefficient, broadcast shape
    Relation: CD = CD0 + K CL^2
    Holds for: attached flow, lift coefficient below about 80 per cent of its greatest
    Breaks when: near the stall, where it is too low
    Errs: low by 10 per cent or more close to the stall
    Example:
        >>> round(float(drag_coefficient(cl=0.5, cd0=0.045, induced_factor=0.0723)), 5)
        0.06307
    Source: [anderson_apd] drag polar
    """
    cl, cd0, factor = _floats(cl, cd0, induced_factor)
    return cd0 + factor * cl**2


def fit_polar(cl, cd):
    """Parabolic polar through measured points by least squares.

    Arguments:
        cl [1]: lift coefficients below the stall, last axis over the points
        cd [1]: drag coefficients, last axis over the points
    Returns:
        cd0 [1]: zero-lift drag coefficient, the shape without the last axis
        induced_factor [1]: factor K of the squared lift coefficient
        residual [1]: root of the mean squared miss in drag coefficient
    Relation: least squares of CD on CL^2
    Holds for: three points or more of different |CL|
    Breaks when: all |CL| are equal (returns nan)
    Errs: points at the stall pull K up: leave them out
    Example:
        >>> fit = fit_polar(cl=[0.0, 0.3, 0.6, 0.9], cd=[0.045, 0.051, 0.071, 0.103])
        >>> round(float(fit.cd0), 4), round(float(fit.induced_factor), 4)
        (0.0449, 0.0719)
    Source: [smith_performance] polar from tunnel readings
    """
    cl, cd = _floats(cl, cd)
    square = cl**2
    square_mean, cd_mean = square.mean(axis=-1, keepdims=True), cd.mean(axis=-1, keepdims=True)
    spread = np.sum((square - square_mean) ** 2, axis=-1)
    spread = np.where(spread > LEAST_SPREAD * np.sum(square**2, axis=-1), spread, np.nan)
    factor = np.sum((square - square_mean) * (cd - cd_mean), axis=-1) / spread
    cd0 = cd_mean[..., 0] - factor * square_mean[..., 0]
    miss = cd - cd0[..., np.newaxis] - factor[..., np.newaxis] * square
    return PolarFit(cd0=cd0, induced_factor=factor, residual=np.sqrt(np.mean(miss**2, axis=-1)))
