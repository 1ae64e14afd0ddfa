"""The axle on its suspension: what is wanted, what cannot be, what a lift does, where it is over the travel."""

import numpy as np
import pytest
from scipy.optimize import fsolve, least_squares

from geometry import Build, edited, solve
from geometry.document.entries import variants
from geometry.judge.facts import Facts
from geometry.judge.shapes import shares_of

FOUR_BAR = {
    "kind": "links",
    "lower_frame_mm": (1800.0, 500.0),
    "lower_axle_mm": (2560.0, 330.0),
    "upper_frame_mm": (1950.0, 620.0),
    "upper_axle_mm": (2580.0, 530.0),
    "bump_mm": 80.0,
    "droop_mm": 90.0,
    "bump_squash_mm": 10.0,
}
LATERAL = {"frame_point_mm": (2700.0, -450.0, 430.0), "axle_point_mm": (2690.0, 450.0, 400.0)}
LIFT = {"rear_lift_mm": 30.0, "front_lift_mm": 30.0}


@pytest.fixture
def on_links(one_piece):
    return edited(one_piece, {"suspension": FOUR_BAR})


def facts_of(build, positions=41):
    with np.errstate(all="ignore"):
        return Facts(variants(build), positions)


def shift_of(build):
    """How the lift moves the axle in the frame, (3,) mm, and turns it, degrees."""
    ride = facts_of(build).ride
    return np.array([float(part) for part in ride.shift]), float(ride.turn_deg)


def says(build, limit_id):
    return next(one for one in solve(build).findings if one.id == limit_id)


def test_without_a_suspension_the_axle_stays_and_springs_are_wanted(one_piece):
    build = edited(one_piece, {"suspension": None})
    assert shift_of(build)[0].tolist() == [0.0, 0.0, 0.0]
    assert solve(build).travel is None
    assert "the springs or links" in says(build, "slip_left").says
    lifted = edited(build, {"plan": LIFT})
    assert says(lifted, "lift").verdict == "unknown"
    assert "the springs or links" in says(lifted, "lift").says


@pytest.mark.parametrize(
    ("entry", "name"),
    [
        ("front_eye_mm", "front eye"), ("shackle_pivot_mm", "shackle pivot"), ("shackle_length_mm", "shackle length"),
        ("front_half_mm", "front half"), ("rear_half_mm", "rear half"),
    ],
)  # fmt: skip
def test_a_missing_spring_entry_is_named(one_piece, entry, name):
    build = edited(one_piece, {f"suspension.{entry}": None, "plan": LIFT})
    assert np.isnan(shift_of(build)[0][[0, 2]]).any()
    finding = says(build, "lift")
    assert finding.verdict == "unknown"
    assert name in finding.says
    assert finding.entry == f"suspension.{entry}"


def test_a_missing_link_or_axle_centre_is_named(on_links):
    finding = says(edited(on_links, {"suspension.upper_axle_mm": None, "axle.centre_mm": None, "plan": LIFT}), "lift")
    assert "the axle centre" in finding.says
    assert "the upper link at the axle" in finding.says


def test_missing_stops_are_named(one_piece):
    finding = says(edited(one_piece, {"suspension.bump_mm": None, "suspension.droop_mm": None}), "travel_reach")
    assert (finding.verdict, finding.value) == ("unknown", None)
    assert "the travel to bump stop" in finding.says
    assert "the travel to full droop" in finding.says


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"suspension.shackle_pivot_mm": (2000.0, 700.0)}, "the springs as entered cannot hold the axle"),
        ({"axle.centre_mm": (2600.0, 0.0, 1400.0)}, "the springs as entered cannot hold the axle at its height"),
        ({"suspension": {**FOUR_BAR, "upper_axle_mm": (2560.0, 330.0)}}, "the links as entered do not fit together"),
    ],
)
def test_what_cannot_be_as_entered_is_said(one_piece, changes, words):
    build = edited(one_piece, {"shaft.slip": {"stroke_mm": 120.0, "engaged_mm": 70.0}, "plan": LIFT, **changes})
    finding = says(build, "lift")
    assert finding.verdict == "unknown"
    assert words in finding.says


@pytest.mark.parametrize(
    "changes",
    [
        {"plan.rear_lift_mm": 900.0},
        {"plan": {"rear_lift_mm": 900.0, "rear_lift_by": "shackle"}},
        {"suspension": FOUR_BAR, "plan.rear_lift_mm": 900.0},
        {"suspension.seat": "under", "plan": {"rear_lift_mm": 50.0, "rear_lift_by": "block"}},
    ],
)
def test_a_lift_that_cannot_be_done_is_held_and_gives_no_place(one_piece, changes):
    build = edited(one_piece, changes)
    assert not np.isfinite(shift_of(build)[0]).all()
    finding = says(build, "lift")
    assert finding.verdict == "hold"
    assert "would help" in finding.says
    assert finding.entry == "plan.rear_lift_mm"


def test_links_take_no_block(one_piece):
    build = edited(one_piece, {"suspension": FOUR_BAR, "plan": {"rear_lift_mm": 9.0, "rear_lift_by": "block"}})
    assert np.isnan(shift_of(build)[0]).any()
    assert says(build, "lift").verdict in {"hold", "unknown"}
    assert solve(edited(build, {"plan.rear_lift_mm": -9.0})).travel is None  # lowered by one it stands no better


def test_a_lateral_link_too_short_for_the_lift_gives_no_place(one_piece):
    link = {"frame_point_mm": (2700.0, -20.0, 430.0), "axle_point_mm": (2690.0, 20.0, 430.0)}
    build = edited(one_piece, {"suspension": FOUR_BAR, "plan.rear_lift_mm": 100.0, "lateral_link": link})
    assert not np.isfinite(shift_of(build)[0][1])
    assert "cannot reach where the planned lift takes the axle" in says(build, "lateral_lift").says


def test_a_lift_on_springs_that_are_not_measured_is_unknown_not_impossible(one_piece):
    build = edited(one_piece, {"suspension": None, "plan.rear_lift_mm": 50.0})
    assert says(build, "lift").verdict == "unknown"
    assert np.isnan(shift_of(build)[0][[0, 2]]).all()


def test_a_block_needs_no_more_than_the_slope_of_the_seat(one_piece):
    block = {"suspension": None, "plan": {"rear_lift_mm": 50.0, "rear_lift_by": "block"}}
    shift, turn = shift_of(edited(one_piece, {**block, "readings.seat_slope_deg": 3.0}))
    # Straight away from a seat whose rear end is 3 degrees low: down and ahead, 50 cos 3 and 50 sin 3.
    np.testing.assert_allclose(shift, [-2.616798, 0.0, -49.931477], atol=1e-6)
    assert turn == 0.0
    for other in (
        {"readings.seat_slope_deg": None},
        {"suspension": {"kind": "leaf", "seat": "under"}},
        {"plan.rear_lift_by": "shackle"},
    ):
        assert np.isnan(shift_of(edited(one_piece, {**block, **other}))[0]).any()


def test_predicted_station_is_where_an_arc_through_the_eyes_puts_the_axle(one_piece):
    # Own construction: an arc of 1240 mm from the fixed eye whose end is a shackle's length from the pivot and whose
    # seat carries the axle at its taped height; scipy finds curvature and slope at the eye together.
    spring = one_piece.suspension
    eye, pivot = np.array(spring.front_eye_mm), np.array(spring.shackle_pivot_mm)

    def along(arc, curvature, start):
        end = start - curvature * arc
        return eye + np.array([np.sin(start) - np.sin(end), np.cos(start) - np.cos(end)]) / curvature

    def centre(curvature, start):
        slope = start - curvature * 600.0
        return along(600.0, curvature, start) - 60.0 * np.array([np.sin(slope), np.cos(slope)])

    def off(unknown):
        curvature, start = unknown[0] / 1e3, unknown[1]
        shackle = np.hypot(*(along(1240.0, curvature, start) - pivot))
        return [shackle - spring.shackle_length_mm, centre(curvature, start)[1] - 390.0]

    (thousandths, start), _, found, _ = fsolve(off, [0.3, 0.2], full_output=True, xtol=1e-13)
    assert found == 1
    ride = facts_of(one_piece).ride
    assert float(ride.curvature) == pytest.approx(thousandths / 1e3, rel=1e-8)
    assert float(ride.predicted_x_mm) == pytest.approx(centre(thousandths / 1e3, start)[0], abs=1e-6)


def held_by_two_bolts(height):
    """The axle as a rigid bracket whose two bolts keep their distances from the frame: its place, and turn, degrees."""
    start = np.array([2600.0, 390.0])

    def wrong(unknown):
        at, turn = np.array([2600.0 + unknown[0], height]), np.radians(unknown[1])
        spin = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        return [
            np.hypot(*(at + spin @ (np.array(FOUR_BAR[f"{which}_axle_mm"]) - start) - FOUR_BAR[f"{which}_frame_mm"]))
            - np.hypot(*np.subtract(FOUR_BAR[f"{which}_axle_mm"], FOUR_BAR[f"{which}_frame_mm"]))
            for which in ("lower", "upper")
        ]

    found = least_squares(wrong, [0.0, 0.0], xtol=1e-15, ftol=1e-15, gtol=1e-15).x
    assert np.abs(wrong(found)).max() < 1e-9
    return found


def test_a_lift_on_links_is_their_droop_and_travel_goes_on_from_there(on_links):
    build = edited(on_links, {"plan.rear_lift_mm": 40.0})
    shift, turn = shift_of(build)
    forth, turned = held_by_two_bolts(350.0)
    np.testing.assert_allclose(shift, [forth, 0.0, -40.0], atol=1e-8)
    assert turn == pytest.approx(turned, abs=1e-8)
    sweep = facts_of(build).sweep
    for row in (0, 7, 30):
        travel = float(sweep.travel_mm[row, 0])
        forth, turned = held_by_two_bolts(350.0 + travel)
        assert float(sweep.shift.x[row, 0]) + shift[0] == pytest.approx(forth, abs=1e-8)
        assert float(sweep.turn_deg[row, 0]) + turn == pytest.approx(turned, abs=1e-8)


@pytest.mark.parametrize("by", ["spring", "block", "shackle"])
def test_travel_starts_from_where_the_lift_left_the_axle(one_piece, by):
    facts = facts_of(edited(one_piece, {"plan": {"rear_lift_mm": 30.0, "rear_lift_by": by}}))
    sweep = facts.sweep
    at = int(np.argmin(np.abs(shares_of(41))))
    assert float(shares_of(41)[at, 0]) == 0.0
    for part in (*sweep.shift, sweep.turn_deg):
        assert float(np.ravel(part)[at]) == pytest.approx(0.0, abs=1e-9)
    np.testing.assert_allclose(sweep.shift.z, sweep.travel_mm, atol=1e-9)


def test_the_lateral_link_draws_the_axle_sideways_over_travel_and_lift_together(one_piece):
    build = edited(one_piece, {"lateral_link": LATERAL, "plan.rear_lift_mm": 30.0})
    shift, _ = shift_of(build)
    sweep = facts_of(build).sweep
    ends = np.array(LATERAL["axle_point_mm"]) + shift + np.hstack([np.asarray(part) for part in sweep.shift])
    length = np.linalg.norm(np.subtract(LATERAL["axle_point_mm"], LATERAL["frame_point_mm"]))
    np.testing.assert_allclose(np.linalg.norm(ends - LATERAL["frame_point_mm"], axis=1), length, atol=1e-9)
    assert shift[1] != 0.0


def test_a_lateral_link_with_one_end_missing_gives_no_place_sideways(one_piece):
    build = edited(one_piece, {"lateral_link.frame_point_mm": (2700.0, -450.0, 430.0)})
    assert shift_of(build)[0][1] == 0.0  # as it was measured it stands
    assert says(build, "lateral_shift").verdict == "unknown"
    assert np.isnan(shift_of(edited(build, {"plan": LIFT}))[0][1])


def test_places_of_the_travel_run_from_droop_through_ride_height_to_full_squash():
    for positions in (9, 41, 201):
        shares = shares_of(positions).ravel()
        assert len(shares) == positions
        assert (shares[0], shares[-1]) == (-1.0, 2.0)
        assert (shares == 0.0).sum() == 1
        assert (np.diff(shares) > 0.0).all()
        assert 1.0 in shares


def test_bump_goes_to_the_first_touch_and_then_through_the_squash(one_piece):
    """80 mm to the stop and 10 of rubber, lifted by 30 mm: 110 to the touch, 120 at full squash; 90 down."""
    build = edited(one_piece, {"suspension.bump_squash_mm": 10.0, "plan": LIFT})
    travel = facts_of(build).sweep.travel_mm.ravel()
    assert (travel[0], travel[-1]) == (-90.0, 120.0)
    assert 110.0 in travel.round(9)
    block = facts_of(edited(build, {"plan.rear_lift_by": "block"})).sweep.travel_mm.ravel()
    assert (block[0], block[-1]) == (-90.0, 90.0)  # over a block the spring meets its stop where it did
    lowered = edited(build, {"plan": {"rear_lift_mm": -120.0, "front_lift_mm": -120.0}})
    assert facts_of(lowered).sweep.travel_mm.max() == 10.0  # past the first touch nothing but the squash is left


def test_an_empty_build_rides_where_it_is():
    ride = facts_of(Build()).ride
    assert (float(ride.lift_mm), float(ride.tilt_deg), float(ride.stop_gain_mm)) == (0.0, 0.0, 0.0)
