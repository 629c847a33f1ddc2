"""Outputs of a page that follow the results, and the marks on those that wait for the hand to rest."""

import asyncio
import base64

from IPython import get_ipython
from IPython.display import display

from twinkit.controls import show

LATE_PLACE = {"text/html": '<div class="tk-late"></div>', "text/plain": ""}      # room above a picture for the words that it still shows the old values
MARK_SECONDS = 0.06
REST_SECONDS = 0.3
_LATE = ".tk-late::before{content:'… still shows the values before your last change'} .tk-finding{opacity:.55}"


def lose_nothing():
    """Have the kernel keep every message until the server takes it. By default it throws away, unsaid, what goes beyond a thousand waiting ones,
    which a page's controls do when the machine is busy: its cells then wait for ever.
    """
    thread = getattr(getattr(get_ipython(), "kernel", None), "iopub_thread", None)
    if thread is not None:
        thread.schedule(lambda: setattr(thread.socket, "sndhwm", 0))


class View:
    """One output that follows the results: render(results) gives a mime bundle. quick: it follows at once, else when the hand rests.

    A picture goes out as a bare image while the hand moves, which a browser shows sooner, and with its words for who cannot see it once the hand rests.
    """

    def __init__(self, render, results, quick=False):
        self.render, self.quick = render, quick
        shown = render(results)
        self.picture, self._shown = "image/png" in shown, _without(shown, "image/png")
        self.handle = display(self._shown, raw=True, display_id=True)

    def refresh(self, results, moving=False):
        """Show these results; nothing goes to the browser when that changes nothing."""
        shown = self.render(results)
        shown = _without(shown, "text/html" if moving and "image/png" in shown else "image/png")
        if shown != self._shown:
            self._shown = shown
            self.handle.update(shown, raw=True)


class Outputs:
    """All outputs of a page. After a change the newest input wins: quick outputs follow at once, the others when the hand rests, marked meanwhile.

    results() gives the results as they stand.
    """

    def __init__(self, guard, results):
        self._guard, self._results, self._views, self._timers, self._late = guard, results, [], {}, False
        self._marks = display(_late_marks(False), raw=True, display_id=True)

    def __len__(self):
        return len(self._views)

    @property
    def _quick(self):
        """Those that follow at once, pictures first: the hand looks at them."""
        return sorted((view for view in self._views if view.quick), key=lambda view: not view.picture)

    def add(self, render, quick):
        """Show something that follows the results."""
        self._views.append(View(render, self._results(), quick))

    def follow(self):
        """Something changed."""
        self.later("quick", 0.0, self._follow_at_once)      # behind a newer input that already waits
        self.later("rest", REST_SECONDS, self._catch_up)

    def refresh(self):
        """Bring every output up to date now."""
        for view in self._views:
            view.refresh(self._results())

    def later(self, name, seconds, action):
        """Do this after a while, in place of what waits under the same name; at once where no event loop runs."""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            action()
            return
        self._forget(name)
        self._timers[name] = loop.call_later(seconds, self._guard(action))

    def _forget(self, name):
        if name in self._timers:
            self._timers.pop(name).cancel()

    def _follow_at_once(self):
        for view in self._quick:
            view.refresh(self._results(), moving=True)
        self.later("mark", MARK_SECONDS, lambda: self._mark(True))      # a new style sheet moves the whole page: not before the picture has moved

    def _catch_up(self, first=0):
        """One late output after the other, so that a hand that moves again is not kept waiting."""
        late = [view for view in self._views if view.picture or not view.quick]
        if first == len(late):
            self._forget("mark")
            self._mark(False)
            return
        late[first].refresh(self._results())
        self.later("rest", 0.0, lambda: self._catch_up(first + 1))

    def _mark(self, late):
        if late != self._late:
            self._late = late
            self._marks.update(_late_marks(late), raw=True)


def bundle(markup, text=None):
    """HTML with its plain text."""
    return {"text/html": f'<div class="tk-page">{markup}</div>', "text/plain": text if text is not None else show.plain(markup)}


def picture_bundle(png, finding):
    """A picture: the bare image, and the same with its finding as words for who cannot see it."""
    return {"image/png": base64.b64encode(png).decode(), "text/html": show.picture(png, finding), "text/plain": f"[picture] {finding}"}


def _without(shown, kind):
    return {k: v for k, v in shown.items() if k != kind}


def sheet_bundle(sheet):
    """A table."""
    return bundle(sheet.html(), sheet.text())


def _late_marks(late):
    """The style sheet that marks all waiting outputs at once, or lets go of them."""
    return {"text/html": f"<style>{_LATE if late else ''}</style>", "text/plain": ""}
