"""Two failures at once, asked on demand: what is left of the wiring."""

import html

import ipywidgets as widgets

from twinkit.circuit.faults import outcome
from twinkit.controls.part import Part
from twinkit.drawings.power_failures import LEFT_OVER, pairs_sheet

NOTHING = ("nothing else", "")       # the first entry of the second list


class FailurePair(Part):
    """Two lists of failures and what is left after both; a press works out every pair."""

    def __init__(self, page):
        self.page = page
        self.first, self.second = (widgets.Dropdown(layout=widgets.Layout(width="100%", min_width="220px", max_width="560px")) for _ in range(2))
        for name, box in (("first", self.first), ("second", self.second)):
            box.add_class(f"tk-failure-{name}")
            box.tooltip = f"the {name} thing that fails"
            box.observe(page.guard(lambda _: self.tell()), "value")
        self.every = widgets.Button(description="work out every pair", layout=widgets.Layout(width="auto", align_self="flex-start"))
        self.every.add_class("tk-failure-pairs")
        self.every.on_click(page.guard(lambda _: self.tell_all()))
        self.said, self.table = widgets.HTML(""), widgets.HTML("")
        self.widget = widgets.VBox([self.first, self.second, self.said, self.every, self.table], layout=widgets.Layout(width="100%", max_width="980px"))
        self._wiring = NOTHING      # no wiring was looked at yet
        self.fit()

    def fit(self):
        """Offer the failures of the wiring as it now stands; what was chosen stays chosen where it still exists."""
        facts = self.page.results.layout
        if facts.wiring is self._wiring:
            return
        self._wiring, self.table.value = facts.wiring, ""
        failures = facts.failures or ()
        for box, more in ((self.first, ()), (self.second, (NOTHING,))):
            before = box.value.code if box.value else None
            box.options = [*more, *((f.words, f) for f, _ in failures)]
            box.value = next((f for f, _ in failures if f.code == before), NOTHING[1] if more else failures[0][0] if failures else None)
        self.tell()

    def tell(self):
        """What is left after the chosen ones."""
        if self._wiring is None or not self.first.value:
            self.said.value = "This layout cannot be built, or is not known yet."
            return
        chosen = [f for f in (self.first.value, self.second.value) if f]
        if len(chosen) == 2 and ({c.part for c in chosen[0].conditions} & {c.part for c in chosen[1].conditions} or set(chosen[0].cut) & set(chosen[1].cut)):
            self.said.value = "Both are the same part: choose two that can fail apart."
            return
        left = outcome(self._wiring, *chosen)
        self.said.value = f"<b>What is left: {html.escape(LEFT_OVER[left.result])}.</b> {html.escape(left.words())}"

    def tell_all(self):
        """Every pair, counted."""
        self.table.value = f'<div class="tk-page">{pairs_sheet(self.page.results).html()}</div>'

    def take(self, record):
        """Show another record from now on."""
        self._wiring = NOTHING
        self.fit()

    def saved(self):
        """What fails, and what is left."""
        words = [f.words for f in (self.first.value, self.second.value) if f]
        return f"<p>What fails: {html.escape(' and '.join(words) or 'nothing')}. {self.said.value}</p>"


def show(page):
    """The two lists on a page; in the printed record every pair, counted."""
    page._panel(lambda _: FailurePair(page), lambda: pairs_sheet(page.results).html())
