"""Writes the pages of docs/ that follow from the code and the data: glossary.md, checks.md, sources.md, teaching.md.

`.venv/bin/python docs/write.py` writes them; a test says when they are behind.
"""

import sys
import tomllib
from pathlib import Path

DOCS = Path(__file__).resolve().parent
sys.path.insert(0, str(DOCS.parent))

from twinkit import quantities, tables, units  # noqa: E402
from twinkit.checks import REGISTRY  # noqa: E402
from twinkit.pages import QUESTIONS  # noqa: E402
from twinkit.printed import evening  # noqa: E402

MADE = "*This page is written from the code by `docs/write.py`; change it there.*"


def cell(text):
    """A text as a cell of a table."""
    return str(text).replace("|", "\\|").replace("\n", " ")


def table(heads, rows):
    return "\n".join(["| " + " | ".join(heads) + " |", "|" + "---|" * len(heads), *("| " + " | ".join(cell(c) for c in row) + " |" for row in rows)])


def _page(step):
    return f"{quantities.STEPS.index(step):02d} {quantities.SECTIONS[step]}" if step in quantities.STEPS else quantities.SECTIONS[step]


def _range(quantity, ends):
    if quantity.kind != "number":
        return ""
    low, high = (units.digits(units.from_si(x, quantity.metric, quantity.unit) if quantity.metric else x, 4) for x in ends)
    return f"{low} to {high} {quantity.metric}".strip()


def _kind(quantity):
    if quantity.kind == "choice":
        return ", ".join(f"`{key}` {words}" for key, words in quantity.choices.items())
    return {"flag": "`true` or `false`", "text": "a text"}.get(quantity.kind, " or ".join(filter(None, (quantity.metric, quantity.imperial))) or "a number")


def _default(quantity):
    if quantity.default is None:
        return ""
    if quantity.kind == "number":
        return units.shown(quantity.default, quantity.metric, quantity.unit, 4) if quantity.metric else units.digits(quantity.default, 4)
    return f"`{str(quantity.default).lower() if quantity.kind == 'flag' else quantity.default}`"


def _row(quantity):
    name = quantity.id + (f" ({', '.join(quantity.sides)})" if quantity.sides else "")
    return f"`{name}`", quantity.label + (f", *{quantity.symbol}*" if quantity.symbol else ""), _kind(quantity), _range(quantity, quantity.usual), _range(quantity, quantity.possible), _default(quantity), quantity.meaning


def glossary():
    """Words of the trade, then every entry of the record."""
    terms = tomllib.loads(tables.text("teaching/terms.toml"))["term"]
    parts = ["# Glossary", MADE, "## Words", table(("word", "meaning"), sorted(terms.items(), key=lambda term: term[0].lower())), "## Entries of the record",
             "As they stand in `build.toml`. An entry with sides stands once in the section of each side, like `kv` in `[power.left]`. *Usual* is the range of a slider; beyond *possible* an entry is refused. "
             "Where nothing is entered the last but one column is *assumed*, and said to be."]
    heads = ("entry", "what", "written as", "usual", "possible", "assumed", "meaning")
    for section in quantities.SECTIONS:
        parts += [f"### {_page(section)}", table(heads, [_row(q) for q in quantities.QUANTITIES.values() if q.section == section])]
        for rows in (t for t in quantities.TABLES.values() if t.section == section):
            parts += [f"**Rows `[[{rows.id}]]`: {rows.label}.** {rows.meaning}", table(heads, [_row(q) for q in rows.columns])]
    return parts


def checks():
    """Every check, page by page."""
    known = tables.sources()
    parts = ["# Checks", MADE, f"{len(REGISTRY)} questions the pages put to your aeroplane. Each says good, look again, stop, or cannot tell with what is missing; none of them is a score."]
    for step in quantities.STEPS:
        rows = [(check.code, check.title, check.why, _limit(check), f"`{check.source}` ({known[check.source]['standing']})") for check in sorted(REGISTRY, key=lambda c: c.code) if check.step == step]
        parts += [f"## {_page(step)}", QUESTIONS[step], table(("code", "check", "why it matters", "held against", "source"), rows)]
    return parts


def _limit(check):
    if not check.limit:
        return ""
    quantity = quantities.quantity(check.limit)
    return f"{quantity.label}: {_default(quantity)} unless you change it" if quantity.default is not None else quantity.label


def sources():
    """Every source, with how it was seen."""
    rows = [(f"`{key}`", entry["citation"], entry["standing"]) for key, entry in sorted(tables.sources().items())]
    return ["# Sources", MADE, "*Standing*: seen, quoted by another source, from memory, worked out here, or common practice without a source.", table(("key", "source", "standing"), rows)]


INTRO = """Six evenings of {minutes} minutes, eight to ten people of all ages, one projector in a light room, two laptops, no network, somebody late.
Paper carries most of it: one sheet a head, the leader's sheet with the answers, the work sheets of each page.

## Before the first evening, at home
1. Open the demo build once on each laptop: `python3 -m twinkit open --from demo`. From then on neither needs a network. For a laptop that
   has never been connected prepare a stick as the README tells ("At the club, without network").
2. Print the sheets: `python3 -m twinkit print FOLDER --handout --evening 1` (one a head), `--leader --evening 1` (one), `--blank` (one a
   pair). FOLDER is the build that will be on the wall: the demo, or the club's own.
3. Put the tools of the evening into one box. Propellers go into a second box that stays at the door.

## On the wall
`python3 -m twinkit open FOLDER --projector` opens the page alone: 18 point type on 1280 by 720, no code, answers folded until somebody
presses them. Turn pages with the link at the end of each. *Guess first* asks before it shows. Lesson parts are switched off by one entry on page 00.

## Somebody was away
`python3 -m twinkit new FOLDER --from demo --after 3` makes the demo build as it stands after evening 3; they go on from there with everybody else. To see
what two pairs did unlike: `python3 -m twinkit compare FOLDER FOLDER`.

## Safety
The leader alone fits propellers, only on the last evening, and everybody is behind the line then. Packs are charged at home, lie in one
place that cannot burn, and go into a plug when the leader says so. A soldering iron has its own table. Local rules and qualified people go first."""


def teaching():
    """The guide for whoever leads the evenings."""
    plan, rows = evening.evenings()["plan"], evening.evenings()["evening"]
    parts = ["# Teaching with it", MADE, INTRO.format(minutes=sum(plan["minutes"])), "## Every evening", table(("minutes", "part", "how"), zip(plan["minutes"], plan["parts"], plan["about"]))]
    for number, row in enumerate(rows, 1):
        slider = quantities.quantity(row["slider"])
        guesses = [f"*{question}*" for step in row["pages"] for question, _, _ in evening.lesson(step)[0]]
        parts += [f"## Evening {number}: {row['title']}", f"Page {' and '.join(_page(step) for step in row['pages'])}.", "\n".join([
            f"- **Recap.** {row['recap']}", f"- **Guess.** {' '.join(guesses)}",
            f"- **Demonstration.** Slider *{slider.label}*, and {row['watch']} beside it. {row['sentence']}", "- **In pairs.**", *(f"  {k}. {words}" for k, words in enumerate(row["pairs"], 1)),
            *(f"- **Exercise.** {question} *Answer:* {answer}" for step in row["pages"] for question, answer in evening.lesson(step)[1]),
            f"- **On the table.** {', '.join(row['tools'])}.", f"- **Until next time.** {row['shopping']}",
            f"- **Mind.** {' '.join(tables.cautions()[name]['title'] for name in row['cautions'])}"])]
    return parts


PAGES = {"glossary.md": glossary, "checks.md": checks, "sources.md": sources, "teaching.md": teaching}


def text(name):
    """A page as it should be."""
    return "\n\n".join(PAGES[name]()) + "\n"


if __name__ == "__main__":
    for page in PAGES:
        (DOCS / page).write_text(text(page), encoding="utf-8", newline="\n")
