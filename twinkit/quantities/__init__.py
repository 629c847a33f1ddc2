"""The register of named quantities.

Record sections, validation, fields, CSV heads, column heads and the glossary are all made from it. To add a quantity, add one entry to
the module of its section here; nothing else.
"""

import difflib
import functools

from twinkit.quantities import bench, leads, limits, power, rudder, start, weight, wing, wiring
from twinkit.quantities.base import ORIGINS, PACK_SIDES, SIDES, Quantity, RowTable

SECTIONS = {
    "start": "What the aeroplane is for", "power": "Power layout", "wiring": "Regulator and receiver", "leads": "Lead lengths",
    "weight": "Pack and weight", "wing": "Wing", "rudder": "Rudder and trim", "bench": "Bench and first flight", "limits": "Limits you fly by",
}
STEPS = tuple(s for s in SECTIONS if s != "limits")

_ENTRIES = tuple(entry for module in (start, power, wiring, leads, weight, wing, rudder, bench, limits) for entry in module.ENTRIES)
QUANTITIES = {entry.id: entry for entry in _ENTRIES if isinstance(entry, Quantity)}
TABLES = {entry.id: entry for entry in _ENTRIES if isinstance(entry, RowTable)}
if len(QUANTITIES) + len(TABLES) != len(_ENTRIES):
    raise ValueError("the register holds one id twice")
_PATHS = {path: entry for entry in QUANTITIES.values() for path in entry.paths()}


def quantity(path):
    """The quantity behind an entry of the record ('power.left.kv') or a register id ('power.kv'); KeyError names the nearest."""
    found = _PATHS.get(path) or QUANTITIES.get(path)
    if found is None:
        raise KeyError(f"'{path}' is not in the register; nearest: {', '.join(nearest(path)) or 'nothing'}")
    return found


def known(path):
    """Whether the record may hold this entry."""
    return path in _PATHS


def nearest(path, count=3):
    """The spellings of entries and tables nearest to a name."""
    return difflib.get_close_matches(path, [*_PATHS, *TABLES], n=count, cutoff=0.55)


@functools.cache
def paths(section=None, group=None):
    """The entries of a section (and group) in the order of the register."""
    return tuple(path for path, entry in _PATHS.items()
                 if (section is None or entry.section == section) and (group is None or entry.group == group))


@functools.cache
def groups(section):
    """The groups of a section in the order of the register."""
    return tuple(dict.fromkeys(e.group for e in _ENTRIES if e.section == section))


def side_of(path):
    """'left', 'right', 'shared' or '' for an entry of the record."""
    parts = path.split(".")
    return parts[1] if len(parts) == 3 and parts[1] in PACK_SIDES else ""


__all__ = ["ORIGINS", "PACK_SIDES", "QUANTITIES", "SECTIONS", "SIDES", "STEPS", "TABLES", "Quantity", "RowTable", "groups", "known", "nearest",
           "paths", "quantity", "side_of"]
