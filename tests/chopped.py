"""Circuits for tests of chopped currents behind leads: random ones over the whole range of use, and the cut of one by steps of a matrix exponential."""

import numpy as np
from scipy.linalg import expm


def random_cases(count, seed):
    """Circuits over the whole range of use, damped and ringing, one per row."""
    rng = np.random.default_rng(seed)

    def spread(low, high):
        return np.exp(rng.uniform(np.log(low), np.log(high), count))

    return np.column_stack([rng.uniform(7, 26, count), spread(0.008, 0.15), spread(60e-9, 2.5e-6),
                            spread(100e-6, 2200e-6), spread(0.004, 0.06), rng.uniform(3, 60, count),
                            rng.uniform(0.05, 0.95, count), rng.choice([8e3, 16e3, 24e3, 48e3], count)])


def cuts_by_exponentials(v, r, ind, cap, esr, i, d, f, instants=401, looks=6000):
    """Highest volts after a cut at each of many instants of the settled on stretch, by scipy's matrix exponential in steps."""
    a = np.array([[-(r + esr) / ind, -1 / ind], [1 / cap, 0]])
    on, off, away = expm(a * d / f), expm(a * (1 - d) / f), np.array([i, -r * i])
    # x after the on stretch, measured from the resting point without load: x = on (off x - away) + away
    x = off @ np.linalg.solve(np.eye(2) - on @ off, away - on @ away) - away
    within, states = expm(a * d / f / (instants - 1)), []
    for _ in range(instants):
        states.append(x + away)
        x = within @ x
    step, row, rows = expm(a * 8 / np.abs(np.linalg.eigvals(a)).min() / looks), np.array([esr, 1.0]), []
    for _ in range(looks):
        rows.append(row)
        row = row @ step
    return np.maximum((np.array(rows) @ np.array(states).T).max(axis=0), 0.0) + v
