"""Mistakes that are made when a twin is wired, each as a change of the graph that can be planted to show that it is found.

All of them are known in the trade: common practice, no source. [wiring_trade]
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Callable

from twinkit.circuit.nets import nets, receiver_pins
from twinkit.circuit.parts import Wire, part_id


@dataclass(frozen=True)
class Mistake:
    """A named change. `change` gives the changed wiring, or None where the mistake cannot be made. `kind` is the name without its `side` ('': it has none)."""
    name: str
    words: str
    change: Callable
    kind: str = ""
    side: str = ""

    def fits(self, wiring):
        """Whether the mistake can be made in this wiring."""
        return self.change(wiring) is not None

    def plant(self, wiring):
        """The wiring with the mistake made."""
        changed = self.change(wiring)
        if changed is None:
            raise ValueError(f"the mistake {self.name!r} cannot be made in this wiring: {self.words}")
        return changed


MISTAKES: dict[str, Mistake] = {}
TWO, ANY = ("left", "right"), ("left", "right", "centre")


def _mistake(kind, words, sides=()):
    """Registers a change; a sided one once for each side ("centre": the one controller of both motors), as change(wiring, side)."""
    def register(change):
        if not sides:
            MISTAKES[kind] = Mistake(kind, words, change, kind)
        for side in sides:
            said = words.replace("SIDE ", "" if side == "centre" else f"{side} ")
            MISTAKES[f"{kind}_{side}"] = Mistake(f"{kind}_{side}", said, lambda wiring, side=side: change(wiring, side), kind, side)
        return change
    return register


def kinds():
    """The kinds of mistakes, in order; a kind may have a side."""
    return tuple(dict.fromkeys(mistake.kind for mistake in MISTAKES.values()))


def of_kind(kind, side, wiring):
    """The mistake of a kind on a side of this wiring; where only one of its sides can have it, that one. None when it cannot be made here."""
    fits = [mistake for mistake in MISTAKES.values() if mistake.kind == kind and mistake.fits(wiring)]
    return next((mistake for mistake in fits if mistake.side == side), fits[0] if len(fits) == 1 else None)


def _has(wiring, *wire_ids):
    return all(wiring.has_wire(wire_id) for wire_id in wire_ids)


def _cut(wiring, *wire_ids):
    return wiring.without_wire(*wire_ids) if _has(wiring, *wire_ids) else None


def _exchange(wiring, first, second):
    """The far ends (b) of two wires exchanged."""
    if not _has(wiring, first, second):
        return None
    one, other = wiring.wire(first), wiring.wire(second)
    return wiring.rewired(first, b=other.b).rewired(second, b=one.b)


def _part(wiring, known):
    return next((part for part in wiring.parts if part.id == known), None)


def _bridge(wiring, wire_id, a, b, role, name):
    return wiring.with_wire(Wire(wire_id, a, b, role, "centre", name))


# -- packs and power ----------------------------------------------------------------------------------------------------

@_mistake("reversed_pack_plug", "The SIDE pack plug is soldered the wrong way round on the aeroplane's side.", TWO)
def _reversed_socket(wiring, side):
    socket = _part(wiring, f"{side}_socket")
    return _turned(wiring, socket) if socket else None


@_mistake("reversed_shared_pack_plug", "The plug of the common pack is soldered the wrong way round on the aeroplane's side.")
def _reversed_shared_socket(wiring):
    socket = _part(wiring, "socket")
    return _turned(wiring, socket) if socket else None


def _turned(wiring, socket):
    """All wires soldered to the aeroplane's half of a plug moved to its other contact; the pack's own leads stay."""
    other = {socket.pin("+"): socket.pin("-"), socket.pin("-"): socket.pin("+")}
    for wire in wiring.wires:
        if "pack" not in (wiring.part(wire.a.part).kind, wiring.part(wire.b.part).kind):
            wiring = wiring.rewired(wire.id, a=other.get(wire.a), b=other.get(wire.b))
    return wiring


@_mistake("reversed_pack_lead", "The plug on the SIDE pack itself is the wrong way round.", TWO)
def _reversed_lead(wiring, side):
    return _exchange(wiring, f"{side}_pack_plus", f"{side}_pack_minus")


@_mistake("reversed_shared_pack_lead", "The plug on the common pack itself is the wrong way round.")
def _reversed_shared_lead(wiring):
    return _exchange(wiring, "pack_plus", "pack_minus")


@_mistake("reversed_controller_lead", "The SIDE controller's battery leads are soldered the wrong way round.", ANY)
def _reversed_controller(wiring, side):
    return _exchange(wiring, part_id(side, "power_plus"), part_id(side, "power_minus"))


@_mistake("open_power_negative", "The SIDE controller's battery negative has no contact.", ANY)
def _open_negative(wiring, side):
    return _cut(wiring, part_id(side, "power_minus"))


@_mistake("open_power_positive", "The SIDE controller's battery positive has no contact.", ANY)
def _open_positive(wiring, side):
    return _cut(wiring, part_id(side, "power_plus"))


def _separate_sockets(wiring):
    left, right = _part(wiring, "left_socket"), _part(wiring, "right_socket")
    apart = left and right and not nets(wiring).same(left.pin("+"), right.pin("+"))
    return (left, right) if apart else None


@_mistake("packs_joined", "A common arming plug, voltage sensor or shunt joins the positives of two packs that should be separate.")
def _packs_joined(wiring):
    pair = _separate_sockets(wiring)
    return _bridge(wiring, "joining_plug", pair[0].pin("+"), pair[1].pin("+"), "power +", "common plug or sensor") if pair else None


@_mistake("both_packs_feed_regulator", "Both packs are wired to the input of the stand-alone regulator, without diodes.")
def _both_feed(wiring):
    pair, regulator = _separate_sockets(wiring), _part(wiring, "regulator")
    if not (pair and regulator):
        return None
    fed = wiring.wire("regulator_in_plus").a.part
    other = pair[1] if fed == pair[0].id else pair[0]
    wiring = _bridge(wiring, "second_feed_minus", other.pin("-"), regulator.pin("in-"), "power -", "second feed, negative")
    return _bridge(wiring, "second_feed_plus", other.pin("+"), regulator.pin("in+"), "power +", "second feed, positive")


@_mistake("shared_balance_lead", "The balance leads of both packs are joined while the packs are in the aeroplane.")
def _shared_balance(wiring):
    packs = wiring.of_kind("pack")
    if len(packs) < 2:
        return None
    for name in ("BAL+", "BAL", "BAL-"):
        wiring = _bridge(wiring, f"balance {name}", packs[0].pin(name), packs[1].pin(name), "balance", "joined balance leads")
    return wiring


@_mistake("packs_in_series", "The negative of the left pack is joined to the positive of the right pack.")
def _in_series(wiring):
    pair = _separate_sockets(wiring)
    return _bridge(wiring, "series_link", pair[0].pin("-"), pair[1].pin("+"), "power -", "series link") if pair else None


@_mistake("power_short", "Chafed battery leads of the SIDE controller touch each other.", ANY)
def _power_short(wiring, side):
    part = _part(wiring, part_id(side, "controller"))
    return _bridge(wiring, part_id(side, "power_short"), part.pin("B+"), part.pin("B-"), "power +", "chafed battery leads") if part else None


@_mistake("one_controller_two_motors", "Both motors are soldered to the left controller and the right controller is left out.")
def _one_controller(wiring):
    if not _part(wiring, "right_controller"):
        return None
    left = wiring.part("left_controller")
    for number in "123":
        wiring = wiring.rewired(f"right_phase_{number}", a=left.pin(f"PH{number}"))
    return wiring.without_part("right_controller")


# -- the receiver's source ----------------------------------------------------------------------------------------------

def _servo_end(wiring, side, name):
    """Where the servo lead of a side meets the receiver or the Y lead."""
    if _part(wiring, "y_lead") and side != "centre":
        return wiring.part("y_lead").pin(f"{side}.{name}")
    port = f"{part_id(side, 'throttle')}.{name}"
    return wiring.receiver.pin(port) if wiring.receiver.has_pin(port) else None


@_mistake("red_left_on", "The SIDE controller's red servo wire, which should be cut and insulated, still feeds the receiver.", ANY)
def _red_left_on(wiring, side):
    part, end = _part(wiring, part_id(side, "controller")), _servo_end(wiring, side, "V")
    if part is None or end is None or part.pin("V5") not in wiring.insulated:
        return None
    wire = Wire(part_id(side, "servo_red"), part.pin("V5"), end, "5 V", side, f"{part.name} servo lead, red", wiring.wire(part_id(side, "servo_ground")).connectors)
    return replace(wiring.with_wire(wire), insulated=wiring.insulated - {part.pin("V5")})


@_mistake("both_reds_cut", "No controller's red servo wire reaches the receiver, and nothing else feeds it.")
def _both_reds_cut(wiring):
    reds = [wire.id for wire in wiring.wires if wire.id.endswith("servo_red") and not wiring.part(wire.a.part).opto]
    return wiring.without_wire(*reds) if reds else None


@_mistake("source_left_out", "The wire from the stand-alone regulator or receiver pack to the receiver is missing.")
def _source_left_out(wiring):
    red = next((wire.id for wire in wiring.wires if wire.id in ("regulator_red", "receiver_pack_red")), None)
    return wiring.without_wire(red) if red else None


@_mistake("source_ground_open", "The ground wire from the stand-alone regulator or receiver pack to the receiver has no contact.")
def _source_ground_open(wiring):
    return _cut(wiring, "regulator_ground") or _cut(wiring, "receiver_pack_ground")


@_mistake("regulator_feed_open", "The positive input of the stand-alone regulator has no contact.")
def _feed_open(wiring):
    return _cut(wiring, "regulator_in_plus")


@_mistake("source_plug_reversed", "The plug of the stand-alone regulator or receiver pack is the wrong way round.")
def _source_reversed(wiring):
    return _exchange(wiring, "regulator_red", "regulator_ground") or _exchange(wiring, "receiver_pack_red", "receiver_pack_ground")


@_mistake("regulator_input_reversed", "The input of the stand-alone regulator is soldered the wrong way round.")
def _regulator_reversed(wiring):
    return _exchange(wiring, "regulator_in_plus", "regulator_in_minus")


@_mistake("flight_pack_on_receiver", "A flight pack is plugged straight into the receiver's battery port.")
def _pack_on_receiver(wiring):
    pack, (plus, minus) = wiring.of_kind("pack")[0], receiver_pins(wiring)
    for part in ("regulator", "receiver_pack"):
        wiring = wiring.unplugged(f"{wiring.part(part).name} plug") if _part(wiring, part) else wiring
    return wiring.rewired(f"{pack.id}_plus", b=plus).rewired(f"{pack.id}_minus", b=minus)


@_mistake("diode_reversed", "The SIDE diode is the wrong way round.", TWO)
def _diode_reversed(wiring, side):
    diode = _part(wiring, f"{side}_diode")
    if not diode:
        return None
    return wiring.rewired(f"{side}_servo_red_to_diode", b=diode.pin("K")).rewired(part_id(side, "servo_red"), a=diode.pin("A"))


@_mistake("diode_bridged", "The SIDE diode is bridged by solder.", TWO)
def _diode_bridged(wiring, side):
    diode = _part(wiring, f"{side}_diode")
    return _bridge(wiring, f"{side}_solder", diode.pin("A"), diode.pin("K"), "5 V", "solder across the diode") if diode else None


@_mistake("bare_stub", "The cut red servo wire of the SIDE controller is not insulated.", ANY)
def _bare_stub(wiring, side):
    part = _part(wiring, part_id(side, "controller"))
    return wiring.bared(part.pin("V5")) if part and part.pin("V5") in wiring.insulated else None


@_mistake("stub_on_spar", "The cut red servo wire of the SIDE controller is bare and, over a carbon spar, touches that controller's battery negative.", ANY)
def _stub_on_spar(wiring, side):
    bare = _bare_stub(wiring, side)
    if bare is None:
        return None
    pin = bare.part(part_id(side, "controller")).pin
    return _bridge(bare, part_id(side, "spar"), pin("V5"), pin("B-"), "5 V", "contact over the spar")


# -- servo leads --------------------------------------------------------------------------------------------------------

@_mistake("missing_ground", "The ground of the SIDE controller's servo lead has no contact.", ANY)
def _missing_ground(wiring, side):
    return _cut(wiring, part_id(side, "servo_ground"))


@_mistake("ground_cut_with_red", "The ground of the SIDE controller's servo lead was cut together with its red wire.", ANY)
def _ground_with_red(wiring, side):
    cut = _cut(wiring, part_id(side, "servo_ground"))
    return cut.without_wire(part_id(side, "servo_red")) if cut and _has(cut, part_id(side, "servo_red")) else cut


@_mistake("red_open", "The red servo wire of the SIDE controller, which is needed, has no contact.", ANY)
def _red_open(wiring, side):
    return _cut(wiring, part_id(side, "servo_red"))


@_mistake("open_signal", "The signal wire of the SIDE controller has no contact.", ANY)
def _open_signal(wiring, side):
    return _cut(wiring, part_id(side, "servo_signal"))


@_mistake("servo_plug_reversed", "The SIDE controller's servo plug sits upside down: signal and ground are exchanged.", ANY)
def _plug_reversed(wiring, side):
    return _exchange(wiring, part_id(side, "servo_signal"), part_id(side, "servo_ground"))


@_mistake("red_and_ground_exchanged", "In the SIDE controller's servo plug red and ground are crimped into each other's place.", ANY)
def _red_for_ground(wiring, side):
    return _exchange(wiring, part_id(side, "servo_red"), part_id(side, "servo_ground"))


@_mistake("red_and_signal_exchanged", "In the SIDE controller's servo plug red and signal are crimped into each other's place.", ANY)
def _red_for_signal(wiring, side):
    return _exchange(wiring, part_id(side, "servo_red"), part_id(side, "servo_signal"))


@_mistake("crossed_signals", "The left and right throttle plugs are exchanged at the receiver.")
def _crossed(wiring):
    if _part(wiring, "y_lead"):
        return None
    return _exchange(wiring, "left_servo_signal", "right_servo_signal")


@_mistake("joined_outputs", "A Y lead joins both throttle outputs of the receiver.")
def _joined_outputs(wiring):
    receiver = wiring.receiver
    if not receiver.has_pin("left_throttle.S"):
        return None
    return _bridge(wiring, "outputs", receiver.pin("left_throttle.S"), receiver.pin("right_throttle.S"), "signal", "outputs joined")


@_mistake("wrong_output", "The SIDE controller is plugged into the rudder output.", ANY)
def _wrong_output(wiring, side):
    if _part(wiring, "y_lead") or not _has(wiring, part_id(side, "servo_signal")):
        return None
    return wiring.rewired(part_id(side, "servo_signal"), b=wiring.receiver.pin("rudder.S"))


@_mistake("trunk_signal_open", "The signal wire in the trunk of the Y lead has no contact.")
def _trunk_signal(wiring):
    return _cut(wiring, "trunk_signal")


@_mistake("trunk_ground_open", "The ground wire in the trunk of the Y lead has no contact.")
def _trunk_ground(wiring):
    return _cut(wiring, "trunk_ground")


@_mistake("trunk_red_open", "The red wire in the trunk of the Y lead has no contact.")
def _trunk_red(wiring):
    fed = any(wire.b.part == "y_lead" and wire.role == "5 V" for wire in wiring.wires)
    return _cut(wiring, "trunk_red") if fed else None


@_mistake("trunk_on_wrong_output", "The trunk of the Y lead is plugged into the rudder output.")
def _wrong_trunk(wiring):
    return wiring.rewired("trunk_signal", b=wiring.receiver.pin("rudder.S")) if _has(wiring, "trunk_signal") else None


# -- motors -------------------------------------------------------------------------------------------------------------

@_mistake("phases_exchanged", "Two wires of the SIDE motor are exchanged: it turns the wrong way.", TWO)
def _exchanged(wiring, side):
    return _exchange(wiring, f"{side}_phase_1", f"{side}_phase_2")


@_mistake("phase_open", "One wire of the SIDE motor has no contact.", TWO)
def _phase_open(wiring, side):
    return _cut(wiring, f"{side}_phase_3")


@_mistake("phase_short", "Two wires of the SIDE motor touch at the controller.", TWO)
def _phase_short(wiring, side):
    controller = wiring.part(wiring.wire(f"{side}_phase_1").a.part)
    return _bridge(wiring, f"{side}_phase_short", controller.pin("PH1"), controller.pin("PH2"), "phase", "two motor wires touching")


@_mistake("phase_on_negative", "A chafed wire of the SIDE motor touches the controller's battery negative.", TWO)
def _phase_on_negative(wiring, side):
    controller = wiring.part(wiring.wire(f"{side}_phase_1").a.part)
    return _bridge(wiring, f"{side}_chafed", controller.pin("PH1"), controller.pin("B-"), "phase", "chafed motor wire")


@_mistake("winding_on_mount", "A motor screw touches a winding of the SIDE motor.", TWO)
def _winding_on_mount(wiring, side):
    pin = wiring.part(part_id(side, "motor")).pin
    return _bridge(wiring, f"{side}_screw", pin("1"), pin("mount"), "phase", "screw on the winding")


@_mistake("phases_between_motors", "One wire of each motor goes to the other side's controller.")
def _between(wiring):
    return _exchange(wiring, "left_phase_1", "right_phase_1") if _part(wiring, "right_controller") else None


@_mistake("motors_exchanged", "The left controller drives the right motor and the right controller the left one.")
def _motors_exchanged(wiring):
    if not _part(wiring, "right_controller"):
        return None
    for number in "123":
        wiring = _exchange(wiring, f"left_phase_{number}", f"right_phase_{number}")
    return wiring
