"""Gaps by hand-worked geometry, and never larger than a brute force twenty times as dense."""

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from geometry import edited
from geometry.clearance import YOKE_SHARE, Body, least_gap, shaft_outline
from geometry.facts import gather
from geometry.pose import carried, placed
from geometry.ride import ride, sweep

TUBE = 80.0
SWING = YOKE_SHARE * TUBE  # 112 mm over the yokes
SIDE, TOP = (0, 2), (0, 1)


def level(view=SIDE, tube=TUBE, first=(1000.0, 0.0, 500.0), last=(2000.0, 0.0, 500.0)):
    return shaft_outline(np.array([first]), np.array([last]), tube, YOKE_SHARE * tube, view)


def box(left, low, right, high):
    return ((left, low), (right, low), (right, high), (left, high))


def gap_to(corners, outline):
    return least_gap(Body(corners, np.zeros(1)), outline)


# --- by hand --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("outline", "expected"),
    [
        (box(1400.0, 600.0, 1600.0, 700.0), 100.0 - 40.0),  # over the tube: half its diameter is in the way
        (box(1000.0, 600.0, 1040.0, 700.0), 100.0 - 56.0),  # over the yokes: half their swing
        (box(1960.0, 600.0, 2000.0, 700.0), 100.0 - 56.0),
        (box(700.0, 450.0, 900.0, 550.0), 44.0),  # ahead: the yoke reaches half its swing, 56, past its joint
        (box(2100.0, 450.0, 2200.0, 550.0), 44.0),
        # Square to the taper, which falls by 16 over the 44.8 from 0.6 to 1.0 of a swing behind the joint.
        (box(1112.0, 600.0, 1888.0, 700.0), 60.0 * 44.8 / np.hypot(44.8, 16.0)),
        (box(700.0, 600.0, 900.0, 700.0), np.hypot(44.0, 44.0)),  # corner to corner
        (box(1400.0, 200.0, 1600.0, 300.0), 200.0 - 40.0),  # and below
    ],
)
def test_level_shaft_under_and_beside_a_box(outline, expected):
    assert gap_to(level(), outline).least_mm == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("slope", [0.0, 7.0, 30.0, -60.0])
def test_a_sloping_shaft_keeps_its_distance_square_to_its_line(slope):
    turn = Rotation.from_euler("y", slope, degrees=True)
    ends = turn.apply([[0.0, 0.0, 0.0], [1000.0, 0.0, 0.0]])
    spot = turn.apply([500.0, 0.0, 150.0])[[0, 2]]
    near = tuple(tuple((spot + off).tolist()) for off in ([0.0, 0.0], [1e-9, 0.0], [0.0, 1e-9]))
    assert gap_to(level(first=ends[0], last=ends[1]), near).least_mm == pytest.approx(150.0 - 40.0, abs=1e-6)


def test_seen_from_above_the_sideways_place_counts_and_the_height_does_not():
    beside = box(1400.0, 90.0, 1600.0, 140.0)
    for height in (100.0, 500.0):
        corners = level(TOP, first=(1000.0, 0.0, height), last=(2000.0, 0.0, 400.0))
        assert gap_to(corners, beside).least_mm == pytest.approx(50.0)


@pytest.mark.parametrize(
    "outline",
    [
        box(1400.0, 540.0, 1600.0, 700.0),  # just touching
        box(1400.0, 500.0, 1600.0, 700.0),  # across
        box(1495.0, 495.0, 1505.0, 505.0),  # wholly inside the tube
        box(0.0, 0.0, 3000.0, 1000.0),  # wholly around it
        ((1400.0, 400.0), (1600.0, 700.0), (1400.0, 700.0), (1600.0, 400.0)),  # crosses itself
        ((1400.0, 400.0), (1600.0, 700.0), (1500.0, 550.0)),  # a line
        ((1500.0, 500.0), (1500.0, 500.0), (1500.0, 500.0)),  # a point
    ],
)
def test_what_touches_leaves_no_gap(outline):
    assert gap_to(level(), outline).least_mm == 0.0


@pytest.mark.parametrize("length", [0.0, 1.0, 60.0, 112.0, 150.0, 230.0])
def test_short_sections_still_have_a_body(length):
    corners = level(last=(1000.0 + length, 0.0, 500.0))
    assert corners.shape == (1, 12, 2)
    assert gap_to(corners, box(900.0, 700.0, 1300.0, 800.0)).least_mm <= 200.0 - (56.0 if length else 0.0) + 1e-9


def test_a_thin_swing_never_widens_the_tube():
    corners = shaft_outline(np.zeros((1, 3)), np.array([[1000.0, 0.0, 0.0]]), 80.0, 60.0, SIDE)
    assert np.abs(corners[..., 1]).max() == 30.0


# --- over the travel ------------------------------------------------------------------------------------------------


def swinging(travel, reach):
    """A shaft whose rear joint runs on an arc, as on links of this reach."""
    rise = travel / reach
    last = np.column_stack((2000.0 - reach * (1.0 - np.sqrt(1.0 - rise**2)), np.zeros_like(travel), 400.0 + travel))
    return shaft_outline(np.broadcast_to([1000.0, 0.0, 500.0], last.shape), last, TUBE, SWING, SIDE)


@settings(max_examples=60)
@given(
    outline=st.lists(st.tuples(st.floats(900.0, 2100.0), st.floats(150.0, 800.0)), min_size=3, max_size=6),
    reach=st.floats(400.0, 3000.0),
    count=st.integers(2, 41),
)
def test_least_gap_is_never_more_than_brute_force_and_not_much_less(outline, reach, count):
    travel = np.linspace(-120.0, 120.0, count)
    found = least_gap(Body(swinging(travel, reach), travel), tuple(outline))
    fixed = shapely.make_valid(shapely.Polygon(outline))
    dense = np.linspace(-120.0, 120.0, 20 * count)
    brute = shapely.distance(shapely.make_valid(shapely.polygons(swinging(dense, reach))), fixed)
    assert found.least_mm <= brute.min() + 1e-9
    # What it gives away for safety at the most: half of what the farthest corner moves from one position to the next.
    moves = np.diff(swinging(travel, reach), axis=0)
    assert found.least_mm >= brute.min() - 0.51 * np.hypot(moves[..., 0], moves[..., 1]).max() - 1e-3
    assert found.least_mm <= found.along_mm.min() + 1e-9
    assert -120.0 <= found.at_travel_mm <= 120.0


def test_the_place_of_the_least_gap_is_where_it_comes_nearest():
    travel = np.linspace(-120.0, 120.0, 201)
    above, below = box(1800.0, 600.0, 2000.0, 700.0), box(1800.0, 100.0, 2000.0, 200.0)
    assert least_gap(Body(swinging(travel, 800.0), travel), above).at_travel_mm == pytest.approx(120.0, abs=1.3)
    assert least_gap(Body(swinging(travel, 800.0), travel), below).at_travel_mm == pytest.approx(-120.0, abs=1.3)


def test_a_body_passing_through_between_two_positions_is_not_missed():
    # Two positions 400 mm apart, the obstacle half way between them.
    corners = np.concatenate((level(first=(1000.0, 0.0, 300.0), last=(2000.0, 0.0, 300.0)), level(
        first=(1000.0, 0.0, 700.0), last=(2000.0, 0.0, 700.0)
    )))  # fmt: skip
    found = least_gap(Body(corners, np.array([0.0, 400.0])), box(1400.0, 499.0, 1600.0, 501.0))
    assert found.along_mm.tolist() == [159.0, 159.0]
    assert found.least_mm <= 0.0


def test_the_one_step_that_strikes_is_found_among_many_that_come_near():
    # Forty positions 3 mm off a peg, and then one leap from 100 mm above it to 100 mm below.
    heights = np.concatenate((np.full(40, 543.0), [640.0, 360.0]))
    first = np.column_stack((np.full(42, 1000.0), np.zeros(42), heights))
    corners = shaft_outline(first, first + np.array([1000.0, 0.0, 0.0]), TUBE, SWING, SIDE)
    found = least_gap(Body(corners, np.arange(42.0)), box(1490.0, 490.0, 1510.0, 500.0))
    assert found.along_mm[:40] == pytest.approx(3.0)
    assert found.least_mm <= 0.0
    assert 40.0 <= found.at_travel_mm <= 41.0


def test_the_bow_of_the_path_between_two_positions_counts():
    # Three positions on a tight arc; half way between two of them the yoke stands farther back than its chord.
    travel = np.array([-120.0, 0.0, 120.0])
    half_way = swinging(np.array([60.0]), 400.0)
    chord = (swinging(travel, 400.0)[1] + swinging(travel, 400.0)[2]) / 2.0
    assert (half_way[0] - chord)[:, 0].max() > 4.0
    yoke = half_way[0, :, 0].max()
    wall = box(yoke + 10.0, 430.0, yoke + 50.0, 490.0)
    dense = swinging(np.linspace(-120.0, 120.0, 4001), 400.0)
    brute = shapely.distance(shapely.polygons(dense), shapely.Polygon(wall)).min()
    assert least_gap(Body(swinging(travel, 400.0), travel), wall).least_mm <= brute


def test_a_body_that_grazes_everywhere_stays_safe_when_not_every_step_is_looked_into():
    # An obstacle as long as the travel is high: every position is equally near.
    travel = np.linspace(-120.0, 120.0, 400)
    last = np.column_stack((2000.0 + 0.0 * travel, 0.0 * travel, 500.0 + travel))
    corners = shaft_outline(last - [1000.0, 0.0, 0.0], last, TUBE, SWING, SIDE)
    wall = box(2100.0, -2000.0, 2200.0, 3000.0)
    found = least_gap(Body(corners, travel), wall)
    assert 44.0 - 240.0 / 399.0 / 2.0 - 1e-9 <= found.least_mm <= 44.0


# --- on whole builds ------------------------------------------------------------------------------------------------


def brute_force(build, view, outline):
    """Least gap of the shaft over the travel at 4,001 places, each solved on the springs by itself."""
    at, facts = ride(build), gather(build)
    dense = sweep(at, np.linspace(*facts.travel.axle_mm[[0, -1]], 4001))
    centres = placed(build, carried(facts.ride, dense.shift_mm, dense.turn_deg)).joint_centres_mm
    tube = build.shaft.tube.outer_diameter_mm
    bodies = shapely.polygons(shaft_outline(centres[0], centres[1], tube, YOKE_SHARE * tube, view))
    return shapely.distance(bodies, shapely.make_valid(shapely.Polygon(outline))).min()


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    outline=st.lists(st.tuples(st.floats(1050.0, 2300.0), st.floats(350.0, 750.0)), min_size=3, max_size=5),
    sideways=st.booleans(),
    pinion=st.floats(-2.0, 9.0),
    lift=st.sampled_from([0.0, 40.0]),
)
def test_gaps_of_whole_builds_against_brute_force(one_piece, outline, sideways, pinion, lift):
    if sideways:
        outline = [(x, z - 500.0) for x, z in outline]
    obstacle = {"view": "top" if sideways else "side", "outline_mm": tuple(outline)}
    changes = {"obstacles": (obstacle,), "axle.pinion_slope_deg": pinion, "plan.rear_lift_mm": lift}
    build = edited(one_piece, changes)
    (gap,) = gather(build).gaps
    brute = brute_force(build, TOP if sideways else SIDE, outline)
    assert gap.least_mm <= brute + 1e-9
    assert gap.least_mm >= brute - 0.75  # half of the 1.05 mm between two positions, and the yoke swings farther
