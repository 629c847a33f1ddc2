"""How numbers and units are written in what a page says: one minus sign, a space before a unit, one spelling of a unit."""

import importlib
import json
import re
from pathlib import Path

import pytest

from builds import build
from twinkit import checks, quantities, units

HERE = Path(__file__).resolve()

FAULTS = {
    "a hyphen for a minus": re.compile(r"(?:^|(?<=[\s(±,;:]))-\d"),
    "no space before a unit": re.compile(r"\d(?:%|mm|cm|V|W|N|mAh|Wh|ohm|mohm|rpm|deg|min|uF|°C|°F|m/s|mph)(?![\w.])"),
    "a unit spelt another way": re.compile(r"µF|μF|Ω|mΩ|\bgr\b"),
}


def faults(text):
    return [(name, found.group(), text[max(found.start() - 40, 0):found.end() + 20]) for name, fault in FAULTS.items() for found in fault.finditer(text)]


def texts(results):
    for f in checks.findings(results.record, None, results):
        yield f.code, f.sentence
        if f.advice:
            yield f.code, f.advice.sentence
    for step in quantities.STEPS:
        drawings = importlib.import_module(f"twinkit.drawings.{step}")
        for name, sheet in drawings.SHEETS.items():
            made = sheet(results)
            for text in (made.title, made.note, *map(str, made.columns), *(str(cell) for row in made.rows for cell in row)):
                yield f"{step} {name}", text
        for label, text in drawings.numbers(results).items():
            yield f"{step} {label}", text


@pytest.mark.parametrize("name, changes", [("dunlin", {}), ("siskin", {}), ("dunlin", {"start.units": "imperial", "bench.points": [], "power.pack_temperature": "-8 °C"})],
                         ids=["dunlin", "siskin", "imperial and cold"])
def test_numbers_and_units_are_written_one_way(name, changes):
    wrong = [(where, *fault) for where, text in texts(build(name, changes)) for fault in faults(text)]
    assert not wrong, wrong


def test_prose_of_the_pages_too():
    wrong = []
    for path in sorted((HERE.parents[2] / "workbooks").glob("*.ipynb")):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            if cell["cell_type"] == "markdown":
                wrong += [(path.name, *fault) for fault in faults("".join(cell["source"]).replace("\\%", " %"))]
    assert not wrong, wrong


@pytest.mark.parametrize("text", ["falls to -3 m", "(-0.2 V)", "35% of it", "12V", "220 µF", "220μF"])
def test_a_fault_is_seen(text):
    assert faults(text)


def test_a_minus_is_written_and_read_back():
    assert units.say(-0.28, "thrust", "metric", 2) == "−0.28 N" and units.parse("−0.28 N", "N") == pytest.approx(-0.28)
    assert units.digits(-0.28, 6) == "-0.28", "in a field that is typed in"
