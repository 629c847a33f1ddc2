"""Checks of page 05 on flight: loading, field and launch, balance, thrust and climb, and the circle of guesses."""

import math
from dataclasses import replace

from twinkit import constants as const
from twinkit import units
from twinkit.checks.base import Advice, Check, possible

PITCH_EXPONENT = 1.3     # more pitch slows the motor: the pull ends later by less than the pitch grows; estimate

# What these findings lean on, of all that page 05 reads: the beginnings of the entries' names.
MASS = ("start.mass_guess", "weight.growth", "weight.glue_share", "weight.sheet_mass", "weight.parts", "weight.left.pack_mass", "weight.right.pack_mass",
        "weight.shared.pack_mass", "leads.slack", "leads.pack_gauge", "leads.motor_gauge", "wing.fuselage_", "wing.nacelle_", "wing.taper_start")
LIFT = ("wing.cl_max", *MASS)
DRAG = ("wing.cd0", *LIFT, "wing.oswald", "wing.board_thickness", "wing.section_thickness")
THRUST = (*DRAG, "power.", "bench.")
BALANCE = (*MASS, "wing.elevator_", "wing.fin_arm")


def speaker(results):
    """say(value, kind) in the reader's units; short lengths without a digit nobody can measure."""
    system = results.record.value("start.units")

    def say(value, kind, significant=None):
        short = kind in ("length", "distance") and system != "imperial" and abs(value) < (0.0995 if kind == "length" else 99.5)
        return units.say(value, kind, system, significant or (2 if short else 3))

    return say


class WingCheck(Check):
    """A check that names, of the assumed values below it, only those that can move it."""

    step = "wing"
    source = "common_practice"
    needs = ("wing",)
    grounds = ()

    def say(self, *what, **more):
        found = super().say(*what, **more)
        return replace(found, assumed=tuple(dict.fromkeys(path for start in self.grounds for path in found.assumed if path.startswith(start))))


def weigh(check, results, good, words, value, bound, advice, stop=False):
    """Good, or else look again (or stop) with what to change."""
    if good:
        return check.say("good", words, value, bound, results=results)
    return check.say("stop" if stop else "look again", words, value, bound, advice, results)


def up(value, step):
    """The next round value at or above."""
    return math.ceil(value / step - 1e-9) * step


class WingLoading(WingCheck):
    code = "A01"
    title = "Wing loading"
    why = "It sets how fast the aeroplane must fly; one you have flown is a better ruler than a class name."
    grounds = MASS
    limit = "limits.wing_loading"
    examples = {"good": {"wing.span": "1400 mm", "wing.chord": "270 mm"}, "not": {"weight.mass_measured": "1600 g"}, "cannot tell": {"wing.span": None}}

    def look(self, results):
        wing, say = results.wing, speaker(results)
        known = max((k.loading for k in results.start.known_aeroplanes), default=0.0)
        bound = max(known, self.bound(results))
        ruler = "the heaviest loaded aeroplane you know" if known > self.bound(results) else "an easy twin of this size"
        words = f"Your wing carries {say(wing.loading, 'loading')}; {ruler} carries {say(bound, 'loading')}."
        geometry, added = results.geometry, 0.0 if wing.mass_from == "scale" else wing.board_loading
        if wing.loading <= bound:
            return weigh(self, results, True, words, wing.loading, bound, None)
        less = say(wing.mass - bound * geometry.area, "mass", 2)
        if bound <= added:
            advice = Advice("A larger wing of this board does not help: find a lighter board (page 04).")
        else:
            span, chord = (self.larger(results, path, bound, added) for path in ("wing.span", "wing.chord"))
            if span <= results.start.longest_piece * results.record.value("wing.pieces"):
                advice = Advice(f"Give it {say(span, 'length')} of span at this chord, or leave out {less}.", {"wing.span": span})
            else:
                advice = Advice(f"More span does not fit your car: give it {say(chord, 'length')} of chord, or leave out {less}.", {"wing.chord": chord})
        return weigh(self, results, False, words, wing.loading, bound, advice)

    @staticmethod
    def larger(results, path, bound, added):
        """The size at which the wing carries no more than the bound, the foam that a larger one adds counted."""
        wing, area = results.wing, results.geometry.area
        size = up(results.record.value(path) * (wing.mass - added * area) / (bound - added) / area, 0.005)
        for _ in range(8):      # the fuselage and the joints of a larger wing weigh a little more too
            if not possible({path: size}):
                break
            tried = results.changed({path: size})
            mass = tried.weight.mass if wing.mass_from != "guess" else wing.mass
            if mass is None or tried.geometry.area is None or mass <= bound * tried.geometry.area:
                break
            size = up(size * 1.005, 0.005)
        return size


class FieldForLanding(WingCheck):
    code = "A04"
    title = "Field against approach"
    why = "A twin that glides well floats past a short field."
    grounds = (*DRAG, "rudder.approach_factor")
    source = "mechanics"
    limit = "limits.landing_share"
    examples = {"good": {"start.field_length": "150 m"}, "not": {"start.field_length": "45 m"}, "cannot tell": {"wing.span": None}}

    def look(self, results):
        wing, say = results.wing, speaker(results)
        field, share = results.record.value("start.field_length"), self.bound(results)
        room = field * share
        words = (f"From {say(wing.fence_height, 'distance', 1)} over the fence at {say(wing.approach_speed, 'speed')} it touches down after {say(wing.landing_distance, 'distance')} in still air; "
                 f"{say(share, 'share', 2)} of your field is {say(room, 'distance')}.")
        longer = up(wing.landing_distance / share, 1.0)
        advice = Advice(f"Fly it from a field of {say(longer, 'distance')}, or only into a wind.", {"start.field_length": longer})
        return weigh(self, results, wing.landing_distance <= room, words, wing.landing_distance, room, advice)


class HandLaunch(WingCheck):
    code = "A05"
    title = "Hand launch"
    why = "A wing thrown below its flying speed sinks until the propellers have made up for it, and you hold it at shoulder height."
    grounds = (*THRUST, "wing.throw_speed")
    source = "launch_motion"
    needs = ("wing", "power")
    limit = "limits.launch_sink"
    examples = {"good": {"start.launch": "hand", "wing.throw_speed": "12 m/s"}, "not": {"start.launch": "hand", "wing.throw_speed": "4 m/s"},
                "cannot tell": {"start.launch": "hand", "power.left.kv": None}}

    def look(self, results):
        wing, bound, say = results.wing, self.bound(results), speaker(results)
        if results.start.launch != "hand":
            return replace(self.say("good", "It rolls off the ground: nobody has to throw it.", results=results), assumed=())
        throw, needed = results.record.value("wing.throw_speed"), up(wing.throw_needed, 0.1)
        if wing.launch_status == "never flies":
            return self.say("stop", f"Thrown at {say(throw, 'speed')} it has no thrust to spare at {say(wing.stall_speed, 'speed')}, its stall speed: it does not get away.",
                            throw, wing.stall_speed, Advice("Come back with more thrust (page 01) or less mass (page 04)."), results)
        ground = wing.launch_lost >= wing.release_height
        sinks = "is on the ground before it flies" if ground else f"sinks {say(wing.launch_lost, 'distance')} before it flies" if wing.launch_lost > 0 else "flies at once"
        words = f"Thrown at {say(throw, 'speed')} at full throttle, {say(wing.launch_ratio, 'share', 2)} of its stall speed, it {sinks}; you can give away {say(bound, 'distance')}."
        advice = Advice(f"Throw only when hand and headwind together make {say(needed, 'speed', 2)}.", {"wing.throw_speed": needed})
        return weigh(self, results, wing.launch_lost <= bound, words, wing.launch_lost, bound, advice, ground)


def beyond(results):
    """Whether the packs would have to leave the fuselage."""
    shape = results.geometry
    return any(not shape.nose_behind <= p.together <= shape.tail_end_behind for p in results.slide.packs)


def ballast(results, say):
    """What to say when no place in the fuselage is far enough."""
    slide = results.slide
    weight = f"{say(slide.ballast, 'mass', 2)} of ballast in the {slide.ballast_at}" if slide.ballast else "another arrangement"
    return f"The packs cannot reach it inside the fuselage: it takes {weight}, or a longer nose or tail (page 04)."


class StaticMargin(WingCheck):
    code = "A06"
    title = "Where it balances"
    why = "A CG too far back cannot be flown by hand; one too far forward lands fast."
    grounds = BALANCE
    source = "etkin_reid_pitch"
    needs = ("wing", "slide")
    limit = "limits.static_margin"
    examples = {"good": {"weight.cg_measured": "51 mm"}, "not": {"weight.cg_measured": "85 mm"}, "cannot tell": {"wing.tail_arm": None}}

    def look(self, results):
        wing, bound, say = results.wing, self.bound(results), speaker(results)
        most, margin, cg = results.record.value("limits.static_margin_most"), wing.static_margin, results.weight.cg_behind
        limit, word = (bound, "at least") if margin < bound or margin <= most else (most, "at most")
        words = (f"It balances {say(cg, 'length')} behind the leading edge, {say(abs(margin), 'share', 2)} of the mean chord {'ahead of' if margin >= 0.0 else 'behind'} the neutral point "
                 f"(give or take {say(wing.static_margin_band, 'share', 1)}); {word} {say(limit, 'share', 2)} is wanted.")
        return weigh(self, results, bound <= margin <= most, words, margin, limit, self.move(results, say), margin <= 0.0)

    def move(self, results, say):
        """Packs to where the CG comes to its wanted place."""
        slide = results.slide
        if beyond(results):
            return Advice(ballast(results, say))
        where = f"the packs {say(abs(slide.slide), 'length')} {'forward' if slide.slide < 0 else 'back'} to bring the CG to {say(slide.wanted, 'length')}."
        if results.record.value("weight.cg_measured") is not None:
            return Advice(f"Slide {where} Then balance it again.", {"weight.cg_measured": slide.wanted})
        return Advice(f"Slide {where}", {f"weight.{p.side}.pack_behind": p.together for p in slide.packs})


class PacksReach(WingCheck):
    code = "A07"
    title = "Wanted CG within the packs' reach"
    why = "Packs are the only ballast that earns its keep; a CG they cannot reach costs lead."
    grounds = BALANCE
    source = "mechanics"
    needs = ("wing", "slide")
    examples = {"good": {"weight.pack_foremost": "-190 mm", "weight.pack_rearmost": "120 mm"}, "not": {"weight.pack_foremost": "150 mm", "weight.pack_rearmost": "250 mm"},
                "cannot tell": {"wing.chord": None}}

    def look(self, results):
        wing, slide, say = results.wing, results.slide, speaker(results)
        span = lambda low, high: units.say_range(low, high, "length", results.record.value("start.units"))  # noqa: E731
        words = (f"With the packs at their ends the CG lies {span(slide.reach_front, slide.reach_rear)} behind the leading edge; "
                 f"wanted are {span(wing.cg_front, wing.cg_rear)}, at first {say(slide.wanted, 'length')}.")
        forward = any(p.together < p.foremost for p in slide.packs)
        path, end = ("weight.pack_foremost", min(p.together for p in slide.packs)) if forward else ("weight.pack_rearmost", max(p.together for p in slide.packs))
        place = f"{say(abs(end), 'length')} {'behind' if end > 0 else 'ahead of'} the leading edge"
        advice = Advice(ballast(results, say)) if beyond(results) else Advice(f"Make room for the packs as far as {place}.", {path: end})
        return weigh(self, results, slide.reachable, words, slide.reach_front if forward else slide.reach_rear, slide.wanted, advice)


class FinShare(WingCheck):
    code = "A08"
    title = "Fin size"
    why = "A twin needs more fin and rudder than a single: page 06 shows what it holds when one motor quits."
    grounds = ("wing.taper_start",)
    limit = "limits.fin_share"
    examples = {"good": {"wing.fin_height": "200 mm"}, "not": {"wing.fin_height": "130 mm"}, "cannot tell": {"wing.fin_chord": None}}

    def look(self, results):
        wing, bound, say = results.wing, self.bound(results), speaker(results)
        words = f"Fin and rudder have {100.0 * wing.fin_share:.0f} % of the wing's area; a twin wants {say(bound, 'share', 2)}."
        height = up(bound * results.geometry.area / results.geometry.fin_chord, 0.005)
        advice = Advice(f"Make the fin {say(height, 'length')} high, or its chord larger in the same measure.", {"wing.fin_height": height})
        return weigh(self, results, round(wing.fin_share, 2) >= bound, words, wing.fin_share, bound, advice)      # a rule of thumb in whole per cent


class ZeroThrustSpeed(WingCheck):
    code = "A14"
    title = "Where the propellers stop pulling"
    why = "Propellers of too little pitch hold the aeroplane in the air like a brake just when you need speed."
    grounds = (*LIFT, "power.", "bench.")
    needs = ("wing", "power")
    limit = "limits.zero_thrust_speed"
    examples = {"good": {"power.left.propeller_pitch": "6 in", "power.right.propeller_pitch": "6 in"},
                "not": {"weight.mass_measured": "2600 g"}, "cannot tell": {"power.left.kv": None}}

    def look(self, results):
        wing, bound, say = results.wing, self.bound(results), speaker(results)
        if wing.zero_over_stall is None:
            return self.say("cannot tell", "The thrust of page 01 does not reach zero at any speed it was worked out for.", results=results)
        words = (f"At full throttle the pull ends at {say(wing.zero_thrust_speed, 'speed')}, {units.digits(wing.zero_over_stall, 2)} times the stall speed; "
                 f"{units.digits(bound, 2)} times is wanted.")
        inch, more = units.to_si(1.0, "in", "m"), (bound / wing.zero_over_stall) ** PITCH_EXPONENT
        changes = {path: up(results.record.value(path) * more, 0.5 * inch) for path in (f"power.{side}.propeller_pitch" for side in ("left", "right"))}
        pitches = " and ".join(dict.fromkeys(units.shown(p, "in", "m", 2) for p in changes.values()))
        advice = Advice(f"Propellers of {pitches} pitch, if the motors bear the current (page 01); or a lighter aeroplane.", changes)
        return weigh(self, results, wing.zero_over_stall >= bound, words, wing.zero_over_stall, bound, advice)


class ClimbRate(WingCheck):
    code = "A15"
    title = "Climb on both motors"
    why = "What the climb has to spare is what is left for a gust, a headwind and a tired pack."
    grounds = THRUST
    source = "anderson_apd"
    needs = ("wing", "power")
    limit = "limits.climb_rate"
    examples = {"good": {"limits.climb_rate": "1 m/s"}, "not": {"weight.mass_measured": "2600 g"}, "cannot tell": {"power.right.kv": None}}

    def look(self, results):
        wing, bound, say = results.wing, self.bound(results), speaker(results)
        if wing.climb_rate is None:
            return self.say("cannot tell", "The pull is greater than the weight at every speed above the approach: the straight climb of this page does not apply.", results=results)
        band = units.say_range(wing.climb_low, wing.climb_high, "speed", results.record.value("start.units"))
        best = f"climbs best with {say(wing.climb_rate, 'speed', 2)}" if wing.climb_rate > 0.0 else f"still sinks {say(-wing.climb_rate, 'speed', 2)}"
        words = f"At full throttle it {best} ({band}) at {say(wing.climb_speed, 'speed')}; {say(bound, 'speed', 2)} of climb is wanted."
        short = (bound - wing.climb_low) / wing.climb_speed * wing.mass * const.STANDARD_GRAVITY
        advice = Advice(f"To be sure of it, find {say(short, 'thrust', 2)} more thrust at that speed (page 01), or build it lighter (page 04).")
        return weigh(self, results, wing.climb_low >= bound, words, wing.climb_low, bound, advice, wing.climb_high <= 0.0)


class SecondRound(WingCheck):
    code = "A16"
    title = "First guesses against what came out"
    why = "Power, weight and wing lean on each other in a circle; it is closed when the guesses of page 00 are what the pages find."
    grounds = (*LIFT, "wing.cruise_factor")
    needs = ("wing", "weight")
    limit = "limits.guess_off"
    examples = {"good": {"weight.mass_measured": "1050 g", "start.cruise_guess": "13 m/s"}, "not": {"start.mass_guess": "700 g"}, "cannot tell": {"start.mass_guess": None}}

    def look(self, results):
        wing, bound, say = results.wing, self.bound(results), speaker(results)
        rows = (("mass", "start.mass_guess", wing.mass, 0.001, "mass"), ("span", "start.span_guess", results.geometry.span, 0.001, "length"),
                ("cruise speed", "start.cruise_guess", wing.cruise_speed, 0.1, "speed"))
        off = [(abs(results.record.value(path) / now - 1.0), name, path, now, step, kind) for name, path, now, step, kind in rows]
        far = [row for row in off if row[0] > bound]
        worst = max(off)
        words = "; ".join(f"{name} {say(results.record.value(path), kind)} guessed, {say(now, kind)} found" for _, name, path, now, _, kind in (far or off)) + "."
        if not far:
            return self.say("good", words[0].upper() + words[1:], worst[0], bound, results=results)
        changes = {path: round(now / step) * step for _, _, path, now, step, _ in far}
        return self.say("look again", words[0].upper() + words[1:], worst[0], bound,
                        Advice("Write what was found into the guesses of page 00 and go round once more: pages 01, 04 and 05.", changes), results)
