"""The recipes of DEVELOPERS.md, performed on a scratch copy: a quantity is one entry, a check is one class, and no other file is touched."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[2]


@pytest.fixture
def copy(tmp_path):
    for name in ("twinkit", "data"):
        shutil.copytree(TOP / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    return tmp_path


def _touched(copy):
    """The files of the copy that differ from ours."""
    return sorted(p.relative_to(copy).as_posix() for p in copy.rglob("*") if p.is_file() and p.suffix in (".py", ".toml", ".csv")
                  and p.read_bytes() != (TOP / p.relative_to(copy)).read_bytes())


def _run(copy, code):
    done = subprocess.run([sys.executable, "-c", code], cwd=copy, capture_output=True, text=True, env={"PYTHONPATH": str(copy), "PATH": ""})
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_a_quantity_is_one_entry(copy):
    module = copy / "twinkit" / "quantities" / "wing.py"
    text = module.read_text(encoding="utf-8")
    entry = '    number("wing.tape_width", "tape width", "m", ("mm", "in"), (5, 100), (20, 50), "Over the hinge.", group="controls", default=25),\n'
    module.write_text(text.replace("ENTRIES = (\n", "ENTRIES = (\n" + entry, 1), encoding="utf-8")
    said = _run(copy, """
from twinkit.controls.fields import Group
from twinkit.controls.guard import Guard
from twinkit.record import Record, RecordError
record = Record.from_text('schema = 2\\n[wing]\\ntape_width = "30 mm"\\n')
print(record.problems, record.value("wing.tape_width"))
group = Group("wing", "controls", record, lambda path: None, Guard(print))
group.fields["wing.tape_width"].box.value = "1 in"
print(record.get("wing.tape_width").text)
try:
    record.set("wing.tape_width", "2 mm")
except RecordError as refused:
    print(refused)
""")
    assert "() 0.03" in said or "[] 0.03" in said
    assert "1 in" in said or "25.4 mm" in said
    assert "tape_width" in said and "2 mm" in said
    assert _touched(copy) == ["twinkit/quantities/wing.py"]


def test_a_check_is_one_class(copy):
    module = copy / "twinkit" / "checks" / "start.py"
    module.write_text(module.read_text(encoding="utf-8") + '''

class FieldLongEnough(Check):
    code = "S99"
    title = "Field"
    why = "A short field leaves no room for a long approach."
    source = "common_practice"
    needs = ("start",)
    examples = {"good": {}, "not": {"start.field_length": "12 m"}, "cannot tell": {"start.mass_guess": None}}

    def look(self, results):
        length = results.record.value("start.field_length")
        return self.say("good" if length > 40 else "look again", f"Your field is {length:.0f} m long.", length, 40, results=results)
''', encoding="utf-8")
    said = _run(copy, """
from twinkit import checks, tables
from twinkit.controls import show
from twinkit.record import Record
found = [f for f in checks.findings(Record.from_text(tables.text("demo/dunlin.toml"))) if f.code == "S99"]
print(found[0].verdict, found[0].step, found[0].workbook, show.finding_text(found[0]))
""")
    assert said.strip() == "good start 00 ✓ good | Field. Your field is 110 m long."
    assert _touched(copy) == ["twinkit/checks/start.py"]
