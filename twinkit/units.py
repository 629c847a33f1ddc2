"""Shown units and SI: the number grammar, the conversions and the formatting.

This is the only place with conversion factors. What people type is split here into number and unit by a small grammar; the unit is
looked up in UNITS for the dimension that is wanted; the conversion itself is done by pint, which never sees typed text.
"""

import difflib
import functools
import math
import re
from dataclasses import dataclass

MAX_TYPED = 60  # characters; anything longer is no number a person typed

# SI unit of a quantity -> spellings people use for it -> the same unit for pint. The first spelling is the one we write.
UNITS = {
    "m": {"mm": "mm", "cm": "cm", "m": "m", "in": "inch", "inch": "inch", "inches": "inch", '"': "inch", "ft": "foot", "'": "foot", "km": "km"},
    "m^2": {"dm2": "dm^2", "dm^2": "dm^2", "dm²": "dm^2", "cm2": "cm^2", "cm²": "cm^2", "m2": "m^2", "m²": "m^2", "m^2": "m^2",
            "mm2": "mm^2", "mm²": "mm^2", "mm^2": "mm^2", "in2": "inch^2", "in²": "inch^2", "sq in": "inch^2", "ft2": "foot^2", "ft²": "foot^2"},
    "kg": {"g": "g", "kg": "kg", "oz": "ounce", "lb": "pound"},
    "kg/m^2": {"g/m2": "g/m^2", "g/m²": "g/m^2", "kg/m2": "kg/m^2", "kg/m²": "kg/m^2", "g/dm2": "g/dm^2", "g/dm²": "g/dm^2",
               "oz/ft2": "ounce/foot^2", "oz/ft²": "ounce/foot^2"},
    "kg/m^3": {"kg/m3": "kg/m^3", "kg/m³": "kg/m^3", "oz/ft3": "ounce/foot^3", "oz/ft³": "ounce/foot^3"},
    "kg/m": {"g/m": "g/m", "kg/m": "kg/m", "oz/ft": "ounce/foot"},
    "kg m^2": {"kg m2": "kg*m^2", "g m2": "g*m^2", "kg m²": "kg*m^2", "oz in2": "ounce*inch^2"},
    "m/s": {"m/s": "m/s", "km/h": "km/hour", "kph": "km/hour", "mph": "mile/hour", "ft/s": "foot/s", "kt": "knot", "kn": "knot"},
    "s": {"s": "s", "ms": "ms", "us": "us", "µs": "us", "min": "minute", "h": "hour", "sec": "s"},
    "K": {"°C": "degC", "degC": "degC", "C": "degC", "°F": "degF", "degF": "degF", "F": "degF", "K": "K"},
    "K/W": {"K/W": "K/W", "°C/W": "K/W", "C/W": "K/W"},
    "V": {"V": "V", "mV": "mV", "v": "V", "volt": "V", "volts": "V"},
    "A": {"A": "A", "mA": "mA", "a": "A", "amp": "A", "amps": "A"},
    "ohm": {"mohm": "milliohm", "mΩ": "milliohm", "ohm": "ohm", "Ω": "ohm", "kohm": "kiloohm"},
    "ohm/m": {"ohm/km": "ohm/km", "mohm/m": "milliohm/m", "ohm/m": "ohm/m"},
    "W": {"W": "W", "kW": "kW", "w": "W", "watt": "W", "watts": "W"},
    "W/kg": {"W/kg": "W/kg", "W/lb": "W/pound"},
    "J": {"Wh": "W*hour", "J": "J", "kJ": "kJ"},
    "C": {"mAh": "milliampere*hour", "mah": "milliampere*hour", "Ah": "ampere*hour", "As": "ampere*s"},
    "F": {"uF": "uF", "µF": "uF", "mF": "mF", "nF": "nF", "F": "F"},
    "H": {"nH": "nH", "uH": "uH", "µH": "uH", "mH": "mH", "H": "H"},
    "H/m": {"nH/m": "nH/m", "uH/m": "uH/m"},
    "Hz": {"kHz": "kHz", "Hz": "Hz"},
    "N": {"N": "N", "g": "gram_force", "gf": "gram_force", "kgf": "kilogram_force", "kg": "kilogram_force", "oz": "ounce_force",
          "lb": "pound_force", "lbf": "pound_force"},
    "N m": {"N m": "N*m", "Nm": "N*m", "N mm": "N*mm", "kg cm": "kilogram_force*cm", "g cm": "gram_force*cm", "oz in": "ounce_force*inch",
            "mN m": "mN*m"},
    "N/m^2": {"N/m2": "N/m^2"},
    "Pa": {"MPa": "MPa", "GPa": "GPa", "hPa": "hPa", "Pa": "Pa", "psi": "psi", "kPa": "kPa"},
    "rad": {"deg": "degree", "°": "degree", "rad": "radian"},
    "rad/s": {"rpm": "rpm", "rev/min": "rpm", "rad/s": "radian/s", "deg/s": "degree/s", "°/s": "degree/s"},
    "rad/(s V)": {"rpm/V": "rpm/V", "Kv": "rpm/V", "kv": "rpm/V", "rpm/v": "rpm/V", "rad/(s V)": "radian/(s*V)"},
    "1": {"": "dimensionless", "%": "percent", "percent": "percent", "C": "dimensionless", "x": "dimensionless"},
}

_PREFIX_MATTERS = ("ohm", "ohm/m", "F", "H", "A", "V", "Pa")  # milli and mega, micro and so on both make sense: case is not guessed
_FRACTIONS = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
_NUMBER = re.compile(r"[+-]?(?:\d+ \d+/\d+|\d+/\d+|\d{1,3}(?:[ ']\d{3})+(?:[.,]\d+)?|[\d.,]*\d[.,]?(?:[eE][+-]?\d{1,3})?)")


class UnitsError(ValueError):
    """A typed value that cannot be read; its text is a sentence for the reader."""


@functools.cache
def _pint():
    import pint

    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


@functools.cache
def _line(unit):
    """Slope and offset with SI = slope * shown + offset, for a unit in pint's own syntax."""
    registry = _pint()
    zero, one = (registry.Quantity(x, unit).to_base_units().magnitude for x in (0.0, 1.0))
    if registry.Unit(unit).dimensionless:
        zero, one = (registry.Quantity(x, unit).to("").magnitude for x in (0.0, 1.0))
    if float(zero) != 0.0:  # a temperature scale: the difference alone is exact
        return float(registry.Quantity(1.0, f"delta_{unit}").to_base_units().magnitude), float(zero)
    return float(one), 0.0


def table_to_si(values, unit):
    """Numbers in a unit of our own tables (pint syntax) as SI."""
    slope, offset = _line(unit)
    return values * slope + offset


def spelling(si_unit, typed):
    """The known spelling behind what was typed for this dimension, or UnitsError with the nearest one."""
    known = UNITS.get(si_unit, {})
    if typed in known:
        return typed
    loose = {}
    for name in known:
        loose.setdefault(name.casefold().replace(" ", "").replace("·", ""), name)
    folded = typed.casefold().replace(" ", "").replace("·", "").replace("*", "").replace("^", "")
    if folded in loose and not (si_unit in _PREFIX_MATTERS and {typed[0], loose[folded][0]} == {"m", "M"}):
        return loose[folded]
    first = {}
    for name, meant in known.items():
        first.setdefault(meant, name)
    near = difflib.get_close_matches(typed, list(first.values()), n=1, cutoff=0.3)
    allowed = ", ".join(name for name in first.values() if name)
    hint = f"; did you mean {near[0]}?" if near and near[0] else ""
    if allowed:
        raise UnitsError(f"the unit '{typed}' does not fit here: allowed are {allowed}{hint}")
    raise UnitsError(f"the unit '{typed}' does not fit here: a plain number is wanted")


def to_si(number, unit, si_unit):
    """A number (or array) in a shown unit as SI."""
    slope, offset = _line(UNITS[si_unit][spelling(si_unit, unit)])
    return number * slope + offset


def from_si(value, unit, si_unit):
    """An SI value (or array) in a shown unit."""
    slope, offset = _line(UNITS[si_unit][spelling(si_unit, unit)])
    return (value - offset) / slope


@dataclass(frozen=True)
class Typed:
    """What was typed, taken apart: the number, and the unit as spelled ('' when none was given)."""

    number: float
    unit: str


def _plain(text):
    """One number without a unit."""
    body = text.strip()
    if re.fullmatch(r"[+-]?\d+ \d+/\d+", body):
        whole, fraction = body.split(" ")
        sign = -1.0 if whole.startswith("-") else 1.0
        return float(whole) + sign * _plain(fraction)
    if re.fullmatch(r"[+-]?\d+/\d+", body):
        above, below = body.split("/")
        if float(below) == 0:
            raise UnitsError(f"'{text}' divides by zero")
        return float(above) / float(below)
    body = body.replace(" ", "").replace("'", "")
    if "," in body:
        body = _comma(body, text)
    elif body.count(".") > 1:
        groups = body.lstrip("+-").split(".")
        if not (1 <= len(groups[0]) <= 3 and all(len(g) == 3 for g in groups[1:])):
            raise UnitsError(f"'{text}' has more than one decimal point")
        body = body.replace(".", "")
    try:
        number = float(body)
    except ValueError:
        raise UnitsError(f"'{text}' is not a number: write it like 1160, 0.19 or 45 1/2") from None
    if not math.isfinite(number):
        raise UnitsError(f"'{text}' is too large to be a number here")
    return number


def _comma(body, text):
    """A number with commas as one with a decimal point; refused with both readings where it could be either."""
    sign = body[0] if body[0] in "+-" else ""
    digits = body.lstrip("+-")
    if "." in digits:
        if digits.rfind(",") > digits.rfind("."):  # 1.160,5
            head, _, tail = digits.rpartition(",")
            if "," not in head and re.fullmatch(r"\d{1,3}(\.\d{3})+", head):
                return sign + head.replace(".", "") + "." + tail
        elif re.fullmatch(r"\d{1,3}(,\d{3})+\.\d*", digits):  # 1,160.5
            return sign + digits.replace(",", "")
        raise UnitsError(f"'{text}' mixes points and commas in a way that cannot be read: write one decimal point only")
    if digits.count(",") > 1:
        if re.fullmatch(r"[1-9]\d{0,2}(,\d{3})+", digits):
            return sign + digits.replace(",", "")
        raise UnitsError(f"'{text}' has more than one comma: write one decimal point only")
    head, _, tail = digits.partition(",")
    if re.fullmatch(r"[1-9]\d{0,2}", head) and re.fullmatch(r"\d{3}", tail):
        raise UnitsError(f"'{text}' can be read as {head}.{tail} or as {head}{tail}: write one of these two")
    return sign + (head or "0") + "." + tail


def _parts(text):
    """Typed text as a list of Typed: one, or several for lengths such as '3 ft 10 in'."""
    if len(text) > MAX_TYPED:
        raise UnitsError(f"'{text[:20]}...' is too long to be a number: at most {MAX_TYPED} characters")
    rest = text.strip()
    for mark, plain in {"−": "-", "’": "'", "′": "'", "”": '"', "″": '"', "''": '"', "\u00a0": " ", "\u202f": " "}.items():
        rest = rest.replace(mark, plain)
    for mark, plain in _FRACTIONS.items():
        rest = re.sub(rf"(?<=\d){mark}", plain, rest).replace(mark, plain.strip())
    if not rest:
        raise UnitsError("nothing was entered")
    parts = []
    while rest:
        found = _NUMBER.match(rest)
        if not found:
            raise UnitsError(f"'{text}' does not begin with a number" if not parts else f"'{rest}' in '{text}' is not a number")
        number = _plain(found.group())
        rest = rest[found.end():]
        unit = re.match(r"[^\d+-]*(?:(?<=[A-Za-z^])[23](?!\d))?(?:/[A-Za-z]+[23]?)?", rest).group()
        if unit.strip() == "" and rest.strip() and rest.strip() != unit.strip():
            raise UnitsError(f"'{text}' cannot be read as one number: write it like 1160, 0.19 or 45 1/2")
        rest = rest[len(unit):].strip()
        parts.append(Typed(number, unit.strip()))
    return parts


def parse(text, si_unit, default_unit=None):
    """Typed text as SI.

    default_unit is the unit shown beside the field and is taken when none was typed; with None a unit must be written, except for pure numbers.
    """
    parts = _parts(str(text))
    if len(parts) > 1:
        kinds = [spelling(si_unit, p.unit) if p.unit else None for p in parts]
        if si_unit != "m" or len(parts) != 2 or kinds[0] not in ("ft", "'") or kinds[1] not in ("in", "inch", "inches", '"', None):
            raise UnitsError(f"'{text}' holds more than one number")
        if parts[0].number < 0 or parts[1].number < 0:
            raise UnitsError(f"'{text}' holds a minus sign that cannot be read")
        if parts[1].number >= 12:
            raise UnitsError(f"'{text}' has 12 inches or more beside the feet: write it in inches alone")
        return to_si(parts[0].number, "ft", "m") + to_si(parts[1].number, "in", "m")
    number, unit = parts[0].number, parts[0].unit
    if not unit:
        if default_unit is None and si_unit != "1":
            first = next(iter(UNITS[si_unit]))
            raise UnitsError(f"'{text}' has no unit: write it like {number:g} {first}")
        unit = default_unit if default_unit is not None else ""
    return float(to_si(number, spelling(si_unit, unit), si_unit))


def digits(value, significant=3):
    """A number with a sensible count of digits and no exponent, as text to read: a true minus sign. With more than 4 (typed fields) closing zeros are left
    out and the minus is the one that is typed."""
    if value is None or not math.isfinite(value):
        return "not known"
    if value == 0:
        return "0"
    size = math.floor(math.log10(abs(value)) + 1e-12)
    places = significant - 1 - size
    if places <= 0:
        text = f"{round(value):d}" if abs(value) < 1e15 else f"{value:.3g}"
    else:
        text = f"{value:.{places}f}"
        text = text.rstrip("0").rstrip(".") if significant > 4 else text
    return text if significant > 4 else text.replace("-", "−")


def signed(value, places=0):
    """A number with its sign, as text to read: '+0.3', '−12'."""
    return f"{value:+.{places}f}".replace("-", "−")


def shown(value, unit, si_unit, significant=3):
    """An SI value as text in a shown unit, with a sensible count of digits: '1160 mm'."""
    if value is None or not math.isfinite(value):
        return "not known"
    text = digits(from_si(value, unit, si_unit), significant)
    return f"{text} {unit}".strip() if unit != "%" else f"{text} %"


def exact(value, unit, si_unit):
    """An SI value as the shortest text in a unit that reads back to the same value (for the record)."""
    number = from_si(value, unit, si_unit)
    if math.isclose(to_si(0.0, unit, si_unit), value, rel_tol=1e-12, abs_tol=1e-300):
        return f"0 {unit}".strip()
    for significant in range(1, 18):
        text = f"{number:.{significant}g}"
        if math.isclose(to_si(float(text), unit, si_unit), value, rel_tol=1e-12, abs_tol=1e-300):
            break
    if "e" in text:
        plain = f"{float(text):.15f}".rstrip("0").rstrip(".")
        text = plain if float(plain) == float(text) else text
    return f"{text} {unit}".strip()


# What pages and findings say of a kind of number: SI unit, metric and imperial unit.
KINDS = {
    "length": ("m", "mm", "in"), "distance": ("m", "m", "ft"), "area": ("m^2", "dm2", "in2"), "mass": ("kg", "g", "oz"), "speed": ("m/s", "m/s", "mph"), "climb": ("m/s", "m/s", "ft/s"),
    "thrust": ("N", "N", "oz"), "force": ("N", "N", "lbf"), "power": ("W", "W", "W"), "current": ("A", "A", "A"), "small current": ("A", "mA", "mA"),
    "volts": ("V", "V", "V"), "resistance": ("ohm", "mohm", "mohm"), "charge": ("C", "mAh", "mAh"), "energy": ("J", "Wh", "Wh"),
    "rpm": ("rad/s", "rpm", "rpm"), "kv": ("rad/(s V)", "rpm/V", "rpm/V"), "angle": ("rad", "deg", "deg"), "time": ("s", "min", "min"),
    "seconds": ("s", "s", "s"), "temperature": ("K", "°C", "°F"), "share": ("1", "%", "%"), "number": ("1", "", ""), "moment": ("N m", "N m", "oz in"),
    "loading": ("kg/m^2", "g/dm2", "oz/ft2"), "cubic loading": ("kg/m^3", "kg/m3", "oz/ft3"), "areal mass": ("kg/m^2", "g/m2", "oz/ft2"),
    "stress": ("Pa", "MPa", "MPa"), "inertia": ("kg m^2", "g m2", "oz in2"), "capacitance": ("F", "uF", "uF"), "density": ("kg/m^3", "kg/m3", "kg/m3"),
    "power loading": ("W/kg", "W/kg", "W/lb"), "inductance": ("H", "nH", "nH"), "frequency": ("Hz", "kHz", "kHz"), "small volts": ("V", "mV", "mV"), "warming": ("K", "K", "K"),
    "wire area": ("m^2", "mm2", "mm2"), "wire resistance": ("ohm/m", "mohm/m", "mohm/m"), "wire mass": ("kg/m", "g/m", "oz/ft"),
}


def say(value, kind, system="metric", significant=3):
    """An SI value as text with the unit of its kind: say(12.3, 'speed') is '12.3 m/s'; None or nan is 'not known'."""
    si_unit, metric, imperial = KINDS[kind]
    return shown(value, imperial if system == "imperial" else metric, si_unit, significant)


def say_within(value, low, high, kind, system="metric", significant=3, lead="9 in 10: "):
    """A value and the band that holds it nine times in ten, with the value's own decimals: '12.2 A (9 in 10: 11.6 to 12.8)'; the value alone without a band."""
    words = say(value, kind, system, significant)
    if value is None or low is None or math.isnan(low) or math.isnan(high) or not math.isfinite(value) or math.isinf(low):
        return words
    si_unit, metric, imperial = KINDS[kind]
    unit = imperial if system == "imperial" else metric
    told_by = value or max(abs(low), 0.0 if math.isinf(high) else abs(high))     # nothing has no decimals of its own: those of its band then
    places = len(digits(from_si(told_by, unit, si_unit), significant).partition(".")[2])
    told = lambda end: f"{from_si(end, unit, si_unit):z.{places}f}".replace("-", "−")  # noqa: E731
    return f"{words} ({lead}{f'above {told(low)}' if math.isinf(high) else f'{told(low)} to {told(high)}'})"


def say_range(low, high, kind, system="metric", significant=2):
    """A band as text: '8 to 12 m/s'."""
    si_unit, metric, imperial = KINDS[kind]
    unit = imperial if system == "imperial" else metric
    if low is None or high is None or not (math.isfinite(low) and math.isfinite(high)):
        return "not known"
    return f"{digits(from_si(low, unit, si_unit), significant)} to {shown(high, unit, si_unit, significant)}"
