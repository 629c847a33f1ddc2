"""Balance in pitch: tail volumes, neutral point with its band, the wanted range of the CG."""

import numpy as np

from twinkit.physics import control_surfaces, stability
from twinkit.physics.wing import lift_slope_datcom

# What the band of the neutral point is made of, in the order of the columns below: value and band of the wing page's assumptions.
UNCERTAIN = ("section_slope", "tail_pressure", "wake", "wing_place", "body_viscous")


def pitch(g, geometry, weight, a, stall_cl, cruise_cl, section_moment):
    """Fields of Performance about pitch; a holds the assumed values of the wing page."""
    throw, share = g("wing.elevator_throw"), g("wing.elevator_share")
    least, most, first = g("limits.static_margin"), g("limits.static_margin_most"), g("limits.cg_first")
    values = np.array([a["section_slope_ratio"], a["tail_pressure_ratio"], a["wake_share"], a["wing_place"], a["body_viscous_share"]])
    bands = np.array([a[f"{name}_band"] for name in UNCERTAIN])
    cases = values + np.vstack([np.zeros_like(bands), np.diag(bands)])       # the nominal case, then one raised at a time
    parts = _parts(geometry, a, cases.T)
    found = stability.neutral_point(**parts)
    places = found.place - 2.0 * a["nacelle_shift"]
    place = float(places[0])
    spread = float(np.sqrt(np.sum((places[1:] - place) ** 2) + a["power_band"] ** 2))
    behind = lambda share_of_mac: geometry.mac_behind + share_of_mac * geometry.mac  # noqa: E731
    for_margin = lambda margin: float(stability.cg_for_margin(place, margin, geometry.mac, geometry.mac_behind))  # noqa: E731
    nominal = {name: float(value[0]) if np.ndim(value) else float(value) for name, value in parts.items()}
    held = _foremost(nominal, section_moment, stall_cl / a["elevator_speed_ratio"] ** 2, cruise_cl, throw, share)
    front = max(for_margin(most), behind(held))
    margin = margin_band = None
    if weight.cg_behind is not None:
        margin = place - (weight.cg_behind - geometry.mac_behind) / geometry.mac
        margin_band = float(np.hypot(spread, (weight.cg_spread or 0.0) / geometry.mac))
    return {
        "neutral_place": place, "neutral_band": spread, "neutral_behind": behind(place), "neutral_low": behind(place - spread),
        "neutral_high": behind(place + spread), "tail_shift": float(found.tail_shift[0]), "body_shift": float(found.body_shift[0]) + 2.0 * a["nacelle_shift"],
        "cg_front": front, "cg_rear": for_margin(least), "cg_first": min(max(behind(first), front), for_margin(least)), "elevator_front": behind(held),
        "static_margin": margin, "static_margin_band": margin_band,
        "tail_volume": float(stability.horizontal_tail_volume(geometry.tail_area, geometry.tail_arm, geometry.area, geometry.mac)),
        "fin_volume": float(stability.vertical_tail_volume(geometry.fin_area, geometry.fin_arm, geometry.area, geometry.span)),
        "fin_share": geometry.fin_area / geometry.area,
        "spiral": float(stability.spiral_parameter(geometry.fin_arm, geometry.dihedral, geometry.span, cruise_cl)),
    }


def _parts(geometry, a, values):
    """Arguments of the neutral point for the uncertain values, each an array over the cases."""
    kappa, pressure, wake, place, viscous = values
    fuselage = stability.body_pitch_slope(
        fineness=_fineness(geometry.fuselage_length, geometry.fuselage_width, geometry.fuselage_height),
        volume=a["body_fullness"] * geometry.fuselage_length * geometry.fuselage_width * geometry.fuselage_height,
        wing_area=geometry.area, mac=geometry.mac, viscous_share=viscous, upwash=a["body_upwash"])
    nacelles = stability.body_pitch_slope(
        fineness=_fineness(geometry.nacelle_length, geometry.nacelle_width, geometry.nacelle_width),
        volume=2.0 * a["body_fullness"] * geometry.nacelle_length * geometry.nacelle_width**2,
        wing_area=geometry.area, mac=geometry.mac, viscous_share=viscous, upwash=a["body_upwash"])
    return {
        "wing_centre": place, "wing_lift_slope": lift_slope_datcom(geometry.aspect_ratio, kappa, geometry.half_chord_sweep),
        "tail_lift_slope": lift_slope_datcom(geometry.tail_span / geometry.tail_chord, kappa, 0.0), "tail_area_ratio": geometry.tail_area / geometry.area,
        "tail_arm_ratio": geometry.tail_arm / geometry.mac, "tail_pressure_ratio": pressure,
        "downwash_gradient": stability.downwash_at_tail(geometry.aspect_ratio, wake), "body_slope": fuselage + nacelles,
    }


def trim_parts(geometry, a):
    """Arguments of the trim at the usual values."""
    return {name: float(value) for name, value in _parts(geometry, a, (a["section_slope_ratio"], a["tail_pressure_ratio"], a["wake_share"], a["wing_place"], a["body_viscous_share"])).items()}


def _fineness(length, width, height):
    """Length over the diameter of the circle with the same cross-section; a stubby box counts as a ball."""
    return np.maximum(length / np.sqrt(4.0 * width * height / np.pi), 1.0)


def _foremost(parts, section_moment, slow_cl, cruise_cl, throw, share):
    """CG in mean chords ahead of which full elevator, trimmed for cruise, no longer holds the slow lift coefficient."""
    turn = control_surfaces.surface_effectiveness(chord_share=share, gap_openness=0.0) * control_surfaces.effective_limit(travel=throw)
    cg = np.array([[0.0], [0.5]])      # trim is a straight line in the CG: two places give it exactly
    needed = stability.trim(cl=np.array([cruise_cl, slow_cl]), cg_place=cg, wing_moment=section_moment, wing_setting=0.0, thrust_moment=0.0, **parts).tail_incidence
    travel = needed[:, 0] - needed[:, 1]
    return float(cg[0, 0] + (turn - travel[0]) * (cg[1, 0] - cg[0, 0]) / (travel[1] - travel[0]))
