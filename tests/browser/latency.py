"""How fast the pages follow a slider, measured in the browser: `.venv/bin/python -m browser.latency` with tests on the path prints a table; page numbers choose.

From the key press to the frame that shows the new picture (or the new table, where no picture of a page follows at once). Beside it in the same run: the
same figure through ipywidgets.interactive_output and plt.show, and the way alone, two pictures of it drawn beforehand that change places. Then from the
last key to the moment nothing waits any more (bands, maps, findings): the longest of five.
"""

import statistics
import sys
import tempfile
import time
from pathlib import Path

import nbformat

from browser import lab

# Page, its step, the slider, and the picture that follows it at once; a page without one has a table that does, or only what waits for the hand to rest.
PAGES = (("00_start.ipynb", "start", "start.mass_guess", None), ("01_power_layout.ipynb", "power", "power.look_throttle", "TorqueCurves"),
         ("02_regulator_and_receiver.ipynb", "wiring", "wiring.servo_average", None), ("03_lead_lengths.ipynb", "leads", "leads.slack", None),
         ("04_pack_and_weight.ipynb", "weight", "weight.left.pack_behind", None), ("05_wing.ipynb", "wing", "wing.span", "Speeds"),
         ("06_rudder_and_trim.ipynb", "rudder", "rudder.throw", "ControlSpeed"), ("07_bench_and_first_flight.ipynb", "bench", "bench.left.end_point", None))
QUICK_TABLES = ("start", "wiring")
PRESSES = 60
WATCH = """wanted => {
    window.times = [];
    let pressed = null;
    document.addEventListener('keydown', () => { pressed = performance.now(); }, true);
    new MutationObserver(records => {
        for (const record of records) for (const node of record.addedNodes) {
            const found = pressed !== null && node.nodeType === 1 && (node.matches(wanted) ? node : node.querySelector(wanted));
            if (!found) continue;
            const since = pressed;
            pressed = null;
            (found.decode?.() ?? Promise.resolve()).catch(() => 0).then(() => requestAnimationFrame(() => window.times.push(performance.now() - since)));
        }
    }).observe(document.querySelector('.jp-Notebook'), {childList: true, subtree: true});
}"""
FIGURE = """import ipywidgets
from IPython.display import display
from twinkit import folder, quantities
from twinkit.design import Results
from twinkit.drawings import {step}
from twinkit.record import Record

record = Record.read("build.toml")
quantity = quantities.quantity("{path}")
low, high = quantity.usual
slider = ipywidgets.FloatSlider(value=0.6, min=0, max=1, step=0.01)

def results(share):
    record.set("{path}", low + share * (high - low))
    return Results(record)
"""
PLAIN = FIGURE + """import matplotlib.pyplot as plt
%matplotlib inline

def draw(share):
    drawing = type("Plain", ({step}.{kind},), {{"quick": False}})()
    drawing.figure = plt.figure(figsize=drawing.size, dpi=110)
    drawing.update(results(share))
    plt.show()

display(slider, ipywidgets.interactive_output(draw, {{"share": slider}}))
"""
WAY = FIGURE + """import base64
from itertools import cycle

drawing = {step}.{kind}()
pictures = []
for share in (0.6, 0.7):
    drawing.update(results(share))
    pictures.append({{"image/png": base64.b64encode(drawing.png()).decode()}})
pictures = cycle(pictures)
handle = display(next(pictures), raw=True, display_id=True)
slider.observe(lambda change: handle.update(next(pictures), raw=True), "value")
display(slider)
"""


def pressed(page, handle, wanted="img"):
    """Milliseconds from each key press to what it changes."""
    handle.scroll_into_view_if_needed()
    handle.focus()
    page.evaluate(WATCH, wanted)
    for number in range(PRESSES):
        page.keyboard.press("ArrowLeft" if number % 16 < 8 else "ArrowRight")
        page.wait_for_function("n => window.times.length > n", arg=number, timeout=15000, polling=20)
        time.sleep(0.15)
    return page.evaluate("() => window.times")


def rested(page, handle):
    """Milliseconds until nothing waits any more, the hand being at rest from now on."""
    handle.focus()
    page.keyboard.press("ArrowLeft")
    began = time.perf_counter()
    page.wait_for_function(lab.LATE, timeout=15000, polling=10)
    page.wait_for_function(f"() => !({lab.LATE})()", timeout=30000, polling=10)
    return 1000.0 * (time.perf_counter() - began)


def elsewhere(browser, server, code):
    """The same presses on a page of one cell."""
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(code)], metadata={"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}})
    nbformat.write(notebook, server.build / "plain.ipynb")
    page = lab.opened(browser, server, "plain.ipynb")
    page.evaluate("() => window.jupyterapp.commands.execute('runmenu:run-all')")
    page.wait_for_function(lab.CELLS_DONE, timeout=60000, polling=200)
    page.wait_for_selector(".jp-OutputArea-output img", timeout=60000)
    times = pressed(page, page.locator(".noUi-handle").first)
    page.close()
    lab.end_sessions(server)
    return times


def p95(times):
    """The 95th percentile."""
    return statistics.quantiles(times, n=20)[-1]


def said(times):
    """Median and 95th percentile."""
    return f"{statistics.median(times):4.0f} /{p95(times):4.0f}" if times else f"{'-':>10}"


def measure(pages=PAGES):
    """Print the table."""
    print(f"{'ms, median / p95':32}   follows       interactive_output   p95 ratio   the way alone   at rest after")
    for name, step, path, kind in pages:
        with tempfile.TemporaryDirectory() as place, lab.lab(Path(place)) as server, lab.chromium() as browser:
            page = lab.opened(browser, server, name)
            lab.run(page)
            handle = page.locator(f".tk-{path.replace('.', '-')}-slider .noUi-handle")
            ours = pressed(page, handle, "img" if kind else ".tk-table") if kind or step in QUICK_TABLES else []
            rest = max(rested(page, handle) for _ in range(5))
            page.close()
            lab.end_sessions(server)
            words = {"step": step, "path": path, "kind": kind}
            plain, way = (elsewhere(browser, server, code.format(**words)) for code in (PLAIN, WAY)) if kind else ([], [])
            ratio = f"{p95(plain) / p95(ours):4.1f}" if kind else "   -"
            print(f"{name:32} {said(ours)} {'picture' if kind else 'table  ' if ours else '       '}   {said(plain)}         {ratio}        {said(way)}        {rest:5.0f}", flush=True)


if __name__ == "__main__":
    measure([p for p in PAGES if not sys.argv[1:] or p[0][:2] in sys.argv[1:]])
