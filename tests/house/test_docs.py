"""docs/: what is written from the code is up to date, every model has a whole page, every link leads somewhere."""

import importlib.util
import re
from pathlib import Path

import pytest

from twinkit import quantities
from twinkit.checks import REGISTRY

TOP = Path(__file__).resolve().parents[2]
DOCS = TOP / "docs"
MODELS = sorted(p for p in (DOCS / "models").glob("*.md") if p.stem != "signs")

_spec = importlib.util.spec_from_file_location("write_docs", DOCS / "write.py")
write = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(write)


@pytest.mark.parametrize("name", write.PAGES)
def test_a_page_made_from_the_code_is_up_to_date(name):
    assert (DOCS / name).read_text(encoding="utf-8") == write.text(name), "run .venv/bin/python docs/write.py"


def test_the_pages_hold_every_entry_and_every_check():
    glossary, checks = write.text("glossary.md"), write.text("checks.md")
    columns = [c for t in quantities.TABLES.values() for c in t.columns]
    assert not [q.id for q in [*quantities.QUANTITIES.values(), *columns] if f"`{q.id}" not in glossary]
    assert not [c.code for c in REGISTRY if f"| {c.code} |" not in checks]


@pytest.mark.parametrize("path", MODELS, ids=lambda p: p.stem)
def test_a_models_page_is_whole(path):
    heads = " ".join(re.findall(r"^## (.+)$", path.read_text(encoding="utf-8"), re.M))
    for part, words in {"the relation": "Relation|How it works|The circuit", "where it holds": "Range|Holds|bound|Defaults", "how far off it is": "How far off|rrors|errs|outcomes", "its sources": "Sources"}.items():
        assert re.search(words, heads), f"{path.name} lacks {part}"


def test_every_model_is_told_on_a_page():
    told = "".join(path.read_text(encoding="utf-8") for path in MODELS)
    assert not [p.stem for p in (TOP / "twinkit" / "physics").glob("[a-z]*.py") if p.stem not in told]


@pytest.mark.parametrize("path", [TOP / "README.md", TOP / "DEVELOPERS.md", *sorted(DOCS.rglob("*.md"))], ids=lambda p: p.relative_to(TOP).as_posix())
def test_links_lead_somewhere(path):
    text = re.sub(r"```.*?```", "", path.read_text(encoding="utf-8"), flags=re.S)
    broken = [target for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", text) if not target.startswith(("http", "mailto")) and not (path.parent / target).exists()]
    assert not broken
