"""Bench fits: certified and published data sets, exact recovery, and general-purpose solvers as independent routes."""

import numpy as np
import pytest
from scipy.optimize import least_squares

from twinkit.physics import fit

RPM = 2 * np.pi / 60
# An invented bench with known truth: Kv 1050 rpm/V, R 0.105 ohm, C_T 0.110, C_P 0.046, D 0.2286 m, air 1.20 kg/m3.
LOADED = np.array([(6.020, 6.111, 5647, 3.196), (6.990, 7.727, 6470, 4.202), (8.000, 9.799, 7336, 5.384),
                   (9.015, 11.810, 8143, 6.619), (9.980, 14.283, 8926, 8.020), (11.010, 16.483, 9742, 9.464),
                   (11.985, 19.228, 10476, 11.001)])
PROP_OFF = np.array([(6.0, 0.70, 6233), (9.0, 0.74, 9356), (12.0, 0.79, 12521)])
VOLTS, AMPS, SPEED = np.vstack([LOADED[:, :3], PROP_OFF]).T * np.array([[1], [1], [RPM]])


@pytest.mark.identity
def test_invented_bench_gives_its_truth_back():
    found = fit.fit_motor(VOLTS, AMPS, SPEED)
    assert abs(found.kv / RPM - 1050) < 2 * found.kv_sigma / RPM
    assert abs(found.resistance - 0.105) < 2 * found.resistance_sigma
    # Worked with another least-squares routine on the same numbers.
    beta, _, _, _ = np.linalg.lstsq(np.column_stack([SPEED, AMPS]), VOLTS)
    assert (1 / found.kv, found.resistance) == pytest.approx(tuple(beta), rel=1e-9)
    assert (found.kv / RPM, found.kv_sigma / RPM) == pytest.approx((1049.99, 0.98), rel=1e-3)
    assert (found.resistance, found.resistance_sigma) == pytest.approx((0.10475, 0.00071), rel=6e-3)
    assert (found.scatter, found.correlation) == pytest.approx((0.0145, -0.805), rel=3e-3)


@pytest.mark.identity
def test_no_load_line_and_coefficients_of_the_invented_bench():
    line = fit.fit_no_load(PROP_OFF[:, 1], PROP_OFF[:, 2] * RPM)
    slope, constant = np.polyfit(PROP_OFF[:, 2] * RPM, PROP_OFF[:, 1], 1)
    assert (line.constant, line.slope) == pytest.approx((constant, slope), rel=1e-9)
    assert (line.constant, line.slope * RPM) == pytest.approx((0.6092, 1.4316e-5), rel=1e-4)
    speed = LOADED[:, 2] * RPM
    thrust = fit.fit_thrust_coefficient(LOADED[:, 3], speed, 1.20, 0.2286)
    assert (thrust.coefficient, thrust.sigma) == pytest.approx((0.10999, 0.00015), rel=3e-2)
    assert thrust.coefficient == pytest.approx(0.10999, rel=1e-4)
    assert abs(thrust.coefficient - 0.110) < 2 * thrust.sigma
    motor = fit.fit_motor(VOLTS, AMPS, SPEED)
    torque = (LOADED[:, 1] - line.constant - line.slope * speed) / motor.kv
    power = fit.fit_power_coefficient(torque, speed, 1.20, 0.2286, 1.0, motor.kv_sigma / motor.kv)
    assert power.coefficient == pytest.approx(0.04611, rel=1e-4)
    assert abs(power.coefficient - 0.046) < 2 * power.sigma
    assert fit.power_law_exponent(speed, LOADED[:, 3]) == pytest.approx(1.9975, rel=1e-4)


@pytest.mark.published
def test_york_line_through_pearson_data():
    # York et al. 2004, table of Pearson's data with York's weights (from memory of the paper): slope -0.480533407,
    # intercept 5.47991022, standard errors 0.0579850090 and 0.294970735. Printed to nine digits.
    x = np.array([0.0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4])
    y = np.array([5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5])
    weight_x = np.array([1000, 1000, 500, 800, 200, 80, 60, 20, 1.8, 1.0])
    weight_y = np.array([1, 1.8, 4, 8, 20, 20, 70, 70, 100, 500])
    # A straight line is the plane whose second regressor is one, without error.
    found = fit.fit_motor_noisy(y, np.ones(10), x, weight_y**-0.5, 0.0, weight_x**-0.5)
    assert (1 / found.kv, found.resistance) == pytest.approx((-0.480533407, 5.47991022), rel=1e-8)
    assert (found.kv_sigma / found.kv**2, found.resistance_sigma) == pytest.approx((0.0579850090, 0.294970735), rel=1e-7)


NORRIS = np.array("""0.1 0.2 338.8 337.4 118.1 118.2 888.0 884.6 9.2 10.1 228.1 226.5 668.5 666.3 998.5 996.3 449.1 448.6
778.9 777.0 559.2 558.2 0.3 0.4 0.1 0.6 778.1 775.5 668.8 666.9 339.3 338.0 448.9 447.5 10.8 11.6 557.7 556.0 228.3 228.1
998.0 995.8 888.8 887.6 119.6 120.2 0.3 0.3 0.6 0.3 557.6 556.8 339.3 339.1 888.0 887.2 998.5 999.0 778.9 779.0 10.2 11.1
117.6 118.3 228.9 229.2 668.4 669.1 449.2 448.9 0.2 0.5""".split(), float).reshape(-1, 2)


@pytest.mark.published
def test_certified_straight_line():
    # NIST Statistical Reference Datasets, Norris, certified values (from memory); 1e-9 of the fifteen digits given.
    y, x = NORRIS.T
    line = fit.fit_no_load(y, x)
    assert (line.constant, line.slope) == pytest.approx((-0.262323073774029, 1.00211681802045), rel=1e-9)
    assert (line.constant_sigma, line.slope_sigma) == pytest.approx((0.232818234301152, 0.429796848199937e-3), rel=1e-9)
    assert line.scatter == pytest.approx(0.884796396144373, rel=1e-9)
    plane = fit.fit_motor(y, np.ones(36), x)
    assert (1 / plane.kv, plane.resistance, plane.scatter) == pytest.approx((line.slope, line.constant, line.scatter), rel=1e-9)


@pytest.mark.published
def test_certified_line_through_the_origin():
    # NIST Statistical Reference Datasets, NoInt1, certified values (from memory): slope, its deviation, residual deviation.
    y, x = np.arange(130.0, 141.0), np.arange(60.0, 71.0)
    # Thrust base rho n^2 D^4 equals x when rho = D = 1 and n = sqrt(x).
    found = fit.fit_thrust_coefficient(y, 2 * np.pi * np.sqrt(x), 1.0, 1.0)
    assert found.coefficient == pytest.approx(2.07438016528926, rel=1e-12)
    assert (found.sigma, found.scatter) == pytest.approx((0.165289256198347e-1, 3.56753034006338), rel=1e-9)


@pytest.mark.published
def test_running_resistance_of_a_published_bench():
    # Bench report of a student twin (single figures): 400 rpm/V, catalogue 0.116 ohm, 12x6, two readings at full
    # throttle; running resistance 2.15 times the catalogue value, both within 3 %.
    run = fit.one_reading(np.array([23.7, 23.1]), np.array([14.7, 14.0]), np.array([8016, 7827]) * RPM, 400 * RPM, 0.116,
                          0.1, 0.3, 1.0, 8 * RPM)
    assert run.ratio[0] == pytest.approx(2.15, rel=3e-3)
    assert np.ptp(run.resistance) / run.resistance.mean() < 0.03
    assert ((run.ratio > 1.7) & (run.ratio < 3.0)).all()


@pytest.mark.identity
def test_noisy_fit_against_a_general_minimiser():
    rng = np.random.default_rng(12)
    for _ in range(5):
        amps = AMPS * (1 + 0.05 * rng.standard_normal(10))
        speed, volts = SPEED + 3 * rng.standard_normal(10), VOLTS + 0.02 * rng.standard_normal(10)
        sigma = 0.02, 0.05 * AMPS + 0.01, 3.0

        def off(p):
            return (volts - p[0] * speed - p[1] * amps) / np.sqrt(sigma[0]**2 + (p[0] * sigma[2])**2 + (p[1] * sigma[1])**2)

        found = fit.fit_motor_noisy(volts, amps, speed, *sigma)
        best = least_squares(off, [0.009, 0.1], x_scale=[0.01, 0.1], xtol=1e-15, ftol=1e-15, gtol=1e-15)
        assert (1 / found.kv, found.resistance) == pytest.approx(tuple(best.x), rel=2e-6)
        assert found.scatter == pytest.approx(np.sqrt(2 * best.cost / 8), rel=1e-6)


@pytest.mark.identity
def test_noise_in_one_reading_only():
    plain, noisy = fit.fit_motor(VOLTS, AMPS, SPEED), fit.fit_motor_noisy(VOLTS, AMPS, SPEED, 0.02, 0.0, 0.0)
    assert (noisy.kv, noisy.resistance) == pytest.approx((plain.kv, plain.resistance), rel=1e-10)
    assert noisy.kv_sigma == pytest.approx(plain.kv_sigma * 0.02 / plain.scatter, rel=1e-10)
    assert np.isnan(fit.fit_motor_noisy(VOLTS, AMPS, SPEED, 0.0, 0.0, 0.0).kv)


@pytest.mark.identity
def test_noisy_current_no_longer_lowers_the_resistance():
    # Errors in the ammeter pull the plain fit low; the other one stays. Truth and spread from 4000 invented benches.
    rng = np.random.default_rng(13)
    true_amps = np.tile(np.array([4.0, 8, 12, 16, 20, 0.7, 0.8]), (4000, 1))
    true_speed = np.tile(np.array([500.0, 650, 800, 950, 1100, 700, 1200]), (4000, 1))
    volts = true_speed / 110 + 0.1 * true_amps + 0.01 * rng.standard_normal(true_amps.shape)
    amps = true_amps + 1.5 * rng.standard_normal(true_amps.shape)
    plain = fit.fit_motor(volts, amps, true_speed)
    noisy = fit.fit_motor_noisy(volts, amps, true_speed, 0.01, 1.5, 0.0)
    low, left = 0.1 - plain.resistance.mean(), abs(0.1 - noisy.resistance.mean())
    assert low > 0.002 and left < low / 3
    # The stated uncertainty is the spread met.
    assert noisy.resistance_sigma.mean() == pytest.approx(noisy.resistance.std(), rel=0.06)


@pytest.mark.identity
def test_exact_readings_come_back_exactly():
    kv, resistance = np.array([60.0, 110.0, 250.0])[:, None], np.array([0.3, 0.1, 0.02])[:, None]
    speed, amps = np.linspace(300, 1500, 8), np.array([3, 6, 9, 12, 15, 18, 0.6, 0.8])
    volts = speed / kv + amps * resistance
    found = fit.fit_motor(volts, amps, speed)
    np.testing.assert_allclose(found.kv, kv[:, 0], rtol=1e-10)
    np.testing.assert_allclose(found.resistance, resistance[:, 0], rtol=1e-10)
    line = fit.fit_no_load([0.5 + 1e-4 * 500, 0.5 + 1e-4 * 900], [500, 900])
    assert (line.constant, line.slope) == pytest.approx((0.5, 1e-4), rel=1e-9)
    assert np.isnan(line.constant_sigma)
    run = fit.one_reading(volts[:, 0], amps[0], speed[0], kv[:, 0], 0.1, 0.1, 0.1, 1.0, 1.0)
    np.testing.assert_allclose(run.resistance, resistance[:, 0], rtol=1e-9)
    denied = fit.one_reading(5.0, 10.0, 1000.0, 110.0, 0.1, 0.1, 0.1, 1.0, 1.0)
    assert np.isnan(denied.resistance) and np.isnan(denied.ratio) and np.isnan(denied.sigma)


@pytest.mark.identity
def test_collinear_readings_are_seen():
    assert fit.fit_motor(VOLTS, AMPS, SPEED).inflation < 5
    loaded = fit.fit_motor(*(LOADED[:, :3].T * np.array([[1], [1], [RPM]])))
    assert loaded.inflation > 30
    # Inflation is the growth of the variance against readings at right angles.
    size = (np.hypot.reduce(LOADED[:, 1]), LOADED[:, 2] * RPM)
    assert loaded.resistance_sigma == pytest.approx(loaded.scatter / size[0] * np.sqrt(loaded.inflation), rel=1e-9)
    assert np.isnan(fit.fit_motor([6.0, 12.0], [5.0, 10.0], [500.0, 1000.0]).kv)


@pytest.mark.identity
def test_a_spoilt_reading_is_pointed_at():
    for spoilt in range(len(VOLTS)):
        volts = VOLTS.copy()
        volts[spoilt] += 0.3
        looked = fit.motor_outliers(volts, AMPS, SPEED)
        assert looked.suspect.argmin() == spoilt and looked.suspect[spoilt] < 0
    assert (fit.motor_outliers(VOLTS, AMPS, SPEED).suspect > 0).all()


@pytest.mark.identity
def test_distance_is_that_of_leaving_the_reading_out():
    looked = fit.motor_outliers(VOLTS, AMPS, SPEED)
    for n in range(len(VOLTS)):
        rest = np.arange(len(VOLTS)) != n
        found = fit.fit_motor(VOLTS[rest], AMPS[rest], SPEED[rest])
        x = np.array([SPEED[n], AMPS[n]])
        design = np.column_stack([SPEED, AMPS])[rest]
        miss = VOLTS[n] - SPEED[n] / found.kv - AMPS[n] * found.resistance
        spread = found.scatter * np.sqrt(1 + x @ np.linalg.inv(design.T @ design) @ x)
        assert looked.distance[n] == pytest.approx(miss / spread, rel=1e-8)
    assert np.isnan(fit.motor_outliers(VOLTS[:3], AMPS[:3], SPEED[:3]).distance).all()


@pytest.mark.identity
def test_false_alarms_are_as_rare_as_promised():
    rng = np.random.default_rng(14)
    volts = SPEED / 110 + 0.105 * AMPS + 0.015 * rng.standard_normal((4000, 10))
    looked = fit.motor_outliers(volts, AMPS, SPEED, 0.05)
    assert (looked.suspect < 0).any(-1).mean() == pytest.approx(0.05, abs=0.012)
    assert looked.bend.std() == pytest.approx(np.sqrt(7 / 5), rel=0.05)  # Student's t with 7 degrees of freedom


@pytest.mark.identity
def test_a_resistance_that_grows_shows_as_a_bend():
    volts = SPEED / 110 + (0.10 + 0.002 * AMPS) * AMPS + 0.005 * np.cos(np.arange(10))
    design = np.column_stack([SPEED, AMPS, AMPS**2])
    beta, rest, *_ = np.linalg.lstsq(design, volts)
    sigma = np.sqrt(rest[0] / 7 * np.linalg.inv(design.T @ design)[2, 2])
    bend = fit.motor_outliers(volts, AMPS, SPEED).bend
    assert bend == pytest.approx(beta[2] / sigma, rel=1e-6)
    assert bend > 3


@pytest.mark.identity
def test_coefficient_uncertainty_adds_the_common_error():
    speed = np.linspace(500, 1000, 6)
    thrust = 0.11 * 1.2 * (speed / (2 * np.pi))**2 * 0.2286**4
    found = fit.fit_thrust_coefficient(thrust, speed, 1.2, 0.2286, 1.0, 0.02)
    assert (found.coefficient, found.sigma) == pytest.approx((0.11, 0.11 * 0.02), rel=1e-9)
    torque = 0.046 * 1.2 * (speed / (2 * np.pi))**2 * 0.2286**5 / (2 * np.pi)
    assert fit.fit_power_coefficient(torque, speed, 1.2, 0.2286).coefficient == pytest.approx(0.046, rel=1e-9)
    assert fit.power_law_exponent(speed, thrust) == pytest.approx(2, rel=1e-9)
    # A heavy weight decides: two readings that disagree, one a hundred times surer.
    pair = fit.fit_thrust_coefficient([1.0, 2.0], 2 * np.pi, 1.0, 1.0, [0.001, 0.1])
    assert pair.coefficient == pytest.approx((1e4 * 1 + 2) / (1e4 + 1), rel=1e-9)
