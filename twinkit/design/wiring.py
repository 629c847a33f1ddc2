"""The wiring as the builder has it: the graph of the layout with what was entered, and what follows from it."""

from dataclasses import dataclass

from twinkit.circuit import facts, layouts
from twinkit.design.as_wired import Worked, worked
from twinkit.design.base import Result
from twinkit.design.supply import Bus, Sharing, Supply, bus  # noqa: F401  (Results asks this module for all results of the page)
from twinkit.design.wiring_handling import metering, switching  # noqa: F401
from twinkit.design.wiring_settings import TURNS, cells_of, radio, settings  # noqa: F401
from twinkit.quantities import SIDES

# The part that feeds -> how results and the record call it. One controller for both motors counts as the left one.
KEYS = {"left_controller": "left", "controller": "left", "right_controller": "right", "regulator": "own", "receiver_pack": "receiver_pack"}
OF_WORKED = ("meant", "wiring", "planted", "misfit", "facts", "failures", "single_points", "meter", "turned", "power_up", "shut_down", "orders", "wrong_orders", "pulled")


@dataclass(frozen=True, kw_only=True)
class LayoutFacts(Result):
    """The layout and its wiring, topology only.

    layout: the choices (circuit Layout). why_not: why it cannot be built, '' when it can; then nothing is worked out from a graph.
    worked: all that follows from the graph (see Worked), each asked for here by its own name: meant, wiring, facts, failures, meter ...
    unsaid: entries about red leads nobody has made yet. kinds: of both sides' regulators. swapped: sides whose pack plug is. cells: side of a pack -> cells.
    """

    layout: object
    why_not: str
    worked: Worked
    unsaid: tuple
    kinds: tuple
    swapped: tuple
    cells: dict

    def __getattr__(self, name):
        if name in OF_WORKED:
            return None if self.worked is None else getattr(self.worked, name)
        raise AttributeError(f"a layout has no {name}")

    @property
    def buildable(self):
        return self.worked is not None

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


def layout(g):
    """The chosen layout, the wiring as entered, and what follows from it. A red lead nobody has entered is taken as it is meant, and said to be so."""
    choice = _choice(g)
    kinds = tuple(g(f"wiring.{side}.regulator_kind") for side in SIDES)
    cells = cells_of(g)
    entered, unsaid = _entered(g, choice)
    if not g.complete:
        return LayoutFacts.unknown(g)
    swapped = tuple(side for side, wrong in zip(SIDES, entered[2]) if wrong)
    reason = layouts.why_not(choice)
    return LayoutFacts(layout=choice, why_not=reason, worked=None if reason else worked(choice, entered), unsaid=unsaid, kinds=kinds, swapped=swapped, cells=cells, **g.marks())


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
    """What was entered of each throttle plug and pack plug, and the mistake to try, as a tuple that can be kept; and the entries nobody has made."""
    sides = ("left",) if choice.controllers == "one" else SIDES
    reds = tuple(g.maybe(f"wiring.{side}.red_lead") if side in sides else None for side in SIDES)
    unsaid = tuple(f"wiring.{side}.red_lead" for side, red in zip(SIDES, reds) if red is None and side in sides)
    for path in unsaid:
        g.assume(path)
    grounds = tuple(g(f"wiring.{side}.ground_kept") if side in sides else True for side in SIDES)
    swapped = tuple(g(f"wiring.{side}.pack_polarity") == "swapped" for side in SIDES)
    mistake = g.maybe("wiring.mistake")
    return (reds, grounds, swapped, (mistake, g("wiring.mistake_side")) if mistake not in (None, "none") else None), unsaid
