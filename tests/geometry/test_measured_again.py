"""Built to a plan and measured again without one it is the same vehicle: each plan's geometry done here by hand.

A wedge and loose perches turn the pinion alone, a shim lifts the rear mount about the front ones, loose mounts turn the
engine about those and shift it, a block moves the axle straight off its seat, an uneven lift tips all of it.
"""

from math import asin, atan, cos, degrees, hypot, radians, sin
from typing import Any

import pytest

from geometry import Build, edited, solve, value_at
from tests.geometry.strategies import sample

STANDS = ("pinion_residual", "residual_at_top", "shaft_inertia_drive", "shaft_inertia_coast", "inertia_at_top",
          "ends_parallel", "straight_end", "operating_angle_least", "operating_angle_most", "first_joint",
          "equivalent_angle", "joint_bind", "shaft_slope", "critical_speed", "half_critical_speed", "tube_shear",
          "joint_torque", "joint_life", "pinion_nose_up", "pinion_nose_down", "tail_down", "tail_up",
          "gauge_resolution")  # fmt: skip
"""Findings that tell how it stands, and not what was done to get there."""
BARE = {
    "suspension": None, "plan": None, "readings": {"seat_slope_deg": 2.0}, "obstacles": (), "state": None, "use": None,
    "lateral_link": None, "powertrain.plan_deg": 0.0, "axle.pinion_plan_deg": 0.0,
}  # fmt: skip
Point = tuple[float, float, float]


def turned(point: Point, about: tuple[float, float], slope_deg: float) -> Point:
    """A point turned in side view about (x, z) so that lines through it get that much more slope: rear end lower."""
    a, x, z = radians(slope_deg), point[0] - about[0], point[2] - about[1]
    return about[0] + x * cos(a) + z * sin(a), point[1], about[1] + z * cos(a) - x * sin(a)


def wedge(build: Build) -> tuple[dict[str, Any], dict[str, Any]]:
    way = -1.0 if build.axle.end == "front" else 1.0
    return {"plan.axle_shim_deg": 2.5}, {"axle.pinion_slope_deg": build.axle.pinion_slope_deg + way * 2.5}


def loose_perches(_build: Build) -> tuple[dict[str, Any], dict[str, Any]]:
    return {"plan.perches": "loose", "plan.pinion_slope_deg": 6.5}, {"axle.pinion_slope_deg": 6.5}


def engine(build: Build, more_deg: float, shift: tuple[float, float] = (0.0, 0.0)) -> dict[str, Any]:
    """Engine and gearbox turned about the front mounts, then shifted."""
    x, y, z = turned(build.powertrain.output_joint_mm, build.powertrain.front_mount_mm, more_deg)
    return {"powertrain.slope_deg": build.powertrain.slope_deg + more_deg,
            "powertrain.output_joint_mm": (x + shift[0], y, z + shift[1])}  # fmt: skip


def shim(build: Build) -> tuple[dict[str, Any], dict[str, Any]]:
    front, rear = build.powertrain.front_mount_mm, build.powertrain.rear_mount_mm
    long, up = hypot(rear[0] - front[0], rear[1] - front[1]), rear[1] - front[1]
    return {"plan.mount_shim_mm": 15.0}, engine(build, degrees(asin(up / long) - asin((up + 15.0) / long)))


def loose_mounts(build: Build) -> tuple[dict[str, Any], dict[str, Any]]:
    plan = {"plan.mounts": "loose", "plan.powertrain_slope_deg": 5.25, "plan.powertrain_shift_mm": (12.0, -9.0)}
    return plan, engine(build, 5.25 - build.powertrain.slope_deg, (12.0, -9.0))


def adapters(build: Build) -> tuple[dict[str, Any], dict[str, Any]]:
    """Half an inch at the output, along its line, toward the axle."""
    x, y, z = build.powertrain.output_joint_mm
    slope, far = radians(build.powertrain.slope_deg), -12.7 if build.axle.end == "front" else 12.7
    there = {"powertrain.output_joint_mm": (x + far * cos(slope), y, z - far * sin(slope)),
             "axle.pinion_length_mm": build.axle.pinion_length_mm + 10.0}  # fmt: skip
    return {"plan.output_adapter_mm": 12.7, "plan.pinion_adapter_mm": 10.0}, there


def blocks(build: Build) -> tuple[dict[str, Any], dict[str, Any]]:
    """Both ends by blocks of 50 mm: the driven axle goes down square to its seat, which lies at 2° here."""
    x, y, z = build.axle.centre_mm
    down = {
        f"plan.{end}_lift_{what}": value for end in ("front", "rear") for what, value in (("mm", 50.0), ("by", "block"))
    }
    return down, {"axle.centre_mm": (x - 50.0 * sin(radians(2.0)), y, z - 50.0 * cos(radians(2.0)))}


def other_end(build: Build) -> tuple[dict[str, Any], dict[str, Any]]:
    """The other axle lifted by 60 mm: all is tipped by 60 over the wheelbase, about anywhere."""
    end, way = ("rear", -1.0) if build.axle.end == "front" else ("front", 1.0)
    more = way * degrees(atan(60.0 / build.vehicle.wheelbase_mm))
    tipped: dict[str, Any] = {
        path: turned(value_at(build, path), (0.0, 0.0), more)
        for path in ("powertrain.output_joint_mm", "axle.centre_mm", "shaft.bearing_mm")
        if path != "shaft.bearing_mm" or build.shaft.kind == "two_piece"
    }
    slopes = ("powertrain.slope_deg", "axle.pinion_slope_deg")
    return {f"plan.{end}_lift_mm": 60.0}, tipped | {path: value_at(build, path) + more for path in slopes}


@pytest.mark.parametrize("plan", [wedge, loose_perches, shim, loose_mounts, adapters, blocks, other_end])
@pytest.mark.parametrize(
    "name", ["ranch_truck_swap", "front_axle_lift", "long_van_two_piece", "transfer_case_double_joint"]
)
def test_built_as_planned_and_measured_again_it_is_the_same_vehicle(name: str, plan: Any) -> None:
    build = edited(sample(name), BARE)
    planned, again = plan(build)
    one, two = (
        {(found.id, found.part): (found.value, found.verdict) for found in solve(edited(build, changes)).findings
         if found.id in STANDS}
        for changes in (planned, again)
    )  # fmt: skip
    assert one.keys() == two.keys()
    assert len(one) > 12
    for key, (value, verdict) in one.items():
        assert two[key][1] == verdict, key
        assert two[key][0] == (None if value is None else pytest.approx(value, rel=1e-6, abs=1e-6)), key
