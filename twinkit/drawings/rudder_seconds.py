"""Page 06, the seconds after a motor stops: the picture of three places, what each reaction leaves, and the modes."""

import math

import numpy as np

from twinkit import units
from twinkit.checks.rudder import percent, speaker
from twinkit.design.sudden import PLACES, REACTIONS
from twinkit.drawings import style
from twinkit.drawings.base import Picture, Sheet
from twinkit.drawings.rudder_shown import not_known

LOOKS = {"none": ("-", 2.6, 3), "rudder": ((0, (6, 2)), 1.9, 4), "both": ((0, (3, 1, 1, 1)), 1.9, 5), "closed": ((0, (1, 1)), 2.2, 6)}
TOP = 70.0       # end of the axis, degrees


def reaction_words(out):
    """What the pilot does, in words."""
    if out.has_rudder:
        return {"none": "nothing is done", "rudder": "rudder", "both": "rudder and ailerons", "closed": "throttle closed, ailerons"}
    return {"none": "nothing is done", "both": "ailerons alone", "closed": "throttle closed, ailerons"}


def place_words(seconds, say):
    """Each place in words, with its speed."""
    last = "thrown" if seconds.launch == "hand" else "take-off run"
    return {place: f"{name}, {say(seconds.speeds[place], 'speed')}" for place, name in zip(PLACES, ("cruise", "climb, full throttle", last))}


def _tenths(time):
    return f"{time:.1f} s"


class Seconds(Picture):
    """Bank in the seconds after a motor stops, at three places; on the wheels the heading instead."""

    size = (7.0, 4.3)
    needs = ("seconds",)

    def build(self):
        self.panels = {}
        for place, ax in zip(PLACES, style.places(self.figure, 1, len(PLACES), (0.085, 0.25, 0.895, 0.585), (0.09, 0.0))):
            lines = {key: ax.plot([], [], ls=ls, lw=width, zorder=order)[0] for key, (ls, width, order) in LOOKS.items()}
            end, = ax.plot([], [], "x", color=style.INK, ms=10, mew=2.4, zorder=9)
            act = ax.axvline(0.0, color=style.INK, lw=1.0)
            words = ax.annotate("", (0.5, 0.97), xycoords="axes fraction", ha="center", va="top", fontsize=9, bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.0})
            ax.set_ylim(-12.0, TOP)
            self.panels[place] = (ax, lines, end, act, words)
        self.panels["climb"][0].set_xlabel("seconds after the motor stops   (×: beyond it the model is not believed)")

    def fill(self, results):
        seconds, out, (_, say) = results.seconds, results.rudder, speaker(results)
        dead, live = (-1.0, "right") if seconds.dead == "left" else (1.0, "left")
        names, end = place_words(seconds, say), float(seconds.time[-1])
        rolling = seconds.launch != "hand"
        for place, (ax, lines, cross, act, words) in self.panels.items():
            wheels = rolling and place == "leaving"
            ends = []
            for reaction, line in lines.items():
                story = seconds.story(place, reaction)
                angle = np.degrees(story.heading if wheels else story.bank) * dead
                line.set_data(seconds.time, angle)
                line.set_visible(reaction != "rudder" or out.has_rudder)
                line.set_color(style.SIDE_COLOUR[live] if reaction == "none" else style.INK)
                last = np.flatnonzero(np.isfinite(angle))[-1]
                if story.lost_at is not None:
                    ends.append((seconds.time[last], angle[last]))
            cross.set_data(*(zip(*ends) if ends else ([], [])))
            act.set_xdata([seconds.delay, seconds.delay])
            act.set_visible(seconds.delay <= end)
            ax.set_xlim(0.0, end)
            ax.set_title(names[place], fontsize=9.5)
            ax.set_ylabel(f"{'nose' if wheels else 'bank'} to the dead side, deg" if wheels or place == "cruise" else "")
            told = [story for story in (seconds.story(place, r) for r in REACTIONS) if story.lost_at is not None and story.lost_at <= seconds.delay]
            words.set_text(f"out of hand after {_tenths(told[0].lost_at)},\nbefore you act ({units.digits(seconds.delay, 2)} s)" if told else "")
        told = {reaction: text if reaction == "none" else f"after {units.digits(seconds.delay, 2)} s: {text}" for reaction, text in reaction_words(out).items()}
        for old in self.figure.legends[:]:
            old.remove()
        self.figure.legend([self.panels["cruise"][1][reaction] for reaction in told], list(told.values()), loc="lower center", fontsize=9, ncols=2, frameon=False)
        first = f"banks {say(seconds.bank_at_delay, 'angle', 2)} before you act" if seconds.bank_at_delay is not None else "is out of hand before you act"
        return f"{seconds.dead.capitalize()} motor quits: in cruise it {first}; on the approach you keep your {units.digits(seconds.delay, 2)} s only up to {percent(seconds.second_throttle)} throttle"


def seconds_sheet(results):
    """What each reaction leaves at each place, and how often with everything uncertain drawn."""
    seconds, sampled, out, (_, say) = results.seconds, results.seconds_sampled, results.rudder, speaker(results)
    title = f"{seconds.dead.capitalize()} motor quits: what each answer leaves" if seconds.dead else "A motor quits: what each answer leaves"
    if seconds.missing:
        return not_known(seconds.missing, title)
    words, wheels = reaction_words(out), seconds.launch != "hand"

    def cell(i, place, j, reaction):
        story = seconds.story(place, reaction)
        if story.lost_at is not None:
            told = f"out of hand after {_tenths(story.lost_at)}"
        elif wheels and place == "leaving":
            told = f"swings {math.degrees(abs(story.heading[-1])):.0f} deg"
        else:
            told = f"banks to {math.degrees(story.most_bank):.0f} deg, heading off by {math.degrees(abs(story.heading[-1])):.0f} deg"
        return f"{told} (in hand {100.0 * sampled.kept[i, j]:.0f} of 100)"

    rows = tuple((name, *(cell(i, place, j, reaction) for j, reaction in enumerate(REACTIONS) if reaction in words)) for i, (place, name) in enumerate(place_words(seconds, say).items()))
    end = units.digits(float(seconds.time[-1]), 2)
    run = (" On the take-off run the wheels hold the wings level and are counted as not gripping sideways: grass helps a little." if wheels else
           " Thrown: lift is counted as far as the wing gives it at that speed.")
    return Sheet(title, ("where", *words.values()), rows,
                 note=f"Followed for {end} s. Out of hand: more than {say(seconds.sideslip_believed, 'angle', 2)} of sideslip or {say(seconds.bank_believed, 'angle', 2)} of bank; beyond that only the time is told. "
                      f"In hand: of {sampled.draws} draws of all that is uncertain, your own delay ({units.digits(seconds.delay, 2)} s) among it.{run}")


def modes_sheet(results):
    """How it moves by itself after a bump."""
    seconds, (_, say) = results.seconds, speaker(results)
    title = "How it moves by itself"
    if seconds.missing:
        return not_known(seconds.missing, title)
    m = seconds.modes
    time = lambda x: say(float(x), "seconds", 2)  # noqa: E731

    def spiral(k):
        t = float(m.spiral_doubling_time[k])
        return f"{'doubles' if t > 0 else 'halves'} in {time(abs(t))}" if math.isfinite(t) and abs(t) < 100.0 else "neither grows nor dies"

    def dutch(k):
        root = complex(m.dutch_roll[k])
        if not math.isfinite(root.imag):
            return "does not swing"
        half = math.log(2.0) / abs(root.real)
        return f"one swing in {time(m.dutch_roll_period[k])}, {'halved' if root.real < 0.0 else 'doubled'} in {time(half)}"

    def roll(k):
        return f"two thirds done after {time(m.roll_time[k])}" if math.isfinite(m.roll_time[k]) else "joined with the spiral"

    places = [f"{name}, {say(seconds.speeds[place], 'speed')}" for place, name in (("cruise", "cruise"), ("climb", "climb"))]
    rows = (("roll: ailerons held over, until the roll is steady", *(roll(k) for k in (0, 1))), ("Dutch roll: tail and wings swing together", *(dutch(k) for k in (0, 1))),
            ("spiral: a small bank left alone", *(spiral(k) for k in (0, 1))))
    return Sheet(title, ("mode", *places), rows, note="Both motors alike. The spiral is a small difference of large numbers: only its size is known.")
