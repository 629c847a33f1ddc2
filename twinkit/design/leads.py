"""The leads: routes and lengths from the stations, what each resists and weighs; and what the currents cost in them."""

import functools
from dataclasses import dataclass, replace

import numpy as np

from twinkit import constants, tables
from twinkit.design import input_ripple
from twinkit.design.base import Result
from twinkit.design.outlines import SPINNER_LENGTH
from twinkit.physics import wire
from twinkit.quantities import SIDES

SIGN = {"left": -1.0, "right": 1.0}
KINDS = ("pack", "motor", "signal")
OTHER = {"fuselage": "nacelle", "nacelle": "fuselage"}
WIRES = {"pack": 2, "motor": 3, "signal": 3}
SPLICES_PER_WIRE = 2      # a piece let into a wire is joined at both ends
WIRES_IN_PATH = 2         # two of them carry the current at any moment: plus and minus, or two of three motor wires
SIDE_BY_SIDE = 0.25       # place of one of two like parts lying side by side, share of the fuselage's width
SHORT_OF_SLACK = 0.01     # a bought lead that reaches and lacks no more than this of its slack is left alone [m]
THICKEST, THINNER_STEP = 10, 2   # thickest wire advised, and one step of the sizes shops keep
THINNEST_SHOWN = 22       # where the picture over the gauge ends; yours is shown beyond it too
OWN = ("pack", "motor")   # leads of which a metre of the builder's own wire may stand in for the table
WEIGHED_SPREAD = 0.03     # 1-sigma of a weighed metre: half a gram on the kitchen scale. Common practice


@dataclass(frozen=True)
class Wire:
    """One wire of a gauge in silicone: copper area, outside and bundle diameter, resistance and mass per metre, current it may carry (SI)."""

    gauge: int
    area: float
    outer: float
    bundle: float
    resistance: float
    mass: float
    allowed: float
    burst: float
    measured: bool = False
    weighed: bool = False
    mass_spread: float = 0.0


@dataclass(frozen=True)
class Lead:
    """One lead as built. route is the way it takes as (behind, out, below) points, run its length; needed is run and slack (None: not known)."""

    kind: str
    start: str
    end: str
    route: tuple | None
    run: float | None
    needed: float | None
    bought: float
    length: float
    typed: bool
    wire: Wire
    splices: int
    joint_resistance: float
    resistance: float
    mass: float

    @property
    def added(self):
        """Length let in beyond the lead as bought [m]."""
        return max(self.length - self.bought, 0.0)

    @property
    def made(self):
        """What is done to the lead as bought."""
        return "lengthened" if self.length > self.bought else "shortened" if self.length < self.bought else "as bought"

    @property
    def wires(self):
        return WIRES[self.kind]


@dataclass(frozen=True)
class SideLeads:
    """The three leads of one side. Resistances as the current meets them, with joints; mass is that of the wire added to what was bought."""

    placement: str
    pack: Lead
    motor: Lead
    signal: Lead
    inductance: float

    pack_length = property(lambda self: self.pack.length)
    motor_length = property(lambda self: self.motor.length)
    signal_length = property(lambda self: self.signal.length)
    pack_resistance = property(lambda self: self.pack.resistance)
    motor_resistance = property(lambda self: self.motor.resistance)
    mass = property(lambda self: sum(lead.mass for lead in self.all))
    splices = property(lambda self: sum(lead.splices for lead in self.all))

    @property
    def all(self):
        return self.pack, self.motor, self.signal


@dataclass(frozen=True, kw_only=True)
class Leads(Result):
    """Both sides as built, both sides with the controllers at the other place, and one side as bought (always known)."""

    placement: str
    left: SideLeads
    right: SideLeads
    other_left: SideLeads
    other_right: SideLeads
    bought: SideLeads
    lead_mass: float
    lead_mass_spread: float
    other_mass: float
    splices: int
    packs: str
    places: dict
    pair_inductance: float
    wire_temperature: float

    def side(self, name):
        return getattr(self, name)


@functools.cache
def stock_wire(gauge, temperature):
    """A wire of this gauge; between and beyond the rows of the table its wall is taken from the nearest."""
    table, default = tables.read("wire/gauges").columns, tables.values("wire/defaults")
    area = float(wire.gauge_area(gauge))
    bundle = default["bundle_ratio"] * float(wire.gauge_diameter(gauge))
    known = np.isfinite(table["outer_diameter"])
    walls = (table["outer_diameter"][known] - default["bundle_ratio"] * table["diameter"][known]) / 2
    outer = bundle + 2 * float(np.interp(gauge, table["gauge"][known], walls))
    amps = wire.ampacity(np.clip(area, table["area"].min(), table["area"].max()), table["area"], table["chassis_current"])
    return Wire(int(gauge), area, outer, bundle, float(wire.resistance_per_metre(area, temperature, default["lay_factor"])),
                float(wire.silicone_wire_mass(area, outer, default["lay_factor"], default["bundle_ratio"])), float(amps.continuous), float(amps.burst),
                mass_spread=default["wire_mass_spread"])


def own_wire(g, kind, temperature):
    """The wire of a lead: the table's, with a metre of the builder's own in its place where one was measured at room temperature or weighed.

    A wire that resists more than its gauge promises is allowed less current, at equal heat; one that resists less is allowed no more.
    """
    made, cold = (stock_wire(g(f"leads.{kind}_gauge"), at) for at in (temperature, constants.COPPER_REFERENCE_TEMPERATURE))
    resistance, mass = (g.maybe(f"leads.{kind}_wire_{name}") if kind in OWN else None for name in ("resistance", "mass"))
    if resistance is not None:
        share = min(1.0, (cold.resistance / resistance) ** 0.5)
        made = replace(made, resistance=resistance * made.resistance / cold.resistance, allowed=share * made.allowed, burst=share * made.burst, measured=True)
    if mass is not None:
        sure = g.record.get(f"leads.{kind}_wire_mass").origin in ("weighed", "measured")
        made = replace(made, mass=mass, weighed=True, mass_spread=WEIGHED_SPREAD if sure else made.mass_spread)
    return made


def runs(g, geometry):
    """Lengths, resistances and masses; needs no current."""
    g.use(geometry, needed=False)
    placement, packs = g("leads.placement"), g("power.packs")
    make = _make_up(g)
    stations = _stations(g, geometry, packs)
    own = {side: _side(g, side, placement, stations, make, True) for side in SIDES}
    other = {side: _side(g, side, OTHER[placement], stations, make, False) for side in SIDES}
    if None in own.values():
        for path in (*geometry.missing, *stations["missing"]):
            g.lack(path)
    whole, elsewhere = None not in own.values(), None not in other.values()
    mass = sum(side.mass for side in own.values()) if whole else None
    return Leads(
        placement=placement, left=own["left"], right=own["right"], other_left=other["left"], other_right=other["right"],
        bought=SideLeads("bought", *(_lead(make, kind, "", "", None, None, None, False) for kind in KINDS), _inductance(make, make["bought"]["pack"], False)),
        lead_mass=mass, lead_mass_spread=sum(lead.mass * lead.wire.mass_spread for side in own.values() for lead in side.all) if whole else None, other_mass=sum(s.mass for s in other.values()) if elsewhere else None,
        splices=sum(s.splices for s in own.values()) if whole else None, packs=packs, places=stations["places"], pair_inductance=make["pair"], wire_temperature=make["temperature"], **g.marks())


def _make_up(g):
    """What every lead is made of."""
    default, temperature = tables.values("wire/defaults"), g("leads.wire_temperature")
    wires = {kind: own_wire(g, kind, temperature) for kind in KINDS}
    gap, frequency, pack = g("leads.pair_gap"), g("leads.chop_frequency"), wires["pack"]
    touching, pair = (float(wire.pair_inductance(pack.outer + apart, pack.bundle, frequency, temperature)) for apart in (0.0, gap))
    return {
        "wires": wires, "bought": {kind: g(f"leads.original_{kind}_length") for kind in KINDS}, "slack": g("leads.slack"), "joint": g("leads.joint_resistance"),
        "joints": g("leads.joints"), "touching": touching, "pair": pair, "pack_inductance": default["pack_inductance"],
        "temperature": temperature, "servo_joints": default["servo_contact"] * default["servo_contacts"],
    }


def _stations(g, geometry, packs):
    """Places of pack, controller, motor and receiver of both sides as (behind, out, below), and what is missing for them."""
    crossing, gap, level = g("leads.crossing"), g("leads.behind_motor"), g("weight.pack_below")
    sides = ("shared",) if packs == "one" else SIDES
    behind = {side: g.maybe(f"weight.{side}.pack_behind") for side in sides}
    missing = tuple(f"weight.{side}.pack_behind" for side in sides if behind[side] is None)
    out = {side: g(f"weight.{side}.pack_out") for side in SIDES} if packs == "two" else dict.fromkeys(SIDES, 0.0)
    if not geometry.known:
        return {"places": {}, "missing": missing}
    beside = SIDE_BY_SIDE * geometry.fuselage_width
    wires_at = geometry.propeller_behind + SPINNER_LENGTH + tables.values("wire/defaults")["motor_length"]
    places = {"receiver": (geometry.receiver_behind, 0.0, level)}
    for side in SIDES:
        s = SIGN[side]
        nacelle = lambda x: (x, s * geometry.nacelle_out, geometry.propeller_below)  # noqa: E731, B023
        places[f"{side} motor"] = nacelle(wires_at)
        places[f"{side} nacelle"] = nacelle(wires_at + gap)
        places[f"{side} fuselage"] = (geometry.controller_behind, s * beside, level)
        if not missing:
            places[f"{side} pack"] = _pack_place(packs, side, behind, out[side], beside, level, geometry)
    return {"places": places, "missing": missing, "crossing": crossing * geometry.chord, "half_width": geometry.fuselage_width / 2,
            "nacelle": geometry.nacelle_width / 2}


def _pack_place(packs, side, behind, out, beside, level, geometry):
    """Where this side's pack lead begins: its own pack, the common one, or the joint of two."""
    if packs != "two":
        return sum(behind.values()) / len(behind), 0.0, level
    inside = 2.0 * out <= geometry.fuselage_width
    return behind[side], SIGN[side] * max(out, beside), level if inside else geometry.propeller_below


def _route(a, b, stations):
    """Along the body, out through the wing at the crossing, along the nacelle; straight along where both ends lie in one body."""
    same = max(abs(a[1]), abs(b[1])) <= stations["half_width"] or abs(a[1] - b[1]) <= stations["nacelle"]
    if same:
        return a, (b[0], a[1], a[2]), b
    x = stations["crossing"]
    return a, (x, a[1], a[2]), (x, a[1], 0.0), (x, b[1], 0.0), (x, b[1], b[2]), b


def _side(g, side, placement, stations, make, own):
    """The leads of one side with the controller at this place; typed lengths count for the builder's own placement only. None: not known."""
    places, controller = stations["places"], f"{side} controller"
    pack_name = {"one": "common pack", "joined": "joined packs", "two": f"{side} pack"}[g("power.packs")]
    ends = {"pack": (f"{side} pack", f"{side} {placement}", pack_name, controller), "motor": (f"{side} {placement}", f"{side} motor", controller, f"{side} motor"),
            "signal": ("receiver", f"{side} {placement}", "receiver", controller)}
    made = []
    for kind in KINDS:
        start, end, start_name, end_name = ends[kind]
        route = _route(places[start], places[end], stations) if start in places and end in places else None
        typed = g.maybe(f"leads.{side}.{kind}_length") if own else None
        if typed is None and route is None:
            return None
        run = float(sum(np.abs(np.subtract(p, q)).sum() for p, q in zip(route, route[1:]))) if route else None
        made.append(_lead(make, kind, start_name, end_name, route, run, typed, True))
    return SideLeads(placement, *made, _inductance(make, made[0].length, True))


def _lead(make, kind, start, end, route, run, typed, built):
    """One lead: as long as its run with slack, but no piece is cut off what was bought, and none let in for a trifle."""
    bought, one = make["bought"][kind], make["wires"][kind]
    needed = run * (1.0 + make["slack"]) if run is not None else None
    length = typed
    if length is None:
        length = needed if built and (needed > bought + SHORT_OF_SLACK or run > bought) else bought
    splices = WIRES[kind] * SPLICES_PER_WIRE if length > bought and kind != "signal" else 0
    in_path = WIRES_IN_PATH * SPLICES_PER_WIRE if splices else 0
    joints = {"pack": (make["joints"] + in_path) * make["joint"], "motor": in_path * make["joint"], "signal": make["servo_joints"]}[kind]
    resistance = WIRES_IN_PATH * length * one.resistance + joints
    return Lead(kind, start, end, route, run, needed, bought, length, typed is not None, one, splices, joints, resistance,
                WIRES[kind] * max(length - bought, 0.0) * one.mass)


def _inductance(make, length, built):
    """Loop of pack, plug and pack lead [H]."""
    return make["pack_inductance"] + length * (make["pair"] if built else make["touching"])


@dataclass(frozen=True)
class SideLosses:
    """What the currents of one side cost in its leads (SI)."""

    motor_current: float
    pack_current: float
    pack_volts: float
    wire_current: float
    pack_drop: float
    pack_loss: float
    motor_drop: float
    motor_loss: float

    share = property(lambda self: (self.pack_drop + self.motor_drop) / self.pack_volts)
    loss = property(lambda self: self.pack_loss + self.motor_loss)


@dataclass(frozen=True, kw_only=True)
class LeadLosses(Result):
    """Drops and losses at full throttle of both sides, as built and the other way round; ripple at the controllers' inputs.

    currents_from: "power" (the operating point of page 01), "motor limit" or "controller rating". ground_current: through the servo grounds, one pack only.
    """

    left: SideLosses
    right: SideLosses
    other_left: SideLosses
    other_right: SideLosses
    currents_from: str
    inputs: input_ripple.Inputs
    other_inputs: input_ripple.Inputs
    ground_current: float

    @property
    def left_drop(self):
        """Volts lost in the pack and motor leads of the left side."""
        return self.left and self.left.pack_drop + self.left.motor_drop

    @property
    def worst(self):
        """The side that loses the larger share of its pack volts."""
        return max(SIDES, key=lambda side: getattr(self, side).share)


def lead_losses(g, leads, power):
    """Drop, loss and ripple with the currents of page 01; until these are known, with the motor's current limit or the controller's rating."""
    g.use(leads), g.use(power, needed=False)
    drives = {side: input_ripple.drive_of(g, side, leads.packs, power) for side in SIDES}
    capacitor = {name: g(f"leads.{name}") for name in ("capacitor", "capacitor_esr", "added_capacitor", "chop_frequency")}
    grounds = [g(f"wiring.{side}.ground_kept") for side in SIDES]
    if not g.complete:
        return LeadLosses.unknown(g)
    own = {side: getattr(leads, side) for side in SIDES}
    other = {side: getattr(leads, f"other_{side}") for side in SIDES}
    known_other = None not in other.values()
    losses = {side: _losses(own[side], drives[side]) for side in SIDES}
    there = {side: _losses(other[side], drives[side]) if known_other else None for side in SIDES}
    return LeadLosses(
        left=losses["left"], right=losses["right"], other_left=there["left"], other_right=there["right"],
        currents_from=min((drive.origin for drive in drives.values()), key=input_ripple.ORIGINS.index),
        inputs=input_ripple.inputs(own, leads.bought, drives, leads.pair_inductance, **capacitor),
        other_inputs=input_ripple.inputs(other, leads.bought, drives, leads.pair_inductance, **capacitor) if known_other else None,
        ground_current=_ground_current(own, losses) if leads.packs != "two" and all(grounds) else None, **g.marks())


def _losses(side, drive):
    pack, motor = side.pack, side.motor
    return SideLosses(
        motor_current=drive.motor_current, pack_current=drive.pack_current, pack_volts=drive.pack_volts,
        wire_current=float(wire.motor_leads(drive.motor_current, motor.length, motor.wire.area).phase_rms),
        pack_drop=drive.pack_current * pack.resistance, pack_loss=drive.pack_current**2 * pack.resistance,
        motor_drop=drive.motor_current * motor.resistance, motor_loss=drive.motor_current**2 * motor.resistance)


def _ground_current(own, losses):
    """Motor current that leaves its power negative for the servo grounds, where both controllers hang on one supply [A]."""
    half = lambda lead: lead.resistance / WIRES_IN_PATH  # noqa: E731
    return abs(float(wire.ground_loop_current(
        losses["left"].pack_current, losses["right"].pack_current, half(own["left"].pack), half(own["right"].pack),
        half(own["left"].signal) + half(own["right"].signal))))


def _other_wire(lead, gauge, temperature):
    """A lead's wire with another gauge bought for it; the wire in hand where the gauge stays."""
    return lead.wire if gauge == lead.wire.gauge else stock_wire(gauge, temperature)


def _drop(lead, gauge, current, temperature):
    """Volts lost in a lead if it were made of this gauge [V]."""
    return current * (lead.joint_resistance + WIRES_IN_PATH * lead.length * _other_wire(lead, gauge, temperature).resistance)


def thicker_gauges(leads, losses, goal):
    """Gauges of pack and motor leads (by steps of two sizes) that bring the drop of the worst side under this share; None when none does."""
    side, cost = getattr(leads, losses.worst), getattr(losses, losses.worst)
    gauges = {kind: getattr(side, kind).wire.gauge for kind in OWN}
    drop = lambda kind: _drop(getattr(side, kind), gauges[kind], getattr(cost, f"{kind}_current"), leads.wire_temperature)  # noqa: E731
    while sum(map(drop, gauges)) > goal * cost.pack_volts:
        free = [kind for kind in gauges if gauges[kind] - THINNER_STEP >= THICKEST]
        if not free:
            return None
        gauges[max(free, key=drop)] -= THINNER_STEP
    return gauges


@dataclass(frozen=True)
class GaugeLine:
    """One sort of lead over its gauge, lengths and currents as they are: loss and added mass of both sides, drop of the worse side with the other sort as it is."""

    gauges: tuple
    loss: tuple
    mass: tuple
    share: tuple
    yours: int


def gauge_lines(leads, losses):
    """Pack and motor leads of other gauges, thick to thin."""
    lines = {}
    for kind in OWN:
        yours = getattr(leads.left, kind).wire.gauge
        gauges = tuple(sorted({*range(THICKEST, THINNEST_SHOWN + 1, THINNER_STEP), yours}))
        sides = [(getattr(getattr(leads, side), kind), getattr(losses, side)) for side in SIDES]
        rest = [getattr(cost, f"{'motor' if kind == 'pack' else 'pack'}_drop") for _, cost in sides]
        loss, mass, share = [], [], []
        for gauge in gauges:
            drops = [_drop(lead, gauge, getattr(cost, f"{kind}_current"), leads.wire_temperature) for lead, cost in sides]
            loss.append(sum(drop * getattr(cost, f"{kind}_current") for drop, (_, cost) in zip(drops, sides)))
            mass.append(sum(lead.wires * lead.added * _other_wire(lead, gauge, leads.wire_temperature).mass for lead, _ in sides))
            share.append(max((drop + other) / cost.pack_volts for drop, other, (_, cost) in zip(drops, rest, sides)))
        lines[kind] = GaugeLine(gauges, tuple(loss), tuple(mass), tuple(share), yours)
    return lines
