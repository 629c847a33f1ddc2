"""The meter sheet against the table of the trade: common practice, no source. closed = beep; open = no beep or a normal reading through parts."""

import pytest

from twinkit.circuit.layouts import Layout, build, buildable
from twinkit.circuit.meter import READINGS, differences, read, sheet
from twinkit.circuit.parts import Pin

ONE, TWO, JOINED, OPTO = Layout("one"), Layout("two"), Layout("joined"), Layout("two", source="receiver_pack", opto=(True, True))
Y = Layout("two", throttle="y_lead")
BEEP, NO, NORMAL = "beep", "no beep", "normal reading"
LEFT_OUT, RIGHT_OUT, BOTH_OUT = ("left servo plug",), ("right servo plug",), ("left servo plug", "right servo plug")
BULLETS = ("left motor plugs", "right motor plugs")
L, R, M, RX = "left_controller", "right_controller", "left_motor", "receiver"

# from, to, plugs out, readings for (one pack, two packs)
TABLE = [
    ((L, "B-"), (R, "B-"), (), BEEP, BEEP),                     # two packs: through the servo grounds ...
    ((L, "B-"), (R, "B-"), LEFT_OUT, BEEP, NO),                 # ... so it must open when one servo plug is out
    ((L, "B-"), (R, "B-"), RIGHT_OUT, BEEP, NO),
    ((L, "B+"), (R, "B+"), (), BEEP, NO),                       # closed would be packs in parallel
    ((RX, "battery.V"), (L, "V5"), (), BEEP, BEEP),             # left is the source
    ((RX, "battery.V"), (R, "V5"), (), NO, NO),                 # insulated
    ((RX, "battery.V"), (L, "B+"), (), NO, NO),
    ((RX, "battery.V"), (R, "B+"), (), NO, NO),
    ((RX, "battery.G"), (L, "SG"), (), BEEP, BEEP),
    ((RX, "battery.G"), (R, "SG"), (), BEEP, BEEP),
    ((RX, "left_throttle.S"), (L, "S"), (), BEEP, BEEP),
    ((RX, "right_throttle.S"), (R, "S"), (), BEEP, BEEP),
    ((RX, "left_throttle.S"), (R, "S"), (), NO, NO),
    ((L, "S"), (R, "S"), (), NO, NO),
    ((RX, "battery.V"), (RX, "battery.G"), (), NORMAL, NORMAL),
    ((L, "B-"), (L, "SG"), BOTH_OUT, BEEP, BEEP),               # not opto
    ((M, "1"), (M, "2"), BULLETS, BEEP, BEEP),
    ((M, "1"), (M, "3"), BULLETS, BEEP, BEEP),
    ((M, "2"), (M, "3"), BULLETS, BEEP, BEEP),
    ((M, "1"), (M, "mount"), (), NO, NO),
    ((L, "PH1"), (L, "B-"), BULLETS, NORMAL, NORMAL),
]


def reading(wiring, a, b, pulled):
    lines = [line for line in sheet(wiring) if {line.a, line.b} == {Pin(*a), Pin(*b)} and line.pulled == pulled]
    assert len(lines) == 1, (a, b, pulled)
    return lines[0].expected


@pytest.mark.identity
@pytest.mark.parametrize("a, b, pulled, one, two", TABLE, ids=str)
def test_meter_table(a, b, pulled, one, two):
    assert reading(build(ONE), a, b, pulled) == one
    assert reading(build(TWO), a, b, pulled) == two


@pytest.mark.identity
def test_meter_at_the_pack_plugs():
    for layout, sockets in ((ONE, {"socket": (L, R)}), (TWO, {"left_socket": (L,), "right_socket": (R,)}), (JOINED, {"left_socket": (L, R), "right_socket": (L, R)})):
        wiring = build(layout)
        for socket, controllers in sockets.items():
            assert reading(wiring, (socket, "+"), (socket, "-"), ()) == NORMAL
            for controller in controllers:
                assert reading(wiring, (socket, "+"), (controller, "B+"), ()) == BEEP
                assert reading(wiring, (socket, "-"), (controller, "B-"), BOTH_OUT) == BEEP
        assert [line.expected for line in sheet(wiring) if line.kind == "pack polarity"] == ["right way"] * len(wiring.of_kind("pack"))
    supply = next(line for line in sheet(build(ONE)) if line.kind == "supply")
    assert supply.normal == "rises as the capacitors charge and settles above 1 kilohm; on the diode range with the probes reversed about 0.5 to 1.0 V"


@pytest.mark.identity
def test_meter_on_joined_packs_opto_and_y():
    assert reading(build(JOINED), (L, "B+"), (R, "B+"), ()) == BEEP
    assert reading(build(JOINED), (L, "B-"), (R, "B-"), LEFT_OUT) == BEEP
    opto = build(OPTO)
    for side in (L, R):
        assert reading(opto, (side, "B-"), (side, "SG"), BOTH_OUT) == NO
        assert reading(opto, (RX, "battery.V"), (side, "V5"), ()) == BEEP      # an input
    assert reading(opto, (L, "B-"), (R, "B-"), ()) == NO
    y = build(Y)
    assert reading(y, (L, "S"), (R, "S"), ()) == BEEP
    assert reading(y, (RX, "throttle.S"), (L, "S"), ()) == reading(y, (RX, "throttle.S"), (R, "S"), ()) == BEEP


@pytest.mark.identity
def test_diodes_read_one_way():
    wiring = build(Layout(source="both_diodes"))
    lines = [line for line in sheet(wiring) if line.kind == "diode"]
    assert len(lines) == 2 and all(line.expected == NORMAL for line in lines)
    turned = build(Layout(source="both_diodes"), ("diode_reversed_left",))
    assert [read(turned, line) for line in lines] == [NO, NORMAL]


@pytest.mark.identity
@pytest.mark.parametrize("layout", buildable()[::3], ids=repr)
def test_every_layout_has_a_sheet_that_agrees_with_itself(layout):
    wiring = build(layout)
    lines = sheet(wiring)
    assert differences(lines, wiring) == ()
    keys = [(line.a, line.b, line.pulled) for line in lines]
    assert len(set(keys)) == len(keys)
    for line in lines:
        assert line.expected in READINGS and line.reveals and line.words(wiring)
        assert read(wiring, line) == line.expected


@pytest.mark.identity
def test_a_hidden_open_ground_is_found_with_the_other_plug_out():
    lines = sheet(build(ONE))
    shown = {line.kind: reading for line, reading in differences(lines, build(ONE, ("missing_ground_right",)))}
    assert shown == {"ground alone": NO}      # with both plugs in the beep comes round through the power negatives


def test_words():
    wiring = build(TWO)
    line = next(line for line in sheet(wiring) if line.kind == "negatives apart")
    assert line.words(wiring) == "left controller, battery negative to right controller, battery negative, with out: left servo plug: no beep"
