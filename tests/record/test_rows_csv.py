"""Tables of the record out to CSV and back: nothing lost on the way, and a bad file changes nothing."""

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from twinkit import quantities, tables
from twinkit.controls.fields import Rows
from twinkit.controls.guard import Guard
from twinkit.record import Entry, Record, RecordError, rows_csv

PARTS = "start.parts"
GOOD = "kind,name,count,mass,note\nmotor,old red,1,54 g,1060\npack,blue,2,120,3 cells\n"


def dunlin(units="metric"):
    record = Record.from_text(tables.text("demo/dunlin.toml"))
    record.set("start.units", units)
    return record


def take(text, tmp_path, record=None, table=PARTS, encoding="utf-8"):
    record = record or dunlin()
    path = tmp_path / rows_csv.file_name(table)
    path.write_bytes(text.encode(encoding) if isinstance(text, str) else text)
    return rows_csv.take(record, table, path), record


@pytest.mark.identity
@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("table", quantities.TABLES)
def test_every_table_comes_back_as_it_was(table, units, tmp_path):
    record = dunlin(units)
    before = record.text()
    path = rows_csv.write(record, table, tmp_path)
    assert path.name == f"{table}.csv" and path.read_bytes().startswith(b"\xef\xbb\xbf")
    rows_csv.take(record, table, path)
    assert record.text() == before, "origins, notes and comments stand as they did"


@pytest.mark.identity
@settings(max_examples=60, deadline=None)
@given(names=st.lists(st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc", "Zl", "Zp")), min_size=1, max_size=30).map(str.strip).filter(bool), min_size=1, max_size=5),
       mass=st.floats(0.2, 4000))
def test_any_words_come_back(names, mass, tmp_path_factory):
    record = Record.blank()
    record.set_rows(PARTS, [{"kind": "other", "name": name, "mass": f"{mass:.6g} g"} for name in names])
    rows = [{k: (e.value, e.text) for k, e in row.items()} for row in record.rows(PARTS)]
    path = rows_csv.write(record, PARTS, tmp_path_factory.mktemp("csv"))
    rows_csv.take(record, PARTS, path)
    again = [{k: (e.value, e.text) for k, e in row.items()} for row in record.rows(PARTS)]
    assert again == rows


def test_a_spreadsheet_is_handed_no_formula(tmp_path):
    record = Record.blank()
    record.set_rows(PARTS, [{"kind": "other", "name": '=HYPERLINK("x")', "note": "-5"}])
    cells = next(csv.DictReader(io.StringIO(rows_csv.written(record, PARTS))))
    assert cells["name"] == '\'=HYPERLINK("x")' and cells["note"] == "'-5"
    path = rows_csv.write(record, PARTS, tmp_path)
    rows_csv.take(record, PARTS, path)
    assert record.rows(PARTS)[0]["name"].value == '=HYPERLINK("x")' and record.rows(PARTS)[0]["note"].value == "-5"


@pytest.mark.parametrize("text", [GOOD, "\ufeff" + GOOD, GOOD.replace(",", ";"), GOOD.replace(",", "\t"), GOOD.replace("\n", "\r\n"), GOOD + "\n,,,,\n\n"],
                         ids=["commas", "with the mark", "semicolons", "tabs", "Windows lines", "blank rows"])
def test_what_spreadsheets_write_is_read(text, tmp_path):
    count, record = take(text, tmp_path)
    first, second = record.rows(PARTS)
    assert count == 2 and first["mass"].value == pytest.approx(0.054) and second["mass"].value == pytest.approx(0.120), "a bare number is in the shown unit"
    assert second["count"].value == 2 and first["note"].value == "1060"


def test_decimal_commas_between_semicolons(tmp_path):
    _, record = take("kind;name;count;mass;note\nmotor;a;1;54,5;\n", tmp_path)
    assert record.rows(PARTS)[0]["mass"].value == pytest.approx(0.0545)


def test_columns_may_stand_in_any_order_and_a_weighed_value_stays_weighed(tmp_path):
    record = Record.blank()
    record.set_rows(PARTS, [{"kind": "motor", "name": "red", "mass": Entry(None, "54 g", "weighed", "kitchen scale")}])
    take("note,mass,kind,name,count\nmine,54 g,motor,red,\n,60 g,motor,blue,1\n", tmp_path, record)
    first, second = record.rows(PARTS)
    assert (first["mass"].origin, first["mass"].note) == ("weighed", "kitchen scale") and second["mass"].origin == "chosen" and first["note"].value == "mine"


HEADS = "the heads are kind, name, count, mass, note"
BAD = {
    "kind,name,mass,note\nmotor,a,54,\n": f"start.parts.csv: the column 'count' is missing; {HEADS}; a cell you do not know stays empty",
    "kind,name\nmotor,a\n": f"start.parts.csv: the columns 'count', 'mass', 'note' are missing; {HEADS}; a cell you do not know stays empty",
    "kind,name,count,mass,note,mass\nmotor,a,1,54,,55\n": "start.parts.csv: the column 'mass' stands 2 times; leave one",
    "kind,name,count,mass,note,price\nmotor,a,1,54,,9\n": f"start.parts.csv: 'price' is no head of this table; {HEADS}",
    "kind,name,count,mass (g),note\nmotor,a,1,54,\n": f"start.parts.csv: 'mass (g)' is no head of this table; nearest: mass; {HEADS}\n"
                                                      f"start.parts.csv: the column 'mass' is missing; {HEADS}; a cell you do not know stays empty",
    "kind,name,count,mass,note\nmotr,a,1,54,\nmotor,b,1,-3,\nmotor,c,many,5,\n":
        "start.parts.csv: row 1 kind: 'motr' is not one of motor, controller, pack, regulator, servo, propeller, other; nearest: motor\n"
        "start.parts.csv: row 2 mass: '-3' is outside what is possible, 0.1 to 5000 g; the nearest is 0.1 g\n"
        "start.parts.csv: row 3 count: 'many' does not begin with a number",
    "kind,name,count,mass,note\nmotor,a,1,nan,\n": "start.parts.csv: row 1 mass: 'nan' does not begin with a number",
    "kind,name,count,mass,note\nmotor,a,1,54,x,y,z\n": "start.parts.csv cannot be taken apart into cells (Expected 5 fields in line 2, saw 7): every line has as many cells as there are heads, and quotes come in pairs",
    "": "start.parts.csv is empty: its first line holds the heads of the columns",
    "\0\0": "start.parts.csv is no CSV file: it holds bytes no text has",
    GOOD.replace("red", "r\u00e9d").encode("latin-1"): "start.parts.csv is not in UTF-8: save it from the spreadsheet as 'CSV UTF-8'",
    b"a" * 1_000_001: "start.parts.csv is larger than 1000 kB: that is no table of parts",
}


@pytest.mark.parametrize("text, sentence", BAD.items(), ids=range(len(BAD)))
def test_a_bad_file_is_told_and_changes_nothing(text, sentence, tmp_path):
    record = dunlin()
    (tmp_path / "build.toml").write_text(tables.text("demo/dunlin.toml"), encoding="utf-8")
    before, on_disk = record.text(), (tmp_path / "build.toml").read_bytes()
    with pytest.raises(RecordError) as refused:
        take(text, tmp_path, record)
    assert str(refused.value) == sentence
    assert record.text() == before and (tmp_path / "build.toml").read_bytes() == on_disk


def test_too_many_rows_and_a_file_that_is_not_there(tmp_path):
    with pytest.raises(RecordError, match="101 rows are more than the 100 that can be held"):
        take("kind,name,count,mass,note\n" + "motor,a,1,54,\n" * 101, tmp_path)
    with pytest.raises(RecordError, match="start.known.csv is not there or cannot be read"):
        rows_csv.take(dunlin(), "start.known", tmp_path / "start.known.csv")


def test_writing_keeps_the_file_that_was_there(tmp_path):
    (tmp_path / "start.parts.csv").write_text("the builder's own", encoding="utf-8")
    rows_csv.write(dunlin(), PARTS, tmp_path)
    assert (tmp_path / "start.parts.before.csv").read_text(encoding="utf-8") == "the builder's own"
    rows_csv.write(dunlin(), PARTS, tmp_path)
    assert (tmp_path / "start.parts.before.csv").read_text(encoding="utf-8") == "the builder's own", "writing the same again moves nothing"


def test_the_presses_below_a_table(tmp_path):
    record, seen = dunlin(), []
    made = Rows(PARTS, record, seen.append, Guard(print), tmp_path)
    made.file.write.click()
    assert "start.parts.csv" in made.file.said.value
    path, rows = tmp_path / "start.parts.csv", len(record.rows(PARTS))
    path.write_text(path.read_text(encoding="utf-8-sig") + "motor,new one,1,60 g,\n", encoding="utf-8")
    made.file.read.click()
    assert len(record.rows(PARTS)) == rows + 1 == len(made.texts) and seen == [PARTS] and f"{rows + 1} rows read" in made.file.said.value
    path.write_text("kind,name\n", encoding="utf-8")
    made.file.read.click()
    assert "are missing" in made.file.said.value and "Nothing was changed." in made.file.said.value and len(record.rows(PARTS)) == rows + 1
