"""The wiring of page 02 as a line drawing made from the graph: parts where they sit, wires in trade colours, trouble with its sentence beside it."""

import textwrap

from twinkit import units
from twinkit.checks import REGISTRY, SEVERITY
from twinkit.circuit.nets import nets
from twinkit.circuit.parts import SIDES as PLACES_OF_PARTS
from twinkit.drawings import style
from twinkit.drawings.base import Picture
from twinkit.drawings.wiring_places import HEIGHT, MIDDLE, PIN_GAP, SIGN, STUB, WIDTH, Places

TITLE_ROOM = 0.55         # inches above the drawing
SIDE = dict(zip(PLACES_OF_PARTS, ("left", "right", "shared")))
COLOUR = {"power +": "positive", "5 V": "positive", "power -": "negative", "ground": "negative", "signal": "signal", "phase": "phase"}
THICK = {"power +": 2.6, "power -": 2.6, "phase": 1.8}
LETTER = {"B+": "+", "B-": "−", "in+": "+", "in-": "−", "out+": "+", "out-": "−", "V5": "+", "SG": "−", "V": "+", "G": "−", "-": "−", "PH1": "1", "PH2": "2", "PH3": "3", "A": "", "K": ""}
SMALL, TINY = 7.2, 6.2
CALLOUT_TOP, CALLOUT_LOW, CALLOUT_WIDTH = 2.48, 0.32, 35
TAG = 0.2                 # room for a number
AROUND = 0.07             # half the width of the outline round a wire
PLUG_OFF = 0.11           # from a part to the plug at it
LINE = 0.122              # height of a line of small type, inches
KIND_WORDS = {"linear": "linear BEC", "switching": "switching BEC", "none": "opto-isolated"}
FUSELAGE = ((1.6, 6.36), (5.4, 6.36), (5.4, 2.9), (4.86, 2.1), (4.8, 0.32), (2.2, 0.32), (2.14, 2.1), (1.6, 2.9))
KEY = (("positive", "plus, 5 V: red"), ("negative", "minus, ground: black"), ("signal", "signal: yellow"), ("phase", "motor wires: grey"))


class WiringPicture(Picture):
    """The layout as it is wired, seen from above."""

    size = (WIDTH, HEIGHT + TITLE_ROOM)
    needs = ("layout",)

    def build(self):
        import matplotlib as mpl

        self.figure.set_layout_engine("none")
        with mpl.rc_context({"axes.grid": False}):
            self.axes = self.figure.add_axes((0.0, 0.0, 1.0, HEIGHT / (HEIGHT + TITLE_ROOM)))

    def fill(self, results):
        ax, layout = self.axes, results.layout
        ax.clear()
        ax.set(xlim=(0, WIDTH), ylim=(0, HEIGHT))
        ax.set_axis_off()
        if not layout.buildable:
            ax.text(MIDDLE, HEIGHT / 2, "There is nothing to draw: " + layout.why_not, ha="center", va="center", wrap=True, fontsize=10, color=style.INK)
            return "This layout cannot be built"
        self.wiring, self.layout, self.system = layout.wiring, layout, results.record.value("start.units")
        self.places, self.leads = Places(layout.wiring, results.leads.placement == "nacelle"), results.leads
        found = troubles(results)
        self._outline()
        self._wires()
        self._plugs()
        self._parts()
        self._ends()
        self._names()
        self._callouts(found)
        self._key()
        return _title(results, found)

    # --- the aeroplane and the parts -------------------------------------------------------------------------------------

    def _outline(self):
        from matplotlib.patches import FancyBboxPatch, Polygon

        flat = {"facecolor": style.FOAM, "edgecolor": "none", "zorder": 0}
        self.axes.add_patch(FancyBboxPatch((0.06, 3.12), WIDTH - 0.12, 1.72, boxstyle="round,pad=0,rounding_size=0.2", alpha=0.45, **flat))
        self.axes.add_patch(Polygon(FUSELAGE, closed=True, alpha=0.75, **flat))
        for side in (-1, 1):
            self.axes.add_patch(FancyBboxPatch((MIDDLE + 2.6 * side - 0.66, 2.85), 1.32, 3.42, boxstyle="round,pad=0,rounding_size=0.3", alpha=0.75, **flat))

    def _parts(self):
        from matplotlib.patches import FancyBboxPatch

        for part in self.wiring.parts:
            box, side = self.places.boxes[part.id], SIDE[part.side]
            self.axes.add_patch(FancyBboxPatch((box.x - box.w / 2, box.y - box.h / 2), box.w, box.h, boxstyle="round,pad=0,rounding_size=0.05", facecolor=style.PAPER,
                                               edgecolor=style.SIDE_COLOUR[side], linestyle=style.SIDE_LINE[side], linewidth=1.6, zorder=4))
            if part.kind == "diode":
                self.axes.plot(box.x, box.y, marker="v", ms=6, color=style.INK, zorder=5)
                continue
            lift = {"pack": 0.05, "motor": 0.06, "receiver": 0.02 if "receiver_pack" in self.places.kinds else -0.1, "receiver_pack": -0.05}.get(part.kind, 0.0)
            self.axes.text(box.x, box.y + lift, self._words(part), ha="center", va="center", fontsize=SMALL, color=style.INK, zorder=5, linespacing=1.05, gid="part")
        receiver = self.places.boxes[self.wiring.receiver.id]
        for head in dict.fromkeys(name.rpartition(".")[0] for part, name, _ in self.places.ports if part == "receiver"):
            ports = [port for (part, name, _), port in self.places.ports.items() if part == "receiver" and name.rpartition(".")[0] == head]
            up = 1 if ports[0].edge == "top" else -1
            self.axes.text(sum(port.x for port in ports) / len(ports), receiver.y + up * 0.14, head.replace("_", " "), ha="center", va="center", fontsize=TINY, color=style.INK,
                           zorder=5, gid="part")

    def _words(self, part):
        if part.kind == "socket":
            return part.name.replace(", aeroplane's half", "")
        if part.kind == "controller":
            kind = KIND_WORDS[self.layout.kinds[1 if part.side == "right" else 0]]
            return f"{part.name.replace(' ', chr(10)) if part.side == 'centre' else part.name}\n{kind}"
        return {"regulator": "stand-alone\nregulator", "receiver": "receiver"}.get(part.kind, part.name)

    # --- wires -----------------------------------------------------------------------------------------------------------

    def _wires(self):
        import matplotlib.patheffects as effects

        for wire in self.wiring.wires:
            way = self.places.ways.get(wire.id)
            if way is None:
                self._contact(wire)
                continue
            width = THICK.get(wire.role, 1.7)
            self.axes.plot(*zip(*way), color=style.WIRE_COLOUR[COLOUR[wire.role]], lw=width, zorder=3, solid_capstyle="round", solid_joinstyle="round",
                           path_effects=[effects.withStroke(linewidth=width + 1.6, foreground=style.PAPER)], gid=wire.id)

    def _plugs(self):
        """A small box across the leads that come apart together, at the end where the plug sits; pack plugs are parts of their own."""
        from matplotlib.patches import Rectangle

        for name in self.wiring.connectors:
            wires = [wire for wire in self.wiring.contacts(name) if wire.id in self.places.ways and not wire.role.startswith("power")]
            ports = [self.places.port(wire.b, self.places.bundle(wire)) for wire in wires]
            for edge, out in (("top", 1), ("bottom", -1)):
                found = [port for port in ports if port.edge == edge]
                if found:
                    left, right, y = min(port.x for port in found), max(port.x for port in found), found[0].y + out * PLUG_OFF
                    self.axes.add_patch(Rectangle((left - 0.07, y - 0.035), right - left + 0.14, 0.07, facecolor=style.PAPER, edgecolor=style.INK, linewidth=1.0, zorder=3.5))

    def _contact(self, wire):
        """A wire that has no place of its own, because it should not be there: straight across, dashed, with a dot at each end."""
        self.axes.plot(*zip(self.places.spot(wire.a), self.places.spot(wire.b)), color=style.VERDICT_COLOUR["stop"], lw=2.4, ls=(0, (2, 1.2)), marker="o", ms=5, zorder=6.5, gid=wire.id)

    def _joined_pins(self):
        """Pins with a wire that is drawn along its way."""
        return {pin for wire in self.wiring.wires if wire.id in self.places.ways for pin in (wire.a, wire.b)}

    def _ends(self):
        """A letter at every pin, and what hangs on pins without a wire: a capped stub, a bare end, or nothing."""
        joined = self._joined_pins()
        for (part, name, bundle), port in self.places.ports.items():
            letter = LETTER.get(name.rpartition(".")[2], name.rpartition(".")[2])
            inward = {"top": (0, -0.065), "bottom": (0, 0.065), "left": (0.065, 0), "right": (-0.065, 0)}[port.edge]
            self.axes.text(port.x + inward[0], port.y + inward[1], letter, ha="center", va="center", fontsize=TINY, fontweight="bold", color=style.INK, zorder=6, gid="letter")
            pin = self.wiring.part(part).pin(name)
            if self.wiring.part(part).kind == "controller" and bundle == "servo" and pin not in joined:
                self._stub(pin, port)

    def _stub(self, pin, port):
        """The end of a wire that goes nowhere."""
        end, ax = port.y - STUB, self.axes
        if pin.name != "V5":
            ax.plot(port.x, port.y - 0.07, marker="x", ms=6, mew=2, color=style.INK, zorder=5)
            return
        ax.plot((port.x, port.x), (port.y, end), color=style.WIRE_COLOUR["positive"], lw=1.7, zorder=3)
        if pin in self.wiring.insulated:
            ax.plot((port.x, port.x), (end + 0.08, end - 0.05), color=style.INK, lw=6, solid_capstyle="round", zorder=5)
        else:
            for slant in (-0.06, 0.0, 0.06):
                ax.plot((port.x, port.x + slant), (end, end - 0.08), color=style.WIRE_COLOUR["positive"], lw=1.1, zorder=5)

    # --- names -----------------------------------------------------------------------------------------------------------

    def _label(self, x, y, words, ha, colour=style.INK, **more):
        return self.axes.text(x, y, words, ha=ha, va="center", fontsize=SMALL, color=colour, zorder=7, linespacing=1.05, gid="label", **more)

    def _names(self):
        """The name of every lead beside it, and of every end that is not joined."""
        seen = set()
        for wire in self.wiring.wires:
            key = (wire.side, self.places.bundle(wire), wire.a.part if wire.role == "power +" else "")
            if key in seen or wire.id not in self.places.ways or wire.role == "power -":
                continue
            seen.add(key)
            place = self._place_of_name(wire, key[1])
            if place:
                self._label(*place[:2], _name(wire) + self._length(wire, key[1]), place[2])
        joined, diodes = self._joined_pins(), {part.side: part.name for part in self.wiring.of_kind("diode")}
        for part in self.wiring.of_kind("controller"):
            ends = []
            if part.pin("V5") not in joined:
                ends.append("red: out, end sleeved" if part.pin("V5") in self.wiring.insulated else "red: cut, BARE END")
            if part.pin("SG") not in joined:
                ends.append("black: not connected")
            for number, words in enumerate([*ends, *([diodes[part.side]] if part.side in diodes else [])]):
                self._end_name(part, words, 0.16 + 0.15 * number)

    def _length(self, wire, bundle):
        """The length of a lead from page 03 on a second line (the power lead's from pack to controller); as bought until the stations are known."""
        if wire.role not in ("power +", "phase", "5 V", "signal", "ground") or bundle in ("pack", "supply", "regulator input") or bundle.endswith(" lead") or wire.a.part == "y_lead":
            return ""
        side = self.leads.side("right" if wire.side == "right" else "left") or self.leads.bought
        lead = {"phase": side.motor, "power +": side.pack}.get(wire.role, side.signal)
        return f"\n{units.say(lead.length, 'length', self.system)}"

    def _end_name(self, part, words, below):
        box, s = self.places.boxes[part.id], SIGN[part.side]
        outwards = (-s if self.places.in_nacelles else s) or -1
        self._label(box.x + outwards * (PIN_GAP + 0.14), box.y - box.h / 2 - below, words, "right" if outwards < 0 else "left")

    def _place_of_name(self, wire, bundle):
        """Where the name of a lead stands: x, y and which end of the words."""
        s, nacelle, boxes = SIGN[wire.side], self.places.in_nacelles, self.places.boxes
        outer, inner = ("right", "left") if s < 0 else ("left", "right")
        box = boxes[wire.b.part]
        if bundle == "pack":
            return box.x + (s or 1) * 0.24, 5.68, outer
        if wire.role == "phase":
            return box.x - s * 0.3, 5.2 if nacelle else 4.72, inner
        if bundle.endswith("power"):
            return (MIDDLE + 1.9 * s, 4.58, inner) if nacelle else (box.x + (s or 1) * 0.24, 4.13, outer)
        if bundle in ("left lead", "right lead"):
            return boxes[wire.a.part].x + 0.24 * s, 5.02, outer
        if bundle == "regulator input":
            return box.x + 0.24, 4.06, "left"
        if bundle == "supply":
            box = boxes[wire.a.part]
            return box.x - 0.24, {True: 0.92, False: 2.32 if self.places.single else 3.14}[box.y < 1], "right"
        if wire.a.part == "y_lead":
            return boxes["y_lead"].x - 0.3, 1.87, "right"
        if wire.side == "centre":
            return boxes[wire.a.part].x - 0.62, 2.3, "right"
        return (MIDDLE + 2.2 * s, 3.28, inner) if nacelle else (MIDDLE + 1.52 * s, 2.7, outer)

    # --- troubles --------------------------------------------------------------------------------------------------------

    def _callouts(self, found):
        """Each trouble: its net in a thick hatched outline with a number, and the number with its sentence in the free paper beside it."""
        room = {-1: CALLOUT_TOP, 1: CALLOUT_TOP}
        left_out, taken = 0, self._written() if found else []
        for number, (finding, pins) in enumerate(found, 1):
            spots = self._outlined(pins, finding.verdict)
            at = next((spot for spot in spots if self._free(spot, taken)), spots[0])
            words = "\n".join(textwrap.wrap(f"{number} {finding.verdict}: {finding.sentence}", CALLOUT_WIDTH))
            height = (words.count("\n") + 1) * LINE + 0.16
            side = min((-1, 1), key=lambda s: (room[s] - height < CALLOUT_LOW, s * (at[0] - MIDDLE) <= 0))
            if room[side] - height < CALLOUT_LOW:
                left_out += 1
                continue
            taken.append((at[0] - TAG / 2, at[1] - TAG / 2, at[0] + TAG / 2, at[1] + TAG / 2))
            colour = style.VERDICT_COLOUR[finding.verdict]
            self.axes.text(0.12 if side < 0 else WIDTH - 2.09, room[side], words, ha="left", va="top", fontsize=SMALL, color=style.INK, zorder=8, linespacing=1.1, gid="label",
                           bbox={"boxstyle": "round,pad=0.35", "facecolor": style.PAPER, "edgecolor": colour, "linewidth": 1.8})
            room[side] -= height + 0.12
            self.axes.text(at[0], at[1], str(number), ha="center", va="center", fontsize=SMALL, fontweight="bold", color=style.PAPER, zorder=9, gid="tag",
                           bbox={"boxstyle": "circle,pad=0.18", "facecolor": colour, "edgecolor": style.PAPER, "linewidth": 1.0})
        if left_out:
            self._label(0.12, 0.27, f"and {left_out} more under the findings", "left")

    def _written(self):
        """The rectangles that words take on the paper, in its inches."""
        renderer, inches = self.figure.canvas.get_renderer(), self.axes.transData.inverted()
        boxes = (text.get_window_extent(renderer) for text in self.axes.texts)
        return [(*inches.transform((box.x0, box.y0)), *inches.transform((box.x1, box.y1))) for box in boxes]

    @staticmethod
    def _free(spot, taken):
        """Whether a number at this spot covers nothing."""
        x, y = spot
        return all(x + TAG / 2 < x0 or x - TAG / 2 > x1 or y + TAG / 2 < y0 or y - TAG / 2 > y1 for x0, y0, x1, y1 in taken)

    def _outlined(self, pins, verdict):
        """A hatched outline round every wire and end of these nets; returns where its number may stand, the best place first."""
        copper, joined = nets(self.wiring), self._joined_pins()
        concerned = set().union(*(copper.net(pin) for pin in pins))
        spots = []
        for wire in self.wiring.wires:
            if wire.a in concerned and wire.id in self.places.ways:
                way = self.places.ways[wire.id]
                for a, b in zip(way, way[1:]):
                    self._hatched(min(a[0], b[0]) - AROUND, min(a[1], b[1]) - AROUND, abs(a[0] - b[0]) + 2 * AROUND, abs(a[1] - b[1]) + 2 * AROUND, verdict)
                legs = sorted(zip(way, way[1:]), key=lambda leg: -abs(leg[0][0] - leg[1][0]) - abs(leg[0][1] - leg[1][1]))
                spots += [(a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])) for a, b in legs for share in (0.5, 0.25, 0.75, 0.1, 0.9)]
        for pin in pins:
            port = self.places.port(pin, "servo")
            if port and pin not in joined:
                self._hatched(port.x - 0.08, port.y - STUB - 0.12, 0.16, STUB + 0.1, verdict)
                spots[:0] = [(port.x, port.y - STUB - 0.2), (port.x, port.y - STUB - 0.2 - TAG - 0.02)]
            elif pin not in joined:
                box = self.places.boxes[pin.part]
                self._hatched(box.x - box.w / 2 - 0.07, box.y - box.h / 2 - 0.07, box.w + 0.14, box.h + 0.14, verdict)
                spots.append((box.x - box.w / 2, box.y + box.h / 2 + 0.02))
        return spots

    def _hatched(self, x, y, w, h, verdict):
        from matplotlib.patches import Rectangle

        self.axes.add_patch(Rectangle((x, y), w, h, facecolor="none", edgecolor=style.VERDICT_COLOUR[verdict], hatch=style.VERDICT_HATCH[verdict] * 3, linewidth=1.4, zorder=2.5))

    def _key(self):
        for number, (colour, words) in enumerate(KEY):
            x = 0.2 + 1.72 * number
            self.axes.plot((x, x + 0.28), (0.14, 0.14), color=style.WIRE_COLOUR[colour], lw=2.4)
            self._label(x + 0.34, 0.14, words, "left")


def _name(wire):
    """The name of a lead as the trade says it."""
    name = wire.name.split(",")[0].replace(" controller", "").replace(" to the power joint", "").replace("stand-alone regulator lead", "regulator\nlead").removeprefix("controller ")
    return name.rstrip(" 123") + ("s" if wire.role == "phase" else "")


def troubles(results):
    """Findings that point at a place in the wiring, gravest first, each with its pins."""
    found = []
    for check in REGISTRY:
        if check.step == "wiring" and hasattr(check, "where"):
            finding = check().run(results)
            pins = check().where(results) if finding.verdict in ("stop", "look again") else ()
            if pins:
                found.append((finding, pins))
    return sorted(found, key=lambda one: -SEVERITY[one[0].verdict])


def _title(results, found):
    """What the drawing finds."""
    stops, layout = sum(finding.verdict == "stop" for finding, _ in found), results.layout
    if stops:
        return f"Mend {stops} thing{'s' if stops > 1 else ''} before any pack goes in (seen from above, nose up)"
    feeds = {"left": "the left controller", "right": "the right controller", "own": "a regulator of its own", "receiver_pack": "a pack of its own"}
    said = " and ".join(feeds[key] for key in layout.sources)
    out = [layout.wiring.part(one.pin.part).side for one in layout.facts.unused_reds if one.insulated]
    rest = {0: "", 1: f"; the {out[0]} red lead is out and sleeved" if out and out[0] != "centre" else "; the red lead is out and sleeved", 2: "; both red leads are out and sleeved"}[len(out)]
    if layout.unsaid:
        return f"As chosen, {said} feed{'s' if len(layout.sources) == 1 else ''} the receiver; you have not said yet how the red leads are (seen from above, nose up)"
    return f"As wired, {said} feed{'s' if len(layout.sources) == 1 else ''} the receiver{rest} (seen from above, nose up)"
