"""Pictures of page 01 on layouts and packs: what single failures take, all layouts that can be built, and the discharge of both sides."""

import textwrap

import numpy as np

from twinkit import units
from twinkit.drawings import style
from twinkit.drawings.base import Picture

TAKEN = (("radio_lost", "radio lost", style.INK, ""), ("no_motor", "both motors stop", "#7d6b91", "//"), ("one_motor", "one motor stops", "#d5d0c2", ""))
PACKS = {"one": ("one pack", "^", "#5b6670"), "two": ("two packs", "o", style.THIRD), "joined": ("two packs joined", "s", "#7d6b91")}
LABEL_WIDTH = 30
NUDGE = 0.22             # how far layouts of one count stand apart, so that each is seen


class LayoutBars(Picture):
    """A bar for each layout beside yours: how many single failures take the radio, both motors or one; thrust, time and mass beside it."""

    size = (7.0, 4.2)
    needs = ("layouts",)

    def build(self):
        self.figure.clear()

    def fill(self, results):
        ax, rows, say = _clean(self.figure, (0.285, 0.115, 0.40, 0.71)), results.layouts.rows, _say(results)
        ax.grid(axis="y", visible=False)
        ax.set_axisbelow(True)
        place = np.arange(len(rows))[::-1]
        left = np.zeros(len(rows))
        for name, words, colour, hatch in TAKEN:
            wide = np.array([getattr(r.counted, name) for r in rows], dtype=float)
            ax.barh(place, wide, left=left, height=0.62, color=colour, edgecolor=style.INK, lw=0.6, hatch=hatch, label=words)
            left = left + wide
        ax.set_yticks(place, [textwrap.fill(r.words[0].upper() + r.words[1:] + (" (page\u00a002:\u00a0stop)" if r.stopped else ""), LABEL_WIDTH) for r in rows], fontsize=8.5)
        for tick, row in zip(ax.get_yticklabels(), rows):
            tick.set_fontweight("bold" if row.chosen else "normal")
        for at, row in zip(place, rows):
            ax.text(1.03, at, _told(row, say), transform=ax.get_yaxis_transform(), va="center", fontsize=8.5, color=style.INK, fontweight="bold" if row.chosen else "normal")
        ax.text(1.03, len(rows) - 0.42, "both pull · cruise · mass", transform=ax.get_yaxis_transform(), va="bottom", fontsize=8.5, color=style.INK)
        ax.set_ylim(-0.6, len(rows) - 0.35)
        ax.set_xlim(0.0, float(left.max()) + 1.0)
        ax.set_xlabel("single failures, counted from the wiring")
        handles, words = ax.get_legend_handles_labels()
        ax.legend(handles, words, loc="lower right", bbox_to_anchor=(1.03, 1.0), ncol=3, fontsize=8.5, frameon=False, columnspacing=1.0, handlelength=1.2)
        sound = [r for r in rows if not (r.one_controller or r.stopped)] or rows
        best = min(sound, key=lambda r: r.counted.radio_lost + r.counted.no_motor)
        mine = next((r for r in rows if r.chosen), None)
        count = lambda r: r.counted.radio_lost + r.counted.no_motor  # noqa: E731
        if mine is None:
            return f"Yours cannot be built; of those beside it, {best.words} loses everything in the fewest cases, {count(best)}"
        if count(mine) <= count(best):
            return f"Yours loses everything in {count(mine)} of its single failures; no layout that differs in one decision and that page 02 lets pass does better"
        return f"Yours loses everything in {count(mine)} of its single failures; {best.words} would in {count(best)}"


def _clean(figure, where):
    """A clean paper with axes at a fixed place."""
    figure.clear()
    return style.place(figure, where)


def _told(row, say):
    """Thrust, time and mass of a layout in short."""
    if row.one_controller:
        return "cannot be timed"
    mass = say(abs(row.more_mass), "mass", 2 if abs(row.more_mass) > 0.0095 else 1)
    more = "same" if abs(row.more_mass) < 5e-4 else f"{'+' if row.more_mass > 0 else '−'}{mass}"
    return " · ".join([say(row.thrust, "thrust") if row.thrust else "not known", say(row.time, "time", 2) if row.time else "not known", more])


class AllLayouts(Picture):
    """Every layout that can be built, but the two page 02 stops (one controller, two regulators straight on one rail): joints, and failures that lose everything."""

    size = (7.0, 3.9)
    needs = ("layouts",)

    def build(self):
        self.figure.clear()

    def fill(self, results):
        ax, whole = _clean(self.figure, (0.085, 0.13, 0.89, 0.70)), results.layouts.whole
        seen = {}
        for kind, (words, mark, colour) in PACKS.items():
            own = [w for w in whole if w.layout.packs == kind]
            spots = [_spot(w, seen) for w in own]
            ax.plot(*zip(*spots), mark, color=colour, ms=7, mec=style.PAPER, mew=0.6, label=words, ls="none", zorder=3)
            for spot, w in zip(spots, own):
                if w.chosen:
                    ax.plot(*spot, "o", ms=15, mfc="none", mec=style.INK, mew=1.6, zorder=4)
                    ax.annotate("yours", spot, xytext=(0, -20), textcoords="offset points", ha="center", fontsize=9, fontweight="bold")
        sound = [w for w in whole if not w.stopped] or list(whole)
        least = min(w.lose_all for w in sound)
        best = min((w for w in sound if w.lose_all == least), key=lambda w: w.joints)
        ax.set_ylim(0.0, max(w.lose_all for w in whole) + 2.5)
        ax.set_xlim(min(w.joints for w in whole) - 1.5, max(w.joints for w in whole) + 1.5)
        ax.set_xlabel("plugs and power joints: each is work, weight and a place to fail")
        ax.set_ylabel("failures that lose everything")
        ax.yaxis.get_major_locator().set_params(integer=True)
        ax.xaxis.get_major_locator().set_params(integer=True)
        ax.legend(loc="upper center", ncol=3, fontsize=8.5, frameon=False)
        source = {"both_diodes": "both regulators through a diode each", "receiver_pack": "a receiver pack", "stand_alone": "a regulator of its own"}.get(best.layout.source, "one regulator")
        mine = next((w for w in whole if w.chosen), None)
        hot = f" (page 02 stops {len(whole) - len(sound)} for their regulators)" if len(sound) < len(whole) else ""
        begin = f"{len(whole)} layouts can be soundly wired{hot}"
        own = "" if mine is None else f"; yours loses everything in {mine.lose_all} cases"
        return f"{begin}{own}, the best{' of the others' if hot else ''} in {least}: {PACKS[best.layout.packs][0]}, {source}"


def _spot(whole, seen):
    """Place of a layout; those of the same count stand side by side."""
    at = whole.joints, whole.lose_all
    seen[at] = seen.get(at, -1) + 1
    number = seen[at]
    return at[0] + NUDGE * ((number + 1) // 2) * (-1 if number % 2 else 1) * 2.0, at[1]


class DischargePicture(Picture):
    """Volts of a cell under the load of the cruise over time, down to the first limit and the cut-off."""

    size = (7.0, 3.7)
    needs = ("discharge",)

    def build(self):
        self.figure.clear()

    def fill(self, results):
        ax, found, say = _clean(self.figure, (0.09, 0.135, 0.885, 0.715)), results.discharge, _say(results)
        minutes = found.times / 60.0
        lowest = found.cut_off
        for supply in found.supplies:
            until = np.searchsorted(found.times, supply.time, side="right")
            volts = supply.cell_volts[:until]
            end = float(np.interp(supply.time, found.times, supply.cell_volts))
            colour = style.SIDE_COLOUR[supply.side]
            ax.plot(np.append(minutes[:until], supply.time / 60.0), np.append(volts, end), color=colour, ls=style.SIDE_LINE[supply.side], lw=2.2, zorder=3)
            ax.plot([supply.time / 60.0], [end], style.SIDE_MARK[supply.side], color=colour, ms=8, mec=style.INK, zorder=5)
            ax.plot([supply.time_low / 60.0, supply.time_high / 60.0], [end, end], color=colour, lw=5.0, alpha=0.3, solid_capstyle="butt", zorder=2)
            lowest = min(lowest, end)
        for number, supply in enumerate(sorted(found.supplies, key=lambda s: s.time)):
            words = {"shared": "one supply", "left": "left pack", "right": "right pack"}[supply.side] + (", feeds the receiver" if supply.feeds else "")
            end = float(np.interp(supply.time, found.times, supply.cell_volts))
            ax.annotate(words, (supply.time / 60.0, end), xytext=(4, 12 if number else -14), textcoords="offset points", ha="right", fontsize=9, color=style.SIDE_COLOUR[supply.side], fontweight="bold")
        ax.axhline(found.cut_off, color=style.INK, lw=1.2, ls=":")
        ax.text(0.01, found.cut_off, f"cut-off {say(found.cut_off, 'volts')}", transform=ax.get_yaxis_transform(), va="bottom", fontsize=8.5)
        ax.set_xlim(0.0, 1.06 * max(s.time_high for s in found.supplies) / 60.0)
        ax.set_ylim(min(lowest, found.cut_off) - 0.08, 4.25)
        ax.set_xlabel("straight cruise with gusts, min (pale: two times in three)")
        ax.set_ylabel("volts of a cell under load")
        return discharge_words(results)


def discharge_words(results):
    """Which side is at its end first, and how unlike the sides are then."""
    found, system = results.discharge, results.record.value("start.units")
    until = lambda supply: units.say(supply.time, "time", system, 2)  # noqa: E731
    if found.first == "shared":
        return f"One supply carries both sides and is at its end after {until(found.supplies[0])} of cruise"
    if found.first == "both":
        return f"Both packs are at their end after {until(min(found.supplies, key=lambda s: s.time))} of cruise"
    first = next(s for s in found.supplies if s.side == found.first)
    why = f"down to {units.digits(100.0 * first.charge, 2)} %" if first.limit == "charge" else "at its cut-off"
    other = "right" if found.first == "left" else "left"
    stronger = other if (found.apart > 0.0) == (other == "right") else found.first
    more = abs(found.apart) if stronger == "right" else abs(1.0 / (1.0 + found.apart) - 1.0)
    return (f"The {found.first} pack{', which feeds the receiver,' if first.feeds else ''} is {why} after {until(first)}; the {other} one still holds "
            f"{units.digits(100.0 * found.rest, 2)} % and full throttle then pulls {units.digits(100.0 * more, 2)} % more on the {stronger}")


def _say(results):
    system = results.record.value("start.units")
    return lambda value, kind, significant=3: units.say(value, kind, system, significant)
