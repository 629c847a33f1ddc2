"""Pictures of page 05: the aeroplane from above, thrust and drag against speed, the parts on the sheets."""

import numpy as np

from twinkit import units
from twinkit.design.outlines import SPINNER_LENGTH, polygon_middle
from twinkit.drawings import style
from twinkit.drawings.base import Picture
from twinkit.drawings.three_view import ThreeView
from twinkit.drawings.wing_carpet import Carpet, Polar, nudges_sheet, sections_sheet
from twinkit.drawings.wing_loads import Bending, rods_sheet, spars_sheet, stations_sheet, trim_sheet
from twinkit.drawings.wing_tables import SHEETS, numbers

SOURCES = ("anderson_apd", "raymer", "schlichting", "etkin_reid_pitch", "munk1924", "mit_lab11", "spar_statics", "allen_sandwich", "airframe_practice",
           "reynolds1989", "launch_motion", "glauert1926", "carbon_maker", "wood_handbook", "roark")
MARKED = ("stall", "approach", "best climb", "cruise", "top speed", "no more pull")
MOST_SHEETS = 4
EDGE = 0.004       # paper left round a sheet [m]
LETTER = 0.06      # width of a letter of a part's name on the paper [in]


def _length_unit(results):
    si_unit, metric, imperial = units.KINDS["length"]
    unit = imperial if results.record.value("start.units") == "imperial" else metric
    return unit, lambda value: units.from_si(np.asarray(value, dtype=float), unit, si_unit)


def _place(figure, where):
    """Axes at a fixed place of the paper (left, foot, width, height as shares): no layout moves them from one drawing to the next."""
    figure.set_layout_engine("none")
    ax = style.axes(figure, 1, 1, 1)
    ax.set_position(where)
    return ax


def _one_scale(ax, size, where, across, down):
    """Limits that show these ranges at one scale both ways, in the middle of the axes."""
    wide, high = size[0] * where[2], size[1] * where[3]
    scale = max(abs(across[1] - across[0]) / wide, abs(down[1] - down[0]) / high)
    for set_limits, (low, top), inches in ((ax.set_xlim, across, wide), (ax.set_ylim, down, high)):
        middle, half = (low + top) / 2, scale * inches / 2 * (1 if top > low else -1)
        set_limits(middle - half, middle + half)


def _area(ax, corners, **look):
    """A filled outline on the axes."""
    from matplotlib.patches import Polygon

    return ax.add_patch(Polygon(corners, closed=True, **look))


def _corners(left, right, front, back):
    """Corners of a rectangle as rows of (out, behind)."""
    return np.array([(left, front), (right, front), (right, back), (left, back)], dtype=float)


class Plan(Picture):
    """The aeroplane from above, nose up, left wing left, with a ruler for the CG beside it."""

    size = (7.0, 5.0)
    needs = ("wing", "throws")
    PLAN, RULER = (0.105, 0.095, 0.635, 0.80), (0.81, 0.095, 0.18, 0.76)

    def build(self):
        self.axes, self.ruler = _place(self.figure, self.PLAN), _place(self.figure, self.RULER)
        ax, r, empty = self.axes, self.ruler, np.zeros((4, 2))
        foam = {"facecolor": style.FOAM, "edgecolor": style.INK, "lw": 1.2}
        line = lambda where, **look: where.plot([], [], color=look.pop("color", style.INK), **look)[0]  # noqa: E731
        ax.grid(False)
        self.wing, self.fuselage, self.tail = (_area(ax, empty, **foam, zorder=z) for z in (2, 4, 3))
        sides = {side: {"color": style.SIDE_COLOUR[side], "ls": style.SIDE_LINE[side]} for side in ("left", "right")}
        self.nacelles = {side: _area(ax, empty, facecolor=style.FOAM, edgecolor=look["color"], ls=look["ls"], lw=1.8, zorder=5) for side, look in sides.items()}
        self.discs = {side: line(ax, **look, lw=3.0, zorder=6) for side, look in sides.items()}
        self.hinges = [line(ax, lw=0.8, zorder=4.5) for _ in range(4)]
        self.spar = line(ax, color=style.SIDE_COLOUR["shared"], lw=1.4, ls=(0, (8, 2, 1, 2)), zorder=3)
        self.fin = line(ax, lw=3.2, zorder=6)
        self.range = _area(ax, empty, facecolor=style.PAPER, edgecolor=style.VERDICT_COLOUR["good"], hatch="////", lw=1.0, zorder=7)
        marks = {"receiver": (style.INK, "^"), "controllers": (style.INK, "v"), "pack, left": (style.SIDE_COLOUR["left"], style.SIDE_MARK["left"]),
                 "pack, right": (style.SIDE_COLOUR["right"], style.SIDE_MARK["right"]), "pack": (style.SIDE_COLOUR["shared"], style.SIDE_MARK["shared"]), "CG now": (style.INK, "P")}
        self.dots = {name: line(ax, ls="none", color=colour, marker=mark, ms=7.5 if mark == "P" else 6, zorder=9 if mark == "P" else 8) for name, (colour, mark) in marks.items()}
        self.keys = {name: line(ax, ls="none", color=colour, marker=mark, ms=6) for name, (colour, mark) in marks.items()}
        self.named = {name: ax.text(0, 0, name, fontsize=8.5, va="center") for name in marks}
        self.span_line = line(ax, lw=0.8, marker="|", ms=9)
        self.texts = {name: ax.text(0, 0, "", fontsize=8.5, ha=align, va="center", zorder=10) for name, align in (
            ("left", "center"), ("right", "center"), ("span", "center"), ("spar", "right"))}
        r.grid(False)
        r.set_xticks([])
        r.spines["bottom"].set_visible(False)
        r.set_xlim(0.0, 1.0)
        r.set_title("CG, enlarged", fontsize=9, loc="right")
        self.neutral_band = _area(r, empty, facecolor=style.FAINT, edgecolor="none", alpha=0.6)
        self.neutral = line(r, lw=1.6, ls="--")
        self.wanted = _area(r, empty, facecolor="none", edgecolor=style.VERDICT_COLOUR["good"], hatch="////", lw=1.2)
        self.first = line(r, color=style.VERDICT_COLOUR["good"], lw=2.2)
        self.spread, self.now = line(r, lw=1.4), line(r, ls="none", marker="P", ms=9)
        self.edges = [r.axhline(0.0, color=style.INK, lw=1.0) for _ in range(2)]
        self.notes = {name: r.text(0.42, 0.0, name, fontsize=8.5, va="center", ha="left") for name in ("leading edge", "wanted", "neutral\npoint", "trailing edge", "+ now")}

    def fill(self, results):
        wing, shape, record = results.wing, results.geometry, results.record
        unit, mm = _length_unit(results)
        half, joint, width = shape.span / 2, shape.taper_start * shape.span / 2, shape.fuselage_width / 2
        set_back = (shape.chord - shape.tip_chord) / 2 if shape.taper_start < 1.0 else 0.0
        outline = [(0.0, 0.0), (joint, 0.0), (half, set_back), (half, shape.chord - set_back), (joint, shape.chord), (0.0, shape.chord)]
        self.wing.set_xy(mm(outline + [(-x, y) for x, y in reversed(outline)]))
        self.fuselage.set_xy(mm(_corners(-width, width, shape.nose_behind, shape.tail_end_behind)))
        tail_front, fin = 0.25 * (shape.chord - shape.tail_chord) + shape.tail_arm, next(o for o in shape.outlines if o.name == "fin")
        fin_front = fin.behind - polygon_middle(fin.corners)[1]
        tail_end, fin_end = tail_front + shape.tail_chord, fin_front + fin.width
        self.tail.set_xy(mm(_corners(-shape.tail_span / 2, shape.tail_span / 2, tail_front, tail_end)))
        self.fin.set_data(mm([0.0, 0.0]), mm([fin_front, fin_end]))
        front = shape.propeller_behind
        for side, sign in (("left", -1.0), ("right", 1.0)):
            middle, beside = sign * shape.nacelle_out, shape.nacelle_width / 2
            self.nacelles[side].set_xy(mm(_corners(middle - beside, middle + beside, front + SPINNER_LENGTH, front + SPINNER_LENGTH + shape.nacelle_length)))
            reach = (record.value(f"power.{side}.propeller_diameter") or 0.0) / 2
            self.discs[side].set_data(mm([middle - reach, middle + reach]), mm([front, front]))
            self.texts[side].set_text(side)
            self.texts[side].set_position((mm(middle), mm(front - 0.035)))
        chords = {name: t.chord for name, t in results.throws.by_name.items()}
        inner, hinge = half * (1.0 - record.value("wing.aileron_span")), shape.chord - chords.get("ailerons", 0.0)
        rows = [([s * inner, s * half], [hinge] * 2) if "ailerons" in chords and set_back == 0.0 else ([], []) for s in (-1.0, 1.0)]
        rows += [([-shape.tail_span / 2, shape.tail_span / 2], [tail_end - chords.get("elevator", 0.0)] * 2),
                 ([-0.012, 0.012], [fin_end - chords["rudder"]] * 2) if "rudder" in chords else ([], [])]
        for hinge_line, (x, y) in zip(self.hinges, rows):
            hinge_line.set_data(mm(x), mm(y))
        spar = record.value("wing.spar_place") * shape.chord
        self.spar.set_data(mm([-wing.spar_end, wing.spar_end]), mm([spar, spar]))
        self.texts["spar"].set_text("spar" if wing.spar_end > 0.0 else "")
        self.texts["spar"].set_position((mm(-wing.spar_end - 0.012), mm(spar)))
        cg = results.weight.cg_behind
        self.range.set_xy(mm(_corners(-1.6 * width, 1.6 * width, wing.cg_front, wing.cg_rear)))
        self._fill_stations(results, shape, width, mm)
        end = max(shape.tail_end_behind, tail_end, fin_end)
        self.span_line.set_data(mm([-half, half]), mm([end + 0.04] * 2))
        self.texts["span"].set_text(f"span {units.digits(float(mm(shape.span)), 3)} {unit}, length {units.digits(float(mm(end - shape.nose_behind)), 3)} {unit}")
        self.texts["span"].set_position((0.0, mm(end + 0.075)))
        _one_scale(self.axes, self.size, self.PLAN, mm([-half - 0.02, half + 0.02]), mm([end + 0.10, min(shape.nose_behind, front - 0.06) - 0.02]))
        self.axes.set_xlabel(f"left  ·  out from the middle, {unit}  ·  right")
        self.axes.set_ylabel(f"behind the leading edge, {unit}")
        self._fill_ruler(results, wing, shape.chord, mm, cg)
        system = record.value("start.units")
        wanted = units.say_range(wing.cg_front, wing.cg_rear, "length", system)
        if cg is None:
            return f"The CG belongs {wanted} behind the leading edge; page 04 tells where it is"
        inside = "inside" if wing.cg_front <= cg <= wing.cg_rear else "ahead of" if cg < wing.cg_front else "behind"
        return f"It balances at {units.say(cg, 'length', system, 2)}, {inside} the {wanted} wanted; neutral point at {units.say(wing.neutral_behind, 'length', system, 2)}"

    def _fill_stations(self, results, shape, width, mm):
        """What sits where, with a list of the marks behind the wing."""
        record = results.record
        places = {"receiver": [(0.0, shape.receiver_behind)]}
        if record.value("leads.placement") == "nacelle":
            places["controllers"] = [(sign * shape.nacelle_out, shape.propeller_behind + SPINNER_LENGTH + shape.nacelle_length / 2) for sign in (-1.0, 1.0)]
        else:
            places["controllers"] = [(sign * width / 2, shape.controller_behind) for sign in (-1.0, 1.0)]
        shared = record.value("power.packs") == "one"
        for side, sign in (("shared", 0.0),) if shared else (("left", -1.0), ("right", 1.0)):
            behind = record.value(f"weight.{side}.pack_behind")
            out = sign * max(record.value(f"weight.{side}.pack_out") or 0.0, width / 2) if sign else 0.0
            if behind is not None:
                places["pack" if shared else f"pack, {side}"] = [(out, behind)]
        if results.weight.cg_behind is not None:
            places["CG now"] = [(0.0, results.weight.cg_behind)]
        row, room = 0, 0.25 * shape.chord + shape.tail_arm - 0.25 * shape.tail_chord - shape.chord      # the list stands between wing and tail
        for name, dot in self.dots.items():
            spots = places.get(name, [])
            dot.set_data(*mm(np.array(spots).T) if spots else ([], []))
            self.keys[name].set_visible(bool(spots))
            self.named[name].set_visible(bool(spots))
            if spots:
                x, y = width + 0.06 * shape.span, shape.chord + room * (0.16 + 0.17 * row)
                self.keys[name].set_data(mm([x]), mm([y]))
                self.named[name].set_position(mm((x + 0.02 * shape.span, y)))
                row += 1

    def _fill_ruler(self, results, wing, chord, mm, cg):
        ends = np.array([0.05, 0.36])
        box = np.array([0.05, 0.36, 0.36, 0.05])
        self.wanted.set_xy(np.column_stack((box, mm(np.repeat([wing.cg_front, wing.cg_rear], 2)))))
        self.neutral_band.set_xy(np.column_stack((box, mm(np.repeat([wing.neutral_low, wing.neutral_high], 2)))))
        self.neutral.set_data(ends, mm([wing.neutral_behind] * 2))
        self.first.set_data(ends, mm([wing.cg_first] * 2))
        known, spread = cg is not None, results.weight.cg_spread or 0.0
        self.now.set_data(*([0.2], mm([cg])) if known else ([], []))
        self.spread.set_data(*([0.2, 0.2], mm([cg - spread, cg + spread])) if known else ([], []))
        for edge, at in zip(self.edges, (0.0, chord)):
            edge.set_ydata(mm([at, at]))
        heights = {"leading edge": -0.035 * chord, "wanted": (wing.cg_front + wing.cg_rear) / 2, "neutral\npoint": wing.neutral_behind, "trailing edge": 1.035 * chord}
        low = min(0.0, cg if known else 0.0) - 0.08 * chord
        self.notes["+ now"].set_visible(known)
        if known:      # beside the mark, and clear of the word for the range
            heights["+ now"] = cg
            if abs(cg - heights["wanted"]) < 0.05 * chord:
                heights["wanted"] = cg - 0.05 * chord if cg >= heights["wanted"] else cg + 0.05 * chord
            if abs(cg - wing.neutral_behind) < 0.06 * chord:
                heights["neutral\npoint"] = cg + 0.075 * chord
        for name, at in heights.items():
            self.notes[name].set_position((0.05 if "edge" in name else 0.42, mm(at)))
        self.ruler.set_ylim(*mm([max(1.08 * chord, (cg or 0.0) + 0.05 * chord), low]))


class Speeds(Picture):
    """Thrust of both motors and drag against speed, with the speeds that matter."""

    size = (7.0, 4.2)
    needs = ("wing", "power")
    quick = True
    WHERE = (0.10, 0.115, 0.885, 0.785)

    def build(self):
        self.axes = ax = _place(self.figure, self.WHERE)
        empty = np.zeros((4, 2))
        self.thrust_band = _area(ax, empty, facecolor=style.SIDE_COLOUR["shared"], alpha=0.25, edgecolor="none")
        self.drag_band = _area(ax, empty, facecolor=style.THIRD, alpha=0.35, edgecolor="none")
        self.stalled = _area(ax, empty, facecolor="none", edgecolor=style.FAINT, hatch="xx", lw=0.0)
        self.thrust, = ax.plot([], [], color=style.INK, lw=2.0)
        self.drag, = ax.plot([], [], color=style.THIRD, lw=2.0, ls=(0, (6, 2)))
        self.lines = [ax.plot([], [], color=style.INK, lw=0.9, ls=":")[0] for _ in MARKED]
        paper = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.0}
        self.labels = [ax.text(0, 0, "", fontsize=8.5, va="center", bbox=paper) for _ in MARKED]
        self.names = [ax.text(0, 0, words, fontsize=9, va="center", bbox=paper) for words in ("thrust at full throttle", "drag in level flight")]

    def fill(self, results):
        wing, system = results.wing, results.record.value("start.units")
        force, speed = (units.KINDS[kind][2 if system == "imperial" else 1] for kind in ("thrust", "speed"))
        newton = lambda x: units.from_si(np.asarray(x, dtype=float), force, "N")  # noqa: E731
        fast = lambda x: units.from_si(np.asarray(x, dtype=float), speed, "m/s")  # noqa: E731
        ax, at = self.axes, fast(wing.speeds)
        self.thrust.set_data(at, newton(wing.thrust))
        self.drag.set_data(at, newton(wing.drag))
        for band, low, high in ((self.thrust_band, wing.thrust_low, wing.thrust_high), (self.drag_band, wing.drag_low, wing.drag_high)):
            band.set_xy(np.column_stack((np.concatenate((at, at[::-1])), newton(np.concatenate((low, high[::-1]))))))
        right = style.reach(float(fast(min(wing.speeds[-1], 1.12 * max(wing.zero_thrust_speed or wing.speeds[-1], 1.5 * wing.stall_speed)))))
        top = float(newton(max(np.max(wing.thrust_high), wing.drag_high[0], np.max(wing.drag[wing.speeds <= (wing.top_speed or wing.stall_speed)]))))
        ceiling = style.reach(top * 1.6)
        self.stalled.set_xy(_corners(0.0, fast(wing.stall_speed), 0.0, ceiling))
        marks = (wing.stall_speed, wing.approach_speed, wing.climb_speed, wing.cruise_speed, wing.top_speed, wing.zero_thrust_speed)
        up = "" if wing.climb_rate is None else f", up {units.say(wing.climb_rate, 'speed', system, 2)}"
        for row, (line, label, name, value) in enumerate(zip(self.lines, self.labels, MARKED, marks)):
            shown = value is not None and float(fast(value)) <= right
            line.set_visible(shown)
            label.set_visible(shown)
            if shown:
                x, y = float(fast(value)), ceiling * (0.965 - 0.062 * row)
                before = x > 0.62 * right
                line.set_data([x, x], [0.0, y])
                label.set_text(f"{name} {units.say(value, 'speed', system)}{up if name == 'best climb' else ''}")
                label.set_position((x + (-0.008 if before else 0.008) * right, y))
                label.set_ha("right" if before else "left")
        for name, curve in zip(self.names, (wing.thrust, wing.drag)):
            name.set_position((0.012 * right, float(newton(curve[0]))))
        ax.set_xlim(0.0, right)
        ax.set_ylim(0.0, ceiling)
        ax.set_xlabel(f"airspeed, {speed} (crossed out: below the stall)")
        ax.set_ylabel(f"both motors, {force}")
        if wing.top_speed is None:
            return "At full throttle the thrust does not carry the drag at any speed above the stall"
        climbs = "" if wing.climb_rate is None else f"; it climbs {units.say(wing.climb_rate, 'speed', system, 2)} at full throttle"
        return f"Level flight from {units.say(wing.stall_speed, 'speed', system, 2)} (stall) to {units.say(wing.top_speed, 'speed', system, 2)}{climbs}"


class Sheets(Picture):
    """The foam parts laid on the builder's sheets."""

    size = (7.0, 3.7)
    needs = ("wing",)

    def build(self):
        self.figure.clear()

    def fill(self, results):
        plan, shapes = results.wing.cutting, {o.name: np.asarray(o.corners) for o in results.geometry.outlines}
        unit, mm = _length_unit(results)
        self.figure.clear()
        shown = max(min(plan.sheets, MOST_SHEETS), 1)
        across, down = (1 if shown == 1 else 2), (1 if shown < 3 else 2)
        high = 0.88 / down
        for number in range(shown):
            where = (0.02 + (0.96 / across) * (number % across), 0.88 - high * (number // across + 1) + 0.02, 0.96 / across - 0.02, high - 0.09)
            ax = _place(self.figure, where)
            ax.set_axis_off()
            corners = lambda x, y, w, h: mm(_corners(x, x + w, y, y + h))  # noqa: E731
            _area(ax, corners(0.0, 0.0, plan.sheet_length, plan.sheet_width), facecolor=style.PAPER, edgecolor=style.INK, lw=1.4)
            scale = max(plan.sheet_length / (self.size[0] * where[2]), plan.sheet_width / (self.size[1] * where[3]))
            for piece in (p for p in plan.pieces if p.sheet == number):
                outline = shapes[piece.name] - shapes[piece.name].min(axis=0)
                _area(ax, mm(piece.placed(outline)), facecolor=style.FOAM, edgecolor=style.INK, lw=0.9, ls="--" if piece.turned_over else "-")
                upright = piece.extent_across > piece.extent_along
                room, narrow = (x / scale for x in sorted((piece.extent_along, piece.extent_across), reverse=True))
                fits = [words for words in (piece.name, piece.name.split()[0]) if len(words) * LETTER < room and narrow > 2 * LETTER]
                ax.text(mm(piece.along + piece.extent_along / 2), mm(piece.across + piece.extent_across / 2), fits[0] if fits else "", fontsize=7.5, ha="center", va="center",
                        rotation=90 if upright else 0)
            _one_scale(ax, self.size, where, mm([-EDGE, plan.sheet_length + EDGE]), mm([-EDGE, plan.sheet_width + EDGE]))
            ax.set_title(f"sheet {number + 1}: {float(mm(plan.sheet_length)):.4g} by {float(mm(plan.sheet_width)):.4g} {unit}", fontsize=9)
        if plan.misfits:
            return f"No room on your sheet for: {', '.join(m.name for m in plan.misfits)}"
        count = "One sheet is" if plan.sheets == 1 else f"{plan.sheets} sheets are"
        rest = f" (the first {MOST_SHEETS} shown)" if plan.sheets > MOST_SHEETS else ""
        return f"{count} enough{rest}, {units.say(plan.used, 'share', significant=2)} used; dashed parts are cut turned over"


QUICK = ("speed_table",)
PICTURES = {"plan": Plan, "speeds": Speeds, "sheets": Sheets, "three_view": ThreeView, "carpet": Carpet, "polar": Polar, "bending": Bending}
SHEETS = {**SHEETS, "nudges": nudges_sheet, "sections": sections_sheet, "stations": stations_sheet, "spars": spars_sheet, "rods": rods_sheet, "settings": trim_sheet}
__all__ = ["PICTURES", "QUICK", "SHEETS", "SOURCES", "numbers"]
