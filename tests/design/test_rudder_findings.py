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
     "■ stop | One motor at the throttle you leave open. With the left motor dead and the other on 100 % the rudder, wings level on 75 % of its "
     "travel, holds it from 15.8 m/s up (14 to 18 m/s), and you come in at 11.5 m/s: below it even at the kind end of the band. -> Before anything "
     "else close the throttle to 51 %: no more is held at this speed."),
    ("Y01", {"rudder__look_throttle": "45 %"},
     "✓ good | One motor at the throttle you leave open. With the left motor dead and the other on 45 % the rudder, wings level on 75 % of its "
     "travel, holds it from 8.9 m/s up (7.9 to 10 m/s); you come in at 11.5 m/s. On full throttle that would be 15.8 m/s."),
    ("Y01", {"wing__rudder_share": "0 %"},
     "■ stop | One motor at the throttle you leave open. Your fin has no rudder, so nothing holds the yaw of one motor: on 100 % at your approach "
     "speed of 11.5 m/s it slips sideways far beyond the 15 deg that fin and wing take. -> Plan to close both throttles the moment it yaws, lower "
     "the nose and land straight ahead. A steering mix of thrusts cannot help: it has only one motor left."),
    ("Y01", {"rudder__throw": "5 deg", "rudder__used_share": "40 %"},
     "■ stop | One motor at the throttle you leave open. With the right motor dead the rudder does not hold even the drag of its propeller, wings "
     "level on 40 % of its travel. -> Plan to close both throttles and land straight ahead; page 05 and the levers of this page make the rudder "
     "larger."),
    ("Y02", {},
     "△ look again | Level flight on one motor. At your approach speed of 11.5 m/s with the left motor dead the rudder holds 62 % of the live "
     "motor's throttle, 1.27 N; level flight takes 2.18 N. In calm air it then sinks 0.8 m/s (0.3 to 1.3 m/s); 0.23 N of "
     "drag by sideslip and rudder are counted. -> Level flight, at the lower end of the band too, takes nacelles 160 mm out and propellers that "
     "fold. Then look again at page 06 (The dead propeller against brake and propeller): it may turn worse by this."),
    ("Y02", {"wing__nacelle_out": "165 mm", "rudder__dead_propeller": "folded"},
     "✓ good | Level flight on one motor. At your approach speed of 11.5 m/s with the left motor dead the rudder holds 83 % of the live motor's "
     "throttle, 2.21 N; level flight takes 1.53 N. In calm air it then climbs 0.6 m/s (from level to climbing 1.1 m/s); 0.23 N of drag by sideslip "
     "and rudder are counted. Land at once all the same."),
    ("Y02", {"wing__rudder_share": "0 %"},
     "△ look again | Level flight on one motor. Without a rudder nothing of the live motor is held. With both throttles closed it sinks 2.3 m/s "
     "(2.0 to 2.6 m/s). -> Level flight, at the lower end of the band too, takes a rudder of 50 % of its chord, nacelles "
     "160 mm out and propellers that fold. Then look again at page 06 (The dead propeller against brake and propeller): it may turn worse by this."),
    ("Y03", {},
     "△ look again | Throw or take-off below the minimum control speed. You lift off at about 11.5 m/s with both throttles on 100 %. If one motor "
     "is late or quits, the rudder holds the other from 15.8 m/s up. -> Begin on 61 % and open up above 15.8 m/s. Or hold it on the ground until "
     "15.8 m/s, where the field is long enough."),
    ("Y03", {"start__launch": "hand"},
     "■ stop | Throw or take-off below the minimum control speed. You throw it at 7.0 m/s with both throttles on 100 %. If one motor is late or "
     "quits, the rudder holds the other from 15.8 m/s up. -> Begin on 32 % and open up above 15.8 m/s. If that is too little to carry the throw "
     "(page 05), throw it faster or roll it off the ground; do not open the throttle."),
    ("Y03", {"rudder__launch_throttle": "40 %"},
     "✓ good | Throw or take-off below the minimum control speed. You lift off at about 11.5 m/s with both throttles on 40 %. If one motor is late "
     "or quits, the rudder holds the other from 8.1 m/s up."),
    ("Y03", {"wing__rudder_share": "0 %", "start__launch": "hand"},
     "■ stop | Throw or take-off below the minimum control speed. You throw it at 7.0 m/s with both throttles on 100 %. If one motor is late or "
     "quits, nothing holds the other. -> Roll it off the ground, where nobody stands beside it; or write down why you throw it. Hear both motors "
     "run at the same note before it leaves, nobody beside or ahead of it, and close both throttles the moment it yaws. "
     "Then look again at page 05 (Main wheels against the CG): it may turn worse by this."),
    ("Y04", {},
     "✓ good | Motors that pull unlike. At full throttle in cruise your right motor pulls 0.26 N more, which takes 1.7 deg of rudder trim; 3.0 deg "
     "is the most you want."),
    ("Y04", {"limits__mismatch_angle": "1.5 deg"},
     "△ look again | Motors that pull unlike. At full throttle in cruise your right motor pulls 0.26 N more, which takes 1.7 deg of rudder trim; "
     "1.5 deg is the most you want. -> Give the right side the throttle curve 0, 24, 48, 71, 95 % (outputs at stick 0, 25, 50, 75 and 100 %)."),
    ("Y04", {"limits__mismatch_angle": "1.5 deg", "power__throttle": "y_lead"},
     "△ look again | Motors that pull unlike. At full throttle in cruise your right motor pulls 0.26 N more, which takes 1.7 deg of rudder trim; "
     "1.5 deg is the most you want. -> Give each side a throttle channel; then the curve 0, 24, 48, 71, 95 % on the right side makes them alike."),
    ("Y04", {"limits__mismatch_angle": "1.5 deg", "start__curve_points": 3},
     "△ look again | Motors that pull unlike. At full throttle in cruise your right motor pulls 0.26 N more, which takes 1.7 deg of rudder trim; "
     "1.5 deg is the most you want. -> Your transmitter has no curve of five points: let full stick give the right side 95 % of the throttle "
     "(upper end point 90 % where your transmitter counts from −100 to +100 %), and check half throttle on page 07."),
    ("Y05", {},
     "✓ good | Weathercock stability. The weathercock stability is 0.061 (0.040 to 0.083): the fin turns the nose into the wind with "
     "0.097, fuselage, nacelles and propellers turn it out with 0.036. At least 0.050 is wanted."),
    ("Y05", {"wing__fin_height": "130 mm"},
     "△ look again | Weathercock stability. The weathercock stability is 0.014 (0.000 to 0.028): the fin turns the nose into the wind with "
     "0.050, fuselage, nacelles and propellers turn it out with 0.036. At least 0.050 is wanted. -> Make the fin 180 mm high."),
    ("Y06", {},
     "✓ good | Rudder travel. Your rudder moves 28 deg each way and you count on 21 deg of it. Its effect grows slower beyond 20 deg and no more "
     "beyond 27 deg."),
    ("Y06", {"rudder__throw": "18 deg"},
     "△ look again | Rudder travel. Your rudder moves 18 deg each way and you count on 14 deg of it. Its effect grows slower beyond 20 deg and no "
     "more beyond 27 deg. -> Set the travel to 25 deg each way, if linkage and tailplane leave room."),
    ("Y06", {"wing__rudder_share": "0 %"},
     "✓ good | Rudder travel. Your fin has no rudder: nothing to travel."),
    ("Y01", {"rudder__look_throttle": "0 %"},
     "✓ good | One motor at the throttle you leave open. You close both throttles when one motor quits: nothing pulls to one side, and it glides, "
     "sinking 2.3 m/s at 11.5 m/s."),
    ("Y01", {"rudder__look_throttle": "40 %"},
     "✓ good | One motor at the throttle you leave open. With the left motor dead and the other on 40 % the rudder, wings level on 75 % of its "
     "travel, holds it from 8.1 m/s up (7.1 to 9.4 m/s); you come in at 11.5 m/s. 8.1 m/s lies below your stall at 8.8 m/s, so the stall is the "
     "limit. On full throttle that would be 15.8 m/s."),
    ("Y01", {"wing__rudder_share": "0 %", "rudder__look_throttle": "0 %"},
     "✓ good | One motor at the throttle you leave open. You close both throttles when one motor quits: nothing pulls to one side, and it glides, "
     "sinking 2.3 m/s at 11.5 m/s."),
    ("Y02", {"rudder__throw": "5 deg", "rudder__used_share": "40 %"},
     "△ look again | Level flight on one motor. At your approach speed of 11.5 m/s the rudder holds nothing of the live motor. With both throttles "
     "closed it sinks 2.3 m/s (2.0 to 2.6 m/s). -> No usual fin brings level flight, not even with nacelles close in and "
     "propellers that fold. Close both throttles, lower the nose and land straight ahead: do not plan to fly on."),
    ("Y07", {},
     "✓ good | The dead propeller against brake and propeller. The dead propeller is counted as windmilling, the usual case and the one to plan "
     "with."),
    ("Y07", {"rudder__dead_propeller": "stopped"},
     "△ look again | The dead propeller against brake and propeller. The dead propeller is counted as standing still, but neither controller has "
     "its brake set on page 02: it will windmill. -> Count it as windmilling, or change that first."),
    ("Y07", {"rudder__dead_propeller": "stopped", "wiring__left__brake": True},
     "△ look again | The dead propeller against brake and propeller. The dead propeller is counted as standing still, but the right controller has "
     "no brake set on page 02: it will windmill. -> Count it as windmilling, or change that first."),
    ("Y07", {"rudder__dead_propeller": "stopped", "wiring__left__brake": True, "wiring__right__brake": True},
     "✓ good | The dead propeller against brake and propeller. The dead propeller is counted as standing still, and both controllers have their "
     "brake set. A brake holds only while its controller still has power: after an empty pack or a burnt controller the propeller may windmill all "
     "the same."),
    ("Y07", {"rudder__dead_propeller": "folded", "wiring__left__brake": True, "wiring__right__brake": True},
     "△ look again | The dead propeller against brake and propeller. The dead propeller is counted as folded, but neither propeller is a folding "
     "one on page 01: it will windmill. -> Count it as windmilling, or change that first."),
    ("Y08", {},
     "✓ good | Steering mix near idle. The rudder stick moves no throttle."),
    ("Y08", {"rudder__mix": "thrust"},
     "? cannot tell | Steering mix near idle. The rudder stick is mixed with the throttles, and nobody has said at which throttle the mix begins. "
     "Propellers off: open the throttle slowly with the rudder stick held over, and note where a throttle begins to follow it."),
    ("Y08", {"rudder__mix": "thrust", "rudder__mix_from": "0 %"},
     "■ stop | Steering mix near idle. The mix begins at 0 % throttle; the propellers begin to turn at 5 %, and at least 10 % between them is "
     "wanted: a moved rudder stick starts a propeller. -> Propellers off: let the mix begin at 15 %, then close the throttle and move the rudder "
     "stick: nothing may turn."),
    ("Y08", {"rudder__mix": "thrust", "rudder__mix_from": "18 %", "rudder__mix_share": "40 %"},
     "△ look again | Steering mix near idle. The mix begins at 18 % throttle; the propellers begin to turn at 5 %. Full rudder there takes 20 % "
     "off one side: that propeller stops. -> Let the mix begin at 25 %, or make it smaller."),
    ("Y08", {"rudder__mix": "thrust", "rudder__mix_from": "20 %"},
     "✓ good | Steering mix near idle. The mix begins at 20 % throttle; the propellers begin to turn at 5 %: below that the rudder stick moves no "
     "throttle. Try it with the propellers off all the same."),
    ("Y09", {},
     "✓ good | What the steering mix takes. The rudder steers; no mix is needed."),
    ("Y09", {"wing__rudder_share": "0 %"},
     "△ look again | What the steering mix takes. It has no rudder and the rudder stick moves no throttle: only the ailerons turn it. -> Mix the "
     "rudder stick into both throttles, or give the fin a rudder on page 05."),
    ("Y09", {"rudder__mix": "thrust", "power__throttle": "y_lead"},
     "△ look again | What the steering mix takes. Both controllers hang on one throttle channel: the rudder stick moves both throttles alike and "
     "steers nothing. -> Give each side a throttle channel (page 01), or fly without the mix."),
    ("Y09", {"rudder__mix": "thrust", "start__mixes": 1},
     "△ look again | What the steering mix takes. The mix takes 2 free mixes, rudder to the left throttle and rudder to the right one; your "
     "transmitter has 1 (page 00). -> Fly without the mix, and give the fin a rudder if it has none."),
    ("Y09", {"rudder__mix": "thrust"},
     "✓ good | What the steering mix takes. Each side has its throttle channel, and your transmitter has the 2 mixes it takes."),
    ("Y09", {"rudder__mix": "thrust", "wing__rudder_share": "0 %"},
     "✓ good | What the steering mix takes. Each side has its throttle channel, and your transmitter has the 2 mixes it takes. With one motor dead "
     "it steers no more: close both throttles."),
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
