"""Wind-up: torque through the axle ratio over the stiffness of two springs, and what it does to the set-point."""

import math

import pytest

from geometry import edited, solve
from geometry.words.solve import Work
from tests.geometry.strategies import sample

EQUAL = {"suspension.front_half_mm": 620.0, "suspension.rear_half_mm": 620.0, "suspension.rate_n_per_mm": 30.0}
# One spring of 30 N/mm and 1.24 m: k L²/4 = 30,000 x 1.24²/4 = 11,532 N·m/rad; two of them, for a degree.
PER_DEGREE = 2.0 * 11_532.0 * math.pi / 180.0
LOW_GEAR = 300.0 * 3.5 * 2.5 * 0.94
WHEEL_SLIP = 0.9 * 950.0 * 9.80665 * 0.390 / (3.9 * 0.96)
CRUISE = 300.0 * 1.0 * 0.94 * 0.3


def test_turn_is_axle_torque_over_the_stiffness_of_both_springs(one_piece):
    wound = solve(edited(one_piece, EQUAL)).windup
    assert wound.stiffness_nm_per_deg == pytest.approx(PER_DEGREE, rel=1e-12)
    assert wound.cruise_torque_nm == pytest.approx(CRUISE)
    assert wound.cruise_deg == pytest.approx(CRUISE * 3.9 / PER_DEGREE, rel=1e-12)
    assert wound.launch_deg == pytest.approx(WHEEL_SLIP * 3.9 / PER_DEGREE, rel=1e-12)


def test_unequal_halves_after_beam_theory(one_piece):
    # Halves of 0.6 and 0.8 m, one spring 26.0525 N/mm: 11,543 N·m/rad by L²/(1/ka + 1/kb), each half a cantilever.
    halves = {"suspension.front_half_mm": 600.0, "suspension.rear_half_mm": 800.0, "suspension.rate_n_per_mm": 26.0525}
    wound = solve(edited(one_piece, {**halves, "suspension.shackle_pivot_mm": (3380.0, 560.0)})).windup
    assert wound.stiffness_nm_per_deg == pytest.approx(2.0 * 11_543.0 * math.pi / 180.0, rel=1e-4)


@pytest.mark.parametrize(("grip", "expected"), [(0.9, WHEEL_SLIP), (3.0, LOW_GEAR), (None, LOW_GEAR)])
def test_launch_takes_the_smaller_torque_that_is_known(one_piece, grip, expected):
    wound = solve(edited(one_piece, {**EQUAL, "vehicle.tyre_grip": grip})).windup
    assert wound.launch_deg == pytest.approx(expected * 3.9 / PER_DEGREE, rel=1e-12)


def test_launch_is_judged_by_the_tyres_where_the_engine_is_not_known(one_piece):
    """The tyres bound it from above: soft springs are unknown, as the engine may be weak, stiff ones clear."""
    bare = edited(one_piece, {**EQUAL, "powertrain.peak_torque_nm": None})
    answer = solve(bare)
    found = {finding.id: finding for finding in answer.findings}
    assert answer.windup.launch_deg == pytest.approx(WHEEL_SLIP * 3.9 / PER_DEGREE, rel=1e-12)
    for limit_id in ("windup_cruise", "windup_launch"):
        assert (found[limit_id].verdict, found[limit_id].entry) == ("unknown", "powertrain.peak_torque_nm")
    stiff = solve(edited(bare, {"suspension.rate_n_per_mm": 150.0, "vehicle.mass_centre_height_mm": 700.0}))
    assert {finding.id: finding.verdict for finding in stiff.findings}["windup_launch"] == "clear"


@pytest.mark.parametrize(
    "entry", ["suspension.rate_n_per_mm", "suspension.front_half_mm", "suspension.rear_half_mm", "axle.ratio"]
)
def test_what_the_turn_still_wants_is_named(one_piece, entry):
    answer = solve(edited(one_piece, {entry: None}))
    found = {finding.id: finding for finding in answer.findings}
    for limit_id in ("windup_cruise", "windup_launch"):
        assert (found[limit_id].verdict, found[limit_id].entry) == ("unknown", entry)


LINKS = {
    "kind": "links",
    "lower_frame_mm": (1800.0, 500.0),
    "lower_axle_mm": (2560.0, 330.0),
    "upper_frame_mm": (1950.0, 620.0),
    "upper_axle_mm": (2580.0, 530.0),
}


def test_links_wind_up_by_nothing_only_where_their_joints_are_rigid(one_piece):
    rigid = solve(edited(one_piece, {"suspension": {**LINKS, "rigid": True}}))
    assert (rigid.windup.cruise_deg, rigid.windup.launch_deg) == (0.0, 0.0)
    rubber = solve(edited(one_piece, {"suspension": LINKS}))
    assert (rubber.windup.cruise_deg, rubber.windup.launch_deg) == (None, None)
    assert rigid.windup.stiffness_nm_per_deg is rubber.windup.stiffness_nm_per_deg is None
    for answer, verdicts in ((rigid, {"clear", "caution", "hold"}), (rubber, {"unknown"})):
        told = [finding.verdict for finding in answer.findings if finding.id.startswith("windup")]
        assert set(told) <= verdicts


def test_a_build_without_springs_says_nothing(one_piece):
    bare = solve(edited(one_piece, {"suspension": None}))
    assert bare.windup is None
    assert not [finding for finding in bare.findings if finding.id.startswith("windup")]


def test_assumed_share_of_torque_is_said_where_it_was_not_entered(one_piece):
    found = {finding.id: finding for finding in solve(one_piece).findings}
    assert "(0.3 of the engine's peak taken)" in found["windup_cruise"].says
    entered = solve(edited(one_piece, {"powertrain.cruise_torque_share": 0.25}))
    found = {finding.id: finding for finding in entered.findings}
    assert "taken" not in found["windup_cruise"].says
    assert entered.windup.cruise_torque_nm == pytest.approx(300.0 * 0.94 * 0.25)


@pytest.mark.parametrize("rate", [20.0, 30.0, 60.0])
def test_cruise_is_judged_with_the_axle_turned_as_a_wedge_turns_it(one_piece, rate):
    # Wedge and wind-up turn the axle about the same line: standing on a wedge of the cruise turn it runs alike.
    sure = {"axle.pinion_plan_deg": 0.0, "powertrain.cruise_torque_share": 0.3}
    build = edited(one_piece, {"suspension.rate_n_per_mm": rate, **sure})
    loaded = solve(build)
    wedged = solve(edited(build, {"plan.axle_shim_deg": loaded.windup.cruise_deg}))
    standing, turned = (
        {finding.id: finding.value for finding in answer.findings}["pinion_residual"] for answer in (loaded, wedged)
    )
    assert {finding.id: finding.value for finding in loaded.findings}["windup_cruise"] == pytest.approx(
        turned, rel=1e-9
    )
    assert turned > standing + 10.0


@pytest.mark.parametrize("end", ["rear", "front"])
def test_torque_lifts_the_front_of_the_housing_on_either_axle(one_piece, end):
    build = one_piece
    if end == "front":
        build = edited(
            one_piece,
            {
                "axle.end": "front",
                "axle.centre_mm": (0.0, 0.0, 390.0),
                "suspension.front_eye_mm": (-600.0, 480.0),
                "suspension.shackle_pivot_mm": (620.0, 560.0),
            },
        )
    standing = solve(build)
    launched = Work(build).posed(standing, torque="launch")
    rise = launched.angles.pinion_slope_deg - standing.angles.pinion_slope_deg
    assert rise == pytest.approx(standing.windup.launch_deg, abs=1e-9)
    # A rear axle's joint lies ahead of its centre and rises, a front axle's behind it and falls.
    climb = launched.picture.pinion_joint_mm[2] - standing.picture.pinion_joint_mm[2]
    assert (climb > 10.0) if end == "rear" else (climb < -10.0)


def test_two_springs_of_twice_the_rate_wind_up_half_as_far(one_piece):
    soft, stiff = (
        solve(edited(one_piece, {"suspension.rate_n_per_mm": rate})).windup.launch_deg for rate in (25.0, 50.0)
    )
    assert soft == pytest.approx(2.0 * stiff, rel=1e-12)


def test_a_shaft_of_even_joints_asks_nothing_of_the_pinion(one_piece):
    even = {"type": "constant_velocity", "max_angle_deg": 25.0}
    build = edited(one_piece, {"shaft.front_joint": even, "shaft.rear_joint": even, "plan.axle_shim_deg": 1.5})
    answer = solve(build)
    assert answer.setpoints.axle_shim_deg == 1.5
    assert answer.setpoints.pinion_slope_deg == pytest.approx(answer.angles.pinion_slope_deg, abs=1e-12)


def test_a_slip_that_is_short_on_the_way_to_the_most_wind_up_is_not_cleared_where_nobody_knows_how_far_it_goes():
    """By the tyres' load it may be anything up to 70°: a parabola over that had 20.8 mm left, with 2.7 t it is 17.8."""
    soft = edited(sample("ranch_truck_swap"), {
        "powertrain.low_range": 2.5, "powertrain.converter_ratio": 2.5, "suspension.rate_n_per_mm": 30.0,
        "axle.pinion_slope_deg": -6.0, "shaft.slip.engaged_mm": 68.5, "obstacles": (), "shocks": (),
    })  # fmt: skip
    laden, lost = (
        next(one for one in solve(edited(soft, {"vehicle.rear_axle_load_kg": load})).findings if one.id == "slip_left")
        for load in (2_700.0, None)
    )
    assert (laden.verdict, laden.value) == ("caution", pytest.approx(17.8, abs=0.1))
    assert lost.verdict == "unknown"
    assert "load on the driven axle" in lost.says
