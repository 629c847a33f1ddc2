"""What every drawing and every table on a page is."""

import html
import re
import textwrap
from dataclasses import dataclass

from twinkit.checks import MARKS
from twinkit.drawings import style

WORDS_WIDE = 14      # letters to the inch in words that stand alone on a strip of paper
STRIP = 0.55         # inches, the height of that strip


class Picture:
    """A drawing made once and then updated: make(results) and update(results) give the same pixels.

    A subclass sets size (inches), needs (results it draws), says build() (axes and artists, no numbers) and fill(results) (numbers, texts,
    axis limits; returns the finding in words, which becomes the title). It never computes, saves or displays.

    quick: it follows a control while that moves. Its paper, frame, ticks and grid are then drawn once and the rest laid over them each time, so
    its axes stand at a fixed place (style.place) and fill() changes nothing of the frame but limits and labels, those as seldom as it can.
    """

    size = (7.0, 4.0)
    needs = ()
    quick = False

    def __init__(self):
        self.figure = style.figure(*self.size)
        self.title = ""
        self._built = False
        self._paper = None

    @classmethod
    def make(cls, results):
        """A new drawing of these results."""
        drawing = cls()
        drawing.update(results)
        return drawing

    def update(self, results):
        """Draw these results; while some are missing a strip of paper says what it waits for."""
        missing = dict.fromkeys(path for name in self.needs for path in getattr(results, name).missing)
        if missing or not self._built:
            self.figure.clear()
        if missing:
            self._built = False
            self.title = f"Nothing to draw yet. {waits_for(tuple(missing))}"
            self.figure.set_size_inches(self.size[0], STRIP)
            self.figure.text(0.012, 0.5, "\n".join(textwrap.wrap(unbroken(self.title), int(self.size[0] * WORDS_WIDE))), ha="left", va="center", color=style.INK, fontsize=9.5)
            return
        if not self._built:
            self.figure.set_size_inches(*self.size)
            self.build()
            self._built = True
            self._paper = style.Paper(self.figure) if self.quick else None
        self.title = self.fill(results)
        lines = textwrap.fill(unbroken(self.title), int(self.size[0] * 12))
        self.figure.suptitle(lines, x=0.012, ha="left", fontsize=10.5, color=style.INK)

    def build(self):
        """Axes and artists."""
        raise TypeError(f"{type(self).__name__} has no build()")

    def fill(self, results):
        """Numbers into the artists; returns the title."""
        raise TypeError(f"{type(self).__name__} has no fill(results)")

    def png(self):
        """The picture as bytes."""
        return style.png(self.figure, self._paper if self._built else None)


def unbroken(text):
    """Text in which a number is not parted from its unit at the end of a line."""
    text = re.sub(r"(?<=\d) N m\b", "\u00a0N\u00a0m", text)
    return re.sub(r"(?<=\d) (?=%|(?:mm|cm|m|g|kg|in|oz|ft|lb|V|A|mA|W|Wh|mAh|ohm|mohm|rpm|deg|s|min|N|uF|nH|kHz|°C|°F|m/s|mph|dm2|in2|g/dm2|MPa|kPa|kg cm)\b)", "\u00a0", text)


def waits_for(missing):
    """What a picture or a table waits for, in one short line: the page says in full, at its top, what is still needed."""
    from twinkit.design.base import said_all

    return f"Waits for {said_all(missing, 2)}."


SHORT_ROWS = 10      # a table no longer than this is not parted by the end of a printed page


@dataclass(frozen=True)
class Sheet:
    """A table as people read it: every cell is text with its unit. marks[row] is a verdict for the row, or ''."""

    title: str
    columns: tuple
    rows: tuple
    marks: tuple = ()
    note: str = ""

    @classmethod
    def waiting(cls, title, missing):
        """The table while something it needs is not known: no rows, and a note of what it waits for."""
        return cls(title, (), (), note=waits_for(missing))

    def html(self):
        """The table as HTML that follows the page's light or dark look."""
        e = html.escape
        if not self.columns:
            return f'<div class="tk-sheet tk-short"><p class="tk-caption">{e(self.title)}</p><p class="tk-small">{e(self.note)}</p></div>'
        head = "".join(f"<th>{e(c)}</th>" if c else "<td></td>" for c in self.columns)
        body = []
        for number, row in enumerate(self.rows):
            verdict = self.marks[number] if self.marks else ""
            mark = f'<span class="tk-mark">{MARKS[verdict]} {verdict}</span> ' if verdict else ""
            cells = "".join(f"<td>{mark if k == len(row) - 1 else ''}{unbroken(e(str(c)))}</td>" for k, c in enumerate(row))
            body.append(f"<tr>{cells}</tr>")
        note = f'<p class="tk-note">{e(self.note)}</p>' if self.note else ""
        short = " tk-short" if len(self.rows) <= SHORT_ROWS else ""
        return f'<div class="tk-sheet{short}"><p class="tk-caption">{e(self.title)}</p><table class="tk-table"><thead><tr>{head}</tr></thead><tbody>{"".join(body)}</tbody></table>{note}</div>'

    def text(self):
        """The table as plain text."""
        if not self.columns:
            return f"{self.title}\n{self.note}"
        rows = [tuple(map(str, self.columns)), *(tuple(map(str, r)) for r in self.rows)]
        if self.marks:
            rows = [rows[0], *((*r[:-1], (f"{MARKS[m]} {m}: " if m else "") + r[-1]) for r, m in zip(rows[1:], self.marks))]
        widths = [max(len(r[k]) for r in rows) for k in range(len(self.columns))]
        lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths)).rstrip() for row in rows]
        return "\n".join([self.title, *lines, *([self.note] if self.note else [])])
