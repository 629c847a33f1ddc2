"""Pictures and tables of page 02."""

from twinkit import quantities, units
from twinkit.circuit.faults import NOTES
from twinkit.circuit.meter import NORMAL
from twinkit.circuit.parts import pin_words
from twinkit.circuit.power_up import CAUTIONS, MISHAPS
from twinkit.design.base import said_all
from twinkit.drawings import style
from twinkit.drawings.base import Picture, Sheet
from twinkit.drawings.wiring_picture import WiringPicture
from twinkit.quantities import SIDES

SOURCES = ("iec60028", "lm340_sheet", "sbva100", "nilsson_circuits", "mohan_power", "wiring_trade")
LEFT_RUNNING = {"both": "both motors", "left only": "left motor only", "right only": "right motor only", "no motor": "no motor, the radio works", "radio lost": "RADIO LOST"}
MUST_BE_YES = {"calibrated": "look again", "cut_set": "stop", "failsafe_set": "stop"}
GRAVEST_FIRST = ("radio lost", "no motor", "left only", "right only", "both")


class SharingPicture(Picture):
    """What both controllers' regulators would give if both red leads were in."""

    size = (7.0, 3.2)
    needs = ("wiring",)

    def build(self):
        ax = self.axes = style.axes(self.figure)
        self.lines = {side: ax.plot([], [], color=style.SIDE_COLOUR[side], ls=style.SIDE_LINE[side], lw=2.2, label=f"{side} regulator")[0] for side in SIDES}
        self.marks = {name: (ax.axvline(0.0, color=style.INK, lw=1.0, ls=":"), ax.text(0, 0, "", fontsize=8.5, rotation=90, va="top", ha="right", color=style.INK))
                      for name in ("average", "stall")}
        self.empty = ax.text(0.5, 0.5, "Only one controller has a regulator: there is nothing to share.", transform=ax.transAxes, ha="center")
        ax.set(xlabel="drawn by receiver and servos, A", ylabel="given by each regulator, A")
        self.legend = ax.legend(loc="lower right")

    def fill(self, results):
        bus, sharing, ax = results.wiring, results.wiring.sharing, self.axes
        here = sharing is not None
        for artist in (*self.lines.values(), self.legend, *(part for pair in self.marks.values() for part in pair)):
            artist.set_visible(here)
        self.empty.set_visible(not here)
        if not here:
            ax.set(xlim=(0, 1), ylim=(0, 1))
            return "Two regulators on one bus: not in this layout"
        top = 1.12 * max(sharing.left.max(), sharing.right.max())
        for side in SIDES:
            self.lines[side].set_data(sharing.load, getattr(sharing, side))
        for name, words, load in (("average", "on average ", bus.load_average), ("stall", f"{bus.stalled} stalled ", bus.load_stall)):
            line, text = self.marks[name]
            line.set_xdata([load, load])
            text.set(x=load, y=top, text=words)
        ax.set(xlim=(0, max(sharing.load[-1], 1.05 * bus.load_stall)), ylim=(0, top))
        return (f"Two regulators {units.say(sharing.apart, 'volts', significant=2)} apart do not share: one of them (here the {sharing.higher}) carries all up to "
                f"{units.say(sharing.onset, 'current', significant=2)}")


def _empty(title, columns, result):
    return Sheet(title, columns, (("not yet known", said_all(result.missing), *[""] * (len(columns) - 2)),))


def _not_built(title, columns, results):
    """The sheet when there is no wiring: what is missing, or why the layout cannot be built."""
    layout = results.layout
    if not layout.known:
        return _empty(title, columns, layout)
    return Sheet(title, columns, (("cannot be built", layout.why_not, *[""] * (len(columns) - 2)),))


def supply_sheet(results):
    """Every supply at hand as if it carried everything alone, and which one does."""
    bus, system = results.wiring, results.record.value("start.units")
    columns = ("supply, carrying all alone", "for good", "average", "heat", "chip", "receiver, servos stalled", "as wired")
    if not bus.known:
        return _empty("What can feed the receiver", columns, bus)
    rows = []
    for one in bus.supplies.values():
        heat = units.say(one.heat, "power", significant=2) if one.heat is not None else "none"
        chip = units.say(one.temperature, "temperature", system) if one.temperature is not None else "none"
        rows.append((f"{one.words} ({one.kind}, {units.say(one.set_volts, 'volts', significant=2)}, {units.say(one.rating, 'current', significant=2)})".removeprefix("the "),
                     units.say(one.allowed_current, "current", significant=2), units.say(bus.load_average, "current", significant=2), heat, chip,
                     units.say(one.receiver_volts_stall, "volts"), "feeds" if one.key in bus.feeding else "does not feed"))
    note = (f"{bus.servos} servos: {units.say(bus.load_rest, 'current', significant=2)} at rest, {units.say(bus.load_average, 'current', significant=2)} on average over a flight, {units.say(bus.load_moving, 'current', significant=2)} with all of them moving, "
            f"{units.say(bus.load_stall, 'current')} with {bus.stalled} stalled. Heat with a full pack, volts with the pack at its cut-off.")
    return Sheet("What can feed the receiver", columns, tuple(rows), note=note)


def failure_sheet(results):
    """Every single failure of the wiring as it is, gathered by what it leaves, gravest first."""
    columns = ("this is left", "when one of these fails", "and")
    if not results.layout.buildable:
        return _not_built("Single failures", columns, results)
    rows, groups = results.layout.failure_rows, {}
    for words, result in sorted(rows, key=lambda row: GRAVEST_FIRST.index(row[1].result)):
        groups.setdefault((LEFT_RUNNING[result.result], " ".join(NOTES[note] for note in result.notes)), []).append(words)
    lost = sum(result.result == "radio lost" for _, result in rows)
    return Sheet(f"Single failures as wired: {lost} of {len(rows)} lose the radio", columns, tuple((left, "; ".join(causes), notes) for (left, notes), causes in groups.items()),
                 note="Radio lost: the receiver is dead, both motors are cut and there is no control. Worked out from the wiring, not from a list. Dead and open mean that nothing passes; what is shorted or fails high says so.")


def meter_sheet(results):
    """The meter sheet of this layout, packs out: what each pair of pins must show, and what the wiring as entered shows instead."""
    columns = ("probes on", "with out", "must read", "yours", "another reading means")
    if not results.layout.buildable:
        return _not_built("Meter sheet", columns, results)
    lines = {}
    for line, reading in results.layout.meter:
        lines.setdefault((line.kind, line.a.part, line.b.part, line.pulled, line.expected, reading), []).append(line)
    rows, wrong = {}, 0
    for (_, _, _, pulled, expected, reading), group in lines.items():
        off = reading != expected
        wrong += off
        must = expected + (f": {group[0].normal}" if expected == "normal reading" and group[0].normal != NORMAL["supply"] else "")
        row = (_pairs(results.layout.meant, group), _plugs(pulled), must, (f"As entered it reads: {reading}. " if off else "") + group[0].reveals)
        mirror = (*(text.replace("left", "#").replace("right", "left").replace("#", "right") for text in row[:2]), *row[2:])
        if mirror in rows and mirror != row:
            rows[mirror] = True
        else:
            rows[row] = False
    title = f"Meter sheet: as entered {wrong} of {len(lines)} readings are wrong" if wrong else f"Meter sheet: {len(lines)} readings, packs out"
    return Sheet(title, columns, tuple((words + ("; then the same with left and right exchanged" if twice else ""), out, must, "left\u00a0____ right\u00a0____" if twice else "____", means)
                                       for (words, out, must, means), twice in rows.items()),
                 tuple("stop" if row[3].startswith("As entered") else "" for row in rows) if wrong else (),
                 note=f"Beep: under about 1 ohm. A normal reading through a regulator or a bridge is no beep: it {NORMAL['supply']}. Write yours into the empty column of the print.")


def _plugs(pulled):
    """The plugs to pull, in few words."""
    if len(pulled) == 2 and {"left", "right"} == {name.split()[0] for name in pulled} and len({name.split(" ", 1)[1] for name in pulled}) == 1:
        return f"both {pulled[0].split(' ', 1)[1].removesuffix('s')}s"
    return ", ".join(pulled)


def _pairs(wiring, lines):
    """The pins of some lines between the same two parts."""
    a, b = (wiring.part(pin.part).name.replace(", aeroplane's half", " (aeroplane's half)") for pin in (lines[0].a, lines[0].b))
    if len(lines) == 1 and a != b:
        return f"{a}, {pin_words(lines[0].a.name)} to {b}, {pin_words(lines[0].b.name)}"
    return f"{a}{'' if a == b else ' to ' + b}: " + "; ".join(f"{pin_words(line.a.name)} to {pin_words(line.b.name)}" for line in lines)


def power_up_sheet(results):
    """The order of switching on and off, in words."""
    columns = ("step", "do", "because, and then")
    if not results.layout.buildable:
        return _not_built("Switching on and off", columns, results)
    layout, rows = results.layout, []
    rows.append(("before", "propellers off, or the model held and everybody behind the propeller planes; throttle closed", "a motor may start at any moment from here on"))
    for head, order in (("on", layout.power_up), ("off", layout.shut_down)):
        if order is None:
            rows.append((head, "no order is safe as it is wired", "mend what is marked stop first"))
            continue
        if head == "off":
            rows.append(("before", "throttle closed, throttle cut on", "your hand passes the propellers: come from behind"))
        for number, (words, state) in enumerate(zip(order.words(layout.wiring), order.states), 1):
            rows.append((f"{head} {number}", words.replace("plug in: ", "plug in the ").replace("unplug: ", "unplug the "), _then(head, words, state, order.states[number - 2] if number > 1 else None)))
    return Sheet("Switching on, and off after landing", columns, tuple(rows), note="What feeds the receiver goes in first and comes out last; the transmitter is on before it and off after it.")


def _then(head, words, state, before):
    """What the step does."""
    said = [CAUTIONS[name] for name in state.cautions]
    if head == "on":
        if state.radio and not (before and before.radio):
            said.insert(0, "The receiver wakes and hears the transmitter.")
        armed = [c.part.replace("_", " ") for c in state.controllers if c.mode == "armed" and not (before and before.controller(c.part).mode == "armed")]
        if armed:
            said.append(f"Arming tones: {' and '.join(armed)}. This motor may now run." if len(armed) == 1 else f"Arming tones: {' and '.join(armed)}. Both motors may now run.")
        return " ".join(said) or "Throttle closed, mixes at zero; nothing hears it yet."
    if "transmitter" in words:
        return " ".join(["Last of all.", *said])
    return " ".join([*said, "The receiver is still awake." if state.radio else "The receiver goes off with it; no motor has power any more."])


def wrong_orders_sheet(results):
    """What each wrong order does."""
    columns = ("wrong order", "what it does")
    if not results.layout.buildable:
        return _not_built("Wrong orders", columns, results)
    rows = tuple((f"{one.what}, throttle {'open' if one.throttle == 'high' else 'closed'}: " + ", then ".join(step.replace("plug in: ", "plug in the ").replace("unplug: ", "unplug the ")
                                                                                                         for step in one.steps),
                  " ".join(MISHAPS[name] for name in one.mishaps)) for one in results.layout.wrong_orders)
    return Sheet("What the wrong orders do", columns, rows or (("none", "every order is safe in this layout"),), note="Every order of your layout has been tried on the graph; the shortest one of each kind is shown.")


def settings_sheet(results):
    """Both controllers' and both outputs' settings beside each other."""
    settings = results.settings
    columns = ("setting", "left", "right", "both sides")
    if not settings.known:
        return _empty("Settings", columns, settings)
    rows, marks = [], []
    for name in ("brake", "timing", "cut_off", "set_cells", "calibrated", "cut_set", "failsafe_set"):
        entry = quantities.quantity(f"wiring.{name}")
        left, right = (_shown(entry, value) for value in settings.values[name])
        single = len(settings.sides) == 1
        undone = name in MUST_BE_YES and not all(settings.values[name][: len(settings.sides)])
        rows.append((entry.label, left, "one controller" if single else right, "not done" if undone else "one controller" if single else "alike" if left == right else "unlike"))
        marks.append(MUST_BE_YES[name] if undone else "" if left == right or single else "look again")
    return Sheet("Settings of both sides", columns, tuple(rows), tuple(marks))


def _shown(entry, value):
    if entry.kind == "flag":
        return "yes" if value else "no"
    if entry.name == "set_cells":
        return f"{int(value)} cells" if value else "counts by itself"
    return units.say(value, "volts", significant=2) if entry.kind == "number" else entry.choices[value]


def rotation_sheet(results):
    """Which way each motor must turn for its propeller, and what to do."""
    settings = results.settings
    columns = ("motor", "propeller", "must turn", "turns", "do")
    if not settings.known:
        return _empty("Rotation, seen from the cockpit", columns, settings)
    rows = []
    for side, hand, need, have in zip(SIDES, settings.hands, settings.needed_turns, settings.values["turns"]):
        rows.append((side, hand, need, have, "leave its wires" if need == have else "swap any two of its three wires"))
    return Sheet("Rotation, seen from the cockpit", columns, tuple(rows), note="Swapping any two of the three wires reverses a motor; moving all three round by one does not.")


def numbers(results):
    """The numbers of this step as text."""
    bus, system = results.wiring, results.record.value("start.units")
    fed = bus.known and bus.fed
    worst = results.layout.single_points
    return {
        "feeds the receiver as wired": " and ".join(bus.supplies[key].words for key in bus.feeding) if fed else "nothing" if bus.known else "not known",
        "drawn on average": units.say(bus.load_average, "current", significant=2),
        "drawn with two servos stalled": units.say(bus.load_stall, "current"),
        "receiver volts, servos stalled, pack at its cut-off": units.say(bus.receiver_volts_stall, "volts"),
        "regulator heat on average": units.say(bus.heat, "power", significant=2),
        "regulator chip temperature": units.say(bus.temperature, "temperature", system),
        "regulator current allowed for good": units.say(bus.allowed_current, "current", significant=2),
        "single failures that lose the radio or both motors": str(len(worst)) if worst is not None else "not known",
    }


PICTURES = {"wiring": WiringPicture, "sharing": SharingPicture}
SHEETS = {"supply": supply_sheet, "failures": failure_sheet, "meter": meter_sheet, "power_up": power_up_sheet, "wrong_orders": wrong_orders_sheet,
          "settings": settings_sheet, "rotation": rotation_sheet}
