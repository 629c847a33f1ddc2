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


def test_findings_that_wait_are_told_as_one_in_the_order_of_entering():
    blank = record("blank")
    found = checks.findings(blank, "wiring")
    told, = checks.gathered(found, blank)
    assert (told.verdict, told.title) == ("cannot tell", f"{len(found)} questions of page 02 wait")
    assert told.sentence.startswith("With cells in series (page 01, left and right): The layout you chose; Not two sources on one 5 V rail; ")
    assert told.sentence.endswith("With capacity, C rating, Kv on the label, motor mass, propeller diameter, propeller pitch (page 01, left and right) too: Current through the power plugs.")
    assert all(told.sentence.count(f.title) >= 1 and f.code in told.code.split() for f in found)
    assert told.sentence.count("cells in series") == 1, "each entry is named once"


def test_few_that_wait_and_one_flown_knowing_stand_by_themselves():
    one = record("dunlin", {"power.left.capacity": None})
    found = checks.findings(one, "wiring")
    assert [f.code for f in found if f.missing] == ["R12b"] and checks.gathered(found, one) == found
    found = checks.findings(one, "power")
    waiting = [f.code for f in found if f.missing]
    assert len(waiting) >= checks.base.GATHER and len(checks.gathered(found, one)) == len(found) - len(waiting) + 1
    one.acknowledge(waiting[0], "a reason", "a name", "2031-05-12")
    told = [f.code for f in checks.gathered(found, one)]
    assert waiting[0] in told and " ".join(waiting[1:]) in told, "what was taken on is never hidden"
