"""Files on paper: full-size templates and the working drawing as PDF, every sheet of board as SVG and as DXF in full size, into the build's folder."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from twinkit.design import Results
from twinkit.design.base import said_all
from twinkit.files import making
from twinkit.folder import FolderError, unwritable

FOLDER = "paper"
MILLI = 1000.0
POINTS = 72.0 / 0.0254      # of PDF and SVG in a metre
CUT, NAMES = "cut", "names"      # what is drawn on a sheet besides the lines on a part
LAYERS = {      # of a DXF, the same in every file: (number of the colour, dashes and gaps in mm)
    CUT: (7, ()), "fold": (5, (7.0, -3.0)), "hinge": (3, (7.0, -2.0, 1.0, -2.0)), "spar": (1, (1.5, -2.0)), NAMES: (8, ()),
}
LETTER = 5.0      # height of a part's name on a sheet [mm]


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
    files = [folder / f"templates-{paper}.pdf", folder / f"working-drawing-{paper}.pdf",
             *(folder / f"sheet-{n + 1}{kind}" for kind in SHEETS for n in range(sheets))]
    if folder.is_symlink():
        raise FolderError(f"'{folder}' is a link to another place, and nothing is written there: take the link away, then write again.")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for draw, file in zip((_templates, _working_drawing), files):
            with making(file) as fresh:
                draw(results, fresh)
        for count, file in enumerate(files[2:]):
            with making(file) as fresh:
                SHEETS[file.suffix](results, count % sheets, fresh)
        for names in ("templates-*.pdf", "working-drawing-*.pdf", *(f"sheet-*{kind}" for kind in SHEETS)):      # no page of another size or plan is left behind
            for old in set(folder.glob(names)).difference(files):
                old.unlink()
    except OSError as error:
        raise unwritable(folder, error) from None
    return files


def said(results, files):
    """What was written, as sentences."""
    told = results.templates
    kind = {"a4": "A4", "letter": "Letter"}[told.paper]
    scale = "true to size" if told.across == told.up == 1.0 else f"{100.0 * told.across:.2f} % wide and {100.0 * told.up:.2f} % high, so that your printer makes them true"
    svg, dxf = (", ".join(f.name for f in files if f.suffix == suffix) for suffix in SHEETS)
    return (f"{files[0].name}: {len(told.pages)} pages of {kind}, drawn {scale}. Print page 1 first, at 100 %, and measure its bars.",
            f"{files[1].name}: three views with dimensions, one page.",
            f"{svg or 'no sheet'}: your sheets of board in full size, with every part on them.",
            *((f"{dxf}: the same sheets for a cutter, in millimetres, one layer for each kind of line. Let it cut the layer \"{CUT}\" only.",) if dxf else ()))


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


@dataclass(frozen=True)
class Laid:
    """A part on a sheet, in mm from the sheet's corner: outline, lines with their meanings, and its name with middle, height and whether it stands upright."""

    corners: np.ndarray
    lines: tuple
    name: str
    upright: bool
    spot: tuple
    letter: float


def _laid(results, number):
    """The parts on one sheet."""
    shapes = {o.name: o for o in results.geometry.outlines}
    for piece in (p for p in results.wing.cutting.pieces if p.sheet == number):
        part = shapes[piece.name]
        least = np.asarray(part.corners).min(axis=0)
        place = lambda points: piece.placed(np.asarray(points) - least) * MILLI  # noqa: B023, E731
        corners, lines = place(part.corners), tuple((meaning, place(ends)) for meaning, ends in part.lines)
        name, extent = piece.name + (", turned over" if piece.turned_over else ""), np.ptp(corners, axis=0)
        along, across = np.abs(np.subtract(*lines[0][1])) if lines else extent      # the name runs as the lines do, or else as the part is long
        upright = bool(across > along)
        spot, room = _strip(corners, lines, upright)
        letter = float(min(LETTER, 0.5 * room, extent[int(upright)] / len(name)))      # a letter is no wider than it is high: the name stays on its part
        yield Laid(corners, lines, name, upright, spot, letter)


def _strip(corners, lines, upright):
    """Middle and width of the widest strip between edges and lines, half-way along the part: no line runs through a name that stands there."""
    run, over = (1, 0) if upright else (0, 1)
    half = (corners[:, run].min() + corners[:, run].max()) / 2.0
    ends = (*zip(corners, np.roll(corners, -1, axis=0)), *(ends for _, ends in lines))
    met = sorted(float(a[over] + (half - a[run]) / (b[run] - a[run]) * (b[over] - a[over])) for a, b in ends if a[run] != b[run] and (a[run] - half) * (b[run] - half) <= 0.0)
    low, high = max(zip(met, met[1:]), key=lambda strip: strip[1] - strip[0])
    middle = (low + high) / 2.0
    return ((middle, half) if upright else (half, middle)), high - low


def sheet_svg(results, number, file):
    """One sheet of board in full size as SVG: cut lines, fold, hinge and spar lines, names."""
    from matplotlib import rc_context
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.patches import Polygon

    from twinkit.drawings import style
    from twinkit.drawings.templates import LINES

    plan = results.wing.cutting
    figure = style.figure(plan.sheet_length / 0.0254, plan.sheet_width / 0.0254)
    figure.set_layout_engine("none")
    FigureCanvasSVG(figure)
    ax = style.axes(figure, 1, 1, 1)
    ax.set_position((0.0, 0.0, 1.0, 1.0))
    ax.set_axis_off()
    ax.set_xlim(0.0, plan.sheet_length * MILLI)
    ax.set_ylim(0.0, plan.sheet_width * MILLI)
    for part in _laid(results, number):
        ax.add_patch(Polygon(part.corners, closed=True, fill=False, ec=style.INK, lw=0.6, gid=CUT))
        for meaning, ends in part.lines:
            ax.plot(*ends.T, color=style.WIRE_COLOUR["positive"], gid=meaning, **LINES[meaning])
        ax.text(*part.spot, part.name, fontsize=part.letter / MILLI * POINTS, ha="center", va="center", rotation=90 if part.upright else 0)
    with rc_context({"svg.hashsalt": "twinkit", "svg.fonttype": "none"}):
        figure.savefig(file, format="svg", transparent=True, metadata={"Date": None, "Title": f"sheet {number + 1}", "Creator": "twinkit"})


def sheet_dxf(results, number, file):
    """One sheet of board in full size as DXF for a cutter: millimetres from the sheet's corner, a layer for each kind of line."""
    import ezdxf
    from ezdxf import bbox
    from ezdxf.enums import TextEntityAlignment

    plan, dated = results.wing.cutting, ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True      # no day and no chance number in the file: the same build gives the same file
    try:
        document = ezdxf.new("R2000", units=ezdxf.units.MM)      # the oldest with a unit and closed outlines of one piece: the most programs read it
        for layer, (colour, dashes) in LAYERS.items():
            if dashes:
                document.linetypes.add(layer, [sum(map(abs, dashes)), *dashes], description=layer)
            document.layers.add(layer, color=colour, linetype=layer if dashes else "Continuous")
        space = document.modelspace()
        for part in _laid(results, number):
            space.add_lwpolyline(part.corners.tolist(), close=True, dxfattribs={"layer": CUT})
            for meaning, ends in part.lines:
                space.add_line(*ends.tolist(), dxfattribs={"layer": meaning})
            text = space.add_text(part.name, height=part.letter, rotation=90.0 if part.upright else 0.0, dxfattribs={"layer": NAMES})
            text.set_placement(part.spot, align=TextEntityAlignment.MIDDLE_CENTER)
        length, width = plan.sheet_length * MILLI, plan.sheet_width * MILLI
        drawn = bbox.extents(space.query(f'LWPOLYLINE[layer=="{CUT}"]'))
        space.reset_extents(drawn.extmin, drawn.extmax)
        document.header["$EXTMIN"], document.header["$EXTMAX"] = drawn.extmin, drawn.extmax      # the library leaves them out where a part lies in the sheet's corner
        space.reset_limits((0.0, 0.0), (length, width))
        document.set_modelspace_vport(width, center=(length / 2.0, width / 2.0))
        document.saveas(file)
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = dated


SHEETS = {".svg": sheet_svg, ".dxf": sheet_dxf}

__all__ = ["FOLDER", "FolderError", "NotYet", "said", "sheet_dxf", "sheet_svg", "write"]
