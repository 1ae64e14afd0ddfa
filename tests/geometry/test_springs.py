"""Leaf springs by rows: symmetries, limits, ends of the travel, and rows that leave one another alone."""

import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from geometry.mechanics import root, springs
from geometry.mechanics.springs import (
    Leaf,
    axle_path,
    leaf_curve,
    leaf_of,
    posture,
    ride_curvature,
    travel_reach_mm,
    windup_stiffness_nm_per_rad,
)
from geometry.mechanics.vectors import number


@pytest.fixture(autouse=True, scope="module")
def quiet():
    with np.errstate(all="ignore"):
        yield


def spring_of(eye, pivot, shackle, front, rear, *, offset=0.0, hangs=True):
    ends = (tuple(map(number, point)) for point in (eye, pivot))
    return leaf_of(*ends, *map(number, (shackle, front, rear, -offset)), hangs=hangs, over=True)


def seated(spring, seat, seat_to_axle=80.0):
    return spring._replace(offset_mm=number(-seat_to_axle if seat == "over" else seat_to_axle))


USUAL = spring_of((2000.0, 500.0), (3240.0, 600.0), 120.0, 600.0, 680.0)
STANDING = spring_of((2000.0, 500.0), (3230.0, 430.0), 90.0, 600.0, 680.0, hangs=False)
TOO_LONG = spring_of((2000.0, 500.0), (3150.0, 520.0), 80.0, 600.0, 680.0)
EVERY = {"usual": USUAL, "standing": STANDING, "too long": TOO_LONG}
ARCH = {"usual": number(2.5e-4), "standing": number(3e-4), "too long": number(1e-3)}

every_spring = pytest.mark.parametrize("name", EVERY)
both_seats = pytest.mark.parametrize("seat", ["over", "under"])


# --- as measured ------------------------------------------------------------------------------------------------------


def test_axle_lies_below_a_spring_over_it_and_above_one_under_it():
    ends = (USUAL[0:2], USUAL[2:4])
    for over, sense in ((True, -1.0), (False, 1.0)):
        leaf = leaf_of(*ends, *USUAL[4:7], number(80.0), hangs=True, over=over)
        assert leaf.offset_mm == sense * 80.0
        at = posture(leaf, number(0.0))
        assert np.sign(at.z - at.seat_z) == sense


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("shackle_mm", 0.0),
        ("shackle_mm", np.nan),
        ("front_half_mm", -3.0),
        ("rear_half_mm", np.inf),
        ("rear_half_mm", np.nan),
        ("eye_x", np.nan),
        ("pivot_z", np.inf),
        ("pivot_x", 2000.0),
    ],
)
def test_impossible_springs_are_nan_in_their_own_row(name, value):
    rows = {field: np.full(3, part) for field, part in USUAL._asdict().items() if field != "hangs"}
    rows[name][1] = value

    def measured(rows):
        r = rows.get
        lengths = (r("shackle_mm"), r("front_half_mm"), r("rear_half_mm"), number(80.0))
        return leaf_of((r("eye_x"), r("eye_z")), (r("pivot_x"), r("pivot_z")), *lengths, hangs=True, over=True)

    leaf, curvature = measured(rows), np.full(3, 2.5e-4)
    fine = [True, False, True]
    assert np.isfinite(posture(leaf, curvature).x).tolist() == fine
    assert np.isfinite(posture(leaf, curvature).seat_slope_deg).tolist() == fine
    assert np.isfinite(leaf_curve(leaf, curvature, 5)[1]).all(axis=-1).tolist() == fine
    height = posture(seated(USUAL, "over"), number(2.5e-4)).z
    np.testing.assert_allclose(ride_curvature(leaf, height), [2.5e-4, np.nan, 2.5e-4], rtol=1e-11)
    for values in (*axle_path(leaf, curvature, np.array([[-30.0], [40.0]])), *travel_reach_mm(leaf, curvature)):
        assert np.isfinite(np.atleast_2d(values)).tolist() == [fine] * len(np.atleast_2d(values))
    alone = measured({field: part[1] for field, part in rows.items()})
    assert np.isnan([ride_curvature(alone, height), *axle_path(alone, number(2.5e-4), number(0.0))]).all()


def test_unknown_offset_leaves_the_seat_known():
    at = posture(USUAL._replace(offset_mm=number(np.nan)), number(0.0))
    assert np.isnan([at.x, at.z]).all()
    assert np.isfinite([at.seat_x, at.seat_z, at.seat_slope_deg]).all()


# --- posture ----------------------------------------------------------------------------------------------------------


@every_spring
def test_shackle_and_leaf_keep_their_lengths(name):
    spring = EVERY[name]
    pose = posture(spring, np.linspace(0.9, 1.1, 21) * ARCH[name])
    length = np.hypot(pose.eye_x - spring.pivot_x, pose.eye_z - spring.pivot_z)
    np.testing.assert_allclose(length, spring.shackle_mm, atol=1e-9)
    x, z = leaf_curve(spring, ARCH[name], 4001)
    # Chords of 4,000 pieces fall short of the arc by a part of k² h²/24, below 1e-9 of it.
    assert np.hypot(np.diff(x), np.diff(z)).sum() == pytest.approx(1280.0, rel=1e-8)


def test_hanging_eye_lies_below_the_line_to_the_pivot_and_standing_eye_above():
    for spring, sense in ((USUAL, -1.0), (USUAL._replace(hangs=False), 1.0)):
        pose = posture(spring, number(3e-4))
        line_x, line_z = spring.pivot_x - spring.eye_x, spring.pivot_z - spring.eye_z
        assert np.sign(line_x * (pose.eye_z - spring.eye_z) - line_z * (pose.eye_x - spring.eye_x)) == sense


def test_shackle_lean_is_read_off_plumb():
    flat = spring_of((0.0, 500.0), (1300.0, 600.0), 100.0, 650.0, 650.0)
    assert posture(flat, number(0.0)).lean_deg == pytest.approx(0.0, abs=1e-9)
    assert posture(flat, number(5e-4)).lean_deg < 0.0  # more arch draws the eye toward the fixed one
    standing = spring_of((0.0, 500.0), (1250.0, 500.0 - np.sqrt(100.0**2 - 50.0**2)), 100.0, 650.0, 650.0, hangs=False)
    assert posture(standing, number(0.0)).lean_deg == pytest.approx(30.0, abs=1e-9)


def test_arched_leaf_hangs_below_its_eyes_and_a_reversed_one_stands_above():
    for x, z, sense in zip(*leaf_curve(USUAL, np.array([6e-4, -6e-4]), 101), (-1.0, 1.0), strict=True):
        chord = np.interp(x[50], x[[0, -1]], z[[0, -1]])
        assert sense * (z[50] - chord) > 50.0


@every_spring
def test_drawn_leaf_runs_from_eye_through_seat_to_eye(name):
    spring, kappa = EVERY[name], np.array([1.0, 1.05]) * ARCH[name]
    (x, z), pose = leaf_curve(spring, kappa, 1281), posture(spring, kappa)
    assert x.shape == z.shape == (2, 1281)
    np.testing.assert_allclose((x[:, 0], z[:, 0]), [[spring.eye_x] * 2, [spring.eye_z] * 2], atol=1e-9)
    np.testing.assert_allclose((x[:, 600], z[:, 600]), (pose.seat_x, pose.seat_z), atol=1e-9)
    np.testing.assert_allclose((x[:, -1], z[:, -1]), (pose.eye_x, pose.eye_z), atol=1e-9)
    slope = np.arctan2(z[:, 599] - z[:, 601], x[:, 601] - x[:, 599])
    np.testing.assert_allclose(np.degrees(slope), pose.seat_slope_deg, atol=1e-9)
    with pytest.raises(ValueError, match="points must be at least 2"):
        leaf_curve(spring, kappa, 1)


def test_smooth_through_a_flat_leaf():
    """Nothing jumps or turns to NaN around nil curvature: each value is what its neighbours' straight line says."""
    kappa = np.array([-1e-10, -1e-12, -1e-16, -5e-324, 0.0, 5e-324, 1e-16, 1e-12, 1e-10])
    pose = posture(USUAL, kappa)
    values = np.column_stack((pose.seat_x, pose.seat_z, pose.seat_slope_deg, pose.eye_x, pose.eye_z))
    line = values[0] + (kappa[:, None] - kappa[0]) / (kappa[-1] - kappa[0]) * (values[-1] - values[0])
    np.testing.assert_allclose(values, line, rtol=0.0, atol=1e-11)
    flat, drawn = leaf_curve(USUAL, number(0.0), 5), leaf_curve(USUAL, kappa, 5)
    np.testing.assert_allclose(drawn, np.broadcast_to(np.array(flat)[:, None], (2, 9, 5)), atol=1e-3)


@every_spring
@both_seats
def test_shackle_ahead_of_the_fixed_eye_is_the_mirror_image(name, seat):
    spring, kappa, travel = seated(EVERY[name], seat), ARCH[name], np.linspace(-60.0, 60.0, 7)
    other = spring._replace(eye_x=4000.0 - spring.eye_x, pivot_x=4000.0 - spring.pivot_x)
    path, image = (axle_path(s, kappa, travel) for s in (spring, other))
    np.testing.assert_allclose(image.dx_mm, -path.dx_mm, atol=1e-9)
    np.testing.assert_allclose(image.turn_deg, -path.turn_deg, atol=1e-9)
    np.testing.assert_array_equal(np.isnan(image.dz_mm), np.isnan(path.dz_mm))
    at, seen = posture(spring, kappa), posture(other, kappa)
    assert (seen.x, seen.z) == pytest.approx((4000.0 - at.x, at.z), abs=1e-9)
    assert seen.lean_deg == pytest.approx(-at.lean_deg, abs=1e-9)


def test_postures_out_of_reach_are_nan():
    kappa = np.array([0.0, 3e-3, np.nan])
    for values in posture(USUAL, kappa):
        assert np.isfinite(values).tolist() == [True, False, False]
    assert np.isnan(leaf_curve(USUAL, number(3e-3), 3)).all()


def test_no_posture_beyond_half_a_circle():
    short = spring_of((0.0, 500.0), (300.0, 500.0), 900.0, 600.0, 600.0)
    bend = np.array([np.pi - 1e-6, np.pi + 1e-6]) / 1200.0
    for kappa in (bend, -bend):
        assert np.isfinite(posture(short, kappa).x).tolist() == [True, False]
        assert np.isfinite(leaf_curve(short, kappa, 3)[0]).all(axis=-1).tolist() == [True, False]
    assert np.isnan(travel_reach_mm(short, number(bend[1]))).all()


# --- curvature for a height -------------------------------------------------------------------------------------------


def test_round_trip_of_heights_over_the_whole_reach():
    low, high = travel_reach_mm(USUAL, number(2e-4))
    ride = posture(USUAL, number(2e-4)).z
    heights = np.linspace(ride + low + 1e-6, ride + high - 1.0, 201)
    found = ride_curvature(USUAL, heights)
    np.testing.assert_allclose(posture(USUAL, found).z, heights, rtol=0.0, atol=1e-9)
    assert (np.diff(found) < 0.0).all()
    # At the bump end the shackle is in line, where a height of h off the end is (h/size)² of the curvature: no double
    # resolves that below sqrt(1e-16) of a metre.
    last = ride + high - 1e-6
    assert posture(USUAL, ride_curvature(USUAL, last)).z == pytest.approx(last, abs=2e-5)
    assert np.isnan(ride_curvature(USUAL, np.array([ride + low - 1e-3, ride + high + 1e-3]))).all()


@every_spring
@both_seats
def test_ride_curvature_finds_the_posture_again(name, seat):
    spring, kappa = seated(EVERY[name], seat), ARCH[name]
    height = posture(spring, kappa).z
    assert ride_curvature(spring, height) == pytest.approx(kappa, rel=1e-11)
    assert np.isnan(ride_curvature(spring, height + 2000.0))
    np.testing.assert_allclose(ride_curvature(spring, np.array([height, height + 2000.0])), [kappa, np.nan], rtol=1e-11)


@pytest.mark.parametrize("hangs", [True, False])
def test_spring_too_long_to_lie_flat_is_arched_either_way(hangs):
    spring, both = TOO_LONG._replace(hangs=hangs), np.array([-1e-3, 1e-3])
    heights = posture(spring, both).z
    assert ride_curvature(spring, heights) == pytest.approx(both, rel=1e-9)
    assert [ride_curvature(spring, height) for height in heights] == pytest.approx(both, rel=1e-9)
    path = axle_path(seated(spring, "over"), both, np.array([[-5.0], [5.0]]))
    assert (np.sign(path.curvature) == np.sign(both)).all()
    # It cannot pass through flat, so from the usual arch it never comes to the reversed one.
    path = axle_path(seated(spring, "over"), number(1e-3), np.linspace(0.0, 400.0, 81))
    assert np.isnan(path.curvature).any()
    assert (path.curvature[np.isfinite(path.curvature)] > 0.0).all()


def test_spring_that_no_shackle_can_hold_reaches_nothing():
    far = spring_of((0.0, 500.0), (3000.0, 500.0), 100.0, 600.0, 600.0)
    close = spring_of((0.0, 500.0), (300.0, 500.0), 100.0, 600.0, 600.0)
    for spring in (far, close):
        assert np.isnan(ride_curvature(spring, np.array([400.0, 500.0]))).all()
        assert np.isnan(ride_curvature(spring, number(400.0)))
        assert np.isnan(axle_path(spring, number(0.0), np.array([0.0, 10.0]))).all()
        assert np.isnan(travel_reach_mm(spring, number(0.0))).all()


def test_spring_exactly_as_long_as_the_shackle_allows_can_lie_flat():
    exact = spring_of((0.0, 500.0), (1200.0, 500.0), 80.0, 600.0, 680.0)
    for kappa in (2e-4, -2e-4):
        assert ride_curvature(exact, posture(exact, number(kappa)).z) == pytest.approx(kappa, rel=1e-9)


def test_upside_down_spring_has_no_working_stretch():
    """Fixed eye far below the pivot: as the leaf flattens its seat swings away, not up, so no height is offered."""
    steep = spring_of((0.0, 0.0), (1.0, -1250.0), 120.0, 600.0, 680.0)
    assert np.isnan(ride_curvature(steep, posture(steep, number(0.0)).z))


# --- the axle's path --------------------------------------------------------------------------------------------------


@every_spring
@both_seats
def test_axle_travels_exactly_as_asked(name, seat):
    spring, kappa, travel = seated(EVERY[name], seat), ARCH[name], np.linspace(-40.0, 60.0, 201)
    path, ride = axle_path(spring, kappa, travel), posture(spring, kappa)
    np.testing.assert_array_equal(path.dz_mm, travel)
    moved = posture(spring, path.curvature)
    np.testing.assert_allclose(moved.x - ride.x, path.dx_mm, rtol=0.0, atol=1e-9)
    np.testing.assert_allclose(moved.z - ride.z, travel, rtol=0.0, atol=1e-9)
    np.testing.assert_allclose(path.turn_deg, moved.seat_slope_deg - ride.seat_slope_deg, rtol=0.0, atol=1e-11)


@every_spring
def test_no_travel_is_no_displacement_exactly(name):
    spring = seated(EVERY[name], "over")
    path = axle_path(spring, ARCH[name], np.array([0.0, 5.0, -0.0, -5.0]))
    assert path.dx_mm[[0, 2]].tolist() == path.dz_mm[[0, 2]].tolist() == path.turn_deg[[0, 2]].tolist() == [0.0, 0.0]
    assert path.curvature[[0, 2]].tolist() == [ARCH[name]] * 2
    assert axle_path(spring, ARCH[name], number(0.0)) == (0.0, 0.0, 0.0, ARCH[name])


def test_path_ends_where_the_axle_turns_back():
    spring = seated(USUAL, "over")
    droop, bump = travel_reach_mm(spring, number(2.5e-4))
    assert droop < 0.0 < bump
    travel = np.array([droop - 1.0, droop - 1e-5, droop + 1e-5, 0.0, bump - 1e-5, bump + 1e-5, bump + 1.0])
    for values in axle_path(spring, number(2.5e-4), travel):
        assert np.isfinite(values).tolist() == [False, False, True, True, True, False, False]


def test_ride_posture_past_the_turning_point_goes_nowhere():
    """More arch than at full droop brings the axle up again: nothing at rest can sit there."""
    full = posture(USUAL, number(2.5e-4)).z + travel_reach_mm(USUAL, number(2.5e-4))[0]
    kappa = ride_curvature(USUAL, full + 1e-9)
    high = brentq(lambda k: np.sinc(k * 640.0 / np.pi) * 1280.0 - (np.hypot(1240.0, 100.0) - 120.0), 1e-6, 2e-3)
    past = number(0.5 * (float(kappa) + high))
    assert np.isfinite(posture(USUAL, past).x)
    assert np.isnan(axle_path(USUAL, past, np.array([0.0, 1.0]))).all()
    assert np.isnan(travel_reach_mm(USUAL, past)).all()


def test_unknown_ride_posture_gives_an_unknown_path():
    assert np.isnan(axle_path(USUAL, number(np.nan), np.array([0.0, 10.0]))).all()
    assert np.isnan(axle_path(USUAL, number(2.5e-4), number(np.nan))).all()


def test_a_path_takes_few_evaluations(monkeypatch):
    """The whole path is arrays: ride height and a handful of steps, however many positions."""
    taken, once = [], springs._height

    def counted(*arguments):
        taken.append(arguments)
        return once(*arguments)

    monkeypatch.setattr(springs, "_height", counted)
    axle_path(seated(USUAL, "over"), number(2.5e-4), np.linspace(-75.0, 100.0, 201))
    assert len(taken) <= 4


# --- rows -------------------------------------------------------------------------------------------------------------

lengths = st.tuples(st.floats(40.0, 250.0), st.floats(350.0, 800.0), st.floats(350.0, 800.0), st.floats(-150.0, 150.0))
places = st.tuples(st.floats(-0.15, 0.12), st.floats(-250.0, 250.0), st.sampled_from([-1.0, 1.0]))


@st.composite
def leaves(draw):
    """Some springs from usual to hopeless, a curvature of each, all of one kind of shackle."""
    rows = draw(st.lists(st.tuples(lengths, places, st.floats(-1.0, 1.5)), min_size=1, max_size=5))
    shackle, front, rear, offset = np.array([row[0] for row in rows]).T
    more, rise, facing = np.array([row[1] for row in rows]).T
    pivot = (1000.0 + facing * (front + rear) * (1.0 + more), 500.0 + rise)
    eye = (np.full(len(rows), 1000.0), np.full(len(rows), 500.0))
    leaf = Leaf(*eye, *pivot, shackle, front, rear, offset, draw(st.booleans()))
    return leaf, np.array([row[2] for row in rows]) / (front + rear)


def row_of(leaf, i):
    return Leaf(*(part[i] for part in leaf[:-1]), leaf.hangs)


@settings(max_examples=100, deadline=None)
@given(leaves(), st.lists(st.floats(-400.0, 400.0), min_size=1, max_size=4))
def test_rows_are_what_each_is_alone(given_rows, travel):
    leaf, kappa = given_rows
    travel = np.array(travel)[:, None]
    path, reach, ride = (
        axle_path(leaf, kappa, travel),
        travel_reach_mm(leaf, kappa),
        ride_curvature(leaf, 450.0 + travel),
    )
    pose = posture(leaf, kappa)
    for i in range(kappa.size):
        own = row_of(leaf, i)
        np.testing.assert_allclose([part[i] for part in pose], posture(own, kappa[i]), rtol=0.0, atol=1e-9)
        ends = np.array(travel_reach_mm(own, kappa[i]))
        np.testing.assert_allclose([end[i] for end in reach], ends, rtol=0.0, atol=1e-7)
        for j, asked in enumerate(travel[:, 0]):
            if np.abs(asked - ends).min() < 1e-4:
                continue
            alone = np.array(axle_path(own, kappa[i], asked))
            np.testing.assert_allclose([part[j, i] for part in path], alone, rtol=0.0, atol=1e-8)
            assert np.isnan(alone).all() == (not ends[0] <= asked <= ends[1])
            alone = ride_curvature(own, 450.0 + asked)
            found = posture(own, np.array([ride[j, i], alone])).z
            np.testing.assert_allclose(found, [450.0 + asked + 0.0 * alone] * 2, rtol=0.0, atol=1e-7)


def test_rows_out_of_reach_do_not_disturb_others():
    spring, travel = seated(USUAL, "over"), np.linspace(-60.0, 80.0, 15)[:, None]
    expected = axle_path(spring, number(2.5e-4), travel[:, 0])
    shackle = np.array([120.0, np.nan, 120.0, 5.0, 120.0])
    kappa = np.array([2.5e-4, 2.5e-4, 3e-3, 2.5e-4, 2.5e-4])
    far = np.concatenate((travel, [[5000.0], [-5000.0], [np.nan]]))
    found = axle_path(spring._replace(shackle_mm=shackle), kappa, far)
    for values, alone in zip(found, expected, strict=True):
        for row in (0, 4):
            np.testing.assert_allclose(values[:15, row], alone, rtol=0.0, atol=1e-11)
            assert np.isnan(values[15:, row]).all()
        assert np.isnan(values[:, 1:3]).all()


def test_windup_by_rows():
    found = windup_stiffness_nm_per_rad(np.array([25.0, np.nan, 26.0525]), np.array([700.0, 1.0, 600.0]), number(700.0))
    assert found[0] == pytest.approx(12_250.0)
    assert np.isnan(found).tolist() == [False, True, False]


def test_twenty_thousand_springs_take_sensible_time():
    """Printed for the reader (pytest -s); the benchmarks assert."""
    draw, n = np.random.default_rng(5), 20_000
    around = {field: part + draw.uniform(-10.0, 10.0, n) for field, part in USUAL._asdict().items() if field != "hangs"}
    leaf = Leaf(**around, hangs=True)
    begin = time.perf_counter()
    kappa = ride_curvature(leaf, 300.0 + draw.uniform(-30.0, 30.0, n))
    ridden = time.perf_counter()
    path = axle_path(leaf, kappa, np.linspace(-90.0, 100.0, 41)[:, None])
    taken = time.perf_counter() - ridden
    print(f"20,000 ride heights {ridden - begin:.3f} s, 20,000 x 41 positions {taken:.3f} s")
    assert np.isfinite(kappa).mean() > 0.9
    assert path.dx_mm.shape == (41, n)


@pytest.mark.parametrize("travel", [number(-70.0), np.linspace(-90.0, 80.0, 41)[:, None]], ids=["one place", "many"])
def test_a_usual_spring_is_followed_in_one_go_and_without_the_careful_way_which_takes_ten_times_as_long(
    monkeypatch, travel
):
    ways, quick = [], root._quick
    monkeypatch.setattr(root, "_quick", lambda *args: (ways.append("quick"), quick(*args))[1])
    monkeypatch.setattr(root, "_careful", lambda *_: ways.append("careful"))
    assert np.isfinite(springs.axle_path(USUAL, ARCH["usual"], travel).turn_deg).all()
    assert ways == ["quick"]


def test_a_usual_spring_tells_its_ends_from_few_places_of_it(monkeypatch):
    """Where its height runs as evenly as a spring's does nothing is looked at more closely."""
    looked = []
    scanned = root._scanned
    monkeypatch.setattr(root, "_scanned", lambda *args: (looked.append(args[-1].size), scanned(*args))[1])
    assert np.isfinite(springs.travel_reach_mm(USUAL, ARCH["usual"])).all()
    assert looked == [root._FEW_NODES.size]
