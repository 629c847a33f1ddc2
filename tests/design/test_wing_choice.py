"""Page 05 as a choice: the carpet and the tenths against the page's own numbers worked out anew; sections, polar, lift along the span."""

import numpy as np
import pytest

from builds import build
from twinkit.design.envelope import NUDGE, _Walk
from twinkit.physics import lifting_line

BOTH = pytest.mark.parametrize("name", ["dunlin", "siskin"])
SCALED = {"mass": "weight.mass_measured", "cl_max": "wing.cl_max", "cd0": "wing.cd0"}


def anew(results, **factors):
    """The build with some numbers made larger, worked out from the beginning."""
    now = {"weight.mass_measured": results.wing.mass, "wing.cl_max": results.wing.cl_max, "wing.cd0": results.wing.cd0}
    return results.changed({path: value * factors.get(name, 1.0) for path, value in now.items() for name in SCALED if SCALED[name] == path})


@BOTH
@pytest.mark.identity
def test_the_walk_at_yours_is_your_page(name):
    results = build(name)
    e = results.envelope
    row, column = int(np.argmin(abs(e.masses / results.wing.mass - 1.0))), int(np.argmin(abs(e.spans / results.geometry.span - 1.0)))
    room = {limit.name: limit.room[row, column] for limit in e.limits}
    wing, record = results.wing, results.record
    known = max((k.loading for k in results.start.known_aeroplanes), default=0.0)
    assert room["wing loading"] == pytest.approx(1.0 - wing.loading / max(known, record.value("limits.wing_loading")), rel=1e-9)
    assert room["car"] == pytest.approx(1.0 - results.geometry.span / results.start.longest_piece, rel=1e-9)
    assert room["spar"] == pytest.approx(wing.spar_reserve / 1.5 - 1.0, rel=1e-9)
    assert room["field"] == pytest.approx(1.0 - wing.landing_distance / (0.6 * record.value("start.field_length")), rel=1e-9, abs=1e-9)
    assert room["climb"] == pytest.approx(wing.climb_rate / record.value("limits.climb_rate") - 1.0, rel=0.02)      # another grid of speeds
    assert room["pull ends"] == pytest.approx(wing.zero_over_stall / 2.5 - 1.0, rel=1e-9)
    if name == "siskin":
        assert room["throw"] == pytest.approx(1.0 - wing.launch_lost / 0.5, abs=0.02)
    assert e.open[row, column] == all(value >= 0.0 for value in room.values())


@BOTH
@pytest.mark.identity
@pytest.mark.parametrize("key", list(SCALED))
def test_a_tenth_more_against_the_page_worked_out_anew(name, key):
    results = build(name)
    plain, after = anew(results).wing, anew(results, **{key: 1.0 + NUDGE}).wing
    label = {"mass": "mass", "cl_max": "greatest lift coefficient", "cd0": "drag without lift"}[key]
    shares = next(n for n in results.envelope.nudges if n.name == label).shares
    for what, field, tolerance in (("stall", "stall_speed", 1e-9), ("loading", "loading", 1e-9), ("landing", "landing_distance", 1e-6), ("spar", "spar_reserve", 1e-9),
                                   ("climb", "climb_rate", 0.02), ("top", "top_speed", 0.005)):
        assert shares[what] == pytest.approx(getattr(after, field) / getattr(plain, field) - 1.0, abs=tolerance), what


@pytest.mark.identity
def test_every_limit_of_the_carpet_changes_sides_where_its_check_does():
    results = build()
    walk = _Walk(results.start, results.geometry, results.wing, results.power,
                 {"throw": 7.0, "approach": 1.3, "factor": 5.0})
    heavy = walk(mass=np.array([1.0, 1.47]))
    assert heavy["spar"][0] > 1.5 > heavy["spar"][1] and heavy["spar"][1] == pytest.approx(heavy["spar"][0] / 1.47, rel=1e-12)


@pytest.mark.identity
def test_without_thrust_the_carpet_shows_the_limits_that_need_none():
    e = build(power__left__kv=None).envelope
    assert e.known and {limit.name for limit in e.limits} == {"wing loading", "car", "sheet", "field", "turn", "spar"}
    assert next(n for n in e.nudges if n.name == "mass").shares["climb"] is None
    assert not build("blank").envelope.known and "wing.span" in build("blank").envelope.missing


@BOTH
@pytest.mark.identity
def test_sections_side_by_side_against_builds_of_them(name):
    results = build(name)
    for choice in results.sections.choices:
        other = build(name, {"wing.section": choice.section, "wing.section_thickness": None if not choice.yours else results.geometry.thickness, "weight.mass_measured": results.wing.mass})
        assert choice.stall_speed == pytest.approx(other.wing.stall_speed, rel=1e-9)
        wing_part = next(p.cd0 for p in other.wing.drag_parts if p.name == "wing")
        assert choice.wing_cd0 == pytest.approx(wing_part, rel=1e-9)
        assert choice.board == pytest.approx(other.geometry.wing_board, rel=0.01)      # the fold of another thickness is a round figure
    assert [c.section for c in results.sections.choices if c.yours] == [results.geometry.section]


@BOTH
@pytest.mark.identity
def test_the_marks_lie_on_the_polar_where_calculus_puts_them(name):
    told, wing = build(name).sections, build(name).wing
    marks = {name: (cl, cd) for name, cl, cd, _ in told.marks}
    cl = np.linspace(0.05, 3.0, 200001)
    cd = wing.cd0 + wing.induced_factor * cl**2
    assert marks["flattest glide"][0] == pytest.approx(cl[np.argmax(cl / cd)], rel=1e-3)
    assert marks["least power"][0] == pytest.approx(cl[np.argmax(cl**1.5 / cd)], rel=1e-3)
    assert marks["stall"][0] == pytest.approx(wing.cl_max, rel=1e-12)


@pytest.mark.identity
def test_washout_moves_the_first_stall_inward_and_leaves_the_lift():
    narrowing = {"wing.taper_start": "30 %", "wing.tip_chord": "90 mm"}
    plain, twisted = (build("dunlin", {**narrowing, "wing.washout": angle}).sections for angle in ("0 deg", "4 deg"))
    assert twisted.first_stall < plain.first_stall
    told = build("dunlin", {**narrowing, "wing.washout": "4 deg"})
    assert told.wing.stall_eta == pytest.approx(told.sections.first_stall, rel=1e-12)      # one answer on the page
    assert plain.load == pytest.approx(plain.load_plain, rel=1e-12)
    assert twisted.load[-1] < twisted.load_plain[-1]


@pytest.mark.identity
def test_lift_along_the_span_adds_up_to_the_lift_of_the_wing():
    results = build("dunlin", {"wing.taper_start": "40 %", "wing.tip_chord": "110 mm", "wing.washout": "3 deg"})
    told, shape = results.sections, results.geometry
    theta = lifting_line.collocation_angles(40, "interior")
    eta = np.cos(theta)
    chord = np.interp(eta, [0.0, 0.4, 1.0], [0.19, 0.19, 0.11])
    load = np.interp(eta, told.eta, told.load)
    weights = np.sin(theta) * (np.pi / 2.0 / 40)      # the midpoint rule in theta
    assert np.sum(load * chord * weights) * shape.span == pytest.approx(shape.area, rel=1e-3)
