"""How sentences say numbers. An inch is 25.4 mm exactly; a pound-foot 0.3048 m × 0.45359237 kg × 9.80665 m/s²."""

from fractions import Fraction

import hypothesis.strategies as st
import pytest
from hypothesis import given

from geometry.document.vehicle import Display
from geometry.words.wording import degrees, half_degrees, length, listed, number, rpm, shim, sixteenths, stress, torque

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
