"""Section bench: measured points, checks before the first flight, flights."""

from twinkit.quantities.base import SIDES, RowTable, choice, flag, number, words

_SIDE = {"left": "left", "right": "right"}
_TRIED = {"not_done": "not done", "passed": "passed", "failed": "failed"}
_DONE = {"no": "no", "yes": "yes"}

ENTRIES = (
    choice("bench.tier", "instruments", {"watt": "watt meter only", "scale": "watt meter and kitchen scale", "tacho": "watt meter, scale and tachometer"},
           "What you can measure with.", group="bench", default="watt"),
    number("bench.temperature", "air temperature", "K", ("°C", "°F"), (-10, 45), (5, 30), "In the room or yard.", group="bench", default=20),
    number("bench.motor_lead", "motor leads while it was read", "m", ("mm", "in"), (20, 3000), (50, 500),
           "From controller to motor, on the stand. Leave it empty when they were as bought: page 01 adds what you lengthen later.", group="bench"),
    RowTable("bench.points", "bench points", "Readings at full throttle, or with the propeller off. The propeller pulls away from the stand, the model is held.", (
        choice("bench.points.side", "side", _SIDE, "Which motor."),
        choice("bench.points.propeller", "propeller", {"on": "on", "off": "off"}, "Off for the readings without load.", default="on"),
        number("bench.points.volts", "volts", "V", "V", (1, 60), (5, 17), "At the controller's input."),
        number("bench.points.amps", "amps", "A", "A", (0, 300), (0.3, 40), "From the pack."),
        number("bench.points.rpm", "speed", "rad/s", "rpm", (100, 60000), (3000, 15000), "Set the tachometer to the right blade count."),
        number("bench.points.thrust", "thrust", "N", ("g", "oz"), (0, 20000), (100, 2000), "Scale reading, in grams if you like."),
        number("bench.points.diameter", "diameter", "m", "in", (3, 24), (5, 12), "Of the propeller it was read with. Empty: the one of page 01."),
        number("bench.points.pitch", "pitch", "m", "in", (1, 20), (3, 8), "Of the propeller it was read with. Empty: the one of page 01."),
        words("bench.points.note", "note", "Anything unusual."),
    ), group="bench", most=200),
    number("bench.end_point", "throttle end point", "1", "%", (40, 100), (80, 100), "Share of the whole throttle at full stick. 92 % is an upper end point of 84 % where the transmitter counts from -100 to +100 %.",
           group="match", sides=SIDES, default=100),
    number("bench.motor_after", "motor after the run", "K", ("°C", "°F"), (-10, 200), (30, 80), "Its outside, at once after the run. Empty: not felt yet.", group="after a run", sides=SIDES),
    number("bench.controller_after", "controller after the run", "K", ("°C", "°F"), (-10, 200), (30, 85), "Its outside.", group="after a run", sides=SIDES),
    number("bench.pack_after", "pack after the run", "K", ("°C", "°F"), (-10, 120), (20, 55), "Its outside; a common pack on either side.", group="after a run", sides=SIDES),
    words("bench.shims", "shims under the motor", "Down-thrust and toe-out as built, for example 2 deg down, none out.", group="as built", sides=SIDES),
    words("bench.cg_mark", "where the CG mark is", "A mark somebody else can find: on the wing's underside, how far behind what.", group="as built"),
    words("bench.throw_point", "throws are measured at", "For example the inner end of the trailing edge.", group="as built"),
    words("bench.failsafe_is", "failsafe is set to", "What every channel does when the signal is lost.", group="as built"),
    words("bench.cut_is", "throttle cut is on", "Which switch, and which way is off.", group="as built"),
    RowTable("bench.weighings", "weighed and balanced", "One line each time it was on the scale, ready to fly.", (
        words("bench.weighings.date", "date", "Year-month-day."),
        number("bench.weighings.mass", "mass", "kg", ("g", "oz"), (100, 20000), (500, 1500), "Ready to fly."),
        number("bench.weighings.cg", "balances at", "m", ("mm", "in"), (-100, 600), (30, 90), "Behind the wing's leading edge at the root."),
        words("bench.weighings.note", "note", "With which packs, after what."),
    ), group="log", most=100),
    RowTable("bench.repairs", "repairs", "One line for each crash, hard landing or repair. What was done again is said, or it does not fly.", (
        words("bench.repairs.date", "date", "Year-month-day."),
        number("bench.repairs.flight", "after flight", "1", "", (0, 500), (1, 50), "Number in the flight log.", whole=True),
        words("bench.repairs.what", "what was done", "In a few words."),
        choice("bench.repairs.weighed", "weighed", _DONE, "On the scale again, ready to fly.", default="no"),
        choice("bench.repairs.balanced", "balanced", _DONE, "CG found again.", default="no"),
        choice("bench.repairs.metered", "metered", _DONE, "The meter sheet of page 02 again.", default="no"),
        choice("bench.repairs.tried", "ground list", _DONE, "Cut, failsafe, directions, range again.", default="no"),
    ), group="log", most=100),
    RowTable("bench.flights", "flight log", "One line after each flight.", (
        words("bench.flights.date", "date", "Year-month-day."),
        number("bench.flights.time", "time", "s", "min", (0.1, 120), (2, 15), "In the air."),
        number("bench.flights.left", "put back left", "C", "mAh", (0, 20000), (200, 3000), "What the charger put back."),
        number("bench.flights.right", "put back right", "C", "mAh", (0, 20000), (200, 3000), "What the charger put back."),
        words("bench.flights.note", "note", "Anything unusual."),
    ), group="log", most=500),
    choice("bench.cut", "throttle cut closes both", _TRIED, "Propellers off.", group="before flight", default="not_done"),
    choice("bench.failsafe", "failsafe closes both throttles", _TRIED, "Transmitter switched off, propellers off.", group="before flight", default="not_done"),
    choice("bench.steering", "right rudder speeds up", {"not_tried": "not tried yet", "not_used": "no motor, no such mix is used", "left": "the left motor", "right": "the right motor"},
           "Tried with the propellers off, throttle a little open. A mix of rudder and thrust difference must speed up the left motor.", group="before flight", default="not_tried"),
    choice("bench.directions", "control directions read aloud", _TRIED, "Every surface, by a second person.", group="before flight", default="not_done"),
    choice("bench.memory", "transmitter memory", {"not_looked": "not looked at yet", "own": "this aeroplane's own", "other": "another aeroplane's"},
           "The name on the display, read aloud. A memory of the old aeroplane has its directions, mixes and end points.", group="before flight", default="not_looked"),
    choice("bench.range_half", "range check, both motors at half", _TRIED, "Propellers on, model held down, a second person walks.", group="before flight", default="not_done"),
    choice("bench.range_full", "range check, both motors at full", _TRIED, "Propellers on, model held down, a second person walks.", group="before flight", default="not_done"),
    choice("bench.trial", "one motor stopped on purpose", {"none": "not planned", "planned": "planned in the air"}, "Nobody has to. Only on the conditions below.", group="one motor", default="none"),
    choice("bench.trial_ground", "each motor alone, on the ground", _TRIED, "Model held down, one throttle closed by its switch and given back, then the other.", group="one motor", default="not_done"),
    number("bench.trial_flight", "in flight number", "1", "", (1, 500), (5, 20), "Of the flight log.", group="one motor", whole=True),
    number("bench.trial_height", "from a height of", "m", ("m", "ft"), (1, 400), (60, 120), "Over the field.", group="one motor"),
    number("bench.trial_throttle", "live throttle at most", "1", "%", (0, 100), (10, 50), "Of the motor that goes on running. Page 06 says what the rudder holds.", group="one motor"),
    flag("bench.trial_switch", "a switch gives the stopped motor back", "One switch closes one throttle and opens it again at once; nothing to unplug, nothing to reset.", group="one motor", default=False),
    number("bench.inspected", "last inspection was after flight", "1", "", (0, 500), (1, 10), "0: none yet. Look it over after flights 1, 5 and 10.", group="log", whole=True, default=0),
)
