"""Sideways: the lateral derivatives from the shape, and what each part adds to them."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.physics import control_surfaces, derivatives
from twinkit.physics.wing import lift_slope_datcom

# What is uncertain of the derivatives, as names of the factors that derivatives_of takes; the last two share a band.
FACTORS = ("fin", "rudder", "body", "nacelles and propellers")
BODIES = ("fuselage", "nacelles", "propellers")
STUBBY = 1.01       # least length over diameter at which a body still counts as one


@dataclass(frozen=True)
class Derived:
    """One derivative by a control or a rate: symbol, value, half-width of its band, how it is estimated, key of the source."""

    part: str
    symbol: str
    value: float
    band: float
    method: str
    source: str


# Derivatives by controls and rates that the page tells: kind (row of engine_out/estimate_bands), symbol, field.
TOLD = (("rudder", "Cn by rudder", "cn_rudder"), ("rudder", "CY by rudder", "cy_rudder"), ("ailerons", "Cl by aileron", "cl_aileron"), ("aileron yaw", "Cn by aileron", "cn_aileron"),
        ("roll damping", "Cl by roll rate", "cl_p"), ("yaw damping", "Cn by yaw rate", "cn_r"), ("roll by yaw rate", "Cl by yaw rate", "cl_r"), ("yaw by roll rate", "Cn by roll rate", "cn_p"))


@dataclass(frozen=True)
class Shape:
    """What the lateral derivatives are made of: plain numbers, SI. Heights count above, arms behind the centre of gravity."""

    wing_area: float
    wing_span: float
    aspect_ratio: float
    taper: float
    sweep: float
    dihedral: float
    wing_height: float
    fin_height: float
    fin_chord: float
    fin_arm: float
    fin_root_above: float
    rudder_share: float
    gap: float
    aileron_share: float
    aileron_inner: float
    bodies: dict
    blade_side_area: float
    propeller_lead: float
    values: dict

    def with_fin(self, height, rudder_share):
        """The same shape with another fin and rudder; arrays allowed."""
        return replace(self, fin_height=np.asarray(height), rudder_share=np.asarray(rudder_share))


def shape_of(g, geometry, cg_behind, cg_below):
    """The shape as told by sections wing, rudder and power."""
    values = {**tables.values("engine_out/assumptions"), **tables.values("rudder/assumptions"), "fullness": tables.values("wing/assumptions")["body_fullness"]}
    half = geometry.fuselage_height / 2.0
    blades, known = 0.0, True
    for side in ("left", "right"):
        diameter, pitch, count = (g.maybe(f"power.{side}.{name}") for name in ("propeller_diameter", "propeller_pitch", "blades"))
        known = known and None not in (diameter, pitch, count)
        if known:
            blades += _side_area(diameter, pitch, count, values["blade_solidity"])
    return Shape(
        wing_area=geometry.area, wing_span=geometry.span, aspect_ratio=geometry.aspect_ratio, taper=max(2.0 * geometry.area / (geometry.span * geometry.chord) - 1.0, 0.0),
        sweep=geometry.half_chord_sweep, dihedral=geometry.dihedral, wing_height=float(np.clip(geometry.wing_above / half, -1.0, 1.0)),
        fin_height=geometry.fin_height, fin_chord=geometry.fin_chord, fin_arm=geometry.mac_behind + 0.25 * geometry.mac + geometry.fin_arm - cg_behind,
        fin_root_above=cg_below - geometry.wing_above + half, rudder_share=g("wing.rudder_share"), gap=1.0 if g("rudder.hinge") == "open" else 0.0,
        aileron_share=g("wing.aileron_share"), aileron_inner=1.0 - g("wing.aileron_span"),
        bodies={"fuselage": (geometry.fuselage_length, geometry.fuselage_width, geometry.fuselage_height, 1),
                "nacelles": (geometry.nacelle_length, geometry.nacelle_width, geometry.nacelle_width, 2)},
        blade_side_area=blades if known else 0.0, propeller_lead=cg_behind - geometry.propeller_behind, values=values)


def _side_area(diameter, pitch, blades, solidity):
    """Area of a propeller's blades as seen from the side: turned out of the disc by the pitch angle at three quarters of the radius."""
    turned = np.arctan2(pitch, 0.75 * np.pi * diameter)
    return float(solidity * blades / 2.0 * np.pi * diameter**2 / 4.0 * np.sin(turned))


def sideslip_parts(shape, fin=1.0, body=1.0, small=1.0):
    """What each part adds to the sideslip derivatives; the factors scale the estimates of fin, fuselage, and nacelles with propellers."""
    v, bands = shape.values, dict(zip(*(tables.read("engine_out/estimate_bands").columns[c] for c in ("part", "band"))))
    where = {"wing_area": shape.wing_area, "wing_span": shape.wing_span}
    area = shape.fin_height * shape.fin_chord
    sidewash = derivatives.fin_sidewash_factor(area_ratio=area / shape.wing_area, quarter_chord_sweep=shape.sweep, wing_height_ratio=-0.5 * shape.wing_height,
                                               aspect_ratio=shape.aspect_ratio)
    parts = {"fin": derivatives.fin_sideslip(lift_slope=fin * fin_slope(shape), sidewash_factor=sidewash, area=area, arm=shape.fin_arm, height=_fin_above(shape),
                                             band=bands["fin"], **where)}
    for name, key, factor in (("fuselage", "body", body), ("nacelles", "nacelles", small)):
        length, width, depth, count = shape.bodies[name]
        length = max(length, STUBBY * float(np.sqrt(4.0 * width * depth / np.pi)))
        parts[name] = _scaled(derivatives.body_sideslip(length=length, width=width, depth=depth, volume=v["fullness"] * length * width * depth, count=count,
                                                        interference=v["body_interference"], viscous_factor=v["body_viscous_factor"], band=bands[key], **where), factor)
    if shape.blade_side_area > 0.0:
        slope = lift_slope_datcom(v["propeller_aspect"], v["section_slope_ratio"], 0.0)
        parts["propellers"] = _scaled(derivatives.propeller_sideslip(lift_slope=slope, blade_side_area=shape.blade_side_area, inflow_pressure_ratio=v["propeller_inflow"],
                                                                     count=1, lead=shape.propeller_lead, band=bands["propellers"], **where), small)
    wing_slope = lift_slope_datcom(shape.aspect_ratio, v["section_slope_ratio"], shape.sweep)
    parts["dihedral"] = derivatives.dihedral_sideslip(wing_lift_slope=wing_slope, dihedral=shape.dihedral, taper_ratio=shape.taper, band=bands["dihedral"])
    parts["wing height"] = derivatives.wing_height_sideslip(wing_position=shape.wing_height, effect_at_edge=v["wing_height_effect"], band=bands["wing height"])
    return parts


def _scaled(part, factor):
    return replace(part, cy_beta=part.cy_beta * factor, cl_beta=part.cl_beta * factor, cn_beta=part.cn_beta * factor)


def fin_slope(shape):
    """Lift slope of the fin."""
    return derivatives.fin_lift_slope(height=shape.fin_height, area=shape.fin_height * shape.fin_chord, end_plate_factor=shape.values["end_plate_factor"],
                                      section_slope_ratio=shape.values["section_slope_ratio"], half_chord_sweep=0.0)


def fin_aspect(shape):
    """Aspect ratio of the fin, its end plates counted."""
    return shape.values["end_plate_factor"] * shape.fin_height / shape.fin_chord


def _fin_above(shape):
    """Height of the fin's centre of pressure above the centre of gravity."""
    return shape.fin_root_above + shape.values["fin_centre"] * shape.fin_height


def derivatives_of(shape, lift_coefficient, fin=1.0, rudder=1.0, body=1.0, small=1.0, parts=None):
    """Every lateral derivative of the shape.

    The factors scale the estimates of fin, rudder, fuselage, and nacelles with propellers; arrays of one shape allowed. parts: the sideslip_parts, where they are known. Without ailerons the roll is left
    out of the balance: a stand-in aileron that costs no yaw holds it.
    """
    v = shape.values
    parts = parts or sideslip_parts(shape, fin, body, small)
    total = derivatives.contribution_table(parts)[-1]
    by_rudder = control_surfaces.rudder_derivatives(
        lift_slope=fin * fin_slope(shape), effectiveness=rudder * control_surfaces.surface_effectiveness(chord_share=shape.rudder_share, gap_openness=shape.gap),
        pressure_ratio=v["fin_pressure_ratio"], area=shape.fin_height * shape.fin_chord, span_share=1.0, arm=shape.fin_arm, height=_fin_above(shape),
        wing_area=shape.wing_area, wing_span=shape.wing_span)
    slope = 2.0 * np.pi * v["section_slope_ratio"]
    cl_aileron, cn_aileron = 1.0, 0.0
    if shape.aileron_share > 0.0 and shape.aileron_inner < 1.0:
        by_aileron = control_surfaces.aileron_derivatives(
            section_lift_slope=slope, aspect_ratio=shape.aspect_ratio, effectiveness=control_surfaces.surface_effectiveness(chord_share=shape.aileron_share, gap_openness=0.0),
            inner_edge=shape.aileron_inner, outer_edge=1.0, taper_ratio=shape.taper, lift_coefficient=lift_coefficient, adverse_yaw_factor=v["adverse_yaw_factor"])
        cl_aileron, cn_aileron = by_aileron.cl_aileron, by_aileron.cn_aileron
    damping = derivatives.damping_derivatives(
        section_lift_slope=slope, aspect_ratio=shape.aspect_ratio, taper_ratio=shape.taper, lift_coefficient=lift_coefficient, fin_cy_beta=parts["fin"].cy_beta,
        fin_arm_ratio=shape.fin_arm / shape.wing_span, fin_height_ratio=_fin_above(shape) / shape.wing_span, wing_yaw_damping=v["wing_yaw_damping"])
    return derivatives.LateralDerivatives(
        cy_beta=total.cy_beta, cl_beta=total.cl_beta, cn_beta=total.cn_beta, cy_rudder=by_rudder.cy_rudder, cl_rudder=by_rudder.cl_rudder,
        cn_rudder=by_rudder.cn_rudder, cl_aileron=cl_aileron, cn_aileron=cn_aileron, cl_p=damping.cl_p, cn_p=damping.cn_p, cl_r=damping.cl_r, cn_r=damping.cn_r,
        cy_r=damping.cy_r, cy_p=damping.cy_p)


def derived(shape, d):
    """The derivatives d by controls and rates with their bands, those of a rudder or ailerons there are not left out."""
    table = tables.read("engine_out/estimate_bands")
    without = {*(("rudder",) if shape.rudder_share <= 0.0 else ()), *(("ailerons", "aileron yaw") if shape.aileron_share <= 0.0 or shape.aileron_inner >= 1.0 else ())}
    rows = [(table.row("part", part), symbol, float(getattr(d, field))) for part, symbol, field in TOLD if part not in without]
    return tuple(Derived(row["part"], symbol, value, abs(value) * row["band"], row["method"], row["source"]) for row, symbol, value in rows)
