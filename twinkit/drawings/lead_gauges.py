"""Loss and added mass of the leads over the gauge of their wire."""

import numpy as np

from twinkit import units
from twinkit.design.lead_losses import THINNER_STEP, gauge_lines
from twinkit.drawings import style
from twinkit.drawings.base import Picture

LOOK = {"pack": (style.INK, "-", "o"), "motor": (style.WIRE_COLOUR["phase"], (0, (5, 2)), "s")}   # colour, line and mark of a sort of lead


class GaugePicture(Picture):
    """Both sides together; gauges that lose more than your limit are crossed out, yours are ringed."""

    size = (7.0, 3.4)
    needs = ("leads", "lead_losses")

    def build(self):
        self.panels = [style.axes(self.figure, 1, 2, k + 1) for k in range(2)]
        box = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.6, "alpha": 0.8}
        self.lines, self.rings, self.words = [{}, {}], [{}, {}], [{}, {}]
        self.over = {}
        for number, ax in enumerate(self.panels):
            for kind, (colour, line, mark) in LOOK.items():
                self.lines[number][kind], = ax.plot([], [], color=colour, ls=line, marker=mark, ms=4, label=f"{kind} leads")
                self.rings[number][kind], = ax.plot([], [], mark, ms=11, mfc="none", mec=colour, mew=1.8, ls="none", zorder=5, clip_on=False)
                self.words[number][kind] = ax.annotate("yours", (0, 0), textcoords="offset points", xytext=(0, 9), ha="center", fontsize=8.5, zorder=6, bbox=box, color=colour)
            ax.set_xlabel("AWG, thick to thin")
        for kind in LOOK:
            self.over[kind], = self.panels[0].plot([], [], "x", ms=9, mew=1.8, color=style.VERDICT_COLOUR["stop"], ls="none", zorder=4)
        self.panels[0].set_ylabel("loss of both sides, full throttle, W")

    def fill(self, results):
        leads, losses, system = results.leads, results.lead_losses, results.record.value("start.units")
        bound, unit = results.record.value("limits.lead_drop"), "oz" if system == "imperial" else "g"
        lines = gauge_lines(leads, losses)
        gauges = sorted({gauge for line in lines.values() for gauge in line.gauges})
        for kind, line in lines.items():
            at = line.gauges.index(line.yours)
            for number, values in enumerate((line.loss, units.from_si(np.array(line.mass), unit, "kg"))):
                self.lines[number][kind].set_data(line.gauges, values)
                self.rings[number][kind].set_data([line.yours], [values[at]])
                self.words[number][kind].xy = line.yours, values[at]
            crossed = [(gauge, loss) for gauge, loss, share in zip(line.gauges, line.loss, line.share) if share > bound]
            self.over[kind].set_data(*(zip(*crossed) if crossed else ([], [])))
        tops = (max(max(line.loss) for line in lines.values()), float(units.from_si(max(max(line.mass) for line in lines.values()), unit, "kg")))
        for ax, top in zip(self.panels, tops):
            ax.set_xlim(gauges[0] - 0.8, gauges[-1] + 0.8)
            ax.set_xticks([gauge for gauge in gauges if gauge % 2 == 0 or gauge in (line.yours for line in lines.values())])
            ax.set_ylim(0, 1.15 * top or 1.0)
        self.panels[1].set_ylabel(f"wire added to both sides, {unit}")
        limit = units.say(bound, "share", system, 2)
        self.panels[0].legend([*self.lines[0].values(), self.over["pack"]], ["pack leads", "motor leads", f"over your limit of {limit}"], loc="upper left", fontsize=8, handlelength=3.2)
        return self._title(lines, losses, system)

    def _title(self, lines, losses, system):
        kind = max(lines, key=lambda name: lines[name].loss[lines[name].gauges.index(lines[name].yours)])
        line = lines[kind]
        at = line.gauges.index(line.yours)
        said = f"Your {kind} leads of AWG {line.yours} lose {units.say(line.loss[at], 'power', system, 2)}, more than the {'motor' if kind == 'pack' else 'pack'} leads"
        thicker = max((gauge for gauge in line.gauges if gauge <= line.yours - THINNER_STEP), default=None)
        if thicker is None:
            return f"{said}; that is as thick as shops keep"
        to = line.gauges.index(thicker)
        price = line.mass[to] - line.mass[at]
        cost = f" for {units.say(price, 'mass', system, 2)} more" if price > 0 else ""
        return f"{said}; AWG {thicker} would lose {units.say(line.loss[to], 'power', system, 2)}{cost}"
