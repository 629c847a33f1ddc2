"""Checks of page 02 on the wiring as a graph: the layout, and what feeds the receiver (rules R00 to R03, R19)."""

from dataclasses import fields, replace

from twinkit import quantities, units
from twinkit.checks.base import Advice, Check
from twinkit.circuit import layouts
from twinkit.design.supply import NAMES
from twinkit.quantities import SIDES

BROKEN = "The layout you chose cannot be built, so there is no wiring to look at."


def joined(words):
    """Words as a list in a sentence."""
    words = list(words)
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]


def capital(words):
    """A sentence with a large first letter."""
    return words[0].upper() + words[1:]


def side_of(wiring, part):
    """The side a part of the wiring is called by in the record: one controller for both motors counts as the left one."""
    return wiring.part(part).side.replace("centre", "left")


def of_sides(wiring, parts, what):
    """Some parts of both sides in words: "left and right controller", or "controller" where there is one for both."""
    sides = [wiring.part(part).side for part in parts]
    return what if "centre" in sides else f"{joined(sides)} {what}"


def as_meant(source, opto=(False, False), controllers="two"):
    """The entries of the red leads that fit a source: connected where a regulator (or an opto-isolated input) needs it, insulated elsewhere."""
    feeding = {"left_bec": ("left",), "right_bec": ("right",), "both": SIDES, "both_diodes": SIDES}.get(source, ())
    sides = ("left",) if controllers == "one" else SIDES
    return {f"wiring.{side}.red_lead": "connected" if side in feeding or isolated else "isolated" for side, isolated in zip(SIDES, opto) if side in sides}


def fed_by(results, key):
    """The changes that let another supply of the layout feed the receiver alone."""
    source = {"left": "left_bec", "right": "right_bec", "own": "stand_alone", "receiver_pack": "receiver_pack"}[key]
    chosen = results.layout.layout
    return {"power.source": source, **as_meant(source, chosen.opto, chosen.controllers)}


class OfTheWiring(Check):
    """A check on the graph. judge(results, layout) is asked only when there is a wiring; where(results) names the pins a picture points at."""

    step = "wiring"
    source = "wiring_trade"
    needs = ("layout",)

    def look(self, results):
        if not results.layout.buildable:
            return self.say("cannot tell", BROKEN, results=results)
        found = self.judge(results, results.layout)
        if found.advice and results.record.value("wiring.mistake") not in (None, "none"):
            return replace(found, advice=Advice(found.advice.sentence, {**found.advice.changes, "wiring.mistake": "none"}))
        return found

    def where(self, results):
        """Pins of the trouble, for the picture."""
        return ()

    def unsaid(self, results):
        """Nobody has said how the red leads are."""
        sides = joined(path.split(".")[1] for path in results.layout.unsaid)
        return self.say("cannot tell", f"Say how the red lead of the {sides} throttle plug is: only you can see it.", results=results)


class CanBeBuilt(Check):
    code = "R00"
    title = "The layout you chose"
    why = "Some choices exclude each other; a layout that cannot be built has no wiring to check."
    source = "wiring_trade"
    needs = ("layout",)
    examples = {"good": {}, "not": {"power.source": "left_bec", "wiring.left.regulator_kind": "none"}, "cannot tell": {"power.left.cells": None}}

    def look(self, results):
        layout = results.layout
        if not layout.why_not:
            return self.say("good", layout.layout.words(), results=results)
        near = self.nearest(layout.layout)
        changes = {f"power.{name}": getattr(near, name) for name in ("packs", "controllers", "source", "throttle") if getattr(near, name) != getattr(layout.layout, name)}
        if near.source == "stand_alone" and near.packs == "two":
            changes["power.stand_alone_feed"] = near.stand_alone_feed
        changes |= as_meant(near.source, near.opto, near.controllers) if near.source != layout.layout.source else {}
        return self.say("stop", layout.why_not, advice=Advice(f"The nearest layout that can be built: {near.words()}", changes), results=results)

    @staticmethod
    def nearest(chosen):
        """The layout that can be built and differs least, with the regulators that there are."""
        possible = [one for one in layouts.buildable() if one.opto == chosen.opto and one.throttle != "one_channel"]
        return min(possible, key=lambda one: sum(getattr(one, f.name) != getattr(chosen, f.name) for f in fields(one)))


class OneSource(OfTheWiring):
    code = "R01"
    title = "Not two sources on one 5 V rail"
    why = "Two regulators joined straight do not share: one carries everything until it trips, and a live one feeds backwards into a dead one."
    examples = {"good": {}, "not": {"wiring.left.red_lead": "connected"}, "cannot tell": {"wiring.left.red_lead": None}}

    def judge(self, results, layout):
        feed = layout.facts.receiver_feed
        if feed.fight and not feed.declared:
            return self.fight(results, layout)
        if layout.unsaid:
            return self.unsaid(results)
        if len(feed.sources) > 1:
            return self.say("good", f"{len(feed.sources)} regulators feed the receiver, each through a diode that lets nothing back.", results=results)
        return self.say("good", "No two sources meet on the receiver's 5 V rail.", results=results)

    def fight(self, results, layout):
        words = f"{capital(joined(NAMES[key] for key in layout.sources))} all feed the receiver." if len(layout.sources) > 2 else \
            f"{capital(joined(NAMES[key] for key in layout.sources))} both feed the receiver."
        sharing = results.wiring.sharing
        if sharing and set(layout.sources) == set(SIDES):
            words += (f" Regulators differ by up to {units.say(sharing.apart, 'volts', significant=2)}: the higher one carries everything up to "
                      f"{units.say(sharing.onset, 'current', significant=2)}, and with one pack out the live one feeds the dead controller backwards.")
        else:
            words += " The higher one carries everything and can push current back into the other."
        kept = layout.layout.source
        keys = self.best(results) if kept in ("both", "both_diodes") else layout.meant_sources[0]
        changes = fed_by(results, keys)
        out = joined(side for side in layout.sides if changes.get(f"wiring.{side}.red_lead") == "isolated")
        return self.say("stop", words, len(layout.sources), 1, Advice(f"Take the red lead of the {out} throttle plug out and sleeve it; {NAMES[keys]} feeds the receiver.", changes), results)

    @staticmethod
    def best(results):
        """The controllers' regulator that may give most for good."""
        return max((s for s in results.wiring.supplies.values() if s.key in SIDES), key=lambda s: s.allowed_current).key

    def where(self, results):
        return tuple(source.pin for source in results.layout.facts.receiver_feed.sources)


class AnySource(OfTheWiring):
    code = "R02"
    title = "A 5 V source for the receiver"
    why = "Without its 5 V the receiver, every servo and both throttles are dead."
    examples = {"good": {}, "not": {"wiring.right.red_lead": "isolated"}, "cannot tell": {"wiring.right.red_lead": None}}

    def judge(self, results, layout):
        if layout.sources and layout.unsaid:
            return self.unsaid(results)
        if layout.sources:
            return self.say("good", f"The receiver is fed by {joined(NAMES[key] for key in layout.sources)}.", results=results)
        meant = layout.meant_sources
        return self.say("stop", f"Nothing feeds the receiver: you meant {joined(NAMES[key] for key in meant)}, and its red lead does not reach.", 0, 1,
                        Advice(f"Put the red lead of the {joined(meant)} throttle plug back; the other stays out and sleeved." if set(meant) <= set(SIDES) else
                               f"Look for the red lead of {joined(NAMES[key] for key in meant)} with the meter and put it back.", fed_by(results, meant[0])), results)

    def where(self, results):
        return (results.layout.wiring.receiver.pin("battery.V"), *(pin.pin for pin in results.layout.facts.unused_reds if not results.layout.wiring.part(pin.pin.part).opto))


class BareStub(OfTheWiring):
    code = "R03"
    title = "Red leads that are taken out"
    why = "The end of a red lead that feeds nothing still carries 5 V as soon as its pack is in; bare, it finds carbon, a spar or another plug."
    examples = {"good": {}, "not": {"wiring.left.red_lead": "bare"}, "cannot tell": {"wiring.left.red_lead": None}}

    def judge(self, results, layout):
        bare = self.where(results)
        if bare:
            sides = [side_of(layout.wiring, pin.part) for pin in bare]
            return self.say("stop", f"The red lead of the {joined(sides)} throttle plug is cut and bare: its end carries 5 V as soon as the pack is in.", results=results,
                            advice=Advice("Sleeve it with shrink tube over its end, or lift its pin out of the plug and sleeve that.",
                                          {f"wiring.{side}.red_lead": "isolated" for side in sides}))
        if layout.unsaid:
            return self.unsaid(results)
        out = [side_of(layout.wiring, one.pin.part) for one in layout.facts.unused_reds]
        if not out:
            return self.say("good", "No red lead is taken out in this layout.", results=results)
        how = quantities.quantity("wiring.isolation").choices[results.record.value("wiring.isolation")]
        return self.say("good", f"The red lead of the {joined(out)} throttle plug feeds nothing and is insulated: {how}.", results=results)

    def where(self, results):
        wiring = results.layout.wiring
        return tuple(one.pin for one in results.layout.facts.unused_reds if not one.insulated and not wiring.part(one.pin.part).opto)


class SourceAsMeant(OfTheWiring):
    code = "R19"
    title = "Fed by what you meant"
    why = "The order of plugging in, the heat and the flight time are worked out for the source you chose."
    examples = {"good": {}, "not": {"wiring.left.red_lead": "connected", "wiring.right.red_lead": "isolated"}, "cannot tell": {"wiring.right.red_lead": None}}

    def judge(self, results, layout):
        meant, real = layout.meant_sources, layout.sources
        if layout.unsaid or not real or layout.facts.receiver_feed.fight:
            return self.say("cannot tell", "What feeds the receiver is not settled yet: see the other findings on red leads first.", results=results)
        if set(meant) == set(real):
            return self.say("good", f"You meant {joined(NAMES[key] for key in meant)} to feed the receiver, and it does.", results=results)
        changes = as_meant(layout.layout.source, layout.layout.opto, layout.layout.controllers)
        return self.say("stop", f"You meant {joined(NAMES[key] for key in meant)} to feed the receiver; as wired {joined(NAMES[key] for key in real)} does.", results=results,
                        advice=Advice("Change the red leads: " + joined(f"{path.split('.')[1]} {'in' if word == 'connected' else 'out and sleeved'}" for path, word in changes.items())
                                      + ". Or change who is meant on page 01.", changes))

    def where(self, results):
        return tuple(source.pin for source in results.layout.facts.receiver_feed.sources)
