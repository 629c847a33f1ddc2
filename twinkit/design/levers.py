"""What the build could change so that more is held on one motor: fin, rudder, nacelles, propellers."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.design.one_motor import SIDES, banded
from twinkit.design.yaw import derivatives_of
from twinkit.physics.thrust_mismatch import throttle_for_thrust
from twinkit.quantities import quantity

FIN_STEP = 0.010         # fins and nacelle places tried, metres apart


@dataclass(frozen=True)
class Lever:
    """One change of the build: its name, from and to (SI or words), and the full-throttle control speed, held throttle and climb it makes."""

    name: str
    path: str
    before: object
    after: object
    speed: float
    cap: float
    climb: float


def _fins(height):
    """Fin heights to try: this one, and round ones up to the tallest usual one."""
    most = quantity("wing.fin_height").usual[1]
    first = np.floor(height / FIN_STEP + 1e-6) + 1.0
    return np.concatenate([[height], FIN_STEP * np.arange(first, np.floor(most / FIN_STEP + 1e-6) + 1.0)])


def changes_that_climb(out, wanted):
    """Changes with which the lower end of the climb on one motor reaches `wanted`; None when there are none.

    The smallest usual fin; when none does, the same with the nacelles as close in as they may stand, with propellers that fold, or with both.
    """
    case, side, largest = out.situation, SIDES.index(out.worse), quantity("wing.rudder_share").usual[1]
    heights, own = _fins(case.shape.fin_height), case.shape.rudder_share
    height, share = (x.ravel() for x in np.meshgrid(heights, [share for share in (own, largest) if share > 0.0]))
    closer = np.ceil(out.closest_out / FIN_STEP - 1e-6) * FIN_STEP
    nearer = replace(case, arm=case.arm - (out.nacelle_out - closer))
    fold, shift = {"rudder.dead_propeller": "folded"}, {"wing.nacelle_out": float(closer)}
    for variant, changes in ((case, {}), (nearer, shift), (folded(case), fold), (folded(nearer), shift | fold)):
        if (changes.keys() & shift.keys() and closer >= out.nacelle_out) or (changes.keys() & fold.keys() and case.dead_state == "folded"):
            continue
        tried = (out.approach, out.live_at_approach[-1], side)
        likely = np.flatnonzero(variant.may_climb(height, share, *tried, wanted))
        if not likely.size:
            continue
        low = banded(variant.with_fin(height[likely], share[likely], *tried).T)[1]
        enough = likely[low >= wanted]
        if enough.size:
            best = enough[np.argmin(height[enough] + np.abs(share[enough] - own) * FIN_STEP)]      # the smallest fin, on the rudder there is if that does
            found = {"wing.fin_height": float(height[best]), "wing.rudder_share": float(share[best])}
            now = {"wing.fin_height": case.shape.fin_height, "wing.rudder_share": own}
            return {path: value for path, value in found.items() if value - now[path] > FIN_STEP / 2.0} | changes
    return None


def folded(case):
    """The same with propellers that fold when their motor stops."""
    drag = tables.read("engine_out/dead_propeller")
    return replace(case, dead_coefficient=case.dead_coefficient * drag.row("state", "folded")["drag_coefficient"] / drag.row("state", case.dead_state)["drag_coefficient"],
                   dead_state="folded")


def fin_that_points(out, wanted):
    """Smallest fin height with which the weathercock stability reaches `wanted`; None when no usual fin does."""
    shape = out.situation.shape
    heights = _fins(shape.fin_height)
    enough = np.flatnonzero(derivatives_of(shape.with_fin(heights, shape.rudder_share), out.situation.lift).cn_beta >= wanted)
    return float(heights[enough[0]]) if enough.size else None


def levers(out):
    """What a change of the build does, nominal inputs, the worse side dead: rows of Lever, the build as it is first."""
    case, side = out.situation, np.array([SIDES.index(out.worse)])
    shape = case.shape
    v = shape.values
    share = min(shape.rudder_share + v["lever_rudder"], 1.0) if out.has_rudder else quantity("wing.rudder_share").default
    height = shape.fin_height * (1.0 + v["lever_fin"])
    arm = float(case.arm.mean())
    closer = arm - v["lever_arm"]
    tries = [("as it is", "", None, None, case), ("a larger rudder" if out.has_rudder else "a rudder", "wing.rudder_share", shape.rudder_share, share, replace(case, shape=shape.with_fin(shape.fin_height, share))),
             ("a taller fin", "wing.fin_height", shape.fin_height, height, replace(case, shape=shape.with_fin(height, shape.rudder_share)))]
    if closer > 0.0:
        tries.append(("nacelles closer in", "wing.nacelle_out", arm, closer, replace(case, arm=case.arm - v["lever_arm"])))
    if case.dead_state != "folded":
        tries.append(("propellers that fold", "rudder.dead_propeller", case.dead_state, "folded", folded(case)))
    return tuple(Lever(name, path, before, after, *_tried(out, variant, side)) for name, path, before, after, variant in tries)


def _tried(out, case, side):
    """Full-throttle control speed, held throttle and climb of a changed situation."""
    none, wings_level = np.zeros(1, int), np.zeros(1, bool)
    speed = case.control_speed(out.speeds, out.live[None], side, none, wings_level)[0]
    held = case.holdable(out.approach, out.live_at_approach[-1:], side, none, wings_level).thrust
    return float(speed), float(throttle_for_thrust(held, out.throttles, out.live_at_approach)[0]), float(case.climb(held[0], out.approach, inputs=case.likely)[side[0], 0]) if held[0] > 0.0 else float(case.closed_climb(out.approach)[0])
