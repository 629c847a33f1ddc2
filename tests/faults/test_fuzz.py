"""Small counts of files gone wrong, and what the full counts found, each with its own small test."""

import warnings

import pytest

from builds import build
from builds import record as demo
from faults import fuzz, fuzzed
from twinkit import checks, quantities
from twinkit.design import Results
from twinkit.record import Record, RecordError, rows_csv


def clean(tally, least):
    assert tally.done == least
    assert tally.clean, "\n".join([*tally.lost, *tally.tracebacks])


def refusal(text):
    with pytest.raises(RecordError) as caught:
        Record.from_text(text)
    return str(caught.value)


def test_build_files_gone_wrong_give_a_result_or_a_sentence(tmp_path):
    clean(fuzz.builds(tmp_path, 80, every=40), 80)


def test_csv_files_gone_wrong_give_rows_or_a_sentence(tmp_path):
    clean(fuzz.csvs(tmp_path, 25), 25)


@pytest.mark.parametrize("number", ["9" * 5000, "0x" + "f" * 5000, "-" + "9" * 5000], ids=["decimal", "hexadecimal", "negative"])
def test_a_number_of_thousands_of_digits_is_told(number):
    said = refusal(f"schema = 2\n[wing]\nspan = {number}\n")
    assert said.endswith('holds a number of thousands of digits; a number is written like span = "1160 mm"') and len(said) < 200


def test_a_long_number_that_can_be_printed_is_told_at_its_entry():
    record = Record.from_text(f"schema = 2\n[wing]\nspan = {'9' * 3000}\n")
    assert [p.path for p in record.problems] == ["wing.span"]
    assert Record.from_text(f"schema = 1\n[start]\ntemperature = {'9' * 3000}\n").value("start.temperature") is not None


@pytest.mark.parametrize("text", ["x = " + "[" * 60 + "]" * 60, "[" + ".".join("a" * 1500) + "]\nx = 1", "x = " + "{a=" * 60 + "1" + "}" * 60])
def test_brackets_nested_too_deep_are_told(text):
    assert refusal(f"schema = 2\n{text}\n") == "the record cannot be read: its brackets are nested too deep"


def test_what_is_told_of_a_bad_file_stays_short():
    twice = "\n".join(["[" + ".".join(["a"] * 30) + "]", "x = 1"] * 2)
    assert len(refusal(twice)) < 300
    assert refusal("schema = " + "2" * 60) == f"the record has schema {'2' * 37}..., and this version knows schemas up to 2: update twinkit to open it"


def test_a_regulator_above_its_pack_is_computed_and_feeds_nobody():
    wiring = build(power__left__cells=1, power__right__cells=1).wiring
    starved = wiring.supplies["left"]
    assert starved.kind == "linear" and starved.input_full < starved.set_volts
    assert starved.allowed_current == 0.0 and starved.by_cells[0][1:] == (0.0, 0)
    assert starved.heat == pytest.approx(starved.dropout * wiring.load_average), "it has its dropout across it"
    assert starved.temperature > 0.0
    found = {f.code: f for f in checks.findings(demo(power__left__cells=1, power__right__cells=1), "wiring")}
    assert found["R13c"].verdict == "stop", "the receiver gets too little, and that is said"


@pytest.mark.parametrize("changes", [{"limits.wing_loading": "5 g/dm2", "weight.mass_measured": "20 kg"}, {"power.left.capacity": "19000 mAh", "power.right.capacity": "20000 mAh", "power.right.kv": "400 rpm/V"}])
def test_advice_beyond_what_is_possible_is_not_tried(changes):
    record = demo()
    for path, value in changes.items():
        record.set(path, value)
    with warnings.catch_warnings():
        warnings.simplefilter("error")      # on the command line they would stand between the findings
        assert checks.findings(record, results=Results(record))


@pytest.mark.parametrize("path", ["wiring.left", "power.right", "wing"])
def test_advice_is_tried_also_where_something_else_stands_in_the_place_of_a_section(path):
    section, _, side = path.partition(".")
    text = f"schema = 2\n{path} = [1]\n"
    record = Record.from_text(text)
    name = next(p for p in quantities.paths(section) if p.startswith(f"{path}.") and quantities.quantity(p).kind == "number")
    assert record.changed({name: quantities.quantity(name).possible[0]}).written(name)
    assert record.text() == text and [p.path for p in record.problems] == [path], "the record itself keeps what stands there"
    assert checks.findings(record)


@pytest.mark.parametrize("seed", [8660, 51260], ids=["a bench point at which nothing is predicted", "every pack empty at once in what the advice tries"])
def test_what_is_divided_by_may_be_nothing(seed):
    assert checks.findings(Record.from_text(fuzzed.build(seed)))


def test_a_csv_file_full_of_wrong_cells_is_told_in_few_lines(tmp_path):
    path = tmp_path / rows_csv.file_name("start.parts")
    path.write_text("kind,name,count,mass,note\n" + "wheel,a,x,y,\n" * 200, encoding="utf-8")
    with pytest.raises(RecordError) as caught:
        rows_csv.take(demo(), "start.parts", path)
    lines = str(caught.value).splitlines()
    assert len(lines) == rows_csv.MOST_TOLD + 1 and lines[-1].endswith("more like these")
