"""Strength of the wing: bending at the design load factor, the spar tube, the skins beyond it, and a hard landing at the nacelles."""

import numpy as np

from twinkit import constants as const
from twinkit import tables
from twinkit.design.outlines import SPINNER_LENGTH, STEP_SHARE
from twinkit.physics import beam, section

MILLIMETRE, LARGEST_TUBE = 0.001, 0.040
LIFT_SPREAD = "uniform"   # the safe one of the two spreads of physics.beam; an elliptic one bends the root by 15 per cent less


def strength(g, geometry, mass, nacelle_mass, a):
    """Fields of Performance about strength; a holds the assumed values of the wing page."""
    outer, inner, reach, place, wanted = g("wing.spar_outer"), g("wing.spar_inner"), g("wing.spar_reach"), g("wing.spar_place"), g("limits.spar_reserve")
    factor, board = g("wing.load_factor"), g("wing.board_thickness")
    carbon = tables.read("materials/composites").row("material", "pultruded carbon tube")
    lift = factor * mass * const.STANDARD_GRAVITY
    nacelle_eta = min(2.0 * geometry.nacelle_out / geometry.span, 1.0)
    places = np.array([0.0, nacelle_eta, reach])
    bending = beam.lift_bending(places, geometry.span, lift, LIFT_SPREAD)
    tube = section.tube_section(outer, inner)
    stress = bending[0] / tube.section_modulus if reach > 0.0 else np.nan
    skin_stress, skin_allowable = _skins(geometry, board, float(bending[2]), a)
    skin_reserve = _or_none(beam.reserve_factor(skin_allowable, skin_stress, 1.0))
    past_nacelle = nacelle_eta + 2.0 * geometry.nacelle_width / geometry.span
    paper_holds = 1.0 if skin_reserve is None else 1.0 - (1.0 - reach) * min(skin_reserve / wanted, 1.0) ** 0.5      # bending falls with the square of the length left
    landing = {"landing_force": None, "landing_torsion_stress": None}
    if nacelle_mass is not None:
        force = a["landing_factor"] * const.STANDARD_GRAVITY * nacelle_mass
        arm = place * geometry.chord - (geometry.propeller_behind + SPINNER_LENGTH)
        landing = {"landing_force": force, "landing_torsion_stress": float(section.torsion_stress(force * abs(arm), outer / 2.0, tube.torsion_constant))}
    return {
        "design_lift": lift, "bending_root": float(bending[0]), "bending_elliptic": float(beam.lift_bending(0.0, geometry.span, lift, "elliptic")),
        "nacelle_eta": nacelle_eta, "bending_nacelle": float(bending[1]), "spar_end": reach * geometry.span / 2.0, "bending_spar_end": float(bending[2]),
        "spar_stress": _or_none(stress), "spar_reserve": _or_none(beam.reserve_factor(carbon["allowable"], stress, 1.0)),
        "spar_allowable": float(carbon["allowable"]), "skin_stress": skin_stress,
        "skin_reserve": skin_reserve, "skin_allowable": skin_allowable, "reach_needed": min(max(past_nacelle, paper_holds) if skin_reserve else past_nacelle, 1.0),
        "tube_needed": _tube_needed(outer, inner, carbon["allowable"], float(bending[0]), wanted),
        "tip_rise": _or_none(beam.tip_deflection(geometry.span, lift, carbon["modulus"] * tube.second_moment, LIFT_SPREAD)),
        "torsion_allowable": a["torsion_allowable"], "landing_factor": a["landing_factor"], **landing,
    }


def _tube_needed(outer, inner, allowable, bending, wanted):
    """The thinnest tube of this wall, in whole millimetres, that has the wanted reserve: outside and inside; None when 40 mm are not enough."""
    outers = np.arange(np.floor(outer / MILLIMETRE), LARGEST_TUBE / MILLIMETRE + 1) * MILLIMETRE
    inners = outers - max(outer - inner, MILLIMETRE)
    enough = np.flatnonzero(allowable * section.tube_section(outers, inners).section_modulus >= wanted * bending)
    return (float(outers[enough[0]]), float(inners[enough[0]])) if enough.size else None


def _or_none(value):
    """A number, or None where it does not exist (a tube without a wall, no load)."""
    return float(value) if np.isfinite(value) else None


def _skins(geometry, board, bending, a):
    """Compression in the paper where the tube ends, and what paper may carry."""
    sheet = tables.read("materials/sheets").row("sheet", "foam board 5 mm, to start with")
    paper = tables.read("materials/composites").row("material", "paper face, compression")
    foam = tables.read("materials/foams").row("direction", "across the sheet")
    face = sheet["face_thickness"]
    width, depth, faces = {
        "flat": (geometry.chord, board, face), "curved": (geometry.chord, board, face), "stepped": (STEP_SHARE * geometry.chord, 2.0 * board, face),
        "folded": (geometry.chord, max(a["hollow_depth"] * geometry.thickness * geometry.chord - board, board), 2.0 * face),
    }[geometry.section]
    strip = section.sandwich_strip(width=width, core_thickness=depth - 2.0 * faces, face_thickness=faces, face_modulus=paper["modulus"], core_modulus=foam["modulus"],
                                   face_density=paper["density"], core_density=foam["density"])
    stress = section.bending_stress(bending=bending, distance=strip.face_distance / 2.0, modulus=paper["modulus"], bending_stiffness=strip.bending_stiffness)
    return float(stress), float(paper["allowable"])
