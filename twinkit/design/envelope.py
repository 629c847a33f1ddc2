"""Your wing among others: the limits over span and mass, and what each number would do if it came out otherwise. One vectorised walk for both."""

from dataclasses import dataclass

import numpy as np

from twinkit import constants as const
from twinkit import tables
from twinkit.design.base import Result
from twinkit.physics import beam, drag, landing, manoeuvre
from twinkit.physics import performance as flight

SPANS, MASSES = 27, 25           # of the carpet
REACH = 0.30                     # how far it reaches to both sides of yours
NUDGE = 0.10                     # of the sensitivities
# What can come out otherwise: name of the factor in the walk, how people call it.
NUDGED = (("mass", "mass"), ("span", "span"), ("chord", "chord"), ("cl_max", "greatest lift coefficient"), ("cd0", "drag without lift"),
          ("induced", "price of lift"), ("thrust", "thrust"))


@dataclass(frozen=True)
class Limit:
    """One limit over the carpet: room left to it (negative: broken), as a share of the limit."""

    name: str
    room: np.ndarray


@dataclass(frozen=True)
class Nudge:
    """What a tenth more of one number does, as shares of the value now; None where there is no value."""

    name: str
    shares: dict


@dataclass(frozen=True, kw_only=True)
class Envelope(Result):
    """SI. spans and masses of the carpet; limits over (mass, span); nudges: a tenth more of each number."""

    spans: np.ndarray
    masses: np.ndarray
    limits: tuple
    open: np.ndarray
    nudges: tuple


def envelope(g, start, geometry, wing, power):
    """The carpet and the sensitivities; limits that need the thrust are left out while page 01 cannot tell it."""
    g.use(start), g.use(geometry), g.use(wing, needed=False), g.use(power, needed=False)
    names = ("wing_loading", "climb_rate", "zero_thrust_speed", "launch_sink", "landing_share", "spar_reserve", "turn_bank")
    bound = {name: g(f"limits.{name}") for name in names}
    bound |= {"field": g("start.field_length"), "sheet": g("start.sheet_length"), "pieces": g("wing.pieces"), "throw": g("wing.throw_speed"),
              "approach": g("rudder.approach_factor"), "factor": g("wing.load_factor")}
    if not g.complete or not wing.known:
        for path in wing.missing:
            g.lack(path)
        return Envelope.unknown(g)
    walk = _Walk(start, geometry, wing, power, bound)
    spans = np.linspace(1.0 - REACH, 1.0 + REACH, SPANS) * geometry.span
    masses = np.linspace(1.0 - REACH, 1.0 + REACH, MASSES) * wing.mass
    found = walk(mass=masses[:, None] / wing.mass, span=spans[None, :] / geometry.span)
    limits = _limits(found, start, bound, masses[:, None], spans[None, :])
    allowed = np.all([limit.room >= 0.0 for limit in limits], axis=0)
    now = walk()
    nudges = []
    for key, name in NUDGED:
        after = walk(**{key: 1.0 + NUDGE})
        nudges.append(Nudge(name, {what: float(after[what] / now[what] - 1.0) if now[what] is not None and np.isfinite(now[what]) and now[what] != 0.0 else None
                                   for what in ("stall", "climb", "top", "landing", "spar", "loading")}))
    return Envelope(spans=spans, masses=masses, limits=limits, open=allowed, nudges=tuple(nudges), **g.marks())


def _limits(found, start, bound, masses, spans):
    """Room to every limit over the carpet."""
    shape = np.broadcast_shapes(masses.shape, spans.shape)
    known = max((k.loading for k in start.known_aeroplanes), default=0.0)
    most = max(known, bound["wing_loading"])
    under = lambda value, limit: np.broadcast_to(1.0 - value / limit, shape)  # noqa: E731
    over = lambda value, limit: np.broadcast_to(value / limit - 1.0, shape)  # noqa: E731
    rows = [("wing loading", under(found["loading"], most)), ("car", under(spans, start.longest_piece * bound["pieces"])),
            ("sheet", under(spans / 2.0, bound["sheet"])), ("field", under(found["landing"], bound["landing_share"] * bound["field"])),
            ("turn", over(np.arccos(np.minimum((found["stall"] / start.cruise_guess) ** 2, 1.0)), bound["turn_bank"]))]
    if found["spar"] is not None:
        rows.append(("spar", over(found["spar"], bound["spar_reserve"])))
    if found["climb"] is not None:
        rows.append(("climb", over(np.where(np.isfinite(found["climb"]), found["climb"], 0.0), bound["climb_rate"])))
        if found["zero"] is not None:
            rows.append(("pull ends", over(found["zero"], bound["zero_thrust_speed"])))
        if start.launch == "hand":
            rows.append(("throw", under(np.where(np.isfinite(found["sink"]), found["sink"], 9.0), bound["launch_sink"])))
    return tuple(Limit(name, np.asarray(room, dtype=float)) for name, room in rows)


class _Walk:
    """The numbers of a wing that is yours times some factors; arrays of factors broadcast."""

    def __init__(self, start, geometry, wing, power, bound):
        self.start, self.geometry, self.wing, self.power, self.bound = start, geometry, wing, power, bound
        self.assumed = tables.values("wing/assumptions")
        self.wing_cd0 = sum(p.cd0 for p in wing.drag_parts if p.name == "wing") * wing.cd0 / sum(p.cd0 for p in wing.drag_parts)

    def __call__(self, mass=1.0, span=1.0, chord=1.0, cl_max=1.0, cd0=1.0, induced=1.0, thrust=1.0):
        wing, geometry, start, bound = self.wing, self.geometry, self.start, self.bound
        grow = np.asarray(span) * chord
        kilos, area, width = wing.mass * np.asarray(mass), geometry.area * grow, geometry.span * np.asarray(span)
        kilos, area, width = np.broadcast_arrays(kilos, area, width)
        drag0 = cd0 * (self.wing_cd0 + (wing.cd0 - self.wing_cd0) / grow)      # fuselage and tail stay as they are
        factor = wing.induced_factor * induced * np.asarray(chord) / span
        lift = wing.cl_max * cl_max
        stall = flight.stall_speed(kilos, area, start.density, lift)
        approach, cl = bound["approach"] * stall, lift / bound["approach"] ** 2
        found = {"stall": stall, "loading": kilos / area, "landing": landing.landing_glide(self.assumed["fence_height"], approach, stall, cl / drag.drag_coefficient(cl, drag0, factor)),
                 "spar": None, "climb": None, "top": None, "zero": None, "sink": None}
        if wing.spar_reserve is not None:
            root = beam.lift_bending(0.0, width, bound["factor"] * kilos * const.STANDARD_GRAVITY, "uniform")
            found["spar"] = wing.spar_reserve * wing.bending_root / root
        if self.power.thrust is not None:
            self._powered(found, kilos, area, drag0, factor, thrust, stall)
        return found

    def _powered(self, found, kilos, area, drag0, factor, thrust, stall):
        """Climb, top speed, where the pull ends and the throw, on the thrust of page 01."""
        speeds = self.wing.speeds
        speeds = np.linspace(0.6 * speeds[0], speeds[-1], speeds.size)
        solved = np.isfinite(self.power.thrust)
        pull = thrust * np.interp(speeds, self.power.speeds[solved], self.power.thrust[solved])
        wide = lambda x: np.asarray(x)[..., None]  # noqa: E731
        drag0, factor = np.broadcast_to(drag0, kilos.shape), np.broadcast_to(factor, kilos.shape)
        shape = (wide(kilos), wide(area), self.start.density, wide(drag0), wide(factor))
        rates = flight.climb(pull, speeds, *shape).rate
        rates = np.where((speeds >= self.bound["approach"] * wide(stall)) & np.isfinite(rates), rates, -np.inf)
        best = rates.max(axis=-1)
        found["climb"] = np.where(np.isfinite(best), best, np.nan)
        level = flight.level_drag(speeds, *shape)
        found["top"] = flight.level_speeds(speeds, np.broadcast_to(pull, level.shape), level).fast
        if np.isfinite(self.power.zero_thrust_speed):
            found["zero"] = self.power.zero_thrust_speed / stall
        carries = self.assumed["release_margin"] * stall
        excess = thrust * np.interp(carries, self.power.speeds[solved], self.power.thrust[solved]) - flight.level_drag(carries, kilos, area, self.start.density, drag0, factor)
        throw = manoeuvre.hand_launch(throw_speed=self.bound["throw"], headwind=0.0, stall_speed=stall, lift_margin=self.assumed["release_margin"], mass=kilos, excess_thrust=excess)
        found["sink"] = throw.height_lost

