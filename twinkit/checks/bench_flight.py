"""Checks of page 07, before and after flights: trials on the ground, charge put back, inspections."""

from dataclasses import replace

from twinkit import units
from twinkit.checks.base import Advice, Check
from twinkit.design.base import said

NAMES = {"failsafe": "the failsafe", "cut": "the throttle cut", "range_half": "the range check with both motors at half", "range_full": "the range check with both motors at full",
         "directions": "the control directions"}


def percent(share):
    """A share as text, without a sign and without a digit nobody can measure."""
    value = abs(100.0 * share)
    return f"{value:.0f} %" if value >= 9.95 else f"{value:.1f}".removesuffix(".0") + " %"


class BenchCheck(Check):
    """A check of this page, in whichever file. Of the assumed values below it, it names those whose path begins with one of its grounds."""

    step = "bench"
    grounds = ()

    def say(self, *what, **more):
        found = super().say(*what, **more)
        return replace(found, assumed=tuple(path for path in found.assumed if path.startswith(self.grounds)))


def _trial(check, results, names, passed, advice):
    """Good when all these trials were passed, else stop, with what is left."""
    states = results.trials.states
    failed, open_ = ([n for n in names if states[n] == state] for state in ("failed", "not_done"))
    if not failed and not open_:
        return check.say("good", passed, results=results)
    words = []
    if failed:
        words.append(f"Not passed: {' and '.join(NAMES[n] for n in failed)}.")
    if open_:
        words.append(f"Not tried yet: {' and '.join(NAMES[n] for n in open_)}.")
    return check.say("stop", f"{' '.join(words)} Do not fly it before that.", len(failed) + len(open_), 0,
                     Advice(advice, {f"bench.{n}": "passed" for n in (*failed, *open_)}), results)


class SteeringMix(BenchCheck):
    code = "B05"
    title = "Steering by thrust"
    why = "With the throttle outputs swapped the mix pushes the nose the wrong way, and more rudder makes it worse."
    source = "mechanics"
    needs = ("trials",)
    examples = {"good": {"bench.steering": "left"}, "not": {"bench.steering": "right"}, "cannot tell": {"bench.steering": None}}

    def look(self, results):
        steering, right_way = results.trials.steering, {"bench.steering": "left"}
        if steering == "right":
            return self.say("stop", "Right rudder speeds up the right motor: that turns the nose left, against the rudder.", None, None,
                            Advice("Look which motor the transmitter's left throttle drives: if it is the right one, swap the two plugs; if it is the left one, turn the mix round. Then try again.",
                                   right_way), results)
        if steering == "left":
            return self.say("good", "Right rudder speeds up the left motor, as it must. See that the mix does nothing while the throttle is closed.", results=results)
        if steering == "not_tried":
            return self.say("cannot tell", "Nobody has tried yet which motor right rudder speeds up. Propellers off, throttle a little open: it must be the left one, or neither.", results=results)
        if results.trials.no_rudder:
            return self.say("look again", "It has no rudder and no mix of rudder stick and throttles: nothing turns the nose but the ailerons.", None, None,
                            Advice("Mix the rudder stick into both throttles so that right rudder speeds up the left motor.", right_way), results)
        return self.say("good", "No such mix is used, and right rudder speeds up neither motor.", results=results)


class CutAndFailsafe(BenchCheck):
    code = "B06"
    title = "Throttle cut and failsafe"
    why = "A cut or a failsafe that stops one motor leaves the other to fly off with the aeroplane, or to take a hand."
    source = "common_practice"
    needs = ("trials",)
    examples = {"good": {"bench.failsafe": "passed", "bench.cut": "passed"}, "not": {"bench.failsafe": "failed", "bench.cut": "passed"}, "cannot tell": {"power.left.kv": None}}

    def look(self, results):
        denied = results.trials.not_closed
        if denied:
            named = " and ".join(said(path) for path in denied)
            return self.say("stop", f"Page 02 says no to: {named}. Do not fly it before that.", len(denied), 0,
                            Advice("Set cut and failsafe on both outputs, try both with the propellers off, and tick them on page 02.",
                                   {**dict.fromkeys(denied, True), "bench.failsafe": "passed", "bench.cut": "passed"}), results)
        return _trial(self, results, ("failsafe", "cut"), "Throttle cut and failsafe close both throttles.",
                      "Propellers off: open the throttle a little, pull the cut; then switch the transmitter off. Both motors must stop each time.")


class RangeCheck(BenchCheck):
    code = "B07"
    title = "Range with both motors running"
    why = "Carbon, power leads and regulators shorten the range only while the motors run."
    source = "common_practice"
    needs = ("trials",)
    examples = {"good": {"bench.range_half": "passed", "bench.range_full": "passed"}, "not": {"bench.range_half": "passed", "bench.range_full": "failed"},
                "cannot tell": {"power.left.kv": None}}

    def look(self, results):
        states = results.trials.states
        if states["range_full"] == "failed" and states["range_half"] == "passed":
            advice = "It is the motors: lay the antenna away from carbon and power leads (page 02), twist the power leads, then walk it again at half and at full."
        else:
            advice = "Model held down, nobody before or beside the propellers: walk the distance your radio's handbook says at reduced power, with both motors at half and then at full."
        return _trial(self, results, ("range_half", "range_full"), "The range check was passed with both motors at half and at full.", advice)


class Directions(BenchCheck):
    code = "B08"
    title = "Control directions"
    why = "A reversed surface or the memory of the old aeroplane crashes it within seconds."
    source = "common_practice"
    needs = ("trials",)
    examples = {"good": {"bench.directions": "passed"}, "not": {"bench.directions": "failed"}, "cannot tell": {"power.left.kv": None}}

    def look(self, results):
        return _trial(self, results, ("directions",), "Every surface moved the right way, read aloud to a second person.",
                      "Read the transmitter sheet below aloud, one surface after the other, to a second person who watches the aeroplane; then it is passed.")


class ChargePutBack(BenchCheck):
    code = "B09"
    title = "Charge put back, left against right"
    why = "The side that takes more lands first, and something on it works harder."
    source = "common_practice"
    needs = ("flight_log",)
    grounds = ("wiring.servo_", "wiring.receiver_current")
    limit = "limits.pair_charge"
    _flight = {"date": "2026-05-01", "time": "6 min"}
    examples = {"good": {"bench.flights": [{**_flight, "left": "640 mAh", "right": "665 mAh"}]}, "not": {"bench.flights": [{**_flight, "left": "560 mAh", "right": "760 mAh"}]},
                "cannot tell": {"bench.flights": []}}

    def look(self, results):
        log, bound, system = results.flight_log, self.bound(results), results.record.value("start.units")
        if log.shared:
            return self.say("cannot tell", "Both motors draw on one supply, so the charger cannot tell them apart; compare the motors' warmth by hand.", results=results)
        if log.difference is None:
            return self.say("cannot tell", "No flight is logged with its time and the charge put back on both sides.", results=results)
        left, right = (units.say(charge, "charge", system) for charge in log.drawn)
        off = abs(log.difference) if log.difference > 0 else 1.0 / (1.0 + log.difference) - 1.0
        more = "right" if log.difference > 0 else "left"
        over = "the flight" if log.compared == 1 else f"{log.compared} flights"
        receiver = f", the receiver's {units.say(sum(log.receiver), 'charge', system, 2)} taken off" if sum(log.receiver) > 0 else ""
        words = (f"Over {over} the left motor took {left} and the right one {right}{receiver}: {more} {percent(off)} more; "
                 f"{percent(bound)} are usual.")
        if off <= bound:
            return self.say("good", words, off, bound, results=results)
        return self.say("look again", words, off, bound, Advice(
            f"Swap the two packs for one flight: does the difference stay on the {more}, look there for a rubbing motor, another propeller or an end point (finding above); "
            "does it go with the pack, measure that pack."), results)


class InspectionDue(BenchCheck):
    code = "B10"
    title = "Inspection after the first flights"
    why = "Screws, glue and plugs work loose in the first hour; a look finds it on the ground."
    source = "common_practice"
    needs = ("flight_log",)
    _flights = [{"date": f"2026-05-0{n}", "time": "6 min", "left": "600 mAh", "right": "620 mAh"} for n in range(1, 6)]
    examples = {"good": {"bench.flights": _flights, "bench.inspected": 5}, "not": {"bench.flights": _flights, "bench.inspected": 1}, "cannot tell": {"bench.flights": []}}

    def look(self, results):
        log = results.flight_log
        count = "one flight" if len(log.flights) == 1 else f"{len(log.flights)} flights"
        if not log.flights:
            return self.say("cannot tell", "No flight is logged yet; the first inspection comes after flight 1.", results=results)
        if log.due is None:
            return self.say("good", f"{count[0].upper()}{count[1:]} logged, looked over last after flight {log.inspected}.", results=results)
        last = f"it was looked over last after flight {log.inspected}" if log.inspected else "it was never looked over"
        return self.say("look again", f"{count[0].upper()}{count[1:]} logged, and {last}: the inspection of flight {log.due} is due.", None, None,
                        Advice("Go through the inspection list below, then write down after which flight you did.", {"bench.inspected": len(log.flights)}), results)
