"""Tables of page 07 on the bench: what each set of instruments tells, what to read, what was read, what it gives, left against right; and the numbers."""

from twinkit import tables, units
from twinkit.checks.bench_flight import percent
from twinkit.drawings.base import Sheet
from twinkit.physics import beat
from twinkit.quantities import SIDES

TROUBLE = {"": "", "fast": "too fast to be true", "slow": "too slow to be true", "idle": "too much current without propeller", "thrust": "more thrust than this power gives"}
BEATS = (0.5, 1.0, 2.0, 3.0, 5.0)


def _say(results):
    system = results.record.value("start.units")
    return lambda value, kind, significant=3: units.say(value, kind, system, significant)


def rpm(speed):
    """rpm to the nearest ten."""
    return "" if speed is None else f"{round(units.from_si(speed, 'rpm', 'rad/s'), -1):.0f} rpm"


def _whole(text):
    """A text that does not break at a line's end."""
    return text.replace(" ", "\u00a0")


def _signed(share):
    return "" if share is None else f"{'+' if share > 0 else '−'}{percent(share)}"


def tiers(results):
    """What each set of instruments tells, and what not."""
    bands, mine, found = tables.read("propeller/bands"), results.record.value("bench.tier"), results.compared
    column = dict(zip(zip(bands.columns["style"], bands.columns["state"], bands.columns["measured"]), bands.columns["ct_rms"]))
    before = "not yet known" if not found.known else f"{percent(max(found.before))} on the {SIDES[found.before.index(max(found.before))]}, as from the label"
    standing, flying = (percent(float(column["all", state, "thrust and power"])) for state in ("static", "flight"))
    scale = percent(tables.values("bench/meters")["thrust_scale"] * 2)
    rows = (("watt", "watt meter only", "Amps and watts of each side at its volts: fuses, controllers and packs can be judged, left against right compared.",
             "Whether the motor or the propeller is off; thrust; rpm.", before),
            ("scale", "watt meter and kitchen scale", "The thrust itself, standing, and how much of it each watt buys.", "Why it is so: rpm, Kv and resistance stay those of the label; thrust in flight.",
             f"about {scale} standing, only at the volts read; flying as from the label"),
            ("tacho", "watt meter, scale and tachometer", "Kv and resistance of each motor, thrust and power of each propeller: all other pages use them from then on.",
             "What the propeller does at speed, which stays a model.", f"about {standing} standing, {flying} flying"))
    return Sheet("Three sets of instruments", ("instruments", "tells", "cannot tell", "thrust then known to"),
                 tuple((name + (" (yours)" if key == mine else ""), *rest) for key, name, *rest in rows),
                 note="Bands are one standard deviation: right two times in three. No instruments at all: match the sides by ear, below.")


def wanted(results):
    """The readings asked for, side by side, in the order to take them."""
    bench, tier = results.bench, results.record.value("bench.tier")
    count = lambda side, kind: len(getattr(getattr(bench, side), kind))  # noqa: E731
    read = lambda side: sum(p.loaded and p.volts is not None and p.amps is not None for p in getattr(bench, side).points)  # noqa: E731
    thrusts = lambda side: sum(p.loaded and p.thrust is not None for p in getattr(bench, side).points)  # noqa: E731
    rows = []
    if tier == "tacho":
        rows += [("propeller off, full throttle, full pack", "volts, amps, rpm", "tells Kv apart from resistance", *(_done(count(s, "free"), 1) for s in SIDES)),
                 ("propeller off, full throttle, lower pack", "volts, amps, rpm", "tells how the current without load grows", *(_done(count(s, "free"), 2) for s in SIDES))]
    loaded = {"watt": "volts, amps", "scale": "volts, amps, thrust", "tacho": "volts, amps, rpm, thrust"}[tier]
    done = {"watt": read, "scale": thrusts, "tacho": lambda s: count(s, "loaded")}[tier]
    rows += [("propeller on, full throttle, full pack", loaded, "the numbers of the flight itself", *(_done(done(s), 1) for s in SIDES)),
             ("the same on a half-empty pack, twice", loaded, "with three rows a wrong one shows, and the band is told", *(_done(done(s), 3) for s in SIDES))]
    return Sheet("What to read, in this order", ("reading", "write down", "why", "left", "right"), tuple(rows),
                 note="Full throttle only: at part throttle the volts and amps before the controller are not those of the motor. Hold each 8 to 15 seconds, let the motor cool, then the other side.")


def _done(have, need):
    return "done" if have >= need else "still to do"


def readings(results):
    """Every row with what was predicted at its volts."""
    found, say, bench = results.compared, _say(results), results.bench
    against = {a.reading.row: a for a in found.against}
    rows = []
    for p in bench.points:
        cell = lambda name, value, a=against.get(p.row): _whole(value) + (f" ({_whole(_signed(a.off[name]))})" if a is not None and a.off[name] is not None else "")  # noqa: E731
        remark = TROUBLE[p.trouble] or ("read with another propeller" if p.other else "") or ("far from the others" if p.row in getattr(bench, p.side).apart else "")
        rows.append((str(p.row), p.side, "on" if p.loaded else "off", "" if p.volts is None else say(p.volts, "volts", 4),
                     cell("current", "" if p.amps is None else say(p.amps, "current")), cell("speed", rpm(p.speed)), cell("thrust", "" if p.thrust is None else say(p.thrust, "thrust")), remark))
    if not rows:
        rows = [("", "nothing read yet", "", "", "", "", "", "")]
    note = "In brackets: measured over predicted, less 100 %. " + ("The prediction knows nothing of the bench." if not found.known or found.blind else
                                                                  "The labels alone do not tell enough, so the prediction leans on the bench itself.")
    return Sheet("What was read", ("row", "side", "propeller", "volts", "amps", "rpm", "thrust", ""), tuple(rows), note=note)


def fitted(results):
    """The numbers each side's readings give."""
    bench, say = results.bench, _say(results)
    sides, record = (bench.left, bench.right), results.record
    label = [record.value(f"power.{s.side}.kv") for s in sides]
    where = {"fit": "loaded and propeller-off readings together", "prop off": "propeller-off readings", "one reading": "loaded readings, one by one", None: "not read"}
    pick = lambda values, make: tuple("not told" if v is None else make(v) for v in values)  # noqa: E731
    wide = lambda kind, significant: lambda pair: f"{say(pair[0], kind, significant).split(' ')[0]} ± {say(pair[1], kind, 2)}"  # noqa: E731
    pair = lambda name, sigma: [None if getattr(s, name) is None else (getattr(s, name), getattr(s, sigma)) for s in sides]  # noqa: E731
    plain = lambda value: units.digits(value, 3)  # noqa: E731
    spread = lambda p: f"{p[0]:.4f} ± {p[1]:.4f}"  # noqa: E731
    rows = [("Kv on the label", *pick(label, lambda v: say(v, "kv", 4)), ""),
            ("Kv", *pick(pair("kv", "kv_sigma"), wide("kv", 4)), _from(sides, "kv_from", where)),
            ("resistance, running", *pick(pair("running_resistance", "resistance_sigma"), wide("resistance", 3)), _from(sides, "resistance_from", where)),
            ("current without propeller, at 1000 rpm", *pick([None if s.no_load_base is None else s.no_load_base + s.no_load_slope * units.to_si(1000.0, "rpm", "rad/s") for s in sides],
                                                             lambda v: say(v, "current", 2)), "and growing with rpm"),
            ("thrust coefficient, standing", *pick(pair("ct", "ct_sigma"), spread), "thrust over density, rpm and size"),
            ("over the model's", *pick([s.ct_factor for s in sides], plain), "1 would be as predicted"),
            ("power coefficient, standing", *pick(pair("cp", "cp_sigma"), spread), "torque from the current, by way of Kv"),
            ("over the model's", *pick([s.cp_factor for s in sides], plain), "1 would be as predicted"),
            ("speed and current move together", *pick([s.inflation for s in sides], plain), "growth of the variances; beyond 30 read with the propeller off"),
            ("correlation of resistance with 1/Kv", *pick([s.correlation for s in sides], plain), "near −1 only their sum is told, near 0 each by itself"),
            ("scatter of the fit", *pick([s.scatter for s in sides], plain), "1 is what the meters promise; told from three readings on"),
            ("bend of the row", *pick([s.bend for s in sides], plain), "beyond 3 either way the resistance changes as it warms")]
    return Sheet("What the readings give", ("number", "left", "right", "from"), tuple(rows),
                 note="± is one standard deviation: the scatter of your readings and the scale errors of hobby meters together. Resistance holds motor, controller and bench leads.")


def _from(sides, name, where):
    words = dict.fromkeys(where[getattr(s, name)] for s in sides)
    return " / ".join(words)


def match(results):
    """Left against right in numbers."""
    found = results.compared
    title = "Left against right, standing, in the aeroplane"
    if not found.known:
        return Sheet.waiting(title, found.missing)
    m = found.match
    rows = []
    for k, stick in enumerate(m.stick):
        beats = "blades not alike" if m.beats is None else units.digits(m.beats[k], 2)
        rows.append((f"{100 * stick:.0f} % stick", rpm(m.speed_left[k]), rpm(m.speed_right[k]), _signed(m.difference[k]) if abs(m.difference[k]) >= 0.0005 else "alike", beats))
    left, right = (f"{100 * x:.0f} %" for x in m.end_points)
    rows.append(("full stick gives now", left, right, "", ""))
    if m.separate and not m.curve:
        rows.append(("full stick that makes them equal", *(f"{100 * x:.0f} %" for x in m.wanted), "", ""))
    what = "rpm" if m.by == "rpm" else "thrust, as rpm would make it"
    note = f"Compared: {what}. {'Both sides were read with rpm.' if m.measured else 'Not both sides were read with rpm: predicted.'}"
    if m.curve:
        note += " The five points of page 06 are in use and counted."
    if not m.separate:
        note += " A Y-lead gives both sides the same throttle: no end points of their own."
    return Sheet(title, ("", "left", "right", "right over left", "beats a second"), tuple(rows), note=note)


def ear(results):
    """What a beat heard means."""
    found, record = results.compared, results.record
    blades = [record.value(f"power.{side}.blades") for side in SIDES]
    if blades[0] != blades[1]:
        return Sheet("By ear", ("beats a second", "apart"), (("none to hear", "the propellers have unlike numbers of blades: use a tachometer"),))
    rows = []
    slower = None if not found.known else min(found.match.speed_left[1], found.match.speed_right[1])
    for beats in BEATS:
        apart = float(beat.speed_difference(beats=beats, blades=blades[0]))
        rows.append((units.digits(beats, 2), f"{units.from_si(apart, 'rpm', 'rad/s'):.0f} rpm", "not yet known" if not slower else percent(apart / slower)))
    note = "" if not slower else f"Your limit of {percent(record.value('limits.rpm_match'))} is {units.digits(found.match.most_beats, 2)} beats a second at full stick."
    return Sheet(f"By ear, with {blades[0]:.0f} blades each", ("beats a second", "apart", "of full rpm"), tuple(rows), note=note)


def numbers(results):
    """The numbers of this step as text."""
    bench, found, say = results.bench, results.compared, _say(results)
    made = {}
    for side in (bench.left, bench.right):
        made[f"Kv, {side.side}"] = say(side.kv, "kv", 4) if side.kv else "not measured"
        made[f"running resistance, {side.side}"] = say(side.running_resistance, "resistance", 3) if side.running_resistance else "not measured"
        made[f"propeller over the model, {side.side}"] = ("not measured" if side.cp_factor is None and side.ct_factor is None else " and ".join(
            f"{what} {units.digits(value, 3)}" for what, value in (("thrust", side.ct_factor), ("power", side.cp_factor)) if value is not None))
    made["readings"] = str(len(bench.points))
    made["furthest off the prediction"] = f"{_signed(found.worst.off)} ({found.worst.quantity}, {found.worst.reading.side})" if found.known and found.worst else "nothing to compare"
    known = found.known
    made["static thrust known to, left and right"] = " and ".join(percent(x) if x == x else "not known" for x in found.after) if known else "not known"
    made["right over left, full stick"] = (_signed(found.match.difference[1]) if abs(found.match.difference[1]) >= 0.0005 else "alike") if known else "not known"
    made["full stick wanted, left and right"] = "not known" if not known else "the five points of page 06" if found.match.curve else " and ".join(f"{100 * x:.0f} %" for x in found.match.wanted)
    return made


SHEETS = {"tiers": tiers, "wanted": wanted, "readings": readings, "fitted": fitted, "match_table": match, "ear": ear}
