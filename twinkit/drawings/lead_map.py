"""The aeroplane from above with every lead along its way."""

import re

import numpy as np
from matplotlib.collections import LineCollection
from matplotlib.patches import Rectangle

from twinkit import units
from twinkit.drawings import style
from twinkit.drawings.base import Picture
from twinkit.quantities import SIDES

SIGN = {"left": -1.0, "right": 1.0}
KINDS = ("pack", "motor", "signal")
WIDTH = {"pack": 4.6, "motor": 2.8, "signal": 1.3}
SINGLE = {"pack": ("positive", "negative"), "motor": ("phase",) * 3, "signal": ("negative", "positive", "signal")}
SHIFT = {"pack": (0.0, 0.004), "motor": (0.0, 0.0), "signal": (0.014, 0.014)}    # drawn aside, so that leads do not cover each other: behind, out
PLAN_SHARE = 0.51                                                                # of the picture's width that the plan takes
BOX = {"P": (0.046, 0.022), "C": (0.026, 0.018), "M": (0.024, 0.024), "R": (0.026, 0.028)}    # length and width of the boxes
BESIDE = {"P": (0.0, 1.0), "C": (1.0, 0.0), "M": (1.0, 0.0), "R": (0.0, -1.0)}                # where a box's letter stands: outwards, towards the nose
LETTER_ROOM, PROPELLER = 0.011, 0.045                                                         # all these are metres on a paper of this half width:
DRAWN_FOR = 0.53


def dash(side, width):
    """The side's line style, its dashes as long on a thick line as on a thin one."""
    line = style.SIDE_LINE[side]
    return line if isinstance(line, str) else (line[0], tuple(n * 1.8 / width for n in line[1]))


class LeadMap(Picture):
    """Each lead along its way, with its length, gauge and current beside it."""

    size = (7.0, 4.7)
    needs = ("leads", "geometry")

    def build(self):
        ax = self.axes = style.axes(self.figure)
        ax.axis("off")
        ax.set_aspect("equal")
        patch = lambda **look: ax.add_patch(Rectangle((0, 0), 0, 0, **look))  # noqa: E731
        foam = {"facecolor": style.FOAM, "edgecolor": style.FAINT, "lw": 0.8, "zorder": 1}
        self.wing, self.body = patch(**foam), patch(**{**foam, "zorder": 2})
        self.nacelles = {side: patch(**{**foam, "zorder": 2}) for side in SIDES}
        self.boxes = {name: patch(facecolor=style.PAPER, edgecolor=style.INK, lw=1.0, zorder=4)
                      for name in ("receiver", *(f"{side} {part}" for side in SIDES for part in ("pack", "controller", "motor")))}
        self.letters = {name: ax.text(0, 0, {"r": "R", "p": "P", "c": "C", "m": "M"}[name.split()[-1][0]], ha="center", va="center", fontsize=8, fontweight="bold", zorder=7)
                        for name in self.boxes}
        self.propellers = {side: ax.plot([], [], color=style.INK, lw=1.2, zorder=3)[0] for side in SIDES}
        self.runs, self.texts, self.leaders, self.dots, self.singles = {}, {}, {}, {}, {}
        for side in SIDES:
            colour = style.SIDE_COLOUR[side]
            for kind in KINDS:
                key = side, kind
                self.runs[key], = ax.plot([], [], color=colour, lw=WIDTH[kind], ls=dash(side, WIDTH[kind]), zorder=5, solid_joinstyle="round", solid_capstyle="butt")
                self.texts[key] = ax.text(0, 0, "", ha="left", va="bottom", fontsize=8, linespacing=1.25, zorder=8)
                self.leaders[key], = ax.plot([], [], color=style.INK, lw=0.6, zorder=3.2)
                self.dots[key], = ax.plot([], [], "o", ms=3.5, color=style.INK, zorder=6)
                self.singles[key] = ax.add_collection(LineCollection([], colors=[style.WIRE_COLOUR[w] for w in SINGLE[kind]], lw=1.4, zorder=6))
        self.heads = {side: ax.text(0, 0, side.upper(), ha={"left": "left", "right": "right"}[side], va="top", fontsize=9, fontweight="bold",
                                    color=style.SIDE_COLOUR[side]) for side in SIDES}
        self.key = ax.text(0, 0, "P pack   C controller   M motor   R receiver   bar ahead of the nacelle: propeller   (wing in part)\nthick: pack lead   medium: three motor leads   thin: signal lead",
                           ha="center", va="bottom", fontsize=7.5)
        for artist in ax.get_children():
            artist.set_in_layout(False)      # all of it lies inside the axes, whose place then hangs on the title alone

    def fill(self, results):
        leads, geometry, system = results.leads, results.geometry, results.record.value("start.units")
        places = {name: _plan(place) for name, place in self._places(leads).items()}
        frame = self._frame(geometry, places)
        self._shape(geometry, frame)
        self._parts(places, frame[1] / DRAWN_FOR)
        for side in SIDES:
            self._side(side, getattr(leads, side), results, frame, system)
        left, right, top, bottom = frame
        self.key.set_position(((left + right) / 2, bottom))
        self.axes.set_xlim(left, right)
        self.axes.set_ylim(bottom, top)
        return self._title(results, system)

    def _places(self, leads):
        """Where the boxes stand, by name."""
        found = {"receiver": leads.places["receiver"]}
        for side in SIDES:
            found[f"{side} controller"], found[f"{side} motor"] = leads.places[f"{side} {leads.placement}"], leads.places[f"{side} motor"]
            if f"{side} pack" in leads.places and not (leads.packs != "two" and side == "right"):
                found[f"{side} pack"] = leads.places[f"{side} pack"]
        return found

    def _frame(self, geometry, places):
        """Edges of the paper in the plan's metres: left, right, top, bottom; the plan in the middle, the words beside it."""
        half = max(geometry.nacelle_out + geometry.nacelle_width / 2, *(abs(x) for x, _ in places.values())) + 0.012
        top = max(-geometry.propeller_behind, *(y for _, y in places.values())) + 0.045
        bottom = min(-geometry.chord, *(y for _, y in places.values())) - 0.05
        wide = half / PLAN_SHARE
        width, height = self.size[0] * 0.98, self.size[1] * 0.84
        if (top - bottom) / height > 2 * wide / width:
            wide = (top - bottom) / height * width / 2
        else:
            spare = 2 * wide / width * height - (top - bottom)
            top, bottom = top + spare / 3, bottom - 2 * spare / 3
        return -wide, wide, top, bottom

    def _shape(self, geometry, frame):
        half, reach = frame[1] * PLAN_SHARE, PROPELLER * frame[1] / DRAWN_FOR
        self.wing.set_bounds(-half, -geometry.chord, 2 * half, geometry.chord)
        low = max(-geometry.tail_end_behind, frame[3] + 0.05 * frame[1] / DRAWN_FOR)
        high = min(-geometry.nose_behind, frame[2] - 0.012)
        self.body.set_bounds(-geometry.fuselage_width / 2, low, geometry.fuselage_width, high - low)
        for side in SIDES:
            x, front = SIGN[side] * geometry.nacelle_out, -geometry.propeller_behind
            self.nacelles[side].set_bounds(x - geometry.nacelle_width / 2, front - 0.02 - geometry.nacelle_length, geometry.nacelle_width, geometry.nacelle_length)
            self.propellers[side].set_data([x - reach, x + reach], [front, front])

    def _parts(self, places, scale):
        for name, box in self.boxes.items():
            letter = self.letters[name]
            box.set_visible(name in places)
            letter.set_visible(name in places)
            if name in places:
                (x, y), (length, width) = places[name], (scale * size for size in BOX[letter.get_text()])
                box.set_bounds(x - width / 2, y - length / 2, width, length)
                out, ahead = BESIDE[letter.get_text()]
                letter.set_position((x + SIGN.get(name.split()[0], 0.0) * out * (width / 2 + scale * LETTER_ROOM), y + ahead * (length / 2 + scale * LETTER_ROOM)))

    def _side(self, side, own, results, frame, system):
        """The leads of one side, and their words in a column at the edge, in the order in which they are met from the nose."""
        cost = getattr(results.lead_losses, side) if results.lead_losses.known else None
        s, (_, right, top, bottom) = SIGN[side], frame
        edge, inner = s * right * 0.995, s * right * (PLAN_SHARE + 0.035)
        drawn = [lead for lead in own.all if lead.route is not None]
        paths = {lead.kind: _path(lead, s) for lead in drawn}
        anchors = {kind: _middle(path) for kind, path in paths.items()}
        rows = sorted(anchors, key=lambda kind: -anchors[kind][1])
        self.heads[side].set_position((edge, top - 0.004))
        for kind in KINDS:
            for artist in (self.runs, self.texts, self.leaders, self.dots, self.singles):
                artist[side, kind].set_visible(kind in paths)
        for lead in drawn:
            kind, (x, y) = lead.kind, anchors[lead.kind]
            level = top - (top - bottom) * (0.245 + 0.27 * rows.index(kind))
            self.runs[side, kind].set_data(*np.transpose(paths[kind]))
            self.texts[side, kind].set_text(_words(side, lead, cost, system))
            start = min(edge, inner)
            self.texts[side, kind].set_position((start, level + 0.010))
            gap = (top - bottom) * 0.0085
            self.singles[side, kind].set_segments([[(start, level - n * gap), (max(edge, inner), level - n * gap)] for n in range(len(SINGLE[kind]))])
            middle = level - (len(SINGLE[kind]) - 1) / 2 * gap
            self.leaders[side, kind].set_data([inner, x], [middle, y])
            self.dots[side, kind].set_data([x], [y])

    def _title(self, results, system):
        leads = results.leads
        side = max(SIDES, key=lambda name: getattr(leads, name).pack_length)
        pack, motor = getattr(leads, side).pack, getattr(leads, side).motor
        where = {"fuselage": "fuselage", "nacelle": "nacelles"}[leads.placement]
        change = {"as bought": "stay as bought", "shortened": "are shortened", "lengthened": f"grow by {units.say(pack.added, 'length', system)}"}[pack.made]
        said = (f"Controllers in the {where}: pack leads {change} ({units.say(pack.length, 'length', system)}), motor leads are "
                f"{units.say(motor.length, 'length', system)}, {units.say(leads.lead_mass, 'mass', system, 2)} of wire added")
        return re.sub(r"(\d) (?=\w)", "\\1\u00a0", said)      # a number stays with its unit


def _plan(place):
    """A place as seen from above, nose up."""
    return place[1], -place[0]


def _path(lead, s):
    """A lead's way as seen from above, between its ends drawn a little aside."""
    behind, out = SHIFT[lead.kind] if lead.kind != "pack" or lead.route[0][1] == 0.0 else (0.0, 0.0)
    first, *between, last = lead.route
    path = [_plan(first), *(_plan((b + behind, o + s * out)) for b, o, _ in between), _plan(last)]
    return [point for n, point in enumerate(path) if n == 0 or point != path[n - 1]] if len(set(path)) > 1 else path[:2]


def _middle(path):
    """The middle of the longest straight stretch."""
    one, two = max(zip(path, path[1:]), key=lambda ends: np.hypot(ends[0][0] - ends[1][0], ends[0][1] - ends[1][1]))
    return (one[0] + two[0]) / 2, (one[1] + two[1]) / 2


def _words(side, lead, cost, system):
    name = {"pack": "pack lead", "motor": "motor leads, three", "signal": "signal lead"}[lead.kind]
    current = {"pack": lambda: cost.pack_current, "motor": lambda: cost.motor_current}.get(lead.kind)
    amps = "" if current is None or cost is None else f", {units.say(current(), 'current')}"
    made = f"{units.say(lead.added, 'length', system)} let in" if lead.added else lead.made
    return f"{side} {name}\n{units.say(lead.length, 'length', system)}, AWG {lead.wire.gauge}{amps}\n{made}"
