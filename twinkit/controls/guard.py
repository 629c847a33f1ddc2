"""The one guard round every callback of a page: trouble is shown on the page, never swallowed."""

import functools
import html
import os
import traceback


class Guard:
    """Wraps callbacks. show(html) puts a message on the page; with TWINKIT_STRICT=1 the exception is raised again, for tests."""

    def __init__(self, show):
        self._show = show

    def __call__(self, callback):
        @functools.wraps(callback)
        def guarded(*args, **keywords):
            try:
                return callback(*args, **keywords)
            except Exception as trouble:  # the guard is the one place that catches everything
                self.report(trouble)
                if os.environ.get("TWINKIT_STRICT") == "1":
                    raise

        return guarded

    def report(self, trouble):
        """Say on the page what went wrong; the details are folded."""
        details = html.escape("".join(traceback.format_exception(trouble)))
        self._show(f'<div class="tk-note tk-trouble"><b>Something went wrong inside the tool, not in your design.</b> '
                   f"{html.escape(type(trouble).__name__)}: {html.escape(str(trouble))}. Your entries are still there. "
                   f"<details><summary>Details for whoever mends it</summary><pre>{details}</pre></details></div>")
