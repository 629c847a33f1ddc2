"""Checks of page 02 on what hands and eyes do: the meter, the order of switching, the transmitter, the antenna."""

from twinkit import units
from twinkit.checks.base import Advice, Check
from twinkit.checks.wiring import BROKEN, OfTheWiring, capital, joined
from twinkit.circuit.power_up import MISHAPS
from twinkit.quantities.wiring import OUTPUTS

CHANNELS = ({"channel": 3, "drives": "left_throttle", "direction": "normal"}, {"channel": 6, "drives": "right_throttle", "direction": "normal"})


class MeterSheet(OfTheWiring):
    code = "R24"
    title = "The meter sheet"
    why = "The meter finds the swapped plug, the bare stub and the screw in the winding before the pack does."
    needs = ("layout", "metering")
    examples = {"good": {"wiring.rest_right": True}, "not": {"wiring.rest_right": True, "wiring.readings": [
        {"line": "left motor, wire 1 to left motor, mount", "shows": "beep"}]}, "cannot tell": {"wiring.rest_right": None, "wiring.readings": []}}

    def judge(self, results, layout):
        sheet = results.metering
        read = len(sheet.lines) - len(sheet.unread)
        if sheet.wrong:
            worst, more = sheet.wrong[0], len(sheet.wrong) - 1
            and_more = f" And {more} more." if more else ""
            return self.say("stop", f"Line {worst.number}, {worst.words}: it must read {worst.line.expected}, yours read {worst.shows}. {worst.line.reveals}{and_more}", len(sheet.wrong), 0,
                            Advice("Mend it, measure that line again and write down what it shows then."), results)
        if sheet.unread:
            head = "No line of the meter sheet has been read." if not read else f"{read} of {len(sheet.lines)} lines of the meter sheet are read and right; next comes line {sheet.unread[0].number}."
            return self.say("cannot tell", f"{head} No pack goes in before the last one.", results=results)
        by = f", metered by {sheet.by}" if sheet.by else ""
        strange = f" {len(sheet.strange)} lines read belong to another layout: read them again." if sheet.strange else ""
        return self.say("good", f"All {len(sheet.lines)} lines of the meter sheet read as they must{by}.{strange}", results=results)

    def where(self, results):
        return tuple(pin for one in results.metering.wrong for pin in (one.line.a, one.line.b))


class YourOrder(Check):
    step = "wiring"
    code = "R25"
    title = "Your order of switching on and off"
    why = "What feeds the receiver goes in first and comes out last; the other way round a live motor hangs on a dying receiver."
    source = "wiring_trade"
    needs = ("layout", "switching")
    examples = {"good": {}, "not": {"wiring.off_first": "right_pack", "wiring.off_second": "left_pack"}, "cannot tell": {"wiring.on_first": None}}

    def look(self, results):
        mine, layout = results.switching, results.layout
        if not layout.buildable:
            return self.say("cannot tell", BROKEN, results=results)
        if mine.trouble:
            return self.say("cannot tell", f"{capital(mine.trouble[0])}: enter the order for your layout again.", results=results)
        lacks = [f"{joined(left)} in switching {what}" for what, left in (("on", mine.unsaid_on), ("off", mine.unsaid_off)) if left]
        if lacks:
            return self.say("cannot tell", f"Say in which order you do it; not said yet: {joined(lacks)}.", results=results)
        bad = [(what, order) for what, order in (("Switching on", mine.on), ("After landing", mine.off)) if not order.safe]
        if not bad:
            return self.say("good", f"Your order is safe: {', then '.join(self.words(layout, mine.on))}; after landing {', then '.join(self.words(layout, mine.off))}.", results=results)
        what, order = bad[0]
        number = next(n for n, state in enumerate(order.states) if state.mishaps)
        words = f"{what}, step {number + 1} ({self.words(layout, order)[number]}): {' '.join(MISHAPS[name] for name in order.states[number].mishaps)}"
        return self.say("stop", words, results=results, advice=self.right(layout))

    @staticmethod
    def words(layout, order):
        return tuple(words.replace("plug in: ", "plug in the ").replace("unplug: ", "unplug the ") for words in order.words(layout.meant))

    def right(self, layout):
        """The safe order of this layout."""
        on, off = (next((one for one in orders if one.safe and all(len(step) == 1 for step in one.steps)), None) for orders in layout.orders)
        if on is None or off is None:
            return Advice("No order is safe in this layout: feed the receiver otherwise (page 01).")
        key = lambda step: step[0].pack or "transmitter"  # noqa: E731
        nth = ("first", "second", "third", "fourth")
        changes = {f"wiring.{what}_{nth[n]}": key(step) for what, order in (("on", on), ("off", off)) for n, step in enumerate(order.steps)}
        return Advice(f"Do it so: {', then '.join(self.words(layout, on))}; after landing {', then '.join(self.words(layout, off))}; throttle closed.", {**changes, "wiring.on_throttle": "closed"})


class OfTheRadio(Check):
    """A check on what the transmitter and the antenna show."""

    step = "wiring"
    source = "common_practice"
    needs = ("radio",)


class Channels(OfTheRadio):
    code = "R26"
    title = "Throttle channels"
    why = "A throttle that runs reversed is wide open at closed stick; a channel nobody has looked at may be the old aeroplane's."
    examples = {"good": {"wiring.channels": list(CHANNELS)}, "not": {"wiring.channels": [CHANNELS[0], {**CHANNELS[1], "direction": "reversed"}]}, "cannot tell": {"wiring.channels": []}}

    def look(self, results):
        if not results.layout.buildable:
            return self.say("cannot tell", BROKEN, results=results)
        radio = results.radio
        numbers = [one.channel for one in radio.channels if one.channel is not None]
        twice = sorted({n for n in numbers if numbers.count(n) > 1})
        if twice:
            return self.say("look again", f"Channel {twice[0]} stands in two rows: one receiver output drives one thing.", results=results, advice=Advice("Look at the receiver and mend the row."))
        rows = [(name, radio.of(name)) for name in radio.throttles]
        unseen = [OUTPUTS[name] for name, found in rows if len(found) != 1 or found[0].channel is None or found[0].direction is None]
        if unseen:
            return self.say("cannot tell", f"Not seen in the transmitter yet: channel and direction of {joined(unseen)}.", results=results)
        ways = {found[0].direction for _, found in rows}
        said = "; ".join(f"{OUTPUTS[name]} on channel {found[0].channel}, {found[0].direction}" for name, found in rows)
        if len(ways) > 1:
            return self.say("stop", f"The two throttles run opposite ways: {said}. At closed stick one of them may be wide open.", results=results,
                            advice=Advice("Propellers off: set both alike, then teach both controllers the ends of the stick again."))
        return self.say("good", f"{capital(said)}.", results=results)


class AntennaClear(OfTheRadio):
    code = "R27"
    title = "Antenna clear of carbon and power leads"
    why = "Carbon shades the antenna and power leads disturb it, most at full throttle, when the aeroplane is far away."
    limit = "limits.antenna_clear"
    examples = {"good": {}, "not": {"wiring.antenna_carbon": "5 mm"}, "cannot tell": {"wiring.antenna_carbon": None}}

    def look(self, results):
        radio, bound, system = results.radio, self.bound(results), results.record.value("start.units")
        places = (("carbon", radio.antenna_carbon, "antenna_carbon"), ("a power lead", radio.antenna_power, "antenna_power"))
        close = [(what, apart, name) for what, apart, name in places if apart is not None and apart < bound]
        say = lambda metres: units.say(metres, "length", system, 2)  # noqa: E731
        if close:
            what, apart, _ = min(close, key=lambda one: one[1])
            tried = " The range check with both motors at half and full was passed." if radio.range_tried else " The range with both motors at half and at full has not been tried (page 07)."
            return self.say("look again" if radio.range_tried else "stop", f"The antenna lies {say(apart)} from {what}; you want {say(bound)} at least.{tried}", apart, bound,
                            Advice("Lay its last part straight and away, across the aeroplane rather than along the spar; then the range check with both motors at half and full.",
                                   {f"wiring.{name}": bound for _, _, name in close}), results)
        unseen = [what for what, apart, _ in places if apart is None]
        if unseen:
            return self.say("cannot tell", f"Nobody has measured how far the antenna lies from {joined(unseen)}.", results=results)
        nearest = min(apart for _, apart, _ in places)
        return self.say("good", f"The antenna lies {say(nearest)} or more from carbon and power leads{f': {radio.antenna}' if radio.antenna else ''}.", nearest, bound, results=results)
