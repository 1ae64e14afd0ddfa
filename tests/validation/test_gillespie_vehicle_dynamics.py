"""Torque and speed through the driveline: Gillespie, T. D., *Fundamentals of Vehicle Dynamics*, ch. 2 (from memory).

Units are put in by hand here: metres, seconds, newtons. The standard gravity is 9.80665 m/s² (CGPM 1901).
"""

import pytest

from geometry.mechanics.loads import low_gear_torque_nm, shaft_speed_rpm, wheel_slip_torque_nm
from geometry.mechanics.vectors import ONE, number


def test_shaft_speed_from_road_speed() -> None:
    """90 km/h is 25 m/s; on a radius of 0.5 m the wheel turns at 50 rad/s, the shaft four times as fast."""
    speed = shaft_speed_rpm(number(90.0), number(500.0), number(4.0))
    assert speed == pytest.approx(200.0 * 60.0 / (2.0 * 3.141592653589793), rel=1e-12)


def test_low_gear_torque() -> None:
    """Peak 300 N·m, gear 4, low range 2.5, converter 2, efficiency 0.9."""
    torque = low_gear_torque_nm(number(300.0), number(4.0), number(2.5 * 2.0 * 0.9))
    assert torque == pytest.approx(300.0 * 4.0 * 2.5 * 2.0 * 0.9)
    assert low_gear_torque_nm(number(300.0), number(4.0), ONE) == pytest.approx(1200.0)


def test_wheel_slip_torque() -> None:
    """1000 kg and grip 0.8 hold 7845.32 N; on 0.4 m that is 3138.128 N·m, through 4 × 0.95 a shaft torque of 825.82."""
    grip, load, ratio = number(0.8), number(1000.0), number(4.0)
    assert wheel_slip_torque_nm(grip, load, number(400.0), ratio, number(0.95)) == pytest.approx(825.823, abs=1e-3)
    assert wheel_slip_torque_nm(grip, load, number(300.0), ratio, ONE) == pytest.approx(588.399, abs=1e-3)
