"""Rows of a table with places: moved, and mirrored to the other side."""

import re

from twinkit.record.sections import RecordError

PLACES = ("behind", "out", "below")
_OTHER = {"left": "right", "right": "left"}


def has_places(table):
    """Whether the rows of a table tell where things are, and whether they stand on both sides."""
    return {*PLACES, "mirrored"} <= {column.name for column in table.columns}


def _named(row):
    return f"'{row['name'].value}'" if "name" in row else "this row"


def mirror(record, table_id, number):
    """Add the mirror image of a row on the other side; RecordError where it has none."""
    rows = record.rows(table_id)
    row = rows[number]
    if row["mirrored"].value == "yes":
        raise RecordError(f"{_named(row)} stands on both sides already: count both pieces in that row")
    if row["out"].value == 0.0:
        raise RecordError(f"{_named(row)} lies in the middle and has no mirror image: enter how far out it is first")
    image = row | {"out": -row["out"].value}
    if "name" in row:
        words = row["name"].value
        swapped = re.sub(r"\b(left|right)\b", lambda found: _OTHER[found.group()], words)
        image["name"] = swapped if swapped != words else f"{words}, other side"
    record.set_rows(table_id, [*rows[:number + 1], image, *rows[number + 1:]])


def move(record, table_id, numbers, behind=0.0, out=0.0, below=0.0):
    """Move rows by distances in metres, rearward, to the right and downward; a mirrored one moves outward on both sides. RecordError leaves the record as it was."""
    rows = record.rows(table_id)
    for number in numbers:
        row = rows[number]
        now = {name: row[name].value for name in PLACES}
        if row["mirrored"].value == "yes":
            now["out"] = abs(now["out"])
        rows[number] = row | {name: now[name] + by for name, by in zip(PLACES, (behind, out, below)) if by}
    record.set_rows(table_id, rows)
