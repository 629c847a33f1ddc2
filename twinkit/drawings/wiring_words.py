"""Words that the tables of page 02 share."""

from twinkit.drawings.base import Sheet


def not_built(title, columns, results):
    """The table when there is no wiring: what is missing, or why the layout cannot be built."""
    layout = results.layout
    if not layout.known:
        return Sheet.waiting(title, layout.missing)
    return Sheet(title, columns, (("cannot be built", layout.why_not, *[""] * (len(columns) - 2)),))


def told(words):
    """A step of switching as it is read aloud."""
    return words.replace("plug in: ", "plug in the ").replace("unplug: ", "unplug the ")
