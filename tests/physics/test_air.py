import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from twinkit import constants as const
from twinkit.physics import air


@pytest.mark.published
@pytest.mark.parametrize(("altitude", "temperature", "pressure", "density", "viscosity"), [
    # U.S. Standard Atmosphere 1976, as reprinted in Mechanical Engineers' Handbook vol. 4, table 6; viscosity from memory of the 1976 tables
    (0.0, 288.15, 101330.0, 1.2250, 1.7894e-5),
    (1000.0, 281.65, 89880.0, 1.1117, 1.7579e-5),
    (3000.0, 268.66, 70120.0, 0.9093, 1.6938e-5),
    # from memory of the 1976 tables
    (500.0, 284.90, 95461.0, 1.1673, 1.7737e-5),
    (1500.0, 278.40, 84560.0, 1.0581, 1.7420e-5),
    (5000.0, 255.676, 54048.0, 0.73643, 1.6282e-5),
    (10000.0, 223.252, 26500.0, 0.41351, 1.4577e-5),
])
def test_standard_atmosphere_table(altitude, temperature, pressure, density, viscosity):
    found = air.standard_air(altitude=altitude)
    # one unit in the last printed digit of the coarser table
    assert found.temperature == pytest.approx(temperature, rel=3e-5)
    assert found.pressure == pytest.approx(pressure, rel=1e-4)
    assert found.density == pytest.approx(density, rel=8e-5)
    assert found.viscosity == pytest.approx(viscosity, rel=5e-5)


@pytest.mark.published
def test_sound_speed():
    # from memory of the U.S. Standard Atmosphere 1976: 340.294 m/s at sea level, 320.545 at 5000 m; last digit
    assert air.sound_speed(288.15) == pytest.approx(340.294, rel=4e-6)
    assert air.standard_air(5000.0).sound_speed == pytest.approx(320.545, rel=4e-6)


@pytest.mark.published
def test_vapour_pressure():
    # from memory of steam tables: saturation at 10, 20, 30, 35 degC is 1228, 2339, 4247, 5629 Pa; the Magnus form is good to 0.5 per cent
    kelvin = np.array([10.0, 20.0, 30.0, 35.0]) + const.ZERO_CELSIUS
    assert air.vapour_pressure(kelvin, 1.0) == pytest.approx(np.array([1228.0, 2339.0, 4247.0, 5629.0]), rel=5e-3)


@pytest.mark.published
def test_humid_air():
    # from memory of the CIPM formula for moist air: 1.1992 kg/m3 at 20 degC, 101325 Pa, half saturated; real gas left out here (0.04 per cent)
    assert air.station_air(101325.0, 293.15, 0.5).density == pytest.approx(1.1992, rel=6e-4)


@pytest.mark.identity
def test_pressure_against_hydrostatic_integration():
    heights = np.linspace(0.0, 10500.0, 22)

    def fall(altitude, pressure):
        gravity = const.STANDARD_GRAVITY * (const.EARTH_RADIUS / (const.EARTH_RADIUS + altitude)) ** 2
        geopotential = const.EARTH_RADIUS * altitude / (const.EARTH_RADIUS + altitude)
        temperature = 288.15 - 0.0065 * geopotential
        return -gravity * pressure / (const.AIR_GAS_CONSTANT * temperature)

    solved = solve_ivp(fall, (0.0, heights[-1]), [101325.0], t_eval=heights, rtol=1e-10, atol=1e-6)
    assert air.standard_pressure(heights) == pytest.approx(solved.y[0], rel=1e-8)


@pytest.mark.identity
def test_exponent():
    assert air.PRESSURE_EXPONENT == pytest.approx(5.25588, rel=1e-6)


@pytest.mark.identity
def test_off_standard_day_keeps_the_pressure():
    standard, hot = air.standard_air(1500.0, 0.0), air.standard_air(1500.0, 20.0)
    assert hot.pressure == standard.pressure
    assert hot.density / standard.density == pytest.approx(float(standard.temperature) / (float(standard.temperature) + 20.0), rel=1e-12)


@pytest.mark.pinned
def test_hot_days():
    assert air.standard_air(0.0, 20.0).density == pytest.approx(1.14550, rel=1e-5)
    assert air.standard_air(1500.0, 20.0).density == pytest.approx(0.98720, rel=5e-5)


@pytest.mark.identity
@given(st.floats(-3000.0, 10900.0), st.floats(0.9, 1.05))
def test_station_pressure_meets_the_standard(altitude, weather):
    assert air.station_pressure(101325.0, altitude) == pytest.approx(float(air.standard_pressure(altitude)), rel=1e-12)
    assert air.station_pressure(101325.0 * weather, 0.0) == pytest.approx(101325.0 * weather, rel=1e-12)


@pytest.mark.identity
@given(st.floats(-4900.0, 10900.0))
def test_density_altitude_round_trip(altitude):
    assert air.density_altitude(air.standard_air(altitude).density) == pytest.approx(altitude, rel=1e-9, abs=1e-6)


@pytest.mark.identity
@given(st.floats(250.0, 320.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_more_vapour_is_lighter_air(temperature, first, second):
    low, high = sorted((first, second))
    assert air.station_air(1.0e5, temperature, high).density <= air.station_air(1.0e5, temperature, low).density
    assert air.station_air(1.0e5, temperature, 0.0).density == pytest.approx(1.0e5 / (287.05287 * temperature), rel=1e-12)


@pytest.mark.identity
def test_virtual_temperature_route():
    temperature, pressure, humidity = 303.15, 98000.0, 0.6
    vapour = air.vapour_pressure(temperature, humidity)
    virtual = temperature / (1.0 - 0.378 * vapour / pressure)
    # 0.378 is 1 - 0.62198 rounded
    assert air.station_air(pressure, temperature, humidity).density == pytest.approx(pressure / (287.05287 * virtual), rel=2e-6)


@pytest.mark.identity
def test_reynolds_and_dynamic_pressure_scale():
    assert air.reynolds_number(1.2, 20.0, 0.2, 1.8e-5) == pytest.approx(2.0 * air.reynolds_number(1.2, 10.0, 0.2, 1.8e-5), rel=1e-14)
    assert air.dynamic_pressure(1.2, 20.0) == pytest.approx(4.0 * air.dynamic_pressure(1.2, 10.0), rel=1e-14)


@pytest.mark.identity
def test_outside_the_range_is_nan_and_shapes_broadcast():
    found = air.standard_air(np.array([[-6000.0], [0.0], [12000.0]]), np.array([0.0, 10.0]))
    assert found.density.shape == (3, 2)
    assert np.isnan(found.density[[0, 2]]).all() and np.isfinite(found.density[1]).all()
    assert np.isnan(air.vapour_pressure(300.0, 1.2)) and np.isnan(air.density(0.0, 300.0, 0.0)) and np.isnan(air.density_altitude(3.0))
    assert np.isnan(air.dynamic_viscosity(-1.0)) and np.isnan(air.sound_speed(0.0))
