import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from twinkit.physics import flown_profile, pack

CHARGE = np.linspace(1.0, 0.05, 20)
share = st.floats(0.06, 0.99)


@pytest.mark.identity
def test_a_steady_current_is_charge_over_current():
    steady = np.full(CHARGE.size, 12.0)
    found = flown_profile.phase_time(1.0, 0.2, CHARGE, steady, 7920.0)
    assert float(found) == pytest.approx(float(pack.endurance(7920.0, 0.8, 12.0, 0.0)), rel=1e-12)
    assert float(flown_profile.charge_after(1.0, 60.0, CHARGE, steady, 7920.0)) == pytest.approx(1.0 - 720.0 / 7920.0, rel=1e-12)


@pytest.mark.identity
def test_against_an_integral_and_a_differential_equation():
    # two independent routes: adaptive quadrature of Q dc / I, and dc/dt = -I(c)/Q run through time
    law = lambda c: 9.0 + 6.0 * c**3 - 1.5 / (c + 0.2)  # noqa: E731
    wanted = 5400.0 * quad(lambda c: 1.0 / law(c), 0.25, 0.9)[0]
    assert float(flown_profile.phase_time(0.9, 0.25, CHARGE, law(CHARGE), 5400.0)) == pytest.approx(wanted, rel=1e-3)
    run = solve_ivp(lambda t, c: -law(c) / 5400.0, (0.0, 200.0), [0.9], rtol=1e-10, atol=1e-12)
    assert float(flown_profile.charge_after(0.9, 200.0, CHARGE, law(CHARGE), 5400.0)) == pytest.approx(run.y[0, -1], rel=1e-3)


@pytest.mark.identity
@settings(max_examples=60, deadline=None)
@given(a=share, b=share, low=st.floats(0.5, 20.0), rise=st.floats(0.0, 20.0))
def test_round_trip_and_sums(a, b, low, rise):
    current = low + rise * CHARGE
    time = flown_profile.phase_time(a, b, CHARGE, current, 5400.0)
    assert float(flown_profile.charge_after(a, time, CHARGE, current, 5400.0)) == pytest.approx(b, rel=1e-6)
    middle = 0.5 * (a + b)
    parts = flown_profile.phase_time(a, middle, CHARGE, current, 5400.0) + flown_profile.phase_time(middle, b, CHARGE, current, 5400.0)
    assert float(parts) == pytest.approx(float(time), rel=1e-9, abs=1e-9)
    assert (time > 0.0) == (a > b) or abs(a - b) < 1e-12, "two charges a rounding apart take no time"


@pytest.mark.identity
def test_arrays_and_ends():
    current = np.full(CHARGE.size, 10.0)
    times = np.linspace(0.0, 2000.0, 50)
    left = flown_profile.charge_after(1.0, times, CHARGE, current, 5400.0)
    assert left.shape == times.shape and np.all(np.diff(left) <= 0.0) and left[-1] == pytest.approx(0.05)
    both = flown_profile.phase_time([[1.0], [0.8]], [0.5, 0.3, 0.2], CHARGE, current, 5400.0)
    assert both.shape == (2, 3)


def test_a_table_that_is_none():
    with pytest.raises(ValueError, match="charge must be one falling row of at least two charges, and current a row of the same length"):
        flown_profile.phase_time(1.0, 0.5, np.array([0.1, 1.0]), np.array([5.0, 5.0]), 5400.0)
