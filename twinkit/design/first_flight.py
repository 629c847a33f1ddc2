"""Before and after the first flights: what has been tried on the ground, and what the flight log says of the two sides."""

from dataclasses import dataclass

import numpy as np

from twinkit.design.base import Result
from twinkit.quantities import SIDES

TRIALS = ("failsafe", "cut", "range_half", "range_full", "directions")
INSPECTIONS = (1, 5, 10)      # flights after which it is looked over; after the last of them, each time so many more


@dataclass(frozen=True, kw_only=True)
class Trials(Result):
    """states: what was tried -> "not_done", "passed" or "failed". steering: the motor that right rudder speeds up, "not_used" or "not_tried".

    not_closed: entries of page 02 that say an output is not closed by cut or failsafe. no_rudder: it has none.
    """

    states: dict
    steering: str
    not_closed: tuple
    no_rudder: bool


def trials(g, power):
    """What has been tried on the ground. Without the drives it is too early to ask."""
    g.use(power)
    states = {name: g(f"bench.{name}") for name in TRIALS}
    steering, share = g("bench.steering"), g.maybe("wing.rudder_share")
    not_closed = tuple(path for name in ("cut_set", "failsafe_set") for side in SIDES if g.maybe(path := f"wiring.{side}.{name}") is False and g.record.written(path))
    if not g.complete:
        return Trials.unknown(g)
    return Trials(states=states, steering=steering, not_closed=not_closed, no_rudder=share == 0.0, **g.marks())


@dataclass(frozen=True)
class Flight:
    """One line of the log, SI. left, right: charge put back. motors: the same without the receiver's share, None where not both were written.

    lasts: time at this rate until the usable charge of the pack that goes first is drawn; None where time or charge is missing.
    """

    number: int
    date: str
    time: float
    left: float
    right: float
    motors: tuple
    lasts: float
    note: str


@dataclass(frozen=True, kw_only=True)
class FlightLog(Result):
    """The flights, and over those with both sides written (compared of them) what the motors and the receiver took from each side's pack [C].

    difference: charge of the right motor over the left one's, less 1; None with a common pack or without such a flight.
    due: the inspection that has come up and was not made, None when there is none.
    """

    shared: bool
    flights: tuple
    compared: int
    drawn: tuple
    receiver: tuple
    difference: float
    due: int
    inspected: int


def flight_log(g, power, wiring):
    """What the flight log says."""
    g.use(power), g.use(wiring, needed=False)
    inspected, usable, rows = g("bench.inspected"), g("weight.usable"), g.rows("bench.flights")
    if not g.complete:
        return FlightLog.unknown(g)
    drain = wiring.regulator_input_current or {}
    flights = tuple(_flight(number, row, power, drain, usable) for number, row in enumerate(rows, 1))
    both = [f for f in flights if f.motors is not None]
    drawn = tuple(float(x) for x in np.sum([f.motors for f in both], axis=0)) if both else None
    receiver = tuple(float(sum(drain.get(side, 0.0) * f.time for f in both)) for side in SIDES) if both else None
    return FlightLog(shared=power.shared, flights=flights, compared=len(both), drawn=drawn, receiver=receiver,
                     difference=drawn[1] / drawn[0] - 1.0 if both else None, due=_due(len(flights), inspected), inspected=int(inspected), **g.marks())


def _flight(number, row, power, drain, usable):
    """A line of the log worked out. With a common pack the charge may stand on either side."""
    time, put_back = row["time"], (row["left"], row["right"])
    motors, lasts = None, None
    if not power.shared and time and None not in put_back:
        motors = tuple(charge - drain.get(side, 0.0) * time for side, charge in zip(SIDES, put_back))
        motors = motors if min(motors) > 0.0 else None
    if power.shared:
        rates = [(sum(pack.capacity for pack in power.packs), sum(charge or 0.0 for charge in put_back))]
    else:
        rates = [(pack.capacity, row[pack.side]) for pack in power.packs]
    if time and all(charge for _, charge in rates):
        lasts = float(min(usable * capacity / charge * time for capacity, charge in rates))
    return Flight(number, row["date"] or "", time, *put_back, motors, lasts, row["note"] or "")


def _due(flights, inspected):
    """The latest inspection that has come up and was not made."""
    every = INSPECTIONS[-1]
    reached = [n for n in (*INSPECTIONS, *range(2 * every, flights + 1, every)) if inspected < n <= flights]
    return max(reached, default=None)
