"""Link suspension and lateral link against published geometry and root finding on the constraints.

- Barton and Fieldhouse, *Automotive Chassis Engineering*, 3.11, p. 197: anti-squat from the instant centre, percent =
  100 (e/d)(l/h); the layout is our own, worked by hand.
- scipy: the four-bar's constraints solved as they stand (fsolve), its reach by bounded scalar search.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import fsolve, minimize_scalar

from geometry.mechanics.links import anti_squat_percent, axle_path, four_bar, instant_centre, travel_reach_mm
from geometry.mechanics.vectors import number

POINT_MM = 1e-6
ANGLE_RAD = 1e-9


@pytest.fixture(autouse=True, scope="module")
def quiet():
    with np.errstate(all="ignore"):
        yield


def bar_of(*points):
    """Lower frame, lower axle, upper frame, upper axle, axle centre."""
    return four_bar(*((number(x), number(z)) for x, z in points))


# Own layout, x counted forward from the tyre's contact: lower (0, 300)–(500, 350), upper (50, 560)–(450, 520). Here x
# runs rearward from the front axle, so forward x becomes 2540 − x.
LAYOUT = bar_of((2040.0, 350.0), (2540.0, 300.0), (2090.0, 520.0), (2490.0, 560.0), (2540.0, 380.0))


def test_instant_centre_by_hand():
    # z = 300 + x/10 meets z = 565 − x/10 at x = 1325, z = 432.5.
    assert instant_centre(LAYOUT) == pytest.approx((2540.0 - 1325.0, 432.5), abs=1e-9)


def test_anti_squat_as_printed_formula():
    # e/d = 432.5/1325, l/h = 2540/560: 148.05 per cent.
    assert anti_squat_percent(LAYOUT, number(2540.0), number(2540.0), number(560.0)) == pytest.approx(148.05, abs=0.005)
    assert anti_squat_percent(LAYOUT, number(2540.0), number(2540.0), number(560.0)) == pytest.approx(
        100 * 432.5 / 1325 * 2540 / 560, rel=1e-12
    )


def test_axle_turns_about_the_instant_centre_at_first():
    # Kennedy's theorem: the first motion of the axle is a turn about where the links' lines meet.
    axle = (2540.0, 380.0)
    path = axle_path(LAYOUT, np.array([-0.01, 0.01]))
    centre = np.array(instant_centre(LAYOUT))
    turn, forth = np.radians(path.turn_deg[1] - path.turn_deg[0]), path.dx_mm[1] - path.dx_mm[0]
    assert turn == pytest.approx(-0.02 / (axle[0] - centre[0]), rel=1e-6)
    assert forth == pytest.approx(-0.02 * (axle[1] - centre[1]) / (axle[0] - centre[0]), rel=1e-6)


def polar(origin, length, angle):
    return (origin[0] + length * np.cos(angle), origin[1] + length * np.sin(angle))


@st.composite
def layouts(draw):
    """Links ahead of the axle, behind it, or one on either side; upper bolt over the lower, none near a dead point."""
    facing = draw(st.sampled_from([-1.0, 1.0]))
    lower_axle = (draw(st.floats(1800.0, 2600.0)), draw(st.floats(200.0, 400.0)))
    upper_axle = polar(lower_axle, draw(st.floats(120.0, 400.0)), draw(st.floats(1.1, 2.0)))
    ends = []
    for bolt, lengths in ((lower_axle, (400.0, 1200.0)), (upper_axle, (300.0, 1200.0))):
        end = polar((0.0, 0.0), draw(st.floats(*lengths)), draw(st.floats(-0.35, 0.35)))
        ends.append((bolt[0] - facing * end[0], bolt[1] + end[1]))
    # The upper link ahead of the axle with the lower behind it is a layout too.
    if draw(st.booleans()):
        ends[1] = (2.0 * upper_axle[0] - ends[1][0], ends[1][1])
    axle = (lower_axle[0] + draw(st.floats(-100.0, 100.0)), lower_axle[1] + draw(st.floats(-50.0, 250.0)))
    return bar_of(ends[0], lower_axle, ends[1], upper_axle, axle)


def points_of(bar):
    """Frame bolts (2, 2), axle bolts (2, 2), lower first, and the axle's centre."""
    points = np.array(bar).reshape(5, 2)
    return points[[0, 2]], points[[1, 3]], points[4]


def solved_by_constraints(bar, travel, steps=6):
    """Axle centre, turn (slope sense) and bolts, by fsolve on the bolts' distances, followed in steps."""
    frame, bolts, axle = points_of(bar)
    lengths = np.hypot(*(bolts - frame).T)
    pose = np.array([axle[0], 0.0])  # x of the axle's centre, its turn; z is the travel's

    def placed(pose, z):
        cosine, sine = np.cos(pose[1]), np.sin(pose[1])
        arm = bolts - axle
        return np.array((pose[0], z)) + np.column_stack(
            (arm[:, 0] * cosine + arm[:, 1] * sine, arm[:, 1] * cosine - arm[:, 0] * sine)
        )

    for part in np.linspace(0.0, 1.0, steps)[1:]:
        z = axle[1] + part * travel
        pose, _, _, _ = fsolve(
            lambda q, z=z: np.hypot(*(placed(q, z) - frame).T) - lengths, pose, xtol=1e-14, full_output=True
        )
        miss = np.abs(np.hypot(*(placed(pose, z) - frame).T) - lengths).max()
        if miss > 1e-8:
            return None
    return pose, placed(pose, axle[1] + travel)


@settings(max_examples=200, deadline=None)
@given(layouts(), st.floats(-60.0, 60.0))
def test_path_against_the_constraints(bar, travel):
    path = axle_path(bar, number(travel))
    solved = solved_by_constraints(bar, travel)
    if np.isnan(path.dx_mm):
        droop, bump = travel_reach_mm(bar)
        assert not droop <= travel <= bump
        return
    assert solved is not None
    pose, bolts = solved
    assert path.dz_mm == travel
    assert path.dx_mm == pytest.approx(pose[0] - bar.axle_x, abs=POINT_MM)
    assert np.radians(path.turn_deg) == pytest.approx(pose[1], abs=ANGLE_RAD)
    found = ((path.lower_x, path.lower_z), (path.upper_x, path.upper_z))
    np.testing.assert_allclose(found, bolts, rtol=0.0, atol=POINT_MM)


@settings(max_examples=200, deadline=None)
@given(layouts())
def test_lengths_are_conserved_through_the_sweep(bar):
    frame, bolts, axle = points_of(bar)
    path = axle_path(bar, np.linspace(-150.0, 150.0, 61))
    reached = ~np.isnan(path.dx_mm)
    lower = np.column_stack((path.lower_x, path.lower_z))[reached]
    upper = np.column_stack((path.upper_x, path.upper_z))[reached]
    assert lower.shape[0] > 0
    centre = np.column_stack((axle[0] + path.dx_mm, axle[1] + path.dz_mm))[reached]
    for one, two, length in (
        (lower, frame[0], np.hypot(*(bolts[0] - frame[0]))),
        (upper, frame[1], np.hypot(*(bolts[1] - frame[1]))),
        (lower, upper, np.hypot(*(bolts[1] - bolts[0]))),
        (centre, lower, np.hypot(*(axle - bolts[0]))),
        (centre, upper, np.hypot(*(axle - bolts[1]))),
    ):
        np.testing.assert_allclose(np.hypot(*(one - two).T), length, rtol=0.0, atol=1e-9)


REACHES = {
    "usual": bar_of((1500.0, 400.0), (2300.0, 300.0), (1700.0, 600.0), (2250.0, 560.0), (2350.0, 420.0)),
    "short upper link": bar_of((1500.0, 400.0), (2300.0, 300.0), (2050.0, 560.0), (2250.0, 560.0), (2350.0, 420.0)),
    "upper link behind": bar_of((1700.0, 330.0), (2300.0, 300.0), (2600.0, 540.0), (2290.0, 520.0), (2320.0, 400.0)),
    "links behind": bar_of((2900.0, 330.0), (2300.0, 300.0), (2900.0, 520.0), (2320.0, 560.0), (2300.0, 400.0)),
    "long bracket": bar_of((1500.0, 400.0), (2300.0, 300.0), (2000.0, 640.0), (2250.0, 900.0), (2350.0, 420.0)),
}


@pytest.mark.parametrize("name", REACHES)
def test_reach_against_bounded_search(name):
    """Where the travel ends: the extremes of the axle's height on either side of the ride posture.

    The constraints are solved with the lower link's angle given (fsolve), stepping outward until the height turns back
    or no solution is left; where it turned back, scipy's bounded search polishes the extreme.
    """
    frame, bolts, axle = points_of(REACHES[name])
    lengths, arm = np.hypot(*(bolts - frame).T), bolts - axle
    start = np.arctan2(*(bolts[0] - frame[0])[::-1])

    def solve(angle, guess):
        lower = frame[0] + lengths[0] * np.array((np.cos(angle), np.sin(angle)))

        def upper(turn):
            span = bolts[1] - bolts[0]
            cosine, sine = np.cos(turn), np.sin(turn)
            return lower + np.array((span[0] * cosine + span[1] * sine, span[1] * cosine - span[0] * sine))

        turn, _, _, _ = fsolve(
            lambda q: np.hypot(*(upper(q[0]) - frame[1])) - lengths[1], [guess], xtol=1e-14, full_output=True
        )
        if abs(np.hypot(*(upper(turn[0]) - frame[1])) - lengths[1]) > 1e-8:
            raise ValueError
        z = lower[1] - (arm[0, 1] * np.cos(turn[0]) - arm[0, 0] * np.sin(turn[0]))
        return float(z), float(turn[0])

    ends = []
    for sense in (-1.0, 1.0):
        rising = np.sign(solve(start + 1e-6, 0.0)[0] - axle[1])
        step, angle, turn, height = 2e-3, start, 0.0, axle[1]
        trail = [(angle, turn, height)]
        while step > 1e-9:
            try:
                z, new_turn = solve(angle + sense * rising * step, turn)
            except ValueError:
                step /= 2.0
                continue
            if sense * (z - height) < 0.0:
                break
            angle, turn, height = angle + sense * rising * step, new_turn, z
            trail.append((angle, turn, height))
        if step > 1e-9:  # it turned back: polish between the last two steps
            bounds = sorted((trail[-2][0], angle + sense * rising * step))
            best = minimize_scalar(
                lambda a, t=turn, s=sense: -s * solve(a, t)[0],
                bounds=bounds,
                method="bounded",
                options={"xatol": 1e-10},
            )
            height = max(-best.fun, sense * height) * sense
        ends.append(height - axle[1])
    # A dead point is approached like a square root: 1e-9 rad off it, times 1 m, leaves up to 0.03 mm.
    assert travel_reach_mm(REACHES[name]) == pytest.approx(ends, abs=0.05)
