"""A build changed here and on disk: nothing is lost, nothing is decided silently."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from twinkit.record import Conflict, Record, RecordError
from twinkit.record.document import alike
from twinkit.record.merge import merged

TEXT = '''# mine and theirs
schema = 2

[power]
packs = "two"

[power.left]
kv = "1000 rpm/V"

# the wing
[wing]
span = "1000 mm"
chord = "190 mm"  # at the root
odd = 5
'''


@pytest.fixture
def both(tmp_path):
    """The same build opened on two pages."""
    path = tmp_path / "build.toml"
    path.write_text(TEXT)
    return Record.read(path), Record.read(path)


def test_sections_changed_elsewhere_are_taken_over(both):
    here, there = both
    here.set("power.left.kv", "1100")
    there.set("wing.span", "1200")
    there.set("rudder.throw", "20")
    there.save()
    report = here.save()
    assert report.saved and report.merged == ("wing", "rudder") and report.conflicts == ()
    for record in (here, Record.read(here.path)):
        assert record.get("power.left.kv").text == "1100 rpm/V" and record.get("wing.span").text == "1200 mm" and record.written("rudder.throw")
    assert here.path.read_text().startswith(TEXT.replace("1000 rpm", "1100 rpm").replace("1000 mm", "1200 mm"))


def test_entries_of_one_section_changed_in_both_places_merge(both):
    here, there = both
    here.set("wing.span", "1200")
    there.set("wing.chord", "200")
    there.set("wing.tail_arm", "500")
    there.clear("power.packs")
    there.save()
    assert here.save().merged == ("power", "wing")
    assert [here.get(path).text for path in ("wing.span", "wing.chord", "wing.tail_arm")] == ["1200 mm", "200 mm", "500 mm"]
    assert not here.written("power.packs")


def test_a_file_edited_by_hand_keeps_its_new_comments(both):
    here, _ = both
    here.path.write_text(TEXT.replace('kv = "1000 rpm/V"', 'kv = "1000 rpm/V"  # read it twice\nmine = "x"'))
    here.set("wing.span", "1200")
    assert here.save().merged == ("power",)
    assert here.path.read_text() == TEXT.replace('kv = "1000 rpm/V"', 'kv = "1000 rpm/V"  # read it twice\nmine = "x"').replace('"1000 mm"', '"1200 mm"')


def test_the_same_entry_changed_differently_is_reported_and_nothing_is_written(both):
    here, there = both
    here.set("wing.span", "1200", "measured", "long rule")
    here.set("power.left.kv", "1100")
    there.set("wing.span", "1300")
    there.clear("wing.chord")
    there.save()
    disk, mine = here.path.read_bytes(), here.text()
    report = here.save()
    assert report.conflicts == (Conflict("wing.span", "1200 mm (measured, long rule)", "1300 mm"),)
    assert not report.saved and report.merged == () and report.previous is None
    assert here.path.read_bytes() == disk and here.text() == mine, "nothing is lost on either side"
    assert here.save().conflicts == report.conflicts, "asking again gives the same answer"


@pytest.mark.parametrize(("resolve", "span"), [("mine", "1200 mm"), ("theirs", "1300 mm")])
def test_the_builder_decides_a_conflict(both, resolve, span):
    here, there = both
    here.set("wing.span", "1200")
    here.set("wing.tail_arm", "500")
    there.set("wing.span", "1300")
    there.set("wing.chord", "200")
    there.save()
    report = here.save(resolve=resolve)
    assert report.saved and report.conflicts == (Conflict("wing.span", "1200 mm", "1300 mm"),)
    end = Record.read(here.path)
    assert [end.get(path).text for path in ("wing.span", "wing.chord", "wing.tail_arm")] == [span, "200 mm", "500 mm"]
    assert Record.read(report.previous).get("wing.span").text == "1300 mm", "the other value is in the previous version"
    assert here.save().conflicts == ()


def test_only_mine_and_theirs_resolve(both):
    with pytest.raises(RecordError, match="^'thiers' does not resolve a conflict: allowed are mine, theirs; nearest: theirs$"):
        both[0].save(resolve="thiers")


def test_the_same_value_in_other_words_is_no_conflict(both):
    here, there = both
    here.set("wing.span", "1200 mm")
    there.set("wing.span", "1.2 m")
    there.save()
    report = here.save()
    assert report.saved and report.conflicts == () and here.get("wing.span").text == "1.2 m"


def test_taking_out_here_what_was_changed_there_is_a_conflict(both):
    here, there = both
    here.clear("wing.span")
    there.set("wing.span", "1300")
    there.save()
    assert here.save().conflicts == (Conflict("wing.span", "not entered", "1300 mm"),)
    here.save(resolve="mine")
    assert not Record.read(here.path).written("wing.span")


def test_notes_snapshots_acknowledgements_and_journal_merge_by_step(both):
    here, there = both
    here.keep("wing", "mine", {"area": "22 dm2"}, {}, {}, when="2025-03-01")
    here.set_note("wing", "mine")
    here.acknowledge("A1", "a", "b", "2025-03-01")
    there.keep("power", "theirs", {}, {}, {}, when="2025-03-02")
    there.set_note("power", "theirs")
    there.acknowledge("A2", "a", "b", "2025-03-02")
    there.save()
    report = here.save()
    assert report.merged == ("kept", "notes", "acknowledged", "journal")
    assert here.kept("wing").reason == "mine" and here.kept("power").reason == "theirs"
    assert (here.note("wing"), here.note("power")) == ("mine", "theirs") and here.acknowledged("A1") and here.acknowledged("A2")
    assert [line["reason"] for line in here.journal] == ["theirs", "mine"]
    assert Record.read(here.path).text() == here.text()


def test_the_same_step_kept_twice_is_one_conflict_and_both_stand_in_the_journal(both):
    here, there = both
    here.keep("wing", "mine", {}, {}, {}, when="2025-03-01")
    there.keep("wing", "theirs", {}, {}, {}, when="2025-03-02")
    there.save()
    report = here.save()
    assert [c.path for c in report.conflicts] == ["kept.wing"] and not report.saved
    assert "reason: mine" in report.conflicts[0].mine and "reason: theirs" in report.conflicts[0].theirs
    here.save(resolve="mine")
    end = Record.read(here.path)
    assert end.kept("wing").reason == "mine" and [line["reason"] for line in end.journal] == ["theirs", "mine"]


def test_rows_of_one_table_changed_in_both_places_are_a_conflict(both):
    here, there = both
    here.set_rows("weight.parts", [{"name": "servo", "mass": "9"}])
    there.set_rows("weight.parts", [{"name": "wheel"}, {"name": "strut"}])
    there.set_rows("start.known", [{"name": "trainer"}])
    there.save()
    assert here.save().conflicts == (Conflict("weight.parts", "name: servo, mass: 9 g", "name: wheel; name: strut"),)
    assert here.save(resolve="mine").merged == ("weight", "start")
    assert len(here.rows("weight.parts")) == 1 and len(here.rows("start.known")) == 1


def test_something_else_in_the_place_of_a_section_is_a_conflict(both):
    here, _ = both
    here.set("rudder.throw", "20")
    here.path.write_text('rudder = "later"\n' + TEXT)
    report = here.save()
    assert not report.saved and report.conflicts == (Conflict("rudder.throw", "20 deg", "later"),)
    here.save(resolve="mine")
    assert here.problems[0].path == "wing.odd" and here.get("rudder.throw").text == "20 deg"


LEAF = st.one_of(st.integers(0, 3), st.sampled_from(["a", "b"]), st.fixed_dictionaries({"value": st.integers(0, 3)}))
PLAIN = st.dictionaries(st.sampled_from(["one", "two"]), st.dictionaries(st.sampled_from(["a", "b", "c"]), LEAF, min_size=1), max_size=2)


def filled(plain):
    return {key: value for key, value in plain.items() if value}


@pytest.mark.identity
@given(PLAIN, PLAIN)
@settings(deadline=None)
def test_a_merge_with_one_side_unchanged_is_the_other_side(base, other):
    assert alike(filled(merged(base, other, base)[0]), filled(other)) and merged(base, other, base)[2] == ()
    assert alike(filled(merged(base, base, other)[0]), filled(other)) and merged(base, base, other)[2] == ()
    assert alike(filled(merged(base, other, other)[0]), filled(other)) and merged(base, other, other)[2] == ()


@pytest.mark.identity
@given(PLAIN, PLAIN, PLAIN)
@settings(deadline=None)
def test_both_sides_merge_to_the_same_when_resolved_alike(base, mine, theirs):
    one, _, here = merged(base, mine, theirs, "mine")
    other, _, there = merged(base, theirs, mine, "theirs")
    assert alike(filled(one), filled(other)) and [c.path for c in here] == [c.path for c in there] or {c.path for c in here} == {c.path for c in there}
