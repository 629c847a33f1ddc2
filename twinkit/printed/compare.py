"""Two builds side by side: what was entered, what comes of it, what the checks say."""

import importlib

from twinkit import checks, quantities
from twinkit.design import Results
from twinkit.drawings import record_sheets
from twinkit.drawings.base import Sheet
from twinkit.printed.paper import Heading, Words

SAME = "Nothing differs here."


def compare(one, other, names=None):
    """Blocks that set two records side by side; only what differs is listed. names: what to call them when their own names are the same or missing."""
    heads = _heads(one, other, names)
    results = Results(one), Results(other)
    blocks = [Heading(f"{heads[0]} and {heads[1]}, side by side", 1)]
    found = [{f.code: f for f in checks.findings(record, results=own)} for record, own in zip((one, other), results)]
    counts = tuple((verdict, *(str(sum(f.verdict == verdict for f in each.values())) for each in found)) for verdict in checks.VERDICTS)
    blocks.append(Sheet("All findings", ("verdict", *heads), counts))
    for number, step in enumerate(quantities.STEPS + ("limits",)):
        entered = _entered(one, other, step)
        computed = _computed(results, step) if step != "limits" else ()
        said = tuple((found[0][code].title, *(f"{checks.MARKS[each[code].verdict]} {each[code].verdict}: {each[code].sentence}" for each in found)) for code in found[0]
                     if found[0][code].step == step and found[0][code].verdict != found[1][code].verdict)
        if step == "limits" and not entered:
            continue
        blocks.append(Heading(f"{number:02d} {quantities.SECTIONS[step]}" if step != "limits" else quantities.SECTIONS[step], 2))
        blocks += [Sheet(title, (head, *heads), rows) for title, head, rows in (("Entered", "entry", entered), ("What comes of it", "number", computed), ("Findings that differ", "check", said)) if rows]
        if not (entered or computed or said):
            blocks.append(Words(SAME))
    return blocks


def _heads(one, other, names):
    own = [record.value("start.name") for record in (one, other)]
    if None in own or own[0] == own[1]:
        return tuple(names or ("first", "second"))
    return tuple(own)


def _entered(one, other, section):
    """Entries and tables of a section that differ, as text."""
    rows = []
    for path in quantities.paths(section):
        texts, values = [record_sheets.entry_text(record, path) for record in (one, other)], [record.value(path) for record in (one, other)]
        if values[0] != values[1]:
            side = quantities.side_of(path)
            rows.append((quantities.quantity(path).label + (f", {side}" if side else ""), *(text or "not known" for text in texts)))
    for table in quantities.TABLES.values():
        if table.section == section:
            told = [["; ".join(filter(None, row)) for row in record_sheets.rows_sheet(record, table.id).rows] if record.rows(table.id) else [] for record in (one, other)]
            if told[0] != told[1]:
                only = ["\n".join(row for row in mine if row not in theirs) or ("the same rows in another order" if mine else "no row") for mine, theirs in (told, told[::-1])]
                rows.append((f"{table.label}, rows of its own", *(text.replace("\n", " | ") for text in only)))
    return tuple(rows)


def _computed(results, step):
    drawings = importlib.import_module(f"twinkit.drawings.{step}")
    one, other = (drawings.numbers(own) for own in results)
    return tuple((name, one.get(name, "not computed"), other.get(name, "not computed")) for name in dict.fromkeys([*one, *other]) if one.get(name) != other.get(name))
