"""Below a table with places: move what it lists, or mirror it to the other side."""

import html

import ipywidgets as widgets

from twinkit import units
from twinkit.record import RecordError, places

ALL = -1
WAYS = (("behind", "back"), ("out", "to the right"), ("below", "down"))


class PlacesTool:
    """A list of the rows, three distances and two presses."""

    def __init__(self, rows, guard):
        self.rows = rows
        name = f"tk-{rows.table.id.replace('.', '-')}"
        self.which = widgets.Dropdown(options=[], layout=widgets.Layout(width="max-content", max_width="100%"), tooltip="which part")
        self.by = {way: widgets.Text(value="", placeholder="0", layout=widgets.Layout(width="72px"), tooltip=f"by how much, {words}; negative: the other way") for way, words in WAYS}
        self.move, self.mirror = (widgets.Button(description=words, tooltip=tip, layout=widgets.Layout(width="auto")) for words, tip in (
            ("move it", "move the part by these distances"), ("mirror it to the other side", "add a row for its mirror image")))
        for part, what in ((self.which, "which"), (self.move, "move"), (self.mirror, "mirror")):
            part.add_class(f"{name}-{what}")
        self.move.on_click(guard(lambda _: self._do(self._moved)))
        self.mirror.on_click(guard(lambda _: self._do(self._mirrored)))
        self.said = widgets.HTML("")
        self.units = [widgets.HTML("") for _ in WAYS]
        fields = [part for (way, words), unit in zip(WAYS, self.units) for part in (widgets.HTML(words), self.by[way], unit)]
        self.widget = widgets.VBox([widgets.HBox([self.which, *fields, self.move, self.mirror], layout=widgets.Layout(flex_flow="row wrap", align_items="center", grid_gap="2px 6px")),
                                    self.said], layout=widgets.Layout(width="100%"))

    def show(self):
        """List the rows the record holds."""
        system, before = self.rows.record.value("start.units") or "metric", self.which.value
        names = [row["name"].value if "name" in row else f"row {n + 1}" for n, row in enumerate(self.rows.record.rows(self.rows.table.id))]
        options = [(f"{n + 1} {name}", n) for n, name in enumerate(names)] + [("all of them", ALL)]
        self.which.options = options
        self.which.value = before if before in [number for _, number in options] else options[0][1]
        for (way, _), unit in zip(WAYS, self.units):
            unit.value = self._column(way).shown_unit(system)

    def _column(self, way):
        return next(column for column in self.rows.table.columns if column.name == way)

    def _do(self, act):
        try:
            said = act()
        except (RecordError, units.UnitsError) as refused:
            self.said.value = f'<span class="tk-refused">{html.escape(str(refused))}. Nothing was changed.</span>'
            return
        self.rows.show()
        self.rows.refused.value = ""
        self.said.value = f'<span class="tk-small">{html.escape(said)}</span>'
        self.rows.changed(self.rows.table.id)

    def _moved(self):
        system, count = self.rows.record.value("start.units") or "metric", len(self.rows.record.rows(self.rows.table.id))
        by = {way: units.parse(field.value, "m", self._column(way).shown_unit(system)) for way, field in self.by.items() if field.value.strip()}
        if not any(by.values()) or not count:
            raise RecordError("Enter a part and how far it moves first")
        places.move(self.rows.record, self.rows.table.id, range(count) if self.which.value == ALL else [self.which.value], **by)
        for field in self.by.values():
            field.value = ""
        return "Moved. Keep the step to store it."

    def _mirrored(self):
        if self.which.value == ALL:
            raise RecordError("Choose one part to mirror")
        places.mirror(self.rows.record, self.rows.table.id, self.which.value)
        return "Its mirror image stands in the row below it."
