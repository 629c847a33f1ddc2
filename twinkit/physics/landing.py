"""Landing with the throttle closed: how much field lies between the fence and the touch-down."""

import numpy as np

from twinkit import constants as const


def landing_glide(height, approach_speed, touch_speed, glide_ratio):
    """Ground covered from a height, flown at the approach speed, to the touch-down at a lower one.

    Arguments:
        height [m]: height over the fence, any shape
        approach_speed [m/s]: speed over the fence, any shape
        touch_speed [m/s]: speed at the touch-down, any shape
        glide_ratio [1]: mean lift over drag on the way, any shape
    Returns:
        [m]: distance over the ground, broadcast shape
    Relation: s = E (h + (Va^2 - Vt^2) / (2 g)), the energy given up over the drag
    Holds for: still air, throttle closed, shallow glide
    Breaks when: glide_ratio <= 0 or touch_speed above approach_speed (returns nan)
    Errs: long, as windmilling propellers and ground effect work against each other and the first is stronger
    Example:
        >>> round(float(landing_glide(height=3.0, approach_speed=11.5, touch_speed=8.9, glide_ratio=7.0)), 1)
        39.9
    Source: [mechanics] energy of height and of speed spent on drag
    """
    height, approach, touch, ratio = np.broadcast_arrays(*(
        np.asarray(value, dtype=float) for value in (height, approach_speed, touch_speed, glide_ratio)))
    ratio = np.where((ratio > 0.0) & (touch <= approach), ratio, np.nan)
    return ratio * (height + (approach**2 - touch**2) / (2.0 * const.STANDARD_GRAVITY))
