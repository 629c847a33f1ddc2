"""Pages of the full-size templates: vector figures in the size of the paper, one for each page, and the map that comes first."""

import numpy as np

from twinkit.design.paper import BAR, EDGE, OVERLAP, STRIP, on_page
from twinkit.drawings import style

MILLI = 1000.0      # pages are drawn in millimetres of paper
INCH = 0.0254
LINES = {"fold": {"ls": (0, (7, 3)), "lw": 0.7}, "hinge": {"ls": (0, (7, 2, 1, 2)), "lw": 0.7}, "spar": {"ls": (0, (1.5, 2)), "lw": 0.9}}
MEANING = {"fold": "fold: cut the paper on the inside only", "hinge": "hinge", "spar": "middle of the spar"}


def figures(results):
    """The pages of the templates, one after the other; a generator, so that one is held at a time."""
    told = results.templates
    for page in told.pages:
        figure = style.figure(told.page_width / INCH, told.page_height / INCH)
        figure.set_facecolor("white")
        figure.set_layout_engine("none")
        ax = style.axes(figure, 1, 1, 1)
        ax.set_position((0.0, 0.0, 1.0, 1.0))
        ax.set_axis_off()
        ax.set_xlim(0.0, told.page_width * MILLI)
        ax.set_ylim(0.0, told.page_height * MILLI)
        (_map if page.number == 1 else _part)(ax, told, page, results)
        _bars(ax, told)
        name = results.record.value("start.name") or "build without a name"
        where = "" if page.rows * page.columns == 1 else f", row {page.row + 1} of {page.rows}, column {page.column + 1} of {page.columns}"
        ax.text((EDGE + STRIP + 0.108) * MILLI, (EDGE + 0.0095) * MILLI, _fitted(f"{name} · page {page.number} of {len(told.pages)}"), fontsize=7.5, va="center")
        ax.text((EDGE + STRIP + 0.108) * MILLI, (EDGE + 0.0055) * MILLI, _fitted(page.title + where), fontsize=6.5, va="center")
        ax.text((EDGE + STRIP + 0.108) * MILLI, (EDGE + 0.0018) * MILLI, "print at 100 %, never \"fit to page\"", fontsize=6.5, va="center")
        yield figure


def _fitted(words, most=58):
    return words if len(words) <= most else words[:most - 1] + "…"


def _bars(ax, told):
    """The two check bars: each measures 100 mm on the paper when the printer does what the last print did."""
    left, foot = (EDGE + STRIP) * MILLI, (EDGE + STRIP) * MILLI
    across, up = BAR * MILLI * told.across, BAR * MILLI * told.up
    x, y = (EDGE + 0.007) * MILLI, (EDGE + 0.007) * MILLI
    look = {"color": style.INK, "solid_capstyle": "butt"}
    ax.plot([left, left + across], [y, y], lw=1.2, **look)
    ax.plot([x, x], [foot, foot + up], lw=1.2, **look)
    for end in (left, left + across):
        ax.plot([end, end], [y - 2.5, y + 2.5], lw=0.5, **look)
    for end in (foot, foot + up):
        ax.plot([x - 2.5, x + 2.5], [end, end], lw=0.5, **look)
    ax.text(left + across / 2.0, y - 4.2, "bar across: 100 mm on paper, from line to line", fontsize=6.5, ha="center", va="center")
    ax.text(x - 4.2, foot + up / 2.0, "bar up: 100 mm on paper", fontsize=6.5, ha="center", va="center", rotation=90)


def _part(ax, told, page, results):
    """Outlines in the window of the page, with their lines, their names and the marks shared with the neighbours."""
    from matplotlib.patches import Polygon, Rectangle

    x0, y0, wide, high = (value * MILLI for value in told.window)
    window = ax.add_patch(Rectangle((x0, y0), wide, high, fill=False, ec=style.FAINT, lw=0.4))
    to_paper = lambda points: np.column_stack((x0 + points[:, 0] * told.across * MILLI, y0 + points[:, 1] * told.up * MILLI))  # noqa: E731
    for outline, shift, turn in page.shapes:
        closed = to_paper(on_page(outline.corners, outline, shift, turn))
        shape = ax.add_patch(Polygon(closed, closed=True, fill=False, ec=style.INK, lw=0.9, joinstyle="miter"))
        shape.set_clip_path(window)
        for meaning, ends in outline.lines:
            line, = ax.plot(*to_paper(on_page(ends, outline, shift, turn)).T, color=style.INK, **LINES[meaning])
            line.set_clip_path(window)
        low, top = np.maximum(closed.min(axis=0), (x0, y0)), np.minimum(closed.max(axis=0), (x0 + wide, y0 + high))
        middle = (low + top) / 2.0
        room = top - low
        words = f"{outline.name}\n{_pieces(outline)}\n{_key(outline)}".strip()
        ax.text(*middle, words, fontsize=min(9.0, max(4.5, 0.11 * max(room))), ha="center", va="center", color=style.INK, linespacing=1.5,
                rotation=90 if room[1] > 1.6 * room[0] else 0)
    for join in page.joins:
        x, y = x0 + join.across * told.across * MILLI, y0 + join.up * told.up * MILLI
        ax.plot([x - 3.5, x + 3.5], [y, y], color=style.INK, lw=0.5)
        ax.plot([x, x], [y - 3.5, y + 3.5], color=style.INK, lw=0.5)
        ax.text(x + 0.8, y + 2.6, f"{join.name} → page {join.page}", fontsize=5.5, ha="left" if x < x0 + wide / 2 else "right", va="center")
    for k, (edge, inside) in enumerate((((page.column + 1 < page.columns), told.window[2] / told.across - OVERLAP), (page.row + 1 < page.rows, told.window[3] / told.up - OVERLAP))):
        if edge:
            at = (x0, y0)[k] + inside * (told.across, told.up)[k] * MILLI
            ends = ([at, at], [y0, y0 + high]) if k == 0 else ([x0, x0 + wide], [at, at])
            ax.plot(*ends, color=style.FAINT, lw=0.5, ls=(0, (2, 3)))


def _pieces(outline):
    if outline.pieces == 1:
        return "cut 1"
    return f"cut {outline.pieces}, {outline.pieces // 2} of them turned over" if outline.mirrored else f"cut {outline.pieces}"


def _key(outline):
    found = dict.fromkeys(MEANING[meaning] for meaning, _ in outline.lines)
    marks = {"fold: cut the paper on the inside only": "long dashes", "hinge": "dash and dot", "middle of the spar": "dots"}
    return "; ".join(f"{marks[words]}: {words.removeprefix('fold: ')}" if words.startswith("fold") else f"{marks[words]}: {words}" for words in found)


def _map(ax, told, page, results):
    """Page 1: what to do, and which page shows what."""
    x0, y0, wide, high = (value * MILLI for value in told.window)
    name = results.record.value("start.name") or "a build without a name"
    lines = ["1. Print this page alone at 100 % (not \"fit to page\"). Measure both bars with a steel rule, from line to line.",
             "2. Is one of them not 100 mm? Type both lengths into page 05, write the templates again, print again, measure again.",
             "3. Print the rest. Cut along the thin dashed lines, lay page on page so that the crosses with one letter meet, tape.",
             "4. Lay the templates on the board, prick the corners, mark every part L or R, then cut. A part turned over is its mirror image."]
    top = y0 + high
    ax.text(x0, top - 4, f"Templates of {name}, full size", fontsize=13, va="top")
    drawn = "drawn true to size" if told.across == told.up == 1.0 else (
        f"drawn {100 * told.across:.2f} % wide and {100 * told.up:.2f} % high, so that your printer makes them true")
    ax.text(x0, top - 13, f"{len(told.pages)} pages, {drawn}. Neighbouring pages overlap by {OVERLAP * MILLI:.0f} mm.", fontsize=8, va="top")
    for k, words in enumerate(lines):
        ax.text(x0, top - 21 - 6 * k, words, fontsize=7.3, va="top")
    parts = {}
    for other in told.pages[1:]:
        parts.setdefault(other.title if other.rows * other.columns > 1 else f"#{other.number}", []).append(other)
    tiled = [group for group in parts.values() if group[0].rows * group[0].columns > 1]
    single = [group[0] for group in parts.values() if group[0].rows * group[0].columns == 1]
    sizes = [_span(told, group) for group in tiled]
    floor, ceiling = y0 + 7.0 * len(single) + 6.0, top - 50.0
    scale = _small_scale(sizes, wide, ceiling - floor)
    x, y, row = x0, ceiling, 0.0
    for group, (across, up) in zip(tiled, sizes):
        if x > x0 and x + across * scale > x0 + wide:
            x, y, row = x0, y - row - 12.0, 0.0
        _small(ax, told, group, x, y - up * scale, scale)
        ax.text(x, y + 3.2, group[0].title, fontsize=7.5, va="center")
        row = max(row, up * scale)
        x += across * scale + 8.0
    for k, other in enumerate(single):
        ax.text(x0, floor - 6.0 - 7.0 * k, f"page {other.number}: {_fitted(other.title, 110)}", fontsize=7.5, va="center")


def _span(told, group):
    """Size of the pages of a part joined, in millimetres."""
    page = group[0]
    step = (told.window[2] / told.across - OVERLAP, told.window[3] / told.up - OVERLAP)
    return tuple((OVERLAP + s * n) * MILLI for s, n in zip(step, (page.columns, page.rows)))


def _small_scale(sizes, wide, high):
    """The scale at which all maps find room, row after row."""
    for scale in np.geomspace(0.12, 0.01, 40):
        x, rows, row = 0.0, 0.0, 0.0
        for across, up in sizes:
            if x > 0.0 and x + across * scale > wide:
                x, rows, row = 0.0, rows + row + 12.0, 0.0
            x, row = x + across * scale + 8.0, max(row, up * scale)
        if rows + row + 6.0 <= high and all(across * scale <= wide for across, _ in sizes):
            return scale
    return 0.01


def _small(ax, told, group, x, y, scale):
    """A part small, with the pages it is spread over."""
    from matplotlib.patches import Polygon, Rectangle

    step = ((told.window[2] / told.across - OVERLAP) * MILLI, (told.window[3] / told.up - OVERLAP) * MILLI)
    outline, shift, turn = group[0].shapes[0]
    points = on_page(outline.corners, outline, shift, turn) * MILLI * scale + (x, y)
    ax.add_patch(Polygon(points, closed=True, fc=style.FOAM, ec=style.INK, lw=0.7))
    for page in group:
        corner = (x + page.column * step[0] * scale, y + page.row * step[1] * scale)
        size = ((step[0] + OVERLAP * MILLI) * scale, (step[1] + OVERLAP * MILLI) * scale)
        ax.add_patch(Rectangle(corner, *size, fill=False, ec=style.SIDE_COLOUR["shared"], lw=0.6, ls=(0, (3, 2))))
        ax.text(corner[0] + size[0] / 2, corner[1] + size[1] / 2, str(page.number), fontsize=7.5, ha="center", va="center")
