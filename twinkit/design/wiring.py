"""The wiring as the builder has it: the graph of the layout with what was entered, what follows from it, and the receiver's supply."""

import functools
from dataclasses import dataclass, replace

from twinkit.circuit import facts, faults, layouts, meter, power_up
from twinkit.circuit.mistakes import MISTAKES
from twinkit.circuit.parts import Pin, Wire, part_id
from twinkit.design.base import Result
from twinkit.design.supply import Bus, Sharing, Supply, bus  # noqa: F401  (Results asks this module for both results of the page)
from twinkit.quantities import SIDES

RED, GROUND, POLARITY = "red_lead", "ground_kept", "pack_polarity"
SETTINGS = ("brake", "timing", "cut_off", "set_cells", "calibrated", "cut_set", "failsafe_set", "turns")
TURNS = {"normal": "clockwise", "reverse": "anticlockwise"}


@dataclass(frozen=True)
class WrongOrder:
    """An order of switching on or off that does something unwanted: the steps as words and the mishaps (keys of power_up.MISHAPS)."""

    what: str
    steps: tuple
    throttle: str
    mishaps: tuple


@dataclass(frozen=True)
class Worked:
    """All that follows from one wiring: see LayoutFacts."""

    meant: object
    wiring: object
    planted: tuple
    facts: object
    failures: tuple
    single_points: tuple
    meter: tuple
    power_up: object
    shut_down: object
    wrong_orders: tuple


@dataclass(frozen=True, kw_only=True)
class LayoutFacts(Result):
    """The layout and its wiring, topology only.

    layout: the choices (circuit Layout). why_not: why it cannot be built, '' when it can; then everything worked out from the graph is None.
    meant, wiring: circuit Wirings as chosen and as entered. planted: the entered departures in words. unsaid: entries about red leads nobody has made yet.
    failures: (Failure, Outcome) of every single failure as wired. meter: (MeterLine of the wiring as meant, its reading as wired).
    power_up, shut_down: the safe circuit Orders as wired (None: there is none). wrong_orders: of the wiring as chosen.
    kinds: of both sides' regulators. swapped: sides whose pack plug is. cells: side of a pack -> cells.
    """

    layout: object
    why_not: str
    meant: object
    wiring: object
    planted: tuple
    unsaid: tuple
    facts: object
    failures: tuple
    single_points: tuple
    meter: tuple
    power_up: object
    shut_down: object
    wrong_orders: tuple
    kinds: tuple
    swapped: tuple
    cells: dict

    @property
    def buildable(self):
        return self.wiring is not None

    @property
    def sides(self):
        """The sides whose throttle plug exists: one controller for both motors counts as the left one."""
        return ("left",) if self.layout.controllers == "one" else SIDES

    @property
    def sources(self):
        """Keys of what reaches the receiver as wired: left, right, own, receiver_pack."""
        return tuple(KEYS[source.pin.part] for source in self.facts.receiver_feed.sources) if self.buildable else ()

    @property
    def meant_sources(self):
        """The same for the wiring as chosen."""
        return tuple(KEYS[source.pin.part] for source in facts.receiver_feed(self.meant).sources) if self.buildable else ()

    @property
    def failure_rows(self):
        """(words, Outcome) of every single failure; the three wires of a motor as one row where they come to the same."""
        rows = {}
        for failure, result in self.failures:
            words = f"one wire of the {failure.side} motor opens" if failure.kind == "phase open" else failure.words
            rows.setdefault((words, result), None)
        return tuple(rows)


# The part that feeds -> how results and the record call it. One controller for both motors counts as the left one.
KEYS = {"left_controller": "left", "controller": "left", "right_controller": "right", "regulator": "own", "receiver_pack": "receiver_pack"}


def layout(g):
    """The chosen layout, the wiring as entered, and what follows from it. A red lead nobody has entered is taken as it is meant, and said to be so."""
    choice = _choice(g)
    kinds = tuple(g(f"wiring.{side}.regulator_kind") for side in SIDES)
    cells = _cells(g)
    entered, unsaid = _entered(g, choice)
    if not g.complete:
        return LayoutFacts.unknown(g)
    swapped = tuple(side for side, wrong in zip(SIDES, entered[2]) if wrong)
    own = {"layout": choice, "unsaid": unsaid, "kinds": kinds, "swapped": swapped, "cells": cells, **g.marks()}
    reason = layouts.why_not(choice)
    if reason:
        return replace(LayoutFacts.unknown(g), why_not=reason, **own)
    worked = _worked(choice, entered)
    return LayoutFacts(why_not="", **own, **{name: getattr(worked, name) for name in Worked.__dataclass_fields__})


@dataclass(frozen=True, kw_only=True)
class Settings(Result):
    """What is set in the controllers and the radio. values: name -> (left, right) as entered. sides: those with a controller of their own.

    hands: propeller hands; needed_turns: the way each motor must turn for them. cells: of each side's pack.
    """

    values: dict
    sides: tuple
    hands: tuple
    needed_turns: tuple
    cells: tuple
    isolation: str
    antenna: str

    def unlike(self, name):
        """Whether both sides have this setting and differ in it."""
        one, other = self.values[name]
        return len(self.sides) == 2 and one != other


def settings(g):
    """Settings of both controllers and of the radio, and the turning that the propellers ask for."""
    values = {name: tuple(g.maybe(f"wiring.{side}.{name}") for side in SIDES) for name in SETTINGS}
    hands = tuple(g(f"power.{side}.propeller_hand") for side in SIDES)
    cells = _cells(g)
    sides = ("left",) if g("power.controllers") == "one" else SIDES
    isolation, antenna = g("wiring.isolation"), g.maybe("wiring.antenna")
    if not g.complete:
        return Settings.unknown(g)
    return Settings(values=values, sides=sides, hands=hands, needed_turns=tuple(TURNS[hand] for hand in hands),
                    cells=tuple(cells.get(side, cells.get("shared")) for side in SIDES), isolation=isolation, antenna=antenna or "", **g.marks())


def _cells(g):
    """Side of each pack -> its cells in series."""
    found = {side: g(f"power.{side}.cells") for side in (("shared",) if g("power.packs") == "one" else SIDES)}
    return {side: int(n) for side, n in found.items() if n is not None}


def _choice(g):
    """The entries of the layout as a circuit Layout. What only one answer fits (one controller's signal, a common pack's feed) is filled in."""
    packs, controllers, source, throttle = (g(f"power.{name}") for name in ("packs", "controllers", "source", "throttle"))
    opto = tuple(g(f"wiring.{side}.regulator_kind") == "none" for side in SIDES)
    feed = "none"
    if source == "stand_alone":
        feed = g("power.stand_alone_feed") if packs == "two" else "shared"
    if controllers == "one":
        throttle, opto = "one_channel", (opto[0], opto[0])
        source = "left_bec" if source == "right_bec" else source
    return layouts.Layout(packs, controllers, source, feed, throttle, opto)


def _entered(g, choice):
    """What was entered of each throttle plug and pack plug, as a tuple that can be kept, and the entries nobody has made."""
    sides = ("left",) if choice.controllers == "one" else SIDES
    reds = tuple(g.maybe(f"wiring.{side}.{RED}") if side in sides else None for side in SIDES)
    unsaid = tuple(f"wiring.{side}.{RED}" for side, red in zip(SIDES, reds) if red is None and side in sides)
    for path in unsaid:
        g.assume(path)
    grounds = tuple(g(f"wiring.{side}.{GROUND}") if side in sides else True for side in SIDES)
    swapped = tuple(g(f"wiring.{side}.{POLARITY}") == "swapped" for side in SIDES)
    return (reds, grounds, swapped), unsaid


@functools.lru_cache(maxsize=64)
def _worked(choice, entered):
    """Everything that follows from a layout and what was entered of it; topology does not move with a slider, so it is kept."""
    meant = layouts.build(choice)
    wiring, planted = _as_entered(meant, choice, *entered)
    lines = meter.sheet(meant)
    return Worked(meant, wiring, planted, facts.facts(wiring), faults.failure_table(wiring), faults.single_points(wiring),
                  tuple((line, meter.read(wiring, line)) for line in lines), power_up.power_up_order(wiring), power_up.shut_down_order(wiring),
                  _wrong_orders(meant))


def _as_entered(wiring, choice, reds, grounds, swapped):
    """The wiring with what was entered, and in words where that departs from what was chosen."""
    planted = []
    places = ("centre",) if choice.controllers == "one" else SIDES
    for place, red in zip(places, reds):
        changed = _red(wiring, place, red)
        if changed != wiring:
            planted.append({"connected": "the {} red lead is connected", "isolated": "the {} red lead is taken out", "bare": "the {} red lead is cut and bare"}
                           [red].format(_word(place)))
        wiring = changed
    for place, kept in zip(places, grounds):
        if not kept:
            wiring = wiring.without_wire(f"{part_id(place, 'servo')}_ground")
            planted.append(f"the {_word(place)} throttle plug has no ground")
    for name in _polarity(choice, swapped):
        wiring = MISTAKES[name].plant(wiring)
        planted.append(MISTAKES[name].words[0].lower() + MISTAKES[name].words[1:].rstrip("."))
    return wiring, tuple(planted)


def _word(place):
    return "controller's" if place == "centre" else place


def _red(wiring, place, red):
    """The wiring with the red lead of one throttle plug as entered; None leaves it as chosen."""
    pin = wiring.part(part_id(place, "controller")).pin("V5")
    ends = wiring.wires_at(pin)
    if red == "connected" and not ends:
        lead = part_id(place, "servo")
        ground = wiring.wire(f"{lead}_ground")
        end = Pin(ground.b.part, ground.b.name.removesuffix("G") + "V")
        name = f"{wiring.part(pin.part).name} servo lead, red"
        wiring = wiring.with_wire(Wire(f"{lead}_red", pin, end, "5 V", ground.side, name, ground.connectors))
        return replace(wiring, insulated=wiring.insulated - {pin})
    if red in ("isolated", "bare"):
        wiring = wiring.without_wire(*(wire.id for wire in ends))
        return replace(wiring, insulated=wiring.insulated | {pin} if red == "isolated" else wiring.insulated - {pin})
    return wiring


def _polarity(choice, swapped):
    """Names of the mistakes behind swapped plugs. With one pack a single side means the lead to that side's controller, both mean the pack's plug."""
    if choice.packs != "one":
        return [f"reversed_pack_plug_{side}" for side, wrong in zip(SIDES, swapped) if wrong]
    if choice.controllers == "one" or all(swapped):
        return ["reversed_shared_pack_plug"] if any(swapped) else []
    return [f"reversed_controller_lead_{side}" for side, wrong in zip(SIDES, swapped) if wrong]


def _wrong_orders(wiring):
    """For each mishap the shortest order that brings it, so that every wrong habit shows once."""
    found = {}
    for what, orders in (("switching on", power_up.all_orders(wiring)), ("switching off", power_up.all_shut_downs(wiring))):
        for order in sorted(orders, key=lambda one: (len(one.mishaps), one.throttle == "high")):
            for name in order.mishaps:
                found.setdefault(name, WrongOrder(what, order.words(wiring), order.throttle, order.mishaps))
    return tuple(dict.fromkeys(found.values()))
