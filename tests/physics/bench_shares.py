"""Measured bench rows against the bands the pages show: the share of rows inside the 90 % band, set by set, and the errors after one reading.

    python tests/physics/bench_shares.py [ROWS.csv]

Without a file the rows of data/motor/bench_points are taken; a file has the heads set, motor, kv, resistance, mass, diameter, pitch, blades, style,
duty, voltage, current, thrust, speed (rpm/V, ohm, g, inch, share, V, A, gf, rpm), empty where not known. Three questions:

propeller      the thrust at the measured speed, from diameter, pitch, blades and style alone
label          speed, current and thrust at full throttle from what a label says: Kv and the catalogue's resistance, or Kv and grams where only these are known
one reading    speed, current and thrust at full throttle once one other full-throttle reading of the motor is known: root mean square errors
"""

import csv
import sys
from collections import defaultdict
from dataclasses import MISSING, fields, replace
from functools import cache

import numpy as np

from twinkit import tables
from twinkit.constants import STANDARD_GRAVITY
from twinkit.design import drive_variants
from twinkit.design.drive_parts import Pack, SideDrive, growth_after_reading
from twinkit.design.power import solve
from twinkit.physics import motor
from twinkit.physics.drivetrain import Side, solve_side
from twinkit.physics.propeller import Bands, SectionModel, Style, model_band
from twinkit.physics.propeller_table import loads, propeller_table

INCH, RPM, GRAM_FORCE, DENSITY = 0.0254, 2.0 * np.pi / 60.0, STANDARD_GRAVITY * 1e-3, 1.225
NINE_IN_TEN = 1.645
VARIANTS, UNIT = 2000, 0.03
QUANTITIES = ("speed", "current", "thrust")
DEFAULTS = tables.values("motor/defaults")
BANDS = Bands.from_columns(tables.read("propeller/bands").columns, tables.values("propeller/band_limits"))
# Grams of the motors, which the sets do not print: what motors turning such propellers weigh. Common practice, no source.
GRAMS = {"motor_propeller_testing": 30.0, "esc_test": 55.0, "ctu_mrs": 80.0}


def own_rows():
    """The rows of the package's own table, SI."""
    columns = tables.read("motor/bench_points").columns
    rows = [dict(zip(columns, values)) for values in zip(*columns.values())]
    return [row | {"style": "electric", "mass": GRAMS.get(row["set"], np.nan) * 1e-3} for row in rows]


def rows_of(path):
    """The rows of a file, SI."""
    factors = {"kv": RPM, "resistance": 1.0, "mass": 1e-3, "diameter": INCH, "pitch": INCH, "blades": 1.0, "duty": 1.0, "voltage": 1.0, "current": 1.0,
               "thrust": GRAM_FORCE, "speed": RPM}
    with open(path, newline="", encoding="utf-8-sig") as file:
        return [{"set": row["set"], "motor": row["motor"], "style": row.get("style") or "electric"}
                | {name: float(row[name]) * factor if row.get(name) else np.nan for name, factor in factors.items()} for row in csv.DictReader(file)]


@cache
def chart(diameter, pitch, blades, style):
    shape = Style.from_columns(style, tables.read("propeller/styles").columns, tables.read("propeller/chords").columns)
    return propeller_table(diameter, pitch, blades, shape, SectionModel(**tables.values("propeller/section")), DENSITY, 1.81e-5)


def shape_of(row):
    return round(row["diameter"], 6), round(row["pitch"], 6), int(row["blades"]), row["style"]


def band_of(row, state="static"):
    diameter, pitch, blades, style = shape_of(row)
    return model_band(style, state, "none", blades, diameter, pitch, row["speed"] / (2.0 * np.pi), BANDS)


def by_set(rows):
    found = defaultdict(list)
    for row in rows:
        if np.isfinite(row["speed"]):
            found[row["set"]].append(row)
    return found


def propeller_share(rows):
    """Rows, share of them inside the 90 % band, mean error and root mean square error of the model's thrust at the measured speed."""
    off = np.array([float(loads(chart(*shape_of(row)), row["speed"] / (2.0 * np.pi), 0.0, DENSITY).thrust) / row["thrust"] for row in rows])
    band = np.array([float(band_of(row).ct) for row in rows])
    return len(rows), float((np.abs(np.log(off)) < NINE_IN_TEN * band).mean()), float(off.mean() - 1.0), float(np.sqrt(np.mean((off - 1.0) ** 2)))


def label_drive(row):
    """The drive of a row as page 01 has it from the label: Kv and the catalogue's resistance, or Kv and grams; all in the motor's path is in its resistance."""
    known = np.isfinite(row["resistance"])
    label = row["resistance"] if known else float(motor.resistance_estimate(row["kv"], row["mass"], DEFAULTS["resistance_constant"]))
    grams = row["mass"] if np.isfinite(row["mass"]) else 0.1
    idle = float(motor.no_load_estimate(grams, DEFAULTS["no_load_per_mass"]))
    diameter, pitch, blades, style = shape_of(row)
    unused = {field.name: None for field in fields(SideDrive) if field.default is MISSING}
    return SideDrive(**unused | {
        "side": "left", "kv": DEFAULTS["kv_share"] * row["kv"], "kv_label": row["kv"], "kv_from": "label", "resistance": DEFAULTS["running_factor"] * label,
        "resistance_from": "label" if known else "estimate", "no_load_base": idle, "no_load_slope": 0.0, "no_load_from": "estimate", "table": chart(*shape_of(row)),
        "propeller_diameter": diameter, "propeller_pitch": pitch, "blades": blades, "propeller_style": style, "propeller_measured": "none",
        "thrust_factor": 1.0, "torque_factor": 1.0, "series_resistance": 0.0, "lead_resistance": 0.0, "idle_current": 0.0, "emf": row["voltage"],
        "supply_resistance": 0.0, "kv_band": 0.0, "resistance_band": 0.0, "supply_band": 0.0, "no_load_band": 0.0,
        "pack": Pack("left", "", 1, 1.0, 1.0, 0.0, 0.0, True, row["voltage"], row["voltage"], row["voltage"])})


def label_shares(rows, held=0.9, wider=1.0):
    """Full-throttle rows and the share of them inside the band that holds this share of the variants, by quantity, from the label alone.

    The variants are made by the page's own sampler with the band of the propeller and the usual difference of two units of a label (3 %); wider
    multiplies how far every variant lies off the middle one.
    """
    rows = [row for row in rows if row["duty"] == 1.0 and (np.isfinite(row["resistance"]) or np.isfinite(row["mass"]))]
    inside, ends = {name: [] for name in QUANTITIES}, (50.0 * (1.0 - held), 50.0 * (1.0 + held))
    for row in rows:
        drive = label_drive(row)
        made = drive_variants.varied(drive, drive_variants.chances(drive, replace(drive, side="right"), False, VARIANTS)["left"], 0.0, UNIT)
        at = np.full(VARIANTS, 1.0)
        found = solve(made, made, False, at, at, 0.0 * at, DENSITY).left
        for name, values in (("speed", found.speed_of_rotation), ("current", found.motor_current), ("thrust", found.thrust)):
            middle = np.median(values)
            low, high = np.percentile(middle + wider * (values - middle), ends)
            inside[name].append(low < row[name] < high)
    return len(rows), {name: float(np.mean(found)) if found else np.nan for name, found in inside.items()}


def one_reading_pairs(rows, other_propeller, least=1.2):
    """Pairs of full-throttle rows of one motor: of the same propeller at `least` to 1.5 times the volts, or of another one at volts within 5 %."""
    motors = defaultdict(list)
    for row in rows:
        if row["duty"] == 1.0:
            motors[row["motor"]].append(row)
    for own in motors.values():
        for number, first in enumerate(own):
            for other, second in enumerate(own):
                share = second["voltage"] / first["voltage"]
                same = number // 2 == other // 2 and shape_of(first) == shape_of(second)      # the sets read every propeller at two voltages, one after the other
                if number != other and (0.95 < share < 1.05 and not same if other_propeller else same and least <= share <= 1.5):
                    yield first, second


def one_reading_errors(rows, other_propeller, least=1.2, growth=growth_after_reading):
    """How many such pairs, and the root mean square errors by quantity of the second row, predicted from the first.

    The running resistance is that of the first reading, with the default share of the label's Kv, and grows with speed as on the pages. The same propeller
    also keeps the factors on its loads; of another one only diameter, pitch and blades are known.
    """
    errors = [_errors(first, second, other_propeller, growth) for first, second in one_reading_pairs(rows, other_propeller, least)]
    return len(errors), dict(zip(QUANTITIES, np.sqrt(np.mean(np.square(errors), axis=0)))) if errors else {}


def _errors(first, second, other_propeller, growth=growth_after_reading, idle=0.5):
    kv = first["kv"] * DEFAULTS["kv_share"]
    ohms = float(motor.running_resistance(first["voltage"], first["current"], first["speed"], kv))
    slope = growth(ohms, first["speed"])
    air = loads(chart(*shape_of(first)), first["speed"] / (2.0 * np.pi), 0.0, DENSITY)
    factors = {} if other_propeller else {"thrust_factor": first["thrust"] / air.thrust, "torque_factor": (first["current"] - idle) / kv / air.torque}
    side = Side(kv, ohms - slope * first["speed"], idle, 0.0, chart(*shape_of(second)), resistance_growth=slope, **factors)
    drive = solve_side(side, second["voltage"], 0.0, 0.0, 0.0, DENSITY)
    return [float(found) / second[name] - 1.0 for found, name in ((drive.omega, "speed"), (drive.motor_current, "current"), (drive.thrust, "thrust"))]


def report(rows):
    """The three answers as lines of text."""
    lines = []
    for name, own in by_set(rows).items():
        lines.append(name)
        count, share, mean, rms = propeller_share(own)
        lines.append(f"  propeller: thrust at the measured speed inside its 90 % band for {100 * share:.0f} % of {count} rows (mean error {100 * mean:+.0f} %, rms {100 * rms:.0f} %)")
        count, shares = label_shares(own)
        if count:
            lines.append(f"  label: inside the 90 % band for {', '.join(f'{what} {100 * share:.0f} %' for what, share in shares.items())} of {count} full-throttle rows")
        for words, other, least in (("same propeller, 1.2 to 1.5 times the volts", False, 1.2), ("same propeller, any more volts up to 1.5 times", False, 1.0),
                                    ("another propeller, same volts", True, 1.2)):
            count, errors = one_reading_errors(own, other, least)
            if count:
                lines.append(f"  one reading, {words}: rms {', '.join(f'{what} {100 * error:.1f} %' for what, error in errors.items())} over {count} pairs")
    return lines


if __name__ == "__main__":
    print("\n".join(report(rows_of(sys.argv[1]) if len(sys.argv) > 1 else own_rows())))
