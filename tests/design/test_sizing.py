"""Page 06, sizes and straight flight: each line and map against builds with that size, the fin that is needed, bank, and which motor is worse."""

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from scipy import optimize

from builds import build
from twinkit.drawings import rudder as drawings

FIXED = {"weight.mass_measured": "1100 g", "weight.cg_measured": "51 mm", "wing.cd0": "0.05"}       # so that a larger fin changes nothing but the fin


@pytest.fixture(scope="module")
def dunlin():
    return build(changes=FIXED)


# --- what the control speed depends on ---------------------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("name, path, unit", [("throw", "rudder.throw", "rad"), ("fin height", "wing.fin_height", "m"), ("rudder share", "wing.rudder_share", ""),
                                              ("nacelles out", "wing.nacelle_out", "m")])
def test_a_line_passes_through_builds_with_that_size(dunlin, name, path, unit):
    line = dunlin.sizing.line(name)
    for at in (1, 9):
        value = {"rad": f"{np.degrees(line.values[at])} deg", "m": f"{line.values[at]} m", "": f"{100.0 * line.values[at]} %"}[unit]
        there = build(changes={**FIXED, path: value})
        assert getattr(there.rudder, dunlin.rudder.worse).full.value == pytest.approx(line.full[at], rel=0.003)
    own = np.interp(line.yours, line.values, line.full)
    assert own == pytest.approx(dunlin.rudder.bad.full.value, rel=0.003)


@pytest.mark.identity
def test_the_line_over_bank_meets_wings_level_and_falls(dunlin):
    line = dunlin.sizing.line("bank")
    assert line.full[0] == pytest.approx(dunlin.rudder.bad.full.value, rel=1e-6) and (np.diff(line.full) < 0.0).all()
    # an independent route: the bank written into the balance, the used rudder just enough
    case, out = dunlin.rudder.situation, dunlin.rudder

    def spare(speed):
        thrust = float(np.interp(speed, out.speeds, out.live))
        return abs(case.trim(thrust, speed, "left", line.values[6]).rudder) - case.rudder_used

    assert line.full[6] == pytest.approx(optimize.brentq(spare, 10.0, 20.0), rel=1e-4)


@pytest.mark.identity
def test_lines_for_the_throttle_looked_at():
    results = build(changes={**FIXED, "rudder.look_throttle": "60 %"})
    for line in results.sizing.lines:
        assert (line.look <= line.full + 1e-9).all()
    assert results.sizing.line("bank").look[0] == pytest.approx(results.rudder.bad.look.value, rel=1e-6)


@pytest.mark.identity
def test_without_a_rudder_only_a_rudder_helps(siskin):
    for line in siskin.sizing.lines:
        assert np.isfinite(line.full).all() if line.name == "rudder share" else np.isinf(line.full).all()


# --- dead propeller ----------------------------------------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("state", ["folded", "stopped"])
def test_dead_states_are_those_of_builds_told_so(dunlin, state):
    row = next(d for d in dunlin.sizing.dead_states if d.name == state)
    side = build(changes={**FIXED, "rudder.dead_propeller": state}).rudder.bad
    assert (row.drag, row.speed, row.cap, row.climb) == pytest.approx((side.dead_drag, side.full.value, side.cap.value, side.climb.value), rel=0.005)


@pytest.mark.identity
def test_more_drag_on_the_dead_side_is_worse(dunlin):
    states = dunlin.sizing.dead_states
    assert [d.name for d in states] == ["folded", "stopped", "windmilling", "braked slowly"]
    assert (np.diff([d.speed for d in states]) > 0.0).all() and (np.diff([d.cap for d in states]) < 0.0).all() and (np.diff([d.climb for d in states]) < 0.0).all()


# --- map and fin -------------------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_the_map_holds_builds_with_that_fin(dunlin):
    sizing = dunlin.sizing
    for row, column in ((1, 2), (6, 8)):
        there = build(changes={**FIXED, "wing.fin_height": f"{sizing.heights[column]} m", "wing.rudder_share": f"{100.0 * sizing.shares[row]} %"})
        climb = getattr(there.rudder, dunlin.rudder.worse).climb
        assert (sizing.climb[row, column], sizing.climb_low[row, column]) == pytest.approx((climb.value, climb.low), abs=0.02)
    assert (sizing.climb_low < sizing.climb).all() and (np.diff(sizing.climb, axis=0) > 0.0).all(), "more rudder always helps"
    assert (sizing.climb_closer > sizing.climb).all() and (sizing.climb_folded > sizing.climb).all()


@pytest.mark.identity
@pytest.mark.parametrize("wanted", ["0 m/s", "-0.7 m/s"])
def test_the_fin_that_is_needed_is_enough_and_the_next_smaller_is_not(wanted):
    results = build(changes={**FIXED, "limits.one_motor_climb": wanted})
    goal = float(wanted.removesuffix(" m/s"))
    ways = {"as_it_is": {}, "closer": {"wing.nacelle_out": f"{results.sizing.closest} m"}, "folded": {"rudder.dead_propeller": "folded"}}
    tried = 0
    for need in results.sizing.needed:
        for way, changes in ways.items():
            height = getattr(need, way)
            if height is None or not 0.35 < need.share < 0.55:
                continue
            at = lambda h: build(changes={**FIXED, **changes, "wing.fin_height": f"{h} m",  # noqa: E731
                                          "wing.rudder_share": f"{100.0 * need.share} %"}).rudder.left.climb.value  # noqa: B023
            assert at(height) >= goal - 0.01, (need, way)
            if height > 0.121:
                assert at(height - 0.010) < goal + 0.01, (need, way)
            tried += 1
    assert tried >= 3


@pytest.mark.identity
def test_the_line_of_the_weathercock_stability(dunlin):
    height = dunlin.sizing.weathercock_height
    assert float(build(changes={**FIXED, "wing.fin_height": f"{height} m"}).rudder.parts[-1].cn_beta) == pytest.approx(0.05, rel=0.01)
    assert build(changes={**FIXED, "limits.weathercock": "0.3"}).sizing.weathercock_height is None


# --- straight flight at a bank ------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_rows_of_straight_flight_by_the_balance():
    results = build(changes={**FIXED, "rudder.look_throttle": "55 %", "rudder.look_bank": "3 deg", "rudder.look_speed": "13 m/s"})
    out, found, case = results.rudder, results.straight, results.rudder.situation
    rows = {row.name: row for row in found.rows}
    assert list(rows) == ["level", "looked at", "no sideslip", "best", "rudder in the middle"]
    assert found.speed == 13.0 and np.degrees([rows["looked at"].bank, rows["best"].bank]) == pytest.approx([3.0, 5.0], rel=1e-9)
    assert found.thrust == pytest.approx(float(np.maximum(results.power.solve(0.0, 0.55, 13.0).right.thrust, 0.0)), rel=0.005)
    assert rows["no sideslip"].sideslip == pytest.approx(0.0, abs=1e-9) and rows["rudder in the middle"].rudder == pytest.approx(0.0, abs=1e-9)
    free = optimize.brentq(lambda bank: case.trim(found.thrust, 13.0, "left", bank).sideslip, 0.0, 0.6)
    middle = optimize.brentq(lambda bank: case.trim(found.thrust, 13.0, "left", bank).rudder, 0.0, 1.2)
    assert (rows["no sideslip"].bank, rows["rudder in the middle"].bank) == pytest.approx((free, middle), rel=1e-6)
    assert rows["no sideslip"].drag < rows["best"].drag < rows["level"].drag
    assert out.worse == "left" and rows["level"].enough


@pytest.mark.published
@pytest.mark.parametrize("name, kv", [("dunlin", None), ("dunlin", "1200 rpm/V")])
def test_signs_of_the_handbook_on_the_page(name, kv):
    # FAA-H-8083-3, multi-engine chapter: wings level slips toward the dead engine, ailerons alone toward the live one, zero slip between with a small bank
    changes = {**FIXED, "rudder.look_throttle": "55 %"} | ({"power.left.kv": kv, "bench.points": []} if kv else {})
    results = build(name, changes)
    rows = {row.name: row for row in results.straight.rows}
    assert results.rudder.worse == ("right" if kv else "left")
    assert rows["level"].sideslip < 0.0 < rows["rudder in the middle"].sideslip
    assert 0.0 < rows["no sideslip"].bank < rows["rudder in the middle"].bank and rows["no sideslip"].bank < np.radians(5.0)
    text = drawings.SHEETS["straight"](results).text()
    assert f"air from the {results.rudder.worse} side" in text


# --- which motor ---------------------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_which_motor_is_worse_and_why(dunlin, siskin):
    left, right = dunlin.straight.why
    assert left.total == pytest.approx(left.live_motor + left.dead_propeller + left.thrust_centre, rel=1e-12)
    assert left.total > right.total and dunlin.rudder.worse == "left" and not dunlin.rudder.alike
    # both propellers clockwise: the blade that goes down is on the right, outside on the right motor
    assert left.thrust_centre > 0.0 > right.thrust_centre and left.thrust_centre < 0.01 * left.total
    one, two = siskin.straight.why
    assert siskin.straight.counter_rotating and siskin.rudder.alike and one.total == pytest.approx(two.total, rel=1e-9)
    assert one.thrust_centre == pytest.approx(two.thrust_centre, rel=1e-9) and one.thrust_centre < 0.0, "down-going blades inside"
    reversed_hands = build("siskin", {"power.left.propeller_hand": "reverse", "power.right.propeller_hand": "normal"}).straight.why
    assert reversed_hands[0].thrust_centre == pytest.approx(-one.thrust_centre, rel=1e-9)
    assert "learn one drill for both" in drawings.SHEETS["why"](siskin).text() and "turns it 1" in drawings.SHEETS["why"](dunlin).text()


@pytest.mark.identity
@settings(deadline=None, max_examples=5, phases=(Phase.explicit, Phase.generate))
@given(left=st.integers(1000, 1150), right=st.integers(1000, 1150), out=st.integers(200, 260), bank=st.integers(0, 5))
def test_a_mirrored_build_gives_mirrored_answers(left, right, out, bank):
    even = {"bench.points": [], "weight.mass_measured": "1100 g", "weight.cg_measured": "51 mm", "weight.parts": [{"name": "all", "mass": "100 g"}], "weight.left.pack_mass": "130 g",
            "weight.right.pack_mass": "130 g", "wing.nacelle_out": f"{out} mm", "rudder.look_bank": f"{bank} deg", "rudder.look_throttle": "60 %"}
    for name in ("motor_mass", "no_load_current", "c_rating", "pack_age", "controller_name"):
        even |= {f"power.{side}.{name}": {"motor_mass": "53 g", "no_load_current": "0.75 A", "c_rating": 25, "pack_age": 1.2, "controller_name": "20 A"}[name] for side in ("left", "right")}
    there, back = (build(changes={**even, "power.left.kv": f"{a} rpm/V", "power.right.kv": f"{b} rpm/V", "power.left.propeller_hand": one, "power.right.propeller_hand": two})
                   for a, b, one, two in ((left, right, "normal", "reverse"), (right, left, "normal", "reverse")))
    for side, other in (("left", "right"), ("right", "left")):
        here, mirror = getattr(there.rudder, side), getattr(back.rudder, other)
        assert here.sideslip == pytest.approx(-mirror.sideslip, rel=1e-6) and here.aileron == pytest.approx(-mirror.aileron, rel=1e-6)
        for field in ("thrust", "level_thrust", "sideways_drag", "rudder_moment"):
            assert getattr(here, field) == pytest.approx(getattr(mirror, field), rel=1e-6)
        for field in ("full", "look", "cap", "climb"):
            assert vars(getattr(here, field)) == pytest.approx(vars(getattr(mirror, field)), rel=1e-4, abs=1e-6)
    assert [w.total for w in there.straight.why] == pytest.approx([w.total for w in reversed(back.straight.why)], rel=1e-6)
    if left != right:
        assert {there.rudder.worse, back.rudder.worse} == {"left", "right"}
        one, two = there.seconds.story("cruise", "none"), back.seconds.story("cruise", "none")
        assert one.bank == pytest.approx(-two.bank, rel=1e-6, abs=1e-9, nan_ok=True)
        numbers = lambda rows: [value for row in rows for value in (row.sideslip, row.aileron, row.drag, row.climb, -1.0 if row.rudder is None else row.rudder)]  # noqa: E731
        assert numbers(there.straight.rows) == pytest.approx(numbers(back.straight.rows), rel=1e-6, abs=1e-9)
