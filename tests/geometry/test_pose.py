"""Where lines and joints are: hand-worked layouts, scipy's rotations, and the mounts' turn against root finding."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import assume, given
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from geometry.mechanics.pose import (
    Axle,
    Pose,
    Powertrain,
    axle_of,
    mount_shim_turn_deg,
    posed,
    powertrain_of,
    turn_to_slope_deg,
)
from geometry.mechanics.vectors import (
    NAN,
    NOWHERE,
    ONE,
    ORIGIN,
    ZERO,
    Floats,
    Vector,
    backward,
    line_of,
    number,
    slope_deg,
    turned,
)
from tests.mechanics_help import array_of, vector_of

STILL = (ZERO, ZERO)
TAPED = np.array(False)
GEARBOX = powertrain_of(line_of(number(3.0), number(1.0)), vector_of([1100.0, 30.0, 560.0]), (NAN, NAN), ZERO, STILL)


def shim_turn(front: tuple[float, float], rear: tuple[float, float], shim: Floats) -> Floats:
    return mount_shim_turn_deg((number(front[0]), number(front[1])), (number(rear[0]), number(rear[1])), shim)


@given(st.floats(300.0, 1500.0), st.floats(-300.0, 300.0), st.floats(-40.0, 40.0))
def test_a_shim_turns_the_powertrain_about_its_front_mounts(run: float, rise: float, shim: float) -> None:
    """The rear mount stays on its circle about the front one and comes to lie higher by the shim."""
    reach, start = np.hypot(run, rise), np.arctan2(rise, run)
    expected = brentq(lambda turn: reach * np.sin(start + turn) - rise - shim, -0.5, 0.5, xtol=1e-14)
    found = shim_turn((100.0, 500.0), (100.0 + run, 500.0 + rise), number(shim))
    assert found == pytest.approx(np.degrees(expected), abs=1e-9)


def test_a_shim_that_the_mounts_cannot_take_or_that_nobody_measured() -> None:
    with np.errstate(invalid="ignore"):
        assert np.isnan(shim_turn((0.0, 0.0), (100.0, 0.0), np.array([101.0, -101.0]))).all()
        found = shim_turn((np.nan, 500.0), (900.0, 480.0), np.array([0.0, 5.0, np.nan]))
    assert found == pytest.approx([0.0, np.nan, np.nan], nan_ok=True)


@given(st.floats(-30.0, 30.0), st.floats(-25.0, 25.0), st.floats(-30.0, 30.0))
def test_turn_to_slope_brings_a_line_there(slope: float, plan: float, wanted: float) -> None:
    """Turned by scipy about the cross-car axis, the gauge reads what was wanted; and it is the nearer of two turns."""
    found = float(turn_to_slope_deg(line_of(number(slope), number(plan)), number(wanted)))
    assume(np.isfinite(found))
    start = Rotation.from_euler("ZY", [plan, slope], degrees=True).apply([1.0, 0.0, 0.0])
    line = Rotation.from_euler("y", found, degrees=True).apply(start)
    assert np.degrees(np.arcsin(-line[2])) == pytest.approx(wanted, abs=1e-7)
    assert line[0] > 0.0


def test_no_turn_in_side_view_steepens_a_line_beyond_what_its_plan_leaves() -> None:
    """A level line with 30° of plan turns on a cone: it never slopes more than 60°."""
    level = line_of(ZERO, number(30.0))
    with np.errstate(invalid="ignore"):
        found = turn_to_slope_deg(level, np.array([59.9, 60.1, -60.1]))
    assert np.isfinite(found).tolist() == [True, False, False]
    assert turn_to_slope_deg(level, number(59.9)) > 80.0


@given(st.floats(-20.0, 20.0), st.floats(-20.0, 20.0), st.floats(-10.0, 10.0))
def test_output_joint_and_line_turn_together_and_shift(slope: float, plan: float, turn: float) -> None:
    hinge, joint, shift = np.array([100.0, 0.0, 500.0]), np.array([1100.0, 30.0, 560.0]), np.array([12.0, 0.0, -25.0])
    moved = powertrain_of(
        line_of(number(slope), number(plan)),
        vector_of(joint),
        (number(100.0), number(500.0)),
        number(turn),
        (number(12.0), number(-25.0)),
    )
    about = Rotation.from_euler("y", turn, degrees=True)
    line = Rotation.from_euler("ZY", [plan, slope], degrees=True).apply([1.0, 0.0, 0.0])
    assert array_of(moved.line) == pytest.approx(about.apply(line), abs=1e-12)
    assert array_of(moved.joint) == pytest.approx(hinge + about.apply(joint - hinge) + shift, abs=1e-9)
    assert array_of(moved.shift) == pytest.approx(shift)
    assert moved.turn_deg == turn


def test_a_positive_turn_hangs_the_tail_lower() -> None:
    """1° about a hinge 1000 mm ahead on the level: the joint falls by 1000 sin 1°, the line slopes a degree more."""
    hinge = (number(100.0), number(500.0))
    moved = powertrain_of(line_of(number(3.5)), vector_of([1100.0, 30.0, 500.0]), hinge, ONE, STILL)
    expected = (100.0 + 1000.0 * np.cos(np.radians(1.0)), 30.0, 500.0 - 1000.0 * np.sin(np.radians(1.0)))
    assert array_of(moved.joint) == pytest.approx(expected, abs=1e-9)
    assert slope_deg(moved.line) == pytest.approx(4.5, abs=1e-9)


def test_without_mounts_the_joint_is_known_only_without_a_turn() -> None:
    turn, joint = np.array([0.0, 2.0, 0.0]), vector_of([1100.0, 30.0, 500.0])
    moved = powertrain_of(line_of(number(3.5)), joint, (NAN, number(500.0)), turn, (ZERO, number(-25.0)))
    placed = array_of(moved.joint)
    assert placed[[0, 2]].tolist() == [[1100.0, 30.0, 475.0]] * 2
    assert np.isnan(placed[1, [0, 2]]).all()
    assert slope_deg(moved.line) == pytest.approx([3.5, 5.5, 3.5], abs=1e-9)
    unknown = powertrain_of(line_of(number(3.5)), joint, (number(0.0), NAN), number(2.0), STILL)
    assert np.isnan(unknown.joint.z)


@given(st.floats(-30.0, 30.0), st.floats(-20.0, 20.0), st.floats(-8.0, 8.0), st.booleans())
def test_pinion_joint_is_the_axles_arm_turned_in_space(slope: float, plan: float, turn: float, ahead: bool) -> None:
    """The arm of a level, straight pinion, turned by slope about y and plan about z, then by the turn about y."""
    centre = vector_of([2600.0, 10.0, 390.0])
    axle = axle_of(
        number(slope), number(plan), number(turn), centre, number(350.0), number(12.0), number(25.0), ahead=ahead
    )
    about = Rotation.from_euler("y", turn, degrees=True) * Rotation.from_euler("ZY", [plan, slope], degrees=True)
    assert array_of(axle.arm) == pytest.approx(about.apply([350.0 if ahead else -350.0, 25.0, -12.0]), abs=1e-9)
    assert array_of(axle.line) == pytest.approx(about.apply([1.0, 0.0, 0.0]), abs=1e-12)
    assert axle.centre is centre


@pytest.mark.parametrize("ahead", [False, True])
def test_a_positive_turn_raises_what_lies_ahead(ahead: bool) -> None:
    """A rear axle's nose points forward and rises, a front one's points rearward and falls."""
    turn = np.array([0.0, 3.0])
    axle = axle_of(number(2.0), ZERO, turn, ORIGIN, number(350.0), ZERO, ZERO, ahead=ahead)
    assert slope_deg(axle.line) == pytest.approx([2.0, 5.0], abs=1e-9)
    assert (axle.arm.z[1] < axle.arm.z[0]) == ahead


def pose_of(axle: Axle, bearing: Vector | None = None, stick: Vector = NOWHERE, **more: object) -> Pose:
    entries = {"ahead": False, "by_stick": TAPED, "cosine": ONE, "sine": ZERO} | more
    return posed(GEARBOX, axle, bearing, stick, **entries)  # type: ignore[arg-type]


REAR = axle_of(
    number(3.4), number(1.0), ZERO, vector_of([2600.0, 10.0, 390.0]), number(350.0), number(12.0), ZERO, ahead=False
)
FRONT = axle_of(number(3.4), ZERO, ZERO, vector_of([0.0, 0.0, 390.0]), number(350.0), number(12.0), ZERO, ahead=True)


def test_a_shaft_runs_from_joint_to_joint() -> None:
    pose = pose_of(REAR)
    output, nose = (array_of(joint) for joint in pose.joints)
    assert output.tolist() == [1100.0, 30.0, 560.0]
    assert nose == pytest.approx(np.array([2600.0, 10.0, 390.0]) + array_of(REAR.arm), abs=1e-9)
    assert pose.lengths_mm == pytest.approx((np.linalg.norm(nose - output),), rel=1e-14)
    assert array_of(pose.sections[0]) == pytest.approx((nose - output) / np.linalg.norm(nose - output), abs=1e-14)
    assert pose.output is GEARBOX.line
    assert array_of(pose.pinion) == pytest.approx(array_of(REAR.line), abs=1e-15)
    assert array_of(pose.axle_centre).tolist() == [2600.0, 10.0, 390.0]


def test_a_two_piece_shaft_runs_through_its_bearing_whatever_the_stick_read() -> None:
    bearing = vector_of([1800.0, 25.0, 500.0])
    pose = pose_of(REAR, bearing, line_of(number(20.0)), by_stick=np.array(True))
    joints = np.array([array_of(joint) for joint in pose.joints])
    assert joints.shape == (3, 3)
    assert joints[1].tolist() == [1800.0, 25.0, 500.0]
    steps = np.diff(joints, axis=0)
    assert pose.lengths_mm == pytest.approx(np.linalg.norm(steps, axis=1), rel=1e-14)
    for section, step, length in zip(pose.sections, steps, pose.lengths_mm, strict=True):
        assert array_of(section) == pytest.approx(step / length, abs=1e-14)


def test_the_stick_stands_for_the_line_where_it_is_told_to() -> None:
    by_stick = np.array([True, False])
    pose = pose_of(REAR, None, line_of(number(20.0)), by_stick=by_stick)
    assert slope_deg(pose.sections[0]) == pytest.approx([20.0, float(slope_deg(pose_of(REAR).sections[0]))], abs=1e-9)


@given(st.floats(-12.0, 12.0), st.floats(-100.0, 100.0), st.floats(-100.0, 100.0), st.floats(-30.0, 30.0))
def test_the_axle_turns_further_about_its_centre_and_is_shifted(dx: float, dy: float, dz: float, turn: float) -> None:
    angle, shift = np.radians(turn), vector_of([dx, dy, dz])
    pose = pose_of(REAR, cosine=number(np.cos(angle)), sine=number(np.sin(angle)), shift=shift)
    about = Rotation.from_euler("y", turn, degrees=True)
    centre = np.array([2600.0 + dx, 10.0 + dy, 390.0 + dz])
    assert array_of(pose.axle_centre) == pytest.approx(centre, abs=1e-9)
    assert array_of(pose.joints[1]) == pytest.approx(centre + about.apply(array_of(REAR.arm)), abs=1e-9)
    assert array_of(pose.pinion) == pytest.approx(about.apply(array_of(REAR.line)), abs=1e-12)


def test_a_front_axle_lies_ahead() -> None:
    """Joints and sections still run front to rear; along the drive they are followed the other way."""
    pose = pose_of(FRONT, vector_of([700.0, 15.0, 480.0]), ahead=True)
    assert [float(joint.x) for joint in pose.joints] == pytest.approx(
        [350.0 * np.cos(np.radians(3.4)), 700.0, 1100.0], abs=1.0
    )
    assert pose.joints[2] == GEARBOX.joint
    lines = pose.along_drive(ahead=True)
    expected = [pose.output, pose.sections[1], pose.sections[0], pose.pinion]
    assert [array_of(line).tolist() for line in lines] == [array_of(backward(line)).tolist() for line in expected]


def test_along_the_drive_of_a_rear_axle_is_rearward() -> None:
    pose = pose_of(REAR, vector_of([1800.0, 25.0, 500.0]))
    assert pose.along_drive(ahead=False) == [pose.output, *pose.sections, pose.pinion]


def test_joints_in_one_place_have_no_line_between_them() -> None:
    here = Powertrain(line_of(ZERO), ORIGIN, ZERO, ORIGIN)
    there = Vector(np.array([0.0, 3.0]), ZERO, np.array([0.0, -4.0]))
    pose = posed(
        here, Axle(line_of(ZERO), there, ORIGIN), None, NOWHERE, ahead=False, by_stick=TAPED, cosine=ONE, sine=ZERO
    )
    assert np.isnan(pose.sections[0].x).tolist() == [True, False]
    assert array_of(pose.sections[0])[1] == pytest.approx([0.6, 0.0, -0.8], abs=1e-15)
    assert pose.lengths_mm[0].tolist() == [0.0, 5.0]


@pytest.mark.parametrize(
    ("slopes", "turns", "shape"), [((), (), ()), ((5,), (), (5,)), ((5,), (3, 1), (3, 5)), ((3, 5), (5,), (3, 5))]
)
def test_rows_broadcast(slopes: tuple[int, ...], turns: tuple[int, ...], shape: tuple[int, ...]) -> None:
    """Rows, and places of the travel before them, come out as they do one by one."""
    draw = np.random.default_rng(2)
    slope, turn = draw.uniform(-8.0, 8.0, slopes), draw.uniform(-8.0, 8.0, turns)

    def worked(slope: Floats, turn: Floats) -> tuple[Floats, Floats]:
        centre = vector_of([2600.0, 10.0, 390.0])
        axle = axle_of(slope, ONE, ZERO, centre, number(350.0), number(12.0), number(25.0), ahead=False)
        gearbox = powertrain_of(
            line_of(slope), vector_of([1100.0, 30.0, 560.0]), (number(100.0), number(500.0)), slope, (ZERO, slope)
        )
        angle = np.radians(turn)
        pose = posed(
            gearbox, axle, None, NOWHERE, ahead=False, by_stick=TAPED, cosine=np.cos(angle), sine=np.sin(angle)
        )
        return pose.lengths_mm[0], slope_deg(pose.sections[0])

    together = worked(slope, turn)
    assert together[0].shape == shape
    pairs = zip(np.broadcast_to(slope, shape).ravel(), np.broadcast_to(turn, shape).ravel(), strict=True)
    alone = [worked(number(one), number(other)) for one, other in pairs]
    rows = np.array(together).reshape(2, -1).T
    assert rows == pytest.approx(np.array(alone), rel=1e-12)


def test_a_row_that_is_not_known_leaves_the_others_alone() -> None:
    drop = np.array([10.0, np.nan, 12.0])
    axle = axle_of(
        number(3.4), ONE, ZERO, vector_of([2600.0, 10.0, 390.0]), number(350.0), drop, number(25.0), ahead=False
    )
    pose = pose_of(axle)
    assert np.isnan(pose.lengths_mm[0]).tolist() == [False, True, False]
    assert np.isnan(pose.sections[0].z).tolist() == [False, True, False]
    assert slope_deg(pose.pinion) == pytest.approx(3.4, abs=1e-9)
    turn = turn_to_slope_deg(line_of(np.array([3.0, np.nan])), number(5.5))
    assert turn == pytest.approx([2.5, np.nan], nan_ok=True)
    gearbox = powertrain_of(line_of(ONE), ORIGIN, (ZERO, ZERO), np.array([1.0, np.nan]), STILL)
    assert np.isnan(gearbox.line.z).tolist() == [False, True]
    assert slope_deg(turned(gearbox.line, ONE))[0] == pytest.approx(3.0, abs=1e-9)
