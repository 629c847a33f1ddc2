"""What every step's computation shares: the ground it stands on, and the frame of its result."""

from dataclasses import dataclass, fields

from twinkit import quantities


@dataclass(frozen=True, kw_only=True)
class Result:
    """Frame of a step's result, SI throughout.

    missing: entries of the record that are needed and not known; numbers that need them are None.
    assumed: entries taken from their default. leans: every entry read, also by the results this one was built on:
    a result is worked out again only when one of these changes.
    """

    missing: tuple = ()
    assumed: tuple = ()
    leans: tuple = ()

    @property
    def known(self):
        """Whether nothing is missing."""
        return not self.missing

    @classmethod
    def unknown(cls, ground):
        """A result of which nothing is known yet: every field of its own is None."""
        own = {f.name: None for f in fields(cls) if f.name not in ("missing", "assumed", "leans")}
        return cls(**own, **ground.marks())


class Ground:
    """Reads entries of the record for one computation and notes which were read, missing or assumed."""

    def __init__(self, record):
        self.record = record
        self._read, self._missing, self._assumed = {}, {}, {}

    def __call__(self, path):
        """The SI value (or word, or flag) of an entry that is needed; None and noted as missing when not known."""
        value = self.maybe(path)
        if value is None:
            self._missing[path] = True
        return value

    def maybe(self, path):
        """The value of an entry that may be absent; None when not known."""
        entry = self.record.get(path)
        self._read[path] = True
        if entry is None:
            return None
        if entry.assumed:
            self._assumed[path] = True
        return entry.value

    def first(self, *paths):
        """The first of these entries that is known, the later ones standing in for the first; all missing: the first is noted."""
        for path in paths:
            value = self.maybe(path)
            if value is not None:
                return value
        self._missing[paths[0]] = True
        return None

    def rows(self, table):
        """The rows of a table as plain dicts of values; cells not known are None."""
        self._read[table] = True
        names = [column.name for column in quantities.TABLES[table].columns]
        return [{name: (row[name].value if name in row else None) for name in names} for row in self.record.rows(table)]

    def lack(self, path):
        """Note an entry as missing, when that is found otherwise than by reading it."""
        self._missing[path] = True

    def assume(self, path):
        """Note an entry as assumed, when it was estimated because the builder left it empty."""
        self._assumed[path] = True

    def use(self, result, needed=True):
        """Stand on another result: its marks become marks of this ground. needed=False leaves its missing entries out."""
        self._read.update(dict.fromkeys(result.leans, True))
        self._assumed.update(dict.fromkeys(result.assumed, True))
        if needed:
            self._missing.update(dict.fromkeys(result.missing, True))
        return result

    @property
    def complete(self):
        """Whether nothing that was needed is missing."""
        return not self._missing

    def marks(self):
        """The marks as the keywords of a Result."""
        return {"missing": tuple(self._missing), "assumed": tuple(self._assumed), "leans": tuple(self._read)}


def said(path):
    """An entry or table in words, with its side and page: 'Kv on the label left (page 01)'."""
    if path in quantities.TABLES:
        entry, side = quantities.TABLES[path], ""
    else:
        entry, side = quantities.quantity(path), quantities.side_of(path)
    page = _page(entry)
    label = f"{entry.label} {side}" if side else entry.label
    return f"{label} (page {page})" if page else label


def said_all(paths, most=4):
    """Several entries in words, page by page and both sides of one together, the first few named (most=None: all): 'cells in series, capacity (page 01, left and right)'."""
    sides = {}
    for path in paths:
        table = path in quantities.TABLES
        entry = quantities.TABLES[path] if table else quantities.quantity(path)
        sides.setdefault((_page(entry), entry.label), []).append("" if table else quantities.side_of(path))
    named = sorted(((page, sorted(which) == ["left", "right"], label, which) for (page, label), which in sides.items()), key=lambda one: one[:2])
    groups = {}
    for page, both, label, which in named[:most]:
        groups.setdefault((page, both), []).extend([label] if both else [f"{label} {side}".strip() for side in which])
    told = []
    for (page, both), labels in groups.items():
        where = ", ".join(([f"page {page}"] if page else []) + (["left and right"] if both else []))
        told.append(", ".join(labels) + (f" ({where})" if where else ""))
    rest = len(named) - len(named[:most])
    return "; ".join(told) + (f" and {rest} more" if rest else "")


def _page(entry):
    """The page an entry or table is filled in on, '' when it belongs to none."""
    return f"{quantities.STEPS.index(entry.section):02d}" if entry.section in quantities.STEPS else ""
