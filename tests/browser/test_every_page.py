"""Every page in the real JupyterLab: it opens and runs, nothing of it is cut, nothing leaves the machine, and its controls can be reached and have names."""

import pytest
from browser import lab

from twinkit.pages import FILES

pytestmark = pytest.mark.browser
CUT = """() => [...document.querySelectorAll('.jp-NotebookPanel .widget-label, .jp-NotebookPanel .jp-OutputArea-output, .jp-RenderedHTMLCommon td, .jp-RenderedHTMLCommon th, .jp-NotebookPanel button')]
    .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 2).map(e => e.textContent.trim().slice(0, 80)).filter(text => text)"""
UNNAMED = """() => [...document.querySelectorAll('.jp-OutputArea-output :is(input, select, textarea, button, [role=slider], summary)')].filter(e => e.offsetParent)
    .filter(e => !(e.getAttribute('aria-label') || e.title || e.textContent.trim() || (e.labels && e.labels.length && e.labels[0].textContent.trim()) || e.getAttribute('aria-labelledby')))
    .map(e => e.outerHTML.slice(0, 120))"""
UNREACHABLE = """() => [...document.querySelectorAll('.jp-OutputArea-output :is(input, select, textarea, button, [role=slider], summary)')]
    .filter(e => e.offsetParent && !e.disabled && e.tabIndex < 0).map(e => e.outerHTML.slice(0, 120))"""


@pytest.mark.parametrize("name", FILES.values())
def test_a_page_opens_runs_and_shows_itself_whole(open_page, name):
    page = open_page(name)
    assert page.evaluate(lab.CELLS_IN_ERROR) == 0
    assert not page.query_selector_all(".jp-RenderedText[data-mime-type='application/vnd.jupyter.stderr'], .tk-trouble")
    for theme in ("JupyterLab Light", "JupyterLab Dark"):
        page.evaluate("theme => window.jupyterapp.commands.execute('apputils:change-theme', {theme})", theme)
        for width in (1200, 700):
            page.set_viewport_size({"width": width, "height": 1400})
            page.wait_for_timeout(500)
            assert page.evaluate(CUT) == [], f"cut at {width} px, {theme}"
    page.wait_for_timeout(1000)      # sliders are named a moment after the last cell
    assert page.evaluate(UNNAMED) == [], "controls without a name for a screen reader"
    assert page.evaluate(UNREACHABLE) == [], "controls that the keyboard does not reach"
    assert page.outside == [], "a request left the machine"
