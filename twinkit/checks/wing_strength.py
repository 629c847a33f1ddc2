"""Checks of page 05 on servos, wheels, the first turn, and a hard landing."""

import math

from twinkit import units
from twinkit.checks.base import Advice
from twinkit.checks.wing import LIFT, MASS, WingCheck, speaker, up, weigh
from twinkit.design.surfaces import LEAST_HORN


class ServoTorque(WingCheck):
    code = "A18"
    title = "Servos against the air"
    why = "A servo that stalls at speed lets the nose go where it wants, and draws the radio's volts down while it does."
    grounds = (*LIFT, "wing.servo_", "wing.elevator_", "wing.aileron_", "power.")
    source = "glauert1927_flap"
    needs = ("surfaces",)
    limit = "limits.servo_factor"
    examples = {"good": {"wing.servo_torque": "2 kg cm"}, "not": {"wing.servo_torque": "0.3 kg cm"}, "cannot tell": {"wing.tail_chord": None}}

    def look(self, results):
        told, bound, say = results.surfaces, self.bound(results), speaker(results)
        if not told.rows:
            return self.say("cannot tell", "No surface of yours moves: page 05 knows of no elevator, rudder or aileron.", results=results)
        worst = min(told.rows, key=lambda row: row.reserve)
        torque = lambda value: units.say(value, "moment", results.record.value("start.units"), 2)  # noqa: E731
        at = results.wing.cruise_speed if worst.name == "rudder" else told.speed
        words = (f"At {say(at, 'speed')} full {worst.name.removesuffix('s')} asks {torque(worst.torque)} of its servo, which has {torque(told.servo_torque)}: "
                 f"{units.digits(worst.reserve, 2)} times; {units.digits(bound, 2)} is wanted.")
        needed = up(told.servo_torque * bound / worst.reserve / units.to_si(1.0, "kg cm", "N m"), 0.1) * units.to_si(1.0, "kg cm", "N m")
        strong = units.shown(needed, "kg cm", "N m", 2)
        advice = Advice(f"A servo of {strong}; or less throw, on a longer horn.", {"wing.servo_torque": needed})
        return weigh(self, results, worst.reserve >= bound, words, worst.reserve, bound, advice, worst.reserve < 1.0)


class HornHoles(WingCheck):
    code = "A19"
    title = "Holes for the rods"
    why = "A hole close to the hinge line turns the play of the rod into flutter."
    grounds = ("wing.servo_",)
    needs = ("surfaces",)
    examples = {"good": {"wing.servo_arm": "12 mm"}, "not": {"wing.servo_arm": "5 mm"}, "cannot tell": {"wing.tail_chord": None}}

    def look(self, results):
        told, say = results.surfaces, speaker(results)
        if not told.rows:
            return self.say("cannot tell", "No surface of yours moves: page 05 knows of no elevator, rudder or aileron.", results=results)
        least = min(told.rows, key=lambda row: row.horn)
        words = f"With {say(told.servo_arm, 'length')} on the servo arm the {least.name} wants its hole {say(least.horn, 'length')} from the hinge line; below {say(LEAST_HORN, 'length')} it plays."
        arm = up(told.servo_arm * LEAST_HORN / least.horn, 0.0005)
        return weigh(self, results, least.horn >= LEAST_HORN, words, least.horn, LEAST_HORN, Advice(f"Take the hole {say(arm, 'length')} out on the servo arm.", {"wing.servo_arm": arm}))


class WheelsAhead(WingCheck):
    code = "A20"
    title = "Main wheels against the CG"
    why = "Wheels too little ahead of the CG let it nose over, with both propellers in the grass."
    grounds = (*MASS, "wing.gear_height", "wing.wheel_")
    source = "common_practice"
    needs = ("wing",)
    limit = "limits.wheel_angle"
    examples = {"good": {"wing.wheel_behind": "10 mm"}, "not": {"wing.wheel_behind": "45 mm"}, "cannot tell": {"wing.wheel_behind": None}}

    def look(self, results):
        wing, least, say = results.wing, self.bound(results), speaker(results)
        if results.start.launch == "hand":
            return self.say("good", "It is launched by hand: there are no wheels to nose over.", results=results).narrowed(())
        if wing.wheel_angle is None:
            lacks = "main axle behind the leading edge (page 05)" if results.record.value("wing.wheel_behind") is None else "the CG (page 04)"
            return self.say("cannot tell", f"Not yet known: {lacks}.", results=results)
        most = results.record.value("limits.wheel_angle_most")
        good, bound = least <= wing.wheel_angle <= most, least if wing.wheel_angle < least else most
        side = "ahead of" if wing.wheel_angle >= 0.0 else "behind"
        words = (f"Seen from where they stand the main wheels lie {say(abs(wing.wheel_angle), 'angle', 2)} {side} the CG; {say(least, 'angle', 2)} to {say(most, 'angle', 2)} is wanted.")
        aim = (least + most) / 2.0
        axle = math.floor((results.weight.cg_behind - (results.record.value("wing.gear_height") - results.weight.cg_below) * math.tan(aim)) * 1000.0) / 1000.0
        where = f"{say(abs(axle), 'length')} {'behind' if axle >= 0.0 else 'ahead of'} the leading edge"
        advice = Advice(f"Put the main axle {where}.", {"wing.wheel_behind": axle})
        return weigh(self, results, good, words, wing.wheel_angle, bound, advice, wing.wheel_angle <= 0.0)


class FirstTurn(WingCheck):
    code = "A21"
    title = "Bank at your cruise speed"
    why = "In a turn the wing carries more than the weight; a heavy aeroplane stalls off its first turn, not in its landing."
    grounds = LIFT
    source = "mechanics"
    needs = ("wing", "start")
    limit = "limits.turn_bank"
    examples = {"good": {"start.cruise_guess": "14 m/s"}, "not": {"weight.mass_measured": "1500 g"}, "cannot tell": {"wing.chord": None}}

    def look(self, results):
        wing, bound, say, speed = results.wing, self.bound(results), speaker(results), results.start.cruise_guess
        share = (wing.stall_speed / speed) ** 2
        needed = up(wing.stall_speed / math.sqrt(math.cos(bound)), 0.1)
        advice = Advice(f"Fly your circuits at {say(needed, 'speed')} (page 00), or come back with less mass or a larger wing.", {"start.cruise_guess": needed})
        if share >= 1.0:
            return self.say("stop", f"The cruise speed of page 00, {say(speed, 'speed')}, is below the stall speed of {say(wing.stall_speed, 'speed')}.", 0.0, bound, advice, results)
        bank = math.acos(share)
        words = f"At the {say(speed, 'speed')} you fly your circuits at (page 00) the wing stalls when banked beyond {say(bank, 'angle', 2)} in a level turn; {say(bound, 'angle', 2)} is wanted."
        return weigh(self, results, bank >= bound, words, bank, bound, advice, bank < 0.6 * bound)


class NacelleInLanding(WingCheck):
    code = "A22"
    title = "Nacelles in a hard landing"
    why = "A motor ahead of the wing is a hammer on a long handle: it twists the spar and peels the nacelle off the skin."
    grounds = ("wing.spar_", "wing.nacelle_")
    source = "spar_statics"
    needs = ("wing", "loads")
    limit = "limits.joint_reserve"
    examples = {"good": {"wing.spar_outer": "10 mm", "wing.spar_inner": "8 mm"}, "not": {"wing.nacelle_length": "110 mm"}, "cannot tell": {"power.left.motor_mass": None, "power.right.motor_mass": None, "weight.parts": []}}

    def look(self, results):
        wing, bound, say, shape = results.wing, self.bound(results), speaker(results), results.geometry
        if wing.landing_force is None:
            return self.say("cannot tell", "Not yet known: mass of a motor (page 01).", results=results)
        hit = f"At {units.digits(wing.landing_factor, 2)} times its weight a nacelle pulls down with {say(wing.landing_force, 'force', 2)}"
        if wing.landing_bond is None:
            length = up(shape.nacelle_length + 0.5 * shape.chord - wing.bond_length, 0.005)
            return self.say("stop", f"{hit}, and no part of it is glued to the wing.", None, bound, Advice(f"Let the nacelle reach back under the wing: {say(length, 'length')} long.", {"wing.nacelle_length": length}), results)
        bond = wing.bond_allowable / wing.landing_bond
        twist = math.inf if wing.landing_torsion_stress in (None, 0.0) else wing.torsion_allowable / wing.landing_torsion_stress
        loads, wanted = results.loads, results.record.value("limits.spar_reserve")
        flown = math.inf if loads.twist_reserve is None else loads.twist_reserve
        if bond >= bound and twist >= 1.0 and flown >= wanted:
            twisted = "" if twist == math.inf else f" and twists the tube with {units.digits(1.0 / twist, 2)} of what splits it, flight with {units.digits(1.0 / flown, 2)} at most"
            return self.say("good", f"{hit}{twisted}; the {say(wing.bond_length, 'length')} of glue under the wing hold {units.digits(bond, 2)} times that.", bond, bound, results=results)
        if bond < bound:
            length, most = shape.nacelle_length, shape.chord - min(shape.propeller_behind + 0.02, 0.0)
            while length < most and self.bond(results, length) < bound * 1.02:
                length += 0.005
            advice = Advice(f"Let it reach back to {say(length, 'length')}, under more of the wing.", {"wing.nacelle_length": round(length, 4)}) if self.bond(results, length) >= bound else Advice(
                "Move the motors back towards the wing, or screw the nacelle to a plywood rib that reaches the spar.")
            return self.say("stop" if bond < 1.0 else "look again", f"{hit}; the {say(wing.bond_length, 'length')} of glue under the wing hold {units.digits(bond, 2)} times that, {units.digits(bound, 2)} is wanted.",
                            bond, bound, advice, results)
        outer, inner = wing.spar.height, results.record.value("wing.spar_inner")
        while outer < 0.03 and min(x * self.stiffer(results, outer, outer - (wing.spar.height - inner)) for x in (twist, flown / wanted)) < 1.0:
            outer += 0.001
        made = {"wing.spar_outer": round(outer, 4), "wing.spar_inner": round(outer - (wing.spar.height - inner), 4)}
        tube = f"a tube of {say(made['wing.spar_outer'], 'length')} outside and {say(made['wing.spar_inner'], 'length')} inside"
        if flown / wanted < twist:
            at = f" ({say(loads.greatest_speed, 'speed')})" if "speed" in loads.twist_case else ""
            words = (f"In flight the tube is twisted most {loads.twist_case}{at}: {say(loads.twist_stress, 'stress', 2)} if the skins carry none of it, where {say(wing.torsion_allowable, 'stress', 2)} splits it: ")
            return self.say("look again", f"{words}reserve {units.digits(flown, 2)}, {units.digits(wanted, 2)} is wanted.", flown, wanted, Advice(f"Take {tube}, or a section that is a closed box.", made), results)
        return self.say("look again", f"{hit} and twists the tube with {say(wing.landing_torsion_stress, 'stress', 2)}; {say(wing.torsion_allowable, 'stress', 2)} splits it.", twist, 1.0,
                        Advice(f"Let the box of the nacelle reach both skins, which carry the twist, or take {tube}.", made), results)

    @staticmethod
    def bond(results, length):
        """Reserve of the glue for another length of the nacelle."""
        shape, wing = results.geometry, results.wing
        front = shape.propeller_behind + 0.02
        begins, ends = max(front, 0.0), min(front + length, shape.chord)
        glued = ends - begins
        if glued <= 0.0:
            return 0.0
        arm = (begins + ends) / 2.0 - front
        return wing.bond_allowable / (wing.landing_force / (glued * shape.nacelle_width) + 6.0 * wing.landing_force * abs(arm) / (shape.nacelle_width * glued**2))

    @staticmethod
    def stiffer(results, outer, inner):
        """How many times the twist of your tube another one carries."""
        spar = results.wing.spar
        return math.pi / 16.0 * (outer**4 - inner**4) / outer / (2.0 * spar.torsion_constant / spar.height)

