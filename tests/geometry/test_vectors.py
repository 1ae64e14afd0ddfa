"""Lines, slopes and turns against scipy's rotations, numpy's products and hand-worked lines."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given
from scipy.spatial.transform import Rotation

from geometry.mechanics.vectors import (
    NAN,
    NOWHERE,
    ONE,
    ORIGIN,
    RADIAN,
    ZERO,
    Vector,
    backward,
    cross,
    dot,
    line_of,
    minus,
    norm,
    number,
    picked,
    plan_deg,
    plus,
    side_slope_deg,
    slope_deg,
    times,
    turned,
    turned_by,
    where,
)
from tests.mechanics_help import array_of, vector_of

SLOPES, PLANS = st.floats(-89.0, 89.0), st.floats(-179.0, 179.0)


@given(SLOPES, PLANS)
def test_a_line_is_a_turn_about_y_then_about_z(slope: float, plan: float) -> None:
    """Right-hand about y carries x toward −z, so a positive slope; then right-hand about z carries x toward y."""
    expected = Rotation.from_euler("ZY", [plan, slope], degrees=True).apply([1.0, 0.0, 0.0])
    assert array_of(line_of(number(slope), number(plan))) == pytest.approx(expected, abs=1e-12)


def test_a_line_of_a_slope_alone_runs_straight_ahead() -> None:
    """3-4-5: a slope of asin 0.6 falls 3 for every 4 rearward."""
    assert array_of(line_of(number(np.degrees(np.arcsin(0.6))))) == pytest.approx([0.8, 0.0, -0.6], abs=1e-15)


@given(SLOPES, PLANS)
def test_slope_and_plan_are_read_back(slope: float, plan: float) -> None:
    line = line_of(number(slope), number(plan))
    assert slope_deg(line) == pytest.approx(slope, abs=1e-9)
    assert plan_deg(line) == pytest.approx(plan, abs=1e-9)


def test_slope_is_that_of_the_line_however_long() -> None:
    """A run of 12 by 9 in plan is 15; a fall of 8 along it: atan(8/15)."""
    assert slope_deg(vector_of([12.0, 9.0, -8.0])) == pytest.approx(np.degrees(np.arctan(8.0 / 15.0)), abs=1e-12)
    assert plan_deg(vector_of([12.0, 9.0, -8.0])) == pytest.approx(np.degrees(np.arctan(9.0 / 12.0)), abs=1e-12)


@given(st.floats(-80.0, 80.0), st.floats(-80.0, 80.0))
def test_side_view_steepens_a_line_with_plan(slope: float, plan: float) -> None:
    """tan(side) = tan(slope)/cos(plan): 10° with 30° of plan shows as 11.508°."""
    seen = side_slope_deg(line_of(number(slope), number(plan)))
    expected = np.degrees(np.arctan(np.tan(np.radians(slope)) / np.cos(np.radians(plan))))
    assert seen == pytest.approx(expected, abs=1e-9)
    assert side_slope_deg(line_of(number(10.0), number(30.0))) == pytest.approx(11.508, abs=5e-4)


@given(st.floats(-60.0, 60.0), st.tuples(*[st.floats(-1e3, 1e3)] * 3))
def test_turn_is_one_about_the_cross_car_axis(turn: float, vector: tuple[float, float, float]) -> None:
    expected = Rotation.from_euler("y", turn, degrees=True).apply(vector)
    assert array_of(turned(vector_of(vector), number(turn))) == pytest.approx(expected, abs=1e-9)
    cosine, sine = number(np.cos(np.radians(turn))), number(np.sin(np.radians(turn)))
    assert array_of(turned_by(vector_of(vector), cosine, sine)) == pytest.approx(expected, abs=1e-9)


@given(st.floats(-40.0, 40.0), st.floats(-40.0, 40.0))
def test_turning_a_line_adds_to_its_slope(slope: float, turn: float) -> None:
    assert slope_deg(turned(line_of(number(slope)), number(turn))) == pytest.approx(slope + turn, abs=1e-10)


@given(st.integers(0, 2**32 - 1))
def test_products_and_sums_are_numpys(seed: int) -> None:
    draw = np.random.default_rng(seed)
    a, b = draw.normal(size=(2, 7, 3))
    factor = draw.normal(size=7)
    one, other = vector_of(a), vector_of(b)
    assert array_of(cross(one, other)) == pytest.approx(np.cross(a, b), abs=1e-12)
    assert dot(one, other) == pytest.approx(np.einsum("ij,ij->i", a, b), abs=1e-12)
    assert norm(one) == pytest.approx(np.linalg.norm(a, axis=1), rel=1e-14)
    assert array_of(plus(one, other)) == pytest.approx(a + b, abs=1e-15)
    assert array_of(minus(one, other)) == pytest.approx(a - b, abs=1e-15)
    assert array_of(times(factor, one)) == pytest.approx(factor[:, None] * a, abs=1e-15)
    assert array_of(backward(one)) == pytest.approx(-a, abs=0.0)


@given(SLOPES, PLANS)
def test_a_line_followed_the_other_way_slopes_the_other_way(slope: float, plan: float) -> None:
    other_way = backward(line_of(number(slope), number(plan)))
    assert slope_deg(other_way) == pytest.approx(-slope, abs=1e-9)
    assert np.cos(np.radians(plan_deg(other_way) - plan)) == pytest.approx(-1.0, abs=1e-12)


def test_where_takes_each_row_from_its_own() -> None:
    one, other = vector_of([[1.0, 2.0, 3.0], [4.0, 5.0, 6.0]]), vector_of([-1.0, -2.0, -3.0])
    chosen = array_of(where(np.array([True, False]), one, other))
    assert chosen.tolist() == [[1.0, 2.0, 3.0], [-1.0, -2.0, -3.0]]


def test_a_picked_row_keeps_what_is_one_for_all() -> None:
    travel = Vector(np.arange(6.0).reshape(2, 3), np.array([7.0, 8.0]), number(5.0))
    assert [part.tolist() for part in picked(travel, 1)] == [[3.0, 4.0, 5.0], 8.0, 5.0]
    whole = vector_of(np.arange(18.0).reshape(2, 3, 3))
    assert array_of(picked(whole, (1, 2))).tolist() == [15.0, 16.0, 17.0]


def test_numbers_divide_by_nought_without_raising() -> None:
    with np.errstate(all="ignore"):
        assert number(1.0) / number(0.0) == np.inf
        assert np.isnan(number(0.0) / number(0.0))
    assert number(2.5).shape == ()


def test_the_constants() -> None:
    assert np.isnan(NAN)
    assert (ZERO, ONE) == (0.0, 1.0)
    assert array_of(ORIGIN).tolist() == [0.0, 0.0, 0.0]
    assert np.isnan(array_of(NOWHERE)).all()
    assert np.array(180.0) * RADIAN == pytest.approx(3.141592653589793, rel=1e-15)


@pytest.mark.parametrize(
    ("slopes", "plans", "shape"),
    [((), (), ()), ((5,), (), (5,)), ((3, 5), (5,), (3, 5)), ((4, 1), (5,), (4, 5)), ((), (5,), (5,))],
)
def test_rows_broadcast(slopes: tuple[int, ...], plans: tuple[int, ...], shape: tuple[int, ...]) -> None:
    draw = np.random.default_rng(1)
    slope, plan = draw.uniform(-40.0, 40.0, slopes), draw.uniform(-40.0, 40.0, plans)
    line = line_of(slope, plan)
    found = array_of(turned(line, plan))
    assert found.shape == (*shape, 3)
    wide_slope, wide_plan = np.broadcast_to(slope, shape).ravel(), np.broadcast_to(plan, shape).ravel()
    alone = [array_of(turned(line_of(*pair), pair[1])) for pair in zip(wide_slope, wide_plan, strict=True)]
    assert found.reshape(-1, 3) == pytest.approx(np.array(alone), abs=1e-15)
    assert slope_deg(line) == pytest.approx(np.broadcast_to(slope, shape), abs=1e-12)
    assert np.broadcast_to(plan_deg(line), shape) == pytest.approx(np.broadcast_to(plan, shape), abs=1e-12)


def test_a_row_that_is_not_known_leaves_the_others_alone() -> None:
    slope, plan = np.array([3.0, np.nan, -7.0]), np.array([1.0, 2.0, 3.0])
    line = turned(line_of(slope, plan), number(2.0))
    for found in (line.x, line.z, slope_deg(line), side_slope_deg(line), norm(line), dot(line, line)):
        assert np.isnan(found).tolist() == [False, True, False]
    without = turned(line_of(slope[[0, 2]], plan[[0, 2]]), number(2.0))
    assert array_of(line)[[0, 2]] == pytest.approx(array_of(without), abs=1e-15)
