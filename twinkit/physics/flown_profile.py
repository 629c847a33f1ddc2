"""Charge drawn from packs over the phases of a flight whose currents depend on the charge that is left; many flights at once."""

import numpy as np


def _drawn(charge, current, capacity):
    """Time from the full end of the table down to each of its charges, last axis over the charges."""
    charge, current = np.asarray(charge, dtype=float), np.asarray(current, dtype=float)
    if charge.ndim != 1 or charge.size < 2 or np.any(np.diff(charge) >= 0.0) or current.ndim < 1 or current.shape[-1] != charge.size:
        raise ValueError("charge must be one falling row of at least two charges, and current must have as many on its last axis")
    steps = -np.diff(charge) * 0.5 * (1.0 / current[..., 1:] + 1.0 / current[..., :-1])
    times = np.concatenate((np.zeros((*steps.shape[:-1], 1)), np.cumsum(steps, axis=-1)), axis=-1)
    return charge, times * np.asarray(capacity, dtype=float)[..., np.newaxis]


def between(at, nodes, values):
    """Straight lines between values over rising nodes, every flight with its own; held at the ends.

    Arguments:
        at [1]: where to read, any shape
        nodes [1]: rising nodes, last axis over the nodes, the others over flights
        values [V]: volts (or anything else) at the nodes, last axis over the nodes, the others over flights
    Returns:
        [V]: value, the broadcast shape of at and of the flights
    Relation: v0 + (v1 - v0) (x - x0)/(x1 - x0) between the nodes on either side
    Holds for: any finite nodes; of equal ones the first counts
    Breaks when: never
    Errs: nothing
    Example:
        >>> between(at=np.array([0.5, 3.0]), nodes=np.array([[0.0, 1.0], [2.0, 4.0]]), values=np.array([[0.0, 10.0], [5.0, 7.0]])).tolist()
        [5.0, 6.0]
    Source: [common_practice] straight lines
    """
    at, nodes, values = (np.asarray(x, dtype=float) for x in (at, nodes, values))
    if nodes.ndim == values.ndim == 1:
        return np.interp(at, nodes, values)
    shape = np.broadcast_shapes(at.shape, nodes.shape[:-1], values.shape[:-1])
    at = np.broadcast_to(at, shape)
    nodes, values = (np.broadcast_to(a, (*shape, a.shape[-1])) for a in (nodes, values))
    above = np.clip((nodes < at[..., np.newaxis]).sum(axis=-1), 1, nodes.shape[-1] - 1)[..., np.newaxis]
    low, high, begin, end = (np.take_along_axis(a, k, axis=-1)[..., 0] for a in (nodes, values) for k in (above - 1, above))
    share = np.clip((at - low) / np.where(high > low, high - low, 1.0), 0.0, 1.0)
    return begin + share * (end - begin)


def phase_time(charge_before, charge_after, charge, current, capacity):
    """Time that one phase of a flight takes to draw a pack down from one charge to another.

    Arguments:
        charge_before [1]: share of the charge at the beginning of the phase, any shape
        charge_after [1]: share of the charge at its end, any shape
        charge [1]: falling charges of the table, one axis
        current [A]: pack current of the phase at those charges, last axis over the charges, the others over flights
        capacity [C]: charge of the full pack, any shape
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
    at = lambda share: between(-np.asarray(share, dtype=float), -charge, times)  # noqa: E731
    return at(charge_after) - at(charge_before)


def charge_after(charge_before, time, charge, current, capacity):
    """Charge left in a pack after a time in one phase of a flight.

    Arguments:
        charge_before [1]: share of the charge at the beginning of the phase, any shape
        time [s]: time in the phase, any shape
        charge [1]: falling charges of the table, one axis
        current [A]: pack current of the phase at those charges, last axis over the charges, the others over flights
        capacity [C]: charge of the full pack, any shape
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
    begun = between(-np.asarray(charge_before, dtype=float), -charge, times)
    return between(begun + np.asarray(time, dtype=float), times, charge)


def _phases(durations, charge, current, capacity):
    """For each phase its beginning, duration, the charge at its beginning, and the currents in it."""
    begun, left = 0.0, np.asarray(1.0)
    for number, duration in enumerate(durations):
        amps = np.asarray(current, dtype=float)[..., number, :]
        yield begun, duration, left, amps
        if np.isfinite(duration):
            left = charge_after(left, duration, charge, amps, capacity)
        begun = begun + duration


def charge_in_flight(time, durations, charge, current, capacity):
    """Charge left in a full pack at a time of a flight of several phases.

    Arguments:
        time [s]: time since the start, any shape
        durations [s]: how long each phase lasts, one axis; the last may be infinite
        charge [1]: falling charges of the table from 1, one axis
        current [A]: pack current, last axis over the charges, the one before over the phases, the others over flights
        capacity [C]: charge of the full pack, any shape
    Returns:
        [1]: share of the charge left, broadcast shape
    Relation: charge_after, phase upon phase
    Holds for: as phase_time
    Breaks when: the table's end is passed (then the table's end is returned)
    Errs: as phase_time
    Example:
        >>> shares, amps = np.array([1.0, 0.5, 0.2]), np.array([[20.0, 18.0, 16.0], [9.0, 8.0, 7.0]])
        >>> float(charge_in_flight(time=300.0, durations=np.array([30.0, np.inf]), charge=shares, current=amps, capacity=5400.0).round(4))
        0.4746
    Source: [drive_trade] charge is current over time
    """
    time, left = np.asarray(time, dtype=float), None
    for begun, duration, full, amps in _phases(durations, charge, current, capacity):
        here = charge_after(full, np.clip(time - begun, 0.0, duration), charge, amps, capacity)
        left = here if left is None else np.where(time > begun, here, left)
    return left


def time_to_charge(charge_wanted, durations, charge, current, capacity):
    """Time of a flight of several phases at which a full pack is drawn down to a charge.

    Arguments:
        charge_wanted [1]: share of the charge, any shape
        durations [s]: how long each phase lasts, one axis; the last may be infinite
        charge [1]: falling charges of the table from 1, one axis
        current [A]: pack current, last axis over the charges, the one before over the phases, the others over flights
        capacity [C]: charge of the full pack, any shape
    Returns:
        [s]: time since the start, broadcast shape
    Relation: the inverse of charge_in_flight
    Holds for: as phase_time
    Breaks when: the phases end before (returns their sum)
    Errs: as phase_time
    Example:
        >>> shares, amps = np.array([1.0, 0.5, 0.2]), np.array([[20.0, 18.0, 16.0], [9.0, 8.0, 7.0]])
        >>> float(time_to_charge(charge_wanted=0.25, durations=np.array([30.0, np.inf]), charge=shares, current=amps, capacity=5400.0).round(1))
        462.4
    Source: [drive_trade] charge is current over time
    """
    return sum(np.clip(phase_time(full, charge_wanted, charge, amps, capacity), 0.0, duration)
               for _, duration, full, amps in _phases(durations, charge, current, capacity))


def time_to_volts(volts_wanted, durations, charge, current, volts, capacity):
    """First time of a flight at which the volts under the load of the phase flown fall to a limit.

    Arguments:
        volts_wanted [V]: the limit, any shape
        durations [s]: how long each phase lasts, one axis; the last may be infinite
        charge [1]: falling charges of the table from 1, one axis
        current [A]: pack current, last axis over the charges, the one before over the phases, the others over flights
        volts [V]: volts under load, in the shape of current, falling with the charge
        capacity [C]: charge of the full pack, any shape
    Returns:
        [s]: time since the start, broadcast shape; inf when the limit is not met within the table
    Relation: in each phase the charge where V(c) meets the limit, and the time_to_charge of it
    Holds for: volts that fall as the charge falls
    Breaks when: never
    Errs: as phase_time, and late by up to a second where the volts recover after a hard phase
    Example:
        >>> shares, amps = np.array([1.0, 0.5, 0.2]), np.array([[20.0, 18.0, 16.0], [9.0, 8.0, 7.0]])
        >>> cell = np.array([[3.9, 3.4, 3.2], [4.0, 3.7, 3.5]])
        >>> float(time_to_volts(volts_wanted=3.6, durations=np.array([30.0, np.inf]), charge=shares, current=amps, volts=cell, capacity=5400.0).round(1))
        390.1
    Source: [drive_trade] one resistance behind the resting voltage
    """
    charge, wanted = np.asarray(charge, dtype=float), np.asarray(volts_wanted, dtype=float)
    first = np.asarray(np.inf)
    for number, (begun, duration, full, amps) in enumerate(_phases(durations, charge, current, capacity)):
        here = np.asarray(volts, dtype=float)[..., number, :]
        at = between(-wanted, -here, charge)                                    # the charge at which this phase's volts meet the limit
        until = np.maximum(phase_time(full, at, charge, amps, capacity), 0.0)
        met = (here[..., -1] <= wanted) & (until <= duration)
        first = np.where(met & (begun + until < first), begun + until, first)
    return first
