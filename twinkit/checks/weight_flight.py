"""Checks of page 04 on the flight: which pack ends it, what is left, and what the volts do."""

import math

from twinkit import quantities, units
from twinkit.checks.base import Advice, Check
from twinkit.checks.weight import minutes, speaker

WARM = tuple(273.15 + celsius for celsius in (10.0, 20.0, 30.0, 35.0))      # what packs can be warmed to before a flight
FAR_AHEAD = 2.0      # limits of one pack ahead of the other beyond which the receiver's pack must not be the first
NO_FLIGHT = 20.0      # a flight shorter than that is none [s]
CAPACITY_STEP = 180.0      # 50 mAh, the step in which packs are sold


class FlightCheck(Check):
    """A check of the flight on page 04: without a flight it says so."""

    step = "weight"

    def look(self, results):
        flight, say = results.flight, speaker(results)
        if not flight.holds:
            return self.say("look again", f"Full throttle does not hold the cruise speed of {say(flight.cruise_speed, 'speed')}: there is no flight to time.", results=results)
        return self.flown(results, flight, say)

    def flown(self, results, flight, say):
        raise AttributeError(f"check {self.code} has no flown(results, flight, say)")


def pack_name(side):
    return "pack" if side == "shared" else f"{side} pack"


def limit_words(pack, say):
    """What ends a pack's flight, in words."""
    if pack.limit == "cut-off":
        return f"down to the cut-off of {say(pack.cut_off, 'volts', 2)} a cell in the {pack.phase}"
    return f"down to {say(1.0 - pack.profile.usable, 'share', 2)}"


class EmptyFirst(FlightCheck):
    code = "W05"
    title = "Which pack is empty first"
    why = "When the pack behind the receiver goes flat the radio goes with it, however full the other one is; when the other goes flat, one motor stops."
    source = "common_practice"
    needs = ("flight",)
    limit = "limits.empties_ahead"
    examples = {"good": {"power.packs": "joined"}, "not": {"power.right.capacity": "1200 mAh"}, "cannot tell": {"power.left.capacity": None}}

    def flown(self, results, flight, say):
        bound, system = self.bound(results), results.record.value("start.units")
        if flight.land_by < NO_FLIGHT:
            first = flight.first_pack
            return self.say("stop", f"There is no flight: the {pack_name(first.side)} is {limit_words(first, say)}, within {say(flight.land_by, 'seconds', 2)}.", 0.0, bound,
                            Advice("Fly packs that sag less: warmer, newer, larger ones, or ones with a higher C rating; or a smaller propeller."), results)
        land = f"Land by {minutes(flight.land_by)} ({units.say_range(flight.land_by_low, flight.land_by_high, 'time', system)})"
        if len(flight.packs) == 1:
            return self.say("good", f"{land}: both sides and the receiver empty one supply together.", 0.0, bound, results=results)
        first = flight.first_pack
        other = next(p for p in flight.packs if p.side != first.side)
        ahead = (other.time - first.time) / other.time if other.time > 0.0 else 0.0
        words = f"{land}: then the {first.side} pack is {limit_words(first, say)} and the {other.side} one still holds {say(other.charge_at_landing, 'share', 2)}. "
        radio = flight.feeds in (first.side, "both")
        words += f"The {first.side} pack also feeds the receiver: flown flat, it takes the radio with it." if radio else f"Flown flat, it stops the {first.side} motor alone."
        if ahead <= bound:
            return self.say("good", words, ahead, bound, results=results)
        far = radio and ahead > FAR_AHEAD * bound
        if far:
            words += f" The {other.side} motor then goes on pulling and tells you nothing."
        return self.say("stop" if far else "look again", words, ahead, bound, self.advice(first, other, flight), results)

    def advice(self, first, other, flight):
        timer = f"until then set one timer for both, to {minutes(flight.land_by)} at most."
        if first.limit == "cut-off":
            return Advice(f"Give the {first.side} side a pack that sags less: newer, larger or with a higher C rating; {timer}")
        wanted = math.ceil(first.label * other.time / first.time / CAPACITY_STEP) * CAPACITY_STEP
        path = f"power.{first.side}.capacity"
        there_is = wanted <= quantities.quantity(path).possible[1]
        begin = f"Give the {first.side} side a pack of {units.say(wanted, 'charge')}, or trim" if there_is else "Look on page 01 why the sides are so unlike, then trim"
        return Advice(f"{begin} the two sides to equal thrust on page 06; {timer}", {path: wanted} if there_is else {})


class Reserve(Check):
    code = "W06"
    step = "weight"
    title = "Reserve at landing"
    why = "What is left in the pack is the second approach, and what keeps the cells alive."
    source = "common_practice"
    needs = ("flight",)
    limit = "limits.reserve"
    examples = {"good": {"weight.usable": "75 %"}, "not": {"weight.usable": "85 %"}, "cannot tell": {"power.right.capacity": None}}

    def look(self, results):
        flight, say, bound = results.flight, speaker(results), self.bound(results)
        left = 1.0 - results.record.value("weight.usable")
        words = f"You plan to land with {say(left, 'share', 2)} of the charge; {say(bound, 'share', 2)} is wanted."
        if flight.holds:
            words += f" What stays would last {minutes(flight.first_pack.reserve_time)} more of circuits until the cells are flat."
        if left >= bound - 1e-9:
            return self.say("good", words, left, bound, results=results)
        return self.say("look again", words, left, bound, Advice(f"Use {say(1.0 - bound, 'share', 2)} of the charge at most; the land-by time follows.",
                                                                 {"weight.usable": 1.0 - bound}), results)


class GoAround(FlightCheck):
    code = "W07"
    title = "Full throttle once more at the end"
    why = "A go-around with nearly empty packs may trip the cut-off of one controller first: one motor fades at the worst moment."
    source = "common_practice"
    needs = ("flight",)
    limit = "wiring.left.cut_off"
    examples = {"good": {"power.pack_temperature": "20 °C"}, "not": {"power.pack_temperature": "-8 °C", "weight.usable": "94 %"},
                "cannot tell": {"power.left.cells": None}}

    def flown(self, results, flight, say):
        worst = min(flight.packs, key=lambda p: p.end_volts - p.cut_off)
        words = (f"At the land-by time full throttle pulls each cell of the {pack_name(worst.side)} to {say(worst.end_volts, 'volts')}; "
                 f"the cut-off is set to {say(worst.cut_off, 'volts', 2)}.")
        if worst.end_volts >= worst.cut_off:
            return self.say("good", words, worst.end_volts, worst.cut_off, results=results)
        usable = math.floor((1.0 - max(p.least_charge for p in flight.packs)) * 100) / 100 - 0.01
        if usable < quantities.quantity("weight.usable").possible[0]:
            return self.say("look again", words, worst.end_volts, worst.cut_off, Advice("Warm the packs, or fly newer ones."), results)
        return self.say("look again", words, worst.end_volts, worst.cut_off,
                        Advice(f"Use {say(usable, 'share', 2)} of the charge at most on such a day, or warm the packs.", {"weight.usable": usable}), results)


class ClimbVolts(FlightCheck):
    code = "W10"
    title = "Volts in launch and climb"
    why = "Cold or old packs sag most where you can least do without them: a controller that reaches its cut-off in the climb takes one motor away, low and slow."
    source = "common_practice"
    needs = ("flight",)
    limit = "limits.loaded_cell"
    examples = {"good": {}, "not": {"power.pack_temperature": "-10 °C", "power.left.pack_age": 2}, "cannot tell": {"weight.left.pack_behind": None, "power.left.cells": None}}

    def flown(self, results, flight, say):
        bound, worst = self.bound(results), min(flight.packs, key=lambda p: p.climb_volts)
        now = results.record.value("power.pack_temperature")
        words = (f"In launch and climb each cell of the {pack_name(worst.side)} falls to {say(worst.climb_volts, 'volts')} with packs of {say(now, 'temperature', 2)}; "
                 f"{say(bound, 'volts', 2)} is wanted, the cut-off is set to {say(worst.cut_off, 'volts', 2)}.")
        if worst.climb_volts >= bound:
            return self.say("good", words, worst.climb_volts, bound, results=results)
        tripped = worst.climb_volts <= worst.cut_off
        if tripped:
            words += f" The {worst.side if worst.side != 'shared' else 'first'} motor cuts out in the climb."
        return self.say("stop" if tripped else "look again", words, worst.climb_volts, bound, self.advice(results, bound, say), results)

    def advice(self, results, bound, say):
        now = results.record.value("power.pack_temperature")
        for warm in (kelvin for kelvin in WARM if kelvin > now):
            changes = {"power.pack_temperature": warm}
            if min(p.climb_volts for p in results.changed(changes).flight.packs) >= bound:
                return Advice(f"Keep the packs warm until you fly, at {say(warm, 'temperature', 2)} or more.", changes)
        return Advice("Fly newer packs, larger ones, or ones with a higher C rating: warming these is not enough.")
