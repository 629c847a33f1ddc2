"""Tables of page 05 as text, and the numbers it keeps."""

from functools import partial

from twinkit import units
from twinkit.checks.wing import speaker
from twinkit.drawings.base import Sheet

BOARD_COUNTED = {"flat": "", "curved": "", "folded": " A folded wing half counts both skins and the bend.", "stepped": " A stepped wing half counts the doubled part."}
FROM = {"scale": "the scale (page 04)", "list": "the list of page 04", "guess": "the first guess of page 00: page 04 cannot tell yet"}


def _voices(results):
    return speaker(results), partial(units.say_range, system=results.record.value("start.units"))


def _unknown(title, results):
    return Sheet.waiting(title, results.wing.missing)


def loading_sheet(results):
    """Wing loading beside the aeroplanes the builder knows."""
    wing, title = results.wing, "Loading: yours between the aeroplanes you know"
    if not wing.known:
        return _unknown(title, results)
    say, span = _voices(results)
    rows = [(k.name, say(k.loading, "loading"), say(k.cubic_loading, "cubic loading"), k.note) for k in sorted(results.start.known_aeroplanes, key=lambda k: k.loading)]
    kinds = " or ".join(wing.kinds)
    rows.append(("yours", say(wing.loading, "loading"), say(wing.cubic_loading, "cubic loading"), f"its cubic loading is that of {kinds}"))
    return Sheet(title, ("aeroplane", "wing loading", "cubic loading", "how it flies"), tuple(rows),
                 note=f"Mass {say(wing.mass, 'mass')} ({span(wing.mass_low, wing.mass_high, 'mass', significant=3)}), from {FROM[wing.mass_from]}. "
                      f"Wing area {say(results.geometry.area, 'area')}, aspect ratio {units.digits(results.geometry.aspect_ratio, 2)}.")


def speeds_sheet(results):
    """The speeds that matter, with bands and a sentence each."""
    wing, title = results.wing, "Speeds"
    if not wing.known:
        return _unknown(title, results)
    say, span = _voices(results)
    rows = [("stall, level", say(wing.stall_speed, "speed"), span(wing.stall_low, wing.stall_high, "speed"),
             f"greatest lift coefficient {units.digits(wing.cl_max, 3)} ({units.digits(wing.cl_max_low, 3)} to {units.digits(wing.cl_max_high, 3)})")]
    rows += [(f"stall, banked {say(t.bank, 'angle', 2)}", say(t.stall_speed, "speed"), span(*(x * t.stall_speed / wing.stall_speed for x in (wing.stall_low, wing.stall_high)), "speed"),
              f"the wing carries {units.digits(t.load_factor, 3)} times the weight; flown at {say(t.speed, 'speed')} the turn has {say(t.radius, 'distance', 2)} radius") for t in wing.turns]
    where = "the middle of the wing" if wing.stall_eta < 0.4 else f"{say(wing.stall_eta, 'share', 2)} of the half span out: a tip stall comes without warning"
    rows += [("approach", say(wing.approach_speed, "speed"), "", f"touch-down {say(wing.landing_distance, 'distance', 2)} behind a fence of {say(wing.fence_height, 'distance', 1)}"),
             ("least power", say(wing.min_power_speed, "speed"), "", "below the stall: it cannot be flown" if wing.min_power_speed < wing.stall_speed else f"{say(wing.min_power, 'power', 2)} in the air"),
             ("flattest glide", say(wing.glide_speed, "speed"), "", f"{units.digits(wing.glide_ratio, 2)} to 1, propellers folded" + ("; below the stall" if wing.glide_speed < wing.stall_speed else "")),
             ("cruise", say(wing.cruise_speed, "speed"), "", f"{say(wing.cruise_drag, 'thrust', 2)} of drag" + _cruise(wing, results.power, say))]
    if wing.climb_rate is not None:
        rows.append(("best climb", say(wing.climb_speed, "speed"), "", f"{say(wing.climb_rate, 'speed', 2)} up ({span(wing.climb_low, wing.climb_high, 'speed')}) at full throttle"))
    if wing.top_speed is not None:
        rows.append(("top, level", say(wing.top_speed, "speed"), span(wing.top_low, wing.top_high, "speed"), "full throttle"))
    if wing.hard_turn is not None:
        t = wing.hard_turn
        rows.append(("tightest level turn", say(t.speed, "speed"), "", f"banked {say(t.bank, 'angle', 2)} at full throttle, {say(t.radius, 'distance', 2)} radius, {units.digits(t.load_factor, 2)} times the weight"))
    if wing.zero_thrust_speed is not None:
        rows.append(("no more pull", say(wing.zero_thrust_speed, "speed"), "", f"{units.digits(wing.zero_over_stall, 2)} times the stall speed"))
    return Sheet(title, ("moment", "speed", "band", "what it means"), tuple(rows), note=f"The first section to stall lies at {where}. Reynolds number (chord times speed over the viscosity of the air) at the cruise of page 00: {round(wing.reynolds, -3):.0f}. "
                      "A band holds about two times in three; thrust is that of the charge looked at on page 01.")


def _cruise(wing, power, say):
    if wing.cruise_throttle is not None:
        return f", throttle at {say(wing.cruise_throttle, 'share', 2)}"
    return "; the throttle follows from page 01" if power.thrust is None else "; more than full throttle gives"


def drag_sheet(results):
    """What the drag without lift is made of."""
    wing, title = results.wing, "Drag without lift, part by part"
    if not wing.known:
        return _unknown(title, results)
    say, _ = _voices(results)
    total = sum(p.cd0 for p in wing.drag_parts)
    rows = tuple((p.name, say(p.wetted_area, "area") if p.wetted_area else "", f"{p.cd0:.4f}", say(p.cd0 / total, "share", 2)) for p in wing.drag_parts)
    entered = f" You entered {wing.cd0:.4f}; that one is used." if abs(wing.cd0 / total - 1.0) > 1e-9 else ""
    return Sheet(title, ("part", "surface in the stream", "adds to CD0", "share"), rows + (("together", "", f"{total:.4f}", ""),),
                 note=f"Used: CD0 {wing.cd0:.4f} ({wing.cd0_low:.3f} to {wing.cd0_high:.3f}), induced factor {wing.induced_factor:.4f}; the ideal wing of this outline would have a span "
                      f"efficiency of {units.digits(wing.ideal_efficiency, 2)}.{entered}")


def balance_sheet(results):
    """Neutral point, the wanted CG range, tail volumes."""
    wing, shape, title = results.wing, results.geometry, "Balance and tail"
    if not wing.known:
        return _unknown(title, results)
    say, span = _voices(results)
    place = lambda value: f"{say(value, 'length', 2)} behind the leading edge"  # noqa: E731
    begins = f", begins {say(shape.mac_behind, 'length', 2)} behind the leading edge" if shape.mac_behind > 5e-4 else ""
    rows = [("mean chord", say(shape.mac, "length") + begins, ""),
            ("neutral point", place(wing.neutral_behind), f"{span(wing.neutral_low, wing.neutral_high, 'length')}; the tail moves it back {say(wing.tail_shift, 'share', 2)} of the chord, "
             f"fuselage and nacelles forward {say(wing.body_shift, 'share', 2)}"),
            ("wanted CG, rearmost", place(wing.cg_rear), f"static margin {say(results.record.value('limits.static_margin'), 'share', 2)}"),
            ("wanted CG, foremost", place(wing.cg_front), "where full elevator still holds it slow" if wing.cg_front <= wing.elevator_front + 1e-9 else
             f"static margin {say(results.record.value('limits.static_margin_most'), 'share', 2)}"),
            ("CG of the first flight", place(wing.cg_first), "inside the range")]
    if wing.static_margin is not None:
        rows.append(("CG now (page 04)", place(results.weight.cg_behind), f"static margin {say(wing.static_margin, 'share', 2)}, give or take {say(wing.static_margin_band, 'share', 1)}"))
    rows += [("tail volume", units.digits(wing.tail_volume, 2), "0.45 to 0.65 is usual"), ("fin volume", units.digits(wing.fin_volume, 2), "0.05 to 0.07 is usual on a twin"),
             ("fin with rudder over wing", say(wing.fin_share, "share"), f"{say(results.record.value('limits.fin_share'), 'share', 2)} is wanted"),
             ("spiral parameter", units.digits(wing.spiral, 2), "rights itself" if wing.spiral >= 5.0 else "winds in slowly: you level it yourself, as on most aeroplanes")]
    return Sheet(title, ("what", "where or how much", "band or reason"), tuple(rows))


def strength_sheet(results):
    """Bending, spar and skins at the design load factor, and a hard landing at the nacelles."""
    wing, shape, title = results.wing, results.geometry, "Strength at the design load factor"
    if not wing.known:
        return _unknown(title, results)
    say, span = _voices(results)
    rows = [("lift at the design load factor", say(wing.design_lift, "force"), f"{units.digits(results.record.value('wing.load_factor'), 2)} times the weight"),
            ("bending at the root", say(wing.bending_root, "moment"), f"lift spread evenly; an elliptic spread gives {say(wing.bending_elliptic, 'moment')}"),
            ("bending at the nacelles", say(wing.bending_nacelle, "moment"), f"{say(shape.nacelle_out, 'length')} out, {say(wing.nacelle_eta, 'share', 2)} of the half span"),
            ("bending where the spar ends", say(wing.bending_spar_end, "moment"), f"{say(wing.spar_end, 'length')} out")]
    if wing.spar_reserve is not None:
        rows.append((wing.spar.name, say(wing.spar_stress, "stress"), f"{say(wing.spar_allowable, 'stress')} is allowed: reserve {units.digits(wing.spar_reserve, 2)}"))
    if wing.skin_reserve is not None:
        rows.append(("paper beyond the spar", say(wing.skin_stress, "stress", 2), f"{say(wing.skin_allowable, 'stress', 2)} is allowed: reserve {units.digits(wing.skin_reserve, 2)}"))
    loads = results.loads
    if loads.known and loads.twist_stress is not None:
        rows.append(("largest twist in flight", say(abs(loads.twist), "moment", 2), f"{'nose up' if loads.twist > 0.0 else 'nose down'}, {loads.twist_case}: {say(loads.twist_stress, 'stress', 2)} in the tube, "
                     f"{say(wing.torsion_allowable, 'stress', 2)} splits it: reserve {units.digits(loads.twist_reserve, 2)}"))
    if wing.tip_rise is not None:
        rows.append(("tip rises by", say(wing.tip_rise, "length", 2), "by the spar's bending alone"))
    if wing.landing_force is not None:
        twist = "" if wing.landing_torsion_stress is None else f"it twists the tube with {say(wing.landing_torsion_stress, 'stress', 2)}, {say(wing.torsion_allowable, 'stress', 2)} splits it; "
        glue = "nothing of it is glued to the wing" if wing.landing_bond is None else (
            f"it pulls at the {say(wing.bond_length, 'length')} of glue with up to {units.shown(wing.landing_bond, 'kPa', 'Pa', 2)}, {units.shown(wing.bond_allowable, 'kPa', 'Pa', 2)} lifts the paper")
        rows.append(("hard landing, a nacelle pulls down with", say(wing.landing_force, "force", 2), f"{units.digits(wing.landing_factor, 2)} times its weight; {twist}{glue}"))
    return Sheet(title, ("what", "value", "note"), tuple(rows), note="The weight that the wing itself carries would relieve the root; it is not counted.")


def room_sheet(results):
    """Clearances of the propellers."""
    wing, title = results.wing, "Room round the propellers"
    if not wing.known:
        return _unknown(title, results)
    if wing.tip_fuselage is None:
        return Sheet.waiting(title, ("power.left.propeller_diameter", "power.right.propeller_diameter"))
    say, _ = _voices(results)
    limit = lambda name: say(results.record.value(f"limits.{name}"), "length", 2)  # noqa: E731
    rows = [("to the fuselage", say(wing.tip_fuselage, "length", 2), limit("tip_fuselage")), ("to the ground, tail level", say(wing.tip_ground, "length", 2), limit("tip_ground"))]
    if results.start.launch == "hand":
        rows.append(("to the hand that launches", say(wing.tip_hand, "length", significant=3), limit("tip_hand")))
    rows += _wheels(results, wing, say)
    return Sheet(title, ("propeller tip, wheels", "room or place", "wanted"), tuple(rows), note=f"Tip to tip of both propellers {say(wing.tip_tip, 'length', 2)}. Larger propeller: {units.shown(wing.propeller_diameter, 'in', 'm', 2)}. Dihedral, which lifts the tips, is not counted.")


def nacelles_sheet(results):
    """What it gives and costs to move the nacelles in or out."""
    wing, title = results.wing, "Nacelles nearer or farther"
    if not wing.known:
        return _unknown(title, results)
    if wing.nacelle_places is None:
        return Sheet.waiting(title, ("power.left.propeller_diameter", "power.right.propeller_diameter"))
    say, _ = _voices(results)
    more = lambda value: "as now" if abs(value) < 5e-4 else f"{say(abs(value), 'length', 2)} {'longer' if value > 0.0 else 'shorter'}"  # noqa: E731
    rows = tuple((p.name, say(p.out, "length"), say(p.tip_fuselage, "length", 2), f"{round(100.0 * p.held)} %", more(p.lead)) for p in wing.nacelle_places)
    return Sheet(title, ("place", "out from the middle", "propeller to fuselage", "thrust the rudder holds on one motor, yours 100 %", "each lead"), rows,
                 note="The yaw of a dead motor is thrust times the distance from the middle; pages 03 and 06 work it out in full once you move them.")


def _wheels(results, wing, say):
    """Rows of the wheels; none when it is thrown."""
    record = results.record
    if results.start.launch == "hand":
        return []
    rows = [("main wheels, diameter", say(record.value("wing.wheel_diameter"), "length", 2), "50 to 80 mm on mown grass"), ("track", say(wing.wheel_track, "length"), "18 to 28 % of the span")]
    if wing.wheel_angle is not None:
        least, most = (record.value(f"limits.{name}") for name in ("wheel_angle", "wheel_angle_most"))
        rows.append(("wheels ahead of the CG, from the ground", say(wing.wheel_angle, "angle", 2), f"{units.digits(units.from_si(least, 'deg', 'rad'), 2)} to {say(most, 'angle', 2)}"))
    return rows


def cutting_sheet(results):
    """Parts to cut, their sizes and the sheet each lies on."""
    wing, title = results.wing, "What to cut"
    if not wing.known:
        return _unknown(title, results)
    say, _ = _voices(results)
    plan, rows = wing.cutting, []
    for outline in results.geometry.outlines:
        on = sorted({p.sheet + 1 for p in plan.pieces if p.name == outline.name})
        remark = f"sheet {' and '.join(map(str, on))}" if on else "fits no sheet of yours"
        remark += ", half of them turned over" if outline.mirrored and on and outline.pieces > 1 else ""
        lines = list(dict.fromkeys(meaning for meaning, _ in outline.lines))
        remark += f"; {' and '.join(lines)} {'line' if len(lines) == 1 else 'lines'} marked" if lines else ""
        rows.append((outline.name, str(outline.pieces), f"{say(outline.length, 'length')} by {say(outline.width, 'length')}", say(outline.area, "area", 3), remark))
    spare = say(1.0 - plan.used, "share", 2)
    return Sheet(title, ("part", "pieces", "size", "board", "where"), tuple(rows),
                 note=f"{plan.sheets} {'sheet' if plan.sheets == 1 else 'sheets'} of {say(plan.sheet_length, 'length')} by {say(plan.sheet_width, 'length')}; {spare} is left over.{BOARD_COUNTED[results.geometry.section]} Together {say(results.geometry.foam_area, 'area')} of board, which is what page 04 weighs. Mark every part L or R before you cut.")


def numbers(results):
    """The numbers of this step as text."""
    wing, shape = results.wing, results.geometry
    say, span = _voices(results)
    told = lambda value, kind, significant=3: "not known" if value is None else say(value, kind, significant=significant)  # noqa: E731
    if not wing.known:
        return {"wing loading": "not known", "stall speed": "not known", "wanted CG": "not known"}
    return {
        "mass": told(wing.mass, "mass"), "wing loading": told(wing.loading, "loading"), "cubic loading": told(wing.cubic_loading, "cubic loading"),
        "stall speed": f"{told(wing.stall_speed, 'speed')} ({span(wing.stall_low, wing.stall_high, 'speed')})", "approach speed": told(wing.approach_speed, "speed"),
        "cruise speed": told(wing.cruise_speed, "speed"), "throttle at cruise": told(wing.cruise_throttle, "share", 2), "top speed": told(wing.top_speed, "speed", 2),
        "best climb": told(wing.climb_rate, "speed", 2), "best glide": f"{units.digits(wing.glide_ratio, 2)} to 1",
        "neutral point behind the leading edge": told(wing.neutral_behind, "length"), "wanted CG behind the leading edge": span(wing.cg_front, wing.cg_rear, "length"),
        "static margin": told(wing.static_margin, "share", 2), "fin with rudder over wing": told(wing.fin_share, "share"), "tail volume": units.digits(wing.tail_volume, 2),
        "spar reserve": "not known" if wing.spar_reserve is None else units.digits(wing.spar_reserve, 2), "propeller to fuselage": told(wing.tip_fuselage, "length", 2),
        "propeller to ground": told(wing.tip_ground, "length", 2), "sheets": str(wing.cutting.sheets), "longest part": told(wing.longest_part, "length"), "wing area": told(shape.area, "area"),
    }


SHEETS = {"loading": loading_sheet, "speed_table": speeds_sheet, "drag": drag_sheet, "balance": balance_sheet, "strength": strength_sheet, "room": room_sheet, "nacelle_places": nacelles_sheet,
          "cutting": cutting_sheet}
