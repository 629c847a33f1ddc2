"""Keeping a step with its reason, the board of all steps, and bringing kept steps up to date."""

import html
import importlib

import ipywidgets as widgets

from twinkit import checks, quantities
from twinkit.controls.part import Part
from twinkit.design import STEP_RESULTS
from twinkit.drawings.base import Sheet
from twinkit.record import RecordError


def keep_step(page, step, reason):
    """Write one step's snapshot into the page's record (not yet to disk)."""
    drawings = importlib.import_module(f"twinkit.drawings.{step}")
    verdicts = {f.code: f.verdict for f in checks.findings(page.record, step, page.results)}
    page.record.keep(step, reason, drawings.numbers(page.results), verdicts, page.results.leans(step))


def saved_words(page, report):
    """What a save did, in a sentence or two."""
    if report.conflicts:
        lines = "".join(f"<li>{html.escape(c.path)}: here {html.escape(str(c.mine))}, on disk {html.escape(str(c.theirs))}</li>" for c in report.conflicts)
        return f'<span class="tk-refused">Not written: the same entries were changed here and on disk.</span><ul>{lines}</ul>'
    where = "the scratch copy" if page.scratch else html.escape(str(page.folder / "build.toml"))
    others = [quantities.SECTIONS[name] for name in report.merged if name in quantities.SECTIONS]
    merged = f" Taken over from disk: {', '.join(others)}." if others else ""
    aside = f" The file on disk could not be read; it lies beside it as {html.escape(report.set_aside.name)}." if report.set_aside else ""
    return f"Kept in {where}.{merged}{aside}"


class KeepBox(Part):
    """Room for notes, a line for the reason and one press."""

    def __init__(self, page):
        self.page = page
        self.note = widgets.Textarea(value=page.record.note(page.step), placeholder="your notes on this page: what you tried, what to ask, what to remember", rows=3,
                                     layout=widgets.Layout(width="calc(100% - 4px)"))
        self.note.tooltip = "your notes on this page; they are kept with it and printed"
        self.note.add_class("tk-notes")
        self.reason = widgets.Text(placeholder="why this choice, in your own words", layout=widgets.Layout(flex="1 1 260px", min_width="160px"))
        self.reason.tooltip = "your reason, written into the record"
        self.reason.add_class("tk-reason")
        self.press = widgets.Button(description="keep this step", layout=widgets.Layout(width="auto"))
        self.press.add_class("tk-keep")
        self.said = widgets.HTML("")
        self.conflict = widgets.HBox([], layout=widgets.Layout(flex_flow="row wrap"))
        self.press.on_click(page.guard(lambda _: self.keep()))
        self.widget = widgets.VBox([self.note, widgets.HBox([self.reason, self.press], layout=widgets.Layout(flex_flow="row wrap", width="100%")), self.said, self.conflict],
                                   layout=widgets.Layout(width="100%", max_width="980px"))

    def keep(self, resolve=None):
        page = self.page
        try:
            if resolve is None:
                page.record.set_note(page.step, self.note.value.strip())
                keep_step(page, page.step, self.reason.value.strip())
            report = page.save(resolve)
        except RecordError as refused:
            self.said.value = f'<span class="tk-refused">{html.escape(str(refused))}</span>'
            return
        self.said.value = saved_words(page, report)
        self.conflict.children = self._choices() if report.conflicts else ()
        page.refresh()

    def _choices(self):
        made = []
        for which, words in (("mine", "write what stands here"), ("theirs", "take what is on disk")):
            press = widgets.Button(description=words, layout=widgets.Layout(width="auto"))
            press.on_click(self.page.guard(lambda _, w=which: self.keep(resolve=w)))
            made.append(press)
        return tuple(made)

    def saved(self):
        """The notes."""
        return f"<p>Notes: {html.escape(self.note.value)}</p>" if self.note.value.strip() else ""

    def take(self, record):
        """The page took over another record, with the notes in it."""
        self.said.value, self.note.value = "", record.note(self.page.step)


def board_sheet(page):
    """All steps as a table: where each stands and its worst finding."""
    rows, marks = [], []
    for step in quantities.STEPS:
        word, changes = page.status(step)
        found = checks.findings(page.record, step, page.results)
        worst = checks.worst(found)
        sentence = next((f"{f.title}: {f.sentence}" for f in found if f.verdict == worst), "no findings")
        rows.append((f"{quantities.STEPS.index(step):02d} {quantities.SECTIONS[step]}", word + (f" ({len(changes)} entries moved)" if changes else ""), sentence))
        marks.append(worst)
    return Sheet("Where your build stands", ("page", "step", "worst finding"), tuple(rows), tuple(marks),
                 "Steps lean on each other in a circle (power, weight, wing): a second round is normal.")


class UpToDate(Part):
    """Shows what moved since steps were kept, before and after, and keeps them all again in one press."""

    def __init__(self, page):
        self.page = page
        self.press = widgets.Button(description="bring up to date", layout=widgets.Layout(width="auto", align_self="flex-start"))
        self.press.add_class("tk-up-to-date")
        self.press.on_click(page.guard(lambda _: self.bring()))
        self.said = widgets.HTML("")
        self.widget = widgets.VBox([self.press, self.said], layout=widgets.Layout(width="100%", max_width="980px"))

    def stale(self):
        return [step for step in STEP_RESULTS if self.page.status(step)[0] == "changed since"]

    def bring(self):
        page = self.page
        stale = self.stale()
        if not stale:
            self.said.value = "Every kept step is up to date."
            return
        rows = []
        for step in stale:
            then = page.record.kept(step).results
            now = importlib.import_module(f"twinkit.drawings.{step}").numbers(page.results)
            rows += [(quantities.SECTIONS[step], name, then.get(name, "not computed"), value) for name, value in now.items() if then.get(name) != value]
        for step in stale:
            keep_step(page, step, page.record.kept(step).reason)
        try:
            report = page.save()
        except RecordError as refused:
            self.said.value = f'<span class="tk-refused">{html.escape(str(refused))}</span>'
            return
        sheet = Sheet("Brought up to date", ("step", "number", "before", "after"), tuple(rows) or (("", "no shown number moved", "", ""),))
        self.said.value = sheet.html() + saved_words(page, report)
        page.refresh()

    def take(self, record):
        """The page took over another record."""
        self.said.value = ""
