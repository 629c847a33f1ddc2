"""Tables of page 06: one motor out in numbers, what each part does, the throttle curve, and the card for the field."""

import math

from twinkit import tables, units
from twinkit.checks.rudder import percent, rate, rate_range, speaker, speed_range
from twinkit.design.base import said_all
from twinkit.drawings.base import Sheet
from twinkit.drawings.rudder_shown import NO_PERMISSION, not_known, shown_in
from twinkit.physics.control_surfaces import OPEN_GAP_LOSS

INPUT_WORDS = {"thrust": "thrust of the live motor", "dead propeller": "drag of the dead propeller", "fin": "lift of the fin", "rudder": "effect of the rudder",
               "body": "fuselage in sideslip", "nacelles and propellers": "nacelles and propellers in sideslip", "slipstream": "slipstream on the wing"}
SHORT = {"datcom_lateral": "handbook of methods", "munk_tr184": "report on airship hulls", "ribner_tr819": "report on propellers askew", "strip_theory": "strip theory", "lateral_memory": "textbook estimate", "flap_chart": "chart of plain flaps",
         "lifting_line_rolling": "textbook on wings"}     # sources as they stand in the tables; in full at the end of the page
STANDING = {"memory": "quoted from memory", "seen": "looked up"}
STRAIGHT_WORDS = {"level": "wings level", "looked at": "the bank you look at", "no sideslip": "no sideslip", "best": "the best case", "rudder in the middle": "rudder in the middle"}


def one_motor_sheet(results):
    """One motor out, either side, in numbers."""
    out, (system, say) = results.rudder, speaker(results)
    title = "One motor dead, in calm air"
    if not out.known:
        return not_known(out.missing, title)
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
            ("on that throttle it", lambda s: f"{rate(s.climb.value, system)} ({rate_range(s.climb, system)})" if s.cap_thrust.value > 0.0 else "see both throttles closed"),
            ("drag of sideslip, rudder and ailerons in that", lambda s: f"{say(s.sideways_drag, 'thrust', 2)}"),
            ("with both throttles closed it", lambda s: f"{rate(s.closed_climb.value, system)} ({rate_range(s.closed_climb, system)})"),
            ("in the best case the rudder holds", lambda s: f"{percent(s.best_cap)}, {rate(s.best_climb, system)}"),
            ("slowest speed that holds level flight, wings level", lambda s: "none" if s.level_speed is None else speed(s.level_speed)),
            ("speed at which what is held climbs best", lambda s: f"{speed(s.fast_speed)} on {throttle(s.fast_cap)}, {rate(s.fast_climb, system)}"),
        ]
    else:
        rows += [("level flight takes, on the approach", lambda s: say(s.level_thrust, "thrust")), ("with both throttles closed it", lambda s: f"{rate(s.closed_climb.value, system)} ({rate_range(s.closed_climb, system)})")]
    rows += [("sideslip with the rudder in the middle, full throttle, on the approach" if out.has_rudder else "sideslip on full throttle, on the approach", lambda s: slip(s.slip_full)),
             ("the same on the thrust of level flight", lambda s: slip(s.slip_level))]
    worse = "Which motor you lose makes no difference worth telling." if out.alike else f"The {out.worse} motor is the worse one to lose."
    return Sheet(title, ("", "left motor dead", "right motor dead"), tuple((words, *(tell(s) for s in both)) for words, tell in rows),
                 note=f"You stall at {say(out.stall, 'speed')} and come in at {say(out.approach, 'speed')}. {worse} A band holds two times in three. "
                      f"{'' if out.has_ailerons else 'You have no ailerons, so the roll is left out of these numbers: take them as rough. '}{NO_PERMISSION}")


def _from(part):
    """How a derivative is estimated, and from whom, in a few words."""
    row = tables.read("engine_out/estimate_bands").row("part", {"fuselage": "body"}.get(part, part))
    return f"{row['method']} ({SHORT[row['source']]}, {STANDING.get(tables.sources()[row['source']]['standing'], 'estimate')})"


def _most(parts, name):
    """The part that gives most of a derivative, and its share of all that is given either way."""
    sizes = {row.part: abs(float(getattr(row, name))) for row in parts[:-1]}
    top = max(sizes, key=sizes.get)
    return f"{top} {percent(sizes[top] / sum(sizes.values()))}"


def parts_sheet(results):
    """What each part adds to the derivatives."""
    out = results.rudder
    title = "What turns the nose into the wind, and what turns it out"
    if out.parts is None:
        return not_known(out.missing, title)
    number = lambda x, band: f"{units.signed(float(x), 3)}\u00a0±\u00a0{float(band):.3f}" if abs(float(x)) >= 0.0005 else "0"  # noqa: E731
    rows = [(row.part, number(row.cn_beta, row.cn_band), number(row.cy_beta, row.cy_band), number(row.cl_beta, row.cl_band), "" if row.part == "total" else _from(row.part)) for row in out.parts]
    fin, total = out.parts[0], out.parts[-1]
    against = 100.0 * (1.0 - float(total.cn_beta) / float(fin.cn_beta))
    return Sheet(title, ("part", "nose into the wind, Cn", "side force, CY", "roll, Cl", "estimated from"), tuple(rows),
                 note=f"For each radian of sideslip with wind from the right, ± one standard deviation. Largest part of what is given either way: Cn {_most(out.parts, 'cn_beta')}, CY {_most(out.parts, 'cy_beta')}, "
                      f"Cl {_most(out.parts, 'cl_beta')}. All but the fin take {against:.0f} % off its Cn. Estimated from the shape, not measured.")


def derived_sheet(results):
    """Derivatives by controls and rates."""
    out = results.rudder
    title = "What rudder, ailerons and turning do"
    if out.parts is None:
        return not_known(out.missing, title)
    what = {"Cn by rudder": "turns the nose", "CY by rudder": "pushes the tail aside", "Cl by aileron": "rolls it", "Cn by aileron": "swings the nose against the roll", "Cl by roll rate": "damps the roll",
            "Cn by yaw rate": "damps the yaw", "Cl by yaw rate": "rolls it into a turn", "Cn by roll rate": "swings the nose against a roll"}
    rows = tuple((d.symbol, f"{units.signed(d.value, 3)}\u00a0±\u00a0{d.band:.3f}", what[d.symbol], _from(d.part)) for d in out.derived)
    return Sheet(title, ("derivative", "value", "it", "estimated from"), rows,
                 note="For each radian of the surface, or of the rate times span over twice the speed; at approach speed. Rates matter in the seconds after, not in straight flight.")


def worth_sheet(results):
    """What one degree of rudder is worth, factor by factor."""
    out, (_, say) = results.rudder, speaker(results)
    title = "What your rudder is worth"
    if out.parts is None:
        return not_known(out.missing, title)
    if not out.has_rudder:
        return Sheet(title, ("", "value"), (("rudder", "none: the fin is fixed"),))
    sealed = results.record.value("rudder.hinge") == "sealed"
    plain = out.effectiveness / (1.0 if sealed else 1.0 - OPEN_GAP_LOSS)
    angle = lambda x: say(x, "angle", 3)  # noqa: E731
    rows = (("one degree of a thin sheet's rear part turns its lift like", f"{out.thin_effectiveness:.2f} deg of the whole"),
            ("a plain hinged surface keeps of that", percent(plain / out.thin_effectiveness)),
            ("your hinge", "taped: nothing is lost" if sealed else f"open: {percent(OPEN_GAP_LOSS)} lost"),
            ("one degree of your rudder", f"{out.effectiveness:.2f} deg of the whole fin"),
            (f"at {say(out.used_angle, 'angle', 2)}, what you count on", f"{percent(out.used_effective / out.used_angle)} of that: works like {angle(out.used_effective)}"),
            (f"at {say(out.throw, 'angle', 2)}, all of it", f"{percent(out.throw_effective / out.throw)} of that: works like {angle(out.throw_effective)}"
             + (f"; beyond {angle(out.best_angle)} nothing is gained" if out.throw > out.best_angle else "")))
    return Sheet(title, ("", "value"), rows, note=f"Full effect to {say(out.full_effect_angle, 'angle', 2)}, then 3 % less for each degree. The share is from a digitised chart of plain flaps, the loss at large angle and at "
                 "the gap from practice; together ± 15 %.")


def straight_sheet(results):
    """Straight flight on one motor at one speed and throttle, over bank."""
    found, out, (system, say) = results.straight, results.rudder, speaker(results)
    title = "How it flies straight on one motor"
    if found.missing:
        return not_known(found.missing, title)
    if not found.rows:
        return Sheet(title, ("", ""), (("without a rudder", "no bank holds it straight within the sideslip that fin and wing take"),))
    live = out.bad.live

    def slip(x):
        if abs(x) < 0.0009:
            return "none"
        size = say(abs(x), "angle", 2) if abs(x) <= 2.0 * out.sideslip_limit else f"far beyond {say(out.sideslip_limit, 'angle', 2)}"
        return f"{size}, air from the {live if x > 0.0 else out.bad.dead} side"

    rows = tuple((STRAIGHT_WORDS[r.name], say(r.bank, "angle", 2) if abs(r.bank) < 0.7 else "no bank does it", slip(r.sideslip), "none" if r.name == "rudder in the middle" else "more than it has" if r.rudder is None else say(r.rudder, "angle", 2),
                  say(r.aileron, "angle", 2), say(r.drag, "thrust", 2) if r.enough else "", rate(r.climb, system) if r.enough else "not held") for r in found.rows)
    none = "" if any(r.enough for r in found.rows) else "No way holds it on this throttle: pull the one you leave open down, above. "
    return Sheet(title, ("way", f"bank to the {live}", "sideslip", "rudder", "ailerons", "drag of it", "it then"), rows,
                 note=f"{out.bad.dead.capitalize()} motor dead, {say(found.speed, 'speed')}, {percent(out.look_throttle)} of the live throttle: {say(found.thrust, 'thrust')}. {none}All of the rudder's travel may be used here. "
                      "Wings level slips toward the dead motor, too much bank toward the live one; the small bank between them drags least.")


def why_sheet(results):
    """Which motor is the worse one to lose, and why."""
    found, out, (_, say) = results.straight, results.rudder, speaker(results)
    title = "Which motor is the worse one to lose"
    if found.missing:
        return not_known(found.missing, title)
    moment = lambda x: say(x, "moment", 2)  # noqa: E731
    left, right = found.why
    rows = tuple((words, moment(getattr(left, name)), moment(getattr(right, name))) for words, name in (
        ("the live motor at full throttle", "live_motor"), ("the dead propeller", "dead_propeller"), ("the live thrust off its middle, nose up", "thrust_centre"), ("together", "total")))
    off = 200.0 * abs(left.total - right.total) / (left.total + right.total)
    hands = ("Your propellers turn opposite ways, so that part is the same on both sides." if found.counter_rotating else
             f"Both propellers turn the same way, which makes the last part unlike: {say(abs(left.thrust_centre - right.thrust_centre), 'moment', 1)} of {moment(left.total)}, as good as nothing. Opposite ways would take it off.")
    worse = (f"The two differ by {off:.1f} %, which is not worth telling: learn one drill for both." if out.alike else
             f"Losing the {out.worse} one turns it {off:.0f} % harder, since the other pulls more." if left.live_motor != right.live_motor else f"Losing the {out.worse} one turns it {off:.0f} % harder.")
    return Sheet(title, ("turns the nose with", "left motor dead", "right motor dead"), rows, note=f"On the approach. {worse} {hands}")


def band_sheet(results):
    """What the band of the control speed is made of."""
    out, (system, _) = results.rudder, speaker(results)
    title = "Where the band of the full-throttle control speed comes from"
    if not out.known:
        return not_known(out.missing, title)
    if not out.band_parts:
        return Sheet(title, ("input", "speed"), (("every input", "no speed is enough, whatever is assumed" if out.has_rudder else "no rudder, no speed"),))
    shift = lambda x: units.signed(x, 1).replace("+0.0", "0").replace("−0.0", "0")  # noqa: E731
    rows = [(INPUT_WORDS[name], *(shift(float(shown_in(x, "speed", system)[0])) for x in (low, high))) for name, low, high in out.band_parts if name in INPUT_WORDS]
    unit = shown_in(0.0, "speed", system)[1]
    return Sheet(title, ("what is uncertain", f"lower by, {unit}", f"higher by, {unit}"), tuple(rows), note="Each off by one standard deviation (more in one case of three), the way that helps and the way that harms. What you measure on page 07 narrows the thrust; nothing on these pages measures the fin or the dead propeller.")


def levers_sheet(results):
    """What a change of the build does."""
    out, (system, say) = results.rudder, speaker(results)
    title = "What you could still change"
    if not out.known:
        return not_known(out.missing, title)
    told = {"": lambda x: "", "rudder.dead_propeller": lambda x: {"windmilling": "windmilling", "stopped": "standing", "folded": "folded"}[x],
            "wing.rudder_share": percent, "wing.fin_height": lambda x: say(x, "length"), "wing.nacelle_out": lambda x: say(x, "length")}
    rows = []
    for lever in out.levers:
        change = f"{told[lever.path](lever.before)} to {told[lever.path](lever.after)}" if lever.path else ""
        rows.append((f"{lever.name}{', ' if change else ''}{change}", say(lever.speed, "speed") if math.isfinite(lever.speed) else "no speed is enough",
                     percent(lever.cap) if lever.cap > 0.0 else "nothing", rate(lever.climb, system)))
    return Sheet(title, ("change", "control speed, full throttle", "throttle held on the approach", "on that throttle it"), tuple(rows),
                 note=f"One change at a time, {out.worse} motor dead, wings level, most likely values. The mass of the change is left out.")


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
        power = (f"open again slowly if you must, never past {percent(side.safe_throttle)}", f"the rudder likely holds {percent(side.cap.value)}, and {percent(side.safe_throttle)} is the careful end of that; even on {percent(side.cap.value)} it {rate(side.climb.value, system)}, give or take")
    else:
        first = ("close both throttles", "nothing holds the live motor")
        then = ("steer as on any glide", "with both closed it flies nearly straight")
        power = ("leave them closed", f"it then {rate(side.closed_climb.value, system)}, give or take")
    rows = (first, ("lower the nose", f"fly {approach} or more; it stalls at {say(out.stall, 'speed')}"), ("level the wings", "a bank to the dead side grows by itself"), then, power, *after)
    return Sheet(title, ("", "do", "because"), tuple((str(k), *row) for k, row in enumerate(rows, 1)), note=f"Say it aloud before the first flight. {_climb_gently(results)}{NO_PERMISSION}")


def _climb_gently(results):
    """How far the throttle may be open on the approach so that the pilot's reaction comes in time, as a sentence; nothing where that is not known."""
    seconds = results.seconds
    if seconds.missing or seconds.second_throttle >= 1.0:
        return ""
    return (f"At approach speed with more than {percent(seconds.second_throttle)} on both, a motor that quits has it out of hand within your {units.digits(seconds.delay, 2)} s: "
            "climb on less until it is fast. ")


def numbers(results):
    """The numbers of this step as text."""
    out, (system, say) = results.rudder, speaker(results)
    names = ("motor that is worse to lose", "minimum control speed, full throttle", "minimum control speed, best case", "approach speed", "throttle the rudder holds on the approach",
             "on that throttle", "weathercock stability Cn", "trim for unlike motors, full throttle in cruise", "throttle curve of the stronger side",
             "drag of sideslip and rudder on that throttle")
    if not out.known:
        return dict.fromkeys(names, "not known")
    side, u = out.bad, out.unlike
    speed = lambda b: f"{say(b.value, 'speed')} ({speed_range(b, system)})" if math.isfinite(b.value) else "no speed is enough"  # noqa: E731
    trim = u.cruise.rudder if out.has_rudder else u.cruise.sideslip
    held = f"{percent(side.cap.value)} ({percent(side.cap.low)} to {percent(side.cap.high)})" if side.cap_thrust.value > 0.0 else "nothing"
    return dict(zip(names, (
        "neither" if out.alike else out.worse, speed(side.full), say(side.best_full, "speed") if math.isfinite(side.best_full) else "no speed is enough", say(out.approach, "speed"), held,
        "nothing is held" if side.cap_thrust.value <= 0.0 else f"{rate(side.climb.value, system)} ({rate_range(side.climb, system)})", f"{float(out.parts[-1].cn_beta):.3f}",
        "more than there is" if trim is None else f"{say(abs(trim), 'angle', 2)} of {'rudder' if out.has_rudder else 'sideslip'}",
        "none needed" if u.stronger == "alike" else f"{u.stronger}: " + ", ".join(percent(x) for x in u.outputs), say(side.sideways_drag, "thrust", 2))))
