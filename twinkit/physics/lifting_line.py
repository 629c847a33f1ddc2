"""Lifting line: lift slope, induced drag and spanwise lift of straight wings, many wings in one solve."""

from dataclasses import dataclass

import numpy as np

from twinkit.physics.wing import chord_along_span

BATCH = 256   # wings per linear solve: keeps the matrices inside the cache


@dataclass(frozen=True)
class LiftingLine:
    """Lift of a wing by the lifting line; the last axis of the spanwise fields runs over `eta`."""

    cl: np.ndarray
    cdi: np.ndarray
    lift_slope: np.ndarray
    zero_lift_angle: np.ndarray
    delta: np.ndarray
    tau: np.ndarray
    span_efficiency: np.ndarray
    eta: np.ndarray
    basic_cl: np.ndarray
    unit_cl: np.ndarray
    section_cl: np.ndarray


def collocation_angles(terms, collocation):
    """Places along the half span at which the lifting line is satisfied, as angles.

    Arguments:
        terms [1]: number of odd sine terms and of places, a whole number
        collocation [choice]: "interior" (midpoints, for converged values) or "classic" (equal steps ending at mid-span)
    Returns:
        [rad]: angle theta with y = (b/2) cos theta, shape (terms,)
    Relation: interior (i - 1/2) pi / 2N, classic i pi / 2N, i = 1 .. N
    Holds for: symmetric loading
    Breaks when: terms < 1 (ValueError)
    Errs: nothing
    Example:
        >>> [round(float(v), 4) for v in collocation_angles(terms=4, collocation="classic")]
        [0.3927, 0.7854, 1.1781, 1.5708]
    Source: [glauert1926] four-term solution; [anderson_foa] numerical lifting line
    """
    if collocation not in ("interior", "classic"):
        raise ValueError(f"collocation is {collocation!r}; allowed are 'interior' and 'classic'")
    if terms < 1:
        raise ValueError(f"terms is {terms}; at least one term is needed")
    count = int(terms)
    shift = 0.5 if collocation == "interior" else 0.0
    return (np.arange(1, count + 1) - shift) * np.pi / (2 * count)


def lifting_line_stations(span, area, chord, section_slope, root_angle, twist, theta):
    """Lifting line of any symmetric straight planform given by its chords at the collocation places.

    Arguments:
        span [m]: tip to tip, any shape
        area [m^2]: wing area, any shape
        chord [m]: chords at theta, last axis over the places
        section_slope [1/rad]: lift slope of the section, any shape
        root_angle [rad]: angle of attack of the root from its own zero-lift line, any shape
        twist [rad]: zero-lift line of each place against that of the root, nose up positive, last axis over the places
        theta [rad]: angles from collocation_angles, shape (places,)
    Returns:
        cl [1]: lift coefficient of the wing, broadcast shape of the wings
        cdi [1]: induced drag coefficient
        lift_slope [1/rad]: slope of the wing
        zero_lift_angle [rad]: root angle at which the wing as a whole lifts nothing
        delta [1]: induced-drag excess of the untwisted wing over elliptic loading
        tau [1]: slope factor of the untwisted wing
        span_efficiency [1]: CL^2 / (pi AR CDi) at this angle, twist counted
        eta [1]: places over half the span, shape (places,)
        basic_cl [1]: section lift coefficients at zero wing lift, last axis over the places
        unit_cl [1]: section lift coefficients per unit wing lift coefficient, last axis over the places
        section_cl [1]: section lift coefficients at this angle, last axis over the places
    Relation: sum A_n sin(n theta) (n mu + sin theta) = mu alpha sin theta, mu = a0 c / (4 b), odd n; CL = pi AR A1
    Holds for: straight wings of aspect ratio 4 and more, attached flow
    Breaks when: span or area <= 0 (nan throughout); below aspect ratio 4 the slope is too high
    Errs: slope within 2 per cent of the DATCOM form from aspect ratio 5 to 10, 4 per cent high at 4
    Example:
        >>> import numpy as np
        >>> wing = lifting_line_stations(span=1.1, area=0.22, chord=[0.12, 0.18, 0.22], section_slope=5.7, root_angle=0.08,
        ...                              twist=[-0.03, -0.02, -0.01], theta=[0.3, 0.8, 1.3])
        >>> round(float(wing.cl), 3), round(float(wing.lift_slope), 2)
        (0.27, 4.13)
    Source: [glauert1926] monoplane equation; [anderson_foa] general lift distribution
    """
    theta = np.asarray(theta, dtype=float)
    places = theta.size
    chord, twist = np.asarray(chord, dtype=float), np.asarray(twist, dtype=float)
    for name, value in (("chord", chord), ("twist", twist)):
        if value.ndim and value.shape[-1] not in (1, places):
            raise ValueError(f"{name} has {value.shape[-1]} places on its last axis; theta has {places}")
    span, area, slope, angle = (np.asarray(value, dtype=float) for value in (span, area, section_slope, root_angle))
    chord, twist = np.atleast_1d(chord), np.atleast_1d(twist)
    wings = np.broadcast_shapes(span.shape, area.shape, slope.shape, angle.shape, chord.shape[:-1], twist.shape[:-1])
    chord = np.broadcast_to(chord, wings + (places,)).reshape(-1, places)
    twist = np.broadcast_to(twist, wings + (places,)).reshape(-1, places)
    span, area, slope, angle = (np.broadcast_to(value, wings).reshape(-1, 1) for value in (span, area, slope, angle))
    good = (span > 0.0) & (area > 0.0)
    span, area = np.where(good, span, 1.0), np.where(good, area, 1.0)

    additional, basic = _solve(slope * chord / (4.0 * span), twist, theta)
    ratio = span**2 / area
    order = np.arange(1, 2 * places, 2)
    unit = additional / additional[:, :1]
    per_radian = np.pi * ratio * additional[:, :1]
    zero_angle = -basic[:, :1] / additional[:, :1]
    coefficients = additional * angle + basic
    cl = np.pi * ratio * coefficients[:, :1]
    cdi = np.pi * ratio * np.sum(order * coefficients**2, axis=1, keepdims=True)
    sines = np.sin(np.outer(order, theta))
    with np.errstate(divide="ignore", invalid="ignore"):
        to_section = np.where(chord > 0.0, 4.0 * span / chord, np.nan)
        efficiency = np.where(cdi > 0.0, cl**2 / (np.pi * ratio * cdi), np.nan)
    unit_cl = to_section * ((unit / (np.pi * ratio)) @ sines)
    basic_cl = to_section * ((basic + additional * zero_angle) @ sines)
    tau = np.pi * ratio / slope * (slope / per_radian - 1.0) - 1.0
    delta = np.sum(order[1:] * unit[:, 1:] ** 2, axis=1, keepdims=True)

    def per_wing(value):
        return np.where(good, value, np.nan).reshape(wings)

    def per_place(value):
        return np.where(good, value, np.nan).reshape(wings + (places,))

    return LiftingLine(
        cl=per_wing(cl), cdi=per_wing(cdi), lift_slope=per_wing(per_radian), zero_lift_angle=per_wing(zero_angle),
        delta=per_wing(delta), tau=per_wing(tau), span_efficiency=per_wing(efficiency), eta=np.cos(theta),
        basic_cl=per_place(basic_cl), unit_cl=per_place(unit_cl), section_cl=per_place(basic_cl + cl * unit_cl))


def lifting_line(span, root_chord, break_chord, tip_chord, break_fraction, section_slope, root_angle, break_washout, tip_washout,
                 terms=40, collocation="interior"):
    """Lifting line of a straight wing with at most two straight-edged pieces in each half.

    Arguments:
        span [m]: tip to tip, any shape
        root_chord [m]: chord in the plane of symmetry, any shape
        break_chord [m]: chord where the pieces meet, any shape
        tip_chord [m]: chord at the tip, any shape
        break_fraction [1]: place of the joint over half the span, 0 to 1, any shape
        section_slope [1/rad]: lift slope of the section, any shape
        root_angle [rad]: angle of attack of the root from its own zero-lift line, any shape
        break_washout [rad]: nose-down twist of the joint against the root, any shape
        tip_washout [rad]: nose-down twist of the tip against the root, any shape
        terms [1]: number of odd sine terms and of collocation places, a whole number
        collocation [choice]: "interior" for converged values or "classic" for the historical places
    Returns:
        cl [1]: lift coefficient of the wing, broadcast shape of the wings
        cdi [1]: induced drag coefficient
        lift_slope [1/rad]: slope of the wing
        zero_lift_angle [rad]: root angle at which the wing as a whole lifts nothing
        delta [1]: induced-drag excess of the untwisted wing over elliptic loading
        tau [1]: slope factor of the untwisted wing
        span_efficiency [1]: CL^2 / (pi AR CDi) at this angle, twist counted
        eta [1]: places over half the span, shape (terms,)
        basic_cl [1]: section lift coefficients at zero wing lift, last axis over the places
        unit_cl [1]: section lift coefficients per unit wing lift coefficient, last axis over the places
        section_cl [1]: section lift coefficients at this angle, last axis over the places
    Relation: the monoplane equation with chord and twist linear along each piece
    Holds for: straight wings of aspect ratio 4 and more, attached flow
    Breaks when: span <= 0 or break_fraction outside 0 to 1 (nan throughout); below aspect ratio 4 the slope is too high
    Errs: slope 4 per cent high at aspect ratio 4; four classic terms give delta 3 to 6 per cent low
    Example:
        >>> wing = lifting_line(span=1.1, root_chord=0.22, break_chord=0.2, tip_chord=0.15, break_fraction=0.5, section_slope=6.2832,
        ...                     root_angle=0.1, break_washout=0.01, tip_washout=0.03, terms=20, collocation="interior")
        >>> round(float(wing.cl), 3), round(float(wing.span_efficiency), 3)
        (0.408, 0.996)
    Source: [glauert1926] monoplane equation; [anderson_foa] general lift distribution
    """
    theta = collocation_angles(terms, collocation)
    wings = np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in (
        span, root_chord, break_chord, tip_chord, break_fraction, section_slope, root_angle, break_washout, tip_washout)))
    span, root, middle, tip, joint, slope, angle, washout_break, washout_tip = wings
    along = (value[..., np.newaxis] for value in (root, middle, tip, joint))
    chord = chord_along_span(np.cos(theta), *along)
    twist = -chord_along_span(np.cos(theta), 0.0, washout_break[..., np.newaxis], washout_tip[..., np.newaxis],
                              joint[..., np.newaxis])
    area = span / 2.0 * (joint * (root + middle) + (1.0 - joint) * (middle + tip))
    area = np.where((joint >= 0.0) & (joint <= 1.0), area, np.nan)
    return lifting_line_stations(span, area, chord, slope, angle, twist, theta)


def wing_cl_max(basic_cl, unit_cl, section_cl_max):
    """Wing lift coefficient at which the first section reaches its greatest lift.

    Arguments:
        basic_cl [1]: section lift coefficients at zero wing lift, last axis over the places
        unit_cl [1]: section lift coefficients per unit wing lift coefficient, last axis over the places
        section_cl_max [1]: greatest lift coefficient of the section at each place, any broadcastable shape
    Returns:
        [1]: wing lift coefficient, the shape without the last axis
    Relation: min over the span of (clmax - basic) / unit
    Holds for: straight wings with a gentle stall
    Breaks when: no place carries lift (returns nan)
    Errs: low by a few per cent, the wing goes on lifting after its first section has stalled
    Example:
        >>> round(float(wing_cl_max(basic_cl=[-0.02, 0.0, 0.01], unit_cl=[0.9, 1.08, 1.15], section_cl_max=1.1)), 3)
        0.948
    Source: [anderson_foa] section lift along the span
    """
    basic, unit, top = np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in (basic_cl, unit_cl, section_cl_max)))
    carrying = unit > 0.0
    limit = np.where(carrying, (top - basic) / np.where(carrying, unit, 1.0), np.inf)
    least = np.min(limit, axis=-1)
    return np.where(np.isfinite(least), least, np.nan)


def _solve(mu, twist, theta):
    """Sine coefficients for unit angle of attack and for the twist alone, both (wings, places)."""
    order = np.arange(1, 2 * theta.size, 2)
    sine = np.sin(theta)
    shape = np.sin(np.outer(theta, order))
    still, moving = sine[:, np.newaxis] * shape, order * shape
    additional, basic = np.empty_like(mu), np.empty_like(mu)
    usable = np.isfinite(mu) & np.isfinite(twist)
    mu, twist = np.where(usable, mu, np.nan), np.where(usable, twist, 0.0)
    for start in range(0, mu.shape[0], BATCH):
        part = slice(start, start + BATCH)
        mu_part = mu[part]
        matrix = mu_part[:, :, np.newaxis] * moving
        matrix += still
        right = np.stack((mu_part * sine, mu_part * sine * twist[part]), axis=-1)
        solution = np.linalg.solve(matrix, right)
        additional[part], basic[part] = solution[..., 0], solution[..., 1]
    return additional, basic
