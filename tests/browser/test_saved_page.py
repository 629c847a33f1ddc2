"""A page that was run and saved, opened by somebody else who trusts it not and has no kernel: it reads as it was left, and nothing of it runs."""

import json
import shutil

import pytest
from browser import lab

pytestmark = pytest.mark.browser
PAGE = "05_wing.ipynb"
SPOILT = ["Error displaying widget", "Loading widget", "children=(", "<twinkit", "object at 0x", "Cannot display"]
# What must not run there: planted into the saved copy.
PLANTED = [
    {"text/html": "<p>planted</p><script>window.ran = 'script'</script><img src='data:image/png;base64,AA' onerror=\"window.ran = 'onerror'\">", "text/plain": "planted"},
    {"application/javascript": "window.ran = 'javascript'", "text/plain": "planted"},
]
SHOWN = """() => ({
    pictures: [...document.querySelectorAll('.jp-OutputArea-output img.tk-picture')].map(e => [e.src, e.alt]),
    tables: [...document.querySelectorAll('.tk-sheet')].filter(e => !e.closest('.tk-saved')).map(e => e.textContent),
    findings: [...document.querySelectorAll('.tk-finding')].map(e => e.textContent), head: document.querySelector('.tk-head').textContent})"""


def test_a_saved_page_reads_without_trust_and_without_a_kernel(chromium, tmp_path):
    for name in ("here", "there", "copy"):
        (tmp_path / name).mkdir()
    with lab.lab(tmp_path / "here") as server:
        page = lab.opened(chromium, server, PAGE)
        lab.run(page)
        field = page.locator(".tk-wing-span input")
        field.fill("1200")
        field.press("Enter")
        page.wait_for_function("() => [...document.querySelectorAll('.tk-saved')].some(e => e.textContent.includes('span: 1200 mm'))", timeout=10000)
        page.wait_for_function("() => ![...document.querySelectorAll('.tk-late')].some(e => getComputedStyle(e, '::before').content.includes('values before'))", timeout=10000)
        assert not [e for e in page.query_selector_all(".tk-saved") if e.is_visible()], "said twice while there are controls"
        left = page.evaluate(SHOWN)
        lab.save(page)
        saved = json.loads((server.build / PAGE).read_text(encoding="utf-8"))
        page.context.close()
        lab.end_sessions(server)
    assert "widgets" not in saved["metadata"]
    last = next(cell for cell in reversed(saved["cells"]) if cell["cell_type"] == "code")
    last["outputs"] += [{"output_type": "display_data", "metadata": {}, "data": data} for data in PLANTED]
    (tmp_path / "copy" / PAGE).write_text(json.dumps(saved), encoding="utf-8")

    with lab.lab(tmp_path / "there", tmp_path / "copy", elsewhere=True) as server:
        page = lab.shown(chromium.new_context(viewport={"width": 1200, "height": 1400}), server, PAGE)
        _say_no(page)
        page.evaluate(lab.STILL)
        there = page.evaluate(SHOWN)
        assert there == left and len(there["pictures"]) > 5 and len(there["tables"]) > 8 and len(there["findings"]) > 10
        assert all(alt and page.evaluate("n => document.querySelectorAll('img.tk-picture')[n].naturalWidth", n) > 300 for n, (_, alt) in enumerate(there["pictures"]))
        said = page.locator(".jp-Notebook").text_content()
        assert not [words for words in SPOILT if words in said]
        entries = [e.inner_text() for e in page.query_selector_all(".tk-saved") if e.is_visible()]
        assert any("span: 1200 mm" in text for text in entries) and any("Guess first. How slow can your aeroplane fly" in text for text in entries)
        assert not page.query_selector_all(".jp-OutputArea-output .jupyter-widgets, .jp-OutputArea-output .jp-OutputArea-output:empty")
        assert "planted" in said and page.evaluate("() => window.ran") is None, "a script of an untrusted page ran"
        assert server.sessions() == [] and page.outside == []
        page.context.close()
    shutil.rmtree(tmp_path)


def _say_no(page):
    """Answer no to every question JupyterLab asks of who has no kernel, until none has come for three seconds."""
    page.wait_for_selector(".jp-Dialog", timeout=60000)
    quiet = 0
    for _ in range(200):
        quiet = 0 if page.locator(".jp-Dialog").count() else quiet + 1
        if quiet == 10:
            return
        if not quiet:
            page.keyboard.press("Escape")
        page.wait_for_timeout(300)
    raise AssertionError("JupyterLab goes on asking")
