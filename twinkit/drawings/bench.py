"""Pictures of page 07: readings on the prediction, and both sides over the stick; the page's tables and numbers stand beside."""

import numpy as np

from twinkit import units
from twinkit.checks.bench_flight import percent
from twinkit.drawings import bench_tables, first_flight_sheets, style
from twinkit.drawings.base import Picture
from twinkit.quantities import SIDES

SOURCES = ("bevington_data", "york_2004", "cook_residuals", "twinkit_bench_comparison", "twinkit_propeller_fit", "modelica_dcpm", "beats_identity", "common_practice")
PANELS = {"speed": "rpm", "current": "current", "thrust": "thrust"}
NOUNS = {"speed": "rpm", "current": "current", "thrust": "thrust"}


def _unit(kind, system):
    """The shown unit of a kind of number, and the way into it."""
    si_unit, metric, imperial = units.KINDS[kind]
    unit = imperial if system == "imperial" else metric
    return unit, lambda value: units.from_si(np.asarray(value, dtype=float), unit, si_unit)


class Compared(Picture):
    """Predicted rpm, current and thrust of both sides over the volts at the controller, with their bands, and what was read."""

    size = (7.0, 3.7)
    needs = ("bench", "compared")

    def build(self):
        self.figure.set_layout_engine("none")
        self.panels = {name: style.axes(self.figure, 1, 3, number + 1) for number, name in enumerate(PANELS)}
        for number, ax in enumerate(self.panels.values()):
            ax.set_position((0.078 + 0.318 * number, 0.235, 0.255, 0.525))
            ax.set_xlabel("volts at the controller, V", fontsize=8.5)
            ax.tick_params(labelsize=8.5)
        self.lines, self.edges, self.fills, self.dots = {}, {}, {}, {}
        for name, ax in self.panels.items():
            for side in SIDES:
                look = {"color": style.SIDE_COLOUR[side], "ls": style.SIDE_LINE[side]}
                self.fills[name, side] = ax.fill([0, 0, 0], [0, 0, 0], color=style.SIDE_COLOUR[side], alpha=0.13, lw=0)[0]
                self.edges[name, side] = [ax.plot([], [], **look, lw=0.7, alpha=0.8)[0] for _ in range(2)]
                self.lines[name, side] = ax.plot([], [], **look, lw=1.8)[0]
                self.dots[name, side] = ax.plot([], [], style.SIDE_MARK[side], color=style.SIDE_COLOUR[side], mec=style.INK, mew=0.8, ms=7.5, ls="none", zorder=5)[0]
        handles = [self.lines["speed", side] for side in SIDES] + [self.dots["speed", side] for side in SIDES]
        self.figure.legend(handles, [f"{side}, predicted" for side in SIDES] + [f"{side}, read" for side in SIDES], loc="lower center", ncol=4, fontsize=8.5,
                           handlelength=2.6, columnspacing=1.4, bbox_to_anchor=(0.5, 0.0), frameon=False)

    def fill(self, results):
        found, system = results.compared, results.record.value("start.units")
        curves = {side: getattr(found, side) for side in SIDES}
        for name, ax in self.panels.items():
            unit, shown = _unit(PANELS[name], system)
            ends = []
            for side, curve in curves.items():
                middle, band = shown(curve.curves[name]), curve.bands[name]
                low, high = middle * (1.0 - band), middle * (1.0 + band)
                self.lines[name, side].set_data(curve.volts, middle)
                for edge, values in zip(self.edges[name, side], (low, high)):
                    edge.set_data(curve.volts, values)
                self.fills[name, side].set_xy(np.column_stack([np.r_[curve.volts, curve.volts[::-1]], np.r_[low, high[::-1]]]))
                read = [(a.reading.volts, shown(_read(a.reading)[name])) for a in curve.against if a.off[name] is not None]
                self.dots[name, side].set_data(*(zip(*read) if read else ([], [])))
                ends += [float(np.nanmin(low)), float(np.nanmax(high)), *(float(y) for _, y in read)]
            ax.set_xlim(min(c.volts[0] for c in curves.values()), max(c.volts[-1] for c in curves.values()))
            ax.set_ylim(0.85 * min(ends) if name == "speed" else 0.0, 1.05 * max(ends))
            ax.set_title({"speed": "rpm", "current": f"from the pack, {unit}", "thrust": f"thrust, {unit}"}[name], fontsize=9)
        return self.finding(results, found)

    def finding(self, results, found):
        """What the picture shows, in a sentence."""
        bound = results.record.value("limits.prediction")
        if found.worst is None:
            first = {"watt": "volts and amps", "scale": "volts, amps and thrust", "tacho": "volts, amps, rpm and thrust"}[results.record.value("bench.tier")]
            band = percent(max(float(getattr(found, side).bands["thrust"][-1]) for side in SIDES))
            return f"A prediction only, its thrust good to {band} (two times in three): read {first} at full throttle, one side after the other"
        worst = found.worst
        where = "within" if abs(worst.off) <= bound else "beyond"
        readings = "one reading lies" if len(found.against) == 1 else f"{len(found.against)} readings lie"
        return (f"Your {readings} up to {percent(worst.off)} off the prediction ({NOUNS[worst.quantity]}, {worst.reading.side}): {where} the {percent(bound)} you allow"
                + ("" if found.blind else "; the prediction leans on them"))


def _read(reading):
    """What was read, by quantity."""
    return {"speed": reading.speed, "current": reading.amps, "thrust": reading.thrust}


class Match(Picture):
    """rpm of both sides over the stick, and the end point that makes them alike."""

    size = (7.0, 3.3)
    needs = ("compared",)

    def build(self):
        self.figure.set_layout_engine("none")
        self.axes = style.axes(self.figure, 1, 1, 1)
        self.axes.set_position((0.105, 0.15, 0.87, 0.68))
        self.lines = {side: self.axes.plot([], [], color=style.SIDE_COLOUR[side], ls=style.SIDE_LINE[side], label=side)[0] for side in SIDES}
        self.level = self.axes.plot([], [], color=style.INK, lw=1.0, ls=":")[0]
        self.marks = {side: self.axes.plot([], [], style.SIDE_MARK[side], color=style.SIDE_COLOUR[side], mec=style.INK, mew=0.8, ms=8, ls="none", zorder=5,
                                           label=f"{side}, full stick now")[0] for side in SIDES}
        self.drop = self.axes.plot([], [], color=style.INK, lw=1.0, ls=(0, (2, 2)))[0]
        self.note = self.axes.annotate("", (0, 0), textcoords="offset points", xytext=(-6, 4), ha="right", fontsize=9)
        self.axes.legend(loc="upper left", fontsize=8.5, handlelength=2.8, frameon=False)
        self.axes.set_xlabel("throttle that reaches the controller, %")
        self.axes.set_ylabel("rpm, standing")
        self.axes.set_xlim(0, 104)

    def fill(self, results):
        match = results.compared.match
        rpm = lambda x: units.from_si(np.asarray(x, dtype=float), "rpm", "rad/s")  # noqa: E731
        speeds, now = dict(zip(SIDES, (match.speeds_left, match.speeds_right))), dict(zip(SIDES, (match.speed_left[1], match.speed_right[1])))
        for side in SIDES:
            self.lines[side].set_data(100 * match.throttles, rpm(speeds[side]))
            at = float(np.interp(now[side], speeds[side], match.throttles))
            self.marks[side].set_data([100 * at], [rpm(now[side])])
        lower = 1.0 if match.curve else min(match.wanted)
        meets = float(np.interp(lower, match.throttles, speeds[match.faster]))
        self.level.set_data([100 * lower, 100], [rpm(meets)] * 2)
        self.drop.set_data([100 * lower] * 2, [0, rpm(meets)])
        self.note.xy = (100 * lower, 0)
        self.note.set_text(f"{match.faster}: {100 * lower:.0f} %" if lower < 1.0 else "")
        self.axes.set_ylim(0, 1.08 * max(float(rpm(s).max()) for s in speeds.values()))
        return self.finding(results, match)

    def finding(self, results, match):
        """What the picture shows, in a sentence."""
        full, bound = match.difference[1], results.record.value("limits.rpm_match")
        ground = "" if match.measured else " (predicted, not yet read)"
        thing = "turns" if match.by == "rpm" else "pulls as if it turned"
        if abs(full) <= bound:
            close = f" to within {percent(full)}" if abs(full) >= 0.0005 else ""
            return f"At full stick both sides {'turn' if match.by == 'rpm' else 'pull'} alike{close}{ground}"
        ahead, lower = "right" if full > 0 else "left", 1.0 if match.curve or not match.separate else min(match.wanted)
        cure = f": full stick at {100 * lower:.0f} % of the throttle on the {match.faster} makes them equal" if lower < 1.0 else ""
        return f"At full stick the {ahead} side {thing} {percent(full)} faster{ground}{cure}"


def numbers(results):
    """The numbers of this step as text."""
    return bench_tables.numbers(results)


PICTURES = {"compared": Compared, "match": Match}
SHEETS = {**bench_tables.SHEETS, **first_flight_sheets.SHEETS}
