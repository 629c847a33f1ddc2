"""One throttle held from full packs to the first limit: sag, the receiver's share, the side that gets there first, and how unlike the sides are then."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.flight import delivered
from twinkit.design.power import TwoSides, solve
from twinkit.physics import flown_profile as profile
from twinkit.physics import pack as packs

CHARGES = np.linspace(1.0, 0.05, 20)
POINTS = 61
SAME_TIME = 0.01         # sides that differ by less end together


@dataclass(frozen=True)
class Supply:
    """One pack, or joined packs, that empty by themselves (SI). current with the receiver's share and volts of a cell under it over CHARGES; charges, cell_volts over time.

    capacity: what it gives at its age and temperature [C], as on page 04. time: to the limit, with its band; limit: "charge" (the usable one is drawn) or "cut-off" (the controller's volts are met). charge: left then.
    """

    side: str
    feeds: bool
    capacity: float
    cells: int
    current: np.ndarray
    volts: np.ndarray
    time: float
    time_low: float
    time_high: float
    limit: str
    charge: float
    charges: np.ndarray
    cell_volts: np.ndarray


@dataclass(frozen=True, kw_only=True)
class Discharge(Result):
    """SI. first: the side whose pack reaches its limit first, "both" or "shared". end: full throttle, standing, at that moment; begin: the same on full packs.

    apart: thrust of the right over the left at the end, less one. rest: charge left in the fuller pack then.
    """

    throttle: float
    speed: float
    supplies: tuple
    first: str
    time: float
    end: TwoSides
    begin: TwoSides
    apart: float
    apart_fresh: float
    rest: float
    cut_off: float
    times: np.ndarray


def discharge(g, power, moments, wiring):
    """The cruise of the first guess, straight and level, held until a pack is at its end; only what gusts and small corrections draw comes on top (weight.manoeuvre).

    Launch, climb and turns are left out here: page 04 flies them, and its time is the shorter one.
    """
    g.use(power), g.use(moments), g.use(wiring, needed=False)
    usable, extra, shares = g("weight.usable"), g("weight.manoeuvre"), delivered(g)
    cut_off = max(g(f"wiring.{side}.cut_off") for side in ("left", "right"))
    if not g.complete:
        return Discharge.unknown(g)
    throttle, cruise, drain = moments.cruise_throttle, moments.named("cruise"), wiring.regulator_input_current or {}
    cell, sides = cell_volts(), (power.left, power.right)
    spread = {s: float(np.hypot(tables.values("weight/spreads")["capacity"], cruise.bands[s]["pack_current"] / getattr(cruise.sides, s).pack_current)) for s in ("left", "right")}
    rows = held(sides, power.shared, power.packs, throttle, cruise.sides.speed, power.density, extra, drain, shares)
    ends = [end_of(1.0 - usable, cut_off, *row[2:6]) for row in rows]
    time = min(end[0] for end in ends)
    times = np.linspace(0.0, max(end[0] for end in ends), POINTS)
    supplies = tuple(_supply(row, end, spread.get(row[0], max(spread.values())), cell, times) for row, end in zip(rows, ends))
    first = "shared" if power.shared else "both" if max(e[0] for e in ends) - time <= SAME_TIME * time else min(supplies, key=lambda s: s.time).side
    left = {s.side: float(profile.charge_after(1.0, time, CHARGES, s.current, s.capacity)) for s in supplies}
    level = {s: left.get(s, left.get("shared")) for s in ("left", "right")}
    tired = tuple(replace(s, emf=s.pack.cells * float(np.interp(-level[s.side], -CHARGES, cell))) for s in (power.left, power.right))
    end = solve(*tired, power.shared, 1.0, 1.0, 0.0, power.density)
    return Discharge(throttle=throttle, speed=cruise.sides.speed, supplies=supplies, first=first, time=time, end=end, begin=power.fresh, apart=_apart(end), apart_fresh=_apart(power.fresh),
                     rest=max(left.values()), cut_off=cut_off, times=times, **g.marks())


def cell_volts():
    """Resting volts of a cell over CHARGES."""
    curve = tables.read("pack/cell_voltage").columns
    return packs.open_circuit_voltage(CHARGES, curve["charge"], curve["ramadass2004"])


def held(sides, shared, batteries, throttle, speed, density, extra, drain, shares):
    """What empties by itself while a throttle is held: (side, feeds the receiver, charge it gives, cells, current over CHARGES, resistance).

    shares: side of a pack -> charge it gives at its age and temperature over that on its label.
    """
    tired = [replace(s, emf=s.pack.cells * cell_volts()) for s in sides]
    found = solve(*tired, shared, throttle, throttle, np.full(CHARGES.size, speed), density)
    draw = {s.side: (1.0 + extra) * getattr(found, s.side).pack_current for s in sides}
    if shared:
        load = sum(drain.values())
        return [("shared", load > 0.0, sum(p.capacity * shares[p.side] for p in batteries), batteries[0].cells, sum(draw.values()) + load, sides[0].supply_resistance)]
    return [(s.side, drain.get(s.side, 0.0) > 0.0, s.pack.capacity * shares[s.pack.side], s.pack.cells, draw[s.side] + drain.get(s.side, 0.0), s.supply_resistance) for s in sides]


def end_of(reserve, cut_off, capacity, cells, current, resistance):
    """Time to the limit, which it is, and the charge left then."""
    volts = cell_volts() - current * resistance / cells
    below = float(np.interp(-cut_off, -volts, CHARGES))
    charge, limit = (below, "cut-off") if below > reserve else (reserve, "charge")
    return float(profile.phase_time(1.0, charge, CHARGES, current, capacity)), limit, charge


def _supply(row, end, spread, cell, times):
    side, feeds, capacity, cells, current, resistance = row
    time, limit, charge = end
    volts = cell - current * resistance / cells
    charges = profile.charge_after(1.0, times, CHARGES, current, capacity)
    return Supply(side, feeds, capacity, int(cells), current, volts, time, time * (1.0 - spread), time * (1.0 + spread), limit, charge, charges, np.interp(-charges, -CHARGES, volts))


def _apart(two):
    left, right = float(two.left.thrust), float(two.right.thrust)
    return right / left - 1.0 if left > 0.0 else np.inf
