"""Checks of page 01 on what a flight does to the drives: heat, the side that is empty first, joined packs, trim, and what the model knows of the propeller."""

import math
from dataclasses import replace

import numpy as np

from twinkit import tables, units
from twinkit.checks.base import Advice, Check, possible
from twinkit.checks.power import LARGER, REASONS, SIDES, SMALLER, other_propeller, speaker, stays_cool, within
from twinkit.physics.pack import equalising_current

HOUR = 3600.0
REDS = {f"wiring.{side}.red_lead": "connected" for side in SIDES}


class MotorHeat(Check):
    step = "power"
    code = "P14"
    title = "Heat of the motors"
    why = "A motor that settles too hot burns its enamel or loses its magnets for good; one that is only warm in cruise may still burn in a long climb."
    source = "churchill_bernstein"
    needs = ("power_heat", "power_moments", "flight_spread")
    limit = "limits.motor_hot"
    examples = {"good": {"weight.throttle_climb": "60 %"}, "not": {f"power.{side}.motor_mass": "20 g" for side in SIDES}, "cannot tell": {"power.left.motor_mass": None, "power.left.kv": None}}

    def look(self, results):
        found, say, bound = results.power_heat, speaker(results), self.bound(results)
        cruise, climb, record = found.state("cruise"), found.state("climb"), results.record
        side = max(SIDES, key=lambda s: self._at(cruise, s, found))
        settles, climbing = self._at(cruise, side, found), record.value("weight.time_launch") + record.value("weight.time_climb")
        hurried = min(SIDES, key=lambda s: getattr(climb, s).time)
        lasts = getattr(climb, hurried).time
        spread, system = results.flight_spread, record.value("start.units")
        told = f"beyond {say(found.burnt, 'temperature', 2)}" if getattr(cruise, side).runaway else f"at {units.say_within(settles, *spread.settles[side], 'temperature', system, 2)}"
        words = (f"In cruise the {side} motor, by its mass, settles {told}; you want {say(bound, 'temperature', 2)} at most. "
                 f"Climbing at {say(record.value('weight.throttle_climb'), 'share', 2)} throttle {_reaches(hurried, lasts, spread.lasts[hurried], found.limit, system)}; launch and climb take {say(climbing, 'seconds', 2)}.")
        if settles <= bound and lasts >= climbing:
            return self.say("good", words, settles, bound, results=results)
        verdict = "stop" if settles > found.limit else "look again"
        return self.say(verdict, words, settles, bound, self._cooler(results, climbing), results)

    @staticmethod
    def _at(state, side, found):
        """Where a motor settles; what runs away counts as burnt."""
        warm = getattr(state, side)
        return found.burnt if warm.runaway else warm.temperature

    def _cooler(self, results, climbing):
        bound = self.bound(results)

        def suits(after):
            heat, power = after.power_heat, after.carried
            fits = all(self._at(heat.state("cruise"), s, heat) <= bound and getattr(heat.state("climb"), s).time >= climbing for s in SIDES)
            return fits and power.mass is not None and after.power.full.thrust >= 0.5 * power.mass * 9.80665

        found = other_propeller(results, SIDES, SMALLER, suits)
        if found:
            return Advice(f"Fit {found[0]}, or open the nacelle so that the propeller's stream passes through the motor.", found[1])
        return Advice("Fit heavier motors of lower Kv; no smaller propeller that still pulls half the weight keeps these cool.")


class FirstAtItsEnd(Check):
    step = "power"
    code = "P15"
    title = "Which side is at its end first"
    why = "When the pack behind the receiver is flat the radio is gone, however full the other one is."
    source = "common_practice"
    needs = ("discharge", "layout", "flight_spread")
    limit = "limits.empties_ahead"
    examples = {"good": {"power.packs": "joined"}, "not": {"power.right.capacity": "1000 mAh"}, "cannot tell": {"power.left.capacity": None}}

    def look(self, results):
        found, bound, system, times = results.discharge, self.bound(results), results.record.value("start.units"), results.flight_spread.times
        until = lambda supply: units.say_within(supply.time, *times[supply.side], "time", system, 2)  # noqa: E731
        if len(found.supplies) == 1:
            return self.say("good", f"One supply carries both sides: it is at its end after {until(found.supplies[0])} of cruise, both motors and the receiver together.",
                            0.0, bound, results=results)
        first, other = sorted(found.supplies, key=lambda s: s.time)
        ahead, only = _ahead(first.time, other.time), first.feeds and not other.feeds
        words = (f"In straight cruise the {first.side} pack is at its end after {until(first)}; "
                 f"the {other.side} one then still holds {units.digits(100.0 * found.rest, 2)} %. ")
        words += (f"The {first.side} pack alone feeds the receiver: whoever flies on loses the radio with a motor running." if only
                  else "The receiver has another pack." if first.feeds else f"Flown flat it stops the {first.side} motor; the radio stays.")
        if ahead <= bound:
            return self.say("good", words, ahead, bound, results=results)
        return self.say("stop" if only and ahead > 2.0 * bound else "look again", words, ahead, bound, self._advice(results, first, other, bound), results)

    def _advice(self, results, first, other, bound):
        """A larger pack on the side that is first at its end, or the receiver moved to the other side; each is tried."""
        say, step = speaker(results), units.to_si(50.0, "mAh", "C")
        tried = []
        if first.feeds and not other.feeds and results.record.value("power.source") in ("left_bec", "right_bec"):
            tried.append((f"Feed the receiver from the {other.side} controller's regulator and take out the red lead of the other",
                          {"power.source": f"{other.side}_bec", f"wiring.{other.side}.red_lead": "connected", f"wiring.{first.side}.red_lead": "isolated"}))
        for more in (1.1, 1.2, 1.35, 1.5, 1.75, 2.0, 2.5, 3.0):
            size = math.ceil(results.power.side(first.side).pack.capacity * more / step) * step
            tried.append((f"Give the {first.side} side a pack of {say(size, 'charge')}", {f"power.{first.side}.capacity": size}))
        for words, changes in tried:
            if not possible(changes):
                continue
            after = results.changed(changes)
            ends = sorted(s.time for s in after.discharge.supplies)
            if _ahead(ends[0], ends[-1]) <= bound and ("power.source" not in changes or stays_cool(after)):
                return Advice(f"{words}; until then set one timer for both, to the time of page 04, which counts climb and turns.", changes)
        return Advice("Set one timer for both sides, to the time of page 04, which counts climb and turns, and land on it.")


class JoinedPacks(Check):
    step = "power"
    code = "P16"
    title = "Joining two packs"
    why = "Two joined packs equalise at once through nothing but their own resistance: unlike ones heat the lead, puff, or burn."
    source = "drive_trade"
    needs = ("power",)
    limit = "limits.pair_volts"
    examples = {"good": {}, "not": {"power.packs": "joined", "power.left.pack_age": 1, "power.left.c_rating": 30, "limits.pair_volts": "0.12 V"}, "cannot tell": {"power.right.capacity": None}}

    def look(self, results):
        power, say, volts = results.power, speaker(results), self.bound(results)
        if power.pack_layout != "joined" and not (len(power.packs) == 2 and power.shared):
            return self.say("good", "No packs are joined.", results=results)
        one, two = power.packs
        if one.cells != two.cells:
            return self.say("stop", f"Packs of {one.cells} and {two.cells} cells must never be joined: the larger empties itself into the smaller.", None, None,
                            Advice(f"Use two packs of {one.cells} cells.", {f"power.{two.side}.cells": one.cells}), results)
        smaller = min(power.packs, key=lambda p: p.capacity)
        allowed = smaller.capacity / HOUR
        flow = float(equalising_current(voltage_1=one.cells * volts, resistance_1=one.resistance, voltage_2=0.0, resistance_2=two.resistance))
        shares = [float(c) for c in power.pack_currents(power.fresh)]
        uneven = max(share / (p.capacity / (one.capacity + two.capacity)) for share, p in zip(np.array(shares) / sum(shares), power.packs))
        words = (f"If each cell of one pack stands {say(volts, 'volts', 2)} above the other's when you join them, {say(flow, 'current', 2)} flow at once; "
                 f"1 C of the smaller is {say(allowed, 'current', 2)}. Under load the packs share {say(shares[0], 'current', 2)} and {say(shares[1], 'current', 2)}.")
        if flow <= allowed and uneven <= UNEVEN:
            return self.say("good", words, flow, allowed, results=results)
        told, changes, verdict = [], {}, "look again"
        if uneven > UNEVEN:
            weak = max(power.packs, key=lambda p: p.resistance)
            strong = next(p for p in power.packs if p is not weak)
            words += f" The {strong.side} one works {units.digits(uneven, 2)} times as hard as its size allows for."
            verdict = "stop" if uneven > FAR_UNEVEN else verdict
            told.append(f"join a pair of one age and size: replace the {weak.side} pack")
            changes = {f"power.{weak.side}.{name}": results.record.value(f"power.{strong.side}.{name}") for name in ("capacity", "c_rating", "pack_age")}
        if flow > allowed:
            most = math.floor(1000.0 * volts * min(allowed / flow, 1.0) / 2.0) / 1000.0 if changes else math.floor(1000.0 * volts * allowed / flow) / 1000.0
            told.append(f"join them only when no cell differs by more than {say(most, 'volts', 2)}: put both on the charger first")
            changes[self.limit] = most
        sentence = "; and ".join(told)
        return self.say(verdict, words, flow, allowed, Advice(sentence[0].upper() + sentence[1:] + ".", changes), results)


UNEVEN, FAR_UNEVEN = 1.25, 1.4          # share of the current over share of the capacity


class Trimmable(Check):
    step = "power"
    code = "P17"
    title = "Unlike motors against the rudder"
    why = "A difference the rudder cannot trim leaves no rudder for anything else, least of all for a motor that quits."
    source = "lateral_identity"
    needs = ("rudder", "flight_spread")
    limit = "limits.mismatch_angle"
    examples = {"good": {}, "not": {"power.right.propeller_diameter": "9 in", "power.right.propeller_pitch": "6 in", "bench.points": [], "power.throttle": "y_lead"},
                "cannot tell": {"power.right.kv": None}}

    def look(self, results):
        out, say, bound = results.rudder, speaker(results), self.bound(results)
        unlike, curve_possible = out.unlike, results.record.value("power.throttle") == "two_channels"
        plain, curved = (self._angle(trim, out) for trim in (unlike.plain_cruise, unlike.curved_cruise))
        what = "rudder" if out.has_rudder else "sideslip"
        if unlike.stronger == "alike":
            return self.say("good", "Both sides are told alike, so there is nothing to trim here; page 07 measures what two of one label differ by.", 0.0, bound, results=results)
        takes = "more rudder than there is" if math.isinf(plain) else f"{say(plain, 'angle', 2)} of {what}"
        tried = replace(results.flight_spread.cruise, speed=unlike.plain_cruise.speed).full
        apart = (tried.right.thrust - tried.left.thrust) * (1.0 if unlike.plain_cruise.difference > 0.0 else -1.0)
        words = f"At full throttle in cruise the difference of {within(results)(abs(unlike.plain_cruise.difference), apart, 'thrust', 2)} takes {takes}; {say(bound, 'angle', 2)} is the most you want."
        if curve_possible:
            mends = ", which is enough" if curved <= bound < plain else ""
            words += f" A throttle curve (page 06) brings that to {'more than there is' if math.isinf(curved) else say(curved, 'angle', 2)}{mends}."
        if min(plain, curved if curve_possible else plain) <= bound:
            return self.say("good", words, None if math.isinf(plain) else plain, bound, results=results)
        if not curve_possible and curved <= bound:
            advice = Advice("Give each side a throttle channel: then a curve on page 06 makes them alike.", {"power.throttle": "two_channels"})
        else:
            strong = "right" if unlike.plain_cruise.difference > 0.0 else "left"
            weak = "left" if strong == "right" else "right"
            alike = {f"power.{strong}.{name}": results.record.value(f"power.{weak}.{name}") for name in ("propeller_diameter", "propeller_pitch")}
            power = results.power
            advice = Advice(f"Fit the {weak} side's propeller, {power.side(weak).propeller_words}, on the {strong} too.", alike) if alike != {
                path: results.record.value(path) for path in alike} else Advice("Find a pair of motors nearer to each other: no curve makes these alike.")
        gone = math.isinf(plain) or plain > 0.5 * out.throw
        return self.say("stop" if gone else "look again", words, None if math.isinf(plain) else plain, bound, advice, results)

    @staticmethod
    def _angle(trim, out):
        """Size of the trim; inf beyond the rudder's travel."""
        if not out.has_rudder:
            return abs(trim.sideslip)
        return math.inf if trim.rudder is None else abs(trim.rudder)


class CruiseThrottle(Check):
    step = "power"
    code = "P18"
    title = "Throttle in cruise"
    why = "Who cruises near full throttle has nothing left for the climb, the wind and the second attempt."
    source = "common_practice"
    needs = ("power_moments", "flight_spread")
    limit = "limits.cruise_throttle"
    afterwards = ("P01", "Y01")
    examples = {"good": {}, "not": {"weight.mass_measured": "3500 g"}, "cannot tell": {"start.cruise_guess": None}}

    def look(self, results):
        found, say, bound = results.power_moments, speaker(results), self.bound(results)
        held, cruise = found.cruise_throttle, found.named("cruise")
        if cruise.sides.thrust < 0.995 * cruise.wanted:
            words = f"Full throttle does not carry the drag of {say(cruise.wanted, 'thrust', 2)} at your cruise of {say(cruise.sides.speed, 'speed')}."
        else:
            told = units.say_within(held, *results.flight_spread.throttle, "share", results.record.value("start.units"), 2)
            words = f"With {say(found.mass, 'mass')} ({found.mass_from}) it cruises on {told} throttle at {say(cruise.sides.speed, 'speed')}, your first guess; you want {say(bound, 'share', 2)} at most."
        if held <= bound:
            return self.say("good", words, held, bound, results=results)
        found = other_propeller(results, SIDES, LARGER, lambda after: after.power_moments.cruise_throttle <= bound and _stands(after.power))
        advice = Advice(f"Fit {found[0]}, if it clears the fuselage and the ground (page 05).", found[1]) if found else Advice("Come down in mass, or use stronger motors.")
        return self.say("look again", words, held, bound, advice, results)


class PropellerKnown(Check):
    step = "power"
    code = "P19"
    title = "The propeller within what was measured"
    why = "The propeller model was compared with two blades of 7 to 11.5 inches up to 7,000 rpm; elsewhere its band is a guess too."
    source = "twinkit_propeller_fit"
    needs = ("power",)
    examples = {"good": {}, "not": {"bench.points": []}, "cannot tell": {"power.left.propeller_pitch": None}}

    def look(self, results):
        power = results.power
        outside = [side for side in SIDES if power.side(side).reasons]
        unread = [side for side in outside if power.side(side).propeller_measured != "thrust and power"]
        if not outside:
            return self.say("good", "Both propellers lie within what the model was compared with.", results=results)
        reasons = list(dict.fromkeys(REASONS[reason] for side in outside for reason in power.side(side).reasons))
        words = f"Outside what the model was compared with: {', '.join(reasons)}."
        if not unread:
            return self.say("good", words + " Your bench reading of thrust and power holds it in place.", results=results)
        where = "both sides" if len(unread) == 2 else f"the {unread[0]} side"
        return self.say("look again", words + f" Thrust and power of {where} are extrapolated.", None, None,
                        Advice(f"Read volts, amps, rpm and pull of {where} at full throttle on page 07 before you trust a margin."), results)


class ControllerVolts(Check):
    step = "power"
    code = "P20"
    title = "Volts the controller needs"
    why = "Below about 5.75 V a controller's own electronics stop; two tired cells at full throttle get there before their cut-off."
    source = "drive_trade"
    needs = ("power", "power_spread")
    examples = {"good": {}, "not": {**{f"power.{side}.cells": 2 for side in SIDES}, **{f"power.{side}.pack_resistance": "500 mohm" for side in SIDES}},
                "cannot tell": {"power.left.cells": None}}

    def look(self, results):
        power, say = results.power, speaker(results)
        least = tables.values("motor/controller")["least_supply"]
        side = min(SIDES, key=lambda s: getattr(power.half, s).pack_volts)
        volts = getattr(power.half, side).pack_volts
        words = f"Half full at full throttle the {side} controller still gets {within(results)(volts, getattr(results.power_spread.standing.half, side).pack_volts, 'volts')}; it needs about {say(least, 'volts')}."
        if volts >= least:
            return self.say("good", words, volts, least, results=results)
        packs = {f"power.{p.side}.cells": p.cells + 1 for p in power.packs}
        named = f"Use packs of {max(p.cells for p in power.packs) + 1} cells and a propeller to suit, or younger packs."
        return self.say("stop", words, volts, least, Advice(named, packs), results)


class DriveEfficiency(Check):
    step = "power"
    code = "P21"
    title = "How much of the power reaches the shaft"
    why = "A motor loaded far beyond its best current turns the pack's power into heat, not thrust."
    source = "common_practice"
    needs = ("power", "power_spread")
    limit = "limits.drive_efficiency"
    examples = {"good": {}, "not": {f"power.{side}.propeller_{name}": size for side in SIDES for name, size in (("diameter", "11 in"), ("pitch", "7 in"))} | {"bench.points": []},
                "cannot tell": {"power.right.kv": None}}

    def look(self, results):
        power, say, bound = results.power, speaker(results), self.bound(results)
        share = {side: getattr(power.full, side).efficiency for side in SIDES}
        known = {side: value for side, value in share.items() if np.isfinite(value)}
        if not known:
            return self.say("look again", "At full throttle neither motor turns its propeller.", None, None, Advice("Look at Kv, cells and propeller: one of them is a misprint."), results)
        side = min(known, key=known.get)
        point, tried, tell = getattr(power.full, side), getattr(results.power_spread.standing.full, side), within(results)
        words = (f"At full throttle, standing, {tell(known[side], tried.efficiency, 'share', 2)} of the power into the {side} controller reaches the shaft; "
                 f"{say(point.heat + point.controller_heat, 'power', 2)} stay as heat (windings at {say(tables.values('motor/cooling')['bench_winding'], 'temperature', 2)}). You want {say(bound, 'share', 2)}.")
        if known[side] >= bound:
            return self.say("good", words, known[side], bound, results=results)
        found = other_propeller(results, [s for s in known if known[s] < bound], SMALLER, lambda after: all(getattr(after.power.full, s).efficiency >= bound for s in SIDES))
        advice = Advice(f"Fit {found[0]}.", found[1]) if found else Advice("Use a motor of lower resistance or fewer turns for this propeller.")
        return self.say("look again", words, known[side], bound, advice, results)


def _ahead(first, last):
    """How far ahead of the last the first is at its end; packs that give nothing at all end together."""
    return 1.0 - first / last if last > 0.0 else 0.0


def _reaches(side, seconds, ends, limit, system):
    hot = units.say(limit, "temperature", system, 2)
    if math.isinf(seconds):
        early = "" if math.isinf(ends[0]) else f" (one in twenty within {units.say(ends[0], 'seconds', system, 2)})"
        return f"neither ever reaches {hot}{early}"
    return f"the {side} one reaches {hot} after {units.say_within(seconds, *ends, 'seconds', system, 2)}"


def _stands(power):
    """Whether the controllers stand their current on full packs, as far as their ratings are known."""
    return all(getattr(power.fresh, s).motor_current <= (power.side(s).controller_current or math.inf) for s in SIDES)
