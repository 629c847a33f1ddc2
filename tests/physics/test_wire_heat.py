"""Warmth of wires in still air: an example of a textbook (from memory) and the same worked by hand, limits, balance and an independent solver."""

import numpy as np
import pytest
from scipy.optimize import brentq

from twinkit import tables
from twinkit.physics import air, wire, wire_heat


@pytest.mark.published
def test_conductivity_of_air_in_the_standard_atmosphere():
    # U.S. Standard Atmosphere 1976, table of thermal conductivity: 2.5326e-2 W/(m K) at sea level (value from memory).
    assert air.thermal_conductivity(288.15) == pytest.approx(2.5326e-2, rel=2e-4)
    assert np.isnan(air.thermal_conductivity(0.0))


@pytest.mark.published
def test_heat_of_a_horizontal_steam_pipe():
    # Bergman and others, Example 9.4 (from memory): 0.1 m pipe at 165 degC in air and walls of 23 degC, emissivity 0.85: 325 W/m by convection, 441 W/m by
    # radiation. The book reads the air at 367 K from its table, with 2 % more viscosity than the standard atmosphere, and rounds.
    area, rise = np.pi * 0.1, 142.0
    convection = wire_heat.surface_coefficient(rise, 0.1, 296.15, 0.0) * area * rise
    both = wire_heat.surface_coefficient(rise, 0.1, 296.15, 0.85) * area * rise
    assert convection == pytest.approx(325.0, rel=0.015)
    assert both - convection == pytest.approx(441.0, rel=3e-3)


@pytest.mark.identity
def test_the_same_pipe_by_hand():
    # Free of what is remembered of the book's result: Churchill and Chu's equation step by step, air at the mean of 367.15 K and 101 325 Pa worked out by hand from the
    # formulas of the U.S. Standard Atmosphere (viscosity 2.1478e-5 Pa s, k 0.031302 W/(m K), density 0.96142 kg/m3) and 1004.7 J/(kg K).
    viscosity, diffusivity = 2.1478e-5 / 0.96142, 0.031302 / (0.96142 * 1004.7)
    rayleigh = 9.80665 * 142.0 * 0.1**3 / (367.15 * viscosity * diffusivity)
    nusselt = (0.6 + 0.387 * rayleigh ** (1 / 6) / (1.0 + (0.559 * diffusivity / viscosity) ** (9 / 16)) ** (8 / 27)) ** 2
    by_hand = nusselt * 0.031302 * np.pi * 142.0
    found, both = (wire_heat.surface_coefficient(142.0, 0.1, 296.15, emissivity) * np.pi * 0.1 * 142.0 for emissivity in (0.0, 0.85))
    assert found == pytest.approx(by_hand, rel=2e-4)
    radiated = 0.85 * 5.670374e-8 * (438.15**4 - 296.15**4) * np.pi * 0.1
    assert both - found == pytest.approx(radiated, rel=1e-6)


@pytest.mark.identity
def test_the_rise_balances_the_heat_and_is_what_a_bracketing_solver_finds():
    heat, diameter = np.geomspace(0.01, 60, 9)[:, None], np.array([1.5e-3, 3.5e-3, 6e-3])
    rise = wire_heat.free_air_rise(heat, diameter, 293.15)
    np.testing.assert_allclose(wire_heat.surface_coefficient(rise, diameter, 293.15) * np.pi * diameter * rise, np.broadcast_to(heat, rise.shape), rtol=1e-9)
    for row, one in enumerate(heat[:, 0]):
        for column, d in enumerate(diameter):
            found = brentq(lambda t, q=one, d=d: wire_heat.surface_coefficient(t, d, 293.15) * np.pi * d * t - q, 0.0, 3000.0)
            assert rise[row, column] == pytest.approx(found, rel=1e-8)
    assert wire_heat.free_air_rise(0.0, 3e-3, 293.15) == 0 and np.isnan(wire_heat.free_air_rise(1.0, 0.0, 293.15))
    assert (np.diff(rise, axis=0) > 0).all() and (np.diff(rise, axis=1) < 0).all()


@pytest.mark.identity
def test_wires_at_their_table_current_stay_within_their_insulation():
    # The chassis column stands for wire alone in air; 200 degC silicone and a room of 40 degC leave 160 K (common practice, no source).
    table = tables.read("wire/gauges").columns
    known = np.isfinite(table["outer_diameter"])
    hot = table["chassis_current"][known] ** 2 * wire.resistance_per_metre(table["area"][known], 353.15, 1.03)
    rise = wire_heat.free_air_rise(hot, table["outer_diameter"][known], 313.15)
    assert (rise > 5).all() and (rise < 80).all()
