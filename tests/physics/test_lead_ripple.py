"""Lead ripple: exact solution against matrix exponentials, integration in time, a circuit simulator and closed forms."""

import re
import shutil
import subprocess

import numpy as np
import pytest
from chopped import random_cases
from scipy.integrate import quad, solve_ivp
from scipy.linalg import expm

from twinkit.physics import lead_capacitor, lead_ripple

# voltage, resistance, inductance, capacitance, esr, current, duty, frequency
SHORT = 11.4, 0.040, 170e-9, 470e-6, 0.025, 15.0, 0.5, 16e3
LONG = 11.4, 0.046, 390e-9, 470e-6, 0.025, 15.0, 0.5, 16e3
LUMPED = 11.4, 0.046, 390e-9, 1130e-6, 0.013, 15.0, 0.5, 16e3
RESONANT = 14.8, 0.025, 900e-9, 330e-6, 0.015, 20.0, 0.5, 8e3


def by_exponentials(v, r, ind, cap, esr, i, d, f, looks=4000):
    """The same period from scipy's matrix exponential and dense looks: p-p, capacitor rms, battery extremes."""
    a = np.array([[-(r + esr) / ind, -1 / ind], [1 / cap, 0]])
    rests = np.array([i, v - r * i]), np.array([0, v])
    on, off = expm(a * d / f), expm(a * (1 - d) / f)
    start = np.linalg.solve(np.eye(2) - off @ on, off @ (rests[0] - on @ rests[0] - rests[1]) + rests[1])
    volts, amps, squares, state = [], [], 0.0, start
    for rest, load, time in ((rests[0], i, d / f), (rests[1], 0.0, (1 - d) / f)):
        step, x, rows = expm(a * time / looks), state - rest, []
        for _ in range(looks + 1):
            rows.append(x)
            x = step @ x
        rows = np.array(rows) + rest
        state = rows[-1]
        charge = rows[:, 0] - load
        volts.append(rows[:, 1] + esr * charge)
        amps.append(rows[:, 0])
        squares += np.trapezoid(charge**2, dx=time / looks)
    volts, amps = np.concatenate(volts), np.concatenate(amps)
    return volts.max(), volts.min(), np.sqrt(squares * f), amps.max(), amps.min()


@pytest.mark.identity
@pytest.mark.parametrize("case, high, low, swing, capacitor, battery, top, bottom", [
    # A circuit simulator (ngspice, gear, 2000 steps per period, 20 ns edges), settled over 128 periods.
    (SHORT, 11.3203, 10.8797, 0.4407, 5.374, 8.277, 12.647, 2.353),
    (LONG, 11.3176, 10.7924, 0.5252, 6.421, 8.100, 12.309, 2.691),
    (LUMPED, 11.2115, 10.8985, 0.3130, 6.944, 7.672, 10.182, 4.818),
    (RESONANT, 15.4888, 13.6112, 1.8777, 11.849, 16.483, 27.73, -7.73)])
def test_simulated_cases(case, high, low, swing, capacitor, battery, top, bottom):
    found = lead_ripple.ripple(*case)
    assert (found.voltage_max, found.voltage_min) == pytest.approx((high, low), rel=2e-5)
    assert (found.peak_to_peak, found.capacitor_rms, found.battery_rms) == pytest.approx((swing, capacitor, battery), rel=3e-4)
    assert (found.battery_max, found.battery_min) == pytest.approx((top, bottom), rel=3e-4)


@pytest.mark.identity
def test_longer_leads_heat_the_capacitor():
    # 300 mm more: 0.722 W -> 1.031 W in the capacitor's resistance, +43 % (simulated).
    short, long = (float(lead_ripple.ripple(*case).capacitor_heat) for case in (SHORT, LONG))
    assert (short, long) == pytest.approx((0.722, 1.031), rel=1e-3)
    fast = lead_ripple.ripple(*LONG[:-1], 48e3)
    high, low, rms, *_ = by_exponentials(*LONG[:-1], 48e3)
    assert (fast.peak_to_peak, fast.capacitor_rms) == pytest.approx((high - low, rms), rel=1e-5)
    assert (fast.peak_to_peak, fast.capacitor_rms) == pytest.approx((0.4195, 7.261), rel=2e-4)


@pytest.mark.identity
def test_against_matrix_exponentials():
    cases = random_cases(40, 1)
    found = lead_ripple.ripple(*cases.T)
    for n, case in enumerate(cases):
        high, low, rms, top, bottom = by_exponentials(*case)
        # Four thousand looks miss a turning point by parts in a million of the swing.
        swing, span = high - low, top - bottom
        assert (found.voltage_max[n], found.voltage_min[n]) == pytest.approx((high, low), abs=2e-5 * swing)
        assert (found.battery_max[n], found.battery_min[n]) == pytest.approx((top, bottom), abs=2e-5 * span)
        assert found.voltage_max[n] >= high - 1e-9 and found.voltage_min[n] <= low + 1e-9
        assert found.capacitor_rms[n] == pytest.approx(rms, rel=1e-5)


@pytest.mark.identity
def test_against_integration_in_time():
    for case in random_cases(6, 2):
        v, r, ind, cap, esr, i, d, f = case
        settle = 12 * max(2 * ind / (r + esr), (r + esr) * cap)
        periods = int(np.ceil(settle * f))
        state, volts, squares = np.array([d * i, v - d * i * r, 0.0]), [], 0.0
        for period in range(periods + 1):
            for load, time in ((i, d / f), (0.0, (1 - d) / f)):
                def flow(_, x, load=load):
                    charge = x[0] - load
                    return (v - r * x[0] - x[1] - esr * charge) / ind, charge / cap, charge**2
                run = solve_ivp(flow, (0, time), state, method="RK45", rtol=1e-8, atol=1e-9,
                                t_eval=np.linspace(0, time, 400) if period == periods else None)
                if period == periods:
                    volts.append(run.y[1] + esr * (run.y[0] - load))
                    squares += run.y[2, -1] - state[2]
                state = run.y[:, -1]
        found = lead_ripple.ripple(*case)
        # Twelve time constants leave 6e-6 of the start; 400 looks per stretch miss up to 1e-4 of the swing.
        assert found.peak_to_peak == pytest.approx(np.ptp(np.concatenate(volts)), rel=3e-4)
        assert found.capacitor_rms == pytest.approx(np.sqrt(squares * f), rel=1e-4)


def simulate(path, v, r, ind, cap, esr, i, d, f):
    """Run one circuit in ngspice until it repeats; p-p, capacitor rms and battery rms of the last two periods."""
    period = 1 / f
    alpha, natural = (r + esr) / (2 * ind), 1 / (ind * cap)
    slowest = alpha - np.sqrt(alpha**2 - natural) if alpha**2 > natural else alpha
    periods = int(np.ceil(9 / slowest * f)) + 4
    end, begin, edge = periods * period, (periods - 2) * period, min(2e-8, ind / (r + esr) / 500)
    path.write_text(f"""chopped current behind leads
Vbat b 0 {v}
Rs b n1 {r}
L1 n1 in {ind} ic={d * i}
C1 in c1 {cap} ic={v - d * i * r}
Resr c1 0 {esr}
Iload in 0 PULSE(0 {i} 0 {edge} {edge} {d * period - edge} {period})
.options reltol=1e-5 method=gear
.tran {period / 1000} {end} {begin - period} {period / 1000} uic
.control
run
let vr = v(c1)
meas tran vmax MAX v(in) from={begin} to={end}
meas tran vmin MIN v(in) from={begin} to={end}
meas tran vcap RMS vr from={begin} to={end}
meas tran ibat RMS i(L1) from={begin} to={end}
quit
.endc
.end
""")
    text = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=120).stdout
    high, low, cap_volts, battery = (float(re.search(rf"^{name}\s*=\s*(\S+)", text, re.M).group(1))
                                     for name in ("vmax", "vmin", "vcap", "ibat"))
    return high - low, cap_volts / esr, battery


@pytest.mark.identity
@pytest.mark.skipif(shutil.which("ngspice") is None, reason="the circuit simulator ngspice is not installed")
def test_against_a_circuit_simulator(tmp_path):
    cases = random_cases(40, 3)
    found = lead_ripple.ripple(*cases.T)
    ours = np.column_stack([found.peak_to_peak, found.capacitor_rms, found.battery_rms])
    spice = np.array([simulate(tmp_path / f"{n}.cir", *case) for n, case in enumerate(cases)])
    # Half a per cent: 1000 steps per period, edges of 20 ns or of L/(R + ESR)/500 if that is less.
    np.testing.assert_allclose(ours, spice, rtol=5e-3)


@pytest.mark.identity
def test_balances_over_a_period():
    cases = random_cases(500, 4)
    v, r, ind, cap, esr, i, d, f = cases.T
    found = lead_ripple.ripple(*cases.T)
    # Power: what the battery gives is what the resistances and the motor current take. The mean power at the bridge
    # is v - R i averaged while the current flows, written from charge and energy alone.
    mean = d * i
    np.testing.assert_allclose(found.voltage_mean, v - r * mean, rtol=1e-12)
    # Battery and capacitor split the ripple: the battery holds its mean plus an alternating part.
    assert (found.battery_rms >= mean * (1 - 1e-12)).all()
    assert (found.voltage_max >= found.voltage_mean).all() and (found.voltage_min <= found.voltage_mean).all()
    # Scaling: impedances and times scaled leave the shape as it is.
    scaled = lead_ripple.ripple(v, 3 * r, 3 * ind / 2, cap / 6, 3 * esr, i, d, 2 * f)
    np.testing.assert_allclose(scaled.peak_to_peak, 3 * found.peak_to_peak, rtol=1e-9)
    np.testing.assert_allclose(scaled.capacitor_rms, found.capacitor_rms, rtol=1e-9)
    # Motor current on against motor current off: the mirror image.
    mirror = lead_ripple.ripple(v, r, ind, cap, esr, i, 1 - d, f)
    np.testing.assert_allclose(mirror.peak_to_peak, found.peak_to_peak, rtol=1e-8)
    np.testing.assert_allclose(mirror.capacitor_rms, found.capacitor_rms, rtol=1e-8)


@pytest.mark.identity
def test_fourier_series_gives_the_same_capacitor_current():
    cases = random_cases(60, 5)
    v, r, ind, cap, esr, i, d, f = (x[:, None] for x in cases.T)
    order = np.arange(1, 20001)
    w = 2 * np.pi * f * order
    source, branch = r + 1j * w * ind, esr + 1 / (1j * w * cap)
    wave = 2 * i * np.abs(np.sin(np.pi * order * d)) / (np.pi * order)
    rms = np.sqrt(((wave * np.abs(source / (source + branch))) ** 2).sum(-1) / 2)
    # The harmonics left out carry 1/(pi^2 N) of I^2: up to 4e-4 of the smallest currents here.
    np.testing.assert_allclose(lead_ripple.ripple(*cases.T).capacitor_rms, rms, rtol=5e-4)


@pytest.mark.identity
def test_long_leads_tend_to_the_six_step_formula():
    duty = np.array([0.25, 0.5, 0.7, 0.9])
    found = lead_ripple.ripple(12.0, 0.03, 1e-3, 5e-3, 0.02, 10.0, duty, 16e3).capacitor_rms
    np.testing.assert_allclose(found, lead_ripple.six_step_capacitor_rms(10.0, duty), rtol=2e-3)
    np.testing.assert_allclose(lead_ripple.six_step_capacitor_rms(1.0, duty), [0.4330, 0.5, 0.4583, 0.3], rtol=2e-4)
    assert np.isnan(lead_ripple.six_step_capacitor_rms(1.0, 1.1))


@pytest.mark.identity
def test_no_chopping_no_ripple():
    for duty, volts in ((0.0, 11.4), (1.0, 11.4 - 15 * 0.04)):
        still = lead_ripple.ripple(*SHORT[:6], duty, 16e3)
        assert still.peak_to_peak == pytest.approx(0, abs=1e-9)
        assert still.capacitor_rms == pytest.approx(0, abs=1e-6)
        assert (still.voltage_max, still.battery_rms) == pytest.approx((volts, duty * 15), abs=1e-9)


@pytest.mark.identity
def test_critical_damping_is_no_seam():
    ind, r, esr = 200e-9, 0.04, 0.02
    critical = 4 * ind / (r + esr) ** 2
    near = critical * np.array([1 - 1e-5, 1 - 1e-9, 1.0, 1 + 1e-9, 1 + 1e-5])
    swing = lead_ripple.ripple(11.4, r, ind, near, esr, 15.0, 0.4, 16e3).peak_to_peak
    np.testing.assert_allclose(swing, swing[2], rtol=1e-4)
    high, low, *_ = by_exponentials(11.4, r, ind, critical, esr, 15.0, 0.4, 16e3)
    assert swing[2] == pytest.approx(high - low, rel=1e-6)
    whole = [lead_ripple.ripple(11.4, r, ind, c, esr, 15.0, 0.4, 16e3).peak_to_peak for c in near]
    np.testing.assert_allclose(whole, swing, rtol=1e-12)


@pytest.mark.identity
def test_impossible_circuits_are_flagged():
    found = lead_ripple.ripple(11.4, 0.04, [170e-9, 0.0, 170e-9, 170e-9, 170e-9], [470e-6, 470e-6, -1, 470e-6, 470e-6],
                               0.025, 15.0, [0.5, 0.5, 0.5, 1.2, 0.5], [16e3, 16e3, 16e3, 16e3, 0.0])
    np.testing.assert_array_equal(np.isnan(found.peak_to_peak), [False, True, True, True, True])
    split = lead_capacitor.split_ripple(11.4, 0.046, 390e-9, 470e-6, 0.025, [660e-6, 0.0], 0.02, 15.0, 0.5, 16e3)
    np.testing.assert_array_equal(np.isnan(split.own_rms), [False, True])


@pytest.mark.identity
def test_the_customary_estimate_is_no_bound():
    cases = np.concatenate([random_cases(400, seed) for seed in range(5)])
    _, _, _, cap, esr, i, d, f = cases.T
    share = lead_ripple.ripple(*cases.T).peak_to_peak / (i * esr + i * d * (1 - d) / (f * cap))
    assert 0.15 < (share > 1).mean() < 0.35 and share.max() > 2.5


@pytest.mark.identity
def test_resonance():
    free = lead_ripple.resonance(0.025, 900e-9, 330e-6, 0.015)
    assert (float(free.frequency), float(free.damping)) == pytest.approx((9240, 0.383), rel=1e-3)
    eigen = np.linalg.eigvals([[-0.04 / 900e-9, -1 / 900e-9], [1 / 330e-6, 0]])
    assert 2 * np.pi * free.frequency == pytest.approx(abs(eigen[0]), rel=1e-9)
    assert free.damping == pytest.approx(-eigen[0].real / abs(eigen[0]), rel=1e-9)


@pytest.mark.published
def test_sinusoidal_formula_where_the_paper_puts_its_greatest():
    # Kolar and Round 2006, greatest capacitor current about 0.65 I_N near M = 0.61 at cos phi = 1 (from memory of the paper).
    modulation = np.linspace(0.01, 1, 2000)
    ratio = lead_ripple.sinusoidal_capacitor_rms(1.0, modulation, 1.0)
    assert ratio.max() == pytest.approx(0.65, rel=2e-3)
    assert modulation[ratio.argmax()] == pytest.approx(0.61, rel=1e-2)


@pytest.mark.identity
@pytest.mark.parametrize("modulation, ratio", [(0.3, 0.5588), (0.6, 0.6496), (0.8, 0.6186), (1.0, 0.5033)])
@pytest.mark.parametrize("angle", [0.0, 0.6])
def test_sinusoidal_formula_against_the_switching_states(modulation, ratio, angle):
    # Independent route: dwell times of the eight bridge states over a sixth of a turn, summed without the formula.
    shift = 2 * np.pi / 3 * np.arange(3)

    def bridge(theta):
        duty, amps = 0.5 + modulation / 2 * np.cos(theta - shift), np.sqrt(2) * np.cos(theta - angle - shift)
        order = np.argsort(-duty)
        on = duty[order]
        dwell, sums = on - np.append(on[1:], 0), np.cumsum(amps[order])
        return (dwell * sums).sum(), (dwell * sums**2).sum()

    square = quad(lambda t: bridge(t)[1], 0, np.pi / 3, points=[np.pi / 6], epsabs=1e-12)[0] / (np.pi / 3)
    mean = quad(lambda t: bridge(t)[0], 0, np.pi / 3, epsabs=1e-12)[0] / (np.pi / 3)
    expected = np.sqrt(square - mean**2)
    found = lead_ripple.sinusoidal_capacitor_rms(1.0, modulation, np.cos(angle))
    assert found == pytest.approx(expected, rel=1e-6)
    if angle == 0:
        assert found == pytest.approx(ratio, rel=2e-4)


@pytest.mark.identity
def test_broadcasting_is_the_loop():
    length, frequency, cap = np.array([0.1, 0.3, 0.5])[:, None, None], np.array([8e3, 48e3])[:, None], np.array([220e-6, 2e-3])
    grid = lead_ripple.ripple(11.4, 0.03 + 0.016 * length, 700e-9 * length, cap, 0.012e-3 / cap, 15.0, 0.5, frequency)
    assert grid.peak_to_peak.shape == (3, 2, 2)
    for a in range(3):
        for b in range(2):
            for c in range(2):
                one = lead_ripple.ripple(11.4, 0.03 + 0.016 * length[a, 0, 0], 700e-9 * length[a, 0, 0], cap[c],
                                         0.012e-3 / cap[c], 15.0, 0.5, frequency[b, 0])
                for name, value in vars(one).items():
                    whole = np.broadcast_to(getattr(grid, name), (3, 2, 2))[a, b, c]
                    assert whole == pytest.approx(float(value), rel=1e-9), name
