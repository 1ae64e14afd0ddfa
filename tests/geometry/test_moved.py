"""The build at a place of its travel, under torque; and answers for whatever is entered."""

import json
import math
from pathlib import Path

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings

from geometry.document import Build, edited
from geometry.words.posed import posed
from geometry.words.solve import Work
from tests.geometry.told_build import answer_of, answered, moved, told_of

SAMPLES = Path(__file__).resolve().parents[2] / "sample_builds"
TORQUES = ("none", "cruise", "launch")


def test_at_ride_height_without_torque_it_is_the_solution(one_piece, two_piece):
    for build in (one_piece, two_piece, Build()):
        assert moved(build, 0.0).model_dump() == answer_of(build).model_dump()


def test_at_a_place_of_the_travel_it_is_what_the_travel_says(one_piece):
    whole = answer_of(one_piece)
    for row in (0, 30, -1):
        there = moved(one_piece, whole.travel.axle_mm[row])
        for joint, angles in zip(there.joints, whole.travel.operating_deg, strict=True):
            assert joint.operating_deg == pytest.approx(angles[row], abs=1e-9)
        assert there.shaft.length_mm == pytest.approx(whole.travel.length_mm[row], abs=1e-9)
        assert there.angles.pinion_slope_deg == pytest.approx(whole.travel.pinion_slope_deg[row], abs=1e-9)
        residual = whole.travel.pinion_residual_rad_s2[row]
        assert there.motion.pinion_residual_rad_s2 == pytest.approx(residual, rel=1e-9)
        assert (there.findings, there.verdict, there.travel) == (whole.findings, whole.verdict, whole.travel)


def test_the_axle_is_drawn_where_it_has_gone(one_piece):
    still, up = answer_of(one_piece), moved(one_piece, 50.0)
    assert up.picture.axle_centre_mm[2] - still.picture.axle_centre_mm[2] == pytest.approx(50.0, abs=1e-9)
    assert up.picture.output_joint_mm == still.picture.output_joint_mm
    assert up.picture.spring_mm != still.picture.spring_mm


def test_torque_adds_its_turn_at_every_place(one_piece):
    wound = answer_of(one_piece).windup
    for travel in (-40.0, 0.0, 30.0):
        standing = moved(one_piece, travel)
        for torque, turn in (("cruise", wound.cruise_deg), ("launch", wound.launch_deg)):
            loaded = moved(one_piece, travel, torque)
            rise = loaded.angles.pinion_slope_deg - standing.angles.pinion_slope_deg
            assert rise == pytest.approx(turn, abs=1e-9)


def test_where_it_cannot_go_there_is_no_answer(one_piece):
    assert moved(one_piece, 900.0) is None
    unsprung = edited(one_piece, {"suspension": None})
    assert moved(unsprung, 0.0) is not None
    assert moved(unsprung, 10.0) is None
    assert moved(unsprung, 0.0, "cruise") is None
    assert moved(edited(one_piece, {"suspension.rate_n_per_mm": None}), 0.0, "launch") is None


def test_a_stick_says_nothing_once_some_place_is_entered_and_nothing_of_the_travel(one_piece):
    some = edited(one_piece, {"axle.pinion_length_mm": None})
    whole = answer_of(some)
    assert whole.travel.operating_deg is None
    assert whole.joints[0].operating_deg is None
    assert moved(some, 20.0).joints[0].operating_deg is None
    none = edited(some, {"axle.centre_mm": None, "powertrain.output_joint_mm": None})
    assert answer_of(none).joints[0].operating_deg == pytest.approx(7.6 - 3.5)
    assert moved(none, 20.0) is None


# --- whatever is entered --------------------------------------------------------------------------------------------


def numbers_of(value):
    if isinstance(value, dict):
        return [number for item in value.values() for number in numbers_of(item)]
    if isinstance(value, (list, tuple)):
        return [number for item in value for number in numbers_of(item)]
    return [value] if isinstance(value, float) else []


def words_of(answer):
    for finding in answer.findings:
        yield finding.says
        for remedy in (finding.remedy, *finding.alternatives):
            if remedy is not None:
                yield remedy.says


def assert_whole(answer):
    dump = json.loads(answer.model_dump_json())
    assert all(math.isfinite(number) for number in numbers_of(dump))
    assert not [words for words in words_of(answer) if "nan" in words or "inf°" in words or "None" in words]


def near(value, by):
    return st.one_of(st.just(value), st.floats(value - by, value + by))


def point(*centre, by=60.0):
    return st.tuples(*(near(one, by) for one in centre))


LEAF = st.fixed_dictionaries(
    {"kind": st.just("leaf"), "seat": st.sampled_from(["over", "under"]), "shackle_hangs": st.booleans()},
    optional={
        "front_eye_mm": point(2000.0, 480.0),
        "shackle_pivot_mm": point(3220.0, 560.0),
        "shackle_length_mm": near(110.0, 100.0),
        "front_half_mm": near(600.0, 80.0),
        "rear_half_mm": near(640.0, 80.0),
        "seat_to_axle_mm": near(60.0, 60.0),
        "rate_n_per_mm": near(30.0, 29.0),
        "bump_mm": st.floats(0.0, 400.0),
        "droop_mm": st.floats(0.0, 400.0),
    },
)
LINKS = st.fixed_dictionaries(
    {"kind": st.just("links")},
    optional={
        "lower_frame_mm": point(1800.0, 500.0),
        "lower_axle_mm": point(2560.0, 330.0),
        "upper_frame_mm": point(1950.0, 620.0),
        "upper_axle_mm": point(2580.0, 530.0),
        "bump_mm": st.floats(0.0, 400.0),
        "droop_mm": st.floats(0.0, 400.0),
    },
)
PLAN = st.fixed_dictionaries(
    {},
    optional={
        "rear_lift_mm": st.floats(-150.0, 300.0),
        "rear_lift_by": st.sampled_from(["spring", "block", "shackle"]),
        "front_lift_mm": st.floats(-150.0, 300.0),
        "front_lift_by": st.sampled_from(["spring", "block", "shackle"]),
        "axle_shim_deg": st.floats(-8.0, 8.0),
        "mount_shim_mm": st.floats(-300.0, 300.0),
    },
)
LATERAL = st.fixed_dictionaries(
    {}, optional={"frame_point_mm": point(2700.0, -200.0, 430.0), "axle_point_mm": point(2690.0, 200.0, 400.0)}
)
SHAPE = st.lists(point(1800.0, 500.0, by=500.0), min_size=3, max_size=6).map(tuple)
OBSTACLES = st.lists(
    st.fixed_dictionaries(
        {"outline_mm": SHAPE, "view": st.sampled_from(["side", "top"])}, optional={"gap_mm": st.floats(0.0, 100.0)}
    ),
    max_size=2,
).map(tuple)
LEFT_OUT = st.sets(
    st.sampled_from(
        [
            "gauge", "readings", "vehicle", "vehicle.wheelbase_mm", "vehicle.rear_tyre_radius_mm", "powertrain",
            "powertrain.slope_deg", "powertrain.output_joint_mm", "powertrain.rear_mount_mm", "axle", "axle.centre_mm",
            "axle.ratio", "axle.pinion_slope_deg", "axle.pinion_length_mm", "shaft", "powertrain.gear_ratios",
        ]
    ),
    max_size=3,
)  # fmt: skip


@settings(
    max_examples=250,
    phases=[Phase.generate],
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    suspension=st.none() | LEAF | LINKS,
    plan=st.none() | PLAN,
    link=st.none() | LATERAL,
    obstacles=OBSTACLES,
    left_out=LEFT_OUT,
    end=st.sampled_from(["rear", "rear", "front"]),
    travel=st.sampled_from([0.0, -45.0, 30.0, 250.0]),
    torque=st.sampled_from(TORQUES),
    long=st.booleans(),
)
def test_every_suspension_and_plan_gets_an_answer(
    one_piece, two_piece, suspension, plan, link, obstacles, left_out, end, travel, torque, long
):
    changes = {"suspension": suspension, "plan": plan, "lateral_link": link, "obstacles": obstacles, "axle.end": end}
    build = edited(two_piece if long else one_piece, {**changes, "axle.centre_mm": (2600.0, 0.0, 390.0)})
    for entry in sorted(left_out, key=lambda entry: -entry.count(".")):
        build = edited(build, {entry: None})
    told = told_of(build)
    whole = answered(told)
    assert_whole(whole)
    there = posed(told, whole, travel, torque)
    if there is not None:
        assert_whole(there)
    keys = [(finding.id, finding.part) for finding in whole.findings]
    assert len(set(keys)) == len(keys)


def test_sections_move_along():
    """Each section has its own new length and slope; the one ahead of a fixed bearing keeps its own."""
    van = Build.model_validate_json((SAMPLES / "long_van_two_piece.json").read_text(encoding="utf-8"))
    whole, there = answer_of(van), moved(van, 40.0)
    assert there is not None
    assert there.shaft.sections[0].length_mm == pytest.approx(whole.shaft.sections[0].length_mm, abs=1e-9)
    assert there.shaft.sections[1].length_mm == there.shaft.length_mm != whole.shaft.sections[1].length_mm
    assert there.shaft.sections[1].slope_deg != pytest.approx(whole.shaft.sections[1].slope_deg, abs=0.1)
    assert there.shaft.sections[1].critical_rpm == whole.shaft.sections[1].critical_rpm  # the tube's, as ordered


@pytest.mark.parametrize("travel", [-60.0, 40.0])
def test_a_lateral_link_draws_the_lifted_axle_sideways_from_where_it_was_measured(one_piece, travel):
    """By Pythagoras: the link keeps its length while its end goes along with lift and travel."""
    frame, end = np.array((2700.0, -450.0, 430.0)), np.array((2690.0, 450.0, 330.0))
    link = {"lateral_link": {"frame_point_mm": tuple(frame), "axle_point_mm": tuple(end)}}
    build = edited(one_piece, {**link, "plan": {"rear_lift_mm": 50.0, "front_lift_mm": 50.0}})
    there = moved(build, travel).picture.axle_centre_mm
    # The frame went up by 50 with its axes; forth and back is what the spring says.
    rise, forth = there[2] - 50.0 - 390.0, there[0] - 2600.0
    assert rise == pytest.approx(travel - 50.0, abs=1e-9)
    length = np.linalg.norm(end - frame)
    across = np.sqrt(length**2 - (end[0] - frame[0] + forth) ** 2 - (end[2] - frame[2] + rise) ** 2)
    assert there[1] == pytest.approx(frame[1] + across - end[1], abs=1e-9)


# --- what a hand that drags something has to know of the plan ---------------------------------------------------------


@pytest.mark.parametrize("by", ["spring", "shackle", "block"])
def test_the_plan_tells_how_far_it_turned_axle_and_engine_and_raised_the_frame(one_piece, by):
    plan = {"rear_lift_mm": 40.0, "front_lift_mm": 40.0, "rear_lift_by": by, "mount_shim_mm": 10.0}
    build = edited(one_piece, {"plan": plan})
    work, before, after = Work(build), answer_of(one_piece).angles, answer_of(build).angles
    assert work.axle_turn_deg == pytest.approx(after.pinion_slope_deg - before.pinion_slope_deg, abs=1e-9)
    # The rear mount stands (820, -120) behind and below the front ones: 10 mm of shim lift the tail by asin(10/820)
    # and a little; it is the output's slope that falls.
    assert -0.75 < after.output_slope_deg - before.output_slope_deg < -0.68
    assert (work.floor.tilt_deg, work.floor.raised_mm) == (0.0, 40.0)
    uneven = Work(edited(build, {"plan.front_lift_mm": 85.39})).floor
    assert uneven.tilt_deg == pytest.approx(1.0, abs=2e-4)  # 45.39 mm over a wheelbase of 2600
    assert uneven.raised_mm == 85.39


def test_what_is_not_known_counts_as_not_turned():
    work = Work(edited(Build(), {"plan": {"rear_lift_mm": 40.0, "mount_shim_mm": 10.0}}))
    assert (work.axle_turn_deg, work.floor.tilt_deg) == (0.0, 0.0)
