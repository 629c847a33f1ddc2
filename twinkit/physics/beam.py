"""Beam: shear, bending and torsion along a half wing, deflection, stress and reserve, bending tests.

Bending is positive when it lifts the tip, torsion when it turns the nose up. `eta` is the place over half the span.
The cross-sections themselves (tube, strip, sandwich, foam) are in twinkit.physics.section.
"""

from dataclasses import dataclass

import numpy as np

from twinkit import constants as const

SHAPES = ("elliptic", "uniform")


@dataclass(frozen=True)
class StationLoads:
    """Shear, bending and torsion at places along the half wing."""

    shear: np.ndarray
    bending: np.ndarray
    torsion: np.ndarray


def _floats(*values):
    return np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values))


def _positive(value):
    return np.where(value > 0.0, value, np.nan)


def _inside(eta):
    return np.where((eta >= 0.0) & (eta <= 1.0), eta, np.nan)


def lift_shear(eta, lift, shape):
    """Shear in the half wing from the lift outboard.

    Arguments:
        eta [1]: place over half the span, 0 to 1, any shape
        lift [N]: lift of the whole wing, load factor included, any shape
        shape [choice]: "elliptic" or "uniform" spread of the lift
    Returns:
        [N]: shear, broadcast shape
    Relation: elliptic (L/pi) (acos eta - eta s), s = sqrt(1 - eta^2); uniform (L/2) (1 - eta)
    Holds for: straight wings
    Breaks when: eta outside 0 to 1 (returns nan)
    Errs: elliptic is low at mid span for a rectangular wing, uniform is high throughout
    Example:
        >>> round(float(lift_shear(eta=0.2, lift=51.5, shape="elliptic")), 3)
        19.237
    Source: [spar_statics] lift integrated from the tip
    """
    eta, lift = _floats(eta, lift)
    eta = _inside(eta)
    if _known_shape(shape) == "uniform":
        return lift / 2.0 * (1.0 - eta)
    return lift / np.pi * (np.arccos(eta) - eta * np.sqrt(1.0 - eta**2))


def lift_bending(eta, span, lift, shape):
    """Bending in the half wing from the lift outboard.

    Arguments:
        eta [1]: place over half the span, 0 to 1, any shape
        span [m]: tip to tip, any shape
        lift [N]: lift of the whole wing, load factor included, any shape
        shape [choice]: "elliptic" or "uniform" spread of the lift
    Returns:
        [N m]: bending moment, broadcast shape
    Relation: elliptic (L b / 2 pi) (s - eta acos eta - s^3/3), L b / (3 pi) at the root; uniform (L b / 8) (1 - eta)^2
    Holds for: straight wings
    Breaks when: eta outside 0 to 1 (returns nan)
    Errs: the truth for a rectangular wing lies between the two, 7 per cent above elliptic at the root
    Example:
        >>> round(float(lift_bending(eta=0.0, span=1.1, lift=51.485, shape="elliptic")), 3)
        6.009
    Source: [spar_statics] shear integrated from the tip
    """
    eta, span, lift = _floats(eta, span, lift)
    eta = _inside(eta)
    if _known_shape(shape) == "uniform":
        return lift * span / 8.0 * (1.0 - eta) ** 2
    side = np.sqrt(1.0 - eta**2)
    return lift * span / (2.0 * np.pi) * (side - eta * np.arccos(eta) - side**3 / 3.0)


def inertia_shear(eta, spread_mass, nacelle_mass, nacelle_eta, load_factor):
    """Shear in the half wing from the weight it carries outboard, downward.

    Arguments:
        eta [1]: place over half the span, 0 to 1, any shape
        spread_mass [kg]: mass of both half wings, spread evenly along the span, any shape
        nacelle_mass [kg]: mass of one nacelle with what is in it, any shape
        nacelle_eta [1]: place of the nacelle over half the span, any shape
        load_factor [1]: how many times gravity, any shape
    Returns:
        [N]: shear, negative, broadcast shape
    Relation: -n g (m/2 (1 - eta) + mn [eta < eta_n])
    Holds for: one nacelle on each side
    Breaks when: eta outside 0 to 1 (returns nan)
    Errs: low in relief for a tapered wing, whose mass lies farther in
    Example:
        >>> along = inertia_shear(eta=[0.2, 0.399, 0.401], spread_mass=0.24, nacelle_mass=0.11, nacelle_eta=0.4, load_factor=5.0)
        >>> [round(float(shear), 2) for shear in along]
        [-10.1, -8.93, -3.52]
    Source: [spar_statics] weight integrated from the tip
    """
    eta, spread, nacelle, place, factor = _floats(eta, spread_mass, nacelle_mass, nacelle_eta, load_factor)
    eta = _inside(eta)
    return -factor * const.STANDARD_GRAVITY * (spread / 2.0 * (1.0 - eta) + nacelle * (eta < place))


def inertia_bending(eta, span, spread_mass, nacelle_mass, nacelle_eta, load_factor):
    """Bending in the half wing from the weight it carries outboard: relief in flight, load in a landing.

    Arguments:
        eta [1]: place over half the span, 0 to 1, any shape
        span [m]: tip to tip, any shape
        spread_mass [kg]: mass of both half wings, spread evenly along the span, any shape
        nacelle_mass [kg]: mass of one nacelle with what is in it, any shape
        nacelle_eta [1]: place of the nacelle over half the span, any shape
        load_factor [1]: how many times gravity; 10 is usual for a hard landing, any shape
    Returns:
        [N m]: bending moment, negative, broadcast shape
    Relation: -n g (b/2) (m/4 (1 - eta)^2 + mn max(eta_n - eta, 0))
    Holds for: one nacelle on each side
    Breaks when: eta outside 0 to 1 (returns nan)
    Errs: the landing factor is a habit of the trade, not a limit; nose-first arrivals exceed it
    Example:
        >>> round(float(inertia_bending(eta=0.0, span=1.1, spread_mass=0.24, nacelle_mass=0.11, nacelle_eta=0.4, load_factor=10.0)), 3)
        -5.609
    Source: [spar_statics] weight integrated from the tip; load factor common practice
    """
    eta, span, spread, nacelle, place, factor = _floats(eta, span, spread_mass, nacelle_mass, nacelle_eta, load_factor)
    eta = _inside(eta)
    arms = spread / 4.0 * (1.0 - eta) ** 2 + nacelle * np.maximum(place - eta, 0.0)
    return -factor * const.STANDARD_GRAVITY * span / 2.0 * arms


def station_loads(eta, span, lift, shape, chord, section_moment, dynamic_pressure, centre_ahead, spread_mass, nacelle_mass, nacelle_eta,
                  nacelle_ahead, load_factor):
    """Shear, bending and torsion at places along the half wing, weight relief counted.

    Arguments:
        eta [1]: place over half the span, 0 to 1, any shape
        span [m]: tip to tip, any shape
        lift [N]: lift of the whole wing, load factor included; 0 in a landing, any shape
        shape [choice]: "elliptic" or "uniform" spread of the lift
        chord [m]: mean chord, any shape
        section_moment [1]: moment coefficient of the section about its aerodynamic centre, negative for camber, any shape
        dynamic_pressure [Pa]: dynamic pressure, any shape
        centre_ahead [m]: aerodynamic centre ahead of the spar, any shape
        spread_mass [kg]: mass of both half wings, spread evenly, taken to balance on the spar; 0 if not weighed, any shape
        nacelle_mass [kg]: mass of one nacelle with what is in it, any shape
        nacelle_eta [1]: place of the nacelle over half the span, any shape
        nacelle_ahead [m]: nacelle's centre of gravity ahead of the spar, any shape
        load_factor [1]: how many times gravity the weights pull, any shape
    Returns:
        shear [N]: upward shear, broadcast shape
        bending [N m]: bending, tip-up positive
        torsion [N m]: torsion, nose-up positive
    Relation: sums of the lift and weight parts; T = q cm c^2 (b/2) (1 - eta) + V_lift x_ac - n mn g x_n inboard of the nacelle
    Holds for: a straight spar without sweep
    Breaks when: eta outside 0 to 1 (returns nan)
    Errs: torsion of a nacelle leaves out thrust and propeller torque
    Example:
        >>> root = station_loads(eta=0.0, span=1.1, lift=51.5, shape="elliptic", chord=0.2, section_moment=-0.06, dynamic_pressure=150.0,
        ...                      centre_ahead=0.01, spread_mass=0.24, nacelle_mass=0.11, nacelle_eta=0.4, nacelle_ahead=0.06, load_factor=5.0)
        >>> round(float(root.shear), 2), round(float(root.bending), 2), round(float(root.torsion), 3)
        (14.47, 3.21, -0.264)
    Source: [spar_statics] loads integrated from the tip
    """
    eta, span, lift, chord, moment, pressure, centre, spread, nacelle, place, ahead, factor = _floats(
        eta, span, lift, chord, section_moment, dynamic_pressure, centre_ahead, spread_mass, nacelle_mass, nacelle_eta,
        nacelle_ahead, load_factor)
    aero_shear = lift_shear(eta, lift, shape)
    torsion = pressure * moment * chord**2 * span / 2.0 * (1.0 - _inside(eta)) + aero_shear * centre - (
        factor * nacelle * const.STANDARD_GRAVITY * ahead * (eta < place))
    return StationLoads(
        shear=aero_shear + inertia_shear(eta, spread, nacelle, place, factor),
        bending=lift_bending(eta, span, lift, shape) + inertia_bending(eta, span, spread, nacelle, place, factor),
        torsion=torsion)


def tip_deflection(span, lift, bending_stiffness, shape):
    """Rise of the wing tip over the root for a spar of one stiffness.

    Arguments:
        span [m]: tip to tip, any shape
        lift [N]: lift of the whole wing, load factor included, any shape
        bending_stiffness [N m^2]: E I of the spar, any shape
        shape [choice]: "elliptic" or "uniform" spread of the lift
    Returns:
        [m]: deflection, broadcast shape
    Relation: L (b/2)^3 / (E I) times 1/16 (uniform) or (pi/16 - 2/45) / pi (elliptic)
    Holds for: slopes below 10 degrees, root held
    Breaks when: bending_stiffness <= 0 (returns nan)
    Errs: low for shear in a foam core and for a root that gives
    Example:
        >>> round(float(tip_deflection(span=1.1, lift=51.5, bending_stiffness=17.45, shape="elliptic")) * 1e3, 1)
        23.7
    Source: [spar_statics] bending integrated twice
    """
    span, lift, stiffness = _floats(span, lift, bending_stiffness)
    share = 1.0 / 16.0 if _known_shape(shape) == "uniform" else (np.pi / 16.0 - 2.0 / 45.0) / np.pi
    return share * lift * (span / 2.0) ** 3 / _positive(stiffness)


def deflection_curve(place, bending, bending_stiffness):
    """Deflection along a cantilever whose bending and stiffness vary.

    Arguments:
        place [m]: rising places from the root, the first at the root, shape (places,)
        bending [N m]: bending moment at the places, last axis over the places
        bending_stiffness [N m^2]: E I at the places, last axis over the places
    Returns:
        [m]: deflection at the places, last axis over the places
    Relation: curvature M / (E I) straight between the places, integrated twice exactly
    Holds for: slopes below 10 degrees, root held
    Breaks when: a stiffness <= 0 (nan from that place on)
    Errs: with the square of the spacing of the places
    Example:
        >>> curve = deflection_curve(place=[0.0, 0.2, 0.4], bending=[4.0, 1.0, 0.5], bending_stiffness=[20.0, 18.0, 15.0])
        >>> [round(float(v), 5) for v in curve]
        [0.0, 0.00304, 0.00911]
    Source: [spar_statics] bending integrated twice
    """
    place = np.asarray(place, dtype=float)
    moment, stiffness = _floats(bending, bending_stiffness)
    curvature = moment / _positive(stiffness)
    step = np.diff(place)
    first, last = curvature[..., :-1], curvature[..., 1:]
    zero = np.zeros(curvature.shape[:-1] + (1,))
    slope = np.concatenate((zero, np.cumsum(step * (first + last) / 2.0, axis=-1)), axis=-1)
    rise = slope[..., :-1] * step + step**2 * (2.0 * first + last) / 6.0
    return np.concatenate((zero, np.cumsum(rise, axis=-1)), axis=-1)


def reserve_factor(allowable, stress, ultimate_factor):
    """Strength over what is asked of it.

    Arguments:
        allowable [Pa]: stress the part may carry, joints and creases counted, any shape
        stress [Pa]: stress at the design load factor, either sign, any shape
        ultimate_factor [1]: factor over the design load, 1.5 usual, any shape
    Returns:
        [1]: reserve factor; below 1 it breaks, broadcast shape; infinite without stress
    Relation: R = allowable / (k |stress|)
    Holds for: one stress at one place
    Breaks when: ultimate_factor <= 0 (returns nan)
    Errs: as the allowable, which for paper and glue joints is a guess until tested
    Example:
        >>> round(float(reserve_factor(allowable=500.0e6, stress=174.9e6, ultimate_factor=1.5)), 3)
        1.906
    Source: [spar_statics] reserve factor; ultimate factor common practice
    """
    allowable, stress, factor = _floats(allowable, stress, ultimate_factor)
    with np.errstate(divide="ignore"):
        return allowable / (_positive(factor) * np.abs(stress))


def modulus_from_bending(load, deflection, supports, second_moment):
    """Modulus of a strip laid on two supports and loaded in the middle.

    Arguments:
        load [N]: load in the middle, any shape
        deflection [m]: how far the middle sinks under it, any shape
        supports [m]: distance between the supports, any shape
        second_moment [m^4]: second moment of area of the strip, any shape
    Returns:
        [Pa]: modulus along the strip, broadcast shape
    Relation: E = F l^3 / (48 I d)
    Holds for: strips at least 16 times longer between supports than thick
    Breaks when: deflection or second_moment <= 0 (returns nan)
    Errs: low for faced board, whose core shears: use a long strip and compare two lengths
    Example:
        >>> round(float(modulus_from_bending(load=1.0, deflection=0.004, supports=0.4, second_moment=5.2e-10)) / 1e9, 2)
        0.64
    Source: [spar_statics] beam on two supports
    """
    load, sink, length, moment = _floats(load, deflection, supports, second_moment)
    return load * length**3 / (48.0 * _positive(moment) * _positive(sink))


def strength_from_bending(load, supports, section_modulus):
    """Bending stress at which a strip on two supports, loaded in the middle, gives way.

    Arguments:
        load [N]: greatest load in the middle, any shape
        supports [m]: distance between the supports, any shape
        section_modulus [m^3]: section modulus of the strip, any shape
    Returns:
        [Pa]: bending stress, broadcast shape
    Relation: s = F l / (4 Z)
    Holds for: strips that break by bending, not by crushing under the load
    Breaks when: section_modulus <= 0 (returns nan)
    Errs: low when the load digs in: spread it
    Example:
        >>> round(float(strength_from_bending(load=60.0, supports=0.12, section_modulus=2.5e-8)) / 1e6, 1)
        72.0
    Source: [spar_statics] beam on two supports
    """
    load, length, modulus = _floats(load, supports, section_modulus)
    return load * length / (4.0 * _positive(modulus))


def _known_shape(shape):
    if shape not in SHAPES:
        raise ValueError(f"shape is {shape!r}; allowed are 'elliptic' and 'uniform'")
    return shape
