"""Beams in Thomson, W. T., *Theory of Vibration with Applications*, p. 283: (bL)² = 9.87 for pinned ends (seen).

Beside it an independent beam of finite elements (Hermite cubics, consistent mass), its eigenvalues by scipy.
"""

import numpy as np
import pytest
from scipy.linalg import eigh

from geometry.mechanics.tube import MATERIALS, Material, critical_speed_rpm, diameter_for_critical_mm, tube_section
from geometry.mechanics.vectors import ONE, number

COEFFICIENT_TOLERANCE = 0.005
"""Half of the last printed digit of 9.87."""
ELEMENTS = 12
ELEMENT_TOLERANCE = 1e-3
TUBES = [("steel", 88.9, 2.11, 1524.0), ("steel", 76.2, 3.05, 900.0), ("aluminium", 101.6, 3.18, 1700.0)]


def by_finite_elements(outer_mm: float, wall_mm: float, length_mm: float, e_mpa: float, density: float) -> float:
    """First critical speed of a beam on two pins, rpm; section constants by summing thin rings, in metres."""
    edges = np.linspace(outer_mm / 2e3 - wall_mm / 1e3, outer_mm / 2e3, 4001)
    middle, thick = (edges[1:] + edges[:-1]) / 2.0, np.diff(edges)
    area, second = np.sum(2.0 * np.pi * middle * thick), np.sum(np.pi * middle**3 * thick)
    h = length_mm / 1e3 / ELEMENTS
    stiff = e_mpa * 1e6 * second / h**3 * np.array([
        [12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
        [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h],
    ])  # fmt: skip
    mass = density * area * h / 420.0 * np.array([
        [156, 22 * h, 54, -13 * h], [22 * h, 4 * h * h, 13 * h, -3 * h * h],
        [54, 13 * h, 156, -22 * h], [-13 * h, -3 * h * h, -22 * h, 4 * h * h],
    ])  # fmt: skip
    size = 2 * ELEMENTS + 2
    whole_stiff, whole_mass = np.zeros((size, size)), np.zeros((size, size))
    for first in range(0, 2 * ELEMENTS, 2):
        whole_stiff[first : first + 4, first : first + 4] += stiff
        whole_mass[first : first + 4, first : first + 4] += mass
    free = [i for i in range(size) if i not in (0, size - 2)]
    squares = eigh(whole_stiff[np.ix_(free, free)], whole_mass[np.ix_(free, free)], eigvals_only=True)
    return float(np.sqrt(squares[0]) * 30.0 / np.pi)


def test_coefficient_of_pinned_ends() -> None:
    plain = Material("plain", 1e-6, 1.0, 1.0, 1.0, 1.0, "unit values")
    section = tube_section(number(100.0), number(5.0))
    omega = float(critical_speed_rpm(section, plain, number(1000.0))) * np.pi / 30.0
    # E 1 Pa, 1 kg/m³, 1 m: omega = (bL)² sqrt(I/A) in metres.
    gyration = np.sqrt(section.second_moment_mm4 / section.area_mm2) * 1e-3
    assert omega / gyration == pytest.approx(9.87, abs=COEFFICIENT_TOLERANCE)


@pytest.mark.parametrize(("material", "outer", "wall", "length"), TUBES)
def test_against_finite_elements(material: str, outer: float, wall: float, length: float) -> None:
    row = MATERIALS[material]
    ours = float(critical_speed_rpm(tube_section(number(outer), number(wall)), row, number(length)))
    theirs = by_finite_elements(outer, wall, length, row.elastic_mpa, row.density_kg_m3)
    assert ours == pytest.approx(theirs, rel=ELEMENT_TOLERANCE)


def test_tube_of_the_check_list() -> None:
    """Steel 88.9 × 2.11 mm, 1524 mm, 207 GPa, 7850 kg/m³: 6396 rpm (beam formula)."""
    section = tube_section(number(88.9), number(2.11))
    speed = critical_speed_rpm(section, MATERIALS["steel"], number(1524.0))
    assert float(speed) == pytest.approx(6396.0, abs=0.5)


@pytest.mark.parametrize(("material", "outer", "wall", "length"), TUBES)
def test_diameter_for_a_critical_speed_turns_the_formula_round(
    material: str, outer: float, wall: float, length: float
) -> None:
    row = MATERIALS[material]
    speed = critical_speed_rpm(tube_section(number(outer), number(wall)), row, number(length))
    assert diameter_for_critical_mm(number(wall), row, number(length), speed) == pytest.approx(outer, rel=1e-12)


def test_a_wall_alone_meets_a_low_speed() -> None:
    assert diameter_for_critical_mm(number(5.0), MATERIALS["steel"], number(500.0), ONE) == pytest.approx(5.0)
