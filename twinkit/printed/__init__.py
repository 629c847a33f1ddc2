"""What goes on paper: the printed record (the pages run again on a build's record, in one HTML file that holds everything and fetches nothing),
the flight card, work sheets for the pencil, the sheets of an evening, and two builds side by side."""

import html
from pathlib import Path

from twinkit import __version__, checks, files, folder
from twinkit.design import Results
from twinkit.drawings import record_sheets
from twinkit.printed import compare, front, photos, run
from twinkit.printed.markup import harmless
from twinkit.printed.paper import document, sheets_html, sheets_text
from twinkit.record import Record

FILE = "printed-record.html"


def print_record(place, out=None):
    """Print the record of the build in a folder; the path of the file. The folder's pages and record are not touched.

    The shipped pages are run, not the folder's copies, so that what is printed is what this version computes. Two prints of the same
    build differ in the line with the date only.
    """
    place = folder.existing(Path(place)).resolve()
    record = Record.read(place / folder.RECORD_FILE)
    raw = (place / folder.RECORD_FILE).read_bytes()
    pages, desk = run.run_pages(place)
    return _write(out or place / FILE, _document(record, raw, place, pages).replace(str(desk), str(place)))


def print_sheets(place, name, make, out=None, pencil=False):
    """Print sheets made without running a page: make(results) gives blocks; the path of the file."""
    place = folder.existing(Path(place)).resolve()
    record = Record.read(place / folder.RECORD_FILE)
    title = record.value("start.name") or "A build without a name"
    return _write(out or place / name, document(f"{title}: {name}", f"{title} · twinkit {__version__}", [sheets_html(make(Results(record)), pencil)]))


def print_comparison(one, other, out=None):
    """Two builds side by side: as an HTML file when out names one, else nothing is written. The comparison as plain text."""
    places = [folder.existing(Path(place)) for place in (one, other)]
    records = [Record.read(place / folder.RECORD_FILE) for place in places]
    names = [place.resolve().name for place in places]
    blocks = compare.compare(*records, names if names[0] != names[1] else [str(place) for place in places])
    if out:
        _write(out, document(blocks[0].text, f"twinkit {__version__}", [sheets_html(blocks)]))
    return sheets_text(blocks)


def _write(out, text):
    out = Path(out)
    try:
        files.write(out, text)
    except OSError as error:
        raise folder.FolderError(f"'{out}' could not be written ({error.strerror or error}): name another file with --to.") from None
    return out


def _document(record, raw, place, pages):
    """The whole record."""
    results, lost = Results(record), []

    def safely(make, instead, what):
        """A mistake of ours must not cost the builder the record: it is said, and all else is printed."""
        try:
            return make()
        except Exception as trouble:
            lost.append(f'<p class="trouble">The {what} could not be worked out ({html.escape(type(trouble).__name__)}: {html.escape(str(trouble))}).</p>')
            return instead

    found = safely(lambda: checks.findings(record), [], "findings")
    numbers = safely(lambda: record_sheets.five(results).html(), "", "five numbers")
    lasting = safely(lambda: front.lasting(results), [], "sheets of what was built")
    anchors = {page.name: f"page-{page.stem}" for page, _, _ in pages}
    name, pictures = record.value("start.name") or "A build without a name", photos.photos(place)
    stopped_pages = [f"{page.name}: {words}." for page, notebook, stopped in pages if (words := run.troubles(notebook, stopped))]
    troubles = "".join(f'<p class="trouble">{html.escape(words)}</p>' for words in [*stopped_pages, *(picture.trouble for picture in pictures if picture.trouble)])
    bodies = [front.first_sheet(record, raw, name, photos.first_html(pictures), numbers, found, "".join(lost), troubles), *lasting]
    styles = set()
    for page, notebook, stopped in pages:
        parts = (harmless(part, anchors, styles) for part in run.page_parts(notebook, stopped, page.parent))
        bodies.append("\n".join([f'<section id="{anchors[page.name]}">', *parts, "</section>"]))
    bodies += [front.all_findings(record, found), photos.all_html(pictures), front.sources_and_versions(found), front.record_text(raw)]
    return document(f"{name}: printed record", f"{name} · twinkit {__version__}", [body for body in bodies if body])
