"""Build files and CSV files that went wrong, read and checked: each gives a result or a sentence, and loses nothing."""

import contextlib
import io
import time

from faults import fuzzed
from faults.tally import Tally
from twinkit import cli, tables
from twinkit.record import Record, rows_csv
from twinkit.record.document import alike


def builds(folder, count, every=20, first=0):
    """Read build files; of every so many-th also the findings, as `twinkit check` prints them."""
    tally, path, checked, whole = Tally("build files gone wrong"), folder / "build.toml", 0, 0
    for seed in range(first, first + count):
        data = fuzzed.build_bytes(seed)
        path.write_bytes(data)
        record = tally.answer(seed, lambda: _read(path))
        whole += record is not None
        if record is not None and seed % 5 == 0:
            tally.answer(seed, lambda: _changed(record))
            tally.done -= 1
        if record is not None and seed % every == 0:
            checked += 1
            began = time.monotonic()
            said, complaint = io.StringIO(), io.StringIO()
            with contextlib.redirect_stdout(said), contextlib.redirect_stderr(complaint):
                status = cli.main(["check", str(folder)])
            tally.slowest = max(tally.slowest, time.monotonic() - began)
            if status not in (cli.GOOD, cli.STOP) or complaint.getvalue():
                tally.tracebacks.append(f"{seed}: check ended with {status}: {' '.join(complaint.getvalue().split())[-300:]}")
        if path.read_bytes() != data:
            tally.lost.append(f"{seed}: reading changed the file")
    tally.more = f"{whole} read, {tally.told} told in a sentence, findings of {checked}"
    return tally


def _read(path):
    record = Record.read(path)
    for problem in record.problems:
        if not problem.sentence.strip() or len(problem.sentence) > 700:
            raise AssertionError(f"no sentence: {problem.sentence[:80]}")
    return record


def _changed(record):
    """One more entry, written and read again: all that was there is there still."""
    before = {path: record.get(path) for path in record._read.entries if path != "wing.chord"}
    record.set("wing.chord", "190 mm")
    again = Record.from_text(record.text())
    lost = [path for path, entry in before.items() if again.get(path) != entry]
    if lost or again.value("wing.chord") != 0.19 or not alike(again.journal, record.journal):
        raise AssertionError(f"a change lost {lost[:3]}")


def csvs(folder, count, first=0):
    """Take CSV files: the rows, or a sentence and the record as it was."""
    tally, text, taken = Tally("CSV files gone wrong"), tables.text("demo/dunlin.toml"), 0
    for seed in range(first, first + count):
        table, data = fuzzed.csv(seed)
        path, record = folder / rows_csv.file_name(table), Record.from_text(text)
        path.write_bytes(data)
        before, told = record.text(), tally.told
        if tally.answer(seed, lambda: rows_csv.take(record, table, path)) is not None:
            taken += 1
            tally.answer(seed, lambda: rows_csv.written(Record.from_text(record.text()), table))
            tally.done -= 1
        elif tally.told > told and record.text() != before:
            tally.lost.append(f"{seed}: a refused file changed the record")
        if path.read_bytes() != data:
            tally.lost.append(f"{seed}: reading changed the file")
    tally.more = f"{taken} taken, {tally.told} told in a sentence"
    return tally


def cuts(folder, step=1):
    """A build file and its journal cut off at every step-th byte: what is left reads, or a sentence says why not."""
    record = Record.from_text(tables.text("demo/dunlin.toml"))
    for number in range(3):
        record.keep("wing", f"reason {number}", {"span": "1160 mm"}, {"W01": "good"}, {"wing.span": "1160 mm"}, when="2025-03-01")
    whole, path = record.text().encode(), folder / "build.toml"
    tally = Tally("build files cut off")
    for end in range(0, len(whole) + 1, step):
        path.write_bytes(whole[:end])
        tally.answer(end, lambda: _read(path))
    tally.more = f"of {len(whole)} bytes, cut at every {step}"
    return tally
