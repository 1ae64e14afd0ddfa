"""Hooke's joint in Heisler, H., *Advanced Vehicle Technology*, 2nd edition, 6.2.3, example 1 (answer from memory).

A joint at 30° driven at 500 rev/min: 433 and 577 rev/min.
"""

import pytest

from geometry.mechanics.chain import ratio_limits
from geometry.mechanics.vectors import number

TOLERANCE_RPM = 0.5
"""Half of the last printed digit."""


def test_least_and_greatest_speed() -> None:
    least, greatest = ratio_limits(number(30.0))
    assert 500.0 * least == pytest.approx(433.0, abs=TOLERANCE_RPM)
    assert 500.0 * greatest == pytest.approx(577.0, abs=TOLERANCE_RPM)
