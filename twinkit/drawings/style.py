"""One look for every drawing: paper, palette, line styles, and the way from a figure to a picture."""

import io

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

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
    import matplotlib as mpl

    with mpl.rc_context(_RC):
        made = Figure(figsize=(width, height), dpi=DPI, layout="constrained")
        FigureCanvasAgg(made)
    return made


def axes(fig, *where, **keywords):
    """A pair of axes in our look."""
    import matplotlib as mpl

    with mpl.rc_context(_RC):
        return fig.add_subplot(*where, **keywords)


def png(fig):
    """The figure as PNG bytes, through Pillow, which is quicker than savefig."""
    from PIL import Image

    fig.canvas.draw()
    file = io.BytesIO()
    Image.frombuffer("RGBA", fig.canvas.get_width_height(), fig.canvas.buffer_rgba(), "raw", "RGBA", 0, 1).convert("RGB").save(file, "PNG", compress_level=1)
    return file.getvalue()
