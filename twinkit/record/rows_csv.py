"""Tables of the record as CSV, for a spreadsheet: written with the register's heads, read back whole or not at all."""

import difflib
import io
import shutil
from pathlib import Path

from twinkit import files, quantities
from twinkit.record.sections import MAX_TEXT, Entry, Problem, RecordError, assumed, told

MOST_BYTES = 1_000_000
MOST_TOLD = 10                   # wrong cells named at once
SEPARATORS = ",;\t"              # what spreadsheets put between cells, by their language
FORMULA = ("=", "+", "-", "@", "'", "\t", "\r", "\n")   # a spreadsheet would work these out: such a text is led by an apostrophe in the file


def file_name(table_id):
    """What a table's file is called in the build's folder: start.parts.csv."""
    return f"{table_id}.csv"


def heads(table_id):
    """The heads of a table's file: the ids of its columns."""
    return tuple(column.name for column in quantities.TABLES[table_id].columns)


def written(record, table_id):
    """A table of the record as CSV text, numbers with their units; what the register assumes is left empty."""
    import pandas as pd

    columns = quantities.TABLES[table_id].columns
    rows = [[_guarded(column, row.get(column.name)) for column in columns] for row in record.rows(table_id)]
    return pd.DataFrame(rows, columns=list(heads(table_id))).to_csv(index=False, lineterminator="\n")


def _guarded(column, entry):
    if entry is None or entry == assumed(column):
        return ""
    text = str(entry.text)
    return f"'{text}" if column.kind == "text" and text.startswith(FORMULA) else text


def write(record, table_id, folder):
    """Write a table beside the record; the path. A file that is there and differs is kept as <name>.before.csv."""
    path = Path(folder) / file_name(table_id)
    data = written(record, table_id).encode("utf-8-sig")        # the mark by which spreadsheets know UTF-8
    if path.is_file() and not _same(path, data):
        with files.making(path.with_suffix(".before.csv")) as kept:
            shutil.copyfile(path, kept)
    files.write(path, data)
    return path


def _same(path, data):
    """Whether a file holds these bytes; a long one is not read."""
    return path.stat().st_size == len(data) and path.read_bytes() == data


def read(record, table_id, path):
    """The rows of a CSV file as Record.set_rows takes them; RecordError with a sentence for everything that is wrong with the file.

    Nothing is changed here. A cell that still reads as it stands in the record keeps its origin and note.
    """
    path = Path(path)
    cells = _cells(_text(path), path.name)
    wanted, found = heads(table_id), [head.strip() for head in cells[0]]
    _check_heads(path.name, wanted, found)
    rows = [dict(zip(found, (_plain(cell) for cell in row))) for row in cells[1:] if any(cell.strip() for cell in row)]
    return _with_origins(record.rows(table_id), quantities.TABLES[table_id].columns, rows)


def take(record, table_id, path):
    """Put the rows of a CSV file into the record in place of the table's rows; how many. RecordError leaves the record as it was."""
    rows = read(record, table_id, path)
    try:
        record.set_rows(table_id, rows)
    except RecordError as refused:
        name, told_of = Path(path).name, refused.problems[:MOST_TOLD]
        more = len(refused.problems) - len(told_of)
        raise RecordError(*(Problem(p.path, p.read, f"{name}: {p.sentence.removeprefix(table_id).strip(': ')}") for p in told_of),
                          *([f"{name}: and {more} more like these"] if more else [])) from None
    return len(rows)


def _text(path):
    try:
        with open(path, "rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError:
        raise RecordError(f"{path.name} is not there or cannot be read: write it first, or put your file of that name into the build's folder") from None
    if len(data) > MOST_BYTES:
        raise RecordError(f"{path.name} is larger than {MOST_BYTES // 1000:d} kB: that is no table of parts")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise RecordError(f"{path.name} is not in UTF-8: save it from the spreadsheet as 'CSV UTF-8'") from None


def _cells(text, name):
    """All cells of the file, the heads first."""
    import pandas as pd

    first = next((line for line in text.splitlines() if line.strip()), "")
    if not first or "\0" in text:
        raise RecordError(f"{name} is empty: its first line holds the heads of the columns" if not first else f"{name} is no CSV file: it holds bytes no text has")
    try:
        table = pd.read_csv(io.StringIO(text), sep=max(SEPARATORS, key=first.count), header=None, dtype=str, keep_default_na=False)
    except (pd.errors.ParserError, pd.errors.EmptyDataError) as trouble:
        said = " ".join(str(trouble).split()).removeprefix("Error tokenizing data. C error: ")
        raise RecordError(f"{name} cannot be taken apart into cells ({said}): every line has as many cells as there are heads, and quotes come in pairs") from None
    return table.fillna("").values.tolist()


def _check_heads(name, wanted, found):
    allowed = f"the heads are {', '.join(wanted)}"
    problems = []
    for head in dict.fromkeys(found):
        if head not in wanted:
            near = difflib.get_close_matches(head.casefold().replace(" ", "_"), wanted, n=1, cutoff=0.5)
            which = f"{told(head)} is no head of this table" if head else "a column has no head"
            problems.append(f"{name}: {which}{f'; nearest: {near[0]}' if near else ''}; {allowed}")
        elif found.count(head) > 1:
            problems.append(f"{name}: the column {told(head)} stands {found.count(head)} times; leave one")
    missing = [head for head in wanted if head not in found]
    if missing:
        one = len(missing) == 1
        problems.append(f"{name}: the column{'' if one else 's'} {', '.join(map(told, missing))} {'is' if one else 'are'} missing; {allowed}; a cell you do not know stays empty")
    if problems:
        raise RecordError(*(Problem("", "", sentence) for sentence in problems))


def _plain(cell):
    text = cell.strip()
    return text[1:] if text.startswith("'") and text[1:].startswith(FORMULA) else text[: MAX_TEXT + 1]


def _with_origins(old, columns, rows):
    """The rows, with each cell that reads as in the old row of the same first cells replaced by that row's entry."""
    wanted = [column.name for column in columns]
    left = [{c.name: row[c.name] for c in columns if isinstance(row.get(c.name), Entry) and row[c.name] != assumed(c)} for row in old]
    made = []
    for row in rows:
        partner = max(left, key=lambda known: sum(name in known and str(known[name].text) == row[name] for name in wanted), default={})
        same = {name for name in wanted if name in partner and str(partner[name].text) == row[name]}
        if same:
            left.remove(partner)
        made.append({name: partner[name] if name in same else row[name] for name in wanted})
    return made
