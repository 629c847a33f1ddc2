"""The register of quantities is whole: units fit, ranges nest, defaults lie inside."""

import pytest

from twinkit import quantities, tables, units

ALL = [*quantities.QUANTITIES.values(), *(c for t in quantities.TABLES.values() for c in t.columns)]


@pytest.mark.parametrize("entry", ALL, ids=lambda q: q.id)
def test_an_entry_is_whole(entry):
    assert entry.label and entry.meaning.endswith((".", "!", "?")), "a label, and a meaning that is a sentence"
    if entry.kind == "number":
        assert entry.unit in units.UNITS
        for shown in filter(None, (entry.metric, entry.imperial)):
            assert shown in units.UNITS[entry.unit]
        low, high = entry.possible
        assert low < high
        usual_low, usual_high = entry.usual
        assert low <= usual_low < usual_high <= high, "the usual range lies inside the possible one"
        if entry.default is not None:
            assert low <= entry.default <= high
        assert 0 < entry.moves < 1
    if entry.kind == "choice":
        assert entry.choices
        assert entry.default is None or entry.default in entry.choices
    if entry.source:
        assert entry.source in tables.sources()


def test_tables_and_columns_have_ids_of_their_table():
    for table in quantities.TABLES.values():
        for column in table.columns:
            assert column.id == f"{table.id}.{column.name}"


def test_every_group_of_a_section_is_named():
    for entry in quantities.QUANTITIES.values():
        assert entry.group, f"{entry.id} belongs to no group"


def test_an_unknown_entry_is_answered_with_the_nearest():
    with pytest.raises(KeyError, match=r"'power.left.kw' is not in the register; nearest: power.left.kv"):
        quantities.quantity("power.left.kw")
