"""The printed record: one file that holds everything, runs nothing, fetches nothing and hides nothing."""

import base64
import json
import re
from html.parser import HTMLParser

import pytest

from twinkit import checks, folder, printed
from twinkit.checks import Finding
from twinkit.printed.markup import harmless, markdown, mathml

PNG = base64.b64encode(b"\x89PNG\r\n\x1a\n stands for a picture").decode()
SHOW = "from IPython.display import display, Markdown, HTML\n"


@pytest.fixture
def build(tmp_path, monkeypatch):
    """A build whose shipped pages are these cells; gives its folder and prints it."""
    shipped, place = tmp_path / "shipped", tmp_path / "build"
    shipped.mkdir()

    def make(*pages, record='schema = 2\n[start]\nname = "Wren & <b>Co</b>"\nbuilder = "Ada"\n', found=()):
        paths = []
        for number, cells in enumerate(pages):
            path = shipped / f"{number:02d}_page.ipynb"
            made = [{"cell_type": kind, "metadata": {}, "source": text, "id": f"c{n}", **({"outputs": [], "execution_count": None} if kind == "code" else {})}
                    for n, (kind, text) in enumerate(cells)]
            path.write_text(json.dumps({"cells": made, "metadata": {"widgets": {"x": "old"}}, "nbformat": 4, "nbformat_minor": 5}))
            paths.append(path)
        monkeypatch.setattr(folder, "shipped_pages", lambda: paths)
        monkeypatch.setattr(checks, "findings", lambda record: list(found))
        folder.make(place)
        (place / "build.toml").write_text(record)
        return place

    return make


class Everything(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.tags, self.attributes = [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        self.attributes += [(tag, name, value or "") for name, value in attributes]


def assert_alone(text):
    """No script, nothing fetched."""
    seen = Everything(text)
    assert not {"script", "iframe", "object", "embed", "link", "form", "base"} & set(seen.tags)
    for tag, name, value in seen.attributes:
        assert not name.startswith("on") and name not in ("srcset", "background", "poster", "action"), (tag, name)
        if name == "src":
            assert value.startswith("data:image/")
    assert not re.search(r"url\(\s*['\"]?(?!#)|@import", text)


def test_a_record_is_whole_and_stands_alone(build):
    place = build(
        [("markdown", "# First\n\nThe drag is $D = \\frac{1}{2}\\rho V^2 S C_D$.\n\n$$m = \\sqrt{2}$$\n\n| a | b |\n|---|---|\n| 1 | 2 |\n\n[on](01_page.ipynb)\n\n"
                      "<button data-commandlinker-command=\"notebook:run-all-cells\">Go</button>\n\nPress it.\n"),
         ("code", SHOW + "secret_source = 1\ndisplay(HTML('<p onclick=\"x()\">shown <script>bad()</script>well</p><img src=\"https://example.org/x.png\">'))"),
         ("code", SHOW + f"display({{'image/png': '{PNG}', 'text/plain': 'a picture'}}, raw=True)\ndisplay(Markdown('**bold** word'))"),
         ("code", "import os\nprint('to the screen only')\nassert os.environ['TWINKIT_PRINTING'] == '1'\nassert os.path.exists('build.toml')"),
         ("code", SHOW + "display({'application/vnd.jupyter.widget-view+json': {}, 'text/html': 'a slider', 'text/plain': 'slider'}, raw=True)")],
        [("markdown", "# Second")])
    before = {path.name: path.read_bytes() for path in place.iterdir()}
    path = printed.print_record(place)
    text = path.read_text(encoding="utf-8")
    assert path == place / "printed-record.html"
    assert {name: (place / name).read_bytes() for name in before} == before
    assert_alone(text)
    for there in ("<h1>Wren &amp; &lt;b&gt;Co&lt;/b&gt;</h1>", "<td>Ada</td>", "<math", "<mfrac>", "<msqrt>", "<strong>bold</strong>", f"base64,{PNG}", "shown well",
                  'href="#page-01_page"', 'id="page-01_page"', "name = &quot;Wren", "<td>1</td>", "counter(page)", "No finding says stop or look again."):
        assert there in text, there
    for absent in ("secret_source", "to the screen only", "a slider", "bad()", "$D", "example.org", "Press it", "could not be run"):
        assert absent not in text, absent


def test_two_prints_differ_in_the_date_only(build, monkeypatch):
    place = build([("code", SHOW + "import os\ndisplay(HTML('<p>' + os.getcwd() + '</p>'))")])
    first = printed.print_record(place).read_text().splitlines()
    monkeypatch.setattr(printed.front, "date", type("date", (), {"today": staticmethod(lambda: __import__("datetime").date(2031, 2, 3))}))
    second = printed.print_record(place, place / "again.html").read_text().splitlines()
    changed = [(one, two) for one, two in zip(first, second, strict=True) if one != two]
    assert len(changed) == 1 and "2031-02-03" in changed[0][1]
    assert f"<p>{place}</p>" in "\n".join(first)


def test_what_could_not_be_run_is_said(build):
    place = build([("code", "1 / 0"), ("code", SHOW + "display(HTML('goes on'))")], [("code", "import os\nos._exit(3)")], [("markdown", "# Last")])
    text = printed.print_record(place).read_text()
    assert "00_page.ipynb: 1 part of this page could not be run." in text
    assert "<b>This part could not be worked out.</b> ZeroDivisionError: division by zero" in text
    assert "goes on" in text and "Last" in text
    assert "01_page.ipynb: this page could not be run to its end." in text and "DeadKernelError" in text


def test_findings_that_could_not_be_worked_out_are_said(build, monkeypatch):
    def fail(record):
        raise ZeroDivisionError("division by <zero>")

    place = build()
    monkeypatch.setattr(checks, "findings", fail)
    text = printed.print_record(place).read_text()
    assert "The findings could not be worked out (ZeroDivisionError: division by &lt;zero&gt;)." in text and "No finding says stop" not in text


def test_findings_stand_on_the_first_sheet_with_who_took_them_on(build):
    worst = Finding("wire", "leads", "Wire", "stop", "Too <thin>.", source="common_practice", assumed=("start.temperature",))
    place = build(found=[Finding("fine", "power", "Fine", "good", "All well."), worst],
                  record='schema = 2\n[acknowledged.wire]\nreason = "one flight only"\nname = "Ada"\ndate = "2026-05-01"\n')
    text = printed.print_record(place).read_text()
    first = text[:text.index("</section>")]
    assert "<b>Wire.</b> Too &lt;thin&gt;." in first and "All well." not in first and "1 good, 0 look again, 1 stop, 0 cannot tell" in first
    assert "<b>Flown knowing this, because one flight only</b> (Ada, 2026-05-01)." in first
    assert "All well." in text and "<li>air temperature (page 00)</li>" in text


def test_the_photo_in_the_folder_stands_on_the_first_sheet(build):
    from PIL import Image

    place = build()
    Image.new("RGB", (3000, 2000), "green").save(place / "photo.jpg")
    assert '<img class="photo" alt="the aeroplane: photo.jpg" src="data:image/jpeg;base64,' in printed.print_record(place).read_text()
    (place / "photo.jpg").write_text("no picture")
    assert "photo.jpg is no picture that can be read." in printed.print_record(place).read_text()


@pytest.mark.parametrize(("markup", "left"), [
    ("<p>a<script>x</script>b</p>", "<p>ab</p>"),
    ("<p onmouseover=x class=k>a</p>", '<p class="k">a</p>'),
    ("<img src=x onerror=y>", "<img>"),
    ("<img src='data:text/html;base64,AA'>", "<img>"),
    ("<a href='javascript:x'>a</a>", "<a>a</a>"),
    ("<a href='JAVASCRIPT:x'>a</a><a href='https://example.org/'>b</a>", '<a>a</a><a href="https://example.org/">b</a>'),
    ("<p style='background:url(http://x)'>a</p>", "<p>a</p>"),
    ("<p style='background:u\\72l(http://x)'>a</p>", "<p>a</p>"),
    ("<style>@import 'x';</style>a", "a"),
    ("<style>p{color:red}</style>a", "<style>p{color:red}</style>a"),
    ("<iframe src=x>a</iframe>b", "b"),
    ("<svg><script>x</script><path d='M0 0' fill='url(#g)'/><foreignObject><p>a</p></foreignObject></svg>", '<svg><path d="M0 0" fill="url(#g)"></path></svg>'),
    ("<details><summary>q</summary>answer</details>", "<details open><summary>q</summary>answer</details>"),
    ("</section></div><b>a", "<b>a</b>"),
    ("<table><tr><td>1</table>", "<table><tr><td>1</td></tr></table>"),
    ("a &lt;script&gt; &amp; &#60;b&#62;", "a &lt;script&gt; &amp; &#60;b&#62;"),
    ("1 < 2 > 0 <", "1 &lt; 2 &gt; 0 &lt;"),
    ("<button onclick=x>press</button>a<input><link rel=stylesheet href=x>b", "ab"),
])
def test_harmless(markup, left):
    assert harmless(markup) == left


def test_a_style_sheet_is_written_once():
    styles = set()
    assert [harmless("<style>p{}</style>a", styles=styles) for _ in range(2)] == ["<style>p{}</style>a", "a"]


def test_formulas():
    assert "<mfrac>" in markdown("$\\frac{a}{b}$") and 'display="block"' in markdown("$$\nx^2\n$$")
    assert "5 dollars" in markdown("5 dollars") and "<math" not in markdown("it costs 5 $ a sheet")
    assert mathml("\\frac{a") in ("<code>\\frac{a</code>",) or mathml("\\frac{a").startswith("<math")
