"""Drag of a flight trimmed sideways."""
import numpy as np
import pytest

from twinkit.physics import sideslip_drag as drag


@pytest.mark.published
def test_a_flap_across_the_stream_is_a_plate():
    # the formula at its end: the whole chord at 90 degrees is a flat plate across the stream, drag coefficient 1.98 in two dimensions
    # (Hoerner, Fluid-Dynamic Drag, from memory); 1.7 is a fit to flaps below 60 degrees, hence 15 per cent
    assert drag.moved_surface_drag(1.0, 1.0, np.radians(90.0)) == pytest.approx(1.98, rel=0.15)


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
