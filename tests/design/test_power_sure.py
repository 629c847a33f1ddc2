"""Page 01: thousands of variants and the limits they keep."""

from dataclasses import replace

import numpy as np
import pytest

from builds import build, finding
from twinkit.design import drive_variants, power_spread, power_sure
from twinkit.design.drive_parts import SOURCES_OF_ERROR, moved
from twinkit.drawings import power_tables

SIDES = ("left", "right")
QUIET = {"kv_share": 0, "unit": 0}


def limits(results):
    value = results.record.value
    return {name: value(f"limits.{name}") for name in ("controller_margin", "c_share", "loaded_cell", "input_power")} | {
        "kv_spread": 0.0, "thrust": value("limits.thrust_grass"), "seconds": value("weight.time_launch")}


@pytest.mark.identity
@pytest.mark.parametrize("changes", [{}, {"power.charge": "60 %"}, {"power.left.controller_current": "12 A"}, {"power.packs": "joined"}, {"power.pack_temperature": "2 °C"},
                                     {"power.left.motor_current_limit": "9 A", "bench.points": []}], ids=["demo", "part charge", "small controller", "joined", "cold", "small motor"])
def test_variants_that_do_not_vary_are_the_findings_of_the_page(changes, monkeypatch):
    monkeypatch.setattr(power_spread, "chances", lambda left, right, shared, count: {s: {"cooling": np.zeros(count)} for s in SIDES})
    monkeypatch.setattr(power_spread, "varied", lambda side, chance, flying, unit: moved(side, {n: np.ones(chance["cooling"].size) for n in SOURCES_OF_ERROR}))
    results = build(changes=changes)
    found = power_sure.variants(results.power, results.air.temperature, {s: results.power.side(s).motor_mass for s in SIDES}, limits(results), results.carried.mass, 4)
    for code, (_, _, value, bound, at_least) in found.values.items():
        if code == power_sure.STANDING_HEAT:
            told = min(getattr(results.power_heat.state("standing"), s).time for s in SIDES)
            assert value[0] == told or value[0] == pytest.approx(told, rel=1e-6)
            continue
        assert np.ptp(value) < 1e-9 * abs(value[0])
        check = finding(code, results)
        kept = value[0] >= bound if at_least else value[0] <= bound
        assert kept == (check.verdict == "good"), code
        told = check.value if code not in ("P02",) else check.value / check.limit
        assert value[0] == pytest.approx(told, rel=1e-6), code
    warm = results.power_heat.state("standing")
    assert found.runaway["left"].all() == warm.left.runaway
    if not warm.left.runaway:
        assert found.temperature["left"][0] == pytest.approx(warm.left.temperature, rel=1e-6)


@pytest.mark.identity
def test_what_a_label_leaves_open_is_spread_as_its_stated_bands_say():
    """The triangle by its own moments: ends, mean (low + mode + high)/3, and the share below the most likely value."""
    drive = build(changes={"bench.points": [], "power.left.motor_resistance": "80 mohm"}).power.left
    assert (drive.kv_from, drive.resistance_from) == ("label", "label")
    made = drive_variants.varied(drive, drive_variants.chances(drive, replace(drive, side="right"), False, 20_000)["left"], 0.0, 0.0)
    for factor, (low, mode, high) in ((made.resistance / drive.resistance, (1.7, 2.0, 3.0)), (made.kv / drive.kv, (0.92, 0.97, 1.0))):
        value = factor * mode
        assert low <= value.min() < low + 0.05 * (high - low) and high - 0.05 * (high - low) < value.max() <= high
        assert value.mean() == pytest.approx((low + mode + high) / 3.0, rel=5e-3)
        assert (value < mode).mean() == pytest.approx((mode - low) / (high - low), abs=0.015)
    ranked = drive_variants.chances(drive, replace(drive, side="right"), False, 200)["left"]
    order = np.argsort(ranked["resistance"])
    assert (np.diff(drive_variants.varied(drive, ranked, 0.0, 0.0).resistance[order]) >= 0.0).all(), "ranks stay, and with them what errs together"


@pytest.mark.identity
def test_what_was_measured_one_by_one_has_errors_of_its_own():
    drive = build("siskin", {"bench.points": []}).power.left
    other = replace(drive, side="right")

    def together(left, right, name):
        chance = drive_variants.chances(left, right, False, 4000)
        return float(np.corrcoef(chance["left"][name], chance["right"][name])[0, 1])

    assert together(drive, other, "kv") == pytest.approx(1.0, abs=1e-9) and together(drive, other, "ct") == pytest.approx(1.0, abs=1e-9)
    for change, name in (({"kv_from": "bench"}, "kv"), ({"resistance_from": "bench"}, "resistance"), ({"propeller_measured": "thrust and power"}, "ct")):
        for one, two in ((replace(drive, **change), replace(other, **change)), (replace(drive, **change), other)):
            assert abs(together(one, two, name)) < 0.07, "each reading has its own error, on one side or on both"


@pytest.mark.identity
def test_two_units_of_one_label_differ_by_the_spread_of_the_limits():
    drive = build("siskin", {"bench.points": []}).power.left
    chance = drive_variants.chances(drive, replace(drive, side="right"), False, 20_000)
    left, right = (drive_variants.varied(replace(drive, side=s), chance[s], 0.0, 0.03).kv for s in SIDES)
    assert np.std(np.log(right / left)) == pytest.approx(0.03, rel=0.02), "one standard deviation of the difference, as the register says"


@pytest.mark.identity
def test_the_share_that_keeps_a_limit_falls_as_the_limit_rises():
    kept = []
    for want in ("0.3", "0.9", "1.0", "1.1", "3"):
        results = build(changes={"limits.thrust_grass": want, "bench.points": []})
        kept.append(next(h.keeps for h in results.power_sure.held if h.code == "P04"))
    assert kept[0] == 1.0 and kept[-1] == 0.0 and all(a >= b for a, b in zip(kept, kept[1:])) and 0.05 < kept[2] < 0.95


@pytest.mark.identity
def test_a_bench_reading_makes_surer():
    wide, narrow = build(changes={"bench.points": []}).power_sure, build().power_sure
    spread = lambda found: {h.code: (h.high - h.low) / h.middle for h in found.held if np.isfinite(h.high)}  # noqa: E731
    before, after = spread(wide), spread(narrow)
    assert all(after[code] < 0.7 * before[code] for code in ("P01", "P04", "P05"))
    assert [h.code for h in narrow.held] == [h.code for h in build().power_sure.held], "the samples are seeded"
    assert "kept by" in power_tables.sure_sheet(build()).text() and "Waits for first guess of the mass (page 00)" in power_tables.sure_sheet(build("blank")).text()
