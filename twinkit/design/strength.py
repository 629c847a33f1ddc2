"""Strength of the wing: bending at the design load factor, the spar tube, the skins beyond it, and a hard landing at the nacelles."""

from dataclasses import dataclass

import numpy as np

from twinkit import constants as const
from twinkit import tables
from twinkit.design.geometry import spar_depth
from twinkit.design.outlines import SPINNER_LENGTH, STEP_SHARE
from twinkit.physics import beam, section

MILLIMETRE, LARGEST_TUBE = 0.001, 0.040
WOODS = {"pine": "ponderosa pine", "basswood": "basswood", "balsa": "balsa (Wood Handbook)"}
LIFT_SPREAD = "uniform"   # the safe one of the two spreads of physics.beam; an elliptic one bends the root by 15 per cent less


def strength(g, geometry, mass, nacelle_mass, a):
    """Fields of Performance about strength; a holds the assumed values of the wing page."""
    reach, place, wanted = g("wing.spar_reach"), g("wing.spar_place"), g("limits.spar_reserve")
    factor, board = g("wing.load_factor"), g("wing.board_thickness")
    strip = own_strip(g, board, a)
    spar = spar_beam(g, geometry, board, strip, a)
    lift = factor * mass * const.STANDARD_GRAVITY
    nacelle_eta = min(2.0 * geometry.nacelle_out / geometry.span, 1.0)
    places = np.array([0.0, nacelle_eta, reach])
    bending = beam.lift_bending(places, geometry.span, lift, LIFT_SPREAD)
    stress = bending[0] / spar.section_modulus if reach > 0.0 else np.nan
    skin_stress, skin_allowable = _skins(geometry, board, float(bending[2]), strip, a)
    skin_reserve = _or_none(beam.reserve_factor(skin_allowable, skin_stress, 1.0))
    past_nacelle = nacelle_eta + 2.0 * geometry.nacelle_width / geometry.span
    paper_holds = 1.0 if skin_reserve is None else 1.0 - (1.0 - reach) * min(skin_reserve / wanted, 1.0) ** 0.5      # bending falls with the square of the length left
    landing = {"landing_force": None, "landing_torsion_stress": None, "landing_bond": None, "bond_length": None}
    if nacelle_mass is not None:
        landing = _landing(geometry, place, nacelle_mass, spar, a)
    return {
        "design_lift": lift, "bending_root": float(bending[0]), "bending_elliptic": float(beam.lift_bending(0.0, geometry.span, lift, "elliptic")),
        "nacelle_eta": nacelle_eta, "bending_nacelle": float(bending[1]), "spar_end": reach * geometry.span / 2.0, "bending_spar_end": float(bending[2]),
        "spar": spar, "own_strip": strip,
        "spar_stress": _or_none(stress), "spar_reserve": _or_none(beam.reserve_factor(spar.allowable, stress, 1.0)),
        "spar_allowable": spar.allowable, "skin_stress": skin_stress,
        "skin_reserve": skin_reserve, "skin_allowable": skin_allowable, "reach_needed": min(max(past_nacelle, paper_holds) if skin_reserve else past_nacelle, 1.0),
        "tube_needed": _tube_needed(g("wing.spar_outer"), g("wing.spar_inner"), _carbon()["allowable"], float(bending[0]), wanted),
        "tip_rise": _or_none(beam.tip_deflection(geometry.span, lift, spar.stiffness, LIFT_SPREAD)),
        "torsion_allowable": a["torsion_allowable"], "landing_factor": a["landing_factor"], "bond_allowable": a["bond_allowable"], **landing,
    }


@dataclass(frozen=True)
class SparBeam:
    """A spar as a beam: what it is called, section modulus, bending stiffness, the stress it may see, its height; torsion constant of a tube, else None."""

    kind: str
    name: str
    section_modulus: float
    stiffness: float
    allowable: float
    height: float
    torsion_constant: float


@dataclass(frozen=True)
class OwnStrip:
    """The builder's own bending test of a strip of board: modulus of the faces, stress at which they creased, and what is trusted of it; None where not measured."""

    modulus: float
    crease: float
    allowable: float


def _carbon():
    return tables.read("materials/composites").row("material", "pultruded carbon tube")


def _faces():
    """Thickness of one paper face, and of the board it was told for."""
    sheet = tables.read("materials/sheets").row("sheet", "foam board 5 mm, to start with")
    return sheet["face_thickness"]


def spar_beam(g, geometry, board, strip, a, kind=None):
    """The spar of the record (or of another kind with the sizes of the record)."""
    kind = kind or g("wing.spar_kind")
    if kind == "strip":
        height, width = g("wing.strip_height"), g("wing.strip_width")
        wood = tables.read("materials/woods").row("wood", WOODS[g("wing.strip_wood")])
        made = section.strip_section(width, height)
        strengths = [wood[name] for name in ("bending_strength", "compression_strength") if np.isfinite(wood[name])]
        return SparBeam(kind, "wooden strip", float(made.section_modulus), float(wood["modulus"] * made.second_moment), float(a["wood_share"] * min(strengths)), height, None)
    if kind == "board":
        paper = tables.read("materials/composites").row("material", "paper face, compression")
        height = spar_depth(geometry.section, geometry.thickness, geometry.chord, board)
        made = section.strip_section(4.0 * _faces(), height)      # the four faces of two boards on edge; the foam between them carries next to nothing
        allowable = strip.allowable if strip and strip.allowable else float(paper["allowable"])
        return SparBeam(kind, "doubled board", float(made.section_modulus), float((strip.modulus if strip and strip.modulus else paper["modulus"]) * made.second_moment), allowable, height, None)
    outer, inner = g("wing.spar_outer"), g("wing.spar_inner")
    carbon, made = _carbon(), section.tube_section(outer, inner)
    return SparBeam("tube", "carbon tube", float(made.section_modulus), float(carbon["modulus"] * made.second_moment), float(carbon["allowable"]), outer, float(made.torsion_constant))


def own_strip(g, board, a):
    """The measured strip, or None while its width and its supports are not entered."""
    width, supports = g.maybe("wing.test_width"), g.maybe("wing.test_supports")
    load, sink, crease = (g.maybe(f"wing.test_{name}") for name in ("load", "sink", "break"))
    if None in (width, supports):
        return None
    face = _faces()
    core = max(board - 2.0 * face, face)
    stiff = width * face * (core + face) ** 2 / 2.0      # second moment of the two faces
    modulus = None if None in (load, sink) else float(beam.modulus_from_bending(load, sink, supports, stiff))
    stress = None if crease is None else float(beam.strength_from_bending(crease, supports, width * face * (core + face)))
    return OwnStrip(modulus, stress, None if stress is None else stress * a["strip_test_share"])


def _landing(geometry, place, nacelle_mass, spar, a):
    """A hard landing at the nacelles: what each pulls down with, what it twists the tube with, and the pull on the glue that holds it to the wing."""
    force = a["landing_factor"] * const.STANDARD_GRAVITY * nacelle_mass
    front = geometry.propeller_behind + SPINNER_LENGTH
    twist = force * abs(place * geometry.chord - front)
    begins, ends = max(front, 0.0), min(front + geometry.nacelle_length, geometry.chord)
    length = ends - begins
    bond = None
    if length > 0.0:
        arm = (begins + ends) / 2.0 - front
        bond = float(force / (length * geometry.nacelle_width) + 6.0 * force * abs(arm) / (geometry.nacelle_width * length**2))
    torsion = None if spar.torsion_constant is None else float(section.torsion_stress(twist, spar.height / 2.0, spar.torsion_constant))
    return {"landing_force": force, "landing_torsion_stress": torsion, "landing_bond": bond, "bond_length": max(length, 0.0)}


def _tube_needed(outer, inner, allowable, bending, wanted):
    """The thinnest tube of this wall, in whole millimetres, that has the wanted reserve: outside and inside; None when 40 mm are not enough."""
    outers = np.arange(np.floor(outer / MILLIMETRE), LARGEST_TUBE / MILLIMETRE + 1) * MILLIMETRE
    inners = outers - max(outer - inner, MILLIMETRE)
    enough = np.flatnonzero(allowable * section.tube_section(outers, inners).section_modulus >= wanted * bending)
    return (float(outers[enough[0]]), float(inners[enough[0]])) if enough.size else None


def _or_none(value):
    """A number, or None where it does not exist (a tube without a wall, no load)."""
    return float(value) if np.isfinite(value) else None


def _skins(geometry, board, bending, strip, a):
    """Compression in the paper where the tube ends, and what paper may carry."""
    sheet = tables.read("materials/sheets").row("sheet", "foam board 5 mm, to start with")
    paper = tables.read("materials/composites").row("material", "paper face, compression")
    foam = tables.read("materials/foams").row("direction", "across the sheet")
    face = sheet["face_thickness"]
    width, depth, faces = {
        "flat": (geometry.chord, board, face), "curved": (geometry.chord, board, face), "stepped": (STEP_SHARE * geometry.chord, 2.0 * board, face),
        "folded": (geometry.chord, max(a["hollow_depth"] * geometry.thickness * geometry.chord - board, board), 2.0 * face),
    }[geometry.section]
    layers = section.sandwich_strip(width=width, core_thickness=depth - 2.0 * faces, face_thickness=faces, face_modulus=paper["modulus"], core_modulus=foam["modulus"],
                                   face_density=paper["density"], core_density=foam["density"])
    stress = section.bending_stress(bending=bending, distance=layers.face_distance / 2.0, modulus=paper["modulus"], bending_stiffness=layers.bending_stiffness)
    return float(stress), strip.allowable if strip and strip.allowable else float(paper["allowable"])
