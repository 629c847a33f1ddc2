"""Checks of page 01: do the drives stand what they are asked, do they pull enough, and how well is that known?"""

import math

from twinkit import tables, units
from twinkit.checks.base import Advice, Check, possible
from twinkit.constants import STANDARD_GRAVITY
from twinkit.design.power_spread import cell_volts, nine_in_ten

SIDES = ("left", "right")
SMALLER = ((0, -1), (-1, 0), (-1, -1), (-2, -1), (-2, -2), (-3, -2))      # inches off diameter and pitch, the mildest change first
LARGER = ((0, 1), (1, 0), (1, 1), (2, 0), (2, 1), (3, 1))
TRIES = 4
GENTLE = (90.0, 130.0)                                                     # W/kg, as the trade has it


def speaker(results):
    """say(value, kind) in the reader's units."""
    system = results.record.value("start.units")
    return lambda value, kind, significant=3: units.say(value, kind, system, significant)


def within(results):
    """within(value, variants, kind): a number with the band that holds it nine times in ten, in the reader's units; variants: its value in each of them."""
    system = results.record.value("start.units")
    return lambda value, variants, kind, significant=3: units.say_within(value, *nine_in_ten(variants), kind, system, significant)


def _round_up(value, step):
    return math.ceil(value / step - 1e-9) * step


def other_propeller(results, sides, steps, suits):
    """The mildest change of propeller (inches) on these sides that suits, in words and changes; None when none does. Alike propellers stay alike."""
    power = results.power
    if power.left.propeller_words == power.right.propeller_words:
        sides = SIDES
    for more_diameter, more_pitch in steps:
        changes, words = {}, []
        for side in sides:
            drive = power.side(side)
            sizes = [round(units.from_si(value, "in", "m") + more, 2) for value, more in ((drive.propeller_diameter, more_diameter), (drive.propeller_pitch, more_pitch))]
            if sizes[0] < 3 or sizes[1] < 2 or sizes[1] > sizes[0]:
                break
            changes |= {f"power.{side}.propeller_{name}": units.to_si(size, "in", "m") for name, size in zip(("diameter", "pitch"), sizes)}
            words.append(f"{sizes[0]:g}x{sizes[1]:g}")
        else:
            if possible(changes) and suits(results.changed(changes)):
                where = f"on the {sides[0]}" if len(sides) == 1 else "on both sides"
                return f"{' and '.join(dict.fromkeys(words))} {where}", changes
    return None


def stays_cool(results):
    """Whether page 02 lets the regulator that feeds the receiver work: one too hot is no advice. What it cannot tell does not stand in the way."""
    hottest = results.wiring.temperature
    return hottest is None or hottest <= results.record.value("limits.regulator_hot")


def _drawn(power, fresh=None):
    """What each controller carries for its motors on full packs [A], by side; one for both motors carries both. fresh: the same of variants."""
    fresh = fresh or power.fresh
    if power.one_controller:
        return {"left": fresh.left.motor_current + fresh.right.motor_current}
    return {side: getattr(fresh, side).motor_current for side in SIDES}


def unknown(check, results, paths):
    from twinkit.design.base import said_all

    return check.say("cannot tell", f"Not yet known: {said_all(tuple(paths))}.", results=results)


class ControllerMargin(Check):
    code = "P01"
    title = "Controller rating"
    why = "A controller lives on the motor's current; at half throttle that is twice the pack's, and air inside a nacelle is warm."
    source = "drive_trade"
    needs = ("power", "power_spread")
    limit = "limits.controller_margin"
    examples = {"good": {}, "not": {"power.left.controller_current": "12 A"}, "cannot tell": {"power.right.controller_current": None}}

    def look(self, results):
        power, say, bound, tell = results.power, speaker(results), self.bound(results), within(results)
        drawn, tried = _drawn(power), _drawn(power, results.power_spread.standing.fresh)
        lacking = [f"power.{side}.controller_current" for side in drawn if power.side(side).controller_current is None]
        if lacking:
            return unknown(self, results, lacking)
        margin, side = min((power.side(side).controller_current / current, side) for side, current in drawn.items())
        what = "both motors together draw" if power.one_controller else f"the {side} motor draws"
        words = (f"On full packs {what} {tell(drawn[side], tried[side], 'current')}; the controller is rated {say(power.side(side).controller_current, 'current')}, "
                 f"{units.digits(margin, 3)} times that. You want {units.digits(bound, 2)} times.")
        if margin >= bound:
            return self.say("good", words, margin, bound, results=results)
        needed = {one: _round_up(bound * current, 5.0) for one, current in drawn.items() if power.side(one).controller_current < bound * current}
        named = " and ".join(f"of {say(amps, 'current', 2)}{'' if power.one_controller else ' on the ' + one}" for one, amps in needed.items())
        return self.say("stop" if margin < 1.0 else "look again", words, margin, bound,
                        Advice(f"Fit a controller {named}, or a smaller propeller.", {f"power.{one}.controller_current": amps for one, amps in needed.items()}), results)


class MotorCurrent(Check):
    code = "P02"
    title = "Motor current"
    why = "Heat grows with the square of the current; magnets and windings do not forgive it, and the limit on the label is meant in a good stream of air."
    source = "drive_trade"
    needs = ("power", "power_spread")
    examples = {"good": {}, "not": {"power.left.motor_current_limit": "8 A", "bench.points": []}, "cannot tell": {"power.left.motor_current_limit": None}}

    def look(self, results):
        power, say = results.power, speaker(results)
        lacking = [f"power.{side}.motor_current_limit" for side in SIDES if power.side(side).motor_current_limit is None]
        if lacking:
            return unknown(self, results, lacking)
        share = {side: getattr(power.fresh, side).motor_current / power.side(side).motor_current_limit for side in SIDES}
        side = max(share, key=share.get)
        current, allowed = getattr(power.fresh, side).motor_current, power.side(side).motor_current_limit
        tried = getattr(results.power_spread.standing.fresh, side).motor_current
        words = f"On full packs and standing the {side} motor draws {within(results)(current, tried, 'current')}; its label allows {say(allowed, 'current')}."
        if share[side] <= 1.0:
            return self.say("good", words, current, allowed, results=results)
        found = other_propeller(results, [s for s in SIDES if share[s] > 1.0], SMALLER,
                                 lambda after: all(getattr(after.power.fresh, s).motor_current <= after.power.side(s).motor_current_limit for s in SIDES))
        advice = Advice(f"Fit {found[0]}.", found[1]) if found else Advice("Fit a motor of lower Kv or a pack of fewer cells: no smaller propeller is enough.")
        return self.say("look again" if share[side] < 1.25 else "stop", words, current, allowed, advice, results)


class PropellerSpeed(Check):
    code = "P03"
    title = "Propeller speed"
    why = "A propeller turned faster than it is made for throws a blade."
    source = "common_practice"
    needs = ("power", "power_spread")
    limit = "limits.electric_rpm_inch"
    examples = {"good": {}, "not": {"power.left.propeller_style": "slowfly", "power.right.propeller_style": "slowfly"}, "cannot tell": {"power.left.propeller_pitch": None}}

    def look(self, results):
        power, record = results.power, results.record
        limits = {side: "limits.slowfly_rpm_inch" if power.side(side).propeller_style == "slowfly" else "limits.electric_rpm_inch" for side in SIDES}
        rpm = {side: units.from_si(getattr(power, f"fastest_{side}"), "rpm", "rad/s") for side in SIDES}
        product = {side: rpm[side] * units.from_si(power.side(side).propeller_diameter, "in", "m") for side in SIDES}
        side = max(SIDES, key=lambda s: product[s] / record.value(limits[s]))
        self.limit = limits[side]
        bound = self.bound(results)
        allowed = bound / units.from_si(power.side(side).propeller_diameter, "in", "m")
        kind = "slow-fly" if limits[side] == "limits.slowfly_rpm_inch" else "thin electric"
        most = round(units.from_si(nine_in_ten(getattr(power, f"fastest_{side}") * results.power_spread.faster[side])[1], "rpm", "rad/s"), -1)
        words = (f"On a full pack and unloaded by the air the {side} propeller reaches {round(rpm[side], -1):.0f} rpm (nine times in ten not over {most:.0f}); "
                 f"a {kind} propeller of this size is allowed {round(allowed, -1):.0f} rpm. The print on it goes before this.")
        if product[side] <= bound:
            return self.say("good", words, product[side], bound, results=results)
        if kind == "slow-fly":
            advice = Advice("Fit propellers of the thin electric kind.", {f"power.{s}.propeller_style": "electric" for s in SIDES if limits[s] == self.limit})
        else:
            cells = math.floor(power.side(side).pack.cells * bound / product[side])
            packs = [f"power.{p.side}.cells" for p in power.packs]
            advice = Advice(f"Fly {cells} cells, or a motor of lower Kv.", dict.fromkeys(packs, cells)) if cells >= 1 else Advice("Use a motor of lower Kv.")
        return self.say("stop", words, product[side], bound, advice, results)


class StaticThrust(Check):
    code = "P04"
    title = "Thrust for its weight"
    why = "Off grass or out of the hand it must gather speed at once; too little thrust ends in the grass or on the thrower."
    source = "common_practice"
    needs = ("power", "power_spread", "carried")
    limit = "limits.thrust_grass"
    afterwards = ("Y01",)
    examples = {"good": {}, "not": {"power.left.propeller_diameter": "6 in", "power.left.propeller_pitch": "3 in", "power.right.propeller_diameter": "6 in",
                                    "power.right.propeller_pitch": "3 in"}, "cannot tell": {"power.left.kv": None}}

    def look(self, results):
        power, say, hand = results.power, speaker(results), results.carried.launch == "hand"
        self.limit = "limits.thrust_hand" if hand else "limits.thrust_grass"
        bound, (mass, origin) = self.bound(results), (results.carried.mass, results.carried.origin)
        ratio = power.full.thrust / (mass * STANDARD_GRAVITY)
        pull = within(results)(power.full.thrust, results.power_spread.standing.full.thrust, "thrust")
        words = (f"Both motors pull {pull} standing, {units.digits(ratio, 2)} of the weight of {say(mass, 'mass')} ({origin}). "
                 f"{'Out of the hand' if hand else 'Off the ground'} you want {units.digits(bound, 2)}.")
        if ratio >= bound:
            return self.say("good", words, ratio, bound, results=results)
        found = other_propeller(results, SIDES, LARGER, lambda after: after.power.full.thrust >= bound * mass * STANDARD_GRAVITY and _stands(after.power))
        if found:
            advice = Advice(f"Fit {found[0]}, if it clears the fuselage and the ground (page 05).", found[1])
        else:
            advice = Advice(f"Come down to {say(power.full.thrust / (bound * STANDARD_GRAVITY), 'mass')}, or use stronger motors or another cell.")
        return self.say("stop" if ratio < bound / 2.0 else "look again", words, ratio, bound, advice, results)


def _stands(power):
    """Whether motors and controllers stand their current on full packs, as far as their limits are known."""
    fits = all(current <= (power.side(side).controller_current or math.inf) for side, current in _drawn(power).items())
    return fits and all(getattr(power.fresh, side).motor_current <= (power.side(side).motor_current_limit or math.inf) for side in SIDES)


class InputPower(Check):
    code = "P05"
    title = "Input power for its mass"
    why = "The oldest rule of the trade; it also shows a drive that draws much and pulls little."
    source = "common_practice"
    needs = ("power", "power_spread", "carried")
    limit = "limits.input_power"
    afterwards = ("Y01",)
    examples = {"good": {"bench.points": []}, "not": {"power.left.propeller_diameter": "6 in", "power.left.propeller_pitch": "3 in", "power.right.propeller_diameter": "6 in",
                                    "power.right.propeller_pitch": "3 in"}, "cannot tell": {"power.right.kv": None}}

    def look(self, results):
        power, say, bound, (mass, origin) = results.power, speaker(results), self.bound(results), (results.carried.mass, results.carried.origin)
        loading, drawn = power.full.input_power / mass, power.full.input_power
        taken = within(results)(drawn, results.power_spread.standing.full.input_power, "power")
        words = (f"Full throttle takes {taken} for {say(mass, 'mass')} ({origin}): {say(loading, 'power loading')}. "
                 f"You want {say(bound, 'power loading')}; {units.say_range(*GENTLE, 'power loading', results.record.value('start.units'))} is gentle.")
        if loading >= bound:
            return self.say("good", words, loading, bound, results=results)
        found = other_propeller(results, SIDES, LARGER, lambda after: after.power.full.input_power >= bound * mass and _stands(after.power))
        advice = Advice(f"Fit {found[0]}.", found[1]) if found else Advice(f"Come down to {say(drawn / bound, 'mass')}, or accept a gentle aeroplane.")
        return self.say("look again", words, loading, bound, advice, results)


class PackCurrent(Check):
    code = "P07"
    title = "Pack current"
    why = "The C on a label is a wish; packs that give half of it live, packs that give all of it swell."
    source = "common_practice"
    needs = ("power", "power_spread")
    limit = "limits.c_share"
    examples = {"good": {}, "not": {"power.left.c_rating": 9, "power.left.pack_resistance": "60 mohm"},
                "cannot tell": {"power.left.c_rating": None, "power.left.pack_resistance": "60 mohm"}}

    def look(self, results):
        power, say, bound = results.power, speaker(results), self.bound(results)
        lacking = [f"power.{pack.side}.c_rating" for pack in power.packs if pack.label_current is None]
        if lacking:
            return unknown(self, results, lacking)
        share, number = self._worst(power)
        pack, current = power.packs[number], power.pack_currents(power.fresh)[number]
        named = "The pack" if len(power.packs) == 1 else f"The {pack.side} pack"
        given = within(results)(current, power.pack_currents(results.power_spread.standing.fresh)[number], "current")
        words = (f"{named} gives {given} at full throttle, {units.digits(100.0 * share, 2)} % of what its label promises "
                 f"({say(pack.label_current, 'current')}). You trust {units.digits(100.0 * bound, 2)} %.")
        if share <= bound:
            return self.say("good", words, share, bound, results=results)
        return self.say("stop" if share > 1.0 else "look again", words, share, bound, self._larger(results, bound), results)

    @staticmethod
    def _worst(power):
        """The largest share of a label's current, and the number of that pack."""
        return max((float(current) / pack.label_current, number) for number, (pack, current) in enumerate(zip(power.packs, power.pack_currents(power.fresh))))

    def _larger(self, results, bound):
        """Capacity that brings every pack within its share; a larger pack sags less and gives a little more, so it is tried."""
        power, sizes, step = results.power, {}, units.to_si(100.0, "mAh", "C")
        for _ in range(TRIES):
            for pack, current in zip(power.packs, power.pack_currents(power.fresh)):
                if current > bound * pack.label_current:
                    sizes[f"power.{pack.side}.capacity"] = _round_up(pack.capacity * float(current) / (bound * pack.label_current), step)
            if not possible(sizes):
                break
            power = results.changed(sizes).power
            if self._worst(power)[0] <= bound:
                named = " and ".join(f"{speaker(results)(size, 'charge')} {path.split('.')[1]}" for path, size in sizes.items()).replace(" shared", "")
                return Advice(f"Use packs of the same C with {named}, or a smaller propeller.", sizes)
        return Advice("Use packs with a higher C rating, or a smaller propeller.")


class LoadedCell(Check):
    code = "P11"
    title = "Cell volts under load"
    why = "A pack that sags this far when half full reaches the controller's cut-off in the climb, on a cold day first."
    source = "common_practice"
    needs = ("power", "power_spread")
    limit = "limits.loaded_cell"
    examples = {"good": {}, "not": {"power.pack_temperature": "2 °C"}, "cannot tell": {"power.left.capacity": None}}

    def look(self, results):
        power, say, bound = results.power, speaker(results), self.bound(results)
        value, side = self._lowest(power)
        which = "" if power.shared else f" of the {side} pack"
        standing = results.power_spread.standing
        tried = {s.side: cell_volts(s, standing.half, power.shared) for s in standing.made}[side]
        words = f"Half full, at full throttle, each cell{which} still gives {within(results)(value, tried, 'volts')}; you want {say(bound, 'volts')}."
        if value >= bound:
            return self.say("good", words, value, bound, results=results)
        return self.say("look again", words, value, bound, self._advice(results, bound), results)

    @staticmethod
    def _lowest(power):
        """Lowest volts of a cell on half full packs at full throttle, at the pack's own terminals."""
        sides = ("left",) if power.shared else SIDES
        return min((cell_volts(power.side(s), power.half, power.shared), s) for s in sides)

    def _advice(self, results, bound):
        record, warm = results.record, tables.values("power/assumptions")["measured_room"]
        if record.value("power.pack_temperature") < warm - 5.0 and self._lowest(results.changed({"power.pack_temperature": warm}).power)[0] >= bound:
            return Advice(f"Keep the packs at {speaker(results)(warm, 'temperature', 2)} until you fly.", {"power.pack_temperature": warm})
        for more in (1.3, 1.6, 2.0, 2.5):
            sizes = {f"power.{p.side}.capacity": _round_up(more * p.capacity, units.to_si(100.0, "mAh", "C")) for p in results.power.packs}
            if possible(sizes) and self._lowest(results.changed(sizes).power)[0] >= bound:
                return Advice(f"Use packs of {speaker(results)(next(iter(sizes.values())), 'charge')}, or a smaller propeller.", sizes)
        return Advice("Use younger packs or a smaller propeller.")


class HowWellKnown(Check):
    code = "P13"
    title = "How well the thrust is known"
    why = "Everything later leans on the thrust; one full-throttle reading of volts, amps, rpm and pull halves what you do not know."
    source = "twinkit_propeller_fit"
    needs = ("power", "power_spread")
    limit = "limits.prediction"
    examples = {"good": {}, "not": {"bench.points": []}, "cannot tell": {"power.left.propeller_diameter": None}}

    def look(self, results):
        power, bound, off = results.power, self.bound(results), results.power_spread.within
        drive = max((power.left, power.right), key=lambda s: off[s.side][0])
        standing, flying = off[drive.side]
        words = (f"Nine times in ten the thrust lies within {units.digits(100.0 * standing, 2)} % of the computed one standing and within "
                 f"{units.digits(100.0 * flying, 2)} % in flight ({drive.side} side); standing you want {units.digits(100.0 * bound, 2)} %.")
        if drive.reasons:
            words += f" Outside what the model was compared with: {', '.join(REASONS[r] for r in drive.reasons)}."
        if standing <= bound:
            return self.say("good", words, standing, bound, results=results)
        return self.say("look again", words, standing, bound, Advice("Take one full-throttle reading of each side on page 07."), results)


REASONS = {"extrapolated speed": "more than 7,000 rpm", "three blades": "three blades (the model reads high there)", "four blades": "four blades (the model reads high there)", "small": "a diameter under 7 inches",
           "large": "a diameter over 11.5 inches", "pitch outside the fit": "an unusual pitch"}
