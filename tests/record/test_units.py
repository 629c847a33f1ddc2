"""The grammar of typed numbers, the conversions and the formatting."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from twinkit import units
from twinkit.quantities import QUANTITIES, TABLES
from twinkit.units import UnitsError, exact, from_si, parse, shown, to_si

NUMBERS = [q for q in (*QUANTITIES.values(), *(c for t in TABLES.values() for c in t.columns)) if q.kind == "number"]


# Conversions from memory of NIST SP 811 (2008), appendix B.8: inch, foot, pound, ounce, pound-force, mile, knot, psi are given with all digits
# that count here; the tolerance is that of rounding in double precision, 1e-14, or of the digits printed there, 1e-6.
@pytest.mark.published
@pytest.mark.parametrize(("text", "si_unit", "value", "tolerance"), [
    ("1 in", "m", 0.0254, 1e-14), ("1 ft", "m", 0.3048, 1e-14), ("1 lb", "kg", 0.45359237, 1e-14), ("1 oz", "kg", 0.028349523125, 1e-12),
    ("1 mph", "m/s", 0.44704, 1e-12), ("1 kt", "m/s", 1852 / 3600, 1e-12), ("1 psi", "Pa", 6894.757, 1e-6), ("1 lbf", "N", 4.448222, 1e-6),
    ("1 oz", "N", 0.2780139, 1e-6), ("1 g", "N", 9.80665e-3, 1e-12), ("1 kgf", "N", 9.80665, 1e-12), ("1 oz/ft2", "kg/m^2", 0.3051517, 1e-6),
    ("1 W/lb", "W/kg", 2.2046226, 1e-7), ("32 °F", "K", 273.15, 1e-12), ("212 °F", "K", 373.15, 1e-12), ("1 °", "rad", math.pi / 180, 1e-14),
    ("1 oz in", "N m", 7.061552e-3, 1e-6), ("1 kg cm", "N m", 9.80665e-2, 1e-12),
])
def test_conversions_are_those_of_the_tables(text, si_unit, value, tolerance):
    assert parse(text, si_unit) == pytest.approx(value, rel=tolerance, abs=0)


@pytest.mark.identity
@pytest.mark.parametrize(("text", "si_unit", "value"), [
    ("0,19 m", "m", 0.19), ("1 160 mm", "m", 1.16), ("5 ma", "A", 0.005), ("3 ft 10 in", "m", 46 * 0.0254), ("45 1/2 in", "m", 45.5 * 0.0254),
    ("3'10\"", "m", 46 * 0.0254), ("3' 10", "m", 46 * 0.0254), ("3ft10in", "m", 46 * 0.0254), ("3' 10 1/2\"", "m", 46.5 * 0.0254),
    ("45½ in", "m", 45.5 * 0.0254), ("½ in", "m", 0.0127), ("5/8 in", "m", 0.015875), ("-45 1/2 in", "m", -45.5 * 0.0254),
    ("1\u00a0160\u202f000 mm", "m", 1160.0), ("1'160 mm", "m", 1.16), ("1.160,5 mm", "m", 1.1605), ("1,160.5 mm", "m", 1.1605),
    ("12,345,678", "1", 12345678), ("1.160.000 mm", "m", 1160.0), ("0,190 m", "m", 0.19), (",5 m", "m", 0.5), (".5 m", "m", 0.5), ("5. m", "m", 5),
    ("−3 mm", "m", -0.003), ("+5mm", "m", 0.005), ("1e3 mm", "m", 1), ("1.5E+3 mm", "m", 1.5), ("1,5e3 mm", "m", 1.5), ("5\nmm", "m", 0.005),
    ("20C", "K", 293.15), ("20 °C", "K", 293.15), ("-10 degC", "K", 263.15), ("293.15 K", "K", 293.15), ("30 %", "1", 0.3), ("0.3", "1", 0.3),
    ("25C", "1", 25), ("2 1/2", "1", 2.5), ("2 1/2 %", "1", 0.025), ("1500 mAh", "C", 5400), ("1.5 Ah", "C", 5400), ("1 h", "s", 3600),
    ("40 g/dm2", "kg/m^2", 4), ("40 g/dm²", "kg/m^2", 4), ("12 dm^2", "m^2", 0.12), ("1 sq in", "m^2", 0.0254**2), ("60 rpm", "rad/s", 2 * math.pi),
    ("60 rpm/V", "rad/(s V)", 2 * math.pi), ("60 Kv", "rad/(s V)", 2 * math.pi), ("5 rad/(s V)", "rad/(s V)", 5), ("3 N·m", "N m", 3),
    ("36 km/h", "m/s", 10), ("5 mΩ", "ohm", 0.005), ("470 µF", "F", 470e-6), ("470 \u03bcF", "F", 470e-6), ("100 Wh", "J", 360000), ("2 m2", "m^2", 2),
])
def test_typed_text_is_read_as_people_mean_it(text, si_unit, value):
    assert parse(text, si_unit) == pytest.approx(value, rel=1e-12, abs=0)


@pytest.mark.parametrize(("text", "si_unit", "sentence"), [
    ("1,160 mm", "m", "'1,160' can be read as 1.160 or as 1160: write one of these two"),
    ("9**9**9 mm", "m", "the unit '**' does not fit here: allowed are mm, cm, m, in, ft, km"),
    ("1160", "m", "'1160' has no unit: write it like 1160 mm"),
    ("", "m", "nothing was entered"),
    ("   ", "1", "nothing was entered"),
    ("abc", "m", "'abc' does not begin with a number"),
    ("nan mm", "m", "'nan mm' does not begin with a number"),
    ("inf", "1", "'inf' does not begin with a number"),
    ("1e999 mm", "m", "'1e999' is too large to be a number here"),
    ("1/0 in", "m", "'1/0' divides by zero"),
    ("1.2.3 m", "m", "'1.2.3' has more than one decimal point"),
    ("0,123,456", "1", "'0,123,456' has more than one comma: write one decimal point only"),
    ("1,16.5 mm", "m", "'1,16.5' mixes points and commas in a way that cannot be read: write one decimal point only"),
    ("11 60 mm", "m", "'11 60 mm' cannot be read as one number: write it like 1160, 0.19 or 45 1/2"),
    ("5-3 mm", "m", "'5-3 mm' cannot be read as one number: write it like 1160, 0.19 or 45 1/2"),
    ("3 m 10 cm", "m", "'3 m 10 cm' holds more than one number"),
    ("-3 ft 10 in", "m", "'-3 ft 10 in' holds a minus sign that cannot be read"),
    ("3 ft -10 in", "m", "'3 ft -10 in' holds a minus sign that cannot be read"),
    ("8x6 in", "m", "the unit 'x' does not fit here: allowed are mm, cm, m, in, ft, km"),
    ("1_000 mm", "m", "the unit '_' does not fit here: allowed are mm, cm, m, in, ft, km"),
    ("5 mw", "W", "the unit 'mw' does not fit here: allowed are W, kW"),
    ("5 mm", "kg", "the unit 'mm' does not fit here: allowed are g, kg, oz, lb"),
    ("x" * 61, "m", "'xxxxxxxxxxxxxxxxxxxx...' is too long to be a number: at most 60 characters"),
])
def test_what_cannot_be_read_is_refused_in_a_sentence(text, si_unit, sentence):
    with pytest.raises(UnitsError, match=f"^{re.escape(sentence)}$"):
        parse(text, si_unit)


@pytest.mark.identity
def test_the_unit_beside_the_field_is_taken_when_none_was_typed():
    assert parse("1160", "m", "mm") == pytest.approx(1.16, rel=1e-14)
    assert parse("45 1/2", "m", "in") == pytest.approx(1.1557, rel=1e-14)
    assert parse("30", "1", "%") == pytest.approx(0.3, rel=1e-14)
    assert parse("30 mm", "m", "in") == pytest.approx(0.03, rel=1e-14)
    assert parse("3", "1", "") == 3


@given(st.text(max_size=70), st.sampled_from(list(units.UNITS)))
def test_any_text_is_read_or_refused(text, si_unit):
    try:
        assert math.isfinite(parse(text, si_unit))
    except UnitsError as error:
        assert str(error)


@given(st.text(alphabet="0123456789.,'/ eE+-½ftinm%", max_size=20))
def test_text_that_looks_like_a_number_is_read_or_refused(text):
    try:
        assert math.isfinite(parse(text, "m", "mm"))
    except UnitsError as error:
        assert str(error)


@pytest.mark.identity
@given(st.sampled_from(NUMBERS), st.floats(0, 1), st.booleans())
def test_exact_reads_back_the_same_value(quantity, share, imperial):
    low, high = quantity.possible
    value = low + share * (high - low)
    unit = quantity.shown_unit("imperial" if imperial else "metric")
    assert parse(exact(value, unit, quantity.unit), quantity.unit) == pytest.approx(value, rel=1e-11, abs=1e-11 * max(abs(low), abs(high)))


@pytest.mark.identity
@pytest.mark.parametrize(("si_unit", "spelling"), [
    (si, name) for si, names in units.UNITS.items() for name in names])
def test_every_spelling_converts_there_and_back(si_unit, spelling):
    assert from_si(to_si(12.5, spelling, si_unit), spelling, si_unit) == pytest.approx(12.5, rel=1e-12)
    assert parse(f"12.5 {spelling}", si_unit) == pytest.approx(to_si(12.5, spelling, si_unit), rel=1e-12)


def test_exact_writes_what_people_would_write():
    assert exact(1.16, "mm", "m") == "1160 mm"
    assert exact(288.15, "°C", "K") == "15 °C"
    assert exact(273.15, "°F", "K") == "32 °F"
    assert exact(0.28, "%", "1") == "28 %"
    assert exact(3.0, "", "1") == "3"
    assert exact(0.0, "mm", "m") == "0 mm"
    assert exact(1155.7e-3, "in", "m") == "45.5 in"


def test_shown_has_a_sensible_count_of_digits():
    assert shown(1.16049, "mm", "m") == "1160 mm"
    assert shown(0.1903, "mm", "m") == "190 mm"
    assert shown(0.4567, "%", "1") == "45.7 %"
    assert shown(None, "mm", "m") == "not known"
    assert shown(math.nan, "mm", "m") == "not known"


@pytest.mark.identity
@pytest.mark.parametrize(("text", "metres"), [("3 ft 2 in", 38 * 0.0254), ("5 FT 3 IN", 63 * 0.0254), ("3' 10\"", 46 * 0.0254), ("45\u00a01/2 in", 45.5 * 0.0254),
                                              ("2''", 2 * 0.0254), ("3′ 10″", 46 * 0.0254)])
def test_feet_and_inches_as_people_write_them(text, metres):
    assert parse(text, "m") == pytest.approx(metres, rel=1e-12)


def test_a_capital_m_is_not_taken_for_milli():
    with pytest.raises(UnitsError, match="the unit 'Mohm' does not fit here: allowed are mohm, ohm, kohm"):
        parse("5 Mohm", "ohm")
    assert parse("1500 MAH", "C") == pytest.approx(5400.0), "but nobody means a million ampere hours"


def test_a_foot_has_twelve_inches():
    with pytest.raises(UnitsError, match="'3 ft 14 in' has 12 inches or more beside the feet: write it in inches alone"):
        parse("3 ft 14 in", "m")
