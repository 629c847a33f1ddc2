"""JupyterLab on this machine only, on the first page of a build."""

import os
import secrets
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

from twinkit import bootstrap, folder

START_SECONDS = 60.0
POLL_SECONDS = 0.1
_DIRECT = urllib.request.build_opener(urllib.request.ProxyHandler({}))
WORKSPACE = "twinkit"  # JupyterLab remembers open tabs here, apart from the reader's other work


def run(place, browser=True, projector=False):
    """Run JupyterLab on a build's folder until it is stopped; its exit status. projector: the page alone, in large type, for a wall."""
    port, token = free_port(), secrets.token_hex(24)
    page = folder.start_page(place)
    path = f"doc/workspaces/{WORKSPACE}/tree/{page}" if page and projector else f"lab/workspaces/{WORKSPACE}/tree/{page}" if page else "lab"
    address = f"http://127.0.0.1:{port}/{path}?reset&token={token}"
    with tempfile.TemporaryDirectory(prefix="twinkit-lab-", ignore_cleanup_errors=True) as desk, tempfile.TemporaryFile() as words:
        # From an empty desk: nothing that lies where it is started, which may be a stranger's folder, is taken for a module or a setting.
        server = subprocess.Popen(command(place, port), env=environment(token, projector), stdin=subprocess.DEVNULL, stdout=words, stderr=words, cwd=desk)
        try:
            if not answers(server, f"http://127.0.0.1:{port}/api"):
                server.kill()
                raise bootstrap.Trouble(f"JupyterLab did not start ({last_words(words)}): close other programs and start again.")
            if not keeps_out(f"http://127.0.0.1:{port}/api/contents"):
                server.kill()
                raise bootstrap.Trouble("JupyterLab let a caller in without its token and was stopped: a setting of Jupyter on this machine switches the token off "
                                        "('jupyter --paths' shows where such settings lie); take it out, then start again.")
            print(f"JupyterLab is running; stop it with Ctrl-C here.\nIts address: {address}", flush=True)
            if browser:
                show(address)
            if server.wait():
                raise bootstrap.Trouble(f"JupyterLab stopped by itself ({last_words(words)}): start it again, your build is as you last saved it.")
        except KeyboardInterrupt:
            server.terminate()
            server.wait()
    print("JupyterLab was stopped; your build is as you last saved it.")
    return 0


def last_words(file):
    """The last line a program wrote."""
    file.seek(0)
    lines = file.read().decode("utf-8", errors="replace").strip().splitlines()
    return lines[-1].strip().rstrip(".") if lines else "without a word"


def command(place, port):
    """How JupyterLab is started: on this machine only, quiet, without a port of its own choice."""
    words = [sys.executable, "-m", "jupyterlab", "--no-browser", "--ServerApp.ip=127.0.0.1", f"--ServerApp.port={port}", "--ServerApp.port_retries=0",
             f"--ServerApp.root_dir={place}", "--ServerApp.answer_yes=True", "--LabApp.extension_manager=readonly", "--log-level=ERROR"]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        words.append("--ServerApp.allow_root=True")
    return words


def environment(token, projector=False):
    """What JupyterLab and the pages' kernels are given: the token, kept off the list of processes, the way to this twinkit, and that they stand on a wall.

    A kernel takes no module from the folder of its page (PYTHONSAFEPATH): the pages are ours and signed, what else lies in a stranger's folder is not.
    """
    root = str(Path(__file__).resolve().parent.parent)
    path = os.pathsep.join(part for part in (root, os.environ.get("PYTHONPATH")) if part)
    return {**os.environ, "JUPYTER_TOKEN": token, "PYTHONPATH": path, "PYTHONSAFEPATH": "1", **({"TWINKIT_PROJECTOR": "1"} if projector else {})}


def free_port():
    """A port nobody listens on now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def answers(server, address):
    """Wait until the server answers; False when it ended or took too long."""
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until and server.poll() is None:
        try:
            _DIRECT.open(address, timeout=2).close()
            return True
        except urllib.error.HTTPError:
            return True
        except OSError:
            time.sleep(POLL_SECONDS)
    return False


def keeps_out(address):
    """Whether the server refuses who does not bring the token."""
    try:
        _DIRECT.open(address, timeout=10).close()
    except urllib.error.HTTPError as refusal:
        return refusal.code in (401, 403)
    except OSError:
        return True
    return False


def show(address):
    """Open the address in the reader's browser."""
    import webbrowser

    if not webbrowser.open(address):
        print("No browser was found: open the address above in one.")
