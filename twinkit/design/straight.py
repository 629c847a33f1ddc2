"""Straight flight on one motor at the bank and speed the builder looks at, and why one motor is the worse one to lose."""

from dataclasses import dataclass

import numpy as np

from twinkit.constants import STANDARD_GRAVITY
from twinkit.design.base import Result
from twinkit.design.one_motor import OTHER, SIDES
from twinkit.physics import asymmetric_thrust, control_surfaces
from twinkit.physics.air import dynamic_pressure
from twinkit.physics.wing import lift_slope_datcom

HAND = {"normal": 1.0, "reverse": -1.0}     # clockwise seen from behind: the blade that goes down is on the right


@dataclass(frozen=True)
class Row:
    """One way of flying straight, SI; bank toward the live motor, sideslip from its side above zero. rudder is the real angle, None beyond what there is.

    enough: whether full rudder and aileron travel and the sideslip limit are kept.
    """

    name: str                # "level", "looked at", "no sideslip", "best", "rudder in the middle"
    bank: float
    sideslip: float
    rudder: float
    aileron: float
    drag: float              # of sideslip, rudder and ailerons
    climb: float
    enough: bool


@dataclass(frozen=True)
class Why:
    """What turns the nose with one side dead, N m, on the approach at full throttle: live motor, dead propeller, thrust centre moved by the angle of attack."""

    dead: str
    live_motor: float
    dead_propeller: float
    thrust_centre: float

    @property
    def total(self):
        return self.live_motor + self.dead_propeller + self.thrust_centre


@dataclass(frozen=True, kw_only=True)
class Straight(Result):
    """Rows at one speed on one thrust, the worse side dead; `rows` is empty without a rudder. And each side's turning moments."""

    speed: float
    thrust: float
    rows: tuple
    why: tuple
    counter_rotating: bool


def straight(g, out):
    """The rows for the speed, bank and throttle looked at."""
    g.use(out)
    bank, asked = g("rudder.look_bank"), g.maybe("rudder.look_speed")
    hands = {side: g(f"power.{side}.propeller_hand") for side in SIDES}
    if not g.complete:
        return Straight.unknown(g)
    speed = asked or out.approach
    thrust = float(np.interp(speed, out.speeds, out.live_look))
    return Straight(speed=speed, thrust=thrust, rows=_rows(out, speed, thrust, bank) if out.has_rudder else (), why=tuple(_why(out, dead, hands) for dead in SIDES),
                    counter_rotating=hands["left"] != hands["right"], **g.marks())


def _rows(out, speed, thrust, bank):
    case, k = out.situation, SIDES.index(out.worse)
    toward = 1.0 if out.worse == "left" else -1.0          # bank to the right is toward the live motor when the left one is dead
    flat, tilted = (case.trim(thrust, speed, out.worse, toward * angle) for angle in (0.0, 0.1))
    # every angle is a straight line in the sine of the bank
    none = lambda name: float(np.arcsin(np.clip(np.sin(0.1) * getattr(flat, name) / (getattr(flat, name) - getattr(tilted, name)), -1.0, 1.0)))  # noqa: E731
    rows = []
    for name, angle in (("level", 0.0), ("looked at", bank), ("no sideslip", none("sideslip")), ("best", case.bank_limit), ("rudder in the middle", none("rudder"))):
        if name == "looked at" and bank in (0.0, case.bank_limit):
            continue
        trim = case.trim(thrust, speed, out.worse, toward * angle)
        rudder = float(control_surfaces.deflection_for(abs(trim.rudder)))
        drag = float(case.sideways_drag(case.likely, thrust, speed, angle)[k, 0])
        enough = abs(trim.rudder) <= case.rudder_full + 1e-9 and abs(trim.aileron) <= case.aileron_limit + 1e-9 and abs(trim.sideslip) <= case.sideslip_limit + 1e-9
        rows.append(Row(name, angle, float(toward * trim.sideslip), rudder if np.isfinite(rudder) else None, float(abs(trim.aileron)), drag,
                        float(case.climb(thrust, speed, angle, case.likely)[k, 0]), bool(enough)))
    return tuple(rows)


def _why(out, dead, hands):
    """Turning moments of one side's loss. A propeller at an angle pulls off its middle: moment about side force times radius (Ribner)."""
    case, side, live = out.situation, getattr(out, dead), OTHER[dead]
    k, v, area = SIDES.index(dead), case.shape.values, case.shape.wing_area
    pressure = dynamic_pressure(case.density, out.approach)
    alpha = case.mass * STANDARD_GRAVITY / (pressure * area) / lift_slope_datcom(case.shape.aspect_ratio, v["section_slope_ratio"], case.shape.sweep)
    slope = lift_slope_datcom(v["propeller_aspect"], v["section_slope_ratio"], 0.0)
    force = pressure * v["propeller_inflow"] * slope * case.shape.blade_side_area / len(SIDES) * alpha
    outward = 1.0 if live == "right" else -1.0             # the thrust of a normal propeller moves to the right
    shifted = float(HAND[hands[live]] * outward * asymmetric_thrust.thrust_centre_moment(force, np.sqrt(case.disk[k, 0] / np.pi)))
    return Why(dead, side.full_moment, side.drag_moment, shifted)
