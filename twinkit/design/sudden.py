"""The seconds after one motor stops: in cruise, in the climb and on leaving the ground, with what the pilot then does; the modes behind them."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.constants import STANDARD_GRAVITY
from twinkit.design import yaw
from twinkit.design.base import Result
from twinkit.design.one_motor import SIDES
from twinkit.physics import asymmetric_thrust, lateral, sudden_loss
from twinkit.physics.air import dynamic_pressure
from twinkit.physics.lateral import LateralModes

PLACES = ("cruise", "climb", "leaving")
# Each reaction after the delay: rudder against the yaw, ailerons against the bank, live throttle closed.
SLOW_STEPS = 2            # a longer time step where many responses are asked: the fastest root still takes six of them
TRIED = np.linspace(0.0, 1.0, 51)     # throttles tried for the one that leaves the pilot his time
REACTIONS = {"none": (False, False, False), "rudder": (True, False, False), "both": (True, True, False), "closed": (False, True, True)}


@dataclass(frozen=True)
class Story:
    """Motion at one place with one reaction, SI: histories are nan beyond what the model is believed for, lost_at tells when it leaves that (None: never)."""

    place: str
    reaction: str
    bank: np.ndarray
    heading: np.ndarray
    sideslip: np.ndarray
    lost_at: float

    @property
    def most_bank(self):
        """Largest bank, size."""
        return float(np.nanmax(np.abs(self.bank)))


@dataclass(frozen=True, kw_only=True)
class Seconds(Result):
    """The seconds after the loss of the side that is worse to lose, SI; speeds, and thrusts of the live motor, for each place."""

    launch: str               # hand: thrown; grass, hard: on its wheels, which hold the wings level
    speeds: dict
    thrusts: dict
    dead: str
    delay: float
    time: np.ndarray
    stories: tuple            # place by place, reaction by reaction
    bank_at_delay: float      # size of the bank in cruise when the pilot first acts; None: the model is left before
    bank_believed: float
    sideslip_believed: float
    second_throttle: float    # largest throttle at approach speed on which a loss stays within what is believed until the pilot acts
    modes: LateralModes       # in cruise and in the climb
    frame: dict               # what the sampled stories start from

    def story(self, place, reaction):
        """One of the stories."""
        return self.stories[PLACES.index(place) * len(REACTIONS) + list(REACTIONS).index(reaction)]


@dataclass(frozen=True, kw_only=True)
class Sampled(Result):
    """The same stories with every uncertain input drawn: share of the draws (places, reactions) that stay within what the model is believed for."""

    draws: int
    kept: np.ndarray


def seconds(g, weight, wing, rudder):
    """The stories; unknown while the places of the packs (inertia) or anything of the balance is not known."""
    g.use(rudder), g.use(weight)
    delay = g("rudder.delay")
    if rudder.situation is None or weight.inertia_xx is None or not g.complete:
        return Seconds.unknown(g)
    case, a = rudder.situation, tables.values("rudder/assumptions")
    rolling = rudder.launch != "hand"
    speeds = {"cruise": rudder.cruise, "climb": max(wing.climb_speed or 0.0, rudder.approach), "leaving": rudder.leave_speed * (a["run_speed"] if rolling else 1.0)}
    live = lambda place, row: float(np.interp(speeds[place], rudder.speeds, row))  # noqa: E731
    thrusts = {"cruise": 0.5 * wing.cruise_drag, "climb": live("climb", rudder.live), "leaving": live("leaving", rudder.live_launch)}
    frame = {"case": case, "dead": rudder.worse, "delay": delay, "rolling": rolling, "cl_max": wing.cl_max, "has_rudder": rudder.has_rudder, "used": rudder.used_effective,
             "inertia": (weight.inertia_xx, weight.inertia_zz, weight.inertia_xz), "speed": np.array([speeds[p] for p in PLACES])[:, None, None],
             "thrust": np.array([thrusts[p] for p in PLACES])[:, None, None]}
    system, found = _motion(frame, a["loss_step"])
    lost = np.fmin(found.sideslip_crossing, found.bank_crossing)
    stories = tuple(Story(place, reaction, found.bank[i, j, 0], found.heading[i, j, 0], found.sideslip[i, j, 0], float(lost[i, j, 0]) if np.isfinite(lost[i, j, 0]) else None)
                    for i, place in enumerate(PLACES) for j, reaction in enumerate(REACTIONS))
    at = float(np.interp(delay, found.time, np.abs(stories[0].bank)))
    v = case.shape.values
    return Seconds(launch=rudder.launch, speeds=speeds, thrusts=thrusts, dead=rudder.worse, delay=delay, time=found.time, stories=stories,
                   bank_at_delay=at if np.isfinite(at) else None, bank_believed=v["bank_believed"], sideslip_believed=v["sideslip_believed"],
                   second_throttle=_second_throttle(frame, rudder, a["loss_step"]), modes=lateral.lateral_modes(system.matrix[:2, 0, 0]), frame=frame, **g.marks())


def sampled(g, seconds):
    """Every uncertain input of the stories drawn together, the same draws for all places and reactions."""
    g.use(seconds)
    if not g.complete:
        return Sampled.unknown(g)
    a, frame = tables.values("rudder/assumptions"), seconds.frame
    values, band, moved = frame["case"].shape.values, tables.read("engine_out/estimate_bands"), frame["case"].moved
    draws = int(a["loss_draws"])
    rng = np.random.default_rng(0)       # the same draws each time: a slider shows what it does, not luck
    near = lambda width: np.maximum(rng.normal(1.0, width, draws), 0.1)  # noqa: E731
    part = lambda name: band.row("part", name)["band"]  # noqa: E731
    wide = tables.ranges("engine_out/assumptions")
    lasting = lambda name: rng.triangular(*(end / wide[name][1] for end in wide[name]), draws)  # noqa: E731
    low, high = (moved["dead propeller"][k] for k in _ends("dead propeller"))
    factors = {"fin": near(part("fin")), "body": near(part("body")), "small": near(part("nacelles")), "rudder": near(values["rudder_band"]),
               "slipstream": near(values["slipstream_band"] / values["slipstream_factor"]), "dead": rng.triangular(low, 1.0, high, draws),
               "thrust": near(float(np.ptp(moved["thrust"][SIDES.index(seconds.dead)]) / 2.0)), "inertia": near(a["inertia_band"]),
               "delay": lasting("pilot_delay"), "decay": lasting("thrust_decay"), "servo": lasting("servo_rate"), "gain": lasting("bank_gain")}
    _, found = _motion(frame, SLOW_STEPS * a["loss_step"], **factors)
    kept = np.isnan(found.sideslip_crossing) & np.isnan(found.bank_crossing)
    return Sampled(draws=draws, kept=kept.mean(axis=-1), **g.marks())


def _second_throttle(frame, rudder, step):
    """Throttles rising from nothing, both motors alike until one stops, nothing done."""
    thrust = np.interp(TRIED, rudder.throttles, rudder.live_at_approach)
    slow = frame | {"speed": np.array([[[rudder.approach]]]), "thrust": thrust[:, None, None], "rolling": False}
    _, found = _motion(slow, SLOW_STEPS * step, {"none": REACTIONS["none"]}, frame["delay"] + SLOW_STEPS * step)
    lost = np.fmin(found.sideslip_crossing, found.bank_crossing)[:, 0, 0] < frame["delay"]
    first = int(np.argmax(lost)) if lost.any() else TRIED.size
    return float(TRIED[max(first - 1, 0)])


def _ends(name):
    """Where the low and the high end of an uncertain input stand among the moved cases."""
    from twinkit.design.one_motor import UNCERTAIN

    at = 1 + 2 * UNCERTAIN.index(name)
    return at + 1, at


def _motion(frame, step, reactions=REACTIONS, duration=None, fin=1.0, body=1.0, small=1.0, rudder=1.0, slipstream=1.0, dead=1.0, thrust=1.0, inertia=1.0, delay=1.0, decay=1.0, servo=1.0, gain=1.0):
    """Lateral system and response, shape (places, reactions, draws); the factors are numbers or (draws,)."""
    case, side, speed = frame["case"], frame["dead"], frame["speed"]
    v, k, a = case.shape.values, SIDES.index(side), tables.values("rudder/assumptions")
    pressure_area = dynamic_pressure(case.density, speed) * case.shape.wing_area
    lift = np.minimum(case.mass * STANDARD_GRAVITY / pressure_area, frame["cl_max"])
    ix, iz, ixz = frame["inertia"]
    d = yaw.derivatives_of(case.shape, lift, fin=fin, rudder=rudder, body=body, small=small)
    system = lateral.lateral_system(d, speed, case.density, case.mass, case.shape.wing_area, case.shape.wing_span, ix * inertia, iz * inertia, ixz * inertia)
    if frame["rolling"]:
        system = _on_wheels(system, lateral.lateral_system(d, speed, case.density, case.mass, case.shape.wing_area, case.shape.wing_span, ix * inertia, iz * inertia, 0.0))
    arm, disk, pull = float(case.arm[k, 0]), float(case.disk[k, 0]), frame["thrust"] * thrust
    drag, live_drag = (case.dead_drag(speed, s) * dead for s in (side, SIDES[1 - k]))
    roll = asymmetric_thrust.slipstream_roll(pull, speed, case.density, lift, disk, case.chord, arm, v["slipstream_factor"] * slipstream)
    needed = np.abs(np.nan_to_num(case.trim(frame["thrust"], speed, side).rudder)) if frame["has_rudder"] else 0.0
    thrown, levelled, closed = (np.array(column)[:, None] for column in zip(*reactions.values()))
    ailerons = case.aileron_limit if np.isfinite(case.aileron_limit) else 0.0
    return system, sudden_loss.sudden_loss_response(
        matrix=system.matrix, inputs=system.inputs, thrust=pull, dead_drag=drag, live_drag=live_drag, arm=arm, dead_arm=float(case.arm[1 - k, 0]), rolling_moment=np.abs(roll), dead_side=side, decay_time=v["thrust_decay"] * decay,
        pilot_delay=frame["delay"] * delay, servo_rate=v["servo_rate"] * servo, rudder_used=np.where(thrown, np.minimum(needed, frame["used"]), 0.0),
        aileron_limit=np.where(levelled, ailerons, 0.0), bank_gain=v["bank_gain"] * gain, live_share=np.where(closed, 0.0, 1.0), sideslip_limit=v["sideslip_believed"],
        bank_limit=v["bank_believed"], duration=duration or a["loss_duration"], step=step)


def _on_wheels(flying, uncoupled):
    """The same with the last place on its wheels: they hold the wings level and do not grip sideways."""
    matrix, inputs = flying.matrix.copy(), flying.inputs.copy()
    matrix[-1], inputs[-1] = uncoupled.matrix[-1], uncoupled.inputs[-1]
    for row in (lateral.STATES.index("roll rate"), lateral.STATES.index("bank")):
        matrix[-1, ..., row, :], inputs[-1, ..., row, :] = 0.0, 0.0
    return replace(flying, matrix=matrix, inputs=inputs)
