"""Section bench: measured points, checks before the first flight, flights."""

from twinkit.quantities.base import RowTable, choice, number, words

_SIDE = {"left": "left", "right": "right"}

ENTRIES = (
    choice("bench.tier", "instruments", {"watt": "watt meter only", "scale": "watt meter and kitchen scale", "tacho": "watt meter, scale and tachometer"},
           "What you can measure with.", group="bench", default="watt"),
    number("bench.temperature", "air temperature", "K", ("°C", "°F"), (-10, 45), (5, 30), "In the room or yard.", group="bench", default=20),
    RowTable("bench.points", "bench points", "Readings at full throttle, or with the propeller off. The propeller pulls away from the stand, the model is held.", (
        choice("bench.points.side", "side", _SIDE, "Which motor."),
        choice("bench.points.propeller", "propeller", {"on": "on", "off": "off"}, "Off for the readings without load.", default="on"),
        number("bench.points.volts", "volts", "V", "V", (1, 60), (5, 17), "At the controller's input."),
        number("bench.points.amps", "amps", "A", "A", (0, 300), (0.3, 40), "From the pack."),
        number("bench.points.rpm", "rpm", "rad/s", "rpm", (100, 60000), (3000, 15000), "Set the tachometer to the right blade count."),
        number("bench.points.thrust", "thrust", "N", ("g", "oz"), (0, 20000), (100, 2000), "Scale reading, in grams if you like."),
        words("bench.points.note", "note", "Anything unusual."),
    ), group="bench", most=200),
    RowTable("bench.flights", "flight log", "One line after each flight.", (
        words("bench.flights.date", "date", "Year-month-day."),
        number("bench.flights.time", "time", "s", "min", (0.1, 120), (2, 15), "In the air."),
        number("bench.flights.left", "put back left", "C", "mAh", (0, 20000), (200, 3000), "What the charger put back."),
        number("bench.flights.right", "put back right", "C", "mAh", (0, 20000), (200, 3000), "What the charger put back."),
        words("bench.flights.note", "note", "Anything unusual."),
    ), group="log", most=500),
    choice("bench.range_half", "range check, both motors at half", {"not_done": "not done", "passed": "passed", "failed": "failed"}, "Propellers on, model held.", group="before flight", default="not_done"),
    choice("bench.range_full", "range check, both motors at full", {"not_done": "not done", "passed": "passed", "failed": "failed"}, "Propellers on, model held.", group="before flight", default="not_done"),
    choice("bench.failsafe", "failsafe closes both throttles", {"not_done": "not done", "passed": "passed", "failed": "failed"}, "Transmitter switched off, propellers off.", group="before flight", default="not_done"),
    choice("bench.cut", "throttle cut closes both", {"not_done": "not done", "passed": "passed", "failed": "failed"}, "Propellers off.", group="before flight", default="not_done"),
    choice("bench.directions", "control directions read aloud", {"not_done": "not done", "passed": "passed", "failed": "failed"},
           "Every surface, by a second person.", group="before flight", default="not_done"),
    choice("bench.steering", "right rudder speeds up", {"not_used": "no rudder mix is used", "left": "the left motor", "right": "the right motor"},
           "With a thrust-difference mix, right rudder must speed up the left motor.", group="before flight", default="not_used"),
)
