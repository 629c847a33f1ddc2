"""Speed controllers: losses, part throttle, two motors on one controller, and cell counting."""

from dataclasses import dataclass

import numpy as np


def motor_voltage(pack_voltage, duty, motor_current, resistance):
    """Mean voltage across the motor behind a controller.

    Arguments:
        pack_voltage [V]: voltage at the controller's input, any shape
        duty [1]: share of the time the bridge is on, 0 to 1, any shape
        motor_current [A]: motor current, any shape
        resistance [ohm]: bridge and motor leads, any shape
    Returns:
        [V]: motor voltage, broadcast shape
    Relation: V_m = D V_b - I_m R
    Holds for: motor current that never falls to zero within a switching period, synchronous freewheel
    Breaks when: the current is interrupted (very low duty)
    Errs: high by (1 - D)(V_diode - I R) without synchronous freewheel
    Example:
        >>> round(float(motor_voltage(pack_voltage=11.1, duty=0.6, motor_current=12.0, resistance=0.008)), 3)
        6.564
    Source: [erickson_maksimovic] step-down converter in continuous conduction
    """
    return np.asarray(duty, float) * pack_voltage - np.asarray(motor_current, float) * resistance


def pack_current(duty, motor_current, idle_current, regulator_current):
    """Current a controller takes from the pack; it is not the motor current at part throttle.

    Arguments:
        duty [1]: share of the time the bridge is on, 0 to 1, any shape
        motor_current [A]: motor current, any shape
        idle_current [A]: the controller's own electronics, any shape
        regulator_current [A]: input current of its receiver regulator, any shape
    Returns:
        [A]: mean pack current, broadcast shape
    Relation: I_b = D I_m + I_idle + I_regulator
    Holds for: as motor_voltage
    Breaks when: as motor_voltage
    Errs: low by the switching loss over the pack voltage
    Example:
        >>> round(float(pack_current(duty=0.6, motor_current=12.0, idle_current=0.05, regulator_current=0.5)), 2)
        7.75
    Source: [erickson_maksimovic] step-down converter in continuous conduction
    """
    return np.asarray(duty, float) * motor_current + np.asarray(idle_current, float) + regulator_current


def conduction_loss(motor_current, switch_resistance, trace_resistance):
    """Heat in a controller's bridge while it conducts.

    Arguments:
        motor_current [A]: motor current, any shape
        switch_resistance [ohm]: on-resistance of one switch, hot, any shape
        trace_resistance [ohm]: everything else in the path, any shape
    Returns:
        [W]: conduction loss, broadcast shape
    Relation: I_m^2 (2 R_on + R_trace)
    Holds for: six-step drive, two switches in the path, synchronous freewheel
    Breaks when: diodes carry the freewheel current (add freewheel_loss)
    Errs: low with the cold on-resistance of a data sheet, which grows by half when hot
    Example:
        >>> round(float(conduction_loss(motor_current=12.0, switch_resistance=0.004, trace_resistance=0.001)), 3)
        1.296
    Source: [erickson_maksimovic] conduction loss
    """
    return np.asarray(motor_current, float) ** 2 * (2.0 * np.asarray(switch_resistance, float) + trace_resistance)


def switching_loss(pack_voltage, motor_current, rise_time, fall_time, frequency):
    """Heat made by a bridge while it switches.

    Arguments:
        pack_voltage [V]: voltage at the controller's input, any shape
        motor_current [A]: motor current, any shape
        rise_time [s]: time of switching on, any shape
        fall_time [s]: time of switching off, any shape
        frequency [1/s]: switching frequency, any shape
    Returns:
        [W]: switching loss, broadcast shape
    Relation: V_b I_m (t_rise + t_fall) f/2
    Holds for: part throttle, one switching leg
    Breaks when: full throttle (no switching besides commutation)
    Errs: low; gate charge and diode recovery are left out
    Example:
        >>> round(float(switching_loss(pack_voltage=11.1, motor_current=12.0, rise_time=2e-7, fall_time=2e-7, frequency=16000.0)), 3)
        0.426
    Source: [erickson_maksimovic] overlap of voltage and current
    """
    return 0.5 * np.asarray(pack_voltage, float) * motor_current * (np.asarray(rise_time, float) + fall_time) * frequency


def freewheel_loss(motor_current, duty, diode_drop, switch_resistance):
    """Extra heat of a bridge whose diodes carry the freewheel current.

    Arguments:
        motor_current [A]: motor current, any shape
        duty [1]: share of the time the bridge is on, 0 to 1, any shape
        diode_drop [V]: forward drop of a diode, any shape
        switch_resistance [ohm]: on-resistance of the switch the diode stands in for, 0 gives the gross heat, any shape
    Returns:
        [W]: extra heat over synchronous freewheel, broadcast shape
    Relation: (1 - D)(I_m V_d - I_m^2 R_on)
    Holds for: controllers without synchronous rectification; with it this loss is nil
    Breaks when: I_m R_on > V_d (the switch would be the worse path)
    Errs: by the drop, 0.7 to 0.9 V
    Example:
        >>> round(float(freewheel_loss(motor_current=12.0, duty=0.6, diode_drop=0.8, switch_resistance=0.004)), 3)
        3.61
    Source: [erickson_maksimovic] diode conduction
    """
    current = np.asarray(motor_current, float)
    return (1.0 - np.asarray(duty, float)) * (current * diode_drop - current**2 * switch_resistance)


@dataclass(frozen=True)
class SharedController:
    """Two motors on one controller: total current [A], conduction loss [W], that loss over what the larger motor alone makes [1]."""

    current: np.ndarray
    loss: np.ndarray
    loss_ratio: np.ndarray


def shared_controller(current_1, current_2, resistance):
    """What two motors in parallel ask of one controller: a caution, sensorless motors must have one controller each.

    Arguments:
        current_1 [A]: current of one motor, any shape
        current_2 [A]: current of the other, any shape
        resistance [ohm]: bridge resistance, any shape
    Returns:
        [object]: SharedController of arrays, broadcast shape
    Relation: I = I1 + I2 at one voltage, P = I^2 R; equal motors give four times the loss of one
    Holds for: both motors in step, which two sensorless motors do not stay
    Breaks when: the rotors slip against each other (see circulating_current)
    Errs: low, circulating current comes on top
    Example:
        >>> both = shared_controller(current_1=12.0, current_2=12.0, resistance=0.008)
        >>> float(both.current), round(float(both.loss), 3), float(both.loss_ratio)
        (24.0, 4.608, 4.0)
    Source: [drive_trade] parallel motors: same voltage, currents add
    """
    total = np.asarray(current_1, float) + current_2
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = (total / np.maximum(np.asarray(current_1, float), current_2)) ** 2
    loss = total**2 * np.asarray(resistance, float)
    return SharedController(*np.broadcast_arrays(total, loss, ratio))


def circulating_current(emf, angle, motor_resistance):
    """Current between two paralleled motors whose rotors stand apart.

    Arguments:
        emf [V]: induced voltage of either motor, any shape
        angle [rad]: electrical angle between the rotors, any shape
        motor_resistance [ohm]: resistance of either motor, any shape
    Returns:
        [A]: circulating current, broadcast shape
    Relation: 2 E sin(delta/2)/(2 R)
    Holds for: equal motors, inductance left out
    Breaks when: speeds are so high that inductance limits the current
    Errs: high
    Example:
        >>> round(float(circulating_current(emf=10.0, angle=0.1745329, motor_resistance=0.09)), 2)
        9.68
    Source: [drive_trade] difference of two equal voltages apart in angle
    """
    return 2.0 * np.asarray(emf, float) * np.sin(np.asarray(angle, float) / 2.0) / (2.0 * np.asarray(motor_resistance, float))


def commutation_slip(omega, relative_difference, pole_pairs):
    """How fast two motors on one controller fall out of step.

    Arguments:
        omega [rad/s]: shaft speed, any shape
        relative_difference [1]: difference in speed over speed, any shape
        pole_pairs [1]: pole pairs of the motor, any shape
    Returns:
        frequency [1/s]: electrical turns one motor gains per second, broadcast shape
        time_to_opposite [s]: time until they stand half an electrical turn apart, broadcast shape
    Relation: f = p omega d/(2 pi), t = 1/(2 f)
    Holds for: motors free to run at their own speed
    Breaks when: relative_difference = 0 (time is inf)
    Errs: not at all, an identity
    Example:
        >>> frequency, time = commutation_slip(omega=1047.2, relative_difference=0.01, pole_pairs=7)
        >>> round(float(frequency), 2), round(float(time), 4)
        (11.67, 0.0429)
    Source: [drive_trade] electrical turns are pole pairs times shaft turns
    """
    frequency = np.asarray(pole_pairs, float) * omega * relative_difference / (2.0 * np.pi)
    with np.errstate(divide="ignore"):
        return frequency, 0.5 / frequency


def possible_cell_counts(pack_voltage, cell_low, cell_high, counts):
    """Which cell counts an automatic count may take a voltage for; more than one is a caution.

    Arguments:
        pack_voltage [V]: voltage on connecting, any shape
        cell_low [V]: lowest cell voltage the controller assumes, scalar
        cell_high [V]: highest cell voltage the controller assumes, scalar
        counts [1]: cell counts the controller knows, one axis
    Returns:
        [1]: True where the count fits, shape of pack_voltage plus the axis of counts
    Relation: S cell_low <= V <= S cell_high
    Holds for: controllers that judge by the voltage on connecting
    Breaks when: the controller uses thresholds of its own between these ranges
    Errs: towards ambiguity
    Example:
        >>> possible_cell_counts(pack_voltage=np.array([12.01, 12.61]), cell_low=3.0, cell_high=4.2, counts=np.array([2, 3, 4])).tolist()
        [[False, True, True], [False, False, True]]
    Source: [drive_trade] ranges of 2, 3 and 4 cells overlap at 12.0 to 12.6 V
    """
    voltage, counts = np.asarray(pack_voltage, float)[..., None], np.asarray(counts, float)
    return (voltage >= counts * cell_low) & (voltage <= counts * cell_high)
