"""The same flight on another day: colder, with older or bigger packs, and drawn many times within what nobody knows exactly."""

from dataclasses import dataclass

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.drive_variants import chances, factors
from twinkit.design.flight import delivered, drag_spread
from twinkit.design.flight_loads import AS_ENTERED, CHARGES, Flights, loads, profile_of
from twinkit.physics import flown_profile as flown
from twinkit.physics import pack as packs

DRAWN = 400              # flights drawn for a page
SEED = 7                 # the same draw for the same build: a page does not flicker
SIZES = np.linspace(0.5, 2.5, 17)      # pack sizes looked at, over the packs as entered
COLDEST = 263.15         # the packs' own entry goes no lower [K]


@dataclass(frozen=True)
class Case:
    """One flight of the comparison: its words, the time of each pack's first limit, which of them is first, land-by, the lowest cell volts in launch and climb."""

    words: str
    times: dict
    limits: dict
    first: str
    land_by: float
    climb_volts: float
    end_volts: float
    mass: float


@dataclass(frozen=True, kw_only=True)
class Compared(Result):
    """cases: as entered, then the others. Over `sizes` (capacity of one pack): land_by, mass and stall speed with packs of that size, each at its own mass.

    size: the capacity as entered, bigger: that of the bigger packs over it. temperature: that of the packs on the colder day.
    """

    cases: tuple
    sizes: np.ndarray
    land_by: np.ndarray
    mass: np.ndarray
    stall: np.ndarray
    size: float
    bigger: float
    temperature: float


@dataclass(frozen=True, kw_only=True)
class Drawn(Result):
    """Flights drawn within the spreads, errors that both sides share drawn together. Quantiles of the land-by time, and how often each side is first (shares)."""

    count: int
    earliest: float
    middle: float
    latest: float
    first: dict
    land_by: np.ndarray
    logged: bool


def compared(g, weight, power, wing, wiring, flight):
    """Flights on a colder day, with older packs, with both, and with packs of other sizes that weigh more: one array with the flight as entered."""
    for result in (weight, power, wing, wiring, flight):
        g.use(result)
    profile, shares, temperature, s = profile_of(g), delivered(g), g("power.pack_temperature"), tables.values("weight/spreads")
    if not g.complete or not flight.holds or weight.pack_mass is None:
        return Compared.unknown(g)
    sides = [p.side for p in power.packs]
    ages = {side: g(f"power.{side}.pack_age") for side in sides}
    cold = max(temperature - s["colder"], COLDEST)
    named = (("as entered", 1.0, temperature, 0.0), ("a colder day", 1.0, cold, 0.0), ("older packs", 1.0, temperature, s["older"]),
             ("older packs on a colder day", 1.0, cold, s["older"]), ("bigger packs", 1.0 + s["bigger"], temperature, 0.0))
    rows = [row[1:] for row in named] + [(size, temperature, 0.0) for size in SIZES]
    size, warmth, older = np.array(rows).T
    heavier = 1.0 + (size - 1.0) * weight.pack_mass / weight.mass
    colder = _temperature(warmth) / _temperature(temperature)
    supply = {side: colder * (1.0 + older / age) / size for side, age in ages.items()}
    charge = {side: size * _delivered(ages[side] + older, warmth) / shares[side] for side in sides}
    common = np.mean(list(supply.values()), axis=0)       # of what feeds both sides
    drives = [AS_ENTERED | {"supply": common if power.shared else supply[side]} for side in ("left", "right")]
    ends = _ends(power, wing, wiring, shares, profile, flight, Flights(*drives, charge, mass=heavier))
    cases = tuple(_case(words, k, ends, heavier[k] * weight.mass) for k, (words, *_) in enumerate(named))
    rest = slice(len(named), None)
    label = power.packs[0].capacity
    return Compared(cases=cases, sizes=label * SIZES, land_by=ends["land_by"][rest], mass=weight.mass * heavier[rest], stall=wing.stall_speed * np.sqrt(heavier[rest]),
                    size=label, bigger=1.0 + s["bigger"], temperature=cold, **g.marks())


def _temperature(kelvin):
    usual = tables.values("pack/defaults")
    return packs.temperature_factor(kelvin, usual["temperature_activation"], usual["temperature_reference"], usual["temperature_factor_low"], usual["temperature_factor_high"])


def _delivered(age, kelvin):
    usual = tables.values("pack/defaults")
    return packs.delivered_share(age, kelvin, usual["share_at_retirement"], usual["cold_loss"], usual["warm"])


def _ends(power, wing, wiring, shares, profile, flight, flights):
    """First limits of every flight: times and limits for each pack, land-by, the side that is first, the lowest cell volts in launch and climb, volts at the end."""
    found, _ = loads(power, wing, wiring.regulator_input_current, shares, profile, flights, before=flight.packs)
    known = {p.side: p for p in flight.packs}
    out = {"times": {}, "limits": {}, "climb_volts": [], "end_volts": []}
    after = {}
    for load in found:
        own = known[load.side]
        rest = (profile.durations, CHARGES, own.correction * load.current)
        drawn = flown.time_to_charge(1.0 - profile.usable, *rest, load.capacity)
        cut = flown.time_to_volts(load.cells * own.cut_off, *rest, load.volts, load.capacity)
        out["times"][load.side], out["limits"][load.side] = np.minimum(drawn, cut), np.where(cut < drawn, "cut-off", "charge")
        climbing = [flown.charge_in_flight(t, *rest, load.capacity) for t in profile.begins[1:3]]
        out["climb_volts"].append(np.min([_at(left, load.volts[:, k]) for k, left in enumerate(climbing)], axis=0) / load.cells)
        after[load.side] = (rest, load)
    out["land_by"] = np.min(list(out["times"].values()), axis=0)
    for rest, load in after.values():
        out["end_volts"].append(_at(flown.charge_in_flight(out["land_by"], *rest, load.capacity), load.full_volts) / load.cells)
    out["climb_volts"], out["end_volts"] = np.min(out["climb_volts"], axis=0), np.min(out["end_volts"], axis=0)
    return out


def _at(left, volts):
    """Volts of each flight at its charge."""
    return np.array([np.interp(-c, -CHARGES, v) for c, v in zip(np.broadcast_to(left, len(volts)), volts)])


def _case(words, k, ends, mass):
    times = {side: float(np.broadcast_to(t, ends["land_by"].shape)[k]) for side, t in ends["times"].items()}
    limits = {side: str(np.broadcast_to(x, ends["land_by"].shape)[k]) for side, x in ends["limits"].items()}
    first = min(times, key=times.get)
    return Case(words, times, limits, first, times[first], float(ends["climb_volts"][k]), float(ends["end_volts"][k]), mass)


# --- drawn flights --------------------------------------------------------------------------------------------------------------


def drawn(g, weight, power, wing, wiring, flight, count=DRAWN):
    """Flights drawn within the spreads. Once every pack has logged flights, only what differs from flight to flight is left to draw."""
    for result in (weight, power, wing, wiring, flight):
        g.use(result)
    profile, shares, unit = profile_of(g), delivered(g), g("limits.kv_spread")
    if not g.complete or not flight.holds:
        return Drawn.unknown(g)
    ends = _ends(power, wing, wiring, shares, profile, flight, draw(weight, power, wing, flight, unit, count))
    land_by, firsts = ends["land_by"], {}
    if len(ends["times"]) == 2:
        left_first = float(np.mean(ends["times"]["left"] < ends["times"]["right"]))
        firsts = {"left": left_first, "right": 1.0 - left_first}
    low, middle, high = (float(x) for x in np.quantile(land_by, (0.1, 0.5, 0.9)))
    return Drawn(count=count, earliest=low, middle=middle, latest=high, first=firsts, land_by=land_by, logged=_logged(flight), **g.marks())


def _logged(flight):
    return all(p.flights for p in flight.packs)


def draw(weight, power, wing, flight, unit, count):
    """Factors of flights: both drives err as page 01 has them, in flight (unit as there); drag, mass and gusts are common; charges of packs are each their own."""
    s = tables.values("weight/spreads")
    random = np.random.default_rng(SEED)
    normal = lambda: random.standard_normal(count)  # noqa: E731
    capacity = {p.side: np.clip(1.0 + s["capacity"] * normal(), 0.5, 1.5) for p in power.packs}
    if _logged(flight):
        flown_spread = s["log"] / np.sqrt(min(p.flights for p in flight.packs))
        return Flights(capacity={side: c * np.exp(flown_spread * normal()) for side, c in capacity.items()})
    chance = chances(power.left, power.right, power.shared, count)
    sides = [factors(side, chance[side.side], 1.0, unit) for side in (power.left, power.right)]
    mass = (weight.mass_high - weight.mass_low) / (2.0 * weight.mass)
    return Flights(*sides, capacity, drag=np.exp(drag_spread(wing) * normal()), mass=np.exp(mass * normal()), extra=np.exp(s["profile"] * normal()))
