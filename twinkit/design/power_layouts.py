"""Layouts beside the chosen one: what one failure takes away, what each part carries, what there is to join and to buy."""

import functools
from collections import Counter
from dataclasses import dataclass, replace

from twinkit.circuit import faults, layouts
from twinkit.design.base import Result
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
class LayoutRow:
    """One layout: words, its count, the hardest driven pack and controller as (current, what it may carry) in ampere or None, and what is not at hand."""

    words: str
    chosen: bool
    one_controller: bool
    counted: Counted
    pack: tuple
    controller: tuple
    to_buy: tuple


@dataclass(frozen=True, kw_only=True)
class Layouts(Result):
    """The chosen layout first (when it can be built), then those that differ in one decision."""

    rows: tuple
    why_not: str


@functools.lru_cache(maxsize=64)
def counted(layout):
    """What single failures leave of a layout as it is meant, and its joints; from the graph alone."""
    wiring = layouts.build(layout)
    left = Counter(outcome.result for _, outcome in faults.failure_table(wiring))
    heavy = [wire for wire in wiring.wires if wire.role in ("power +", "power -", "phase")]
    return Counted(left["radio lost"], left["no motor"], left["left only"] + left["right only"], len(wiring.connectors), len(wiring.wires), 2 * len(heavy))


def compared(g, layout, power):
    """The layouts that can be built beside the chosen one, held against the parts at hand."""
    g.use(layout), g.use(power, needed=False)
    share = g("limits.c_share")
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
    return Layouts(rows=tuple(LayoutRow(words, other == chosen, other.controllers == "one", counted(other), _pack(other, power, share), _controller(other, power),
                                        _to_buy(other, chosen, have)) for words, other in rows), why_not=layout.why_not, **g.marks())


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


def _pack(layout, power, share):
    """The pack nearest to what its label is trusted for: (current, trusted current) on full packs; the left pack stands in where there is but one."""
    if power.fresh is None or any(p.label_current is None for p in power.packs):
        return None
    left, right = (float(getattr(power.fresh, side).pack_current) for side in ("left", "right"))
    one, two = power.packs[0], power.packs[-1]
    if layout.packs == "one":
        drawn = ((left + right, one),)
    elif layout.packs == "two":
        drawn = ((left, one), (right, two))
    else:
        split = packs.parallel_sharing(one.emf_full, one.resistance, two.emf_full, two.resistance, left + right)
        drawn = ((float(split.current_1), one), (float(split.current_2), two))
    return max(((current, share * pack.label_current) for current, pack in drawn), key=lambda pair: pair[0] / pair[1])


def _controller(layout, power):
    """The controller nearest to its rating: (motor current on full packs, rating); one for both motors is the left one and carries both."""
    if power.fresh is None or any(power.side(s).controller_current is None for s in ("left", "right")):
        return None
    left, right = (float(getattr(power.fresh, side).motor_current) for side in ("left", "right"))
    drawn = ((left + right, "left"),) if layout.controllers == "one" else ((left, "left"), (right, "right"))
    return max(((current, power.side(side).controller_current) for current, side in drawn), key=lambda pair: pair[0] / pair[1])


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
