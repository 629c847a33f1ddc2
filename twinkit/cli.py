"""The command line. Reading it needs the standard library only, so that a wrong use is answered at once on any machine."""

import difflib
import math
import os
import sys
import unicodedata
from dataclasses import dataclass, field
from pathlib import Path

from twinkit import __version__, bootstrap, folder

PROGRAM = folder.PROGRAM
GOOD, STOP, WRONG_USE = 0, 1, 2
KINDS = tuple(folder.DEMOS)
EVENINGS = tuple("123456")
SHEETS = ("--card", "--blank", "--handout", "--leader")  # what print can make instead of the whole record


class Wrong(Exception):
    """A wrong use; its text is one sentence with what would be right."""


@dataclass(frozen=True)
class Command:
    """What a command takes: its folder ('none', 'may', 'must' or 'two'), its options (with the allowed words, () for none), what it does."""

    name: str
    folder: str
    options: dict
    about: str
    passes_on: bool = False

    @property
    def usage(self):
        place = {"none": "", "may": " [FOLDER]", "must": " FOLDER", "two": " FOLDER FOLDER"}[self.folder]
        options = "".join(f" [{name}{' ' + '|'.join(words) if words else ''}]" for name, words in self.options.items())
        return f"{PROGRAM} {self.name}{place}{options}{' [-- PYTEST ARGUMENTS]' if self.passes_on else ''}"


COMMANDS = {command.name: command for command in (
    Command("open", "may", {"--from": KINDS, "--projector": (), "--no-browser": ()},
            f"open a build in JupyterLab; without FOLDER {folder.DEFAULT}, which is made when it is not there; --projector in large type for a wall"),
    Command("new", "must", {"--from": KINDS, "--after": EVENINGS},
            "make a new build in a new folder: blank, or a copy of an invented aeroplane (demo, siskin); --after N as it stands after that club evening"),
    Command("check", "must", {"--json": ()}, "say all findings of a build; exit status 1 when one says stop and nobody took it on"),
    Command("print", "must", {"--card": (), "--blank": (), "--handout": (), "--leader": (), "--evening": EVENINGS, "--to": ("FILE",), "--no-pdf": ()},
            "make the printed record: one HTML file that opens without network, and a PDF where a Chromium is found; --card the flight card only, --blank work sheets "
            "for the pencil, --handout the sheets of the club evenings, --leader the same with the answers"),
    Command("compare", "two", {"--to": ("FILE",)}, "say what differs between two builds, side by side; --to writes it as HTML as well"),
    Command("draw", "must", {}, "write templates (PDF), working drawing (PDF) and sheets (SVG, DXF) of a build, full size, into its folder"),
    Command("test", "none", {"--long": ()}, "test this checkout; --long also runs what takes long, and the benchmarks", passes_on=True),
)}


@dataclass
class Request:
    """A command as typed."""

    command: Command
    folder: Path | None = None
    other: Path | None = None
    options: dict = field(default_factory=dict)
    rest: list = field(default_factory=list)


def help_text():
    """What the program can do."""
    lines = [f"twinkit {__version__}: workbooks for a small twin-motor electric model aeroplane.", ""]
    for command in COMMANDS.values():
        lines += [f"  {command.usage}", f"      {command.about}"]
    lines += ["", "Exit status: 0 done, 1 a finding says stop or a test failed, 2 wrong use, 3 it could not be done on this machine."]
    return "\n".join(lines)


def parse(words):
    """The request behind the words of the command line; Wrong with what would be right."""
    name, *words = words
    if name not in COMMANDS:
        raise Wrong(f"There is no command '{name}'{_nearest(name, COMMANDS)}; the commands are {_listed(COMMANDS, 'and')}.")
    command = COMMANDS[name]
    request, folders = Request(command), []
    while words:
        word = words.pop(0)
        if word == "--" and command.passes_on:
            request.rest, words = words, []
        elif word.startswith("-") and word != "-":
            option, _, value = word.partition("=")
            _take_option(command, option, value, words, request.options)
        else:
            folders.append(word)
    if command.folder == "none" and folders:
        raise Wrong(f"'{PROGRAM} {name}' takes no folder, and got '{folders[0]}'{': what pytest shall get stands after --' if command.passes_on else ''}.")
    if command.folder == "must" and not folders:
        raise Wrong(f"'{PROGRAM} {name}' needs the folder of a build: write it like '{PROGRAM} {name} {folder.HOME}/my-twin'.")
    if command.folder == "two" and len(folders) != 2:
        raise Wrong(f"'{PROGRAM} {name}' needs the folders of two builds, and got {len(folders) or 'none'}: put a name with spaces in quotes.")
    if command.folder != "two" and len(folders) > 1:
        raise Wrong(f"'{PROGRAM} {name}' takes one folder, and got '{folders[0]}' and '{folders[1]}': put a name with spaces in quotes.")
    request.folder = _place(folders[0]) if folders else None
    request.other = _place(folders[1]) if folders[1:] else None
    chosen = [option for option in SHEETS if option in request.options]
    if len(chosen) > 1:
        raise Wrong(f"'{PROGRAM} {name}' makes one thing at a time, and got {_listed(chosen, 'and')}.")
    if "--evening" in request.options and not {"--handout", "--leader"} & set(chosen):
        raise Wrong("'--evening' goes with --handout or --leader.")
    if "--after" in request.options and request.options.get("--from", "blank") == "blank":
        raise Wrong("'--after' goes with --from demo or --from siskin: a blank build has no stages.")
    return request


def _place(word):
    """The folder behind a word; Wrong when no folder can have that name or be looked at."""
    try:
        place = Path(word).expanduser()
        place.exists()
    except (OSError, ValueError, RuntimeError) as trouble:
        why = trouble.strerror if isinstance(trouble, OSError) else str(trouble).rstrip(".")
        raise Wrong(f"'{word if len(word) <= 60 else word[:57] + '...'}' cannot be a folder here ({why}): write it like {folder.HOME}/my-twin.") from None
    return place


def _take_option(command, option, value, words, options):
    if option not in command.options:
        takes = f"it takes {_listed(command.options, 'and')}" if command.options else "it takes no options"
        raise Wrong(f"'{PROGRAM} {command.name}' has no option '{option}'{_nearest(option, command.options)}; {takes}.")
    allowed = command.options[option]
    if not allowed:
        if value:
            raise Wrong(f"'{option}' takes no value: write it alone.")
        options[option] = True
        return
    if not value and words and not words[0].startswith("-"):
        value = words.pop(0)
    if allowed == ("FILE",):
        if not value:
            raise Wrong(f"'{option}' needs the name of a file: write it like '{option} record.html'.")
        if not value.lower().endswith((".html", ".htm")):      # so that a slip never writes over a build or a photo
            raise Wrong(f"'{option}' writes HTML, and '{value}' does not end in .html: write it like '{option} {(Path(value).stem or 'record')}.html'.")
    elif value not in allowed:
        got = f", not '{value}'{_nearest(value, allowed)}" if value else ""
        raise Wrong(f"'{option}' takes {_listed(allowed, 'or')}{got}.")
    options[option] = value


def _nearest(word, known):
    near = difflib.get_close_matches(word, list(known), n=1, cutoff=0.5)
    return f" (did you mean '{near[0]}'?)" if near else ""


def _listed(words, last):
    words = list(words)
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


def say(*words, end="\n", file=None):
    """Print lines; a sign that would move the cursor or change colours, from a name somebody else wrote, is shown as one that does nothing."""
    text = "\n".join(map(str, words))
    print("".join(sign if sign in "\n\t" or unicodedata.category(sign) not in ("Cc", "Cs") else "\ufffd" for sign in text), end=end, file=file)


def main(argv=None):
    """Run one command; its exit status."""
    argv = list(sys.argv[1:] if argv is None else argv)
    for stream in (sys.stdout, sys.stderr):  # a console that lacks a sign shows another one instead of failing
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    words = argv[:argv.index("--")] if "--" in argv else argv
    if not argv or argv[0] in ("help", "-h") or "--help" in words:
        print(COMMANDS[argv[0]].usage + "\n    " + COMMANDS[argv[0]].about if argv and argv[0] in COMMANDS else help_text())
        return GOOD
    if argv[0] == "--version":
        print(__version__)
        return GOOD
    try:
        request = parse(argv)
        _look_first(request)
        elsewhere = bootstrap.go_on(argv, testing=request.command.name == "test")
        if elsewhere is not None:
            return elsewhere
        os.environ.setdefault("JUPYTER_PREFER_ENV_PATH", "1")  # this Python's kernel, not one of the same name in the reader's home
        return RUN[request.command.name](request)
    except (Wrong, folder.FolderError) as wrong:
        say(wrong, file=sys.stderr)
        return WRONG_USE
    except bootstrap.Trouble as trouble:
        say(trouble, file=sys.stderr)
        return bootstrap.NOT_READY
    except KeyboardInterrupt:
        say("Stopped.", file=sys.stderr)
        return bootstrap.NOT_READY
    except Exception as trouble:  # a mistake of ours; Python's own exit status would read like a finding that says stop
        import traceback

        traceback.print_exc()
        say(f"Something went wrong inside twinkit, not in your build ({type(trouble).__name__}): what stands above helps whoever mends it.", file=sys.stderr)
        return bootstrap.NOT_READY


def _look_first(request):
    """Refuse what cannot be done here before anything is installed or started."""
    if request.command.name == "test" and bootstrap.checkout() is None:
        raise Wrong(f"'{PROGRAM} test' tests a checkout and this twinkit is installed without one: start it in the checkout.")
    if request.command.name in ("check", "print", "compare", "draw"):
        folder.existing(request.folder)
        if request.other:
            folder.existing(request.other)
    elif request.command.name == "new":
        folder.fresh(request.folder)
    elif request.folder and not folder.is_empty(request.folder):
        folder.existing(request.folder)


def _new(request):
    kind = request.options.get("--from", "blank")
    said = folder.make(request.folder, kind, int(request.options["--after"]) if "--after" in request.options else None)
    say(f"Your new build lies in {request.folder.resolve()}.", *said)
    say(f"Open it with: {PROGRAM} open {_quoted(request.folder)}")
    return GOOD


def _open(request):
    from twinkit import lab

    kind = request.options.get("--from", "blank")
    place = request.folder or (folder.DEFAULT if kind == "blank" else folder.HOME / folder.DEMOS[kind]).expanduser()
    if folder.is_empty(place):
        said = folder.make(place, kind)
        say(f"A new build was made in {place.resolve()}.")
        if kind == "blank":
            say(f"For a look at a finished one: {PROGRAM} open --from demo")
    else:
        folder.existing(place)
        if "--from" in request.options and request.folder:
            raise Wrong(f"'{place}' already holds a build and '--from' is for a new one: leave it out, or name a new folder.")
        said = folder.lay_pages(place)
        say(f"Your build lies in {place.resolve()}.")
    say(*said, end="\n" if said else "")
    return lab.run(place.resolve(), browser="--no-browser" not in request.options, projector="--projector" in request.options)


def _check(request):
    from twinkit import checks
    from twinkit.record import Record, RecordError

    path = request.folder / folder.RECORD_FILE
    try:
        record = Record.read(path)
    except RecordError as wrong:
        raise Wrong(str(wrong)) from None
    found = checks.findings(record)
    taken_on = {f.code: record.acknowledged(f.code) for f in found}
    stops = [f for f in found if f.verdict == "stop" and not taken_on[f.code]]
    say(_as_json(path, record, found, taken_on) if "--json" in request.options else _as_text(path, record, found, taken_on))
    return STOP if stops else GOOD


def _as_text(path, record, found, taken_on):
    """All findings for people, page by page, worst first."""
    from twinkit.checks import MARKS, VERDICTS, gathered
    from twinkit.design.base import said
    from twinkit.quantities import SECTIONS, STEPS

    lines = [f"{record.value('start.name') or 'A build without a name'} ({path})"]
    lines += [f"  not taken over: {problem.sentence}" for problem in record.problems]
    for number, step in enumerate(STEPS):
        here = gathered([f for f in found if f.step == step], record)
        lines += ["", f"{number:02d} {SECTIONS[step]}"] if here else []
        for f in here:
            lines.append(f"  {MARKS[f.verdict]} {f.verdict} | {f.title}. {f.sentence}")
            lines += [f"      do: {f.advice.sentence}"] if f.advice else []
            moving = list(dict.fromkeys(said(path) for path in f.moved_by))[:3] if f.verdict in ("look again", "stop") else []
            lines += [f"      leans most on what nobody measured or chose: {'; '.join(moving)}"] if moving else []
            word = taken_on.get(f.code)
            lines += [f"      flown knowing this, because {word['reason']} ({word['name']}, {word['date']})"] if word else []
    counts = {verdict: sum(f.verdict == verdict for f in found) for verdict in VERDICTS}
    return "\n".join([*lines, "", ", ".join(f"{count} {verdict}" for verdict, count in counts.items())])


def _as_json(path, record, found, taken_on):
    """All findings for programs; values in SI."""
    import dataclasses
    import json

    rows = [{**dataclasses.asdict(f), "acknowledged": taken_on[f.code]} for f in found]
    problems = [problem.sentence for problem in record.problems]
    return json.dumps({"twinkit": __version__, "build": str(path), "problems": problems, "findings": _plain(rows)}, indent=1, ensure_ascii=False, default=str)


def _plain(value):
    """The same without numbers that JSON has no words for."""
    if isinstance(value, dict):
        return {key: _plain(entry) for key, entry in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(entry) for entry in value]
    if hasattr(value, "item"):  # a numpy number
        value = value.item()
    return None if isinstance(value, float) and not math.isfinite(value) else value


def _print(request):
    from twinkit import printed
    from twinkit.printed import card, evening, pdf, work_sheets
    from twinkit.record import RecordError

    options, number = request.options, int(request.options.get("--evening", 0)) or None
    named = f"-evening-{number}" if number else ""
    sheets = {"--card": (card.FILE, card.card, False), "--blank": ("work-sheets.html", work_sheets.work_sheets, True),
              "--handout": (f"handout{named}.html", lambda results: evening.handout(results, number), True),
              "--leader": (f"leader{named}.html", lambda results: evening.leader(results, number), False)}
    chosen = next((option for option in SHEETS if option in options), None)
    try:
        made = printed.print_sheets(request.folder, sheets[chosen][0], sheets[chosen][1], options.get("--to"), sheets[chosen][2]) if chosen else \
            printed.print_record(request.folder, options.get("--to"))
    except RecordError as wrong:
        raise Wrong(str(wrong)) from None
    say(made)
    if "--no-pdf" not in options:
        beside = made.with_suffix(".pdf")
        say(pdf.make_pdf(made, beside) or beside)
    return GOOD


def _compare(request):
    from twinkit import printed
    from twinkit.record import RecordError

    try:
        say(printed.print_comparison(request.folder, request.other, request.options.get("--to")), end="")
    except RecordError as wrong:
        raise Wrong(str(wrong)) from None
    return GOOD


def _draw(request):
    from twinkit import paper
    from twinkit.record import Record, RecordError

    try:
        record = Record.read(request.folder / folder.RECORD_FILE)
        files = paper.write(request.folder, record)
    except (RecordError, paper.NotYet) as wrong:
        raise Wrong(str(wrong)) from None
    from twinkit.design import Results

    say(f"Written into {files[0].parent.resolve()}:", *(f"  {words}" for words in paper.said(Results(record), files)))
    return GOOD


def _test(request):
    import subprocess

    root = bootstrap.checkout()
    places = [word for word in request.rest if not word.startswith("-") and (Path(root) / word.split("::")[0]).exists()]
    chosen = [] if places else ["tests", "workbooks"]
    kinds = [] if "--long" in request.options or "-m" in request.rest else ["-m", "not long and not speed"]
    command = [sys.executable, "-m", "pytest", "--nbval-lax", "--nbval-current-env", "--nbval-cell-timeout=60", *kinds, *chosen, *request.rest]
    path = os.pathsep.join(part for part in (root, os.environ.get("PYTHONPATH")) if part)
    failed = subprocess.run(command, cwd=root, env={**os.environ, "PYTHONPATH": path, "TWINKIT_STRICT": "1"}).returncode
    return STOP if failed else GOOD


def _quoted(path):
    return f'"{path}"' if " " in str(path) else str(path)


RUN = {"open": _open, "new": _new, "check": _check, "print": _print, "compare": _compare, "draw": _draw, "test": _test}
