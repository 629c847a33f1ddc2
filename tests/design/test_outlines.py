"""The foam parts: closed outlines, one source of areas with page 04, the fold of a folded wing; the cutting plan against a shelf order."""

import math

import numpy as np
import pytest
from matplotlib.path import Path

from builds import build
from twinkit.design.cutting import cutting_plan
from twinkit.design.outlines import Outline, fold_allowance, polygon_area, polygon_middle, rectangle

SHAPES = {
    "dunlin": ("dunlin", {}), "siskin": ("siskin", {}), "flat": ("dunlin", {"wing.section": "flat"}), "curved": ("dunlin", {"wing.section": "curved"}),
    "narrowing": ("dunlin", {"wing.taper_start": "40 %", "wing.tip_chord": "120 mm"}), "narrowing from the root": ("dunlin", {"wing.taper_start": "0 %", "wing.tip_chord": "110 mm"}),
    "narrowing, stepped": ("siskin", {"wing.taper_start": "50 %", "wing.tip_chord": "100 mm"}), "board spar": ("dunlin", {"wing.spar_kind": "board"}),
    "box": ("dunlin", {"wing.fuselage_tail": "100 %"}),
}
EVERY = pytest.mark.parametrize("name", SHAPES)


def shaped(name):
    base, changes = SHAPES[name]
    return build(base, changes)


def crossing(a, b, c, d):
    side = lambda p, q, r: (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])  # noqa: E731
    return side(a, b, c) * side(a, b, d) < 0.0 and side(c, d, a) * side(c, d, b) < 0.0


@EVERY
@pytest.mark.identity
def test_every_outline_closes_and_no_edge_crosses_another(name):
    for part in shaped(name).geometry.outlines:
        corners = part.corners
        edges = list(zip(corners, (*corners[1:], corners[0])))
        assert len(corners) >= 3 and all(math.dist(*edge) > 1e-6 for edge in edges), part.name
        assert not any(crossing(*one, *other) for k, one in enumerate(edges) for other in edges[k + 2:]), part.name
        for meaning, line in part.lines:
            assert Path(corners).contains_point(np.mean(line, axis=0)), f"the {meaning} line of the {part.name} lies off the part"


@EVERY
@pytest.mark.identity
def test_areas_by_counting_grains(name):
    # the shoelace formula against a fine grid of points inside the outline
    for part in shaped(name).geometry.outlines:
        corners = np.asarray(part.corners)
        low, high = corners.min(axis=0), corners.max(axis=0)
        x, y = (np.linspace(a, b, 161)[:-1] + (b - a) / 320 for a, b in zip(low, high))
        grains = np.array([g.ravel() for g in np.meshgrid(x, y)]).T
        inside = Path(corners).contains_points(grains)
        assert part.area / part.pieces == pytest.approx(inside.mean() * np.prod(high - low), rel=8e-3), part.name
        assert polygon_middle(corners) == pytest.approx(grains[inside].mean(axis=0), abs=4e-3 * np.ptp(corners))


@EVERY
@pytest.mark.identity
def test_what_is_cut_is_what_page_04_weighs(name):
    # stated wish: part areas equal those behind the masses within 0.1 per cent; both are one source, so rounding is what is left
    results = shaped(name)
    sheet = results.record.value("weight.sheet_mass")
    items = {item.name.split(" (")[0]: item for item in results.weight.items if item.group == "foam"}
    assert set(items) == {o.name for o in results.geometry.outlines}
    for part in results.geometry.outlines:
        assert items[part.name].mass / sheet == pytest.approx(polygon_area(part.corners) * part.pieces, rel=1e-9)


@pytest.mark.identity
def test_a_folded_wing_unfolds_to_two_skins_and_the_nose():
    results = build(wing__dihedral="0 deg")
    part, = (o for o in results.geometry.outlines if o.name == "wing half")
    upper = 0.19 * (math.hypot(0.30, 0.11) + math.hypot(0.70, 0.11))      # straight from the nose to the spar and on to the trailing edge
    assert part.length == pytest.approx(0.58, rel=1e-12)
    assert part.width == pytest.approx(0.19 + upper + (math.pi - 2.0) * 0.005, rel=1e-9)
    assert build(wing__fold="9 mm").geometry.wing_board - build(wing__fold="4 mm").geometry.wing_board == pytest.approx(
        2 * 0.005 * 0.58 / math.cos(math.radians(2.0)), rel=1e-9)


@pytest.mark.identity
def test_the_fold_follows_the_outer_paper():
    # two boards of thickness t on each other: the half circle of radius t round them, less the two radii it stands ahead of the skins
    assert fold_allowance(0.005) == pytest.approx(math.pi * 0.005 - 2 * 0.005, rel=1e-12)


@pytest.mark.identity
@pytest.mark.parametrize("start, tip", [("0 %", "110 mm"), ("40 %", "120 mm"), ("75 %", "90 mm")])
def test_the_skins_of_a_narrowing_wing_are_images_of_each_other(start, tip):
    results = build(wing__taper_start=start, wing__tip_chord=tip, wing__dihedral="0 deg")
    shape, longer = results.geometry, math.hypot(0.30, 0.11) + math.hypot(0.70, 0.11)
    halves = [o for o in shape.outlines if o.group == "wing"]
    assert len(halves) == (1 if start == "0 %" else 2)
    skins = sum(o.area for o in halves) - sum(2 * fold_allowance(0.005) * math.dist(*o.lines[0][1]) for o in halves)
    assert skins == pytest.approx(shape.area * (1.0 + longer), rel=1e-9)


@pytest.mark.identity
def test_the_fin_keeps_its_mean_chord_and_its_arm():
    results = build()
    fin, = (o for o in results.geometry.outlines if o.name == "fin")
    assert fin.area == pytest.approx(0.185 * 0.130, rel=1e-12)
    root, tip, back = 1.25 * 0.13, 0.75 * 0.13, max(y for _, y in fin.corners)
    height = np.linspace(0.0, 0.185, 4001)
    chord = root + (tip - root) * height / 0.185
    mac = np.trapezoid(chord**2, height) / np.trapezoid(chord, height)
    front = 0.25 * 0.19 + 0.51 - 0.25 * mac      # leading edge of its mean chord
    assert fin.behind - polygon_middle(fin.corners)[1] + back - mac == pytest.approx(front, abs=2e-6)


@pytest.mark.identity
def test_lid_and_floor_lie_between_the_sides():
    parts = {o.name: o for o in build().geometry.outlines}
    assert parts["fuselage lid"].width == pytest.approx(0.080 - 2 * 0.005, rel=1e-12)
    assert parts["fuselage floor"].length == pytest.approx(0.425 + math.hypot(0.405, 0.095 * 0.45), rel=1e-12)      # the belly rises behind the wing


def shelves(sizes, length, width, gap):
    """A shelf order as it is done by hand: highest first, side by side while there is room, then a new shelf, then a new sheet."""
    sheets, foot, high, along = 1, 0.0, 0.0, 0.0
    for long, wide in sorted(((max(s), min(s)) for s in sizes), key=lambda s: (-s[1], -s[0])):
        if along and along + long > length:
            foot, high, along = foot + high + gap, 0.0, 0.0
        if foot + wide > width:
            sheets, foot, high, along = sheets + 1, 0.0, 0.0, 0.0
        high, along = max(high, wide), along + long + gap
    return sheets


@pytest.mark.identity
def test_no_more_sheets_than_a_shelf_order_on_two_hundred_lists():
    rng, better = np.random.default_rng(5), 0
    for _ in range(200):
        count = rng.integers(3, 40)
        sizes = list(zip(rng.uniform(0.03, 0.98, count), rng.uniform(0.03, 0.45, count)))
        parts = [Outline(f"part {k}", "wing", rectangle(*size), 1, False, 0.0, 0.0, 0.0, (0.0, 0.0, 0.0)) for k, size in enumerate(sizes)]
        found, by_hand = cutting_plan(parts, 1.0, 0.7, 0.006).sheets, shelves(sizes, 1.0, 0.7, 0.006)
        assert found <= by_hand, sizes
        better += found < by_hand
    assert better > 100


@pytest.mark.identity
def test_parts_are_laid_inside_their_rectangles_whichever_way_they_lie():
    results = build()
    shapes = {o.name: np.asarray(o.corners) for o in results.geometry.outlines}
    for piece in results.wing.cutting.pieces:
        corners = shapes[piece.name] - shapes[piece.name].min(axis=0)
        laid = piece.placed(corners)
        assert laid.min(axis=0) == pytest.approx((piece.along, piece.across), abs=1e-12)
        assert np.ptp(laid, axis=0) == pytest.approx((piece.extent_along, piece.extent_across), rel=1e-12)
        hand = [np.linalg.det(np.diff(points, axis=0)[:2]) for points in (laid, corners)]
        assert (hand[0] * hand[1] < 0) == piece.turned_over      # a part turned over is its mirror image, a turned one is not


@pytest.mark.identity
def test_a_long_list_of_small_parts_is_packed_tightly():
    parts = [Outline(f"part {k}", "wing", rectangle(0.2, 0.1), 1, False, 0.0, 0.0, 0.0, (0.0, 0.0, 0.0)) for k in range(35)]
    plan = cutting_plan(parts, 1.0, 0.7, 0.0)
    assert plan.sheets == 1 and plan.used == pytest.approx(1.0, rel=1e-9)
