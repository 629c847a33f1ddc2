"""The working drawing: the aeroplane from above, from the front and from the side to one scale, with its dimensions."""

import numpy as np

from twinkit import units
from twinkit.design.outlines import SPINNER_LENGTH
from twinkit.drawings import style
from twinkit.drawings.base import Picture

INCH = 0.0254
SCALES = (2, 2.5, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50)      # one to ...
TITLE, MARGIN, GAP = 0.012, 0.012, 0.019      # head of the paper, its edge, and the room for dimensions between two views [m of paper]
TEXT = 6.8


class ThreeView(Picture):
    """Three views on one sheet in paper metres, so that the scale it names is true when it is printed at 100 %."""

    size = (7.0, 9.05)
    needs = ("wing", "throws")

    def build(self):
        self.figure.clear()

    def fill(self, results):
        self.figure.clear()
        self.figure.set_layout_engine("none")
        ax = style.axes(self.figure, 1, 1, 1)
        ax.set_position((0.0, 0.0, 1.0, 1.0))
        ax.set_axis_off()
        wide, high = (inches * INCH for inches in self.size)
        ax.set_xlim(0.0, wide)
        ax.set_ylim(0.0, high)
        sheet = _Sheet(ax, results, wide, high)
        sheet.draw()
        shape = results.geometry
        return (f"{results.record.value('start.name') or 'Your aeroplane'}, working drawing 1:{sheet.scale:g} "
                f"in {sheet.unit}: span {sheet.told(shape.span)}, length {sheet.told(sheet.end - shape.nose_behind)}")


class _Sheet:
    """The three views on the axes; places of the aeroplane in, places of the paper out."""

    def __init__(self, ax, results, wide, high):
        self.ax, self.results, self.shape, self.wing = ax, results, results.geometry, results.wing
        g, record = self.shape, results.record
        si_unit, metric, imperial = units.KINDS["length"]
        self.unit = imperial if record.value("start.units") == "imperial" else metric
        self.told = lambda value: units.digits(float(units.from_si(value, self.unit, si_unit)), 4 if self.unit != "mm" else len(str(round(abs(value) * 1000))))
        self.half = g.span / 2.0
        parts = {o.name: o for o in g.outlines}
        self.parts, self.tail_front = parts, 0.25 * g.chord + g.tail_arm - 0.25 * g.tail_chord
        fin = np.asarray(parts["fin"].corners)
        self.fin = np.column_stack((fin[:, 1] - fin[0, 1], fin[:, 0]))      # (rearward, up) from the foot of its leading edge
        self.fin_front = parts["fin"].behind - _middle(fin)[1]
        self.end = max(g.tail_end_behind, self.tail_front + g.tail_chord, self.fin_front + np.ptp(fin[:, 1]))
        self.nose = min(g.nose_behind, g.propeller_behind)
        self.top = g.wing_above - g.fuselage_height / 2.0                   # of the fuselage, below the wing
        self.rise = self.half * np.tan(g.dihedral)
        self.rolls = record.value("start.launch") != "hand"
        self.ground = record.value("wing.gear_height") if self.rolls else g.wing_above + g.fuselage_height / 2.0
        self.up = max(-(self.top - g.fin_height), self.rise, 0.0)
        self.radii = {side: (record.value(f"power.{side}.propeller_diameter") or 0.0) / 2.0 for side in ("left", "right")}
        length, tall = self.end - self.nose, self.up + self.ground
        room = (wide - 2.0 * MARGIN - 0.012, high - TITLE - 2.0 * MARGIN - 3.0 * GAP)
        self.scale = next((n for n in SCALES if max(g.span, length) / n <= room[0] and (length + 2.0 * tall) / n <= room[1]), SCALES[-1])
        self.middle = wide / 2.0 + 0.004
        head = high - TITLE - MARGIN
        self.plan_y = head - 0.004 + self.nose / self.scale                   # paper height of the leading edge at the root, plan
        self.front_y = head - length / self.scale - GAP - self.up / self.scale
        self.side_y = self.front_y - (self.ground + self.up) / self.scale - GAP
        self.side_x = self.middle - (self.end + self.nose) / 2.0 / self.scale
        self.wide = wide

    # places of the paper
    def plan(self, out, behind):
        return self.middle + np.asarray(out) / self.scale, self.plan_y - np.asarray(behind) / self.scale

    def front(self, out, below):
        return self.middle + np.asarray(out) / self.scale, self.front_y - np.asarray(below) / self.scale

    def side(self, behind, below):
        return self.side_x + np.asarray(behind) / self.scale, self.side_y - np.asarray(below) / self.scale

    def area(self, xy, **look):
        from matplotlib.patches import Polygon

        self.ax.add_patch(Polygon(np.column_stack(xy), closed=True, **({"fc": style.FOAM, "ec": style.INK, "lw": 0.9} | look)))

    def line(self, xy, **look):
        self.ax.plot(*xy, **({"color": style.INK, "lw": 0.7} | look))

    def dimension(self, a, b, words, shift, upright=False):
        """An arrowed line between two places of the paper, shifted aside, with what it measures."""
        (x1, y1), (x2, y2) = a, b
        look = {"color": style.INK, "lw": 0.35}
        if upright:
            at = (max if shift > 0 else min)(x1, x2) + shift
            ends, text = ((at, y1), (at, y2)), (at, (y1 + y2) / 2.0)
            for x, y in (a, b):
                self.ax.plot([x, at + np.sign(shift) * 0.001], [y, y], **look)
        else:
            at = (max if shift > 0 else min)(y1, y2) + shift
            ends, text = ((x1, at), (x2, at)), ((x1 + x2) / 2.0, at)
            for x, y in (a, b):
                self.ax.plot([x, x], [y, at + np.sign(shift) * 0.001], **look)
        self.ax.annotate("", *ends, arrowprops={"arrowstyle": "<|-|>,head_length=0.28,head_width=0.1", "lw": 0.4, "color": style.INK, "shrinkA": 0, "shrinkB": 0})
        self.ax.text(*text, words, fontsize=TEXT, ha="center", va="center", rotation=90 if upright else 0, bbox={"fc": style.PAPER, "ec": "none", "pad": 0.6})

    def draw(self):
        self._plan()
        self._front()
        self._side()

    def _plan(self):
        g, told, half = self.shape, self.told, self.half
        joint = g.taper_start * half if g.setback else half
        edge = [(0.0, 0.0), (joint, 0.0), (half, g.setback), (half, g.setback + g.tip_chord), (joint, g.chord), (0.0, g.chord)]
        outline = np.array(edge + [(-x, y) for x, y in reversed(edge)])
        tail = np.array([(s * g.tail_span / 2.0, y) for s, y in ((-1, self.tail_front), (1, self.tail_front), (1, self.tail_front + g.tail_chord), (-1, self.tail_front + g.tail_chord))])
        lid = np.asarray(self.parts["fuselage lid"].corners) * (1.0, 1.0)
        width = g.fuselage_width / 2.0 / np.max(np.abs(lid[:, 1]))
        self.area(self.plan(*outline.T))
        self.area(self.plan(*tail.T))
        self.area(self.plan(lid[:, 1] * width, lid[:, 0] + g.nose_behind))
        throws = {name: t.chord for name, t in self.results.throws.by_name.items()}
        if "elevator" in throws:
            at = self.tail_front + g.tail_chord - throws["elevator"]
            self.line(self.plan([-g.tail_span / 2.0, g.tail_span / 2.0], [at, at]), lw=0.5)
        if "ailerons" in throws:
            share = throws["ailerons"] / g.chord
            inner = half * (1.0 - self.results.record.value("wing.aileron_span"))
            out = np.unique([inner, max(joint, inner), half])
            chord = np.interp(out, [0.0, joint, half], [g.chord, g.chord, g.tip_chord])
            rear = np.interp(out, [0.0, joint, half], [g.chord, g.chord, g.setback + g.tip_chord])
            for sign in (-1.0, 1.0):
                self.line(self.plan(sign * out, rear - share * chord), lw=0.5)
                self.line(self.plan([sign * inner] * 2, [(rear - share * chord)[0], rear[0]]), lw=0.5)
        front = g.propeller_behind
        for side, sign in (("left", -1.0), ("right", 1.0)):
            x, w = sign * g.nacelle_out, g.nacelle_width / 2.0
            box = np.array([(x - w, front + SPINNER_LENGTH), (x + w, front + SPINNER_LENGTH), (x + w, front + SPINNER_LENGTH + g.nacelle_length), (x - w, front + SPINNER_LENGTH + g.nacelle_length)])
            self.area(self.plan(*box.T), ec=style.SIDE_COLOUR[side], ls=style.SIDE_LINE[side])
            self.line(self.plan([x - self.radii[side], x + self.radii[side]], [front, front]), color=style.SIDE_COLOUR[side], lw=1.5)
        self.line(self.plan([0.0, 0.0], [self.nose - 0.01, self.end + 0.01]), lw=0.4, ls=(0, (9, 2, 1.5, 2)))
        spar = self.results.record.value("wing.spar_place") * g.chord
        self.line(self.plan([-self.wing.spar_end, self.wing.spar_end], [spar, spar]), color=style.SIDE_COLOUR["shared"], ls=(0, (8, 2, 1, 2)))
        dim, at = self.dimension, self.plan
        dim(at(-half, g.chord), at(half, g.chord), f"span {told(g.span)}", -(self.end - g.chord) / self.scale - 0.006)
        dim(at(0.0, front), at(g.nacelle_out, front), told(g.nacelle_out), 0.005)
        dim(at(0.0, 0.0), at(0.0, g.chord), told(g.chord), self.half / self.scale + 0.007, upright=True)
        if g.setback:
            dim(at(half, g.setback), at(half, g.setback + g.tip_chord), told(g.tip_chord), -0.006, upright=True)
            dim(at(0.0, g.chord), at(joint, g.chord), told(joint), -0.008)
        dim(at(-g.tail_span / 2.0, self.tail_front), at(g.tail_span / 2.0, self.tail_front), f"tailplane {told(g.tail_span)}", 0.005)
        dim(at(g.tail_span / 2.0, self.tail_front), at(g.tail_span / 2.0, self.tail_front + g.tail_chord), told(g.tail_chord), 0.006, upright=True)
        dim(at(-self.half, 0.0), at(-self.half, front), told(abs(front)), -0.005, upright=True)

    def _front(self):
        g, told = self.shape, self.told
        board = self.results.record.value("wing.board_thickness")
        thick = max(g.thickness * g.chord, board)
        for sign in (-1.0, 1.0):
            wing = np.array([(0.0, 0.0), (sign * self.half, -self.rise), (sign * self.half, -self.rise - thick), (0.0, -thick)])
            self.area(self.front(*wing.T))
        w, h = g.fuselage_width / 2.0, g.fuselage_height / 2.0
        self.area(self.front(*np.array([(-w, self.top), (w, self.top), (w, self.top + 2.0 * h), (-w, self.top + 2.0 * h)]).T))
        self.line(self.front([0.0, 0.0], [self.top, self.top - g.fin_height]), lw=1.4)
        self.line(self.front([-g.tail_span / 2.0, g.tail_span / 2.0], [g.wing_above] * 2), lw=1.4)
        turn = np.linspace(0.0, 2.0 * np.pi, 73)
        for side, sign in (("left", -1.0), ("right", 1.0)):
            x, y, r = sign * g.nacelle_out, g.propeller_below, g.nacelle_width / 2.0
            self.area(self.front(*np.array([(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)]).T), ec=style.SIDE_COLOUR[side])
            self.line(self.front(x + self.radii[side] * np.cos(turn), y + self.radii[side] * np.sin(turn)), color=style.SIDE_COLOUR[side], ls=style.SIDE_LINE[side])
        if self.rolls:
            self.line(self.front([-self.half * 0.75, self.half * 0.75], [self.ground] * 2), lw=1.1)
            track = self.results.record.value("wing.wheel_track") or self.results.wing.wheel_track
            wheel = self.results.record.value("wing.wheel_diameter")
            for sign in (-1.0, 1.0):
                x = sign * track / 2.0
                self.area(self.front(*np.array([(x - 0.006, self.ground), (x + 0.006, self.ground), (x + 0.006, self.ground - wheel), (x - 0.006, self.ground - wheel)]).T), fc=style.FAINT)
                self.line(self.front([sign * w * 0.8, x], [self.top + 2.0 * h, self.ground - wheel / 2.0]), lw=0.9)
            self.dimension(self.front(-track / 2.0, self.ground), self.front(track / 2.0, self.ground), f"track {told(track)}", -0.005)
            self.dimension(self.front(self.half * 0.72, 0.0), self.front(self.half * 0.72, self.ground), told(self.ground), 0.003, upright=True)
        x, y = self.front(-self.half * 0.98, -self.rise - thick)
        self.ax.text(x, y + 0.0065, f"dihedral {units.say(g.dihedral, 'angle', significant=2)} each side, tip up {told(self.rise)}", fontsize=TEXT, ha="left", va="bottom")

    def _side(self):
        g, told = self.shape, self.told
        body = np.asarray(self.parts["fuselage side"].corners)
        self.area(self.side(body[:, 0] + g.nose_behind, body[:, 1] + self.top))
        self.area(self.side(self.fin[:, 0] + self.fin_front, self.top - self.fin[:, 1]))
        rudder = self.results.throws.by_name.get("rudder")
        if rudder:
            at = self.fin_front + np.max(self.fin[:, 0]) - rudder.chord
            self.line(self.side([at, at], [self.top, self.top - g.fin_height]), lw=0.5)
        self.area(self.side([self.tail_front, self.tail_front + g.tail_chord], [g.wing_above] * 2), lw=1.6)
        thick = max(g.thickness, self.results.record.value("wing.board_thickness") / g.chord) * g.chord
        crest = self.results.record.value("wing.spar_place") * g.chord
        self.area(self.side([0.0, 0.0, crest, g.chord], [0.0, -0.35 * thick, -thick, 0.0]))
        front, w = g.propeller_behind, g.nacelle_width / 2.0
        box = [(front + SPINNER_LENGTH, -w), (front + SPINNER_LENGTH + g.nacelle_length, -w), (front + SPINNER_LENGTH + g.nacelle_length, w), (front + SPINNER_LENGTH, w)]
        self.area(self.side(*(np.array(box) + (0.0, g.propeller_below)).T), fc="none", ec=style.SIDE_COLOUR["left"])
        r = max(self.radii.values())
        self.line(self.side([front, front], [g.propeller_below - r, g.propeller_below + r]), color=style.SIDE_COLOUR["left"], lw=1.5)
        self.area(self.side([self.wing.cg_front, self.wing.cg_rear, self.wing.cg_rear, self.wing.cg_front], [0.010, 0.010, 0.022, 0.022]), fc=style.PAPER, ec=style.VERDICT_COLOUR["good"], hatch="////")
        dim, at = self.dimension, self.side
        bottom = self.ground
        if self.rolls:
            wheel, axle = self.results.record.value("wing.wheel_diameter"), self.results.record.value("wing.wheel_behind")
            self.line(self.side([g.nose_behind - 0.02, self.end + 0.02], [bottom] * 2), lw=1.1)
            if axle is not None:
                turn = np.linspace(0.0, 2.0 * np.pi, 49)
                self.area(self.side(axle + wheel / 2.0 * np.cos(turn), bottom - wheel / 2.0 * (1.0 + np.sin(turn))), fc=style.FAINT)
        low = at(0.0, bottom)[1]
        dim((at(self.nose, 0.0)[0], low), (at(self.end, 0.0)[0], low), f"length {told(self.end - self.nose)}", -0.011)
        dim((at(g.nose_behind, 0.0)[0], low), (at(0.0, 0.0)[0], low), told(-g.nose_behind), -0.005)
        dim((at(0.25 * g.chord, 0.0)[0], low), (at(0.25 * g.chord + g.tail_arm, 0.0)[0], low), f"tail arm {told(g.tail_arm)}", -0.005)
        dim(at(self.end, self.top), at(self.end, self.top - g.fin_height), told(g.fin_height), 0.006, upright=True)
        dim(at(g.nose_behind, self.top), at(g.nose_behind, self.top + g.fuselage_height), told(g.fuselage_height), -0.006, upright=True)
        x, y = at(self.wing.cg_rear, 0.016)
        self.ax.text(x + 0.002, y, f"CG {units.say_range(self.wing.cg_front, self.wing.cg_rear, 'length', self.results.record.value('start.units'))}", fontsize=TEXT, ha="left", va="center",
                     bbox={"fc": style.FOAM, "ec": "none", "pad": 0.4})


def _middle(corners):
    from twinkit.design.outlines import polygon_middle

    return polygon_middle(corners)
