"""Page 04: mass and balance do not hang on how the list was written: its order, its units, its rows split or mirrored by hand."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builds import build, record
from twinkit.design import Results
from twinkit.record import RecordError, places

pytestmark = pytest.mark.identity
FEW = settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
SUMS = ("mass", "cg_behind", "cg_below", "inertia_xx", "inertia_yy", "inertia_zz", "cg_spread", "mass_high")
part = st.fixed_dictionaries({"name": st.sampled_from(("servo", "lead", "gear")), "mass": st.floats(0.002, 0.2), "count": st.sampled_from((2, 4)),
                              "behind": st.floats(-0.3, 0.6), "out": st.floats(0.0, 0.5), "below": st.floats(-0.1, 0.2), "mirrored": st.sampled_from(("yes", "no")),
                              "origin": st.sampled_from(("weighed", "assumed", "table"))})
lists = st.lists(part, min_size=1, max_size=6)


def sums(rows, **more):
    """What a list sums to, with the CG across."""
    made = record(**more)
    made.set_rows("weight.parts", rows)
    weight = Results(made).weight
    return [getattr(weight, name) for name in SUMS], weight.cg_out


@FEW
@given(rows=lists, random=st.randoms(use_true_random=False))
def test_the_order_does_not_matter(rows, random):
    shuffled = list(rows)
    random.shuffle(shuffled)
    (one, across), (other, there) = sums(rows), sums(shuffled)
    assert other == pytest.approx(one, rel=1e-9) and there == pytest.approx(across, abs=1e-12)


@FEW
@given(rows=lists)
def test_the_units_do_not_matter(rows):
    typed = [{**row, "mass": f"{row['mass'] / 0.028349523125:.12f} oz", "behind": f"{row['behind'] / 0.0254:.12f} in", "out": f"{row['out'] * 100.0:.12f} cm",
              "below": f"{row['below']:.12f} m"} for row in rows]
    (one, across), (other, there) = sums(rows), sums(typed, start__units="imperial")
    assert other == pytest.approx(one, rel=1e-7) and there == pytest.approx(across, abs=1e-9)


@FEW
@given(rows=lists)
def test_mirroring_the_aeroplane_mirrors_its_balance(rows):
    alike = {f"{what.replace('.', f'.{side}.')}": value for what, value in (("power.motor_mass", "53 g"), ("weight.pack_mass", "130 g")) for side in ("left", "right")}
    (one, across), (other, there) = (sums(turned, changes=alike) for turned in (rows, [{**row, "out": -row["out"]} for row in rows]))
    assert other == pytest.approx(one, rel=1e-9) and there == pytest.approx(-across, abs=1e-12)


@FEW
@given(rows=lists)
def test_a_mirrored_row_is_two_rows(rows):
    apart = []
    for row in rows:
        if row["mirrored"] == "no":
            apart.append(row)
        else:
            apart += [{**row, "mirrored": "no", "count": row["count"] // 2, "out": sign * row["out"]} for sign in (1.0, -1.0)]
    (one, across), (other, there) = sums(rows), sums(apart)
    # sums and inertia are the same; the spread is that of two weighings instead of one
    assert other[:6] == pytest.approx(one[:6], rel=1e-9) and there == pytest.approx(across, abs=1e-12)
    assert other[6] <= one[6] * (1.0 + 1e-9) and other[7] <= one[7] * (1.0 + 1e-9)


@FEW
@given(rows=lists, by=st.floats(-0.2, 0.2))
def test_moving_all_parts_moves_the_balance_by_their_share(rows, by):
    made = record()
    made.set_rows("weight.parts", rows)
    before = Results(made).weight
    places.move(made, "weight.parts", range(len(rows)), behind=by)
    after = Results(made).weight
    growth = next(i for i in after.items if i.group == "growth")
    was = next(i for i in before.items if i.group == "growth")
    moved = by * sum(i.mass for i in before.items if i.group == "parts") + growth.mass * (growth.behind - was.behind)
    assert after.mass * after.cg_behind - before.mass * before.cg_behind == pytest.approx(moved, abs=1e-9)
    assert after.mass == pytest.approx(before.mass, rel=1e-12)


def test_the_mirror_image_levels_the_wing():
    made = record()
    made.set_rows("weight.parts", [{"name": "left skid", "mass": "80 g", "out": "-300 mm", "behind": "20 mm", "origin": "weighed"}, {"name": "servo", "mass": "9 g"}])
    assert Results(made).weight.cg_out < -0.02
    places.mirror(made, "weight.parts", 0)
    first, second, third = made.rows("weight.parts")
    assert (second["name"].value, second["out"].value, second["origin"].value) == ("right skid", 0.3, "weighed") and third["name"].value == "servo"
    assert abs(Results(made).weight.cg_out) < 1e-3


@pytest.mark.parametrize("row, said", [({"name": "servo", "mass": "9 g"}, "'servo' lies in the middle and has no mirror image: enter how far out it is first"),
                                       ({"mass": "9 g", "out": "50 mm", "mirrored": "yes"}, "this row stands on both sides already: count both pieces in that row")])
def test_what_has_no_mirror_image_is_told(row, said):
    made = record(weight__parts=[row])
    before = made.text()
    with pytest.raises(RecordError) as refused:
        places.mirror(made, "weight.parts", 0)
    assert str(refused.value) == said and made.text() == before


def test_a_part_moved_off_the_aeroplane_is_refused_and_nothing_moves():
    made = record()
    before = made.text()
    with pytest.raises(RecordError, match="weight.parts row 1 behind: '5.09 m'|weight.parts row 1 behind: .* is outside what is possible"):
        places.move(made, "weight.parts", [0], behind=5.0)
    assert made.text() == before


def test_a_mass_from_the_parts_at_hand_and_a_spread_of_its_own():
    rows = [{"name": "9 g Servo", "count": 2, "behind": "90 mm"}, {"name": "canopy", "mass": "30 g", "spread": "6 g", "origin": "assumed"}]
    weight = build(weight__parts=rows).weight
    servo, canopy = (i for i in weight.items if i.group == "parts")
    assert servo.mass == pytest.approx(0.018) and servo.origin == "parts at hand" and servo.spread == pytest.approx(0.05 * 0.018), "its label says 9 g: 5 per cent"
    assert canopy.spread == pytest.approx(0.006) and weight.without_mass == ()
    weighed = build(weight__parts=rows, start__parts=[{"kind": "servo", "name": "9 g servo", "mass": "9.4 g"}]).weight
    assert next(i for i in weighed.items if i.group == "parts").mass == pytest.approx(2 * 0.0094)
