"""Every single wiring mistake in every layout that can be built is found by a rule, by a line of the meter sheet, or by the direction test."""

import pytest

from planted import TABLE, caught, planted, slips, table
from twinkit import quantities
from twinkit.circuit import layouts
from twinkit.circuit.mistakes import MISTAKES, kinds

ALL = layouts.buildable()
FOUND = {}

# Which rule must say so, reasoned from the rules and not from what they said: common practice, no source. A set: any of these, as the layout has it.
RULE = {
    **dict.fromkeys(("reversed_pack_plug", "reversed_shared_pack_plug", "reversed_pack_lead", "reversed_shared_pack_lead", "reversed_controller_lead", "power_short",
                     "source_plug_reversed", "regulator_input_reversed", "flight_pack_on_receiver", "stub_on_spar"), {"R07"}),
    **dict.fromkeys(("open_power_negative", "open_power_positive", "regulator_feed_open"), {"R28"}),
    **dict.fromkeys(("packs_joined", "both_packs_feed_regulator"), {"R08"}), "shared_balance_lead": {"R16"}, "packs_in_series": {"R09"},
    "one_controller_two_motors": {"R11"}, "red_left_on": {"R01"}, "both_reds_cut": {"R02"}, "source_left_out": {"R02"}, "source_ground_open": {"R05"},
    "diode_reversed": {"R19"}, "diode_bridged": {"R01"}, "bare_stub": {"R03"}, **dict.fromkeys(("missing_ground", "ground_cut_with_red", "trunk_ground_open"), {"R05", "R06"}),
    "red_open": {"R02", "R03", "R06", "R19"}, "trunk_red_open": {"R02", "R06"}, "servo_plug_reversed": {"R04"}, "red_and_ground_exchanged": {"R07"},
    **dict.fromkeys(("open_signal", "red_and_signal_exchanged", "crossed_signals", "joined_outputs", "wrong_output", "trunk_signal_open", "trunk_on_wrong_output"), {"R04"}),
    **dict.fromkeys(("phase_open", "phase_short", "phase_on_negative", "winding_on_mount", "phases_between_motors", "motors_exchanged"), {"R14"}),
    "phases_exchanged": set(),   # only the direction test tells
}
# What no meter shows with the packs out: joined balance leads hang on the packs, a bare end touches nothing yet, an exchanged phase beeps like the right one.
NOT_BY_METER = {"shared_balance_lead", "bare_stub", "phases_exchanged"}


@pytest.mark.identity
@pytest.mark.parametrize("layout", ALL, ids=repr)
def test_every_mistake_is_found(layout):
    for mistake, result in planted(layout):
        FOUND[layout, mistake] = result
        assert result.found, mistake.words
        assert bool(result.lines) == (mistake.kind not in NOT_BY_METER), mistake.words
        assert bool(result.turning) == (mistake.kind == "phases_exchanged"), mistake.words
        assert not RULE[mistake.kind] or RULE[mistake.kind] & result.rules, (mistake.words, result.rules)


@pytest.mark.identity
def test_the_table_of_what_finds_them():
    for layout in ALL:
        if not any(known == layout for known, _ in FOUND):
            FOUND.update({(layout, mistake): result for mistake, result in planted(layout)})
    made = table({(layout, mistake): FOUND[layout, mistake] for layout in ALL for mistake in MISTAKES.values() if (layout, mistake) in FOUND})
    print(made)
    assert TABLE.read_text(encoding="utf-8") == made, "print it again: .venv/bin/python tests/planted.py > docs/planted_mistakes.md"
    assert len(FOUND) == 4728 and "by none: 0." in made


@pytest.mark.identity
@pytest.mark.parametrize("layout", ALL[::4], ids=repr)
def test_every_open_wire_and_every_exchange_in_a_plug_is_found(layout):
    """Without a list of names: each wire open, each two wires of a plug exchanged. A red in the trunk of a Y lead through which nothing flows may be open."""
    for words, result in slips(layout):
        idle = layout.throttle == "y_lead" and layout.source in ("stand_alone", "receiver_pack") and not any(layout.opto)
        assert result.found or (words == "trunk_red open" and idle), words


@pytest.mark.identity
def test_a_sound_wiring_is_not_accused():
    for layout in ALL:
        wiring = layouts.build(layout)
        result = caught(layout, wiring)
        assert not result.found, layout


@pytest.mark.identity
def test_every_kind_can_be_entered_on_the_page():
    assert set(quantities.quantity("wiring.mistake").choices) == {"none", *kinds()} == {"none", *RULE}
