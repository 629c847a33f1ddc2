"""Pictures of page 05 about the wing as a choice: span and mass with every limit, the polar, and the lift along the span."""

import numpy as np

from twinkit import units
from twinkit.drawings import style
from twinkit.drawings.base import Picture, Sheet

SHARES = (("loading", "wing loading"), ("stall", "stall speed"), ("climb", "best climb"), ("top", "top speed"), ("landing", "landing distance"), ("spar", "spar reserve"))


def _shown(results, kind):
    si_unit, metric, imperial = units.KINDS[kind]
    unit = imperial if results.record.value("start.units") == "imperial" else metric
    return unit, lambda value: units.from_si(np.asarray(value, dtype=float), unit, si_unit)


class Carpet(Picture):
    """Span across, mass up, every limit shaded where it is broken, and your point."""

    size = (7.0, 4.9)
    needs = ("envelope",)

    def build(self):
        self.figure.clear()

    def fill(self, results):
        told, wing, shape = results.envelope, results.wing, results.geometry
        self.figure.clear()
        self.figure.set_layout_engine("none")
        ax = style.axes(self.figure, 1, 1, 1)
        ax.set_position((0.11, 0.115, 0.62, 0.765))
        (length, across), (weight, up) = _shown(results, "length"), _shown(results, "mass")
        x, y = across(told.spans), up(told.masses)
        ax.set_xlim(x[0], x[-1])
        ax.set_ylim(y[0], y[-1])
        ax.grid(False)
        broken, keys, named = [], [], []
        for limit in told.limits:
            if (limit.room < 0.0).any():
                ax.contourf(x, y, limit.room, levels=[-1e9, 0.0], colors=[style.INK], alpha=0.10)
                if (limit.room > 0.0).any():
                    self._name(ax, ax.contour(x, y, limit.room, levels=[0.0], colors=[style.INK], linewidths=1.2), limit.name, named)
            here = self._here(told, limit, shape.span, wing.mass)
            keys.append((limit.name, here))
            broken += [limit.name] if here < 0.0 else []
        ax.plot([float(across(shape.span))], [float(up(wing.mass))], marker="P", ms=11, mfc=style.PAPER, mec=style.INK, mew=1.6, ls="none", zorder=9)
        ax.plot([float(across(shape.span))] * 2, [float(up(wing.mass_low)), float(up(wing.mass_high))], color=style.INK, lw=1.6, zorder=8)
        ax.set_xlabel(f"span, {length} (chord and power as they are)")
        ax.set_ylabel(f"mass, {weight}")
        self._key(keys)
        if not broken:
            return "Yours (the cross) breaks none of these limits; shaded is what does"
        words = broken[0] if len(broken) == 1 else f"{', '.join(broken[:-1])} and {broken[-1]}"
        return f"Yours (the cross) breaks the limit of {words}" + ("" if told.open.any() else "; no span or mass of this picture keeps all of them")

    @staticmethod
    def _here(told, limit, span, mass):
        row, column = np.argmin(np.abs(told.masses - mass)), np.argmin(np.abs(told.spans - span))
        return float(limit.room[row, column])

    @staticmethod
    def _name(ax, lines, name, named):
        """The name on its line, where it keeps clear of the other names and of your point."""
        points = max((path for path in lines.get_paths()), key=lambda path: len(path.vertices)).vertices
        low, top = np.array([ax.get_xlim()[0], ax.get_ylim()[0]]), np.array([ax.get_xlim()[1], ax.get_ylim()[1]])
        shares = (points - low) / (top - low)
        inside = shares[((shares > (0.10, 0.05)) & (shares < (0.88, 0.95))).all(axis=1)]
        if not inside.size:
            return
        taken = np.array([(0.5, 0.5), *named])
        clear = np.min(np.linalg.norm((inside[:, None, :] - taken) / (1.0, 0.6), axis=2), axis=1)
        best = inside[int(np.argmax(np.minimum(clear, 0.35) - 0.05 * np.abs(inside - 0.5).sum(axis=1)))]
        named.append(tuple(best))
        ax.text(*(low + best * (top - low)), name, fontsize=8.5, ha="center", va="center", bbox={"fc": style.PAPER, "ec": "none", "pad": 1.2}, zorder=6)

    def _key(self, keys):
        """The room left to each limit at your point, the least first."""
        ax = style.axes(self.figure, 1, 1, 1, label="key")
        ax.set_position((0.755, 0.115, 0.24, 0.765))
        ax.set_axis_off()
        ax.set_xlim(0.0, 1.0)
        ax.set_ylim(0.0, 1.0)
        ax.text(0.0, 0.985, "shaded: a limit is broken,\ndarker: more than one.\nRoom left at yours:", fontsize=8.5, va="top", linespacing=1.35)
        for row, (name, here) in enumerate(sorted(keys, key=lambda key: key[1])):
            y = 0.76 - 0.075 * row
            ax.text(0.0, y, name, fontsize=8.8, va="center", fontweight="bold" if here < 0.0 else "normal")
            ax.text(0.95, y, f"{'−' if here < 0.0 else '+'}{abs(100 * here):.0f} %", fontsize=8.8, va="center", ha="right", fontweight="bold" if here < 0.0 else "normal")


class Polar(Picture):
    """Lift against drag, with the moments that matter marked; and how hard each place of the wing works at the stall."""

    size = (7.0, 3.7)
    needs = ("sections",)

    def build(self):
        self.figure.set_layout_engine("none")
        self.axes = ax = style.axes(self.figure, 1, 2, 1)
        ax.set_position((0.08, 0.14, 0.40, 0.70))
        self.curve, = ax.plot([], [], color=style.INK)
        self.tangent, = ax.plot([], [], color=style.FAINT, lw=1.2, ls="--")
        self.marks = [(ax.plot([], [], ls="none", marker=m, ms=7, mfc=style.PAPER, mec=style.INK)[0], ax.text(0, 0, "", fontsize=8.3, va="center")) for m in ("X", "v", "o", "s")]
        ax.set_xlabel("drag coefficient of the whole aeroplane")
        ax.set_ylabel("lift coefficient")
        self.below = ax.text(0.98, 0.04, "", fontsize=8.3, transform=ax.transAxes, ha="right")
        self.span = span = style.axes(self.figure, 1, 2, 2)
        span.set_position((0.575, 0.14, 0.40, 0.70))
        self.plain, = span.plot([], [], color=style.FAINT, lw=1.4, ls="--")
        self.load, = span.plot([], [], color=style.INK)
        self.first, = span.plot([], [], ls="none", marker="X", ms=8, mfc=style.PAPER, mec=style.INK)
        self.words = [span.text(0, 0, "", fontsize=8.3) for _ in range(2)]
        span.set_xlim(0.0, 1.0)
        span.set_xlabel("out from the middle, at the stall")
        span.set_ylabel("section lift over the wing's")

    def fill(self, results):
        told, wing = results.sections, results.wing
        system = results.record.value("start.units")
        ax, right = self.axes, float(told.cd[-1]) * 1.25
        self.curve.set_data(told.cd, told.cl)
        self.tangent.set_data([0.0, told.marks[2][2]], [0.0, told.marks[2][1]])
        shown = []
        for (mark, label), (name, cl, cd, speed) in zip(self.marks, told.marks):
            flown = cl <= wing.cl_max * 1.0001
            mark.set_data(*([cd], [cl]) if flown else ([], []))
            label.set_text(f"{name} {units.say(speed, 'speed', system)}" if flown else "")
            height = cl
            while any(abs(height - other) < 0.075 * wing.cl_max for other in shown) and flown:
                height -= 0.02 * wing.cl_max
            shown += [height] if flown else []
            label.set_position((cd + 0.035 * right, height))
        under = [name for name, cl, _, _ in told.marks if cl > wing.cl_max * 1.0001]
        self.below.set_text(f"below the stall: {' and '.join(under)}" if under else "")
        ax.set_xlim(0.0, right * 1.5)
        ax.set_ylim(0.0, 1.12 * wing.cl_max)
        self.load.set_data(told.eta, told.load)
        self.plain.set_data(told.eta, told.load_plain)
        top = int(np.argmax(told.load))
        self.first.set_data([told.eta[top]], [told.load[top]])
        self.words[0].set_text("stalls here first")
        at = told.eta[top]
        self.words[0].set_position((min(max(at - 0.02, 0.03), 0.62), told.load[top] + 0.035))
        self.words[1].set_text("dashed: without washout" if results.geometry.washout else "no washout")
        self.words[1].set_position((0.05, 0.12))
        self.span.set_ylim(0.0, max(1.25, float(np.max(told.load)) * 1.15))
        where = "in the middle" if at < 0.4 else f"{units.say(at, 'share', significant=2)} of the half span out: a wing drops without warning"
        return f"Flattest glide {units.digits(wing.glide_ratio, 2)} to 1 at {units.say(wing.glide_speed, 'speed', system)}; the wing stalls first {where}"


def sections_sheet(results):
    """The sections foam can be given, on your wing at your mass."""
    title = "Sections of foam on your wing"
    told = results.sections
    if not told.known:
        return Sheet.waiting(title, told.missing)
    system = results.record.value("start.units")
    say = lambda value, kind, digits=3: units.say(value, kind, system, digits)  # noqa: E731
    rows = tuple((("yours: " if c.yours else "") + c.label, say(c.thickness, "share", 2), f"{units.digits(c.cl_max, 3)} ({units.digits(c.cl_low, 3)} to {units.digits(c.cl_high, 3)})",
                  say(c.stall_speed, "speed"), f"{round(c.reynolds, -3):.0f}", f"{c.wing_cd0:.4f}", say(c.board, "area")) for c in told.choices)
    from twinkit.design.sections import HIGH_REYNOLDS, LOW_REYNOLDS

    inside = LOW_REYNOLDS <= told.reynolds_stall <= HIGH_REYNOLDS
    return Sheet(title, ("section", "thickness", "greatest lift coefficient", "stall", "Reynolds number", "wing's share of CD0", "board"), rows,
                 note=("" if inside else f"At your stall the Reynolds number is {round(told.reynolds_stall, -3):.0f}: the bands were collected for 60 000 to 250 000, take the lower end. ")
                 + "The same mass throughout: a section that takes less board makes the aeroplane lighter and this better. No tunnel test of these very shapes was read: measure your stall, "
                   "type it as the greatest lift coefficient, and it wins.")


def nudges_sheet(results):
    """What a tenth more of each number would do."""
    title = "If one number comes out a tenth larger"
    told = results.envelope
    if not told.known:
        return Sheet.waiting(title, told.missing)
    word = lambda share: "—" if share is None else "0 %" if abs(share) < 0.005 else f"{units.signed(100.0 * share)} %"  # noqa: E731
    rows = tuple((nudge.name, *(word(nudge.shares[key]) for key, _ in SHARES)) for nudge in told.nudges)
    return Sheet(title, ("a tenth more of", *(name for _, name in SHARES)), rows,
                 note="Chord and span change the wing alone: fuselage, tail and mass stay as they are. Half or twice the step does about half or twice as much.")
