"""How hot the motors get: winding, current and cooling made to agree in the states a flight holds for minutes."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.constants import COPPER_REFERENCE_TEMPERATURE, COPPER_TEMPERATURE_COEFFICIENT, SEA_LEVEL_PRESSURE
from twinkit.design.base import Result
from twinkit.design.power import TwoSides, solve
from twinkit.physics import air as atmosphere
from twinkit.physics import motor, motor_cooling

SIDES = ("left", "right")
LEAST_STREAM = 1.0       # m/s: warm air rises from a motor nobody blows at
ROUNDS = 3               # two of plain repetition, each leaving less than a third of what the last one moved, then one from where such a row ends


@dataclass(frozen=True)
class Warm:
    """A motor that has settled, SI, arrays or floats: temperature nan and runaway True where nothing settles below what enamel and glue stand.

    time: from the temperature of the air to the winding's limit, at the current of the motor not yet hot [s].
    """

    temperature: np.ndarray
    runaway: np.ndarray
    heat: np.ndarray
    thermal_resistance: np.ndarray
    time: np.ndarray


@dataclass(frozen=True)
class State:
    """A state held for minutes: its name, both sides in it, each motor settled, and by side the one-sigma share of its rise."""

    name: str
    sides: TwoSides
    left: Warm
    right: Warm
    bands: dict


@dataclass(frozen=True, kw_only=True)
class Heat(Result):
    """SI. states: full throttle standing, climb at the throttle of page 04, cruise. limit: what a winding stands for long; burnt: where enamel and glue give way."""

    states: tuple
    ambient: float
    limit: float
    burnt: float

    def state(self, name):
        """The state of that name, None while it is not known."""
        return next((s for s in self.states or () if s.name == name), None)


def heat(g, air, power, moments):
    """Both motors in the states of a flight; unknown while the drives or a motor's mass are. Without a first guess of the cruise only the standing one."""
    g.use(air), g.use(power), g.use(moments, needed=False)
    masses, stick = {side: g(f"power.{side}.motor_mass") for side in SIDES}, g("weight.throttle_climb")
    if not g.complete:
        return Heat.unknown(g)
    cases = {"standing": (1.0, 0.0)}
    if moments.known:
        cases |= {"climb": (stick, moments.named("climb").sides.speed), "cruise": (moments.cruise_throttle, moments.named("cruise").sides.speed)}
    throttle, speed = (np.array(x) for x in zip(*cases.values()))
    sides = tuple(replace(power.side(side), motor_mass=masses[side]) for side in SIDES)
    two, warm = settled(sides, power.shared, throttle, speed, power.density, air.temperature)
    limit, made = tables.values("motor/defaults")["winding_limit"], []
    for k, name in enumerate(cases):
        own = {side: Warm(**{n: v[k].item() for n, v in vars(w).items()}) for side, w in zip(SIDES, warm)}
        bands = {s.side: float(np.hypot(tables.values("motor/cooling")["cooling_band"], 2.0 * s.band_current)) for s in sides}
        made.append(State(name, _one(two, k), **own, bands=bands))
    return Heat(states=tuple(made), ambient=air.temperature, limit=limit, burnt=tables.values("motor/cooling")["burnt"], **g.marks())


def settled(sides, shared, throttle, speed, density, ambient, cooling=(1.0, 1.0)):
    """Both sides and how warm their motors settle: current and resistance made to agree with the temperature. cooling multiplies the thermal resistances."""
    own = tables.values("motor/cooling")
    reference, burnt, kv_growth = own["bench_winding"], own["burnt"], tables.values("motor/defaults")["kv_temperature_coefficient"]
    coefficient = COPPER_TEMPERATURE_COEFFICIENT / (1.0 + COPPER_TEMPERATURE_COEFFICIENT * (reference - COPPER_REFERENCE_TEMPERATURE))
    limit = tables.values("motor/defaults")["winding_limit"]
    temperature, times, steps = [reference, reference], None, []
    for _ in range(ROUNDS):
        tried = [replace(s, resistance=motor.hot_resistance(s.resistance, t, coefficient, reference), kv=motor.hot_kv(s.kv, t, kv_growth, reference))
                 for s, t in zip(sides, temperature)]
        two = solve(*tried, shared, throttle, throttle, speed, density)
        warm = []
        for number, (side, hot, factor) in enumerate(zip(sides, tried, cooling)):
            point = getattr(two, side.side)
            path = factor * _path(side, point, speed, density, own)
            copper = point.motor_current**2 * side.resistance
            iron = np.maximum(point.heat - point.motor_current**2 * hot.resistance, 0.0)
            made = motor.steady_temperature(point.motor_current, side.resistance, iron, path, ambient, coefficient, reference)
            with np.errstate(invalid="ignore"):
                runaway = made.runaway | (made.temperature > burnt)
            rise, gain = path * (copper * (1.0 + coefficient * (ambient - reference)) + iron), coefficient * copper * path
            time = times[number] if times else motor_cooling.time_to_heat(ambient, rise, gain, limit, path * side.motor_mass * own["heat_capacity"])
            warm.append(Warm(np.where(runaway, np.nan, made.temperature), runaway, point.heat, path, time))
        times = [w.time for w in warm]
        found = [np.where(w.runaway, burnt, np.nan_to_num(w.temperature, nan=ambient)) for w in warm]
        steps.append([new - old for new, old in zip(found, temperature)])
        temperature = [_ended(new, *(s[number] for s in steps[-2:])) for number, new in enumerate(found)] if len(steps) > 1 else found
    return two, tuple(warm)


def _ended(value, before, last):
    """Where a row of values ends whose steps shrink by the same share (Aitken)."""
    share = np.divide(last, before, out=np.zeros_like(last), where=np.abs(before) > 1e-6)
    return value + last * np.where(np.abs(share) < 0.7, share / (1.0 - np.clip(share, -0.9, 0.9)), 0.0)


def _path(side, point, speed, density, own):
    """Thermal resistance from the winding into the stream of the propeller."""
    diameter, area = motor_cooling.motor_size(side.motor_mass, own["mean_density"])
    film = own["film_temperature"]
    stream = motor_cooling.disc_stream(np.nan_to_num(point.thrust), speed, side.propeller_diameter, density)
    carried = motor_cooling.cylinder_film_coefficient(np.maximum(stream, LEAST_STREAM), diameter, atmosphere.density(pressure=SEA_LEVEL_PRESSURE, temperature=film),
                                                      atmosphere.dynamic_viscosity(film), own["conductivity"], own["prandtl"])
    return 1.0 / (carried * area)


def _one(two, k):
    """One case of a solved array."""
    side = lambda p: type(p)(**{n: v[k].item() for n, v in vars(p).items()})  # noqa: E731
    return TwoSides(side(two.left), side(two.right), float(two.throttle_left[k]), float(two.throttle_right[k]), float(two.speed[k]))
