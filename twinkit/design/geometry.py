"""The shape of the aeroplane: areas, stations, and the foam parts with their outlines."""

from dataclasses import dataclass

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.outlines import SPINNER_LENGTH, fold_allowance, outlines
from twinkit.physics import wing as wings


@dataclass(frozen=True, kw_only=True)
class Geometry(Result):
    """Sizes and places in metres; setback: leading edge of the tip behind that of the root. Places count behind the leading edge at the root, out to the right, below the wing."""

    span: float
    chord: float
    tip_chord: float
    taper_start: float
    setback: float
    area: float
    aspect_ratio: float
    mac: float
    mac_behind: float
    half_chord_sweep: float
    section: str
    thickness: float
    dihedral: float
    washout: float
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

    @property
    def wing_board(self):
        """Board of the wing, folds and doublings counted [m^2]."""
        return sum(o.area for o in self.outlines if o.group == "wing")


def geometry(g):
    """The shape told by section wing."""
    span, chord = g("wing.span"), g("wing.chord")
    tip = g.maybe("wing.tip_chord") or chord
    start, section = g("wing.taper_start"), g("wing.section")
    fuselage = {name: g(f"wing.{name}") for name in ("fuselage_length", "fuselage_width", "fuselage_height", "nose_ahead", "wing_above")}
    tail = {name: g(f"wing.{name}") for name in ("tail_arm", "tail_span", "tail_chord", "fin_height", "fin_chord")}
    fin_arm = g.maybe("wing.fin_arm") or tail["tail_arm"]
    nacelle = {name: g(f"wing.{name}") for name in ("nacelle_out", "nacelle_length", "nacelle_width", "propeller_ahead", "propeller_below")}
    places = {name: g(f"wing.{name}") for name in ("receiver_behind", "controller_behind", "section_thickness", "dihedral", "washout")}
    built = {name: g(f"wing.{name}") for name in ("fuselage_tail", "elevator_share", "rudder_share", "spar_place", "spar_kind", "spar_reach", "board_thickness")}
    fold = g.maybe("wing.fold")
    if not g.complete:
        return Geometry.unknown(g)
    if g.record.get("wing.section_thickness").assumed:      # the usual one of this section, not one number for all
        places["section_thickness"] = float(tables.read("sections/sections").row("section", section)["thickness"])
    shape = wings.wing_geometry(span=span, root_chord=chord, break_chord=chord, tip_chord=tip, break_fraction=start, break_setback=0.0,
                                tip_setback=(chord - tip) / 2)
    board, a = built["board_thickness"], tables.values("wing/assumptions")
    told = {"span": span, "chord": chord, "tip_chord": tip, "taper_start": start, "section": section, "dihedral": places["dihedral"], "thickness": places["section_thickness"],
            "spar_place": built["spar_place"], "fold": fold_allowance(board) if fold is None else fold, "camber": a["curved_camber"]}
    spar = {"kind": built["spar_kind"], "end": built["spar_reach"] * span / 2.0, "depth": spar_depth(section, places["section_thickness"], chord, board)}
    parts = outlines(told, {**fuselage, "fuselage_tail": built["fuselage_tail"], "board": board},
                     {**tail, "fin_arm": fin_arm, "elevator_share": built["elevator_share"], "rudder_share": built["rudder_share"]}, {**nacelle, "board": board}, spar)
    return Geometry(
        span=span, chord=chord, tip_chord=tip, taper_start=start, setback=(chord - tip) / 2 if start < 1.0 else 0.0, area=float(shape.area), aspect_ratio=float(shape.aspect_ratio), mac=float(shape.mac),
        mac_behind=float(shape.mac_setback), half_chord_sweep=float(shape.half_chord_sweep), section=section, thickness=places["section_thickness"],
        dihedral=places["dihedral"], washout=places["washout"], tail_area=tail["tail_span"] * tail["tail_chord"], tail_span=tail["tail_span"], tail_chord=tail["tail_chord"],
        tail_arm=tail["tail_arm"], fin_area=tail["fin_height"] * tail["fin_chord"], fin_height=tail["fin_height"], fin_chord=tail["fin_chord"],
        fin_arm=fin_arm, fuselage_length=fuselage["fuselage_length"], fuselage_width=fuselage["fuselage_width"],
        fuselage_height=fuselage["fuselage_height"], wing_above=fuselage["wing_above"], nose_behind=-fuselage["nose_ahead"],
        tail_end_behind=fuselage["fuselage_length"] - fuselage["nose_ahead"], nacelle_out=nacelle["nacelle_out"], nacelle_length=nacelle["nacelle_length"],
        nacelle_width=nacelle["nacelle_width"], propeller_behind=-nacelle["propeller_ahead"], propeller_below=nacelle["propeller_below"],
        receiver_behind=places["receiver_behind"], controller_behind=places["controller_behind"], outlines=parts, **g.marks())


def spar_depth(section, thickness, chord, board):
    """Height of a board spar: the room between the skins of a folded wing, else two boards."""
    return max(thickness * chord - 2.0 * board, 2.0 * board) if section == "folded" else 2.0 * board
