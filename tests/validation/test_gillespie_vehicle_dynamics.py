"""Torque and speed through the driveline: Gillespie, T. D., *Fundamentals of Vehicle Dynamics*, ch. 2 (from memory).

Units are put in by hand here: metres, seconds, newtons. The standard gravity is 9.80665 m/s² (CGPM 1901).
"""

import pytest

from geometry.document.running_gear import Axle
from geometry.document.vehicle import Powertrain, Vehicle
from geometry.loads import (
    highest_shaft_speed_rpm,
    low_gear_torque_nm,
    shaft_speed_rpm,
    smaller_known,
    tyre_radius_mm,
    wheel_slip_torque_nm,
)


def test_shaft_speed_from_road_speed() -> None:
    """90 km/h is 25 m/s; on a radius of 0.5 m the wheel turns at 50 rad/s, the shaft four times as fast."""
    assert shaft_speed_rpm(90.0, 500.0, 4.0) == pytest.approx(200.0 * 60.0 / (2.0 * 3.141592653589793), rel=1e-12)


@pytest.mark.parametrize("absent", [(None, 500.0, 4.0), (90.0, None, 4.0), (90.0, 500.0, None)])
def test_no_speed_without_all_three(absent: tuple[float | None, float | None, float | None]) -> None:
    assert shaft_speed_rpm(*absent) is None


def test_low_gear_torque() -> None:
    engine = Powertrain(
        peak_torque_nm=300.0, gear_ratios=(4.0, 1.0), low_range=2.5, converter_ratio=2.0, efficiency=0.9
    )
    assert low_gear_torque_nm(engine) == pytest.approx(300.0 * 4.0 * 2.5 * 2.0 * 0.9)
    assert low_gear_torque_nm(Powertrain(peak_torque_nm=300.0, gear_ratios=(4.0,))) == pytest.approx(1200.0)
    assert low_gear_torque_nm(Powertrain(peak_torque_nm=300.0)) is None
    assert low_gear_torque_nm(Powertrain(gear_ratios=(4.0,))) is None
    assert low_gear_torque_nm(None) is None


def test_wheel_slip_torque() -> None:
    """1000 kg and grip 0.8 hold 7845.32 N; on 0.4 m that is 3138.128 N·m, through 4 × 0.95 a shaft torque of 825.82."""
    vehicle = Vehicle(rear_axle_load_kg=1000.0, tyre_grip=0.8, rear_tyre_radius_mm=400.0, front_tyre_radius_mm=300.0)
    assert wheel_slip_torque_nm(vehicle, Axle(ratio=4.0, efficiency=0.95)) == pytest.approx(825.823, abs=1e-3)
    assert wheel_slip_torque_nm(vehicle, Axle(end="front", ratio=4.0)) == pytest.approx(588.399, abs=1e-3)
    assert wheel_slip_torque_nm(Vehicle(rear_tyre_radius_mm=400.0, tyre_grip=1.0), Axle(ratio=4.0)) is None
    assert wheel_slip_torque_nm(Vehicle(rear_tyre_radius_mm=400.0, rear_axle_load_kg=1.0), Axle(ratio=4.0)) is None
    assert wheel_slip_torque_nm(vehicle, Axle()) is None
    assert wheel_slip_torque_nm(vehicle, None) is None
    assert wheel_slip_torque_nm(None, Axle(ratio=4.0)) is None


def test_highest_speed_is_the_smaller_of_engine_and_road() -> None:
    engine = Powertrain(redline_rpm=4000.0, gear_ratios=(3.0, 0.8))
    assert highest_shaft_speed_rpm(engine, None) == pytest.approx(5000.0)
    assert highest_shaft_speed_rpm(engine, 4500.0) == pytest.approx(4500.0)
    assert highest_shaft_speed_rpm(engine, 5500.0) == pytest.approx(5000.0)
    assert highest_shaft_speed_rpm(Powertrain(redline_rpm=4000.0), 5500.0) == pytest.approx(5500.0)
    assert highest_shaft_speed_rpm(None, None) is None


def test_smaller_known() -> None:
    assert smaller_known(None, 3.0, 2.0) == 2.0
    assert smaller_known(None, None) is None


def test_radius_of_the_driven_axle() -> None:
    vehicle = Vehicle(front_tyre_radius_mm=300.0, rear_tyre_radius_mm=400.0)
    assert tyre_radius_mm(vehicle, Axle(end="front")) == 300.0
    assert tyre_radius_mm(vehicle, None) == 400.0
    assert tyre_radius_mm(None, None) is None
