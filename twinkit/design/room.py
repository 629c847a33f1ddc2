"""Room round the propellers, and the wheels: where they stand and whether the aeroplane noses over."""

import numpy as np

TRACK_SHARE = 0.22      # of the span, when no track is entered; common practice


def room(g, geometry, weight, entries, a):
    """Fields of Performance about clearances and wheels: to the fuselage, to the ground with the tail level, to the hand that launches, tip to tip."""
    diameters = [g.maybe(f"power.{side}.propeller_diameter") for side in ("left", "right")]
    track = g.maybe("wing.wheel_track")
    if track is None:
        g.assume("wing.wheel_track")
        track = TRACK_SHARE * geometry.span
    wheels = {"wheel_track": track, "wheel_angle": _wheel_angle(g, weight, entries)}
    if None in diameters:
        return {**wheels, **dict.fromkeys(("propeller_diameter", "tip_fuselage", "tip_ground", "tip_hand", "tip_tip"))}
    radius = max(diameters) / 2.0
    inner = geometry.nacelle_out - radius
    beside = geometry.nose_behind <= geometry.propeller_behind <= geometry.tail_end_behind
    knuckles = geometry.fuselage_width / 2.0 + a["hand_width"]
    return {
        **wheels, "propeller_diameter": 2.0 * radius, "tip_fuselage": inner - (geometry.fuselage_width / 2.0 if beside else 0.0),
        "tip_ground": entries["gear_height"] - geometry.propeller_below - radius, "tip_tip": 2.0 * geometry.nacelle_out - sum(diameters) / 2.0,
        "tip_hand": float(np.hypot(entries["grip_behind"] - geometry.propeller_behind, max(inner - knuckles, 0.0))),
    }


def _wheel_angle(g, weight, entries):
    """Angle from where the main wheels stand up to the CG, behind them positive; None while either is not known, or without wheels."""
    axle = g.maybe("wing.wheel_behind")
    if axle is None or weight.cg_behind is None or weight.cg_below is None or g("start.launch") == "hand":
        return None
    return float(np.arctan2(weight.cg_behind - axle, entries["gear_height"] - weight.cg_below))
