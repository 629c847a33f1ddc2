"""The shipped workbooks: clean, in the agreed order, thin."""

import json
import re
from pathlib import Path

import pytest

from twinkit import quantities, workbook

FOLDER = Path(__file__).resolve().parents[2] / "workbooks"
PAGES = sorted(FOLDER.glob("*.ipynb"))
CALLS = ("open_page(", "page.controls(", "page.findings(", "page.caution(", "page.numbers(", "page.keep(", "page.next(")


def _cells(path):
    return json.loads(path.read_text(encoding="utf-8"))["cells"]


def _source(cell):
    return "".join(cell["source"])


def test_the_pages_are_those_of_the_package():
    assert [p.name for p in PAGES] == list(workbook.FILES.values())
    assert list(workbook.FILES) == list(quantities.STEPS) == list(workbook.QUESTIONS)


@pytest.mark.parametrize("path", PAGES, ids=lambda p: p.stem)
def test_a_page_is_clean(path):
    notebook = json.loads(path.read_text(encoding="utf-8"))
    assert "widgets" not in notebook["metadata"]
    for cell in notebook["cells"]:
        if cell["cell_type"] != "code":
            continue
        checked = "NBVAL_CHECK_OUTPUT" in _source(cell)
        assert bool(cell["outputs"]) == checked, "only check cells keep an output"
        assert cell["execution_count"] == (1 if checked else None)
        assert not [o for o in cell["outputs"] if o["output_type"] == "error"]


@pytest.mark.parametrize("path", PAGES, ids=lambda p: p.stem)
def test_a_page_is_thin_and_readable(path):
    for cell in _cells(path):
        if cell["cell_type"] == "code":
            source = _source(cell)
            assert source.startswith("# "), "a code cell begins with a readable comment"
            assert cell["metadata"]["jupyter"]["source_hidden"] is True
            assert "def " not in source and "lambda" not in source
            assert len(source.splitlines()) <= 6


@pytest.mark.parametrize("path", PAGES, ids=lambda p: p.stem)
def test_a_page_follows_the_order(path):
    cells = _cells(path)
    first = _source(cells[0])
    assert first.startswith(f"# {path.stem[:2]} ")
    assert 'data-commandlinker-command="notebook:run-all-cells"' in first
    code = "\n".join(_source(c) for c in cells if c["cell_type"] == "code")
    places = [code.find(call) for call in CALLS]
    assert -1 not in places, f"missing: {[c for c, p in zip(CALLS, places) if p < 0]}"
    assert places[0] == min(places) and places[-1] == max(places)
    assert "page.guess(" in code and "page.exercise(" in code and "page.show(" in code
    prose = "\n".join(_source(c) for c in cells if c["cell_type"] == "markdown")
    heads = re.findall(r"^## (.+)$", prose, flags=re.M)
    for wanted in ("What this page needs", "The idea", "Findings", "Do now", "Keep this step"):
        assert wanted in heads, f"no section '{wanted}'"
    assert heads.index("What this page needs") < heads.index("The idea") < heads.index("Findings") < heads.index("Do now") < heads.index("Keep this step")
