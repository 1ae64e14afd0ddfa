"""Joint life, and the couples at a joint: handbooks of universal joints (from memory).

Life: 1.5e6/(n b) × (C/T)^(10/3) hours, b in degrees and not below 3, from 10⁶ turns × 90/(60 n b) with C rated for
5,000 h at 3° and 100 rpm. Couples at 500 N·m and 6°: yoke T tan b = 52.552 N·m (Seherr-Thoss, Schmelz and Aucktor,
*Universal Joints and Driveshafts*, from memory).
"""

import numpy as np
import pytest

from geometry.mechanics.loads import joint_life_hours, relative_life, secondary_couple_nm
from geometry.mechanics.vectors import number


def law(rating: float, torque: float, rpm: float, angle: float) -> float:
    return 1e6 * 90.0 / (60.0 * rpm * max(angle, 3.0)) * (rating / torque) ** (10.0 / 3.0)


def life(*entries: float) -> float:
    return float(joint_life_hours(*(number(entry) for entry in entries)))


def test_rating_by_definition() -> None:
    assert life(700.0, 700.0, 100.0, 3.0) == pytest.approx(5_000.0, rel=1e-12)


@pytest.mark.parametrize(
    ("rating", "torque", "rpm", "angle"),
    [(700.0, 350.0, 2500.0, 7.0), (700.0, 700.0, 2500.0, 1.0), (400.0, 90.0, 3200.0, 4.4)],
)
def test_law(rating: float, torque: float, rpm: float, angle: float) -> None:
    assert life(rating, torque, rpm, angle) == pytest.approx(law(rating, torque, rpm, angle), rel=1e-12)


def test_half_the_torque_lives_ten_times_as_long() -> None:
    """2^(10/3) = 10.0794."""
    ratio = life(700.0, 100.0, 2500.0, 5.0) / life(700.0, 200.0, 2500.0, 5.0)
    assert ratio == pytest.approx(10.0794, abs=5e-5)


def test_life_relative_to_three_degrees() -> None:
    assert relative_life(np.array([1.0, 3.0, 6.0, 12.0])) == pytest.approx([1.0, 1.0, 0.5, 0.25], rel=1e-12)


def test_couple_on_a_yoke() -> None:
    assert float(secondary_couple_nm(number(500.0), number(6.0))) == pytest.approx(52.552, abs=5e-4)
