"""Pictures and tables of page 03."""

import math

import numpy as np

from twinkit import units
from twinkit.design.base import said_all
from twinkit.drawings import style
from twinkit.drawings.base import Picture, Sheet
from twinkit.drawings.lead_gauges import GaugePicture
from twinkit.drawings.lead_map import LeadMap
from twinkit.quantities import SIDES

SOURCES = ("astm_b258", "iec60028", "electronic_tables", "grover_inductance", "ramo_fields", "six_step", "nilsson_circuits", "middlebrook_matrix", "common_practice")
CUT_STEP, BUY_STEP = 0.005, 0.05      # pieces are cut in steps of 5 mm, wire is bought in steps of 50 mm
WHERE = {"fuselage": "controllers in the fuselage", "nacelle": "controllers in the nacelles"}
FROM = {"power": "Currents: full throttle, standing, from page 01.",
        "motor limit": "Currents: the motor's current limit, because page 01 does not know the full-throttle current yet; the true one is lower as a rule.",
        "controller rating": "Currents: the controller's rating, because page 01 does not know the full-throttle current yet; the true one is lower as a rule."}
COLOURS = {"pack": "red and black", "motor": "any one colour", "signal": "black, red, yellow"}


class RipplePicture(Picture):
    """Own capacitor's heat and ripple over the length of the pack lead."""

    size = (7.0, 3.6)
    needs = ("leads", "lead_losses")

    def build(self):
        self.panels = [style.axes(self.figure, 1, 2, k + 1) for k in range(2)]
        looks = {"plain": (style.INK, "-"), "yours": (style.SIDE_COLOUR["shared"], (0, (4, 1, 1, 1))), "advised": (style.THIRD, (0, (5, 2)))}
        self.lines = [{name: ax.plot([], [], color=c, ls=ls)[0] for name, (c, ls) in looks.items()} for ax in self.panels]
        self.bought = [ax.plot([], [], "o", mfc=style.PAPER, mec=style.INK, ms=7, ls="none", zorder=4)[0] for ax in self.panels]
        self.yours = [ax.plot([], [], ms=8, ls="none", zorder=5)[0] for ax in self.panels]
        box = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.6, "alpha": 0.8}
        self.words = [[ax.annotate("", (0, 0), textcoords="offset points", xytext=off, ha=ha, fontsize=8.5, zorder=6, bbox=box) for _ in range(2)]
                      for ax, off, ha in zip(self.panels, ((8, -15), (8, 9)), ("left", "left"))]
        self.bounds = [self.panels[0].axhline(0, color=style.VERDICT_COLOUR[name], lw=1, ls=":") for name in ("look again", "stop")]
        self.bound_words = [self.panels[0].text(0, 0, name, ha="right", va="bottom", fontsize=8, color=style.VERDICT_COLOUR[name]) for name in ("look again", "stop")]
        self.panels[0].set_ylabel("own capacitor's heat, % of as bought")
        self.panels[1].set_ylabel("ripple at the controller's input, V")

    def fill(self, results):
        inputs, system = results.lead_losses.inputs, results.record.value("start.units")
        curves, found = inputs.curves, getattr(inputs, inputs.worst)
        unit = "in" if system == "imperial" else "mm"
        place = lambda metres: units.from_si(np.asarray(metres), unit, "m")  # noqa: E731
        shown = {"heat": (curves.heat_share, 100.0, 100.0, 100.0 * found.heat_share), "ripple": (curves.ripple, 1.0, found.bought.ripple, found.yours.ripple)}
        labels = _labels(found, inputs)
        own = found.yours.length <= found.bought.length
        for ax, lines, bought, yours, words, (values, scale, at_bought, at_yours) in zip(self.panels, self.lines, self.bought, self.yours, self.words, shown.values()):
            for name, line in lines.items():
                there = name in values and name in labels
                line.set_data(*((place(curves.lengths), scale * values[name]) if there else ([], [])))
            bought.set_data([place(found.bought.length)], [at_bought])
            yours.set_data([place(found.yours.length)], [at_yours])
            yours.set(marker=style.SIDE_MARK[inputs.worst], color=style.SIDE_COLOUR[inputs.worst])
            for word, text, x, y in zip(words, ("" if own else "as bought", f"yours, {inputs.worst}"), (found.bought.length, found.yours.length), (at_bought, at_yours)):
                word.set_text(text)
                word.xy = float(place(x)), y
            top = max(scale * float(np.max(v)) for name, v in values.items() if name in labels)
            ax.set_xlim(0, float(place(curves.lengths[-1])))
            ax.set_ylim(0, 1.12 * max(top, at_bought, at_yours))
            ax.set_xlabel(f"pack lead, one way, {unit}")
        limits = [100.0 * results.record.value(f"limits.{name}") for name in ("capacitor_heat", "capacitor_heat_stop")]
        for line, word, limit in zip(self.bounds, self.bound_words, limits):
            line.set_ydata([limit, limit])
            word.set_position((float(place(curves.lengths[-1])), limit))
            word.set_clip_on(True)
        handles = [self.lines[1][name] for name in labels]
        self.panels[1].legend(handles, list(labels.values()), loc="lower right", fontsize=8, handlelength=2.6)
        return self._title(inputs, found, curves, system)

    def _title(self, inputs, found, curves, system):
        side, length = inputs.worst, units.say(found.yours.length, "length", system)
        if found.yours.length <= found.bought.length:
            far = float(curves.lengths[-1])
            share = units.say(float(curves.heat_share["plain"][-1]), "share", significant=2)
            return (f"Your pack leads are as bought and the controllers' capacitors are spared; leads of {units.say(far, 'length', system)} would heat the {side} one to {share} of that")
        got = units.say(found.heat_share, "share", significant=2)
        if found.yours.added:
            return f"With {units.say(found.yours.added, 'capacitance')} added, your {side} pack lead of {length} heats the controller's own capacitor to {got} of as bought"
        after = units.say(found.advised.own_heat / found.bought.own_heat, "share", significant=2)
        return f"Your {side} pack lead of {length} heats the controller's own capacitor to {got} of as bought; {_pieces(inputs)} bring it to {after}"


def _labels(found, inputs):
    """Names of the lines that are drawn."""
    labels = {"plain": "nothing added"}
    if found.yours.added:
        labels["yours"] = f"with your {units.say(found.yours.added, 'capacitance')}"
    if inputs.recommended and inputs.recommended != found.yours.added:
        labels["advised"] = f"with {_pieces(inputs)}"
    return labels


def _pieces(inputs):
    count = round(inputs.recommended / inputs.piece)
    return f"{count} x {units.say(inputs.piece, 'capacitance')}" if count else "none"


def _unknown(title, columns, *results):
    missing = tuple(dict.fromkeys(path for result in results for path in result.missing))
    return Sheet(title, columns, (("not yet known", said_all(missing), *("",) * (len(columns) - 2)),))


def leads_sheet(results):
    """Every lead with what it costs."""
    title, columns = "Your leads", ("lead", "from - to", "length", "gauge", "current", "drop", "loss", "wire added")
    leads, losses, system = results.leads, results.lead_losses, results.record.value("start.units")
    if leads.left is None or leads.right is None:
        return _unknown(title, columns, leads)
    rows = []
    for side in SIDES:
        own, cost = getattr(leads, side), getattr(losses, side)
        for lead in own.all:
            figures = {"pack": lambda: (cost.pack_current, cost.pack_drop, cost.pack_loss), "motor": lambda: (cost.motor_current, cost.motor_drop, cost.motor_loss)}
            pick = figures.get(lead.kind)
            amps = ("-",) * 3 if pick is None else ("not known",) * 3 if cost is None else tuple(
                units.say(x, kind, system, 2 if kind != "current" else 3) for x, kind in zip(pick(), ("current", "volts", "power")))
            rows.append((f"{side} {lead.kind} {'leads, three' if lead.kind == 'motor' else 'lead'}", f"{lead.start} - {lead.end}", units.say(lead.length, "length", system),
                         f"AWG {lead.wire.gauge}", *amps, units.say(lead.mass, "mass", system, 2) if lead.added else lead.made))
    spread = units.say_range(leads.lead_mass - leads.lead_mass_spread, leads.lead_mass + leads.lead_mass_spread, "mass", system)
    origin = FROM[losses.currents_from] if losses.left is not None else "Currents are not known yet: page 01."
    return Sheet(title, columns, tuple(rows), note=f"{origin} Added wire of both sides: {spread}. {_wire_from(leads)} Lengths one way, slack counted; "
                 "nothing is cut off what was bought.")


def _wire_from(leads):
    """Which figures of the wire are the builder's own and which the table's."""
    said = []
    for kind in ("pack", "motor"):
        wire = getattr(leads.left, kind).wire
        own = [name for name, there in (("resistance", wire.measured), ("mass", wire.weighed)) if there]
        said.append(f"{kind} leads {' and '.join(own)} of your own wire" + ("" if len(own) == 2 else ", the rest from the table") if own else f"{kind} leads from the table")
    return f"Wire: {'; '.join(said)}."


def signal_sheet(results):
    """What the ground wires of the signal leads do, and how the leads want to be laid."""
    title, columns = "Signal leads", ("lead", "length", "its ground wire", "drop there for each ampere", "motor current in it", "drop from that", "laid", "wanted")
    leads, losses, system, value = results.leads, results.lead_losses, results.record.value("start.units"), results.record.value
    if leads.left is None or leads.right is None:
        return _unknown(title, columns, leads)
    loop = losses.ground_current
    laid = {"plain": "as it comes", "twisted": "twisted", "ferrite": "twisted, ferrite ring"}
    rows = []
    for side in SIDES:
        lead = getattr(leads, side).signal
        ground = lead.resistance / 2
        current, drop = ("not known",) * 2 if losses.left is None else ("none", "none") if loop is None else (
            units.say(loop, "current", system, 2), units.say(loop * ground, "volts", system, 2))
        wanted = "ferrite" if lead.length > value("limits.signal_ferrite") else "twisted" if lead.length > value("limits.signal_length") else "plain"
        rows.append((f"{side} signal lead", units.say(lead.length, "length", system), units.say(ground, "resistance", system, 2), units.say(ground * 1.0, "volts", system, 2),
                     current, drop, laid[value("leads.signal_care")], laid[wanted]))
    why = ("Each side has its own pack or one ground is open: no motor current runs here." if losses.left is not None and loop is None else
           "On one supply the two ground wires lie beside the power negatives, and unequal negatives share their current with them.")
    twist, ring = (units.say(value(f"limits.{name}"), "length", system) for name in ("signal_length", "signal_ferrite"))
    return Sheet(title, columns, tuple(rows), note=f"{why} The ground wire counts with two plug contacts of the servo sort. Twist a lead longer than {twist}; "
                 f"add a ferrite ring at the receiver beyond {ring}. Common practice.")


def other_way_sheet(results):
    """Both placements side by side."""
    leads, losses, system = results.leads, results.lead_losses, results.record.value("start.units")
    title = "The other way round"
    if None in (leads.left, leads.right, leads.other_left, leads.other_right):
        return _unknown(title, ("", "yours", "the other way round"), leads, results.geometry)
    ways = {leads.placement: ((leads.left, leads.right), (losses.left, losses.right), losses.inputs),
            leads.other_left.placement: ((leads.other_left, leads.other_right), (losses.other_left, losses.other_right), losses.other_inputs)}
    columns = ("", *(f"{WHERE[way]}{', yours' if way == leads.placement else ''}" for way in WHERE))
    cells = {way: _way_cells(*ways[way], system) for way in WHERE}
    rows = tuple((name, *(cells[way][name] for way in WHERE)) for name in cells["fuselage"])
    note = FROM[losses.currents_from] if losses.left is not None else ""
    return Sheet(title, columns, rows, note=f"{note} Ripple, current and peak belong to the side that is worse off, at the throttle that loads its capacitor most. "
                 "Joints count both sides.".strip())


def _way_cells(sides, costs, inputs, system):
    length = lambda kind: _both([units.say(getattr(side, kind).length, "length", system) for side in sides])  # noqa: E731
    cells = {"pack lead, one way": length("pack"), "motor leads": length("motor"), "signal lead": length("signal")}
    if None in costs:
        drop = loss = swing = rms = peak = pieces = "not known"
    else:
        worst = max(costs, key=lambda cost: cost.share)
        found = getattr(inputs, inputs.worst)
        drop = f"{units.say(worst.pack_drop + worst.motor_drop, 'volts', system, 2)} ({units.say(worst.share, 'share', system, 2)})"
        loss = units.say(sum(cost.loss for cost in costs), "power", system, 2)
        swing = units.say(found.plain.ripple, "volts", system, 2)
        rms = f"{units.say(found.plain.own_rms, 'current', system, 2)} (heat {units.say(found.plain_share, 'share', system, 2)} of as bought)"
        peak = _peak(found.plain.peak, system)
        pieces = _pieces(inputs)
    return {**cells, "drop at full throttle, worse side": drop, "loss, both sides": loss, "wire added": units.say(sum(side.mass for side in sides), "mass", system, 2),
            "joints to solder": str(sum(side.splices for side in sides)), "ripple at the controller's input": swing, "current of its own capacitor": rms,
            "peak when the current is cut": peak, "capacitors to add at each controller": pieces}


def _both(pair):
    return f"{pair[0]} each side" if pair[0] == pair[1] else f"left {pair[0]}, right {pair[1]}"


def _peak(volts, system):
    return f"{units.say(volts, 'volts', system, 2)} over the pack" if volts > 0.005 else "no overshoot"


def capacitor_sheet(results):
    """The input of the controller that is worse off, in its four states."""
    title, columns = "At the controller's input", ("leads and capacitors", "pack lead", "ripple", "own capacitor", "its heat", "peak when the current is cut")
    losses, system = results.lead_losses, results.record.value("start.units")
    if losses.left is None:
        return _unknown(title, columns, losses)
    inputs = losses.inputs
    found, side = getattr(inputs, inputs.worst), inputs.worst
    states = [("leads as bought", found.bought)]
    if found.plain.length > found.bought.length:
        states.append(("your leads, nothing added", found.plain))
    if found.yours.added:
        states.append((f"your leads, your {units.say(found.yours.added, 'capacitance')}", found.yours))
    if found.pieces:
        states.append((f"your leads, {found.pieces} x {units.say(inputs.piece, 'capacitance')}", found.advised))
    rows = tuple((name, units.say(s.length, "length", system), units.say(s.ripple, "volts", system, 2), units.say(s.own_rms, "current", system, 2),
                  units.say(s.own_heat, "power", system, 2), _peak(s.peak, system)) for name, s in states)
    equal = units.say(found.equal_heat, "capacitance", system, 2) if math.isfinite(found.equal_heat) else "more than twenty pieces"
    asked = (f"Asked for: {units.say(found.surge, 'capacitance', system, 2)} to keep the surge impedance, {equal} to keep the heat of the own capacitor; the trade's rule of "
             f"220 uF for each 100 mm gives {units.say(found.trade, 'capacitance', system, 2)} (common practice).") if found.pieces else "Nothing needs adding: the leads are as bought."
    at = (f"The {side} side, at {units.say(found.duty, 'share', system, 2)} throttle, where {units.say(found.current, 'current', system, 2)} in the motor load the capacitor most."
          if losses.currents_from == "power" else f"The {side} side, at half throttle with the whole limiting current: harder than flying.")
    return Sheet(title, columns, rows, note=f"{at} {asked}")


def cut_length(length):
    """A length rounded up to what one cuts [m]."""
    return math.ceil(length / CUT_STEP - 1e-9) * CUT_STEP


def cutting_sheet(results):
    """The list for the bench: what to cut, and how much of each wire that is."""
    title, columns = "Cutting list", ("piece", "pieces", "length of each", "wire", "colour")
    leads, losses, system = results.leads, results.lead_losses, results.record.value("start.units")
    if leads.left is None or leads.right is None:
        return _unknown(title, columns, leads)
    rows, totals, whole = [], {}, []
    for side in SIDES:
        for lead in getattr(leads, side).all:
            if not lead.added:
                whole.append(f"{side} {lead.kind}{' (shortened)' if lead.made == 'shortened' else ''}")
                continue
            piece, twist = cut_length(lead.added), lead.kind == "signal"
            count = 1 if twist else lead.wires
            name = {"pack": f"let into the {side} pack lead", "motor": f"let into the {side} motor leads", "signal": f"extension of the {side} signal lead, plug and socket"}[lead.kind]
            rows.append((name, str(count), units.say(piece, "length", system), f"AWG {lead.wire.gauge}{', three wires' if twist else ''}", COLOURS[lead.kind]))
            totals[lead.wire.gauge] = totals.get(lead.wire.gauge, 0.0) + lead.wires * piece
    rows += [(f"all AWG {gauge} wire together", "", units.say(math.ceil(total / BUY_STEP - 1e-9) * BUY_STEP, "distance", system), f"AWG {gauge}", "")
             for gauge, total in sorted(totals.items())]
    if losses.left is not None and losses.inputs.recommended:
        count = round(losses.inputs.recommended / losses.inputs.piece)
        rows.append(("low-ESR capacitors, both controllers", str(2 * count), "-", f"{units.say(losses.inputs.piece, 'capacitance')}, {units.say(losses.inputs.rated_volts, 'volts', system, 2)} or more",
                     "stripe is minus"))
    note = f"Nothing let into: {', '.join(whole)}. " if whole else ""
    joints = f"{leads.splices} joints to solder and sleeve. " if leads.splices else "Nothing to solder in the leads. "
    return Sheet(title, columns, tuple(rows) or (("nothing to cut", "", "", "", ""),), note=f"{note}{joints}Lengths are rounded up to 5 mm; the overlap of a joint comes out of the slack.")


def numbers(results):
    """The numbers of this step as text."""
    leads, losses, system = results.leads, results.lead_losses, results.record.value("start.units")
    say = lambda value, kind, digits=3: "not known" if value is None else units.say(value, kind, system, digits)  # noqa: E731
    found = {"controllers": WHERE[leads.placement].removeprefix("controllers ")}
    for side in SIDES:
        own, cost = getattr(leads, side), getattr(losses, side)
        for kind, name in (("pack", "pack lead"), ("motor", "motor leads"), ("signal", "signal lead")):
            found[f"{side} {name}"] = say(own and getattr(own, kind).length, "length")
        found[f"{side} drop at full throttle"] = f"{say(cost and cost.pack_drop + cost.motor_drop, 'volts', 2)} ({say(cost and cost.share, 'share', 2)})" if cost else "not known"
    found["loss in all leads"] = say(losses.left and losses.left.loss + losses.right.loss, "power", 2)
    found["wire added"] = say(leads.lead_mass, "mass", 2)
    inputs = losses.inputs
    found["heat of the controllers' own capacitors against as bought, worse side"] = say(inputs and getattr(inputs, inputs.worst).heat_share, "share", 2)
    found["capacitors to add at each controller"] = _pieces(inputs) if inputs else "not known"
    return found


PICTURES = {"map": LeadMap, "gauges": GaugePicture, "ripple": RipplePicture}
SHEETS = {"leads": leads_sheet, "other_way": other_way_sheet, "capacitor": capacitor_sheet, "signal": signal_sheet, "cutting": cutting_sheet}
