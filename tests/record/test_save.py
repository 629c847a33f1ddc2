"""Saving: whole or not at all, the previous version beside it, sentences for every trouble."""

import errno
import os
import re
from pathlib import Path

import pytest

from twinkit.record import Record, RecordError, document, safe_name

ROOT = Path(__file__).resolve().parents[2]


def names(folder):
    return sorted(entry.name for entry in folder.iterdir())


def refusal(call, *given, **more):
    with pytest.raises(RecordError) as caught:
        call(*given, **more)
    return str(caught.value)


# --- reading a file


def test_a_file_that_cannot_be_read_at_all_is_refused_in_a_sentence(tmp_path, path):
    assert refusal(Record.read, path) == f"there is no file {path}"
    assert refusal(Record.read, tmp_path) == f"{tmp_path} is not a file: name the build.toml in the builder's folder"
    path.write_bytes(b'schema = 2\n[start]\nname = "\xff"\n')
    assert refusal(Record.read, path) == "build.toml is not UTF-8 text (line 3): save it as UTF-8 in your editor"
    path.write_text('schema = 2\n[wing]\nspan = 1160 mm\n')
    assert refusal(Record.read, path) == ("build.toml cannot be read in line 3, column 13: Expected newline or end of document after a statement. "
                                          'A line is written like span = "1160 mm"')
    path.write_text('schema = 2\n[wing]\nspan = "1 m"\nspan = "2 m"\n')
    assert refusal(Record.read, path) == 'build.toml cannot be read in line 4, column 13: Cannot overwrite a value. A line is written like span = "1160 mm"'
    path.write_text("schema = 2\nx = " + "[" * 50000)
    assert refusal(Record.read, path) == "build.toml cannot be read: its brackets are nested too deep"
    path.write_text("schema = 3\n")
    assert refusal(Record.read, path) == "build.toml has schema 3, and this version knows schemas up to 2: update twinkit to open it"


def test_a_file_over_the_limit_is_refused_before_it_is_read(path, monkeypatch):
    path.write_bytes(b"#" * (document.MAX_BYTES + 1))
    monkeypatch.setattr("builtins.open", lambda *given, **more: pytest.fail("the file was opened"))
    assert refusal(Record.read, path) == "build.toml holds 2000001 bytes: a record has at most 2000000; it was not read"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes on this system")
def test_a_pipe_is_not_waited_for(path):
    os.mkfifo(path)
    assert refusal(Record.read, path) == f"{path} is not a file: name the build.toml in the builder's folder"


def test_line_ends_and_a_byte_order_mark_of_other_editors_are_taken(path):
    path.write_bytes('\ufeffschema = 2\r\n# mine\r\n[wing]\r\nspan = "1 m"\r\n'.encode())
    record = Record.read(path)
    assert record.problems == [] and record.value("wing.span") == 1.0
    record.set("wing.chord", "190")
    record.save()
    assert path.read_bytes() == b'schema = 2\r\n# mine\r\n[wing]\r\nspan = "1 m"\r\nchord = "190 mm"\r\n'


# --- saving


def test_the_first_save_has_no_previous_and_the_next_keeps_it(path):
    record = Record.blank("Dunlin")
    report = record.save(path)
    assert report.saved and report.previous is None and report.path == path and record.path == path
    first = path.read_text(encoding="utf-8")
    record.set("wing.span", "1160 mm")
    report = record.save()
    assert report.previous == path.with_name("build.previous.toml") and report.previous.read_text(encoding="utf-8") == first
    assert Record.read(path).get("wing.span").text == "1160 mm"
    assert names(path.parent) == ["build.previous.toml", "build.toml"]


def test_saving_without_a_change_writes_nothing(path, record):
    before = os.stat(path)
    report = record.save()
    assert report.saved and report.previous is None
    assert (os.stat(path).st_mtime_ns, os.stat(path).st_ino) == (before.st_mtime_ns, before.st_ino) and names(path.parent) == ["build.toml"]


def test_a_record_without_a_file_asks_for_one():
    assert refusal(Record.blank().save) == "this record has no file yet: say where to save it"


def test_another_build_is_never_written_over(path, record):
    other = Record.blank("Siskin")
    before = path.read_bytes()
    assert refusal(other.save, path) == f"{path} holds a build already: choose another name, or open that build and change it there"
    assert path.read_bytes() == before
    assert other.path is None


def test_saving_under_another_name_moves_the_record_there(path, record):
    second = path.with_name("second.toml")
    record.set("wing.chord", "190")
    record.save(second)
    assert record.path == second and not Record.read(path).written("wing.chord") and Record.read(second).written("wing.chord")


def test_a_missing_schema_is_written(path):
    path.write_text('[wing]\nspan = "1 m"\n')
    record = Record.read(path)
    record.save()
    assert path.read_text() == 'schema = 2\n\n[wing]\nspan = "1 m"\n' and record.problems == []


def test_a_deleted_file_is_written_anew(path, record):
    path.unlink()
    assert record.save().saved and Record.read(path).value("start.name") == "Dunlin"


def test_the_rights_of_the_file_stay(path, record):
    path.chmod(0o640)
    record.set("wing.chord", "190")
    record.save()
    assert path.stat().st_mode & 0o777 == 0o640


def test_a_missing_folder_is_told(tmp_path):
    assert refusal(Record.blank().save, tmp_path / "no" / "build.toml") == f"{tmp_path}/no/build.toml cannot be saved: there is no folder {tmp_path}/no"


def test_a_write_protected_file_is_left_alone(path, record):
    path.chmod(0o444)
    record.set("wing.chord", "190")
    assert refusal(record.save) == f"{path} is write-protected: nothing was saved; take the protection off or save under another name"
    assert names(path.parent) == ["build.toml"]


def test_a_record_too_long_to_be_read_again_is_not_saved(path, record, monkeypatch):
    monkeypatch.setattr(document, "MAX_BYTES", 1000)
    before = path.read_bytes()
    record.set_note("wing", "x" * 1000)
    length = len(record.text())
    assert refusal(record.save) == (f"build.toml was not saved: the record would hold {length} bytes, at most 1000 can be read again; "
                                    "shorten notes, rows or the journal")
    assert path.read_bytes() == before


# --- trouble in the middle


class Failing:
    """A call of the system that fails the n-th time."""

    def __init__(self, real, when, error):
        self.real, self.left, self.error = real, when, error

    def __call__(self, *given, **more):
        self.left -= 1
        if self.left == 0:
            raise self.error
        return self.real(*given, **more)


@pytest.mark.parametrize("call", ["open", "write", "fsync", "replace", "stat"])
@pytest.mark.parametrize("when", range(1, 9))
@pytest.mark.parametrize("error", [OSError(errno.ENOSPC, "No space left on device"), OSError(errno.EIO, "Input/output error"), KeyboardInterrupt()],
                         ids=["full", "broken", "stopped"])
def test_whatever_fails_the_file_is_the_old_one_or_the_new_one_whole(path, record, monkeypatch, call, when, error):
    older = path.read_bytes()
    record.set("wing.chord", "190")
    record.save()
    old = path.read_bytes()
    record.set("wing.chord", "200")
    new = record.text().encode()
    with monkeypatch.context() as patch:
        failing = Failing(getattr(os, call), when, error)
        patch.setattr(os, call, failing)
        try:
            saved = record.save().saved
        except (RecordError, KeyboardInterrupt) as trouble:
            saved = False
            assert isinstance(trouble, KeyboardInterrupt) or str(trouble)
    after = path.read_bytes()
    assert after in (old, new)
    assert after == new or not saved
    assert path.with_name("build.previous.toml").read_bytes() in (older, old)
    assert [name for name in names(path.parent) if name.endswith(".tmp")] == []
    assert record.value("wing.chord") == 0.2, "the record in memory keeps what was entered"
    assert record.save().saved and path.read_bytes() == new


@pytest.mark.parametrize(("number", "why"), [
    (errno.ENOSPC, "the disk is full; make room"),
    (errno.EACCES, "the folder {folder} cannot be written to; save in another one"),
    (errno.EROFS, "the folder {folder} cannot be written to; save in another one"),
    (errno.EIO, "Input/output error; try again or save in another folder"),
])
def test_the_trouble_is_told_in_a_sentence(path, record, monkeypatch, number, why):
    record.set("wing.chord", "190")
    before = path.read_bytes()

    def fails(*given):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", fails)
    assert refusal(record.save) == f"build.toml was not saved: {why.format(folder=path.parent)}. The file on disk is as it was before"
    assert path.read_bytes() == before and names(path.parent) == ["build.toml"]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the administrator may write everywhere")
def test_a_read_only_folder_is_told(path, record):
    path.parent.chmod(0o555)
    try:
        record.set("wing.chord", "190")
        assert refusal(record.save) == (f"build.toml was not saved: the folder {path.parent} cannot be written to; save in another one. "
                                        "The file on disk is as it was before")
    finally:
        path.parent.chmod(0o755)


def test_a_short_write_is_gone_on_with(path, record, monkeypatch):
    real = os.write
    monkeypatch.setattr(os, "write", lambda file, data: real(file, bytes(data)[:7]))
    record.set_note("wing", "a long note " * 20)
    assert record.save().saved
    assert Record.read(path).note("wing") == "a long note " * 20


def test_a_folder_that_cannot_be_synced_is_no_trouble(path, record, monkeypatch):
    real = os.open
    monkeypatch.setattr(os, "open", lambda name, *more: real(name, *more) if name != path.parent else (_ for _ in ()).throw(OSError(errno.EACCES, "no")))
    record.set("wing.chord", "190")
    assert record.save().saved


# --- files on disk that cannot be read


@pytest.mark.parametrize("broken", [b"schema = 2\n[wing\n", b"\xff\xfe", b"#" * (document.MAX_BYTES + 1)], ids=["not TOML", "not UTF-8", "too long"])
def test_a_file_that_no_longer_parses_is_set_aside_and_said(path, record, broken):
    record.set("wing.chord", "190")
    for number in (1, 2):
        path.write_bytes(broken)
        report = record.save()
        assert report.saved and report.set_aside == path.with_name(f"build.unreadable-{number}.toml") and report.previous is None
        assert report.set_aside.read_bytes() == broken
        assert Record.read(path).get("wing.chord").text == "190 mm"


def test_a_newer_schema_on_disk_is_never_written_over(path, record):
    path.write_text("schema = 3\n")
    record.set("wing.chord", "190")
    assert refusal(record.save) == "build.toml was not saved: the file on disk was written by a newer version; update twinkit, then open it again"
    assert path.read_text() == "schema = 3\n" and names(path.parent) == ["build.toml"]


def test_a_file_that_cannot_be_opened_just_now_is_neither_set_aside_nor_written_over(path, record, monkeypatch):
    record.set("wing.chord", "190")
    before = path.read_bytes()

    def fails(*given, **more):
        raise OSError(errno.EIO, "Input/output error")

    with monkeypatch.context() as patch:
        patch.setattr("builtins.open", fails)
        assert refusal(record.save) == f"{path} cannot be read: Input/output error"
    assert path.read_bytes() == before and names(path.parent) == ["build.toml"]


def test_a_file_that_cannot_be_read_names_the_version_before_where_that_can(path, record):
    record.set("wing.chord", "190")
    record.save()
    path.write_bytes(b"schema = 2\n[wing\n")
    assert refusal(Record.read, path).endswith(". build.previous.toml beside it holds the version before the last save, and that one can be read")
    path.with_name("build.previous.toml").write_text("x = [")
    assert "previous" not in refusal(Record.read, path)


# --- links


def test_a_link_is_followed_and_stays_a_link(tmp_path, record, path):
    (tmp_path / "elsewhere").mkdir()
    link = tmp_path / "elsewhere" / "build.toml"
    link.symlink_to(path)
    through = Record.read(link)
    through.set("wing.chord", "190")
    report = through.save()
    assert link.is_symlink() and not path.is_symlink() and Record.read(path).written("wing.chord")
    assert report.previous == path.with_name("build.previous.toml") and names(link.parent) == ["build.toml"]


def test_both_names_of_a_linked_build_merge(tmp_path, record, path):
    link = tmp_path / "link.toml"
    link.symlink_to(path)
    through = Record.read(link)
    through.set("power.left.kv", "1000")
    record.set("wing.chord", "190")
    record.save()
    assert through.save().merged == ("wing",)
    assert Record.read(path).written("wing.chord") and Record.read(path).written("power.left.kv")


def test_a_link_to_nothing_or_to_another_kind_of_file_is_refused(tmp_path, record, path):
    link, letter = tmp_path / "link.toml", tmp_path / "letter.txt"
    link.symlink_to(tmp_path / "nothing.toml")
    assert refusal(Record.blank().save, link) == f"{link} is a link to {tmp_path}/nothing.toml, which is not there: nothing was saved"
    link.unlink()
    link.symlink_to(path)
    through = Record.read(link)
    letter.write_text("dear reader")
    link.unlink()
    link.symlink_to(letter)
    through.set("wing.chord", "190")
    assert refusal(through.save) == f"{link} is a link to a file that cannot be read as a build: nothing was saved"
    assert letter.read_text() == "dear reader" and names(tmp_path) == ["build.toml", "letter.txt", "link.toml"]


def test_a_link_planted_at_the_previous_name_is_replaced_not_followed(tmp_path, record, path):
    letter = tmp_path / "letter.txt"
    letter.write_text("dear reader")
    path.with_name("build.previous.toml").symlink_to(letter)
    record.set("wing.chord", "190")
    report = record.save()
    assert letter.read_text() == "dear reader" and not report.previous.is_symlink()


# --- names


@pytest.mark.parametrize("name", ["Dunlin", "my twin 2", "Möwe", "a.b", "x" * 80, "海鸟"])
def test_a_plain_name_stays(name):
    assert safe_name(name) == name


@pytest.mark.parametrize(("name", "near"), [
    ("../other", "other"), ("a/b", "a-b"), ("a\\b", "a-b"), ("/etc", "etc"), ("C:build", "C-build"), ("..", "build"), ("", "build"), (".hidden", "hidden"),
    ("CON", "CON-build"), ("nul.toml", "nul-build"), ("end.", "end"), (" x ", "x"), ("a\0b", "ab"), ("a\nb", "ab"), ("what?*", "what"), ("x" * 81, "x" * 80),
    ("a\u202eb", "ab"),
])
def test_a_name_cannot_leave_its_folder(name, near):
    assert refusal(safe_name, name) == (f"'{name}' cannot name a build: it may have at most 80 letters, digits, spaces and - _ . inside, "
                                        f"and no folders; nearest: {near}")
    assert safe_name(near) == near


def test_nothing_of_the_file_is_run():
    for file in sorted((ROOT / "twinkit" / "record").glob("*.py")):
        assert not re.search(r"\b(eval|exec|pickle|marshal|__import__)\b", file.read_text(encoding="utf-8")), file.name
