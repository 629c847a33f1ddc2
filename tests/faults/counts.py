"""The full counts, as a table: PYTHONPATH=$PWD:tests .venv/bin/python -m faults.counts [names]. Takes about half an hour; the tests take small counts of the same functions."""

import sys
import tempfile
import time
from pathlib import Path

from faults import disk, fuzz, saving

COUNTS = {
    "killed": lambda folder: saving.killed(folder, 1000),
    "at_once": lambda folder: saving.at_once(folder, 1000),
    "disk": lambda folder: disk.failing(folder, ("save", "CSV", "flight card", "pages")),
    "paper": lambda folder: disk.failing(folder, ("paper",), ("open", "write", "fsync", "replace"), ("full", "held"), 3),
    "full": lambda folder: disk.full(folder, 300),
    "large": lambda folder: disk.large(folder),
    "cuts": lambda folder: fuzz.cuts(folder),
    "builds": lambda folder: fuzz.builds(folder, 10_000),
    "csvs": lambda folder: fuzz.csvs(folder, 2000),
}


def main(names):
    unknown = [name for name in names if name not in COUNTS]
    if unknown:
        print(f"There is no count '{unknown[0]}': the counts are {', '.join(COUNTS)}.")
        return 2
    rows, troubles = [("what", "how many", "told", "lost", "tracebacks", "slowest", "")], []
    for name in names or COUNTS:
        began = time.monotonic()
        with tempfile.TemporaryDirectory(prefix="twinkit-counts-") as folder:
            tally = COUNTS[name](Path(folder))
        rows.append((*tally.row()[:-1], f"{tally.more} ({time.monotonic() - began:.0f} s)"))
        troubles += [*tally.lost, *tally.tracebacks]
        print(f"{name} done", file=sys.stderr, flush=True)
    widths = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    print("\n".join("  ".join(cell.ljust(width) for cell, width in zip(row, widths)).rstrip() for row in rows))
    print("\n".join(troubles[:40]))
    return 1 if troubles else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
