"""Propellers by blade element and momentum theory: CT and CP from diameter, pitch, blades and style, and how far off they may be."""

from dataclasses import dataclass

import numpy as np

STALL_EXPONENT_LIMIT = 40.0      # numerical guards of the fitted model, part of its definition
LOSS_EXPONENTS = (1e-6, 30.0)
LEAST_LOSS_FACTOR = 1e-3
GREATEST_VELOCITY_RATIO = 3.0
BISECTIONS = 18
BLOCK = 2048                     # points solved at once, keeps the work arrays inside the cache


@dataclass(frozen=True)
class Style:
    """A family of blade shapes: chord/tip radius over r/R, zero-lift angle [rad], drag coefficient at the reference Reynolds number."""

    name: str
    station: np.ndarray
    chord: np.ndarray
    zero_lift_angle: float
    drag: float

    @classmethod
    def from_columns(cls, name, styles, chords):
        """The named style out of the columns of the tables of styles and of chords."""
        if name not in styles["style"]:
            raise ValueError(f"unknown propeller style {name!r}: there are {', '.join(styles['style'])}")
        row = styles["style"].index(name)
        return cls(name, chords["station"], chords[styles["chords"][row]],
                   float(styles["zero_lift_angle"][row]), float(styles["drag"][row]))


@dataclass(frozen=True)
class SectionModel:
    """Constants common to all styles: the blade section's lift and drag, and the blade's layout (angles in radians)."""

    lift_slope: float
    lift_reynolds_power: float
    log_reynolds_cap: float
    reference_reynolds: float
    least_reynolds: float
    stall_angle: float
    stall_reynolds_shift: float
    stall_width: float
    stalled_lift: float
    stalled_drag: float
    drag_reynolds_power: float
    drag_growth: float
    least_drag_lift: float
    hub_radius: float
    hub_loss_origin: float
    twist_least_radius: float
    stations: float

    def polar(self, alpha, log_reynolds, style):
        """Lift and drag coefficient of a section at an angle of attack and ln(Re/reference)."""
        capped = np.minimum(log_reynolds, self.log_reynolds_cap)
        attached = self.lift_slope * np.exp(self.lift_reynolds_power * capped) * (alpha - style.zero_lift_angle)
        depth = (np.abs(alpha) - self.stall_angle + self.stall_reynolds_shift * capped) / self.stall_width
        share = 1.0 / (1.0 + np.exp(np.clip(depth, -STALL_EXPONENT_LIMIT, STALL_EXPONENT_LIMIT)))
        lift = share * attached + (1.0 - share) * self.stalled_lift * np.sin(2.0 * alpha)
        drag = (style.drag * np.exp(self.drag_reynolds_power * log_reynolds)
                + share * self.drag_growth * (attached - self.least_drag_lift) ** 2
                + (1.0 - share) * self.stalled_drag * np.sin(alpha) ** 2)
        return lift, drag


@dataclass(frozen=True)
class Coefficients:
    """Thrust coefficient T/(rho n^2 D^4) and power coefficient P/(rho n^3 D^5); inside is False where they are extrapolated."""

    ct: np.ndarray
    cp: np.ndarray
    inside: np.ndarray


def blade_element(n, advance_ratio, diameter, pitch, blades, style, section, density, viscosity):
    """Thrust and power coefficients of a propeller by blade element and momentum theory.

    Arguments:
        n [1/s]: revolutions per second, any shape
        advance_ratio [1]: V/(n D), any shape
        diameter [m]: propeller diameter, any shape
        pitch [m]: nominal pitch, any shape
        blades [1]: number of blades, 2 to 4, any shape
        style [object]: Style, chords and section constants of the blade family
        section [object]: SectionModel, constants common to all styles
        density [kg/m^3]: air density, any shape
        viscosity [Pa s]: dynamic viscosity of the air, any shape
    Returns:
        ct [1]: thrust coefficient T/(rho n^2 D^4), broadcast shape
        cp [1]: power coefficient P/(rho n^3 D^5), broadcast shape
        inside [1]: False where n <= 0 or advance_ratio < 0 (there ct and cp are nan)
    Relation: sin^2 phi - k cn - x (sin phi cos phi + k ct) = 0 at every station, k = sigma/(4F), x = J/(pi r)
    Holds for: axial flow, lifting and lightly windmilling blades, diameters 7 to 11 in, pitch/diameter 0.4 to 0.9, up to 7000 rev/min
    Breaks when: the blades are driven hard by the air (deep windmilling) or stand still
    Errs: by the bands of model_band; zero-thrust advance ratio too high by 7.5 % in the mean; three blades too high
    Example:
        >>> style = Style("plain", [0.15, 0.5, 1.0], [0.16, 0.19, 0.04], -0.07, 0.024)
        >>> section = SectionModel(5.215, 0.1041, 0.7, 1e5, 3e3, 0.2623, 0.0519, 0.0353, 1.5, 3.0, -0.5063, 0.1018, 0.4764, 0.15, 0.8, 0.2, 16)
        >>> both = blade_element(n=100.0, advance_ratio=0.4, diameter=0.2032, pitch=0.1524, blades=2, style=style, section=section,
        ...                      density=1.225, viscosity=1.81e-5)
        >>> round(float(both.ct), 4), round(float(both.cp), 4)
        (0.0685, 0.0466)
    Source: [glauert_airscrew] momentum and blade elements; [ning2014] one equation in phi; [twinkit_propeller_fit] constants
    """
    given = [np.asarray(a, float) for a in (n, advance_ratio, diameter, pitch, blades, density, viscosity)]
    shape = np.broadcast_shapes(*(a.shape for a in given))
    views = [np.broadcast_to(a, shape) for a in given]
    ct, cp = np.empty(shape), np.empty(shape)
    for start in range(0, ct.size, BLOCK):
        part = slice(start, start + BLOCK)
        with np.errstate(invalid="ignore", divide="ignore"):
            ct.flat[part], cp.flat[part] = _blade_block(*(v.flat[part][:, None] for v in views), style, section)
    inside = (views[0] > 0.0) & (views[1] >= 0.0)
    return Coefficients(np.where(inside, ct, np.nan), np.where(inside, cp, np.nan), inside)


def _blade_block(n, advance_ratio, diameter, pitch, blades, density, viscosity, style, section):
    """CT and CP of a column of points; stations along the second axis."""
    hub = section.hub_radius
    edge = hub + (1.0 - hub) * (1.0 - np.cos(np.linspace(0.0, np.pi, int(section.stations) + 1))) / 2.0
    r, dr = 0.5 * (edge[1:] + edge[:-1]), np.diff(edge)
    chord = np.interp(r, style.station, style.chord)
    beta = np.arctan(pitch / diameter / (np.pi * np.maximum(r, section.twist_least_radius)))
    x = advance_ratio / (np.pi * r)
    solidity = blades * chord / (2.0 * np.pi * r)
    reynolds = density * np.pi * n * diameter * r * np.sqrt(1.0 + x * x) * chord * diameter / (2.0 * viscosity)
    log_reynolds = np.log(np.maximum(section.least_reynolds, reynolds) / section.reference_reynolds)
    tip, root = blades / 2.0 * (1.0 - r) / r, blades / 2.0 * (r - section.hub_loss_origin * hub) / r

    def flow(phi):
        sine, cosine = np.sin(phi), np.cos(phi)
        lift, drag = section.polar(beta - phi, log_reynolds, style)
        loss = np.arccos(np.exp(-np.clip(tip / sine, *LOSS_EXPONENTS))) * np.arccos(np.exp(-np.clip(root / sine, *LOSS_EXPONENTS)))
        loss = np.maximum(loss * (2.0 / np.pi) ** 2, LEAST_LOSS_FACTOR)
        normal, tangent = lift * cosine - drag * sine, lift * sine + drag * cosine
        k = solidity / (4.0 * loss)
        return sine * sine - k * normal - x * (sine * cosine + k * tangent), normal, tangent, k, sine, cosine

    low = np.full(np.broadcast_shapes(beta.shape, x.shape), 1e-4)
    high = np.full(low.shape, np.pi / 2.0 - 1e-3)
    below, above = flow(low)[0], flow(high)[0]
    for _ in range(BISECTIONS):
        middle = 0.5 * (low + high)
        f = flow(middle)[0]
        under = f < 0.0
        low, below = np.where(under, middle, low), np.where(under, f, below)
        high, above = np.where(under, high, middle), np.where(under, above, f)
    phi = low - below * (high - low) / (above - below)
    _, normal, tangent, k, sine, cosine = flow(phi)
    w = np.clip(1.0 / (cosine + k * tangent / sine), 0.0, GREATEST_VELOCITY_RATIO)
    element = np.pi**2 / 8.0 * r**2 * w**2 * blades * chord * dr
    return (element * normal).sum(-1), (np.pi * r * element * tangent).sum(-1)


def helical_tip_speed(n, diameter, airspeed):
    """Speed of a propeller tip through the air.

    Arguments:
        n [1/s]: revolutions per second, any shape
        diameter [m]: propeller diameter, any shape
        airspeed [m/s]: speed along the axis, any shape
    Returns:
        [m/s]: tip speed, broadcast shape
    Relation: sqrt((pi n D)^2 + V^2)
    Holds for: axial flow
    Breaks when: never
    Errs: low by the induced velocity at the tip, about 1 per cent
    Example:
        >>> round(float(helical_tip_speed(n=160.0, diameter=0.2286, airspeed=15.0)), 2)
        115.88
    Source: [glauert_airscrew] velocities at a blade element
    """
    return np.hypot(np.pi * np.asarray(n, float) * diameter, airspeed)


def speed_limit(rim_speed, diameter):
    """Highest allowed revolutions per second for a maker's "rev/min times inches" limit.

    Arguments:
        rim_speed [m/s]: the limit as rotational tip speed, pi n D, any shape
        diameter [m]: propeller diameter, any shape
    Returns:
        [1/s]: revolutions per second, broadcast shape
    Relation: n = rim_speed/(pi D); a limit of k rev/min in gives rim_speed = pi k (0.0254 m)/(60 s)
    Holds for: limits stated as a product of speed and diameter
    Breaks when: diameter <= 0 (returns inf)
    Errs: not at all; the limit itself is the maker's
    Example:
        >>> round(float(speed_limit(rim_speed=192.8, diameter=0.2286)), 1)
        268.5
    Source: [drive_trade] limits printed as rev/min times inches
    """
    with np.errstate(divide="ignore"):
        return np.asarray(rim_speed, float) / (np.pi * np.maximum(np.asarray(diameter, float), 0.0))


@dataclass(frozen=True)
class Bands:
    """1-sigma relative errors of CT and CP by (style, state, measured), and the limits of the range they were found in."""

    relative: dict                  # (style, state, measured) -> (CT, CP); style 'all' stands in for a style without its own
    n_limit: float
    micro_diameter: float
    least_diameter: float
    greatest_diameter: float
    least_pitch_ratio: float
    greatest_pitch_ratio: float
    blade_addition: float

    @classmethod
    def from_columns(cls, columns, limits):
        """Bands out of the columns of the table of bands and its named limits."""
        keys = zip(columns["style"], columns["state"], columns["measured"])
        return cls(dict(zip(keys, zip(columns["ct_rms"].tolist(), columns["cp_rms"].tolist()))), **limits)


@dataclass(frozen=True)
class Band:
    """1-sigma relative errors of CT and CP, and the words that say what lies outside the range they were found in."""

    ct: np.ndarray
    cp: np.ndarray
    reasons: tuple


def model_band(style, state, measured, blades, diameter, pitch, n, bands):
    """How far off a predicted CT and CP may be, one standard deviation.

    Arguments:
        style [choice]: name of the blade style
        state [choice]: "static" or "flight" (CT above 30 % of its static value)
        measured [choice]: "none", "power" or "thrust and power": what one static bench point has corrected
        blades [1]: number of blades, any shape
        diameter [m]: propeller diameter, any shape
        pitch [m]: nominal pitch, any shape
        n [1/s]: revolutions per second, any shape
        bands [object]: Bands
    Returns:
        ct [1]: relative standard error of CT, broadcast shape
        cp [1]: relative standard error of CP, broadcast shape
        reasons [text]: any of "extrapolated speed", "three blades", "four blades", "small", "large", "pitch outside the fit"
    Relation: table value; unmeasured propellers of more than two blades add blade_addition, those below micro_diameter take the micro row
    Holds for: the range the reasons do not speak of
    Breaks when: a reason is given: the number is then the nearest known one, not a measured one; four blades have no band of their own
    Errs: towards confidence above n_limit, where nothing was compared
    Example:
        >>> bands = Bands({("all", "static", "none"): (0.14, 0.15), ("micro", "static", "none"): (0.21, 0.30)}, 116.7, 0.15, 0.178, 0.292, 0.4, 0.9, 0.1)
        >>> band = model_band(style="folding", state="static", measured="none", blades=3, diameter=0.29, pitch=0.26, n=116.0, bands=bands)
        >>> round(float(band.ct), 2), round(float(band.cp), 2), band.reasons
        (0.24, 0.25, ('three blades',))
    Source: [twinkit_propeller_fit] leave-one-brand-out errors
    """
    micro_key, key = ("micro", state, measured), (style, state, measured)
    if key not in bands.relative:
        key = ("all", state, measured)
    if key not in bands.relative:
        raise ValueError(f"no band for state {state!r} and measured {measured!r}: allowed are {sorted({k[1:] for k in bands.relative})}")
    blades, diameter, pitch, n = np.broadcast_arrays(*(np.asarray(a, float) for a in (blades, diameter, pitch, n)))
    pitch_ratio = pitch / diameter
    said = (("extrapolated speed", n > bands.n_limit), ("three blades", (blades > 2) & (blades <= 3)), ("four blades", blades > 3),
            ("small", diameter < bands.least_diameter), ("large", diameter > bands.greatest_diameter),
            ("pitch outside the fit", (pitch_ratio < bands.least_pitch_ratio) | (pitch_ratio > bands.greatest_pitch_ratio)))
    small = diameter < bands.micro_diameter if micro_key in bands.relative else False
    more = np.where((blades > 2) & (measured == "none"), bands.blade_addition, 0.0)
    ct, cp = (np.where(small, bands.relative.get(micro_key, bands.relative[key])[i], bands.relative[key][i]) + more for i in (0, 1))
    return Band(ct, cp, tuple(word for word, true in said if np.any(true)))
