"""Pictures and tables of page 03."""

import math

from twinkit import units
from twinkit.drawings.base import Sheet
from twinkit.drawings.lead_gauges import GaugePicture
from twinkit.drawings.lead_map import LeadMap
from twinkit.drawings.lead_ripple import RipplePicture, TonePicture, capacitor_sheet, pieces, resonance_words
from twinkit.drawings.lead_tables import FROM, joints_sheet, leads_sheet, signal_sheet, unknown, wire_sheet
from twinkit.quantities import SIDES

SOURCES = ("astm_b258", "iec60028", "electronic_tables", "iec60228", "churchill_chu", "grover_inductance", "ramo_fields", "six_step", "nilsson_circuits", "middlebrook_matrix", "common_practice")
STRAIGHT = 3                          # points of a route that stays within one body
CUT_STEP, BUY_STEP = 0.005, 0.05      # pieces are cut in steps of 5 mm, wire is bought in steps of 50 mm
WHERE = {"fuselage": "controllers in the fuselage", "nacelle": "controllers in the nacelles"}
# How each placement is to live with: what goes through the wing is told from the routes, the rest is common practice.
SERVICE = {"to get at a controller": {"fuselage": "both lie beside the packs, under one hatch", "nacelle": "each nacelle wants a hatch of its own"},
           "to change a motor": {"fuselage": "three joints in the nacelle; the controller stays", "nacelle": "motor and controller come out together"},
           "cooling air": {"fuselage": "wants an inlet and a larger outlet", "nacelle": "the propeller blows on them"}}
THROUGH = {"pack": ("2 pack wires", "1 power plug"), "motor": ("3 motor wires", "3 motor plugs"), "signal": ("the signal lead", "1 servo plug")}
CHAFED = {True: "the pack is short-circuited and the wire burns, whenever the pack is plugged in", False: "that motor stutters and stops; the controller may die"}
COLOURS = {"pack": "red and black", "motor": "any one colour", "signal": "black, red, yellow"}


def other_way_sheet(results):
    """Both placements side by side."""
    leads, losses, system = results.leads, results.lead_losses, results.record.value("start.units")
    title = "The other way round"
    if None in (leads.left, leads.right, leads.other_left, leads.other_right):
        return unknown(title, leads, results.geometry)
    ways = {leads.placement: ((leads.left, leads.right), (losses.left, losses.right), losses.inputs),
            leads.other_left.placement: ((leads.other_left, leads.other_right), (losses.other_left, losses.other_right), losses.other_inputs)}
    columns = ("", *(f"{WHERE[way]}{', yours' if way == leads.placement else ''}" for way in WHERE))
    cells = {way: _way_cells(*ways[way], system) for way in WHERE}
    rows = tuple((name, *(cells[way][name] for way in WHERE)) for name in cells["fuselage"])
    note = FROM[losses.currents_from] if losses.left is not None else ""
    return Sheet(title, columns, rows, note=f"{note} Ripple, current and volts belong to the side that is worse off, at the throttle that loads its capacitor most. "
                 "Joints count both sides. What is easier to service: common practice, no source.".strip())


def _way_cells(sides, costs, inputs, system):
    length = lambda kind: _both([units.say(getattr(side, kind).length, "length", system) for side in sides])  # noqa: E731
    cells = {"pack lead, one way": length("pack"), "motor leads": length("motor"), "signal lead": length("signal")}
    if None in costs:
        drop = loss = swing = rms = swings = highest = asked = "not known"
    else:
        worst = max(costs, key=lambda cost: cost.share)
        found = getattr(inputs, inputs.worst)
        drop = f"{units.say(worst.pack_drop + worst.motor_drop, 'volts', system, 2)} ({units.say(worst.share, 'share', system, 2)})"
        loss = (f"{units.say(sum(cost.loss for cost in costs), 'power', system, 2)} (pack leads {units.say(sum(cost.pack_loss for cost in costs), 'power', system, 2)}, "
                f"motor leads {units.say(sum(cost.motor_loss for cost in costs), 'power', system, 2)})")
        swing = units.say(found.plain.ripple, "volts", system, 2)
        rms = f"{units.say(found.plain.own_rms, 'current', system, 2)} (heat {units.say(found.plain_share, 'share', system, 2)} of as bought)"
        swings, highest, asked = resonance_words(found.plain, system), units.say(found.highest(found.plain), "volts", system), pieces(inputs)
    return {**cells, "drop at full throttle, worse side": drop, "heat, both sides": loss, "wire added": units.say(sum(side.mass for side in sides), "mass", system, 2),
            "joints to solder": str(sum(side.splices for side in sides)), "ripple at the controller's input": swing, "current of its own capacitor": rms,
            "lead and its capacitor swing at": swings, "highest volts there, full pack": highest,
            "capacitors to add at each controller": asked, **_service(sides)}


def _service(sides):
    """What is easier to service: what goes through the wing on each side, and the habits of the trade."""
    through = [lead.kind for lead in sides[0].all if len(lead.route) > STRAIGHT]
    listed = lambda n: " and ".join(THROUGH[kind][n] for kind in through) or "none"  # noqa: E731
    return {**{name: where[sides[0].placement] for name, where in SERVICE.items()}, "wires through the wing, each side": listed(0),
            "to undo where the wing comes off, each side": listed(1), "if a wire chafes through in the wing": CHAFED["pack" in through] if through else "-"}


def _both(pair):
    return f"{pair[0]} each side" if pair[0] == pair[1] else f"left {pair[0]}, right {pair[1]}"


def cut_length(length):
    """A length rounded up to what one cuts [m]."""
    return math.ceil(length / CUT_STEP - 1e-9) * CUT_STEP


def cutting_sheet(results):
    """The list for the bench: what to cut, and how much of each wire that is."""
    title, columns = "Cutting list", ("piece", "pieces", "length of each", "wire", "colour")
    leads, losses, system = results.leads, results.lead_losses, results.record.value("start.units")
    if leads.left is None or leads.right is None:
        return unknown(title, leads)
    rows, totals, whole = [], {}, []
    for side in SIDES:
        for lead in getattr(leads, side).all:
            if not lead.added:
                whole.append(f"{side} {lead.kind}{' (shortened)' if lead.made == 'shortened' else ''}")
                continue
            piece, twist = cut_length(lead.added), lead.kind == "signal"
            count = 1 if twist else lead.wires
            name = {"pack": f"let into the {side} pack lead", "motor": f"let into the {side} motor leads", "signal": f"extension of the {side} signal lead, plug and socket"}[lead.kind]
            rows.append((name, str(count), units.say(piece, "length", system), f"AWG {lead.wire.gauge}{', three wires' if twist else ''}", COLOURS[lead.kind]))
            totals[lead.wire.gauge] = totals.get(lead.wire.gauge, 0.0) + lead.wires * piece
    rows += [(f"all AWG {gauge} wire together", "", units.say(math.ceil(total / BUY_STEP - 1e-9) * BUY_STEP, "distance", system), f"AWG {gauge}", "")
             for gauge, total in sorted(totals.items())]
    if losses.left is not None and losses.inputs.recommended:
        count = round(losses.inputs.recommended / losses.inputs.piece)
        rows.append(("low-ESR capacitors, both controllers", str(2 * count), "-", f"{units.say(losses.inputs.piece, 'capacitance')}, {units.say(losses.inputs.piece_volts, 'volts', system, 2)}",
                     "stripe is minus"))
    note = f"Nothing let into: {', '.join(whole)}. " if whole else ""
    joints = f"{leads.splices} joints to solder and sleeve. " if leads.splices else "Nothing to solder in the leads. "
    return Sheet(title, columns, tuple(rows) or (("nothing to cut", "", "", "", ""),), note=f"{note}{joints}Lengths are rounded up to 5 mm; the overlap of a joint comes out of the slack.")


def numbers(results):
    """The numbers of this step as text."""
    leads, losses, system = results.leads, results.lead_losses, results.record.value("start.units")
    say = lambda value, kind, digits=3: "not known" if value is None else units.say(value, kind, system, digits)  # noqa: E731
    found = {"controllers": WHERE[leads.placement].removeprefix("controllers ")}
    for side in SIDES:
        own, cost = getattr(leads, side), getattr(losses, side)
        for kind, name in (("pack", "pack lead"), ("motor", "motor leads"), ("signal", "signal lead")):
            found[f"{side} {name}"] = say(own and getattr(own, kind).length, "length")
        found[f"{side} drop at full throttle"] = f"{say(cost and cost.pack_drop + cost.motor_drop, 'volts', 2)} ({say(cost and cost.share, 'share', 2)})" if cost else "not known"
    found["loss in all leads"] = say(losses.left and losses.left.loss + losses.right.loss, "power", 2)
    found["wire added"] = say(leads.lead_mass, "mass", 2)
    inputs = losses.inputs
    found["heat of the controllers' own capacitors against as bought, worse side"] = say(inputs and getattr(inputs, inputs.worst).heat_share, "share", 2)
    found["capacitors to add at each controller"] = pieces(inputs) if inputs else "not known"
    cut = cutting_sheet(results)
    if leads.left is None or leads.right is None:
        return {**found, "for the bench": "not known"}
    return {**found, **{f"for the bench, {piece}": f"{count} x {one}" if count else one for piece, count, one in _bench_rows(cut.rows)}}


def _bench_rows(rows):
    """The rows of the cutting list as piece, how many, and what in words."""
    return tuple((piece, count, ", ".join(cell for cell in what if cell not in ("", "-")) or "none") for piece, count, *what in rows)


PICTURES = {"map": LeadMap, "gauges": GaugePicture, "ripple": RipplePicture, "tones": TonePicture}
SHEETS = {"wire": wire_sheet, "joints": joints_sheet, "leads": leads_sheet, "other_way": other_way_sheet, "capacitor": capacitor_sheet, "signal": signal_sheet, "cutting": cutting_sheet}
