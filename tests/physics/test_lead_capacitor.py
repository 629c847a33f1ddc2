"""Own and added capacitor: shares of the current, and how much longer leads ask for."""

import numpy as np
import pytest
from chopped import random_cases
from scipy.linalg import expm

from twinkit.physics import lead_capacitor, lead_ripple



def three_state(r, ind, own, own_esr, added, added_esr):
    """State matrix and input column (motor current) of two capacitors in parallel, written from the node equation."""
    g1, g2 = 1 / own_esr, 1 / added_esr
    node = np.array([1, g1, g2]) / (g1 + g2)
    load = -1 / (g1 + g2)
    a = np.array([np.array([-r, 0, 0]) - node, g1 * (node - [0, 1, 0]), g2 * (node - [0, 0, 1])])
    scale = np.array([ind, own, added])
    return a / scale[:, None], np.array([-load, g1 * load, g2 * load]) / scale, node, load


@pytest.mark.identity
def test_split_between_own_and_added():
    # 470 uF/25 mohm and 660 uF/20 mohm, simulated: 3.088 and 4.004 A.
    both = lead_capacitor.split_ripple(11.4, 0.046, 390e-9, 470e-6, 0.025, 660e-6, 0.020, 15.0, 0.5, 16e3)
    assert (float(both.own_rms), float(both.added_rms)) == pytest.approx((3.088, 4.004), rel=3e-4)


@pytest.mark.identity
def test_split_of_like_parts_is_one_capacitor():
    cases = random_cases(60, 8)
    v, r, ind, cap, esr, i, d, f = cases.T
    one = lead_ripple.ripple(*cases.T)
    two = lead_capacitor.split_ripple(v, r, ind, cap * 0.3, esr / 0.3, cap * 0.7, esr / 0.7, i, d, f)
    np.testing.assert_allclose(two.own_rms, 0.3 * one.capacitor_rms, rtol=1e-7)
    np.testing.assert_allclose(two.added_rms, 0.7 * one.capacitor_rms, rtol=1e-7)
    np.testing.assert_allclose(two.battery_rms, one.battery_rms, rtol=1e-7)
    np.testing.assert_allclose(two.voltage_max, one.voltage_max, rtol=1e-9)
    np.testing.assert_allclose(two.voltage_min, one.voltage_min, rtol=1e-9)


@pytest.mark.identity
def test_split_against_matrix_exponentials():
    rng = np.random.default_rng(9)
    cases = random_cases(25, 9)
    added, added_esr = rng.uniform(100e-6, 2e-3, 25), rng.uniform(0.005, 0.08, 25)
    v, r, ind, cap, esr, i, d, f = cases.T
    found = lead_capacitor.split_ripple(v, r, ind, cap, esr, added, added_esr, i, d, f)
    for n in range(25):
        a, column, node, load = three_state(r[n], ind[n], cap[n], esr[n], added[n], added_esr[n])
        battery = np.array([v[n] / ind[n], 0, 0])
        rests = [-np.linalg.solve(a, battery + column * i[n] * on) for on in (1, 0)]
        moves = expm(a * d[n] / f[n]), expm(a * (1 - d[n]) / f[n])
        on, off = moves
        x = np.linalg.solve(np.eye(3) - off @ on, off @ (rests[0] - on @ rests[0] - rests[1]) + rests[1])
        volts, own, other, supply = [], 0.0, 0.0, 0.0
        for rest, drawn, time in zip(rests, (i[n], 0.0), (d[n] / f[n], (1 - d[n]) / f[n])):
            step, away, rows = expm(a * time / 2000), x - rest, []
            for _ in range(2001):
                rows.append(away)
                away = step @ away
            rows = np.array(rows) + rest
            x = rows[-1]
            volts.append(rows @ node + load * drawn)
            own += np.trapezoid(((volts[-1] - rows[:, 1]) / esr[n]) ** 2, dx=time / 2000) * f[n]
            other += np.trapezoid(((volts[-1] - rows[:, 2]) / added_esr[n]) ** 2, dx=time / 2000) * f[n]
            supply += np.trapezoid(rows[:, 0] ** 2, dx=time / 2000) * f[n]
        volts = np.concatenate(volts)
        expected = np.sqrt([own, other, supply])
        assert np.array([found.own_rms[n], found.added_rms[n], found.battery_rms[n]]) == pytest.approx(expected, rel=2e-5)
        assert (found.voltage_max[n], found.voltage_min[n]) == pytest.approx((volts.max(), volts.min()), abs=3e-5 * np.ptp(volts))


@pytest.mark.identity
def test_split_at_coinciding_rates():
    # Like parts whose common circuit is critically damped: two rates coincide and the modes nearly do.
    ind, r, esr = 200e-9, 0.04, 0.02
    cap = 4 * ind / (r + esr) ** 2
    two = lead_capacitor.split_ripple(11.4, r, ind, cap / 2, 2 * esr, cap / 2, 2 * esr, 15.0, 0.4, 16e3)
    one = lead_ripple.ripple(11.4, r, ind, cap, esr, 15.0, 0.4, 16e3)
    assert 2 * two.own_rms == pytest.approx(one.capacitor_rms, rel=1e-6)
    assert two.voltage_max == pytest.approx(one.voltage_max, rel=1e-8)


@pytest.mark.identity
@pytest.mark.parametrize("frequency, expected", [(8e3, [53, 97, 134, 166]), (16e3, [49, 88, 118, 141]),
                                                 (24e3, [49, 84, 108, 125]), (48e3, [38, 58, 69, 76])])
def test_equal_heating_against_a_fourier_solution(frequency, expected):
    # Microfarads from a Fourier solution of the same circuit, +100 to +400 mm; whole microfarads, so 1.5 % at 38.
    steps = np.arange(1, 5)
    found = lead_capacitor.equal_rms_capacitance(0.040, 170e-9, 470e-6, 0.025, steps * 1.66e-3, steps * 70e-9, 220e-6,
                                                 0.060, 0.5, frequency)
    np.testing.assert_allclose(found * 1e6, expected, rtol=1.5e-2)


@pytest.mark.identity
def test_equal_heating_is_what_it_says():
    r, ind, own, esr, extra_r, extra = 0.015, 170e-9, np.array([330e-6, 1000e-6]), 0.010, 1.66e-3, 70e-9
    added = lead_capacitor.equal_rms_capacitance(r, ind, own, esr, extra_r, extra, 220e-6, 0.060, 0.5, 16e3)
    np.testing.assert_allclose(added * 1e6, [150, 112], rtol=5e-3)
    before = lead_ripple.ripple(12.0, r, ind, own, esr, 20.0, 0.5, 16e3).capacitor_rms
    after = lead_capacitor.split_ripple(12.0, r + extra_r, ind + extra, own, esr, added, 0.06 * 220e-6 / added, 20.0,
                                        0.5, 16e3).own_rms
    np.testing.assert_allclose(after, before, rtol=1e-9)
    assert lead_capacitor.equal_rms_capacitance(0.04, 170e-9, 470e-6, 0.025, 0.0, 0.0, 220e-6, 0.06, 0.5, 16e3) == 0


@pytest.mark.identity
def test_equal_surge_impedance():
    added = lead_capacitor.surge_capacitance(470e-6, 170e-9, 70e-9)
    assert added == pytest.approx(194e-6, rel=3e-3)
    before, after = (lead_ripple.resonance(0.04, x, c, 0.02).surge_impedance
                     for x, c in ((170e-9, 470e-6), (240e-9, 470e-6 + added)))
    assert before == pytest.approx(after, rel=1e-12)


@pytest.mark.identity
def test_advice_brings_the_own_capacitor_back():
    steps = np.arange(0, 5)
    advice = lead_capacitor.capacitor_advice(12.6, 0.040, 170e-9, 470e-6, 0.025, steps * 1.66e-3, steps * 70e-9, 220e-6,
                                             0.060, 15.0, 0.5, 16e3)
    np.testing.assert_array_equal(advice.pieces, [0, 1, 2, 3, 4])
    assert (advice.own_rms_after <= advice.own_rms_before * (1 + 1e-9)).all()
    assert (advice.own_rms_without[1:] > advice.own_rms_before).all()
    np.testing.assert_allclose(advice.capacitance, advice.pieces * 220e-6, rtol=1e-12)
    np.testing.assert_allclose(advice.stored_energy, 0.5 * advice.capacitance * 12.6**2, rtol=1e-12)
    np.testing.assert_allclose(advice.rated_voltage, 18.9, rtol=1e-12)
