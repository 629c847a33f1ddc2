"""Every check speaks as its own examples say, and its advice helps."""

import pytest

from builds import record
from twinkit import checks, tables
from twinkit.design import Results

DEMO = tables.text("demo/dunlin.toml")


@pytest.mark.parametrize("check", checks.REGISTRY, ids=lambda c: c.code)
def test_a_check_is_whole(check):
    assert check.title and check.why.endswith(".") and check.source in tables.sources()
    assert set(check.examples) == {"good", "not", "cannot tell"}
    assert check.needs


@pytest.mark.parametrize("check", checks.REGISTRY, ids=lambda c: c.code)
@pytest.mark.parametrize("case", ["good", "not", "cannot tell"])
def test_a_check_says_what_its_examples_say(check, case):
    found = check().run(Results(record("dunlin", check.examples[case])))
    allowed = {"good": {"good"}, "not": {"look again", "stop"}, "cannot tell": {"cannot tell"}}[case]
    assert found.verdict in allowed, found.sentence
    assert found.sentence.endswith((".", "!")) and len(found.sentence) > 15
    assert found.step == check.step and found.code == check.code
    assert found.leans_on


@pytest.mark.parametrize("check", checks.REGISTRY, ids=lambda c: c.code)
def test_advice_that_is_followed_helps(check):
    changes = check.examples["not"]
    found = check().run(Results(record("dunlin", changes)))
    assert found.advice is None or found.advice.sentence.endswith(".")
    if found.advice and found.advice.changes:
        after = check().run(Results(record("dunlin", {**changes, **found.advice.changes})))
        assert checks.SEVERITY[after.verdict] < checks.SEVERITY[found.verdict], (found.advice, after.sentence)


def test_some_advice_is_computed_on_every_page():
    for step in ("start", "power", "wiring", "leads", "weight", "wing", "rudder", "bench"):
        mine = [c for c in checks.REGISTRY if c.step == step]
        assert len(mine) >= 2, step
        advised = [c for c in mine if (a := c().run(Results(record("dunlin", c.examples["not"]))).advice) and a.changes]
        assert advised, f"no check of {step} says what to change"


@pytest.mark.parametrize("name", ["dunlin", "siskin", "blank"])
def test_every_check_speaks_on_every_build(name):
    found = checks.findings(record(name))
    assert len(found) == len(checks.REGISTRY)
    assert all(f.verdict in checks.VERDICTS for f in found)
    if name == "blank":
        assert {f.verdict for f in found} <= {"cannot tell", "good", "look again", "stop"}
        assert sum(f.verdict == "cannot tell" for f in found) > len(found) / 2


@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_there_are_findings_on_all_pages(name):
    found = checks.findings(record(name))
    assert {f.step for f in found if f.verdict != "cannot tell"} == {"start", "power", "wiring", "leads", "weight", "wing", "rudder", "bench"}


@pytest.mark.parametrize("changes", [{"weight.mass_measured": "3500 g"}, {f"power.{s}.{n}": v for s in ("left", "right") for n, v in (("cells", 2), ("pack_resistance", "500 mohm"))},
                                     {f"wiring.{s}.{n}": v for s in ("left", "right") for n, v in (("regulator_kind", "linear"), ("regulator_volts", "8.4 V"))}],
                         ids=["heavier than any span mends", "packs that give nothing", "no more volts in than out"])
def test_findings_speak_of_builds_far_off(changes):
    found = checks.findings(record("dunlin", changes))
    assert len(found) == len(checks.REGISTRY) and any(f.verdict == "stop" for f in found)
