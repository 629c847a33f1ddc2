"""The only door to data/: reference tables as SI arrays together with where they came from."""

import csv
import functools
import tomllib
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from twinkit import units


def data_folder():
    """The folder of reference data: beside the package in a checkout, inside it when installed."""
    here = Path(__file__).resolve().parent
    for folder in (here / "data", here.parent / "data"):
        if (folder / "sources").is_dir():
            return folder
    raise FileNotFoundError("twinkit's data folder is missing: install the package again")


@dataclass(frozen=True)
class Table:
    """One reference table: columns as SI arrays (text columns as lists), and its provenance."""

    name: str
    columns: dict
    provenance: dict

    def rows(self):
        """The rows as dicts of SI values."""
        return [dict(zip(self.columns, row)) for row in zip(*self.columns.values())]

    def row(self, column, value):
        """The first row whose column has this value; KeyError names what there is."""
        for row in self.rows():
            if row[column] == value:
                return row
        raise KeyError(f"{self.name} has no row with {column} = {value!r}; there are {list(self.columns[column])}")


@functools.cache
def read(name):
    """The table data/<name>.csv with its provenance data/<name>.toml, numbers converted to SI; empty cells are nan."""
    base = data_folder() / name
    provenance = tomllib.loads(base.with_name(base.name + ".toml").read_text(encoding="utf-8"))
    with open(base.with_name(base.name + ".csv"), newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    columns = {}
    for head, about in provenance["columns"].items():
        texts = [row[head] for row in rows]
        unit = about.get("unit", "text")
        if unit == "text":
            columns[head] = texts
        else:
            numbers = np.array([float(t) if t.strip() else np.nan for t in texts])
            columns[head] = units.table_to_si(numbers, "dimensionless" if unit == "1" else unit)
            columns[head].flags.writeable = False
    return Table(name, columns, provenance)


@functools.cache
def values(name):
    """The single values of data/<name>.toml: each [value.<id>] with number, unit, source, as a dict of SI floats."""
    about = tomllib.loads((data_folder() / f"{name}.toml").read_text(encoding="utf-8"))
    return {key: float(units.table_to_si(entry["number"], "dimensionless" if entry["unit"] == "1" else entry["unit"]))
            for key, entry in about["value"].items()}


@functools.cache
def ranges(name):
    """Of the single values of data/<name>.toml those with a band: id -> (low, value, high), SI floats."""
    about = tomllib.loads((data_folder() / f"{name}.toml").read_text(encoding="utf-8"))
    to_si = lambda x, unit: float(units.table_to_si(x, "dimensionless" if unit == "1" else unit))  # noqa: E731
    return {key: tuple(to_si(entry[end], entry["unit"]) for end in ("low", "number", "high")) for key, entry in about["value"].items() if "low" in entry}


@functools.cache
def sources():
    """Every source: key -> {citation, standing}."""
    found = {}
    for path in sorted((data_folder() / "sources").glob("*.toml")):
        for key, entry in tomllib.loads(path.read_text(encoding="utf-8")).items():
            if key in found and found[key] != entry:
                raise ValueError(f"the source '{key}' stands twice with different texts, last in {path.name}")
            found[key] = entry
    return found


def text(name):
    """A text file of data/, for example a caution or a demo build."""
    return (data_folder() / name).read_text(encoding="utf-8")


@functools.cache
def cautions():
    """The cautions: name -> {title, text}."""
    return tomllib.loads(text("cautions/cautions.toml"))


@functools.cache
def checksums():
    """The reference files and their SHA-256 checksums, for the record of a kept step."""
    import hashlib

    folder = data_folder()
    return {str(path.relative_to(folder).as_posix()): hashlib.sha256(path.read_bytes()).hexdigest()[:16]
            for path in sorted(folder.rglob("*")) if path.suffix in (".csv", ".toml")}
