"""What a driveline man found by reading answers to builds as a shop enters them, each fault as the kind that it is of.

The vehicle is invented; the rules of thumb are common practice.
"""

from typing import Any

import pytest

from geometry import Build, Solution, edited, solve
from geometry.words.solution import Finding, Remedy

PICKUP = Build.model_validate({
    "gauge": {"angle_uncertainty_deg": 0.2, "tape_uncertainty_mm": 2.0},
    "vehicle": {
        "wheelbase_mm": 3378.0, "front_tyre_radius_mm": 371.0, "rear_tyre_radius_mm": 371.0,
        "rear_axle_load_kg": 1100.0, "tyre_grip": 0.9, "cruise_speed_kmh": 110.0, "top_speed_kmh": 150.0,
    },
    "powertrain": {
        "output_joint_mm": (1575.0, 0.0, 546.0), "slope_deg": 4.0, "plan_deg": 0.0, "front_mount_mm": (152.0, 660.0),
        "rear_mount_mm": (1321.0, 483.0), "peak_torque_nm": 450.0, "redline_rpm": 5200.0,
        "gear_ratios": (3.06, 1.63, 1.0, 0.7), "low_range": 1.0, "converter_ratio": 2.0, "efficiency": 0.95,
    },
    "axle": {
        "centre_mm": (3378.0, 0.0, 371.0), "ratio": 3.73, "pinion_slope_deg": 4.0, "pinion_plan_deg": 0.0,
        "pinion_length_mm": 305.0, "pinion_drop_mm": 33.0, "pinion_offset_mm": 0.0, "tube_diameter_mm": 76.0,
    },
    "suspension": {
        "kind": "leaf", "front_eye_mm": (2699.0, 534.4), "shackle_pivot_mm": (4080.3, 645.1),
        "shackle_length_mm": 101.6, "front_half_mm": 685.8, "rear_half_mm": 736.6, "seat_to_axle_mm": 81.3,
        "rate_n_per_mm": 32.0, "bump_mm": 89.0, "droop_mm": 114.0,
    },
    "shaft": {
        "kind": "one_piece", "tube": {"outer_diameter_mm": 88.9, "wall_mm": 2.11}, "phase_deg": 0.0,
        "slip": {"stroke_mm": 127.0, "engaged_mm": 88.9, "sits": "output_end", "spline_teeth": 16.0},
    },
})  # fmt: skip
"""A half-ton pickup with a shaft of 1.5 m, as it stands: nothing is wrong with it."""
SHORT: dict[str, Any] = {
    "powertrain.output_joint_mm": (2388.0, 0.0, 546.0), "powertrain.rear_mount_mm": (2250.0, 483.0),
    "plan.rear_lift_mm": 101.6, "plan.front_lift_mm": 101.6, "plan.rear_lift_by": "block",
}  # fmt: skip
"""The same with its output 0.8 m farther back, as behind a transfer case, and lifted by four inches."""
TURNED_UP = "Perches cut loose, and welded anew with the pinion turned until its joint runs straight"
HUNG = {"shaft.front_joint.type": "double_cardan"}


def told(changes: dict[str, Any], name: str, part: str | None = None) -> tuple[Solution, Finding]:
    answer = solve(edited(PICKUP, changes))
    return answer, next(one for one in answer.findings if one.id == name and part in {None, one.part})


def test_the_pickup_as_it_stands_has_nothing_against_it() -> None:
    assert {one.verdict for one in solve(PICKUP).findings} == {"clear", "unknown"}


@pytest.mark.parametrize(("changes", "name", "words"), [
    (SHORT, "shaft_inertia_drive", "A double Cardan joint at the output with the pinion turned to it, less lift,"),
    (SHORT, "shaft_slope", "A double Cardan joint at the output with the pinion turned to it, less lift,"),
    (SHORT | HUNG, "pinion_residual", TURNED_UP),
    (SHORT | HUNG, "windup_cruise", TURNED_UP),
])  # fmt: skip
def test_a_way_out_that_leaves_the_hold_says_what_would_end_it(changes: dict[str, Any], name: str, words: str) -> None:
    """A lowered mount lessens 20° at the joints, and ends nothing: a master names the double joint, or the pinion."""
    _, one = told(changes, name)
    assert one.verdict == "hold"
    assert one.remedy is None or one.remedy.after_verdict == "hold"
    assert words in one.says


@pytest.mark.parametrize(("diameter", "top", "beside"), [(63.5, 200.0, True), (76.2, 150.0, False)])
def test_a_larger_tube_says_the_critical_speed_that_it_brings(diameter: float, top: float, *, beside: bool) -> None:
    """The shaft's own speed is the same with every tube; where no tube does it, two sections are named beside it."""
    tube = {"shaft.tube.outer_diameter_mm": diameter, "shaft.tube.wall_mm": 1.65, "vehicle.top_speed_kmh": top}
    answer, one = told(tube, "critical_speed")
    assert one.remedy is not None
    critical = solve(edited(PICKUP, {**tube, **one.remedy.changes})).shaft.critical_rpm
    assert critical is not None
    assert f"critical speed, {answer.shaft.max_rpm:,.0f} of {critical:,.0f} rpm. " in f"{one.remedy.says} "
    assert ("Two shorter sections with a support bearing would do more." in one.says) == beside
    assert (one.remedy.after_verdict == "clear") != beside


def test_a_redline_in_overdrive_asks_for_the_top_speed() -> None:
    """5,200 rpm over 0.7 times 2π·0.371 m over 3.73 is 279 km/h: nobody drives it there, and one entry says so."""
    _, one = told({"vehicle.top_speed_kmh": None, "display.length": "millimetre"}, "critical_speed")
    assert one.verdict == "hold"
    assert "the redline in top gear, 279 km/h (173 mph): enter the top speed if it is never driven so fast" in one.says
    _, one = told({"vehicle.top_speed_kmh": 200.0}, "critical_speed")
    assert one.verdict == "hold"
    assert "redline" not in one.says


def test_two_orders_stand_in_the_order_of_the_work() -> None:
    """A pinion is turned to a gearbox that stands where it stays, and tacked last."""
    _, one = told(SHORT | HUNG | {"plan.perches": "loose"}, "pinion_residual")
    both = [
        way.says
        for way in (one.remedy, *one.alternatives)
        if way is not None and {"plan.mount_shim_mm", "plan.pinion_slope_deg"} <= way.changes.keys()
    ]
    assert both
    assert all(says.index("ower the rear mount") < says.index("turn the axle on its loose perches") for says in both)
    assert all(" then tack:" in says for says in both)


def test_what_is_short_of_its_line_is_not_called_enough() -> None:
    """As far as entered it is short, whatever would settle it: 0.58 in is not enough where 0.75 in is wanted."""
    out = {"plan.rear_lift_mm": 38.1, "plan.rear_lift_by": "shackle"}
    _, one = told(out, "slip_left")
    open_ = [way for way in (one.remedy, *one.alternatives) if way and way.after_verdict == "unknown"]
    short = [way for way in open_ if way.after is not None and way.after < 19.05]
    assert short
    assert all("little slip left as far as entered" in way.says for way in short)
    assert all("enough slip left" not in way.says for way in short)


def test_a_spline_a_tooth_out_is_put_right_by_hand() -> None:
    """One of 16 teeth is 22.5°; where the slip is in the gearbox, or they are off by part of a tooth, it is not."""
    out = {"shaft.phase_deg": 22.5, "axle.pinion_slope_deg": 4.0}
    _, one = told(out, "ends_parallel")
    assert one.remedy is not None
    assert one.remedy.says.startswith("Pull the slip apart and put it together one tooth round, with its rear yoke in")
    for other in ({"shaft.slip.sits": "gearbox"}, {"shaft.slip.spline_teeth": 24.0}, {"shaft.slip.spline_teeth": None}):
        _, one = told(out | other, "ends_parallel")
        assert one.remedy is not None
        assert one.remedy.says.startswith("Have the shaft built with its rear yoke in line")
    _, one = told(out | {"shaft.phase_deg": -90.0}, "ends_parallel")
    assert one.remedy is not None
    assert "put it together 4 teeth round" in one.remedy.says


def test_loose_mounts_set_the_engine_to_the_pinion() -> None:
    """Tail 6° and pinion 3°: an engine that hangs free goes up to the pinion, and no wedge is bought."""
    tail = {"powertrain.slope_deg": 6.0, "axle.pinion_slope_deg": 3.0, "plan.mounts": "loose"}
    _, one = told(tail, "pinion_residual")
    assert one.verdict == "hold"
    assert one.remedy is not None
    slope = one.remedy.changes["plan.powertrain_slope_deg"]
    assert 3.0 <= slope <= 4.0  # the pinion, and what cruise torque lifts it by
    assert one.remedy.cautions == 0


def test_a_lift_that_the_springs_cannot_follow_down_is_not_blamed_on_the_tape() -> None:
    """Four inches more arch on the same main leaf: it hangs straight early, and the points were measured right."""
    _, one = told({"plan.rear_lift_mm": 101.6, "plan.front_lift_mm": 101.6}, "travel_reach")
    assert one.verdict == "caution"
    assert "With this lift the springs as entered end" in one.says
    assert "take a longer main leaf, or shorten the travel" in one.says
    _, one = told({"suspension.droop_mm": 300.0}, "travel_reach")
    assert "measure their points again" in one.says


def test_what_a_way_out_leaves_unknown_is_not_said_to_be_against_it() -> None:
    """Two inches of strap less spline may do or not; with its diameter not entered nobody knows, and that is said."""
    _, one = told({"shaft.slip.engaged_mm": 110.0, "suspension.bump_squash_mm": 12.0}, "slip_left")
    ways = [way for way in (one.remedy, *one.alternatives) if way]
    lost = [way for way in ways if any(worse.verdict == "unknown" for worse in way.worse)]
    assert lost
    assert all("; no longer known then: " in way.says and "(unknown)" not in way.says for way in lost)
    assert all("against it: enough" not in way.says for way in lost)


def test_a_truck_that_is_let_down_by_its_load_is_not_told_to_lower_it_less() -> None:
    """700 kg on two springs of 32 N/mm let it down by 107 mm: 18 mm beyond its stop."""
    _, one = told({"use.rear_most_kg": 700.0}, "bump_left")
    assert (one.verdict, one.value) == ("hold", pytest.approx(89.0 - 700.0 * 9.80665 / 64.0, abs=0.01))
    assert one.says.endswith("Stiffer springs, or less load, would help.")


def test_a_slope_that_nobody_reads_is_level() -> None:
    _, one = told({"powertrain.slope_deg": -2.0, "axle.pinion_slope_deg": -2.0}, "tail_up")
    assert one.remedy is not None
    assert "output level, pinion" in one.remedy.says
    assert "0.0°" not in one.remedy.says


def test_ends_that_lie_level_are_said_to() -> None:
    _, one = told({"powertrain.slope_deg": 0.0, "axle.pinion_slope_deg": 0.0}, "ends_parallel")
    assert "(tail level, pinion level)" in one.says
    _, one = told({"powertrain.slope_deg": -0.1, "axle.pinion_slope_deg": 0.1}, "ends_parallel")
    assert "(tail 0.1° up, pinion's nose 0.1° up)" in one.says


def test_what_is_against_a_way_out_names_the_joint() -> None:
    """A shaft in two pieces has three joints, and one of them stands still once the bearing is raised."""
    tube = {"outer_diameter_mm": 76.2, "wall_mm": 2.11}
    van = {
        "powertrain.output_joint_mm": (1500.0, 0.0, 540.0), "powertrain.slope_deg": 3.0, "suspension": None,
        "powertrain.front_mount_mm": (300.0, 600.0), "powertrain.rear_mount_mm": (1300.0, 480.0),
        "axle.centre_mm": (3900.0, 0.0, 365.0), "vehicle.wheelbase_mm": 3900.0, "axle.pinion_slope_deg": 2.0,
        "shaft": {"kind": "two_piece", "bearing_mm": (2600.0, 0.0, 474.0), "front_tube": tube, "rear_tube": tube,
                  "front_phase_deg": 0.0, "rear_phase_deg": 0.0},
    }  # fmt: skip
    _, one = told(van, "pinion_residual")
    ways = [way for way in (one.remedy, *one.alternatives) if way]
    stands = [way for way in ways if any(worse.id == "operating_angle_least" for worse in way.worse)]
    assert stands
    assert all("needles stand at the front joint 0." in way.says for way in stands)


def test_no_comma_stands_twice_beside_a_torque_bars_force() -> None:
    bar = {"name": "bar", "frame_point_mm": (2083.0, 457.0, 279.0), "axle_point_mm": (3378.0, 457.0, 241.0)}
    _, one = told({"torque_bars": (bar,)}, "bar_lever_1")
    assert "is not entered, times the axle ratio, puts" in one.says


@pytest.mark.parametrize(("changes", "name", "asked"), [
    # 2.8 in of spline is enough for any spline up to 1.9 in; squash and wind-up take a quarter of an inch of it.
    ({"shaft.slip.engaged_mm": 72.0}, "slip_engaged", "the spline diameter"),
    # On springs so stiff the nose hardly rises; how far up the rubber's squash lets the axle come decides.
    ({"suspension.rate_n_per_mm": 1500.0, "powertrain.output_joint_mm": (1575.0, 0.0, 300.0),
      "shaft.front_joint.max_angle_deg": 13.0}, "joint_bind", "the squash of the bump rubber"),
    # Two degrees of the pinion bend its joint by what counts; of the output, or less torque or more, they do not.
    ({"axle.pinion_slope_deg": 6.3, "powertrain.plan_deg": None, "axle.pinion_plan_deg": None,
      "powertrain.cruise_torque_share": None}, "windup_cruise", "the pinion seen from above"),
])  # fmt: skip
def test_what_is_not_judged_asks_for_what_decides(changes: dict[str, Any], name: str, asked: str) -> None:
    """Nobody weighs a truck for its centre of gravity to learn whether a spline is in deep enough."""
    _, one = told(changes, name)
    assert one.verdict == "unknown"
    assert one.says.startswith(f"Not judged: measure or enter {asked}.")


def test_what_a_way_out_leaves_short_is_against_it_though_not_known_for_sure() -> None:
    """Half an inch of slip left where three quarters are wanted is no clear finding that is merely no longer known."""
    wagon = {
        "vehicle.wheelbase_mm": 2387.6, "vehicle.rear_tyre_radius_mm": 381.0, "vehicle.front_tyre_radius_mm": 381.0,
        "vehicle.rear_axle_load_kg": 750.0, "vehicle.cruise_speed_kmh": 100.0, "vehicle.top_speed_kmh": 120.0,
        "powertrain.output_joint_mm": (1447.8, 0.0, 558.8), "powertrain.front_mount_mm": (152.4, 635.0),
        "powertrain.rear_mount_mm": (1143.0, 457.2), "powertrain.peak_torque_nm": 300.0,
        "powertrain.gear_ratios": (3.9, 2.3, 1.4, 1.0, 0.8), "powertrain.low_range": 2.72,
        "axle.centre_mm": (2387.6, 0.0, 381.0), "axle.ratio": 4.1, "axle.pinion_slope_deg": 6.0,
        "axle.pinion_length_mm": 279.4, "axle.pinion_drop_mm": 25.4, "suspension.front_eye_mm": (1808.0, 378.2),
        "suspension.shackle_pivot_mm": (2944.2, 464.1), "suspension.shackle_length_mm": 88.9,
        "suspension.front_half_mm": 584.2, "suspension.rear_half_mm": 584.2, "suspension.seat": "under",
        "suspension.seat_to_axle_mm": 66.0, "suspension.rate_n_per_mm": 30.0, "suspension.bump_mm": 76.2,
        "suspension.droop_mm": 88.9, "shaft.slip.stroke_mm": 101.6, "shaft.slip.engaged_mm": 63.5,
        "plan.rear_lift_mm": 101.6, "plan.front_lift_mm": 101.6, "plan.perches": "loose", **HUNG,
    }  # fmt: skip
    _, one = told(wagon, "pinion_residual")
    assert one.remedy is not None
    assert ("slip_left", "unknown") in {(worse.id, worse.verdict) for worse in one.remedy.worse}
    assert " and little slip left (unknown)" in one.remedy.says


def test_what_lies_aside_is_said_in_one_breath() -> None:
    """The shaft of the pickup with nothing but its heights: three things are taken, and one sentence says so."""
    plain = {"powertrain.plan_deg": None, "axle.pinion_plan_deg": None, "axle.pinion_offset_mm": None}
    _, one = told(plain | {"axle.pinion_slope_deg": 0.0}, "pinion_residual")
    assert one.verdict == "hold"
    assert "Seen from above, output and pinion are taken to run straight ahead, and the pinion to lie in" in one.says


def test_a_change_that_is_not_felt_is_no_way_out() -> None:
    """A bearing an inch aside of its line bends the first joint by 1.6°, and an eighth of an inch lower by 1.6° too."""
    tube = {"outer_diameter_mm": 76.2, "wall_mm": 2.11}
    two = {
        "kind": "two_piece", "bearing_mm": (2438.4, 25.4, 414.0), "front_phase_deg": 0.0, "rear_phase_deg": 0.0,
        "front_tube": tube, "rear_tube": tube,
    }  # fmt: skip
    van = {
        "powertrain.output_joint_mm": (1524.0, 0.0, 457.2), "powertrain.slope_deg": 3.0, "axle.pinion_slope_deg": 3.0,
        "powertrain.rear_mount_mm": None, "shaft": two,
    }  # fmt: skip
    _, one = told(van, "first_joint")
    assert one.verdict == "caution"
    assert one.value == pytest.approx(1.6, abs=0.04)
    assert all(way.after is not None and way.after < 1.53 for way in (one.remedy, *one.alternatives) if way)


BADLY_SET = {
    "axle.pinion_slope_deg": -1.0, "display.length": "millimetre", "vehicle.top_speed_kmh": 200.0,
    "shaft.tube.outer_diameter_mm": 63.5,
}  # fmt: skip
"""The pickup with its pinion five degrees too low, read by a millimetre tape, and a tube too thin for its speed."""
SHACKLED = {
    "suspension.shackle_pivot_mm": (4115.6, 647.7), "plan.rear_lift_mm": 38.1, "plan.rear_lift_by": "shackle",
    "powertrain.slope_deg": 3.5, "axle.pinion_slope_deg": 3.0,
}  # fmt: skip
"""The pickup lifted by longer shackles, which turn its pinion up and use up its slip."""


@pytest.mark.parametrize("changes", [BADLY_SET, SHACKLED, SHORT, SHORT | HUNG])
def test_nobody_is_told_two_things_where_one_of_them_does_as_much(changes: dict[str, Any]) -> None:
    """A millimetre of shim beside the wedges that mend it anyhow, as another way out, is work for nothing."""
    build = edited(PICKUP, changes)
    answer = solve(build)

    def left(way: Remedy) -> tuple[int, int, int]:
        verdicts = [one.verdict for one in solve(edited(build, way.changes)).findings]
        return verdicts.count("hold"), verdicts.count("caution"), verdicts.count("unknown")

    for one in answer.findings:
        ways = [way for way in (one.remedy, *one.alternatives) if way]
        for way in ways:
            for other in ways:
                if set(other.changes) < set(way.changes):
                    better = (way.after_verdict, other.after_verdict) == ("clear", "unknown")
                    assert better or any(mine < its for mine, its in zip(left(way), left(other), strict=True)), way.says


def test_a_housing_is_squared_at_its_bracket() -> None:
    """Nobody lowers a support bearing by half an inch, or the gearbox, to bring the shaft to a crooked housing."""
    tube = {"outer_diameter_mm": 76.2, "wall_mm": 2.11}
    van = {
        "powertrain.output_joint_mm": (1500.0, 0.0, 540.0), "powertrain.slope_deg": 3.0, "axle.pinion_slope_deg": 5.0,
        "shaft": {"kind": "two_piece", "bearing_mm": (2400.0, 0.0, 489.0), "bearing_slope_deg": 8.4,
                  "front_tube": tube, "rear_tube": tube},
    }  # fmt: skip
    _, one = told(van, "bearing_square")
    assert one.verdict == "hold"
    assert one.remedy is None
    assert one.says.endswith("Shims under one side of the bracket, or slots in it, would help.")


def test_a_bearing_that_hangs_too_high_is_lowered_before_the_gearbox_is_lifted() -> None:
    """Two bolts and a spacer, or an engine tilted by 2.6° with floor, linkage and exhaust: as far either way."""
    tube = {"outer_diameter_mm": 76.2, "wall_mm": 2.11}
    van = {
        "vehicle.wheelbase_mm": 3900.0, "vehicle.cruise_speed_kmh": 95.0, "vehicle.top_speed_kmh": 120.0,
        "vehicle.rear_tyre_radius_mm": 365.0, "powertrain.output_joint_mm": (1500.0, 0.0, 540.0),
        "powertrain.slope_deg": 3.0, "powertrain.front_mount_mm": (300.0, 600.0),
        "powertrain.rear_mount_mm": (1300.0, 480.0), "axle.centre_mm": (3900.0, 0.0, 365.0), "axle.ratio": 4.1,
        "axle.pinion_slope_deg": 5.0, "axle.pinion_length_mm": 330.0, "axle.pinion_drop_mm": 25.0, "suspension": None,
        "shaft": {"kind": "two_piece", "bearing_mm": (2600.0, 0.0, 530.0), "front_tube": tube, "rear_tube": tube,
                  "front_phase_deg": 0.0, "rear_phase_deg": 0.0},
    }  # fmt: skip
    _, one = told(van, "pinion_residual")
    assert one.verdict == "hold"
    ways = [way.says.partition(" by ")[0] for way in (one.remedy, *one.alternatives) if way]
    assert ways[0] == "Lower the support bearing"
    assert any("shim under the rear mount" in way for way in ways)
