"""Circuits for tests of chopped currents behind leads: random ones over the whole range of use."""

import numpy as np


def random_cases(count, seed):
    """Circuits over the whole range of use, damped and ringing, one per row."""
    rng = np.random.default_rng(seed)

    def spread(low, high):
        return np.exp(rng.uniform(np.log(low), np.log(high), count))

    return np.column_stack([rng.uniform(7, 26, count), spread(0.008, 0.15), spread(60e-9, 2.5e-6),
                            spread(100e-6, 2200e-6), spread(0.004, 0.06), rng.uniform(3, 60, count),
                            rng.uniform(0.05, 0.95, count), rng.choice([8e3, 16e3, 24e3, 48e3], count)])
