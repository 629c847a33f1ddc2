"""Ripple and switching-off peaks at the controllers' inputs: with the leads as bought, as built, and with capacitors added."""

import functools
from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.physics import lead_capacitor, lead_ripple
from twinkit.physics import pack as packs_physics
from twinkit.quantities import SIDES

ORIGINS = ("controller rating", "motor limit", "power")   # where currents come from, the poorest first
MOST_PIECES = 20                                          # beyond these no more capacitors are advised
THROTTLES = np.linspace(0.15, 0.95, 17)                   # looked through for the throttle that loads the capacitor most
STATES = ("bought", "plain", "yours", "advised")          # leads as bought; as built: nothing added, with your capacitors, with those advised
CHOPPED = np.geomspace(4e3, 64e3, 61)                     # chopping frequencies of the picture over them [Hz]
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
    """The input of one controller in one state of its leads (SI).

    peak: highest over the pack's resting volts at any throttle, chopped or when the current is cut; resonance and damping: of lead and capacitors together.
    """

    length: float
    resistance: float
    inductance: float
    added: float
    own_rms: float
    own_heat: float
    ripple: float
    peak: float
    resonance: float
    damping: float

    rings = property(lambda self: self.damping < 1.0)


@dataclass(frozen=True)
class Rating:
    """The volts a controller's input may see: "printed" on its capacitor or leaflet, or the full pack of the most "cells" it may have; None: not known."""

    volts: float | None
    origin: str


@dataclass(frozen=True)
class Input:
    """The input of one controller: its four states at the throttle that loads its own capacitor most, what is asked for, and what it may see.

    surge, equal_heat: capacitance that keeps the surge impedance and the own capacitor's heat; trade: by the rule of the trade.
    """

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
    drive: Drive
    rating: Rating

    heat_share = property(lambda self: self.yours.own_heat / self.bought.own_heat)
    plain_share = property(lambda self: self.plain.own_heat / self.bought.own_heat)

    def highest(self, state):
        """Highest volts at the input with a full pack [V]."""
        return self.drive.full_volts + max(state.peak, 0.0)

    def allowed(self, share):
        """What these may be [V]: this share of what is printed; a label in cells has room for a full pack and for the peak of the leads as bought."""
        return share * self.rating.volts if self.rating.origin == "printed" else self.rating.volts + max(self.bought.peak, 0.0)


@dataclass(frozen=True)
class Curves:
    """Over the length of the pack lead [m]: own capacitor's heat as a share of that as bought, and ripple [V]; a line for each state."""

    side: str
    lengths: np.ndarray
    heat_share: dict
    ripple: dict


@dataclass(frozen=True)
class Tones:
    """Over the chopping frequency [Hz], leads as they are: own capacitor's heat [W] and ripple [V]; a line for each state."""

    side: str
    frequencies: np.ndarray
    heat: dict
    ripple: dict


@dataclass(frozen=True)
class Inputs:
    """Both sides; recommended is the capacitance for each controller, in whole pieces for the side that needs more; piece_volts is printed on them."""

    left: Input
    right: Input
    piece: float
    recommended: float
    piece_volts: float
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

    @functools.cached_property
    def tones(self):
        return _tones(self)


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


def inputs(leads, bought, drives, ratings, pair_inductance, capacitor, capacitor_esr, added_capacitor, chop_frequency):
    """The inputs of both controllers. Arrays below have a place for each side, or states by sides."""
    default = tables.values("wire/defaults")
    own = [leads[side] for side in SIDES]
    each = lambda name: np.array([getattr(drives[side], name) for side in SIDES])  # noqa: E731
    pack = default["quick_share"] * each("pack_resistance")
    base = pack + bought.pack.resistance, np.full(len(SIDES), bought.inductance)
    built = pack + [side.pack.resistance for side in own], np.array([side.inductance for side in own])
    net = Net(capacitor, capacitor_esr, default["piece"], default["piece_esr"], chop_frequency)
    duty, current = np.transpose([_hardest(r, x, drives[side], net) for r, x, side in zip(*built, SIDES)])
    advice = _advice(net, *(tuple(map(float, a)) for a in (each("full_volts"), *base, built[0] - base[0], built[1] - base[1], duty)))
    pieces = np.maximum(advice.pieces, 0.0)
    resistance, inductance = (np.stack([first, second, second, second]) for first, second in zip(base, built))
    added = np.stack([0.0 * pieces, 0.0 * pieces, 0.0 * pieces + added_capacitor, pieces * net.piece])
    rms, swing = net.response(resistance, inductance, added, current, duty)
    peak = np.stack([net.peak(resistance[:, k], inductance[:, k], added[:, k], drives[side]) for k, side in enumerate(SIDES)], -1)
    free = net.free(resistance, inductance, added)
    lengths = np.stack([0.0 * pieces + bought.pack.length, *([[side.pack.length for side in own]] * 3)])
    columns = np.stack([lengths, resistance, inductance, added, rms, capacitor_esr * rms**2, swing, peak, free.frequency, free.damping], -1)
    made = [Input(float(duty[k]), float(current[k]), *(State(*map(float, columns[n, k])) for n in range(len(STATES))), surge=max(float(advice.surge[k]), 0.0),
                  equal_heat=float(advice.equal_rms[k]), trade=default["trade_rule"] * own[k].pack.added, pieces=int(pieces[k]),
                  drive=drives[side], rating=ratings[side]) for k, side in enumerate(SIDES)]
    most = int(np.argmax(pieces))
    lines = tuple(Line(side, lead.pack.wire.resistance, pair_inductance, p + lead.pack.joint_resistance, default["pack_inductance"])
                  for side, lead, p in zip(SIDES, own, pack))
    return Inputs(*made, piece=net.piece, recommended=float(pieces[most]) * net.piece, piece_volts=_next_kept(float(np.max(advice.rated_voltage))),
                  stored_energy=float(np.max(advice.stored_energy)), net=net, lines=lines)


@dataclass(frozen=True)
class Net:
    """The controller's own capacitor, one piece to add, and the chopping frequency (SI)."""

    own: float
    own_esr: float
    piece: float
    piece_esr: float
    frequency: float

    def response(self, resistance, inductance, added, current, duty):
        """Own capacitor's current and swing of the input; all arrays of one shape."""
        has, put, put_esr = self._put(added)
        alone = lead_ripple.ripple(0.0, resistance, inductance, self.own, self.own_esr, current, duty, self.frequency)
        rms, swing = alone.capacitor_rms, alone.peak_to_peak
        if has.any():
            both = lead_capacitor.split_ripple(0.0, resistance, inductance, self.own, self.own_esr, put, put_esr, current, duty, self.frequency)
            rms, swing = np.where(has, both.own_rms, rms), np.where(has, both.voltage_max - both.voltage_min, swing)
        return rms, swing

    def peak(self, resistance, inductance, added, drive):
        """Highest input volts over the resting pack at any throttle, chopped, cut out of chopping at the worst instant, or cut at full current; own and added capacitor as one."""
        line = [x[..., None] for x in (resistance, inductance, *self._together(added))]
        chopped = lead_ripple.ripple(0.0, *line, drive.currents, drive.duties, self.frequency)
        out_of_it = lead_ripple.cut_out_of_chopping(0.0, *line, drive.currents, drive.duties, self.frequency)
        cut = lead_ripple.interruption(0.0, *(x[..., 0] for x in line), drive.motor_current)
        return np.maximum(cut.peak, np.fmax(chopped.voltage_max, out_of_it).max(-1))

    def free(self, resistance, inductance, added):
        """Free oscillation of the lead with all its capacitors."""
        return lead_ripple.resonance(resistance, inductance, *self._together(added))

    def _put(self, added):
        """Where something is added, how much, and its series resistance (a harmless piece where nothing is)."""
        has = added > 0
        put = np.where(has, added, self.piece)
        return has, put, self.piece_esr * self.piece / put

    def _together(self, added):
        """Own and added capacitor as one: capacitance and series resistance."""
        has, put, put_esr = self._put(added)
        return self.own + np.where(has, put, 0.0), np.where(has, self.own_esr * put_esr / (self.own_esr + put_esr), self.own_esr)


@dataclass(frozen=True)
class Line:
    """A pack lead of any length: what it has per metre, and what pack, plug and joints add (SI)."""

    side: str
    resistance: float
    inductance: float
    fixed_resistance: float
    fixed_inductance: float


def _next_kept(volts):
    """The next rated volts in which capacitors are kept; beyond the table the volts themselves [V]."""
    kept = tables.read("wire/capacitor_volts").columns["volts"]
    return float(min((v for v in kept if v >= volts - 1e-9), default=volts))


def pieces_under(found, net, goal):
    """The least number of pieces that keeps the highest volts at an input under this; None when no number does."""
    count = np.arange(1.0, MOST_PIECES + 1)
    state, same = found.plain, np.ones_like(count)
    peak = net.peak(state.resistance * same, state.inductance * same, net.piece * count, found.drive)
    fits = found.drive.full_volts + np.maximum(peak, 0.0) <= goal
    return int(count[np.argmax(fits)]) if fits.any() else None


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
    rms, swing = found.net.response(resistance + 0.0 * added, inductance + 0.0 * added, added, side.current, side.duty)
    heat = found.net.own_esr * rms**2 / side.bought.own_heat
    return Curves(found.worst, lengths, dict(zip(shown, heat)), dict(zip(shown, swing)))


def _tones(found):
    """The lines of the picture over the chopping frequency, for the side that is worse off."""
    side = getattr(found, found.worst)
    states = {"bought": side.bought, "plain": side.plain, "yours": side.yours, "advised": side.advised}
    shown = {name: state for name, state in states.items() if name == "bought" or (name == "plain" and state.inductance > side.bought.inductance) or state.added > 0}
    resistance, inductance, added = (np.array([[getattr(state, name)] for state in shown.values()]) + 0.0 * CHOPPED for name in ("resistance", "inductance", "added"))
    rms, swing = replace(found.net, frequency=CHOPPED).response(resistance, inductance, added, side.current, side.duty)
    return Tones(found.worst, CHOPPED, dict(zip(shown, found.net.own_esr * rms**2)), dict(zip(shown, swing)))
