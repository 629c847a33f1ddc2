"""Sheets of the printed record: what somebody needs who takes this aeroplane up again in two years. They show what is in the record and in the results."""

import importlib

from twinkit import quantities, units
from twinkit.drawings import bench_tables, first_flight_sheets, wiring
from twinkit.drawings.base import Sheet
from twinkit.quantities import SIDES

NOTHING = "not written down"
TABLES_OF = ("wiring", "leads")    # sections whose tables are printed whole
FIVE = (("weight", "mass"), ("weight", "CG behind the leading edge"), ("wing", "wing loading"), ("wing", "stall speed"), ("rudder", "throttle the rudder holds on the approach"))
RESTORE = {"pin": "push the pin back into the plug until it clicks, and take the sleeve off first", "extension": "take the marked extension out: the controller's own plug is whole",
           "cut": "it was cut: solder it together and sleeve it, or fit a new lead"}


def _numbers(results, step):
    return importlib.import_module(f"twinkit.drawings.{step}").numbers(results)


def entry_text(record, path):
    """What the record says of an entry, as people read it; '' when it says nothing and nothing is assumed."""
    entry, quantity = record.get(path), quantities.quantity(path)
    if entry is None:
        return ""
    if quantity.kind == "flag":
        return "yes" if entry.value else "no"
    return quantity.choices.get(entry.value, entry.text) if quantity.kind == "choice" else entry.text


def _entry(results, path):
    """What the record says; where it comes from is said unless the builder simply chose it."""
    entry = results.record.get(path)
    if entry is None:
        return NOTHING
    return entry_text(results.record, path) + ("" if entry.origin == "chosen" else f" ({entry.origin})")


def rows_sheet(record, table, title="", columns=None, note=""):
    """A table of the record as it was written."""
    entry = quantities.TABLES[table]
    shown = [c for c in entry.columns if columns is None or c.name in columns]
    text = lambda c, cell: c.choices.get(cell.value, cell.text) if c.kind == "choice" else cell.text  # noqa: E731
    rows = tuple(tuple(text(c, row[c.name]) if c.name in row else "" for c in shown) for row in record.rows(table))
    return Sheet(title or entry.label.capitalize(), tuple(c.label for c in shown), rows or ((NOTHING, *[""] * (len(shown) - 1)),), note=note)


def two_sides(results, title, names, first="", note=""):
    """Entries that differ from side to side, beside each other, by register ids."""
    rows = []
    for id_ in names:
        entry = quantities.quantity(id_)
        paths = dict(zip(entry.sides, entry.paths()))
        rows.append((entry.label, *(_entry(results, paths[side]) if side in paths else "" for side in SIDES)))
    return Sheet(title, (first or "what", *SIDES), tuple(rows), note=note)


def five(results):
    """The five numbers a reader looks for first."""
    datum = results.record.value("bench.cg_mark")
    rows = tuple((f"{name} (the mark: {datum})" if datum and name.startswith("CG") else name, _numbers(results, step).get(name, "not known")) for step, name in FIVE)
    return Sheet("Five numbers", ("number", "this aeroplane"), rows)


def as_built(results):
    """As designed, when each step was kept, against as it stands now; then computed against found."""
    record, say = results.record, lambda value, kind: units.say(value, kind, record.value("start.units"))
    rows = []
    for step in quantities.STEPS:
        kept, now = record.kept(step), _numbers(results, step)
        rows += [(f"page {quantities.STEPS.index(step):02d}, kept {kept.when[:10]}", name, then, now[name]) for name, then in (kept.results if kept else {}).items()
                 if name in now and now[name] != then]
    listed = results.weight
    rows.append(("on the scale", "mass", _entry(results, "weight.mass_target"), _entry(results, "weight.mass_measured")))
    rows.append(("on two fingers", "CG behind the leading edge", "" if results.wing.cg_first is None else f"{say(results.wing.cg_first, 'length')} for the first flight",
                 _entry(results, "weight.cg_measured") if record.value("weight.cg_measured") is not None else
                 NOTHING if listed.cg_behind is None else f"{say(listed.cg_behind, 'length')} from the list, never balanced"))
    for side in SIDES:
        bench = getattr(results.bench, side)
        rows.append((f"bench, {side}", "Kv", _entry(results, f"power.{side}.kv"), NOTHING if bench.kv is None else f"{units.say(bench.kv, 'kv', significant=4)} measured"))
    rows.append(("transmitter", "full stick gives, left and right", "100 %", " and ".join(entry_text(record, f"bench.{side}.end_point") for side in SIDES)))
    return Sheet("As designed, as built", ("where", "number", "as designed", "as built"), tuple(rows), note="The reasons stand in the journal below.")


def reasons(results):
    """What was kept and why, the builder's own notes, and what was flown knowing a stop."""
    record = results.record
    rows = [(line.get("when", "")[:10], f"kept: {quantities.SECTIONS.get(line.get('step'), '')}", line.get("reason") or "no reason given") for line in record.journal]
    rows += [("", f"note: {quantities.SECTIONS[step]}", record.note(step)) for step in quantities.STEPS if record.note(step)]
    return Sheet("Journal, reasons and notes", ("date", "what", "in the builder's words"), tuple(rows) or (("", NOTHING, ""),))


def wiring_built(results):
    """The wiring as it is, which red lead is out, where, and how to restore it."""
    record, layout = results.record, results.layout
    rows = [(quantities.quantity(path).label, _entry(results, path)) for path in ("power.packs", "power.controllers", "power.source", "power.throttle")]
    out = [side for side in SIDES if record.value(f"wiring.{side}.red_lead") in ("isolated", "bare")]
    for side in SIDES:
        rows.append((f"red lead, {side} throttle plug", _entry(results, f"wiring.{side}.red_lead")))
    way = record.value("wiring.isolation")
    rows.append(("isolated lead", f"{' and '.join(out)}: {entry_text(record, 'wiring.isolation')}" if out else "none is out"))
    rows.append(("to restore it", RESTORE[way] if out and way else "nothing to restore"))
    rows += [(f"{quantities.quantity(f'wiring.{name}').label.removesuffix(' connected')}, {side}", _entry(results, f"wiring.{side}.{name}")) for name in ("ground_kept", "pack_polarity") for side in SIDES]
    if layout.known and layout.planted:
        rows.append(("departs from the layout", "; ".join(layout.planted)))
    rows.append(("antenna", _entry(results, "wiring.antenna")))
    return Sheet("Wiring as built", ("what", "as it is"), tuple(rows), note="The picture, the meter sheet and the order of plugging in stand under page 02.")


def controllers(results):
    """Settings of both controllers."""
    names = ["power.controller_name", "power.controller_current", "power.controller_cells",
             *(f"wiring.{path.rsplit('.', 1)[1]}" for path in quantities.paths("wiring", "settings") if quantities.side_of(path) == "left"), "wiring.cut_set", "wiring.failsafe_set", "bench.end_point"]
    return two_sides(results, "Controllers", names, note="Cut-off volts and cell count are set by hand, the same on both.")


def motors(results):
    """Motors, propellers, rotation, shims."""
    names = ("power.motor_name", "power.kv", "power.motor_mass", "power.motor_current_limit", "power.propeller_diameter", "power.propeller_pitch", "power.blades", "power.propeller_style",
             "power.propeller_hand", "wiring.turns", "bench.shims", "bench.motor_after", "bench.controller_after", "bench.pack_after")
    return two_sides(results, "Motors and propellers", names)


def bench_points(results):
    """What was read on the bench, and in what air."""
    air = f"Air: {_entry(results, 'bench.temperature')}, field {_entry(results, 'start.elevation')} above the sea"
    density = results.bench.density
    return rows_sheet(results.record, "bench.points", note=air + (f", {density:.3f} kg/m3 reckoned." if density else "."))


def pack_list(results):
    """The packs as they are entered."""
    names = [f"power.{path.rsplit('.', 1)[1]}" for path in quantities.paths("power", "packs") if quantities.side_of(path) == "left"]
    sides = [side for side in ("left", "right", "shared") if any(results.record.written(f"power.{side}.{id_.split('.')[1]}") for id_ in names)]
    rows = tuple((quantities.quantity(id_).label, *(_entry(results, f"power.{side}.{id_.split('.')[1]}") for side in sides)) for id_ in names)
    return Sheet("Packs", ("what", *(sides or ["left"])), rows if sides else ((NOTHING, ""),), note="Cells before the last flight, and how each pack has aged: the register below.")


def places(results):
    """CG mark, pack places, throws, spar, board: what is measured with a ruler."""
    record = results.record
    say = lambda value, kind: units.say(value, kind, record.value("start.units"))  # noqa: E731
    rows = [("the CG mark", _entry(results, "bench.cg_mark"))]
    for path in (*(f"weight.{side}.pack_behind" for side in ("left", "right", "shared")), "weight.pack_below"):
        if record.get(path) is not None:
            rows.append((f"{quantities.quantity(path).label}{', ' + quantities.side_of(path) if quantities.side_of(path) else ''}", _entry(results, path)))
    rows.append(("throws measured at", _entry(results, "bench.throw_point")))
    rows += [(f"throw, {t.surface}", f"{say(t.travel, 'length')} each way at full rates, {units.say(t.angle, 'angle', significant=2)}") for t in results.throws.by_name.values()]
    rows += [(quantities.quantity(path).label, _entry(results, path)) for path in quantities.paths("wing", "structure")]
    rows += [(quantities.quantity(path).label, _entry(results, path)) for path in quantities.paths("weight", "foam")]
    return Sheet("Marks, places and what it is made of", ("what", "as built"), tuple(rows))


def inspected(results):
    """Inspections after flights 1, 5, 10."""
    log = results.flight_log
    if not log.known:
        return Sheet.waiting("Inspections", log.missing)
    rows = (("flights logged", str(len(log.flights))), ("looked over last after flight", str(log.inspected) if log.inspected else "never"),
            ("due now", f"the inspection of flight {log.due}" if log.due else "none"))
    return Sheet("Inspections", ("what", "how it stands"), rows)


def other_tables(results):
    """Every table of these sections that was filled in, for example channels or meter readings."""
    return [rows_sheet(results.record, id_) for id_, table in quantities.TABLES.items() if table.section in TABLES_OF and results.record.rows(id_)]


def lasting(results):
    """All these sheets in the order they are printed: (heading, sheets)."""
    record = results.record
    return (
        ("Designed and built", [as_built(results), reasons(results)]),
        ("Wiring, controllers, transmitter", [wiring_built(results), controllers(results), first_flight_sheets.transmitter(results), *other_tables(results)]),
        ("Motors, propellers, bench", [motors(results), wiring.rotation_sheet(results), bench_points(results), bench_tables.SHEETS["fitted"](results)]),
        ("Packs, weights, places", [pack_list(results), rows_sheet(record, "weight.register"), rows_sheet(record, "bench.weighings"),
                                    rows_sheet(record, "weight.parts", "Parts as weighed and placed", ("name", "mass", "count", "behind", "out", "below", "origin")), places(results)]),
        ("Flights, repairs, inspections", [first_flight_sheets.log(results), rows_sheet(record, "bench.repairs"), inspected(results), first_flight_sheets.signatures(results)]),
    )

