"""Checks of page 02 on what is set: rotation, both controllers alike, throttle cut and failsafe on both outputs."""

from twinkit import quantities, units
from twinkit.checks.base import Advice, Check
from twinkit.checks.wiring import joined
from twinkit.design.wiring_settings import end_point_costs
from twinkit.quantities import SIDES


END_POINT_OFF = 0.05     # stick that one side lacks, of which the finding tells what it costs


class OfTheSettings(Check):
    """A check on the settings of both sides."""

    step = "wiring"
    source = "common_practice"
    needs = ("settings",)


class Rotation(OfTheSettings):
    code = "R14b"
    title = "Propeller hand and motor turning"
    why = "A propeller that turns against its hand blows forwards and weakly; on one side only, the aeroplane swings off its wheels."
    examples = {"good": {}, "not": {"wiring.left.turns": "anticlockwise"}, "cannot tell": {"power.left.cells": None}}

    def look(self, results):
        settings = results.settings
        have, need, hands, faces = settings.turns, settings.needed_turns, settings.hands, settings.values["print_faces"]
        wrong, back = [n for n in (0, 1) if have[n] != need[n]], [n for n in (0, 1) if faces[n] == "backwards"]
        if not wrong and not back:
            words = "opposite ways: the twist of one cancels that of the other" if have[0] != have[1] else f"{have[0]}, both: their twists add, and the aeroplane leans against them"
            return self.say("good", f"Your motors turn {words} (seen from the cockpit). Each has the propeller of that hand, its print forwards.", results=results)
        said, advice, changes = [], [], {}
        if wrong:
            said.append(joined(f"the {SIDES[n]} motor turns {have[n]} with a {hands[n]} propeller, which pulls only {need[n]}" for n in wrong))
            advice.append(f"Swap any two of the three wires of the {joined(SIDES[n] for n in wrong)} motor, for example 1 and 3 (the outer two); then run each motor alone with the propeller off and look.")
            changes |= {f"wiring.{SIDES[n]}.turns": need[n] for n in wrong if settings.values["turns"][n] == have[n]}
            changes |= {"wiring.mistake": "none"} if any(settings.values["turns"][n] != have[n] for n in wrong) else {}
        if back:
            said.append(f"the {joined(SIDES[n] for n in back)} propeller sits back to front and gives about half its thrust")
            advice.append(f"Turn the {joined(SIDES[n] for n in back)} propeller round: the print faces the way you fly.")
            changes |= {f"wiring.{SIDES[n]}.print_faces": "forwards" for n in back}
        return self.say("stop", f"Seen from the cockpit {joined(said)}.", results=results, advice=Advice(" ".join(advice), changes))


class SettingsAlike(OfTheSettings):
    code = "R20"
    title = "Both controllers set alike"
    why = "With a brake on one side only the aeroplane yaws each time you close the throttle; unlike cut-offs stop one motor first."
    examples = {"good": {}, "not": {"wiring.left.brake": True}, "cannot tell": {"wiring.left.brake": None}}

    def look(self, results):
        settings = results.settings
        unlike = [name for name in ("brake", "timing", "cut_off") if settings.unlike(name)]
        unseen = [name for name in ("brake", "timing", "cut_off") if settings.unseen(name)]
        if not unlike and unseen and len(settings.sides) > 1:
            said = joined(quantities.quantity("wiring." + name).label for name in unseen)
            return self.say("cannot tell", f"Nobody has looked in both controllers at: {said}.", results=results)
        if not unlike:
            return self.say("good", "Brake, timing and cut-off are the same on both sides." if len(settings.sides) > 1 else "There is one controller.", results=results)
        said = joined(f"{quantities.quantity('wiring.' + name).label} (left {_shown(name, settings.values[name][0])}, right {_shown(name, settings.values[name][1])})" for name in unlike)
        to = {name: self.common(results, name) for name in unlike}
        sentence = joined(f"{quantities.quantity('wiring.' + name).label} {_shown(name, value)}" for name, value in to.items())
        return self.say("stop" if "brake" in unlike else "look again", f"Not the same on both sides: {said}.", results=results,
                        advice=Advice(f"Set both sides to {sentence}.", {f"wiring.{side}.{name}": value for name, value in to.items() for side in SIDES}))

    @staticmethod
    def common(results, name):
        """What both sides should be set to: a brake only for propellers that fold, the lower timing, the higher cut-off."""
        values = results.settings.values[name]
        if name == "brake":
            return all(results.record.value(f"power.{side}.propeller_style") == "folding" for side in SIDES)
        if name == "timing":
            return min(values, key=list(quantities.quantity("wiring.timing").choices).index)
        return max(values)


def _shown(name, value):
    if name == "brake":
        return "on" if value else "off"
    return units.say(value, "volts", significant=2) if name == "cut_off" else value


class CellCount(OfTheSettings):
    code = "R21"
    title = "Cell count set by hand"
    why = "A controller that counts by itself takes a half-charged pack for one cell fewer, and then cuts far too late."
    examples = {"good": {"wiring.left.set_cells": 3, "wiring.right.set_cells": 3}, "not": {"wiring.left.set_cells": 2, "wiring.right.set_cells": 3},
                "cannot tell": {"wiring.left.set_cells": None, "wiring.right.set_cells": None}}

    def look(self, results):
        settings = results.settings
        there = [(side, int(have), need) for side, have, need in zip(SIDES, settings.values["set_cells"], settings.cells) if side in settings.sides]
        changes = {f"wiring.{side}.set_cells": need for side, have, need in there if have != need}
        if not changes:
            return self.say("good", f"The cell count is set by hand on {'both sides' if len(there) > 1 else 'the controller'}: {joined(str(need) for _, _, need in there)}.", results=results)
        advice = Advice("Set it by hand, then plug in a half-charged pack and count the beeps.", changes)
        wrong = [(side, have, need) for side, have, need in there if have not in (0, need)]
        if wrong:
            return self.say("stop", joined(f"The {side} controller is set to {have} cells, its pack has {need}" for side, have, need in wrong) + ".", results=results, advice=advice)
        if settings.unseen("set_cells"):
            return self.say("cannot tell", f"Nobody has looked whether the cell count is set by hand in the {joined(settings.unseen('set_cells'))} controller; most count by themselves.",
                            results=results, advice=advice)
        sides = joined(side for side, have, _ in there if not have)
        return self.say("look again", f"The {sides} controller{' counts its cells by itself' if len(changes) == 1 else 's count their cells by themselves'}.", results=results, advice=advice)


class EndPoints(OfTheSettings):
    code = "R22"
    title = "Throttle end points"
    why = "Two controllers that have not learned the same stick start and end at different places, and the aeroplane yaws with the throttle."
    examples = {"good": {}, "not": {"wiring.right.calibrated": False}, "cannot tell": {"wiring.right.calibrated": None}}

    def look(self, results):
        settings = results.settings
        if settings.unseen("calibrated"):
            return self.say("cannot tell", f"Nobody has said whether the {joined(settings.unseen('calibrated'))} controller has learned the ends of the throttle stick.", results=results)
        new = [side for side, done in zip(SIDES, settings.values["calibrated"]) if side in settings.sides and not done]
        if not new:
            return self.say("good", "Each controller has learned the ends of the throttle stick.", results=results)
        return self.say("look again", f"The {joined(new)} controller has not learned the ends of the throttle stick yet.{self.costs(results)}", results=results,
                        advice=Advice("Propellers off: teach each controller by itself, the other unplugged, as its leaflet says; then both again.",
                                      {f"wiring.{side}.calibrated": True for side in new}))

    @staticmethod
    def costs(results):
        """What a calibration that is off by END_POINT_OFF does to the thrust, by the drives of page 01."""
        if not results.power.known:
            return ""
        half, full = (units.say(cost.lost, "thrust", results.record.value("start.units"), 2) for cost in end_point_costs(results.power, (END_POINT_OFF,)))
        return f" {units.say(END_POINT_OFF, 'share', significant=2)} of the stick less on one side is {full} less thrust there at full stick, {half} at half."


class CutAndFailsafe(OfTheSettings):
    code = "R23"
    title = "Throttle cut and failsafe on both outputs"
    why = "A throttle cut that stops one motor of two leaves a hand in reach of the other; a failsafe that holds flies away."
    examples = {"good": {}, "not": {"wiring.right.cut_set": False, "wiring.left.failsafe_set": False}, "cannot tell": {"wiring.right.cut_set": None}}

    def look(self, results):
        settings = results.settings
        names = (("cut_set", "the throttle cut"), ("failsafe_set", "the failsafe"))
        open_ = [(name, word, [side for side, done in zip(SIDES, settings.values[name]) if side in settings.sides and done is False]) for name, word in names]
        open_ = [(name, word, sides) for name, word, sides in open_ if sides]
        unseen = [(name, word, settings.unseen(name)) for name, word in names if settings.unseen(name)]
        said = lambda rows: joined(f"{word} on the {joined(sides)} output" for _, word, sides in rows)  # noqa: E731
        advice = Advice("Propellers off, model held: set them, try the cut with the motors running slowly, then switch the transmitter off and watch both motors stop.",
                        {f"wiring.{side}.{name}": True for name, _, sides in (*open_, *unseen) for side in sides})
        if open_:
            return self.say("stop", f"Does not close: {said(open_)}. Do not fly before both close both motors.", results=results, advice=advice)
        if unseen:
            return self.say("cannot tell", f"Nobody has tried: {said(unseen)}. Do not fly before both are seen to close both motors.", results=results, advice=advice)
        return self.say("good", "Throttle cut and failsafe have been tried and close both throttle outputs.", results=results)
