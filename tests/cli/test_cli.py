"""The command line: every wrong use is answered with one sentence, and check, new and print do their work."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from twinkit import __version__, bootstrap, cli, folder, lab
from twinkit.checks import Advice, Finding

TOP = Path(__file__).resolve().parents[2]


@pytest.fixture(autouse=True)
def ready(monkeypatch):
    """This Python is taken as complete: nothing is installed from here."""
    monkeypatch.setattr(bootstrap, "go_on", lambda argv, testing=False: None)


@pytest.fixture
def page(monkeypatch, tmp_path):
    """One tiny shipped page instead of the real ones."""
    shipped = tmp_path / "shipped"
    shipped.mkdir()
    path = shipped / "00_start.ipynb"
    write_page(path, [("markdown", "# Start")])
    monkeypatch.setattr(folder, "shipped_pages", lambda: [path])
    return path


def write_page(path, cells, **metadata):
    made = [{"cell_type": kind, "metadata": {}, "source": text, "id": f"c{number}", **({"outputs": [], "execution_count": None} if kind == "code" else {})}
            for number, (kind, text) in enumerate(cells)]
    path.write_text(json.dumps({"cells": made, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}), encoding="utf-8")


@pytest.mark.parametrize(("words", "sentence"), [
    ("opne", "There is no command 'opne' (did you mean 'open'?); the commands are open, new, check, print, compare, draw and test."),
    ("fly", "There is no command 'fly'; the commands are open, new, check, print, compare, draw and test."),
    ("check", "'python3 -m twinkit check' needs the folder of a build: write it like 'python3 -m twinkit check ~/twinkit-builds/my-twin'."),
    ("new", "'python3 -m twinkit new' needs the folder of a build: write it like 'python3 -m twinkit new ~/twinkit-builds/my-twin'."),
    ("print", "'python3 -m twinkit print' needs the folder of a build: write it like 'python3 -m twinkit print ~/twinkit-builds/my-twin'."),
    ("check my twin", "'python3 -m twinkit check' takes one folder, and got 'my' and 'twin': put a name with spaces in quotes."),
    ("open my twin", "'python3 -m twinkit open' takes one folder, and got 'my' and 'twin': put a name with spaces in quotes."),
    ("check build --jsn", "'python3 -m twinkit check' has no option '--jsn' (did you mean '--json'?); it takes --json."),
    ("check build --json=yes", "'--json' takes no value: write it alone."),
    ("new build --from dmeo", "'--from' takes demo, siskin or blank, not 'dmeo' (did you mean 'demo'?)."),
    ("new build --from", "'--from' takes demo, siskin or blank."),
    ("new build --from=", "'--from' takes demo, siskin or blank."),
    ("print build --to", "'--to' needs the name of a file: write it like '--to record.html'."),
    ("open --browser", "'python3 -m twinkit open' has no option '--browser' (did you mean '--no-browser'?); it takes --from, --projector and --no-browser."),
    ("compare build", "'python3 -m twinkit compare' needs the folders of two builds, and got 1: put a name with spaces in quotes."),
    ("compare build nowhere", "There is no folder 'nowhere': 'python3 -m twinkit new FOLDER' makes one with a new build."),
    ("compare build broken", 'build.toml cannot be read in line 1, column 6: Expected \'=\' after a key in a key/value pair. A line is written like span = "1160 mm"'),
    ("print build --card --blank", "'python3 -m twinkit print' makes one thing at a time, and got --card and --blank."),
    ("print build --evening 2", "'--evening' goes with --handout or --leader."),
    ("print build --handout --evening 7", "'--evening' takes 1, 2, 3, 4, 5 or 6, not '7'."),
    ("print build --card --to nowhere/card.html", "'nowhere/card.html' could not be written (No such file or directory): name another file with --to."),
    ("new build2 --after 3", "'--after' goes with --from demo or --from siskin: a blank build has no stages."),
    ("test tests", "'python3 -m twinkit test' takes no folder, and got 'tests': what pytest shall get stands after --."),
    ("check nowhere", "There is no folder 'nowhere': 'python3 -m twinkit new FOLDER' makes one with a new build."),
    ("print nowhere", "There is no folder 'nowhere': 'python3 -m twinkit new FOLDER' makes one with a new build."),
    ("check full/note.txt", "'full/note.txt' is a file: name the folder it lies in, 'full'."),
    ("open full/note.txt", "'full/note.txt' is a file: name the folder it lies in, 'full'."),
    ("new full/note.txt", "'full/note.txt' is a file: name a new folder."),
    ("new full", "'full' is not empty: name a new or an empty folder."),
    ("new build", "'build' already holds a build: 'python3 -m twinkit open' goes on with it, or name a new folder."),
    ("open build --from demo", "'build' already holds a build and '--from' is for a new one: leave it out, or name a new folder."),
    ("check full", "There is no build.toml in 'full', so it is no build: 'python3 -m twinkit new FOLDER' makes one in a new folder."),
    ("open full", "There is no build.toml in 'full', so it is no build: 'python3 -m twinkit new FOLDER' makes one in a new folder."),
    ("print empty", "There is no build.toml in 'empty', so it is no build: 'python3 -m twinkit new FOLDER' makes one in a new folder."),
    ("check broken", 'build.toml cannot be read in line 1, column 6: Expected \'=\' after a key in a key/value pair. A line is written like span = "1160 mm"'),
    ("print broken", 'build.toml cannot be read in line 1, column 6: Expected \'=\' after a key in a key/value pair. A line is written like span = "1160 mm"'),
])
def test_a_wrong_use_is_answered_with_one_sentence(words, sentence, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    for name, text in (("full/note.txt", ""), ("build/build.toml", "schema = 2\n"), ("broken/build.toml", "this is no record\n")):
        Path(name).parent.mkdir()
        Path(name).write_text(text)
    Path("empty").mkdir()
    assert cli.main(words.split()) == cli.WRONG_USE
    said = capsys.readouterr()
    assert (said.out, said.err) == ("", sentence + "\n")


@pytest.mark.parametrize("words", [[], ["help"], ["--help"], ["-h"]])
def test_help_names_every_command(words, capsys):
    assert cli.main(words) == cli.GOOD
    said = capsys.readouterr().out
    assert all(f"twinkit {name}" in said for name in ("open", "new", "check", "print", "compare", "test"))


def test_help_of_one_command_and_version(capsys):
    assert cli.main(["new", "--help"]) == cli.GOOD
    assert capsys.readouterr().out.splitlines()[0] == "python3 -m twinkit new FOLDER [--from demo|siskin|blank] [--after 1|2|3|4|5|6]"
    assert cli.main(["--version"]) == cli.GOOD
    assert capsys.readouterr().out == f"{__version__}\n"


def test_help_loads_nothing_heavy():
    code = "import sys; from twinkit import cli; cli.main(['--help']); print([m for m in ('numpy', 'pint', 'matplotlib', 'tomlkit', 'nbformat') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=TOP, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


@pytest.mark.parametrize("kind", ["blank", "demo", "siskin"])
def test_new_lays_record_pages_and_starter(kind, page, tmp_path, capsys):
    place = tmp_path / "my build"
    assert cli.main(["new", str(place), "--from", kind]) == cli.GOOD
    said = capsys.readouterr().out.splitlines()
    assert said == [f"Your new build lies in {place}.", f'Open it with: python3 -m twinkit open "{place}"']
    starters = {"win32": "open this build.bat", "darwin": "open this build.command"}
    assert sorted(p.name for p in place.iterdir()) == sorted(["00_start.ipynb", "build.toml", starters.get(sys.platform, "open-this-build.desktop")])
    assert folder.version_of(place / "00_start.ipynb") == __version__


@pytest.mark.parametrize("kind", ["demo", "siskin"])
def test_a_stage_holds_what_was_decided_by_that_evening(kind, page, tmp_path):
    from twinkit.quantities import STEPS
    from twinkit.record import Record

    held = []
    for number in range(1, 7):
        place = tmp_path / f"after {number}"
        assert cli.main(["new", str(place), "--from", kind, "--after", str(number)]) == cli.GOOD
        text = (place / "build.toml").read_text(encoding="utf-8")
        assert Record.from_text(text).problems == []
        held.append({step for step in STEPS if f"[{step}]" in text or f"[{step}." in text or f"[[{step}." in text})
    assert held[0] == {"start", "power"} and held[-1] >= set(STEPS) - {"bench"}
    assert all(one < other for one, other in zip(held[:4], held[1:5])), "each evening adds its pages"


def test_the_blank_record_reads_without_a_word_and_names_true_entries():
    from twinkit import quantities, tables
    from twinkit.record import Record

    text = tables.text("demo/blank.toml")
    assert Record.from_text(text).problems == []
    body = text[text.index("[start]"):]
    named = [line.lstrip("# ").split(" =")[0] for line in body.splitlines() if line.startswith("# ")]
    assert named and all(quantities.known(f"start.{name}") for name in named)
    assert Record.from_text("\n".join(["schema = 2", *(line.removeprefix("# ") for line in body.splitlines())])).problems == []


def test_pages_are_never_written_over_and_a_newer_one_lies_beside(page, tmp_path):
    place = tmp_path / "build"
    folder.make(place, "blank")
    write_page(place / page.name, [("markdown", "my own notes")], twinkit={"version": "0.0.9"})
    before = (place / page.name).read_bytes()
    beside = f"00_start.{__version__}.ipynb"
    assert folder.lay_pages(place) == [f"00_start.ipynb is of twinkit 0.0.9 and stays as it is; the page of {__version__} lies beside it as {beside}."]
    assert folder.lay_pages(place) == []
    assert (place / page.name).read_bytes() == before
    assert folder.start_page(place) == beside


@pytest.mark.parametrize("version", [__version__, "99.0.0", None])
def test_a_page_that_is_not_older_stays_alone(version, page, tmp_path):
    place = tmp_path / "build"
    folder.make(place, "blank")
    write_page(place / page.name, [], **({"twinkit": {"version": version}} if version else {}))
    assert folder.lay_pages(place) == []
    assert len(list(place.glob("*.ipynb"))) == 1 and folder.start_page(place) == page.name


def test_a_folder_that_cannot_be_written_to(page, tmp_path, monkeypatch, capsys):
    def refuse(*arguments, **keywords):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refuse)
    assert cli.main(["new", str(tmp_path / "x")]) == cli.WRONG_USE
    assert capsys.readouterr().err == (f"twinkit cannot write into '{tmp_path / 'x'}' (Permission denied): name a folder of your own, "
                                       "for example ~/twinkit-builds/my-twin-2.\n")


NASTY = "it's 100% \"mine\" $HOME `id` \\n"


@pytest.mark.skipif(os.name != "posix", reason="runs sh")
def test_the_starter_of_linux_opens_the_folder_whatever_its_name(tmp_path):
    """Undo the two layers of quoting as the Desktop Entry Specification (freedesktop.org, 'The Exec key') tells, then let sh run it."""
    place, echo = tmp_path / NASTY, tmp_path / "echo arguments"
    place.mkdir()
    echo.write_text('#!/bin/sh\nfor word in "$PWD" "$@"; do printf "%s\\n" "$word"; done\n')
    echo.chmod(0o755)
    name, text = folder.starter("linux", str(echo), str(place), place)
    line = next(line for line in text.splitlines() if line.startswith("Exec=")).removeprefix("Exec=")
    value = line.replace("\\\\", "\\").replace("%%", "%")
    assert name.endswith(".desktop") and value.startswith('sh -c "') and value.endswith('"')
    argument, at = "", len('sh -c "')
    while at < len(value) - 1:
        at += value[at] == "\\"
        argument += value[at]
        at += 1
    done = subprocess.run(["sh", "-c", argument], capture_output=True, text=True, check=True)
    assert done.stdout == f"{place}\n-m\ntwinkit\nopen\n{place}\n"


@pytest.mark.skipif(os.name != "posix", reason="runs sh")
def test_the_starter_of_macos_opens_the_folder_it_lies_in(tmp_path):
    place, echo = tmp_path / NASTY, tmp_path / "echo arguments"
    place.mkdir()
    echo.write_text('#!/bin/sh\nprintf "%s\\n" "$@"\n')
    echo.chmod(0o755)
    name, text = folder.starter("darwin", str(echo), str(place), place)
    (place / name).write_text(text)
    done = subprocess.run(["sh", str(place / name)], capture_output=True, text=True, check=True)
    assert done.stdout == f"-m\ntwinkit\nopen\n{place}\n"


def test_the_starter_of_windows_names_the_folder_it_lies_in():
    name, text = folder.starter("win32", "C:\\100%\\python.exe", "C:\\twin kit", Path("C:/builds/x"))
    assert name.endswith(".bat")
    assert text.splitlines() == ["@echo off", "chcp 65001 >nul", 'cd /d "C:\\twin kit"', '"C:\\100%%\\python.exe" -m twinkit open "%~dp0."', "if errorlevel 1 pause"]
    assert text.count("\r\n") == 5


def finding(verdict, code="one", advice=None):
    return Finding(code, "power", "Title", verdict, f"It says {verdict}.", value=float("nan"), limit=2.0, margin=None, advice=advice)


@pytest.fixture
def build(page, tmp_path, monkeypatch):
    """A build, and a way to say what its checks find."""
    place = tmp_path / "build"
    folder.make(place, "blank")
    from twinkit import checks

    return place, lambda *found: monkeypatch.setattr(checks, "findings", lambda record: list(found))


def acknowledge(place, code):
    from twinkit.record import Record

    record = Record.read(place / "build.toml")
    record.acknowledge(code, "flown so for years", "Ada", "2026-05-01")
    record.save()


@pytest.mark.parametrize(("verdict", "status"), [("good", 0), ("look again", 0), ("cannot tell", 0), ("stop", 1)])
def test_check_stops_only_on_stop(verdict, status, build, capsys):
    place, find = build
    find(finding("good", "zero"), finding(verdict, advice=Advice("Do this.")))
    assert cli.main(["check", str(place)]) == status
    said = capsys.readouterr().out
    assert "01 Power layout" in said and f"{verdict} | Title. It says {verdict}." in said and "do: Do this." in said


def test_check_lets_an_acknowledged_stop_pass_and_says_so(build, capsys):
    place, find = build
    find(finding("stop"))
    acknowledge(place, "one")
    assert cli.main(["check", str(place)]) == cli.GOOD
    assert "flown knowing this, because flown so for years (Ada, 2026-05-01)" in capsys.readouterr().out


def test_check_as_json(build, capsys):
    place, find = build
    find(finding("stop", advice=Advice("Do this.", {"power.left.kv": 1.0})))
    assert cli.main(["check", str(place), "--json"]) == cli.STOP
    said = json.loads(capsys.readouterr().out, parse_constant=lambda name: pytest.fail(f"{name} is no JSON"))
    assert said["twinkit"] == __version__ and said["problems"] == []
    (row,) = said["findings"]
    assert (row["code"], row["verdict"], row["value"], row["limit"], row["acknowledged"]) == ("one", "stop", None, 2.0, None)
    assert row["advice"]["sentence"] == "Do this."


def test_compare_prints_and_writes(page, tmp_path, capsys):
    for name, kind in (("one", "demo"), ("two", "siskin")):
        folder.make(tmp_path / name, kind)
    assert cli.main(["compare", str(tmp_path / "one"), str(tmp_path / "two"), "--to", str(tmp_path / "both.html")]) == cli.GOOD
    said, text = capsys.readouterr().out, (tmp_path / "both.html").read_text(encoding="utf-8")
    assert said.startswith("Dunlin and Siskin, side by side\n") and "span  " in said
    assert "<script" not in text and "<th>Dunlin</th><th>Siskin</th>" in text
    assert cli.main(["compare", str(tmp_path / "one"), str(tmp_path / "one")]) == cli.GOOD
    assert capsys.readouterr().out.count("Nothing differs here.") == 8


@pytest.mark.parametrize(("words", "name", "holds"), [
    ("--card", "flight-card.html", "One motor quits"), ("--blank", "work-sheets.html", "write here"), ("--handout", "handout.html", "Evening 6"),
    ("--handout --evening 3", "handout-evening-3.html", "Evening 3"), ("--leader --evening 2", "leader-evening-2.html", "Answer."),
])
def test_print_makes_one_kind_of_sheets_at_a_time(words, name, holds, page, tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("TWINKIT_CHROMIUM", "")
    folder.make(tmp_path / "build", "demo")
    before = (tmp_path / "build" / "build.toml").read_bytes()
    monkeypatch.setattr("twinkit.printed.evening.lesson", lambda step: ([("how much?", "start.loading_guess", "loading")], [("why?", "because")]))
    assert cli.main(["print", str(tmp_path / "build"), *words.split()]) == cli.GOOD
    made = tmp_path / "build" / name
    assert capsys.readouterr().out == f"{made}\nNo Chromium was found on this machine, so there is no PDF: open the HTML file in any browser and print it from there, to paper or to PDF.\n"
    assert holds in made.read_text(encoding="utf-8") and (tmp_path / "build" / "build.toml").read_bytes() == before


def test_open_makes_the_build_says_where_and_starts_the_lab(page, tmp_path, monkeypatch, capsys):
    started = []
    monkeypatch.setattr(folder, "DEFAULT", tmp_path / "home/my-twin")
    monkeypatch.setattr(folder, "HOME", tmp_path / "home")
    monkeypatch.setattr(lab, "run", lambda place, browser, projector: started.append((place, browser, projector)) or 0)
    assert cli.main(["open", "--no-browser"]) == cli.GOOD
    assert capsys.readouterr().out.splitlines() == [f"A new build was made in {tmp_path}/home/my-twin.", "For a look at a finished one: python3 -m twinkit open --from demo"]
    assert cli.main(["open"]) == cli.GOOD
    assert capsys.readouterr().out == f"Your build lies in {tmp_path}/home/my-twin.\n"
    assert cli.main(["open", "--from", "demo"]) == cli.GOOD
    assert cli.main(["open", str(tmp_path / "other"), "--projector"]) == cli.GOOD
    assert started == [(tmp_path / "home/my-twin", False, False), (tmp_path / "home/my-twin", True, False), (tmp_path / "home/dunlin", True, False), (tmp_path / "other", True, True)]


def test_the_lab_listens_on_this_machine_only_and_keeps_its_token_to_itself(tmp_path):
    words = lab.command(tmp_path, 4321)
    assert "--ServerApp.ip=127.0.0.1" in words and f"--ServerApp.root_dir={tmp_path}" in words
    assert lab.environment("secret")["JUPYTER_TOKEN"] == "secret" and not [word for word in words if "secret" in word]
    assert "TWINKIT_PROJECTOR" not in lab.environment("secret") and lab.environment("secret", projector=True)["TWINKIT_PROJECTOR"] == "1"


def test_a_lab_that_does_not_start_says_why(page, tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(lab, "command", lambda place, port: [sys.executable, "-c", "import sys; sys.exit('no room for it')"])
    assert cli.main(["open", str(tmp_path / "build"), "--no-browser"]) == 3
    assert capsys.readouterr().err == "JupyterLab did not start (no room for it): close other programs and start again.\n"


@pytest.mark.parametrize(("words", "expected"), [
    ([], ["-m", "not long and not speed", "tests", "workbooks"]),
    (["--long"], ["tests", "workbooks"]),
    (["--", "-x"], ["-m", "not long and not speed", "tests", "workbooks", "-x"]),
    (["--", "tests/cli", "-m", "pinned"], ["tests/cli", "-m", "pinned"]),
])
def test_what_test_gives_to_pytest(words, expected, monkeypatch):
    ran = []
    monkeypatch.setattr(subprocess, "run", lambda command, **keywords: ran.append(command) or subprocess.CompletedProcess(command, 5))
    assert cli.main(["test", *words]) == cli.STOP
    assert ran[0][1:] == ["-m", "pytest", "--nbval-lax", "--nbval-current-env", "--nbval-cell-timeout=60", *expected]


def test_test_needs_a_checkout(monkeypatch, capsys):
    monkeypatch.setattr(bootstrap, "checkout", lambda: None)
    assert cli.main(["test"]) == cli.WRONG_USE
    assert capsys.readouterr().err == "'python3 -m twinkit test' tests a checkout and this twinkit is installed without one: start it in the checkout.\n"


def test_a_mistake_of_ours_is_not_taken_for_a_stop(build, monkeypatch, capsys):
    from twinkit import checks

    def fail(record):
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(checks, "findings", fail)
    assert cli.main(["check", str(build[0])]) == 3
    assert capsys.readouterr().err.endswith("Something went wrong inside twinkit, not in your build (ZeroDivisionError): what stands above helps whoever mends it.\n")


def test_a_laid_page_is_trusted_and_a_changed_one_is_not(tmp_path, monkeypatch):
    import nbformat
    from nbformat.sign import NotebookNotary

    monkeypatch.setenv("JUPYTER_DATA_DIR", str(tmp_path / "jupyter"))
    folder.make(tmp_path / "build", "demo")
    page = tmp_path / "build" / folder.start_page(tmp_path / "build")
    trusted = lambda: NotebookNotary().check_signature(nbformat.read(page, as_version=4))  # noqa: E731
    assert trusted()
    page.write_text(page.read_text(encoding="utf-8").replace("Run All Cells", "Run every cell"), encoding="utf-8")
    folder.lay_pages(tmp_path / "build")
    assert not trusted(), "only a page exactly as we ship it is signed"
