"""How warm a wire grows in still air: free convection round a cylinder and radiation."""

import numpy as np

from twinkit import constants as k
from twinkit.physics import air

ROUNDS, STEP = 15, 0.75  # each round leaves at most a third of the error of the one before, with this share of the way to the new value (in logarithms)


def surface_coefficient(rise, diameter, air_temperature, emissivity=0.9, pressure=k.SEA_LEVEL_PRESSURE):
    """Heat that a horizontal cylinder gives to still air and to walls as warm as the air, for each square metre and kelvin.

    Arguments:
        rise [K]: surface temperature less air temperature, any shape
        diameter [m]: outside diameter, any shape
        air_temperature [K]: air far away, any shape
        emissivity [1]: of the surface for heat radiation, any shape; 0.9 for silicone and most plastics
        pressure [Pa]: air pressure, any shape
    Returns:
        [W/(m^2 K)]: convection and radiation together
    Relation: Nu = {0.60 + 0.387 Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27)}^2 at the film temperature; h = Nu k/d
        + eps sigma (Ts^2 + Ta^2)(Ts + Ta)
    Holds for: Ra 1e-5 to 1e12, horizontal cylinder in the open
    Breaks when: diameter <= 0 (returns nan)
    Errs: low in moving air, several times; high in a tunnel of foam
    Example:
        >>> both = surface_coefficient(rise=20.0, diameter=3.5e-3, air_temperature=298.15, emissivity=0.9, pressure=101325.0)
        >>> round(float(both), 1)
        18.0
    Source: [churchill_chu] free convection; [bergman_heat] radiation between a small body and its surroundings
    """
    rise, diameter = np.asarray(rise, float), np.asarray(diameter, float)
    diameter = np.where(diameter > 0, diameter, np.nan)
    air_temperature = np.asarray(air_temperature, float)
    surface, film = air_temperature + rise, air_temperature + rise / 2
    conduction, viscosity = air.thermal_conductivity(film), air.dynamic_viscosity(film)
    density = np.asarray(pressure, float) / (k.AIR_GAS_CONSTANT * film)
    heat_capacity = k.HEAT_RATIO_AIR / (k.HEAT_RATIO_AIR - 1) * k.AIR_GAS_CONSTANT
    prandtl = viscosity * heat_capacity / conduction
    rayleigh = k.STANDARD_GRAVITY * np.abs(rise) / film * diameter**3 * prandtl * (density / viscosity) ** 2
    nusselt = (0.60 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
    radiation = emissivity * k.STEFAN_BOLTZMANN * (surface**2 + air_temperature**2) * (surface + air_temperature)
    return nusselt * conduction / diameter + radiation


def free_air_rise(heat, diameter, air_temperature, emissivity=0.9, pressure=k.SEA_LEVEL_PRESSURE):
    """How much warmer than the air the outside of a wire grows when it gives off this heat.

    Arguments:
        heat [W/m]: heat of one wire for each metre, any shape
        diameter [m]: outside diameter, any shape
        air_temperature [K]: air far away, any shape
        emissivity [1]: of the surface for heat radiation, any shape
        pressure [Pa]: air pressure, any shape
    Returns:
        [K]: steady rise over the air
    Relation: heat = pi d h(rise) rise, solved by iteration
    Holds for: as surface_coefficient; after some minutes of steady current
    Breaks when: diameter <= 0 (returns nan)
    Errs: low for wires bundled or shut in foam; high in the propeller's wind and for short runs
    Example:
        >>> rise = free_air_rise(heat=1.2, diameter=3.5e-3, air_temperature=313.15, emissivity=0.9, pressure=101325.0)
        >>> round(float(rise), 1)
        6.6
    Source: [churchill_chu] free convection
    """
    diameter = np.asarray(diameter, float)
    bare = np.asarray(heat, float) / (np.pi * np.where(diameter > 0, diameter, np.nan))
    rise = bare / 15.0
    for _ in range(ROUNDS):
        rise = rise ** (1 - STEP) * (bare / surface_coefficient(rise, diameter, air_temperature, emissivity, pressure)) ** STEP
    return rise
