"""Cutting the current behind leads: exact peak against matrix exponentials, a circuit simulator and the bound."""

import re
import shutil
import subprocess

import numpy as np
import pytest
from chopped import cuts_by_exponentials, random_cases
from scipy.linalg import expm

from twinkit.physics import lead_ripple



@pytest.mark.identity
def test_interruption_simulated():
    # Circuit simulator, 30 A to 0 in 20 ns: 13.4204 V at 14.6 us, 12.377 V after; lossless estimate I sqrt(L/C) 1.567 V.
    cut = lead_ripple.interruption(12.6, 0.020, 600e-9, 220e-6, 0.020, 30.0)
    assert (float(cut.peak) - 12.6, float(cut.trough) - 12.6) == pytest.approx((0.8204, -0.223), rel=2e-3)
    assert cut.peak_time == pytest.approx(14.6e-6, rel=6e-3)
    lossless = lead_ripple.interruption_bound(12.6, 600e-9, 220e-6, 0.0, 30.0) - 12.6
    assert lossless == pytest.approx(1.567, rel=3e-4)
    # Hardly any loss: the energy of the leads goes into the capacitor whole.
    free = lead_ripple.interruption(12.6, 1e-7, 600e-9, 220e-6, 1e-7, 30.0)
    assert free.peak - 12.6 == pytest.approx(lossless, rel=1e-4)


@pytest.mark.identity
def test_interruption_against_matrix_exponentials():
    for v, r, ind, cap, esr, i, *_ in random_cases(25, 6):
        a = np.array([[-(r + esr) / ind, -1 / ind], [1 / cap, 0]])
        slowest = np.abs(np.linalg.eigvals(a)).min()
        step, x, volts = expm(a * 8 / slowest / 6000), np.array([i, -r * i]), []
        for _ in range(6000):
            volts.append(v + esr * x[0] + x[1])
            x = step @ x
        cut = lead_ripple.interruption(v, r, ind, cap, esr, i)
        assert cut.first_step == pytest.approx(volts[0], rel=1e-12)
        # The looks end at eight time constants, where an overdamped case has crept to within 0.04 % of I R.
        assert cut.peak == pytest.approx(max(volts), abs=4e-4 * i * (r + esr))


@pytest.mark.identity
def test_the_bound_is_never_exceeded():
    rng = np.random.default_rng(7)
    r, esr = np.exp(rng.uniform(np.log(1e-3), np.log(0.5), (2, 400)))
    ind, cap = (np.exp(rng.uniform(np.log(a), np.log(b), 400)) for a, b in ((2e-8, 2e-5), (1e-5, 5e-3)))
    i = rng.uniform(1, 80, 400)
    rise = lead_ripple.interruption(12.0, r, ind, cap, esr, i).peak - 12.0
    bound = lead_ripple.interruption_bound(12.0, ind, cap, esr, i) - 12.0
    assert (rise <= bound).all() and (rise >= 0).all()
    assert (rise / bound).max() > 0.85  # and it is not idle


@pytest.mark.identity
def test_the_bound_does_not_hold_out_of_chopping_but_does_with_the_greatest_battery_current():
    cases = random_cases(5000, 11)
    v, r, ind, cap, esr, i, d, f = cases.T
    settled = lead_ripple.ripple(*cases.T)
    rise = lead_ripple.cut_out_of_chopping(*cases.T) - v
    assert (rise > lead_ripple.interruption_bound(0.0, ind, cap, esr, i)).any(), "the steady bound would be enough"
    assert (rise <= lead_ripple.interruption_bound(0.0, ind, cap, esr, np.maximum(settled.battery_max, i))).all()


@pytest.mark.identity
def test_cut_out_of_chopping_against_matrix_exponentials():
    cases = random_cases(25, 12)
    found = lead_ripple.cut_out_of_chopping(*cases.T)
    for n, case in enumerate(cases):
        v, r, _, _, esr, i = case[:6]
        highest = cuts_by_exponentials(*case).max()
        # the looks end at eight time constants and miss a turn by parts in a thousand of I (R + ESR); the instants are found to a thousandth of the rise
        assert found[n] == pytest.approx(highest, abs=4e-4 * i * (r + esr) + 1e-3 * (highest - v))


@pytest.mark.identity
def test_a_cut_within_the_on_stretch_can_be_the_worst():
    """Chopping near half the resonance: a cut at the end of the on stretch rises over a quarter less than one within it."""
    case = (12.6, 0.023, 1.6e-6, 147e-6, 0.006, 30.0, 0.5, 8e3)
    by_instant = cuts_by_exponentials(*case) - 12.6
    assert by_instant[-1] < 0.75 * by_instant.max()
    assert lead_ripple.cut_out_of_chopping(*case) - 12.6 == pytest.approx(by_instant.max(), rel=1e-3)


@pytest.mark.identity
def test_cut_at_full_throttle_is_the_cut_of_a_steady_current():
    v, r, ind, cap, esr, i, _, f = random_cases(200, 13).T
    np.testing.assert_allclose(lead_ripple.cut_out_of_chopping(v, r, ind, cap, esr, i, 1.0, f), lead_ripple.interruption(v, r, ind, cap, esr, i).peak, rtol=1e-12)
    np.testing.assert_allclose(lead_ripple.cut_out_of_chopping(v, r, ind, cap, esr, i, 0.0, f), v, rtol=1e-9, err_msg="what never flowed cannot be cut")


def simulated_cut(path, v, r, ind, cap, esr, i):
    """Peak after a steady current is cut, from ngspice."""
    slowest = np.abs(np.linalg.eigvals([[-(r + esr) / ind, -1 / ind], [1 / cap, 0]])).min()
    quick, end = 1e-3 * min(np.sqrt(ind * cap), ind / (r + esr)), 6 / slowest
    path.write_text(f"""a current cut behind leads
Vbat b 0 {v}
Rs b n1 {r}
L1 n1 in {ind} ic={i}
C1 in c1 {cap} ic={v - i * r}
Resr c1 0 {esr}
Iload in 0 PWL(0 {i} {10 * quick} {i} {11 * quick} 0 {end} 0)
.options reltol=1e-5 method=gear
.tran {end / 20000} {end} 0 {end / 20000} uic
.control
run
meas tran vmax MAX v(in) from={11 * quick} to={end}
quit
.endc
.end
""")
    text = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=120).stdout
    return float(re.search(r"^vmax\s*=\s*(\S+)", text, re.M).group(1))


@pytest.mark.identity
@pytest.mark.skipif(shutil.which("ngspice") is None, reason="the circuit simulator ngspice is not installed")
def test_cut_against_a_circuit_simulator(tmp_path):
    cases = random_cases(12, 14)[:, :6]
    spice = np.array([simulated_cut(tmp_path / f"{n}.cir", *case) for n, case in enumerate(cases)])
    v, i, esr, r = cases[:, 0], cases[:, 5], cases[:, 4], cases[:, 1]
    # Half a per cent of what the cut current can do across the resistances.
    assert (np.abs(lead_ripple.interruption(*cases.T).peak - spice) <= 5e-3 * i * (r + esr)).all()
