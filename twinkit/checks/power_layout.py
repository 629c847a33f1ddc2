"""Checks of page 01 on the layout: one controller or two, cells, left against right, and what is lost when one thing breaks."""

import numpy as np

from twinkit import units
from twinkit.checks.base import Advice, Check, end_point_words
from twinkit.checks.power import SIDES, speaker, stays_cool, unknown, within
from twinkit.checks.wiring import as_meant

COMMON_PARTS = ("pack dead", "controller dead", "cell shorted", "bridge shorted")      # failures of parts of which there are two
NAMED = 2                                                                               # failures named in the sentence


class OneController(Check):
    step = "power"
    code = "P06"
    title = "A controller for each motor"
    why = "A controller times its motor by what the motor itself induces; it can listen to one rotor, not to two."
    source = "drive_trade"
    needs = ("power", "power_spread")
    examples = {"good": {}, "not": {"power.controllers": "one", "power.packs": "joined"}, "cannot tell": {"power.left.kv": None}}

    def look(self, results):
        power, say = results.power, speaker(results)
        if not power.one_controller:
            return self.say("good", "Each motor has a controller of its own.", results=results)
        left, right = power.fresh.left.motor_current, power.fresh.right.motor_current
        tried = results.power_spread.standing.fresh
        words = (f"Both motors hang on one controller. The currents add, the volts do not: {say(left, 'current')} and {say(right, 'current')} make "
                 f"{within(results)(left + right, tried.left.motor_current + tried.right.motor_current, 'current')} at the same {say(power.fresh.left.pack_volts, 'volts')}, about four times the heat in its bridge. "
                 "And it can time one sensorless rotor only; the other stutters, stops or burns.")
        return self.say("stop", words, None, None, Advice("Give each motor a controller of its own.", {"power.controllers": "two"}), results)


class ControllerCells(Check):
    step = "power"
    code = "P08"
    title = "Cells and controllers"
    why = "A controller for fewer cells breaks when the pack goes in, not in the air if you are lucky."
    source = "drive_trade"
    needs = ("power",)
    examples = {"good": {}, "not": {"power.left.controller_cells": 2}, "cannot tell": {"power.left.controller_cells": None}}

    def look(self, results):
        power = results.power
        sides = ("left",) if power.one_controller else SIDES
        lacking = [f"power.{side}.controller_cells" for side in sides if power.side(side).controller_cells is None]
        if lacking:
            return unknown(self, results, lacking)
        cells = {side: max(p.cells for p in power.packs) if power.shared else power.side(side).pack.cells for side in sides}
        side = min(sides, key=lambda s: power.side(s).controller_cells - cells[s])
        most = int(power.side(side).controller_cells)
        named = "controller" if power.one_controller else f"{side} controller"
        words = f"The {named} takes up to {most} cells; its pack has {cells[side]}."
        if cells[side] <= most:
            return self.say("good", words, cells[side], most, results=results)
        few = [s for s in sides if power.side(s).controller_cells < cells[s]]
        return self.say("stop", words, cells[side], most, Advice(f"Use a controller for {cells[side]} cells, or a pack of {most}.",
                                                                 {f"power.{s}.controller_cells": cells[s] for s in few}), results)


class UnlikeSides(Check):
    step = "power"
    code = "P09"
    title = "Left against right"
    why = "The stronger side turns the nose all the time: rudder trim, more drag, less margin when a motor quits."
    source = "common_practice"
    needs = ("power", "power_spread")
    limit = "limits.rpm_match"
    examples = {"good": {"power.right.kv": "1060 rpm/V", "power.right.motor_mass": "54 g", "power.right.no_load_current": "0.7 A", "power.right.c_rating": 25,
                         "power.right.pack_age": 1.4, "bench.points": []}, "not": {}, "cannot tell": {"power.right.kv": None}}

    def look(self, results):
        power = results.power
        bound = (1.0 + self.bound(results)) ** 2 - 1.0          # thrust grows with the square of the speed
        ends = [results.record.value(f"bench.{side}.end_point") for side in SIDES]
        both = power.solve(*ends, 0.0)
        left, right = float(both.left.thrust), float(both.right.thrust)
        more, difference = ("right" if right > left else "left"), abs(right - left)
        share = difference / min(left, right) if min(left, right) > 0.0 else np.inf
        tried = results.power_spread.standing.at(*ends)
        over = (tried.right.thrust - tried.left.thrust) * (1.0 if more == "right" else -1.0)
        apart = within(results)(difference, over, "thrust", 2)
        where = "At full stick" if min(ends) < 1.0 else "At full throttle"
        if share <= bound:
            words = f"{where} both sides pull alike: the difference is {apart}, {units.digits(100.0 * share, 2)} %."
            return self.say("good", words, share, bound, results=results)
        words = (f"{where} the {more} side pulls {apart} more, {units.digits(100.0 * share, 2)} %; "
                 f"{units.digits(100.0 * bound, 2)} % would be a good pair.")
        return self.say("look again", words, share, bound, self._end_point(results, more, ends), results)

    @staticmethod
    def _end_point(results, more, ends):
        """End point of the stronger side at which both pull alike, to the whole per cent a transmitter can be set to."""
        power, throttles = results.power, np.linspace(0.5, 1.0, 51)
        both = power.solve(*((throttles, ends[1]) if more == "left" else (ends[0], throttles)), 0.0)
        surplus = (both.left.thrust - both.right.thrust) * (1.0 if more == "left" else -1.0)
        if not surplus[0] < 0.0 < surplus[-1]:
            return Advice(f"The sides are too unlike for an end point: use alike motors, or a smaller propeller on the {more}.")
        best = int(np.argmin(np.abs(surplus)))
        end, thrust = round(float(throttles[best]), 2), float(min(both.left.thrust[best], both.right.thrust[best]))
        if results.record.value("power.throttle") == "y_lead":
            return Advice(f"With a Y-lead both hear the same stick: take two channels, then let full stick give the {more} side {end_point_words(end)}.")
        return Advice(f"Let full stick give the {more} side {end_point_words(end)}: both then pull about {speaker(results)(thrust, 'thrust')}. "
                      "Page 06 gives the curve for part throttle.", {f"bench.{more}.end_point": end})


class AlikePacks(Check):
    step = "power"
    code = "P10"
    title = "Cells of the packs"
    why = "Two packs of unlike cell count give unlike sides; joined, the larger one pours itself into the smaller."
    source = "drive_trade"
    needs = ("power",)
    examples = {"good": {}, "not": {"power.right.cells": 2}, "cannot tell": {"power.right.cells": None}}

    def look(self, results):
        packs = results.power.packs
        if len(packs) == 1:
            return self.say("good", "One pack feeds both sides.", results=results)
        left, right = (p.cells for p in packs)
        if left == right:
            return self.say("good", f"Both packs have {left} cells.", right, left, results=results)
        joined = results.power.shared
        words = f"The left pack has {left} cells, the right one {right}." + (" Joined they would burn." if joined else "")
        side, cells = ("right", left) if right < left else ("left", right)
        return self.say("stop" if joined else "look again", words, right, left, Advice(f"Use packs of {cells} cells on both sides.", {f"power.{side}.cells": cells}), results)


class TotalLoss(Check):
    step = "power"
    code = "P12"
    title = "What two packs are worth"
    why = "A second pack is weight and joints; it is redundancy only if no single pack or controller takes radio or both motors with it."
    source = "wiring_trade"
    needs = ("layout",)
    examples = {"good": {"power.source": "both_diodes", "wiring.left.red_lead": None, "wiring.right.red_lead": None}, "not": {}, "cannot tell": {"power.left.cells": None}}

    def look(self, results):
        facts = results.layout
        if not facts.buildable:
            return self.say("stop", f"This layout cannot be built. {facts.why_not}", None, None, self._buildable(results), results)
        everything, common = len(facts.single_points), self._common(facts)
        if facts.layout.packs == "one":
            words = f"With one pack nothing is doubled: {everything} single failures lose the radio or both motors, as on a model with one motor."
            return self.say("good", words, everything, results=results)
        if not common:
            return self.say("good", f"No single pack or controller loses the radio or both motors; {everything} other single failures still do.", everything, results=results)
        words = f"Two packs alone are no redundancy: if {' or if '.join(common[:NAMED])}, everything is lost. {everything} single failures in all do that."
        return self.say("look again", words, everything, 0, self._better(results), results)

    @staticmethod
    def _common(facts):
        return tuple(point.failure.words for point in facts.single_points if point.failure.kind in COMMON_PARTS)

    def _better(self, results):
        """The smallest change of layout, tried on the graph, after which no single pack or controller loses everything and no regulator grows too hot (page 02)."""
        both = {"power.source": "both_diodes", **{f"wiring.{side}.red_lead": "connected" for side in SIDES}}
        chosen = results.layout.layout
        own = {"power.source": "receiver_pack", **as_meant("receiver_pack", chosen.opto, chosen.controllers)}
        for words, changes in (("Feed the receiver from both regulators through a diode each.", both), ("Feed the receiver from a pack of its own.", own),
                               ("Keep the packs apart and feed the receiver from both regulators through a diode each.", {"power.packs": "two", **both}),
                               ("Keep the packs apart and feed the receiver from a pack of its own.", {"power.packs": "two", **own})):
            after = results.changed(changes)
            if after.layout.buildable and not self._common(after.layout) and stays_cool(after):
                return Advice(words, changes)
        return Advice("Feed the receiver from a pack of its own.")

    @staticmethod
    def _buildable(results):
        for words, changes in (("Give each motor a controller of its own.", {"power.controllers": "two"}), ("Feed the receiver from a pack of its own.", {"power.source": "receiver_pack"})):
            if results.changed(changes).layout.buildable:
                return Advice(words, changes)
        return None
