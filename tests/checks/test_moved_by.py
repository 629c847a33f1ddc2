"""What a finding leans on most: named from how far it moves with each entry, at most three, and quietly on a good one."""

import re

import pytest

import weights
from builds import build
from twinkit import checks, quantities, tables
from twinkit.controls import show

TABLE = {(code, entry): share for code, entry, share in zip(*(tables.read("findings/moved_by").columns[name] for name in ("code", "entry", "share")))}
AGAIN = ("power.pack_temperature", "weight.growth", "wiring.servo_average")      # worked out once more; `python tests/weights.py` does all


def test_the_table_speaks_of_findings_and_entries_that_exist():
    codes = {check.code for check in checks.REGISTRY}
    assert len(TABLE) > 300
    for (code, entry), share in TABLE.items():
        assert code in codes and entry in quantities.QUANTITIES and weights.LEAST * 0.9 <= share <= 9.0, (code, entry)


@pytest.mark.identity
def test_the_table_is_what_the_findings_do():
    found = {}
    for name in weights.BUILDS:
        for key, share in weights.weights(name, AGAIN).items():
            found[key] = max(found.get(key, 0.0), share)
    assert {key: weights.rounded(share) for key, share in found.items()} == {key: weights.rounded(share) for key, share in TABLE.items() if key[1] in AGAIN}, \
        "after a change of the findings: .venv/bin/python tests/weights.py"


@pytest.mark.identity
@pytest.mark.parametrize("name", weights.BUILDS)
def test_a_finding_names_only_what_moves_it(name):
    results = build(name)
    found = {f.code: f for f in checks.findings(results.record, None, results)}
    for f in found.values():
        assert set(f.moved_by) <= set(f.assumed)
        shares = [TABLE[f.code, quantities.quantity(path).id] for path in f.moved_by]
        assert shares == sorted(shares, reverse=True), "the strongest first"
    for code in ("P06", "P08", "P10", "P16"):       # a count, a choice: nothing assumed can move it by degrees
        assert not found[code].moved_by
    assert sum(len(f.moved_by) for f in found.values()) < 0.5 * sum(len(f.assumed) for f in found.values())


@pytest.mark.parametrize("name", weights.BUILDS)
def test_at_most_three_are_shown_and_a_good_finding_folds_them(name):
    results = build(name)
    folded = 0
    for f in checks.findings(results.record, None, results):
        markup = show.finding_html(f)
        assert "more." not in markup.rsplit("Leans", 1)[-1] or "Leans" not in markup
        loud = re.search(r"Leans most on what nobody measured or chose: ([^<]*)\.", markup)
        quiet = re.search(r'<details class="tk-small"><summary>[^<]*</summary>[^:]*: ([^<]*)\.</details>', markup)
        assert not (f.verdict == "good" and loud) and not (f.verdict != "good" and quiet)
        named = (loud or quiet)
        assert bool(named) == bool(f.moved_by and f.verdict != "cannot tell"), f.code
        assert named is None or 1 <= len(named.group(1).split("; ")) <= 3
        folded += bool(quiet)
    assert folded > 10
