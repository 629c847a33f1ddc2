"""Drag of a flight trimmed sideways."""
import numpy as np
import pytest

from twinkit.physics import sideslip_drag as drag


@pytest.mark.identity
def test_moved_surface_by_hand_within_its_range():
    # 1.7 (c_f/c)^1.38 sin^2(angle) by logarithms: 0.2^1.38 = 0.10850, 0.4^1.38 = 0.28238; sin^2 of 30 degrees 0.25, of 60 degrees 0.75
    assert drag.moved_surface_drag(np.array([0.2, 0.4]), 1.0, np.radians(30.0)) == pytest.approx([1.7 * 0.10850 * 0.25, 1.7 * 0.28238 * 0.25], rel=1e-4)
    assert drag.moved_surface_drag(0.2, 0.5, np.radians(60.0)) == pytest.approx(1.7 * 0.10850 * 0.75 / 2.0, rel=1e-4)
    # twice the chord share is 2^1.38 = 2.603 times the drag: the exponent alone
    assert drag.moved_surface_drag(0.4, 1.0, 0.3) / drag.moved_surface_drag(0.2, 1.0, 0.3) == pytest.approx(2.603, rel=1e-3)


@pytest.mark.identity
def test_moved_surface_limits():
    angles = np.radians(np.linspace(-40.0, 40.0, 81))
    found = drag.moved_surface_drag(0.45, 0.11, angles)
    assert found == pytest.approx(found[::-1], rel=1e-12) and found.min() == 0.0
    assert drag.moved_surface_drag(0.0, 0.11, 0.3) == 0.0 and np.isnan(drag.moved_surface_drag(-0.1, 0.11, 0.3))
    assert drag.moved_surface_drag(0.45, np.array([[0.1], [0.2]]), np.array([0.1, 0.2, 0.3])).shape == (2, 3)


@pytest.mark.identity
def test_fin_induced_drag_is_that_of_any_wing():
    # the fin as a wing of its own: C_Li^2/(pi AR) on its own area, then referred to the wing
    area, wing, ratio, force = 0.024, 0.22, 2.33, 0.035
    own = (force * wing / area) ** 2 / (np.pi * ratio)
    assert drag.fin_induced_drag(force, area / wing, ratio) == pytest.approx(own * area / wing, rel=1e-12)
    assert drag.fin_induced_drag(-force, area / wing, ratio) == drag.fin_induced_drag(force, area / wing, ratio)


@pytest.mark.identity
def test_body_force_leans_back_by_the_sideslip():
    # a force F at right angles to the body: its part along the path is F sin(beta); F itself is -CYbeta beta
    beta = np.radians(np.array([-12.0, 0.0, 5.0, 12.0]))
    force = 0.205 * beta
    assert drag.body_sideslip_drag(-0.205, beta) == pytest.approx(force * np.sin(beta), rel=1e-12, abs=1e-15)
    assert (drag.body_sideslip_drag(-0.205, beta) >= 0.0).all()
