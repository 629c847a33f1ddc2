"""Section rudder: throws, speeds and habits the one-motor-out pages work with."""

from twinkit.quantities.base import choice, number

ENTRIES = (
    number("rudder.throw", "rudder throw", "rad", "deg", (5, 50), (25, 35), "Each way.", group="control", symbol="dr", default=25),
    number("rudder.used_share", "share of the throw you use for steady flight", "1", "%", (30, 100), (60, 80), "The rest is there for gusts. Common practice.", group="control", default=75),
    number("rudder.aileron_throw", "aileron throw", "rad", "deg", (2, 40), (10, 20), "Each way.", group="control", symbol="da", default=12),
    number("rudder.approach_factor", "approach speed over stall speed", "1", "", (1.05, 2), (1.2, 1.4), "How fast you come in.", group="control", default=1.3),
    choice("rudder.hinge", "rudder hinge", {"sealed": "taped along its length", "open": "open gap"}, "An open gap costs a tenth of the rudder.", group="control", default="sealed"),
    choice("rudder.dead_propeller", "the dead propeller", {"windmilling": "windmills", "stopped": "stands still", "folded": "folds"},
           "What it does when its motor quits.", group="dead side", default="windmilling"),
    number("rudder.delay", "your reaction", "s", "s", (0, 5), (0.6, 2), "Until you see it from the ground and act. Common practice.", group="dead side", default=1),
    number("rudder.launch_throttle", "throttle at the throw or take-off", "1", "%", (0, 100), (20, 100), "Both sides, until it flies faster than the minimum control speed.", group="launch", default=100),
    choice("rudder.curve", "throttle curve on the stronger side", {"none": "none", "five_points": "the five points of this page"},
           "Needs a throttle channel for each side.", group="unlike motors", default="none"),
    choice("rudder.mix", "rudder stick and throttles", {"none": "not mixed", "thrust": "mixed: the rudder stick moves both throttles"}, "Steers by the difference of thrusts. Needs a throttle channel for each side.",
           group="steering", default="none"),
    number("rudder.mix_share", "difference of the throttles at full rudder", "1", "%", (2, 100), (10, 40), "One side goes up by half of it, the other down.", group="steering", default=20),
    number("rudder.mix_from", "the mix begins at", "1", "%", (0, 80), (10, 30), "Below this throttle the rudder stick moves no throttle. Try it with the propellers off.", group="steering"),
    number("rudder.idle", "propellers begin to turn at", "1", "%", (0, 40), (3, 10), "Throttle of the first turn, the later of the two motors.", group="steering", default=5),
    number("rudder.look_throttle", "throttle of the live motor", "1", "%", (0, 100), (20, 100), "What you leave open when the other one quits; 100: you do nothing.", group="look", default=100),
    number("rudder.look_bank", "bank toward the live motor", "rad", "deg", (0, 15), (0, 5), "Of the flight you look at.", group="look", default=0),
    number("rudder.look_speed", "speed you look at", "m/s", ("m/s", "mph"), (3, 60), (8, 18), "Leave it empty and it is your approach speed.", group="look"),
)
