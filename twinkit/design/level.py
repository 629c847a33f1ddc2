"""What holds up the heavy wing of an aeroplane that balances beside the middle."""

from dataclasses import dataclass

from twinkit.constants import STANDARD_GRAVITY
from twinkit.design.base import Result


@dataclass(frozen=True, kw_only=True)
class Level(Result):
    """SI. aileron: mean deflection of the ailerons that balances the CG off the middle in straight flight on the approach; None without ailerons. travel: theirs."""

    aileron: float
    travel: float


def level(g, geometry, weight, wing, rudder):
    """The aileron that trims the CG across, at approach speed; thrust and sideslip are left out."""
    for result in (geometry, weight, wing):
        g.use(result)
    g.use(rudder, needed=False)
    travel = g("rudder.aileron_throw")
    if not g.complete or weight.cg_out is None or rudder.derivatives is None:
        return Level.unknown(g)
    power = float(rudder.derivatives.cl_aileron)
    pressure = wing.mass * STANDARD_GRAVITY / (geometry.area * wing.cl_max) * (wing.approach_speed / wing.stall_speed) ** 2
    moment = weight.mass * STANDARD_GRAVITY * abs(weight.cg_out)
    held = moment / (pressure * geometry.area * geometry.span * abs(power)) if power and rudder.has_ailerons else None
    return Level(aileron=held, travel=travel, **g.marks())
