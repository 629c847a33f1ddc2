"""Checks and findings: what a check is, what it says, and the runner."""

import functools
from dataclasses import dataclass, field, replace

from twinkit import quantities, tables
from twinkit.design import Results
from twinkit.design.base import said_all

VERDICTS = ("good", "look again", "stop", "cannot tell")
SEVERITY = {"good": 0, "cannot tell": 1, "look again": 2, "stop": 3}
MARKS = {"good": "✓", "look again": "△", "stop": "■", "cannot tell": "?"}
PAGES = {step: f"{number:02d}" for number, step in enumerate(quantities.STEPS)}

REGISTRY = []
GATHER = 3     # so many findings of a page that wait for entries are told as one

# Entries that advice changes (without their side) -> findings that may turn worse by it: the advice then ends by naming them. A test follows all advice.
AFTERWARDS = {
    "start.mass_guess": ("A16", "S03"), "start.span_guess": ("A16",), "start.launch": ("A20",), "power.source": ("R25",), "power.pack_age": ("W05",), "power.capacity": ("W05", "P15"),
    "power.cells": ("W05", "W10", "Y01"), "wing.chord": ("A08", "A22", "Y05"), "rudder.dead_propeller": ("Y07",),
}


@dataclass(frozen=True)
class Advice:
    """What to change: a sentence, and the changes themselves (entry -> SI value, word or flag) so that they can be tried."""

    sentence: str
    changes: dict = field(default_factory=dict)


@dataclass(frozen=True)
class Finding:
    """What a check says of one build; value, limit and margin in SI (None where there is no number).

    assumed: every assumed entry below it; moved_by: those of them that can move it by a share worth telling, the greatest first.
    missing: the entries without which nothing could be looked at.
    """

    code: str
    step: str
    title: str
    verdict: str
    sentence: str
    value: float | None = None
    limit: float | None = None
    margin: float | None = None
    leans_on: tuple = ()
    assumed: tuple = ()
    source: str = ""
    workbook: str = ""
    advice: Advice | None = None
    moved_by: tuple = ()
    missing: tuple = ()

    def narrowed(self, assumed):
        """The same finding, told to lean on no more than these of its assumed entries."""
        return replace(self, assumed=tuple(assumed), moved_by=tuple(path for path in self.moved_by if path in assumed))


class Check:
    """One question put to a build. A subclass in checks/<step>.py is a registered check; nothing else needs to know of it (a second module says `step`).

    code: its short name, unique. title: the question in a few words. why: why it matters, one sentence. source: key of its source.
    needs: names of the results it looks at (attributes of design.Results). limit: the entry of the record it holds the value against, or ''.
    afterwards: codes of findings that this one's advice may turn worse, besides those of AFTERWARDS.
    examples: {"good": changes, "not": changes, "cannot tell": changes}: entries of the demo build to change (None clears) so that it says so.
    look(results) returns self.say(verdict, sentence, ...).
    """

    code = title = why = source = limit = ""
    needs = afterwards = ()
    examples = {}

    def __init_subclass__(cls, **keywords):
        super().__init_subclass__(**keywords)
        if cls.code:
            if any(known.code == cls.code for known in REGISTRY):
                raise ValueError(f"two checks have the code {cls.code}")
            cls.step = getattr(cls, "step", "") or cls.__module__.rsplit(".", 1)[1]
            REGISTRY.append(cls)

    def look(self, results):
        raise AttributeError(f"check {self.code} has no look(results)")

    def run(self, results):
        """The finding; 'cannot tell' with what is missing when one of its results is not known yet."""
        missing = dict.fromkeys(path for name in self.needs for path in getattr(results, name).missing)
        if missing:
            return replace(self.say("cannot tell", f"Not yet known: {said_all(tuple(missing))}.", results=results), missing=tuple(missing))
        return self.look(results)

    def bound(self, results):
        """The limit this check holds against, SI."""
        return results.record.value(self.limit)

    def say(self, verdict, sentence, value=None, limit=None, advice=None, results=None):
        """A finding of this check. Its margin is the room left to the limit as a share of the limit, never below zero for a good one."""
        leans, assumed = {}, {}
        if results is not None:
            for name in self.needs:
                leans.update(dict.fromkeys(getattr(results, name).leans))
                assumed.update(dict.fromkeys(getattr(results, name).assumed))
            if self.limit:
                leans[self.limit] = None
        if advice is not None and not possible(advice.changes):
            advice = Advice("No single change within reason mends this: begin again with other sizes or less mass.")
        elif advice is not None:
            advice = replace(advice, sentence=advice.sentence + self._then(advice.changes, results))
        own = sorted(assumed, key=lambda path: not path.startswith(f"{self.step}."))  # what this page itself can measure is named first
        margin = None if value is None or not limit else abs(value - limit) / abs(limit) * (1 if verdict == "good" else -1)
        return Finding(self.code, self.step, self.title, verdict, sentence, value, limit, margin, tuple(leans), tuple(own), self.source,
                       PAGES[self.step], advice, moved_by(self.code, own))

    def _then(self, changes, results):
        """The findings to see after this advice, as a sentence; '' when it turns none worse."""
        new = [path for path, value in changes.items() if path not in quantities.TABLES and (results is None or results.record.value(path) != value)]
        codes = dict.fromkeys(code for path in new for code in AFTERWARDS.get(quantities.quantity(path).id, ()) if code != self.code)
        codes |= dict.fromkeys(self.afterwards if new else ())
        pages = {}
        for check in (check for code in codes for check in REGISTRY if check.code == code):
            pages.setdefault(PAGES[check.step], []).append(check.title)
        named = [f"page {page} ({', '.join(titles)})" for page, titles in sorted(pages.items())]
        return f" Then look again at {' and '.join(([', '.join(named[:-1])] if named[1:] else []) + named[-1:])}: it may turn worse by this." if named else ""


@functools.cache
def _shares(code):
    """Entry without its side -> how far it moves this finding (tests/weights.py)."""
    table = tables.read("findings/moved_by").columns
    return {entry: float(share) for own, entry, share in zip(table["code"], table["entry"], table["share"]) if own == code}


def moved_by(code, assumed):
    """Those of these entries that can move a finding, the one that moves it furthest first."""
    share = {path: _shares(code).get(quantities.quantity(path).id, 0.0) for path in assumed if path not in quantities.TABLES}
    return tuple(sorted((path for path in share if share[path] > 0.0), key=lambda path: -share[path]))


def end_point_words(share):
    """What full stick gives, in words: a transmitter that counts its throttle from -100 % shows another number for the same place."""
    return f"{100.0 * share:.0f} % of the throttle (upper end point {200.0 * share - 100.0:.0f} % where your transmitter counts from −100 to +100 %)"


def possible(changes):
    """Whether the record would take all these numbers."""
    ranges = [(value, quantities.quantity(path).possible) for path, value in changes.items()
              if path not in quantities.TABLES and isinstance(value, (int, float)) and not isinstance(value, bool)]
    return all(low <= value <= high for value, (low, high) in ranges)


def findings(record, step=None, results=None):
    """The findings of every check (of one step), in the order of the pages, worst first within a page."""
    results = results or Results(record)
    found = [check().run(results) for check in REGISTRY if step is None or check.step == step]
    order = {name: number for number, name in enumerate(quantities.STEPS)}
    return sorted(found, key=lambda f: (order[f.step], -SEVERITY[f.verdict], f.code))


def gathered(found, record):
    """Findings as they are read: those of a page that wait for entries are one, which names each entry once, and what it answers then."""
    waiting = {}
    for f in found:
        if f.missing and not record.acknowledged(f.code):
            waiting.setdefault(f.step, []).append(f)
    told = []
    for f in found:
        alike = waiting.get(f.step, ())
        if f not in alike or len(alike) < GATHER:
            told.append(f)
        elif f is alike[0]:
            told.append(replace(f, code=" ".join(one.code for one in alike), title=f"{len(alike)} questions of page {f.workbook} wait", sentence=_in_order(alike)))
    return told


def _in_order(waiting):
    """What to enter first and which questions that answers, what then, and so on."""
    entered, steps = set(), []
    for f in sorted(waiting, key=lambda f: len(f.missing)):
        new = tuple(path for path in f.missing if path not in entered)
        if new:
            entered.update(new)
            steps.append((new, []))
        steps[-1][1].append(f.title)
    return " ".join(f"With {said_all(new, None)}{' too' if number else ''}: {'; '.join(titles)}." for number, (new, titles) in enumerate(steps))


def worst(found):
    """The gravest verdict among findings, 'cannot tell' when there are none."""
    return max((f.verdict for f in found), key=SEVERITY.get, default="cannot tell")
