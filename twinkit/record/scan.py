"""The whole record read against the register: every entry and row that can be read, and all problems at once."""

import difflib
import functools
import re

from twinkit import quantities
from twinkit.quantities import PACK_SIDES, SECTIONS, TABLES
from twinkit.record import sections
from twinkit.record.sections import Problem, Refused, read_entry, told

_HEADER = re.compile(r"\s*(\[\[?)\s*([^\[\]#]+?)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"""\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*)\s*=""")


@functools.lru_cache(maxsize=4)
def lines_of(text):
    """Entry of the record -> number of the line it stands on, for a text laid out in the usual way."""
    found, prefix, counts, quotes = {}, "", {}, ""
    for number, line in enumerate(text.splitlines(), 1):
        if quotes:
            quotes = "" if line.count(quotes) % 2 else quotes
            continue
        if header := _HEADER.match(line):
            name = re.sub(r"\s*\.\s*", ".", header[2].replace('"', "").replace("'", ""))
            prefix = f"{name}."
            if header[1] == "[[":
                counts[name] = counts.get(name, 0) + 1
                prefix = f"{name} row {counts[name]} "
            found.setdefault(prefix[:-1], number)
        elif key := _KEY.match(line):
            found.setdefault(prefix + re.sub(r"\s*\.\s*", ".", key[1].replace('"', "").replace("'", "")), number)
            quotes = next((q for q in ('"""', "'''") if line.count(q) % 2), "")
    return found


@functools.lru_cache(maxsize=4096, typed=True)
def _read_plain(path, raw, system):
    return read_entry(quantities.quantity(path), raw, system)


def _read(path, raw, system):
    """One entry read, or remembered from the last time: while one control moves all others stand as they were."""
    if isinstance(raw, (str, int, float)):
        return _read_plain(path, raw, system)
    return read_entry(quantities.quantity(path), raw, system)


class Scan:
    """What a record holds: entries (path -> Entry), tables (table id -> cells of each row), problems in the order of the file."""

    def __init__(self, plain, text=""):
        self.entries, self.tables, self.problems = {}, {}, []
        self._text, self._system = text, sections.units_shown(plain)
        self._schema(plain)
        for name, content in plain.items():
            if name in SECTIONS:
                if self._is_table(name, content):
                    self._section(name, content)
            elif name in sections.OTHER_SECTIONS:
                getattr(self, f"_{name}")(content)
            elif name != "schema":
                self._unknown(name, content, [*SECTIONS, *sections.OTHER_SECTIONS, *quantities.nearest(name)])

    def _problem(self, path, raw, sentence, at=""):
        line = lines_of(self._text).get(at or path)
        self.problems.append(Problem(path, told(raw).strip("'"), f"{path}{f' (line {line})' if line else ''}: {sentence}"))

    def _is_table(self, path, content):
        if not isinstance(content, dict):
            self._problem(path, content, f"{told(content)} stands where a section is wanted: write [{path}] and its entries below")
        return isinstance(content, dict)

    def _unknown(self, path, raw, names):
        near = difflib.get_close_matches(path, names, n=1, cutoff=0.55)
        hint = f"; nearest: {near[0]}" if near else ""
        self._problem(path, raw, f"is not known here{hint}. It stays in the file and is not read")

    def _schema(self, plain):
        schema = plain.get("schema")
        if isinstance(schema, bool) or not isinstance(schema, int) or schema < 1:
            what = "is missing" if schema is None else f"{told(schema)} is not a schema number"
            self._problem("schema", "" if schema is None else schema, f"{what}: write schema = {sections.SCHEMA} in the first line; read as that")

    def _section(self, section, content):
        for name, raw in content.items():
            path = f"{section}.{name}"
            if path in TABLES:
                self._rows(TABLES[path], raw)
            elif name in PACK_SIDES and any(p.startswith(f"{path}.") for p in quantities.paths(section)):
                if self._is_table(path, raw):
                    for inner, deeper in raw.items():
                        self._entry(f"{path}.{inner}", inner, deeper)
            else:
                self._entry(path, name, raw)

    def _entry(self, path, name, raw):
        if "." in name or not quantities.known(path):
            sided = quantities.QUANTITIES.get(path)
            if sided is not None and "." not in name:
                self._problem(path, raw, f"is held once for each side; nearest: {', '.join(sided.paths())}. It stays in the file and is not read")
            else:
                self._unknown(path, raw, [*quantities.paths(), *TABLES])
            return
        try:
            self.entries[path] = _read(path, raw, self._system)
        except Refused as refusal:
            self._problem(path, raw.get("value", raw) if isinstance(raw, dict) else raw, str(refusal))
        self._inner(path, raw)

    def _inner(self, path, raw):
        """Unknown words beside value, origin and note."""
        for key in raw if isinstance(raw, dict) else ():
            if key not in sections.ENTRY_KEYS:
                near = difflib.get_close_matches(key, sections.ENTRY_KEYS, n=1, cutoff=0.55)
                self._problem(path, raw[key], f"'{key}' is not known here{f'; nearest: {near[0]}' if near else ''}. It stays in the file and is not read")

    def _rows(self, table, raw):
        self.tables[table.id] = rows = []
        if not isinstance(raw, list) or not all(isinstance(row, dict) for row in raw):
            self._problem(table.id, raw, f"{told(raw)} stands where rows are wanted: write [[{table.id}]] above each row")
            return
        if len(raw) > table.most:
            self._problem(table.id, str(len(raw)), f"{len(raw)} rows are more than the {table.most} that are read; the rest stays in the file and is not read",
                          at=f"{table.id} row {table.most + 1}")
        columns = {column.name: column for column in table.columns}
        for number, row in enumerate(raw[:table.most], 1):
            cells = {}
            for name, cell in row.items():
                path = f"{table.id} row {number} {name}"
                if name not in columns:
                    near = difflib.get_close_matches(name, list(columns), n=1, cutoff=0.55)
                    self._problem(path, cell, f"is not known here{f'; nearest: {near[0]}' if near else ''}. It stays in the file and is not read")
                    continue
                try:
                    cells[name] = read_entry(columns[name], cell, self._system)
                except Refused as refusal:
                    self._problem(path, cell.get("value", cell) if isinstance(cell, dict) else cell, str(refusal))
                self._inner(path, cell)
            rows.append(cells)

    def _notes(self, content):
        if self._is_table("notes", content):
            for step, text in content.items():
                if step not in SECTIONS:
                    self._unknown(f"notes.{step}", text, [f"notes.{s}" for s in SECTIONS])
                elif not isinstance(text, str):
                    self._problem(f"notes.{step}", text, f"{told(text)} is not a text: write it in quotes")

    def _acknowledged(self, content):
        if self._is_table("acknowledged", content):
            for code, entry in content.items():
                if self._is_table(f"acknowledged.{code}", entry):
                    self._texts(f"acknowledged.{code}", entry, sections.ACKNOWLEDGED_TEXTS)

    def _kept(self, content):
        if self._is_table("kept", content):
            for step, entry in content.items():
                path = f"kept.{step}"
                if step not in SECTIONS:
                    self._unknown(path, entry, [f"kept.{s}" for s in SECTIONS])
                elif self._is_table(path, entry):
                    self._texts(path, entry, sections.KEPT_TEXTS)
                    for name in sections.KEPT_TABLES:
                        inner = entry.get(name, {})
                        if self._is_table(f"{path}.{name}", inner):
                            self._texts(f"{path}.{name}", inner, tuple(inner))

    def _texts(self, path, entry, names):
        for name in names:
            if not isinstance(entry.get(name), str):
                raw = entry.get(name)
                what = "is missing" if raw is None else f"{told(raw)} is not a text"
                self._problem(f"{path}.{name}", "" if raw is None else raw, f"{what}: write it in quotes")

    def _journal(self, content):
        if not isinstance(content, list) or not all(isinstance(line, dict) for line in content):
            self._problem("journal", content, f"{told(content)} stands where rows are wanted: write [[journal]] above each line")
