"""What a quantity of the register is."""

from dataclasses import dataclass, field

SIDES = ("left", "right")
PACK_SIDES = ("left", "right", "shared")
ORIGINS = ("chosen", "weighed", "measured", "assumed", "table")


@dataclass(frozen=True)
class Quantity:
    """One named quantity: everything the record, the fields, the tables and the glossary need to know of it.

    id is section.name (or section.table.column); a quantity with sides is stored once for each side as section.side.name.
    kind is number, choice, flag or text. unit is the SI unit (a key of units.UNITS), metric and imperial the shown ones.
    possible is the range beyond which an entry is refused, usual the range of the slider and of a note; both SI.
    default is an SI number (or a choice, flag, text) taken with origin 'assumed' when nothing is entered; None: unknown until entered.
    asks_origin: the page asks whether an entered number was chosen, weighed, measured or read in a table, because the band depends on it.
    moves is the share by which it may change before a kept step that leans on it reads "changed since".
    """

    id: str
    label: str
    meaning: str
    kind: str = "number"
    unit: str = "1"
    metric: str = ""
    imperial: str = ""
    symbol: str = ""
    possible: tuple = ()
    usual: tuple = ()
    default: object = None
    choices: dict = field(default_factory=dict)
    group: str = ""
    sides: tuple = ()
    moves: float = 0.01
    whole: bool = False
    source: str = ""
    asks_origin: bool = False

    @property
    def section(self):
        return self.id.split(".", 1)[0]

    @property
    def name(self):
        return self.id.rsplit(".", 1)[1]

    def shown_unit(self, system="metric"):
        return self.imperial if system == "imperial" and self.imperial else self.metric

    def paths(self):
        """The entries of the record that hold this quantity."""
        return tuple(f"{self.section}.{side}.{self.name}" for side in self.sides) or (self.id,)


@dataclass(frozen=True)
class RowTable:
    """A list of rows in a section, each with the same columns (quantities with id section.table.column)."""

    id: str
    label: str
    meaning: str
    columns: tuple
    group: str = ""
    most: int = 200

    @property
    def section(self):
        return self.id.split(".", 1)[0]

    @property
    def name(self):
        return self.id.rsplit(".", 1)[1]


def number(id, label, unit, shown, possible, usual, meaning, **more):
    """A number; shown is the metric unit or (metric, imperial); possible and usual are in the metric shown unit."""
    from twinkit import units

    metric, imperial = (shown, "") if isinstance(shown, str) else shown
    if metric not in units.UNITS[unit] or (imperial and imperial not in units.UNITS[unit]):
        raise ValueError(f"{id}: a shown unit is not one of those of {unit}")
    default = more.pop("default", None)
    to_si = lambda x: x if unit == "1" and not metric else float(units.to_si(x, metric, unit))  # noqa: E731
    return Quantity(id, label, meaning, unit=unit, metric=metric, imperial=imperial, possible=tuple(to_si(x) for x in possible),
                    usual=tuple(to_si(x) for x in usual), default=None if default is None else to_si(default), **more)


def choice(id, label, choices, meaning, **more):
    """One of a few words; choices maps the word in the record to what people read."""
    return Quantity(id, label, meaning, kind="choice", choices=choices, **more)


def flag(id, label, meaning, **more):
    """Yes or no."""
    return Quantity(id, label, meaning, kind="flag", **more)


def words(id, label, meaning, **more):
    """Free text."""
    return Quantity(id, label, meaning, kind="text", **more)
