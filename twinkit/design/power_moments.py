"""The moments of a flight while the wing is not known: both sides in each, what is wanted of them, and how far off their numbers may be."""

from dataclasses import dataclass

import numpy as np

from twinkit import tables
from twinkit.constants import STANDARD_GRAVITY
from twinkit.design.base import Result
from twinkit.design.power import TwoSides
from twinkit.design.power_curves import with_errors

GRID_THROTTLES = 21      # throttles tried to find the cruise


@dataclass(frozen=True)
class Moment:
    """A moment: its name, both sides in it, the thrust wanted (None: none), and by side one standard deviation of its numbers (names as in Point), SI."""

    name: str
    sides: TwoSides
    wanted: float
    bands: dict


@dataclass(frozen=True, kw_only=True)
class Carried(Result):
    """What the thrust must carry [kg], where that is known from ("page 04" or "your first guess"), and how it leaves the ground."""

    mass: float
    origin: str
    launch: str


def carried(g, weight):
    """The mass of page 04, or the first guess while that is not known."""
    g.use(weight, needed=False)
    launch = g("start.launch")
    mass, origin = (weight.mass, "page 04") if weight.mass is not None else (g("start.mass_guess"), "your first guess")
    return Carried(mass=mass, origin=origin, launch=launch, **g.marks())


@dataclass(frozen=True, kw_only=True)
class Moments(Result):
    """The moments, SI; mass and mass_from are what is carried; cruise_throttle and cruise_thrust are first guesses until page 05."""

    moments: tuple
    mass: float
    mass_from: str
    cruise_throttle: float
    cruise_thrust: float

    def named(self, name):
        """The moment of that name."""
        return next(m for m in self.moments if m.name == name)


def moments(g, power, carried):
    """Six moments from the mass carried and the first guess of the cruise speed; the cruise speed of page 05 is not taken, because page 05 stands on this page."""
    cruise, launched, rate = g("start.cruise_guess"), carried.launch, g("limits.climb_rate")
    ratio = g("limits.thrust_hand" if launched == "hand" else "limits.thrust_grass")
    g.use(carried), g.use(power)
    if not g.complete:
        return Moments.unknown(g)
    assumed, weight = tables.values("power/assumptions"), carried.mass * STANDARD_GRAVITY
    level = weight / assumed["lift_over_drag"]
    throttles = np.linspace(0.0, 1.0, GRID_THROTTLES)
    held = float(np.interp(level, power.solve(throttles, throttles, cruise).thrust, throttles))
    climb, approach = (assumed[f"{name}_speed_share"] * cruise for name in ("climb", "approach"))
    low, climbing = assumed["approach_throttle"], level + weight * rate / climb
    cases = {"launch": (1.0, 1.0, 0.0, weight * ratio), "climb": (1.0, 1.0, climb, climbing), "cruise": (held, held, cruise, level),
             "approach": (low, low, approach, None), "left stopped": (0.0, 1.0, climb, level), "right stopped": (1.0, 0.0, climb, level)}
    points = with_errors(power, *(np.array(x) for x in list(zip(*cases.values()))[:3]))
    made = tuple(Moment(name, sides, case[3], bands) for (name, case), (sides, bands) in zip(cases.items(), points))
    return Moments(moments=made, mass=carried.mass, mass_from=carried.origin, cruise_throttle=held, cruise_thrust=level, **g.marks())
