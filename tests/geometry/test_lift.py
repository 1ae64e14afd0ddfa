"""A lift: what it moves, what the gauge then reads, and what it must leave alone."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from geometry import Build, edited, solve
from geometry.document.entries import variants
from geometry.judge.facts import Facts
from geometry.mechanics.springs import posture
from geometry.words.setpoints import setpoints_of
from geometry.words.solve import Work, solved
from geometry.words.told import Told
from tests.geometry.told_build import as_planned

SAMPLES = Path(__file__).parents[2] / "sample_builds"
WAYS = ["spring", "block", "shackle"]


def sample(name):
    return Build.model_validate_json((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))


def lifted(build, rear=None, front=None, **more):
    return edited(build, {"plan": {"rear_lift_mm": rear, "front_lift_mm": front, **more}})


def angles_of(answer):
    return np.array([joint.operating_deg for joint in answer.joints])


def ride(build):
    """The axle after the lift, in the frame's axes: how it is shifted, (3,) mm, and turned, and its springs."""
    with np.errstate(all="ignore"):
        return Facts(variants(build)).ride


def shift_of(build):
    return np.array([float(part) for part in ride(build).shift])


def planned(build):
    """Set-points of the plan itself, whatever is recommended instead."""
    with np.errstate(all="ignore"):
        return setpoints_of(Told(build, Facts(variants(build)), {}))


def seat_slope_deg(build):
    """Slope of the spring's seat in the frame, after the lift."""
    at = ride(build)
    return float(posture(at.leaf, at.curvature).seat_slope_deg)


# --- the whole vehicle turned ---------------------------------------------------------------------------------------


def turned_over(build, tilt_deg):
    """The same vehicle standing on a slope: every point and line turned about the cross-car axis by scipy."""
    turn = Rotation.from_euler("y", tilt_deg, degrees=True)  # right-hand about y takes x to -z: rear end down

    def line(slope, plan):
        s, p = np.radians([slope, plan])
        x, y, z = turn.apply([np.cos(s) * np.cos(p), np.cos(s) * np.sin(p), -np.sin(s)])
        return float(np.degrees(np.arctan2(-z, np.hypot(x, y)))), float(np.degrees(np.arctan2(y, x)))

    def space(point):
        return tuple(turn.apply(point).tolist())

    output, pinion = (
        line(build.powertrain.slope_deg, build.powertrain.plan_deg or 0.0),
        line(build.axle.pinion_slope_deg, build.axle.pinion_plan_deg or 0.0),
    )
    changes = {
        "powertrain.slope_deg": output[0],
        "powertrain.plan_deg": output[1],
        "powertrain.output_joint_mm": space(build.powertrain.output_joint_mm),
        "axle.pinion_slope_deg": pinion[0],
        "axle.pinion_plan_deg": pinion[1],
        "axle.centre_mm": space(build.axle.centre_mm),
    }
    if build.shaft.kind == "two_piece":
        changes["shaft.bearing_mm"] = space(build.shaft.bearing_mm)
    return edited(build, changes)


@settings(max_examples=15)
@given(
    tilt=st.floats(-15.0, 15.0),
    output=st.tuples(st.floats(-8.0, 8.0), st.floats(-5.0, 5.0)),
    pinion=st.tuples(st.floats(-10.0, 12.0), st.just(0.0) | st.floats(-5.0, 5.0)),
    name=st.sampled_from(["ranch_truck_swap", "long_van_two_piece", "front_axle_lift"]),
)
def test_turning_the_whole_vehicle_changes_no_joint(tilt, output, pinion, name):
    build = edited(
        sample(name),
        {
            "plan": None,
            "suspension": None,
            "powertrain.slope_deg": output[0],
            "powertrain.plan_deg": output[1],
            "axle.pinion_slope_deg": pinion[0],
            "axle.pinion_plan_deg": pinion[1],
            # The document squares drop and offset to the upright, so an axle that is both swung and tipped has none.
            "axle.pinion_offset_mm": 20.0 if pinion[1] == 0.0 else 0.0,
            "axle.pinion_drop_mm": 15.0 if pinion[1] == 0.0 else 0.0,
        },
    )
    before, after = solve(build), solve(turned_over(build, tilt))
    np.testing.assert_allclose(angles_of(after), angles_of(before), atol=1e-9)
    assert after.motion.pinion_residual_rad_s2 == pytest.approx(before.motion.pinion_residual_rad_s2, abs=1e-5)
    assert after.shaft.length_mm == pytest.approx(before.shaft.length_mm, abs=1e-9)


# --- nothing lifted -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("by", WAYS)
@pytest.mark.parametrize(
    "name", ["ranch_truck_swap", "long_van_two_piece", "transfer_case_double_joint", "three_angles_and_a_length"]
)
def test_a_lift_of_nothing_changes_nothing_at_all(name, by):
    build = sample(name)
    nothing = lifted(build, 0.0, 0.0, rear_lift_by=by, front_lift_by=by)
    assert solve(nothing).model_dump() == solve(build).model_dump()


@pytest.mark.parametrize("by", WAYS)
def test_a_lift_grows_from_nothing_without_a_jump(one_piece, by):
    before, after = solve(one_piece), solve(lifted(one_piece, 1e-6, 1e-6, rear_lift_by=by))
    np.testing.assert_allclose(angles_of(after), angles_of(before), atol=1e-6)


# --- how far the axle moves -----------------------------------------------------------------------------------------


@given(height=st.floats(1.0, 150.0))
def test_a_block_moves_the_axle_by_its_own_height_straight_off_the_seat(one_piece, height):
    build = lifted(one_piece, height, rear_lift_by="block")
    slope, shift = np.radians(seat_slope_deg(one_piece)), shift_of(build)
    assert np.linalg.norm(shift) == pytest.approx(height, rel=1e-12)
    np.testing.assert_allclose(shift / height, [-np.sin(slope), 0.0, -np.cos(slope)], atol=1e-9)
    assert float(ride(build).turn_deg) == 0.0


@pytest.mark.parametrize("by", ["spring", "shackle"])
def test_spring_and_shackle_bring_the_axle_down_by_the_lift(one_piece, by):
    assert shift_of(lifted(one_piece, 40.0, rear_lift_by=by))[2] == pytest.approx(-40.0, abs=1e-9)


@pytest.mark.parametrize("by", WAYS)
def test_pinion_joint_follows_the_axle(one_piece, by):
    # The pinion's joint is bolted to the axle: the arm from its centre keeps its length and turns with it.
    build = lifted(one_piece, 40.0, 40.0, rear_lift_by=by)
    before, after, turn = solve(one_piece), solve(build), float(ride(build).turn_deg)
    arms = [np.subtract(answer.picture.pinion_joint_mm, answer.picture.axle_centre_mm) for answer in (before, after)]
    np.testing.assert_allclose(Rotation.from_euler("y", turn, degrees=True).apply(arms[0]), arms[1], atol=1e-9)
    assert after.angles.pinion_slope_deg - before.angles.pinion_slope_deg == pytest.approx(turn, abs=1e-9)


# --- what the gauge reads -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("by", WAYS)
def test_equal_lifts_leave_frame_and_output_as_they_read(one_piece, by):
    before, after = solve(one_piece), solve(lifted(one_piece, 45.0, 45.0, rear_lift_by=by))
    assert after.angles.frame_slope_deg == before.angles.frame_slope_deg
    assert after.angles.output_slope_deg == before.angles.output_slope_deg
    assert after.angles.shaft_slope_deg > before.angles.shaft_slope_deg + 0.5


@settings(max_examples=15)
@given(rear=st.floats(-30.0, 45.0), front=st.floats(-100.0, 150.0))
def test_unequal_lifts_tip_every_reading_alike_and_turn_no_joint(one_piece, rear, front):
    even, uneven = solve(lifted(one_piece, rear, rear)), solve(lifted(one_piece, rear, front))
    tilt = np.degrees(np.arctan((front - rear) / 2600.0))
    for name in ("frame_slope_deg", "output_slope_deg", "shaft_slope_deg", "pinion_slope_deg"):
        assert getattr(uneven.angles, name) - getattr(even.angles, name) == pytest.approx(tilt, abs=1e-12)
    assert (angles_of(uneven) == angles_of(even)).all()
    assert uneven.motion == even.motion
    even_set, uneven_set = planned(lifted(one_piece, rear, rear)), planned(lifted(one_piece, rear, front))
    # Set to tenths.
    assert uneven_set.pinion_slope_deg == pytest.approx(even.angles.pinion_slope_deg + tilt, abs=0.05 + 1e-9)
    # From seat to pinion is an angle within the axle: it does not tip.
    assert uneven_set.perch_to_pinion_deg == pytest.approx(even_set.perch_to_pinion_deg, abs=1e-12)


def test_a_higher_front_lowers_the_tail(one_piece):
    before, after = solve(one_piece), solve(lifted(one_piece, 0.0, 45.39))
    assert after.angles.output_slope_deg - before.angles.output_slope_deg == pytest.approx(1.0, abs=2e-4)  # tan 1 deg


@pytest.mark.parametrize(
    ("name", "other"), [("ranch_truck_swap", "front_lift_mm"), ("front_axle_lift", "rear_lift_mm")]
)
def test_lifting_the_axle_that_is_not_driven_turns_no_joint(name, other):
    build = edited(sample(name), {"plan": None})
    before, after = solve(build), solve(edited(build, {f"plan.{other}": 60.0}))
    assert (angles_of(after) == angles_of(before)).all()
    assert after.travel.operating_deg == before.travel.operating_deg
    assert after.angles.pinion_slope_deg != before.angles.pinion_slope_deg


def test_the_bump_stop_stays_on_the_frame(one_piece):
    before, after = solve(one_piece), solve(lifted(one_piece, 30.0, 30.0))
    assert after.travel.axle_mm[-1] == pytest.approx(before.travel.axle_mm[-1] + 30.0)
    assert after.travel.axle_mm[0] == before.travel.axle_mm[0]


def test_over_a_block_the_spring_meets_the_stop_where_it_did(one_piece):
    before, after = solve(one_piece), solve(lifted(one_piece, 30.0, 30.0, rear_lift_by="block"))
    assert after.travel.axle_mm[-1] == pytest.approx(before.travel.axle_mm[-1])


@pytest.mark.parametrize("by", WAYS)
def test_the_perch_is_set_to_the_seat_as_it_lies_after_the_lift(one_piece, by):
    build = lifted(one_piece, 40.0, 40.0, rear_lift_by=by)
    pinion, perch = solve(build).angles.pinion_slope_deg, planned(build).perch_to_pinion_deg
    slopes = [seat_slope_deg(one) for one in (one_piece, build)]
    assert abs(slopes[1] - slopes[0]) > 0.2 or by == "block"
    seat = 0.5 + slopes[1] - slopes[0]  # read as 0.5 before
    assert perch == pytest.approx(pinion - seat, abs=0.05 + 1e-9)
    assert perch == round(perch, 1)


# --- what is not known ----------------------------------------------------------------------------------------------


def test_without_a_wheelbase_uneven_lifts_leave_the_readings_open(one_piece):
    build = edited(lifted(one_piece, 30.0, 60.0), {"vehicle.wheelbase_mm": None})
    answer = solve(build)
    angles = answer.angles
    assert {
        angles.output_slope_deg, angles.shaft_slope_deg, angles.pinion_slope_deg, angles.frame_slope_deg,
        answer.setpoints.pinion_slope_deg, answer.setpoints.perch_to_pinion_deg,
    } == {None}  # fmt: skip
    wanted = [finding for finding in answer.findings if finding.entry == "vehicle.wheelbase_mm"]
    assert {"pinion_nose_up", "shaft_slope", "tail_down"} <= {finding.id for finding in wanted}
    assert all(finding.verdict == "unknown" and "wheelbase" in finding.says for finding in wanted)
    assert (angles_of(answer) == angles_of(solve(lifted(one_piece, 30.0, 60.0)))).all()
    assert "nan" not in answer.model_dump_json()


def test_the_wheelbase_is_asked_for_even_where_the_lift_itself_cannot_be_done(one_piece):
    answer = solve(edited(lifted(one_piece, 900.0, 60.0), {"vehicle.wheelbase_mm": None}))
    found = {finding.id: finding for finding in answer.findings}
    assert (found["lift"].verdict, found["lift"].part) == ("hold", "suspension")
    assert (found["tail_down"].verdict, found["tail_down"].entry) == ("unknown", "vehicle.wheelbase_mm")


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"plan": {"rear_lift_mm": 900.0}}, "the axle cannot get where the planned lift wants it"),
        ({"plan": {"rear_lift_mm": 50.0}, "suspension": None}, "enter the springs or links"),
        ({"plan": {"rear_lift_mm": 50.0}, "suspension.rear_half_mm": None}, "enter the spring's rear half"),
        ({"plan": {"mount_shim_mm": 5.0}, "powertrain.rear_mount_mm": None}, "enter the rear mount"),
        (
            {"plan": {"mount_shim_mm": 300.0}, "powertrain.rear_mount_mm": (90.0, 600.0)},
            "the mounts as entered cannot take a shim so thick",
        ),
    ],
)
def test_a_plan_that_cannot_be_worked_out_says_what_it_wants(one_piece, changes, says):
    """With the pinion's place seen from above left empty too: entering that would not help, so it is not asked for."""
    answer = solve(edited(one_piece, changes))
    assert [joint.operating_deg for joint in answer.joints] == [None, None]
    found = {finding.id: finding for finding in answer.findings}
    for limit_id in ("pinion_residual", "ends_parallel", "slip_left"):
        assert found[limit_id].verdict == "unknown"
        assert says in found[limit_id].says
        assert "seen from above" not in found[limit_id].says


def test_joints_in_one_point_are_asked_for_again(two_piece):
    answer = solve(edited(two_piece, {"shaft.bearing_mm": two_piece.powertrain.output_joint_mm}))
    found = {finding.id: finding for finding in answer.findings}
    assert found["pinion_residual"].verdict == "unknown"
    assert "two joints lie in one point" in found["pinion_residual"].says


@pytest.mark.parametrize(("perches", "asks"), [("loose", False), ("welded", True)])
def test_a_pinion_that_is_to_be_set_need_not_be_measured(perches, asks):
    """But for the wheelbase, with which a lift tips the vehicle that the gauge stands on."""
    changes = {"readings.shaft_slope_deg": 9.0, "plan.perches": perches, "plan.pinion_slope_deg": 3.0}
    for lift in (0.0, 30.0):
        answer = solve(edited(Build(), changes | {"plan.rear_lift_mm": lift}))
        says = next(one.says for one in answer.findings if one.id == "ends_parallel")
        assert says.startswith("Not judged: measure or enter the output slope")
        assert ("the pinion slope" in says) == asks
        if perches == "loose":
            assert ("wheelbase" in says) == (lift > 0.0)


@pytest.mark.parametrize(("lift", "says"), [(0.0, "two joints lie in one point"), (1.0, "cannot hold the axle")])
def test_springs_that_do_not_fit_are_what_is_wrong_only_after_a_lift(one_piece, two_piece, lift, says):
    """At ride height the joints are where they were measured, whatever the springs."""
    build = edited(
        two_piece,
        {"shaft.bearing_mm": two_piece.powertrain.output_joint_mm, "suspension": one_piece.suspension,
         "suspension.shackle_pivot_mm": (2000.0, 700.0), "plan.rear_lift_mm": lift, "plan.front_lift_mm": lift},
    )  # fmt: skip
    found = {finding.id: finding for finding in solve(build).findings}
    assert found["pinion_residual"].verdict == "unknown"
    assert says in found["pinion_residual"].says


HURRY = edited(sample("three_angles_and_a_length"), {"readings.seat_slope_deg": 0.5})


@pytest.mark.parametrize("by", ["spring", "shackle"])
def test_a_stick_held_before_the_lift_says_nothing_after_one_that_turns_the_axle(by):
    answer = solve(lifted(HURRY, 76.2, 76.2, rear_lift_by=by))
    assert [joint.operating_deg for joint in answer.joints] == [None, None]
    assert answer.angles.shaft_slope_deg is None
    found = {finding.id: finding for finding in answer.findings}
    for limit_id in ("pinion_residual", "critical_speed"):
        for wanted in ("the joint at the output", "the axle centre", "the pinion length"):
            assert wanted in found[limit_id].says
    assert answer.setpoints.shaft_length_mm is None


def test_a_block_tilts_the_stick_as_far_as_its_length_lets_it():
    """By hand: 1,270 mm at 6°, its rear end let down by 101.6 mm square to a seat of 1°, lies at 10.525°."""
    angles = {"powertrain.slope_deg": 4.0, "axle.pinion_slope_deg": 4.0, "readings.shaft_slope_deg": 6.0}
    read = edited(Build(), {**angles, "readings.shaft_length_mm": 1270.0, "readings.seat_slope_deg": 1.0})
    answer = solve(lifted(read, 101.6, 101.6, rear_lift_by="block"))
    assert answer.angles.shaft_slope_deg == pytest.approx(10.525, abs=1e-3)
    assert answer.setpoints.shaft_length_mm == pytest.approx(1282.85, abs=0.01)
    assert angles_of(answer) == pytest.approx([6.525, 6.525], abs=1e-3)
    alone = solve(lifted(edited(read, {"vehicle.wheelbase_mm": 2900.0}), 101.6, rear_lift_by="block"))
    assert angles_of(alone) == pytest.approx(angles_of(answer))  # the whole vehicle tips, and no joint turns
    assert alone.angles.shaft_slope_deg == pytest.approx(10.525 - np.degrees(np.arctan(101.6 / 2900.0)), abs=1e-3)


@pytest.mark.parametrize("end", ["rear", "front"])
@pytest.mark.parametrize("lift", [-50.0, 25.0, 120.0])
def test_a_block_does_the_same_to_a_shaft_that_was_taped_along_as_to_one_whose_joints_were_placed(one_piece, lift, end):
    """All in one plane, and the seat read where the spring has it."""
    placed = edited(
        one_piece,
        {
            "plan": None,
            "obstacles": (),
            "powertrain.output_joint_mm.1": 0.0,
            "axle.pinion_offset_mm": 0.0,
            "axle.pinion_plan_deg": 0.0,
            "powertrain.plan_deg": 0.0,
        },
    )
    if end == "front":
        _, y, z = placed.axle.centre_mm
        placed = edited(
            placed, {"axle.end": "front", "axle.centre_mm": (placed.powertrain.output_joint_mm[0] - 900.0, y, z)}
        )
    slip = {"stroke_mm": 150.0, "engaged_mm": 70.0, "spline_diameter_mm": 35.0}
    link = {"frame_point_mm": (2600.0, -480.0, 560.0), "axle_point_mm": (2600.0, 470.0, 420.0)}
    more = {"readings.seat_slope_deg": 2.0, "suspension": None, "shaft.slip": slip, "lateral_link": link}
    placed = edited(placed, more)
    was = solve(placed)
    assert was.shaft.length_mm is not None
    stick = {"readings.shaft_slope_deg": was.angles.shaft_slope_deg, "readings.shaft_length_mm": was.shaft.length_mm}
    along = edited(
        placed, {**stick, "powertrain.output_joint_mm": None, "axle.centre_mm": None, "axle.pinion_length_mm": None}
    )
    plan = {"plan": {f"{one}_lift_mm": lift for one in ("rear", "front")} | {f"{end}_lift_by": "block"}}
    one, two = solve(edited(placed, plan)), solve(edited(along, plan))
    assert one.angles.shaft_slope_deg != pytest.approx(was.angles.shaft_slope_deg, abs=0.5)
    assert two.angles.shaft_slope_deg == pytest.approx(one.angles.shaft_slope_deg, abs=1e-9)
    assert two.shaft.length_mm == pytest.approx(one.shaft.length_mm, abs=1e-9)
    assert angles_of(two) == pytest.approx(angles_of(one), abs=1e-9)
    engaged = [planned(edited(build, plan)).slip_engaged_mm for build in (placed, along)]
    assert engaged[1] == pytest.approx(engaged[0], abs=1e-9)
    extended = [as_planned(edited(build, plan)).extended_mm for build in (placed, along)]
    assert extended[1] == pytest.approx(extended[0], abs=1e-9)
    slopes = [next(found.value for found in answer.findings if found.id == "link_slope") for answer in (one, two)]
    assert slopes[1] == pytest.approx(slopes[0], abs=1e-9)


def test_what_gauge_and_tape_leave_open_is_told_of_the_tilted_stick_for_the_first_rows_as_for_all():
    more = {"vehicle.rear_tyre_radius_mm": 380.0, "axle.ratio": 4.1, "vehicle.cruise_speed_kmh": 90.0}
    block = variants(edited(lifted(HURRY, 76.2, 76.2, rear_lift_by="block"), more)).repeated(2)
    one, all_rows = Facts(block), Facts(block)
    one.gauged = 1
    with np.errstate(all="ignore"):
        assert one.doubted_residual[:, 0] == pytest.approx(all_rows.doubted_residual[:, 0], rel=1e-9)


@pytest.mark.parametrize("plan", [{}, {"rear_lift_mm": 76.2, "front_lift_mm": 76.2, "rear_lift_by": "block"}])
def test_the_stick_says_nothing_of_an_axle_that_torque_winds_up(plan):
    """The pinion's joint swings up with its arm, which nobody has taped."""
    engine = {"peak_torque_nm": 400.0, "gear_ratios": (3.5, 1.0), "slope_deg": 3.5}
    springs = {"kind": "leaf", "rate_n_per_mm": 35.0, "front_half_mm": 600.0, "rear_half_mm": 600.0}
    work = Work(edited(HURRY, {"powertrain": engine, "axle.ratio": 4.1, "suspension": springs, "plan": plan}))
    at_rest = solved(work)
    wound = work.posed(at_rest, 0.0, "cruise")
    assert wound.angles.pinion_slope_deg > at_rest.angles.pinion_slope_deg + 0.5
    assert wound.angles.shaft_slope_deg is None
    assert [joint.operating_deg for joint in wound.joints] == [None, None]


@pytest.mark.parametrize("limit_id", ["shaft_slope", "critical_speed", "lift"])
@pytest.mark.parametrize(
    ("state", "asks"),
    [
        ({"on": "axle_stands"}, "the rail slope when the angles were read and the frame rail slope"),
        ({"taped_load_kg": 200.0, "rail_slope_deg": 0.0}, "the springs or links"),
    ],
)  # fmt: skip
def test_what_takes_a_seats_slope_out_of_the_frames_is_asked(limit_id, state, asks):
    """On stands nobody knows how the seat stands over the floor, and with another load how far its spring turned it."""
    tubes = {"shaft.kind": "one_piece", "shaft.tube": {"outer_diameter_mm": 76.2, "wall_mm": 2.1}}
    at = {"vehicle.frame_slope_deg": 0.3} if "rail_slope_deg" in state else {}
    build = edited(lifted(HURRY, 76.2, 76.2, rear_lift_by="block"), {**tubes, **at, "state": state})
    found = next(one for one in solve(build).findings if one.id == limit_id)
    assert found.verdict == "unknown"
    assert asks in found.says
    assert "or the springs or links" not in found.says


@pytest.mark.parametrize(
    ("lost", "asks"),
    [
        ("readings.seat_slope_deg", "spring seat slope"), ("readings.shaft_length_mm", "shaft length"),
        ("readings.shaft_slope_deg", "shaft slope"),
    ],
)  # fmt: skip
def test_what_a_block_under_a_stick_wants_is_asked_and_no_place_of_a_joint(lost, asks):
    found = {
        one.id: one for one in solve(edited(lifted(HURRY, 76.2, 76.2, rear_lift_by="block"), {lost: None})).findings
    }
    for limit_id in ("ends_parallel", "critical_speed"):
        assert found[limit_id].verdict == "unknown"
        assert asks in found[limit_id].says
        assert "axle centre" not in found[limit_id].says


@pytest.mark.parametrize(
    "more",
    [
        {"plan.mount_shim_mm": 10.0}, {"plan.pinion_adapter_mm": 12.0}, {"axle.centre_mm": (2900.0, 0.0, 360.0)},
        {"suspension": {"kind": "links"}}, {"suspension": {"kind": "leaf", "seat": "under"}},
        {"shaft.kind": "two_piece"},
    ],
    ids=str,
)  # fmt: skip
def test_what_else_moves_under_a_block_waits_for_the_joints_places(more):
    answer = solve(edited(lifted(HURRY, 76.2, 76.2, rear_lift_by="block"), more))
    assert {joint.operating_deg for joint in answer.joints} == {None}


def test_rows_of_blocks_under_a_stick_are_what_each_is_alone():
    build = lifted(HURRY, 76.2, 76.2, rear_lift_by="block")
    lifts, seats = np.array([0.0, 50.0, 50.0, np.nan]), np.array([0.5, 2.0, np.nan, 0.5])
    with np.errstate(all="ignore"):
        rows = Facts(variants(build, {"plan.rear_lift_mm": lifts, "readings.seat_slope_deg": seats}))
        told = [np.broadcast_to(one, 4) for one in (*rows.angles_deg, rows.lengths_mm[0])]
    for row, (lift, seat) in enumerate(zip(lifts, seats, strict=True)):
        changes = {"plan.rear_lift_mm": lift, "readings.seat_slope_deg": seat}
        alone = solve(edited(build, {path: None if np.isnan(one) else float(one) for path, one in changes.items()}))
        own = [*(joint.operating_deg for joint in alone.joints), alone.shaft.length_mm]
        assert [None if np.isnan(one[row]) else one[row] for one in told] == pytest.approx(own)


@pytest.mark.parametrize("lift", [{}, {"plan.rear_lift_mm": 150.0}, {"plan.front_lift_mm": 150.0}], ids=str)
@pytest.mark.parametrize("measured", [3.4, None])
def test_loose_perches_and_mounts_are_set_as_a_gauge_reads_on_the_tyres_after_the_lift(one_piece, lift, measured):
    """However the lift tips the vehicle, and whatever the pinion was measured at: set to 6°, it stands at 6°."""
    loose = {"plan.perches": "loose", "plan.pinion_slope_deg": 6.0, "plan.mounts": "loose",
             "plan.powertrain_slope_deg": 4.0, "axle.pinion_slope_deg": measured}  # fmt: skip
    found = {one.id: one.value for one in solve(edited(one_piece, {**loose, **lift})).findings}
    assert (found["pinion_nose_up"], found["tail_down"]) == (pytest.approx(6.0), pytest.approx(4.0))
