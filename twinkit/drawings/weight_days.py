"""The same flight on another day and with other packs: a table, a picture over the size of the packs, and the flights drawn within the spreads."""

import numpy as np

from twinkit import units
from twinkit.checks.weight import minutes, speaker, told
from twinkit.drawings import style
from twinkit.drawings.base import Picture, Sheet

STEP = 0.02      # share of the land-by time that a size more must bring to be worth telling


def _speed(results):
    si_unit, metric, imperial = units.KINDS["speed"]
    unit = imperial if results.record.value("start.units") == "imperial" else metric
    return unit, lambda x: units.from_si(np.asarray(x, dtype=float), unit, si_unit)


def _no_flight(results):
    return not results.flight.missing and not results.flight.holds


def days_sheet(results):
    """Land-by times as entered, on a colder day, with older and with bigger packs."""
    found, say, title = results.flight_cases, speaker(results), "On another day, with other packs"
    if found.missing or found.cases is None:
        return Sheet.waiting(title, found.missing) if found.missing else Sheet(title, ("needed", "value"), (("not known", "full throttle does not hold the cruise speed"),))
    base, rows = found.cases[0], []
    for c in found.cases:
        end = "cut-off" if c.limits[c.first] == "cut-off" else "charge"
        side = "both" if len(c.times) == 1 else c.first
        change = "" if c is base else "no change" if abs(c.land_by - base.land_by) < 30.0 else f" ({'+' if c.land_by > base.land_by else '−'}{say(abs(c.land_by - base.land_by), 'time', 2)})"
        words = f"{c.words}, {say(found.temperature, 'temperature', 2)}" if "colder" in c.words and "older packs on" not in c.words else c.words
        words = f"{words}, {say(found.bigger * found.size, 'charge', 3)}{' each' if len(results.power.packs) == 2 else ''}" if "bigger" in c.words else words
        rows.append((words, f"{minutes(c.land_by)}{change}", f"{side}, {end}", say(c.climb_volts, "volts"), say(c.end_volts, "volts"), say(c.mass, "mass")))
    note = ("Volts are those of a cell of the weaker pack. The colder day is colder for the packs too; older packs have about two seasons more; bigger ones weigh more in the same "
            "measure, and the wing carries that. Keep packs warm until you fly, and write a winter timer beside the summer one.")
    return Sheet(title, ("flight", "land by", "first, by", "lowest in launch and climb", "full throttle at the end", "mass"), tuple(rows), note=note)


class SizesPicture(Picture):
    """Land-by time over the size of the packs, each flown at its own mass, and the stall speed that comes with it."""

    size = (7.0, 3.3)
    needs = ("flight_cases",)

    def build(self):
        self.axes = ax = style.place(self.figure, (0.085, 0.15, 0.83, 0.70))
        self.other = ax.twinx()
        self.other.set_position(ax.get_position())       # a twin stands where the layout would have put the axes, not where they were placed
        for name, spine in self.other.spines.items():
            spine.set_visible(name == "right")
        self.other.grid(False)
        self.times, = ax.plot([], [], color=style.INK, lw=2.2, zorder=3)
        self.stall, = self.other.plot([], [], color=style.THIRD, lw=1.8, ls=(0, (5, 3)), zorder=2)
        self.now, = ax.plot([], [], color=style.INK, marker="P", ms=11, ls="none", mec=style.PAPER, mew=0.8, zorder=5)
        paper = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.0}
        self.words = {name: ax.text(0, 0, "", fontsize=9, va="center", bbox=paper, zorder=4) for name in ("times", "now")}
        self.stall_words = self.other.text(0, 0, "", fontsize=9, va="center", bbox=paper, zorder=4, color=style.INK)
        ax.set_ylabel("land by, min")

    def fill(self, results):
        found, say, ax = results.flight_cases, speaker(results), self.axes
        shown = found.sizes is not None
        for artist in (self.times, self.stall, self.now, *self.words.values(), self.stall_words):
            artist.set_visible(shown)
        if not shown:
            return "Full throttle does not hold the cruise speed: there is no flight to time"
        charge = units.from_si(found.sizes, "mAh", "C")
        unit, speed = _speed(results)
        time, stall, here = found.land_by / 60.0, speed(found.stall), float(units.from_si(found.size, "mAh", "C"))
        at = float(np.interp(here, charge, time))
        self.times.set_data(charge, time)
        self.stall.set_data(charge, stall)
        self.now.set_data([here], [at])
        ax.set_xlim(charge[0], charge[-1])
        ax.set_ylim(0.0, 1.18 * time.max())
        low, high = float(stall.min()), float(stall.max())
        self.other.set_ylim(low - 1.2 * (high - low), high + 0.3 * (high - low))
        self.other.set_ylabel(f"stall speed, {unit}")
        each = "of the pack" if len(results.power.packs) == 1 else "of each pack"
        ax.set_xlabel(f"capacity {each}, mAh", labelpad=2)
        k = int(0.72 * len(charge))
        self._say("times", charge[k], time[k] + 0.09 * time.max(), "time", "right")
        self._say("now", here + 0.02 * (charge[-1] - charge[0]), at - 0.10 * time.max(), f"yours: {minutes(60.0 * at)}, {say(float(np.interp(found.size, found.sizes, found.mass)), 'mass')}", "left")
        self.stall_words.set_text("stall speed")
        self.stall_words.set_position((charge[3], stall[3] + 0.22 * (high - low)))
        bigger = found.cases[-1]
        gain, more = bigger.land_by - found.cases[0].land_by, bigger.mass - found.cases[0].mass
        return (f"{say(found.bigger - 1.0, 'share', 2)} more capacity brings {say(gain, 'time', 2)} and {say(more, 'mass')}" if gain > STEP * found.cases[0].land_by else
                f"{say(found.bigger - 1.0, 'share', 2)} more capacity brings no more time, only {say(more, 'mass')}")

    def _say(self, name, x, y, words, side):
        self.words[name].set_text(words)
        self.words[name].set_position((x, y))
        self.words[name].set_ha(side)


class DrawnPicture(Picture):
    """Share of the drawn flights that are still within their limits, over the time in the air."""

    size = (7.0, 2.9)
    needs = ("flights_drawn",)

    def build(self):
        self.axes = ax = style.place(self.figure, (0.085, 0.17, 0.895, 0.66))
        self.curve, = ax.plot([], [], color=style.INK, lw=2.2, drawstyle="steps-post", zorder=3)
        self.lines = {name: ax.axvline(0.0, color=style.INK, lw=1.3, ls=ls, zorder=2) for name, ls in (("timer", ":"), ("earliest", (0, (5, 3))), ("land", "-"))}
        paper = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.0}
        self.words = {name: ax.text(0, 0, "", fontsize=8.5, va="center", bbox=paper, zorder=5) for name in self.lines}
        ax.set_xlabel("time in the air, min", labelpad=2)
        ax.set_ylabel("within limits, %")
        ax.set_ylim(0.0, 104.0)

    def fill(self, results):
        drawn, flight = results.flights_drawn, results.flight
        shown = drawn.land_by is not None
        for artist in (self.curve, *self.lines.values(), *self.words.values()):
            artist.set_visible(shown)
        if not shown:
            return "Full throttle does not hold the cruise speed: there is no flight to time"
        times = np.sort(drawn.land_by) / 60.0
        self.curve.set_data(np.concatenate(([0.0], times)), 100.0 * (1.0 - np.arange(len(times) + 1) / len(times)))
        right = 1.05 * times[-1]
        self.axes.set_xlim(0.0, right)
        marks = {"timer": (flight.timer_first, f"first-flight timer {minutes(flight.timer_first)}", 12.0, "left"),
                 "earliest": (drawn.earliest, f"nine in ten last {minutes(drawn.earliest)}", 32.0, "right"), "land": (flight.land_by, f"land by {minutes(flight.land_by)}", 52.0, "left")}
        for name, (time, words, height, side) in marks.items():
            place = told(time) / 60.0       # where the words beside it say
            self.lines[name].set_xdata([place] * 2)
            self.words[name].set_text(words)
            self.words[name].set_ha(side)
            self.words[name].set_position((place + (0.01 if side == "left" else -0.01) * right, height))
        within = float(np.mean(drawn.land_by < flight.timer_first))
        why = "what differs from flight to flight" if drawn.logged else "what nobody has measured yet"
        often = "" if not drawn.first else f"; the {max(drawn.first, key=drawn.first.get)} pack is first in {100.0 * max(drawn.first.values()):.0f} of 100"
        early = "none of them ends" if within == 0.0 else "fewer than 1 of 100 end" if within < 0.01 else f"{100.0 * within:.0f} of 100 end"
        return f"{drawn.count} flights drawn within {why}: {early} before the first-flight timer{often}"


PICTURES = {"sizes": SizesPicture, "drawn": DrawnPicture}
SHEETS = {"days": days_sheet}
