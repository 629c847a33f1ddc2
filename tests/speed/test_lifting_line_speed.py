"""Ten thousand wings in one call against one linear solve for each wing."""

import time

import numpy as np
import pytest

from twinkit.physics import lifting_line

WINGS = 10_000
SAMPLE = 500


def wings(count):
    rng = np.random.default_rng(0)
    return dict(span=rng.uniform(0.9, 1.3, count), root_chord=0.22, break_chord=0.2, tip_chord=rng.uniform(0.1, 0.2, count),
                break_fraction=0.5, section_slope=5.7, root_angle=0.1, break_washout=0.0, tip_washout=rng.uniform(0.0, 0.05, count),
                terms=40, collocation="interior")


def one_by_one(told, count):
    theta = lifting_line.collocation_angles(40, "interior")
    order = np.arange(1, 81, 2)
    slopes = np.empty(count)
    for i in range(count):
        chord = np.interp(np.cos(theta), [0.0, 0.5, 1.0], [0.22, 0.2, told["tip_chord"][i]])
        mu = 5.7 * chord / (4.0 * told["span"][i])
        matrix = np.sin(np.outer(theta, order)) * (np.outer(mu, order) + np.sin(theta)[:, None])
        slopes[i] = np.linalg.solve(matrix, mu * np.sin(theta))[0] * np.pi * told["span"][i] / (
            0.25 * (0.22 + 0.2) + 0.25 * (0.2 + told["tip_chord"][i]))
    return slopes


@pytest.mark.speed
@pytest.mark.identity
def test_ten_thousand_wings_within_a_second():
    told = wings(WINGS)
    lifting_line.lifting_line(**wings(300))
    runs = []
    for _ in range(3):
        start = time.perf_counter()
        found = lifting_line.lifting_line(**told)
        runs.append(time.perf_counter() - start)
    start = time.perf_counter()
    slopes = one_by_one(told, SAMPLE)
    single = (time.perf_counter() - start) * WINGS / SAMPLE
    print(f"\n{WINGS} wings of 40 terms: {min(runs):.2f} s; one by one {single:.2f} s")
    assert found.lift_slope[:SAMPLE] == pytest.approx(slopes, rel=1e-10)
    assert min(runs) <= 1.0
    assert min(runs) < single
