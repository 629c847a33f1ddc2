"""Where a pack finds room: its size, the fuselage or nacelle it lies in, and from where to where it may slide there."""

from dataclasses import dataclass

from twinkit import tables
from twinkit.design.outlines import SPINNER_LENGTH


@dataclass(frozen=True)
class Room:
    """Room of one pack, SI. where: "fuselage", "nacelle" or "wing" (between the two, where there is none). estimated: the pack's size was not entered.

    foremost, rearmost: stops of the pack's middle. fits: whether it goes in. lacks: what the place must be wider or higher by, (name, by), None when it fits.
    beside: the other pack lies at the same station; then both were looked at together, side by side, upon each other or on edge.
    """

    side: str
    where: str
    length: float
    width: float
    height: float
    estimated: bool
    foremost: float
    rearmost: float
    fits: bool
    beside: bool
    lacks: tuple

    @property
    def exists(self):
        """Whether there is any place for it at all."""
        return self.fits and self.foremost <= self.rearmost


def size(g, side, kilos):
    """Length, width and height of a pack, and whether that is an estimate from its mass."""
    s = tables.values("weight/spreads")
    entered = [g.maybe(f"weight.{side}.pack_{name}") for name in ("length", "width", "height")]
    height = (kilos / s["pack_density"] / (s["pack_long"] * s["pack_wide"])) ** (1.0 / 3.0)
    usual = (s["pack_long"] * height, s["pack_wide"] * height, height)
    return tuple(own if own is not None else guess for own, guess in zip(entered, usual)), None in entered


def rooms(g, geometry, carried):
    """Room of each pack of the list, at its place."""
    s, board = tables.values("weight/spreads"), g("wing.board_thickness")
    bay = (g("weight.pack_foremost"), g("weight.pack_rearmost"))
    inner = {"fuselage": (geometry.fuselage_width - 2.0 * board, geometry.fuselage_height - 2.0 * board), "nacelle": (geometry.nacelle_width - 2.0 * board,) * 2}
    found = []
    for item in carried:
        where = _where(item, geometry)
        half = item.length / 2.0
        if where == "nacelle":
            start = geometry.propeller_behind + SPINNER_LENGTH
            stops = (start + s["motor_depth"] + half, start + geometry.nacelle_length - half)
        else:
            stops = (max(bay[0], geometry.nose_behind + board + half), min(bay[1], geometry.tail_end_behind - board - half))
        beside = [o for o in carried if o is not item and where == "fuselage" and _where(o, geometry) == where and abs(o.behind - item.behind) < (o.length + item.length) / 2.0]
        lacks = None if where == "wing" else _lacking(inner[where], item, beside[0] if beside else None)
        estimated = None in [g.record.get(f"weight.{item.side}.pack_{name}") for name in ("length", "width", "height")]
        found.append(Room(item.side, where, item.length, item.width, item.height, estimated, *stops, where != "wing" and lacks is None, bool(beside), lacks))
    return tuple(found)


def _where(item, geometry):
    out = abs(item.out)
    if out <= geometry.fuselage_width / 2.0:
        return "fuselage"
    return "nacelle" if abs(out - geometry.nacelle_out) <= geometry.nacelle_width / 2.0 else "wing"


def _lacking(inner, item, other):
    """By how much the place is too narrow or too low in the best way to lay one pack or two: (name, by), or None when it fits."""
    wide, high = inner
    one, two = (item.width, item.height), (0.0, 0.0) if other is None else (other.width, other.height)
    ways = [(a + b, max(c, d)) for a, b, c, d in ((one[0], two[0], one[1], two[1]), (one[1], two[1], one[0], two[0]))]      # beside each other, flat and on edge
    ways += [(max(a, b), c + d) for a, b, c, d in ((one[0], two[0], one[1], two[1]),)] if other is not None else []              # upon each other
    tight = min(((max(w - wide, 0.0), max(h - high, 0.0)) for w, h in ways), key=sum)
    if sum(tight) < 5e-4:      # half a millimetre: foam gives
        return None
    return ("width", tight[0]) if tight[0] >= tight[1] else ("height", tight[1])
