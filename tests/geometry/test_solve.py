"""The whole answer: it comes for every build that the document allows, and leaves out what it cannot know."""

import gc
import json
import math
from typing import Any

import hypothesis.strategies as st
import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, Phase, given, settings

from geometry import Build, Solution, edited, solve
from geometry.document.entries import variants
from geometry.judge.judging import judge
from geometry.words.solve import Work, solved
from tests.geometry.strategies import sample

SAMPLES = (
    "front_axle_lift", "lifted_short_shaft", "long_van_two_piece", "ranch_truck_swap", "transfer_case_double_joint",
    "three_angles_and_a_length",
)  # fmt: skip

IN_A_HURRY = {
    "powertrain.slope_deg": 3.5,
    "axle.pinion_slope_deg": 3.5,
    "readings.shaft_slope_deg": 10.8,
    "readings.shaft_length_mm": 1524.0,
}


def numbers_of(value: Any) -> list[float]:
    if isinstance(value, dict):
        return [number for item in value.values() for number in numbers_of(item)]
    if isinstance(value, (list, tuple)):
        return [number for item in value for number in numbers_of(item)]
    return [value] if isinstance(value, float) else []


# A whole build has some 150 entries: shrinking one would take minutes, and the failing build is short enough to read.
@settings(
    max_examples=16,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(build=st.from_type(Build))
def test_every_build_that_the_document_allows_gets_an_answer(build: Build) -> None:
    answer = solve(build)
    assert all(math.isfinite(number) for number in numbers_of(answer.model_dump()))
    assert answer.model_dump_json()
    keys = [(finding.id, finding.part) for finding in answer.findings]
    assert len(set(keys)) == len(keys)
    assert all(finding.says and finding.basis and finding.entry for finding in answer.findings)
    assert "nan" not in answer.says + "".join(finding.says for finding in answer.findings)
    assert all(finding.value is None or finding.verdict != "unknown" for finding in answer.findings)


@pytest.mark.parametrize("name", [*SAMPLES, "hurry"])
@pytest.mark.parametrize(
    "extreme",
    [
        {"gauge.tape_uncertainty_mm": 0.0, "gauge.angle_uncertainty_deg": 0.0},
        {"gauge.tape_uncertainty_mm": 0.0},
        {"vehicle.mass_centre_height_mm": 3000.0, "vehicle.tyre_grip": 3.0, "vehicle.wheelbase_mm": 1000.0},
        {"plan.rear_lift_mm": -500.0, "plan.front_lift_mm": 1000.0},
        {"suspension.bump_mm": 0.0, "suspension.droop_mm": 0.0, "suspension.bump_squash_mm": 0.0},
        {"powertrain.slope_deg": 60.0, "axle.pinion_slope_deg": -60.0},
        {"vehicle.cruise_speed_kmh": 0.001, "axle.ratio": 30.0},
    ],
    ids=["no error at all", "perfect tape", "front wheels lift", "tipped", "no travel", "bent", "creeping"],
)
def test_every_number_is_finite_or_none_at_the_ends_of_what_is_allowed(name: str, extreme: dict[str, Any]) -> None:
    """A perfect tape once brought `solve --json` down; the shared scale of a line was nil."""
    build = edited(Build(), IN_A_HURRY) if name == "hurry" else sample(name)
    kinds = type(build.suspension).model_fields if build.suspension is not None else {}
    some = {
        path: value
        for path, value in extreme.items()
        if not path.startswith("suspension.") or path.split(".")[1] in kinds
    }
    answer = solve(edited(build, some))
    assert all(math.isfinite(number) for number in numbers_of(answer.model_dump()))
    assert answer.model_dump_json()
    for place in (0.0, 30.0, -400.0):
        for torque in ("none", "cruise", "launch"):
            there = Work(edited(build, some)).posed(answer, place, torque)
            assert there is None or all(math.isfinite(number) for number in numbers_of(there.model_dump()))


def crossing_itself(corners: int) -> tuple[tuple[float, float], ...]:
    """Corners drawn by luck over the driveline: an outline of tens of thousands of crossings."""
    luck = np.random.default_rng(7).uniform((1800.0, 850.0), (4000.0, 1500.0), (corners, 2))
    return tuple((float(x), float(z)) for x, z in luck)


def test_an_outline_that_crosses_itself_costs_no_more_than_a_plain_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Four hundred corners once took 72 s in `make_valid`. The work is counted, as a clock tells of other programs too.

    What shapely is given to measure is counted in bodies; `make_valid` and what else repairs outlines is forbidden.
    """
    bodies = 0
    measure = shapely.distance

    def forbidden(*_: Any, **__: Any) -> None:
        raise AssertionError("an outline is taken apart")

    def counted(one: Any, other: Any, **more: Any) -> Any:
        nonlocal bodies
        bodies += np.broadcast(one, other).size
        return measure(one, other, **more)

    for name in ("make_valid", "node", "polygonize", "unary_union", "union_all"):
        monkeypatch.setattr(shapely, name, forbidden)
    monkeypatch.setattr(shapely, "distance", counted)
    counts = {}
    corners = {
        "plain": ((1800.0, 850.0), (4000.0, 850.0), (4000.0, 1500.0), (1800.0, 1500.0)), "wild": crossing_itself(400),
    }  # fmt: skip
    for name, outline in corners.items():
        bodies = 0
        build = edited(sample("ranch_truck_swap"), {"obstacles": ({"name": "maze", "outline_mm": outline},)})
        (finding,) = [one for one in solve(build).findings if one.id == "gap_1"]
        assert finding.value is not None
        counts[name] = bodies
    assert counts["plain"] > 0
    assert counts["wild"] <= 3 * counts["plain"] + 500


def test_in_a_hurry() -> None:
    """Three angles and a length: the joints at 7.3° cancel; the rest wants measuring, and says what."""
    answer = solve(edited(Build(), IN_A_HURRY))
    assert [joint.operating_deg for joint in answer.joints] == pytest.approx([7.3, 7.3], abs=1e-9)
    assert answer.motion.equivalent_angle_deg == pytest.approx(0.0, abs=0.06)  # below 1e-6 of omega squared
    assert answer.shaft.length_mm == 1524.0
    assert answer.motion.pinion_residual_rad_s2 is None
    assert answer.verdict in {"caution", "unknown"}


def test_an_empty_build() -> None:
    answer = solve(Build())
    assert answer.verdict == "unknown"
    assert answer.shaft.critical_rpm is None
    assert all(joint.operating_deg is None for joint in answer.joints)


def mirrored(build: Build) -> Build:
    """The same vehicle seen in a mirror: y, plan and phase change sign."""
    tree = json.loads(build.model_dump_json())
    axle, engine, shaft = tree["axle"], tree["powertrain"], tree["shaft"]
    for section, names in (
        (axle, ("pinion_plan_deg", "pinion_offset_mm")), (engine, ("plan_deg",)),
        (shaft, ("phase_deg", "front_phase_deg", "rear_phase_deg")),
    ):  # fmt: skip
        for name in names:
            if section.get(name) is not None:
                section[name] = -section[name]
    for section, name in ((axle, "centre_mm"), (engine, "output_joint_mm"), (shaft, "bearing_mm")):
        if section.get(name) is not None:
            section[name][1] = -section[name][1]
    return Build.model_validate_json(json.dumps(tree))


@pytest.mark.parametrize("which", ["one_piece", "two_piece"])
@given(plan=st.floats(-6.0, 6.0), pinion_plan=st.floats(-6.0, 6.0), phase=st.floats(-45.0, 45.0))
@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_mirrored_vehicle_gets_the_same_answer(
    request: pytest.FixtureRequest, which: str, plan: float, pinion_plan: float, phase: float
) -> None:
    entry = "shaft.phase_deg" if which == "one_piece" else "shaft.rear_phase_deg"
    build = edited(
        request.getfixturevalue(which),
        {"powertrain.plan_deg": plan, "axle.pinion_plan_deg": pinion_plan, entry: phase},
    )
    one, other = solve(build), solve(mirrored(build))
    assert [joint.operating_deg for joint in other.joints] == pytest.approx(
        [joint.operating_deg for joint in one.joints], abs=1e-9
    )
    assert other.motion.pinion_residual_rad_s2 == pytest.approx(one.motion.pinion_residual_rad_s2, abs=1e-5)
    assert other.motion.drive_inertia_rad_s2 == pytest.approx(one.motion.drive_inertia_rad_s2, abs=1e-5)
    assert other.motion.coast_inertia_rad_s2 == pytest.approx(one.motion.coast_inertia_rad_s2, abs=1e-5)
    assert [(f.id, f.part, f.verdict) for f in other.findings] == [(f.id, f.part, f.verdict) for f in one.findings]


def test_the_same_build_gets_the_same_answer(one_piece: Build) -> None:
    assert solve(one_piece).model_dump_json() == solve(one_piece).model_dump_json()


def test_a_front_shaft_is_a_rear_one_turned_round() -> None:
    """Seen from the other end of the vehicle (turned half round about z) output and pinion swap ends.

    Slopes change sign, plans stay, and the motion of the pinion is the same.
    """
    rear = edited(
        Build(),
        {
            "powertrain.slope_deg": 3.0, "powertrain.plan_deg": 1.0, "powertrain.output_joint_mm": (0.0, 0.0, 600.0),
            "axle.centre_mm": (1300.0, 60.0, 400.0), "axle.pinion_slope_deg": 5.0, "axle.pinion_plan_deg": -2.0,
            "axle.pinion_length_mm": 300.0, "axle.pinion_drop_mm": 10.0, "axle.pinion_offset_mm": 20.0,
            "axle.ratio": 4.0, "vehicle.rear_tyre_radius_mm": 400.0, "vehicle.front_tyre_radius_mm": 400.0,
            "vehicle.cruise_speed_kmh": 90.0, "shaft.phase_deg": 12.0,
        },
    )  # fmt: skip
    front = edited(
        rear,
        {
            "axle.end": "front", "powertrain.slope_deg": -3.0, "axle.centre_mm": (-1300.0, -60.0, 400.0),
            "axle.pinion_slope_deg": -5.0, "axle.pinion_offset_mm": -20.0,
        },
    )  # fmt: skip
    one, other = solve(rear), solve(front)
    assert [joint.operating_deg for joint in other.joints] == pytest.approx(
        [joint.operating_deg for joint in one.joints][::-1], abs=1e-9
    )
    assert other.motion.pinion_residual_rad_s2 == pytest.approx(one.motion.pinion_residual_rad_s2, rel=1e-9)
    assert other.motion.drive_inertia_rad_s2 == pytest.approx(one.motion.drive_inertia_rad_s2, rel=1e-9)
    assert other.motion.coast_inertia_rad_s2 == pytest.approx(one.motion.coast_inertia_rad_s2, rel=1e-9)


def test_two_sections_are_joints_in_a_row(two_piece: Build) -> None:
    """Angles by hand from the three joint centres, each side of a triangle."""
    answer = solve(two_piece)
    centres = np.array(answer.picture.joint_centres_mm)
    steps = np.diff(centres, axis=0)
    between = np.degrees(np.arccos(steps[0] @ steps[1] / np.linalg.norm(steps[0]) / np.linalg.norm(steps[1])))
    assert answer.joints[1].operating_deg == pytest.approx(between, abs=1e-6)
    assert [section.length_mm for section in answer.shaft.sections] == pytest.approx(np.linalg.norm(steps, axis=1))
    assert answer.shaft.length_mm == pytest.approx(float(np.linalg.norm(steps[1])))
    assert answer.shaft.critical_rpm == min(section.critical_rpm or 0.0 for section in answer.shaft.sections)
    assert answer.shaft.mass_kg == pytest.approx(sum(section.mass_kg or 0.0 for section in answer.shaft.sections))
    assert answer.shaft.twist_deg == pytest.approx(sum(section.twist_deg or 0.0 for section in answer.shaft.sections))


def test_loads_of_the_joints(one_piece: Build) -> None:
    answer = solve(one_piece)
    front = answer.joints[0]
    assert front.operating_deg is not None
    assert answer.shaft.torque_nm is not None
    assert front.secondary_couple_nm == pytest.approx(
        answer.shaft.torque_nm * math.tan(math.radians(front.operating_deg))
    )
    assert answer.shaft.torque_nm == min(answer.shaft.low_gear_torque_nm or 0, answer.shaft.wheel_slip_torque_nm or 0)
    assert front.life_hours is not None
    assert answer.joints[1].life_hours is None


def test_the_answer_is_plain_data(one_piece: Build) -> None:
    answer = solve(one_piece)
    assert isinstance(answer, Solution)
    assert json.loads(answer.model_dump_json()) == json.loads(json.dumps(answer.model_dump()))
    assert set(answer.model_dump()) >= {"verdict", "angles", "joints", "shaft", "motion", "setpoints", "findings"}


POSITIONS = {
    "powertrain.output_joint_mm": (1100.0, 30.0, 560.0),
    "powertrain.slope_deg": 3.5,
    "axle.centre_mm": (2600.0, 0.0, 390.0),
    "axle.pinion_slope_deg": 3.4,
    "axle.pinion_length_mm": 350.0,
}


def answer_to(changes: dict[str, Any]) -> Solution:
    answer = solve(edited(Build(), changes))
    assert answer.model_dump_json()
    return answer


@pytest.mark.parametrize("measured", [IN_A_HURRY, POSITIONS], ids=["hurry", "positions"])
def test_a_lift_before_the_springs_are_measured(measured: dict[str, Any]) -> None:
    assert answer_to(measured | {"plan.rear_lift_mm": 50.0}).verdict != "clear"


def test_a_lift_without_a_wheelbase() -> None:
    assert answer_to({"vehicle.frame_slope_deg": 1.0, "plan.front_lift_mm": 50.0}).angles.frame_slope_deg is None


def test_joints_in_one_place() -> None:
    answer_to(
        {
            "powertrain.output_joint_mm": (1000.0, 0.0, 500.0), "powertrain.slope_deg": 0.0,
            "axle.centre_mm": (1500.0, 0.0, 500.0), "axle.pinion_slope_deg": 0.0, "axle.pinion_length_mm": 500.0,
        }
    )  # fmt: skip


def test_two_obstacles_can_be_told_apart() -> None:
    outline = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0))
    obstacles = tuple({"name": name, "outline_mm": outline} for name in ("pipe", "tank"))
    found = answer_to(POSITIONS | {"obstacles": obstacles}).findings
    assert len({(one.id, one.part) for one in found}) == len(found)


def test_a_shim_too_thick_for_the_mounts_is_named() -> None:
    answer = answer_to(IN_A_HURRY | {
        "powertrain.front_mount_mm": (0.0, 0.0), "powertrain.rear_mount_mm": (100.0, 0.0), "plan.mount_shim_mm": 200.0,
    })  # fmt: skip
    assert "the front mounts" not in next(one for one in answer.findings if one.id == "ends_parallel").says


@pytest.mark.parametrize("name", SAMPLES)
def test_what_was_worked_out_goes_with_its_answer(name: str) -> None:
    """No ring of objects keeps a build's arrays, some 200 kB, until Python next searches for garbage."""
    build = sample(name)

    def work() -> None:
        whole = Work(build)
        whole.posed(solved(whole), 10.0)
        judge(variants(build, {"axle.pinion_slope_deg": [2.0, 3.0]}), positions=41)

    work()  # what is kept for good
    gc.collect()
    gc.disable()
    try:
        work()
        assert gc.collect() == 0
    finally:
        gc.enable()
