"""Small counts of saves that are killed or meet; the full ones are counts.py."""

import os

import pytest

from faults import disk, fuzz, saving

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="the programs are made by fork")


def clean(tally, least):
    assert tally.done >= least
    assert tally.clean, "\n".join([*tally.lost, *tally.tracebacks])
    return tally


@pytest.mark.identity
def test_a_save_that_is_killed_leaves_the_old_or_the_new_and_hinders_nobody(tmp_path):
    clean(saving.killed(tmp_path, 8, seed=7), 8)


@pytest.mark.identity
def test_two_pages_that_save_at_once_lose_nothing(tmp_path):
    tally = clean(saving.at_once(tmp_path, 20), 20)
    assert tally.told == 2, "every tenth time both change one entry, and one of them is told"


@pytest.mark.parametrize(("writer", "errors"), [("save", ("held",)), ("CSV", ("full", "held")), ("pages", ("full",))])
def test_whatever_call_fails_every_file_stays_whole(writer, errors, tmp_path):
    clean(disk.failing(tmp_path, (writer,), ("open", "write", "fsync", "replace"), errors), 8)


def test_a_file_written_in_place_would_be_seen(tmp_path, monkeypatch):
    """The count above can fail: a writer that is not whole or nothing is found out."""

    def in_place(place):
        file = os.open(place / "flight-card.html", os.O_CREAT | os.O_WRONLY | os.O_TRUNC)
        try:
            for piece in (b"<html>", b"</html>\n"):
                os.write(file, piece)
        finally:
            os.close(file)

    monkeypatch.setitem(disk.WRITERS, "flight card", (in_place, "flight-card.html"))
    assert disk.failing(tmp_path, ("flight card",), ("write",), ("full",)).lost


def test_a_disk_that_is_full_keeps_the_file_whole(tmp_path):
    tally = disk.full(tmp_path, 9)
    if not tally.done:
        pytest.skip(tally.more)
    assert clean(tally, 9).told


def test_files_of_100_megabytes_are_refused_within_a_second(tmp_path, monkeypatch):
    monkeypatch.setattr(disk, "LARGE", 5_000_000)      # the count takes 100; either is refused unread
    clean(disk.large(tmp_path), 4)


def test_a_build_file_cut_off_anywhere_reads_or_is_told(tmp_path):
    clean(fuzz.cuts(tmp_path, 101), 100)
