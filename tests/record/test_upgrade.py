"""An old file is brought to the present schema and says what changed."""

from pathlib import Path

import pytest

from twinkit.record import Record, RecordError

OLD = Path(__file__).with_name("old_schema_1.toml")
CHANGES = ("wing.wingspan is now wing.span", 'start.temperature = 18 is now "18 °C"', 'power.packs = 2 is now "two"', "schema 1 is now schema 2")


@pytest.mark.identity
def test_the_old_file_opens_and_lists_what_changed():
    record = Record.read(OLD)
    assert record.upgraded == CHANGES
    assert [p.path for p in record.problems] == ["wing.colour"]
    assert record.value("wing.span") == pytest.approx(1.1, rel=1e-14) and record.value("start.temperature") == pytest.approx(291.15, rel=1e-14)
    assert record.value("power.packs") == "two" and record.value("power.right.kv") is not None


def test_only_what_changed_is_another_text():
    old = OLD.read_text(encoding="utf-8")
    assert Record.read(OLD).text() == old.replace("schema = 1", "schema = 2").replace("wingspan", "span").replace("= 18 ", '= "18 °C" ').replace(
        "packs = 2 ", 'packs = "two" ')


def test_saving_writes_the_new_schema_once_and_keeps_the_old_file(tmp_path):
    path = tmp_path / "build.toml"
    path.write_bytes(OLD.read_bytes())
    record = Record.read(path)
    assert path.read_bytes() == OLD.read_bytes(), "reading writes nothing"
    report = record.save()
    assert report.saved and report.previous.read_bytes() == OLD.read_bytes()
    again = Record.read(path)
    assert again.upgraded == () and again.text() == record.text()


def test_an_old_file_changed_elsewhere_meanwhile_is_merged(tmp_path):
    path = tmp_path / "build.toml"
    path.write_bytes(OLD.read_bytes())
    record = Record.read(path)
    record.set("wing.chord", "200 mm")
    path.write_text(OLD.read_text(encoding="utf-8").replace("1060 rpm/V", "1070 rpm/V"), encoding="utf-8")
    assert record.save().merged == ("power",)
    again = Record.read(path)
    assert again.get("power.left.kv").text == "1070 rpm/V" and again.get("wing.chord").text == "200 mm" and again.get("wing.span").text == "1100 mm"


@pytest.mark.parametrize(("text", "changes"), [
    ("schema = 1\n", ("schema 1 is now schema 2",)),
    ('schema = 1\n[wing]\nwingspan = "1 m"\nspan = "2 m"\n', ("schema 1 is now schema 2",)),
    ('schema = 1\nwing = { wingspan = "1 m" }\n', ("wing.wingspan is now wing.span", "schema 1 is now schema 2")),
    ('schema = 1\n[start]\ntemperature = { value = 15.5, origin = "measured" }\n', ('start.temperature = 15.5 is now "15.5 °C"', "schema 1 is now schema 2")),
    ("schema = 1\n[power]\npacks = 1\n", ('power.packs = 1 is now "one"', "schema 1 is now schema 2")),
    ("schema = 1\n[power]\npacks = 3\n", ("schema 1 is now schema 2",)),
    ("schema = 1\npower = 3\nwing = 4\nstart = 5\n", ("schema 1 is now schema 2",)),
])
def test_odd_old_files_are_upgraded_as_far_as_they_go(text, changes):
    assert Record.from_text(text).upgraded == changes


def test_a_newer_schema_is_refused():
    with pytest.raises(RecordError, match="^the record has schema 3, and this version knows schemas up to 2: update twinkit to open it$"):
        Record.from_text("schema = 3\n")
