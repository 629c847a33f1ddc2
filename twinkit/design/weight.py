"""Everything with mass and place: total, centre of gravity, inertia, each with its spread."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.design import pack_room
from twinkit.design.base import Result
from twinkit.design.outlines import SPINNER_LENGTH
from twinkit.physics import mass as masses
from twinkit.physics import pack as packs

WEIGHED = ("weighed", "measured")
TABLE = ("table", "chosen")            # a figure that was typed without weighing
PLACED = ("cg_behind", "cg_out", "cg_below", "cg_spread", "cg_out_spread", "cg_below_spread", "inertia_xx", "inertia_yy", "inertia_zz", "inertia_xz", "list_behind")
PARTS_AT_HAND = "parts at hand"        # the origin of a mass that stands on page 00
BALLAST = "ballast"                    # a part of this name is taken as it is: no model grows with its lead
GROUPS = ("foam", "glue", "packs", "motors", "leads", "parts", "growth")


@dataclass(frozen=True)
class Item:
    """One line of the list, SI: mass of all its pieces, spread of that mass, place of its middle, extents along, across and up.

    A mirrored one stands half left and half right, each at the distance `out`; else out is positive to the right.
    """

    name: str
    group: str
    mass: float
    spread: float
    behind: float
    out: float
    below: float
    origin: str
    length: float = 0.0
    width: float = 0.0
    height: float = 0.0
    mirrored: bool = False
    place_spread: float = 0.0
    side: str = ""


@dataclass(frozen=True, kw_only=True)
class Balance(Result):
    """SI. Places count behind the leading edge at the root, out to the right, below the wing; bands are one standard deviation.

    mass_origin is "scale" or "list", cg_origin "balance" or "list". cg and inertia are None while the place of a pack is not known.
    rest_mass and rest_behind tell everything but the packs. spread_shares: (group, spread) pairs, who causes the spread of the mass.
    """

    mass: float
    mass_low: float
    mass_high: float
    mass_origin: str
    cg_behind: float
    cg_out: float
    cg_below: float
    cg_spread: float
    cg_out_spread: float
    cg_below_spread: float
    cg_origin: str
    inertia_xx: float
    inertia_yy: float
    inertia_zz: float
    inertia_xz: float
    items: tuple
    groups: tuple
    foam_mass: float
    foam_area: float
    pack_mass: float
    growth_mass: float
    list_mass: float
    list_behind: float
    rest_mass: float
    rest_behind: float
    spread_shares: tuple
    sheet_weighed: bool
    without_mass: tuple
    target: float


def balance(g, geometry, leads):
    """The list of everything with mass, and what it sums to; the scale and the balance reading overrule it."""
    scale, reading = g.maybe("weight.mass_measured"), g.maybe("weight.cg_measured")
    whole = scale is None or reading is None      # with both readings gaps of the list do no harm
    g.use(geometry), g.use(leads, needed=whole)
    s = tables.values("weight/spreads")
    parts, without_mass = _parts(g, s)
    if whole and not parts:
        g.lack("weight.parts")
    target, growth, sheet = g.first("weight.mass_target", "start.mass_guess"), g("weight.growth"), g("weight.sheet_mass")
    carried, motors = pack_items(g, s), _motors(g, whole, geometry, s)
    readings = _readings(scale, reading, s)
    if geometry.missing or any(i.mass is None for i in carried) or (whole and (not parts or leads.left is None or any(i.mass is None for i in motors))):
        return replace(Balance.unknown(g), **readings, target=target)
    foam = _foam(g, geometry, sheet, s)
    built = (*foam, *_glue(g, foam, s), *parts, *_leads(leads, geometry, s))
    listed = (*built, *(i for i in motors if i.mass is not None), *carried)
    items = (*listed, _growth(growth, *([i for i in group if i.name != BALLAST] for group in (built, listed)), geometry, s))
    return Balance(**_totals(items, readings, s), items=items, foam_mass=sum(i.mass for i in foam), foam_area=geometry.foam_area, growth_mass=items[-1].mass,
                   sheet_weighed=foam[0].origin in WEIGHED, without_mass=without_mass, target=target, **g.marks())


def pack_sides(layout):
    """Which packs a layout carries."""
    return ("shared",) if layout == "one" else ("left", "right")


def pack_items(g, s):
    """The packs of the layout at their places; an empty mass is estimated from the energy; mass None: not known."""
    found, below = [], g("weight.pack_below")
    for side in pack_sides(g("power.packs")):
        path = f"weight.{side}.pack_mass"
        kilos, behind = g.maybe(path), g(f"weight.{side}.pack_behind")
        out = 0.0 if side == "shared" else g(f"weight.{side}.pack_out") * (-1.0 if side == "left" else 1.0)
        if kilos is None:
            kilos, origin, relative = _estimated_pack(g, side, s), "assumed", s["pack"]
            g.assume(path)
        else:
            origin = g.record.get(path).origin
            relative = _spread(origin, s)
        extents = (0.0, 0.0, 0.0) if kilos is None else pack_room.size(g, side, kilos)[0]
        found.append(Item("pack" if side == "shared" else f"pack, {side}", "packs", kilos, kilos and kilos * relative, behind, out, below, origin, *extents,
                          place_spread=s["place"], side=side))
    return tuple(found)


def _estimated_pack(g, side, s):
    """Mass of a pack nobody weighed, from its energy."""
    cells, capacity = g(f"power.{side}.cells"), g(f"power.{side}.capacity")
    if None in (cells, capacity):
        return None
    return float(packs.stored_energy(cells, capacity, tables.values("pack/defaults")["nominal_cell"])) / s["pack_energy"]


def _spread(origin, s):
    """Relative spread of a mass by where it comes from."""
    return s["weighed"] if origin in WEIGHED else s["table"] if origin in TABLE else s["assumed"]


def _parts(g, s):
    """The rows of the parts table, and the names of those without a mass."""
    found, without, at_hand = [], [], {}
    for number, row in enumerate(g.rows("weight.parts"), 1):
        name, origin = row["name"] or f"part {number}", row["origin"]
        spread = _spread(origin, s)
        if row["mass"] is None:
            at_hand = at_hand or _at_hand(g)
            if name.casefold() not in at_hand:
                without.append(name)
                continue
            row["mass"], spread = at_hand[name.casefold()]
            origin, spread = PARTS_AT_HAND, _spread(spread, s)
        kilos, mirrored = row["mass"] * row["count"], row["mirrored"] == "yes"
        own = kilos * spread if row["spread"] is None else row["spread"] * row["count"]
        found.append(Item(name, "parts", kilos, own, row["behind"], abs(row["out"]) if mirrored else row["out"], row["below"],
                          origin, mirrored=mirrored, place_spread=s["place"]))
    return tuple(found), tuple(without)


def _at_hand(g):
    """Name -> mass of one and where it comes from, of the parts at hand on page 00."""
    g.rows("start.parts")
    rows = [row for row in g.record.rows("start.parts") if "name" in row and "mass" in row]
    return {row["name"].value.casefold(): (row["mass"].value, row["mass"].origin) for row in rows}


def _motors(g, needed, geometry, s):
    """Both motors at their nacelles, just behind the propeller; mass None: not known."""
    if geometry.missing:
        return ()
    found = []
    for side, sign in (("left", -1.0), ("right", 1.0)):
        path = f"power.{side}.motor_mass"
        kilos = g(path) if needed else g.maybe(path)
        origin = g.record.get(path).origin if kilos else "assumed"
        found.append(Item(f"motor, {side}", "motors", kilos, kilos and kilos * _spread(origin, s), geometry.propeller_behind + SPINNER_LENGTH,
                          sign * geometry.nacelle_out, geometry.propeller_below, origin, place_spread=s["place"], side=side))
    return tuple(found)


def _foam(g, geometry, sheet, s):
    """The foam parts: their outlines times the mass of the sheet; one sheet stands behind all, so their spreads go together."""
    origin = "weighed" if g("weight.sheet_weighed") else g.record.get("weight.sheet_mass").origin
    spread = s["sheet_weighed"] if origin in WEIGHED else s["sheet_assumed"]
    found = []
    for o in geometry.outlines:
        found.append(Item(o.name if o.pieces == 1 else f"{o.name} ({o.pieces} pieces)", "foam", o.area * sheet, o.area * sheet * spread, o.behind, o.out, o.below,
                          origin, *o.extents, mirrored=o.mirrored, place_spread=s["place"]))
    return tuple(found)


def _glue(g, foam, s):
    share = g("weight.glue_share")
    kilos = share * sum(i.mass for i in foam)
    if kilos == 0.0:
        return ()
    return (_lump("glue, tape and paint", "glue", kilos, kilos * s["glue"], foam, g.record.get("weight.glue_share").origin, s["place"]),)


def _growth(share, built, listed, geometry, s):
    """What a finished model weighs beyond its list; it settles on what is built, not on motors and packs."""
    kilos = share * sum(i.mass for i in listed)
    return _lump("growth of the finished model", "growth", kilos, kilos * s["growth"], built, "assumed", s["growth_place"] * geometry.fuselage_length)


def _lump(name, group, kilos, spread, like, origin, place_spread, side=""):
    """Mass laid out like some other items: the same middle, and extents that give the same inertia for each kilogram."""
    m, places, extents = _arrays(like)
    middle = (m * places).sum(axis=1) / m.sum()
    square = (m * ((places - middle[:, None]) ** 2 + extents**2 / 12.0)).sum(axis=1) / m.sum()
    return Item(name, group, kilos, spread, *map(float, middle), origin, *map(float, np.sqrt(12.0 * square)), place_spread=place_spread, side=side)


def _leads(leads, geometry, s):
    """The wire added to the leads of each side, laid along its route; a lead of typed length without a route lies between fuselage and motor."""
    found = []
    for side, sign in (("left", -1.0), ("right", 1.0)):
        own = getattr(leads, side)
        if own is None or not own.mass:
            continue
        between = ((geometry.controller_behind, 0.0, geometry.propeller_below), (geometry.propeller_behind, sign * geometry.nacelle_out, geometry.propeller_below))
        wire = [piece for lead in own.all if lead.mass for piece in _pieces(lead.route or between, lead.mass)]
        found.append(_lump(f"leads, {side}", "leads", own.mass, own.mass * leads.lead_mass_spread / leads.lead_mass, wire, "assumed", s["place"], side))
    return tuple(found)


def _pieces(route, kilos):
    """A route as straight rods that share the mass by their length."""
    points = np.array(route, dtype=float)
    sizes, middles = np.abs(np.diff(points, axis=0)), 0.5 * (points[1:] + points[:-1])
    lengths = sizes.sum(axis=1)
    return [Item("", "leads", kilos * run / lengths.sum(), 0.0, *map(float, middle), "", *map(float, size))
            for run, middle, size in zip(lengths, middles, sizes) if run > 0.0]


def _arrays(items):
    """Masses (n), places (3, n) and extents (3, n) with mirrored items taken apart; along, across, up."""
    rows = [(i.mass * share, i.behind, out, i.below, i.length, i.width, i.height)
            for i in items for share, out in (((0.5, i.out), (0.5, -i.out)) if i.mirrored else ((1.0, i.out),))]
    found = np.array(rows, dtype=float).T
    return found[0], found[1:4], found[4:7]


def _readings(scale, reading, s):
    """What the scale and the balance on two fingers tell; they overrule the list."""
    found = {}
    if scale is not None:
        found |= {"mass": scale, "mass_low": scale * (1.0 - s["weighed"]), "mass_high": scale * (1.0 + s["weighed"]), "mass_origin": "scale"}
    if reading is not None:
        found |= {"cg_behind": reading, "cg_spread": s["balance"], "cg_origin": "balance"}
    return found


def _totals(items, readings, s):
    """Total, centre of gravity and inertia of the list with their spreads, overruled by the readings."""
    kilos, (spread, shares) = sum(i.mass for i in items), _mass_spread(items)
    carried, rest = [i for i in items if i.group == "packs"], [i for i in items if i.group != "packs"]
    fields = {"mass": kilos, "mass_low": kilos - spread, "mass_high": kilos + spread, "mass_origin": "list", "cg_origin": "list", "list_mass": kilos,
              "groups": tuple((n, sum(i.mass for i in items if i.group == n)) for n in GROUPS), "spread_shares": shares,
              "pack_mass": sum(i.mass for i in carried), **dict.fromkeys(PLACED)}
    fields["rest_behind"] = sum(i.mass * i.behind for i in rest) / sum(i.mass for i in rest)
    if all(i.behind is not None for i in carried):
        m, places, extents = _arrays(items)
        found = masses.mass_properties(m, -places[0], places[1], places[2], *extents)   # x points forward, places count rearward
        along, across, up = _cg_spreads(items, s)
        heavier = readings.get("mass", kilos) / kilos      # the scale's aeroplane is taken as the list's, evenly heavier
        fields |= {
            "cg_behind": -float(found.x), "cg_out": float(found.y), "cg_below": float(found.z), "cg_spread": along, "cg_out_spread": across,
            "cg_below_spread": up, "inertia_xx": float(found.ixx) * heavier, "inertia_yy": float(found.iyy) * heavier,
            "inertia_zz": float(found.izz) * heavier, "inertia_xz": float(found.ixz) * heavier, "list_behind": -float(found.x),
        }
    fields |= readings
    fields["rest_mass"] = fields["mass"] - fields["pack_mass"]
    if fields["list_behind"] is not None and readings:
        moment = fields["mass"] * fields["cg_behind"] - sum(i.mass * i.behind for i in carried)
        fields["rest_behind"] = moment / fields["rest_mass"]
    return fields


def _mass_spread(items):
    """Spread of the total and who causes it: foam parts go together, all else is independent."""
    foam = sum(i.spread for i in items if i.group == "foam")
    groups = {n: foam if n == "foam" else float(np.sqrt(sum(i.spread**2 for i in items if i.group == n))) for n in GROUPS}
    return float(np.sqrt(sum(x**2 for x in groups.values()))), tuple(groups.items())


def _cg_spreads(items, s):
    """Spread of the centre of gravity along, across and up; the foam counts as one piece, since one sheet stands behind all of it."""
    foam = [i for i in items if i.group == "foam"]
    m, places, _ = _arrays(foam)
    lump = (m.sum(), sum(i.spread for i in foam), *((m * places).sum(axis=1) / m.sum()), s["place"])
    rows = [(i.mass, i.spread, i.behind, 0.0 if i.mirrored else i.out, i.below, i.place_spread) for i in items if i.group != "foam"]
    kilos, spread, *where, ruler = np.array([lump, *rows], dtype=float).T
    return tuple(float(masses.cg_spread(kilos, place, spread, along)) for place, along in zip(where, (ruler, s["place"], s["place"])))
