"""The doors: what a stranger's build file, table or folder could try, and what reaches the reader's machine of it."""

import csv
import io
import os
import socket
import subprocess
import sys
import tempfile
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from faults import hostile
from twinkit import bootstrap, cli, folder, lab, printed, quantities
from twinkit.printed import card, evening, front, work_sheets
from twinkit.record import Record, rows_csv

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def record():
    return hostile.record()


@pytest.fixture
def place(record, tmp_path):
    """A build folder with the hostile record, and room outside it that must stay empty."""
    (tmp_path / "build").mkdir()
    (tmp_path / "build" / "build.toml").write_text(record.text(), encoding="utf-8")
    return tmp_path / "build"


# --- words that want to be more


def test_the_reader_of_markup_sees_what_runs_or_fetches():
    for words in hostile.WORDS[:3]:
        assert hostile.bad(words), words
    for words in ('<a href="javascript:alert(1)">x</a>', '<p onclick="x()">', '<img src="//elsewhere.example/x.png">', '<link rel=stylesheet href=x>', '<div style="background:url(http://elsewhere.example)">'):
        assert hostile.bad(words), words
    assert not hostile.bad('<p class="x">a &lt;script&gt;</p><img src="data:image/png;base64,AA=="><a href="05_wing.ipynb">x</a>')


@pytest.mark.parametrize("name, make", [
    (card.FILE, card.card), ("work-sheets.html", work_sheets.work_sheets), ("leader.html", lambda results: evening.leader(results, 2)),
], ids=["card", "work sheets", "leader"])
def test_nothing_a_build_says_runs_on_paper(name, make, place):
    text = printed.print_sheets(place, name, make).read_text(encoding="utf-8")
    assert not hostile.bad(text) and "<script" not in text
    assert "alert(1)" in text, "the words are there, as words"


def test_nothing_a_build_says_runs_in_the_record_or_beside_another_build(record, place):
    from twinkit import checks

    found = checks.findings(record)
    parts = [front.first_sheet(record, record.text().encode(), record.value("start.name"), "", "", found, "", ""), *front.lasting(printed.Results(record)), front.all_findings(record, found),
             front.record_text(record.text().encode())]
    assert not [bad for part in parts for bad in hostile.bad(part)] and "&lt;script&gt;" in parts[0]
    printed.print_comparison(place, place, place / "both.html")
    assert not hostile.bad((place / "both.html").read_text(encoding="utf-8"))


@pytest.mark.parametrize("step", quantities.STEPS)
def test_nothing_a_build_says_runs_on_a_page(step, place, outputs, monkeypatch):
    import json

    import ipywidgets

    from twinkit.pages import FILES

    shown, cells = outputs, [c for c in json.loads((ROOT / "workbooks" / FILES[step]).read_text(encoding="utf-8"))["cells"] if c["cell_type"] == "code"]
    monkeypatch.chdir(place)
    made = set()
    monkeypatch.setattr(ipywidgets.Widget, "_call_widget_constructed", staticmethod(made.add))
    names = {}
    for cell in cells:
        exec("".join(cell["source"]), names)      # our own page, as the kernel runs it
    markup = [bundle.get("text/html", "") for bundle in shown] + [widget.value for widget in made if isinstance(widget, ipywidgets.HTML)]
    assert len(markup) > 5 and any("&lt;" in piece for piece in markup)
    assert not [bad for piece in markup for bad in hostile.bad(piece)]
    assert {kind for bundle in shown for kind in bundle} <= {"text/html", "text/plain", "image/png", "application/vnd.jupyter.widget-view+json", "application/javascript"}
    assert not [code for bundle in shown if "alert(1)" in (code := bundle.get("application/javascript", ""))]


def test_signs_that_steer_a_terminal_do_not_reach_it(place, capsys):
    for words in (["check", str(place)], ["check", str(place), "--json"], ["compare", str(place), str(place)], ["check", str(place) + "\x1b[2J"]):
        cli.main(words)
        said = capsys.readouterr()
        assert not [sign for sign in said.out + said.err if ord(sign) < 32 and sign not in "\n\t" or 0x7f <= ord(sign) < 0xa0]


def test_dollars_in_a_name_are_words_in_a_picture(record):
    from twinkit.design import Results
    from twinkit.drawings import weight

    results = Results(record.changed({"start.name": "$\\frac{$ and $x^$"}))
    for kind in weight.PICTURES.values():
        assert kind.make(results).png()


@pytest.mark.parametrize("table", quantities.TABLES)
def test_no_text_of_a_table_begins_as_a_formula_in_a_spreadsheet(table):
    texts = [column.name for column in quantities.TABLES[table].columns if column.kind == "text"]
    if not texts:
        pytest.skip("this table holds no text")
    words = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\n=1")
    made = Record.blank()
    made.set_rows(table, [{name: word for name in texts} for word in words])
    rows = list(csv.DictReader(io.StringIO(rows_csv.written(made, table))))
    assert len(rows) == len(words)
    assert all(row[name].startswith("'") for row in rows for name in texts)


# --- links and other files in the way


@pytest.mark.skipif(os.name != "posix", reason="links need rights on other systems")
@pytest.mark.parametrize("there", [True, False], ids=["a link to a file", "a link to nothing"])
def test_nothing_is_written_through_a_link_in_a_build_folder(there, tmp_path):
    outside, place = tmp_path / "outside", tmp_path / "build"
    outside.mkdir()
    folder.make(place, "demo")
    names = ["00_start.ipynb", next(path.name for path in place.iterdir() if path.name.startswith("open")), "start.parts.csv", "flight-card.html", "flight-card.pdf", "build.previous.toml",
             "start.parts.before.csv"]
    for name in names:
        (place / name).unlink(missing_ok=True)
        if there:
            (outside / name).write_text("mine", encoding="utf-8")
        (place / name).symlink_to(outside / name)
    folder.lay_pages(place)
    rows_csv.write(Record.read(place / "build.toml"), "start.parts", place)
    rows_csv.write(Record.read(place / "build.toml").changed({"start.parts": []}), "start.parts", place)
    printed.print_sheets(place, card.FILE, card.card)
    changed = Record.read(place / "build.toml")
    changed.set_note("wing", "x")
    changed.save()
    assert sorted(path.name for path in outside.iterdir()) == (sorted(names) if there else [])
    assert all(path.read_text(encoding="utf-8") == "mine" for path in outside.iterdir())


def test_a_paper_folder_that_is_a_link_is_told(tmp_path, capsys):
    folder.make(tmp_path / "build", "demo")
    (tmp_path / "outside").mkdir()
    (tmp_path / "outside" / "templates-mine.pdf").write_text("mine", encoding="utf-8")
    (tmp_path / "build" / "paper").symlink_to(tmp_path / "outside")
    assert cli.main(["draw", str(tmp_path / "build")]) == cli.WRONG_USE
    assert "is a link to another place, and nothing is written there" in capsys.readouterr().err
    assert [path.name for path in (tmp_path / "outside").iterdir()] == ["templates-mine.pdf"]


@pytest.mark.parametrize("wrong", ["build.toml", "photo.jpg", "/dev/stdout", "00_start.ipynb"])
def test_what_print_writes_is_never_put_over_another_kind_of_file(wrong, tmp_path, capsys):
    folder.make(tmp_path / "build", "demo")
    before = (tmp_path / "build" / "build.toml").read_bytes()
    assert cli.main(["print", str(tmp_path / "build"), "--card", "--to", wrong if wrong.startswith("/") else str(tmp_path / "build" / wrong)]) == cli.WRONG_USE
    assert "does not end in .html: write it like '--to " in capsys.readouterr().err and (tmp_path / "build" / "build.toml").read_bytes() == before


def test_odd_files_in_a_build_folder_hinder_nothing(tmp_path):
    place = tmp_path / "build"
    folder.make(place, "demo")
    (place / "00_start.ipynb").write_bytes(b"\xff\xfe no page")
    (place / "01_power_layout.ipynb").write_text("[" * 100_000, encoding="utf-8")
    starter = next(path for path in place.iterdir() if path.name.startswith("open"))
    starter.write_bytes(b"\xff")
    assert folder.lay_pages(place) == []
    assert (place / "00_start.ipynb").read_bytes() == b"\xff\xfe no page" and starter.read_bytes() != b"\xff"


@pytest.mark.skipif(sys.platform != "linux", reason="other systems have no such names")
def test_a_photo_whose_name_is_no_text_is_printed(tmp_path):
    from PIL import Image

    from twinkit.printed import photos

    Image.new("RGB", (60, 40)).save(tmp_path / "x.jpg")
    os.rename(tmp_path / "x.jpg", os.fsencode(tmp_path) + b"/photo\xff<script>.jpg")
    Image.new("RGB", (60, 40)).save(tmp_path / 'photo"onerror="alert(1).png')
    markup = photos.all_html(photos.photos(tmp_path)) + photos.first_html(photos.photos(tmp_path))
    assert not hostile.bad(markup) and markup.count("<img") == 2
    printed._write(tmp_path / "out.html", markup)


# --- names


def test_no_word_of_a_build_becomes_a_path(record, tmp_path):
    """Everything is written again with the hostile names: the names of the files stay ours."""
    from twinkit import paper

    place = tmp_path / "room" / "build"
    folder.make(place, "demo")
    (place / "build.toml").write_text(record.text(), encoding="utf-8")
    before = {path.name for path in place.iterdir()}
    for table in quantities.TABLES:
        rows_csv.write(record, table, place)
    paper.write(place, record)
    assert [path.name for path in (tmp_path / "room").iterdir()] == ["build"]
    assert {path.name for path in place.iterdir()} - before == {"paper", *(f"{table}.csv" for table in quantities.TABLES)}
    assert {path.suffix for path in (place / "paper").iterdir()} == {".pdf", ".svg", ".dxf"}
    for sheet in (place / "paper").glob("*.svg"):
        assert b"script" not in sheet.read_bytes()


def test_no_shell_is_started_anywhere():
    import ast

    for file in sorted((ROOT / "twinkit").rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                name = ast.unparse(node.func)
                assert name not in ("os.system", "os.popen", "eval", "exec", "compile", "__import__", "pickle.loads", "pickle.load", "subprocess.getoutput"), f"{file.name}: {name}"
                assert not [k for k in node.keywords if k.arg == "shell"], f"{file.name}: {name} with shell="


# --- JupyterLab


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    """JupyterLab as twinkit starts it, on a stranger's folder with modules of its own in it."""
    place, port = tmp_path_factory.mktemp("lab") / "build", lab.free_port()
    folder.make(place, "demo")
    for name in ("jupyterlab.py", "numpy.py", "jupyter_server_config.py", "jupyter_lab_config.py", "jupyter_config.py"):
        (place / name).write_text(f"open({str(place / 'ran')!r}, 'w').close()\n", encoding="utf-8")
    with tempfile.TemporaryFile() as words:
        running = subprocess.Popen(lab.command(place, port), env=lab.environment("secret"), stdin=subprocess.DEVNULL, stdout=words, stderr=words, cwd=place)
        try:
            assert lab.answers(running, f"http://127.0.0.1:{port}/api"), lab.last_words(words)
            yield place, port
        finally:
            running.terminate()
            running.wait()


def status(port, **headers):
    try:
        with urllib.request.build_opener(urllib.request.ProxyHandler({})).open(urllib.request.Request(f"http://127.0.0.1:{port}/api/contents", headers=headers), timeout=20) as answer:
            return answer.status
    except urllib.error.HTTPError as refused:
        return refused.code


def test_the_server_lets_nobody_in_without_its_token_and_from_nowhere_else(server):
    place, port = server
    assert lab.keeps_out(f"http://127.0.0.1:{port}/api/contents")
    assert status(port) == 403 and status(port, Authorization="token wrong") == 403 and status(port, Authorization="token secret") == 200
    assert status(port, Authorization="token secret", Host="elsewhere.example") == 403, "a name of another that leads here (DNS rebinding)"
    others = {info[4][0] for info in socket.getaddrinfo(socket.gethostname(), port, family=socket.AF_INET)} | {"127.0.0.2"}
    for address in others - {"127.0.0.1"}:
        with pytest.raises(OSError, match="(?i)refused|timed out|unreachable|not valid"):      # as the systems say it: nobody listens there
            socket.create_connection((address, port), timeout=2).close()
    assert not (place / "ran").exists(), "nothing that lies in the folder was run"


def test_a_kernel_takes_no_module_from_the_folder_of_its_page(server):
    from jupyter_client.manager import start_new_kernel

    place, _ = server
    manager, client = start_new_kernel(kernel_name="python3", cwd=str(place), env=lab.environment("secret"))
    try:
        said = []
        client.execute_interactive("import numpy, twinkit; print(numpy.pi > 3)", output_hook=lambda message: said.append(message["content"].get("text", "")), timeout=60)
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)
    assert "True\n" in said and not (place / "ran").exists()


def test_a_server_without_a_token_is_stopped_and_told(tmp_path, monkeypatch, capsys):
    """A door that is open is found open: a small server that asks for nothing stands in for one whose settings switch the token off."""
    folder.make(tmp_path / "build", "demo")
    monkeypatch.setattr(lab, "command", lambda place, port: [sys.executable, "-m", "http.server", "--bind", "127.0.0.1", "--directory", str(tmp_path), str(port)])
    (tmp_path / "api").mkdir()
    (tmp_path / "api" / "contents").write_text("all of it", encoding="utf-8")
    assert cli.main(["open", str(tmp_path / "build"), "--no-browser"]) == bootstrap.NOT_READY
    said = capsys.readouterr()
    assert "let a caller in without its token and was stopped" in said.err and "token=" not in said.out


def test_only_pages_equal_to_the_shipped_ones_are_signed(tmp_path, monkeypatch):
    import json

    import nbformat
    from nbformat.sign import NotebookNotary

    monkeypatch.setenv("JUPYTER_DATA_DIR", str(tmp_path / "jupyter"))
    place = tmp_path / "build"
    folder.make(place, "demo")
    pages = sorted(place.glob("*.ipynb"))
    signed = lambda page: NotebookNotary().check_signature(nbformat.read(page, as_version=4))  # noqa: E731
    assert len(pages) == len(folder.shipped_pages()) and all(map(signed, pages))
    for number, page in enumerate(pages):      # a stranger's pages: ours with one more line, one more output, another kernel, and one of his own
        notebook = json.loads(page.read_text(encoding="utf-8"))
        code = next(cell for cell in notebook["cells"] if cell["cell_type"] == "code")
        if number % 3 == 0:
            code["source"] = [*code["source"], "\nopen('/tmp/x', 'w')"]
        elif number % 3 == 1:
            code["outputs"] = [{"output_type": "display_data", "data": {"text/html": "<script>alert(1)</script>"}, "metadata": {}}]
        else:
            notebook["metadata"]["kernelspec"] = {"name": "other", "display_name": "other"}
            code["source"] = ["1 + 1"]
        page.write_text(json.dumps(notebook, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    (place / "08_more.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    folder.lay_pages(place)
    assert not [page.name for page in sorted(place.glob("*.ipynb")) if signed(page)]
