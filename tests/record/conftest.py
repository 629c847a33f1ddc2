"""A saved record, for the tests of saving."""

import pytest

from twinkit.record import Record


@pytest.fixture
def path(tmp_path):
    return tmp_path / "build.toml"


@pytest.fixture
def record(path):
    record = Record.blank("Dunlin")
    record.set("wing.span", "1160 mm")
    record.save(path)
    return record
