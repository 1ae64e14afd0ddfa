"""The lateral link: the axle's end stays on its sphere, whatever the layout."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from geometry.lateral import LateralLink, side_shift

LEVEL = LateralLink((0.0, 450.0, 300.0), (0.0, -450.0, 300.0))


@pytest.mark.parametrize(
    ("travel_mm", "printed_mm"), [(25, 0.3473), (50, 1.3900), (75, 3.1304), (100, 5.5728), (150, 12.5880)]
)
def test_level_link_of_900_mm(travel_mm, printed_mm):
    # Worked by hand as 900 − sqrt(900² − t²); the axle comes toward the frame's bolt, here to the right, either way.
    for travel in (travel_mm, -travel_mm):
        shift = side_shift(LEVEL, [travel]).shift_mm
        assert shift == pytest.approx([printed_mm], abs=5e-5)


def test_mirror_image_shifts_the_other_way():
    other = LateralLink((0.0, -450.0, 300.0), (0.0, 450.0, 300.0))
    travel = np.linspace(-150.0, 150.0, 7)
    np.testing.assert_array_equal(side_shift(other, travel).shift_mm, -side_shift(LEVEL, travel).shift_mm)


def test_no_travel_is_no_shift_exactly():
    sloping = LateralLink((12.3, 401.7, 388.1), (-4.0, -377.9, 301.3))
    assert side_shift(sloping, 0.0).shift_mm.tolist() == [0.0]


coordinate = st.floats(-200.0, 200.0)


@settings(max_examples=200, deadline=None)
@given(
    ahead=coordinate,
    across=st.floats(300.0, 1200.0),
    above=coordinate,
    right=st.booleans(),
    travel=st.floats(-90.0, 90.0),
    dx=st.floats(-30.0, 30.0),
)
def test_end_stays_at_the_links_length(ahead, across, above, right, travel, dx):
    """Against root finding on the distance between the bolts in space (scipy)."""
    sense = 1.0 if right else -1.0
    link = LateralLink((100.0, -50.0 * sense, 400.0), (100.0 + ahead, (across - 50.0) * sense, 400.0 + above))
    assert link.length_mm == pytest.approx(np.sqrt(ahead**2 + across**2 + above**2), rel=1e-14)
    found = side_shift(link, [travel], dx)

    def miss(shift):
        moved = np.add(link.axle_point_mm, (dx, sense * shift, travel))
        return np.linalg.norm(moved - link.frame_point_mm) - link.length_mm

    if miss(-across) > 0.0:  # even straight above or below the bolt it is too far off
        assert not found.reachable[0]
        assert np.isnan(found.shift_mm[0])
        return
    expected = sense * brentq(miss, -across, 400.0, xtol=1e-12, rtol=1e-14)
    assert found.reachable[0]
    assert found.shift_mm[0] == pytest.approx(expected, abs=1e-6)


def test_beyond_the_upright_link_is_unreachable_not_invented():
    found = side_shift(LEVEL, [-901.0, -899.0, 0.0, 899.0, 901.0])
    assert found.reachable.tolist() == [False, True, True, True, False]
    assert np.isnan(found.shift_mm[[0, -1]]).all()


def test_axle_moving_fore_and_aft_counts_row_by_row():
    both = side_shift(LEVEL, [40.0, 40.0], [0.0, 30.0]).shift_mm
    assert both == pytest.approx([900 - np.sqrt(900**2 - 40**2), 900 - np.sqrt(900**2 - 50**2)], abs=1e-9)


@pytest.mark.parametrize(
    ("frame", "axle", "says"),
    [
        ((0.0, 100.0, 300.0), (50.0, 100.0, 200.0), "same y"),
        ((0.0, np.nan, 300.0), (0.0, -450.0, 300.0), "finite"),
        ((0.0, 450.0, 300.0), (0.0, -np.inf, 300.0), "finite"),
    ],
)
def test_impossible_links_are_refused_in_a_sentence(frame, axle, says):
    with pytest.raises(ValueError, match=says):
        LateralLink(frame, axle)
