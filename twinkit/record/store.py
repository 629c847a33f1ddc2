"""The record of a build: read, ask, change, keep, save."""

import copy
import datetime
import difflib
from pathlib import Path

from twinkit import quantities
from twinkit.quantities import SECTIONS, TABLES
from twinkit.record import document, journal, save, sections
from twinkit.record.scan import Scan
from twinkit.record.sections import Entry, Problem, RecordError, Refused


def _known(path):
    """The quantity of an entry; KeyError names the nearest."""
    quantity = quantities.quantity(path)
    if not quantities.known(path):
        raise KeyError(f"'{path}' is held once for each side; nearest: {', '.join(quantity.paths())}")
    return quantity


def _table(table_id):
    if table_id not in TABLES:
        near = difflib.get_close_matches(table_id, TABLES, n=1, cutoff=0.3)
        raise KeyError(f"'{table_id}' is no table of the register; nearest: {', '.join(near) or ', '.join(TABLES)}")
    return TABLES[table_id]


def _step(step):
    if step not in SECTIONS:
        near = difflib.get_close_matches(step, SECTIONS, n=1, cutoff=0.3)
        raise KeyError(f"'{step}' is no step; nearest: {', '.join(near) or ', '.join(SECTIONS)}")
    return step


def _text(text, what):
    try:
        return sections.clean(text, what)
    except Refused as refusal:
        raise RecordError(str(refusal)) from None


class Record:
    """One build.toml: the only truth between the pages. Made by read, from_text or blank."""

    def __init__(self, state, path, upgraded):
        self._state, self._scan = state, None
        self.path = path
        self.upgraded = upgraded  # a line for each thing an old schema had otherwise

    @classmethod
    def read(cls, path):
        """The record in a file. Only a file that cannot be read at all raises RecordError; all else is in problems."""
        path = Path(path)
        try:
            return cls.from_text(document.decoded(document.read_bytes(path), path.name), path)
        except document.Unreadable as trouble:
            raise document.Unreadable(f"{trouble}{save.way_back(path)}") from None

    @classmethod
    def from_text(cls, text, path=None):
        """The record in a text; with a path, the text is taken as what that file holds."""
        text = text.removeprefix("\ufeff").replace("\r\n", "\n")
        plain, layout, upgraded = document.loaded(text, Path(path).name if path else "the record")
        return cls(save.State(plain, layout, text if path else None), Path(path) if path else None, upgraded)

    @classmethod
    def blank(cls, name=""):
        """An empty record, with the aeroplane's name where there is one."""
        record = cls.from_text(document.skeleton())
        if name:
            record.set("start.name", name)
        return record

    def copy(self):
        """An independent record with the same content, for trying something out."""
        return Record(self._copied_state(), self.path, self.upgraded)

    def changed(self, changes):
        """A copy with some entries changed: None clears an entry, a list of rows fills a table. RecordError when one does not fit."""
        other = self.copy()
        for path, value in changes.items():
            other._cleared_way(path)
            if value is None:
                other.clear(path)
            elif isinstance(value, list):
                other.set_rows(path, value)
            else:
                other.set(path, value)
        return other

    def _cleared_way(self, path):
        """On a copy: take away what stands where a section is wanted; it is not read anyway, and stays in the record this was copied from."""
        room = self._state.plain
        for key in path.split(".")[:-1]:
            if not isinstance(room.get(key, {}), dict):
                del room[key]
            room = room.get(key, {})

    def _copied_state(self):
        return save.State(copy.deepcopy(self._state.plain), self._state.layout, self._state.base)

    def text(self):
        """The record as TOML, comments and unknown entries where they were."""
        state = self._state
        return document.rendered(state.layout, document.loaded(state.layout, "the record")[0], state.plain)

    # --- reading

    @property
    def _read(self):
        if self._scan is None:
            self._scan = Scan(self._state.plain, self._state.base if self._state.base is not None else self._state.layout)
        return self._scan

    @property
    def problems(self):
        """Everything in the file that could not be read, all at once."""
        return list(self._read.problems)

    def get(self, path):
        """The written entry, else what the register assumes, else None."""
        _known(path)
        return self._read.entries.get(path) or sections.default_entry(path)

    def value(self, path):
        """The value of an entry in SI (or its word, text, true or false), or None."""
        entry = self.get(path)
        return None if entry is None else entry.value

    def written(self, path):
        """Whether the file holds a readable entry here."""
        _known(path)
        return path in self._read.entries

    def rows(self, table_id):
        """The rows of a table as dicts of entries by column, defaults filled in as assumed."""
        table = _table(table_id)
        return [sections.with_defaults(table, cells) for cells in self._read.tables.get(table_id, ())]

    def note(self, step):
        """The builder's own words on a step, or ''."""
        text = self._part("notes").get(_step(step), "")
        return text if isinstance(text, str) else ""

    def kept(self, step):
        """The snapshot of a step when it was kept last, or None."""
        return journal.read_kept(self._part("kept").get(_step(step)))

    def changed_since(self, step, leans, verdicts):
        """What moved since the step was kept; empty when it was not kept."""
        kept = self.kept(step)
        return [] if kept is None else journal.changes(kept, leans, verdicts)

    @property
    def journal(self):
        """The lines of the journal, oldest first."""
        lines = self._state.plain.get("journal")
        return copy.deepcopy([line for line in lines if isinstance(line, dict)]) if isinstance(lines, list) else []

    def acknowledged(self, code):
        """Reason, name and date of an acknowledgement, or None."""
        found = self._part("acknowledged").get(code)
        whole = isinstance(found, dict) and all(isinstance(found.get(key), str) for key in sections.ACKNOWLEDGED_TEXTS)
        return {key: found[key] for key in sections.ACKNOWLEDGED_TEXTS} if whole else None

    def _part(self, name):
        part = self._state.plain.get(name)
        return part if isinstance(part, dict) else {}

    # --- changing

    def _room(self, *way):
        """The plain section to write into, made where it is missing."""
        room, place = self._state.plain, ""
        for key in way:
            place = f"{place}.{key}".strip(".")
            if not isinstance(room.get(key, {}), dict):
                raise RecordError(f"{place} holds {sections.told(room[key])} where a section is wanted: change that in the file first")
            room = room.setdefault(key, {})
        return room

    def set(self, path, value, origin="chosen", note=""):
        """Write an entry: an SI number, a word, a text, true or false; a text for a number is typed, in the shown unit where it names none."""
        quantity = _known(path)
        try:
            value, text, raw = sections.fitted(quantity, value, sections.units_shown(self._state.plain), typed=True)
            entry = Entry(value, text, sections.origin_of(origin), sections.clean(note, "the note"))
        except Refused as refusal:
            raise RecordError(Problem(path, sections.told(value).strip("'"), f"{path}: {refusal}")) from None
        *way, name = path.split(".")
        room = self._room(*way)
        room[name] = sections.written(entry, raw, room.get(name))
        self._scan = None
        return entry

    def clear(self, path):
        """Take an entry out of the record; what the register assumes stands again."""
        _known(path)
        *way, name = path.split(".")
        self._room(*way).pop(name, None)
        self._scan = None

    def set_rows(self, table_id, rows):
        """Write all rows of a table, each a dict of column -> typed text, SI value or entry; '' and None leave a cell empty."""
        table = _table(table_id)
        system, problems, fresh = sections.units_shown(self._state.plain), [], []
        if len(rows) > table.most:
            problems.append(Problem(table_id, str(len(rows)), f"{table_id}: {len(rows)} rows are more than the {table.most} that can be held"))
        for number, row in enumerate(rows, 1):
            cells, refused = sections.entered_row(table, row, system)
            fresh.append(cells)
            problems += [Problem(f"{table_id} row {number} {name}", read, f"{table_id} row {number} {name}: {why}") for name, read, why in refused]
        if problems:
            raise RecordError(*problems)
        room = self._room(table.section)
        old = room.get(table.name)
        if old is not None and not (isinstance(old, list) and all(isinstance(row, dict) for row in old)):
            raise RecordError(f"{table_id} holds {sections.told(old)} where rows are wanted: change that in the file first")
        old = old or []
        known = [{c.name: row[c.name] for c in table.columns if c.name in row} for row in old]
        for number, partner in enumerate(document.partners(known, fresh)):
            if partner is not None:
                read = self._read.tables[table_id][partner] if partner < table.most else {}
                fresh[number] = sections.carried(table, old[partner], read, rows[number], fresh[number])
        fresh += old[table.most:]
        if fresh:
            room[table.name] = fresh
        else:
            room.pop(table.name, None)
        self._scan = None

    def set_note(self, step, text):
        """The builder's own words on a step; '' takes them out."""
        text = _text(text, f"the note on {_step(step)}")
        notes = self._room("notes")
        if text:
            notes[step] = text
        else:
            notes.pop(step, None)
        self._scan = None

    def keep(self, step, reason, results, verdicts, leans, when=None):
        """Store the snapshot of a step with the version and the checksums of the data, and a line in the journal."""
        snapshot = journal.snapshot(_step(step), reason, results, verdicts, leans, when)
        line = journal.journal_line(step, snapshot, self.kept(step))
        lines = self._state.plain.get("journal", [])
        if not isinstance(lines, list):
            raise RecordError(f"journal holds {sections.told(lines)} where rows are wanted: change that in the file first")
        self._room("kept")[step] = snapshot
        self._state.plain["journal"] = [*lines, line]
        self._scan = None

    def acknowledge(self, code, reason, name, date):
        """The builder goes on in spite of a finding: printed beside it, never silencing it."""
        date = date.isoformat() if isinstance(date, datetime.date) else date
        texts = {key: _text(text, f"the {key} of the acknowledgement of {code}").strip()
                 for key, text in zip(sections.ACKNOWLEDGED_TEXTS, (reason, name, date))}
        missing = [key for key, text in texts.items() if not text]
        if missing:
            raise RecordError(f"{code} was not acknowledged: write the {' and the '.join(missing)}")
        self._room("acknowledged")[_text(code, "the code")] = texts
        self._scan = None

    def withdraw(self, code):
        """Take an acknowledgement back; RecordError when there is none."""
        if self.acknowledged(code) is None:
            raise RecordError(f"{code} was not acknowledged, so there is nothing to take back")
        taken = self._room("acknowledged")
        del taken[code]
        if not taken:
            del self._state.plain["acknowledged"]
        self._scan = None

    # --- saving

    def save(self, path=None, resolve=None):
        """Save to the record's file, or under another path, which is its file from then on. See SaveReport."""
        path = Path(path) if path is not None else self.path
        if path is None:
            raise RecordError("this record has no file yet: say where to save it")
        own = self.path is not None and self._state.base is not None and save.same_file(path, self.path)
        base = self._state if own else save.State(self._state.plain, self._state.layout, None)
        report, state = save.save(path, base, own, resolve)
        if report.saved:
            self._state, self.path, self._scan = state, path, None
        return report
