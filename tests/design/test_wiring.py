"""Page 02: the wiring as entered, the receiver's supply against a calculation by hand, and what the findings say."""

import math
from itertools import product

import pytest

from builds import build
from twinkit import checks, quantities, tables
from twinkit.circuit import faults
from twinkit.circuit.layouts import buildable
from twinkit.design import Results
from twinkit.design.wiring import TURNS
from twinkit.record import Record

SIDES = ("left", "right")
OHM_METRES = 1 / 58e6            # copper at 20 degC, [iec60028]
PER_KELVIN = 0.00393
LAY = 1.03                       # fine strands, common practice
CONTACTS = 4 * 0.010             # two plugs in the way, plus and minus, common practice
REGULATION = 0.015               # 0.3 % of 5 V for each ampere, LM340 data sheet


def finding(code, changes=(), name="dunlin"):
    """What one check says of a demo build."""
    check = next(c for c in checks.REGISTRY if c.code == code)
    return check().run(build(name, changes))


def lead_resistance(length, gauge, celsius):
    """Both wires of a servo lead and its contacts, by hand."""
    diameter = 0.127e-3 * 92 ** ((36 - gauge) / 39)
    return 2 * length * LAY * OHM_METRES * (1 + PER_KELVIN * (celsius - 20)) / (math.pi / 4 * diameter**2) + CONTACTS


# --- the receiver's supply, by hand ----------------------------------------------------------------------------------------


@pytest.mark.identity
def test_dunlins_supply_by_hand():
    bus, leads = build().wiring, build().leads
    assert bus.feeding == ("right",)
    average, moving, stall = 0.05 + 4 * 0.10, 0.05 + 4 * 0.20, 0.05 + 2 * 0.20 + 2 * 0.70
    assert (bus.load_average, bus.load_moving, bus.load_stall) == pytest.approx((average, moving, stall))
    path = lead_resistance(leads.right.signal_length, 26, 40)
    right, left = bus.supplies["right"], bus.supplies["left"]
    assert right.heat == pytest.approx(5 * average * (1 / 0.85 - 1))
    assert right.temperature == pytest.approx(273.15 + 40 + 35 * 5 * average * (1 / 0.85 - 1))
    assert right.receiver_volts_stall == pytest.approx(5 - stall * (path + REGULATION), abs=0.002)
    assert bus.receiver_volts_stall == right.receiver_volts_stall
    extension = lead_resistance(0.45, 26, 40)
    assert bus.servo_volts_stall == pytest.approx(bus.receiver_volts_stall - 0.7 * extension, abs=0.002)
    assert left.heat == pytest.approx((3 * 4.2 - 5) * average)
    assert left.temperature == pytest.approx(273.15 + 40 + 35 * 7.6 * average)
    assert left.allowed_current == pytest.approx((125 - 40) / 35 / 7.6)
    assert bus.regulator_input_current == pytest.approx({"left": 0.0, "right": 5 * average / (0.85 * 3 * 3.7), "shared": 0.0})


@pytest.mark.identity
def test_siskins_supply_by_hand():
    results = build("siskin")
    bus = results.wiring
    average, stall = 0.05 + 2 * 0.10, 0.05 + 2 * 0.55
    path = lead_resistance(results.leads.left.signal_length, 26, 40)
    assert bus.feeding == ("left",)
    assert bus.heat == pytest.approx((2 * 4.2 - 5) * average)
    # Two cells at 3.2 V less 2 V of a classic linear regulator: it has dropped out.
    assert bus.receiver_volts_stall == pytest.approx(2 * 3.2 - 2.0 - stall * (path + REGULATION), abs=0.002)
    assert bus.spare == pytest.approx(1.0 - stall)
    assert bus.regulator_input_current == pytest.approx({"left": 0.0, "right": 0.0, "shared": average}), "a linear regulator takes in what it gives"


@pytest.mark.published
def test_dropout_of_a_classic_regulator_on_two_flat_cells():
    """LM340 data sheet: 2 V at 1 A; at a cut-off of 3.0 V a cell 4.0 V are left before load regulation."""
    bus = build("siskin", {"wiring.left.cut_off": 3.0, "wiring.right.cut_off": 3.0, "wiring.servo_stall": "475 mA"}).wiring
    assert bus.load_stall == pytest.approx(1.0)
    assert bus.bus_volts_stall == pytest.approx(4.0 - 0.003 * 5.0, rel=1e-6)


@pytest.mark.identity
def test_two_regulators_share_as_the_nodes_say():
    """Both reds in: in the picture each gives what its own volts and resistance say of the common bus."""
    bus = build(changes={"wiring.left.red_lead": "connected"}).wiring
    sharing, left, right = bus.sharing, bus.supplies["left"], bus.supplies["right"]
    assert sharing.apart == pytest.approx(5 * 1.02 - 5 * 0.98)
    assert sharing.onset == pytest.approx(sharing.apart / left.resistance)
    assert sharing.left + sharing.right == pytest.approx(sharing.load)
    both = (sharing.left > 0) & (sharing.right > 0) & (sharing.left < 0.999 * left.rating) & (sharing.right < 0.999 * right.rating)
    assert both.sum() > 5
    assert (5.1 - sharing.left * left.resistance)[both] == pytest.approx((4.9 - sharing.right * right.resistance)[both])
    drawn = bus.regulator_input_current
    assert drawn["left"] > 0 and drawn["right"] > 0
    # At equal set volts and leads each gives half: the linear one takes that half in, the switching one less.
    assert drawn["left"] == pytest.approx(0.225) and drawn["right"] == pytest.approx(0.225 * 5 / (0.85 * 11.1))


@pytest.mark.identity
def test_diodes_cost_their_drop():
    reds = {f"wiring.{side}.red_lead": "connected" for side in SIDES}
    plain = build().wiring
    through = build(changes={"power.source": "both_diodes", **reds}).wiring
    assert through.by_diodes and set(through.feeding) == set(SIDES)
    lowest = min(one.receiver_volts_stall for one in through.supplies.values())
    assert through.receiver_volts_stall == pytest.approx(lowest - 0.4)
    assert not plain.by_diodes


@pytest.mark.identity
@pytest.mark.parametrize("path, values, field, sign", [
    ("wiring.servo_stall", (0.4, 0.6, 0.8, 1.2), "receiver_volts_stall", -1), ("wiring.servo_average", (0.05, 0.1, 0.2), "temperature", 1),
    ("wiring.extension_length", (0.1, 0.4, 1.0), "servo_volts_stall", -1), ("wiring.servos", (2, 3, 5, 8), "spare", -1),
    ("limits.regulator_thermal", (20.0, 35.0, 60.0), "temperature", 1), ("wiring.right.regulator_dropout", (0.5, 2.0, 4.5), "receiver_volts_stall", 0),
    ("wiring.right.cut_off", (2.5, 3.0, 3.4), "bus_volts_stall", 0),
])
def test_the_bus_moves_the_right_way(path, values, field, sign):
    found = [getattr(build(changes={path: value}).wiring, field) for value in values]
    steps = [b - a for a, b in zip(found, found[1:])]
    assert all(step * sign > 0 for step in steps) if sign else all(abs(step) < 1e-9 for step in steps), found


@pytest.mark.identity
def test_left_and_right_are_treated_alike():
    """The demo build with everything of left and right exchanged gives the exchanged results."""
    one = build()
    record = Record.from_text(tables.text("demo/dunlin.toml"))
    for path in quantities.paths():
        side = quantities.side_of(path)
        if side in SIDES and path.split(".")[0] in ("power", "wiring", "weight"):
            other = path.replace(f".{side}.", f".{'right' if side == 'left' else 'left'}.")
            entry = one.record.get(path)
            if entry is None or entry.assumed:
                record.clear(other)
            else:
                record.set(other, entry.value)
    record.set("power.source", "left_bec")
    two = Results(record)
    assert two.wiring.feeding == ("left",)
    for name in ("heat", "temperature", "receiver_volts_stall", "spare", "allowed_current"):
        assert getattr(two.wiring, name) == pytest.approx(getattr(one.wiring, name)), name
    mirror = {"left only": "right only", "right only": "left only"}
    assert sorted(r.result for _, r in two.layout.failures) == sorted(mirror.get(r.result, r.result) for _, r in one.layout.failures)


# --- the wiring as entered -------------------------------------------------------------------------------------------------


@pytest.mark.identity
@pytest.mark.parametrize("left, right", list(product(("connected", "isolated", "bare"), repeat=2)))
@pytest.mark.parametrize("source", ["left_bec", "right_bec", "both", "receiver_pack"])
def test_red_leads_are_taken_as_they_are(source, left, right):
    """What feeds the receiver is counted here from the entries alone, without the graph."""
    layout = build(changes={"power.source": source, "wiring.left.red_lead": left, "wiring.right.red_lead": right}).layout
    counted = {side for side, red in zip(SIDES, (left, right)) if red == "connected"} | ({"receiver_pack"} if source == "receiver_pack" else set())
    assert set(layout.sources) == counted
    assert layout.facts.receiver_feed.fight == (len(counted) > 1)
    loose = {one.pin.part.split("_")[0] for one in layout.facts.unused_reds if not one.insulated}
    assert loose == {side for side, red in zip(SIDES, (left, right)) if red == "bare"}


@pytest.mark.identity
def test_every_layout_that_can_be_built_is_worked_out():
    for one in buildable():
        changes = {"power.packs": one.packs, "power.controllers": one.controllers, "power.source": one.source, "power.shared.cells": 3,
                   "power.shared.capacity": "1500 mAh", "weight.shared.pack_behind": "-60 mm"}
        changes |= {"power.throttle": one.throttle} if one.throttle != "one_channel" else {}
        changes |= {"power.stand_alone_feed": one.stand_alone_feed} if one.stand_alone_feed != "none" else {}
        for side, opto in zip(SIDES, one.opto):
            changes |= {f"wiring.{side}.red_lead": None, f"wiring.{side}.regulator_kind": "none" if opto else "linear"}
        results = build(changes=changes)
        layout, bus = results.layout, results.wiring
        assert layout.buildable and layout.layout == one, one
        assert layout.wiring == layout.meant and not layout.planted
        assert layout.failures == faults.failure_table(layout.wiring)
        assert set(layout.sources) == set(layout.meant_sources) == set(bus.feeding), one
        assert bus.receiver_volts_stall > 0 and bus.spare is not None
        drawn = bus.regulator_input_current
        assert (sum(drawn.values()) > 0) == (one.source != "receiver_pack")
        assert drawn["shared"] == 0.0 if one.packs == "two" else drawn["left"] == drawn["right"] == 0.0


@pytest.mark.identity
def test_no_choice_of_entries_is_too_odd():
    """Every combination of the layout's entries gives a wiring or says why not; nothing crashes and nothing is left unsaid."""
    names = ("packs", "controllers", "source", "throttle", "stand_alone_feed")
    for values in product(*(quantities.quantity(f"power.{name}").choices for name in names)):
        results = build(changes={**{f"power.{name}": value for name, value in zip(names, values)}, "power.shared.cells": 3, "power.shared.capacity": "1500 mAh",
                                 "weight.shared.pack_behind": "-60 mm"})
        layout, bus = results.layout, results.wiring
        assert layout.buildable != bool(layout.why_not), values
        assert bus.known and (layout.buildable or not bus.fed)


@pytest.mark.identity
def test_departures_are_said_in_words():
    assert build().layout.planted == ()
    entered = {"wiring.left.red_lead": "connected", "wiring.left.ground_kept": False, "wiring.right.pack_polarity": "swapped"}
    assert build(changes=entered).layout.planted == (
        "the left red lead is connected", "the left throttle plug has no ground", "the right pack plug is soldered the wrong way round on the aeroplane's side")


@pytest.mark.identity
def test_the_meter_finds_what_was_entered():
    assert all(reading == line.expected for line, reading in build().layout.meter)
    for path, value in (("wiring.left.red_lead", "connected"), ("wiring.right.red_lead", "isolated"), ("wiring.left.ground_kept", False), ("wiring.left.pack_polarity", "swapped")):
        assert any(reading != line.expected for line, reading in build(changes={path: value}).layout.meter), path


@pytest.mark.identity
def test_the_feeding_side_goes_in_first_and_comes_out_last():
    for source, feeding, other in (("left_bec", "left", "right"), ("right_bec", "right", "left")):
        layout = build(changes={"power.source": source, "wiring.left.red_lead": None, "wiring.right.red_lead": None}).layout
        assert layout.power_up.words(layout.wiring) == ("switch the transmitter on", f"plug in: {feeding} pack", f"plug in: {other} pack")
        assert layout.shut_down.words(layout.wiring) == (f"unplug: {other} pack", f"unplug: {feeding} pack", "switch the transmitter off")
    assert build(changes={"wiring.left.red_lead": "connected"}).layout.power_up is None, "two live reds: no order is safe"


@pytest.mark.identity
def test_a_propellers_hand_asks_for_its_turning():
    assert TURNS == {"normal": "clockwise", "reverse": "anticlockwise"}
    assert build().settings.needed_turns == ("clockwise", "clockwise")
    assert build("siskin").settings.needed_turns == ("clockwise", "anticlockwise")


@pytest.mark.identity
def test_an_empty_record_is_not_known():
    results = build("blank")
    for result in (results.layout, results.settings, results.wiring):
        assert result.missing == ("power.left.cells", "power.right.cells")
    assert results.layout.wiring is None and results.wiring.feeding is None
    assert {f.verdict for f in checks.findings(results.record, "wiring")} == {"cannot tell"}


@pytest.mark.identity
def test_a_layout_that_cannot_be_built_still_tells_the_regulators():
    results = build(changes={"wiring.right.regulator_kind": "none"})
    assert results.layout.why_not == "The right controller is opto-isolated and has no regulator to feed the receiver."
    assert not results.wiring.fed and set(results.wiring.supplies) == {"left"}
    assert results.wiring.regulator_input_current == {"left": 0.0, "right": 0.0, "shared": 0.0}


@pytest.mark.identity
def test_red_leads_nobody_entered_are_not_called_good():
    record = {"wiring.left.red_lead": None, "wiring.right.red_lead": None}
    assert [finding(code, record).verdict for code in ("R01", "R02", "R03", "R19")] == ["cannot tell"] * 4
    layout = build(changes=record).layout
    assert layout.unsaid == tuple(record) and layout.sources == ("right",)
    assert set(layout.unsaid) <= set(layout.assumed)


# --- findings --------------------------------------------------------------------------------------------------------------

SAID = [
    ("R00", {}, "good", "Two separate packs, a controller for each motor, a receiver output for each controller; the receiver is fed by the regulator of the right controller."),
    ("R00", {"wiring.right.regulator_kind": "none"}, "stop", "The right controller is opto-isolated and has no regulator to feed the receiver."),
    ("R01", {}, "good", "No two sources meet on the receiver's 5 V rail."),
    ("R01", {"wiring.left.red_lead": "connected"}, "stop",
     "The left controller's regulator and the right controller's regulator both feed the receiver. Regulators differ by up to 0.20 V: the higher one carries everything up to "
     "1.5 A, and with one pack out the live one feeds the dead controller backwards."),
    ("R01", {"power.source": "receiver_pack"}, "stop",
     "The right controller's regulator and the receiver pack both feed the receiver. The higher one carries everything and can push current back into the other."),
    ("R02", {}, "good", "The receiver is fed by the right controller's regulator."),
    ("R02", {"wiring.right.red_lead": "isolated"}, "stop", "Nothing feeds the receiver: you meant the right controller's regulator, and its red lead does not reach."),
    ("R02", {"wiring.right.red_lead": None}, "cannot tell", "Say how the red lead of the right throttle plug is: only you can see it."),
    ("R03", {}, "good", "The red lead of the left throttle plug feeds nothing and is insulated: in a short extension, marked."),
    ("R03", {"wiring.left.red_lead": "bare"}, "stop", "The red lead of the left throttle plug is cut and bare: its end carries 5 V as soon as the pack is in."),
    ("R19", {}, "good", "You meant the right controller's regulator to feed the receiver, and it does."),
    ("R19", {"wiring.left.red_lead": "connected", "wiring.right.red_lead": "isolated"}, "stop",
     "You meant the right controller's regulator to feed the receiver; as wired the left controller's regulator does."),
    ("R05", {}, "good", "Each throttle plug has its black lead through to the receiver."),
    ("R05", {"wiring.left.ground_kept": False}, "stop", "The black lead of the left throttle plug is not connected: its controller hears no pulses."),
    ("R05", {"wiring.right.ground_kept": False}, "stop", "The black lead of the right throttle plug is not connected: its controller hears no pulses and the receiver gets no supply."),
    ("R06", {}, "good", "No controller is opto-isolated."),
    ("R06", {"wiring.left.regulator_kind": "none", "wiring.left.red_lead": "connected"}, "good", "Each opto-isolated controller gets 5 V from the receiver on its red lead."),
    ("R06", {"wiring.left.regulator_kind": "none"}, "look again",
     "The red lead of the left controller is out, but that controller is opto-isolated: most want 5 V there for their signal side."),
    ("R07", {}, "good", "No plus meets a minus anywhere in this wiring, and no pack meets the 5 V."),
    ("R07", {"wiring.right.pack_polarity": "swapped"}, "stop",
     "The right pack plug is swapped: plus and minus of the pack meet where they must not, and the controller and its capacitor burst when it goes in."),
    ("R10", {}, "good", "At your cut-off the pack still gives 9.60 V; the right controller's regulator (switching) needs 6.00 V for its 5.0 V, and may see 4 cells."),
    ("R12", {}, "good", "On average 0.45 A come in through one servo contact, 1.9 A with 2 servos stalled; it stands 1.0 A for good and 3.0 A for a moment."),
    ("R13", {}, "good", "The right controller's regulator (switching) gives 0.45 A on average and turns 0.40 W into heat: its chip reaches 53.9 °C, your limit is 125 °C."),
    ("R13", {"power.source": "left_bec", "wiring.left.red_lead": "connected", "wiring.right.red_lead": "isolated"}, "stop",
     "The left controller's regulator (linear) gives 0.45 A on average and turns 3.4 W into heat: its chip reaches 160 °C, your limit is 125 °C. It may give 0.32 A for good."),
    ("R13b", {}, "good", "With 2 servos stalled the receiver and servos draw 1.85 A; the right controller's regulator is rated 3.0 A."),
    ("R13b", {"wiring.right.regulator_current": "1 A", "wiring.left.regulator_current": "1 A"}, "stop",
     "With 2 servos stalled the receiver and servos draw 1.85 A; the right controller's regulator is rated 1.0 A: 185 % of it, where you allow 150 % for a second."),
    ("R14b", {}, "good", "Your motors turn clockwise, both: their twists add, and the aeroplane leans against them (seen from the cockpit). Each has the propeller of that hand, its print forwards."),
    ("R14b", {"wiring.left.turns": "anticlockwise"}, "stop", "Seen from the cockpit the left motor turns anticlockwise with a normal propeller, which pulls only clockwise."),
    ("R20", {}, "good", "Brake, timing and cut-off are the same on both sides."),
    ("R20", {"wiring.left.brake": True}, "stop", "Not the same on both sides: brake (left on, right off)."),
    ("R21", {}, "look again", "The left and right controllers count their cells by themselves."),
    ("R21", {"wiring.left.set_cells": 2, "wiring.right.set_cells": 3}, "stop", "The left controller is set to 2 cells, its pack has 3."),
    ("R22", {}, "good", "Each controller has learned the ends of the throttle stick."),
    ("R22", {"wiring.right.calibrated": False}, "look again", "The right controller has not learned the ends of the throttle stick yet. 5.0 % of the stick less on one side is 0.33 N less thrust there at full stick, 0.28 N at half."),
    ("R23", {}, "good", "Throttle cut and failsafe have been tried and close both throttle outputs."),
    ("R23", {"wiring.right.cut_set": False, "wiring.left.failsafe_set": False}, "stop",
     "Does not close: the throttle cut on the right output and the failsafe on the left output. Do not fly before both close both motors."),
]


@pytest.mark.pinned
@pytest.mark.parametrize("code, changes, verdict, sentence", SAID, ids=lambda value: value if isinstance(value, str) and len(value) < 12 else None)
def test_what_a_finding_says(code, changes, verdict, sentence):
    found = finding(code, changes)
    assert (found.verdict, found.sentence) == (verdict, sentence)


@pytest.mark.pinned
def test_what_the_volts_finding_says_of_the_siskin():
    found = finding("R13c", name="siskin")
    assert found.verdict == "look again"
    assert found.sentence == ("With 2 servos stalled and the pack at its cut-off the receiver gets 4.25 V and the stalled servos behind their extension 4.20 V; your limit is 4.5 V.")
    assert found.advice.sentence == "Take a regulator that needs at most 1.7 V above its own volts (a low-dropout or a switching one)."


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_the_demo_builds_have_no_stop(name):
    assert "stop" not in {f.verdict for f in checks.findings(build(name).record, "wiring")}


@pytest.mark.identity
def test_advice_follows_the_source_that_was_meant():
    """Contradictions are mended on the red leads, not by changing what was meant."""
    for source, changes in (("left_bec", ("connected", "isolated")), ("right_bec", ("isolated", "connected")), ("receiver_pack", ("isolated", "isolated"))):
        found = finding("R01", {"power.source": source, "wiring.left.red_lead": "connected", "wiring.right.red_lead": "connected"})
        assert found.verdict == "stop"
        assert (found.advice.changes["wiring.left.red_lead"], found.advice.changes["wiring.right.red_lead"]) == changes
        assert found.advice.changes["power.source"] == source


@pytest.mark.identity
def test_two_bare_regulators_on_one_bus_leave_the_stronger_one():
    found = finding("R01", {"power.source": "both", "wiring.left.red_lead": "connected", "wiring.right.red_lead": "connected"})
    assert found.verdict == "stop" and found.advice.changes["power.source"] == "right_bec", "the switching one may give more for good"


@pytest.mark.identity
def test_volts_below_the_lower_limit_stop():
    found = finding("R13c", {"leads.right.signal_length": "2500 mm", "leads.signal_gauge": 28})
    assert found.verdict == "stop" and found.value < 4.0
