"""Directions, slopes and turns against scipy's rotations and hand-worked lines."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given
from scipy.spatial.transform import Rotation

from geometry.frames import cross, direction, dot, norm, plan_deg, side_slope_deg, slope_deg, turned_in_side_view, unit

SLOPES, PLANS = st.floats(-89.0, 89.0), st.floats(-179.0, 179.0)


@given(SLOPES, PLANS)
def test_direction_is_a_turn_about_y_then_about_z(slope: float, plan: float) -> None:
    """Right-hand about y carries x toward −z, so a positive slope; then right-hand about z carries x toward y."""
    turned = Rotation.from_euler("ZY", [plan, slope], degrees=True).apply([1.0, 0.0, 0.0])
    assert direction(slope, plan) == pytest.approx(turned, abs=1e-12)


@given(SLOPES, PLANS)
def test_slope_and_plan_are_read_back(slope: float, plan: float) -> None:
    line = direction(slope, plan)
    assert slope_deg(line) == pytest.approx(slope, abs=1e-9)
    assert plan_deg(line) == pytest.approx(plan, abs=1e-9)


def test_side_view_steepens_a_line_with_plan() -> None:
    """tan(side) = tan(slope)/cos(plan): 10° with 30° of plan shows as 11.508°."""
    assert side_slope_deg(direction(10.0, 30.0)) == pytest.approx(11.508, abs=5e-4)
    assert side_slope_deg(direction(10.0)) == pytest.approx(10.0, abs=1e-12)


@given(st.floats(-60.0, 60.0), st.tuples(*[st.floats(-1e3, 1e3)] * 3))
def test_turn_in_side_view_is_a_turn_about_the_cross_car_axis(turn: float, vector: tuple[float, float, float]) -> None:
    expected = Rotation.from_euler("y", turn, degrees=True).apply(vector)
    assert turned_in_side_view(np.array(vector), turn) == pytest.approx(expected, abs=1e-9)


@given(st.floats(-40.0, 40.0), st.floats(-40.0, 40.0))
def test_turning_a_line_adds_to_its_slope(slope: float, turn: float) -> None:
    assert slope_deg(turned_in_side_view(direction(slope), turn)) == pytest.approx(slope + turn, abs=1e-10)


@given(st.integers(0, 2**32 - 1))
def test_products_are_numpys(seed: int) -> None:
    a, b = np.random.default_rng(seed).normal(size=(2, 7, 3))
    assert cross(a, b) == pytest.approx(np.cross(a, b), abs=1e-12)
    assert dot(a, b) == pytest.approx(np.einsum("ij,ij->i", a, b), abs=1e-12)
    assert norm(a) == pytest.approx(np.linalg.norm(a, axis=1), rel=1e-14)
    assert norm(unit(a)) == pytest.approx(1.0, rel=1e-14)


def test_a_vector_without_length_has_no_direction() -> None:
    assert np.isnan(unit(np.zeros((1, 3)))).all()


def test_rows_broadcast() -> None:
    assert direction(np.zeros((4, 2)), 3.0).shape == (4, 2, 3)
    assert turned_in_side_view(np.ones(3), np.zeros(5)).shape == (5, 3)
