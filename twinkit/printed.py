"""The printed record: the pages run again on a build's record, as one HTML file that holds everything and fetches nothing."""

import base64
import hashlib
import html
import importlib
import io
import os
import re
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

from twinkit import __version__, checks, folder, tables
from twinkit.design import Results
from twinkit.design.base import said
from twinkit.printed_html import harmless, markdown
from twinkit.record import Record

FILE = "printed-record.html"
AT_A_TIME = 2  # kernels; each takes about 150 MB
CELL_SECONDS = 120
PHOTO_PIXELS = 1200
SCREEN_ONLY = re.compile(r"<button\b.*", re.S)  # a button, and what stands behind it in its cell: how to press it
LIBRARIES = ("jupyterlab", "ipywidgets", "numpy", "scipy", "pandas", "pint", "matplotlib", "tomlkit")

FIVE = {"weight": ("mass", "CG behind the leading edge"), "wing": ("wing loading", "stall speed"), "rudder": ("throttle the rudder holds on the approach",)}

CSS = """
@page{size:A4;margin:13mm 13mm 16mm;@bottom-left{content:NAME;font:8pt sans-serif}@bottom-right{content:"page " counter(page) " of " counter(pages);font:8pt sans-serif}}
html{font:9.4pt/1.36 "Noto Sans","DejaVu Sans",Arial,sans-serif;color:#111;background:#fff}
body{max-width:184mm;margin:0 auto;padding:0 4mm}p,ul,ol{margin:.35em 0}
section{break-before:page}section.first{break-before:auto}
h1,h2,h3{line-height:1.2;break-after:avoid;margin:.9em 0 .35em}h1{font-size:1.7em}h2{font-size:1.25em}h3{font-size:1.1em}
table{border-collapse:collapse;margin:.35em 0;font-size:.88em;line-height:1.25}th,td{border:1px solid #888;padding:.1em .45em;text-align:left;vertical-align:top}
tr,img,figure,.tk-finding,.tk-caution,.tk-short{break-inside:avoid}.tk-caption,thead{break-after:avoid}.tk-caption{margin:.4em 0 .1em;font-weight:600}
img{max-width:100%;height:auto}.output img{max-width:150mm}pre{white-space:pre-wrap;overflow-wrap:anywhere;font-size:8pt}p,li{overflow-wrap:anywhere}td,th{overflow-wrap:break-word}
.output{margin:.4em 0}.trouble{border:2px solid #111;padding:.3em .8em;margin:.6em 0}.verdict{font-weight:700;white-space:nowrap}.small,.tk-small,details{font-size:.84em}
.tk-finding,.tk-note,.tk-caution{margin:.3em 0!important;padding:.05em .7em!important}.photo{max-height:90mm}math[display=block]{margin:.6em 0;line-height:1.7}a{color:inherit}.record{columns:2;font-size:7.5pt;line-height:1.25}
.tk-page{font-size:inherit!important;line-height:inherit!important;max-width:none!important}.tk-sheet{overflow:visible!important}
table.tk-table{font-size:.88em!important;margin:.2em 0!important}table.tk-table th,table.tk-table td{padding:.1em .45em!important}
.tk-entries{columns:2;column-gap:7mm;list-style:none;padding:0;font-size:.92em}.tk-entries li{break-inside:avoid;border-bottom:1px solid #ccc}
@media print{body{max-width:none;padding:0}.tk-page,.tk-page *{color:#111!important}}
"""


def print_record(place, out=None):
    """Print the record of the build in a folder; the path of the file. The folder's pages and record are not touched.

    The shipped pages are run, not the folder's copies, so that what is printed is what this version computes. Two prints of the same
    build differ in the line with the date only.
    """
    place = folder.existing(Path(place)).resolve()
    record = Record.read(place / folder.RECORD_FILE)
    raw = (place / folder.RECORD_FILE).read_bytes()
    pages = folder.shipped_pages()
    with tempfile.TemporaryDirectory(prefix="twinkit-print-") as temporary:
        desk = Path(temporary).resolve()
        for path in (*pages, place / folder.RECORD_FILE, *sorted(place.glob("*.csv"))):
            shutil.copy(path, desk)
        with ThreadPoolExecutor(AT_A_TIME) as pool:
            run = list(pool.map(lambda page: _run(desk / page.name), pages))
    text = _document(record, raw, place, pages, run).replace(str(desk), str(place))
    out = Path(out) if out else place / FILE
    out.write_text(text, encoding="utf-8", newline="\n")
    return out


def _run(path):
    """A page run from top to bottom: the notebook, and why it stopped ('' when it did not)."""
    import nbformat
    from nbclient import NotebookClient

    notebook = nbformat.read(path, as_version=4)
    notebook.metadata.pop("widgets", None)
    for cell in notebook.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    root = str(Path(__file__).resolve().parent.parent)
    way = os.pathsep.join(part for part in (root, os.environ.get("PYTHONPATH")) if part)
    client = NotebookClient(notebook, timeout=CELL_SECONDS, kernel_name="python3", allow_errors=True, store_widget_state=False,
                            resources={"metadata": {"path": str(path.parent)}})
    try:
        client.execute(env={**os.environ, "TWINKIT_PRINTING": "1", "PYTHONPATH": way}, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    except Exception as trouble:  # whatever stopped the page is said in the record, and the other pages still print
        return notebook, f"{type(trouble).__name__}: {_uncoloured(str(trouble)).strip().splitlines()[0] if str(trouble).strip() else 'no words'}"
    return notebook, ""


def _document(record, raw, place, pages, run):
    """The whole file."""
    try:
        found, five, lost = checks.findings(record), _five(Results(record)), ""
    except Exception as trouble:  # a mistake of ours must not cost the builder the record
        found, five, lost = [], "", f'<p class="trouble">The findings could not be worked out ({html.escape(type(trouble).__name__)}: {html.escape(str(trouble))}).</p>'
    anchors = {page.name: f"page-{page.stem}" for page in pages}
    styles = set()
    name = record.value("start.name") or "A build without a name"
    bodies = [_first_sheet(record, raw, place, name, found, five, lost, run, pages)]
    for page, (notebook, stopped) in zip(pages, run):
        parts = (harmless(part, anchors, styles) for part in _page(notebook, stopped, page.parent))
        bodies.append("\n".join([f'<section id="{anchors[page.name]}">', *parts, "</section>"]))
    bodies += [_findings(record, found), _sources(found), _versions(), _record_text(raw)]
    running = _css_text(f"{name} · twinkit {__version__}")
    return ('<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
            "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src 'unsafe-inline'\">\n"
            f"<title>{html.escape(name)}: printed record</title>\n<style>{CSS.replace('NAME', running)}</style>\n</head>\n<body>\n"
            + "\n".join(bodies) + "\n</body>\n</html>\n")


def _css_text(text):
    return '"' + re.sub(r"[^\w .,:;·+-]", lambda found: f"\\{ord(found.group()):x} ", text) + '"'


# --- sheets of our own ---------------------------------------------------------------------------------------------------


def _first_sheet(record, raw, place, name, found, five, lost, run, pages):
    e = html.escape
    counts = ", ".join(f"{sum(f.verdict == v for f in found)} {v}" for v in checks.VERDICTS)
    grave = [f for f in found if f.verdict in ("stop", "look again")]
    grave.sort(key=lambda f: -checks.SEVERITY[f.verdict])
    troubles = "".join(f'<p class="trouble">{e(page.name)}: {words}.</p>' for page, (notebook, stopped) in zip(pages, run)
                       if (words := _troubles(notebook, stopped)))
    problems = "".join(f'<p class="trouble">Not taken over from build.toml: {e(problem.sentence)}</p>' for problem in record.problems)
    rows = [("Builder", record.value("start.builder") or "not entered"), ("For", record.value("start.purpose") or "not entered"),
            ("Printed", date.today().isoformat()), ("twinkit", __version__), ("build.toml, SHA-256", hashlib.sha256(raw).hexdigest())]
    table = "\n".join(f"<tr><th>{e(head)}</th><td>{e(str(value))}</td></tr>" for head, value in rows)
    worst = "".join(_finding(f, record) for f in grave) or ("" if lost else "<p>No finding says stop or look again.</p>")
    return (f'<section class="first">\n<h1>{e(name)}</h1>\n{_photo(place)}<table>\n{table}\n</table>\n{five}{lost}{problems}{troubles}'
            f"<h2>What needs attention</h2>\n<p>{e(counts)}.</p>\n{worst}\n"
            '<p class="small">A number that says it flies is no permission to fly: the club, the insurer, the law and qualified people go before this record.</p>\n</section>')


def _five(results):
    """The five numbers a reader looks for first."""
    rows = []
    for step, names in FIVE.items():
        numbers = importlib.import_module(f"twinkit.drawings.{step}").numbers(results)
        rows += [f"<tr><th>{name}</th><td>{html.escape(numbers.get(name, 'not known'))}</td></tr>" for name in names]
    return "<table>" + "\n".join(rows) + "</table>"


def _troubles(notebook, stopped):
    """How many cells of a page could not be run, in words; '' when all were."""
    failed = sum(output.output_type == "error" for cell in notebook.cells if cell.cell_type == "code" for output in cell.outputs)
    if stopped:
        return "this page could not be run to its end"
    return f"{failed} {'part' if failed == 1 else 'parts'} of this page could not be run" if failed else ""


def _photo(place):
    """The picture of the aeroplane, when photo.jpg or photo.png lies in the folder."""
    for path in (place / "photo.jpg", place / "photo.jpeg", place / "photo.png"):
        if path.is_file():
            from PIL import Image, ImageOps, UnidentifiedImageError

            try:
                with Image.open(path) as picture:
                    small = ImageOps.exif_transpose(picture).convert("RGB")
            except (OSError, UnidentifiedImageError):
                return f'<p class="trouble">{path.name} is no picture that can be read.</p>\n'
            small.thumbnail((PHOTO_PIXELS, PHOTO_PIXELS))
            store = io.BytesIO()
            small.save(store, "JPEG", quality=85)
            return f'<p><img class="photo" alt="the aeroplane" src="data:image/jpeg;base64,{base64.b64encode(store.getvalue()).decode()}"></p>\n'
    return ""


def _finding(finding, record):
    e = html.escape
    word = record.acknowledged(finding.code)
    lines = [f'<span class="verdict">{checks.MARKS[finding.verdict]} {finding.verdict}</span> · <b>{e(finding.title)}.</b> {e(finding.sentence)}']
    if finding.advice:
        lines.append(f"→ {e(finding.advice.sentence)}")
    if word:
        lines.append(f"<b>Flown knowing this, because {e(str(word['reason']))}</b> ({e(str(word['name']))}, {e(str(word['date']))}).")
    return f"<p>{'<br>'.join(lines)}</p>\n"


def _findings(record, found):
    assumed = sorted({said(path) for f in found for path in f.assumed})
    listed = "".join(f"<li>{html.escape(words)}</li>" for words in assumed)
    return (f"<section>\n<h2>All findings</h2>\n{''.join(_finding(f, record) for f in found)}\n"
            f"<h2>Assumed, never measured or chosen</h2>\n{f'<ul>{listed}</ul>' if assumed else '<p>Nothing.</p>'}\n</section>")


def _sources(found):
    known, e = tables.sources(), html.escape
    rows = "".join(f"<li>{e(known[key]['citation'])} <i>({e(known[key]['standing'])})</i></li>" for key in sorted({f.source for f in found} & set(known)))
    return f"<section>\n<h2>Sources of the findings</h2>\n<ul>{rows}</ul>\n"


def _versions():
    from importlib.metadata import PackageNotFoundError, version

    rows = [("twinkit", __version__), ("Python", ".".join(str(part) for part in sys.version_info[:3]))]
    for name in LIBRARIES:
        try:
            rows.append((name, version(name)))
        except PackageNotFoundError:
            rows.append((name, "not installed"))
    data = hashlib.sha256(repr(sorted(tables.checksums().items())).encode()).hexdigest()[:16]
    rows.append(("reference data, SHA-256", data))
    return "<h2>Versions</h2>\n<table>\n" + "\n".join(f"<tr><th>{n}</th><td>{html.escape(v)}</td></tr>" for n, v in rows) + "\n</table>\n</section>"


def _record_text(raw):
    return f"<section>\n<h2>The record itself (build.toml)</h2>\n<pre class='record'>{html.escape(raw.decode('utf-8', errors='replace'))}</pre>\n</section>"


# --- pages ---------------------------------------------------------------------------------------------------------------


def _page(notebook, stopped, beside):
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
