"""What the currents cost in the leads: drop, heat, ripple at the controllers, and what other gauges would cost."""

from dataclasses import dataclass

import numpy as np

from twinkit import tables
from twinkit.design import input_ripple
from twinkit.design.base import Result
from twinkit.design.lead_wire import OWN, stock_wire
from twinkit.design.leads import WIRES_IN_PATH
from twinkit.physics import wire, wire_heat
from twinkit.quantities import SIDES

THICKEST, THINNER_STEP = 10, 2   # thickest wire advised, and one step of the sizes shops keep
THINNEST_SHOWN = 22       # where the picture over the gauge ends; yours is shown beyond it too


@dataclass(frozen=True)
class SideLosses:
    """What the currents of one side cost in its leads (SI). rise: of one wire over the air around it, in the open and for minutes of full throttle."""

    motor_current: float
    pack_current: float
    pack_volts: float
    wire_current: float
    pack_drop: float
    pack_loss: float
    motor_drop: float
    motor_loss: float
    pack_rise: float
    motor_rise: float

    share = property(lambda self: (self.pack_drop + self.motor_drop) / self.pack_volts)
    loss = property(lambda self: self.pack_loss + self.motor_loss)


@dataclass(frozen=True, kw_only=True)
class LeadLosses(Result):
    """Drops and losses at full throttle of both sides, as built and the other way round; ripple at the controllers' inputs.

    currents_from: "power" (the operating point of page 01), "motor limit" or "controller rating". ground_current: through the servo grounds, one pack only.
    """

    left: SideLosses
    right: SideLosses
    other_left: SideLosses
    other_right: SideLosses
    currents_from: str
    inputs: input_ripple.Inputs
    other_inputs: input_ripple.Inputs
    ground_current: float

    @property
    def left_drop(self):
        """Volts lost in the pack and motor leads of the left side."""
        return self.left and self.left.pack_drop + self.left.motor_drop

    @property
    def worst(self):
        """The side that loses the larger share of its pack volts."""
        return max(SIDES, key=lambda side: getattr(self, side).share)


def lead_losses(g, leads, power):
    """Drop, loss and ripple with the currents of page 01; until these are known, with the motor's current limit or the controller's rating."""
    g.use(leads), g.use(power, needed=False)
    drives = {side: input_ripple.drive_of(g, side, leads.packs, power) for side in SIDES}
    capacitor = {name: g(f"leads.{name}") for name in ("capacitor", "capacitor_esr", "added_capacitor", "chop_frequency")}
    ratings = {side: _rating(g, side) for side in SIDES}
    grounds = [g(f"wiring.{side}.ground_kept") for side in SIDES]
    if not g.complete:
        return LeadLosses.unknown(g)
    own = {side: getattr(leads, side) for side in SIDES}
    other = {side: getattr(leads, f"other_{side}") for side in SIDES}
    known_other = None not in other.values()
    losses = {side: _losses(own[side], drives[side], leads.wire_temperature) for side in SIDES}
    there = {side: _losses(other[side], drives[side], leads.wire_temperature) if known_other else None for side in SIDES}
    return LeadLosses(
        left=losses["left"], right=losses["right"], other_left=there["left"], other_right=there["right"],
        currents_from=min((drive.origin for drive in drives.values()), key=input_ripple.ORIGINS.index),
        inputs=input_ripple.inputs(own, leads.bought, drives, ratings, leads.pair_inductance, **capacitor),
        other_inputs=input_ripple.inputs(other, leads.bought, drives, ratings, leads.pair_inductance, **capacitor) if known_other else None,
        ground_current=_ground_current(own, losses) if leads.packs != "two" and all(grounds) else None, **g.marks())


def _rating(g, side):
    """The volts a controller's input may see."""
    printed, cells = g.maybe(f"leads.{side}.controller_volts"), g.maybe(f"power.{side}.controller_cells")
    if printed is not None:
        return input_ripple.Rating(printed, "printed")
    return input_ripple.Rating(None if cells is None else cells * tables.values("pack/defaults")["full_cell"], "cells")


def _losses(side, drive, temperature):
    pack, motor = side.pack, side.motor
    in_motor_wire = float(wire.motor_leads(drive.motor_current, motor.length, motor.wire.area).phase_rms)
    heat = np.array([current**2 * lead.wire.resistance for current, lead in ((drive.pack_current, pack), (in_motor_wire, motor))])
    rise = wire_heat.free_air_rise(heat, np.array([pack.wire.outer, motor.wire.outer]), temperature)
    return SideLosses(
        motor_current=drive.motor_current, pack_current=drive.pack_current, pack_volts=drive.pack_volts,
        wire_current=in_motor_wire, pack_rise=float(rise[0]), motor_rise=float(rise[1]),
        pack_drop=drive.pack_current * pack.resistance, pack_loss=drive.pack_current**2 * pack.resistance,
        motor_drop=drive.motor_current * motor.resistance, motor_loss=drive.motor_current**2 * motor.resistance)


def _ground_current(own, losses):
    """Motor current that leaves its power negative for the servo grounds, where both controllers hang on one supply [A]."""
    half = lambda lead: lead.resistance / WIRES_IN_PATH  # noqa: E731
    return abs(float(wire.ground_loop_current(
        losses["left"].pack_current, losses["right"].pack_current, half(own["left"].pack), half(own["right"].pack),
        half(own["left"].signal) + half(own["right"].signal))))


def _other_wire(lead, gauge, temperature):
    """A lead's wire with another gauge bought for it; the wire in hand where the gauge stays."""
    return lead.wire if gauge == lead.wire.gauge else stock_wire(gauge, temperature)


def _drop(lead, gauge, current, temperature):
    """Volts lost in a lead if it were made of this gauge [V]."""
    return current * (lead.joint_resistance + WIRES_IN_PATH * lead.length * _other_wire(lead, gauge, temperature).resistance)


def thicker_gauges(leads, losses, goal):
    """Gauges of pack and motor leads (by steps of two sizes) that bring the drop of the worst side under this share; None when none does."""
    side, cost = getattr(leads, losses.worst), getattr(losses, losses.worst)
    gauges = {kind: getattr(side, kind).wire.gauge for kind in OWN}
    drop = lambda kind: _drop(getattr(side, kind), gauges[kind], getattr(cost, f"{kind}_current"), leads.wire_temperature)  # noqa: E731
    while sum(map(drop, gauges)) > goal * cost.pack_volts:
        free = [kind for kind in gauges if gauges[kind] - THINNER_STEP >= THICKEST]
        if not free:
            return None
        gauges[max(free, key=drop)] -= THINNER_STEP
    return gauges


@dataclass(frozen=True)
class GaugeLine:
    """One sort of lead over its gauge, lengths and currents as they are: loss and added mass of both sides, drop of the worse side with the other sort as it is."""

    gauges: tuple
    loss: tuple
    mass: tuple
    share: tuple
    yours: int


def gauge_lines(leads, losses):
    """Pack and motor leads of other gauges, thick to thin."""
    lines = {}
    for kind in OWN:
        yours = getattr(leads.left, kind).wire.gauge
        gauges = tuple(sorted({*range(THICKEST, THINNEST_SHOWN + 1, THINNER_STEP), yours}))
        sides = [(getattr(getattr(leads, side), kind), getattr(losses, side)) for side in SIDES]
        rest = [getattr(cost, f"{'motor' if kind == 'pack' else 'pack'}_drop") for _, cost in sides]
        loss, mass, share = [], [], []
        for gauge in gauges:
            drops = [_drop(lead, gauge, getattr(cost, f"{kind}_current"), leads.wire_temperature) for lead, cost in sides]
            loss.append(sum(drop * getattr(cost, f"{kind}_current") for drop, (_, cost) in zip(drops, sides)))
            mass.append(sum(lead.wires * lead.added * _other_wire(lead, gauge, leads.wire_temperature).mass for lead, _ in sides))
            share.append(max((drop + other) / cost.pack_volts for drop, other, (_, cost) in zip(drops, rest, sides)))
        lines[kind] = GaugeLine(gauges, tuple(loss), tuple(mass), tuple(share), yours)
    return lines
