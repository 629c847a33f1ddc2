"""The wiring as an immutable graph."""

import dataclasses

import pytest

from twinkit.circuit.layouts import Layout, build
from twinkit.circuit.parts import LEVELS, ROLES, SIDES, Pin, Wire, Wiring, receiver_pack


@pytest.fixture(scope="module")
def wiring():
    return build(Layout())


@pytest.mark.identity
def test_changed_copies_leave_the_original_alone(wiring):
    before = (wiring.parts, wiring.wires, wiring.insulated, wiring.declared)
    cut = wiring.without_wire("left_servo_red")
    assert len(cut.wires) == len(wiring.wires) - 1
    assert not cut.has_wire("left_servo_red")
    assert cut.with_wire(wiring.wire("left_servo_red")).wires != cut.wires
    gone = wiring.without_part("right_controller")
    assert not any("right_controller" in (wire.a.part, wire.b.part) for wire in gone.wires)
    assert not any(pin.part == "right_controller" for pin in gone.insulated)
    moved = wiring.rewired("left_servo_signal", b=wiring.receiver.pin("rudder.S"))
    assert moved.wire("left_servo_signal").b == Pin("receiver", "rudder.S")
    assert wiring.bared(Pin("right_controller", "V5")).insulated == frozenset()
    assert wiring.declaring("paralleled regulators").declared == {"paralleled regulators"}
    assert (wiring.parts, wiring.wires, wiring.insulated, wiring.declared) == before
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot assign to field 'wires'"):
        wiring.wires = ()


@pytest.mark.identity
def test_a_pulled_plug_takes_its_own_contacts_and_no_others(wiring):
    for name in wiring.connectors:
        contacts = {wire.id for wire in wiring.contacts(name)}
        left = {wire.id for wire in wiring.unplugged(name).wires}
        assert contacts and left == {wire.id for wire in wiring.wires} - contacts
    assert {wire.role for wire in wiring.contacts("left servo plug")} == {"signal", "5 V", "ground"}
    assert {wire.role for wire in wiring.contacts("right servo plug")} == {"signal", "ground"}   # its red is cut
    assert {wire.role for wire in wiring.contacts("left pack plug")} == {"power +", "power -"}


@pytest.mark.identity
def test_every_part_and_wire_has_what_a_drawing_needs(wiring):
    for thing in wiring.parts + wiring.wires:
        assert thing.side in SIDES and thing.name and thing.id
    for wire in wiring.wires:
        assert wire.role in ROLES
    for pin in wiring.pins:
        assert wiring.level(pin) in LEVELS and wiring.words(pin)
    assert wiring.words(Pin("left_controller", "B-")) == "left controller, battery negative"
    assert wiring.words(Pin("receiver", "left_throttle.S")) == "receiver, left throttle signal"
    assert str(Pin("left_motor", "2")) == "left_motor.2"


def test_wrong_names_are_refused_with_the_nearest(wiring):
    with pytest.raises(ValueError, match="this wiring has no wire 'left_servo_rde'; nearest is 'left_servo_red'"):
        wiring.without_wire("left_servo_rde")
    with pytest.raises(ValueError, match="this wiring has no part 'left_packs'; nearest is 'left_pack'"):
        wiring.part("left_packs")
    with pytest.raises(ValueError, match="this wiring has no connector 'Y trunk'"):
        wiring.unplugged("Y trunk")
    with pytest.raises(ValueError, match=r"left pack has no pin 'B\+': it has \+, -"):
        wiring.part("left_pack").pin("B+")
    with pytest.raises(ValueError, match="left controller, red servo wire is not an insulated end"):
        wiring.bared(Pin("left_controller", "V5"))
    with pytest.raises(ValueError, match="two parts share the id receiver_pack: every id is used once"):
        Wiring((receiver_pack(), receiver_pack()), ())
    with pytest.raises(ValueError, match="wire 'x' has the role 'plus': allowed are power"):
        wiring.with_wire(Wire("x", Pin("left_pack", "+"), Pin("right_pack", "+"), "plus", "centre", "x"))
