"""Page 03: lengths from the stations, what the leads cost, the controllers' capacitors."""

import math

import numpy as np
import pytest

from builds import build
from twinkit import checks, tables
from twinkit.design.lead_losses import thicker_gauges
from twinkit.design.lead_wire import stock_wire
from twinkit.drawings import leads as drawn
from twinkit.physics import lead_ripple

SIDES = ("left", "right")


NACELLE = {"leads.placement": "nacelle"}
# With a Kv missing the power is not known, and currents are those on the label: 20 A for the Dunlin.
LABEL = {"power.left.kv": None}


def finding(code, results):
    return next(c for c in checks.REGISTRY if c.code == code)().run(results)


# --- lengths ---------------------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_lengths_follow_the_stations_of_the_dunlin():
    # By hand, mm: controller -20 behind, 20 out, 45 below; crossing at 0.15 x 190 = 28.5; nacelle 225 out, 12 below; motor's wires at -105 + 20 + 28 = -57.
    motor = (28.5 + 20 + 45 + (225 - 20) + 12 + (28.5 + 57)) * 1.15
    leads = build().leads
    assert leads.left.motor_length == pytest.approx(motor / 1e3, rel=1e-9)
    assert leads.right.motor_length == leads.left.motor_length
    assert leads.left.pack.run == pytest.approx(0.040) and leads.left.pack_length == 0.150, "nothing is cut off what was bought"
    # Controllers in the nacelles, 60 behind the motor's wires: 3 behind the leading edge; packs at -60, 20 out.
    pack = (28.5 + 60 + 45 + (225 - 20) + 12 + (28.5 - 3)) * 1.15
    signal = (60 - 28.5 + 45 + 225 + 12 + (28.5 - 3)) * 1.15
    there = build("dunlin", NACELLE).leads
    assert there.left.pack_length == pytest.approx(pack / 1e3, rel=1e-9)
    assert there.left.signal_length == pytest.approx(signal / 1e3, rel=1e-9)
    assert there.left.motor_length == 0.100


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_the_other_way_round_is_what_the_other_placement_gives(name):
    one, two = build(name, {"leads.placement": "fuselage"}), build(name, NACELLE)
    for side in SIDES:
        assert getattr(one.leads, f"other_{side}") == getattr(two.leads, side)
        assert getattr(two.leads, f"other_{side}") == getattr(one.leads, side)
    assert one.leads.other_mass == pytest.approx(two.leads.lead_mass, rel=1e-12)


@pytest.mark.identity
def test_a_pack_in_the_nacelle_has_a_straight_way_to_its_controller():
    leads = build("dunlin", {**NACELLE, "weight.left.pack_out": "225 mm", "weight.left.pack_behind": "100 mm"}).leads
    assert leads.left.pack.run == pytest.approx(0.100 - 0.003, rel=1e-9)
    assert leads.right.pack.run == pytest.approx(0.376, rel=1e-9)


@pytest.mark.identity
def test_joined_packs_begin_in_their_middle():
    leads = build("dunlin", {**NACELLE, "power.packs": "joined", "weight.left.pack_behind": "-80 mm", "weight.right.pack_behind": "-20 mm"}).leads
    assert leads.left.pack.start == "joined packs"
    assert leads.left.pack.run == pytest.approx((28.5 + 50 + 45 + 225 + 12 + 25.5) / 1e3, rel=1e-9)


@pytest.mark.identity
def test_a_bought_lead_that_nearly_has_its_slack_is_left_alone():
    siskin = build("siskin", {}).leads.left.signal
    assert siskin.needed > siskin.bought > siskin.run and siskin.length == siskin.bought and siskin.added == 0.0


def test_typed_lengths_do_without_the_stations():
    typed = {f"leads.{side}.{kind}_length": "200 mm" for side in SIDES for kind in ("pack", "motor", "signal")}
    results = build("blank", {**typed, "power.left.motor_current_limit": "15 A", "power.right.motor_current_limit": "15 A",
                     **{f"power.{side}.{name}": value for side in SIDES for name, value in (("cells", 3), ("capacity", "1500 mAh"), ("c_rating", 30))}})
    assert results.leads.known and results.lead_losses.known and results.lead_losses.currents_from == "motor limit"
    assert results.leads.left.pack.route is None and results.leads.other_left is None
    assert drawn.PICTURES["map"].make(results).title == "Nothing to draw yet. Waits for span, chord (page 05) and 9 more."
    assert "not known" not in drawn.leads_sheet(results).text()
    assert drawn.other_way_sheet(results).note.startswith("Waits for ")


def test_nothing_known_gives_unknown_and_leads_as_bought():
    results = build("blank", {})
    assert results.leads.left is None and results.leads.lead_mass is None and not results.leads.known
    assert results.leads.bought.pack_length == 0.15 and results.leads.bought.pack_resistance > 0
    assert results.lead_losses.left is None and "weight.left.pack_behind" in results.leads.missing
    assert set(drawn.numbers(results).values()) == {"in the fuselage", "not known"}


# --- resistance and mass ---------------------------------------------------------------------------------------------------


@pytest.mark.published
def test_resistance_against_the_published_wire_table():
    # Handbook of Electronic Tables and Formulas: AWG 16 13.17 ohm/km at 20 degC; strands lie 3 % longer (common practice), copper at 40 degC;
    # two joints in each of two wires of 0.5 mohm. Tolerance: the table is rounded to four digits.
    leads = build().leads
    warm = 1.03 * (1 + 0.00393 * 20)
    assert leads.left.motor_resistance == pytest.approx(2 * 0.4554 * 13.17e-3 * warm + 4 * 0.5e-3, rel=5e-4)
    assert leads.left.pack_resistance == pytest.approx(2 * 0.150 * 8.282e-3 * warm + 2 * 0.5e-3, rel=1e-3)


@pytest.mark.identity
def test_mass_is_that_of_the_added_wire():
    # The table's estimate for AWG 16 is 18.5 g/m; half a gram of rounding in it is the tolerance.
    leads = build().leads
    assert leads.left.mass == pytest.approx(3 * (0.4554 - 0.100) * 18.5e-3, rel=0.02)
    assert leads.lead_mass == pytest.approx(leads.left.mass + leads.right.mass)
    assert leads.lead_mass_spread == pytest.approx(0.1 * leads.lead_mass)


@pytest.mark.identity
def test_wires_between_the_rows_of_the_table_lie_between_its_rows():
    rows = tables.read("wire/gauges")
    for thick, thin in zip(range(10, 26, 2), range(12, 28, 2)):
        one, middle, two = (stock_wire(gauge, 293.15) for gauge in (thick, thick + 1, thin))
        for name in ("area", "outer", "mass", "allowed"):
            assert getattr(two, name) < getattr(middle, name) < getattr(one, name)
        row = rows.row("gauge", thick)
        assert one.allowed == pytest.approx(row["chassis_current"], rel=4e-3), "the table rounds its areas"
        assert one.mass == pytest.approx(row["mass_per_length"], rel=0.02)
    assert stock_wire(8, 293.15).allowed == pytest.approx(55.0), "beyond the table its thickest row stands, on the safe side"


# --- drop and loss ---------------------------------------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_volts_add_up_with_the_running_point_of_page_01(name):
    results = build(name, {})
    losses, power = results.lead_losses, results.power
    assert losses.currents_from == "power"
    total = power.full.pack_current if power.shared else None
    for side in SIDES:
        cost, drive, point = getattr(losses, side), getattr(power, side), getattr(power.full, side)
        assert cost.pack_volts - cost.pack_drop == pytest.approx(point.pack_volts, rel=1e-6)
        assert drive.emf - drive.supply_resistance * (total or point.pack_current) == pytest.approx(cost.pack_volts, rel=1e-6)
        assert cost.loss == pytest.approx(cost.pack_drop * cost.pack_current + cost.motor_drop * cost.motor_current, rel=1e-12)
        # three wires at their own root mean square current, an independent way to the same heat
        lead = getattr(results.leads, side).motor
        wires = 3 * cost.wire_current**2 * (lead.resistance / 2)
        assert cost.motor_loss == pytest.approx(wires, rel=1e-9)


@pytest.mark.identity
def test_until_the_power_is_known_the_label_stands_in():
    results = build("dunlin", LABEL)
    assert results.lead_losses.currents_from == "motor limit"
    assert results.lead_losses.left.motor_current == 20.0 and results.lead_losses.left.pack_volts == pytest.approx(3 * 3.4)
    rated = build("dunlin", {**LABEL, "power.left.motor_current_limit": None}).lead_losses
    assert rated.currents_from == "controller rating"
    lost = build("dunlin", {**LABEL, "power.left.motor_current_limit": None, "power.left.controller_current": None}).lead_losses
    assert lost.left is None and "power.left.motor_current_limit" in lost.missing


@pytest.mark.identity
@pytest.mark.parametrize("limit", [0.005, 0.01, 0.02, 0.035])
def test_thicker_gauges_reach_their_goal(limit):
    results = build("dunlin", {**LABEL, "leads.pack_gauge": 18, "leads.motor_gauge": 20})
    gauges = thicker_gauges(results.leads, results.lead_losses, limit)
    if gauges is None:
        most = build("dunlin", {**LABEL, "leads.pack_gauge": 10, "leads.motor_gauge": 10}).lead_losses
        assert getattr(most, most.worst).share > limit
    else:
        after = build("dunlin", {**LABEL, "leads.pack_gauge": gauges["pack"], "leads.motor_gauge": gauges["motor"]}).lead_losses
        assert getattr(after, after.worst).share <= limit


@pytest.mark.identity
def test_servo_ground_current_against_the_node_equations():
    results = build("dunlin", {"power.packs": "one", "power.shared.cells": 3, "power.shared.capacity": "3000 mAh", "power.shared.c_rating": 30,
                     "weight.shared.pack_behind": "-60 mm", "leads.left.pack_length": "900 mm", "leads.right.pack_length": "200 mm"})
    losses, leads = results.lead_losses, results.leads
    one, two = leads.left.pack_resistance / 2, leads.right.pack_resistance / 2
    ground = (leads.left.signal.resistance + leads.right.signal.resistance) / 2
    # Two nodes (the controllers' grounds) against the pack's minus: conductances times volts equal the currents put in.
    matrix = np.array([[1 / one + 1 / ground, -1 / ground], [-1 / ground, 1 / two + 1 / ground]])
    volts = np.linalg.solve(matrix, [losses.left.pack_current, losses.right.pack_current])
    assert losses.ground_current == pytest.approx(abs(volts[0] - volts[1]) / ground, rel=1e-9)
    assert build().lead_losses.ground_current is None


# --- the capacitor ---------------------------------------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_the_throttle_shown_is_the_one_that_loads_the_capacitor_most(name):
    results = build(name, NACELLE)
    for side in SIDES:
        found = getattr(results.lead_losses.inputs, side)
        net = results.lead_losses.inputs.net
        fine = np.linspace(0.05, 0.99, 95)
        currents = np.nan_to_num(getattr(results.power.solve(fine, fine, 0.0), side).motor_current)
        rms = lead_ripple.ripple(11.0, found.plain.resistance, found.plain.inductance, net.own, net.own_esr, currents, fine, net.frequency).capacitor_rms
        assert found.plain.own_rms == pytest.approx(rms.max(), rel=0.01)
        assert found.duty == pytest.approx(fine[rms.argmax()], abs=0.05)
        assert found.plain.own_heat == pytest.approx(net.own_esr * found.plain.own_rms**2, rel=1e-9)


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_what_is_advised_keeps_surge_and_heat(name):
    inputs = build(name, NACELLE).lead_losses.inputs
    for side in SIDES:
        found, own = getattr(inputs, side), inputs.net.own
        assert (own + found.surge) / found.plain.inductance == pytest.approx(own / found.bought.inductance, rel=1e-9)
        assert found.pieces == math.ceil(max(found.surge, found.equal_heat) / inputs.piece)
        assert found.advised.own_heat < found.bought.own_heat < found.plain.own_heat
        # common practice: 220 uF for each 100 mm
        assert found.trade == pytest.approx((found.plain.length - found.bought.length) / 0.1 * 220e-6, rel=1e-9)
    assert inputs.recommended == max(inputs.left.pieces, inputs.right.pieces) * inputs.piece
    # half as much again as a full pack (18.9 and 12.6 V), then the next that shops keep: common practice, no source
    assert inputs.piece_volts == (25.0 if name == "dunlin" else 16.0)


@pytest.mark.identity
def test_pieces_that_equal_heating_asks_for_bring_the_heat_back():
    inputs = build("dunlin", NACELLE).lead_losses.inputs
    found = inputs.left
    same = build("dunlin", {**NACELLE, "leads.added_capacitor": found.equal_heat}).lead_losses.inputs.left
    assert same.yours.own_heat == pytest.approx(found.bought.own_heat, rel=2e-3)


@pytest.mark.identity
def test_longer_leads_cost_more_of_everything():
    seen = [build("dunlin", {**NACELLE, "leads.left.pack_length": f"{mm} mm"}).lead_losses for mm in (160, 250, 400, 700, 1200)]
    for values in ([x.left.share for x in seen], [x.inputs.left.plain_share for x in seen], [x.inputs.left.surge for x in seen],
                   [x.inputs.left.plain.inductance for x in seen]):
        assert values == sorted(values) and values[0] < values[-1]


@pytest.mark.identity
def test_the_curve_passes_through_the_points_marked_on_it():
    inputs = build("dunlin", {**NACELLE, "leads.added_capacitor": "440 uF"}).lead_losses.inputs
    found, curves = getattr(inputs, inputs.worst), inputs.curves
    for name, state in (("plain", found.plain), ("yours", found.yours)):
        heat = np.interp(state.length, curves.lengths, curves.heat_share[name])
        assert heat == pytest.approx(state.own_heat / found.bought.own_heat, rel=2e-3)
        assert np.interp(state.length, curves.lengths, curves.ripple[name]) == pytest.approx(state.ripple, rel=0.01)


@pytest.mark.identity
def test_a_gap_between_the_wires_makes_the_lead_more_inductive_and_nothing_else():
    touching, apart = build("dunlin", NACELLE), build("dunlin", {**NACELLE, "leads.pair_gap": "30 mm"})
    assert apart.leads.left.inductance > 2 * touching.leads.left.inductance
    assert apart.leads.left.pack_resistance == touching.leads.left.pack_resistance
    assert apart.leads.bought == touching.leads.bought


# --- tables and findings ---------------------------------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
@pytest.mark.parametrize("placement", ["fuselage", "nacelle"])
def test_the_cutting_list_adds_up(name, placement):
    results = build(name, {"leads.placement": placement})
    rows = drawn.cutting_sheet(results).rows
    cut, bought = {}, {}
    for piece, count, length, wire, _ in rows:
        gauge = wire.split(",")[0]
        if piece.startswith("all AWG"):
            bought[gauge] = float(length.split()[0])
        elif "capacitor" not in piece:
            cut[gauge] = cut.get(gauge, 0.0) + int(count) * (3 if "three" in wire else 1) * float(length.split()[0]) / 1e3
    assert set(cut) == set(bought)
    for gauge, total in cut.items():
        assert total <= bought[gauge] + 1e-9 < total + 0.0501
    lacking = sum(lead.wires * lead.added for side in SIDES for lead in getattr(results.leads, side).all)
    assert sum(cut.values()) >= lacking - 1e-9


def test_imperial_units_are_said():
    sheet = drawn.leads_sheet(build("dunlin", {"start.units": "imperial"})).text()
    assert "17.9 in" in sheet and "mm" not in sheet and " oz" in sheet


SAYS = {
    "L01": ({**LABEL, "leads.motor_gauge": 16}, "look again",
            "The left leads lose 0.38 V of 10.2 V at the motor's current limit (page 01 does not know the full-throttle current yet): 3.7 % and 7.6 W of heat; "
            "your limit is 2.0 %.", "Take AWG 12 for the pack leads and AWG 10 for the motor leads."),
    "L02": ({**LABEL, **NACELLE}, "stop",
            "The right pack lead is 432 mm long instead of 150 mm; with nothing added the controller's own capacitor is heated to 158 % of what it was.",
            "Solder 3 x 220 uF, 25 V, low-ESR, within 20 to 30 mm of each controller, plus to plus, stripe to minus; or put the controllers beside the packs and lengthen the "
            "motor leads."),
    "L03": ({**LABEL, "leads.pack_gauge": 18}, "look again",
            "Each pack wire carries 20.0 A at the motor's current limit (page 01 does not know the full-throttle current yet); AWG 18 is allowed 16.0 A for good and "
            "24.0 A for a burst under 20 s.", "Take AWG 14 for the pack leads."),
    "L04": (NACELLE, "look again", "The left signal lead is 390 mm long; laid straight it should be at most 300 mm.",
            "Twist its three wires, and keep it 20 mm from the pack leads."),
    "L05": ({"leads.left.motor_difference": "60 mm", "leads.right.motor_difference": "2 mm"}, "look again",
            "On the left the longest motor lead exceeds the shortest by 60 mm, 13 % of its length; your limit is 5.0 %.", "Cut all three to the length of the cutting list."),
    "L06": ({}, "good", "Each side has its own pack, so no motor current finds a way through the servo grounds.", None),
    "L08": ({"leads.placement": "nacelle"}, "good",
            "With a full pack of 12.6 V the left controller's input sees at most 12.6 V; its label allows a full pack of 16.8 V, and what leads as bought add to that.", None),
    "L09": ({}, "look again", "The left motor leads are 455 mm long and lie each its own way; your limit for that is 150 mm.",
            "Braid each side's three motor leads, or tape them side by side; a braid takes up about 23 mm, the cutting list adds it."),
    "L07": ({"leads.left.motor_length": "300 mm"}, "stop",
            "The left motor lead is 300 mm long and its way from left controller to left motor is 396 mm without slack.",
            "Cut the left motor lead 460 mm, or move the stations of pages 04 and 05."),
}


@pytest.mark.pinned
@pytest.mark.parametrize("code", SAYS)
def test_findings_read_as_agreed(code):
    changes, verdict, sentence, advice = SAYS[code]
    found = finding(code, build("dunlin", changes))
    assert (found.verdict, found.sentence, found.advice and found.advice.sentence) == (verdict, sentence, advice)


@pytest.mark.pinned
def test_a_long_pack_lead_without_capacitors_is_stopped():
    found = finding("L02", build("dunlin", {**NACELLE, "leads.left.pack_length": "900 mm"}))
    assert found.verdict == "stop" and found.advice.changes["leads.added_capacitor"] == pytest.approx(8 * 220e-6)
    half = finding("L02", build("dunlin", {**NACELLE, "leads.added_capacitor": "220 uF"}))
    assert half.verdict == "look again" and half.sentence.endswith("That is cool enough, but less than keeps the switching-off peak as it was.")
