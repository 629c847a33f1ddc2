"""First-order brushless motor, as the equivalent direct-current machine behind a fully conducting controller."""

from dataclasses import dataclass

import numpy as np

from twinkit.constants import COPPER_REFERENCE_TEMPERATURE, COPPER_TEMPERATURE_COEFFICIENT


@dataclass(frozen=True)
class MotorPoint:
    """One running point: emf [V], omega [rad/s], current [A], torque [N m], shaft_power and input_power [W], efficiency [1], copper_loss and iron_loss [W]."""

    emf: np.ndarray
    omega: np.ndarray
    current: np.ndarray
    torque: np.ndarray
    shaft_power: np.ndarray
    input_power: np.ndarray
    efficiency: np.ndarray
    copper_loss: np.ndarray
    iron_loss: np.ndarray


def torque_constant(kv):
    """Shaft torque per ampere before friction.

    Arguments:
        kv [rad/(s V)]: speed constant, any shape
    Returns:
        [N m/A]: torque constant, shape of kv
    Relation: Kt = 1/Kv in SI units
    Holds for: the equivalent direct-current machine
    Breaks when: kv = 0 (returns inf)
    Errs: high when the label's kv was read unloaded with advanced timing
    Example:
        >>> round(float(torque_constant(kv=104.71976)), 7)
        0.0095493
    Source: [modelica_dcpm] E = k omega, torque = k I
    """
    with np.errstate(divide="ignore"):
        return 1.0 / np.asarray(kv, float)


def no_load_current(base, slope, omega):
    """Current a motor needs to turn without a load.

    Arguments:
        base [A]: part that does not depend on speed (bearings, hysteresis), any shape
        slope [A s/rad]: part that grows with speed (eddy currents, windage), any shape
        omega [rad/s]: shaft speed, any shape
    Returns:
        [A]: no-load current, broadcast shape
    Relation: I0 = a + b omega
    Holds for: speeds between and near the two prop-off readings it came from
    Breaks when: omega < 0
    Errs: low above the measured speeds, where losses grow faster than in proportion
    Example:
        >>> round(float(no_load_current(base=0.6, slope=1.4e-4, omega=1000.0)), 2)
        0.74
    Source: [drive_trade] two prop-off readings fix both parts
    """
    return np.asarray(base, float) + np.asarray(slope, float) * omega


def no_load_line(omega_1, current_1, omega_2, current_2):
    """The two parts of the no-load current from two prop-off readings.

    Arguments:
        omega_1 [rad/s]: shaft speed of the first reading, any shape
        current_1 [A]: current of the first reading, any shape
        omega_2 [rad/s]: shaft speed of the second reading, any shape
        current_2 [A]: current of the second reading, any shape
    Returns:
        base [A]: part independent of speed, broadcast shape
        slope [A s/rad]: part per speed, broadcast shape
    Relation: the straight line through both readings
    Holds for: readings well apart in speed
    Breaks when: both speeds are equal (returns nan)
    Errs: with the ammeter; a small current range doubles its error
    Example:
        >>> base, slope = no_load_line(omega_1=650.0, current_1=0.70, omega_2=1310.0, current_2=0.79)
        >>> round(float(base), 4), round(float(slope), 6)
        (0.6114, 0.000136)
    Source: [drive_trade] two prop-off readings fix both parts
    """
    rise = np.asarray(omega_2, float) - omega_1
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = np.where(rise != 0.0, (np.asarray(current_2, float) - current_1) / rise, np.nan)
    return current_1 - slope * omega_1, slope


def running_point(voltage, current, kv, resistance, base, slope):
    """Speed, torque, powers and losses of a motor at a voltage and a current.

    Arguments:
        voltage [V]: voltage across the motor, after the controller, any shape
        current [A]: motor current, any shape
        kv [rad/(s V)]: speed constant, any shape
        resistance [ohm]: terminal-to-terminal resistance, hot, any shape
        base [A]: no-load current independent of speed, any shape
        slope [A s/rad]: no-load current per speed, any shape
    Returns:
        [object]: MotorPoint of arrays, broadcast shape
    Relation: E = V - I R, omega = Kv E, Q = (I - I0)/Kv, P = E (I - I0), efficiency = P/(V I)
    Holds for: full conduction, steady speed
    Breaks when: voltage or current is 0 (efficiency nan)
    Errs: speed and current high by 8 to 10 per cent with a catalogue resistance; use the running resistance
    Example:
        >>> point = running_point(voltage=11.1, current=12.0, kv=104.71976, resistance=0.09, base=0.7, slope=1e-4)
        >>> round(float(point.omega), 1), round(float(point.torque), 4), round(float(point.efficiency), 4)
        (1049.3, 0.1069, 0.8422)
    Source: [modelica_dcpm] machine equations; [twinkit_bench_comparison] errors
    """
    voltage, current = np.asarray(voltage, float), np.asarray(current, float)
    emf = voltage - current * resistance
    omega = kv * emf
    idle = no_load_current(base, slope, omega)
    torque = (current - idle) / kv
    shaft, taken = emf * (current - idle), voltage * current
    with np.errstate(divide="ignore", invalid="ignore"):
        efficiency = np.where(taken != 0.0, shaft / taken, np.nan)
    return MotorPoint(*np.broadcast_arrays(emf, omega, current, torque, shaft, taken, efficiency, current**2 * resistance, emf * idle))


def propeller_running_point(voltage, kv, resistance, base, slope, power_coefficient, diameter, density):
    """Running point of a motor that turns a propeller of one power coefficient.

    Arguments:
        voltage [V]: voltage before all the resistance given, any shape
        kv [rad/(s V)]: speed constant, any shape
        resistance [ohm]: motor and everything in series with it, any shape
        base [A]: no-load current independent of speed, any shape
        slope [A s/rad]: no-load current per speed, any shape
        power_coefficient [1]: P/(rho n^3 D^5), any shape
        diameter [m]: propeller diameter, any shape
        density [kg/m^3]: air density, any shape
    Returns:
        [object]: MotorPoint of arrays (losses of the whole resistance), broadcast shape; nan where the motor cannot start
    Relation: q Kv R omega^2 + (b R + 1/Kv) omega - (V - a R) = 0, q = CP rho D^5/(2 pi)^3
    Holds for: standing air and a power coefficient that does not change with speed
    Breaks when: voltage <= base*resistance (the motor does not turn)
    Errs: as running_point; drivetrain.solve_side lets the power coefficient change
    Example:
        >>> point = propeller_running_point(voltage=11.1, kv=104.71976, resistance=0.09, base=0.8, slope=1e-5, power_coefficient=0.045,
        ...                                 diameter=0.2286, density=1.225)
        >>> round(float(point.omega), 1), round(float(point.current), 3)
        (1014.0, 15.747)
    Source: [modelica_dcpm] machine equations
    """
    kv, resistance = np.asarray(kv, float), np.asarray(resistance, float)
    q = np.asarray(power_coefficient, float) * density * np.asarray(diameter, float) ** 5 / (2.0 * np.pi) ** 3
    square, straight, rest = q * kv * resistance, np.asarray(slope, float) * resistance + 1.0 / kv, voltage - np.asarray(base, float) * resistance
    with np.errstate(invalid="ignore"):
        omega = np.where(rest > 0.0, 2.0 * rest / (straight + np.sqrt(straight**2 + 4.0 * square * rest)), np.nan)
    return running_point(voltage, q * kv * omega**2 + no_load_current(base, slope, omega), kv, resistance, base, slope)


def best_efficiency(voltage, resistance, idle_current):
    """Current of best efficiency and that efficiency.

    Arguments:
        voltage [V]: voltage across the motor, any shape
        resistance [ohm]: motor resistance, any shape
        idle_current [A]: no-load current, any shape
    Returns:
        current [A]: sqrt(V I0/R), broadcast shape
        efficiency [1]: (1 - sqrt(I0 R/V))^2, broadcast shape
    Relation: the maximum of (1 - I R/V)(1 - I0/I)
    Holds for: no-load current taken constant around that point
    Breaks when: idle_current*resistance > voltage
    Errs: high; a measured machine lay 3 points lower
    Example:
        >>> current, efficiency = best_efficiency(voltage=11.1, resistance=0.09, idle_current=0.8)
        >>> round(float(current), 3), round(float(efficiency), 5)
        (9.933, 0.84541)
    Source: [modelica_dcpm] machine equations, differentiated
    """
    voltage = np.asarray(voltage, float)
    return np.sqrt(voltage * idle_current / resistance), (1.0 - np.sqrt(idle_current * np.asarray(resistance, float) / voltage)) ** 2


def stall(voltage, kv, resistance, idle_current):
    """Current and torque of a motor held still; a caution, not an operating point.

    Arguments:
        voltage [V]: voltage across the motor, any shape
        kv [rad/(s V)]: speed constant, any shape
        resistance [ohm]: motor resistance, two phases in series, any shape
        idle_current [A]: no-load current at rest, any shape
    Returns:
        current [A]: V/R, broadcast shape
        torque [N m]: (V/R - I0)/Kv, broadcast shape
    Relation: omega = 0
    Holds for: the equivalent direct-current machine
    Breaks when: the controller limits current or stops, as it should
    Errs: high; pack and leads are left out
    Example:
        >>> current, torque = stall(voltage=11.1, kv=104.71976, resistance=0.09, idle_current=0.8)
        >>> round(float(current), 2), round(float(torque), 4)
        (123.33, 1.1701)
    Source: [fossee_1892] example 4.4, two phases in series
    """
    current = np.asarray(voltage, float) / resistance
    return current, (current - idle_current) / kv


def greatest_shaft_power(voltage, resistance, idle_current):
    """Largest power a motor could give for a moment, at less than half efficiency; never a design point.

    Arguments:
        voltage [V]: voltage across the motor, any shape
        resistance [ohm]: motor resistance, any shape
        idle_current [A]: no-load current, any shape
    Returns:
        current [A]: (V/R + I0)/2, broadcast shape
        power [W]: shaft power there, broadcast shape
    Relation: the maximum of (V - I R)(I - I0)
    Holds for: cold windings for a moment
    Breaks when: the winding heats, that is within seconds
    Errs: high
    Example:
        >>> current, power = greatest_shaft_power(voltage=11.1, resistance=0.09, idle_current=0.8)
        >>> round(float(current), 2), round(float(power), 2)
        (62.07, 337.82)
    Source: [modelica_dcpm] machine equations, differentiated
    """
    current = (np.asarray(voltage, float) / resistance + idle_current) / 2.0
    return current, (voltage - current * resistance) * (current - idle_current)


def hot_resistance(resistance, temperature, coefficient=COPPER_TEMPERATURE_COEFFICIENT, reference=COPPER_REFERENCE_TEMPERATURE):
    """Winding resistance at a temperature.

    Arguments:
        resistance [ohm]: resistance at the reference temperature, any shape
        temperature [K]: winding temperature, any shape
        coefficient [1/K]: temperature coefficient at the reference, any shape
        reference [K]: temperature the resistance is stated at, any shape
    Returns:
        [ohm]: hot resistance, broadcast shape
    Relation: R = R_ref (1 + coefficient (T - T_ref))
    Holds for: copper between about -50 and 200 degC
    Breaks when: the coefficient belongs to another reference temperature
    Errs: below 0.1 per cent in that range
    Example:
        >>> round(float(hot_resistance(resistance=0.09, temperature=373.15, coefficient=0.00393, reference=293.15)), 4)
        0.1183
    Source: [iec60028] temperature coefficient of copper; [modelica_dcpm_losses] use
    """
    return np.asarray(resistance, float) * (1.0 + np.asarray(coefficient, float) * (np.asarray(temperature, float) - reference))


def hot_kv(kv, temperature, coefficient, reference=COPPER_REFERENCE_TEMPERATURE):
    """Speed constant with warm magnets.

    Arguments:
        kv [rad/(s V)]: speed constant at the reference temperature, any shape
        temperature [K]: magnet temperature, any shape
        coefficient [1/K]: loss of flux per kelvin, any shape
        reference [K]: temperature kv is stated at, any shape
    Returns:
        [rad/(s V)]: speed constant, broadcast shape
    Relation: Kv/(1 - coefficient (T - T_ref))
    Holds for: neodymium magnets below the temperature that harms them for good
    Breaks when: the magnets have been overheated once
    Errs: coefficient from memory, uncertain by a third
    Example:
        >>> round(float(hot_kv(kv=104.72, temperature=353.15, coefficient=0.001, reference=293.15)), 2)
        111.4
    Source: [drive_trade] about 0.1 per cent of flux per kelvin
    """
    return np.asarray(kv, float) / (1.0 - np.asarray(coefficient, float) * (np.asarray(temperature, float) - reference))


@dataclass(frozen=True)
class WindingHeat:
    """Settled winding temperature [K], hot resistance [ohm], copper loss [W]; runaway True (the rest nan) where nothing settles."""

    temperature: np.ndarray
    resistance: np.ndarray
    copper_loss: np.ndarray
    runaway: np.ndarray


def steady_temperature(current, resistance, iron_loss, thermal_resistance, ambient,
                       coefficient=COPPER_TEMPERATURE_COEFFICIENT, reference=COPPER_REFERENCE_TEMPERATURE):
    """Winding temperature at which heat made and heat shed agree, at a held current.

    Arguments:
        current [A]: motor current, held whatever the resistance does, any shape
        resistance [ohm]: winding resistance at the reference temperature, any shape
        iron_loss [W]: loss that does not depend on the winding's temperature, any shape
        thermal_resistance [K/W]: winding to air, any shape
        ambient [K]: air temperature, any shape
        coefficient [1/K]: temperature coefficient of resistance, any shape
        reference [K]: temperature the resistance is stated at, any shape
    Returns:
        [object]: WindingHeat of arrays, broadcast shape
    Relation: T = Ta + Rth (I^2 R(T) + P_iron), solved for T: the fixed point of that repetition
    Holds for: one lump of copper, steady cooling
    Breaks when: coefficient I^2 R Rth >= 1: no temperature settles (runaway)
    Errs: with thermal_resistance, which the slipstream changes several times over
    Example:
        >>> heat = steady_temperature(current=15.0, resistance=0.09, iron_loss=8.0, thermal_resistance=2.5, ambient=298.15,
        ...                           coefficient=0.00393, reference=293.15)
        >>> round(float(heat.temperature), 1), round(float(heat.resistance), 4), bool(heat.runaway)
        (387.6, 0.1234, False)
    Source: [modelica_dcpm_losses] loss bookkeeping; [iec60028] coefficient
    """
    cold = np.asarray(current, float) ** 2 * resistance
    left = 1.0 - np.asarray(coefficient, float) * cold * thermal_resistance
    with np.errstate(divide="ignore", invalid="ignore"):
        rise = thermal_resistance * (cold * (1.0 + coefficient * (np.asarray(ambient, float) - reference)) + iron_loss) / left
        temperature = np.where(left > 0.0, ambient + rise, np.nan)
    hot = hot_resistance(resistance, temperature, coefficient, reference)
    return WindingHeat(temperature, hot, np.asarray(current, float) ** 2 * hot, np.broadcast_to(left <= 0.0, temperature.shape))


def running_resistance(voltage, current, omega, kv):
    """Voltage drop per ampere seen on the bench at full throttle.

    Arguments:
        voltage [V]: voltage at the controller's input, any shape
        current [A]: current there, any shape
        omega [rad/s]: shaft speed, any shape
        kv [rad/(s V)]: speed constant it shall be used with, any shape
    Returns:
        [ohm]: running resistance, broadcast shape
    Relation: (V - omega/Kv)/I
    Holds for: full throttle only; holds leads, controller, hot copper, commutation and the label's error in one number
    Breaks when: current = 0 (returns nan); part throttle
    Errs: with the label's kv: repeats within 1 to 7 per cent over propellers, grows with speed
    Example:
        >>> round(float(running_resistance(voltage=23.7, current=14.7, omega=839.43, kv=41.888)), 4)
        0.249
    Source: [twinkit_bench_comparison] drop per ampere on the bench
    """
    current = np.asarray(current, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(current != 0.0, (np.asarray(voltage, float) - np.asarray(omega, float) / kv) / current, np.nan)


def resistance_estimate(kv, mass, constant):
    """Catalogue resistance of an outrunner whose maker does not print one.

    Arguments:
        kv [rad/(s V)]: speed constant, any shape
        mass [kg]: motor mass, any shape
        constant [ohm rad^2 kg^(5/3)/(s^2 V^2)]: R Kv^2 m^(5/3) of known motors, any shape
    Returns:
        [ohm]: resistance, broadcast shape
    Relation: R = constant/(Kv^2 m^(5/3))
    Holds for: outrunners of hobby size; a catalogue value, to be doubled for running
    Breaks when: motors are wound for other duties
    Errs: by -30 to +70 per cent over eight motors
    Example:
        >>> round(float(resistance_estimate(kv=104.72, mass=0.05, constant=7.676)), 4)
        0.1031
    Source: [twinkit_bench_comparison] eight motors
    """
    return np.asarray(constant, float) / (np.asarray(kv, float) ** 2 * np.asarray(mass, float) ** (5.0 / 3.0))


def no_load_estimate(mass, current_per_mass):
    """No-load current of an outrunner whose maker does not print one.

    Arguments:
        mass [kg]: motor mass, any shape
        current_per_mass [A/kg]: no-load current per mass at 10 V, any shape
    Returns:
        [A]: no-load current, broadcast shape
    Relation: I0 = current_per_mass m
    Holds for: outrunners of hobby size near 10 V
    Breaks when: the voltage is far from 10 V
    Errs: by half either way
    Example:
        >>> round(float(no_load_estimate(mass=0.05, current_per_mass=11.0)), 2)
        0.55
    Source: [drive_trade] about 1.1 A per 100 g at 10 V
    """
    return np.asarray(current_per_mass, float) * mass
