"""The leads: routes and lengths from the stations, what each resists and weighs."""

from dataclasses import dataclass

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.lead_wire import Wire, own_wire
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


@dataclass(frozen=True)
class Lead:
    """One lead as built. route is the way it takes as (behind, out, below) points, run its length; needed is run, slack and what a braid takes up (None: not known)."""

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
        "joints": g("leads.joints"), "take_up": {"motor": default["braid_take_up"]} if g("leads.motor_laid") == "braided" else {}, "touching": touching, "pair": pair, "pack_inductance": default["pack_inductance"],
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
    needed = run * (1.0 + make["slack"]) * (1.0 + make["take_up"].get(kind, 0.0)) if run is not None else None
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
