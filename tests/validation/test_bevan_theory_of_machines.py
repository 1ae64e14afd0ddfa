"""Hooke's joint in Bevan, T., *The Theory of Machines*, 3rd edition, ch. 4, example 1, p. 138.

A shaft turns at 1000 rev/min and drives another through a Hooke's joint at 20°. Printed: driven speed between 111.4 and
98.4 rad/s, greatest acceleration 1370 rad/s² with the driving shaft 41.43° from the plane of the two shafts.
"""

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from geometry.mechanics.chain import ratio_limits, transmitted_angle
from geometry.mechanics.vectors import number
from tests.mechanics_help import last_peak, lines_of

RPM, ANGLE_DEG = 1000.0, 20.0
OMEGA = RPM * np.pi / 30.0
BENT = lines_of([0.0, ANGLE_DEG])
SPEED_TOLERANCE = 0.05
"""Half of the last printed digit of the speeds, rad/s."""
ACCELERATION_TOLERANCE = 0.5
"""Half of the last printed digit of the acceleration, rad/s²."""
PLACE_TOLERANCE_DEG = 0.03
"""The book's place of the peak comes from cos 2t = 2 sin²b/(2 − sin²b), an approximation that is 0.03° off at 20°."""


def test_driven_speed_swings_between_the_printed_speeds() -> None:
    least, greatest = ratio_limits(number(ANGLE_DEG))
    assert greatest * OMEGA == pytest.approx(111.4, abs=SPEED_TOLERANCE)
    assert least * OMEGA == pytest.approx(98.4, abs=SPEED_TOLERANCE)


def test_peak_acceleration_is_the_printed_one() -> None:
    peak = last_peak(0.0, ANGLE_DEG) * OMEGA**2
    # 1370.4 exactly; the book rounds to three digits.
    assert peak == pytest.approx(1370.0, abs=ACCELERATION_TOLERANCE)


def test_peak_lies_where_the_book_puts_it() -> None:
    step = 3e-3  # wide enough for a second difference in double numbers, narrow beside the swing

    def braking(angle: float) -> float:
        out = transmitted_angle(BENT, [False], [], angle + step * np.array([-1.0, 0.0, 1.0]))
        return float(out[0] - 2.0 * out[1] + out[2]) / step**2

    place = minimize_scalar(braking, bounds=(0.3, 1.3), method="bounded", options={"xatol": 1e-7}).x
    # The exact place, with B = sin²b/2 and A = 1 − B: cos 2t = (−A + sqrt(A² + 8B²))/(2B), is 41.459°.
    assert np.degrees(place) == pytest.approx(41.43, abs=PLACE_TOLERANCE_DEG)
