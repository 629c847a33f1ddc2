"""What was measured on the bench: the numbers of each motor and propeller that the readings give, and the readings not to be believed."""

import functools
from dataclasses import dataclass, field, replace

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.physics import air, fit, motor, propeller
from twinkit.quantities import SIDES


@dataclass(frozen=True)
class Reading:
    """One row of the bench points, SI; None where nothing was read.

    row: its number in the table. trouble: why it is not believed, '' when it is: "fast" or "slow" (rpm that these volts cannot make),
    "idle" (too much current for a motor without propeller), "thrust" (more than this power can give; the rest of the row is believed).
    diameter, pitch: of the propeller it was read with. other: that is not the propeller of page 01, so it tells of the motor only.
    """

    row: int
    side: str
    loaded: bool
    volts: float
    amps: float
    speed: float
    thrust: float
    trouble: str = ""
    diameter: float = None
    pitch: float = None
    other: bool = False

    @property
    def whole(self):
        """Whether volts, amps and rpm are there and believed."""
        return None not in (self.volts, self.amps, self.speed) and self.amps > 0.0 and self.trouble in ("", "thrust")

    @property
    def pulls(self):
        """Whether rpm and thrust are there and believed."""
        return self.loaded and None not in (self.speed, self.thrust) and not self.trouble


@dataclass(frozen=True)
class SideBench:
    """What the readings of one side give, SI; None where they do not.

    running_resistance: motor, controller and bench leads, to be used with kv, or with the usual share of the label where kv is None.
    resistance_from: "fit" (loaded and prop-off readings together) or "one reading". kv_from: "fit" or "prop off". scatter: of the fit, 1 is as the meters promise.
    inflation: how much speed and current move together. correlation: of resistance with 1/kv. apart: rows far from the others. bend: t-value of a resistance that changes along the row.
    ct, cp: static coefficients at n; ct_factor, cp_factor: over those of the propeller model at the same speed and air.
    """

    side: str
    points: tuple = ()
    running_resistance: float = None
    resistance_sigma: float = None
    resistance_from: str = None
    kv: float = None
    kv_sigma: float = None
    kv_from: str = None
    scatter: float = None
    inflation: float = None
    correlation: float = None
    apart: tuple = ()
    bend: float = None
    no_load_base: float = None
    no_load_slope: float = None
    n: float = None
    ct: float = None
    ct_sigma: float = None
    cp: float = None
    cp_sigma: float = None
    ct_factor: float = None
    cp_factor: float = None

    @property
    def loaded(self):
        """Believed readings with the propeller on that have volts, amps and rpm."""
        return tuple(p for p in self.points if p.loaded and p.whole)

    @property
    def free(self):
        """Believed readings with the propeller off that have volts, amps and rpm."""
        return tuple(p for p in self.points if not p.loaded and p.whole)


@dataclass(frozen=True, kw_only=True)
class Readings(Result):
    """The bench table worked out. density and viscosity: air on the bench, None without points. homeless: rows that name no side or hold no number."""

    left: SideBench
    right: SideBench
    density: float
    viscosity: float
    homeless: tuple = field(default=())

    @property
    def points(self):
        """All readings of both sides, in the order of the table."""
        return tuple(sorted(self.left.points + self.right.points, key=lambda p: p.row))


def readings(g):
    """The bench points of both sides. An empty table is not missing: nothing is measured yet."""
    rows, homeless = [], []
    for number, row in enumerate(g.rows("bench.points"), 1):
        numbers = [row[name] for name in ("volts", "amps", "rpm", "thrust")]
        if row["side"] in SIDES and any(x is not None for x in numbers):
            rows.append(Reading(number, row["side"], row["propeller"] != "off", *numbers, diameter=row["diameter"], pitch=row["pitch"]))
        else:
            homeless.append(number)
    if not rows:
        return Readings(left=SideBench("left"), right=SideBench("right"), density=None, viscosity=None, homeless=tuple(homeless), **g.marks())
    temperature, elevation = g.maybe("bench.temperature"), g.maybe("start.elevation")
    pressure = air.standard_air(altitude=elevation).pressure
    density, viscosity = float(air.density(pressure=pressure, temperature=temperature)), float(air.dynamic_viscosity(temperature))
    sides = {side: _side(g, side, [r for r in rows if r.side == side], density, viscosity) for side in SIDES}
    return Readings(**sides, density=density, viscosity=viscosity, homeless=tuple(homeless), **g.marks())


def _side(g, side, points, density, viscosity):
    """Everything one side's readings give."""
    if not points:
        return SideBench(side)
    meters, usual = tables.values("bench/meters"), tables.values("motor/defaults")
    label, diameter, pitch = g.maybe(f"power.{side}.kv"), g.maybe(f"power.{side}.propeller_diameter"), g.maybe(f"power.{side}.propeller_pitch")
    points = tuple(replace(p, trouble=_trouble(p, points, label, p.diameter or diameter, density, meters),
                           other=p.loaded and (_differs(p.diameter, diameter) or _differs(p.pitch, pitch))) for p in points)
    made = _motor(g, SideBench(side, points), label, meters, usual)
    made = replace(made, **_no_load(made.free, meters))
    kv = made.kv or (usual["kv_share"] * label if label else None)
    return replace(made, **_propeller(g, made, kv, diameter, density, viscosity, meters, usual))


def _differs(read, now):
    """Whether a size that was written beside a reading is another one than that of page 01."""
    return None not in (read, now) and abs(read - now) > 0.01 * now


def _trouble(point, points, label, diameter, density, meters):
    """Why a reading cannot be right, '' when it can."""
    if label and point.volts and point.speed:
        ratio, kind = point.speed / (label * point.volts), "loaded" if point.loaded else "free"
        if ratio > meters[f"fast_{kind}"]:
            return "fast"
        if ratio < meters[f"slow_{kind}"]:
            return "slow"
    least = min((p.amps for p in points if p.loaded and p.amps), default=np.inf)
    if not point.loaded and point.amps and point.amps > meters["idle_most"] * least:
        return "idle"
    if point.thrust and point.volts and point.amps and diameter:
        if point.thrust > (2.0 * density * np.pi / 4.0 * diameter**2 * (point.volts * point.amps) ** 2) ** (1.0 / 3.0):
            return "thrust"
    return ""


# --- motor -------------------------------------------------------------------------------------------------------------------


def _columns(points):
    """Volts, amps and speeds of readings as arrays."""
    return np.array([(p.volts, p.amps, p.speed) for p in points]).reshape(-1, 3).T


def _motor(g, made, label, meters, usual):
    """The side with kv and running resistance: fitted where the readings allow it, else from single readings."""
    loaded, free = made.loaded, made.free
    volts, amps, speed = _columns(loaded + free)
    if len(volts) >= 2 and loaded:
        found = fit.fit_motor_noisy(voltage=volts, current=amps, speed=speed, voltage_sigma=meters["volts_unrest"], current_sigma=meters["amps_unrest"],
                                    speed_sigma=meters["speed_unrest"] * speed)
        if float(found.kv) > 0.0 and float(found.resistance) > 0.0 and (free or (len(volts) > 2 and found.inflation <= meters["inflation_most"])):
            return _fitted(made, found, (volts, amps, speed), meters)
    if free and (guess := _resistance_guess(g, made.side, label, usual)) is not None:
        volts, amps, speed = _columns(free)
        kv = float(np.mean(speed / (volts - amps * guess)))
        share = np.hypot(meters["volts_scale"], np.mean(amps / volts) * guess * (usual["running_factor_high"] / usual["running_factor"] - 1.0))
        made = replace(made, kv=kv, kv_sigma=float(kv * share), kv_from="prop off")
    kv, kv_sigma = (made.kv, made.kv_sigma) if made.kv else (usual["kv_share"] * label, kv_spread() * usual["kv_share"] * label) if label else (None, None)
    if kv is None or not loaded:
        return made
    volts, amps, speed = _columns(loaded)
    run = fit.one_reading(voltage=volts, current=amps, speed=speed, kv=kv, catalogue_resistance=np.nan,
                          voltage_sigma=np.hypot(meters["volts_unrest"], meters["volts_scale"] * volts),
                          current_sigma=np.hypot(meters["amps_unrest"], meters["amps_scale"] * amps), speed_sigma=meters["speed_unrest"] * speed, kv_sigma=kv_sigma)
    if not np.isfinite(run.resistance).any():
        return made
    return replace(made, running_resistance=float(np.nanmean(run.resistance)), resistance_sigma=float(np.nanmean(run.sigma)), resistance_from="one reading")


def kv_spread():
    """One-sigma share of a Kv taken from the label: a triangle on the ends of the usual share."""
    low, mode, high = (tables.values("motor/defaults")[f"kv_share{end}"] for end in ("_low", "", "_high"))
    return float(np.sqrt((low**2 + mode**2 + high**2 - low * mode - low * high - mode * high) / 18.0) / mode)


def _fitted(made, found, columns, meters):
    """The side with a fit's numbers; a scatter beyond what the meters promise widens the bands, errors all readings share come on top."""
    grown = max(1.0, float(np.nan_to_num(found.scatter, nan=1.0)))
    kv, resistance = float(found.kv), float(found.resistance)
    volts, amps, speed = columns
    looked = fit.motor_outliers(voltage=volts, current=amps, speed=speed, false_alarm=meters["false_alarm"]) if len(volts) > 4 else None
    rows = [p.row for p in made.loaded + made.free]
    return replace(
        made, kv=kv, kv_sigma=float(np.hypot(grown * found.kv_sigma, meters["volts_scale"] * kv)), kv_from="fit", running_resistance=resistance,
        resistance_sigma=float(np.hypot(grown * found.resistance_sigma, np.hypot(meters["volts_scale"], meters["amps_scale"]) * resistance)),
        resistance_from="fit", scatter=None if np.isnan(found.scatter) else float(found.scatter), inflation=float(found.inflation), correlation=float(found.correlation),
        apart=() if looked is None else tuple(row for row, suspect in zip(rows, looked.suspect) if suspect < 0.0),
        bend=None if looked is None or not np.isfinite(looked.bend) else float(looked.bend))


def _resistance_guess(g, side, label, usual):
    """Running resistance before any loaded reading: twice the catalogue's, which is estimated from Kv and mass where the label has none."""
    catalogue, mass = g.maybe(f"power.{side}.motor_resistance"), g.maybe(f"power.{side}.motor_mass")
    if catalogue is None and label and mass:
        catalogue = float(motor.resistance_estimate(kv=label, mass=mass, constant=usual["resistance_constant"]))
    return None if catalogue is None else usual["running_factor"] * catalogue


def _no_load(free, meters):
    """The line of the current without propeller: through readings well apart, or half of one reading and half growing with speed."""
    if not free:
        return {}
    _, amps, speed = _columns(free)
    base, slope = amps.mean() / 2.0, (amps / speed).mean() / 2.0
    if speed.max() > meters["spread_least"] * speed.min():
        line = fit.fit_no_load(current=amps, speed=speed)
        if float(line.constant) >= 0.0 and float(line.slope) >= 0.0:
            base, slope = line.constant, line.slope
    return {"no_load_base": float(base), "no_load_slope": float(slope)}


# --- propeller ---------------------------------------------------------------------------------------------------------------


def _propeller(g, made, kv, diameter, density, viscosity, meters, usual):
    """Static thrust and power coefficients and what they are over the model's. Torque comes from the current: (I - I0)/kv."""
    turning = [p for p in made.points if p.loaded and not p.other and p.speed and p.trouble in ("", "thrust")]
    if not turning or not diameter:
        return {}
    n = float(np.mean([p.speed for p in turning]) / (2.0 * np.pi))
    found, common = {"n": n}, np.hypot(meters["density"], 2.0 * meters["speed_unrest"])
    pulls, driven = [p for p in turning if p.pulls], [p for p in made.loaded if not p.other]
    if pulls:
        thrust, speed = np.array([(p.thrust, p.speed) for p in pulls]).T
        fitted = fit.fit_thrust_coefficient(thrust=thrust, speed=speed, density=density, diameter=diameter, thrust_sigma=meters["thrust_unrest"],
                                            common_sigma=np.hypot(common, meters["thrust_scale"]))
        found |= _coefficient("ct", fitted, np.hypot(common, np.hypot(meters["thrust_scale"], meters["thrust_unrest"] / thrust.mean())))
    line = _idle_line(g, made, kv, usual) if driven and kv else None
    if line is not None:
        _, amps, speed = _columns(driven)
        torque = (amps - motor.no_load_current(base=line[0], slope=line[1], omega=speed)) * motor.torque_constant(kv)
        if (torque > 0.0).all():
            kv_share = made.kv_sigma / made.kv if made.kv else kv_spread()
            shared = np.hypot(np.hypot(common, kv_share), meters["amps_scale"])
            fitted = fit.fit_power_coefficient(torque=torque, speed=speed, density=density, diameter=diameter, torque_sigma=meters["amps_unrest"] / kv,
                                               common_sigma=shared)
            found |= _coefficient("cp", fitted, np.hypot(shared, meters["amps_unrest"] / amps.mean()))
    pitch, blades, shape = (g.maybe(f"power.{made.side}.{name}") for name in ("propeller_pitch", "blades", "propeller_style"))
    if pitch and len(found) > 1:
        model = static_model(diameter, pitch, int(blades), shape, n, density, viscosity)
        found |= {f"{name}_factor": found[name] / getattr(model, name) for name in ("ct", "cp") if name in found}
    return found


def _coefficient(name, fitted, by_meters):
    """A fitted coefficient; its band is the scatter's or the meters', whichever is larger."""
    value = float(fitted.coefficient)
    return {name: value, f"{name}_sigma": float(max(np.nan_to_num(fitted.sigma), value * by_meters))}


def _idle_line(g, made, kv, usual):
    """Base and slope of the current without propeller: measured, else of the label, else estimated from the mass."""
    if made.no_load_base is not None:
        return made.no_load_base, made.no_load_slope
    idle, mass = g.maybe(f"power.{made.side}.no_load_current"), g.maybe(f"power.{made.side}.motor_mass")
    if idle is None and mass is None:
        return None
    if idle is None:
        g.assume(f"power.{made.side}.no_load_current")
        idle = float(motor.no_load_estimate(mass=mass, current_per_mass=usual["no_load_per_mass"]))
    at = kv * g.maybe(f"power.{made.side}.no_load_volts")
    return idle / 2.0, idle / 2.0 / at


@functools.lru_cache(maxsize=64)
def static_model(diameter, pitch, blades, shape, n, density, viscosity):
    """CT and CP that the propeller model gives standing still at this speed and in this air."""
    style = propeller.Style.from_columns(shape, tables.read("propeller/styles").columns, tables.read("propeller/chords").columns)
    section = propeller.SectionModel(**tables.values("propeller/section"))
    both = propeller.blade_element(n=n, advance_ratio=0.0, diameter=diameter, pitch=pitch, blades=blades, style=style, section=section,
                                   density=density, viscosity=viscosity)
    return replace(both, ct=float(both.ct), cp=float(both.cp))
