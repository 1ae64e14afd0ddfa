"""One Hooke's joint by the closed form of theory-of-machines textbooks (from memory), evaluated here on its own.

Acceleration over omega²: sin²b cos b sin 2t/(1 − sin²b cos²t)², greatest where, with B = sin²b/2 and A = 1 − B,
cos 2t = (−A + sqrt(A² + 8 B²))/(2 B). The values typed below were worked from it with pencil-and-paper care:
peak over omega² to six decimals; non-uniformity 1/cos b − cos b = tan b sin b.
"""

from itertools import pairwise

import numpy as np
import pytest
import sympy as sp

from geometry.mechanics.chain import ratio_limits
from geometry.mechanics.vectors import number
from tests.mechanics_help import last_peak

PEAK_TOLERANCE = 5e-7
"""Half of the last digit of the tabulated peaks."""
ROUNDING = 1e-12
"""Relative."""


def peak(angle_deg: float) -> float:
    return float(last_peak(0.0, angle_deg))


@pytest.mark.parametrize(
    ("angle_deg", "printed"),
    [(3.0, 0.002743), (7.0, 0.014965), (10.0, 0.030626), (15.0, 0.069434), (20.0, 0.124966), (30.0, 0.294571)],
)
def test_peak_over_the_square_of_the_speed(angle_deg: float, printed: float) -> None:
    assert peak(angle_deg) == pytest.approx(printed, abs=PEAK_TOLERANCE)


@pytest.mark.parametrize("angle_deg", [0.5, 1.0, 5.0, 12.0, 25.0, 30.0])
def test_peak_agrees_with_symbolic_differentiation(angle_deg: float) -> None:
    t = sp.symbols("t", real=True)
    b = sp.rad(sp.Rational(str(angle_deg)))
    slope = sp.cos(b) / (1 - sp.sin(b) ** 2 * sp.cos(t) ** 2)
    half = sp.sin(b) ** 2 / 2
    rest = 1 - half
    place = sp.acos((-rest + sp.sqrt(rest**2 + 8 * half**2)) / (2 * half)) / 2
    exact = abs(float(sp.diff(slope, t).subs(t, place).evalf(30)))
    assert peak(angle_deg) == pytest.approx(exact, rel=ROUNDING)


@pytest.mark.parametrize("slopes", [(0.0, 7.3, -1.5), (0.0, 20.0, -13.0), (3.0, 4.0, 33.0)])
def test_two_joints_in_one_plane_run_like_one(slopes: tuple[float, float, float]) -> None:
    """tan(out) = tan(in) cos b1/cos b2, or its inverse: the textbooks' rule for yokes in line."""
    b1, b2 = sorted(abs(after - before) for before, after in pairwise(slopes))
    alike = np.degrees(np.arccos(np.cos(np.radians(b2)) / np.cos(np.radians(b1))))
    assert last_peak(*slopes) == pytest.approx(peak(alike), rel=1e-9)


@pytest.mark.parametrize(("angle_deg", "printed", "digit"), [(3.0, 0.0027428, 5e-8), (10.0, 0.030619, 5e-7)])
def test_non_uniformity(angle_deg: float, printed: float, digit: float) -> None:
    least, greatest = ratio_limits(number(angle_deg))
    assert greatest - least == pytest.approx(printed, abs=digit)


def test_joint_at_7_3_degrees() -> None:
    least, greatest = ratio_limits(number(7.3))
    assert (least, greatest) == pytest.approx((0.99189, 1.00817), abs=5e-6)
    omega = 2500.0 * np.pi / 30.0
    assert peak(7.3) * omega**2 == pytest.approx(1115.7, abs=0.05)
    assert np.radians(7.3) ** 2 * omega**2 == pytest.approx(1112.6, abs=0.05)
