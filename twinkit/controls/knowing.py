"""Taking a stop finding on, and taking that back: reason, name and date stand beside it meanwhile; it is never silenced."""

import html
from datetime import date

import ipywidgets as widgets

from twinkit import checks
from twinkit.controls.keeping import saved_words
from twinkit.controls.part import Part
from twinkit.record import RecordError


class KnowingBox(Part):
    """Shown only while a finding of the page says stop (which one, why you fly all the same, your name) or one was taken on, to take that back."""

    def __init__(self, page):
        self.page = page
        self.which = widgets.Dropdown(options=[], layout=widgets.Layout(width="100%"))
        self.reason = widgets.Text(placeholder="because ...", layout=widgets.Layout(flex="1 1 220px", min_width="150px"))
        self.name = widgets.Text(placeholder="your name", layout=widgets.Layout(flex="0 1 160px", min_width="110px"))
        self.press = widgets.Button(description="write it down", layout=widgets.Layout(width="auto"))
        self.said = widgets.HTML("")
        for part, words in ((self.which, "the finding"), (self.reason, "why you fly all the same"), (self.name, "your name")):
            part.tooltip = words
        self.press.on_click(page.guard(lambda _: self.write()))
        self.taken = widgets.Dropdown(options=[], layout=widgets.Layout(flex="1 1 320px", min_width="150px"))
        self.taken.tooltip = "a finding that was taken on"
        self.back = widgets.Button(description="take it back", layout=widgets.Layout(width="auto"))
        self.back.on_click(page.guard(lambda _: self.withdraw()))
        self.ask = widgets.VBox([
            widgets.HTML("<b>Flown knowing this?</b> A stop is mended, not argued with. If you go on all the same, write down why: it is printed beside the finding."),
            self.which, widgets.HBox([self.reason, self.name, self.press], layout=widgets.Layout(flex_flow="row wrap"))], layout=widgets.Layout(width="100%"))
        self.undo = widgets.HBox([widgets.HTML("Flown knowing this:"), self.taken, self.back], layout=widgets.Layout(flex_flow="row wrap", width="100%"))
        self.widget = widgets.VBox([self.ask, self.undo, self.said], layout=widgets.Layout(width="100%", max_width="980px"))
        self.widget.add_class("tk-knowing")
        self.show(checks.findings(page.record, page.step, page.results))

    def show(self, found):
        """Offer the findings that say stop, and those taken on, whatever they say now; hidden when there are none."""
        stops = [(f.title, f.code) for f in found if f.verdict == "stop"]
        if list(self.which.options) != stops:
            self.which.options = stops
            self.which.index = 0 if stops else None
        taken = [(f.title, f.code) for f in found if self.page.record.acknowledged(f.code)]
        if list(self.taken.options) != taken:
            self.taken.options = taken
            self.taken.index = 0 if taken else None
        self.ask.layout.display, self.undo.layout.display = "" if stops else "none", "" if taken else "none"
        self.widget.layout.display = "" if stops or taken else "none"

    def write(self):
        reason, name = self.reason.value.strip(), self.name.value.strip()
        if not reason or not name or not self.which.value:
            self.said.value = '<span class="tk-refused">A reason and a name are needed.</span>'
            return
        self._save(lambda record: record.acknowledge(self.which.value, reason, name, date.today().isoformat()))

    def withdraw(self):
        if self.taken.value:
            self._save(lambda record: record.withdraw(self.taken.value))

    def _save(self, change):
        try:
            change(self.page.record)
            report = self.page.save()
        except RecordError as refused:
            self.said.value = f'<span class="tk-refused">{html.escape(str(refused))}</span>'
            return
        self.said.value = saved_words(self.page, report)
        self.page.refresh()

    def take(self, record):
        """The page took over another record; the findings' refresh shows what is offered."""
        self.said.value = ""
