"""The record of the demo build from its real pages: it is small, it comes soon, it says the same each time, and a browser without network shows all of it."""

import subprocess

import pytest
from PIL import Image

from twinkit import folder, printed
from twinkit.printed import pdf, photos

MEGABYTE = 1e6


@pytest.fixture
def place(tmp_path):
    build = tmp_path / "build"
    folder.make(build, "demo")
    Image.new("RGB", (1600, 1200), "#6a8f7a").save(build / "photo.jpg")
    (build / "photos").mkdir()
    for n in range(3):
        Image.new("RGB", (800, 1200), "#804020").save(build / "photos" / f"step {n}.jpg")
    return build


def processor_seconds(run):
    import resource

    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def without_date(path):
    lines = path.read_bytes().split(b"\n")
    assert sum(b"<th>Printed</th>" in line for line in lines) == 1
    return [line for line in lines if b"<th>Printed</th>" not in line]


def look(chromium, path):
    """The record in a browser that is offline: what was asked for, which pictures are shown, by how much it is too wide."""
    context = chromium.new_context(offline=True)
    page = context.new_page()
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(path.resolve().as_uri())
    pictures = page.eval_on_selector_all("img", "images => images.map(i => i.complete && i.naturalWidth > 0 && i.getBoundingClientRect().width > 0)")
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    context.close()
    return [url for url in asked if not url.startswith("data:")], pictures, wide


def assert_shown(chromium, file, least):
    asked, pictures, wide = look(chromium, file)
    assert asked == [file.resolve().as_uri()], "the file itself and nothing else"
    assert len(pictures) >= least and all(pictures)
    assert wide <= 0, "nothing hangs over the edge"


@pytest.mark.browser
def test_two_real_pages_say_the_same_twice_and_show_offline(chromium, place, monkeypatch):
    pages = folder.shipped_pages()
    monkeypatch.setattr(folder, "shipped_pages", lambda: [pages[0], pages[-1]])
    one, two = printed.print_record(place), printed.print_record(place, place / "again.html")
    assert without_date(one) == without_date(two)
    text = one.read_text(encoding="utf-8")
    assert "could not be" not in text
    for heading in ("As designed, as built", "Wiring as built", "Controllers", "Transmitter sheet", "Motors and propellers", "Bench points", "Packs", "Pack register", "Weighed and balanced",
                    "Marks, places and what it is made of", "Flight log", "Repairs", "Inspections", "Signatures", "All findings", "Assumed, never measured or chosen", "Pictures", "Versions",
                    "The record itself (build.toml)"):
        assert text.count(f">{heading}<") >= 1, heading
    assert_shown(chromium, one, 7)


@pytest.mark.long
@pytest.mark.browser
def test_the_whole_record(chromium, place):
    files = [place / "one.html", place / "two.html"]
    took = [processor_seconds(lambda file=file: printed.print_record(place, file)) for file in files]
    assert without_date(files[0]) == without_date(files[1])
    assert min(took) / 2 <= 60.0, "two kernels at a time: half of their processor time on two free cores"
    text = files[0].read_text(encoding="utf-8")
    assert "could not be" not in text
    assert files[0].stat().st_size - sum(len(p.data) for p in photos.photos(place)) <= 8 * MEGABYTE
    assert_shown(chromium, files[0], 20)
    assert pdf.make_pdf(files[0], place / "one.pdf") == ""
    pages = subprocess.run(["pdftotext", "-layout", place / "one.pdf", "-"], capture_output=True, text=True, check=True).stdout.rstrip("\f\n").split("\f")
    assert all(f"page {number} of {len(pages)}" in page for number, page in enumerate(pages, 1))
    listed = subprocess.run(["pdfimages", "-list", place / "one.pdf"], capture_output=True, text=True, check=True).stdout.splitlines()[2:]
    pictured = {int(line.split()[0]) for line in listed}
    assert not [number for number, page in enumerate(pages, 1) if len(page.split()) <= 25 and number not in pictured], "no sheet of paper is nearly empty"
