"""Every kind of control in the real JupyterLab, by key, by drag and by typing: text and then picture follow, and what is kept stands in build.toml."""

import io

import pytest
from browser import lab

from twinkit.record import Record

pytestmark = pytest.mark.browser
SEEN = """() => ({text: [...document.querySelectorAll('.tk-head, .tk-sheet, .tk-finding')].filter(e => e.offsetParent).map(e => e.textContent).join('|').replaceAll('\\u00a0', ' '),
    pictures: [...document.querySelectorAll('img.tk-picture')].map(e => e.src).join('|')})"""
# Nothing has waited for half a second: the mark comes a moment after the change.
QUIET = f"""() => {{
    window.quiet = ({lab.LATE})() ? null : window.quiet ?? performance.now();
    const calm = window.quiet !== null && performance.now() - window.quiet > 500;
    if (calm) window.quiet = null;
    return calm;
}}"""
IN_ORDER = f"() => [...document.querySelectorAll('{lab.CONTROLS}')].filter(e => e.offsetParent && !e.disabled).map((e, n) => {{ e.dataset.place = n; return e.outerHTML.slice(0, 120); }})"
AT = "() => document.activeElement.dataset.place ?? null"


@pytest.fixture(scope="module")
def page(chromium, server):
    """Page 00, open and run: it has every kind of control."""
    page = lab.opened(chromium, server, "00_start.ipynb")
    lab.run(page)
    yield page
    page.context.close()
    lab.end_sessions(server)


@pytest.fixture
def follows(page):
    """Waits until a text stands in head, tables or findings that was not there, then until the picture is another one, then until nothing waits."""
    page.wait_for_function(QUIET, timeout=10000)
    before = page.evaluate(SEEN)

    def wait(text, picture=True):
        assert text not in before["text"], f"'{text}' stood there before"
        page.wait_for_function(f"text => ({SEEN})().text.includes(text)", arg=text, timeout=10000)
        if picture:
            page.wait_for_function(f"before => ({SEEN})().pictures !== before", arg=before["pictures"], timeout=10000)
        page.wait_for_function(QUIET, timeout=10000)
        assert picture or page.evaluate(SEEN)["pictures"] == before["pictures"], "a picture moved that shows nothing of this"

    return wait


def _field(page, path):
    return page.locator(f".tk-{path.replace('.', '-')} :is(input, select)")


def _type(field, text):
    field.fill(text)
    field.press("Enter")


def _arrived(page, name, before):
    """Wait until the typed field shows where the handle now stands: it comes after each step of a moving one."""
    page.wait_for_function("""([name, before]) => {
        const value = Number(document.querySelector(`.tk-${name} input`).value);
        return value > before && value === Number(document.querySelector(`.tk-${name}-slider .noUi-handle`).ariaValueNow);
    }""", arg=[name, before])


def _kept(page, server):
    """Keep the step and read the record from disk."""
    before = (server.build / "build.toml").read_bytes()
    page.get_by_role("button", name="keep this step").click()
    return _written(page, server, before)


def _written(page, server, before):
    for _ in range(200):
        if (server.build / "build.toml").read_bytes() != before:
            return Record.read(server.build / "build.toml")
        page.wait_for_timeout(50)
    raise AssertionError("nothing was written within 10 s")


def test_a_slider_by_key(page, server, follows):
    handle, field = page.locator(".tk-start-mass_guess-slider .noUi-handle"), _field(page, "start.mass_guess")
    before = float(field.input_value())
    handle.focus()
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    _arrived(page, "start-mass_guess", before)
    follows(f"mass{field.input_value()} g")
    assert float(field.input_value()) == float(handle.get_attribute("aria-valuenow")) > before
    assert _kept(page, server).get("start.mass_guess").text == f"{field.input_value()} g"


def test_a_slider_by_drag(page, server, follows):
    handle, field = page.locator(".tk-start-span_guess-slider .noUi-handle"), _field(page, "start.span_guess")
    before = float(field.input_value())
    handle.scroll_into_view_if_needed()
    page.evaluate(lab.STILL)
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 40, y, steps=8)
    page.mouse.up()
    _arrived(page, "start-span_guess", before)
    follows(f"A wing of {field.input_value()} mm")
    assert _kept(page, server).get("start.span_guess").text == f"{field.input_value()} mm"


def test_a_number_typed_with_another_unit(page, server, follows):
    _type(_field(page, "start.mass_guess"), "0,93 kg")
    follows("first guess of the mass930 g")
    assert _field(page, "start.mass_guess").input_value() == "930"
    assert _kept(page, server).get("start.mass_guess").value == pytest.approx(0.93)


def test_a_choice_by_key_and_by_its_first_letter(page, server, follows):
    choice, cells = _field(page, "start.units"), page.locator(".jp-CodeCell").count()
    choice.focus()
    page.keyboard.press("ArrowDown")
    follows("oz/ft2")
    assert _kept(page, server).get("start.units").value == "imperial"
    choice.focus()
    page.keyboard.press("m")
    page.wait_for_function(f"() => ({SEEN})().text.includes('g/dm2')", timeout=10000)
    assert _kept(page, server).get("start.units").value == "metric"
    assert page.locator(".jp-CodeCell").count() == cells, "JupyterLab took the key for its own and changed a cell"


def test_ctrl_s_saves_the_page_from_a_list(page, server):
    file = server.build / "00_start.ipynb"
    before = file.stat().st_mtime_ns
    _field(page, "start.units").focus()
    page.keyboard.press("Control+s")
    for _ in range(200):
        if file.stat().st_mtime_ns != before:
            break
        page.wait_for_timeout(50)
    else:
        raise AssertionError("the page was not saved within 10 s")


def test_a_line_of_text(page, server, follows):
    _type(_field(page, "start.name"), "Wren & <b>Co</b>")
    follows("Wren & <b>Co</b>, page 00", picture=False)
    assert _kept(page, server).get("start.name").value == "Wren & <b>Co</b>"


def test_a_row_of_a_table_is_changed_added_and_taken_out(page, server, follows):
    _type(_field(page, "start.known-mass-0"), "1,5 kg")
    follows("the heaviest loaded aeroplane you named has 48.4 g/dm2")
    page.locator("button.tk-start-known-add").click()
    for column, text in (("name", "a heavy one"), ("mass", "2100 g"), ("span", "1500 mm"), ("area", "35 dm2")):
        _type(_field(page, f"start.known-{column}-2"), text)
    page.wait_for_function(f"() => ({SEEN})().text.includes('you named has 60.0 g/dm2')", timeout=10000)
    rows = _kept(page, server).rows("start.known")
    assert [row["name"].value for row in rows][-1] == "a heavy one" and rows[0]["mass"].value == pytest.approx(1.5)
    page.locator(".tk-start-known").get_by_role("button", name="take out row 3").click()
    page.wait_for_function(f"() => ({SEEN})().text.includes('you named has 48.4 g/dm2')", timeout=10000)
    assert len(_kept(page, server).rows("start.known")) == 2


def test_a_tick_and_the_box_for_who_flies_knowing_this(page, server, follows):
    tick = page.get_by_role("checkbox", name="failsafe can be set: yes")
    assert tick.is_checked() and not page.get_by_label("why you fly all the same").is_visible()
    tick.focus()
    page.keyboard.press("Space")
    follows("stop · Failsafe and throttle cut", picture=False)
    before = (server.build / "build.toml").read_bytes()
    page.get_by_label("why you fly all the same").fill("the receiver holds closed by itself")
    page.get_by_label("your name").fill("a builder")
    page.get_by_role("button", name="write it down").click()
    record = _written(page, server, before)
    assert record.get("start.has_failsafe").value is False and record.acknowledged("S04")["reason"] == "the receiver holds closed by itself"
    page.wait_for_function(f"() => ({SEEN})().text.includes('Flown knowing this, because the receiver holds closed by itself (a builder,')", timeout=10000)
    before = (server.build / "build.toml").read_bytes()
    page.get_by_role("button", name="take it back").click()
    assert _written(page, server, before).acknowledged("S04") is None
    page.wait_for_function(f"() => !({SEEN})().text.includes('Flown knowing this')", timeout=10000)


def test_the_press_that_keeps_writes_reason_notes_and_numbers(page, server):
    page.get_by_label("your notes on this page; they are kept with it and printed").fill("ask about the grass")
    page.get_by_label("your reason, written into the record").fill("because it fits the car")
    record = _kept(page, server)
    kept = record.kept("start")
    assert kept.reason == "because it fits the car" and record.note("start") == "ask about the grass"
    page.wait_for_function(f"() => ({SEEN})().text.includes('because it fits the car')", timeout=10000)
    assert "kept on" in page.locator(".tk-head").text_content()
    assert kept.results["first guess of the mass"].replace("\u00a0", " ") in page.evaluate(SEEN)["text"]
    assert page.evaluate(lab.CELLS_IN_ERROR) == 0 and not page.query_selector_all(".tk-trouble") and page.outside == []


def test_the_tab_key_reaches_every_control_in_its_order(page):
    wanted = page.evaluate(IN_ORDER)
    assert len(wanted) > 60
    page.evaluate("() => { const first = document.querySelector('[data-place=\"0\"]'); first.focus(); }")
    reached = [page.evaluate(AT)]
    while len(reached) < 3 * len(wanted) and reached[-1] != str(len(wanted) - 1):
        page.keyboard.press("Tab")
        reached.append(page.evaluate(AT))
    assert [place for place in reached if place is not None] == [str(n) for n in range(len(wanted))]


# Contrast of parts that are no text, 3 to 1 at least, and of luminance: WCAG 2.2, success criterion 1.4.11 and the definitions of contrast ratio and relative luminance (from memory).
@pytest.mark.published
@pytest.mark.parametrize("dark", (True, False), ids=("dark", "light"))      # light again for who comes after
def test_the_arrow_of_a_list_is_seen(page, dark):
    from PIL import Image

    lab.look(page, dark=dark)
    chosen = _field(page, "start.launch")
    chosen.scroll_into_view_if_needed()
    page.evaluate(lab.STILL)
    picture = Image.open(io.BytesIO(chosen.screenshot())).convert("RGB")
    wide, high = picture.size
    arrow = picture.crop((wide - 19, 4, wide - 3, high - 4))
    lights = [_luminance(colour) for _, colour in arrow.getcolors(10000)]
    assert (max(lights) + 0.05) / (min(lights) + 0.05) >= 3.0


def _luminance(colour):
    parts = [c / 255 for c in colour]
    return sum(share * (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4) for share, c in zip((0.2126, 0.7152, 0.0722), parts))
