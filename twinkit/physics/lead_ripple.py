"""Ripple and switching-off peaks at the controller end of the battery leads, solved exactly.

The circuit: battery V - R - L - controller input; there a capacitor C with its series resistance (ESR) to ground
and the bridge, which draws the motor current I for the share D of every period and nothing for the rest.
Two linear stretches make one period; each is solved in closed form and the two are joined so that the
period repeats. Voltages and currents are therefore free of any time step.
"""

from dataclasses import dataclass

import numpy as np

FOREVER = np.finfo(float).max  # a stretch without an end; finite, so that a turn that never comes lies outside
CUT_LOOKS = 33  # instants of a cut tried in the on stretch, and again round the best of them


@dataclass(frozen=True)
class Resonance:
    """Free oscillation of the leads with the capacitor (SI)."""

    frequency: np.ndarray
    damping: np.ndarray
    surge_impedance: np.ndarray


@dataclass(frozen=True)
class Ripple:
    """One settled period at the controller input (SI)."""

    voltage_max: np.ndarray
    voltage_min: np.ndarray
    voltage_mean: np.ndarray
    peak_to_peak: np.ndarray
    capacitor_rms: np.ndarray
    capacitor_heat: np.ndarray
    battery_rms: np.ndarray
    battery_max: np.ndarray
    battery_min: np.ndarray


@dataclass(frozen=True)
class Interruption:
    """Input voltage after the current is cut in one step (SI)."""

    peak: np.ndarray
    peak_time: np.ndarray
    trough: np.ndarray
    first_step: np.ndarray


class _Network:
    """Closed-form response of the state (battery current, capacitor volts) about its resting point.

    exp(A t) = c(t) 1 + s(t) (A + alpha 1); c and s are damped cosine and sine, or their hyperbolic kin.
    Impossible values turn into nan here, so every result carries them on.
    """

    def __init__(self, resistance, inductance, capacitance, esr):
        resistance, inductance, capacitance, esr = (np.asarray(x, float)
                                                    for x in (resistance, inductance, capacitance, esr))
        possible = (inductance > 0) & (capacitance > 0) & (resistance >= 0) & (esr >= 0) & (resistance + esr > 0)
        self.inductance = np.where(possible, inductance, np.nan)
        self.capacitance, self.esr, self.total = capacitance, esr, resistance + esr
        self.alpha = self.total / (2 * self.inductance)
        natural = 1 / (self.inductance * capacitance)
        self.bend = natural - self.alpha**2
        self.rings = self.bend > 0
        # Critical damping is approached to 1e-6 of the natural frequency: the error is of the order 1e-12.
        self.omega = np.sqrt(np.maximum(np.abs(self.bend), 1e-12 * natural))
        self.fast = self.alpha + self.omega
        self.slow = natural / self.fast
        self.all_ring, self.any_ring = bool(self.rings.all()), bool(self.rings.any())

    def kernels(self, time):
        """c(t) and s(t)."""
        if self.any_ring:
            angle, decay = self.omega * time, np.exp(-self.alpha * time)
            ring_c, ring_s = decay * np.cos(angle), decay * np.sin(angle) / self.omega
            if self.all_ring:
                return ring_c, ring_s
        slow, fast = np.exp(-self.slow * time), np.exp(-self.fast * time)
        creep_c, creep_s = (slow + fast) / 2, (slow - fast) / (2 * self.omega)
        if not self.any_ring:
            return creep_c, creep_s
        return np.where(self.rings, ring_c, creep_c), np.where(self.rings, ring_s, creep_s)

    def tilt(self, state):
        """(A + alpha 1) applied to a state."""
        current, volts = state
        return (-self.alpha * current - volts / self.inductance, current / self.capacitance + self.alpha * volts)

    def move(self, kernels, state):
        """exp(A t) applied to a state."""
        (c, s), tilted = kernels, self.tilt(state)
        return c * state[0] + s * tilted[0], c * state[1] + s * tilted[1]

    def across(self, state):
        """Input voltage of a state, away from the resting point."""
        return self.esr * state[0] + state[1]

    @staticmethod
    def along(state):
        """Battery current of a state, away from the resting point."""
        return state[0]

    def heat(self, start, end):
        """Integral of the squared capacitor current: the field energy lost, over R + ESR."""
        lost = (self.inductance * (start[0] ** 2 - end[0] ** 2) + self.capacitance * (start[1] ** 2 - end[1] ** 2))
        return lost / (2 * self.total)

    def extremes(self, start, slope, duration):
        """Greatest and least of w(t) = c w0 + s w1 in a stretch, from its start and first two turns; time of the greatest.

        The ring dies down from turn to turn, so no later turn can be an extreme.
        """
        rise, fall = slope - self.alpha * start, self.bend * start + self.alpha * slope
        if self.any_ring:
            angle = np.arctan2(rise * self.omega, fall)
            turn = np.where(angle <= 0, angle + np.pi, angle) / self.omega
        if not self.all_ring:
            with np.errstate(divide="ignore", invalid="ignore"):
                share = rise * self.omega / fall
                creep = np.where((share > 0) & (share < 1), np.arctanh(share) / self.omega, np.inf)
            turn = np.where(self.rings, turn, creep) if self.any_ring else creep
        c, s = self.kernels(np.where(turn <= duration, turn, 0.0))
        first = c * start + s * slope
        high, low, time = np.maximum(first, start), np.minimum(first, start), np.where(first > start, turn, 0.0)
        if self.any_ring:
            half_swing = np.pi / self.omega
            again = self.rings & (turn + half_swing <= duration)
            second = np.where(again, -first * np.exp(-self.alpha * half_swing), first)
            time = np.where(second > high, turn + half_swing, time)
            high, low = np.maximum(high, second), np.minimum(low, second)
        return high, low, time


def resonance(resistance, inductance, capacitance, esr):
    """Resonance of the battery leads with the input capacitor.

    Arguments:
        resistance [ohm]: battery, leads and plugs, any shape
        inductance [H]: loop of battery, leads and plugs, any shape
        capacitance [F]: input capacitor, any shape
        esr [ohm]: its series resistance, any shape
    Returns:
        frequency [Hz]: undamped resonance
        damping [1]: damping ratio; rings when under 1
        surge_impedance [ohm]: sqrt(L/C)
    Relation: f0 = 1/(2 pi sqrt(L C)); zeta = (R + ESR)/2 sqrt(C/L)
    Holds for: one lumped capacitor close to the bridge
    Breaks when: L or C <= 0 (returns nan)
    Errs: the real ESR falls with frequency and rises in the cold
    Example:
        >>> free = resonance(resistance=0.025, inductance=900e-9, capacitance=330e-6, esr=0.015)
        >>> round(float(free.frequency)), round(float(free.damping), 3)
        (9235, 0.383)
    Source: [nilsson_circuits] series RLC circuit
    """
    net = _Network(resistance, inductance, capacitance, esr)
    surge = np.sqrt(net.inductance / net.capacitance)
    return Resonance(1 / (2 * np.pi * np.sqrt(net.inductance * net.capacitance)), net.total / 2 / surge, surge)


def _settled(net, resistance, duty, frequency):
    """The settled period at unit current: both durations, the resting point of the on stretch, departures from it at its start and end.

    y = departure from the resting point of the stretch (on: i = 1, v = -R; off: 0, 0).
    """
    period = 1 / np.where(frequency > 0, frequency, np.nan)
    time_on, time_off = duty * period, (1 - duty) * period
    on_kernels, off_kernels, all_kernels = (net.kernels(t) for t in (time_on, time_off, period))
    shift = (np.ones_like(resistance), -resistance)
    moved = net.move(off_kernels, shift)
    gap = (moved[0] - shift[0], moved[1] - shift[1])
    c, s = all_kernels
    tilted = net.tilt(gap)
    # (1 - E)^-1 = ((1 - c) 1 + s (A + alpha 1)) / det, because (A + alpha 1)^2 = -bend 1.
    det = (1 - c) ** 2 + net.bend * s**2
    on_start = tuple(((1 - c) * g + s * t) / det for g, t in zip(gap, tilted))
    return time_on, time_off, shift, on_start, net.move(on_kernels, on_start)


def ripple(voltage, resistance, inductance, capacitance, esr, current, duty, frequency):
    """Settled ripple at the controller input under chopped motor current, exact.

    Arguments:
        voltage [V]: battery at rest, any shape
        resistance [ohm]: battery, leads and plugs, any shape
        inductance [H]: loop of battery, leads and plugs, any shape
        capacitance [F]: input capacitor, any shape
        esr [ohm]: its series resistance, any shape
        current [A]: motor current (height of the square wave), any shape
        duty [1]: share of the period the bridge draws it, 0 to 1, any shape
        frequency [Hz]: chopping frequency, any shape
    Returns:
        voltage_max [V]: greatest input voltage in the period
        voltage_min [V]: least
        voltage_mean [V]: mean
        peak_to_peak [V]: greatest less least
        capacitor_rms [A]: root mean square current of the capacitor
        capacitor_heat [W]: its heat
        battery_rms [A]: root mean square current of the battery
        battery_max [A]: greatest battery current
        battery_min [A]: least, negative where the leads ring
    Relation: dx/dt = A x + b twice per period, x = (i_L, v_C); x0 = (1 - e^(A T))^-1 (...) closes the period;
        turning points where w' = 0; rms from the energy balance int i_C^2 dt = -[L i^2 + C v^2]/(2 (R + ESR))
    Holds for: square current, ideal switching, L and C constant, no series inductance in the capacitor
    Breaks when: L, C or f <= 0, R + ESR <= 0, duty outside 0..1 (returns nan)
    Errs: the capacitor current low where a neighbour controller on the same leads adds its own
    Example:
        >>> settled = ripple(voltage=11.4, resistance=0.04, inductance=170e-9, capacitance=470e-6, esr=0.025,
        ...                  current=15.0, duty=0.5, frequency=16e3)
        >>> round(float(settled.peak_to_peak), 4), round(float(settled.capacitor_rms), 3)
        (0.4407, 5.375)
    Source: [middlebrook_matrix] piecewise linear periodic solution; [nilsson_circuits] second-order response
    """
    net = _Network(resistance, inductance, capacitance, esr)
    voltage, resistance, current, duty, frequency = (np.asarray(x, float)
                                                     for x in (voltage, resistance, current, duty, frequency))
    duty = np.where((duty >= 0) & (duty <= 1), duty, np.nan)
    time_on, time_off, shift, on_start, on_end = _settled(net, resistance, duty, frequency)
    off_start = (on_end[0] + shift[0], on_end[1] + shift[1])
    off_end = (on_start[0] + shift[0], on_start[1] + shift[1])

    # Extremes of input voltage and battery current; a stretch of no length does not count.
    volts, amps = [], []
    for start, end, rest, duration in ((on_start, on_end, shift, time_on), (off_start, off_end, (0.0, 0.0), time_off)):
        tilted, absent = net.tilt(start), duration == 0
        for found, base, signal in ((volts, rest[1], net.across), (amps, rest[0], net.along)):
            high, low, _ = net.extremes(signal(start), signal(tilted), duration)
            finish = signal(end)
            found.append((np.where(absent, -np.inf, base + np.maximum(high, finish)),
                          np.where(absent, np.inf, base + np.minimum(low, finish))))
    (volt_high, volt_low), (amp_high, amp_low) = (
        (np.maximum(found[0][0], found[1][0]), np.minimum(found[0][1], found[1][1])) for found in (volts, amps))

    # Mean squares: the energy lost in R + ESR over each stretch; the battery adds the steady part of the on stretch.
    square_on, square_off = net.heat(on_start, on_end), net.heat(off_start, off_end)
    charge_on = net.capacitance * (on_end[1] - on_start[1])
    capacitor = np.sqrt(np.maximum(square_on + square_off, 0) * frequency)
    battery = np.sqrt(np.maximum(square_on + square_off + time_on + 2 * charge_on, 0) * frequency)
    return Ripple(voltage + current * volt_high, voltage + current * volt_low, voltage - resistance * duty * current,
                  current * (volt_high - volt_low), current * capacitor, esr * (current * capacitor) ** 2,
                  current * battery, current * amp_high, current * amp_low)


def cut_out_of_chopping(voltage, resistance, inductance, capacitance, esr, current, duty, frequency):
    """Greatest input voltage when a chopped current is cut at the worst instant of its period.

    Arguments:
        voltage [V]: battery at rest, any shape
        resistance [ohm]: battery, leads and plugs, any shape
        inductance [H]: loop of battery, leads and plugs, any shape
        capacitance [F]: input capacitor, any shape
        esr [ohm]: its series resistance, any shape
        current [A]: motor current (height of the square wave), any shape
        duty [1]: share of the period the bridge draws it, 0 to 1, any shape
        frequency [Hz]: chopping frequency, any shape
    Returns:
        [V]: greatest input voltage after the cut, broadcast shape
    Relation: state x(t) of the settled on stretch, cut at t: greatest of (ESR, 1) e^(A s) x(t) over all later s, exact; over t by
        33 looks and 33 more between the neighbours of the best (a cut in the off stretch is that at its beginning)
    Holds for: square current, ideal switching, L and C constant, one lumped capacitor
    Breaks when: L, C or f <= 0, R + ESR <= 0, duty outside 0..1 (returns nan)
    Errs: low by the looks, under a thousandth of the rise; high where the cut takes longer than a tenth of the resonance period
    Example:
        >>> round(float(cut_out_of_chopping(voltage=0.0, resistance=0.023, inductance=1.6e-6, capacitance=147e-6, esr=0.006,
        ...                                 current=30.0, duty=0.7, frequency=8e3)), 2)
        4.76
    Source: [middlebrook_matrix] piecewise linear periodic solution; [nilsson_circuits] second-order response
    """
    voltage, *others = np.broadcast_arrays(*(np.asarray(x, float) for x in (voltage, resistance, inductance, capacitance, esr, current, duty, frequency)))
    resistance, inductance, capacitance, esr, current, duty, frequency = (x[..., None] for x in others)
    net = _Network(resistance, inductance, capacitance, esr)
    duty = np.where((duty >= 0) & (duty <= 1), duty, np.nan)
    time_on, _, shift, on_start, _ = _settled(net, resistance, duty, frequency)

    def peak(share):
        moved = net.move(net.kernels(time_on * share), on_start)
        state = (moved[0] + shift[0], moved[1] + shift[1])
        return net.extremes(net.across(state), net.across(net.tilt(state)), FOREVER)[0]

    looks = np.linspace(0.0, 1.0, CUT_LOOKS)
    best = looks[np.argmax(peak(looks), axis=-1)][..., None]
    nearer = peak(np.clip(best + np.linspace(-1.0, 1.0, CUT_LOOKS) / (CUT_LOOKS - 1), 0.0, 1.0))
    return voltage + current[..., 0] * np.maximum(nearer.max(axis=-1), 0.0)


def interruption(voltage, resistance, inductance, capacitance, esr, current):
    """Peak of the input voltage when a steady current is cut in one step, exact.

    Arguments:
        voltage [V]: battery at rest, any shape
        resistance [ohm]: battery, leads and plugs, any shape
        inductance [H]: loop of battery, leads and plugs, any shape
        capacitance [F]: input capacitor, any shape
        esr [ohm]: its series resistance, any shape
        current [A]: steady current before the cut, any shape
    Returns:
        peak [V]: greatest input voltage after the cut
        peak_time [s]: time from the cut to the peak
        trough [V]: least input voltage after the peak
        first_step [V]: input voltage at once after the cut
    Relation: x0 = (I, V - I R); w(t) = V + (ESR, 1) e^(A t) (I, -I R); turning points where w' = 0
    Holds for: a cut much faster than the resonance, one lumped capacitor
    Breaks when: L or C <= 0, R + ESR <= 0 (returns nan)
    Errs: high where the cut takes longer than a tenth of the resonance period
    Example:
        >>> cut = interruption(voltage=12.6, resistance=0.02, inductance=600e-9, capacitance=220e-6, esr=0.02,
        ...                    current=30.0)
        >>> round(float(cut.peak), 3), round(float(cut.peak_time) * 1e6, 1)
        (13.42, 14.6)
    Source: [nilsson_circuits] natural response of a second-order circuit
    """
    net = _Network(resistance, inductance, capacitance, esr)
    voltage, resistance, current = (np.asarray(x, float) for x in (voltage, resistance, current))
    start = (np.ones_like(resistance), -resistance)
    high, low, time = net.extremes(net.across(start), net.across(net.tilt(start)), FOREVER)
    # Nothing turns after the peak where the leads do not ring: the voltage then settles to that of the battery.
    peak = np.maximum(high, 0)
    later = np.where(net.rings, -high * np.exp(-net.alpha * np.pi / net.omega), 0.0)
    return Interruption(voltage + current * peak, np.where(high > 0, time, np.inf), voltage + current * later,
                        voltage + current * (net.esr - resistance))


def interruption_bound(voltage, inductance, capacitance, esr, current):
    """A peak that cutting a steady current can never exceed.

    Arguments:
        voltage [V]: battery at rest, any shape
        inductance [H]: loop of battery, leads and plugs, any shape
        capacitance [F]: input capacitor, any shape
        esr [ohm]: its series resistance, any shape
        current [A]: steady current before the cut, any shape
    Returns:
        [V]: upper bound of the input voltage
    Relation: V + I sqrt(L/C + ESR^2)
    Holds for: every resistance >= 0, after a steady current (proof in docs/models/lead_ripple.md)
    Breaks when: the current before the cut is not steady; take its greatest value then
    Errs: high; twice the true rise and more where the leads are well damped
    Example:
        >>> round(float(interruption_bound(voltage=12.6, inductance=600e-9, capacitance=220e-6, esr=0.02,
        ...                                current=30.0)), 2)
        14.28
    Source: [nilsson_circuits] energy in L and C
    """
    return voltage + np.asarray(current, float) * np.sqrt(
        np.asarray(inductance, float) / capacitance + np.square(esr))


def six_step_capacitor_rms(current, duty):
    """Capacitor current of a six-step drive behind very long leads.

    Arguments:
        current [A]: motor current (height of the square wave), any shape
        duty [1]: share of the period it is drawn, 0 to 1, any shape
    Returns:
        [A]: root mean square current of the capacitor
    Relation: I_C = I sqrt(D (1 - D)); greatest I/2 at half duty
    Holds for: leads so inductive that the battery current is steady
    Breaks when: duty outside 0..1 (returns nan); near resonance the true value can be greater
    Errs: high for short leads
    Example:
        >>> round(float(six_step_capacitor_rms(current=15.0, duty=0.7)), 3)
        6.874
    Source: [mohan_power] root mean square of a square wave less its mean
    """
    duty = np.asarray(duty, float)
    return np.asarray(current, float) * np.sqrt(np.where((duty >= 0) & (duty <= 1), duty * (1 - duty), np.nan))


def sinusoidal_capacitor_rms(phase_rms, modulation, power_factor):
    """Capacitor current of a drive with sinusoidal phase currents behind very long leads.

    Arguments:
        phase_rms [A]: phase current, root mean square, any shape
        modulation [1]: 2 x phase voltage amplitude / input voltage, 0 to 1 (1.15 with a third harmonic), any shape
        power_factor [1]: cosine of the angle between phase voltage and current, any shape
    Returns:
        [A]: root mean square current of the capacitor
    Relation: I_C = I_N sqrt{2 M [sqrt3/(4 pi) + cos^2 (sqrt3/pi - 9 M/16)]}
    Holds for: three-phase bridge, switching much faster than the motor's electrical frequency
    Breaks when: over-modulation
    Errs: within 1 % of a carrier simulation when the battery current is steady
    Example:
        >>> round(float(sinusoidal_capacitor_rms(phase_rms=10.0, modulation=0.6, power_factor=0.95)), 3)
        6.301
    Source: [kolar_round] closed form of the capacitor current stress
    """
    modulation, share = np.asarray(modulation, float), np.square(power_factor)
    inner = np.sqrt(3) / (4 * np.pi) + share * (np.sqrt(3) / np.pi - 9 * modulation / 16)
    return np.asarray(phase_rms, float) * np.sqrt(2 * modulation * inner)
