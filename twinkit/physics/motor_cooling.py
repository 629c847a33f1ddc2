"""How an outrunner sheds its heat into the stream of its propeller, and how long it takes to get hot."""

import numpy as np


def cylinder_film_coefficient(speed, diameter, density, viscosity, conductivity, prandtl):
    """Heat carried from a cylinder into a stream across it, mean over its surface.

    Arguments:
        speed [m/s]: speed of the stream, any shape
        diameter [m]: diameter of the cylinder, any shape
        density [kg/m^3]: density of the air at the mean of wall and stream temperature, any shape
        viscosity [Pa s]: dynamic viscosity there, any shape
        conductivity [W/(m K)]: heat conductivity of the air there, any shape
        prandtl [1]: Prandtl number of the air there, any shape
    Returns:
        [W/(m^2 K)]: film coefficient, broadcast shape
    Relation: Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3)/(1 + (0.4/Pr)^(2/3))^(1/4) (1 + (Re/282000)^(5/8))^(4/5), h = Nu k/D
    Holds for: Re Pr above 0.2, a smooth cylinder across the stream
    Breaks when: the stream stands still and the cylinder's own warm air carries the heat
    Errs: by 20 per cent either way on smooth cylinders
    Example:
        >>> round(float(cylinder_film_coefficient(speed=10.0, diameter=0.0127, density=0.995, viscosity=2.082e-5, conductivity=0.030, prandtl=0.70)), 1)
        96.0
    Source: [churchill_bernstein] equation for all Reynolds numbers
    """
    reynolds = np.asarray(density, float) * speed * diameter / viscosity
    turn = (1.0 + (reynolds / 282000.0) ** 0.625) ** 0.8
    nusselt = 0.3 + 0.62 * np.sqrt(reynolds) * np.cbrt(prandtl) / (1.0 + (0.4 / np.asarray(prandtl, float)) ** (2.0 / 3.0)) ** 0.25 * turn
    return nusselt * conductivity / diameter


def motor_size(mass, mean_density):
    """Diameter and surface of a motor as long as it is wide.

    Arguments:
        mass [kg]: motor mass, any shape
        mean_density [kg/m^3]: mass over the volume of its outline, any shape
    Returns:
        diameter [m]: diameter, shape of mass
        area [m^2]: mantle and both ends, shape of mass
    Relation: m = rho pi D^3/4, A = 3 pi D^2/2
    Holds for: outrunners, whose length and diameter differ little
    Breaks when: pancake and long motors
    Errs: by 10 per cent in area between length = 0.6 and 1.3 diameters
    Example:
        >>> diameter, area = motor_size(mass=0.054, mean_density=3000.0)
        >>> round(float(diameter), 4), round(float(area), 5)
        (0.0284, 0.0038)
    Source: [mechanics] volume and surface of a cylinder
    """
    diameter = np.cbrt(4.0 * np.asarray(mass, float) / (np.pi * np.asarray(mean_density, float)))
    return diameter, 1.5 * np.pi * diameter**2


def disc_stream(thrust, airspeed, diameter, density):
    """Speed of the air through a propeller's disc.

    Arguments:
        thrust [N]: thrust, any shape
        airspeed [m/s]: speed along the axis, any shape
        diameter [m]: propeller diameter, any shape
        density [kg/m^3]: air density, any shape
    Returns:
        [m/s]: mean speed through the disc, broadcast shape
    Relation: (V + sqrt(V^2 + 2 T/(rho A)))/2
    Holds for: a pulling propeller
    Breaks when: it brakes (a negative thrust counts as none)
    Errs: high at the hub, where the blades hardly pull and where the motor sits
    Example:
        >>> round(float(disc_stream(thrust=5.0, airspeed=4.0, diameter=0.2032, density=1.225)), 2)
        10.18
    Source: [glauert_airscrew] momentum theory
    """
    load = 2.0 * np.maximum(thrust, 0.0) / (np.asarray(density, float) * np.pi / 4.0 * np.asarray(diameter, float) ** 2)
    return 0.5 * (np.asarray(airspeed, float) + np.sqrt(np.asarray(airspeed, float) ** 2 + load))


def time_to_heat(ambient, rise, gain, limit, time_constant):
    """Time from the temperature of the air to a limit, at a held current.

    Arguments:
        ambient [K]: temperature of the air, from which it begins, any shape
        rise [K]: rise at which the heat made in the cold motor would settle, any shape
        gain [1]: share of a rise that comes back as more heat from the warmer copper, any shape
        limit [K]: temperature asked for, any shape
        time_constant [s]: heat capacity times thermal resistance, any shape
    Returns:
        [s]: time, inf when it settles below the limit, broadcast shape
    Relation: T - Ta = rise/(1 - gain) (1 - exp(-(1 - gain) t/tau)), solved for t
    Holds for: one lump, steady cooling; a gain above 1 runs away
    Breaks when: winding and iron part company, in the first seconds
    Errs: high for the winding, which runs ahead of the iron; low for the outside
    Example:
        >>> round(float(time_to_heat(ambient=293.15, rise=100.0, gain=0.25, limit=363.15, time_constant=90.0)), 1)
        89.3
    Source: [mechanics] one heat capacity behind one resistance
    """
    left = 1.0 - np.asarray(gain, float)
    wanted = (np.asarray(limit, float) - ambient) / np.asarray(rise, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        time = np.where(np.abs(left) < 1e-9, wanted, -np.log1p(-np.minimum(wanted * left, 1.0)) / np.where(left == 0.0, 1.0, left))
    return np.asarray(time_constant, float) * np.where(wanted <= 0.0, 0.0, time)
