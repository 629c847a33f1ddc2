"""Full-size templates: how the foam parts are spread over the pages of the builder's printer, and the scale that makes up for it."""

from dataclasses import dataclass

import numpy as np

from twinkit.design.base import Result
from twinkit.design.cutting import cutting_plan
from twinkit.design.outlines import Outline, rectangle

PAPERS = {"a4": (0.210, 0.297), "letter": (0.2159, 0.2794)}      # ISO 216; 8 1/2 by 11 inches
EDGE = 0.008        # that printers leave white all round [m]
STRIP = 0.014       # for the bar and the words, at the foot and on the left [m]
OVERLAP = 0.012     # of neighbouring pages [m]
PAD = 0.003         # white round a part [m]
BAR = 0.100         # length the check bars have on paper [m]
MARKS = (0.25, 0.75)      # where the marks stand along the edge of two pages, as shares of the window


@dataclass(frozen=True)
class Join:
    """A mark that two pages share: its letter, its place in the window of this page [m], and the page it leads to."""

    name: str
    across: float
    up: float
    page: int


@dataclass(frozen=True)
class Page:
    """One printed page. shapes: (outline, its points' shift and quarter turn) so that a point lies in the window; joins: marks shared with other pages."""

    number: int
    title: str
    shapes: tuple
    joins: tuple = ()
    row: int = 0
    column: int = 0
    rows: int = 1
    columns: int = 1


@dataclass(frozen=True, kw_only=True)
class Templates(Result):
    """Pages on one paper, SI. window: (from the left, from below, width, height) of what is drawn. across, up: how much larger than life it is drawn,
    to make up for a printer that shrinks. printed_across, printed_up: size of the last measured print, 1: true; None: not measured."""

    paper: str
    page_width: float
    page_height: float
    window: tuple
    across: float
    up: float
    pages: tuple
    printed_across: float
    printed_up: float
    second: bool


def templates(g, geometry):
    """The pages of the templates of an aeroplane."""
    g.use(geometry)
    paper, first = g("wing.paper"), [g.maybe(f"wing.bar_{way}") for way in ("across", "up")]
    second = [g.maybe(f"wing.check_{way}") for way in ("across", "up")]
    if not g.complete:
        return Templates.unknown(g)
    width, height = PAPERS[paper]
    across, up = (BAR / bar if bar else 1.0 for bar in first)
    window = (EDGE + STRIP, EDGE + STRIP, width - 2.0 * EDGE - STRIP, height - 2.0 * EDGE - STRIP)
    room = (window[2] / across, window[3] / up)      # of the part that one page shows
    checked = None not in second
    printed = [bar / BAR if bar else None for bar in (second if checked else first)]
    return Templates(paper=paper, page_width=width, page_height=height, window=window, across=across, up=up, pages=_pages(geometry.outlines, room),
                     printed_across=printed[0], printed_up=printed[1], second=checked, **g.marks())


def _pages(outlines, room):
    """Page 1 is the map; then every large part on its tiles; then the small ones together."""
    large, small = [], []
    for part in outlines:
        sizes = (part.length + 2.0 * PAD, part.width + 2.0 * PAD)
        (small if min(_tiles(sizes, room), _tiles(sizes[::-1], room)) == 1 else large).append(part)
    pages = [Page(1, "map of the pages", ())]
    for part in large:
        pages += _tiled(part, room, len(pages) + 1)
    boxes = [Outline(part.name, part.group, rectangle(part.length, part.width), 1, False, 0.0, 0.0, 0.0, part.extents) for part in small]
    by_name = {part.name: part for part in small}
    plan = cutting_plan(boxes, max(room) - 2.0 * PAD, min(room) - 2.0 * PAD, 2.0 * PAD)
    upright = room[1] >= room[0]
    for sheet in range(plan.sheets):
        laid = [p for p in plan.pieces if p.sheet == sheet]
        shapes = []
        for piece in laid:
            turn = piece.turned != upright
            place = (piece.across, piece.along) if upright else (piece.along, piece.across)
            shapes.append((by_name[piece.name], (PAD + place[0], PAD + place[1]), turn))
        pages.append(Page(len(pages) + 1, ", ".join(p.name for p in laid), tuple(shapes)))
    return tuple(pages)


def _count(size, room):
    """Pages along one way."""
    return 1 if size <= room + 1e-9 else int(np.ceil((size - OVERLAP) / (room - OVERLAP) - 1e-9))


def _tiles(sizes, room):
    return _count(sizes[0], room[0]) * _count(sizes[1], room[1])


def _tiled(part, room, first):
    """The pages of one large part, row by row from below; laid the way that takes fewer pages."""
    sizes = (part.length + 2.0 * PAD, part.width + 2.0 * PAD)
    turn = _tiles(sizes[::-1], room) < _tiles(sizes, room)
    columns, rows = (_count(size, r) for size, r in zip(sizes[::-1] if turn else sizes, room))
    step = (room[0] - OVERLAP, room[1] - OVERLAP)
    number = lambda row, column: first + row * columns + column  # noqa: E731
    pages = []
    for row in range(rows):
        for column in range(columns):
            joins = []
            for k, share in enumerate(MARKS):
                for to, where in ((column + 1, room[0] - OVERLAP / 2.0), (column - 1, OVERLAP / 2.0)):
                    if 0 <= to < columns:
                        joins.append(Join(f"{min(number(row, column), number(row, to))}{'ab'[k]}", where, share * room[1], number(row, to)))
                for to, where in ((row + 1, room[1] - OVERLAP / 2.0), (row - 1, OVERLAP / 2.0)):
                    if 0 <= to < rows:
                        joins.append(Join(f"{min(number(row, column), number(to, column))}{'cd'[k]}", share * room[0], where, number(to, column)))
            shift = (PAD - column * step[0], PAD - row * step[1])
            pages.append(Page(number(row, column), part.name, ((part, shift, turn),), tuple(joins), row, column, rows, columns))
    return pages


def on_page(points, outline, shift, turn):
    """Points of an outline where they come to lie in the window of a page [m], before the scale."""
    points = np.asarray(points, dtype=float) - np.asarray(outline.corners).min(axis=0)
    if turn:
        points = np.column_stack((outline.width - points[:, 1], points[:, 0]))
    return points + np.asarray(shift)
