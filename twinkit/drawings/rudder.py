"""Pictures of page 06; its tables stand in rudder_tables."""

import math

import numpy as np
from matplotlib.collections import PolyCollection

from twinkit import units
from twinkit.checks.rudder import percent, rate, speaker, speed_range
from twinkit.drawings import style
from twinkit.drawings.base import Picture
from twinkit.drawings.rudder_seconds import Seconds, modes_sheet, seconds_sheet
from twinkit.drawings.rudder_shown import shown_in
from twinkit.drawings.rudder_sizing import Depends, Sizes, dead_sheet, needed_sheet
from twinkit.drawings.rudder_tables import (band_sheet, card_sheet, derived_sheet, levers_sheet, numbers, one_motor_sheet, parts_sheet, straight_sheet, why_sheet,
                                            worth_sheet)
from twinkit.drawings.rudder_unlike import UnlikeTrim, curve_sheet, remedies_sheet, steering_sheet

SOURCES = ("cfr_23_149", "lateral_practice", "lateral_memory", "flap_chart", "young_flaps", "munk_tr184", "ribner_tr819", "datcom_lateral", "strip_theory",
           "lifting_line_rolling", "etkin_reid")
BEST = "5° of bank, all of the rudder: best case"
MOST_SLIP = 60.0      # end of the sideslip axis, deg
BOX = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.0, "alpha": 0.85}     # behind a word that lies on lines


class ControlSpeed(Picture):
    """Minimum control speed against the throttle of the live motor; without a rudder the sideslip that is left."""

    size = (7.0, 4.2)
    needs = ("rudder",)
    quick = True

    def build(self):
        ax = self.axes = style.place(self.figure, (0.09, 0.12, 0.885, 0.74))
        empty = np.zeros((0, 2))
        self.shade = ax.add_collection(PolyCollection([empty], facecolor=style.FAINT, edgecolor="none", alpha=0.35, zorder=0.5), autolim=False)
        self.band = ax.add_collection(PolyCollection([empty], edgecolor="none", alpha=0.3, zorder=1.5), autolim=False)
        self.line, = ax.plot([], [], lw=2.2)
        self.thin, = ax.plot([], [], color=style.INK, lw=1.1, ls=":")
        self.levels = [ax.plot([0, 100], [0, 0], color=style.INK, lw=1.0, ls=ls)[0] for ls in ("-", "--")]
        self.held, = ax.plot([], [], "o", ms=7)
        self.yours, = ax.plot([], [], "D", color=style.INK, ms=8, clip_on=False)
        self.words = [ax.annotate("", (0, 0), xytext=(0, 3), textcoords="offset points", fontsize=9, bbox=BOX) for _ in range(2)]
        self.held_words = ax.annotate("", (0, 0), xytext=(-4, 10), textcoords="offset points", ha="right", fontsize=9, bbox=BOX)
        ax.set_xlim(0, 100)
        self.legend = ax.legend([self.shade, self.line, self.thin, self.yours], ["", "", "", ""], loc="upper left", fontsize=8.5, frameon=False)

    def fill(self, results):
        out = results.rudder
        side = out.bad
        self.axes.set_xlabel(f"throttle of the {side.live} motor, %   (the {side.dead} one dead)")
        for artist in (self.line, self.held, self.legend.get_lines()[0]):
            artist.set_color(style.SIDE_COLOUR[side.live])
        for artist in (self.line, self.legend.get_lines()[0]):
            artist.set_linestyle(style.SIDE_LINE[side.live])
        self.band.set_facecolor(style.SIDE_COLOUR[side.live])
        return (self._speeds if out.has_rudder else self._slips)(results, out, side)

    def _levels(self, rows):
        """Level lines with their words; fewer rows than lines hide the rest."""
        for line, words, row in zip(self.levels, self.words, [*rows, None, None]):
            line.set_visible(row is not None)
            words.set_visible(row is not None)
            if row is not None:
                line.set_ydata([row[0], row[0]])
                words.xy = (1.0, row[0])
                words.set_text(row[1])

    def _told(self, *texts):
        for entry, text in zip(self.legend.get_texts(), texts):
            entry.set_text(text)

    def _speeds(self, results, out, side):
        system, say = speaker(results)
        x, known = 100.0 * out.throttles, np.isfinite(out.curve)
        (curve, low, high, best), unit = shown_in([np.where(np.isfinite(v), v, np.nan) for v in (out.curve, out.curve_low, out.curve_high, out.curve_best)], "speed", system)
        (approach, stall), _ = shown_in([out.approach, out.stall], "speed", system)
        top = style.reach(1.4 * np.nanmax([approach, *high, *curve]))
        self.shade.set_verts([_between(x, np.zeros_like(x), np.where(known, curve, top))])
        bounded = known & np.isfinite(high)
        self.band.set_verts([_between(x[bounded], low[bounded], high[bounded])])
        self.line.set_data(x, curve)
        self.thin.set_data(x, best)
        self._levels([(value, f"{words} {units.digits(value, 3 if value >= 9.95 else 2)}") for value, words in ((approach, "you come in"), (stall, "stall"))])
        shown = side.cap_thrust.value > 0.0 and side.cap.value < 1.0
        self.held.set_data([100.0 * side.cap.value] if shown else [], [approach] if shown else [])
        self.held_words.set_visible(shown)
        self.held_words.xy = (100.0 * side.cap.value, approach)
        self.held_words.set_text(f"held to {percent(side.cap.value)}")
        self.yours.set_data([100.0 * out.look_throttle], [approach])
        self.axes.set_ylim(0, top)
        self.axes.set_ylabel(f"speed, {unit}")
        self._told("not held", f"wings level, {percent(results.record.value('rudder.used_share'))} of the rudder, with its band", BEST, "yours: approach on the throttle you leave open")
        dead = side.dead.capitalize()
        if not math.isfinite(side.full.value):
            return f"{dead} motor dead: the rudder does not hold even the drag of its propeller, at any speed"
        if side.full.value <= out.approach:
            return f"{dead} motor dead: the rudder holds full throttle from {say(side.full.value, 'speed')} ({speed_range(side.full, system)}), below your approach"
        close = f"close it to {percent(side.safe_throttle)}" if side.safe_throttle > 0.0 else "close both throttles"
        return (f"{dead} motor dead: full throttle is held only above {say(side.full.value, 'speed')} ({speed_range(side.full, system)}); "
                f"you come in at {say(out.approach, 'speed')}: {close} first")

    def _slips(self, results, out, side):
        _, say = speaker(results)
        x, limit = 100.0 * out.throttles, math.degrees(out.sideslip_limit)
        self.shade.set_verts([_between(np.array([0.0, 100.0]), np.full(2, limit), np.full(2, MOST_SLIP))])
        self.band.set_verts([])
        self.line.set_data(x, np.degrees(out.slip_approach))
        self.thin.set_data(x, np.degrees(out.slip_cruise))
        self._levels([(limit, f"{limit:.0f} deg")])
        self.held.set_data([], [])
        self.held_words.set_visible(False)
        self.yours.set_data([100.0 * out.look_throttle], [min(math.degrees(out.slip_look), MOST_SLIP)])
        self.axes.set_ylim(0, MOST_SLIP)
        self.axes.set_ylabel("sideslip, wings held by aileron, deg")
        self._told("more than fin and wing take", f"on the approach, {say(out.approach, 'speed')}", f"in cruise, {say(out.cruise, 'speed')}", "yours: the throttle you leave open")
        return "Without a rudder nothing holds one motor: the aeroplane slips more than fin and wing take. Close both throttles, land straight ahead"


def _between(x, low, high):
    """Outline of the area between two curves."""
    return np.column_stack([np.concatenate([x, x[::-1]]), np.concatenate([low, high[::-1]])])


class Balance(Picture):
    """The aeroplane from above, one motor dead, with the forces that turn it and the rudder that holds it."""

    size = (7.0, 5.4)
    needs = ("rudder", "geometry")

    def build(self):
        self.sketch, self.bars = style.place(self.figure, (0.02, 0.28, 0.96, 0.62)), style.place(self.figure, (0.035, 0.095, 0.945, 0.17))

    def fill(self, results):
        out, geometry, (system, say) = results.rudder, results.geometry, speaker(results)
        side, ax = out.bad, self.sketch
        ax.clear()
        ax.set_axis_off()
        ax.set_aspect("equal")
        dead = -1.0 if side.dead == "left" else 1.0
        self._aeroplane(out, geometry, side, dead)
        held = out.has_rudder and side.cap_thrust.value > 0.0
        thrust = side.cap_thrust.value if held else side.thrust
        forces = [(-dead * geometry.nacelle_out, -geometry.propeller_behind, 0.0, thrust, f"live motor\n{say(thrust, 'thrust')}", style.SIDE_COLOUR[side.live], -dead),
                  (dead * geometry.nacelle_out, -geometry.propeller_behind, 0.0, -side.dead_drag, f"dead propeller\n{say(side.dead_drag, 'thrust', 2)}", style.INK, dead)]
        fin = -(0.25 * geometry.chord + geometry.fin_arm)
        if held:
            forces.append((0.0, fin, dead * side.rudder_force, 0.0, f"rudder\n{say(side.rudder_force, 'force', 2)}", style.INK, dead))
        self._arrows(forces, geometry.span)
        self._wind(geometry, side.sideslip if held else None, say)
        ax.set_xlim(-0.66 * geometry.span, 0.66 * geometry.span)
        ax.set_ylim(-geometry.tail_end_behind - 0.08 * geometry.span, -geometry.nose_behind + 0.28 * geometry.span)
        self._moments(out, side, held, system)
        where = f"{side.dead.capitalize()} motor dead at {say(out.approach, 'speed')}"
        if not out.has_rudder:
            return f"{where}, full throttle on the other: nothing on this aeroplane turns it back"
        if not held:
            return f"{where}: the rudder does not hold even the drag of the dead propeller"
        return (f"{where}, wings level: {percent(results.record.value('rudder.used_share'))} of the rudder holds {say(side.cap_thrust.value, 'thrust')} "
                f"({percent(side.cap.value)} throttle); in calm air it {rate(side.climb.value, system)}")

    def _aeroplane(self, out, geometry, side, dead):
        ax, half = self.sketch, geometry.span / 2.0
        foam = {"facecolor": style.FOAM, "edgecolor": style.INK, "lw": 0.9}
        joint, inset = geometry.taper_start * half, (geometry.chord - geometry.tip_chord) / 2.0
        edge = [(-half, -inset), (-joint, 0.0), (joint, 0.0), (half, -inset)] if inset else [(-half, 0.0), (half, 0.0)]
        ax.fill(*zip(*edge, *((x, -geometry.chord - y) for x, y in reversed(edge))), **foam)
        box = lambda x, front, length, width: ax.fill([x - width / 2, x + width / 2, x + width / 2, x - width / 2], [-front, -front, -front - length, -front - length], **foam)  # noqa: E731
        box(0.0, geometry.nose_behind, geometry.fuselage_length, geometry.fuselage_width)
        box(0.0, 0.25 * geometry.chord + geometry.tail_arm - 0.25 * geometry.tail_chord, geometry.tail_chord, geometry.tail_span)
        for which, sign in (("left", -1.0), ("right", 1.0)):
            box(sign * geometry.nacelle_out, geometry.propeller_behind + 0.02, geometry.nacelle_length, geometry.nacelle_width)
            live = sign != dead
            ax.plot([sign * geometry.nacelle_out + x for x in (-0.09 * geometry.span, 0.09 * geometry.span)], [-geometry.propeller_behind] * 2, lw=2.6 if live else 1.6,
                    color=style.SIDE_COLOUR[which], ls="-" if live else (0, (2, 2)))
        front, share = 0.25 * geometry.chord + geometry.fin_arm - 0.25 * geometry.fin_chord, out.situation.shape.rudder_share
        hinge, moved = front + (1.0 - share) * geometry.fin_chord, -dead * (side.rudder or 0.0)      # trailing edge to the live side
        ax.plot([0.0, 0.0], [-front, -hinge], color=style.INK, lw=3.0, solid_capstyle="butt")
        length = share * geometry.fin_chord
        ax.plot([0.0, length * math.sin(moved)], [-hinge, -hinge - length * math.cos(moved)], color=style.INK, lw=3.0, solid_capstyle="butt")

    def _arrows(self, forces, span):
        """Arrows from where they act; each word stands outward of its arrow (sign -1 left, 1 right)."""
        longest = max(math.hypot(fx, fy) for _, _, fx, fy, *_ in forces)
        for x, y, fx, fy, words, colour, outward in forces:
            dx, dy = (0.24 * span * f / longest for f in (fx, fy))
            self.sketch.annotate("", (x + dx, y + dy), (x, y), arrowprops={"arrowstyle": "-|>", "color": colour, "lw": 2.2, "shrinkA": 0, "shrinkB": 0}, zorder=5)
            beside = x + outward * 0.12 * span if dx == 0.0 else x + dx + outward * 0.02 * span
            self.sketch.annotate(words, (beside, y + max(dy, 0.05 * span) if dx == 0.0 else y), ha="left" if outward > 0 else "right", va="center", fontsize=9, zorder=6)

    def _wind(self, geometry, sideslip, say):
        """The air's direction: from the right of the nose for sideslip above zero."""
        angle, nose = sideslip or 0.0, -geometry.nose_behind
        far, near = 0.25 * geometry.span, 0.06 * geometry.span
        self.sketch.annotate("", (near * math.sin(angle), nose + near * math.cos(angle)), (far * math.sin(angle), nose + far * math.cos(angle)),
                             arrowprops={"arrowstyle": "->", "color": style.FAINT, "lw": 1.6})
        words = "air" if sideslip is None else f"air, {say(abs(sideslip), 'angle', 2)} off the nose"
        self.sketch.annotate(words, (far * math.sin(angle), nose + far * math.cos(angle)), xytext=(6, -4), textcoords="offset points", fontsize=9, color=style.INK)

    def _moments(self, out, side, held, system):
        ax = self.bars
        ax.clear()
        turns = [("live motor", side.thrust_moment if held else side.full_moment), ("dead propeller", side.drag_moment)]
        turns += [("sideslip", side.sideslip_moment)] if held else []
        values, unit = shown_in([v for _, v in turns], "moment", system)
        at = 0.0
        for (_, _), value, colour in zip(turns, values, (style.SIDE_COLOUR[side.live], style.FAINT, style.FOAM)):
            ax.barh(1.0, value, left=at, height=0.42, color=colour, edgecolor=style.INK, lw=0.8)
            at += value
        back = float(shown_in(side.rudder_moment, "moment", system)[0]) if held else 0.0
        ax.barh(0.0, back, height=0.42, color=style.PAPER, edgecolor=style.INK, lw=0.8, hatch="//")
        told = " + ".join(f"{name} {units.digits(v, 2)}" for (name, _), v in zip(turns, values))
        for y, words in ((1.0, f"turns the nose to the {side.dead}: {told}"), (0.0, f"turns it back: {'rudder ' + units.digits(back, 2) if held else 'nothing'}")):
            ax.annotate(words, (0.0, y + 0.24), xytext=(4, 2), textcoords="offset points", fontsize=9)
        ax.set_xlim(0.0, 1.08 * at)
        ax.set_ylim(-0.35, 1.75)
        ax.set_yticks([])
        ax.grid(axis="y", visible=False)
        ax.set_xlabel(f"yawing moment, {unit}")


PICTURES = {"speed": ControlSpeed, "balance": Balance, "depends": Depends, "sizes": Sizes, "seconds": Seconds, "trim": UnlikeTrim}
SHEETS = {"one_motor": one_motor_sheet, "straight": straight_sheet, "why": why_sheet, "dead": dead_sheet, "parts": parts_sheet, "derived": derived_sheet, "worth": worth_sheet, "band": band_sheet,
          "needed": needed_sheet, "levers": levers_sheet, "reactions": seconds_sheet, "modes": modes_sheet, "curve": curve_sheet,
          "remedies": remedies_sheet, "steering": steering_sheet, "card": card_sheet}

__all__ = ["PICTURES", "SHEETS", "SOURCES", "numbers"]
