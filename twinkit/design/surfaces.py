"""Control surfaces: throws in millimetres, holes of arm and horn, and what the air asks of the servo; wing and tail set apart for trim."""

from dataclasses import dataclass

import numpy as np

from twinkit import constants as const
from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.pitch import trim_parts
from twinkit.physics import hinge, stability

LEAST_HORN = 0.008      # holes nearer to the hinge than this cannot be drilled and play too much [m]


@dataclass(frozen=True)
class Surface:
    """A control surface, SI. horn: from hinge line to hole; torque: what the air asks of one servo at full throw; reserve: what the servo has over it."""

    name: str
    angle: float
    chord: float
    span: float
    travel: float
    horn: float
    hinge_moment: float
    torque: float
    reserve: float


@dataclass(frozen=True, kw_only=True)
class Surfaces(Result):
    """SI. speed: at which elevator and ailerons are asked, the fastest the propellers pull; the rudder is asked at the cruise. wing_setting, tail_setting: zero-lift lines against the fuselage so that it flies level at the cruise, CG as it is now;
    apart: wing's underside over tailplane. Trim is None while the CG is not known."""

    speed: float
    rows: tuple
    servo_torque: float
    servo_arm: float
    wing_setting: float
    tail_setting: float
    underside: float
    apart: float


def surfaces(g, start, geometry, weight, wing, throws):
    """Every surface that moves, each on a servo of its own (an elevator in one piece on one, each aileron on its own)."""
    g.use(start), g.use(geometry), g.use(wing), g.use(throws), g.use(weight, needed=False)
    torque, arm, swing, aileron_span = (g(f"wing.{n}") for n in ("servo_torque", "servo_arm", "servo_travel", "aileron_span"))
    down = g("wing.down_thrust")
    if not g.complete:
        return Surfaces.unknown(g)
    fast = wing.greatest_speed
    whole = {"elevator": geometry.tail_chord, "rudder": geometry.fin_chord, "ailerons": geometry.chord}
    spans = {"elevator": geometry.tail_span, "rudder": geometry.fin_height, "ailerons": aileron_span * geometry.span / 2.0}
    rows = []
    for t in throws.surfaces:
        speed = wing.cruise_speed if t.surface == "rudder" else fast      # a full rudder is held against a dead motor, never at the greatest speed
        moment = abs(float(hinge.hinge_moment(speed, start.density, spans[t.surface], t.chord, t.chord / whole[t.surface], t.angle, 0.0)))
        horn = arm * float(np.sin(swing) / np.sin(t.angle))
        asked = moment * arm / horn
        rows.append(Surface(t.surface, t.angle, t.chord, spans[t.surface], t.travel, horn, moment, asked, torque / asked if asked > 0.0 else None))
    return Surfaces(speed=fast, rows=tuple(rows), servo_torque=torque, servo_arm=arm, **_trim(g, geometry, weight, wing, down, start), **g.marks())


def _trim(g, geometry, weight, wing, down, start):
    """Settings of wing and tail for the cruise, thrust line counted."""
    if weight.cg_behind is None or weight.cg_below is None:
        return dict.fromkeys(("wing_setting", "tail_setting", "underside", "apart"))
    a, section = tables.values("wing/assumptions"), tables.read("sections/sections").row("section", geometry.section)
    pressure = 0.5 * start.density * wing.cruise_speed**2
    cl = wing.mass * const.STANDARD_GRAVITY / (pressure * geometry.area)
    parts = trim_parts(geometry, a)
    ahead = weight.cg_behind - geometry.propeller_behind
    arm = (geometry.propeller_below - weight.cg_below) * np.cos(down) - ahead * np.sin(down)      # a shaft below the CG lifts the nose, one that points down lowers it
    setting = cl / float(parts["wing_lift_slope"])      # the fuselage lies level at the cruise
    found = stability.trim(cl=cl, cg_place=(weight.cg_behind - geometry.mac_behind) / geometry.mac, wing_moment=section["moment"], wing_setting=setting,
                           thrust_moment=wing.cruise_drag * arm / (pressure * geometry.area * geometry.mac), **parts)
    underside = setting + section["zero_lift_angle"]
    return {"wing_setting": setting, "tail_setting": float(found.tail_incidence), "underside": float(underside), "apart": float(underside - found.tail_incidence)}
