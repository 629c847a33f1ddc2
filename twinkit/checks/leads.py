"""Checks of page 03: do the leads cost little, reach, stay cool, and leave the controllers' capacitors alone?"""

import math

from twinkit import tables, units
from twinkit.checks.base import Advice, Check
from twinkit.design.input_ripple import pieces_under
from twinkit.design.lead_losses import THICKEST, THINNER_STEP, thicker_gauges
from twinkit.design.lead_wire import stock_wire
from twinkit.quantities import SIDES

ROUND_UP = 0.005      # lengths are advised in steps of 5 mm
ADVISED_SHARE = 0.85  # of the limit: thicker wire lets a little more current flow
AT = {"power": "at full throttle", "motor limit": "at the motor's current limit (page 01 does not know the full-throttle current yet)",
      "controller rating": "at the controller's rating (page 01 does not know the full-throttle current yet)"}


def _up(length):
    """A length rounded up to what one cuts."""
    return round(math.ceil(length / ROUND_UP - 1e-9) * ROUND_UP, 6)


class Drop(Check):
    code = "L01"
    title = "Volts lost in the leads"
    why = "What is lost in the leads is heat instead of thrust, and unequal losses make unequal thrust."
    source = "common_practice"
    needs = ("leads", "lead_losses")
    limit = "limits.lead_drop"
    examples = {"good": {"leads.pack_gauge": 12, "leads.motor_gauge": 12}, "not": {"leads.motor_gauge": 20, "leads.left.motor_length": "700 mm"},
                "cannot tell": {"wing.nacelle_out": None}}

    def look(self, results):
        losses, bound = results.lead_losses, self.bound(results)
        side, cost = losses.worst, getattr(losses, losses.worst)
        lost = units.say(cost.pack_drop + cost.motor_drop, "volts", significant=2)
        words = (f"The {side} leads lose {lost} of {units.say(cost.pack_volts, 'volts')} {AT[losses.currents_from]}: {units.say(cost.share, 'share', significant=2)} "
                 f"and {units.say(cost.loss, 'power', significant=2)} of heat; your limit is {units.say(bound, 'share', significant=2)}.")
        if cost.share <= bound:
            return self.say("good", words, cost.share, bound, results=results)
        gauges = thicker_gauges(results.leads, losses, ADVISED_SHARE * bound)
        if gauges is None:
            advice = Advice(f"Even AWG {THICKEST} does not bring it under your limit: shorten the leads or use packs with more cells.")
        else:
            advice = _take({kind: gauge for kind, gauge in gauges.items() if gauge != results.record.value(f"leads.{kind}_gauge")}, results.record)
        return self.say("look again", words, cost.share, bound, advice, results)


class InputCapacitor(Check):
    code = "L02"
    title = "Pack leads and the controller's capacitor"
    why = "A longer pack lead sends more of the chopped current through the controller's own capacitor; it dries out in the heat and the controller dies with it."
    source = "middlebrook_matrix"
    needs = ("leads", "lead_losses")
    limit = "limits.capacitor_heat"
    examples = {"good": {"leads.placement": "fuselage"}, "not": {"leads.placement": "nacelle", "leads.added_capacitor": "0 uF"}, "cannot tell": {"power.left.cells": None}}

    def look(self, results):
        system = results.record.value("start.units")
        leads, inputs = results.leads, results.lead_losses.inputs
        bound, stop = self.bound(results), results.record.value("limits.capacitor_heat_stop")
        side, found = inputs.worst, getattr(inputs, inputs.worst)
        length, bought = (units.say(x, "length", system) for x in (getattr(leads, side).pack.length, leads.bought.pack.length))
        added = results.record.value("leads.added_capacitor")
        enough = added >= inputs.recommended * (1 - 1e-9)
        share = units.say(found.heat_share, "share", significant=2)
        if found.heat_share <= bound and inputs.recommended == 0.0:
            return self.say("good", f"Your pack leads are no longer than as bought ({bought}): the controllers' own capacitors see what they were made for.",
                            found.heat_share, bound, results=results)
        with_what = f"with {units.say(added, 'capacitance')} added" if added else "with nothing added"
        gap = results.record.value("leads.pair_gap")
        shape = (f"{length} long instead of {bought}" if length != bought else f"as long as bought ({bought})") + (
            f", its wires {units.say(gap, 'length', system, 2)} apart" if gap else "")
        words = (f"The {side} pack lead is {shape}; {with_what} the controller's own capacitor is heated to {share} of what it was.")
        if found.heat_share <= bound and enough:
            return self.say("good", words, found.heat_share, bound, results=results)
        count = round(inputs.recommended / inputs.piece)
        advice = Advice(
            f"{_solder(count, inputs)}; or put the controllers beside the packs and lengthen the motor leads.", {"leads.added_capacitor": inputs.recommended}) if count and not enough else None
        if found.heat_share <= bound:
            words += " That is cool enough, but less than keeps the switching-off peak as it was."
        return self.say("stop" if found.heat_share > stop else "look again", words, found.heat_share, bound, advice, results)


def _solder(count, inputs):
    """How capacitors are added."""
    return (f"Solder {count} x {units.say(inputs.piece, 'capacitance')}, {units.say(inputs.piece_volts, 'volts', significant=2)}, low-ESR, within 20 to 30 mm of each controller, "
            "plus to plus, stripe to minus")


class WireCurrent(Check):
    code = "L03"
    title = "Current in the wire"
    why = "A wire that carries more than its gauge allows grows hot, and hot wire softens joints and foam."
    source = "electronic_tables"
    needs = ("leads", "lead_losses")
    limit = "limits.wire_current"
    examples = {"good": {"leads.pack_gauge": 12, "leads.motor_gauge": 14}, "not": {"leads.pack_gauge": 24, "leads.motor_gauge": 24}, "cannot tell": {"wing.nacelle_out": None}}

    def look(self, results):
        losses, bound = results.lead_losses, self.bound(results)
        loads = {kind: max(pick(getattr(losses, side)) for side in SIDES)
                 for kind, pick in (("pack", lambda cost: cost.pack_current), ("motor", lambda cost: cost.wire_current))}
        wires = {kind: getattr(results.leads.bought, kind).wire for kind in loads}
        shares = {kind: loads[kind] / wires[kind].allowed for kind in loads}
        kind = max(shares, key=shares.get)
        resting = " (0.82 of the motor's current: each wire rests a third of the time)" if kind == "motor" else ""
        words = (f"Each {kind} wire carries {units.say(loads[kind], 'current')}{resting} {AT[losses.currents_from]}; AWG {wires[kind].gauge}{' as you measured it' if wires[kind].measured else ''} is allowed "
                 f"{units.say(wires[kind].allowed, 'current')} for good and {units.say(wires[kind].burst, 'current')} for a burst under 20 s.")
        if shares[kind] <= bound:
            return self.say("good", words, shares[kind], bound, results=results)
        gauges = {name: _stronger(wires[name], loads[name] / (ADVISED_SHARE * bound)) for name in loads if shares[name] > bound}
        if None in gauges.values():
            advice = Advice(f"No wire up to AWG {THICKEST} carries that for good: take two in parallel, or a smaller propeller.")
        else:
            advice = _take(gauges, results.record)
        return self.say("stop" if loads[kind] > bound * wires[kind].burst else "look again", words, shares[kind], bound, advice, results)


def _take(gauges, record):
    """Advice to buy other wire; a metre measured of the old one counts no longer."""
    said = " and ".join(f"AWG {gauge} for the {kind} leads" for kind, gauge in gauges.items())
    old = [path for kind in gauges for path in (f"leads.{kind}_wire_resistance", f"leads.{kind}_wire_mass") if record.get(path) is not None]
    again = " What you measured of the old wire is cleared: measure a metre of the new." if old else ""
    return Advice(f"Take {said}.{again}", {**{f"leads.{kind}_gauge": gauge for kind, gauge in gauges.items()}, **dict.fromkeys(old)})


def _stronger(wire, current):
    """The thinnest gauge, two sizes a step, that is allowed this current for good."""
    gauge = wire.gauge
    while gauge - THINNER_STEP >= THICKEST:
        gauge -= THINNER_STEP
        if stock_wire(gauge, 300.0).allowed >= current:
            return gauge
    return None


class SignalLead(Check):
    code = "L04"
    title = "Signal leads"
    why = "A long signal lead beside wires that carry chopped current picks up spikes and may upset the receiver or the controller."
    source = "common_practice"
    needs = ("leads",)
    limit = "limits.signal_length"
    examples = {"good": {"leads.placement": "fuselage"}, "not": {"leads.placement": "nacelle", "leads.signal_care": "plain"}, "cannot tell": {"wing.nacelle_out": None}}

    def look(self, results):
        system, leads = results.record.value("start.units"), results.leads
        plain, ring = self.bound(results), results.record.value("limits.signal_ferrite")
        side = max(SIDES, key=lambda name: getattr(leads, name).signal_length)
        length, care = getattr(leads, side).signal_length, results.record.value("leads.signal_care")
        bound = {"plain": plain, "twisted": max(plain, ring), "ferrite": math.inf}[care]
        beside = "pack leads" if leads.placement == "nacelle" else "motor leads"
        words = f"The {side} signal lead is {units.say(length, 'length', system)} long"
        if length <= bound:
            laid = {"plain": "as it comes", "twisted": "twisted", "ferrite": "twisted, with a ferrite ring"}[care]
            return self.say("good", f"{words}, {laid}. Keep it apart from the {beside} all the same, and cross them at right angles.", length,
                            bound if math.isfinite(bound) else None, results=results)
        wanted = "ferrite" if length > ring else "twisted"
        done = {"twisted": "Twist its three wires", "ferrite": "Twist its three wires and wind it three times through a ferrite ring at the receiver"}[wanted]
        return self.say("look again", f"{words}; laid {'straight' if care == 'plain' else 'twisted'} it should be at most {units.say(bound, 'length', system)}.", length, bound,
                        Advice(f"{done}, and keep it 20 mm from the {beside}.", {"leads.signal_care": wanted}), results)


class EqualMotorLeads(Check):
    code = "L05"
    title = "Three motor leads of one length"
    why = "Unequal leads unbalance the three phases a little, and the shortest is the one that is pulled until it breaks."
    source = "common_practice"
    needs = ("leads",)
    limit = "limits.motor_difference"
    examples = {"good": {"leads.left.motor_difference": "4 mm", "leads.right.motor_difference": "0 mm"},
                "not": {"leads.left.motor_difference": "60 mm", "leads.right.motor_difference": "0 mm"}, "cannot tell": {"leads.left.motor_difference": None}}

    def look(self, results):
        system, leads, bound = results.record.value("start.units"), results.leads, self.bound(results)
        apart = {side: results.record.value(f"leads.{side}.motor_difference") for side in SIDES}
        lengths = {side: getattr(leads, side).motor_length for side in SIDES}
        if None in apart.values():
            tolerance = units.say(bound * min(lengths.values()), "length", system, 2)
            return self.say("cannot tell", f"Not measured yet: cut the three alike, within {tolerance}, then measure.", results=results)
        side = max(SIDES, key=lambda name: apart[name] / lengths[name])
        share = apart[side] / lengths[side]
        words = (f"On the {side} the longest motor lead exceeds the shortest by {units.say(apart[side], 'length', system, 2)}, {units.say(share, 'share', significant=2)} of its length; "
                 f"your limit is {units.say(bound, 'share', significant=2)}.")
        if share <= bound:
            return self.say("good", words, share, bound, results=results)
        changes = {f"leads.{name}.motor_difference": 0.0 for name in SIDES if apart[name] > bound * lengths[name]}
        return self.say("look again", words, share, bound, Advice("Cut all three to the length of the cutting list.", changes), results)


class MotorLeadsTogether(Check):
    code = "L09"
    title = "Three motor leads lie together"
    why = "Three wires with chopped current that lie apart are a loop that sends spikes into the receiver and the signal leads."
    source = "common_practice"
    needs = ("leads",)
    limit = "limits.motor_loose"
    examples = {"good": {"leads.motor_laid": "braided"}, "not": {"leads.motor_laid": "loose"}, "cannot tell": {"wing.nacelle_out": None}}

    def look(self, results):
        system, leads, bound = results.record.value("start.units"), results.leads, self.bound(results)
        laid, side = results.record.value("leads.motor_laid"), max(SIDES, key=lambda name: getattr(leads, name).motor_length)
        length = getattr(leads, side).motor_length
        words = f"The {side} motor leads are {units.say(length, 'length', system)} long"
        if laid != "loose":
            return self.say("good", f"{words}, {'braided' if laid == 'braided' else 'taped side by side'}.", length, results=results)
        words += f" and lie each its own way; your limit for that is {units.say(bound, 'length', system)}."
        if length <= bound:
            return self.say("good", words, length, bound, results=results)
        added = getattr(leads, side).motor.needed
        more = "" if added is None else f"; a braid takes up about {units.say(tables.values('wire/defaults')['braid_take_up'] * added, 'length', system, 1)}, the cutting list adds it"
        return self.say("look again", words, length, bound, Advice(f"Braid each side's three motor leads, or tape them side by side{more}.", {"leads.motor_laid": "braided"}), results)


class InputVolts(Check):
    code = "L08"
    title = "Highest volts at the controller's input"
    why = "What the lead's inductance adds when the current is cut comes on top of a full pack; transistors and capacitors break on the first peak above their rating."
    source = "nilsson_circuits"
    needs = ("leads", "lead_losses")
    limit = "limits.input_volts"
    _hard = {"leads.placement": "nacelle", "leads.pair_gap": "40 mm", "leads.capacitor": "47 uF", "leads.capacitor_esr": "15 mohm",
             "power.left.pack_resistance": "8 mohm", "power.right.pack_resistance": "8 mohm", "leads.left.controller_volts": "15 V", "leads.right.controller_volts": "15 V"}
    examples = {"good": {"leads.left.controller_volts": "25 V", "leads.right.controller_volts": "25 V"}, "not": _hard,
                "cannot tell": {"power.left.controller_cells": None, "leads.left.controller_volts": None}}

    def look(self, results):
        inputs, share = results.lead_losses.inputs, self.bound(results)
        unknown = [side for side in SIDES if getattr(inputs, side).rating.volts is None]
        if unknown:
            return self.say("cannot tell", f"What the {' and the '.join(unknown)} controller's input may see is not known: enter the volts printed on its capacitor, "
                            "or on page 01 the most cells it may have.", results=results)
        side = max(SIDES, key=lambda name: (found := getattr(inputs, name)).highest(found.yours) / found.allowed(share))
        found = getattr(inputs, side)
        highest, allowed, printed = found.highest(found.yours), found.allowed(share), found.rating.origin == "printed"
        volts = units.say(found.rating.volts, "volts")
        words = f"With a full pack of {units.say(found.drive.full_volts, 'volts')} the {side} controller's input sees at most {units.say(highest, 'volts')}; " + (
            f"it may see {volts} and your limit is {units.say(share, 'share', significant=2)} of that." if printed else
            f"its label allows a full pack of {volts}, and what leads as bought add to that.")
        if highest <= allowed * (1 + 1e-9):
            return self.say("good", words, highest, allowed, results=results)
        stop = highest > found.rating.volts if printed else found.drive.full_volts > found.rating.volts * (1 + 1e-9)
        if found.drive.full_volts > allowed:
            advice = Advice("Take packs with fewer cells, or controllers for more.")
        else:
            advice = self._more(inputs, share)
        return self.say("stop" if stop else "look again", words, highest, allowed, advice, results)

    @staticmethod
    def _more(inputs, share):
        """Advice to add capacitors until both inputs stay under what they may see."""
        over = [found for found in (inputs.left, inputs.right) if found.highest(found.yours) > found.allowed(share)]
        counts = [pieces_under(found, inputs.net, found.allowed(share)) for found in over]
        if None in counts:
            return Advice("No number of capacitors brings it down: shorten the pack leads and let their wires touch.")
        return Advice(f"{_solder(max(counts), inputs)}; or shorten the pack leads and let their wires touch.", {"leads.added_capacitor": max(counts) * inputs.piece})


class ServoGrounds(Check):
    code = "L06"
    title = "Motor current in the servo grounds"
    why = "On one pack the thin servo grounds lie beside the power negatives: unequal negatives push motor current through the receiver."
    source = "nilsson_circuits"
    needs = ("leads", "lead_losses")
    limit = "limits.servo_ground"
    _one_pack = {"power.packs": "one", "power.shared.cells": 3, "power.shared.capacity": "3000 mAh", "power.shared.c_rating": 30, "weight.shared.pack_behind": "-60 mm"}
    examples = {"good": {"power.packs": "two"}, "not": {**_one_pack, "leads.left.pack_length": "2000 mm", "leads.right.pack_length": "150 mm", "leads.pack_gauge": 20},
                "cannot tell": {"wing.nacelle_out": None}}

    def look(self, results):
        system, current, bound = results.record.value("start.units"), results.lead_losses.ground_current, self.bound(results)
        if current is None:
            why = "Each side has its own pack" if results.leads.packs == "two" else "One servo ground is not connected"
            return self.say("good", f"{why}, so no motor current finds a way through the servo grounds.", results=results)
        lengths = {side: getattr(results.leads, side).pack_length for side in SIDES}
        words = (f"Pack leads of {units.say(lengths['left'], 'length', system)} left and {units.say(lengths['right'], 'length', system)} right on one supply push "
                 f"{units.say(current, 'current', significant=2)} through the servo grounds; your limit is {units.say(bound, 'current', significant=2)}.")
        if current <= bound:
            return self.say("good", words, current, bound, results=results)
        longest = _up(max(lengths.values()))
        return self.say("look again", words, current, bound, Advice(f"Make both pack leads {units.say(longest, 'length', system)} long, of the same wire.",
                        {f"leads.{side}.pack_length": longest for side in SIDES}), results)


class Reaches(Check):
    code = "L07"
    title = "Typed lengths against the way"
    why = "A lead that is cut too short is pulled out of its joint by the first landing."
    source = "common_practice"
    needs = ("leads", "geometry")
    examples = {"good": {"leads.left.motor_length": "480 mm"}, "not": {"leads.left.motor_length": "300 mm"}, "cannot tell": {"wing.nacelle_out": None}}

    def look(self, results):
        system = results.record.value("start.units")
        leads = {(side, lead.kind): lead for side in SIDES for lead in getattr(results.leads, side).all}
        typed = {key: lead for key, lead in leads.items() if lead.typed and lead.run is not None}
        if not typed:
            return self.say("good", "All lengths are taken from the stations of page 05 with your slack.", results=results)
        short = {key: lead for key, lead in typed.items() if lead.length < lead.run}
        (side, kind), lead = min(typed.items(), key=lambda item: item[1].length - item[1].run)
        words = (f"The {side} {kind} lead is {units.say(lead.length, 'length', system)} long and its way from {lead.start} to {lead.end} is "
                 f"{units.say(lead.run, 'length', system)} without slack.")
        if not short:
            return self.say("good", words, lead.length, lead.run, results=results)
        changes = {f"leads.{s}.{k}_length": _up(x.needed) for (s, k), x in short.items()}
        said = " and ".join(f"the {s} {k} lead {units.say(_up(x.needed), 'length', system)}" for (s, k), x in short.items())
        return self.say("stop", words, lead.length, lead.run, Advice(f"Cut {said}, or move the stations of pages 04 and 05.", changes), results)
