"""Page 06: derivatives, one motor out on both builds against searches of our own, the seconds after, findings and their advice."""


import numpy as np
import pytest
from scipy import linalg, optimize

from builds import build
from twinkit import checks, tables
from twinkit.constants import STANDARD_GRAVITY
from twinkit.design.one_motor import UNCERTAIN, banded
from twinkit.drawings import rudder as drawings
from twinkit.physics import control_surfaces

DEMO = {name: tables.text(f"demo/{name}.toml") for name in ("dunlin", "siskin", "blank")}
OWN = [check for check in checks.REGISTRY if check.step == "rudder"]


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
    weight = wing.mass * STANDARD_GRAVITY
    closed = (-out.left.dead_drag - out.right.dead_drag - drag) * out.approach / weight
    assert out.left.closed_climb.value == pytest.approx(closed, rel=0.02)      # shallow paths: less lift, so less drag, than in level flight
    if out.has_rudder:
        left = (out.left.cap_thrust.value - out.left.dead_drag - drag - out.left.sideways_drag) * out.approach / weight
        assert out.left.climb.value == pytest.approx(left, rel=0.02)
    else:
        assert out.left.level_thrust == pytest.approx(drag + out.left.dead_drag, rel=0.005)
    assert out.left.climb.low < out.left.climb.value < out.left.climb.high


@pytest.mark.identity
@pytest.mark.parametrize("dead", ["left", "right"])
def test_drag_of_sideslip_and_rudder_by_hand(dunlin, dead):
    # the balance by the linear solver, the drag of fin, rudder, ailerons and bodies written out; on the held thrust and on that of level flight
    out, side, shape = dunlin.rudder, getattr(dunlin.rudder, dead), dunlin.rudder.situation.shape
    pressure_area = 0.5 * out.situation.density * out.approach**2 * dunlin.geometry.area
    parts = {row.part: float(row.cy_beta) for row in out.parts}

    def drag(thrust):
        slip, rudder, aileron = angles(dunlin, dead, out.approach, thrust)
        rudder = np.clip(rudder, -out.throw_effective, out.throw_effective)      # both at the greatest lift of 26.7 degrees
        slip = np.clip(slip, -np.radians(15.0), np.radians(15.0))
        real = optimize.brentq(lambda x: control_surfaces.effective_deflection(x) - abs(rudder), 0.0, control_surfaces.BEST_ANGLE)
        fin = 0.185 * 0.130 / dunlin.geometry.area
        force = parts["fin"] * slip + float(out.derivatives.cy_rudder) * rudder
        bodies = parts["fuselage"] + parts["nacelles"] + parts["propellers"]
        return pressure_area * (1.7 * 0.45**1.38 * fin * np.sin(real) ** 2 + 1.7 * shape.aileron_share**1.38 * (1.0 - shape.aileron_inner) * np.sin(aileron) ** 2
                                + force**2 / (np.pi * 1.55 * 185.0 / 130.0 * fin) - bodies * slip * np.sin(slip))

    assert side.sideways_drag == pytest.approx(drag(side.cap_thrust.value), rel=1e-6)
    level = float(np.interp(out.approach, dunlin.wing.speeds, dunlin.wing.drag)) + side.dead_drag
    assert side.level_thrust == pytest.approx(optimize.brentq(lambda t: t - level - drag(t), level, 3.0 * level), rel=0.003)      # the drag is read off a row of speeds
    assert 1.15 * level < side.level_thrust < 1.4 * level, "at this size the drag is a good fifth of what level flight takes"


@pytest.mark.identity
def test_a_bank_towards_the_live_motor_saves_drag(dunlin):
    case, out = dunlin.rudder.situation, dunlin.rudder
    flat, banked = (float(case.sideways_drag(case.likely, out.left.cap_thrust.value, out.approach, np.radians(bank))[0, 0]) for bank in (0.0, 3.0))
    assert 0.0 < banked < 0.7 * flat
    assert float(case.sideways_drag(case.likely, 0.0, out.approach, 0.0)[0, 0]) < 0.2 * flat


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


# --- what could be changed, the seconds after ----------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("name, change", [("propellers that fold", {"rudder__dead_propeller": "folded"}), ("a larger rudder", {"wing__rudder_share": "55 %"})])
def test_a_lever_says_what_the_changed_build_does(dunlin, name, change):
    lever = next(row for row in dunlin.rudder.levers if row.name == name)
    after = build(**change).rudder.left
    assert (lever.speed, lever.cap, lever.climb) == pytest.approx((after.full.value, after.cap.value, after.climb.value), rel=0.01)
    as_it_is = dunlin.rudder.levers[0]
    assert (as_it_is.speed, as_it_is.cap, as_it_is.climb) == pytest.approx((dunlin.rudder.left.full.value, dunlin.rudder.left.cap.value, dunlin.rudder.left.climb.value), rel=1e-6)


# --- builds that know little, units --------------------------------------------------------------------------------------


def test_a_blank_build_knows_nothing_and_says_what_is_missing():
    results = build("blank")
    out = results.rudder
    assert "wing.span" in out.missing and out.situation is None and out.parts is None and out.bad is None and out.control_speed is None
    assert results.seconds.missing and results.seconds_sampled.missing and results.sizing.missing and results.straight.missing
    assert {checks_.run(results).verdict for checks_ in (c() for c in OWN)} == {"cannot tell"}


def test_without_the_power_the_shape_still_tells_its_derivatives():
    results = build(power__left__kv=None, bench__points=[])
    out = results.rudder
    assert out.missing == ("power.left.kv",) and out.left is None
    assert float(out.parts[-1].cn_beta) > 0.0
    assert "fin" in drawings.SHEETS["parts"](results).text() and "Kv on the label left (page 01)" in drawings.SHEETS["one_motor"](results).text()


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
