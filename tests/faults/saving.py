"""Saves that are killed in the middle, and pages that save at once: programs of their own, by fork, so that a thousand take minutes."""

import os
import random
import select
import signal
import time

from faults.tally import Tally
from twinkit import tables
from twinkit.record import Record

END = "end\n"
MOST_MILLISECONDS = 40.0    # after its first save a program is killed within that time; one save takes about ten


def _child(act):
    """A program that does this and ends without anything of its maker's; its number."""
    number = os.fork()
    if number:
        return number
    try:
        act()
    finally:
        os._exit(0)


def _names(folder):
    return sorted(entry.name for entry in folder.iterdir())


def killed(folder, count, seed=1):
    """Kill a saving program at chance moments: the file is whole, holds the last save that was reported or the next one, and the next save goes through."""
    tally, chance, path = Tally("kill -9 during save"), random.Random(seed), folder / "build.toml"
    path.write_text(tables.text("demo/dunlin.toml"), encoding="utf-8")
    Record.read(path).save()
    left, slow = 0, 0
    for number in range(count):
        out, into = os.pipe()

        def saves(first=number * 100_000, into=into):
            record, step = Record.read(path), first
            while True:
                step += 1
                record.set_note("wing", f"{step}")
                record.set("start.mass_guess", f"{1000 + step % 500} g")
                assert record.save().saved
                os.write(into, f"{step}\n".encode())

        program = _child(saves)
        os.close(into)
        first = os.read(out, 100)
        time.sleep(chance.uniform(0.0, MOST_MILLISECONDS) / 1000.0)
        os.kill(program, signal.SIGKILL)
        os.waitpid(program, 0)
        said = first + b"".join(iter(lambda: os.read(out, 4096), b""))
        os.close(out)
        if not said:
            tally.lost.append(f"{number}: the program saved nothing")
            continue
        reported = int(said.decode().split()[-1])
        left += len(set(_names(folder)) - {"build.toml", "build.previous.toml"})
        record = tally.answer(number, lambda: Record.read(path))
        held = record.note("wing") if record else "unreadable"
        if record is None or record.problems or held not in (str(reported), str(reported + 1)):
            tally.lost.append(f"{number}: {reported} was reported, the file holds {held}")
            continue
        if tally.answer(f"{number} previous", lambda: Record.read(path.with_name("build.previous.toml"))) is None:
            tally.lost.append(f"{number}: the version before is not whole")
        tally.done -= 1
        began = time.monotonic()
        record.set_note("power", f"after {number}")
        try:
            record.save()
        except Exception as trouble:
            tally.tracebacks.append(f"{number}: the next save: {type(trouble).__name__}: {trouble}")
        tally.slowest = max(tally.slowest, time.monotonic() - began)
        slow += time.monotonic() - began > 1.0
        if _names(folder) != ["build.previous.toml", "build.toml"]:
            tally.lost.append(f"{number}: left behind {_names(folder)}")
        if Record.read(path).note("power") != f"after {number}":
            tally.lost.append(f"{number}: the next save is not there")
    tally.more = f"{left} files left by the killed were taken away, {slow} next saves over 1 s"
    return tally


class _Page:
    """A page in a program of its own that saves when it is told."""

    def __init__(self, path, entry, note):
        self.orders, orders = os.pipe()
        answers, self.answers = os.pipe()

        def works():
            os.close(orders)
            os.close(answers)
            record = Record.read(path)
            with os.fdopen(self.orders) as told, os.fdopen(self.answers, "w") as say:
                for line in iter(told.readline, END):
                    value, clash = line.split()
                    record.set(entry, f"{value} g" if entry.startswith("start.") else f"{value} mm")
                    record.set_note(note, value)
                    if clash != "-":
                        record.set("rudder.throw", clash)
                    report = record.save()
                    conflicts = [f"{c.path} {c.mine} {c.theirs}" for c in report.conflicts]
                    if not report.saved:
                        record.save(resolve="theirs")
                    say.write(f"{'saved' if report.saved else 'told ' + ';'.join(conflicts)}\n")
                    say.flush()

        self.number = _child(works)
        os.close(self.orders)
        os.close(self.answers)
        self.orders, self.answers = os.fdopen(orders, "w"), os.fdopen(answers)

    def order(self, *words):
        self.orders.write(" ".join(map(str, words)) + "\n")
        self.orders.flush()

    def answer(self):
        ready, _, _ = select.select([self.answers], [], [], 30.0)
        return self.answers.readline().strip() if ready else ""

    def end(self):
        self.orders.write(END)
        self.orders.close()
        self.answers.close()
        os.waitpid(self.number, 0)


def at_once(folder, count):
    """Two pages save different entries at the same moment, every tenth time the same one too: both are there, or one is told of the conflict with both values."""
    tally, path = Tally("two pages saving at once"), folder / "build.toml"
    path.write_text(tables.text("demo/dunlin.toml"), encoding="utf-8")
    pages = [_Page(path, "start.mass_guess", "start"), _Page(path, "wing.chord", "wing")]
    try:
        for number in range(count):
            value, clash = 150 + number % 100, number % 10 == 9
            began = time.monotonic()
            for turn, page in enumerate(pages if number % 2 else pages[::-1]):
                page.order(value + 100 * pages.index(page), 10 + number % 7 + 8 * turn if clash else "-")
            said = [page.answer() for page in pages]
            tally.done += 1
            tally.slowest = max(tally.slowest, time.monotonic() - began)
            tally.told += sum(words.startswith("told") for words in said)
            if "" in said:
                tally.tracebacks.append(f"{number}: a page gave no answer: {said}")
                break
            record = Record.read(path)
            held = [record.get("start.mass_guess").text, record.get("wing.chord").text, record.note("start"), record.note("wing")]
            if held != [f"{value} g", f"{value + 100} mm", str(value), str(value + 100)]:
                tally.lost.append(f"{number}: {said}, and the file holds {held}")
            if clash != any(words.startswith("told rudder.throw") for words in said):
                tally.lost.append(f"{number}: {'a conflict was not told' if clash else 'a conflict was told where there was none'}: {said}")
    finally:
        for page in pages:
            page.end()
    tally.more = "told: conflicts over one entry, of which both values were named"
    return tally
