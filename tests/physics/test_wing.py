import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from twinkit import tables
from twinkit.physics import drag, wing

POSITIVE = st.floats(0.3, 30.0)


@pytest.mark.published
def test_helmbold_example():
    # Anderson, Aircraft Performance and Design, Example 2.8: a0 = 6.02 per rad, AR 6 gives 4.4 per rad (two digits; worked 4.397)
    assert wing.lift_slope_helmbold(6.0, 6.02) == pytest.approx(4.4, rel=1.2e-3)


@pytest.mark.published
def test_glauert_example():
    # Anderson, Fundamentals of Aerodynamics, Example 5.1: AR 8, delta = tau = 0.055, 5 degrees; the book's printed slope and lift round to 0.43-0.44
    cl = wing.lift_slope_glauert(8.0, 2.0 * np.pi, 0.055) * np.radians(5.0)
    assert cl == pytest.approx(0.434, rel=6e-3 / 0.434)
    assert cl**2 * 1.055 / (np.pi * 8.0) == pytest.approx(0.00790, rel=2e-3)  # worked with the book's formula


@pytest.mark.identity
@given(POSITIVE)
def test_helmbold_is_datcom_for_an_ideal_straight_wing(ratio):
    assert wing.lift_slope_helmbold(ratio, 2.0 * np.pi) == pytest.approx(float(wing.lift_slope_datcom(ratio, 1.0, 0.0)), rel=1e-13)


@pytest.mark.identity
@given(POSITIVE, st.floats(0.8, 1.0))
def test_helmbold_is_datcom_for_any_section(ratio, kappa):
    # a0 / (sqrt(1+k^2) + k) with k = a0/(pi AR) is 2 pi AR / (2 + sqrt((AR/kappa)^2 + 4)) for every kappa = a0 / 2 pi
    assert wing.lift_slope_helmbold(ratio, 2.0 * np.pi * kappa) == pytest.approx(float(wing.lift_slope_datcom(ratio, kappa, 0.0)), rel=1e-13)


@pytest.mark.identity
def test_lift_slope_limits():
    assert wing.lift_slope_datcom(1.5, 1.0, 0.0) == pytest.approx(2.0 * np.pi / 3.0, rel=1e-14)
    for slope in (wing.lift_slope_prandtl(1e9, 5.7), wing.lift_slope_helmbold(1e9, 5.7), wing.lift_slope_datcom(1e9, 5.7 / 2 / np.pi, 0.0)):
        assert slope == pytest.approx(5.7, rel=1e-8)
    # slender wing: pi AR / 2
    assert wing.lift_slope_helmbold(1e-4, 2.0 * np.pi) == pytest.approx(np.pi * 1e-4 / 2.0, rel=1e-3)
    assert wing.lift_slope_glauert(7.0, 5.7, 0.0) == wing.lift_slope_prandtl(7.0, 5.7)
    # infinite swept wing by simple sweep: a0 cos(sweep)
    assert wing.lift_slope_datcom(1e9, 1.0, 0.5) == pytest.approx(2.0 * np.pi * np.cos(0.5), rel=1e-8)


@pytest.mark.identity
@given(POSITIVE, st.floats(4.5, 6.3))
def test_prandtl_is_never_below_helmbold(ratio, slope):
    assert wing.lift_slope_prandtl(ratio, slope) >= wing.lift_slope_helmbold(ratio, slope)


CHORDS = st.floats(0.05, 0.4)


@pytest.mark.identity
@given(st.floats(0.5, 3.0), CHORDS, CHORDS, CHORDS, st.floats(0.1, 0.9), st.floats(-0.1, 0.2), st.floats(-0.1, 0.3))
def test_geometry_against_quadrature(span, root, middle, tip, joint, x1, x2):
    found = wing.wing_geometry(span, root, middle, tip, joint, x1, x2)
    knee = joint * span / 2.0

    def chord(y):
        return float(wing.chord_along_span(2.0 * y / span, root, middle, tip, joint))

    def edge(y):
        return float(np.interp(y, [0.0, knee, span / 2.0], [0.0, x1, x2]))

    def integral(f):
        return quad(f, 0.0, knee)[0] + quad(f, knee, span / 2.0)[0]

    area = 2.0 * integral(chord)
    assert found.area == pytest.approx(area, rel=1e-9)
    assert found.aspect_ratio == pytest.approx(span**2 / area, rel=1e-9)
    assert found.mac == pytest.approx(2.0 / area * integral(lambda y: chord(y) ** 2), rel=1e-9)
    assert found.mac_y == pytest.approx(2.0 / area * integral(lambda y: chord(y) * y), rel=1e-9)
    assert found.mac_setback == pytest.approx(2.0 / area * integral(lambda y: chord(y) * edge(y)), rel=1e-8, abs=1e-10)
    pieces = [(0.0, knee, root, middle, 0.0, x1), (knee, span / 2.0, middle, tip, x1, x2)]
    for share, sweep in ((0.25, found.quarter_chord_sweep), (0.5, found.half_chord_sweep)):
        mean = sum((b - a) * (c + d) / 2.0 * ((f + share * d) - (e + share * c)) / (b - a) for a, b, c, d, e, f in pieces) / (area / 2.0)
        assert np.tan(sweep) == pytest.approx(mean, rel=1e-9, abs=1e-12)


@pytest.mark.identity
def test_one_straight_taper():
    # Anderson, Aircraft Performance and Design, from memory: mac = (2/3) cr (1 + t + t^2) / (1 + t), y = (b/6) (1 + 2t) / (1 + t)
    taper, root, span = 0.6, 0.25, 1.2
    found = wing.wing_geometry(span, root, root * taper, root * taper, 1.0, 0.03, 0.03)
    assert found.mac == pytest.approx(2.0 / 3.0 * root * (1 + taper + taper**2) / (1 + taper), rel=1e-12)
    assert found.mac_y == pytest.approx(span / 6.0 * (1 + 2 * taper) / (1 + taper), rel=1e-12)
    # the same wing told with a joint anywhere along it
    split = wing.wing_geometry(span, root, root * (1 - 0.4 * 0.35), root * taper, 0.35, 0.03 * 0.35, 0.03)
    for field in ("area", "mac", "mac_y", "mac_setback", "quarter_chord_sweep", "half_chord_sweep"):
        assert getattr(split, field) == pytest.approx(float(getattr(found, field)), rel=1e-12)


@pytest.mark.identity
def test_rectangle_and_joint_at_the_root():
    box = wing.wing_geometry(1.1, 0.2, 0.2, 0.2, np.array([0.0, 0.4, 1.0]), 0.0, 0.0)
    assert box.area == pytest.approx(0.22, rel=1e-14)
    assert box.aspect_ratio == pytest.approx(5.5, rel=1e-14)
    assert box.mac == pytest.approx(0.2, rel=1e-14)
    assert np.all(box.half_chord_sweep == 0.0)
    assert np.isnan(wing.wing_geometry(1.1, 0.2, 0.2, 0.2, 1.2, 0.0, 0.0).area)
    assert np.isnan(wing.wing_geometry(-1.1, 0.2, 0.2, 0.2, 0.5, 0.0, 0.0).area)
    assert np.isnan(wing.chord_along_span(1.1, 0.2, 0.2, 0.1, 0.5))


@pytest.mark.identity
@given(st.floats(-1.0, 1.0), CHORDS, CHORDS, CHORDS, st.floats(0.0, 1.0))
def test_chord_is_mirrored_and_between_its_ends(eta, root, middle, tip, joint):
    chord = wing.chord_along_span(eta, root, middle, tip, joint)
    assert chord == wing.chord_along_span(-eta, root, middle, tip, joint)
    assert min(root, middle, tip) - 1e-12 <= chord <= max(root, middle, tip) + 1e-12


@pytest.mark.identity
@pytest.mark.filterwarnings("error")
def test_an_inner_piece_of_next_to_nothing_leaves_the_outer_one():
    assert wing.chord_along_span([0.0, 0.5, 1.0], 0.2, 0.2, 0.1, 5e-324) == pytest.approx([0.2, 0.15, 0.1], rel=1e-14)


@pytest.mark.identity
@given(st.floats(0.0, 0.2), st.floats(0.0, 0.3), st.floats(0.0, 1.0))
def test_equivalent_dihedral_against_quadrature(inner, outer, joint):
    rolled = quad(lambda y: 2.0 * inner * y, 0.0, joint)[0] + quad(lambda y: 2.0 * outer * y, joint, 1.0)[0]
    assert wing.equivalent_dihedral(inner, outer, joint) == pytest.approx(rolled, rel=1e-10, abs=1e-14)


@pytest.mark.published
def test_cubic_loading_example():
    # Reynolds, Model Builder, September 1989, as quoted: 22 lb on 1780 sq in is 28.5 oz/ft2 and 8.1 oz/ft3 (printed digits)
    pound, inch, ounce, foot = 0.45359237, 0.0254, 0.028349523125, 0.3048
    mass, area = 22 * pound, 1780 * inch**2
    assert wing.wing_loading(mass, area) / (ounce / foot**2) == pytest.approx(28.5, rel=1e-3)
    assert wing.cubic_loading(mass, area) / (ounce / foot**3) == pytest.approx(8.10, rel=1e-3)


@pytest.mark.identity
def test_kilograms_per_cubic_metre_are_ounces_per_cubic_foot():
    # arithmetic: 1 kg/m3 is 0.9988 oz/ft3; the habit of the trade compares the bare numbers
    table = tables.read("wing/cubic_loading")
    assert table.columns["high"][0] == pytest.approx(4.0 * 1.00115, rel=1e-4)


@pytest.mark.published
def test_plate_friction():
    # Blasius 1.328/sqrt(Re) at 1e6 is 0.001328; from memory of Schlichting's table of the logarithmic law: 0.00447 at 1e6, 0.00300 at 1e7
    assert drag.friction_laminar(1e6) == pytest.approx(0.001328, rel=1e-12)
    assert drag.friction_turbulent_power(1e5) == pytest.approx(0.0074, rel=1e-12)     # (1e5)^0.2 = 10
    assert drag.friction_turbulent([1e6, 1e7]) == pytest.approx(np.array([0.00447, 0.00300]), rel=1.7e-3)  # last printed digit
    # the two laws agree within 5 to 6 per cent where both hold (Schlichting, from memory)
    range_of_both = np.geomspace(5e5, 1e7, 20)
    assert drag.friction_turbulent_power(range_of_both) == pytest.approx(drag.friction_turbulent(range_of_both), rel=0.055)


@pytest.mark.identity
def test_local_friction_against_the_mean_law():
    # mean friction is the local one averaged over the length; White-Christoph is good to 4 per cent, so is the mean law
    reynolds = 2e6
    mean = quad(drag.friction_turbulent_local, 2e4, reynolds)[0] / reynolds + drag.friction_turbulent(2e4) * 2e4 / reynolds
    assert mean == pytest.approx(float(drag.friction_turbulent(reynolds)), rel=0.05)


@pytest.mark.identity
@given(st.floats(2e4, 1e6), st.floats(2e4, 1e6))
def test_transition_lies_between_the_extremes(reynolds, transition):
    mixed = drag.friction_with_transition(reynolds, transition)
    laminar, turbulent = drag.friction_laminar(reynolds), drag.friction_turbulent(reynolds)
    assert laminar - 1e-12 <= mixed <= turbulent + 1e-12


@pytest.mark.identity
def test_transition_joins_without_a_step():
    assert drag.friction_with_transition(1.0000001e5, 1e5) == pytest.approx(float(drag.friction_laminar(1e5)), rel=1e-6)


@pytest.mark.pinned
def test_form_factors():
    # the two relations evaluated by hand at thickness ratio 0.12 and fineness 10
    assert drag.form_factor_wing(0.12) == pytest.approx(1.2524, rel=1e-4)
    assert drag.form_factor_body(10.0) == pytest.approx(1.085, rel=1e-12)
    assert drag.form_factor_wing(0.0) == 1.0


@pytest.mark.identity
def test_build_up_adds_and_splits():
    build = drag.drag_build_up([0.006, 0.005], [1.2, 1.3], [1.05, 1.0], [0.42, 0.22], 0.22, 0.002, 0.15)
    assert build.cd0 == pytest.approx(float(build.part_cd0.sum() + build.misc_cd0 + build.gap_cd0), rel=1e-14)
    twice = drag.drag_build_up([0.006, 0.005], [1.2, 1.3], [1.05, 1.0], [0.42, 0.22], 0.44, 0.002, 0.15)
    assert build.cd0 == pytest.approx(2.0 * float(twice.cd0), rel=1e-14)
    # the wing as two halves is the wing
    halves = drag.drag_build_up([0.006, 0.006, 0.005], [1.2, 1.2, 1.3], [1.05, 1.05, 1.0], [0.21, 0.21, 0.22], 0.22, 0.002, 0.15)
    assert halves.cd0 == pytest.approx(float(build.cd0), rel=1e-14)
    many = drag.drag_build_up([0.006, 0.005], [1.2, 1.3], [1.05, 1.0], [0.42, 0.22], np.array([0.22, 0.44]), 0.002, 0.15)
    assert many.cd0 == pytest.approx(np.array([build.cd0, twice.cd0]), rel=1e-14)


@pytest.mark.published
def test_tunnel_wing():
    # H. Smith, Aircraft Flight Mechanics: wing 1.70 m by 0.24 m at 20 m/s, forces read every 3 degrees from -6; printed results
    angle = np.radians(np.arange(-6.0, 19.0, 3.0))
    lift = np.array([-25.0, 0.0, 25.0, 50.0, 75.0, 100.0, 125.0, 135.0, 115.0])
    force = np.array([1.9, 1.6, 1.9, 2.8, 4.3, 6.4, 9.1, 13.8, 19.2])
    scale = 0.5 * 1.225 * 20.0**2 * 1.70 * 0.24
    cl, cd = lift / scale, force / scale
    below = angle < np.radians(13.0)
    assert np.polyfit(angle[below], cl[below], 1)[0] == pytest.approx(4.78, rel=1.5e-3)
    assert cl.max() == pytest.approx(1.35, rel=1e-3)
    attached = angle < np.radians(15.0)
    fit = drag.fit_polar(cl[attached], cd[attached])
    assert fit.cd0 == pytest.approx(0.016, rel=3e-3)
    assert fit.induced_factor == pytest.approx(0.048, rel=2e-3)
    assert fit.induced_factor * np.pi * 1.70 / 0.24 == pytest.approx(1.068, rel=1e-3)
    assert (cl / cd).max() == pytest.approx(17.9, rel=3e-3)


@pytest.mark.identity
@given(st.floats(0.01, 0.1), st.floats(0.02, 0.2))
def test_fit_returns_an_exact_polar(cd0, factor):
    cl = np.linspace(-0.2, 1.0, 9)
    fit = drag.fit_polar(cl, drag.drag_coefficient(cl, cd0, factor))
    assert fit.cd0 == pytest.approx(cd0, rel=1e-10)
    assert fit.induced_factor == pytest.approx(factor, rel=1e-10)
    assert fit.residual < 1e-12


@pytest.mark.identity
def test_fit_of_many_sets_and_of_none():
    cl = np.linspace(0.0, 1.0, 5)
    both = drag.fit_polar(cl, np.stack((0.03 + 0.07 * cl**2, 0.05 + 0.06 * cl**2)))
    assert both.induced_factor == pytest.approx(np.array([0.07, 0.06]), rel=1e-10)
    assert np.isnan(drag.fit_polar([0.3, -0.3, 0.3], [0.04, 0.05, 0.06]).induced_factor)


@pytest.mark.identity
def test_induced_factor_of_the_ideal_wing():
    assert drag.induced_factor(5.5, 1.0) * np.pi * 5.5 == pytest.approx(1.0, rel=1e-14)


@pytest.mark.identity
def test_section_table_is_ordered():
    table = tables.read("sections/sections").columns
    assert table["section"] == ["flat", "stepped", "folded", "curved"]
    assert np.all((table["cl_max_low"] <= table["cl_max"]) & (table["cl_max"] <= table["cl_max_high"]))
    assert np.all((table["thickness_low"] <= table["thickness"]) & (table["thickness"] <= table["thickness_high"]))
    # read in Pelletier and Mueller and in Winslow et al.: cambered plates beat flat ones and thick sections at these Reynolds numbers
    assert table["cl_max"][3] == max(table["cl_max"])
    assert table["thickness"][2] == pytest.approx(0.11, rel=1e-12)
