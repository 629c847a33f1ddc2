"""The sheets of a club evening: one a head without answers, and the leader's with them. Guesses and exercises are those of the pages themselves."""

import ast
import functools
import json
import tomllib

from twinkit import folder, quantities, tables, units
from twinkit.drawings.base import Sheet
from twinkit.pages import FILES, QUESTIONS
from twinkit.printed.paper import Heading, Ruled, Words

ROOM = "\u2003" * 8


@functools.cache
def evenings():
    """The plan of the minutes and the evenings, as data/teaching/evenings.toml has them."""
    return tomllib.loads(tables.text("teaching/evenings.toml"))


@functools.cache
def lesson(step):
    """(guesses, exercises) of a shipped page: [(question, number, kind)] and [(question, answer)], read from its cells."""
    notebook = json.loads((folder.shipped_pages()[0].parent / FILES[step]).read_text(encoding="utf-8"))
    calls = {"guess": [], "exercise": []}
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            for node in ast.walk(ast.parse("".join(cell["source"]))):
                if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in calls:
                    calls[node.func.attr].append(tuple(ast.literal_eval(argument) for argument in node.args))
    return calls["guess"], calls["exercise"]


def handout(results, number=None):
    """Blocks of the sheet a head: of one evening, or of all six."""
    return [block for n in _asked(number) for block in _sheet(results, n)]


def leader(results, number=None):
    """Blocks of the leader's sheets with the answers for this build."""
    return [block for n in _asked(number) for block in _leader(results, n)]


def _asked(number):
    return range(1, len(evenings()["evening"]) + 1) if number is None else (number,)


def _pages(evening):
    return " and ".join(f"{quantities.STEPS.index(step):02d} {quantities.SECTIONS[step]}" for step in evening["pages"])


def _guesses(evening):
    return [guess for step in evening["pages"] for guess in lesson(step)[0]]


def _exercises(evening):
    return [exercise for step in evening["pages"] for exercise in lesson(step)[1]]


def _sheet(results, number):
    evening, caution = evenings()["evening"][number - 1], tables.cautions()
    blocks = [Heading(f"Evening {number}: {evening['title']}", 1), Words(f"Page {_pages(evening)}. Aeroplane on the wall: {results.record.value('start.name') or 'not named yet'}."),
              Words("name ______________________   with ______________________   date ______________")]
    blocks += [Words(caution[name]["text"], caution[name]["title"]) for name in evening["cautions"]]
    blocks.append(Words(" ".join(QUESTIONS[step] for step in evening["pages"]), "The question."))
    blocks.append(Sheet("Guess first, before the page is opened", ("question", "your guess", "the page found"), tuple((question, ROOM, ROOM) for question, _, _ in _guesses(evening))))
    blocks += [Heading("In pairs", 3), *(Words(words, f"{k}.") for k, words in enumerate(evening["pairs"], 1))]
    blocks.append(Sheet("What you measured", ("what", "number and unit", "with what"), tuple((what, ROOM, ROOM) for what in evening["measure"])))
    lines = 2 if len(evening["pages"]) == 1 else 1  # one sheet a head, also with two pages an evening
    for question, _ in _exercises(evening):
        blocks += [Words(question, "For the evening."), Ruled(2)]
    return [*blocks, Words("We decided, because:"), Ruled(lines), Words(evening["shopping"], "Until next time.")]


def _leader(results, number):
    evening, plan, record = evenings()["evening"][number - 1], evenings()["plan"], results.record
    slider = quantities.quantity(evening["slider"])
    clock, rows = 0, []
    for minutes, part, about in zip(plan["minutes"], plan["parts"], plan["about"]):
        own = {"recap and guess": evening["recap"], "demonstration": f"Page {_page_of(evening['slider'])}, move \"{slider.label}\" and watch {evening['watch']}. {evening['sentence']}",
               "in pairs": " ".join(f"({k}) {words}" for k, words in enumerate(evening["pairs"], 1)), "shopping": evening["shopping"]}.get(part, "")
        rows.append((f"{clock} to {clock + minutes} min", part, f"{about} {own}".strip()))
        clock += minutes
    answers = tuple((question, _found(results, number_, kind, record)) for question, number_, kind in _guesses(evening))
    blocks = [Heading(f"Evening {number}, leader: {evening['title']}", 1), Words(f"Page {_pages(evening)}. Eight to ten people, one projector, two laptops, no network; {sum(plan['minutes'])} minutes."),
              Words(", ".join(evening["tools"]) + "; pencils, one sheet a head.", "On the table."), Sheet("The minutes", ("when", "what", "how"), tuple(rows)),
              Sheet(f"Guesses: what the page finds for {record.value('start.name') or 'this build'}", ("question", "answer"), answers)]
    blocks += [block for question, answer in _exercises(evening) for block in (Words(question, "For the evening."), Words(answer, "Answer."))]
    late = f"python3 -m twinkit new FOLDER --from demo --after {number - 1}" if number > 1 else "python3 -m twinkit new FOLDER --from demo"
    return [*blocks, Words(f"{late} makes the build as it stands before this evening.", "Somebody was away?"),
            *(Words(tables.cautions()[name]["text"], tables.cautions()[name]["title"]) for name in evening["cautions"])]


def _page_of(path):
    return f"{quantities.STEPS.index(path.split('.')[0]):02d}"


def _found(results, number, kind, record):
    """The number a guess is compared with, as text."""
    name, field = number.split(".")
    return units.say(getattr(getattr(results, name), field), kind, record.value("start.units"))
