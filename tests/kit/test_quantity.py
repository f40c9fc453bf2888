"""Numbers with units: what is read, what is refused and with which advice, what is shown."""

from __future__ import annotations

import contextlib
import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import BadQuantity
from rigfeed.quantity import (
    LONGEST,
    SPELLINGS,
    UNITS,
    Quantity,
    convert,
    example,
    from_base,
    kind_of,
    mm2_from_awg,
    parse,
    show,
    shown_in,
    three_digits,
    to_base,
    units_of,
)

# (text, unit asked for, value in the base unit). Factors of conversion: NIST SP 811 (2008), appendix B.8; those in bold
# there are exact: 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 yd = 0.9144 m, 1 lb = 0.45359237 kg, 1 lbf = 4.448222 N (rounded),
# 1 lbf in = 0.1129848 N m (rounded), t/degC = (t/degF - 32)/1.8, t/degC = T/K - 273.15, 1 W h = 3600 J,
# 1 circular mil = 5.067075e-10 m2 (rounded).
READ = [
    ("2.5 m", "m", 2.5), ("250 mm", "m", 0.25), ("25 cm", "m", 0.25), ("0.0025 km", "m", 2.5),
    ("1 in", "m", 0.0254), ("1 ft", "m", 0.3048), ("1 yd", "m", 0.9144), ("14 ft", "mm", 4.2672),
    ("2.5 mm2", "mm2", 2.5), ("1 cmil", "mm2", 5.067075e-4), ("250 kcmil", "mm2", 250 * 0.5067075),
    ("12.3 V", "V", 12.3), ("450 mV", "V", 0.45), ("10 A", "A", 10.0), ("6 mA", "A", 0.006),
    ("5 ohm", "ohm", 5.0), ("2.5 mohm", "ohm", 0.0025), ("1 ohm/m", "ohm/m", 1.0), ("7.98 ohm/km", "ohm/m", 0.00798),
    ("7.98 mohm/m", "ohm/m", 0.00798), ("1 ohm/kft", "ohm/m", 1 / 304.8), ("25 W", "W", 25.0), ("1.5 kW", "W", 1500.0),
    ("100 mW", "W", 0.1), ("45 Ah", "Ah", 45.0), ("2500 mAh", "Ah", 2.5), ("3 J", "J", 3.0), ("1 Wh", "J", 3600.0),
    ("5 s", "s", 5.0), ("20 ms", "s", 0.02), ("2 min", "s", 120.0), ("1.5 h", "s", 5400.0), ("2 d", "s", 172800.0),
    ("50 Hz", "Hz", 50.0), ("455 kHz", "Hz", 455e3), ("145.5 MHz", "Hz", 145.5e6), ("1.2 GHz", "Hz", 1.2e9),
    ("3 kg", "kg", 3.0), ("250 g", "kg", 0.25), ("1 lb", "kg", 0.45359237), ("8 N m", "N m", 8.0),
    ("1 lbf in", "N m", 0.1129848), ("20 N", "N", 20.0), ("1 lbf", "N", 4.448222), ("90 deg", "deg", 90.0),
    ("80 %", "%", 0.8), ("0.8", "%", 0.8), ("-3 dB", "dB", -3.0), ("-12 degC", "degC", -12.0), ("32 degF", "degC", 0.0),
    ("212 degF", "degC", 100.0), ("273.15 K", "degC", 0.0),
    ("137200 A2s", "A2s", 137200.0), ("1 H", "H", 1.0), ("2 mH", "H", 0.002), ("3.27 uH", "H", 3.27e-6),
    ("9 nH", "H", 9e-9), ("42.4 W/m", "W/m", 42.4), ("1 kg/m", "kg/m", 1.0), ("46 g/m", "kg/m", 0.046),
    ("1.029 kg/m3", "kg/m3", 1.029), ("2.04e-5 Pa s", "Pa s", 2.04e-5), ("0.2 W/(m K)", "W/(m K)", 0.2),
    # fractions of an inch, exact by 1 in = 25.4 mm
    ("3/8 in", "m", 0.009525), ("1 1/2 in", "m", 0.0381), ('5/16"', "m", 0.0079375), ("1-1/4 inch", "m", 0.03175),
    # ways to write the same
    ("2.5m", "m", 2.5), ("  2.5   m ", "m", 2.5), ("2.5\u00a0m", "m", 2.5), ("+2.5 m", "m", 2.5), (".5 m", "m", 0.5),
    ("5. m", "m", 5.0), ("1e-3 m", "m", 0.001), ("8 N  m", "N m", 8.0), ("5'", "m", 1.524),
    ("85 \u00b0C", "degC", 85.0),
    ("2 \u03a9", "ohm", 2.0), ("2 m\u2126", "ohm", 0.002), ("2.5 mm\u00b2", "mm2", 2.5), ("250 MCM", "mm2", 126.676875),
]


@pytest.mark.parametrize(("text", "unit", "value"), READ)
def test_a_number_with_a_unit_is_read(text, unit, value):
    assert parse(text, unit) == pytest.approx(value, rel=3e-7, abs=1e-9)


def test_every_unit_is_in_the_table_above():
    written = {text.strip().lstrip("+-.0123456789e ") for text, _, _ in READ}
    assert {unit for unit in UNITS if unit != "temperature difference"} <= written | {""}


# Diameters in inches as printed in T. R. Kuphaldt, Lessons in electric circuits, volume 5 chapter 3, copper wire gauge
# table; those of 4/0 and 36 AWG define the series (ASTM B258). The area is that of the circle.
GAUGES = [
    ("4/0 AWG", 0.4600), ("0000 awg", 0.4600), ("AWG 4/0", 0.4600), ("3/0 AWG", 0.4096), ("00 AWG", 0.3648),
    ("1/0 AWG", 0.3249), ("0 AWG", 0.3249), ("2 AWG", 0.2576), ("6 AWG", 0.1620), ("6AWG", 0.1620), ("awg 6", 0.1620),
    ("AWG6", 0.1620), ("10 AWG", 0.1019), ("18 AWG", 0.0403), ("36 AWG", 0.0050),
]


@pytest.mark.parametrize(("text", "diameter_in"), GAUGES)
def test_gauge_numbers_are_read(text, diameter_in):
    diameter_mm = math.sqrt(4 / math.pi * parse(text, "mm2"))
    assert diameter_mm / 25.4 == pytest.approx(diameter_in, abs=0.00006)


def test_a_higher_gauge_number_is_always_a_thinner_wire():
    areas = [mm2_from_awg(gauge) for gauge in range(-3, 41)]
    assert areas == sorted(areas, reverse=True)
    # ASTM B258: each gauge is thinner by the 39th root of 92, and 6 gauges nearly halve the diameter
    assert {round((a / b) ** 0.5, 12) for a, b in pairwise(areas)} == {round(92 ** (1 / 39), 12)}


REFUSED = [
    # text, unit, a piece of what is wrong, a piece of what to do
    ("2,5 m", "m", "decimal comma", "write 2.5 m"),
    ("2,5", "m", "decimal comma", "write 2.5 m"),
    (",5 m", "m", "decimal comma", "write 0.5 m"),
    ("-2,5 V", "V", "decimal comma", "write -2.5 V"),
    ("1.234,5 mm", "m", "decimal comma", "write 1234.5 mm"),
    ("1,234 m", "m", "decimal comma", "write 1.234 m, or 1234 m"),
    ("0,234 m", "m", "decimal comma", "write 0.234 m"),
    ("1,234.5 mm", "m", "thousands", "write 1234.5 mm"),
    ("2 500 mm", "m", "thousands", "write 2500 mm"),
    ("1,5,6 m", "m", "not a number", "2.5 m"),
    ("2.5", "m", "has no unit", "2.5 m"),
    ("10", "mm2", "has no unit", "10 mm2"),
    ("", "m", "not a number", "2.5 m"),
    ("m", "m", "not a number", "2.5 m"),
    ("about 3 m", "m", "not a number", "2.5 m"),
    ("5-6 m", "m", "not a number", "2.5 m"),
    ("0x10 m", "m", "not a number", "2.5 m"),
    ("1.2.3 m", "m", "not a number", "2.5 m"),
    ("\u0663 m", "m", "not a number", "2.5 m"),
    ("nan m", "m", "not a number", "2.5 m"),
    ("inf m", "m", "not a number", "2.5 m"),
    ("1e999 m", "m", "too large", ""),
    ("1e308 km", "m", "too large", ""),
    ("9" * 70 + " m", "m", "a text of 72 characters", "2.5 m"),
    ("14 furlongs", "m", "'furlongs' is not a unit of length", "use one of: m, mm, cm, km, in, ft, yd"),
    ("5 V", "A", "is a voltage, not a current", "use one of: A, mA"),
    ("2.5 mm", "mm2", "is a length, not a cross-section", "use one of: mm2, cmil, kcmil, AWG"),
    ("6 AWG", "m", "'AWG' is not a unit of length", "use one of: m"),
    ("2 MW", "W", "'MW' is not a unit of power", "use one of: W, kW, mW"),
    ("5/0 AWG", "mm2", "outside of the gauge", "4/0 AWG to 40 AWG"),
    ("41 AWG", "mm2", "outside of the gauge", "4/0 AWG to 40 AWG"),
    ("00000 AWG", "mm2", "outside of the gauge", "4/0 AWG to 40 AWG"),
    ("1/0 in", "m", "not a number", "2.5 m"),
    ("1/2 m", "m", "fractions", "write 0.5 m"),
    ("5'6\"", "m", "two units", "write 5.5 ft"),
    ("5 ft 6 in", "m", "two units", "write 5.5 ft"),
    ("\u221212 degC", "degC", "dash", "write -12 degC"),
    ("9" * 40 + "/0 in", "m", "not a number", "2.5 m"),
]


@pytest.mark.parametrize(("text", "unit", "what", "remedy"), REFUSED)
def test_anything_else_is_refused_with_advice(text, unit, what, remedy):
    with pytest.raises(BadQuantity) as caught:
        Quantity.parse(text, unit)
    assert what in caught.value.what
    assert remedy in caught.value.remedy
    assert isinstance(caught.value, ValueError)


@pytest.mark.parametrize(("text", "unit"), [(t, u) for t, u, _, remedy in REFUSED if remedy.startswith("write ")])
def test_the_advice_itself_is_read(text, unit):
    with pytest.raises(BadQuantity) as caught:
        parse(text, unit)
    for advice in caught.value.remedy.removeprefix("write ").split(", or "):
        assert math.isfinite(parse(advice, unit))


@pytest.mark.parametrize("unit", sorted(set(UNITS) - {"temperature difference"}))
def test_the_example_of_each_unit_is_read(unit):
    assert parse(example(unit), unit) == pytest.approx(to_base(2.5, unit))


@pytest.mark.parametrize(("spelling", "unit"), SPELLINGS.items())
def test_another_spelling_means_the_same(spelling, unit):
    assert parse(f"2.5 {spelling}", unit) == parse(f"2.5 {unit}", unit)


def test_no_spelling_hides_a_unit():
    assert not set(SPELLINGS) & set(UNITS)
    assert set(SPELLINGS.values()) <= set(UNITS)


def test_a_quantity_keeps_its_text_and_is_equal_by_it():
    feet = Quantity.parse("14 ft", "m")
    assert (str(feet), feet.text, feet.si) == ("14 ft", "14 ft", pytest.approx(4.2672))
    assert feet.to("in") == pytest.approx(168)
    assert feet == Quantity("14 ft", 0.0)
    assert feet != Quantity.parse("168 in", "m")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0, "0"), (-0.0, "0"), (11.892, "11.9"), (0.3315, "0.332"), (1306, "1310"), (15.0, "15"), (99.96, "100"),
        (999.96, "1000"), (0.99951, "1"), (-0.05, "-0.05"), (1e6, "1000000"), (123456789, "123000000"),
        (1e-6, "0.000001"), (1.234e-7, "1.23e-07"), (-4.5e13, "-4.5e+13"), (float("inf"), "inf"), (5e-324, "4.94e-324"),
    ],
)
def test_three_digits(value, text):
    assert three_digits(value) == text


@given(st.floats(-1e308, 1e308))
def test_three_digits_lose_no_more_than_half_of_the_third(value):
    assert float(three_digits(value)) == pytest.approx(value, rel=0.00501, abs=1e-322)
    assert len(three_digits(value)) <= 17


@given(
    st.floats(-1e9, 1e9),
    st.sampled_from(sorted(set(UNITS) - {"temperature difference", ""})),
    st.sampled_from(["metric", "us"]),
)
def test_what_is_shown_can_be_read_again(value, unit, system):
    read = parse(show(value, unit, system), unit)
    shown = convert(value, unit, shown_in(unit, system))
    room = to_base(0.005 * abs(shown), shown_in(unit, system)) - to_base(0.0, shown_in(unit, system))
    assert read == pytest.approx(to_base(value, unit), abs=room * 1.01 + 1e-9)


@given(st.floats(1e-9, 1e9), st.data())
def test_conversions_there_and_back(value, data):
    unit = data.draw(st.sampled_from(sorted(UNITS)))
    other = data.draw(st.sampled_from([name for name in UNITS if UNITS[name].kind == kind_of(unit)]))
    assert convert(convert(value, unit, other), other, unit) == pytest.approx(value, rel=1e-9, abs=1e-9)
    assert from_base(to_base(value, unit), unit) == pytest.approx(value, rel=1e-9, abs=1e-9)


@given(
    st.text(max_size=LONGEST + 10) | st.text(alphabet="0123456789.,/-+ eE'\"_inftmaAWG%\u2212", max_size=20),
    st.sampled_from(["m", "mm2", "V", "%", "degC"]),
)
def test_any_text_gives_a_finite_number_or_is_refused(text, unit):
    with contextlib.suppress(BadQuantity):
        assert math.isfinite(parse(text, unit))


def test_units_of_a_kind_begin_with_its_base():
    assert units_of("length")[0] == "m"
    assert units_of("cross-section") == ("mm2", "cmil", "kcmil", "AWG")
    for kind in {unit.kind for unit in UNITS.values()}:
        base = UNITS[next(name for name in UNITS if UNITS[name].kind == kind)]
        assert (base.factor, base.offset) == (1.0, 0.0)
