"""Page 01: how hot the motors get."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from builds import build
from twinkit import tables, units
from twinkit.design import power_heat
from twinkit.design.power import solve
from twinkit.physics import motor, motor_cooling

SIDES = ("left", "right")
OWN = tables.values("motor/cooling")


def at_temperature(side, kelvin):
    """A side with the winding and magnets at a temperature, written out: copper 0.00393/K at 20 degC from what it is at 50 degC."""
    copper = (1.0 + 0.00393 * (kelvin - 293.15)) / (1.0 + 0.00393 * (OWN["bench_winding"] - 293.15))
    return replace(side, resistance=side.resistance * copper, kv=side.kv / (1.0 - 0.001 * (kelvin - OWN["bench_winding"])))


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_the_settled_motor_sheds_what_it_makes_against_a_root_search(name):
    results = build(name)
    power, heat = results.power, results.power_heat
    compared = 0
    for state in heat.states:
        for side in SIDES:
            warm, drive = getattr(state, side), power.side(side)
            if warm.runaway:
                continue
            throttle, speed = state.sides.throttle_left, state.sides.speed
            other = {s: at_temperature(power.side(s), getattr(state, s).temperature if not getattr(state, s).runaway else OWN["burnt"]) for s in SIDES}

            def left_over(kelvin, side=side, drive=drive, throttle=throttle, speed=speed, other=other):
                both = {**other, side: at_temperature(drive, kelvin)}
                point = getattr(solve(both["left"], both["right"], power.shared, throttle, throttle, speed, power.density), side)
                diameter, area = motor_cooling.motor_size(drive.motor_mass, OWN["mean_density"])
                stream = float(motor_cooling.disc_stream(float(point.thrust), speed, drive.propeller_diameter, power.density))
                film = float(motor_cooling.cylinder_film_coefficient(stream, diameter, 101325.0 / (287.05287 * 320.0), 1.458e-6 * 320.0**1.5 / (320.0 + 110.4), 0.0277, 0.70))
                return float(point.heat) - film * area * (kelvin - heat.ambient)

            assert warm.temperature == pytest.approx(brentq(left_over, heat.ambient, 480.0), abs=0.5)
            compared += 1
    assert compared >= 4


@pytest.mark.identity
def test_without_resistance_or_in_colder_air_it_stays_cooler():
    base = build()
    cold = build(changes={"start.temperature": "0 °C"})
    for side in SIDES:
        assert getattr(cold.power_heat.state("cruise"), side).temperature < getattr(base.power_heat.state("cruise"), side).temperature - 10.0
        assert getattr(base.power_heat.state("standing"), side).time < np.inf
        climb, cruise = (getattr(base.power_heat.state(s), side) for s in ("climb", "cruise"))
        assert climb.temperature > cruise.temperature > base.power_heat.ambient


@pytest.mark.identity
def test_a_motor_far_too_small_runs_away_and_says_when():
    results = build(changes={"power.left.propeller_diameter": "10 in", "power.left.propeller_pitch": "7 in", "bench.points": []})
    warm = results.power_heat.state("standing").left
    assert warm.runaway and np.isnan(warm.temperature) and 0.0 < warm.time < 60.0
    drive = results.power.left
    gain = 0.00393 / (1 + 0.00393 * 30.0) * float(results.power.full.left.motor_current) ** 2 * drive.resistance * warm.thermal_resistance
    held = motor.steady_temperature(float(results.power.full.left.motor_current), drive.resistance, 0.0, warm.thermal_resistance, 288.15, 0.00393 / (1 + 0.00393 * 30.0), 323.15)
    assert bool(held.runaway) == (gain >= 1.0)


def test_what_is_missing_is_said():
    assert "power.left.motor_mass" in build(changes={"power.left.motor_mass": None, "power.left.motor_resistance": "90 mohm", "power.left.no_load_current": "0.6 A"}).power_heat.missing
    assert not build("blank").power_heat.known and build("blank").power_heat.state("cruise") is None


@pytest.mark.identity
def test_the_limits_in_shown_units():
    assert units.from_si(build().power_heat.limit, "°C", "K") == pytest.approx(90.0)
