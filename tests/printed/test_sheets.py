"""Sheets made without running a page: comparison, work sheets, the sheets of the evenings, the flight card; and the PDF."""

import importlib.util
import os
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from builds import build, record
from twinkit import cli, folder, quantities, tables, units
from twinkit.design import Results
from twinkit.drawings import record_sheets
from twinkit.pages import FILES
from twinkit.printed import card, compare, evening, pdf, print_sheets, work_sheets
from twinkit.printed.paper import Heading, Sheet, sheets_text

_spec = importlib.util.spec_from_file_location("golden_texts", Path(__file__).with_name("golden_texts.py"))
golden = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(golden)


@pytest.mark.pinned
@pytest.mark.parametrize("name", golden.TEXTS)
def test_what_goes_on_paper_reads_as_it_did(name):
    assert golden.TEXTS[name]() == (golden.FOLDER / f"{name}.txt").read_text(encoding="utf-8"), "meant so? then run .venv/bin/python tests/printed/golden_texts.py and look at the difference"


# --- what lasts --------------------------------------------------------------------------------------------------


def sheet(results, title):
    """A sheet of the record by its title, as text."""
    return next(one.text() for _, sheets in record_sheets.lasting(results) for one in sheets if one.title == title)


def test_the_record_says_where_a_value_comes_from_and_a_number_is_never_a_yes():
    results = build()
    motors, packs = sheet(results, "Motors and propellers"), sheet(results, "Packs")
    assert "54 g (weighed)" in motors and "1060 rpm/V " in motors and "(chosen)" not in motors
    age = next(line for line in packs.splitlines() if line.startswith("age factor"))
    assert age.split()[-2:] == ["1.4", "1"], "1 is a number, not a yes"
    assert "yes (assumed)" in sheet(results, "Wiring as built")


@pytest.mark.parametrize(("way", "words"), [("pin", "push the pin back"), ("extension", "take the marked extension out"), ("cut", "it was cut: solder it together")])
def test_how_to_restore_the_red_lead(way, words):
    told = sheet(build(changes={"wiring.isolation": way}), "Wiring as built")
    assert words in told and "left: " in told
    both = sheet(build(changes={"wiring.left.red_lead": "connected", "wiring.isolation": way}), "Wiring as built")
    assert "none is out" in both and "nothing to restore" in both


def test_as_designed_is_what_was_kept_and_as_built_is_what_stands():
    from twinkit.drawings import wing

    one = build()
    kept = one.record.copy()
    kept.keep("wing", "fits the car", wing.numbers(one), {}, {}, "2026-03-01")
    now = Results(kept.changed({"wing.span": "1260 mm"}))
    told = sheet(now, "As designed, as built")
    line = next(line for line in told.splitlines() if "wing loading" in line)
    then, after = (wing.numbers(results)["wing loading"] for results in (one, now))
    assert then != after and "kept 2026-03-01" in line and line.index(then) < line.index(after)
    assert "fits the car" in sheet(Results(kept), "Journal, reasons and notes")
    assert "never balanced" in told and "52 mm" in sheet(build(changes={"weight.cg_measured": "52 mm"}), "As designed, as built")


def test_tables_of_the_wiring_come_by_themselves(monkeypatch):
    assert record_sheets.other_tables(build()) == [record_sheets.rows_sheet(build().record, id_) for id_, t in quantities.TABLES.items() if t.section in ("wiring", "leads") and build().record.rows(id_)]
    monkeypatch.setattr(record_sheets, "TABLES_OF", ("start",))
    assert [one.title for one in record_sheets.other_tables(build())] == ["Aeroplanes you know", "Parts at hand"]


# --- comparison --------------------------------------------------------------------------------------------------------------


def test_a_build_compared_with_itself_differs_nowhere():
    text = sheets_text(compare.compare(record(), record(), ("one", "other")))
    assert "Entered" not in text and "What comes of it" not in text and "Findings that differ" not in text
    assert text.count(compare.SAME) == len(quantities.STEPS)
    assert text.startswith("one and other, side by side")


def test_every_kind_of_difference_is_told_both_ways():
    one, other = record(), record(changes={"wing.span": "1260 mm", "power.right.motor_name": None, "wiring.left.brake": True, "limits.cg_first": "25 %",
                                           "bench.flights": [{"date": "2026-05-01", "time": "5 min"}]})
    text, back = sheets_text(compare.compare(one, other, ("a", "b"))), sheets_text(compare.compare(other, one, ("b", "a")))
    for label in ("span", "motor, right", "brake, left", "CG of the first flight", "flight log, rows of its own", "wing loading", "Longest part in the car"):
        assert label in text and label in back, label
    assert "Limits you fly by" in text


# --- work sheets -------------------------------------------------------------------------------------------------------------


def test_every_entry_of_the_register_has_its_line_on_paper():
    blocks = work_sheets.work_sheets(build())
    told = {row[0] for block in blocks if isinstance(block, Sheet) for row in block.rows} | {column for block in blocks if isinstance(block, Sheet) for column in block.columns}
    wanted = [q for q in quantities.QUANTITIES.values() if q.section != "limits" and q.group not in work_sheets.NOT_ON_PAPER]
    assert not [q.id for q in wanted if q.label not in told]
    assert len([block for block in blocks if isinstance(block, Heading) and block.level == 1]) == len(quantities.STEPS)


def test_work_sheets_say_what_the_record_says_and_leave_room():
    text = sheets_text(work_sheets.work_sheets(build()))
    assert "1160 mm" in text and "1060 rpm/V | 1120 rpm/V" in text and work_sheets.ROOM in text
    blank = sheets_text(work_sheets.work_sheets(build("blank")))
    assert "1160 mm" not in blank and "Kv on the label" in blank


# --- evenings ----------------------------------------------------------------------------------------------------------------


def test_six_evenings_of_ninety_minutes_take_every_page_once():
    plan, rows = evening.evenings()["plan"], evening.evenings()["evening"]
    assert sum(plan["minutes"]) == 90 and len(plan["minutes"]) == len(plan["parts"]) == len(plan["about"])
    assert len(rows) == 6 == len(cli.EVENINGS)
    assert [step for row in rows for step in row["pages"]] == list(quantities.STEPS)


@pytest.mark.parametrize("row", evening.evenings()["evening"], ids=lambda row: row["title"])
def test_an_evening_names_what_there_is(row):
    import importlib

    section = row["slider"].split(".")[0]
    assert section in row["pages"] and quantities.quantity(row["slider"])
    source = (folder.shipped_pages()[0].parent / FILES[section]).read_text(encoding="utf-8")
    assert row["slider"].rsplit(".", 1)[1] in source, "the page has that slider"
    assert row["picture"] in importlib.import_module(f"twinkit.drawings.{section}").PICTURES
    assert f'page.show(\\"{row["picture"]}\\")' in source, "and shows that picture"
    assert not set(row["cautions"]) - set(tables.cautions())
    assert all(evening.lesson(step)[0] and evening.lesson(step)[1] for step in row["pages"]), "a guess and an exercise on each page"


def test_the_handout_keeps_the_answers_to_itself_and_the_leader_has_them():
    results = build()
    heads, leaders = sheets_text(evening.handout(results)), sheets_text(evening.leader(results))
    answers = [answer for step in quantities.STEPS for _, answer in evening.lesson(step)[1]]
    questions = [question for step in quantities.STEPS for question, _ in evening.lesson(step)[1]]
    assert len(answers) == 8 and all(answer in leaders and answer not in heads for answer in answers)
    assert all(question in heads and question in leaders for question in questions)
    stall = units.say(results.wing.stall_speed, "speed")
    assert stall in leaders and stall not in heads, "the guess is answered for this build"


# --- flight card -------------------------------------------------------------------------------------------------------------


@pytest.fixture
def place(tmp_path):
    folder_ = tmp_path / "a build"
    folder_.mkdir()
    (folder_ / "build.toml").write_text(tables.text("demo/dunlin.toml"), encoding="utf-8")
    return folder_


@pytest.mark.skipif(os.name != "posix", reason="reads the processor time of a child")
def test_the_flight_card_comes_within_five_seconds(place):
    """The whole command from a cold Python, in processor time, best of three: other work on the machine must not decide it."""
    import resource

    took = []
    while len(took) < 3 and min(took, default=9.0) > 5.0:
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run([sys.executable, "-m", "twinkit", "print", str(place), "--card", "--no-pdf"], capture_output=True, text=True, cwd=Path(__file__).parents[2])
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        took.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
        assert done.returncode == 0, done.stderr
    assert min(took) <= 5.0
    assert "One motor quits" in (place / "flight-card.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["dunlin", "siskin", "blank"])
def test_the_card_holds_what_the_field_needs(name):
    text = sheets_text(card.card(build(name)))
    for words in ("Plugging in", "One motor quits", "throttle cut", "range, both at full", "Trying one motor on purpose", "Where you fly."):
        assert words in text


# --- PDF ---------------------------------------------------------------------------------------------------------------------


def test_without_a_chromium_it_is_said_and_no_old_pdf_stays(place, monkeypatch, capsys):
    monkeypatch.setenv("TWINKIT_CHROMIUM", "")
    (place / "flight-card.pdf").write_text("of last year")
    print_sheets(place, card.FILE, card.card)
    assert pdf.make_pdf(place / card.FILE, place / "flight-card.pdf") == pdf.NONE_FOUND
    assert not (place / "flight-card.pdf").exists()


@pytest.mark.skipif(os.name != "posix", reason="runs sh")
def test_a_browser_that_fails_is_told(place, tmp_path, monkeypatch):
    broken = tmp_path / "broken browser"
    broken.write_text("#!/bin/sh\nexit 7\n")
    broken.chmod(broken.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setenv("TWINKIT_CHROMIUM", str(broken))
    assert pdf.make_pdf(place / "build.toml", place / "x.pdf") == f"{broken} made no PDF (it ended with 7): print the HTML file from a browser."
    assert not (place / "x.pdf").exists()


@pytest.mark.browser
@pytest.mark.skipif(pdf.browser() is None and not os.environ.get("TWINKIT_REQUIRE_BROWSER"), reason="no Chromium here")
@pytest.mark.skipif(shutil.which("pdftotext") is None and not os.environ.get("TWINKIT_REQUIRE_BROWSER"), reason="no pdftotext here")
@pytest.mark.parametrize(("name", "make", "pencil", "sheets"), [(card.FILE, card.card, False, 2), ("handout.html", evening.handout, True, 6), ("leader.html", evening.leader, False, 6)],
                         ids=["card", "handout", "leader"])
def test_a_sheet_is_one_sheet_and_counts_its_pages(name, make, pencil, sheets, place):
    file = print_sheets(place, name, make, pencil=pencil)
    assert pdf.make_pdf(file, file.with_suffix(".pdf")) == ""
    pages = subprocess.run(["pdftotext", "-layout", file.with_suffix(".pdf"), "-"], capture_output=True, text=True, check=True).stdout.rstrip("\f\n").split("\f")
    assert len(pages) == sheets, "one sheet of paper for each"
    for number, text in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in text and "Dunlin" in text
