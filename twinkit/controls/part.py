"""What every part of a page's controls can be asked, and how controls get onto the page."""

from IPython.display import display


class Part:
    """Something with controls on a page: widget is what is displayed."""

    widget = None

    def take(self, record):
        """Show another record from now on."""

    def fit(self):
        """Show only the controls that make sense for the record as it now stands."""

    def saved(self):
        """What stands in the controls, as HTML, for who reads the saved page: it has no controls without a kernel. Empty: the page says it elsewhere."""
        return ""


def show_controls(widget):
    """Put controls onto the page; where they cannot live nothing stands in their place."""
    view = widget._repr_mimebundle_()
    display({**(view[0] if isinstance(view, tuple) else view), "text/plain": ""}, raw=True)
