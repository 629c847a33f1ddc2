"""Page 06, what its checks say: texts, and advice that helps."""

from types import SimpleNamespace

import numpy as np
import pytest

from builds import build
from twinkit import checks
from twinkit.controls import show

OWN = [check for check in checks.REGISTRY if check.step == "rudder"]


@pytest.mark.parametrize("name", ["dunlin", "siskin"])
@pytest.mark.parametrize("check", OWN, ids=lambda c: c.code)
def test_advice_helps_on_both_builds(name, check):
    for changes in ({}, check.examples["not"]):
        results = build(name, changes)
        found = check().run(results)
        if found.advice and found.advice.changes:
            after = check().run(results.changed(found.advice.changes))
            assert checks.SEVERITY[after.verdict] < checks.SEVERITY[found.verdict], (found.advice, after.sentence)


@pytest.mark.identity
def test_more_fin_than_helps_is_not_advised():
    found = checks_named("Y02")().run(build(weight__mass_measured="3000 g"))
    assert found.verdict == "look again" and found.advice.changes == {}
    assert found.advice.sentence.startswith("No usual fin brings level flight, not even with nacelles close in and propellers that fold. Close ")


def steady(**changes):
    """The demo build on a made thrust that no change of the drive-train model moves, at a weighed mass and balance."""
    results = build(weight__mass_measured="1100 g", weight__cg_measured="51 mm", wing__cd0="0.055", wing__cl_max="1.05", **changes)
    speeds = np.linspace(0.0, 30.0, 31)
    point = lambda most, throttle, speed: SimpleNamespace(thrust=most * np.asarray(throttle) ** 2 * (1.0 - np.asarray(speed) / 28.0))  # noqa: E731
    solve = lambda left, right, speed: SimpleNamespace(left=point(5.0, left, speed), right=point(5.5, right, speed),  # noqa: E731
                                                       thrust=point(5.0, left, speed).thrust + point(5.5, right, speed).thrust)
    sides = {side: SimpleNamespace(band_flight=0.15, propeller_diameter=0.2032) for side in ("left", "right")}
    full = solve(1.0, 1.0, speeds)
    results.__dict__["power"] = SimpleNamespace(
        missing=(), assumed=(), leans=(), known=True, shared=False, speeds=speeds, thrust_left=full.left.thrust, thrust_right=full.right.thrust, thrust=full.thrust,
        zero_thrust_speed=28.0, cruise_throttle=0.5, side=sides.get, solve=solve, **sides)
    return results


SAID = [
    ("Y01", {},
     "△ look again | One motor at the throttle you leave open. With the left motor dead and the other on 100 % the rudder, wings level on 75 % of "
     "its travel, holds it from 15.8 m/s up (14 to 18 m/s), and you come in at 11.5 m/s. -> Before anything else close the throttle to 51 %: no "
     "more is held at this speed."),
    ("Y01", {"rudder__look_throttle": "45 %"},
     "✓ good | One motor at the throttle you leave open. With the left motor dead and the other on 45 % the rudder, wings level on 75 % of its "
     "travel, holds it from 8.9 m/s up (7.9 to 10 m/s); you come in at 11.5 m/s. On full throttle that would be 15.8 m/s."),
    ("Y01", {"wing__rudder_share": "0 %"},
     "△ look again | One motor at the throttle you leave open. Your fin has no rudder, so nothing holds the yaw of one motor: on 100 % at your "
     "approach speed of 11.5 m/s it slips sideways far beyond the 15 deg that fin and wing take. -> Close both throttles the moment it yaws, lower"
     " the nose and land straight ahead. A steering mix of thrusts cannot help: it has only one motor left."),
    ("Y01", {"rudder__throw": "5 deg", "rudder__used_share": "40 %"},
     "△ look again | One motor at the throttle you leave open. With the right motor dead the rudder does not hold even the drag of its propeller, "
     "wings level on 40 % of its travel. -> Close both throttles and land straight ahead; page 05 and the levers of this page make the rudder "
     "larger."),
    ("Y02", {},
     "△ look again | Level flight on one motor. At your approach speed of 11.5 m/s with the left motor dead the rudder holds 62 % of the live "
     "motor's throttle, 1.27 N; level flight takes 1.77 N. In calm air it then sinks 0.5 m/s (from sinking 1.0 m/s to sinking 0.07 m/s); the drag of sideslip and rudder comes on top. -> Level "
     "flight, at the lower end of the band too, takes a fin 250 mm high, a rudder of 50 % of its chord and propellers that fold."),
    ("Y02", {"wing__nacelle_out": "165 mm", "rudder__dead_propeller": "folded"},
     "✓ good | Level flight on one motor. At your approach speed of 11.5 m/s with the left motor dead the rudder holds 83 % of the live motor's "
     "throttle, 2.21 N; level flight takes 1.42 N. In calm air it then climbs 0.9 m/s (from climbing 0.3 m/s to climbing 1.4 m/s); the drag of sideslip and rudder comes on top. Land at once "
     "all the same."),
    ("Y02", {"wing__rudder_share": "0 %"},
     "△ look again | Level flight on one motor. Without a rudder nothing of the live motor is held. With both throttles closed it sinks 1.9 m/s. "
     "-> Level flight, at the lower end of the band too, takes a fin 250 mm high, a rudder of 50 % of its chord and propellers that fold."),
    ("Y03", {},
     "△ look again | Throw or take-off below the minimum control speed. You lift off at about 11.5 m/s with both throttles on 100 %. If one motor "
     "is late or quits, the rudder holds the other from 15.8 m/s up. -> Begin on 61 % and open up above 15.8 m/s. Or hold it on the ground until "
     "15.8 m/s, where the field is long enough."),
    ("Y03", {"start__launch": "hand"},
     "△ look again | Throw or take-off below the minimum control speed. You throw it at 7.0 m/s with both throttles on 100 %. If one motor is late"
     " or quits, the rudder holds the other from 15.8 m/s up. -> Begin on 32 % and open up above 15.8 m/s. If that is too little to carry the "
     "throw (page 05), throw it faster or roll it off the ground; do not open the throttle."),
    ("Y03", {"rudder__launch_throttle": "40 %"},
     "✓ good | Throw or take-off below the minimum control speed. You lift off at about 11.5 m/s with both throttles on 40 %. If one motor is late"
     " or quits, the rudder holds the other from 8.1 m/s up."),
    ("Y03", {"wing__rudder_share": "0 %", "start__launch": "hand"},
     "△ look again | Throw or take-off below the minimum control speed. You throw it at 7.0 m/s with both throttles on 100 %. If one motor is late"
     " or quits, nothing holds the other. -> Hear both motors run at the same note before it leaves, nobody beside or ahead of it, and close both "
     "throttles the moment it yaws."),
    ("Y04", {},
     "✓ good | Motors that pull unlike. At full throttle in cruise your right motor pulls 0.26 N more, which takes 1.7 deg of rudder trim; 3.0 deg"
     " is the most you want."),
    ("Y04", {"limits__mismatch_angle": "1.5 deg"},
     "△ look again | Motors that pull unlike. At full throttle in cruise your right motor pulls 0.26 N more, which takes 1.7 deg of rudder trim; "
     "1.5 deg is the most you want. -> Give the right side the throttle curve 0, 24, 48, 71, 95 % (outputs at stick 0, 25, 50, 75 and 100 %)."),
    ("Y04", {"limits__mismatch_angle": "1.5 deg", "power__throttle": "y_lead"},
     "△ look again | Motors that pull unlike. At full throttle in cruise your right motor pulls 0.26 N more, which takes 1.7 deg of rudder trim; "
     "1.5 deg is the most you want. -> Give each side a throttle channel; then the curve 0, 24, 48, 71, 95 % on the right side makes them alike."),
    ("Y04", {"limits__mismatch_angle": "1.5 deg", "start__curve_points": 3},
     "△ look again | Motors that pull unlike. At full throttle in cruise your right motor pulls 0.26 N more, which takes 1.7 deg of rudder trim; "
     "1.5 deg is the most you want. -> Your transmitter has no curve of five points: let full stick give the right side 95 % of the throttle (upper end point 90 % where your transmitter counts from -100 to +100 %), and "
     "check half throttle on page 07."),
    ("Y05", {},
     "✓ good | Weathercock stability. In sideslip the nose swings back with Cn 0.061 for each radian (0.040 to 0.083): the fin gives 0.097, "
     "fuselage, nacelles and propellers take 0.036 off. At least 0.050 is wanted."),
    ("Y05", {"wing__fin_height": "130 mm"},
     "△ look again | Weathercock stability. In sideslip the nose swings back with Cn 0.014 for each radian (0.000 to 0.028): the fin gives 0.050, "
     "fuselage, nacelles and propellers take 0.036 off. At least 0.050 is wanted. -> Make the fin 180 mm high."),
    ("Y06", {},
     "✓ good | Rudder travel. Your rudder moves 28 deg each way and you count on 21 deg of it. Its effect grows slower beyond 20 deg and no more "
     "beyond 27 deg."),
    ("Y06", {"rudder__throw": "18 deg"},
     "△ look again | Rudder travel. Your rudder moves 18 deg each way and you count on 14 deg of it. Its effect grows slower beyond 20 deg and no "
     "more beyond 27 deg. -> Set the travel to 25 deg each way, if linkage and tailplane leave room."),
    ("Y06", {"wing__rudder_share": "0 %"},
     "✓ good | Rudder travel. Your fin has no rudder: nothing to travel."),
]


@pytest.mark.pinned
@pytest.mark.parametrize("code, changes, said", SAID, ids=[f"{code}-{number}" for number, (code, _, _) in enumerate(SAID)])
def test_findings_say_what_they_say(code, changes, said):
    assert show.finding_text(checks_named(code)().run(steady(**changes))) == said


def checks_named(code):
    return next(check for check in OWN if check.code == code)


@pytest.mark.identity
def test_no_throttle_is_told_beyond_the_stick():
    short = build(changes={"wing.span": "500 mm"}).rudder          # so short that the band of what is held reaches over full throttle
    for side in (short.left, short.right):
        assert 0.0 <= side.cap.low <= side.cap.value <= side.cap.high <= 1.0
    assert short.bad.cap.high == 1.0 and short.bad.cap.value < 0.95
