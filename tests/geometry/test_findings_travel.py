"""Verdicts over the travel and under torque, each side of its line, and the sentences that go with them."""

import numpy as np
import pytest

from geometry import edited, solve
from geometry.document.entries import variants
from geometry.judge.facts import Facts
from geometry.judge.judging import judge
from geometry.words.solve import Work
from tests.geometry.strategies import sample

LATERAL = {"frame_point_mm": (2700.0, -450.0, 430.0), "axle_point_mm": (2690.0, 450.0, 400.0)}
SPLINE_MM = 25.4


@pytest.fixture(scope="module")
def settled(one_piece):
    """The shared build with nothing left that would be taken for granted."""
    return edited(
        one_piece,
        {
            "axle.pinion_plan_deg": 0.0, "powertrain.cruise_torque_share": 0.3, "powertrain.shock_factor": 1.0,
            "vehicle.mass_centre_height_mm": 500.0, "suspension.bump_squash_mm": 10.0,
            "suspension.rate_n_per_mm": 200.0, "shaft.slip.spline_diameter_mm": SPLINE_MM,
        },
    )  # fmt: skip


def found(build, limit_id, part=None):
    return next((one for one in solve(build).findings if one.id == limit_id and part in {None, one.part}), None)


# --- slip -----------------------------------------------------------------------------------------------------------


def slipping(build, stroke, engaged):
    return edited(build, {"shaft.slip.stroke_mm": stroke, "shaft.slip.engaged_mm": engaged})


def lengths_of(build):
    """Length of the shaft against ride height, mm, by place of the travel, wound up by all that launch passes."""
    facts = Work(build).facts
    with np.errstate(all="ignore"):
        turn, shift = facts.sweep.turn_deg, facts.sweep.shift
        wound = np.linspace(0.0, 1.0, 401)[:, None, None] * float(facts.launch_most_deg)
        lengths = facts.posed_at(turn + wound, shift).lengths_mm[0][..., 0]
    return lengths - solve(build).shaft.length_mm


@pytest.mark.parametrize(
    ("over", "verdict"),
    [(19.06, "clear"), (19.04, "caution"), (12.71, "caution"), (12.69, "hold"), (-0.5, "hold")],
)
def test_slip_left_is_what_bump_at_launch_leaves_of_the_sleeve(settled, over, verdict):
    # Common practice: 3/4 in clear before it bottoms, 1/2 in at the least.
    shortest = lengths_of(settled).min()
    finding = found(slipping(settled, 70.0 - shortest + over, 70.0), "slip_left")
    assert finding.value == pytest.approx(over, abs=1e-6)
    assert finding.verdict == verdict
    assert ("the slip bottoms, " in finding.says) == (over < 0.0)
    assert (finding.limit, finding.hold_limit) == (19.05, 12.7)


@pytest.mark.parametrize(
    ("over", "verdict"),
    [(38.11, "clear"), (38.09, "caution"), (25.41, "caution"), (25.39, "hold"), (-0.5, "hold")],
)
def test_slip_engaged_is_what_droop_leaves_in_the_sleeve(settled, over, verdict):
    # Common practice: one and a half spline diameters engaged, one at the least; here of an inch.
    longest = lengths_of(settled).max()
    finding = found(slipping(settled, 300.0, longest + over), "slip_engaged")
    assert finding.value == pytest.approx(over, abs=1e-6)
    assert finding.verdict == verdict
    assert ("pulls out" in finding.says) == (over < 0.0)


def test_slip_names_where_it_is_worst(settled):
    places = solve(settled).travel.axle_mm
    lengths = lengths_of(settled)
    for limit_id, sign in (("slip_left", 1.0), ("slip_engaged", -1.0)):
        wound, row = np.unravel_index(np.argmin(sign * lengths), lengths.shape)
        says = found(settled, limit_id).says
        assert (" of bump" in says) == (places[row] > 0.0)
        assert (" of droop" in says) == (places[row] < 0.0)
        assert ("launch" in says) == bool(wound)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"shaft.slip": None}, "the slip engaged at ride height and the slip stroke"),
        ({"shaft.slip.stroke_mm": None}, "measure or enter the slip stroke."),
        ({"suspension": None}, "the springs or links"),
        ({"suspension.droop_mm": None}, "measure or enter the travel to full droop."),
        ({"powertrain.output_joint_mm": None}, "measure or enter the joint at the output."),
        ({"suspension.shackle_pivot_mm": (2000.0, 700.0)}, "cannot hold the axle at its height"),
    ],
)
def test_slip_names_what_it_wants(settled, changes, words):
    for limit_id in ("slip_left", "slip_engaged"):
        finding = found(edited(settled, changes), limit_id)
        assert finding.verdict == "unknown"
        assert words in finding.says


def test_the_slip_draws_out_by_what_the_shaft_grows_after_a_lift(settled):
    lifted = edited(settled, {"plan.rear_lift_mm": 40.0})
    grown = solve(lifted).shaft.length_mm - solve(settled).shaft.length_mm
    work = Work(lifted)
    engaged = float(np.ravel(work.facts.engaged_mm(work.facts.pose))[0])
    assert engaged == pytest.approx(70.0 - grown, abs=1e-9)
    assert abs(grown) > 0.5
    # What to set is said of the vehicle after its lift; where that cannot be known, it is left as it was measured.
    assert solve(lifted).setpoints.slip_engaged_mm == pytest.approx(70.0 - grown, abs=0.06)
    unknown = edited(lifted, {"suspension.rear_half_mm": None})
    assert solve(unknown).setpoints.slip_engaged_mm == 70.0


# --- springs --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("off", "verdict"), [(0.0, "clear"), (4.0, "clear"), (4.4, "caution"), (60.0, "caution")])
def test_springs_against_tape(settled, off, verdict):
    # Six taped lengths of ± 1.5 mm with 95 per cent: 1.96 x 1.5 x sqrt(6/3) = 4.158 mm.
    predicted = float(Facts(variants(settled)).ride.predicted_x_mm)
    finding = found(edited(settled, {"axle.centre_mm": (predicted + off, 0.0, 390.0)}), "spring_station")
    assert finding.value == pytest.approx(off, abs=1e-9)
    assert finding.limit == pytest.approx(4.158, abs=1e-3)
    assert finding.verdict == verdict


def test_springs_against_tape_want_a_tape(settled):
    finding = found(edited(settled, {"gauge.tape_uncertainty_mm": None}), "spring_station")
    assert (finding.verdict, finding.entry) == ("unknown", "gauge.tape_uncertainty_mm")
    assert found(edited(settled, {"suspension": None}), "spring_station") is None


# --- torque ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("turn", "verdict"), [(3.99, "clear"), (4.01, "caution"), (7.99, "caution"), (8.01, "hold")])
def test_launch_against_its_lines(settled, turn, verdict):
    now = solve(settled).windup.launch_deg
    finding = found(edited(settled, {"suspension.rate_n_per_mm": 200.0 * now / turn}), "windup_launch")
    assert finding.value == pytest.approx(turn)
    assert finding.verdict == verdict
    assert "joint angles" in finding.says


def test_launch_is_judged_even_where_the_lines_are_not_known(settled):
    finding = found(edited(settled, {"powertrain.slope_deg": None}), "windup_launch")
    assert finding.value is not None
    assert "joint angles" not in finding.says


def test_cruise_is_judged_by_the_residual_under_torque(settled):
    """The axle turned by a wedge as far as cruise torque turns it runs as unevenly at rest."""
    build = edited(settled, {"axle.pinion_slope_deg": 0.5, "suspension.rate_n_per_mm": 30.0})
    finding = found(build, "windup_cruise")
    turned = solve(edited(build, {"plan.axle_shim_deg": solve(build).windup.cruise_deg}))
    assert finding.value == pytest.approx(turned.motion.pinion_residual_rad_s2, rel=1e-6)


@pytest.mark.parametrize(
    ("entry", "words"),
    [("powertrain.slope_deg", "the output slope"), ("vehicle.cruise_speed_kmh", "the cruising speed")],
)
def test_cruise_names_what_it_wants(settled, entry, words):
    finding = found(edited(settled, {entry: None}), "windup_cruise")
    assert finding.verdict == "unknown"
    assert words in finding.says


# --- side shift -----------------------------------------------------------------------------------------------------


def test_side_shift_is_told_where_it_is_greatest_and_to_which_side(settled):
    # Level link of 900 mm from the left frame: 90 mm of droop alone draws the axle left by 900 - sqrt(900² - 90²) =
    # 4.51 mm, and what the springs move it fore and aft counts as well.
    level = {"frame_point_mm": (2600.0, -450.0, 400.0), "axle_point_mm": (2600.0, 450.0, 400.0)}
    build = edited(settled, {"lateral_link": level, "suspension.bump_mm": 40.0})
    finding = found(build, "lateral_shift")
    forth = float(np.ravel(Facts(variants(build), 41).sweep.shift.x[0])[0])
    assert finding.value == pytest.approx(900.0 - np.sqrt(900.0**2 - 90.0**2 - forth**2), abs=1e-9)
    assert 4.5 < finding.value < 4.7
    assert "4.6 mm" in finding.says
    assert "to the left" in finding.says
    assert "at 90 mm (3.54 in) of droop" in finding.says
    other = {"frame_point_mm": (2600.0, 450.0, 400.0), "axle_point_mm": (2600.0, -450.0, 400.0)}
    assert "to the right" in found(edited(build, {"lateral_link": other}), "lateral_shift").says


@pytest.mark.parametrize(("droop", "verdict"), [(40.0, "clear"), (75.0, "caution"), (160.0, "hold")])
def test_side_shift_against_its_lines(settled, droop, verdict):
    # A 400 mm link hanging at 12 degrees: half an inch goes unnoticed, an inch is the most.
    steep = {"frame_point_mm": (2600.0, -200.0, 440.0), "axle_point_mm": (2600.0, 190.0, 355.0)}
    build = edited(
        settled,
        {
            "lateral_link": steep, "suspension.droop_mm": droop, "suspension.bump_mm": 10.0,
            "suspension.bump_squash_mm": 0.0,
        },
    )  # fmt: skip
    finding = found(build, "lateral_shift")
    assert finding.verdict == verdict
    assert ("longer link" in finding.says) == (verdict == "hold")


def test_side_shift_counts_from_where_the_lift_left_the_axle(settled):
    """The link's length fixes where the axle is drawn to, at ride height after the lift and over the travel."""
    build = edited(settled, {"lateral_link": LATERAL, "plan.rear_lift_mm": 40.0})
    facts = Facts(variants(build), 41)
    frame, end = np.array(LATERAL["frame_point_mm"]), np.array(LATERAL["axle_point_mm"])

    def across(dx, dz):
        x, _, z = end + np.array([dx, 0.0, dz]) - frame
        return np.sqrt(np.dot(end - frame, end - frame) - x * x - z * z) - 900.0

    here = across(float(facts.ride.shift.x), -40.0)
    rows = zip(np.ravel(facts.sweep.shift.x), np.ravel(facts.sweep.shift.z), strict=True)
    shifts = [across(float(facts.ride.shift.x) + dx, dz - 40.0) - here for dx, dz in rows]
    assert here != 0.0
    assert found(build, "lateral_shift").value == pytest.approx(np.abs(shifts).max(), abs=1e-9)
    assert found(build, "lateral_lift").value == pytest.approx(abs(here), abs=1e-9)


def test_side_shift_names_what_it_wants(settled):
    half = edited(settled, {"lateral_link": {"frame_point_mm": (0.0, 0.0, 0.0)}})
    assert "the lateral link's axle end" in found(half, "lateral_shift").says
    still = edited(settled, {"lateral_link": LATERAL, "suspension": None})
    assert "the springs or links" in found(still, "lateral_shift").says
    assert found(settled, "lateral_shift") is None


# --- an axle drawn sideways by the lift -------------------------------------------------------------------------------


def test_an_axle_drawn_sideways_by_a_lift_is_told_and_centred(settled):
    """18.6 mm to one side once went as clear. The remedy is the length at which the link, by Pythagoras, centres it."""
    build = edited(settled, {"lateral_link": LATERAL | {"axle_point_mm": (2690.0, 450.0, 330.0)},
                             "plan.rear_lift_mm": 90.0, "plan.front_lift_mm": 90.0,
                             "display.length": "millimetre"})  # fmt: skip
    finding = found(build, "lateral_lift")
    assert finding.verdict in {"caution", "hold"}
    assert finding.remedy is not None
    assert set(finding.remedy.changes) == {"plan.lateral_link_longer_mm"}
    facts = Facts(variants(build), 41)
    frame, end = np.array(LATERAL["frame_point_mm"]), np.array((2690.0, 450.0, 330.0))
    there = end + np.array([float(facts.ride.shift.x), 0.0, -90.0])
    longer = np.linalg.norm(there - frame) - np.linalg.norm(end - frame)
    assert finding.remedy.changes["plan.lateral_link_longer_mm"] == pytest.approx(round(longer), abs=1e-9)
    after = solve(edited(build, finding.remedy.changes))
    assert next(one.verdict for one in after.findings if one.id == "lateral_lift") == "clear"
    assert after.setpoints.lateral_link_mm == pytest.approx(np.linalg.norm(end - frame) + round(longer), abs=1e-9)


# --- reach ----------------------------------------------------------------------------------------------------------


def test_a_joint_that_binds_only_at_droop_is_held(settled):
    answer = solve(settled)
    worst = max(answer.travel.operating_deg[0])
    assert worst > answer.joints[0].operating_deg + 1.0
    assert answer.travel.operating_deg[0].index(worst) == 0  # full droop, the first place
    work = Work(settled)
    at_launch = [work.posed(answer, place, "launch").joints[0].operating_deg for place in answer.travel.axle_mm]
    worst = max(worst, *at_launch)
    for spare, verdict in ((3.01, "clear"), (2.99, "caution"), (1.01, "caution"), (0.99, "hold")):
        build = edited(settled, {"shaft.front_joint.max_angle_deg": worst + spare})
        finding = found(build, "joint_bind", "front_joint")
        assert finding.verdict == verdict
        assert finding.value == pytest.approx(spare, abs=1e-6)
        assert "of droop" in finding.says


@pytest.mark.parametrize("entry", ["suspension", "suspension.bump_mm", "suspension.front_eye_mm"])
def test_a_joint_is_not_called_clear_of_binding_over_a_travel_that_is_not_known(settled, entry):
    assert found(settled, "joint_bind").verdict == "clear"
    assert found(edited(settled, {entry: None}), "joint_bind").verdict == "unknown"


@pytest.mark.parametrize(("entry", "height"), [("suspension.bump_mm", 560.0), ("suspension.droop_mm", 700.0)])
def test_a_stop_that_is_not_entered_clears_no_joint(entry, height):
    """Each held at the end of the travel that this entry gives: without the entry it is not known, never clear."""
    build = edited(
        sample("ranch_truck_swap"),
        {
            "powertrain.output_joint_mm": (1640.0, -30.0, height), "obstacles": (), "plan": None,
            "shaft.rear_joint.max_angle_deg": 12.0,
        },
    )  # fmt: skip
    assert found(build, "joint_bind", "rear_joint").verdict == "hold"
    assert found(edited(build, {entry: None}), "joint_bind", "rear_joint").verdict != "clear"


# --- a shaft of another length ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("stroke", "engaged", "wrong"),
    [
        (160.0, 30.0, "slip_engaged"),
        (160.0, 145.0, "slip_left"),
        (56.0, 30.0, "slip_engaged"),
        (56.0, 50.0, "slip_left"),
    ],
)
@pytest.mark.parametrize("unit", ["inch", "millimetre"])
def test_a_shaft_of_another_length_has_spline_to_spare_at_both_ends(settled, stroke, engaged, wrong, unit):
    build = edited(slipping(settled, stroke, engaged), {"display.length": unit})
    finding = found(build, wrong)
    assert finding.verdict in {"caution", "hold"}
    answer = solve(edited(build, finding.remedy.changes))
    ends = {one.id: one for one in answer.findings if one.id.startswith("slip_")}
    assert {one.verdict for one in ends.values()} == {"clear"}
    assert ends[wrong].value == pytest.approx(finding.remedy.after, abs=1e-6)
    # Beyond what each end wants (3/4 in, and 1½ spline diameters: common practice) both have the same, to the tenth
    # of a millimetre that an engagement is told in.
    left, held = ends["slip_left"].value - 19.05, ends["slip_engaged"].value - 1.5 * SPLINE_MM
    assert left == pytest.approx(held, abs=0.2)
    step = 12.7 if unit == "inch" else 10.0
    ordered = finding.remedy.changes.get("shaft.slip.stroke_mm")
    assert (ordered is None) == (stroke == 160.0)
    assert ordered is None or ordered / step == pytest.approx(round(ordered / step))


def test_no_length_is_offered_where_the_vehicle_as_measured_would_be_off_the_slip(settled):
    """A lift that swallows the whole stroke: a shaft made for the lifted vehicle never fitted the measured one."""
    lifted = edited(settled, {"plan.rear_lift_mm": 900.0, "plan.front_lift_mm": 900.0, "plan.rear_lift_by": "block"})
    findings = [one for one in solve(lifted).findings if one.id.startswith("slip_") and one.verdict == "hold"]
    assert findings
    for one in findings:
        for remedy in (one.remedy, *one.alternatives):
            assert remedy is None or "shaft.slip.engaged_mm" not in remedy.changes


# --- a joint beyond its reach -----------------------------------------------------------------------------------------


def test_a_joint_that_may_be_beyond_its_reach_says_so(settled):
    """A very short shaft, whose angle hangs on a pinion drop that was not measured: known is neither yes nor no."""
    short = {"powertrain.output_joint_mm": (2100.0, 30.0, 600.0), "axle.pinion_slope_deg": 0.0, "readings": None}
    build = edited(
        settled, {**short, "axle.pinion_drop_mm": None, "suspension.bump_mm": 5.0, "suspension.droop_mm": 5.0}
    )

    def spare(most):
        one = edited(build, {"shaft.front_joint.max_angle_deg": most})
        return float(judge(variants(one), positions=41)["joint_bind", "front_joint"].value[0])

    angle = 60.0 - spare(60.0)
    for _ in range(20):  # to the last bits, so that nothing at all is to spare
        angle = float(np.nextafter(angle, angle - spare(angle))) if spare(angle) != 0.0 else angle
    assert spare(angle) == 0.0
    for more, says in ((0.2, "0.2° to spare"), (0.0, "0.0° to spare"), (-0.2, "beyond its reach")):
        finding = found(edited(build, {"shaft.front_joint.max_angle_deg": angle + more}), "joint_bind", "front_joint")
        assert finding.verdict == "unknown"
        assert finding.says.endswith(f": {says}.")
