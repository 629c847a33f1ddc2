"""Air: the standard atmosphere, a day that is not standard, humid air at a weather station, viscosity."""

from dataclasses import dataclass

import numpy as np

from twinkit import constants as const

LOWEST_GEOPOTENTIAL = -5000.0   # m, foot of the tabulated standard atmosphere
TROPOPAUSE = 11000.0            # m, geopotential top of the layer with a constant lapse
PRESSURE_EXPONENT = const.STANDARD_GRAVITY / (const.AIR_GAS_CONSTANT * const.TEMPERATURE_LAPSE)


@dataclass(frozen=True)
class Air:
    """State of the air at one place; every field in SI and of one shape."""

    temperature: np.ndarray
    pressure: np.ndarray
    density: np.ndarray
    viscosity: np.ndarray
    kinematic_viscosity: np.ndarray
    sound_speed: np.ndarray


def geopotential_altitude(altitude):
    """Altitude in a field of constant gravity that has the same potential.

    Arguments:
        altitude [m]: geometric altitude above sea level, any shape
    Returns:
        [m]: geopotential altitude, same shape
    Relation: H = r0 Z / (r0 + Z)
    Holds for: the troposphere
    Breaks when: altitude = -r0 (division by zero)
    Errs: nothing that matters below 11 km
    Example:
        >>> round(float(geopotential_altitude(altitude=3000.0)), 2)
        2998.58
    Source: [ussa1976] geopotential altitude
    """
    altitude = np.asarray(altitude, dtype=float)
    return const.EARTH_RADIUS * altitude / (const.EARTH_RADIUS + altitude)


def standard_temperature(altitude):
    """Temperature of the standard atmosphere.

    Arguments:
        altitude [m]: geometric altitude above sea level, any shape
    Returns:
        [K]: temperature, same shape
    Relation: T = T0 - L H
    Holds for: geopotential altitude -5 km to 11 km
    Breaks when: outside that layer (returns nan)
    Errs: by as much as the day differs from the standard one, often 15 K
    Example:
        >>> round(float(standard_temperature(altitude=1000.0)), 2)
        281.65
    Source: [ussa1976] table of the lowest layer
    """
    height = geopotential_altitude(altitude)
    inside = (height >= LOWEST_GEOPOTENTIAL) & (height <= TROPOPAUSE)
    return np.where(inside, const.SEA_LEVEL_TEMPERATURE - const.TEMPERATURE_LAPSE * height, np.nan)


def standard_pressure(altitude):
    """Pressure of the standard atmosphere.

    Arguments:
        altitude [m]: geometric altitude above sea level, any shape
    Returns:
        [Pa]: pressure, same shape
    Relation: P = P0 (T / T0)^(g0 / (R L))
    Holds for: geopotential altitude -5 km to 11 km
    Breaks when: outside that layer (returns nan)
    Errs: by the weather, up to 4 per cent either way
    Example:
        >>> round(float(standard_pressure(altitude=1000.0)), 0)
        89876.0
    Source: [ussa1976] barometric equation with a lapse
    """
    ratio = standard_temperature(altitude) / const.SEA_LEVEL_TEMPERATURE
    return const.SEA_LEVEL_PRESSURE * ratio ** PRESSURE_EXPONENT


def station_pressure(sea_level_pressure, altitude):
    """Pressure at the field from the pressure a weather report reduces to sea level.

    Arguments:
        sea_level_pressure [Pa]: reported pressure at sea level (altimeter setting), any shape
        altitude [m]: geometric altitude of the field, any shape
    Returns:
        [Pa]: pressure at the field, broadcast shape
    Relation: P = P0 ((Q / P0)^(1/n) - L H / T0)^n with n = g0 / (R L)
    Holds for: fields up to about 3 km, reports made with the standard lapse
    Breaks when: altitude outside -5 km to 11 km (returns nan)
    Errs: under 0.3 per cent for fields below 1 km
    Example:
        >>> round(float(station_pressure(sea_level_pressure=102000.0, altitude=350.0)), 0)
        97843.0
    Source: [ussa1976] barometric equation, used as altimeters use it
    """
    height = geopotential_altitude(altitude)
    inside = (height >= LOWEST_GEOPOTENTIAL) & (height <= TROPOPAUSE)
    height = np.where(inside, height, np.nan)
    base = (np.asarray(sea_level_pressure, dtype=float) / const.SEA_LEVEL_PRESSURE) ** (1.0 / PRESSURE_EXPONENT)
    ratio = base - const.TEMPERATURE_LAPSE * height / const.SEA_LEVEL_TEMPERATURE
    return const.SEA_LEVEL_PRESSURE * ratio ** PRESSURE_EXPONENT


def vapour_pressure(temperature, relative_humidity):
    """Partial pressure of water vapour.

    Arguments:
        temperature [K]: air temperature, any shape
        relative_humidity [1]: share of saturation over water, 0 to 1, any shape
    Returns:
        [Pa]: vapour pressure, broadcast shape
    Relation: e = h 611.2 exp(17.62 t / (243.12 + t)), t in kelvin above 273.15 K
    Holds for: -45 to 60 degrees Celsius, over water
    Breaks when: temperature outside 228.15 K to 333.15 K or humidity outside 0 to 1 (returns nan)
    Errs: low by up to 0.4 per cent at 20 to 35 degrees Celsius
    Example:
        >>> round(float(vapour_pressure(temperature=298.15, relative_humidity=0.5)), 0)
        1580.0
    Source: [wmo8] Magnus form for water
    """
    temperature = np.asarray(temperature, dtype=float)
    humidity = np.asarray(relative_humidity, dtype=float)
    above = temperature - const.ZERO_CELSIUS
    inside = (above >= -45.0) & (above <= 60.0) & (humidity >= 0.0) & (humidity <= 1.0)
    above = np.where(inside, above, np.nan)
    return humidity * const.MAGNUS_PRESSURE * np.exp(const.MAGNUS_SLOPE * above / (const.MAGNUS_TEMPERATURE + above))


def density(pressure, temperature, vapour_pressure=0.0):
    """Density of dry or humid air.

    Arguments:
        pressure [Pa]: static pressure of the air, any shape
        temperature [K]: air temperature, any shape
        vapour_pressure [Pa]: partial pressure of water vapour, 0 for dry air, any shape
    Returns:
        [kg/m^3]: density, broadcast shape
    Relation: rho = (P - (1 - 0.62198) e) / (R T)
    Holds for: an ideal gas mixture
    Breaks when: pressure or temperature <= 0, or more vapour than pressure (returns nan)
    Errs: low by under 0.05 per cent near sea level (real-gas factor left out)
    Example:
        >>> round(float(density(pressure=101325.0, temperature=308.15, vapour_pressure=2800.0)), 4)
        1.1335
    Source: [ussa1976] gas law; [wmo8] virtual temperature
    """
    pressure, temperature, vapour = np.broadcast_arrays(
        np.asarray(pressure, dtype=float), np.asarray(temperature, dtype=float), np.asarray(vapour_pressure, dtype=float))
    possible = (pressure > 0.0) & (temperature > 0.0) & (vapour >= 0.0) & (vapour <= pressure)
    with np.errstate(divide="ignore", invalid="ignore"):
        value = (pressure - (1.0 - const.WATER_VAPOUR_MASS_RATIO) * vapour) / (const.AIR_GAS_CONSTANT * temperature)
    return np.where(possible, value, np.nan)


def dynamic_viscosity(temperature):
    """Viscosity of air.

    Arguments:
        temperature [K]: air temperature, any shape
    Returns:
        [Pa s]: dynamic viscosity, same shape
    Relation: mu = 1.458e-6 T^1.5 / (T + 110.4)
    Holds for: 170 K to 1900 K, dry air
    Breaks when: temperature <= 0 (returns nan)
    Errs: high by under 0.5 per cent in humid summer air
    Example:
        >>> round(float(dynamic_viscosity(temperature=288.15)) * 1e5, 4)
        1.7894
    Source: [ussa1976] dynamic viscosity
    """
    temperature = np.asarray(temperature, dtype=float)
    temperature = np.where(temperature > 0.0, temperature, np.nan)
    return const.SUTHERLAND_COEFFICIENT * temperature ** 1.5 / (temperature + const.SUTHERLAND_TEMPERATURE)


def thermal_conductivity(temperature):
    """How well air at rest conducts heat.

    Arguments:
        temperature [K]: air temperature, any shape
    Returns:
        [W/(m K)]: thermal conductivity, same shape
    Relation: k = 2.64638e-3 T^1.5 / (T + 245.4 * 10^(-12/T))
    Holds for: 170 K to 1400 K, dry air
    Breaks when: temperature <= 0 (returns nan)
    Errs: 1 % low around 400 K against later measurements
    Example:
        >>> round(float(thermal_conductivity(temperature=288.15)), 5)
        0.02533
    Source: [ussa1976] Eq. 53
    """
    temperature = np.asarray(temperature, dtype=float)
    temperature = np.where(temperature > 0, temperature, np.nan)
    slow = const.AIR_CONDUCTION_TEMPERATURE * 10 ** (const.AIR_CONDUCTION_EXPONENT / temperature)
    return const.AIR_CONDUCTION_COEFFICIENT * temperature**1.5 / (temperature + slow)


def sound_speed(temperature):
    """Speed of sound in air.

    Arguments:
        temperature [K]: air temperature, any shape
    Returns:
        [m/s]: speed of sound, same shape
    Relation: a = sqrt(1.4 R T)
    Holds for: an ideal gas with a constant heat ratio
    Breaks when: temperature <= 0 (returns nan)
    Errs: low by under 0.5 per cent in humid summer air
    Example:
        >>> round(float(sound_speed(temperature=288.15)), 2)
        340.29
    Source: [ussa1976] speed of sound
    """
    temperature = np.asarray(temperature, dtype=float)
    temperature = np.where(temperature > 0.0, temperature, np.nan)
    return np.sqrt(const.HEAT_RATIO_AIR * const.AIR_GAS_CONSTANT * temperature)


def reynolds_number(density, speed, length, viscosity):
    """Reynolds number of a chord or a body.

    Arguments:
        density [kg/m^3]: air density, any shape
        speed [m/s]: airspeed, any shape
        length [m]: chord or body length, any shape
        viscosity [Pa s]: dynamic viscosity, any shape
    Returns:
        [1]: Reynolds number, broadcast shape
    Relation: Re = rho V l / mu
    Holds for: any flow
    Breaks when: viscosity = 0 (division by zero)
    Errs: nothing
    Example:
        >>> round(float(reynolds_number(density=1.225, speed=12.0, length=0.2, viscosity=1.7894e-5)), 0)
        164301.0
    Source: [anderson_foa] definition
    """
    return np.asarray(density, dtype=float) * speed * length / viscosity


def dynamic_pressure(density, speed):
    """Pressure rise that would stop the stream.

    Arguments:
        density [kg/m^3]: air density, any shape
        speed [m/s]: airspeed, any shape
    Returns:
        [Pa]: dynamic pressure, broadcast shape
    Relation: q = rho V^2 / 2
    Holds for: speeds far below that of sound
    Breaks when: never
    Errs: low by M^2 / 4
    Example:
        >>> float(dynamic_pressure(density=1.225, speed=12.0))
        88.2
    Source: [anderson_foa] definition
    """
    return 0.5 * np.asarray(density, dtype=float) * np.square(speed)


def standard_air(altitude, temperature_offset=0.0):
    """Air at an altitude, on the standard day or a warmer or colder one.

    Arguments:
        altitude [m]: geometric altitude above sea level, any shape
        temperature_offset [K]: how much warmer than the standard day, any shape
    Returns:
        temperature [K]: air temperature, broadcast shape
        pressure [Pa]: standard pressure of the altitude; the offset does not touch it
        density [kg/m^3]: density of dry air
        viscosity [Pa s]: dynamic viscosity
        kinematic_viscosity [m^2/s]: viscosity over density
        sound_speed [m/s]: speed of sound
    Relation: P = P_standard(Z), T = T_standard(Z) + offset, rho = P / (R T)
    Holds for: geopotential altitude -5 km to 11 km
    Breaks when: outside that layer (nan throughout)
    Errs: up to 4 per cent in density from weather and 1.5 per cent from humidity
    Example:
        >>> round(float(standard_air(altitude=1500.0, temperature_offset=20.0).density), 4)
        0.9872
    Source: [ussa1976] tables and equations
    """
    altitude, offset = np.broadcast_arrays(np.asarray(altitude, dtype=float), np.asarray(temperature_offset, dtype=float))
    return _state(standard_pressure(altitude), standard_temperature(altitude) + offset, np.zeros(altitude.shape))


def station_air(pressure, temperature, relative_humidity=0.0):
    """Air from what a weather station at the field shows.

    Arguments:
        pressure [Pa]: pressure at the field itself, not reduced to sea level, any shape
        temperature [K]: air temperature, any shape
        relative_humidity [1]: share of saturation, 0 to 1, any shape
    Returns:
        temperature [K]: air temperature, broadcast shape
        pressure [Pa]: pressure as given
        density [kg/m^3]: density with the vapour counted
        viscosity [Pa s]: dynamic viscosity of dry air
        kinematic_viscosity [m^2/s]: viscosity over density
        sound_speed [m/s]: speed of sound in dry air
    Relation: rho = P / (R Tv), Tv = T / (1 - 0.378 e / P)
    Holds for: -45 to 60 degrees Celsius
    Breaks when: humidity outside 0 to 1, pressure <= 0 (nan)
    Errs: density by as much as the pressure reading; 1 hPa is 0.1 per cent
    Example:
        >>> round(float(station_air(pressure=98000.0, temperature=303.15, relative_humidity=0.6).density), 4)
        1.1151
    Source: [wmo8] virtual temperature
    """
    pressure, temperature, humidity = np.broadcast_arrays(
        np.asarray(pressure, dtype=float), np.asarray(temperature, dtype=float), np.asarray(relative_humidity, dtype=float))
    return _state(pressure, temperature, vapour_pressure(temperature, humidity))


def density_altitude(density):
    """Altitude at which the standard atmosphere has the given density.

    Arguments:
        density [kg/m^3]: air density, any shape
    Returns:
        [m]: geometric altitude, same shape
    Relation: H = (T0 / L) (1 - (rho / rho0)^(1/(n-1))), Z = r0 H / (r0 - H)
    Holds for: geopotential altitude -5 km to 11 km
    Breaks when: the density belongs to no altitude of that layer (returns nan)
    Errs: nothing, it is the inverse of the standard atmosphere
    Example:
        >>> round(float(density_altitude(density=1.1)), 0)
        1107.0
    Source: [ussa1976] inverse of the density equation
    """
    density = np.asarray(density, dtype=float)
    sea_level = const.SEA_LEVEL_PRESSURE / (const.AIR_GAS_CONSTANT * const.SEA_LEVEL_TEMPERATURE)
    ratio = np.where(density > 0.0, density, np.nan) / sea_level
    height = const.SEA_LEVEL_TEMPERATURE / const.TEMPERATURE_LAPSE * (1.0 - ratio ** (1.0 / (PRESSURE_EXPONENT - 1.0)))
    inside = (height >= LOWEST_GEOPOTENTIAL) & (height <= TROPOPAUSE)
    return np.where(inside, const.EARTH_RADIUS * height / (const.EARTH_RADIUS - height), np.nan)


def _state(pressure, temperature, vapour):
    rho = density(pressure, temperature, vapour)
    mu = dynamic_viscosity(temperature)
    return Air(temperature=temperature, pressure=pressure, density=rho, viscosity=mu,
               kinematic_viscosity=mu / rho, sound_speed=sound_speed(temperature))
