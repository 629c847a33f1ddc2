"""Page 06, sizes: what the minimum control speed depends on, the map over fin and rudder, the fin that is needed, the dead propeller."""

import math

import numpy as np

from twinkit import units
from twinkit.checks.rudder import percent, rate, speaker
from twinkit.drawings import style
from twinkit.drawings.base import Picture, Sheet
from twinkit.drawings.rudder_shown import not_known, shown_in

STATES = {"folded": "folds", "stopped": "stands still", "windmilling": "windmills", "braked slowly": "turns slowly, braked"}
NOTHING = "no speed is enough"


class Depends(Picture):
    """Minimum control speed over bank, travel, fin, rudder and nacelle place, one at a time."""

    size = (7.0, 5.6)
    needs = ("sizing",)
    PANELS = (("bank", "angle", "bank to the live side, deg"), ("throw", "angle", "rudder throw, deg"), ("nacelles out", "length", "nacelles out, {}"),
              ("fin height", "length", "fin height, {}"), ("rudder share", "share", "rudder, % of the fin chord"))

    def build(self):
        *panels, self.words = style.places(self.figure, 2, 3, (0.085, 0.09, 0.895, 0.80), (0.065, 0.13))
        self.panels = {}
        for ax, (name, _, _) in zip(panels, self.PANELS):
            full, = ax.plot([], [], lw=2.2)
            look, = ax.plot([], [], lw=1.6, color=style.INK, ls=(0, (1, 1)))
            levels = [ax.axhline(0.0, color=style.INK, lw=0.9, ls=ls) for ls in ("-", "--")]
            yours, = ax.plot([], [], "D", color=style.INK, ms=6.5)
            self.panels[name] = (ax, full, look, levels, yours)
        self.words.set_axis_off()
        self.none = {name: panel[0].annotate("", (0.5, 0.85), xycoords="axes fraction", ha="center", va="top", fontsize=9) for name, panel in self.panels.items()}

    def fill(self, results):
        out, sizing, (system, say) = results.rudder, results.sizing, speaker(results)
        side = out.bad
        speeds = [np.where(np.isfinite(x), x, np.nan) for line in sizing.lines for x in (line.full, line.look)]
        (approach, stall), unit = shown_in([out.approach, out.stall], "speed", system)
        most = np.nanmax(np.concatenate([*speeds, [out.approach]]))
        top = 1.12 * float(shown_in(most, "speed", system)[0])
        for k, (name, kind, label) in enumerate(self.PANELS):
            ax, full, look, levels, yours = self.panels[name]
            line = sizing.line(name)
            values, shown = shown_in(line.values, kind, system)
            over, under = (shown_in(np.where(np.isfinite(x), x, np.nan), "speed", system)[0] for x in (line.full, line.look))
            full.set_data(values, over)
            look.set_data(values, under)
            full.set_color(style.SIDE_COLOUR[side.live])
            full.set_linestyle(style.SIDE_LINE[side.live])
            for level, at in zip(levels, (approach, stall)):
                level.set_ydata([at, at])
            at = float(shown_in(line.yours, kind, system)[0])
            height = np.interp(at, values, over) if values[0] <= at <= values[-1] else np.nan
            yours.set_data([at] if np.isfinite(height) else [], [height] if np.isfinite(height) else [])
            look.set_visible(out.look_throttle < 1.0)
            self.none[name].set_text("" if np.isfinite(over).any() else "none without a rudder" if not out.has_rudder else "none")
            ax.set_xlim(values[0], values[-1])
            ax.set_ylim(0.7 * stall, top)
            ax.set_xlabel(label.format(shown))
            ax.set_ylabel(f"speed, {unit}" if k % 3 == 0 else "")
        _, full, look, levels, yours = self.panels["bank"]
        told = [(full, "full throttle"), (look, f"{percent(out.look_throttle)} throttle"), (yours, "yours, full throttle"), (levels[0], f"you come in, {say(out.approach, 'speed')}"),
                (levels[1], f"stall, {say(out.stall, 'speed')}")]
        told = [row for row in told if row[0].get_visible()]
        self.words.legend(*zip(*told), loc="center left", bbox_to_anchor=(-0.2, 0.5), fontsize=9, frameon=False)
        if not out.has_rudder:
            return "Without a rudder no bank and no size of the fin gives a minimum control speed; a rudder of the shares drawn would"
        near, bank = sizing.line("nacelles out"), sizing.line("bank")
        gain = near.full[np.argmin(np.abs(near.values - out.nacelle_out))] - np.interp(sizing.closest, near.values, near.full)
        lean = bank.full[0] - np.interp(out.situation.bank_limit, bank.values, bank.full)
        told = [f"{words} take {say(x, 'speed', 2)} off" for words, x in ((f"nacelles at {say(sizing.closest, 'length')}", gain), ("5° of bank", lean)) if np.isfinite(x) and x >= 0.05]
        return f"Minimum control speed, {side.dead} motor dead, one thing changed at a time" + (f": {', '.join(told)}" if told else "")


class Sizes(Picture):
    """Climb on what is held over fin height and rudder share."""

    size = (7.0, 4.6)
    needs = ("sizing",)

    def build(self):
        """Drawn anew each time, as contours are."""

    def fill(self, results):
        out, sizing, (system, say) = results.rudder, results.sizing, speaker(results)
        self.figure.clear()
        ax = style.place(self.figure, (0.085, 0.27, 0.895, 0.62))
        heights, unit = shown_in(sizing.heights, "length", system)
        climbs, climb_unit = shown_in(sizing.climb, "climb", system)
        wanted = float(shown_in(sizing.wanted, "climb", system)[0])
        shares = 100.0 * sizing.shares
        step = _step(np.ptp(climbs) / 7.0)
        levels = np.arange(np.floor(climbs.min() / step), np.ceil(climbs.max() / step) + 1.0) * step
        ax.contourf(heights, shares, climbs, levels=[-1e9, wanted, 1e9], colors=[style.FAINT, style.PAPER], alpha=0.35)
        lines = ax.contour(heights, shares, climbs, levels=levels, colors=style.INK, linewidths=0.8, linestyles="-")
        ax.clabel(lines, fontsize=8.5, fmt=lambda x: units.signed(x, 1) if abs(x) > 1e-9 else "0")
        handles, words = [], []
        looks = ((sizing.climb, "as it is", "-", 2.6), (sizing.climb_low, "as it is, lower end of the band", (0, (1, 1)), 2.2),
                 (sizing.climb_closer, f"nacelles at {say(sizing.closest, 'length')}", (0, (6, 2)), 2.0), (sizing.climb_folded, "propellers that fold", (0, (3, 1, 1, 1)), 2.0))
        for values, name, ls, width in looks:
            if values is not None and values.min() < sizing.wanted <= values.max():
                ax.contour(heights, shares, shown_in(values, "climb", system)[0], levels=[wanted], colors=style.SIDE_COLOUR[out.bad.live], linewidths=width, linestyles=[ls])
                handles.append(ax.plot([], [], color=style.SIDE_COLOUR[out.bad.live], lw=width, ls=ls)[0])
                words.append(f"{_wanted_words(sizing.wanted, say)}: {name}")
        if sizing.weathercock_height is not None:
            handles.append(ax.axvline(float(shown_in(sizing.weathercock_height, "length", system)[0]), color=style.THIRD, lw=1.4, ls="--"))
            words.append("left of it: too little weathercock stability")
        share = out.situation.shape.rudder_share
        handles.append(ax.plot([float(shown_in(out.situation.shape.fin_height, "length", system)[0])], [max(100.0 * share, shares[0])], "D", color=style.INK, ms=8, clip_on=False)[0])
        words.append("yours" if share > 0.0 else "yours (it has no rudder)")
        ax.legend(handles, words, loc="upper center", bbox_to_anchor=(0.5, -0.14), ncols=2, fontsize=8.5, frameon=False)
        ax.set_xlim(heights[0], heights[-1])
        ax.set_ylim(shares[0], shares[-1])
        ax.set_xlabel(f"fin height, {unit}   (its chord {say(out.situation.shape.fin_chord, 'length')} kept)")
        ax.set_ylabel("rudder, % of the fin chord")
        best = float(np.max(sizing.climb))
        goal = _wanted_words(sizing.wanted, say)
        found = [(n.share, n.as_it_is) for n in sizing.needed if n.as_it_is is not None]
        if found:
            share, height = min(found, key=lambda row: abs(row[0] - max(out.situation.shape.rudder_share, 0.3)))
            verdict = f"{goal} takes a fin {say(height, 'length')} high at {percent(share)} of rudder, most likely"
        else:
            verdict = f"no fin in this picture brings {goal}; the best {rate(best, system)}"
        return f"{out.bad.dead.capitalize()} motor dead: {verdict}. Lines: climb on what is held, {climb_unit}; grey: too little"


def _wanted_words(wanted, say):
    return "level flight" if abs(wanted) < 0.005 else f"{say(wanted, 'climb', 2)} of climb"


def _step(rough):
    """A round step near this size."""
    return min((0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0), key=lambda x: abs(math.log(x / max(rough, 1e-3))))


def needed_sheet(results):
    """The fin that the wanted margin takes."""
    out, sizing, (_, say) = results.rudder, results.sizing, speaker(results)
    title = "Fin and rudder for the margin you want"
    if sizing.missing:
        return not_known(sizing.missing, title)
    chord = out.situation.shape.fin_chord
    fin = lambda height: "no usual fin" if height is None else f"{say(height, 'length')}, {say(height * chord, 'area', 2)}"  # noqa: E731
    rows = tuple((f"{percent(n.share)}{' (yours)' if abs(n.share - out.situation.shape.rudder_share) < 5e-4 else ''}", fin(n.as_it_is), fin(n.closer), fin(n.folded)) for n in sizing.needed)
    own = out.situation.shape.fin_height
    return Sheet(title, ("rudder, share of the fin chord", "fin as things are", f"with nacelles at {say(sizing.closest, 'length')}", "with propellers that fold"), rows,
                 note=f"Smallest fin on which the {out.bad.live} motor brings {_wanted_words(sizing.wanted, say)} at approach speed with wings level, most likely values. "
                      f"Yours: {say(own, 'length')} high, {say(own * chord, 'area', 2)}. The margin wanted is a limit at the end of this page; the findings ask it at the lower end of the band.")


def dead_sheet(results):
    """What the dead propeller does, and what that costs."""
    out, sizing, (system, say) = results.rudder, results.sizing, speaker(results)
    title = "What the dead propeller costs"
    if sizing.missing:
        return not_known(sizing.missing, title)
    mine = lambda name: " (yours)" if name == out.situation.dead_state else ""  # noqa: E731
    rows = tuple((f"{STATES[d.name]}{mine(d.name)}", f"{say(d.drag, 'thrust', 2)}", say(d.speed, "speed") if math.isfinite(d.speed) else NOTHING,
                  percent(d.cap) if d.cap > 0.0 else "nothing", rate(d.climb, system), f"{d.low:g} to {d.high:g}") for d in sizing.dead_states)
    brake = " and ".join(f"the {side} one {'set' if on else 'off'}" for side, on in zip(("left", "right"), out.brakes))
    return Sheet(title, ("the dead propeller", "drag on the approach", "control speed, full throttle", "throttle held", "on that throttle it", "drag coefficient on its disc"), rows,
                 note=f"{out.bad.dead.capitalize()} motor dead, wings level. Brakes on page 02: {brake}. A brake stops a propeller only while its controller has power, and only a stopped propeller folds. "
                      "Turning slowly against a weak brake is the worst. No measurement on propellers this small was found.")
