"""Tables of page 02 on what is set: controllers side by side, rotation, throttle end points, the transmitter."""

from twinkit import quantities, units
from twinkit.design.wiring_settings import end_point_costs
from twinkit.drawings.base import Sheet
from twinkit.quantities import SIDES
from twinkit.quantities.wiring import OUTPUTS

MUST_BE_YES = {"calibrated": "look again", "cut_set": "stop", "failsafe_set": "stop"}
UNSEEN = "cannot tell"


def settings_sheet(results):
    """Both controllers' and both outputs' settings beside each other."""
    settings = results.settings
    columns = ("setting", "left", "right", "both sides")
    if not settings.known:
        return Sheet.waiting("Settings of both sides", settings.missing)
    rows, marks = [], []
    single = len(settings.sides) == 1
    for name in ("brake", "timing", "cut_off", "set_cells", "calibrated", "cut_set", "failsafe_set"):
        entry, unseen = quantities.quantity(f"wiring.{name}"), settings.unseen(name)
        left, right = (UNSEEN if side in unseen else _shown(entry, value) for side, value in zip(SIDES, settings.values[name]))
        undone = name in MUST_BE_YES and any(value is False for value in settings.values[name][: len(settings.sides)])
        said = "not done" if undone else "not seen on both" if unseen else "one controller" if single else "alike" if left == right else "unlike"
        rows.append((entry.label, left, "one controller" if single else right, said))
        marks.append(MUST_BE_YES[name] if undone else "cannot tell" if unseen else "" if left == right or single else "look again")
    return Sheet("Settings of both sides", columns, tuple(rows), tuple(marks), note="What nobody has entered is not guessed: look in each controller, then enter it.")


def _shown(entry, value):
    if value is None:
        return UNSEEN
    if entry.kind == "flag":
        return "yes" if value else "no"
    if entry.name == "set_cells":
        return f"{int(value)} cells" if value else "counts by itself"
    return units.say(value, "volts", significant=2) if entry.kind == "number" else entry.choices[value]


def rotation_sheet(results):
    """Which way each motor must turn for its propeller, what that does to the aeroplane, and what to do."""
    settings, power = results.settings, results.power
    columns = ("motor", "propeller", "must turn", "turns", "twists the aeroplane", "do")
    if not settings.known:
        return Sheet.waiting("Rotation, seen from the cockpit", settings.missing)
    rows, twist, system = [], 0.0, results.record.value("start.units")
    for side, hand, need, have, faces in zip(SIDES, settings.hands, settings.needed_turns, settings.turns, settings.values["print_faces"]):
        torque = float(getattr(power.full, side).torque) if power.known else None
        twist += (torque or 0.0) * (1 if have == "clockwise" else -1)
        way = "to the left" if have == "clockwise" else "to the right"
        todo = [] if need == have else ["swap any two of its three wires, for example 1 and 3"]
        todo += ["turn the propeller round: print forwards"] if faces == "backwards" else []
        rows.append((side, f"{hand}, print {faces}", need, have, f"{units.say(torque, 'moment', system, 2)} {way}" if torque is not None else way, " and ".join(todo) or "leave its wires"))
    note = "Swapping any two of the three wires reverses a motor; moving all three round by one does not. A motor that turns its propeller one way turns the aeroplane the other way. "
    if power.known:
        span = results.record.value("wing.span")
        as_much = f", as much as {units.say(2.0 * abs(twist) / span, 'thrust', system, 2)} on one wing tip" if span else ""
        note += (f"At full throttle both together: {units.say(abs(twist), 'moment', system, 2)} {'to the left' if twist >= 0 else 'to the right'}{as_much}. " if abs(twist) > 1e-4 else "At full throttle the two cancel. ")
    note += "Counter-rotating propellers cancel it while both run; with one motor out the twist of the live one stays."
    return Sheet("Rotation, seen from the cockpit", columns, tuple(rows), note=note)


def end_points_sheet(results):
    """What unequal throttle end points do, by the drives of page 01."""
    power, columns = results.power, ("one side gets less of the stick by", "stick", "thrust it lacks", "of its thrust", "turns the nose with")
    title = "What unequal throttle end points do, standing"
    if not power.known:
        return Sheet.waiting(title, power.missing)
    arm, system = results.geometry.nacelle_out, results.record.value("start.units")
    rows = tuple((units.say(cost.off, "share", significant=2), "half" if cost.stick < 1.0 else "full", units.say(cost.lost, "thrust", system, 2), units.say(cost.share, "share", significant=2),
                  units.say(cost.lost * arm, "moment", system, 2) if arm else "not yet known") for cost in end_point_costs(power))
    return Sheet(title, columns, rows, note="Propellers off, model held. One controller at a time, the signal plug of the other out of the receiver (full stick would run it if it is armed): stick full, plug in its pack, wait "
                 "for its tones, stick closed, tones, pack out. Then the other. Then both together: they must start at the same click of the stick.")


def transmitter_sheet(results):
    """What stands in the transmitter, as seen; what nobody has seen reads cannot tell."""
    radio, settings, columns = results.radio, results.settings, ("output", "channel", "direction", "throttle cut closes it", "failsafe closes it", "note")
    if not radio.known:
        return Sheet.waiting("Transmitter sheet", radio.missing)
    rows, marks = [], []
    closes = lambda name, side: {True: "yes, tried", False: "NO", None: UNSEEN}[settings.values[name][SIDES.index(side)]]  # noqa: E731
    for name in radio.throttles:
        found = radio.of(name)
        one = found[0] if found else None
        sides = ("left", "right") if name == "throttle" and len(settings.sides) > 1 else (name.split("_")[0],) if "_" in name else ("left",)
        cut, safe = (" / ".join(dict.fromkeys(closes(what, side) for side in sides)) for what in ("cut_set", "failsafe_set"))
        row = (OUTPUTS[name], _seen(one and one.channel), _seen(one and one.direction), cut, safe, one.note if one else "")
        rows.append(row)
        marks.append("stop" if "NO" in (cut + safe) else "cannot tell" if UNSEEN in "".join(row) else "good")
    for one in radio.channels:
        if one.drives not in radio.throttles:
            rows.append((OUTPUTS.get(one.drives, UNSEEN), _seen(one.channel), _seen(one.direction), "", "", one.note))
            marks.append("cannot tell" if UNSEEN in "".join(rows[-1]) else "")
    say = lambda share: units.say(share, "share", significant=2)  # noqa: E731
    asleep = UNSEEN if radio.mix_asleep is None else f"asleep up to {say(radio.mix_asleep)} above idle"
    rows.append(("rudder stick to the throttles", "", {True: asleep, False: "not mixed", None: UNSEEN}[radio.mix], "", "", f"asleep up to {say(radio.mix_wanted)} above idle at least; set on page 06"))
    marks.append("cannot tell" if UNSEEN in rows[-1] else "stop" if radio.mix and radio.mix_asleep < radio.mix_wanted - 1e-9 else "good")
    return Sheet("Transmitter sheet", columns, tuple(rows), tuple(marks), note="As the transmitter shows it, propellers off. Surfaces are read aloud on page 07.")


def _seen(value):
    return UNSEEN if value is None else str(value)
