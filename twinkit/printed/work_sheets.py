"""The pages as work sheets for the pencil: every entry with its unit and its meaning, room to write, and what the record says already."""

from twinkit import quantities, tables
from twinkit.checks import REGISTRY
from twinkit.drawings import first_flight_sheets, record_sheets, wiring
from twinkit.drawings.base import Sheet
from twinkit.pages import QUESTIONS
from twinkit.printed.paper import Heading, Ruled, Words

ROOM = "\u2003" * 7  # holds a cell open for the pencil
EMPTY_ROWS = 6
NOT_ON_PAPER = ("look", "mistake")  # groups that only move a picture
CAUTIONS = {"wiring": ("propellers_off", "cut_lead", "first_power"), "leads": ("soldering",), "weight": ("lipo",), "wing": ("cutting", "structure"), "rudder": ("one_motor",),
            "bench": ("propellers_off", "secure_model", "failsafe", "range_check", "law")}


def work_sheets(results):
    """Blocks of all work sheets, a page of the workbooks each."""
    record, blocks = results.record, []
    for number, step in enumerate(quantities.STEPS):
        blocks += [Heading(f"{number:02d} {quantities.SECTIONS[step]}", 1), Words(QUESTIONS[step]), Words("name ______________________   aeroplane ______________________   date ______________")]
        blocks += [Words(tables.cautions()[name]["text"], tables.cautions()[name]["title"]) for name in CAUTIONS.get(step, ())]
        for group in quantities.groups(step):
            if group not in NOT_ON_PAPER:
                blocks += [sheet for sheet in (_one(record, step, group), _sided(record, step, group)) if sheet is not None]
        blocks += [_rows(record, table) for table in quantities.TABLES.values() if table.section == step]
        if step == "wiring":
            blocks += [wiring.meter_sheet(results), wiring.power_up_sheet(results)]
        if step == "bench":
            blocks += [first_flight_sheets.SHEETS[name](results) for name in ("trials", "transmitter", "signatures")]
        blocks += [Heading("What the page will ask", 3), *(Words(f"□ {check.title}. {check.why}", small=True) for check in REGISTRY if check.step == step),
                   Words("Decided, and why:"), Ruled(3)]
    return blocks


def _unit(quantity, system):
    if quantity.kind == "choice":
        return " / ".join(quantity.choices.values())
    return {"flag": "yes / no", "text": "in words"}.get(quantity.kind, quantity.shown_unit(system))


def _entries(step, group, sided):
    return [q for q in quantities.QUANTITIES.values() if q.section == step and q.group == group and bool(q.sides) == sided]


def _one(record, step, group):
    """Entries there is one of."""
    system = record.value("start.units")
    rows = tuple((q.label, ROOM, _unit(q, system), record_sheets.entry_text(record, q.id), q.meaning) for q in _entries(step, group, False))
    return Sheet(group.capitalize(), ("what", "write here", "in", "record says", "what is meant"), rows) if rows else None


def _sided(record, step, group):
    """Entries there is one of on each side."""
    system, found = record.value("start.units"), _entries(step, group, True)
    said = lambda q, side: record_sheets.entry_text(record, f"{step}.{side}.{q.name}") if side in q.sides else ""  # noqa: E731
    rows = tuple((q.label, ROOM, ROOM, _unit(q, system), " | ".join(dict.fromkeys(filter(None, (said(q, side) for side in (*quantities.SIDES, "shared"))))), q.meaning) for q in found)
    return Sheet(f"{group.capitalize()}, left and right", ("what", "left", "right", "in", "record says", "what is meant"), rows) if rows else None


def _rows(record, table):
    """A table of the record: its rows, and empty ones to fill in."""
    written = record_sheets.rows_sheet(record, table.id)
    rows = written.rows if record.rows(table.id) else ()
    heads = tuple(f"{c.label} ({c.shown_unit(record.value('start.units'))})" if c.kind == "number" and c.shown_unit() else c.label for c in table.columns)
    return Sheet(table.label.capitalize(), heads, (*rows, *[("\u2003",) * len(heads)] * EMPTY_ROWS), note=table.meaning)
