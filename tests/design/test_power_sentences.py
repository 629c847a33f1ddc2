"""Page 01: what its checks say and advise, word for word, and that advice can always be entered."""

import numpy as np
import pytest

from builds import FIXED_DRIVES, build
from twinkit import checks

SIDES = ("left", "right")


GOOD = {
    "P01": "On full packs the right motor draws 12.2 A (9 in 10: 9.3 to 14.0); the controller is rated 20.0 A, 1.64 times that. You want 1.3 times.",
    "P02": "On full packs and standing the right motor draws 12.2 A (9 in 10: 9.3 to 14.0); its label allows 20.0 A.",
    "P03": "On a full pack and unloaded by the air the right propeller reaches 12380 rpm (nine times in ten not over 12570); a thin electric propeller "
           "of this size is allowed 18120 rpm. The print on it goes before this.",
    "P04": "Both motors pull 11.9 N (9 in 10: 8.7 to 14.1) standing, 1.1 of the weight of 1100 g (page 04). Off the ground you want 0.70.",
    "P05": "Full throttle takes 233 W (9 in 10: 184 to 261) for 1100 g (page 04): 212 W/kg. You want 150 W/kg; 90 to 130 W/kg is gentle.",
    "P06": "Each motor has a controller of its own.",
    "P07": "The left pack gives 10.3 A (9 in 10: 7.9 to 11.8) at full throttle, 28 % of what its label promises (37.5 A). You trust 50 %.",
    "P08": "The left controller takes up to 4 cells; its pack has 3.",
    "P09": "At full throttle the right side pulls 0.72 N (9 in 10: −0.18 to 1.51) more, 13 %; 4.0 % would be a good pair.",
    "P10": "Both packs have 3 cells.",
    "P11": "Half full, at full throttle, each cell of the left pack still gives 3.54 V (9 in 10: 3.45 to 3.63); you want 3.40 V.",
    "P12": "Two packs alone are no redundancy: if the right pack dies or its positive lead opens or if the right controller dies, its regulator "
           "included, everything is lost. 10 single failures in all do that.",
    "P13": "Nine times in ten the thrust lies within 28 % of the computed one standing and within 35 % in flight (right side); standing you want 20 %. "
           "Outside what the model was compared with: more than 7,000 rpm.",
    "P14": "In cruise the right motor, by its mass, settles at 36 °C (9 in 10: 29 to 54); you want 65 °C at most. Climbing at 85 % throttle neither "
           "ever reaches 90 °C (one in twenty within 229 s); launch and climb take 50 s.",
    "P15": "In straight cruise the right pack is at its end after 28 min (9 in 10: 23 to 37); the left one then still holds 37 %. The right pack alone "
           "feeds the receiver: whoever flies on loses the radio with a motor running.",
    "P16": "No packs are joined.",
    "P17": "At full throttle in cruise the difference of 0.63 N (9 in 10: −0.13 to 1.35) takes 3.9 deg of rudder; 3.0 deg is the most you want. A "
           "throttle curve (page 06) brings that to 0.32 deg, which is enough.",
    "P18": "With 1100 g (page 04) it cruises on 54 % (9 in 10: 51 to 61) throttle at 12.0 m/s, your first guess; you want 70 % at most.",
    "P19": "Outside what the model was compared with: more than 7,000 rpm. Thrust and power of both sides are extrapolated.",
    "P20": "Half full at full throttle the left controller still gets 10.5 V (9 in 10: 10.3 to 10.8); it needs about 5.75 V.",
    "P21": "At full throttle, standing, 77 % (9 in 10: 69 to 79) of the power into the right controller reaches the shaft; 29 W "
           "stay as heat (windings at 50 °C). You want 60 %.",
}
ADVICE = {
    "P15": "Give the right side a pack of 1700 mAh; until then set one timer for both, to the time of page 04, which counts climb and turns. Then look again at page 04 (Which pack is empty first): it may turn worse by this.",
    "P19": "Read volts, amps, rpm and pull of both sides at full throttle on page 07 before you trust a margin.",
    "P09": "Let full stick give the right side 92 % of the throttle (upper end point 84 % where your transmitter counts from −100 to +100 %): both then pull about 5.57 N. "
           "Page 06 gives the curve for part throttle.",
    "P12": "Feed the receiver from a pack of its own. Then look again at page 02 (Your order of switching on and off): it may turn worse by this.",
    "P13": "Take one full-throttle reading of each side on page 07.",
}


@pytest.mark.pinned
def test_what_the_checks_say():
    results = build(changes=FIXED_DRIVES)
    found = {f.code: f for f in checks.findings(results.record, "power", results)}
    assert {code: f.sentence for code, f in found.items()} == GOOD
    assert {code: f.advice.sentence for code, f in found.items() if f.advice} == ADVICE


@pytest.mark.pinned
@pytest.mark.parametrize("code, changes, verdict, advice", [
    ("P01", {"power.left.controller_current": "12 A"}, "look again", "Fit a controller of 15 A on the left, or a smaller propeller."),
    ("P01", {"power.left.controller_current": "9 A"}, "stop", "Fit a controller of 15 A on the left, or a smaller propeller."),
    ("P02", {"power.left.motor_current_limit": "8 A"}, "stop", "Fit 7x5 on both sides."),
    ("P03", {f"power.{s}.propeller_style": "slowfly" for s in SIDES}, "stop", "Fit propellers of the thin electric kind."),
    ("P07", {"power.left.capacity": "700 mAh"}, "look again", "Use packs of the same C with 800 mAh left, or a smaller propeller. Then look again at page 01 (Which side is at its end first) and page 04 (Which pack is empty first): it may turn worse by this."),
    ("P08", {"power.left.controller_cells": 2}, "stop", "Use a controller for 3 cells, or a pack of 2."),
    ("P10", {"power.right.cells": 2}, "look again", "Use packs of 3 cells on both sides. Then look again at page 04 (Which pack is empty first, Volts in launch and climb) and page 06 (One motor at the throttle you leave open): it may turn worse by this."),
    ("P11", {"power.pack_temperature": "2 °C"}, "look again", "Keep the packs at 20 °C until you fly."),
    ("P12", {"power.controllers": "one"}, "stop", "Give each motor a controller of its own."),
    ("P12", {"power.packs": "joined"}, "look again", "Keep the packs apart and feed the receiver from a pack of its own. Then look again at page 02 (Your order of switching on and off): it may turn worse by this."),
])
def test_what_the_checks_advise(code, changes, verdict, advice):
    results = build(changes=FIXED_DRIVES | changes)
    found = next(f for f in checks.findings(results.record, "power", results) if f.code == code)
    assert (found.verdict, found.advice.sentence) == (verdict, advice)


@pytest.mark.identity
@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("changes", [{"power.left.kv": "10000 rpm/V"}, {"power.right.c_rating": 1}, {"power.left.kv": "100 rpm/V"}, {"power.left.pack_resistance": "1000 mohm"}],
                         ids=["a nought too many", "one C", "a nought too few", "a pack that sags to nothing"])
def test_nonsense_is_judged_and_the_advice_can_be_entered(changes):
    results = build(changes={"bench.points": [], **changes})
    for found in checks.findings(results.record, "power", results):
        if found.advice:
            results.record.changed(found.advice.changes)      # refuses what is outside the possible range
    assert np.isfinite(results.compared.right.bands["thrust"]).all()
