"""A build's folder: made, given its pages and a starter to double-click, and told apart from other folders."""

import json
import stat
import sys
from pathlib import Path

from twinkit import __version__, files

PROGRAM = "python3 -m twinkit"
RECORD_FILE = "build.toml"
DEMOS = {"demo": "dunlin", "siskin": "siskin", "blank": "blank"}
HOME = Path("~/twinkit-builds")
DEFAULT = HOME / "my-twin"


class FolderError(Exception):
    """A folder that cannot be used as asked; its text is one sentence with what would be right."""


def shipped_pages():
    """The pages that came with this version, in their order."""
    from twinkit import tables

    return sorted((tables.data_folder().parent / "workbooks").glob("[0-9][0-9]_*.ipynb"))


def make(folder, kind="blank", after=None):
    """A new build in a folder that is new or empty; what was laid, as sentences. after: only what is decided when that club evening is over."""
    from twinkit import tables

    fresh(folder)
    text = tables.text(f"demo/{DEMOS[kind]}.toml")
    text = text if after is None else stage(text, after)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        files.write(folder / RECORD_FILE, text)
    except OSError as error:
        raise unwritable(folder, error) from None
    return lay_pages(folder)


def stage(text, after):
    """A record's text with the sections of the pages that come after an evening taken out, comments kept."""
    import tomllib

    import tomlkit

    from twinkit import tables
    from twinkit.quantities import STEPS

    done = {page for evening in tomllib.loads(tables.text("teaching/evenings.toml"))["evening"][:after] for page in evening["pages"]}
    document = tomlkit.parse(text)
    for step in STEPS:
        if step not in done:
            document.pop(step, None)
            document.get("notes", {}).pop(step, None)
    return tomlkit.dumps(document)


def scratch():
    """A folder with a copy of the demo record that goes when the program ends."""
    import atexit
    import shutil
    import tempfile

    from twinkit import tables

    folder = Path(tempfile.mkdtemp(prefix="twinkit-scratch-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    (folder / RECORD_FILE).write_text(tables.text(f"demo/{DEMOS['demo']}.toml"), encoding="utf-8")
    return folder


def fresh(folder):
    """FolderError when a new build cannot be made here."""
    refuse_file(folder, "name a new folder")
    if not folder.exists() and (near := files.fit_name(folder.name)) != folder.name:
        raise FolderError(f"'{folder.name}' cannot name a build's folder: {files.FIT}; nearest: '{folder.parent / near}'.")
    if (folder / RECORD_FILE).exists():
        raise FolderError(f"'{folder}' already holds a build: '{PROGRAM} open' goes on with it, or name a new folder.")
    if not is_empty(folder):
        raise FolderError(f"'{folder}' is not empty: name a new or an empty folder.")


def is_empty(folder):
    """Whether a folder is not there or holds nothing."""
    return not folder.exists() or folder.is_dir() and not any(folder.iterdir())


def existing(folder):
    """The folder of a build that is there; FolderError with what would be right otherwise."""
    refuse_file(folder, f"name the folder it lies in, '{folder.parent}'")
    if not folder.exists():
        raise FolderError(f"There is no folder '{folder}': '{PROGRAM} new FOLDER' makes one with a new build.")
    if not (folder / RECORD_FILE).is_file():
        raise FolderError(f"There is no {RECORD_FILE} in '{folder}', so it is no build: '{PROGRAM} new FOLDER' makes one in a new folder.")
    return folder


def refuse_file(folder, instead):
    """FolderError when this is a file."""
    if folder.exists() and not folder.is_dir():
        raise FolderError(f"'{folder}' is a file: {instead}.")


def lay_pages(folder):
    """Lay the pages and the starter that are missing; a page that is there is never written over. What is to be said, as sentences."""
    said = []
    try:
        for page in shipped_pages():
            there = folder / page.name
            if not there.exists():
                _lay(page, there)
            elif there.read_bytes() == _laid(page).encode("utf-8"):
                _trust(there)
            elif _newer(__version__, version_of(there)):
                beside = folder / f"{page.stem}.{__version__}.ipynb"
                if not beside.exists():
                    _lay(page, beside)
                    said.append(f"{page.name} is of twinkit {version_of(there)} and stays as it is; the page of {__version__} lies beside it as {beside.name}.")
        lay_starter(folder)
    except OSError as error:
        raise unwritable(folder, error) from None
    return said


def start_page(folder):
    """The name of the page to open first: of this version when it was laid beside an older one. None when there is no page."""
    for page in shipped_pages()[:1]:
        for name in (f"{page.stem}.{__version__}.ipynb", page.name):
            if (folder / name).is_file():
                return name
    return None


def version_of(page):
    """The twinkit version in a page's metadata, '' when there is none to be read."""
    try:
        found = json.loads(page.read_text(encoding="utf-8"))["metadata"]["twinkit"]["version"]
    except (OSError, ValueError, LookupError, TypeError, RecursionError):
        return ""
    return found if isinstance(found, str) else ""


def _laid(page):
    """The text of a shipped page, marked with the version it came with."""
    notebook = json.loads(page.read_text(encoding="utf-8"))
    notebook["metadata"]["twinkit"] = {"version": __version__}
    return json.dumps(notebook, indent=1, ensure_ascii=False) + "\n"


def _lay(page, target):
    """Copy a shipped page into a build."""
    files.write(target, _laid(page))
    _trust(target)


def _trust(page):
    """Sign a page that is exactly as we ship it, so that Jupyter runs it at the first press without asking; changed or foreign pages are not signed."""
    import nbformat
    from nbformat.sign import NotebookNotary

    NotebookNotary().sign(nbformat.read(page, as_version=4))


def _newer(version, other):
    """Whether a version is newer than another one; an unreadable other is not touched, so it counts as the same."""
    try:
        one, two = (tuple(int(part) for part in text.split(".")) for text in (version, other))
    except ValueError:
        return False
    return one > two


def lay_starter(folder):
    """The file to double-click that opens this folder. It is ours and holds this machine's paths, so it is always written anew."""
    root = str(Path(__file__).resolve().parent.parent)
    name, text = starter(sys.platform, sys.executable, root, folder.resolve())
    path, data = folder / name, text.encode("utf-8", "surrogateescape")
    if path.is_symlink() or not path.exists() or path.read_bytes() != data:
        files.write(path, data)
        path.chmod(path.stat().st_mode | stat.S_IXUSR)


def starter(platform, python, root, folder):
    """Name and text of the starter for a platform."""
    if platform == "win32":
        python, root = (text.replace("%", "%%") for text in (python, root))
        return "open this build.bat", ("@echo off\r\nchcp 65001 >nul\r\n"
                                       f'cd /d "{root}"\r\n"{python}" -m twinkit open "%~dp0."\r\nif errorlevel 1 pause\r\n')
    quote = lambda text: "'" + str(text).replace("'", "'\\''") + "'"  # noqa: E731
    if platform == "darwin":
        return "open this build.command", f'#!/bin/sh\nhere=$(cd "$(dirname "$0")" && pwd)\ncd {quote(root)} && exec {quote(python)} -m twinkit open "$here"\n'
    line = f"cd {quote(root)} && {quote(python)} -m twinkit open {quote(folder)} || read wait"
    for mark in ("\\", '"', "`", "$"):
        line = line.replace(mark, "\\" + mark)
    line = line.replace("\\", "\\\\").replace("%", "%%")
    return "open-this-build.desktop", ("[Desktop Entry]\nType=Application\nName=Open this build\nTerminal=true\n" f'Exec=sh -c "{line}"\n')


def unwritable(folder, error):
    """What a folder that cannot be written to is told as."""
    return FolderError(f"twinkit cannot write into '{folder}' ({error.strerror or error}): name a folder of your own, for example {DEFAULT}-2.")


__all__ = ["DEFAULT", "DEMOS", "HOME", "PROGRAM", "RECORD_FILE", "FolderError", "existing", "fresh", "is_empty", "lay_pages", "lay_starter", "make", "refuse_file", "scratch", "shipped_pages",
           "start_page", "starter", "unwritable", "version_of"]
