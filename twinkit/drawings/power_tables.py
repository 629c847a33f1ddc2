"""Tables of page 01: the running point, the moments of a flight, the parts as they run, failures and layouts; and its numbers."""

from dataclasses import replace

import numpy as np

from twinkit import tables, units
from twinkit.design.power_spread import nine_in_ten
from twinkit.drawings.base import Sheet
from twinkit.drawings.power_failures import failures_sheet, layouts_sheet

SIDES = ("left", "right")
ORIGINS = {"bench": "read on the bench", "label": "from the label", "estimate": "estimated from Kv and mass"}
FROM_LABEL = {"kv": "97 % of the label until measured", "resistance": "twice the label's until measured"}
MEASURED = {"none": "not measured", "power": "power measured", "thrust and power": "thrust and power measured"}


def _say(results):
    system = results.record.value("start.units")
    return lambda value, kind, significant=3: units.say(value, kind, system, significant)


def _rpm(rotation):
    """rpm to the nearest ten."""
    return f"{round(units.from_si(rotation, 'rpm', 'rad/s'), -1):.0f} rpm"


def _pull(results):
    """Thrust to the nearest hundredth of a newton: less is not there."""
    say = _say(results)
    return lambda value: say(round(value, 2), "thrust", 3 if abs(value) >= 0.995 else 2 if abs(value) >= 0.0995 else 1)


def _percent(share, significant=2):
    return f"{units.digits(100.0 * share, significant)} %"


def _lacking(title, result):
    return Sheet.waiting(title, result.missing)


def point_sheet(results):
    """Both sides at the throttle and airspeed looked at."""
    power, say = results.power, _say(results)
    if not power.known:
        return _lacking("Operating point", power)
    look, bands = results.power_curves.look, {side: getattr(results.power_curves, side).bands for side in SIDES}
    left, right = look.left, look.right
    title = f"Operating point at {units.from_si(look.throttle_left, '%', '1'):g} % throttle and {say(look.speed, 'speed')}"

    def band(name, kind):
        return _bands(*(f"± {say(bands[side][name], kind, 2)}" if np.isfinite(bands[side][name]) else "" for side in SIDES))

    pull = _pull(results)
    rows = [("thrust", pull(left.thrust), pull(right.thrust), band("thrust", "thrust")),
            ("rotation", _rpm(left.speed_of_rotation), _rpm(right.speed_of_rotation), _bands(*(f"± {_rpm(bands[s]['speed_of_rotation'])}" for s in SIDES))),
            ("motor current", say(left.motor_current, "current"), say(right.motor_current, "current"), band("motor_current", "current"))]
    for name, field, kind in (("current from the pack", "pack_current", "current"), ("volts at the controller", "pack_volts", "volts"),
                              ("volts at the motor", "motor_volts", "volts"), ("power into the controller", "input_power", "power"),
                              ("power on the shaft", "shaft_power", "power"), (f"heat in the motor, winding at {say(_winding(), 'temperature', 2)}", "heat", "power"), ("heat in the controller", "controller_heat", "power")):
        rows.append((name, say(getattr(left, field), kind), say(getattr(right, field), kind), band(field, kind)))
    rows.append(("efficiency, shaft over input", *(_percent(p.efficiency) if p.running else "does not drive" for p in (left, right)), band("efficiency", "share")))
    rows.append(("both sides, thrust and input power", pull(look.thrust), say(look.input_power, "power"), f"± {say(_added(bands, 'thrust'), 'thrust', 2)} and {say(_added(bands, 'input_power'), 'power', 2)}"))
    return Sheet(title, ("", "left", "right", "band (two times in three)"), tuple(rows), note=_note(power))


def _winding():
    """Temperature of the winding that a running resistance is told for."""
    return tables.values("motor/cooling")["bench_winding"]


def _bands(left, right):
    """The bands of both sides, once where they are the same."""
    return " and ".join(dict.fromkeys(word for word in (left, right) if word)) or "—"


def _note(power):
    words = f"Packs at the charge and temperature above; {'both sides draw on one supply' if power.shared else 'each side on its own pack'}. The pack also feeds the controller's own electronics; the receiver's current is left out here (page 04 counts it)."
    if any("extrapolated speed" in power.side(side).reasons for side in SIDES):
        words += " Above 7,000 rpm the propeller model is extrapolated: it was compared with measurements up to there."
    return words


def moments_sheet(results):
    """The moments of a flight."""
    found, power, say, pull = results.power_moments, results.power, _say(results), _pull(results)
    if not found.known:
        return _lacking("Moments of the flight", found)
    rows, marks = [], []
    for m in found.moments:
        sides = m.sides
        bands = {side: f" (± {pull(m.bands[side]['thrust'])})" if getattr(sides, side).running else "" for side in SIDES}
        cells = [f"{pull(getattr(sides, side).thrust)}{bands[side]}, {say(getattr(sides, side).motor_current, 'current')}" for side in SIDES]
        throttle = " and ".join(dict.fromkeys(_percent(getattr(sides, f"throttle_{side}")) for side in SIDES))
        rows.append((f"{m.name}: {say(sides.speed, 'speed') if sides.speed else 'standing'}, {throttle}", *cells, "none" if m.wanted is None else say(m.wanted, "thrust"),
                     _sentence(m, found, power, say, pull)))
        enough = m.wanted is not None and sides.thrust >= 0.995 * m.wanted
        marks.append("" if m.wanted is None or (enough and m.name.endswith("stopped")) else "good" if enough else "look again")      # whether one motor is held, page 06 tells
    return Sheet("Moments of the flight", ("moment, airspeed, throttle", "left", "right", "thrust wanted", "what it means"), tuple(rows), tuple(marks),
                 note=_from_where(results, say))


def _from_where(results, say):
    """Which mass and speeds the moments stand on, and where better ones are."""
    found, wing, assumed = results.power_moments, results.wing, tables.values("power/assumptions")
    speed, ratio = found.named("cruise").sides.speed, assumed["lift_over_drag"]
    words = (f"Mass: {say(found.mass, 'mass')} ({found.mass_from}). Speeds: your first guess of the cruise, {say(speed, 'speed')}, and shares of it; drag: a {units.digits(ratio, 1)}th of the weight. ")
    if wing.known and wing.cruise_speed is not None and wing.cruise_drag is not None:
        words += (f"Page 05, which stands on the thrust of this page, has the better ones: cruise {say(wing.cruise_speed, 'speed')} on {say(wing.cruise_drag, 'thrust')}; "
                  f"write that speed on page 00 for a second round. ")
    else:
        words += "Page 05 will have better ones. "
    return words + "Currents are those in the motor; in brackets what holds two times in three."


def _sentence(moment, found, power, say, pull):
    sides, total = moment.sides, moment.sides.thrust
    if moment.name == "launch":
        return f"Both pull {pull(total)}; you want {say(moment.wanted, 'thrust')} to get it going."
    if moment.name == "climb":
        return f"Both pull {pull(total)}; the drag and the climb you ask for take {say(moment.wanted, 'thrust')}."
    if moment.name == "cruise":
        if total < 0.995 * moment.wanted:
            return "Full throttle does not carry the drag at this speed."
        return f"{_percent(sides.throttle_left)} throttle carries the drag and takes {say(sides.input_power, 'power')} (± {say(_added(moment.bands, 'input_power'), 'power', 2)})."
    if moment.name == "approach":
        return f"Together {pull(total)}: {'the propellers hardly pull' if total >= 0 else 'the propellers brake'}."
    dead, live = ("left", "right") if moment.name == "left stopped" else ("right", "left")
    drag, thrust = -getattr(sides, dead).thrust, getattr(sides, live).thrust
    both = getattr(found.named("climb").sides, live).thrust
    words = f"{pull(thrust)} pull on the {live}, {pull(drag)} brake on the {dead}: the nose goes {dead}. "
    if power.shared:
        words += f"The common pack is relieved, so the {live} pulls {_percent(thrust / both - 1.0)} more than with both running. "
    else:
        words += f"The {live} pack does not notice. "
    return words + "Page 06 tells whether the rudder can hold it."


def _added(bands, name):
    """One standard deviation of the sum of both sides; what both share counts fully, so the bands are added."""
    return sum(band[name] for band in bands.values() if np.isfinite(band[name]))


def drives_sheet(results):
    """The builder's parts and the numbers they run with."""
    power, say = results.power, _say(results)
    if not power.known:
        return _lacking("Your parts as they run", power)
    both = tuple(power.side(side) for side in SIDES)
    origin = lambda s, name, of: FROM_LABEL[name] if of == "label" else ORIGINS[of]  # noqa: E731
    rows = (
        ("motor", *(s.motor_name for s in both)),
        ("Kv", *(f"{say(s.kv, 'kv')} ± {_percent(s.kv_band, 1)} ({origin(s, 'kv', s.kv_from)}; label {say(s.kv_label, 'kv')})" for s in both)),
        ("running resistance, all in the motor's path", *(f"{say(s.running_resistance, 'resistance')} ± {_percent(s.resistance_band)} "
         f"({'twice an estimate from Kv and mass' if s.resistance_from == 'estimate' else origin(s, 'resistance', s.resistance_from)})" for s in both)),
        ("current without propeller", *(f"{say(s.no_load_base + s.no_load_slope * s.kv * s.emf, 'current', 2)}{f' ± {_percent(s.no_load_band, 1)}' if s.no_load_band else ''} at full volts ({'estimated from the mass' if s.no_load_from == 'estimate' else ORIGINS[s.no_load_from]})" for s in both)),
        ("propeller", *(f"{s.propeller_words}, {s.blades} blades, {s.propeller_style}" for s in both)),
        ("propeller on the bench", *(MEASURED[s.propeller_measured] if s.bench_fits else "its readings do not fit this propeller: not used" for s in both)),
        ("pack", *(f"{s.pack.name}: {s.pack.cells} cells, {say(s.pack.capacity, 'charge')}" for s in both)),
        ("resistance of what feeds it", *(f"{say(s.supply_resistance, 'resistance')} ± {_percent(s.supply_band)} ({'measured' if s.pack.measured else 'estimated from the label'}, with age and cold)" for s in both)),
        ("pack leads", *(say(s.lead_resistance, "resistance", 2) for s in both)),
        ("thrust band, standing", *(f"± {_percent(s.band_static)}" for s in both)),
        ("thrust band, in flight", *(f"± {_percent(s.band_flight)}" for s in both)),
    )
    return Sheet("Your parts as they run", ("", "left", "right"), rows, note="A band holds two times in three." + ("" if all(s.propeller_measured == "thrust and power" for s in both)
                                                                        else " One full-throttle reading of each side (page 07) shrinks the standing one to about a third."))


def numbers(results):
    """The numbers of this step as text."""
    power, layout, moments = results.power, results.layout, results.power_moments
    if not power.known:
        return dict.fromkeys(("thrust standing, left", "thrust standing, right", "input power", "total losses"), "not known")
    standing, system, flying = results.power_spread.standing, results.record.value("start.units"), results.flight_spread
    tell = lambda value, ends, kind, significant=3: units.say_within(value, *ends, kind, system, significant)  # noqa: E731
    found = {}
    for side in SIDES:
        full, tried, fresh = getattr(power.full, side), getattr(standing.full, side), getattr(power.fresh, side)
        low, high = nine_in_ten(tried.speed_of_rotation)
        found[f"thrust standing, {side}"] = tell(full.thrust, nine_in_ten(tried.thrust), "thrust")
        found[f"rotation standing, {side}"] = f"{_rpm(full.speed_of_rotation)} (9 in 10: {_rpm(low)[:-4]} to {_rpm(high)[:-4]})"
        found[f"motor current on full packs, {side}"] = tell(fresh.motor_current, nine_in_ten(getattr(standing.fresh, side).motor_current), "current")
    more = standing.full.right.thrust - standing.full.left.thrust
    found["thrust standing, right over left"] = tell(power.full.right.thrust - power.full.left.thrust, nine_in_ten(more), "thrust", 2)
    found["input power"] = tell(power.full.input_power, nine_in_ten(standing.full.input_power), "power")
    found["zero-thrust speed"] = tell(power.zero_thrust_speed, results.power_spread.zero_thrust_speed, "speed")
    found["throttle in cruise, first guess"] = tell(moments.cruise_throttle, flying.throttle, "share", 2) if moments.known else "not known"
    found["single failures that lose everything"] = str(len(layout.single_points)) if layout.buildable else "not known"
    return found


def heat_sheet(results):
    """How warm the motors settle in the states a flight holds, and how long full throttle may last."""
    found, say = results.power_heat, _say(results)
    if not found.known:
        return _lacking("How hot the motors get", found)
    named = {"standing": "full throttle, standing", "climb": "climb, at the throttle of page 04", "cruise": "cruise"}
    rows, marks, spread = [], [], results.flight_spread
    for state in found.states:
        warm = [getattr(state, side) for side in SIDES]
        rows.append((named[state.name], *(f"{say(w.heat, 'power', 2)}: {_settles(w, state.bands[side], found, say)}" for side, w in zip(SIDES, warm)),
                     " and ".join(dict.fromkeys(_lasts(w, say, _soonest(state, side, spread)) for side, w in zip(SIDES, warm))), _means(state, warm, found, say)))
        marks.append("" if state.name == "standing" else "good" if all(not w.runaway and w.temperature <= found.limit for w in warm) else "look again")
    return Sheet("How hot the motors get", ("state", "left, heat once settled, and where that is", "right, heat once settled, and where that is", f"reaches {say(found.limit, 'temperature', 2)}",
                                            "what it means"), tuple(rows), tuple(marks),
                 note="An estimate from the motor's mass and the stream of its propeller: a nacelle without holes is hotter. Feel the motor after a minute; the band holds two times in three. "
                      f"The watts here are those of the winding as hot as it gets (hot copper resists more); the running point counts it at {say(_winding(), 'temperature', 2)}, as a bench reads it, and has less.")


def sure_sheet(results):
    """How sure the limits of the page are, hardest to keep first."""
    found, say = results.power_sure, _say(results)
    if not found.known:
        return _lacking("How sure these limits are", found)
    tell = lambda value, kind: units.digits(value, 2) if kind == "number" else "never" if not np.isfinite(value) else say(value, kind, 2)  # noqa: E731
    rows = tuple((h.words[0].upper() + h.words[1:], f"{'at least' if h.at_least else 'at most'} {tell(h.limit, h.kind)}", tell(h.middle, h.kind), f"{tell(h.low, h.kind)} to {tell(h.high, h.kind)}",
                  _of_ten(h.keeps)) for h in found.held)
    return Sheet("How sure these limits are, at full throttle standing", ("limit", "wanted", "middle of all", "nine in ten lie in", "kept by"), rows,
                 note=f"{found.count} variants of both drives, as far off as such parts usually are; alike parts not measured err together. Where few keep a limit, measure before you buy (page 07).")


def _of_ten(share):
    return "all" if share >= 0.995 else "none" if share < 0.005 else f"{_percent(share)} of them"


def _settles(warm, share, found, say):
    if warm.runaway:
        return f"beyond {say(found.burnt, 'temperature', 2)}, where it burns"
    rise = units.digits((warm.temperature - found.ambient) * share, 2)
    return f"{say(warm.temperature, 'temperature', 2)} (± {rise} K)"


def _means(state, warm, found, say):
    """What the heat of a state asks of the builder."""
    shortest = min(w.time for w in warm)
    if not np.isfinite(shortest):
        return "It may go on as long as the pack lasts."
    where = "On the stand hold" if state.name == "standing" else "Hold"
    return f"{where} it for half of that, {say(0.5 * shortest, 'seconds', 2)}, then let it cool."


def _soonest(state, side, spread):
    """The seconds that one motor in twenty does not last in the climb; None where that is not told."""
    return spread.lasts[side][0] if state.name == "climb" and spread.known and spread.lasts else None


def _lasts(warm, say, soonest=None):
    if soonest is not None and np.isfinite(soonest):
        return f"{_lasts(warm, say)} (one in twenty {_lasts(replace(warm, time=soonest), say)})"
    return "never" if not np.isfinite(warm.time) else f"after {say(warm.time, 'seconds', 2)}" if warm.time < 180.0 else f"after {say(warm.time, 'time', 2)}"


SHEETS = {"point": point_sheet, "moments": moments_sheet, "drives": drives_sheet, "heat": heat_sheet, "sure": sure_sheet, "failures": failures_sheet, "layouts": layouts_sheet}
