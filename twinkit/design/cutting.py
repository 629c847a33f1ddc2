"""Laying the foam parts on sheets by the rectangles round them, largest first: in rows, and into the free corners; the better of the two stands."""

import functools
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Piece:
    """One piece on a sheet: the corner nearest the sheet's origin, its extent along and across the sheet's length, and how it is laid.

    turned: by a quarter turn. turned_over: as the mirror image, so that the pair fits left and right.
    """

    name: str
    sheet: int
    along: float
    across: float
    extent_along: float
    extent_across: float
    turned_over: bool
    turned: bool = False

    def placed(self, points):
        """Points of its outline (along, across, counted from its least corner) where they come to lie on the sheet."""
        points = np.asarray(points, dtype=float)
        length = self.extent_across if self.turned else self.extent_along
        if self.turned_over:
            points = np.column_stack((length - points[:, 0], points[:, 1]))
        if self.turned:
            points = np.column_stack((self.extent_along - points[:, 1], points[:, 0]))
        return points + (self.along, self.across)


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
    return _plan(tuple((o.name, o.length, o.width, o.area, o.pieces, o.mirrored) for o in outlines), sheet_length, sheet_width, gap)


@functools.lru_cache(maxsize=64)
def _plan(parts, length, width, gap):
    fitting, misfits, wanted = [], [], 0.0
    for name, long, wide, area, pieces, mirrored in parts:
        if max(long, wide) > length or min(long, wide) > width:
            misfits.append(Misfit(name, max(long, wide), min(long, wide)))
            continue
        wanted += area
        fitting += [(name, long, wide, mirrored and number % 2 == 1) for number in range(pieces)]
    tries = [_rows(fitting, length, width, gap, standing) for standing in (False, True)]
    tries += [_corners(fitting, length, width, gap, order) for order in (_by_area, _by_length)]
    pieces = min(tries, key=lambda laid: (_sheets(laid), _used_of_last(laid)))
    sheets = _sheets(pieces)
    return CuttingPlan(length, width, sheets, tuple(pieces), tuple(misfits), wanted / (sheets * length * width) if sheets else 0.0)


def _ways(part, length, width):
    """The extents (along, across, turned) in which a part fits a sheet, lying first."""
    lying = part[1] >= part[2]
    both = ((part[1], part[2], False), (part[2], part[1], True))
    return [way for way in (both if lying else both[::-1]) if way[0] <= length and way[1] <= width]


def _piece(part, sheet, along, across, way):
    return Piece(part[0], sheet, along, across, way[0], way[1], part[3], way[2])


def _rows(parts, length, width, gap, standing):
    """Lay the parts in rows: each goes into the first row it fits, else begins a row, else a sheet. standing: long sides across where they fit."""
    ways = {part: _ways(part, length, width)[::-1 if standing else 1] for part in parts}
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
        laid.append(_piece(part, row[0], row[3], row[1], way))
        row[3] += way[0] + gap
    return laid


def _by_area(part):
    return -part[1] * part[2]


def _by_length(part):
    return -max(part[1], part[2]), -part[1] * part[2]


def _corners(parts, length, width, gap, order):
    """Lay each part into the corner of the free room it fills best; free rooms are the largest empty rectangles, they overlap each other."""
    rooms, laid = [], []      # rooms of each sheet: (along, across, extent along, extent across), grown by the gap so that a part brings its own
    for part in sorted(parts, key=order):
        best = None
        for sheet in range(len(rooms) + 1):
            free = rooms[sheet] if sheet < len(rooms) else [(0.0, 0.0, length + gap, width + gap)]
            for way in _ways(part, length, width):
                wide, high = way[0] + gap, way[1] + gap
                for x, y, w, h in free:
                    if wide <= w + 1e-9 and high <= h + 1e-9:
                        rank = (sheet, min(w - wide, h - high), max(w - wide, h - high))
                        if best is None or rank < best[0]:
                            best = (rank, sheet, x, y, way)
            if best:
                break
        _, sheet, x, y, way = best
        if sheet == len(rooms):
            rooms.append([(0.0, 0.0, length + gap, width + gap)])
        rooms[sheet] = _left_free(rooms[sheet], (x, y, way[0] + gap, way[1] + gap))
        laid.append(_piece(part, sheet, x, y, way))
    return laid


def _left_free(free, taken):
    """The largest empty rectangles that are left when one is taken out."""
    x, y, w, h = taken
    cut = []
    for fx, fy, fw, fh in free:
        if x >= fx + fw or fx >= x + w or y >= fy + fh or fy >= y + h:
            cut.append((fx, fy, fw, fh))
            continue
        cut += [room for room in ((fx, fy, x - fx, fh), (x + w, fy, fx + fw - x - w, fh), (fx, fy, fw, y - fy), (fx, y + h, fw, fy + fh - y - h))
                if room[2] > 1e-9 and room[3] > 1e-9]
    cut = list(dict.fromkeys(cut))
    inside = lambda a, b: a[0] >= b[0] and a[1] >= b[1] and a[0] + a[2] <= b[0] + b[2] and a[1] + a[3] <= b[1] + b[3]  # noqa: E731
    return [room for room in cut if not any(room is not other and inside(room, other) for other in cut)]


def _sheets(laid):
    return max((piece.sheet for piece in laid), default=-1) + 1


def _used_of_last(laid):
    last = _sheets(laid) - 1
    return sum(p.extent_along * p.extent_across for p in laid if p.sheet == last)
