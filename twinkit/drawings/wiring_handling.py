"""Tables of page 02 for hands: switching on and off, what every order does, a pack pulled in flight, restoring a red lead."""

from twinkit import units
from twinkit.circuit.power_up import CAUTIONS, MISHAPS
from twinkit.design.wiring_handling import reaches
from twinkit.drawings.base import Sheet
from twinkit.drawings.wiring_words import not_built, told

MODE = {"off": "off", "no signal": "beeps for a signal", "armed": "armed", "calibration": "learns the stick", "motor may run": "MOTOR RUNS"}
SHORT = {"transmitter on": "transmitter", "transmitter off": "transmitter off"}
HAND = {"left": "the left pack", "right": "the right pack", "shared": "the pack"}


def power_up_sheet(results):
    """The order of switching on and off that is safe, in words."""
    columns = ("step", "do", "because, and then")
    if not results.layout.buildable:
        return not_built("Switching on and off", columns, results)
    layout, rows = results.layout, []
    rows.append(("before", "propellers off, or the model held and everybody behind the propeller planes; throttle closed", "a motor may start at any moment from here on"))
    places = {}
    for reach in reaches(results.leads, results.geometry, results.power):
        places.setdefault(_hand(results, reach), []).append(HAND[reach.side])
    rows += [("hands", f"your hand at {' and at '.join(where)} is {words}", "once the receiver is awake the other motor may start while you plug in") for words, where in places.items()]
    for head, order in (("on", layout.power_up), ("off", layout.shut_down)):
        if order is None:
            rows.append((head, "no order is safe as it is wired", "mend what is marked stop first"))
            continue
        if head == "off":
            rows.append(("before", "throttle closed, throttle cut on", "your hand passes the propellers: come from behind"))
        for number, (words, state) in enumerate(zip(order.words(layout.wiring), order.states), 1):
            rows.append((f"{head} {number}", told(words), _then(head, words, state, order.states[number - 2] if number > 1 else None)))
    rows.append(("then", "every pack out; only now the propellers go on", "and with them on, all of it again from the top, the model held"))
    return Sheet("Switching on, and off after landing", columns, tuple(rows), note="What feeds the receiver goes in first and comes out last; the transmitter is on before it and off after it.")


def _hand(results, reach):
    """Where a hand goes, in words."""
    system = results.record.value("start.units")
    say = lambda metres: units.say(abs(metres), "length", system, 2)  # noqa: E731
    place = f"{say(reach.behind)} {'behind' if reach.behind >= 0 else 'AHEAD of'} the propeller planes"
    tips = f"{say(reach.clear)} clear of the propeller circle" if reach.clear > 0 else "within the propeller circle"
    way = "come from behind the wing" if reach.behind >= 0 else "reach along the middle of the fuselage while somebody holds the model"
    return f"{place}, {tips}: {way}, never across a propeller"


def _then(head, words, state, before):
    """What the step does."""
    said = [CAUTIONS[name] for name in state.cautions]
    if head == "on":
        if state.radio and not (before and before.radio):
            said.insert(0, "The receiver wakes and hears the transmitter.")
        armed = [c.part.replace("_", " ") for c in state.controllers if c.mode == "armed" and not (before and before.controller(c.part).mode == "armed")]
        if armed:
            said.append(f"Arming tones: {' and '.join(armed)}. {'This motor' if len(armed) == 1 else 'Both motors'} may now run.")
        return " ".join(said) or "Throttle closed, mixes at zero; nothing hears it yet."
    if "transmitter" in words:
        return " ".join(["Last of all.", *said])
    return " ".join([*said, "The receiver is still awake." if state.radio else "The receiver goes off with it; no motor has power any more."])


def your_order_sheet(results):
    """The builder's own order, step by step on the wiring as entered: what is alive after each."""
    layout, mine = results.layout, results.switching
    if not layout.buildable:
        return not_built("Your order, step by step", ("step", "what"), results)
    sides = [part.name.replace(" controller", "") for part in layout.wiring.of_kind("controller")]
    columns = ("you", "receiver", *(f"{side} controller" if side != "controller" else side for side in sides), "and that does")
    if mine.trouble:
        return Sheet("Your order, step by step", columns, (("", *[""] * len(sides), "", f"{mine.trouble[0][0].upper()}{mine.trouble[0][1:]}: enter the order for your layout again."),))
    rows, marks = [], []
    for what, order, left in (("on", mine.on_wired, mine.unsaid_on), ("off", mine.off_wired, mine.unsaid_off)):
        if order is None:
            rows.append((f"switching {what}", *[""] * (len(sides) + 1), f"Not said yet: {', '.join(left)}." if left else "Say the other order first."))
            marks.append("cannot tell")
            continue
        if what == "off":
            rows.append(("after landing, throttle closed", "awake", *(MODE["armed"] for _ in sides), ""))
            marks.append("")
        for words, state in zip(order.words(layout.wiring), order.states):
            rows.append((told(words), "awake" if state.linked else "awake, hears nothing" if state.radio else "off",
                         *(MODE[c.mode] + (", may run" if c.may_run and c.mode != "motor may run" else "") + (", fed backwards" if c.fed_backwards else "") for c in state.controllers),
                         " ".join([*(MISHAPS[name] for name in state.mishaps), *(CAUTIONS[name] for name in state.cautions)])))
            marks.append("stop" if state.mishaps else "good")
    throttle = "open" if results.record.value("wiring.on_throttle") == "open" else "closed"
    return Sheet(f"Your order, step by step, throttle {throttle}", columns, tuple(rows), tuple(marks),
                 note="Worked out on the wiring as you entered it." + (" It departs from the layout you chose." if layout.planted else ""))


def every_order_sheet(results):
    """Every order, gathered by what it does."""
    columns = ("orders", "verdict", "what they do")
    if not results.layout.buildable:
        return not_built("Every order", columns, results)
    layout, rows, marks = results.layout, [], []
    on, off = layout.orders
    for head, orders in (("on, throttle closed", [o for o in on if o.throttle == "low"]), ("off", off), ("on, throttle open", [o for o in on if o.throttle == "high"])):
        groups = {}
        for order in orders:
            groups.setdefault(order.mishaps, []).append(order)
        if head.endswith("open"):
            bad = sum(not order.safe for order in orders)
            rows.append((f"{head}: {'every one' if bad == len(orders) else f'{bad} of {len(orders)}'}", f"{bad} not safe", MISHAPS["calibration"]))
            marks.append("stop")
            continue
        for mishaps, some in sorted(groups.items(), key=lambda one: (len(one[0]), one[0])):
            rows.append((f"{head}: " + "; ".join(_short(layout.meant, order) for order in some), f"{len(some)} {'safe' if not mishaps else 'not safe'}",
                         " ".join(MISHAPS[name] for name in mishaps) or " ".join(CAUTIONS[name] for order in some[:1] for name in order.cautions)))
            marks.append("stop" if mishaps else "good")
    safe = sum(order.safe for order in (*on, *off))
    return Sheet(f"Every order: {safe} of {len(on) + len(off)} are safe in the layout you chose", columns, tuple(rows), tuple(marks),
                 note="Transmitter and packs in every order, throttle closed and open, both flight packs also at once; each run step by step on the graph.")


def _short(wiring, order):
    """An order in few words."""
    names = {part.id: part.name for part in wiring.parts}
    return " > ".join(" with ".join(names[event.pack] if event.pack else "transmitter" for event in step) for step in order.steps)


def pulled_sheet(results):
    """What a pack that comes out in flight leaves."""
    columns = ("comes out in flight", "receiver", "motors", "what to know")
    if not results.layout.buildable:
        return not_built("A pack pulled in flight", columns, results)
    layout, rows, marks = results.layout, [], []
    for pack, state in layout.pulled.items():
        run = [layout.wiring.part(c.part).name.replace(" controller", "") for c in state.controllers if c.mode == "motor may run"]
        loose = [layout.wiring.part(c.part).name for c in state.controllers if c.may_run and c.mode != "motor may run"]
        lost = not state.radio
        motors = "no control: depends on the failsafe" if lost and loose else "none" if not run else "both" if len(run) > 1 else "the controller's" if run == ["controller"] else f"{run[0]} only"
        rows.append((layout.wiring.part(pack).name, "LOST" if lost else "awake", motors, " ".join(MISHAPS[name] for name in state.mishaps) or (
            "One motor out: close the live throttle first, see page 06." if len(run) == 1 and len(state.controllers) > 1 else "Receiver and motors go dark at once: no control." if lost else "It glides under control." if not run else "")))
        marks.append("stop" if lost else "look again" if len(run) < 2 else "good")
    return Sheet("A pack that comes out in flight, throttle open", columns, tuple(rows), tuple(marks))


RESTORE = {
    "pin": ("Lift the sleeve off the pin, push the pin back into its housing until it clicks, pull at it.", "look for a bent tongue: a pin that does not click comes out in flight"),
    "extension": ("Take the marked extension out and plug the controller in directly.", "the extension stays marked and with the aeroplane, or somebody uses it for a servo"),
    "cut": ("Take the sleeves off both ends, solder them, new sleeve over the joint.", "no pack near; let it cool before you pull at it"),
}


def restore_sheet(results):
    """How an isolated red lead is brought back, and what is looked at before the controller is used alone again."""
    columns = ("step", "do", "mind")
    if not results.layout.buildable:
        return not_built("Bringing an isolated red lead back", columns, results)
    layout = results.layout
    out = [layout.wiring.part(one.pin.part).name for one in layout.facts.unused_reds if not layout.wiring.part(one.pin.part).opto]
    if not out:
        return Sheet("Bringing an isolated red lead back", columns, (("none", "no red lead is taken out in this layout", ""),))
    do, mind = RESTORE[results.settings.isolation if results.settings.known else "extension"]
    kinds = {f"{side} controller": kind for side, kind in zip(("left", "right"), layout.kinds)} | {"controller": layout.kinds[0]}
    rows = [("which", f"the red lead of the {' and of the '.join(out)}", "only when this controller leaves the twin, or the other supply is taken out for good"),
            ("before", "packs out, propeller off; the other red lead out and sleeved, or that controller out of the aeroplane", "exactly one 5 V source at any time"),
            ("bring it back", do, mind),
            ("meter", "its red to the receiver's plus: beep; its red to black: no beep; receiver plus to battery plus: no beep", "then the whole sheet for the layout it has now"),
            ("the regulator", ", ".join(f"{name}: {kinds[name]}" for name in out) + "; cells against its limit, servos against its current (table of supplies)", "it has carried nothing until now: feel it after five minutes of stirring"),
            ("the controller", "cell count, cut-off, brake, timing and stick ends set for the aeroplane it goes into", "it keeps what was set for the twin"),
            ("first power", "through a car lamp or a current limit, propeller off; then throttle cut and failsafe tried again", "a lamp that stays bright: out at once")]
    return Sheet("Bringing an isolated red lead back, and before the controller is used alone again", columns, tuple(rows))
