"""Tables of page 04 as text with units."""

from twinkit import units
from twinkit.checks.weight import beside, minutes, speaker
from twinkit.design.slide import RULER
from twinkit.design.weight import PARTS_AT_HAND
from twinkit.drawings.base import Sheet

SCALE_STEP = 0.001      # what a workshop scale tells apart [kg]
ORIGINS = {"weighed": "weighed", "measured": "measured", "table": "a table", "assumed": "estimated", "chosen": "entered", PARTS_AT_HAND: "parts at hand, page 00"}


def _along(value, say):
    return "not known" if value is None else beside(value, say).removesuffix(" of")


def _across(item, say):
    if item.mirrored:
        return f"{say(item.out, 'length')} each side"
    return "middle" if abs(item.out) < RULER else f"{say(abs(item.out), 'length')} {'right' if item.out > 0.0 else 'left'}"


def _spread(value, say):
    """A spread no smaller than a scale tells."""
    return f"under {say(SCALE_STEP, 'mass', 1)}" if value < SCALE_STEP else f"± {say(value, 'mass', 1)}"


def _up(value, say):
    return "level" if abs(value) < RULER else f"{say(abs(value), 'length')} {'below' if value > 0.0 else 'above'}"


def _known_from(item):
    """Where a mass comes from: the foam's is area times a sheet."""
    return f"area, sheet {'weighed' if item.origin in ('weighed', 'measured') else 'not weighed'}" if item.group == "foam" else ORIGINS[item.origin]


def parts_sheet(results):
    """Every item with mass and place."""
    weight, say = results.weight, speaker(results)
    title = "Everything with mass and place"
    if weight.items is None:
        return Sheet.waiting(title, weight.missing)
    rows = tuple((i.name, say(i.mass, "mass"), _spread(i.spread, say), _along(i.behind, say), _across(i, say), _up(i.below, say), _known_from(i)) for i in weight.items)
    lacking = f" Left out, no mass yet: {', '.join(weight.without_mass)}." if weight.without_mass else ""
    return Sheet(title, ("item", "mass", "spread", "from the leading edge", "across", "from the wing", "known from"), rows,
                 note=f"Places are those of the middle of each item. The leads count only the wire you add to what was bought.{lacking}")


def totals_sheet(results):
    """What the list sums to, and what the scale says."""
    weight, say = results.weight, speaker(results)
    system, title = results.record.value("start.units"), "What it sums to"
    if weight.mass is None:
        return Sheet.waiting(title, weight.missing)
    rows = [("mass", say(weight.mass, "mass"), units.say_range(weight.mass_low, weight.mass_high, "mass", system, 3), "the scale" if weight.mass_origin == "scale" else "the list")]
    if weight.items is not None:
        if weight.mass_origin == "scale":
            rows.append(("the list came to", say(weight.list_mass, "mass"), "", f"the scale says {say(abs(weight.mass - weight.list_mass), 'mass')} "
                         f"{'more' if weight.mass > weight.list_mass else 'less'}"))
        rows.append(("foam parts", say(weight.foam_mass, "mass"), "", f"{units.say(weight.foam_area, 'area', system)} of board"))
        rows.append(("packs", say(weight.pack_mass, "mass"), "", f"{say(weight.pack_mass / weight.mass, 'share', 2)} of the whole"))
    if weight.cg_behind is not None:
        low, high = weight.cg_behind - weight.cg_spread, weight.cg_behind + weight.cg_spread
        rows.append(("CG behind the leading edge", say(weight.cg_behind, "length"), units.say_range(low, high, "length", system),
                     "on two fingers" if weight.cg_origin == "balance" else "the list"))
        if results.geometry.known:
            rows.append(("the same behind the nose", say(weight.cg_behind - results.geometry.nose_behind, "length"), "", "the nose, a second place for a finger"))
    if weight.cg_out is not None:
        side = "in the middle" if abs(weight.cg_out) < RULER else f"{say(abs(weight.cg_out), 'length')} {'right' if weight.cg_out > 0.0 else 'left'}"
        rows.append(("CG across", side, f"± {say(weight.cg_out_spread, 'length')}", "the list"))
        rows.append(("CG below the wing", _up(weight.cg_below, say), f"± {say(weight.cg_below_spread, 'length')}", "the list"))
        for axis, value in (("roll", weight.inertia_xx), ("pitch", weight.inertia_yy), ("yaw", weight.inertia_zz)):
            rows.append((f"inertia in {axis}", units.say(value, "inertia", system, 2), "", "the list" if weight.mass_origin == "list" else "the list, raised to the scale"))
    return Sheet(title, ("number", "value", "band (two times in three)", "from"), tuple(rows),
                 note="Inertia takes the parts as points, rods and boxes: 2 to 5 % off, and as far off as the masses are.")


def slide_sheet(results):
    """Where the packs must sit."""
    slide, say = results.slide, speaker(results)
    title = "Where the packs must sit"
    if slide.packs is None:
        return Sheet.waiting(title, slide.missing)
    rows = []
    for p in slide.packs:
        name = "pack" if p.side == "shared" else f"{p.side} pack"
        rows.append((name, p.room.where, _along(p.now, say), _along(p.together, say), _within(p.together_inside), _along(p.alone, say), _within(p.alone_inside)))
    reasons = {"first flight": "the place for a first flight", "front": "the foremost that page 05 allows", "rear": "the rearmost that page 05 allows"}
    note = (f"Places from the leading edge. Wanted CG: {say(slide.wanted, 'length')} behind the leading edge, {reasons[slide.wanted_from]}. "
            f"With the packs at their stops it lies from {say(slide.reach_front, 'length')} to {say(slide.reach_rear, 'length')}.")
    if not slide.reachable:
        note += f" Least ballast: {say(slide.ballast, 'mass')} at the {slide.ballast_at}, the packs at the stop." if slide.ballast is not None else ""
    return Sheet(title, ("pack", "lies in the", "now", "moved together" if len(rows) > 1 else "moved", "bay", "this one alone", "bay "), tuple(rows), note=note)


def _within(yes):
    return "within" if yes else "out of reach"


def flight_sheet(results):
    """The flown profile for each pack."""
    flight, say = results.flight, speaker(results)
    title = "The flight, pack by pack"
    if flight.missing:
        return Sheet.waiting(title, flight.missing)
    if not flight.holds:
        return Sheet(title, ("number", "value"), (("cruise", f"full throttle does not hold {say(flight.cruise_speed, 'speed')}"),))
    system = results.record.value("start.units")
    amps = lambda p, phase: "none" if p.mean(phase) is None else units.say(p.mean(phase), "current", system, 2)  # noqa: E731
    lines = [
        ("delivers of its label", [f"{units.say(p.capacity, 'charge', system)}, {say(p.delivered, 'share', 2)}" for p in flight.packs]),
        ("launch, mean current", [amps(p, "launch") for p in flight.packs]),
        ("climb, mean current", [amps(p, "climb") for p in flight.packs]),
        ("straight cruise, mean current", [amps(p, "cruise") for p in flight.packs]),
        ("circuits, mean current", [amps(p, "circuits") for p in flight.packs]),
        ("of it for the receiver", [units.say(p.regulator_current, "small current", system, 2) if p.regulator_current else "none" for p in flight.packs]),
        ("lowest volts of a cell in launch and climb", [say(p.climb_volts, "volts") for p in flight.packs]),
        ("first limit", [f"{'usable charge drawn' if p.limit == 'charge' else f'cut-off in the {p.phase}'} after {units.say(p.time, 'time', system)} "
                         f"({units.say_range(p.time_low, p.time_high, 'time', system)})" for p in flight.packs]),
        ("left at the land-by time", [say(p.charge_at_landing, "share", 2) for p in flight.packs]),
        ("to put back then", [units.say(p.put_back, "charge", system) for p in flight.packs]),
        ("a cell at full throttle then", [say(p.end_volts, "volts") for p in flight.packs]),
        ("flights logged", [f"{p.flights}, current {say(p.correction, 'share', 2)} of the computed" if p.flights else "none" for p in flight.packs]),
    ]
    names = tuple("both sides" if p.side == "shared" else f"{p.side} pack" for p in flight.packs)
    note = (f"Land by {minutes(flight.land_by)}; timer of the first flight {minutes(flight.timer_first)}. Cruise at {say(flight.cruise_speed, 'speed')}: the stick goes from "
            f"{say(flight.cruise_throttle, 'share', 2)} to {say(flight.cruise_throttle_end, 'share', 2)} as the packs sag.")
    return Sheet(title, ("number", *names), tuple((label, *cells) for label, cells in lines), note=note)


def numbers(results):
    """The numbers of this step as text."""
    weight, slide, flight, say = results.weight, results.slide, results.flight, speaker(results)
    system = results.record.value("start.units")
    known = lambda value, kind, digits=None: "not known" if value is None else say(value, kind, digits)  # noqa: E731
    reach = "not known" if slide.packs is None else ", ".join(f"{'pack' if p.side == 'shared' else p.side} {say(p.together, 'length')}" for p in slide.packs)
    return {
        "mass": known(weight.mass, "mass"),
        "mass, one standard deviation": units.say_range(weight.mass_low, weight.mass_high, "mass", system, 3),
        "mass from": weight.mass_origin or "not known",
        "against the aim": "not known" if None in (weight.mass, weight.target) else f"{say(abs(weight.mass - weight.target), 'mass')} {'over' if weight.mass > weight.target else 'under'}",
        "foam board": "not known" if weight.foam_area is None else units.say(weight.foam_area, "area", system),
        "CG behind the leading edge": known(weight.cg_behind, "length"),
        "wanted CG": known(slide.wanted, "length"),
        "packs belong at": reach,
        "inertia in yaw": units.say(weight.inertia_zz, "inertia", system, 2),
        "land by": "not known" if flight.land_by is None else minutes(flight.land_by),
        "first-flight timer": "not known" if flight.timer_first is None else minutes(flight.timer_first),
        "empty first": flight.first or "not known",
    }


SHEETS = {"parts": parts_sheet, "totals": totals_sheet, "slide": slide_sheet, "flight": flight_sheet}
