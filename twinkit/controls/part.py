"""What every part of a page's controls can be asked."""


class Part:
    """Something with controls on a page: widget is what is displayed."""

    widget = None

    def take(self, record):
        """Show another record from now on."""

    def fit(self):
        """Show only the controls that make sense for the record as it now stands."""
