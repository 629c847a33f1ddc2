"""Checks of page 04 on the packs as things one owns: pairs, packs that are joined, how they are kept."""

import math

from twinkit import tables, units
from twinkit.checks.base import Advice, Check
from twinkit.checks.weight import speaker
from twinkit.design.pack_register import name_of
from twinkit.physics.pack import equalising_current

FAR_APART = 2.0      # limits of resistance beyond which packs must not be joined
LABEL = ("cells", "capacity", "c_rating")


def rows_with(results, changes):
    """The register's rows with some cells of some labels changed: label as it is compared -> column -> value."""
    return [row | changes.get(name_of(row["label"].value) if "label" in row else "", {}) for row in results.record.rows("weight.register")]


class PackPair(Check):
    code = "W08"
    step = "weight"
    title = "Two packs as a pair"
    why = "Packs of different age or size sag differently: the sides pull unlike, and joined ones push current into each other."
    source = "common_practice"
    needs = ("power",)
    limit = "limits.pair_resistance"
    examples = {"good": {"power.left.pack_age": 1, "power.left.c_rating": 30}, "not": {"power.left.pack_age": 1.6}, "cannot tell": {"power.left.c_rating": None}}

    def look(self, results):
        made, say, bound = results.power.packs, speaker(results), self.bound(results)
        if len(made) == 1:
            return self.say("good", "One pack feeds both sides: there is no pair to match.", results=results)
        joined = results.record.value("power.packs") == "joined"
        worse, better = sorted(made, key=lambda p: -p.resistance)
        apart = worse.resistance / better.resistance - 1.0
        swap = Advice(f"Fly a pair of one age and size: replace the {worse.side} pack by one like the {better.side} one.", self.like(results, worse.side, better.side))
        if joined and made[0].cells != made[1].cells:
            return self.say("stop", f"The packs have {made[0].cells} and {made[1].cells} cells: joined, one burns the other.", made[0].cells, made[1].cells, swap, results)
        words = (f"The {worse.side} pack has {say(worse.resistance, 'resistance', 2)}, the {better.side} one {say(better.resistance, 'resistance', 2)}, "
                 f"{say(apart, 'share', 2)} apart; {say(bound, 'share', 2)} is usual for a pair.")
        if joined:
            told, stop, advice = self.joined(results, made, say)
            if apart > FAR_APART * bound:
                share = worse.resistance / (worse.resistance + better.resistance)
                worn = f"Joined, the {better.side} pack gives {say(share, 'share', 2)} of the current and is worn out by the other."
                return self.say("stop", f"{told if stop else words + ' ' + told} {worn}", apart, bound, swap, results)
            if stop:
                return self.say("stop", told, apart, bound, advice, results)
            words += f" {told}"
        if apart <= bound:
            return self.say("good", words, apart, bound, results=results)
        return self.say("look again", words, apart, bound, swap, results)

    def joined(self, results, made, say):
        """What flows when the two are joined: a sentence, whether it says stop, and the advice."""
        couple, volts = results.register.flying if results.register.known else None, results.record.value("limits.pair_volts")
        if couple is None or couple.flow is None:
            flow = float(equalising_current(voltage_1=made[0].cells * volts, resistance_1=made[0].resistance, voltage_2=0.0, resistance_2=made[1].resistance))
            return (f"Join them only when no cell differs by more than {say(volts, 'volts', 2)} at rest: at that difference {say(flow, 'current', 2)} "
                    "already flow from one into the other.", False, None)
        register, one, other = results.register, couple.one, couple.other
        most = min(p.capacity for p in made) / 3600.0      # one C of the smaller
        told = (f"By the register they rest at {say(one.volts, 'volts')} and {say(other.volts, 'volts')}: joined now, {say(couple.flow, 'current', 2)} flow from one into the other; "
                f"{say(most, 'current', 2)} is the most they stand (1 C of the smaller), and no more than {say(register.join_cell, 'volts', 1)} between their cells.")
        if couple.flow <= most and couple.cells_apart <= register.join_cell and abs(one.volts - other.volts) <= register.join_pack + 1e-9:
            return told, False, None
        lower, higher = sorted((one, other), key=lambda p: p.volts)
        return told, True, Advice(f"Do not join them: charge the {lower.side} pack to the {say(higher.volts, 'volts')} of the other, both rested, then join.",
                                  {"weight.register": rows_with(results, {name_of(lower.label): {"volts": higher.volts}})})


    def like(self, results, worse, better):
        record, names = results.record, (*LABEL, "pack_age")
        if record.get(f"power.{better}.pack_resistance") or record.get(f"power.{worse}.pack_resistance"):
            names += ("pack_resistance",)
        if record.rows("weight.register"):
            names += ("pack_name",)
        return {f"power.{worse}.{name}": record.value(f"power.{better}.{name}") for name in names}


class PacksBelong(Check):
    code = "W11"
    step = "weight"
    title = "Packs that belong together"
    why = "A pair is bought together, charged together and flown together: then both sides sag alike and one timer is right for both."
    source = "common_practice"
    needs = ("register",)
    limit = "limits.pair_volts"
    examples = {"good": {"power.left.pack_name": "C", "power.left.c_rating": 30}, "not": {}, "cannot tell": {"weight.register": []}}

    def look(self, results):
        register, say, bound = results.register, speaker(results), self.bound(results)
        if register.unlisted:
            sides = " and ".join(register.unlisted)
            listed = ", ".join(p.label for p in register.packs)
            return self.say("look again", f"The pack flown {'on both sides' if sides == 'shared' else f'on the {sides}'} is not in the register; it lists {listed}.", results=results,
                            advice=Advice("Write its label on page 01 as it stands in the register, or add a line for it."))
        unlike = [f"{p.label}: the register says {self.label_words(p, name, results)}, page 01 something else" for side, p in register.flown.items() for name in LABEL
                  if getattr(p, name) is not None and results.record.value(f"power.{side}.{name}") not in (None, getattr(p, name))]
        if unlike:
            return self.say("look again", f"{'; '.join(unlike)}.", results=results, advice=Advice("Read the label on the pack once more and enter the same on both pages."))
        couple = register.flying
        if couple is None:
            pack = next(iter(register.flown.values()))
            return self.say("good", f"Pack {pack.label} feeds both sides{self.life(pack)}.", results=results)
        one, other = couple.one, couple.other
        words = f"{one.label} (left{self.life(one)}) flies with {other.label} (right{self.life(other)})"
        same = name_of(one.pair) and name_of(one.pair) == name_of(other.pair)
        if couple.cells_apart is not None:
            words += f"; at rest their cells are {say(couple.cells_apart, 'volts', 1)} apart, {say(bound, 'volts', 1)} is usual after the same flight"
        if same and (couple.cells_apart is None or couple.cells_apart <= bound + 1e-9):
            return self.say("good", f"{words}.", couple.cells_apart, bound, results=results)
        if not same:
            return self.say("look again", f"{words}. They are not of one pair.", couple.cells_apart, bound, self.partner(results, one, other), results)
        lower, higher = sorted((one, other), key=lambda p: p.cell_volts)
        return self.say("look again", f"{words}.", couple.cells_apart, bound, Advice(
            f"Charge both full and fly once: if {lower.label} comes back lower again, it is worn and the pair is no pair any more; if not, enter the new resting volts.",
            {"weight.register": rows_with(results, {name_of(lower.label): {"volts": higher.cell_volts * lower.cells}})}), results)

    def life(self, pack):
        known = [f"bought {pack.bought}" if pack.bought else "", f"{pack.cycles:.0f} cycles" if pack.cycles is not None else ""]
        said = ", ".join(word for word in known if word)
        return f", {said}" if said else ""

    def label_words(self, pack, name, results):
        value = getattr(pack, name)
        return units.say(value, "charge", results.record.value("start.units")) if name == "capacity" else f"{value:.0f}{' cells' if name == 'cells' else ' C'}"

    def partner(self, results, one, other):
        """The pack that belongs to one of the two."""
        for keep, drop in ((other, one), (one, other)):
            found = next((p for p in results.register.packs if not p.side and name_of(keep.pair) and name_of(p.pair) == name_of(keep.pair)), None)
            if found is not None:
                return Advice(f"Fly {found.label} on the {drop.side}: it belongs to {keep.label}.", {f"power.{drop.side}.pack_name": found.label, **self.as_written(found, drop.side)})
        return Advice("Fly two that were bought together; where they are such a pair, write the same word into the pair column of both.")

    def as_written(self, pack, side):
        """What page 01 must say of this pack."""
        return {f"power.{side}.{name}": getattr(pack, name) for name in LABEL if getattr(pack, name) is not None}


class PacksKept(Check):
    code = "W12"
    step = "weight"
    title = "How the packs are kept"
    why = "Full packs age on the shelf, flat ones die there, and one below its limit burns when it is charged."
    source = "common_practice"
    needs = ("register",)
    examples = {"good": {}, "not": {"weight.register": [{"label": "A", "cells": "3", "volts": "12.6 V"}]}, "cannot tell": {"weight.register": []}}

    def look(self, results):
        register, say = results.register, speaker(results)
        known = [p for p in register.packs if p.cell_volts is not None]
        if not known:
            return self.say("look again", "No resting volts are written down.", results=results, advice=Advice("Measure each pack at rest and enter its volts and cells."))
        said = lambda p: f"{p.label} at {say(p.cell_volts, 'volts')} a cell"  # noqa: E731
        dead = [p for p in known if p.cell_volts < register.empty]
        if dead:
            return self.say("stop", f"Below {say(register.empty, 'volts', 2)} a cell: {', '.join(map(said, dead))}. Charging such a pack may set it on fire.", dead[0].cell_volts,
                            register.empty, Advice("Do not charge it again: put it outside and hand it in as your local rules say."), results)
        over = [p for p in known if p.cell_volts > full_cell() + 0.02]
        if over:
            return self.say("stop", f"Above a full cell: {', '.join(map(said, over))}. It was overcharged, or the cells or volts are entered wrongly.", over[0].cell_volts, full_cell(),
                            Advice("Measure again and count its cells; if it is so, do not charge it again and put it outside."), results)
        off = [p for p in known if p.cell_volts > register.full or p.cell_volts < register.flat]
        if off:
            level = {name_of(p.label): {"volts": register.storage * p.cells} for p in off}
            return self.say("look again", f"Not at storage: {', '.join(map(said, off))}; {say(register.storage, 'volts', 2)} is where a pack keeps.", off[0].cell_volts, register.storage,
                            Advice(f"If they stay longer than two days, bring them to {say(register.storage, 'volts', 2)} a cell (about half full).",
                                   {"weight.register": rows_with(results, level)}), results)
        unmeasured = [p.label for p in register.packs if p.resistance is None]
        words = f"{', '.join(map(said, known))}: fit to lie."
        if unmeasured:
            words += f" Resistance not measured yet: {', '.join(unmeasured)}."
        return self.say("good", words, results=results)


def full_cell():
    return tables.values("pack/defaults")["full_cell"]


class PackRoom(Check):
    code = "W13"
    step = "weight"
    title = "Room for the packs"
    why = "A place that balances is none when the pack does not go in, or only with the lid off."
    source = "common_practice"
    needs = ("weight", "slide")
    examples = {"good": {"weight.left.pack_width": "34 mm", "weight.right.pack_width": "34 mm"}, "not": {"weight.left.pack_width": "90 mm"}, "cannot tell": {"wing.chord": None}}

    def look(self, results):
        slide, say = results.slide, speaker(results)
        rooms = [p.room for p in slide.packs]
        name = lambda r: "the pack" if r.side == "shared" else f"the {r.side} pack"  # noqa: E731
        size = lambda r: " x ".join(say(x, "length").split()[0] for x in (r.length, r.width, r.height)) + " " + say(r.length, "length").split()[1]  # noqa: E731
        guessed = " Sizes are estimated from the mass: measure them." if any(r.estimated for r in rooms) else ""
        for room in rooms:
            about = f"{name(room).capitalize()} ({size(room)})"
            if room.where == "wing":
                near = 0.0 if abs(results.record.value(f"weight.{room.side}.pack_out")) < results.geometry.nacelle_out / 2.0 else results.geometry.nacelle_out
                return self.say("look again", f"{about} lies between fuselage and nacelle, where the wing has no room for it.{guessed}", results=results, advice=Advice(
                    f"Put it into the {'fuselage, in the middle' if near == 0.0 else 'nacelle, ' + say(near, 'length') + ' out'}.", {f"weight.{room.side}.pack_out": near}))
            if not room.fits:
                what, by = room.lacks
                path = f"wing.{room.where}_{'width' if room.where == 'nacelle' else what}"
                wanted = math.ceil((results.record.value(path) + by) / 0.001) * 0.001
                both = ", with the other one at the same station," if room.beside else ""
                return self.say("look again", f"{about}{both} does not go into the {room.where}: that is {say(by, 'length')} too {'narrow' if what == 'width' else 'low'} inside.{guessed}",
                                by, 0.0, Advice(f"Make the {room.where} {say(wanted, 'length')} {'wide' if what == 'width' else 'high'}, or place the packs one behind the other.", {path: wanted}), results)
            if room.foremost > room.rearmost:
                short = room.foremost - room.rearmost
                if room.where == "nacelle":
                    wanted = math.ceil((results.record.value("wing.nacelle_length") + short) / 0.001) * 0.001
                    return self.say("look again", f"{about} is {say(short, 'length')} too long for the nacelle behind its motor.{guessed}", short, 0.0, Advice(
                        f"Make the nacelle {say(wanted, 'length')} long, or move the pack into the fuselage.", {"wing.nacelle_length": wanted}), results)
                return self.say("look again", f"{about} finds no place between the stops of its bay, the nose and the tail.{guessed}", short, 0.0,
                                Advice("Set the stops of the bay further apart."), results)
        place = "fuselage" if all(r.where == "fuselage" for r in rooms) else "nacelles" if all(r.where == "nacelle" for r in rooms) else "fuselage and nacelle"
        both = ", beside or upon each other" if any(r.beside for r in rooms) else ""
        fits = "The pack goes" if len(rooms) == 1 else "Both packs go"
        return self.say("good", f"{fits} into the {place}{both}: {' and '.join(f'{r.side} {size(r)}' if r.side != 'shared' else size(r) for r in rooms)}.{guessed}", results=results)
