"""Checks of page 03: do the leads cost little, reach, stay cool, and leave the controllers' capacitors alone?"""

import math

from twinkit import units
from twinkit.checks.base import Advice, Check
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
            f"Solder {count} x {units.say(inputs.piece, 'capacitance')}, low-ESR, at least {units.say(inputs.rated_volts, 'volts', significant=2)}, within 20 to 30 mm of each controller, "
            "plus to plus; or put the controllers beside the packs and lengthen the motor leads.", {"leads.added_capacitor": inputs.recommended}) if count and not enough else None
        if found.heat_share <= bound:
            words += " That is cool enough, but less than keeps the switching-off peak as it was."
        return self.say("stop" if found.heat_share > stop else "look again", words, found.heat_share, bound, advice, results)


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
