"""Receiver supply: data-sheet cases, a bracketing solver and a circuit simulator as independent routes."""

import re
import shutil
import subprocess

import numpy as np
import pytest
from scipy.optimize import brentq

from twinkit import tables
from twinkit.physics import regulator


@pytest.mark.published
@pytest.mark.parametrize("volts, amps", [(8.4, 0.4167), (12.6, 0.1864), (16.8, 0.1201)])
def test_allowed_current_of_a_data_sheet_package(volts, amps):
    # LM2940 data sheet SNVS769H p. 9: TO-220 in still air 60 K/W; chip limit 125 degC, air 40 degC; four digits.
    theta = tables.read("regulator/thermal").row("package", "TO-220")["thermal_resistance"]
    assert theta == 60
    allowed = regulator.linear_allowed_current(volts, 5.0, theta, 313.15, 398.15)
    assert allowed == pytest.approx(amps, rel=4.5e-4)
    heat = regulator.linear_heat(volts, 5.0, allowed)
    assert regulator.junction_temperature(313.15, heat, theta) == pytest.approx(398.15, rel=1e-12)


@pytest.mark.published
def test_offset_over_ballast():
    # Data sheet SBVS395: 200 uV of offset over 2 mohm of ballast is an imbalance of 100 mA.
    bus = regulator.shared_bus(3.3002, 0.002, np.inf, 3.3, 0.002, np.inf, 1.0)
    assert bus.current_1 - bus.current_2 == pytest.approx(0.100, rel=1e-6)


@pytest.mark.published
def test_flat_two_cell_pack_under_a_classic_regulator():
    # LM340 data sheet: dropout 2 V at 1 A; with 6.0 V of input 4.0 V are left before load regulation.
    row = tables.read("regulator/dropout").row("kind", "classic three-terminal linear")
    left = regulator.regulated_voltage(6.0, 5.0, row["dropout_typical"], 0.0, 1.0)
    assert left.voltage == pytest.approx(4.0, rel=1e-9)
    assert left.headroom == pytest.approx(-1.0, rel=1e-9)
    # 0.3 % per ampere of 5 V.
    full = regulator.regulated_voltage(12.6, 5.0, row["dropout_typical"], row["load_regulation"], 1.0)
    assert full.voltage == pytest.approx(5.0 - 0.003 * 5.0, rel=1e-9)


@pytest.mark.identity
def test_linear_power_balance():
    # 12.6 V 0.5 A and 16.8 V 1 A: exact algebra; efficiency of a linear regulator is V_out / V_in.
    np.testing.assert_allclose(regulator.linear_heat([12.6, 16.8], 5.0, [0.5, 1.0]), [3.8, 11.8], rtol=1e-12)
    for volts, share in ((12.6, 0.397), (16.8, 0.298)):
        delivered = 5.0 * 0.5
        heat = regulator.linear_heat(volts, 5.0, 0.5)
        assert delivered / (delivered + heat) == pytest.approx(share, rel=2e-3)
    assert np.isnan(regulator.linear_heat(4.0, 5.0, 1.0))
    assert regulator.linear_allowed_current(12.6, 5.0, 60.0, 400.0, 398.15) == 0
    assert np.isnan(regulator.linear_allowed_current(5.0, 5.0, 60.0, 313.15, 398.15))


@pytest.mark.identity
def test_servo_counts_of_the_default_regulator():
    # 35 K/W, 40 degC, limit 125 degC: 0.714, 0.320, 0.206 A by exact algebra.
    allowed = regulator.linear_allowed_current([8.4, 12.6, 16.8], 5.0, 35.0, 313.15, 398.15)
    np.testing.assert_allclose(allowed, [0.714, 0.320, 0.206], rtol=2e-3)
    np.testing.assert_array_equal(regulator.servo_count(allowed).count, [6, 2, 1])
    assert regulator.servo_count(0.35, 0.05, 0.10).count == 3
    short = regulator.servo_count(0.01)
    assert (short.count, short.spare) == (0, pytest.approx(-0.04, rel=1e-9))


@pytest.mark.identity
def test_switching_power_balance():
    drawn = regulator.switching_input_current(12.6, 5.0, 1.0, 0.85)
    heat = regulator.switching_heat(5.0, 1.0, 0.85)
    assert (float(drawn), float(heat)) == pytest.approx((0.4669, 0.882), rel=5e-4)
    assert 12.6 * drawn == pytest.approx(5.0 + heat, rel=1e-12)
    assert np.isnan(regulator.switching_heat(5.0, 1.0, 1.2))


@pytest.mark.identity
def test_worked_sharing():
    # Exact algebra of the node equation.
    near = regulator.shared_bus(5.02, 0.035, np.inf, 5.0, 0.035, np.inf, 1.0)
    assert (near.current_1, near.current_2, near.voltage) == pytest.approx((0.7857, 0.2143, 4.9925), rel=2e-4)
    far = regulator.shared_bus(5.05, 0.035, np.inf, 4.95, 0.035, np.inf, 1.0)
    assert (far.current_1, far.current_2, far.voltage) == pytest.approx((1.0, 0.0, 5.015), rel=1e-9)
    assert (int(near.status), int(far.status)) == (1, 0)
    onset = regulator.sharing_onset(5.05, 0.035, 4.95)
    assert onset == pytest.approx(2.857, rel=2e-4)
    below, above = (regulator.shared_bus(5.05, 0.035, np.inf, 4.95, 0.035, np.inf, onset * k) for k in (0.999, 1.001))
    assert below.current_2 == 0 < above.current_2
    ballast = regulator.shared_bus(5.05, 0.285, np.inf, 4.95, 0.285, np.inf, 1.0)
    assert (ballast.current_1, ballast.current_2, ballast.voltage) == pytest.approx((0.6754, 0.3246, 4.8575), rel=2e-4)
    assert np.isnan(regulator.sharing_onset(4.9, 0.035, 5.0))


@pytest.mark.identity
def test_sharing_against_a_bracketing_solver():
    rng = np.random.default_rng(4)
    size = 300
    v1, v2 = rng.uniform(4.6, 6.1, (2, size))
    v2 = np.where(rng.random(size) < 0.5, v1 + rng.uniform(-0.1, 0.1, size), v2)
    r1, r2 = rng.uniform(0.01, 0.4, (2, size))
    m1, m2 = rng.uniform(0.0, 4.0, (2, size))
    load = rng.uniform(0, 0.999, size) * (m1 + m2)
    bus = regulator.shared_bus(v1, r1, m1, v2, r2, m2, load)
    np.testing.assert_allclose(bus.current_1 + bus.current_2, load, rtol=1e-7)
    for i in range(size):
        def left_over(volts):
            return (np.clip((v1[i] - volts) / r1[i], 0, m1[i]) + np.clip((v2[i] - volts) / r2[i], 0, m2[i])
                    - load[i])
        if bus.status[i] == 2 or load[i] < 1e-6:
            assert abs(left_over(bus.voltage[i])) < 1e-8
        else:
            found = brentq(left_over, min(v1[i], v2[i]) - 5, max(v1[i], v2[i]) + 1e-9, xtol=1e-13)
            assert bus.voltage[i] == pytest.approx(found, abs=1e-9)
    assert set(bus.status) == {0, 1, 2}


@pytest.mark.identity
def test_sharing_at_the_edges():
    over = regulator.shared_bus(5.0, 0.05, 1.0, 5.0, 0.05, 1.0, [1.9, 2.0, 2.1])
    np.testing.assert_array_equal(over.status, [1, 2, 3])
    assert np.isnan(over.voltage[2]) and over.spare[2] == pytest.approx(-0.1, rel=1e-9)
    capped = regulator.shared_bus(5.02, 0.035, 0.6, 5.0, 0.035, 2.0, 1.0)
    assert (capped.current_1, capped.current_2, capped.voltage) == pytest.approx((0.6, 0.4, 5.0 - 0.4 * 0.035), rel=1e-9)
    idle = regulator.shared_bus(5.0, 0.05, 1.0, 5.1, 0.05, 1.0, 0.0)
    assert (idle.voltage, idle.current_1, idle.current_2) == pytest.approx((5.1, 0.0, 0.0), abs=1e-12)
    assert np.isnan(regulator.shared_bus(5.0, 0.0, 1.0, 5.1, 0.05, 1.0, 0.5).voltage)
    # A diode takes its drop from both alike and leaves the shares.
    args = 5.02, 0.035, 3.0, 5.0, 0.035, 3.0, 1.0
    plain, diode = regulator.shared_bus(*args), regulator.diode_or(*args, 0.4)
    assert plain.voltage - diode.voltage == pytest.approx(0.4, rel=1e-9)
    assert diode.current_1 == pytest.approx(plain.current_1, rel=1e-9)


SIMULATED = [  # volts, resistances, load of two sources on one bus, and a drop in each diode
    (5.02, 5.00, 0.035, 0.035, 1.0, 0.0), (5.05, 4.95, 0.035, 0.035, 1.0, 0.0),       # worked cases D3 and D4
    (5.05, 4.95, 0.285, 0.285, 1.0, 0.0),                                             # D4 with a ballast of 0.25 ohm each
    (5.05, 4.95, 0.035, 0.035, 2.85, 0.0), (5.05, 4.95, 0.035, 0.035, 2.90, 0.0),     # D4 on both sides of the onset of sharing, 2.857 A
    (5.00, 5.08, 0.12, 0.30, 1.8, 0.0), (5.02, 5.00, 0.035, 0.060, 1.0, 0.4), (5.10, 4.90, 0.200, 0.060, 2.0, 0.4),
]


@pytest.mark.identity
@pytest.mark.skipif(shutil.which("ngspice") is None, reason="the circuit simulator ngspice is not installed")
@pytest.mark.parametrize("v1, v2, r1, r2, load, drop", SIMULATED)
def test_sharing_against_a_circuit_simulator(tmp_path, v1, v2, r1, r2, load, drop):
    deck = f"""two sources through nearly ideal diodes, each with a fixed drop of its own
V1 a 0 {v1}
R1 a b {r1}
D1 b e dm
Vd1 e out {drop}
V2 c 0 {v2}
R2 c d {r2}
D2 d f dm
Vd2 f out {drop}
I1 out 0 {load}
.model dm D(is=1e-12 n=0.001)
.control
op
print v(out) i(V1) i(V2)
quit
.endc
.end
"""
    path = tmp_path / "share.cir"
    path.write_text(deck)
    text = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=60).stdout
    out, one, two = (float(re.search(rf"^{name} = (\S+)", text, re.M).group(1))
                     for name in (r"v\(out\)", r"i\(v1\)", r"i\(v2\)"))
    bus = regulator.diode_or(v1, r1, np.inf, v2, r2, np.inf, load, drop)
    # A near-ideal diode drops n Vt ln(I/Is), under 1 mV; the two of them are unlike by n Vt ln(I1/I2), which over both resistances moves that much current.
    unlike = 0.001 * 0.02585 * abs(np.log(one / two)) if min(-one, -two) > 1e-6 else 0.0
    assert bus.voltage == pytest.approx(out, abs=1e-3)
    assert (bus.current_1, bus.current_2) == pytest.approx((-one, -two), abs=1.05 * unlike / (r1 + r2) + 1e-6)


@pytest.mark.identity
def test_receiver_volts_when_servos_stall():
    bus = regulator.receiver_voltage(5.0, 3.0, 0.1, 0.05, 0.4, [1.6, 2.6])
    assert bus.voltage[0] == pytest.approx(5.0 - 0.1 * 2.05, rel=1e-12)
    assert np.isnan(bus.voltage[1]) and bus.spare[1] == pytest.approx(-0.05, rel=1e-9)
    assert regulator.regulated_voltage(1.0, 5.0, 2.0, 0.0, 1.0).voltage == 0
