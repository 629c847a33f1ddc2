"""Controllers: worked losses, balances, two motors on one, ambiguous cell counts."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from twinkit import tables
from twinkit.physics import controller


@pytest.mark.identity
def test_losses_by_hand():
    # 11.1 V, duty 0.6, 12 A, 2 x 4 milliohm, 200 ns edges, 16 kHz, 0.8 V diode: every figure follows by hand
    assert float(controller.pack_current(0.6, 12.0, 0.0, 0.0)) == pytest.approx(7.2, rel=1e-12)
    assert float(controller.conduction_loss(12.0, 0.004, 0.0)) == pytest.approx(1.152, rel=1e-12)
    assert float(controller.switching_loss(11.1, 12.0, 200e-9, 200e-9, 16000.0)) == pytest.approx(0.426, rel=1e-3)
    assert float(controller.freewheel_loss(12.0, 0.6, 0.8, 0.0)) == pytest.approx(3.84, rel=1e-12)
    assert float(controller.freewheel_loss(12.0, 0.6, 0.8, 0.004)) == pytest.approx(3.61, rel=2e-3)


@pytest.mark.identity
@settings(max_examples=60, deadline=None)
@given(volts=st.floats(6, 26), duty=st.floats(0, 1), amps=st.floats(0, 60), ohms=st.floats(0, 0.02), idle=st.floats(0, 0.1), regulator=st.floats(0, 3))
def test_power_in_is_power_out_and_loss(volts, duty, amps, ohms, idle, regulator):
    taken = volts * controller.pack_current(duty, amps, idle, regulator)
    given_out = controller.motor_voltage(volts, duty, amps, ohms) * amps + controller.conduction_loss(amps, 0.0, ohms) + volts * (idle + regulator)
    assert float(taken) == pytest.approx(float(given_out), rel=1e-12, abs=1e-9)


@pytest.mark.identity
def test_part_throttle_against_a_switched_circuit():
    # independent route: the bridge switched in time into a winding with inductance and back voltage, mean values compared
    volts, duty, ohms, henry, back, period = 11.1, 0.6, 0.1, 40e-6, 5.4, 1 / 24000
    mean = (duty * volts - back) / ohms
    current, taken, carried = mean, 0.0, 0.0
    for _ in range(120):
        taken, carried = 0.0, 0.0
        for on, span in ((1.0, duty * period), (0.0, (1 - duty) * period)):
            run = solve_ivp(lambda t, y: [(on * volts - ohms * y[0] - back) / henry, y[0]], (0, span), [current, 0.0], rtol=1e-9, atol=1e-12)
            current, charge = run.y[0, -1], run.y[1, -1]
            taken, carried = taken + on * charge, carried + charge
    motor_current = carried / period
    assert float(controller.motor_voltage(volts, duty, motor_current, ohms)) == pytest.approx(back, rel=1e-5)
    # the mean pack current exceeds D I_m by the ripple only, well below a per cent here
    assert taken / period == pytest.approx(float(controller.pack_current(duty, motor_current, 0.0, 0.0)), rel=5e-3)


@pytest.mark.identity
def test_two_motors_on_one_controller():
    both = controller.shared_controller(12.0, 12.0, 0.008)
    assert (float(both.current), float(both.loss_ratio)) == (24.0, 4.0)
    assert float(both.loss) == pytest.approx(4 * float(controller.conduction_loss(12.0, 0.004, 0.0)), rel=1e-12)
    one = controller.shared_controller(12.0, 0.0, 0.008)
    assert float(one.loss_ratio) == 1.0
    assert float(controller.circulating_current(10.0, np.radians(10.0), 0.09)) == pytest.approx(9.68, rel=5e-4)
    assert float(controller.circulating_current(10.0, np.radians(20.0), 0.09)) == pytest.approx(19.29, rel=5e-4)
    # phasor route: difference of two equal voltages over both resistances in series
    apart = abs(10.0 - 10.0 * np.exp(1j * np.radians(20.0))) / (2 * 0.09)
    assert float(controller.circulating_current(10.0, np.radians(20.0), 0.09)) == pytest.approx(apart, rel=1e-12)


@pytest.mark.identity
def test_slip_by_hand():
    frequency, time = controller.commutation_slip(10000 * 2 * np.pi / 60, 0.01, 7)
    assert float(frequency) == pytest.approx(11.67, rel=5e-4)
    assert float(time) == pytest.approx(0.0429, rel=2e-3)
    assert float(controller.commutation_slip(1000.0, 0.0, 7)[1]) == np.inf


@pytest.mark.identity
def test_cell_counts():
    # common practice, no source: ranges 6.0-8.4, 9.0-12.6 and 12.0-16.8 V overlap between 12.0 and 12.6 V
    limits = tables.values("motor/controller")
    volts, counts = np.array([7.4, 8.7, 11.1, 12.3, 14.8]), np.array([2, 3, 4])
    found = controller.possible_cell_counts(volts, limits["detect_cell_low"], limits["detect_cell_high"], counts)
    assert found.tolist() == [[True, False, False], [False, False, False], [False, True, False], [False, True, True], [False, False, True]]
    # a four-cell pack below 3.15 V a cell can be taken for three, a three-cell pack below 2.8 V for two
    four = controller.possible_cell_counts(4 * np.array([3.149, 3.151]), limits["detect_cell_low"], limits["detect_cell_high"], counts)
    assert four[:, 1].tolist() == [True, False]
    three = controller.possible_cell_counts(3 * np.array([2.799, 2.801]), limits["detect_cell_low"], limits["detect_cell_high"], counts)
    assert three[:, 0].tolist() == [True, False]


@pytest.mark.identity
def test_worst_heat_is_at_part_throttle():
    # at one motor current, switching and freewheel add to conduction: a controller is hottest at part throttle
    def heat(duty):
        part = (duty < 1.0) * controller.switching_loss(12.6, 20.0, 2e-7, 2e-7, 16000.0)
        return controller.conduction_loss(20.0, 0.004, 0.0) + part + controller.freewheel_loss(20.0, duty, 0.8, 0.004)

    assert float(heat(0.7)) > 1.5 * float(heat(1.0))
