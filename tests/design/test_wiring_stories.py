"""Failure stories of the trade: a build is made to go wrong that way, and page 02 stops it. Common practice, no source: what happened is told at the club."""

import pytest

from builds import build, finding
from twinkit import checks
from twinkit.circuit.power_up import ready, step, Event
from twinkit.drawings.wiring import SHEETS

BAD = ("stop", "look again")


def stopped(code, changes, name="dunlin", verdict="stop"):
    """The finding, on a build in which it was good before."""
    before, after = finding(code, build(name)), finding(code, build(name, changes))
    assert before.verdict == "good", before.sentence
    assert after.verdict == verdict, after.sentence
    return after


def mended(found, changes, name="dunlin"):
    """Whether following the advice makes it good."""
    return finding(found.code, build(name, {**changes, **found.advice.changes})).verdict == "good"


@pytest.mark.identity
def test_story_1_throttle_cut_stopped_the_left_the_right_motor_cut_a_hand():
    found = stopped("R23", {"wiring.right.cut_set": False})
    assert "throttle cut on the right output" in found.sentence and mended(found, {"wiring.right.cut_set": False})
    unseen = finding("R23", build(changes={"wiring.right.cut_set": None}))
    assert unseen.verdict == "cannot tell" and unseen.sentence.startswith("Nobody has tried: the throttle cut on the right output.")
    sheet = SHEETS["transmitter"](build(changes={"wiring.right.cut_set": None, "wiring.left.failsafe_set": False}))
    assert [row[3:5] for row in sheet.rows[:2]] == [("yes, tried", "NO"), ("cannot tell", "yes, tried")]


@pytest.mark.identity
def test_story_2_rudder_moved_at_idle_one_propeller_spun():
    """The finding stands on page 06, where the mix is set; the transmitter sheet of page 02 shows it, and what nobody has said."""
    def row(changes):
        sheet = SHEETS["transmitter"](build(changes=changes))
        return next((cells[2], mark) for cells, mark in zip(sheet.rows, sheet.marks) if cells[0] == "rudder stick to the throttles")

    awake = {"rudder.mix": "thrust", "rudder.mix_from": "8 %", "rudder.idle": "5 %"}
    assert finding("Y08", build(changes=awake)).verdict == "stop"
    assert row(awake) == ("asleep up to 3.0 % above idle", "stop")
    assert row({"rudder.mix": "thrust", "rudder.mix_from": "15 %", "rudder.idle": "5 %"}) == ("asleep up to 10 % above idle", "good")
    assert row({"rudder.mix": "thrust", "rudder.mix_from": None}) == ("cannot tell", "cannot tell"), "nobody has looked"
    assert row({"rudder.mix": None}) == ("cannot tell", "cannot tell"), "nobody has said"
    assert row({"rudder.mix": "none"}) == ("not mixed", "good")


@pytest.mark.identity
def test_story_4_two_regulators_on_one_bus_one_tripped_then_the_other():
    changes = {"wiring.left.red_lead": "connected"}
    found = stopped("R01", changes)
    assert mended(found, changes)
    # Four servos: one of the two carries the whole average in half of all pairs, and the linear one may not give it for good.
    bus = build(changes=changes).wiring
    assert bus.sharing.alone_average > 0.3 and bus.load_average > bus.supplies["left"].allowed_current


@pytest.mark.identity
def test_story_5_cut_red_lead_bare_touched_the_spar():
    found = stopped("R03", {"wiring.left.red_lead": "bare"})
    assert mended(found, {"wiring.left.red_lead": "bare"})
    touched = build(changes={"wiring.mistake": "stub_on_spar", "wiring.mistake_side": "left"})
    assert finding("R03", touched).verdict == finding("R07", touched).verdict == "stop"
    assert {one.line.kind for one in touched.metering.lines if one.as_entered != one.line.expected} >= {"red stub"}, "the meter beeps before the pack goes in"


@pytest.mark.identity
def test_story_7_regulator_side_pulled_first_other_motor_live():
    changes = {"wiring.off_first": "right_pack", "wiring.off_second": "left_pack"}
    found = stopped("R25", changes)
    assert found.sentence.startswith("After landing, step 1 (unplug the right pack): The receiver loses its supply while a controller still has power") and mended(found, changes)
    sheet = SHEETS["your_order"](build(changes=changes))
    assert [row[3] for row in sheet.rows if row[0] == "unplug the right pack"] == ["off"]
    assert "stop" in sheet.marks


@pytest.mark.identity
def test_story_8_trunk_of_the_y_lead_pulled_out_in_flight():
    changes = {"power.throttle": "y_lead", "wiring.plugs_held": False}
    found = stopped("R17", changes)
    assert "the Y trunk plug" in found.sentence and mended(found, changes)
    layout = build(changes=changes).layout
    trunk = next(result for words, result in layout.failure_rows if words == "the Y trunk plug comes out")
    assert trunk.result == "radio lost"


@pytest.mark.identity
def test_story_9_second_packs_plug_soldered_the_wrong_way():
    changes = {"wiring.left.pack_polarity": "swapped"}
    found = stopped("R07", changes)
    assert mended(found, changes)
    off = {one.line.kind for one in build(changes=changes).metering.lines if one.as_entered != one.line.expected}
    assert "polarity" in off


@pytest.mark.identity
def test_story_10_linear_regulator_four_servos_three_cells():
    changes = {"power.source": "left_bec", "wiring.left.red_lead": "connected", "wiring.right.red_lead": "isolated"}
    found = stopped("R13", changes)
    assert found.value == pytest.approx(273.15 + 40 + 35 * 7.6 * 0.45) and mended(found, changes)
    cells = {n: servos for n, _, servos in build(changes=changes).wiring.supplies["left"].by_cells}
    assert cells == {2: 6, 3: 2, 4: 1}, "with two cells the same regulator feeds the four"


@pytest.mark.identity
def test_story_12_half_charged_pack_taken_for_one_cell_fewer():
    found = finding("R21", build())
    assert found.verdict == "look again" and mended(found, {})
    unseen = finding("R21", build("siskin"))
    assert unseen.verdict == "cannot tell" and unseen.sentence == "Nobody has looked whether the cell count is set by hand in the left and right controller; most count by themselves."
    assert finding("R21", build(changes={"wiring.left.set_cells": 2, "wiring.right.set_cells": 3})).verdict == "stop"


@pytest.mark.identity
def test_story_16_one_controller_with_brake_one_without():
    found = stopped("R20", {"wiring.left.brake": True})
    assert mended(found, {"wiring.left.brake": True})
    assert finding("R20", build(changes={"wiring.left.timing": "high"})).verdict == "look again", "unlike timing costs warmth, not the heading"


@pytest.mark.identity
def test_story_18_propeller_back_to_front_or_of_the_wrong_hand():
    for changes in ({"wiring.left.print_faces": "backwards"}, {"power.left.propeller_hand": "reverse"}, {"wiring.right.turns": "anticlockwise"},
                    {"wiring.mistake": "phases_exchanged", "wiring.mistake_side": "right"}):
        found = stopped("R14b", changes)
        assert mended(found, changes), changes


@pytest.mark.identity
def test_story_25_motor_screw_shorted_a_winding():
    changes = {"wiring.mistake": "winding_on_mount", "wiring.mistake_side": "right"}
    found = stopped("R14", changes)
    assert found.sentence == "A winding of the right motor touches its mount: a screw is too long or the insulation chafed."
    off = [one for one in build(changes=changes).metering.lines if one.as_entered != one.line.expected]
    assert [one.words for one in off] == ["right motor, wire 1 to right motor, mount"]
    read = stopped("R24", {"wiring.readings": [{"line": off[0].words, "shows": "beep"}]})
    assert off[0].words in read.sentence and "A screw or a chafed wire touches the winding" in read.sentence.replace("A beep: a", "A")


@pytest.mark.identity
def test_story_27_carbon_spar_beside_the_antenna():
    changes = {"wiring.antenna_carbon": "4 mm"}
    found = stopped("R27", changes)
    assert mended(found, changes)
    walked = finding("R27", build(changes={**changes, "bench.range_half": "passed", "bench.range_full": "passed"}))
    assert walked.verdict == "look again", "a range check passed with both motors at half and full makes it less than a stop, not good"


@pytest.mark.identity
def test_story_31_servo_ground_cut_with_the_red():
    changes = {"wiring.left.ground_kept": False}
    found = stopped("R05", changes)
    assert mended(found, changes)
    tried = build(changes={"wiring.mistake": "ground_cut_with_red", "wiring.mistake_side": "right"})
    assert {code for code in ("R02", "R05") if finding(code, tried).verdict == "stop"} == {"R02", "R05"}, "on the feeding side both are gone"


# --- what hands do ---------------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_the_safe_order_of_every_layout_is_called_good_and_others_are_not():
    """The order advised is run as the builder's own and is safe; throttle open never is."""
    for changes in ({}, {"power.source": "left_bec", "wiring.left.red_lead": None, "wiring.right.red_lead": None}, {"power.source": "receiver_pack"}, {"power.source": "both_diodes"}):
        results = build(changes={**changes, **{f"wiring.{what}_{nth}": None for what in ("on", "off") for nth in ("first", "second", "third", "fourth")}})
        found = finding("R25", results)
        assert found.verdict == "cannot tell"
        advice = next(check for check in checks.REGISTRY if check.code == "R25")().right(results.layout)
        assert finding("R25", results.changed(advice.changes)).verdict == "good", advice
        assert finding("R25", results.changed({**advice.changes, "wiring.on_throttle": "open"})).verdict == "stop"


@pytest.mark.identity
def test_an_order_that_does_not_fit_the_layout_is_said():
    found = finding("R25", build(changes={"power.source": "receiver_pack"}))
    assert found.verdict == "cannot tell" and found.sentence.endswith("not said yet: the receiver pack in switching on and the receiver pack in switching off.")
    found = finding("R25", build("siskin", {"wiring.on_second": "left_pack"}))
    assert found.sentence == "Your layout has no left pack: enter the order for your layout again."


@pytest.mark.identity
def test_state_after_each_step_is_that_of_the_machine():
    results = build()
    mine, wiring = results.switching, results.layout.meant
    state = ready(wiring)
    for events, shown in zip(mine.off.steps, mine.off.states):
        state = step(wiring, state, *events)
        assert state == shown
    assert step(wiring, ready(wiring), Event("unplug", "right_pack")).mishaps == ("receiver lost with motors live",)
    assert results.layout.pulled["left_pack"].radio and not results.layout.pulled["right_pack"].radio


@pytest.mark.identity
def test_readings_are_held_against_their_own_line():
    line = "left motor, wire 1 to left motor, mount"
    results = build(changes={"wiring.rest_right": None, "wiring.readings": [{"line": line, "shows": "no beep"}, {"line": "somewhere else", "shows": "beep"}]})
    sheet = results.metering
    assert [one.words for one in sheet.lines if one.right] == [line] and not sheet.wrong and sheet.strange == ("somewhere else",)
    assert len({one.words for one in sheet.lines}) == len(sheet.lines) == 62, "every line has a name of its own"
    assert finding("R24", results).sentence == "1 of 62 lines of the meter sheet are read and right; next comes line 1. No pack goes in before the last one."


# --- the receiver's supply -------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_plugs_against_what_the_trade_lets_them_carry():
    """Servo contact 1 A for good, 3 A for a moment; JST-RCY 5 A; XT30 15 A carefully, 30 A as usual: common practice, from memory."""
    for code, changes, verdict in (("R12", {}, "good"), ("R12", {"wiring.servo_average": "300 mA"}, "look again"), ("R12", {"wiring.servo_average": "800 mA"}, "stop"),
                                   ("R12b", {"wiring.left.pack_plug": "xt30"}, "good"), ("R12b", {"wiring.left.pack_plug": "jst_rcy"}, "stop"),
                                   ("R12b", {"power.packs": "one", "power.shared.cells": 3, "power.shared.capacity": "1500 mAh", "power.shared.c_rating": 30, "wiring.shared.pack_plug": "xt30"}, "look again"),
                                   ("R12b", {"wiring.left.pack_plug": None}, "cannot tell")):
        assert finding(code, build(changes=changes)).verdict == verdict, (code, changes)
    both = finding("R12b", build(changes={"power.packs": "one", "power.shared.cells": 3, "power.shared.capacity": "1500 mAh", "power.shared.c_rating": 30, "wiring.shared.pack_plug": "xt30"}))
    assert both.value > 15.0 and "common pack" in both.sentence, "the plug of a common pack carries both sides"


@pytest.mark.identity
def test_two_sorts_of_servos_the_two_greatest_stall():
    bus = build(changes={"wiring.more_servos": [{"name": "flaps", "count": 1, "idle": "20 mA", "moving": "250 mA", "stall": "2 A", "average": "200 mA"}]}).wiring
    assert bus.servos == 5 and bus.stalled == 2
    assert bus.load_rest == pytest.approx(0.05 + 4 * 0.010 + 0.020) and bus.load_average == pytest.approx(0.05 + 4 * 0.1 + 0.2)
    assert bus.load_stall == pytest.approx(0.05 + 3 * 0.2 + 0.7 + 2.0)


@pytest.mark.identity
def test_a_y_lead_takes_its_share_of_the_volts():
    """One plug more and the wire of the Y: by hand, two contacts of 10 mohm and both wires of its length."""
    y, straight = (build(changes={"power.throttle": throttle}).wiring for throttle in ("y_lead", "two_channels"))
    per_metre = 2 * 1.03 / 58e6 * (1 + 0.00393 * 20) / (3.141592653589793 / 4 * (0.127e-3 * 92 ** (10 / 39)) ** 2)
    assert straight.receiver_volts_stall - y.receiver_volts_stall == pytest.approx(1.85 * (0.2 * per_metre + 0.02), rel=1e-6)


@pytest.mark.identity
def test_sampled_sharing_against_sampling_done_here():
    """Another draw of as many pairs, solved by the nodes with numpy alone: the percentiles agree within their sampling error."""
    import numpy as np

    bus = build().wiring
    left, right = bus.supplies["left"], bus.supplies["right"]
    rng = np.random.default_rng(77)
    v1, v2 = (5 * (1 + 0.02 * rng.uniform(-1, 1, 40000)) for _ in range(2))
    r1, r2, load = left.resistance, right.resistance, bus.load_average
    both = (v1 / r1 + v2 / r2 - load) / (1 / r1 + 1 / r2)
    one, two = (v1 - both) / r1, (v2 - both) / r2
    alone = (one <= 0) | (two <= 0)
    assert bus.sharing.alone_average == pytest.approx(alone.mean(), abs=0.03)
    most = np.where(alone, 1.0, np.maximum(one, two) / load)
    assert bus.sharing.most_band == pytest.approx(np.percentile(most, (5, 50, 95)), abs=0.02)
    onset = np.abs(v1 - v2) / np.where(v1 >= v2, r1, r2)
    assert bus.sharing.onset_band == pytest.approx(np.percentile(onset, (5, 50, 95)), rel=0.06)
    assert bus.sharing.onset == pytest.approx(onset.max(), rel=0.03), "the picture shows the ends of both tolerances"
    assert bus.sharing.volts_stall[0] - bus.sharing.diode_volts_stall[0] == pytest.approx(0.4)


@pytest.mark.published
def test_allowed_current_by_cells_is_that_of_the_data_sheet():
    """LM2940 data sheet SNVS769H p. 9: 60 K/W in still air, chip 125 degC, air 40 degC: 0.4167, 0.1864, 0.1201 A on 8.4, 12.6, 16.8 V."""
    supply = build(changes={"limits.regulator_thermal": 60.0}).wiring.supplies["left"]
    assert [(n, round(amps, 4)) for n, amps, _ in supply.by_cells] == [(2, 0.4167), (3, 0.1864), (4, 0.1201)]


@pytest.mark.identity
def test_end_points_cost_what_page_01_solves():
    results = build()
    text = SHEETS["end_points"](results).rows
    even, less = (float(results.power.solve(left, 1.0, 0.0).left.thrust) for left in (1.0, 0.9))
    assert text[-1][:2] == ("10 %", "full") and text[-1][2] == f"{even - less:.2f} N"
