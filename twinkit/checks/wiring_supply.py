"""Checks of page 02 on the receiver's supply: enough volts and amps with the servos stalled, and a regulator that stays cool."""

import math

from twinkit import units
from twinkit.checks.base import Advice, Check
from twinkit.checks.wiring import BROKEN, capital, fed_by, joined
from twinkit.quantities import SIDES

STEP_OF_CURRENT = 0.1     # regulator ratings are advised in steps of 0.1 A
STEP_OF_VOLTS = 0.1


def _rounded_up(value, step):
    return round(math.ceil(value / step - 1e-9) * step, 6)


class OfTheSupply(Check):
    """A check on what feeds the receiver as wired. weigh(results, bus) is asked only when something does."""

    step = "wiring"
    needs = ("wiring",)
    nothing = "Nothing feeds the receiver as wired, so there is nothing to work out."

    def look(self, results):
        if not results.wiring.fed:
            return self.say("cannot tell", self.nothing if results.layout.buildable else BROKEN, results=results)
        return self.weigh(results, results.wiring)


def _other(results, good):
    """Advice to let another controller's regulator feed, where `good` says that it would do; None otherwise."""
    here = results.wiring.feeding
    for supply in results.wiring.supplies.values():
        if supply.key in SIDES and supply.key not in here and good(supply):
            return Advice(f"Let {supply.words} feed the receiver: {supply.kind}, {units.say(supply.rating, 'current', significant=2)}. Take the other red lead out.",
                          fed_by(results, supply.key))
    return None


class CellsAgainstRegulator(OfTheSupply):
    code = "R10"
    title = "Cells against regulators and controllers"
    why = "Too many cells destroy a regulator also when its red lead is out; too few leave it nothing to regulate, and the receiver may restart."
    source = "lm340_sheet"
    examples = {"good": {}, "not": {"wiring.right.regulator_cells": 2}, "cannot tell": {"wiring.right.regulator_cells": None, "power.right.controller_cells": None}}

    def look(self, results):
        layout, supplies = results.layout, results.wiring.supplies
        over = [(one.words, one.cells, one.cells_limit, f"wiring.{one.key}.regulator_cells" if one.key in SIDES else "wiring.own_cells")
                for one in supplies.values() if one.cells_limit is not None and one.cells > one.cells_limit]
        limits = {side: results.record.value(f"power.{side}.controller_cells") for side in layout.sides}
        cells = {side: layout.cells.get(side) or max(layout.cells.values()) for side in layout.sides}
        over += [(f"the {side} controller", cells[side], int(limit), f"power.{side}.controller_cells") for side, limit in limits.items() if limit is not None and cells[side] > limit]
        if over:
            said = joined(f"{words} takes up to {most} cells, its pack has {have}" for words, have, most, _ in over)
            first = over[0]
            return self.say("stop", f"{capital(said)}: it breaks when the pack goes in, used or not.", first[1], first[2],
                            Advice(f"Take a pack of {min(one[2] for one in over)} cells, or a part for {first[1]}.", {path: have for _, have, _, path in over}), results)
        if not results.wiring.fed:
            return self.say("cannot tell", self.nothing if layout.buildable else BROKEN, results=results)
        return self.weigh(results, results.wiring)

    def weigh(self, results, bus):
        on = [bus.supplies[key] for key in bus.feeding if bus.supplies[key].kind != "pack"]
        if not on:
            return self.say("good", "The receiver pack feeds straight, without a regulator.", results=results)
        dark = [one for one in on if one.cells_limit is None]
        if dark:
            return self.say("cannot tell", f"Nobody has said how many cells {joined(one.words for one in dark)} may see; its pack has {dark[0].cells}.", results=results)
        worst = min(on, key=lambda one: one.headroom)
        needs = worst.set_volts + worst.dropout
        words = (f"At your cut-off the pack still gives {units.say(worst.input_flat, 'volts')}; {worst.words} ({worst.kind}) needs {units.say(needs, 'volts')} "
                 f"for its {units.say(worst.set_volts, 'volts', significant=2)}")
        if worst.headroom >= 0:
            return self.say("good", f"{words}, and may see {worst.cells_limit} cells.", worst.input_flat, needs, results=results)
        spare = math.floor((worst.input_flat - worst.set_volts) / STEP_OF_VOLTS + 1e-9) * STEP_OF_VOLTS
        advice = _other(results, lambda one: one.headroom >= 0)
        if advice is None and worst.key in SIDES and spare > 0:
            advice = Advice(f"Take a regulator that needs at most {units.say(spare, 'volts', significant=2)} above its own volts (a low-dropout or a switching one; its data sheet or a "
                            "bench supply tells).", {f"wiring.{worst.key}.regulator_dropout": round(spare, 3)})
        elif advice is None:
            advice = Advice("Take a pack with one cell more, or feed the receiver from a pack of its own.")
        return self.say("look again", f"{words}: it falls {units.say(-worst.headroom, 'volts', significant=2)} short.", worst.input_flat, needs, advice, results)


class PlugCurrent(OfTheSupply):
    code = "R12"
    title = "Current through the throttle plug"
    why = "All that the servos draw comes in through one contact of one small plug."
    source = "common_practice"
    examples = {"good": {}, "not": {"wiring.servo_stall": "1600 mA"}, "cannot tell": {"power.left.cells": None}}

    def weigh(self, results, bus):
        words = (f"On average {units.say(bus.load_average, 'current', significant=2)} come in through one servo contact, {units.say(bus.load_stall, 'current', significant=2)} with "
                 f"{bus.stalled} servos stalled; it stands {units.say(bus.servo_contact, 'current', significant=2)} for good and {units.say(bus.servo_contact_short, 'current', significant=2)} for a moment.")
        if bus.load_average <= bus.servo_contact and bus.load_stall <= bus.servo_contact_short:
            return self.say("good", words, bus.load_stall, bus.servo_contact_short, results=results)
        room = bus.servo_contact_short - (bus.load_stall - bus.stalled * results.record.value("wiring.servo_stall"))
        changes = {}
        if bus.load_stall > bus.servo_contact_short and room > 0 and not results.record.rows("wiring.more_servos"):
            changes = {"wiring.servo_stall": math.floor(room / bus.stalled / 0.01) * 0.01}
        more = f", or take servos that stall at {units.say(changes['wiring.servo_stall'], 'small current', significant=2)} at most" if changes else ""
        verdict = "stop" if bus.load_average > bus.servo_contact_short else "look again"
        return self.say(verdict, words, bus.load_stall, bus.servo_contact_short, Advice(f"Bring the 5 V in by two plugs of the receiver side by side{more}.", changes), results)


class RegulatorHeat(OfTheSupply):
    code = "R13"
    title = "Heat of the regulator"
    why = "A linear regulator turns the spare volts into heat and shuts down in the air when its chip grows too hot."
    source = "lm2940_sheet"
    limit = "limits.regulator_hot"
    examples = {"good": {}, "not": {"power.source": "left_bec", "wiring.left.red_lead": "connected", "wiring.right.red_lead": "isolated"}, "cannot tell": {"power.right.cells": None}}

    def weigh(self, results, bus):
        system, bound = results.record.value("start.units"), self.bound(results)
        if bus.temperature is None:
            return self.say("good", "A receiver pack has no regulator that could grow hot.", results=results)
        worst = max((bus.supplies[key] for key in bus.feeding if bus.supplies[key].temperature is not None), key=lambda one: one.temperature)
        words = (f"{capital(worst.words)} ({worst.kind}) gives {units.say(bus.load_average, 'current', significant=2)} on average and turns {units.say(worst.heat, 'power', significant=2)} "
                 f"into heat: its chip reaches {units.say(worst.temperature, 'temperature', system)}, your limit is {units.say(bound, 'temperature', system)}")
        if worst.temperature <= bound and worst.temperature_moving <= bound:
            return self.say("good", words + ".", worst.temperature, bound, results=results)
        advice = _other(results, lambda one: one.temperature_moving <= bound) or self.switching(results, worst, bound)
        if worst.temperature > bound:
            return self.say("stop", f"{words}. It may give {units.say(worst.allowed_current, 'current', significant=2)} for good.", worst.temperature, bound, advice, results)
        return self.say("look again", f"{words}; with every servo moving all the time it reaches {units.say(worst.temperature_moving, 'temperature', system)}.",
                        worst.temperature_moving, bound, advice, results)

    @staticmethod
    def switching(results, worst, bound):
        """A switching regulator in the same place, where that suffices."""
        path = {"own": "wiring.own_kind"}.get(worst.key, f"wiring.{worst.key}.regulator_kind")
        if worst.kind == "linear" and results.changed({path: "switching"}).wiring.temperature <= bound:
            return Advice("Take a switching regulator there: a controller that has one, or one of its own.", {path: "switching"})
        return Advice("Hang fewer servos on it, give it moving air, or feed the receiver from a pack of its own.")


class StallCurrent(OfTheSupply):
    code = "R13b"
    title = "Regulator with the servos stalled"
    why = "A regulator beyond its rating lets the volts go, and the receiver restarts just when two surfaces stick."
    source = "common_practice"
    limit = "limits.regulator_burst"
    examples = {"good": {}, "not": {"wiring.servo_stall": "1400 mA"}, "cannot tell": {"power.right.cells": None}}

    def weigh(self, results, bus):
        worst = min((bus.supplies[key] for key in bus.feeding), key=lambda one: one.rating)
        share, bound = bus.load_stall / worst.rating, self.bound(results)
        words = (f"With {bus.stalled} servos stalled the receiver and servos draw {units.say(bus.load_stall, 'current')}; {worst.words} is rated "
                 f"{units.say(worst.rating, 'current', significant=2)}")
        if share <= 1.0:
            return self.say("good", words + ".", share, bound, results=results)
        need = _rounded_up(bus.load_stall, STEP_OF_CURRENT)
        path = {"own": "wiring.own_current", "receiver_pack": "wiring.receiver_pack_current"}.get(worst.key, f"wiring.{worst.key}.regulator_current")
        advice = _other(results, lambda one: one.spare >= 0) or Advice(f"Take one that is rated {units.say(need, 'current', significant=2)} at least.", {path: need})
        verdict = "stop" if share > bound else "look again"
        return self.say(verdict, f"{words}: {units.say(share, 'share')} of it, where you allow {units.say(bound, 'share')} for a second.", share, bound, advice, results)


class ReceiverVolts(OfTheSupply):
    code = "R13c"
    title = "Volts at the receiver"
    why = "Receivers restart near 3.5 V, and the volts dip when two servos stall on a nearly empty pack."
    source = "common_practice"
    limit = "limits.receiver_warn"
    examples = {"good": {}, "not": {"leads.right.signal_length": "1500 mm"}, "cannot tell": {"power.right.cells": None}}

    def weigh(self, results, bus):
        volts, warn, least = bus.receiver_volts_stall, self.bound(results), results.record.value("limits.receiver_stop")
        words = (f"With {bus.stalled} servos stalled and the pack at its cut-off the receiver gets {units.say(volts, 'volts')} and the stalled servos behind their extension "
                 f"{units.say(bus.servo_volts_stall, 'volts')}")
        if volts >= warn:
            return self.say("good", words + ".", volts, warn, results=results)
        verdict, bound = ("stop", least) if volts < least else ("look again", warn)
        return self.say(verdict, f"{words}; your limit is {units.say(bound, 'volts', significant=2)}.", volts, warn, self.advise(results, bus, warn), results)

    @staticmethod
    def advise(results, bus, warn):
        """The first of the usual cures that brings it over the limit, tried out."""
        key = bus.feeding[0]
        ways = []
        if key in SIDES:
            supply, short = bus.supplies[key], warn - bus.receiver_volts_stall
            lower = math.floor((supply.dropout - short) / STEP_OF_VOLTS + 1e-9) * STEP_OF_VOLTS
            if supply.headroom < 0 and lower > 0:
                ways.append((f"Take a regulator that needs at most {units.say(lower, 'volts', significant=2)} above its own volts (a low-dropout or a switching one).",
                             {f"wiring.{key}.regulator_dropout": round(lower, 3)}))
            ways += [(f"Take AWG {gauge} for the throttle lead that feeds the receiver.", {"leads.signal_gauge": gauge}) for gauge in (24, 22)]
            length = results.record.value("leads.original_signal_length")
            ways.append((f"Move the receiver so that a throttle lead of {units.say(length, 'length', results.record.value('start.units'))} reaches.", {f"leads.{key}.signal_length": length}))
        if bus.by_diodes:
            ways.append(("Take diode modules with a switch in them, which drop 0.05 V.", {"wiring.diode_drop": 0.05}))
        if key == "receiver_pack":
            volts = _rounded_up(results.record.value("wiring.receiver_pack_volts") + warn - bus.receiver_volts_stall, STEP_OF_VOLTS)
            ways.append((f"Take a receiver pack that gives {units.say(volts, 'volts', significant=2)} under load, if your receiver and servos allow it.", {"wiring.receiver_pack_volts": volts}))
        for sentence, changes in ways:
            if results.changed(changes).wiring.receiver_volts_stall >= warn:
                return Advice(sentence, changes)
        return Advice("Hang fewer servos on it, shorten the lead that feeds the receiver, or feed the receiver from a pack of its own.")
