"""Section bench: measured points, checks before the first flight, flights."""

from twinkit.quantities.base import SIDES, RowTable, choice, number, words

_SIDE = {"left": "left", "right": "right"}
_TRIED = {"not_done": "not done", "passed": "passed", "failed": "failed"}

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
    choice("bench.range_half", "range check, both motors at half", _TRIED, "Propellers on, model held down, a second person walks.", group="before flight", default="not_done"),
    choice("bench.range_full", "range check, both motors at full", _TRIED, "Propellers on, model held down, a second person walks.", group="before flight", default="not_done"),
    number("bench.inspected", "last inspection was after flight", "1", "", (0, 500), (1, 10), "0: none yet. Look it over after flights 1, 5 and 10.", group="log", whole=True, default=0),
)
