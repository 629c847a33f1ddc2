"""What everything on paper shares: the look of a sheet, and a document made of a few kinds of blocks, as HTML and as plain text."""

import html
import re
from dataclasses import dataclass

from twinkit.drawings.base import Sheet

CSS = """
@page{size:A4;margin:13mm 13mm 16mm;@bottom-left{content:NAME;font:8pt sans-serif}@bottom-right{content:"page " counter(page) " of " counter(pages);font:8pt sans-serif}}
html{font:9.4pt/1.36 "Noto Sans","DejaVu Sans",Arial,sans-serif;color:#111;background:#fff}
body{max-width:184mm;margin:0 auto;padding:0 4mm}p,ul,ol{margin:.35em 0}
section{break-before:page}section.first{break-before:auto}section.follows{break-before:auto}
h1,h2,h3{line-height:1.2;break-after:avoid;margin:.9em 0 .35em}h1{font-size:1.7em}h2{font-size:1.25em}h3{font-size:1.1em}
table{border-collapse:collapse;margin:.35em 0;font-size:.88em;line-height:1.25}th,td{border:1px solid #888;padding:.1em .45em;text-align:left;vertical-align:top}
tr,li,img,figure,details,.tk-finding,.tk-caution,.tk-short,.fits{break-inside:avoid}.tk-caption,thead{break-after:avoid}.tk-caption{margin:.4em 0 .1em;font-weight:600}
img{max-width:100%;height:auto}.output img{max-width:150mm}pre{white-space:pre-wrap;overflow-wrap:anywhere;font-size:8pt}p,li{overflow-wrap:anywhere;orphans:3;widows:3}td,th{overflow-wrap:break-word}
.output{margin:.4em 0}.trouble{border:2px solid #111;padding:.3em .8em;margin:.6em 0}.verdict{font-weight:700;white-space:nowrap}.small,.tk-small,details{font-size:.84em}
.tk-finding,.tk-note,.tk-caution{margin:.3em 0!important;padding:.05em .7em!important}.photo{max-height:78mm}math[display=block]{margin:.6em 0;line-height:1.7}a{color:inherit}.record{columns:2;font-size:7.5pt;line-height:1.25}
.photos{columns:2;column-gap:5mm}.photos figure{margin:0 0 4mm}.photos img{max-height:95mm}figcaption{font-size:.84em}code.sum{font-size:7pt;overflow-wrap:anywhere}
.tk-page{font-size:inherit!important;line-height:inherit!important;max-width:none!important}.tk-sheet{overflow:visible!important}
table.tk-table{font-size:.88em!important;margin:.2em 0!important}table.tk-table th,table.tk-table td{padding:.1em .45em!important}
.tk-entries{columns:2;column-gap:7mm;list-style:none;padding:0;font-size:.92em}.tk-entries li{break-inside:avoid;border-bottom:1px solid #ccc}
.ruled{border-bottom:1px solid #444;height:6.6mm;break-before:avoid}.pencil table{width:100%}.pencil td{height:5.7mm;vertical-align:middle}.pencil td.wide{min-width:30mm}
@media print{body{max-width:none;padding:0}.tk-page,.tk-page *{color:#111!important}}
"""


@dataclass(frozen=True)
class Heading:
    """A heading; level 1 begins a new sheet of paper."""

    text: str
    level: int = 2


@dataclass(frozen=True)
class Words:
    """A paragraph; head is its first words, set bold."""

    text: str
    head: str = ""
    small: bool = False


@dataclass(frozen=True)
class Ruled:
    """Lines to write on."""

    lines: int = 1


def css_text(text):
    """A text as a string of a style sheet."""
    return '"' + re.sub(r"[^\w .,:;·+-]", lambda found: f"\\{ord(found.group()):x} ", text) + '"'


def document(title, running, bodies):
    """A whole HTML file that fetches nothing and runs nothing; running stands at the foot of each sheet of paper."""
    return ('<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
            "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src 'unsafe-inline'\">\n"
            f"<title>{html.escape(title)}</title>\n<style>{CSS.replace('NAME', css_text(running))}</style>\n</head>\n<body>\n"
            + "\n".join(bodies) + "\n</body>\n</html>\n")


def sheets_html(blocks, pencil=False):
    """Blocks as HTML: a section for each heading of level 1."""
    parts, open_section = [], False
    for block in blocks:
        if isinstance(block, Heading) and block.level == 1:
            parts.append(("</section>\n" if open_section else "") + f'<section class="{"pencil" if pencil else "plain"}{"" if open_section else " first"}">')
            open_section = True
        parts.append(_html(block))
    return "\n".join([*parts, "</section>" if open_section else ""])


def _html(block):
    e = html.escape
    if isinstance(block, Heading):
        return f"<h{block.level}>{e(block.text)}</h{block.level}>"
    if isinstance(block, Words):
        head = f"<b>{e(block.head)}</b> " if block.head else ""
        return f'<p class="{"small" if block.small else "words"}">{head}{e(block.text)}</p>'
    if isinstance(block, Ruled):
        return '<div class="ruled"></div>' * block.lines
    return block.html()


def sheets_text(blocks):
    """Blocks as plain text, for a terminal."""
    lines = []
    for block in blocks:
        if isinstance(block, Heading):
            lines += ["", block.text, "=-~"[block.level - 1] * len(block.text)]
        elif isinstance(block, Words):
            lines.append(f"{block.head} {block.text}".strip())
        elif isinstance(block, Ruled):
            lines += ["_" * 60] * block.lines
        else:
            lines += [block.text(), ""]
    return "\n".join(lines).strip() + "\n"


__all__ = ["Heading", "Ruled", "Sheet", "Words", "css_text", "document", "sheets_html", "sheets_text"]
