"""Turning a height curve round: its ends, its dead points, and rows that leave one another alone."""

from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.mechanics.root import Linkage, followed, rise_ends_mm, root
from geometry.mechanics.vectors import number


class Size(NamedTuple):
    size: np.ndarray


@pytest.fixture(autouse=True, scope="module")
def quiet():
    with np.errstate(all="ignore"):
        yield


def linkage_of(curve, low, high, size=100.0, kept=True):
    return Linkage(
        Size(np.float64(size) if np.ndim(size) == 0 else np.asarray(size)),
        lambda parts, x: tuple(parts.size * part for part in curve(x)),
        lambda parts, start: (low + 0.0 * start + 0.0 * parts.size, high + 0.0 * start + 0.0 * parts.size),
        lambda _, __, x: kept & (x >= low) & (x <= high),
    )


def cosine(x):
    return np.cos(x), -np.sin(x)


def upright(x):
    """A square root stands upright at its end."""
    return np.sqrt(np.maximum(x, 0.0)), 0.5 / np.sqrt(np.maximum(x, 0.0))


both_ways = pytest.mark.parametrize("kept", [True, False], ids=["quick", "careful"])


@both_ways
def test_the_stretch_ends_at_both_turning_points(kept):
    # A cosine turns back at 0 and pi: known without any computing.
    linkage = linkage_of(cosine, -2.0, 5.0, kept=kept)
    assert np.array(rise_ends_mm(linkage, number(1.0))) + 100.0 * np.cos(1.0) == pytest.approx(
        (-100.0, 100.0), abs=1e-8
    )
    heights = np.array([-101.0, -99.999999, -50.0, 0.0, 99.999999, 101.0])
    np.testing.assert_allclose(
        root(linkage, number(1.0), heights),
        np.arccos(np.where(np.abs(heights) > 100.0, np.nan, heights / 100.0)),
        atol=1e-7,
    )


@both_ways
def test_an_upright_end_is_reached(kept):
    linkage = linkage_of(upright, 0.0, 4.0, size=1.0, kept=kept)
    heights = np.array([0.0, 1e-4, 0.01, 1.0, 2.0, 2.001])
    expected = np.where(heights <= 2.0, heights**2, np.nan)
    np.testing.assert_allclose(root(linkage, number(3.0), heights), expected, rtol=0.0, atol=2e-9)
    assert rise_ends_mm(linkage, number(3.0)) == pytest.approx((-np.sqrt(3.0), 2.0 - np.sqrt(3.0)), abs=1e-9)


def test_no_stretch_where_the_height_stands_still_or_runs_the_other_way():
    linkage = linkage_of(lambda x: (x * x, 2.0 * x), -1.0, 1.0)
    assert np.isnan(root(linkage, number(0.0), number(0.5)))
    assert np.isnan(rise_ends_mm(linkage, number(0.0))).all()
    for sense in (1.0, -1.0):
        assert np.isnan(root(linkage, number(0.0), number(0.5), sense))
        assert np.isnan(rise_ends_mm(linkage, number(0.0), sense)).all()
    assert root(linkage, number(0.5), number(25.0), 1.0) == pytest.approx(0.5, abs=1e-12)
    assert np.isnan(root(linkage, number(0.5), number(25.0), -1.0))
    assert np.isnan(rise_ends_mm(linkage, number(0.5), -1.0)).all()


def test_a_start_outside_the_limits_finds_nothing():
    linkage = linkage_of(cosine, 0.0, 2.0)
    assert np.isnan(root(linkage, number(2.5), number(0.0)))
    assert np.isnan(rise_ends_mm(linkage, number(2.5))).all()


def test_a_dip_is_not_stepped_over():
    """Heights rise, dip and rise again: what lies beyond the dip is not on the stretch."""
    linkage = linkage_of(lambda x: (x + 1.3 * np.sin(x), 1.0 + 1.3 * np.cos(x)), -20.0, 20.0, size=1.0)
    top = np.arccos(-1.0 / 1.3)
    lowest, highest = rise_ends_mm(linkage, number(0.0))
    assert highest == pytest.approx(top + 1.3 * np.sin(top), abs=1e-8)
    assert lowest == pytest.approx(-highest, abs=1e-8)
    rises = np.linspace(-15.0, 15.0, 301)
    assert (np.isfinite(followed(linkage, number(0.0), rises)) == (np.abs(rises) <= highest)).all()


@pytest.mark.parametrize("width", [0.02, 0.05])
def test_a_narrow_dip_between_two_nodes_is_looked_for(width):
    """Wherever between the nodes it lies, so that one of them or both stand on its flanks, or neither."""
    for middle in np.linspace(2.5, 4.5, 41):

        def dipping(x, middle=middle):
            step = np.tanh((x - middle) / width)
            return x - 8.0 * width * step, 1.0 - 8.0 * (1.0 - step * step)

        linkage = linkage_of(dipping, 0.0, 10.0, size=1.0, kept=False)
        start, fine = number(0.5), np.linspace(middle - 0.2, middle + 0.2, 20001)
        heights = dipping(fine)[0]
        expected = heights[np.flatnonzero(np.diff(heights) < 0.0)[0]] - dipping(start)[0]
        assert rise_ends_mm(linkage, start)[1] == pytest.approx(expected, abs=1e-6)
        assert np.isnan(root(linkage, start, number(5.0)))


@both_ways
def test_solving_stops_when_rounding_forbids_the_last_digits(kept):
    # At heights of 1e12 mm no double meets a nanometre: the steps run out and the answer is good to rounding.
    linkage = linkage_of(lambda x: (np.sin(x), np.cos(x)), -1.0, 1.0, size=1e12, kept=kept)
    heights = 1e12 * np.linspace(-0.7, 0.8, 100)
    np.testing.assert_allclose(root(linkage, number(0.1), heights), np.arcsin(heights / 1e12), rtol=1e-14, atol=1e-15)


def test_no_rise_is_the_start_itself_exactly():
    starts = np.linspace(0.2, 2.9, 40)
    linkage = linkage_of(cosine, 0.0, np.pi, size=np.linspace(500.0, 900.0, 40))
    assert (followed(linkage, starts, np.zeros((3, 1))) == starts).all()


@both_ways
@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.floats(50.0, 900.0), st.floats(0.1, 3.0)), min_size=1, max_size=5), st.integers(1, 4))
def test_rows_are_what_each_is_alone(kept, rows, positions):
    sizes, starts = np.array(rows).T
    rises = np.linspace(-1.2, 0.9, positions)[:, None] * sizes
    together = followed(linkage_of(cosine, 0.0, np.pi, sizes, kept), starts, rises)
    assert together.shape == rises.shape
    ends = np.array(rise_ends_mm(linkage_of(cosine, 0.0, np.pi, sizes, kept), starts))
    for i, (size, start) in enumerate(rows):
        own = linkage_of(cosine, 0.0, np.pi, size, kept)
        np.testing.assert_allclose(rise_ends_mm(own, number(start)), ends[:, i], rtol=0.0, atol=1e-9)
        for j in range(positions):
            alone = followed(own, number(start), number(rises[j, i]))
            np.testing.assert_allclose(together[j, i], alone, rtol=0.0, atol=1e-9)
            expected = np.cos(start) + rises[j, i] / size
            if abs(expected) < 1.0 - 1e-9:
                assert alone == pytest.approx(np.arccos(expected), abs=1e-9)
            elif abs(expected) > 1.0 + 1e-9:
                assert np.isnan(alone)


def test_unknown_rows_stay_unknown():
    starts, heights = np.array([1.0, np.nan, 1.0, 1.0]), np.array([0.0, 0.0, np.nan, 500.0])
    found = root(linkage_of(cosine, 0.0, np.pi), starts, heights)
    assert np.isnan(found).tolist() == [False, True, True, True]
    assert np.isnan(rise_ends_mm(linkage_of(cosine, 0.0, np.pi), starts)[0]).tolist() == [False, True, False, False]
    assert root(linkage_of(cosine, 0.0, np.pi), np.empty(0), np.empty(0)).shape == (0,)
