"""The drives of both sides: running points at any throttle and airspeed, and how far off thrust and current may be."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.drive_parts import SOURCES_OF_ERROR, SideDrive, drives, moved, propeller_band, sigmas
from twinkit.physics import drivetrain
from twinkit.physics import pack as packs
from twinkit.physics.propeller_table import zero_thrust_advance_ratio

GRID_SPEEDS = 41         # airspeeds of the thrust curves
BEYOND = 1.03            # the speed axis ends a little beyond zero thrust
USUAL_CRUISE = 0.45      # share of the zero-thrust speed at which such aeroplanes cruise, until a cruise speed is guessed


@dataclass(frozen=True)
class Point:
    """Running point of a side, SI, arrays or floats. pack_current is what its controller draws, the receiver left out; volts and input power are those at the controller.

    solved is False where there is no answer (values nan), running False where the motor gives no power (standing, or turned by the air).
    """

    thrust: np.ndarray
    torque: np.ndarray
    speed_of_rotation: np.ndarray
    motor_current: np.ndarray
    pack_current: np.ndarray
    motor_volts: np.ndarray
    pack_volts: np.ndarray
    input_power: np.ndarray
    shaft_power: np.ndarray
    efficiency: np.ndarray
    heat: np.ndarray
    controller_heat: np.ndarray
    solved: np.ndarray
    running: np.ndarray


@dataclass(frozen=True)
class TwoSides:
    """Both sides at one throttle each and one airspeed."""

    left: Point
    right: Point
    throttle_left: float
    throttle_right: float
    speed: float

    @property
    def thrust(self):
        return self.left.thrust + self.right.thrust

    @property
    def input_power(self):
        return self.left.input_power + self.right.input_power

    @property
    def pack_current(self):
        return self.left.pack_current + self.right.pack_current


@dataclass(frozen=True, kw_only=True)
class Power(Result):
    """Drives and running points. shared: both sides draw on one supply (one pack, joined packs, or one controller)."""

    left: SideDrive
    right: SideDrive
    shared: bool
    one_controller: bool
    pack_layout: str
    packs: tuple
    density: float
    full: TwoSides          # full throttle, standing, at the charge looked at
    fresh: TwoSides         # the same on full packs: what every rating must stand
    half: TwoSides          # the same on half full packs
    speeds: np.ndarray
    sweep: TwoSides         # full throttle over speeds
    fastest_left: float     # highest speed of rotation while the propeller still pulls, full packs
    fastest_right: float
    zero_thrust_speed: float
    flight_speed: float     # at which the bands in flight are told: your first guess of the cruise speed

    @property
    def thrust_left(self):
        return None if self.sweep is None else self.sweep.left.thrust

    @property
    def thrust_right(self):
        return None if self.sweep is None else self.sweep.right.thrust

    @property
    def thrust(self):
        return None if self.sweep is None else self.sweep.thrust

    @property
    def static_thrust(self):
        """Both sides at full throttle, standing [N]."""
        return None if self.full is None else self.full.thrust

    def side(self, name):
        return getattr(self, name)

    def solve(self, throttle_left, throttle_right, speed):
        """Both sides at any throttles and airspeed (numbers or broadcastable arrays), at the charge looked at."""
        return solve(self.left, self.right, self.shared, throttle_left, throttle_right, speed, self.density)

    def pack_currents(self, sides):
        """What each pack gives at a running point, in the order of packs [A]."""
        if len(self.packs) == 1:
            return (sides.pack_current,)
        if not self.shared:
            return (sides.left.pack_current, sides.right.pack_current)
        one, two = self.packs
        share = packs.parallel_sharing(one.emf, one.resistance, two.emf, two.resistance, sides.pack_current)
        return (share.current_1, share.current_2)


def drive(g, air, leads, bench):
    """Both drives with their running points; unknown while anything of either side is missing."""
    made, guess = drives(g, air, leads, bench), g.maybe("start.cruise_guess")
    return Power.unknown(g) if made is None else _worked(g, air.density, guess, made)


# --- running points ----------------------------------------------------------------------------------------------------------


def solve(left, right, shared, throttle_left, throttle_right, speed, density):
    """Both sides at throttles and an airspeed; numbers of the sides may be arrays too."""
    shape = np.broadcast_shapes(*(np.shape(x) for x in (throttle_left, throttle_right, speed)))
    duties = [np.broadcast_to(np.asarray(t, float), shape) for t in (throttle_left, throttle_right)]
    speed = np.broadcast_to(np.asarray(speed, float), shape)
    sides = [drivetrain.Side(kv=s.kv, resistance=s.resistance, resistance_growth=s.resistance_growth, base=s.no_load_base, slope=s.no_load_slope, propeller=s.table, duty=duty,
                             series_resistance=s.series_resistance + (duty**2 * s.lead_resistance if shared else 0.0), idle_current=s.idle_current,
                             thrust_factor=s.thrust_factor, torque_factor=s.torque_factor) for s, duty in zip((left, right), duties)]
    if shared:
        both = drivetrain.solve_shared_pack(*sides, left.emf, left.supply_resistance, 0.0, speed, density)
        points = [_point(d, s.lead_resistance) for d, s in zip((both.left, both.right), (left, right))]
    else:
        points = [_point(drivetrain.solve_side(d, s.emf, s.supply_resistance + s.lead_resistance, 0.0, speed, density), 0.0)
                  for d, s in zip(sides, (left, right))]
    return TwoSides(*points, *duties, speed)


def _point(d, lead):
    """A solved side as a Point; lead is what lies between the common supply and its controller."""
    volts = d.pack_voltage - lead * d.pack_current
    power = volts * d.pack_current
    running = d.status == drivetrain.Status.SOLVED
    with np.errstate(invalid="ignore", divide="ignore"):
        efficiency = np.where(running & (d.shaft_power > 0.0), d.shaft_power / power, np.nan)
    return Point(d.thrust, d.torque, d.omega, d.motor_current, d.pack_current, d.motor_voltage, volts, power, d.shaft_power, efficiency, d.motor_heat,
                 power - d.motor_power, d.status < drivetrain.Status.OVERRUN, running)


def _cases(two, which):
    """Some cases of a solved array."""
    side = lambda p: Point(**{n: v[which] for n, v in vars(p).items()})  # noqa: E731
    return TwoSides(side(two.left), side(two.right), two.throttle_left[which], two.throttle_right[which], two.speed[which])


def plain(two, at=()):
    """One case of a solved array as plain floats."""
    number = lambda x: float(np.asarray(x)[at])  # noqa: E731
    side = lambda p: Point(**{n: (bool if n in ("solved", "running") else float)(np.asarray(v)[at]) for n, v in vars(p).items()})  # noqa: E731
    return TwoSides(side(two.left), side(two.right), number(two.throttle_left), number(two.throttle_right), number(two.speed))


def _worked(g, density, guess, made):
    """The result. Thrust curves, full and half full packs and the bands are one array of cases."""
    shared, sides = made.shared, (made.left, made.right)
    free = [s.kv * s.emf_full / (2.0 * np.pi) for s in sides]
    ends = [zero_thrust_advance_ratio(s.table, n, density) * n * s.propeller_diameter for s, n in zip(sides, free)]
    cruise = guess or USUAL_CRUISE * float(np.nanmax(ends))
    speeds, errors = np.linspace(0.0, BEYOND * float(np.nanmax([*ends, cruise])), GRID_SPEEDS), len(SOURCES_OF_ERROR)
    blocks = {"sweep": speeds, "fresh": speeds, "flight": np.array([cruise]), "half": np.zeros(1), "off": np.tile([0.0, cruise], errors)}
    block = np.repeat(list(blocks), [len(x) for x in blocks.values()])
    tried = [replace(moved(s, _factors(s, block == "off")), emf=np.select([block == "fresh", block == "half"], [s.emf_full, s.emf_half], s.emf))
             for s in sides]
    solved = solve(*tried, shared, 1.0, 1.0, np.concatenate(list(blocks.values())), density)
    sweep, fresh, flight, half, off = (_cases(solved, block == name) for name in blocks)
    left, right = (_with_bands(s, getattr(sweep, s.side), getattr(flight, s.side), getattr(off, s.side)) for s in sides)
    return Power(left=left, right=right, shared=shared, one_controller=made.one_controller, pack_layout=made.pack_layout, packs=made.packs, density=density,
                 full=plain(sweep, 0), fresh=plain(fresh, 0), half=plain(half, 0), speeds=speeds, sweep=sweep, fastest_left=_fastest(fresh.left),
                 fastest_right=_fastest(fresh.right), zero_thrust_speed=float(_crossing(speeds, sweep.thrust)), flight_speed=cruise, **g.marks())


def _fastest(point):
    """Highest speed of rotation while the propeller pulls."""
    pulls = point.thrust >= 0.0
    return float(np.max(point.speed_of_rotation[pulls])) if pulls.any() else float(point.speed_of_rotation[0])


def _crossing(x, y):
    """Where a falling curve meets zero; nan when it does not."""
    below = np.flatnonzero(y < 0.0)
    if not below.size or below[0] == 0:
        return np.nan
    k = below[0]
    return x[k - 1] + (x[k] - x[k - 1]) * y[k - 1] / (y[k - 1] - y[k])


def _factors(side, off):
    """Each uncertain number's factor over the cases: 1, but one standard deviation up in the pair of cases that tries it (static, flight)."""
    first, factors = int(np.argmax(off)), {name: np.ones(off.size) for name in SOURCES_OF_ERROR}
    for column, state in enumerate(("static", "flight")):
        for row, (name, sigma) in enumerate(sigmas(side, state).items()):
            factors[name][first + 2 * row + column] += sigma
    return factors


def _with_bands(side, sweep, flight, off):
    """The side with the one-sigma shares of its thrust and static current: every error's own share, added in quadrature, CT and CP going together."""
    correlation = tables.values("power/assumptions")["ct_cp_correlation"]
    shares = []
    for name in ("thrust", "motor_current"):
        nominal = np.array([getattr(sweep, name)[0], getattr(flight, name)[0]])
        with np.errstate(invalid="ignore", divide="ignore"):      # a side that does not turn has no shares
            moved = getattr(off, name).reshape(-1, 2) / nominal - 1.0
        shares.append(np.sqrt((moved**2).sum(0) + 2.0 * correlation * moved[0] * moved[1]))
    reasons = propeller_band(side, "static", np.nan_to_num([sweep.speed_of_rotation[0], flight.speed_of_rotation[0]])).reasons
    return replace(side, band_static=float(shares[0][0]), band_flight=float(shares[0][1]), band_current=float(shares[1][0]), reasons=reasons)
