"""The lateral link by rows: the axle's end stays on its sphere, whatever the layout and however long it is made."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from geometry import edited, solve
from geometry.document.entries import variants
from geometry.judge.facts import Facts
from geometry.judge.ways import link_ways
from geometry.mechanics.lateral import centring_change_mm, side_shift
from geometry.mechanics.vectors import ZERO, Vector, apart_mm, number


@pytest.fixture(autouse=True, scope="module")
def quiet():
    with np.errstate(all="ignore"):
        yield


def point(*place):
    return Vector(*(number(part) for part in place))


LEVEL = (point(0.0, 450.0, 300.0), point(0.0, -450.0, 300.0))


@pytest.mark.parametrize(
    ("travel_mm", "printed_mm"), [(25, 0.3473), (50, 1.3900), (75, 3.1304), (100, 5.5728), (150, 12.5880)]
)
def test_level_link_of_900_mm(travel_mm, printed_mm):
    # Worked by hand as 900 − sqrt(900² − t²); the axle comes toward the frame's bolt, here to the right, either way.
    for travel in (travel_mm, -travel_mm):
        assert side_shift(*LEVEL, number(travel), ZERO) == pytest.approx(printed_mm, abs=5e-5)


@pytest.mark.parametrize(("drop_mm", "printed_mm"), [(50, 1.3878), (100, 5.5385), (150, 12.4144)])
def test_longer_link_of_900_mm_that_centres_a_lifted_axle(drop_mm, printed_mm):
    # Worked by hand as sqrt(900² + t²) − 900.
    longer = centring_change_mm(*LEVEL, number(-drop_mm), ZERO)
    assert longer == pytest.approx(printed_mm, abs=5e-5)
    assert side_shift(*LEVEL, number(-drop_mm), ZERO, longer) == pytest.approx(0.0, abs=1e-12)


def test_mirror_image_shifts_the_other_way():
    travel = np.linspace(-150.0, 150.0, 7)
    for longer in (ZERO, number(4.0)):
        shift = side_shift(*LEVEL, travel, ZERO, longer)
        np.testing.assert_array_equal(side_shift(*LEVEL[::-1], travel, ZERO, longer), -shift)


def test_no_travel_and_no_change_is_no_shift_exactly():
    sloping = (point(12.3, 401.7, 388.1), point(-4.0, -377.9, 301.3))
    assert side_shift(*sloping, ZERO, ZERO) == 0.0
    assert centring_change_mm(*sloping, ZERO, ZERO) == 0.0


coordinate = st.floats(-200.0, 200.0)


@settings(max_examples=200, deadline=None)
@given(
    ahead=coordinate,
    across=st.floats(300.0, 1200.0),
    above=coordinate,
    right=st.booleans(),
    travel=st.floats(-90.0, 90.0),
    dx=st.floats(-30.0, 30.0),
    longer=st.just(0.0) | st.floats(-80.0, 80.0),
)
def test_end_stays_at_the_links_length(ahead, across, above, right, travel, dx, longer):
    """Against root finding on the distance between the bolts in space (scipy)."""
    sense = 1.0 if right else -1.0
    frame, axle = point(100.0, -50.0 * sense, 400.0), point(100.0 + ahead, (across - 50.0) * sense, 400.0 + above)
    length = apart_mm(frame, axle)
    assert length == pytest.approx(np.sqrt(ahead**2 + across**2 + above**2), rel=1e-14)
    found = side_shift(frame, axle, number(travel), number(dx), number(longer))

    def miss(shift):
        moved = np.add(axle, (dx, sense * shift, travel))
        return np.linalg.norm(moved - frame) - (length + longer)

    if miss(-across) > 0.0:  # even straight above or below the bolt it is too far off
        assert np.isnan(found)
        return
    expected = sense * brentq(miss, -across, 700.0, xtol=1e-12, rtol=1e-14)
    assert found == pytest.approx(expected, abs=1e-6)
    centring = centring_change_mm(frame, axle, number(travel), number(dx))
    assert side_shift(frame, axle, number(travel), number(dx), centring) == pytest.approx(0.0, abs=1e-9)


def test_beyond_the_upright_link_is_nan_not_invented():
    found = side_shift(*LEVEL, np.array([-901.0, -899.0, 0.0, 899.0, 901.0]), ZERO)
    assert np.isfinite(found).tolist() == [False, True, True, True, False]


def test_axle_moving_fore_and_aft_counts_row_by_row():
    both = side_shift(*LEVEL, number(40.0), np.array([0.0, 30.0]))
    assert both == pytest.approx([900 - np.sqrt(900**2 - 40**2), 900 - np.sqrt(900**2 - 50**2)], abs=1e-9)


def test_link_made_longer_or_shorter_shifts_the_axle_by_it_where_it_lies_level():
    # The axle's bolt lies to the left of the frame's: a longer link pushes the axle to the left.
    found = side_shift(*LEVEL, ZERO, ZERO, np.array([-10.0, 0.0, 10.0, -900.0, -1000.0]))
    np.testing.assert_allclose(found, [10.0, 0.0, -10.0, np.nan, np.nan], atol=1e-12)


def test_impossible_links_are_nan_in_their_own_row():
    frame = Vector(number(0.0), np.array([450.0, 100.0, 450.0, 450.0, 450.0]), number(300.0))
    axle = Vector(number(0.0), np.array([-450.0, 100.0, np.nan, -np.inf, -450.0]), number(250.0))
    fine = [True, False, False, False, True]
    assert np.isfinite(side_shift(frame, axle, number(20.0), ZERO)).tolist() == fine
    assert np.isfinite(side_shift(frame, axle, ZERO, ZERO)).tolist() == fine
    assert np.isfinite(centring_change_mm(frame, axle, number(20.0), ZERO)).tolist() == fine
    for unknown in ((np.nan, 0.0, 0.0), (0.0, np.nan, 0.0), (0.0, 0.0, np.nan)):
        assert np.isnan(side_shift(*LEVEL, *map(number, unknown)))


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(*[coordinate] * 6, coordinate, coordinate, st.floats(-50.0, 50.0)), min_size=1, max_size=4))
def test_rows_are_what_each_is_alone(rows):
    columns = np.array(rows).T
    frame, axle, (dz, dx, longer) = Vector(*columns[:3]), Vector(*columns[3:6]), columns[6:]
    together, centring = side_shift(frame, axle, dz, dx, longer), centring_change_mm(frame, axle, dz, dx)
    for i in range(len(rows)):
        own = (Vector(*(part[i] for part in frame)), Vector(*(part[i] for part in axle)), dz[i], dx[i])
        np.testing.assert_allclose(together[i], side_shift(*own, longer[i]), rtol=0.0, atol=1e-9)
        np.testing.assert_allclose(centring[i], centring_change_mm(*own), rtol=0.0, atol=1e-9)


def test_a_link_made_longer_moves_the_axle_without_any_lift(one_piece):
    """Level, bolted to the frame on the right: the axle goes to the left by all that the link gains."""
    link = {"frame_point_mm": (2600.0, 450.0, 390.0), "axle_point_mm": (2600.0, -450.0, 390.0)}
    build = edited(one_piece, {"lateral_link": link})
    for longer in (0.0, 12.0, -7.0):
        picture = solve(edited(build, {"plan.lateral_link_longer_mm": longer})).picture
        assert picture.axle_centre_mm == pytest.approx((2600.0, -longer, 390.0), abs=1e-9)


@pytest.mark.parametrize(("unit", "step"), [("millimetre", 1.0), ("inch", 25.4 / 16.0)])
def test_a_link_is_made_longer_in_steps_that_can_be_set(one_piece, unit, step):
    """To the nearest millimetre or sixteenth of what centres the axle after the lift."""
    link = {"frame_point_mm": (2600.0, 450.0, 560.0), "axle_point_mm": (2600.0, -450.0, 390.0)}
    lift = {"plan.rear_lift_mm": 60.0, "plan.front_lift_mm": 60.0}
    facts = Facts(variants(edited(one_piece, {"lateral_link": link, "display.length": unit, **lift})))
    ends, shift = [point(*link[f"{end}_point_mm"]) for end in ("frame", "axle")], facts.ride.shift
    [way] = link_ways(facts)
    [longer] = way.changes["plan.lateral_link_longer_mm"]
    assert abs(longer - centring_change_mm(*ends, shift.z, shift.x)) <= step / 2.0 + 1e-9
    assert longer / step == pytest.approx(round(longer / step), abs=1e-9)
    assert abs(longer) > 5.0


def test_at_ride_height_a_link_half_measured_moves_nothing(one_piece):
    build = edited(one_piece, {"lateral_link": {"frame_point_mm": (2600.0, 450.0, 390.0)}})
    assert solve(build).joints == solve(one_piece).joints
    assert solve(build).picture.axle_centre_mm == (2600.0, 0.0, 390.0)
    lifted = edited(build, {"plan.rear_lift_mm": 30.0, "plan.front_lift_mm": 30.0})
    assert [joint.operating_deg for joint in solve(lifted).joints] == [None, None]
