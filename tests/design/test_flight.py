"""Page 04: how long it flies, against a flight stepped through time."""

import numpy as np
import pytest

from builds import build, finding
from twinkit import checks, tables, units
from twinkit.design import Results
from twinkit.design.flight_loads import PHASES
from twinkit.physics import drivetrain
from twinkit.record import Record


def stepped(results, step):
    """The flight run through time, one step after the other, both packs as full as they then are: the time each needs for its usable charge.

    The throttle of straight flight and turns is found anew at every step, the receiver's current is carried by the pack inside the solver.
    """
    power, wing, record, s = results.power, results.wing, results.record, results.geometry.area
    curve, usual = tables.read("pack/cell_voltage").columns, tables.values("pack/defaults")
    launch, climb, cruise, stick, turning, bank, extra, usable = (
        record.value(f"weight.{n}") for n in ("time_launch", "time_climb", "time_cruise", "throttle_climb", "turn_share", "turn_bank", "manoeuvre", "usable"))
    drain, sides = results.wiring.regulator_input_current, (power.left, power.right)
    pressure = 0.5 * power.density * wing.cruise_speed**2
    lift = wing.mass * 9.80665 / np.cos(bank)
    turn = pressure * s * wing.cd0 + wing.induced_factor * lift**2 / (pressure * s)

    def at(charges, throttle, speed):
        # one pack may be past its own end while the other is still looked at: it is held at 5 per cent
        cells = [x.pack.cells * float(np.interp(max(c, 0.05), curve["charge"], curve["ramadass2004"])) for x, c in zip(sides, charges)]
        made = [drivetrain.Side(kv=x.kv, resistance=x.resistance, base=x.no_load_base, slope=x.no_load_slope, propeller=x.table, duty=throttle,
                                series_resistance=x.series_resistance + (throttle**2 * x.lead_resistance if power.shared else 0.0), idle_current=x.idle_current,
                                thrust_factor=x.thrust_factor, torque_factor=x.torque_factor) for x in sides]
        if power.shared:
            both = drivetrain.solve_shared_pack(*made, cells[0], sides[0].supply_resistance, sum(drain.values()), speed, power.density)
            return both.left.thrust + both.right.thrust, [both.pack_current]
        found = [drivetrain.solve_side(m, e, x.supply_resistance + x.lead_resistance, drain[x.side], speed, power.density) for m, e, x in zip(made, cells, sides)]
        return sum(f.thrust for f in found), [f.pack_current for f in found]

    def held(charges, drag):
        sticks = np.linspace(0.3, 1.0, 71)
        thrust, amps = at(charges, sticks, wing.cruise_speed)
        return np.array([float(np.interp(drag, thrust, a)) for a in amps])

    ages = [record.value(f"power.{p.side}.pack_age") for p in power.packs]
    whole = [p.capacity * (1.0 - (1.0 - usual["share_at_retirement"]) * (age - 1.0)) for p, age in zip(power.packs, ages)]
    capacity = np.array([sum(whole)] if power.shared else whole)
    load = np.array([sum(drain.values())] if power.shared else [drain["left"], drain["right"]])
    charges, time, done = np.ones(len(capacity)), 0.0, [None] * len(capacity)
    while None in done:
        both = np.resize(charges, 2)
        if time < launch + climb:
            amps = np.array([float(a) for a in at(both, *((1.0, wing.stall_speed) if time < launch else (stick, wing.climb_speed or wing.approach_speed)))[1]])
        else:
            level = held(both, wing.cruise_drag) - load
            amps = level if time < launch + climb + cruise else (1.0 - turning) * level + turning * (held(both, turn) - load)
            amps = amps * (1.0 + extra) + load
        before, charges = charges, charges - amps * step / capacity
        for k, (was, now) in enumerate(zip(before, charges)):
            if done[k] is None and now <= 1.0 - usable:
                done[k] = time + step * (was - (1.0 - usable)) / (was - now)
        time += step
    return done


@pytest.mark.identity
@pytest.mark.parametrize("name, changes", [("dunlin", {}), ("siskin", {}), ("dunlin", {"power.packs": "joined"}), ("dunlin", {"power.left.capacity": "2200 mAh"})],
                         ids=["dunlin", "siskin", "joined", "unlike packs"])
def test_times_against_a_flight_stepped_through_time(name, changes):
    results = build(name, changes)
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
        ends = np.append(flight.profile.begins[1:], pack.time)
        drawn = sum(pack.mean(phase) * (end - begin) for phase, begin, end in zip(PHASES, flight.profile.begins, ends))
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
    assert by["left"]["right"].regulator_current == 0.0 and by["right"]["right"].regulator_current > 0.1


@pytest.mark.identity
def test_the_receivers_current_sags_the_pack_it_comes_from():
    # the same launch, with the receiver's current carried by the pack inside the drive-train solver
    results = build()
    power, wing, pack = results.power, results.wing, results.flight.packs[1]
    x = power.right
    side = drivetrain.Side(kv=x.kv, resistance=x.resistance, base=x.no_load_base, slope=x.no_load_slope, propeller=x.table, series_resistance=x.series_resistance,
                           idle_current=x.idle_current, thrust_factor=x.thrust_factor, torque_factor=x.torque_factor)
    full = 3 * 4.2
    found = drivetrain.solve_side(side, full, x.supply_resistance + x.lead_resistance, pack.regulator_current, wing.stall_speed, power.density)
    assert pack.regulator_current > 0.1 and pack.current[0, 0] == pytest.approx(float(found.pack_current), rel=1e-9)
    assert pack.volts[0, 0] == pytest.approx(float(found.pack_voltage), rel=1e-9) and pack.full_volts[0] == pack.volts[0, 0]


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
        assert pack.time < flight.profile.begins[2] and pack.phase == "climb" and float(pack.charge(pack.time)) == pytest.approx(flight.end_charge, rel=1e-9)
        assert pack.mean("cruise") is None and pack.mean("circuits") is None


@pytest.mark.identity
def test_logged_flights_correct_the_times():
    log = [{"date": "2026-05-01", "time": "8 min", "left": "500 mAh", "right": "700 mAh"}, {"date": "2026-05-02", "time": "6 min", "left": "400 mAh", "right": "520 mAh"}]
    before, after = build().flight, build(bench__flights=log).flight
    for pack, was, put_back in zip(after.packs, before.packs, ((500 + 400) * 3.6, (700 + 520) * 3.6)):
        computed = sum((1.0 - float(was.charge(t))) * was.capacity for t in (480.0, 360.0))
        assert pack.correction == pytest.approx(put_back / computed, rel=1e-9) and pack.flights == 2
        assert pack.current == pytest.approx(pack.correction * was.current, rel=1e-9)
        assert pack.time < was.time
        assert (pack.time_high - pack.time_low) / pack.time < (was.time_high - was.time_low) / was.time


@pytest.mark.identity
def test_joined_packs_empty_together_and_in_between():
    two, joined = build().flight, build(power__packs="joined").flight
    assert joined.first == "both" and len(joined.packs) == 1 and joined.feeds == "shared"
    assert joined.time_left == joined.time_right == joined.land_by
    assert min(p.time for p in two.packs) < joined.land_by < max(p.time for p in two.packs)
    assert joined.packs[0].capacity == pytest.approx(1500 * 3.6 * (1.0 + 0.92))      # the older one, age 1.4, delivers 8 per cent less


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
    "W05": ("good", "Land by 17 min (14 to 21 min): then the right pack is down to 25 % and the left one still holds 35 %. The right pack also feeds the receiver: flown flat, it takes the radio with it.",
            None),
    "W07": ("good", "At the land-by time full throttle pulls each cell of the left pack to 3.48 V; the cut-off is set to 3.2 V.",
            None),
    "W08": ("look again", "The left pack has 97 mohm, the right one 58 mohm, 68 % apart; 20 % is usual for a pair.",
            "Fly a pair of one age and size: replace the left pack by one like the right one. Then look again at page 04 (Which pack is empty first): it may turn worse by this."),
}


@pytest.mark.pinned
def test_the_findings_in_words():
    found = {f.code: f for f in checks.findings(build().record, "weight")}
    assert {code: (found[code].verdict, found[code].sentence, found[code].advice and found[code].advice.sentence) for code in PINNED} == PINNED


@pytest.mark.identity
def test_no_pack_is_advised_that_nobody_sells():
    found = finding("W05", build(changes={"bench.points": [], "power.left.kv": "3000 rpm/V", "power.left.capacity": "9000 mAh", "power.right.capacity": "3000 mAh"}))
    assert found.verdict == "look again" and found.advice.changes == {} and "mAh" not in found.advice.sentence
    assert found.advice.sentence.startswith("Look on page 01 why the sides are so unlike, then trim the two sides to equal thrust on page 06; until then ")


@pytest.mark.identity
def test_a_pack_that_trips_in_the_launch_is_no_flight():
    found = finding("W05", build(changes={"bench.points": [], "power.left.kv": "10000 rpm/V"}))
    assert found.verdict == "stop" and found.sentence == "There is no flight: the left pack is down to the cut-off of 3.2 V a cell in the launch, within 0 s."


@pytest.mark.identity
def test_joined_packs_are_told_what_flows_when_they_differ():
    results = build(power__packs="joined", limits__pair_volts="0.05 V", weight__register=[])
    said = finding("W08", results).sentence
    flow = 3 * 0.05 / sum(p.resistance for p in results.power.packs)
    assert f"at that difference {units.say(flow, 'current', 'metric', 2)} already flow from one into the other" in said
