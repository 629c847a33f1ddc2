"""Files on paper: full-size templates and the working drawing as PDF, every sheet of board as SVG in full size, into the build's folder."""

from pathlib import Path

import numpy as np

from twinkit.design import Results
from twinkit.design.base import said_all
from twinkit.folder import FolderError, unwritable

FOLDER = "paper"
MILLI = 1000.0
POINTS = 72.0 / 0.0254      # of PDF and SVG in a metre


class NotYet(Exception):
    """There is nothing to draw yet; its text says what is missing."""


def write(place, record):
    """Write everything on paper for a record into a folder's own paper folder; the files, in the order a builder wants them."""
    results = Results(record)
    missing = dict.fromkeys((*results.templates.missing, *results.wing.missing))
    if missing:
        raise NotYet(f"Nothing to draw yet. Not yet known: {said_all(tuple(missing))}.")
    folder, paper = Path(place) / FOLDER, record.value("wing.paper")
    sheets = results.wing.cutting.sheets
    files = [folder / f"templates-{paper}.pdf", folder / f"working-drawing-{paper}.pdf", *(folder / f"sheet-{n + 1}.svg" for n in range(sheets))]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for old in (*folder.glob("templates-*.pdf"), *folder.glob("working-drawing-*.pdf"), *folder.glob("sheet-*.svg")):      # no page of another size or plan is left behind
            if old not in files:
                old.unlink()
        _templates(results, files[0])
        _working_drawing(results, files[1])
        for number, file in enumerate(files[2:]):
            sheet_svg(results, number, file)
    except OSError as error:
        raise unwritable(folder, error) from None
    return files


def said(results, files):
    """What was written, as sentences."""
    told = results.templates
    kind = {"a4": "A4", "letter": "Letter"}[told.paper]
    scale = "true to size" if told.across == told.up == 1.0 else f"{100.0 * told.across:.2f} % wide and {100.0 * told.up:.2f} % high, so that your printer makes them true"
    return (f"{files[0].name}: {len(told.pages)} pages of {kind}, drawn {scale}. Print page 1 first, at 100 %, and measure its bars.",
            f"{files[1].name}: three views with dimensions, one page.",
            f"{', '.join(f.name for f in files[2:]) or 'no sheet'}: your sheets of board in full size, with every part on them.")


def _document(file, title):
    from matplotlib.backends.backend_pdf import PdfPages

    return PdfPages(file, metadata={"Title": title, "CreationDate": None, "Creator": "twinkit", "Producer": None})


def _templates(results, file):
    from twinkit.drawings import templates

    with _document(file, f"Templates of {results.record.value('start.name') or 'a build'}") as document:
        for figure in templates.figures(results):
            document.savefig(figure, facecolor="white")


def _working_drawing(results, file):
    """The three views in the middle of one page, at the scale they name."""
    from twinkit.drawings.three_view import ThreeView

    told = results.templates
    drawing = ThreeView.make(results)
    width, height = told.page_width / 0.0254, told.page_height / 0.0254
    wide, high = drawing.size
    drawing.figure.set_size_inches(width, height)
    left, foot = (width - wide) / 2.0, (height - high) / 2.0
    drawing.figure.axes[0].set_position((left / width, foot / height, wide / width, high / height))
    drawing.figure.suptitle(drawing.title, x=left / width, y=(foot + high) / height, ha="left", va="top", fontsize=10.5)
    with _document(file, drawing.title) as document:
        document.savefig(drawing.figure, facecolor="white")


def sheet_svg(results, number, file):
    """One sheet of board in full size as SVG: cut lines, fold, hinge and spar lines, names."""
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.patches import Polygon

    from twinkit.drawings import style
    from twinkit.drawings.templates import LINES

    plan, shapes = results.wing.cutting, {o.name: o for o in results.geometry.outlines}
    figure = style.figure(plan.sheet_length / 0.0254, plan.sheet_width / 0.0254)
    figure.set_layout_engine("none")
    FigureCanvasSVG(figure)
    ax = style.axes(figure, 1, 1, 1)
    ax.set_position((0.0, 0.0, 1.0, 1.0))
    ax.set_axis_off()
    ax.set_xlim(0.0, plan.sheet_length * MILLI)
    ax.set_ylim(0.0, plan.sheet_width * MILLI)
    for piece in (p for p in plan.pieces if p.sheet == number):
        part = shapes[piece.name]
        corner = np.asarray(part.corners).min(axis=0)
        place = lambda points: piece.placed(np.asarray(points) - corner) * MILLI  # noqa: E731
        ax.add_patch(Polygon(place(part.corners), closed=True, fill=False, ec=style.INK, lw=0.6, gid="cut"))
        for meaning, ends in part.lines:
            ax.plot(*place(ends).T, color=style.WIRE_COLOUR["positive"], gid=meaning, **LINES[meaning])
        middle = place(part.corners).mean(axis=0)
        ax.text(*middle, piece.name + (", turned over" if piece.turned_over else ""), fontsize=14, ha="center", va="center", rotation=90 if piece.extent_across > piece.extent_along else 0)
    from matplotlib import rc_context

    with rc_context({"svg.hashsalt": "twinkit", "svg.fonttype": "none"}):
        figure.savefig(file, format="svg", transparent=True, metadata={"Date": None, "Title": f"sheet {number + 1}", "Creator": "twinkit"})


__all__ = ["FOLDER", "FolderError", "NotYet", "said", "sheet_svg", "write"]
