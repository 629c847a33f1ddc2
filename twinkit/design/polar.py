"""Drag: the coefficient without lift part by part, the polar, the glide, and the landing that follows from it."""

from dataclasses import dataclass

import numpy as np

from twinkit.physics import air, drag, landing
from twinkit.physics import performance as flight

WETTED = 2.04      # both faces of a thin section over its area


@dataclass(frozen=True)
class DragPart:
    """What a part adds to the drag coefficient without lift; reynolds and wetted_area are None for what is no smooth surface."""

    name: str
    wetted_area: float
    reynolds: float
    cd0: float


def drag_polar(g, start, geometry, mass, cl_max, approach_factor, oswald, a):
    """Drag without lift, part by part or as entered; glide; the landing distance from the fence."""
    own = g.maybe("wing.cd0")
    launch = g("start.launch")
    reynolds = lambda length: float(air.reynolds_number(start.density, start.cruise_guess, length, start.viscosity))  # noqa: E731
    board = g("wing.board_thickness")
    body = lambda length, width, height: (  # noqa: E731
        a["box_edges"] * float(drag.form_factor_body(length / np.sqrt(4.0 * width * height / np.pi))), 2.0 * (width + height) * length)
    fuselage, nacelle = body(geometry.fuselage_length, geometry.fuselage_width, geometry.fuselage_height), body(
        geometry.nacelle_length, geometry.nacelle_width, geometry.nacelle_width)
    rows = (  # name, length of its Reynolds number, form factor, interference, wetted area
        ("wing", geometry.mac, float(drag.form_factor_wing(geometry.thickness)), a["stepped_interference" if geometry.section == "stepped" else "wing_interference"],
         WETTED * (geometry.area - geometry.chord * geometry.fuselage_width)),
        ("fuselage", geometry.fuselage_length, fuselage[0], 1.0, fuselage[1]),
        ("nacelles", geometry.nacelle_length, nacelle[0], a["nacelle_interference"], 2.0 * nacelle[1] * a["nacelle_exposed"]),
        ("tailplane", geometry.tail_chord, float(drag.form_factor_wing(board / geometry.tail_chord)), a["tail_interference"], WETTED * geometry.tail_area),
        ("fin", geometry.fin_chord, float(drag.form_factor_wing(board / geometry.fin_chord)), a["tail_interference"], WETTED * geometry.fin_area),
    )
    names, lengths, forms, interferences, wetted = zip(*rows)
    numbers = np.array([reynolds(length) for length in lengths])
    misc = a["fitting_drag_area"] + (0.0 if launch == "hand" else a["wheel_drag_area"])
    built = drag.drag_build_up(friction=drag.friction_turbulent(numbers), form_factor=np.array(forms), interference=np.array(interferences),
                               wetted_area=np.array(wetted), wing_area=geometry.area, misc_drag_area=misc, gap_share=a["gap_share"])
    parts = tuple(DragPart(name, area, number, float(cd0)) for name, area, number, cd0 in zip(names, wetted, numbers, built.part_cd0))
    parts += (DragPart("fittings" if launch == "hand" else "wheels and fittings", None, None, float(built.misc_cd0)), DragPart("gaps and leaks", None, None, float(built.gap_cd0)))
    if own is None:
        g.assume("wing.cd0")
    cd0, band = (float(built.cd0), a["cd0_band"]) if own is None else (own, a["cd0_own_band"])
    factor = float(drag.induced_factor(geometry.aspect_ratio, oswald))
    shape = {"mass": mass, "area": geometry.area, "density": start.density, "cd0": cd0, "induced_factor": factor}
    slowest = float(flight.min_power_speed(**shape))
    approach_cl = cl_max / approach_factor**2
    stall = float(flight.stall_speed(mass, geometry.area, start.density, cl_max))
    distance = landing.landing_glide(a["fence_height"], approach_factor * stall, stall, approach_cl / float(drag.drag_coefficient(approach_cl, cd0, factor)))
    return {
        "reynolds": reynolds(geometry.mac), "drag_parts": parts, "cd0": cd0, "cd0_low": cd0 * (1 - band), "cd0_high": cd0 * (1 + band), "induced_factor": factor,
        "glide_ratio": float(flight.max_glide_ratio(cd0, factor)), "glide_speed": float(flight.best_glide_speed(**shape)), "min_power_speed": slowest,
        "min_power": float(slowest * flight.level_drag(slowest, **shape)), "landing_distance": float(distance), "fence_height": a["fence_height"],
    }
