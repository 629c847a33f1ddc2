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
CONTROLS = ".jp-OutputArea-output :is(input, select, textarea, button, [role=slider], summary)"
CELLS_IN_ERROR = """() => [...window.jupyterapp.shell.currentWidget.content.model.cells].filter(c => c.type === 'code')
    .flatMap(c => [...Array(c.outputs.length).keys()].map(i => c.outputs.get(i).type)).filter(type => type === 'error').length"""
# Neither size nor scroll of a page moved for ten frames.
LATE = "() => [...document.querySelectorAll('.tk-late')].some(e => getComputedStyle(e, '::before').content.includes('values before'))"      # whether an output waits for the hand to rest
STILL = """() => new Promise(done => {
    let before = '', same = 0;
    const look = () => {
        const now = [...document.querySelectorAll('.jp-WindowedPanel-outer, .jp-OutputArea-output')].map(e => [e.scrollWidth, e.scrollHeight, e.scrollTop]).join();
        same = now === before ? same + 1 : 0;
        before = now;
        same < 10 ? requestAnimationFrame(look) : done(true);
    };
    look();
})"""
# Nothing of what a page has the browser do at its end is left in it.
FINISHED = """() => ![...window.jupyterapp.shell.currentWidget.content.model.cells].filter(c => c.type === 'code')
    .some(c => c.outputs.toJSON().some(o => 'application/javascript' in (o.data ?? {})))"""
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
def lab(place, build=None, elsewhere=False):
    """A JupyterLab on a build folder (a new one of the demo aeroplane) with its settings below place; gives the Server.

    elsewhere: as on the machine of somebody else, who trusts no page of ours and has no kernel to run it.
    """
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
    more = []
    if elsewhere:
        env |= {"HOME": str(place), "JUPYTER_DATA_DIR": str(place / "data")}
        more = ["--KernelSpecManager.allowed_kernelspecs=none", "--KernelSpecManager.ensure_native_kernel=False"]
    address = f"http://127.0.0.1:{port}"
    with open(place / "lab.log", "w") as log:
        server = subprocess.Popen([sys.executable, "-m", "jupyterlab", "--no-browser", "--ip=127.0.0.1", f"--port={port}", "--ServerApp.port_retries=0",
                                   f"--IdentityProvider.token={token}", f"--ServerApp.root_dir={build}", "--LabApp.expose_app_in_browser=True", "--allow-root", *more],
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
            try:
                server.wait(1 if elsewhere else 20)
            except subprocess.TimeoutExpired:       # it waits for a kernel that never came
                server.kill()
                server.wait()


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


def shown(context, server, name):
    """A page of the build in a new tab, as it lies there; outside lists what it asks of other machines."""
    page = context.new_page()
    page.outside = []
    page.on("request", lambda r: page.outside.append(r.url) if re.match(r"(https?|wss?)://(?!127\.0\.0\.1)", r.url) else None)
    page.goto(f"{server.address}/doc/tree/{name}?token={server.token}&reset", wait_until="domcontentloaded")
    page.wait_for_selector(".jp-NotebookPanel .jp-Cell", timeout=60000)
    return page


def opened(browser, server, name, width=1200, height=1400):
    """A page of the build, opened and ready for its first press."""
    page = shown(browser.new_context(viewport={"width": width, "height": height}), server, name)
    ready(page, server, name)
    return page


def ready(page, server, name):
    """Wait until its kernel waits for work."""
    page.wait_for_selector('.jp-Notebook-ExecutionIndicator[data-status="idle"]', timeout=60000)
    for _ in range(300):
        if any(s["path"] == name and s["kernel"]["execution_state"] == "idle" and s["kernel"]["connections"] for s in server.sessions()):
            return
        time.sleep(0.1)
    raise RuntimeError(f"the kernel of {name} was not ready within 30 s")


def end_sessions(server):
    """Stop all kernels, so that the next page starts from nothing."""
    for session in server.sessions():
        request = urllib.request.Request(f"{server.address}/api/sessions/{session['id']}?token={server.token}", method="DELETE")
        urllib.request.urlopen(request, timeout=20).close()


def save(page):
    """Store the page as the menu does, once it is finished: what it takes away after that would be a change that nobody stores."""
    page.wait_for_function(FINISHED, timeout=30000, polling=50)
    page.evaluate("() => window.jupyterapp.commands.execute('docmanager:save')")
    page.wait_for_function("() => !window.jupyterapp.shell.currentWidget.context.model.dirty", timeout=15000)


def run(page):
    """Make the press a builder makes and wait until every code cell has run; a page we laid is trusted and asks nothing."""
    page.click(PRESS)
    page.wait_for_function(CELLS_DONE, timeout=180000, polling=200)
    page.evaluate(STILL)


def look(page, dark=None, width=None, letters=None):
    """Change to the dark or the light look, to another width or to letters of another family, and wait until the page stands still."""
    if dark is not None:
        page.evaluate("theme => window.jupyterapp.commands.execute('apputils:change-theme', {theme})", "JupyterLab Dark" if dark else "JupyterLab Light")
        page.wait_for_function("light => document.body.dataset.jpThemeLight === light", arg="false" if dark else "true", timeout=15000)
    if width is not None:
        page.set_viewport_size({"width": width, "height": 1400})
    if letters is not None:
        page.evaluate("""letters => { for (const use of ['ui', 'content']) document.documentElement.style.setProperty(`--jp-${use}-font-family`, `'${letters}', sans-serif`); }""", letters)
    page.evaluate(STILL)
