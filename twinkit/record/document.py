"""The text of the file: reading it as plain data, and writing changed data back into it so that comments and unknown entries survive."""

import difflib
import os
import re
import stat
import tomllib
from pathlib import Path

import tomlkit
from tomlkit.container import OutOfOrderTableProxy
from tomlkit.items import AoT, Array, Comment, InlineTable, Null, Table, Trivia, Whitespace

from twinkit.quantities import SECTIONS
from twinkit.record.sections import SCHEMA, RecordError, shortened
from twinkit.record.upgrade import upgraded

MAX_BYTES = 2_000_000
MAX_DEPTH = 40       # brackets within brackets; the deepest thing of a record has five
MAX_BITS = 13_000    # of a whole number; Python prints those of some 4300 digits at most, and what cannot be printed cannot be told or saved
_TOO_DEEP = "its brackets are nested too deep"


class Unreadable(RecordError):
    """A file whose content is no record."""


class NewerSchema(RecordError):
    """A file written by a later version, which must not be touched."""


def read_bytes(path):
    """The bytes of a file, refused before reading when it is no plain file or too long."""
    path = Path(path)
    try:
        about = os.stat(path)
        if not stat.S_ISREG(about.st_mode):
            raise RecordError(f"{path} is not a file: name the build.toml in the builder's folder")
        if about.st_size > MAX_BYTES:
            raise Unreadable(f"{path.name} holds {about.st_size} bytes: a record has at most {MAX_BYTES}; it was not read")
        with open(path, "rb") as file:
            data = file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise RecordError(f"there is no file {path}") from None
    except OSError as error:
        raise RecordError(f"{path} cannot be read: {error.strerror}") from None
    if len(data) > MAX_BYTES:
        raise Unreadable(f"{path.name} holds more than {MAX_BYTES} bytes: it was not read")
    return data


def decoded(data, name):
    """Bytes as text with plain line ends, without a byte order mark."""
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data[:error.start].count(b"\n") + 1
        raise Unreadable(f"{name} is not UTF-8 text (line {line}): save it as UTF-8 in your editor") from None


def loaded(text, name):
    """Text as (plain data of the present schema, its text, what the upgrade changed)."""
    try:
        plain = tomllib.loads(text)
    except RecursionError:
        raise Unreadable(f"{name} cannot be read: {_TOO_DEEP}") from None
    except ValueError as error:
        if not isinstance(error, tomllib.TOMLDecodeError):      # the only other one: Python reads no number of so many digits
            raise Unreadable(f"{name} cannot be read: {_too_long()}") from None
        where = re.search(r"\(at (line \d+, column \d+|end of document)\)", str(error))
        why = shortened(re.sub(r"\s*\(at .*\)$", "", str(error)).strip()) or "not understood"
        place = f" in {where[1]}" if where and where[1].startswith("line") else " at its end" if where else ""
        raise Unreadable(f'{name} cannot be read{place}: {why}. A line is written like span = "1160 mm"') from None
    if odd := _unsound(plain):
        raise Unreadable(f"{name} cannot be read: {odd}")
    schema = plain.get("schema")
    if isinstance(schema, bool) or not isinstance(schema, int) or schema < 1:
        return plain, text, ()
    if schema > SCHEMA:
        raise NewerSchema(f"{name} has schema {shortened(str(schema), 40)}, and this version knows schemas up to {SCHEMA}: update twinkit to open it")
    if schema == SCHEMA:
        return plain, text, ()
    try:
        text, changes = upgraded(text, schema)
    except tomlkit.exceptions.TOMLKitError as error:
        raise Unreadable(f"{name} has the old schema {schema} and cannot be brought to schema {SCHEMA}: {error}") from None
    return tomllib.loads(text), text, changes


def _too_long(place=""):
    return f'{place or "it"} holds a number of thousands of digits; a number is written like span = "1160 mm"'


def _unsound(plain):
    """What in the plain data no page could go on with, or ''."""
    left = [((), plain)]
    while left:
        way, value = left.pop()
        if len(way) > MAX_DEPTH:
            return _TOO_DEEP
        if isinstance(value, (dict, list)):
            left += [((*way, str(key)), inner) for key, inner in (value.items() if isinstance(value, dict) else enumerate(value, 1))]
        elif isinstance(value, int) and value.bit_length() > MAX_BITS:
            return _too_long(".".join(way))
    return ""


def skeleton():
    """The text of an empty record: a head for each section, in the order of the pages."""
    heads = "".join(f"# {title}\n[{section}]\n\n" for section, title in SECTIONS.items())
    return (f'# The record of a build: quantities with their units, like span = "1160 mm".\nschema = {SCHEMA}\n\n{heads}'
            f"# Your own words, one text for each step\n[notes]\n")


def partners(old, new):
    """For each new row the place of the old row it goes on from, or None: equal rows, then rows that share most cells, in their order."""
    before, after = [repr(sorted(row.items(), key=repr)) for row in old], [repr(sorted(row.items(), key=repr)) for row in new]
    found = [None] * len(new)
    for _, a0, a1, b0, b1 in difflib.SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if a1 - a0 == b1 - b0:
            found[b0:b1] = range(a0, a1)
            continue
        for b in range(b0, b1):
            shared = {a: sum(alike(old[a][key], new[b][key]) for key in old[a].keys() & new[b].keys()) for a in range(a0, a1)}
            best = max(shared, key=shared.get, default=None)
            if best is not None and shared[best]:
                found[b], a0 = best, best + 1
    return found


def alike(a, b):
    """Equal in value and in kind (true is not 1), whatever the order of entries."""
    if isinstance(a, dict) and isinstance(b, dict):
        return a.keys() == b.keys() and all(alike(a[key], b[key]) for key in a)
    if isinstance(a, list) and isinstance(b, list):
        return len(a) == len(b) and all(map(alike, a, b))
    return type(a) is type(b) and repr(a) == repr(b)


def _is_entry(value):
    return isinstance(value, dict) and "value" in value


def _item(value, inline=False):
    """Plain data as a piece of the document."""
    if isinstance(value, dict) and (inline or _is_entry(value)):
        table = tomlkit.inline_table()
        for key, inner in value.items():
            table[key] = _item(inner, inline=True)
        return table
    if isinstance(value, dict):
        table = tomlkit.table(is_super_table=bool(value) and all(isinstance(v, dict) and not _is_entry(v) for v in value.values()))
        for key, inner in value.items():
            table.append(key, _item(inner))
        return table
    if isinstance(value, list):
        if value and not inline and all(isinstance(row, dict) for row in value):
            rows = tomlkit.aot()
            for row in value:
                rows.append(_item({**row}))
            return rows
        array = tomlkit.array()
        for inner in value:
            array.append(_item(inner, inline=True))
        return array.multiline(len(value) > 1 and not inline)
    return tomlkit.item(value)


def _body(thing):
    """The list of pieces at the very end of a table, or None."""
    if isinstance(thing, AoT):
        return _body(thing[-1]) if len(thing) else None
    if not isinstance(thing, (Table, tomlkit.TOMLDocument)):
        return None
    body = thing.body if isinstance(thing, tomlkit.TOMLDocument) else thing.value.body
    inner = _body(body[-1][1]) if body else None
    return body if inner is None else inner


def _tail(body):
    """Take the blank lines and comments that lead over to the next section off a body."""
    first = len(body)
    while first and body[first - 1][0] is None and isinstance(body[first - 1][1], (Comment, Whitespace)):
        first -= 1
    while first < len(body) and isinstance(body[first][1], Comment):
        first += 1
    tail = body[first:]
    del body[first:]
    return tail


def _lead(thing, text):
    """Put blank lines and comments ahead of the first head that a table or a list of rows prints."""
    while isinstance(thing, AoT) or thing.is_super_table():
        thing = thing[0] if isinstance(thing, AoT) else next(item for key, item in thing.value.body if key is not None)
    thing.trivia.indent = text + thing.trivia.indent


def _printed(pieces):
    return "".join(item.as_string() for _, item in pieces)


def _add_entry(table, key, item):
    """One more entry at the end of a table's own ones, ahead of what leads over to the next section."""
    body = table.body if isinstance(table, tomlkit.TOMLDocument) else table.value.body
    first = next((n for n, (_, piece) in enumerate(body) if isinstance(piece, (Table, AoT))), None)
    if first is None:
        tail = _tail(body)
        table.append(key, item)
        body.extend(tail)
        return
    own = body[:first]
    tail = _tail(own)
    for place in range(len(own), first):
        body[place] = (None, Null())
    if tail or not body[first][1].as_string().startswith("\n"):
        _lead(body[first][1], _printed(tail) or "\n")
    table.append(key, item)


def _add(table, key, value):
    """One more entry, list of rows or section at the end of a table."""
    if not isinstance(table, (tomlkit.TOMLDocument, Table)):
        table[key] = _item(value, inline=True)
        return
    item = _item(value)
    if not isinstance(item, (Table, AoT)):
        _add_entry(table, key, item)
        return
    body = None if isinstance(table, tomlkit.TOMLDocument) else _body(table)
    tail = _tail(body) if body is not None else []
    table.append(key, item)
    if tail:
        _body(table).extend(tail)


def _remove(table, key):
    """An entry or a list of rows taken out; what leads over to the next section stays."""
    body = _body(table[key])
    tail = _tail(body) if body is not None else []
    table.remove(key)
    if tail and (rest := _body(table)) is not None:
        rest.append((None, Whitespace(_printed(tail))))


def _set_rows(table, key, old, new):
    """A list of rows changed in place: rows that stay keep their comments, also those in the lines above them."""
    present, rows = list(table[key]), tomlkit.aot()
    tails = [_tail(_body(row)) for row in present]
    leads = ["", *map(_printed, tails[:-1])]
    for number, (values, partner) in enumerate(zip(new, partners(old, new))):
        if partner is None:
            row, lead = _item({**values}), "\n" if number else ""
        else:
            row, lead = present[partner], leads[partner] or ("\n" if number else "")
            _sync(row, old[partner], values)
        rows.append(row)
        row.trivia.indent = lead
    table[key] = rows
    _body(table[key]).extend(tails[-1])


def _relay(document, key, value):
    """A section written in pieces, laid out in one; its comments stand at its head."""
    comments = [line for name, item in document.body if name is not None and name.key == key and isinstance(item, (Table, AoT)) for line in _comments(item)]
    section = _item(value)
    fresh = tomlkit.table()
    for line in comments:
        fresh.add(Comment(Trivia(comment=line)))
    for name, item in list(section.items()):
        fresh.append(name, item)
    document.remove(key)
    document.append(key, fresh)


def _sync(table, old, new):
    """Bring a table of the document from its old plain data to the new."""
    for key in [k for k in old if k not in new]:
        _remove(table, key)
    for key, value in new.items():
        if key not in old:
            _add(table, key, value)
            continue
        if alike(old[key], value):
            continue
        item = table[key]
        if isinstance(item, (Table, InlineTable)) and isinstance(value, dict):
            _sync(item, old[key], value)
        elif isinstance(item, AoT) and isinstance(value, list) and value:
            _set_rows(table, key, old[key], value)
        elif isinstance(item, (Table, AoT)):
            _remove(table, key)
            _add(table, key, value)
        elif isinstance(item, OutOfOrderTableProxy) and isinstance(table, tomlkit.TOMLDocument):
            _relay(table, key, value)
        elif isinstance(item, Array) and isinstance(value, list):
            table[key] = _list(value, item)
        else:
            table[key] = _item(value, inline=isinstance(table, InlineTable))


def _rewritten(text, plain):
    """All data laid out anew, the comments of the old text gathered at the head: for layouts that cannot be changed in place."""
    try:
        comments = list(_comments(tomlkit.parse(text)))
    except tomlkit.exceptions.TOMLKitError:
        comments = [line.strip() for line in text.splitlines() if line.lstrip().startswith("#")]
    document = tomlkit.document()
    for line in comments:
        document.add(Comment(Trivia(comment=line)))
    for key, value in sorted(plain.items(), key=lambda entry: isinstance(entry[1], (dict, list))):
        document.append(key, _item(value))
    return document.as_string()


def _comments(item):
    """Every comment on and inside a piece of the document."""
    if isinstance(item, (Whitespace, Null)):
        return
    if not isinstance(item, tomlkit.TOMLDocument) and item.trivia.comment:
        yield item.trivia.comment
    if isinstance(item, Array):
        yield from _inner_comments(item)
    body = item.body if isinstance(item, tomlkit.TOMLDocument) else item.value.body if isinstance(item, Table) else ()
    for piece in [piece for _, piece in body] + (list(item) if isinstance(item, AoT) else []):
        yield from _comments(piece)


def _inner_comments(array):
    """The comments between the lines of a list."""
    bare = re.sub(r"""\"(?:\\.|[^"\\])*"|'[^']*'""", "", array.as_string())
    return re.findall(r"#.*", bare)


def _list(value, old):
    """A list in brackets, with the comments of the one it takes the place of."""
    array = _item(value, inline=True)
    for comment in _inner_comments(old):
        array.add_line(comment=comment.lstrip("# "))
    return array


def _spaced(result, text):
    """Blank lines between sections as the old text has them."""
    spaced = re.sub(r"\n{3,}", "\n\n", result) if "\n\n\n" not in text else result
    if not re.search(r"(?m)^[^#\n].*\n\[", text):
        spaced = re.sub(r"(?m)^([^#\n].*)\n(?=\[)", r"\1\n\n", spaced)
    return spaced


def _filled(plain):
    """Plain data without empty sections, which say nothing."""
    return {key: _filled(value) if isinstance(value, dict) else value for key, value in plain.items() if value != {}}


def rendered(text, old, new):
    """The text that held the old plain data with the new data in it; always reads back as the new data."""
    if alike(old, new):
        return text
    try:
        document = tomlkit.parse(text if text.endswith("\n") or not text else f"{text}\n")
        _sync(document, old, new)
        result = document.as_string()
        for laid in (_spaced(result, text), result):
            if alike(_filled(tomllib.loads(laid)), _filled(new)):
                return laid
    except (ValueError, LookupError, TypeError, AttributeError, StopIteration, tomlkit.exceptions.TOMLKitError):
        pass  # a layout that cannot be changed in place
    return _rewritten(text, new)
