"""What the packs give in every phase of a flight at every charge: one array of cells over flights, throttles and charges, solved at once."""

from dataclasses import dataclass, field, replace

import numpy as np

from twinkit import tables
from twinkit.design.drive_parts import moved
from twinkit.design.power import solve
from twinkit.physics import flown_profile as flown
from twinkit.physics import manoeuvre
from twinkit.physics import pack as packs
from twinkit.physics.performance import level_drag

LOWEST_CHARGE = 0.05     # beyond this nobody plans to fly
CHARGES = np.linspace(1.0, LOWEST_CHARGE, 12)
THROTTLES = 8            # positions tried at every charge for level flight
LOWEST_SHARE = 0.6       # the lowest of them, share of the throttle found by the wing page
PHASES = ("launch", "climb", "cruise", "circuits")
AS_ENTERED = dict.fromkeys(("ct", "cp", "kv", "resistance", "supply", "no_load"), 1.0)


@dataclass(frozen=True)
class Profile:
    """A flight as it is flown, SI: how long launch, climb and straight cruise take (circuits take the rest), the climb's throttle, the share of the circuits
    spent turning and the bank in it, what gusts and corrections draw beyond that, and the charge used.
    """

    launch: float
    climb: float
    cruise: float
    stick: float
    turning: float
    bank: float
    extra: float
    usable: float

    @property
    def durations(self):
        return np.array([self.launch, self.climb, self.cruise, np.inf])

    @property
    def begins(self):
        """When each phase begins."""
        return np.concatenate(([0.0], np.cumsum(self.durations[:-1])))


@dataclass(frozen=True)
class Flights:
    """Flights solved together, as factors on what was entered: numbers, or arrays over the flights.

    left, right: on the drive of each side (see drive_parts.moved). capacity: side of a pack -> on its charge. drag at the same mass, mass, extra: on theirs.
    """

    left: dict = field(default_factory=lambda: AS_ENTERED)
    right: dict = field(default_factory=lambda: AS_ENTERED)
    capacity: dict = field(default_factory=dict)
    drag: object = 1.0
    mass: object = 1.0
    extra: object = 1.0

    @property
    def count(self):
        numbers = (*self.left.values(), *self.right.values(), *self.capacity.values(), self.drag, self.mass, self.extra)
        return max(np.size(x) for x in numbers)


@dataclass(frozen=True)
class PackLoad:
    """What one pack (or common supply) gives, SI: current and volts over (flights, phases, charges), at full throttle over (flights, charges); capacity over flights.

    volts are those at the controller; regulator is the receiver's share of the current, counted in.
    """

    side: str
    cells: float
    regulator: float
    capacity: np.ndarray
    current: np.ndarray
    volts: np.ndarray
    full_volts: np.ndarray


def profile_of(g):
    """The flight as entered; some of it None while not everything is known."""
    names = ("time_launch", "time_climb", "time_cruise", "throttle_climb", "turn_share", "turn_bank", "manoeuvre", "usable")
    return Profile(*(g(f"weight.{name}") for name in names))


def loads(power, wing, drain, delivered, profile, flights, before=()):
    """The PackLoads of all flights, and the throttle of the straight cruise over (flights, stations).

    drain: pack side -> current of the receiver. delivered: pack side -> charge it gives over its label. In level flight the sticks are opened as the packs
    sag, so that the thrust of both goes on carrying the drag. before: PackLoads or PackFlights of a similar flight, which tell how full the other pack is
    when one is at a charge; without them both are taken as equally full.
    """
    over = lambda x: np.reshape(np.asarray(x, dtype=float), (-1, 1, 1))  # noqa: E731
    capacity = _capacities(power, delivered, flights)
    stations = _stations(before, capacity, profile) if before and not power.shared else {}
    left, right = (_side(s, {k: over(v) for k, v in f.items()}, power.shared, drain, stations.get(s.side, CHARGES[None]))
                   for s, f in ((power.left, flights.left), (power.right, flights.right)))
    tries = np.linspace(LOWEST_SHARE * wing.cruise_throttle, 1.0, THROTTLES)
    throttle = np.concatenate(([1.0, profile.stick], tries))[:, None]
    slow = np.concatenate(([wing.stall_speed, wing.climb_speed or wing.approach_speed], np.full(THROTTLES, wing.cruise_speed)))[:, None]
    heavier = over(flights.mass)
    speed = slow * np.sqrt(heavier)                   # flown at the same lift coefficients
    point = solve(left, right, power.shared, throttle + 0.0 * CHARGES, throttle + 0.0 * CHARGES, speed + 0.0 * CHARGES, power.density)
    demand = over(flights.drag)[..., 0] * heavier[..., 0]
    thrust = (point.left.thrust + point.right.thrust)[:, 2:]
    straight, turn = (_between(thrust, drag * demand, tries) for drag in (wing.cruise_drag, turn_drag(power, wing, profile.bank)))
    more = 1.0 + profile.extra * over(flights.extra)[..., 0]
    found = {side: _at_charges(_phases(getattr(point, side), straight, turn, profile.turning, more), stations.get(side)) for side in ("left", "right")}
    return _packs(found, power, drain, capacity), straight.read(np.broadcast_to(tries[:, None], thrust.shape))


def _capacities(power, delivered, flights):
    """Side of each pack -> its charge over the flights."""
    return {p.side: np.atleast_1d(p.capacity * delivered[p.side] * np.asarray(flights.capacity.get(p.side, 1.0))) for p in power.packs}


def _stations(before, capacity, profile):
    """Side -> charges over (flights, stations) that both packs have at the same times: the table's charges for the one that lasts longer."""
    slow, fast = sorted(before, key=lambda p: -float(flown.time_to_charge(1.0 - profile.usable, profile.durations, CHARGES, _single(p), np.ravel(p.capacity)[0])))
    times = flown.time_to_charge(CHARGES, profile.durations, CHARGES, _single(slow), capacity[slow.side][:, None])
    other = flown.charge_in_flight(times, profile.durations, CHARGES, _single(fast), capacity[fast.side][:, None])
    return {slow.side: np.broadcast_to(CHARGES, other.shape), fast.side: other}


def _single(pack):
    """Currents over phases and charges of the one flight of a PackLoad, or of a PackFlight."""
    return pack.current[0] if pack.current.ndim == 3 else pack.current


def _at_charges(rows, stations):
    """Rows over (flights, ..., stations), read at the table's charges."""
    if stations is None:
        return rows
    return tuple(flown.between(-CHARGES, -(stations[:, None, None] if row.ndim == 3 else stations[:, None]), row[..., None, :]) for row in rows)


def turn_drag(power, wing, bank):
    """Drag in a level turn at cruise speed [N]."""
    area = wing.mass / wing.loading
    return float(level_drag(wing.cruise_speed, wing.mass * manoeuvre.load_factor(bank), area, power.density, wing.cd0, wing.induced_factor))


def _side(side, factors, shared, drain, charges):
    """A side of all flights at these charges; the receiver's current, which its pack carries besides, lowers the volts it starts from."""
    curve = tables.read("pack/cell_voltage").columns
    cell = packs.open_circuit_voltage(charges, curve["charge"], curve["ramadass2004"])[:, None]
    side = moved(side, factors)
    own = sum(drain.values()) if shared else drain.get(side.side, 0.0)
    return replace(side, emf=side.pack.cells * cell - own * (side.supply_resistance + (0.0 if shared else side.lead_resistance)))


@dataclass(frozen=True)
class _Held:
    """Where along the tried throttles a thrust is met, at every charge of every flight: the row below, and the share of the way to the next."""

    below: np.ndarray
    share: np.ndarray

    def read(self, rows):
        """Rows over (flights, tries, charges), read there."""
        low, high = (np.take_along_axis(rows, k[:, None, :], axis=1)[:, 0] for k in (self.below, self.below + 1))
        return low + self.share * (high - low)


def _between(thrust, wanted, tries):
    """Where the wanted thrust is met; full throttle where it does not suffice."""
    below = np.clip((thrust < wanted[:, None, :]).sum(axis=1) - 1, 0, tries.size - 2)
    low, high = (np.take_along_axis(thrust, k[:, None, :], axis=1)[:, 0] for k in (below, below + 1))
    return _Held(below, np.clip((wanted - low) / (high - low), 0.0, 1.0))


def _phases(point, straight, turn, turning, more):
    """Current and volts of a side over (flights, phases, charges), and its volts at full throttle."""
    amps, volts = point.pack_current, point.pack_volts
    level, turned = (more * held.read(amps[:, 2:]) for held in (straight, turn))
    current = np.stack((amps[:, 0], amps[:, 1], level, (1.0 - turning) * level + turning * turned), axis=1)
    under = np.stack((volts[:, 0], volts[:, 1], straight.read(volts[:, 2:]), turn.read(volts[:, 2:])), axis=1)
    return current, under, volts[:, 0]


def _packs(found, power, drain, capacity):
    """Each pack that empties by itself."""
    if not power.shared:
        return tuple(PackLoad(p.side, p.cells, drain.get(p.side, 0.0), capacity[p.side], found[p.side][0] + drain.get(p.side, 0.0), *found[p.side][1:]) for p in power.packs)
    load, (one, two) = sum(drain.values()), (found[side] for side in ("left", "right"))
    return (PackLoad("shared", power.packs[0].cells, load, sum(capacity.values()), one[0] + two[0] + load, np.minimum(one[1], two[1]), np.minimum(one[2], two[2])),)
