"""Going through the meter sheet with presses: readings reach the record, the next unread line comes up, a wrong one stays."""

import pytest

from builds import record
from twinkit.controls.guard import Guard
from twinkit.controls.metering import MeterBox
from twinkit.design import Results


@pytest.fixture
def box():
    made = record(changes={"wiring.readings": [], "wiring.rest_right": None})
    told = []
    box = MeterBox(made, lambda: Results(made), told.append, Guard(print))
    box.told = told
    return box


@pytest.mark.identity
def test_presses_write_readings_and_bring_up_the_next_line(box):
    first, second = (one.words for one in box.lines[:2])
    assert "Line <b>1</b> of 62" in box.said.value and "left pack, positive" in box.said.value
    box.note.value = "11.9 V"
    box.right.click()
    assert [{k: e.value for k, e in row.items()} for row in box.record.rows("wiring.readings")] == [{"line": first, "shows": "right way", "note": "11.9 V"}]
    assert box.told == ["wiring.readings"] and "Line <b>2</b> of 62" in box.said.value and box.note.value == ""
    box.other.value = "wrong way"
    assert box.record.rows("wiring.readings")[1]["line"].value == second and "WRONG" in box.said.value, "a wrong line stays up"
    assert box.other.value == ""
    box.right.click()
    assert box.record.rows("wiring.readings")[1]["shows"].value == "right way" and "Line <b>3</b>" in box.said.value, "measured again, written over"
    box.back.click()
    assert "Line <b>2</b>" in box.said.value and "as it must" in box.said.value


@pytest.mark.identity
def test_the_whole_sheet_can_be_pressed_through(box):
    for _ in range(len(box.lines)):
        box.right.click()
    sheet = Results(box.record).metering
    assert not sheet.unread and not sheet.wrong and len(box.record.rows("wiring.readings")) == 62


@pytest.mark.identity
def test_another_layout_brings_other_lines(box):
    box.record.set("power.packs", "one")
    box.record.set("power.shared.cells", 3)
    box.fit()
    assert box.said.value.startswith(f"Line <b>1</b> of {len(box.lines)}: pack, positive to pack plug") and len(box.lines) != 62


def test_without_a_wiring_it_says_what_is_missing():
    made = record("blank")
    box = MeterBox(made, lambda: Results(made), lambda path: None, Guard(print))
    assert box.said.value == "There is no meter sheet yet: see what is still needed at the head of the page." and box.right.disabled
