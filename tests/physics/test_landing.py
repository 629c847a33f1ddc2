import numpy as np
import pytest
from scipy.integrate import solve_ivp

from twinkit.physics.landing import landing_glide

G = 9.80665


@pytest.mark.identity
def test_without_a_change_of_speed_it_is_the_glide():
    assert landing_glide(3.0, 11.0, 11.0, 7.5) == pytest.approx(22.5, rel=1e-14)


@pytest.mark.identity
def test_height_and_speed_count_alike():
    # the height that the speed is worth, v^2 / 2g, is as good as height
    assert landing_glide(0.0, 10.0, 0.0, 6.0) == pytest.approx(landing_glide(100.0 / (2.0 * G), 0.0, 0.0, 6.0), rel=1e-14)


@pytest.mark.identity
def test_against_motion_integrated_in_time():
    # down a slope at constant speed, then level until it is slow enough; drag is the weight over the glide ratio throughout
    ratio, height, fast, slow = 8.0, 3.0, 11.5, 9.0

    def slowed(t, state):
        return state[1] - slow

    run = solve_ivp(lambda t, state: (state[1], -G / ratio), (0.0, 20.0), (0.0, fast), events=slowed, rtol=1e-10)
    assert landing_glide(height, fast, slow, ratio) == pytest.approx(height * ratio + run.y_events[0][0, 0], rel=1e-9)


@pytest.mark.identity
def test_what_is_no_landing_is_not_a_number():
    assert np.isnan(landing_glide(3.0, 9.0, 10.0, 7.0)) and np.isnan(landing_glide(3.0, 10.0, 9.0, 0.0))
