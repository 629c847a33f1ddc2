"""One look for every drawing: paper, palette, line styles, and the way from a figure to a picture."""

import io
import math

import matplotlib as mpl
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

mpl.rcParams["text.parse_math"] = False      # a builder's "$5 motor" is words: no picture here holds a formula

DPI = 110
INK = "#22272b"
FAINT = "#a9b1b6"
PAPER = "#fbfaf5"
# Two sides, told apart by hue, lightness and line style; safe for colour-blind readers, and no wire or verdict colour.
SIDE_COLOUR = {"left": "#3b4cc0", "right": "#c2792b", "shared": "#5b6670"}
SIDE_LINE = {"left": "-", "right": (0, (6, 2)), "shared": "-"}
SIDE_MARK = {"left": "o", "right": "D", "shared": "s"}
# Verdicts differ by mark and word first, by colour last.
VERDICT_COLOUR = {"good": "#33691e", "look again": "#8a5a00", "stop": "#9c1f4b", "cannot tell": "#5b6670"}
VERDICT_HATCH = {"good": "", "look again": "..", "stop": "xx", "cannot tell": "--"}
WIRE_COLOUR = {"positive": "#c62828", "negative": "#2b1d16", "signal": "#d9a400", "phase": "#4f6d7a"}
FOAM = "#e9e4d4"
THIRD = "#6a8f7a"

_RC = {
    "font.family": "DejaVu Sans", "font.size": 9.5, "axes.edgecolor": INK, "axes.labelcolor": INK, "xtick.color": INK, "ytick.color": INK,
    "text.color": INK, "axes.facecolor": PAPER, "figure.facecolor": PAPER, "axes.grid": True, "grid.color": "#dcd8cb", "grid.linewidth": 0.7,
    "axes.spines.top": False, "axes.spines.right": False, "axes.titlelocation": "left", "axes.titlesize": 10.5, "legend.frameon": False,
    "lines.linewidth": 1.8, "svg.hashsalt": "twinkit",
}


def figure(width=7.0, height=4.0):
    """A new figure on an Agg canvas in our look; inches, 7 wide fits a page and a narrow window."""
    with mpl.rc_context(_RC):
        made = Figure(figsize=(width, height), dpi=DPI, layout="constrained")
        FigureCanvasAgg(made)
    return made


def axes(fig, *where, **keywords):
    """A pair of axes in our look."""
    with mpl.rc_context(_RC):
        return fig.add_subplot(*where, **keywords)


def place(fig, where):
    """Axes at a fixed place of the paper (left, foot, width, height as shares): no layout moves them from one drawing to the next."""
    fig.set_layout_engine("none")
    ax = axes(fig, 1, 1, 1)
    ax.set_position(where)
    return ax


def places(fig, rows, columns, where, gaps):
    """Axes in rows at fixed places, row by row: where they lie together (left, foot, width, height) and the gaps between them (across, down), shares of the paper."""
    (left, foot, width, height), (across, down) = where, gaps
    wide, tall = (width - (columns - 1) * across) / columns, (height - (rows - 1) * down) / rows
    return [place(fig, (left + column * (wide + across), foot + (rows - 1 - row) * (tall + down), wide, tall)) for row in range(rows) for column in range(columns)]


def reach(value):
    """The round number next above a value: the end of an axis that shall hold still while the value moves a little."""
    if not value > 0.0:
        return 1.0
    unit = 10.0 ** math.floor(math.log10(value))
    return next(step * unit for step in (1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0) if step * unit >= value * (1.0 - 1e-9))


class Paper:
    """What of a figure rests while its curves move: paper, frames, ticks, grids, labels and legends of its axes, drawn again only when they change."""

    def __init__(self, fig):
        self._figure, self._drawn, self._looks = fig, None, None
        self._moving = [artist for ax in fig.axes for artist in (*ax.lines, *ax.collections, *ax.patches, *ax.texts)]

    def draw(self):
        """The whole figure onto its canvas."""
        fig, canvas = self._figure, self._figure.canvas
        moving, looks = [*self._moving, *fig.texts], [_looks(ax) for ax in fig.axes]
        if looks != self._looks:
            for artist in moving:
                artist.set_animated(True)
            canvas.draw()
            self._drawn, self._looks = canvas.copy_from_bbox(fig.bbox), looks
        else:
            canvas.restore_region(self._drawn)
        for artist in sorted(moving, key=lambda a: a.get_zorder()):
            fig.draw_artist(artist)


def _looks(ax):
    """All that may change of what rests in a pair of axes."""
    legend = ax.get_legend()
    told = () if legend is None else ([t.get_text() for t in legend.get_texts()], [(line.get_color(), line.get_linestyle()) for line in legend.get_lines()])
    return ax.get_xlim(), ax.get_ylim(), ax.get_xlabel(), ax.get_ylabel(), told


def png(fig, paper=None):
    """The figure as PNG bytes, through Pillow, which is quicker than savefig, in 256 colours, a third of the size; with its Paper only what moves is drawn anew."""
    from PIL import Image

    (paper or fig.canvas).draw()
    file = io.BytesIO()
    drawn = Image.frombuffer("RGBA", fig.canvas.get_width_height(), fig.canvas.buffer_rgba(), "raw", "RGBA", 0, 1).convert("RGB")
    drawn.quantize(256, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE).save(file, "PNG", compress_level=1)
    return file.getvalue()
