"""The parts of a drive from the record: motor, controller, propeller and pack of each side as they run, and how far off each number may be."""

import functools
from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.constants import SEA_LEVEL_PRESSURE, SEA_LEVEL_TEMPERATURE
from twinkit.design.pack_register import measured_resistance
from twinkit.physics import air as atmosphere
from twinkit.physics import motor, propeller
from twinkit.physics import pack as packs
from twinkit.physics.propeller_table import PropellerTable, propeller_table

SIDES = ("left", "right")
FOREIGN = 3.0            # standard deviations of the model beyond which a bench reading belongs to another propeller
SHAPE = ("propeller_diameter", "propeller_pitch", "blades", "propeller_style")     # what a propeller's table is made from
SOURCES_OF_ERROR = ("ct", "cp", "kv", "resistance", "supply", "no_load")


@dataclass(frozen=True)
class Pack:
    """One pack: capacity [C], resistance of the whole pack now [ohm] with its one-sigma share, resting volts at the charge looked at, half full and full."""

    side: str
    name: str
    cells: int
    capacity: float
    c_rating: float
    resistance: float
    resistance_band: float
    measured: bool
    emf: float
    emf_half: float
    emf_full: float

    @property
    def label_current(self):
        """Current the label's C promises [A]; None without a label."""
        return None if self.c_rating is None else self.c_rating * self.capacity / 3600.0


@dataclass(frozen=True)
class SideDrive:
    """One side, SI. resistance and kv are those it runs with; emf and supply_resistance those of what feeds it (a pack, or two joined).

    lead_resistance carries the pack current of this side, series_resistance (bridge and motor leads) its motor current. resistance_growth [ohm s/rad]: what
    resistance grows by with speed; told_at: the speed at which the running resistance is told [rad/s], 0 without growth.
    band_static and band_flight are one standard deviation of the thrust at full throttle over the thrust, band_current that of the static motor current.
    reasons say what lies outside the range the propeller's band was found in.
    """

    side: str
    motor_name: str
    kv: float
    kv_label: float
    kv_from: str
    resistance: float
    catalogue_resistance: float
    resistance_from: str
    no_load_base: float
    no_load_slope: float
    no_load_from: str
    motor_mass: float
    motor_current_limit: float
    propeller_diameter: float
    propeller_pitch: float
    blades: int
    propeller_style: str
    propeller_hand: str
    table: PropellerTable
    thrust_factor: float
    torque_factor: float
    propeller_measured: str
    bench_fits: bool
    controller_name: str
    controller_current: float
    controller_cells: int
    controller_resistance: float
    series_resistance: float
    lead_resistance: float
    idle_current: float
    pack: Pack
    emf: float
    emf_half: float
    emf_full: float
    supply_resistance: float
    resistance_band: float
    kv_band: float
    no_load_band: float
    supply_band: float
    resistance_growth: float = 0.0
    told_at: float = 0.0
    band_static: float = None
    band_flight: float = None
    band_current: float = None
    reasons: tuple = ()

    @property
    def running_resistance(self):
        """All in the motor's path, at the speed it was read at [ohm]."""
        return self.resistance + self.resistance_growth * self.told_at + self.series_resistance

    @property
    def propeller_words(self):
        """The propeller as people write it: 8x5."""
        return f"{self.propeller_diameter / 0.0254:g}x{self.propeller_pitch / 0.0254:g}"


@functools.lru_cache(maxsize=64)
def _table(diameter, pitch, blades, style, viscosity):
    """The tabulated propeller, made at sea-level density; other densities are looked up at equal Reynolds number."""
    shape = propeller.Style.from_columns(style, tables.read("propeller/styles").columns, tables.read("propeller/chords").columns)
    section = propeller.SectionModel(**tables.values("propeller/section"))
    density = float(atmosphere.density(pressure=SEA_LEVEL_PRESSURE, temperature=SEA_LEVEL_TEMPERATURE))
    return propeller_table(diameter, pitch, blades, shape, section, density, viscosity)


@functools.cache
def _bands():
    return propeller.Bands.from_columns(tables.read("propeller/bands").columns, tables.values("propeller/band_limits"))


def spread(low, mode, high):
    """Standard deviation over the mode, of a triangle on its ends: how a most likely value with ends is read as a band."""
    return float(np.sqrt((low**2 + mode**2 + high**2 - low * mode - low * high - mode * high) / 18.0) / mode)


def _motor(g, side, measured):
    """Kv, resistance and no-load current a motor runs with, where each comes from, and their bands; None while something is missing."""
    usual, own = tables.values("motor/defaults"), lambda name: f"power.{side}.{name}"
    label, catalogue, idle, mass = g(own("kv")), g.maybe(own("motor_resistance")), g.maybe(own("no_load_current")), g.maybe(own("motor_mass"))
    estimated = (catalogue is None and measured.running_resistance is None, idle is None and measured.no_load_base is None)
    if mass is None and any(estimated):
        g.lack(own("motor_mass"))
    if label is None or (mass is None and any(estimated)):
        return None
    kv, kv_from, kv_band = usual["kv_share"] * label, "label", spread(usual["kv_share_low"], usual["kv_share"], usual["kv_share_high"])
    if measured.kv is not None:
        kv, kv_from, kv_band = measured.kv, "bench", measured.kv_sigma / measured.kv
    band = spread(usual["running_factor_low"], usual["running_factor"], usual["running_factor_high"])
    resistance_from = "label"
    if estimated[0]:
        g.assume(own("motor_resistance"))
        catalogue, resistance_from = float(motor.resistance_estimate(label, mass, usual["resistance_constant"])), "estimate"
        band = float(np.hypot(band, spread(usual["resistance_constant_low"], usual["resistance_constant"], usual["resistance_constant_high"])))
    running, growth, speed = None if catalogue is None else usual["running_factor"] * catalogue, 0.0, 0.0
    if measured.running_resistance is not None:
        running, resistance_from, band = measured.running_resistance, "bench", measured.resistance_sigma / measured.running_resistance
        if measured.resistance_from == "one reading":
            speed = float(np.mean([p.speed for p in measured.loaded]))
            growth = growth_after_reading(running, speed)
    return dict(kv=kv, kv_label=label, kv_from=kv_from, kv_band=kv_band, resistance=running, catalogue_resistance=catalogue,
                resistance_from=resistance_from, resistance_band=band, resistance_growth=growth, told_at=speed, **_no_load(g, side, measured, idle, mass, kv, running),
                motor_mass=mass, motor_current_limit=g.maybe(own("motor_current_limit")), motor_name=g.maybe(own("motor_name")) or f"{side} motor")


def growth_after_reading(resistance, speed):
    """Growth of a running resistance read at one speed [ohm s/rad]: the middle of the usual range, but no more than half of it may be growth."""
    usual = tables.values("motor/defaults")
    return min(0.5 * (usual["resistance_growth_low"] + usual["resistance_growth_high"]), growth_bound(resistance, speed))


def growth_bound(resistance, speed):
    """The growth with which half of a resistance read at a speed is growth [ohm s/rad]."""
    return 0.5 * resistance / speed


def _no_load(g, side, measured, idle, mass, kv, running):
    """The no-load current as a part that stays and a part that grows with speed. From one reading: it grows about with the root of the speed,
    taken as its tangent at the reading."""
    assumed = tables.values("power/assumptions")
    if measured.no_load_base is not None:
        return {"no_load_base": measured.no_load_base, "no_load_slope": measured.no_load_slope, "no_load_from": "bench", "no_load_band": 0.0}
    source, band = "label", 0.0
    if idle is None:
        g.assume(f"power.{side}.no_load_current")
        source, band = "estimate", assumed["no_load_band"] / np.sqrt(3.0)
        idle = float(motor.no_load_estimate(mass, tables.values("motor/defaults")["no_load_per_mass"]))
    at = kv * max(g(f"power.{side}.no_load_volts") - idle * running, 1.0)
    return {"no_load_base": idle / 2.0, "no_load_slope": idle / 2.0 / at, "no_load_from": source, "no_load_band": float(band)}


def _pack(g, side):
    """A pack at its age and temperature."""
    usual, assumed = tables.values("pack/defaults"), tables.values("power/assumptions")
    own = lambda name: f"power.{side}.{name}"  # noqa: E731
    cells, capacity, rating, measured = g(own("cells")), g(own("capacity")), g.maybe(own("c_rating")), g.maybe(own("pack_resistance"))
    measured = measured if measured is not None else measured_resistance(g, side)
    charge, temperature = g("power.charge"), g("power.pack_temperature")
    if measured is None and rating is None:
        g.lack(own("c_rating"))
    if cells is None or capacity is None or (measured is None and rating is None):
        return None
    cells = int(cells)
    factor = functools.partial(packs.temperature_factor, activation=usual["temperature_activation"], reference=usual["temperature_reference"],
                               lowest=usual["temperature_factor_low"], highest=usual["temperature_factor_high"])
    if measured is not None:
        resistance, band = measured * float(factor(temperature) / factor(assumed["measured_room"])), assumed["measured_pack_band"]
    else:
        g.assume(own("pack_resistance"))
        cell = packs.cell_resistance_estimate(capacity, rating / 3600.0, usual["rule_sag"], usual["rule_rate_cap"], usual["rule_factor"] * g(own("pack_age")))
        resistance = float(packs.pack_resistance(cells, cell, 1, factor(temperature), 0.0))
        band = float(np.hypot(spread(usual["rule_factor_low"], usual["rule_factor"], usual["rule_factor_high"]), assumed["age_band"]))
    curve = tables.read("pack/cell_voltage").columns
    volts = packs.open_circuit_voltage(np.array([charge, 0.5, 1.0]), curve["charge"], curve["ramadass2004"])
    return Pack(side, g.maybe(own("pack_name")) or f"{side} pack", cells, capacity, rating, resistance, band, measured is not None,
                *(float(cells * v) for v in volts))


def supplies(layout, one_controller, made):
    """What feeds each side: resting volts at the three charges, resistance and its band."""
    charges = ("emf", "emf_half", "emf_full")
    if len(made) == 1 or (layout == "two" and not one_controller):
        each = made * 2 if len(made) == 1 else made
        return tuple({name: getattr(p, name) for name in charges} | {"supply_resistance": p.resistance, "supply_band": p.resistance_band} for p in each)
    one, two = made
    joined = {name: float(packs.parallel_sharing(getattr(one, name), one.resistance, getattr(two, name), two.resistance, 0.0).voltage) for name in charges}
    joined["supply_resistance"] = one.resistance * two.resistance / (one.resistance + two.resistance)
    return (joined | {"supply_band": max(one.resistance_band, two.resistance_band)},) * 2


def _lead(g, leads, side, name):
    """A resistance of this side's leads; 0 and marked as assumed while page 03 does not know them."""
    own = getattr(leads, side)
    value = None if own is None else getattr(own, name)
    if value is None:
        g.assume(f"leads.{side}.{'pack' if name == 'pack_resistance' else 'motor'}_length")
        return 0.0
    return value


@dataclass(frozen=True)
class Drives:
    """Both sides as built: pack layout, whether one controller drives both motors, the packs, and whether both sides draw on one supply."""

    pack_layout: str
    one_controller: bool
    packs: tuple
    left: SideDrive
    right: SideDrive

    @property
    def shared(self):
        return self.pack_layout != "two" or self.one_controller


def drives(g, air, leads, bench):
    """Both sides from the record; None while something of either is missing. On one controller two packs are taken as joined: it has one lead."""
    layout, one = g("power.packs"), g("power.controllers") == "one"
    made = tuple(_pack(g, side) for side in (("shared",) if layout == "one" else SIDES))
    measured = {side: getattr(bench, side) for side in SIDES}
    motors = {side: _motor(g, side, measured[side]) for side in SIDES}
    shapes = {side: {name: g(f"power.{side}.{name}") for name in (*SHAPE, "propeller_hand")} for side in SIDES}
    bridges = {side: g(f"power.{'left' if one else side}.controller_resistance") for side in SIDES}
    g.use(air), g.use(leads, needed=False), g.use(bench, needed=False)      # after its own entries, so that these are named first
    if not g.complete:
        return None
    for shape in shapes.values():
        shape["blades"] = int(shape["blades"])
    on_bench = {side: _bench_lead(g, leads, side, motors[side]["resistance_from"] == "bench") for side in SIDES}
    fed, own_packs = supplies(layout, one, made), made * 2 if len(made) == 1 else made
    left, right = (
        SideDrive(side=side, **_resistances(motors[side], bridges[side], one, _lead(g, leads, side, "motor_resistance"), on_bench[side]), **shapes[side],
                  **_calibrated(measured[side], shapes[side]), **_controller(g, side, one), controller_resistance=bridges[side],
                  table=_table(*(shapes[side][name] for name in SHAPE), air.viscosity), lead_resistance=_lead(g, leads, side, "pack_resistance"), pack=own_pack, **supply)
        for side, own_pack, supply in zip(SIDES, own_packs, fed))
    return Drives(layout, one, made, left, right)


def _bench_lead(g, leads, side, read):
    """Resistance of the motor leads on the stand: as long as entered, else as bought; None where nothing was read or the leads are not known."""
    length, own = g.maybe("bench.motor_lead"), getattr(leads, side)
    if not read or own is None:
        return None
    if length is None:
        g.assume("bench.motor_lead")
        return leads.bought.motor.resistance
    like = own.motor if length > leads.bought.motor.length else leads.bought.motor
    return like.resistance - 2.0 * (like.length - length) * like.wire.resistance


def _resistances(found, bridge, one, motor_lead, bench_lead):
    """A motor's numbers with its running resistance shared out: what a bench sees holds the bridge and short leads as well as the winding.

    A bridge that serves both motors drops the volts of both currents: it counts twice for each. What the leads are longer now than on the stand comes on top.
    """
    whole, bridge = found["resistance"], bridge * (2.0 if one else 1.0)
    if found["resistance_from"] == "bench":
        there = motor_lead if bench_lead is None else bench_lead
        grown = found["resistance_growth"] * found["told_at"]
        series = min(bridge + there, (whole - grown) / 2.0)
        return found | {"resistance": whole - grown - series, "series_resistance": max(series + motor_lead - there, 0.0)}
    return found | {"resistance": max(whole - bridge, found["catalogue_resistance"]), "series_resistance": bridge + motor_lead}


def _calibrated(measured, shape):
    """Factors on the propeller's loads from the bench; power alone corrects thrust by its root. A factor far outside the model's band was read with
    another propeller: it is not used."""
    torque, thrust = measured.cp_factor, measured.ct_factor
    band = propeller.model_band(shape["propeller_style"], "static", "none", shape["blades"], shape["propeller_diameter"], shape["propeller_pitch"], 0.0, _bands())
    if any(f is not None and abs(np.log(f)) > FOREIGN * float(sigma) for f, sigma in ((torque, band.cp), (thrust, band.ct))):
        return {"thrust_factor": 1.0, "torque_factor": 1.0, "propeller_measured": "none", "bench_fits": False}
    known = "none" if torque is None else "power" if thrust is None else "thrust and power"
    if torque is None:
        return {"thrust_factor": 1.0, "torque_factor": 1.0, "propeller_measured": known, "bench_fits": True}
    return {"thrust_factor": float(np.sqrt(torque)) if thrust is None else thrust, "torque_factor": torque, "propeller_measured": known, "bench_fits": True}


def _controller(g, side, one):
    """Facts of the controller that drives a side; one for both motors is entered as the left one."""
    own = "left" if one else side
    return {"controller_name": g.maybe(f"power.{own}.controller_name") or ("the controller" if one else f"{side} controller"),
            "controller_current": g.maybe(f"power.{own}.controller_current"), "controller_cells": g.maybe(f"power.{own}.controller_cells"),
            "idle_current": tables.values("motor/controller")["idle_current"]}


def propeller_band(side, state, speed_of_rotation):
    """One-sigma relative errors of CT and CP of a side's propeller and the reasons to trust them less."""
    return propeller.model_band(side.propeller_style, state, side.propeller_measured, side.blades, side.propeller_diameter, side.propeller_pitch,
                                speed_of_rotation / (2.0 * np.pi), _bands())


def moved(side, factors):
    """A side with its uncertain numbers multiplied."""
    return replace(side, thrust_factor=side.thrust_factor * factors["ct"], torque_factor=side.torque_factor * factors["cp"], kv=side.kv * factors["kv"],
                   resistance=side.resistance * factors["resistance"], resistance_growth=side.resistance_growth * factors["resistance"], supply_resistance=side.supply_resistance * factors["supply"],
                   no_load_base=side.no_load_base * factors["no_load"], no_load_slope=side.no_load_slope * factors["no_load"])


def sigmas(side, state):
    """One standard deviation of each uncertain number of a side over the number, standing ("static") or flying ("flight")."""
    band = propeller_band(side, state, 0.0)
    return {"ct": float(band.ct), "cp": float(band.cp), "kv": side.kv_band, "resistance": side.resistance_band, "supply": side.supply_band,
            "no_load": side.no_load_band}


