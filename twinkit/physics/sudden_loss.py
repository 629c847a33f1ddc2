"""The seconds after one motor stops: motion with and without a reaction of the pilot.

States and signs as in lateral. The pilot is a delay, a rudder thrown to a given angle against the yaw, ailerons moved against
the bank, and the live throttle left alone or cut; the servos turn at a limited rate.
"""
from dataclasses import dataclass

import numpy as np

from twinkit.physics.asymmetric_thrust import dead_side_sign

STEP_SHARES = np.array([[0.0], [0.5], [1.0]])      # start, middle and end of a time step


@dataclass(frozen=True)
class SuddenLossResponse:
    """History after the loss: time (steps,), the rest (cases..., steps); nan after the model's limits are passed.

    Angles in rad, rates in rad/s; the crossing times [s] are nan where a limit is not passed.
    """

    time: np.ndarray
    sideslip: np.ndarray
    roll_rate: np.ndarray
    yaw_rate: np.ndarray
    bank: np.ndarray
    heading: np.ndarray
    rudder: np.ndarray
    aileron: np.ndarray
    sideslip_crossing: np.ndarray
    bank_crossing: np.ndarray


def _crossing(time, size, limit):
    """First time at which size (steps, cases) passes limit (cases), straight between steps; nan if never."""
    over = size > limit
    last = np.maximum(over.argmax(axis=0), 1)
    before, after = (np.take_along_axis(size, k[None], 0)[0] for k in (last - 1, last))
    share = np.divide(limit - before, after - before, out=np.zeros_like(before), where=after > before)
    return np.where(over.any(axis=0), time[last - 1] + share * (time[last] - time[last - 1]), np.nan)


def sudden_loss_response(matrix, inputs, thrust, dead_drag, live_drag, arm, dead_arm, rolling_moment, dead_side, decay_time,
                         pilot_delay, servo_rate, rudder_used, aileron_limit, bank_gain, live_share, sideslip_limit, bank_limit,
                         duration, step):
    """Motion after a sudden loss of one motor in level flight.

    Arguments:
        matrix [object]: system matrix of lateral_system, shape (..., 5, 5)
        inputs [object]: input matrix of lateral_system, shape (..., 5, 4)
        thrust [N]: thrust of each motor before the loss, any shape
        dead_drag [N]: drag of the dead propeller, any shape
        live_drag [N]: drag of the live propeller once its throttle is closed, any shape
        arm [m]: live motor from the CG, sideways, any shape
        dead_arm [m]: dead motor from the CG, sideways, any shape
        rolling_moment [N m]: size of slipstream_roll of one motor at that thrust, any shape
        dead_side [choice]: "left" or "right", one or an array of them
        decay_time [s]: time constant of the dying (or cut) thrust, any shape
        pilot_delay [s]: from the loss to the pilot's first movement; inf for none, any shape
        servo_rate [rad/s]: rate at which surfaces move, any shape
        rudder_used [rad]: size of the effective rudder thrown against the yaw, any shape
        aileron_limit [rad]: greatest aileron angle, any shape
        bank_gain [1]: aileron per bank angle held by the pilot, any shape
        live_share [1]: where the pilot leaves the live motor, from its thrust (1 untouched) to its drag (0 closed), any shape
        sideslip_limit [rad]: sideslip up to which the model is believed (about 20 degrees), any shape
        bank_limit [rad]: bank up to which the model is believed (about 60 degrees), any shape
        duration [s]: length of the history, one number
        step [s]: time step, 0.002 to 0.005, one number
    Returns:
        [rad]: SuddenLossResponse
    Relation: x' = A x + B u with sin(phi) for phi in the side force of weight; fourth-order Runge-Kutta; dead thrust
        T e^(-t/tau) - D (1 - e^(-t/tau)), live thrust T a - D_live (1 - a) with a from 1 to live_share at the same time
        constant; slipstream roll in step with the thrusts; the yawing moment is counted from the trimmed flight before
    Holds for: steady speed, 20 degrees of sideslip and 60 degrees of bank (nan beyond: crossing times tell when)
    Breaks when: step times the fastest root is above 1
    Errs: either way; the inertia, the slipstream and the pilot decide, and each is known within a fifth at best
    Example:
        >>> a = np.array([[-0.68, 0.0, -0.98, 0.82, 0.0], [-62.0, -10.9, 3.8, 0.0, 0.0], [30.0, -1.0, -1.8, 0.0, 0.0],
        ...               [0.0, 1.0, 0.0, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0, 0.0]])
        >>> b = np.array([[0.26, 0.0, 0.0, 0.0], [3.0, 118.0, 27.8, 0.0], [-25.0, -3.6, 0.0, 16.1], [0.0] * 4, [0.0] * 4])
        >>> s = sudden_loss_response(matrix=a, inputs=b, thrust=2.4, dead_drag=0.33, live_drag=0.33, arm=0.22, dead_arm=0.22, rolling_moment=0.2, dead_side="left",
        ...     decay_time=0.1, pilot_delay=0.1, servo_rate=6.1, rudder_used=0.43, aileron_limit=0.02, bank_gain=1.0,
        ...     live_share=0.5, sideslip_limit=0.1, bank_limit=0.07, duration=0.5, step=0.005)
        >>> round(float(s.sideslip_crossing), 2)
        0.4
    Source: [etkin_reid] lateral equations; [lateral_practice] decay, delay, servo rate
    """
    steps = int(round(duration / step))
    time = np.arange(steps + 1) * step
    half = np.arange(2 * steps + 1) * (0.5 * step)
    matrix, inputs = np.asarray(matrix, dtype=float), np.asarray(inputs, dtype=float)
    values = np.broadcast_arrays(thrust, dead_drag, live_drag, arm, dead_arm, rolling_moment, dead_side_sign(dead_side), decay_time, pilot_delay,
                                 servo_rate, rudder_used, aileron_limit, bank_gain, live_share, sideslip_limit, bank_limit,
                                 np.zeros(np.broadcast_shapes(matrix.shape[:-2], inputs.shape[:-2])))
    shape = values[0].shape
    (thrust, drag, live_drag, arm, dead_arm, roll_size, sign, tau, delay, rate, rudder_size, aileron_limit, gain, share, sideslip_limit,
     bank_limit) = (np.asarray(v, dtype=float).reshape(-1) for v in values[:16])
    cases = thrust.size
    a = np.ascontiguousarray(np.broadcast_to(matrix, (*shape, 5, 5)).reshape(cases, 5, 5))
    b = np.broadcast_to(inputs, (*shape, 5, 4)).reshape(cases, 5, 4)

    since = np.maximum(half[:, None] - delay, 0.0)                     # time since the pilot moved, (2 steps + 1, cases)
    left = np.exp(-half[:, None] / tau)                                # share of the dead motor's thrust that is left
    live = share + (1.0 - share) * np.exp(-since / tau)
    rudder = sign * np.minimum(rate * since, rudder_size)
    yawing = sign * (dead_arm * (thrust + drag) * (1.0 - left) - arm * (thrust + live_drag) * (1.0 - live))
    rolling = sign * roll_size * (live - left)
    push = rudder[..., None] * b[:, :, 0] + rolling[..., None] * b[:, :, 2] + yawing[..., None] * b[:, :, 3]
    by_aileron = np.ascontiguousarray(b[:, :, 1])

    state, aileron = np.zeros((cases, 5)), np.zeros(cases)
    states, ailerons = np.empty((steps + 1, cases, 5)), np.empty((steps + 1, cases))
    states[0], ailerons[0] = state, aileron
    work = np.empty((cases, 5))

    def slope(at, forcing):
        work[:] = at
        np.sin(at[:, 3], out=work[:, 3])
        return np.matmul(a, work[:, :, None])[:, :, 0] + forcing

    reach = rate * np.clip(time[1:, None] - delay, 0.0, step)          # how far a servo can turn in each step
    for k in range(steps):
        target = np.minimum(np.maximum(-gain * (state[:, 3] + step * state[:, 1]), -aileron_limit), aileron_limit)
        moved = np.minimum(np.maximum(target - aileron, -reach[k]), reach[k])
        forced = push[2 * k:2 * k + 3] + (aileron + moved * STEP_SHARES)[:, :, None] * by_aileron
        one = slope(state, forced[0])
        two = slope(state + 0.5 * step * one, forced[1])
        three = slope(state + 0.5 * step * two, forced[1])
        four = slope(state + step * three, forced[2])
        state = state + step / 6.0 * (one + 2.0 * (two + three) + four)
        aileron = aileron + moved
        states[k + 1], ailerons[k + 1] = state, aileron

    sideslip_crossing = _crossing(time, np.abs(states[:, :, 0]), sideslip_limit)
    bank_crossing = _crossing(time, np.abs(states[:, :, 3]), bank_limit)
    believed = time[:, None] <= np.fmin(np.fmin(sideslip_crossing, bank_crossing), np.inf)

    def history(rows):
        return np.where(believed, rows, np.nan).T.reshape(*shape, steps + 1)

    return SuddenLossResponse(time, *(history(states[:, :, i]) for i in range(5)), history(rudder[::2]), history(ailerons),
                              sideslip_crossing.reshape(shape), bank_crossing.reshape(shape))
