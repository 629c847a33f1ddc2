"""From a machine that has only Python to a running twinkit: makes .venv in the checkout, installs into it and goes on inside it.

Standard library only, and no syntax that an old Python cannot read: an old Python must get as far as being told that it is too old.
"""

import hashlib
import os
import re
import shutil
import subprocess
import sys

OLDEST = (3, 11)
NEEDED = ("jupyterlab", "ipywidgets", "numpy", "pandas", "pint", "matplotlib", "scipy", "tomlkit", "latex2mathml", "nbclient", "nbformat", "mistune", "ezdxf")
NEEDED_TO_TEST = ("pytest", "nbval", "hypothesis", "pytest_benchmark", "playwright", "pypdf")
PINS = ".tested-versions.txt"
BEGUN = "twinkit-begun"  # in .venv, written first: this .venv is ours
READY = "twinkit-ready"  # in .venv, written last: holds what the .venv was made from
INSIDE = "TWINKIT_INSIDE"  # set for the command that goes on inside .venv
NOT_READY = 3  # exit status when the machine could not be made ready

_NETWORK = re.compile(r"NewConnectionError|NameResolutionError|ConnectTimeoutError|ReadTimeoutError|ProxyError|SSLError|Connection refused|"
                      r"Temporary failure in name resolution|getaddrinfo failed|Network is unreachable|Could not fetch URL|Connection broken")


class Trouble(Exception):
    """The machine cannot be made ready; its text is one sentence for the reader."""


def main(argv=None):
    """The command line, once this Python is known to be new enough."""
    if sys.version_info[:2] < OLDEST:
        say(too_old(sys.version_info))
        return NOT_READY
    from twinkit import cli

    return cli.main(argv)


def too_old(version):
    """What an old Python is told."""
    return ("This is Python %d.%d and twinkit needs %d.%d or newer: install a newer one from python.org or your system's packages, "
            "then start this command with it." % (version[0], version[1], OLDEST[0], OLDEST[1]))


def say(text):
    """A line for the reader, beside the results."""
    sys.stderr.write(text + "\n")
    sys.stderr.flush()


def go_on(argv, testing=False):
    """None when this Python has all it needs; otherwise the exit status of the same command run inside .venv."""
    names = NEEDED + NEEDED_TO_TEST if testing else NEEDED
    missing = lacking(names)
    if not missing:
        return None
    root = checkout()
    if root is None or os.environ.get(INSIDE):
        raise Trouble("This Python lacks %s: install twinkit again with '%s -m pip install --force-reinstall \"twinkit%s\"'."
                      % (", ".join(missing), os.path.basename(sys.executable), "[test]" if testing else ""))
    python = make_ready(root, NEEDED + NEEDED_TO_TEST)
    path = os.pathsep.join(part for part in (root, os.environ.get("PYTHONPATH")) if part)
    environment = dict(os.environ, PYTHONPATH=path, **{INSIDE: "1"})
    return _replace([python, "-m", "twinkit"] + list(argv), environment)


def lacking(names):
    """Those packages that this Python does not have."""
    from importlib.util import find_spec

    return [name for name in names if find_spec(name) is None]


def checkout():
    """The folder of the checkout this package runs from; None when it is installed."""
    root = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    return root if os.path.isfile(os.path.join(root, "pyproject.toml")) and os.path.isfile(os.path.join(root, PINS)) else None


def make_ready(root, names):
    """The Python of a complete .venv in the checkout, made or mended when it is not complete."""
    folder = os.path.join(root, ".venv")
    python = os.path.join(folder, "Scripts", "python.exe") if os.name == "nt" else os.path.join(folder, "bin", "python")
    ready, wanted = os.path.join(folder, READY), stamp(root)
    before = _read(ready)
    works = before is not None and _has(python, names)
    if works and before == wanted:
        return python
    if lacking(("venv", "ensurepip")):
        raise Trouble("This Python lacks its venv module: on Debian or Ubuntu install it with 'sudo apt install python3-venv', "
                      "elsewhere install Python from python.org, then start again.")
    try:
        if works:
            say("twinkit has changed since it was made ready here: bringing .venv up to date.")
            os.replace(ready, ready + ".before")
        else:
            _make_venv(folder, python)
        _install(python, root)
        with open(ready, "w") as file:
            file.write(wanted)
    except Trouble as trouble:
        if not works or not _has(python, names):
            raise
        os.replace(ready + ".before", ready)
        say("%s Going on with what was here before." % trouble)
    except OSError as error:
        raise Trouble(unwritable(root, error))
    except KeyboardInterrupt:
        raise Trouble("Stopped before twinkit was ready: start the same command again, it mends what was begun.")
    return python


def stamp(root):
    """What a .venv is made from: the list of dependencies, the tested versions, the place and the Python."""
    digest = hashlib.sha256()
    for name in ("pyproject.toml", PINS):
        with open(os.path.join(root, name), "rb") as file:
            digest.update(file.read())
    return "%s\n%s\n%d.%d\n" % (digest.hexdigest(), root, sys.version_info[0], sys.version_info[1])


def unwritable(root, error):
    """What a folder that cannot be written to is told as."""
    import errno

    if error.errno == errno.ENOSPC:
        return no_space()
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return "twinkit cannot write into %s: copy the whole folder to a place of your own and start it there." % root
    return "twinkit could not be made ready in %s: %s." % (root, error.strerror or error)


def no_space():
    """What a full disk is told as."""
    return "The disk is full: twinkit needs about 1 GB free, make room and start again."


def _make_venv(folder, python):
    """An empty virtual environment; one that was begun here is made again, one of the reader's own is kept and filled."""
    begun = os.path.join(folder, BEGUN)
    if not os.path.lexists(folder):
        say("Making twinkit ready in %s: this happens once, fetches about 190 MB and takes a few minutes." % folder)
    elif os.path.isdir(folder) and not os.path.exists(begun) and _has(python, ("pip",)):
        say("There is a .venv in %s that lacks what twinkit needs: installing into it." % os.path.dirname(folder))
        return
    elif os.path.realpath(sys.prefix) == os.path.realpath(folder):
        raise Trouble("This is the Python of a .venv that is not complete: start the command with your system's Python, which mends it.")
    else:
        say("The .venv in %s is not complete: making it again, which takes a few minutes." % os.path.dirname(folder))
        shutil.rmtree(folder) if os.path.isdir(folder) and not os.path.islink(folder) else os.remove(folder)
    os.mkdir(folder)
    with open(begun, "w") as file:
        file.write("made by twinkit\n")
    made = subprocess.run([sys.executable, "-m", "venv", folder], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, universal_newlines=True)
    if made.returncode or not os.path.exists(python):
        raise Trouble(no_space() if "No space left" in made.stdout else
                      "Python could not make a virtual environment in %s: %s." % (folder, _last_line(made.stdout)))


def _install(python, root):
    """Install the checkout and what it needs into .venv, with the tested versions where they fit this Python."""
    from pathlib import Path

    pins = Path(root, PINS).as_uri()  # pip splits these settings at spaces, which an address has none of
    tested = {"PIP_CONSTRAINT": pins, "PIP_BUILD_CONSTRAINT": pins, "PIP_ONLY_BINARY": ":all:"}
    status, log = _pip(python, root, tested)
    if status and not _NETWORK.search(log) and "No space left" not in log and ("No matching distribution" in log or "ResolutionImpossible" in log):
        say("The tested versions do not fit Python %d.%d: taking the newest ones." % sys.version_info[:2])
        status, log = _pip(python, root, {"PIP_PREFER_BINARY": "1"})
    if not status:
        return
    if "No space left" in log:
        raise Trouble(no_space())
    if _NETWORK.search(log):
        raise Trouble("No network: the first start has to fetch what twinkit needs, so connect and start again; later starts need no network.")
    raise Trouble("What twinkit needs could not be installed (%s): all of pip's words are in %s." % (_last_line(log), os.path.join(root, ".venv", "install.log")))


def _pip(python, root, settings):
    """Run pip, showing how far it is; its exit status and its words."""
    command = [python, "-m", "pip", "install", "--disable-pip-version-check", "--no-input", "--progress-bar", "off", "--retries", "2",
               "--timeout", "20", "--editable", root + "[test]"]
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    environment.update(settings, PYTHONUNBUFFERED="1")
    words, found = [], 0
    pip = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, universal_newlines=True, errors="replace", env=environment)
    with open(os.path.join(root, ".venv", "install.log"), "w", encoding="utf-8") as log:
        try:
            for line in pip.stdout:
                log.write(line)
                words.append(line)
                if line.startswith("Collecting "):
                    found += 1
                    _progress("fetching package %d: %s" % (found, re.split(r"[\s<>=!~;\[]", line[11:])[0]), found % 20 == 0)
                elif line.startswith("Installing collected packages"):
                    _progress("putting %d packages in place, this takes a minute" % (line.count(",") + 1), True)
        except BaseException:
            pip.terminate()
            pip.wait()
            raise
    status = pip.wait()
    if sys.stderr.isatty():
        say("")
    return status, "".join(words)


def _progress(text, milestone):
    """One line that moves on a terminal; a line now and then elsewhere."""
    if sys.stderr.isatty():
        sys.stderr.write("\r  %-70s" % text[:70])
        sys.stderr.flush()
    elif milestone:
        say("  " + text)


def _has(python, names):
    """Whether this other Python starts and has these packages."""
    probe = "import sys; from importlib.util import find_spec; sys.exit(any(find_spec(n) is None for n in sys.argv[1:]))"
    try:
        return subprocess.run([python, "-c", probe] + list(names), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL).returncode == 0
    except OSError:
        return False


def _replace(command, environment):
    """Go on as another program; its exit status where the system cannot replace a program."""
    sys.stdout.flush()
    sys.stderr.flush()
    if os.name == "posix":
        os.execve(command[0], command, environment)
    child = subprocess.Popen(command, env=environment)
    while True:
        try:
            return child.wait()
        except KeyboardInterrupt:  # the child got it too and ends by itself
            pass


def _read(path):
    try:
        with open(path) as file:
            return file.read()
    except OSError:
        return None


def _last_line(text):
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    errors = [line for line in lines if line.startswith("ERROR")]
    return (errors or lines or ["no words"])[-1].replace("ERROR: ", "").rstrip(".")
