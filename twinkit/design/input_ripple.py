"""Ripple and switching-off peaks at the controllers' inputs: with the leads as bought, as built, and with capacitors added."""

import functools
from dataclasses import dataclass

import numpy as np

from twinkit import tables
from twinkit.physics import lead_capacitor, lead_ripple
from twinkit.physics import pack as packs_physics
from twinkit.quantities import SIDES

ORIGINS = ("controller rating", "motor limit", "power")   # where currents come from, the poorest first
THROTTLES = np.linspace(0.15, 0.95, 17)                   # looked through for the throttle that loads the capacitor most
STATES = ("bought", "plain", "yours", "advised")          # leads as bought; as built: nothing added, with your capacitors, with those advised
CURVE_POINTS, CURVE_FROM, CURVE_TO, CURVE_BEYOND = 49, 0.05, 0.8, 1.3   # of the picture over the pack lead's length; metres, and a share of yours


@dataclass(frozen=True)
class Drive:
    """What loads the input of one side's controller (SI): at full throttle, and motor currents over throttle for the ripple."""

    origin: str
    motor_current: float
    pack_current: float
    pack_volts: float
    full_volts: float
    pack_resistance: float
    duties: np.ndarray
    currents: np.ndarray


@dataclass(frozen=True)
class State:
    """The input of one controller in one state of its leads (SI). peak is what cutting the full current adds to the pack's resting volts."""

    length: float
    resistance: float
    inductance: float
    added: float
    own_rms: float
    own_heat: float
    ripple: float
    peak: float


@dataclass(frozen=True)
class Input:
    """The input of one controller: its four states at the throttle that loads its own capacitor most, and what is asked for."""

    duty: float
    current: float
    bought: State
    plain: State
    yours: State
    advised: State
    surge: float
    equal_heat: float
    trade: float
    pieces: int

    heat_share = property(lambda self: self.yours.own_heat / self.bought.own_heat)
    plain_share = property(lambda self: self.plain.own_heat / self.bought.own_heat)


@dataclass(frozen=True)
class Curves:
    """Over the length of the pack lead [m]: own capacitor's heat as a share of that as bought, and ripple [V]; a line for each state."""

    side: str
    lengths: np.ndarray
    heat_share: dict
    ripple: dict


@dataclass(frozen=True)
class Inputs:
    """Both sides; recommended is the capacitance for each controller, in whole pieces for the side that needs more."""

    left: Input
    right: Input
    piece: float
    recommended: float
    rated_volts: float
    stored_energy: float
    net: "Net"
    lines: tuple

    @property
    def worst(self):
        """The side whose own capacitor is heated most against the leads as bought; the hotter one where both are alike."""
        return max(SIDES, key=lambda side: (round(getattr(self, side).heat_share, 3), getattr(self, side).yours.own_heat))

    @functools.cached_property
    def curves(self):
        return _curves(self)


def drive_of(g, side, packs, power):
    """What loads a side's controller: page 01's running points, or, while these are not known, the limit on the label; None when neither is known."""
    point = None if power.full is None else getattr(power.full, side)
    if point is not None and point.solved:
        drive = getattr(power, side)
        currents = np.nan_to_num(getattr(power.solve(THROTTLES, THROTTLES, 0.0), side).motor_current)
        return Drive("power", point.motor_current, point.pack_current, point.pack_volts + point.pack_current * drive.lead_resistance, drive.emf_full,
                     drive.supply_resistance, THROTTLES, currents)
    supply = "shared" if packs == "one" else side
    cells, limit, origin = g(f"power.{supply}.cells"), g.maybe(f"power.{side}.motor_current_limit"), "motor limit"
    if limit is None:
        limit, origin = g.maybe(f"power.{side}.controller_current"), "controller rating"
    if limit is None:
        g.lack(f"power.{side}.motor_current_limit")
    resistance = _pack_resistance(g, supply, packs)
    if None in (cells, limit, resistance):
        return None
    worst = np.array([tables.values("wire/defaults")["worst_duty"]])
    return Drive(origin, limit, limit, cells * g("limits.loaded_cell"), cells * tables.values("pack/defaults")["full_cell"], resistance, worst, np.array([limit]))


def _pack_resistance(g, supply, packs):
    """Resistance of what feeds a controller, as entered or estimated from the label."""
    entered = g.maybe(f"power.{supply}.pack_resistance")
    if entered is None:
        g.assume(f"power.{supply}.pack_resistance")
        rule, (cells, capacity, rate, age) = tables.values("pack/defaults"), (g(f"power.{supply}.{name}") for name in ("cells", "capacity", "c_rating", "pack_age"))
        if None in (cells, capacity, rate):
            return None
        cell = packs_physics.cell_resistance_estimate(capacity, rate / 3600.0, rule["rule_sag"], rule["rule_rate_cap"], rule["rule_factor"] * age)
        entered = float(packs_physics.pack_resistance(cells, cell, 1, 1.0, 0.0))
    return entered / 2.0 if packs == "joined" else entered


def inputs(leads, bought, drives, pair_inductance, capacitor, capacitor_esr, added_capacitor, chop_frequency):
    """The inputs of both controllers. Arrays below have a place for each side, or states by sides."""
    default = tables.values("wire/defaults")
    own = [leads[side] for side in SIDES]
    each = lambda name: np.array([getattr(drives[side], name) for side in SIDES])  # noqa: E731
    pack, full_current = default["quick_share"] * each("pack_resistance"), each("motor_current")
    base = pack + bought.pack.resistance, np.full(len(SIDES), bought.inductance)
    built = pack + [side.pack.resistance for side in own], np.array([side.inductance for side in own])
    net = Net(capacitor, capacitor_esr, default["piece"], default["piece_esr"], chop_frequency)
    duty, current = np.transpose([_hardest(r, x, drives[side], net) for r, x, side in zip(*built, SIDES)])
    advice = _advice(net, *(tuple(map(float, a)) for a in (each("full_volts"), *base, built[0] - base[0], built[1] - base[1], duty)))
    pieces = np.maximum(advice.pieces, 0.0)
    resistance, inductance = (np.stack([first, second, second, second]) for first, second in zip(base, built))
    added = np.stack([0.0 * pieces, 0.0 * pieces, 0.0 * pieces + added_capacitor, pieces * net.piece])
    rms, swing, peak = net.response(resistance, inductance, added, current, duty, full_current)
    lengths = np.stack([0.0 * pieces + bought.pack.length, *([[side.pack.length for side in own]] * 3)])
    columns = np.stack([lengths, resistance, inductance, added, rms, capacitor_esr * rms**2, swing, peak], -1)
    made = [Input(float(duty[k]), float(current[k]), *(State(*map(float, columns[n, k])) for n in range(len(STATES))), surge=max(float(advice.surge[k]), 0.0),
                  equal_heat=float(advice.equal_rms[k]), trade=default["trade_rule"] * own[k].pack.added, pieces=int(pieces[k])) for k in range(len(SIDES))]
    most = int(np.argmax(pieces))
    lines = tuple(Line(side, lead.pack.wire.resistance, pair_inductance, p + lead.pack.joint_resistance, default["pack_inductance"], float(i))
                  for side, lead, p, i in zip(SIDES, own, pack, full_current))
    return Inputs(*made, piece=net.piece, recommended=float(pieces[most]) * net.piece, rated_volts=float(np.max(advice.rated_voltage)),
                  stored_energy=float(np.max(advice.stored_energy)), net=net, lines=lines)


@dataclass(frozen=True)
class Net:
    """The controller's own capacitor, one piece to add, and the chopping frequency (SI)."""

    own: float
    own_esr: float
    piece: float
    piece_esr: float
    frequency: float

    def response(self, resistance, inductance, added, current, duty, full_current):
        """Own capacitor's current, swing of the input, and switching-off peak above the resting pack; all arrays of one shape."""
        has = added > 0
        put = np.where(has, added, self.piece)
        put_esr = self.piece_esr * self.piece / put
        alone = lead_ripple.ripple(0.0, resistance, inductance, self.own, self.own_esr, current, duty, self.frequency)
        rms, swing = alone.capacitor_rms, alone.peak_to_peak
        if has.any():
            both = lead_capacitor.split_ripple(0.0, resistance, inductance, self.own, self.own_esr, put, put_esr, current, duty, self.frequency)
            rms, swing = np.where(has, both.own_rms, rms), np.where(has, both.voltage_max - both.voltage_min, swing)
        esr = np.where(has, self.own_esr * put_esr / (self.own_esr + put_esr), self.own_esr)
        return rms, swing, lead_ripple.interruption(0.0, resistance, inductance, self.own + np.where(has, added, 0.0), esr, full_current).peak


@dataclass(frozen=True)
class Line:
    """A pack lead of any length: what it has per metre, and what pack, plug and joints add (SI)."""

    side: str
    resistance: float
    inductance: float
    fixed_resistance: float
    fixed_inductance: float
    full_current: float


def _hardest(resistance, inductance, drive, net):
    """Throttle, as the share of the period current is drawn, and motor current there, that load the controller's own capacitor most."""
    rms = lead_ripple.ripple(0.0, resistance, inductance, net.own, net.own_esr, drive.currents, drive.duties, net.frequency).capacitor_rms
    at = int(np.argmax(rms))
    return drive.duties[at], drive.currents[at]


@functools.lru_cache(maxsize=32)
def _advice(net, full_volts, resistance, inductance, extra_resistance, extra_inductance, duty):
    """What longer leads ask for, both sides at once (the search takes a while, so it is kept)."""
    longer = np.array(extra_inductance) > 0
    if not longer.any():
        nothing = np.zeros(len(longer))
        return lead_capacitor.CapacitorAdvice(nothing, nothing, nothing, nothing, None, None, None, 1.5 * np.array(full_volts), nothing)
    return lead_capacitor.capacitor_advice(
        *map(np.array, (full_volts, resistance, inductance)), net.own, net.own_esr, *map(np.array, (extra_resistance, extra_inductance)), net.piece, net.piece_esr,
        1.0, np.array(duty), net.frequency)


def _curves(found):
    """The lines of the ripple picture, for the side that is worse off."""
    line, side = next(x for x in found.lines if x.side == found.worst), getattr(found, found.worst)
    lengths = np.linspace(CURVE_FROM, max(CURVE_TO, CURVE_BEYOND * side.plain.length), CURVE_POINTS)
    capacitors = {"plain": 0.0, "yours": side.yours.added, "advised": found.recommended}
    shown = [name for name, added in capacitors.items() if added > 0 or name == "plain"]
    added = np.array([[capacitors[name]] for name in shown]) + 0.0 * lengths
    resistance, inductance = line.fixed_resistance + 2.0 * line.resistance * lengths, line.fixed_inductance + line.inductance * lengths
    rms, swing, _ = found.net.response(resistance + 0.0 * added, inductance + 0.0 * added, added, side.current, side.duty, line.full_current)
    heat = found.net.own_esr * rms**2 / side.bought.own_heat
    return Curves(found.worst, lengths, dict(zip(shown, heat)), dict(zip(shown, swing)))
