import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from twinkit.physics import lifting_line, wing

FULL = 2.0 * np.pi


def rectangle(aspect_ratio, terms, collocation):
    return lifting_line.lifting_line(aspect_ratio, 1.0, 1.0, 1.0, 1.0, FULL, 0.1, 0.0, 0.0, terms=terms, collocation=collocation)


@pytest.mark.published
def test_rectangular_wings_by_four_terms():
    # Glauert, The Elements of Aerofoil and Airscrew Theory, from memory: AR/a0 0.5, 1.0, 1.5 give delta 0.019, 0.049, 0.076
    # and tau 0.10, 0.17, 0.22 (printed to these digits; the four-term solve is good to 0.0007 and 0.003 of them)
    wings = rectangle(FULL * np.array([0.5, 1.0, 1.5]), 4, "classic")
    assert np.abs(wings.delta - [0.0197, 0.0490, 0.0761]).max() < 0.0003
    assert np.abs(wings.delta - [0.019, 0.049, 0.076]).max() < 0.001
    assert np.abs(wings.tau - [0.10, 0.17, 0.22]).max() < 0.004


@pytest.mark.identity
def test_elliptic_wing_is_exact():
    span, root = 1.2, 0.25
    for terms, collocation in ((4, "classic"), (12, "interior"), (40, "interior")):
        theta = lifting_line.collocation_angles(terms, collocation)
        found = lifting_line.lifting_line_stations(span, np.pi * span * root / 4.0, root * np.sin(theta), 5.7, 0.1, 0.0, theta)
        ratio = 4.0 * span / (np.pi * root)
        assert found.lift_slope == pytest.approx(float(wing.lift_slope_prandtl(ratio, 5.7)), rel=1e-12)
        assert abs(found.delta) < 1e-24 and abs(found.tau) < 1e-11
        assert found.cdi == pytest.approx(float(found.cl) ** 2 / (np.pi * ratio), rel=1e-12)
        assert found.unit_cl == pytest.approx(np.ones(terms), rel=1e-10)


def trailing_vortex_slope(aspect_ratio, panels):
    """Independent route: flat horseshoe vortices, downwash summed at the panel middles; slope and delta of a rectangular wing."""
    edge = -np.cos(np.linspace(0.0, np.pi, panels + 1)) * aspect_ratio / 2.0
    middle = -np.cos((np.arange(panels) + 0.5) * np.pi / panels) * aspect_ratio / 2.0
    distance = middle[:, None] - edge[None, :]
    # each strength sheds +G at its left edge and -G at its right edge
    downwash = (1.0 / distance[:, 1:] - 1.0 / distance[:, :-1]) / (4.0 * np.pi)
    strength = np.linalg.solve(np.eye(panels) - np.pi * downwash, np.full(panels, np.pi))  # G = (a0/2) c V (alpha - w/V)
    width = np.diff(edge)
    slope = 2.0 * np.sum(strength * width) / aspect_ratio
    drag = -2.0 * np.sum(strength * (downwash @ strength) * width) / aspect_ratio
    return slope, np.pi * aspect_ratio * drag / slope**2 - 1.0


@pytest.mark.identity
@pytest.mark.parametrize("aspect_ratio", [4.0, 5.5, 8.0])
def test_against_horseshoe_vortices(aspect_ratio):
    found = rectangle(aspect_ratio, 60, "interior")
    slope, delta = trailing_vortex_slope(aspect_ratio, 400)
    assert found.lift_slope == pytest.approx(slope, rel=2e-4)
    assert found.delta == pytest.approx(delta, rel=0.01)


@pytest.mark.identity
def test_converged_from_forty_places():
    ratios = FULL * np.array([0.5, 1.0, 1.5])
    forty, many = rectangle(ratios, 40, "interior"), rectangle(ratios, 120, "interior")
    assert forty.delta == pytest.approx(many.delta, rel=1e-4)
    assert forty.tau == pytest.approx(many.tau, rel=1e-5)


@pytest.mark.pinned
def test_converged_values():
    found = rectangle(np.append(FULL * np.array([0.5, 1.0, 1.5]), [5.5, 6.0]), 40, "interior")
    assert found.delta == pytest.approx(np.array([0.0202, 0.0511, 0.0808, 0.0433, 0.0483]), rel=2e-3)
    assert found.tau == pytest.approx(np.array([0.0990, 0.1659, 0.2168, 0.1511, 0.1607]), rel=1e-3)
    assert found.lift_slope[3:] == pytest.approx(np.array([4.4292, 4.5304]), rel=2e-5)


@pytest.mark.identity
def test_slope_and_factor_agree():
    found = rectangle(5.5, 40, "interior")
    assert wing.lift_slope_glauert(5.5, FULL, found.tau) == pytest.approx(float(found.lift_slope), rel=1e-12)
    assert found.span_efficiency == pytest.approx(1.0 / (1.0 + float(found.delta)), rel=1e-12)


def example(**changes):
    told = dict(span=1.16, root_chord=0.22, break_chord=0.2, tip_chord=0.13, break_fraction=0.5, section_slope=5.7, root_angle=0.08,
                break_washout=0.01, tip_washout=0.04, terms=40, collocation="interior")
    return lifting_line.lifting_line(**(told | changes))


@pytest.mark.identity
def test_lift_is_linear_in_the_angle():
    low, high = example(root_angle=0.03), example(root_angle=0.09)
    assert (high.cl - low.cl) / 0.06 == pytest.approx(float(low.lift_slope), rel=1e-12)
    assert example(root_angle=low.zero_lift_angle).cl == pytest.approx(0.0, abs=1e-14)
    assert low.zero_lift_angle > 0.0  # washout: the root must point up for the wing to lift nothing


@pytest.mark.identity
def test_section_lift_sums_to_the_wing():
    found = example(terms=200)
    chord = wing.chord_along_span(found.eta, 0.22, 0.2, 0.13, 0.5)
    theta = np.arccos(found.eta)
    area = float(wing.wing_geometry(1.16, 0.22, 0.2, 0.13, 0.5, 0.0, 0.0).area)
    # midpoint rule over theta
    total = 2.0 * np.sum(found.section_cl * chord * 0.58 * np.sin(theta)) * (np.pi / 400.0) / area
    assert total == pytest.approx(float(found.cl), rel=1e-4)
    empty = 2.0 * np.sum(found.basic_cl * chord * 0.58 * np.sin(theta)) * (np.pi / 400.0) / area
    assert abs(empty) < 1e-5


@pytest.mark.identity
def test_solution_satisfies_the_section_everywhere():
    # at each place cl = a0 (alpha - downwash), downwash from the trailing sheet of the returned loading by its own sine series
    found = example()
    theta = np.arccos(found.eta)
    chord = wing.chord_along_span(found.eta, 0.22, 0.2, 0.13, 0.5)
    circulation = found.section_cl * chord / (4.0 * 1.16)
    order = np.arange(1, 81, 2)
    terms = 2.0 / 40.0 * np.sin(np.outer(order, theta)) @ circulation
    downwash = np.sum(order[:, None] * terms[:, None] * np.sin(np.outer(order, theta)), axis=0) / np.sin(theta)
    twist = -np.interp(found.eta, [0.0, 0.5, 1.0], [0.0, 0.01, 0.04])
    assert found.section_cl == pytest.approx(5.7 * (0.08 + twist - downwash), rel=1e-8)


@pytest.mark.identity
@settings(max_examples=30)
@given(st.floats(4.0, 12.0), st.floats(0.3, 1.0), st.floats(0.3, 1.0), st.floats(0.05, 0.95))
def test_no_planform_beats_the_ellipse(ratio, middle, tip, joint):
    found = lifting_line.lifting_line(ratio * 0.2, 0.25, 0.25 * middle, 0.25 * middle * tip, joint, 5.7, 0.1, 0.0, 0.0)
    assert found.delta >= 0.0 and 0.0 < found.span_efficiency <= 1.0
    geometry = wing.wing_geometry(ratio * 0.2, 0.25, 0.25 * middle, 0.25 * middle * tip, joint, 0.0, 0.0)
    assert found.lift_slope <= float(wing.lift_slope_prandtl(geometry.aspect_ratio, 5.7)) * (1.0 + 1e-3)


@pytest.mark.identity
def test_batches_give_what_single_wings_give():
    rng = np.random.default_rng(7)
    tips = rng.uniform(0.08, 0.2, (37, 11))
    many = example(tip_chord=tips, terms=12)
    assert many.cl.shape == (37, 11) and many.section_cl.shape == (37, 11, 12)
    one = example(tip_chord=tips[20, 5], terms=12)
    assert many.cl[20, 5] == pytest.approx(float(one.cl), rel=1e-13)
    assert many.section_cl[20, 5] == pytest.approx(one.section_cl, rel=1e-11)


@pytest.mark.identity
def test_bad_wings_are_flagged_and_do_not_spoil_their_neighbours():
    found = example(span=np.array([1.16, -1.0, np.nan]), terms=8)
    assert np.isfinite(found.cl[0]) and np.isnan(found.cl[1:]).all()
    assert np.isnan(example(break_fraction=1.5, terms=8).cl)


@pytest.mark.identity
def test_pointed_tip():
    assert np.isfinite(example(tip_chord=0.0).lift_slope)


@pytest.mark.identity
def test_first_stall():
    # an elliptic wing stalls everywhere at once; washout delays the stall of a tapered tip
    assert lifting_line.wing_cl_max(np.zeros(5), np.ones(5), 1.1) == pytest.approx(1.1, rel=1e-14)
    plain, washed = example(tip_chord=0.08, break_washout=0.0, tip_washout=0.0), example(tip_chord=0.08, break_washout=0.0, tip_washout=0.02)
    tops = [float(lifting_line.wing_cl_max(w.basic_cl, w.unit_cl, 1.1)) for w in (plain, washed)]
    assert tops[1] > tops[0]
    peak = plain.eta[np.argmax(plain.unit_cl)]
    assert peak > 0.5
    # common practice, no source: a rectangular wing reaches about nine tenths of its section's greatest lift
    box = rectangle(5.5, 40, "interior")
    assert lifting_line.wing_cl_max(box.basic_cl, box.unit_cl, 1.0) == pytest.approx(0.90, rel=0.04)
    assert np.isnan(lifting_line.wing_cl_max(np.zeros(3), -np.ones(3), 1.0))


@pytest.mark.identity
def test_errors():
    with pytest.raises(ValueError, match="^collocation is 'even'; allowed are 'interior' and 'classic'$"):
        lifting_line.collocation_angles(4, "even")
    with pytest.raises(ValueError, match="^terms is 0; at least one term is needed$"):
        lifting_line.collocation_angles(0, "classic")
    with pytest.raises(ValueError, match="^chord has 3 places on its last axis; theta has 4$"):
        lifting_line.lifting_line_stations(1.0, 0.2, [0.2, 0.2, 0.2], 5.7, 0.1, 0.0, lifting_line.collocation_angles(4, "classic"))
