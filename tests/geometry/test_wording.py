"""How sentences say numbers. An inch is 25.4 mm exactly; a pound-foot 0.3048 m × 0.45359237 kg × 9.80665 m/s²."""

from fractions import Fraction
from typing import Any

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from geometry.document.vehicle import Display
from geometry.words.wording import (
    degrees,
    finer_apart,
    half_degrees,
    inches,
    length,
    listed,
    number,
    rpm,
    shim,
    sixteenths,
    stress,
    torque,
    worded,
)

METRIC = Display(length="millimetre", torque="newton_metre")
INCH = Display(length="inch", torque="pound_foot")


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [(1115.7, 0, "1,116"), (-3.25, 1, "−3.3"), (-0.04, 1, "0.0"), (0.0, 0, "0"), (-1234.5, 1, "−1,234.5")],
)
def test_numbers(value: float, decimals: int, text: str) -> None:
    assert number(value, decimals) == text


def test_angles_and_speeds() -> None:
    assert degrees(-4.25, 2) == "−4.25°"
    assert (half_degrees(2.0), half_degrees(2.5)) == ("2°", "2.5°")
    assert rpm(2829.4) == "2,829 rpm"


@pytest.mark.parametrize(
    ("mm", "text"),
    [(0.0, "0 in"), (25.4, "1 in"), (33.3375, "1 5/16 in"), (-1.5875, "−1/16 in"), (12.7, "1/2 in"), (0.3, "0 in")],
)
def test_sixteenths(mm: float, text: str) -> None:
    assert sixteenths(mm) == text


@given(st.integers(-640, 640))
def test_sixteenths_read_back(parts: int) -> None:
    text = sixteenths(parts * 25.4 / 16.0).removesuffix(" in").replace("−", "-")
    sign = -1 if text.startswith("-") else 1
    assert sign * sum(Fraction(part) for part in text.lstrip("-").split()) == Fraction(parts, 16)


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (33.3375 + 0.049, "1 5/16 in"), (33.3375 - 0.049, "1 5/16 in"), (-33.3375 - 0.049, "−1 5/16 in"),
        (33.3375 + 0.051, "≈ 1 5/16 in"), (33.3375 - 0.051, "≈ 1 5/16 in"), (-33.3375 - 0.051, "≈ −1 5/16 in"),
        (12.7 + 0.049, "1/2 in"), (12.7 + 0.051, "0.50 in"), (25.399, "1 in"), (25.3, "1.00 in"), (25.5, "≈ 1 in"),
        (12.7 + 25.4 / 32.0, "0.53 in"), (25.4 + 25.4 / 32.0, "≈ 1 1/16 in"), (0.0, "0 in"), (0.049, "0 in"),
    ],
)  # fmt: skip
def test_off_the_sixteenth_is_said(mm: float, text: str) -> None:
    """By more than 0.05 mm, half of the last place in millimetres; less than an inch then stays in decimals."""
    assert inches(mm, Display(inches="sixteenths")) == text


def test_inches_in_decimals() -> None:
    assert inches(33.3375, Display()) == "1.31 in"
    assert inches(33.3375, Display(), 1) == "1.313 in"
    assert inches(33.3375, Display(inches="sixteenths"), 1) == "1.313 in"


def told_apart(value: float, line: float, unit: str, display: Display, finer: int) -> bool:
    """Whether both of the numbers that are said differ, in the person's unit and in the other."""
    one, two = (worded(what, unit, display, finer).removesuffix(")").split(" (") for what in (value, line))
    return all(here != there for here, there in zip(one, two, strict=True))


@settings(max_examples=300)
@given(
    unit=st.sampled_from(["deg", "", "mm", "N·m", "MPa", "h", "rad/s²", "rpm"]),
    value=st.one_of(st.floats(0.0, 30.0), st.floats(0.0, 3000.0)),
    apart=st.one_of(st.floats(1e-4, 0.2), st.floats(0.2, 3.0), st.floats(3.0, 30.0)),
    inch=st.sampled_from([None, "sixteenths"]),
    least=st.integers(0, 1),
)
def test_a_value_and_its_line_never_read_the_same(unit: str, value: float, apart: float, inch: Any, least: int) -> None:
    """With as few decimals more as that takes."""
    for display in (Display(length="inch", inches=inch), Display(length="millimetre", inches=inch)):
        finer = finer_apart(value, [value + apart], unit, display, least)
        assert told_apart(value, value + apart, unit, display, finer)
        assert not any(told_apart(value, value + apart, unit, display, fewer) for fewer in range(least, finer))


def test_own_unit_first() -> None:
    assert length(53.0, INCH) == "2.09 in (53 mm)"
    assert length(53.0, METRIC) == "53 mm (2.09 in)"
    assert shim(12.7, INCH) == "1/2 in (12.7 mm)"
    assert shim(12.0, METRIC) == "12 mm (0.47 in)"
    assert torque(1355.8179483314004, INCH) == "1,000 lb·ft (1,356 N·m)"
    assert torque(1355.8179483314004, METRIC) == "1,356 N·m (1,000 lb·ft)"


def test_lists() -> None:
    assert listed(["a"]) == "a"
    assert listed(["a", "b"]) == "a and b"
    assert listed(["a", "b", "c"]) == "a, b and c"


@pytest.mark.parametrize(("value", "words"), [(8.25, "8.3°"), (4.35, "4.4°"), (-8.25, "−8.3°"), (8.249, "8.2°")])
def test_a_half_is_rounded_as_a_person_does(value: float, words: str) -> None:
    """And as the callouts and tables beside the sentence do."""
    assert degrees(value) == words


def test_stress_in_both_units() -> None:
    """1 psi is 6,894.757 Pa (NIST SP 811, B.8, from memory)."""
    assert stress(6.894757, Display(length="inch")) == "1,000 psi (7 MPa)"
    assert stress(68.94757, Display(length="millimetre")) == "69 MPa (10,000 psi)"
