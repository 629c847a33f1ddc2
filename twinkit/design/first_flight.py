"""Before and after the first flights: what has been tried on the ground, and what the flight log says of the two sides."""

from dataclasses import dataclass

import numpy as np

from twinkit.design.base import Result
from twinkit.quantities import SIDES

TRIALS = ("failsafe", "cut", "range_half", "range_full", "directions")
AGAIN = ("weighed", "balanced", "metered", "tried")      # what is done again after a repair
WARM = ("motor", "controller", "pack")
DRIFT_LEAST = 4      # flights with both sides written, before the later half is held against the earlier one
INSPECTIONS = (1, 5, 10)      # flights after which it is looked over; after the last of them, each time so many more


@dataclass(frozen=True, kw_only=True)
class Trials(Result):
    """states: what was tried -> "not_done", "passed" or "failed". steering: the motor that right rudder speeds up, "not_used" or "not_tried".

    memory: "own", "other" or "not_looked". not_closed: entries of page 02 that say an output is not closed by cut or failsafe. no_rudder: it has none.
    """

    states: dict
    steering: str
    memory: str
    not_closed: tuple
    no_rudder: bool


def trials(g, power):
    """What has been tried on the ground. Without the drives it is too early to ask."""
    g.use(power)
    states = {name: g(f"bench.{name}") for name in TRIALS}
    steering, memory, share = g("bench.steering"), g("bench.memory"), g.maybe("wing.rudder_share")
    not_closed = tuple(path for name in ("cut_set", "failsafe_set") for side in SIDES if g.maybe(path := f"wiring.{side}.{name}") is False and g.record.written(path))
    if not g.complete:
        return Trials.unknown(g)
    return Trials(states=states, steering=steering, memory=memory, not_closed=not_closed, no_rudder=share == 0.0, **g.marks())


@dataclass(frozen=True, kw_only=True)
class OnPurpose(Result):
    """One motor stopped on purpose, as planned; None where an entry is missing. held: throttle the rudder holds on the approach, the lower end of its band on the worse side."""

    planned: bool
    ground: str
    flight: int
    height: float
    throttle: float
    switch: bool
    held: float
    logged: int


def on_purpose(g, power, rudder):
    """What is planned with one motor, and what the rudder holds; rudder() gives page 06, which is asked only then."""
    g.use(power)
    planned, ground, switch = g("bench.trial") == "planned", g("bench.trial_ground"), g("bench.trial_switch")
    flight, height, throttle = (g.maybe(f"bench.trial_{name}") for name in ("flight", "height", "throttle"))
    logged = len(g.rows("bench.flights"))
    held = g.use(rudder()) if planned else None
    if not g.complete:
        return OnPurpose.unknown(g)
    share = None if held is None or held.worse is None else 1.0 if held.bad.cap_status == "all of it" else float(max(0.0, held.bad.cap.low))
    return OnPurpose(planned=planned, ground=ground, flight=flight, height=height, throttle=throttle, switch=switch, held=share, logged=logged, **g.marks())


@dataclass(frozen=True, kw_only=True)
class Upkeep(Result):
    """repairs: (row number, what was done, what was not done again). warm: (part, side) -> temperature after the run [K]."""

    repairs: tuple
    warm: dict


def upkeep(g, power):
    """Repairs with what is still to be done again, and how warm the parts were after a run."""
    g.use(power)
    repairs = tuple((number, row["what"] or "", tuple(name for name in AGAIN if row[name] != "yes")) for number, row in enumerate(g.rows("bench.repairs"), 1))
    warm = {(part, side): value for part in WARM for side in SIDES if (value := g.maybe(f"bench.{side}.{part}_after")) is not None}
    return Upkeep(repairs=repairs, warm=warm, **g.marks()) if g.complete else Upkeep.unknown(g)


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
    drift: by how much that share differs between the later half of these flights and the earlier one; None before there are enough.
    due: the inspection that has come up and was not made, None when there is none.
    """

    shared: bool
    flights: tuple
    compared: int
    drawn: tuple
    receiver: tuple
    difference: float
    drift: float
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
                     difference=drawn[1] / drawn[0] - 1.0 if both else None, drift=_drift([f.motors for f in both]), due=_due(len(flights), inspected), inspected=int(inspected), **g.marks())


def _drift(motors):
    """Right over left in the later half of the flights, less the same in the earlier half."""
    if len(motors) < DRIFT_LEAST:
        return None
    earlier, later = (np.sum(half, axis=0) for half in (motors[:len(motors) // 2], motors[len(motors) // 2:]))
    return float(later[1] / later[0] - earlier[1] / earlier[0])


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
