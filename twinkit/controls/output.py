"""Outputs of a page that follow the results, and the marks on those that wait for the hand to rest."""

from IPython.display import display

from twinkit.controls import show

LATE_PLACE = {"text/html": '<div class="tk-late"></div>', "text/plain": ""}      # room above a picture for the words that it still shows the old values
_LATE = ".tk-late::before{content:'… still shows the values before your last change'} .tk-finding{opacity:.55}"


class View:
    """One output that follows the results: render(results) gives a mime bundle. quick: it follows at once, else when the hand rests."""

    def __init__(self, render, results, quick=False):
        self.render, self.quick, self._shown = render, quick, render(results)
        self.handle = display(self._shown, raw=True, display_id=True)

    def refresh(self, results):
        """Show these results; nothing goes to the browser when that changes nothing."""
        shown = self.render(results)
        if shown != self._shown:
            self._shown = shown
            self.handle.update(shown, raw=True)


def bundle(markup, text=None):
    """HTML with its plain text."""
    return {"text/html": f'<div class="tk-page">{markup}</div>', "text/plain": text if text is not None else show.plain(markup)}


def sheet_bundle(sheet):
    """A table."""
    return bundle(sheet.html(), sheet.text())


def late_marks(late):
    """The style sheet that marks all waiting outputs at once, or lets go of them."""
    return {"text/html": f"<style>{_LATE if late else ''}</style>", "text/plain": ""}
