"""How sure the findings of page 01 are: the same limits held against thousands of variants of the drives, and the heat of a full throttle held standing."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.constants import STANDARD_GRAVITY
from twinkit.design.base import Result
from twinkit.design.drive_variants import chances, varied
from twinkit.design.power import TwoSides, solve
from twinkit.design.power_heat import settled

SIDES = ("left", "right")
VARIANTS = 2000
STANDING_HEAT = "standing heat"


@dataclass(frozen=True)
class Held:
    """One limit over the variants: the check it belongs to (STANDING_HEAT is none: P14 is told for cruise and climb), words, the share of variants that keep it, and value and limit of the variants' middle and ends (SI)."""

    code: str
    words: str
    kind: str
    keeps: float
    low: float
    middle: float
    high: float
    limit: float
    at_least: bool


@dataclass(frozen=True, kw_only=True)
class Sure(Result):
    """The limits, hardest to keep first; count: the variants tried."""

    held: tuple
    count: int


@dataclass(frozen=True)
class Variants:
    """Variants of both drives at one lever position, arrays of one axis: running point with the windings settled, the temperature of each motor (nan: runaway), and
    for every known limit (words, kind, value, bound, whether more is better) by check, with windings as the bench reads them, as the findings are."""

    sides: TwoSides
    temperature: dict
    runaway: dict
    values: dict


def sure(g, air, power, carried):
    """The page's limits over seeded variants, each at the state its finding is told for, and the seconds a full throttle may be held standing."""
    g.use(air), g.use(power), g.use(carried)
    limits = {name: g(f"limits.{name}") for name in ("controller_margin", "c_share", "loaded_cell", "input_power", "kv_spread")} | {"seconds": g("weight.time_launch")}
    ratio = g("limits.thrust_hand" if carried.launch == "hand" else "limits.thrust_grass")
    masses = {side: g(f"power.{side}.motor_mass") for side in SIDES}
    if not g.complete:
        return Sure.unknown(g)
    found = variants(power, air.temperature, masses, limits | {"thrust": ratio}, carried.mass, VARIANTS)
    held = []
    for code, (words, kind, value, bound, at_least) in found.values.items():
        low, middle, high = (float(x) for x in np.nanpercentile(value, (5.0, 50.0, 95.0), method="nearest"))
        keeps = float(np.mean(value >= bound if at_least else value <= bound))
        held.append(Held(code, words, kind, keeps, low, middle, high, float(bound), at_least))
    return Sure(held=tuple(sorted(held, key=lambda h: h.keeps)), count=VARIANTS, **g.marks())


def variants(power, ambient, masses, limits, mass, count, throttle=1.0, speed=0.0):
    """Variants of the drives at a lever position, their heat, and every limit of the page that holds there."""
    chance = chances(power.left, power.right, power.shared, count)
    flying = min(speed / power.flight_speed, 1.0)
    made = tuple(replace(varied(power.side(s), chance[s], flying, limits["kv_spread"]), motor_mass=masses[s]) for s in SIDES)
    band = tables.values("motor/cooling")["cooling_band"]
    lever, gust = np.full(count, throttle), np.full(count, speed)
    two, warm = settled(made, power.shared, lever, gust, power.density, ambient, tuple(np.exp(band * chance[s]["cooling"]) for s in SIDES))
    full, fresh, half = (solve(*(replace(s, emf=getattr(s, name)) for s in made), power.shared, lever, lever, gust, power.density) for name in ("emf", "emf_full", "emf_half"))
    return Variants(two, {s: w.temperature for s, w in zip(SIDES, warm)}, {s: w.runaway for s, w in zip(SIDES, warm)}, _values(power, made, full, fresh, half, warm, limits, mass))


def _values(power, made, full, fresh, half, warm, limits, mass):
    """check -> (words, kind, value of the worse side, bound, whether more is better)."""
    found, ampere = {}, {s: getattr(fresh, s).motor_current for s in SIDES}
    ratings = {s: power.side(s).controller_current for s in SIDES}
    if power.one_controller:
        ampere = {"left": ampere["left"] + ampere["right"]}
    if all(ratings[s] for s in ampere):
        found["P01"] = ("controller rating over motor current", "number", np.min([ratings[s] / ampere[s] for s in ampere], axis=0), limits["controller_margin"], True)
    if all(power.side(s).motor_current_limit for s in SIDES):
        found["P02"] = ("motor current over its label's limit", "number", np.max([getattr(fresh, s).motor_current / power.side(s).motor_current_limit for s in SIDES], axis=0), 1.0, False)
    weight = mass * STANDARD_GRAVITY
    found["P04"] = ("thrust over weight", "number", full.thrust / weight, limits["thrust"], True)
    found["P05"] = ("input power for each kilogram", "power loading", full.input_power / mass, limits["input_power"], True)
    if all(p.label_current for p in power.packs):
        found["P07"] = ("share of the pack label's current", "share", np.max([c / p.label_current for c, p in zip(power.pack_currents(fresh), power.packs)], axis=0), limits["c_share"], False)
    cells = [(s.emf_half - s.supply_resistance * (half.pack_current if power.shared else getattr(half, s.side).pack_current)) / s.pack.cells for s in made]
    found["P11"] = ("volts of a cell, half full", "volts", np.min(cells, axis=0), limits["loaded_cell"], True)
    found[STANDING_HEAT] = ("seconds of full throttle, standing, until a winding is too hot", "seconds", np.min([w.time for w in warm], axis=0), limits["seconds"], True)
    return found
