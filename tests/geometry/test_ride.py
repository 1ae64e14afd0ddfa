"""The axle on its suspension: what is wanted, what cannot be, what a lift does, where it is over the travel."""

import numpy as np
import pytest
from scipy.optimize import fsolve

from geometry import Build, edited, links
from geometry.ride import FourBar, Leaf, ride, row_of, some_rows, sweep, travel_wants

FOUR_BAR = {
    "kind": "links",
    "lower_frame_mm": (1800.0, 500.0),
    "lower_axle_mm": (2560.0, 330.0),
    "upper_frame_mm": (1950.0, 620.0),
    "upper_axle_mm": (2580.0, 530.0),
    "bump_mm": 80.0,
    "droop_mm": 90.0,
}
LATERAL = {"frame_point_mm": (2700.0, -450.0, 430.0), "axle_point_mm": (2690.0, 450.0, 400.0)}


@pytest.fixture
def on_links(one_piece):
    return edited(one_piece, {"suspension": FOUR_BAR})


def test_without_a_suspension_the_axle_stays_and_springs_are_wanted(one_piece):
    at = ride(edited(one_piece, {"suspension": None}))
    assert (at.mechanism, at.wants, at.trouble) == (None, (("suspension", "the springs or links"),), "")
    assert at.shift_mm.tolist() == [0.0, 0.0, 0.0]
    assert sweep(at, np.zeros(1)) is None


@pytest.mark.parametrize(
    "entry", ["front_eye_mm", "shackle_pivot_mm", "shackle_length_mm", "front_half_mm", "rear_half_mm"]
)
def test_a_missing_spring_entry_is_named(one_piece, entry):
    at = ride(edited(one_piece, {f"suspension.{entry}": None}))
    assert at.mechanism is None
    assert [want[0] for want in at.wants] == [f"suspension.{entry}"]


def test_a_missing_link_or_axle_centre_is_named(on_links):
    at = ride(edited(on_links, {"suspension.upper_axle_mm": None, "axle.centre_mm": None}))
    assert [want[0] for want in at.wants] == ["axle.centre_mm", "suspension.upper_axle_mm"]


def test_missing_stops_are_named(one_piece):
    assert travel_wants(one_piece) == ()
    named = travel_wants(edited(one_piece, {"suspension.bump_mm": None, "suspension.droop_mm": None}))
    assert [want[0] for want in named] == ["suspension.bump_mm", "suspension.droop_mm"]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"suspension.shackle_pivot_mm": (2000.0, 700.0)}, "springs as entered cannot be: shackle_pivot_mm"),
        ({"axle.centre_mm": (2600.0, 0.0, 1400.0)}, "cannot hold the axle at its measured height"),
        ({"suspension": {**FOUR_BAR, "upper_axle_mm": (2560.0, 330.0)}}, "links as entered cannot be"),
        (
            {"lateral_link": {"frame_point_mm": (0.0, 10.0, 0.0), "axle_point_mm": (9.0, 10.0, 0.0)}},
            "lateral link as entered cannot be",
        ),
    ],
)
def test_what_cannot_be_as_entered_is_said(one_piece, changes, says):
    at = ride(edited(one_piece, changes))
    assert says in at.trouble
    assert at.trouble_entry == ("lateral_link" if "lateral" in says else "suspension")


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"plan.rear_lift_mm": 900.0}, "The spring cannot reach a lift of 900 mm (35.43 in) by spring."),
        ({"plan": {"rear_lift_mm": 900.0, "rear_lift_by": "shackle"}}, "by shackle."),
        ({"suspension": FOUR_BAR, "plan.rear_lift_mm": 900.0}, "The links cannot reach a lift of 900 mm (35.43 in)."),
        ({"suspension": FOUR_BAR, "plan": {"rear_lift_mm": 9.0, "rear_lift_by": "block"}}, "Links have no block"),
        (
            {"suspension.seat": "under", "plan": {"rear_lift_mm": 50.0, "rear_lift_by": "block"}},
            "A block between axle and a spring that hangs under it lowers the vehicle",
        ),
        (
            {
                "suspension": FOUR_BAR,
                "plan.rear_lift_mm": 100.0,
                "lateral_link": {"frame_point_mm": (2700.0, -20.0, 430.0), "axle_point_mm": (2690.0, 20.0, 430.0)},
            },
            "The lateral link cannot reach a lift of 100 mm",
        ),
    ],
)
def test_a_lift_that_cannot_be_done_is_said_and_gives_no_place(one_piece, changes, says):
    at = ride(edited(one_piece, changes))
    assert says in at.trouble
    assert at.trouble_entry == "plan.rear_lift_mm"
    assert not np.isfinite(at.shift_mm).all()


def test_a_lift_on_springs_that_are_not_measured_is_unknown_not_impossible(one_piece):
    at = ride(edited(one_piece, {"suspension": None, "plan.rear_lift_mm": 50.0}))
    assert (at.trouble, at.wants) == ("", (("suspension", "the springs or links"),))
    assert np.isnan(at.shift_mm[[0, 2]]).all()


def test_springs_that_cannot_be_are_named_before_the_lift_they_cannot_do(one_piece):
    at = ride(edited(one_piece, {"suspension.shackle_pivot_mm": (2000.0, 700.0), "plan.rear_lift_mm": 50.0}))
    assert at.trouble_entry == "suspension"


def test_a_block_needs_no_more_than_the_slope_of_the_seat(one_piece):
    block = {"suspension": None, "plan": {"rear_lift_mm": 50.0, "rear_lift_by": "block"}}
    at = ride(edited(one_piece, {**block, "readings.seat_slope_deg": 3.0}))
    # Straight away from a seat whose rear end is 3 degrees low: down and ahead, 50 cos 3 and 50 sin 3.
    np.testing.assert_allclose(at.shift_mm, [-2.616798, 0.0, -49.931477], atol=1e-6)
    assert at.turn_deg == 0.0
    for other in (
        {"readings.seat_slope_deg": None},
        {"suspension": {"kind": "leaf", "seat": "under"}},
        {"plan.rear_lift_by": "shackle"},
    ):
        assert np.isnan(ride(edited(one_piece, {**block, **other})).shift_mm).any()


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
    at = ride(one_piece)
    assert isinstance(at.mechanism, Leaf)
    assert at.mechanism.curvature == pytest.approx(thousandths / 1e3, rel=1e-8)
    assert at.predicted_x_mm == pytest.approx(centre(thousandths / 1e3, start)[0], abs=1e-6)


def test_a_lift_on_links_is_their_droop_and_travel_goes_on_from_there(on_links):
    bar = links.Links(*(FOUR_BAR[name] for name in list(FOUR_BAR)[1:5]))
    path = links.axle_sweep(bar, (2600.0, 390.0), np.array([-40.0, -70.0]))
    at = ride(edited(on_links, {"plan.rear_lift_mm": 40.0}))
    assert isinstance(at.mechanism, FourBar)
    assert at.shift_mm.tolist() == [path.dx_mm[0], 0.0, -40.0]
    assert at.turn_deg == path.turn_deg[0]
    swept = sweep(at, np.array([0.0, -30.0]))
    np.testing.assert_allclose(swept.shift_mm[:, 0], path.dx_mm, atol=1e-9)
    np.testing.assert_allclose(swept.turn_deg, path.turn_deg, atol=1e-9)
    assert (row_of(swept, 1).lower_axle_mm == swept.lower_axle_mm[1:]).all()


@pytest.mark.parametrize("by", ["spring", "block", "shackle"])
def test_travel_starts_from_where_the_lift_left_the_axle(one_piece, by):
    at = ride(edited(one_piece, {"plan": {"rear_lift_mm": 30.0, "rear_lift_by": by}}))
    swept = sweep(at, np.array([0.0, 20.0]))
    np.testing.assert_allclose(swept.shift_mm[0], at.shift_mm, atol=1e-9)
    assert swept.turn_deg[0] == pytest.approx(at.turn_deg, abs=1e-9)
    assert swept.shift_mm[1, 2] - swept.shift_mm[0, 2] == pytest.approx(20.0, abs=1e-9)


def test_the_lateral_link_draws_the_axle_sideways_over_travel_and_lift_together(one_piece):
    build = edited(one_piece, {"lateral_link": LATERAL, "plan.rear_lift_mm": 30.0})
    at = ride(build)
    swept = sweep(at, np.array([0.0, -40.0, 25.0]))
    ends = np.array(LATERAL["axle_point_mm"]) + swept.shift_mm
    length = np.linalg.norm(np.subtract(LATERAL["axle_point_mm"], LATERAL["frame_point_mm"]))
    np.testing.assert_allclose(np.linalg.norm(ends - LATERAL["frame_point_mm"], axis=1), length, atol=1e-9)
    assert at.shift_mm[1] == swept.shift_mm[0, 1] != 0.0


def test_a_lateral_link_with_one_end_missing_holds_nothing(one_piece):
    at = ride(edited(one_piece, {"lateral_link.frame_point_mm": (2700.0, -450.0, 430.0)}))
    assert (at.link, at.trouble) == (None, "")


def test_rows_of_a_sweep_without_links_have_no_link_ends(one_piece):
    swept = sweep(ride(one_piece), np.array([-10.0, 0.0, 10.0]))
    cut = some_rows(swept, slice(1, None))
    assert cut.travel_mm.tolist() == [0.0, 10.0]
    assert cut.lower_axle_mm is None
    assert cut.curvature.tolist() == swept.curvature[1:].tolist()


def test_an_empty_build_rides_where_it_is():
    at = ride(Build())
    assert (at.lift_mm, at.tilt_deg, at.raised_mm) == (0.0, 0.0, 0.0)
