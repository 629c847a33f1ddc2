"""How long a whole flight takes as one array, and thousands of sampled ones, beside the same flights solved one after the other in the same run.

Processor time is taken: nothing here runs on more than one core, and other work on the machine does not count.
"""

import time

import numpy as np
import pytest

from builds import build
from twinkit.design import flight as flights
from twinkit.design import flight_cases
from twinkit.design.flight_loads import Flights

pytestmark = pytest.mark.speed
MANY, FEW = 2000, 60


def best(run, times=3):
    taken = []
    for _ in range(times):
        start = time.process_time()
        run()
        taken.append(time.process_time() - start)
    return min(taken)


def one_of(many, k):
    """Flight k of many, alone."""
    pick = lambda x: np.atleast_1d(x)[k:k + 1] if np.size(x) > 1 else x  # noqa: E731
    return Flights({n: pick(v) for n, v in many.left.items()}, {n: pick(v) for n, v in many.right.items()}, {n: pick(v) for n, v in many.capacity.items()},
                   drag=pick(many.drag), mass=pick(many.mass), extra=pick(many.extra))


@pytest.mark.identity
@pytest.mark.parametrize("name, changes", [("dunlin", {}), ("siskin", {}), ("dunlin", {"power.packs": "joined"})], ids=["two packs", "one pack", "joined packs"])
def test_sampled_flights_against_a_loop_of_single_ones(name, changes):
    results = build(name, changes)
    parts = (results.weight, results.power, results.wing, results.wiring, results.flight)
    ground = results.ground()
    single = best(lambda: flights.endurance(results.ground(), results.start, results.power, results.wing, results.wiring), 5)
    profile, shares = flight_cases.profile_of(ground), flights.delivered(ground)
    many = flight_cases.draw(results.weight, results.power, results.wing, results.flight, 0.03, MANY)
    solve = lambda these: flight_cases._ends(results.power, results.wing, results.wiring, shares, profile, results.flight, these)["land_by"]  # noqa: E731
    together = best(lambda: flight_cases.drawn(results.ground(), *parts, count=MANY), 2)
    loop = best(lambda: [solve(one_of(many, k)) for k in range(FEW)], 2) * MANY / FEW
    print(f"\n{name}: one flight {single * 1e3:.0f} ms; {MANY} sampled {together:.2f} s, one after the other {loop:.1f} s: {loop / together:.0f} times")
    assert single < 0.05
    assert together < 3.0
    assert loop > 5.0 * together
    assert solve(many)[:FEW] == pytest.approx([float(solve(one_of(many, k))[0]) for k in range(FEW)], rel=1e-9), "a flight among many is the flight alone"
