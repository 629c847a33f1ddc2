"""Page 06: derivatives, one motor out on both builds against searches of our own, unlike motors, the seconds after, findings and their advice."""

from types import SimpleNamespace

import numpy as np
import pytest
from scipy import linalg, optimize

from builds import build
from twinkit import checks, tables
from twinkit.constants import STANDARD_GRAVITY
from twinkit.controls import show
from twinkit.design import Results
from twinkit.design.one_motor import UNCERTAIN, banded
from twinkit.drawings import rudder as drawings
from twinkit.record import Record

DEMO = {name: tables.text(f"demo/{name}.toml") for name in ("dunlin", "siskin", "blank")}
OWN = [check for check in checks.REGISTRY if check.step == "rudder"]


@pytest.fixture(scope="module")
def dunlin():
    return build()


@pytest.fixture(scope="module")
def siskin():
    return build("siskin")


def angles(results, dead, speed, thrust, bank=0.0):
    """Sideslip, rudder, aileron of straight flight by a linear solver, moments written out."""
    out, case, d = results.rudder, results.rudder.situation, results.rudder.derivatives
    k, sign = (0, -1.0) if dead == "left" else (1, 1.0)
    pressure_area = 0.5 * case.density * speed**2 * results.geometry.area
    arm, disk = float(case.arm[k, 0]), float(case.disk[k, 0])
    weight = results.wing.mass * STANDARD_GRAVITY
    drag = 0.5 * case.density * speed**2 * float(case.dead_coefficient[k, 0]) * disk
    jet = np.sqrt(speed**2 + 2.0 * thrust / (case.density * disk))
    roll = 0.5 * weight / pressure_area * thrust / disk * case.chord * np.sqrt(4.0 * disk / np.pi) * np.sqrt((speed + jet) / 2.0 / jet) * arm
    matrix = [[d.cy_beta, d.cy_rudder, 0.0], [d.cl_beta, d.cl_rudder, d.cl_aileron], [d.cn_beta, d.cn_rudder, d.cn_aileron]]
    moment = pressure_area * out.situation.shape.wing_span
    right = [-weight * np.sin(bank) / pressure_area, -sign * roll / moment, -sign * (thrust + drag) * arm / moment]
    return linalg.solve(np.array(matrix, dtype=float), right)


def held(results, dead, speed, thrust):
    """Whether wings level stays within the used rudder, the ailerons and 15 degrees of sideslip."""
    slip, rudder, aileron = angles(results, dead, speed, thrust)
    case = results.rudder.situation
    return abs(rudder) <= case.rudder_used and abs(aileron) <= case.aileron_limit and abs(slip) <= np.radians(15.0)


def live_thrust(results, dead, throttle, speed):
    still = np.zeros_like(np.asarray(speed, dtype=float))
    found = results.power.solve(still, throttle, speed).right if dead == "left" else results.power.solve(throttle, still, speed).left
    return np.maximum(found.thrust, 0.0)


# --- derivatives ---------------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_fin_and_rudder_by_hand(dunlin):
    # fin 185 x 130 mm, rudder 45 %, wing 1160 x 190 mm: slope at AR 1.55 h^2/S, sidewash and effectiveness written out
    area, wing = 0.185 * 0.130, 1.160 * 0.190
    ratio = 1.55 * 0.185**2 / area
    slope = 2.0 * np.pi * ratio / (2.0 + np.sqrt((ratio / 0.9) ** 2 + 4.0))
    sidewash = 0.724 + 3.06 * area / wing / 2.0 - 0.4 * 0.045 / 0.095 + 0.009 * 1.160 / 0.190
    arm = 0.25 * 0.190 + 0.510 - dunlin.weight.cg_behind
    fin = dunlin.rudder.parts[0]
    assert fin.part == "fin"
    assert float(fin.cy_beta) == pytest.approx(-slope * sidewash * area / wing, rel=1e-9)
    assert float(fin.cn_beta) == pytest.approx(slope * sidewash * area / wing * arm / 1.160, rel=1e-9)
    hinge = np.arccos(2.0 * 0.45 - 1.0)
    tau = 0.80 * (1.0 - (hinge - np.sin(hinge)) / np.pi)
    assert dunlin.rudder.effectiveness == pytest.approx(tau, rel=1e-9)
    assert float(dunlin.rudder.derivatives.cn_rudder) == pytest.approx(-slope * tau * 0.95 * area / wing * arm / 1.160, rel=1e-9)


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_parts_sum_to_the_total(name):
    parts = build(name).rudder.parts
    for field in ("cn_beta", "cy_beta", "cl_beta"):
        assert float(getattr(parts[-1], field)) == pytest.approx(sum(float(getattr(p, field)) for p in parts[:-1]), rel=1e-12)
    assert float(parts[-1].cn_band) == pytest.approx(np.sqrt(sum(float(p.cn_band) ** 2 for p in parts[:-1])), rel=1e-12)
    assert [p.part for p in parts] == ["fin", "fuselage", "nacelles", "propellers", "dihedral", "wing height", "total"]


@pytest.mark.identity
def test_an_open_hinge_costs_a_tenth_of_the_rudder(dunlin):
    assert build(rudder__hinge="open").rudder.effectiveness == pytest.approx(0.9 * dunlin.rudder.effectiveness, rel=1e-12)


# --- one motor dead ------------------------------------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("dead", ["left", "right"])
@pytest.mark.parametrize("throttle, field", [("100 %", "full"), ("60 %", "look")])
def test_control_speed_against_a_plain_search(dead, throttle, field):
    # a linear solver over a fine row of speeds and a bisection, thrust solved at every speed; the grid of the page costs up to 0.3 %
    results = build(rudder__look_throttle=throttle)
    open_ = float(throttle.removesuffix(" %")) / 100.0
    speeds = np.arange(5.0, 30.0, 0.25)
    thrust = live_thrust(results, dead, np.full_like(speeds, open_), speeds)
    lost = [not held(results, dead, v, t) for v, t in zip(speeds, thrust)]
    last = np.flatnonzero(lost)[-1]
    slack = lambda v: abs(angles(results, dead, v, float(live_thrust(results, dead, np.array(open_), np.array(v))))[1]) - results.rudder.situation.rudder_used  # noqa: E731
    expected = optimize.brentq(slack, speeds[last], speeds[last + 1])
    assert getattr(getattr(results.rudder, dead), field).value == pytest.approx(expected, rel=0.005)


@pytest.mark.identity
@pytest.mark.parametrize("dead", ["left", "right"])
def test_held_throttle_against_a_bisection(dunlin, dead):
    out = dunlin.rudder
    side = getattr(out, dead)
    expected = optimize.brentq(lambda t: abs(angles(dunlin, dead, out.approach, t)[1]) - out.situation.rudder_used, 0.1, 4.0)
    assert side.cap_status == "limited" and side.cap_thrust.value == pytest.approx(expected, rel=1e-6)
    # the throttle is read off samples a twelfth apart: straight lines between them make it up to 1.5 % low in thrust, on the safe side
    given = float(live_thrust(dunlin, dead, np.array(side.cap.value), np.array(out.approach)))
    assert given == pytest.approx(expected, rel=0.015) and given <= expected * 1.001


@pytest.mark.identity
@pytest.mark.parametrize("dead", ["left", "right"])
def test_the_balance_on_the_held_thrust(dunlin, dead):
    side, out = getattr(dunlin.rudder, dead), dunlin.rudder
    slip, rudder, aileron = angles(dunlin, dead, out.approach, side.cap_thrust.value)
    assert side.sideslip == pytest.approx(slip, rel=1e-9) and side.aileron == pytest.approx(aileron, rel=1e-9)
    assert abs(rudder) == pytest.approx(out.used_effective, rel=1e-9) and side.rudder == pytest.approx(out.used_angle, rel=1e-9)
    pressure_area = 0.5 * out.situation.density * out.approach**2 * dunlin.geometry.area
    by_aileron = abs(float(out.derivatives.cn_aileron)) * aileron * (1 if dead == "left" else -1) * pressure_area * dunlin.geometry.span
    assert side.thrust_moment + side.drag_moment + side.sideslip_moment + by_aileron == pytest.approx(side.rudder_moment, rel=1e-9)
    # with the wings level the sideslip carries the rudder's side force away
    assert side.rudder_force == pytest.approx(abs(float(out.derivatives.cy_beta) * side.sideslip) * pressure_area, rel=1e-9)


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_climb_by_the_power_that_is_left(name):
    results = build(name)
    out, wing = results.rudder, results.wing
    drag = float(np.interp(out.approach, wing.speeds, wing.drag))
    left = (out.left.cap_thrust.value - out.left.dead_drag - drag) * out.approach / (wing.mass * STANDARD_GRAVITY)
    assert out.left.climb.value == pytest.approx(left, rel=0.02)      # shallow paths: less lift, so less drag, than in level flight
    assert out.left.level_thrust == pytest.approx(drag + out.left.dead_drag, rel=0.005)
    assert out.left.climb.low < out.left.climb.value < out.left.climb.high


@pytest.mark.identity
def test_mirrored_builds_swap_their_sides():
    swapped = {f"power__{one}__{name}": value for one, values in (
        ("left", {"kv": "1120 rpm/V", "motor_mass": "52 g", "no_load_current": "0.8 A", "c_rating": 30, "pack_age": 1.0}),
        ("right", {"kv": "1060 rpm/V", "motor_mass": "54 g", "no_load_current": "0.7 A", "c_rating": 25, "pack_age": 1.4})) for name, value in values.items()}
    even = {"bench__points": [], "weight__cg_measured": "51 mm", "weight__mass_measured": "1100 g", "weight__parts": [{"name": "all", "mass": "100 g"}],
            "weight__left__pack_mass": "130 g", "weight__right__pack_mass": "130 g"}
    there, back = build(**even).rudder, build(**even, **swapped).rudder
    assert (there.worse, back.worse) == ("left", "right")
    for field in ("full", "cap", "climb"):
        for end in ("value", "low", "high"):
            assert getattr(getattr(there.left, field), end) == pytest.approx(getattr(getattr(back.right, field), end), rel=0.01)
    assert there.unlike.stronger == "right" and back.unlike.stronger == "left"
    assert there.unlike.outputs == pytest.approx(back.unlike.outputs, abs=1e-9)
    assert there.unlike.cruise.rudder == pytest.approx(-back.unlike.cruise.rudder, rel=0.01)


@pytest.mark.published
def test_signs_and_banks_of_the_handbook(dunlin):
    # FAA-H-8083-3, multi-engine chapter: wings level slips toward the dead engine and raises the minimum control speed; 14 CFR 23.149: 5 degrees
    out = dunlin.rudder
    assert out.left.sideslip < 0.0 < out.right.sideslip
    for side in (out.left, out.right):
        assert side.best_full < side.full.value and side.best_climb > side.climb.value
    assert np.degrees(out.situation.bank_limit) == pytest.approx(5.0, rel=1e-12)
    assert (out.curve_best <= out.curve + 1e-9).all()


@pytest.mark.identity
def test_the_curve_ends_in_the_full_throttle_number_and_rises(dunlin):
    out = dunlin.rudder
    assert out.curve[-1] == pytest.approx(out.bad.full.value, rel=1e-9)
    assert (out.curve_low[-1], out.curve_high[-1]) == pytest.approx((out.bad.full.low, out.bad.full.high), rel=1e-9)
    assert (np.diff(out.curve) >= 0.0).all() and (out.curve_low <= out.curve).all() and (out.curve <= out.curve_high).all()


@pytest.mark.identity
def test_the_band_is_the_root_of_the_squares_of_its_parts(dunlin):
    out = dunlin.rudder
    down, up = (np.sqrt(sum(row[i] ** 2 for row in out.band_parts)) for i in (1, 2))
    assert out.bad.full.value - out.bad.full.low == pytest.approx(down, rel=1e-9)
    assert out.bad.full.high - out.bad.full.value == pytest.approx(up, rel=1e-9)
    assert {row[0] for row in out.band_parts} <= set(UNCERTAIN)


@pytest.mark.identity
def test_a_band_of_cases_that_are_never_held():
    value, low, high = banded(np.array([[10.0], [np.inf], [8.0], [10.0], [9.0]]))
    assert (value[0], high[0]) == (10.0, np.inf) and low[0] == pytest.approx(10.0 - np.sqrt(5.0), rel=1e-12)
    value, low, high = banded(np.array([[np.inf], [np.inf], [8.0]]))
    assert (value[0], low[0], high[0]) == (np.inf, 8.0, np.inf)


@pytest.mark.identity
@pytest.mark.parametrize("path, rising", [("rudder__throw", ("15 deg", "20 deg", "25 deg")), ("wing__rudder_share", ("30 %", "40 %", "50 %")),
                                          ("rudder__used_share", ("50 %", "65 %", "80 %"))])
def test_more_rudder_holds_more(path, rising):
    found = [build(**{path: value}).rudder.left for value in rising]
    speeds, caps = [side.full.value for side in found], [side.cap.value for side in found]
    assert speeds == sorted(speeds, reverse=True) and caps == sorted(caps) and len(set(speeds)) == 3


@pytest.mark.identity
def test_travel_beyond_the_best_angle_holds_no_more():
    one, two = (build(rudder__throw=throw, rudder__used_share="100 %").rudder.left for throw in ("27 deg", "40 deg"))
    assert one.full.value == pytest.approx(two.full.value, rel=1e-9)


@pytest.mark.identity
def test_a_fin_works_against_its_own_rudder(dunlin):
    # with the wings level more fin of the same share helps ever less
    speeds = [build(wing__fin_height=h).rudder.left.full.value for h in ("185 mm", "230 mm", "275 mm", "320 mm")]
    steps = -np.diff(speeds)
    assert (np.diff(steps) < 0.0).all() and steps[0] > 0.0


# --- without a rudder ----------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_without_a_rudder_nothing_is_held(siskin):
    out = siskin.rudder
    assert not out.has_rudder and out.alike and out.control_speed is None
    for side in (out.left, out.right):
        assert side.full.value == side.look.value == side.best_full == np.inf
        assert (side.cap_status, side.cap_thrust.value, side.safe_throttle) == ("none", 0.0, 0.0)
        assert side.climb.high < 0.0 and side.level_speed is None


@pytest.mark.identity
def test_sideslip_without_a_rudder_in_closed_form(siskin):
    # beta = (T + D) y / (q S b Cnbeta), written out for full throttle on the approach; the shared pack feeds one motor only
    out, case = siskin.rudder, siskin.rudder.situation
    thrust = float(siskin.power.solve(0.0, 1.0, out.approach).right.thrust)
    pressure = 0.5 * case.density * out.approach**2
    drag = pressure * 0.15 * np.pi * 0.1524**2 / 4.0
    expected = (thrust + drag) * 0.150 / (pressure * siskin.geometry.area * 0.820 * float(out.parts[-1].cn_beta))
    assert out.left.slip_full == pytest.approx(expected, rel=1e-6)
    assert out.slip_approach[-1] == pytest.approx(expected, rel=1e-6)
    assert out.slip_look == pytest.approx(expected, rel=1e-6), "the throttle looked at is full"


@pytest.mark.identity
def test_a_dead_side_lifts_the_volts_of_a_shared_pack(siskin):
    alone = float(siskin.power.solve(0.0, 1.0, siskin.rudder.approach).right.thrust)
    both = float(siskin.power.solve(1.0, 1.0, siskin.rudder.approach).right.thrust)
    assert siskin.rudder.left.thrust == pytest.approx(alone, rel=1e-6) and alone > 1.005 * both


# --- unlike motors -------------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_trim_for_unlike_motors_by_hand(dunlin):
    out, u = dunlin.rudder, dunlin.rudder.unlike
    both = dunlin.power.solve(1.0, 1.0, dunlin.wing.cruise_speed)
    difference = float(both.right.thrust - both.left.thrust)
    moment = 0.5 * out.situation.density * dunlin.wing.cruise_speed**2 * dunlin.geometry.area * 1.160
    assert u.cruise.difference == pytest.approx(difference, rel=1e-6)
    assert u.cruise.rudder == pytest.approx(difference * 0.225 / (moment * float(out.derivatives.cn_rudder)), rel=1e-6)
    assert u.cruise.sideslip == pytest.approx(difference * 0.225 / (moment * float(out.derivatives.cn_beta)), rel=1e-6)
    assert u.cruise.rudder < 0.0, "more thrust on the right turns the nose left: trailing edge right"


@pytest.mark.identity
def test_the_five_points_make_the_thrusts_alike(dunlin):
    u = dunlin.rudder.unlike
    stick = np.array([0.0, 0.25, 0.5, 0.75, 1.0])
    assert u.stronger == "right" and u.outputs[0] == 0.0 and u.outputs[-1] < 1.0
    found = dunlin.power.solve(stick, np.array(u.outputs), 0.0)
    assert np.abs(found.right.thrust - found.left.thrust).max() < 0.01 * float(found.left.thrust[-1])      # whole per cents, samples a twelfth apart
    with_curve = build(rudder__curve="five_points").rudder.unlike
    assert abs(with_curve.cruise.difference) < 0.15 * abs(u.cruise.difference) and with_curve.plain_cruise == u.plain_cruise
    assert build(rudder__curve="five_points", power__throttle="y_lead").rudder.unlike.cruise == u.cruise, "one channel moves both sides alike"


@pytest.mark.identity
def test_toe_out_by_hand(dunlin):
    u, lead = dunlin.rudder.unlike, dunlin.weight.cg_behind + 0.105
    angle = np.radians(3.0)
    assert u.toe_gain == pytest.approx(1.0 - (0.225 * np.cos(angle) - lead * np.sin(angle)) / 0.225, rel=1e-9)


# --- what could be changed, the seconds after ----------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("name, change", [("propellers that fold", {"rudder__dead_propeller": "folded"}), ("a larger rudder", {"wing__rudder_share": "55 %"})])
def test_a_lever_says_what_the_changed_build_does(dunlin, name, change):
    lever = next(row for row in dunlin.rudder.levers if row.name == name)
    after = build(**change).rudder.left
    assert (lever.speed, lever.cap, lever.climb) == pytest.approx((after.full.value, after.cap.value, after.climb.value), rel=0.01)
    as_it_is = dunlin.rudder.levers[0]
    assert (as_it_is.speed, as_it_is.cap, as_it_is.climb) == pytest.approx((dunlin.rudder.left.full.value, dunlin.rudder.left.cap.value, dunlin.rudder.left.climb.value), rel=1e-6)


@pytest.mark.identity
def test_before_the_pilot_acts_all_stories_are_one():
    late, soon = build(rudder__delay="5 s").seconds, build(rudder__delay="0.6 s").seconds
    nothing = late.stories[0]
    for story in late.stories[1:3]:
        assert story.bank == pytest.approx(nothing.bank, nan_ok=True, abs=1e-12)
    before = soon.time < 0.6
    for story in soon.stories[:3]:
        assert story.bank[before] == pytest.approx(nothing.bank[before], nan_ok=True, abs=1e-12)
    assert nothing.bank[100] < 0.0, "the left motor is dead: the left wing goes down"
    ends = {story.reaction: abs(story.bank[-1]) for story in soon.stories[:3] if np.isfinite(story.bank[-1])}
    assert max(ends.get("rudder", 9.0), ends.get("throttle", 9.0)) < np.radians(15.0)


@pytest.mark.identity
def test_first_moments_follow_the_moment_over_the_inertia(dunlin):
    # N t^2 / (2 Iz), the dying thrust N = y (T + D) (1 - e^(-t/tau)) put into it: psi'' = N(t)/Iz integrated twice
    out, seconds = dunlin.rudder, dunlin.seconds
    thrust, tau, t = seconds.thrusts["slow"], 0.10, 0.05
    ramp = t**2 / 2.0 - tau * t + tau**2 * (1.0 - np.exp(-t / tau))
    expected = -(thrust + out.left.dead_drag) * float(out.situation.arm[0, 0]) / dunlin.weight.inertia_zz * ramp
    slow = seconds.stories[3]
    assert slow.heading[np.searchsorted(seconds.time, t - 1e-9)] == pytest.approx(expected, rel=0.03)      # the fin has begun to answer


# --- builds that know little, units --------------------------------------------------------------------------------------


def test_a_blank_build_knows_nothing_and_says_what_is_missing():
    results = build("blank")
    out = results.rudder
    assert "wing.span" in out.missing and out.situation is None and out.parts is None and out.bad is None and out.control_speed is None
    assert results.seconds.missing
    assert {checks_.run(results).verdict for checks_ in (c() for c in OWN)} == {"cannot tell"}


def test_without_the_power_the_shape_still_tells_its_derivatives():
    results = build(power__left__kv=None, bench__points=[])
    out = results.rudder
    assert out.missing == ("power.left.kv",) and out.left is None
    assert float(out.parts[-1].cn_beta) > 0.0
    assert "fin" in drawings.SHEETS["parts"](results).text() and "Kv on the label, left (page 01)" in drawings.SHEETS["one_motor"](results).text()


def test_shown_units_follow_the_builder():
    metric, imperial = (drawings.numbers(build(start__units=system)) for system in ("metric", "imperial"))
    assert metric["approach speed"].endswith("m/s") and imperial["approach speed"].endswith("mph")
    assert imperial["on that throttle"].startswith("sinks") and "ft/s" in imperial["on that throttle"]


def test_the_card_stands_before_its_numbers_are_known():
    text = drawings.SHEETS["card"](build("blank")).text()
    first = text.splitlines()[2]
    assert "close both throttles" in first and "land straight ahead" in text and "no permission to fly" in text
    assert "Your throttle and speeds come here when these are known: " in text


def test_no_sentence_reads_like_a_permission():
    for name in ("dunlin", "siskin"):
        results = build(name)
        for sheet in ("one_motor", "card"):
            assert "no permission to fly" in drawings.SHEETS[sheet](results).text()
        for finding in checks.findings(results.record, "rudder", results):
            assert not any(word in finding.sentence.lower() for word in ("safe", "no problem", "you can fly", "will fly"))


# --- findings ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["dunlin", "siskin"])
@pytest.mark.parametrize("check", OWN, ids=lambda c: c.code)
def test_advice_helps_on_both_builds(name, check):
    for changes in ({}, check.examples["not"]):
        record = Record.from_text(DEMO[name])
        for path, value in changes.items():
            record.set(path, value)
        found = check().run(Results(record))
        if found.advice and found.advice.changes:
            for path, value in found.advice.changes.items():
                record.set(path, value)
            after = check().run(Results(record))
            assert checks.SEVERITY[after.verdict] < checks.SEVERITY[found.verdict], (found.advice, after.sentence)


@pytest.mark.identity
def test_more_fin_than_helps_is_not_advised():
    found = checks_named("Y02")().run(build(weight__mass_measured="3000 g"))
    assert found.verdict == "look again" and found.advice.changes == {}
    assert found.advice.sentence.startswith("No usual fin brings level flight, not even with nacelles close in and propellers that fold. Close ")


def steady(**changes):
    """The demo build on a made thrust that no change of the drive-train model moves, at a weighed mass and balance."""
    results = build(weight__mass_measured="1100 g", weight__cg_measured="51 mm", wing__cd0="0.055", wing__cl_max="1.05", **changes)
    speeds = np.linspace(0.0, 30.0, 31)
    point = lambda most, throttle, speed: SimpleNamespace(thrust=most * np.asarray(throttle) ** 2 * (1.0 - np.asarray(speed) / 28.0))  # noqa: E731
    solve = lambda left, right, speed: SimpleNamespace(left=point(5.0, left, speed), right=point(5.5, right, speed),  # noqa: E731
                                                       thrust=point(5.0, left, speed).thrust + point(5.5, right, speed).thrust)
    sides = {side: SimpleNamespace(band_flight=0.15, propeller_diameter=0.2032) for side in ("left", "right")}
    full = solve(1.0, 1.0, speeds)
    results.__dict__["power"] = SimpleNamespace(
        missing=(), assumed=(), leans=(), known=True, shared=False, speeds=speeds, thrust_left=full.left.thrust, thrust_right=full.right.thrust, thrust=full.thrust,
        zero_thrust_speed=28.0, cruise_throttle=0.5, side=sides.get, solve=solve, **sides)
    return results


SAID = [
    ("Y01", {},
     "△ look again | One motor at the throttle you leave open. With the left motor dead and the other on 100 % the rudder, wings level on 75 % of "
     "its travel, holds it from 15.8 m/s up (14 to 18 m/s), and you come in at 11.5 m/s. -> Before anything else close the throttle to 51 %: no "
     "more is held at this speed."),
    ("Y01", {"rudder__look_throttle": "45 %"},
     "✓ good | One motor at the throttle you leave open. With the left motor dead and the other on 45 % the rudder, wings level on 75 % of its "
     "travel, holds it from 8.9 m/s up (7.9 to 10 m/s); you come in at 11.5 m/s. On full throttle that would be 15.8 m/s."),
    ("Y01", {"wing__rudder_share": "0 %"},
     "△ look again | One motor at the throttle you leave open. Your fin has no rudder, so nothing holds the yaw of one motor: on 100 % at your "
     "approach speed of 11.5 m/s it slips sideways far beyond the 15 deg that fin and wing take. -> Close both throttles the moment it yaws, lower"
     " the nose and land straight ahead. A steering mix of thrusts cannot help: it has only one motor left."),
    ("Y01", {"rudder__throw": "5 deg", "rudder__used_share": "40 %"},
     "△ look again | One motor at the throttle you leave open. With the right motor dead the rudder does not hold even the drag of its propeller, "
     "wings level on 40 % of its travel. -> Close both throttles and land straight ahead; page 05 and the levers of this page make the rudder "
     "larger."),
    ("Y02", {},
     "△ look again | Level flight on one motor. At your approach speed of 11.5 m/s with the left motor dead the rudder holds 62 % of the live "
     "motor's throttle, 1.27 N; level flight takes 1.77 N. In calm air it then sinks 0.5 m/s (from sinking 1.0 m/s to sinking 0.07 m/s); the drag of sideslip and rudder comes on top. -> Level "
     "flight, at the lower end of the band too, takes a fin 250 mm high, a rudder of 50 % of its chord and propellers that fold."),
    ("Y02", {"wing__nacelle_out": "165 mm", "rudder__dead_propeller": "folded"},
     "✓ good | Level flight on one motor. At your approach speed of 11.5 m/s with the left motor dead the rudder holds 83 % of the live motor's "
     "throttle, 2.21 N; level flight takes 1.42 N. In calm air it then climbs 0.9 m/s (from climbing 0.3 m/s to climbing 1.4 m/s); the drag of sideslip and rudder comes on top. Land at once "
     "all the same."),
    ("Y02", {"wing__rudder_share": "0 %"},
     "△ look again | Level flight on one motor. Without a rudder nothing of the live motor is held. With both throttles closed it sinks 1.9 m/s. "
     "-> Level flight, at the lower end of the band too, takes a fin 250 mm high, a rudder of 50 % of its chord and propellers that fold."),
    ("Y03", {},
     "△ look again | Throw or take-off below the minimum control speed. You lift off at about 11.5 m/s with both throttles on 100 %. If one motor "
     "is late or quits, the rudder holds the other from 15.8 m/s up. -> Begin on 61 % and open up above 15.8 m/s. Or hold it on the ground until "
     "15.8 m/s, where the field is long enough."),
    ("Y03", {"start__launch": "hand"},
     "△ look again | Throw or take-off below the minimum control speed. You throw it at 7.0 m/s with both throttles on 100 %. If one motor is late"
     " or quits, the rudder holds the other from 15.8 m/s up. -> Begin on 32 % and open up above 15.8 m/s. If that is too little to carry the "
     "throw (page 05), throw it faster or roll it off the ground; do not open the throttle."),
    ("Y03", {"rudder__launch_throttle": "40 %"},
     "✓ good | Throw or take-off below the minimum control speed. You lift off at about 11.5 m/s with both throttles on 40 %. If one motor is late"
     " or quits, the rudder holds the other from 8.1 m/s up."),
    ("Y03", {"wing__rudder_share": "0 %", "start__launch": "hand"},
     "△ look again | Throw or take-off below the minimum control speed. You throw it at 7.0 m/s with both throttles on 100 %. If one motor is late"
     " or quits, nothing holds the other. -> Hear both motors run at the same note before it leaves, nobody beside or ahead of it, and close both "
     "throttles the moment it yaws."),
    ("Y04", {},
     "✓ good | Motors that pull unlike. At full throttle in cruise your right motor pulls 0.26 N more, which takes 1.7 deg of rudder trim; 3.0 deg"
     " is the most you want."),
    ("Y04", {"limits__mismatch_angle": "1.5 deg"},
     "△ look again | Motors that pull unlike. At full throttle in cruise your right motor pulls 0.26 N more, which takes 1.7 deg of rudder trim; "
     "1.5 deg is the most you want. -> Give the right side the throttle curve 0, 24, 48, 71, 95 % (outputs at stick 0, 25, 50, 75 and 100 %)."),
    ("Y04", {"limits__mismatch_angle": "1.5 deg", "power__throttle": "y_lead"},
     "△ look again | Motors that pull unlike. At full throttle in cruise your right motor pulls 0.26 N more, which takes 1.7 deg of rudder trim; "
     "1.5 deg is the most you want. -> Give each side a throttle channel; then the curve 0, 24, 48, 71, 95 % on the right side makes them alike."),
    ("Y04", {"limits__mismatch_angle": "1.5 deg", "start__curve_points": 3},
     "△ look again | Motors that pull unlike. At full throttle in cruise your right motor pulls 0.26 N more, which takes 1.7 deg of rudder trim; "
     "1.5 deg is the most you want. -> Your transmitter has no curve of five points: let full stick give the right side 95 % of the throttle (upper end point 90 % where your transmitter counts from -100 to +100 %), and "
     "check half throttle on page 07."),
    ("Y05", {},
     "✓ good | Weathercock stability. In sideslip the nose swings back with Cn 0.061 for each radian (0.040 to 0.083): the fin gives 0.097, "
     "fuselage, nacelles and propellers take 0.036 off. At least 0.050 is wanted."),
    ("Y05", {"wing__fin_height": "130 mm"},
     "△ look again | Weathercock stability. In sideslip the nose swings back with Cn 0.014 for each radian (0.000 to 0.028): the fin gives 0.050, "
     "fuselage, nacelles and propellers take 0.036 off. At least 0.050 is wanted. -> Make the fin 180 mm high."),
    ("Y06", {},
     "✓ good | Rudder travel. Your rudder moves 28 deg each way and you count on 21 deg of it. Its effect grows slower beyond 20 deg and no more "
     "beyond 27 deg."),
    ("Y06", {"rudder__throw": "18 deg"},
     "△ look again | Rudder travel. Your rudder moves 18 deg each way and you count on 14 deg of it. Its effect grows slower beyond 20 deg and no "
     "more beyond 27 deg. -> Set the travel to 25 deg each way, if linkage and tailplane leave room."),
    ("Y06", {"wing__rudder_share": "0 %"},
     "✓ good | Rudder travel. Your fin has no rudder: nothing to travel."),
]


@pytest.mark.pinned
@pytest.mark.parametrize("code, changes, said", SAID, ids=[f"{code}-{number}" for number, (code, _, _) in enumerate(SAID)])
def test_findings_say_what_they_say(code, changes, said):
    assert show.finding_text(checks_named(code)().run(steady(**changes))) == said


def checks_named(code):
    return next(check for check in OWN if check.code == code)


@pytest.mark.identity
def test_no_throttle_is_told_beyond_the_stick():
    short = build(changes={"wing.span": "500 mm"}).rudder          # so short that the band of what is held reaches over full throttle
    for side in (short.left, short.right):
        assert 0.0 <= side.cap.low <= side.cap.value <= side.cap.high <= 1.0
    assert short.bad.cap.high == 1.0 and short.bad.cap.value < 0.95
