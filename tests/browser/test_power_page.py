"""Page 01 in the real JupyterLab in Chromium: it opens, runs, a slider moves, the table's text and the picture follow."""

import hashlib
import time

import pytest

PAGE = "01_power_layout.ipynb"

pytestmark = pytest.mark.browser


def _pictures(page):
    return [hashlib.sha256(src.encode()).hexdigest() for src in
            page.eval_on_selector_all(".jp-OutputArea-output img[src^='data:image/png']", "images => images.map(i => i.src)")]


def _thrust_texts(page):
    return page.eval_on_selector_all("table.tk-table", "tables => tables.map(t => t.innerText)")


def test_page_01_follows_a_slider(open_page):
    page = open_page(PAGE)
    assert not page.query_selector_all(".jp-RenderedText[data-mime-type='application/vnd.jupyter.stderr'], .tk-trouble")
    before_text, before_pictures = _thrust_texts(page), _pictures(page)
    assert before_pictures, "no picture on the page"

    handle = page.locator(".tk-power-look_throttle-slider .noUi-handle")
    handle.scroll_into_view_if_needed()
    typed = page.locator(".tk-power-look_throttle input").first
    assert float(typed.input_value()) == 100
    handle.focus()
    for _ in range(5):
        page.keyboard.press("ArrowLeft")
    page.wait_for_function("before => [...document.querySelectorAll('table.tk-table')].map(t => t.innerText).join('|') !== before",
                           arg="|".join(before_text), timeout=10000)
    # text first: the typed field follows the slider (its value moves on while the keys come in), and the operating table says the same throttle
    page.wait_for_function("""() => {
        const shown = document.querySelector('.tk-power-look_throttle input').value;
        return shown === '97.5' && [...document.querySelectorAll('.tk-caption')].some(c => c.innerText.includes(shown + ' %'));
    }""", timeout=10000)
    assert float(typed.input_value()) == 97.5
    # then the picture
    for _ in range(100):
        after = _pictures(page)
        if after != before_pictures:
            break
        time.sleep(0.1)
    assert len(after) == len(before_pictures) and after != before_pictures
    assert page.outside == [], "a request left the machine"
