"""Curves over the travel: the solution's own values, and the limits that the findings judge by."""

import numpy as np
import pytest

from app.curves.curves import Curves, Panel, Series, at_travel, curves_of, worst_of
from geometry import Build, edited, solve
from tests.app.desk import SAMPLES, moved, sample

TRAVELLING = sorted(path.stem for path in SAMPLES.glob("*.json") if path.stem != "three_angles_and_a_length")


def curves(build: Build) -> Curves:
    made = curves_of(build, solve(build))
    assert made is not None
    return made


def panel(made: Curves, title: str) -> Panel:
    return next(one for one in made.panels if one.title == title)


@pytest.mark.parametrize("name", TRAVELLING)
def test_angles_and_residual_are_those_of_the_moved_axle(name: str) -> None:
    build = sample(name)
    made = curves(build)
    for travel in made.travel_mm[[0, 25, -1]].tolist():
        there = moved(build, travel)
        assert there is not None
        angles = [at_travel(made, one, travel) for one in panel(made, "joint angles").series]
        assert angles == pytest.approx([joint.operating_deg for joint in there.joints], abs=1e-9)
        residual = at_travel(made, panel(made, "uneven running").series[0], travel)
        assert residual == pytest.approx(there.motion.pinion_residual_rad_s2)


def test_limits_are_the_ones_that_the_findings_judge_by() -> None:
    build = sample("ranch_truck_swap")
    made, solution = curves(build), solve(build)
    # Judged lines: 400 rad/s², a two-joint table citing SAE AE-7 (3.1.1); the joints' own greatest angle as entered.
    assert [(one.word, one.value) for one in panel(made, "uneven running").limits] == [
        ("hold", 400.0),
        ("caution", 300.0),
    ]
    assert build.shaft is not None
    assert build.shaft.front_joint is not None
    most = build.shaft.front_joint.max_angle_deg
    assert most is not None
    # A degree to spare to the joint's own greatest angle at least, three wanted: common practice.
    assert [(one.word, one.value) for one in panel(made, "joint angles").limits] == [
        ("hold", most - 1.0),
        ("caution", most - 3.0),
    ]
    for name, title in (("slip_left", "slip left"), ("slip_engaged", "slip engaged")):
        one = next(one for one in solution.findings if one.id == name)
        assert [line.value for line in panel(made, title).limits] == [one.hold_limit, one.limit]
    near = min((one for one in solution.findings if one.id.startswith("gap_")), key=lambda one: one.value or 0.0)
    assert [one.value for one in panel(made, "least gap").limits] == [near.hold_limit, near.limit]


def test_joints_of_unlike_reach_have_limits_of_their_own() -> None:
    words = [one.word for one in panel(curves(sample("transfer_case_double_joint")), "joint angles").limits]
    assert words == ["hold, rear", "caution, rear", "hold, front", "caution, front"]


def test_the_worst_point_is_the_findings() -> None:
    # Torque does not wind links up, so the finding and the curve are both of the axle at rest.
    build = sample("transfer_case_double_joint")
    made, solution = curves(build), solve(build)
    slip = next(one for one in solution.findings if one.id == "slip_left")
    assert worst_of(made, panel(made, "slip left").series[0]) == pytest.approx((made.travel_mm[-1], slip.value))
    flat = curves(sample("ranch_truck_swap"))
    # The gearbox, which stands still, comes nearest everywhere: the mark stands at ride height.
    assert worst_of(flat, panel(flat, "least gap").series[0]) == pytest.approx((0.0, 24.34), abs=0.01)


def test_what_is_not_known_says_what_to_measure() -> None:
    made = curves(edited(sample("ranch_truck_swap"), {"shaft.slip": None, "obstacles": ()}))
    assert panel(made, "slip left").series == ()
    assert "slip engaged at ride height" in panel(made, "slip left").wants
    assert "No obstacle" in panel(made, "least gap").wants
    assert curves_of(sample("three_angles_and_a_length"), solve(sample("three_angles_and_a_length"))) is None


def test_a_value_is_straight_between_points_and_unknown_beside_an_unknown_one() -> None:
    made = Curves(np.array([-10.0, 0.0, 10.0]), (), Build().display)
    series = Series("", np.array([2.0, 4.0, np.nan]), "most")
    assert at_travel(made, series, -5.0) == pytest.approx(3.0)
    assert at_travel(made, series, 5.0) is None
    assert worst_of(made, series) == (0.0, 4.0)
    assert worst_of(made, Series("", np.array([np.nan] * 3), "most")) is None


def test_the_worst_is_the_greatest_or_the_least_and_of_equals_the_one_nearest_to_ride_height() -> None:
    made = Curves(np.array([-10.0, -2.0, 0.0, 10.0]), (), Build().display)
    values = np.array([5.0, 1.0, 1.0, 3.0])
    assert worst_of(made, Series("", values, "most")) == (-10.0, 5.0)
    assert worst_of(made, Series("", values, "least")) == (0.0, 1.0)
