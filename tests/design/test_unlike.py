"""Page 06, two motors that pull unlike: the trim they take, the five points, toe-out, steering by thrust, each by hand."""

import numpy as np
import pytest

from builds import build
from twinkit.drawings import rudder as drawings


@pytest.mark.identity
def test_trim_for_unlike_motors_by_hand(dunlin):
    out, u = dunlin.rudder, dunlin.rudder.unlike
    both = dunlin.power.solve(1.0, 1.0, dunlin.wing.cruise_speed)
    difference = float(both.right.thrust - both.left.thrust)
    moment = 0.5 * out.situation.density * dunlin.wing.cruise_speed**2 * dunlin.geometry.area * 1.160
    assert u.cruise.difference == pytest.approx(difference, rel=1e-6)
    assert u.cruise.rudder == pytest.approx(difference * 0.225 / (moment * float(out.derivatives.cn_rudder)), rel=1e-6)
    assert u.cruise.sideslip == pytest.approx(difference * 0.225 / (moment * float(out.derivatives.cn_beta)), rel=1e-6)
    assert u.cruise.rudder < 0.0, "more thrust on the right turns the nose left: trailing edge right"


@pytest.mark.identity
def test_the_five_points_make_the_thrusts_alike(dunlin):
    u = dunlin.rudder.unlike
    stick = np.array([0.0, 0.25, 0.5, 0.75, 1.0])
    assert u.stronger == "right" and u.outputs[0] == 0.0 and u.outputs[-1] < 1.0
    found = dunlin.power.solve(stick, np.array(u.outputs), 0.0)
    assert np.abs(found.right.thrust - found.left.thrust).max() < 0.01 * float(found.left.thrust[-1])      # whole per cents, samples a twelfth apart
    with_curve = build(rudder__curve="five_points").rudder.unlike
    assert abs(with_curve.cruise.difference) < 0.15 * abs(u.cruise.difference) and with_curve.plain_cruise == u.plain_cruise
    assert build(rudder__curve="five_points", power__throttle="y_lead").rudder.unlike.cruise == u.cruise, "one channel moves both sides alike"


@pytest.mark.identity
def test_toe_out_by_hand(dunlin):
    u, lead = dunlin.rudder.unlike, dunlin.weight.cg_behind + 0.105
    angle = np.radians(3.0)
    assert u.toe_gain == pytest.approx(1.0 - (0.225 * np.cos(angle) - lead * np.sin(angle)) / 0.225, rel=1e-9)


@pytest.mark.identity
def test_remedies_for_unlike_motors_by_hand(dunlin):
    u = dunlin.rudder.unlike
    # the end point alone, standing: the solver at the stick where most is left over, and at full stick, where nothing is
    end = u.outputs[-1]
    for stick, expected in ((u.end_left_over_stick, u.end_left_over), (1.0, 0.0)):
        found = dunlin.power.solve(stick, stick * end, 0.0)
        assert float(found.right.thrust - found.left.thrust) == pytest.approx(expected, abs=0.045)      # the end point is rounded to a whole per cent: 0.04 N
    assert abs(u.end_left_over) > abs(u.left_over)
    # an offset that makes T_left y = T_right y' at full throttle in cruise
    both = dunlin.power.solve(1.0, 1.0, dunlin.wing.cruise_speed)
    assert u.offset == pytest.approx(0.225 * (1.0 - float(both.left.thrust / both.right.thrust)), rel=1e-3)
    text = drawings.SHEETS["remedies"](dunlin).text()
    assert "upper end point 84 % where your transmitter counts from −100 to +100 %" in text and "right at one throttle and one speed only" in text


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_the_trim_line_ends_in_the_numbers_of_the_page(name):
    out = build(name).rudder
    for line in out.unlike.lines:
        assert line.plain.shape == out.throttles.shape and (line.plain[np.isfinite(line.plain)] >= 0.0).all()
    cruise, approach = out.unlike.lines
    if name == "dunlin":
        assert cruise.plain[-1] == pytest.approx(abs(out.unlike.plain_cruise.rudder), rel=1e-9) and approach.plain[-1] == pytest.approx(abs(out.unlike.approach.rudder), rel=1e-9)
        assert cruise.curved[-1] == pytest.approx(abs(out.unlike.curved_cruise.rudder), rel=1e-6) and np.nanmax(cruise.curved) < 0.2 * np.nanmax(cruise.plain)
    else:
        assert cruise.plain[-1] == pytest.approx(out.unlike.shelf_rudder, rel=1e-9) and np.isnan(cruise.curved).all()
    assert approach.plain[-1] > cruise.plain[-1], "slow flight at full throttle is the worst"


@pytest.mark.identity
def test_steering_by_thrust_by_hand(siskin):
    u, case = siskin.rudder.unlike, siskin.rudder.situation
    for row in u.steering:
        found = siskin.power.solve(row.throttle, row.throttle, row.speed)
        level = float(np.interp(row.speed, siskin.wing.speeds, siskin.wing.drag))
        assert float(found.left.thrust + found.right.thrust) == pytest.approx(level, rel=0.03), "both together hold level flight"
        assert row.difference == pytest.approx(0.30, rel=1e-9) and row.rudder is None
        moment = 0.5 * case.density * row.speed**2 * siskin.geometry.area * siskin.geometry.span
        assert row.sideslip == pytest.approx(row.moment / (moment * float(siskin.rudder.parts[-1].cn_beta)), rel=1e-9)
