"""A published two-joint table of allowable angles.

It cites SAE AE-7, *Universal Joint and Driveshaft Design Manual*, 3.1.1.

Columns: the first joint at 0, 1, 2 … degrees; values: the most that the second may have. The table follows
sqrt(400/omega² + first²) within 0.063°, that is a limit of 400 rad/s² on the net torsional acceleration.
"""

import numpy as np
import pytest

from geometry.judge.limits import LIMITS
from tests.mechanics_help import last_peak

TOLERANCE_DEG = 0.1
"""One unit of the last printed digit: the table is up to 0.063° from its own law, and the law is for small angles."""
TABLE = {
    1500.0: (7.3, 7.4, 7.6, 7.9, 8.3, 8.9, 9.5, 10.1, 10.8, 11.6),
    1600.0: (6.9, 6.9, 7.1, 7.5, 7.9, 8.5, 9.1, 9.8, 10.5),
    1700.0: (6.5, 6.5, 6.8, 7.1, 7.6, 8.2, 8.8),
}
ROWS = [(rpm, float(first), second) for rpm, row in TABLE.items() for first, second in enumerate(row)]


def test_the_table_is_a_limit_of_400() -> None:
    """What the rows come to, omega² (second² − first²), read back from the printed angles."""
    limits = [
        (rpm * np.pi / 30.0) ** 2 * (np.radians(second) ** 2 - np.radians(first) ** 2) for rpm, first, second in ROWS
    ]
    # Half a digit of an angle of about 8° is worth some 5 rad/s² at these speeds.
    assert float(np.mean(limits)) == pytest.approx(LIMITS["pinion_residual"].hold, abs=5.0)
    assert LIMITS["pinion_residual"].hold == 400.0


@pytest.mark.parametrize(("rpm", "first_deg", "second_deg"), ROWS)
def test_the_second_joint_reaches_the_hold_line_at_the_printed_angle(
    rpm: float, first_deg: float, second_deg: float
) -> None:
    second = np.arange(second_deg - 0.5, second_deg + 0.5, 0.001)
    residual = last_peak(0.0, first_deg, first_deg - second) * (rpm * np.pi / 30.0) ** 2
    assert np.all(np.diff(residual) > 0.0)
    reached = float(np.interp(LIMITS["pinion_residual"].hold, residual, second))
    assert reached == pytest.approx(second_deg, abs=TOLERANCE_DEG)
