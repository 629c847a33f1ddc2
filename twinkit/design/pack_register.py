"""The packs one owns: what is known of each, which belong together, and what flows when two are joined."""

from dataclasses import dataclass

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.physics import pack as packs


@dataclass(frozen=True)
class Owned:
    """One line of the register, SI; None where it was not written. side: where it flies now, "" for none.

    cell_volts: resting volts of a cell, charge: how full that is. new_resistance: what such a pack has when new, by the rule of page 01.
    """

    label: str
    pair: str
    bought: str
    cells: float
    capacity: float
    cycles: float
    resistance: float
    volts: float
    measured: str
    note: str
    side: str
    cell_volts: float
    charge: float
    c_rating: float

    @property
    def known(self):
        return self.volts is not None


@dataclass(frozen=True)
class Couple:
    """Two packs looked at together. cells_apart: resting volts of a cell, resistance_apart: share; flow: current at the moment they are joined, allowed: most that is
    taken. None where a reading is missing; estimated: one of the resistances was."""

    one: Owned
    other: Owned
    cells_apart: float
    resistance_apart: float
    flow: float
    allowed: float
    estimated: bool


@dataclass(frozen=True, kw_only=True)
class Register(Result):
    """packs: all lines. flown: side -> Owned, for the packs whose label stands on page 01. unlisted: sides whose pack is not in the register.

    flying: the Couple of both packs that fly, None with one pack or an unlisted one. couples: Couples of all packs that carry the same pair word.
    join_cell, join_pack: most volts apart for joining; full, flat, empty, storage: resting volts of a cell.
    """

    packs: tuple
    flown: dict
    unlisted: tuple
    flying: Couple
    couples: tuple
    join_cell: float
    join_pack: float
    full: float
    flat: float
    empty: float
    storage: float


def name_of(text):
    """A label as it is compared: case and spaces do not count."""
    return " ".join((text or "").split()).casefold()


def measured_resistance(g, side):
    """Resistance of a side's pack as the register has it; None when it does not."""
    label = name_of(g.maybe(f"power.{side}.pack_name"))
    rows = g.rows("weight.register")
    return next((row["resistance"] for row in rows if label and name_of(row["label"]) == label), None)


def register(g, power):
    """The register with what follows from it. The drives of page 01 tell the resistance of packs that fly and were not measured."""
    g.use(power, needed=False)
    usual = tables.values("pack/defaults")
    sides = ("shared",) if g("power.packs") == "one" else ("left", "right")
    labels = {side: name_of(g.maybe(f"power.{side}.pack_name")) for side in sides}
    where = {label: side for side, label in labels.items() if label}
    rows = [row for row in g.rows("weight.register") if row["label"]]
    if not rows:
        g.lack("weight.register")
    if not g.complete:
        return Register.unknown(g)
    owned = tuple(_owned(row, where.get(name_of(row["label"]), "")) for row in rows)
    flown = {p.side: p for p in owned if p.side}
    drives = {p.side: p for p in power.packs or ()}
    both = [flown.get(side) for side in sides]
    groups = {}
    for p in owned:
        groups.setdefault(name_of(p.pair), []).append(p)
    couples = tuple(_couple(one, other, drives) for word, members in groups.items() if word for one, other in zip(members, members[1:]))
    return Register(packs=owned, flown=flown, unlisted=tuple(side for side in sides if side not in flown),
                    flying=_couple(*both, drives) if len(both) == 2 and None not in both else None, couples=couples,
                    join_cell=usual["join_cell_difference"], join_pack=usual["join_pack_difference"], full=usual["stored_full_cell"], flat=usual["stored_flat_cell"],
                    empty=usual["empty_cell"], storage=usual["storage_cell"], **g.marks())


def _owned(row, side):
    cell = row["volts"] / row["cells"] if row["volts"] and row["cells"] else None
    curve = tables.read("pack/cell_voltage").columns
    charge = None
    if cell is not None:
        rising = np.argsort(curve["charge"])
        held = np.clip(cell, curve["ramadass2004"].min(), curve["ramadass2004"].max())
        charge = float(packs.charge_at_voltage(held, curve["charge"][rising], curve["ramadass2004"][rising]))
    words = {name: row[name] or "" for name in ("label", "pair", "bought", "measured", "note")}
    return Owned(**words, **{name: row[name] for name in ("cells", "capacity", "cycles", "resistance", "volts", "c_rating")}, side=side, cell_volts=cell, charge=charge)


def _couple(one, other, drives):
    """Two packs together; a resistance nobody measured is that of page 01 where the pack flies."""
    ohms = [p.resistance or (drives[p.side].resistance if p.side in drives else None) for p in (one, other)]
    known, capacity = None not in ohms, [p.capacity for p in (one, other)]
    apart = max(ohms) / min(ohms) - 1.0 if known else None
    volts = None not in (one.volts, other.volts)
    flow = float(abs(packs.equalising_current(one.volts, ohms[0], other.volts, ohms[1]))) if known and volts else None
    cells = abs(one.cell_volts - other.cell_volts) if None not in (one.cell_volts, other.cell_volts) else None
    return Couple(one, other, cells, apart, flow, None if None in capacity else min(capacity) / 3600.0, None in (one.resistance, other.resistance))
