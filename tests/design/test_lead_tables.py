"""Page 03: the wire table, joints, what is easier to service, highest volts and resonance at the controllers' inputs, braided leads, the kept list."""

import dataclasses

import numpy as np
import pytest

from builds import build, finding, record
from twinkit import tables
from twinkit.design.input_ripple import pieces_under
from twinkit.design.lead_wire import joint_costs, metric_gauges, wire_rows
from twinkit.drawings import leads as drawn
from twinkit.physics import lead_ripple, wire, wire_heat

SIDES = ("left", "right")
NACELLE = {"leads.placement": "nacelle"}
# Strong packs, small capacitors and wires apart: the input rings.
RINGS = {**NACELLE, "leads.pair_gap": "40 mm", "leads.capacitor": "47 uF", "leads.capacitor_esr": "15 mohm",
         "power.left.pack_resistance": "8 mohm", "power.right.pack_resistance": "8 mohm"}


# --- wire and joints -------------------------------------------------------------------------------------------------------


@pytest.mark.published
def test_the_wire_table_against_the_handbook():
    # Handbook of Electronic Tables and Formulas, wire table, for solid wire at 20 degC; 3 % for the lay of strands is common practice. 0.12 % holds its rounding.
    table = tables.read("wire/gauges")
    rows = wire_rows(build().leads)
    assert [row.warm.gauge for row in rows] == list(range(10, 28, 2))
    for row in rows:
        known = table.row("gauge", row.cold.gauge)
        assert row.cold.resistance == pytest.approx(1.03 * known["resistance_per_length"], rel=1.2e-3)
        assert row.warm.allowed == pytest.approx(known["chassis_current"], rel=4e-3)
        assert row.warm.resistance / row.cold.resistance == pytest.approx(1 + 0.00393 * 20, rel=1e-9)


@pytest.mark.identity
def test_the_wire_table_names_the_wires_in_use_once():
    for changes in ({}, {"leads.pack_gauge": 13, "leads.motor_gauge": 13}, {"leads.pack_wire_resistance": "9 mohm/m"}):
        rows = wire_rows(build("dunlin", changes).leads)
        assert sorted(kind for row in rows for kind in row.used) == ["motor", "pack", "signal"]
    own = rows[-1]
    assert own.own and own.used == ("pack",) and own.cold.resistance == pytest.approx(9e-3, rel=1e-9)
    assert own.warm.resistance == pytest.approx(9e-3 * (1 + 0.00393 * 20), rel=1e-9)
    assert wire_rows(build("blank", {}).leads), "the table stands on an empty page as well"


@pytest.mark.identity
def test_wire_sold_by_its_cross_section_is_the_nearest_gauge():
    for area, gauge in metric_gauges():
        assert wire.gauge_area(gauge + 0.5) < area < wire.gauge_area(gauge - 0.5)
    # As the trade prints both sizes side by side (common practice, from memory; it rounds 1.5, 2.5 and 4 mm2 to the even gauge beside).
    assert {round(1e6 * area, 2): gauge for area, gauge in metric_gauges()} == {0.5: 20, 0.75: 18, 1.0: 17, 1.5: 15, 2.5: 13, 4.0: 11}


@pytest.mark.identity
def test_joints_cost_what_their_resistance_takes():
    for _, _, *ends in joint_costs(12.0):
        for resistance, drop, heat in ends:
            assert (drop is None and heat is None) or (drop == pytest.approx(12.0 * resistance) and heat == pytest.approx(drop * 12.0))
    assert all(end[1] is None for row in joint_costs(None) for end in row[2:])
    assert joint_costs(12.0)[-1][2][1] is None, "no motor current runs through a servo plug"


@pytest.mark.identity
def test_warmth_of_a_lead_balances_its_heat():
    results = build()
    for side in SIDES:
        own, cost = getattr(results.leads, side), getattr(results.lead_losses, side)
        for lead, current, rise in ((own.pack, cost.pack_current, cost.pack_rise), (own.motor, cost.wire_current, cost.motor_rise)):
            given = wire_heat.surface_coefficient(rise, lead.wire.outer, results.leads.wire_temperature) * np.pi * lead.wire.outer * rise
            assert given == pytest.approx(current**2 * lead.wire.resistance, rel=1e-6)


# --- what is easier to service ---------------------------------------------------------------------------------------------


@pytest.mark.pinned
def test_the_comparison_says_what_is_easier_to_service():
    rows = {row[0]: row[1:] for row in drawn.other_way_sheet(build()).rows}
    assert rows["wires through the wing, each side"] == ("3 motor wires", "2 pack wires and the signal lead")
    assert rows["to undo where the wing comes off, each side"] == ("3 motor plugs", "1 power plug and 1 servo plug")
    assert rows["if a wire chafes through in the wing"][1].startswith("the pack is short-circuited")
    assert rows["to change a motor"] == ("three joints in the nacelle; the controller stays", "motor and controller come out together")


@pytest.mark.identity
def test_what_goes_through_the_wing_follows_the_routes():
    beside = {"weight.left.pack_out": "225 mm", "weight.right.pack_out": "225 mm", "weight.left.pack_behind": "100 mm", "weight.right.pack_behind": "100 mm"}
    rows = {row[0]: row[1:] for row in drawn.other_way_sheet(build("dunlin", {**NACELLE, **beside})).rows}
    assert rows["wires through the wing, each side"][1] == "the signal lead", "the packs lie in the nacelles too"
    assert not rows["if a wire chafes through in the wing"][1].startswith("the pack")


# --- highest volts ---------------------------------------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("changes", [NACELLE, RINGS, {**RINGS, "leads.added_capacitor": "220 uF"}])
def test_highest_volts_are_those_of_every_throttle_and_of_the_cut(changes):
    results = build("dunlin", changes)
    inputs = results.lead_losses.inputs
    for side in SIDES:
        found = getattr(inputs, side)
        state, net = found.plain, inputs.net
        line = found.drive.full_volts, state.resistance, state.inductance, net.own, net.own_esr
        each = [lead_ripple.ripple(*line, current, duty, net.frequency) for duty, current in zip(found.drive.duties, found.drive.currents)]
        cuts = [float(lead_ripple.cut_out_of_chopping(*line, current, duty, net.frequency)) for duty, current in zip(found.drive.duties, found.drive.currents)]
        expected = max(*cuts, *(float(x.voltage_max) for x in each), float(lead_ripple.interruption(*line, found.drive.motor_current).peak))
        assert found.highest(state) == pytest.approx(max(expected, found.drive.full_volts), rel=1e-9)
        assert found.drive.full_volts == pytest.approx(12.6, rel=1e-3)


@pytest.mark.identity
def test_own_and_added_capacitor_of_one_kind_peak_like_one():
    # An added capacitor whose series resistance falls with its size as the own one's does is the same as a larger own one: 220 uF at 60 mohm is 470 uF at 28.1 mohm.
    alike = {**RINGS, "leads.capacitor": "220 uF", "leads.capacitor_esr": "60 mohm"}
    added = build("dunlin", {**alike, "leads.added_capacitor": "440 uF"}).lead_losses.inputs.left.yours
    whole = build("dunlin", {**alike, "leads.capacitor": "660 uF", "leads.capacitor_esr": "20 mohm"}).lead_losses.inputs.left.plain
    assert (added.peak, added.ripple, added.resonance, added.damping) == pytest.approx((whole.peak, whole.ripple, whole.resonance, whole.damping), rel=1e-6)


@pytest.mark.identity
def test_a_label_in_cells_leaves_room_for_the_peak_of_leads_as_bought():
    found = build("dunlin", {**RINGS, "power.left.controller_cells": 3}).lead_losses.inputs.left
    assert found.allowed(0.9) == pytest.approx(12.6 + found.bought.peak, rel=1e-9) and found.bought.peak > 0
    printed = dataclasses.replace(found, rating=dataclasses.replace(found.rating, volts=25.0, origin="printed"))
    assert printed.allowed(0.9) == pytest.approx(22.5)


@pytest.mark.identity
def test_the_least_number_of_pieces_is_the_least():
    inputs = build("dunlin", RINGS).lead_losses.inputs
    goal = inputs.left.highest(inputs.left.plain) - 0.7
    count = pieces_under(inputs.left, inputs.net, goal)
    state = lambda n: build("dunlin", {**RINGS, "leads.added_capacitor": n * inputs.piece}).lead_losses.inputs.left  # noqa: E731
    assert count >= 1 and state(count).highest(state(count).yours) <= goal
    assert count == 1 or state(count - 1).highest(state(count - 1).yours) > goal
    assert pieces_under(inputs.left, inputs.net, 12.0) is None, "no capacitor takes volts from a full pack"


@pytest.mark.pinned
def test_highest_volts_are_told_against_what_is_printed():
    found = finding("L08", build("dunlin", {**RINGS, "leads.left.controller_volts": "15 V", "leads.right.controller_volts": "15 V"}))
    assert (found.verdict, found.sentence) == (
        "look again", "With a full pack of 12.6 V the right controller's input sees at most 14.3 V; it may see 15.0 V and your limit is 90 % of that.")
    over = finding("L08", build("dunlin", {**RINGS, "leads.left.controller_volts": "13 V", "leads.right.controller_volts": "13 V"}))
    assert over.verdict == "stop" and over.advice.sentence == "Take packs with fewer cells, or controllers for more."
    many = finding("L08", build("dunlin", {"power.left.cells": 5}))
    assert many.verdict == "stop" and many.sentence.endswith("its label allows a full pack of 16.8 V, and what leads as bought add to that.")
    unknown = finding("L08", build("dunlin", {"power.left.controller_cells": None}))
    assert unknown.sentence == ("What the left controller's input may see is not known: enter the volts printed on its capacitor, or on page 01 the most cells it may have.")


# --- resonance -------------------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_resonance_of_each_state_from_its_own_lead():
    inputs = build("dunlin", {**RINGS, "leads.added_capacitor": "220 uF"}).lead_losses.inputs
    for state in (inputs.left.bought, inputs.left.plain):
        eigen = np.linalg.eigvals([[-(state.resistance + 0.015) / state.inductance, -1 / state.inductance], [1 / 47e-6, 0]])
        assert 2 * np.pi * state.resonance == pytest.approx(abs(eigen[0]), rel=1e-9)
        assert state.rings == (abs(eigen[0].imag) > 0)
    assert inputs.left.yours.resonance == pytest.approx(inputs.left.plain.resonance * np.sqrt(47 / 267), rel=1e-9)


@pytest.mark.identity
def test_the_lines_over_the_frequency_are_the_exact_ripple_at_that_throttle():
    inputs = build("dunlin", {**NACELLE, "leads.added_capacitor": "220 uF"}).lead_losses.inputs
    tones, found = inputs.tones, getattr(inputs, inputs.worst)
    assert set(tones.heat) == {"bought", "plain", "yours", "advised"}
    for name in ("bought", "plain"):
        state = getattr(found, name)
        exact = lead_ripple.ripple(0.0, state.resistance, state.inductance, 470e-6, 0.025, found.current, found.duty, tones.frequencies)
        np.testing.assert_allclose(tones.heat[name], exact.capacitor_heat, rtol=1e-9)
        np.testing.assert_allclose(tones.ripple[name], exact.peak_to_peak, rtol=1e-9)
    for name in tones.heat:
        # at your own frequency the lines pass through the table's figures; read between points 2 % apart in frequency
        assert np.interp(16e3, tones.frequencies, tones.heat[name]) == pytest.approx(getattr(found, name).own_heat, rel=2e-3)


@pytest.mark.pinned
def test_the_picture_over_the_frequency_says_whether_it_rings():
    assert drawn.PICTURES["tones"].make(build("dunlin", NACELLE)).title == (
        "Your right pack lead and its capacitors swing by themselves at 13 kHz, too well damped to ring (damping 1.3); your controller chops at 16 kHz")
    assert drawn.PICTURES["tones"].make(build("dunlin", {**RINGS, "leads.chop_frequency": "24 kHz"})).title == (
        "Your right pack lead and its capacitors swing by themselves at 27 kHz and ring (damping 0.12), close to the 24 kHz your controller chops at")


# --- braided motor leads ---------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_a_braid_takes_up_length_of_the_motor_leads_only():
    loose, taped, braided = (build("dunlin", {"leads.motor_laid": laid}).leads for laid in ("loose", "taped", "braided"))
    assert taped.left.motor_length == loose.left.motor_length
    assert braided.left.motor_length == pytest.approx(1.05 * loose.left.motor_length, rel=1e-9)   # common practice, no source
    assert braided.left.pack_length == loose.left.pack_length and braided.left.signal_length == loose.left.signal_length
    assert finding("L09", build("dunlin", {"leads.motor_laid": "taped"})).sentence == "The left motor leads are 455 mm long, taped side by side."


# --- the kept list ---------------------------------------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("placement", ["fuselage", "nacelle"])
def test_the_cutting_list_is_kept_whole(placement):
    results = build("dunlin", {"leads.placement": placement})
    kept = {name: text for name, text in drawn.numbers(results).items() if name.startswith("for the bench, ")}
    rows = drawn.cutting_sheet(results).rows
    assert len(kept) == len(rows)
    for row in rows:
        text = kept[f"for the bench, {row[0]}"]
        assert all(cell in text for cell in row[1:] if cell not in ("", "-")), (row, text)


@pytest.mark.identity
def test_keeping_the_step_writes_the_list_into_the_record():
    made = record("dunlin", NACELLE)
    made.keep("leads", "nearer to the air", drawn.numbers(build("dunlin", NACELLE)), {}, {})
    kept = made.kept("leads").results
    assert kept["for the bench, let into the left pack lead"] == "2 x 285 mm, AWG 14, red and black"
    assert kept["for the bench, low-ESR capacitors, both controllers"] == "6 x 220 uF, 25 V, stripe is minus"
