"""What was kept, when and why: snapshots of a step, the journal, and what has changed since."""

import datetime
import functools
from dataclasses import dataclass

import twinkit
from twinkit import quantities, units
from twinkit.record.sections import KEPT_TABLES, KEPT_TEXTS, RecordError, Refused, clean


@dataclass(frozen=True)
class Kept:
    """The snapshot of a kept step. It is shown beside later results and never read by a calculation."""

    when: str
    reason: str
    version: str
    checksums: dict
    results: dict
    verdicts: dict
    leans: dict


@dataclass(frozen=True)
class Change:
    """One thing a kept step leaned on, then and now ('' where it was not there)."""

    path: str
    then: str
    now: str


def snapshot(step, reason, results, verdicts, leans, when=None):
    """The plain data of a kept step; RecordError lists every text that cannot be kept."""
    from twinkit import tables

    refusals = []

    def texts(name, held):
        kept = {}
        for key, text in held.items():
            try:
                kept[clean(key, f"a name in {name}")] = clean(text, f"{key} in {name}")
            except Refused as refusal:
                refusals.append(f"{step} was not kept: {refusal}")
        return kept

    when = datetime.datetime.now().astimezone() if when is None else when
    if isinstance(when, datetime.datetime):
        when = when.isoformat(timespec="seconds")
    elif isinstance(when, datetime.date):
        when = when.isoformat()
    head = texts("kept", {"when": when, "reason": reason, "version": twinkit.__version__})
    parts = {name: texts(name, held) for name, held in
             {"checksums": tables.checksums(), "results": results, "verdicts": verdicts, "leans": leans}.items()}
    if refusals:
        raise RecordError(*refusals)
    return {**head, **parts}


def read_kept(raw):
    """A snapshot from the file, or None when it is not complete."""
    if not isinstance(raw, dict) or not all(isinstance(raw.get(name), str) for name in KEPT_TEXTS):
        return None
    parts = {name: raw.get(name, {}) for name in KEPT_TABLES}
    if not all(isinstance(part, dict) and all(isinstance(text, str) for text in part.values()) for part in parts.values()):
        return None
    return Kept(**{name: raw[name] for name in KEPT_TEXTS}, **{name: dict(part) for name, part in parts.items()})


@functools.lru_cache(maxsize=4096)
def _si(path, text):
    """A lean's text in SI and the share by which it may move, or None where it is no number."""
    if not quantities.known(path) or quantities.quantity(path).kind != "number":
        return None
    quantity = quantities.quantity(path)
    try:
        return units.parse(text, quantity.unit, quantity.metric), quantity.moves
    except units.UnitsError:
        return None


def _moved(path, then, now, any_move):
    if then == now:
        return False
    before, after = _si(path, then), _si(path, now)
    if before is None or after is None:
        return True
    share = 0.0 if any_move else before[1]
    return abs(after[0] - before[0]) > (share + 1e-9) * abs(before[0])


def changes(kept, leans, verdicts, any_move=False):
    """What a kept step leans on and has moved by more than its registered share (or at all), and the verdicts that changed.

    A check that stands on one side only (another version knows more or fewer) counts unless its verdict is good.
    """
    found = [Change(path, kept.leans.get(path, ""), leans.get(path, "")) for path in dict.fromkeys([*kept.leans, *leans])
             if _moved(path, kept.leans.get(path, ""), leans.get(path, ""), any_move)]
    for code in dict.fromkeys([*kept.verdicts, *verdicts]):
        then, now = kept.verdicts.get(code, ""), verdicts.get(code, "")
        if then != now and {then, now} != {"", "good"}:
            found.append(Change(code, then, now))
    return found


def journal_line(step, snapshot, previous):
    """The line of the journal for a snapshot: what changed since the step was kept last time."""
    moved = changes(previous, snapshot["leans"], snapshot["verdicts"], any_move=True) if previous else []
    return {"when": snapshot["when"], "step": step, "reason": snapshot["reason"], "version": snapshot["version"],
            "changed": [f"{c.path}: {c.then or 'not there'} -> {c.now or 'not there'}" for c in moved]}
