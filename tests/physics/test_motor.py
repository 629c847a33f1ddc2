"""First-order motor: worked machines of other libraries and textbooks, bench readings, limits and balances."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar

from twinkit import tables
from twinkit.physics import motor

RPM = 2.0 * np.pi / 60.0
KV1000 = 1000.0 * RPM
DEFAULTS = tables.values("motor/defaults")


@pytest.mark.identity
def test_running_point_by_hand():
    # 11.1 V, 1000 rpm/V, 0.09 ohm, 0.8 A, 12 A: every figure follows by hand; tolerance: the digits written down
    assert float(motor.torque_constant(KV1000)) == pytest.approx(9.5493e-3, rel=1e-5)
    point = motor.running_point(11.1, 12.0, KV1000, 0.09, 0.8, 0.0)
    for found, expected in ((point.emf, 10.02), (point.omega / RPM, 10020.0), (point.torque, 0.10695), (point.shaft_power, 112.22),
                            (point.efficiency, 0.8425), (point.copper_loss, 12.96), (point.iron_loss, 8.016)):
        assert float(found) == pytest.approx(expected, rel=5e-5)
    current, efficiency = motor.best_efficiency(11.1, 0.09, 0.8)
    assert float(current) == pytest.approx(9.933, rel=5e-5) and float(efficiency) == pytest.approx(0.84541, rel=1e-5)
    held, torque = motor.stall(11.1, KV1000, 0.09, 0.8)
    assert float(held) == pytest.approx(123.33, rel=5e-5) and float(torque) == pytest.approx(1.1701, rel=5e-5)
    current, power = motor.greatest_shaft_power(11.1, 0.09, 0.8)
    assert float(current) == pytest.approx(62.07, rel=1e-4) and float(power) == pytest.approx(337.82, rel=2e-5)


@pytest.mark.published
def test_machine_of_the_modelica_library():
    # Modelica Standard Library documentation, DC_PermanentMagnet: 100 V, 100 A, 1425 rpm, Ra 0.05, no friction -> 63.66 N m, 9.5 kW, 95 %
    kv = 1425 * RPM / 95.0
    point = motor.running_point(100.0, 100.0, kv, 0.05, 0.0, 0.0)
    assert float(point.torque) == pytest.approx(63.66, rel=1e-4)          # four digits printed
    assert float(point.shaft_power) == pytest.approx(9500.0, rel=1e-9)
    assert float(point.efficiency) == pytest.approx(0.95, rel=1e-9)


@pytest.mark.published
def test_machine_with_losses_of_the_modelica_library():
    # Modelica Standard Library, DCPM_withLosses: 100 V, 100 A, 0.03864 ohm at 20 degC, 0.00392/K, 95 degC, brush drop 0.5 V,
    # core 200 + stray 50 + friction 100 W, 1417.5 rpm -> 0.05 ohm hot, copper 500 W, shaft 9100 W, 61.30 N m
    hot = motor.hot_resistance(0.03864, 368.15, 0.00392, 293.15)
    assert float(hot) == pytest.approx(0.05, rel=1e-4)                    # resistance printed to four digits
    inner = 100.0 - 0.5 - 100.0 * float(hot)
    assert inner == pytest.approx(94.5, rel=1e-5)
    point = motor.running_point(99.5, 100.0, 1417.5 * RPM / inner, hot, 350.0 / inner, 0.0)
    assert float(point.copper_loss) == pytest.approx(500.0, rel=1e-4)
    assert float(point.iron_loss) == pytest.approx(350.0, rel=1e-9)
    assert float(point.shaft_power) == pytest.approx(9100.0, rel=1e-4)
    assert float(point.torque) == pytest.approx(61.30, rel=1.5e-4)


@pytest.mark.published
def test_brushless_textbook_example():
    # FOSSEE textbook companion 1892, example 4.4: inputs from there; results follow from them (its note says the book's printed answer is wrong)
    assert float(motor.torque_constant(1 / 0.12)) == pytest.approx(0.12, rel=1e-12)
    free = motor.running_point(48.0, 0.0, 1 / 0.12, 0.30, 0.0, 0.0)
    assert float(free.omega) / RPM == pytest.approx(3819.7, rel=1.5e-5)
    current, torque = motor.stall(48.0 - 2.0, 1 / 0.12, 2 * 0.15, 0.0)
    assert float(current) == pytest.approx(153.3, rel=3e-4)
    assert float(torque) == pytest.approx(18.4, rel=1e-4)


@pytest.mark.pinned
@pytest.mark.parametrize("series, rpm, amps, shaft", [(0.0, 9683.4, 15.739, 144.67), (0.045, 9179.6, 14.225, 123.24)])
def test_propeller_point(series, rpm, amps, shaft):
    point = motor.propeller_running_point(11.1, KV1000, 0.09 + series, 0.8, 0.0, 0.045, 0.2286, 1.225)
    assert float(point.omega) / RPM == pytest.approx(rpm, rel=1e-5)
    assert float(point.current) == pytest.approx(amps, rel=5e-5)
    assert float(point.shaft_power) == pytest.approx(shaft, rel=5e-5)
    if series == 0.0:
        assert float(point.torque) == pytest.approx(0.14266, rel=5e-5)
        assert float(point.input_power) == pytest.approx(174.71, rel=5e-5)
        assert float(point.efficiency) == pytest.approx(0.8280, rel=1e-4)


@pytest.mark.identity
@settings(max_examples=60, deadline=None)
@given(volts=st.floats(6.0, 26.0), rpm_per_volt=st.floats(300.0, 2500.0), ohms=st.floats(0.01, 0.4), base=st.floats(0.0, 2.0),
       slope=st.floats(0.0, 1e-3), cp=st.floats(0.01, 0.12), diameter=st.floats(0.12, 0.33))
def test_propeller_point_against_a_root_search(volts, rpm_per_volt, ohms, base, slope, cp, diameter):
    kv, rho = rpm_per_volt * RPM, 1.2
    point = motor.propeller_running_point(volts, kv, ohms, base, slope, cp, diameter, rho)

    def left_over(omega):
        n = omega / (2 * np.pi)
        return volts - (kv * cp * rho * n**2 * diameter**5 / (2 * np.pi) + base + slope * omega) * ohms - omega / kv

    assert float(point.omega) == pytest.approx(brentq(left_over, 0.0, kv * volts, xtol=1e-10, rtol=1e-13), rel=1e-9)
    balance = point.input_power - point.shaft_power - point.copper_loss - point.iron_loss
    assert abs(float(balance)) < 1e-9 * float(point.input_power)


@pytest.mark.identity
def test_propeller_point_without_enough_voltage_is_nan():
    point = motor.propeller_running_point(np.array([0.05, 11.1]), KV1000, 0.09, 0.8, 0.0, 0.045, 0.2286, 1.225)
    assert np.isnan(point.omega).tolist() == [True, False]


@pytest.mark.pinned
@pytest.mark.parametrize("name, expected", [("kv", 2.23), ("emf", 1.70), ("diameter", 3.71)])
def test_sensitivity_of_current(name, expected):
    # per cent of current per per cent of change, 11.1 V, 1000 rpm/V, 0.09 ohm, 9 in, CP 0.045; three digits written down
    values = {"kv": KV1000, "emf": 11.1, "diameter": 0.2286}

    def current(factor):
        v = values | {name: values[name] * factor}
        return float(motor.propeller_running_point(v["emf"], v["kv"], 0.09, 0.8, 0.0, 0.045, v["diameter"], 1.225).current)

    assert np.log(current(1.001) / current(0.999)) / np.log(1.001 / 0.999) == pytest.approx(expected, rel=3e-3)


@pytest.mark.identity
def test_maxima_against_a_numerical_search():
    volts, ohms, idle = 11.1, 0.09, 0.8
    best = minimize_scalar(lambda i: -float(motor.running_point(volts, i, KV1000, ohms, idle, 0.0).efficiency), bounds=(1.0, 60.0), method="bounded",
                           options={"xatol": 1e-9})
    current, efficiency = motor.best_efficiency(volts, ohms, idle)
    assert best.x == pytest.approx(float(current), rel=1e-5) and -best.fun == pytest.approx(float(efficiency), rel=1e-12)
    most = minimize_scalar(lambda i: -float(motor.running_point(volts, i, KV1000, ohms, idle, 0.0).shaft_power), bounds=(1.0, 120.0), method="bounded",
                           options={"xatol": 1e-9})
    current, power = motor.greatest_shaft_power(volts, ohms, idle)
    assert most.x == pytest.approx(float(current), rel=1e-5) and -most.fun == pytest.approx(float(power), rel=1e-12)


@pytest.mark.identity
def test_hot_winding():
    # copper 0.00393/K: 0.09 ohm at 20 degC is 0.11830 at 100 degC; at 12 A efficiency 0.8140, 9680.4 rpm
    hot = motor.hot_resistance(0.09, 373.15)
    assert float(hot) == pytest.approx(0.11830, rel=5e-5)
    point = motor.running_point(11.1, 12.0, KV1000, hot, 0.8, 0.0)
    assert float(point.efficiency) == pytest.approx(0.8140, rel=1e-4)
    assert float(point.omega) / RPM == pytest.approx(9680.4, rel=1e-5)
    assert float(motor.hot_resistance(0.09, 293.15)) == 0.09
    assert float(motor.hot_kv(100.0, 333.15, 0.001)) == pytest.approx(100 / 0.96, rel=1e-12)


@pytest.mark.identity
@settings(max_examples=60, deadline=None)
@given(amps=st.floats(1.0, 40.0), ohms=st.floats(0.01, 0.3), iron=st.floats(0.0, 20.0), rth=st.floats(0.2, 8.0), ambient=st.floats(263.0, 313.0))
def test_settled_temperature_is_what_repetition_finds(amps, ohms, iron, rth, ambient):
    heat = motor.steady_temperature(amps, ohms, iron, rth, ambient)
    gain = 0.00393 * amps**2 * ohms * rth
    assert bool(heat.runaway) == (gain >= 1.0)
    if gain < 0.95:
        t = ambient
        for _ in range(2000):
            t = ambient + rth * (amps**2 * float(motor.hot_resistance(ohms, t)) + iron)
        assert float(heat.temperature) == pytest.approx(t, rel=1e-9)
        assert float(heat.copper_loss) == pytest.approx(amps**2 * float(heat.resistance), rel=1e-12)
    elif gain >= 1.0:
        assert np.isnan(heat.temperature) and np.isnan(heat.copper_loss)


@pytest.mark.identity
def test_two_prop_off_readings_give_back_the_line():
    base, slope = motor.no_load_line(650.0, 0.70, 1310.0, 0.79)
    assert float(motor.no_load_current(base, slope, 650.0)) == pytest.approx(0.70, rel=1e-12)
    assert float(motor.no_load_current(base, slope, 1310.0)) == pytest.approx(0.79, rel=1e-12)
    assert np.isnan(motor.no_load_line(650.0, 0.7, 650.0, 0.8)[1])


@pytest.mark.published
def test_running_resistance_is_about_twice_the_catalogue():
    # QUTAS student twin, bench reports of 2026: 400 rpm/V, 0.116 ohm, 12x6, two full-throttle readings; factor stated there 2.15, band 1.7 to 3
    factors = motor.running_resistance(np.array([23.7, 23.1]), np.array([14.7, 14.0]), np.array([8016.0, 7827.0]) * RPM, 400 * RPM) / 0.116
    assert factors == pytest.approx(2.15, rel=0.02)
    assert (factors > DEFAULTS["running_factor_low"]).all() and (factors < DEFAULTS["running_factor_high"]).all()


@pytest.mark.published
@pytest.mark.parametrize("kv, volts, amps, rpm", [
    (400.0, (23.7, 23.1), (14.7, 14.0), (8016.0, 7827.0)),          # QUTAS student twin, one propeller, two voltages
    (780.0, (15.91, 16.26), (22.97, 19.88), (9168.0, 9836.0)),      # CTU-MRS motor tests, 11x5.5 and 10x4.5
    (920.0, (16.32, 16.41), (14.26, 14.37), (9068.0, 8956.0))])     # CTU-MRS motor tests, 9.4x5 twice
def test_running_resistance_repeats(kv, volts, amps, rpm):
    found = motor.running_resistance(np.array(volts), np.array(amps), np.array(rpm) * RPM, kv * RPM)
    assert found.max() / found.min() < 1.03                          # 2 to 3 per cent is what these readings show


@pytest.mark.published
def test_running_resistance_repeats_over_eight_propellers():
    # motor_propeller_testing (MIT), motor m6, eight propellers at two voltages each; tolerance 3 %, standard deviation
    bench = tables.read("motor/bench_points").columns
    pick = (np.array(bench["set"]) == "motor_propeller_testing") & (np.array(bench["motor"]) == "m6")
    found = motor.running_resistance(bench["voltage"][pick], bench["current"][pick], bench["speed"][pick], bench["kv"][pick])
    low = bench["voltage"][pick] < 8.0
    assert low.sum() == 8
    for group in (found[low], found[~low]):
        assert group.std(ddof=1) / group.mean() < 0.03


@pytest.mark.published
def test_running_resistance_grows_with_speed():
    # esc_test (MIT): logged duty; 0.10 ohm near 10 000 rpm, 0.12 at 13 100, 0.16 at 15 900 with the label's 1600 rpm/V; two digits printed
    bench = tables.read("motor/bench_points").columns
    pick = np.array(bench["set"]) == "esc_test"
    duty, rpm = bench["duty"][pick], bench["speed"][pick] / RPM
    found = motor.running_resistance(bench["voltage"][pick] * duty, bench["current"][pick] / duty, bench["speed"][pick], bench["kv"][pick])
    for at, ohms in ((10388.0, 0.10), (13087.0, 0.12), (15876.0, 0.16)):
        assert found[np.argmin(abs(rpm - at))] == pytest.approx(ohms, abs=0.005)


@pytest.mark.identity
def test_estimates():
    # 700 ohm (rpm/V)^2 kg^(5/3) turned to SI by hand: times (2 pi/60)^2
    assert DEFAULTS["resistance_constant"] == pytest.approx(700 * RPM**2, rel=1e-12)
    found = motor.resistance_estimate(np.array([900.0, 1400.0]) * RPM, np.array([0.06, 0.03]), DEFAULTS["resistance_constant"])
    assert found == pytest.approx([700 / 900**2 / 0.06 ** (5 / 3), 700 / 1400**2 / 0.03 ** (5 / 3)], rel=1e-12)
    assert float(motor.no_load_estimate(0.1, DEFAULTS["no_load_per_mass"])) == pytest.approx(1.1, rel=1e-12)


@pytest.mark.identity
def test_broadcasting():
    point = motor.running_point(np.linspace(10, 12, 3)[:, None], np.linspace(1, 20, 4), KV1000, 0.09, 0.8, 1e-4)
    assert all(getattr(point, name).shape == (3, 4) for name in point.__dataclass_fields__)
    one = motor.running_point(11.0, float(np.linspace(1, 20, 4)[2]), KV1000, 0.09, 0.8, 1e-4)
    assert float(one.torque) == point.torque[1, 2]
    assert np.isnan(motor.running_resistance(10.0, 0.0, 900.0, KV1000))
