"""Receiver supply: linear and switching regulators (BEC), two sources on one bus, volts left at the receiver."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class SharedBus:
    """Two one-way sources on one bus (SI); status: 0 one carries all, 1 shared, 2 one at its limit, 3 overloaded."""

    voltage: np.ndarray
    current_1: np.ndarray
    current_2: np.ndarray
    spare: np.ndarray
    status: np.ndarray


@dataclass(frozen=True)
class ReceiverSupply:
    """What reaches the receiver (SI)."""

    voltage: np.ndarray
    spare: np.ndarray


@dataclass(frozen=True)
class Regulated:
    """Output of one regulator (SI)."""

    voltage: np.ndarray
    headroom: np.ndarray


@dataclass(frozen=True)
class ServoCount:
    """Servos that a lasting current feeds (SI)."""

    count: np.ndarray
    spare: np.ndarray


STATUS = ("one carries all", "shared", "one at its limit", "overloaded")


def linear_heat(input_voltage, output_voltage, current, quiescent_current=0.0):
    """Heat in a linear regulator.

    Arguments:
        input_voltage [V]: at its input, any shape
        output_voltage [V]: at its output, any shape
        current [A]: delivered, any shape
        quiescent_current [A]: used by itself, any shape
    Returns:
        [W]: heat; the input current is current + quiescent current
    Relation: P = (V_in - V_out) I + V_in I_q
    Holds for: input above output by at least the dropout voltage
    Breaks when: input_voltage < output_voltage (returns nan)
    Errs: not in the range of use
    Example:
        >>> round(float(linear_heat(input_voltage=12.6, output_voltage=5.0, current=0.5, quiescent_current=0.01)), 3)
        3.926
    Source: [lm2940_sheet] power dissipation of a linear regulator
    """
    input_voltage = np.asarray(input_voltage, float)
    excess = input_voltage - output_voltage
    return np.where(excess >= 0, excess, np.nan) * current + input_voltage * quiescent_current


def junction_temperature(ambient, heat, thermal_resistance):
    """Chip temperature of a regulator.

    Arguments:
        ambient [K]: air around it, any shape
        heat [W]: dissipated, any shape
        thermal_resistance [K/W]: chip to air as mounted, any shape
    Returns:
        [K]: chip temperature
    Relation: T_j = T_a + theta P
    Holds for: steady state, minutes after switching on
    Breaks when: a neighbour heats the same board: add its heat
    Errs: low under shrink sleeve and foam, high in a good slipstream
    Example:
        >>> round(float(junction_temperature(ambient=313.15, heat=1.5, thermal_resistance=35.0)), 2)
        365.65
    Source: [lm2940_sheet] thermal relation
    """
    return np.asarray(ambient, float) + np.asarray(heat, float) * thermal_resistance


def linear_allowed_current(input_voltage, output_voltage, thermal_resistance, ambient, junction_limit,
                           quiescent_current=0.0):
    """Lasting current at which a linear regulator just reaches its chip limit.

    Arguments:
        input_voltage [V]: full pack, any shape
        output_voltage [V]: regulated, any shape
        thermal_resistance [K/W]: chip to air as mounted, any shape
        ambient [K]: air around it, any shape
        junction_limit [K]: chip temperature limit, any shape
        quiescent_current [A]: used by itself, any shape
    Returns:
        [A]: allowed current, 0 where it is too hot without load
    Relation: I = [(T_lim - T_a)/theta - V_in I_q] / (V_in - V_out)
    Holds for: average over minutes; bursts of seconds may be greater, up to the current limit
    Breaks when: input_voltage <= output_voltage (returns nan)
    Errs: high if the regulator is sleeved or buried in foam
    Example:
        >>> allowed = linear_allowed_current(input_voltage=12.6, output_voltage=5.0, thermal_resistance=60.0,
        ...                                  ambient=313.15, junction_limit=398.15, quiescent_current=0.01)
        >>> round(float(allowed), 4)
        0.1698
    Source: [lm2940_sheet] thermal relation
    """
    input_voltage = np.asarray(input_voltage, float)
    excess = input_voltage - output_voltage
    room = (np.asarray(junction_limit, float) - ambient) / thermal_resistance - input_voltage * quiescent_current
    return np.maximum(room, 0) / np.where(excess > 0, excess, np.nan)


def servo_count(allowed_current, receiver_current=0.05, servo_average=0.10):
    """Servos a regulator may feed for the length of a flight.

    Arguments:
        allowed_current [A]: lasting current of the regulator, any shape
        receiver_current [A]: receiver, any shape
        servo_average [A]: flight average of one servo, any shape; 0.10 for micro servos, common practice
    Returns:
        count [1]: whole number of servos, at least 0
        spare [A]: current left with that number; negative if even the receiver asks for too much
    Relation: n = floor((I - I_rx) / I_servo)
    Holds for: averages; the stall of the greatest two is a separate check
    Breaks when: servos bind or hold against a load
    Errs: on the safe side of the trade's tables by one or two servos
    Example:
        >>> fed = servo_count(allowed_current=0.32, receiver_current=0.05, servo_average=0.10)
        >>> int(fed.count), round(float(fed.spare), 2)
        (2, 0.07)
    Source: [common_practice] average currents
    """
    room = np.asarray(allowed_current, float) - receiver_current
    count = np.maximum(np.floor(room / servo_average + 1e-9), 0)
    return ServoCount(count, room - count * servo_average)


def switching_input_current(input_voltage, output_voltage, current, efficiency=0.85):
    """Current a switching regulator draws from the pack.

    Arguments:
        input_voltage [V]: at its input, any shape
        output_voltage [V]: regulated, any shape
        current [A]: delivered, any shape
        efficiency [1]: 0.80 to 0.90, any shape
    Returns:
        [A]: input current
    Relation: I_in = V_out I / (eta V_in)
    Holds for: step-down, at a tenth to the whole of its rated current
    Breaks when: efficiency outside 0..1 (returns nan)
    Errs: low at very small load
    Example:
        >>> drawn = switching_input_current(input_voltage=12.6, output_voltage=5.0, current=1.0, efficiency=0.85)
        >>> round(float(drawn), 4)
        0.4669
    Source: [mohan_power] power balance of a converter
    """
    efficiency = np.asarray(efficiency, float)
    efficiency = np.where((efficiency > 0) & (efficiency <= 1), efficiency, np.nan)
    return np.asarray(output_voltage, float) * current / (efficiency * input_voltage)


def switching_heat(output_voltage, current, efficiency=0.85):
    """Heat in a switching regulator.

    Arguments:
        output_voltage [V]: regulated, any shape
        current [A]: delivered, any shape
        efficiency [1]: 0.80 to 0.90, any shape
    Returns:
        [W]: heat
    Relation: P = V_out I (1/eta - 1)
    Holds for: step-down, at a tenth to the whole of its rated current
    Breaks when: efficiency outside 0..1 (returns nan)
    Errs: low at very small load
    Example:
        >>> round(float(switching_heat(output_voltage=5.0, current=1.0, efficiency=0.85)), 3)
        0.882
    Source: [mohan_power] power balance of a converter
    """
    efficiency = np.asarray(efficiency, float)
    efficiency = np.where((efficiency > 0) & (efficiency <= 1), efficiency, np.nan)
    return np.asarray(output_voltage, float) * current * (1 / efficiency - 1)


def regulated_voltage(input_voltage, set_voltage, dropout, output_resistance, current):
    """Output of a regulator, in regulation or dropped out with a flat pack.

    Arguments:
        input_voltage [V]: at its input under load, any shape
        set_voltage [V]: regulated voltage without load, any shape
        dropout [V]: least difference of input and output, any shape
        output_resistance [ohm]: load regulation, any shape
        current [A]: delivered, any shape
    Returns:
        voltage [V]: output voltage
        headroom [V]: input voltage above what regulation needs; negative once dropped out
    Relation: V = min(V_set, V_in - V_drop) - I R_o; headroom = V_in - V_drop - V_set
    Holds for: current under the regulator's limit
    Breaks when: over the limit: see shared_bus
    Errs: low, if the dropout at full current is used for small currents
    Example:
        >>> flat = regulated_voltage(input_voltage=6.0, set_voltage=5.0, dropout=2.0, output_resistance=0.015, current=1.0)
        >>> round(float(flat.voltage), 3), round(float(flat.headroom), 1)
        (3.985, -1.0)
    Source: [lm340_sheet] dropout voltage and load regulation
    """
    reach, set_voltage = np.asarray(input_voltage, float) - dropout, np.asarray(set_voltage, float)
    voltage = np.maximum(np.minimum(set_voltage, reach), 0) - np.asarray(output_resistance, float) * current
    return Regulated(voltage, reach - set_voltage)


def receiver_voltage(regulator_voltage, regulator_limit, path_resistance, receiver_current, moving_current,
                     stalled_current):
    """Volts at the receiver while servos stall.

    Arguments:
        regulator_voltage [V]: at the regulator under this load, any shape
        regulator_limit [A]: its current limit, any shape
        path_resistance [ohm]: regulator to receiver and back, contacts included, any shape
        receiver_current [A]: receiver, any shape
        moving_current [A]: sum of the servos that move freely, any shape
        stalled_current [A]: sum of the servos that stall, any shape
    Returns:
        voltage [V]: at the receiver; nan where the current exceeds the limit and the bus gives way
        spare [A]: limit less current
    Relation: V = V_reg - (I_rx + I_mov + I_stall) R_path
    Holds for: all of it through one plug; warn under 4.5 V, fail under 4.0 V (common practice)
    Breaks when: the regulator limits (flagged by spare < 0 and nan)
    Errs: high with worn contacts
    Example:
        >>> bus = receiver_voltage(regulator_voltage=5.0, regulator_limit=3.0, path_resistance=0.1,
        ...                        receiver_current=0.05, moving_current=0.4, stalled_current=1.6)
        >>> round(float(bus.voltage), 3), round(float(bus.spare), 2)
        (4.795, 0.95)
    Source: [nilsson_circuits] Ohm's law; [common_practice] thresholds
    """
    total = np.asarray(receiver_current, float) + moving_current + stalled_current
    spare = regulator_limit - total
    volts = np.asarray(regulator_voltage, float) - total * path_resistance
    return ReceiverSupply(np.where(spare >= 0, volts, np.nan), spare)


def sharing_onset(voltage_1, resistance_1, voltage_2):
    """Load at which the second, lower regulator begins to help.

    Arguments:
        voltage_1 [V]: higher open-circuit voltage, any shape
        resistance_1 [ohm]: output resistance with leads and ballast of the higher, any shape
        voltage_2 [V]: lower open-circuit voltage, any shape
    Returns:
        [A]: load current
    Relation: I = (V_1 - V_2) / R_1
    Holds for: sources that cannot sink current
    Breaks when: voltage_2 > voltage_1 (returns nan: name the higher one first)
    Errs: not in the range of use
    Example:
        >>> round(float(sharing_onset(voltage_1=5.05, resistance_1=0.035, voltage_2=4.95)), 3)
        2.857
    Source: [sbva100] ballast of paralleled regulators
    """
    step = np.asarray(voltage_1, float) - voltage_2
    return np.where(step >= 0, step, np.nan) / resistance_1


def shared_bus(voltage_1, resistance_1, limit_1, voltage_2, resistance_2, limit_2, load):
    """Two regulators on one bus, each able to give current but not to take it.

    Arguments:
        voltage_1 [V]: open-circuit voltage of the first, any shape
        resistance_1 [ohm]: its output resistance with leads and ballast, any shape
        limit_1 [A]: its current limit, any shape; infinite if it has none
        voltage_2 [V]: open-circuit voltage of the second, any shape
        resistance_2 [ohm]: its output resistance with leads and ballast, any shape
        limit_2 [A]: its current limit, any shape
        load [A]: current drawn from the bus, any shape
    Returns:
        voltage [V]: bus voltage; nan where overloaded
        current_1 [A]: from the first
        current_2 [A]: from the second
        spare [A]: both limits less the load
        status [choice]: 0 one carries all, 1 shared, 2 one at its limit, 3 overloaded
    Relation: sum_i clip((V_i - V)/R_i, 0, I_lim,i) = I, solved on its straight pieces
    Holds for: one-way sources (linear regulators, diode or ideal-diode outputs)
    Breaks when: load > sum of the limits (status 3, nan); synchronous switching regulators sink current and back-feed
    Errs: towards equal shares, if the voltages drift apart as they warm
    Example:
        >>> bus = shared_bus(voltage_1=5.02, resistance_1=0.035, limit_1=3.0, voltage_2=5.0, resistance_2=0.035,
        ...                  limit_2=2.0, load=1.0)
        >>> round(float(bus.voltage), 4), round(float(bus.current_1), 4), int(bus.status)
        (4.9925, 0.7857, 1)
    Source: [sbva100] ballast of paralleled regulators; [nilsson_circuits] node equation
    """
    v1, r1, m1, v2, r2, m2, load = np.broadcast_arrays(*(np.asarray(x, float) for x in (
        voltage_1, resistance_1, limit_1, voltage_2, resistance_2, limit_2, load)))
    possible = (r1 > 0) & (r2 > 0) & (m1 >= 0) & (m2 >= 0) & (load >= 0)
    spare = np.where(possible, m1 + m2 - load, np.nan)

    def given(bus):
        return np.clip((v1 - bus) / r1, 0, m1), np.clip((v2 - bus) / r2, 0, m2)

    def alone(v, r, rest):
        return np.where(rest >= 0, v - r * rest, np.nan)

    with np.errstate(divide="ignore", invalid="ignore"):
        # Every way the two can stand: one alone, both free, or one at its limit and the other with the rest.
        ways = np.stack([alone(v1, r1, load), alone(v2, r2, load), (v1 / r1 + v2 / r2 - load) / (1 / r1 + 1 / r2),
                         alone(v1, r1, load - m2), alone(v2, r2, load - m1)])
        misses = np.stack([np.abs(sum(given(way)) - load) for way in ways])
        misses = np.where(np.isfinite(ways), misses, np.inf)
        # The true one meets the load; without load every idle voltage does, and the bus stands at the highest.
        meets = misses <= 1e-9 * (1 + load)
        voltage = np.max(np.where(meets, ways, -np.inf), axis=0)
        voltage = np.where(possible & (spare >= 0) & np.isfinite(voltage), voltage, np.nan)
        one, two = given(voltage)
    full = 1 - 1e-9
    limited = ((one >= m1 * full) & (m1 > 0)) | ((two >= m2 * full) & (m2 > 0))
    status = np.select([np.isnan(voltage), limited, (one > 0) & (two > 0)], [3, 2, 1], 0)
    return SharedBus(voltage, one, two, spare, status)


def diode_or(voltage_1, resistance_1, limit_1, voltage_2, resistance_2, limit_2, load, diode_drop):
    """Two regulators on one bus, each through its own diode.

    Arguments:
        voltage_1 [V]: open-circuit voltage of the first, any shape
        resistance_1 [ohm]: its output resistance with leads, any shape
        limit_1 [A]: its current limit, any shape
        voltage_2 [V]: open-circuit voltage of the second, any shape
        resistance_2 [ohm]: its output resistance with leads, any shape
        limit_2 [A]: its current limit, any shape
        load [A]: current drawn from the bus, any shape
        diode_drop [V]: forward drop of each diode, any shape; 0.35 to 0.45 Schottky, 0.02 to 0.05 ideal diode
    Returns:
        voltage [V]: bus voltage; nan where overloaded
        current_1 [A]: from the first
        current_2 [A]: from the second
        spare [A]: both limits less the load
        status [choice]: as shared_bus
    Relation: shared_bus with V_i - V_f
    Holds for: any kind of regulator, also those that would sink current
    Breaks when: as shared_bus
    Errs: low at small load, a diode drops less then
    Example:
        >>> bus = diode_or(voltage_1=5.02, resistance_1=0.035, limit_1=3.0, voltage_2=5.0, resistance_2=0.035,
        ...                limit_2=2.0, load=1.0, diode_drop=0.4)
        >>> round(float(bus.voltage), 4)
        4.5925
    Source: [common_practice] drop of Schottky diodes; [nilsson_circuits] node equation
    """
    return shared_bus(np.asarray(voltage_1, float) - diode_drop, resistance_1, limit_1,
                      np.asarray(voltage_2, float) - diode_drop, resistance_2, limit_2, load)
