"""Orders of switching on and off: common practice, no source."""

import pytest

from twinkit.circuit.layouts import Layout, build, buildable
from twinkit.circuit.power_up import CAUTIONS, MISHAPS, Event, all_orders, all_shut_downs, power_up_order, pulled_in_flight, ready, shut_down_order, start, step

T, OFF = "switch the transmitter on", "switch the transmitter off"


def safe(orders, wiring):
    return {order.words(wiring) for order in orders if order.safe}


@pytest.mark.identity
def test_safe_orders_with_the_regulator_on_the_left(usual):
    for name in ("L3", "L4"):
        wiring = build(usual[name])
        assert safe(all_orders(wiring), wiring) == {
            (T, "plug in: left pack", "plug in: right pack"),
            (T, "plug in: left pack and at once plug in: right pack")}      # fine if both controllers wait for a signal
        assert safe(all_shut_downs(wiring), wiring) == {("unplug: right pack", "unplug: left pack", OFF)}
        assert "wait for the link" in power_up_order(wiring).cautions


@pytest.mark.identity
def test_safe_orders_with_one_pack_and_with_a_receiver_pack(usual):
    for name in ("L1", "L2", "L6"):
        wiring = build(usual[name])
        assert safe(all_orders(wiring), wiring) == {(T, "plug in: pack")}
        assert safe(all_shut_downs(wiring), wiring) == {("unplug: pack", OFF)}
    wiring = build(usual["L7"])
    on = safe(all_orders(wiring), wiring)
    assert len(on) == 3 and all(order[:2] == (T, "plug in: receiver pack") for order in on)
    off = safe(all_shut_downs(wiring), wiring)
    assert len(off) == 2 and all(order[-2:] == ("unplug: receiver pack", OFF) for order in off)


@pytest.mark.identity
@pytest.mark.parametrize("layout", buildable(), ids=repr)
def test_every_layout_has_an_order_and_it_starts_with_transmitter_then_source(layout):
    wiring = build(layout)
    order, back = power_up_order(wiring), shut_down_order(wiring)
    if layout.source == "both" and layout.packs == "two":
        assert order is None and back is None      # the first pack feeds the other controller backwards
        return
    assert order.words(wiring)[0] == T and back.words(wiring)[-1] == OFF
    assert all(state.mode == "armed" for state in order.states[-1].controllers)
    assert order.states[1].radio and not order.states[-1].mishaps
    side = {"left_bec": "left_pack", "right_bec": "right_pack", "receiver_pack": "receiver_pack"}.get(layout.source)
    side = f"{layout.stand_alone_feed}_pack" if layout.source == "stand_alone" else side
    if side and (layout.packs == "two" or layout.source == "receiver_pack"):
        assert order.steps[1][0].pack == side      # the side on the regulator first
        assert back.steps[-2][0].pack == side      # and last out


@pytest.mark.identity
def test_what_each_wrong_order_does(usual):
    wiring = build(usual["L4"])
    by_words = {(order.throttle, order.words(wiring)): order for order in all_orders(wiring)}
    right_first = by_words["low", (T, "plug in: right pack", "plug in: left pack")]
    assert right_first.mishaps == ("controller before receiver", "phantom power")
    state = right_first.states[1]
    assert not state.radio and state.phantom == ("right_controller",) and state.controller("right_controller").mode == "no signal"
    assert right_first.states[2].controller("right_controller").waited      # some do not arm later
    late = by_words["low", ("plug in: left pack", T, "plug in: right pack")]
    assert late.mishaps == ("transmitter late",) and late.states[0].controller("left_controller").may_run
    high = by_words["high", (T, "plug in: left pack", "plug in: right pack")]
    assert high.mishaps == ("calibration",) and [c.mode for c in high.states[-1].controllers] == ["calibration", "calibration"]
    assert all(order.mishaps for order in by_words.values() if order.throttle == "high")


@pytest.mark.identity
def test_regulator_side_pulled_first_leaves_the_other_motor_to_a_dying_receiver(usual):
    wiring = build(usual["L4"])
    wrong = next(o for o in all_shut_downs(wiring) if o.words(wiring) == ("unplug: left pack", "unplug: right pack", OFF))
    assert wrong.mishaps == ("receiver lost with motors live",) and wrong.states[0].controller("right_controller").may_run
    early = next(o for o in all_shut_downs(wiring) if o.words(wiring)[0] == OFF)
    assert "transmitter off with motors live" in early.mishaps


@pytest.mark.identity
def test_a_pack_pulled_in_flight(usual):
    left, right = (pulled_in_flight(build(usual["L4"]), f"{side}_pack") for side in ("left", "right"))
    assert not left.radio and left.mishaps == ("receiver lost with motors live",)
    assert right.radio and right.controller("left_controller").mode == "motor may run" and right.controller("right_controller").mode == "off"
    joined = pulled_in_flight(build(usual["L8"]), "left_pack")
    assert joined.radio and all(c.mode == "motor may run" for c in joined.controllers)
    own = pulled_in_flight(build(usual["L7"]), "receiver_pack")
    assert not own.radio and own.mishaps == ("receiver lost with motors live",)


@pytest.mark.identity
def test_joined_packs_and_joined_regulators_warn(usual):
    wiring = build(usual["L8"])
    order = power_up_order(wiring)
    assert order.states[1].cautions == ("wait for the link", "bare contacts live") and order.states[2].cautions == ("packs join",)
    both = build(Layout(source="both"))
    state = step(both, step(both, start(both), Event("transmitter on")), Event("plug in", "left_pack"))
    assert state.controller("right_controller").fed_backwards and state.mishaps == ("fed backwards",)
    diodes = build(Layout(source="both_diodes"))
    state = step(diodes, step(diodes, start(diodes), Event("transmitter on")), Event("plug in", "left_pack"))
    assert not state.mishaps and not state.controller("right_controller").fed_backwards


@pytest.mark.identity
def test_steps_by_hand(usual):
    wiring = build(usual["L4"])
    state = ready(wiring)
    assert state.linked and all(c.mode == "armed" and not c.may_run for c in state.controllers)
    opened = step(wiring, state, Event("throttle high"))
    assert [c.mode for c in opened.controllers] == ["motor may run"] * 2 and opened.mishaps == ("motor may run",)
    assert [c.mode for c in step(wiring, opened, Event("throttle low")).controllers] == ["armed"] * 2
    silent = step(wiring, state, Event("transmitter off"))
    assert all(c.mode == "no signal" and c.may_run for c in silent.controllers)
    assert set(MISHAPS) >= {name for order in all_orders(wiring) for name in order.mishaps}
    assert set(CAUTIONS) >= {name for order in all_orders(wiring) for name in order.cautions}


def test_wrong_events_are_refused(usual):
    wiring = build(usual["L4"])
    with pytest.raises(ValueError, match="no event is called 'plug': allowed are transmitter on, "):
        step(wiring, start(wiring), Event("plug", "left_pack"))
    with pytest.raises(ValueError, match="'pack' is not plugged in this wiring: it has left_pack, right_pack"):
        step(wiring, start(wiring), Event("plug in", "pack"))
