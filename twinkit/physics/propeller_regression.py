"""A regression of CT and CP of two-bladed propellers, kept as an independent cross-check of the blade element model."""

import numpy as np

from twinkit.physics.propeller import Coefficients

REFERENCE_REYNOLDS = 4.0e5       # rho n D^2/mu the fit is centred on, part of its definition
PITCH_RATIO_RANGE = (0.3, 1.2)


def regression(n, advance_ratio, diameter, pitch, style, terms, density, viscosity):
    """Thrust and power coefficients of a two-bladed propeller by regression.

    Arguments:
        n [1/s]: revolutions per second, any shape
        advance_ratio [1]: V/(n D), any shape
        diameter [m]: propeller diameter, any shape
        pitch [m]: nominal pitch, any shape
        style [choice]: "electric", "folding", "slowfly" or "sport"
        terms [object]: mapping of columns style, j_power, p_power, x_power, ct, cp
        density [kg/m^3]: air density, any shape
        viscosity [Pa s]: dynamic viscosity of the air, any shape
    Returns:
        ct [1]: thrust coefficient, broadcast shape
        cp [1]: power coefficient, broadcast shape
        inside [1]: False where pitch/diameter, J or the sign of thrust is out of range
    Relation: sum of coefficient times term in J, p = pitch/D and X = ln(rho n D^2/(4e5 mu))
    Holds for: two blades, p from 0.3 to 1.2, J from 0 to zero thrust
    Breaks when: outside that range (a polynomial)
    Errs: as the blade element model, on the same measured propellers
    Example:
        >>> terms = {"style": ["all"] * 4, "j_power": [0, 1, 0, 0], "p_power": [0, 0, 1, 0], "x_power": [0, 0, 0, 1],
        ...          "ct": [0.014, -0.12, 0.18, 0.006], "cp": [0.001, -0.03, 0.08, -0.002]}
        >>> both = regression(n=100.0, advance_ratio=0.4, diameter=0.2032, pitch=0.1524, style="electric", terms=terms, density=1.225,
        ...                   viscosity=1.81e-5)
        >>> round(float(both.ct), 4), round(float(both.cp), 4)
        (0.0988, 0.0497)
    Source: [twinkit_propeller_fit] ridge regression, 22 terms each
    """
    given = np.broadcast_arrays(*(np.asarray(a, float) for a in (n, advance_ratio, diameter, pitch, density, viscosity)))
    n, advance, diameter, pitch, density, viscosity = given
    ratio = pitch / diameter
    reynolds = np.log(density * n * diameter**2 / viscosity / REFERENCE_REYNOLDS)
    ct, cp = np.zeros(n.shape), np.zeros(n.shape)
    columns = (terms[name] for name in ("style", "j_power", "p_power", "x_power", "ct", "cp"))
    for family, in_j, in_p, in_x, in_ct, in_cp in zip(*columns):
        if family in ("all", style):
            value = advance**in_j * ratio**in_p * reynolds**in_x
            ct, cp = ct + in_ct * value, cp + in_cp * value
    inside = (ratio >= PITCH_RATIO_RANGE[0]) & (ratio <= PITCH_RATIO_RANGE[1]) & (advance >= 0.0) & (ct >= 0.0)
    return Coefficients(ct, cp, inside)
