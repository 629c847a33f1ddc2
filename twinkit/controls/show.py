"""What a page says in HTML and plain text: the style sheet, findings, cautions, folded answers."""

import base64
import html
import re
import struct

from twinkit import quantities
from twinkit.checks import MARKS, REGISTRY
from twinkit.design.base import said
from twinkit.drawings.base import Sheet, unbroken

STYLE = """<style>
.tk-page{font-size:var(--jp-content-font-size1,14px);line-height:1.5;color:var(--jp-content-font-color1,#22272b);max-width:980px}
.tk-page p{margin:.3em 0}
.tk-head{border-left:6px solid #5b6670;padding:.2em .9em;margin:.3em 0}
button[data-commandlinker-command]{font:inherit;padding:.45em 1.1em;border:1px solid var(--jp-border-color1,#a9b1b6);border-radius:3px;background:var(--jp-layout-color2,#eee);color:inherit;cursor:pointer}
.tk-note,.tk-caution,.tk-finding,.tk-trouble,.tk-fold{border-left:4px solid var(--jp-border-color1,#a9b1b6);padding:.15em .8em;margin:.45em 0;overflow-wrap:anywhere}
.tk-caution{border-left:4px double #9c1f4b;padding-left:.9em}
.tk-finding .tk-mark{font-weight:700}
.tk-finding .tk-small,.tk-small{font-size:.88em;color:var(--jp-content-font-color2,#4b545a)}
.tk-trouble{border-left-color:#9c1f4b}
[data-jp-theme-light="false"] .tk-caution{border-left-color:#d06a86}
.tk-trouble pre{white-space:pre-wrap}
.tk-refused{color:#b3261e;font-weight:600;white-space:normal;overflow-wrap:anywhere}
[data-jp-theme-light="false"] .tk-refused{color:#ff8a80}
.tk-sheet{overflow-x:auto;max-width:100%}
.tk-caption{font-weight:600;margin:.5em 0 .2em!important}
table.tk-table{border-collapse:collapse;margin:.2em 0 .6em;font-size:.95em}
table.tk-table th,table.tk-table td{text-align:left!important;padding:.22em .7em .22em 0;vertical-align:top;border-bottom:1px solid var(--jp-border-color2,#ccc);white-space:normal}
table.tk-table th:last-child,table.tk-table td:last-child{padding-right:0}
.tk-mark{white-space:nowrap;font-weight:600}
.tk-row{border-bottom:1px solid var(--jp-border-color3,#e3e3e3);padding:3px 0}
.tk-row .widget-html-content,.tk-row .widget-html{line-height:1.45;white-space:normal}
.tk-meaning .widget-html-content{font-size:.86em;color:var(--jp-content-font-color2,#4b545a)}
.jupyter-widgets :is(input,select,textarea){font-family:inherit}
.tk-rows{overflow-x:scroll!important;scrollbar-width:thin;padding-bottom:2px}
.tk-picture{display:block;max-width:100%;height:auto;margin-bottom:3px!important}
.jp-OutputArea-output.jupyter-widgets:not(:has(*)){display:none}
[data-jp-theme-light="false"]{--jp-widgets-dropdown-arrow:url("data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 18 18'%3E%3Cpath d='M5 7l4 4 4-4z' fill='%23e0e0e0'/%3E%3C/svg%3E")}
.tk-late{height:1.3em;font-size:.88em;color:var(--jp-content-font-color2,#4b545a)}
</style>"""
# On a wall: 18 points are 24 pixels. Code is hidden, answers stay folded, everything fits 1280 pixels.
PROJECTOR = """<style>
:root{--jp-content-font-size1:24px;--jp-ui-font-size1:22px;--jp-code-font-size:24px;--jp-widgets-font-size:24px;--jp-widgets-inline-height:42px;--jp-widgets-inline-width-short:150px}
.jp-CodeCell>.jp-Cell-inputWrapper,.jp-InputPrompt,.jp-OutputPrompt,.jp-NotebookPanel-toolbar,.jp-Cell-footer{display:none!important}
.jp-RenderedHTMLCommon{font-size:24px!important}.tk-page,table.tk-table,.tk-small,.tk-finding .tk-small,.tk-meaning .widget-html-content{font-size:24px!important;max-width:1180px!important}
.tk-page *{max-width:1180px}.jp-RenderedHTMLCommon table.tk-table td,.jp-RenderedHTMLCommon table.tk-table th{font-size:24px!important}
.tk-picture,.jp-RenderedImage img{width:1140px!important;max-width:100%!important;height:auto!important}
.widget-vbox,.tk-page{max-width:1180px!important}
</style>"""


BAND = re.compile(r"(\(9 in 10: [^()]*\))")      # the band of a number, said in smaller letters so that the number itself is read first


def finding_html(finding, acknowledged=None):
    """One finding as a paragraph."""
    e = html.escape
    sentence = BAND.sub(r'<span class="tk-small">\1</span>', e(finding.sentence))
    parts = [f'<span class="tk-mark">{MARKS[finding.verdict]} {finding.verdict}</span> · <b>{e(finding.title)}.</b> {sentence}']
    if finding.advice:
        parts.append(f"<br>→ {e(finding.advice.sentence)}")
    small, moving = [], list(dict.fromkeys(_label(path) for path in finding.moved_by))[:3]
    if moving and finding.verdict == "good":
        parts.append(f'<details class="tk-small"><summary>what could still move this</summary>Values nobody measured or chose, the strongest first: {e("; ".join(moving))}.</details>')
    elif moving and finding.verdict != "cannot tell":
        small.append(f"Leans most on what nobody measured or chose: {'; '.join(moving)}.")
    if acknowledged:
        small.append(f"Flown knowing this, because {acknowledged['reason']} ({acknowledged['name']}, {acknowledged['date']}).")
    if small:
        parts.append(f'<br><span class="tk-small">{e(" ".join(small))}</span>')
    return unbroken(f'<div class="tk-finding" data-code="{e(finding.code)}" data-verdict="{finding.verdict}">{"".join(parts)}</div>')


def _label(path):
    """An entry in words, with its side."""
    if path in quantities.TABLES:
        return quantities.TABLES[path].label
    side = quantities.side_of(path)
    return quantities.quantity(path).label + (f" {side}" if side else "")


def finding_text(finding):
    """One finding as a line of plain text."""
    advice = f" -> {finding.advice.sentence}" if finding.advice else ""
    return f"{MARKS[finding.verdict]} {finding.verdict} | {finding.title}. {finding.sentence}{advice}"


def picture(png, finding):
    """A picture with its finding as the words for who cannot see it; JupyterLab gives an output of its own kind for pictures none.

    Its size stands beside it, so that the page below does not jump while a new one is read.
    """
    wide, high = struct.unpack(">II", png[16:24])
    return f'<img class="tk-picture" width="{wide}" height="{high}" alt="{html.escape(finding)}" src="data:image/png;base64,{base64.b64encode(png).decode()}">'


def plain(markup):
    """HTML as plain text, for the text fallback of an output."""
    text = re.sub(r"<style>.*?</style>", "", markup, flags=re.S)
    text = re.sub(r"<(br|/p|/div|/tr|/li)[^>]*>", "\n", text)
    return re.sub(r"\n{2,}", "\n", html.unescape(re.sub(r"<[^>]+>", "", text))).strip()


def changes_html(changes):
    """What moved since a step was kept."""
    lines = "".join(f"<li>{html.escape(_name(c.path))}: then {html.escape(c.then or 'not known')}, now {html.escape(c.now or 'not known')}</li>" for c in changes[:8])
    more = f"<li>and {len(changes) - 8} more</li>" if len(changes) > 8 else ""
    return f"<ul>{lines}{more}</ul>"


def _name(path):
    """What moved, in words: an entry, or a check's verdict."""
    title = next((check.title for check in REGISTRY if check.code == path), None)
    return title or said(path)


def sheet(title, columns, rows):
    """A table as HTML."""
    return Sheet(title, columns, tuple(rows)).html()


def entries(record, paths, only=None):
    """Entries of the record as a list, for the printed record: label, value, where it comes from."""
    rows = []
    for path in paths:
        quantity, entry, side = quantities.quantity(path), record.get(path), quantities.side_of(path)
        if only is not None and quantity.name not in only:
            continue
        shown = quantity.choices if quantity.kind == "choice" else {True: "yes", False: "no"} if quantity.kind == "flag" else {}
        value = shown.get(entry.value, entry.text) if entry else "not known"
        rows.append((quantity.label + (f", {side}" if side else ""), value, entry.origin if entry else ""))
    e = html.escape
    lines = "".join(f"<li>{e(label)}: <b>{e(str(value))}</b>{f' ({e(origin)})' if origin else ''}</li>" for label, value, origin in rows)
    return f'<ul class="tk-entries">{lines}</ul>'


def rows(record, table):
    """A table of the record as a table, for the printed record."""
    entry = quantities.TABLES[table]
    found = [[row[c.name].text if c.name in row else "" for c in entry.columns] for row in record.rows(table)]
    return sheet(entry.label, tuple(c.label for c in entry.columns), found)
