"""Page 04: the budget that grows page by page, and what a little more mass costs."""

import numpy as np
import pytest

from builds import build, record
from twinkit.design import Results

pytestmark = pytest.mark.identity


@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_the_lines_sum_to_the_list(name):
    results = build(name)
    budget, weight = results.budget, results.weight
    assert sum(line.mass for line in budget.lines) == pytest.approx(weight.list_mass, rel=1e-12) and budget.listed == pytest.approx(weight.mass, rel=1e-12)
    so_far = np.cumsum([line.mass for line in budget.lines])
    assert [line.so_far for line in budget.lines] == pytest.approx(so_far) and [line.left for line in budget.lines] == pytest.approx(budget.target - so_far)
    assert budget.aimed == (name == "dunlin") and budget.target == pytest.approx(weight.target)


def test_the_budget_grows_with_the_pages():
    made = record("blank", {"start.mass_guess": "900 g"})
    steps = [({"power.left.motor_mass": "50 g", "power.right.motor_mass": "52 g"}, "motors", 0.102),
             ({f"power.{side}.{name}": value for side in ("left", "right") for name, value in (("cells", 3), ("capacity", "1000 mAh"))}, "packs", 2 * 3 * 3.7 / 140.0),
             ({"weight.parts": [{"name": "servo", "mass": "9 g", "count": 4}]}, "other parts", 0.036)]
    known = 0.0
    for changes, words, mass in steps:
        made = made.changed(changes)
        lines = {line.words: line.mass for line in Results(made).budget.lines}
        known += mass
        assert lines[words] == pytest.approx(mass, rel=1e-6) and lines["foam parts"] is None
        assert lines["growth"] == pytest.approx(0.12 * known, rel=1e-6)


def test_the_growth_as_built():
    budget = build(weight__mass_measured="1250 g").budget
    bare = sum(line.mass for line in budget.lines) - budget.lines[-1].mass
    assert budget.scale == pytest.approx(1.25) and budget.grown == pytest.approx(1.25 / bare - 1.0, rel=1e-12)


@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_fifty_grams_more_against_a_build_that_carries_them(name):
    results = build(name)
    cg = results.weight.cg_behind
    loaded = results.record.copy()
    rows = [{n: e for n, e in row.items() if not e.assumed or n == "mass"} for row in loaded.rows("weight.parts")]
    loaded.set_rows("weight.parts", [*rows, {"name": "ballast", "mass": "50 g", "behind": cg, "below": results.weight.cg_below, "origin": "weighed"}])
    heavier = Results(loaded)
    costs = {c.words: c for c in results.costs.costs}
    assert results.costs.more == pytest.approx(0.05, rel=1e-9) and heavier.weight.mass == pytest.approx(results.weight.mass + 0.05, rel=1e-9)
    assert costs["stall speed"].then == pytest.approx(heavier.wing.stall_speed, rel=1e-6)
    assert costs["stall speed"].then / costs["stall speed"].now == pytest.approx(np.sqrt(1.0 + 0.05 / results.weight.mass), rel=1e-9)
    assert costs["best climb"].then == pytest.approx(heavier.wing.climb_rate, rel=1e-3) and costs["best climb"].then < costs["best climb"].now
    assert costs["minimum control speed, full throttle"].then == pytest.approx(heavier.rudder.bad.full.value, rel=1e-3)
