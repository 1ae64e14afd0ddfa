"""Gaps by hand-worked geometry and by shapely, and never larger than a brute force twenty times as dense."""

import time

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from geometry.mechanics import clearance
from geometry.mechanics.clearance import (
    SECTION_PARTS,
    VIEWS,
    Body,
    gaps_mm,
    least_gap,
    least_gaps,
    safe_outline,
    section_outline,
    shaft_outline,
    strays_mm,
)
from geometry.mechanics.vectors import Vector

TUBE, SWING = 80.0, 112.0
SIDE, TOP = VIEWS["side"], VIEWS["top"]


def vector(points):
    """Points (..., 3) by their components."""
    points = np.asarray(points, float)
    return Vector(points[..., 0], points[..., 1], points[..., 2])


def level(view=SIDE, tube=TUBE, first=(1000.0, 0.0, 500.0), last=(2000.0, 0.0, 500.0)):
    return shaft_outline(vector([first]), vector([last]), tube, 1.4 * tube, view)


def box(left, low, right, high):
    return ((left, low), (right, low), (right, high), (left, high))


def gap_to(corners, outline):
    (gap,) = gaps_mm(corners, outline)
    return gap


def one_row(corners, travel, outline, starts=(0,)):
    """Least gap of one row over its travel, (m, c, 2) and (m,), as plain numbers."""
    parts = SECTION_PARTS if corners.shape[1] == 12 else ()
    found = least_gap(Body(corners[:, None], travel, starts, parts), outline)
    return float(found.least_mm[0]), float(found.at_travel_mm[0]), int(found.sweep[0]), found.along_mm[:, 0]


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
    assert gap_to(level(), outline) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("slope", [0.0, 7.0, 30.0, -60.0])
def test_a_sloping_shaft_keeps_its_distance_square_to_its_line(slope):
    turn = Rotation.from_euler("y", slope, degrees=True)
    ends = turn.apply([[0.0, 0.0, 0.0], [1000.0, 0.0, 0.0]])
    spot = turn.apply([500.0, 0.0, 150.0])[[0, 2]]
    near = tuple(tuple((spot + off).tolist()) for off in ([0.0, 0.0], [1e-9, 0.0], [0.0, 1e-9]))
    assert gap_to(level(first=ends[0], last=ends[1]), near) == pytest.approx(150.0 - 40.0, abs=1e-6)


def test_seen_from_above_the_sideways_place_counts_and_the_height_does_not():
    beside = box(1400.0, 90.0, 1600.0, 140.0)
    for height in (100.0, 500.0):
        corners = level(TOP, first=(1000.0, 0.0, height), last=(2000.0, 0.0, 400.0))
        assert gap_to(corners, beside) == pytest.approx(50.0)


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
    assert gap_to(level(), outline) == 0.0
    both = np.concatenate((level(), level()))
    assert one_row(both, np.array([-1.0, 1.0]), outline)[0] == 0.0


@pytest.mark.parametrize("length", [0.0, 1.0, 60.0, 112.0, 150.0, 180.0, 223.0, 224.0, 230.0])
def test_short_sections_still_have_a_body_that_nothing_slips_into(length):
    corners = level(last=(1000.0 + length, 0.0, 500.0))
    assert corners.shape == (1, 12, 2)
    assert gap_to(corners, box(900.0, 700.0, 1300.0, 800.0)) == pytest.approx(200.0 - 56.0)
    # Both yokes at their full size, and whatever tube there is between them, drawn one by one.
    x = np.array([-0.5, 0.6, 1.0]) * SWING
    one = shapely.Polygon([(x[0], -56), (x[1], -56), (x[2], -40), (x[2], 40), (x[1], 56), (x[0], 56)])
    two = shapely.affinity.scale(one, -1.0, 1.0, origin=(0.0, 0.0))
    front = shapely.intersection(one, shapely.box(-999.0, -99.0, length / 2.0, 99.0))
    rear = shapely.intersection(shapely.affinity.translate(two, length), shapely.box(length / 2.0, -99.0, 999.0, 99.0))
    whole = shapely.union_all(
        [front, rear, shapely.box(0.0, -40.0, length, 40.0)] if length > 2 * SWING else [front, rear]
    )
    drawn = shapely.polygons(corners[0] - [1000.0, 500.0])
    assert shapely.symmetric_difference(shapely.make_valid(drawn), whole).area == pytest.approx(0.0, abs=1e-6)
    for spot in np.random.default_rng(1).uniform((-50.0, -39.0), (length + 50.0, 39.0), (20, 2)):
        assert gap_to(corners, tuple(map(tuple, spot + np.array((1000.0, 500.0)) + np.eye(3, 2)))) == 0.0


def test_a_tube_thicker_than_its_yokes_is_as_thick_as_it_is():
    """Small joints on a large tube, as are sold: between the yokes the tube counts, at them the yokes."""
    corners = shaft_outline(vector(np.zeros((1, 3))), vector([[1000.0, 0.0, 0.0]]), 80.0, 60.0, SIDE)
    assert np.abs(corners[..., 1]).max() == 40.0
    assert np.abs(corners[..., 0, 1]).max() == 30.0
    bar = ((400.0, 60.0), (600.0, 60.0), (600.0, 80.0), (400.0, 80.0))
    gap = least_gap(Body(corners.reshape(1, 1, 12, 2), np.zeros(1)), bar)
    assert gap.least_mm.tolist() == pytest.approx([20.0])


@pytest.mark.parametrize("seed", range(4))
def test_a_thick_tubes_body_strays_no_farther_than_is_told(seed):
    """Every corner of random sections against the bound by which whole travels are left out."""
    rng = np.random.default_rng(seed)
    for _ in range(200):
        ends = [(rng.uniform(-50.0, 50.0, 1), rng.uniform(-50.0, 50.0, 1)) for _ in range(2)]
        far = [(1200.0 + rng.uniform(-80.0, 80.0, 1), rng.uniform(-80.0, 80.0, 1)) for _ in range(2)]
        sizes = [np.array([[rng.uniform(40.0, 220.0)], [rng.uniform(60.0, 120.0)]]) for _ in range(2)]
        one, two = (section_outline(ends[k], far[k], sizes[k][0], sizes[k][1]) for k in range(2))
        moved = np.hypot(*np.moveaxis(one - two, -1, 0)).max()
        assert moved <= float(strays_mm(ends[0], far[0], ends[1], far[1], *sizes)[0]) + 1e-9


def test_outlines_of_rows_are_the_single_ones():
    rng = np.random.default_rng(3)
    first = Vector(np.full((1, 1), 1000.0), np.float64(20.0), rng.uniform(400.0, 600.0, (4, 1)))
    last = Vector(rng.uniform(1100.0, 2200.0, (4, 5)), np.float64(0.0), rng.uniform(300.0, 500.0, 5))
    tube, swing = rng.uniform(60.0, 90.0, 5), rng.uniform(90.0, 130.0, (4, 5))
    for view in (SIDE, TOP):
        rows = shaft_outline(first, last, tube, swing, view)
        assert rows.shape == (4, 5, 12, 2)
        for state, row in np.ndindex(4, 5):
            ends = (Vector(*(np.broadcast_to(part, (4, 5))[state, row] for part in end)) for end in (first, last))
            one = shaft_outline(*ends, tube[row], swing[state, row], view)
            np.testing.assert_allclose(rows[state, row], one, atol=1e-9)


@pytest.mark.parametrize("unknown", ["first", "last", "tube", "swing"])
def test_what_is_not_known_gives_no_gap(unknown):
    bad = np.array([np.nan, 1.0])
    ends = {"first": vector(np.full((2, 3), 1000.0)), "last": vector(np.full((2, 3), 1500.0))}
    if unknown in ends:
        ends[unknown] = Vector(ends[unknown].x, ends[unknown].y, ends[unknown].z * bad)
    sizes = [size * bad if unknown == name else size for name, size in (("tube", TUBE), ("swing", SWING))]
    corners = shaft_outline(ends["first"], ends["last"], *sizes, SIDE)
    gaps = gaps_mm(corners, box(0.0, 0.0, 1.0, 1.0))
    assert np.isnan(gaps).tolist() == [True, False]


# --- against shapely, row by row ------------------------------------------------------------------------------------


def test_many_rows_are_as_shapely_measures_them_one_by_one():
    rng = np.random.default_rng(7)
    first = vector(np.column_stack((np.full(300, 1000.0), np.zeros(300), rng.uniform(450.0, 550.0, 300))))
    last = vector(np.column_stack((rng.uniform(1050.0, 2000.0, 300), np.zeros(300), rng.uniform(100.0, 600.0, 300))))
    corners = shaft_outline(first, last, TUBE, rng.uniform(85.0, 130.0, 300), SIDE)
    corners[::7, 3] = np.nan
    for count in range(4, 13):
        turn = np.linspace(0.0, 2.0 * np.pi, count, endpoint=False)
        # As a star, so that it is hollow.
        reach = np.where(np.arange(count) % 2, 40.0, 150.0)
        outline = tuple(zip(1500.0 + reach * np.cos(turn), 480.0 + reach * np.sin(turn), strict=True))
        found = gaps_mm(corners, outline)
        for gap, one in zip(found, corners, strict=True):
            if np.isnan(one).any():
                assert np.isnan(gap)
            else:
                assert gap == pytest.approx(shapely.Polygon(one).distance(shapely.Polygon(outline)), abs=1e-9)
        assert (found == 0.0).any()
        assert (found > 1.0).any()


def test_rows_of_any_shape_and_blocks_of_rows_give_the_same():
    rng = np.random.default_rng(8)
    corners = rng.uniform(0.0, 10.0, (20_000, 1, 2)) + np.array(box(0.0, 0.0, 2.0, 1.0))
    outline = ((5.0, 5.0), (6.0, 5.0), (5.5, 7.0))
    whole = gaps_mm(corners, outline)
    np.testing.assert_array_equal(gaps_mm(corners.reshape(20, 1000, 4, 2), outline).ravel(), whole)
    assert float(gaps_mm(corners[3], outline)) == whole[3]
    assert gaps_mm(corners[:0], outline).shape == (0,)


# --- over the travel ------------------------------------------------------------------------------------------------


def swinging(travel, reach, sag=0.0):
    """A shaft whose rear joint runs on an arc, as on links of this reach, (m, 12, 2)."""
    rise = travel / reach
    last = Vector(2000.0 - reach * (1.0 - np.sqrt(1.0 - rise**2)), 0.0 * travel, 400.0 + travel - sag)
    return shaft_outline(vector([1000.0, 0.0, 500.0]), last, TUBE, SWING, SIDE)


def brute(shapes, outline):
    return shapely.distance(
        shapely.make_valid(shapely.polygons(shapes)), shapely.make_valid(shapely.Polygon(outline))
    ).min()


OUTLINES = st.lists(st.tuples(st.floats(900.0, 2100.0), st.floats(150.0, 800.0)), min_size=3, max_size=6)


@settings(max_examples=150)
@given(outline=OUTLINES, reach=st.floats(400.0, 3000.0), count=st.integers(2, 41))
def test_least_gap_is_never_more_than_brute_force_and_not_much_less(outline, reach, count):
    travel = np.linspace(-120.0, 120.0, count)
    least, at, _, along = one_row(swinging(travel, reach), travel, tuple(outline))
    truth = brute(swinging(np.linspace(-120.0, 120.0, 20 * count), reach), outline)
    assert least <= truth + 1e-9
    # What it gives away for safety at the most: half of what the farthest corner moves from one position to the next.
    moves = np.diff(swinging(travel, reach), axis=0)
    assert least >= truth - 0.51 * np.hypot(moves[..., 0], moves[..., 1]).max() - 1e-3
    assert least <= along.min() + 1e-9
    assert -120.0 <= at <= 120.0


@settings(max_examples=40)
@given(outline=OUTLINES, reach=st.floats(500.0, 3000.0))
def test_at_81_positions_the_gap_is_sharp(outline, reach):
    travel = np.linspace(-120.0, 120.0, 81)
    least, at, _, _ = one_row(swinging(travel, reach), travel, tuple(outline))
    dense = np.linspace(-120.0, 120.0, 4801)
    truth = brute(swinging(dense, reach), outline)
    assert truth - 0.05 <= least <= truth + 1e-9  # finer than any feeler
    # And there it does come as near, to half a step.
    near = brute(swinging(np.linspace(max(at - 1.5, -120.0), min(at + 1.5, 120.0), 61), reach), outline)
    assert near <= truth + 0.05


@settings(max_examples=60)
@given(outline=OUTLINES, reach=st.floats(500.0, 3000.0), sag=st.floats(-60.0, 60.0))
def test_of_two_sweeps_the_nearer_counts_and_nothing_between_them(outline, reach, sag):
    travel = np.linspace(-120.0, 120.0, 31)
    sweeps = swinging(travel, reach), swinging(travel, reach, sag)[3:]
    alone = [one_row(sweep, place, tuple(outline)) for sweep, place in zip(sweeps, (travel, travel[3:]), strict=True)]
    least, at, which, along = one_row(
        np.concatenate(sweeps), np.concatenate((travel, travel[3:])), tuple(outline), (0, 31)
    )
    np.testing.assert_array_equal(along, np.concatenate([one[3] for one in alone]))
    first, second = (one[0] for one in alone)
    assert least == min(first, second)
    if first != second:
        assert (at, which) == (alone[second < first][1], int(second < first))


def test_the_leap_from_one_sweep_to_the_next_is_no_movement():
    # At rest above a peg, wound up below it: it never passes.
    above, below = (np.concatenate([level(first=(1000.0, 0.0, z), last=(2000.0, 0.0, z))] * 3) for z in (600.0, 400.0))
    peg, travel = box(1490.0, 499.0, 1510.0, 501.0), np.array([-1.0, 0.0, 1.0] * 2)
    both = np.concatenate((above, below - (0.0, -1.0)))
    assert one_row(both, travel, peg, (0, 3))[::2] == (pytest.approx(58.0), 1)
    assert one_row(both, travel, peg)[0] == 0.0


def test_the_place_of_the_least_gap_is_where_it_comes_nearest():
    travel = np.linspace(-120.0, 120.0, 81)
    above, below = box(1800.0, 600.0, 2000.0, 700.0), box(1800.0, 100.0, 2000.0, 200.0)
    assert one_row(swinging(travel, 800.0), travel, above)[1] == 120.0
    assert one_row(swinging(travel, 800.0), travel, below)[1] == -120.0


def test_a_corner_nearest_between_two_positions_is_placed_half_way():
    # A diamond of ±10 that runs past a peg's corner 30 mm off, nearest half way between its positions.
    diamond = np.array(((-10.0, 0.0), (0.0, -10.0), (10.0, 0.0), (0.0, 10.0)))
    travel = np.array([-15.0, -5.0, 5.0, 15.0])
    least, at, _, along = one_row(
        np.stack([diamond + np.array((x, 0.0)) for x in travel]), travel, ((0.0, 40.0), (1.0, 80.0), (-1.0, 80.0))
    )
    assert least == pytest.approx(30.0, abs=1e-9)
    assert at == 0.0
    assert along.min() == pytest.approx(np.hypot(5.0, 30.0))


def test_a_body_passing_through_between_two_positions_is_not_missed():
    # Two positions 400 mm apart, the obstacle half way between them.
    corners = np.concatenate([level(first=(1000.0, 0.0, z), last=(2000.0, 0.0, z)) for z in (300.0, 700.0)])
    least, _, _, along = one_row(corners, np.array([0.0, 400.0]), box(1400.0, 499.0, 1600.0, 501.0))
    assert along.tolist() == [159.0, 159.0]
    assert least == 0.0


def test_the_one_step_that_strikes_is_found_among_many_that_come_near():
    # Forty positions 3 mm off a peg, and then one leap from 100 mm above it to 100 mm below.
    heights = np.concatenate((np.full(40, 543.0), [640.0, 360.0]))
    first = np.column_stack((np.full(42, 1000.0), np.zeros(42), heights))
    corners = shaft_outline(vector(first), vector(first + np.array((1000.0, 0.0, 0.0))), TUBE, SWING, SIDE)
    least, at, _, along = one_row(corners, np.arange(42.0), box(1490.0, 490.0, 1510.0, 500.0))
    assert along[:40] == pytest.approx(3.0)
    assert least == 0.0
    assert 40.0 <= at <= 41.0


def test_the_bow_of_the_path_between_two_positions_counts():
    # Three positions on a tight arc; half way between two of them the yoke stands farther back than its chord.
    travel = np.array([-120.0, 0.0, 120.0])
    half_way = swinging(np.array([60.0]), 400.0)
    chord = (swinging(travel, 400.0)[1] + swinging(travel, 400.0)[2]) / 2.0
    assert (half_way[0] - chord)[:, 0].max() > 4.0
    yoke = half_way[0, :, 0].max()
    wall = box(yoke + 10.0, 430.0, yoke + 50.0, 490.0)
    truth = brute(swinging(np.linspace(-120.0, 120.0, 4001), 400.0), wall)
    assert one_row(swinging(travel, 400.0), travel, wall)[0] <= truth


def sliding(distance, count=400):
    """A level shaft that rises by 240 mm beside a wall as long as its travel is high.

    The wall has a long foot, so that no straight line keeps all of it apart from the shaft.
    """
    travel = np.linspace(-120.0, 120.0, count)
    last = np.column_stack((2000.0 + 0.0 * travel, 0.0 * travel, 500.0 + travel))
    corners = shaft_outline(vector(last - np.array((1000.0, 0.0, 0.0))), vector(last), TUBE, SWING, SIDE)
    near = 2056.0 + distance
    wall = (900.0, -2000.0), (2200.0, -2000.0), (2200.0, 3000.0), (near, 3000.0), (near, -1900.0), (900.0, -1900.0)
    return one_row(corners, travel, wall)[0]


@pytest.mark.parametrize("distance", [44.0, 2.0])
def test_a_body_that_grazes_everywhere_is_as_near_as_it_is(distance):
    assert sliding(distance) == pytest.approx(distance, abs=1e-9)
    assert sliding(distance, 81) == pytest.approx(distance, abs=1e-9)


def test_what_is_too_near_to_tell_counts_as_touching(monkeypatch):
    assert sliding(0.03, 81) == 0.0
    assert sliding(1.0, 81) == pytest.approx(1.0)
    monkeypatch.setattr(clearance, "_MOST_BODIES", 40)  # with fewer looks at it
    assert sliding(1.0, 81) == 0.0


@pytest.mark.parametrize("most", [1, 50, 512])
def test_no_more_bodies_are_looked_at_than_allowed(monkeypatch, most):
    looked = []
    shapes = clearance._polygons
    monkeypatch.setattr(clearance, "_polygons", lambda corners: (looked.append(len(corners)), shapes(corners))[1])
    monkeypatch.setattr(clearance, "_MOST_BODIES", most)
    sliding(0.06, 81)
    assert sum(looked[2:]) <= most  # behind the first position and the others


def test_a_turning_edge_bulges_no_farther_than_allowed_for():
    # Edges that turn wildly about a place on themselves while they slide along: what they sweep bulges beyond their
    # ends and their corners' ways. By brute force over the edge and the way.
    rng = np.random.default_rng(11)
    share, time_ = np.linspace(0.0, 1.0, 61)[:, None, None], np.linspace(0.0, 1.0, 61)[:, None]
    worst = 0.0
    for _ in range(80):
        start, move = rng.normal(size=(2, 2)) * 10.0, rng.normal(size=(2, 2)) * 10.0 ** rng.uniform(-1.0, 1.0)
        ends = start + time_[..., None] * move
        swept = (1.0 - share) * ends[:, 0] + share * ends[:, 1]
        frame = shapely.multilinestrings(
            [start, start + move, [start[0], start[0] + move[0]], [start[1], start[1] + move[1]]]
        )
        out = shapely.polygonize([shapely.unary_union(frame)])
        beyond = shapely.distance(shapely.points(swept.reshape(-1, 2)), shapely.union_all([frame, out])).max()
        allowed = clearance._bulge(start[None], move[None], np.hypot(*move.T).max()[None])[0]
        assert beyond <= allowed + 1e-9
        worst = max(worst, beyond / allowed)
    assert worst > 0.3  # and it is no idle allowance


def test_many_rows_are_the_single_rows_and_one_not_known_spoils_no_other():
    travel = np.linspace(-120.0, 120.0, 21)
    reaches = (500.0, 900.0, 1400.0, 2500.0)
    single = [swinging(travel, reach, sag) for reach, sag in zip(reaches, (0.0, 30.0, -60.0, 90.0), strict=True)]
    rows = np.stack(single, axis=1)
    for outline in (
        box(1800.0, 560.0, 2000.0, 700.0),
        box(1500.0, 300.0, 1600.0, 380.0),
        box(2060.0, 0.0, 2100.0, 900.0),
    ):
        found = least_gap(Body(rows, travel), outline)
        for row, corners in enumerate(single):
            least, at, sweep, along = one_row(corners, travel, outline)
            assert (found.least_mm[row], found.at_travel_mm[row], found.sweep[row]) == (least, at, sweep)
            np.testing.assert_array_equal(found.along_mm[:, row], along)
    hidden = rows.copy()
    hidden[5, 2, 7, 1] = np.nan
    spoilt = least_gap(Body(hidden, np.repeat(travel[:, None], 4, axis=1)), outline)
    assert np.isnan(spoilt.least_mm).tolist() == np.isnan(spoilt.at_travel_mm).tolist() == [False, False, True, False]
    np.testing.assert_array_equal(spoilt.least_mm[[0, 1, 3]], found.least_mm[[0, 1, 3]])
    assert np.isnan(spoilt.along_mm).sum() == 1


@settings(max_examples=100)
@given(outline=OUTLINES, reach=st.floats(400.0, 3000.0), parts=st.sampled_from((SECTION_PARTS, ())))
def test_lines_never_hold_apart_by_more_than_the_gap(outline, reach, parts):
    travel = np.linspace(-120.0, 120.0, 6)
    corners = swinging(travel, reach)
    body = Body(corners[:, None], travel, parts=parts)
    fixed = np.array([safe_outline(tuple(outline))])
    at_least, on_the_way = clearance._held_apart(body, np.zeros(1, np.intp), fixed)
    share = np.linspace(0.0, 1.0, 21)[:, None, None, None]
    ways = corners[:-1] + share * (corners[1:] - corners[:-1])
    gaps = gaps_mm(ways, tuple(outline))
    assert (at_least[:, 0] <= gaps_mm(corners, tuple(outline)) + 1e-9).all()
    assert (on_the_way[:, 0] + body.bow[:, 0] <= gaps.min(axis=0) + 1e-9).all()


def test_a_line_along_the_shaft_holds_it_apart_by_all_of_the_gap():
    travel = np.linspace(-120.0, 120.0, 9)
    body = Body(swinging(travel, 900.0)[:, None], travel, parts=SECTION_PARTS)
    pipe = tuple((1500.0 + 30.0 * np.cos(turn), 700.0 + 30.0 * np.sin(turn)) for turn in np.linspace(0.0, 6.2, 60))
    gaps = gaps_mm(body.corners_mm, pipe)
    at_least, on_the_way = clearance._held_apart(body, np.zeros(1, np.intp), np.array([safe_outline(pipe)]))
    np.testing.assert_allclose(at_least, gaps, atol=0.05)
    np.testing.assert_allclose(on_the_way + body.bow, np.minimum(gaps[1:], gaps[:-1]), atol=0.05)


@settings(max_examples=60)
@given(some=st.lists(OUTLINES, min_size=1, max_size=3), reach=st.floats(500.0, 3000.0), lost=st.booleans())
def test_what_is_passed_over_changes_no_gap(some, reach, lost):
    travel = np.tile(np.linspace(-120.0, 120.0, 21), 2)
    corners = np.stack([swinging(travel, reach, sag) for sag in (0.0, 40.0)], axis=1)
    body = Body(corners, travel, (0, 21), SECTION_PARTS)
    fixed = np.array([safe_outline(tuple(one)) for one in some] + [None] * lost, np.object_)
    rows, against = (part.ravel() for part in np.meshgrid((0, 1), np.arange(len(fixed)), indexing="ij"))
    whole = least_gaps(body, rows, fixed[against], whole=np.True_)
    quick = least_gaps(body, rows, fixed[against])
    for one, other in zip(whole[:3], quick[:3], strict=True):
        np.testing.assert_array_equal(one, other)
    measured = np.isfinite(quick.along_mm)
    np.testing.assert_array_equal(quick.along_mm[measured], whole.along_mm[measured])
    assert np.isnan(quick.least_mm[against == len(some)]).all()
    # Of places that count alone: as if the others were not there, but for what lies between them.
    some_places = np.arange(42)[:, None] % 3 != np.ones(len(rows))
    counted = least_gaps(body, rows, fixed[against], looked_at=some_places)
    np.testing.assert_array_equal(np.isinf(counted.along_mm) | some_places, True)
    at_places = np.where(some_places, whole.along_mm, np.inf).min(axis=0)
    assert not (counted.least_mm > at_places).any()


def test_most_places_are_passed_over(monkeypatch):
    counts, shapes = [], clearance._polygons
    monkeypatch.setattr(clearance, "_polygons", lambda corners: (counts.append(len(corners)), shapes(corners))[1])
    travel = np.linspace(-120.0, 120.0, 41)
    corners = np.repeat(swinging(travel, 1400.0)[:, None], 10, axis=1)
    fixed = np.full(10, safe_outline(box(1800.0, 700.0, 2000.0, 800.0)), np.object_)
    least_gaps(Body(corners, travel, parts=SECTION_PARTS), np.arange(10), fixed)
    assert sum(counts) <= 10 * 4


def test_what_stands_still_has_the_gap_of_its_one_position():
    still = level()[None]
    found = least_gap(Body(still, np.zeros(1)), box(1400.0, 600.0, 1600.0, 700.0))
    assert (found.least_mm.tolist(), found.at_travel_mm.tolist(), found.sweep.tolist()) == ([60.0], [0.0], [0])
    many = least_gap(Body(np.repeat(still, 5, axis=0), np.arange(5.0)), box(1400.0, 600.0, 1600.0, 700.0))
    assert many.least_mm.tolist() == [60.0]
    ends = least_gap(Body(np.repeat(still, 2, axis=0), np.arange(2.0), (0, 1)), box(1400.0, 600.0, 1600.0, 700.0))
    assert ends.least_mm.tolist() == [60.0]


# --- outlines of any kind -------------------------------------------------------------------------------------------


def inside(outline, spots):
    """Which spots lie inside by the even-odd rule, counting edges that a ray to the right meets."""
    ends = np.asarray(outline, float)
    (x0, y0), (x1, y1) = ends.T, np.roll(ends, -1, axis=0).T
    x, y = spots[:, :1], spots[:, 1:]
    meets = (y0 > y) != (y1 > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        return ((x < x0 + (y - y0) * (x1 - x0) / (y1 - y0)) & meets).sum(axis=1) % 2 == 1


SQUARE = np.array(box(-1.0, -1.0, 1.0, 1.0))


@settings(max_examples=150, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), count=st.integers(3, 12))
def test_an_outline_that_crosses_itself_is_as_make_valid_takes_it_apart(seed, count):
    rng = np.random.default_rng(seed)
    outline = tuple(map(tuple, rng.uniform(-60.0, 60.0, (count, 2)).tolist()))
    bodies = rng.uniform(-100.0, 100.0, (60, 1, 2)) + SQUARE * rng.uniform(0.1, 20.0, (60, 1, 1))
    expected = shapely.distance(shapely.make_valid(shapely.Polygon(outline)), shapely.polygons(bodies))
    np.testing.assert_allclose(gaps_mm(bodies, outline), expected, atol=1e-9)


@settings(max_examples=150, deadline=None)
@given(
    spots=st.lists(st.tuples(st.integers(-3, 3), st.integers(-3, 3)), min_size=3, max_size=10),
    twice=st.booleans(),
    flat=st.booleans(),
    seed=st.integers(0, 99),
)
def test_repeated_corners_edges_run_twice_and_corners_in_line(spots, twice, flat, seed):
    outline = tuple((20.0 * x, 0.0 if flat else 20.0 * y) for x, y in spots for _ in range(1 + twice))
    rng = np.random.default_rng(seed)
    bodies = rng.uniform(-100.0, 100.0, (60, 1, 2)) + SQUARE * rng.uniform(0.1, 10.0, (60, 1, 1))
    found, shapes = gaps_mm(bodies, outline), shapely.polygons(bodies)
    line = shapely.distance(shapely.LineString((*outline, outline[0])), shapes)
    np.testing.assert_allclose(found, np.where(inside(outline, bodies[:, 0]), 0.0, line), atol=1e-9)
    # From outside, farther than any pocket: the same as make_valid.
    around = shapely.MultiPoint(outline).convex_hull
    out = ~shapely.intersects(around, shapes)
    expected = shapely.distance(shapely.make_valid(shapely.Polygon(outline)), shapes)
    np.testing.assert_allclose(found[out], expected[out], atol=1e-9)


def test_four_hundred_corners_at_random_are_ready_at_once():
    rng = np.random.default_rng(5)
    outline = tuple(map(tuple, rng.uniform(-20_000.0, 20_000.0, (400, 2)).tolist()))
    began = time.perf_counter()
    ready = safe_outline(outline)
    took = time.perf_counter() - began
    bodies = rng.uniform(-25_000.0, 25_000.0, (162, 1, 2)) + SQUARE * 30.0
    began = time.perf_counter()
    found = gaps_mm(bodies, outline)
    print(f"400 corners: ready in {1e3 * took:.3f} ms, 162 bodies in {1e3 * (time.perf_counter() - began):.3f} ms")
    # The work in it: the ring stays one ring of its own corners; taken apart it would have tens of thousands.
    assert shapely.get_num_geometries(ready) == 1
    assert shapely.get_num_coordinates(ready) == 401
    assert safe_outline(outline) is ready
    line = shapely.distance(shapely.LineString((*outline, outline[0])), shapely.polygons(bodies))
    np.testing.assert_allclose(found, np.where(inside(outline, bodies[:, 0]), 0.0, line), atol=1e-9)
    assert (found > 0.0).any()
