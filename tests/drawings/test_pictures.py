"""Every picture and table of every page: drawn on every build, and an update gives the same pixels as a new drawing."""

import importlib
import struct

import pytest

from builds import build
from twinkit import quantities, tables
from twinkit.design import Results
from twinkit.record import Record

BUILDS = {name: tables.text(f"demo/{name}.toml") for name in ("dunlin", "siskin", "blank")}
MODULES = {step: importlib.import_module(f"twinkit.drawings.{step}") for step in quantities.STEPS}
PICTURES = [pytest.param(kind, id=f"{step}.{name}") for step, m in MODULES.items() for name, kind in m.PICTURES.items()]
SHEETS = [pytest.param(make, id=f"{step}.{name}") for step, m in MODULES.items() for name, make in m.SHEETS.items()]


@pytest.fixture(scope="module")
def results():
    return {name: Results(Record.from_text(text)) for name, text in BUILDS.items()}


@pytest.mark.parametrize("kind", PICTURES)
def test_update_after_make_gives_the_pixels_of_a_fresh_make(kind, results):
    fresh = {name: kind.make(results[name]).png() for name in BUILDS}
    assert fresh["dunlin"] != fresh["siskin"], "the picture shows nothing of the build"
    moved = kind.make(results["dunlin"])
    for name in ("siskin", "blank", "dunlin", "siskin"):
        moved.update(results[name])
        assert moved.png() == fresh[name], f"an update to {name} is not what a new drawing shows"


@pytest.mark.parametrize("kind", PICTURES)
def test_a_picture_states_its_finding_and_fits_a_page(kind, results):
    for name in BUILDS:
        drawing = kind.make(results[name])
        assert len(drawing.title) > 15
        width, height = struct.unpack(">II", drawing.png()[16:24])
        assert width <= 800 and height <= 1000


@pytest.mark.parametrize("make", SHEETS)
@pytest.mark.parametrize("name", BUILDS)
def test_a_sheet_reads_well(make, name, results):
    sheet = make(results[name])
    assert sheet.title and (sheet.columns or sheet.note.startswith("Waits for "))
    for row in sheet.rows:
        assert len(row) == len(sheet.columns)
    assert "None" not in sheet.text() and "nan" not in sheet.text().split()
    assert "<td>" in sheet.html() or not sheet.rows


@pytest.mark.parametrize("step", quantities.STEPS)
@pytest.mark.parametrize("name", BUILDS)
def test_numbers_are_texts(step, name, results):
    found = MODULES[step].numbers(results[name])
    assert found and all(isinstance(v, str) and v and "None" not in v for v in found.values())


def test_a_time_not_to_be_passed_is_drawn_where_its_words_say():
    from twinkit.checks.weight import minutes
    from twinkit.drawings import weight

    for name in ("dunlin", "siskin"):
        results = build(name)
        assert results.flight.land_by % 60.0, "a whole minute would prove nothing"
        for picture in (weight.PICTURES["charge"].make(results), weight.PICTURES["drawn"].make(results)):
            line, words = (picture.land, picture.labels["land"]) if hasattr(picture, "land") else (picture.lines["land"], picture.words["land"])
            told = words.get_text().removeprefix("land by ")
            assert told == minutes(results.flight.land_by) and float(told.split()[0]) == line.get_xdata()[0]


def test_what_waits_says_so_on_one_strip_and_is_drawn_at_full_size_then():
    from twinkit.drawings import power

    picture, blank = power.PICTURES["thrust"](), build("blank")
    picture.update(blank)
    assert picture.title == "Nothing to draw yet. Waits for cells in series, capacity (page 01, left and right) and 5 more."
    assert int.from_bytes(picture.png()[20:24]) < 80
    picture.update(build())
    assert picture.png() == power.PICTURES["thrust"].make(build()).png()
    picture.update(blank)
    assert int.from_bytes(picture.png()[20:24]) < 80
    sheet = power.SHEETS["point"](blank)
    assert sheet.text() == "Operating point\nWaits for cells in series, capacity (page 01, left and right) and 5 more."
    assert "<table" not in sheet.html() and sheet.note in sheet.html()
