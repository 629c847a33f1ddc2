"""Checks of page 05 on building: sheets and car, the spar, room round the propellers."""

import math

from twinkit import units
from twinkit.checks.base import Advice
from twinkit.checks.wing import MASS, WingCheck, speaker, up, weigh


class FitsTheSheet(WingCheck):
    code = "A02"
    title = "Parts on your sheets"
    why = "A part that is longer than the sheet needs a splice, and a splice in the wrong place is where it breaks."
    grounds = ("start.sheet_", "wing.fuselage_", "wing.nacelle_")
    examples = {"good": {"start.sheet_length": "1000 mm"}, "not": {"start.sheet_length": "750 mm", "start.sheet_width": "500 mm"}, "cannot tell": {"wing.chord": None}}

    def look(self, results):
        plan, say = results.wing.cutting, speaker(results)
        sheet = f"{say(plan.sheet_length, 'length')} by {say(plan.sheet_width, 'length')}"
        if not plan.misfits:
            sheets = "one sheet" if plan.sheets == 1 else f"{plan.sheets} sheets"
            return self.say("good", f"Every part fits a sheet of {sheet}. Laid out they need {sheets}, {say(plan.used, 'share', 2)} of {'it' if plan.sheets == 1 else 'them'} used.", results=results)
        named = " and ".join(f"the {m.name} ({say(m.length, 'length')} by {say(m.width, 'length')})" for m in plan.misfits)
        length, width = (up(max(x), 0.001) for x in zip((plan.sheet_length, plan.sheet_width), *((m.length, m.width) for m in plan.misfits)))
        return self.say("look again", f"On a sheet of {sheet} there is no room for {named}.", len(plan.misfits), 0, Advice(
            f"Find sheets of {say(length, 'length')} by {say(width, 'length')}, or splice the part away from the nacelles with a doubler over the joint.",
            {"start.sheet_length": length, "start.sheet_width": width}), results)


class FitsTheCar(WingCheck):
    code = "A03"
    title = "Longest part in the car"
    why = "An aeroplane that does not fit the car is not flown."
    grounds = ("wing.pieces", "start.longest_piece")
    examples = {"good": {"start.longest_piece": "1300 mm"}, "not": {"start.longest_piece": "900 mm"}, "cannot tell": {"wing.fuselage_length": None}}

    def look(self, results):
        wing, room, say = results.wing, results.start.longest_piece, speaker(results)
        words = f"The longest part is the {wing.longest_part_name} with {say(wing.longest_part, 'length')}; your car takes {say(room, 'length')}."
        pieces, half, span = results.record.value("wing.pieces"), results.geometry.span / 2, math.floor(room * results.record.value("wing.pieces") * 1000) / 1000
        if wing.longest_part_name == "fuselage":
            advice = Advice("Let the tail come off behind the wing, or take another car.")
        elif pieces == 1 and half <= room:
            advice = Advice(f"Part the wing in the middle: two halves of {say(half, 'length')}, the spar tube through the joint.", {"wing.pieces": 2})
        else:
            advice = Advice(f"Come down to {say(span, 'length')} of span.", {"wing.span": span})
        return weigh(self, results, wing.longest_part <= room, words, wing.longest_part, room, advice)


class SparReserve(WingCheck):
    code = "A09"
    title = "Spar at the design load"
    why = "Foam does not warn: a spar that is too thin breaks in the first pull-up."
    grounds = (*MASS, "wing.spar_", "wing.load_factor")
    source = "spar_statics"
    limit = "limits.spar_reserve"
    examples = {"good": {"wing.spar_outer": "10 mm", "wing.spar_inner": "8 mm"}, "not": {"wing.spar_outer": "5 mm", "wing.spar_inner": "4 mm"}, "cannot tell": {"wing.span": None}}

    def look(self, results):
        wing, bound, say = results.wing, self.bound(results), speaker(results)
        if wing.spar_reserve is None:
            return self.say("stop", "There is no spar tube with a wall: its inside, its outside or its reach cannot be right.", None, bound, Advice(
                "Take a tube of 8 mm outside and 6 mm inside.", {"wing.spar_kind": "tube", "wing.spar_outer": 0.008, "wing.spar_inner": 0.006, "wing.spar_reach": 0.75}), results)
        part = {"tube": "tube", "strip": "strip", "board": "doubled board"}[wing.spar.kind]
        words = (f"At {units.digits(results.record.value('wing.load_factor'), 2)} times its weight the root bends with {say(wing.bending_root, 'moment')} and the {part} sees "
                 f"{say(wing.spar_stress, 'stress')}: it carries {units.digits(wing.spar_reserve, 2)} times that; {units.digits(bound, 2)} is wanted.")
        advice = Advice("No single tube of this wall is enough: two tubes, or less span.")
        if wing.tube_needed:
            outer, inner = wing.tube_needed
            other = "" if wing.spar.kind == "tube" else "carbon "
            advice = Advice(f"Take a {other}tube of {say(outer, 'length')} outside and {say(inner, 'length')} inside.",
                            {"wing.spar_outer": outer, "wing.spar_inner": inner, **({} if wing.spar.kind == "tube" else {"wing.spar_kind": "tube"})})
        return weigh(self, results, wing.spar_reserve >= bound, words, wing.spar_reserve, bound, advice, wing.spar_reserve < 1.0)


class SparReach(WingCheck):
    code = "A10"
    title = "Where the spar ends"
    why = "Beyond the tube the paper carries alone, and a nacelle outside it folds the wing there."
    grounds = (*MASS, "wing.spar_", "wing.load_factor", "wing.board_thickness")
    source = "allen_sandwich"
    limit = "limits.spar_reserve"
    examples = {"good": {"wing.spar_reach": "80 %"}, "not": {"wing.spar_reach": "30 %"}, "cannot tell": {"wing.nacelle_out": None}}

    def look(self, results):
        wing, bound, say = results.wing, self.bound(results), speaker(results)
        past = wing.spar_end - results.geometry.nacelle_out
        reserve = wing.skin_reserve or math.inf
        carries = f"; there the paper carries {units.digits(reserve, 2)} times its load" if wing.skin_reserve else ""
        words = f"The {'tube' if wing.spar.kind == 'tube' else 'spar'} ends {say(wing.spar_end, 'length')} out, {say(abs(past), 'length')} {'past' if past >= 0 else 'short of'} the nacelle{carries}."
        needed = min(up(wing.reach_needed + 0.01, 0.01), 1.0)
        advice = Advice(f"Let it reach {say(needed * results.geometry.span / 2, 'length')} out, {say(needed, 'share', 2)} of the half span.", {"wing.spar_reach": needed})
        return weigh(self, results, past > results.geometry.nacelle_width / 2 and reserve >= bound, words, wing.skin_reserve, bound, advice, reserve < 1.0)


class Clearance(WingCheck):
    """Room round a propeller; a subclass says field, words and advice."""

    field = ""

    def look(self, results):
        room, bound = getattr(results.wing, self.field), self.bound(results)
        if room is None:
            return self.say("cannot tell", "Not yet known: propeller diameter (page 01).", results=results)
        say = lambda value: speaker(results)(value, "length")  # noqa: E731
        words, advice, stop = self.speak(results, room, bound, say)
        return weigh(self, results, room >= bound, f"{words}; {say(bound)} is wanted.", room, bound, advice, stop)


class PropellerToFuselage(Clearance):
    code = "A11"
    title = "Propeller to fuselage"
    why = "A wing flexes and a nacelle leans; a tip that touches the fuselage stops a motor and throws splinters."
    grounds = ("wing.fuselage_width",)
    limit = "limits.tip_fuselage"
    field = "tip_fuselage"
    examples = {"good": {"wing.nacelle_out": "225 mm"}, "not": {"wing.nacelle_out": "150 mm"}, "cannot tell": {"power.left.propeller_diameter": None}}

    def speak(self, results, room, bound, say):
        words = f"The propeller tip passes {say(room)} from the fuselage" if room > 0.0 else f"The propeller cuts {say(-room)} into the fuselage"
        out = up(results.geometry.nacelle_out + bound - room, 0.001)
        return words, Advice(f"Nacelles {say(out)} out.", {"wing.nacelle_out": out}), room <= 0.0


class PropellerToGround(Clearance):
    code = "A12"
    title = "Propeller to ground"
    why = "Grass is higher than it looks; a propeller in it breaks, or noses the aeroplane over."
    grounds = ("wing.propeller_below",)
    limit = "limits.tip_ground"
    field = "tip_ground"
    examples = {"good": {"wing.gear_height": "200 mm"}, "not": {"wing.gear_height": "130 mm"}, "cannot tell": {"power.right.propeller_diameter": None}}

    def speak(self, results, room, bound, say):
        passes = f"pass {say(room)} over the ground" if room > 0.0 else f"reach {say(-room)} into the ground"
        height = up(results.record.value("wing.gear_height") + bound - room, 0.001)
        by_hand = " Launched by hand and without wheels it wants folding propellers or a brake instead." if results.start.launch == "hand" else ""
        advice = Advice(f"Longer legs: {say(height)} from wing to ground.{by_hand}", {"wing.gear_height": height})
        return f"With the tail level the propeller tips {passes}", advice, room <= 0.0 and not by_hand


class PropellerToHand(Clearance):
    code = "A13"
    title = "Propeller to the hand that launches"
    why = "In a hand launch both propellers turn beside your knuckles."
    grounds = ("wing.grip_behind", "wing.fuselage_width")
    limit = "limits.tip_hand"
    field = "tip_hand"
    examples = {"good": {"start.launch": "hand", "wing.grip_behind": "90 mm"}, "not": {"start.launch": "hand", "wing.grip_behind": "10 mm"},
                "cannot tell": {"start.launch": "hand", "power.left.propeller_diameter": None}}

    def look(self, results):
        if results.start.launch != "hand":
            return self.say("good", "It rolls off the ground: no hand comes near a turning propeller.", results=results).narrowed(())
        return super().look(results)

    def speak(self, results, room, bound, say):
        plane, grip = results.geometry.propeller_behind, results.record.value("wing.grip_behind")
        aside = room**2 - (grip - plane) ** 2
        behind = up(plane + math.sqrt(max(bound**2 - aside, 0.0)), 0.001)
        advice = Advice(f"Grip it {say(behind)} behind the leading edge, on a strip of wood glued there.", {"wing.grip_behind": behind})
        return f"Your knuckles are {say(room)} from the nearest propeller tip", advice, room < bound * 2 / 3
