"""Single failures of the usual layouts against the table of the trade, and properties of all layouts.

The expected table was set up by reasoning on a graph of the wiring, before this package: common practice, no source. Left is A, right is B.
"""

from itertools import islice

import pytest

from twinkit.circuit.faults import NOTES, RESULTS, failure_table, outcome, pairs, single_failures, single_points
from twinkit.circuit.layouts import Layout, build, buildable

ALL = buildable()
COLUMNS = ("L1", "L2", "L3", "L4", "L6", "L7", "L8")
LOST, RIGHT, LEFT, BOTH, NONE = "radio lost", "right only", "left only", "both", None
SNEAK, BURNS, HALF, SOFT, RARE, RECORD = "by sneak path", "burns", "half capacity", "soft", "rare: common bus", "running on is on record"

# failure: kinds, side, then a cell for each of COLUMNS: (result, notes that must be there); None where the layout has no such failure.
TABLE = {
    "left pack dead or + lead open": (("pack dead",), "left", [(LOST,), (LOST,), (LOST,), (LOST,), (LOST,), (RIGHT,), (BOTH, HALF)]),
    "right pack dead or + lead open": (("pack dead",), "right", [NONE, NONE, (LEFT,), (LEFT,), NONE, (LEFT,), (BOTH, HALF)]),
    "left controller dead with its regulator": (("controller dead",), "left", [(LOST,), (LOST,), (LOST,), (LOST,), (RIGHT,), (RIGHT,), (LOST,)]),
    "left bridge dead, regulator alive": (("bridge dead",), "left", [(RIGHT,)] * 7),
    "right controller dead": (("controller dead", "bridge dead"), "right", [(LEFT,)] * 7),
    "regulator in use dead or receiver pack flat": (("supply dead",), None, [(LOST,)] * 7),
    "left motor dead, propeller lost, one phase open": (("motor dead", "propeller lost", "phase open"), "left", [(RIGHT,)] * 7),
    "left signal wire open": (("signal open",), "left", [(RIGHT, RECORD)] * 7),
    "left servo plug out": (("servo plug out",), "left", [(LOST,), (LOST,), (LOST,), (LOST,), (RIGHT,), (RIGHT,), (LOST,)]),
    "right servo plug out": (("servo plug out",), "right", [(LEFT,)] * 7),
    "Y trunk plug out": (("trunk out",), "centre", [(LOST,), NONE, (LOST,), NONE, NONE, NONE, NONE]),
    "left servo ground open only": (("servo ground open",), "left",
                                    [(BOTH, SNEAK), (BOTH, SNEAK), (LOST,), (LOST,), (BOTH, SNEAK), (RIGHT,), (BOTH, SNEAK)]),
    "left power negative open": (("power negative open",), "left",
                                 [(LOST, BURNS), (LOST, BURNS), (LOST,), (LOST,), (LOST, BURNS), (RIGHT,), (LOST, BURNS)]),
    "voltage cut on the left only": (("voltage cut",), "left",
                                     [(RIGHT, SOFT, RARE), (RIGHT, SOFT, RARE), (RIGHT, SOFT), (RIGHT, SOFT), (RIGHT, SOFT, RARE), (RIGHT, SOFT), (RIGHT, SOFT, RARE)]),
    # "Dead" above means open. Shorted and high, from the text under the table:
    "left bridge shorted": (("bridge shorted",), "left", [(LOST, "fire risk")] * 5 + [(RIGHT, "fire risk"), (LOST, "fire risk")]),
    "right bridge shorted": (("bridge shorted",), "right", [(LOST, "fire risk")] * 2 + [(LEFT, "fire risk")] * 2
                             + [(LOST, "fire risk"), (LEFT, "fire risk"), (LOST, "fire risk")]),
    "a cell shorted in joined packs": (("cell shorted",), None, [NONE] * 6 + [(LOST, "fire risk")]),
    "regulator in use fails high": (("supply high",), None, [(LOST, "over-voltage")] * 5 + [NONE, (LOST, "over-voltage")]),
}
ONLY_WHEN_SAID = {SNEAK, BURNS, HALF, SOFT, RARE}


def failures(wiring, kinds, side):
    sides = {side, "centre"} if kinds == ("pack dead",) and side == "left" else {side}
    return [failure for failure in single_failures(wiring) if failure.kind in kinds and (side is None or failure.side in sides)]


@pytest.mark.identity
@pytest.mark.parametrize("column", COLUMNS)
@pytest.mark.parametrize("row", TABLE)
def test_failure_table(usual, row, column):
    kinds, side, cells = TABLE[row]
    wiring, cell = build(usual[column]), cells[COLUMNS.index(column)]
    found = failures(wiring, kinds, side)
    assert (cell is None) == (not found)
    for failure in found:
        result = outcome(wiring, failure)
        assert result.result == cell[0]
        assert set(cell[1:]) <= set(result.notes)
        assert set(result.notes) & ONLY_WHEN_SAID == set(cell[1:]) & ONLY_WHEN_SAID
        assert bool(result.burnt) == (BURNS in cell)


def mirrored(text):
    return text.replace("left", "\0").replace("right", "left").replace("\0", "right")


@pytest.mark.identity
@pytest.mark.parametrize("layout", [one for one in ALL if one.controllers == "two"], ids=repr)
def test_a_mirrored_layout_has_mirrored_outcomes(layout):
    straight = {(mirrored(f.kind + f.code), mirrored(f.side), mirrored(o.result), frozenset(o.notes)) for f, o in failure_table(build(layout))}
    turned = {(f.kind + f.code, f.side, o.result, frozenset(o.notes)) for f, o in failure_table(build(layout.mirrored()))}
    assert straight == turned


@pytest.mark.identity
def test_every_failure_is_distinct_and_speaks():
    for layout in ALL[::7]:
        table = failure_table(build(layout))
        codes = [failure.code for failure, _ in table]
        assert len(codes) == len(set(codes))
        for failure, result in table:
            assert result.result in RESULTS and set(result.notes) <= set(NOTES) and failure.words and result.words().endswith(".")


@pytest.mark.identity
def test_two_packs_alone_are_no_redundancy(usual):
    """One regulator feeding the radio: its pack, its controller and its plug each lose everything. Diodes or a receiver pack cure that."""
    def parts_that_lose_the_radio(layout):
        return {(p.failure.kind, p.failure.side) for p in single_points(build(layout)) if p.outcome.result == "radio lost"}
    chain = {("pack dead", "left"), ("controller dead", "left"), ("servo plug out", "left")}
    assert chain <= parts_that_lose_the_radio(usual["L4"])
    for cure in (usual["L7"], Layout(source="both_diodes")):
        kinds = {kind for kind, _ in parts_that_lose_the_radio(cure)}
        assert not kinds & {"pack dead", "controller dead", "servo plug out", "bridge shorted", "voltage cut"}
    # The cure brings its own single point, and a regulator failing high passes through diodes.
    assert ("supply dead", "centre") in parts_that_lose_the_radio(usual["L7"])
    assert {kind for kind, _ in parts_that_lose_the_radio(Layout(source="both_diodes"))} == {"supply high", "receiver dead"}


@pytest.mark.identity
def test_single_points_in_words(usual):
    said = [point.sentence for point in single_points(build(usual["L3"]))]
    assert "If the left servo plug comes out, the radio is lost and both motors with it." in said
    assert "If the Y trunk plug comes out, the radio is lost and both motors with it." in said
    own = build(Layout(source="receiver_pack", throttle="y_lead"))
    assert "If the Y trunk plug comes out, both motors stop; the radio stays." in [point.sentence for point in single_points(own)]


@pytest.mark.identity
def test_removing_the_power_negative_burns_only_where_the_negatives_are_joined(usual):
    burnt = {name: outcome(build(layout), failures(build(layout), ("power negative open",), "left")[0]).burnt for name, layout in usual.items()}
    assert {name for name, wires in burnt.items() if wires} == {"L1", "L2", "L6", "L8"}
    assert burnt["L2"] == ("left_servo_ground", "right_servo_ground")
    assert set(burnt["L6"]) == {"left_servo_ground", "right_servo_ground", "regulator_ground"}
    opto = build(Layout("one", source="receiver_pack", opto=(True, True)))   # isolated: no way through the servo ground
    result = outcome(opto, failures(opto, ("power negative open",), "left")[0])
    assert result.result == "right only" and not result.burnt


@pytest.mark.identity
def test_pairs_are_never_better_than_either_alone(usual):
    worth = {"both": 3, "left only": 2, "right only": 2, "no motor": 1, "radio lost": 0}
    runs = {"both": {"left", "right"}, "left only": {"left"}, "right only": {"right"}, "no motor": set(), "radio lost": set()}
    for layout in (usual["L1"], usual["L4"], usual["L8"], Layout(source="both_diodes")):
        wiring = build(layout)
        alone = {failure: result.result for failure, result in failure_table(wiring)}
        for first, second, both in islice(pairs(wiring), 0, None, 5):
            assert worth[both.result] <= min(worth[alone[first]], worth[alone[second]])
            assert runs[both.result] <= runs[alone[first]] & runs[alone[second]]


@pytest.mark.identity
def test_named_pairs(usual):
    wiring = build(usual["L7"])
    left, right = failures(wiring, ("pack dead",), "left")[0], failures(wiring, ("pack dead",), "right")[0]
    assert outcome(wiring, left, right).result == "no motor"
    shared = build(usual["L2"])
    grounds = [failures(shared, ("servo ground open",), side)[0] for side in ("left", "right")]
    assert outcome(shared, *grounds).result == "radio lost"          # the sneak path needs the other ground
    negative = failures(shared, ("power negative open",), "right")[0]
    later = outcome(shared, negative, failures(shared, ("servo plug out",), "right")[0])
    assert later.result == "radio lost" and "burns" in later.notes      # the plug came out too late: the worst order counts
    diodes = build(Layout(source="both_diodes"))
    supplies = failures(diodes, ("supply dead",), None)
    assert "no reserve left" in outcome(diodes, supplies[0]).notes and outcome(diodes, *supplies).result == "radio lost"
