"""HTML for the printed record: markdown with formulas, and a filter that lets nothing through that runs or fetches."""

import html
import re
from html.parser import HTMLParser

HTML_TAGS = set("""a abbr b blockquote br caption code col colgroup dd del details div dl dt em figcaption figure h1 h2 h3 h4 h5 h6 hr i img ins kbd li
    mark ol p pre q s section small span strong style sub summary sup table tbody td tfoot th thead tr u ul var""".split())
MATH_TAGS = set("""math menclose merror mfrac mi mmultiscripts mn mo mover mpadded mphantom mroot mrow ms mspace msqrt mstyle msub msubsup msup mtable
    mtd mtext mtr munder munderover""".split())
DRAWING_TAGS = set("circle clippath defs ellipse g line lineargradient path polygon polyline rect stop svg text tspan".split())
TAGS = HTML_TAGS | MATH_TAGS | DRAWING_TAGS
VOID = {"br", "col", "hr", "img"}
DROPPED_WHOLE = set("""audio button canvas embed form iframe input link map meta noscript object script select template textarea title video
    foreignobject annotation""".split())
NEVER_CLOSED = {"embed", "input", "link", "meta"}
ATTRIBUTES = set("""align alt class clip-path colspan cx cy d dir display dx dy fill fill-opacity fill-rule font-family font-size font-style font-weight
    height href id lang mathvariant offset open opacity points preserveaspectratio r role rowspan rx ry scope src stop-color stretchy stroke
    stroke-dasharray stroke-linecap stroke-linejoin stroke-opacity stroke-width style text-anchor title transform viewbox width x x1 x2 xmlns y y1 y2
    accent accentunder columnalign columnspacing fence form linethickness lspace maxsize minsize rspace rowspacing separator start symmetric
    aria-label aria-hidden""".split())
_FETCHES = re.compile(r"url\s*\((?!\s*['\"]?#)|@import|expression\s*\(|\\", re.I)
_PICTURE = re.compile(r"data:image/(png|jpeg|gif|svg\+xml);", re.I)
_LINK = re.compile(r"(#|https?://|mailto:)", re.I)


class _Filter(HTMLParser):
    """Writes again what is allowed; everything else is left out."""

    def __init__(self, pages, styles):
        super().__init__(convert_charrefs=False)
        self.pages, self.styles, self.out, self.open, self.skipping, self.style = pages, styles, [], [], [], None

    def handle_starttag(self, tag, attributes):
        if tag in DROPPED_WHOLE:
            self.skipping += [] if tag in NEVER_CLOSED else [tag]
        elif self.skipping:
            pass
        elif tag == "style":
            self.style = []
        elif tag in TAGS:
            kept = [self._attribute(tag, name, value or "") for name, value in attributes]
            if tag == "details":
                kept.append(" open")
            self.out.append(f"<{tag}{''.join(k for k in kept if k)}>")
            self.open += [] if tag in VOID else [tag]

    def handle_startendtag(self, tag, attributes):
        if tag not in DROPPED_WHOLE:
            self.handle_starttag(tag, attributes)
            if tag not in VOID:
                self.handle_endtag(tag)

    def handle_endtag(self, tag):
        if self.skipping:
            if tag in self.skipping:
                while self.skipping.pop() != tag:
                    pass
        elif tag == "style" and self.style is not None:
            text, self.style = "".join(self.style), None
            if not _FETCHES.search(text) and text not in self.styles:
                self.styles.add(text)
                self.out.append(f"<style>{text}</style>")
        elif tag in self.open:
            self._close(self.open[::-1].index(tag) + 1)

    def _close(self, count):
        """Close the innermost tags, so that a piece never breaks what stands round it."""
        for _ in range(count):
            self.out.append(f"</{self.open.pop()}>")

    def close(self):
        super().close()
        self._close(len(self.open))

    def _attribute(self, tag, name, value):
        if name == "src" and not (tag == "img" and _PICTURE.match(value)):
            return ""
        if name == "href":
            value = self._link(value)
        if not value and name in ("href", "src") or name not in ATTRIBUTES and not name.startswith("data-"):
            return ""
        if name == "open" or name not in ("href", "src", "alt", "title") and _FETCHES.search(value):
            return ""
        return f' {name}="{html.escape(value, quote=True)}"'

    def _link(self, value):
        page = value.split("#")[0].rsplit("/", 1)[-1]
        if page in self.pages:
            return f"#{self.pages[page]}"
        return value if _LINK.match(value) else ""

    def _text(self, text):
        if self.style is not None:
            self.style.append(text)
        elif not self.skipping:
            self.out.append(text)

    def handle_data(self, data):
        self._text(data if self.style is not None else data.replace("<", "&lt;").replace(">", "&gt;"))

    def handle_entityref(self, name):
        self._text(f"&{name};")

    def handle_charref(self, name):
        self._text(f"&#{name};")


def harmless(markup, pages=None, styles=None):
    """Markup without anything that runs or fetches.

    pages maps file names of pages to anchors, so that links between pages stay links; styles is the set of style sheets that are there
    already, so that each is written once.
    """
    reader = _Filter(pages or {}, set() if styles is None else styles)
    reader.feed(markup)
    reader.close()
    return "".join(reader.out)


def markdown(text):
    """Markdown as HTML, formulas as MathML. What comes out is not yet harmless."""
    import mistune

    reader = mistune.create_markdown(escape=False, plugins=["table", "strikethrough", "footnotes", "math"])
    reader.renderer.register("inline_math", lambda renderer, formula: mathml(formula))
    reader.renderer.register("block_math", lambda renderer, formula: mathml(formula, block=True))
    return reader(text)


def mathml(formula, block=False):
    """A formula in TeX as MathML; as it was typed when it cannot be read."""
    from latex2mathml.converter import convert

    try:
        return convert(formula.strip(), display="block" if block else "inline")
    except Exception:  # the converter raises many kinds; a formula as typed is better than no record
        return f"<code>{html.escape(formula)}</code>"
