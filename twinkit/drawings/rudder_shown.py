"""What the pictures and tables of page 06 share."""

import numpy as np

from twinkit import units
from twinkit.drawings.base import Sheet

NO_PERMISSION = "A number that says it flies is no permission to fly."


def shown_in(values, kind, system):
    """SI values in the shown unit of their kind, and that unit."""
    si_unit, metric, imperial = units.KINDS[kind]
    unit = imperial if system == "imperial" else metric
    return units.from_si(np.asarray(values, dtype=float), unit, si_unit), unit


def not_known(missing, title):
    """A table that says what is missing."""
    return Sheet.waiting(title, missing)
