"""Link suspensions by rows: limits and symmetries of the side-view four-bar, and rows that leave one another alone."""

import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.mechanics.links import FourBar, anti_squat_percent, axle_path, four_bar, instant_centre, travel_reach_mm
from geometry.mechanics.vectors import number


@pytest.fixture(autouse=True, scope="module")
def quiet():
    with np.errstate(all="ignore"):
        yield


def bar_of(*points):
    """Lower frame, lower axle, upper frame, upper axle, axle centre."""
    return four_bar(*((number(x), number(z)) for x, z in points))


def percent(bar, contact, wheelbase, height, ground=0.0):
    return anti_squat_percent(bar, number(contact), number(wheelbase), number(height), number(ground))


USUAL = bar_of((1500.0, 400.0), (2300.0, 300.0), (1700.0, 600.0), (2250.0, 560.0), (2350.0, 420.0))
PARALLEL = bar_of((0.0, 300.0), (500.0, 300.0), (0.0, 500.0), (500.0, 500.0), (530.0, 410.0))


def test_parallel_links_carry_the_axle_on_one_links_arc_without_turning():
    travel = np.linspace(-400.0, 400.0, 81)
    path = axle_path(PARALLEL, travel)
    np.testing.assert_allclose(path.dx_mm, np.sqrt(500.0**2 - travel**2) - 500.0, rtol=0.0, atol=1e-9)
    np.testing.assert_allclose(path.turn_deg, 0.0, atol=1e-10)
    assert travel_reach_mm(PARALLEL) == pytest.approx((-500.0, 500.0), abs=1e-6)


def test_parallel_links_stop_where_all_bolts_come_into_line():
    """There the next step is anybody's guess: on as a parallelogram, or crossed."""
    slanted = bar_of((0.0, 300.0), (500.0, 300.0), (100.0, 500.0), (600.0, 500.0), (550.0, 400.0))
    droop, bump = travel_reach_mm(slanted)
    assert bump == pytest.approx(500.0 * 2.0 / np.sqrt(5.0), abs=2e-5)
    assert droop == pytest.approx(-500.0, abs=1e-6)


def test_links_from_one_frame_bolt_carry_the_axle_round_it():
    """Both links on one bolt are a single arm: the axle turns by the arm's angle."""
    arm = bar_of((0.0, 400.0), (600.0, 350.0), (0.0, 400.0), (580.0, 520.0), (600.0, 400.0))
    path = axle_path(arm, np.array([-150.0, 0.0, 150.0]))
    angle = np.arcsin(150.0 / 600.0)
    np.testing.assert_allclose(path.turn_deg, np.degrees([angle, 0.0, -angle]), atol=1e-9)
    np.testing.assert_allclose(path.dx_mm, 600.0 * np.array([np.cos(angle) - 1.0, 0.0, np.cos(angle) - 1.0]), atol=1e-9)
    assert travel_reach_mm(arm) == pytest.approx((-600.0, 600.0), abs=1e-6)


def test_no_travel_is_no_displacement_exactly():
    path = axle_path(USUAL, np.array([0.0, 30.0, -0.0, -30.0]))
    assert path.dx_mm[[0, 2]].tolist() == path.dz_mm[[0, 2]].tolist() == path.turn_deg[[0, 2]].tolist() == [0.0, 0.0]
    assert (path.lower_x[0], path.lower_z[0]) == pytest.approx((2300.0, 300.0), abs=1e-9)
    assert (path.upper_x[0], path.upper_z[0]) == pytest.approx((2250.0, 560.0), abs=1e-9)
    assert axle_path(USUAL, number(0.0))[:3] == (0.0, 0.0, 0.0)


def test_travel_is_met_exactly_and_reported_as_asked():
    travel = np.linspace(-100.0, 100.0, 201)
    np.testing.assert_array_equal(axle_path(USUAL, travel).dz_mm, travel)


def test_mirror_image_moves_and_turns_the_other_way():
    other = FourBar(*(4000.0 - part if name.endswith("_x") else part for name, part in USUAL._asdict().items()))
    travel = np.linspace(-400.0, 900.0, 53)
    path, image = axle_path(USUAL, travel), axle_path(other, travel)
    assert np.isnan(path.dx_mm).any()
    np.testing.assert_allclose(image.dx_mm, -path.dx_mm, atol=1e-8)
    np.testing.assert_allclose(image.turn_deg, -path.turn_deg, atol=1e-8)


def test_naming_the_links_the_other_way_round_changes_nothing():
    other = FourBar(*USUAL[4:8], *USUAL[:4], *USUAL[8:])
    travel = np.linspace(-120.0, 120.0, 25)
    path, same = axle_path(USUAL, travel), axle_path(other, travel)
    np.testing.assert_allclose(same.dx_mm, path.dx_mm, atol=1e-8)
    np.testing.assert_allclose(same.turn_deg, path.turn_deg, atol=1e-9)
    np.testing.assert_allclose((same.upper_x, same.upper_z), (path.lower_x, path.lower_z), atol=1e-8)


def test_path_ends_at_the_links_stop():
    droop, bump = travel_reach_mm(USUAL)
    assert droop < -100.0
    assert bump > 100.0
    for values in axle_path(USUAL, np.array([droop - 1e-3, droop + 1e-3, 0.0, bump - 1e-3, bump + 1e-3])):
        assert np.isfinite(values).tolist() == [False, True, True, True, False]


def ends_by_steps(points):
    """Lowest and highest rise of the axle, mm: the lower link turned step by step until a circle no longer meets the
    other or the axle turns back, worked with complex numbers beside the program."""
    a, b, c, d, e = (complex(*point) for point in points)
    upper, bracket = abs(d - c), abs(d - b)
    side = np.sign(((c - b).conjugate() * (d - b)).imag)

    def rises(turns):
        to = c - (a + (b - a) * np.exp(1j * turns))
        along = (abs(to) ** 2 + bracket**2 - upper**2) / (2.0 * abs(to))
        square = bracket**2 - along**2
        beam = to / abs(to) * (along + 1j * side * np.sqrt(np.maximum(square, 0.0)))
        return (c - to + beam * (e - b) / (d - b)).imag - e.imag, square >= 0.0

    found = []
    for way in (1.0, -1.0):
        turns, going = way * np.linspace(0.0, 2.0 * np.pi, 40_001), np.sign(rises(way * 1e-7)[0])
        for _ in range(3):  # and twice more between the last good step and the next
            rise, met = rises(turns)
            good = met[1:] & (np.diff(rise) * going > 0.0)
            last = int(np.argmin(good)) if not good.all() else len(good)
            reached = rise[last]
            turns = np.linspace(turns[max(last - 1, 0)], turns[min(last + 1, len(turns) - 1)], 40_001)
        found.append(reached)
    return min(found), max(found)


FOLDED = ((0.0, 0.0), (500.0, 0.0), (-200.0, 20.0), (689.0, 30.0), (600.0, 20.0))
"""Upper link longer than the lower, and in front of it and behind it: nearly in one line as it stands."""


@pytest.mark.parametrize("over", [1.0, -1.0])
@pytest.mark.parametrize("behind", [1.0, -1.0])
@pytest.mark.parametrize("change", [{}, {3: (689.0, -30.0)}, {4: (600.0, 200.0)}, {2: (-200.0, 120.0)}])
def test_folded_links_stop_where_they_come_into_line(over, behind, change):
    points = [(behind * x, over * z) for x, z in (change.get(at, point) for at, point in enumerate(FOLDED))]
    assert travel_reach_mm(bar_of(*points)) == pytest.approx(ends_by_steps(points), abs=2e-3)


def test_links_thrown_together_stop_where_steps_say():
    draw = np.random.default_rng(7)
    for _ in range(60):
        points = draw.uniform(-500.0, 500.0, (5, 2))
        assert travel_reach_mm(bar_of(*points)) == pytest.approx(ends_by_steps(points), abs=2e-3)


def test_axle_at_the_top_of_its_arc_has_nowhere_to_go():
    """A level parallel pair turned upright: the axle's height stands still there."""
    top = (500.0 * np.cos(np.pi / 2.0), 500.0)
    rigged = bar_of((0.0, 0.0), top, (200.0, 0.0), (200.0, 500.0), (100.0, 500.0))
    path = axle_path(rigged, np.array([0.0, 10.0]))
    droop, bump = travel_reach_mm(rigged)
    assert bump == pytest.approx(0.0, abs=1e-9)
    assert np.isnan(path.dx_mm[1])
    # All bolts come into line when the links lie level; next to it sqrt(1e-16) of a metre is what rounding leaves.
    assert droop == pytest.approx(-500.0, abs=2e-5)


def test_axle_right_over_a_single_bolt_has_nowhere_to_go():
    arm = bar_of((0.0, 0.0), (600.0, 0.0), (0.0, 0.0), (580.0, 200.0), (0.0, 300.0))
    assert np.isnan(axle_path(arm, number(1.0)).dx_mm)
    assert travel_reach_mm(arm)[1] == pytest.approx(0.0, abs=1e-9)


def test_parallel_links_meet_nowhere():
    assert np.isnan(instant_centre(PARALLEL)).all()


def test_anti_squat_of_parallel_links_is_their_slope():
    # By hand: links rising forward at 1 in 10 carry l/h tenths; level links none.
    rising = bar_of((0.0, 350.0), (500.0, 300.0), (0.0, 550.0), (500.0, 500.0), (500.0, 400.0))
    assert percent(rising, 520.0, 2500.0, 500.0) == pytest.approx(50.0, rel=1e-12)
    assert percent(PARALLEL, 520.0, 2500.0, 500.0) == pytest.approx(0.0, abs=1e-12)


def test_anti_squat_counts_heights_from_the_ground():
    high = FourBar(*(part + 123.0 if name.endswith("_z") else part for name, part in USUAL._asdict().items()))
    expected = percent(USUAL, 2350.0, 2350.0, 600.0)
    assert percent(high, 2350.0, 2350.0, 600.0, 123.0) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("unit", [1000.0, 1e4, 1e7])
def test_anti_squat_is_the_same_in_any_unit_of_length(unit: float):
    small = FourBar(*(part / unit for part in USUAL))
    expected = percent(USUAL, 2350.0, 2350.0, 600.0)
    assert percent(small, 2350.0 / unit, 2350.0 / unit, 600.0 / unit) == pytest.approx(expected, rel=1e-9)


def test_no_anti_squat_figure_where_there_is_none():
    crossed = bar_of((1.0, 1.0), (3.0, 3.0), (1.0, 3.0), (3.0, 1.0), (3.0, 2.0))
    assert instant_centre(crossed) == (2.0, 2.0)
    assert np.isnan(percent(crossed, 2.0, 2500.0, 600.0))  # the instant centre is right over the contact
    wheelbase, height = np.array([2350.0, 0.0, np.nan, 2350.0]), np.array([600.0, 600.0, 600.0, -1.0])
    found = anti_squat_percent(USUAL, number(2350.0), wheelbase, height)
    assert np.isfinite(found).tolist() == [True, False, False, False]


@pytest.mark.parametrize(
    "change",
    [
        {"lower_frame_x": np.nan},
        {"lower_frame_z": np.inf},
        {"upper_axle_x": -np.inf},
        {"lower_axle_x": 1500.0, "lower_axle_z": 400.0},
        {"upper_axle_x": 1700.0, "upper_axle_z": 600.0},
        {"upper_axle_x": 2300.0, "upper_axle_z": 300.0},
        {"upper_frame_x": 2150.0, "upper_frame_z": 1080.0},
        {"upper_frame_x": 2150.0 + 1e-5, "upper_frame_z": 1080.0},
    ],
)
def test_impossible_links_are_nan_in_their_own_row(change):
    parts = {name: np.full(3, part) for name, part in USUAL._asdict().items()}
    for name, value in change.items():
        parts[name][1] = value
    columns = list(parts.values())
    bar = four_bar(*zip(columns[::2], columns[1::2], strict=True))
    assert np.isfinite(bar.lower_axle_x).tolist() == [True, False, True]
    path, alone = axle_path(bar, np.array([[-40.0], [0.0], [50.0]])), axle_path(USUAL, np.array([-40.0, 0.0, 50.0]))
    for values, value in zip(path[:3], alone[:3], strict=True):
        np.testing.assert_allclose(values[:, [0, 2]], np.column_stack((value, value)), rtol=0.0, atol=1e-10)
        assert np.isnan(values[:, 1]).all()
    for values in (*travel_reach_mm(bar), *instant_centre(bar), percent(bar, 2350.0, 2350.0, 600.0)):
        assert np.isfinite(values).tolist() == [True, False, True]


def test_unknown_axle_or_travel_gives_an_unknown_path():
    for lost in (np.nan, np.inf):
        assert np.isnan(axle_path(USUAL._replace(axle_x=number(lost)), number(10.0)).dx_mm)
        assert np.isnan(axle_path(USUAL._replace(axle_z=number(lost)), number(10.0)).dx_mm)
        assert np.isnan(travel_reach_mm(USUAL._replace(axle_z=number(lost)))).all()
        assert np.isfinite(instant_centre(USUAL._replace(axle_z=number(lost)))).all()
    assert np.isnan(axle_path(USUAL, number(np.nan)).dx_mm)


coordinates = st.tuples(*[st.floats(-60.0, 60.0)] * 10)


@settings(max_examples=100, deadline=None)
@given(st.lists(coordinates, min_size=1, max_size=5), st.lists(st.floats(-900.0, 900.0), min_size=1, max_size=4))
def test_rows_are_what_each_is_alone(changes, travel):
    bar = FourBar(*(part + np.array(column) for part, column in zip(USUAL, zip(*changes, strict=True), strict=True)))
    travel = np.array(travel)[:, None]
    path, reach, centre = axle_path(bar, travel), travel_reach_mm(bar), instant_centre(bar)
    for i in range(len(changes)):
        own = FourBar(*(part[i] for part in bar))
        ends = np.array(travel_reach_mm(own))
        np.testing.assert_allclose([end[i] for end in reach], ends, rtol=0.0, atol=1e-6)
        np.testing.assert_allclose([part[i] for part in centre], instant_centre(own), rtol=1e-9)
        for j, asked in enumerate(travel[:, 0]):
            if np.abs(asked - ends).min() < 1e-2:
                continue
            alone = np.array(axle_path(own, asked))
            np.testing.assert_allclose([part[j, i] for part in path], alone, rtol=0.0, atol=1e-7)
            assert np.isnan(alone).all() == (not ends[0] <= asked <= ends[1])


def test_rows_out_of_reach_do_not_disturb_others():
    travel = np.linspace(-100.0, 100.0, 11)[:, None]
    far = np.concatenate((travel, [[5000.0], [-5000.0], [np.nan]]))
    bar = USUAL._replace(upper_axle_z=np.array([560.0, np.nan, 560.0]))
    for values, alone in zip(axle_path(bar, far), axle_path(USUAL, travel[:, 0]), strict=True):
        for row in (0, 2):
            np.testing.assert_allclose(values[:11, row], alone, rtol=0.0, atol=1e-10)
            assert np.isnan(values[11:, row]).all()


def test_thrown_together_nothing_is_found_beyond_the_ends_and_all_within():
    """But for a dip that is stepped over, as `root` says of one set in some 20,000."""
    draw, n = np.random.default_rng(11), 20_000
    bar = four_bar(*(tuple(draw.uniform(-500.0, 500.0, (2, n))) for _ in range(5)))
    travel = np.linspace(-300.0, 300.0, 61)[:, None]
    low, high = travel_reach_mm(bar)
    found = np.isfinite(axle_path(bar, travel).dx_mm)
    assert found[(travel >= low + 1e-3) & (travel <= high - 1e-3)].all()
    beyond = found & ((travel < low - 1e-3) | (travel > high + 1e-3))
    assert beyond.any(axis=0).sum() <= 1


def test_twenty_thousand_sets_of_links_take_sensible_time():
    """Printed for the reader (pytest -s); the benchmarks assert."""
    draw, n = np.random.default_rng(5), 20_000
    bar = FourBar(*(part + draw.uniform(-60.0, 60.0, n) for part in USUAL))
    begin = time.perf_counter()
    path = axle_path(bar, np.linspace(-600.0, 600.0, 41)[:, None])
    taken = time.perf_counter() - begin
    lost = np.isnan(path.dx_mm).mean()
    print(f"20,000 x 41 positions {taken:.3f} s, {lost:.0%} out of reach")
    assert path.dx_mm.shape == (41, n)
    assert 0.05 < lost < 0.5
