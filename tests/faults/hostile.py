"""A build by somebody who means no good: every text in it wants to be more than words."""

from twinkit import quantities, tables
from twinkit.record import Record

WORDS = ("<script>alert(1)</script>", "<img src=http://elsewhere.example/x.png onerror=alert(1)>", "</style></title><svg onload=alert(1)>", "![x](http://elsewhere.example/y.png)",
         "[link](javascript:alert(1))", "\" onmouseover=\"alert(1)", "$\\frac{$", "=HYPERLINK(\"http://elsewhere.example\")", "@SUM(A1)", "+1+1", "-1", "../../outside", "\x1b[2Jx",
         "\t=1+1", "&lt;b&gt;", "{{7*7}}", "a\nb", "<!-- ", "]]>", "data:text/html,x", "`x`", "\u202eabc", "javascript:alert(1)")


def record():
    """The demo build with such words in every text, note, reason and name."""
    made, number = Record.from_text(tables.text("demo/dunlin.toml")), 0

    def word():
        nonlocal number
        number += 1
        return " ".join((WORDS[number % len(WORDS)], WORDS[(7 * number) % 3], f"no {number}"))

    for path in quantities.paths():
        if quantities.quantity(path).kind == "text":
            made.set(path, word(), note=word())
        elif made.written(path):
            made.set(path, made.get(path).text if quantities.quantity(path).kind == "number" else made.value(path), made.get(path).origin, note=word())
    for table in quantities.TABLES.values():
        texts = [column.name for column in table.columns if column.kind == "text"]
        made.set_rows(table.id, [{**row, **{name: word() for name in texts}} for row in made.rows(table.id)])
    for step in quantities.STEPS:
        made.set_note(step, word())
        made.keep(step, word(), {word(): word()}, {"R13": word()}, {"wing.span": word()})
    for code in ("R13", "R10", "W01"):
        made.acknowledge(code, word(), word(), word())
    return made


def bad(markup):
    """What in a page's markup would run or fetch, as a list of pieces; read by the standard library's parser, not by ours."""
    from html.parser import HTMLParser

    found = []

    class Reader(HTMLParser):
        def handle_starttag(self, tag, attributes):
            if tag in ("script", "iframe", "object", "embed", "link", "base", "form", "meta") and not (tag == "meta" and dict(attributes).get("http-equiv", "Content-Security-Policy") == "Content-Security-Policy"):
                found.append(f"<{tag}>")
            for name, value in attributes:
                value = "".join((value or "").split()).lower()
                if name.startswith("on") or value.startswith(("javascript:", "vbscript:", "data:text")):
                    found.append(f"{tag} {name}={value[:60]}")
                if name in ("src", "srcset", "background", "poster", "data", "action", "xlink:href") and not value.startswith("data:image/"):
                    found.append(f"{tag} {name}={value[:60]}")
                if "elsewhere.example" in value and name in ("href", "src", "style"):
                    found.append(f"{tag} {name}={value[:60]}")

        handle_startendtag = handle_starttag

    reader = Reader(convert_charrefs=True)
    reader.feed(markup)
    reader.close()
    return found
