"""Page 05 on strength and surfaces: bending and torsion along the half wing; tables of stations, spars, landing, rods and trim."""

import numpy as np

from twinkit import units
from twinkit.drawings import style
from twinkit.drawings.base import Picture, Sheet


def _unknown(title, told):
    return Sheet.waiting(title, told.missing)


class Bending(Picture):
    """Bending along the half wing against what spar and skins carry; torsion below."""

    size = (7.0, 4.6)
    needs = ("loads",)

    def build(self):
        self.figure.set_layout_engine("none")
        self.top, self.foot = style.axes(self.figure, 2, 1, 1), style.axes(self.figure, 2, 1, 2)
        self.top.set_position((0.10, 0.42, 0.88, 0.445))
        self.foot.set_position((0.10, 0.11, 0.88, 0.22))
        self.carried, = self.top.plot([], [], color=style.INK, lw=2.4, drawstyle="default")
        looks = ({"color": style.SIDE_COLOUR["shared"], "lw": 2.0}, {"color": style.SIDE_COLOUR["shared"], "lw": 1.2, "ls": "--"}, {"color": style.THIRD, "lw": 1.6, "ls": (0, (6, 2))},
                 {"color": style.VERDICT_COLOUR["stop"], "lw": 1.4, "ls": ":"})
        self.lines = [self.top.plot([], [], **look)[0] for look in looks]
        fast = {"color": style.INK, "lw": 1.6}
        self.twists = [self.foot.plot([], [], **look)[0] for look in (looks[0], looks[2], fast, fast | {"lw": 1.0, "ls": "--"}, looks[3])]
        self.where = [(ax.axvline(0.0, color=style.FAINT, lw=1.0), name) for ax in (self.top, self.foot) for name in ("nacelle", "spar")]
        self.names = [self.top.text(0, 0, "", fontsize=8.3, ha="center", va="bottom") for _ in range(2)]
        self.top.legend([self.carried, *self.lines], ["carried, with the wanted reserve", "lift spread evenly", "lift spread elliptically", "evenly, weight of wing and nacelle taken off", "hard landing, downward"],
                        loc="upper right", ncols=2, columnspacing=1.2, fontsize=8, framealpha=1.0, frameon=True, facecolor=style.PAPER, edgecolor="none")
        self.foot.legend([self.twists[2], self.twists[3]], ["greatest speed, pull-up", "greatest speed, straight"], loc="lower right", ncols=2, fontsize=8, framealpha=1.0, frameon=True, facecolor=style.PAPER, edgecolor="none")
        for ax in (self.top, self.foot):
            ax.axhline(0.0, color=style.INK, lw=0.8)

    def fill(self, results):
        told, wing, system = results.loads, results.wing, results.record.value("start.units")
        imperial = system == "imperial"
        moment, length = units.KINDS["moment"][2 if imperial else 1], units.KINDS["length"][2 if imperial else 1]
        nm = lambda x: units.from_si(np.asarray(x, dtype=float), moment, "N m")  # noqa: E731
        out = units.from_si(told.out, length, "m")
        top = float(nm(np.max(told.bending[0])))
        self.carried.set_data(out, np.minimum(nm(told.carried), 3.0 * top))
        for line, row in zip(self.lines, told.bending):
            line.set_data(out, nm(np.abs(row)))
        for line, row in zip(self.twists, told.torsion):
            line.set_data(out, nm(row))
        places = {"nacelle": float(units.from_si(results.geometry.nacelle_out, length, "m")), "spar": float(units.from_si(wing.spar_end, length, "m"))}
        for line, name in self.where:
            line.set_xdata([places[name]] * 2)
        high = 1.5 * max(top, min(float(nm(np.max(told.carried))), 3.0 * top))     # the key stands above every line
        for text, (name, words) in zip(self.names, (("nacelle", "nacelle"), ("spar", "spar ends"))):
            text.set_text(words)
            text.set_position((places[name], high * 1.01))
        self.top.set_ylim(0.0, high)
        twist = np.concatenate([nm(row) for row in told.torsion])
        room = 0.1 * max(np.ptp(twist), 1e-6)
        self.foot.set_ylim(min(float(twist.min()), 0.0) - room, max(float(twist.max()), 0.0) + room)
        for ax in (self.top, self.foot):
            ax.set_xlim(0.0, float(out[-1]))
        self.top.set_ylabel(f"bending, {moment}")
        self.foot.set_ylabel(f"torsion, {moment}")
        self.foot.set_xlabel(f"out from the middle, {length} (torsion: nose up is positive)")
        short = told.out[told.carried < told.bending[0]]
        if short.size:
            return f"Short of the wanted reserve from {units.say(float(short[0]), 'length', system)} to {units.say(float(short[-1]), 'length', system)} out"
        return f"At {units.digits(results.record.value('wing.load_factor'), 2)} times its weight spar and skins carry the wing all along"


def stations_sheet(results):
    """Loads at the root, the nacelle and the end of the spar; spars of other kinds."""
    told, title = results.loads, "Loads where it matters"
    if not told.known:
        return _unknown(title, told)
    system = results.record.value("start.units")
    say = lambda value, kind, digits=3: units.say(value, kind, system, digits)  # noqa: E731
    rows = tuple((s.name, say(s.out, "length"), f"{say(s.bending, 'moment')} ({say(s.bending_elliptic, 'moment', 2)} if elliptic)", say(s.bending_relieved, "moment"), say(s.shear, "force", 2),
                  f"{say(s.torsion, 'moment', 2)} ({s.torsion_case})", say(s.core_shear, "stress", 2)) for s in told.stations)
    weaker = [s for s in told.stations if s.core_shear > told.core_allowable]
    return Sheet(title, ("place", "out", "bending", "with relief", "shear", "torsion", "core shear"), rows,
                 note=f"Relief: {say(told.spread_mass, 'mass', 2)} of wing by {told.relief_from} and the nacelle pull down while the lift pulls up; the reserve does without it. Torsion is taken about the spar, nose down is negative; "
                      f"shown is the largest of the pull-up with and without the nacelles and of flight at {say(told.greatest_speed, 'speed')}, the fastest the propellers pull you: nacelles ahead of the spar add to it. If foam alone joined the skins its core would see the stress of the last column; {say(told.core_allowable, 'stress', 2)} is allowed"
                      + (f": too much at the {' and the '.join(s.name for s in weaker)}." if weaker else "."))


def spars_sheet(results):
    """Spars side by side."""
    told, title = results.loads, "Another spar of the sizes entered"
    if not told.known:
        return _unknown(title, told)
    system = results.record.value("start.units")
    rows = tuple((("yours: " if s.yours else "") + s.name, "-" if s.reserve is None else units.digits(s.reserve, 2),
                  "-" if s.tip_rise is None else "more than the half span" if s.tip_rise > results.geometry.span / 2 else units.say(s.tip_rise, "length", system, 2)) for s in told.spars)
    own = results.wing.own_strip
    words = "Paper in compression is guessed: lay a strip of your board on two supports and load it (below)."
    if own is not None:
        modulus = "" if own.modulus is None else f" stiffness of its faces {units.shown(own.modulus, 'GPa', 'Pa', 2)};"
        crease = "" if own.crease is None else f" creased at {units.say(own.crease, 'stress', system, 2)}, of which {units.say(own.allowable, 'stress', system, 2)} is trusted;"
        words = f"Your own strip:{modulus}{crease} it stands in for the guessed paper." if modulus or crease else "Your own strip: enter a load with what it sinks, or the load at which it creased."
    return Sheet(title, ("spar", "reserve at the design load", "tip rises"), rows, note=f"{words} Wood is trusted with half of its mean strength.")


def rods_sheet(results):
    """Throws, holes and what the air asks of the servos."""
    told, title = results.surfaces, "Throws, holes and servos"
    if not told.known:
        return _unknown(title, told)
    system = results.record.value("start.units")
    say = lambda value, kind, digits=2: units.say(value, kind, system, digits)  # noqa: E731
    rows = tuple((s.name, say(s.angle, "angle"), say(s.chord, "length"), say(s.travel, "length"), say(s.horn, "length"), say(s.torque, "moment"), units.digits(s.reserve, 2)) for s in told.rows)
    return Sheet(title, ("surface", "angle each way", "chord behind the hinge", "trailing edge moves", "hole from the hinge line", "servo is asked", "reserve"), rows,
                 note=f"Measure the travel square to the surface at its trailing edge, at its inner end. The hole goes with {say(told.servo_arm, 'length')} on the servo arm. Elevator and ailerons are asked at "
                      f"{say(told.speed, 'speed', 3)}, the fastest the propellers pull you; the rudder at the cruise. The ideal-flow value used errs on the safe side; each aileron has its own servo.")


def trim_sheet(results):
    """Wing and tail set apart, dihedral."""
    told, wing, title = results.surfaces, results.wing, "Settings: wing, tail, dihedral"
    if not told.known:
        return _unknown(title, told)
    system = results.record.value("start.units")
    say = lambda value, kind="angle", digits=2: units.say(value, kind, system, digits)  # noqa: E731
    rows = []
    if told.apart is not None:
        way = "nose up" if told.underside >= 0.0 else "nose down"
        rows = [("wing's underside against the fuselage", say(abs(told.underside)) + f" {way}", f"so that the fuselage lies level at {say(wing.cruise_speed, 'speed', 3)}"),
                ("tailplane against the fuselage", say(abs(told.tail_setting)) + (" nose up" if told.tail_setting >= 0.0 else " nose down"), "so that it flies there hands off, with the CG as it is now"),
                ("underside over tailplane", say(told.apart), "between 1 and 3 deg on most; shim the tail by what the first flights ask for")]
    else:
        rows = [("wing and tail", "not known", "page 04 tells the CG first")]
    rows += [("down-thrust", say(results.record.value("wing.down_thrust")), "counted in the setting of the tail"),
             ("dihedral, each half", say(results.geometry.dihedral), "1 to 4 deg with ailerons on a shoulder or high wing, half as much again on a low one; 5 to 8 deg if the rudder or the thrust alone turns it"),
             ("washout", say(results.geometry.washout), "0 to 3 deg: the tip stalls last")]
    return Sheet(title, ("what", "set it to", "why"), tuple(rows), note="Angles good to half a degree: the downwash and the slipstream over the tail are not known better.")
