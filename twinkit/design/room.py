"""Room round the propellers, and the wheels: where they stand and whether the aeroplane noses over."""

from dataclasses import dataclass

import numpy as np

TRACK_SHARE = 0.22      # of the span, when no track is entered; common practice


STEP = 0.040            # how much farther out than yours the third place of the comparison lies [m]


@dataclass(frozen=True)
class NacellePlace:
    """A place of the nacelles: how far out, room to the fuselage, how much of the live motor's thrust the rudder holds against that of your place,
    and how much longer each lead to it is."""

    name: str
    out: float
    tip_fuselage: float
    held: float
    lead: float


def room(g, geometry, weight, entries, a):
    """Fields of Performance about clearances and wheels: to the fuselage, to the ground with the tail level, to the hand that launches, tip to tip."""
    diameters = [g.maybe(f"power.{side}.propeller_diameter") for side in ("left", "right")]
    track = g.maybe("wing.wheel_track")
    if track is None:
        g.assume("wing.wheel_track")
        track = TRACK_SHARE * geometry.span
    wheels = {"wheel_track": track, "wheel_angle": _wheel_angle(g, weight, entries)}
    if None in diameters:
        return {**wheels, **dict.fromkeys(("propeller_diameter", "tip_fuselage", "tip_ground", "tip_hand", "tip_tip", "nacelle_places"))}
    radius, wanted, slack = max(diameters) / 2.0, g("limits.tip_fuselage"), g("leads.slack")
    inner = geometry.nacelle_out - radius
    beside = geometry.nose_behind <= geometry.propeller_behind <= geometry.tail_end_behind
    knuckles = geometry.fuselage_width / 2.0 + a["hand_width"]
    body = geometry.fuselage_width / 2.0 if beside else 0.0
    nearest = max(body + wanted, 0.0 if beside else wanted / 2.0) + radius
    places = (("as near in as the propellers allow", nearest), ("yours", geometry.nacelle_out), ("farther out", geometry.nacelle_out + STEP))
    compared = tuple(NacellePlace(name, out, out - radius - body, geometry.nacelle_out / out, (out - geometry.nacelle_out) * (1.0 + slack)) for name, out in places)
    return {
        **wheels, "nacelle_places": compared, "propeller_diameter": 2.0 * radius, "tip_fuselage": inner - body,
        "tip_ground": entries["gear_height"] - geometry.propeller_below - radius, "tip_tip": 2.0 * geometry.nacelle_out - sum(diameters) / 2.0,
        "tip_hand": float(np.hypot(entries["grip_behind"] - geometry.propeller_behind, max(inner - knuckles, 0.0))),
    }


def _wheel_angle(g, weight, entries):
    """Angle from where the main wheels stand up to the CG, behind them positive; None while either is not known, or without wheels."""
    axle = g.maybe("wing.wheel_behind")
    if axle is None or weight.cg_behind is None or weight.cg_below is None or g("start.launch") == "hand":
        return None
    return float(np.arctan2(weight.cg_behind - axle, entries["gear_height"] - weight.cg_below))
