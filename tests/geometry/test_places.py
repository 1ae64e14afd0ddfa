"""Where over the travel a finding's value is, and what is told as measured."""

import numpy as np
import pytest

from geometry import Build, edited, solve
from geometry.words.solution import Finding
from tests.geometry.strategies import sample

SAMPLES = (
    "ranch_truck_swap",
    "lifted_short_shaft",
    "transfer_case_double_joint",
    "long_van_two_piece",
    "front_axle_lift",
)


def one(build: Build, kind: str, part: str | None = None) -> Finding:
    return next(finding for finding in solve(build).findings if finding.id == kind and part in {None, finding.part})


@pytest.mark.parametrize("name", SAMPLES)
def test_the_place_told_is_where_the_curve_has_the_value(name: str) -> None:
    """At rest the value is the curve's least, at that place; at launch it is less than any at rest."""
    answer, told = solve(sample(name)), 0
    travel = answer.travel
    assert travel is not None
    for finding in answer.findings:
        over = {"slip_left": travel.slip_left_mm, "slip_engaged": travel.engaged_mm}.get(finding.id)
        if over is None or finding.value is None:
            continue
        assert finding.travel_mm is not None
        known = [value for value in over if value is not None]
        if finding.launch:
            assert finding.value < min(known)
        else:
            assert np.interp(finding.travel_mm, travel.axle_mm, over) == pytest.approx(finding.value, abs=1e-6)
            assert finding.value == pytest.approx(min(known), abs=1e-6)
        told += 1
    assert told > 0


@pytest.mark.parametrize("name", SAMPLES)
def test_what_the_travel_has_no_part_in_has_no_place(name: str) -> None:
    for finding in solve(sample(name)).findings:
        over = finding.id in {"joint_bind", "slip_left", "slip_engaged", "lateral_shift"} or finding.id.startswith(
            ("gap_", "pair_gap_", "line_slack_", "shock_", "bar_")
        )
        assert over or (finding.travel_mm is None and not finding.launch), finding.id
        assert finding.verdict != "unknown" or finding.travel_mm is None, finding.id


def test_the_sentence_names_the_place_that_is_told() -> None:
    for name in SAMPLES:
        for finding in solve(sample(name)).findings:
            if finding.travel_mm is None or finding.id.startswith("gap_"):
                continue
            way = (
                "at ride height"
                if abs(finding.travel_mm) < 0.05
                else " of bump"
                if finding.travel_mm > 0
                else " of droop"
            )
            assert way in finding.says.replace("At ride", "at ride"), finding.says
            assert ("launch torque" in finding.says) == finding.launch, finding.says


PLANS = (
    {"plan.axle_shim_deg": 2.0}, {"plan.rear_lift_mm": 50.0, "plan.rear_lift_by": "block"},
    {"plan.perches": "loose", "plan.pinion_slope_deg": 4.0}, {"plan.mounts": "loose", "plan.powertrain_slope_deg": 3.0},
)  # fmt: skip


@pytest.mark.parametrize("changes", PLANS)
@pytest.mark.parametrize("name", SAMPLES)
def test_what_is_measured_is_the_same_whatever_is_planned(name: str, changes: dict[str, object]) -> None:
    bare = edited(sample(name), {"plan": None})
    try:
        planned = edited(bare, changes)
    except ValueError:
        pytest.fail(f"{name} does not take {changes}")
    answer, before = solve(planned), solve(bare)
    assert answer.measured == before.measured
    assert before.measured.pinion_slope_deg == pytest.approx(round(bare.axle.pinion_slope_deg, 1), abs=0.0501)


PLACED = {
    "powertrain.output_joint_mm": (1500.0, 0.0, 600.0), "axle.centre_mm": (2900.0, 0.0, 400.0),
    "axle.pinion_length_mm": 300.0,
}  # fmt: skip


@pytest.mark.parametrize("missing", [set(), *({path} for path in PLACED), set(list(PLACED)[:2]), set(PLACED)])
def test_between_the_first_place_and_the_last_the_sticks_line_is_still_drawn_and_judges_nothing(
    missing: set[str],
) -> None:
    hurry = sample("three_angles_and_a_length")
    answer = solve(edited(hurry, {path: place for path, place in PLACED.items() if path not in missing}))
    assert len(answer.picture.section_directions) == 1
    joints = {"powertrain.output_joint_mm", "axle.centre_mm"}
    if missing and not joints <= missing:
        across, _, up = answer.picture.section_directions[0]
        assert np.degrees(np.arctan2(-up, across)) == pytest.approx(8.2, abs=1e-9)
        assert answer.angles.shaft_slope_deg is None
        assert all(joint.operating_deg is None for joint in answer.joints)
        assert answer.picture.joint_centres_mm == ()


def test_a_stick_that_was_read_before_something_moved_is_not_drawn_as_the_shaft() -> None:
    hurry = sample("three_angles_and_a_length")
    moved = {**PLACED, "axle.pinion_length_mm": None, "plan.rear_lift_mm": 50.0}
    assert solve(edited(hurry, moved)).picture.section_directions == ()


@pytest.mark.parametrize(("droop_mm", "bump_mm"), [(100.0, 50.0), (600.0, 50.0), (50.0, 400.0), (50.0, 900.0)])
def test_the_side_of_a_mirrored_lateral_link_is_mirrored_also_where_the_travel_ends_short(
    droop_mm: float, bump_mm: float
) -> None:
    build = edited(
        sample("transfer_case_double_joint"), {"suspension.droop_mm": droop_mm, "suspension.bump_mm": bump_mm}
    )
    ends = {f"lateral_link.{end}_point_mm": getattr(build.lateral_link, f"{end}_point_mm") for end in ("frame", "axle")}
    mirrored = edited(build, {path: (x, -y, z) for path, (x, y, z) in ends.items()})
    sides = [("left" if " to the left at" in says else "right") for says in (
        one(build, "lateral_shift").says, one(mirrored, "lateral_shift").says
    )]  # fmt: skip
    assert sorted(sides) == ["left", "right"]
