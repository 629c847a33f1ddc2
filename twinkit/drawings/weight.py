"""Pictures of page 04: where everything sits and balances, and the charge left in each pack over the flight."""

import numpy as np

from twinkit import units
from twinkit.checks.weight import minutes, speaker, told
from twinkit.design.outlines import SPINNER_LENGTH
from twinkit.design.weight import GROUPS
from twinkit.drawings import style, weight_budget, weight_days, weight_packs, weight_tables
from twinkit.drawings.base import Picture
from twinkit.drawings.weight_tables import numbers

SOURCES = ("mechanics", "drive_trade", "builders_board", "pybamm_parameter_sets")
GROUP_WORDS = {"foam": "foam parts", "glue": "glue, tape, paint", "packs": "packs", "motors": "motors", "leads": "leads", "parts": "other parts", "growth": "growth"}
TAIL_HEIGHT = 0.35      # height of the fuselage at its end over that at the wing
MOST_RULERS = 2
DOT = 1.6               # area of a mark, points squared for each gram
EDGE = 0.02             # paper left round the aeroplane [m]
STAYS = 0.0025          # a move nobody makes [m]
PACK_MARK = {"left": 11, "right": 7, "shared": 9}      # one lies behind the other: both are seen


def _unit(results, kind):
    """Shown unit of a kind and the way to it from SI."""
    si_unit, metric, imperial = units.KINDS[kind]
    unit = imperial if results.record.value("start.units") == "imperial" else metric
    return unit, lambda value: units.from_si(np.asarray(value, dtype=float), unit, si_unit)


def _patch(ax, **look):
    from matplotlib.patches import Polygon

    return ax.add_patch(Polygon(np.zeros((4, 2)), closed=True, **look))


class BalancePicture(Picture):
    """The aeroplane from the side, nose left, with the CG strip and each pack's travel under it; below, what weighs how much."""

    size = (7.0, 5.8)
    needs = ("weight", "slide")
    SIDE, STRIP, BARS = (0.02, 0.53, 0.96, 0.39), (0.19, 0.37, 0.79, 0.07), (0.19, 0.015, 0.79, 0.225)
    ROW = 0.13          # height of one ruler under the aeroplane over the height of the axes

    def build(self):
        self.axes, self.strip, self.bars = (style.place(self.figure, where) for where in (self.SIDE, self.STRIP, self.BARS))
        ax, s, b = self.axes, self.strip, self.bars
        for plain in (ax, s):
            plain.grid(False)
            plain.set_yticks([])
            plain.spines["left"].set_visible(False)
        foam = {"facecolor": style.FOAM, "edgecolor": style.INK, "lw": 1.2}
        self.body, self.fin, self.wing, self.nacelle = (_patch(ax, **foam, zorder=z) for z in (2, 1, 3, 4))
        self.tail, = ax.plot([], [], color=style.INK, lw=3.0, zorder=3)
        self.propeller, = ax.plot([], [], color=style.INK, lw=2.2, zorder=4)
        self.things = ax.scatter([], [], facecolor="none", edgecolor=style.THIRD, lw=1.3, zorder=5)
        self.cg_line, = ax.plot([], [], color=style.INK, lw=1.2, ls=(0, (5, 3)), zorder=6)
        self.cg_mark, = ax.plot([], [], color=style.INK, marker="P", ms=10, ls="none", mec=style.PAPER, mew=0.8, zorder=9)
        self.here_wanted = _patch(ax, facecolor=style.PAPER, edgecolor=style.VERDICT_COLOUR["good"], hatch="////", lw=1.0, zorder=7)
        s.set_ylim(0.0, 1.0)
        s.set_ylabel("CG, enlarged", rotation=0, ha="right", va="center", fontsize=9.5)
        self.range = _patch(s, facecolor=style.PAPER, edgecolor=style.VERDICT_COLOUR["good"], hatch="////", lw=1.0, zorder=2)
        self.wanted, = s.plot([], [], color=style.VERDICT_COLOUR["good"], lw=2.8, zorder=3)
        self.neutral, = s.plot([], [], color=style.INK, lw=1.4, ls=(0, (5, 3)), zorder=3)
        self.spread, = s.plot([], [], color=style.INK, lw=1.8, marker="|", ms=9, zorder=5)
        self.now, = s.plot([], [], color=style.INK, marker="P", ms=11, ls="none", mec=style.PAPER, mew=0.8, zorder=6)
        self.marks = {name: s.text(0, 1.04, "", fontsize=8.5, va="bottom", ha=side) for name, side in (("wanted", "center"), ("neutral", "left"))}
        self.rulers = [ax.plot([], [], lw=2.0, marker="|", ms=12, mew=1.6, zorder=3)[0] for _ in range(MOST_RULERS)]
        self.here = [ax.plot([], [], ls="none", ms=9, zorder=6)[0] for _ in range(MOST_RULERS)]
        self.there = [ax.plot([], [], ls="none", ms=12, mfc="none", mew=1.8, zorder=5)[0] for _ in range(MOST_RULERS)]
        self.inside = [ax.plot([], [], ls="none", ms=8, zorder=7)[0] for _ in range(MOST_RULERS)]
        self.words = [ax.text(0, 0, "", fontsize=8.5, va="center") for _ in range(MOST_RULERS)]
        self.rows = b.barh(np.arange(len(GROUPS)), np.zeros(len(GROUPS)), height=0.66, color=style.FOAM, edgecolor=style.INK, lw=1.0, zorder=2)
        self.errors = [b.plot([], [], color=style.INK, lw=1.4, marker="|", ms=6, zorder=3)[0] for _ in GROUPS]
        self.amounts = [b.text(0, k, "", fontsize=8.5, va="center") for k in range(len(GROUPS))]
        b.set_yticks(np.arange(len(GROUPS)), [GROUP_WORDS[n] for n in GROUPS])
        b.set_ylim(len(GROUPS) - 0.4, -0.6)
        b.set_xticks([])
        b.spines["bottom"].set_visible(False)
        b.grid(False)

    def fill(self, results):
        weight, slide, shape = results.weight, results.slide, results.geometry
        unit, mm = _unit(results, "length")
        say = speaker(results)
        top, foot = self._aeroplane(results, shape, mm)
        things = [(i.behind, i.below, i.mass) for i in weight.items if i.group in ("parts", "motors", "leads")]
        x, y, kilos = np.array(things).T
        self.things.set_offsets(np.column_stack((mm(x), mm(y))))
        self.things.set_sizes(DOT * 1000.0 * kilos)
        packs = [i for i in weight.items if i.group == "packs"]
        top, foot = min(top, *y), max(foot, *y, *(p.below for p in packs))
        left = min(shape.nose_behind, shape.propeller_behind, *x, *(min(p.now, p.foremost) for p in slide.packs)) - EDGE
        right = max(shape.tail_end_behind, *(p.rearmost for p in slide.packs), *x, *(i.behind + i.length / 2 for i in weight.items if i.group == "foam")) + EDGE
        width, height = self.size[0] * self.SIDE[2], self.size[1] * self.SIDE[3]
        rows = len(packs)
        span = max((right - left) * height / width, (foot - top + 2 * EDGE) / (1.0 - rows * self.ROW))     # one scale both ways, or lower
        row = self.ROW * span
        levels = [top - EDGE + span - row * (rows - k - 0.45) for k in range(rows)]
        self._strip(weight, slide, results.wing.neutral_behind, shape.chord, unit, mm, say)
        self._rulers(packs, slide, mm, levels, say)
        height = 0.0 if weight.cg_below is None else weight.cg_below
        self.cg_mark.set_data(mm([weight.cg_behind]), mm([height]))
        self.cg_line.set_data(mm([weight.cg_behind] * 2), mm([height, top - EDGE + span]))
        low = top - EDGE + span
        self.here_wanted.set_xy(mm([(slide.front, low - 0.16 * row), (slide.rear, low - 0.16 * row), (slide.rear, low), (slide.front, low)]))
        self.axes.set_xlim(*mm((left, right)))
        self.axes.set_ylim(*mm((top - EDGE + span, top - EDGE)))
        self.axes.set_xlabel(f"behind the leading edge, {unit} (negative: ahead of it)", labelpad=2)
        self._masses(results, weight)
        return self.finding(weight, slide, say, results.record.value("start.units"))

    def _aeroplane(self, results, shape, mm):
        """The side view from the entries; gives its highest and lowest place."""
        middle, half = shape.wing_above, shape.fuselage_height / 2
        tail = TAIL_HEIGHT * half
        corners = [(shape.nose_behind, middle - 0.5 * half), (shape.nose_behind + 0.06, middle - half), (shape.chord, middle - half),
                   (shape.tail_end_behind, middle - half), (shape.tail_end_behind, middle - half + 2 * tail), (shape.chord, middle + half),
                   (shape.nose_behind + 0.04, middle + half), (shape.nose_behind, middle + 0.5 * half)]
        self.body.set_xy(mm(corners))
        front = 0.25 * shape.chord + shape.fin_arm - 0.25 * shape.fin_chord
        high = middle - half - shape.fin_height
        self.fin.set_xy(mm([(front - 0.15 * shape.fin_chord, middle - half), (front + 0.35 * shape.fin_chord, high), (front + 1.05 * shape.fin_chord, high),
                            (front + 1.1 * shape.fin_chord, middle - half)]))
        thick = shape.thickness * shape.chord
        x = np.linspace(0.0, 1.0, 15)
        upper = -thick * 2.6 * np.sqrt(x) * (1.0 - x)
        self.wing.set_xy(mm(np.vstack((np.column_stack((x * shape.chord, upper)), ((shape.chord, 0.0), (0.0, 0.0))))))
        start, beside = shape.propeller_behind + SPINNER_LENGTH, shape.nacelle_width / 2
        level = shape.propeller_below
        self.nacelle.set_xy(mm([(start, level - beside), (start + shape.nacelle_length, level - beside), (start + shape.nacelle_length, level + beside),
                                (start, level + beside)]))
        reach = (results.record.value("power.left.propeller_diameter") or 2.0 * shape.nacelle_width) / 2
        self.propeller.set_data(mm([shape.propeller_behind] * 2), mm([level - reach, level + reach]))
        plane = 0.25 * shape.chord + shape.tail_arm - 0.25 * shape.tail_chord
        self.tail.set_data(mm([plane, plane + shape.tail_chord]), mm([middle - half] * 2))
        return min(high, level - reach), max(middle + half, level + reach)

    def _strip(self, weight, slide, neutral, chord, unit, mm, say):
        """The CG with its spread against the wanted range and the neutral point, along the chord."""
        low, high = weight.cg_behind - weight.cg_spread, weight.cg_behind + weight.cg_spread
        self.range.set_xy(mm([(slide.front, 0.0), (slide.rear, 0.0), (slide.rear, 0.0), (slide.front, 0.0)]) * [1, 0] + [[0, 0.12], [0, 0.12], [0, 0.88], [0, 0.88]])
        self.wanted.set_data(mm([slide.wanted] * 2), [0.12, 0.88])
        self.spread.set_data(mm([low, high]), [0.5, 0.5])
        self.now.set_data(mm([weight.cg_behind]), [0.5])
        known = neutral is not None
        self.neutral.set_visible(known)
        self.neutral.set_data(mm([neutral if known else 0.0] * 2), [0.0, 1.0])
        self.marks["wanted"].set_text("wanted")
        self.marks["wanted"].set_position((mm((slide.front + slide.rear) / 2), 0.92))
        self.marks["neutral"].set_visible(known)
        self.marks["neutral"].set_text("neutral point")
        self.marks["neutral"].set_position((mm(neutral if known else 0.0), 0.92))
        self.strip.set_xlim(*mm((min(0.0, low - EDGE), max(0.75 * chord, high + EDGE, 0.0 if neutral is None else neutral + 2 * EDGE))))
        self.strip.set_xlabel(f"behind the leading edge, {unit}: now {say(weight.cg_behind, 'length')} (± {say(weight.cg_spread, 'length')})", labelpad=1)

    def _rulers(self, packs, slide, mm, levels, say):
        """Each pack's travel as a ruler, the pack where it is (filled) and where it belongs (open)."""
        for k in range(MOST_RULERS):
            shown = k < len(packs)
            for artist in (self.rulers[k], self.here[k], self.there[k], self.inside[k], self.words[k]):
                artist.set_visible(shown)
            if not shown:
                continue
            pack, level, item = slide.packs[k], levels[k], packs[k]
            colour, mark = style.SIDE_COLOUR[pack.side], style.SIDE_MARK[pack.side]
            self.rulers[k].set(data=(mm([pack.foremost, pack.rearmost]), mm([level] * 2)), color=colour, ls=style.SIDE_LINE[pack.side])
            self.here[k].set(data=(mm([pack.now]), mm([level])), marker=mark, color=colour)
            self.there[k].set(data=(mm([pack.together]), mm([level])), marker=mark, markeredgecolor=colour)
            self.inside[k].set(data=(mm([item.behind]), mm([item.below])), marker=mark, color=colour, markeredgecolor=style.INK, ms=PACK_MARK[pack.side])
            name = "pack" if pack.side == "shared" else f"{pack.side} pack"
            there = "stays" if abs(pack.together - pack.now) < STAYS else f"belongs at {say(pack.together, 'length')}"
            self.words[k].set_text(f"{name}, {say(pack.mass, 'mass')}: at {say(pack.now, 'length')}, {there}")
            self.words[k].set_position((mm(max(pack.rearmost, pack.now, pack.together) + EDGE), mm(level)))

    def _masses(self, results, weight):
        """A bar for each group, with its spread."""
        (unit, grams), system = _unit(results, "mass"), results.record.value("start.units")
        amounts, spreads = dict(weight.groups), dict(weight.spread_shares)
        most = max(amounts[n] + spreads[n] for n in GROUPS)
        for k, (name, bar, error, words) in enumerate(zip(GROUPS, self.rows, self.errors, self.amounts)):
            kilos, spread = amounts[name], spreads[name]
            bar.set_width(float(grams(kilos)))
            error.set_data(grams([kilos - spread, kilos + spread]), [k, k])
            words.set_text(f"{units.digits(float(grams(kilos)), 3 if grams(kilos) >= 100 else 2)} {unit}" if kilos else "none")
            words.set_position((float(grams(kilos + spread + 0.015 * most)), k))
        self.bars.set_xlim(0.0, float(grams(1.15 * most)))
        scale = f"; the scale says {units.say(weight.mass, 'mass', system)}" if weight.mass_origin == "scale" else ""
        self.bars.set_title(f"mass and its spread; the list comes to {units.say(weight.list_mass, 'mass', system)}{scale}", fontsize=9.5, pad=3)

    def finding(self, weight, slide, say, system):
        at = f"It balances {say(weight.cg_behind, 'length')} behind the leading edge"
        if slide.front <= weight.cg_behind <= slide.rear:
            return f"{at}, inside the wanted {units.say_range(slide.front, slide.rear, 'length', system)}"
        heavy = "nose" if weight.cg_behind < slide.front else "tail"
        packs = "the pack" if len(slide.packs) == 1 else "both packs"
        if slide.reachable:
            return f"{at}, {heavy}-heavy: {packs} must go {say(abs(slide.slide), 'length')} {'forward' if slide.slide < 0.0 else 'back'}"
        rest = "" if slide.ballast is None else f": with {packs} at the stop it takes {say(slide.ballast, 'mass')} at the {slide.ballast_at}"
        return f"{at}, {heavy}-heavy{rest}"


class ChargePicture(Picture):
    """Charge left in each pack over the flown profile, with the reserve and the land-by time."""

    size = (7.0, 3.6)
    needs = ("flight",)
    WHERE = (0.085, 0.125, 0.895, 0.755)

    def build(self):
        self.axes = ax = style.place(self.figure, self.WHERE)
        paper = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.0}
        self.reserve = _patch(ax, facecolor="none", edgecolor=style.FAINT, hatch="////", lw=0.0, zorder=1)
        self.spread = _patch(ax, facecolor=style.FAINT, edgecolor="none", alpha=0.35, zorder=1)
        self.lines = {side: ax.plot([], [], color=style.SIDE_COLOUR[side], ls=style.SIDE_LINE[side], lw=2.2, zorder=4)[0] for side in ("left", "right", "shared")}
        self.ends = {side: ax.plot([], [], color=style.SIDE_COLOUR[side], marker=style.SIDE_MARK[side], ls="none", ms=7, zorder=6)[0] for side in self.lines}
        self.names = {side: ax.text(0, 0, "", fontsize=9, va="center", bbox=paper, zorder=5) for side in self.lines}
        self.land, self.timer = ax.axvline(0.0, color=style.INK, lw=1.6, zorder=3), ax.axvline(0.0, color=style.INK, lw=1.2, ls=":", zorder=3)
        self.begins = [ax.axvline(0.0, color=style.FAINT, lw=1.0, ls="--", zorder=2) for _ in range(3)]
        self.labels = {name: ax.text(0, 0, "", fontsize=8.5, va="center", bbox=paper, zorder=7) for name in ("land", "timer", "circuits", "reserve")}
        ax.set_xlabel("time in the air, min")
        ax.set_ylabel("charge left, %")

    def fill(self, results):
        flight, ax = results.flight, self.axes
        shown = {p.side: p for p in flight.packs or ()}
        for artist in (self.reserve, self.spread, self.land, self.timer, *self.begins, *self.labels.values()):
            artist.set_visible(bool(shown))
        for side in self.lines:
            for artist in (self.lines[side], self.ends[side], self.names[side]):
                artist.set_visible(side in shown)
        if not shown:
            return "Full throttle does not hold the cruise speed: there is no flight to time"
        time = flight.times / 60.0
        right = 1.12 * max(time[-1], flight.land_by_high / 60.0, 0.5)
        for side, pack in shown.items():
            until = np.searchsorted(flight.times, pack.time, side="right")
            at, left = np.append(time[:until], pack.time / 60.0), np.append(pack.charges[:until], float(pack.charge(pack.time)))
            self.lines[side].set_data(at, 100.0 * left)
            self.ends[side].set_data(at[-1:], 100.0 * left[-1:])
        self._name(flight, shown, right)
        reserve, land, timer = 100.0 * flight.end_charge, told(flight.land_by) / 60.0, told(flight.timer_first) / 60.0      # where the words beside them say
        self.reserve.set_xy([(0.0, 0.0), (right, 0.0), (right, reserve), (0.0, reserve)])
        self.spread.set_xy([(flight.land_by_low / 60.0, 0.0), (flight.land_by_high / 60.0, 0.0), (flight.land_by_high / 60.0, 100.0), (flight.land_by_low / 60.0, 100.0)])
        self.land.set_xdata([land, land])
        self.timer.set_xdata([timer] * 2)
        begins = flight.profile.begins[1:] / 60.0
        for line, begin in zip(self.begins, begins):
            line.set_xdata([begin] * 2)
        places = {"land": (land, 97.0, f"land by {minutes(flight.land_by)}", "right"), "reserve": (0.012 * right, reserve / 2.0, "reserve, stays in the pack", "left"),
                  "timer": (timer, 90.0, f"timer of the first flight {minutes(flight.timer_first)}",
                            "left" if flight.timer_first < 0.6 * flight.land_by else "right"),
                  "circuits": (begins[-1], reserve + 6.0, "circuits from here", "left")}
        for name, (x, y, words, side) in places.items():
            self.labels[name].set_text(words)
            self.labels[name].set_position((x + {"right": -0.008, "left": 0.008}[side] * right, y))
            self.labels[name].set_ha(side)
        ax.set_xlim(0.0, right)
        ax.set_ylim(0.0, 104.0)
        return self.finding(results, flight, shown)

    def _name(self, flight, shown, right):
        """Each line's name beside it, the fuller pack above its line."""
        at = 0.62 * flight.land_by
        order = sorted(shown.values(), key=lambda p: -float(p.charge(at)))
        for k, pack in enumerate(order):
            words = "one supply for both sides and the receiver" if pack.side == "shared" and flight.feeds else "one supply for both sides" if pack.side == "shared" else \
                f"{pack.side} pack{', feeds the receiver' if flight.feeds in (pack.side, 'both') else ''}"
            self.names[pack.side].set_text(words)
            above = k == 0
            self.names[pack.side].set_position((at / 60.0 + (0.02 if above else -0.02) * right, 100.0 * float(pack.charge(at)) + (4.0 if above else -4.0)))
            self.names[pack.side].set_ha("left" if above else "right")

    def finding(self, results, flight, shown):
        say = speaker(results)
        if len(shown) == 1:
            return f"Land by {minutes(flight.land_by)}: then {say(flight.end_charge, 'share', 2)} of the charge is left on both sides"
        first, other = sorted(shown.values(), key=lambda p: p.time)
        return (f"Land by {minutes(flight.land_by)}: then the {first.side} pack is down to {say(flight.end_charge, 'share', 2)}, "
                f"the {other.side} one still holds {say(other.charge_at_landing, 'share', 2)}")


PICTURES = {"balance": BalancePicture, "charge": ChargePicture, **weight_budget.PICTURES, **weight_days.PICTURES}
SHEETS = {**weight_tables.SHEETS, **weight_budget.SHEETS, **weight_days.SHEETS, **weight_packs.SHEETS}
__all__ = ["PICTURES", "SHEETS", "SOURCES", "numbers"]
