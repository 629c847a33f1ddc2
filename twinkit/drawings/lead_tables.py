"""Tables of page 03: wire, joints, the leads, the signal leads."""

import math

from twinkit import constants, units
from twinkit.design.lead_wire import joint_costs, metric_gauges, wire_rows
from twinkit.drawings.base import Sheet
from twinkit.quantities import SIDES

FROM = {"power": "Currents: full throttle, standing, from page 01.",
        "motor limit": "Currents: the motor's current limit, because page 01 does not know the full-throttle current yet; the true one is lower as a rule.",
        "controller rating": "Currents: the controller's rating, because page 01 does not know the full-throttle current yet; the true one is lower as a rule."}


def unknown(title, *results):
    return Sheet.waiting(title, tuple(dict.fromkeys(path for result in results for path in result.missing)))


def leads_sheet(results):
    """Every lead with what it costs."""
    title, columns = "Your leads", ("lead", "from - to", "length", "gauge", "current", "drop", "heat", "warmer by", "wire added")
    leads, losses, system = results.leads, results.lead_losses, results.record.value("start.units")
    if leads.left is None or leads.right is None:
        return unknown(title, leads)
    rows = []
    for side in SIDES:
        own, cost = getattr(leads, side), getattr(losses, side)
        for lead in own.all:
            figures = {"pack": lambda: (cost.pack_current, cost.pack_drop, cost.pack_loss, cost.pack_rise), "motor": lambda: (cost.motor_current, cost.motor_drop, cost.motor_loss, cost.motor_rise)}
            pick = figures.get(lead.kind)
            amps = ("-",) * 4 if pick is None else ("not known",) * 4 if cost is None else tuple(
                units.say(x, kind, system, 2 if kind != "current" else 3) for x, kind in zip(pick(), ("current", "volts", "power", "warming")))
            rows.append((f"{side} {lead.kind} {'leads, three' if lead.kind == 'motor' else 'lead'}", f"{lead.start} - {lead.end}", units.say(lead.length, "length", system),
                         f"AWG {lead.wire.gauge}", *amps, units.say(lead.mass, "mass", system, 2) if lead.added else lead.made))
    spread = units.say_range(leads.lead_mass - leads.lead_mass_spread, leads.lead_mass + leads.lead_mass_spread, "mass", system)
    origin = FROM[losses.currents_from] if losses.left is not None else "Currents are not known yet: page 01."
    return Sheet(title, columns, tuple(rows), note=f"{origin} Added wire of both sides: {spread}. {_wire_from(leads)} Lengths one way, slack counted; "
                 "nothing is cut off what was bought. Warmer by: one wire over the air around it, in the open, after minutes at that current (1 K is one degree Celsius); shut in foam or bundled more, in the wind less.")


def _wire_from(leads):
    """Which figures of the wire are the builder's own and which the table's."""
    said = []
    for kind in ("pack", "motor"):
        wire = getattr(leads.left, kind).wire
        own = [name for name, there in (("resistance", wire.measured), ("mass", wire.weighed)) if there]
        said.append(f"{kind} leads {' and '.join(own)} of your own wire" + ("" if len(own) == 2 else ", the rest from the table") if own else f"{kind} leads from the table")
    return f"Wire: {'; '.join(said)}."


def signal_sheet(results):
    """What the ground wires of the signal leads do, and how the leads want to be laid."""
    title, columns = "Signal leads", ("lead", "length", "its ground wire", "drop there for each ampere", "motor current in it", "drop from that", "laid", "wanted")
    leads, losses, system, value = results.leads, results.lead_losses, results.record.value("start.units"), results.record.value
    if leads.left is None or leads.right is None:
        return unknown(title, leads)
    loop = losses.ground_current
    laid = {"plain": "as it comes", "twisted": "twisted", "ferrite": "twisted, ferrite ring"}
    rows = []
    for side in SIDES:
        lead = getattr(leads, side).signal
        ground = lead.resistance / 2
        current, drop = ("not known",) * 2 if losses.left is None else ("none", "none") if loop is None else (
            units.say(loop, "current", system, 2), units.say(loop * ground, "volts", system, 2))
        wanted = "ferrite" if lead.length > value("limits.signal_ferrite") else "twisted" if lead.length > value("limits.signal_length") else "plain"
        rows.append((f"{side} signal lead", units.say(lead.length, "length", system), units.say(ground, "resistance", system, 2), units.say(ground * 1.0, "volts", system, 2),
                     current, drop, laid[value("leads.signal_care")], laid[wanted]))
    why = ("Each side has its own pack or one ground is open: no motor current runs here." if losses.left is not None and loop is None else
           "On one supply the two ground wires lie beside the power negatives, and unequal negatives share their current with them.")
    twist, ring = (units.say(value(f"limits.{name}"), "length", system) for name in ("signal_length", "signal_ferrite"))
    return Sheet(title, columns, tuple(rows), note=f"{why} The ground wire counts with two plug contacts of the servo sort. Twist a lead longer than {twist}; "
                 f"add a ferrite ring at the receiver beyond {ring}. Common practice.")


def wire_sheet(results):
    """Wire by gauge: copper, resistance cold and warm, mass, current; the builder's own below."""
    leads, system = results.leads, results.record.value("start.units")
    cold, warm = (units.say(t, "temperature", system, 2) for t in (constants.COPPER_REFERENCE_TEMPERATURE, leads.wire_temperature))
    columns = ("AWG", "copper", f"one metre at {cold}", f"at {warm}", "one metre weighs", "carries for good", "for 20 s", "yours")
    rows = []
    for row in wire_rows(leads):
        one = row.warm
        name = f"{one.gauge}, your own" if row.own else str(one.gauge)
        mass = "-" if not math.isfinite(one.mass) else units.say_range(one.mass * (1 - one.mass_spread), one.mass * (1 + one.mass_spread), "wire mass", system)
        rows.append((name, units.say(one.area, "wire area", system), units.say(row.cold.resistance, "wire resistance", system), units.say(one.resistance, "wire resistance", system),
                     mass, units.say(one.allowed, "current", system, 2), units.say(one.burst, "current", system, 2), " and ".join(row.used) or "-"))
    sold = ", ".join(f"{units.say(area, 'wire area', system, 2)} is about AWG {gauge}".replace(" mm2", "\u00a0mm2") for area, gauge in metric_gauges())
    return Sheet("Wire", columns, tuple(rows), note=f"One wire. Copper area: ASTM B258. Resistance: copper after IEC 60028, with 3 % for the lay of the strands; solid wire agrees with the table of the "
                 "Handbook of Electronic Tables and Formulas to 0.1 %. Mass: our estimate from copper and silicone, no published figure was found. Current: that handbook's column for single wires in open air; "
                 f"another allows half as much for some, so the drop is a limit of its own. A burst under 20 s in moving air: 1.5 times that (common practice). Sold by its cross-section: {sold}.")


def joints_sheet(results):
    """What joints and contacts resist, and what that costs at your pack current."""
    losses, system = results.lead_losses, results.record.value("start.units")
    current = None if losses.left is None else max(getattr(losses, side).pack_current for side in SIDES)
    at = "your pack current" if current is None else units.say(current, "current", system)
    between = lambda low, high, kind: "-" if low is None else units.say_range(low, high, kind, system)  # noqa: E731
    rows = tuple((joint, between(low[0], high[0], "resistance"), between(low[1], high[1], "small volts"), between(low[2], high[2], "power"), where)
                 for joint, where, low, high in joint_costs(current))
    return Sheet("Joints and contacts", ("joint", "resists", f"drop at {at}", "heat there", "found"), rows,
                 note="Common practice, no source. A worn or dirty plug has several times as much and grows warm: feel your plugs after the first flight.")
