"""Page 04: how long it flies, against a flight stepped through time."""

from dataclasses import replace

import numpy as np
import pytest

from builds import build, finding
from twinkit import checks, tables, units
from twinkit.design import Results
from twinkit.design.power import solve
from twinkit.record import Record


def stepped(results, step):
    """The flight run through time, one step after the other, the cruise throttle found anew at every step: charge of each pack, the time each needed."""
    power, wing, record = results.power, results.wing, results.record
    curve = tables.read("pack/cell_voltage").columns
    launch, climb, stick, usable, extra = (record.value(f"weight.{n}") for n in ("time_launch", "time_climb", "throttle_climb", "usable", "manoeuvre"))
    drain = results.wiring.regulator_input_current

    def sides(charges):
        return [replace(s, emf=s.pack.cells * float(np.interp(c, curve["charge"], curve["ramadass2004"]))) for s, c in zip((power.left, power.right), charges)]

    def at(charges, throttle, speed):
        return solve(*sides(charges), power.shared, throttle, throttle, speed, power.density)

    def pull(charges):
        sticks = np.linspace(0.3, 1.0, 71)
        return float(np.interp(wing.cruise_drag, at(charges, sticks, wing.cruise_speed).thrust, sticks))

    capacity = [p.capacity for p in power.packs] if not power.shared else [sum(p.capacity for p in power.packs)]
    load = [drain["left"], drain["right"]] if not power.shared else [sum(drain.values())]
    charges, time, done = [1.0] * len(capacity), 0.0, [None] * len(capacity)
    while None in done:
        both = charges * 2 if power.shared else charges
        if time < launch:
            point, more = at(both, 1.0, wing.stall_speed), 1.0
        elif time < launch + climb:
            point, more = at(both, stick, wing.climb_speed or wing.approach_speed), 1.0
        else:
            # each side at the throttle that carries the drag when both packs are as full as its own
            points = [at([c, c], pull([c, c]), wing.cruise_speed) for c in both]
            point, more = replace(points[0], right=points[1].right), 1.0 + extra
        amps = [float(point.left.pack_current), float(point.right.pack_current)]
        amps = [sum(amps) * more + load[0]] if power.shared else [a * more + x for a, x in zip(amps, load)]
        before, charges = charges, [c - a * step / q for c, a, q in zip(charges, amps, capacity)]
        for k, (was, now) in enumerate(zip(before, charges)):
            if done[k] is None and now <= 1.0 - usable:
                done[k] = time + step * (was - (1.0 - usable)) / (was - now)
        time += step
    return done


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_times_against_a_flight_stepped_through_time(name):
    results = build(name)
    flight, wanted = results.flight, stepped(results, 10.0)
    assert [p.time for p in flight.packs] == pytest.approx(wanted, rel=0.01)
    assert flight.land_by == pytest.approx(min(wanted), rel=0.01)
    assert flight.timer_first == pytest.approx(results.record.value("limits.timer_first") * flight.land_by, rel=1e-12)


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_charge_books_balance(name):
    # what the phases draw is what the charger puts back
    flight = build(name).flight
    for pack in flight.packs:
        drawn = pack.mean("launch") * pack.launch + pack.mean("climb") * pack.climb + pack.mean("cruise") * (pack.time - pack.launch - pack.climb)
        assert drawn == pytest.approx((1.0 - flight.end_charge) * pack.capacity, rel=1e-9)
        assert pack.put_back == pytest.approx((1.0 - pack.charge_at_landing) * pack.capacity, rel=1e-12)
        assert float(pack.charge(pack.time)) == pytest.approx(flight.end_charge, rel=1e-9)
        assert pack.charges[0] == 1.0 and np.all(np.diff(pack.charges) <= 0.0)
    assert min(p.charge_at_landing for p in flight.packs) == pytest.approx(flight.end_charge, rel=1e-9)


@pytest.mark.identity
def test_the_receiver_shortens_the_flight_of_its_pack_only():
    left, right = (build(power__source=source, wiring__left__red_lead="connected" if source == "left_bec" else "isolated",
                         wiring__right__red_lead="isolated" if source == "left_bec" else "connected").flight for source in ("left_bec", "right_bec"))
    assert (left.feeds, right.feeds) == ("left", "right")
    by = {flight.feeds: {p.side: p for p in flight.packs} for flight in (left, right)}
    assert by["left"]["left"].time < by["right"]["left"].time and by["right"]["right"].time < by["left"]["right"].time
    with_load, without = by["right"]["right"], by["left"]["right"]
    assert without.regulator_current == 0.0 and with_load.regulator_current > 0.1
    assert with_load.mean("cruise") - without.mean("cruise") == pytest.approx(with_load.regulator_current, rel=5e-3)


@pytest.mark.identity
def test_more_of_everything_moves_the_time_the_right_way():
    base = build().flight.land_by
    assert build(weight__usable="60 %").flight.land_by == pytest.approx(base * 0.6 / 0.75, rel=0.03)
    assert build(weight__manoeuvre="60 %").flight.land_by < build(weight__manoeuvre="0 %").flight.land_by
    assert build(power__right__capacity="2000 mAh").flight.land_by > base
    assert build(weight__time_climb="200 s").flight.land_by < base
    assert build(power__pack_temperature="0 °C").flight.packs[0].end_volts < build().flight.packs[0].end_volts


@pytest.mark.identity
def test_a_long_climb_that_takes_all_the_charge():
    flight = build(weight__time_climb="1200 s", weight__throttle_climb="100 %").flight
    for pack in flight.packs:
        assert pack.time < flight.cruise_from and float(pack.charge(pack.time)) == pytest.approx(flight.end_charge, rel=1e-9)
        assert pack.mean("cruise") is None


@pytest.mark.identity
def test_logged_flights_correct_the_times():
    log = [{"date": "2026-05-01", "time": "8 min", "left": "500 mAh", "right": "700 mAh"}, {"date": "2026-05-02", "time": "6 min", "left": "400 mAh", "right": "520 mAh"}]
    before, after = build().flight, build(bench__flights=log).flight
    for pack, was, put_back in zip(after.packs, before.packs, ((500 + 400) * 3.6, (700 + 520) * 3.6)):
        computed = sum((1.0 - float(was.charge(t))) * was.capacity for t in (480.0, 360.0))
        assert pack.correction == pytest.approx(put_back / computed, rel=1e-9) and pack.flights == 2
        assert pack.cruise_current == pytest.approx(pack.correction * was.cruise_current, rel=1e-9)
        assert pack.time < was.time
        assert (pack.time_high - pack.time_low) / pack.time < (was.time_high - was.time_low) / was.time


@pytest.mark.identity
def test_joined_packs_empty_together_and_in_between():
    two, joined = build().flight, build(power__packs="joined").flight
    assert joined.first == "both" and len(joined.packs) == 1 and joined.feeds == "shared"
    assert joined.time_left == joined.time_right == joined.land_by
    assert min(p.time for p in two.packs) < joined.land_by < max(p.time for p in two.packs)
    assert joined.packs[0].capacity == pytest.approx(2 * 1500 * 3.6)


def test_no_flight_when_full_throttle_does_not_hold_the_cruise():
    results = build(power__left__kv="300 rpm/V", power__right__kv="300 rpm/V", bench__points=[])
    assert results.flight.holds is False and results.flight.known and results.flight.land_by is None
    for code in ("W05", "W07"):
        found = next(f for f in checks.findings(results.record, "weight") if f.code == code)
        assert found.verdict == "look again" and found.sentence.startswith("Full throttle does not hold the cruise speed of ")


def test_the_blank_build_knows_nothing_and_says_so():
    flight = Results(Record.from_text(tables.text("demo/blank.toml"))).flight
    assert not flight.known and flight.land_by is None and "power.left.capacity" in flight.missing


PINNED = {
    "W05": ("look again", "Land by 16 min (14 to 20 min): then the right pack is down to 25 % and the left one still holds 42 %. The right pack also feeds the receiver: flown flat, it takes the radio with it.",
            "Give the right side a pack of 1950 mAh, or trim the two sides to equal thrust on page 06; until then set one timer for both, to 16 min at most."),
    "W07": ("good", "At the land-by time full throttle pulls each cell of the left pack to 3.51 V; the cut-off is set to 3.2 V.",
            None),
    "W08": ("look again", "The left pack has 97 mohm, the right one 58 mohm, 68 % apart; 20 % is usual for a pair.",
            "Fly a pair of one age and size: replace the left pack by one like the right one."),
}


@pytest.mark.pinned
def test_the_findings_in_words():
    found = {f.code: f for f in checks.findings(build().record, "weight")}
    assert {code: (found[code].verdict, found[code].sentence, found[code].advice and found[code].advice.sentence) for code in PINNED} == PINNED


@pytest.mark.identity
def test_no_pack_is_advised_that_nobody_sells():
    found = finding("W05", build(changes={"bench.points": [], "power.left.kv": "10000 rpm/V"}))
    assert found.verdict == "look again" and found.advice.changes == {} and "mAh" not in found.advice.sentence
    assert found.advice.sentence.startswith("Look on page 01 why the sides are so unlike, then trim the two sides to equal thrust on page 06; until then ")


@pytest.mark.identity
def test_joined_packs_are_told_what_flows_when_they_differ():
    results = build(power__packs="joined", limits__pair_volts="0.05 V")
    said = finding("W08", results).sentence
    flow = 3 * 0.05 / sum(p.resistance for p in results.power.packs)
    assert f"at that difference {units.say(flow, 'current', 'metric', 2)} already flow from one into the other" in said
