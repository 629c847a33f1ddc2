"""Each layer knows only those to its left; read from the imports."""

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "twinkit"

# What each room may import besides itself. Order: constants -> physics, circuit; constants, files, quantities, units -> tables, record -> design -> checks
# -> drawings -> controls -> workbook, printed, cli.
BELOW = {
    "constants": set(), "files": set(), "units": set(), "quantities": {"units"},
    "physics": {"constants"}, "circuit": {"constants"},
    "tables": {"units"}, "record": {"files", "quantities", "units", "tables"},
}
_GROUND = {"constants", "files", "units", "quantities", "tables", "record", "physics", "circuit"}
BELOW["design"] = _GROUND
BELOW["checks"] = BELOW["design"] | {"design"}
BELOW["drawings"] = BELOW["checks"] | {"checks"}
BELOW["folder"] = {"files", "units", "quantities", "tables", "record"}
BELOW["paper"] = BELOW["drawings"] | {"drawings", "folder"}
BELOW["controls"] = BELOW["drawings"] | {"drawings", "folder", "paper"}
_RIM = {"pages", "workbook", "printed", "lab", "cli", "__main__", "bootstrap"}
for _room_name in _RIM:
    BELOW[_room_name] = BELOW["controls"] | {"controls", "folder"} | _RIM
BARE = {"physics": {"numpy", "scipy"}, "circuit": {"numpy", "scipy"}, "constants": set()}
STANDARD = {"__future__", "ast", "difflib", "bisect", "collections", "dataclasses", "enum", "functools", "itertools", "math", "typing"}


def _room(path):
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def _imports(tree):
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            for alias in node.names:
                yield f"{node.module}.{alias.name}" if node.module == "twinkit" else node.module


FILES = sorted(p for p in PACKAGE.rglob("*.py") if p != PACKAGE / "__init__.py")


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.relative_to(PACKAGE).as_posix())
def test_a_room_knows_only_the_rooms_to_its_left(path):
    room = _room(path)
    assert room in BELOW, f"{path.name} lies in a room the layers do not name: add it to the house or move it"
    for name in _imports(ast.parse(path.read_text(encoding="utf-8"))):
        parts = name.split(".")
        if parts[0] != "twinkit":
            if room in BARE:
                assert parts[0] in BARE[room] | STANDARD, f"{path.name} imports {name}: {room} works with numpy and scipy only"
            continue
        if len(parts) > 1 and parts[1] not in (room, "__version__"):
            assert parts[1] in BELOW[room], f"{path.name} ({room}) imports {name}, which is not to its left"


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.relative_to(PACKAGE).as_posix())
def test_no_module_grows_past_400_lines(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 400


def test_relative_imports_are_not_used():
    for path in FILES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            assert not (isinstance(node, ast.ImportFrom) and node.level), f"{path.name} uses a relative import"


def test_importing_twinkit_stays_light():
    import subprocess
    import sys

    code = "import sys, twinkit; print([m for m in ('numpy', 'pint', 'matplotlib', 'pandas', 'scipy', 'ipywidgets', 'tomlkit') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=PACKAGE.parent)
    assert done.stdout.strip() == "[]"
