"""Checks of page 00: does the wish fit the radio, the car and what the builder knows?"""

import math

from twinkit import units
from twinkit.checks.base import Advice, Check


class EnoughOutputs(Check):
    code = "S01"
    title = "Receiver outputs"
    why = "Every servo and every throttle needs a plug of its own; trimming the sides against each other needs two throttle outputs."
    source = "common_practice"
    needs = ("start",)
    examples = {"good": {"start.outputs": 7}, "not": {"start.outputs": 5}, "cannot tell": {"start.span_guess": None}}

    def look(self, results):
        outset = results.start
        need, have = outset.outputs_needed, outset.outputs
        if have >= need:
            return self.say("good", f"Your layout needs {need} outputs and your receiver has {have}.", have, need, results=results)
        return self.say("stop", f"Your layout needs {need} outputs and your receiver has {have}.", have, need,
                        Advice(f"Use a receiver with at least {need} outputs, or join servos with Y-leads.", {"start.outputs": need}), results)


class FitsTheCar(Check):
    code = "S02"
    title = "Longest piece"
    why = "A wing longer than the car needs a joint, and a joint needs a spar that passes through it."
    source = "common_practice"
    needs = ("start",)
    examples = {"good": {"start.longest_piece": "1300 mm"}, "not": {"start.longest_piece": "900 mm"}, "cannot tell": {"start.mass_guess": None}}

    def look(self, results):
        outset, system = results.start, results.record.value("start.units")
        span = units.say(outset.span_guess, "length", system)
        if outset.wing_pieces == 1:
            return self.say("good", f"A wing of {span} in one piece fits the {units.say(outset.longest_piece, 'length', system)} you have.",
                            outset.span_guess, outset.longest_piece, results=results)
        fits = math.floor(outset.longest_piece * 1000) / 1000
        return self.say("look again", f"A wing of {span} does not fit {units.say(outset.longest_piece, 'length', system)} in one piece: it comes in {outset.wing_pieces}.",
                        outset.span_guess, outset.longest_piece,
                        Advice(f"Plan a joint in the wing, or come down to {units.say(fits, 'length', system)} of span.", {"start.span_guess": fits}), results)


class LoadingAgainstKnown(Check):
    code = "S03"
    title = "Wing loading against aeroplanes you know"
    why = "Wing loading sets how fast it must fly; an aeroplane you have flown is a better ruler than a class name."
    source = "common_practice"
    needs = ("start",)
    limit = "limits.wing_loading"
    examples = {"good": {"start.mass_guess": "800 g", "start.known": []}, "not": {"start.mass_guess": "2500 g"}, "cannot tell": {"start.mass_guess": None}}

    def look(self, results):
        outset, system = results.start, results.record.value("start.units")
        known = max((k.loading for k in outset.known_aeroplanes), default=0.0)
        bound = max(known, self.bound(results))
        ruler = "the heaviest loaded aeroplane you named" if known > self.bound(results) else "an easy twin of this size"
        words = f"Your first guess makes {units.say(outset.loading_guess, 'loading', system)}; {ruler} has {units.say(bound, 'loading', system)}."
        if outset.loading_guess <= bound:
            return self.say("good", words, outset.loading_guess, bound, results=results)
        lighter = math.floor(outset.mass_guess * bound / outset.loading_guess * 1000) / 1000
        longer = math.ceil(outset.span_guess * math.sqrt(outset.loading_guess / bound) * 1000) / 1000
        return self.say("look again", words, outset.loading_guess, bound,
                        Advice(f"Come down to {units.say(lighter, 'mass', system)}, or give it {units.say(longer, 'length', system)} of span with the chord to match.", {"start.mass_guess": lighter}), results)


class FailsafeAndCut(Check):
    code = "S04"
    title = "Failsafe and throttle cut"
    why = "Two motors stop only when both outputs close; a transmitter that cannot do that cannot fly a twin."
    source = "common_practice"
    needs = ("start",)
    examples = {"good": {"start.has_failsafe": True, "start.has_cut": True}, "not": {"start.has_failsafe": False}, "cannot tell": {"start.span_guess": None}}

    def look(self, results):
        lacking = [(path, word) for path, word in (("start.has_failsafe", "a failsafe that can be set"), ("start.has_cut", "a throttle cut switch"))
                   if not results.record.value(path)]
        if not lacking:
            return self.say("good", "Your radio has a failsafe and a throttle cut; pages 02 and 07 try both on both outputs.", results=results)
        words = " and ".join(word for _, word in lacking)
        return self.say("stop", f"As entered, your radio lacks {words}.", None, None,
                        Advice(f"Fly this aeroplane only with a radio that has {words}.", {path: True for path, _ in lacking}), results)
