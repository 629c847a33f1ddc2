"""Asking and changing a record: entries, rows, notes, copies, round trips over the whole register."""

import re
import tomllib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from twinkit import quantities
from twinkit.record import Entry, Record, RecordError

PATHS = quantities.paths()


def refusal(call, *given):
    with pytest.raises(RecordError) as caught:
        call(*given)
    return str(caught.value)


# --- entries


def test_an_entry_is_written_assumed_or_unknown():
    record = Record.from_text('schema = 2\n[wing]\nspan = { value = "1160 mm", origin = "measured", note = "by two" }\nchord = "19 cm"\n')
    assert record.get("wing.span") == Entry(1.16, "1160 mm", "measured", "by two")
    assert record.get("wing.chord") == Entry(0.19, "19 cm", "chosen", "")
    assert record.written("wing.span") and not record.get("wing.span").assumed
    assert record.get("wing.dihedral").assumed and record.get("wing.dihedral").text == "2 deg" and not record.written("wing.dihedral")
    assert record.get("wing.tail_arm") is None and record.value("wing.tail_arm") is None
    assert record.value("wiring.left.ground_kept") is True and record.get("wiring.left.ground_kept").text == "true"
    assert record.value("power.packs") == "two"


def test_an_unknown_path_is_a_key_error_with_the_nearest():
    record = Record.blank()
    for call in (record.get, record.value, record.written, record.clear, lambda path: record.set(path, 1)):
        with pytest.raises(KeyError, match="'wing.spam' is not in the register; nearest: wing.span"):
            call("wing.spam")
        with pytest.raises(KeyError, match="'power.kv' is held once for each side; nearest: power.left.kv, power.right.kv"):
            call("power.kv")
    with pytest.raises(KeyError, match="'weight.part' is no table of the register; nearest: weight.parts"):
        record.rows("weight.part")
    with pytest.raises(KeyError, match="'wign' is no step; nearest: wing"):
        record.note("wign")


@pytest.mark.parametrize(("path", "typed", "text", "value"), [
    ("wing.span", "1160", "1160 mm", 1.16), ("wing.span", " 1 160  mm ", "1 160 mm", 1.16), ("wing.span", "45 1/2 in", "45 1/2 in", 45.5 * 0.0254),
    ("wing.span", "3 ft 10", "3 ft 10", 46 * 0.0254), ("power.left.propeller_diameter", "8", "8 in", 8 * 0.0254), ("power.left.cells", "3", "3", 3.0),
    ("power.charge", "80", "80 %", 0.8), ("power.charge", "0.8", None, None), ("power.left.c_rating", "25C", "25C", 25.0), ("power.charge", 0.8, "80 %", 0.8),
    ("start.temperature", "15", "15 °C", 288.15), ("start.temperature", 288.15, "15 °C", 288.15), ("power.left.cells", 3.0, "3", 3.0),
    ("wing.span", 1.16, "1160 mm", 1.16), ("power.left.pack_age", 1.5, "1.5", 1.5), ("limits.thrust_grass", "70 %", "70 %", 0.7),
])
@pytest.mark.identity
def test_what_is_typed_is_written_with_its_unit_and_read_again(path, typed, text, value):
    record = Record.blank()
    if text is None:
        assert refusal(record.set, path, typed) == "power.charge: '0.8' is outside what is possible, 5 to 100 %; the nearest is 5 %"
        return
    entry = record.set(path, typed)
    assert entry.text == text and entry.value == pytest.approx(value, rel=1e-12)
    assert record.get(path) == entry == Record.from_text(record.text()).get(path)


@pytest.mark.identity
def test_the_shown_unit_follows_the_system():
    record = Record.blank()
    record.set("start.units", "imperial")
    assert record.set("wing.span", "45 1/2").text == "45 1/2 in"
    assert record.set("start.temperature", "59").value == pytest.approx(288.15, rel=1e-12)
    assert record.set("wing.span", 45.5 * 0.0254).text == "45.5 in"


@pytest.mark.parametrize(("path", "value", "sentence"), [
    ("power.left.kv", "50", "power.left.kv: '50' is outside what is possible, 100 to 10000 rpm/V; the nearest is 100 rpm/V"),
    ("wing.span", 10.0, "wing.span: 10000 mm is outside what is possible, 300 to 4000 mm; the nearest is 4000 mm"),
    ("power.left.cells", 2.5, "power.left.cells: 2.5 is not a whole number; nearest: 2 or 3"),
    ("power.packs", "tow", "power.packs: 'tow' is not one of two, one, joined; nearest: two"),
    ("power.packs", "one pack for both", "power.packs: 'one pack for both' is not one of two, one, joined; nearest: one"),
    ("power.packs", 3, "power.packs: 3 is not one of two, one, joined"),
    ("power.packs", None, "power.packs: None is not one of two, one, joined; nearest: one"),
    ("wiring.left.brake", "yes", "wiring.left.brake: 'yes' is not true or false, without quotes; nearest: true"),
    ("wiring.left.brake", 0, "wiring.left.brake: 0 is not true or false, without quotes; nearest: false"),
    ("wing.span", True, "wing.span: true is not a number: write it like 800 mm"),
    ("wing.span", None, "wing.span: None is not a number: write it like 800 mm"),
    ("wing.span", float("nan"), "wing.span: nan is not a number that can stand here: write it like 800 mm"),
    ("wing.span", float("inf"), "wing.span: inf is not a number that can stand here: write it like 800 mm"),
    ("wing.span", "", "wing.span: '': nothing was entered"),
    ("wing.span", "1,160", "wing.span: '1,160' can be read as 1.160 or as 1160: write one of these two"),
    ("wing.span", "9**9**9", "wing.span: '9**9**9': the unit '**' does not fit here: allowed are mm, cm, m, in, ft, km"),
    ("start.name", 5, 'start.name: 5 is not a text: write it in quotes, "5"'),
    ("start.name", "a\ud800", "start.name: character 2 of name of the aeroplane cannot be written to a file: take it out"),
])
def test_what_does_not_fit_is_refused_and_the_record_stays(path, value, sentence):
    record = Record.blank("Dunlin")
    before = record.text()
    assert refusal(record.set, path, value) == sentence
    assert record.text() == before


def test_origin_and_note_are_checked_and_written():
    record = Record.blank()
    assert refusal(record.set, "wing.span", "1 m", "wieghed") == \
        "wing.span: the origin 'wieghed' is not one of chosen, weighed, measured, assumed, table; nearest: weighed"
    assert not record.written("wing.span")
    record.set("wing.span", "1 m", "measured", "with the long rule")
    assert 'span = {value = "1 m", origin = "measured", note = "with the long rule"}' in record.text()
    record.set("wing.span", "1.1 m")
    assert 'span = "1.1 m"' in record.text()


def test_numbers_of_numpy_are_taken():
    numpy = pytest.importorskip("numpy")
    record = Record.blank()
    assert record.set("power.left.cells", numpy.int64(3)).value == 3.0
    assert record.set("wing.span", numpy.float32(1.5)).text == "1500 mm"
    assert record.set("wiring.left.brake", numpy.bool_(True)).value is True


def test_clearing_brings_the_default_back():
    record = Record.blank()
    record.set("wing.dihedral", "4 deg")
    record.clear("wing.dihedral")
    record.clear("wing.span")
    assert record.get("wing.dihedral").assumed and not record.written("wing.dihedral")
    assert "dihedral" not in record.text()


def test_a_value_where_a_section_is_wanted_is_not_written_over():
    record = Record.from_text('schema = 2\n[power]\nleft = "x"\n')
    assert refusal(record.set, "power.left.kv", "1000") == "power.left holds 'x' where a section is wanted: change that in the file first"
    assert record.text() == 'schema = 2\n[power]\nleft = "x"\n'


def _value(draw, quantity):
    if quantity.kind == "number":
        low, high = quantity.possible
        if quantity.whole:
            return draw(st.integers(round(low), round(high)))
        return draw(st.floats(low, high))
    if quantity.kind == "choice":
        return draw(st.sampled_from(list(quantity.choices)))
    if quantity.kind == "flag":
        return draw(st.booleans())
    return draw(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\r"), max_size=40))


@st.composite
def entries(draw):
    """A few entries of the register with values in their possible range."""
    chosen = draw(st.lists(st.sampled_from(PATHS), min_size=1, max_size=8, unique=True))
    return [(path, _value(draw, quantities.quantity(path)), draw(st.sampled_from(quantities.ORIGINS)), draw(st.sampled_from(["", 'a "note"']))) for path in chosen]


def same(one, other):
    return one == pytest.approx(other, rel=1e-9, abs=1e-12) if isinstance(other, float) else one == other


@pytest.mark.identity
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(entries(), st.sampled_from(["metric", "imperial"]), st.booleans())
def test_any_possible_value_comes_back_from_the_text(written, system, bare):
    record = Record.from_text("") if bare else Record.blank()
    record.set("start.units", system)
    for path, value, origin, note in written:
        record.set(path, value, origin, note)
    again = Record.from_text(record.text())
    assert [p.path for p in again.problems] == (["schema"] if bare else [])
    for path, value, origin, note in written:
        entry = again.get(path)
        assert same(entry.value, value) and (entry.origin, entry.note) == (origin, note)
        assert entry == record.get(path)


@pytest.mark.identity
@pytest.mark.parametrize("path", PATHS)
def test_both_ends_of_every_possible_range_come_back(path):
    quantity = quantities.quantity(path)
    record = Record.blank()
    for system in ("metric", "imperial"):
        record.set("start.units", system)
        for value in quantity.possible or quantity.choices or ((True, False) if quantity.kind == "flag" else ("text",)):
            if path == "start.units":
                continue
            record.set(path, value)
            assert same(Record.from_text(record.text()).value(path), value)


@pytest.mark.identity
def test_every_default_is_possible_and_reads_as_itself():
    record = Record.blank()
    for path in PATHS:
        entry = record.get(path)
        if entry is not None and path != "start.units":
            assert same(record.set(path, entry.value).value, entry.value), path
            assert same(record.set(path, entry.text).value if not isinstance(entry.value, bool) else entry.value, entry.value), path


# --- rows


@pytest.mark.identity
def test_rows_fill_defaults_as_assumed():
    record = Record.blank()
    record.set_rows("weight.parts", [{"name": "servo", "mass": "9", "count": 4, "behind": -0.02}, {"name": "wheel", "mass": 0.012, "out": "", "below": None}])
    rows = record.rows("weight.parts")
    assert rows[0]["mass"].text == "9 g" and rows[0]["mass"].value == pytest.approx(0.009, rel=1e-14)
    assert rows[0]["count"] == Entry(4.0, "4") and rows[0]["behind"] == Entry(-0.02, "-20 mm")
    assert rows[0]["out"].assumed and rows[0]["mirrored"] == Entry("no", "no", "assumed")
    assert list(rows[1]) == ["name", "mass", "count", "behind", "out", "below", "mirrored", "origin"] and rows[1]["out"].assumed
    assert tomllib.loads(record.text())["weight"]["parts"][1] == {"name": "wheel", "mass": "12 g"}
    assert Record.from_text(record.text()).rows("weight.parts") == rows
    record.set_rows("weight.parts", [])
    assert record.rows("weight.parts") == [] and "parts" not in record.text()


def test_rows_put_back_are_the_same_text():
    record = Record.blank()
    record.set_rows("weight.parts", [{"name": "servo", "mass": "1/3 oz"}, {"name": "wheel", "mass": Entry(0.012, "12 g", "weighed", "both")}])
    text = record.text()
    record.set_rows("weight.parts", record.rows("weight.parts"))
    assert record.text() == text and "1/3 oz" in text and 'mass = {value = "12 g", origin = "weighed", note = "both"}' in text


def test_all_troubles_of_rows_are_told_and_nothing_changes():
    record = Record.blank()
    record.set_rows("weight.parts", [{"name": "servo"}])
    before = record.text()
    with pytest.raises(RecordError) as caught:
        record.set_rows("weight.parts", [{"mass": "9 mm", "nmae": "x"}, {"count": 2.5, "mirrored": "both"}])
    assert str(caught.value).splitlines() == [
        "weight.parts row 1 mass: '9 mm': the unit 'mm' does not fit here: allowed are g, kg, oz, lb",
        "weight.parts row 1 nmae: is no column of this table; nearest: name",
        "weight.parts row 2 count: 2.5 is not a whole number; nearest: 2 or 3",
        "weight.parts row 2 mirrored: 'both' is not one of no, yes",
    ]
    assert [p.path for p in caught.value.problems] == ["weight.parts row 1 mass", "weight.parts row 1 nmae", "weight.parts row 2 count", "weight.parts row 2 mirrored"]
    assert record.text() == before
    assert refusal(record.set_rows, "start.known", [{}] * 13) == "start.known: 13 rows are more than the 12 that can be held"


def test_rows_keep_unknown_columns_and_cells_that_could_not_be_read():
    text = ('schema = 2\n\n# the list\n[[weight.parts]]\nname = "a"  # first\ncolour = "red"\nmass = "9 mm"\n\n# the second\n[[weight.parts]]\n'
            'name = "b"\nshop = "corner"\n\n# wing\n[wing]\nspan = "1 m"\n')
    record = Record.from_text(text)
    rows = record.rows("weight.parts")
    record.set_rows("weight.parts", [{"name": "new"}, *rows])
    assert record.text() == text.replace('[[weight.parts]]\nname = "a"', '[[weight.parts]]\nname = "new"\n\n[[weight.parts]]\nname = "a"')
    record.set_rows("weight.parts", [{**rows[0], "mass": "9 g"}, rows[1]])
    assert record.text() == text.replace("9 mm", "9 g") and record.problems[0].path == "weight.parts row 1 colour"
    record.set_rows("weight.parts", rows[1:])
    assert record.text() == text.replace('[[weight.parts]]\nname = "a"  # first\ncolour = "red"\nmass = "9 mm"\n', "")


ROW = st.fixed_dictionaries({}, optional={"name": st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=8).filter(str.strip),
                                          "mass": st.floats(0.001, 1), "count": st.integers(1, 50), "behind": st.floats(-3, 3)})


@pytest.mark.identity
@settings(max_examples=60, deadline=None)
@given(st.lists(st.lists(ROW, max_size=5), min_size=1, max_size=4))
def test_rows_of_any_shape_come_back(tables):
    record = Record.from_text('schema = 2\n[weight]\nsheet_mass = "450 g/m2"\n# gap\n\n# next\n[wing]\n')
    for rows in tables:
        record.set_rows("weight.parts", rows)
        record = Record.from_text(record.text())
        read = record.rows("weight.parts")
        assert record.problems == [] and len(read) == len(rows)
        for there, row in zip(read, rows):
            assert all(same(there[name].value, value) for name, value in row.items())
        assert "# next\n[wing]" in record.text()


# --- comments, copies, texts

ODD = {
    "usual": '# head\nschema = 2\n\n# one\n[power] # two\npacks = "two" # three\n\n# four\n[power.left]\nkv = "1000 rpm/V" # five\nodd = 5 # six\n\n# seven\n[wing]\nspan = "1 m" # eight\n# nine\n',
    "in pieces": 'schema = 2\n[power]\npacks = "two" # one\n[wing]\nspan = "1 m" # two\n# three\n[power.left]\nkv = "1000 rpm/V" # four\nodd = 5\n',
    "dotted": '# one\nschema = 2\npower.packs = "two" # two\npower.left.kv = "1000 rpm/V" # three\npower.left.odd = 5\nwing.span = "1 m" # four\n',
    "inline": '# one\nschema = 2 # two\npower = { packs = "two", left = { kv = "1000 rpm/V", odd = 5 } } # three\nwing = { span = "1 m" }\n',
    "no line end": 'schema = 2\n[power]\npacks = "two"\n[wing]\nspan = "1 m"\n[power.left] # one\nkv = "1000 rpm/V"\nodd = 5 # two',
}


@pytest.mark.parametrize("layout", ODD)
def test_comments_and_unknown_entries_survive_every_layout(layout):
    record = Record.from_text(ODD[layout])
    record.set("power.left.kv", "1100")
    record.set("power.right.kv", "1200")
    record.set("power.controllers", "one")
    record.set("wing.span", "1.2 m", "measured")
    record.set("rudder.throw", "20")
    record.clear("power.packs")
    record.set_rows("weight.parts", [{"name": "a"}, {"name": "b"}])
    text = record.text()
    again = Record.from_text(text)
    for path in ("power.left.kv", "power.right.kv", "power.controllers", "wing.span", "rudder.throw"):
        assert again.get(path) == record.get(path) and again.written(path)
    assert not again.written("power.packs") and len(again.rows("weight.parts")) == 2
    assert [p.path for p in again.problems] == ["power.left.odd"]
    gone = {"usual": {"# three"}, "in pieces": set(), "dotted": set(), "inline": set(), "no line end": set()}[layout]
    assert set(re.findall(r"# \w+", ODD[layout])) - set(re.findall(r"# \w+", text)) <= gone, "only the comment behind the entry taken out may go"


def test_an_entry_changed_in_place_leaves_every_other_character():
    text = ODD["usual"]
    record = Record.from_text(text)
    assert record.text() == text
    record.set("wing.span", "1200")
    record.set("power.left.cells", 3)
    record.set("power.controllers", "one")
    assert record.text() == text.replace('"1 m"', '"1200 mm"').replace("odd = 5 # six\n", "odd = 5 # six\ncells = 3\n").replace(
        '# three\n', '# three\ncontrollers = "one"\n')


def test_a_blank_record_has_a_head_for_every_section_and_fills_it():
    record = Record.blank("Dunlin")
    assert record.problems == [] and record.value("start.name") == "Dunlin" and record.path is None
    record.set("power.right.kv", "1000")
    record.set("wing.span", "1160")
    heads = re.findall(r"^\[(.+)\]$", record.text(), re.M)
    assert heads == ["start", "power", "power.right", *list(quantities.SECTIONS)[2:], "notes"]
    assert "\n\n\n" not in record.text()
    assert '# Wing\n[wing]\nspan = "1160 mm"\n\n# Rudder and trim\n[rudder]\n' in record.text()


def test_a_copy_is_independent():
    record = Record.blank("Dunlin")
    record.set("wing.span", "1160")
    other = record.copy()
    other.set("wing.span", "900")
    other.set_note("wing", "tried")
    assert record.value("wing.span") == 1.16 and record.note("wing") == "" and other.value("wing.span") == 0.9
    record.set("wing.chord", "190")
    assert not other.written("wing.chord")


def test_what_the_record_hands_out_does_not_change_it():
    record = Record.blank()
    record.keep("wing", "", {}, {}, {"wing.span": "1 m"}, when="2025-01-01")
    record.journal[0]["reason"] = "other"
    record.kept("wing").leans["wing.span"] = "2 m"
    record.problems.append("x")
    assert record.journal[0]["reason"] == "" and record.kept("wing").leans == {"wing.span": "1 m"} and record.problems == []


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=60))
@settings(deadline=None, max_examples=60)
def test_any_note_comes_back(text):
    record = Record.blank()
    record.set_note("wing", text)
    assert Record.from_text(record.text()).note("wing") == text.replace("\r\n", "\n").replace("\r", "\n")


def test_notes_go_when_emptied_and_are_checked():
    record = Record.blank()
    record.set_note("wing", "x")
    record.set_note("wing", "")
    assert record.note("wing") == "" and "x" not in Record.from_text(record.text()).note("wing")
    assert refusal(record.set_note, "wing", "x" * 10001) == "the note on wing has 10001 characters: at most 10000 are kept"
    with pytest.raises(KeyError, match="'wnig' is no step; nearest: wing"):
        record.set_note("wnig", "x")
