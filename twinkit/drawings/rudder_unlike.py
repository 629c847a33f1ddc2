"""Page 06, two motors that pull unlike: the trim they take, the throttle curve, and steering by thrust."""

import math

import numpy as np

from twinkit import units
from twinkit.checks.base import end_point_words
from twinkit.checks.rudder import percent, speaker
from twinkit.drawings import style
from twinkit.drawings.base import Picture, Sheet
from twinkit.drawings.rudder_shown import not_known

PLACES = {"cruise": "in cruise", "approach": "on the approach"}


class UnlikeTrim(Picture):
    """Rudder, or sideslip without one, that unlike motors take, over the throttle at two speeds."""

    size = (7.0, 3.9)
    needs = ("rudder",)

    def build(self):
        ax = self.axes = style.place(self.figure, (0.085, 0.13, 0.895, 0.73))
        self.lines = {(place, kind): ax.plot([], [], color=style.INK if place == "cruise" else style.THIRD, lw=2.2 if kind == "plain" else 1.6, ls=ls)[0]
                      for kind in ("plain", "curved") for place, ls in zip(PLACES, ("-", (0, (6, 2))) if kind == "plain" else ((0, (1, 1)), (0, (3, 1, 1, 1))))}
        self.most = ax.axhline(0.0, color=style.INK, lw=0.9, ls="--")
        self.most_words = ax.annotate("", (1.0, 0.0), xytext=(0, 3), textcoords="offset points", fontsize=9)
        ax.set_xlim(0, 100)
        ax.set_xlabel("throttle of both, %")

    def fill(self, results):
        out, u, (_, say) = results.rudder, results.rudder.unlike, speaker(results)
        most, alike = results.record.value("limits.mismatch_angle"), u.stronger == "alike"
        highest, told = math.degrees(most), []
        for (place, kind), artist in self.lines.items():
            line = next(x for x in u.lines if x.place == place)
            shown = np.degrees(getattr(line, kind))
            artist.set_data(100.0 * out.throttles, shown)
            if np.isfinite(shown).any():
                highest = max(highest, float(np.nanmax(shown)))
                what = "the usual spread of one label" if alike else "as they are" if kind == "plain" else "with the five points"
                told.append((artist, f"{PLACES[place]}, {say(line.speed, 'speed')}: {what}"))
        self.axes.legend(*zip(*told), loc="upper left", fontsize=8.5, frameon=False)
        self.most.set_ydata([math.degrees(most)] * 2)
        self.most_words.xy = (1.0, math.degrees(most))
        self.most_words.set_text(f"the most you want, {say(most, 'angle', 2)}")
        self.most_words.set_ha("left")
        self.axes.set_ylim(0.0, 1.55 * highest)
        what = "rudder" if out.has_rudder else "sideslip"
        self.axes.set_ylabel(f"{what}, deg")
        line = next(x for x in u.lines if x.place == "approach")
        if alike:
            return f"Told alike, your motors take no {what}; two of one label may still take {say(float(np.nanmax(line.plain)), 'angle', 2)} on the approach at full throttle"
        if not np.isfinite(line.plain[-1]):
            return f"The stronger {u.stronger} motor takes more {what} than there is on the approach at full throttle"
        return (f"The {u.stronger} motor pulls more: on the approach that takes {say(float(line.plain[-1]), 'angle', 2)} of {what} at full throttle, {say(float(np.interp(0.5, out.throttles, line.plain)), 'angle', 2)} at half; "
                f"no one trim fits both")


def curve_sheet(results):
    """The five-point throttle curve of the stronger side."""
    out, (_, say) = results.rudder, speaker(results)
    title = "The throttle curve that makes both sides pull alike"
    if not out.known:
        return not_known(out.missing, title)
    u = out.unlike
    if u.stronger == "alike":
        return Sheet(title, ("", "value"), (("told alike, so they pull alike here", "no curve"), ("two units of one label differ by up to about", f"{say(u.shelf_rudder, 'angle', 2)} of trim")))
    weak = "left" if u.stronger == "right" else "right"
    rows = tuple((percent(stick), say(one, "thrust", 2), say(two, "thrust", 2), percent(output), units.signed(200.0 * output - 100.0)) for stick, (one, two), output in zip((0, 0.25, 0.5, 0.75, 1), u.thrusts, u.outputs))
    return Sheet(title, ("stick", f"{weak} pulls", f"{u.stronger} pulls without the curve", f"curve of the {u.stronger} side", "the same counted from −100 to +100"), rows,
                 note="Made standing, at the charge you look at on page 01: check it with the scale on page 07.")


def remedies_sheet(results):
    """What each remedy for unlike motors is worth."""
    out, (_, say) = results.rudder, speaker(results)
    title = "What each remedy is worth"
    if not out.known:
        return not_known(out.missing, title)
    u = out.unlike
    trim = lambda t: f"{say(abs(t.rudder), 'angle', 2)} of rudder" if t.rudder is not None else "more rudder than there is" if out.has_rudder else f"{say(abs(t.sideslip), 'angle', 2)} of sideslip"  # noqa: E731
    left = lambda thrust, stick: f"at most {say(abs(thrust), 'thrust', 2)} standing, at {percent(stick)} stick"  # noqa: E731
    toe = ("toe-out of both", f"{say(u.toe_out, 'angle', 2)} outward", f"nearly all: {100.0 * u.toe_gain:.0f} % of the arm gone, for {say(u.toe_force, 'thrust', 2)} of side force on each motor")
    if u.stronger == "alike":
        return Sheet(title, ("remedy", "what you set", "what it leaves"), (("none is needed", "", "the two are told alike"), toe), note="Two units of one label differ all the same: page 07 measures it.")
    rows = (("trim alone", f"{trim(u.plain_cruise)}, for cruise at full throttle", "right at one throttle and one speed only; so is a rudder or fin set askew"),
            ("five-point curve", ", ".join(f"{100.0 * x:.0f}" for x in u.outputs) + f" % on the {u.stronger} side", f"{left(u.left_over, u.left_over_stick)}; in cruise {trim(u.curved_cruise)}"),
            ("upper end point alone", f"{u.stronger} side: full stick gives {end_point_words(u.outputs[-1])}", left(u.end_left_over, u.end_left_over_stick)), toe,
            ("offset", f"the {u.stronger} motor {say(u.offset, 'length', 2)} further in", f"alike at full throttle in cruise, {100.0 * abs(u.offset_left_over):.0f} % of the difference at half"))
    return Sheet(title, ("remedy", "what you set", "what it leaves"), rows, note=f"As you fly it now, full throttle at approach speed takes {trim(u.approach)}.")


def steering_sheet(results):
    """Steering by thrust difference: authority, and the numbers for the transmitter."""
    out, (_, say) = results.rudder, speaker(results)
    title = "Rudder stick mixed with the throttles"
    if not out.known:
        return not_known(out.missing, title)
    value = results.record.value
    mixed, share = value("rudder.mix") == "thrust", out.unlike.steering[0].difference
    asked = value("rudder.mix_share") if mixed else share
    begins = value("rudder.mix_from")
    rows = []
    for s in out.unlike.steering:
        like = (f"{say(s.rudder, 'angle', 2)} of rudder" if s.rudder is not None else "more rudder than there is") if out.has_rudder else f"{say(s.sideslip, 'angle', 2)} of sideslip"
        rows.append((f"full right stick {PLACES[s.place]}, {say(s.speed, 'speed')}: left {percent(s.throttle + s.difference / 2.0)}, right {percent(s.throttle - s.difference / 2.0)}",
                     f"turns right with {say(s.moment, 'moment', 2)}, like {like}"))
    half = 100.0 * asked / 2.0
    rows += [("mix 1: rudder stick to the left throttle", f"right stick +{half:.0f} % of the throttle (+{2.0 * half:.0f} where your transmitter counts from −100 to +100 %)"),
             ("mix 2: rudder stick to the right throttle", f"right stick −{half:.0f} % of the throttle (−{2.0 * half:.0f} counted the other way)"),
             ("both mixes begin at", (f"{percent(begins)} throttle" if begins is not None else "not said yet") if mixed else f"{percent(value('rudder.idle') + value('limits.mix_above_idle'))} throttle or more"),
             ("direction", "right rudder speeds up the LEFT motor: try it with the propellers off (page 07)"),
             ("with one motor dead", "no help: switch the mix off, or it opens the live throttle")]
    return Sheet(title, ("", "what it does"), tuple(rows), note="" if mixed else "You have no such mix; this is what one of this size would do.")
