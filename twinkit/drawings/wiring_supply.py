"""What feeds the receiver: picture and tables of page 02."""

from twinkit import units
from twinkit.drawings import style
from twinkit.drawings.base import Picture, Sheet
from twinkit.quantities import SIDES


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


def supply_sheet(results):
    """Every supply at hand as if it carried everything alone, and which one does."""
    bus, system = results.wiring, results.record.value("start.units")
    columns = ("supply, carrying all alone", "for good", "average", "heat", "chip", "receiver, servos stalled", "as wired")
    if not bus.known:
        return Sheet.waiting("What can feed the receiver", bus.missing)
    rows = []
    for one in bus.supplies.values():
        heat = units.say(one.heat, "power", significant=2) if one.heat is not None else "none"
        chip = units.say(one.temperature, "temperature", system) if one.temperature is not None else "none"
        rows.append((f"{one.words} ({one.kind}, {units.say(one.set_volts, 'volts', significant=2)}, {units.say(one.rating, 'current', significant=2)})".removeprefix("the "),
                     units.say(one.allowed_current, "current", significant=2), units.say(bus.load_average, "current", significant=2), heat, chip,
                     units.say(one.receiver_volts_stall, "volts"), "feeds" if one.key in bus.feeding else "does not feed"))
    heat = units.shown(results.record.value("limits.regulator_thermal"), "K/W", "K/W")
    return Sheet("What can feed the receiver", columns, tuple(rows), note=f"Heat with a full pack, volts with the pack at its cut-off; {heat} from chip to moving air.")


def currents_sheet(results):
    """What receiver and servos draw, from standing still to two of them stalled."""
    bus, columns = results.wiring, ("when", "drawn", "what then")
    if not bus.known:
        return Sheet.waiting("What the receiver and its servos draw", bus.missing)
    say = lambda amps: units.say(amps, "current", significant=2)  # noqa: E731
    rows = (("everything at rest", say(bus.load_rest), "the least a pack or a capacitor must hold up"),
            ("one servo moving, the others at rest", say(bus.load_rest + bus.one_moving), "a small stir of one stick"),
            ("average over a flight", say(bus.load_average), "heats the regulator, empties the pack"),
            ("all servos moving at once", say(bus.load_moving), "stirring all sticks; minutes of it must not overheat the regulator"),
            (f"{bus.stalled} greatest stalled, the others moving", say(bus.load_stall), "a second of it must not let the volts go"))
    return Sheet(f"What the receiver and its {bus.servos} servos draw", columns, rows)


def cells_sheet(results):
    """What each regulator may give for good on packs of other cells."""
    bus, title = results.wiring, "Current allowed for good, and the servos it feeds, by cells"
    if not bus.known:
        return Sheet.waiting(title, bus.missing)
    made = [one for one in bus.supplies.values() if one.by_cells]
    if not made:
        return Sheet(title, ("regulator", "cells"), (("none", "a pack feeds straight"),))
    cells = sorted({n for one in made for n, _, _ in one.by_cells})
    rows = []
    for one in made:
        by = {n: f"{units.say(amps, 'current', significant=2)}: {servos} servo{'' if servos == 1 else 's'}" + (", too many cells for it" if one.cells_limit and n > one.cells_limit else "")
              for n, amps, servos in one.by_cells}
        rows.append((f"{one.words} ({one.kind})".removeprefix("the "), *(by.get(n, "") for n in cells)))
    return Sheet(title, ("regulator", *(f"{n} cells" for n in cells)), tuple(rows),
                 note="With full packs and your limit of chip temperature, never above its rating; servos reckoned by your flight average. The stalled ones are another question, above.")


def sharing_sheet(results):
    """What two regulators do on one bus, over their tolerances."""
    sharing, bus, columns = results.wiring.sharing, results.wiring, ("on one bus", "5 %", "middle", "95 %")
    if not bus.known:
        return Sheet.waiting("Two regulators on one bus", bus.missing)
    if sharing is None:
        return Sheet("Two regulators on one bus", columns, (("only one controller has a regulator", "", "", ""),))
    say = lambda value, kind: units.say(value, kind, significant=2)  # noqa: E731
    volts = lambda value: units.say(value, "volts") if value == value else "overloaded"  # noqa: E731
    rows = (("load at which the second begins to help", *(say(amps, "current") for amps in sharing.onset_band)),
            ("share of the average load the harder working one carries", *(say(share, "share") for share in sharing.most_band)),
            ("volts of the bus, servos stalled, joined straight", volts(sharing.volts_stall[0]), "", volts(sharing.volts_stall[1])),
            ("the same through diodes", volts(sharing.diode_volts_stall[0]), "", volts(sharing.diode_volts_stall[1])))
    return Sheet(f"Two regulators on one bus: in {say(sharing.alone_average, 'share')} of pairs one carries the whole average, in {say(sharing.limited_stall, 'share')} one is at its limit when servos stall",
                 columns, rows, note="4000 pairs, each regulator drawn anywhere within its tolerance and solved exactly. Holds for regulators that give and cannot take; two switching ones can feed each other backwards.")


