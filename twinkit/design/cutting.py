"""Laying the foam parts on sheets: rows across the sheet, largest parts first."""

import functools
from dataclasses import dataclass


@dataclass(frozen=True)
class Piece:
    """One piece on a sheet: the corner nearest the sheet's origin, and its extent along and across the sheet's length."""

    name: str
    sheet: int
    along: float
    across: float
    extent_along: float
    extent_across: float
    turned_over: bool


@dataclass(frozen=True)
class Misfit:
    """A part that fits no sheet whichever way it is laid, and the sheet it would need."""

    name: str
    length: float
    width: float


@dataclass(frozen=True)
class CuttingPlan:
    """Pieces on sheets of one size; misfits are left out. used is the share of the sheets' area that becomes parts."""

    sheet_length: float
    sheet_width: float
    sheets: int
    pieces: tuple
    misfits: tuple
    used: float


def cutting_plan(outlines, sheet_length, sheet_width, gap):
    """The parts of an aeroplane on sheets; every second piece of a mirrored pair is cut turned over."""
    return _plan(tuple((o.name, o.length, o.cut_width, o.pieces, o.mirrored) for o in outlines), sheet_length, sheet_width, gap)


@functools.lru_cache(maxsize=64)
def _plan(parts, length, width, gap):
    fitting, misfits, wanted = [], [], 0.0
    for name, long, wide, pieces, mirrored in parts:
        long, wide = max(long, wide), min(long, wide)
        if long > length or wide > width:
            misfits.append(Misfit(name, long, wide))
            continue
        wanted += long * wide * pieces
        fitting += [(name, long, wide, mirrored and number % 2 == 1) for number in range(pieces)]
    tries = [_rows(fitting, length, width, gap, standing) for standing in (False, True)]
    pieces = min(tries, key=lambda laid: (_sheets(laid), _used_of_last(laid)))
    sheets = _sheets(pieces)
    return CuttingPlan(length, width, sheets, tuple(pieces), tuple(misfits), wanted / (sheets * length * width) if sheets else 0.0)


def _rows(parts, length, width, gap, standing):
    """Lay the parts in rows: each goes into the first row it fits, else begins a row, else a sheet. standing: long sides across where they fit."""
    ways = {}
    for part in parts:
        lying, upright = (part[1], part[2]), (part[2], part[1])
        both = [way for way in ((upright, lying) if standing else (lying, upright)) if way[0] <= length and way[1] <= width]
        ways[part] = both
    rows, feet, laid = [], [], []      # rows: [sheet, across, height, next along]; feet: where the next row of each sheet begins
    for part in sorted(parts, key=lambda p: (-ways[p][0][1], -ways[p][0][0])):
        place = next(((row, way) for row in rows for way in ways[part] if way[1] <= row[2] and row[3] + way[0] <= length), None)
        if place is None:
            way = ways[part][0]
            sheet = next((n for n, foot in enumerate(feet) if foot + way[1] <= width), len(feet))
            if sheet == len(feet):
                feet.append(0.0)
            place = ([sheet, feet[sheet], way[1], 0.0], way)
            rows.append(place[0])
            feet[sheet] += way[1] + gap
        row, way = place
        laid.append(Piece(part[0], row[0], row[3], row[1], way[0], way[1], part[3]))
        row[3] += way[0] + gap
    return laid


def _sheets(laid):
    return max((piece.sheet for piece in laid), default=-1) + 1


def _used_of_last(laid):
    last = _sheets(laid) - 1
    return sum(p.extent_along * p.extent_across for p in laid if p.sheet == last)
