"""Pictures of page 01: the running points on the torque curves, and thrust over airspeed."""

import numpy as np

from twinkit import units
from twinkit.drawings import style
from twinkit.drawings.base import Picture
from twinkit.drawings.power_layouts import AllLayouts, DischargePicture, LayoutBars
from twinkit.drawings.power_tables import SHEETS, _pull, _rpm, _say, numbers  # noqa: F401  (the page asks this module for all three)

SOURCES = ("modelica_dcpm", "erickson_maksimovic", "twinkit_bench_comparison", "drive_trade", "twinkit_propeller_fit", "uiuc_propeller_db", "glauert_airscrew",
           "pybamm_parameter_sets", "twinkit_pack_rule", "ecker2015", "churchill_bernstein", "incropera_example", "wiring_trade")
SIDES = ("left", "right")
ROOM_ABOVE = 1.45        # torque axis over the greatest torque
ROOM_BELOW = 0.16        # part of the thrust axis below zero
ALIKE = 0.005            # difference of thrust nobody can measure


def _shown(kind, results):
    """The unit of a kind of number and a function into it."""
    si_unit, metric, imperial = units.KINDS[kind]
    unit = imperial if results.record.value("start.units") == "imperial" else metric
    return unit, lambda value: units.from_si(np.asarray(value, dtype=float), unit, si_unit)


def _where(throttle, speed, results):
    return f"{units.from_si(throttle, '%', '1'):g} % throttle and {_say(results)(speed, 'speed')}"


class TorqueCurves(Picture):
    """What each propeller asks of its shaft and what each motor gives, over rpm; the running points where they meet."""

    size = (7.0, 3.8)
    needs = ("power_curves",)
    quick = True

    def build(self):
        self.axes = style.place(self.figure, (0.09, 0.135, 0.885, 0.715))
        ax, self.lines = self.axes, {}
        for side in SIDES:
            look = {"color": style.SIDE_COLOUR[side], "ls": style.SIDE_LINE[side]}
            propeller, = ax.plot([], [], lw=1.2, label=f"{side} propeller asks", **look)
            motor, = ax.plot([], [], lw=2.4, label=f"{side} motor gives", **look)
            across, = ax.plot([], [], lw=5.0, alpha=0.3, color=look["color"], solid_capstyle="butt")
            upright, = ax.plot([], [], lw=5.0, alpha=0.3, color=look["color"], solid_capstyle="butt")
            point, = ax.plot([], [], style.SIDE_MARK[side], color=look["color"], ms=8, mec=style.INK, zorder=5)
            words = ax.annotate("", (0, 0), xytext=(-14 if side == "left" else 14, 0), textcoords="offset points", ha="right" if side == "left" else "left",
                                va="center", color=look["color"], fontsize=9, fontweight="bold", zorder=6,
                                bbox={"boxstyle": "square,pad=0.15", "fc": style.PAPER, "ec": "none", "alpha": 0.8})
            self.lines[side] = propeller, motor, across, upright, point, words
        ax.legend(loc="upper left", fontsize=8.5, frameon=False)

    def fill(self, results):
        curves, ax = results.power_curves, self.axes
        unit = "oz in" if results.record.value("start.units") == "imperial" else "mN m"
        to = lambda torque: units.from_si(np.asarray(torque, dtype=float), unit, "N m")  # noqa: E731
        rpm = lambda rotation: units.from_si(np.asarray(rotation, dtype=float), "rpm", "rad/s")  # noqa: E731
        x, top = rpm(curves.rotation), float(to(curves.greatest_torque)) * ROOM_ABOVE
        for side in SIDES:
            lines, (propeller, motor, across, upright, point, words) = getattr(curves, side), self.lines[side]
            at, high = float(rpm(lines.point.speed_of_rotation)), float(to(lines.point.torque))
            wide, tall = float(rpm(lines.bands["speed_of_rotation"])), float(to(lines.bands["torque"]))
            propeller.set_data(x, to(lines.propeller))
            motor.set_data(x, to(lines.motor))
            across.set_data([at - wide, at + wide], [high, high])
            upright.set_data([at, at], [high - tall, high + tall])
            point.set_data([at], [high])
            words.xy = (at, high)
            words.set_text(side)
        ax.set_xlim(0.0, float(x[-1]))
        ax.set_ylim(0.0, top)
        ax.set_xlabel("rpm")
        ax.set_ylabel(f"torque on the shaft, {unit.replace('mN m', 'N mm')}")
        left, right = curves.left.point, curves.right.point
        where = _where(curves.look.throttle_left, curves.look.speed, results)
        turning = [side for side, p in (("left", left), ("right", right)) if p.running]
        if not turning:
            return f"At {where} neither motor drives its propeller"
        turns = " and ".join(f"the {side} {'propeller turns ' if side == turning[0] else ''}{_rpm(getattr(curves, side).point.speed_of_rotation)} "
                             f"(± {_rpm(getattr(curves, side).bands['speed_of_rotation'])})" for side in turning)
        return f"At {where} {turns}: there the thin line meets the thick one"


class ThrustOverSpeed(Picture):
    """Thrust of each side over airspeed at the throttle looked at, as computed and with the band that holds two variants in three."""

    size = (7.0, 4.0)
    needs = ("power_bands",)

    def build(self):
        self.axes = style.place(self.figure, (0.09, 0.13, 0.885, 0.715))
        ax, self.lines, nothing = self.axes, {}, np.zeros(2)
        for side in SIDES:
            colour = style.SIDE_COLOUR[side]
            area = ax.fill_between(nothing, nothing, nothing, color=colour, alpha=0.16, lw=0, hatch=None)
            edges = [ax.plot([], [], lw=0.8, color=colour, ls=style.SIDE_LINE[side], alpha=0.7)[0] for _ in range(2)]
            line, = ax.plot([], [], color=colour, ls=style.SIDE_LINE[side], label=f"{side}, light: two times in three")
            point, = ax.plot([], [], style.SIDE_MARK[side], color=colour, ms=8, mec=style.INK, zorder=5, clip_on=False)
            self.lines[side] = area, edges, line, point
        self.zero = ax.axhline(0.0, color=style.INK, lw=0.9)
        self.here = ax.axvline(0.0, color=style.FAINT, lw=1.2, ls=":")
        ax.legend(loc="upper right", fontsize=8.5, frameon=False)

    def fill(self, results):
        bands, ax = results.power_bands, self.axes
        speed_unit, to_speed = _shown("speed", results)
        thrust_unit, to_thrust = _shown("thrust", results)
        x = to_speed(bands.speeds)
        for side in SIDES:
            area, edges, line, point = self.lines[side]
            low, high = (to_thrust(getattr(bands, f"{side}_{end}")) for end in ("low", "high"))
            area.set_verts([np.column_stack([np.concatenate([x, x[::-1]]), np.concatenate([low, high[::-1]])])])
            for edge, values in zip(edges, (low, high)):
                edge.set_data(x, values)
            line.set_data(x, to_thrust(getattr(bands, f"thrust_{side}")))
            point.set_data([float(to_speed(bands.speed))], [float(to_thrust(getattr(bands.now, side).thrust))])
        self.here.set_xdata([float(to_speed(bands.speed))] * 2)
        top = float(to_thrust(bands.greatest))
        ax.set_xlim(0.0, max(float(x[-1]), float(to_speed(bands.speed))))
        ax.set_ylim(-ROOM_BELOW * top, top)
        ax.set_xlabel(f"airspeed, {speed_unit}")
        ax.set_ylabel(f"thrust of one side, {thrust_unit}")
        return f"At {_where(bands.throttle, bands.speed, results)} {self._finding(bands, _pull(results))}"

    @staticmethod
    def _finding(bands, pull):
        left, right = (float(getattr(bands.now, side).thrust) for side in SIDES)
        pulling = [side for side, thrust in zip(SIDES, (left, right)) if thrust > 0.0]
        if not pulling:
            return "neither side pulls"
        if len(pulling) == 1:
            return f"only the {pulling[0]} side pulls, {pull(max(left, right))}"
        if abs(bands.more_right) < ALIKE:
            side = f"both sides pull alike, {pull(left)} each"
            return f"{side}; two pairs of such motors in three differ by less than {max(abs(bands.more_low), abs(bands.more_high)) * 100:.0f} %"
        stronger, weaker = ("right", "left") if bands.more_right > 0.0 else ("left", "right")
        low, high = sorted((bands.more_low, bands.more_high) if stronger == "right" else tuple(1.0 / (1.0 + m) - 1.0 for m in (bands.more_low, bands.more_high)))
        more = abs(bands.more_right) if stronger == "right" else 1.0 / (1.0 + bands.more_right) - 1.0
        return (f"the {stronger} side pulls {more * 100:.0f} % more than the {weaker} (two times in three between {low * 100:.0f} and {high * 100:.0f} %)"
                .replace("-", "−"))


QUICK = ("point",)
PICTURES = {"torque": TorqueCurves, "thrust": ThrustOverSpeed, "layout_bars": LayoutBars, "all_layouts": AllLayouts, "discharge": DischargePicture}
