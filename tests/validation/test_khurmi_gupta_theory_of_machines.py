"""Hooke's joint in Khurmi, R. S. and Gupta, J. K., *Theory of Machines*, ch. 9, pp. 251-253.

Example 9.2, p. 251: 1500 rev/min, 20°, a driven mass of 12 kg at a radius of gyration of 100 mm: 3080 rad/s²,
370 N·m.
Example 9.3, p. 252 (answer from memory): 18°, equal speeds at 44.3° and 135.7°.
Example 9.4: total swing not more than ±6 % of the mean: 19.64°.
Example 9.5: 1200 rev/min, total swing not above 100 rev/min: 16.4°, 1251 and 1151 rev/min.
"""

import numpy as np
import pytest
from scipy.optimize import brentq

from geometry.mechanics.chain import ratio_limits, transmitted_angle
from geometry.mechanics.vectors import number
from tests.mechanics_help import last_peak, lines_of

ACCELERATION_TOLERANCE = 5.0
"""Half of the last significant digit of 3080 rad/s²."""
COUPLE_TOLERANCE_NM = 0.5
ANGLE_TOLERANCE_DEG = 0.05
FINE_ANGLE_TOLERANCE_DEG = 0.005
SPEED_TOLERANCE_RPM = 0.5


def swing(angle_deg: float) -> float:
    least, greatest = ratio_limits(number(angle_deg))
    return float(greatest - least)


def test_example_9_2_peak_acceleration_and_couple() -> None:
    omega = 1500.0 * np.pi / 30.0
    peak = last_peak(0.0, 20.0) * omega**2
    assert peak == pytest.approx(3080.0, abs=ACCELERATION_TOLERANCE)
    assert 12.0 * 0.1**2 * peak == pytest.approx(370.0, abs=COUPLE_TOLERANCE_NM)


@pytest.mark.parametrize("printed_deg", [44.3, 135.7])
def test_example_9_3_speeds_are_equal_there(printed_deg: float) -> None:
    bent, step = lines_of([0.0, 18.0]), 1e-5

    def gain(angle: float) -> float:
        out = transmitted_angle(bent, [False], [], angle + step * np.array([-1.0, 1.0]))
        return float(out[1] - out[0]) / (2.0 * step) - 1.0

    near = np.radians(printed_deg)
    assert np.degrees(brentq(gain, near - 0.2, near + 0.2)) == pytest.approx(printed_deg, abs=ANGLE_TOLERANCE_DEG)


def test_example_9_4_angle_for_a_swing_of_six_per_cent_either_way() -> None:
    assert brentq(lambda b: swing(b) - 0.12, 1.0, 60.0) == pytest.approx(19.64, abs=FINE_ANGLE_TOLERANCE_DEG)


def test_example_9_5_angle_and_speeds_for_a_swing_of_100_rpm() -> None:
    angle = float(brentq(lambda b: 1200.0 * swing(b) - 100.0, 1.0, 60.0))
    least, greatest = ratio_limits(number(angle))
    assert angle == pytest.approx(16.4, abs=ANGLE_TOLERANCE_DEG)
    assert 1200.0 * greatest == pytest.approx(1251.0, abs=SPEED_TOLERANCE_RPM)
    assert 1200.0 * least == pytest.approx(1151.0, abs=SPEED_TOLERANCE_RPM)
