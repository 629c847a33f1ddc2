"""Checks of page 02 on what may be joined to what: signals, grounds, polarity, packs (rules R04 to R09, R28)."""

from twinkit.checks.base import Advice
from twinkit.checks.wiring import OfTheWiring, capital, joined, of_sides, side_of

POLES = {"battery +", "minus", "5 V"}
BEFORE = ("pack", "receiver_pack", "controller", "regulator", "receiver", "diode")     # whose pins are named first
COMES_OF_IT = {
    frozenset(("battery +", "minus")): "The pack is shorted, or something gets its volts the wrong way round and bursts, in the moment the plug goes in.",
    frozenset(("battery +", "5 V")): "The receiver and every servo get the volts of the flight pack and burn.",
    frozenset(("5 V", "minus")): "The 5 V is shorted or reversed: receiver, servos or regulator burn.",
}


def named(wiring, net, level):
    """The pin of a level in a net that tells a builder most, in words."""
    pins = [pin for pin in net.pins if wiring.level(pin) == level]
    kinds = {part.id: part.kind for part in wiring.parts}
    return wiring.words(min(pins, key=lambda pin: (BEFORE.index(kinds[pin.part]) if kinds[pin.part] in BEFORE else len(BEFORE), pin)))


def taken(results, name):
    """What a sentence adds while an entry of page 02 is assumed and the meter sheet does not stand for it; else ''."""
    assumed = any(path.startswith("wiring.") and path.endswith(f".{name}") for path in results.layout.assumed)
    metered = results.metering.known and results.metering.lines and not results.metering.unread
    return ", as page 02 assumes until you have looked" if assumed and not metered else ""


class ThrottleSignal(OfTheWiring):
    code = "R04"
    title = "Signal of each controller"
    why = "Each controller follows one throttle output of the receiver; two outputs joined drive against each other."
    examples = {"good": {}, "not": {"wiring.mistake": "crossed_signals"}, "cannot tell": {"power.left.cells": None}}

    def judge(self, results, layout):
        wiring, found = layout.wiring, layout.facts
        if found.joined_outputs:
            return self.say("stop", "Two receiver outputs are joined: they drive against each other, and both controllers hear nonsense.", results=results,
                            advice=Advice("Take out what joins them; a Y-lead goes into one output only."))
        for links, words, advice in (
                ([link for link in found.signals if not link.outputs], "The signal lead of the {} reaches no receiver output: no signal, no arming.",
                 "Look at the plug of the {}: is it the right way up, does each lead sit in its place, does the meter beep through the signal lead?"),
                ([link for link in found.signals if len(link.outputs) > 1], "More than one receiver output is on the signal lead of the {}.", "Leave one output on the {}."),
                ([link for link in found.signals if not link.is_throttle], "The {} is plugged into an output that is no throttle: its motor follows another stick.", "Move the plug of the {} to its throttle output."),
                ([link for link in found.signals if link.other_side], "The throttle plugs are exchanged: the {} follows the other side's output, so trim and thrust steering work the wrong way round.",
                 "Exchange the two plugs at the receiver. On the {}, look which motor moves."),
                ([link for link in found.signals if not self.clean(layout, link)], "The signal lead of the {} meets another lead.", "Look for crossed leads in the plug of the {}.")):
            if links:
                who = of_sides(wiring, [link.controller for link in links], "controller")
                return self.say("stop", words.format(who), results=results, advice=Advice(advice.format(who)))
        how = "one output by the Y-lead" if layout.layout.throttle == "y_lead" else "a throttle output of its own" if layout.layout.controllers == "two" else "its throttle output"
        return self.say("good", f"Each controller hears {how}." if layout.layout.controllers == "two" else f"The controller hears {how}.", results=results)

    @staticmethod
    def clean(layout, link):
        pin = layout.wiring.part(link.controller).pin("S")
        return not any(pin in net.pins for net in layout.facts.mixed_nets)

    def where(self, results):
        layout = results.layout
        if layout.facts.joined_outputs:
            return layout.facts.joined_outputs[0]
        return tuple(layout.wiring.part(link.controller).pin("S") for link in layout.facts.signals
                     if len(link.outputs) != 1 or not link.is_throttle or link.other_side or not self.clean(layout, link))


class Grounds(OfTheWiring):
    code = "R05"
    title = "Black leads"
    why = "The black lead is the return of the signal and of the 5 V; without it a controller hears nothing, or only as long as another way happens to exist."
    examples = {"good": {}, "not": {"wiring.left.ground_kept": False}, "cannot tell": {"power.left.cells": None}}

    def judge(self, results, layout):
        lost, part = self.lost(layout), layout.wiring.part
        if not lost:
            return self.say("good", f"Each throttle plug has its black lead through to the receiver{taken(results, 'ground_kept')}.", results=results)
        plugs = [one.part for one in lost if part(one.part).kind == "controller"]
        who = joined([*([of_sides(layout.wiring, plugs, "throttle plug")] if plugs else []), *(f"{part(one.part).name}'s plug" for one in lost if one.part not in plugs)])
        sides = [side_of(layout.wiring, one) for one in plugs]
        sneaks = all(one.by_any_way for one in lost)
        deaf = ["its controller hears no pulses"] if any(not one.by_any_way for one in lost if one.part in plugs) else []
        dry = ["the receiver gets no supply"] if set(sides) & set(layout.sources) or len(plugs) < len(lost) else []
        rest = "the current returns by a way through other leads, until that opens too." if sneaks else " and ".join(deaf + dry) + "."
        return self.say("look again" if sneaks else "stop", f"The black lead of the {who} is not connected: {rest}", results=results,
                        advice=Advice(f"Put the black lead of the {who} back; only a red one is ever taken out.", {f"wiring.{side}.ground_kept": True for side in sides}))

    @staticmethod
    def lost(layout):
        return [one for one in layout.facts.grounds if not one.by_wire and not layout.wiring.part(one.part).opto]

    def where(self, results):
        part = results.layout.wiring.part
        return tuple(part(one.part).pin({"controller": "SG", "regulator": "out-", "receiver_pack": "-"}[part(one.part).kind]) for one in self.lost(results.layout))


class OptoInput(OfTheWiring):
    code = "R06"
    title = "Opto-isolated controllers"
    why = "An opto-isolated controller has no regulator: its red lead is an input that wants 5 V from the receiver, and its black lead the return of the signal."
    examples = {"good": {}, "not": {"wiring.left.regulator_kind": "none", "wiring.left.red_lead": "isolated"}, "cannot tell": {"power.left.cells": None}}

    def judge(self, results, layout):
        found = layout.facts.opto
        if not found:
            return self.say("good", "No controller is opto-isolated.", results=results)
        apart = [one.controller for one in found if not one.ground_joined]
        if apart:
            who = of_sides(layout.wiring, apart, "controller")
            return self.say("stop", f"The black lead of the opto-isolated {who} does not reach the receiver: no signal.", results=results,
                            advice=Advice(f"Put the black lead of the {who} back.", {f"wiring.{side_of(layout.wiring, part)}.ground_kept": True for part in apart}))
        if not layout.sources:
            return self.say("stop", "Opto-isolated controllers give no 5 V, and nothing else feeds the receiver: their signal side is dead as well.", results=results,
                            advice=Advice("Give the receiver a regulator or a pack of its own, with its red and black lead in."))
        dry = [one.controller for one in found if not one.red_fed]
        if not dry:
            return self.say("good", "Each opto-isolated controller gets 5 V from the receiver on its red lead.", results=results)
        who = of_sides(layout.wiring, dry, "controller")
        return self.say("look again", f"The red lead of the {who} is out, but that controller is opto-isolated: most want 5 V there for their signal side.", results=results,
                        advice=Advice("Connect it, unless the controller's leaflet says that it has no red lead.", {f"wiring.{side_of(layout.wiring, part)}.red_lead": "connected" for part in dry}))

    def where(self, results):
        part, found = results.layout.wiring.part, results.layout.facts
        apart = tuple(part(one.controller).pin("SG") for one in found.opto if not one.ground_joined)
        return apart or tuple(part(one.controller).pin("V5") for one in found.opto if not one.red_fed)


class Polarity(OfTheWiring):
    code = "R07"
    title = "Plus to plus, minus to minus"
    why = "A swapped plug destroys the controller in the moment it goes in; the meter finds it before the pack does."
    examples = {"good": {}, "not": {"wiring.right.pack_polarity": "swapped"}, "cannot tell": {"power.left.cells": None}}

    def judge(self, results, layout):
        nets = self.nets(layout)
        if not nets:
            return self.say("good", f"No plus meets a minus anywhere in this wiring, and no pack meets the 5 V{taken(results, 'pack_polarity')}.", results=results)
        if layout.swapped:
            return self.say("stop", f"The {joined(layout.swapped)} pack plug is swapped: plus and minus of the pack meet where they must not, and the controller and its capacitor "
                            "burst when it goes in.", results=results,
                            advice=Advice("Solder the plug again, one lead at a time, and take the meter to it before any pack.", {f"wiring.{side}.pack_polarity": "right" for side in layout.swapped}))
        net = min(nets, key=lambda one: "battery +" not in one.levels)
        high, low = [level for level in ("battery +", "5 V", "minus") if level in net.levels][:2]
        return self.say("stop", f"{capital(named(layout.wiring, net, high))}, is joined to {named(layout.wiring, net, low)}. {COMES_OF_IT[frozenset((high, low))]}", results=results,
                        advice=Advice("No pack goes in. Follow both leads with the meter and solder again, one lead at a time."))

    @staticmethod
    def nets(layout):
        return [net for net in layout.facts.mixed_nets if len(POLES & set(net.levels)) > 1]

    def where(self, results):
        wiring = results.layout.wiring
        pins = [pin for net in self.nets(results.layout) for pin in net.pins if wiring.level(pin) in POLES]
        sockets = tuple(pin for pin in pins if wiring.part(pin.part).kind == "socket")
        return sockets or tuple(pins)[:2]


class PacksJoined(OfTheWiring):
    code = "R08"
    title = "Packs joined only on purpose"
    why = "Two packs whose positives meet push current into each other the moment they differ; a common plug, sensor or balance lead is enough."
    examples = {"good": {}, "not": {"wiring.mistake": "packs_joined"}, "cannot tell": {"power.left.cells": None}}

    def judge(self, results, layout):
        groups = layout.facts.joined_packs
        if not groups:
            return self.say("good", "No two packs meet." if layout.layout.packs == "two" else "There is one pack.", results=results)
        if not all(group.declared for group in groups):
            return self.say("stop", "The positives of both packs meet, though you chose separate packs: the fuller one pours itself into the other through whatever joins them.", results=results,
                            advice=Advice("Look for a common arming plug, a voltage sensor or shunt on both, joined balance leads, or two feeds on one regulator, and take it out."))
        cells = set(layout.cells.values())
        if len(cells) > 1:
            most = max(cells)
            return self.say("stop", f"Packs of {joined(str(n) for n in layout.cells.values())} cells are joined: one burns the other.", results=results,
                            advice=Advice(f"Use two packs of {most} cells.", {f"power.{side}.cells": most for side in layout.cells}))
        return self.say("good", "Both packs are joined on purpose and have the same cells. Page 04 says whether they are alike enough; measure both before each joining.", results=results)

    def where(self, results):
        wiring = results.layout.wiring
        return tuple(wiring.part(pack).pin("+") for group in results.layout.facts.joined_packs for pack in group.packs)


class PacksInSeries(OfTheWiring):
    code = "R09"
    title = "No pack behind another"
    why = "The minus of one pack on the plus of the other doubles the volts, or shorts a pack through the grounds."
    examples = {"good": {}, "not": {"wiring.mistake": "packs_in_series"}, "cannot tell": {"power.left.cells": None}}

    def judge(self, results, layout):
        links = [link for link in layout.facts.series_links if not link.declared]
        if not links:
            return self.say("good", "No minus of a pack is on the plus of another.", results=results)
        one, part = links[0], layout.wiring.part
        return self.say("stop", f"The minus of the {part(one.negative_of).name} is joined to the plus of the {part(one.positive_of).name}.", results=results,
                        advice=Advice("Take that lead out: each pack feeds its own side, minus to minus only by the servo grounds."))

    def where(self, results):
        return tuple(results.layout.wiring.part(link.positive_of).pin("+") for link in results.layout.facts.series_links if not link.declared)


class Powered(OfTheWiring):
    code = "R28"
    title = "Plus and minus to every controller and regulator"
    why = "A controller whose own minus is open sends the motor's current home through the thin servo leads, and they burn."
    examples = {"good": {}, "not": {"wiring.mistake": "open_power_negative"}, "cannot tell": {"power.left.cells": None}}

    def judge(self, results, layout):
        pins = layout.facts.unpowered
        if not pins:
            return self.say("good", "Every controller and regulator has the plus and the minus of a pack.", results=results)
        if Polarity.nets(layout):
            return self.say("cannot tell", "Plus and minus are mixed up somewhere: mend that first.", results=results)
        poles = {part: " and ".join("plus" if pin.name in ("B+", "in+") else "minus" for pin in pins if pin.part == part) for part in dict.fromkeys(pin.part for pin in pins)}
        words = joined(f"the {which} of the {layout.wiring.part(part).name}" for part, which in poles.items())
        burns = " The motor's current comes home by the servo grounds and burns them." if any(pin.name == "B-" for pin in pins) and layout.layout.packs != "two" else ""
        return self.say("stop", f"No pack reaches {words}.{burns}", results=results, advice=Advice("Find the open joint with the meter and solder it again."))

    def where(self, results):
        return results.layout.facts.unpowered
