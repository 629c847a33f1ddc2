"""Cases of the wiring checker: each small build gives exactly the stop and look-again findings reasoned for it, and no others.

Reasoned from the rules of the trade: common practice, no source. left is A, right is B.
"""

import pytest

from builds import build
from twinkit import checks

SHARED = {"power.shared.cells": 3, "power.shared.capacity": "1500 mAh", "power.shared.c_rating": 30, "weight.shared.pack_behind": "-60 mm", "wiring.shared.pack_plug": "xt60"}
SOUND = {"wiring.left.set_cells": 3, "wiring.right.set_cells": 3, "wiring.left.regulator_kind": "switching", "wiring.left.regulator_current": "3 A", "wiring.own_cells": 4}
LEFT_FEEDS = {"wiring.left.red_lead": "connected", "wiring.right.red_lead": "isolated"}
BOTH_OUT = {"wiring.left.red_lead": "isolated", "wiring.right.red_lead": "isolated"}
ONE_ORDER = {"wiring.on_second": "pack", "wiring.on_third": None, "wiring.off_first": "pack", "wiring.off_second": "transmitter", "wiring.off_third": None}
LEFT_ORDER = {"wiring.on_second": "left_pack", "wiring.on_third": "right_pack", "wiring.off_first": "right_pack", "wiring.off_second": "left_pack"}
OWN_ORDER = {"wiring.on_second": "receiver_pack", "wiring.on_third": "left_pack", "wiring.on_fourth": "right_pack", "wiring.off_first": "left_pack", "wiring.off_second": "right_pack",
             "wiring.off_third": "receiver_pack", "wiring.off_fourth": "transmitter"}
L2 = {**SOUND, **SHARED, **LEFT_FEEDS, **ONE_ORDER, "power.packs": "one", "power.source": "left_bec"}
L4 = {**SOUND, **LEFT_FEEDS, **LEFT_ORDER, "power.source": "left_bec"}
L6 = {**SOUND, **SHARED, **BOTH_OUT, **ONE_ORDER, "power.packs": "one", "power.source": "stand_alone"}
L7 = {**SOUND, **BOTH_OUT, **OWN_ORDER, "power.source": "receiver_pack"}
OPTO = {f"wiring.{side}.{name}": value for side in ("left", "right") for name, value in (("regulator_kind", "none"), ("red_lead", "connected"))}

CASES = {
    "G1 one pack, left regulator, two channels, as it should be": (L2, set()),
    "G2 the same with both reds connected": ({**L2, "wiring.right.red_lead": "connected"}, {"R01"}),
    "G3 receiver pack with the left red still connected": ({**L7, "wiring.left.red_lead": "connected"}, {"R01"}),
    "G4 two packs, right servo ground cut together with its red": ({**L4, "wiring.right.ground_kept": False}, {"R05"}),
    "G5 stand-alone regulator whose output positive is missing": ({**L6, "wiring.mistake": "source_left_out"}, {"R02"}),
    "G6 two packs on the input of one regulator": (
        {**SOUND, **BOTH_OUT, **LEFT_ORDER, "power.source": "stand_alone", "power.stand_alone_feed": "left", "wiring.mistake": "both_packs_feed_regulator"}, {"R08"}),
    "G7 one controller for two motors": (
        {**SOUND, **SHARED, **ONE_ORDER, "power.packs": "one", "power.controllers": "one", "power.source": "left_bec", "wiring.left.red_lead": "connected",
         "wiring.channels": [{"channel": 3, "drives": "throttle", "direction": "normal"}]}, {"R11"}),
    "G8 opto-isolated controllers and no source for the receiver": ({**L7, **OPTO, "wiring.mistake": "source_left_out"}, {"R02", "R06"}),
    "G9 three cells on a regulator for two": ({**L2, "wiring.left.regulator_cells": 2}, {"R10"}),
    # The sound layouts the cases are made from.
    "two packs, left regulator, two channels": (L4, set()),
    "one pack, stand-alone regulator": (L6, set()),
    "two packs and a receiver pack": (L7, set()),
    "opto-isolated controllers and a receiver pack": ({**L7, **OPTO}, set()),
    "two packs, stand-alone regulator on the left one": ({**SOUND, **BOTH_OUT, **LEFT_ORDER, "power.source": "stand_alone", "power.stand_alone_feed": "left"}, set()),
}


def bad(results):
    """Codes of page 02 that say stop or look again."""
    return {found.code for found in checks.findings(results.record, "wiring", results) if found.verdict in ("stop", "look again")}


@pytest.mark.identity
@pytest.mark.parametrize("case", CASES)
def test_exactly_the_findings_expected(case):
    changes, expected = CASES[case]
    assert bad(build(changes=changes)) == expected


@pytest.mark.identity
def test_the_current_of_two_motors_on_one_controller_is_summed():
    results = build(changes=CASES["G7 one controller for two motors"][0])
    found = next(f for f in checks.findings(results.record, "wiring", results) if f.code == "R11")
    fresh = results.power.fresh
    assert found.verdict == "stop" and found.value == pytest.approx(float(fresh.left.motor_current) + float(fresh.right.motor_current), rel=1e-12)


@pytest.mark.identity
def test_a_lost_ground_that_another_way_replaces_is_looked_at_again_not_stopped():
    """One pack: the signal comes home by the power negatives. Two packs: it does not come home at all."""
    for layout, verdict in ((L2, "look again"), (L4, "stop")):
        results = build(changes={**layout, "wiring.right.ground_kept": False})
        found = next(f for f in checks.findings(results.record, "wiring", results) if f.code == "R05")
        assert found.verdict == verdict


@pytest.mark.identity
def test_too_many_cells_stop_also_a_regulator_that_feeds_nothing():
    found = next(f for f in checks.findings(build(changes={"wiring.left.regulator_cells": 2}).record, "wiring") if f.code == "R10")
    assert found.verdict == "stop" and found.sentence == "The left controller's regulator takes up to 2 cells, its pack has 3: it breaks when the pack goes in, used or not."


@pytest.mark.identity
def test_every_rule_of_the_trade_has_its_check():
    codes = {check.code for check in checks.REGISTRY if check.step == "wiring"}
    assert {f"R{number:02d}" for number in range(1, 19)} <= codes
