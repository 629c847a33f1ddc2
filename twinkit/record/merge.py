"""Three-way merge of a record: as it was read, as it is here, as it is on disk."""

import copy
from dataclasses import dataclass

from twinkit import quantities
from twinkit.record.document import alike
from twinkit.record.sections import Refused, read_entry, told

_BY_STEP = ("kept", "acknowledged")  # each snapshot and each acknowledgement is one whole


@dataclass(frozen=True)
class Conflict:
    """An entry changed to different values here and on disk."""

    path: str
    mine: str
    theirs: str


def _leaves(plain, prefix=()):
    """Every entry, row list, snapshot and note of the plain data, by its place."""
    found = {}
    for key, value in plain.items():
        place = (*prefix, key)
        if isinstance(value, dict) and "value" not in value and not (len(place) == 2 and place[0] in _BY_STEP):
            found |= _leaves(value, place)
        elif place != ("journal",):
            found[place] = value
    return found


def _text(leaf):
    """An entry for the reader."""
    if leaf is None:
        return "not entered"
    if isinstance(leaf, dict) and "value" in leaf:
        more = ", ".join(str(leaf[key]) for key in ("origin", "note") if leaf.get(key))
        return f"{_text(leaf['value'])} ({more})" if more else _text(leaf["value"])
    if isinstance(leaf, dict):
        return ", ".join(f"{key}: {_text(value)}" for key, value in leaf.items())
    if isinstance(leaf, list):
        return "; ".join(_text(row) for row in leaf)
    return leaf if isinstance(leaf, str) else told(leaf)


def _same(place, mine, theirs):
    """Equal as written, or the same value in other words ('1160 mm' and '1.16 m')."""
    if mine is None or theirs is None or alike(mine, theirs):
        return mine is theirs or alike(mine, theirs)
    path = ".".join(place)
    if not quantities.known(path):
        return False
    try:
        here, there = (read_entry(quantities.quantity(path), raw) for raw in (mine, theirs))
    except Refused:
        return False
    near = abs(here.value - there.value) <= 1e-9 * abs(here.value) if isinstance(here.value, float) else here.value == there.value
    return near and (here.origin, here.note) == (there.origin, there.note)


def _placed(plain, place, value, force):
    """Put a leaf in its place (None: take it out); False where something else stands in the way and is not to be replaced."""
    *way, last = place
    for key in way:
        inner = plain.get(key, {})
        if not isinstance(inner, dict) or "value" in inner:
            if not force:
                return False
            inner = {}
        plain[key] = inner
        plain = inner
    present = plain.get(last)
    if value is None:
        plain.pop(last, None)
    elif isinstance(present, dict) and present and "value" not in present and len(place) == 1 and not force:
        return False
    else:
        plain[last] = copy.deepcopy(value)
    return True


def _lines(plain):
    lines = plain.get("journal")
    return lines if isinstance(lines, list) else []


def merged(base, mine, theirs, resolve=None):
    """The merge as (plain data, sections taken over from disk, conflicts).

    It starts from the disk's data and puts in what changed here. resolve 'mine' or 'theirs' decides every conflict; with None the
    data are to be used only when there is no conflict.
    """
    result, conflicts, taken = copy.deepcopy(theirs), [], []
    before, here, there = _leaves(base), _leaves(mine), _leaves(theirs)
    for place in dict.fromkeys([*before, *there, *here]):
        was, ours, other = before.get(place), here.get(place), there.get(place)
        if not _same(place, was, other) and not _same(place, ours, other):
            taken.append(place[0])
        if alike(was, ours) or _same(place, ours, other):
            continue
        clash = not _same(place, was, other)
        if clash:
            conflicts.append(Conflict(".".join(place), _text(ours), _text(other)))
        if (not clash or resolve == "mine") and not _placed(result, place, ours, force=resolve == "mine"):
            conflicts.append(Conflict(".".join(place), _text(ours), _text(theirs.get(place[0]))))
    added = [line for line in _lines(mine) if line not in _lines(base) and line not in _lines(theirs)]
    if added:
        result["journal"] = _lines(theirs) + added
    if any(line not in _lines(mine) for line in _lines(theirs)):
        taken.append("journal")
    return result, tuple(dict.fromkeys(taken)), tuple(conflicts)
