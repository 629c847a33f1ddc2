"""The beat of two propellers against the sound itself."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from twinkit.physics import beat

RPM = 2 * np.pi / 60


@pytest.mark.identity
@pytest.mark.parametrize("blades", [2, 3, 4])
def test_the_beat_of_two_hums_is_what_a_spectrum_of_their_loudness_shows(blades):
    slow, fast, seconds, rate = 8700 * RPM, 8790 * RPM, 20.0, 8000
    time = np.arange(0.0, seconds, 1.0 / rate)
    sound = np.sin(blades * slow * time) + np.sin(blades * fast * time)
    loudness = np.abs(np.fft.rfft(sound**2))
    frequency = np.fft.rfftfreq(time.size, 1.0 / rate)
    low = (frequency > 0.2) & (frequency < 20.0)
    heard = frequency[low][np.argmax(loudness[low])]
    assert float(beat.beats_per_second(difference=fast - slow, blades=blades)) == pytest.approx(heard, abs=0.5 / seconds)


@pytest.mark.identity
def test_sixty_beats_over_the_blades_is_the_difference_in_rpm():
    assert float(beat.speed_difference(beats=3.0, blades=2)) / RPM == pytest.approx(90.0, rel=1e-12)
    assert float(beat.speed_difference(beats=3.0, blades=3)) / RPM == pytest.approx(60.0, rel=1e-12)


@pytest.mark.identity
@settings(max_examples=50, deadline=None)
@given(st.floats(0.01, 50.0), st.integers(2, 4))
def test_there_and_back(beats, blades):
    assert float(beat.beats_per_second(-beat.speed_difference(beats, blades), blades)) == pytest.approx(beats, rel=1e-12)
