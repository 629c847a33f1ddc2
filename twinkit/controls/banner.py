"""The banner at the head of a page: the page was reloaded, or the record changed on disk."""

import html

import ipywidgets as widgets
from IPython import get_ipython

CONTROL_TARGET = "jupyter.widget.control"


class Banner:
    """Hidden until there is something to say. load() takes over what is on disk."""

    def __init__(self, guard, load):
        self._guard, self._load = guard, load
        self.closed = self._reloaded = False
        self.words = widgets.HTML("")
        alive = widgets.HTML("<style>.tk-saved{display:none}</style>")      # no saved file holds this: while there are controls, what stands in them is not said twice
        self.press = widgets.Button(description="load what is on disk", layout=widgets.Layout(width="auto"))
        self.press.add_class("tk-load")
        self.press.on_click(guard(lambda _: self._take()))
        self.widget = widgets.HBox([self.words, self.press, alive], layout=widgets.Layout(display="none", flex_flow="row wrap", align_items="center"))
        self.widget.add_class("tk-banner")

    def close(self):
        """Say nothing from now on: the page was opened again."""
        self.closed = True
        self.widget.layout.display = "none"

    def _say(self, markup, press):
        if self.closed:
            return
        self.words.value = f'<div class="tk-note"><b>{markup}</b></div>'
        self.press.layout.display = "" if press else "none"
        self.widget.layout.display = "flex"

    def changed_on_disk(self):
        """Another page or an editor wrote the record."""
        if self._reloaded:
            return  # what was said already needs the same press, and more
        self._say("The record on disk has changed since this page was opened. Your controls were left alone.", press=True)

    def reloaded(self):
        """The browser page was loaded again while the kernel lived on: outputs no longer follow the controls."""
        self._reloaded = True
        self._say("This page was loaded again in the browser: its pictures no longer follow. Use the menu Run, then Run All Cells.", press=False)

    def _take(self):
        try:
            self._load()
        except ValueError as trouble:
            self.words.value = f'<span class="tk-refused">{html.escape(str(trouble))}</span>'
            return
        self.widget.layout.display = "none"

    def watch_reload(self):
        """Notice the widget manager of a reloaded page asking for the state of all widgets."""
        shell = get_ipython()
        kernel = getattr(shell, "kernel", None)
        if kernel is None:
            return
        targets = kernel.comm_manager.targets
        original = targets.get(CONTROL_TARGET)
        if original is None or getattr(original, "twinkit", None) is not None:
            if original is not None:
                original.twinkit.append(self)
            return

        def opened(comm, message):
            original(comm, message)
            opened.twinkit[-1].reloaded()

        opened.twinkit = [self]
        kernel.comm_manager.register_target(CONTROL_TARGET, opened)
