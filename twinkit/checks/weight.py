"""Checks of page 04: does it balance, can the packs get there, is it level, and is it too heavy?"""

import math

from twinkit import tables, units
from twinkit.checks.base import Advice, Check
from twinkit.design.weight import BALLAST

MILLIMETRE = 0.001
ALIKE = 0.005      # stops of two packs that differ by less are told as one [m]
FIRST_TURN = math.radians(45.0)
BOARD = 0.006      # what a bulkhead and its glue take [m]


def speaker(results):
    """say(value, kind) in the reader's units; lengths below 100 mm and masses below 100 g without a digit nobody can measure."""
    system = results.record.value("start.units")

    def say(value, kind, significant=None):
        if significant is None and value is not None and kind in ("length", "mass"):
            if system == "imperial":
                significant = 2 if abs(value) < 0.026 else 3      # below an inch or an ounce
            elif abs(value) < 0.0995:
                value = round(value, 3)
                significant = 1 if abs(value) < 0.0095 else 2
        return units.say(value, kind, system, significant or 3)

    return say


def beside(value, say):
    """A place in short: '60 mm ahead of'."""
    return f"{say(abs(value), 'length')} {'ahead of' if value < 0.0 else 'behind'}"


def placed(value, say):
    """A place in words: '60 mm ahead of the leading edge'."""
    return f"{beside(value, say)} the leading edge"


def way(distance):
    return "forward" if distance < 0.0 else "back"


def told(seconds):
    """A time that is not to be passed, as it is told [s]: whole minutes, rounded down; whole seconds below two minutes."""
    return 60.0 * math.floor(seconds / 60.0) if seconds >= 120.0 else float(math.floor(seconds))


def minutes(seconds):
    """The same in words."""
    return f"{told(seconds) / 60.0:.0f} min" if seconds >= 120.0 else f"{told(seconds):.0f} s"


def pack_words(count):
    return "the pack" if count == 1 else "both packs"


def places(slide):
    """The record's entries with the packs where they must sit, on the millimetre."""
    return {f"weight.{p.side}.pack_behind": round(p.together / MILLIMETRE) * MILLIMETRE for p in slide.packs}


def places_words(slide, say):
    """Where the packs belong, in words."""
    same = len({round(p.together / MILLIMETRE) for p in slide.packs}) == 1
    return placed(slide.packs[0].together, say) if same else " and ".join(f"{placed(p.together, say)} ({p.side})" for p in slide.packs)


def stops_words(slide, say):
    """From where to where the packs may slide, in words."""
    short = [p for p in slide.packs if p.foremost > p.rearmost]
    if short:
        return f"the {short[0].room.where} is too short for {pack_words(len(short))}"
    span = lambda front, rear: f"from {beside(front, say)} it to {beside(rear, say)} it"  # noqa: E731
    fronts, rears = [p.foremost for p in slide.packs], [p.rearmost for p in slide.packs]
    if max(fronts) - min(fronts) < ALIKE and max(rears) - min(rears) < ALIKE:
        return f"{'it' if len(slide.packs) == 1 else 'they'} may sit {span(max(fronts), min(rears))}"
    return " and ".join(f"the {p.side} one may sit {span(p.foremost, p.rearmost)}" for p in slide.packs)


def ballast_changes(results):
    """The record's entries with the packs at their stop and the ballast as a line of the parts table."""
    slide, record = results.slide, results.record
    line = {"name": BALLAST, "mass": slide.ballast, "count": 1, "behind": slide.ballast_place, "below": results.geometry.wing_above, "origin": "chosen"}
    return {**{f"weight.{side}.pack_behind": stop for side, stop in slide.ballast_ends}, "weight.parts": [*record.rows("weight.parts"), line]}


class CentreOfGravity(Check):
    code = "W01"
    title = "Where it balances"
    why = "Tail-heavy aeroplanes cannot be flown home; nose-heavy ones land fast."
    source = "common_practice"
    needs = ("weight", "slide")
    limit = "limits.cg_first"
    examples = {"good": {"weight.left.pack_behind": "-60 mm", "weight.right.pack_behind": "-60 mm"},
                "not": {"weight.left.pack_behind": "40 mm", "weight.right.pack_behind": "40 mm"}, "cannot tell": {"weight.left.pack_behind": None}}

    def look(self, results):
        weight, slide, say = results.weight, results.slide, speaker(results)
        system = results.record.value("start.units")
        cg, spread = weight.cg_behind, weight.cg_spread
        wanted = units.say_range(slide.front, slide.rear, "length", system)
        told = "On two fingers it balances" if weight.cg_origin == "balance" else "By the list it balances"
        words = f"{told} {placed(cg, say)} (± {say(spread, 'length')}); wanted is {wanted}{'' if slide.range_from == 'page 05' else ', as most aeroplanes fly'}"
        if slide.front <= cg <= slide.rear:
            beyond = cg + spread > slide.rear and weight.cg_origin == "list"
            words += ". The spread reaches past the rear end: balance it before it flies." if beyond else "."
            return self.say("good", words, cg, slide.wanted, results=results)
        neutral = results.wing.neutral_behind
        tail_heavy = cg > slide.rear
        stop = tail_heavy and neutral is not None and cg + spread > neutral
        words += f". It is {'tail' if tail_heavy else 'nose'}-heavy"
        words += f"; the neutral point lies at {say(neutral, 'length')}, inside the spread: it cannot be flown like this." if stop else "."
        return self.say("stop" if stop else "look again", words, cg, slide.wanted, self.advice(results, say), results)

    def advice(self, results, say):
        slide, measured = results.slide, results.weight.cg_origin == "balance"
        again = " Then balance it again." if measured else ""
        reading = {"weight.cg_measured": slide.wanted} if measured else {}
        if slide.reachable:
            moves = {p.side: p.together - p.now for p in slide.packs}
            if len({round(m / MILLIMETRE) for m in moves.values()}) == 1:
                goal = places_words(slide, say)
                words = f"Slide {pack_words(len(moves))} {say(abs(slide.slide), 'length')} {way(slide.slide)}, to {goal}."
            else:
                words = f"Put both packs {placed(slide.packs[0].together, say)}, side by side."
            return Advice(words + again, {**places(slide), **reading})
        if slide.ballast is None:
            return Advice("The packs cannot bring it there: move what is heavy by hand, then look again.")
        words = (f"Put {pack_words(len(slide.packs))} at the {'front' if slide.ballast_at == 'nose' else 'rear'} stop, {placed(slide.ballast_ends[0][1], say)}, "
                 f"and {say(slide.ballast, 'mass')} at the {slide.ballast_at}.")
        return Advice(words + again, reading if measured else ballast_changes(results))


class PacksFit(Check):
    code = "W02"
    title = "Packs at their place"
    why = "Packs are the only ballast that earns its keep; what they cannot reach costs lead."
    source = "mechanics"
    needs = ("weight", "slide")
    examples = {"good": {"weight.pack_foremost": "-190 mm"}, "not": {"weight.pack_foremost": "-20 mm"}, "cannot tell": {"weight.right.pack_behind": None}}

    def look(self, results):
        slide, say = results.slide, speaker(results)
        goal, count = slide.packs[0].together, len(slide.packs)
        bay = stops_words(slide, say)
        outside = [p.side for p in slide.packs if not p.inside]
        where = f"For the wanted balance {pack_words(count)} {'belongs' if count == 1 else 'belong'} {places_words(slide, say)}"
        if slide.reachable and not outside:
            return self.say("good", f"{where}; {bay}.", goal, None, results=results)
        if slide.reachable:
            named = "the pack" if count == 1 else "both packs" if len(outside) == count else f"the {outside[0]} pack"
            return self.say("look again", f"{where}; {bay}, and {named} now {'sit' if named == 'both packs' else 'sits'} outside.", goal, None,
                            Advice(f"Put {pack_words(count)} {places_words(slide, say)}.", places(slide)), results)
        if slide.front <= results.weight.cg_behind <= slide.rear and not outside:
            return self.say("good", f"{where}, which they cannot reach ({bay}); where they sit the CG is inside the wanted range all the same.", goal, None, results=results)
        short = [p for p in slide.packs if not p.together_inside]
        forward = any(p.together < p.foremost for p in short)
        in_bay = all(p.room.where == "fuselage" for p in slide.packs)
        half = max(p.room.length for p in slide.packs) / 2.0
        end = (math.floor if forward else math.ceil)((min if forward else max)(p.together for p in slide.packs) / MILLIMETRE) * MILLIMETRE
        words, changes = [], {}
        if in_bay and slide.nose + half + BOARD < end < results.geometry.tail_end_behind - half - BOARD and all(p.room.fits for p in slide.packs):
            words.append(f"open the bay {'forward' if forward else 'back'} to {placed(end, say)}")
            changes = {("weight.pack_foremost" if forward else "weight.pack_rearmost"): end, **places(slide)}
        if not in_bay:
            words.append(f"lay {pack_words(count)} in the fuselage, in the middle")
            changes = {f"weight.{p.side}.pack_out": 0.0 for p in slide.packs if p.room.where != "fuselage"}
        if slide.ballast is not None:
            words.append(f"add {say(slide.ballast, 'mass')} at the {slide.ballast_at}")
            changes = changes or ballast_changes(results)
        sentence = ", or ".join(words) or "move what is heavy by hand"
        stop = short[0].foremost if forward else short[0].rearmost
        return self.say("look again", f"{where}, but {bay}.", goal, stop,
                        Advice(sentence[0].upper() + sentence[1:] + ".", changes), results)


class Mass(Check):
    code = "W03"
    title = "Mass against what you aim at"
    why = "A quarter more mass than planned stalls a tenth faster, in the first turn."
    source = "common_practice"
    needs = ("weight",)
    limit = "limits.mass_over"
    examples = {"good": {"weight.mass_target": "1200 g"}, "not": {"weight.sheet_mass": "560 g/m2"}, "cannot tell": {"weight.parts": []}}

    def look(self, results):
        weight, say = results.weight, speaker(results)
        system, most = results.record.value("start.units"), weight.target * (1.0 + self.bound(results))
        over = weight.mass / weight.target - 1.0
        told = "The scale says" if weight.mass_origin == "scale" else "The list comes to"
        aim = "what you aim at" if results.record.get("weight.mass_target") else "the first guess of page 00"
        words = (f"{told} {say(weight.mass, 'mass')} ({units.say_range(weight.mass_low, weight.mass_high, 'mass', system, 3)}), "
                 f"{say(abs(over), 'share', 2)} {'above' if over > 0 else 'below'} {aim}, {say(weight.target, 'mass')}.")
        if weight.mass <= most:
            return self.say("good", words, weight.mass, most, results=results)
        in_turn = math.sqrt(weight.mass / weight.target / math.cos(FIRST_TURN))      # stall in the turn over the stall planned for
        stop = in_turn >= results.record.value("rudder.approach_factor")
        if stop:
            stall = results.wing.stall_speed
            told = "" if stall is None else f" at {say(stall / math.sqrt(math.cos(FIRST_TURN)), 'speed')}"
            words += f" Flown at the speeds you planned for it stalls in its first turn of 45 degrees{told}."
        return self.say("stop" if stop else "look again", words, weight.mass, most, self.advice(results, weight.mass - most, say), results)

    def advice(self, results, excess, say):
        weight, record = results.weight, results.record
        if weight.mass_origin == "list":
            grown = weight.foam_area * (1.0 + record.value("weight.glue_share")) * (1.0 + record.value("weight.growth"))
            lighter = math.floor((record.value("weight.sheet_mass") - excess / grown) * 1000) / 1000
            if lighter >= tables.values("weight/spreads")["board_light"]:
                return Advice(f"Find a board of {units.say(lighter, 'areal mass', record.value('start.units'))} or lighter, or leave out {say(excess, 'mass')}.",
                              {"weight.sheet_mass": lighter})
        target = math.ceil(weight.mass / (1.0 + self.bound(results)) * 1000) / 1000
        return Advice(f"Leave out {say(excess, 'mass')}, or aim at {say(target, 'mass')} and see on page 05 what the wing says.", {"weight.mass_target": target})


class Level(Check):
    code = "W04"
    title = "Level wing"
    why = "Unlike packs or motors make one wing heavy; the aileron that holds it up is missing in the flare."
    source = "common_practice"
    needs = ("weight", "slide")
    limit = "limits.cg_out"
    examples = {"good": {"weight.left.pack_out": "0 mm"}, "not": {"weight.left.pack_out": "140 mm"}, "cannot tell": {"power.left.motor_mass": None}}

    def look(self, results):
        slide, say = results.slide, speaker(results)
        bound = self.bound(results) * results.geometry.span
        off = abs(slide.out)
        if off < MILLIMETRE:
            return self.say("good", f"It balances within {say(MILLIMETRE, 'length')} of the middle.", off, bound, results=results)
        heavy = "right" if slide.out > 0.0 else "left"
        words = f"It balances {say(off, 'length')} {heavy} of the middle; {say(bound, 'length')} is allowed.{self.trim(results, heavy, say)}"
        if off <= bound:
            return self.say("good", words, off, bound, results=results)
        tip = f"{say(slide.tip_mass, 'mass')} at the {slide.tip_side} wing tip"
        move = slide.sideways
        if move is None:
            return self.say("look again", words, off, bound, Advice(f"Put {tip}, or move what is heavy inward."), results)
        return self.say("look again", words, off, bound, Advice(
            f"Move the {move.side} pack to {say(move.then, 'length')} from the middle, or put {tip}.", {f"weight.{move.side}.pack_out": move.then}), results)

    def trim(self, results, heavy, say):
        """The aileron that holds it up on the approach, while it is known."""
        held = results.level
        if not held.known or held.aileron is None:
            return ""
        if held.aileron > held.travel:
            return f" On the approach all the aileron you have, {say(held.travel, 'angle', 2)}, does not hold the {heavy} wing up."
        return f" On the approach {say(held.aileron, 'angle', 2)} of aileron of your {say(held.travel, 'angle', 2)} hold the {heavy} wing up."


class KnownMass(Check):
    code = "W09"
    title = "What the mass rests on"
    why = "Boards of one thickness differ by a factor of two; nothing else on the list is as uncertain as a sheet nobody weighed."
    source = "builders_board"
    needs = ("weight",)
    examples = {"good": {"weight.mass_measured": "1110 g"}, "not": {"weight.sheet_weighed": False}, "cannot tell": {"wing.chord": None}}

    def look(self, results):
        weight, say = results.weight, speaker(results)
        if weight.mass_origin == "scale":
            return self.say("good", "The finished aeroplane was weighed: the list no longer decides.", results=results)
        spread = (weight.mass_high - weight.mass_low) / 2.0
        foam = dict(weight.spread_shares)["foam"]
        lacking = f" These have no mass yet: {', '.join(weight.without_mass[:4])}." if weight.without_mass else ""
        words = f"The mass is known to ± {say(spread, 'mass')}; the foam parts make ± {say(foam, 'mass')} of it."
        if weight.sheet_weighed and not lacking:
            return self.say("good", words, spread, results=results)
        if weight.sheet_weighed:
            return self.say("look again", words + lacking, spread, None, Advice("Weigh them, or enter an estimate."), results)
        return self.say("look again", words + lacking, spread, None, Advice(
            f"Weigh a whole sheet, enter what a square metre weighs and say that it was weighed: the foam parts are then known to ± {say(foam * _narrower(), 'mass')}.",
            {"weight.sheet_weighed": True}), results)


def _narrower():
    s = tables.values("weight/spreads")
    return s["sheet_weighed"] / s["sheet_assumed"]
