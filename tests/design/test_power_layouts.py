"""Page 01: layouts beside each other, and the discharge of both sides."""

from dataclasses import replace

import numpy as np
import pytest

from builds import build
from twinkit import tables, units
from twinkit.circuit import faults, layouts
from twinkit.design.power import solve
from twinkit.drawings import power_failures, power_layouts

SIDES = ("left", "right")


# --- layouts -----------------------------------------------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_your_own_row_is_what_the_page_says_elsewhere(name):
    results = build(name)
    mine = results.layouts.rows[0]
    assert mine.chosen and mine.more_mass == 0.0
    assert mine.thrust == pytest.approx(results.power.full.thrust, rel=1e-9) and mine.time == pytest.approx(results.discharge.time, rel=1e-9)


@pytest.mark.identity
@pytest.mark.parametrize("words, changes", [("two packs joined in parallel", {"power.packs": "joined"}), ("the receiver on a pack of its own", {"power.source": "receiver_pack", "wiring.right.red_lead": "isolated"})])
def test_a_row_is_what_the_page_says_once_that_layout_is_chosen(words, changes):
    row = next(r for r in build().layouts.rows if r.words == words)
    after = build(changes=changes)
    assert row.thrust == pytest.approx(after.power.full.thrust, rel=5e-3), "leads may change with the layout; the parts are the same"
    assert row.time == pytest.approx(after.discharge.time, rel=2e-2)


@pytest.mark.identity
def test_masses_are_sums_of_the_parts_that_differ():
    rows, masses = {r.words: r for r in build().layouts.rows}, tables.values("power/layout_masses")
    assert rows["the receiver on a pack of its own"].more_mass == pytest.approx(masses["receiver_pack"], rel=1e-9)
    assert rows["the receiver on both regulators, a diode each"].more_mass == pytest.approx(masses["diodes"], rel=1e-9)
    assert rows["one pack for both sides"].more_mass == pytest.approx(-0.131, rel=1e-9), "the right pack stays at home"
    assert rows["one controller for both motors"].thrust is None and rows["one controller for both motors"].more_mass < 0.0


@pytest.mark.identity
def test_every_layout_that_can_be_built_is_counted_from_its_graph():
    whole = build().layouts.whole
    expected = [one for one in layouts.buildable() if one.opto == (False, False) and one.controllers == "two" and one.source != "both"]
    assert {w.layout for w in whole} == set(expected) and [w.chosen for w in whole].count(True) == 1
    for w in whole[::5]:
        outcomes = [o.result for _, o in faults.failure_table(layouts.build(w.layout))]
        assert w.lose_all == sum(r in ("radio lost", "no motor") for r in outcomes)
    straight = build(changes={"power.source": "both"}).layouts.whole
    assert any(w.chosen and w.layout.source == "both" for w in straight), "your own is shown even where page 02 stops it"


def test_titles_of_the_layout_pictures():
    results = build()
    assert power_layouts.LayoutBars.make(results).title == ("Yours loses everything in 10 of its single failures; the receiver on a pack of its own would in 5"), "page 02 stops the diodes for heat"
    assert power_layouts.AllLayouts.make(results).title == ("32 layouts can be soundly wired (page 02 stops 12 for their regulators); yours loses everything "
                                                            "in 10 cases, the best of the others in 5: two packs, a receiver pack")
    cool = build(changes={"wiring.left.regulator_kind": "switching", "wiring.left.regulator_current": "3 A"})
    assert power_layouts.LayoutBars.make(cool).title.endswith("the receiver on both regulators, a diode each would in 3")
    unbuildable = build(changes={"power.controllers": "one"})
    assert power_layouts.LayoutBars.make(unbuildable).title.startswith("Yours cannot be built; of those beside it,")


@pytest.mark.identity
def test_pairs_are_counted_once_each_and_agree_with_the_graph():
    results = build()
    sheet = power_failures.pairs_sheet(results)
    found = [o.result for *_, o in faults.pairs(results.layout.wiring)]
    counts = {row[1]: int(row[2]) for row in sheet.rows if row[0] == "all pairs"}
    assert sum(counts.values()) == len(found) and counts["radio lost"] == found.count("radio lost")
    assert sheet.note.startswith("0 pairs lose the radio although neither failure does so alone.")
    diodes = build(changes={"power.source": "both_diodes", **{f"wiring.{s}.red_lead": "connected" for s in SIDES}})
    told = power_failures.pairs_sheet(diodes)
    assert not told.note.startswith("0 pairs") and any("the left pack dies" in row[0] and "the right pack dies" in row[0] and row[1] == "radio lost" for row in told.rows)


# --- discharge ---------------------------------------------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_the_discharge_against_small_steps_in_time(name):
    # independent route: every side solved again each quarter of a minute, charge counted down
    results = build(name)
    power, found = results.power, results.discharge
    assert results.record.value("power.pack_temperature") >= 293.15, "the packs are warm here: only age takes charge"
    # a fifth less at age 2, in proportion from new: common practice, no source
    gives = {p.side: p.capacity * (1.0 - 0.2 * (results.record.value(f"power.{p.side}.pack_age") - 1.0)) for p in power.packs}
    gives["shared"] = sum(gives.values())
    curve, extra, drain = tables.read("pack/cell_voltage").columns, results.record.value("weight.manoeuvre"), results.wiring.regulator_input_current
    charge, step = {s.side: 1.0 for s in found.supplies}, 15.0
    for _ in range(int(found.time / step)):
        sides = [replace(s, emf=s.pack.cells * float(np.interp(charge.get(s.side, charge.get("shared")), curve["charge"], curve["ramadass2004"]))) for s in (power.left, power.right)]
        at = solve(*sides, power.shared, found.throttle, found.throttle, found.speed, power.density)
        draw = {s: (1.0 + extra) * float(getattr(at, s).pack_current) for s in SIDES}
        for supply in found.supplies:
            amps = sum(draw.values()) + sum(drain.values()) if supply.side == "shared" else draw[supply.side] + drain.get(supply.side, 0.0)
            charge[supply.side] -= amps * step / gives[supply.side]
    first = min(found.supplies, key=lambda s: s.time)
    assert charge[first.side] == pytest.approx(first.charge, abs=0.012)
    if len(charge) == 2:
        assert max(charge.values()) == pytest.approx(found.rest, abs=0.012)


@pytest.mark.identity
def test_the_side_that_feeds_the_receiver_is_empty_earlier():
    same = {"power.right.kv": "1060 rpm/V", "power.right.motor_mass": "54 g", "power.right.no_load_current": "0.7 A", "power.right.c_rating": 25, "power.right.pack_age": 1.4, "bench.points": []}
    found = build(changes=same).discharge
    left, right = found.supplies
    assert found.first == "right" and right.feeds and not left.feeds and right.time < left.time
    drawn = right.current - left.current
    assert drawn == pytest.approx(np.full(drawn.size, build(changes=same).wiring.regulator_input_current["right"]), rel=1e-6)
    assert found.apart < 0.0 and abs(found.apart_fresh) < 1e-9, "alike sides are unlike once one has carried the servos"
    own = build(changes=same | {"power.source": "receiver_pack", "wiring.right.red_lead": "isolated"}).discharge
    assert own.first == "both" and own.apart == pytest.approx(0.0, abs=1e-9)


OWN = {"power.right.kv": "1060 rpm/V", "power.right.motor_mass": "54 g", "power.right.no_load_current": "0.7 A", "power.right.c_rating": 25, "power.right.pack_age": 1.4,
       "bench.points": [], "power.source": "receiver_pack", "wiring.right.red_lead": "isolated"}      # sides alike, the receiver on a pack of its own


@pytest.mark.identity
@pytest.mark.parametrize("measured", [{}, {f"power.{s}.pack_resistance": "60 mohm" for s in SIDES}], ids=["label", "measured resistance"])
def test_an_older_or_colder_pack_is_never_later(measured):
    def ends(**changes):
        return {s.side: s.time for s in build(changes=OWN | measured | {f"power.{k}": v for k, v in changes.items()}).discharge.supplies}

    aged = [ends(**{"right.pack_age": age}) for age in (1.0, 1.4, 2.0, 3.0)]
    assert all(later["right"] < sooner["right"] for sooner, later in zip(aged, aged[1:])) and aged[2]["right"] < 0.9 * aged[2]["left"]
    cold = [ends(pack_temperature=t) for t in ("20 °C", "10 °C", "0 °C", "-10 °C")]
    assert all(later[s] < sooner[s] for s in SIDES for sooner, later in zip(cold, cold[1:]))


@pytest.mark.identity
@pytest.mark.parametrize("age, first", [(1.0, "left"), (1.4, "both"), (2.0, "right")])
def test_this_page_and_page_04_name_the_same_side(age, first):
    results = build(changes=OWN | {"power.right.pack_age": age})
    assert results.discharge.first == results.flight.first == first
    assert results.discharge.time > results.flight.land_by, "straight cruise outlasts a flight with launch, climb and turns"
    rows = {row.words: row.time for row in results.layouts.rows}
    assert rows["as you chose"] == results.discharge.time
    joined = build(changes=OWN | {"power.right.pack_age": age, "power.packs": "joined"}).discharge
    assert rows["two packs joined in parallel"] == pytest.approx(joined.time, rel=2e-2)


@pytest.mark.identity
def test_a_cold_pack_meets_its_cut_off_before_its_charge():
    found = build(changes={"power.pack_temperature": "-8 °C", "weight.usable": "94 %", "power.left.pack_age": 3}).discharge
    left = next(s for s in found.supplies if s.side == "left")
    assert left.limit == "cut-off" and left.charge > 0.06
    assert float(np.interp(-left.charge, -np.linspace(1.0, 0.05, 20), left.volts)) == pytest.approx(found.cut_off, rel=1e-6)


def test_what_is_missing_is_said():
    assert build(changes={"start.cruise_guess": None}).discharge.missing == ("start.cruise_guess",)
    assert not build("blank").discharge.known
    found = build()
    minutes, rest, more = (units.digits(x, 2) for x in (found.discharge.time / 60.0, 100.0 * found.discharge.rest, 100.0 * found.discharge.apart))
    assert power_layouts.discharge_words(found) == (f"The right pack, which feeds the receiver, is down to 25 % after {minutes} min; the left one still holds {rest} % and full throttle "
                                                    f"then pulls {more} % more on the right")
