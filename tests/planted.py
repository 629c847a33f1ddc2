"""Every single wiring mistake planted in every layout, and what finds it: a rule of page 02, a line of the meter sheet, the direction test.

Run as a program it prints the table that stands in docs/planted_mistakes.md.
"""

from dataclasses import dataclass
from functools import cache
from itertools import combinations
from pathlib import Path

from builds import build
from twinkit.checks import REGISTRY
from twinkit.checks.wiring import OfTheWiring
from twinkit.circuit import facts, layouts, meter
from twinkit.circuit.mistakes import MISTAKES, kinds
from twinkit.design import Results
from twinkit.design.as_wired import Worked
from twinkit.design.wiring import LayoutFacts

TABLE = Path(__file__).resolve().parents[1] / "docs" / "planted_mistakes.md"
# Rules that judge the graph alone. R18 sums failures up, R24 repeats the meter, R12b weighs currents: these find no mistake of their own.
RULES = [check for check in REGISTRY if issubclass(check, OfTheWiring) and check.code not in ("R18", "R24", "R12b", "R17", "R15")]


@dataclass(frozen=True)
class Caught:
    """What finds one mistake in one layout: codes of rules, kinds of meter lines, motors of the direction test."""

    rules: frozenset
    lines: frozenset
    turning: frozenset

    @property
    def found(self):
        return bool(self.rules or self.lines or self.turning)


@cache
def _demo():
    return build(changes={"wiring.left.red_lead": "connected"})


def said(layout, wiring):
    """Codes of the rules that do not call this wiring good."""
    made = object.__new__(Worked)
    made.meant, made.wiring, made.planted, made.misfit = layouts.build(layout), wiring, (), ""
    results = Results(_demo().record)
    results.__dict__.update(
        wiring=_demo().wiring, power=_demo().power,
        layout=LayoutFacts(layout=layout, why_not="", worked=made, unsaid=(), kinds=("linear", "linear"), swapped=(), cells={"left": 3, "right": 3}))
    return frozenset(check.code for check in RULES if check().run(results).verdict in ("stop", "look again"))


@cache
def _sound(layout):
    wiring = layouts.build(layout)
    return wiring, said(layout, wiring), meter.sheet(wiring)


def caught(layout, built):
    """What finds that a wiring is not the one meant."""
    meant, before, lines = _sound(layout)
    return Caught(said(layout, built) - before, frozenset(line.kind for line, _ in meter.differences(lines, built)), frozenset(meter.direction_test(meant, built)))


def planted(layout):
    """Every named mistake that can be made in a layout, with what finds it."""
    meant, _, _ = _sound(layout)
    for mistake in MISTAKES.values():
        built = mistake.change(meant)
        if built is not None:
            yield mistake, caught(layout, built)


def slips(layout):
    """Every wire of a layout open, and every two wires of one plug exchanged, without a list of names: (words, what finds it)."""
    wiring, _, _ = _sound(layout)
    for wire in wiring.wires:
        yield f"{wire.id} open", caught(layout, wiring.without_wire(wire.id))
    for plug in wiring.connectors:
        for one, other in combinations(wiring.contacts(plug), 2):
            yield f"{one.id} and {other.id} exchanged", caught(layout, wiring.rewired(one.id, b=other.b).rewired(other.id, b=one.b))


def rows(found):
    """One row for each kind of mistake of {(layout, mistake): Caught}: words, times planted, times found by a rule, by the meter, by the direction test; which."""
    for kind in kinds():
        mine = [(mistake, result) for (_, mistake), result in found.items() if mistake.kind == kind]
        counts = [len(mine), *(sum(bool(getattr(result, name)) for _, result in mine) for name in ("rules", "lines", "turning"))]
        which = [sorted(frozenset().union(*(getattr(result, name) for _, result in mine))) for name in ("rules", "lines")]
        words = mine[0][0].words.replace(f"{mine[0][0].side} ", "") if mine[0][0].side else mine[0][0].words
        yield words.removesuffix("."), counts, which


def table(found):
    """The whole as markdown."""
    lines = ["# Every wiring mistake, and what finds it", "",
             f"Each of {len(MISTAKES)} mistakes was planted by itself in each of the {len(layouts.buildable())} layouts in which it can be made: {len(found)} wirings. "
             f"Found by a rule of page 02: {sum(bool(c.rules) for c in found.values())}, by a line of the meter sheet: {sum(bool(c.lines) for c in found.values())}, "
             f"by the direction test: {sum(bool(c.turning) for c in found.values())}, by none: {sum(not c.found for c in found.values())}.", "",
             "This page is printed by `tests/planted.py` and held against it by a test.", "",
             "| mistake | planted | rule | meter | direction | rules that say so | meter lines that show it |", "|---|---|---|---|---|---|---|"]
    lines += [f"| {words} | {counts[0]} | {counts[1]} | {counts[2]} | {counts[3]} | {', '.join(which[0]) or 'none'} | {', '.join(which[1]) or 'none'} |" for words, counts, which in rows(found)]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    print(table({(layout, mistake): result for layout in layouts.buildable() for mistake, result in planted(layout)}), end="")
