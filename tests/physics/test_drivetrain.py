"""Drive from pack to thrust: balances, independent root searches, bench readings, two sides on one pack."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, root

from twinkit import tables
from twinkit.constants import STANDARD_GRAVITY
from twinkit.physics import drivetrain, motor
from twinkit.physics.drivetrain import Side, Status, solve_shared_pack, solve_side, voltage_balance
from twinkit.physics.propeller import Bands, SectionModel, Style, model_band
from twinkit.physics.propeller_table import PropellerTable, coefficients, loads, propeller_table

INCH, RPM, DENSITY = 0.0254, 2.0 * np.pi / 60.0, 1.225
SECTION = SectionModel(**tables.values("propeller/section"))
DEFAULTS = tables.values("motor/defaults")
NUMBERS = [f.name for f in fields(Side) if f.name != "propeller"]


def propeller(diameter, pitch, blades=2, name="electric"):
    style = Style.from_columns(name, tables.read("propeller/styles").columns, tables.read("propeller/chords").columns)
    return propeller_table(diameter * INCH, pitch * INCH, blades, style, SECTION, DENSITY, 1.81e-5)


NINE, EIGHT = propeller(9, 6), propeller(8, 6)


def random_side(rng, shape, table=NINE, **fixed):
    def between(low, high):
        return rng.uniform(low, high, shape)

    return replace(Side(kv=between(80, 160), resistance=between(0.03, 0.25), base=between(0.2, 1.0), slope=between(0, 5e-4), propeller=table,
                        duty=between(0.2, 1.0), series_resistance=between(0.0, 0.03), idle_current=between(0, 0.1),
                        resistance_growth=between(0, 6e-5), thrust_factor=between(0.8, 1.2), torque_factor=between(0.8, 1.2)), **fixed)


def at(side, index):
    return replace(side, **{n: float(getattr(side, n)[index]) if np.ndim(getattr(side, n)) else getattr(side, n) for n in NUMBERS})


@pytest.mark.identity
@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_energy_is_kept_everywhere(seed):
    rng = np.random.default_rng(seed)
    size = 200
    side = random_side(rng, size, duty=rng.uniform(0, 1, size))
    emf, ohms, regulator, airspeed = rng.uniform(6, 25, size), rng.uniform(0, 0.08, size), rng.uniform(0, 2, size), rng.uniform(0, 28, size)
    drive = solve_side(side, emf, ohms, regulator, airspeed, DENSITY)
    fine = drive.status < Status.OVERRUN
    assert fine.sum() > size / 2 and set(np.unique(drive.status)) <= {0, 1, 2, 3, 4, 5}
    given_out = drive.shaft_power + drive.motor_heat + drive.controller_heat + drive.pack_heat + regulator * drive.pack_voltage
    assert np.abs(emf * drive.pack_current - given_out)[fine].max() < 1e-9 * np.abs(emf * drive.pack_current)[fine].max()
    assert (drive.motor_heat[fine] >= -1e-9).all() and (drive.controller_heat[fine] >= -1e-9).all()
    assert np.abs(drive.pack_power - drive.pack_voltage * drive.pack_current)[fine].max() < 1e-9
    solved = drive.status == Status.SOLVED
    left_over = voltage_balance(side, drive.omega, emf, ohms, regulator, airspeed, DENSITY)
    assert np.abs(left_over / emf)[solved].max() < 1e-9
    shaft = (drive.motor_current - side.base - side.slope * drive.omega) / side.kv
    assert np.abs(shaft - drive.torque)[solved].max() < 1e-9
    pulling = solved & (drive.shaft_power > 0)
    assert ((drive.motor_efficiency < 1) & (drive.drive_efficiency <= drive.motor_efficiency + 1e-12))[pulling].all()
    assert (drive.propulsive_efficiency * side.torque_factor < side.thrust_factor)[pulling].all()
    assert np.isnan(drive.motor_efficiency[drive.shaft_power <= 0]).all()
    assert (drive.motor_current[solved] >= 0).all()
    mill = drive.status == Status.WINDMILLING          # nothing flows, the air pays for the friction
    friction = (side.base + side.slope * drive.omega) / side.kv
    assert (drive.motor_current[mill] == 0).all() and np.allclose(drive.torque[mill], -friction[mill], rtol=1e-8)
    assert np.isnan(drive.thrust[~fine]).all()


@pytest.mark.identity
def test_side_against_brentq_on_random_designs():
    rng = np.random.default_rng(11)
    size = 150
    side = random_side(rng, size)
    emf, ohms, airspeed = rng.uniform(7, 20, size), rng.uniform(0.0, 0.06, size), rng.uniform(0, 12, size)
    drive = solve_side(side, emf, ohms, 0.4, airspeed, 1.1)
    compared = 0
    for i in np.flatnonzero(drive.status == Status.SOLVED):
        one = at(side, i)
        omega = brentq(lambda w: float(voltage_balance(one, w, emf[i], ohms[i], 0.4, airspeed[i], 1.1)), 0.0, one.kv * emf[i], xtol=1e-11, rtol=1e-13)
        assert drive.omega[i] == pytest.approx(omega, rel=1e-9)
        compared += 1
    assert compared > 100


@pytest.mark.identity
def test_left_over_voltage_written_out():
    # the same relation in plain scalars, term by term
    side = Side(110.0, 0.08, 0.6, 2e-4, NINE, duty=0.7, series_resistance=0.01, idle_current=0.05, resistance_growth=3e-5, torque_factor=1.1)
    omega, airspeed = 700.0, 9.0
    torque = 1.1 * float(loads(NINE, omega / (2 * np.pi), airspeed, DENSITY).torque)
    amps = 110.0 * torque + 0.6 + 2e-4 * omega
    pack = 11.4 - 0.04 * (0.7 * amps + 0.05 + 0.3)
    expected = 0.7 * pack - amps * (0.01 + 0.08 + 3e-5 * omega) - omega / 110.0
    assert float(voltage_balance(side, omega, 11.4, 0.04, 0.3, airspeed, DENSITY)) == pytest.approx(expected, rel=1e-12)


@pytest.mark.identity
def test_scalars_and_arrays_agree_and_shapes_broadcast():
    rng = np.random.default_rng(5)
    side = random_side(rng, (4, 1, 3))
    emf, airspeed = rng.uniform(9, 13, (2, 1)), np.array([0.0, 6.0, 12.0])
    drive = solve_side(side, emf, 0.03, 0.2, airspeed, DENSITY)
    assert all(getattr(drive, f.name).shape == (4, 2, 3) for f in fields(drive))
    for i, j, k in ((0, 0, 0), (3, 1, 2), (2, 0, 1)):
        one = replace(side, **{n: float(getattr(side, n)[i, 0, k]) if np.ndim(getattr(side, n)) else getattr(side, n) for n in NUMBERS})
        alone = solve_side(one, float(emf[j, 0]), 0.03, 0.2, float(airspeed[k]), DENSITY)
        assert alone.thrust.shape == ()
        for f in fields(drive):
            assert float(getattr(alone, f.name)) == pytest.approx(float(getattr(drive, f.name)[i, j, k]), rel=1e-9, nan_ok=True)


@pytest.mark.identity
def test_blocks_do_not_show(monkeypatch):
    rng = np.random.default_rng(6)
    side, emf = random_side(rng, 301), rng.uniform(9, 13, 301)
    whole, both = solve_side(side, emf, 0.03, 0.2, 5.0, DENSITY), solve_shared_pack(side, side, emf, 0.03, 0.2, 5.0, DENSITY)
    monkeypatch.setattr(drivetrain, "BLOCK", 64)
    assert np.array_equal(solve_side(side, emf, 0.03, 0.2, 5.0, DENSITY).thrust, whole.thrust, equal_nan=True)
    assert np.array_equal(solve_shared_pack(side, side, emf, 0.03, 0.2, 5.0, DENSITY).right.thrust, both.right.thrust, equal_nan=True)
    assert solve_side(at(side, 0), np.empty(0), 0.03, 0.2, 5.0, DENSITY).thrust.shape == (0,)


@pytest.mark.identity
def test_constant_coefficient_propeller_meets_the_closed_form():
    # independent route: the quadratic of motor.propeller_running_point
    flat = PropellerTable(0.2286, DENSITY, 15.0, 500.0, 1.0, np.full((2, 2), 0.1), np.full((2, 2), 0.045))
    drive = solve_side(Side(1000 * RPM, 0.09, 0.8, 0.0, flat), 11.1, np.array([0.0, 0.045]), 0.0, 0.0, DENSITY)
    closed = motor.propeller_running_point(11.1, 1000 * RPM, 0.09 + np.array([0.0, 0.045]), 0.8, 0.0, 0.045, 0.2286, DENSITY)
    assert drive.omega == pytest.approx(closed.omega, rel=1e-10)
    assert drive.motor_current == pytest.approx(closed.current, rel=1e-10)
    assert drive.omega / RPM == pytest.approx([9683.4, 9179.6], rel=1e-5)


@pytest.mark.identity
def test_statuses():
    side = Side(100.0, 0.1, 0.6, 0.0, NINE, duty=np.array([1.0, 0.0, 0.004, 0.0, 0.1, 0.0, 1.2, 1.0, 1.0, 0.8]),
                series_resistance=0.01)
    airspeed = np.array([0.0, 0.0, 0.0, 15.0, 15.0, 60.0, 5.0, -1.0, np.nan, 10.0])
    drive = solve_side(side, 11.1, 0.03, 0.2, airspeed, DENSITY)
    assert [Status(s).name for s in drive.status] == ["SOLVED", "STANDING", "NOT_ENOUGH_VOLTS", "WINDMILLING", "WINDMILLING", "OVERRUN", "INVALID",
                                                      "INVALID", "INVALID", "SOLVED"]
    assert drive.motor_current[1] == 0.0 and drive.thrust[1] == 0.0 and drive.omega[2] == 0.0
    assert 0.0 < drive.motor_current[2] < 0.6           # less than friction asks for
    assert drive.thrust[3] < 0.0 and drive.omega[3] > 0.0 and drive.pack_current[3] == pytest.approx(0.2)
    assert np.isnan(drive.thrust[5:9]).all() and not drive.in_table[5:9].any()
    assert drive.in_table[[0, 3, 9]].all()
    bad = solve_side(replace(side, duty=0.5, kv=np.array([0.0, np.nan, 100.0])), 11.1, 0.03, 0.2, 0.0, DENSITY)
    assert bad.status.tolist() == [Status.INVALID, Status.INVALID, Status.SOLVED]


@pytest.mark.identity
def test_speed_and_current_move_the_right_way():
    side = Side(105.0, 0.09, 0.7, 1e-4, NINE, series_resistance=0.01)
    duty = np.linspace(0.1, 1.0, 40)
    drive = solve_side(replace(side, duty=duty), 11.4, 0.03, 0.0, 0.0, DENSITY)
    assert (np.diff(drive.thrust) > 0).all() and (np.diff(drive.pack_current) > 0).all()
    assert (drive.motor_current[:-1] > drive.pack_current[:-1]).all()          # motor current is not pack current at part throttle
    assert drive.motor_current[-1] == pytest.approx(drive.pack_current[-1], rel=1e-12)
    faster = solve_side(side, 11.4, 0.03, 0.0, np.linspace(4, 18, 30), DENSITY)
    assert (np.diff(faster.thrust) < 0).all() and (np.diff(faster.n) > 0).all()


# ---- bench readings -------------------------------------------------------------------------------------------------------------------

@pytest.mark.published
@pytest.mark.parametrize("volts, amps, rpm, grams", [(23.7, 14.7, 8016.0, 1940.0), (23.1, 14.0, 7827.0, 1840.0)])
def test_bench_readings_lie_in_the_sampled_band(volts, amps, rpm, grams):
    # QUTAS student twin, bench reports of 2026: 400 rpm/V, 0.116 ohm, 0.3 A, 12x6. Sampled: resistance 1.7 to 3 times the catalogue's,
    # kv 0.92 to 1.0 of the label, CT and CP by their bands, correlated 0.59; the reading must lie between the 2.5 and 97.5 % points
    bands = Bands.from_columns(tables.read("propeller/bands").columns, tables.values("propeller/band_limits"))
    band = model_band("electric", "static", "none", 2, 12 * INCH, 6 * INCH, rpm / 60.0, bands)
    assert band.reasons == ("extrapolated speed", "large")
    rng = np.random.default_rng(3)
    size = 4000
    first, second = rng.standard_normal((2, size))
    side = Side(400 * RPM * rng.uniform(DEFAULTS["kv_share_low"], DEFAULTS["kv_share_high"], size),
                0.116 * rng.uniform(DEFAULTS["running_factor_low"], DEFAULTS["running_factor_high"], size), 0.3, 0.0, propeller(12, 6),
                thrust_factor=np.exp(band.ct * first), torque_factor=np.exp(band.cp * (0.59 * first + np.sqrt(1 - 0.59**2) * second)))
    drive = solve_side(side, volts, 0.0, 0.0, 0.0, DENSITY)
    for found, reading in ((drive.omega / RPM, rpm), (drive.motor_current, amps), (drive.thrust / (STANDARD_GRAVITY * 1e-3), grams)):
        low, high = np.percentile(found, [2.5, 97.5])
        assert low < reading < high
        assert high / low < 2.2                          # a band that wide or wider would say nothing


# The readings are published; the limits were set after the errors had been seen, so this guards against change only.
@pytest.mark.pinned
def test_default_running_figures_come_close_where_catalogue_figures_read_high():
    # the same bench: catalogue figures read 8 to 14 % high (rpm, current, thrust), the defaults stay within 8 %
    volts, amps, rpm, newton = (np.array(v) for v in ((23.7, 23.1), (14.7, 14.0), (8016.0, 7827.0), (19.03, 18.04)))
    table = propeller(12, 6)
    plain = solve_side(Side(400 * RPM, 0.116, 0.3, 0.0, table), volts, 0.0, 0.0, 0.0, DENSITY)
    usual = solve_side(Side(400 * RPM * DEFAULTS["kv_share"], 0.116 * DEFAULTS["running_factor"], 0.3, 0.0, table), volts, 0.0, 0.0, 0.0, DENSITY)
    assert (plain.omega / RPM / rpm > 1.08).all() and (plain.motor_current / amps > 1.10).all() and (plain.thrust / newton > 1.08).all()
    assert usual.omega / RPM == pytest.approx(rpm, rel=0.02)
    assert usual.motor_current == pytest.approx(amps, rel=0.08) and usual.thrust == pytest.approx(newton, rel=0.08)


@pytest.mark.published
def test_prediction_after_one_reading():
    # motor_propeller_testing (MIT): from the reading at the lower voltage predict the one at 1.2 to 1.5 times the volts, same propeller.
    # Stated rms 2.5 % rpm, 3.6 % current, 4.8 % thrust over 62 cases of all sets; tolerance twice that, over this set's 44 cases
    bench = tables.read("motor/bench_points").columns
    rows = np.flatnonzero(np.array(bench["set"]) == "motor_propeller_testing")
    errors, charts = [], {}
    for first, second in zip(rows[::2], rows[1::2]):
        low, high = sorted((first, second), key=lambda i: bench["voltage"][i])
        if not 1.2 <= bench["voltage"][high] / bench["voltage"][low] <= 1.5:
            continue
        shape = tuple(round(float(v), 3) for v in (bench["diameter"][low] / INCH, bench["pitch"][low] / INCH, bench["blades"][low]))
        if shape not in charts:
            charts[shape] = propeller(*shape)
        chart = charts[shape]
        kv, idle = bench["kv"][low] * DEFAULTS["kv_share"], 0.5
        ohms = motor.running_resistance(bench["voltage"][low], bench["current"][low], bench["speed"][low], kv)
        air = loads(chart, bench["speed"][low] / (2 * np.pi), 0.0, DENSITY)
        side = Side(kv, ohms, idle, 0.0, chart, thrust_factor=bench["thrust"][low] / air.thrust,
                    torque_factor=(bench["current"][low] - idle) / kv / air.torque)
        again = solve_side(side, bench["voltage"][low], 0.0, 0.0, 0.0, DENSITY)
        assert float(again.omega) == pytest.approx(bench["speed"][low], rel=1e-9)        # the reading itself comes back
        drive = solve_side(side, bench["voltage"][high], 0.0, 0.0, 0.0, DENSITY)
        errors.append([float(f) / bench[k][high] - 1 for f, k in ((drive.omega, "speed"), (drive.motor_current, "current"), (drive.thrust, "thrust"))])
    rms = np.sqrt(np.mean(np.square(errors), axis=0))
    assert len(errors) >= 40
    assert (rms < 2 * np.array([0.025, 0.036, 0.048])).all()


# The readings are published; the limits were set after the errors had been seen, so this guards against change only.
@pytest.mark.pinned
def test_part_throttle_bench():
    # esc_test (MIT): logged duty 40 to 100 %, 7x5.6 three-blade, after the reading at duty 0.7. Running resistance is known to grow by
    # 0.03 to 0.06 ohm per 10 000 rpm: without it full throttle is 5.9 % off in speed and 16 % in current, with the middle of that band 3.1 and 10.3 %
    bench = tables.read("motor/bench_points").columns
    rows = np.flatnonzero((np.array(bench["set"]) == "esc_test") & (bench["duty"] >= 0.4))
    chart, kv, idle = propeller(7, 5.6, 3), 1600 * RPM, 0.7
    mid = rows[np.argmin(abs(bench["duty"][rows] - 0.7))]
    motor_amps = bench["current"][mid] / bench["duty"][mid]
    ohms = motor.running_resistance(bench["duty"][mid] * bench["voltage"][mid], motor_amps, bench["speed"][mid], kv)
    torque = (motor_amps - idle) / kv / loads(chart, bench["speed"][mid] / (2 * np.pi), 0.0, DENSITY).torque
    growth = 0.5 * (DEFAULTS["resistance_growth_low"] + DEFAULTS["resistance_growth_high"])
    for slope, speed_off, current_off in ((0.0, 0.06, 0.20), (growth, 0.035, 0.11)):
        side = Side(kv, ohms - slope * bench["speed"][mid], idle, 0.0, chart, duty=bench["duty"][rows], resistance_growth=slope, torque_factor=torque)
        drive = solve_side(side, bench["voltage"][rows], 0.0, 0.0, 0.0, DENSITY)
        assert drive.omega == pytest.approx(bench["speed"][rows], rel=speed_off)
        assert drive.pack_current == pytest.approx(bench["current"][rows], rel=current_off)


# ---- two sides ------------------------------------------------------------------------------------------------------------------------

def whole_system(left, right, emf, ohms, regulator, airspeed):
    """Residuals of both shafts and the bus, for a general-purpose root search."""
    def residual(x):
        volts, drawn, out = x[2], regulator, []
        for side, omega in ((left, x[0]), (right, x[1])):
            air = loads(side.propeller, omega / (2 * np.pi), airspeed, DENSITY)
            amps = side.kv * side.torque_factor * float(air.torque) + side.base + side.slope * omega
            out.append(side.duty * volts - amps * (side.series_resistance + side.resistance + side.resistance_growth * omega) - omega / side.kv)
            drawn += side.duty * amps + side.idle_current
        return [*out, emf - ohms * drawn - volts]
    return residual


@pytest.mark.identity
def test_shared_pack_against_a_general_root_search():
    rng = np.random.default_rng(21)
    size = 60
    left, right = random_side(rng, size), random_side(rng, size, EIGHT)
    emf, ohms, airspeed = rng.uniform(9, 16, size), rng.uniform(0.005, 0.06, size), rng.uniform(0, 8, size)
    both = solve_shared_pack(left, right, emf, ohms, 0.3, airspeed, DENSITY)
    compared = 0
    for i in np.flatnonzero((both.left.status == 0) & (both.right.status == 0)):
        one, two = at(left, i), at(right, i)
        found = root(whole_system(one, two, emf[i], ohms[i], 0.3, airspeed[i]), [0.8 * one.kv * one.duty * emf[i], 0.8 * two.kv * two.duty * emf[i],
                                                                                   0.95 * emf[i]], tol=1e-13)
        if np.abs(found.fun).max() > 1e-8:          # the general search itself failed
            continue
        assert [both.left.omega[i], both.right.omega[i], both.pack_voltage[i]] == pytest.approx(list(found.x), rel=1e-8)
        compared += 1
    assert compared > 40


@pytest.mark.identity
@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_shared_pack_keeps_charge_and_energy(seed):
    rng = np.random.default_rng(seed)
    size = 150
    left, right = random_side(rng, size, duty=rng.uniform(0, 1, size)), random_side(rng, size, EIGHT, duty=rng.uniform(0, 1, size))
    emf, ohms = rng.uniform(7, 20, size), rng.uniform(0, 0.08, size)
    both = solve_shared_pack(left, right, emf, ohms, 0.5, rng.uniform(0, 20, size), DENSITY)
    fine = (both.left.status < Status.OVERRUN) & (both.right.status < Status.OVERRUN)
    assert fine.sum() > size / 2
    assert np.abs(emf - ohms * both.pack_current - both.pack_voltage)[fine].max() < 1e-9
    assert np.abs(both.left.pack_current + both.right.pack_current + 0.5 - both.pack_current)[fine].max() < 1e-12
    out = both.pack_heat + 0.5 * both.pack_voltage + sum(d.shaft_power + d.motor_heat + d.controller_heat for d in (both.left, both.right))
    assert np.abs(emf * both.pack_current - out)[fine].max() < 1e-9 * np.abs(emf * both.pack_current)[fine].max()
    for side, drive in ((left, both.left), (right, both.right)):
        solved = fine & (drive.status == Status.SOLVED)
        balance = side.duty * both.pack_voltage - drive.motor_current * side.series_resistance - drive.motor_voltage
        assert np.abs(balance / emf)[solved].max() < 1e-9


@pytest.mark.identity
def test_stopping_one_motor_raises_the_others_voltage_and_thrust():
    side = Side(105.0, 0.09, 0.7, 1e-4, NINE, series_resistance=0.01)
    running = solve_shared_pack(side, side, 11.4, 0.03, 0.3, 14.0, DENSITY)
    stopped = solve_shared_pack(side, replace(side, duty=0.0), 11.4, 0.03, 0.3, 14.0, DENSITY)
    missing = solve_shared_pack(side, None, 11.4, 0.03, 0.3, 14.0, DENSITY)
    assert stopped.pack_voltage > running.pack_voltage + 0.2
    assert stopped.left.thrust > 1.03 * running.left.thrust and stopped.left.motor_current > running.left.motor_current
    assert missing.right is None and float(missing.left.thrust) == pytest.approx(float(stopped.left.thrust), rel=1e-10)
    assert stopped.right.motor_current == 0.0 and stopped.right.status == Status.WINDMILLING and stopped.right.thrust < 0.0
    still = solve_shared_pack(side, replace(side, duty=0.0), 11.4, 0.03, 0.3, 0.0, DENSITY)
    assert still.right.status == Status.STANDING and still.right.thrust == 0.0
    swapped = solve_shared_pack(None, side, 11.4, 0.03, 0.3, 14.0, DENSITY)
    assert swapped.left is None and float(swapped.right.thrust) == float(missing.left.thrust)


@pytest.mark.identity
def test_shared_pack_limits():
    side = Side(np.array([95.0, 105.0]), 0.09, 0.7, 1e-4, NINE, duty=np.array([1.0, 0.6]), series_resistance=0.01, idle_current=0.05)
    # no common resistance: two sides that know nothing of each other
    apart, common = solve_side(side, 11.4, 0.0, 0.0, 5.0, DENSITY), solve_shared_pack(side, replace(side, kv=80.0), 11.4, 0.0, 0.4, 5.0, DENSITY)
    assert common.left.thrust == pytest.approx(apart.thrust, rel=1e-9)
    # two alike on one pack: each as if alone on twice the resistance
    alike = solve_shared_pack(side, side, 11.4, 0.03, 0.0, 5.0, DENSITY)
    alone = solve_side(side, 11.4, 0.06, 0.0, 5.0, DENSITY)
    assert alike.left.thrust == pytest.approx(alone.thrust, rel=1e-9) and np.array_equal(alike.left.thrust, alike.right.thrust)
    # one side alone: the single solver
    one = solve_shared_pack(side, None, 11.4, 0.03, 0.4, 5.0, DENSITY)
    assert one.left.omega == pytest.approx(solve_side(side, 11.4, 0.03, 0.4, 5.0, DENSITY).omega, rel=1e-9)


@pytest.mark.identity
def test_what_one_side_lacks_the_common_pack_lacks():
    side = Side(105.0, 0.09, 0.7, 1e-4, NINE)
    both = solve_shared_pack(side, replace(side, kv=np.array([105.0, np.nan])), 11.4, 0.03, 0.3, 0.0, DENSITY)
    assert both.left.status.tolist() == both.right.status.tolist() == [Status.SOLVED, Status.INVALID]
    assert np.isnan(both.pack_voltage).tolist() == [False, True] and np.isnan(both.left.thrust).tolist() == [False, True]
    with pytest.raises(ValueError, match="solve_shared_pack needs at least one side: left and right are both None"):
        solve_shared_pack(None, None, 11.4, 0.03, 0.3, 0.0, DENSITY)


@pytest.mark.identity
def test_a_flat_battery_with_a_hungry_regulator_is_flagged():
    side = Side(105.0, 0.09, 0.7, 1e-4, NINE)
    hungry = np.array([0.2, 5.9, 7.0])
    expected = [Status.SOLVED, Status.NOT_ENOUGH_VOLTS, Status.PACK_COLLAPSED]
    drive, both = solve_side(side, 3.0, 0.5, hungry, 0.0, DENSITY), solve_shared_pack(side, side, 3.0, 0.5, hungry, 0.0, DENSITY)
    assert drive.status.tolist() == both.left.status.tolist() == both.right.status.tolist() == expected
    for values in (drive.pack_voltage, drive.thrust, both.pack_voltage, both.pack_current, both.left.pack_voltage):
        assert np.isnan(values).tolist() == [False, False, True]


@pytest.mark.identity
def test_extreme_inputs_always_settle():
    rng = np.random.default_rng(4)
    size = 20000

    def spread(low, high):
        return np.exp(rng.uniform(np.log(low), np.log(high), size))

    def wild(table):
        return Side(spread(20, 400), spread(0.002, 1), rng.choice([0, 0.3, 2], size), rng.choice([0, 1e-3], size), table,
                    duty=rng.choice([0, 0.001, 0.1, 1.0], size), series_resistance=rng.choice([0, 0.01], size),
                    resistance_growth=rng.choice([0, 1e-4], size), torque_factor=rng.choice([0.5, 2.0], size))

    left, right, emf, ohms = wild(NINE), wild(propeller(5, 3, 3)), spread(0.5, 50), rng.choice([0, 0.01, 0.5], size)
    airspeed, regulator = rng.choice([0, 5, 20, 60], size) * rng.uniform(0, 1, size), rng.choice([0, 10.0], size)
    both = solve_shared_pack(left, right, emf, ohms, regulator, airspeed, DENSITY)
    fine = (both.left.status < Status.OVERRUN) & (both.right.status < Status.OVERRUN)
    assert not ({Status.UNSETTLED, Status.INVALID} & set(both.left.status)) and fine.sum() > size / 3
    assert (np.abs(emf - ohms * both.pack_current - both.pack_voltage) / emf)[fine].max() < 1e-9
    drive = solve_side(left, emf, ohms, regulator, airspeed, DENSITY)
    solved = drive.status == Status.SOLVED
    assert Status.UNSETTLED not in drive.status
    assert np.abs(voltage_balance(left, drive.omega, emf, ohms, regulator, airspeed, DENSITY) / emf)[solved].max() < 1e-9


@pytest.mark.identity
def test_windmilling_speed_against_a_root_search():
    side = Side(105.0, 0.09, 0.7, 1e-4, NINE, duty=0.0)
    airspeed = np.array([14.0, 16.0, 18.0])
    drive = solve_side(side, 11.4, 0.03, 0.0, airspeed, DENSITY)
    assert (drive.status == Status.WINDMILLING).all()
    for speed, omega in zip(airspeed, drive.omega):
        def left_over(w, speed=speed):
            return 105.0 * float(loads(NINE, w / (2 * np.pi), speed, DENSITY).torque) + 0.7 + 1e-4 * w
        highest = 2 * np.pi * speed / (NINE.diameter * NINE.driven_advance_ratio)
        assert omega == pytest.approx(brentq(left_over, 1.0, highest, xtol=1e-10), rel=1e-8)
    assert (coefficients(NINE, drive.n, airspeed / drive.n / NINE.diameter, DENSITY).cp < 0).all()
