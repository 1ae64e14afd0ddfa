"""Torsion of hollow shafts in strength-of-materials textbooks.

Bansal, R. K., *A Textbook of Strength of Materials*, example 16.3 (seen): 200/100 mm at 40 MPa carries 58,904.9 N·m.
Two exercises of the same kind (seen): 114/102 mm at 5000 N·m: J 5,954,575 mm⁴, 47.862 MPa; 40/30 mm at 50 MPa:
429.51 N·m.
"""

import numpy as np
import pytest

from geometry.mechanics.tube import MATERIALS, shear_stress_mpa, tube_mass_kg, tube_section, twist_deg
from geometry.mechanics.vectors import ONE, number


def torque_at(outer: float, inner: float, stress_mpa: float) -> float:
    """Shear is proportional to torque, so one newton metre tells."""
    return stress_mpa / float(shear_stress_mpa(tube_section(number(outer), number((outer - inner) / 2.0)), ONE))


def test_bansal_16_3() -> None:
    assert torque_at(200.0, 100.0, 40.0) == pytest.approx(58_904.9, abs=0.05)


def test_tube_of_114_by_102() -> None:
    section = tube_section(number(114.0), number(6.0))
    assert section.polar_moment_mm4 == pytest.approx(5_954_575.0, abs=0.5)
    assert shear_stress_mpa(section, number(5_000.0)) == pytest.approx(47.862, abs=5e-4)


def test_tube_of_40_by_30() -> None:
    assert torque_at(40.0, 30.0, 50.0) == pytest.approx(429.51, abs=5e-3)


def test_twist_is_the_strain_at_the_skin_wound_over_the_length() -> None:
    """Angle = (shear/G)·L/r: the geometry of torsion, without J."""
    section, steel = tube_section(number(76.2), number(2.11)), MATERIALS["steel"]
    length, torque = number(1_200.0), number(800.0)
    strain = shear_stress_mpa(section, torque) / steel.shear_mpa
    expected = np.degrees(strain * 1_200.0 / 38.1)
    assert twist_deg(section, steel, length, torque) == pytest.approx(expected, rel=1e-12)


def test_mass_is_that_of_the_ring_wall() -> None:
    """Mean circumference × wall × length × density, exact for a ring."""
    expected = np.pi * (76.2 - 2.11) * 2.11 * 1_200.0 * 7.85e-6
    section = tube_section(number(76.2), number(2.11))
    assert tube_mass_kg(section, MATERIALS["steel"], number(1_200.0)) == pytest.approx(expected, rel=1e-12)
