"""Page 01 in the real JupyterLab in Chromium: it opens, runs, a slider moves, the table's text and the picture follow."""

import hashlib
import json
import os
import re
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
REQUIRED = os.environ.get("TWINKIT_REQUIRE_BROWSER") == "1"
TOP = Path(__file__).resolve().parents[2]
PAGE = "01_power_layout.ipynb"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"]

pytestmark = pytest.mark.browser


def _get(address):
    with urllib.request.urlopen(address, timeout=10) as answer:
        return json.load(answer)


@pytest.fixture
def lab(tmp_path):
    """A JupyterLab on a new build folder; gives (address, token)."""
    from twinkit import folder

    build = tmp_path / "build"
    folder.make(build, "demo")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    token = secrets.token_hex(8)
    env = dict(os.environ, JUPYTER_CONFIG_DIR=str(tmp_path / "config"), JUPYTER_RUNTIME_DIR=str(tmp_path / "runtime"), IPYTHONDIR=str(tmp_path / "ipython"),
               PYTHONPATH=os.pathsep.join([str(TOP), os.environ.get("PYTHONPATH", "")]), TWINKIT_STRICT="1")
    log = open(tmp_path / "lab.log", "w")
    server = subprocess.Popen([sys.executable, "-m", "jupyterlab", "--no-browser", "--ip=127.0.0.1", f"--port={port}", "--ServerApp.port_retries=0",
                               f"--IdentityProvider.token={token}", f"--ServerApp.root_dir={build}", "--LabApp.expose_app_in_browser=True", "--allow-root"],
                              env=env, stdout=log, stderr=log)
    address = f"http://127.0.0.1:{port}"
    try:
        for _ in range(120):
            try:
                _get(f"{address}/api/status?token={token}")
                break
            except OSError:
                time.sleep(0.5)
        else:
            pytest.fail("JupyterLab did not start:\n" + (tmp_path / "lab.log").read_text()[-2000:])
        yield address, token
    finally:
        server.terminate()
        server.wait(20)
        log.close()


def _cells_done(page):
    """Wait until every code cell has run, read from the application's own model."""
    page.wait_for_function("""() => {
        const cells = [...window.jupyterapp.shell.currentWidget.content.model.cells].filter(c => c.type === 'code' && c.sharedModel.getSource().trim());
        return cells.length && cells.every(c => c.executionCount !== null && (!c.executionState || c.executionState === 'idle'));
    }""", timeout=180000, polling=200)


def _pictures(page):
    return [hashlib.sha256(src.encode()).hexdigest() for src in
            page.eval_on_selector_all(".jp-OutputArea-output img[src^='data:image/png']", "images => images.map(i => i.src)")]


def _thrust_texts(page):
    return page.eval_on_selector_all("table.tk-table", "tables => tables.map(t => t.innerText)")


def test_page_01_follows_a_slider(lab):
    if CHROMIUM is None:
        if REQUIRED:
            pytest.fail("no Chromium was found and this run demands the browser test")
        pytest.skip("no Chromium on this machine: install Debian's package chromium to run the browser test")
    from playwright.sync_api import sync_playwright

    address, token = lab
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_context(viewport={"width": 1200, "height": 1400}).new_page()
        outside = []
        page.on("request", lambda r: outside.append(r.url) if re.match(r"https?://(?!127\.0\.0\.1)", r.url) else None)
        page.goto(f"{address}/doc/tree/{PAGE}?token={token}&reset", wait_until="domcontentloaded")
        page.wait_for_selector(".jp-NotebookPanel .jp-Cell", timeout=60000)
        page.wait_for_selector('.jp-Notebook-ExecutionIndicator[data-status="idle"]', timeout=60000)
        for _ in range(300):
            if any(s["path"] == PAGE and s["kernel"]["execution_state"] == "idle" for s in _get(f"{address}/api/sessions?token={token}")):
                break
            time.sleep(0.1)
        page.click("button[data-commandlinker-command]")  # the press a builder makes; a page we laid is trusted and asks nothing
        _cells_done(page)
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
        assert outside == [], "a request left the machine"
        browser.close()
