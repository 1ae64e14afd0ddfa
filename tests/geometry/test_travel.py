"""The driveline over its travel, held to an independent chain: springs give the axle's place, scipy does the rest."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from geometry import edited, solve
from geometry.mechanics import springs
from geometry.words.solve import POSITIONS

LINKS = {
    "kind": "links",
    "lower_frame_mm": (1800.0, 500.0),
    "lower_axle_mm": (2560.0, 330.0),
    "upper_frame_mm": (1950.0, 620.0),
    "upper_axle_mm": (2580.0, 530.0),
    "bump_mm": 80.0,
    "droop_mm": 90.0,
}
LATERAL = {"frame_point_mm": (2700.0, -450.0, 430.0), "axle_point_mm": (2690.0, 450.0, 400.0)}


def line(slope, plan=0.0):
    """Unit direction of a line, by scipy: turn the rearward axis about y by the slope, then about z by the plan."""
    return Rotation.from_euler("yz", [slope, plan], degrees=True).apply([1.0, 0.0, 0.0])


def between(one, other):
    """Angle between two lines, degrees, by Kahan's formula."""
    one, other = one / np.linalg.norm(one), other / np.linalg.norm(other)
    return np.degrees(2.0 * np.arctan2(np.linalg.norm(one - other), np.linalg.norm(one + other)))


def worked_out(build, shift, turn):
    """Operating angles and length of a one-piece rear driveline with the axle moved and turned, own vectors."""
    axle = build.axle
    lie = Rotation.from_euler("yz", [axle.pinion_slope_deg, axle.pinion_plan_deg or 0.0], degrees=True)
    arm = lie.apply([-axle.pinion_length_mm, 0.0, -(axle.pinion_drop_mm or 0.0)])
    across = Rotation.from_euler("z", axle.pinion_plan_deg or 0.0, degrees=True).apply([0.0, 1.0, 0.0])
    arm = arm + (axle.pinion_offset_mm or 0.0) * across
    tip = Rotation.from_euler("y", turn, degrees=True)
    joint = np.array(axle.centre_mm) + shift + tip.apply(arm)
    shaft = joint - np.array(build.powertrain.output_joint_mm)
    output, pinion = line(build.powertrain.slope_deg, build.powertrain.plan_deg or 0.0), tip.apply(lie.apply([1, 0, 0]))
    return between(output, shaft), between(shaft, pinion), np.linalg.norm(shaft)


SETTLED = {"axle.pinion_plan_deg": 0.0, "suspension.bump_squash_mm": 10.0}
"""What the shared build leaves open about its travel."""
SIZED = {"shaft.front_joint.swing_mm": 95.0, "shaft.rear_joint.swing_mm": 95.0}
"""Yokes without which no gap is known."""


# --- places ---------------------------------------------------------------------------------------------------------


def test_places_follow_the_stops_and_the_lift(one_piece):
    build = edited(one_piece, {"suspension.bump_squash_mm": 10.0})
    plain = solve(build).travel.axle_mm
    assert (plain[0], plain[-1]) == (-90.0, 90.0)  # 80 mm to the first touch, 10 of rubber
    assert 80.0 in [round(place, 9) for place in plain]
    lowered = solve(edited(build, {"plan.rear_lift_mm": -120.0})).travel.axle_mm
    assert (lowered[0], lowered[-1]) == (-90.0, 10.0)  # already past the first touch
    assert solve(edited(build, {"suspension.droop_mm": None})).travel is None
    assert solve(edited(build, {"suspension.bump_mm": None})).travel is None


def test_places_run_up_in_order_through_ride_height(one_piece):
    for droop, bump, squash in ((90.0, 80.0, 10.0), (0.01, 60.0, 0.0), (40.0, 0.0, 25.0)):
        stops = {"suspension.droop_mm": droop, "suspension.bump_mm": bump, "suspension.bump_squash_mm": squash}
        travel = solve(edited(one_piece, stops)).travel.axle_mm
        assert (travel[0], travel[-1]) == pytest.approx((-droop, bump + squash))
        assert 0.0 in travel
        assert (np.diff(travel) >= 0.0).all()


# --- lists ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("plan", [None, {"rear_lift_mm": 30.0, "rear_lift_by": "shackle", "axle_shim_deg": 1.5}])
@pytest.mark.parametrize("kind", ["leaf", "links"])
def test_every_list_has_one_entry_a_place_and_ride_height_is_the_solution(one_piece, plan, kind):
    obstacle = {"outline_mm": ((1500.0, 620.0), (1600.0, 620.0), (1600.0, 700.0)), "name": "crossmember"}
    changes = {"plan": plan, "obstacles": (obstacle,), "lateral_link": LATERAL, **SETTLED, **SIZED}
    if kind == "links":
        changes = {"suspension": LINKS} | changes
        if plan is not None:
            changes |= {"plan.rear_lift_by": "spring"}
    whole = solve(edited(one_piece, changes))
    travel = whole.travel
    assert len(travel.axle_mm) == POSITIONS
    lists = [travel.length_mm, *travel.operating_deg, travel.pinion_slope_deg, travel.pinion_residual_rad_s2]
    lists += [travel.slip_left_mm, travel.engaged_mm, travel.gap_mm]
    assert {len(one) for one in lists} == {POSITIONS}
    assert all(value is not None for one in lists for value in one)
    at = travel.axle_mm.index(0.0)
    assert travel.length_mm[at] == pytest.approx(whole.shaft.length_mm, abs=1e-9)
    for joint, angles in zip(whole.joints, travel.operating_deg, strict=True):
        assert angles[at] == pytest.approx(joint.operating_deg, abs=1e-9)
    assert travel.pinion_slope_deg[at] == pytest.approx(whole.angles.pinion_slope_deg, abs=1e-9)
    assert travel.pinion_residual_rad_s2[at] == pytest.approx(whole.motion.pinion_residual_rad_s2, rel=1e-6, abs=1e-6)
    engaged = 70.0 - (whole.shaft.length_mm - solve(one_piece).shaft.length_mm)
    assert travel.engaged_mm[at] == pytest.approx(engaged, abs=1e-9)


def test_slip_left_and_engaged_share_the_stroke(one_piece):
    travel = solve(edited(one_piece, {"plan.rear_lift_mm": 40.0})).travel
    np.testing.assert_allclose(np.add(travel.slip_left_mm, travel.engaged_mm), 120.0, atol=1e-9)
    # What the shaft grows by is drawn out of the sleeve, counted from the vehicle as it was measured.
    grown = np.array(travel.length_mm) - solve(one_piece).shaft.length_mm
    np.testing.assert_allclose(70.0 - np.array(travel.engaged_mm), grown, atol=1e-9)


@pytest.mark.parametrize("entry", ["stroke_mm", "engaged_mm"])
def test_a_slip_half_entered_gives_what_it_can(one_piece, entry):
    travel = solve(edited(one_piece, {f"shaft.slip.{entry}": None})).travel
    assert travel.slip_left_mm is None
    assert (travel.engaged_mm is None) == (entry == "engaged_mm")


# --- against an independent chain -----------------------------------------------------------------------------------


def leaf_of(build):
    spring = build.suspension
    sizes = (spring.shackle_length_mm, spring.front_half_mm, spring.rear_half_mm, spring.seat_to_axle_mm)
    eye, pivot = (tuple(np.array(part) for part in point) for point in (spring.front_eye_mm, spring.shackle_pivot_mm))
    return springs.leaf_of(eye, pivot, *(np.array(size) for size in sizes), hangs=True, over=True)


@settings(max_examples=25)
@given(
    output=st.tuples(st.floats(-2.0, 6.0), st.floats(-3.0, 3.0)),
    pinion=st.tuples(st.floats(-3.0, 9.0), st.floats(-3.0, 3.0)),
    drop=st.floats(-30.0, 60.0),
    linked=st.booleans(),
)
def test_every_place_agrees_with_an_independent_chain(one_piece, output, pinion, drop, linked):
    build = edited(
        one_piece,
        {
            "powertrain.slope_deg": output[0],
            "powertrain.plan_deg": output[1],
            "axle.pinion_slope_deg": pinion[0],
            "axle.pinion_plan_deg": pinion[1],
            "axle.pinion_drop_mm": drop,
            "suspension.bump_squash_mm": 10.0,
            "lateral_link": LATERAL if linked else None,
        },
    )
    leaf = leaf_of(build)
    bent = springs.ride_curvature(leaf, np.array(390.0))
    travel = solve(build).travel
    for row in (0, 9, 19, 30, POSITIONS - 1):
        path = springs.axle_path(leaf, bent, np.array(travel.axle_mm[row]))
        shift = np.array([path.dx_mm, 0.0, travel.axle_mm[row]])
        if linked:
            frame, end = np.array(LATERAL["frame_point_mm"]), np.array(LATERAL["axle_point_mm"])
            x, _, z = end + shift - frame
            shift[1] = np.sqrt(np.dot(end - frame, end - frame) - x * x - z * z) + frame[1] - end[1]
        front, rear, length = worked_out(build, shift, float(path.turn_deg))
        assert travel.operating_deg[0][row] == pytest.approx(front, abs=1e-9)
        assert travel.operating_deg[1][row] == pytest.approx(rear, abs=1e-9)
        assert travel.length_mm[row] == pytest.approx(length, abs=1e-9)


def test_side_shift_of_the_lateral_link_swings_the_shaft_in_plan(one_piece):
    # Straight down the middle and nothing but the link to move it sideways.
    middle = {"powertrain.output_joint_mm": (1100.0, 0.0, 560.0), "axle.pinion_offset_mm": 0.0}
    straight = solve(edited(one_piece, middle))
    drawn = solve(edited(one_piece, {**middle, "lateral_link": LATERAL}))
    assert straight.angles.shaft_plan_deg == pytest.approx(0.0, abs=1e-12)
    # 90 mm of droop: (Z - 90)² grows from -30 to -120 mm, so Y shrinks by some 7.5 mm of 900.
    across = np.sqrt(900.0**2 + 30.0**2 - 120.0**2) - 900.0
    assert across == pytest.approx(-7.53, abs=0.01)
    length = drawn.travel.length_mm[0]
    assert length == pytest.approx(np.hypot(straight.travel.length_mm[0], across), abs=0.02)
    assert drawn.travel.operating_deg[0][0] > straight.travel.operating_deg[0][0]


# --- where it ends early --------------------------------------------------------------------------------------------


def reach_of(build):
    return next(one for one in solve(build).findings if one.id == "travel_reach")


def test_a_shackle_pulled_straight_ends_the_droop_and_is_said(one_piece):
    build = edited(one_piece, {"suspension.droop_mm": 400.0, **SETTLED})
    leaf = leaf_of(build)
    with np.errstate(all="ignore"):
        lowest = float(springs.travel_reach_mm(leaf, springs.ride_curvature(leaf, np.array(390.0)))[0])
    assert lowest > -400.0
    travel = solve(build).travel
    step = 400.0 / 19.0
    assert lowest <= travel.axle_mm[0] < lowest + step
    found = reach_of(build)
    assert (found.verdict, found.limit) == ("caution", 0.0)
    assert found.value == pytest.approx(400.0 + lowest, abs=1e-6)
    assert "400 mm" in found.says
    assert "down" in found.says


def test_links_at_their_stop_end_the_bump(one_piece):
    short = {**LINKS, "lower_frame_mm": (2400.0, 420.0), "upper_frame_mm": (2400.0, 600.0), "bump_mm": 400.0}
    build = edited(one_piece, {"suspension": short, **SETTLED})
    found = reach_of(build)
    assert found.verdict == "caution"
    last, step = solve(build).travel.axle_mm[-1], 400.0 / 18.0
    assert 400.0 - last - step < found.value <= 400.0 - last
    assert "up" in found.says


def test_a_short_lateral_link_ends_the_travel_both_ways(one_piece):
    upright = {"frame_point_mm": (2700.0, -30.0, 430.0), "axle_point_mm": (2690.0, 10.0, 425.0)}
    build = edited(one_piece, {"lateral_link": upright, **SETTLED})
    travel = solve(build).travel
    # Upright, the axle may stand a link's length, by Pythagoras, below and above the frame's bolt.
    reach = np.sqrt(40.0**2 + 5.0**2 + 10.0**2)
    assert travel.axle_mm[0] >= -reach + 5.0
    assert travel.axle_mm[-1] <= reach + 5.0
    found = reach_of(build)
    assert found.verdict == "caution"
    assert " down and " in found.says or " up and " in found.says


def test_a_full_travel_is_clear_and_told(one_piece):
    found = reach_of(edited(one_piece, SETTLED))
    assert (found.verdict, found.value) == ("clear", 0.0)
    assert "from 90 mm (3.54 in) down to 80 mm (3.15 in) up" in found.says


def test_a_suspension_that_cannot_be_there_at_all_has_no_travel(one_piece):
    # The axle turns about the point where the links' lines meet, right above or below which its height stands still:
    # lines z = 300 and x - z = 2000 meet at (2300, 300), and the axle's centre lies there too.
    dead = {
        **LINKS,
        "lower_frame_mm": (2400.0, 300.0),
        "lower_axle_mm": (2500.0, 300.0),
        "upper_frame_mm": (2400.0, 400.0),
        "upper_axle_mm": (2500.0, 500.0),
        "rigid": True,
    }
    answer = solve(edited(one_piece, {"suspension": dead, "axle.centre_mm": (2300.0, 0.0, 390.0), **SETTLED}))
    assert answer.travel is None
    found = {finding.id: finding for finding in answer.findings}
    assert found["slip_left"].verdict == "unknown"
    assert found["travel_reach"].verdict != "clear"
    assert "cannot move the axle" in found["slip_left"].says
