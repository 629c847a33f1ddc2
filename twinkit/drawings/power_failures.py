"""Tables of page 01 on failures and layouts."""

from twinkit import units
from twinkit.circuit.faults import NOTES
from twinkit.drawings.base import Sheet

LEFT_OVER = {"radio lost": "radio lost", "no motor": "radio only", "left only": "left only", "right only": "right only", "both": "both sides"}
HANGS_ON = {     # kind of failure -> what everything hangs on when it is a single point
    "pack dead": "the {} pack", "cell shorted": "every cell of the {} pack", "controller dead": "the {} controller", "bridge dead": "the {} controller",
    "voltage cut": "the {} controller", "bridge shorted": "the bridge of the {} controller", "power negative open": "the battery negative of the {} controller",
    "supply dead": "the regulator that feeds the receiver", "supply high": "the regulator that feeds the receiver", "diode open": "the {} diode",
    "receiver dead": "the receiver", "motor dead": "the {} motor", "propeller lost": "the {} propeller", "phase open": "the {} motor's wires",
    "signal open": "the {} throttle plug with its wires", "servo ground open": "the {} throttle plug with its wires", "servo red open": "the {} throttle plug with its wires",
    "servo plug out": "the {} throttle plug with its wires", "trunk out": "the trunk of the Y-lead", "supply plug out": "the plug of the receiver's supply",
}
MOST_PAIRS = 12
GRAVITY = ("radio lost", "no motor", "left only", "right only", "both")


def _say(results):
    system = results.record.value("start.units")
    return lambda value, kind, significant=3: units.say(value, kind, system, significant)


def failures_sheet(results):
    """Every single failure of the layout as wired, worst first, and the single points of total loss in one sentence."""
    facts = results.layout
    if facts.missing:
        return Sheet.waiting("Single failures of your layout", facts.missing)
    if not facts.buildable:
        return Sheet("Single failures of your layout", ("number", "value"), (("cannot be built", facts.why_not),))
    ranked = sorted(facts.failure_rows, key=lambda row: GRAVITY.index(row[1].result))
    rows = tuple((words[0].upper() + words[1:], LEFT_OVER[outcome.result], " ".join(NOTES[note] for note in outcome.notes) or "—") for words, outcome in ranked)
    return Sheet(f"Single failures of your layout: {facts.layout.words()}", ("what fails", "what is left", "besides"), rows, note=total_loss(results))


def total_loss(results):
    """The sentence that names the single points of total loss."""
    points = results.layout.single_points
    if not points:
        return "No single failure loses everything."
    parts = dict.fromkeys(HANGS_ON[p.failure.kind].format(p.failure.side).replace("the centre ", "the ") for p in points)
    return f"Everything hangs on {', '.join(parts)}: {len(points)} of {len(results.layout.failures)} single failures lose the radio or both motors."


def pairs_sheet(results):
    """Every pair of failures: how many leave what, and which lose the radio although neither does alone."""
    from twinkit.circuit.faults import pairs

    facts = results.layout
    if facts.missing or not facts.buildable:
        return failures_sheet(results)
    alone = {failure: outcome.result for failure, outcome in facts.failures}
    found = list(pairs(facts.wiring))
    left = {result: sum(outcome.result == result for *_, outcome in found) for result in GRAVITY}
    fresh = [(one, two, outcome) for one, two, outcome in found if outcome.result == "radio lost" and "radio lost" not in (alone[one], alone[two])]
    rows = [("all pairs", LEFT_OVER[result], str(count)) for result, count in left.items()]
    rows += [(f"{one.words} and {two.words}", "radio lost", " ".join(NOTES[n] for n in outcome.notes) or "—") for one, two, outcome in fresh[:MOST_PAIRS]]
    more = f" {len(fresh) - MOST_PAIRS} more of these are not shown." if len(fresh) > MOST_PAIRS else ""
    return Sheet(f"Pairs of failures: {len(found)}", ("what fails", "what is left", "how many, or besides"), tuple(rows),
                 note=f"{len(fresh)} pairs lose the radio although neither failure does so alone." + more)


def layouts_sheet(results):
    """The chosen layout beside those that differ in one decision."""
    found, say = results.layouts, _say(results)
    if not found.known:
        return Sheet.waiting("Layouts beside yours", found.missing)
    tell = lambda r, name, value, kind, digits=3: units.say_within(value, *(r.bands if r.chosen else {}).get(name, (None, None)), kind, results.record.value("start.units"), digits, "")  # noqa: E731
    carried = lambda r, name: "not known" if getattr(r, name) is None else f"{tell(r, name, getattr(r, name)[0], 'current')} of {say(getattr(r, name)[1], 'current')}"  # noqa: E731
    maybe = lambda r, name, kind, digits=3: "—" if getattr(r, name) is None else tell(r, name, getattr(r, name), kind, digits)  # noqa: E731
    rows = tuple((r.words[0].upper() + r.words[1:], f"{r.counted.radio_lost} / {r.counted.no_motor} / {r.counted.one_motor}", f"{maybe(r, 'thrust', 'thrust')}, {maybe(r, 'time', 'time', 2)}" if r.thrust or r.time else "—",
                  _more(r, say), carried(r, "pack"), carried(r, "controller"), f"{r.counted.plugs} + {r.counted.power_joints}", _besides(r, say)) for r in found.rows)
    marks = tuple("stop" if r.stopped or r.one_controller else "" for r in found.rows)
    note = ("In brackets, for yours: what holds nine times in ten; the others are known about as well. Failures are counted from the wiring as it is meant, without what was entered on page 02. Currents on full packs: of the share of C you trust, and of the controller's "
            "rating. Time: the cruise of your first guess held until the first pack is at its end; page 04 flies launch and climb too. Power joints are ends of pack and motor wires. "
            "Parts you have not weighed are taken as such parts weigh.")
    if found.why_not:
        note = f"Yours cannot be built: {found.why_not} " + note
    return Sheet("Layouts beside yours", ("layout", "radio lost / both stop / one stops", "both pull, cruise held", "mass", "pack current", "controller current", "plugs + power joints",
                                          "besides"), rows, marks, note)


def _more(row, say):
    """Mass of a layout over yours."""
    if abs(row.more_mass) < 5e-4:
        return "yours" if row.chosen else "the same"
    return f"{'+' if row.more_mass > 0.0 else '−'}{say(abs(row.more_mass), 'mass', 2 if abs(row.more_mass) > 0.0095 else 1)}"


def stopped_words(row, say):
    """Why page 02 stops a layout; '' when it does not."""
    tell = {"heat": lambda name, value: f"the chip of {name} reaches {say(value, 'temperature')}", "current": lambda name, value: f"stalled servos draw {say(value, 'share', 2)} of what {name} is rated for",
            "volts": lambda name, value: f"stalled servos leave {say(value, 'volts')} of {name} at the receiver"}
    named = {"left": "the left regulator", "right": "the right regulator", "own": "its own regulator", "receiver_pack": "the receiver pack"}
    return " and ".join(tell[s.what](named[s.key], s.value) for s in row.stopped)


def _besides(row, say):
    """What else a layout needs or overloads, and what page 02 would stop it for."""
    over = [f"overloads the {what}" for what, pair in (("pack", row.pack), ("controller", row.controller)) if pair is not None and pair[0] > pair[1]]
    never = ["two motors cannot be timed by one controller"] if row.one_controller else []
    halted = [f"page 02 stops this one: {stopped_words(row, say)}"] if row.stopped else []
    words = ", ".join([*halted, *never, *over, *(f"buy {thing}" for thing in row.to_buy)])
    return words[0].upper() + words[1:] if words else "—"
