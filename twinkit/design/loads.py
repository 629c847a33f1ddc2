"""Shear, bending and torsion along the half wing: in the hardest pull-up, at the greatest speed and in a hard landing, weight relief counted and not; other spars side by side.

Weight relieves the bending but not the torsion: a nacelle ahead of the spar twists the nose down, and so does the camber, the more the faster it flies.
"""

from dataclasses import dataclass

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.strength import own_strip, spar_beam
from twinkit.physics import beam, section

PLACES = 81
INBOARD = 1e-9          # just inside a place: there the nacelle hangs on the spar with its whole twist
FLOWN = ("in the pull-up, nacelles not counted", "in the pull-up", "in a pull-up at the greatest speed", "straight at the greatest speed")      # rows of torsion in flight


@dataclass(frozen=True)
class Station:
    """Loads at one place at the design load factor, without relief: evenly spread and elliptic lift, shear and what it does to the board; the largest torsion in flight and the case it is from."""

    name: str
    out: float
    bending: float
    bending_elliptic: float
    bending_relieved: float
    shear: float
    torsion: float
    torsion_case: str
    core_shear: float


@dataclass(frozen=True)
class SparChoice:
    """A spar of another kind with the sizes of the record."""

    name: str
    reserve: float
    tip_rise: float
    yours: bool


@dataclass(frozen=True, kw_only=True)
class Loads(Result):
    """SI. eta: places over half the span. rows of bending: even, elliptic, even with relief, landing; of torsion: as FLOWN, then landing.

    twist: the largest torsion in flight with its sign, twist_case: the case it is from; twist_stress: what it does to a tube, twist_reserve: the splitting stress over it; None for another spar.
    """

    eta: np.ndarray
    out: np.ndarray
    bending: np.ndarray
    shear: np.ndarray
    torsion: np.ndarray
    carried: np.ndarray
    stations: tuple
    spars: tuple
    spread_mass: float
    relief_from: str
    greatest_speed: float
    twist: float
    twist_case: str
    twist_stress: float
    twist_reserve: float
    core_allowable: float


def loads(g, start, geometry, weight, wing):
    """The loads at the design load factor."""
    g.use(start), g.use(geometry), g.use(wing), g.use(weight, needed=False)
    factor, place, reach, board = g("wing.load_factor"), g("wing.spar_place"), g("wing.spar_reach"), g("wing.board_thickness")
    sheet = g("weight.sheet_mass")
    if not g.complete:
        return Loads.unknown(g)
    a, row = tables.values("wing/assumptions"), tables.read("sections/sections").row("section", geometry.section)
    spread = geometry.wing_board * sheet
    eta = np.unique(np.concatenate((np.linspace(0.0, 1.0, PLACES), [wing.nacelle_eta * (1.0 - INBOARD), wing.nacelle_eta, reach])))
    nacelle = wing.nacelle_mass or 0.0
    ahead = place * geometry.chord - (geometry.propeller_behind + geometry.nacelle_length / 4.0)
    speed = wing.stall_speed * np.sqrt(factor)      # where the wing can just carry so much
    fast = 0.5 * start.density * wing.greatest_speed**2
    told = {"span": geometry.span, "chord": geometry.area / geometry.span, "section_moment": row["moment"], "dynamic_pressure": 0.5 * start.density * speed**2,
            "centre_ahead": (place - a["wing_place"]) * geometry.mac, "nacelle_eta": min(wing.nacelle_eta, 1.0), "nacelle_ahead": ahead, "load_factor": factor}
    bare, relief = {"spread_mass": 0.0, "nacelle_mass": 0.0}, {"spread_mass": spread, "nacelle_mass": nacelle}
    even, elliptic = (beam.station_loads(eta, lift=wing.design_lift, shape=shape, **told, **bare) for shape in ("uniform", "elliptic"))
    relieved = beam.station_loads(eta, lift=wing.design_lift, shape="uniform", **told, **relief)
    pull_fast = beam.station_loads(eta, lift=wing.design_lift, shape="uniform", **(told | {"dynamic_pressure": fast}), **relief)
    level_fast = beam.station_loads(eta, lift=wing.design_lift / factor, shape="uniform", **(told | {"dynamic_pressure": fast, "load_factor": 1.0}), **relief)
    landing = beam.station_loads(eta, lift=0.0, shape="uniform", **(told | {"load_factor": wing.landing_factor, "dynamic_pressure": 0.0}), **relief)
    spar = wing.spar.allowable * wing.spar.section_modulus
    skins = wing.skin_allowable / wing.skin_stress * wing.bending_spar_end if wing.skin_stress else np.inf
    carried = np.where(eta <= reach + 1e-12, spar, min(skins, spar)) / g("limits.spar_reserve")
    strip = own_strip(g, board, a)
    spars = []
    for kind in ("tube", "strip", "board"):
        other = spar_beam(g, geometry, board, strip, a, kind)
        usable = np.isfinite(other.section_modulus) and reach > 0.0
        spars.append(SparChoice(other.name, float(beam.reserve_factor(other.allowable, wing.bending_root / other.section_modulus, 1.0)) if usable else None,
                                float(beam.tip_deflection(geometry.span, wing.design_lift, other.stiffness, "uniform")) if usable else None, kind == wing.spar.kind))
    depth = max(geometry.thickness * geometry.chord, board)
    torsion = np.stack([case.torsion for case in (even, relieved, pull_fast, level_fast, landing)])
    worst, k = np.unravel_index(np.argmax(np.abs(torsion[:len(FLOWN)])), (len(FLOWN), eta.size))
    twist = float(torsion[worst, k])
    stress = None if wing.spar.torsion_constant is None else abs(float(section.torsion_stress(twist, wing.spar.height / 2.0, wing.spar.torsion_constant)))
    stations = tuple(_station(name, at, eta, geometry, even, elliptic, relieved, torsion, depth) for name, at in (("root", 0.0), ("nacelle", wing.nacelle_eta), ("end of the spar", reach)))
    return Loads(eta=eta, out=eta * geometry.span / 2.0, bending=np.stack((even.bending, elliptic.bending, relieved.bending, landing.bending)),
                 shear=np.stack((even.shear, relieved.shear)), torsion=torsion, carried=carried, stations=stations,
                 spars=tuple(spars), spread_mass=spread, relief_from="the weighed sheet" if g("weight.sheet_weighed") else "a sheet nobody weighed",
                 greatest_speed=wing.greatest_speed, twist=twist, twist_case=FLOWN[worst], twist_stress=stress,
                 twist_reserve=None if stress is None else float(beam.reserve_factor(wing.torsion_allowable, stress, 1.0)), core_allowable=a["core_shear_allowable"], **g.marks())


def _station(name, at, eta, geometry, even, elliptic, relieved, torsion, depth):
    k, inside = (int(np.argmin(np.abs(eta - place))) for place in (at, max(at * (1.0 - INBOARD), 0.0)))
    worst = int(np.argmax(np.abs(torsion[:len(FLOWN), inside])))
    core = section.core_shear_stress(even.shear[k], geometry.chord, depth)
    return Station(name, float(eta[k] * geometry.span / 2.0), *(float(x[k]) for x in (even.bending, elliptic.bending, relieved.bending, even.shear)), float(torsion[worst, inside]), FLOWN[worst], float(core))
