"""Propeller model: published runs, pinned points, the independent regression, the table and the bands."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from twinkit import tables
from twinkit.physics.propeller import Bands, SectionModel, Style, blade_element, helical_tip_speed, model_band, speed_limit
from twinkit.physics.propeller_regression import regression
from twinkit.physics.propeller_table import coefficients, loads, propeller_table, torque_and_slope, zero_thrust_advance_ratio

INCH, DENSITY, VISCOSITY = 0.0254, 1.225, 1.81e-5
SECTION = SectionModel(**tables.values("propeller/section"))
REGRESSION = tables.read("propeller/regression").columns
BANDS = Bands.from_columns(tables.read("propeller/bands").columns, tables.values("propeller/band_limits"))
STYLES = ("electric", "folding", "slowfly", "sport")


def style(name):
    return Style.from_columns(name, tables.read("propeller/styles").columns, tables.read("propeller/chords").columns)


def element(diameter, pitch, blades, name, rpm, advance_ratio):
    return blade_element(np.asarray(rpm) / 60.0, advance_ratio, diameter * INCH, pitch * INCH, blades, style(name), SECTION, DENSITY, VISCOSITY)


def table(diameter, pitch, blades=2, name="electric"):
    return propeller_table(diameter * INCH, pitch * INCH, blades, style(name), SECTION, DENSITY, VISCOSITY)


QUOTED = tables.read("propeller/quoted_rows").rows()


@pytest.mark.published
@pytest.mark.parametrize("row", QUOTED, ids=[f"{r['run']}-{r['advance_ratio']:g}" for r in QUOTED])
def test_measured_runs_lie_in_the_band(row):
    # UIUC Propeller Database, run named by propeller and speed; tolerance: nine of ten of a brand kept out of the fit lie within it
    bands = tables.read("propeller/bands").rows()
    state = "static" if row["advance_ratio"] == 0.0 else "flight"
    family = "all" if row["style"] == "folding" else row["style"]
    band = next(b for b in bands if (b["style"], b["state"], b["measured"]) == (family, state, "none"))
    found = blade_element(row["speed"] / (2 * np.pi), row["advance_ratio"], row["diameter"], row["pitch"], 2, style(row["style"]),
                          SECTION, DENSITY, VISCOSITY)
    assert abs(found.ct / row["ct"] - 1.0) < band["ct_p90"]
    assert abs(found.cp / row["cp"] - 1.0) < band["cp_p90"]


@pytest.mark.published
def test_measured_runs_together_are_as_close_as_the_standard_error():
    # the same twelve runs; rms over them must not exceed the pooled static figures 14.1 and 15.0 %, the narrower ones
    ct, cp = zip(*((float(f.ct) / r["ct"], float(f.cp) / r["cp"]) for r in QUOTED for f in [
        blade_element(r["speed"] / (2 * np.pi), r["advance_ratio"], r["diameter"], r["pitch"], 2, style(r["style"]), SECTION, DENSITY, VISCOSITY)]))
    assert np.sqrt(np.mean((np.array(ct) - 1) ** 2)) < 0.14
    assert np.sqrt(np.mean((np.array(cp) - 1) ** 2)) < 0.15


@pytest.mark.pinned
@pytest.mark.parametrize("diameter, pitch, blades, name, rpm, advance_ratio, ct, cp", [
    (8, 6, 2, "electric", 6000, 0.0, 0.11628, 0.06090), (8, 6, 2, "electric", 6000, 0.4, 0.08065, 0.05581),
    (8, 6, 2, "electric", 10000, 0.0, 0.11713, 0.06195), (9, 6, 2, "electric", 6000, 0.5, 0.05444, 0.04125),
    (10, 4.7, 2, "slowfly", 5000, 0.0, 0.10910, 0.04486), (10, 4.7, 2, "slowfly", 5000, 0.3, 0.06948, 0.03941),
    (9, 6, 2, "sport", 6000, 0.0, 0.10799, 0.05315), (9, 6, 3, "electric", 6000, 0.0, 0.15106, 0.07599),
    (10, 7, 2, "folding", 6000, 0.4, 0.08086, 0.05178), (5, 3, 3, "electric", 12000, 0.0, 0.13546, 0.06580)])
def test_blade_element_points(diameter, pitch, blades, name, rpm, advance_ratio, ct, cp):
    # two programs written apart gave these five decimals
    found = element(diameter, pitch, blades, name, rpm, advance_ratio)
    assert float(found.ct) == pytest.approx(ct, abs=5.5e-6)
    assert float(found.cp) == pytest.approx(cp, abs=5.5e-6)


@pytest.mark.pinned
@pytest.mark.parametrize("diameter, pitch, name, rpm, advance_ratio, ct, cp", [
    (8, 6, "electric", 6000, 0.0, 0.11788, 0.06154), (8, 6, "electric", 6000, 0.4, 0.07837, 0.05492),
    (10, 4.7, "slowfly", 5000, 0.3, 0.06823, 0.03968), (9, 6, "sport", 6000, 0.0, 0.10766, 0.05174),
    (10, 7, "folding", 6000, 0.4, 0.07896, 0.04951)])
def test_regression_points(diameter, pitch, name, rpm, advance_ratio, ct, cp):
    found = regression(rpm / 60.0, advance_ratio, diameter * INCH, pitch * INCH, name, REGRESSION, DENSITY, VISCOSITY)
    assert float(found.ct) == pytest.approx(ct, abs=5.5e-6)
    assert float(found.cp) == pytest.approx(cp, abs=5.5e-6)


@pytest.mark.identity
@pytest.mark.parametrize("name", STYLES)
@pytest.mark.parametrize("state, tolerance", [("static", "static"), ("flight", "flight")])
def test_blade_element_against_regression(name, state, tolerance):
    # independent route: another mathematical form fitted to the same measurements; tolerance: the standard error both models share
    diameter, ratio, rpm, advance = np.meshgrid(np.linspace(7, 11.5, 5), np.linspace(0.4, 0.9, 6), [3000.0, 5000.0, 7000.0],
                                                [0.0] if state == "static" else np.linspace(0.05, 0.9, 18), indexing="ij")
    first = element(diameter, diameter * ratio, 2, name, rpm, advance)
    second = regression(rpm / 60.0, advance, diameter * INCH, diameter * ratio * INCH, name, REGRESSION, DENSITY, VISCOSITY)
    still = element(diameter, diameter * ratio, 2, name, rpm, 0.0)
    useful = second.inside & (second.ct > 0.3 * still.ct) & (first.ct > 0.3 * still.ct)
    assert useful.sum() > 50
    band = model_band("all", tolerance, "none", 2, 0.2286, 0.1524, 80.0, BANDS)
    assert np.sqrt(np.mean((first.ct / second.ct - 1.0)[useful] ** 2)) < float(band.ct) / 2
    assert np.sqrt(np.mean((first.cp / second.cp - 1.0)[useful] ** 2)) < float(band.cp) / 2


@pytest.mark.identity
def test_a_polynomial_is_flagged_outside_its_range():
    found = regression(100.0, np.array([0.3, 1.5, -0.1]), 0.2, np.array([0.15, 0.15, 0.15]), "electric", REGRESSION, DENSITY, VISCOSITY)
    assert found.inside.tolist() == [True, False, False]


@pytest.mark.identity
def test_scalars_and_arrays_agree():
    n, advance = np.array([[40.0], [90.0], [160.0]]), np.linspace(0, 0.9, 7)
    whole = element(8, 6, 2, "electric", n * 60.0, advance)
    assert whole.ct.shape == (3, 7)
    for i in range(3):
        for j in range(7):
            one = element(8, 6, 2, "electric", n[i, 0] * 60.0, advance[j])
            assert float(one.ct) == pytest.approx(whole.ct[i, j], rel=1e-12)
            assert float(one.cp) == pytest.approx(whole.cp[i, j], rel=1e-12)


@pytest.mark.identity
def test_impossible_points_are_flagged():
    found = element(8, 6, 2, "electric", np.array([0.0, 6000.0, -10.0, 6000.0]), np.array([0.1, -0.1, 0.1, 0.1]))
    assert found.inside.tolist() == [False, False, False, True]
    assert np.isnan(found.ct[:3]).all() and np.isfinite(found.ct[3])


@pytest.mark.identity
@pytest.mark.parametrize("diameter, pitch, blades, name", [(8, 6, 2, "electric"), (10, 3.8, 2, "slowfly"), (7, 7, 3, "sport"), (12, 6, 2, "electric")])
def test_useful_work_never_exceeds_shaft_work(diameter, pitch, blades, name):
    advance = np.linspace(0.01, 1.0, 60) * table(diameter, pitch, blades, name).advance_ratio_high
    found = element(diameter, pitch, blades, name, 6000.0, advance)
    driving = (found.cp > 0) & (found.ct > 0)
    efficiency = (found.ct * advance / found.cp)[driving]
    assert efficiency.max() < 0.9 and efficiency.max() > 0.4
    # actuator disc: thrust cannot be had for less than the momentum theory's power, static figure of merit below one
    still = element(diameter, pitch, blades, name, 6000.0, 0.0)
    assert 0.3 < float(still.ct**1.5 / np.sqrt(np.pi / 2.0) / still.cp) < 0.85
    # thrust falls through zero before power does: a propeller first stops pulling, then is driven
    assert advance[np.argmax(found.ct < 0)] < advance[np.argmax(found.cp < 0)]


@pytest.mark.identity
def test_equal_reynolds_number_means_equal_coefficients():
    first = element(8, 6, 2, "electric", 6000.0, 0.3)
    second = blade_element(50.0, 0.3, 8 * INCH, 6 * INCH, 2, style("electric"), SECTION, 2 * DENSITY, VISCOSITY)
    third = blade_element(25.0, 0.3, 16 * INCH, 12 * INCH, 2, style("electric"), SECTION, DENSITY, VISCOSITY)
    assert float(second.ct) == pytest.approx(float(first.ct), rel=1e-12)
    assert float(third.cp) == pytest.approx(float(first.cp), rel=1e-12)


@pytest.mark.published
@pytest.mark.parametrize("blades, ct_low, ct_high, cp_low, cp_high", [(3, 1.24, 1.38, 1.30, 1.47), (4, 1.50, 1.64, 1.58, 1.93)])
def test_blade_ratio_against_measured_shapes(blades, ct_low, ct_high, cp_low, cp_high):
    # UIUC Propeller Database, runs da4022, da4052, nr640: static ratio to two blades; the model is known to read up to 0.12 (0.15) high at
    # three and 0.19 (0.32) at four against the narrowest of them, so the upper ends carry 5 %
    two, more = element(9, 6, 2, "electric", 6000.0, 0.0), element(9, 6, blades, "electric", 6000.0, 0.0)
    assert ct_low < float(more.ct / two.ct) < ct_high * 1.05
    assert cp_low < float(more.cp / two.cp) < cp_high * 1.05


@pytest.mark.identity
@pytest.mark.parametrize("diameter, pitch, blades, name", [(8, 6, 2, "electric"), (10, 3.8, 2, "slowfly"), (7, 7, 3, "sport"), (5, 3, 3, "electric"),
                                                          (12, 6, 2, "folding")])
def test_table_against_the_model(diameter, pitch, blades, name):
    chart = table(diameter, pitch, blades, name)
    rng = np.random.default_rng(7)
    n, advance = np.exp(rng.uniform(np.log(50.0), np.log(480.0), 800)), rng.uniform(0, chart.advance_ratio_high, 800)
    exact, looked = element(diameter, pitch, blades, name, n * 60.0, advance), coefficients(chart, n, advance, DENSITY)
    assert looked.inside.all()
    assert np.abs(looked.ct - exact.ct).max() < 6e-4      # the docstring's figures
    assert np.abs(looked.cp - exact.cp).max() < 4e-4


@pytest.mark.identity
def test_table_says_when_it_is_left():
    chart = table(8, 6)
    found = coefficients(chart, np.array([100.0, 5.0, 900.0, 100.0, 100.0]), np.array([0.3, 0.3, 0.3, 2.0, -0.1]), DENSITY)
    assert found.inside.tolist() == [True, False, False, False, False]
    edge = coefficients(chart, 100.0, chart.advance_ratio_high, DENSITY)
    assert float(found.ct[3]) == pytest.approx(float(edge.ct) * (2.0 / chart.advance_ratio_high) ** 2, rel=1e-12)
    still = loads(chart, np.array([0.0, 1.0]), 20.0, DENSITY)
    assert not still.inside.any() and still.thrust[0] < 0
    assert still.thrust[0] == pytest.approx(still.thrust[1], rel=1e-12)
    assert float(loads(chart, 0.0, 0.0, DENSITY).thrust) == 0.0


@pytest.mark.identity
def test_table_holds_the_density_effect():
    chart = table(8, 6)
    found = coefficients(chart, 100.0, 0.3, 1.0)
    exact = blade_element(100.0, 0.3, 8 * INCH, 6 * INCH, 2, style("electric"), SECTION, 1.0, VISCOSITY)
    assert float(found.ct) == pytest.approx(float(exact.ct), rel=5e-3)
    assert float(loads(chart, 100.0, 0.3 * 100 * 8 * INCH, 1.0).thrust) == pytest.approx(float(found.ct) * 1.0 * 1e4 * (8 * INCH) ** 4, rel=1e-12)


@pytest.mark.identity
@settings(max_examples=40, deadline=None)
@given(n=st.floats(16.0, 450.0), share=st.floats(0.0, 1.5))
def test_torque_slope_is_the_derivative(n, share):
    chart = table(9, 6)
    airspeed = share * chart.advance_ratio_high * n * chart.diameter
    torque, slope = torque_and_slope(chart, n, airspeed, DENSITY)
    assert float(torque) == pytest.approx(float(loads(chart, n, airspeed, DENSITY).torque), rel=1e-12)
    step = 1e-7 * n
    left, right = (float(torque_and_slope(chart, n + s, airspeed, DENSITY)[0]) for s in (-step, step))
    around = [float(torque_and_slope(chart, n + s, airspeed, DENSITY)[1]) for s in (-2 * step, 2 * step)]
    measured = (right - left) / (2 * step) / (2 * np.pi)
    scale = 1e-5 * DENSITY * chart.diameter**5 * n
    assert min(around) - scale <= measured <= max(around) + scale       # between the one-sided slopes at a kink, equal elsewhere
    assert min(around) - scale <= float(slope) <= max(around) + scale


@pytest.mark.identity
def test_zero_thrust_advance_ratio_is_a_root():
    chart = table(8, 6)
    for n in (40.0, 100.0, 200.0):
        root = zero_thrust_advance_ratio(chart, n, DENSITY)
        assert abs(float(coefficients(chart, n, root, DENSITY).ct)) < 1e-12
    assert zero_thrust_advance_ratio(chart, np.full((2, 3), 90.0), DENSITY).shape == (2, 3)


@pytest.mark.published
@pytest.mark.parametrize("name, measured", [("electric", 1.16), ("folding", 1.23), ("slowfly", 1.24), ("sport", 1.18)])
def test_zero_thrust_against_measured_means(name, measured):
    # UIUC Propeller Database, mean of J0/(pitch/diameter) per style; tolerance: model's stated bias +7.5 % and 11 % rms
    found = [float(zero_thrust_advance_ratio(table(d, d * p, 2, name), 90.0, DENSITY)) / p for d in (8, 10) for p in (0.55, 0.65, 0.75)]
    assert np.mean(found) / measured == pytest.approx(1.075, abs=0.11)


@pytest.mark.identity
def test_tip_speed_and_speed_limit():
    assert float(helical_tip_speed(100.0, 0.2, 0.0)) == pytest.approx(np.pi * 20.0, rel=1e-12)
    assert float(helical_tip_speed(0.0, 0.2, 12.0)) == 12.0
    # a limit of 145 000 rev/min in allows 145 000/9 rev/min at 9 inches
    rim = np.pi * 145000 * INCH / 60.0
    assert float(speed_limit(rim, 9 * INCH)) * 60.0 == pytest.approx(145000 / 9, rel=1e-12)
    assert speed_limit(rim, np.array([0.2, 0.3])).shape == (2,)


@pytest.mark.pinned
def test_bands_and_their_reasons():
    plain = model_band("electric", "static", "none", 2, 9 * INCH, 6 * INCH, 100.0, BANDS)
    assert (float(plain.ct), float(plain.cp), plain.reasons) == (0.167, 0.174, ())
    three = model_band("electric", "flight", "none", 3, 9 * INCH, 6 * INCH, 150.0, BANDS)
    assert (float(three.ct), float(three.cp)) == (pytest.approx(0.321), pytest.approx(0.311))
    assert three.reasons == ("extrapolated speed", "three blades")
    known = model_band("sport", "flight", "thrust and power", 2, 9 * INCH, 6 * INCH, 100.0, BANDS)
    assert (float(known.ct), float(known.cp), known.reasons) == (0.137, 0.123, ())
    micro = model_band("electric", "static", "none", 2, 5 * INCH, 3 * INCH, 100.0, BANDS)
    assert (float(micro.ct), float(micro.cp), micro.reasons) == (0.21, 0.30, ("small",))
    assert model_band("electric", "static", "none", 4, 12 * INCH, 12 * INCH, 50.0, BANDS).reasons == ("four blades", "large", "pitch outside the fit")
    mixed = model_band("electric", "static", "none", 2, np.array([5.0, 9.0]) * INCH, 6 * INCH, 100.0, BANDS)
    assert mixed.ct.tolist() == [0.21, 0.167]


@pytest.mark.identity
def test_more_knowledge_never_widens_the_band():
    for state in ("static", "flight"):
        none, power, both = (model_band("sport", state, m, 2, 0.2286, 0.1524, 90.0, BANDS) for m in ("none", "power", "thrust and power"))
        assert none.ct > power.ct > both.ct and none.cp > power.cp >= both.cp


@pytest.mark.identity
def test_error_texts():
    with pytest.raises(ValueError, match="unknown propeller style 'wood': there are electric, folding, slowfly, sport"):
        style("wood")
    with pytest.raises(ValueError, match="no band for state 'hover' and measured 'none'"):
        model_band("sport", "hover", "none", 2, 0.2, 0.1, 90.0, BANDS)
