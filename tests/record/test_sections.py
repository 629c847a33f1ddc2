"""Reading the file against the register: entries, rows, and all problems at once in sentences."""

import re

import pytest

from twinkit.record import Entry, Problem, Record, RecordError

TROUBLED = '''# all of it troubled
schema = 2
[power]
pakcs = "two"
packs = 2
kv = "5"
[power.left]
kv = 1160
kvv = 1
cells = "3.5"
capacity = "1,500 mAh"
[power.right]
kv = { value = "1100 rpm/V", origin = "mesured" }
cells = { value = 3, orgin = "table" }
[wing]
span = "10 mm"
chord = { vale = "1" }
taper_start = 11
oswald = nan
section = "folding"
cl_max = ["1"]
[start]
lesson = "true"
name = 7
elevation = ""
[wiring.left]
brake = 1
[[weight.parts]]
mass = "1 g"
[[weight.parts]]
mass = "1 mm"
nme = "x"
[winf]
a = 1
[notes]
wign = "x"
power = 3
[acknowledged.P1]
reason = "mine"
name = "me"
[kept.wing]
when = "2025-01-01"
reason = "first"
version = "1"
leans = { "wing.span" = 1 }
'''
SENTENCES = [
    "power.pakcs (line 4): is not known here; nearest: power.packs. It stays in the file and is not read",
    "power.packs (line 5): 2 is not one of two, one, joined; nearest: two",
    "power.kv (line 6): is held once for each side; nearest: power.left.kv, power.right.kv. It stays in the file and is not read",
    "power.left.kv (line 8): 1160 has no unit: write it like 1160 rpm/V",
    "power.left.kvv (line 9): is not known here; nearest: power.left.kv. It stays in the file and is not read",
    "power.left.cells (line 10): '3.5' is not a whole number; nearest: 3 or 4",
    "power.left.capacity (line 11): '1,500 mAh': '1,500' can be read as 1.500 or as 1500: write one of these two",
    "power.right.kv (line 13): the origin 'mesured' is not one of chosen, weighed, measured, assumed, table; nearest: measured",
    "power.right.cells (line 14): 'orgin' is not known here; nearest: origin. It stays in the file and is not read",
    "wing.span (line 16): '10 mm' is outside what is possible, 300 to 4000 mm; the nearest is 300 mm",
    'wing.chord (line 17): has no value: write it like { value = "140 mm", origin = "measured" }',
    "wing.chord (line 17): 'vale' is not known here; nearest: value. It stays in the file and is not read",
    "wing.taper_start (line 18): 11 has no unit: write it like 11 %",
    "wing.oswald (line 19): nan is not a number that can stand here: write it like 0.700",
    "wing.section (line 20): 'folding' is not one of flat, stepped, folded, curved; nearest: folded",
    "wing.cl_max (line 21): a list is not a number: write it like 0.700",
    "start.lesson (line 23): 'true' is not true or false, without quotes; nearest: true",
    'start.name (line 24): 7 is not a text: write it in quotes, "7"',
    "start.elevation (line 25): '': nothing was entered",
    "wiring.left.brake (line 27): 1 is not true or false, without quotes; nearest: true",
    "weight.parts row 2 mass (line 31): '1 mm': the unit 'mm' does not fit here: allowed are g, kg, oz, lb",
    "weight.parts row 2 nme (line 32): is not known here; nearest: name. It stays in the file and is not read",
    "winf (line 33): is not known here; nearest: wing. It stays in the file and is not read",
    "notes.wign (line 36): is not known here; nearest: notes.wing. It stays in the file and is not read",
    "notes.power (line 37): 3 is not a text: write it in quotes",
    "acknowledged.P1.date: is missing: write it in quotes",
    "kept.wing.leans.wing.span: 1 is not a text: write it in quotes",
]


def test_all_problems_are_told_at_once_with_their_lines():
    record = Record.from_text(TROUBLED)
    assert [p.sentence for p in record.problems] == SENTENCES
    assert record.problems[0] == Problem("power.pakcs", "two", SENTENCES[0])


def test_a_bad_entry_reads_as_absent_and_stays_in_the_text():
    record = Record.from_text(TROUBLED)
    assert record.get("power.left.kv") is None and not record.written("power.left.kv")
    assert record.get("power.packs") == Entry("two", "two", "assumed")
    assert record.value("power.right.cells") == 3
    assert record.kept("wing") is None and record.acknowledged("P1") is None and record.note("power") == ""
    assert "mass" not in record.rows("weight.parts")[1] and record.rows("weight.parts")[0]["mass"].text == "1 g"
    assert record.text() == TROUBLED


def test_a_problem_goes_when_its_entry_is_set_and_the_others_stay():
    record = Record.from_text(TROUBLED)
    record.set("wing.span", "1160 mm")
    record.set("power.right.cells", 4)
    assert len(record.problems) == len(SENTENCES) - 1
    assert record.text() == TROUBLED.replace('"10 mm"', '"1160 mm"').replace('{ value = 3, orgin = "table" }', '{ value = 4, orgin = "table", origin = "chosen"}')


@pytest.mark.parametrize(("text", "sentence"), [
    ('start = 5', "start (line 1): 5 stands where a section is wanted: write [start] and its entries below"),
    ('[power]\nleft = "x"', "power.left (line 2): 'x' stands where a section is wanted: write [power.left] and its entries below"),
    ('[weight]\nparts = "x"', "weight.parts (line 2): 'x' stands where rows are wanted: write [[weight.parts]] above each row"),
    ('notes = 5', "notes (line 1): 5 stands where a section is wanted: write [notes] and its entries below"),
    ('journal = 5', "journal (line 1): 5 stands where rows are wanted: write [[journal]] above each line"),
    ('[kept]\nwing = 1', "kept.wing (line 2): 1 stands where a section is wanted: write [kept.wing] and its entries below"),
    ('[kept.wing]\nwhen="a"\nreason="b"\nversion="c"\nleans=3', "kept.wing.leans (line 5): 3 stands where a section is wanted: write [kept.wing.leans] and its entries below"),
    ('[kept.wigns]', "kept.wigns (line 1): is not known here; nearest: kept.wing. It stays in the file and is not read"),
    ('[power]\n"left.kv" = "1160 rpm/V"', "power.left.kv (line 2): is not known here; nearest: power.left.kv. It stays in the file and is not read"),
    ('qqq = 5', "qqq (line 1): is not known here. It stays in the file and is not read"),
    ('[wing]\nspan = 1' + '0' * 400, "wing.span (line 2): 1000000000000000000000000000000000000... is not a number that can stand here: write it like 800 mm"),
    ('[wing]\nspan = 2020-01-01', "wing.span (line 2): 2020-01-01 is not a number: write it like 800 mm"),
    ('[start]\nunits = "imperial"\n[wing]\nspan = "5 in"', "wing.span (line 4): '5 in' is outside what is possible, 11.82 to 157.4 in; the nearest is 11.82 in"),
    ('[wing]\nspan = { value = "1 m", note = 3 }', "wing.span (line 2): 3 is not a text: write the note in quotes"),
    ('[power.left]\ncells = 20', "power.left.cells (line 2): 20 is outside what is possible, 1 to 12; the nearest is 12"),
    ('[start]\nname = "' + "x" * 10001 + '"', "start.name (line 2): name of the aeroplane has 10001 characters: at most 10000 are kept"),
])
def test_what_stands_in_a_wrong_place_or_shape_is_told(text, sentence):
    record = Record.from_text(f"schema = 2\n{text}\n" if text.startswith("[") else f"{text}\nschema = 2\n")
    shift = sentence if not text.startswith("[") else re.sub(r"\(line (\d+)\)", lambda m: f"(line {int(m[1]) + 1})", sentence)
    assert [p.sentence for p in record.problems] == [shift]


def test_a_missing_or_odd_schema_is_told_and_read_as_the_present_one():
    assert Record.from_text("").problems[0].sentence == "schema: is missing: write schema = 2 in the first line; read as that"
    assert Record.from_text("schema = true\n").problems[0].sentence == \
        "schema (line 1): true is not a schema number: write schema = 2 in the first line; read as that"
    assert Record.from_text('schema = "2"\n[wing]\nspan = "1 m"\n').value("wing.span") == 1.0


def test_more_rows_than_the_table_holds_are_told():
    text = "schema = 2\n" + "[[start.known]]\nname = \"x\"\n" * 13
    record = Record.from_text(text)
    assert [p.sentence for p in record.problems] == ["start.known (line 26): 13 rows are more than the 12 that are read; the rest stays in the file and is not read"]
    assert len(record.rows("start.known")) == 12
    record.set_rows("start.known", record.rows("start.known")[:1])
    assert record.text().count("[[start.known]]") == 2, "what is beyond the limit stays"


@pytest.mark.parametrize("limit", ["wing.span", "limits.wing_loading", "start.temperature", "weight.pack_foremost", "start.elevation"])
def test_the_nearest_possible_value_is_possible_in_both_systems(limit):
    from twinkit import quantities

    for system in ("metric", "imperial"):
        record = Record.blank()
        record.set("start.units", system)
        for wrong in (q := quantities.quantity(limit)).possible[0] - 1, q.possible[1] + 1:
            with pytest.raises(RecordError) as caught:
                record.set(limit, wrong)
            record.set(limit, str(caught.value).rsplit("the nearest is ", 1)[1])
