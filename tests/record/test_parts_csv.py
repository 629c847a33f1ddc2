"""The table of parts and places from files that went wrong: each is told in a sentence, and nothing is lost."""

import pytest

from builds import record as build_record
from twinkit.record import Entry, RecordError, places, rows_csv

TABLE, NAME = "weight.parts", "weight.parts.csv"
HEADS = "name,mass,count,behind,out,below,mirrored,spread,origin"
ALLOWED = "the heads are name, mass, count, behind, out, below, mirrored, spread, origin"
GOOD = "receiver,9 g,1,60 mm,0 mm,40 mm,no,,weighed"


def at(column, text):
    """A good row with one cell changed."""
    cells = GOOD.split(",")
    cells[HEADS.split(",").index(column)] = text
    return ",".join(cells)


def file(*rows, head=HEADS):
    return "\n".join([head, *rows]) + "\n"


# what is wrong, the file, what is said
KINDS = {
    "nothing in it": ("", f"{NAME} is empty: its first line holds the heads of the columns"),
    "blank lines only": ("\n\n  \n", f"{NAME} is empty: its first line holds the heads of the columns"),
    "bytes no text has": (b"name\0mass\n", f"{NAME} is no CSV file: it holds bytes no text has"),
    "another encoding": (file(at("name", "r\u00fcckw\u00e4rts")).encode("latin-1"), f"{NAME} is not in UTF-8: save it from the spreadsheet as 'CSV UTF-8'"),
    "a picture taken for a table": (b"\x89PNG\r\n\x1a\n" + bytes(range(128, 256)), f"{NAME} is not in UTF-8: save it from the spreadsheet as 'CSV UTF-8'"),
    "far too large": (b"x" * 1_000_001, f"{NAME} is larger than 1000 kB: that is no table of parts"),
    "no heads": (f"{GOOD}\n{GOOD}\n", f"{NAME}: 'receiver' is no head of this table; {ALLOWED}"),
    "a column missing": (file("receiver,9 g", head="name,mass"), f"{NAME}: the columns 'count', 'behind', 'out', 'below', 'mirrored', 'spread', 'origin' are missing; {ALLOWED}; a cell you do not know stays empty"),
    "a head mistyped": (file(GOOD, head=HEADS.replace("behind", "behnd")), f"{NAME}: 'behnd' is no head of this table; nearest: behind; {ALLOWED}"),
    "a head twice": (file(GOOD + ",9 g", head=HEADS + ",mass"), f"{NAME}: the column 'mass' stands 2 times; leave one"),
    "a column of one's own": (file(GOOD + ",3.50", head=HEADS + ",price"), f"{NAME}: 'price' is no head of this table; nearest: spread; {ALLOWED}"),
    "a row too long": (file(GOOD, GOOD + ",x,y"), f"{NAME} cannot be taken apart into cells (Expected 9 fields in line 3, saw 11): every line has as many cells as there are heads, and quotes come in pairs"),
    "a quote left open": (file('"receiver,9 g,1,60 mm,0 mm,40 mm,no,,weighed'), f"{NAME} cannot be taken apart into cells ("),
    "words for a mass": (file(at("mass", "heavy")), f"{NAME}: row 1 mass: 'heavy' does not begin with a number"),
    "a mass below nothing": (file(at("mass", "-9 g")), f"{NAME}: row 1 mass: '-9 g' is outside what is possible, 0.1 to 20000 g; the nearest is 0.1 g"),
    "a length for a mass": (file(at("mass", "9 mm")), f"{NAME}: row 1 mass: '9 mm': the unit 'mm' does not fit here: allowed are g, kg, oz, lb"),
    "not a number": (file(at("mass", "NaN")), f"{NAME}: row 1 mass: 'NaN' does not begin with a number"),
    "without end": (file(at("behind", "inf mm")), f"{NAME}: row 1 behind: 'inf mm' does not begin with a number"),
    "two readings of a comma": (file(at("behind", '"1,160 mm"')), f"{NAME}: row 1 behind: '1,160 mm': '1,160' can be read as 1.160 or as 1160: write one of these two"),
    "half a piece": (file(at("count", "1.5")), f"{NAME}: row 1 count: '1.5' is not a whole number; nearest: 1 or 2"),
    "a word that is none of the choices": (file(at("mirrored", "maybe")), f"{NAME}: row 1 mirrored: 'maybe' is not one of no, yes"),
    "an origin mistyped": (file(at("origin", "wieghed")), f"{NAME}: row 1 origin: 'wieghed' is not one of weighed, measured, table, assumed, chosen; nearest: weighed"),
    "a place off the aeroplane": (file(at("out", "12 m")), f"{NAME}: row 1 out: '12 m' is outside what is possible, -3000 to 3000 mm; the nearest is 3000 mm"),
    "a formula of a spreadsheet": (file(at("mass", "=A2*2")), f"{NAME}: row 1 mass: '=A2*2' does not begin with a number"),
    "too many rows": (file(*[GOOD] * 201), f"{NAME}: 201 rows are more than the 200 that can be held"),
}


@pytest.mark.parametrize("data, sentence", KINDS.values(), ids=KINDS)
def test_a_bad_file_is_told_and_nothing_is_lost(data, sentence, tmp_path):
    record, path = build_record(), tmp_path / NAME
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    text, held = record.text(), path.read_bytes()
    with pytest.raises(RecordError) as refused:
        rows_csv.take(record, TABLE, path)
    said = str(refused.value)
    assert sentence in said and NAME in said and said.count("\n") < 12, said
    assert record.text() == text and path.read_bytes() == held


def test_there_are_enough_kinds():
    assert len(KINDS) >= 20


def test_every_wrong_cell_is_named_by_row_and_column_at_once(tmp_path):
    record, path = build_record(), tmp_path / NAME
    path.write_text(file(at("mass", "heavy"), GOOD, at("out", "12 m"), at("origin", "wieghed")), encoding="utf-8")
    with pytest.raises(RecordError) as refused:
        rows_csv.take(record, TABLE, path)
    assert [line.split(":")[1].strip() for line in str(refused.value).splitlines()] == ["row 1 mass", "row 3 out", "row 4 origin"]


@pytest.mark.identity
def test_out_and_back_changes_neither_record_nor_balance(tmp_path):
    from twinkit.design import Results

    record = build_record()
    before, weight = record.text(), Results(record).weight
    rows_csv.take(record, TABLE, rows_csv.write(record, TABLE, tmp_path))
    again = Results(record).weight
    assert record.text() == before and (again.mass, again.cg_behind, again.inertia_zz) == (weight.mass, weight.cg_behind, weight.inertia_zz)


def test_an_estimate_that_was_written_down_is_no_default_and_stays(tmp_path):
    record = build_record(weight__parts=[{"name": "canopy", "mass": Entry(0.03, "30 g", "assumed", "by feel"), "out": "40 mm"}])
    before = record.text()
    rows_csv.take(record, TABLE, rows_csv.write(record, TABLE, tmp_path))
    assert record.text() == before and 'origin = "assumed"' in before
    places.mirror(record, TABLE, 0)
    places.move(record, TABLE, [0, 1], behind=0.01)
    assert [(row["mass"].text, row["mass"].origin, row["mass"].note, row["behind"].value) for row in record.rows(TABLE)] == [("30 g", "assumed", "by feel", 0.01)] * 2
