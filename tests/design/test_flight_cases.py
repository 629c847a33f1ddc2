"""Page 04: the flight on other days, with other packs, and drawn within what nobody knows."""

import numpy as np
import pytest

from builds import build
from twinkit.design import flight_cases
from twinkit.design.flight_loads import Flights

pytestmark = pytest.mark.identity
NAMES = ("dunlin", "siskin")


@pytest.mark.parametrize("name", NAMES)
def test_the_first_case_is_the_flight_as_entered(name):
    results = build(name)
    case, flight = results.flight_cases.cases[0], results.flight
    assert case.land_by == pytest.approx(flight.land_by, rel=5e-3), "the other pack's charge comes from a similar flight: half a per cent"
    assert case.climb_volts == pytest.approx(min(p.climb_volts for p in flight.packs), rel=2e-3) and case.mass == pytest.approx(results.weight.mass, rel=1e-12)


@pytest.mark.parametrize("words, changes", [("a colder day", {"power.pack_temperature": "5 °C"}),
                                            ("older packs", {"power.left.pack_age": 1.8, "power.right.pack_age": 1.4}),
                                            ("older packs on a colder day", {"power.pack_temperature": "5 °C", "power.left.pack_age": 1.8, "power.right.pack_age": 1.4})])
def test_other_days_against_builds_entered_so(words, changes):
    results, entered = build(), build(changes=changes)
    case = next(c for c in results.flight_cases.cases if c.words == words)
    for pack in entered.flight.packs:
        assert case.times[pack.side] == pytest.approx(pack.time, rel=0.01)
    assert case.climb_volts == pytest.approx(min(p.climb_volts for p in entered.flight.packs), rel=5e-3)
    assert case.land_by < results.flight.land_by


def test_bigger_packs_against_a_build_that_carries_them():
    # 30 per cent more of each: capacity and mass; the wing is worked out anew from the heavier aeroplane
    bigger = {f"power.{side}.capacity": "1950 mAh" for side in ("left", "right")} | {"weight.left.pack_mass": 0.134 * 1.3, "weight.right.pack_mass": 0.131 * 1.3, "weight.growth": 0.0}
    results, entered = build(weight__growth=0.0), build(changes=bigger)
    found = results.flight_cases
    case = found.cases[-1]
    assert case.words == "bigger packs" and case.mass == pytest.approx(entered.weight.mass, rel=1e-3)
    assert case.land_by == pytest.approx(entered.flight.land_by, rel=0.01)
    assert float(np.interp(1950 * 3.6, found.sizes, found.stall)) == pytest.approx(entered.wing.stall_speed, rel=2e-3)
    assert np.all(np.diff(found.land_by) > 0.0) and np.all(np.diff(found.land_by, 2) < 0.0), "each mAh more brings less than the one before"


@pytest.mark.parametrize("name", NAMES)
def test_drawn_flights_scatter_round_the_computed_one(name):
    results = build(name)
    drawn, flight = results.flights_drawn, results.flight
    assert drawn.count == flight_cases.DRAWN == drawn.land_by.size and not drawn.logged
    assert drawn.middle == pytest.approx(flight.land_by, rel=0.06) and drawn.earliest < drawn.middle < drawn.latest
    # one standard deviation of the drawn flights against the three spreads added by hand
    assert float(np.std(np.log(drawn.land_by))) == pytest.approx(flight.packs[0].spread, rel=0.25)
    again = build(name).flights_drawn
    assert np.array_equal(again.land_by, drawn.land_by), "the same build draws the same flights"


def test_alike_propellers_err_together_and_unlike_ones_do_not():
    def apart(changes):
        results = build(changes={"bench.points": [], **changes})
        flights = flight_cases.draw(results.weight, results.power, results.wing, results.flight, 0.03, 40_000)
        return float(np.corrcoef(np.log(flights.left["ct"]), np.log(flights.right["ct"]))[0, 1])

    assert apart({}) == pytest.approx(1.0, abs=1e-9) and abs(apart({"power.left.propeller_pitch": "6 in"})) < 0.05
    results = build(bench__points=[])
    drawn = flight_cases.draw(results.weight, results.power, results.wing, results.flight, 0.03, 4000).left
    assert float(np.corrcoef(np.log(drawn["ct"]), np.log(drawn["cp"]))[0, 1]) == pytest.approx(0.59, abs=0.05)


def test_alike_motors_err_together_and_lopsidedly_as_their_stated_bands_are():
    """The usual running resistance is 1.7 to 3 times the label's, most often 2: most drawn flights have more than that. Motors that were read err each by itself."""
    same = {"power.right.kv": "1060 rpm/V", "power.right.motor_mass": "54 g", "power.right.no_load_current": "0.7 A"} | {f"power.{s}.motor_resistance": "60 mohm" for s in ("left", "right")}
    for changes, together in ((same | {"bench.points": []}, True), (same, False)):
        results = build(changes=changes)
        flights = flight_cases.draw(results.weight, results.power, results.wing, results.flight, 0.03, 40_000)
        left, right = flights.left["resistance"], flights.right["resistance"]
        assert (float(np.corrcoef(left, right)[0, 1]) > 0.999) == together
        assert float(np.mean(left > 1.0)) == pytest.approx(1.0 - 0.3 / 1.3 if together else 0.5, abs=0.02)   # a triangle has (mode - low)/(high - low) below its mode
    alone = build(changes=same | {"bench.points": []})
    units = flight_cases.draw(alone.weight, alone.power, alone.wing, alone.flight, 0.03, 40_000)
    assert float(np.std(units.left["kv"] / units.right["kv"])) == pytest.approx(0.03, rel=0.02), "what is left between two units of one label"


def test_logged_flights_leave_less_to_draw():
    log = [{"time": "8 min", "left": "500 mAh", "right": "620 mAh"}] * 4
    logged, before = build(bench__flights=log).flights_drawn, build().flights_drawn
    assert logged.logged and np.std(np.log(logged.land_by)) < 0.5 * np.std(np.log(before.land_by))


def test_a_flight_of_factors_one_is_the_flight():
    results = build()
    parts = (results.power, results.wing, results.wiring, flight_cases.delivered(results.ground()), flight_cases.profile_of(results.ground()), results.flight)
    found = flight_cases._ends(*parts, Flights())
    assert float(found["land_by"][0]) == pytest.approx(results.flight.land_by, rel=5e-3)


def test_without_a_flight_nothing_is_compared():
    results = build(power__left__kv="300 rpm/V", power__right__kv="300 rpm/V", bench__points=[])
    assert results.flight_cases.cases is None and results.flights_drawn.land_by is None
