"""Every mistake that can be planted is seen: by a fact of the wiring as built, by the meter, or by the direction test."""

import pytest

from twinkit.circuit.layouts import Layout, build
from twinkit.circuit.meter import seen_by
from twinkit.circuit.mistakes import MISTAKES, kinds, of_kind

LAYOUTS = (
    Layout("one", throttle="y_lead"), Layout("one"), Layout("two", throttle="y_lead"), Layout("two"), Layout("two", source="right_bec"),
    Layout("joined"), Layout("two", source="both"), Layout("two", source="both_diodes"), Layout("one", source="both_diodes", throttle="y_lead"),
    Layout("one", source="stand_alone", stand_alone_feed="shared"), Layout("two", source="stand_alone", stand_alone_feed="right"),
    Layout("two", source="receiver_pack"), Layout("two", source="receiver_pack", opto=(True, True)), Layout("one", source="right_bec", opto=(True, False)),
    Layout("one", controllers="one", throttle="one_channel"), Layout("one", controllers="one", source="receiver_pack", throttle="one_channel"),
)
# What no meter shows with the packs out; the eye or the direction test must.
NOT_BY_METER = {"shared_balance_lead", "bare_stub_left", "bare_stub_right", "bare_stub_centre", "phases_exchanged_left", "phases_exchanged_right"}


@pytest.mark.identity
@pytest.mark.parametrize("name", MISTAKES)
def test_every_mistake_is_seen(name):
    mistake, planted, by_meter, turning, kinds = MISTAKES[name], 0, 0, 0, set()
    for layout in LAYOUTS:
        meant = build(layout)
        if not mistake.fits(meant):
            continue
        seen = seen_by(meant, mistake.plant(meant))
        assert seen.seen, (name, layout)
        planted, by_meter, turning = planted + 1, by_meter + bool(seen.lines), turning + bool(seen.turning)
        kinds |= set(seen.facts) | {line.kind for line in seen.lines}
    print(f"{name}: planted in {planted} layouts, seen by the meter in {by_meter}, by the direction test in {turning}: {', '.join(sorted(kinds))}")
    assert planted, f"{name} fits none of the layouts"
    assert (by_meter == 0) == (name in NOT_BY_METER)
    assert by_meter in (0, planted)
    assert (turning == planted) == name.startswith("phases_exchanged")


def test_registry():
    assert len(MISTAKES) == 85 and len(kinds()) == 46
    assert all(name == mistake.name and mistake.words.endswith(".") and "SIDE" not in mistake.words for name, mistake in MISTAKES.items())


@pytest.mark.identity
def test_a_kind_and_a_side_name_a_mistake():
    two, one = build(Layout("two")), build(Layout("one", controllers="one", throttle="one_channel"))
    assert of_kind("open_signal", "right", two).name == "open_signal_right"
    assert of_kind("open_signal", "right", one).name == "open_signal_centre", "one controller has one signal lead"
    assert of_kind("packs_joined", "left", two).name == "packs_joined" and of_kind("packs_joined", "left", one) is None
    assert of_kind("bare_stub", "left", two).name == "bare_stub_right", "only the right red is taken out here"
