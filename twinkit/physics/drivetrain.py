"""One drive from pack to thrust, or two on a common pack: solved for whole arrays of cases at once."""

from dataclasses import dataclass, fields, replace
from enum import IntEnum

import numpy as np

from twinkit.physics.propeller_table import PropellerTable, loads, torque_and_slope

TOLERANCE = 1e-12                # relative residual at which a case counts as settled
REPETITIONS = 80                 # far more than ever needed; a case still open afterwards is flagged
BISECT_EVERY = 8                 # one bisection among the Newton steps, against going to and fro over a kink
BLOCK = 8192                     # cases solved at once, keeps the work arrays inside the cache


class Status(IntEnum):
    """How a case ended."""

    SOLVED = 0
    STANDING = 1                 # throttle closed and the air does not turn the propeller: no current, speed 0
    NOT_ENOUGH_VOLTS = 2         # too little voltage to overcome friction: speed 0, the current that then flows
    WINDMILLING = 3              # the air turns it faster than the motor would: current 0, free-turning speed
    OVERRUN = 4                  # windmilling with an induced voltage above the pack's: diodes would conduct, values nan
    PACK_COLLAPSED = 5           # no solution: regulator and idle currents alone are more than the pack can give, values nan
    INVALID = 6                  # an input is nan or impossible (negative airspeed, duty outside 0 to 1, ...): values nan
    UNSETTLED = 7                # the search did not settle: values nan


@dataclass(frozen=True)
class Side:
    """One motor with its controller and propeller; numbers of any broadcastable shapes, SI.

    kv [rad/(s V)], resistance [ohm] of the motor, base [A] and slope [A s/rad] of the no-load current, propeller (PropellerTable),
    duty [1], series_resistance [ohm] carrying the motor current (bridge, motor leads), idle_current [A] of the controller,
    resistance_growth [ohm s/rad] of the motor's resistance with speed, thrust_factor and torque_factor [1] on the propeller's loads.
    """

    kv: np.ndarray
    resistance: np.ndarray
    base: np.ndarray
    slope: np.ndarray
    propeller: PropellerTable
    duty: np.ndarray = 1.0
    series_resistance: np.ndarray = 0.0
    idle_current: np.ndarray = 0.0
    resistance_growth: np.ndarray = 0.0
    thrust_factor: np.ndarray = 1.0
    torque_factor: np.ndarray = 1.0


@dataclass(frozen=True)
class Drive:
    """Solved side: every field an array of the broadcast shape, SI; status as in Status, in_table False where the propeller's table is left.

    Torque is what the propeller asks of the shaft. Efficiencies (motor: shaft over motor power; drive: shaft over the controller's input;
    propulsive: thrust times airspeed over shaft) are nan where the shaft gives no power.
    """

    n: np.ndarray                # revolutions per second
    omega: np.ndarray
    thrust: np.ndarray
    torque: np.ndarray
    motor_current: np.ndarray
    pack_current: np.ndarray
    motor_voltage: np.ndarray
    pack_voltage: np.ndarray
    shaft_power: np.ndarray
    motor_power: np.ndarray
    pack_power: np.ndarray
    motor_efficiency: np.ndarray
    drive_efficiency: np.ndarray
    propulsive_efficiency: np.ndarray
    motor_heat: np.ndarray
    controller_heat: np.ndarray
    pack_heat: np.ndarray
    in_table: np.ndarray
    status: np.ndarray


@dataclass(frozen=True)
class SharedPack:
    """Both sides (Drive or None) and the common pack's voltage [V], current [A] and heat [W]."""

    left: Drive
    right: Drive
    pack_voltage: np.ndarray
    pack_current: np.ndarray
    pack_heat: np.ndarray


_NUMBERS = tuple(f.name for f in fields(Side) if f.name != "propeller")


def voltage_balance(side, omega, emf, pack_resistance, regulator_current, airspeed, density):
    """Voltage left over at a shaft speed: zero at the running point, falling steadily with speed.

    Arguments:
        side [object]: Side
        omega [rad/s]: shaft speed, any shape
        emf [V]: resting voltage of the side's own pack, any shape
        pack_resistance [ohm]: pack and leads up to the controller, any shape
        regulator_current [A]: input current of a receiver regulator on this pack, any shape
        airspeed [m/s]: speed along the propeller axis, any shape
        density [kg/m^3]: air density, any shape
    Returns:
        [V]: supplied minus needed voltage, broadcast shape
    Relation: D (E - R_p (I_idle + I_reg)) - I (D^2 R_p + R_s + R + R' omega) - omega/Kv, I = Kv Q + a + b omega
    Holds for: continuous motor current, an input capacitor that smooths the pack current
    Breaks when: negative current would be needed (see Status.WINDMILLING)
    Errs: as its parts
    Example:
        >>> table = PropellerTable(0.2, 1.225, 50.0, 200.0, 0.8, np.array([[0.1, 0.0], [0.12, 0.01]]), np.array([[0.05, 0.02], [0.04, 0.02]]))
        >>> side = Side(104.72, 0.09, 0.7, 1e-4, table, duty=0.9)
        >>> left_over = voltage_balance(side=side, omega=900.0, emf=11.1, pack_resistance=0.03, regulator_current=0.5, airspeed=8.0, density=1.225)
        >>> round(float(left_over), 4)
        0.7619
    Source: [modelica_dcpm] machine; [erickson_maksimovic] part throttle
    """
    case = _supplied(_case(side, emf, pack_resistance, regulator_current, airspeed, density))
    return _balance(side.propeller, case, np.asarray(omega, float))[0]


def _case(side, emf, pack_resistance, regulator_current, airspeed, density):
    """All numbers of a case by name, as float arrays of their own shapes."""
    given = {"emf": emf, "pack_resistance": pack_resistance, "regulator_current": regulator_current, "airspeed": airspeed, "density": density}
    return {name: np.asarray(value, float) for name, value in ({name: getattr(side, name) for name in _NUMBERS} | given).items()}


def _supplied(case):
    """The case with the voltage the motor is offered and the resistance its current meets."""
    case["supply"] = case["duty"] * (case["emf"] - case["pack_resistance"] * (case["idle_current"] + case["regulator_current"]))
    case["total"] = case["duty"] ** 2 * case["pack_resistance"] + case["series_resistance"] + case["resistance"]
    return case


def _current(table, case, omega):
    """Motor current the propeller and friction ask for at a speed, and its slope."""
    torque, slope = torque_and_slope(table, omega / (2.0 * np.pi), case["airspeed"], case["density"])
    gain = case["kv"] * case["torque_factor"]
    return gain * torque + case["base"] + case["slope"] * omega, gain * slope + case["slope"]


def _balance(table, case, omega):
    """Left-over voltage, its slope over omega, current and the current's slope."""
    current, rise = _current(table, case, omega)
    growth = case["resistance_growth"]
    resistance = case["total"] + growth * omega
    return (case["supply"] - current * resistance - omega / case["kv"],
            -rise * resistance - current * growth - 1.0 / case["kv"], current, rise)


def _take(case, index):
    return {name: value if value.ndim == 0 else value[index] for name, value in case.items()}


def _settle(table, case, guess=None):
    """Speed, motor current, status and the current's slope over the supply of a block of cases (one axis)."""
    size, motor = case["supply"].size, case["kv"]
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        free = motor * np.maximum(case["supply"], 0.0)
        at_free, at_rest = _current(table, case, free)[0], _current(table, case, np.zeros(size))[0]
        status = np.where(at_rest * case["total"] >= case["supply"], np.int8(Status.NOT_ENOUGH_VOLTS), np.int8(Status.SOLVED))
        status[(status == Status.NOT_ENOUGH_VOLTS) & (case["duty"] == 0.0)] = Status.STANDING
        status[at_free < 0.0] = Status.WINDMILLING
        status[_impossible(case)] = Status.INVALID
        mill, rests = status == Status.WINDMILLING, (status == Status.NOT_ENOUGH_VOLTS) | (status == Status.STANDING)
        omega = np.where(rests, 0.0, np.nan)
        low = np.where(mill, free, 0.0)
        high = np.where(mill, 2.0 * np.pi * case["airspeed"] / (table.diameter * table.driven_advance_ratio), free)
        if guess is None:           # the quadratic of a propeller whose power coefficient is that at the free speed
            square = np.maximum(at_free - case["base"] - case["slope"] * free, 0.0) / free**2 * case["total"]
            straight, rest = case["slope"] * case["total"] + 1.0 / motor, case["supply"] - case["base"] * case["total"]
            guess = 2.0 * rest / (straight + np.sqrt(straight**2 + 4.0 * square * rest))
        guess = np.where((guess > low) & (guess < high), guess, 0.5 * (low + high))
        index = np.flatnonzero((status == Status.SOLVED) | mill)
        scale = np.where(mill, -at_free, case["supply"])
        part, low, high, mill, scale, w = _take(case, index), low[index], high[index], mill[index], scale[index], guess[index]
        for repetition in range(1, REPETITIONS + 1):
            f, slope, current, rise = _balance(table, part, w)
            f, slope = np.where(mill, -current, f), np.where(mill, -rise, slope)
            low, high = np.where(f > 0.0, w, low), np.where(f > 0.0, high, w)
            left = (np.abs(f) > TOLERANCE * scale) & (high - low > 4.0 * np.finfo(float).eps * high)
            omega[index[~left]] = w[~left]
            step = w - f / slope
            w = np.where((step > low) & (step < high) & (repetition % BISECT_EVERY != 0), step, 0.5 * (low + high))
            if not left.all():
                index, low, high, mill, scale, w, part = (*(a[left] for a in (index, low, high, mill, scale, w)), _take(part, left))
            if not index.size:
                break
        status[index] = Status.UNSETTLED
        _, slope, current, rise = _balance(table, case, omega)
        current = np.where(rests, np.maximum(case["supply"], 0.0) / case["total"], current)
        per_supply = np.where(rests, 1.0 / case["total"], -rise / slope)
        mill = status == Status.WINDMILLING
        return omega, np.where(mill, 0.0, current), status, np.where(mill, 0.0, per_supply)


def _impossible(case):
    """Mask of inputs no case can have; nan fails every comparison."""
    good = (case["duty"] >= 0.0) & (case["duty"] <= 1.0)
    for name in ("resistance", "base", "slope", "series_resistance", "idle_current", "resistance_growth", "torque_factor",
                 "pack_resistance", "airspeed", "regulator_current", "emf"):
        good = good & (case[name] >= 0.0) & (case[name] < np.inf)
    for name in ("kv", "density", "total", "thrust_factor"):
        good = good & (case[name] > 0.0) & (case[name] < np.inf)
    return np.broadcast_to(~good, case["supply"].shape)


def _drive(table, case, omega, current, status, pack_voltage, pack_current, pack_heat):
    """Everything that follows from a settled speed and current."""
    with np.errstate(invalid="ignore", divide="ignore"):
        air = loads(table, omega / (2.0 * np.pi), case["airspeed"], case["density"])
        back = omega / case["kv"]
        status = np.where((status == Status.WINDMILLING) & (back > pack_voltage), np.int8(Status.OVERRUN), status)
        status = np.where((status < Status.OVERRUN) & (pack_voltage <= 0.0), np.int8(Status.PACK_COLLAPSED), status)
        motor_voltage = back + current * (case["resistance"] + case["resistance_growth"] * omega)
        thrust, torque = case["thrust_factor"] * air.thrust, case["torque_factor"] * air.torque
        shaft, motor = torque * omega, motor_voltage * current
        taken = pack_voltage * (case["duty"] * current + case["idle_current"])
        result = Drive(omega / (2.0 * np.pi), omega, thrust, torque, current, pack_current, motor_voltage, pack_voltage, shaft, motor,
                       pack_voltage * pack_current, *(np.where((shaft > 0.0) & (motor > 0.0), of, np.nan) for of in
                       (shaft / motor, shaft / taken, thrust * case["airspeed"] / shaft)), motor - shaft, taken - motor, pack_heat,
                       air.inside, status)
    lost = status >= Status.OVERRUN
    if lost.any():
        changed = {f.name: np.where(lost, np.nan, getattr(result, f.name)) for f in fields(Drive) if f.name not in ("in_table", "status")}
        result = replace(result, in_table=result.in_table & ~lost, **changed)
    return result


def _blocks(shape, cases):
    """For each block of the common shape its slice and the cases cut to it, single numbers left single."""
    size = int(np.prod(shape))
    flat = [{name: value.reshape(-1) if value.shape == shape else np.broadcast_to(value, shape).flat
             for name, value in case.items() if value.size > 1} for case in cases]
    for start in range(0, size, BLOCK):
        part = slice(start, min(start + BLOCK, size))
        ones = np.ones(part.stop - part.start)
        cut = [{name: many[name][part] if name in many else value.reshape(()) for name, value in case.items()} for case, many in zip(cases, flat)]
        yield part, [_supplied(case | {"emf": case["emf"] * ones}) for case in cut]


def _empty(shape):
    """A Drive to be filled block by block."""
    kinds = {"in_table": bool, "status": np.int8}
    return Drive(**{f.name: np.empty(shape, kinds.get(f.name, float)) for f in fields(Drive)})


def _fill(whole, part, block):
    for f in fields(Drive):
        getattr(whole, f.name).reshape(-1)[part] = getattr(block, f.name)


def solve_side(side, emf, pack_resistance, regulator_current, airspeed, density):
    """Running point of one side on its own pack.

    Arguments:
        side [object]: Side
        emf [V]: resting voltage of the pack, any shape
        pack_resistance [ohm]: pack and leads up to the controller, any shape
        regulator_current [A]: input current of a receiver regulator on this pack, any shape
        airspeed [m/s]: speed along the propeller axis, any shape
        density [kg/m^3]: air density, any shape
    Returns:
        [object]: Drive of arrays of the broadcast shape of everything, those in side too
    Relation: voltage_balance(omega) = 0
    Holds for: steady running; part throttle with continuous motor current
    Breaks when: see Status; such cases are flagged, never raised
    Errs: with catalogue figures high in speed, current and thrust by 8 to 10 per cent; heat of switching is not in it
    Example:
        >>> table = PropellerTable(0.2, 1.225, 50.0, 200.0, 0.8, np.array([[0.1, 0.0], [0.12, 0.01]]), np.array([[0.05, 0.02], [0.04, 0.02]]))
        >>> side = Side(104.72, 0.09, 0.7, 1e-4, table, duty=0.9)
        >>> drive = solve_side(side=side, emf=11.1, pack_resistance=0.03, regulator_current=0.5, airspeed=8.0, density=1.225)
        >>> round(float(drive.n), 2), round(float(drive.thrust), 3), round(float(drive.motor_current), 3), round(float(drive.pack_current), 3)
        (154.43, 3.798, 6.217, 6.095)
    Source: [modelica_dcpm] machine; [erickson_maksimovic] part throttle; [twinkit_bench_comparison] errors
    """
    case = _case(side, emf, pack_resistance, regulator_current, airspeed, density)
    shape = np.broadcast_shapes(*(value.shape for value in case.values()))
    whole = _empty(shape)
    for part, (block,) in _blocks(shape, [case]):
        omega, current, status, _ = _settle(side.propeller, block)
        taken = block["duty"] * current + block["idle_current"] + block["regulator_current"]
        volts = block["emf"] - block["pack_resistance"] * taken
        _fill(whole, part, _drive(side.propeller, block, omega, current, status, volts, taken, block["pack_resistance"] * taken**2))
    return whole


def solve_shared_pack(left, right, emf, pack_resistance, regulator_current, airspeed, density):
    """Running points of two sides, alike or not, on one common pack.

    Arguments:
        left [object]: Side, or None when there is none; duty 0 stops it
        right [object]: Side, or None when there is none; duty 0 stops it
        emf [V]: resting voltage of the pack, any shape
        pack_resistance [ohm]: what both currents pass: pack and common leads, any shape
        regulator_current [A]: input current of a receiver regulator on the pack, any shape
        airspeed [m/s]: speed along the propeller axes, any shape
        density [kg/m^3]: air density, any shape
    Returns:
        [object]: SharedPack of arrays of the broadcast shape of everything; a side's pack_heat is its share by current
    Relation: V = E - R_p (sum of D_i I_i + I_idle,i + I_reg), every side at voltage_balance = 0 on V
    Holds for: as solve_side
    Breaks when: see Status; an OVERRUN side counts as drawing no motor current
    Errs: as solve_side
    Example:
        >>> table = PropellerTable(0.2, 1.225, 50.0, 200.0, 0.8, np.array([[0.1, 0.0], [0.12, 0.01]]), np.array([[0.05, 0.02], [0.04, 0.02]]))
        >>> side = Side(104.72, 0.09, 0.7, 1e-4, table)
        >>> both = solve_shared_pack(left=side, right=None, emf=11.1, pack_resistance=0.03, regulator_current=0.5, airspeed=8.0, density=1.225)
        >>> round(float(both.pack_voltage), 3), round(float(both.left.thrust), 3)
        (10.863, 4.848)
    Source: [modelica_dcpm] machine; [erickson_maksimovic] part throttle
    """
    sides = [side for side in (left, right) if side is not None]
    if not sides:
        raise ValueError("solve_shared_pack needs at least one side: left and right are both None")
    given = [_case(side, emf, pack_resistance, regulator_current, airspeed, density) for side in sides]
    shape = np.broadcast_shapes(*(value.shape for case in given for value in case.values()))
    wholes, pack_volts, pack_amps, pack_heat = [_empty(shape) for _ in sides], np.empty(shape), np.empty(shape), np.empty(shape)
    for part, cases in _blocks(shape, given):
        volts, settled = _common_voltage(sides, cases)
        taken = [case["duty"] * s[1] + case["idle_current"] for case, s in zip(cases, settled)]
        total = sum(taken) + cases[0]["regulator_current"]
        drop = cases[0]["pack_resistance"] * total
        for store, value in zip((pack_volts, pack_amps, pack_heat), (volts, total, drop * total)):
            store.reshape(-1)[part] = np.where(volts > 0.0, value, np.nan)
        for side, case, own, whole, (omega, current, status, _) in zip(sides, cases, taken, wholes, settled):
            _fill(whole, part, _drive(side.propeller, case, omega, current, status, volts, own, drop * own))
    drives = iter(wholes)
    return SharedPack(*(None if side is None else next(drives) for side in (left, right)), pack_volts, pack_amps, pack_heat)


def _common_voltage(sides, cases):
    """Pack voltage at which the currents it causes explain it, with each side's settled values (block)."""
    emf, resistance, zero = cases[0]["emf"], cases[0]["pack_resistance"], np.asarray(0.0)
    fixed = sum(case["idle_current"] for case in cases) + cases[0]["regulator_current"]
    volts = np.maximum(emf - resistance * fixed, 0.0)
    low, high = np.zeros(emf.size), volts.copy()
    settled = [(np.full(emf.size, np.nan), np.zeros(emf.size), np.zeros(emf.size, np.int8), np.zeros(emf.size)) for _ in sides]
    index = np.arange(emf.size)
    common = {"emf": emf, "pack_resistance": resistance, "fixed": fixed}
    for repetition in range(1, REPETITIONS + 1):
        v, own = volts[index], _take(common, index)
        drawn, slope = own["fixed"], 1.0
        for side, case, values in zip(sides, cases, settled):
            # the common resistance stays outside: a side sees the common voltage alone
            behind = _supplied(_take(case, index) | {"emf": v, "pack_resistance": zero, "idle_current": zero, "regulator_current": zero})
            for store, value in zip(values, _settle(side.propeller, behind, None if repetition == 1 else values[0][index])):
                store[index] = value
            drawn = drawn + behind["duty"] * values[1][index]
            slope = slope + own["pack_resistance"] * behind["duty"] ** 2 * values[3][index]
        with np.errstate(invalid="ignore"):
            f = v - own["emf"] + own["pack_resistance"] * drawn
            low[index], high[index] = np.where(f < 0.0, v, low[index]), np.where(f < 0.0, high[index], v)
            going = (np.abs(f) > TOLERANCE * own["emf"]) & (high[index] - low[index] > 4.0 * np.finfo(float).eps * high[index])
            step = v - f / slope
            middle = 0.5 * (low[index] + high[index])
            newton = (step > low[index]) & (step < high[index]) & (repetition % BISECT_EVERY != 0)
        index = index[going]
        if not index.size:
            break
        volts[index] = np.where(newton, step, middle)[going]
    impossible = np.any([values[2] == Status.INVALID for values in settled], axis=0)
    for values in settled:          # what one side lacks, the common pack lacks
        values[2][index], values[2][impossible] = Status.UNSETTLED, Status.INVALID
    return np.where(impossible, np.nan, volts), settled
