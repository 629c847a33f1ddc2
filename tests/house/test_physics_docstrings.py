"""Every public function of physics reads the same way, and every argument moves its output."""

import ast
import doctest
import importlib
import inspect
import re
import textwrap
from pathlib import Path

import numpy as np
import pint
import pytest

from twinkit import quantities, tables

PHYSICS = Path(__file__).resolve().parents[2] / "twinkit" / "physics"
MODULES = sorted(p.stem for p in PHYSICS.glob("*.py") if p.stem != "__init__")
ORDER = ("Arguments:", "Returns:", "Relation:", "Holds for:", "Breaks when:", "Errs:", "Example:", "Source:")
WORDS = {"object", "choice", "flag", "table"}
REGISTRY = pint.UnitRegistry()


def _functions():
    for name in MODULES:
        module = importlib.import_module(f"twinkit.physics.{name}")
        for label, function in vars(module).items():
            if inspect.isfunction(function) and function.__module__ == module.__name__ and not label.startswith("_"):
                yield pytest.param(function, id=f"{name}.{label}")


FUNCTIONS = list(_functions())


def _part(doc, head):
    """The text of one part of a docstring."""
    start = doc.index(head) + len(head)
    later = [doc.index(h) for h in ORDER if doc.find(h) > start]
    return doc[start:min(later, default=len(doc))]


@pytest.mark.parametrize("function", FUNCTIONS)
def test_docstring_parts_stand_in_order(function):
    doc = inspect.getdoc(function)
    places = [doc.find(head) for head in ORDER]
    assert -1 not in places, f"missing: {[h for h, p in zip(ORDER, places) if p < 0]}"
    assert places == sorted(places)


@pytest.mark.parametrize("function", FUNCTIONS)
def test_every_argument_has_its_unit(function):
    said = dict(re.findall(r"^\s*(\w+) \[([^\]]+)\]:", _part(inspect.getdoc(function), "Arguments:"), flags=re.M))
    assert list(said) == list(inspect.signature(function).parameters), "the arguments of the docstring and of the function differ"
    for name, unit in said.items():
        if unit in WORDS:
            continue
        meant = REGISTRY.Quantity(1, "dimensionless" if unit == "1" else unit)
        known = quantities.QUANTITIES.get(f"wing.{name}") or quantities.QUANTITIES.get(f"power.{name}") or quantities.QUANTITIES.get(f"weight.{name}")
        if known is not None and known.kind == "number":
            wanted = REGISTRY.Quantity(1, "dimensionless" if known.unit == "1" else known.unit)
            assert meant.dimensionality == wanted.dimensionality, f"{name} is [{unit}] here and [{known.unit}] in the register"


@pytest.mark.parametrize("function", FUNCTIONS)
def test_source_key_resolves(function):
    keys = re.findall(r"\[(\w+)\]", _part(inspect.getdoc(function), "Source:"))
    assert keys, "no source"
    assert not [key for key in keys if key not in tables.sources()]


def _call(function):
    """The docstring's example call: (keywords as text, namespace)."""
    example = _part(inspect.getdoc(function), "Example:")
    lines, source = re.findall(r"^\s*(?:>>>|\.\.\.) ?(.*)$", example, flags=re.M), ""
    tree = ast.parse("\n".join(lines))
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) == function.__name__:
            return tree, node
    raise AssertionError(f"the example of {function.__name__} does not call it: {source or lines}")


def _flat(value):
    """Every number of a result as one array."""
    if value is None:
        return np.zeros(0)
    if hasattr(value, "__dataclass_fields__"):
        return np.concatenate([np.zeros(0), *(_flat(getattr(value, f)) for f in value.__dataclass_fields__)])
    if isinstance(value, (tuple, list)):
        return np.concatenate([np.zeros(0), *(_flat(v) for v in value)])
    if isinstance(value, str):
        return np.array([float(hash(value) % 10**6)])
    try:
        found = np.asarray(value)
        return np.concatenate([np.real(found).ravel(), np.imag(found).ravel()]).astype(float) if found.dtype.kind in "biufc" else np.zeros(0)
    except (TypeError, ValueError):
        return np.zeros(0)


@pytest.mark.parametrize("function", FUNCTIONS)
def test_every_argument_moves_the_output(function):
    tree, call = _call(function)
    module = importlib.import_module(function.__module__)
    space = dict(vars(module), np=np)
    for node in tree.body:  # whatever the example prepares first
        if call in ast.walk(node):
            break
        exec(compile(ast.Module([node], []), "example", "exec"), space)
    given = {k.arg: eval(compile(ast.Expression(k.value), "example", "eval"), space) for k in call.keywords}
    assert not call.args, "the example names every argument"
    base = _flat(function(**given))
    optional = {n for n, p in inspect.signature(function).parameters.items() if p.default is not inspect.Parameter.empty}
    assert set(inspect.signature(function).parameters) - optional <= set(given), "the example gives every argument that has no default"
    stuck = []
    for name, value in given.items():
        if isinstance(value, bool) or not (isinstance(value, (int, float, np.ndarray, list, tuple)) and np.asarray(value).dtype.kind in "fiu"):
            continue
        moved = False
        for factor, shift in ((1.01, 0), (1.1, 0), (0.9, 0), (1.5, 0), (0.5, 0), (3.0, 0), (0.2, 0), (1, 0.01), (1, -0.2), (1, 1), (1, 3)):
            # a whole number stays one
            other = np.asarray(value) * factor + shift
            other = np.round(other).astype(int) if np.asarray(value).dtype.kind in "iu" else other
            other = other.item() if np.ndim(value) == 0 else other
            try:
                found = _flat(function(**{**given, name: other}))
            except ValueError:
                continue
            if found.shape != base.shape or not np.array_equal(found, base, equal_nan=True):
                moved = True
                break
        if not moved:
            stuck.append(name)
    assert not stuck, f"changing {stuck} changes nothing"


@pytest.mark.parametrize("function", FUNCTIONS)
def test_the_example_gives_what_it_says(function):
    module = importlib.import_module(function.__module__)
    text = textwrap.dedent(_part(inspect.getdoc(function), "Example:"))
    test = doctest.DocTestParser().get_doctest(text, dict(vars(module), np=np), function.__name__, None, 0)
    assert test.examples
    assert doctest.DocTestRunner(verbose=False).run(test).failed == 0
