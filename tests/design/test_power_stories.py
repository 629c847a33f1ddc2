"""Failure stories page 01 exists to stop: a build is made to go wrong that way, the page's finding stops it, and its advice mends it.

The stories are facts of the trade: common practice, no source.
"""

import pytest

from builds import build, finding, record
from twinkit import checks
from twinkit.design import Results
from twinkit.record import Record

SIDES = ("left", "right")


def followed(code, changes):
    """A finding on the demo build with these changes, and the same after its advice."""
    found = finding(code, build(changes=changes))
    return found, finding(code, Results(record("dunlin", {**changes, **found.advice.changes})))


@pytest.mark.identity
def test_the_regulators_side_flat_first_and_the_radio_gone():
    """Regulator side flat first, radio gone while the other pack was half full (pages 01 and 04)."""
    changes = {"power.source": "right_bec", "power.right.capacity": "1000 mAh"}
    results = build(changes=changes)
    found, after = followed("P15", changes)
    assert found.verdict == "stop" and "The right pack alone feeds the receiver: whoever flies on loses the radio" in found.sentence
    assert results.discharge.first == "right" and results.discharge.rest > 0.5, "the other pack is still half full"
    assert after.verdict == "good"
    later = finding("W05", results)
    assert later.verdict == "stop" and "it takes the radio with it" in later.sentence, "page 04 says it again for the flown profile"
    assert finding("P12", results).verdict == "look again" and "the right pack dies" in finding("P12", results).sentence
    both = build(changes=changes | {"power.source": "both_diodes", **{f"wiring.{s}.red_lead": "connected" for s in SIDES}})
    assert finding("P15", both).verdict != "stop" and "The receiver has another pack." in finding("P15", both).sentence


@pytest.mark.identity
@pytest.mark.parametrize("code, changes", [("P12", {}), ("P15", {}), ("P12", {"power.packs": "joined"})], ids=["one pack dead", "one pack flat", "packs joined"])
def test_no_advice_moves_the_receiver_to_a_regulator_that_page_02_stops(code, changes):
    """Linear regulator too hot with four servos (page 02): the advice of page 01 must not lead there."""
    found, after = followed(code, changes)
    assert found.verdict == "look again" and after.verdict == "good"
    assert finding("R13", Results(record("dunlin", {**changes, **found.advice.changes}))).verdict == "good"


@pytest.mark.identity
def test_a_cool_regulator_on_the_other_side_is_still_the_first_advice():
    cool = build(changes={"wiring.left.regulator_kind": "switching", "wiring.left.regulator_current": "3 A"})
    assert finding("P12", cool).advice.changes["power.source"] == "both_diodes" and finding("P15", cool).advice.changes["power.source"] == "left_bec"


@pytest.mark.identity
def test_one_old_and_one_new_pack_joined():
    """One old and one new pack joined: hot lead, puffed pack (pages 02 and 04; page 01 where the packs are chosen)."""
    changes = {"power.packs": "joined", "power.left.pack_age": 2.6, "power.right.pack_age": 1, "power.right.c_rating": 30}
    results = build(changes=changes)
    found, after = followed("P16", changes)
    assert found.verdict == "stop" and "The right one works" in found.sentence and found.advice.sentence.startswith("Join a pair of one age and size: replace the left pack. Then look again at page 04 (")
    assert after.verdict == "good"
    old, new = results.power.pack_currents(results.power.fresh)
    assert new > 2.0 * old
    assert finding("W08", results).verdict == "stop" and "replace the left pack" in finding("W08", results).advice.sentence
    unlike, mended = followed("P16", {"power.packs": "joined", "power.right.cells": 2})
    assert unlike.verdict == "stop" and "must never be joined" in unlike.sentence and mended.verdict != "stop"


@pytest.mark.identity
def test_a_slow_fly_propeller_on_a_fast_motor():
    """Slow-fly propeller burst on a fast motor (page 01)."""
    changes = {f"power.{side}.propeller_style": "slowfly" for side in SIDES}
    found, after = followed("P03", changes)
    assert found.verdict == "stop" and found.limit == 65000.0 and found.value > 65000.0
    assert after.verdict == "good" and found.advice.sentence == "Fit propellers of the thin electric kind."
    slow = build(changes=changes | {f"power.{side}.kv": "620 rpm/V" for side in SIDES} | {"bench.points": []})
    assert finding("P03", slow).verdict == "good", "the same propeller on a slow motor is what it is made for"


@pytest.mark.identity
def test_what_stops_a_story_is_in_what_the_command_line_and_the_record_print():
    results = build(changes={"power.right.capacity": "1000 mAh"})
    stops = {f.code for f in checks.findings(results.record, "power", results) if f.verdict == "stop"}
    assert "P15" in stops


# --- bad input ---------------------------------------------------------------------------------------------------------------

BAD = {
    ("power.left.kv", "0 rpm/V"): "power.left.kv: '0 rpm/V' is outside what is possible, 100 to 10000 rpm/V; the nearest is 100 rpm/V",
    ("power.left.kv", "nan"): "power.left.kv: 'nan' does not begin with a number",
    ("power.left.kv", float("nan")): "power.left.kv: nan is not a number that can stand here: write it like 600 rpm/V",
    ("power.left.motor_resistance", "-80 mohm"): "power.left.motor_resistance: '-80 mohm' is outside what is possible, 1 to 2000 mohm; the nearest is 1 mohm",
    ("power.left.propeller_diameter", "30 in"): "power.left.propeller_diameter: '30 in' is outside what is possible, 3 to 24 in; the nearest is 24 in",
    ("power.left.blades", "5"): "power.left.blades: '5' is outside what is possible, 2 to 4; the nearest is 4",
    ("power.left.cells", "8.5"): "power.left.cells: '8.5' is not a whole number; nearest: 8 or 9",
    ("power.left.propeller_style", "slow fly"): "power.left.propeller_style: 'slow fly' is not one of electric, slowfly, sport, folding; nearest: slowfly",
}


@pytest.mark.parametrize("path, value", BAD, ids=lambda x: str(x))
def test_bad_input_is_named_with_what_is_allowed_and_nothing_is_lost(path, value, tmp_path):
    file = tmp_path / "build.toml"
    own = record("dunlin")
    own.save(file)
    before, on_disk = own.text(), file.read_bytes()
    with pytest.raises(ValueError) as refused:
        own.set(path, value)
    assert str(refused.value) == BAD[path, value]
    assert own.text() == before and file.read_bytes() == on_disk


def test_bad_entries_in_the_file_are_told_all_at_once_and_the_rest_is_worked_out(tmp_path):
    file = tmp_path / "build.toml"
    text = record("dunlin").text().replace('kv = "1060 rpm/V"', 'kv = "0 rpm/V"').replace('capacity = "1500 mAh"', 'capacity = "nan mAh"', 1)
    file.write_text(text, encoding="utf-8")
    own = Record.read(file)
    told = [p.sentence for p in own.problems]
    assert len(told) == 2 and any("100 to 10000 rpm/V" in s for s in told) and any("power.left.capacity" in s for s in told)
    results = Results(own)
    assert {"power.left.kv", "power.left.capacity"} <= set(results.power.missing)
    assert {f.verdict for f in checks.findings(own, "power", results)} >= {"cannot tell"}
    assert file.read_text(encoding="utf-8") == text


@pytest.mark.identity
def test_eight_cells_on_a_controller_for_four():
    found, after = followed("P08", {"power.left.cells": 8})
    assert found.verdict == "stop" and found.sentence == "The left controller takes up to 4 cells; its pack has 8."
    assert found.advice.sentence == "Use a controller for 8 cells, or a pack of 4." and after.verdict == "good"


@pytest.mark.identity
def test_a_resistance_nobody_gave_is_estimated_and_marked():
    results = build(changes={"power.left.motor_resistance": None, "bench.points": []})
    assert "power.left.motor_resistance" in finding("P01", results).assumed
    assert results.power.left.resistance_from == "estimate"


@pytest.mark.identity
def test_a_propeller_outside_the_fitted_range_is_said_to_be():
    results = build(changes={f"power.{s}.propeller_{n}": v for s in SIDES for n, v in (("diameter", "14 in"), ("pitch", "4 in"))} | {"bench.points": []})
    found = finding("P19", results)
    assert found.verdict == "look again" and "a diameter over 11.5 inches" in found.sentence and "an unusual pitch" in found.sentence
