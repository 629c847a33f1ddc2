"""Getting ready: every trouble a machine can have is told in one sentence, and what is half made is mended.

pip and venv are played here by small programs; the real ones are tried on a clean checkout by .ci/run.
"""

import ast
import errno
import os
import sys
from pathlib import Path

import pytest

from twinkit import bootstrap

PACKAGE = Path(bootstrap.__file__).parent
NAMES = ("numpy",)


@pytest.fixture
def root(tmp_path, monkeypatch):
    """A checkout with a space in its name, and a venv module that makes a Python which pretends to be complete."""
    place = tmp_path / "the checkout"
    place.mkdir()
    (place / "pyproject.toml").write_text("[project]\n")
    (place / bootstrap.PINS).write_text("numpy==2.0.0\n")
    monkeypatch.setattr(bootstrap, "_has", lambda python, names: Path(python).is_file() and "complete" in Path(python).read_text())
    monkeypatch.delenv(bootstrap.INSIDE, raising=False)
    return place


@pytest.fixture
def played(root, monkeypatch):
    """Plays venv and pip; gives the list of what was run. pip answers with the (status, words) in answers, else it succeeds."""
    python, ran, answers = root / ".venv/bin/python", [], []
    monkeypatch.setattr(bootstrap.os, "name", "posix")

    def venv(command, **keywords):
        ran.append("venv")
        python.parent.mkdir()
        python.write_text("empty")
        return bootstrap.subprocess.CompletedProcess(command, 0, "")

    def pip(python_, root_, settings):
        ran.append("pip, tested" if "PIP_CONSTRAINT" in settings else "pip, newest")
        status, words = answers.pop(0) if answers else (0, "")
        if not status:
            python.write_text("complete")
        return status, words

    monkeypatch.setattr(bootstrap.subprocess, "run", venv)
    monkeypatch.setattr(bootstrap, "_pip", pip)
    return ran, answers


def trouble(root):
    with pytest.raises(bootstrap.Trouble) as told:
        bootstrap.make_ready(str(root), NAMES)
    return str(told.value)


def test_a_first_start_makes_a_venv_and_a_second_one_runs_nothing(root, played, capsys):
    ran, _ = played
    assert bootstrap.make_ready(str(root), NAMES) == str(root / ".venv/bin/python")
    assert ran == ["venv", "pip, tested"]
    assert capsys.readouterr().err == f"Making twinkit ready in {root}/.venv: this happens once, fetches about 190 MB and takes a few minutes.\n"
    bootstrap.make_ready(str(root), NAMES)
    assert ran == ["venv", "pip, tested"] and capsys.readouterr().err == ""


@pytest.mark.parametrize("left", ["nothing in it", "begun only", "begun, with its Python", "ready, with a package gone", "a file"])
def test_a_half_made_venv_is_made_again(left, root, played, capsys):
    ran, _ = played
    venv = root / ".venv"
    if left == "a file":
        venv.write_text("")
    else:
        (venv / "bin").mkdir(parents=True)
    if left.startswith(("begun", "ready")):
        (venv / bootstrap.BEGUN).write_text("")
    if left.endswith(("Python", "gone")):
        (venv / "bin/python").write_text("empty")
    if left.startswith("ready"):
        (venv / bootstrap.READY).write_text(bootstrap.stamp(str(root)))
    bootstrap.make_ready(str(root), NAMES)
    assert ran == ["venv", "pip, tested"]
    assert capsys.readouterr().err == f"The .venv in {root} is not complete: making it again, which takes a few minutes.\n"


def test_a_venv_of_the_readers_own_is_kept_and_filled(root, played, capsys):
    ran, _ = played
    (root / ".venv/bin").mkdir(parents=True)
    (root / ".venv/bin/python").write_text("complete with pip")
    (root / ".venv/mine").write_text("keep me")
    bootstrap.make_ready(str(root), NAMES)
    assert ran == ["pip, tested"] and (root / ".venv/mine").exists()
    assert capsys.readouterr().err == f"There is a .venv in {root} that lacks what twinkit needs: installing into it.\n"


def test_a_changed_checkout_is_brought_up_to_date_and_without_network_goes_on_as_it_was(root, played, capsys):
    ran, answers = played
    bootstrap.make_ready(str(root), NAMES)
    (root / "pyproject.toml").write_text("[project]\nversion = '2'\n")
    answers.append((1, "NewConnectionError"))
    capsys.readouterr()
    assert bootstrap.make_ready(str(root), NAMES) == str(root / ".venv/bin/python")
    assert capsys.readouterr().err == (
        "twinkit has changed since it was made ready here: bringing .venv up to date.\n"
        "No network: the first start has to fetch what twinkit needs, so connect and start again; later starts need no network. Going on with what was here before.\n")
    bootstrap.make_ready(str(root), NAMES)
    assert ran == ["venv", "pip, tested", "pip, tested", "pip, tested"]
    bootstrap.make_ready(str(root), NAMES)
    assert len(ran) == 4


def test_a_python_the_tested_versions_do_not_fit_gets_the_newest(root, played, capsys):
    ran, answers = played
    answers.append((1, "ERROR: No matching distribution found for numpy==2.0.0"))
    bootstrap.make_ready(str(root), NAMES)
    assert ran == ["venv", "pip, tested", "pip, newest"]
    assert "The tested versions do not fit Python %d.%d: taking the newest ones.\n" % sys.version_info[:2] in capsys.readouterr().err


@pytest.mark.parametrize("version", [(2, 7), (3, 6), (3, 10)])
def test_an_old_python(version, monkeypatch, capsys):
    monkeypatch.setattr(bootstrap.sys, "version_info", (*version, 1, "final", 0))
    assert bootstrap.main(["open"]) == bootstrap.NOT_READY
    assert capsys.readouterr().err == (f"This is Python {version[0]}.{version[1]} and twinkit needs 3.11 or newer: install a newer one from python.org or your "
                                       "system's packages, then start this command with it.\n")


@pytest.mark.parametrize("gone", ["venv", "ensurepip"])
def test_no_venv_module(gone, root, played, monkeypatch):
    monkeypatch.setattr(bootstrap, "lacking", lambda names: [gone] if gone in names else [])
    assert trouble(root) == ("This Python lacks its venv module: on Debian or Ubuntu install it with 'sudo apt install python3-venv', "
                             "elsewhere install Python from python.org, then start again.")


@pytest.mark.parametrize("words", ["WARNING: Retrying after connection broken by 'NewConnectionError", "Temporary failure in name resolution", "ProxyError('Cannot connect"])
def test_no_network(words, root, played):
    _, answers = played
    answers.append((1, words + "\nERROR: No matching distribution found for hatchling"))
    assert trouble(root) == "No network: the first start has to fetch what twinkit needs, so connect and start again; later starts need no network."
    assert not (root / ".venv" / bootstrap.READY).exists()


@pytest.mark.parametrize("number", [errno.EACCES, errno.EROFS, errno.EPERM])
def test_a_folder_that_cannot_be_written_to(number, root, played, monkeypatch):
    def refuse(path):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(bootstrap.os, "mkdir", refuse)
    assert trouble(root) == f"twinkit cannot write into {root}: copy the whole folder to a place of your own and start it there."


def test_a_full_disk(root, played, monkeypatch):
    _, answers = played
    answers.append((1, "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device"))
    assert trouble(root) == "The disk is full: twinkit needs about 1 GB free, make room and start again."

    def refuse(path):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(bootstrap.os, "mkdir", refuse)
    assert trouble(root) == "The disk is full: twinkit needs about 1 GB free, make room and start again."


def test_any_other_refusal_of_pip_is_quoted(root, played):
    _, answers = played
    answers.append((1, "Collecting numpy\nERROR: the index speaks in riddles.\n"))
    assert trouble(root) == f"What twinkit needs could not be installed (the index speaks in riddles): all of pip's words are in {root}/.venv/install.log."


def test_a_venv_that_cannot_be_made(root, played, monkeypatch):
    monkeypatch.setattr(bootstrap.subprocess, "run", lambda command, **keywords: bootstrap.subprocess.CompletedProcess(command, 1, "Error: no room for links."))
    assert trouble(root) == f"Python could not make a virtual environment in {root}/.venv: Error: no room for links."


def test_an_interrupted_start(root, played, monkeypatch):
    def interrupted(*arguments):
        raise KeyboardInterrupt

    monkeypatch.setattr(bootstrap, "_pip", interrupted)
    assert trouble(root) == "Stopped before twinkit was ready: start the same command again, it mends what was begun."


def test_an_installed_twinkit_that_lacks_something(monkeypatch):
    monkeypatch.setattr(bootstrap, "lacking", lambda names: ["scipy"])
    monkeypatch.setattr(bootstrap, "checkout", lambda: None)
    with pytest.raises(bootstrap.Trouble) as told:
        bootstrap.go_on(["open"])
    python = os.path.basename(sys.executable)
    assert str(told.value) == f"This Python lacks scipy: install twinkit again with '{python} -m pip install --force-reinstall \"twinkit\"'."


def test_the_command_goes_on_inside_the_venv(root, monkeypatch):
    went = []
    monkeypatch.setattr(bootstrap, "lacking", lambda names: ["scipy"])
    monkeypatch.setattr(bootstrap, "checkout", lambda: str(root))
    monkeypatch.setattr(bootstrap, "make_ready", lambda place, names: "the python")
    monkeypatch.setattr(bootstrap, "_replace", lambda command, environment: went.append((command, environment)) or 5)
    assert bootstrap.go_on(["check", "my twin"]) == 5
    command, environment = went[0]
    assert command == ["the python", "-m", "twinkit", "check", "my twin"]
    assert environment[bootstrap.INSIDE] == "1" and environment["PYTHONPATH"].split(os.pathsep)[0] == str(root)


def test_a_complete_python_is_used_as_it_is(monkeypatch):
    monkeypatch.setattr(bootstrap, "lacking", lambda names: [])
    assert bootstrap.go_on(["open"]) is None


@pytest.mark.parametrize("name", ["__init__.py", "__main__.py", "bootstrap.py"])
def test_what_an_old_python_reads_has_no_new_syntax_and_needs_no_package(name):
    tree = ast.parse((PACKAGE / name).read_text(encoding="utf-8"), feature_version=(3, 6))
    for node in ast.walk(tree):
        assert not isinstance(node, (ast.JoinedStr, ast.AnnAssign, ast.NamedExpr)), f"line {node.lineno} cannot be read by every old Python"
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else [node.module] if isinstance(node, ast.ImportFrom) else []
        assert all(word.split(".")[0] in sys.stdlib_module_names | {"twinkit"} for word in names), names


def test_every_dependency_is_looked_for():
    import tomllib

    project = tomllib.loads((PACKAGE.parent / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    plain = lambda words: {word.split(">=")[0].replace("-", "_") for word in words}  # noqa: E731
    assert plain(project["dependencies"]) == set(bootstrap.NEEDED)
    assert plain(project["optional-dependencies"]["test"]) == set(bootstrap.NEEDED_TO_TEST)
    pinned = {line.split("==")[0].lower().replace("-", "_") for line in (PACKAGE.parent / bootstrap.PINS).read_text().splitlines() if "==" in line}
    assert set(bootstrap.NEEDED) | set(bootstrap.NEEDED_TO_TEST) <= pinned
