"""Lifts on leaf springs by rows: what moves, what stays, what cannot be."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from geometry.mechanics.lift import by_block, by_shackle, by_spring
from geometry.mechanics.springs import Leaf, axle_path, leaf_of, posture
from geometry.mechanics.vectors import number


@pytest.fixture(autouse=True, scope="module")
def quiet():
    with np.errstate(all="ignore"):
        yield


def spring_of(eye, pivot, shackle, front, rear, *, hangs=True):
    ends = (tuple(map(number, point)) for point in (eye, pivot))
    return leaf_of(*ends, *map(number, (shackle, front, rear, 0.0)), hangs=hangs, over=True)


def seated(spring, seat, seat_to_axle=80.0):
    return spring._replace(offset_mm=number(-seat_to_axle if seat == "over" else seat_to_axle))


USUAL = spring_of((2000.0, 500.0), (3240.0, 600.0), 120.0, 600.0, 680.0)
STANDING = spring_of((2000.0, 500.0), (3230.0, 430.0), 90.0, 600.0, 680.0, hangs=False)
TOO_LONG = spring_of((2000.0, 500.0), (3150.0, 520.0), 80.0, 600.0, 680.0)
EVERY = {"usual": USUAL, "standing": STANDING, "too long": TOO_LONG}
ARCH = {"usual": number(2.5e-4), "standing": number(3e-4), "too long": number(1e-3)}
WAYS = {"spring": by_spring, "block": by_block, "shackle": by_shackle}

every_spring = pytest.mark.parametrize("name", EVERY)
both_seats = pytest.mark.parametrize("seat", ["over", "under"])
every_way = pytest.mark.parametrize("means", WAYS)


@every_spring
@both_seats
@every_way
def test_lift_of_nil_is_the_identity_exactly(name, seat, means):
    spring, kappa = seated(EVERY[name], seat), ARCH[name]
    assert WAYS[means](spring, kappa, number(0.0)) == (0.0, 0.0, 0.0, spring, kappa)


@every_spring
@both_seats
@every_way
@pytest.mark.parametrize("lift_mm", [-20.0, 10.0, 25.0])
def test_lifted_spring_carries_the_axle_where_the_lift_says(name, seat, means, lift_mm):
    spring, kappa = seated(EVERY[name], seat), ARCH[name]
    lift = WAYS[means](spring, kappa, number(lift_mm))
    if means == "block" and seat == "under" and lift_mm > 0.0:
        assert np.isnan([lift.dx_mm, lift.dz_mm, lift.turn_deg, lift.curvature]).all()
        return
    before, after = posture(spring, kappa), posture(lift.leaf, lift.curvature)
    assert (after.x - before.x, after.z - before.z) == pytest.approx((lift.dx_mm, lift.dz_mm), rel=0.0, abs=1e-9)
    assert lift.turn_deg == pytest.approx(after.seat_slope_deg - before.seat_slope_deg, rel=0.0, abs=1e-10)
    assert np.isfinite(axle_path(lift.leaf, lift.curvature, np.array([-5.0, 0.0, 5.0]))).all()
    assert np.sign(lift.dz_mm) == -np.sign(lift_mm)


@both_seats
def test_lift_by_spring_is_the_droop_of_the_same_spring(seat):
    spring = seated(USUAL, seat)
    lift, path = by_spring(spring, number(2.5e-4), number(40.0)), axle_path(spring, number(2.5e-4), number(-40.0))
    assert (lift.dx_mm, lift.dz_mm, lift.turn_deg) == (path.dx_mm, -40.0, path.turn_deg)
    assert lift.curvature > 2.5e-4
    assert lift.leaf is spring


@settings(max_examples=200, deadline=None)
@given(st.floats(-150.0, 150.0), st.sampled_from(["over", "under"]), st.sampled_from(sorted(EVERY)))
def test_block_moves_the_axle_by_exactly_its_height_and_never_turns_it(height, seat, name):
    height = -abs(height) if seat == "under" else height
    spring = seated(EVERY[name], seat)
    lift = by_block(spring, ARCH[name], number(height))
    assert np.hypot(lift.dx_mm, lift.dz_mm) == pytest.approx(abs(height), rel=1e-14)
    assert lift.turn_deg == 0.0
    assert lift.leaf == spring._replace(offset_mm=spring.offset_mm - height)
    slope = np.radians(posture(EVERY[name], ARCH[name]).seat_slope_deg)
    square = lift.dx_mm * np.cos(slope) - lift.dz_mm * np.sin(slope)
    assert square == pytest.approx(0.0, abs=1e-12)  # square to the seat


def test_block_lifts_a_spring_over_vehicle_and_only_lowers_a_spring_under_one():
    over, under, kappa = seated(USUAL, "over"), seated(USUAL, "under"), number(2.5e-4)
    assert by_block(over, kappa, number(50.0)).dz_mm < -49.0
    assert by_block(over, kappa, number(50.0)).leaf.offset_mm == -130.0
    # A thinner block: the axle comes up toward the seat, as far as it may.
    assert by_block(over, kappa, number(-30.0)).dz_mm > 29.0
    assert by_block(over, kappa, number(-30.0)).leaf.offset_mm == -50.0
    assert by_block(under, kappa, number(-30.0)).dz_mm > 29.0
    assert by_block(under, kappa, number(-30.0)).leaf.offset_mm == 110.0
    assert np.isnan(by_block(under, kappa, number(30.0)).dz_mm)


@pytest.mark.parametrize("lift_mm", [-20.0, 15.0, 30.0])
@pytest.mark.parametrize("name", ["usual", "standing"])
@both_seats
def test_shackle_for_a_lift_against_root_finding(name, lift_mm, seat):
    """The shackle's length by brentq on the height of the whole re-shackled spring (scipy)."""
    spring, kappa = seated(EVERY[name], seat), ARCH[name]

    def height(length):
        return posture(spring._replace(shackle_mm=number(length)), kappa).z

    lift = by_shackle(spring, kappa, number(lift_mm))
    span = (spring.shackle_mm, lift.leaf.shackle_mm)
    low, high = min(span) - 3.0, max(span) + 3.0
    expected = brentq(lambda length: height(length) - height(spring.shackle_mm) + lift_mm, low, high, xtol=1e-12)
    assert lift.leaf.shackle_mm == pytest.approx(expected, abs=1e-6)
    assert lift.curvature == kappa
    # A hanging shackle is lengthened to lift, a standing one shortened.
    assert np.sign(span[1] - span[0]) == np.sign(lift_mm) * (1.0 if spring.hangs else -1.0)
    assert np.sign(lift.turn_deg) == np.sign(lift_mm)


def test_shackle_must_grow_by_about_twice_the_lift():
    """Common practice: with the seat halfway along the leaf, half of what the shackle gains reaches the axle."""
    spring = spring_of((0.0, 500.0), (1300.0, 600.0), 100.0, 650.0, 650.0)
    lift = by_shackle(spring, number(0.0), number(5.0))
    assert lift.leaf.shackle_mm - 100.0 == pytest.approx(10.0, rel=0.01)


def test_shackle_ahead_of_the_fixed_eye_is_the_mirror_image():
    spring = seated(USUAL, "over")
    other = spring._replace(eye_x=4000.0 - spring.eye_x, pivot_x=4000.0 - spring.pivot_x)
    lift, lifted = (by_shackle(s, number(2.5e-4), number(20.0)) for s in (spring, other))
    assert lifted[:3] == pytest.approx((-lift.dx_mm, lift.dz_mm, -lift.turn_deg), abs=1e-9)
    assert lifted.leaf.shackle_mm == pytest.approx(lift.leaf.shackle_mm, abs=1e-9)


@pytest.mark.parametrize(
    ("means", "lift_mm"),
    [("spring", 500.0), ("spring", -700.0), ("shackle", 2000.0), ("shackle", -300.0), ("spring", np.nan),
     ("block", np.nan), ("shackle", np.nan)],
)  # fmt: skip
def test_lift_out_of_reach_or_not_known_is_nan_in_its_own_row(means, lift_mm):
    spring, kappa = seated(USUAL, "over"), number(2.5e-4)
    rows = WAYS[means](spring, kappa, np.array([20.0, lift_mm, 20.0]))
    alone, fine = WAYS[means](spring, kappa, number(20.0)), [True, False, True]
    for values, value in zip((*rows[:3], rows.curvature), (*alone[:3], alone.curvature), strict=True):
        np.testing.assert_allclose(values, np.where(fine, value, np.nan), rtol=0.0, atol=1e-9)
    assert np.isnan(axle_path(rows.leaf, rows.curvature, number(0.0)).dx_mm).tolist() == [False, True, False]


@every_way
def test_lift_of_a_spring_that_cannot_be_is_nan(means):
    far = spring_of((0.0, 500.0), (3000.0, 500.0), 100.0, 600.0, 600.0)
    lift = WAYS[means](far, number(0.0), number(20.0))
    assert np.isnan([*lift[:3], lift.curvature]).all()


sizes = st.tuples(st.floats(60.0, 200.0), st.floats(-120.0, 120.0), st.floats(-2e-4, 6e-4), st.floats(-80.0, 150.0))


@settings(max_examples=100, deadline=None)
@given(st.lists(sizes, min_size=1, max_size=5), st.sampled_from(sorted(WAYS)))
def test_rows_are_what_each_is_alone(rows, means):
    shackle, offset, kappa, height = np.array(rows).T
    leaf = Leaf(*USUAL[:4], shackle, *USUAL[5:7], offset, hangs=True)
    together = WAYS[means](leaf, kappa, height)
    for i in range(len(rows)):
        own = leaf._replace(shackle_mm=shackle[i], offset_mm=offset[i])
        alone = WAYS[means](own, kappa[i], height[i])
        found = [*together[:3], together.curvature, together.leaf.offset_mm, together.leaf.shackle_mm]
        expected = [*alone[:3], alone.curvature, alone.leaf.offset_mm, alone.leaf.shackle_mm]
        np.testing.assert_allclose([part[i] for part in found], expected, rtol=0.0, atol=1e-8)
