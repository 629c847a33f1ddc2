"""Facts behind the wiring rules. The cases G1 to G8 are reasoned from the rules of the trade: common practice, no source."""

import pytest

from twinkit.circuit import facts, parts
from twinkit.circuit.layouts import Layout, build, buildable
from twinkit.circuit.parts import Pin
from twinkit.circuit.working import working

ALL = buildable()


def feed_parts(wiring):
    return {source.pin.part for source in facts.receiver_feed(wiring).sources}


@pytest.mark.identity
def test_g1_sound_wiring_has_one_source_and_one_insulated_red(usual):
    for layout in usual.values():
        found = facts.facts(build(layout))
        assert len(found.receiver_feed.sources) == 1 and not found.receiver_feed.fight and not found.mixed_nets
        assert all(red.insulated and not red.touches for red in found.unused_reds)


@pytest.mark.identity
def test_g2_both_reds_connected_fight(usual):
    feed = facts.receiver_feed(build(usual["L2"], ("red_left_on_right",)))
    assert {source.pin for source in feed.sources} == {Pin("left_controller", "V5"), Pin("right_controller", "V5")}
    assert feed.fight and not feed.declared
    assert facts.receiver_feed(build(Layout(source="both")).declaring("paralleled regulators")).declared
    by_diode = facts.receiver_feed(build(Layout(source="both_diodes")))
    assert [source.way for source in by_diode.sources] == ["diode", "diode"] and not by_diode.fight
    assert facts.receiver_feed(build(Layout(source="both_diodes"), ("diode_bridged_left",))).fight
    assert len(facts.receiver_feed(build(Layout(source="both_diodes"), ("diode_reversed_left",))).sources) == 1


@pytest.mark.identity
def test_g3_a_red_left_on_fights_the_receiver_pack(usual):
    wiring = build(usual["L7"], ("red_left_on_left",))
    assert feed_parts(wiring) == {"receiver_pack", "left_controller"} and facts.receiver_feed(wiring).fight


@pytest.mark.identity
def test_g4_servo_ground_cut_with_the_red(usual):
    apart = facts.grounds(build(usual["L4"], ("ground_cut_with_red_right",)))
    assert [(g.by_wire, g.by_any_way) for g in apart] == [(True, True), (False, False)]
    shared = facts.grounds(build(usual["L2"], ("ground_cut_with_red_right",)))   # one pack: hidden by the way through the power negatives
    assert [(g.by_wire, g.by_any_way) for g in shared] == [(True, True), (False, True)]


@pytest.mark.identity
def test_g5_no_source(usual):
    wiring = build(usual["L6"], ("source_left_out",))
    assert facts.receiver_feed(wiring).sources == () and not working(wiring).radio


@pytest.mark.identity
def test_g6_both_packs_on_one_regulator():
    layout = Layout(source="stand_alone", stand_alone_feed="left")
    assert facts.joined_packs(build(layout)) == ()
    assert facts.joined_packs(build(layout, ("both_packs_feed_regulator",))) == (facts.JoinedPacks(("left_pack", "right_pack"), False),)
    assert facts.joined_packs(build(Layout("joined"))) == (facts.JoinedPacks(("left_pack", "right_pack"), True),)
    assert facts.joined_packs(build(Layout(), ("packs_joined",)))[0].declared is False
    assert facts.joined_packs(build(Layout(), ("shared_balance_lead",))) and facts.shared_balance(build(Layout(), ("shared_balance_lead",)))


@pytest.mark.identity
def test_g7_one_controller_for_two_motors_carries_both_currents(usual):
    one = build(Layout("one", controllers="one", throttle="one_channel"))
    for wiring in (one, build(usual["L2"], ("one_controller_two_motors",))):
        (load,) = facts.loads(wiring)
        assert load.motors == ("left_motor", "right_motor")
        lead = [wire.id for wire in wiring.wires if wire.b == Pin(load.controller, "B+")]
        assert facts.carried(wiring, lead).motors == ("left_motor", "right_motor")
    assert [load.motors for load in facts.loads(build(usual["L2"]))] == [("left_motor",), ("right_motor",)]


@pytest.mark.identity
def test_g8_opto_controllers_without_a_receiver_source():
    sound = build(Layout(source="receiver_pack", opto=(True, True)))
    assert all(link == facts.OptoLink(link.controller, True, True, True) for link in facts.opto_links(sound))
    wiring = sound.without_part("receiver_pack")
    assert facts.receiver_feed(wiring).sources == () and len(facts.opto_links(wiring)) == 2
    assert facts.opto_links(sound.without_wire("left_servo_ground"))[0].ground_joined is False


@pytest.mark.identity
def test_reversed_and_shorted_nets_are_named():
    turned = facts.mixed_nets(build(Layout(), ("reversed_pack_plug_right",)))
    assert [mixed.levels for mixed in turned] == [("battery +", "minus")] * 2
    assert any({Pin("right_pack", "+"), Pin("right_controller", "B-")} <= set(mixed.pins) for mixed in turned)
    assert any({Pin("right_pack", "-"), Pin("right_controller", "B+")} <= set(mixed.pins) for mixed in turned)
    (short,) = facts.mixed_nets(build(Layout(), ("winding_on_mount_left",)))
    assert short.levels == ("mount", "phase")
    series = build(Layout(), ("packs_in_series",))
    assert facts.series_links(series) == (facts.SeriesLink("left_pack", "right_pack", False),)
    on_rail = facts.mixed_nets(build(Layout(), ("flight_pack_on_receiver",)))
    assert any({Pin("receiver", "battery.V"), Pin("left_pack", "+")} <= set(mixed.pins) for mixed in on_rail)


@pytest.mark.identity
def test_declared_series_packs_are_no_mixed_net():
    # Two packs in series feeding one lead: the left pack's - meets the right pack's + and nothing else.
    wiring = build(Layout("one")).without_part("pack")
    wiring = wiring.with_part(parts.pack("left")).with_part(parts.pack("right"))
    link = [("a", "left_pack", "+", "socket", "+", "power +"), ("b", "left_pack", "-", "right_pack", "+", "power -"), ("c", "right_pack", "-", "socket", "-", "power -")]
    for wire_id, part, pin, other, other_pin, role in link:
        wiring = wiring.with_wire(parts.Wire(wire_id, Pin(part, pin), Pin(other, other_pin), role, "centre", "series lead"))
    assert len(facts.mixed_nets(wiring)) == 1
    assert facts.mixed_nets(wiring.declaring("series")) == ()
    assert facts.series_links(wiring.declaring("series")) == (facts.SeriesLink("left_pack", "right_pack", True),)


@pytest.mark.identity
def test_signals(usual):
    crossed = facts.signals(build(usual["L4"], ("crossed_signals",)))
    assert all(link.other_side and link.is_throttle for link in crossed)
    assert facts.signals(build(usual["L4"], ("wrong_output_left",)))[0].is_throttle is False
    assert facts.signals(build(usual["L4"], ("open_signal_left",)))[0].outputs == ()
    assert facts.joined_outputs(build(usual["L4"], ("joined_outputs",))) == ((Pin("receiver", "left_throttle.S"), Pin("receiver", "right_throttle.S")),)
    assert [link.by_y for link in facts.signals(build(usual["L3"]))] == [True, True]
    assert facts.shared_throttle(build(usual["L3"]))[0].controllers == ("left_controller", "right_controller")
    assert facts.shared_throttle(build(usual["L4"])) == ()


@pytest.mark.identity
def test_phases():
    for wiring, order, sound, sense in (
            (build(Layout()), (1, 2, 3), True, 1), (build(Layout(), ("phases_exchanged_left",)), (2, 1, 3), True, -1),
            (build(Layout(), ("phase_open_left",)), (1, 2, 0), False, 0), (build(Layout(), ("phases_between_motors",)), (1, 2, 3), False, 0)):
        link = facts.phases(wiring)[0]
        assert (link.order, link.one_to_one, link.sense) == (order, sound, sense)
    assert facts.shorted_phases(build(Layout(), ("phase_short_right",))) == ((Pin("right_controller", "PH1"), Pin("right_controller", "PH2")),)


@pytest.mark.identity
def test_what_runs_through_a_plug(usual):
    shared, apart = build(usual["L1"]), build(usual["L4"])

    def through(wiring, plug):
        return facts.carried(wiring, [wire.id for wire in wiring.contacts(plug)])
    assert through(shared, "pack plug").motors == ("left_motor", "right_motor")
    assert through(apart, "left pack plug").motors == ("left_motor",)
    assert through(apart, "left pack plug").feeds == ("left_controller",) and through(apart, "right pack plug").feeds == ()
    assert through(shared, "Y trunk plug").signals == ("left_motor", "right_motor")
    assert {name for name, _ in facts.trunks(shared)} == {"pack plug", "Y trunk plug", "left servo plug"}
    assert {name for name, _ in facts.trunks(apart)} == {"left pack plug", "left servo plug"}


@pytest.mark.identity
@pytest.mark.parametrize("layout", ALL, ids=repr)
def test_pulling_any_wire_or_plug_never_adds_a_source_or_a_motor(layout):
    wiring = build(layout)
    sources, alive = feed_parts(wiring), working(wiring)
    for cut in [wiring.without_wire(wire.id) for wire in wiring.wires] + [wiring.unplugged(name) for name in wiring.connectors]:
        assert feed_parts(cut) <= sources
        after = working(cut)
        assert set(after.sources) <= set(alive.sources) and set(after.runs) <= set(alive.runs)
