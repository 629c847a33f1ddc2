import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import tplquad

from twinkit.physics import mass

FIELDS = ("mass", "x", "y", "z", "ixx", "iyy", "izz", "ixy", "ixz", "iyz")
RNG = np.random.default_rng(3)


def cloud(count=7):
    return dict(mass=RNG.uniform(0.01, 0.3, count), x=RNG.uniform(-0.5, 0.5, count), y=RNG.uniform(-0.5, 0.5, count),
                z=RNG.uniform(-0.1, 0.1, count), length=RNG.uniform(0.0, 0.2, count), width=RNG.uniform(0.0, 0.2, count),
                height=RNG.uniform(0.0, 0.2, count))


def values(found):
    return np.array([float(getattr(found, field)) for field in FIELDS])


@pytest.mark.identity
def test_box_against_triple_integral():
    size = (0.3, 0.2, 0.1)
    box = mass.mass_properties([0.6], [0.1], [-0.2], [0.05], *([extent] for extent in size))
    density = 0.6 / np.prod(size)

    def integral(f):
        return density * tplquad(lambda z, y, x: f(x, y, z), -0.15, 0.15, -0.1, 0.1, -0.05, 0.05)[0]

    assert box.ixx == pytest.approx(integral(lambda x, y, z: y * y + z * z), rel=1e-10)
    assert box.iyy == pytest.approx(integral(lambda x, y, z: x * x + z * z), rel=1e-10)
    assert box.izz == pytest.approx(integral(lambda x, y, z: x * x + y * y), rel=1e-10)
    assert (box.x, box.y, box.z) == (pytest.approx(0.1), pytest.approx(-0.2), pytest.approx(0.05))


@pytest.mark.identity
def test_rod():
    # from memory of any mechanics handbook: an even rod has m l^2 / 12 about its middle and nothing about its axis
    rod = mass.mass_properties([0.2], [0.0], [0.0], [0.0], [0.0], [1.1], [0.0])
    assert (rod.ixx, rod.izz) == (pytest.approx(0.2 * 1.21 / 12, rel=1e-14), pytest.approx(0.2 * 1.21 / 12, rel=1e-14))
    assert rod.iyy == 0.0


@pytest.mark.identity
def test_a_box_is_its_eight_boxes():
    whole = mass.mass_properties([0.8], [0.0], [0.0], [0.0], [0.4], [0.6], [0.2])
    signs = np.array([(i, j, k) for i in (-1, 1) for j in (-1, 1) for k in (-1, 1)], dtype=float)
    parts = mass.mass_properties(0.1, 0.1 * signs[:, 0], 0.15 * signs[:, 1], 0.05 * signs[:, 2], 0.2, 0.3, 0.1)
    assert values(parts) == pytest.approx(values(whole), rel=1e-12, abs=1e-16)


@pytest.mark.identity
def test_datum_does_not_matter():
    items = cloud()
    here = mass.mass_properties(**items)
    there = mass.mass_properties(**(items | dict(x=items["x"] + 2.0, y=items["y"] - 1.0, z=items["z"] + 3.0)))
    assert values(there)[4:] == pytest.approx(values(here)[4:], rel=1e-9, abs=1e-12)
    assert values(there)[1:4] == pytest.approx(values(here)[1:4] + [2.0, -1.0, 3.0], rel=1e-12)


@pytest.mark.identity
def test_mirrored_aeroplane():
    items = cloud()
    here, mirrored = (mass.mass_properties(**(items | dict(y=sign * items["y"]))) for sign in (1.0, -1.0))
    change = np.array([1, 1, -1, 1, 1, 1, 1, -1, 1, -1.0])
    assert values(mirrored) == pytest.approx(values(here) * change, rel=1e-12)
    both = {key: np.concatenate((value, -value if key == "y" else value)) for key, value in items.items()}
    pair = mass.mass_properties(**both)
    assert pair.y == pytest.approx(0.0, abs=1e-16) and pair.ixy == pytest.approx(0.0, abs=1e-15) and pair.iyz == pytest.approx(0.0, abs=1e-15)


@pytest.mark.identity
def test_two_groups_joined_by_the_parallel_axis():
    one, two = cloud(4), cloud(5)
    a, b = mass.mass_properties(**one), mass.mass_properties(**two)
    whole = mass.mass_properties(**{key: np.concatenate((one[key], two[key])) for key in one})
    joined = sum(mass.parallel_axis(part.izz, part.mass, np.hypot(part.x - whole.x, part.y - whole.y)) for part in (a, b))
    assert whole.izz == pytest.approx(float(joined), rel=1e-12)


@pytest.mark.identity
@given(st.floats(1e-4, 1.0), st.floats(0.01, 5.0), st.floats(-2.0, 2.0))
def test_parallel_axis_round_trip(moment, weight, distance):
    away = mass.parallel_axis(moment, weight, distance)
    assert away >= moment
    assert mass.parallel_axis(away, -weight, distance) == pytest.approx(moment, rel=1e-9, abs=1e-12)


@pytest.mark.identity
def test_inertia_is_that_of_a_body():
    found = mass.mass_properties(**{key: np.stack([cloud()[key] for _ in range(20)]) for key in cloud()})
    assert np.all(found.ixx <= found.iyy + found.izz) and np.all(found.iyy <= found.ixx + found.izz)
    assert np.all(found.izz <= found.ixx + found.iyy)
    assert found.mass.shape == (20,)
    assert np.isnan(mass.mass_properties([0.0], [0.0], [0.0], [0.0], [1.0], [1.0], [1.0]).izz)


@pytest.mark.identity
@given(st.floats(0.05, 0.5), st.floats(-0.2, 0.2), st.floats(-0.1, 0.1))
def test_sliding_the_packs_reaches_the_wanted_place(pack, wanted, pack_place):
    weights, places = np.array([0.7, 0.12, pack]), np.array([0.02, -0.3, pack_place])
    now = np.sum(weights * places) / weights.sum()
    places[2] += mass.pack_slide(weights.sum(), pack, now, wanted)
    assert np.sum(weights * places) / weights.sum() == pytest.approx(wanted, rel=1e-9, abs=1e-12)


@pytest.mark.identity
@given(st.floats(-0.2, 0.2), st.floats(-0.2, 0.2), st.floats(-0.6, 0.6))
def test_ballast_reaches_the_wanted_place(now, wanted, place):
    amount = mass.ballast(1.05, now, wanted, place)
    if np.isnan(amount):
        assert (wanted - now) * (place - wanted) <= 0.0
        return
    assert amount >= 0.0
    if amount < 1e6:
        assert (1.05 * now + amount * place) / (1.05 + amount) == pytest.approx(wanted, rel=1e-6, abs=1e-9)


@pytest.mark.identity
def test_ballast_on_the_wrong_side():
    assert np.isnan(mass.ballast(1.0, -0.08, -0.06, -0.3)) and np.isnan(mass.ballast(1.0, -0.08, -0.06, -0.06))
    assert mass.ballast(1.0, -0.06, -0.06, -0.3) == 0.0


@pytest.mark.identity
def test_spread_against_drawn_samples():
    weights, places = np.array([0.3, 0.2, 0.15]), np.array([0.0, -0.3, 0.25])
    dm, dx = np.array([0.006, 0.004, 0.002]), np.array([0.003, 0.005, 0.002])
    drawn = np.random.default_rng(1)
    m, x = drawn.normal(weights, dm, (200_000, 3)), drawn.normal(places, dx, (200_000, 3))
    sampled = np.std((m * x).sum(axis=1) / m.sum(axis=1))
    assert mass.cg_spread(weights, places, dm, dx) == pytest.approx(sampled, rel=0.01)
