"""What the pack lead does to the controller's input: pictures and table of ripple, heat and resonance."""

import math

import numpy as np

from twinkit import units
from twinkit.drawings import style
from twinkit.drawings.base import Picture, Sheet
from twinkit.drawings.lead_tables import unknown

# Colour and line of a state of the leads.
LOOKS = {"bought": (style.FAINT, "-"), "plain": (style.INK, "-"), "yours": (style.SIDE_COLOUR["shared"], (0, (4, 1, 1, 1))), "advised": (style.THIRD, (0, (5, 2)))}
NEAR = 1.5      # a resonance within this factor of the chopping frequency is called close to it


class RipplePicture(Picture):
    """Own capacitor's heat and ripple over the length of the pack lead."""

    size = (7.0, 3.6)
    needs = ("leads", "lead_losses")

    def build(self):
        self.panels = [style.axes(self.figure, 1, 2, k + 1) for k in range(2)]
        self.lines = [{name: ax.plot([], [], color=c, ls=ls)[0] for name, (c, ls) in LOOKS.items() if name != "bought"} for ax in self.panels]
        self.bought = [ax.plot([], [], "o", mfc=style.PAPER, mec=style.INK, ms=7, ls="none", zorder=4)[0] for ax in self.panels]
        self.yours = [ax.plot([], [], ms=8, ls="none", zorder=5)[0] for ax in self.panels]
        box = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.6, "alpha": 0.8}
        self.words = [[ax.annotate("", (0, 0), textcoords="offset points", xytext=off, ha=ha, fontsize=8.5, zorder=6, bbox=box) for _ in range(2)]
                      for ax, off, ha in zip(self.panels, ((8, -15), (8, 9)), ("left", "left"))]
        self.bounds = [self.panels[0].axhline(0, color=style.VERDICT_COLOUR[name], lw=1, ls=":") for name in ("look again", "stop")]
        self.bound_words = [self.panels[0].text(0, 0, name, ha="right", va="bottom", fontsize=8, color=style.VERDICT_COLOUR[name]) for name in ("look again", "stop")]
        self.panels[0].set_ylabel("own capacitor's heat, % of as bought")
        self.panels[1].set_ylabel("ripple at the controller's input, V")

    def fill(self, results):
        inputs, system = results.lead_losses.inputs, results.record.value("start.units")
        curves, found = inputs.curves, getattr(inputs, inputs.worst)
        unit = "in" if system == "imperial" else "mm"
        place = lambda metres: units.from_si(np.asarray(metres), unit, "m")  # noqa: E731
        shown = {"heat": (curves.heat_share, 100.0, 100.0, 100.0 * found.heat_share), "ripple": (curves.ripple, 1.0, found.bought.ripple, found.yours.ripple)}
        labels = _labels(found, inputs)
        own = found.yours.length <= found.bought.length
        for ax, lines, bought, yours, words, (values, scale, at_bought, at_yours) in zip(self.panels, self.lines, self.bought, self.yours, self.words, shown.values()):
            for name, line in lines.items():
                there = name in values and name in labels
                line.set_data(*((place(curves.lengths), scale * values[name]) if there else ([], [])))
            bought.set_data([place(found.bought.length)], [at_bought])
            yours.set_data([place(found.yours.length)], [at_yours])
            yours.set(marker=style.SIDE_MARK[inputs.worst], color=style.SIDE_COLOUR[inputs.worst])
            for word, text, x, y in zip(words, ("" if own else "as bought", f"yours, {inputs.worst}"), (found.bought.length, found.yours.length), (at_bought, at_yours)):
                word.set_text(text)
                word.xy = float(place(x)), y
            top = max(scale * float(np.max(v)) for name, v in values.items() if name in labels)
            ax.set_xlim(0, float(place(curves.lengths[-1])))
            ax.set_ylim(0, 1.12 * max(top, at_bought, at_yours))
            ax.set_xlabel(f"pack lead, one way, {unit}")
        limits = [100.0 * results.record.value(f"limits.{name}") for name in ("capacitor_heat", "capacitor_heat_stop")]
        for line, word, limit in zip(self.bounds, self.bound_words, limits):
            line.set_ydata([limit, limit])
            word.set_position((float(place(curves.lengths[-1])), limit))
            word.set_clip_on(True)
        handles = [self.lines[1][name] for name in labels]
        self.panels[1].legend(handles, list(labels.values()), loc="lower right", fontsize=8, handlelength=2.6)
        return self._title(inputs, found, curves, system)

    def _title(self, inputs, found, curves, system):
        side, length = inputs.worst, units.say(found.yours.length, "length", system)
        if found.yours.length <= found.bought.length:
            far = float(curves.lengths[-1])
            share = units.say(float(curves.heat_share["plain"][-1]), "share", significant=2)
            return (f"Your pack leads are as bought and the controllers' capacitors are spared; leads of {units.say(far, 'length', system)} would heat the {side} one to {share} of that")
        got = units.say(found.heat_share, "share", significant=2)
        if found.yours.added:
            return f"With {units.say(found.yours.added, 'capacitance')} added, your {side} pack lead of {length} heats the controller's own capacitor to {got} of as bought"
        after = units.say(found.advised.own_heat / found.bought.own_heat, "share", significant=2)
        return f"Your {side} pack lead of {length} heats the controller's own capacitor to {got} of as bought; {pieces(inputs)} bring it to {after}"


class TonePicture(Picture):
    """Own capacitor's heat and ripple over the chopping frequency, at the throttle that is hardest at yours; marks where lead and capacitors swing by themselves."""

    size = (7.0, 3.6)
    needs = ("leads", "lead_losses")

    def build(self):
        self.panels = [style.axes(self.figure, 1, 2, k + 1) for k in range(2)]
        self.lines = [{name: ax.plot([], [], color=c, ls=ls)[0] for name, (c, ls) in LOOKS.items()} for ax in self.panels]
        self.own = [{name: ax.plot([], [], "v", ms=7, color=c, ls="none", zorder=5)[0] for name, (c, _) in LOOKS.items()} for ax in self.panels]
        self.yours = [ax.axvline(1.0, color=style.FAINT, lw=1.2, ls=":", zorder=1) for ax in self.panels]
        self.word = self.panels[0].text(0, 0, "", fontsize=8.5, ha="left", va="top")
        for ax in self.panels:
            ax.set_xscale("log")
            ax.set_xticks([4, 8, 16, 32, 64], ["4", "8", "16", "32", "64"])
            ax.minorticks_off()
            ax.set_xlabel("chopping frequency, kHz")
        self.panels[0].set_ylabel("heat of the own capacitor, W")
        self.panels[1].set_ylabel("ripple at the controller's input, V")

    def fill(self, results):
        inputs, system = results.lead_losses.inputs, results.record.value("start.units")
        tones, found = inputs.tones, getattr(inputs, inputs.worst)
        labels = {name: text for name, text in {"bought": "leads as bought", **_labels(found, inputs)}.items() if name in tones.heat}
        frequencies, chopped = tones.frequencies / 1e3, inputs.net.frequency / 1e3
        for ax, lines, own, yours, values in zip(self.panels, self.lines, self.own, self.yours, (tones.heat, tones.ripple)):
            for name in LOOKS:
                there = name in labels
                lines[name].set_data(*((frequencies, values[name]) if there else ([], [])))
                state = getattr(found, name)
                rings = there and frequencies[0] <= state.resonance / 1e3 <= frequencies[-1]
                own[name].set_data(*(([state.resonance / 1e3], [np.interp(state.resonance / 1e3, frequencies, values[name])]) if rings else ([], [])))
            yours.set_xdata([chopped, chopped])
            top = max(float(np.max(values[name])) for name in labels)
            ax.set_xlim(frequencies[0], frequencies[-1])
            ax.set_ylim(0, (1.2 if ax is self.panels[0] else 1.6) * top)
        self.word.set_position((1.04 * chopped, 1.18 * max(float(np.max(tones.heat[name])) for name in labels)))
        self.word.set_text("yours")
        self.panels[1].legend([*(self.lines[1][name] for name in labels), self.own[1]["bought"]], [*labels.values(), "swings by itself here"], loc="upper right", fontsize=8, handlelength=2.6)
        return self._title(inputs, found, system)

    def _title(self, inputs, found, system):
        state = found.yours
        said = f"Your {inputs.worst} pack lead and its capacitors swing by themselves at {units.say(state.resonance, 'frequency', system, 2)}"
        chopped = units.say(inputs.net.frequency, "frequency", system, 2)
        if not state.rings:
            return f"{said}, too well damped to ring (damping {units.digits(state.damping, 2)}); your controller chops at {chopped}"
        near = "close to" if 1 / NEAR < state.resonance / inputs.net.frequency < NEAR else "away from"
        return f"{said} and ring (damping {units.digits(state.damping, 2)}), {near} the {chopped} your controller chops at"


def _labels(found, inputs):
    """Names of the lines that are drawn."""
    labels = {"plain": "nothing added"}
    if found.yours.added:
        labels["yours"] = f"with your {units.say(found.yours.added, 'capacitance')}"
    if inputs.recommended and inputs.recommended != found.yours.added:
        labels["advised"] = f"with {pieces(inputs)}"
    return labels


def pieces(inputs):
    count = round(inputs.recommended / inputs.piece)
    return f"{count} x {units.say(inputs.piece, 'capacitance')}" if count else "none"


def resonance_words(state, system):
    """Where lead and capacitors ring together, and whether they do."""
    at = units.say(state.resonance, "frequency", system, 2)
    return f"{at}, rings (damping {units.digits(state.damping, 2)})" if state.rings else f"{at}, does not ring"


def rating_words(found, system):
    """What the controller's input may see, in words."""
    if found.rating.volts is None:
        return "What its input may see is not known: enter the volts printed on its capacitor, or the most cells on page 01."
    volts = units.say(found.rating.volts, "volts", system)
    return f"Its input may see {volts}, " + ("as printed." if found.rating.origin == "printed" else "a full pack of the most cells on its label.")


def capacitor_sheet(results):
    """The input of the controller that is worse off, in its states."""
    title, columns = "At the controller's input", ("leads and capacitors", "pack lead", "ripple", "own capacitor", "its heat", "lead and capacitors swing at", "highest volts, full pack")
    losses, system = results.lead_losses, results.record.value("start.units")
    if losses.left is None:
        return unknown(title, losses)
    inputs = losses.inputs
    found, side = getattr(inputs, inputs.worst), inputs.worst
    states = [("leads as bought", found.bought)]
    if found.plain.inductance > found.bought.inductance:
        states.append(("your leads, nothing added", found.plain))
    if found.yours.added:
        states.append((f"your leads, your {units.say(found.yours.added, 'capacitance')}", found.yours))
    if found.pieces and found.advised.added != found.yours.added:
        states.append((f"your leads, {found.pieces} x {units.say(inputs.piece, 'capacitance')}", found.advised))
    rows = tuple((name, units.say(s.length, "length", system), units.say(s.ripple, "volts", system, 2), units.say(s.own_rms, "current", system, 2),
                  units.say(s.own_heat, "power", system, 2), resonance_words(s, system), units.say(found.highest(s), "volts", system)) for name, s in states)
    return Sheet(title, columns, rows, note=f"{_at(found, side, losses, system)} {_asked(found, inputs, system)} {rating_words(found, system)}")


def _at(found, side, losses, system):
    chopped = f"Chopped at {units.say(losses.inputs.net.frequency, 'frequency', system, 2)}."
    if losses.currents_from != "power":
        return f"The {side} side, at half throttle with the whole limiting current: harder than flying. {chopped}"
    return (f"The {side} side, at {units.say(found.duty, 'share', system, 2)} throttle, where {units.say(found.current, 'current', system, 2)} in the motor load the capacitor most. "
            f"{chopped} Highest volts: at any throttle, chopped or when the current is cut at the worst instant.")


def _asked(found, inputs, system):
    if not found.pieces:
        return "Nothing needs adding: the leads are as bought."
    equal = units.say(found.equal_heat, "capacitance", system, 2) if math.isfinite(found.equal_heat) else "more than twenty pieces"
    return (f"Asked for: {units.say(found.surge, 'capacitance', system, 2)} to keep the surge impedance, {equal} to keep the heat of the own capacitor; the trade's rule of "
            f"220 uF for each 100 mm gives {units.say(found.trade, 'capacitance', system, 2)} (common practice). Taken: the larger of the first two in whole pieces, {found.pieces} x "
            f"{units.say(inputs.piece, 'capacitance')}.")
