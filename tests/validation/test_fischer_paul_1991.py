"""Joints in different planes.

Fischer, I. S. and Paul, R. N., ASME Journal of Mechanical Design 113 (1991) (abstract seen).

What counts for a pair of joints is the relative phase: the yokes' phase less the angle between the two joint planes.
The values are a numerical derivative of the exact motion, worked apart from this program; the small-angle rule
b_e² = sqrt(b1⁴ + b2⁴ − 2 b1² b2² cos 2g) stands beside them.
"""

from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from geometry.mechanics.chain import chain_of, operating_angle_deg, peaks, small_angle_equivalent_deg
from geometry.mechanics.vectors import ZERO, Vector, number
from tests.mechanics_help import last_peak, lines_of

TOLERANCE = 0.05
"""Half of the last digit of the accelerations, rad/s²."""
ANGLE_TOLERANCE_DEG = 5e-5
SKEW = lines_of([3.0, 8.0, 3.2], [0.5, 4.0, 0.0])


def residual(lines: list[Vector], phase_deg: float, rpm: float) -> float:
    chain = chain_of(lines, [number(phase_deg)])
    return float(peaks(chain, [False, False])[-1]) * (rpm * np.pi / 30.0) ** 2


def test_equal_angles_in_one_plane_and_in_phase_cancel_whichever_way_the_lines_run() -> None:
    for pinion_deg in (3.5, 18.1):  # parallel with the output, and meeting it
        lines = lines_of([3.5, 10.8, pinion_deg])
        angles = [operating_angle_deg(*pair) for pair in pairwise(lines)]
        assert angles == pytest.approx([7.3, 7.3], abs=1e-12)
        assert residual(lines, 0.0, 30.0 / np.pi) < 1e-6


def test_unequal_angles_in_one_plane() -> None:
    lines = lines_of([0.0, 7.3, -1.5])
    assert residual(lines, 0.0, 2500.0) == pytest.approx(507.6, abs=TOLERANCE)
    rule = small_angle_equivalent_deg(number(7.3), number(8.8), ZERO)
    assert np.radians(rule) ** 2 * (2500.0 * np.pi / 30.0) ** 2 == pytest.approx(504.2, abs=TOLERANCE)


def test_angles_of_the_skew_pair() -> None:
    angles = [operating_angle_deg(*pair) for pair in pairwise(SKEW)]
    assert angles == pytest.approx([6.0934, 6.2352], abs=ANGLE_TOLERANCE_DEG)


@pytest.mark.parametrize(("phase_deg", "printed"), [(0.0, 199.9), (5.0, 53.2), (-5.0, 394.5)])
def test_phase_counts_with_its_sign(phase_deg: float, printed: float) -> None:
    # Positive: the rear yoke is turned right-hand about the shaft's rearward direction.
    assert residual(SKEW, phase_deg, 3000.0) == pytest.approx(printed, abs=TOLERANCE)


def test_small_angle_rule_of_the_skew_pair() -> None:
    chain = chain_of(SKEW, [ZERO])
    rule = small_angle_equivalent_deg(*chain.operating_deg, chain.relative_phase_deg[0])
    assert np.radians(rule) ** 2 * (3000.0 * np.pi / 30.0) ** 2 == pytest.approx(199.5, abs=TOLERANCE)


def test_fluctuation_is_least_where_the_relative_phase_is_nil() -> None:
    best = minimize_scalar(
        lambda phase: residual(SKEW, phase, 3000.0), bounds=(-30.0, 30.0), method="bounded", options={"xatol": 1e-9}
    ).x
    (turned,) = chain_of(SKEW, [number(best)]).relative_phase_deg
    assert turned == pytest.approx(0.0, abs=0.02)  # the joints' angles differ, so the law holds to first order only


def test_three_joints_in_line() -> None:
    """2°, 5°, 4° in one plane: the equivalent angle law says sqrt(|2² − 5² + 4²|) = 2.2361, the exact motion 2.2401."""
    assert np.degrees(np.sqrt(last_peak(0.0, 2.0, 7.0, 11.0))) == pytest.approx(2.2401, abs=5e-5)
    assert np.sqrt(abs(2.0**2 - 5.0**2 + 4.0**2)) == pytest.approx(2.2361, abs=5e-5)
