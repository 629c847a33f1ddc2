"""The first sheet of a record, its findings, and what stands at its end."""

import hashlib
import html
import sys
from datetime import date

from twinkit import __version__, checks, tables
from twinkit.design.base import said
from twinkit.drawings import record_sheets
from twinkit.drawings.base import unbroken

LIBRARIES = ("jupyterlab", "ipywidgets", "numpy", "scipy", "pandas", "pint", "matplotlib", "tomlkit")


def first_sheet(record, raw, name, picture, numbers, found, lost, troubles):
    """Picture, name, builder, date, versions, checksum; the five numbers; the findings that are open."""
    e = html.escape
    counts = ", ".join(f"{sum(f.verdict == v for f in found)} {v}" for v in checks.VERDICTS)
    grave = sorted((f for f in found if f.verdict in ("stop", "look again")), key=lambda f: -checks.SEVERITY[f.verdict])
    problems = "".join(f'<p class="trouble">Not taken over from build.toml: {e(problem.sentence)}</p>' for problem in record.problems)
    rows = [("Builder", record.value("start.builder") or "not entered"), ("For", record.value("start.purpose") or "not entered"),
            ("Printed", date.today().isoformat()), ("twinkit", __version__), ("build.toml, SHA-256", hashlib.sha256(raw).hexdigest())]
    table = "\n".join(f"<tr><th>{e(head)}</th><td>{e(str(value))}</td></tr>" for head, value in rows)
    stops = "".join(finding_html(f, record) for f in grave if f.verdict == "stop")
    looks = "".join(finding_html(f, record) for f in grave if f.verdict != "stop")
    worst = stops + looks or ("" if lost else "<p>No finding says stop or look again.</p>")
    return (f'<section class="first">\n<h1>{e(name)}</h1>\n{picture}<table>\n{table}\n</table>\n{numbers}{lost}{problems}{troubles}'
            f"<h2>What needs attention</h2>\n<p>{e(counts)}.</p>\n{worst}\n"
            '<p class="small">A number that says it flies is no permission to fly: the club, the insurer, the law and qualified people go before this record.</p>\n</section>')


def lasting(results):
    """The sheets for whoever takes the aeroplane up again in two years."""
    parts = []
    for number, (heading, sheets) in enumerate(record_sheets.lasting(results)):
        inside = "\n".join(sheet.html() for sheet in sheets)
        parts.append(f'<section class="{"follows" if number else "begins"}">\n<h2>{html.escape(heading)}</h2>\n{inside}\n</section>')
    return parts


def finding_html(finding, record):
    """A finding with its advice and who took it on."""
    e = html.escape
    word = record.acknowledged(finding.code)
    lines = [f'<span class="verdict">{checks.MARKS[finding.verdict]} {finding.verdict}</span> · <b>{e(finding.title)}.</b> {e(finding.sentence)}']
    if finding.advice:
        lines.append(f"→ {e(finding.advice.sentence)}")
    if word:
        lines.append(f"<b>Flown knowing this, because {e(str(word['reason']))}</b> ({e(str(word['name']))}, {e(str(word['date']))}).")
    return unbroken(f'<p class="fits">{"<br>".join(lines)}</p>\n')


def all_findings(record, found):
    """Every finding, and what was assumed and never measured or chosen."""
    assumed = sorted({said(path) for f in found for path in f.assumed})
    listed = "".join(f"<li>{html.escape(words)}</li>" for words in assumed)
    told = f'<ul class="tk-entries">{listed}</ul>' if assumed else "<p>Nothing.</p>"
    return (f"<section>\n<h2>All findings</h2>\n{''.join(finding_html(f, record) for f in checks.gathered(found, record))}\n"
            f"<h2>Assumed, never measured or chosen</h2>\n{told}\n</section>")


def sources_and_versions(found):
    """Sources of the findings, and with what it was computed."""
    from importlib.metadata import PackageNotFoundError, version

    known, e = tables.sources(), html.escape
    cited = "".join(f"<li>{e(known[key]['citation'])} <i>({e(known[key]['standing'])})</i></li>" for key in sorted({f.source for f in found} & set(known)))
    rows = [("twinkit", __version__), ("Python", ".".join(str(part) for part in sys.version_info[:3]))]
    for name in LIBRARIES:
        try:
            rows.append((name, version(name)))
        except PackageNotFoundError:
            rows.append((name, "not installed"))
    rows.append(("reference data, SHA-256", hashlib.sha256(repr(sorted(tables.checksums().items())).encode()).hexdigest()[:16]))
    listed = "\n".join(f"<tr><th>{n}</th><td>{e(v)}</td></tr>" for n, v in rows)
    return (f"<section>\n<h2>Sources of the findings</h2>\n<ul>{cited}</ul>\n"
            f'<div class="fits">\n<h2>Versions</h2>\n<table>\n{listed}\n</table>\n</div>\n</section>')


def record_text(raw):
    """build.toml itself."""
    return f"<section>\n<h2>The record itself (build.toml)</h2>\n<pre class='record'>{html.escape(raw.decode('utf-8', errors='replace'))}</pre>\n</section>"
