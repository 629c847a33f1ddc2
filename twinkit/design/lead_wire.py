"""Wire: what one of a gauge resists, weighs and carries, from the table or from a metre of the builder's own."""

import functools
from dataclasses import dataclass, replace

import numpy as np

from twinkit import constants, tables
from twinkit.physics import wire

OWN = ("pack", "motor")   # leads of which a metre of the builder's own wire may stand in for the table
TABLE_GAUGES = range(10, 28, 2)   # shown in the wire table
WEIGHED_SPREAD = 0.03     # 1-sigma of a weighed metre: half a gram on the kitchen scale. Common practice


@dataclass(frozen=True)
class Wire:
    """One wire of a gauge in silicone: copper area, outside and bundle diameter, resistance and mass per metre, current it may carry (SI)."""

    gauge: int
    area: float
    outer: float
    bundle: float
    resistance: float
    mass: float
    allowed: float
    burst: float
    measured: bool = False
    weighed: bool = False
    mass_spread: float = 0.0


@functools.cache
def stock_wire(gauge, temperature):
    """A wire of this gauge; between and beyond the rows of the table its wall is taken from the nearest."""
    table, default = tables.read("wire/gauges").columns, tables.values("wire/defaults")
    area = float(wire.gauge_area(gauge))
    bundle = default["bundle_ratio"] * float(wire.gauge_diameter(gauge))
    known = np.isfinite(table["outer_diameter"])
    walls = (table["outer_diameter"][known] - default["bundle_ratio"] * table["diameter"][known]) / 2
    outer = bundle + 2 * float(np.interp(gauge, table["gauge"][known], walls))
    amps = wire.ampacity(np.clip(area, table["area"].min(), table["area"].max()), table["area"], table["chassis_current"])
    return Wire(int(gauge), area, outer, bundle, float(wire.resistance_per_metre(area, temperature, default["lay_factor"])),
                float(wire.silicone_wire_mass(area, outer, default["lay_factor"], default["bundle_ratio"])), float(amps.continuous), float(amps.burst),
                mass_spread=default["wire_mass_spread"])


def own_wire(g, kind, temperature):
    """The wire of a lead: the table's, with a metre of the builder's own in its place where one was measured at room temperature or weighed.

    A wire that resists more than its gauge promises is allowed less current, at equal heat; one that resists less is allowed no more.
    """
    made, cold = (stock_wire(g(f"leads.{kind}_gauge"), at) for at in (temperature, constants.COPPER_REFERENCE_TEMPERATURE))
    resistance, mass = (g.maybe(f"leads.{kind}_wire_{name}") if kind in OWN else None for name in ("resistance", "mass"))
    if resistance is not None:
        share = min(1.0, (cold.resistance / resistance) ** 0.5)
        made = replace(made, resistance=resistance * made.resistance / cold.resistance, allowed=share * made.allowed, burst=share * made.burst, measured=True)
    if mass is not None:
        sure = g.record.get(f"leads.{kind}_wire_mass").origin in ("weighed", "measured")
        made = replace(made, mass=mass, weighed=True, mass_spread=WEIGHED_SPREAD if sure else made.mass_spread)
    return made


@dataclass(frozen=True)
class WireRow:
    """One row of the wire table: a wire at 20 degC and as warm as entered, and which leads are made of it (own: of a metre of the builder's own)."""

    cold: Wire
    warm: Wire
    used: tuple
    own: bool = False


def wire_rows(leads):
    """The table's gauges by steps of two, those of the leads, and a row of their own for wires of which a metre was measured or weighed."""
    wires = {kind: getattr(leads.bought, kind).wire for kind in ("pack", "motor", "signal")}
    own = {kind: one for kind, one in wires.items() if one.measured or one.weighed}
    gauges = sorted({*TABLE_GAUGES, *(one.gauge for one in wires.values())})
    rows = [WireRow(stock_wire(gauge, constants.COPPER_REFERENCE_TEMPERATURE), stock_wire(gauge, leads.wire_temperature),
                    tuple(kind for kind, one in wires.items() if one.gauge == gauge and kind not in own)) for gauge in gauges]
    for kind, one in own.items():
        made, cold = (stock_wire(one.gauge, at) for at in (leads.wire_temperature, constants.COPPER_REFERENCE_TEMPERATURE))
        rows.append(WireRow(replace(one, resistance=one.resistance * cold.resistance / made.resistance), one, (kind,), True))
    return tuple(rows)


def metric_gauges():
    """Wire sold by its cross-section: area [m^2] and the gauge number it comes nearest to."""
    return tuple((float(area), round(float(wire.area_gauge(area)))) for area in tables.read("wire/metric_sizes").columns["area"])


def joint_costs(current):
    """Joints and contacts of the trade: name, where found, and low and high resistance, drop [V] and heat [W].

    None for the last two where the current is not known and where no motor current runs.
    """
    cost = lambda r, carries: (r, current * r, current**2 * r) if current is not None and carries == "pack" else (r, None, None)  # noqa: E731
    return tuple((row["joint"], row["where"], *(cost(row[end], row["carries"]) for end in ("low", "high"))) for row in tables.read("wire/joints").rows())
