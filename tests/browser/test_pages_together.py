"""Pages 05 and 06 open at once on one build: what one keeps the other is told, what the disk holds is never taken over silently, a wrong entry does no harm."""

import pytest
from browser import lab

from twinkit.record import Record

pytestmark = pytest.mark.browser
WING, RUDDER = "05_wing.ipynb", "06_rudder_and_trim.ipynb"
ON_DISK = "The record on disk has changed since this page was opened. Your controls were left alone."
RELOADED = "This page was loaded again in the browser: its pictures no longer follow. Use the menu Run, then Run All Cells."

STILL_COUNTS = "; 1160 mm still counts."
SAID = {"broad": "'broad' does not begin with a number" + STILL_COUNTS,
        "12 kg": "'12 kg': the unit 'kg' does not fit here: allowed are mm, cm, m, in, ft, km; did you mean km?" + STILL_COUNTS,
        "99 m": "'99 m' is outside what is possible, 300 to 4000 mm; the nearest is 4000 mm" + STILL_COUNTS}


@pytest.fixture(scope="module")
def tabs(chromium, server):
    """Pages 05 and 06 in two tabs of one browser, both run."""
    context = chromium.new_context(viewport={"width": 1200, "height": 1400})
    tabs = []
    for name in (WING, RUDDER):
        tabs.append(lab.shown(context, server, name))
        lab.ready(tabs[-1], server, name)
        lab.run(tabs[-1])
    yield tabs
    context.close()
    lab.end_sessions(server)


@pytest.fixture
def wing(tabs):
    """Page 05."""
    return tabs[0]


@pytest.fixture
def rudder(tabs):
    """Page 06."""
    return tabs[1]


def _banner(page):
    return page.locator(".tk-banner")


def _load(page):
    page.get_by_role("button", name="load what is on disk").click()
    _banner(page).wait_for(state="hidden", timeout=10000)


def _keep(page):
    page.get_by_role("button", name="keep this step").click()
    page.wait_for_function("() => document.querySelector('.tk-head').textContent.includes('kept on')", timeout=15000)


def _values(page):
    """All that stands in fields and sliders."""
    return page.evaluate("() => [...document.querySelectorAll('.jp-OutputArea-output :is(input, select, textarea)')].map(e => e.value + e.checked)"
                         ".concat([...document.querySelectorAll('.noUi-handle')].map(e => e.getAttribute('aria-valuenow')))")


def _on_disk(server, entry, text):
    """Change an entry of build.toml as an editor does."""
    path = server.build / "build.toml"
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    at = next(n for n, line in enumerate(lines) if line.startswith(entry + " = "))
    path.write_text("".join([*lines[:at], f'{entry} = "{text}"\n', *lines[at + 1:]]), encoding="utf-8")


def test_a_wrong_entry_shows_its_sentence_beside_the_field_and_changes_nothing(wing, server):
    before, shown = (server.build / "build.toml").read_bytes(), wing.locator(".tk-sheet").all_text_contents()
    row = wing.locator(".tk-row", has=wing.locator(".tk-wing-span"))
    field = row.locator(".tk-wing-span input")
    for typed, said in SAID.items():
        field.fill(typed)
        field.press("Enter")
        row.locator(".tk-refused").get_by_text(said, exact=True).wait_for(timeout=10000)
        assert field.input_value() == typed
    assert (server.build / "build.toml").read_bytes() == before and wing.locator(".tk-sheet").all_text_contents() == shown
    field.fill("1160")
    field.press("Enter")
    row.locator(".tk-refused").wait_for(state="detached", timeout=10000)


def test_page_06_says_changed_since_when_page_05_keeps_another_span(wing, rudder, server):
    _keep(rudder)
    _banner(wing).get_by_text(ON_DISK).wait_for(timeout=10000)
    before, loaded = _values(rudder), rudder.locator(".tk-head").text_content()
    _load(wing)
    field = wing.locator(".tk-wing-span input")
    field.fill("1000")
    field.press("Enter")
    wing.wait_for_function("() => [...document.querySelectorAll('.tk-finding')].some(e => e.textContent.includes('1000'))", timeout=10000)
    _keep(wing)
    assert Record.read(server.build / "build.toml").get("wing.span").text == "1000 mm"
    _banner(rudder).get_by_text(ON_DISK).wait_for(timeout=10000)
    assert _values(rudder) == before and rudder.locator(".tk-head").text_content() == loaded, "nothing is taken over without the press"
    _load(rudder)
    rudder.wait_for_function("""() => {
        const head = document.querySelector('.tk-head').textContent;
        return head.includes('changed since') && /span.*then 1160 mm, now 1000 mm/.test(head);
    }""", timeout=15000)


def test_what_an_editor_writes_is_told_and_no_slider_moves_by_itself(wing, rudder, server):
    before = _values(wing), _values(rudder)
    _on_disk(server, "chord", "205 mm")
    for page in (wing, rudder):
        _banner(page).get_by_text(ON_DISK).wait_for(timeout=10000)
    assert (_values(wing), _values(rudder)) == before
    _load(wing)
    wing.wait_for_function("() => document.querySelector('.tk-wing-chord input').value === '205'", timeout=10000)
    wing.wait_for_function("() => document.querySelector('.tk-wing-chord-slider .noUi-handle').getAttribute('aria-valuenow') === '205.0'", timeout=10000)
    _load(rudder)


def test_a_page_loaded_again_while_its_kernel_lives_says_so(rudder, server):
    lab.save(rudder)        # a page never stored opens empty, and asks for its press
    rudder.reload(wait_until="domcontentloaded")
    rudder.wait_for_selector(".jp-NotebookPanel .jp-Cell", timeout=60000)
    _banner(rudder).get_by_text(RELOADED).wait_for(timeout=30000)
    lab.ready(rudder, server, RUDDER)
    lab.run(rudder)
    _banner(rudder).wait_for(state="hidden", timeout=10000)
    assert rudder.evaluate(lab.CELLS_IN_ERROR) == 0
    assert rudder.outside == []
