"""Disks that are full, files that are held, folders that are shut, and files far too large."""

import contextlib
import errno
import os
import subprocess
import time
from unittest import mock

from faults.tally import Tally
from twinkit import files, folder, paper, printed, tables
from twinkit.folder import FolderError
from twinkit.printed import card
from twinkit.record import Record, RecordError, rows_csv

LARGE = 100_000_000
CALLS = ("open", "write", "fsync", "replace", "chmod", "unlink", "close")
ERRORS = {
    "full": lambda: OSError(errno.ENOSPC, "No space left on device"),
    "held": lambda: PermissionError(errno.EACCES, "The process cannot access the file because it is being used by another process"),
    "shut": lambda: OSError(errno.EROFS, "Read-only file system"),
    "broken": lambda: OSError(errno.EIO, "Input/output error"),
}


def _save(place):
    record = Record.read(place / "build.toml")
    record.set_note("wing", f"{record.note('wing')} more")
    assert record.save().saved


# What writes into a build's folder, and the file it writes.
WRITERS = {
    "save": (_save, "build.toml"),
    "CSV": (lambda place: rows_csv.write(Record.read(place / "build.toml"), "start.parts", place), "start.parts.csv"),
    "flight card": (lambda place: printed.print_sheets(place, card.FILE, card.card), card.FILE),
    "pages": (lambda place: folder.lay_pages(place), "00_start.ipynb"),
    "paper": (lambda place: paper.write(place, Record.read(place / "build.toml")), "paper/sheet-1.svg"),
}
SENTENCES = (RecordError, FolderError, OSError)      # an OSError reaches a page as a sentence too: controls/rows_file says "Not written: ..."


class _Failing:
    """A call of the system that fails the n-th time and after."""

    def __init__(self, real, when, error):
        self.real, self.left, self.error, self.met = real, when, error, False

    def __call__(self, *given, **more):
        self.left -= 1
        if self.left < 0:
            self.met = True
            raise self.error()
        return self.real(*given, **more)


def _held(place):
    """Every file of a build's folder with its bytes."""
    return {path.relative_to(place).as_posix(): path.read_bytes() for path in sorted(place.rglob("*")) if path.is_file()}


def failing(place, writers=tuple(WRITERS), calls=CALLS, errors=tuple(ERRORS), most=6):
    """Each call of the system fails in turn while each writer writes: every file is the old one or the new one, whole, and the next try succeeds."""
    tally, build = Tally("calls of the system failing"), place / "build"
    folder.make(build, "demo")
    with mock.patch.object(files, "PATIENCE", 0.02):
        for name in writers:
            write, target = WRITERS[name]
            write(build)
            for call in calls:
                for error in errors:
                    for when in range(most):
                        if name == "pages":
                            (build / target).unlink(missing_ok=True)
                        before, failure = _held(build), _Failing(getattr(os, call), when, ERRORS[error])
                        label = f"{name}: {call} {error} at {when}"
                        began = time.monotonic()
                        tally.done += 1
                        with mock.patch.object(os, call, failure):
                            try:
                                write(build)
                            except SENTENCES as told:
                                tally.told += 1
                                tally.sentence(label, str(told))
                            except Exception as trouble:
                                tally.tracebacks.append(f"{label}: {type(trouble).__name__}: {trouble}")
                        tally.slowest = max(tally.slowest, time.monotonic() - began)
                        _compare(tally, label, before, _held(build), call)
                        if not failure.met:
                            break
                        try:
                            write(build)
                        except Exception as trouble:
                            tally.lost.append(f"{label}: the next try failed: {type(trouble).__name__}: {trouble}")
                        for left in [*build.rglob(".*.tmp"), *build.rglob("*.lock*")]:      # what could not be taken away while taking away failed
                            left.unlink()
    tally.more = f"{', '.join(writers)}; {', '.join(calls)}; {', '.join(errors)}"
    return tally


def _compare(tally, label, before, after, call):
    for name, data in before.items():
        if name not in after:
            tally.lost.append(f"{label}: {name} is gone")
        elif after[name] != data and not _whole(name, after[name]):
            tally.lost.append(f"{label}: {name} is neither the old one nor whole")
    left = [name for name in after if name.endswith(".tmp") or ".lock" in name]
    if left and call not in ("unlink", "close"):
        tally.lost.append(f"{label}: left behind {left}")
    for name in set(after) - set(before):
        if not name.endswith(".tmp") and ".lock" not in name and not _whole(name, after[name]):
            tally.lost.append(f"{label}: {name} is new and not whole")


def _whole(name, data):
    """Whether a file has its end."""
    ends = {".toml": b"\n", ".csv": b"\n", ".html": b"</html>\n", ".ipynb": b"}\n", ".svg": b"</svg>\n", ".pdf": b"%%EOF\n", ".desktop": b"\n", ".bat": b"\n", ".command": b"\n"}
    suffix = "." + name.rsplit(".", 1)[-1]
    return data.rstrip(b"\r\n").endswith(b"EOF") if suffix == ".dxf" else data.endswith(ends[suffix])


def full(place, count):
    """A real disk of 300 kB that is full to a few bytes, other ones each time: saving either succeeds whole or says so."""
    tally, disk = Tally("saves on a full disk"), place / "disk"
    disk.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=300k", "tmpfs", str(disk)], capture_output=True).returncode:
        tally.more = "left out: no small disk can be made here"
        return tally
    try:
        path, filler = disk / "build.toml", disk / "filler"
        path.write_text(tables.text("demo/dunlin.toml"), encoding="utf-8")
        Record.read(path).save()
        for number in range(count):
            filler.write_bytes(b"")
            with contextlib.suppress(OSError), open(filler, "wb") as file:
                while file.write(b"x" * 4096):
                    file.flush()
            with open(filler, "r+b") as file:      # room for a few pages of 4 kB again
                file.truncate(max(0, os.path.getsize(filler) - 4096 * (number % 9)))
            record = Record.read(path)
            old = path.read_bytes()
            record.set_note("wing", f"{number} " + "words " * (number % 50))
            new = record.text().encode()
            report = tally.answer(number, record.save)
            held = path.read_bytes()
            if held != (new if report else old):
                tally.lost.append(f"{number}: the file is neither the old one nor the new one")
            left = [entry.name for entry in disk.iterdir() if entry.name not in ("build.toml", "build.previous.toml", "filler")]
            if left:
                tally.lost.append(f"{number}: left behind {left}")
            filler.unlink()
            if not report and not record.save().saved:
                tally.lost.append(f"{number}: with room again it is not saved")
        if subprocess.run(["mount", "-o", "remount,ro", str(disk)], capture_output=True).returncode == 0:
            record, told = Record.read(path), tally.told
            record.set_note("wing", "on a disk that may only be read")
            tally.answer("read-only", record.save)
            if tally.told != told + 1:
                tally.lost.append("a disk that may only be read was saved on")
    finally:
        subprocess.run(["umount", str(disk)], check=True)
    tally.more = "a disk of 300 kB in memory; with room again each was saved; the last on a disk that may only be read"
    return tally


def large(place):
    """Files of 100 MB where a build file, a table, a lock or a page is wanted: refused within a second."""
    tally = Tally("files of 100 MB")
    build = place / "build"
    folder.make(build, "demo")
    record = Record.read(build / "build.toml")
    csv, toml = build / "start.parts.csv", place / "build.toml"
    for path, data in ((csv, b"kind,name,count,mass,note\n" + b"motor,a,1,9 g,x\n" * 1000), (toml, b"schema = 2\n" + b'[wing]\nspan = "1 m"\n' * 1000)):
        with open(path, "wb") as file:
            while file.tell() < LARGE:
                file.write(data)
    tally.answer("build file", lambda: Record.read(toml))
    tally.answer("CSV", lambda: rows_csv.take(record, "start.parts", csv))
    refusals = tally.slowest
    if refusals > 1.0:
        tally.lost.append(f"a refusal took {refusals:.2f} s")
    tally.answer("CSV written beside a large one", lambda: rows_csv.write(record, "start.parts", build))
    csv.with_suffix(".before.csv").rename(build / "build.toml")
    tally.answer("save over a large one", record.save)
    tally.more, tally.slowest = f"two refused; then one kept beside a table and one set aside by a save, {tally.slowest:.2f} s at most", refusals
    if Record.read(build / "build.toml").value("start.name") != "Dunlin" or (build / "build.unreadable-1.toml").stat().st_size < LARGE:
        tally.lost.append("the large file was not set aside, or the record not saved")
    if tally.told < 2:
        tally.lost.append("a large file was taken")
    return tally
