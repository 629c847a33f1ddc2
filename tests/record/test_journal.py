"""Kept steps, changed since, the journal, acknowledgements."""

import datetime
import re

import pytest

import twinkit
from twinkit import quantities, tables
from twinkit.record import Change, Kept, Record, RecordError

LEANS = {"wing.span": "1160 mm", "start.mass_guess": "1000 g", "start.temperature": "15 °C", "power.packs": "two", "power.left.cells": "3",
         "weight.parts": "4 rows, 3f2a", "wing.taper_start": "100 %", "weight.pack_below": "0 mm", "wiring.left.brake": "false"}
VERDICTS = {"wing_loading": "good", "stall": "look again"}


def kept(leans=LEANS, verdicts=VERDICTS):
    record = Record.blank()
    record.keep("wing", "it fits the car", {"wing area": "22.0 dm2"}, verdicts, leans, when="2025-03-01T20:00:00+01:00")
    return record


def test_a_kept_step_is_read_back_whole():
    record = Record.from_text(kept().text())
    assert record.problems == []
    assert record.kept("wing") == Kept("2025-03-01T20:00:00+01:00", "it fits the car", twinkit.__version__, tables.checksums(),
                                       {"wing area": "22.0 dm2"}, VERDICTS, LEANS)
    assert record.kept("power") is None


def test_keeping_needs_texts_and_tells_all_that_are_none():
    record = Record.blank()
    with pytest.raises(RecordError) as caught:
        record.keep("wing", "", {"area": 0.22}, {"stall": None}, {"wing.span": "1 m"})
    assert str(caught.value).splitlines() == ["wing was not kept: 0.22 is not a text: write area in results in quotes",
                                              "wing was not kept: None is not a text: write stall in verdicts in quotes"]
    assert record.kept("wing") is None and record.journal == []
    with pytest.raises(KeyError, match="'wings' is no step; nearest: wing"):
        record.keep("wings", "", {}, {}, {})


def test_the_time_of_keeping_is_now_with_its_zone_unless_given():
    record = Record.blank()
    record.keep("wing", "", {}, {}, {})
    assert abs(datetime.datetime.now().astimezone() - datetime.datetime.fromisoformat(record.kept("wing").when)) < datetime.timedelta(seconds=60)
    record.keep("wing", "", {}, {}, {}, when=datetime.datetime(2025, 3, 1, 20, 0, tzinfo=datetime.timezone.utc))
    assert record.kept("wing").when == "2025-03-01T20:00:00+00:00"
    record.keep("wing", "", {}, {}, {}, when=datetime.date(2025, 3, 1))
    assert record.kept("wing").when == "2025-03-01"


def test_nothing_has_changed_since_when_nothing_moved_or_nothing_was_kept():
    assert kept().changed_since("wing", LEANS, VERDICTS) == []
    assert kept().changed_since("power", LEANS, VERDICTS) == []


@pytest.mark.identity
@pytest.mark.parametrize(("path", "inside", "outside"), [
    ("wing.span", "1171.6 mm", "1171.8 mm"), ("wing.span", "1148.4 mm", "1148.2 mm"), ("wing.span", "1.16 m", "46.2 in"),
    ("start.mass_guess", "1030 g", "1030.1 g"), ("start.mass_guess", "0.97 kg", "0.969 kg"), ("start.temperature", "17.8 °C", "17.9 °C"),
    ("wing.taper_start", "99 %", "98.9 %"), ("weight.pack_below", "0 in", "0.1 mm"), ("power.left.cells", "3.0", "4"),
])
def test_a_number_counts_when_it_moved_by_more_than_its_share(path, inside, outside):
    record = kept()
    assert quantities.quantity("wing.span").moves == 0.01 and quantities.quantity("start.mass_guess").moves == 0.03
    assert record.changed_since("wing", LEANS | {path: inside}, VERDICTS) == []
    assert record.changed_since("wing", LEANS | {path: outside}, VERDICTS) == [Change(path, LEANS[path], outside)]


@pytest.mark.parametrize(("path", "now"), [("power.packs", "one"), ("weight.parts", "4 rows, 77aa"), ("wiring.left.brake", "true"),
                                           ("wing.span", "not known"), ("wing.span", "")])
def test_words_tables_and_what_became_unknown_count_as_text(path, now):
    assert kept().changed_since("wing", LEANS | {path: now}, VERDICTS) == [Change(path, LEANS[path], now)]


def test_leans_that_came_or_went_count():
    record = kept()
    fewer = {path: text for path, text in LEANS.items() if path != "power.packs"}
    assert record.changed_since("wing", fewer | {"wing.chord": "190 mm"}, VERDICTS) == [Change("power.packs", "two", ""), Change("wing.chord", "", "190 mm")]


@pytest.mark.parametrize(("verdicts", "changes"), [
    ({"stall": "stop"}, [Change("stall", "look again", "stop")]),
    ({"wing_loading": "look again"}, [Change("wing_loading", "good", "look again")]),
    ({"new": "stop"}, [Change("new", "", "stop")]),
    ({"new": "good"}, []),
])
def test_a_changed_verdict_counts_and_a_new_good_one_does_not(verdicts, changes):
    assert kept().changed_since("wing", LEANS, VERDICTS | verdicts) == changes


def test_a_verdict_that_went_counts_unless_it_was_good():
    assert kept().changed_since("wing", LEANS, {"wing_loading": "good"}) == [Change("stall", "look again", "")]
    assert kept().changed_since("wing", LEANS, {"stall": "look again"}) == []


def test_the_journal_tells_each_keeping_and_every_move_since_the_last():
    record = kept()
    record.keep("power", "first", {}, {}, {}, when="2025-03-02")
    record.keep("wing", "wider", {}, VERDICTS | {"stall": "good"}, LEANS | {"wing.span": "1161 mm", "wing.chord": "190 mm"}, when="2025-03-03")
    version = twinkit.__version__
    assert Record.from_text(record.text()).journal == record.journal == [
        {"when": "2025-03-01T20:00:00+01:00", "step": "wing", "reason": "it fits the car", "version": version, "changed": []},
        {"when": "2025-03-02", "step": "power", "reason": "first", "version": version, "changed": []},
        {"when": "2025-03-03", "step": "wing", "reason": "wider", "version": version,
         "changed": ["wing.span: 1160 mm -> 1161 mm", "wing.chord: not there -> 190 mm", "stall: look again -> good"]},
    ]


def test_an_acknowledgement_holds_reason_name_and_date():
    record = Record.blank()
    assert record.acknowledged("no_failsafe") is None
    record.acknowledge("no_failsafe", "a new receiver is on its way", "the builder", datetime.date(2025, 3, 1))
    found = Record.from_text(record.text()).acknowledged("no_failsafe")
    assert found == {"reason": "a new receiver is on its way", "name": "the builder", "date": "2025-03-01"}


def test_an_acknowledgement_can_be_taken_back():
    record = Record.blank()
    with pytest.raises(RecordError, match="^P1 was not acknowledged, so there is nothing to take back$"):
        record.withdraw("P1")
    before = record.text()
    for code in ("P1", "P2"):
        record.acknowledge(code, "a", "b", "2025-03-01")
    record.withdraw("P1")
    again = Record.from_text(record.text())
    assert again.acknowledged("P1") is None and again.acknowledged("P2") == {"reason": "a", "name": "b", "date": "2025-03-01"}
    record.withdraw("P2")
    assert record.text() == before


def test_taking_back_reaches_the_disk_and_leaves_what_another_page_took_on(tmp_path):
    path = tmp_path / "build.toml"
    record = Record.blank()
    record.acknowledge("P1", "a", "b", "2025-03-01")
    record.save(path)
    mine, other = Record.read(path), Record.read(path)
    other.acknowledge("P2", "c", "d", "2025-03-02")
    other.save()
    mine.withdraw("P1")
    assert mine.save().saved
    end = Record.read(path)
    assert end.acknowledged("P1") is None and end.acknowledged("P2")["name"] == "d"


def test_an_acknowledgement_without_reason_or_name_is_refused():
    record = Record.blank()
    with pytest.raises(RecordError, match=f"^{re.escape('P1 was not acknowledged: write the reason and the name')}$"):
        record.acknowledge("P1", "  ", "", "2025-03-01")
    with pytest.raises(RecordError, match=f"^{re.escape('None is not a text: write the date of the acknowledgement of P1 in quotes')}$"):
        record.acknowledge("P1", "a", "b", None)
    assert record.acknowledged("P1") is None


def test_a_journal_that_is_none_is_not_written_over():
    record = Record.from_text("schema = 2\njournal = 5\n")
    assert record.journal == []
    with pytest.raises(RecordError, match="^journal holds 5 where rows are wanted: change that in the file first$"):
        record.keep("wing", "", {}, {}, {})
    assert record.text() == "schema = 2\njournal = 5\n"
