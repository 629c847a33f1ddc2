"""How sure the findings of page 01 are: the same limits held against thousands of variants of the drives, and the heat of a full throttle held standing."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.constants import STANDARD_GRAVITY
from twinkit.design.base import Result
from twinkit.design.power import TwoSides
from twinkit.design.power_heat import settled
from twinkit.design.power_spread import SIDES, cell_volts, nine_in_ten, tried

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


def sure(g, air, power, carried, spread):
    """The page's limits over seeded variants, each at the state its finding is told for, and the seconds a full throttle may be held standing."""
    g.use(air), g.use(power), g.use(carried), g.use(spread)
    limits = {name: g(f"limits.{name}") for name in ("controller_margin", "c_share", "loaded_cell", "input_power")} | {"seconds": g("weight.time_launch")}
    ratio = g("limits.thrust_hand" if carried.launch == "hand" else "limits.thrust_grass")
    masses = {side: g(f"power.{side}.motor_mass") for side in SIDES}
    if not g.complete:
        return Sure.unknown(g)
    found = _held_against(power, spread.standing, air.temperature, masses, limits | {"thrust": ratio}, carried.mass)
    held = []
    for code, (words, kind, value, bound, at_least) in found.values.items():
        low, high = nine_in_ten(value)
        middle = float(np.nanpercentile(value, 50.0, method="nearest"))
        keeps = float(np.mean(value >= bound if at_least else value <= bound))
        held.append(Held(code, words, kind, keeps, low, middle, high, float(bound), at_least))
    return Sure(held=tuple(sorted(held, key=lambda h: h.keeps)), count=spread.standing.count, **g.marks())


def variants(power, ambient, masses, limits, mass, count, throttle=1.0, speed=0.0):
    """Variants of the drives at a lever position, their heat, and every limit of the page that holds there."""
    made = tried((power.left, power.right), power.shared, power.density, limits["kv_spread"], power.flight_speed, speed, count)
    return _held_against(power, made, ambient, masses, limits, mass, throttle)


def _held_against(power, spread, ambient, masses, limits, mass, throttle=1.0):
    made = tuple(replace(s, motor_mass=masses[s.side]) for s in spread.made)
    band = tables.values("motor/cooling")["cooling_band"]
    lever, gust = (np.full(spread.count, value) for value in (throttle, spread.speed))
    two, warm = settled(made, power.shared, lever, gust, power.density, ambient, tuple(np.exp(band * spread.chance[s]["cooling"]) for s in SIDES))
    full, fresh, half = (spread.full, spread.fresh, spread.half) if throttle == 1.0 else (spread.at(throttle, throttle, name) for name in ("emf", "emf_full", "emf_half"))
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
    cells = [cell_volts(s, half, power.shared) for s in made]
    found["P11"] = ("volts of a cell, half full", "volts", np.min(cells, axis=0), limits["loaded_cell"], True)
    found[STANDING_HEAT] = ("seconds of full throttle, standing, until a winding is too hot", "seconds", np.min([w.time for w in warm], axis=0), limits["seconds"], True)
    return found
