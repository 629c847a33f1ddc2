"""What the builder's hands do: the readings of the meter against the sheet of this layout, and the order of switching on and off against the graph."""

from dataclasses import dataclass

from twinkit.circuit import power_up
from twinkit.circuit.power_up import Event, Order
from twinkit.design.base import Result
from twinkit.quantities.wiring import NTH


@dataclass(frozen=True)
class Reading:
    """One line of the meter sheet: its number, the circuit MeterLine, its probes in words, what the wiring as entered would show, and what the builder's meter showed.

    shows: None where nothing was entered and the line is not covered by the tick; right: whether it is as it must be, None where it is not known.
    """

    number: int
    line: object
    words: str
    as_entered: str
    shows: str
    note: str

    @property
    def right(self):
        return None if self.shows is None else self.shows == self.line.expected


@dataclass(frozen=True, kw_only=True)
class Metering(Result):
    """The meter sheet with its readings. strange: lines read that this layout does not have. ticked: every line left empty read as it must. by: who metered it, and when."""

    lines: tuple
    strange: tuple
    ticked: bool
    by: str

    @property
    def wrong(self):
        return tuple(one for one in self.lines if one.right is False)

    @property
    def unread(self):
        return tuple(one for one in self.lines if one.right is None)


def metering(g, layout):
    """The readings of the record laid beside the lines of this layout."""
    g.use(layout)
    rows, ticked, by = g.rows("wiring.readings"), bool(g.maybe("wiring.rest_right")), g.maybe("wiring.metered_by")
    if not g.complete:
        return Metering.unknown(g)
    entered = {row["line"]: row for row in rows if row["line"] and row["shows"]}
    lines = []
    for number, (line, as_entered) in enumerate(layout.meter or (), 1):
        words = line.probes(layout.meant)
        row = entered.pop(words, None)
        shows = row["shows"] if row else line.expected if ticked else None
        lines.append(Reading(number, line, words, as_entered, shows, (row["note"] or "") if row else ""))
    return Metering(lines=tuple(lines), strange=tuple(entered), ticked=ticked, by=by or "", **g.marks())


@dataclass(frozen=True, kw_only=True)
class Switching(Result):
    """The order in which the builder switches on and off. on, off: circuit Orders of the wiring as chosen, None where the order is not yet whole.

    on_wired, off_wired: the same steps on the wiring as entered. unsaid: what is not in the order yet, in words. trouble: entries that do not fit this layout, in words.
    """

    on: Order
    off: Order
    on_wired: Order
    off_wired: Order
    unsaid_on: tuple
    unsaid_off: tuple
    trouble: tuple


def switching(g, layout):
    """The builder's own order of switching on and off, run on the graph."""
    g.use(layout)
    entered = {what: tuple(g.maybe(f"wiring.{what}_{nth}") for nth in NTH) for what in ("on", "off")}
    throttle = "high" if g("wiring.on_throttle") == "open" else "low"
    if not g.complete:
        return Switching.unknown(g)
    if not layout.buildable:
        return Switching(on=None, off=None, on_wired=None, off_wired=None, unsaid_on=(), unsaid_off=(), trouble=(), **g.marks())
    steps, unsaid, trouble = {}, {}, []
    for what, keys in entered.items():
        steps[what], unsaid[what] = _steps(what, keys, layout.meant, trouble)
    made = {}
    for name, wiring in (("", layout.meant), ("_wired", layout.wiring)):
        made[f"on{name}"] = None if unsaid["on"] or trouble else _run(wiring, steps["on"], throttle, power_up.start(wiring, throttle))
        made[f"off{name}"] = None if unsaid["off"] or trouble else _run(wiring, steps["off"], "low", power_up.ready(wiring))
    return Switching(**made, unsaid_on=unsaid["on"], unsaid_off=unsaid["off"], trouble=tuple(trouble), **g.marks())


def _run(wiring, steps, throttle, state):
    return Order(steps, throttle, power_up.run(wiring, steps, state))


def _steps(what, keys, wiring, trouble):
    """The entered keys as steps of events, and what they leave out."""
    plugs, flight = power_up.packs(wiring), [part.id for part in wiring.of_kind("pack")]
    need, steps = ["transmitter", *plugs], []
    action = {"on": "plug in", "off": "unplug"}[what]
    for key in keys:
        if key is None:
            continue
        things = flight if key == "both_packs" else [key]
        for thing in things:
            if thing in need:
                need.remove(thing)
            elif thing != "transmitter" and thing not in plugs:
                trouble.append(f"your layout has no {thing.replace('_', ' ')}")
            else:
                trouble.append(f"the {thing.replace('_', ' ')} comes twice in the order of switching {what}")
        steps.append((Event(f"transmitter {what}"),) if key == "transmitter" else tuple(Event(action, thing) for thing in things))
    return tuple(steps), tuple(f"the {thing.replace('_', ' ')}" for thing in need)


@dataclass(frozen=True)
class Reach:
    """Where a hand goes to a pack: its side ("shared": the common or joined ones), how far behind the propeller planes (negative: ahead), and how far from the circle of the nearer tips [m]."""

    side: str
    behind: float
    clear: float


def reaches(leads, geometry, power):
    """Where the hands are when the packs go in; empty until the stations and the propellers are known."""
    if not (leads.known and geometry.known and power.known):
        return ()
    radius = max(power.left.propeller_diameter, power.right.propeller_diameter) / 2.0
    found = {}
    for side in ("left", "right"):
        x, y, _ = leads.places[f"{side} pack"]
        found[side if leads.packs == "two" else "shared"] = Reach(side if leads.packs == "two" else "shared", x - geometry.propeller_behind, geometry.nacelle_out - radius - abs(y))
    return tuple(found.values())
