"""Hooke's joint in Heisler, H., *Advanced Vehicle Technology*, 2nd edition, 6.2.3, example 1 (answer from memory).

A joint at 30° driven at 500 rev/min: 433 and 577 rev/min.
"""

import numpy as np
import pytest

from geometry.joints import ratio_limits

TOLERANCE_RPM = 0.5
"""Half of the last printed digit."""


def test_least_and_greatest_speed() -> None:
    least, greatest = ratio_limits(np.array([30.0]))
    assert 500.0 * least[0] == pytest.approx(433.0, abs=TOLERANCE_RPM)
    assert 500.0 * greatest[0] == pytest.approx(577.0, abs=TOLERANCE_RPM)
