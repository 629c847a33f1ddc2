"""twinkit: the package behind the workbooks for a small twin-motor electric model aeroplane."""

__version__ = "0.1.0"
