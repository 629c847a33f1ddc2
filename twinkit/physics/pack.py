"""Battery packs: resting voltage, resistance, sag, packs in parallel, energy and endurance."""

from dataclasses import dataclass

import numpy as np


def open_circuit_voltage(charge, table_charge, table_voltage):
    """Resting voltage of a cell.

    Arguments:
        charge [1]: state of charge, 0 to 1, any shape
        table_charge [1]: rising states of charge of the table, one axis
        table_voltage [V]: resting voltages of the table, one axis
    Returns:
        [V]: resting voltage, shape of charge; nan outside the table
    Relation: straight lines between the table's points
    Holds for: a rested cell near 25 degC
    Breaks when: charge is outside the table (returns nan)
    Errs: the default curve lies within 0.065 V of one measured discharge at 1 C
    Example:
        >>> round(float(open_circuit_voltage(charge=0.65, table_charge=np.array([0.0, 0.6, 0.7, 1.0]), table_voltage=np.array([2.8, 3.874, 3.93, 4.2]))), 3)
        3.902
    Source: [pybamm_parameter_sets] curves
    """
    return np.interp(np.asarray(charge, float), table_charge, table_voltage, left=np.nan, right=np.nan)


def charge_at_voltage(voltage, table_charge, table_voltage):
    """State of charge at which a rested cell shows a voltage.

    Arguments:
        voltage [V]: resting voltage, any shape
        table_charge [1]: rising states of charge of the table, one axis
        table_voltage [V]: rising resting voltages of the table, one axis
    Returns:
        [1]: state of charge, shape of voltage; nan outside the table
    Relation: the inverse of open_circuit_voltage
    Holds for: a cell rested for some minutes
    Breaks when: voltage is outside the table (returns nan)
    Errs: by 0.1 and more between 3.7 and 3.85 V, where the curve is flat
    Example:
        >>> round(float(charge_at_voltage(voltage=3.902, table_charge=np.array([0.0, 0.6, 0.7, 1.0]), table_voltage=np.array([2.8, 3.874, 3.93, 4.2]))), 3)
        0.65
    Source: [pybamm_parameter_sets] curves
    """
    return np.interp(np.asarray(voltage, float), table_voltage, table_charge, left=np.nan, right=np.nan)


def cell_resistance_estimate(capacity, discharge_rate, sag, rate_cap, factor):
    """Resistance of a cell nobody has measured.

    Arguments:
        capacity [C]: charge of the full cell, any shape
        discharge_rate [1/s]: the label's C number over 3600 s, any shape
        sag [V]: sag at the credible rate, any shape
        rate_cap [1/s]: highest rate believed, any shape
        factor [1]: 1 for the bare rule, the default factor until measured, times ageing, any shape
    Returns:
        [ohm]: cell resistance near 25 degC, broadcast shape
    Relation: factor sag/(min(rate, rate_cap) Q)
    Holds for: lithium polymer cells of 0.5 to 5 A h
    Breaks when: capacity or rate is 0 (returns inf)
    Errs: the bare rule gave 7.1 milliohm where 11 to 16 were measured, hence the factor
    Example:
        >>> rates = np.array([25.0, 45.0]) / 3600.0
        >>> cell_resistance_estimate(capacity=7920.0, discharge_rate=rates, sag=0.4, rate_cap=0.00833, factor=1.8).round(5).tolist()
        [0.01309, 0.01091]
    Source: [twinkit_pack_rule] rule and factor
    """
    current = np.minimum(np.asarray(discharge_rate, float), rate_cap) * capacity
    with np.errstate(divide="ignore"):
        return np.asarray(factor, float) * sag / current


def temperature_factor(temperature, activation, reference, lowest, highest):
    """Cell resistance at a temperature over that at the reference.

    Arguments:
        temperature [K]: cell temperature, any shape
        activation [K]: Arrhenius temperature, any shape
        reference [K]: temperature of the known resistance, any shape
        lowest [1]: smallest factor used, any shape
        highest [1]: largest factor used, any shape
    Returns:
        [1]: factor on the resistance, broadcast shape
    Relation: exp(activation (1/T - 1/T_ref)), held between lowest and highest
    Holds for: 0 to 40 degC
    Breaks when: colder than about 0 degC
    Errs: low by 7 per cent at 10 degC, high by 11 per cent at 40 degC against the pulses it was fitted to
    Example:
        >>> at = np.array([263.15, 273.15, 333.15])
        >>> temperature_factor(temperature=at, activation=3260.0, reference=298.15, lowest=0.5, highest=3.0).round(2).tolist()
        [3.0, 2.72, 0.5]
    Source: [ecker2015] computed 10 s pulses of the cell
    """
    exponent = np.asarray(activation, float) * (1.0 / np.asarray(temperature, float) - 1.0 / np.asarray(reference, float))
    return np.clip(np.exp(exponent), lowest, highest)


def pack_resistance(cells, cell_resistance, parallel, factor, lead_resistance):
    """Resistance of a pack with its leads.

    Arguments:
        cells [1]: cells in series, any shape
        cell_resistance [ohm]: one cell at the reference temperature, any shape
        parallel [1]: cells side by side in each group, any shape
        factor [1]: temperature factor of the cells, any shape
        lead_resistance [ohm]: leads and connector, which the factor leaves alone, any shape
    Returns:
        [ohm]: pack resistance, broadcast shape
    Relation: S R_cell k/P + R_lead
    Holds for: like cells
    Breaks when: one cell is worn: it counts for several
    Errs: with cell_resistance
    Example:
        >>> round(float(pack_resistance(cells=3, cell_resistance=0.00727, parallel=1, factor=1.0, lead_resistance=0.004)), 5)
        0.02581
    Source: [drive_trade] series adds, parallel divides
    """
    return np.asarray(cells, float) * cell_resistance * factor / parallel + np.asarray(lead_resistance, float)


def loaded_voltage(cells, cell_voltage, current, resistance):
    """Voltage of a pack under load.

    Arguments:
        cells [1]: cells in series, any shape
        cell_voltage [V]: resting voltage of a cell, any shape
        current [A]: pack current, any shape
        resistance [ohm]: pack resistance, any shape
    Returns:
        [V]: terminal voltage, broadcast shape
    Relation: V = S OCV - I R
    Holds for: some seconds to minutes of steady load
    Breaks when: the pack is nearly empty or below 0 degC
    Errs: high late in a hard discharge
    Example:
        >>> round(float(loaded_voltage(cells=3, cell_voltage=3.827, current=20.0, resistance=0.02581)), 3)
        10.965
    Source: [drive_trade] one resistance behind the resting voltage
    """
    return np.asarray(cells, float) * cell_voltage - np.asarray(current, float) * resistance


@dataclass(frozen=True)
class ParallelShare:
    """Currents of two joined packs [A] and their common voltage [V]; a negative current charges that pack."""

    current_1: np.ndarray
    current_2: np.ndarray
    voltage: np.ndarray


def parallel_sharing(voltage_1, resistance_1, voltage_2, resistance_2, current):
    """How two packs joined in parallel share a load; a caution where one current is negative.

    Arguments:
        voltage_1 [V]: resting voltage of the first pack, any shape
        resistance_1 [ohm]: its resistance, any shape
        voltage_2 [V]: resting voltage of the second pack, any shape
        resistance_2 [ohm]: its resistance, any shape
        current [A]: load current, any shape
    Returns:
        [object]: ParallelShare of arrays, broadcast shape
    Relation: I1 = (V1 - V2 + I R2)/(R1 + R2), I2 = I - I1, V = V1 - I1 R1
    Holds for: packs of one cell count
    Breaks when: both resistances are 0
    Errs: as loaded_voltage
    Example:
        >>> share = parallel_sharing(voltage_1=11.4, resistance_1=0.025, voltage_2=11.4, resistance_2=0.045, current=20.0)
        >>> round(float(share.current_1), 3), round(float(share.current_2), 3), round(float(share.voltage), 4)
        (12.857, 7.143, 11.0786)
    Source: [drive_trade] Kirchhoff's laws for two sources
    """
    first = (np.asarray(voltage_1, float) - voltage_2 + np.asarray(current, float) * resistance_2) / (np.asarray(resistance_1, float) + resistance_2)
    return ParallelShare(*np.broadcast_arrays(first, current - first, voltage_1 - first * resistance_1))


def equalising_current(voltage_1, resistance_1, voltage_2, resistance_2):
    """Current that flows from one pack into the other at the moment they are joined: a caution.

    Arguments:
        voltage_1 [V]: resting voltage of the first pack, any shape
        resistance_1 [ohm]: its resistance, any shape
        voltage_2 [V]: resting voltage of the second pack, any shape
        resistance_2 [ohm]: its resistance, any shape
    Returns:
        [A]: current out of the first pack, broadcast shape
    Relation: (V1 - V2)/(R1 + R2)
    Holds for: the first moment
    Breaks when: both resistances are 0
    Errs: high, contact resistance is left out
    Example:
        >>> round(float(equalising_current(voltage_1=12.6, resistance_1=0.03, voltage_2=11.4, resistance_2=0.045)), 2)
        16.0
    Source: [drive_trade] Kirchhoff's laws for two sources
    """
    return (np.asarray(voltage_1, float) - voltage_2) / (np.asarray(resistance_1, float) + resistance_2)


def stored_energy(cells, capacity, cell_voltage):
    """Energy in a full pack.

    Arguments:
        cells [1]: cells in series, any shape
        capacity [C]: charge of the pack, any shape
        cell_voltage [V]: mean cell voltage over the discharge, any shape
    Returns:
        [J]: energy, broadcast shape
    Relation: S V Q
    Holds for: discharge at the mean voltage given
    Breaks when: never
    Errs: by 3 per cent between 3.7 V and the mean of the resting curve
    Example:
        >>> round(float(stored_energy(cells=3, capacity=7920.0, cell_voltage=3.7)), 1)
        87912.0
    Source: [drive_trade] nominal voltage times charge
    """
    return np.asarray(cells, float) * capacity * cell_voltage


def endurance(capacity, usable, motor_pack_current, regulator_current):
    """Time until the usable charge of a pack is drawn.

    Arguments:
        capacity [C]: charge of the full pack, any shape
        usable [1]: share of the capacity to be used, any shape
        motor_pack_current [A]: mean pack current of the drives on this pack, any shape
        regulator_current [A]: mean input current of a receiver regulator on this pack, any shape
    Returns:
        [s]: time, broadcast shape
    Relation: usable Q/(I + I_regulator)
    Holds for: a charge that hardly depends on the rate: 93 per cent of the 1 C charge was delivered at 22 C
    Breaks when: both currents are 0 (returns inf)
    Errs: long by some per cent in cold or hard use
    Example:
        >>> round(float(endurance(capacity=7920.0, usable=0.8, motor_pack_current=12.0, regulator_current=0.5)) / 60.0, 3)
        8.448
    Source: [drive_trade] charge over current
    """
    total = np.asarray(motor_pack_current, float) + regulator_current
    with np.errstate(divide="ignore"):
        return np.asarray(usable, float) * capacity / total


def delivered_share(age, temperature, share_at_retirement, loss_per_kelvin, warm):
    """Charge that a pack delivers over that on its label, as it ages and in the cold.

    Arguments:
        age [1]: age factor on the resistance, 1 new, 2 the time to retire it, any shape
        temperature [K]: cell temperature, any shape
        share_at_retirement [1]: share delivered at age 2, any shape
        loss_per_kelvin [1/K]: share lost for each kelvin below warm, any shape
        warm [K]: temperature from which on nothing is lost, any shape
    Returns:
        [1]: share, between 0.3 and 1, broadcast shape
    Relation: (1 - (1 - s2) (age - 1)) (1 - k max(warm - T, 0))
    Holds for: -10 to 40 degC, ages 1 to 3
    Breaks when: never: held between 0.3 and 1
    Errs: by 5 per cent new and warm, by 10 old or cold; no measured set is behind it
    Example:
        >>> at = np.array([293.15, 273.15])
        >>> delivered_share(age=1.5, temperature=at, share_at_retirement=0.8, loss_per_kelvin=0.006, warm=293.15).round(3).tolist()
        [0.9, 0.792]
    Source: [common_practice] ageing and cold, from memory
    """
    aged = 1.0 - (1.0 - np.asarray(share_at_retirement, float)) * np.maximum(np.asarray(age, float) - 1.0, 0.0)
    cold = 1.0 - np.asarray(loss_per_kelvin, float) * np.maximum(np.asarray(warm, float) - temperature, 0.0)
    return np.clip(aged * cold, 0.3, 1.0)
