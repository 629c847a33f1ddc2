"""Cross-sections of spars and skins: area, second moment, stiffness, stress, wrinkling."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Section:
    """A cross-section of one material."""

    area: np.ndarray
    second_moment: np.ndarray
    section_modulus: np.ndarray
    torsion_constant: np.ndarray


@dataclass(frozen=True)
class Sandwich:
    """Bending stiffness of a faced strip, its mass per area, and the distance between its faces' middles."""

    bending_stiffness: np.ndarray
    mass_per_area: np.ndarray
    face_distance: np.ndarray


def _floats(*values):
    return np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values))


def _positive(value):
    return np.where(value > 0.0, value, np.nan)


def tube_section(outer_diameter, inner_diameter):
    """Round tube or, with no bore, round rod.

    Arguments:
        outer_diameter [m]: outside diameter, any shape
        inner_diameter [m]: bore, 0 for a rod, any shape
    Returns:
        area [m^2]: area, broadcast shape
        second_moment [m^4]: second moment of area
        section_modulus [m^3]: second moment over the radius
        torsion_constant [m^4]: torsion constant
    Relation: I = pi (D^4 - d^4) / 64, Z = 2 I / D, J = 2 I
    Holds for: round tubes with walls thick enough not to crush
    Breaks when: the bore is not smaller than the outside (returns nan)
    Errs: high for thin pultruded tubes, which split or crush at the root fitting first
    Example:
        >>> round(float(tube_section(outer_diameter=0.008, inner_diameter=0.006).second_moment) * 1e12, 2)
        137.44
    Source: [spar_statics] round tube
    """
    outer, inner = _floats(outer_diameter, inner_diameter)
    outer = np.where((inner >= 0.0) & (inner < outer), outer, np.nan)
    moment = np.pi / 64.0 * (outer**4 - inner**4)
    return Section(area=np.pi / 4.0 * (outer**2 - inner**2), second_moment=moment, section_modulus=2.0 * moment / outer,
                   torsion_constant=2.0 * moment)


def strip_section(width, height):
    """Rectangular strip, bent over its height.

    Arguments:
        width [m]: width, any shape
        height [m]: height in the direction of the load, any shape
    Returns:
        area [m^2]: area, broadcast shape
        second_moment [m^4]: second moment of area
        section_modulus [m^3]: second moment over half the height
        torsion_constant [m^4]: torsion constant
    Relation: I = w h^3 / 12, Z = w h^2 / 6, J = l t^3 (1/3 - 0.21 (t/l) (1 - (t/l)^4 / 12)), t the shorter side
    Holds for: solid strips
    Breaks when: width or height <= 0 (returns nan)
    Errs: torsion constant within 0.5 per cent
    Example:
        >>> round(float(strip_section(width=0.005, height=0.010).section_modulus) * 1e9, 1)
        83.3
    Source: [spar_statics] rectangle; [roark] torsion of a rectangle
    """
    width, height = (_positive(value) for value in _floats(width, height))
    short, long = np.minimum(width, height), np.maximum(width, height)
    ratio = short / long
    return Section(area=width * height, second_moment=width * height**3 / 12.0, section_modulus=width * height**2 / 6.0,
                   torsion_constant=long * short**3 * (1.0 / 3.0 - 0.21 * ratio * (1.0 - ratio**4 / 12.0)))


def foam_section(chord, depth, camber):
    """Solid section of a wing, bent about its chordwise axis.

    Arguments:
        chord [m]: chord, any shape
        depth [m]: greatest thickness, any shape
        camber [m]: greatest rise of the mean line, any shape
    Returns:
        area [m^2]: area, broadcast shape
        second_moment [m^4]: second moment of area
        section_modulus [m^3]: second moment over half of thickness plus camber
        torsion_constant [m^4]: torsion constant of a thin lens
    Relation: A = 0.60 t c, I = 0.036 c t (t^2 + h^2), Z = 2 I / (t + h), J = 4 x 0.036 c t^3
    Holds for: thin solid sections, thickness below 0.2 chords
    Breaks when: chord or depth <= 0 or camber < 0 (returns nan)
    Errs: area 12 and second moment 9 per cent low for blunt-nosed sections
    Example:
        >>> round(float(foam_section(chord=0.2, depth=0.022, camber=0.006).second_moment) * 1e12, 0)
        82368.0
    Source: [mit_bending] area and bending inertia of aerofoil sections
    """
    chord, thickness, camber = _floats(chord, depth, camber)
    chord, thickness, camber = _positive(chord), _positive(thickness), np.where(camber >= 0.0, camber, np.nan)
    moment = 0.036 * chord * thickness * (thickness**2 + camber**2)
    return Section(area=0.60 * thickness * chord, second_moment=moment, section_modulus=2.0 * moment / (thickness + camber),
                   torsion_constant=4.0 * 0.036 * chord * thickness**3)


def sandwich_strip(width, core_thickness, face_thickness, face_modulus, core_modulus, face_density, core_density):
    """Strip of faced board bent over its thickness, both faces alike.

    Arguments:
        width [m]: width, any shape
        core_thickness [m]: core thickness, any shape
        face_thickness [m]: thickness of each face, any shape
        face_modulus [Pa]: modulus of the faces, any shape
        core_modulus [Pa]: modulus of the core, any shape
        face_density [kg/m^3]: density of the faces, any shape
        core_density [kg/m^3]: density of the core, any shape
    Returns:
        bending_stiffness [N m^2]: bending stiffness, broadcast shape
        mass_per_area [kg/m^2]: mass of each square metre of board
        face_distance [m]: distance between the middles of the faces
    Relation: D = w (Ef tf d^2 / 2 + Ef tf^3 / 6 + Ec tc^3 / 12), d = tc + tf
    Holds for: long strips, faces glued throughout
    Breaks when: width, core_thickness or face_thickness <= 0 (returns nan)
    Errs: high for short strips, whose core shears
    Example:
        >>> board = sandwich_strip(width=0.05, core_thickness=0.0046, face_thickness=0.00022, face_modulus=3.5e9, core_modulus=10.0e6,
        ...                        face_density=700.0, core_density=30.0)
        >>> round(float(board.bending_stiffness), 4), round(float(board.mass_per_area), 3)
        (0.4516, 0.446)
    Source: [allen_sandwich] flexural rigidity of a sandwich beam
    """
    width, core, face, face_e, core_e, face_rho, core_rho = _floats(
        width, core_thickness, face_thickness, face_modulus, core_modulus, face_density, core_density)
    width, core, face = _positive(width), _positive(core), _positive(face)
    distance = core + face
    stiffness = width * (face_e * face * distance**2 / 2.0 + face_e * face**3 / 6.0 + core_e * core**3 / 12.0)
    return Sandwich(bending_stiffness=stiffness, mass_per_area=2.0 * face * face_rho + core * core_rho, face_distance=distance)


def bending_stress(bending, distance, modulus, bending_stiffness):
    """Stress in one layer of a bent section of one material or several.

    Arguments:
        bending [N m]: bending moment, any shape
        distance [m]: distance of the layer from the neutral axis, any shape
        modulus [Pa]: modulus of that layer, any shape
        bending_stiffness [N m^2]: E I of the whole section, any shape
    Returns:
        [Pa]: stress, broadcast shape
    Relation: s = M y E / (sum E I)
    Holds for: layers bonded or bent alike, below yield
    Breaks when: bending_stiffness <= 0 (returns nan)
    Errs: nothing in the material's straight range
    Example:
        >>> round(float(bending_stress(bending=6.009, distance=0.004, modulus=127.0e9, bending_stiffness=17.455)) / 1e6, 1)
        174.9
    Source: [spar_statics] bending of a composite section
    """
    moment, distance, modulus, stiffness = _floats(bending, distance, modulus, bending_stiffness)
    return moment * distance * modulus / _positive(stiffness)


def core_shear_stress(shear, width, face_distance):
    """Shear stress in the core of a sandwich.

    Arguments:
        shear [N]: shear force, any shape
        width [m]: width of the strip, any shape
        face_distance [m]: distance between the middles of the faces, any shape
    Returns:
        [Pa]: shear stress, broadcast shape
    Relation: V / (w d)
    Holds for: thin stiff faces, soft core
    Breaks when: width or face_distance <= 0 (returns nan)
    Errs: nothing that matters
    Example:
        >>> round(float(core_shear_stress(shear=10.0, width=0.05, face_distance=0.00482)), 0)
        41494.0
    Source: [allen_sandwich] core shear
    """
    shear, width, distance = _floats(shear, width, face_distance)
    return shear / (_positive(width) * _positive(distance))


def wrinkling_stress(face_modulus, core_modulus, core_shear_modulus, coefficient=0.5):
    """Compression at which a thin face buckles in short waves into or away from its core.

    Arguments:
        face_modulus [Pa]: modulus of the face, any shape
        core_modulus [Pa]: modulus of the core across the board, any shape
        core_shear_modulus [Pa]: shear modulus of the core, any shape
        coefficient [1]: 0.5 for real faces, 0.91 for perfect ones, any shape
    Returns:
        [Pa]: wrinkling stress, broadcast shape
    Relation: s = k (Ef Ec Gc)^(1/3)
    Holds for: flat thin faces on a thick core
    Breaks when: a modulus < 0 (returns nan)
    Errs: high by a factor 2 to 3 for creased, scored or damp paper
    Example:
        >>> round(float(wrinkling_stress(face_modulus=3.5e9, core_modulus=10.0e6, core_shear_modulus=4.0e6, coefficient=0.5)) / 1e6, 1)
        26.0
    Source: [allen_sandwich] face wrinkling
    """
    face, core, shear, coefficient = _floats(face_modulus, core_modulus, core_shear_modulus, coefficient)
    product = np.where((face >= 0.0) & (core >= 0.0) & (shear >= 0.0), face * core * shear, np.nan)
    return coefficient * np.cbrt(product)


def torsion_stress(torsion, radius, torsion_constant):
    """Shear stress in a round tube or rod under torsion.

    Arguments:
        torsion [N m]: torsion, any shape
        radius [m]: distance from the middle, any shape
        torsion_constant [m^4]: torsion constant, any shape
    Returns:
        [Pa]: shear stress, broadcast shape
    Relation: T r / J
    Holds for: round sections only
    Breaks when: torsion_constant <= 0 (returns nan)
    Errs: pultruded carbon splits along its fibres at a small shear stress: keep it below 20 MPa
    Example:
        >>> round(float(torsion_stress(torsion=0.5, radius=0.004, torsion_constant=2.7489e-10)) / 1e6, 2)
        7.28
    Source: [spar_statics] torsion of a round bar
    """
    torsion, radius, constant = _floats(torsion, radius, torsion_constant)
    return torsion * radius / _positive(constant)
