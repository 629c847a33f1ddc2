"""Nets, ways and the turning of a motor, each against another route."""

import cmath
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from twinkit.circuit.layouts import Layout, build, buildable
from twinkit.circuit.nets import VIEWS, nets, turning_sense, wires_on_ways
from twinkit.circuit.parts import Pin

ALL = buildable()


def reached(wiring, start, view):
    """Breadth-first search, as another route to a net."""
    near = {}
    pairs = [(wire.a, wire.b) for wire in wiring.wires]
    pairs += [(part.pin(j.first), part.pin(j.second)) for part in wiring.parts for j in part.joints if j.kind in VIEWS[view]]
    for a, b in pairs:
        near.setdefault(a, set()).add(b)
        near.setdefault(b, set()).add(a)
    seen, edge = {start}, [start]
    while edge:
        edge = [pin for at in edge for pin in near.get(at, ()) if pin not in seen and not seen.add(pin)]
    return seen


@pytest.mark.identity
@settings(max_examples=60, deadline=None)
@given(st.sampled_from(ALL), st.sampled_from(sorted(VIEWS)), st.data())
def test_nets_agree_with_a_search(layout, view, data):
    wiring = build(layout)
    gone = data.draw(st.sets(st.sampled_from([wire.id for wire in wiring.wires]), max_size=6))
    wiring = wiring.without_wire(*sorted(gone))
    joined = nets(wiring, view)
    start = data.draw(st.sampled_from(wiring.pins))
    found = reached(wiring, start, view)
    assert joined.net(start) == found
    assert all(joined.same(start, pin) == (pin in found) for pin in wiring.pins)
    assert sum(len(net) for net in joined.groups) == len(wiring.pins)


@pytest.mark.identity
def test_a_wire_is_on_a_way_only_if_it_helps():
    wiring = build(Layout("one")).without_wire("left_power_minus")
    ways = {wire.id for wire in wires_on_ways(wiring, Pin("left_controller", "B-"), Pin("socket", "-"))}
    assert ways == {"left_servo_ground", "right_servo_ground", "right_power_minus"}
    apart = build(Layout("two")).without_wire("left_power_minus")
    assert wires_on_ways(apart, Pin("left_controller", "B-"), Pin("left_pack", "-")) == ()


def field_turns(order):
    """+1 or -1: which way the field of three windings at 0, 120, 240 degrees turns when winding k gets phase order[k] of a three-phase feed."""
    def field(time):
        return sum(cmath.exp(2j * cmath.pi * place / 3) * cmath.cos(time - 2 * cmath.pi * (phase - 1) / 3) for place, phase in enumerate(order))
    first, then = field(0.3), field(0.4)
    return 1 if (first.conjugate() * then).imag > 0 else -1


@pytest.mark.identity
@pytest.mark.parametrize("order", list(permutations((1, 2, 3))))
def test_turning_sense_agrees_with_the_turning_field(order):
    assert turning_sense(order) == field_turns(order)


@pytest.mark.identity
@pytest.mark.parametrize("order", list(permutations((1, 2, 3))))
def test_any_swap_reverses_and_moving_round_does_not(order):
    # common practice, no source
    a, b, c = order
    for swapped in ((b, a, c), (a, c, b), (c, b, a)):
        assert turning_sense(swapped) == -turning_sense(order)
    for moved in ((b, c, a), (c, a, b)):
        assert turning_sense(moved) == turning_sense(order)


def test_orders_that_are_none_are_refused():
    with pytest.raises(ValueError, match=r"a motor has the wires 1, 2 and 3, each once: \(1, 1, 3\) is no order of them"):
        turning_sense((1, 1, 3))
