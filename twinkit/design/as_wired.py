"""The wiring of a layout with what the builder entered of it, and all that follows from that graph, each worked out when it is first asked for."""

import functools
from dataclasses import dataclass, replace

from twinkit.circuit import facts, faults, layouts, meter, mistakes, power_up
from twinkit.circuit.mistakes import MISTAKES
from twinkit.circuit.parts import Pin, Wire, part_id
from twinkit.quantities import SIDES


@dataclass(frozen=True)
class WrongOrder:
    """An order of switching on or off that does something unwanted: the steps as words and the mishaps (keys of power_up.MISHAPS)."""

    what: str
    steps: tuple
    throttle: str
    mishaps: tuple


class Worked:
    """All that follows from one wiring.

    meant, wiring: circuit Wirings as chosen and as entered. planted: the entered departures in words. misfit: why the mistake to try does not fit, '' when it does.
    """

    def __init__(self, choice, entered):
        self.meant = layouts.build(choice)
        self.wiring, self.planted, self.misfit = _as_entered(self.meant, choice, *entered)

    @functools.cached_property
    def facts(self):
        """What is joined to what, as wired."""
        return facts.facts(self.wiring)

    @functools.cached_property
    def failures(self):
        """(Failure, Outcome) of every single failure as wired."""
        return faults.failure_table(self.wiring)

    @functools.cached_property
    def single_points(self):
        """The failures among them that lose the radio or both motors."""
        return faults.single_points(self.wiring)

    @functools.cached_property
    def meter(self):
        """(MeterLine of the wiring as meant, its reading as wired)."""
        return tuple((line, shown) for line, shown in zip(self.lines, meter.readings(self.wiring, self.lines)))

    @functools.cached_property
    def lines(self):
        """The meter sheet of the wiring as meant."""
        return meter.sheet(self.meant)

    @functools.cached_property
    def turned(self):
        """Motors that turn the other way than meant; no meter shows it."""
        return meter.direction_test(self.meant, self.wiring)

    @functools.cached_property
    def power_up(self):
        """The safe order of switching on as wired; None: there is none."""
        return power_up.power_up_order(self.wiring)

    @functools.cached_property
    def shut_down(self):
        """The same after landing."""
        return power_up.shut_down_order(self.wiring)

    @functools.cached_property
    def orders(self):
        """Every order of switching on and every one of switching off, of the wiring as chosen."""
        return power_up.all_orders(self.meant), power_up.all_shut_downs(self.meant)

    @functools.cached_property
    def wrong_orders(self):
        """For each mishap the shortest order that brings it, so that every wrong habit shows once."""
        found = {}
        for what, orders in zip(("switching on", "switching off"), self.orders):
            for order in sorted(orders, key=lambda one: (len(one.mishaps), one.throttle == "high")):
                for name in order.mishaps:
                    found.setdefault(name, WrongOrder(what, order.words(self.meant), order.throttle, order.mishaps))
        return tuple(dict.fromkeys(found.values()))

    @functools.cached_property
    def pulled(self):
        """Pack -> the state after it comes out in flight, as wired."""
        return {pack: power_up.pulled_in_flight(self.wiring, pack) for pack in power_up.packs(self.wiring)}


@functools.lru_cache(maxsize=64)
def worked(choice, entered):
    """Everything that follows from a layout and what was entered of it; topology does not move with a slider, so it is kept."""
    return Worked(choice, entered)


def _as_entered(wiring, choice, reds, grounds, swapped, tried):
    """The wiring with what was entered, in words where that departs from what was chosen, and why a mistake could not be planted ('' when it could)."""
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
        planted.append(_lower(MISTAKES[name].words))
    mistake = tried and mistakes.of_kind(*tried, wiring)
    if mistake:
        wiring = mistake.plant(wiring)
        planted.append(_lower(mistake.words))
    return wiring, tuple(planted), "This mistake cannot be made in your layout as it is wired." if tried and not mistake else ""


def _lower(sentence):
    return sentence[0].lower() + sentence[1:].rstrip(".")


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
