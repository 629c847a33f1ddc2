"""Every page in the real JupyterLab, wide and narrow, light and dark: it runs, nothing is cut, nothing leaves the machine, and who sees or hears it differently can use it."""

import re

import pytest
from browser import axe as checker
from browser import lab

from twinkit.controls.finish import REST_SECONDS
from twinkit.pages import FILES

pytestmark = pytest.mark.browser
WIDTHS = (1200, 700)
LOOKS = ((False, "Liberation Sans"), (True, "DejaVu Sans"))      # dark or not, and letters: the usual width, and among the widest a screen shows without being asked to
CUT = """() => [...document.querySelectorAll('.jp-NotebookPanel .widget-label, .jp-NotebookPanel .jp-OutputArea-output, .tk-sheet, .jp-RenderedHTMLCommon td, .jp-RenderedHTMLCommon th, .jp-NotebookPanel button')]
    .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 2).map(e => e.textContent.trim().slice(0, 80)).filter(text => text)"""
# What stands in a field, whatever of a list may be chosen, and the words in an empty field, measured against the room between its paddings.
CUT_IN_FIELDS = """() => {
    const pen = document.createElement('canvas').getContext('2d');
    return [...document.querySelectorAll('.jp-OutputArea-output :is(input[type=text], select, textarea)')].filter(e => e.offsetParent).flatMap(e => {
        const style = getComputedStyle(e), room = e.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight);
        pen.font = style.font;
        const texts = e.tagName === 'SELECT' ? [...e.options].map(o => o.text) : e.tagName === 'INPUT' ? [e.value || e.placeholder] : e.scrollHeight > e.clientHeight + 2 ? [e.value] : [];
        return texts.filter(text => e.tagName === 'TEXTAREA' || pen.measureText(text).width > room + 1).map(text => `${e.title.slice(0, 40)}: ${text.slice(0, 60)} (${Math.ceil(pen.measureText(text).width)} in ${room} px)`);
    });
}"""
NAMES = f"""() => [...document.querySelectorAll('{lab.CONTROLS}')].filter(e => e.offsetParent).map(e => [e.matches('button, summary') ? 'press' : e.getAttribute('role') ?? e.type,
    e.getAttribute('aria-label') || [...(e.labels ?? [])].map(label => label.textContent).join(' ').trim() || e.textContent.trim() && e.matches('button, summary') && e.textContent.trim() || e.title])"""
LAST_RUNS = "() => [...window.jupyterapp.shell.currentWidget.content.model.cells].filter(c => c.type === 'code' && c.sharedModel.getSource().trim()).at(-1).executionState === 'running'"
BUSY = "milliseconds => { const end = performance.now() + milliseconds; while (performance.now() < end); }"
WORDLESS = """() => [...document.querySelectorAll('.jp-OutputArea-output img')].filter(e => e.alt.trim().split(' ').length < 3).length"""


@pytest.mark.parametrize("name", FILES.values())
def test_a_page_runs_and_shows_itself_whole_to_everybody(open_page, axe, name):
    page = open_page(name)
    assert page.evaluate(lab.CELLS_IN_ERROR) == 0
    assert not page.query_selector_all(".jp-RenderedText[data-mime-type='application/vnd.jupyter.stderr'], .tk-trouble")
    for dark, letters in LOOKS:
        lab.look(page, dark=dark, letters=letters)
        for width in WIDTHS:
            lab.look(page, width=width)
            assert page.evaluate(CUT) == [], f"cut at {width} px in {letters}"
            assert page.evaluate(CUT_IN_FIELDS) == [], f"cut in fields at {width} px in {letters}"
        assert checker.violations(page, axe) == [], "dark" if dark else "light"
    names = [tuple(named) for named in page.evaluate(NAMES)]
    assert not [name for name in names if not re.search(r"[a-z]{3}", name[1])], "controls without a name for a screen reader"
    fields = [name for name in names if name[0] != "press"]
    assert sorted(set(fields)) == sorted(fields), "fields that sound alike"
    assert page.evaluate(WORDLESS) == 0, "pictures without words for who cannot see them"
    assert page.outside == [], "a request left the machine"


def test_a_browser_busy_while_the_last_cell_ends_still_names_every_control(chromium, server):
    page = lab.opened(chromium, server, FILES["wiring"])
    page.click(lab.PRESS)
    page.wait_for_function(LAST_RUNS, timeout=60000, polling=5)
    page.evaluate(BUSY, 1000.0 * (REST_SECONDS + 2.0))      # what the kernel sends and takes away again meanwhile arrives at once
    page.wait_for_function(lab.CELLS_DONE, timeout=60000)
    page.evaluate(lab.STILL)      # all controls are there
    page.wait_for_function(f"() => ({NAMES})().every(([kind, name]) => /[a-z]{{3}}/.test(name))", timeout=10000)
    assert len(page.evaluate(NAMES)) > 100
    page.context.close()
    lab.end_sessions(server)
