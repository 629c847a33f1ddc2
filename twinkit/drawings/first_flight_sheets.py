"""Sheets of page 07 for the field: trials on the ground, transmitter, the card of the first flight, inspections, log, signatures."""

import math

from twinkit import units
from twinkit.checks.bench_flight import percent
from twinkit.design.base import said_all
from twinkit.drawings.base import Sheet

STATES = {"not_done": "not tried yet", "passed": "passed", "failed": "failed"}
MEMORY = {"not_looked": ("not looked at yet", "stop"), "own": ("seen on the display", "good"), "other": ("another one is shown", "stop")}
MARK = {"not_done": "stop", "passed": "good", "failed": "stop"}
RATES, EXPO = "70 %", "25 %"       # of the first flight, common practice
WIND_SHARE = 1 / 3                 # of the stall speed, for a first flight: common practice, from memory
LINE = "_" * 22
STEERED = {"left": "the left motor", "right": "the right motor", "not_used": "neither: no mix is used", "not_tried": "not tried yet"}


def _say(results):
    system = results.record.value("start.units")
    return lambda value, kind, significant=3: units.say(value, kind, system, significant)


def _time(seconds):
    """Minutes and seconds."""
    whole = int(round(seconds))
    return f"{whole // 60} min {whole % 60:02d} s"


def _unknown(result):
    return f"not yet known: {said_all(result.missing, 2)}" if result.missing else "not known"


def trials(results):
    """What is tried on the ground, how, and how it stands."""
    found, title, columns = results.trials, "On the ground, in this order", ("try", "propellers", "how", "passed when", "how it stands")
    states = (lambda name: STATES[found.states[name]]) if found.known else (lambda name: "too early")
    steering = STEERED[found.steering] if found.known else "too early"
    early = "" if found.known else f" Too early while the drives are {_unknown(found)}."
    rows = (
        ("memory", "off", "transmitter on, packs out", "the display shows this aeroplane's own name, read aloud", MEMORY[found.memory][0] if found.known else "too early"),
        ("throttle cut", "off", "throttle a little open, then the cut switch", "both motors stop at once and stay stopped whatever the stick does", states("cut")),
        ("failsafe", "off", "throttle a little open, then switch the transmitter off", "both motors stop within about a second; no surface slams to its end", states("failsafe")),
        ("turning", "off", "open each throttle a little by itself", "the left stick moves the left motor; each turns the way its propeller pulls (page 02)", "read it aloud"),
        ("steering by thrust", "off", "throttle a little open, then right rudder", "the LEFT motor speeds up, or neither; with the throttle closed neither moves", steering),
        ("control directions", "off", "every stick, a second person looks from behind and reads aloud", "stick right: right aileron up, left down; stick back: elevator up; rudder stick right: trailing edge right", states("directions")),
        ("range, motors off", "on", "model held down, reduced power as your radio's handbook says, walk its distance, or 30 paces", "every surface follows without a twitch", "do it first"),
        ("range, both at half", "on", "the same, one person holds, nobody before or beside the propellers", "every surface follows without a twitch", states("range_half")),
        ("range, both at full", "on", "the same", "every surface follows without a twitch", states("range_full")),
    )
    marks = () if not found.known else tuple(
        MEMORY[found.memory][1] if row[0] == "memory"
        else {"left": "good", "not_used": "good", "right": "stop", "not_tried": "cannot tell"}[found.steering] if row[0] == "steering by thrust"
        else MARK[found.states[name]] if (name := _trial_of(row[0])) else "" for row in rows)
    return Sheet(title, columns, rows, marks, note="After every change of the transmitter's memory, every repair and every rewire: begin again at the top." + early)


def _trial_of(what):
    return {"throttle cut": "cut", "failsafe": "failsafe", "control directions": "directions", "range, both at half": "range_half", "range, both at full": "range_full"}.get(what, "")


def transmitter(results):
    """What stands in the transmitter, to be read aloud."""
    record = results.record
    ends = {side: f"{100 * record.value(f'bench.{side}.end_point'):.0f} %" for side in ("left", "right")}
    two = record.value("power.throttle") == "two_channels"
    throws, say = results.throws, _say(results)
    travel = throws.by_name

    def throw(name):
        return f"{say(travel[name].travel, 'length', 2)} each way at {RATES} rates: {say(0.7 * travel[name].travel, 'length', 2)}" if name in travel else "not on this aeroplane" if throws.known else _unknown(throws)

    curve = record.value("rudder.curve") == "five_points"
    rows = [("name of the memory", f"{record.value('start.name') or LINE}: {MEMORY[record.value('bench.memory')][0]}", "not that of the old aeroplane")]
    rows += [(f"throttle, {side}", f"full stick gives {ends[side]} of the throttle", "a channel of its own") for side in ends] if two else [("throttle", "one channel, Y-lead", "both sides get the same")]
    rows += [("throttle curve", "the five points of page 06 on the stronger side" if curve else "none", "with the curve both end points stay at 100 %"),
             ("ailerons", throw("ailerons"), "stick right: right one up, left one down"), ("elevator", throw("elevator"), "stick back: up"),
             ("rudder", throw("rudder"), "stick right: trailing edge right"),
             ("rates and expo", f"{RATES} and {EXPO} for the first flight", "full rates on a switch"),
             ("rudder to thrust", STEERED[results.trials.steering] if results.trials.known else LINE, "right rudder speeds up the left motor; zero with the throttle closed"),
             ("throttle cut", record.value("bench.cut_is") or LINE, "the switch, and which way; closes both"),
             ("failsafe", record.value("bench.failsafe_is") or LINE, "both throttles closed; surfaces as you chose"),
             ("timer", _time(results.flight.timer_first) if results.flight.timer_first else _unknown(results.flight), "starts with the throttle")]
    return Sheet("Transmitter sheet", ("what", "set to", "read aloud"), tuple(rows))


def card(results):
    """The card of the first flight: one sheet to take to the field."""
    record, wing, flight, rudder, say = results.record, results.wing, results.flight, results.rudder, _say(results)
    rows = [("Before the gate", "charged, plugs firm, propellers tight, wing loaded on two tables, every line of the ground list passed", "one line not passed: it stays at home")]
    rows.append(_weather(record, wing, say))
    rows += _balance(results, say)
    rows.append(("Hands", "one person holds the model from behind the wing, the other comes from behind with the plug; nobody reaches through a propeller", "cut on, throttle closed"))
    rows += _switching(results)
    rows.append(("Motors", "throttle slowly open: both start together; listen at half and at full for a steady hum", "a slow swelling is a beat: see By ear"))
    rows.append(("Leaving", _launch(record.value("start.launch"), record, wing, say), "straight into the wind, no turn below a safe height; one motor falters: both closed at once"))
    rows += _times(flight, record, say)
    rows.append(("One motor quits", _held(rudder, say), "close the live throttle first, lower the nose, wings level, land straight ahead; then, with height, no more throttle than the rudder holds"))
    rows.append(("Trying one motor on purpose", f"never before flight {record.value('limits.trial_flight'):.0f}, from {say(record.value('limits.trial_height'), 'distance', 2)} or higher, over the field",
                 "with the club's leave, by closing one throttle to idle; open it again at the first doubt. These numbers are no permission."))
    rows.append(("After landing", f"cut on, packs out, then feel motors (at most {say(record.value('limits.motor_hot'), 'temperature', 2)}), controllers ({say(record.value('limits.controller_hot'), 'temperature', 2)}) "
                 f"and packs ({say(record.value('limits.pack_hot'), 'temperature', 2)})", "nobody touches it before the cut is on; write the log before the next flight"))
    return Sheet("Card of the first flight", ("when", "what", "mind"), tuple(rows), note="Fly where and as your club, your insurer and the law allow; they and qualified people go before this card.")


def _weather(record, wing, say):
    """The row on weather and field."""
    wind = f"wind at most {say(WIND_SHARE * wing.stall_speed, 'speed', 2)}, a third of its stall speed" if wing.stall_speed is not None else f"a calm day; its speeds are {_unknown(wing)}"
    field = say(record.value("start.field_length"), "distance", 2) if record.value("start.field_length") is not None else "not known"
    return ("Weather and field", f"{wind}, along the field; dry, sun not in the way you fly", f"the field is {field} long: walk both ends of it, and see that nobody stands where a turn on one motor would go")


def _balance(results, say):
    """Rows on mass and balance."""
    wing, weight = results.wing, results.weight
    if wing.cg_front is None:
        return [("Balance", _unknown(wing), "page 05")]
    low, high = say(wing.cg_front, "length"), say(wing.cg_rear, "length")
    now = say(weight.cg_behind, "length") if weight.cg_behind is not None else "not known"
    listed = f"; the list computes {say(weight.list_behind, 'length')}" if weight.list_behind is not None else ""
    where = f"found on two fingers{listed}" if results.record.value("weight.cg_measured") is not None else "from the list, not yet balanced: do it now"
    return [("Balance", f"{say(wing.cg_first, 'length')} behind the leading edge for the first flight, {low} to {high} in any case", f"now {now}, {where}"),
            ("Mass", say(wing.mass, "mass"), f"stalls at about {say(wing.stall_speed, 'speed')}, approach at {say(wing.approach_speed, 'speed')}")]


def _switching(results):
    """Rows on the order of the plugs."""
    layout = results.layout
    if not layout.known:
        return [("Plugging in", _unknown(layout), "page 02")]
    if not layout.buildable or layout.power_up is None or layout.shut_down is None:
        return [("Plugging in", "no order is safe as it is wired", "do not power it; see page 02")]
    told = lambda order: ", then ".join(words.replace("plug in: ", "plug in the ").replace("unplug: ", "unplug the ") for words in order.words(layout.wiring))  # noqa: E731
    return [("Plugging in", f"throttle closed, cut on; {told(layout.power_up)}", "wait for the tones of each before the next"),
            ("Unplugging", f"throttle closed, cut on; {told(layout.shut_down)}", "a second motor is live until the last pack is out")]


def _launch(launch, record, wing, say):
    """How it leaves, with the speed to wait for."""
    throttle = percent(record.value("rudder.launch_throttle"))
    way = {"hand": f"thrown level by a second person, both motors heard at {throttle} throttle first, fingers {say(record.value('limits.tip_hand'), 'length', 2)} from the propellers",
           "grass": f"rolls off grass, both throttles opened together to {throttle}", "hard": f"rolls off a hard surface, both throttles opened together to {throttle}"}[launch]
    speed = f"climbs out at {say(wing.approach_speed, 'speed')} or faster" if wing.stall_speed is not None else f"its speeds are {_unknown(wing)}"
    return f"{way}; {speed}"


def _times(flight, record, say):
    """Rows on the timer and the land-by time."""
    if flight.land_by is None:
        return [("Timer", _unknown(flight), "page 04")]
    share, cells = percent(record.value("limits.timer_first")), {"left": "the left pack is first", "right": "the right pack is first", "both": "both packs together"}[flight.first]
    return [("Timer", _time(flight.timer_first), f"{share} of what is computed: land at the first beep"),
            ("Land by", f"{_time(flight.land_by_low)} at the earliest reckoning, {_time(flight.land_by)} in the middle one", f"{cells}; a side that stops is a motor out")]


def _held(rudder, say):
    """The throttle the rudder can hold, told from the lower end of its band."""
    if rudder.worse is None:
        return f"both throttles closed at once; what the rudder holds is {_unknown(rudder)}"
    side = rudder.bad
    if side.cap_status == "all of it" or not math.isfinite(side.cap.value):
        return f"at {say(rudder.approach, 'speed')} the rudder holds full throttle of the live motor by these numbers; begin from closed all the same"
    if side.cap.low < 0.05:
        return "the rudder may hold none of the live motor's throttle: close it and land"
    return f"at {say(rudder.approach, 'speed')} the rudder holds {percent(side.cap.low)} of the live throttle (band {percent(side.cap.low)} to {percent(side.cap.high)}), the {side.dead} motor dead"


def inspections(results):
    """What is looked over after flights 1, 5, 10 and every ten after that."""
    log = results.flight_log
    rows = (("propellers", "cracks, nicks, hubs; nuts tight", "every flight"), ("motors", "screws, play, sound by hand, wires not rubbing", "1, 5, 10"),
            ("nacelles", "glue, creases in the foam near them", "1, 5, 10"), ("plugs and joints", "firm, not brown, sleeves whole; the isolated red lead still sleeved", "1, 5, 10"),
            ("packs", "flat, no dents, cells within 0.02 V of each other", "every flight"), ("controllers, regulator", "warm marks, smell, air gets in", "1, 5, 10"),
            ("spar, wing seat, bands", "creases, play", "1, 5, 10"), ("servos, rods, hinges, horns", "play, tape, screws", "1, 5, 10"),
            ("gear, tail", "bent wire, glue", "1, 5, 10"), ("range, cut, failsafe", "the ground list once through", "1, 5, 10, and after each change"))
    note = "" if not log.known else f"Looked over last after flight {log.inspected}." if log.inspected else "Not yet looked over."
    return Sheet("Inspection list", ("part", "look for", "after flight"), rows,
                 note=f"{note} After a crash or a repair: weigh it, balance it, meter it (page 02), then the ground list from the top.".strip())


def log(results):
    """The flight log with what it says."""
    found, say = results.flight_log, _say(results)
    if not found.known:
        return Sheet.waiting("Flight log", found.missing)
    rows = []
    for f in found.flights:
        more = "" if f.motors is None else "alike" if abs(f.motors[1] / f.motors[0] - 1.0) < 0.005 else f"right {'+' if f.motors[1] > f.motors[0] else '-'}{percent(f.motors[1] / f.motors[0] - 1.0)}"
        rows.append((str(f.number), f.date, "" if f.time is None else _time(f.time), *("" if c is None else say(c, "charge") for c in (f.left, f.right)), more,
                     "" if f.lasts is None else _time(f.lasts), f.note))
    if not rows:
        rows = [("1", LINE, "", "", "", "", "", "")]
    usable = percent(results.record.value("weight.usable"))
    note = f"Usable charge: {usable} of the label. The receiver's share is taken off before the sides are compared. Page 04 corrects the flight time with this log."
    if found.shared:
        note = f"Usable charge: {usable} of the label. Both motors draw on one supply: write what the charger put back under left, or under both. Page 04 corrects the flight time with this log."
    return Sheet("Flight log", ("flight", "date", "time", "put back left", "put back right", "sides", "usable charge lasts", "note"), tuple(rows), note=note)


def signatures(results):
    """Who built, checked and flew it."""
    builder = results.record.value("start.builder") or LINE
    rows = (("built by", builder, LINE, LINE), ("wiring metered by (page 02)", LINE, LINE, LINE), ("ground list read by a second person", LINE, LINE, LINE),
            ("released for its first flight by", LINE, LINE, LINE), ("first flight flown by", LINE, LINE, LINE))
    return Sheet("Signatures", ("who", "name", "date", "signature"), rows)


SHEETS = {"trials": trials, "transmitter": transmitter, "card": card, "inspections": inspections, "log": log, "signatures": signatures}
