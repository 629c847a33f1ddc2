"""The wiring picture over every layout that can be built: nothing covers anything else, nothing leaves the paper, wires keep off other parts."""

from itertools import combinations

import pytest

from twinkit import tables
from twinkit.circuit.layouts import build, buildable
from twinkit.circuit.mistakes import kinds, of_kind
from twinkit.circuit.nets import nets
from twinkit.design import Results
from twinkit.drawings.wiring import WiringPicture
from twinkit.drawings.wiring_places import Places
from twinkit.quantities import SIDES
from twinkit.record import Record

DEMO = tables.text("demo/dunlin.toml")
SLACK = 0.5  # pixels that rounding may take
PLACEMENTS = ("fuselage", "nacelle")
ENTERED = {
    "as meant": {},
    "all reds in": {f"wiring.{side}.red_lead": "connected" for side in SIDES},
    "all reds out": {f"wiring.{side}.red_lead": "isolated" for side in SIDES},
    "all bare": {f"wiring.{side}.red_lead": "bare" for side in SIDES},
    "no grounds, plugs swapped": {f"wiring.{side}.{name}": value for side in SIDES for name, value in (("ground_kept", False), ("pack_polarity", "swapped"), ("red_lead", "bare"))},
}
LAYOUTS = [one for one in buildable() if one.opto in ((False, False), (True, True))]


# An opto-isolated controller changes one word of the picture: one placement of these is enough.
CASES = [(layout, placement) for layout in buildable() for placement in (PLACEMENTS[:1] if any(layout.opto) else PLACEMENTS)]


def results(layout, entered, placement):
    """The demo build in another layout; red leads are as meant unless entered."""
    record = Record.from_text(DEMO)
    changes = {"power.packs": layout.packs, "power.controllers": layout.controllers, "power.source": layout.source, "leads.placement": placement,
               "power.shared.cells": 3, "power.shared.capacity": "1500 mAh", "weight.shared.pack_behind": "-60 mm"}
    if layout.throttle != "one_channel":
        changes["power.throttle"] = layout.throttle
    if layout.stand_alone_feed != "none":
        changes["power.stand_alone_feed"] = layout.stand_alone_feed
    for side, opto in zip(SIDES, layout.opto):
        record.clear(f"wiring.{side}.red_lead")
        changes[f"wiring.{side}.regulator_kind"] = "none" if opto else "linear"
    for path, value in (changes | entered).items():
        record.set(path, value)
    return Results(record)


# Every kind of mistake, entered in one layout in which it can be made.
MISTAKES = {kind: next(one for one in LAYOUTS if of_kind(kind, "right", build(one))) for kind in kinds()}
TRIED = [({"wiring.mistake": kind, "wiring.mistake_side": "right"}, layout) for kind, layout in MISTAKES.items()]


def label(layout):
    return f"{layout.packs}-{layout.controllers}-{layout.source}-{layout.stand_alone_feed}-{layout.throttle}-{'opto' * sum(layout.opto)}{'-left' if layout.opto == (True, False) else ''}"


def texts(drawing):
    """Every text of the picture with the rectangle it takes, its box included, in pixels."""
    renderer = drawing.figure.canvas.get_renderer()
    found = []
    for text in drawing.axes.texts:
        text.update_bbox_position_size(renderer)
        patch = text.get_bbox_patch()
        box = (patch or text).get_window_extent(renderer)
        found.append((text, box))
    return found


def apart(a, b):
    return a.x1 <= b.x0 + SLACK or b.x1 <= a.x0 + SLACK or a.y1 <= b.y0 + SLACK or b.y1 <= a.y0 + SLACK


def blocks(drawing):
    """The rectangles of the parts, in pixels."""
    to_pixels = drawing.axes.transData
    return {part: (to_pixels.transform((b.x - b.w / 2, b.y - b.h / 2)), to_pixels.transform((b.x + b.w / 2, b.y + b.h / 2))) for part, b in drawing.places.boxes.items()}


def lies_apart(drawing, name):
    """No text lies on another, on a part, or outside the paper."""
    paper = drawing.figure.bbox
    found = texts(drawing)
    for (one, a), (other, b) in combinations(found, 2):
        assert apart(a, b), f"{name}: '{one.get_text()}' lies on '{other.get_text()}'"
    for text, box in found:
        assert box.x0 >= paper.x0 - SLACK and box.x1 <= paper.x1 + SLACK and box.y0 >= paper.y0 - SLACK and box.y1 <= paper.y1, f"{name}: '{text.get_text()}' leaves the paper"
        if text.get_gid() != "label":
            continue
        for part, (low, high) in blocks(drawing).items():
            free = box.x1 <= low[0] + SLACK or high[0] <= box.x0 + SLACK or box.y1 <= low[1] + SLACK or high[1] <= box.y0 + SLACK
            assert free, f"{name}: '{text.get_text()}' lies on the {part}"


@pytest.mark.identity
@pytest.mark.parametrize("layout, placement", CASES, ids=lambda value: value if isinstance(value, str) else label(value))
def test_no_words_cover_others_or_leave_the_paper(layout, placement):
    drawing = WiringPicture()
    thin = any(layout.opto) or (LAYOUTS.index(layout) + PLACEMENTS.index(placement)) % 2  # trouble is entered in every other case
    for name, entered in list(ENTERED.items())[: 1 if thin else None]:
        drawing.update(results(layout, entered, placement))
        assert drawing.places.wiring, name
        lies_apart(drawing, name)


@pytest.mark.identity
@pytest.mark.parametrize("entered, layout", TRIED, ids=lambda value: value["wiring.mistake"] if isinstance(value, dict) else "")
def test_a_mistake_that_is_tried_is_drawn_where_it_is(entered, layout):
    """Every wire is on the paper, also one that should not be there; trouble that a rule sees has its sentence beside it."""
    made = results(layout, entered, "nacelle" if len(entered["wiring.mistake"]) % 2 else "fuselage")
    drawing = WiringPicture.make(made)
    assert made.layout.planted and not made.layout.misfit
    lies_apart(drawing, entered["wiring.mistake"])
    drawn = {line.get_gid() for line in drawing.axes.lines}
    hidden = {wire.id for wire in made.layout.wiring.wires if wire.role == "balance"}  # balance leads are left out of the drawing
    assert {wire.id for wire in made.layout.wiring.wires} - hidden <= drawn
    if entered["wiring.mistake"] != "phases_exchanged":
        assert any(text.get_gid() == "tag" for text in drawing.axes.texts), "nothing points at it"


@pytest.mark.identity
@pytest.mark.parametrize("layout", LAYOUTS, ids=label)
def test_every_wire_is_drawn_and_keeps_off_other_parts(layout):
    for placement in PLACEMENTS:
        wiring = results(layout, {}, placement).layout.wiring
        places = Places(wiring, placement == "nacelle")
        assert set(places.ways) == {wire.id for wire in wiring.wires}
        for wire in wiring.wires:
            way = places.ways[wire.id]
            for part, box in places.boxes.items():
                if part in (wire.a.part, wire.b.part):
                    continue
                for (x0, y0), (x1, y1) in zip(way, way[1:]):
                    meets = min(x0, x1) < box.x + box.w / 2 and max(x0, x1) > box.x - box.w / 2 and min(y0, y1) < box.y + box.h / 2 and max(y0, y1) > box.y - box.h / 2
                    assert not meets, f"{placement}: {wire.id} runs over the {part}"


@pytest.mark.identity
@pytest.mark.parametrize("layout", LAYOUTS, ids=label)
def test_wires_of_different_nets_never_lie_on_each_other(layout):
    """Crossing is allowed, running along in the same place is not."""
    for placement in PLACEMENTS:
        wiring = results(layout, {}, placement).layout.wiring
        places, copper = Places(wiring, placement == "nacelle"), nets(wiring)
        legs = [(wire, a, b) for wire in wiring.wires for a, b in zip(places.ways[wire.id], places.ways[wire.id][1:])]
        for (one, a, b), (other, c, d) in combinations(legs, 2):
            if one is other or copper.same(one.a, other.a):
                continue
            for axis in (0, 1):
                along = 1 - axis
                if a[axis] == b[axis] and c[axis] == d[axis] and abs(a[axis] - c[axis]) < 0.04:
                    overlap = min(max(a[along], b[along]), max(c[along], d[along])) - max(min(a[along], b[along]), min(c[along], d[along]))
                    assert overlap <= 0.0, f"{placement}: {one.id} lies on {other.id}"


@pytest.mark.identity
def test_left_stays_left():
    for layout in LAYOUTS:
        for placement in PLACEMENTS:
            places = Places(results(layout, {}, placement).layout.wiring, placement == "nacelle")
            for part in places.wiring.parts:
                box = places.boxes[part.id]
                assert part.side == "centre" or (box.x < 3.5) == (part.side == "left")


@pytest.mark.pinned
def test_trouble_is_outlined_numbered_and_said():
    record = Record.from_text(DEMO)
    record.set("wiring.left.red_lead", "connected")
    drawing = WiringPicture.make(Results(record))
    assert drawing.title == "Mend 1 thing before any pack goes in (seen from above, nose up)"
    said = [text.get_text().replace("\n", " ") for text in drawing.axes.texts]
    assert any(words.startswith("1 stop: The left controller's regulator and the right controller's regulator both feed the receiver.") for words in said)
    assert [text.get_text() for text in drawing.axes.texts if text.get_gid() == "tag"] == ["1"]
    assert any(patch.get_hatch() for patch in drawing.axes.patches)


@pytest.mark.pinned
def test_a_layout_that_cannot_be_built_says_why():
    record = Record.from_text(DEMO)
    record.set("wiring.right.regulator_kind", "none")
    drawing = WiringPicture.make(Results(record))
    assert drawing.title == "This layout cannot be built"
    assert drawing.axes.texts[0].get_text() == "There is nothing to draw: The right controller is opto-isolated and has no regulator to feed the receiver."
