"""What the numbers on one motor depend on: bank, travel, fin, rudder, nacelles, the dead propeller; and the fin and rudder that give the wanted margin."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.levers import FIN_STEP, folded
from twinkit.design.one_motor import SIDES, banded
from twinkit.design.yaw import derivatives_of
from twinkit.physics import control_surfaces, engine_out
from twinkit.physics.thrust_mismatch import throttle_for_thrust
from twinkit.quantities import quantity

POINTS = 13               # along one line
MAP = (11, 9)             # fin heights and rudder shares of the map
MOST_BANK = np.radians(8.0)
SHARES = (0.30, 0.40, 0.50, 0.60)


@dataclass(frozen=True)
class Line:
    """Minimum control speed over one input, SI: on full throttle and on the throttle looked at; yours is the build's own value. inf: none."""

    name: str
    values: np.ndarray
    full: np.ndarray
    look: np.ndarray
    yours: float


@dataclass(frozen=True)
class DeadState:
    """One state of the dead propeller: drag coefficient with its band, drag on the approach, full-throttle control speed, throttle held, climb on it; SI."""

    name: str
    low: float
    high: float
    drag: float
    speed: float
    cap: float
    climb: float


@dataclass(frozen=True)
class Needed:
    """Fin height that brings the wanted climb on what is held, most likely values, by rudder share: as it is, nacelles close in, propellers that fold; None: no usual one."""

    share: float
    as_it_is: float
    closer: float
    folded: float


@dataclass(frozen=True, kw_only=True)
class Sizing(Result):
    """SI, the worse side dead, wings level on the used share of the travel except over bank. climb and climb_low over heights (columns) and shares (rows)."""

    lines: tuple
    dead_states: tuple
    heights: np.ndarray
    shares: np.ndarray
    climb: np.ndarray
    climb_low: np.ndarray
    climb_closer: np.ndarray      # most likely, nacelles close in; None where they stand there already
    climb_folded: np.ndarray      # most likely, propellers that fold; None where they do
    weathercock_height: float     # fin height from which the weathercock stability suffices; None: everywhere or nowhere on the map
    wanted: float
    needed: tuple
    closest: float                # nacelle place of the column "close in"

    def line(self, name):
        """The line over one input."""
        return next(line for line in self.lines if line.name == name)


def sizing(g, out):
    """Everything the page tells of sizes; unknown while the balance is, or without anything that could be enlarged."""
    g.use(out)
    wanted, weathercock = g("limits.one_motor_climb"), g("limits.weathercock")
    if not g.complete:
        return Sizing.unknown(g)
    heights = np.linspace(*_span("wing.fin_height", out.situation.shape.fin_height), MAP[0])
    shares = np.linspace(0.20, 0.70, MAP[1])
    fins = np.meshgrid(heights, shares)
    cases = _climbs(out, out.situation, *fins)
    closest = max(np.ceil(out.closest_out / FIN_STEP - 1e-6) * FIN_STEP, 0.0)
    closer, fold = _variants(out, closest)
    likely = lambda case: None if case is None else _climbs(out, case.as_likely(), *fins)[0].reshape(shares.size, -1)  # noqa: E731
    return Sizing(lines=_lines(out), dead_states=_dead_states(out), heights=heights, shares=shares, climb=cases[0].reshape(shares.size, -1),
                  climb_low=banded(cases)[1].reshape(shares.size, -1), weathercock_height=_enough(out, heights, weathercock), wanted=wanted,
                  climb_closer=likely(closer), climb_folded=likely(fold), needed=_needed(out, wanted, closer, fold), closest=float(closest), **g.marks())


def _span(path, own):
    """The usual range of an entry, stretched to hold the build's own value."""
    low, high = quantity(path).usual
    return min(low, 0.9 * own), max(high, 1.1 * own)


def _climbs(out, case, height, share):
    """Climb rates (cases, fins) on what is held at approach speed."""
    return case.with_fin(height.ravel(), share.ravel(), out.approach, out.live_at_approach[-1], SIDES.index(out.worse)).T


def _lines(out):
    """Control speeds over each input that the builder or pilot can choose."""
    case, k = out.situation, SIDES.index(out.worse)
    shape, used = case.shape, out.used_angle / out.throw
    own = case.inputs(k, moved=False)
    plain = {name: (float(np.ravel(x)[0])) for name, x in own.frame.items()} | {"rudder_limit": case.rudder_used, "bank_limit": 0.0}

    def line(name, values, yours, derivatives=None, **frame):
        d = derivatives if derivatives is not None else own.derivatives
        speeds = [engine_out.minimum_control_speed(d, out.speeds, live[None, :], **(plain | frame)).speed for live in (out.live, out.live_look)]
        full, look = (np.where(np.isfinite(np.atleast_1d(x)), x, np.inf) for x in speeds)
        return Line(name, values, full, look, yours)

    banks, throws = np.linspace(0.0, MOST_BANK, POINTS), np.linspace(np.radians(10.0), np.radians(40.0), POINTS)
    heights, shares = np.linspace(*_span("wing.fin_height", shape.fin_height), POINTS), np.linspace(0.20, 0.70, POINTS)
    arms = np.linspace(min(out.closest_out, out.nacelle_out), 1.25 * out.nacelle_out, POINTS)
    return (line("bank", banks, 0.0, bank_limit=banks),
            line("throw", throws, out.throw, rudder_limit=control_surfaces.effective_limit(used * throws)),
            line("fin height", heights, shape.fin_height, derivatives_of(shape.with_fin(heights, shape.rudder_share), case.lift)),
            line("rudder share", shares, shape.rudder_share, derivatives_of(shape.with_fin(shape.fin_height, shares), case.lift)),
            line("nacelles out", arms, out.nacelle_out, arm=arms + float(case.arm[k, 0]) - out.nacelle_out))


def _dead_states(out):
    """Each state of the dead propeller in turn, nominal inputs."""
    drag, case, k = tables.read("engine_out/dead_propeller"), out.situation, np.array([SIDES.index(out.worse)])
    own = drag.row("state", case.dead_state)["drag_coefficient"]
    none, level = np.zeros(1, int), np.zeros(1, bool)
    rows = []
    for name in drag.columns["state"]:
        row = drag.row("state", name)
        other = replace(case, dead_coefficient=case.dead_coefficient * row["drag_coefficient"] / own, dead_state=str(name))
        held = other.holdable(out.approach, out.live_at_approach[-1:], k, none, level).thrust
        climb = other.climb(held[0], out.approach, inputs=other.likely)[k[0], 0] if held[0] > 0.0 else other.closed_climb(out.approach)[0]
        rows.append(DeadState(str(name), row["low"], row["high"], float(other.dead_drag(out.approach, out.worse)),
                              float(other.control_speed(out.speeds, out.live[None], k, none, level)[0]),
                              float(throttle_for_thrust(held, out.throttles, out.live_at_approach)[0]), float(climb)))
    return tuple(rows)


def _enough(out, heights, wanted):
    """Fin height at which the weathercock stability passes what is wanted; None when it does not on this row."""
    shape = out.situation.shape
    stability = derivatives_of(shape.with_fin(heights, shape.rudder_share), out.situation.lift).cn_beta
    return float(np.interp(wanted, stability, heights)) if stability[0] < wanted <= stability[-1] and (np.diff(stability) > 0.0).all() else None


def _variants(out, closest):
    """The situation with the nacelles as close in as they may stand, and with propellers that fold; None where it is so already."""
    case = out.situation
    return (replace(case, arm=case.arm - (out.nacelle_out - closest)) if closest < out.nacelle_out else None,
            folded(case) if case.dead_state != "folded" else None)


def _needed(out, wanted, closer, fold):
    """Smallest usual fin by rudder share, three ways."""
    case, own = out.situation, out.situation.shape.rudder_share
    shares = np.array(sorted({*SHARES, *([round(own, 4)] if own > 0.0 else [])}))
    low, high = quantity("wing.fin_height").usual
    heights = np.arange(np.ceil(low / FIN_STEP - 1e-6), np.floor(high / FIN_STEP + 1e-6) + 1.0) * FIN_STEP
    found = []
    for variant in (case, closer, fold):
        if variant is None:
            found.append([None] * shares.size)
            continue
        climbs = _climbs(out, variant.as_likely(), *np.meshgrid(heights, shares))[0].reshape(shares.size, -1)
        found.append([float(heights[np.argmax(row >= wanted)]) if (row >= wanted).any() else None for row in climbs])
    return tuple(Needed(float(share), *row) for share, row in zip(shares, zip(*found)))
