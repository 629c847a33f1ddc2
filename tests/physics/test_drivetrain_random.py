"""Random designs over the whole range the record takes: solved within tolerance, or flagged; none silently wrong.

The second solver shares nothing with the first but the propeller's tabulated coefficients: it looks them up with scipy's RegularGridInterpolator and
closes every balance by bisection in plain arrays.
"""

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator

from twinkit import quantities, tables
from twinkit.physics.drivetrain import Side, Status, solve_shared_pack, solve_side, voltage_balance
from twinkit.physics.propeller import SectionModel, Style
from twinkit.physics.propeller_table import propeller_table

DENSITY, HALVINGS = 1.1, 52
RESIDUAL, APART = 1e-9, 1e-6


def possible(path):
    return quantities.quantity(path).possible


def propellers(rng, count):
    styles, chords, section = tables.read("propeller/styles").columns, tables.read("propeller/chords").columns, SectionModel(**tables.values("propeller/section"))
    for _ in range(count):
        diameter = rng.uniform(*possible("power.left.propeller_diameter"))
        pitch = min(max(diameter * rng.uniform(0.3, 1.2), possible("power.left.propeller_pitch")[0]), diameter)
        style = Style.from_columns(str(rng.choice(("electric", "slowfly", "sport", "folding"))), styles, chords)
        yield propeller_table(diameter, pitch, int(rng.integers(2, 5)), style, section, DENSITY, 1.8e-5)


def designs(rng, size, table):
    """One side: every number over the range its entry allows, in proportion (logarithms) where that spans decades."""
    def over(path, low=0.0):
        least, most = possible(path)
        return np.exp(rng.uniform(np.log(max(least, low)), np.log(most), size))

    idle = over("power.left.no_load_current")
    kv = over("power.left.kv")
    return Side(kv=kv, resistance=over("power.left.motor_resistance"), base=idle / 2.0, slope=idle / 2.0 / (kv * 10.0), propeller=table,
                duty=rng.choice([1.0, 1.0, 0.0, rng.uniform(0.01, 1.0)], size) * rng.uniform(0.2, 1.0, size) ** rng.integers(0, 2, size),
                series_resistance=over("power.left.controller_resistance"), idle_current=0.06, thrust_factor=rng.uniform(0.7, 1.3, size),
                torque_factor=rng.uniform(0.7, 1.3, size))


def supplies(rng, size):
    cells = rng.integers(1, 13, size)
    ohms = np.exp(rng.uniform(*np.log(possible("power.left.pack_resistance")), size))
    airspeed = rng.uniform(0.0, 1.0, size) * rng.choice([0.0, 1.0, 1.0], size) * possible("power.look_speed")[1]
    return cells * rng.uniform(3.0, 4.2, size), ohms, rng.uniform(0.0, 1.5, size), airspeed


def furthest(values, which):
    """Greatest size among some values, each of which must be a number."""
    assert np.isfinite(values[which]).all()
    return float(np.abs(values[which]).max(initial=0.0))


def ratio(one, other):
    with np.errstate(divide="ignore", invalid="ignore"):
        return one / other


def some(side, which):
    return Side(**{name: value[which] if np.ndim(value) else value for name, value in vars(side).items()})


# --- the second solver -------------------------------------------------------------------------------------------------------


class Blades:
    """Torque of a tabulated propeller by scipy's interpolation."""

    def __init__(self, table):
        rows, columns = table.cp.shape
        self.table = table
        self.axes = np.linspace(np.log(table.n_low), np.log(table.n_high), rows), np.linspace(0.0, table.advance_ratio_high, columns)
        self.cp = RegularGridInterpolator(self.axes, table.cp)

    def torque(self, omega, airspeed):
        t = self.table
        n = np.maximum(omega / (2.0 * np.pi), airspeed / (t.diameter * t.advance_ratio_high))
        ratio = np.where(n > 0.0, airspeed / np.where(n > 0.0, n * t.diameter, 1.0), 0.0)
        at = np.log(np.clip(n * DENSITY / t.density, t.n_low, t.n_high))
        cp = self.cp(np.column_stack([at, np.clip(ratio, 0.0, t.advance_ratio_high)]))
        return cp * DENSITY * n**2 * t.diameter**5 / (2.0 * np.pi)


def halved(rises_to_zero, low, high):
    """Root of a function that falls through zero between low and high, by plain halving."""
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        above = rises_to_zero(middle) > 0.0
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    return 0.5 * (low + high)


def turning(side, blades, volts, ohms, airspeed):
    """Speed and current of a motor behind a resistance that carries the pack current, at resting volts of the supply (idle and regulator taken off)."""
    def current(omega):
        return side.kv * side.torque_factor * blades.torque(omega, airspeed) + side.base + side.slope * omega

    total = side.duty**2 * ohms + side.series_resistance + side.resistance
    omega = halved(lambda w: side.duty * volts - current(w) * total - w / side.kv, np.zeros(volts.size), side.kv * side.duty * np.maximum(volts, 0.0))
    return omega, current(omega)


def kinds(side, blades, volts, ohms, airspeed):
    """What must happen at these volts, from the balances at rest and at the free speed alone."""
    def current(omega):
        return side.kv * side.torque_factor * blades.torque(omega, airspeed) + side.base + side.slope * omega

    supply = side.duty * volts
    total = side.duty**2 * ohms + side.series_resistance + side.resistance
    free = current(side.kv * np.maximum(supply, 0.0))
    rests = current(np.zeros(volts.size)) * total >= supply
    kind = np.where(rests, np.where(side.duty == 0.0, Status.STANDING, Status.NOT_ENOUGH_VOLTS), Status.SOLVED)
    return np.where(free < 0.0, Status.WINDMILLING, kind)


def must_be(side, blades, kind, bus, airspeed, emf):
    """The status of a side on this bus, flags included, and whether it lies too near an edge to tell: what the air turns beyond the bus's volts overruns, and
    a bus without volts has collapsed."""
    def current(omega):
        return side.kv * side.torque_factor * blades.torque(omega, airspeed) + side.base + side.slope * omega

    fast = side.kv * np.maximum(side.duty * bus, 0.0) + 40.0 * np.pi * airspeed / blades.table.diameter
    induced = np.where(kind == Status.WINDMILLING, halved(lambda w: -current(w), np.zeros(bus.size), fast) / side.kv, 0.0)
    status = np.where((kind == Status.WINDMILLING) & (induced > bus), Status.OVERRUN, kind)
    near = (np.abs(bus) < 1e-9 * emf) | ((kind == Status.WINDMILLING) & (np.abs(induced - bus) < 1e-6 * emf))
    return np.where((status < Status.OVERRUN) & (bus <= 0.0), Status.PACK_COLLAPSED, status), near


# --- the tests ---------------------------------------------------------------------------------------------------------------


def own_pack(size, second, seed):
    """Residuals of all, and the distance to the second solver over some."""
    rng, worst, apart, compared, seen = np.random.default_rng(seed), 0.0, 0.0, 0, {}
    tables_made = list(propellers(rng, 8))
    for table in tables_made:
        many = size // len(tables_made)
        side, (emf, ohms, regulator, airspeed) = designs(rng, many, table), supplies(rng, many)
        found = solve_side(side, emf, ohms, regulator, airspeed, DENSITY)
        for status in np.unique(found.status):
            seen[Status(status).name] = seen.get(Status(status).name, 0) + int((found.status == status).sum())
        solved = found.status == Status.SOLVED
        left_over = voltage_balance(side, found.omega, emf, ohms, regulator, airspeed, DENSITY)
        worst = max(worst, furthest(ratio(left_over, side.duty * emf), solved))
        assert np.isfinite(found.thrust[solved]).all() and np.isnan(found.thrust[found.status >= Status.OVERRUN]).all()
        which = rng.choice(many, second // len(tables_made), replace=False)
        few, blades = some(side, which), Blades(table)
        volts = emf[which] - ohms[which] * (few.idle_current + regulator[which])
        expected, got = kinds(few, blades, volts, ohms[which], airspeed[which]), found.status[which]
        flagged = got >= Status.OVERRUN
        assert (got[~flagged] == expected[~flagged]).all(), "solved, standing and windmilling are what the balances say"
        omega, current = turning(few, blades, volts, ohms[which], airspeed[which])
        good = got == Status.SOLVED
        for mine, other in ((found.omega[which], omega), (found.motor_current[which], current)):
            apart = max(apart, furthest(ratio(mine, other) - 1.0, good))
        stuck = few.duty * np.maximum(volts, 0.0) / (few.duty**2 * ohms[which] + few.series_resistance + few.resistance)
        drawn = few.duty * np.select([expected == Status.SOLVED, expected == Status.NOT_ENOUGH_VOLTS], [current, stuck], 0.0) + few.idle_current + regulator[which]
        status, near = must_be(few, blades, expected, emf[which] - ohms[which] * drawn, airspeed[which], emf[which])
        assert (got == status)[~near].all() and near.mean() < 0.01, "every flag, and every case without one, is what the second solver says"
        compared += int(good.sum())
    return worst, apart, compared, seen


def common_pack(size, second, seed):
    rng, worst, apart, compared, again, seen = np.random.default_rng(seed), 0.0, 0.0, 0, 0, {}
    tables_made = list(propellers(rng, 8))
    for one, two in zip(tables_made[::2], tables_made[1::2]):
        many = size // (len(tables_made) // 2)
        left, right, (emf, ohms, regulator, airspeed) = designs(rng, many, one), designs(rng, many, two), supplies(rng, many)
        both = solve_shared_pack(left, right, emf, ohms, regulator, airspeed, DENSITY)
        for status in np.unique(both.left.status):
            seen[Status(status).name] = seen.get(Status(status).name, 0) + int((both.left.status == status).sum())
        fine = (both.left.status < Status.OVERRUN) & (both.right.status < Status.OVERRUN)
        worst = max(worst, furthest((emf - ohms * both.pack_current - both.pack_voltage) / emf, fine))
        for side, drive in ((left, both.left), (right, both.right)):
            turns = fine & (drive.status == Status.SOLVED)
            left_over = voltage_balance(Side(**vars(side) | {"idle_current": 0.0}), drive.omega, both.pack_voltage, 0.0, 0.0, airspeed, DENSITY)
            worst = max(worst, furthest(ratio(left_over, side.duty * both.pack_voltage), turns))
        few = second // (len(tables_made) // 2)
        flagged = rng.permutation(np.flatnonzero(~fine))[:few]
        which = np.concatenate([rng.choice(np.flatnonzero(fine), few, replace=False), flagged])
        sides = [(some(left, which), Blades(one)), (some(right, which), Blades(two))]
        no_ohms = np.zeros(which.size)

        def drawn(volts, sides=sides, which=which, no_ohms=no_ohms):
            total = regulator[which] + sum(side.idle_current for side, _ in sides)
            for side, blades in sides:
                omega, current = turning(side, blades, volts, no_ohms, airspeed[which])
                total = total + side.duty * np.where(kinds(side, blades, volts, no_ohms, airspeed[which]) == Status.SOLVED, current, 0.0)
                stuck = kinds(side, blades, volts, no_ohms, airspeed[which]) == Status.NOT_ENOUGH_VOLTS
                total = total + np.where(stuck, side.duty**2 * volts / (side.series_resistance + side.resistance), 0.0)
            return total

        volts = halved(lambda v: emf[which] - ohms[which] * drawn(v) - v, np.zeros(which.size), emf[which])
        gone = emf[which] - ohms[which] * (regulator[which] + sum(side.idle_current for side, _ in sides)) <= 0.0      # nothing is left for motors: halving ends at zero
        volts = np.where(gone, 0.0, volts)
        apart = max(apart, furthest(ratio(both.pack_voltage[which], volts) - 1.0, ~gone))
        for (side, blades), drive in zip(sides, (both.left, both.right)):
            got, kind = drive.status[which], kinds(side, blades, volts, no_ohms, airspeed[which])
            status, near = must_be(side, blades, kind, volts, airspeed[which], emf[which])
            near = near & ~gone
            assert (got == status)[~near].all() and near.mean() < 0.01, "every flag, and every case without one, is what the second solver says"
            omega, _ = turning(side, blades, volts, no_ohms, airspeed[which])
            apart = max(apart, furthest(ratio(drive.omega[which], omega) - 1.0, got == Status.SOLVED))
        compared += which.size
        again += flagged.size
    assert again >= min(100, second // 4), "flags are solved again too, not only what has an answer"
    return worst, apart, compared, seen


@pytest.mark.identity
@pytest.mark.parametrize("solver", [own_pack, common_pack])
def test_random_designs_are_solved_or_flagged(solver):
    worst, apart, compared, seen = solver(40_000, 800, 7)
    assert worst < RESIDUAL and apart < APART and compared > 200
    assert not {"INVALID", "UNSETTLED"} & set(seen) and {"SOLVED", "WINDMILLING"} <= set(seen)


@pytest.mark.identity
@pytest.mark.parametrize("solver", [own_pack, common_pack])
def test_packs_weaker_than_any_collapse_where_the_second_solver_says(solver, monkeypatch):
    """Forty times the resistance the record takes: what regulator and controllers draw is more than many of these can give."""
    within = supplies
    monkeypatch.setitem(globals(), "supplies", lambda rng, size: (lambda emf, ohms, *rest: (emf, 40.0 * ohms, *rest))(*within(rng, size)))
    worst, apart, compared, seen = solver(20_000, 800, 11)
    assert worst < RESIDUAL and apart < APART and seen["PACK_COLLAPSED"] > 500 and not {"INVALID", "UNSETTLED"} & set(seen)


@pytest.mark.long
@pytest.mark.identity
@pytest.mark.parametrize("solver, seed", [(own_pack, 20), (common_pack, 21)])
def test_a_million_random_designs(solver, seed):
    worst, apart, compared, seen = solver(1_000_000, 10_000 if solver is common_pack else 24_000, seed)
    print(f"\n{solver.__name__}: worst residual {worst:.1e}, {compared} compared, furthest apart {apart:.1e}; {seen}")
    assert worst < RESIDUAL and apart < APART and compared >= 10_000
    assert not {"INVALID", "UNSETTLED"} & set(seen)
