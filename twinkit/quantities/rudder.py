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
    number("rudder.look_throttle", "throttle of the live motor", "1", "%", (0, 100), (20, 100), "What you leave open when the other one quits; 100: you do nothing.", group="look", default=100),
)
