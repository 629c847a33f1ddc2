"""How much capacitance longer battery leads ask for at the controller, and how its current is shared.

Two branches (the controller's own capacitor and the added parts) make three states: battery current and two
capacitor voltages. The response is a sum of three modes, again exact and without a time step.
"""

from dataclasses import dataclass

import numpy as np

from twinkit.physics import lead_ripple

LOOKS = 64  # places per stretch from which the turning points of the input voltage are sought
STEPS = 6  # Newton steps from the best of them
TRIALS = 40  # sizes tried, then halvings, in the search for equal heating
CLOSE = 3e-4  # two rates nearer than this share lose their digits: the inductance is then moved by NUDGE
NUDGE = 1e-6


@dataclass(frozen=True)
class SplitRipple:
    """One settled period with own and added capacitor (SI)."""

    own_rms: np.ndarray
    added_rms: np.ndarray
    battery_rms: np.ndarray
    voltage_max: np.ndarray
    voltage_min: np.ndarray


@dataclass(frozen=True)
class CapacitorAdvice:
    """Parts to add at the controller for longer battery leads (SI)."""

    surge: np.ndarray
    equal_rms: np.ndarray
    pieces: np.ndarray
    capacitance: np.ndarray
    own_rms_before: np.ndarray
    own_rms_without: np.ndarray
    own_rms_after: np.ndarray
    rated_voltage: np.ndarray
    stored_energy: np.ndarray


class _TwoBranches:
    """Modes of the settled period for unit current; all arrays already broadcast to one shape."""

    @staticmethod
    def modes(resistance, inductance, own, own_esr, added, added_esr):
        """Rates and shapes of the modes, and which sets have two rates too close to be told apart."""
        share = own_esr * added_esr / (own_esr + added_esr)
        matrix = np.empty(resistance.shape + (3, 3))
        matrix[..., 0, 0] = -(resistance + share) / inductance
        matrix[..., 0, 1] = -share / own_esr / inductance
        matrix[..., 0, 2] = -share / added_esr / inductance
        matrix[..., 1, 0] = share / own_esr / own
        matrix[..., 2, 0] = share / added_esr / added
        matrix[..., 1, 1] = -1 / (own_esr + added_esr) / own
        matrix[..., 2, 2] = -1 / (own_esr + added_esr) / added
        matrix[..., 1, 2], matrix[..., 2, 1] = -matrix[..., 1, 1], -matrix[..., 2, 2]
        rates, shapes = np.linalg.eig(matrix)
        gap = np.abs(rates - np.roll(rates, 1, -1)) / np.abs(rates)
        return rates, shapes, gap.min(-1) < CLOSE

    def __init__(self, resistance, inductance, own, own_esr, added, added_esr, duty, frequency):
        share = own_esr * added_esr / (own_esr + added_esr)
        self.rates, shapes, close = self.modes(resistance, inductance, own, own_esr, added, added_esr)
        if close.any():
            moved = np.where(close, inductance * (1 + NUDGE), inductance)
            self.rates, shapes, _ = self.modes(resistance, moved, own, own_esr, added, added_esr)
        shift = np.stack(np.broadcast_arrays(1.0, -resistance, -resistance), -1)
        period = 1 / frequency
        self.times = duty * period, (1 - duty) * period
        self.frequency = frequency
        grow_on, grow_off = (np.expm1(self.rates * t[..., None]) for t in self.times)
        shift = np.linalg.solve(shapes, shift[..., None].astype(shapes.dtype))[..., 0]
        on = grow_off * shift / -np.expm1(self.rates * period[..., None])
        self.starts = on, shift + on + grow_on * on
        # Signals away from rest, as weights of the modes: input voltage, own current, added current, battery current.
        node = share[..., None] * (shapes[..., 0, :] + shapes[..., 1, :] / own_esr[..., None]
                                   + shapes[..., 2, :] / added_esr[..., None])
        self.node, self.battery = node, shapes[..., 0, :]
        self.own = (node - shapes[..., 1, :]) / own_esr[..., None]
        self.added = (node - shapes[..., 2, :]) / added_esr[..., None]
        self.rest = -resistance, np.zeros_like(resistance)

    def square(self, weights, stretch):
        """Integral of a signal squared over one stretch."""
        modes, time = weights * self.starts[stretch], self.times[stretch][..., None]
        total = 0.0
        for j in range(3):
            rate = self.rates + self.rates[..., j:j + 1]
            total = total + (modes * modes[..., j:j + 1] * np.expm1(rate * time) / rate).sum(-1)
        return np.maximum(np.real(total), 0.0)

    def rms(self, weights):
        """Root mean square of a signal that rests at zero in both stretches."""
        return np.sqrt((self.square(weights, 0) + self.square(weights, 1)) * self.frequency)

    def battery_rms(self):
        """Root mean square of the battery current: the steady part of the on stretch is added."""
        time = self.times[0]
        area = np.real((self.battery * self.starts[0] * np.expm1(self.rates * time[..., None]) / self.rates).sum(-1))
        square = self.square(self.battery, 0) + self.square(self.battery, 1) + 2 * area + time
        return np.sqrt(np.maximum(square, 0) * self.frequency)

    def extremes(self):
        """Greatest and least input voltage: the best of many looks, then Newton's steps to the turning point."""
        highs, lows = [], []
        for start, time, rest in zip(self.starts, self.times, self.rest):
            modes, step = self.node * start, time / LOOKS
            factor = np.exp(self.rates * step[..., None])
            found = [np.real(modes.sum(-1))] * 2
            places = [np.zeros_like(time), np.zeros_like(time)]
            running = modes
            for look in range(1, LOOKS + 1):
                running = running * factor
                value = np.real(running.sum(-1))
                for i, better in enumerate((value > found[0], value < found[1])):
                    found[i], places[i] = np.where(better, value, found[i]), np.where(better, look * step, places[i])
            for i, (best, sign) in enumerate(zip(found, (1, -1))):
                at = places[i]
                for _ in range(STEPS):
                    now = modes * np.exp(self.rates * at[..., None])
                    slope, bend = (np.real((now * self.rates**n).sum(-1)) for n in (1, 2))
                    with np.errstate(divide="ignore", invalid="ignore"):
                        move = np.where(bend * sign < 0, np.clip(-slope / bend, -step, step), 0.0)
                    at = np.clip(at + move, 0, time)
                value = np.real((modes * np.exp(self.rates * at[..., None])).sum(-1))
                found[i] = np.where(value * sign > best * sign, value, best)
            counts = time > 0
            highs.append(np.where(counts, rest + found[0], -np.inf))
            lows.append(np.where(counts, rest + found[1], np.inf))
        return np.maximum(*highs), np.minimum(*lows)


def _prepared(*values):
    """The network values as full arrays, impossible cases replaced by a harmless one, and which are possible."""
    arrays = [np.array(x, float) for x in np.broadcast_arrays(*values)]
    resistance, inductance, own, own_esr, added, added_esr, duty, frequency = arrays
    possible = ((inductance > 0) & (own > 0) & (own_esr > 0) & (added > 0) & (added_esr > 0) & (resistance >= 0)
                & (frequency > 0) & (duty >= 0) & (duty <= 1) & np.isfinite(sum(arrays)))
    harmless = 0.04, 170e-9, 470e-6, 0.025, 220e-6, 0.06, 0.5, 16e3
    return [np.where(possible, x, value) for x, value in zip(arrays, harmless)], possible


def split_ripple(voltage, resistance, inductance, own, own_esr, added, added_esr, current, duty, frequency):
    """Settled ripple with a second capacitor beside the controller's own, exact.

    Arguments:
        voltage [V]: battery at rest, any shape
        resistance [ohm]: battery, leads and plugs, any shape
        inductance [H]: loop of battery, leads and plugs, any shape
        own [F]: the controller's own capacitor, any shape
        own_esr [ohm]: its series resistance, any shape
        added [F]: added capacitor, any shape
        added_esr [ohm]: its series resistance, any shape
        current [A]: motor current (height of the square wave), any shape
        duty [1]: share of the period the bridge draws it, 0 to 1, any shape
        frequency [Hz]: chopping frequency, any shape
    Returns:
        own_rms [A]: root mean square current of the own capacitor
        added_rms [A]: of the added one
        battery_rms [A]: of the battery
        voltage_max [V]: greatest input voltage
        voltage_min [V]: least
    Relation: dx/dt = A x + b twice per period, x = (i_L, v_own, v_added), in the modes of A:
        y0 = (e^(l T_off) - 1)/(1 - e^(l T)) d, with d the change of the resting point
    Holds for: as ripple; the added parts within 20 to 30 mm of the controller
    Breaks when: any element <= 0, duty outside 0..1 (returns nan); parts near the battery do nothing for the ripple
    Errs: the added share high by the inductance of its own wires
    Example:
        >>> both = split_ripple(voltage=11.4, resistance=0.046, inductance=390e-9, own=470e-6, own_esr=0.025,
        ...                     added=660e-6, added_esr=0.02, current=15.0, duty=0.5, frequency=16e3)
        >>> round(float(both.own_rms), 3), round(float(both.added_rms), 3)
        (3.088, 4.005)
    Source: [middlebrook_matrix] piecewise linear periodic solution
    """
    values, possible = _prepared(resistance, inductance, own, own_esr, added, added_esr, duty, frequency)
    net = _TwoBranches(*values)
    high, low = net.extremes()
    current, voltage = np.where(possible, 1.0, np.nan) * current, np.asarray(voltage, float)
    return SplitRipple(current * net.rms(net.own), current * net.rms(net.added), current * net.battery_rms(),
                       voltage + current * high, voltage + current * low)


def surge_capacitance(own, inductance, extra_inductance):
    """Added capacitance that keeps sqrt(L/C), and with it the switching-off peak of bare L and C, as it was.

    Arguments:
        own [F]: the controller's own capacitor, any shape
        inductance [H]: loop with the original leads, any shape
        extra_inductance [H]: what the longer leads add, any shape
    Returns:
        [F]: capacitance to add
    Relation: C_add = C0 dL / L0
    Holds for: the added parts close to the controller
    Breaks when: the original inductance is not known; it then follows from lead length and pack
    Errs: high as a rule: it keeps the undamped peak, which damping lowers
    Example:
        >>> round(float(surge_capacitance(own=470e-6, inductance=170e-9, extra_inductance=70e-9)) * 1e6)
        194
    Source: [nilsson_circuits] surge impedance of an LC circuit
    """
    return np.asarray(own, float) * extra_inductance / np.asarray(inductance, float)


def equal_rms_capacitance(resistance, inductance, own, own_esr, extra_resistance, extra_inductance, piece, piece_esr,
                          duty, frequency):
    """Added capacitance that brings the own capacitor's heating back to that with the original leads.

    Arguments:
        resistance [ohm]: battery, leads and plugs with the original leads, any shape
        inductance [H]: loop with the original leads, any shape
        own [F]: the controller's own capacitor, any shape
        own_esr [ohm]: its series resistance, any shape
        extra_resistance [ohm]: what the longer leads add, any shape
        extra_inductance [H]: what the longer leads add, any shape
        piece [F]: one part to add, any shape
        piece_esr [ohm]: its series resistance; falls as the capacitance grows, any shape
        duty [1]: share of the period the bridge draws current, 0 to 1, any shape
        frequency [Hz]: chopping frequency, any shape
    Returns:
        [F]: least capacitance above which the own current stays at or under its former value; 0 if none is needed
    Relation: I_own(C_add, L0 + dL, R0 + dR) = I_own(0, L0, R0)
    Holds for: up to twenty pieces
    Breaks when: twenty pieces do not do (returns nan)
    Errs: low if the added parts sit further away than 20 to 30 mm
    Example:
        >>> more = equal_rms_capacitance(resistance=0.04, inductance=170e-9, own=470e-6, own_esr=0.025,
        ...     extra_resistance=0.00166, extra_inductance=70e-9, piece=220e-6, piece_esr=0.06, duty=0.5, frequency=16e3)
        >>> round(float(more) * 1e6)
        49
    Source: [middlebrook_matrix] periodic solution; the criterion is ours
    """
    (resistance, inductance, own, own_esr, extra_resistance, extra_inductance, piece, piece_esr, duty,
     frequency) = (np.array(x, float) for x in np.broadcast_arrays(
         resistance, inductance, own, own_esr, extra_resistance, extra_inductance, piece, piece_esr, duty, frequency))
    long_resistance, long_inductance = resistance + extra_resistance, inductance + extra_inductance
    goal = _own_rms(resistance, inductance, own, own_esr, duty, frequency)

    def excess(added):
        values, possible = _prepared(long_resistance, long_inductance, own, own_esr, added, piece_esr * piece / added,
                                     duty, frequency)
        net = _TwoBranches(*values)
        return np.where(possible, net.rms(net.own), np.nan) / goal - 1

    # Near resonance a small addition can make it worse, so the last size that is still too small is looked for.
    sizes = [piece * size for size in np.geomspace(1e-3, 20, TRIALS)]
    small, large, never = np.zeros_like(piece), sizes[0], ~(excess(sizes[-1]) <= 1e-9)
    for size, bigger in zip(sizes, sizes[1:]):
        short = excess(size) > 1e-9
        small, large = np.where(short, size, small), np.where(short, bigger, large)
    without = _own_rms(long_resistance, long_inductance, own, own_esr, duty, frequency)
    needed = (without > goal * (1 + 1e-9)) | (small > 0)
    small = np.maximum(small, sizes[0] * 1e-3)
    for _ in range(TRIALS):
        middle = np.sqrt(small * large)
        short = excess(middle) > 0
        small, large = np.where(short, middle, small), np.where(short, large, middle)
    return np.where(never, np.nan, np.where(needed, large, 0.0))


def _own_rms(resistance, inductance, own, own_esr, duty, frequency):
    """Own capacitor current per ampere of motor current, nothing added."""
    return lead_ripple.ripple(0.0, resistance, inductance, own, own_esr, 1.0, duty, frequency).capacitor_rms


def capacitor_advice(full_voltage, resistance, inductance, own, own_esr, extra_resistance, extra_inductance, piece,
                     piece_esr, current, duty, frequency):
    """Whole pieces to add for longer battery leads: the greater of both criteria, rounded up, and what they bring.

    Arguments:
        full_voltage [V]: full pack, any shape
        resistance [ohm]: battery, leads and plugs with the original leads, any shape
        inductance [H]: loop with the original leads, any shape
        own [F]: the controller's own capacitor, any shape
        own_esr [ohm]: its series resistance, any shape
        extra_resistance [ohm]: what the longer leads add, any shape
        extra_inductance [H]: what the longer leads add, any shape
        piece [F]: one part to add, 220e-6 as a habit of the trade, any shape
        piece_esr [ohm]: its series resistance, any shape
        current [A]: motor current, any shape
        duty [1]: share of the period the bridge draws it, 0 to 1, any shape
        frequency [Hz]: chopping frequency, any shape
    Returns:
        surge [F]: asked for by equal surge impedance
        equal_rms [F]: asked for by equal heating of the own capacitor
        pieces [1]: whole pieces
        capacitance [F]: their sum
        own_rms_before [A]: own capacitor, original leads
        own_rms_without [A]: own capacitor, longer leads, nothing added
        own_rms_after [A]: own capacitor, longer leads, pieces added
        rated_voltage [V]: least rating of the pieces, 1.5 x full pack
        stored_energy [J]: energy of the pieces at full pack, released as a spark at the plug
    Relation: n = ceil(max(C0 dL/L0, C_equal) / C_piece); W = C V^2 / 2
    Holds for: electrolytics of low series resistance, plus to plus, at the controller
    Breaks when: equal heating is out of reach with twenty pieces (surge alone then decides, equal_rms is nan)
    Errs: on the safe side, equal surge impedance asks for more than the heating does
    Example:
        >>> advice = capacitor_advice(full_voltage=12.6, resistance=0.04, inductance=170e-9, own=470e-6, own_esr=0.025,
        ...     extra_resistance=0.005, extra_inductance=210e-9, piece=220e-6, piece_esr=0.06, current=15.0, duty=0.5,
        ...     frequency=16e3)
        >>> int(advice.pieces), round(float(advice.own_rms_after), 2)
        (3, 3.08)
    Source: [middlebrook_matrix] periodic solution; [common_practice] rated voltage, whole pieces
    """
    surge = surge_capacitance(own, inductance, extra_inductance)
    equal = equal_rms_capacitance(resistance, inductance, own, own_esr, extra_resistance, extra_inductance, piece,
                                  piece_esr, duty, frequency)
    pieces = np.ceil(np.fmax(surge, equal) / piece - 1e-9)
    long_resistance = np.asarray(resistance, float) + extra_resistance
    long_inductance = np.asarray(inductance, float) + extra_inductance
    capacitance = pieces * piece
    current = np.asarray(current, float)
    before, without = (current * _own_rms(r, x, own, own_esr, duty, frequency)
                       for r, x in ((resistance, inductance), (long_resistance, long_inductance)))
    with np.errstate(divide="ignore"):
        after = split_ripple(0.0, long_resistance, long_inductance, own, own_esr, capacitance,
                             np.asarray(piece_esr, float) / pieces, current, duty, frequency).own_rms
    return CapacitorAdvice(surge, equal, pieces, capacitance, before, without, np.where(pieces > 0, after, without),
                           1.5 * np.asarray(full_voltage, float), capacitance * np.square(full_voltage) / 2)
