"""Checks of page 02 on motors, plugs and what hangs on one thing (rules R11, R12b, R14 to R18)."""

from twinkit import tables, units
from twinkit.checks.base import Advice
from twinkit.checks.wiring import OfTheWiring, joined, side_of
from twinkit.circuit import facts as circuit_facts
from twinkit.circuit.working import working
from twinkit.design.base import said_all
from twinkit.quantities import SIDES
from twinkit.quantities.wiring import POWER_PLUGS

SHARED_LOSS = ("radio lost", "no motor")
RULE_MARGIN = 1.25       # controller rating over motor current below which this page stops; page 01 holds it against your own limit. Common practice


class OneMotorEach(OfTheWiring):
    code = "R11"
    title = "One motor on each controller, and strong enough"
    why = "On a common controller the currents of both motors add at the same volts, and it can time one rotor only."
    examples = {"good": {}, "not": {"wiring.mistake": "one_controller_two_motors"}, "cannot tell": {"power.left.kv": None}}

    def judge(self, results, layout):
        self.needs = ("layout", "power")     # what it leans on; the graph alone is judged without the drives
        double = [load for load in layout.facts.loads if len(load.motors) > 1]
        power, say = results.power, lambda amps: units.say(amps, "current")
        drawn = {side: getattr(power.fresh, side).motor_current for side in SIDES} if power.known else {}
        if double:
            amps = f" {say(drawn['left'])} and {say(drawn['right'])} make {say(sum(drawn.values()))} at the same volts, four times the heat." if drawn else " Their currents add at the same volts."
            changes = {"power.controllers": "two"} if layout.layout.controllers == "one" else {}
            return self.say("stop", f"Both motors hang on the {layout.wiring.part(double[0].controller).name}.{amps}", sum(drawn.values()) if drawn else None, None,
                            Advice("Give each motor a controller of its own.", changes), results)
        if not drawn:
            return self.say("cannot tell", f"Each controller has one motor. Whether it is strong enough is not yet known: {said_all(power.missing)}.", results=results)
        rated = {side: power.side(side).controller_current for side in SIDES}
        if None in rated.values():
            return self.say("cannot tell", f"Not yet known: {said_all(tuple(f'power.{side}.controller_current' for side in SIDES if rated[side] is None))}.", results=results)
        share = {side: rated[side] / drawn[side] for side in SIDES}
        side = min(share, key=share.get)
        words = f"Each controller has one motor. The {side} one is rated {say(rated[side])}, its motor draws {say(drawn[side])} on a full pack: {units.digits(share[side], 3)} times."
        if share[side] >= RULE_MARGIN:
            return self.say("good", words, share[side], RULE_MARGIN, results=results)
        weak = [one for one in SIDES if share[one] < RULE_MARGIN]
        needed = {f"power.{one}.controller_current": 5.0 * -(-RULE_MARGIN * drawn[one] // 5.0) for one in weak}
        return self.say("stop" if share[side] < 1.0 else "look again", f"{words} It wants {units.digits(RULE_MARGIN, 3)} times.", share[side], RULE_MARGIN,
                        Advice(f"Fit a controller of {joined(f'{say(amps)} on the {path.split(chr(46))[1]}' for path, amps in needed.items())}, or a smaller propeller.", needed), results)

    def where(self, results):
        wiring = results.layout.wiring
        return tuple(wiring.part(load.controller).pin("PH1") for load in results.layout.facts.loads if len(load.motors) > 1)


class PowerPlugs(OfTheWiring):
    code = "R12b"
    title = "Current through the power plugs"
    why = "A plug that carries both sides, or more than it is made for, grows hot, lets go and takes its motor with it."
    source = "common_practice"
    needs = ("layout", "power")
    examples = {"good": {}, "not": {"wiring.left.pack_plug": "jst_rcy"}, "cannot tell": {"wiring.left.pack_plug": None}}

    def judge(self, results, layout):
        plugs, unsaid, bad = self.plugs(results), [], []
        for path, where, amps in plugs:
            kind = results.record.value(path)
            if kind is None:
                unsaid.append(path)
            elif kind != "soldered":
                row = tables.read("regulator/connectors").row("connector", POWER_PLUGS[kind])
                bad.append((amps / row["current_low"], path, where, amps, POWER_PLUGS[kind], row))
        bad.sort(key=lambda one: -one[0])
        over = [one for one in bad if one[0] > 1.0]
        if not over and unsaid:
            return self.say("cannot tell", f"Not yet known: {said_all(tuple(unsaid))}.", results=results)
        if not bad:
            return self.say("good", "All power leads are soldered through.", results=results)
        share, path, where, amps, name, row = bad[0]
        words = (f"The {name} of the {where} carries {units.say(amps, 'current')} on a full pack; carefully reckoned it stands {units.say(row['current_low'], 'current', significant=2)}, "
                 f"as usual {units.say(row['current_high'], 'current', significant=2)}, for good.")
        if not over:
            return self.say("good", words, amps, row["current_low"], results=results)
        changes = {one[1]: self.better(one[1], one[3]) for one in over}
        changes = {path: kind for path, kind in changes.items() if kind}
        advice = Advice(f"Fit {joined(f'{POWER_PLUGS[kind]} on the {where_}' for (_, p, where_, *_), kind in ((one, changes.get(one[1])) for one in over) if kind)}." if changes
                        else "Solder that lead through, or share the current over two plugs.", changes)
        return self.say("stop" if amps > row["current_high"] else "look again", words, amps, row["current_low"], advice, results)

    @staticmethod
    def plugs(results):
        """(entry, where, current on a full pack) of every power plug: a plug of the common pack carries both sides."""
        power = results.power
        packs = zip(power.packs, power.pack_currents(power.fresh))
        found = [(f"wiring.{pack.side}.pack_plug", "common pack" if pack.side == "shared" else f"{pack.side} pack", float(amps)) for pack, amps in packs]
        return found + [(f"wiring.{side}.motor_plug", f"{side} motor", float(getattr(power.fresh, side).motor_current)) for side in SIDES]

    @staticmethod
    def better(path, amps):
        """The smallest plug that stands the current, carefully reckoned."""
        table = tables.read("regulator/connectors")
        fits = sorted((float(table.row("connector", name)["current_low"]), key) for key, name in POWER_PLUGS.items() if key != "soldered" and ("bullet" in key) == path.endswith("motor_plug"))
        return next((key for low, key in fits if low >= amps), None)


class MotorWires(OfTheWiring):
    code = "R14"
    title = "Three wires to each motor, and to nothing else"
    why = "A motor with an open, touching or foreign wire stutters and burns its controller; a screw on a winding does the same."
    examples = {"good": {}, "not": {"wiring.mistake": "winding_on_mount"}, "cannot tell": {"power.left.cells": None}}

    def judge(self, results, layout):
        wiring, found = layout.wiring, layout.facts
        for net in found.mixed_nets:
            if "phase" in net.levels:
                motor = next((pin.part for pin in net.pins if wiring.part(pin.part).kind == "motor"), net.pins[0].part)
                what = {"mount": "its mount: a screw is too long or the insulation chafed", "minus": "the battery negative", "battery +": "the battery positive"}
                other = next(level for level in (*what, net.levels[0]) if level in net.levels and level != "phase")
                return self.say("stop", f"A winding of the {wiring.part(motor).name} touches {what.get(other, 'another lead')}.", results=results,
                                advice=Advice("Shorter screws or a washer, new insulation; then the meter from each wire to the mount and to minus: no beep."))
        if found.shorted_phases:
            name = wiring.part(found.shorted_phases[0][0].part).name
            return self.say("stop", f"Two motor wires of the {name} touch: its bridge burns at the first throttle.", results=results, advice=Advice("Part and sleeve them."))
        for link in found.phases:
            name = wiring.part(link.motor).name
            if not link.one_to_one:
                many = len(link.controllers) > 1
                return self.say("stop", f"The {name} has wires of two controllers." if many else f"A wire of the {name} has no contact: it stutters and does not start again.", results=results,
                                advice=Advice("Each motor gets the three wires of its own controller, one to one."))
            if layout.layout.controllers == "two" and wiring.part(link.motor).side != wiring.part(link.controllers[0]).side and len(found.loads) > 1:
                return self.say("stop", f"The {name} runs on the other side's controller: throttle trim and thrust steering work the wrong way round.", results=results,
                                advice=Advice("Exchange the motor leads, or the two throttle plugs and everything that is set in both controllers."))
        return self.say("good", "Each motor has three wires, one to one, on its own controller, and none touches mount or minus.", results=results)

    def where(self, results):
        layout = results.layout
        wiring, found = layout.wiring, layout.facts
        mixed = tuple(pin for net in found.mixed_nets if "phase" in net.levels for pin in net.pins if wiring.level(pin) == "phase")[:1]
        odd = tuple(wiring.part(link.motor).pin("1") for link in found.phases if not link.one_to_one or (len(found.loads) > 1 and wiring.part(link.motor).side != wiring.part(link.controllers[0]).side))
        open_ = tuple(wiring.part(link.motor).pin(str(number)) for link in found.phases for number, end in enumerate(link.order, 1) if not end)
        return mixed or tuple(pin for pair in found.shorted_phases for pin in pair) or open_ or odd


class CommonThrottle(OfTheWiring):
    code = "R15"
    title = "What a Y-lead takes away"
    why = "With a Y-lead both controllers get the same pulse: no trim of one side, no thrust steering, no throttle curve on the stronger side."
    examples = {"good": {}, "not": {"power.throttle": "y_lead", "rudder.mix": "thrust"}, "cannot tell": {"power.left.cells": None}}

    def judge(self, results, layout):
        if not layout.facts.shared_throttle:
            return self.say("good", "Each side has a throttle of its own and can be trimmed against the other." if layout.layout.controllers == "two" else "There is one controller.", results=results)
        wanted = [words for path, value, words in (("rudder.mix", "thrust", "the mix of rudder stick and throttles"), ("rudder.curve", "five_points", "the throttle curve on the stronger side"))
                  if results.record.value(path) == value]
        words = "Both controllers hang on one output: the sides cannot be trimmed against each other"
        if not wanted:
            return self.say("good", f"{words}; unlike motors pull unlike, and thrust cannot steer. That is all a Y-lead costs while its trunk holds.", results=results)
        return self.say("look again", f"{words}, but you use {joined(wanted)}: it does nothing.", results=results,
                        advice=Advice("Give each controller an output of its own.", {"power.throttle": "two_channels"}))

    def where(self, results):
        return tuple(shared.output for shared in results.layout.facts.shared_throttle)


class BalanceLeads(OfTheWiring):
    code = "R16"
    title = "Balance leads stay apart"
    why = "Joined balance leads join the packs cell by cell through wires made for half an ampere."
    examples = {"good": {}, "not": {"wiring.mistake": "shared_balance_lead"}, "cannot tell": {"power.left.cells": None}}

    def judge(self, results, layout):
        if not layout.facts.shared_balance:
            return self.say("good", "No balance leads are joined in the aeroplane.", results=results)
        return self.say("look again", "The balance leads of both packs are joined in the aeroplane: the packs meet through them.", results=results,
                        advice=Advice("Take the common balance lead or sensor out; one for each pack."))

    def where(self, results):
        return tuple(results.layout.wiring.part(pack).pin("+") for pair in results.layout.facts.shared_balance for pack in pair.packs)


class Trunks(OfTheWiring):
    code = "R17"
    title = "Plugs that lose everything"
    why = "A trunk plug that shakes loose in the air takes both throttles, or the receiver's only supply, with it."
    examples = {"good": {}, "not": {"wiring.plugs_held": False}, "cannot tell": {"wiring.plugs_held": None}}

    def judge(self, results, layout):
        plugs = [f"the {name}" for name, _ in circuit_facts.trunks(layout.wiring)]
        if not plugs:
            return self.say("good", "No single plug takes both motors or the receiver's supply.", results=results)
        words = f"If {' or '.join(plugs)} comes out, everything is lost"
        held = results.record.value("wiring.plugs_held")
        if held:
            return self.say("good", f"{words}; you hold {'it' if len(plugs) == 1 else 'each of them'} and have pulled at it.", results=results)
        advice = Advice(f"Hold {joined(plugs)} with tape, thread or a clip, pull at it, and tick it.", {"wiring.plugs_held": True})
        return self.say("cannot tell" if held is None else "stop", f"{words}. {'Say whether they are held.' if held is None else 'Not held yet.'}", results=results, advice=advice)

    def where(self, results):
        wiring = results.layout.wiring
        return tuple(wire.a for name, _ in circuit_facts.trunks(wiring) for wire in wiring.contacts(name)[:1])


class FailureSummary(OfTheWiring):
    code = "R18"
    title = "Single failures"
    why = "What is left after one failure is decided here, on the ground."
    examples = {"good": {}, "not": {"power.packs": "joined", "wiring.left.ground_kept": False}, "cannot tell": {"wiring.mistake": "open_signal"}}

    def judge(self, results, layout):
        state = working(layout.wiring)
        if not state.radio or len(state.runs) < 2 or state.burnt or state.over_voltage:
            return self.say("cannot tell", "As wired not everything works even before a failure: mend what says stop first.", results=results)
        left = [result.result for _, result in layout.failures]
        lost, one = sum(word in SHARED_LOSS for word in left), sum(word.endswith("only") for word in left)
        rest = f", {len(left) - lost - one} leave both" if len(left) > lost + one else ""
        words = f"Of {len(left)} single failures {lost} lose the radio or both motors, {one} one motor{rest}."
        if not state.sneak_path:
            return self.say("good", words, lost, results=results)
        open_ = [side_of(layout.wiring, one.part) for one in layout.facts.grounds if not one.by_wire and layout.wiring.part(one.part).kind == "controller"]
        return self.say("look again", f"{words} And it works only by a way through other parts, which is one more thing that can open.", lost, None,
                        Advice("Close the way that was meant: see the grounds.", {f"wiring.{side}.ground_kept": True for side in open_}), results)
