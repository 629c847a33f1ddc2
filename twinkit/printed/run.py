"""The shipped pages run again on a build's record, and what each of them shows as parts of HTML."""

import base64
import html
import os
import re
import shutil
import subprocess
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from twinkit import folder
from twinkit.printed.markup import markdown

AT_A_TIME = 2  # kernels; each takes about 150 MB
CELL_SECONDS = 120
SCREEN_TAG = "screen"       # a cell that makes no sense on paper carries it
SCREEN_ONLY = re.compile(r"<button\b.*", re.S)  # a button, and what stands behind it in its cell: how to press it


def run_pages(place):
    """[(page, notebook, why it stopped)] of the shipped pages, run on a copy of the record; and the copy's folder, whose name must not be printed."""
    pages = folder.shipped_pages()
    with tempfile.TemporaryDirectory(prefix="twinkit-print-") as temporary:
        desk = Path(temporary).resolve()
        for path in (*pages, place / folder.RECORD_FILE, *sorted(path for path in place.glob("*.csv") if path.is_file())):
            shutil.copy(path, desk)
        with ThreadPoolExecutor(AT_A_TIME) as pool:
            run = list(pool.map(lambda page: _run(desk / page.name), pages))
    return [(page, notebook, stopped) for page, (notebook, stopped) in zip(pages, run)], desk


def _run(path):
    """A page run from top to bottom: the notebook, and why it stopped ('' when it did not)."""
    import nbformat
    from nbclient import NotebookClient

    notebook = nbformat.read(path, as_version=4)
    notebook.metadata.pop("widgets", None)
    notebook.cells = [cell for cell in notebook.cells if SCREEN_TAG not in cell.metadata.get("tags", [])]
    for cell in notebook.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    root = str(Path(__file__).resolve().parents[2])
    way = os.pathsep.join(part for part in (root, os.environ.get("PYTHONPATH")) if part)
    client = NotebookClient(notebook, timeout=CELL_SECONDS, kernel_name="python3", allow_errors=True, store_widget_state=False,
                            resources={"metadata": {"path": str(path.parent)}})
    try:
        client.execute(env={**os.environ, "TWINKIT_PRINTING": "1", "PYTHONPATH": way}, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    except Exception as trouble:  # whatever stopped the page is said in the record, and the other pages still print
        return notebook, f"{type(trouble).__name__}: {_uncoloured(str(trouble)).strip().splitlines()[0] if str(trouble).strip() else 'no words'}"
    return notebook, ""


def troubles(notebook, stopped):
    """How many cells of a page could not be run, in words; '' when all were."""
    failed = sum(output.output_type == "error" for cell in notebook.cells if cell.cell_type == "code" for output in cell.outputs)
    if stopped:
        return "this page could not be run to its end"
    return f"{failed} {'part' if failed == 1 else 'parts'} of this page could not be run" if failed else ""


def page_parts(notebook, stopped, beside):
    """What a page shows, part by part."""
    parts = [f'<p class="trouble">This page could not be run to its end. {html.escape(stopped)}</p>'] if stopped else []
    for cell in notebook.cells:
        if cell.cell_type == "markdown":
            parts.append(markdown(_for_paper(cell, beside)))
        elif cell.cell_type == "code":
            parts += [f'<div class="output">{shown}</div>' for shown in map(_output, cell.outputs) if shown]
    return parts


def _output(output):
    """One output as HTML; controls and plain text are left out, an error never is."""
    if output.output_type == "error":
        where = _uncoloured(output.evalue).strip()
        return f'<div class="trouble"><b>This part could not be worked out.</b> {html.escape(output.ename)}: {html.escape(where)}</div>'
    data = output.get("data", {})
    if "application/vnd.jupyter.widget-view+json" in data:
        return ""
    if "text/html" in data:
        return "".join(data["text/html"])
    if "image/png" in data:
        words = html.escape("".join(data.get("text/plain", "picture")), quote=True)
        return f'<img alt="{words}" src="data:image/png;base64,{"".join("".join(data["image/png"]).split())}">'
    return markdown("".join(data["text/markdown"])) if "text/markdown" in data else ""


def _for_paper(cell, beside):
    """A markdown cell's text for paper: its pictures inside (attachments, and files that lie beside the page), its buttons left out."""
    def inside(found):
        target = found.group(2)
        if target.startswith("attachment:"):
            kinds = cell.get("attachments", {}).get(target[len("attachment:"):], {})
            kind, data = next(iter(kinds.items()), ("", ""))
        else:
            path = beside / target
            kind = {".png": "image/png", ".jpg": "image/jpeg", ".svg": "image/svg+xml"}.get(path.suffix.lower(), "")
            data = base64.b64encode(path.read_bytes()).decode() if kind and path.is_file() else ""
        return f"{found.group(1)}data:{kind};base64,{data})" if data else found.group()

    return re.sub(r"(!\[[^\]]*\]\()([^)\s]+)\)", inside, SCREEN_ONLY.sub("", cell.source))


def _uncoloured(text):
    return re.sub(r"\x1b\[[0-9;]*m", "", text)
