"""Tables of page 06: one motor out in numbers, what each part does, the throttle curve, and the card for the field."""

import math

import numpy as np

from twinkit import units
from twinkit.checks.rudder import percent, rate, rate_range, speaker, speed_range
from twinkit.design.base import said_all
from twinkit.drawings.base import Sheet

INPUT_WORDS = {"thrust": "thrust of the live motor", "dead propeller": "drag of the dead propeller", "fin": "lift of the fin", "rudder": "effect of the rudder",
               "body": "fuselage in sideslip", "nacelles and propellers": "nacelles and propellers in sideslip", "slipstream": "slipstream on the wing"}
NO_PERMISSION = "A number that says it flies is no permission to fly."


def shown_in(values, kind, system):
    """SI values in the shown unit of their kind, and that unit."""
    si_unit, metric, imperial = units.KINDS[kind]
    unit = imperial if system == "imperial" else metric
    return units.from_si(np.asarray(values, dtype=float), unit, si_unit), unit


def _not_known(out, title):
    return Sheet(title, ("number", "value"), (("not yet known", said_all(out.missing)),))


def one_motor_sheet(results):
    """One motor out, either side, in numbers."""
    out, (system, say) = results.rudder, speaker(results)
    title = "One motor dead, in calm air"
    if not out.known:
        return _not_known(out, title)
    both = (out.left, out.right)
    speed = lambda x: say(x, "speed") if math.isfinite(x) else "no speed is enough"  # noqa: E731
    banded = lambda b: f"{speed(b.value)} ({speed_range(b, system)})" if math.isfinite(b.value) else speed(b.value)  # noqa: E731
    throttle = lambda x: "more than full" if x is None else percent(x)  # noqa: E731
    angle = lambda x: "more than it has" if x is None else say(x, "angle", 2)  # noqa: E731
    slip = lambda x: say(x, "angle", 2) if x <= out.sideslip_limit else f"far beyond {say(out.sideslip_limit, 'angle', 2)}"  # noqa: E731
    held = lambda s: f"{percent(s.cap.value)} ({percent(s.cap.low)} to {percent(s.cap.high)}), {say(s.cap_thrust.value, 'thrust')}" if s.cap_thrust.value > 0.0 else "nothing"  # noqa: E731
    used = percent(results.record.value("rudder.used_share"))
    rows = [("thrust of the live motor, full throttle, on the approach", lambda s: say(s.thrust, "thrust")), ("drag of the dead propeller there", lambda s: say(s.dead_drag, "thrust", 2))]
    if out.has_rudder:
        rows = [
            (f"minimum control speed, full throttle, wings level, {used} of the rudder", lambda s: banded(s.full)),
            ("over your stall speed", lambda s: units.digits(s.full.value / out.stall, 2) if math.isfinite(s.full.value) else "no speed is enough"),
            (f"the same on the {percent(out.look_throttle)} you leave open", lambda s: banded(s.look)),
            ("best case, full throttle: 5° of bank and all of the rudder", lambda s: speed(s.best_full)), *rows,
            ("level flight takes, on the approach", lambda s: f"{say(s.level_thrust, 'thrust')}, {throttle(s.level_throttle)} throttle"),
            ("rudder that takes, wings level", lambda s: angle(s.level_rudder)),
            ("throttle the rudder holds on the approach, wings level", held),
            ("on that throttle it", lambda s: f"{rate(s.climb.value, system)} ({rate_range(s.climb, system)})"),
            ("the same in the best case", lambda s: f"{percent(s.best_cap)}, {rate(s.best_climb, system)}"),
            ("slowest speed that holds level flight, wings level", lambda s: "none" if s.level_speed is None else speed(s.level_speed)),
            ("speed at which what is held climbs best", lambda s: f"{speed(s.fast_speed)} on {throttle(s.fast_cap)}, {rate(s.fast_climb, system)}"),
        ]
    else:
        rows += [("level flight takes, on the approach", lambda s: say(s.level_thrust, "thrust")), ("with both throttles closed it", lambda s: rate(s.climb.value, system))]
    rows += [("sideslip with the rudder in the middle, full throttle, on the approach" if out.has_rudder else "sideslip on full throttle, on the approach", lambda s: slip(s.slip_full)),
             ("the same on the thrust of level flight", lambda s: slip(s.slip_level))]
    worse = "Which motor you lose makes no difference worth telling." if out.alike else f"The {out.worse} motor is the worse one to lose."
    return Sheet(title, ("", "left motor dead", "right motor dead"), tuple((words, *(tell(s) for s in both)) for words, tell in rows),
                 note=f"You stall at {say(out.stall, 'speed')} and come in at {say(out.approach, 'speed')}. {worse} Bands are one standard deviation. "
                      f"{'' if out.has_ailerons else 'You have no ailerons, so the roll is left out of these numbers: take them as rough. '}{NO_PERMISSION}")


def parts_sheet(results):
    """What each part adds to the derivatives."""
    out = results.rudder
    title = "What turns the nose into the wind, and what turns it out"
    if out.parts is None:
        return _not_known(out, title)
    number = lambda x: f"{float(x):+.3f}" if abs(float(x)) >= 0.0005 else "0"  # noqa: E731
    rows = [(row.part, number(row.cn_beta), f"±\u00a0{float(row.cn_band):.3f}" if row.cn_band >= 0.0005 else "", number(row.cy_beta), number(row.cl_beta)) for row in out.parts]
    d = out.derivatives
    if out.has_rudder:
        rows.append(("rudder, for each radian of its own", number(d.cn_rudder), "", number(d.cy_rudder), number(d.cl_rudder)))
    fin, total = out.parts[0], out.parts[-1]
    against = 100.0 * (1.0 - float(total.cn_beta) / float(fin.cn_beta))
    rudder = (f"The rudder moves the fin's angle by {percent(out.effectiveness)} of its own. " if out.has_rudder else "There is no rudder. ")
    return Sheet(title, ("part", "Cn, nose into the wind", "band", "CY, side force", "Cl, roll"), tuple(rows),
                 note=f"For each radian of sideslip with wind from the right. The fin does the work; the rest takes {against:.0f} % of it off. {rudder}Estimated from the shape, not measured.")


def band_sheet(results):
    """What the band of the control speed is made of."""
    out, (system, _) = results.rudder, speaker(results)
    title = "Where the band of the full-throttle control speed comes from"
    if not out.known:
        return _not_known(out, title)
    if not out.band_parts:
        return Sheet(title, ("input", "speed"), (("every input", "no speed is enough, whatever is assumed" if out.has_rudder else "no rudder, no speed"),))
    shift = lambda x: f"{x:+.1f}".replace("+0.0", "0").replace("-0.0", "0")  # noqa: E731
    rows = [(INPUT_WORDS[name], *(shift(float(shown_in(x, "speed", system)[0])) for x in (low, high))) for name, low, high in out.band_parts if name in INPUT_WORDS]
    unit = shown_in(0.0, "speed", system)[1]
    return Sheet(title, ("one standard deviation of", f"lower by, {unit}", f"higher by, {unit}"), tuple(rows), note="What you measure on page 07 narrows the thrust; nothing on these pages measures the fin or the dead propeller.")


def levers_sheet(results):
    """What a change of the build does."""
    out, (system, say) = results.rudder, speaker(results)
    title = "What you could still change"
    if not out.known:
        return _not_known(out, title)
    told = {"": lambda x: "", "rudder.dead_propeller": lambda x: {"windmilling": "windmilling", "stopped": "standing", "folded": "folded"}[x],
            "wing.rudder_share": percent, "wing.fin_height": lambda x: say(x, "length"), "wing.nacelle_out": lambda x: say(x, "length")}
    rows = []
    for lever in out.levers:
        change = f"{told[lever.path](lever.before)} to {told[lever.path](lever.after)}" if lever.path else ""
        rows.append((f"{lever.name}{', ' if change else ''}{change}", say(lever.speed, "speed") if math.isfinite(lever.speed) else "no speed is enough",
                     percent(lever.cap) if lever.cap > 0.0 else "nothing", rate(lever.climb, system)))
    return Sheet(title, ("change", "control speed, full throttle", "throttle held on the approach", "on that throttle it"), tuple(rows),
                 note=f"One change at a time, {out.worse} motor dead, wings level, most likely values. The mass of the change is left out.")


def curve_sheet(results):
    """The five-point throttle curve of the stronger side."""
    out, (_, say) = results.rudder, speaker(results)
    title = "Two motors that pull unlike"
    if not out.known:
        return _not_known(out, title)
    u = out.unlike
    trim = lambda t: f"{say(abs(t.rudder), 'angle', 2)} of rudder" if t.rudder is not None else "more rudder than there is" if out.has_rudder else f"{say(abs(t.sideslip), 'angle', 2)} of sideslip"  # noqa: E731
    toe = (f"Toe-out (both motors turned outward) does little: {say(u.toe_out, 'angle', 2)} take {100.0 * u.toe_gain:.0f} % off the arm of the live motor and cost {say(u.toe_force, 'thrust', 2)} of side force on each motor.")
    if u.stronger == "alike":
        return Sheet(title, ("", "value"), (("told alike, so they pull alike here", "no curve"), ("two units of one label differ by up to about", f"{say(u.shelf_rudder, 'angle', 2)} of trim")), note=toe)
    weak = "left" if u.stronger == "right" else "right"
    rows = tuple((percent(stick), say(one, "thrust", 2), say(two, "thrust", 2), percent(output), f"{200.0 * output - 100.0:+.0f}") for stick, (one, two), output in zip((0, 0.25, 0.5, 0.75, 1), u.thrusts, u.outputs))
    return Sheet(title, ("stick", f"{weak} pulls", f"{u.stronger} pulls without the curve", f"curve of the {u.stronger} side", "the same counted from -100 to +100"), rows,
                 note=f"Without the curve full throttle in cruise takes {trim(u.plain_cruise)}, with it {trim(u.curved_cruise)}; at approach speed, as you fly it, {trim(u.approach)}. "
                      f"The curve leaves at most {say(abs(u.left_over), 'thrust', 2)} between its points, at {percent(u.left_over_stick)} stick. It is made standing, at the charge "
                      f"you look at on page 01: check it with the scale on page 07. {toe}")


def steering_sheet(results):
    """Steering by thrust difference."""
    out, (_, say) = results.rudder, speaker(results)
    title = "Rudder mixed with thrust difference"
    if not out.known:
        return _not_known(out, title)
    u = out.unlike
    low, high = u.steer_throttle - u.steer_difference / 2.0, u.steer_throttle + u.steer_difference / 2.0
    like = (f"{say(u.steer_rudder, 'angle', 2)} of rudder" if u.steer_rudder is not None else "more rudder than there is") if out.has_rudder else f"{say(u.steer_sideslip, 'angle', 2)} of sideslip"
    rows = ((f"left {percent(high)}, right {percent(low)}, in cruise", f"turns right with {say(u.steer_moment, 'moment', 2)}, like {like}"),
            ("direction", "right rudder speeds up the LEFT motor: try it with the propellers off"),
            ("near idle", "no difference below idle and a tenth: else a propeller starts when you move the rudder"),
            ("with one motor dead", "no help: switch the mix off, or it opens the live throttle"))
    return Sheet(title, ("", "what it does"), rows)


def card_sheet(results):
    """What to do when a motor quits, in order: the card to print."""
    out, (system, say) = results.rudder, speaker(results)
    title = "When a motor quits, in order"
    after = (("no steep turn, none toward the dead motor", "a turn needs more speed, and the dead side stalls first"),
             ("land straight ahead, or nearly", "do not count on power for a second try"), ("on the ground: both throttles closed, packs out, then look why", "the live propeller may start again"))
    if not out.known:
        rows = (("close both throttles", "nobody can tell yet what the rudder holds"), ("lower the nose", "it stalls sooner than you think"),
                ("level the wings", "a bank to the dead side grows by itself"), *after)
        return Sheet(title, ("", "do", "because"), tuple((str(k), *row) for k, row in enumerate(rows, 1)),
                     note=f"Your throttle and speeds come here when these are known: {said_all(out.missing)}. {NO_PERMISSION}")
    side, approach = out.bad, say(out.approach, "speed")
    if out.has_rudder and side.safe_throttle > 0.0:
        first = (f"close the throttle, to {percent(side.safe_throttle)} or less", f"more is not held at {approach}")
        then = ("rudder away from the yaw, toward the motor that runs", "the nose swings to the dead side")
        power = (f"open again slowly if you must, never past {percent(side.safe_throttle)}", f"on {percent(side.cap.value)}, the most the rudder holds, it {rate(side.climb.value, system)}, give or take")
    else:
        first = ("close both throttles", "nothing holds the live motor")
        then = ("steer as on any glide", "with both closed it flies nearly straight")
        power = ("leave them closed", f"it then {rate(side.climb.value, system)}, give or take")
    rows = (first, ("lower the nose", f"fly {approach} or more; it stalls at {say(out.stall, 'speed')}"), ("level the wings", "a bank to the dead side grows by itself"), then, power, *after)
    return Sheet(title, ("", "do", "because"), tuple((str(k), *row) for k, row in enumerate(rows, 1)), note=f"Say it aloud before the first flight. {NO_PERMISSION}")


def numbers(results):
    """The numbers of this step as text."""
    out, (system, say) = results.rudder, speaker(results)
    names = ("motor that is worse to lose", "minimum control speed, full throttle", "minimum control speed, best case", "approach speed", "throttle the rudder holds on the approach",
             "on that throttle", "weathercock stability Cn", "trim for unlike motors, full throttle in cruise", "throttle curve of the stronger side")
    if not out.known:
        return dict.fromkeys(names, "not known")
    side, u = out.bad, out.unlike
    speed = lambda b: f"{say(b.value, 'speed')} ({speed_range(b, system)})" if math.isfinite(b.value) else "no speed is enough"  # noqa: E731
    trim = u.cruise.rudder if out.has_rudder else u.cruise.sideslip
    held = f"{percent(side.cap.value)} ({percent(side.cap.low)} to {percent(side.cap.high)})" if side.cap_thrust.value > 0.0 else "nothing"
    return dict(zip(names, (
        "neither" if out.alike else out.worse, speed(side.full), say(side.best_full, "speed") if math.isfinite(side.best_full) else "no speed is enough", say(out.approach, "speed"), held,
        f"{rate(side.climb.value, system)} ({rate_range(side.climb, system)})", f"{float(out.parts[-1].cn_beta):.3f}",
        "more than there is" if trim is None else f"{say(abs(trim), 'angle', 2)} of {'rudder' if out.has_rudder else 'sideslip'}",
        "none needed" if u.stronger == "alike" else f"{u.stronger}: " + ", ".join(percent(x) for x in u.outputs))))
