"""Axes: SAE J1100 and ISO 4130 (x rearward, z up; from memory), and ISO 8855 (X forward, Y left, Z up; from memory).

Ours are the vehicle axes of ISO 8855 turned half round about z.
"""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from geometry.mechanics.vectors import line_of, number
from tests.mechanics_help import array_of

HALF_ROUND = Rotation.from_euler("z", 180.0, degrees=True)


@pytest.mark.parametrize(
    ("slope_deg", "plan_deg", "iso_8855"),
    [
        (0.0, 0.0, (-1.0, 0.0, 0.0)),  # rearward
        (0.0, 90.0, (0.0, -1.0, 0.0)),  # to the right
        (90.0, 0.0, (0.0, 0.0, -1.0)),  # rear end lower
    ],
)
def test_senses(slope_deg: float, plan_deg: float, iso_8855: tuple[float, float, float]) -> None:
    line = array_of(line_of(number(slope_deg), number(plan_deg)))
    assert HALF_ROUND.apply(line) == pytest.approx(np.array(iso_8855), abs=1e-12)
