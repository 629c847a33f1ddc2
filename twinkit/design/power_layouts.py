"""Layouts beside the chosen one: what one failure takes away, what each part carries, what there is to join and to buy."""

import functools
from collections import Counter
from dataclasses import dataclass, replace

import numpy as np

from twinkit import tables
from twinkit.circuit import faults, layouts
from twinkit.design import power_endurance
from twinkit.design.base import Result
from twinkit.design.drive_parts import supplies
from twinkit.design.flight import delivered
from twinkit.design.power import solve
from twinkit.design.power_spread import nine_in_ten, shorter, tried
from twinkit.physics import pack as packs

CHANGES = (      # one decision changed at a time: words, fields of the layout
    ("one throttle channel and a Y-lead", {"throttle": "y_lead"}), ("a throttle channel for each side", {"throttle": "two_channels"}),
    ("the receiver on both regulators, a diode each", {"source": "both_diodes", "stand_alone_feed": "none"}),
    ("the receiver on a regulator of its own", {"source": "stand_alone"}),
    ("the receiver on a pack of its own", {"source": "receiver_pack", "stand_alone_feed": "none"}),
    ("one pack for both sides", {"packs": "one"}), ("two packs, one for each side", {"packs": "two"}), ("two packs joined in parallel", {"packs": "joined"}),
    ("a controller for each motor", {"controllers": "two"}), ("one controller for both motors", {"controllers": "one", "throttle": "one_channel"}),
)


@dataclass(frozen=True)
class Counted:
    """Single failures of a layout by outcome, and what there is to join."""

    radio_lost: int
    no_motor: int
    one_motor: int
    plugs: int
    wires: int
    power_joints: int


@dataclass(frozen=True)
class Stopped:
    """Why page 02 stops a layout's supply of the receiver: key of the supply; what: "heat" (temperature [K]), "current" (share of its rating) or "volts" (at the receiver [V])."""

    key: str
    what: str
    value: float


@dataclass(frozen=True)
class LayoutRow:
    """One layout: words, its count, the hardest driven pack and controller as (current, what it may carry) in ampere or None, and what is not at hand.

    thrust: both sides at full throttle, standing [N]. time: the cruise of the first guess held until the first supply is at its end [s]. more_mass: over the
    chosen layout [kg]. Each None while not known. bands: ends of what holds nine times in ten, by name (thrust, time, pack, controller), as far as known. stopped: what page 02 would stop it for, see Stopped.
    """

    words: str
    chosen: bool
    one_controller: bool
    counted: Counted
    pack: tuple
    controller: tuple
    to_buy: tuple
    thrust: float
    time: float
    more_mass: float
    bands: dict
    layout: object
    stopped: tuple


@dataclass(frozen=True, kw_only=True)
class Layouts(Result):
    """The chosen layout first (when it can be built), then those that differ in one decision; whole: every layout that can be built.

    Left out of whole are those page 02 stops in any case: one controller for two motors, and two regulators straight on one rail.
    """

    rows: tuple
    why_not: str
    whole: tuple


@dataclass(frozen=True)
class Whole:
    """One of all buildable layouts: its source of the receiver's supply, its count, whether it is the chosen one, and what page 02 would stop it for."""

    layout: object
    counted: Counted
    chosen: bool
    stopped: tuple

    @property
    def joints(self):
        return self.counted.plugs + self.counted.power_joints

    @property
    def lose_all(self):
        """Single failures that lose the radio or both motors."""
        return self.counted.radio_lost + self.counted.no_motor


@functools.lru_cache(maxsize=64)
def counted(layout):
    """What single failures leave of a layout as it is meant, and its joints; from the graph alone."""
    wiring = layouts.build(layout)
    left = Counter(outcome.result for _, outcome in faults.failure_table(wiring))
    heavy = [wire for wire in wiring.wires if wire.role in ("power +", "power -", "phase")]
    return Counted(left["radio lost"], left["no motor"], left["left only"] + left["right only"], len(wiring.connectors), len(wiring.wires), 2 * len(heavy))


def compared(g, layout, power, moments, wiring, spread):
    """The layouts that can be built beside the chosen one, held against the parts at hand."""
    g.use(layout)
    for result in (power, moments, wiring, spread):
        g.use(result, needed=False)
    share, asked, judge = g("limits.c_share"), _Asked(g, power, moments, wiring, spread), _Judge(g, wiring)
    have = Counter()
    for row in g.rows("start.parts"):
        have[row["kind"]] += int(row["count"] or 1)
    if not g.complete:
        return Layouts.unknown(g)
    chosen = layout.layout
    rows = [("as you chose", chosen)] if not layouts.why_not(chosen) else []
    for words, change in CHANGES:
        other = _fitted(replace(chosen, **change))
        if other not in [known for _, known in rows] and not layouts.why_not(other):
            rows.append((words, other))
    base = asked.mass(chosen)
    return Layouts(rows=tuple(_row(words, other, chosen, power, spread, share, have, asked, base, judge(other)) for words, other in rows),
                   whole=tuple(Whole(other, counted(other), other == chosen, judge(other)) for other in layouts.buildable() if other.opto == chosen.opto and other.controllers == "two" and (other.source != "both" or other == chosen)),
                   why_not=layout.why_not, **g.marks())


def _row(words, layout, chosen, power, spread, share, have, asked, base, stopped):
    """A layout with what it carries, and the bands of its numbers."""
    pack, controller = _hardest(_pack(layout, power, share)), _hardest(_controller(layout, power))
    thrust, time, bands = asked.flown(layout)
    if spread.known:
        fresh = spread.standing.fresh
        for name, hardest, drawn in (("pack", pack, _pack(layout, power, share, fresh)), ("controller", controller, _controller(layout, power, fresh))):
            if hardest is not None:
                bands = bands | {name: nine_in_ten(drawn[hardest[0]][0])}
    return LayoutRow(words, layout == chosen, layout.controllers == "one", counted(layout), pack and pack[1], controller and controller[1],
                     _to_buy(layout, chosen, have), thrust, time, asked.mass(layout) - base, bands, layout, stopped)


class _Judge:
    """What page 02 stops a layout's supply for: each regulator at hand as if it carried everything alone, as page 02 has it. What it does not know does not stop."""

    def __init__(self, g, wiring):
        self.wiring = wiring
        self.hot, self.burst, self.least, self.fall = (g(path) for path in ("limits.regulator_hot", "limits.regulator_burst", "limits.receiver_stop", "wiring.diode_drop"))

    def __call__(self, layout):
        if not self.wiring.known:
            return ()
        keys = {"left_bec": ("left",), "right_bec": ("right",), "stand_alone": ("own",), "receiver_pack": ("receiver_pack",)}.get(layout.source, ("left", "right"))
        on, load = [self.wiring.supplies[key] for key in keys if key in self.wiring.supplies], self.wiring.load_stall
        found = [Stopped(one.key, "heat", one.temperature) for one in on if one.temperature is not None and one.temperature > self.hot]
        found += [Stopped(one.key, "current", load / one.rating) for one in on if load / one.rating > self.burst]
        fall = self.fall if layout.source == "both_diodes" else 0.0
        return tuple(found + [Stopped(one.key, "volts", one.receiver_volts_stall - fall) for one in on if one.receiver_volts_stall - fall < self.least])


class _Asked:
    """What a layout weighs, pulls and how long it flies, from the parts of the chosen one."""

    def __init__(self, g, power, moments, wiring, spread):
        self.power, self.moments, self.spread, self.variants = power, moments, spread, {}
        self.usable, self.extra, self.shares = g("weight.usable"), g("weight.manoeuvre"), delivered(g)
        self.cut_off = max(g(f"wiring.{side}.cut_off") for side in ("left", "right"))
        self.drain = sum((wiring.regulator_input_current or {}).values()) or (wiring.load_average or 0.0)
        self.masses = tables.values("power/layout_masses")
        self.pack_mass = [g.maybe(f"weight.{p.side}.pack_mass") or _pack_mass(p) for p in power.packs or ()]
        self.controller_mass = [row["mass"] for row in g.rows("start.parts") if row["kind"] == "controller" and row["mass"]]

    def mass(self, layout):
        """Mass of what differs between layouts; a part nobody weighed weighs what such parts weigh."""
        one = self.pack_mass[0] if self.pack_mass else self.masses["pack"]
        other = self.pack_mass[-1] if self.pack_mass else one
        controller = sum(self.controller_mass) / len(self.controller_mass) if self.controller_mass else self.masses["controller"]
        total = one + (other if layout.packs != "one" else 0.0) + controller * (1 if layout.controllers == "one" else 2)
        return total + self.masses.get({"both_diodes": "diodes", "stand_alone": "regulator", "receiver_pack": "receiver_pack"}.get(layout.source, ""), 0.0) \
            + (self.masses["y_lead"] if layout.throttle == "y_lead" else 0.0) + (self.masses["joint"] if layout.packs == "joined" else 0.0)

    def flown(self, layout):
        """Static thrust, time and the bands of both; None where the drives are not known, and for the one that cannot run."""
        power = self.power
        if not power.known or layout.controllers == "one" or power.one_controller:
            return None, None, {}
        one, two = power.packs[0], power.packs[-1]
        own = {"one": (one,), "two": (one, two), "joined": (one, two)}[layout.packs]
        shared = layout.packs != "two"
        sides = tuple(replace(side, pack=pack, **supply) for side, pack, supply in zip((power.left, power.right), own * 2 if len(own) == 1 else own, supplies(layout.packs, False, own)))
        thrust = float(solve(*sides, shared, 1.0, 1.0, 0.0, power.density).thrust)
        if layout.packs not in self.variants:
            self.variants[layout.packs] = self._variants(sides, shared)
        standing, cruising, nominal = self.variants[layout.packs]
        bands = {"thrust": nine_in_ten(standing.thrust)} if standing is not None else {}
        if not self.moments.known:
            return thrust, None, bands
        rows = power_endurance.held(sides, shared, own, self.moments.cruise_throttle, self.moments.named("cruise").sides.speed, power.density, self.extra, self._drains(layout),
                                    self.shares)
        times = [power_endurance.end_of(1.0 - self.usable, self.cut_off, *row[2:6])[0] for row in rows]
        if cruising is not None:
            each = [time * shorter(row[0], nominal, cruising, float(np.mean(row[4])), self.extra) for time, row in zip(times, rows)]
            bands["time"] = nine_in_ten(np.min(each, axis=0))
        return thrust, min(times), bands

    def _variants(self, sides, shared):
        """Variants of these drives on these packs: standing at full throttle, in cruise, and the drives as told in cruise."""
        if not self.spread.known:
            return None, None, None
        power, unit = self.power, self.spread.unit
        standing = tried(sides, shared, power.density, unit, power.flight_speed).full
        if not self.moments.known:
            return standing, None, None
        throttle, speed = self.moments.cruise_throttle, self.moments.named("cruise").sides.speed
        return standing, tried(sides, shared, power.density, unit, power.flight_speed, speed).at(throttle, throttle), solve(*sides, shared, throttle, throttle, speed, power.density)

    def _drains(self, layout):
        """Which pack feeds the receiver; regulators on both sides share."""
        if layout.source == "receiver_pack":
            return {}
        fed = {"left_bec": ("left",), "right_bec": ("right",), "stand_alone": (layout.stand_alone_feed,)}.get(layout.source, ("left", "right"))
        return {side: self.drain / len(fed) for side in fed}


def _pack_mass(pack):
    return float(packs.stored_energy(pack.cells, pack.capacity, tables.values("pack/defaults")["nominal_cell"])) / tables.values("weight/spreads")["pack_energy"]


def _fitted(layout):
    """The layout with what only one answer fits filled in; one controller has one power lead, so two packs are joined for it."""
    if layout.controllers == "one" and layout.packs == "two":
        layout = replace(layout, packs="joined")
    if layout.source == "stand_alone":
        feed = "shared" if layout.packs != "two" else layout.stand_alone_feed if layout.stand_alone_feed in ("left", "right") else "left"
        layout = replace(layout, stand_alone_feed=feed)
    if layout.controllers == "one":
        source = layout.source if layout.source in ("stand_alone", "receiver_pack") else "left_bec"
        return replace(layout, throttle="one_channel", source=source, opto=(layout.opto[0],) * 2)
    return replace(layout, throttle="two_channels") if layout.throttle == "one_channel" else layout


def _pack(layout, power, share, fresh=None):
    """Every pack driven: (current, trusted current) on full packs; the left pack stands in where there is but one. fresh: the same of variants."""
    if power.fresh is None or any(p.label_current is None for p in power.packs):
        return None
    left, right = (getattr(fresh or power.fresh, side).pack_current for side in ("left", "right"))
    one, two = power.packs[0], power.packs[-1]
    if layout.packs == "one":
        drawn = ((left + right, one),)
    elif layout.packs == "two":
        drawn = ((left, one), (right, two))
    else:
        split = packs.parallel_sharing(one.emf_full, one.resistance, two.emf_full, two.resistance, left + right)
        drawn = ((split.current_1, one), (split.current_2, two))
    return tuple((current, share * pack.label_current) for current, pack in drawn)


def _controller(layout, power, fresh=None):
    """Every controller: (motor current on full packs, rating); one for both motors is the left one and carries both. fresh: the same of variants."""
    if power.fresh is None or any(power.side(s).controller_current is None for s in ("left", "right")):
        return None
    left, right = (getattr(fresh or power.fresh, side).motor_current for side in ("left", "right"))
    drawn = ((left + right, "left"),) if layout.controllers == "one" else ((left, "left"), (right, "right"))
    return tuple((current, power.side(side).controller_current) for current, side in drawn)


def _hardest(drawn):
    """The part nearest to what it may carry: its number and (current, allowed); None while not known."""
    if drawn is None:
        return None
    number = max(range(len(drawn)), key=lambda k: float(drawn[k][0]) / drawn[k][1])
    return number, (float(drawn[number][0]), drawn[number][1])


def _to_buy(layout, chosen, have):
    """What this layout needs that the chosen one does not and that is not among the parts at hand."""
    needs = []
    if layout.packs != "one" and chosen.packs == "one" and have["pack"] < 2:
        needs.append("a second pack")
    if layout.source != chosen.source:
        if layout.source == "both_diodes":
            needs.append("two diodes")
        if layout.source == "stand_alone" and not have["regulator"]:
            needs.append("a regulator")
        if layout.source == "receiver_pack":
            needs.append("a receiver pack")
    if layout.throttle == "y_lead" and chosen.throttle != "y_lead":
        needs.append("a Y-lead")
    return tuple(needs)
