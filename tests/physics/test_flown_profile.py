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
    with pytest.raises(ValueError, match="charge must be one falling row of at least two charges, and current must have as many on its last axis"):
        flown_profile.phase_time(1.0, 0.5, np.array([0.1, 1.0]), np.array([5.0, 5.0]), 5400.0)


# --- whole flights ----------------------------------------------------------------------------------------------------------

DURATIONS = np.array([12.0, 40.0, 90.0, np.inf])
AMPS = np.array([22.0, 15.0, 6.0, 7.0])[:, None] * (0.8 + 0.2 * CHARGE)
VOLTS = np.array([10.4, 11.0, 11.6, 11.5])[:, None] - 1.5 * (1.0 - CHARGE) ** 2


@pytest.mark.identity
def test_a_whole_flight_against_a_differential_equation():
    # dc/dt = -I(phase, c)/Q, stopped at each phase's end
    left, time = 1.0, 0.0
    for number, duration in enumerate([12.0, 40.0, 90.0, 200.0]):
        run = solve_ivp(lambda t, c, row=AMPS[number]: -np.interp(-c, -CHARGE, row) / 5400.0, (0.0, duration), [left], rtol=1e-10, atol=1e-12)
        left, time = run.y[0, -1], time + duration
        assert float(flown_profile.charge_in_flight(time, DURATIONS, CHARGE, AMPS, 5400.0)) == pytest.approx(left, rel=1e-4)
        assert float(flown_profile.time_to_charge(left, DURATIONS, CHARGE, AMPS, 5400.0)) == pytest.approx(time, rel=2e-3)


@pytest.mark.identity
@settings(max_examples=60, deadline=None)
@given(wanted=share, factor=st.floats(0.3, 3.0))
def test_time_to_a_charge_and_back(wanted, factor):
    time = flown_profile.time_to_charge(wanted, DURATIONS, CHARGE, factor * AMPS, 5400.0)
    assert float(flown_profile.charge_in_flight(time, DURATIONS, CHARGE, factor * AMPS, 5400.0)) == pytest.approx(wanted, rel=1e-9)


@pytest.mark.identity
def test_many_flights_are_each_as_alone():
    random = np.random.default_rng(3)
    amps, capacity = random.uniform(0.5, 2.0, (30, 1, 1)) * AMPS, random.uniform(3000.0, 9000.0, 30)
    volts, limit = VOLTS - random.uniform(0.0, 1.0, (30, 1, 1)), random.uniform(9.2, 11.0, 30)
    charge = flown_profile.charge_in_flight(random.uniform(0.0, 400.0, 30), DURATIONS, CHARGE, amps, capacity)
    together = (flown_profile.time_to_charge(charge, DURATIONS, CHARGE, amps, capacity), flown_profile.time_to_volts(limit, DURATIONS, CHARGE, amps, volts, capacity))
    alone = [(float(flown_profile.time_to_charge(charge[k], DURATIONS, CHARGE, amps[k], capacity[k])),
              float(flown_profile.time_to_volts(limit[k], DURATIONS, CHARGE, amps[k], volts[k], capacity[k]))) for k in range(30)]
    assert np.array(together).T == pytest.approx(np.array(alone), rel=1e-12)
    assert np.isfinite(together[1]).any() and (together[1] < 52.0).any(), "some trip in the climb"


@pytest.mark.identity
@pytest.mark.parametrize("limit, phase", [(10.398, 0), (10.9, 0), (10.2, None), (9.95, None)])
def test_the_first_time_the_volts_are_met(limit, phase):
    # walked through in steps of a tenth of a second
    found = float(flown_profile.time_to_volts(limit, DURATIONS, CHARGE, AMPS, VOLTS, 5400.0))
    times = np.arange(0.0, 2500.0, 0.1)
    left = flown_profile.charge_in_flight(times, DURATIONS, CHARGE, AMPS, 5400.0)
    number = np.searchsorted(np.cumsum(DURATIONS[:-1]), times, side="right")
    under = np.array([np.interp(-c, -CHARGE, VOLTS[k]) for c, k in zip(left, number)])
    met = np.flatnonzero(under <= limit)
    walked = times[met[0]] if met.size and left[met[0]] > 0.051 else np.inf
    assert found == pytest.approx(walked, abs=0.2)
    assert phase is None or found < DURATIONS[phase]


@pytest.mark.identity
def test_the_receivers_share_ends_a_steady_flight_earlier():
    # by hand: 2200 mAh, 80 per cent, 12 A are 8.800 min; half an ampere for the receiver besides makes it 8.448 min, 21.1 s earlier
    full, charge = 2.2 * 3600, np.linspace(1.0, 0.05, 20)
    steady = np.ones((2, 1, charge.size)) * np.array([12.0, 12.5])[:, None, None]
    alone, with_receiver = flown_profile.time_to_charge(0.2, np.array([np.inf]), charge, steady, full)
    assert alone / 60.0 == pytest.approx(8.8, rel=1e-9) and with_receiver / 60.0 == pytest.approx(8.448, rel=1e-9)
    assert alone - with_receiver == pytest.approx(21.12, rel=1e-9)


@pytest.mark.identity
def test_volts_that_are_never_met():
    assert flown_profile.time_to_volts(5.0, DURATIONS, CHARGE, AMPS, VOLTS, 5400.0) == np.inf
