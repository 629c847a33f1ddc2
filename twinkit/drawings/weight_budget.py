"""The budget of the mass: a picture that grows page by page, and what a little more costs in the air."""

import numpy as np

from twinkit import quantities, units
from twinkit.checks.weight import speaker
from twinkit.drawings import style
from twinkit.drawings.base import Picture, Sheet

ROWS = 7
NOTHING = 5e-4      # a change nobody notices, share


def _page(step):
    return f"{quantities.STEPS.index(step):02d}"


def _mass(results):
    """Shown unit of masses and the way to it from SI."""
    si_unit, metric, imperial = units.KINDS["mass"]
    unit = imperial if results.record.value("start.units") == "imperial" else metric
    return unit, lambda kilos: units.from_si(np.asarray(kilos, dtype=float), unit, si_unit)


class BudgetPicture(Picture):
    """Each page's mass as a bar that begins where the one before ended, against the target."""

    size = (7.0, 3.4)
    needs = ("budget",)

    def build(self):
        self.axes = ax = style.place(self.figure, (0.22, 0.13, 0.75, 0.72))
        self.bars = ax.barh(np.arange(ROWS), np.zeros(ROWS), height=0.62, color=style.FOAM, edgecolor=style.INK, lw=1.0, zorder=2)
        self.words = [ax.text(0, k, "", fontsize=8.5, va="center", zorder=4, bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.6}) for k in range(ROWS)]
        self.target = ax.axvline(0.0, color=style.INK, lw=1.6, zorder=3)
        self.scale = ax.axvline(0.0, color=style.VERDICT_COLOUR["stop"], lw=1.6, ls=(0, (5, 3)), zorder=3)
        self.labels = {name: ax.text(0, -0.72, "", fontsize=8.5, va="bottom", ha="right") for name in ("target", "scale")}
        ax.set_ylim(ROWS - 0.45, -0.6)
        ax.grid(axis="y", visible=False)

    def fill(self, results):
        budget, say = results.budget, speaker(results)
        unit, shown = _mass(results)
        for k, (line, bar, words) in enumerate(zip(budget.lines, self.bars, self.words)):
            mass, end = line.mass or 0.0, line.so_far
            bar.set_x(float(shown(end - mass)))
            bar.set_width(float(shown(mass)))
            words.set_text("not yet known" if line.mass is None else say(line.mass, "mass"))
            words.set_position((float(shown(end + 0.012 * budget.target)), k))
        top = max(budget.target, budget.listed, budget.scale or 0.0)
        self.target.set_xdata([float(shown(budget.target))] * 2)
        self.labels["target"].set_text(f"{'aim' if budget.aimed else 'first guess'} {say(budget.target, 'mass')}")
        self.labels["target"].set_position((float(shown(budget.target)), -0.62))
        on = budget.scale is not None
        self.scale.set_visible(on)
        self.labels["scale"].set_visible(on)
        if on:
            self.scale.set_xdata([float(shown(budget.scale))] * 2)
            self.labels["scale"].set_text(f"scale {say(budget.scale, 'mass')}")
            apart = budget.scale > budget.target
            self.labels["scale"].set_ha("left" if apart else "right")
            self.labels["target"].set_ha("right" if apart else "left")
            self.labels["scale"].set_position((float(shown(budget.scale)), -0.62))
        else:
            self.labels["target"].set_ha("center")
        self.axes.set_yticks(np.arange(ROWS), [f"{line.words}  {_page(line.step)}" for line in budget.lines])
        self.axes.set_xlim(0.0, float(shown(1.18 * top)))
        self.axes.set_xlabel(f"mass, {unit} (the numbers are the pages)", labelpad=2)
        stands, left = budget.scale or budget.listed, budget.target - (budget.scale or budget.listed)
        unknown = [line.words for line in budget.lines if line.mass is None]
        so_far = f"So far {say(stands, 'mass')}" if unknown else f"{'The scale says' if on else 'The list comes to'} {say(stands, 'mass')}"
        if unknown:
            return f"{so_far} of {say(budget.target, 'mass')}; still to come: {', '.join(unknown)}"
        return f"{so_far}: {say(abs(left), 'mass')} {'left of' if left >= 0.0 else 'over'} the {'aim' if budget.aimed else 'first guess'} of {say(budget.target, 'mass')}"


def costs_sheet(results):
    """What a little more mass costs."""
    costs, budget, say = results.costs, results.budget, speaker(results)
    title = "What a little more mass costs"
    if costs.costs is None:
        return Sheet.waiting(title, costs.missing)
    rows = []
    for c in costs.costs:
        if c.now is None:
            rows.append((c.words, "not yet known", "", ""))
        elif not np.isfinite(c.now):
            rows.append((c.words, "at no speed you reach", "at no speed you reach", ""))
        elif not np.isfinite(c.then):
            rows.append((c.words, say(c.now, c.kind), "at no speed you reach", ""))
        else:
            by = c.then - c.now
            rows.append((c.words, say(c.now, c.kind), say(c.then, c.kind), "next to nothing" if abs(by) < NOTHING * abs(c.now) else f"{'+' if by > 0 else '−'}{say(abs(by), c.kind, 2)}"))
    note = ("At the CG, the packs and the power unchanged. With the wings level the minimum control speed hangs on thrust, fin and rudder and hardly on the mass; "
            "the stall comes up to meet it.")
    if budget.grown is not None:
        note += f" By the scale this aeroplane grew {say(abs(budget.grown), 'share', 2)} {'over' if budget.grown >= 0 else 'under'} its list: remember that for your next one."
    return Sheet(title, ("number", "now", f"with {say(costs.more, 'mass')} more", "change"), tuple(rows), note=note)


PICTURES = {"budget": BudgetPicture}
SHEETS = {"costs": costs_sheet}
