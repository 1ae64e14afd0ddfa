"""Angles as they are measured on vehicles, and rules of thumb: common practice, no single source.

The table of operating angle over shaft speed for a life of 5,000 h is a handbook's, from memory.
"""

import numpy as np
import pytest

from geometry import Build, edited, solve
from geometry.judge.limits import allowed_angle_deg, allowed_rpm
from geometry.mechanics.chain import operating_angle_deg
from geometry.mechanics.vectors import ZERO, line_of, number, plan_deg, side_slope_deg
from tests.mechanics_help import last_peak, vector_of

TABLE = {5000: 3.2, 4500: 3.7, 4000: 4.2, 3500: 5.0, 3000: 5.8, 2500: 7.0, 2000: 8.7, 1500: 11.5}


@pytest.mark.parametrize(("pinion_deg", "angles"), [(3.5, (7.3, 7.3)), (3.4, (7.3, 7.4))])
def test_angles_measured_on_a_vehicle(pinion_deg: float, angles: tuple[float, float]) -> None:
    measured = {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8, "axle.pinion_slope_deg": pinion_deg}
    answer = solve(edited(Build(), measured))
    assert [joint.operating_deg for joint in answer.joints] == pytest.approx(angles, abs=1e-9)


def test_parallel_ends_leave_nothing() -> None:
    measured = {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8, "axle.pinion_slope_deg": 3.5}
    equivalent = solve(edited(Build(), measured)).motion.equivalent_angle_deg
    assert equivalent is not None
    assert np.radians(equivalent) ** 2 < 1e-6


def test_compound_angle() -> None:
    """2.15° in side view and 2.50° in plan make 3.30° (root of the squares 3.2973, exact 3.2956)."""
    bent = vector_of([1.0, np.tan(np.radians(2.50)), -np.tan(np.radians(2.15))])
    assert (side_slope_deg(bent), plan_deg(bent)) == pytest.approx((2.15, 2.50), abs=1e-12)
    assert operating_angle_deg(line_of(ZERO), bent) == pytest.approx(3.2956, abs=5e-5)
    assert np.hypot(2.15, 2.50) == pytest.approx(3.2973, abs=5e-5)


@pytest.mark.parametrize(("rpm", "angle_deg"), TABLE.items())
def test_table_of_angles_over_speed(rpm: float, angle_deg: float) -> None:
    assert allowed_angle_deg(number(rpm)) == pytest.approx(angle_deg, abs=1e-12)
    assert allowed_rpm(number(angle_deg)) == pytest.approx(rpm, abs=1e-9)


@pytest.mark.parametrize(("rpm", "angle_deg"), TABLE.items())
def test_table_follows_a_thousand_on_the_shaft(rpm: float, angle_deg: float) -> None:
    peak = last_peak(0.0, angle_deg) * (rpm * np.pi / 30.0) ** 2
    assert peak == pytest.approx(1000.0, rel=0.15)
