"""Names that lead elsewhere or that a system keeps for itself; clocks and files that change under an open page."""

import os
import shutil
from pathlib import PurePosixPath, PureWindowsPath

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from twinkit import cli, files, folder, tables
from twinkit.record import Record, RecordError

NAMES = ["a\0b", "CON", "nul.txt", "~nobody-of-that-name/x", "x" * 300, "y/" * 3000 + "z", "a\nb", "a\\b", "a:b", "end.", " ", "x?*", "\x1b[2J", "COM1", "lpt9.toml", ".hidden"]
PIECES = st.sampled_from(["con", "NUL", "com1", "COM\u00b9", "lpt9", "conin$", ".", "..", "/", "\\", ":", "C:", " ", "~", "\0", "\n", "\x7f", "\u202e", "\ud800", "x" * 90, "\U0001f6e9" * 70, "?", "*", "<", "é", "Dunlin"])
RESERVED = {"CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$", *(f"{kind}{n}" for kind in ("COM", "LPT") for n in "123456789\u00b9\u00b2\u00b3")}


@pytest.mark.published
@settings(deadline=None, max_examples=300)
@given(st.lists(PIECES, max_size=6).map("".join) | st.text(st.characters(), max_size=120))
def test_a_fitted_name_is_one_plain_name_on_every_system(name):
    """Reserved names, signs and ends: Microsoft, "Naming Files, Paths, and Namespaces" (Win32 file naming conventions; from memory); the standard library's path classes."""
    near = files.fit_name(name)
    assert files.fit_name(near) == near, "a name that was fitted fits"
    windows, posix = PureWindowsPath(near), PurePosixPath(near)
    assert windows.parts == posix.parts == (near,) and not windows.drive and not windows.root
    assert near.split(".")[0].rstrip().upper() not in RESERVED
    assert not set(near) & set('<>:"/\\|?*') and not [sign for sign in near if ord(sign) < 32] and near[-1] not in " ."
    assert len(near.encode("utf-8")) <= 200


@pytest.mark.parametrize("command", ["new", "open", "check", "print", "compare", "draw"])
@pytest.mark.parametrize("name", NAMES, ids=ascii)
def test_a_name_no_folder_should_have_is_told(command, name, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert cli.main([command, name, *([name] if command == "compare" else [])]) == cli.WRONG_USE
    said = capsys.readouterr().err
    assert said.endswith(".\n") and "Traceback" not in said and "wrong inside twinkit" not in said
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("platform", "python", "place"), [("win32", PureWindowsPath(r"C:\Program Files\100%\python.exe"), PureWindowsPath(r"D:\builds & more\x^y")),
                                                           ("darwin", PurePosixPath("/Applications/a'b/python3"), PurePosixPath("/Users/a/$(touch x)`y`"))])
def test_the_starters_of_other_systems_are_made_of_whole_words(platform, python, place):
    """Only the paths of the Python and of twinkit stand in them, quoted; the build's own folder is the one the starter lies in."""
    _, text = folder.starter(platform, str(python), str(python.parent), place)
    assert str(place) not in text
    if platform == "win32":
        assert f'"{str(python).replace("%", "%%")}" -m twinkit open "%~dp0."' in text
    else:
        import shlex

        words = shlex.split(text.splitlines()[2].replace("&&", ";"))
        assert str(python) in words and f"{python.parent}" in words


# --- clocks and files that change


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "build" / "build.toml"
    path.parent.mkdir()
    path.write_text(tables.text("demo/dunlin.toml"), encoding="utf-8")
    return path


def test_a_clock_set_back_hides_no_change(path):
    mine, other = Record.read(path), Record.read(path)
    stamp = os.stat(path)
    other.set("wing.chord", "200 mm")
    other.save()
    os.utime(path, (stamp.st_atime, stamp.st_mtime - 86400.0))
    mine.set("start.mass_guess", "1100 g")
    mine.keep("wing", "yesterday", {}, {}, {}, when="1999-01-01")
    assert mine.save().merged == ("wing",)
    end = Record.read(path)
    assert end.get("wing.chord").text == "200 mm" and end.get("start.mass_guess").text == "1100 g" and end.journal[-1]["when"] == "1999-01-01"


def test_a_file_replaced_by_another_aeroplane_is_told_entry_by_entry_and_stays(path):
    mine = Record.read(path)
    path.write_text(tables.text("demo/siskin.toml"), encoding="utf-8")
    before = path.read_bytes()
    mine.set("start.name", "Dunlin the second")
    report = mine.save()
    assert not report.saved and path.read_bytes() == before
    assert [(c.mine, c.theirs) for c in report.conflicts if c.path == "start.name"] == [("Dunlin the second", "Siskin")]
    assert mine.value("start.name") == "Dunlin the second", "the page keeps what was entered"


def test_a_folder_that_went_away_under_an_open_page_is_told(path):
    mine = Record.read(path)
    shutil.rmtree(path.parent)
    mine.set("wing.chord", "200 mm")
    with pytest.raises(RecordError, match="cannot be saved: there is no folder"):
        mine.save()
    path.parent.mkdir()
    assert mine.save().saved and Record.read(path).get("wing.chord").text == "200 mm"


def test_a_page_on_a_file_half_written_goes_on_once_that_is_mended(path, outputs):
    from twinkit import workbook

    whole = path.read_text(encoding="utf-8")
    path.write_text(whole[:whole.index('"Dunlin"') + 3], encoding="utf-8")
    page = workbook.open_page("wing", path.parent)
    assert "cannot be read at its end" in page.unreadable
    with pytest.raises(RecordError, match="it is not written over: mend it or move it away first"):
        page.save()
    page.banner.press.click()
    assert "cannot be read at its end" in page.banner.words.value, "still half: a sentence, and the page stays as it is"
    path.write_text(whole, encoding="utf-8")
    page.banner.press.click()
    assert page.record.value("start.name") == "Dunlin" and page.save().saved
    path.write_text(whole[:300], encoding="utf-8")
    page.keep()
    page.parts[-1].keep()
    assert page.parts[-1].said.value.endswith("The file on disk could not be read; it lies beside it as build.unreadable-1.toml.") and Record.read(path).value("start.name") == "Dunlin"
    assert path.with_name("build.unreadable-1.toml").read_text(encoding="utf-8") == whole[:300]


def test_a_file_held_by_another_program_is_waited_for_and_told(path, monkeypatch):
    mine, real, tries = Record.read(path), os.replace, []
    mine.set("wing.chord", "200 mm")

    def held(source, target):
        tries.append(target)
        if len(tries) < 4:
            raise PermissionError(13, "The process cannot access the file because it is being used by another process")
        real(source, target)

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", held)
        assert mine.save().saved and len(tries) == 5, "held for a moment: two files were put in place, the first at the fourth try"
    before = path.read_bytes()
    mine.set("wing.chord", "210 mm")
    monkeypatch.setattr(files, "PATIENCE", 0.05)
    monkeypatch.setattr(os, "replace", lambda source, target: (_ for _ in ()).throw(PermissionError(13, "in use")))
    with pytest.raises(RecordError) as told:
        mine.save()
    assert str(told.value) == "build.toml was not saved: another program holds the file; close it there, then do this again. The file on disk is as it was before"
    assert path.read_bytes() == before and sorted(entry.name for entry in path.parent.iterdir()) == ["build.previous.toml", "build.toml"]
