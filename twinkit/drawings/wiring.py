"""Pictures and tables of page 02: the decisions, the wiring, what is left after a failure, what catches a mistake; and the numbers."""

from twinkit import checks, quantities, units
from twinkit.checks import MARKS
from twinkit.circuit.faults import NOTES
from twinkit.drawings.base import Sheet
from twinkit.drawings.wiring_handling import every_order_sheet, power_up_sheet, pulled_sheet, restore_sheet, your_order_sheet
from twinkit.drawings.wiring_meter import SHOWN, meter_sheet
from twinkit.drawings.wiring_picture import WiringPicture, troubles
from twinkit.drawings.wiring_settings import end_points_sheet, rotation_sheet, settings_sheet, transmitter_sheet
from twinkit.drawings.wiring_supply import SharingPicture, cells_sheet, currents_sheet, sharing_sheet, supply_sheet
from twinkit.drawings.wiring_words import not_built

SOURCES = ("iec60028", "lm340_sheet", "sbva100", "nilsson_circuits", "mohan_power", "wiring_trade")
LEFT_RUNNING = {"both": "both motors", "left only": "left motor only", "right only": "right motor only", "no motor": "no motor, the radio works", "radio lost": "RADIO LOST"}
GRAVEST_FIRST = ("radio lost", "no motor", "left only", "right only", "both")


def decisions_sheet(results):
    """What was decided about the wiring, where, and how it is."""
    layout, record, columns = results.layout, results.record, ("decision", "chosen", "decided on page")
    if not layout.known:
        return not_built("What you decided", columns, results)
    shown = lambda path: quantities.quantity(path).choices[record.value(path)]  # noqa: E731
    rows = [("packs", shown("power.packs"), "01"), ("controllers", shown("power.controllers"), "01"), ("throttle", "one output" if layout.layout.controllers == "one" else shown("power.throttle"), "01"),
            ("who feeds the receiver", shown("power.source"), "01")]
    if layout.layout.source == "stand_alone":
        rows.append(("fed by", {"left": "the left pack", "right": "the right pack", "shared": "the common power lead"}[layout.layout.stand_alone_feed], "01"))
    if layout.layout.source == "both_diodes":
        rows.append(("what keeps the two apart", f"a diode in each red lead, {units.say(record.value('wiring.diode_drop'), 'volts', significant=2)} each", "02"))
    for side in layout.sides:
        red = record.value(f"wiring.{side}.red_lead")
        kind = "opto-isolated: no regulator, its red is an input" if layout.layout.opto[("left", "right").index(side)] else f"{shown(f'wiring.{side}.regulator_kind')} regulator"
        how = f", {shown('wiring.isolation')}" if red == "isolated" else ""
        rows.append((f"{side} controller", f"{kind}; red lead {'not said yet' if red is None else shown(f'wiring.{side}.red_lead')}{how}", "02"))
    if layout.planted:
        rows.append(("as wired it departs", "; ".join(layout.planted), "02"))
    return Sheet("What you decided", columns, tuple(rows), note="Packs, controllers, source and throttle are chosen on page 01, because they also decide thrust and what a failure leaves.")


def caught_sheet(results):
    """What finds the mistake that is entered: rules, meter lines, the direction test."""
    columns, layout, tried = ("found by", "what it says"), results.layout, results.record.value("wiring.mistake")
    if not layout.buildable:
        return not_built("The mistake you entered", columns, results)
    if tried in (None, "none"):
        return Sheet("No mistake is entered", columns, (("choose one above", "the wiring picture, the findings, the meter sheet and this table show what catches it"),))
    if layout.misfit:
        return Sheet("The mistake you entered", columns, (("nothing", layout.misfit),))
    rows = [(f"rule {finding.code}", f"{MARKS[finding.verdict]} {finding.verdict}: {finding.sentence}") for finding, _ in troubles(results) if finding.code != "R24"]
    rows += [(f"meter, line {one.number}", f"{one.words}: must read {SHOWN.get(one.line.expected, one.line.expected)}, reads {SHOWN.get(one.as_entered, one.as_entered)}")
             for one in results.metering.lines if one.as_entered not in (one.line.expected, "nothing")]
    rows += [("direction test", f"the {layout.wiring.part(motor).name} turns the other way when it is run alone, propeller off") for motor in layout.turned]
    return Sheet(f"Entered to try: {layout.planted[-1]}", columns, tuple(rows) or (("nothing", "no rule, no line of the meter sheet and no direction test"),), note="It is in your wiring until you choose none again.")


def failure_sheet(results):
    """Every single failure of the wiring as it is, gathered by what it leaves, gravest first."""
    columns = ("this is left", "when one of these fails", "and")
    if not results.layout.buildable:
        return not_built("Single failures", columns, results)
    rows, groups = results.layout.failure_rows, {}
    for words, result in sorted(rows, key=lambda row: GRAVEST_FIRST.index(row[1].result)):
        groups.setdefault((LEFT_RUNNING[result.result], " ".join(NOTES[note] for note in result.notes)), []).append(words)
    lost = sum(result.result == "radio lost" for _, result in rows)
    return Sheet(f"Single failures as wired: {lost} of {len(rows)} lose the radio", columns, tuple((left, "; ".join(causes), notes) for (left, notes), causes in groups.items()),
                 note="Radio lost: the receiver is dead, both motors are cut and there is no control. Worked out from the wiring, not from a list. Dead and open mean that nothing passes; what is shorted or fails high says so.")


def numbers(results):
    """The numbers of this step as text."""
    bus, system = results.wiring, results.record.value("start.units")
    fed = bus.known and bus.fed
    worst = results.layout.single_points
    return {
        "feeds the receiver as wired": " and ".join(bus.supplies[key].words for key in bus.feeding) if fed else "nothing" if bus.known else "not known",
        "drawn on average": units.say(bus.load_average, "current", significant=2),
        "drawn with two servos stalled": units.say(bus.load_stall, "current"),
        "receiver volts, servos stalled, pack at its cut-off": units.say(bus.receiver_volts_stall, "volts"),
        "regulator heat on average": units.say(bus.heat, "power", significant=2),
        "regulator chip temperature": units.say(bus.temperature, "temperature", system),
        "regulator current allowed for good": units.say(bus.allowed_current, "current", significant=2),
        "meter sheet": _metered(results.metering),
        "your order of switching": "not said yet" if results.switching.on is None or results.switching.off is None else "safe" if results.switching.on.safe and results.switching.off.safe else "not safe",
        "single failures that lose the radio or both motors": str(len(worst)) if worst is not None else "not known",
    }


def _metered(metering):
    """How far the meter sheet is read."""
    if not metering.known or not metering.lines:
        return "not known"
    return f"{len(metering.lines) - len(metering.unread)} of {len(metering.lines)} lines read, {len(metering.wrong)} wrong"


QUICK = ("currents", "supply")
PICTURES = {"wiring": WiringPicture, "sharing": SharingPicture}
SHEETS = {"decisions": decisions_sheet, "caught": caught_sheet, "supply": supply_sheet, "currents": currents_sheet, "cells": cells_sheet, "sharing_table": sharing_sheet, "failures": failure_sheet,
          "meter": meter_sheet, "power_up": power_up_sheet, "your_order": your_order_sheet, "every_order": every_order_sheet, "pulled": pulled_sheet, "restore": restore_sheet,
          "settings": settings_sheet, "rotation": rotation_sheet, "end_points": end_points_sheet, "transmitter": transmitter_sheet}
