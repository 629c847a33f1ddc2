"""Two propellers heard together: their difference in speed from the beat of their hum."""

import numpy as np


def speed_difference(beats, blades):
    """How far two propellers of as many blades are apart in speed when their hum swells and fades.

    Arguments:
        beats [1/s]: times a second the sound swells, any shape
        blades [1]: blades of each of both propellers, any shape
    Returns:
        [rad/s]: difference of the speeds of rotation, broadcast shape
    Relation: dw = 2 pi beats/blades; in rev/min 60 beats/blades, for the hum of each has the frequency blades n
    Holds for: alike numbers of blades, steady speeds
    Breaks when: the numbers of blades differ (the two hums have no common beat)
    Errs: not at all; an ear counts up to about 5 beats a second, and does not hear which side is faster
    Example:
        >>> round(float(speed_difference(beats=3.0, blades=2)) * 60 / (2 * np.pi), 6)
        90.0
    Source: [beats_identity]
    """
    return 2.0 * np.pi * np.asarray(beats, float) / blades


def beats_per_second(difference, blades):
    """How often a second the hum of two propellers swells at a difference of their speeds.

    Arguments:
        difference [rad/s]: difference of the speeds of rotation, either sign, any shape
        blades [1]: blades of each of both propellers, any shape
    Returns:
        [1/s]: beats a second, broadcast shape
    Relation: blades |dw|/(2 pi), the other way round of speed_difference
    Holds for: as speed_difference
    Breaks when: as speed_difference
    Errs: as speed_difference
    Example:
        >>> round(float(beats_per_second(difference=-18.85, blades=2)), 2)
        6.0
    Source: [beats_identity]
    """
    return np.asarray(blades, float) * np.abs(difference) / (2.0 * np.pi)
