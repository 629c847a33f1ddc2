"""Page 04: room for the packs, the register of packs, pairs and packs that are joined."""

import pytest

from builds import build, finding, record
from twinkit.design import Results
from twinkit.physics import pack as packs


# --- room -------------------------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_an_estimated_size_has_the_mass_of_the_pack():
    item = next(i for i in build().weight.items if i.name == "pack, left")
    # common practice, no source: 2300 kg/m3, 3.3 to 1.6 to 1
    assert item.length * item.width * item.height * 2300.0 == pytest.approx(0.134, rel=1e-9)
    assert item.length / item.height == pytest.approx(3.3) and item.width / item.height == pytest.approx(1.6)
    assert 0.06 < item.length < 0.09, "a three-cell 1500 mAh pack is 65 to 85 mm long: common practice, no source"


@pytest.mark.identity
def test_the_ends_of_the_pack_stay_inside_nose_and_tail():
    results = build(weight__pack_foremost="-1500 mm", weight__pack_rearmost="1500 mm", weight__left__pack_length="100 mm", weight__right__pack_length="60 mm")
    left, right = results.slide.packs
    shape = results.geometry
    assert left.foremost - 0.050 == pytest.approx(shape.nose_behind + 0.005) and right.foremost - 0.030 == pytest.approx(shape.nose_behind + 0.005)
    assert left.rearmost + 0.050 == pytest.approx(shape.tail_end_behind - 0.005)


@pytest.mark.identity
def test_a_pack_far_out_lies_in_the_nacelle_and_slides_there():
    results = build(weight__left__pack_out="225 mm", weight__right__pack_out="225 mm", weight__left__pack_length="70 mm")
    left, shape = results.slide.packs[0], results.geometry
    assert left.room.where == "nacelle"
    front = shape.propeller_behind + 0.020
    assert left.foremost == pytest.approx(front + 0.035 + 0.035) and left.rearmost == pytest.approx(front + shape.nacelle_length - 0.035)


@pytest.mark.parametrize("changes, verdict, said", [
    ({}, "good", "Both packs go into the fuselage, beside or upon each other"),
    ({"weight.left.pack_out": "120 mm"}, "look again", "lies between fuselage and nacelle, where the wing has no room for it."),
    ({"weight.left.pack_out": "225 mm", "weight.right.pack_out": "225 mm", "weight.left.pack_width": "45 mm", "weight.left.pack_height": "30 mm"}, "look again", "does not go into the nacelle: that is 7 mm too narrow inside."),
    ({"weight.left.pack_out": "225 mm", "weight.right.pack_out": "225 mm", "weight.left.pack_length": "200 mm"}, "look again", "too long for the nacelle behind its motor."),
    ({"weight.left.pack_width": "60 mm", "weight.right.pack_width": "60 mm", "weight.left.pack_height": "50 mm", "weight.right.pack_height": "50 mm"}, "look again", ", with the other one at the same station, does not go into the fuselage"),
    ({"weight.left.pack_width": "60 mm", "weight.right.pack_width": "60 mm", "weight.left.pack_height": "50 mm", "weight.right.pack_height": "50 mm", "weight.right.pack_behind": "60 mm"}, "good", "Both packs go into the fuselage"),
], ids=["as drawn", "in the wing", "too wide for the nacelle", "too long for the nacelle", "not both at one station", "one behind the other"])
def test_whether_the_place_exists(changes, verdict, said):
    found = finding("W13", build(changes=changes))
    assert found.verdict == verdict and said in found.sentence
    if found.advice and found.advice.changes:
        assert finding("W13", build(changes={**changes, **found.advice.changes})).verdict == "good"


# --- the register -----------------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_page_01_flies_with_the_resistance_of_the_register():
    rows = [{"label": " a ", "resistance": "70 mohm"}, {"label": "B"}]
    flown = build(weight__register=rows).power.packs
    entered = build(power__left__pack_resistance="70 mohm", weight__register=rows[1:]).power.packs
    assert flown[0].resistance == pytest.approx(entered[0].resistance, rel=1e-12) and flown[0].measured
    assert flown[0].resistance_band == entered[0].resistance_band and not flown[1].measured
    both = build(power__left__pack_resistance="60 mohm", weight__register=rows).power.packs[0]
    assert both.resistance == pytest.approx(entered[0].resistance * 60 / 70, rel=1e-9), "what stands on page 01 goes first"


@pytest.mark.identity
def test_what_flows_against_the_law_of_two_sources():
    rows = [{"label": "A", "cells": 3, "capacity": "1500 mAh", "volts": "11.4 V", "resistance": "45 mohm"}, {"label": "B", "cells": 3, "capacity": "2200 mAh", "volts": "12.6 V", "resistance": "30 mohm"}]
    couple = build(weight__register=rows).register.flying
    # by hand: 1.2 V over 75 milliohm are 16 A
    assert couple.flow == pytest.approx(16.0, rel=1e-12) and couple.allowed == pytest.approx(1.5) and couple.cells_apart == pytest.approx(0.4)
    share = packs.parallel_sharing(12.6, 0.030, 11.4, 0.045, 0.0)
    assert float(share.current_1) == pytest.approx(couple.flow, rel=1e-12)


def test_packs_of_one_pair_are_looked_at_two_by_two():
    register = build().register
    assert [(c.one.label, c.other.label) for c in register.couples] == [("B", "C")]
    assert {side: p.label for side, p in register.flown.items()} == {"left": "A", "right": "B"} and register.unlisted == ()
    assert register.packs[0].charge == pytest.approx(0.48, abs=0.02), "3.82 V a cell: about half full"


@pytest.mark.parametrize("changes, verdict, said", [
    ({}, "look again", "They are not of one pair."),
    ({"power.left.pack_name": "C", "power.left.c_rating": 30}, "good", "C (left, bought 2026-03, 4 cycles) flies with B (right, bought 2026-03, 6 cycles); at rest their cells are 0.003 V apart, 0.02 V is usual after the same flight."),
    ({"power.left.pack_name": "Z"}, "look again", "The pack flown on the left is not in the register; it lists A, B, C."),
    ({"power.left.capacity": "2200 mAh"}, "look again", "A: the register says 1500 mAh, page 01 something else."),
])
def test_packs_that_belong_together(changes, verdict, said):
    found = finding("W11", build(changes=changes))
    assert found.verdict == verdict and said in found.sentence
    if found.advice and found.advice.changes:
        assert finding("W11", build(changes={**changes, **found.advice.changes})).verdict == "good"


@pytest.mark.parametrize("volts, verdict, said", [
    ("11.4 V", "good", "A at 3.80 V a cell: fit to lie."), ("12.6 V", "look again", "Not at storage: A at 4.20 V a cell"), ("10.5 V", "look again", "Not at storage: A at 3.50 V a cell"),
    ("8.7 V", "stop", "Below 3.0 V a cell: A at 2.90 V a cell. Charging such a pack may set it on fire."), ("13.2 V", "stop", "Above a full cell: A at 4.40 V a cell."),
])
def test_how_a_pack_is_kept(volts, verdict, said):
    changes = {"weight.register": [{"label": "A", "cells": 3, "volts": volts}]}
    found = finding("W12", build(changes=changes))
    assert found.verdict == verdict and said in found.sentence
    if found.advice and found.advice.changes:
        assert finding("W12", build(changes={**changes, **found.advice.changes})).verdict == "good"


def test_an_empty_register_and_one_without_volts():
    assert Results(record(weight__register=[])).register.missing == ("weight.register",)
    found = finding("W12", build(weight__register=[{"label": "A"}]))
    assert found.verdict == "look again" and found.sentence == "No resting volts are written down."


@pytest.mark.identity
def test_the_heavy_wing_in_degrees_of_aileron():
    results = build(weight__left__pack_out="140 mm")
    wing, weight, out = results.wing, results.weight, results.rudder
    pressure = 0.5 * results.start.density * wing.approach_speed**2
    made = pressure * results.geometry.area * results.geometry.span * float(out.derivatives.cl_aileron) * results.level.aileron
    assert made == pytest.approx(weight.mass * 9.80665 * abs(weight.cg_out), rel=1e-6)
    assert build("siskin", wing__aileron_share="0 %").level.aileron is None
