"""What another section of the same foam would do, the polar of yours, and the lift along its span."""

import functools
from dataclasses import dataclass

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.outlines import STEP_SHARE
from twinkit.physics import air, drag, lifting_line
from twinkit.physics import performance as flight

LOW_REYNOLDS, HIGH_REYNOLDS = 6.0e4, 2.5e5      # between which the section table was collected, its ends stretched by a quarter
POLAR_TOP = 0.999


@dataclass(frozen=True)
class Choice:
    """A section on this wing: greatest lift with its band, the stall speed that follows, its Reynolds number there, drag and board."""

    section: str
    label: str
    thickness: float
    cl_max: float
    cl_low: float
    cl_high: float
    stall_speed: float
    reynolds: float
    wing_cd0: float
    board: float
    yours: bool


@dataclass(frozen=True, kw_only=True)
class Sections(Result):
    """SI. choices: one for each section. cl, cd: the polar; marks: (name, lift coefficient, drag coefficient, speed).
    eta: places over half the span; section_cl, section_cl_plain: lift of the sections at the stall, with and without your washout, over the greatest."""

    choices: tuple
    reynolds_stall: float
    cl: np.ndarray
    cd: np.ndarray
    marks: tuple
    eta: np.ndarray
    load: np.ndarray
    load_plain: np.ndarray
    first_stall: float
    span_efficiency: float


def sections(g, start, geometry, wing):
    """Sections side by side at your mass."""
    g.use(start), g.use(geometry), g.use(wing)
    if not g.complete:
        return Sections.unknown(g)
    a, rows = tables.values("wing/assumptions"), tables.read("sections/sections").rows()
    reynolds = lambda speed, length: float(air.reynolds_number(start.density, speed, length, start.viscosity))  # noqa: E731
    own = sum(p.cd0 for p in wing.drag_parts if p.name == "wing")
    board = {"flat": 1.0, "stepped": 1.0 + STEP_SHARE, "folded": 2.06, "curved": 1.0 + 8.0 / 3.0 * a["curved_camber"] ** 2}
    found = []
    for row in rows:
        yours = row["section"] == geometry.section
        lift = (wing.cl_max, wing.cl_max_low, wing.cl_max_high) if yours else (row["cl_max"], row["cl_max_low"], row["cl_max_high"])
        stall = float(flight.stall_speed(wing.mass, geometry.area, start.density, lift[0]))
        thick = geometry.thickness if yours else row["thickness"]
        kind = lambda name: a["stepped_interference" if name == "stepped" else "wing_interference"]  # noqa: E731
        form = lambda t: float(drag.form_factor_wing(t))  # noqa: E731
        cd0 = own * form(thick) * kind(row["section"]) / (form(geometry.thickness) * kind(geometry.section))
        found.append(Choice(row["section"], row["label"], float(thick), *map(float, lift), stall, reynolds(stall, geometry.mac), cd0,
                            geometry.wing_board if yours else board[row["section"]] * geometry.area, yours))
    cl = np.linspace(0.0, POLAR_TOP * wing.cl_max, 121)
    at = lambda speed: wing.cl_max * (wing.stall_speed / speed) ** 2  # noqa: E731
    speeds = (("stall", wing.stall_speed), ("least power", wing.min_power_speed), ("flattest glide", wing.glide_speed), ("cruise", wing.cruise_speed))
    marks = tuple((name, float(at(speed)), float(drag.drag_coefficient(at(speed), wing.cd0, wing.induced_factor)), speed) for name, speed in speeds)
    eta, load, plain, efficiency = _along(geometry.span, geometry.chord, geometry.tip_chord if geometry.setback else geometry.chord, geometry.taper_start, geometry.washout,
                                          2.0 * np.pi * a["section_slope_ratio"], wing.cl_max)
    return Sections(choices=tuple(found), reynolds_stall=reynolds(wing.stall_speed, geometry.mac), cl=cl, cd=drag.drag_coefficient(cl, wing.cd0, wing.induced_factor), marks=marks,
                    eta=eta, load=load, load_plain=plain, first_stall=float(eta[np.argmax(load)]), span_efficiency=efficiency, **g.marks())


@functools.lru_cache(maxsize=64)
def _along(span, chord, tip, joint, washout, slope, cl):
    """Section lift along the half span at the stall, over the wing's, from the middle out: with your washout and without."""
    found = []
    for twist in (washout, 0.0):
        wing = lifting_line.lifting_line(span=span, root_chord=chord, break_chord=chord, tip_chord=tip, break_fraction=joint, section_slope=slope, root_angle=0.1,
                                         break_washout=twist * joint, tip_washout=twist, terms=40)
        found.append((wing.basic_cl + cl * wing.unit_cl) / cl)
        if twist == washout and len(found) == 1:
            angle = wing.zero_lift_angle + cl / wing.lift_slope
            at_stall = lifting_line.lifting_line(span=span, root_chord=chord, break_chord=chord, tip_chord=tip, break_fraction=joint, section_slope=slope, root_angle=angle,
                                                 break_washout=twist * joint, tip_washout=twist, terms=40)
            efficiency = float(at_stall.span_efficiency)
    order = np.argsort(wing.eta)
    return wing.eta[order], found[0][order], found[1][order], efficiency
