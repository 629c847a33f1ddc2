"""Which layouts can be built, and that each one is wired soundly."""

import pytest

from twinkit.circuit import facts, working
from twinkit.circuit.layouts import Layout, build, buildable, combinations, why_not
from twinkit.circuit.mistakes import MISTAKES

ALL = buildable()


@pytest.mark.identity
def test_number_of_buildable_layouts_counted_by_hand():
    # Two controllers: 2 throttles x (one 14 + joined 14 + two 18), where 14 = sources left 2 + right 2 + both 1 + diodes 1 + stand-alone 4
    # + receiver pack 4 (the numbers are the opto choices left open), and two packs have two feeds for the stand-alone one.
    # One controller: 2 (one or joined) x (own regulator 1 + stand-alone 2 + receiver pack 2).
    assert len(ALL) == 2 * (14 + 14 + 18) + 2 * 5 == 102
    assert len(combinations()) == 3 * 2 * 6 * 4 * 3 * 4


def test_every_other_combination_has_a_reason():
    for layout in combinations():
        reason = why_not(layout)
        assert (layout in ALL) == (reason == "")
        if reason:
            assert reason.endswith(".")
    with pytest.raises(ValueError, match="this layout cannot be built. The left controller is opto-isolated and has no regulator to feed the receiver."):
        build(Layout(source="left_bec", opto=(True, False)))
    assert why_not(Layout(source="stand_alone", stand_alone_feed="shared")) == \
        "Feeding one regulator from both packs joins the packs: take the left or the right one."
    assert why_not(Layout(controllers="one", throttle="one_channel")) == "One controller has one battery lead: use one pack, or join the packs."


@pytest.mark.identity
@pytest.mark.parametrize("layout", ALL, ids=repr)
def test_every_buildable_layout_builds_soundly(layout):
    wiring = build(layout)
    found, alive = facts.facts(wiring), working.working(wiring)
    assert alive.radio and alive.runs == ("left", "right") and not alive.burnt and not alive.sneak_path
    assert not found.mixed_nets and not found.series_links and not found.joined_outputs and not found.shared_balance and not found.unpowered
    assert not found.shorted_phases and all(link.one_to_one and link.sense == 1 for link in found.phases)
    assert all(ground.by_wire for ground in found.grounds)
    assert all(len(link.outputs) == 1 and link.is_throttle and not link.other_side for link in found.signals)
    assert all(red.insulated and not red.touches for red in found.unused_reds)
    assert all(link.red_fed and link.ground_joined for link in found.opto)
    assert len(found.receiver_feed.sources) == (2 if layout.source in ("both", "both_diodes") else 1)
    assert found.receiver_feed.fight == (layout.source == "both")
    assert bool(found.joined_packs) == (layout.packs == "joined")
    assert bool(found.shared_throttle) == (layout.throttle == "y_lead")
    assert len({pin for wire in wiring.wires for pin in (wire.a, wire.b)} & wiring.insulated) == 0


@pytest.mark.identity
def test_mirroring_twice_gives_the_layout_back_and_stays_buildable():
    for layout in ALL:
        assert layout.mirrored().mirrored() == layout and layout.mirrored() in ALL


def test_words_and_wrong_choices():
    assert Layout().words() == ("Two separate packs, a controller for each motor, a receiver output for each controller; "
                                "the receiver is fed by the regulator of the left controller.")
    with pytest.raises(ValueError, match="source reads 'left_bek': allowed are left_bec, .*; nearest is 'left_bec'"):
        Layout(source="left_bek")
    with pytest.raises(ValueError, match=r"opto reads True: it takes two yes/no values, \(left, right\)"):
        Layout(opto=True)
    with pytest.raises(ValueError, match="no mistake is called 'pack_joined'; nearest is 'packs_joined'"):
        build(Layout(), ("pack_joined",))
    with pytest.raises(ValueError, match="the mistake 'both_packs_feed_regulator' cannot be made in this wiring"):
        build(Layout(), ("both_packs_feed_regulator",))
    assert build(Layout(), ("packs_joined",)) == MISTAKES["packs_joined"].plant(build(Layout()))
