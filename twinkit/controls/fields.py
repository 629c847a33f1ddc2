"""Typed fields, sliders and choices made from the register."""

import html
from functools import cache
from pathlib import Path

import ipywidgets as widgets
import matplotlib
from PIL import ImageFont

from twinkit import quantities, units
from twinkit.controls import show
from twinkit.controls.looks import layout, style, words
from twinkit.controls.part import Part
from twinkit.controls.places_tool import PlacesTool
from twinkit.controls.rows_file import RowsFile
from twinkit.record import RecordError, places

SIDE_WORD = {"left": "left", "right": "right", "shared": "both", "": ""}
KNOWN_FROM = {"chosen": "not said", "weighed": "weighed", "measured": "measured", "table": "read in a table", "assumed": "estimated"}
LETTER_SIZE = 1000
LONGEST = 500      # letters that are given room; a font counts in whole numbers that overflow some time
PACK_SLOTS = {"one": ("shared",), "two": ("left", "right"), "joined": ("left", "right")}


def css_name(path):
    """The CSS class a control carries, for tests and screen readers."""
    return "tk-" + path.replace(".", "-")


@cache
def _letters():
    return ImageFont.truetype(Path(matplotlib.get_data_path(), "fonts", "ttf", "DejaVuSans.ttf"), LETTER_SIZE, layout_engine=ImageFont.Layout.BASIC)


def _wide(text):
    """How wide a text in a field is, in heights of its letters: in DejaVu Sans, among the widest a screen shows without being asked to, so rather too wide than too narrow."""
    return _letters().getlength(text[:LONGEST]) / LETTER_SIZE


def _label(text, tag="span", margin="0", **traits):
    return words(f"<{tag}>{html.escape(text)}</{tag}>", margin=margin, **traits)


class Field:
    """The control of one entry: a typed field with a slider beside it, a list of words, a tick box or a line of text.

    changed(path) is called after the record took a new value. The sentence of a refused entry stands below the field until it is mended;
    the record then still holds the last good value.
    """

    def __init__(self, path, record, changed, guard, slider=False):
        self.path, self.record, self.changed = path, record, changed
        self.quantity = quantities.quantity(path)
        self.refused = words()
        self._moving = False
        self.slider = self.origin = None
        self.box = self._control(guard, slider)
        self.box.add_class(css_name(path))
        side = quantities.side_of(path)
        name = self.quantity.label + (f", {side}" if side else "")
        if self.quantity.asks_origin:
            self.origin = widgets.Dropdown(options=[(label, word) for word, label in KNOWN_FROM.items()], layout=layout(width=f"calc({max(map(_wide, KNOWN_FROM.values())):.1f}em + 32px)"), style=style(widgets.Dropdown))
            self.origin.add_class(css_name(path) + "-origin")
            self.origin.observe(guard(lambda change: self._known_from(change["new"])), "value")
            self.show()
        for part in (self.box, self.slider, self.origin):
            if part is not None:
                part.tooltip = f"{name}. {self.quantity.meaning}"

    @property
    def unit(self):
        return self.quantity.shown_unit(self.record.value("start.units") or "metric")

    def _control(self, guard, slider):
        entry, q = self.record.get(self.path), self.quantity
        if q.kind == "choice":
            control = widgets.Dropdown(options=[(label, word) for word, label in q.choices.items()], value=entry.value if entry else None,
                                       layout=layout(width="100%", min_width="90px"), style=style(widgets.Dropdown))
            control.observe(guard(lambda change: self._take(change["new"])), "value")
        elif q.kind == "flag":
            control = widgets.Checkbox(value=bool(entry and entry.value), indent=False, description="yes", layout=layout(width="auto"), style=style(widgets.Checkbox))
            control.observe(guard(lambda change: self._take(change["new"])), "value")
        else:
            placeholder = "empty" if q.kind == "number" and not entry else ""
            control = widgets.Text(value=self.typed(entry), placeholder=placeholder, continuous_update=False,
                                   layout=layout(width="110px" if q.kind == "number" else "100%", min_width="70px"), style=style(widgets.Text))
            control.observe(guard(lambda change: self._take(change["new"])), "value")
            if slider and q.usual:
                low, high = (units.from_si(x, self.unit, q.unit) for x in q.usual)
                now = units.from_si(entry.value, self.unit, q.unit) if entry else low
                step = 1 if q.whole else _step(high - low)
                room = {"width": "auto", "flex": "1 1 110px"} if q.asks_origin else {"width": "100%"}
                self.slider = widgets.FloatSlider(value=min(max(now, low), high), min=low, max=high, step=step, readout=False,
                                                  layout=layout(min_width="110px", margin="2px 12px", **room), style=style(widgets.FloatSlider))
                self.slider.add_class(css_name(self.path) + "-slider")
                self.slider.observe(guard(lambda change: self._slide(change["new"])), "value")
        return control

    def typed(self, entry):
        """An entry as it stands in the typed field: the number alone when it is in the shown unit."""
        if entry is None or (entry.assumed and self.quantity.kind == "text"):
            return ""
        if self.quantity.kind == "text":
            return entry.value
        return units.digits(units.from_si(entry.value, self.unit, self.quantity.unit), 6).rstrip() if self.quantity.kind == "number" else entry.text

    def _slide(self, shown):
        if self._moving:
            return
        self._moving = True
        try:
            self.box.value = units.digits(shown, 6)
        finally:
            self._moving = False
        self._take(self.box.value)

    def _take(self, value):
        if self._moving:
            return
        try:
            if value is None or (isinstance(value, str) and not value.strip()):
                self.record.clear(self.path)
            else:
                self.record.set(self.path, value, origin=self._origin())
        except RecordError as refused:
            side, entry = quantities.side_of(self.path), self.record.get(self.path)
            sentence = (f"{side}: " if side else "") + str(refused).removeprefix(f"{self.path}: ") + (f"; {entry.text} still counts." if entry else ".")
            self.refused.value = f'<span class="tk-refused">{html.escape(sentence)}</span>'
            return
        self.refused.value = ""
        self.show()
        self.changed(self.path)

    def _origin(self):
        """Where an entry typed now comes from: as before, so that a corrected weighing stays weighed; else chosen."""
        entry = self.record.get(self.path)
        return entry.origin if entry and not entry.assumed else "chosen"

    def _known_from(self, origin):
        entry = self.record.get(self.path)
        if self._moving or entry is None or not self.record.written(self.path):
            return
        self.record.set(self.path, entry.text, origin=origin, note=entry.note)
        self.changed(self.path)

    def show(self):
        """Show what the record holds, without taking it for an entry of the reader."""
        entry = self.record.get(self.path)
        self._moving = True
        try:
            if self.origin is not None:
                self.origin.value = entry.origin if entry and entry.origin in KNOWN_FROM else "chosen"
                self.origin.disabled = not self.record.written(self.path)
            if self.quantity.kind in ("choice", "flag"):
                self.box.value = entry.value if entry else None
            else:
                self.box.value = self.typed(entry)
            if self.slider is not None and entry is not None:
                low, high = self.slider.min, self.slider.max
                self.slider.value = min(max(units.from_si(entry.value, self.unit, self.quantity.unit), low), high)
        finally:
            self._moving = False


def _step(width):
    for step in (0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50):
        if width / step <= 250:
            return step
    return width / 250


class Group(Part):
    """The fields of one group of a section as a grid: label, control (left and right side by side), unit; sliders below where wanted."""

    def __init__(self, section, group, record, changed, guard, sliders=(), only=None):
        self.fields, self.record, self._slots = {}, record, []
        rows = []
        for entry in [q for q in quantities.QUANTITIES.values() if q.section == section and q.group == group and q.id.count(".") == 1]:
            if only is not None and entry.name not in only:
                continue
            sides = [quantities.side_of(p) for p in entry.paths()]
            made = [Field(path, record, changed, guard, slider=entry.name in sliders) for path in entry.paths()]
            self.fields.update({f.path: f for f in made})
            rows.append(self._row(entry, sides, made))
        self.widget = widgets.VBox(rows, layout=layout(width="100%", max_width="980px"))
        self.widget.add_class("tk-group")
        self.fit()

    def _row(self, entry, sides, made):
        label = _label(entry.label, width="230px", min_width="150px", margin="0 8px 0 0")
        label.add_class("tk-label")
        cells, longest = [], 0.0
        for side, field in zip(sides, made):
            word = [_label(SIDE_WORD[side])] if side else []
            unit = [_label(field.unit)] if field.unit else []
            wide = "300px" if field.slider else ""
            if entry.kind in ("choice", "text"):      # as wide as its longest words, below its label where beside it is too little room
                longest = max(longest, max(map(_wide, entry.choices.values() if entry.kind == "choice" else [field.box.value])))
                wide = f"max(300px, {longest:.1f}em + 80px)"
            room = {"flex": f"1 1 {wide}" if wide else "0 1 auto"}
            if field.slider and field.origin:        # too much for half a row: the sides stand one below the other, and what does not fit goes on below
                room = {"flex": "1 1 430px", "flex_flow": "row wrap"}
            comes_and_goes = "shared" in entry.sides
            part = widgets.HBox([*word, field.box, *unit, *([field.slider] if field.slider else []), *([field.origin] if field.origin else [])],
                                layout=(widgets.Layout if comes_and_goes else layout)(min_width="150px", align_items="center", margin="0 14px 0 0", **room))
            part.add_class("tk-side-" + side if side else "tk-alone")
            if comes_and_goes:
                self._slots.append((side, part))
            cells.append(part)
        meaning = _label(entry.meaning)
        meaning.add_class("tk-meaning")
        control = widgets.VBox([widgets.HBox(cells, layout=layout(flex_flow="row wrap", width="100%")), meaning, *[f.refused for f in made]],
                               layout=layout(flex=f"1 1 max(320px, {longest:.1f}em + 94px)", min_width="220px"))
        row = widgets.HBox([label, control], layout=layout(flex_flow="row wrap", align_items="flex-start", margin="2px 0", width="100%"))
        row.add_class("tk-row")
        return row

    def fit(self):
        """Show the slots of the packs the layout has: one for each side, or the common one."""
        shown = PACK_SLOTS.get(self.record.value("power.packs"), ("left", "right"))
        for side, part in self._slots:
            part.layout.display = None if side in shown else "none"

    def take(self, record):
        """Show another record from now on."""
        self.record = record
        self.fit()
        for field in self.fields.values():
            field.record = record
            field.refused.value = ""
            field.show()

    def saved(self):
        """The entries with their values."""
        return show.entries(self.record, self.fields)


class Rows(Part):
    """A table of the record as rows of typed fields, with a press to add one and a tick to take one out; with a folder also out to a CSV file and back."""

    def __init__(self, table, record, changed, guard, folder=None):
        self.table, self.record, self.changed, self.guard = quantities.TABLES[table], record, changed, guard
        self.refused = words()
        self.body = widgets.VBox([], layout=widgets.Layout(width="100%", overflow="auto"))
        add = widgets.Button(description="add a row", layout=widgets.Layout(width="auto", align_self="flex-start"))
        add.add_class(css_name(table) + "-add")
        add.on_click(guard(lambda _: self._add()))
        self.file = RowsFile(self, folder, guard) if folder else None
        self.tool = PlacesTool(self, guard) if places.has_places(self.table) else None
        below = [part.widget for part in (self.tool, self.file) if part is not None]
        self.widget = widgets.VBox([self.body, self.refused, add, *below], layout=widgets.Layout(width="100%"))
        self.body.add_class("tk-rows")
        self.widget.add_class(css_name(table))
        self.texts = []
        self.show()

    def _system(self):
        return self.record.value("start.units") or "metric"

    def show(self):
        """Show the rows the record holds."""
        self.texts = [{c.name: self._text(c, row.get(c.name)) for c in self.table.columns} for row in self.record.rows(self.table.id)]
        self._draw()
        if self.tool is not None:
            self.tool.show()

    def _text(self, column, entry):
        if entry is None:
            return ""
        if column.kind == "number":
            return units.digits(units.from_si(entry.value, column.shown_unit(self._system()), column.unit), 6)
        return entry.value

    def _draw(self):
        heads = [f"{c.label} {c.shown_unit(self._system())}".strip() for c in self.table.columns]
        grid = [_label(h, "b") for h in [*heads, ""]]
        for number, row in enumerate(self.texts):
            grid += [self._cell(number, column, row[column.name]) for column in self.table.columns]
            out = widgets.Button(description="✕", tooltip=f"take out row {number + 1}", layout=layout(width="36px"), style=style(widgets.Button))
            out.on_click(self.guard(lambda _, n=number: self._remove(n)))
            grid.append(out)
        self.body.children = [widgets.GridBox(grid, layout=widgets.Layout(grid_template_columns=self._widths(), grid_gap="2px 6px", width="100%", overflow="visible",
                                                                          min_width=f"{90 * len(heads) + 60}px"))]

    def _widths(self):
        """The columns of the grid, each wide enough for the longest text in it: the table scrolls, its texts are not cut."""
        wide = []
        for column in self.table.columns:
            texts = column.choices.values() if column.kind == "choice" else [str(row[column.name]) for row in self.texts]
            least, share = (100, "2fr") if column.kind == "text" else (84, "1fr")
            wide.append(f"minmax(max({least}px, {max(map(_wide, texts), default=0.0):.1f}em + {36 if column.kind == 'choice' else 22}px), {share})")
        return " ".join(wide) + " 40px"

    def _cell(self, number, column, text):
        if column.kind == "choice":
            made = widgets.Dropdown(options=[(label, word) for word, label in column.choices.items()], value=text or None, layout=layout(width="100%"), style=style(widgets.Dropdown))
        else:
            made = widgets.Text(value=str(text), continuous_update=False, layout=layout(width="100%"), style=style(widgets.Text))
        made.tooltip = f"{column.label}, row {number + 1}. {column.meaning}"
        made.add_class(css_name(f"{column.id}-{number}"))
        made.observe(self.guard(lambda change: self._typed(number, column.name, change["new"])), "value")
        return made

    def _typed(self, number, name, text):
        self.texts[number][name] = text
        self.body.children[0].layout.grid_template_columns = self._widths()
        self._take()

    def _add(self):
        self.texts.append({c.name: (c.default if c.kind == "choice" and c.default else "") for c in self.table.columns})
        self._draw()

    def _remove(self, number):
        del self.texts[number]
        self._draw()
        self._take()

    def _take(self):
        rows = [{k: v for k, v in row.items() if str(v).strip()} for row in self.texts]
        try:
            self.record.set_rows(self.table.id, [row for row in rows if row])
        except RecordError as refused:
            self.refused.value = f'<span class="tk-refused">{html.escape(str(refused))}</span>'
            return
        self.refused.value = ""
        if self.tool is not None:
            self.tool.show()
        self.changed(self.table.id)

    def take(self, record):
        """Show another record from now on."""
        self.record = record
        self.refused.value = ""
        self.show()

    def saved(self):
        """The rows as a table."""
        return show.rows(self.record, self.table.id)
