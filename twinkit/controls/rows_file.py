"""A table of the record out to a CSV file in the build's folder, and back in."""

import html

import ipywidgets as widgets

from twinkit.record import RecordError, rows_csv


class RowsFile:
    """Two presses below a table: write it for a spreadsheet, and take the file's rows in its place."""

    def __init__(self, rows, folder, guard):
        self.rows, self.folder = rows, folder
        name = rows_csv.file_name(rows.table.id)
        self.write, self.read = (widgets.Button(description=words, tooltip=tip, layout=widgets.Layout(width="auto")) for words, tip in (
            ("write a CSV file", f"write these rows to {name} in your build's folder"), ("read the CSV file", f"put the rows of {name} in the place of these")))
        for press, act in ((self.write, "write"), (self.read, "read")):
            press.add_class(f"tk-{rows.table.id.replace('.', '-')}-{act}")
        self.write.on_click(guard(lambda _: self.out()))
        self.read.on_click(guard(lambda _: self.take()))
        self.said = widgets.HTML("")
        self.widget = widgets.VBox([widgets.HBox([self.write, self.read], layout=widgets.Layout(flex_flow="row wrap")), self.said], layout=widgets.Layout(width="100%"))

    def _say(self, text, refused=False):
        lines = "<br>".join(html.escape(line) for line in text.split("\n"))
        self.said.value = f'<span class="{"tk-refused" if refused else "tk-small"}">{lines}</span>'

    def out(self):
        """Write the rows."""
        try:
            path = rows_csv.write(self.rows.record, self.rows.table.id, self.folder)
        except OSError as trouble:
            self._say(f"Not written: {trouble.strerror or trouble}. Is the file open in another program?", refused=True)
            return
        self._say(f"Written: {path}. Open it in a spreadsheet, save it as CSV under the same name, then read it here.")

    def take(self):
        """Read the rows; what is wrong with the file is said, and the table stays as it was."""
        path = self.folder / rows_csv.file_name(self.rows.table.id)
        try:
            count = rows_csv.take(self.rows.record, self.rows.table.id, path)
        except RecordError as refused:
            self._say(f"{refused}\nNothing was changed.", refused=True)
            return
        self.rows.show()
        self.rows.refused.value = ""
        self._say(f"{count} row{'s' if count != 1 else ''} read from {path.name}. Keep the step to store them.")
        self.rows.changed(self.rows.table.id)
