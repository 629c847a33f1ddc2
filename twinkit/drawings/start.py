"""Pictures and tables of page 00."""

import textwrap

import numpy as np

from twinkit import units
from twinkit.drawings import style
from twinkit.drawings.base import Picture, Sheet

SOURCES = ("ussa1976",)


class LoadingRuler(Picture):
    """Your first guess of wing loading between the aeroplanes you know."""

    size = (7.0, 2.6)
    needs = ("start",)

    def build(self):
        self.axes = style.axes(self.figure)

    def fill(self, results):
        outset, system = results.start, results.record.value("start.units")
        ax, known = self.axes, sorted(outset.known_aeroplanes, key=lambda k: k.loading)
        ax.clear()
        names = [k.name for k in known] + ["yours, first guess"]
        si_unit, metric, imperial = units.KINDS["loading"]
        unit = imperial if system == "imperial" else metric
        values = units.from_si(np.array([k.loading for k in known] + [outset.loading_guess]), unit, si_unit)
        rows = np.arange(len(names))
        ax.hlines(rows, 0, values, color=[style.FAINT] * len(known) + [style.INK], lw=2)
        ax.plot(values[:-1], rows[:-1], "s", color=style.SIDE_COLOUR["shared"])
        ax.plot(values[-1:], rows[-1:], "D", color=style.INK, ms=8)
        for x, y in zip(values, rows):
            ax.annotate(units.digits(x, 3), (x, y), xytext=(8, 0), textcoords="offset points", va="center")
        ax.set_yticks(rows, ["\n".join(textwrap.wrap(n, 24, max_lines=2, placeholder=" …")) for n in names])
        ax.set_xlim(0, max(values) * 1.18)
        ax.set_ylim(-0.6, len(names) - 0.4)
        ax.set_xlabel(f"wing loading, {unit}")
        ax.grid(axis="y", visible=False)
        heavier = sum(k.loading < outset.loading_guess for k in known)
        if not known:
            return "Name an aeroplane you know on this page: it becomes the ruler here"
        return f"Your first guess is loaded more heavily than {_how_many(heavier, len(known))}"


def _how_many(some, everything):
    """Some of the aeroplanes the builder knows, in words."""
    if everything == 1:
        return "the aeroplane you know" if some else "no aeroplane you know"
    if some == everything:
        return "both aeroplanes you know" if everything == 2 else f"all {everything} aeroplanes you know"
    return f"{some or 'none'} of the {everything} aeroplanes you know"


def outset_sheet(results):
    """The air of the day and the first guesses in numbers."""
    outset = results.start
    if not outset.known:
        return Sheet.waiting("What you set out with", outset.missing)
    return Sheet("What you set out with", ("number", "value"), tuple(numbers(results).items()),
                 note=f"Area guessed at an aspect ratio (span over mean chord) of {units.digits(results.record.value('limits.aspect_ratio'), 2)}; page 05 settles it.")


def numbers(results):
    """The numbers of this step as text."""
    outset, system = results.start, results.record.value("start.units")
    return {
        "air density": units.say(outset.density, "density", system),
        "first guess of the mass": units.say(outset.mass_guess, "mass", system),
        "first guess of the wing loading": units.say(outset.loading_guess, "loading", system),
        "receiver outputs needed": str(outset.outputs_needed) if outset.outputs_needed is not None else "not known",
        "pieces of the wing": str(outset.wing_pieces) if outset.wing_pieces is not None else "not known",
    }


PICTURES = {"loading": LoadingRuler}
SHEETS = {"outset": outset_sheet}
QUICK = ("outset",)       # tables that follow a control at once
