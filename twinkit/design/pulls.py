"""What the motors pull at every throttle and speed page 06 asks about, from one search: it leans on no fin and no rudder, so moving those finds it done."""

from dataclasses import dataclass

import numpy as np

from twinkit.design.base import Result

THROTTLES = np.linspace(0.0, 1.0, 13)
GRID_SPEEDS = 22
LOWEST_SPEED = 0.4       # where the search for control speeds begins, in stall speeds


@dataclass(frozen=True, kw_only=True)
class Pulls(Result):
    """SI. curves (2, THROTTLES, speeds) and points (2, asked throttles, speeds): thrust of the live motor, left dead first; what the air turns counts as none.

    speeds: GRID_SPEEDS of a grid, then approach, approach over the margin wanted, the speed at which it leaves hand or ground, cruise.
    asked: full throttle, the one looked at, the one it leaves on. standing, cruising, approaching: (left, right) with both alike over THROTTLES.
    """

    look_throttle: float
    launch_throttle: float
    margin: float
    leave_speed: float
    grid: np.ndarray
    speeds: np.ndarray
    curves: np.ndarray
    points: np.ndarray
    standing: tuple
    cruising: tuple
    approaching: tuple


def pulls(g, start, power, wing):
    """Both motors over throttles and speeds, one dead and both running; unknown while the wing or the power is."""
    g.use(start), g.use(power), g.use(wing)
    look, launch, margin = g("rudder.look_throttle"), g("rudder.launch_throttle"), g("limits.engine_out_over_stall")
    throw = g("wing.throw_speed") if start.launch == "hand" else None
    if not g.complete:
        return Pulls.unknown(g)
    leave = throw or wing.approach_speed
    grid = np.linspace(LOWEST_SPEED * wing.stall_speed, float(power.speeds[-1]), GRID_SPEEDS)
    speeds = np.concatenate([grid, [wing.approach_speed, wing.approach_speed / margin, leave, wing.cruise_speed]])
    live, both = _solved(power, np.concatenate([THROTTLES, [1.0, look, launch]]), speeds, [(THROTTLES, x) for x in (0.0, wing.cruise_speed, wing.approach_speed)])
    standing, cruising, approaching = both
    return Pulls(look_throttle=look, launch_throttle=launch, margin=margin, leave_speed=leave, grid=grid, speeds=speeds, curves=live[:, :THROTTLES.size],
                 points=live[:, THROTTLES.size:], standing=standing, cruising=cruising, approaching=approaching, **g.marks())


def _solved(power, throttles, speeds, both):
    """Thrusts from one search over everything that is asked.

    The live motor's (2, throttles, speeds), left dead first; what the air turns counts as no thrust. And left and right with both running alike at the
    (throttles, speeds) of `both`, a list of (left, right).
    """
    column, row = (x.ravel() for x in np.broadcast_arrays(throttles[:, None], speeds))
    still = np.zeros_like(column)
    # on packs of their own the stopped side changes nothing; on a common one it lifts the volts of the other
    blocks = [(still, column, row), (column, still, row)] if power.shared else [(column, column, row)]
    blocks += [(throttle, throttle, np.full_like(throttle, speed)) for throttle, speed in both]
    found = power.solve(*(np.concatenate(parts) for parts in zip(*blocks)))
    left, right = (np.split(np.nan_to_num(p.thrust), np.cumsum([b[0].size for b in blocks])[:-1]) for p in (found.left, found.right))
    live = np.stack([right[0], left[1 if power.shared else 0]]).reshape(2, throttles.size, speeds.size)
    first = 2 if power.shared else 1
    return np.maximum(live, 0.0), list(zip(left[first:], right[first:]))
