"""Where lines and joints are: hand-worked layouts, and the mounts' turn against a circle drawn by root finding."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from geometry import Build, edited
from geometry.document.vehicle import Powertrain
from geometry.frames import slope_deg
from geometry.pose import joints_of, mount_shim_turn_deg, phases_of, placed, setting


def mounts(front: tuple[float, float], rear: tuple[float, float]) -> Powertrain:
    return Powertrain(front_mount_mm=front, rear_mount_mm=rear)


@given(st.floats(300.0, 1500.0), st.floats(-300.0, 300.0), st.floats(-40.0, 40.0))
def test_a_shim_turns_the_powertrain_about_its_front_mounts(run: float, rise: float, shim: float) -> None:
    """The rear mount stays on its circle about the front one and comes to lie higher by the shim."""
    reach, start = np.hypot(run, rise), np.arctan2(rise, run)
    expected = brentq(lambda turn: reach * np.sin(start + turn) - rise - shim, -0.5, 0.5, xtol=1e-14)
    turned = mount_shim_turn_deg(mounts((100.0, 500.0), (100.0 + run, 500.0 + rise)), np.array([shim]))
    assert turned[0] == pytest.approx(np.degrees(expected), abs=1e-9)


def test_a_shim_that_the_mounts_cannot_take_or_that_nobody_measured() -> None:
    assert np.isnan(mount_shim_turn_deg(mounts((0.0, 0.0), (100.0, 0.0)), np.array([101.0]))).all()
    assert mount_shim_turn_deg(Powertrain(), np.array([0.0, 5.0])) == pytest.approx([0.0, np.nan], nan_ok=True)


def test_output_joint_and_line_turn_together() -> None:
    """Mounts 800 mm apart on the level, shim 13.962 mm: 1°, tail up; a joint 1000 mm behind the front mounts rises."""
    build = edited(
        Build(),
        {
            "powertrain.slope_deg": 3.5,
            "powertrain.output_joint_mm": (1100.0, 30.0, 500.0),
            "powertrain.front_mount_mm": (100.0, 500.0),
            "powertrain.rear_mount_mm": (900.0, 500.0),
        },
    )
    shim = 800.0 * np.sin(np.radians(1.0))
    pose = placed(build, setting(0.0, shim))
    assert pose.output is not None
    assert pose.output_joint_mm is not None
    assert slope_deg(pose.output)[0] == pytest.approx(2.5, abs=1e-9)
    tail = (100.0 + 1000.0 * np.cos(np.radians(1.0)), 30.0, 500.0 + 1000.0 * np.sin(np.radians(1.0)))
    assert pose.output_joint_mm[0] == pytest.approx(tail, abs=1e-9)


def test_without_mounts_the_joint_is_known_only_without_a_shim() -> None:
    build = edited(Build(), {"powertrain.output_joint_mm": (1100.0, 30.0, 500.0)})
    known = placed(build, setting(0.0, np.array([0.0, 5.0]))).output_joint_mm
    assert known is not None
    assert known[0] == pytest.approx((1100.0, 30.0, 500.0))
    assert np.isnan(known[1]).all()


AXLE = {
    "axle.centre_mm": (2600.0, 10.0, 390.0),
    "axle.pinion_length_mm": 350.0,
    "axle.pinion_drop_mm": 12.0,
    "axle.pinion_offset_mm": 25.0,
}


@given(st.floats(-30.0, 30.0), st.floats(-20.0, 20.0), st.floats(-8.0, 8.0), st.sampled_from(["rear", "front"]))
def test_pinion_joint_is_the_axles_arm_turned_in_space(slope: float, plan: float, wedge: float, end: str) -> None:
    """The arm of a level, straight pinion, turned by slope about y and plan about z, then by the wedge about y.

    A rear axle's pinion points forward and its nose-up wedge adds to the slope; a front one's is the other way round.
    """
    build = edited(Build(), AXLE | {"axle.end": end, "axle.pinion_slope_deg": slope, "axle.pinion_plan_deg": plan})
    pose = placed(build, setting(wedge))
    forward, more = (-1.0, wedge) if end == "rear" else (1.0, -wedge)
    arm = Rotation.from_euler("ZY", [plan, slope], degrees=True).apply([forward * 350.0, 25.0, -12.0])
    turned = Rotation.from_euler("y", more, degrees=True).apply(arm)
    assert pose.pinion_joint_mm is not None
    assert pose.pinion_joint_mm[0] == pytest.approx(np.array([2600.0, 10.0, 390.0]) + turned, abs=1e-9)


@pytest.mark.parametrize("end", ["rear", "front"])
def test_a_positive_wedge_raises_the_nose(end: str) -> None:
    build = edited(Build(), AXLE | {"axle.end": end, "axle.pinion_slope_deg": 2.0})
    joints = placed(build, setting(np.array([0.0, 3.0]))).pinion_joint_mm
    assert joints is not None
    assert joints[1, 2] > joints[0, 2]


def test_lines_run_from_joint_to_joint(two_piece: Build) -> None:
    pose = placed(two_piece, setting(np.array([0.0, 2.0])))
    assert pose.lines is not None
    assert pose.joint_centres_mm is not None
    assert pose.lines.shape == (4, 2, 3)
    steps = np.diff(pose.joint_centres_mm, axis=0)
    assert pose.lines[1:3] == pytest.approx(steps / np.linalg.norm(steps, axis=2, keepdims=True), abs=1e-12)
    assert pose.joint_centres_mm[1, 0] == pytest.approx((2200.0, 20.0, 500.0))


def test_a_front_axle_lies_ahead(one_piece: Build) -> None:
    """Lines still run front to rear: pinion, shaft, output."""
    front = edited(one_piece, {"axle.end": "front", "axle.centre_mm": (0.0, 0.0, 390.0), "readings": None})
    pose = placed(front, setting())
    assert pose.lines is not None
    assert pose.pinion is not None
    assert pose.lines[0] == pytest.approx(pose.pinion)
    assert pose.joint_centres_mm is not None
    assert pose.joint_centres_mm[0, 0, 0] < pose.joint_centres_mm[1, 0, 0]


def test_what_is_not_measured_is_not_placed() -> None:
    pose = placed(Build(), setting())
    assert (pose.output, pose.pinion, pose.sections, pose.lines, pose.joint_centres_mm) == (None,) * 5
    no_slope = placed(edited(Build(), {"axle.centre_mm": (1.0, 2.0, 3.0)}), setting())
    assert no_slope.axle_centre_mm is not None
    assert no_slope.pinion is None
    no_bearing = edited(Build(), {"shaft": {"kind": "two_piece"}, "readings.shaft_slope_deg": 5.0})
    assert placed(no_bearing, setting()).sections is None


def test_joints_and_phases_are_plain_where_nothing_is_said(two_piece: Build) -> None:
    assert [joint.type for joint in joints_of(Build())] == ["cardan", "cardan"]
    assert phases_of(Build()) == (0.0,)
    assert phases_of(edited(Build(), {"shaft.phase_deg": None})) == (0.0,)
    assert phases_of(two_piece) == (90.0, 0.0)
    assert len(joints_of(two_piece)) == 3
