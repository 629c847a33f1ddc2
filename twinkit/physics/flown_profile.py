"""Charge drawn from a pack over the phases of a flight whose current depends on the charge that is left."""

import numpy as np


def _drawn(charge, current, capacity):
    """Time from the full end of the table down to each of its charges."""
    charge, current = np.asarray(charge, dtype=float), np.asarray(current, dtype=float)
    if charge.ndim != 1 or charge.size < 2 or np.any(np.diff(charge) >= 0.0) or current.shape != charge.shape:
        raise ValueError("charge must be one falling row of at least two charges, and current a row of the same length")
    steps = -np.diff(charge) * 0.5 * (1.0 / current[1:] + 1.0 / current[:-1])
    return charge, capacity * np.concatenate(([0.0], np.cumsum(steps)))


def phase_time(charge_before, charge_after, charge, current, capacity):
    """Time that one phase of a flight takes to draw a pack down from one charge to another.

    Arguments:
        charge_before [1]: share of the charge at the beginning of the phase, any shape
        charge_after [1]: share of the charge at its end, any shape
        charge [1]: falling charges of the table, one axis
        current [A]: pack current of the phase at those charges, one axis
        capacity [C]: charge of the full pack, one number
    Returns:
        [s]: time, broadcast shape; negative when the end is fuller than the beginning
    Relation: t = Q integral of dc / I(c), straight lines in 1 / I
    Holds for: currents above 0 that change smoothly with the charge
    Breaks when: a charge lies outside the table (then the table's end is taken)
    Errs: below 0.1 per cent with charges 0.1 apart
    Example:
        >>> shares, amps = np.array([1.0, 0.5, 0.2]), np.array([9.0, 8.0, 7.0])
        >>> round(float(phase_time(charge_before=0.9, charge_after=0.3, charge=shares, current=amps, capacity=5400.0)), 1)
        399.6
    Source: [drive_trade] charge is current over time
    """
    charge, times = _drawn(charge, current, capacity)
    at = lambda share: np.interp(-np.asarray(share, dtype=float), -charge, times)  # noqa: E731
    return at(charge_after) - at(charge_before)


def charge_after(charge_before, time, charge, current, capacity):
    """Charge left in a pack after a time in one phase of a flight.

    Arguments:
        charge_before [1]: share of the charge at the beginning of the phase, any shape
        time [s]: time in the phase, any shape
        charge [1]: falling charges of the table, one axis
        current [A]: pack current of the phase at those charges, one axis
        capacity [C]: charge of the full pack, one number
    Returns:
        [1]: share of the charge left, broadcast shape
    Relation: the inverse of phase_time
    Holds for: currents above 0 that change smoothly with the charge
    Breaks when: the table's end is passed (then the table's end is returned)
    Errs: as phase_time
    Example:
        >>> shares, amps = np.array([1.0, 0.5, 0.2]), np.array([9.0, 8.0, 7.0])
        >>> round(float(charge_after(charge_before=0.9, time=300.0, charge=shares, current=amps, capacity=5400.0)), 4)
        0.4378
    Source: [drive_trade] charge is current over time
    """
    charge, times = _drawn(charge, current, capacity)
    begun = np.interp(-np.asarray(charge_before, dtype=float), -charge, times)
    return np.interp(begun + np.asarray(time, dtype=float), times, charge)
