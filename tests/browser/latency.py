"""How fast the pages follow a slider, measured in the browser: `.venv/bin/python -m browser.latency` with tests on the path prints a table.

From the key press to the frame that shows the new picture, for the quick picture of each page, and beside it in the same run the same figure through
ipywidgets.interactive_output and plt.show; then from the last key to the moment nothing waits any more (bands, maps, findings).
"""

import statistics
import sys
import tempfile
import time
from pathlib import Path

import nbformat

from browser import lab

PAGES = (("01_power_layout.ipynb", "power", "power.look_throttle", "TorqueCurves"), ("05_wing.ipynb", "wing", "wing.span", "Speeds"),
         ("06_rudder_and_trim.ipynb", "rudder", "rudder.throw", "ControlSpeed"))
PRESSES = 40
WATCH = """() => {
    window.times = [];
    let pressed = null;
    document.addEventListener('keydown', () => { pressed = performance.now(); }, true);
    new MutationObserver(records => {
        if (pressed === null) return;
        for (const record of records) for (const node of record.addedNodes) {
            const image = node.nodeType === 1 && (node.matches('img') ? node : node.querySelector('img'));
            if (image && pressed !== null) {
                const since = pressed;
                pressed = null;
                image.decode().catch(() => 0).then(() => requestAnimationFrame(() => window.times.push(performance.now() - since)));
            }
        }
    }).observe(document.querySelector('.jp-Notebook'), {childList: true, subtree: true});
}"""
PLAIN = """import tempfile
from pathlib import Path
import ipywidgets, matplotlib.pyplot as plt
from IPython.display import display
from twinkit import folder, quantities
from twinkit.design import Results
from twinkit.drawings import {step}
from twinkit.record import Record
%matplotlib inline

record = Record.read("build.toml")
quantity = quantities.quantity("{path}")
low, high = quantity.usual

def draw(share):
    record.set("{path}", low + share * (high - low))
    drawing = type("Plain", ({step}.{kind},), {{"quick": False}})()
    drawing.figure = plt.figure(figsize=drawing.size, dpi=110)
    drawing.update(Results(record))
    plt.show()

slider = ipywidgets.FloatSlider(value=0.6, min=0, max=1, step=0.01)
display(slider, ipywidgets.interactive_output(draw, {{"share": slider}}))
"""


def pressed(page, handle, presses=PRESSES):
    """Milliseconds from each key press to its picture."""
    handle.scroll_into_view_if_needed()
    handle.focus()
    page.evaluate(WATCH)
    for number in range(presses):
        page.keyboard.press("ArrowLeft" if number % 16 < 8 else "ArrowRight")
        page.wait_for_function("n => window.times.length > n", arg=number, timeout=15000, polling=20)
        time.sleep(0.15)
    return page.evaluate("() => window.times")


def rested(page):
    """Milliseconds until nothing waits any more, the hand being at rest from now on."""
    page.keyboard.press("ArrowLeft")
    began = time.perf_counter()
    page.wait_for_function(lab.LATE, timeout=15000, polling=10)
    page.wait_for_function(f"() => !({lab.LATE})()", timeout=30000, polling=10)
    return 1000.0 * (time.perf_counter() - began)


def said(times):
    """Median and 95th percentile."""
    return f"{statistics.median(times):6.0f} {statistics.quantiles(times, n=20)[-1]:6.0f}"


def measure(pages=PAGES):
    """Print the table."""
    print("ms, median and p95 of each    page         interactive_output   p95 ratio   at rest after")
    for name, step, path, kind in pages:
        with tempfile.TemporaryDirectory() as place, lab.lab(Path(place)) as server, lab.chromium() as browser:
            page = lab.opened(browser, server, name)
            lab.run(page)
            ours = pressed(page, page.locator(f".tk-{path.replace('.', '-')}-slider .noUi-handle"))
            rest = [rested(page) for _ in range(5)]
            page.close()
            notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(PLAIN.format(step=step, path=path, kind=kind))],
                                                metadata={"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}})
            nbformat.write(notebook, Path(place) / "build" / "plain.ipynb")
            page = lab.opened(browser, server, "plain.ipynb")
            page.evaluate("() => window.jupyterapp.commands.execute('runmenu:run-all')")
            page.wait_for_function(lab.CELLS_DONE, timeout=60000, polling=200)
            page.wait_for_selector(".jp-OutputArea-output img", timeout=60000)
            plain = pressed(page, page.locator(".noUi-handle").first)
            p95 = [statistics.quantiles(t, n=20)[-1] for t in (ours, plain)]
            print(f"{name:28} {said(ours)}   {said(plain)}        {p95[1] / p95[0]:6.1f}      {max(rest):6.0f}", flush=True)


if __name__ == "__main__":
    measure([p for p in PAGES if not sys.argv[1:] or p[0][:2] in sys.argv[1:]])
