"""Reading of typed quantities: each text has the one value worked out beside it, or is refused with one sentence.

Expected values are worked from the definitions 1 in = 25.4 mm, 1 ft = 12 in, 1 lb = 0.453 592 37 kg and
1 mile = 1.609 344 km (yard and pound agreement, 1959; NIST SP 811, B.8; from memory) and
1 lbf·ft = 1.355 817 948 331 400 4 N·m.
"""

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.reading import ReadingError, parse
from app.units import INCHES, KINDS, MILLIMETRES, UNITS, Display, unit_named

DISPLAYS = (INCHES, MILLIMETRES, Display("inch", "newton_metre"), Display("millimetre", "pound_foot"))

LENGTHS = [
    ("3 1/2", 88.9),
    ("3-1/2", 88.9),
    ("3-1/2 in", 88.9),
    ("3-1/2in", 88.9),
    ('3 1/2"', 88.9),
    ("3 1/2 ″", 88.9),
    ("3 1/2”", 88.9),
    ("3 1/2''", 88.9),
    ("3½", 88.9),
    ("3 ½", 88.9),
    ("3-½", 88.9),
    ('3½"', 88.9),
    ("3 1⁄2 in", 88.9),
    ("3\u20111/2 in", 88.9),
    ("3.5", 88.9),
    ("3,5", 88.9),
    ("3.5 in.", 88.9),
    ("3.5 inches", 88.9),
    ("3.5IN", 88.9),
    ("  3.5\tin ", 88.9),
    ("3.50", 88.9),
    ("3.", 76.2),
    (".5", 12.7),
    (",5", 12.7),
    ("½", 12.7),
    ("-½", -12.7),
    ("1/16", 1.5875),
    ("1 / 16 in", 1.5875),
    ("5/2", 63.5),
    ("0/2", 0.0),
    ("⅛", 3.175),
    ("1⅔ in", 42.333333333333336),
    ("1⅒ in", 27.94),
    ("51.0", 1295.4),
    ("-2", -50.8),
    ("−2", -50.8),
    ("–2", -50.8),
    ("- 2", -50.8),
    ("+2", 50.8),
    ("-0", 0.0),
    ("-3 1/2", -88.9),
    ("-3-1/2", -88.9),
    ("88.9 mm", 88.9),
    ("88,9 mm", 88.9),
    ("88.9mm", 88.9),
    ("88.9 millimetres", 88.9),
    ("88 9/10 mm", 88.9),
    ("8.9 cm", 89.0),
    ("0.9 m", 900.0),
    ("0,125 mm", 0.125),
    ("1234,567 mm", 1234.567),
    ("1,5245 mm", 1.5245),
    ("1.524 mm", 1.524),
    ("1,524.0 mm", 1524.0),
    ("1.524,0 mm", 1524.0),
    ("1,234,567 mm", 1234567.0),
    ("1,234,567.5 mm", 1234567.5),
    ("4 ft", 1219.2),
    ("4 feet", 1219.2),
    ("4'", 1219.2),
    ("4.5'", 1371.6),
    ("4' 3 1/2\"", 1308.1),
    ("4'3-1/2\"", 1308.1),
    ("4'-3 1/2\"", 1308.1),
    ("4′ 3½″", 1308.1),
    ("4’ 3.5”", 1308.1),
    ("4' 3 1/2 in", 1308.1),
    ("4 ft 3.5 in", 1308.1),
    ("4ft3.5in", 1308.1),
    ("4 ft. 3,5 in.", 1308.1),
    ("4 FT 3 IN", 1295.4),
    ("-4' 3 1/2\"", -1308.1),
    ("−4 ft 3 1/2 in", -1308.1),
    ("0' 11 15/16\"", 303.2125),
]
ANGLES = [
    ("3°30'", 3.5),
    ("3° 30'", 3.5),
    ("3°30’", 3.5),
    ("3°30′", 3.5),
    ("3 deg 30 min", 3.5),
    ("3° 30' 15\"", 3.504166666666667),
    ("3°30′15″", 3.504166666666667),
    ("3°30'15''", 3.504166666666667),
    ("3° 30.5'", 3.5083333333333333),
    ('3° 36"', 3.01),
    ("30'", 0.5),
    ('36"', 0.01),
    ("-3°30'", -3.5),
    ("−3°30'", -3.5),
    ("3.5°", 3.5),
    ("3,5°", 3.5),
    ("3½°", 3.5),
    ("3 1/2°", 3.5),
    ("3.5 deg", 3.5),
    ("3.5 degrees", 3.5),
    ("3.5º", 3.5),
    ("3.5", 3.5),
    ("3.141592653589793 rad", 180.0),
]
OTHERS = [
    ("120 lb-ft", "N·m", 162.69815379976805),
    ("120 lb·ft", "N·m", 162.69815379976805),
    ("120 lb ft", "N·m", 162.69815379976805),
    ("120 lbft", "N·m", 162.69815379976805),
    ("120 lbf·ft", "N·m", 162.69815379976805),
    ("120 ft-lbs", "N·m", 162.69815379976805),
    ("120 ft.lb", "N·m", 162.69815379976805),
    ("120 pound-feet", "N·m", 162.69815379976805),
    ("120 foot pounds", "N·m", 162.69815379976805),
    ("120", "N·m", 162.69815379976805),
    ("160 Nm", "N·m", 160.0),
    ("160 N·m", "N·m", 160.0),
    ("160 N⋅m", "N·m", 160.0),
    ("160 N*m", "N·m", 160.0),
    ("160 N-m", "N·m", 160.0),
    ("160 N.m.", "N·m", 160.0),
    ("160 newton metres", "N·m", 160.0),
    ("55 mph", "km/h", 88.51392),
    ("55 mi/h", "km/h", 88.51392),
    ("55 miles per hour", "km/h", 88.51392),
    ("55", "km/h", 88.51392),
    ("90 km/h", "km/h", 90.0),
    ("90 km / h", "km/h", 90.0),
    ("90 kph", "km/h", 90.0),
    ("2000 lb", "kg", 907.18474),
    ("2000 lbs.", "kg", 907.18474),
    ("2000", "kg", 907.18474),
    ("900 kg", "kg", 900.0),
    ("250 lb/in", "N/mm", 43.7817088116191),  # 250 × 4.448 221 615 260 5 / 25.4
    ("250 lbs per inch", "N/mm", 43.7817088116191),
    ("250", "N/mm", 43.7817088116191),
    ("45 N/mm", "N/mm", 45.0),
    ("12000 psi", "MPa", 82.73708751802033),  # 12 000 × 4.448 221 615 260 5 / 645.16
    ("12 ksi", "MPa", 82.73708751802033),
    ("12000 lb/in2", "MPa", 82.73708751802033),
    ("12000 lbf/in²", "MPa", 82.73708751802033),
    ("12000", "MPa", 82.73708751802033),
    ("85 MPa", "MPa", 85.0),
    ("85 N/mm2", "MPa", 85.0),
    ("85 N/mm^2", "MPa", 85.0),
    ("2500 rpm", "rpm", 2500.0),
    ("2500 rev/min", "rpm", 2500.0),
    ("2500", "rpm", 2500.0),
    ("81.5 Hz", "Hz", 81.5),
    ("81 hertz", "Hz", 81.0),
    ("81", "Hz", 81.0),
    ("3000 h", "h", 3000.0),
    ("3000 hours", "h", 3000.0),
    ("30 min", "h", 0.5),
    ("4.10", "ratio", 4.1),
    ("4,10", "ratio", 4.1),
    ("4.10:1", "ratio", 4.1),
    ("4.10 : 1", "ratio", 4.1),
    ("41/10", "ratio", 4.1),
    ("97 %", "ratio", 0.97),
    ("300 rad/s2", "rad/s²", 300.0),
    ("400 N·m/°", "N·m/deg", 400.0),
    ("400 Nm per deg", "N·m/deg", 400.0),
    ("100 lb-ft/deg", "N·m/deg", 135.58179483314004),
]


@pytest.mark.parametrize(("text", "value"), LENGTHS)
def test_lengths(text, value):
    assert parse(text, "mm", INCHES) == value


@pytest.mark.parametrize(("text", "value"), ANGLES)
def test_angles(text, value):
    assert parse(text, "deg", INCHES) == value
    assert parse(text, "deg", MILLIMETRES) == value


@pytest.mark.parametrize(("text", "kind", "value"), OTHERS)
def test_other_kinds(text, kind, value):
    assert parse(text, kind, INCHES) == value


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("88.9", "mm", 88.9),
        ("3 1/2", "mm", 3.5),
        ("3 1/2 in", "mm", 88.9),
        ("900", "kg", 900.0),
        ("90", "km/h", 90.0),
        ("45", "N/mm", 45.0),
        ("85", "MPa", 85.0),
        ("160", "N·m", 160.0),
        ("120 lb·ft", "N·m", 162.69815379976805),
    ],
)
def test_a_bare_number_is_in_the_shown_unit_and_a_unit_is_always_heeded(text, kind, value):
    assert parse(text, kind, MILLIMETRES) == value


def test_torque_has_a_setting_of_its_own():
    assert parse("160", "N·m", Display("inch", "newton_metre")) == 160.0
    assert parse("120", "N·m", Display("millimetre", "pound_foot")) == 162.69815379976805


NOT_UNDERSTOOD = "was not understood"
OTHER_KIND = "which is not wanted here"
UNKNOWN = "which is not a unit known here"
TWO_WAYS = "so leave the comma out or use a point"
SEVERAL = "has several numbers that do not make one reading"
COMMAS = "has points or commas where no number has them"
REFUSED = [
    ("", "mm", "Nothing was typed"),
    (" \t\n", "mm", "Nothing was typed"),
    ("nan", "mm", NOT_UNDERSTOOD),
    ("inf", "mm", NOT_UNDERSTOOD),
    ("-inf", "deg", NOT_UNDERSTOOD),
    ("-", "mm", NOT_UNDERSTOOD),
    ("−", "mm", NOT_UNDERSTOOD),
    (".", "mm", NOT_UNDERSTOOD),
    ("in", "mm", NOT_UNDERSTOOD),
    ("about 3", "mm", NOT_UNDERSTOOD),
    ("≈ 3 1/2 in", "mm", NOT_UNDERSTOOD),
    ("--2", "mm", NOT_UNDERSTOOD),
    ("(3)", "mm", NOT_UNDERSTOOD),
    ("/2", "mm", NOT_UNDERSTOOD),
    ("٣", "mm", NOT_UNDERSTOOD),
    ("1e3", "mm", UNKNOWN),
    ("1_000", "mm", UNKNOWN),
    ("0x10", "mm", UNKNOWN),
    ("3 furlongs", "mm", UNKNOWN),
    ("3 in of lift", "mm", UNKNOWN),
    ("3 mm!", "mm", UNKNOWN),
    ("3/", "mm", UNKNOWN),
    ("1/2/3", "mm", UNKNOWN),
    ("3 1/2.5", "mm", UNKNOWN),
    ("1.5/2", "mm", UNKNOWN),
    ("3 ± 1", "mm", UNKNOWN),
    ("2500²", "rpm", UNKNOWN),
    ("3²", "mm", UNKNOWN),
    ("3 - 1/2", "mm", "may be a subtraction"),
    ("3 -1/2", "mm", "may be a subtraction"),
    ("3−1/2", "mm", "may be a subtraction"),
    ("5-3", "mm", "may be a subtraction"),
    ("3-1/2-1/4", "mm", "may be a subtraction"),
    ("1/0", "mm", "divides by zero"),
    ("3 1/0 in", "mm", "divides by zero"),
    ("0/0", "deg", "divides by zero"),
    ("3 5/2", "mm", "has a fraction of one or more behind a whole number"),
    ("3 2/2", "mm", "has a fraction of one or more behind a whole number"),
    ("1,524 mm", "mm", TWO_WAYS),
    ("1,524", "mm", TWO_WAYS),
    ("-12,345", "mm", TWO_WAYS),
    ("999,000 mm", "mm", TWO_WAYS),
    ("2,500 rpm", "rpm", TWO_WAYS),
    ("4' 3,125\"", "mm", TWO_WAYS),
    ("1.2.3", "mm", COMMAS),
    ("1,2,3", "mm", COMMAS),
    ("1.524.000", "mm", COMMAS),
    ("1,52.4", "mm", COMMAS),
    ("12,34,567", "mm", COMMAS),
    ("0,123,456", "mm", COMMAS),
    ("3..5", "mm", COMMAS),
    ("3,", "mm", COMMAS),
    ("120 lb-ft", "mm", f"is a torque, {OTHER_KIND}"),
    ("3 in", "deg", f"is a length, {OTHER_KIND}"),
    ("3°", "mm", f"is an angle, {OTHER_KIND}"),
    ("3'", "N·m", f"is a length, {OTHER_KIND}"),
    ("250 lb", "N·m", f"is a weight, {OTHER_KIND}"),
    ("250 lb", "N/mm", f"is a weight, {OTHER_KIND}"),
    ("250 lb/in", "kg", f"is a spring rate, {OTHER_KIND}"),
    ("2500 rpm", "Hz", f"is a turning speed, {OTHER_KIND}"),
    ("55 mph", "rpm", f"is a road speed, {OTHER_KIND}"),
    ("90 rpm", "km/h", f"is a turning speed, {OTHER_KIND}"),
    ("9 psi", "ratio", f"is a stress, {OTHER_KIND}"),
    ("3 h", "mm", f"is a time, {OTHER_KIND}"),
    ("5 %", "deg", f"is a ratio, {OTHER_KIND}"),
    ("3:1", "mm", f"is a ratio, {OTHER_KIND}"),
    ("3 mm", "ratio", f"is a length, {OTHER_KIND}"),
    ("9 rad/s²", "rpm", f"is an angular acceleration, {OTHER_KIND}"),
    ("9 Nm/deg", "N·m", f"is a wind-up stiffness, {OTHER_KIND}"),
    ("3 1", "mm", SEVERAL),
    ("1 524 mm", "mm", SEVERAL),
    ("3.5 1/2", "mm", SEVERAL),
    ("1/2 3/4", "mm", SEVERAL),
    ("½½", "mm", SEVERAL),
    ("½5", "mm", SEVERAL),
    ("4' 3", "mm", SEVERAL),
    ("1'524", "mm", SEVERAL),
    ("3 in 4 ft", "mm", SEVERAL),
    ("3 in 4 in", "mm", SEVERAL),
    ("1 m 20 cm", "mm", SEVERAL),
    ("4 ft 20 mm", "mm", SEVERAL),
    ("3°30", "deg", SEVERAL),
    ("3 30'", "deg", SEVERAL),
    ("3 rad 30'", "deg", SEVERAL),
    ("30' 3°", "deg", SEVERAL),
    ("2 lb 3 lb", "kg", SEVERAL),
    ("1 h 30 min", "h", SEVERAL),
    ("4 ft.5 in", "mm", UNKNOWN),
    ("4 ft .5 in", "mm", UNKNOWN),
    ("4 ft -3 in", "mm", UNKNOWN),
    ("4' - 3\"", "mm", UNKNOWN),
    ("3° -30'", "deg", UNKNOWN),
    ("4.5' 3\"", "mm", "has a fraction before its last part"),
    ("4½' 3\"", "mm", "has a fraction before its last part"),
    ("4.' 3\"", "mm", "has a fraction before its last part"),
    ("3.5°30'", "deg", "has a fraction before its last part"),
    ("4' 12\"", "mm", "has 12 or more inches behind its feet"),
    ("4' 14\"", "mm", "has 12 or more inches behind its feet"),
    ("3°75'", "deg", "has 60 or more minutes behind its degrees"),
    ("3°5'60\"", "deg", "has 60 or more seconds at its end"),
    ("9" * 399, "mm", "is too large a number"),
    ("9" * 401, "mm", "is far too long"),
    ("9" * 5000, "mm", "is far too long"),
    ("1/" + "0" * 5000, "mm", "is far too long"),
]


@pytest.mark.parametrize(("text", "kind", "trouble"), REFUSED)
@pytest.mark.parametrize("display", DISPLAYS)
def test_refused_with_one_sentence(text, kind, trouble, display):
    with pytest.raises(ReadingError) as caught:
        parse(text, kind, display)
    sentence = str(caught.value)
    assert isinstance(caught.value, ValueError)
    assert trouble in sentence
    assert_one_sentence_with_an_example(sentence, kind, display)


def assert_one_sentence_with_an_example(sentence, kind, display):
    assert sentence.isprintable()
    assert len(sentence) < 200
    assert sentence.endswith(".")
    said = re.sub("“[^”]*”", "", sentence)
    assert not re.search(r"[.!?]\s", said)
    example = said.rpartition(" such as ")[2].removesuffix(".")
    parse(example, kind, display)  # what it tells a person to type is understood


def test_the_sentence_in_full():
    with pytest.raises(ReadingError) as caught:
        parse("1,524 mm", "mm", MILLIMETRES)
    assert str(caught.value) == (
        "“1,524 mm” can be read as 1524 or 1.524, so leave the comma out or use a point; type a length such as 88.9 mm."
    )
    with pytest.raises(ReadingError) as caught:
        parse("3\nfurlongs", "mm", INCHES)
    assert str(caught.value) == (
        "“3 furlongs” has “furlongs” behind its number, which is not a unit known here; type a length such as 3 1/2 in."
    )


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("display", DISPLAYS)
def test_the_example_is_in_the_shown_unit(kind, display):
    with pytest.raises(ReadingError) as caught:
        parse("?", kind, display)
    example = str(caught.value).rpartition(" such as ")[2].removesuffix(".")
    bare = re.match(r"[0-9.]+( 1/2)?", example)[0]
    assert parse(example, kind, display) == parse(bare, kind, display)


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: f"{unit.kind} {unit.symbol}")
def test_every_unit_sign_is_read_in_either_display(unit):
    # 7/3 of a unit, exactly converted: a wrong factor or a unit mixed up with another cannot give it.
    for display in (INCHES, MILLIMETRES):
        if unit.symbol:
            assert parse(f"7/3 {unit.symbol}", unit.kind, display) == float(Fraction(7, 3) * unit.factor)


@given(st.integers(0, 99), st.integers(0, 11), st.integers(0, 15), st.booleans())
def test_feet_inches_and_sixteenths(feet, inches, sixteenths, below):
    # The same length by whole sixteenths, each 1.5875 mm.
    value = float(Fraction("1.5875") * (feet * 192 + inches * 16 + sixteenths)) * (-1 if below else 1)
    sign = "−" if below else ""
    fraction = f" {sixteenths}/16" if sixteenths else ""
    assert parse(f"{sign}{feet}' {inches}{fraction}\"", "mm", MILLIMETRES) == value
    assert parse(f"{sign}{feet} ft {inches}{fraction} in", "mm", MILLIMETRES) == value


@given(st.integers(0, 359), st.integers(0, 59), st.integers(0, 59))
def test_degrees_minutes_and_seconds(degrees, minutes, seconds):
    value = float(Fraction(degrees * 3600 + minutes * 60 + seconds, 3600))
    assert parse(f"{degrees}°{minutes}'{seconds}\"", "deg", INCHES) == value


@given(st.decimals(-(10**6), 10**6, places=4), st.sampled_from([unit for unit in UNITS if unit.symbol]))
def test_a_point_and_a_comma_mean_the_same_where_a_comma_has_one_meaning(number, unit):
    with_point = f"{number:f} {unit.symbol}"
    value = parse(with_point, unit.kind, INCHES)
    assert value == float(Fraction(number) * unit_named(unit.kind, unit.symbol).factor)
    assert parse(with_point.replace(".", ","), unit.kind, INCHES) == value


@given(
    st.text("0123456789.,/-−+ '\"°½inftm", max_size=12) | st.text(max_size=30),
    st.sampled_from(KINDS),
    st.sampled_from(DISPLAYS),
)
def test_any_text_gives_a_finite_number_or_one_sentence(text, kind, display):
    try:
        value = parse(text, kind, display)
    except ReadingError as refusal:
        assert_one_sentence_with_an_example(str(refusal), kind, display)
    else:
        assert abs(value) < float("inf")
