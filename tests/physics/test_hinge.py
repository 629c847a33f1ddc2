"""Hinge moments: closed forms against quadrature of the load on a flapped thin section, and against its limits."""

import numpy as np
import pytest
from scipy.integrate import quad

from twinkit.physics import hinge


def by_quadrature(share, by_flap):
    """Moment of the load behind the hinge, from the load of thin-section theory written as an infinite series summed in closed form."""
    where = np.arccos(2.0 * share - 1.0)

    def load(t):      # pressure difference over q, for one radian
        plain = 4.0 / np.tan(t / 2.0)
        if not by_flap:
            return plain
        peak = np.log(abs(np.sin((t + where) / 2.0) / np.sin((t - where) / 2.0)))
        return (1.0 - where / np.pi) * plain + 4.0 / np.pi * peak

    moment = lambda t: load(t) * ((1.0 - np.cos(t)) / 2.0 - (1.0 - share)) * np.sin(t) / 2.0  # noqa: E731
    return -quad(moment, where, np.pi, limit=200, points=[where + 1e-6])[0] / share**2


@pytest.mark.identity
@pytest.mark.parametrize("share", [0.1, 0.2, 0.35, 0.45, 0.6, 0.9, 1.0])
def test_slopes_against_quadrature(share):
    b1, b2 = hinge.hinge_slopes(share)
    assert b1 == pytest.approx(by_quadrature(share, False), rel=1e-7)
    assert b2 == pytest.approx(by_quadrature(share, True), rel=1e-6)


@pytest.mark.identity
def test_a_surface_that_moves_whole_has_one_slope():
    # all of the chord behind the hinge: both angles are the same angle, and the load of a plate has its moment -pi/2 about the leading edge
    assert hinge.hinge_slopes(1.0) == pytest.approx([-np.pi / 2.0, -np.pi / 2.0], rel=1e-12)
    assert np.isnan(hinge.hinge_slopes([0.0, -0.1, 1.2])).all()


@pytest.mark.identity
def test_a_vortex_lattice_of_a_flapped_plate_finds_the_same():
    # one vortex at the quarter of each of many panels, the flow held at three quarters; an independent route to both slopes
    panels, share = 2000, 0.35
    edge = np.linspace(0.0, 1.0, panels + 1)
    bound, held = edge[:-1] + 0.25 / panels, edge[:-1] + 0.75 / panels
    wash = 1.0 / (2.0 * np.pi * (held[:, None] - bound))
    for slope, angle in zip(hinge.hinge_slopes(share), (np.ones(panels), (held > 1.0 - share).astype(float))):
        strength = np.linalg.solve(wash, angle)      # over speed
        moment = -np.sum(2.0 * strength * np.maximum(bound - (1.0 - share), 0.0)) / share**2
        assert slope == pytest.approx(moment, rel=4e-3)


@pytest.mark.identity
def test_moment_scales_as_pressure_times_length_times_chord_squared():
    told = dict(speed=20.0, density=1.2, span=0.4, chord=0.04, chord_share=0.35, deflection=0.2, incidence=0.05)
    base = hinge.hinge_moment(**told)
    for name, power in (("speed", 2), ("density", 1), ("span", 1), ("chord", 2)):
        assert hinge.hinge_moment(**(told | {name: 1.5 * told[name]})) == pytest.approx(1.5**power * base, rel=1e-12)
    alone = hinge.hinge_moment(**(told | {"incidence": 0.0})) + hinge.hinge_moment(**(told | {"deflection": 0.0}))
    assert base == pytest.approx(alone, rel=1e-12) and base < 0.0
