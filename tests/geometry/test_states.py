"""The states that a vehicle is used in: against the springs' own law, hand calculations, and each other."""

import math
from dataclasses import asdict, replace
from typing import get_args

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings

from geometry import Build, edited, solve, value_at
from geometry.document.entries import variants
from geometry.judge import findings, judge, judging
from geometry.judge.codes import CAUTION, HOLD, Judged
from geometry.judge.facts import Facts
from geometry.judge.states import BETWEEN, MEASURED, Moved, states_of
from geometry.mechanics import springs
from geometry.mechanics.sag import SETTLING_MM
from geometry.mechanics.vectors import RADIAN, line_of, number, slope_deg
from geometry.words.setpoints import setpoints_of
from geometry.words.setpoints import states_of as states_told
from geometry.words.solution import Finding, Solution, UsedState
from geometry.words.solve import Work
from tests.geometry.strategies import WHOLE, sample
from tests.geometry.test_judge_rows import differences

TRUCK, LINKED, FRONT, VAN = WHOLE[0], WHOLE[4], WHOLE[2], WHOLE[3]
GRAVITY = 9.80665
SETTLED = {"use.rear_settling_mm": 25.0, "use.front_settling_mm": 0.0}
LOADED = {
    "use.rear_most_kg": 300.0, "suspension.rate_n_per_mm": 40.0, "vehicle.other_axle_rate_n_per_mm": 30.0,
    "use.front_most_kg": 40.0,
}  # fmt: skip
SAG_MM, FRONT_SAG_MM = 300.0 * GRAVITY / (2.0 * 40.0), 40.0 * GRAVITY / (2.0 * 30.0)  # 36.77 and 6.54 mm


def finding(solution: Solution, name: str, part: str = "") -> Finding:
    return next(one for one in solution.findings if one.id == name and (not part or one.part == part))


def states(build: Build) -> dict[str, tuple[float, float]]:
    v = variants(build)
    with np.errstate(all="ignore"):
        return {
            one.name: (float(one.moved.driven_mm), float(one.moved.other_mm))
            for one in states_of(v, ahead=v.word("axle.end") == "front")
        }


def used(build: Build) -> tuple[UsedState, ...]:
    """What the plan, not what is recommended, comes to in each state."""
    with np.errstate(all="ignore"):
        return states_told(Work(build).told)


def test_a_lift_of_springs_settles_whether_or_not_there_is_a_plan_yet() -> None:
    """A row with a lift is judged as the build with it, whose plan is by springs unless it says otherwise."""
    build = edited(TRUCK, {"plan": None, "use": {"rear_most_kg": 300.0, "front_most_kg": 40.0}})
    found = judge(variants(build, {"plan.rear_lift_mm": [0.0, 40.0]}))
    told = {(one.id, one.part): one.value for one in solve(edited(build, {"plan.rear_lift_mm": 40.0})).findings}
    for name in ("ends_parallel", "pinion_nose_up", "tail_down"):
        key = next(key for key in found if key[0] == name)
        assert float(found[key].value[1]) == pytest.approx(told[key], rel=1e-9)


# --- which states there are --------------------------------------------------------------------------------------


@pytest.mark.parametrize("build", [*WHOLE, Build()])
def test_with_nothing_entered_there_is_one_state_and_the_same_answer(build: Build) -> None:
    bare = solve(build)
    assert bare.states == ()
    assert all(one.state is None for one in bare.findings)
    empty = edited(build, {"state": {"on": "tyres", "front_load_kg": 30.0, "rear_load_kg": 80.0}, "use": {}})
    assert solve(empty) == bare  # how it was measured alone makes no other state


def test_settled_and_laden_are_four_states_by_the_springs_law() -> None:
    told = states(edited(TRUCK, {"use.rear_settling_mm": 25.0, "use.front_settling_mm": 10.0, **LOADED}))
    assert list(told) == [MEASURED, "laden", "settled", "settled and laden"]
    assert told["laden"] == pytest.approx((SAG_MM, FRONT_SAG_MM))
    assert told["settled"] == (25.0, 10.0)
    assert told["settled and laden"] == pytest.approx((25.0 + SAG_MM, 10.0 + FRONT_SAG_MM))


def test_the_end_that_is_driven_is_the_front_ones_on_a_front_axle() -> None:
    told = states(edited(FRONT, {"use.front_settling_mm": 25.0, "use.rear_settling_mm": 10.0}))
    assert told["settled"] == (25.0, 10.0)


def test_both_ends_of_the_load_count_from_what_it_carried_when_measured() -> None:
    told = states(edited(TRUCK, {**LOADED, "state.rear_load_kg": 100.0, "state.front_load_kg": 40.0}))
    assert list(told) == [MEASURED, "at the least load", "laden"]
    assert told["at the least load"] == pytest.approx((-SAG_MM / 3.0, -FRONT_SAG_MM))
    assert told["laden"] == pytest.approx((SAG_MM * 2.0 / 3.0, 0.0))


def test_a_taped_sag_does_instead_of_the_rate_and_goes_before_it() -> None:
    entered = {"use.rear_most_kg": 300.0, "use.rear_sag_mm": 30.0, "suspension.rate_n_per_mm": None}
    assert states(edited(TRUCK, entered))["laden"][0] == pytest.approx(30.0)
    half = {"state.rear_load_kg": 150.0, "suspension.rate_n_per_mm": 99.0}
    assert states(edited(TRUCK, {**entered, **half}))["laden"][0] == pytest.approx(15.0)


def test_driver_and_fuel_divide_by_the_lever() -> None:
    wheelbase = TRUCK.vehicle.wheelbase_mm
    told = states(edited(TRUCK, {
        "state.driver_in": False, "state.fuel_share": 0.25, "use.driver_kg": 90.0, "use.driver_x_mm": wheelbase / 3.0,
        "use.fuel_kg": 40.0, "use.fuel_x_mm": wheelbase, "suspension.rate_n_per_mm": 40.0,
        "vehicle.other_axle_rate_n_per_mm": 30.0,
    }))  # fmt: skip
    # The driver puts 60 kg on the front, 30 on the rear; the tank over the rear axle goes from a quarter to nil or all.
    rear, front = GRAVITY / 80.0, GRAVITY / 60.0
    assert told["at the least load"] == pytest.approx(((30.0 - 10.0) * rear, 60.0 * front))
    assert told["laden"] == pytest.approx(((30.0 + 30.0) * rear, 60.0 * front))


def test_driver_and_fuel_as_usual_where_nothing_is_entered_of_them() -> None:
    rates = {"suspension.rate_n_per_mm": 40.0, "vehicle.other_axle_rate_n_per_mm": 30.0}
    told = states(edited(TRUCK, {"state.driver_in": False, **rates}))
    assert told["at the least load"] == pytest.approx((40.0 * GRAVITY / 80.0, 40.0 * GRAVITY / 60.0))
    assert list(told) == [MEASURED, "at the least load"]  # laden is the same, as no load is named
    told = states(edited(TRUCK, {"state.driver_in": True, "state.fuel_share": 0.0, **rates}))
    assert told["laden"] == pytest.approx((45.0 * GRAVITY / 80.0, 15.0 * GRAVITY / 60.0))


def test_new_springs_settle_as_usual_measured_or_planned() -> None:
    bare = edited(TRUCK, {"plan": None})
    assert states(edited(bare, {"state.springs": "new"}))["settled"] == (SETTLING_MM, SETTLING_MM)
    assert list(states(edited(bare, {"state.springs": "settled"}))) == [MEASURED]
    lifted = edited(bare, {"plan.rear_lift_mm": 50.0, "use.rear_most_kg": 0.0, "use.front_most_kg": 0.0})
    assert states(lifted)["settled"] == (SETTLING_MM, 0.0)
    assert list(states(edited(lifted, {"plan.rear_lift_by": "block"}))) == [MEASURED]
    assert list(states(edited(lifted, {"use.rear_settling_mm": 0.0}))) == [MEASURED]


# --- how it stands there -----------------------------------------------------------------------------------------


def test_settled_the_axle_lies_on_the_springs_own_path() -> None:
    build = edited(TRUCK, {**SETTLED, "plan": None})
    v = variants(build)
    with np.errstate(all="ignore"):
        plan = Facts(v)
        moved = Facts(v, 0, plan, plan.states[1].moved)
        path = springs.axle_path(plan.leaf, plan.curvature, number(25.0))
        assert float(moved.ride.shift.x) == pytest.approx(float(path.dx_mm))
        assert float(moved.ride.shift.z) == pytest.approx(25.0)
        turn = float(slope_deg(moved.axle.line) - slope_deg(plan.axle.line))
    assert turn == pytest.approx(float(path.turn_deg), abs=1e-3)  # its pinion points aside by half a degree
    settled = used(build)[1]
    # The rear comes down by 25 mm over the wheelbase, so every reading loses atan(25/wheelbase) but for that turn.
    tip = np.degrees(np.arctan(25.0 / build.vehicle.wheelbase_mm))
    assert settled.output_slope_deg == pytest.approx(build.powertrain.slope_deg + tip, abs=0.051)
    assert settled.pinion_slope_deg == pytest.approx(build.axle.pinion_slope_deg + tip + turn, abs=0.051)


@pytest.mark.parametrize("build", [TRUCK, LINKED, FRONT, VAN], ids=["leaf", "links", "front axle", "two pieces"])
def test_settled_is_the_same_as_a_lift_the_other_way(build: Build) -> None:
    """A vehicle that comes down by its springs stands as one that is planned to be lowered by them."""
    end, other = ("front", "rear") if build is FRONT else ("rear", "front")
    bare = edited(build, {"plan": None, "lateral_link": None})
    down = {f"plan.{end}_lift_mm": -20.0, f"plan.{other}_lift_mm": -8.0, f"plan.{end}_lift_by": "spring"}
    lowered = setpoints_of(Work(edited(bare, down)).told)
    settled = used(edited(bare, {f"use.{end}_settling_mm": 20.0, f"use.{other}_settling_mm": 8.0}))[1]
    for name in ("output_slope_deg", "pinion_slope_deg", "shaft_slope_deg", "shaft_length_mm", "slip_engaged_mm"):
        assert getattr(settled, name) == pytest.approx(getattr(lowered, name), abs=1e-6), name


@pytest.mark.parametrize("by", ["spring", "block", "shackle"])
def test_a_state_goes_on_from_the_lift_whichever_way_it_is_done(by: str) -> None:
    build = edited(TRUCK, {"plan.rear_lift_mm": 40.0, "plan.rear_lift_by": by, **SETTLED, "plan.axle_shim_deg": 2.0})
    v = variants(build)
    with np.errstate(all="ignore"):
        plan = Facts(v)
        moved = Facts(v, 0, plan, plan.states[1].moved)
        path = springs.axle_path(plan.ride.leaf, plan.ride.curvature, number(25.0))
        assert float(moved.ride.shift.z - plan.ride.shift.z) == pytest.approx(25.0)
        assert float(moved.ride.turn_deg - plan.ride.turn_deg) == pytest.approx(float(path.turn_deg))
        assert float(moved.ride.stop_gain_mm) == pytest.approx(float(plan.ride.stop_gain_mm) - 25.0)


def test_travel_ends_at_the_same_stops_in_every_state() -> None:
    for build in (TRUCK, LINKED):
        v = variants(edited(build, SETTLED))
        with np.errstate(all="ignore"):
            plan = Facts(v, 41)
            moved = Facts(v, 41, None, plan.states[1].moved)
            for end in (0, -1):
                there, here = (
                    tuple(float(np.ravel(part[end])[0]) for part in facts.travelled.rest.joints[-1] if part.ndim > 1)
                    for facts in (moved, plan)
                )
                assert there == pytest.approx(here, abs=1e-6)


def test_loose_perches_are_set_now_and_turn_with_the_springs_after() -> None:
    build = edited(TRUCK, {"plan": {"perches": "loose", "pinion_slope_deg": 5.0, "mounts": "loose",
                                    "powertrain_slope_deg": 3.0}, **SETTLED})  # fmt: skip
    with np.errstate(all="ignore"):
        v = variants(build)
        plan = Facts(v)
        moved = Facts(v, 0, plan, plan.states[1].moved)
        turn = float(springs.axle_path(plan.leaf, plan.curvature, number(25.0)).turn_deg)
        assert float(slope_deg(plan.axle.line)) == pytest.approx(5.0)
        assert float(slope_deg(moved.axle.line)) == pytest.approx(5.0 + turn, abs=1e-3)
        assert float(slope_deg(moved.powertrain.line)) == pytest.approx(3.0)  # in the frame: mounts do not settle


# --- how it is judged there --------------------------------------------------------------------------------------


def test_a_clear_double_joint_settles_until_its_needles_stand() -> None:
    before = finding(solve(LINKED), "operating_angle_least")
    assert (before.verdict, before.state) == ("clear", None)
    solution = solve(edited(LINKED, {"use.rear_settling_mm": 25.0, "use.front_settling_mm": 25.0}))
    needles = finding(solution, "operating_angle_least")
    assert (needles.verdict, needles.state) == ("caution", "settled")
    assert needles.value == pytest.approx(0.08, abs=0.005)
    assert needles.says.startswith("Settled, the rear joint runs at 0.08°: its needles stand")
    assert solution.verdict == "caution"


def test_each_state_is_judged_as_a_build_that_stands_there() -> None:
    """Every finding's value is the worst of builds that were lowered to each of the states one by one."""
    bare = edited(TRUCK, {"plan": None, "lateral_link": None})
    told = solve(edited(bare, {"use.rear_settling_mm": 25.0, **LOADED}))
    assert [state.name for state in told.states] == [MEASURED, "laden", "settled", "settled and laden"]
    alone = [
        solve(edited(bare, {"plan.rear_lift_mm": -state.driven_mm, "plan.front_lift_mm": -state.other_mm,
                            "suspension.rate_n_per_mm": 40.0}))
        for state in told.states
    ]  # fmt: skip
    checked = set()
    for one in told.findings:
        if one.state is None or one.id in {"bump_left", "joint_bind", "gauge_resolution"}:
            continue
        values = [
            there.value for other in alone for there in other.findings
            if (there.id, there.part) == (one.id, one.part) and there.value is not None
        ]  # fmt: skip
        if one.verdict != "unknown" and len(values) == len(alone):
            worst = max(values) if one.sense == "at most" else min(values)
            assert one.value == pytest.approx(worst, rel=1e-6, abs=1e-6), one.id
            assert told.states[values.index(worst)].name == one.state, one.id
            checked.add(one.id)
    assert {"pinion_residual", "ends_parallel", "operating_angle_least", "shaft_inertia_drive", "tail_down"} <= checked


def test_a_load_that_leaves_no_bump_travel_is_told() -> None:
    build = edited(TRUCK, {**LOADED, "suspension.bump_mm": SAG_MM + 5.0})
    left = finding(solve(build), "bump_left")
    assert (left.verdict, left.state) == ("hold", "laden")
    assert left.value == pytest.approx(5.0)
    assert left.says.startswith("Laden, the vehicle keeps 0.20 in (5.0 mm) of bump travel: it rides on the stop")
    beyond = finding(solve(edited(build, {"suspension.bump_mm": SAG_MM - 5.0})), "bump_left")
    assert beyond.says.startswith("Laden, so low the axle would stand 0.20 in (5.0 mm) beyond its bump stop")


def test_what_no_state_turns_names_none() -> None:
    solution = solve(edited(TRUCK, {**SETTLED, **LOADED}))
    named = {one.id for one in solution.findings if one.state is not None}
    assert "tube_shear" not in named
    assert "travel_reach" not in named
    assert "slip_left" not in named
    assert "pinion_residual" in named


def test_a_remedy_is_judged_in_all_states() -> None:
    """What a way out promises is what `solve` then says, of the worst state."""
    build = edited(WHOLE[1], {"use.rear_settling_mm": 25.0, **LOADED})
    solution = solve(build)
    told = [(one, way) for one in solution.findings for way in (one.remedy, *one.alternatives) if way is not None]
    assert told
    for one, way in told[:6]:
        after = solve(edited(build, way.changes))
        there = next((other for other in after.findings if (other.id, other.part) == (one.id, one.part)), None)
        assert there is not None
        assert there.verdict == way.after_verdict
        if way.after is not None and way.after_verdict != "unknown":
            assert there.value == pytest.approx(way.after, rel=1e-6, abs=1e-6)
        assert sum(other.verdict == "hold" for other in after.findings) == way.holds
        assert sum(other.verdict == "caution" for other in after.findings) == way.cautions


def test_a_state_is_a_row_of_any_number_of_variants() -> None:
    """Judged all at once, or one build at a time: the same verdict and value."""
    build = edited(TRUCK, {"use.rear_settling_mm": 0.0, **LOADED})
    settling = np.array([0.0, 10.0, 25.0, 40.0])
    lift = np.array([0.0, 25.0, 50.0, 30.0])
    columns = {"use.rear_settling_mm": settling, "plan.rear_lift_mm": lift}
    found = judge(variants(build, columns), positions=9)
    for row in range(4):
        alone = judge(variants(edited(build, {path: float(one[row]) for path, one in columns.items()})), positions=9)
        assert alone.keys() == found.keys()
        for key, one in alone.items():
            assert one.verdict[0] == found[key].verdict[row], key
            assert one.value[0] == pytest.approx(found[key].value[row], rel=1e-9, abs=1e-9, nan_ok=True), key


def numbers_of(section: str) -> list[str]:
    """Paths of all numbers that a section may hold."""
    annotation = Build.model_fields[section].annotation
    model = next(one for one in get_args(annotation) if one is not type(None))
    return [f"{section}.{name}" for name, field in model.model_fields.items() if float in get_args(field.annotation)]


@pytest.mark.parametrize("bare", [True, False], ids=["alone", "beside the others"])
@pytest.mark.parametrize("path", [*numbers_of("state"), *numbers_of("use")])
def test_entered_in_some_rows_only_each_row_is_what_its_build_is_alone(path: str, *, bare: bool) -> None:
    """Whichever entry it is: rows that have it and rows that have not do not hang on each other."""
    others = {"state.driver_in": False, "state.fuel_share": 0.5, "use.rear_settling_mm": 20.0, **LOADED}
    build = edited(TRUCK, {"plan": None, "suspension.rate_n_per_mm": 40.0, **({} if bare else others)})
    entered = 0.25 if path.endswith("share") else 2.0 if path.endswith("deg") else 30.0
    column = [entered, math.nan, 0.5 * entered, math.nan]
    found = judge(variants(build, {path: column}), positions=9)
    for row, value in enumerate(column[:3]):
        alone = judge(variants(edited(build, {path: None if math.isnan(value) else value})), positions=9)
        assert differences(found, row, alone) == []


# --- what is not entered -----------------------------------------------------------------------------------------


def test_without_the_rate_only_what_the_load_may_turn_is_unknown() -> None:
    solution = solve(edited(LINKED, {"use.rear_most_kg": 300.0, "suspension.rate_n_per_mm": None}))
    unknown = {one.id: one for one in solution.findings if one.verdict == "unknown"}
    assert "straight_end" in unknown  # over the travel it bends by more than four degrees
    assert unknown["straight_end"].says == (
        "Not judged laden: measure or enter either the rate of one spring, or the rear sag at the most load."
    )
    assert unknown["straight_end"].entry == "suspension.rate_n_per_mm"
    assert finding(solution, "critical_speed").verdict == "clear"  # the shaft's length changes by millimetres only
    assert finding(solution, "half_critical_speed").verdict == "clear"
    assert solve(LINKED).verdict == "caution"


def test_without_the_other_axles_rate_only_what_a_gauge_reads_on_the_tyres_is_unknown() -> None:
    rates = {"use.front_most_kg": 60.0, "vehicle.other_axle_rate_n_per_mm": None}
    solution = solve(edited(TRUCK, rates))
    assert finding(solution, "pinion_residual").verdict != "unknown"
    tail = finding(solution, "tail_down")
    assert tail.verdict == "unknown"
    assert "the rate of the other axle's spring" in tail.says
    assert "the front sag at the most load" in tail.says


def test_a_state_without_springs_wants_them() -> None:
    build = edited(LINKED, {**SETTLED, "suspension.lower_frame_mm": None})
    one = finding(solve(build), "pinion_residual")
    assert one.verdict == "unknown"
    assert one.says == "Not judged settled: measure or enter the lower link at the frame."
    hold = finding(solve(edited(build, {"suspension": None})), "straight_end")
    assert hold.says == "Not judged settled: measure or enter the springs or links."


def test_a_state_out_of_the_springs_reach_is_told() -> None:
    short = edited(LINKED, {"use.rear_settling_mm": 200.0, "suspension.lower_frame_mm": (2500.0, 400.0)})
    one = finding(solve(short), "straight_end")
    assert one.says == (
        "Not judged settled: springs or links as entered cannot hold the axle as high as it stands settled."
    )


def test_a_place_of_the_driver_wants_the_wheelbase() -> None:
    build = edited(LINKED, {"state.driver_in": False, "use.driver_x_mm": 1200.0, "vehicle.wheelbase_mm": None,
                            "suspension.rate_n_per_mm": 30.0})  # fmt: skip
    one = finding(solve(build), "pinion_residual")
    assert one.says == "Not judged at the least load: measure or enter the wheelbase."


# --- how it was measured -----------------------------------------------------------------------------------------

RAIL = {"vehicle.frame_slope_deg": 0.4, "state.rail_slope_deg": 0.4}


def turned(build: Build, by_deg: float) -> Build:
    """A vehicle measured with its frame tipped, readings and all: each line turned as a line in space."""
    changes: dict[str, object] = {"state.rail_slope_deg": 0.4 + by_deg}
    angle = by_deg * RADIAN
    for slope, plan in (
        ("powertrain.slope_deg", "powertrain.plan_deg"), ("axle.pinion_slope_deg", "axle.pinion_plan_deg"),
    ):  # fmt: skip
        section, name = slope.split(".")
        was = getattr(build, section)
        line = line_of(number(getattr(was, name)), number(getattr(was, plan.split(".")[1]) or 0.0))
        x, z = line.x * np.cos(angle) + line.z * np.sin(angle), line.z * np.cos(angle) - line.x * np.sin(angle)
        changes[slope] = float(np.degrees(np.arcsin(-z)))
        changes[plan] = float(np.degrees(np.arctan2(line.y, x)))
    bearing = value_at(build, "shaft.bearing_slope_deg")
    if bearing is not None:
        changes["shaft.bearing_slope_deg"] = bearing + by_deg
    for name in ("shaft_slope_deg", "seat_slope_deg"):
        read = getattr(build.readings, name) if build.readings else None
        if read is not None:
            changes[f"readings.{name}"] = read + by_deg
    for side in ("left", "right"):
        read = value_at(build, f"perches.seat_{side}_deg")
        if read is not None:
            changes[f"perches.seat_{side}_deg"] = read + by_deg
    return edited(build, changes)


@pytest.mark.parametrize("by_deg", [-3.0, 0.7, 5.0])
@pytest.mark.parametrize("build", [*WHOLE, sample("three_angles_and_a_length")])
def test_a_vehicle_and_its_readings_tipped_together_change_nothing(build: Build, by_deg: float) -> None:
    if build.axle is None or build.axle.pinion_plan_deg is None:
        build = edited(build, {"axle.pinion_plan_deg": 0.0, "powertrain.plan_deg": 0.0})
    level = edited(build, {**RAIL, "use.rear_settling_mm": 15.0, "readings.seat_slope_deg": 1.0})
    one, other = solve(level), solve(turned(level, by_deg))
    assert [(f.id, f.part, f.verdict, f.state) for f in one.findings] == [
        (f.id, f.part, f.verdict, f.state) for f in other.findings
    ]
    for first, second in zip(one.findings, other.findings, strict=True):
        assert (second.value is None) == (first.value is None)
        assert (second.value or 0.0) == pytest.approx(first.value or 0.0, rel=1e-7, abs=1e-7)
    for name in ("output_slope_deg", "pinion_slope_deg", "shaft_slope_deg"):
        assert getattr(other.angles, name) == pytest.approx(getattr(one.angles, name), abs=1e-9)
    for here, there in zip(one.setpoints.checks, other.setpoints.checks, strict=True):
        assert here.of == there.of
        assert (here.rise_mm, here.tenth_mm) == pytest.approx((there.rise_mm, there.tenth_mm), abs=1e-9)
    plain = (replace(points, checks=()) for points in (one.setpoints, other.setpoints))
    for (name, value), there in zip(*(asdict(points).items() for points in plain), strict=True):
        assert there[1] == value or there[1] == pytest.approx(value, abs=1e-9), name


def test_on_stands_the_rails_slope_is_wanted_both_times() -> None:
    build = edited(TRUCK, {"state.on": "axle_stands", "vehicle.frame_slope_deg": None})
    one = finding(solve(build), "pinion_residual")
    assert one.says == (
        "Not judged: measure or enter the rail slope when the angles were read and the frame rail slope."
    )
    assert finding(solve(edited(build, RAIL)), "pinion_residual") == finding(solve(TRUCK), "pinion_residual")


def test_with_the_axle_hanging_ride_height_is_not_judged() -> None:
    solution = solve(edited(TRUCK, {"state.on": "frame_stands", **RAIL, "plan.rear_lift_mm": 40.0}))
    one = finding(solution, "pinion_residual")
    assert one.verdict == "unknown"
    assert one.says == (
        "Not judged: the vehicle was measured on stands under its frame, with the axle hanging: measure it again on "
        "its tyres, or on stands under both axles."
    )
    hang = {"ends_parallel", "joint_bind", "slip_left", "shaft_slope", "gap_1", "lift"}
    assert all(one.verdict == "unknown" for one in solution.findings if one.id in hang)
    assert finding(solution, "tube_shear").verdict != "unknown"
    assert finding(solution, "tail_down").verdict != "unknown"  # the rail tells how the output lies on the tyres
    assert solution.states == ()
    assert solution.setpoints.pinion_slope_deg is None
    assert solution.setpoints.shaft_length_mm is None
    assert (solution.order.length_mm, solution.order.least_mm, solution.order.longer_mm) == (None, None, None)
    assert solution.order.says[0].startswith("No length is known: the vehicle was measured on stands under its frame")


def test_angles_read_laden_are_brought_to_the_load_of_the_tape() -> None:
    """The seat turns along the springs' path as the load comes on; the rail tells how the frame tipped."""
    plain = edited(TRUCK, {"plan": None, "suspension.rate_n_per_mm": 40.0, **RAIL})
    with np.errstate(all="ignore"):
        facts = Facts(variants(plain))
        turn = float(springs.axle_path(facts.leaf, facts.curvature, number(SAG_MM)).turn_deg)
    tipped = edited(plain, {"axle.pinion_plan_deg": 0.0, "powertrain.plan_deg": 0.0})
    laden = edited(tipped, {
        "state.rear_load_kg": 300.0, "state.taped_load_kg": 0.0, "state.rail_slope_deg": 0.4 + 0.9,
        "powertrain.slope_deg": tipped.powertrain.slope_deg + 0.9,
        "axle.pinion_slope_deg": tipped.axle.pinion_slope_deg + 0.9 + turn,
    })  # fmt: skip
    one, other = solve(tipped), solve(laden)
    assert other.angles.pinion_slope_deg == pytest.approx(one.angles.pinion_slope_deg)
    assert other.angles.output_slope_deg == pytest.approx(one.angles.output_slope_deg)
    assert finding(other, "pinion_residual").value == pytest.approx(finding(one, "pinion_residual").value)
    assert not any(found.id == "stick_slope" for found in other.findings)


def test_angles_and_points_of_two_loads_are_refused_without_rate_or_rail() -> None:
    mixed = edited(TRUCK, {"state.rear_load_kg": 300.0, "state.taped_load_kg": 0.0, "suspension.rate_n_per_mm": None,
                           "vehicle.frame_slope_deg": None})  # fmt: skip
    one = finding(solve(mixed), "pinion_residual")
    assert one.verdict == "unknown"
    for name in ("the rail slope when the angles were read", "the frame rail slope", "the rate of one spring"):
        assert name in one.says
    none = edited(mixed, {"suspension": None, **RAIL})
    assert finding(solve(none), "pinion_residual").verdict == "unknown"
    links = edited(
        LINKED, {"state.rear_load_kg": 30.0, "state.taped_load_kg": 0.0, "suspension.rate_n_per_mm": 30.0, **RAIL}
    )
    assert finding(solve(links), "pinion_residual").verdict != "unknown"


def test_loose_perches_need_nothing_of_how_the_pinion_was_read() -> None:
    loose = {"plan": {"perches": "loose", "pinion_slope_deg": 4.0}, "state.on": "axle_stands",
             "vehicle.frame_slope_deg": None}  # fmt: skip
    with np.errstate(all="ignore"):
        assert float(slope_deg(Facts(variants(edited(TRUCK, loose))).axle.line)) == pytest.approx(4.0)


# --- speeds ------------------------------------------------------------------------------------------------------


def test_the_tyres_turns_tell_speeds_and_the_loaded_radius_torque() -> None:
    """Worked by hand: 100 km/h at 430 turns a kilometre is 43,000 turns an hour, 716.667 rpm at the wheels."""
    build = edited(TRUCK, {"vehicle.tyre_turns_per_km": 430.0, "vehicle.cruise_speed_kmh": 100.0, "axle.ratio": 4.0})
    was, now = solve(edited(build, {"vehicle.tyre_turns_per_km": None})), solve(build)
    assert now.shaft.cruise_rpm == pytest.approx(43_000.0 / 60.0 * 4.0)
    assert now.shaft.torque_nm == was.shaft.torque_nm
    without = solve(edited(build, {"vehicle.rear_tyre_radius_mm": None, "vehicle.rear_axle_load_kg": None}))
    assert without.shaft.cruise_rpm == now.shaft.cruise_rpm
    assert finding(without, "pinion_residual").verdict != "unknown"


def test_a_hold_as_measured_stays_one_whatever_is_not_known_of_a_state() -> None:
    build = edited(WHOLE[1], {"use.rear_most_kg": 200.0, "suspension.rate_n_per_mm": None})
    before, after = judge(variants(edited(build, {"use": None})), positions=9), judge(variants(build), positions=9)
    held = [key for key, one in before.items() if one.verdict[0] == HOLD]
    assert held
    assert all(after[key].verdict[0] == HOLD for key in held)


# --- how it is drawn there ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("build", [TRUCK, LINKED, FRONT], ids=["leaf", "links", "front axle"])
def test_in_a_state_the_frame_comes_down_over_the_axle(build: Build) -> None:
    end = "front" if build is FRONT else "rear"
    work = Work(edited(build, {"plan": None, "lateral_link": None, f"use.{end}_settling_mm": 30.0}))
    whole = solve(work.build)
    assert [state.name for state in work.states] == [MEASURED, "settled"]
    there = work.posed(whole, state=1)
    assert there is not None
    was, now = whole.picture.axle_centre_mm, there.picture.axle_centre_mm
    assert was is not None
    assert now is not None
    assert now[2] == pytest.approx(was[2], abs=0.5)  # on its tyres as before
    eye, eye_now = (one.picture.spring_eyes_mm or one.picture.links_mm[0] for one in (whole, there))
    assert eye[0][1] - eye_now[0][1] == pytest.approx(30.0, abs=12.0)
    state = used(work.build)[1]
    assert there.angles.pinion_slope_deg == pytest.approx(state.pinion_slope_deg, abs=0.051)
    assert there.shaft.length_mm == pytest.approx(state.shaft_length_mm)
    # At the bump stop it is where it is as measured.
    bump = build.suspension.bump_mm
    stop, same = work.posed(whole, bump - 30.0, state=1), work.posed(whole, bump)
    assert stop is not None
    assert same is not None
    assert stop.shaft.length_mm == pytest.approx(same.shaft.length_mm, abs=1e-6)


def test_what_is_taken_as_usual_is_said() -> None:
    rates = {"suspension.rate_n_per_mm": 40.0, "vehicle.other_axle_rate_n_per_mm": 30.0}
    told = used(edited(TRUCK, {"plan": None, "state.springs": "new", "state.driver_in": False, "state.fuel_share": 0.5,
                               **rates}))  # fmt: skip
    taken = {state.name: state.taken for state in told}
    assert taken[MEASURED] == ""
    assert taken["settled"] == "taken as usual: new springs to settle by 0.79 in (20 mm)"
    assert taken["settled and laden"].endswith(
        "(20 mm), a driver of 176 lb (80 kg) and 132 lb (60 kg) of fuel in a full tank"
    )
    entered = {"use.front_settling_mm": 5.0, "use.rear_settling_mm": 5.0, "use.driver_kg": 90.0, "use.fuel_kg": 50.0}
    told = used(edited(TRUCK, {"plan": None, "state.springs": "new", "state.driver_in": False, "state.fuel_share": 0.5,
                               **rates, **entered}))  # fmt: skip
    assert not any(state.taken for state in told)


def test_where_there_is_one_state_there_is_no_other_to_tell() -> None:
    with pytest.raises(IndexError, match="there is no state 1"):
        Work(TRUCK).told.in_state(1)


# --- between two states ------------------------------------------------------------------------------------------

PLACES = 401
NOT_BETWEEN = {"joint_bind", "gap", "bump_left", "gauge_resolution"}
"""What the travel tells in all states at once, is worst in one of them as a matter of course, or tells of the gauge."""


def all_between(build: Build) -> dict[tuple[str, str], tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """Verdict, value and clear line of every finding at hundreds of places from the lowest state to the highest."""
    with np.errstate(all="ignore"):
        facts = Facts(variants(build), 41)
        ups, tips = (
            [float(getattr(one.moved, f"{which}_mm")) for one in facts.states] for which in ("driven", "other")
        )
        low, high = int(np.argmin(ups)), int(np.argmax(ups))
        share = np.linspace(0.0, 1.0, PLACES)
        moved = Moved(*(one[low] + share * (one[high] - one[low]) for one in (np.array(ups), np.array(tips))))
        found = judging._judged(Facts(facts.v.repeated(PLACES), 0, facts, moved), findings.STATES)
    return {key: (one.verdict, one.value, one.clear) for key, one in found.items() if key[0] in findings.IN_STATES}


def loaded(build: Build, down_mm: float, load: float) -> Build:
    """A build that settles so far, with a load that makes it sag as far again as told."""
    end, other = ("front", "rear") if build.axle.end == "front" else ("rear", "front")
    return edited(build, {
        "plan": None, f"use.{end}_settling_mm": down_mm, f"use.{other}_settling_mm": 0.0, f"use.{end}_most_kg": 100.0,
        f"use.{end}_sag_mm": load,
    })  # fmt: skip


@given(whole=st.sampled_from(WHOLE), down=st.floats(0.0, 40.0), load=st.floats(1.0, 60.0), lean=st.floats(-4.0, 4.0))
@settings(max_examples=60, deadline=None)
def test_nothing_bad_between_two_states_is_called_clear(whole: Build, down: float, load: float, lean: float) -> None:
    """Against the same findings at 401 places between the states: none of them is worse than what is told."""
    build = loaded(edited(whole, {"axle.pinion_slope_deg": whole.axle.pinion_slope_deg + lean}), down, load)
    with np.errstate(all="ignore"):
        told, _ = judging.judged_in_states(Facts(variants(build), 41))
    for key, (verdict, value, clear) in all_between(build).items():
        one = told[key]
        if key[0] in NOT_BETWEEN or one.verdict[0] >= CAUTION:
            continue
        bad = verdict >= CAUTION
        # The places lie some millimetres apart: what is within a hundredth of its line may be missed.
        assert (np.abs(value[bad] - clear[bad]) <= 0.01 * np.abs(clear[bad])).all(), key


@pytest.mark.parametrize("front", [{}, {"use.front_most_kg": 0.0, "use.front_settling_mm": 0.0}], ids=["", "still"])
def test_a_joint_that_passes_straight_between_two_loads_is_told_there(front: dict[str, float]) -> None:
    """The links' single joint bends one way empty and the other way laden: in neither do its needles stand.

    So it is where the other axle is known to stand still in both.
    """
    build = edited(
        LINKED, {"use.rear_most_kg": 300.0, "use.rear_sag_mm": 50.0, "vehicle.other_axle_rate_n_per_mm": 40.0} | front
    )
    needles = finding(solve(build), "operating_angle_least")
    assert (needles.verdict, needles.state) == ("caution", BETWEEN)
    assert needles.value == pytest.approx(0.0, abs=0.06)
    assert needles.says.startswith("In between, the rear ")
    down = float(needles.says.removeprefix("In between, the rear ").split(" mm", maxsplit=1)[0])
    lowered = edited(LINKED, {"use.rear_settling_mm": down, "use.front_settling_mm": 0.0})
    alone = finding(solve(lowered), "operating_angle_least")
    assert (alone.state, alone.value) == ("settled", pytest.approx(needles.value, abs=0.05))
    assert {one.name for one in solve(build).states} == {
        MEASURED,
        "laden",
    }


def test_states_cost_rows_and_not_steps() -> None:
    """However many states there are, each judge is asked once for what the plan has and once for what states turn."""
    asked: list[str] = []

    def counted(facts: Facts, judges: tuple[judging.Judge, ...]) -> dict[tuple[str, str], Judged]:
        asked.extend(one.__name__ for one in judges)
        return judging.found_by(facts, judges)

    build = loaded(TRUCK, 20.0, 30.0)
    with np.errstate(all="ignore"):
        facts = Facts(variants(build), 41)
        judging.in_worst_state(facts, judging.RIDE, findings.STATES, counted, between=judging.BETWEEN)
    assert len(facts.states) == 4
    assert sorted(asked) == sorted({*asked})


def test_a_shaft_and_a_settling_alone_are_answered() -> None:
    """Of all that no state turns nothing is asked then, whatever is taken for granted."""
    answer = solve(edited(Build(), {"shaft": {"kind": "one_piece"}, "use.rear_settling_mm": 20.0}))
    assert answer.verdict == "unknown"
    assert [one.name for one in answer.states] == [MEASURED, "settled"]


@pytest.mark.parametrize("joint", ["front_joint", "rear_joint"])
def test_where_no_stops_are_known_a_joint_is_short_of_reach_in_the_state_that_bends_it_most(joint: str) -> None:
    """A shaft that climbs to its output climbs more unladen: what has 3.2° to spare as measured has less then."""
    limit = f"shaft.{joint}.max_angle_deg"
    free = edited(TRUCK, {"suspension.bump_mm": None, "suspension.droop_mm": None, limit: 45.0})
    most = 45.0 - float(judge(variants(free))["joint_bind", joint].value[0]) + 3.2
    unladen = {**LOADED, "state.rear_load_kg": 300.0, "state.front_load_kg": 40.0}
    for used_so, verdict, state in (({}, "unknown", None), (unladen, "caution", "at the least load")):
        found = finding(solve(edited(free, {limit: most, **used_so})), "joint_bind", joint)
        assert (found.verdict, found.state) == (verdict, state)
