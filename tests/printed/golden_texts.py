"""What goes on paper as plain text, made from small builds so that a change of physics elsewhere moves little of it.

`.venv/bin/python tests/printed/golden_texts.py` stores the texts again; look at the difference.
"""

import sys
from pathlib import Path

FOLDER = Path(__file__).parent / "golden"
sys.path.insert(0, str(Path(__file__).parents[1]))

from builds import record  # noqa: E402

from twinkit.design import Results  # noqa: E402
from twinkit.drawings import first_flight_sheets, record_sheets  # noqa: E402
from twinkit.printed import compare, evening, work_sheets  # noqa: E402
from twinkit.printed.paper import Heading, sheets_text  # noqa: E402

START = {"start.name": "Wren", "start.builder": "a test", "start.mass_guess": "900 g", "start.span_guess": "1100 mm", "start.cruise_guess": "12 m/s"}
BUILT = {"bench.cg_mark": "pencil line under each wing half, 51 mm behind the leading edge", "bench.cut_is": "switch on the left shoulder, down", "bench.failsafe_is": "throttles closed, surfaces held",
         "bench.memory": "own", "wiring.left.red_lead": "isolated", "wiring.right.red_lead": "connected", "wiring.isolation": "pin",
         "bench.weighings": [{"date": "2026-05-01", "mass": "905 g", "cg": "51 mm", "note": "first time"}],
         "weight.register": [{"label": "A", "pair": "one", "bought": "2024-04", "cells": 3, "capacity": "1500 mAh", "resistance": "41 mohm", "measured": "2026-05-02"}],
         "bench.repairs": [{"date": "2026-06-01", "flight": 7, "what": "left nacelle glued", "weighed": "yes", "balanced": "yes", "metered": "yes", "tried": "no"}]}


def _page(blocks, number):
    """The blocks of one work sheet."""
    starts = [n for n, block in enumerate(blocks) if isinstance(block, Heading) and block.level == 1] + [len(blocks)]
    return blocks[starts[number]:starts[number + 1]]


def _built():
    results = Results(record("blank", {**START, **BUILT}))
    named = dict(zip(("designed", "wiring", "motors", "packs", "flights"), record_sheets.lasting(results)))
    sheets = [named["wiring"][1][0], *named["packs"][1][1:3], named["flights"][1][1]]
    return sheets_text([Heading("As built", 1), *sheets])


TEXTS = {
    "compare": lambda: sheets_text(compare.compare(record("blank", START), record("blank", {**START, "start.name": "Pipit", "start.mass_guess": "1100 g", "limits.cg_first": "25 %",
                                                                                            "start.known": [{"name": "a glider", "mass": "600 g"}]}))),
    "handout": lambda: sheets_text(evening.handout(Results(record("blank", START)), 2)),
    "leader": lambda: sheets_text(evening.leader(Results(record("blank", START)), 1)),
    "blank": lambda: sheets_text(_page(work_sheets.work_sheets(Results(record("blank", START))), 6)),
    "signatures": lambda: sheets_text([first_flight_sheets.signatures(Results(record("blank", START)))]),
    "as_built": _built,
}


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for name, make in TEXTS.items():
        (FOLDER / f"{name}.txt").write_text(make(), encoding="utf-8", newline="\n")
