"""A page on the wall: 18 points at 1280 by 720, no code, answers folded, nothing over the edge."""

import pytest
from browser import lab

from twinkit.lab import environment

pytestmark = pytest.mark.browser
POINTS_18 = 24.0  # pixels
SMALL = """least => [...document.querySelectorAll('.jp-RenderedHTMLCommon p, .jp-RenderedHTMLCommon li, .jp-RenderedHTMLCommon td, .jp-RenderedHTMLCommon th, .tk-finding, .tk-caution, .tk-fold, .jp-OutputArea-output .widget-label, .jp-OutputArea-output input, .jp-OutputArea-output .widget-button, .jp-OutputArea-output .widget-html-content')]
    .filter(e => e.offsetParent && e.innerText !== '' && parseFloat(getComputedStyle(e).fontSize) < least).map(e => parseFloat(getComputedStyle(e).fontSize) + ' ' + (e.className || e.tagName) + ': ' + e.innerText.slice(0, 40))"""
OVER = """() => [...document.querySelectorAll('.jp-NotebookPanel .jp-OutputArea-output')].filter(e => e.offsetParent && e.getBoundingClientRect().right > window.innerWidth + 1).length"""


def test_a_page_on_the_wall(chromium, tmp_path, monkeypatch):
    monkeypatch.setenv("TWINKIT_PROJECTOR", environment("", projector=True)["TWINKIT_PROJECTOR"])
    with lab.lab(tmp_path) as server:
        page = lab.opened(chromium, server, "06_rudder_and_trim.ipynb", 1280, 720)
        lab.run(page)
        seen = {"tables": 0, "pictures": 0}
        cells = page.query_selector_all(".jp-NotebookPanel .jp-Cell")
        for number, cell in enumerate(cells):
            cell.scroll_into_view_if_needed()
            page.evaluate(lab.STILL)
            assert page.evaluate(SMALL, POINTS_18 - 0.1) == [], f"type too small for the wall in cell {number}"
            assert page.evaluate(OVER) == 0, f"cell {number} hangs over the edge"
            seen["tables"] += len(cell.query_selector_all("table.tk-table"))
            seen["pictures"] += len(cell.query_selector_all("img[src^='data:image/png']"))
        assert seen["tables"] > 3 and seen["pictures"] >= 3
        assert not [e for e in page.query_selector_all(".jp-CodeCell .jp-InputArea") if e.is_visible()], "code on the wall"
        assert not page.query_selector_all("details[open]"), "an answer stands open"
        page.context.close()
