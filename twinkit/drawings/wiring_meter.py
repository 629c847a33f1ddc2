"""The meter sheet of page 02: what each pair of pins must show, what the wiring as entered would show, and what the builder's meter showed."""

from twinkit.circuit.meter import NORMAL
from twinkit.circuit.parts import pin_words
from twinkit.drawings.base import Sheet
from twinkit.drawings.wiring_words import not_built

BLANK = "____"
SHOWN = {"right way": "right way round", "wrong way": "wrong way round"}


def meter_sheet(results):
    """The meter sheet of this layout, packs out, with the readings of the record."""
    columns = ("line", "probes on", "with out", "must read", "another reading means", "yours")
    if not results.layout.buildable:
        return not_built("Meter sheet", columns, results)
    metering, groups = results.metering, {}
    for one in metering.lines:
        groups.setdefault((one.line.kind, one.line.a.part, one.line.b.part, one.line.pulled, one.line.expected, one.as_entered), []).append(one)
    rows = {}
    for (_, _, _, pulled, expected, _), group in groups.items():
        normal = group[0].line.normal
        must = SHOWN.get(expected, expected) + (f": {normal}" if expected == "normal reading" and normal != NORMAL["supply"] else "")
        row = (_pairs(results.layout.meant, group), _plugs(pulled), must, group[0].line.reveals)
        mirror = (*(text.replace("left", "#").replace("right", "left").replace("#", "right") for text in row[:2]), *row[2:])
        rows.setdefault(mirror if mirror in rows and mirror != row else row, []).append(group)
    read = len(metering.lines) - len(metering.unread)
    wrong = sum(one.as_entered != one.line.expected for one in metering.lines)
    title = f"Meter sheet: {read} of {len(metering.lines)} lines read, {len(metering.wrong)} of them wrong" if read else f"Meter sheet: {len(metering.lines)} lines, packs out"
    title += f"; as entered {wrong} would read wrong" if wrong else ""
    return Sheet(title, columns, tuple(_row(row, both) for row, both in rows.items()), tuple(_mark(both) for both in rows.values()),
                 note=f"Beep: under about 1 ohm. A normal reading through a regulator or a bridge is no beep: it {NORMAL['supply']}."
                      + (f" Metered by {metering.by}." if metering.by else "") + (f" {len(metering.strange)} readings belong to another layout." if metering.strange else ""))


def _row(row, groups):
    words, out, must, means = row
    twice = "; then the same with left and right exchanged" if len(groups) > 1 else ""
    sides = ("left\u00a0", "right\u00a0") if len(groups) > 1 else ("",)
    yours = " ".join(side + _yours(group) for side, group in zip(sides, groups))
    return " / ".join(map(_numbers, groups)), words + twice, out, must, means, yours


def _numbers(group):
    numbers = [one.number for one in group]
    return str(numbers[0]) if len(numbers) == 1 else f"{numbers[0]}-{numbers[-1]}" if numbers[-1] - numbers[0] == len(numbers) - 1 else ", ".join(map(str, numbers))


def _yours(group):
    """What was read of some lines, and the verdict on it."""
    wrong = [one for one in group if one.right is False]
    if wrong:
        return f"line {wrong[0].number}: {SHOWN.get(wrong[0].shows, wrong[0].shows)}" + (f" ({wrong[0].note})" if wrong[0].note else "")
    done = [one for one in group if one.right]
    if group[0].as_entered != group[0].line.expected:
        return f"{BLANK} (as entered: {SHOWN.get(group[0].as_entered, group[0].as_entered)})"
    if not done:
        return BLANK
    note = next((f" ({one.note})" for one in done if one.note), "")
    return (f"as it must{note}" if len(done) == len(group) else f"{len(done)} of {len(group)}{note}").replace(" ", "\u00a0", 2)


def _mark(groups):
    lines = [one for group in groups for one in group]
    if any(one.right is False or one.as_entered != one.line.expected for one in lines):
        return "stop"
    return "good" if all(one.right for one in lines) else ""


def _plugs(pulled):
    """The plugs to pull, in few words."""
    if len(pulled) == 2 and {"left", "right"} == {name.split()[0] for name in pulled} and len({name.split(" ", 1)[1] for name in pulled}) == 1:
        return f"both {pulled[0].split(' ', 1)[1].removesuffix('s')}s"
    return ", ".join(pulled)


def _pairs(wiring, group):
    """The pins of some lines between the same two parts."""
    lines = [one.line for one in group]
    a, b = (wiring.part(pin.part).name.replace(", aeroplane's half", " (aeroplane's half)") for pin in (lines[0].a, lines[0].b))
    if len(lines) == 1 and a != b:
        return f"{a}, {pin_words(lines[0].a.name)} to {b}, {pin_words(lines[0].b.name)}"
    return f"{a}{'' if a == b else ' to ' + b}: " + "; ".join(f"{pin_words(line.a.name)} to {pin_words(line.b.name)}" for line in lines)
