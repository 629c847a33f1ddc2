"""Checks of page 06: what happens when one motor quits, on the way up and on the way in, and when the two pull unlike."""

import math

from twinkit import units
from twinkit.checks.base import Advice, Check, end_point_words

LEVEL = 0.05          # climb or sink that nobody can tell from level flight [m/s]
SPARE_CLIMB = 0.03    # what advice aims at above the limit, since a larger fin also weighs and drags [m/s]
SPARE_POINTS = 0.001  # the same for the weathercock stability


def percent(throttle):
    """A throttle in whole per cent."""
    return f"{100.0 * throttle:.0f} %"


def rate(climb, system):
    """A climb rate in words: 'climbs 0.3 m/s', 'sinks 1.1 m/s', 'stays about level'."""
    if abs(climb) < LEVEL:
        return "stays about level"
    return f"{'climbs' if climb > 0.0 else 'sinks'} {units.say(abs(climb), 'climb', system, 1 if abs(climb) < 1.0 else 2)}"


def rate_range(band, system):
    """The band of a climb rate in words, beside rate(): '0.3 to 1.3 m/s' where both ends go the way the value does, else 'from sinking 1.1 m/s to climbing 0.3 m/s'."""
    ends = sorted((band.low, band.high), key=abs)
    if all(x * band.value > 0.0 and abs(x) >= LEVEL for x in ends) and abs(band.value) >= LEVEL:
        (few, _), (most, unit) = (rate(x, system).split(" ", 1)[1].rsplit(" ", 1) for x in ends)
        return f"{few} to {most} {unit}"
    one = lambda x: "level" if abs(x) < LEVEL else rate(x, system).replace("climbs", "climbing").replace("sinks", "sinking")  # noqa: E731
    return f"from {one(band.low)} to {one(band.high)}"


def speed_range(band, system):
    """The band of a control speed: '15 to 19 m/s', open at the top where no speed tried is enough."""
    if math.isfinite(band.high):
        return units.say_range(band.low, band.high, "speed", system, 2)
    return f"{units.say(band.low, 'speed', system)} to beyond every speed it flies"


def gives(paths):
    """Changes of the tail in words, in the order they are given."""
    return paths[0] if len(paths) == 1 else ", ".join(paths[:-1]) + " and " + paths[-1]


def speaker(results):
    """The system of units and say(value, kind): speeds to a tenth."""
    system = results.record.value("start.units")

    def say(value, kind, significant=None):
        small = kind == "speed" and abs(units.from_si(value, units.KINDS[kind][2 if system == "imperial" else 1], "m/s")) < 9.95
        return units.say(value, kind, system, significant or (2 if small else 3))

    return system, say


class ThrottleLeftOpen(Check):
    code = "Y01"
    title = "One motor at the throttle you leave open"
    why = "Below the minimum control speed full rudder loses against one motor: it yaws, rolls and spins in."
    source = "faa_8083_3_multi"
    needs = ("rudder",)
    limit = "limits.engine_out_over_stall"
    examples = {"good": {"rudder.look_throttle": "45 %"}, "not": {"rudder.look_throttle": "100 %"}, "cannot tell": {"power.left.kv": None}}

    def look(self, results):
        out, (system, say), bound = results.rudder, speaker(results), self.bound(results)
        side, open_ = out.bad, percent(out.look_throttle)
        close = {"rudder.look_throttle": 0.0}
        if out.look_throttle <= 0.0:
            return self.say("good", f"You close both throttles when one motor quits: nothing pulls to one side, and it glides, sinking {units.say(-side.closed_climb.value, 'climb', system, 2)} "
                            f"at {say(out.approach, 'speed')}.", results=results)
        if not out.has_rudder:
            sure = out.slip_look > out.sideslip_limit
            return self.say("stop" if sure else "look again", f"Your fin has no rudder, so nothing holds the yaw of one motor: on {open_} at your approach speed of "
                            f"{say(out.approach, 'speed')} it {_slips(out, say)}.", 0.0, bound,
                            Advice("Plan to close both throttles the moment it yaws, lower the nose and land straight ahead. A steering mix of thrusts cannot help: "
                                   "it has only one motor left.", close), results)
        used = percent(results.record.value("rudder.used_share"))
        if not math.isfinite(side.look.value):
            return self.say("stop", f"With the {side.dead} motor dead the rudder does not hold even the drag of its propeller, wings level on {used} of its travel.",
                            0.0, bound, Advice("Plan to close both throttles and land straight ahead; page 05 and the levers of this page make the rudder larger.", close), results)
        value = out.approach / side.look.value
        stall = f" {say(side.look.value, 'speed')} lies below your stall at {say(out.stall, 'speed')}, so the stall is the limit." if side.look.value < out.stall else ""
        held = (f"With the {side.dead} motor dead and the other on {open_} the rudder, wings level on {used} of its travel, holds it from {say(side.look.value, 'speed')} up "
                f"({speed_range(side.look, system)})")
        if value >= bound:
            doubt = " The band reaches above it." if side.look.high > out.approach else ""
            return self.say("good", f"{held}; you come in at {say(out.approach, 'speed')}.{doubt}{stall} On full throttle that would be {say(side.full.value, 'speed')}.", value, bound,
                            results=results)
        advice = Advice("The rudder holds no thrust at this speed: plan to close both throttles and land straight ahead.", close)
        if side.safe_throttle > 0.0:
            advice = Advice(f"Before anything else close the throttle to {percent(side.safe_throttle)}: no more is held at this speed.",
                            {"rudder.look_throttle": float(side.safe_throttle)})
        if side.look.low > out.approach:
            return self.say("stop", f"{held}, and you come in at {say(out.approach, 'speed')}: below it even at the kind end of the band.", value, bound, advice, results)
        return self.say("look again", f"{held}, and you come in at {say(out.approach, 'speed')}.", value, bound, advice, results)


def _slips(out, say):
    """What sideslip is left without a rudder on the throttle looked at, in words."""
    if out.slip_look <= out.sideslip_limit:
        return f"slips {say(out.slip_look, 'angle', 2)} sideways, wings held by aileron"
    return f"slips sideways far beyond the {say(out.sideslip_limit, 'angle', 2)} that fin and wing take"


class LevelOnOneMotor(Check):
    code = "Y02"
    title = "Level flight on one motor"
    why = "What the rudder holds may be less than level flight takes: then it comes down, and the choice is where."
    source = "lateral_identity"
    needs = ("rudder",)
    limit = "limits.one_motor_climb"
    examples = {"good": {"wing.nacelle_out": "165 mm", "wing.fin_height": "250 mm", "wing.rudder_share": "50 %", "rudder.dead_propeller": "folded"},
                "not": {"rudder.dead_propeller": "windmilling"}, "cannot tell": {"wing.fin_height": None}}

    def look(self, results):
        out, (system, say), bound = results.rudder, speaker(results), self.bound(results)
        side = out.bad
        if side.cap_thrust.value <= 0.0:
            why = "Without a rudder nothing of the live motor is held." if not out.has_rudder else f"At your approach speed of {say(out.approach, 'speed')} the rudder holds nothing of the live motor."
            return self.say("look again", f"{why} With both throttles closed it {rate(side.closed_climb.value, system)} ({rate_range(side.closed_climb, system)}).", side.closed_climb.low,
                            bound, self._advice(out, bound, say), results)
        throttle = "all the live motor has" if side.cap_status == "all of it" else f"{percent(side.cap.value)} of the live motor's throttle"
        words = (f"At your approach speed of {say(out.approach, 'speed')} with the {side.dead} motor dead the rudder holds {throttle}, {say(side.cap_thrust.value, 'thrust')}; "
                 f"level flight takes {say(side.level_thrust, 'thrust')}. In calm air it then {rate(side.climb.value, system)} ({rate_range(side.climb, system)}); "
                 f"{say(side.sideways_drag, 'thrust', 2)} of drag by sideslip and rudder are counted.")
        if side.climb.low >= bound:
            return self.say("good", f"{words} Land at once all the same.", side.climb.low, bound, results=results)
        return self.say("look again", words, side.climb.low, bound, self._advice(out, bound, say), results)

    def _advice(self, out, bound, say):
        changes = out.changes_that_climb(bound + SPARE_CLIMB)
        if changes:
            told = {"wing.fin_height": lambda x: f"a fin {say(x, 'length')} high", "wing.rudder_share": lambda x: f"a rudder of {percent(x)} of its chord",
                    "wing.nacelle_out": lambda x: f"nacelles {say(x, 'length')} out", "rudder.dead_propeller": lambda x: "propellers that fold"}
            return Advice(f"Level flight, at the lower end of the band too, takes {gives([told[path](value) for path, value in changes.items()])}.", changes)
        first = f"Close the throttle to {percent(out.bad.safe_throttle)}" if out.bad.safe_throttle > 0.0 else "Close both throttles"
        return Advice(f"No usual fin brings level flight, not even with nacelles close in and propellers that fold. {first}, lower the nose and land straight ahead: do not plan to fly on.")


class LeavingTheGround(Check):
    code = "Y03"
    title = "Throw or take-off below the minimum control speed"
    why = "A motor that is late at the throw swings the aeroplane round before the rudder bites, into the thrower."
    source = "common_practice"
    needs = ("rudder",)
    examples = {"good": {"rudder.launch_throttle": "50 %"}, "not": {"start.launch": "hand"}, "cannot tell": {"power.right.propeller_diameter": None}}

    def look(self, results):
        out, (_, say) = results.rudder, speaker(results)
        side, hand, open_ = out.bad, out.launch == "hand", percent(out.launch_throttle)
        leaves = f"You throw it at {say(out.leave_speed, 'speed')}" if hand else f"You lift off at about {say(out.leave_speed, 'speed')}"
        bad = "stop" if hand else "look again"           # somebody stands behind a thrown aeroplane
        if not math.isfinite(side.launch):
            ground = {"start.launch": "grass"} if hand else {}
            return self.say(bad, f"{leaves} with both throttles on {open_}. If one motor is late or quits, nothing holds the other.", None, None, Advice(
                ("Roll it off the ground, where nobody stands beside it; or write down why you throw it. " if hand else "")
                + "Hear both motors run at the same note before it leaves, nobody beside or ahead of it, and close both throttles the moment it yaws.", ground), results)
        words = f"{leaves} with both throttles on {open_}. If one motor is late or quits, the rudder holds the other from {say(side.launch, 'speed')} up."
        if side.launch <= out.leave_speed:
            return self.say("good", words, side.launch, out.leave_speed, results=results)
        held = math.floor(100.0 * (side.leave_cap or 0.0) - 0.5) / 100.0
        if held <= 0.0:
            return self.say(bad, words, side.launch, out.leave_speed, Advice("At that speed nothing is held: roll it off the ground and let it gain speed, or throw it faster.",
                                                                            {"start.launch": "grass"} if hand else {}), results)
        more = ("If that is too little to carry the throw (page 05), throw it faster or roll it off the ground; do not open the throttle." if hand
                else f"Or hold it on the ground until {say(side.launch, 'speed')}, where the field is long enough.")
        return self.say(bad, words, side.launch, out.leave_speed,
                        Advice(f"Begin on {percent(held)} and open up above {say(side.full.value, 'speed')}. {more}", {"rudder.launch_throttle": held}), results)


class UnlikeMotors(Check):
    code = "Y04"
    title = "Motors that pull unlike"
    why = "Trim that is right at one throttle is wrong at the next, and the rudder it takes is missing when a motor quits."
    source = "lateral_identity"
    needs = ("rudder",)
    limit = "limits.mismatch_angle"
    examples = {"good": {"rudder.curve": "five_points"}, "not": {"power.right.propeller_pitch": "5.5 in"}, "cannot tell": {"power.right.kv": None}}

    def look(self, results):
        out, (_, say), bound = results.rudder, speaker(results), self.bound(results)
        unlike, curved, kind = out.unlike, out.unlike.curve, "of rudder trim" if out.has_rudder else "of sideslip, for want of a rudder"
        angle = self._angle(unlike.cruise, out)
        if unlike.stronger == "alike":
            return self.say("good", f"Your two sides are told alike, so they pull alike here. Two motors of one label still differ; the usual spread of Kv costs up to "
                            f"{say(unlike.shelf_rudder, 'angle', 2)} {kind}, and page 07 measures it.", angle, bound, results=results)
        side = "right" if unlike.cruise.difference > 0.0 else "left"
        size = "more than the rudder has" if math.isinf(angle) else f"{say(angle, 'angle', 2)} {kind}"
        words = (f"At full throttle in cruise your {side} motor{', with the throttle curve,' if curved else ''} pulls {say(abs(unlike.cruise.difference), 'thrust', 2)} more, "
                 f"which takes {size}; {say(bound, 'angle', 2)} is the most you want.")
        if angle <= bound:
            return self.say("good", words, angle, bound, results=results)
        points = ", ".join(f"{100.0 * x:.0f}" for x in unlike.outputs)
        if curved or self._angle(unlike.curved_cruise, out) > bound:
            advice = Advice("A throttle curve made standing is not enough in flight: fit the same propeller, motor and pack on both sides, or find the pair nearest "
                            "to each other on page 07.")
        elif results.record.value("power.throttle") != "two_channels":
            advice = Advice(f"Give each side a throttle channel; then the curve {points} % on the {unlike.stronger} side makes them alike.",
                            {"power.throttle": "two_channels", "rudder.curve": "five_points"})
        elif results.record.value("start.curve_points") < len(unlike.outputs):
            advice = Advice(f"Your transmitter has no curve of five points: let full stick give the {unlike.stronger} side {end_point_words(unlike.outputs[-1])}, "
                            "and check half throttle on page 07.")
        else:
            advice = Advice(f"Give the {unlike.stronger} side the throttle curve {points} % (outputs at stick 0, 25, 50, 75 and 100 %).", {"rudder.curve": "five_points"})
        return self.say("look again", words, None if math.isinf(angle) else angle, bound, advice, results)

    def _angle(self, trim, out):
        """Size of the trim: rudder, or sideslip where there is none; inf beyond the rudder's travel."""
        if not out.has_rudder:
            return abs(trim.sideslip)
        return math.inf if trim.rudder is None else abs(trim.rudder)


class Weathercock(Check):
    code = "Y05"
    title = "Weathercock stability"
    why = "The fin must turn the nose back into the wind against fuselage and propellers, or every yaw grows."
    source = "datcom_lateral"
    needs = ("rudder",)
    limit = "limits.weathercock"
    examples = {"good": {"wing.fin_height": "220 mm"}, "not": {"wing.fin_height": "130 mm"}, "cannot tell": {"wing.fin_chord": None}}

    def look(self, results):
        out, (_, say), bound = results.rudder, speaker(results), self.bound(results)
        total, fin = out.parts[-1], out.parts[0]
        against = float(total.cn_beta) - float(fin.cn_beta)
        value, low, high = (float(total.cn_beta + shift) for shift in (0.0, -total.cn_band, total.cn_band))
        words = (f"The weathercock stability is {value:.3f} ({low:.3f} to {high:.3f}): the fin turns the nose into the wind with {float(fin.cn_beta):.3f}, "
                 f"fuselage, nacelles and propellers turn it out with {-against:.3f}. At least {bound:.3f} is wanted.")
        if value >= bound:
            return self.say("good", words, value, bound, results=results)
        height = out.fin_that_points(bound + SPARE_POINTS)
        if height is None:
            return self.say("look again", words, value, bound, Advice("No usual fin height does it: give the fin more chord, or set it further back."), results)
        return self.say("look again", words, value, bound, Advice(f"Make the fin {say(height, 'length')} high.", {"wing.fin_height": height}), results)


class RudderTravel(Check):
    code = "Y06"
    title = "Rudder travel"
    why = "Travel costs nothing on the bench, and one motor out takes all of it."
    source = "flap_chart"
    needs = ("rudder",)
    limit = "limits.rudder_travel"
    examples = {"good": {"rudder.throw": "28 deg"}, "not": {"rudder.throw": "18 deg"}, "cannot tell": {"wing.fin_height": None}}

    def look(self, results):
        out, (_, say), bound = results.rudder, speaker(results), self.bound(results)
        if not out.has_rudder:
            return self.say("good", "Your fin has no rudder: nothing to travel.", None, bound, results=results)
        words = (f"Your rudder moves {say(out.throw, 'angle', 2)} each way and you count on {say(out.used_angle, 'angle', 2)} of it. Its effect grows slower beyond "
                 f"{say(out.full_effect_angle, 'angle', 2)} and no more beyond {say(out.best_angle, 'angle', 2)}.")
        if out.throw >= bound:
            return self.say("good", words, out.throw, bound, results=results)
        return self.say("look again", words, out.throw, bound, Advice(f"Set the travel to {say(bound, 'angle', 2)} each way, if linkage and tailplane leave room.",
                                                                     {"rudder.throw": bound}), results)
