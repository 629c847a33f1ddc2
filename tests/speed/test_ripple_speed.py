"""How long the ripple sweep and the highest volts of page 03 take, side by side with one case integrated in time and with a loop of matrix exponentials.

Run with `-m speed -s` to read the figures.
"""

import time

import numpy as np
import pytest
from chopped import cuts_by_exponentials
from scipy.integrate import solve_ivp
from scipy.linalg import expm

from builds import build
from twinkit.physics import lead_ripple

LENGTH, FREQUENCY, PIECES = np.linspace(0.05, 1.0, 200), np.linspace(8e3, 48e3, 50), np.arange(20)
RESISTANCE, INDUCTANCE = 0.030 + 0.0166 * LENGTH, 60e-9 + 620e-9 * LENGTH
CAPACITANCE, ESR = 470e-6 + 220e-6 * PIECES, 1 / (1 / 0.025 + PIECES / 0.060)
VOLTS, AMPS, DUTY = 11.4, 15.0, 0.5


def sweep():
    line = VOLTS, RESISTANCE[:, None, None], INDUCTANCE[:, None, None], CAPACITANCE, ESR, AMPS
    lead_ripple.interruption(*line)
    return lead_ripple.ripple(*line, DUTY, FREQUENCY[:, None])


def one_by_exponentials(r, ind, cap, esr, f, looks=64):
    """Periodic state and peak to peak by scipy's matrix exponential, looked at in steps."""
    a = np.array([[-(r + esr) / ind, -1 / ind], [1 / cap, 0]])
    rests = np.array([AMPS, VOLTS - r * AMPS]), np.array([0, VOLTS])
    steps = [expm(a * share / f / looks) for share in (DUTY, 1 - DUTY)]
    on, off = (np.linalg.matrix_power(step, looks) for step in steps)
    x = np.linalg.solve(np.eye(2) - off @ on, off @ (rests[0] - on @ rests[0] - rests[1]) + rests[1])
    volts = []
    for rest, step, load in zip(rests, steps, (AMPS, 0.0)):
        for _ in range(looks + 1):
            volts.append(x[1] + esr * (x[0] - load))
            last, x = x, rest + step @ (x - rest)
        x = last
    return max(volts) - min(volts)


def one_by_integration(r, ind, cap, esr, f):
    """Peak to peak after settling, integrated period by period with steps as long as the solver likes, looked at in the last period only."""
    settle = 8 * max(2 * ind / (r + esr), (r + esr) * cap)
    x, periods = np.array([DUTY * AMPS, VOLTS - DUTY * AMPS * r]), int(np.ceil(settle * f)) + 1
    for period in range(periods):
        volts, looks = [], 64 if period == periods - 1 else 2
        for load, span in ((AMPS, DUTY / f), (0.0, (1 - DUTY) / f)):
            run = solve_ivp(lambda _, y, load=load: ((VOLTS - r * y[0] - y[1] - esr * (y[0] - load)) / ind,
                                                     (y[0] - load) / cap), (0, span), x, rtol=1e-6, atol=1e-6, t_eval=np.linspace(0, span, looks))
            volts.extend(run.y[1] + esr * (run.y[0] - load))
            x = run.y[:, -1]
    return max(volts) - min(volts)


def seconds(call, times):
    best = np.inf
    for _ in range(times):
        start = time.perf_counter()
        result = call()
        best = min(best, time.perf_counter() - start)
    return best, result


@pytest.mark.speed
@pytest.mark.identity
def test_sweep_beside_its_rivals():
    ours, found = seconds(sweep, 5)
    count = found.peak_to_peak.size
    picks = [(a, b, c) for a in (0, 90, 199) for b in (0, 25, 49) for c in (0, 3, 19)]
    cases = [(RESISTANCE[a], INDUCTANCE[a], CAPACITANCE[c], ESR[c], FREQUENCY[b]) for a, b, c in picks]
    loop, swings = seconds(lambda: [one_by_exponentials(*case) for case in cases], 3)
    run, integrated = seconds(lambda: [one_by_integration(*case) for case in cases[:3]], 1)
    np.testing.assert_allclose([found.peak_to_peak[p] for p in picks], swings, rtol=5e-3)
    np.testing.assert_allclose([found.peak_to_peak[p] for p in picks[:3]], integrated, rtol=5e-3)
    each, loop, run = ours / count, loop / len(cases), run / 3
    print(f"\nsweep of {count}: {ours:.3f} s ({each * 1e6:.2f} us a case)"
          f"\nloop of scipy.linalg.expm: {loop * 1e6:.0f} us a case, {loop / each:.0f} times as long"
          f"\nscipy solve_ivp: {run * 1e3:.1f} ms a case, {run / each:.0f} times as long")
    assert count == 200_000
    assert ours <= 1.0
    assert loop / each >= 50 and run / each >= 10_000


PEAK_SECONDS = 0.05      # highest volts for twenty numbers of pieces, which page 03 asks for once a side


@pytest.mark.speed
@pytest.mark.identity
def test_the_highest_volts_beside_a_loop_of_exponentials():
    """Net.peak as page 03 asks it, every throttle of the drive with 1 to 20 pieces; the baseline cuts one case at 33 instants and looks 2000 times after each."""
    found = build().lead_losses.inputs
    net, one, count = found.net, found.left, np.arange(1.0, 21.0)
    line = one.plain.resistance + 0.0 * count, one.plain.inductance + 0.0 * count, net.piece * count
    ours, peak = seconds(lambda: net.peak(*line, one.drive), 5)
    capacitance, esr = net._together(line[2])
    picks = [0, 9, 19]
    cases = [[(0.0, line[0][k], line[1][k], capacitance[k], esr[k], i, d, net.frequency) for i, d in zip(one.drive.currents, one.drive.duties)] for k in picks]
    loop, cuts = seconds(lambda: [[cuts_by_exponentials(*case, instants=33, looks=2000).max() for case in row] for row in cases], 1)
    rise = [max(max(row), float(lead_ripple.interruption(0.0, *case[0][1:5], one.drive.motor_current).peak), *(float(lead_ripple.ripple(*c).voltage_max) for c in case)) for row, case in zip(cuts, cases)]
    np.testing.assert_allclose(peak[picks], rise, rtol=5e-3)
    cells = count.size * one.drive.currents.size
    each, loop = ours / cells, loop / (len(picks) * one.drive.currents.size)
    print(f"\nhighest volts of {cells} cases: {1e3 * ours:.1f} ms ({each * 1e6:.0f} us a case); loop of scipy.linalg.expm: {1e3 * loop:.1f} ms a case, {loop / each:.0f} times as long")
    assert ours <= PEAK_SECONDS and loop / each >= 50
