"""What is drawn, over the floor: springs, links and housing where the axle has gone, the vehicle level on its tyres."""

from pathlib import Path

import numpy as np
import pytest

from geometry.document import Build, edited
from geometry.words.picture import floor_of
from tests.geometry.told_build import answer_of, moved, told_of

LINKS = {
    "kind": "links",
    "lower_frame_mm": (1800.0, 500.0),
    "lower_axle_mm": (2560.0, 330.0),
    "upper_frame_mm": (1950.0, 620.0),
    "upper_axle_mm": (2580.0, 530.0),
    "bump_mm": 80.0,
    "droop_mm": 90.0,
}


def span(one, other):
    return float(np.linalg.norm(np.subtract(one, other)))


def test_on_its_tyres_again_the_axle_stands_where_it_stood(one_piece):
    # A lift raises the frame, not the axles: over the floor both hubs keep their height.
    for lift in ((40.0, 40.0), (40.0, 0.0), (20.0, 90.0)):
        plan = {"rear_lift_mm": lift[0], "front_lift_mm": lift[1]}
        picture = answer_of(edited(one_piece, {"plan": plan})).picture
        assert picture.axle_centre_mm[2] == pytest.approx(390.0, abs=0.6)
        assert picture.front_hub_mm == (0.0, 390.0)
        assert picture.rear_hub_mm == (picture.axle_centre_mm[0], picture.axle_centre_mm[2])


def test_the_frame_rises_by_the_front_lift_ahead_and_the_rear_lift_behind(one_piece):
    floor = floor_of(told_of(edited(one_piece, {"plan": {"rear_lift_mm": 20.0, "front_lift_mm": 90.0}})))
    assert floor.point(np.array([0.0, 0.0, 0.0])) == (0.0, 0.0, 90.0)
    assert floor.point(np.array([2600.0, 7.0, 0.0])) == pytest.approx((2600.0, 7.0, 20.0), abs=1.0)
    assert floor.direction(np.array([1.0, 0.0, 0.0]))[2] == pytest.approx(-70.0 / 2600.0, abs=1e-5)
    lost = told_of(edited(one_piece, {"plan": {"front_lift_mm": 90.0}, "vehicle.wheelbase_mm": None}))
    assert floor_of(lost).tilt_deg == 0.0


def test_frame_rail_leans_as_the_gauge_reads(one_piece):
    answer = answer_of(edited(one_piece, {"plan": {"rear_lift_mm": 0.0, "front_lift_mm": 60.0}}))
    (x0, z0), (x1, z1) = answer.picture.frame_rail_mm[:2]
    assert np.degrees(np.arctan2(z0 - z1, x1 - x0)) == pytest.approx(answer.angles.frame_slope_deg, abs=1e-9)
    flat = answer_of(one_piece).picture.frame_rail_mm
    # Its height is the one measured beside the transmission mount, taken at the output joint's station.
    assert np.interp(1100.0, [flat[0][0], flat[1][0]], [flat[0][1], flat[1][1]]) == pytest.approx(600.0)
    bare = answer_of(edited(one_piece, {"powertrain": None})).picture.frame_rail_mm
    assert np.interp(1300.0, [bare[0][0], bare[1][0]], [bare[0][1], bare[1][1]]) == pytest.approx(600.0)
    deep = answer_of(edited(one_piece, {"vehicle.frame_depth_mm": 90.0})).picture.frame_rail_mm
    assert deep[3][1] - deep[0][1] == pytest.approx(90.0)
    assert answer_of(edited(one_piece, {"vehicle.frame_height_mm": None})).picture.frame_rail_mm == ()


@pytest.mark.parametrize("travel", [-60.0, 0.0, 45.0])
def test_spring_keeps_its_length_and_hangs_on_both_eyes(one_piece, travel):
    picture = moved(one_piece, travel).picture
    leaf = np.array(picture.spring_mm)
    assert np.hypot(*np.diff(leaf, axis=0).T).sum() == pytest.approx(1240.0, abs=0.5)
    assert picture.spring_mm[0] == pytest.approx((2000.0, 480.0))
    assert picture.shackle_mm[0] == pytest.approx((3220.0, 560.0))
    assert span(*picture.shackle_mm) == pytest.approx(110.0, abs=1e-9)
    assert picture.spring_mm[-1] == pytest.approx(picture.shackle_mm[1], abs=1e-9)
    assert picture.spring_eyes_mm == (pytest.approx((2000.0, 480.0)), picture.shackle_mm[1])


def test_a_longer_shackle_is_drawn_longer(one_piece):
    plan = {"rear_lift_mm": 20.0, "rear_lift_by": "shackle", "front_lift_mm": 20.0}
    assert span(*answer_of(edited(one_piece, {"plan": plan})).picture.shackle_mm) > 130.0


def test_spring_is_drawn_at_ride_height_without_travel(one_piece):
    still = answer_of(edited(one_piece, {"suspension.bump_mm": None})).picture
    assert still.spring_mm == answer_of(one_piece).picture.spring_mm
    assert still.shackle_mm == answer_of(one_piece).picture.shackle_mm


def test_of_a_spring_half_measured_the_frame_points_are_drawn(one_piece):
    half = edited(one_piece, {"suspension.shackle_length_mm": None})
    picture = answer_of(half).picture
    assert (picture.spring_mm, picture.shackle_mm) == ((), ())
    assert picture.spring_eyes_mm == ((2000.0, 480.0), (3220.0, 560.0))
    bare = edited(half, {"suspension.front_eye_mm": None, "suspension.shackle_pivot_mm": None})
    assert answer_of(bare).picture.spring_eyes_mm == ()


@pytest.mark.parametrize("travel", [-60.0, 0.0, 45.0])
def test_links_keep_their_lengths_and_carry_the_axle(one_piece, travel):
    build = edited(one_piece, {"suspension": LINKS})
    picture = moved(build, travel).picture
    (lower_frame, lower_axle), (upper_frame, upper_axle) = picture.links_mm
    assert (lower_frame, upper_frame) == (pytest.approx((1800.0, 500.0)), pytest.approx((1950.0, 620.0)))
    assert span(lower_frame, lower_axle) == pytest.approx(span((1800.0, 500.0), (2560.0, 330.0)), abs=1e-9)
    assert span(upper_frame, upper_axle) == pytest.approx(span((1950.0, 620.0), (2580.0, 530.0)), abs=1e-9)
    centre = picture.axle_centre_mm[0], picture.axle_centre_mm[2]
    for bolt, measured in ((lower_axle, (2560.0, 330.0)), (upper_axle, (2580.0, 530.0))):
        assert span(bolt, centre) == pytest.approx(span(measured, (2600.0, 390.0)), abs=1e-9)
    assert (picture.spring_mm, picture.spring_eyes_mm, picture.shackle_mm) == ((), (), ())


def test_links_half_measured_are_drawn_as_far_as_they_are_known(one_piece):
    picture = answer_of(edited(one_piece, {"suspension": {**LINKS, "upper_axle_mm": None}})).picture
    assert picture.links_mm == (((1800.0, 500.0), (2560.0, 330.0)),)
    assert len(answer_of(edited(one_piece, {"suspension": {**LINKS, "bump_mm": None}})).picture.links_mm) == 2


def test_housing_lies_round_the_axle_with_its_nose_to_the_joint(one_piece):
    picture = answer_of(one_piece).picture
    outline = np.array(picture.housing_outline_mm)
    centre, joint = np.array(picture.axle_centre_mm)[[0, 2]], np.array(picture.pinion_joint_mm)[[0, 2]]
    assert np.hypot(*(outline - centre).T)[1:-1] == pytest.approx(1.75 * 76.0)
    nose = (outline[0] + outline[-1]) / 2.0
    assert span(nose, joint) == pytest.approx(55.0)
    assert span(nose, centre) + 55.0 == pytest.approx(span(joint, centre))
    for length, drawn in ((100.0, 0), (1.75 * 76.0, 0), (134.0, len(outline))):  # one that ends in the round is none
        flat = {"axle.pinion_slope_deg": 0.0, "axle.pinion_drop_mm": 0.0, "axle.pinion_length_mm": length}
        level = edited(one_piece, flat)
        assert len(answer_of(level).picture.housing_outline_mm) == drawn
    assert answer_of(edited(one_piece, {"axle.centre_mm": None})).picture.housing_outline_mm == ()
    usual = answer_of(edited(one_piece, {"axle.tube_diameter_mm": None})).picture.housing_outline_mm
    assert np.ptp(np.array(usual)[:, 1]) > np.ptp(outline[:, 1])


def test_perches_and_hubs_go_with_the_axle(one_piece):
    up = moved(one_piece, 40.0).picture
    x, y, _ = up.axle_centre_mm
    assert up.perches_mm == ((x, y - 500.0), (x, y + 500.0))
    assert up.rear_hub_mm[1] == pytest.approx(430.0)
    assert answer_of(edited(one_piece, {"axle.perch_spacing_mm": None})).picture.perches_mm == ()
    measured = answer_of(edited(one_piece, {"axle.centre_mm": None})).picture
    assert (measured.rear_hub_mm, measured.front_hub_mm) == ((2600.0, 390.0), (0.0, 390.0))
    bare = answer_of(edited(one_piece, {"axle.centre_mm": None, "vehicle": None})).picture
    assert (bare.rear_hub_mm, bare.front_hub_mm) == (None, None)
    assert answer_of(edited(one_piece, {"vehicle.front_tyre_radius_mm": None})).picture.front_hub_mm is None


def test_a_front_axle_is_the_front_hub_and_has_a_case_instead_of_engine_and_gearbox():
    path = Path(__file__).parents[2] / "sample_builds" / "front_axle_lift.json"
    build = Build.model_validate_json(path.read_text(encoding="utf-8"))
    picture = answer_of(build).picture
    assert picture.front_hub_mm == (picture.axle_centre_mm[0], picture.axle_centre_mm[2])
    assert picture.front_hub_mm[1] == pytest.approx(400.0, abs=0.2)
    assert picture.engine_outline_mm == ()
    assert min(x for x, _ in picture.powertrain_outline_mm) > picture.output_joint_mm[0]


def test_lines_and_mounts_are_turned_with_the_vehicle(one_piece):
    answer = answer_of(edited(one_piece, {"plan": {"front_lift_mm": 60.0}}))
    picture = answer.picture
    for line, slope in (
        (picture.output_direction, answer.angles.output_slope_deg),
        (picture.pinion_direction, answer.angles.pinion_slope_deg),
    ):
        assert np.degrees(np.arctan2(-line[2], line[0])) == pytest.approx(slope, abs=1e-9)
    shaft = np.subtract(picture.pinion_joint_mm, picture.output_joint_mm)
    np.testing.assert_allclose(picture.section_directions[0], shaft / np.linalg.norm(shaft), atol=1e-12)
    assert picture.front_mount_mm == pytest.approx((80.0, 660.0), abs=14.0)
    assert picture.rear_mount_mm[1] > 480.0


def test_obstacles_ride_on_the_frame_in_side_view_only(one_piece):
    obstacles = (
        {"outline_mm": ((0.0, 700.0), (10.0, 700.0), (10.0, 710.0))},
        {"view": "top", "outline_mm": ((0.0, 100.0), (10.0, 100.0), (10.0, 110.0))},
    )
    plan = {"front_lift_mm": 50.0, "rear_lift_mm": 50.0}
    side, top = answer_of(edited(one_piece, {"obstacles": obstacles, "plan": plan})).picture.obstacles_mm
    assert side == ((0.0, 750.0), (10.0, 750.0), (10.0, 760.0))
    assert top == obstacles[1]["outline_mm"]


def test_an_empty_build_draws_nothing():
    picture = answer_of(Build()).picture
    assert not any(getattr(picture, name) for name in picture.__slots__)


def test_lines_that_cannot_be_placed_are_not_drawn(one_piece):
    picture = answer_of(edited(one_piece, {"plan.rear_lift_mm": 900.0})).picture
    assert (picture.pinion_direction, picture.pinion_joint_mm, picture.axle_centre_mm) == (None, None, None)
    assert picture.output_direction is not None


def test_from_floor_to_frame_and_back():
    """Set a build on uneven lifts: what is drawn over the floor goes back to where it was measured."""
    lifted = edited(Build(), {"vehicle.wheelbase_mm": 2540.0, "plan.front_lift_mm": 100.0})
    floor = floor_of(told_of(lifted))
    measured = np.array([(1200.0, 640.0), (2500.0, 300.0)])
    assert floor.tilt_deg == pytest.approx(np.degrees(np.arctan(100.0 / 2540.0)))
    assert np.array(floor.side(measured)) != pytest.approx(measured, abs=1.0)
    assert np.array(floor.side_in_frame(np.array(floor.side(measured)))) == pytest.approx(measured, abs=1e-9)


@pytest.mark.parametrize(("length", "tip"), [(140.0, 106.4), (170.0, 115.0), (350.0, 295.0)])
def test_a_short_nose_ends_before_its_yoke_but_never_inside_the_round(one_piece, length, tip):
    """The back is a round of 1.75 tubes of 76 mm, 133; the nose ends 55 mm before the joint, or at 0.8 of the round."""
    build = edited(one_piece, {"axle.pinion_length_mm": length, "axle.pinion_drop_mm": 0.0})
    picture = answer_of(build).picture
    housing, centre = np.array(picture.housing_outline_mm), np.array(picture.axle_centre_mm)[[0, 2]]
    along = (np.array(picture.pinion_joint_mm)[[0, 2]] - centre) / length
    assert (housing[[0, -1]] - centre) @ along == pytest.approx([tip, tip], abs=1e-9)
    assert np.linalg.norm(housing[1:-1] - centre, axis=1) == pytest.approx(np.full(40, 133.0))
