"""Page 03: a metre of one's own wire, the picture over the gauge, the signal sheet, and the failure that long pack leads bring."""

import pytest

from builds import build, finding, record
from twinkit.design import Results
from twinkit.design.lead_losses import gauge_lines
from twinkit.design.lead_wire import stock_wire
from twinkit.drawings import leads as drawn

SIDES = ("left", "right")
THIN = {"leads.motor_wire_resistance": "20 mohm/m", "leads.pack_wire_resistance": "12 mohm/m"}


# --- a metre of one's own wire ---------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_own_resistance_stands_in_for_the_table_and_warms_like_copper():
    leads = build("dunlin", {**THIN, "leads.wire_temperature": "60 °C"}).leads
    warm = 1 + 0.00393 * 40
    for side in SIDES:
        own = getattr(leads, side)
        assert own.motor_resistance == pytest.approx(2 * own.motor_length * 20e-3 * warm + 4 * 0.5e-3, rel=1e-9)
        assert own.pack_resistance == pytest.approx(2 * own.pack_length * 12e-3 * warm + 2 * 0.5e-3, rel=1e-9)
    assert leads.bought.pack.wire.measured and not leads.bought.signal.wire.measured


@pytest.mark.identity
def test_a_metre_that_measures_as_the_table_changes_nothing():
    cold = stock_wire(16, 293.15).resistance
    same, table = build("dunlin", {"leads.motor_wire_resistance": cold}), build("dunlin")
    assert same.leads.left.motor_resistance == pytest.approx(table.leads.left.motor_resistance, rel=1e-12)
    assert same.lead_losses.left.loss == pytest.approx(table.lead_losses.left.loss, rel=1e-9)


@pytest.mark.identity
def test_wire_that_resists_more_is_allowed_less_at_equal_heat():
    table, thin, thick = (build("dunlin", {"leads.motor_wire_resistance": r}).leads.left.motor.wire for r in (None, "20 mohm/m", "5 mohm/m"))
    assert thin.allowed**2 * thin.resistance == pytest.approx(table.allowed**2 * table.resistance, rel=1e-9)
    assert thick.allowed == table.allowed, "better copper is no leave to load it more"


@pytest.mark.identity
def test_own_mass_stands_in_for_the_estimate_and_its_band_shrinks():
    def entered(origin):
        made = record("dunlin")
        made.set("leads.motor_wire_mass", "21 g/m", origin=origin)
        return Results(made).leads

    weighed, chosen = entered("weighed"), entered("chosen")
    assert weighed.left.mass == chosen.left.mass == pytest.approx(3 * weighed.left.motor.added * 21e-3, rel=1e-9)
    assert weighed.lead_mass_spread == pytest.approx(0.03 * weighed.lead_mass, rel=1e-9)   # common practice, no source
    assert chosen.lead_mass_spread == pytest.approx(0.10 * chosen.lead_mass, rel=1e-9)


@pytest.mark.pinned
def test_the_sheet_says_whose_wire_it_is():
    assert "Wire: pack leads from the table; motor leads from the table." in drawn.leads_sheet(build()).note
    mixed = build("dunlin", {"leads.motor_wire_resistance": "20 mohm/m", "leads.pack_wire_mass": "30 g/m", "leads.pack_wire_resistance": "9 mohm/m"})
    assert "Wire: pack leads resistance and mass of your own wire; motor leads resistance of your own wire, the rest from the table." in drawn.leads_sheet(mixed).note


@pytest.mark.identity
@pytest.mark.parametrize("code", ["L01", "L03"])
def test_advice_of_other_wire_lets_go_of_the_metre_of_the_old(code):
    changes = {"leads.motor_wire_resistance": "150 mohm/m"}
    found = finding(code, build("dunlin", changes))
    assert found.verdict in ("look again", "stop") and found.advice.changes["leads.motor_wire_resistance"] is None
    assert found.advice.sentence.endswith("What you measured of the old wire is cleared: measure a metre of the new.")
    assert finding(code, build("dunlin", {**changes, **found.advice.changes})).verdict == "good"


@pytest.mark.pinned
def test_wire_current_says_when_the_wire_was_measured():
    found = finding("L03", build("dunlin", {"leads.motor_wire_resistance": "150 mohm/m"}))
    assert "; AWG 16 as you measured it is allowed " in found.sentence


# --- over the gauge --------------------------------------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
@pytest.mark.parametrize("kind", ["pack", "motor"])
def test_the_lines_over_the_gauge_pass_through_builds_with_that_gauge(name, kind):
    results = build(name, {"leads.placement": "nacelle"} if kind == "pack" else {})
    line = gauge_lines(results.leads, results.lead_losses)[kind]
    for gauge, loss, mass in zip(line.gauges, line.loss, line.mass):
        there = build(name, {"leads.placement": results.leads.placement, f"leads.{kind}_gauge": gauge}).leads
        currents = [getattr(getattr(results.lead_losses, side), f"{kind}_current") for side in SIDES]
        assert loss == pytest.approx(sum(i**2 * getattr(getattr(there, side), f"{kind}_resistance") for i, side in zip(currents, SIDES)), rel=1e-9)
        assert mass == pytest.approx(sum(getattr(getattr(there, side), kind).mass for side in SIDES), rel=1e-9)
    assert line.share[line.gauges.index(line.yours)] == pytest.approx(getattr(results.lead_losses, results.lead_losses.worst).share, rel=1e-9)
    assert list(line.loss) == sorted(line.loss) and list(line.mass) == sorted(line.mass, reverse=True)


# --- signal leads ----------------------------------------------------------------------------------------------------------


@pytest.mark.identity
def test_the_signal_sheet_tells_the_ground_side_in_volts():
    results = build("dunlin", {"power.packs": "one", "power.shared.cells": 3, "power.shared.capacity": "3000 mAh", "power.shared.c_rating": 30,
                               "weight.shared.pack_behind": "-60 mm", "leads.left.pack_length": "900 mm", "leads.right.pack_length": "200 mm"})
    sheet = drawn.signal_sheet(results)
    lead = results.leads.left.signal
    # half of the way there and back, half of the contacts
    ground = lead.length * lead.wire.resistance + 2 * 10e-3
    assert lead.resistance / 2 == pytest.approx(ground, rel=1e-9)
    said = sheet.rows[0][5]
    volts = float(said.split()[0]) * (1e-3 if said.endswith("mV") else 1.0)
    assert volts == pytest.approx(results.lead_losses.ground_current * ground, rel=0.05), "two digits are shown"
    assert drawn.signal_sheet(build()).rows[0][4:6] == ("none", "none")


# --- the story -------------------------------------------------------------------------------------------------------------


@pytest.mark.pinned
def test_story_11_pack_leads_lengthened_into_the_nacelle_and_the_controller_died_in_week_three():
    """Pack leads lengthened into the nacelle, the controller died in week three."""
    built = {"leads.placement": "nacelle", "leads.left.pack_length": "700 mm", "leads.right.pack_length": "700 mm", "leads.added_capacitor": "0 uF"}
    found = finding("L02", build("dunlin", built))
    assert found.verdict == "stop"
    assert found.sentence == ("The right pack lead is 700 mm long instead of 150 mm; with nothing added the controller's own capacitor is heated to 168 % of what it was.")
    assert found.advice.sentence == ("Solder 6 x 220 uF, 25 V, low-ESR, within 20 to 30 mm of each controller, plus to plus, stripe to minus; or put the controllers beside the packs and "
                                     "lengthen the motor leads.")
    after = finding("L02", build("dunlin", {**built, **found.advice.changes}))
    assert after.verdict == "good"
    assert after.sentence == ("The right pack lead is 700 mm long instead of 150 mm; with 1320 uF added the controller's own capacitor is heated to 15 % of what it was.")
    beside = {**built, "leads.placement": "fuselage", "leads.left.pack_length": None, "leads.right.pack_length": None}
    assert finding("L02", build("dunlin", beside)).verdict == "good", "the other half of the advice helps as well"
