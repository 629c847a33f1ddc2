"""Every table of data/ tells where it comes from, every key resolves, every file can be read."""

import tomllib

import pint
import pytest

from twinkit import constants, tables

FOLDER = tables.data_folder()
TABLES = sorted(p.relative_to(FOLDER).with_suffix("").as_posix() for p in FOLDER.rglob("*.csv"))


def test_there_are_tables():
    assert len(TABLES) > 5


@pytest.mark.parametrize("name", TABLES)
def test_a_table_has_its_provenance(name):
    about = tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    assert about["title"].strip()
    assert about["standing"].strip()
    keys = about["source"] if isinstance(about["source"], list) else [about["source"]]
    assert not [k for k in keys if k not in tables.sources()]
    read = tables.read(name)
    lengths = {len(column) for column in read.columns.values()}
    assert len(lengths) == 1 and lengths.pop() > 0
    head = (FOLDER / f"{name}.csv").read_text(encoding="utf-8").splitlines()[0].split(",")
    assert head == list(about["columns"])


def test_every_constant_has_a_source():
    names = {n for n in vars(constants) if n.isupper() and n != "SOURCES"}
    assert names == set(constants.SOURCES)
    assert not [k for k in constants.SOURCES.values() if k not in tables.sources()]


def test_every_source_has_a_citation_and_a_standing():
    known = {"seen", "memory", "as quoted", "common practice", "seen, as quoted", "worked"}
    for key, entry in tables.sources().items():
        assert entry["citation"].strip(), key
        assert entry["standing"] in known, f"{key}: standing '{entry['standing']}' is none of {sorted(known)}"


def test_every_caution_has_a_title_and_a_text():
    for name, entry in tables.cautions().items():
        assert entry["title"].strip() and entry["text"].strip(), name


def test_units_of_the_tables_are_units():
    registry = pint.UnitRegistry()
    for name in TABLES:
        for column, about in tables.read(name).provenance["columns"].items():
            unit = about.get("unit", "text")
            if unit not in ("text", "1"):
                registry.Unit(unit)
            assert about["meaning"].strip(), f"{name}: {column} has no meaning"
