"""The lock: two pages that save at once lose nothing, and a page that was stopped in the middle hinders nobody."""

import os
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

from twinkit.record import Record, RecordError, lock

ROOT = Path(__file__).resolve().parents[2]


def names(folder):
    return sorted(entry.name for entry in folder.iterdir())


def refusal(call):
    with pytest.raises(RecordError) as caught:
        call()
    return str(caught.value)


def test_a_lock_held_elsewhere_is_waited_for_and_told(path, record, monkeypatch):
    monkeypatch.setattr(lock, "WAIT", 0.05)
    path.with_name("build.toml.lock").write_text("another")
    record.set("wing.chord", "190")
    before = path.read_bytes()
    assert refusal(record.save) == ("build.toml was not saved: another page has been saving it for 0.05 s. Try again; "
                                    "if nothing else is open, delete build.toml.lock beside it")
    assert path.read_bytes() == before and path.with_name("build.toml.lock").read_text() == "another"


def test_a_lock_that_stays_the_same_while_it_is_watched_was_left_behind(path, record, monkeypatch):
    monkeypatch.setattr(lock, "STALE", 0.2)
    held = path.with_name("build.toml.lock")
    held.write_bytes(b"stopped \xff")
    record.set("wing.chord", "190")
    began = time.monotonic()
    assert record.save().saved and names(path.parent) == ["build.previous.toml", "build.toml"]
    assert time.monotonic() - began >= 0.2


def test_a_lock_whose_maker_was_stopped_before_its_word_is_taken_away_soon(path, record):
    path.with_name("build.toml.lock").touch()
    record.set("wing.chord", "190")
    began = time.monotonic()
    assert record.save().saved and time.monotonic() - began < lock.STALE / 2


@pytest.mark.skipif(os.name != "posix", reason="a process can be asked for on POSIX only")
@pytest.mark.parametrize("clock", [-10 * 86400, 0, 10 * 86400], ids=["set forward since", "right", "set back since"])
def test_a_lock_of_a_stopped_program_is_taken_away_at_once_whatever_the_clock_says(clock, path, record):
    done = subprocess.run([sys.executable, "-c", "import os; print(os.getpid())"], capture_output=True, text=True, check=True)
    held = path.with_name("build.toml.lock")
    held.write_text(f"{socket.gethostname()} {done.stdout.strip()} 00")
    os.utime(held, (time.time() + clock,) * 2)
    record.set("wing.chord", "190")
    began = time.monotonic()
    assert record.save().saved and names(path.parent) == ["build.previous.toml", "build.toml"]
    assert time.monotonic() - began < lock.STALE / 2


@pytest.mark.parametrize("word", ["another machine 1 00", f"{socket.gethostname()} {os.getpid()} 00", f"{socket.gethostname()} x 00", ""])
def test_a_lock_of_a_page_that_may_still_run_is_waited_for(word, path, record, monkeypatch):
    monkeypatch.setattr(lock, "WAIT", 0.05)
    held = path.with_name("build.toml.lock")
    held.write_text(word)
    record.set("wing.chord", "190")
    refusal(record.save)
    assert held.read_text() == word


def test_a_fresh_lock_in_the_place_of_a_stale_one_is_put_back(path):
    mine = lock.Lock(path)
    mine.path.write_text("fresh")
    mine._set_aside("stale")
    assert mine.path.read_text() == "fresh" and names(path.parent) == ["build.toml.lock"]


def test_what_a_stopped_save_left_is_swept_and_nothing_else(path, record):
    for left in (".build.toml.0123456789abcdef.tmp", ".build.previous.toml.0123456789abcdef.tmp", ".other.toml.0123456789abcdef.tmp", ".build.toml.mine.tmp"):
        path.with_name(left).write_text("half")
    record.set("wing.chord", "190")
    assert record.save().saved
    assert names(path.parent) == [".build.toml.mine.tmp", ".other.toml.0123456789abcdef.tmp", "build.previous.toml", "build.toml"]


def test_a_save_that_lost_its_lock_does_not_write(path, record, monkeypatch):
    monkeypatch.setattr(lock.Lock, "held", lambda self: False)
    record.set("wing.chord", "190")
    before = path.read_bytes()
    assert refusal(record.save) == "build.toml was not saved: the save took so long that another page went ahead; save again"
    assert path.read_bytes() == before and [name for name in names(path.parent) if name.endswith(".tmp")] == []


WORKER = """
import sys
from twinkit.record import Record
path, section, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
record = Record.read(path)
for number in range(count):
    record.set_note(section, f"{section} {number}")
    record.acknowledge(f"{section}-{number}", "a", "b", "2025-03-01")
    if section == "wing":
        record.set("wing.span", f"{1000 + number} mm")
    else:
        record.set("power.left.kv", f"{1000 + number} rpm/V")
    record.keep(section, str(number), {}, {}, {})
    report = record.save()
    assert report.saved and not report.conflicts, report
"""


@pytest.mark.identity
def test_two_programs_saving_different_sections_lose_nothing(path, record):
    count = 50
    programs = [subprocess.Popen([sys.executable, "-c", WORKER, str(path), section, str(count)], cwd=ROOT, stderr=subprocess.PIPE)
                for section in ("wing", "power")]
    for program in programs:
        _, trouble = program.communicate(timeout=120)
        assert program.returncode == 0, trouble.decode()
    end = Record.read(path)
    assert end.problems == []
    assert all(end.acknowledged(f"{section}-{number}") for section in ("wing", "power") for number in range(count))
    assert end.note("wing") == "wing 49" and end.note("power") == "power 49"
    assert end.get("wing.span").text == "1049 mm" and end.get("power.left.kv").text == "1049 rpm/V"
    assert sorted((line["step"], int(line["reason"])) for line in end.journal) == [(step, number) for step in ("power", "wing") for number in range(count)]
    assert names(path.parent) == ["build.previous.toml", "build.toml"]
