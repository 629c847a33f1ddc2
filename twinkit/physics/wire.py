"""Wires, contacts and leads: resistance, mass, inductance, drop, heat and ground shift."""

from dataclasses import dataclass

import numpy as np
from scipy.special import jve

from twinkit import constants as k


@dataclass(frozen=True)
class Lead:
    """What a pair of wires with its contacts costs at one current (SI)."""

    resistance: np.ndarray
    drop: np.ndarray
    loss: np.ndarray
    ground_shift: np.ndarray


@dataclass(frozen=True)
class MotorLeads:
    """What three lengthened motor wires cost at one motor current (SI)."""

    phase_rms: np.ndarray
    drop: np.ndarray
    loss: np.ndarray


@dataclass(frozen=True)
class Ampacity:
    """Current a wire may carry, for good and for a short burst (SI)."""

    continuous: np.ndarray
    burst: np.ndarray


def gauge_diameter(gauge):
    """Copper diameter of an American Wire Gauge number.

    Arguments:
        gauge [1]: gauge number, any shape; 00 is -1, 000 is -2
    Returns:
        [m]: diameter of the solid conductor
    Relation: d = 0.127 mm * 92^((36 - n)/39)
    Holds for: solid round wire; stranded wire of the same number has the same copper area
    Breaks when: the seller's number is not true to the standard
    Errs: cheap fine-strand wire often holds less copper than its number says; weigh or measure a metre
    Example:
        >>> round(float(gauge_diameter(gauge=14)) * 1e3, 3)
        1.628
    Source: [astm_b258] definition of the gauge
    """
    steps = (k.AWG_BASE_GAUGE - np.asarray(gauge, float)) / k.AWG_SPAN_STEPS
    return k.AWG_BASE_DIAMETER * k.AWG_SPAN_RATIO**steps


def gauge_area(gauge):
    """Copper cross-section of an American Wire Gauge number.

    Arguments:
        gauge [1]: gauge number, any shape
    Returns:
        [m^2]: copper area
    Relation: S = pi d^2 / 4
    Holds for: solid and stranded wire true to its number
    Breaks when: as gauge_diameter
    Errs: as gauge_diameter
    Example:
        >>> round(float(gauge_area(gauge=14)) * 1e6, 3)
        2.081
    Source: [astm_b258] definition of the gauge
    """
    return np.pi / 4 * gauge_diameter(gauge) ** 2


def area_gauge(area):
    """Gauge number (not rounded) of a copper cross-section, for wire sold in mm2.

    Arguments:
        area [m^2]: copper area, any shape
    Returns:
        [1]: gauge number, a fraction in general
    Relation: n = 36 - 39 ln(d / 0.127 mm) / ln 92
    Holds for: any positive area
    Breaks when: area <= 0 (returns nan)
    Errs: not at all; the inverse of gauge_area
    Example:
        >>> round(float(area_gauge(area=2.5e-6)), 2)
        13.21
    Source: [astm_b258] definition of the gauge
    """
    area = np.asarray(area, float)
    diameter = np.sqrt(np.where(area > 0, area, np.nan) * 4 / np.pi)
    return k.AWG_BASE_GAUGE - k.AWG_SPAN_STEPS * np.log(diameter / k.AWG_BASE_DIAMETER) / np.log(k.AWG_SPAN_RATIO)


def resistance_per_metre(area, temperature=k.COPPER_REFERENCE_TEMPERATURE, lay_factor=1.0):
    """Direct-current resistance of one copper wire per metre of its length.

    Arguments:
        area [m^2]: copper area, any shape
        temperature [K]: copper temperature, any shape
        lay_factor [1]: longer path of twisted, tinned strands, any shape; 1.02 to 1.04 for silicone wire
    Returns:
        [ohm/m]: resistance per metre
    Relation: r' = lay rho20 [1 + alpha (T - 293.15)] / S
    Holds for: annealed copper, -40 to 200 degC
    Breaks when: area <= 0 (returns nan); copper-clad aluminium (about 1.6 times as much)
    Errs: low for wire with less copper than stated
    Example:
        >>> round(float(resistance_per_metre(area=0.823e-6, temperature=333.15, lay_factor=1.02)) * 1e3, 2)
        24.73
    Source: [iec60028] standard resistivity and temperature coefficient
    """
    area = np.asarray(area, float)
    warm = 1 + k.COPPER_TEMPERATURE_COEFFICIENT * (np.asarray(temperature, float) - k.COPPER_REFERENCE_TEMPERATURE)
    return lay_factor * k.COPPER_RESISTIVITY * warm / np.where(area > 0, area, np.nan)


def silicone_wire_mass(area, outer_diameter, lay_factor=1.02, bundle_ratio=1.15, silicone_density=1250.0):
    """Mass per metre of one stranded wire in silicone, estimated from its make-up.

    Arguments:
        area [m^2]: copper area, any shape
        outer_diameter [m]: outside diameter of the insulation, any shape
        lay_factor [1]: extra copper from the twist of the strands, any shape
        bundle_ratio [1]: diameter of the strand bundle over that of solid wire, any shape
        silicone_density [kg/m^3]: density of the insulation, any shape
    Returns:
        [kg/m]: mass per metre of one wire
    Relation: m' = lay rho_cu S + rho_si pi/4 (OD^2 - (1.15 d)^2)
    Holds for: AWG 10 to 26 in the usual wall thickness
    Breaks when: the bundle does not fit into the outside diameter (returns nan)
    Errs: either way by some 10 %, no published mass was found; weigh a metre of your wire
    Example:
        >>> mass = silicone_wire_mass(area=2.081e-6, outer_diameter=3.5e-3, lay_factor=1.02,
        ...                           bundle_ratio=1.15, silicone_density=1250.0)
        >>> round(float(mass) * 1e3, 1)
        27.5
    Source: [iec60028] copper density; the make-up is our estimate
    """
    area, outer = np.asarray(area, float), np.asarray(outer_diameter, float)
    bundle = np.square(bundle_ratio) * area
    sheath = np.pi / 4 * outer**2 - bundle
    return lay_factor * k.COPPER_DENSITY * area + silicone_density * np.where(sheath >= 0, sheath, np.nan)


def skin_depth(frequency, temperature=k.COPPER_REFERENCE_TEMPERATURE):
    """Depth in copper at which an alternating current has fallen to 1/e.

    Arguments:
        frequency [Hz]: frequency, any shape
        temperature [K]: copper temperature, any shape
    Returns:
        [m]: skin depth; infinite at zero frequency
    Relation: delta = sqrt(rho / (pi f mu0))
    Holds for: a conductor thick against the depth
    Breaks when: frequency < 0 (returns nan)
    Errs: not in the range of use
    Example:
        >>> round(float(skin_depth(frequency=16e3, temperature=293.15)) * 1e3, 3)
        0.522
    Source: [ramo_fields] skin effect in a plane conductor
    """
    resistivity = resistance_per_metre(1.0, temperature)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.sqrt(resistivity / (np.pi * np.asarray(frequency, float) * k.VACUUM_PERMEABILITY))


def pair_inductance(spacing, diameter, frequency=0.0, temperature=k.COPPER_REFERENCE_TEMPERATURE):
    """Loop inductance of two parallel wires per metre of pair (one way).

    Arguments:
        spacing [m]: distance between the two wire centres, any shape
        diameter [m]: diameter of the conductor (of the strand bundle in stranded wire), any shape
        frequency [Hz]: frequency of the current, any shape; 0 for slow changes
        temperature [K]: copper temperature, any shape
    Returns:
        [H/m]: inductance of the go-and-return loop per metre
    Relation: L' = (mu0/pi) {acosh(s/d) + phi [ln(2 s/d) - acosh(s/d) + 1/4]}; phi = the internal inductance of a
        round wire over its value at 0 Hz = 2 (delta/a) Im[(1 - j) J0(z)/J1(z)], z = (1 - j) a/delta, a = d/2
    Holds for: long straight pair; exact at 0 Hz (even current) and at the limit of a thin skin
    Breaks when: spacing < diameter (returns nan); loops about as wide as long
    Errs: between the two limits up to 2 % high for s >= 1.8 d and 3 % at 1.5 d (against a filament model)
    Example:
        >>> round(float(pair_inductance(spacing=3.5e-3, diameter=1.872e-3, frequency=16e3, temperature=293.15)) * 1e9)
        616
    Source: [grover_inductance] parallel round wires; [ramo_fields] internal impedance of a round wire
    """
    ratio = np.asarray(spacing, float) / diameter
    ratio = np.where(ratio >= 1, ratio, np.nan)
    relative = np.asarray(diameter, float) / 2 / skin_depth(frequency, temperature)
    z = (1 - 1j) * np.maximum(relative, 1e-2)
    inner = 2 * np.imag((1 - 1j) * jve(0, z) / jve(1, z)) / np.real(z)
    inner = np.where(relative > 1e-2, inner, 1.0)
    thin_skin = np.arccosh(ratio)
    return k.VACUUM_PERMEABILITY / np.pi * (thin_skin + inner * (np.log(2 * ratio) - thin_skin + 0.25))


def lead(current, length, area, temperature=k.COPPER_REFERENCE_TEMPERATURE, contact_resistance=0.0, contacts=0,
         lay_factor=1.0):
    """Drop and heat of a go-and-return pair with its contacts: battery lead, servo extension, Y-lead.

    Arguments:
        current [A]: current, any shape
        length [m]: length one way, any shape
        area [m^2]: copper area of each wire, any shape
        temperature [K]: copper temperature, any shape
        contact_resistance [ohm]: one contact, any shape; servo plug 0.005 to 0.015, common practice
        contacts [1]: contacts in the loop, plus and minus side counted, any shape
        lay_factor [1]: see resistance_per_metre, any shape
    Returns:
        resistance [ohm]: the loop
        drop [V]: lost on the way there and back
        loss [W]: heat in wire and contacts
        ground_shift [V]: rise of the far ground, the return half of the drop
    Relation: R = 2 l r' + n R_c; drop = I R; loss = I^2 R; shift = I R / 2
    Holds for: direct current, both wires alike, half of the contacts in the return
    Breaks when: a trunk carries the sum of several branches: call once per stretch with its own current
    Errs: low with worn or dirty contacts
    Example:
        >>> path = lead(current=0.8, length=0.6, area=1.288e-7, temperature=293.15, contact_resistance=0.01,
        ...             contacts=4, lay_factor=1.0)
        >>> round(float(path.drop), 3)
        0.161
    Source: [iec60028] copper; [common_practice] contact resistance
    """
    resistance = (2 * np.asarray(length, float) * resistance_per_metre(area, temperature, lay_factor)
                  + np.asarray(contacts, float) * contact_resistance)
    drop = np.asarray(current, float) * resistance
    return Lead(resistance, drop, drop * current, drop / 2)


def motor_leads(current, length, area, temperature=k.COPPER_REFERENCE_TEMPERATURE, lay_factor=1.0):
    """Drop and heat of three motor wires between controller and motor (six-step drive).

    Arguments:
        current [A]: motor current (amplitude of the six-step wave), any shape
        length [m]: length of each of the three wires, any shape
        area [m^2]: copper area of each wire, any shape
        temperature [K]: copper temperature, any shape
        lay_factor [1]: see resistance_per_metre, any shape
    Returns:
        phase_rms [A]: current in each wire, root mean square
        drop [V]: lost in the two wires that carry current at any moment
        loss [W]: heat in all three wires
    Relation: I_ph = I sqrt(2/3); drop = 2 r' l I; loss = 3 r' l I_ph^2 = 2 r' l I^2
    Holds for: 120-degree blocks, three equal wires
    Breaks when: one wire differs in length or gauge
    Errs: low by the skin effect at high speed, under 1 % up to AWG 14
    Example:
        >>> wires = motor_leads(current=12.0, length=0.3, area=0.823e-6, temperature=293.15, lay_factor=1.0)
        >>> round(float(wires.loss), 2)
        1.81
    Source: [six_step] current shape of 120-degree conduction
    """
    current = np.asarray(current, float)
    drop = 2 * np.asarray(length, float) * resistance_per_metre(area, temperature, lay_factor) * current
    return MotorLeads(np.sqrt(2 / 3) * current, drop, drop * current)


def ampacity(area, table_area, table_current, burst_factor=1.5):
    """Current a wire may carry, between the rows of a published table.

    Arguments:
        area [m^2]: copper area, any shape
        table_area [m^2]: copper areas of the table, one row
        table_current [A]: continuous currents of the table, one row
        burst_factor [1]: allowance for bursts under 20 s in moving air, any shape; 1.5 for 200 degC silicone
    Returns:
        continuous [A]: allowed for good
        burst [A]: allowed for under 20 s
    Relation: straight line in ln I against ln S; burst = factor x continuous
    Holds for: single wires in air, within the table
    Breaks when: the area lies outside the table (returns nan); bundled or buried wires
    Errs: tables differ by half between each other; the drop is a limit of its own, check both
    Example:
        >>> amps = ampacity(area=1.5e-6, table_area=[1.309e-6, 2.081e-6], table_current=[22.0, 32.0], burst_factor=1.5)
        >>> round(float(amps.continuous), 1)
        24.6
    Source: [electronic_tables] chassis wiring; [common_practice] burst factor
    """
    order = np.argsort(table_area)
    rows = np.log(np.asarray(table_area, float)[order])
    with np.errstate(divide="ignore", invalid="ignore"):
        wanted = np.log(np.asarray(area, float))
    inside = (wanted >= rows[0] - 1e-9) & (wanted <= rows[-1] + 1e-9)
    amps = np.exp(np.interp(wanted, rows, np.log(np.asarray(table_current, float)[order])))
    continuous = np.where(inside, amps, np.nan)
    return Ampacity(continuous, continuous * burst_factor)


def ground_loop_current(current_left, current_right, negative_left, negative_right, servo_ground):
    """Current that unequal power negatives of one shared pack push through the two servo grounds.

    Arguments:
        current_left [A]: pack current of the left controller, any shape
        current_right [A]: pack current of the right controller, any shape
        negative_left [ohm]: negative wire from the common point to the left controller, any shape
        negative_right [ohm]: the same on the right, any shape
        servo_ground [ohm]: left controller to receiver to right controller by the servo grounds, any shape
    Returns:
        [A]: current from the left to the right controller's ground through the receiver
    Relation: I_g = (I_l R_l - I_r R_r) / (R_l + R_r + R_g)
    Holds for: both controllers with their power and servo grounds joined inside
    Breaks when: a power negative is open: then the whole motor current returns by the servo ground and burns it
    Errs: high if the plugs in the servo grounds are worse than counted
    Example:
        >>> shunt = ground_loop_current(current_left=20.0, current_right=18.0, negative_left=0.005,
        ...                             negative_right=0.003, servo_ground=0.1203)
        >>> round(float(shunt), 3)
        0.359
    Source: [nilsson_circuits] current divider
    """
    left = np.asarray(current_left, float) * negative_left
    right = np.asarray(current_right, float) * negative_right
    return (left - right) / (np.asarray(negative_left, float) + negative_right + servo_ground)
