"""Checks of page 07, before and after flights: trials on the ground, charge put back, inspections."""


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
        return found.narrowed([path for path in found.assumed if path.startswith(self.grounds)])


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


AGAIN = {"weighed": "weigh it", "balanced": "balance it", "metered": "go through the meter sheet of page 02", "tried": "go through the ground list"}


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
    title = "Transmitter memory and control directions"
    why = "A reversed surface or the memory of the old aeroplane crashes it within seconds."
    source = "common_practice"
    needs = ("trials",)
    examples = {"good": {"bench.directions": "passed", "bench.memory": "own"}, "not": {"bench.directions": "failed", "bench.memory": "own"}, "cannot tell": {"power.left.kv": None}}

    def look(self, results):
        memory, right_way = results.trials.memory, {"bench.memory": "own", "bench.directions": "passed"}
        if memory == "other":
            return self.say("stop", "The transmitter shows another aeroplane's memory: its directions, mixes, end points and failsafe are not yours. Do not fly it before that.", 1, 0, Advice(
                "Choose or make this aeroplane's own memory, bind the receiver to it, read its name aloud, then go through the whole ground list again from the top.", right_way), results)
        found = _trial(self, results, ("directions",), "The memory is this aeroplane's own, and every surface moved the right way, read aloud to a second person.",
                       "Read the transmitter sheet below aloud, one surface after the other, to a second person who watches the aeroplane; then it is passed.")
        if memory == "own":
            return found
        words = "Nobody has looked yet whether the transmitter shows this aeroplane's own memory." + ("" if found.verdict == "good" else f" {found.sentence}")
        return self.say("stop", words if found.verdict == "stop" else f"{words} Do not fly it before that.", 1, 0,
                        Advice("Read the name on the transmitter's display aloud, then the transmitter sheet below, surface after surface, to a second person.", right_way), results)


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
        apart = f"{more} {percent(off)} more" if off >= 0.005 else "alike"
        words = f"Over {over} the left motor took {left} and the right one {right}{receiver}: {apart}; {percent(bound)} are usual."
        if log.drift is not None and abs(log.drift) > bound:
            words += f" In the later half of these flights the {'right' if log.drift > 0 else 'left'} side takes {percent(log.drift)} more, against the other, than in the earlier half: they drift apart."
            if off <= bound:
                return self.say("look again", words, abs(log.drift), bound, Advice(
                    "Something changes from flight to flight: feel both motors after a run, look for a rubbing bell, a loose propeller, a pack that ages (pack register)."), results)
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


class AfterRepair(BenchCheck):
    code = "B11"
    title = "Done again after a repair"
    why = "Glue and tape move mass and CG, and a crash loosens what nobody sees; the next flight finds it."
    source = "common_practice"
    needs = ("upkeep",)
    _repair = {"date": "2026-06-01", "flight": 3, "what": "nose glued"}
    examples = {"good": {"bench.repairs": [{**_repair, **dict.fromkeys(AGAIN, "yes")}]}, "not": {"bench.repairs": [{**_repair, **dict.fromkeys(AGAIN, "yes"), "weighed": "no"}]},
                "cannot tell": {"power.left.kv": None}}

    def look(self, results):
        open_ = [(number, what, left) for number, what, left in results.upkeep.repairs if left]
        count = len(results.upkeep.repairs)
        if not open_:
            words = f"All steps were repeated after {'the repair' if count == 1 else f'each of the {count} repairs'}." if count else "No crash and no repair is written down."
            return self.say("good", words, 0, 0, results=results)
        number, what, left = open_[-1]
        todo = [AGAIN[name] for name in left]
        named = todo[0] if len(todo) == 1 else f"{', '.join(todo[:-1])} and {todo[-1]}"
        rows = [{**{name: entry for name, entry in row.items() if not entry.assumed}, **dict.fromkeys(AGAIN, "yes")} for row in results.record.rows("bench.repairs")]
        return self.say("stop", f"After repair {number} ({what or 'not said what'}) it was not all done again. Still to do: {named}. Do not fly it before that.", len(open_), 0,
                        Advice(f"{named[0].upper()}{named[1:]}; write mass and CG into the table of weighings, then say yes in the row.", {"bench.repairs": rows}), results)


class WarmAfterRun(BenchCheck):
    code = "B12"
    title = "Temperatures after a run"
    why = "A part too hot to touch is near its end, and the hotter of two sides works harder."
    source = "common_practice"
    needs = ("upkeep",)
    limit = "limits.motor_hot"
    examples = {"good": {"bench.left.motor_after": "45 °C", "bench.right.motor_after": "48 °C"}, "not": {"bench.left.motor_after": "82 °C"}, "cannot tell": {"bench.left.motor_after": None}}
    cures = {"motor": "A propeller of an inch less pitch takes less current, page 01 says how much; more air past the motor helps too.",
             "controller": "Give it air, check its rating against the current on page 01, and whether its leads grew (page 03).",
             "pack": "It gives more than it should: fly with less throttle, or take one of more capacity or less age."}

    def look(self, results):
        warm, system = results.upkeep.warm, results.record.value("start.units")
        if not warm:
            return self.say("cannot tell", "Nobody has felt motors, controllers and packs after a run. Do it at once after the next one, packs out first.", results=results)
        bounds = {part: results.record.value(f"limits.{part}_hot") for part in ("motor", "controller", "pack")}
        hottest = max(warm, key=lambda key: warm[key] - bounds[key[0]])
        part, side = hottest
        say = lambda value: units.say(value, "temperature", system, 2)  # noqa: E731
        words = f"{'Nearest to its limit' if warm[hottest] <= bounds[part] else 'Too hot'}: the {side} {part} with {say(warm[hottest])}; at most {say(bounds[part])}."
        pair = [warm.get((part, one)) for one in ("left", "right")]
        if None not in pair and abs(pair[1] - pair[0]) > 10.0:
            words += f" The {'right' if pair[1] > pair[0] else 'left'} {part} is {abs(pair[1] - pair[0]):.0f} degrees warmer than the other one (counted in °C): it works harder."
        if warm[hottest] <= bounds[part]:
            return self.say("good", words, warm[hottest], bounds[part], results=results)
        return self.say("look again", words, warm[hottest], bounds[part], Advice(self.cures[part]), results)


class OneMotorOnPurpose(BenchCheck):
    code = "B13"
    title = "One motor stopped on purpose"
    why = "Tried too early, too low or with too much throttle on the live side, the trial is the accident it should prevent."
    source = "common_practice"
    needs = ("on_purpose",)
    limit = "limits.trial_height"
    _all = {"bench.trial": "planned", "bench.trial_ground": "passed", "bench.trial_flight": 6, "bench.trial_height": "80 m", "bench.trial_throttle": "30 %", "bench.trial_switch": True}
    examples = {"good": _all, "not": {**_all, "bench.trial_height": "30 m"}, "cannot tell": {"power.left.kv": None}}

    def look(self, results):
        plan, record, system = results.on_purpose, results.record, results.record.value("start.units")
        if not plan.planned:
            return self.say("good", "None is planned. Nobody has to try it.", results=results)
        first, lowest = int(record.value("limits.trial_flight")), self.bound(results)
        held = 0.0 if plan.held is None else plan.held
        wrong, cure = [], {}
        if plan.ground != "passed":
            wrong.append("each motor alone has not been tried on the ground")
            cure["bench.trial_ground"] = "passed"
        if plan.flight is None or plan.flight < first:
            wrong.append(f"it is planned for flight {plan.flight:.0f}, and never before flight {first}" if plan.flight else f"in which flight is not said (never before flight {first})")
            cure["bench.trial_flight"] = first
        if plan.height is None or plan.height < lowest:
            least = units.say(lowest, "distance", system, 2)
            wrong.append(f"{units.say(plan.height, 'distance', system, 2)} is too low, at least {least}" if plan.height else f"from what height is not said (at least {least})")
            cure["bench.trial_height"] = lowest
        if plan.throttle is None or plan.throttle > held:
            wrong.append((f"{percent(plan.throttle)} of the live throttle is more than the {percent(held)} the rudder surely holds" if plan.throttle is not None
                          else f"the most of the live throttle is not said (the rudder surely holds {percent(held)})"))
            cure["bench.trial_throttle"] = held
        if not plan.switch:
            wrong.append("no switch gives the stopped motor back at once")
            cure["bench.trial_switch"] = True
        words = f"Planned from {units.say(plan.height, 'distance', system, 2)} in flight {plan.flight:.0f}, the live throttle at most {percent(plan.throttle)}; the rudder surely holds {percent(held)}." if not wrong else \
            f"{wrong[0][0].upper()}{'; '.join(wrong)[1:]}. Do not try it like that."
        if wrong:
            return self.say("stop", words, plan.height, lowest, Advice("Hold to all of it: the ground trial first, late, high, little throttle, a switch that gives the motor back. Or leave it: nobody has to.", cure), results)
        return self.say("good", f"{words} With the club's leave; at the first doubt give the motor back and land.", plan.height, lowest, results=results)
