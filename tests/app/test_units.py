"""Conversion and wording of quantities.

Factors are held to NIST Special Publication 811 (2008), appendix B.8, as printed there (from memory), to the exact
definitions behind them, and to `scipy.constants`, a general library that has them by its own table.
"""

import math
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy import constants

from app.reading import parse
from app.units import (
    INCHES,
    KINDS,
    MILLIMETRES,
    SIXTEENTHS,
    UNITS,
    Display,
    as_kind,
    both,
    edit_text,
    fraction_text,
    scale,
    show,
    show_tape,
    shown_unit,
    stored,
    unit_named,
)
from app.window.form.field_text import field_text, typing_text
from geometry.document.vehicle import Display as VehicleDisplay
from geometry.words.wording import inches

MIXED = Display("inch", "newton_metre")
DISPLAYS = (INCHES, MILLIMETRES, MIXED, Display("millimetre", "pound_foot"))
kinds = st.sampled_from(KINDS)
displays = st.sampled_from(DISPLAYS)
finite = st.floats(allow_nan=False, allow_infinity=False)
workshop = st.floats(-1e6, 1e6)


# Exact by definition: international yard and pound agreement, 1959 (1 yd = 0.9144 m, 1 lb = 0.453 592 37 kg); standard
# gravity 9.806 65 m/s², 3rd CGPM, 1901. The products are written out as NIST SP 811, footnotes of B.8, give them.
@pytest.mark.parametrize(
    ("kind", "symbol", "exact"),
    [
        ("mm", "mm", "1"),
        ("mm", "cm", "10"),
        ("mm", "m", "1000"),
        ("mm", "in", "25.4"),
        ("mm", "ft", "304.8"),
        ("deg", "°", "1"),
        ("deg", "′", "1/60"),
        ("deg", "″", "1/3600"),
        ("kg", "kg", "1"),
        ("kg", "lb", "0.45359237"),
        ("N·m", "N·m", "1"),
        ("N·m", "lb·ft", "1.3558179483314004"),
        ("km/h", "km/h", "1"),
        ("km/h", "mph", "1.609344"),
        ("rpm", "rpm", "1"),
        ("Hz", "Hz", "1"),
        ("N/mm", "N/mm", "1"),
        ("MPa", "MPa", "1"),
        ("h", "h", "1"),
        ("h", "min", "1/60"),
        ("ratio", "", "1"),
        ("ratio", "%", "1/100"),
        ("rad/s²", "rad/s²", "1"),
        ("N·m/deg", "N·m/°", "1"),
        ("N·m/deg", "lb·ft/°", "1.3558179483314004"),
        ("km", "km", "1"),
        ("km", "mi", "1.609344"),
    ],
)
def test_exact_definitions(kind, symbol, exact):
    assert unit_named(kind, symbol).factor == Fraction(exact)


def test_factors_that_no_decimal_can_hold_keep_to_the_pound_force():
    # 1 lbf = 4.448 221 615 260 5 N exactly (NIST SP 811, B.8, footnote; from memory): over 1 in, and over 1 in².
    assert unit_named("N/mm", "lb/in").factor * Fraction("25.4") == Fraction("4.4482216152605")
    assert unit_named("MPa", "psi").factor * Fraction("645.16") == Fraction("4.4482216152605")
    assert unit_named("MPa", "ksi").factor * Fraction("645.16") == Fraction("4448.2216152605")


# NIST SP 811 (2008), B.8, as printed (from memory), with the power of ten from its SI unit to the stored one.
@pytest.mark.parametrize(
    ("kind", "symbol", "printed", "to_stored"),
    [
        ("mm", "in", "2.54E-02", 1e3),  # m
        ("mm", "ft", "3.048E-01", 1e3),
        ("kg", "lb", "4.535924E-01", 1.0),  # kg
        ("N·m", "lb·ft", "1.355818E+00", 1.0),  # N·m
        ("km/h", "mph", "1.609344E+00", 1.0),  # km/h
        ("km", "mi", "1.609344E+03", 1e-3),  # m
        ("N/mm", "lb/in", "1.751268E+02", 1e-3),  # N/m
        ("MPa", "psi", "6.894757E+03", 1e-6),  # Pa
        ("MPa", "ksi", "6.894757E+06", 1e-6),
    ],
)
def test_printed_values_to_their_last_digit(kind, symbol, printed, to_stored):
    decimals = len(printed.partition(".")[2].partition("E")[0])
    assert f"{float(unit_named(kind, symbol).factor) / to_stored:.{decimals}E}" == printed


@pytest.mark.parametrize(
    ("kind", "symbol", "other"),
    [
        ("mm", "in", constants.inch * 1e3),
        ("mm", "ft", constants.foot * 1e3),
        ("deg", "′", math.degrees(constants.arcmin)),
        ("deg", "″", math.degrees(constants.arcsec)),
        ("deg", "rad", 1 / constants.degree),
        ("kg", "lb", constants.lb),
        ("N·m", "lb·ft", constants.lbf * constants.foot),
        ("km/h", "mph", constants.mph / constants.kmh),
        ("km", "mi", constants.mile * 1e-3),
        ("N/mm", "lb/in", constants.lbf / constants.inch * 1e-3),
        ("MPa", "psi", constants.psi * 1e-6),
        ("MPa", "ksi", constants.psi * 1e-3),
    ],
)
def test_another_library_has_the_same_factors(kind, symbol, other):
    assert float(unit_named(kind, symbol).factor) == pytest.approx(other, rel=4e-16)


def test_half_a_turn_is_pi():
    # The double nearest to π lies within 1.3e-16 of it, which is far under the spacing of doubles near 180.
    assert stored(Fraction(math.pi), unit_named("deg", "rad")) == 180.0
    # sin over the exact ratio: π to 50 decimals from its first 50 published digits (any table; from memory).
    pi = Fraction("3.1415926535897932384626433832795028841971693993751")
    assert abs(180 / unit_named("deg", "rad").factor - pi) < Fraction(1, 10**48)


def test_every_unit_says_where_its_factor_comes_from():
    assert all(unit.basis for unit in UNITS)
    assert len({(unit.kind, unit.symbol) for unit in UNITS}) == len(UNITS)
    assert {unit.kind for unit in UNITS} == set(KINDS)


@pytest.mark.parametrize(
    ("kind", "inches", "millimetres"),
    [
        ("mm", "in", "mm"),
        ("deg", "°", "°"),
        ("kg", "lb", "kg"),
        ("N·m", "lb·ft", "N·m"),
        ("km/h", "mph", "km/h"),
        ("rpm", "rpm", "rpm"),
        ("Hz", "Hz", "Hz"),
        ("N/mm", "lb/in", "N/mm"),
        ("MPa", "psi", "MPa"),
        ("h", "h", "h"),
        ("ratio", "", ""),
        ("rad/s²", "rad/s²", "rad/s²"),
        ("N·m/deg", "lb·ft/°", "N·m/°"),
        ("km", "mi", "km"),
    ],
)
def test_shown_units_follow_the_display(kind, inches, millimetres):
    assert shown_unit(kind, INCHES).symbol == inches
    assert shown_unit(kind, MILLIMETRES).symbol == millimetres
    torque = kind in {"N·m", "N·m/deg"}
    assert shown_unit(kind, MIXED).symbol == (millimetres if torque else inches)
    assert shown_unit(kind, Display("millimetre", "pound_foot")).symbol == (inches if torque else millimetres)


def test_scale_turns_stored_values_into_shown_ones():
    assert scale("mm", INCHES) == 5 / 127  # 1 / 25.4
    assert scale("km/h", INCHES) == pytest.approx(constants.kmh / constants.mph, rel=4e-16)
    assert scale("mm", MILLIMETRES) == 1.0


def test_as_kind():
    assert [as_kind(kind) for kind in KINDS] == list(KINDS)
    with pytest.raises(ValueError, match="no quantity is stored in 'furlong'; use one of mm, deg"):
        as_kind("furlong")


@pytest.mark.parametrize(
    ("value", "kind", "display", "options", "text"),
    [
        (1295.4, "mm", INCHES, {}, "51.00 in"),
        (88.9, "mm", INCHES, {}, "3.50 in"),
        (0.0, "mm", INCHES, {}, "0.00 in"),
        (-0.001, "mm", INCHES, {}, "0.00 in"),
        (-50.8, "mm", INCHES, {}, "−2.00 in"),
        (30480.0, "mm", INCHES, {}, "1,200.00 in"),
        (88.9, "mm", MILLIMETRES, {}, "88.9 mm"),
        (999.94, "mm", MILLIMETRES, {}, "999.9 mm"),
        (999.96, "mm", MILLIMETRES, {}, "1,000 mm"),
        (1524.0, "mm", MILLIMETRES, {}, "1,524 mm"),
        (-1524.4, "mm", MILLIMETRES, {}, "−1,524 mm"),
        (1234567.0, "mm", MILLIMETRES, {}, "1,234,567 mm"),
        (1524.26, "mm", MILLIMETRES, {"places": 1}, "1,524.3 mm"),
        (4.2, "deg", INCHES, {}, "4.2°"),
        (4.25, "deg", INCHES, {}, "4.3°"),
        (4.35, "deg", INCHES, {}, "4.4°"),  # a person knows it as 4.35 though its double lies below
        (-4.25, "deg", INCHES, {}, "−4.3°"),
        (-0.04, "deg", INCHES, {"signed": True}, "0.0°"),
        (4.2, "deg", INCHES, {"signed": True}, "+4.2°"),
        (-4.2, "deg", INCHES, {"signed": True}, "−4.2°"),
        (4.256, "deg", INCHES, {"places": 2}, "4.26°"),
        (4.2, "deg", INCHES, {"places": 0}, "4°"),
        (4.2, "deg", INCHES, {"uncertainty": 0.1}, "4.2 ± 0.1°"),
        (4.2, "deg", INCHES, {"uncertainty": 0.04}, "4.20 ± 0.04°"),
        (4.2, "deg", INCHES, {"uncertainty": 0.05}, "4.2 ± 0.1°"),
        (4.2, "deg", INCHES, {"uncertainty": 0.0}, "4.2 ± 0.0°"),
        (-4.2, "deg", INCHES, {"uncertainty": 1.0}, "−4.2 ± 1.0°"),
        (4.2, "deg", INCHES, {"uncertainty": 0.1, "signed": True}, "+4.2 ± 0.1°"),
        (1295.4, "mm", INCHES, {"uncertainty": 1.5875}, "51.00 ± 0.06 in"),
        (1295.4, "mm", MILLIMETRES, {"uncertainty": 1.6}, "1,295 ± 2 mm"),
        (907.18474, "kg", INCHES, {}, "2,000 lb"),  # a short ton, NIST SP 811: 9.071 847 E+02 kg (from memory)
        (907.18474, "kg", MILLIMETRES, {}, "907 kg"),
        (8.26, "kg", MILLIMETRES, {}, "8.3 kg"),
        (440.0, "N·m", INCHES, {}, "325 lb·ft"),
        (440.0, "N·m", MIXED, {}, "440 N·m"),
        (9.96, "N·m", MILLIMETRES, {}, "10 N·m"),
        (9.94, "N·m", MILLIMETRES, {}, "9.9 N·m"),
        (88.51392, "km/h", INCHES, {}, "55 mph"),
        (90.0, "km/h", MILLIMETRES, {}, "90 km/h"),
        (2500.0, "rpm", INCHES, {}, "2,500 rpm"),
        (43.78, "N/mm", INCHES, {}, "250 lb/in"),
        (43.78, "N/mm", MILLIMETRES, {}, "43.8 N/mm"),
        (100.0, "MPa", INCHES, {}, "14,504 psi"),  # 100 MPa over 6.894 757 E+03 Pa, NIST SP 811
        (85.25, "MPa", MILLIMETRES, {}, "85.3 MPa"),
        (3000.0, "h", INCHES, {}, "3,000 h"),
        (4.1, "ratio", INCHES, {}, "4.10"),
        (318.4, "rad/s²", INCHES, {}, "318 rad/s²"),
        (400.0, "N·m/deg", INCHES, {}, "295 lb·ft/°"),
        (400.0, "N·m/deg", MILLIMETRES, {}, "400 N·m/°"),
        (3, "mm", MILLIMETRES, {}, "3.0 mm"),
    ],
)
def test_show(value, kind, display, options, text):
    assert show(value, kind, display, **options) == text


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_never_shown(value):
    for word in (
        lambda: show(value, "mm", INCHES),
        lambda: show(1.0, "mm", INCHES, uncertainty=value),
        lambda: both(value, "mm"),
        lambda: show_tape(value, INCHES),
        lambda: edit_text(value, "mm", INCHES),
    ):
        with pytest.raises(ValueError, match="is not a number that can be shown"):
            word()


def test_an_uncertainty_below_zero_is_refused():
    with pytest.raises(ValueError, match=r"an uncertainty of -0\.1 is below zero"):
        show(4.2, "deg", INCHES, uncertainty=-0.1)


@given(workshop, kinds, displays)
def test_a_shown_number_is_the_value_to_half_its_last_place(value, kind, display):
    unit = shown_unit(kind, display)
    number = show(value, kind, display).removesuffix(unit.symbol).strip().replace("−", "-").replace(",", "")
    places = len(number.partition(".")[2])
    assert abs(Fraction(number) * unit.factor - Fraction(repr(value))) <= unit.factor / 10**places / 2


@pytest.mark.parametrize(
    ("value", "kind", "display", "text"),
    [
        (1295.4, "mm", INCHES, "51.00 in (1,295 mm)"),
        (1295.4, "mm", MILLIMETRES, "1,295 mm (51.00 in)"),
        (-25.4, "mm", INCHES, "−1.00 in (−25.4 mm)"),
        (440.0, "N·m", INCHES, "325 lb·ft (440 N·m)"),
        (440.0, "N·m", MIXED, "440 N·m (325 lb·ft)"),
        (88.51392, "km/h", INCHES, "55 mph (89 km/h)"),
        (4.2, "deg", INCHES, "4.2°"),
        (4.1, "ratio", MILLIMETRES, "4.10"),
    ],
)
def test_both(value, kind, display, text):
    assert both(value, kind, display) == text


def test_both_leads_with_inches_and_takes_a_sign():
    assert both(25.4, "mm", signed=True) == "+1.00 in (+25.4 mm)"


@pytest.mark.parametrize(
    ("value", "display", "text"),
    [
        (88.9, INCHES, "3 1/2 in"),
        (1296.9875, INCHES, "51 1/16 in"),
        (1295.4, INCHES, "51 in"),
        (1.5875, INCHES, "1/16 in"),
        (0.0, INCHES, "0 in"),
        (-88.9, INCHES, "−3 1/2 in"),
        (-1.5875, INCHES, "−1/16 in"),
        (88.95, INCHES, "3 1/2 in"),  # 0.05 mm beside it: the reading still is the length
        (88.9501, INCHES, "≈ 3 1/2 in"),
        (88.85, INCHES, "3 1/2 in"),
        (1296.0, INCHES, "≈ 51 in"),
        (0.7, INCHES, "≈ 0 in"),
        (-0.7, INCHES, "≈ 0 in"),
        (0.79375, INCHES, "≈ 1/16 in"),  # half of 1/16 in
        (25.3, INCHES, "≈ 1 in"),
        (30480.0, INCHES, "1,200 in"),
        (89.0, MILLIMETRES, "89 mm"),
        (88.9, MILLIMETRES, "≈ 89 mm"),
        (1524.0, MILLIMETRES, "1,524 mm"),
        (-1524.5, MILLIMETRES, "≈ −1,525 mm"),
    ],
)
def test_show_tape(value, display, text):
    assert show_tape(value, display) == text


@given(st.integers(-16 * 999, 16 * 999))
def test_every_mark_of_a_tape_is_shown_exactly_and_read_back(sixteenths):
    value_mm = float(Fraction(sixteenths, 16) * Fraction("25.4"))
    text = show_tape(value_mm, INCHES)
    assert "≈" not in text
    assert parse(text, "mm", INCHES) == value_mm


@given(st.floats(-1e4, 1e4))
def test_a_tape_reading_is_within_half_a_mark(value_mm):
    text = show_tape(value_mm, INCHES)
    assert abs(parse(text.removeprefix("≈ "), "mm", INCHES) - value_mm) <= 25.4 / 32 + 1e-9


@pytest.mark.parametrize(
    ("value", "options", "text"),
    [
        (314.325, {}, "12 3/8 in"),
        (-1.5875, {}, "−1/16 in"),
        (0.0, {}, "0 in"),
        (1290.0, {}, "≈ 50 13/16 in"),  # 50.787
        (1.65, {}, "0.06 in"),  # a tube's wall: a sixteenth is too coarse
        (88.9, {"signed": True}, "+3 1/2 in"),
        (-88.9, {"signed": True}, "−3 1/2 in"),
        (88.9, {"places": 3}, "3.500 in"),
        (88.9, {"uncertainty": 1.0}, "3.50 ± 0.04 in"),
    ],
)
def test_show_in_sixteenths(value, options, text):
    assert show(value, "mm", SIXTEENTHS, **options) == text


def test_sixteenths_are_for_inches_alone():
    for kind in KINDS:
        if kind != "mm":
            assert show(12.3, kind, SIXTEENTHS) == show(12.3, kind, INCHES)
    metric = replace(SIXTEENTHS, length="millimetre")
    assert show(314.325, "mm", metric) == show(314.325, "mm", MILLIMETRES)
    assert both(314.325, "mm", SIXTEENTHS) == "12 3/8 in (314.3 mm)"
    assert both(314.325, "mm", metric) == "314.3 mm (12 3/8 in)"
    assert fraction_text(314.325, metric) is None


@given(st.integers(-150_000, 150_000))
def test_lists_and_sentences_say_the_same_sixteenths(tenths_mm):
    value_mm = tenths_mm / 10.0
    shown = show(value_mm, "mm", SIXTEENTHS)
    assert shown == inches(value_mm, VehicleDisplay(inches="sixteenths"))
    off_mm = abs(parse(shown.removeprefix("≈ ").replace("−", "-"), "mm", INCHES) - value_mm)
    assert off_mm <= (25.4 / 32 + 1e-9 if shown.startswith("≈") else 0.127 + 1e-9)


@given(st.integers(-64 * 500, 64 * 500))
def test_what_stands_in_a_field_as_a_fraction_is_read_back_exactly(parts):
    value_mm = float(Fraction(parts, 64) * Fraction("25.4"))
    text = fraction_text(value_mm, SIXTEENTHS)
    for display in (SIXTEENTHS, INCHES):
        assert parse(text, "mm", display) == value_mm
    assert field_text(value_mm, "mm", SIXTEENTHS) == text.replace("-", "−")
    assert typing_text(value_mm, "mm", SIXTEENTHS) == text


@given(st.floats(-20_000.0, 20_000.0))
@example(60.0)
def test_a_field_in_sixteenths_is_near_and_what_is_typed_in_nearer(value_mm):
    shown = field_text(value_mm, "mm", SIXTEENTHS).replace("−", "-")
    assert abs(parse(shown.removeprefix("≈ "), "mm", INCHES) - value_mm) <= 25.4 / 32 + 1e-9
    assert abs(parse(typing_text(value_mm, "mm", SIXTEENTHS), "mm", INCHES) - value_mm) <= 0.127 + 1e-9


@pytest.mark.parametrize(
    ("value", "kind", "display", "text"),
    [
        (88.9, "mm", INCHES, "3.5"),
        (88.9, "mm", MILLIMETRES, "88.9"),
        (1296.9875, "mm", INCHES, "51.0625"),
        (-50.8, "mm", INCHES, "-2"),
        (1524.0, "mm", MILLIMETRES, "1524"),
        (0.0, "mm", INCHES, "0"),
        (-0.0, "mm", INCHES, "0"),
        (0.1, "deg", INCHES, "0.1"),
        (1e21, "rpm", INCHES, "1000000000000000000000"),
        (1e-7, "ratio", INCHES, "0.0000001"),
        (0.1 + 0.2, "ratio", INCHES, "0.30000000000000004"),  # 17 digits tell it from 0.3
        (1.0000000000000002, "ratio", INCHES, "1.0000000000000002"),
        (1 / 3, "ratio", INCHES, "0.3333333333333333"),  # 16 are enough
        (2.0**-24, "ratio", INCHES, "0.00000005960464477539063"),  # as Python's own repr, not 16 digits rounded down
        (3, "mm", MILLIMETRES, "3"),
    ],
)
def test_edit_text(value, kind, display, text):
    assert edit_text(value, kind, display) == text


@given(finite, kinds, displays)
@example(5e-324, "mm", INCHES)
@example(sys.float_info.max, "N·m", MILLIMETRES)
@example(sys.float_info.max, "MPa", INCHES)
@example(2.0**-1022, "kg", INCHES)
def test_edit_text_is_read_back_as_exactly_the_value(value, kind, display):
    assert parse(edit_text(value, kind, display), kind, display) == value


@given(st.integers(-(10**9), 10**9), st.integers(0, 6), kinds, displays)
def test_a_typed_decimal_comes_back_as_it_was_typed(digits, places, kind, display):
    typed = f"{digits / 10**places:.{places}f}"
    plain = (typed.rstrip("0").rstrip(".") if places else typed) or "0"
    assert edit_text(parse(typed, kind, display), kind, display) == ("0" if plain == "-0" else plain)


@given(finite)
@example(2.0**-24)
def test_edit_text_in_the_stored_unit_is_as_short_as_the_languages_own(value):
    # Python's repr is the shortest text that reads back (David Gay's algorithm), an independent measure of "shortest".
    digits = edit_text(value, "ratio", INCHES).lstrip("-").replace(".", "").strip("0")
    shortest = repr(abs(value)).partition("e")[0].replace(".", "").strip("0")
    assert len(digits) <= max(len(shortest), 15)
    if abs(value) >= sys.float_info.min and len(shortest) <= 15:
        assert digits == shortest


def test_a_display_is_frozen_and_equal_by_value():
    assert replace(INCHES, torque="newton_metre") == MIXED
    with pytest.raises(AttributeError):
        INCHES.length = "millimetre"


def test_reading_and_showing_import_nothing_slow():
    slow = {"numpy", "pydantic", "PySide6", "matplotlib", "scipy", "shapely", "geometry"}
    script = "import sys; import app.units, app.reading; print(*{name.partition('.')[0] for name in sys.modules})"
    root = Path(__file__).parents[2]
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=root)
    assert slow.isdisjoint(run.stdout.split())
    assert "fractions" in run.stdout.split()
