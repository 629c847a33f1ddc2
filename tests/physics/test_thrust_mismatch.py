"""Unlike thrusts: trim, toe-out, throttle curves. The invented twin is that of test_engine_out."""
from dataclasses import replace

import numpy as np
import pytest

from twinkit.physics import engine_out_closed_forms as closed
from twinkit.physics import thrust_mismatch as mismatch
from twinkit.physics.asymmetric_thrust import thrust_centre_moment
from twinkit.physics.derivatives import LateralDerivatives

TWIN = LateralDerivatives(cy_beta=-0.445, cl_beta=-0.105, cn_beta=0.088, cy_rudder=0.172, cl_rudder=0.005, cn_rudder=-0.0736,
                          cl_aileron=0.20, cn_aileron=-0.0106, cl_p=-0.40, cn_p=-0.066, cl_r=0.14, cn_r=-0.114, cy_r=0.243)
FRAME = dict(density=1.225, mass=1.05, wing_area=0.22, wing_span=1.10)


@pytest.mark.identity
def test_mismatch_against_the_balance():
    # right 0.2 N stronger: the nose goes left; without rudder and with wings held, or with rudder and no sideslip
    d = replace(TWIN, cl_rudder=0.0, cn_aileron=0.0)
    rudder = mismatch.mismatch_rudder(0.2, 0.22, 12.0, 1.225, 0.22, 1.10, d.cn_rudder)
    sideslip = mismatch.mismatch_sideslip(0.2, 0.22, 12.0, 1.225, 0.22, 1.10, d.cn_beta)
    zero = closed.zero_sideslip_trim(-0.2 * 0.22, 12.0, fin_arm=0.47, cn_rudder=d.cn_rudder, **FRAME)
    alone = closed.aileron_only_trim(-0.2 * 0.22, 12.0, cy_beta=d.cy_beta, cn_beta=d.cn_beta, **FRAME)
    assert rudder == pytest.approx(zero.angle, rel=1e-12) and rudder < 0.0
    assert sideslip == pytest.approx(alone.angle, rel=1e-12) and sideslip > 0.0


@pytest.mark.pinned
def test_mismatch_of_the_invented_twin():
    # worked by hand: 5 % of 4 N at 12 m/s takes 1.6 degrees of rudder or leaves 1.34 of sideslip; 10 % of 4.5 N at 9 m/s 6.4
    rudder = mismatch.mismatch_rudder(np.array([0.2, 0.45]), 0.22, np.array([12.0, 9.0]), 1.225, 0.22, 1.10, -0.0736)
    assert -np.degrees(rudder) == pytest.approx([1.60, 6.4], rel=0.01)
    assert np.degrees(mismatch.mismatch_sideslip(0.2, 0.22, 12.0, 1.225, 0.22, 1.10, 0.088)) == pytest.approx(1.34, rel=0.005)


@pytest.mark.identity
def test_toe_out_limits():
    assert mismatch.toe_out_arm(0.22, 0.16, 0.0) == 0.22
    assert mismatch.toe_out_arm(0.22, 0.16, mismatch.toe_out_without_arm(0.22, 0.16)) == pytest.approx(0.0, abs=1e-15)
    # independent route: moment of the force (T cos e, T sin e) at (x_p, y_T)
    angle = np.radians(np.linspace(0.0, 60.0, 13))
    right_motor = np.cross(np.array([0.16, 0.22, 0.0]), np.stack([np.cos(angle), np.sin(angle), 0 * angle], -1))[:, 2]
    assert mismatch.toe_out_arm(0.22, 0.16, angle) == pytest.approx(-right_motor, rel=1e-12, abs=1e-15)
    assert mismatch.toe_out_side_force(4.0, angle) == pytest.approx(4.0 * np.sin(angle), rel=1e-15)


@pytest.mark.pinned
def test_toe_out_is_weak():
    # worked by hand: 2, 3, 5 degrees take 2.6, 3.9, 6.7 per cent off the arm for 0.14, 0.21, 0.35 N of side force at 4 N
    angle = np.radians([2.0, 3.0, 5.0])
    assert 1 - mismatch.toe_out_arm(0.22, 0.16, angle) / 0.22 == pytest.approx([0.026, 0.039, 0.067], rel=0.02)
    assert mismatch.toe_out_side_force(4.0, angle) == pytest.approx([0.14, 0.21, 0.35], rel=0.01)


@pytest.mark.identity
def test_throttle_for_thrust_is_an_inverse():
    throttle = np.linspace(0.0, 1.0, 21)
    thrust = np.stack([4.0 * throttle ** 1.5, 5.0 * throttle ** 1.3])
    wanted = np.array([[0.3, 1.7, 3.9]])
    found = mismatch.throttle_for_thrust(wanted, throttle, thrust)
    for row in range(2):
        assert np.interp(found[row], throttle, thrust[row]) == pytest.approx(wanted[0], rel=1e-12)
    assert np.isnan(mismatch.throttle_for_thrust(np.array([6.0]), throttle, thrust)).all()
    dead_band = np.maximum(throttle - 0.1, 0.0)
    assert mismatch.throttle_for_thrust(np.array([0.0]), throttle, dead_band) == 0.0


@pytest.mark.identity
def test_five_point_curve():
    throttle = np.linspace(0.0, 1.0, 41)
    weak, strong = 4.0 * throttle ** 1.5, 4.6 * throttle ** 1.5
    curve = mismatch.five_point_throttle_curve(throttle, weak, strong, 0.0)
    assert curve.stronger_side == "right"
    # alike in shape: the output is the stick times (4/4.6)^(2/3), a straight line, so nothing but sampling is left over
    assert curve.outputs == pytest.approx(np.linspace(0, 1, 5) * (4.0 / 4.6) ** (2.0 / 3.0), rel=2e-3)
    assert abs(curve.largest_left_over) < 0.002 * 4.0
    mirrored = mismatch.five_point_throttle_curve(throttle, strong, weak, 0.0)
    assert mirrored.stronger_side == "left"
    assert mirrored.outputs == pytest.approx(curve.outputs, rel=1e-15)
    assert mirrored.left_over == pytest.approx(-curve.left_over, abs=1e-15)
    same = mismatch.five_point_throttle_curve(throttle, weak, weak, 0.0)
    assert same.outputs == pytest.approx([0, 0.25, 0.5, 0.75, 1.0], abs=1e-12)
    # with unlike shapes the five points themselves are exact and the rest is said
    bent = 4.6 * throttle ** 1.9
    unlike = mismatch.five_point_throttle_curve(throttle, weak, bent, 0.0)
    assert unlike.left_over[::10] == pytest.approx(np.zeros(5), abs=1e-12)
    worst = np.argmax(np.abs(unlike.left_over))
    assert unlike.largest_left_over == unlike.left_over[worst] and unlike.stick_of_largest == throttle[worst]
    rounded = mismatch.five_point_throttle_curve(throttle, weak, bent, 0.01)
    assert rounded.outputs * 100 == pytest.approx(np.round(rounded.outputs * 100), abs=1e-9)
    assert abs(rounded.outputs - unlike.outputs).max() <= 0.005 + 1e-12
    both = mismatch.five_point_throttle_curve(throttle, np.stack([weak, strong]), np.stack([strong, weak]), 0.0)
    assert list(both.stronger_side) == ["right", "left"] and both.outputs.shape == (2, 5)
    with pytest.raises(ValueError, match="throttle must rise and reach from 0 to 1"):
        mismatch.five_point_throttle_curve(throttle[1:], weak[1:], strong[1:], 0.0)


@pytest.mark.identity
def test_end_point():
    throttle = np.linspace(0.0, 1.0, 41)
    weak, strong = 4.0 * throttle ** 1.5, 4.6 * throttle ** 1.5
    # alike in shape the end point does all the curve does: stick times (4/4.6)^(2/3)
    alike = mismatch.end_point_curve(throttle, weak, strong, 0.0)
    assert alike.outputs[-1] == pytest.approx((4.0 / 4.6) ** (2.0 / 3.0), rel=2e-3) and alike.stronger_side == "right"
    assert abs(alike.largest_left_over) < 0.002 * 4.0
    # unlike in shape the full thrusts are alike and the middle is not; by hand: strong(e x) - weak(x), e from 4.6 e^1.9 = 4
    bent = 4.6 * throttle ** 1.9
    found = mismatch.end_point_curve(throttle, weak, bent, 0.0)
    end = (4.0 / 4.6) ** (1.0 / 1.9)
    assert found.outputs == pytest.approx(end * mismatch.CURVE_POINTS, rel=2e-3)
    assert found.left_over[-1] == pytest.approx(0.0, abs=1e-12)
    expected = 4.6 * (end * throttle) ** 1.9 - weak
    assert found.left_over == pytest.approx(expected, abs=0.005 * 4.0)
    assert abs(found.largest_left_over) > 3.0 * abs(mismatch.five_point_throttle_curve(throttle, weak, bent, 0.0).largest_left_over)
    mirrored = mismatch.end_point_curve(throttle, bent, weak, 0.0)
    assert mirrored.stronger_side == "left" and mirrored.left_over == pytest.approx(-found.left_over, abs=1e-15)
    assert mismatch.end_point_curve(throttle, weak, bent, 0.01).outputs[-1] == pytest.approx(round(end, 2), rel=1e-12)
    with pytest.raises(ValueError, match="throttle must rise and reach from 0 to 1"):
        mismatch.end_point_curve(throttle[1:], weak[1:], strong[1:], 0.0)


@pytest.mark.identity
def test_thrust_off_its_middle_is_as_good_as_nothing():
    # By hand for 7 in propellers at 12 m/s and 8 degrees: side force q k a S_side angle = 88.2 Pa 1.2 4.9 0.00075 m2 0.139626 = 0.054309 N, times the radius of
    # 0.0889 m 0.004828 N m; the lost motor's moment is 0.9 to 1.0 N m, so under one per cent.
    force = 0.5 * 1.225 * 144.0 * 1.2 * 4.9 * 0.00075 * np.radians(8.0)
    assert thrust_centre_moment(force, 0.0889) == pytest.approx(0.004828, rel=1e-4)
    assert thrust_centre_moment(force, 0.0889) < 0.01 * (4.0 + 0.33) * 0.22
