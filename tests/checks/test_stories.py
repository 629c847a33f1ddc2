"""Every failure story is stopped by its finding, which lets the sound build pass and lets go once its advice is taken."""

import pytest

from builds import finding, record
from stories import ALL, TABLE, table
from twinkit.checks import REGISTRY
from twinkit.design import Results


def test_the_stories_are_all_there():
    assert [story.number for story in ALL] == list(range(1, 33))
    assert {code for story in ALL for code in story.codes} <= {check.code for check in REGISTRY}


@pytest.mark.parametrize(("story", "code"), [(story, code) for story in ALL for code in story.codes], ids=lambda x: x if isinstance(x, str) else str(x.number))
def test_a_story_is_stopped(story, code):
    found = finding(code, story.gone_wrong)
    assert found.verdict == "stop", found.sentence
    assert finding(code, story.otherwise).verdict != "stop", "the build before it went wrong"
    assert found.advice is not None, "a stop that says nothing of what to do"
    if found.advice.changes:
        after = finding(code, Results(record(changes={**dict(story.sound), **story.changes, **found.advice.changes})))
        assert after.verdict != "stop", after.sentence


def test_the_printed_list_is_up_to_date():
    assert TABLE.read_text(encoding="utf-8") == table(), "run PYTHONPATH=.:tests .venv/bin/python tests/stories.py > docs/failure_stories.md"
