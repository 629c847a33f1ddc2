"""Typed reading of the record against the register: one entry, one cell, and the whole file with every problem at once."""

import datetime
import difflib
import functools
import math
import numbers
from dataclasses import dataclass

from twinkit import quantities, units
from twinkit.quantities import ORIGINS

SCHEMA = 2
MAX_TEXT = 10_000  # characters of one free text
OTHER_SECTIONS = ("notes", "acknowledged", "kept", "journal")
KEPT_TABLES = ("checksums", "results", "verdicts", "leans")
KEPT_TEXTS = ("when", "reason", "version")
ACKNOWLEDGED_TEXTS = ("reason", "name", "date")
ENTRY_KEYS = ("value", "origin", "note")
_MEANT = {"true": "yes", "false": "no", "yes": "true", "no": "false", "1": "one", "2": "two"}


@dataclass(frozen=True)
class Entry:
    """One entry of the record: the value (SI number, word, text, true or false), its text, where it comes from, a note."""

    value: object
    text: str
    origin: str = "chosen"
    note: str = ""

    @property
    def assumed(self):
        return self.origin == "assumed"


@dataclass(frozen=True)
class Problem:
    """Something in the record that could not be read: where, what was read, and a sentence saying what is allowed."""

    path: str
    read: str
    sentence: str


class RecordError(ValueError):
    """The record cannot be read, changed or saved; the text is for the reader, one line for each problem."""

    def __init__(self, *problems):
        self.problems = tuple(p if isinstance(p, Problem) else Problem("", "", p) for p in problems)
        super().__init__("\n".join(p.sentence for p in self.problems))


class Refused(ValueError):
    """A value that does not fit its quantity; the text says what was read, what is allowed and the nearest valid spelling."""


def shortened(text, most=120):
    """A text that may be of any length, as it stands in a sentence."""
    return text if len(text) <= most else f"{text[:most - 3]}..."


def told(raw):
    """What was read, as it stands in a sentence."""
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, dict):
        return "a section"
    if isinstance(raw, list):
        return "a list"
    text = shortened(" ".join(str(raw).split()), 40)
    return f"'{text}'" if isinstance(raw, str) else text


def clean(text, what="this text"):
    """A free text fit for the file; Refused when it cannot be written there."""
    if not isinstance(text, str):
        raise Refused(f"{told(text)} is not a text: write {what} in quotes")
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if len(text) > MAX_TEXT:
        raise Refused(f"{what} has {len(text)} characters: at most {MAX_TEXT} are kept")
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise Refused(f"character {error.start + 1} of {what} cannot be written to a file: take it out") from None
    return text


_parse = functools.lru_cache(maxsize=4096)(units.parse)


def _bare(text, quantity):
    """Whether a unit is wanted and none was typed."""
    if not quantity.metric:
        return False
    try:
        alone = _parse(text, quantity.unit)
    except units.UnitsError:
        try:
            _parse(text, quantity.unit, quantity.metric)
        except units.UnitsError:
            return False
        return True
    return quantity.unit == "1" and alone != _parse(text, "1", quantity.metric)


def _inward(value, unit, si_unit, upwards):
    """A limit in a shown unit, rounded so that it still lies inside."""
    number = units.from_si(value, unit, si_unit)
    near = float(f"{number:.6g}")
    if not math.isclose(near, number, rel_tol=1e-9, abs_tol=1e-9):
        step = 10.0 ** (math.floor(math.log10(abs(number))) - 3)
        near = (math.ceil if upwards else math.floor)(number / step) * step
    return units.exact(units.to_si(near, unit, si_unit), unit, si_unit)


def _fits(quantity, value, said, system):
    """Refuse a number outside the possible range or, where whole ones are wanted, between two."""
    unit = quantity.shown_unit(system)
    low, high = quantity.possible if quantity.possible else (-math.inf, math.inf)
    slack = 1e-9 * max((abs(x) for x in (low, high) if math.isfinite(x)), default=0.0)
    if not low - slack <= value <= high + slack:
        least, most = (_inward(x, unit, quantity.unit, x == low) for x in (low, high))
        raise Refused(f"{said} is outside what is possible, {least.removesuffix(unit).strip()} to {most}; "
                      f"the nearest is {least if value < low else most}")
    if quantity.whole and value != round(value):
        near = [f"{x:d}" for x in (math.floor(value), math.ceil(value)) if low <= x <= high]
        raise Refused(f"{said} is not a whole number; nearest: {' or '.join(near)}")


def example(quantity, system="metric"):
    """A fitting value as it is written in the file."""
    if quantity.kind != "number":
        return next(iter(quantity.choices), "true" if quantity.kind == "flag" else '"text"')
    value = quantity.usual[0] if quantity.usual else quantity.default or 1.0
    return units.shown(value, quantity.shown_unit(system), quantity.unit)


def _number(quantity, raw, system, typed):
    """A number as (SI value, text, TOML value); typed: a missing unit is the shown one, and a number is SI."""
    unit = quantity.shown_unit(system)
    if isinstance(raw, bool) or not isinstance(raw, (str, numbers.Real)):
        raise Refused(f"{told(raw)} is not a number: write it like {example(quantity, system)}")
    if isinstance(raw, str):
        text = " ".join(raw.split())
        try:
            if _bare(text, quantity):
                if not typed:
                    raise Refused(f"{told(raw)} has no unit: write it like {text} {unit}")
                text = f"{text} {unit}"
            value = _parse(text, quantity.unit)
        except units.UnitsError as error:
            raise Refused(str(error) if told(raw) in str(error) else f"{told(raw)}: {error}") from None
        _fits(quantity, value, told(raw), system)
    else:
        try:
            finite = math.isfinite(raw)
        except OverflowError:
            finite = False
        if not finite:
            raise Refused(f"{told(raw)} is not a number that can stand here: write it like {example(quantity, system)}")
        if quantity.metric and not typed:
            raise Refused(f"{told(raw)} has no unit: write it like {raw:g} {unit}")
        value = float(raw)
        _fits(quantity, value, units.shown(value, unit, quantity.unit, 7), system)
        text = units.exact(value, unit, quantity.unit)
        value = _parse(text, quantity.unit)
    if quantity.metric:
        return value, text, text
    try:
        plain = float(text)
    except ValueError:
        return value, text, text
    return value, text, int(plain) if plain.is_integer() else plain


def _choice(quantity, raw):
    if isinstance(raw, str) and raw in quantity.choices:
        return raw
    words = {key.casefold(): key for key in quantity.choices} | {label.casefold(): key for key, label in quantity.choices.items()}
    meant = _MEANT.get(told(raw).strip("'").casefold())
    near = [meant] if meant in quantity.choices else difflib.get_close_matches(told(raw).strip("'").casefold(), list(words), n=1, cutoff=0.4)
    hint = f"; nearest: {words[near[0]]}" if near else ""
    raise Refused(f"{told(raw)} is not one of {', '.join(quantity.choices)}{hint}")


def _flag(raw):
    if isinstance(raw, bool):
        return raw
    word = told(raw).strip("'").casefold()
    near = word if word in ("true", "false") else _MEANT.get(word, {"1": "true", "0": "false"}.get(word, ""))
    near = near if near in ("true", "false") else {"one": "true"}.get(near, "")
    raise Refused(f"{told(raw)} is not true or false, without quotes" + (f"; nearest: {near}" if near else ""))


def fitted(quantity, raw, system="metric", typed=False):
    """A raw value as (value, text, TOML value); Refused with a sentence when it does not fit the quantity."""
    if hasattr(raw, "item"):
        raw = raw.item()
    if quantity.kind == "number":
        return _number(quantity, raw, system, typed)
    if quantity.kind == "choice":
        word = _choice(quantity, raw)
        return word, word, word
    if quantity.kind == "flag":
        yes = _flag(raw)
        return yes, told(yes), yes
    if isinstance(raw, (datetime.date, datetime.time)):
        raw = raw.isoformat()
    if isinstance(raw, numbers.Real):
        raise Refused(f'{told(raw)} is not a text: write it in quotes, "{told(raw)}"')
    text = clean(raw, quantity.label)
    return text, text, text


def origin_of(word):
    """The origin, or Refused with the nearest."""
    if word in ORIGINS:
        return word
    near = difflib.get_close_matches(str(word), ORIGINS, n=1, cutoff=0.4)
    raise Refused(f"the origin {told(word)} is not one of {', '.join(ORIGINS)}" + (f"; nearest: {near[0]}" if near else ""))


def read_entry(quantity, raw, system="metric"):
    """One entry of the file as an Entry; Refused when it does not fit."""
    origin, note = "chosen", ""
    if isinstance(raw, dict):
        if "value" not in raw:
            raise Refused(f'has no value: write it like {{ value = "{example(quantity, system)}", origin = "measured" }}')
        origin, note = origin_of(raw.get("origin", "chosen")), clean(raw.get("note", ""), "the note")
        raw = raw["value"]
    value, text, _ = fitted(quantity, raw, system)
    return Entry(value, text, origin, note)


def assumed(quantity):
    """What the register assumes for an entry or a cell nobody wrote, or None."""
    if quantity.default is None:
        return None
    if quantity.kind == "number":
        return Entry(float(quantity.default), units.exact(quantity.default, quantity.metric, quantity.unit), "assumed")
    return Entry(quantity.default, told(quantity.default) if quantity.kind == "flag" else quantity.default, "assumed")


@functools.cache
def default_entry(path):
    """What the register assumes for an entry of the record, or None."""
    return assumed(quantities.quantity(path))


def with_defaults(table, cells):
    """The cells of a row in the order of the columns, defaults filled in."""
    filled = {column.name: cells.get(column.name) or assumed(column) for column in table.columns}
    return {name: entry for name, entry in filled.items() if entry is not None}


def units_shown(plain):
    """metric or imperial, as chosen in the record."""
    start = plain.get("start")
    raw = start.get("units") if isinstance(start, dict) else None
    raw = raw.get("value") if isinstance(raw, dict) else raw
    return raw if isinstance(raw, str) and raw in quantities.quantity("start.units").choices else "metric"


def written(entry, raw, old=None):
    """An entry as plain data of the file: its value alone, or with origin and note; unknown words beside an old one stay."""
    extra = {key: word for key, word in old.items() if key not in ENTRY_KEYS} if isinstance(old, dict) else {}
    if entry.origin == "chosen" and not entry.note and not extra:
        return raw
    return {"value": raw, "origin": entry.origin, **({"note": entry.note} if entry.note else {}), **extra}


def entered_row(table, row, system):
    """A row as typed, as plain data of the file, and what was refused as (column, read, why)."""
    cells, refused = {}, []
    columns = {column.name: column for column in table.columns}
    for name, cell in row.items():
        if name not in columns:
            near = difflib.get_close_matches(str(name), list(columns), n=1, cutoff=0.4)
            refused.append((name, told(cell).strip("'"), f"is no column of this table{f'; nearest: {near[0]}' if near else ''}"))
            continue
        if cell is None or (isinstance(cell, str) and not cell.strip()):
            continue
        given = cell if isinstance(cell, Entry) else Entry(cell, "")
        if isinstance(cell, Entry) and cell == assumed(columns[name]):
            continue
        try:
            value, text, raw = fitted(columns[name], given.text if given.text and columns[name].kind == "number" else given.value, system, typed=True)
            cells[name] = written(Entry(value, text, given.origin, given.note), raw)
        except Refused as refusal:
            refused.append((name, told(given.value).strip("'"), str(refusal)))
    return cells, refused


def carried(table, old, read, typed, cells):
    """The new cells of a row with what its old row held beside them: unknown columns, and cells that could not be read and were not typed anew."""
    columns = [column.name for column in table.columns]
    kept = {name: cell for name, cell in old.items() if name not in columns or (name not in read and name not in typed)}
    for name in cells:
        if isinstance(old.get(name), dict) and not isinstance(cells[name], dict):
            extra = {key: word for key, word in old[name].items() if key not in ENTRY_KEYS}
            cells[name] = {"value": cells[name], **extra} if extra else cells[name]
    order = [*old, *(name for name in cells if name not in old)]
    return {name: (cells | kept)[name] for name in order if name in cells or name in kept}
