"""Checks of page 07, on the bench: do the readings fit each other, the prediction and the other side?"""

from twinkit import quantities, units
from twinkit.checks.base import Advice, end_point_words
from twinkit.checks.bench_flight import BenchCheck, percent  # importing it registers the checks of trials and flights
from twinkit.quantities import SIDES

WHAT = {"speed": ("turned", "rpm"), "current": ("drew", "current"), "thrust": ("pulled", "thrust")}
HALF_THRUST = 0.35   # thrust missing at the right rpm beyond which no wrong entry is left as a reason
TIMES = (    # what a counter set wrong makes of the speed, and what to look at
    (2 / 3, "Two thirds", "look at the tachometer's number of blades"), (1 / 2, "Half", "look at the tachometer's number of blades"),
    (3 / 2, "One and a half times", "look at the tachometer's number of blades"), (2.0, "Twice", "look at the tachometer's number of blades"),
    (6 / 7, "Six sevenths", "where the controller counts it, the motor has 14 magnets and 12 are set"), (7 / 6, "Seven sixths", "where the controller counts it, the motor has 12 magnets and 14 are set"),
    (5 / 7, "Five sevenths", "where the controller counts it, the motor has 14 magnets and 10 are set"), (7 / 5, "Seven fifths", "where the controller counts it, the motor has 10 magnets and 14 are set"),
)
ROWS = {    # bench points of the demo build, for the examples
    "left on": {"side": "left", "volts": "11.05 V", "amps": "9.6 A", "rpm": "8760 rpm", "thrust": "505 g"},
    "right on": {"side": "right", "volts": "11.2 V", "amps": "11.2 A", "rpm": "9180 rpm", "thrust": "556 g"},
    "left off": {"side": "left", "propeller": "off", "volts": "10 V", "amps": "0.71 A", "rpm": "10190 rpm"},
    "right off": {"side": "right", "propeller": "off", "volts": "10 V", "amps": "0.82 A", "rpm": "10720 rpm"},
}


def _say(results):
    """say(value, kind) in the reader's units, rpm to the nearest ten."""
    system = results.record.value("start.units")

    def say(value, kind, significant=3):
        if kind == "rpm":
            return f"{round(units.from_si(value, 'rpm', 'rad/s'), -1):.0f} rpm"
        return units.say(value, kind, system, significant)

    return say


class MeasuredAgainstPredicted(BenchCheck):
    code = "B01"
    title = "Measured against predicted"
    why = "A reading far from the prediction means a wrong entry, a wrong reading or a sick part; find out which before all pages lean on it."
    source = "twinkit_bench_comparison"
    needs = ("bench", "compared")
    grounds = ("power.left.motor_", "power.right.motor_", "power.left.no_load", "power.right.no_load", "power.left.propeller", "power.right.propeller", "bench.temperature")
    limit = "limits.prediction"
    examples = {"good": {"bench.points": list(ROWS.values())}, "not": {"bench.points": [ROWS["left on"], {**ROWS["right on"], "thrust": "280 g"}]},
                "cannot tell": {"bench.points": []}}

    def look(self, results):
        found, say, bound = results.compared, _say(results), self.bound(results)
        if found.worst is None:
            return self.say("cannot tell", "Nothing has been read with the propeller on. Begin with volts and amps at full throttle, one side after the other.", results=results)
        worst, side = found.worst, found.worst.reading.side
        verb, kind = WHAT[worst.quantity]
        read = {"speed": worst.reading.speed, "current": worst.reading.amps, "thrust": worst.reading.thrust}[worst.quantity]
        more = "more" if worst.off > 0 else "less"
        words = (f"{'Furthest off: at' if len(found.against) > 1 else 'At'} {say(worst.reading.volts, 'volts', 4)} the {side} side {verb} {say(read, kind)}, {percent(worst.off)} {more} than the "
                 f"{say(worst.predicted, kind)} predicted (give or take {percent(worst.band)}); you allow {percent(bound)}.")
        if not found.blind:
            words += " The labels alone do not tell enough for a prediction, so it leans on these readings itself."
        if abs(worst.off) <= bound:
            return self.say("good", words, abs(worst.off), bound, results=results)
        against = next(a for a in found.against if a.reading == worst.reading)
        if (against.off["thrust"] or 0.0) < -HALF_THRUST and (against.off["speed"] or 0.0) > -bound:
            return self.say("stop", f"{words} That is what a propeller back to front, or one of the wrong hand, gives.", abs(worst.off), bound, Advice(
                f"Take the {side} propeller off: the print on its faces looks the way it flies, and it must be of the hand that pulls the way this motor turns (page 02). Read it again before it flies."), results)
        return self.say("look again", words, abs(worst.off), bound, Advice(self.cause(against.off, bound, side)), results)

    def cause(self, off, bound, side):
        """What to look at first, from the pattern of what is high and what is low."""
        speed, current, thrust = (off[name] or 0.0 for name in ("speed", "current", "thrust"))
        if thrust < -bound and speed > -bound:
            return f"Look at the {side} propeller: back to front it gives about half. Then at the arms of the stand, and at what stands in its wind."
        if thrust > bound and speed < bound / 2:
            return "Check the arms of the stand and the unit of the scale: this thrust does not belong to this rpm."
        if current > bound:
            return f"Compare the print on the {side} propeller with page 01; if it is right, turn the motor by hand: a rubbing rotor or a shorted winding draws more."
        if speed < -bound:
            return f"Look at the throttle end point the {side} controller has learned (page 02) and at its pack: the motor does not get its full volts."
        return f"Compare the {side} motor's Kv and the print on its propeller with page 01, then read again."


class LeftAgainstRight(BenchCheck):
    code = "B02"
    title = "Left against right"
    why = "Unequal sides turn the aeroplane whenever the throttle moves."
    source = "common_practice"
    needs = ("compared",)
    grounds = ("power.left.", "power.right.", "power.charge")
    limit = "limits.rpm_match"
    examples = {"good": {"bench.right.end_point": "92 %"}, "not": {"bench.left.end_point": "100 %", "bench.right.end_point": "100 %"}, "cannot tell": {"bench.points": []}}

    def look(self, results):
        match, say, bound = results.compared.match, _say(results), self.bound(results)
        half, full = match.difference
        if not match.measured:
            told = f"the {match.faster} one should turn {percent(full)} faster at full stick" if abs(full) >= 0.0005 else "they should turn alike"
            return self.say("cannot tell", f"Not both motors have been read with rpm; from what is known {told}. Read them, or match them by ear.", results=results)
        ahead = "right" if full > 0.0 else "left"
        if match.by == "rpm":
            words = (f"At full stick, each on its own supply, the left motor turns {say(match.speed_left[1], 'rpm').removesuffix(' rpm')} and the right one {say(match.speed_right[1], 'rpm')}: "
                     f"{ahead} {percent(full)} ahead, {percent(bound)} are allowed. At half stick they are {percent(half)} apart.")
        else:
            words = (f"The propellers are not alike, so thrust is compared: at full stick the {ahead} side pulls as much more as {percent(full)} of rpm would make, "
                     f"{percent(bound)} are allowed.")
        if abs(full) <= bound:
            return self.say("good", words, abs(full), bound, results=results)
        return self.say("look again", words, abs(full), bound, self.advice(match, results.record.value("rudder.curve") == "five_points"), results)

    def advice(self, match, curve):
        """What makes the sides equal: end points, or the five points of page 06 where the builder has chosen them."""
        changes = dict(zip((f"bench.{side}.end_point" for side in SIDES), match.wanted))
        lower = end_point_words(round(min(match.wanted), 2))
        if match.curve and match.end_points != (1.0, 1.0):
            return Advice("Set both end points back to 100 %: the five points of page 06 do the matching.", dict.fromkeys(changes, 1.0))
        if min(match.wanted) < quantities.quantity("bench.end_point").possible[0]:
            return Advice("No end point makes up for this: look for a wrong entry on page 01, or fit motors and propellers that belong together.")
        if match.curve:
            return Advice(f"The five points of page 06 leave this over: fly without them and let full stick give the {match.faster} side {lower}.", {"rudder.curve": "none", **changes})
        if not match.separate and curve:
            return Advice("A Y-lead gives both sides the same: use a throttle channel for each (page 01); then the five points of page 06 match them.",
                          {"power.throttle": "two_channels", **dict.fromkeys(changes, 1.0)})
        if not match.separate:
            return Advice(f"A Y-lead gives both sides the same: use a throttle channel for each (page 01), then let full stick give the {match.faster} side {lower}.",
                          {"power.throttle": "two_channels", **changes})
        return Advice(f"Let full stick give the {match.faster} side {lower}, or fly the five points of page 06; not both.", changes)


class BelievableReadings(BenchCheck):
    code = "B03"
    title = "Readings to believe"
    why = "One wrong row spoils the numbers of a whole side."
    source = "cook_residuals"
    needs = ("bench",)
    examples = {"good": {"bench.points": list(ROWS.values())}, "not": {"bench.points": [*ROWS.values(), {**ROWS["left on"], "rpm": "13140 rpm"}]}, "cannot tell": {"bench.points": []}}

    def look(self, results):
        bench, say = results.bench, _say(results)
        doubted = [(p.row, self.doubt(p, results, say)) for p in bench.points if p.trouble]
        doubted += [(row, f"Row {row} stands far from the line through the other readings of the {side.side} side.") for side in (bench.left, bench.right) for row in side.apart]
        doubted += [(row, f"Row {row} names no side or holds no number, so it is not used.") for row in bench.homeless]
        if not doubted and not bench.points:
            return self.say("cannot tell", "There are no readings yet.", results=results)
        if not doubted:
            return self.say("good", f"Nothing in your {len(bench.points)} readings denies what these motors can do.", 0, None, results=results)
        rows = [{name: entry for name, entry in row.items() if not entry.assumed}
                for number, row in enumerate(results.record.rows("bench.points"), 1) if number not in dict(doubted)]
        named = " and ".join(str(row) for row, _ in doubted)
        return self.say("look again", " ".join(words for _, words in doubted[:3]), len(doubted), None,
                        Advice(f"Read {'row' if len(doubted) == 1 else 'rows'} {named} again; until then take {'it' if len(doubted) == 1 else 'them'} out.", {"bench.points": rows}), results)

    def doubt(self, point, results, say):
        """Why a reading is not believed, in words."""
        where = f"Row {point.row} ({point.side}, propeller {'on' if point.loaded else 'off'}):"
        if point.trouble == "idle":
            return f"{where} {say(point.amps, 'current')} is more than half of what the motor takes with the propeller on. Look whether it was really off."
        if point.trouble == "thrust":
            return f"{where} {say(point.thrust, 'thrust')} is more than any propeller of this size makes of {say(point.volts * point.amps, 'power')}. Look at the scale's unit and at the arms of the stand."
        label = results.record.value(f"power.{point.side}.kv")
        ratio = point.speed / (label * point.volts)
        words = f"{where} {say(point.speed, 'rpm')} at {say(point.volts, 'volts', 4)} is {units.digits(ratio, 2)} times what the label's Kv makes of these volts, too {point.trouble} to be true."
        low, high = (0.6, 0.95) if point.loaded else (0.88, 1.02)
        for times, name, cure in TIMES:
            if low <= ratio * times <= high:
                return f"{words} {name} of it would fit: {cure}."
        return f"{words} Compare the Kv on page 01 with the label."


class ReadWithoutPropeller(BenchCheck):
    code = "B04"
    title = "Read with the propeller off"
    why = "With the propeller on, speed and current go up together; only a reading without it tells Kv from resistance."
    source = "bevington_data"
    needs = ("bench",)
    examples = {"good": {"bench.points": list(ROWS.values())}, "not": {"bench.points": [ROWS["left on"], ROWS["right on"], ROWS["right off"]]}, "cannot tell": {"bench.points": []}}

    def look(self, results):
        bench, say = results.bench, _say(results)
        sides = (bench.left, bench.right)
        if not any(side.loaded or side.free for side in sides):
            return self.say("cannot tell", "No reading holds volts, amps and rpm, so Kv and resistance stay those of the label. Borrow a tachometer for an evening, or match the sides by ear.",
                            results=results)
        words = []
        for side in sides:
            if side.free:
                known = f"{side.side} Kv {units.digits(units.from_si(side.kv, 'rpm/V', 'rad/(s V)'), 4)} ± {say(side.kv_sigma, 'kv', 2)}" if side.kv else f"{side.side} Kv not told"
                words.append(known + ("" if side.running_resistance else ", not yet read with the propeller on"))
            elif side.running_resistance:
                words.append(f"{side.side} Kv taken as 97 % of the label, which leaves "
                             f"{units.digits(units.from_si(side.running_resistance, 'mohm', 'ohm'), 3)} ± {say(side.resistance_sigma, 'resistance', 2)} of resistance")
            else:
                words.append(f"{side.side} not read")
        sentence = f"{'; '.join(words)}."
        sentence = sentence[0].upper() + sentence[1:]
        lacking, unloaded = [s.side for s in sides if not s.free], [s.side for s in sides if not s.loaded]
        if not lacking and not unloaded:
            return self.say("good", sentence, results=results)
        if lacking:
            sides_named = "both motors" if len(lacking) == 2 else f"the {lacking[0]} motor"
            advice = f"Take the propellers off and read volts, amps and rpm of {sides_named} at full throttle, on a full pack and once more on a lower one."
        else:
            advice = f"Put the {' and the '.join(unloaded)} propeller on and read volts, amps and rpm at full throttle."
        return self.say("look again", sentence, len(lacking), 0, Advice(advice), results)
