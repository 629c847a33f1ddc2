"""A real JupyterLab on a new build folder, and a page of it in Chromium."""

import contextlib
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
from dataclasses import dataclass
from pathlib import Path

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
TOP = Path(__file__).resolve().parents[2]
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"]
PRESS = "button[data-commandlinker-command]"      # what a builder presses at the head of a page
CELLS_IN_ERROR = """() => [...window.jupyterapp.shell.currentWidget.content.model.cells].filter(c => c.type === 'code')
    .flatMap(c => [...Array(c.outputs.length).keys()].map(i => c.outputs.get(i).type)).filter(type => type === 'error').length"""
CELLS_DONE = """() => {
    const cells = [...window.jupyterapp.shell.currentWidget.content.model.cells].filter(c => c.type === 'code' && c.sharedModel.getSource().trim());
    return cells.length && cells.every(c => c.executionCount !== null && (!c.executionState || c.executionState === 'idle'));
}"""


@dataclass(frozen=True)
class Server:
    """A JupyterLab that runs: where it answers, the token it asks for, the build folder it serves."""

    address: str
    token: str
    build: Path

    def sessions(self):
        """Its open sessions, a page with its kernel each."""
        return get(f"{self.address}/api/sessions?token={self.token}")


def get(address):
    """What a GET of this address answers, read as JSON."""
    with urllib.request.urlopen(address, timeout=10) as answer:
        return json.load(answer)


@contextlib.contextmanager
def lab(place, build=None):
    """A JupyterLab on a build folder (a new one of the demo aeroplane) with its settings below place; gives the Server."""
    from twinkit import folder

    if build is None:
        build = place / "build"
        folder.make(build, "demo")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    token = secrets.token_hex(8)
    env = dict(os.environ, JUPYTER_CONFIG_DIR=str(place / "config"), JUPYTER_RUNTIME_DIR=str(place / "runtime"), IPYTHONDIR=str(place / "ipython"),
               PYTHONPATH=os.pathsep.join([str(TOP), os.environ.get("PYTHONPATH", "")]), TWINKIT_STRICT="1")
    address = f"http://127.0.0.1:{port}"
    with open(place / "lab.log", "w") as log:
        server = subprocess.Popen([sys.executable, "-m", "jupyterlab", "--no-browser", "--ip=127.0.0.1", f"--port={port}", "--ServerApp.port_retries=0",
                                   f"--IdentityProvider.token={token}", f"--ServerApp.root_dir={build}", "--LabApp.expose_app_in_browser=True", "--allow-root"],
                                  env=env, stdout=log, stderr=log)
        try:
            for _ in range(120):
                try:
                    get(f"{address}/api/status?token={token}")
                    break
                except OSError:
                    time.sleep(0.5)
            else:
                raise RuntimeError("JupyterLab did not start:\n" + (place / "lab.log").read_text()[-2000:])
            yield Server(address, token, Path(build))
        finally:
            server.terminate()
            server.wait(20)


@contextlib.contextmanager
def chromium():
    """A Chromium without a screen."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        try:
            yield browser
        finally:
            browser.close()


def opened(browser, server, name, width=1200, height=1400):
    """A page of the build, opened and ready for its first press; outside lists what it asks of other machines."""
    page = browser.new_context(viewport={"width": width, "height": height}).new_page()
    page.outside = []
    page.on("request", lambda r: page.outside.append(r.url) if re.match(r"https?://(?!127\.0\.0\.1)", r.url) else None)
    page.goto(f"{server.address}/doc/tree/{name}?token={server.token}&reset", wait_until="domcontentloaded")
    page.wait_for_selector(".jp-NotebookPanel .jp-Cell", timeout=60000)
    page.wait_for_selector('.jp-Notebook-ExecutionIndicator[data-status="idle"]', timeout=60000)
    for _ in range(300):
        if any(s["path"] == name and s["kernel"]["execution_state"] == "idle" and s["kernel"]["connections"] for s in server.sessions()):
            return page
        time.sleep(0.1)
    raise RuntimeError(f"the kernel of {name} was not ready within 30 s")


def end_sessions(server):
    """Stop all kernels, so that the next page starts from nothing."""
    for session in server.sessions():
        request = urllib.request.Request(f"{server.address}/api/sessions/{session['id']}?token={server.token}", method="DELETE")
        urllib.request.urlopen(request, timeout=20).close()


def run(page):
    """Make the press a builder makes and wait until every code cell has run; a page we laid is trusted and asks nothing."""
    page.click(PRESS)
    page.wait_for_function(CELLS_DONE, timeout=180000, polling=200)
