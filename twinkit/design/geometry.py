"""The shape of the aeroplane: areas, stations, and the foam parts with their outlines."""

from dataclasses import dataclass

from twinkit import tables
from twinkit.design.base import Result
from twinkit.physics import wing as wings

FOLD_ALLOWANCE = 2.1      # chord of board in a chord of folded wing: over, under and the bend
STEP_SHARE = 0.5          # share of the chord doubled by the step of a stepped board
SPINNER_LENGTH = 0.02     # from the propeller's plane back to the nacelle's front [m]


@dataclass(frozen=True)
class Outline:
    """A rectangular foam part: pieces of length x width, and the place of its middle (one of a mirrored pair stands out to the right)."""

    name: str
    length: float
    width: float
    pieces: int
    behind: float
    out: float
    below: float
    mirrored: bool
    along: str  # "span", "length" or "height": which way its long side lies on the aeroplane
    widest: float = 0.0  # width at its widest place, for a piece that narrows; 0: it does not

    @property
    def area(self):
        """Board used by all its pieces [m^2]."""
        return self.length * self.width * self.pieces

    @property
    def cut_width(self):
        """Width of board it is cut from [m]."""
        return max(self.width, self.widest)


@dataclass(frozen=True, kw_only=True)
class Geometry(Result):
    """Sizes and places in metres; places count behind the leading edge at the root, out to the right, below the wing."""

    span: float
    chord: float
    tip_chord: float
    taper_start: float
    area: float
    aspect_ratio: float
    mac: float
    mac_behind: float
    half_chord_sweep: float
    section: str
    thickness: float
    dihedral: float
    tail_area: float
    tail_span: float
    tail_chord: float
    tail_arm: float
    fin_area: float
    fin_height: float
    fin_chord: float
    fin_arm: float
    fuselage_length: float
    fuselage_width: float
    fuselage_height: float
    wing_above: float
    nose_behind: float
    tail_end_behind: float
    nacelle_out: float
    nacelle_length: float
    nacelle_width: float
    propeller_behind: float
    propeller_below: float
    receiver_behind: float
    controller_behind: float
    outlines: tuple

    @property
    def foam_area(self):
        """Board of all parts [m^2]."""
        return sum(o.area for o in self.outlines)


def geometry(g):
    """The shape told by section wing."""
    span, chord = g("wing.span"), g("wing.chord")
    tip = g.maybe("wing.tip_chord") or chord
    start, section = g("wing.taper_start"), g("wing.section")
    fuselage = {name: g(f"wing.{name}") for name in ("fuselage_length", "fuselage_width", "fuselage_height", "nose_ahead", "wing_above")}
    tail = {name: g(f"wing.{name}") for name in ("tail_arm", "tail_span", "tail_chord", "fin_height", "fin_chord")}
    fin_arm = g.maybe("wing.fin_arm") or tail["tail_arm"]
    nacelle = {name: g(f"wing.{name}") for name in ("nacelle_out", "nacelle_length", "nacelle_width", "propeller_ahead", "propeller_below")}
    places = {name: g(f"wing.{name}") for name in ("receiver_behind", "controller_behind", "section_thickness", "dihedral")}
    if not g.complete:
        return Geometry.unknown(g)
    if g.record.get("wing.section_thickness").assumed:      # the usual one of this section, not one number for all
        places["section_thickness"] = float(tables.read("sections/sections").row("section", section)["thickness"])
    shape = wings.wing_geometry(span=span, root_chord=chord, break_chord=chord, tip_chord=tip, break_fraction=start, break_setback=0.0,
                                tip_setback=(chord - tip) / 2)
    outlines = _outlines(span, chord, shape, section, fuselage, tail, fin_arm, nacelle)
    return Geometry(
        span=span, chord=chord, tip_chord=tip, taper_start=start, area=float(shape.area), aspect_ratio=float(shape.aspect_ratio), mac=float(shape.mac),
        mac_behind=float(shape.mac_setback), half_chord_sweep=float(shape.half_chord_sweep), section=section, thickness=places["section_thickness"],
        dihedral=places["dihedral"], tail_area=tail["tail_span"] * tail["tail_chord"], tail_span=tail["tail_span"], tail_chord=tail["tail_chord"],
        tail_arm=tail["tail_arm"], fin_area=tail["fin_height"] * tail["fin_chord"], fin_height=tail["fin_height"], fin_chord=tail["fin_chord"],
        fin_arm=fin_arm, fuselage_length=fuselage["fuselage_length"], fuselage_width=fuselage["fuselage_width"],
        fuselage_height=fuselage["fuselage_height"], wing_above=fuselage["wing_above"], nose_behind=-fuselage["nose_ahead"],
        tail_end_behind=fuselage["fuselage_length"] - fuselage["nose_ahead"], nacelle_out=nacelle["nacelle_out"], nacelle_length=nacelle["nacelle_length"],
        nacelle_width=nacelle["nacelle_width"], propeller_behind=-nacelle["propeller_ahead"], propeller_below=nacelle["propeller_below"],
        receiver_behind=places["receiver_behind"], controller_behind=places["controller_behind"], outlines=outlines, **g.marks())


def _outlines(span, chord, shape, section, fuselage, tail, fin_arm, nacelle):
    """The foam parts as rectangles; a narrowing wing half is told by its mean chord, so that its area is right."""
    mean_chord, half_out = float(shape.area) / span, float(shape.mac_y)  # mac_y is the middle of the half wing's area
    board = {"flat": 1.0, "stepped": 1.0 + STEP_SHARE, "folded": FOLD_ALLOWANCE, "curved": 1.0}[section]
    length, width, height = (fuselage[n] for n in ("fuselage_length", "fuselage_width", "fuselage_height"))
    middle = length / 2 - fuselage["nose_ahead"]
    below = fuselage["wing_above"]
    quarter = 0.25 * chord
    return (
        Outline("wing half", span / 2, mean_chord * board, 2, 0.5 * chord, half_out, 0.0, True, "span", chord * board),
        Outline("fuselage side", length, height, 2, middle, width / 2, below, True, "length"),
        Outline("fuselage floor and lid", length, width, 2, middle, 0.0, below, False, "length"),
        Outline("tailplane", tail["tail_span"], tail["tail_chord"], 1, quarter + tail["tail_arm"] + 0.25 * tail["tail_chord"], 0.0, below, False, "span"),
        Outline("fin", tail["fin_height"], tail["fin_chord"], 1, quarter + fin_arm + 0.25 * tail["fin_chord"], 0.0,
                below - height / 2 - tail["fin_height"] / 2, False, "height"),
        Outline("nacelle side", nacelle["nacelle_length"], nacelle["nacelle_width"], 8, -nacelle["propeller_ahead"] + nacelle["nacelle_length"] / 2 + SPINNER_LENGTH,
                nacelle["nacelle_out"], nacelle["propeller_below"], True, "length"),
    )
