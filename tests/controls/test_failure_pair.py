"""Two failures at once on page 01."""

from types import SimpleNamespace

from builds import build
from twinkit.controls.failure_pair import FailurePair
from twinkit.controls.guard import Guard


def made(results):
    return FailurePair(SimpleNamespace(guard=Guard(print), results=results))


def pick(box, words):
    box.value = next(value for label, value in box.options if label == words)


def test_choosing_two_failures_tells_what_is_left():
    part = made(build())
    assert part.second.value == "" and "right only" in part.said.value and part.second.options[0][0] == "nothing else"
    pick(part.first, "the left motor dies")
    pick(part.second, "the right motor dies")
    assert "What is left: radio only." in part.said.value
    pick(part.second, "the left propeller is lost")
    assert part.said.value == "Both are the same part: choose two that can fail apart."
    assert part.saved().startswith("<p>What fails: the left motor dies and the left propeller is lost. ")


def test_every_pair_is_worked_out_on_a_press():
    part = made(build("siskin"))
    assert part.table.value == ""
    part.every.click()
    assert "Pairs of failures" in part.table.value and "lose the radio although neither failure does so alone" in part.table.value


def test_it_follows_the_layout_and_keeps_what_still_exists():
    part = made(build())
    pick(part.first, "the right motor dies")
    part.page.results = build(changes={"power.packs": "one", "power.shared.cells": 3, "power.shared.capacity": "2200 mAh", "power.shared.c_rating": 30})
    part.fit()
    assert part.first.value.words == "the right motor dies" and not any("left pack" in label for label, _ in part.first.options)
    part.page.results = build(changes={"power.controllers": "one"})
    part.fit()
    assert part.said.value == "This layout cannot be built, or is not known yet."
    part.take(None)
    made(build("blank"))
