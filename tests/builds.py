"""Builds for tests: the demo builds with entries changed."""

from twinkit import checks, tables
from twinkit.design import Results
from twinkit.record import Record

# Bench table, leads and mass set apart from the demo build, so that tests of the drives do not move with it.
FIXED_DRIVES = {"bench.points": [], "weight.mass_measured": "1100 g",
                **{f"leads.{side}.{name}": "250 mm" for side in ("left", "right") for name in ("pack_length", "motor_length")}}


def record(name="dunlin", changes=None, **more):
    """A demo record with entries changed: None clears, a list of rows fills a table; wing__span stands for wing.span."""
    asked = {**(changes or {}), **{key.replace("__", "."): value for key, value in more.items()}}
    return Record.from_text(tables.text(f"demo/{name}.toml")).changed(asked)


def build(name="dunlin", changes=None, **more):
    """Its results."""
    return Results(record(name, changes, **more))


def finding(code, results):
    """What one check says of it."""
    return next(check for check in checks.REGISTRY if check.code == code)().run(results)
