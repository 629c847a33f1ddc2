"""What went wrong on other people's aeroplanes, and what of page 07 stops it. The stories are common practice, no source."""

import numpy as np
import pytest

from builds import build
from twinkit import checks
from twinkit.checks.bench import ROWS

READY = {"bench.failsafe": "passed", "bench.cut": "passed", "bench.range_half": "passed", "bench.range_full": "passed", "bench.directions": "passed", "bench.memory": "own", "bench.steering": "left"}


def stops(changes, name="dunlin"):
    """Code -> finding of everything page 07 stops."""
    results = build(name, {**READY, **changes})
    return {f.code: f for f in checks.findings(results.record, "bench", results) if f.verdict == "stop"}


def test_a_build_that_did_it_all_is_not_stopped():
    assert stops({}) == {}


def test_story_3_failsafe_on_hold_flew_away_at_cruise_power():
    found = stops({"bench.failsafe": "failed"})
    assert list(found) == ["B06"] and "the failsafe" in found["B06"].sentence
    assert list(stops({"wiring.left.failsafe_set": False})) == ["B06"], "page 02 says no: a pass on page 07 does not overrule it"


def test_story_18_propeller_back_to_front_gave_half_the_thrust_on_one_side():
    half = {**ROWS["right on"], "thrust": "278 g"}
    found = stops({"bench.points": [ROWS["left on"], half, ROWS["left off"], ROWS["right off"]]})
    assert list(found) == ["B01"] and "back to front" in found["B01"].sentence and "right" in found["B01"].sentence
    assert stops({"bench.points": [ROWS["left on"], {**half, "thrust": "480 g"}]}) == {}, "a fifth less is looked at again, not stopped"


def test_story_19_throttle_outputs_swapped_and_the_mix_made_it_worse():
    found = stops({"bench.steering": "right"})
    assert list(found) == ["B05"] and "turns the nose left" in found["B05"].sentence
    assert found["B05"].advice.changes == {"bench.steering": "left"}


def test_story_27_carbon_beside_the_antenna_and_the_range_was_gone_at_full_throttle():
    found = stops({"bench.range_full": "failed"})
    assert list(found) == ["B07"] and "carbon" in found["B07"].advice.sentence
    assert list(stops({"bench.range_full": "not_done"})) == ["B07"], "half throttle alone is not enough"


def test_story_30_repaired_after_a_crash_and_flown_without_weighing():
    repair = {"date": "2026-06-01", "flight": 6, "what": "nose rebuilt", "balanced": "yes", "metered": "yes", "tried": "yes"}
    found = stops({"bench.repairs": [repair]})
    assert list(found) == ["B11"] and "weigh it" in found["B11"].sentence and "nose rebuilt" in found["B11"].sentence
    assert stops({"bench.repairs": [{**repair, "weighed": "yes"}]}) == {}
    assert stops({"bench.repairs": [{**repair, "weighed": "yes"}, {"what": "wing tip"}]}), "an earlier repair done well does not cover a later one"


def test_story_32_memory_of_the_old_aeroplane():
    found = stops({"bench.memory": "other"})
    assert list(found) == ["B08"] and "another aeroplane's memory" in found["B08"].sentence
    assert list(stops({"bench.memory": "not_looked"})) == ["B08"], "directions that were read aloud on an unread memory are not enough"


@pytest.mark.identity
@pytest.mark.parametrize(("set_to", "truth"), [(12, 14), (14, 12)])
def test_a_wrong_number_of_magnets_is_recognised_without_propeller(set_to, truth):
    # a controller counts changes of phase: magnets/2 of them a turn, so the shown rpm is the true one times truth/set_to
    wrong = {**ROWS["left off"], "rpm": f"{10190 * truth / set_to:.0f} rpm"}
    results = build(changes={"bench.points": [ROWS["left on"], wrong]})
    found = next(f for f in checks.findings(results.record, "bench", results) if f.code == "B03")
    assert found.verdict == "look again" and f"the motor has {truth} magnets and {set_to} are set" in found.sentence
    assert results.bench.left.kv is None, "and it spoils no number"


# --- the stated interval covers the truth ----------------------------------------------------------------------------------------


def simulated(loaded, free, benches):
    """Deviations of kv, running resistance, C_T and C_P from the truth over their stated deviations, for benches read with meters as the package takes them."""
    from scipy.optimize import brentq

    from twinkit import tables
    from twinkit.design import bench as design
    from twinkit.design.base import Ground

    meters, rpm = tables.values("bench/meters"), 2 * np.pi / 60
    kv, resistance, ct, cp, diameter, density, base, slope = 1050 * rpm, 0.105, 0.110, 0.046, 0.2286, 1.20, 0.6092, 1.4316e-5 / rpm

    def balance(volts):
        torque = lambda w: cp * density * (w / (2 * np.pi))**2 * diameter**5 / (2 * np.pi)  # noqa: E731
        amps = lambda w: torque(w) * kv + base + slope * w  # noqa: E731
        w = brentq(lambda w: volts - w / kv - amps(w) * resistance, 1.0, volts * kv)
        return volts, amps(w), w, ct * density * (w / (2 * np.pi))**2 * diameter**4

    def idling(volts):
        w = (volts - base * resistance) / (1 / kv + slope * resistance)
        return volts, base + slope * w, w, None

    rows, rng, found = [balance(v) for v in loaded] + [idling(v) for v in free], np.random.default_rng(9), []
    ground = Ground(build(changes={"power.left.kv": "1060 rpm/V", "power.left.propeller_diameter": "9 in"}).record)
    for _ in range(benches):
        scale = {name: 1.0 + meters[name] * rng.standard_normal() for name in ("volts_scale", "amps_scale", "thrust_scale", "density")}
        off = lambda name: meters[name] * rng.standard_normal()  # noqa: E731
        points = [design.Reading(k, "left", t is not None, v * scale["volts_scale"] + off("volts_unrest"), i * scale["amps_scale"] + off("amps_unrest"), w * (1.0 + off("speed_unrest")),
                                 None if t is None else t * scale["thrust_scale"] + off("thrust_unrest")) for k, (v, i, w, t) in enumerate(rows, 1)]
        side = design._side(ground, "left", points, density * scale["density"], 1.81e-5)
        found.append(((side.kv - kv) / side.kv_sigma, (side.running_resistance - resistance) / side.resistance_sigma, (side.ct - ct) / side.ct_sigma, (side.cp - cp) / side.cp_sigma))
    return np.array(found)


@pytest.mark.identity
@pytest.mark.parametrize(("loaded", "free"), [(np.linspace(6, 12, 7), (6, 9, 12)), ((10, 11, 12), (9, 12))], ids=["ten readings", "five readings"])
def test_the_stated_interval_covers_the_truth_in_a_thousand_benches(loaded, free):
    # 1.96 standard deviations each way are the 95 % of a normal distribution; a thousand benches tell the share to 0.7 % (one standard deviation)
    cover = (np.abs(simulated(loaded, free, 1000)) < 1.96).mean(axis=0)
    assert ((cover >= 0.93) & (cover <= 0.97)).all(), dict(zip(("kv", "resistance", "ct", "cp"), cover))
