"""The page machinery: scratch copy, controls to outputs, keeping, changed since, bring up to date, what changed on disk."""

import html
import os
import time

import pytest

from twinkit import workbook
from twinkit.record import Record


def test_a_page_without_a_record_works_on_a_scratch_copy_and_says_so(outputs, tmp_path):
    page = workbook.open_page("wing", tmp_path)
    assert page.scratch and page.folder != tmp_path
    assert "scratch copy of the demo aeroplane" in outputs.texts()
    page.keep()
    page.parts[-1].keep()
    assert list(tmp_path.iterdir()) == [], "nothing is written beside a page without a record"


def test_an_unknown_page_or_picture_is_answered_with_what_there_is(outputs, build):
    with pytest.raises(ValueError, match="there is no page 'wings'; the pages are start, power"):
        workbook.open_page("wings", build)
    page = workbook.open_page("start", build)
    with pytest.raises(ValueError, match="page 00 has no picture or table 'loadings'; it has loading, outset"):
        page.show("loadings")


def test_a_control_moves_text_and_picture(outputs, build):
    page = workbook.open_page("start", build)
    page.controls("first guess")
    page.show("loading")
    page.show("outset")
    before = dict(outputs.shown[-2]), dict(outputs.shown[-1])
    page.parts[-1].fields["start.mass_guess"].box.value = "900"
    assert "900 g" in outputs.shown[-1]["text/plain"] != before[1]["text/plain"]
    assert outputs.shown[-2]["text/html"] != before[0]["text/html"]
    assert 'alt="' + html.escape(outputs.shown[-2]["text/plain"].removeprefix("[picture] ")) in outputs.shown[-2]["text/html"]


def test_keeping_writes_the_record_and_the_header_says_so(outputs, build):
    page = workbook.open_page("wing", build)
    page.controls("planform")
    page.parts[-1].fields["wing.span"].box.value = "1200"
    page.keep()
    box = page.parts[-1]
    box.reason.value = "a span the car still takes"
    box.keep()
    again = Record.read(build / "build.toml")
    assert again.get("wing.span").text == "1200 mm"
    kept = again.kept("wing")
    assert kept.reason == "a span the car still takes" and kept.results and kept.verdicts
    assert page.status()[0] == "kept"
    assert "kept on" in outputs.texts()


def test_a_change_of_span_on_page_05_makes_page_06_say_changed_since(outputs, build):
    rudder = workbook.open_page("rudder", build)
    rudder.keep()
    rudder.parts[-1].keep()
    assert rudder.status()[0] == "kept"

    wing = workbook.open_page("wing", build)
    wing.controls("planform")
    wing.keep()
    wing.parts[0].fields["wing.span"].box.value = "1000"
    wing.parts[-1].keep()

    rudder.reload()
    word, changes = rudder.status()
    assert word == "changed since" and any(c.path == "wing.span" and c.then == "1160 mm" and c.now == "1000 mm" for c in changes)
    assert "changed since" in outputs.texts()

    start = workbook.open_page("start", build)
    start.board()
    box = start.parts[-1]
    assert "rudder" in box.stale()
    box.bring()
    assert "Brought up to date" in box.said.value and "before" in box.said.value
    assert box.stale() == [] and start.status("rudder")[0] == "kept"


def test_a_change_below_its_share_is_no_change(outputs, build):
    page = workbook.open_page("wing", build)
    page.keep()
    page.parts[-1].keep()
    page.record.set("wing.span", "1161 mm")
    page.refresh()
    assert page.status()[0] == "kept"
    page.record.set("wing.span", "1190 mm")
    page.refresh()
    assert page.status()[0] == "changed since"


def test_two_pages_save_different_sections_and_nothing_is_lost(outputs, build):
    wing, weight = workbook.open_page("wing", build), workbook.open_page("weight", build)
    wing.record.set("wing.span", "1100 mm")
    weight.record.set("weight.growth", "20 %")
    assert wing.save().saved
    report = weight.save()
    assert report.saved and "wing" in report.merged
    both = Record.read(build / "build.toml")
    assert both.get("wing.span").text == "1100 mm" and both.get("weight.growth").text == "20 %"


def test_the_same_entry_changed_twice_is_reported_with_both_values(outputs, build):
    one, two = workbook.open_page("wing", build), workbook.open_page("wing", build)
    for page, span in ((one, "1100 mm"), (two, "1250 mm")):
        page.record.set("wing.span", span)
        page.keep()
    one.parts[-1].keep()
    box = two.parts[-1]
    box.keep()
    assert "1100 mm" in box.said.value and "1250 mm" in box.said.value
    assert Record.read(build / "build.toml").get("wing.span").text == "1100 mm"
    box.conflict.children[0].click()
    assert Record.read(build / "build.toml").get("wing.span").text == "1250 mm"


def test_a_record_that_cannot_be_read_is_said_and_never_written_over(outputs, tmp_path):
    (tmp_path / "build.toml").write_text("[wing\nspan = ", encoding="utf-8")
    page = workbook.open_page("wing", tmp_path)
    page.keep()
    page.parts[-1].keep()
    assert "could not be read" in page.parts[-1].said.value
    assert (tmp_path / "build.toml").read_text(encoding="utf-8") == "[wing\nspan = "


def test_problems_of_the_record_stand_at_the_head(outputs, build):
    text = (build / "build.toml").read_text(encoding="utf-8").replace('span = "1160 mm"', 'spam = "1160 mm"').replace('chord = "190 mm"', 'chord = "190"')
    (build / "build.toml").write_text(text, encoding="utf-8")
    workbook.open_page("wing", build)
    head = outputs.texts()
    assert "spam" in head and "chord" in head and "Still needed" in head


def test_a_picture_that_cannot_be_drawn_is_said_on_the_page(outputs, build, monkeypatch):
    monkeypatch.delenv("TWINKIT_STRICT")
    page = workbook.open_page("start", build)

    def broken(results):
        raise ArithmeticError("no such number")

    monkeypatch.setitem(page.drawings.SHEETS, "outset", broken)
    page.show("outset")
    assert "no such number" in outputs.texts()


def test_lesson_parts_can_be_switched_off(outputs, build):
    page = workbook.open_page("start", build)
    page.exercise("What is it?", "That.")
    shown = len(outputs.shown)
    page.record.set("start.lesson", False)
    page.exercise("What is it?", "That.")
    page.guess("What is it?", "start.loading_guess", "loading")
    assert len(outputs.shown) == shown


def test_a_guess_is_compared(outputs, build):
    from twinkit.controls.guard import Guard
    from twinkit.controls.lesson import Guess

    guess = Guess("How heavy?", lambda: 1.0, "mass", "metric", Guard(print))
    guess.box.value = "0,9 kg"
    guess.press.click()
    assert "You guessed 900 g, the page finds <b>1000 g</b>. Your guess is 90 % of it." in guess.answer.value
    guess.box.value = "heavy"
    guess.press.click()
    assert "heavy" in guess.answer.value and "tk-refused" in guess.answer.value


def test_a_change_on_disk_is_noticed_and_the_controls_are_left_alone(outputs, build):
    import asyncio

    async def walk():
        page = workbook.open_page("wing", build)
        page.controls("planform")
        field = page.parts[-1].fields["wing.span"]
        text = (build / "build.toml").read_text(encoding="utf-8").replace('span = "1160 mm"', 'span = "1240 mm"')
        (build / "build.toml").write_text(text, encoding="utf-8")
        os.utime(build / "build.toml", ns=(time.time_ns(), time.time_ns() + 10**9))
        for _ in range(40):
            await asyncio.sleep(0.1)
            if page.banner.widget.layout.display == "flex":
                break
        assert page.banner.widget.layout.display == "flex" and "changed" in page.banner.words.value
        assert field.box.value == "1160"
        page.banner.press.click()
        assert field.box.value == "1240" and page.banner.widget.layout.display == "none"
        page._poll.cancel()

    asyncio.run(walk())


def test_newest_input_wins(outputs, build):
    import asyncio

    async def walk():
        page = workbook.open_page("start", build)
        page.controls("first guess")
        page.show("outset")
        field = page.parts[-1].fields["start.mass_guess"]
        updates = outputs.updates
        for grams in range(800, 900, 5):
            field.box.value = str(grams)
        await asyncio.sleep(0.2)
        assert "895 g" in outputs.shown[-1]["text/plain"]
        assert outputs.updates - updates <= 2 * len(page.outputs), "queued inputs are dropped, not drawn one by one"
        page._poll.cancel()

    asyncio.run(walk())


def test_a_stop_can_be_taken_on_with_reason_and_name_and_still_stands(outputs, build):
    page = workbook.open_page("start", build)
    page.controls("transmitter")
    page.findings()
    fields, box = page.parts[0].fields, page.parts[-1]
    assert box.widget.layout.display == "none", "nothing to take on while nothing says stop"
    fields["start.has_failsafe"].box.value = False
    assert box.widget.layout.display == "" and [code for _, code in box.which.options] == ["S04"]
    box.press.click()
    assert "A reason and a name are needed." in box.said.value
    box.reason.value, box.name.value = "the receiver holds closed by itself", "a builder"
    box.press.click()
    assert "Kept in" in box.said.value
    assert Record.read(build / "build.toml").acknowledged("S04")["reason"] == "the receiver holds closed by itself"
    found = next(b for b in outputs.shown if "Failsafe and throttle cut" in b.get("text/html", ""))
    assert "stop" in found["text/html"] and "Flown knowing this, because the receiver holds closed by itself (a builder," in found["text/html"]
    assert box.undo.layout.display == "" and box.taken.value == "S04"
    fields["start.has_failsafe"].box.value = True
    assert box.ask.layout.display == "none" and box.undo.layout.display == "", "what was taken on can be taken back also when it no longer stops"
    box.back.click()
    assert Record.read(build / "build.toml").acknowledged("S04") is None
    assert box.widget.layout.display == "none" and "Kept in" in box.said.value
    assert not any("Flown knowing this" in b.get("text/html", "") for b in outputs.shown)


def test_notes_are_kept_with_the_step_and_printed(outputs, build):
    from twinkit.drawings import record_sheets

    page = workbook.open_page("start", build)
    page.keep()
    box = page.parts[-1]
    assert box.note.value == ""
    box.note.value, box.reason.value = "  ask about the long grass at the far end  ", "as good as it gets"
    box.press.click()
    record = Record.read(build / "build.toml")
    assert record.note("start") == "ask about the long grass at the far end" and record.kept("start").reason == "as good as it gets"
    told = record_sheets.reasons(page.results).text()
    assert "note: What the aeroplane is for  ask about the long grass" in told and "as good as it gets" in told
    again = workbook.open_page("start", build)
    again.keep()
    assert again.parts[-1].note.value == "ask about the long grass at the far end"
