"""How much faster the array solver is than named baselines, measured side by side in one run on the same cases.

The figure of merit is a ratio of cases per second, so it holds on any machine; each side takes its best of several runs.
"""

import math
import os
import subprocess
import sys
import time
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq, root

from twinkit import tables
from twinkit.physics.drivetrain import Side, solve_shared_pack, solve_side, voltage_balance
from twinkit.physics.propeller import SectionModel, Style
from twinkit.physics.propeller_table import loads, propeller_table

pytestmark = pytest.mark.speed
ROOT = Path(__file__).resolve().parents[2]
DENSITY, MANY, FEW = 1.225, 100_000, 150


@pytest.fixture(scope="module")
def cases():
    style = Style.from_columns("electric", tables.read("propeller/styles").columns, tables.read("propeller/chords").columns)
    table = propeller_table(0.2286, 0.1524, 2, style, SectionModel(**tables.values("propeller/section")), DENSITY, 1.81e-5)
    rng = np.random.default_rng(1)

    def between(low, high):
        return rng.uniform(low, high, MANY)

    left, right = (Side(between(90, 130), between(0.05, 0.2), between(0.3, 0.9), between(0, 3e-4), table, duty=between(0.5, 1.0),
                        series_resistance=between(0.005, 0.02), idle_current=0.05) for _ in range(2))
    return left, right, between(10, 12.6), between(0.01, 0.05), between(0, 8)


def single(side, i):
    return replace(side, **{f.name: float(getattr(side, f.name)[i]) for f in fields(side) if np.ndim(getattr(side, f.name))})


def rate(work, count, rounds):
    """Cases per second, best of several runs."""
    best = math.inf
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return count / best


def compare(benchmark, name, fast, slow, wanted):
    quick = rate(fast, MANY, 3)
    plain = rate(slow, FEW, 3)
    benchmark.extra_info.update({"cases_per_s": round(quick), name: round(plain), "ratio": round(quick / plain)})
    benchmark.pedantic(fast, rounds=3, iterations=1)
    print(f"\n{quick:.0f} cases/s against {plain:.0f} ({name}): {quick / plain:.0f} times")
    assert quick / plain >= wanted


def test_one_side_against_a_brentq_loop(benchmark, cases):
    left, _, emf, ohms, airspeed = cases
    few = [(single(left, i), float(emf[i]), float(ohms[i]), float(airspeed[i])) for i in range(FEW)]

    def loop():
        return [brentq(lambda w: float(voltage_balance(s, w, e, r, 0.3, v, DENSITY)), 0.0, s.kv * e, xtol=1e-9, rtol=1e-12) for s, e, r, v in few]

    found = solve_side(left, emf, ohms, 0.3, airspeed, DENSITY)
    assert found.omega[:FEW] == pytest.approx(loop(), rel=1e-8)
    compare(benchmark, "brentq_cases_per_s", lambda: solve_side(left, emf, ohms, 0.3, airspeed, DENSITY), loop, 100)


def test_one_side_against_a_plain_float_loop(benchmark, cases):
    left, _, emf, ohms, airspeed = cases
    table = left.propeller
    few = [(single(left, i), float(emf[i]), float(ohms[i]), float(airspeed[i])) for i in range(FEW)]
    rows, columns = table.cp.shape
    cp = table.cp.tolist()
    step_u, step_j = math.log(table.n_high / table.n_low) / (rows - 1), table.advance_ratio_high / (columns - 1)

    def power_coefficient(n, ratio):
        u = min(max(math.log(n / table.n_low) / step_u, 0.0), rows - 1.0)
        j = min(max(ratio / step_j, 0.0), columns - 1.0)
        a, b = min(int(u), rows - 2), min(int(j), columns - 2)
        u, j = u - a, j - b
        return (cp[a][b] * (1 - j) + cp[a][b + 1] * j) * (1 - u) + (cp[a + 1][b] * (1 - j) + cp[a + 1][b + 1] * j) * u

    def solve(s, e, r, v):
        supply, total = s.duty * (e - r * (s.idle_current + 0.3)), s.duty**2 * r + s.series_resistance + s.resistance

        def left_over(omega):
            n = max(omega / (2 * math.pi), v / (table.diameter * table.advance_ratio_high), 1e-9)
            torque = power_coefficient(n, v / (n * table.diameter)) * DENSITY * n * n * table.diameter**5 / (2 * math.pi)
            return supply - (s.kv * torque + s.base + s.slope * omega) * total - omega / s.kv

        low, high = 0.0, s.kv * supply
        f_low, f_high = left_over(low), left_over(high)
        side = 0
        for _ in range(100):                       # Illinois false position, the usual choice in plain floats
            middle = (f_low * high - f_high * low) / (f_low - f_high)
            f = left_over(middle)
            if abs(f) < 1e-11 * supply:
                return middle
            if f > 0:
                low, f_low = middle, f
                f_high, side = (f_high / 2 if side == 1 else f_high), 1
            else:
                high, f_high = middle, f
                f_low, side = (f_low / 2 if side == -1 else f_low), -1
        return middle

    def loop():
        return [solve(*case) for case in few]

    assert solve_side(left, emf, ohms, 0.3, airspeed, DENSITY).omega[:FEW] == pytest.approx(loop(), rel=1e-8)
    compare(benchmark, "plain_float_cases_per_s", lambda: solve_side(left, emf, ohms, 0.3, airspeed, DENSITY), loop, 20)


def test_shared_pack_against_a_general_root_loop(benchmark, cases):
    left, right, emf, ohms, airspeed = cases
    few = [(single(left, i), single(right, i), float(emf[i]), float(ohms[i]), float(airspeed[i])) for i in range(FEW)]

    def solve(one, two, e, r, v):
        def residual(x):
            out, drawn = [], 0.3
            for side, omega in ((one, x[0]), (two, x[1])):
                amps = side.kv * float(loads(side.propeller, omega / (2 * np.pi), v, DENSITY).torque) + side.base + side.slope * omega
                out.append(side.duty * x[2] - amps * (side.series_resistance + side.resistance) - omega / side.kv)
                drawn += side.duty * amps + side.idle_current
            return [*out, e - r * drawn - x[2]]
        return root(residual, [0.8 * one.kv * one.duty * e, 0.8 * two.kv * two.duty * e, 0.95 * e], tol=1e-12).x

    def loop():
        return [solve(*case) for case in few]

    both = solve_shared_pack(left, right, emf, ohms, 0.3, airspeed, DENSITY)
    reference = np.array(loop())
    assert both.left.omega[:FEW] == pytest.approx(reference[:, 0], rel=1e-7)
    assert both.right.omega[:FEW] == pytest.approx(reference[:, 1], rel=1e-7)
    compare(benchmark, "root_cases_per_s", lambda: solve_shared_pack(left, right, emf, ohms, 0.3, airspeed, DENSITY), loop, 100)


MILLION = """
import resource, sys
import numpy as np
from twinkit import tables
from twinkit.physics.drivetrain import Side, Status, solve_shared_pack, solve_side
from twinkit.physics.propeller import SectionModel, Style
from twinkit.physics.propeller_table import propeller_table
style = Style.from_columns("electric", tables.read("propeller/styles").columns, tables.read("propeller/chords").columns)
table = propeller_table(0.2286, 0.1524, 2, style, SectionModel(**tables.values("propeller/section")), 1.225, 1.81e-5)
rng, many = np.random.default_rng(2), 1_000_000
def between(low, high):
    return rng.uniform(low, high, many)
left, right = (Side(between(90, 130), between(0.05, 0.2), between(0.3, 0.9), between(0, 3e-4), table, duty=between(0.5, 1.0), series_resistance=between(0.005, 0.02))
               for _ in range(2))
emf, ohms, airspeed = between(10, 12.6), between(0.01, 0.05), between(0, 8)
if sys.argv[1] == "shared":
    both = solve_shared_pack(left, right, emf, ohms, 0.3, airspeed, 1.225)
    drives = both.left, both.right
else:
    drives = solve_side(left, emf, ohms, 0.3, airspeed, 1.225), solve_side(right, emf, ohms, 0.0, airspeed, 1.225)
assert all((d.status == Status.SOLVED).mean() > 0.99 for d in drives)
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * (1 if sys.platform == "darwin" else 1024))
"""


@pytest.mark.parametrize("packs", ["separate", "shared"])
def test_a_million_two_sided_cases_stay_below_a_gigabyte(benchmark, packs):
    # the whole process as the system sees it: Python, numpy, inputs and all 19 result fields of both sides
    run = [sys.executable, "-c", MILLION, packs]
    used = int(benchmark.pedantic(lambda: subprocess.run(run, capture_output=True, text=True, check=True, cwd=ROOT, env=os.environ | {"PYTHONPATH": str(ROOT)}).stdout, rounds=1, iterations=1))
    benchmark.extra_info["peak_bytes"] = used
    print(f"\n{packs}: the process took {used / 1e6:.0f} MB at most")
    assert used < 1e9
