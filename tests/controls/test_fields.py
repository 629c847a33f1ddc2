"""Controls: moving a part moves the record; a wrong entry shows its sentence and loses nothing."""

import pytest

from twinkit import tables
from twinkit.controls.fields import Group, Rows, css_name
from twinkit.controls.guard import Guard
from twinkit.record import Record


@pytest.fixture
def record():
    return Record.from_text(tables.text("demo/dunlin.toml"))


def group(record, section, name, **more):
    seen = []
    return Group(section, name, record, seen.append, Guard(print), **more), seen


def test_typing_moves_the_record(record):
    made, seen = group(record, "wing", "planform", sliders=("span",))
    field = made.fields["wing.span"]
    assert field.box.value == "1160"
    field.box.value = "1,2 m"
    assert record.value("wing.span") == pytest.approx(1.2)
    assert field.box.value == "1200" and field.slider.value == 1200
    assert seen == ["wing.span"]


def test_a_slider_moves_the_typed_field_and_the_record(record):
    made, seen = group(record, "wing", "planform", sliders=("span",))
    field = made.fields["wing.span"]
    field.slider.value = 1000
    assert field.box.value == "1000" and record.value("wing.span") == pytest.approx(1.0)
    assert seen == ["wing.span"]


def test_a_wrong_entry_shows_its_sentence_and_the_record_stays(record):
    made, seen = group(record, "wing", "planform")
    field = made.fields["wing.span"]
    field.box.value = "twelve"
    assert "twelve" in field.refused.value and record.value("wing.span") == pytest.approx(1.16)
    assert field.box.value == "twelve", "what was typed is still there to be mended"
    assert seen == []
    field.box.value = "40 mm"
    assert "40 mm" in field.refused.value and record.value("wing.span") == pytest.approx(1.16)
    field.box.value = "1100"
    assert field.refused.value == "" and record.value("wing.span") == pytest.approx(1.1)


def test_an_emptied_field_clears_the_entry(record):
    made, _ = group(record, "wing", "planform")
    made.fields["wing.span"].box.value = ""
    assert record.value("wing.span") is None


def test_both_sides_have_their_own_field(record):
    made, seen = group(record, "power", "motors")
    made.fields["power.left.kv"].box.value = "980"
    assert record.get("power.left.kv").text == "980 rpm/V"
    assert record.get("power.right.kv").text == "1120 rpm/V"
    assert seen == ["power.left.kv"]


def test_a_slider_whose_value_lies_outside_its_range_does_not_change_the_record(record):
    record.set("wing.span", "2000 mm")
    made, _ = group(record, "wing", "planform", sliders=("span",))
    field = made.fields["wing.span"]
    assert field.box.value == "2000" and field.slider.value == field.slider.max
    assert record.value("wing.span") == pytest.approx(2.0)


def test_choices_and_flags(record):
    made, seen = group(record, "start", "purpose")
    made.fields["start.launch"].box.value = "hand"
    made.fields["start.lesson"].box.value = False
    assert record.value("start.launch") == "hand" and record.value("start.lesson") is False
    assert seen == ["start.launch", "start.lesson"]


def test_imperial_units_are_shown_when_chosen(record):
    record.set("start.units", "imperial")
    made, _ = group(record, "wing", "planform")
    field = made.fields["wing.span"]
    assert field.unit == "in" and float(field.box.value) == pytest.approx(45.6693)
    field.box.value = "3 ft 10 in"
    assert record.value("wing.span") == pytest.approx(1.1684)


def test_every_control_has_a_class_and_words_for_a_screen_reader(record):
    made, _ = group(record, "power", "motors")
    for path, field in made.fields.items():
        assert css_name(path) in field.box._dom_classes
        assert field.box.tooltip.endswith(field.quantity.meaning)


def test_a_saved_page_says_what_stands_in_its_controls(record):
    made, _ = group(record, "power", "motors")
    assert "<li>Kv on the label, left: <b>1060 rpm/V</b> (chosen)</li>" in made.saved()
    made.fields["power.left.kv"].box.value = "1100"
    assert "<li>Kv on the label, left: <b>1100 rpm/V</b> (chosen)</li>" in made.saved()
    assert "<td>pack A, two summers old</td>" in Rows("start.parts", record, print, Guard(print)).saved()


def test_rows_are_typed_added_and_taken_out(record):
    seen = []
    rows = Rows("start.known", record, seen.append, Guard(print))
    cell = next(c for c in rows.body.children[0].children if css_name("start.known.mass-0") in c._dom_classes)
    cell.value = "1.25 kg"
    assert record.rows("start.known")[0]["mass"].value == pytest.approx(1.25)
    rows._add()
    assert len(rows.texts) == 3 and len(record.rows("start.known")) == 2, "an empty row is not an entry yet"
    rows._remove(0)
    assert len(record.rows("start.known")) == 1
    assert seen


def test_a_wrong_cell_shows_its_sentence_and_nothing_is_lost(record):
    rows = Rows("start.known", record, lambda path: None, Guard(print))
    cell = next(c for c in rows.body.children[0].children if css_name("start.known.span-1") in c._dom_classes)
    cell.value = "a metre"
    assert "a metre" in rows.refused.value
    assert len(record.rows("start.known")) == 2 and record.rows("start.known")[1]["span"].value == pytest.approx(1.05)


def test_the_guard_shows_trouble_and_raises_it_under_test(monkeypatch):
    shown = []

    def breaks():
        raise ZeroDivisionError("by zero")

    monkeypatch.delenv("TWINKIT_STRICT", raising=False)
    Guard(shown.append)(breaks)()
    assert "ZeroDivisionError: by zero" in shown[0] and "Your entries are still there" in shown[0]
    monkeypatch.setenv("TWINKIT_STRICT", "1")
    with pytest.raises(ZeroDivisionError, match="by zero"):
        Guard(shown.append)(breaks)()


def test_a_corrected_weighing_stays_weighed_and_the_origin_can_be_told(record):
    made, seen = group(record, "power", "motors")
    field = made.fields["power.left.motor_mass"]
    assert field.origin.value == "weighed"
    field.box.value = "55"
    assert record.get("power.left.motor_mass").origin == "weighed"
    field.origin.value = "assumed"
    entry = record.get("power.left.motor_mass")
    assert (entry.origin, entry.text) == ("assumed", "55 g") and seen[-1] == "power.left.motor_mass"
    empty = made.fields["power.left.motor_resistance"]
    assert empty.origin.disabled
    empty.box.value = "95"
    assert not empty.origin.disabled and record.get("power.left.motor_resistance").origin == "chosen"


def test_only_the_slots_of_the_packs_at_hand_are_shown(record):
    made, _ = group(record, "power", "packs")
    shown = lambda: {side for side, part in made._slots if part.layout.display != "none"}  # noqa: E731
    assert shown() == {"left", "right"}
    record.set("power.packs", "one")
    made.fit()
    assert shown() == {"shared"}
