"""Link suspension: limits, symmetries and refusals of the side-view four-bar."""

from dataclasses import replace

import numpy as np
import pytest

from geometry import links as module
from geometry.links import Links, anti_squat_percent, axle_sweep, instant_centre, travel_reach_mm

USUAL = Links((1500.0, 400.0), (2300.0, 300.0), (1700.0, 600.0), (2250.0, 560.0))
RIDE = (2350.0, 420.0)
PARALLEL = Links((0.0, 300.0), (500.0, 300.0), (0.0, 500.0), (500.0, 500.0))


def test_parallel_links_carry_the_axle_on_one_links_arc_without_turning():
    travel = np.linspace(-400.0, 400.0, 81)
    path = axle_sweep(PARALLEL, (530.0, 410.0), travel)
    assert path.reachable.all()
    np.testing.assert_allclose(path.dx_mm, np.sqrt(500.0**2 - travel**2) - 500.0, rtol=0.0, atol=1e-9)
    np.testing.assert_allclose(path.turn_deg, 0.0, atol=1e-10)
    assert travel_reach_mm(PARALLEL, (530.0, 410.0)) == pytest.approx((-500.0, 500.0), abs=1e-6)


def test_parallel_links_stop_where_all_bolts_come_into_line():
    """There the next step is anybody's guess: on as a parallelogram, or crossed."""
    slanted = Links((0.0, 300.0), (500.0, 300.0), (100.0, 500.0), (600.0, 500.0))
    droop, bump = travel_reach_mm(slanted, (550.0, 400.0))
    assert bump == pytest.approx(500.0 * 2.0 / np.sqrt(5.0), abs=2e-5)
    assert droop == pytest.approx(-500.0, abs=1e-6)


def test_links_from_one_frame_bolt_carry_the_axle_round_it():
    """Both links on one bolt are a single arm: the axle turns by the arm's angle."""
    arm = Links((0.0, 400.0), (600.0, 350.0), (0.0, 400.0), (580.0, 520.0))
    path = axle_sweep(arm, (600.0, 400.0), [-150.0, 0.0, 150.0])
    angle = np.arcsin(150.0 / 600.0)
    np.testing.assert_allclose(path.turn_deg, np.degrees([angle, 0.0, -angle]), atol=1e-9)
    np.testing.assert_allclose(path.dx_mm, 600.0 * np.array([np.cos(angle) - 1.0, 0.0, np.cos(angle) - 1.0]), atol=1e-9)
    assert travel_reach_mm(arm, (600.0, 400.0)) == pytest.approx((-600.0, 600.0), abs=1e-6)


def test_no_travel_is_no_displacement_exactly():
    path = axle_sweep(USUAL, RIDE, [0.0, 30.0, -0.0, -30.0])
    assert path.dx_mm[[0, 2]].tolist() == path.dz_mm[[0, 2]].tolist() == path.turn_deg[[0, 2]].tolist() == [0.0, 0.0]
    assert path.lower_axle_mm[0] == pytest.approx(USUAL.lower_axle_mm, abs=1e-9)
    assert path.upper_axle_mm[0] == pytest.approx(USUAL.upper_axle_mm, abs=1e-9)


def test_travel_is_met_exactly_and_reported_as_asked():
    travel = np.linspace(-100.0, 100.0, 201)
    path = axle_sweep(USUAL, RIDE, travel)
    assert path.reachable.all()
    assert path.first_unreachable_mm is None
    np.testing.assert_array_equal(path.dz_mm, travel)
    np.testing.assert_array_equal(path.travel_mm, travel)


def mirrored(point):
    return (4000.0 - point[0], point[1])


def test_mirror_image_moves_and_turns_the_other_way():
    other = Links(
        *(
            mirrored(end)
            for end in (USUAL.lower_frame_mm, USUAL.lower_axle_mm, USUAL.upper_frame_mm, USUAL.upper_axle_mm)
        )
    )
    travel = np.linspace(-400.0, 900.0, 53)
    path, image = axle_sweep(USUAL, RIDE, travel), axle_sweep(other, mirrored(RIDE), travel)
    np.testing.assert_array_equal(path.reachable, image.reachable)
    np.testing.assert_allclose(image.dx_mm, -path.dx_mm, atol=1e-8)
    np.testing.assert_allclose(image.turn_deg, -path.turn_deg, atol=1e-8)


def test_naming_the_links_the_other_way_round_changes_nothing():
    other = Links(USUAL.upper_frame_mm, USUAL.upper_axle_mm, USUAL.lower_frame_mm, USUAL.lower_axle_mm)
    travel = np.linspace(-120.0, 120.0, 25)
    path, same = axle_sweep(USUAL, RIDE, travel), axle_sweep(other, RIDE, travel)
    np.testing.assert_allclose(same.dx_mm, path.dx_mm, atol=1e-8)
    np.testing.assert_allclose(same.turn_deg, path.turn_deg, atol=1e-9)
    np.testing.assert_allclose(same.upper_axle_mm, path.lower_axle_mm, atol=1e-8)


def test_sweep_ends_at_the_links_stop():
    droop, bump = travel_reach_mm(USUAL, RIDE)
    assert droop < -100.0
    assert bump > 100.0
    path = axle_sweep(USUAL, RIDE, [droop - 1e-3, droop + 1e-3, 0.0, bump - 1e-3, bump + 1e-3])
    assert path.reachable.tolist() == [False, True, True, True, False]
    assert path.first_unreachable_droop_mm == droop - 1e-3
    assert path.first_unreachable_bump_mm == bump + 1e-3
    for values in (path.dx_mm, path.dz_mm, path.turn_deg, path.lower_axle_mm[:, 0], path.upper_axle_mm[:, 1]):
        assert np.isfinite(values).tolist() == path.reachable.tolist()


def test_axle_at_the_top_of_its_arc_has_nowhere_to_go():
    """A level parallel pair turned upright: the axle's height stands still there."""
    upright = Links((0.0, 0.0), (0.0, 500.0), (200.0, 0.0), (200.0, 500.0))
    rigged = replace(upright, lower_axle_mm=(500.0 * np.cos(np.pi / 2.0), 500.0))
    path = axle_sweep(rigged, (100.0, 500.0), [0.0, 10.0])
    droop, bump = travel_reach_mm(rigged, (100.0, 500.0))
    assert bump == pytest.approx(0.0, abs=1e-9)
    assert not path.reachable[1]
    # All bolts come into line when the links lie level; next to it sqrt(1e-16) of a metre is what rounding leaves.
    assert droop == pytest.approx(-500.0, abs=2e-5)


def test_height_that_stands_still_ends_the_path_at_once(monkeypatch):
    monkeypatch.setattr(module, "find_run", lambda *_: None)
    path = axle_sweep(USUAL, RIDE, [0.0, 10.0])
    assert not path.reachable.any()
    assert np.isnan(path.dx_mm).all()
    assert travel_reach_mm(USUAL, RIDE) == (0.0, 0.0)


def test_parallel_links_meet_nowhere():
    assert instant_centre(PARALLEL) is None


def test_anti_squat_of_parallel_links_is_their_slope():
    # By hand: links rising forward at 1 in 10 carry l/h tenths; level links none.
    rising = Links((0.0, 350.0), (500.0, 300.0), (0.0, 550.0), (500.0, 500.0))
    assert anti_squat_percent(rising, 520.0, 2500.0, 500.0) == pytest.approx(50.0, rel=1e-12)
    assert anti_squat_percent(PARALLEL, 520.0, 2500.0, 500.0) == pytest.approx(0.0, abs=1e-12)


def test_anti_squat_counts_heights_from_the_ground():
    high = Links(
        *(
            (x, z + 123.0)
            for x, z in (USUAL.lower_frame_mm, USUAL.lower_axle_mm, USUAL.upper_frame_mm, USUAL.upper_axle_mm)
        )
    )
    expected = anti_squat_percent(USUAL, 2350.0, 2350.0, 600.0)
    assert anti_squat_percent(high, 2350.0, 2350.0, 600.0, 123.0) == pytest.approx(expected, rel=1e-12)


def test_no_anti_squat_figure_with_the_instant_centre_over_the_contact():
    crossed = Links((1.0, 1.0), (3.0, 3.0), (1.0, 3.0), (3.0, 1.0))
    assert instant_centre(crossed) == (2.0, 2.0)
    assert anti_squat_percent(crossed, 2.0, 2500.0, 600.0) is None


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"lower_frame_mm": (np.nan, 0.0)}, "finite"),
        ({"lower_axle_mm": USUAL.lower_frame_mm}, "lower_frame_mm and lower_axle_mm are the same point"),
        ({"upper_axle_mm": USUAL.upper_frame_mm}, "upper_frame_mm and upper_axle_mm are the same point"),
        ({"upper_axle_mm": USUAL.lower_axle_mm}, "lower_axle_mm and upper_axle_mm are the same point"),
        ({"upper_frame_mm": (2150.0, 1080.0)}, "lie in one line"),
        ({"upper_frame_mm": (2150.0 + 1e-5, 1080.0)}, "lie in one line"),
    ],
)
def test_impossible_links_are_refused_in_a_sentence(change, says):
    with pytest.raises(ValueError, match=says):
        replace(USUAL, **change)


def test_impossible_questions_are_refused_in_a_sentence():
    with pytest.raises(ValueError, match="centre_mm must be finite"):
        axle_sweep(USUAL, (np.inf, 0.0), [0.0])
    with pytest.raises(ValueError, match="wheelbase_mm must be more than nil, but is 0"):
        anti_squat_percent(USUAL, 2350.0, 0.0, 600.0)
    with pytest.raises(ValueError, match="mass_height_mm must be more than nil, but is -1"):
        anti_squat_percent(USUAL, 2350.0, 2350.0, -1.0)
