"""Results that are kept when an entry changes: what they lean on must be all they read."""

import dataclasses
import functools

import numpy as np
import pytest
from builds import record

from twinkit.design import Results
from twinkit.design.base import Result

NAMES = [name for name, member in vars(Results).items() if isinstance(member, functools.cached_property)]


class Watched:
    """A record that notes which of its entries and tables are read."""

    def __init__(self, inner):
        self.inner, self.read = inner, set()

    def __getattr__(self, name):
        member = getattr(self.inner, name)
        if name not in ("get", "value", "rows", "written"):
            return member

        def watched(path):
            self.read.add(path)
            return member(path)

        return watched


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("base", ["dunlin", "siskin", "blank"])
def test_a_result_leans_on_all_it_reads(name, base):
    watched = Watched(record(base))
    result = getattr(Results(watched), name)
    if isinstance(result, Result):
        assert watched.read <= set(result.leans), f"{name} reads {sorted(watched.read - set(result.leans))} and does not say so"


@pytest.mark.parametrize("path, value", [("power.look_throttle", "55 %"), ("wing.span", "1240 mm"), ("rudder.throw", "21 deg"), ("power.left.kv", "980 rpm/V"),
                                         ("weight.left.pack_behind", "12 mm"), ("start.temperature", "4 C"), ("limits.static_margin", "9 %")])
def test_kept_results_are_those_of_a_fresh_start(path, value):
    build = record("dunlin")
    before = Results(build)
    old = {name: getattr(before, name) for name in NAMES}
    build.set(path, value)
    after, fresh = before.after([path]), Results(build)
    kept = [name for name in NAMES if vars(after).get(name) is old[name]]
    assert kept, "nothing was kept"
    for name in kept:
        assert same(old[name], getattr(fresh, name)), name


def same(one, other):
    """Equal in every number and word, nan being equal to nan."""
    if dataclasses.is_dataclass(one):
        return type(one) is type(other) and all(same(getattr(one, f.name), getattr(other, f.name)) for f in dataclasses.fields(one))
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(value, other[key]) for key, value in one.items())
    if isinstance(one, (tuple, list)):
        return len(one) == len(other) and all(map(same, one, other))
    if isinstance(one, (float, np.ndarray, np.generic)):
        return np.array_equal(np.asarray(one), np.asarray(other), equal_nan=np.asarray(one).dtype.kind == "f")
    return one == other or vars(one) == vars(other)
