"""The budget of the mass: what each page adds, what is left of the target, and what a few grams more cost in the air."""

from dataclasses import dataclass, replace

from twinkit import tables
from twinkit.design.base import Ground, Result
from twinkit.design.weight import pack_items

MORE = 0.050             # what "a little more" is [kg]
PAGES = (("power", "motors", "motors"), ("power", "packs", "packs"), ("leads", "leads", "added wire"), ("weight", "parts", "other parts"),
         ("wing", "foam", "foam parts"), ("wing", "glue", "glue, tape, paint"), ("weight", "growth", "growth"))      # step, group of the list, words


@dataclass(frozen=True)
class Line:
    """What one page adds, SI: its step, words, mass with its spread, the sum so far, and what is then left of the target (negative: over it)."""

    step: str
    words: str
    mass: float
    spread: float
    so_far: float
    left: float


@dataclass(frozen=True, kw_only=True)
class Budget(Result):
    """lines: in the order in which the pages fill it. known: mass of the lines; scale: what the scale says, None before; grown: own growth over the list without it."""

    target: float
    aimed: bool              # whether the target was entered on page 04; else it is the first guess of page 00
    lines: tuple
    listed: float
    scale: float
    grown: float


@dataclass(frozen=True)
class Cost:
    """One number of the aeroplane now and with a little more mass, SI; None where it is not known. kind: a kind of units."""

    words: str
    kind: str
    now: float
    then: float


@dataclass(frozen=True, kw_only=True)
class Costs(Result):
    """What `more` kilograms at the CG cost."""

    more: float
    costs: tuple


def budget(g, geometry, leads, weight):
    """The list of page 04, page by page against the target of page 00; while the list is not whole, what is known of it."""
    g.use(geometry, needed=False), g.use(leads, needed=False), g.use(weight, needed=False)
    target, growth = g.first("weight.mass_target", "start.mass_guess"), g("weight.growth")
    if not g.complete:
        return Budget.unknown(g)
    whole = weight.groups is not None
    masses, spreads = (dict(weight.groups), dict(weight.spread_shares)) if whole else (_so_far(g, geometry, leads), {})
    if not whole:
        masses["growth"] = growth * sum(x for x in masses.values() if x is not None)
    so_far, lines = 0.0, []
    for step, group, words in PAGES:
        so_far += masses[group] or 0.0
        lines.append(Line(step, words, masses[group], spreads.get(group), so_far, target - so_far))
    bare = so_far - masses["growth"]
    scale = weight.mass if weight.mass_origin == "scale" else None
    return Budget(target=target, aimed=g.maybe("weight.mass_target") is not None, lines=tuple(lines), listed=so_far, scale=scale,
                  grown=scale / bare - 1.0 if scale is not None and whole else None, **g.marks())


def _so_far(g, geometry, leads):
    """Masses of the groups that are known before the list is whole; None for the others."""
    own = Ground(g.record)
    motors, packs = [own.maybe(f"power.{side}.motor_mass") for side in ("left", "right")], [i.mass for i in pack_items(own, tables.values("weight/spreads"))]
    parts = [row["mass"] * row["count"] for row in own.rows("weight.parts") if row["mass"] is not None]
    sheet, glue = own("weight.sheet_mass"), own("weight.glue_share")
    g.use(Result(leans=own.marks()["leans"]))
    foam = geometry.foam_area * sheet if geometry.known else None
    return {"motors": None if None in motors else sum(motors), "packs": None if None in packs else sum(packs), "leads": leads.lead_mass, "parts": sum(parts) if parts else None,
            "foam": foam, "glue": None if foam is None else foam * glue}


def heavier(weight, more=MORE):
    """The same aeroplane with more mass at its CG."""
    return replace(weight, **{name: getattr(weight, name) + more for name in ("mass", "mass_low", "mass_high")})


def costs(g, wing, then, rudder, rudder_then):
    """What more mass costs: wing and rudder now, and with it."""
    for result in (wing, rudder):
        g.use(result, needed=result is wing)
    if not g.complete:
        return Costs.unknown(g)
    worse = [out.bad.full.value if out.worse else None for out in (rudder, rudder_then)]
    rows = [Cost("stall speed", "speed", wing.stall_speed, then.stall_speed), Cost("approach speed", "speed", wing.approach_speed, then.approach_speed),
            Cost("best climb", "climb", wing.climb_rate, then.climb_rate), Cost("wing loading", "loading", wing.loading, then.loading),
            Cost("minimum control speed, full throttle", "speed", *worse)]
    return Costs(more=then.mass - wing.mass, costs=tuple(rows), **g.marks())
