"""The seconds after one motor stops: what happens before anybody has noticed, and what rudder or a closed throttle then do."""

from dataclasses import dataclass

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.one_motor import SIDES
from twinkit.physics import lateral, sudden_loss

# Each story: where it is flown, whether the pilot gives the rudder that straight flight takes, levels the wings, closes the throttle after his reaction time.
STORIES = (("cruise", False, False, False), ("cruise", True, True, False), ("cruise", False, True, True), ("slow", False, False, False))


@dataclass(frozen=True)
class Story:
    """Motion in one story, SI: histories are nan beyond what the model is believed for, lost_at tells when it leaves that (None: never)."""

    place: str            # "cruise": level flight; "slow": full throttle at approach speed
    reaction: str         # "none", "rudder" or "throttle"
    bank: np.ndarray
    heading: np.ndarray
    sideslip: np.ndarray
    lost_at: float


@dataclass(frozen=True, kw_only=True)
class Seconds(Result):
    """The seconds after the loss of the side that is worse to lose, SI; speeds and thrusts of the live motor for each place of a story."""

    speeds: dict
    thrusts: dict
    dead: str
    delay: float
    time: np.ndarray
    stories: tuple
    bank_at_delay: float      # size of the bank in cruise when the pilot first acts; None: the model is left before
    bank_believed: float
    sideslip_believed: float


def seconds(g, weight, wing, rudder):
    """The stories; unknown while the places of the packs (inertia) or anything of the balance is not known."""
    g.use(rudder), g.use(weight)
    delay = g("rudder.delay")
    if rudder.situation is None or weight.inertia_xx is None or not g.complete:
        return Seconds.unknown(g)
    case, v, dead = rudder.situation, rudder.situation.shape.values, rudder.worse
    a, k = tables.values("rudder/assumptions"), SIDES.index(rudder.worse)
    speeds, thrusts = {"cruise": rudder.cruise, "slow": rudder.approach}, {"cruise": 0.5 * wing.cruise_drag, "slow": rudder.bad.thrust}
    place, thrown, levelled, closed = (np.array(column) for column in zip(*STORIES))
    speed, thrust = (np.array([values[name] for name in place]) for values in (speeds, thrusts))
    system = lateral.lateral_system(case.nominal, speed, case.density, case.mass, case.shape.wing_area, case.shape.wing_span, weight.inertia_xx, weight.inertia_zz,
                                    weight.inertia_xz)
    rudder_needed = abs(float(np.nan_to_num(case.trim(thrusts["cruise"], rudder.cruise, dead).rudder))) if rudder.has_rudder else 0.0
    ailerons = case.aileron_limit if np.isfinite(case.aileron_limit) else 0.0
    found = sudden_loss.sudden_loss_response(
        matrix=system.matrix, inputs=system.inputs, thrust=thrust, dead_drag=case.dead_drag(speed, dead), arm=float(case.arm[k, 0]),
        rolling_moment=np.abs(case.moments(thrust, speed, dead).rolling), dead_side=dead, decay_time=v["thrust_decay"], pilot_delay=delay, servo_rate=v["servo_rate"],
        rudder_used=np.where(thrown, min(rudder_needed, rudder.used_effective), 0.0), aileron_limit=np.where(levelled, ailerons, 0.0), bank_gain=v["bank_gain"],
        live_share=np.where(closed, 0.0, 1.0), sideslip_limit=v["sideslip_believed"], bank_limit=v["bank_believed"], duration=a["loss_duration"], step=a["loss_step"])
    lost = np.fmin(found.sideslip_crossing, found.bank_crossing)
    stories = tuple(Story(where, "rudder" if by_rudder else "throttle" if off else "none", found.bank[i], found.heading[i], found.sideslip[i],
                          float(lost[i]) if np.isfinite(lost[i]) else None) for i, (where, by_rudder, _, off) in enumerate(STORIES))
    at = float(np.interp(delay, found.time, np.abs(found.bank[0])))
    return Seconds(speeds=speeds, thrusts=thrusts, dead=dead, delay=delay, time=found.time, stories=stories, bank_at_delay=at if np.isfinite(at) else None,
                   bank_believed=v["bank_believed"], sideslip_believed=v["sideslip_believed"], **g.marks())
