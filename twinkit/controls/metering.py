"""Going through the meter sheet line by line: what the line is, and a press for what the meter showed."""

import html

import ipywidgets as widgets

from twinkit import quantities
from twinkit.controls.part import Part
from twinkit.drawings.wiring_meter import SHOWN
from twinkit.record import RecordError

TABLE = "wiring.readings"


class MeterBox(Part):
    """Shows one line of the meter sheet at a time and writes its reading into the record; then shows the next that is not read.

    results() gives the results as they stand now, changed(path) is called after the record took a reading.
    """

    def __init__(self, record, results, changed, guard):
        self.record, self.results, self.changed = record, results, changed
        self.at = 0
        self.said, self.refused = widgets.HTML(""), widgets.HTML("")
        self.note = widgets.Text(placeholder="ohms, volts, anything unusual", continuous_update=False, layout=widgets.Layout(flex="1 1 220px", min_width="120px"))
        self.note.tooltip = "note to this reading"
        shown = quantities.TABLES[TABLE].columns[1].choices
        self.other = widgets.Dropdown(options=[("something else", ""), *((label, word) for word, label in shown.items())], layout=widgets.Layout(width="150px"))
        self.other.tooltip = "what the meter showed instead"
        self.right, self.back, self.skip = (self._press(words, css, guard(action)) for words, css, action in (
            ("reads as it must", "tk-meter-right", lambda _: self._write(None)), ("back", "tk-meter-back", lambda _: self._go(-1)), ("next", "tk-meter-next", lambda _: self._go(1))))
        self.other.add_class("tk-meter-other")
        self.other.observe(guard(lambda change: change["new"] and self._write(change["new"])), "value")
        row = widgets.HBox([self.right, self.other, self.note, self.back, self.skip], layout=widgets.Layout(flex_flow="row wrap", width="100%", align_items="center"))
        self.widget = widgets.VBox([self.said, row, self.refused], layout=widgets.Layout(width="100%", max_width="980px"))
        self.widget.add_class("tk-meter")
        self._first_unread()

    @staticmethod
    def _press(words, css, action):
        press = widgets.Button(description=words, layout=widgets.Layout(width="auto"))
        press.add_class(css)
        press.on_click(action)
        return press

    @property
    def lines(self):
        return self.results().metering.lines or ()

    def _go(self, step):
        self.at = (self.at + step) % max(len(self.lines), 1)
        self.show()

    def _first_unread(self):
        """The first line from here on of which nothing is written down."""
        lines, written = self.lines, {row["line"].value for row in self.record.rows(TABLE) if "line" in row}
        order = [*range(self.at, len(lines)), *range(min(self.at, len(lines)))]
        self.at = next((n for n in order if lines[n].words not in written), self.at)
        self.show()

    def show(self):
        """Show the line that is up."""
        lines = self.lines
        for control in (self.right, self.other, self.back, self.skip):
            control.disabled = not lines
        if not lines:
            self.said.value = "There is no meter sheet yet: see what is still needed at the head of the page."
            return
        self.at = min(self.at, len(lines) - 1)
        one = lines[self.at]
        read = "" if one.shows is None else f" Written down: <b>{html.escape(SHOWN.get(one.shows, one.shows))}</b>{', as it must' if one.right else ', WRONG'}."
        normal = f" ({one.line.normal})" if one.line.normal else ""
        self.said.value = f"Line <b>{one.number}</b> of {len(lines)}: {html.escape(one.words)}. Must read <b>{html.escape(SHOWN.get(one.line.expected, one.line.expected) + normal)}</b>.{read}"

    def _write(self, shows):
        one = self.lines[self.at]
        rows = [{name: entry.value for name, entry in row.items()} for row in self.record.rows(TABLE)]
        rows = [row for row in rows if row.get("line") != one.words]
        fresh = {"line": one.words, "shows": shows or one.line.expected, "note": self.note.value.strip()}
        try:
            self.record.set_rows(TABLE, [*rows, {name: value for name, value in fresh.items() if value}])
        except RecordError as refused:
            self.refused.value = f'<span class="tk-refused">{html.escape(str(refused))}</span>'
            return
        self.refused.value, self.note.value, self.other.value = "", "", ""
        self.changed(TABLE)
        if one.line.expected == fresh["shows"]:
            self._first_unread()
        else:
            self.show()

    def fit(self):
        """The layout may have changed, and its lines with it."""
        self.show()

    def take(self, record):
        """Show another record from now on."""
        self.record, self.at = record, 0
        self._first_unread()
