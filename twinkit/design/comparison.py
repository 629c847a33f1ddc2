"""The bench held against the prediction that knows nothing of it, and the left side held against the right."""

from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.design import drive_parts
from twinkit.design.base import Ground, Result
from twinkit.design.bench import Reading, SideBench
from twinkit.design.power import solve
from twinkit.physics import beat, thrust_mismatch
from twinkit.quantities import SIDES

QUANTITIES = ("speed", "current", "thrust")
LOWEST_VOLTS = 0.55      # the curves begin at this share of a full pack's resting volts
GRID_VOLTS = 25
THROTTLES = np.linspace(0.0, 1.0, 21)
END_POINT_STEP = 0.01    # transmitters round an end point to whole per cent


@dataclass(frozen=True)
class Against:
    """A loaded reading with what was predicted at its volts: predicted and bands (one-sigma shares) by quantity; off: measured over predicted, less 1."""

    reading: Reading
    predicted: dict
    bands: dict
    off: dict


@dataclass(frozen=True)
class Curve:
    """One side at full throttle, standing, over the volts at its controller; bands are one-sigma shares of the curves, by quantity as the curves are."""

    side: str
    volts: np.ndarray
    curves: dict
    bands: dict
    against: tuple


@dataclass(frozen=True)
class Worst:
    """The reading furthest from its prediction: the quantity, how far off (share), and the one-sigma share of the prediction."""

    quantity: str
    off: float
    band: float
    reading: Reading
    predicted: float


@dataclass(frozen=True)
class Match:
    """Left against right at equal stick, standing, in the aeroplane. difference: right over left, less 1: of rpm, with unlike propellers of the root of thrust.

    by: "rpm" or "thrust". measured: whether both sides were read with the propeller on. beats: a second, None with unlike numbers of blades.
    end_points: what the transmitter gives each side at full stick now; wanted: what makes them equal without the five points of page 06; curve: these are in use.
    """

    by: str
    measured: bool
    stick: tuple
    speed_left: tuple
    speed_right: tuple
    difference: tuple
    beats: tuple
    most_beats: float
    faster: str
    end_points: tuple
    wanted: tuple
    curve: bool
    separate: bool
    throttles: np.ndarray
    speeds_left: np.ndarray
    speeds_right: np.ndarray


@dataclass(frozen=True, kw_only=True)
class Compared(Result):
    """SI. blind: whether the prediction knows nothing of the bench. before, after: one-sigma shares of each side's static thrust without and with it."""

    left: Curve
    right: Curve
    blind: bool
    density: float
    worst: Worst
    before: tuple
    after: tuple
    match: Match

    @property
    def against(self):
        """Loaded readings of both sides against their prediction."""
        return () if self.left is None else self.left.against + self.right.against

    @property
    def apart(self):
        """How far the sides are apart at full stick, share of the left one; None while not known."""
        return None if self.match is None else abs(self.match.difference[1])


def compared(g, bench, power, air, leads):
    """Measured against predicted, and left against right."""
    g.use(bench), g.use(power)
    rpm_match = g("limits.rpm_match")
    entries = {side: g(f"bench.{side}.end_point") for side in SIDES}
    curve, separate = g("rudder.curve") == "five_points", g("power.throttle") == "two_channels"
    if not g.complete:
        return Compared.unknown(g)
    bare = replace(bench, left=SideBench("left"), right=SideBench("right"))
    own = Ground(g.record)
    prior = drive_parts.drives(own, air, leads, bare)
    if prior is not None:
        g.use(Result(**own.marks()))
    density = bench.density or power.density
    made = _curves({side: getattr(prior or power, side) for side in SIDES}, bench, density)
    off = [Worst(q, a.off[q], a.bands[q], a.reading, a.predicted[q]) for c in made.values() for a in c.against for q in QUANTITIES if a.off[q] is not None]
    return Compared(**made, blind=prior is not None, density=density, worst=max(off, key=lambda w: abs(w.off), default=None),
                    before=tuple(_static_band(getattr(prior or power, side), made[side]) for side in SIDES), after=(power.left.band_static, power.right.band_static),
                    match=_match(bench, power, entries, curve, separate, rpm_match), **g.marks())


def _curves(sides, bench, density):
    """Each side's prediction over volts with its bands, and at the volts of its readings."""
    names = [name for name in drive_parts.SOURCES_OF_ERROR if name != "supply"]      # the volts are read at the controller
    loaded = {side: tuple(p for p in getattr(bench, side).points if p.loaded and not p.other and p.volts and p.trouble in ("", "thrust")) for side in SIDES}
    volts = {side: _volts(drive, loaded[side]) for side, drive in sides.items()}
    found = solve(*(_tried(drive, names, volts[side]) for side, drive in sides.items()), False, 1.0, 1.0, 0.0, density)
    return {side: _curve(side, volts[side], loaded[side], getattr(found, side), names) for side in SIDES}


def _volts(drive, loaded):
    """Volts of a side's curve, then those of its readings."""
    read = [p.volts for p in loaded]
    low, high = min([LOWEST_VOLTS * drive.emf_full, *read]), max([drive.emf_full, *read])
    return np.concatenate([np.linspace(low, high, GRID_VOLTS), read])


def _tried(drive, names, volts):
    """A side at these volts, as it is along the first row, then with one number each a standard deviation up."""
    sigma, factors = drive_parts.sigmas(drive, "static"), {name: np.ones((len(names) + 1, 1)) for name in drive_parts.SOURCES_OF_ERROR}
    for row, name in enumerate(names, 1):
        factors[name][row] += sigma[name]
    return replace(drive_parts.moved(drive, factors), emf=np.broadcast_to(volts, (len(names) + 1, volts.size)), supply_resistance=0.0, lead_resistance=0.0)


def _curve(side, volts, loaded, found, names):
    """One side's solved cases as its curve."""
    values = {"speed": found.speed_of_rotation, "current": found.pack_current, "thrust": found.thrust}
    nominal, bands = {q: v[0] for q, v in values.items()}, {q: _band(v, names) for q, v in values.items()}
    cut = lambda of: {q: of[q][:GRID_VOLTS] for q in QUANTITIES}  # noqa: E731
    against = tuple(_against(p, *({q: float(of[q][GRID_VOLTS + k]) for q in QUANTITIES} for of in (nominal, bands))) for k, p in enumerate(loaded))
    return Curve(side, volts[:GRID_VOLTS], cut(nominal), cut(bands), against)


def _band(values, names):
    """One-sigma share of the first row, from the rows in which one number each is off; CT and CP go together."""
    correlation = tables.values("power/assumptions")["ct_cp_correlation"]
    with np.errstate(invalid="ignore", divide="ignore"):      # a side that does not turn has no shares
        share = values[1:] / values[0] - 1.0
    return np.sqrt((share**2).sum(0) + 2.0 * correlation * share[names.index("ct")] * share[names.index("cp")])


def _against(reading, predicted, bands):
    """A reading with its prediction."""
    read = {"speed": reading.speed, "current": reading.amps, "thrust": reading.thrust if not reading.trouble else None}
    return Against(reading, predicted, bands, {q: None if not read[q] or not predicted[q] else read[q] / predicted[q] - 1.0 for q in QUANTITIES})


def _static_band(side, curve):
    """One-sigma share of a side's thrust at the volts of its pack at rest."""
    return float(np.interp(side.emf, curve.volts, curve.bands["thrust"]))


# --- left against right ------------------------------------------------------------------------------------------------------


def _match(bench, power, entries, curve, separate, limit):
    """Both sides over the throttle, and the end points that make them alike."""
    left, right = power.left, power.right
    alike = all(getattr(left, name) == getattr(right, name) for name in drive_parts.SHAPE)
    sticks = np.array([0.5, 1.0])
    given = {side: entries[side] * sticks if separate else sticks for side in SIDES}
    found = power.solve(*(np.concatenate([THROTTLES, given[side]]) for side in SIDES), 0.0)
    now = _speeds_and_pulls(found, slice(THROTTLES.size, None))
    speeds, pulls = _speeds_and_pulls(found, slice(0, THROTTLES.size))
    if curve and separate:
        made = thrust_mismatch.five_point_throttle_curve(THROTTLES, pulls["left"] ** 2, pulls["right"] ** 2, END_POINT_STEP)
        given[str(made.stronger_side)] = entries[str(made.stronger_side)] * np.interp(sticks, thrust_mismatch.CURVE_POINTS, made.outputs)
        now = _speeds_and_pulls(power.solve(*given.values(), 0.0), slice(None))
    turning, pulling = now
    read, ruler = (turning, speeds) if alike else (pulling, pulls)
    with np.errstate(divide="ignore", invalid="ignore"):
        difference = np.where(read["left"] > 0.0, read["right"] / read["left"] - 1.0, np.nan)
    faster = "right" if ruler["right"][-1] >= ruler["left"][-1] else "left"
    slower = "left" if faster == "right" else "right"
    if power.shared:      # the slower side gains as the faster one is throttled
        tried = {slower: np.ones(THROTTLES.size), faster: THROTTLES}
        ruler = _speeds_and_pulls(power.solve(tried["left"], tried["right"], 0.0), slice(None))[0 if alike else 1]
        equal = float(np.interp(0.0, ruler[faster] - ruler[slower], THROTTLES))
    else:
        equal = float(np.interp(ruler[slower][-1], ruler[faster], THROTTLES))
    wanted = {slower: 1.0, faster: END_POINT_STEP * round(equal / END_POINT_STEP)}
    same = left.blades == right.blades
    beats = tuple(float(b) for b in beat.beats_per_second(turning["right"] - turning["left"], left.blades)) if same else None
    return Match(by="rpm" if alike else "thrust", measured=all(getattr(bench, side).loaded for side in SIDES), stick=tuple(map(float, sticks)),
                 speed_left=tuple(map(float, turning["left"])), speed_right=tuple(map(float, turning["right"])), difference=tuple(map(float, difference)), beats=beats,
                 most_beats=float(beat.beats_per_second(limit * min(turning["left"][-1], turning["right"][-1]), left.blades)), faster=faster,
                 end_points=tuple(entries[side] for side in SIDES), wanted=tuple(wanted[side] for side in SIDES), curve=curve and separate, separate=separate,
                 throttles=THROTTLES, speeds_left=speeds["left"], speeds_right=speeds["right"])


def _speeds_and_pulls(found, which):
    """Speeds and roots of thrust of both sides, some cases of a solved array; 0 where a motor stands or is turned by the air."""
    cut = lambda side, name: np.maximum(np.nan_to_num(getattr(getattr(found, side), name)[which]), 0.0)  # noqa: E731
    return {side: cut(side, "speed_of_rotation") for side in SIDES}, {side: np.sqrt(cut(side, "thrust")) for side in SIDES}
