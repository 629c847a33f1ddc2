"""Tables of the packs one owns: the register with what follows from it, and pairs."""

from twinkit.checks.weight import speaker
from twinkit.drawings.base import Sheet

KEPT = {"low": "too low: do not charge", "flat": "flat: charge to storage", "storage": "fit to lie", "full": "full: fly it or bring it to storage"}


def _state(pack, register):
    cell = pack.cell_volts
    return ("low" if cell < register.empty else "flat" if cell < register.flat else "storage" if cell <= register.full else "full")


def packs_sheet(results):
    """What the register says of each pack."""
    register, say, title = results.register, speaker(results), "Your packs"
    if register.packs is None:
        return Sheet.waiting(title, register.missing)
    rows = []
    for p in register.packs:
        flies = {"left": "left", "right": "right", "shared": "both sides"}.get(p.side, "")
        resting = "not measured" if p.cell_volts is None else f"{say(p.cell_volts, 'volts')} a cell, about {say(round(p.charge, 1), 'share', 2)} full"
        drawn = next((d for d in results.power.packs or () if d.side == p.side), None)
        ohms = say(p.resistance, "resistance", 2) if p.resistance else f"not measured, {say(drawn.resistance, 'resistance', 2)} estimated" if drawn else "not measured"
        rows.append((p.label, flies or "spare", p.pair or "none", ohms, resting, "" if p.cell_volts is None else KEPT[_state(p, register)]))
    note = "How full a rested pack is can hardly be read between 3.7 and 3.85 V: a tenth either way."
    if register.unlisted:
        note += f" Not in the register: the pack flown on {' and '.join('both sides' if s == 'shared' else f'the {s}' for s in register.unlisted)}."
    return Sheet(title, ("pack", "flies", "pair", "resistance", "at rest", "keeping"), tuple(rows), note=note)


def couples_sheet(results):
    """Packs looked at two by two, and what would flow if they were joined."""
    register, say, title = results.register, speaker(results), "Two by two"
    if register.packs is None:
        return Sheet.waiting(title, register.missing)
    pairs = ([(register.flying, "fly together")] if register.flying else []) + [(c, f"pair {c.one.pair}") for c in register.couples]
    if not pairs:
        return Sheet(title, ("packs", "value"), (("none", "write one word for both packs of a pair, and their labels on page 01"),))
    rows = []
    for c, why in pairs:
        flow = "resting volts or a resistance missing" if c.flow is None else say(c.flow, "current", 2)
        allowed = "" if c.allowed is None else f"{say(c.allowed, 'current', 2)} at most"
        rows.append((f"{c.one.label} and {c.other.label}", why, "not known" if c.cells_apart is None else say(c.cells_apart, "volts", 1),
                     "not known" if c.resistance_apart is None else f"{say(c.resistance_apart, 'share', 2)}{' (estimated)' if c.estimated else ''}", flow, allowed))
    note = (f"Joined, plus to plus, the fuller pack pushes current into the other at once: equal cells, no more than {say(register.join_cell, 'volts', 1)} between their cells and "
            f"{say(register.join_pack, 'volts', 1)} between the packs, and no more current than 1 C of the smaller.")
    return Sheet(title, ("packs", "why", "cells apart at rest", "resistance apart", "would flow if joined", "allowed"), tuple(rows), note=note)


SHEETS = {"packs": packs_sheet, "couples": couples_sheet}
