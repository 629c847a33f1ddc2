"""The foam parts with their outlines: the one source of what is cut, drawn full size, laid on sheets and weighed on page 04."""

from dataclasses import dataclass

import numpy as np

STEP_SHARE = 0.5          # share of the chord doubled by the step of a stepped board
SPINNER_LENGTH = 0.02     # from the propeller's plane back to the nacelle's front [m]
NARROWS_BEHIND = 0.02     # the fuselage narrows from this far behind the wing's trailing edge [m]
FIN_TAPER = (1.25, 0.75)  # root and tip chord of the fin over its mean chord
FOLD, HINGE, SPAR = "fold", "hinge", "spar"      # what the lines on a part mean


@dataclass(frozen=True)
class Outline:
    """A foam part as it is cut: a closed outline, pieces of it, and the place of its middle (one of a mirrored pair stands out to the right).

    corners: (along, across) one after the other [m], the last joined to the first. lines: (meaning, (from, to)) drawn on the part.
    extents: how far the part reaches on the aeroplane along, across and up, once it is folded and glued.
    """

    name: str
    group: str
    corners: tuple
    pieces: int
    mirrored: bool
    behind: float
    out: float
    below: float
    extents: tuple
    lines: tuple = ()

    @property
    def area(self):
        """Board used by all its pieces [m^2]."""
        return polygon_area(self.corners) * self.pieces

    @property
    def length(self):
        """Room it takes along [m]."""
        return float(np.ptp(np.asarray(self.corners)[:, 0]))

    @property
    def width(self):
        """Room it takes across [m]."""
        return float(np.ptp(np.asarray(self.corners)[:, 1]))


def polygon_area(corners):
    """Area inside a closed outline [m^2]."""
    x, y = np.asarray(corners, dtype=float).T
    return float(abs(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2.0)


def polygon_middle(corners):
    """Middle of the area inside a closed outline."""
    x, y = np.asarray(corners, dtype=float).T
    cross = x * np.roll(y, -1) - np.roll(x, -1) * y
    return tuple(float(np.sum((w + np.roll(w, -1)) * cross) / (3.0 * np.sum(cross))) for w in (x, y))


def rectangle(length, width):
    """A rectangle from one corner."""
    return ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))


def fold_allowance(board):
    """Board that a fold round the nose takes beyond the two skins: the outer paper runs a half circle over two boards, not straight across them [m]."""
    return (np.pi - 2.0) * board


def outlines(wing, fuselage, tail, nacelle, spar):
    """The foam parts of an aeroplane; each argument is a dict of sizes by their names in the register (SI)."""
    return (*_wing(wing), *_spar(spar, wing), *_fuselage(fuselage, wing), *_tail(tail, fuselage, wing), *_nacelle(nacelle))


def panels(wing):
    """The pieces of a wing half seen from above: (name, where it begins and ends out from the middle, leading edge and chord at both ends)."""
    half, chord, tip, start = wing["span"] / 2.0, wing["chord"], wing["tip_chord"], wing["taper_start"]
    joint, setback = start * half, (chord - tip) / 2.0
    straight = tip == chord
    rows = (("wing half, inner", 0.0, joint, (0.0, 0.0), (chord, chord)), ("wing half, outer", joint, half, (0.0, setback), (chord, tip)))
    if straight or start >= 1.0:
        return (("wing half", 0.0, half, (0.0, 0.0), (chord, chord)),)
    return tuple(row for row in rows if row[2] - row[1] > 1e-9) if start > 0.0 else (("wing half", *rows[1][1:]),)


def _wing(wing):
    """The board of a wing half, piece by piece: one skin, or both skins unfolded about the nose, and the doubling of a stepped board."""
    section, found, longer = wing["section"], [], 1.0 / np.cos(wing["dihedral"])
    for name, inner, outer, front, chords in panels(wing):
        run = (outer - inner) * longer
        plan = ((inner, front[0]), (outer, front[1]), (outer, front[1] + chords[1]), (inner, front[0] + chords[0]))
        out, behind = polygon_middle(plan)
        place = {"pieces": 2, "mirrored": True, "behind": behind, "out": out, "below": 0.0}
        extents = (sum(chords) / 2.0, outer - inner, 0.0)
        spar = tuple((run * k, f + wing["spar_place"] * c) for k, (f, c) in enumerate(zip(front, chords)))
        if section == "folded":
            corners, lines = _unfolded(run, front, chords, wing)
        else:
            stretch = 1.0 + 8.0 / 3.0 * wing["camber"] ** 2 if section == "curved" else 1.0      # a shallow arc over its chord
            corners = ((0.0, front[0]), (run, front[1]), (run, front[1] + stretch * chords[1]), (0.0, front[0] + stretch * chords[0]))
            lines = ((SPAR, spar),)
        found.append(Outline(name, "wing", corners, extents=extents, lines=lines, **place))
        if section == "stepped":
            step = ((0.0, front[0]), (run, front[1]), (run, front[1] + STEP_SHARE * chords[1]), (0.0, front[0] + STEP_SHARE * chords[0]))
            aside, aft = polygon_middle(step)
            found.append(Outline(name.replace("wing half", "wing step"), "wing", step, extents=(STEP_SHARE * extents[0], *extents[1:]),
                                 **(place | {"behind": aft, "out": inner + aside / longer})))
    return found


def _unfolded(run, front, chords, wing):
    """Both skins laid flat about the leading edge: the lower one true to the plan, the strip round the nose, the upper one as its image, longer by the rise to the spar."""
    sweep = np.arctan2(front[1] - front[0], run)
    high, crest = wing["thickness"], wing["spar_place"]
    longer = np.hypot(crest, high) + np.hypot(1.0 - crest, high)
    nose, edge = wing["fold"], run / np.cos(sweep)
    rear = [(k * edge + c * np.sin(sweep), c * np.cos(sweep)) for k, c in enumerate(chords)]
    lower, upper = rear, [(along, -nose - longer * back) for along, back in rear]
    corners = (lower[0], lower[1], (edge, 0.0), (edge, -nose), upper[1], upper[0], (0.0, -nose), (0.0, 0.0))
    on = lambda share, side: tuple((k * edge + share * c * np.sin(sweep), side(share * c * np.cos(sweep))) for k, c in enumerate(chords))  # noqa: E731
    lines = [(FOLD, ((0.0, 0.0), (edge, 0.0))), (FOLD, ((0.0, -nose), (edge, -nose))), (SPAR, on(crest, lambda back: back)),
             (FOLD, on(crest, lambda back: -nose - back * np.hypot(crest, high) / crest))]
    return _plain(corners), tuple((kind, _plain(ends)) for kind, ends in lines)


def _plain(points):
    return tuple((float(x), float(y)) for x, y in points)


def _spar(spar, wing):
    """A spar of doubled board stands on edge; two boards in each half."""
    if spar["kind"] != "board" or spar["end"] <= 0.0:
        return ()
    run = spar["end"] / np.cos(wing["dihedral"])
    return (Outline("spar board", "spar", rectangle(float(run), spar["depth"]), 4, True, wing["spar_place"] * wing["chord"], spar["end"] / 2.0, 0.0,
                    (0.0, spar["end"], spar["depth"])),)


def _fuselage(fuselage, wing):
    """Two sides, floor and lid between them, three formers; behind the wing they narrow to the tail end."""
    length, height, share, board = (fuselage[n] for n in ("fuselage_length", "fuselage_height", "fuselage_tail", "board"))
    between = max(fuselage["fuselage_width"] - 2.0 * board, board)
    nose, below = fuselage["nose_ahead"], fuselage["wing_above"]
    bend = min(nose + wing["chord"] + NARROWS_BEHIND, length)
    rest = length - bend
    rise = height * (1.0 - share)
    side = ((0.0, 0.0), (length, 0.0), (length, share * height), (bend, height), (0.0, height))      # the top runs straight, the belly rises
    aft, down = polygon_middle(side)
    found = [Outline("fuselage side", "fuselage", _tidy(side), 2, True, aft - nose, fuselage["fuselage_width"] / 2.0 - board / 2.0, below - height / 2.0 + down,
                     (length, 0.0, height))]
    for name, run, level in (("fuselage lid", rest, -height / 2.0), ("fuselage floor", float(np.hypot(rest, rise)), height / 2.0 - rise * rest / (2.0 * length))):
        half, end = between / 2.0, share * between / 2.0
        shape = ((0.0, -half), (bend, -half), (bend + run, -end), (bend + run, end), (bend, half), (0.0, half))
        found.append(Outline(name, "fuselage", _tidy(shape), 1, False, polygon_middle(shape)[0] - nose, 0.0, below + level, (length, between, 0.0)))
    inside = max(height - 2.0 * board, board)
    where = (wing["chord"] - nose) / 3.0      # at the nose, at the leading and at the trailing edge of the wing: their middle
    found.append(Outline("fuselage former", "fuselage", rectangle(between, inside), 3, False, where, 0.0, below, (wing["chord"] + nose, between, inside)))
    return found


def _tidy(corners):
    """The outline without corners that fall together."""
    return tuple(c for c, following in zip(corners, (*corners[1:], corners[0])) if np.hypot(c[0] - following[0], c[1] - following[1]) > 1e-9)


def _tail(tail, fuselage, wing):
    """Tailplane and fin, hinges marked; the fin narrows to its tip and keeps its mean chord and its arm."""
    below, height, quarter = fuselage["wing_above"], fuselage["fuselage_height"], 0.25 * wing["chord"]
    span, chord = tail["tail_span"], tail["tail_chord"]
    hinge = chord * (1.0 - tail["elevator_share"])
    plane = Outline("tailplane", "tail", rectangle(span, chord), 1, False, quarter + tail["tail_arm"] + 0.25 * chord, 0.0, below, (chord, span, 0.0),
                    ((HINGE, ((0.0, hinge), (span, hinge))),))
    tall, mean = tail["fin_height"], tail["fin_chord"]
    root, tip = (mean * share for share in FIN_TAPER)
    fin = ((0.0, 0.0), (tall, root - tip), (tall, root), (0.0, root))      # along: up; across: rearward
    up, aft = polygon_middle(fin)
    taper = tip / root
    mac = 2.0 / 3.0 * root * (1.0 + taper + taper**2) / (1.0 + taper)
    rear = quarter + tail["fin_arm"] + 0.75 * mac      # the trailing edge stands upright
    rudder = root - tail["rudder_share"] * mean
    lines = ((HINGE, ((0.0, rudder), (tall, rudder))),) if tail["rudder_share"] > 0.0 else ()
    return plane, Outline("fin", "tail", fin, 1, False, rear - root + aft, 0.0, below - height / 2.0 - up, (mean, 0.0, tall), lines)


def _nacelle(nacelle):
    """Four sides of each nacelle; top and bottom lie between the sides."""
    length, width = nacelle["nacelle_length"], nacelle["nacelle_width"]
    middle = -nacelle["propeller_ahead"] + length / 2.0 + SPINNER_LENGTH
    place = (4, True, middle, nacelle["nacelle_out"], nacelle["propeller_below"])
    between = max(width - 2.0 * nacelle["board"], nacelle["board"])
    return (Outline("nacelle side", "nacelle", rectangle(length, width), *place, (length, width, width)),
            Outline("nacelle top and bottom", "nacelle", rectangle(length, between), *place, (length, width, width)))
