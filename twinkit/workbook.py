"""A page: finds the record, shows header, pictures, tables, findings and cautions, keeps the step, leads to the next page.

A notebook calls open_page(step) once and then the page's methods, one a cell; numbers come from design, sentences from checks,
pictures and tables from drawings. Results go out through display handles, so that they stay in a saved file and are seen without a kernel.
"""

import asyncio
import html
import importlib
import os
from operator import attrgetter
from pathlib import Path

from IPython.display import display

from twinkit import __version__, checks, quantities, tables
from twinkit import folder as folders
from twinkit.controls import show
from twinkit.controls.finish import finish
from twinkit.controls.guard import Guard
from twinkit.controls.output import LATE_PLACE, Outputs, View, bundle, lose_nothing, picture_bundle, sheet_bundle
from twinkit.controls.part import show_controls
from twinkit.design import Results
from twinkit.design.base import said_all
from twinkit.folder import RECORD_FILE
from twinkit.pages import FILES, QUESTIONS
from twinkit.record import Record, RecordError

POLL_SECONDS = 0.5


def open_page(step, folder=None):
    """Open the page of a step on the build in this folder (the notebook's own), or on a scratch copy of the demo build."""
    lose_nothing()
    if step not in FILES:
        raise ValueError(f"there is no page '{step}'; the pages are {', '.join(FILES)}")
    return Page(step, Path(folder or os.getcwd()))


class Page:
    """One page on one record."""

    open_now = None

    def __init__(self, step, folder):
        if Page.open_now is not None:
            Page.open_now.close()
        Page.open_now = self
        self.step, self.printing = step, os.environ.get("TWINKIT_PRINTING") == "1"
        self.projector = os.environ.get("TWINKIT_PROJECTOR") == "1" and not self.printing
        self.number = f"{quantities.STEPS.index(step):02d}"
        self.drawings = importlib.import_module(f"twinkit.drawings.{step}")
        self.parts, self._drawn, self._poll, self._moved = [], {}, None, set()
        self.guard = Guard(self._trouble)
        self.scratch = not (folder / RECORD_FILE).is_file()
        self.folder = folders.scratch() if self.scratch else folder
        try:
            self.record = Record.read(self.folder / RECORD_FILE)
            unreadable = ""
        except RecordError as trouble:
            self.record, unreadable = Record.blank(), str(trouble)
        self.unreadable = unreadable
        self._results = Results(self.record)
        self._banner()
        self.outputs = Outputs(self.guard, lambda: self.results)
        self.view(lambda results: bundle(self._head()))
        self._stamp = self._stat()
        self._watch()

    # --- opening ---------------------------------------------------------------------------------------------------------

    def _banner(self):
        from twinkit.controls.banner import Banner

        self.banner = Banner(self.guard, self.reload)
        if not self.printing:
            show_controls(self.banner.widget)
            self.banner.watch_reload()

    def _head(self):
        e = html.escape
        name = self.record.value("start.name") or "a build without a name"
        lines = [f"<p><b>{e(name)}</b>, page {self.number} · {self.status_words()}</p>"]
        if self.scratch:
            lines.append(f'<p>No {RECORD_FILE} lies beside this page, so it works on a <b>scratch copy of the demo aeroplane</b> (an invented one): '
                         "try anything, nothing of yours can be lost and nothing is stored. For your own build run <code>python3 -m twinkit open</code>.</p>")
        if self.unreadable:
            lines.append(f'<p class="tk-refused">{e(self.unreadable)} The page opens empty and will not write over that file.</p>')
        for problem in self.record.problems[:8]:
            lines.append(f'<p class="tk-refused">{e(problem.sentence)}</p>')
        missing = self.missing()
        if missing:
            lines.append(f"<p><b>Still needed:</b> {e(said_all(missing, None))}.</p>")
        return show.STYLE + (show.PROJECTOR if self.projector else "") + f'<div class="tk-head">{"".join(lines)}</div>'

    def missing(self):
        """Entries this step needs and does not have."""
        from twinkit.design import STEP_RESULTS

        return tuple(dict.fromkeys(path for name in STEP_RESULTS[self.step] for path in getattr(self.results, name).missing))

    def status(self, step=None):
        """('not started' | 'kept' | 'changed since', what changed)."""
        step = step or self.step
        if self.record.kept(step) is None:
            return "not started", []
        verdicts = {f.code: f.verdict for f in checks.findings(self.record, step, self.results)}
        changes = self.record.changed_since(step, self.results.leans(step), verdicts)
        return ("changed since", changes) if changes else ("kept", [])

    def status_words(self):
        word, changes = self.status()
        kept = self.record.kept(self.step)
        if word == "not started":
            return "<b>not kept yet</b>"
        if word == "kept":
            return f"<b>kept</b> on {html.escape(kept.when[:10])}: {html.escape(kept.reason or 'no reason given')}"
        return f"kept on {html.escape(kept.when[:10])}, <b>changed since</b>:{show.changes_html(changes)}"

    # --- outputs ---------------------------------------------------------------------------------------------------------

    def view(self, render, quick=False):
        """Show something that follows the results: at once, or when the hand rests."""
        self.outputs.add(self._guarded(render), quick)

    def _guarded(self, render):
        def safe(results):
            try:
                return render(results)
            except Exception as trouble:
                self.guard.report(trouble)
                if os.environ.get("TWINKIT_STRICT") == "1":
                    raise
                return bundle(f'<div class="tk-note tk-trouble">This part could not be worked out ({html.escape(str(trouble))}).</div>')

        return safe

    def show(self, name):
        """Show a picture or a table of this page's drawings by its name."""
        if name in self.drawings.PICTURES:
            kind = self.drawings.PICTURES[name]
            if not kind.quick:
                display(LATE_PLACE, raw=True)
            self.view(lambda results: self._picture(name, kind, results), kind.quick)
        elif name in self.drawings.SHEETS:
            make = self.drawings.SHEETS[name]
            self.view(lambda results: sheet_bundle(make(results)), name in getattr(self.drawings, "QUICK", ()))
        else:
            raise ValueError(f"page {self.number} has no picture or table '{name}'; it has {', '.join([*self.drawings.PICTURES, *self.drawings.SHEETS])}")

    def _picture(self, name, kind, results):
        drawing = self._drawn.setdefault(name, kind())
        drawing.update(results)
        return picture_bundle(drawing.png(), drawing.title)

    def findings(self):
        """The findings of this step, worst first, and a line to write down why you fly in spite of one that says stop."""
        box = None

        def render(results):
            found = checks.findings(self.record, self.step, results)
            if box is not None:
                box.show(found)
            told = checks.gathered(found, self.record)
            markup = "".join(show.finding_html(f, self.record.acknowledged(f.code)) for f in told)
            return bundle(markup, "\n".join(show.finding_text(f) for f in told))

        self.view(render)
        if not self.printing:
            from twinkit.controls.knowing import KnowingBox

            box = KnowingBox(self)
            self.parts.append(box)
            show_controls(box.widget)

    def caution(self, *names):
        """Cautions where the hazard is."""
        texts = tables.cautions()
        for name in names:
            display(bundle(f'<div class="tk-caution"><b>{html.escape(texts[name]["title"])}</b> {html.escape(texts[name]["text"])}</div>'), raw=True)

    def numbers(self):
        """Print the numbers of this step, rounded, as text."""
        for label, text in self.drawings.numbers(self.results).items():
            print(f"{label}: {text}")

    # --- controls --------------------------------------------------------------------------------------------------------

    def controls(self, group, sliders=(), only=None):
        """The fields of a group of this step's section."""
        from twinkit.controls.fields import Group

        self._panel(lambda section: Group(section, group, self.record, self.changed, self.guard, sliders, only),
                    lambda: show.entries(self.record, quantities.paths(self.step, group), only))

    def limits(self, *names):
        """The limits this page holds your aeroplane against, to change to your own."""
        from twinkit.controls.fields import Group

        self._panel(lambda section: Group("limits", "limits", self.record, self.changed, self.guard, (), names),
                    lambda: show.entries(self.record, quantities.paths("limits"), names))

    def rows(self, table):
        """A table of the record, to fill in."""
        from twinkit.controls.fields import Rows

        self._panel(lambda section: Rows(table, self.record, self.changed, self.guard, self.folder), lambda: show.rows(self.record, table))

    def meter(self):
        """A press for each line of the meter sheet; the sheet itself is printed with its readings."""
        from twinkit.controls.metering import MeterBox

        self._panel(lambda section: MeterBox(self.record, lambda: self.results, self.changed, self.guard), lambda: "")

    def failure_pair(self):
        """Two failures at once, chosen from the wiring as it stands."""
        importlib.import_module("twinkit.controls.failure_pair").show(self)

    def _panel(self, make, printed):
        if self.printing:
            display(bundle(printed()), raw=True)
            return
        self._add(make(self.step))

    def _add(self, part):
        """Show a part's controls, and what stands in them for who reads the saved page."""
        self.parts.append(part)
        show_controls(part.widget)
        self.view(lambda results: _saved(part))

    @property
    def results(self):
        """The results of the record as it stands; of what leans on no changed entry the old ones."""
        if self._moved:
            self._results = self._results.after(self._moved)
            self._moved.clear()
        return self._results

    def changed(self, path):
        """An entry changed: newest wins; quick outputs follow at once, the others when the hand rests, marked meanwhile."""
        self._moved.add(path)
        for part in self.parts:
            part.fit()
        self.outputs.follow()

    def refresh(self):
        """Work out everything again and update every output."""
        self._results = Results(self.record)
        self._moved.clear()
        self.outputs.refresh()

    # --- lesson parts ----------------------------------------------------------------------------------------------------

    @property
    def lesson(self):
        return bool(self.record.value("start.lesson")) and not self.printing

    def guess(self, question, number, kind):
        """Guess first: a field for a guess, then the computed number beside it. number is 'result.field', kind a units.KINDS key."""
        if self.lesson:
            from twinkit.controls.lesson import Guess

            guess = Guess(question, lambda: attrgetter(number)(self.results), kind, self.record.value("start.units"), self.guard)
            show_controls(guess.widget)
            answered = View(lambda results: _saved(guess), self.results)
            guess.press.on_click(self.guard(lambda _: answered.refresh(self.results)))

    def exercise(self, question, answer):
        """An exercise for the evening with a folded answer."""
        if self.lesson:
            display(bundle(f'<div class="tk-fold"><b>For the evening.</b> {html.escape(question)}<details><summary>Answer</summary>{html.escape(answer)}</details></div>'), raw=True)

    # --- keeping ---------------------------------------------------------------------------------------------------------

    def keep(self):
        """What was kept, and the box to keep this step with your reason."""
        self.view(lambda results: bundle(self._kept_words()))
        self._press("keeping", "KeepBox")

    def _kept_words(self):
        kept = self.record.kept(self.step)
        if kept is None:
            return "<p>This step is not kept yet. Keeping writes its values, its numbers and your reason into the record.</p>"
        now = self.drawings.numbers(self.results)
        rows = [(name, then, now.get(name, "no longer computed")) for name, then in kept.results.items()]
        by = f" with twinkit {kept.version}" if kept.version != __version__ else ""
        sheet = show.sheet(f"Kept on {kept.when[:10]}{by}: {kept.reason or 'no reason given'}", ("number", "when kept", "now"), rows)
        return sheet

    def paper(self):
        """The press that writes templates, working drawing and sheets into the build's folder."""
        self._press("paper_box", "PaperBox")

    def _press(self, module, name):
        """A press with its words, of a module of controls; the printed record has none."""
        if not self.printing:
            self._add(getattr(importlib.import_module(f"twinkit.controls.{module}"), name)(self))

    def board(self):
        """All steps: where they stand and the worst finding of each, with a press to bring kept steps up to date."""
        from twinkit.controls.keeping import board_sheet

        self.view(lambda results: sheet_bundle(board_sheet(self)))
        self._press("keeping", "UpToDate")

    def save(self, resolve=None):
        """Write the record; returns the report. A scratch copy is written in its scratch folder only."""
        if self.unreadable:
            raise RecordError(f"{self.folder / RECORD_FILE} could not be read, so it is not written over: mend it or move it away first")
        report = self.record.save(self.folder / RECORD_FILE, **({"resolve": resolve} if resolve else {}))
        self._stamp = self._stat()
        return report

    def reload(self):
        """Take over what is on disk into this page's controls."""
        self.record, self.unreadable = Record.read(self.folder / RECORD_FILE), ""
        for part in self.parts:
            part.take(self.record)
        self._stamp = self._stat()
        self.refresh()

    def _stat(self):
        try:
            found = os.stat(self.folder / RECORD_FILE)
        except OSError:
            return None
        return found.st_mtime_ns, found.st_size, found.st_ino

    def _watch(self):
        """Notice within half a second that the record changed on disk; never move the reader's sliders silently."""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return

        async def poll():
            while True:
                await asyncio.sleep(POLL_SECONDS)
                if self._stat() != self._stamp:
                    self._stamp = self._stat()
                    self.banner.changed_on_disk()

        if not self.printing:
            self._poll = loop.create_task(poll())

    def close(self):
        """Stop watching the record: the page was opened again in this kernel."""
        if self._poll is not None:
            self._poll.cancel()
        self.banner.close()

    def _trouble(self, markup):
        display(bundle(markup), raw=True)

    def next(self):
        """The way to the next page, and the sources of this one."""
        names = list(FILES)
        after = names[names.index(self.step) + 1:][:1]
        keys = sorted({c.source for c in checks.REGISTRY if c.step == self.step and c.source} | set(getattr(self.drawings, "SOURCES", ())))
        cited = "".join(f"<li>{html.escape(tables.sources()[k]['citation'])} <i>({html.escape(tables.sources()[k]['standing'])})</i></li>" for k in keys)
        go = f'<p><b>Next:</b> <a href="{FILES[after[0]]}">{QUESTIONS[after[0]]}</a></p>' if after and not self.printing else ""
        display(bundle(f"{go}<details{' open' if self.printing else ''}><summary>Sources of this page</summary><ul>{cited}</ul></details>"), raw=True)
        if not self.printing:
            finish(self.outputs)


def _saved(part):
    """What stands in controls, seen in a saved page only: the banner hides it while there are controls."""
    markup = part.saved()
    return bundle(f'<div class="tk-saved">{markup}</div>' if markup else "")


__all__ = ["FILES", "QUESTIONS", "RECORD_FILE", "Page", "open_page"]
