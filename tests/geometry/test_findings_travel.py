"""Verdicts over the travel and under torque, each side of its line, and the sentences that go with them."""

import numpy as np
import pytest

from geometry import edited, solve
from geometry.facts import gather
from geometry.findings.travel import length_change, worst_reach

LATERAL = {"frame_point_mm": (2700.0, -450.0, 430.0), "axle_point_mm": (2690.0, 450.0, 400.0)}


def found(build, limit_id):
    return next((finding for finding in solve(build).findings if finding.id == limit_id), None)


# --- slip -----------------------------------------------------------------------------------------------------------


def slipping(one_piece, stroke, engaged):
    return edited(one_piece, {"shaft.slip": {"stroke_mm": stroke, "engaged_mm": engaged}})


def least_of(one_piece):
    """Shortest and longest that the shaft is, against ride height, mm."""
    change = np.array(solve(one_piece).travel.length_mm) - solve(one_piece).shaft.length_mm
    return change.min(), change.max()


@pytest.mark.parametrize(
    ("over", "verdict"),
    [(19.01, "clear"), (18.99, "caution"), (6.01, "caution"), (5.99, "hold"), (-0.5, "hold")],
)
def test_slip_left_is_what_bump_leaves_of_the_sleeve(one_piece, over, verdict):
    # Common practice: 3/4 in clear before it bottoms, 1/4 in at the least.
    shortest, _ = least_of(one_piece)
    finding = found(slipping(one_piece, 70.0 - shortest + over, 70.0), "slip_left")
    assert finding.value == pytest.approx(over, abs=1e-9)
    assert finding.verdict == verdict
    assert ("the slip bottoms: " in finding.says) == (over < 0.0)
    assert ("is wanted" in finding.says) == (verdict != "clear" and over > 0.0)


@pytest.mark.parametrize(
    ("over", "verdict"),
    [(38.01, "clear"), (37.99, "caution"), (25.41, "caution"), (25.39, "hold"), (-0.5, "hold")],
)
def test_slip_engaged_is_what_droop_leaves_in_the_sleeve(one_piece, over, verdict):
    # Common practice: 1 1/2 in of spline engaged, 1 in at the least.
    _, longest = least_of(one_piece)
    finding = found(slipping(one_piece, 300.0, longest + over), "slip_engaged")
    assert finding.value == pytest.approx(over, abs=1e-9)
    assert finding.verdict == verdict
    assert ("pulls out" in finding.says) == (over < 0.0)
    assert ("is wanted" in finding.says) == (verdict != "clear" and over > 0.0)


def test_slip_names_where_it_is_worst(one_piece):
    travel = solve(one_piece).travel
    for limit_id, values in (("slip_left", travel.slip_left_mm), ("slip_engaged", travel.engaged_mm)):
        place = travel.axle_mm[int(np.argmin(values))]
        says = found(one_piece, limit_id).says
        where = "At ride height" if place == 0.0 else f"At {abs(place):.0f} mm"
        assert says.startswith(where)
        assert (" of bump" in says) == (place > 0.0)
    still = edited(one_piece, {"suspension.bump_mm": 0.0, "suspension.droop_mm": 0.0})
    assert found(still, "slip_left").says.startswith("At ride height there are 50 mm")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"shaft.slip": None}, "the slip engaged at ride height and the slip stroke"),
        ({"shaft": None}, "the slip engaged at ride height and the slip stroke"),
        ({"shaft.slip.stroke_mm": None}, "measure or enter the slip stroke."),
        ({"suspension": None}, "measure or enter the springs or links, travel to the bump stop"),
        ({"suspension.droop_mm": None}, "measure or enter travel to full droop."),
        ({"powertrain.output_joint_mm": None}, "measure or enter the joint at the output."),
        ({"suspension.shackle_pivot_mm": (2000.0, 700.0)}, "springs or links that can be as entered"),
    ],
)
def test_slip_names_what_it_wants(one_piece, changes, words):
    for limit_id in ("slip_left", "slip_engaged"):
        finding = found(edited(one_piece, changes), limit_id)
        assert finding.verdict == "unknown"
        assert words in finding.says


def test_length_change_counts_from_the_vehicle_as_measured(one_piece):
    lifted = edited(one_piece, {"plan.rear_lift_mm": 40.0})
    change = length_change(gather(lifted))
    assert change == pytest.approx(solve(lifted).shaft.length_mm - solve(one_piece).shaft.length_mm, abs=1e-9)
    assert length_change(gather(edited(one_piece, {"axle.centre_mm": None}))) is None
    assert length_change(gather(edited(one_piece, {"plan.rear_lift_mm": 900.0}))) is None


# --- springs --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("off", "verdict"), [(0.0, "clear"), (4.0, "clear"), (4.4, "caution"), (60.0, "caution")])
def test_springs_against_tape(one_piece, off, verdict):
    # Six taped lengths of ± 1.5 mm with 95 per cent: 1.96 x 1.5 x sqrt(6/3) = 4.158 mm.
    predicted = gather(one_piece).at.predicted_x_mm
    build = edited(one_piece, {"axle.centre_mm": (predicted + off, 0.0, 390.0)})
    finding = found(build, "spring_station")
    assert finding.value == pytest.approx(off, abs=1e-9)
    assert finding.limit == pytest.approx(4.158, abs=1e-3)
    assert finding.verdict == verdict
    assert ("the springs only move it" in finding.says) == (verdict == "caution")


def test_springs_against_tape_want_a_tape(one_piece):
    finding = found(edited(one_piece, {"gauge.tape_uncertainty_mm": None}), "spring_station")
    assert (finding.verdict, finding.entry) == ("unknown", "gauge.tape_uncertainty_mm")
    assert found(edited(one_piece, {"plan.rear_lift_mm": 900.0}), "spring_station") is None
    assert found(edited(one_piece, {"suspension": None}), "spring_station") is None


# --- torque ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("turn", "verdict"), [(3.99, "clear"), (4.01, "caution"), (7.99, "caution"), (8.01, "hold")])
def test_launch_against_its_lines(one_piece, turn, verdict):
    now = solve(one_piece).windup.launch_deg
    finding = found(edited(one_piece, {"suspension.rate_n_per_mm": 30.0 * now / turn}), "windup_launch")
    assert finding.value == pytest.approx(turn)
    assert finding.verdict == verdict
    assert "joint angles" in finding.says
    assert ("torque bar" in finding.says) == (verdict != "clear")


def test_launch_is_judged_even_where_the_lines_are_not_known(one_piece):
    finding = found(edited(one_piece, {"powertrain.slope_deg": None}), "windup_launch")
    assert finding.value is not None
    assert "joint angles" not in finding.says


def test_cruise_is_judged_by_the_residual_under_torque(one_piece):
    build = edited(one_piece, {"axle.pinion_slope_deg": 0.5})
    finding = found(build, "windup_cruise")
    turned = solve(edited(build, {"plan.axle_shim_deg": solve(build).windup.cruise_deg}))
    assert finding.value == pytest.approx(turned.motion.pinion_residual_rad_s2, rel=1e-6)
    assert finding.verdict == "hold"
    for remedy in (finding.remedy, *finding.alternatives):
        after = found(edited(build, remedy.changes), "windup_cruise")
        assert after.value == pytest.approx(remedy.after, rel=1e-6)
        assert after.verdict == remedy.after_verdict


def test_cruise_says_its_turn_and_what_it_wants_for_the_rest(one_piece):
    for entry, words in (
        ("powertrain.slope_deg", "the output slope"),
        ("vehicle.cruise_speed_kmh", "the cruising speed"),
    ):
        finding = found(edited(one_piece, {entry: None}), "windup_cruise")
        assert finding.verdict == "unknown"
        assert words in finding.says
        assert "raises the pinion's nose by" in finding.says


# --- side shift -----------------------------------------------------------------------------------------------------


def test_side_shift_is_told_where_it_is_greatest_and_to_which_side(one_piece):
    # Level link of 900 mm from the left frame: 90 mm of droop alone draws the axle left by 900 - sqrt(900² - 90²) =
    # 4.51 mm, and what the springs move it fore and aft counts as well.
    level = {"frame_point_mm": (2600.0, -450.0, 400.0), "axle_point_mm": (2600.0, 450.0, 400.0)}
    build = edited(
        one_piece,
        {"lateral_link": level, "suspension.bump_mm": 40.0},
    )
    finding = found(build, "lateral_shift")
    forth = gather(build).travel.swept.shift_mm[0, 0]
    assert finding.value == pytest.approx(900.0 - np.sqrt(900.0**2 - 90.0**2 - forth**2), abs=1e-9)
    assert 4.5 < finding.value < 4.7
    assert "4.6 mm" in finding.says
    assert "to the left" in finding.says
    assert "at 90 mm (3.54 in) of droop" in finding.says
    other = {"frame_point_mm": (2600.0, 450.0, 400.0), "axle_point_mm": (2600.0, -450.0, 400.0)}
    assert "to the right" in found(edited(build, {"lateral_link": other}), "lateral_shift").says


@pytest.mark.parametrize(("droop", "verdict"), [(40.0, "clear"), (75.0, "caution"), (160.0, "hold")])
def test_side_shift_against_its_lines(one_piece, droop, verdict):
    # A 400 mm link hanging at 12 degrees: half an inch goes unnoticed, an inch is the most.
    steep = {"frame_point_mm": (2600.0, -200.0, 440.0), "axle_point_mm": (2600.0, 190.0, 355.0)}
    build = edited(one_piece, {"lateral_link": steep, "suspension.droop_mm": droop, "suspension.bump_mm": 10.0})
    finding = found(build, "lateral_shift")
    assert finding.verdict == verdict
    assert ("a longer link" in finding.says) == (verdict != "clear")


def test_side_shift_counts_from_where_the_lift_left_the_axle(one_piece):
    build = edited(one_piece, {"lateral_link": LATERAL, "plan.rear_lift_mm": 40.0})
    facts = gather(build)
    shift = facts.travel.swept.shift_mm[:, 1]
    at = facts.travel.ride_row
    assert shift[at] != 0.0
    assert found(build, "lateral_shift").value == pytest.approx(np.abs(shift - shift[at]).max())


def test_side_shift_names_what_it_wants(one_piece):
    half = edited(one_piece, {"lateral_link": {"frame_point_mm": (0.0, 0.0, 0.0)}})
    assert "the lateral link's axle end" in found(half, "lateral_shift").says
    still = edited(one_piece, {"lateral_link": LATERAL, "suspension": None})
    assert "the springs or links" in found(still, "lateral_shift").says
    assert found(one_piece, "lateral_shift") is None


# --- reach ----------------------------------------------------------------------------------------------------------


def test_worst_reach_is_the_greatest_angle_of_the_travel(one_piece):
    facts, travel = gather(one_piece), solve(one_piece).travel
    for joint, angles in enumerate(travel.operating_deg):
        angle, place = worst_reach(facts, joint)
        assert angle == max(angles)
        assert place == travel.axle_mm[angles.index(angle)]
    assert worst_reach(gather(edited(one_piece, {"suspension": None})), 0) is None
    assert worst_reach(gather(edited(one_piece, {"powertrain.slope_deg": None})), 0) is None
    assert worst_reach(gather(edited(one_piece, {"axle.pinion_length_mm": None})), 0) is None


def test_a_joint_that_binds_only_at_droop_is_held(one_piece):
    worst = max(solve(one_piece).travel.operating_deg[0])
    assert worst > solve(one_piece).joints[0].operating_deg + 1.0
    build = edited(one_piece, {"shaft.front_joint.max_angle_deg": worst - 0.1})
    finding = next(f for f in solve(build).findings if f.id == "joint_bind" and f.part == "front_joint")
    assert finding.verdict == "hold"
    assert "at 90 mm (3.54 in) of droop" in finding.says


@pytest.mark.parametrize("entry", ["suspension", "suspension.bump_mm", "suspension.front_eye_mm"])
def test_a_joint_is_not_called_clear_of_binding_over_a_travel_that_is_not_known(one_piece, entry):
    finding = next(f for f in solve(edited(one_piece, {entry: None})).findings if f.id == "joint_bind")
    assert finding.verdict == "unknown"
    assert "Over the travel it is not known" in finding.says


# --- a shaft of another length ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("stroke", "engaged", "wrong"),
    [
        (140.0, 30.0, "slip_engaged"),
        (140.0, 125.0, "slip_left"),
        (56.0, 30.0, "slip_engaged"),
        (56.0, 50.0, "slip_left"),
    ],
)
@pytest.mark.parametrize("unit", ["inch", "millimetre"])
def test_a_shaft_of_another_length_has_spline_to_spare_at_both_ends(one_piece, stroke, engaged, wrong, unit):
    tight = {"shaft.slip.stroke_mm": stroke, "shaft.slip.engaged_mm": engaged, "display.length": unit}
    build = edited(one_piece, tight)
    finding = next(one for one in solve(build).findings if one.id == wrong)
    assert finding.verdict in {"caution", "hold"}
    answer = solve(edited(build, finding.remedy.changes))
    ends = {one.id: one for one in answer.findings if one.id.startswith("slip_")}
    assert {one.verdict for one in ends.values()} == {"clear"}
    assert ends[wrong].value == pytest.approx(finding.remedy.after, abs=1e-6)
    # Beyond what each end wants (19 and 38 mm, common practice) both have the same.
    assert ends["slip_left"].value - 19.0 == pytest.approx(ends["slip_engaged"].value - 38.0, abs=1e-6)
    step = 12.7 if unit == "inch" else 10.0
    ordered = finding.remedy.changes.get("shaft.slip.stroke_mm")
    assert (ordered is None) == (stroke == 140.0)
    assert ordered is None or ordered / step == pytest.approx(round(ordered / step))


def test_no_length_is_offered_where_the_vehicle_as_measured_would_be_off_the_slip(one_piece):
    """A lift that swallows the whole stroke: a shaft made for the lifted vehicle never fitted the measured one."""
    lifted = edited(one_piece, {"plan.rear_lift_mm": 900.0, "plan.front_lift_mm": 900.0, "plan.rear_lift_by": "block"})
    findings = [one for one in solve(lifted).findings if one.id.startswith("slip_") and one.verdict == "hold"]
    assert findings
    assert all(one.remedy is None for one in findings)
