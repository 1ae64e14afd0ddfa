"""Which entries the speeds and torques are made from: every one by hand, and unknown without what it wants."""

import numpy as np
import pytest

from geometry import Build, edited
from geometry.document.entries import variants
from geometry.judge.facts import Facts
from geometry.mechanics.loads import Speeds

BARE = edited(
    Build(),
    {
        "powertrain": {"peak_torque_nm": 300.0, "gear_ratios": (4.0, 2.0, 0.8), "redline_rpm": 4000.0},
        "axle.ratio": 4.0,
        "vehicle": {
            "front_tyre_radius_mm": 300.0, "rear_tyre_radius_mm": 500.0, "cruise_speed_kmh": 90.0,
            "rear_axle_load_kg": 1000.0, "tyre_grip": 0.8,
        },
    },
)  # fmt: skip
RPM = 60.0 / (2.0 * np.pi)


def speeds(**entries: object) -> Speeds:
    changes = {name.replace("__", "."): value for name, value in entries.items()}
    with np.errstate(all="ignore"):
        return Facts(variants(edited(BARE, changes))).speeds


def test_speeds_of_the_driven_axle() -> None:
    """90 km/h is 25 m/s: 50 rad/s on a radius of 0.5 m behind, 83.3 on 0.3 m in front, four times that in the shaft."""
    assert speeds().cruise_rpm == pytest.approx(200.0 * RPM, rel=1e-12)
    assert speeds().omega2 == pytest.approx(200.0**2, rel=1e-12)
    assert speeds(axle__end="front").cruise_rpm == pytest.approx(25.0 / 0.3 * 4.0 * RPM, rel=1e-12)


@pytest.mark.parametrize("entry", ["vehicle__cruise_speed_kmh", "vehicle__rear_tyre_radius_mm", "axle__ratio"])
def test_no_speed_without_all_three(entry: str) -> None:
    found = speeds(**{entry: None})
    assert np.isnan(found.cruise_rpm)
    assert np.isnan(found.omega2)


@pytest.mark.parametrize(("top_kmh", "expected"), [(None, 5000.0), (180.0, 400.0 * RPM), (250.0, 5000.0)])
def test_highest_speed_is_the_smaller_of_engine_and_road(top_kmh: float | None, expected: float) -> None:
    """4,000 rpm through the highest gear, 0.8, is 5,000 rpm; 180 km/h is 50 m/s and 400 rad/s in the shaft."""
    assert speeds(vehicle__top_speed_kmh=top_kmh).highest_rpm == pytest.approx(expected, rel=1e-12)


def test_highest_speed_by_what_is_known() -> None:
    road = speeds(vehicle__top_speed_kmh=180.0, powertrain__redline_rpm=None)
    assert road.highest_rpm == road.top_rpm == pytest.approx(400.0 * RPM, rel=1e-12)
    assert np.isnan(speeds(powertrain__redline_rpm=None).highest_rpm)


def test_low_gear_torque() -> None:
    """300 N·m in the lowest gear, 4; with low range 2.5, converter 2 and efficiency 0.9 as much more."""
    assert speeds().low_gear_nm == pytest.approx(1200.0)
    geared = speeds(powertrain__low_range=2.5, powertrain__converter_ratio=2.0, powertrain__efficiency=0.9)
    assert geared.low_gear_nm == pytest.approx(300.0 * 4.0 * 2.5 * 2.0 * 0.9)
    for entry in ("powertrain__peak_torque_nm", "powertrain__gear_ratios"):
        assert np.isnan(speeds(**{entry: None}).low_gear_nm)


def test_cruise_torque() -> None:
    """A share of the peak, 0.3 where none is entered, through the highest gear."""
    assert speeds().cruise_nm == pytest.approx(300.0 * 0.8 * 0.3)
    entered = speeds(powertrain__cruise_torque_share=0.25, powertrain__efficiency=0.9)
    assert entered.cruise_nm == pytest.approx(300.0 * 0.8 * 0.9 * 0.25)


def test_wheel_slip_torque() -> None:
    """1000 kg and grip 0.8 hold 7845.32 N; on 0.5 m 3922.66 N·m, through 4 × 0.95 a shaft torque of 1032.279."""
    assert speeds(axle__efficiency=0.95).wheel_slip_nm == pytest.approx(1032.279, abs=1e-3)
    assert speeds(axle__end="front").wheel_slip_nm == pytest.approx(588.399, abs=1e-3)
    for entry in ("vehicle__rear_axle_load_kg", "vehicle__tyre_grip", "vehicle__rear_tyre_radius_mm", "axle__ratio"):
        assert np.isnan(speeds(**{entry: None}).wheel_slip_nm)


def test_load_transfer_where_the_mass_centre_is_known() -> None:
    """mu h/l = 0.8 × 750/3000 = 0.2: 1/0.8 of the load behind, 1/1.2 of it in front."""
    high = {"vehicle__wheelbase_mm": 3000.0, "vehicle__mass_centre_height_mm": 750.0, "axle__efficiency": 0.95}
    assert speeds(**high).wheel_slip_nm == pytest.approx(1032.279 / 0.8, abs=2e-3)
    front = speeds(axle__end="front", **high)
    assert front.wheel_slip_nm == pytest.approx(588.399 / 0.95 / 1.2, abs=2e-3)


def test_shock_factor() -> None:
    assert (speeds().shock, speeds(powertrain__shock_factor=2.0).shock) == (1.5, 2.0)
