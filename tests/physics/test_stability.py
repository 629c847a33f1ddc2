import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from twinkit.physics import lifting_line, stability, wing

TAIL = dict(wing_centre=0.25, wing_lift_slope=4.1, tail_lift_slope=3.4, tail_area_ratio=0.2, tail_arm_ratio=2.75,
            tail_pressure_ratio=0.9, downwash_gradient=0.48, body_slope=0.16)


@pytest.mark.published
def test_munk_table():
    # Munk, NACA TR 184, from memory of its table: k2 - k1 at fineness 2.00, 4.99, 9.02; three printed digits, fineness rounded
    assert np.abs(stability.munk_factor([2.00, 4.99, 9.02]) - [0.493, 0.836, 0.930]).max() < 0.002


@pytest.mark.identity
@pytest.mark.parametrize("fineness", [1.2, 2.0, 5.0, 10.0])
def test_munk_factor_against_the_integrals(fineness):
    # apparent mass of an ellipsoid a, b, b from Green's integrals: a0 = a b^2 int dl / ((a^2 + l)^1.5 (b^2 + l))
    a, b = fineness, 1.0
    along = quad(lambda l: a * b**2 / ((a**2 + l) ** 1.5 * (b**2 + l)), 0.0, np.inf, epsabs=0.0, epsrel=1e-11)[0]
    across = quad(lambda l: a * b**2 / ((a**2 + l) ** 0.5 * (b**2 + l) ** 2), 0.0, np.inf, epsabs=0.0, epsrel=1e-11)[0]
    assert stability.munk_factor(fineness) == pytest.approx(across / (2 - across) - along / (2 - along), rel=1e-8)


@pytest.mark.identity
def test_munk_factor_limits():
    assert stability.munk_factor(1.0) == pytest.approx(0.0, abs=1e-15)   # a sphere
    assert stability.munk_factor(1e6) == pytest.approx(1.0, rel=1e-9)
    assert np.isnan(stability.munk_factor(0.9))
    # the series hands over to the closed form without a step
    edge = 1.0 / np.sqrt(1.0 - 1.0e-3)
    below, above = stability.munk_factor(edge * (1 - 1e-9)), stability.munk_factor(edge * (1 + 1e-9))
    assert below == pytest.approx(float(above), rel=1e-5)
    assert np.all(np.diff(stability.munk_factor(np.linspace(1.0, 20.0, 400))) > 0.0)


@pytest.mark.identity
def test_body_slope_against_strips():
    # Munk: a slender body's force on a strip is 2 q alpha dA/dx; its moment integrates to 2 q alpha volume
    length, radius = 0.8, 0.05

    def area(x):
        return np.pi * radius**2 * (1.0 - (2.0 * x / length) ** 2)

    volume = quad(area, -length / 2, length / 2)[0]
    moment = quad(lambda x: 2.0 * (-8.0 * x / length**2) * np.pi * radius**2 * (-x) * -1.0, -length / 2, length / 2)[0]
    slender = stability.body_pitch_slope(1e6, volume, 0.22, 0.2, 1.0, 0.0)
    assert slender == pytest.approx(abs(moment) / (0.22 * 0.2), rel=1e-8)


@pytest.mark.pinned
def test_body_slope_of_a_box_fuselage():
    slope = stability.body_pitch_slope(0.8 / np.sqrt(4 * 0.085 * 0.095 / np.pi), 0.7 * 0.8 * 0.085 * 0.095, 0.22, 0.2, 1.0, 0.0)
    assert slope == pytest.approx(0.187, rel=5e-3)


@pytest.mark.identity
def test_downwash():
    # far behind an elliptic wing the downwash is twice that at the wing, 2 CL / (pi AR)
    slope = wing.lift_slope_prandtl(5.5, 2.0 * np.pi)
    assert stability.downwash_far(slope, 5.5) == pytest.approx(2.0 * (1.0 - float(slope) / (2.0 * np.pi)), rel=1e-12)
    # with Prandtl's slope and a0 = 2 pi the far value is 4 / (AR + 2): the two forms are then one
    assert stability.downwash_far(slope, 5.5) == pytest.approx(float(stability.downwash_at_tail(5.5, 1.0)), rel=1e-12)


@pytest.mark.identity
def test_quick_neutral_point_is_the_long_one_simplified():
    ratio, tail_ratio, area, arm = 5.5, 4.0, 1e-6, 2.75e5
    long = stability.neutral_point(
        0.25, wing.lift_slope_prandtl(ratio, 2 * np.pi), wing.lift_slope_prandtl(tail_ratio, 2 * np.pi), area, arm, 1.0,
        stability.downwash_at_tail(ratio, 1.0), 0.0)
    # a vanishing tail on an endless arm: the tail's own lift no longer counts
    assert stability.neutral_point_quick(ratio, tail_ratio, area * arm) == pytest.approx(float(long.place), rel=1e-5)


@pytest.mark.pinned
def test_quick_neutral_point():
    assert stability.neutral_point_quick(5.5, 4.0, 0.55) == pytest.approx(0.4833, rel=2e-4)


def moment_about(cg, angle, tail_setting, told, wing_setting=0.05, wing_moment=-0.05, thrust_moment=0.0):
    """Moment balance put together force by force: lift of wing and tail at their places, body and thrust moments."""
    wing_angle = angle + wing_setting
    wing_lift = told["wing_lift_slope"] * wing_angle
    tail_angle = angle + tail_setting - told["downwash_gradient"] * wing_angle
    tail_lift = told["tail_lift_slope"] * tail_angle * told["tail_area_ratio"] * told["tail_pressure_ratio"]
    tail_place = told["wing_centre"] + told["tail_arm_ratio"]
    moment = wing_moment + wing_lift * (cg - told["wing_centre"]) + tail_lift * (cg - tail_place) + told["body_slope"] * angle + thrust_moment
    return moment, wing_lift + tail_lift


GEOMETRY = st.fixed_dictionaries(dict(
    wing_centre=st.floats(0.22, 0.28), wing_lift_slope=st.floats(3.0, 5.5), tail_lift_slope=st.floats(2.0, 4.5),
    tail_area_ratio=st.floats(0.1, 0.4), tail_arm_ratio=st.floats(1.5, 4.5), tail_pressure_ratio=st.floats(0.8, 1.1),
    downwash_gradient=st.floats(0.2, 0.7), body_slope=st.floats(0.0, 0.4)))


@pytest.mark.identity
@given(GEOMETRY, st.floats(0.1, 0.5))
def test_margin_is_the_slope_of_the_moment(told, cg):
    found = stability.neutral_point(**told)
    low, high = moment_about(cg, 0.0, 0.0, told), moment_about(cg, 0.1, 0.0, told)
    slope, lift_slope = (high[0] - low[0]) / 0.1, (high[1] - low[1]) / 0.1
    assert found.lift_slope == pytest.approx(lift_slope, rel=1e-10)
    assert stability.static_margin(found.place, cg) == pytest.approx(-slope / lift_slope, rel=1e-9, abs=1e-10)
    assert found.place == pytest.approx(told["wing_centre"] + float(found.tail_shift) - float(found.body_shift), rel=1e-12)


@pytest.mark.identity
@given(GEOMETRY, st.floats(0.1, 0.5), st.floats(0.0, 1.0), st.floats(-0.05, 0.1), st.floats(-0.1, 0.02), st.floats(-0.05, 0.05))
def test_trim_balances(told, cg, cl, wing_setting, wing_moment, thrust_moment):
    held = stability.trim(cl=cl, cg_place=cg, wing_moment=wing_moment, wing_setting=wing_setting, thrust_moment=thrust_moment, **told)
    moment, lift = moment_about(cg, held.body_angle, held.tail_incidence, told, wing_setting, wing_moment, thrust_moment)
    assert lift == pytest.approx(cl, rel=1e-9, abs=1e-10)
    assert moment == pytest.approx(0.0, abs=1e-10)
    assert held.wing_cl + told["tail_area_ratio"] * told["tail_pressure_ratio"] * held.tail_cl == pytest.approx(cl, rel=1e-10, abs=1e-12)


@pytest.mark.identity
def test_trim_moves_the_right_way():
    still = dict(wing_moment=-0.05, wing_setting=0.05, thrust_moment=0.0, **TAIL)
    slow, fast = (stability.trim(cl=cl, cg_place=0.3, **still) for cl in (0.9, 0.3))
    assert slow.tail_incidence < fast.tail_incidence     # slower: tail nose down, elevator up
    assert stability.trim(cl=0.5, cg_place=0.2, **still).tail_incidence < stability.trim(cl=0.5, cg_place=0.3, **still).tail_incidence
    # at the neutral point the tail setting no longer depends on the lift
    neutral = stability.neutral_point(**TAIL).place
    settings = [float(stability.trim(cl=cl, cg_place=neutral, **still).tail_incidence) for cl in (0.2, 0.9)]
    assert settings[0] == pytest.approx(settings[1], rel=1e-10)


@pytest.mark.identity
def test_neutral_point_limits():
    assert stability.neutral_point(**(TAIL | dict(tail_area_ratio=0.0, body_slope=0.0))).place == pytest.approx(0.25, rel=1e-14)
    bare, fat = (stability.neutral_point(**(TAIL | dict(body_slope=b))) for b in (0.0, 0.3))
    assert fat.place < bare.place
    # counting the tail's own lift puts the neutral point ahead of the form that leaves it out
    left_out = 0.25 + 3.4 / 4.1 * 0.2 * 0.9 * 0.52 * 2.75
    assert bare.place < left_out
    assert np.isnan(stability.neutral_point(**(TAIL | dict(wing_lift_slope=-5.0))).place)


@pytest.mark.identity
@given(st.floats(0.2, 0.6), st.floats(0.0, 0.2), st.floats(0.1, 0.3), st.floats(-0.05, 0.1))
def test_cg_for_margin_round_trip(neutral, margin, mac, setback):
    place = (stability.cg_for_margin(neutral, margin, mac, setback) - setback) / mac
    assert stability.static_margin(neutral, place) == pytest.approx(margin, rel=1e-9, abs=1e-12)


@pytest.mark.identity
def test_tail_volumes_are_free_of_size():
    assert stability.horizontal_tail_volume(0.045 * 4, 0.55 * 2, 0.22 * 4, 0.2 * 2) == pytest.approx(
        float(stability.horizontal_tail_volume(0.045, 0.55, 0.22, 0.2)), rel=1e-14)
    assert stability.vertical_tail_volume(0.024 * 4, 0.47 * 2, 0.22 * 4, 1.1 * 2) == pytest.approx(
        float(stability.vertical_tail_volume(0.024, 0.47, 0.22, 1.1)), rel=1e-14)
    assert stability.horizontal_tail_volume(0.22, 0.2, 0.22, 0.2) == stability.vertical_tail_volume(0.22, 1.1, 0.22, 1.1) == 1.0


@pytest.mark.identity
def test_spiral_parameter():
    # one degree of dihedral, arm equal to the span, lift coefficient one
    assert stability.spiral_parameter(1.1, np.radians(1.0), 1.1, 1.0) == pytest.approx(1.0, rel=1e-14)


@pytest.mark.identity
def test_lift_slope_routes_agree_where_both_hold():
    # lifting line against the form that fits tests from aspect ratio 5 to 10: within 2 per cent
    ratio = np.array([5.0, 5.5, 6.0, 8.0, 10.0])
    line = lifting_line.lifting_line(ratio * 0.2, 0.2, 0.2, 0.2, 1.0, 2 * np.pi, 0.1, 0.0, 0.0).lift_slope
    assert line == pytest.approx(wing.lift_slope_datcom(ratio, 1.0, 0.0), rel=0.021)
