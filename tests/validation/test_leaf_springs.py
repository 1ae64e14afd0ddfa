"""Leaf springs against published rules, beam theory and independent integration.

- SAE HS-788, *Manual on Design and Application of Leaf Springs*: circular-arc cantilever and 3/4 rule (from memory; the
  figures below were worked out by hand from the arc, as stated at each).
- Gillespie, *Fundamentals of Vehicle Dynamics*: wind-up of a leaf spring (from memory).
- Timoshenko, *Strength of Materials*: beam stiffness, cantilever of uniform strength (from memory).
- scipy: integration of the leaf's curve, root finding on the shackle's circle.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, minimize_scalar

from geometry.mechanics.springs import (
    axle_path,
    leaf_of,
    posture,
    ride_curvature,
    travel_reach_mm,
    windup_stiffness_nm_per_rad,
)
from geometry.mechanics.vectors import number

POINT_MM = 1e-6
ANGLE_RAD = 1e-9


@pytest.fixture(autouse=True, scope="module")
def quiet():
    with np.errstate(all="ignore"):
        yield


def spring_of(eye, pivot, shackle, front, rear, hangs=True):
    """A spring whose seat is the axle's centre."""
    ends = (tuple(map(number, point)) for point in (eye, pivot))
    return leaf_of(*ends, *map(number, (shackle, front, rear, 0.0)), hangs=hangs, over=True)


def seated(spring, seat, seat_to_axle):
    return spring._replace(offset_mm=number(-seat_to_axle if seat == "over" else seat_to_axle))


def seat_of(pose):
    return np.array((pose.seat_x, pose.seat_z))


# --- the 3/4 rule ---------------------------------------------------------------------------------------------------

# A shackle of a kilometre hanging plumb lets the shackled eye slide level, within 0.02 mm over this stroke: so the rule
# takes it.
SLIDING = spring_of((0.0, 0.0), (1300.0, 1e6), 1e6, 650.0, 650.0)


def circle_through(seat):
    """Radius over the front half of the circle through the flat posture and two postures alike on either side."""
    shortening = SLIDING.front_half_mm - seat[0]
    return (shortening**2 + seat[1] ** 2) / (2.0 * shortening) / SLIDING.front_half_mm


@pytest.mark.parametrize(
    ("bend", "rise", "radius"), [(0.2, 0.0997, 0.74983), (0.6, 0.2911, 0.74849), (1.0, 0.4597, 0.74577)]
)
def test_best_radius_of_the_circular_arc_cantilever(bend, rise, radius):
    # By hand from the arc: y/l = (1 − cos kl)/kl, shortening/l = 1 − sin(kl)/kl, R/l = (s² + y²)/(2 s l).
    seat = seat_of(posture(SLIDING, bend / SLIDING.front_half_mm))
    assert -seat[1] / SLIDING.front_half_mm == pytest.approx(rise, abs=7e-5)
    assert circle_through(seat) == pytest.approx(radius, abs=2e-5)


@pytest.mark.parametrize("travel_mm", [-80.0, -40.0, 40.0, 80.0])
def test_three_quarter_rule_near_flat_with_a_real_shackle(travel_mm):
    spring = spring_of((1900.0, 520.0), (3200.0, 630.0), 110.0, 650.0, 650.0)
    path = axle_path(spring, number(0.0), np.array([travel_mm]))
    forward = -path.dx_mm[0]
    assert (travel_mm**2 + forward**2) / (2.0 * forward) == pytest.approx(0.75 * 650.0, rel=0.01)


@pytest.mark.parametrize(("front", "rear"), [(500.0, 800.0), (650.0, 650.0), (800.0, 500.0)])
def test_radius_of_unequal_halves(front, rear):
    # By hand, to second order in k: drop a k b/2, shortening a k² (a²/24 + b²/8); so R = 3 a b²/(a² + 3 b²).
    spring = spring_of((0.0, 0.0), (front + rear, 100.0), 100.0, front, rear)
    path = axle_path(spring, number(0.0), np.array([-5.0, 5.0]))
    expected = 3.0 * front * rear**2 / (front**2 + 3.0 * rear**2)
    # Odd terms in the travel cancel over the pair, and 5 mm leave terms of (5/500)².
    assert 5.0**2 / (2.0 * -path.dx_mm.mean()) == pytest.approx(expected, rel=1e-3)


# --- the seat's turn --------------------------------------------------------------------------------------------------


def test_symmetric_halves_keep_the_seat_parallel_to_the_chord():
    spring = spring_of((0.0, 500.0), (1250.0, 640.0), 120.0, 620.0, 620.0)
    pose = posture(spring, np.linspace(-8e-4, 8e-4, 41))
    chord_x, chord_z = pose.eye_x - spring.eye_x, pose.eye_z - spring.eye_z
    np.testing.assert_allclose(pose.seat_slope_deg, np.degrees(np.arctan2(-chord_z, chord_x)), atol=1e-12)


def test_symmetric_halves_keep_the_seat_level_where_the_eye_slides_level():
    assert np.abs(posture(SLIDING, np.linspace(-1e-3, 1e-3, 21)).seat_slope_deg).max() < np.degrees(2e-5)


def test_unequal_halves_turn_the_seat_as_small_deflection_theory_says():
    # Halves of 0.6 and 0.8 m: (a − b)/(a b) = −0.41667 rad per metre of bump, by superposing two cantilevers.
    spring = spring_of((0.0, 500.0), (1400.0, 600.0), 100.0, 600.0, 800.0)
    path = axle_path(spring, number(0.0), np.array([-0.5, 0.5]))
    rate = np.radians(path.turn_deg[1] - path.turn_deg[0]) / 1e-3
    assert rate == pytest.approx(-0.41667, abs=2e-5)


# --- independent integration and root finding -----------------------------------------------------------------------

springs = st.fixed_dictionaries(
    {
        "a": st.floats(300.0, 900.0),
        "b": st.floats(300.0, 900.0),
        "bend": st.floats(-1.2, 1.2),
        "chord_slope": st.floats(-0.2, 0.2),
        "shackle": st.floats(50.0, 200.0),
        "lean": st.floats(-0.9, 0.9),
        "hangs": st.booleans(),
        "eye": st.tuples(st.floats(-500.0, 3000.0), st.floats(200.0, 900.0)),
    }
)


def build(given_values):
    """Spring, curvature: built outward from a posture, so that it has that posture well away from a dead point."""
    v = given_values
    kappa = v["bend"] / (v["a"] + v["b"])
    chord = quad(lambda s: np.cos(kappa * (s - (v["a"] + v["b"]) / 2.0)), 0.0, v["a"] + v["b"])[0]
    across = -v["chord_slope"] + (np.pi / 2.0 if v["hangs"] else -np.pi / 2.0) + v["lean"]
    pivot = (
        v["eye"][0] + chord * np.cos(v["chord_slope"]) + v["shackle"] * np.cos(across),
        v["eye"][1] - chord * np.sin(v["chord_slope"]) + v["shackle"] * np.sin(across),
    )
    return spring_of(v["eye"], pivot, v["shackle"], v["a"], v["b"], v["hangs"]), kappa


def local_by_ode(spring, kappa):
    """Seat and shackled eye from the fixed eye, starting level: the leaf's tangent integrated step by step."""
    total = spring.front_half_mm + spring.rear_half_mm
    run = solve_ivp(
        lambda _, state: [np.cos(state[2]), -np.sin(state[2]), -kappa],
        (0.0, total),
        [0.0, 0.0, 0.0],
        method="DOP853",
        t_eval=[spring.front_half_mm, total],
        rtol=1e-13,
        atol=1e-11,
    )
    return run.y[:, 0], run.y[:, 1]


def local_by_quadrature(spring, kappa):
    """The same by adaptive quadrature of the tangent's direction."""

    def point(length):
        return (
            quad(lambda s: np.cos(-kappa * s), 0.0, length, epsabs=1e-11)[0],
            -quad(lambda s: np.sin(-kappa * s), 0.0, length, epsabs=1e-11)[0],
            -kappa * length,
        )

    return point(spring.front_half_mm), point(spring.front_half_mm + spring.rear_half_mm)


def by_root_finding(spring, local):
    """Seat, its slope and the shackled eye: the whole leaf swung until the shackle fits, by brentq."""
    eye, pivot = np.array((spring.eye_x, spring.eye_z)), np.array((spring.pivot_x, spring.pivot_z))
    seat, rear = local

    def swung(point, turn):
        cosine, sine = np.cos(turn), np.sin(turn)
        return eye + np.array((point[0] * cosine + point[1] * sine, point[1] * cosine - point[0] * sine))

    toward = np.arctan2(eye[1] - pivot[1], pivot[0] - eye[0]) - np.arctan2(-rear[1], rear[0])
    side = np.pi if spring.hangs else -np.pi
    turn = brentq(
        lambda t: np.hypot(*(swung(rear, t) - pivot)) - spring.shackle_mm,
        *sorted((toward, toward + side)),
        xtol=1e-15,
        rtol=1e-15,
    )
    return swung(seat, turn), seat[2] + turn, swung(rear, turn)


@settings(max_examples=200, deadline=None)
@given(springs)
def test_posture_against_integration_and_root_finding(values):
    spring, kappa = build(values)
    seat, slope, rear = by_root_finding(spring, local_by_ode(spring, kappa))
    found = posture(spring, number(kappa))
    np.testing.assert_allclose(seat_of(found), seat, rtol=0.0, atol=POINT_MM)
    np.testing.assert_allclose((found.eye_x, found.eye_z), rear, rtol=0.0, atol=POINT_MM)
    assert np.radians(found.seat_slope_deg) == pytest.approx(slope, abs=ANGLE_RAD)


@settings(max_examples=200, deadline=None)
@given(springs)
def test_curvature_for_a_height_against_root_finding(values):
    spring, kappa = build(values)
    total = spring.front_half_mm + spring.rear_half_mm

    def height(k):
        return by_root_finding(spring, local_by_quadrature(spring, k))[0][1]

    step = 0.01 / total
    target = height(kappa)
    try:
        above, below = height(kappa - step), height(kappa + step)
    except ValueError:  # brentq: the shackle does not reach there
        return
    # Where the seat hardly moves with the curvature, or the wrong way, the posture is past what a spring can do.
    if not (above > target + 0.05 and below < target - 0.05):
        return
    found = ride_curvature(spring, number(target))
    expected = brentq(lambda k: height(k) - target, kappa - step, kappa + step, xtol=1e-16, rtol=1e-15)
    assert total * found == pytest.approx(total * expected, abs=ANGLE_RAD)
    assert height(found) == pytest.approx(target, abs=POINT_MM)


def farthest(axle, kappa, spring, sense):
    """Greatest travel in one sense by stepping the curvature until the axle turns back or the shackle ends it."""
    ride = last = axle(kappa)[0][1]
    for k in kappa - sense * np.linspace(0.0, np.pi / (spring.front_half_mm + spring.rear_half_mm), 500)[1:]:
        try:
            height = axle(k)[0][1]
        except ValueError:  # brentq: the shackle does not reach there
            break
        if sense * (height - last) < 0.0:
            break
        last = height
    return last - ride


REACHES = {
    "hanging shackle, short of droop": (spring_of((2000.0, 500.0), (3300.0, 560.0), 110.0, 600.0, 680.0), 3.38e-4),
    "hanging shackle, long": (spring_of((2000.0, 500.0), (3240.0, 600.0), 140.0, 600.0, 680.0), 2.0e-4),
    "standing shackle": (spring_of((2000.0, 500.0), (3230.0, 430.0), 90.0, 600.0, 680.0), 3.0e-4),
    "too long to lie flat": (spring_of((2000.0, 500.0), (3150.0, 520.0), 80.0, 600.0, 680.0), 1.0e-3),
}


@pytest.mark.parametrize("name", REACHES)
@pytest.mark.parametrize("seat", ["over", "under"])
def test_reach_against_bounded_optimisation(name, seat):
    """Where the travel ends: the extremes of the independently found height, by scipy's bounded scalar search."""
    spring, kappa = REACHES[name]

    def height(k):
        centre, slope, _ = by_root_finding(spring, local_by_quadrature(spring, k))
        return centre[1] + (-70.0 if seat == "over" else 70.0) * np.cos(slope)

    total, line = 1280.0, np.hypot(spring.pivot_x - spring.eye_x, spring.pivot_z - spring.eye_z)

    def bend_at(chord):
        return brentq(lambda u: np.sin(u) / u * total - chord, 1e-9, np.pi / 2.0) * 2.0 / total

    longest = line + spring.shackle_mm
    high = bend_at(line - spring.shackle_mm) * (1.0 - 1e-12)
    low = -high if longest > total else bend_at(longest) * (1.0 + 1e-12)
    # The search stays off the bounds themselves, where a dead point may lie: ask there too.
    search = {"method": "bounded", "options": {"xatol": 1e-12}}
    lowest = min(minimize_scalar(height, bounds=(kappa, high), **search).fun, height(high))
    highest = max(-minimize_scalar(lambda k: -height(k), bounds=(low, kappa), **search).fun, height(low))
    droop, bump = travel_reach_mm(seated(spring, seat, 70.0), number(kappa))
    ride = height(kappa)
    # Height goes like a square root toward a dead point: the 1e-12 of the curvature kept off it is worth 1e-3 mm.
    assert (droop, bump) == pytest.approx((lowest - ride, highest - ride), abs=2e-3)


@settings(max_examples=200, deadline=None)
@given(springs, st.sampled_from(["over", "under"]), st.floats(0.0, 200.0), st.floats(-120.0, 120.0))
def test_axle_path_against_root_finding(values, seat, seat_to_axle, travel):
    spring, kappa = build(values)

    def axle(k):
        centre, slope, _ = by_root_finding(spring, local_by_quadrature(spring, k))
        sense = -1.0 if seat == "over" else 1.0
        return centre + sense * seat_to_axle * np.array((np.sin(slope), np.cos(slope))), slope

    path = axle_path(seated(spring, seat, seat_to_axle), number(kappa), number(travel))
    if np.isnan(path.dx_mm):
        assert np.isnan(path).all()
        assert abs(farthest(axle, kappa, spring, np.sign(travel))) <= abs(travel)
        return
    (ride, ride_slope), (moved, moved_slope) = axle(kappa), axle(path.curvature)
    assert moved[1] - ride[1] == pytest.approx(travel, abs=POINT_MM)
    assert path.dz_mm == travel
    assert path.dx_mm == pytest.approx(moved[0] - ride[0], abs=POINT_MM)
    # Within 3° of a dead point a rounding in the lengths, 1e-13, grows beyond 1e-9 rad in any method.
    pose = posture(spring, path.curvature)
    rear = np.array((pose.eye_x, pose.eye_z))
    to_pivot, to_eye = (spring.pivot_x, spring.pivot_z) - rear, (spring.eye_x, spring.eye_z) - rear
    square = abs(to_pivot[0] * to_eye[1] - to_pivot[1] * to_eye[0]) / np.hypot(*to_pivot) / np.hypot(*to_eye)
    if square > 0.05:
        assert np.radians(path.turn_deg) == pytest.approx(moved_slope - ride_slope, abs=ANGLE_RAD)


# --- large-deflection beam theory -----------------------------------------------------------------------------------


def elastic_tip(tip_slope):
    """Tip of a cantilever of uniform strength and unit length under a dead load square to it at rest: x, y.

    Width tapers to nothing at the tip: EI = EI0 s/l, s from the tip. Curvature is load × lever arm in the deflected
    shape / EI. Started next to the tip, where lever arm/s tends to cos(tip slope); shot for a level root.
    """

    def root(load):
        near = 1e-9
        run = solve_ivp(
            lambda s, q: [np.cos(q[2]), np.sin(q[2]), -load * q[0] / s],
            (near, 1.0),
            [near * np.cos(tip_slope), near * np.sin(tip_slope), tip_slope],
            method="DOP853",
            rtol=1e-11,
            atol=1e-13,
        )
        return run.y[:, -1]

    load = brentq(lambda p: root(p)[2], 0.5 * tip_slope, 2.0 * tip_slope, xtol=1e-13)
    return root(load)[:2]


@pytest.mark.parametrize("tip_slope", [0.1, 0.2, 0.3, 0.4, 0.5])
def test_seat_path_against_large_deflection_beam(tip_slope):
    """The elastic leaf is no exact arc: lever arms shorten as it bends, most near the tip.

    By perturbation (worked by hand) a dead load makes the elastic tip draw in less than the arc's, at the same
    deflection y, by y⁴/(15 l³), with further terms of (y/l)⁶. So the arc must agree within 0.08 y⁴/l³ up to y = l/4:
    0.2 mm on a half of 650 mm that is bent by 162 mm.
    """
    x, y = elastic_tip(tip_slope)
    length = SLIDING.front_half_mm
    seat = seat_of(posture(SLIDING, ride_curvature(SLIDING, number(-y * length))))
    excess = x - seat[0] / length
    assert excess == pytest.approx(y**4 / 15.0, rel=0.2)
    assert 0.0 < excess <= 0.08 * y**4


# --- wind-up ----------------------------------------------------------------------------------------------------------


def test_windup_of_equal_halves_as_printed():
    # 25 N/mm and 1.4 m: k L²/4 = 12,250 N·m/rad.
    assert windup_stiffness_nm_per_rad(25.0, 700.0, 700.0) == pytest.approx(25.0 * 1400.0**2 / 4.0 / 1000.0, rel=1e-14)
    assert windup_stiffness_nm_per_rad(25.0, 700.0, 700.0) == pytest.approx(12_250.0, abs=1e-9)


def test_windup_of_unequal_halves_as_printed():
    # Halves 0.6 and 0.8 m, 26.0525 N/mm: 11,543; the rule for equal halves would say 12,766.
    assert windup_stiffness_nm_per_rad(26.0525, 600.0, 800.0) == pytest.approx(11_543.0, abs=0.5)
    assert windup_stiffness_nm_per_rad(26.0525, 700.0, 700.0) == pytest.approx(12_766.0, abs=0.5)


def beam_rates(front_mm, rear_mm, stiffness_at, pieces=400):
    """Vertical rate N/mm (seat free to turn) and wind-up N·mm/rad of a beam pinned at both eyes, from beam elements.

    Straight two-node elements (deflection, slope; Hermite cubic), each half in equal pieces whose stiffness EI is taken
    at its middle; the seat is the node where the halves meet.
    """
    edges = np.concatenate(
        (np.linspace(0.0, front_mm, pieces + 1), front_mm + np.linspace(0.0, rear_mm, pieces + 1)[1:])
    )
    matrix = np.zeros((2 * edges.size, 2 * edges.size))
    for i, h in enumerate(np.diff(edges)):
        element = np.array(
            [
                [12.0, 6.0 * h, -12.0, 6.0 * h],
                [6.0 * h, 4.0 * h**2, -6.0 * h, 2.0 * h**2],
                [-12.0, -6.0 * h, 12.0, -6.0 * h],
                [6.0 * h, 2.0 * h**2, -6.0 * h, 4.0 * h**2],
            ]
        )
        matrix[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += stiffness_at(0.5 * (edges[i] + edges[i + 1])) / h**3 * element
    free = np.delete(np.arange(2 * edges.size), [0, 2 * edges.size - 2])
    seat = [int(np.flatnonzero(free == 2 * pieces)[0]), int(np.flatnonzero(free == 2 * pieces + 1)[0])]
    unit = np.zeros((free.size, 2))
    unit[seat, [0, 1]] = 1.0
    moved = np.linalg.solve(matrix[np.ix_(free, free)], unit)[seat]
    # A spring's wind-up is measured with the axle held by nothing but its springs: a pure couple at the seat.
    return 1.0 / moved[0, 0], 1.0 / moved[1, 1]


@pytest.mark.parametrize(("front", "rear"), [(700.0, 700.0), (600.0, 800.0), (450.0, 800.0)])
def test_windup_against_a_prismatic_beam(front, rear):
    rate, couple = beam_rates(front, rear, lambda _: 4e9, pieces=8)  # exact for any number of pieces
    assert windup_stiffness_nm_per_rad(rate, front, rear) == pytest.approx(couple / 1000.0, rel=1e-7)


@pytest.mark.parametrize(("front", "rear"), [(700.0, 700.0), (600.0, 800.0)])
def test_windup_against_halves_of_uniform_strength(front, rear):
    def tapered(x):
        return 4e9 * (x / front if x < front else (front + rear - x) / rear)

    rate, couple = beam_rates(front, rear, tapered)
    # 400 stepped pieces a half leave an error of the order (1/400)² times the log-like end term: 1e-4 is ample.
    assert windup_stiffness_nm_per_rad(rate, front, rear) == pytest.approx(couple / 1000.0, rel=1e-4)


def test_printed_rate_of_unequal_halves_from_the_beam():
    # 3 EI L/(a² b²) gives 26.0525 N/mm for this EI, Timoshenko's simply supported beam with a load off the middle.
    stiffness = 26.0525 * 600.0**2 * 800.0**2 / (3.0 * 1400.0)
    rate, couple = beam_rates(600.0, 800.0, lambda _: stiffness, pieces=8)
    assert rate == pytest.approx(26.0525, rel=1e-7)
    assert couple / 1000.0 == pytest.approx(11_543.0, abs=0.5)


def test_axle_centre_is_square_to_the_seat():
    """The offset against the seat and its tangent as found by quadrature and root finding."""
    spring = spring_of((0.0, 500.0), (1300.0, 640.0), 120.0, 560.0, 740.0)
    kappa = 4e-4
    seat, slope, _ = by_root_finding(spring, local_by_quadrature(spring, kappa))
    for side, sense in (("over", -1.0), ("under", 1.0)):
        arm = np.array(posture(seated(spring, side, 75.0), number(kappa))[:2]) - seat
        assert np.hypot(*arm) == pytest.approx(75.0, abs=POINT_MM)
        assert arm @ (np.cos(slope), -np.sin(slope)) == pytest.approx(0.0, abs=POINT_MM)
        assert np.sign(arm[1]) == sense
