"""Leaf springs: symmetries, limits, lifts, ends of the travel; and the solving of a linkage for heights."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from geometry import springs
from geometry.axle_path import AxlePath, find_run
from geometry.leaf_lift import lift_by_block, lift_by_shackle, lift_by_spring
from geometry.springs import (
    LeafSpring,
    axle_centre_mm,
    axle_sweep,
    curvature_for_seat_height,
    leaf_curve,
    posture,
    ride_curvature,
    travel_reach_mm,
)

USUAL = LeafSpring((2000.0, 500.0), (3240.0, 600.0), 120.0, 600.0, 680.0)
STANDING = LeafSpring((2000.0, 500.0), (3230.0, 430.0), 90.0, 600.0, 680.0, shackle_hangs=False)
TOO_LONG = LeafSpring((2000.0, 500.0), (3150.0, 520.0), 80.0, 600.0, 680.0)
EVERY = {"usual": USUAL, "standing": STANDING, "too long": TOO_LONG}
ARCH = {"usual": 2.5e-4, "standing": 3e-4, "too long": 1e-3}
LIFTS = {"spring": lift_by_spring, "block": lift_by_block, "shackle": lift_by_shackle}

every_spring = pytest.mark.parametrize("name", EVERY)
both_seats = pytest.mark.parametrize("seat", ["over", "under"])


# --- posture --------------------------------------------------------------------------------------------------------


@every_spring
def test_shackle_and_leaf_keep_their_lengths(name):
    spring = EVERY[name]
    pose = posture(spring, np.linspace(0.9, 1.1, 21) * ARCH[name])
    to_eye = pose.rear_eye_mm - np.array(spring.shackle_pivot_mm)
    np.testing.assert_allclose(np.hypot(*to_eye.T), spring.shackle_length_mm, atol=1e-9)
    line = leaf_curve(spring, ARCH[name], 4001)[0]
    # Chords of 4,000 pieces fall short of the arc by a part of k² h²/24, below 1e-9 of it.
    assert np.hypot(*np.diff(line, axis=0).T).sum() == pytest.approx(1280.0, rel=1e-8)


def test_hanging_eye_lies_below_the_line_to_the_pivot_and_standing_eye_above():
    for spring, sense in ((USUAL, -1.0), (replace(USUAL, shackle_hangs=False), 1.0)):
        rear = posture(spring, 3e-4).rear_eye_mm[0]
        eye, pivot = np.array(spring.front_eye_mm), np.array(spring.shackle_pivot_mm)
        line = pivot - eye
        assert np.sign(line[0] * (rear - eye)[1] - line[1] * (rear - eye)[0]) == sense


def test_shackle_lean_is_read_off_plumb():
    flat = LeafSpring((0.0, 500.0), (1300.0, 600.0), 100.0, 650.0, 650.0)
    assert posture(flat, 0.0).shackle_lean_deg == pytest.approx([0.0], abs=1e-9)
    assert posture(flat, 5e-4).shackle_lean_deg[0] < 0.0  # more arch draws the eye toward the fixed one
    standing = LeafSpring(
        (0.0, 500.0), (1250.0, 500.0 - np.sqrt(100.0**2 - 50.0**2)), 100.0, 650.0, 650.0, shackle_hangs=False
    )
    assert posture(standing, 0.0).shackle_lean_deg == pytest.approx([30.0], abs=1e-9)


def test_arched_leaf_hangs_below_its_eyes_and_a_reversed_one_stands_above():
    line = leaf_curve(USUAL, [6e-4, -6e-4], 101)
    for curve, sense in zip(line, (-1.0, 1.0), strict=True):
        chord = np.interp(curve[50, 0], curve[[0, -1], 0], curve[[0, -1], 1])
        assert sense * (curve[50, 1] - chord) > 50.0


@every_spring
def test_drawn_leaf_runs_from_eye_through_seat_to_eye(name):
    spring, kappa = EVERY[name], ARCH[name]
    line, pose = leaf_curve(spring, [kappa, 1.05 * kappa], 1281), posture(spring, [kappa, 1.05 * kappa])
    np.testing.assert_allclose(line[:, 0], [spring.front_eye_mm] * 2, atol=1e-9)
    np.testing.assert_allclose(line[:, 600], pose.seat_mm, atol=1e-9)
    np.testing.assert_allclose(line[:, -1], pose.rear_eye_mm, atol=1e-9)
    around = line[:, 601] - line[:, 599]
    np.testing.assert_allclose(np.degrees(np.arctan2(-around[:, 1], around[:, 0])), pose.seat_slope_deg, atol=1e-9)


def test_smooth_through_a_flat_leaf():
    """Nothing jumps or turns to NaN around nil curvature: each value is what its neighbours' straight line says."""
    kappa = np.array([-1e-10, -1e-12, -1e-16, -5e-324, 0.0, 5e-324, 1e-16, 1e-12, 1e-10])
    pose = posture(USUAL, kappa)
    values = np.column_stack((pose.seat_mm, pose.seat_slope_deg, pose.rear_eye_mm))
    line = values[0] + (kappa[:, None] - kappa[0]) / (kappa[-1] - kappa[0]) * (values[-1] - values[0])
    np.testing.assert_allclose(values, line, rtol=0.0, atol=1e-11)
    np.testing.assert_allclose(
        leaf_curve(USUAL, kappa, 5), np.broadcast_to(leaf_curve(USUAL, 0.0, 5), (9, 5, 2)), atol=1e-3
    )


@every_spring
@both_seats
def test_shackle_ahead_of_the_fixed_eye_is_the_mirror_image(name, seat):
    spring, kappa, travel = EVERY[name], ARCH[name], np.linspace(-60.0, 60.0, 7)

    def mirrored(point):
        return (4000.0 - point[0], point[1])

    other = replace(
        spring, front_eye_mm=mirrored(spring.front_eye_mm), shackle_pivot_mm=mirrored(spring.shackle_pivot_mm)
    )
    path, image = (axle_sweep(s, seat, 80.0, kappa, travel) for s in (spring, other))
    np.testing.assert_allclose(image.dx_mm, -path.dx_mm, atol=1e-9)
    np.testing.assert_allclose(image.turn_deg, -path.turn_deg, atol=1e-9)
    np.testing.assert_array_equal(image.reachable, path.reachable)
    np.testing.assert_allclose(
        axle_centre_mm(other, seat, 80.0, kappa), [mirrored(axle_centre_mm(spring, seat, 80.0, kappa)[0])], atol=1e-9
    )
    lift, lifted = (lift_by_shackle(s, seat, 80.0, kappa, 20.0) for s in (spring, other))
    assert (lifted.dx_mm, lifted.dz_mm, lifted.turn_deg) == pytest.approx(
        (-lift.dx_mm, lift.dz_mm, -lift.turn_deg), abs=1e-9
    )
    assert lifted.spring.shackle_length_mm == pytest.approx(lift.spring.shackle_length_mm, abs=1e-9)


def test_postures_out_of_reach_are_nan_and_say_so():
    pose = posture(USUAL, [0.0, 3e-3, np.nan])
    assert pose.reachable.tolist() == [True, False, False]
    assert np.isnan(pose.seat_mm[1:]).all()
    assert np.isnan(pose.seat_slope_deg[1:]).all()
    assert np.isnan(pose.rear_eye_mm[1:]).all()
    assert np.isnan(pose.shackle_lean_deg[1:]).all()
    assert np.isnan(leaf_curve(USUAL, 3e-3, 3)).all()


def test_no_posture_beyond_half_a_circle():
    short = LeafSpring((0.0, 500.0), (300.0, 500.0), 900.0, 600.0, 600.0)
    bend = np.array([np.pi - 1e-6, np.pi + 1e-6]) / 1200.0
    assert posture(short, bend).reachable.tolist() == [True, False]
    assert posture(short, -bend).reachable.tolist() == [True, False]


# --- curvature for a height -------------------------------------------------------------------------------------------


def test_round_trip_of_heights_over_the_whole_reach():
    low, high = travel_reach_mm(USUAL, "over", 0.0, 2e-4)
    ride = posture(USUAL, 2e-4).seat_mm[0, 1]
    heights = np.linspace(ride + low + 1e-6, ride + high - 1.0, 201)
    found = curvature_for_seat_height(USUAL, heights)
    np.testing.assert_allclose(posture(USUAL, found).seat_mm[:, 1], heights, rtol=0.0, atol=1e-9)
    assert (np.diff(found) < 0.0).all()
    # At the bump end the shackle is in line, where a height of h off the end is (h/size)² of the curvature: no double
    # resolves that below sqrt(1e-16) of a metre.
    last = ride + high - 1e-6
    assert posture(USUAL, curvature_for_seat_height(USUAL, last)).seat_mm[0, 1] == pytest.approx(last, abs=2e-5)
    assert np.isnan(curvature_for_seat_height(USUAL, [ride + low - 1e-3, ride + high + 1e-3])).all()


@every_spring
@both_seats
def test_ride_curvature_finds_the_posture_again(name, seat):
    spring, kappa = EVERY[name], ARCH[name]
    centre = axle_centre_mm(spring, seat, 80.0, kappa)[0]
    assert ride_curvature(spring, seat, 80.0, centre[1]) == pytest.approx(kappa, rel=1e-11)
    assert np.isnan(ride_curvature(spring, seat, 80.0, centre[1] + 2000.0))


@pytest.mark.parametrize("hangs", [True, False])
def test_spring_too_long_to_lie_flat_is_arched_either_way(hangs):
    spring = replace(TOO_LONG, shackle_hangs=hangs)
    for kappa in (-1e-3, 1e-3):
        assert curvature_for_seat_height(spring, posture(spring, kappa).seat_mm[0, 1]) == pytest.approx(
            [kappa], rel=1e-9
        )
        path = axle_sweep(spring, "over", 80.0, kappa, [-5.0, 5.0])
        assert path.reachable.all()
        assert (np.sign(path.curvature) == np.sign(kappa)).all()
    # It cannot pass through flat, so from the usual arch it never comes to the reversed one.
    path = axle_sweep(spring, "over", 80.0, 1e-3, np.linspace(0.0, 400.0, 81))
    assert path.first_unreachable_bump_mm is not None
    assert (path.curvature[path.reachable] > 0.0).all()


def test_spring_that_no_shackle_can_hold_reaches_nothing():
    far = LeafSpring((0.0, 500.0), (3000.0, 500.0), 100.0, 600.0, 600.0)
    assert np.isnan(curvature_for_seat_height(far, [400.0, 500.0])).all()
    assert not axle_sweep(far, "over", 80.0, 0.0, [0.0, 10.0]).reachable.any()
    assert travel_reach_mm(far, "over", 80.0, 0.0) == (0.0, 0.0)
    assert not any(lift(far, "over", 80.0, 0.0, 20.0).reachable for lift in LIFTS.values())
    close = LeafSpring((0.0, 500.0), (300.0, 500.0), 100.0, 600.0, 600.0)
    assert np.isnan(curvature_for_seat_height(close, 400.0)).all()


def test_spring_exactly_as_long_as_the_shackle_allows_can_lie_flat():
    exact = LeafSpring((0.0, 500.0), (1200.0, 500.0), 80.0, 600.0, 680.0)
    for kappa in (2e-4, -2e-4):
        height = posture(exact, kappa).seat_mm[0, 1]
        assert curvature_for_seat_height(exact, height) == pytest.approx([kappa], rel=1e-9)


def test_upside_down_spring_has_no_working_stretch():
    """Fixed eye far below the pivot: as the leaf flattens its seat swings away, not up, so no height is offered."""
    steep = LeafSpring((0.0, 0.0), (1.0, -1250.0), 120.0, 600.0, 680.0)
    assert np.isnan(curvature_for_seat_height(steep, posture(steep, 0.0).seat_mm[0, 1])).all()


# --- the axle's path --------------------------------------------------------------------------------------------------


@every_spring
@both_seats
def test_axle_travels_exactly_as_asked(name, seat):
    spring, kappa, travel = EVERY[name], ARCH[name], np.linspace(-40.0, 60.0, 201)
    path = axle_sweep(spring, seat, 80.0, kappa, travel)
    assert path.reachable.all()
    assert path.first_unreachable_mm is None
    np.testing.assert_array_equal(path.dz_mm, travel)
    np.testing.assert_array_equal(path.travel_mm, travel)
    moved = axle_centre_mm(spring, seat, 80.0, path.curvature) - axle_centre_mm(spring, seat, 80.0, kappa)
    np.testing.assert_allclose(moved, np.column_stack((path.dx_mm, travel)), rtol=0.0, atol=1e-9)
    turn = posture(spring, path.curvature).seat_slope_deg - posture(spring, kappa).seat_slope_deg
    np.testing.assert_allclose(path.turn_deg, turn, rtol=0.0, atol=1e-11)


@every_spring
def test_no_travel_is_no_displacement_exactly(name):
    path = axle_sweep(EVERY[name], "over", 80.0, ARCH[name], [0.0, 5.0, -0.0, -5.0])
    assert path.dx_mm[[0, 2]].tolist() == path.dz_mm[[0, 2]].tolist() == path.turn_deg[[0, 2]].tolist() == [0.0, 0.0]
    assert path.curvature[[0, 2]].tolist() == [ARCH[name]] * 2


def test_sweep_ends_where_the_axle_turns_back():
    droop, bump = travel_reach_mm(USUAL, "over", 80.0, 2.5e-4)
    assert droop < 0.0 < bump
    travel = np.array([droop - 1.0, droop - 1e-5, droop + 1e-5, 0.0, bump - 1e-5, bump + 1e-5, bump + 1.0])
    path = axle_sweep(USUAL, "over", 80.0, 2.5e-4, travel)
    assert path.reachable.tolist() == [False, False, True, True, True, False, False]
    assert path.first_unreachable_droop_mm == droop - 1e-5
    assert path.first_unreachable_bump_mm == bump + 1e-5
    assert path.first_unreachable_mm in {droop - 1e-5, bump + 1e-5}
    for values in (path.dx_mm, path.dz_mm, path.turn_deg, path.curvature):
        assert np.isfinite(values).tolist() == path.reachable.tolist()


def test_first_unreachable_is_the_nearest_each_way():
    def path(travel, reachable):
        nothing = np.zeros(len(travel))
        return AxlePath(np.array(travel), nothing, nothing, nothing, np.array(reachable))

    both = path([-90.0, -60.0, 0.0, 50.0, 75.0, 99.0], [False, False, True, True, False, False])
    assert (both.first_unreachable_droop_mm, both.first_unreachable_bump_mm) == (-60.0, 75.0)
    assert both.first_unreachable_mm == -60.0
    none = path([-1.0, 0.0, 1.0], [True, True, True])
    assert none.first_unreachable_droop_mm is none.first_unreachable_bump_mm is none.first_unreachable_mm is None


def test_ride_posture_past_the_turning_point_goes_nowhere():
    """More arch than at full droop brings the axle up again: nothing at rest can sit there."""
    kappa = curvature_for_seat_height(
        USUAL, posture(USUAL, 2.5e-4).seat_mm[0, 1] + travel_reach_mm(USUAL, "over", 0.0, 2.5e-4)[0]
    )
    high = brentq(lambda k: np.sinc(k * 640.0 / np.pi) * 1280.0 - (np.hypot(1240.0, 100.0) - 120.0), 1e-6, 2e-3)
    past = 0.5 * (float(kappa[0]) + high)
    assert posture(USUAL, past).reachable[0]
    assert not axle_sweep(USUAL, "over", 0.0, past, [0.0, 1.0]).reachable.any()
    assert travel_reach_mm(USUAL, "over", 0.0, past) == (0.0, 0.0)


def test_unknown_ride_posture_gives_an_unreachable_path_not_an_error():
    path = axle_sweep(USUAL, "over", 80.0, np.nan, [0.0, 10.0])
    assert not path.reachable.any()
    assert (path.first_unreachable_mm, path.first_unreachable_bump_mm, path.first_unreachable_droop_mm) == (
        0.0,
        0.0,
        0.0,
    )


def test_a_sweep_takes_few_evaluations(monkeypatch):
    """The whole sweep is arrays: three looks at the range and a handful of Newton steps, however many positions."""
    taken = []
    once = springs._height

    def counted(*arguments):
        taken.append(arguments)
        return once(*arguments)

    monkeypatch.setattr(springs, "_height", counted)
    axle_sweep(USUAL, "over", 80.0, 2.5e-4, np.linspace(-75.0, 100.0, 201))
    assert len(taken) <= 8


# --- lifts ------------------------------------------------------------------------------------------------------------


@every_spring
@both_seats
@pytest.mark.parametrize("means", LIFTS)
def test_lift_of_nil_is_the_identity_exactly(name, seat, means):
    spring, kappa = EVERY[name], ARCH[name]
    lift = LIFTS[means](spring, seat, 80.0, kappa, 0.0)
    assert (lift.dx_mm, lift.dz_mm, lift.turn_deg) == (0.0, 0.0, 0.0)
    assert lift.reachable
    assert (lift.spring, lift.seat_to_axle_mm, lift.curvature) == (spring, 80.0, kappa)


@every_spring
@both_seats
@pytest.mark.parametrize("means", LIFTS)
@pytest.mark.parametrize("lift_mm", [-20.0, 10.0, 25.0])
def test_lifted_spring_carries_the_axle_where_the_lift_says(name, seat, means, lift_mm):
    spring, kappa = EVERY[name], ARCH[name]
    lift = LIFTS[means](spring, seat, 80.0, kappa, lift_mm)
    assert lift.reachable
    before, after = (
        axle_centre_mm(spring, seat, 80.0, kappa)[0],
        axle_centre_mm(lift.spring, seat, lift.seat_to_axle_mm, lift.curvature)[0],
    )
    np.testing.assert_allclose(after - before, (lift.dx_mm, lift.dz_mm), rtol=0.0, atol=1e-9)
    slopes = [posture(s, k).seat_slope_deg[0] for s, k in ((spring, kappa), (lift.spring, lift.curvature))]
    assert lift.turn_deg == pytest.approx(slopes[1] - slopes[0], abs=1e-10)
    onward = axle_sweep(lift.spring, seat, lift.seat_to_axle_mm, lift.curvature, [-5.0, 0.0, 5.0])
    assert onward.reachable.all()


@both_seats
def test_lift_by_spring_is_the_droop_of_the_same_spring(seat):
    lift = lift_by_spring(USUAL, seat, 80.0, 2.5e-4, 40.0)
    path = axle_sweep(USUAL, seat, 80.0, 2.5e-4, -40.0)
    assert (lift.dx_mm, lift.dz_mm, lift.turn_deg) == (path.dx_mm[0], -40.0, path.turn_deg[0])
    assert lift.curvature > 2.5e-4
    assert lift.spring is USUAL


@settings(max_examples=200, deadline=None)
@given(st.floats(-150.0, 150.0), st.sampled_from(["over", "under"]), st.sampled_from(sorted(EVERY)))
def test_block_moves_the_axle_by_exactly_its_height_and_never_turns_it(height, seat, name):
    lift = lift_by_block(EVERY[name], seat, 80.0, ARCH[name], height)
    assert np.hypot(lift.dx_mm, lift.dz_mm) == pytest.approx(abs(height), rel=1e-14)
    assert lift.turn_deg == 0.0
    assert lift.seat_to_axle_mm == 80.0 + height
    slope = np.radians(posture(EVERY[name], ARCH[name]).seat_slope_deg[0])
    assert lift.dx_mm * np.cos(slope) - lift.dz_mm * np.sin(slope) == pytest.approx(
        0.0, abs=1e-12
    )  # square to the seat


def test_block_lifts_a_spring_over_vehicle_and_lowers_a_spring_under_one():
    assert lift_by_block(USUAL, "over", 80.0, 2.5e-4, 50.0).dz_mm < -49.0
    assert lift_by_block(USUAL, "under", 80.0, 2.5e-4, 50.0).dz_mm > 49.0


@pytest.mark.parametrize("lift_mm", [-20.0, 15.0, 30.0])
@pytest.mark.parametrize("name", ["usual", "standing"])
@both_seats
def test_shackle_for_a_lift_against_root_finding(name, lift_mm, seat):
    """The shackle's length by brentq on the height of the whole re-shackled spring (scipy)."""
    spring, kappa = EVERY[name], ARCH[name]

    def height(length):
        return axle_centre_mm(replace(spring, shackle_length_mm=length), seat, 80.0, kappa)[0, 1]

    lift = lift_by_shackle(spring, seat, 80.0, kappa, lift_mm)
    span = (spring.shackle_length_mm, lift.spring.shackle_length_mm)
    low, high = min(span) - 3.0, max(span) + 3.0
    expected = brentq(lambda length: height(length) - height(spring.shackle_length_mm) + lift_mm, low, high, xtol=1e-12)
    assert lift.spring.shackle_length_mm == pytest.approx(expected, abs=1e-6)
    assert lift.curvature == kappa
    # A hanging shackle is lengthened to lift, a standing one shortened.
    assert np.sign(span[1] - span[0]) == np.sign(lift_mm) * (1.0 if spring.shackle_hangs else -1.0)
    assert np.sign(lift.turn_deg) == np.sign(lift_mm)


def test_shackle_must_grow_by_about_twice_the_lift():
    """Common practice: with the seat halfway along the leaf, half of what the shackle gains reaches the axle."""
    spring = LeafSpring((0.0, 500.0), (1300.0, 600.0), 100.0, 650.0, 650.0)
    lift = lift_by_shackle(spring, "over", 0.0, 0.0, 5.0)
    assert lift.spring.shackle_length_mm - 100.0 == pytest.approx(10.0, rel=0.01)


@pytest.mark.parametrize(
    ("means", "lift_mm"), [("spring", 500.0), ("spring", -700.0), ("shackle", 2000.0), ("shackle", -300.0)]
)
def test_lift_out_of_reach_says_so(means, lift_mm):
    lift = LIFTS[means](USUAL, "over", 80.0, 2.5e-4, lift_mm)
    assert not lift.reachable
    assert np.isnan([lift.dx_mm, lift.dz_mm, lift.turn_deg, lift.curvature]).all()
    assert not axle_sweep(lift.spring, "over", lift.seat_to_axle_mm, lift.curvature, [0.0]).reachable.any()


# --- refusals ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"shackle_length_mm": 0.0}, "shackle_length_mm must be a length of more than nil, but is 0 mm"),
        ({"front_half_mm": -3.0}, "front_half_mm must be"),
        ({"rear_half_mm": np.inf}, "rear_half_mm must be"),
        ({"rear_half_mm": np.nan}, "rear_half_mm must be"),
        ({"front_eye_mm": (np.nan, 500.0)}, "front_eye_mm must be finite"),
        ({"shackle_pivot_mm": (0.0, np.inf)}, "shackle_pivot_mm must be finite"),
        ({"shackle_pivot_mm": (2000.0, 900.0)}, "shackle_pivot_mm must lie behind or ahead"),
    ],
)
def test_impossible_springs_are_refused_in_a_sentence(change, says):
    with pytest.raises(ValueError, match=says):
        replace(USUAL, **change)


def test_impossible_questions_are_refused_in_a_sentence():
    with pytest.raises(ValueError, match="seat_to_axle_mm must be a finite"):
        axle_sweep(USUAL, "over", np.nan, 2.5e-4, [0.0])
    with pytest.raises(ValueError, match="points must be at least 2"):
        leaf_curve(USUAL, 0.0, 1)


# --- solving a linkage for heights ------------------------------------------------------------------------------------


def test_run_ends_at_both_turning_points():
    # A cosine turns back at 0 and pi: known without any computing.
    run = find_run(lambda u: (100.0 * np.cos(u), -100.0 * np.sin(u)), -2.0, 5.0, 1.0)
    assert run is not None
    assert run.sense == -1.0
    assert (run.lowest_mm, run.highest_mm) == pytest.approx((-100.0, 100.0), abs=1e-8)
    heights = np.array([-101.0, -99.999999, -50.0, 0.0, 99.999999, 101.0])
    np.testing.assert_allclose(
        run.solve(heights), np.arccos(np.where(np.abs(heights) > 100.0, np.nan, heights / 100.0)), atol=1e-7
    )


def test_run_reaches_an_upright_end():
    # A square root stands upright at its end, where Newton's step leaves the range and halving takes over.
    run = find_run(lambda u: (np.sqrt(u), 0.5 / np.sqrt(u)), 0.0, 4.0, 3.0)
    assert run is not None
    heights = np.array([0.0, 1e-4, 0.01, 1.0, 2.0])
    np.testing.assert_allclose(run.solve(heights), heights**2, rtol=0.0, atol=1e-9)


def test_no_run_where_the_height_stands_still():
    assert find_run(lambda u: (u * u, 2.0 * u), -1.0, 1.0, 0.0) is None


def test_solving_stops_when_rounding_forbids_the_last_digits():
    # At heights of 1e12 mm no double meets a nanometre: the steps run out and the answer is good to rounding.
    run = find_run(lambda u: (1e12 * np.sin(u), 1e12 * np.cos(u)), -1.0, 1.0, 0.1)
    assert run is not None
    heights = 1e12 * np.array([-0.7, 0.1, 0.3])
    np.testing.assert_allclose(run.solve(heights), np.arcsin(heights / 1e12), rtol=1e-14)
