"""Following a finding's advice does not turn another finding worse without the advice naming it.

What a change of one part does to another page is reasoned from the findings' own computation, nothing is quoted: kind `identity`.
"""

import pytest

from builds import build
from twinkit import checks

BY_CODE = {check.code: check for check in checks.REGISTRY}
# Planted mistakes whose advice reaches into another page; the long test plants all of them.
REACHING = ("P04", "P05", "P07", "P20", "W08", "A01")


def after_advice(name, changes, only=None):
    """(code, advice, {code: (verdict before, verdict after)} of what turned worse) of every finding that says what to change."""
    results = build(name, changes)
    before = {f.code: f for f in checks.findings(results.record, None, results)}
    for code, found in before.items():
        if (only is None or code == only) and found.advice and found.advice.changes:
            after = results.changed(found.advice.changes)
            then = {f.code: f.verdict for f in checks.findings(after.record, None, after)}
            yield code, found.advice, {c: (f.verdict, then[c]) for c, f in before.items() if checks.SEVERITY[then[c]] > checks.SEVERITY[f.verdict]}


def names(advice, code):
    return BY_CODE[code].title in advice.sentence


def unsaid(advice, worse, verdicts):
    return {code: pair for code, pair in worse.items() if pair[1] in verdicts and not names(advice, code)}


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_advice_on_the_demo_builds_names_all_it_turns_worse(name):
    followed = 0
    for code, advice, worse in after_advice(name, {}):
        assert not unsaid(advice, worse, checks.VERDICTS), (code, advice.sentence)
        followed += 1
    assert followed > 3


def stops(code):
    for own, advice, worse in after_advice("dunlin", BY_CODE[code].examples["not"], code):
        assert not unsaid(advice, worse, ("stop",)), (own, advice.sentence)
        yield worse


@pytest.mark.identity
def test_advice_that_stops_another_finding_names_it():
    worse = [pair for code in REACHING for found in stops(code) for pair in found.items()]
    assert {code for code, (_, verdict) in worse if verdict == "stop"} >= {"Y01", "W05"}, "the test sees what it is there for"


@pytest.mark.long
@pytest.mark.identity
@pytest.mark.parametrize("code", BY_CODE)
def test_advice_on_every_planted_mistake_names_what_it_stops(code):
    list(stops(code))


@pytest.mark.identity
def test_only_what_really_changes_is_followed_up():
    finding = next(f for f in checks.findings(build().record, "power") if f.code == "P12")
    assert finding.advice.sentence == "Feed the receiver from a pack of its own. Then look again at page 02 (Your order of switching on and off): it may turn worse by this."
    assert all(code in BY_CODE for codes in checks.base.AFTERWARDS.values() for code in codes)
    assert all(code in BY_CODE for check in checks.REGISTRY for code in check.afterwards)
