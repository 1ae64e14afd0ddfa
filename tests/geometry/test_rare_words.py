"""What is said where it seldom comes to it: at ride height alone, on a line to the last bit, one line left open."""

import re
from typing import Any

import numpy as np
import pytest

from geometry import Build, edited, solve
from geometry.document import is_front_axle, joints_of
from geometry.judge.codes import finding_id
from geometry.judge.findings import tail_down_deg
from geometry.words.finding import ORDER, findings_of
from geometry.words.names import field_of
from geometry.words.one import One
from geometry.words.solution import Finding, Solution
from geometry.words.wording import finer_apart
from tests.geometry.strategies import WHOLE, entries_of, sample
from tests.geometry.words_builds import found_in, front, told_of

RANCH = sample("ranch_truck_swap")


def of(answer: Solution, limit_id: str) -> Finding:
    return next(one for one in answer.findings if one.id == limit_id)


@pytest.mark.parametrize("build", WHOLE, ids=lambda build: build.title[:12])
def test_at_ride_height_alone_every_finding_has_its_words_and_no_joint_is_clear_of_its_stop(build: Build) -> None:
    told = told_of(build, 0)
    with np.errstate(all="ignore"):
        found = findings_of(told)
    assert {finding_id((one.id, one.part)) for one in found} <= set(ORDER)
    assert all(one.says and one.entry for one in found)
    for one in found:
        if one.id == "joint_bind" and one.value is None:
            assert one.verdict == "unknown"
            assert "at ride height" in one.says.lower()
            assert "to spare" in one.says


def test_a_finding_that_is_not_asked_is_none() -> None:
    told = told_of(edited(Build(), {"plan.axle_shim_deg": 0.0}))
    with pytest.raises(KeyError, match="not asked"):
        One(told, ("wedge_size", "perches"))


def test_a_path_of_numbers_alone_is_no_entry() -> None:
    with pytest.raises(KeyError):
        field_of(Build(), "0")


def test_what_no_person_can_tell_apart_is_worded_as_fine_as_it_gets() -> None:
    """Two numbers apart by a part in a hundred million: six decimals more do not show it, and that is the end."""
    assert finer_apart(1.0 + 1e-8, [1.0], "deg", Build().display) == 6
    assert finer_apart(1.0 + 1e-10, [1.0], "deg", Build().display) == 0  # on its line: nothing to tell apart


def test_a_cruise_at_the_highest_speed_to_the_last_bits_is_no_contradiction() -> None:
    same = {"vehicle.cruise_speed_kmh": 100.0, "vehicle.top_speed_kmh": 100.0 * (1.0 - 4e-13)}
    finding = of(solve(edited(RANCH, {**same, "powertrain.redline_rpm": None})), "speeds_agree")
    assert finding.verdict == "clear"
    assert "which is its highest speed" in finding.says


def tail_at(slope_deg: float, changes: dict[str, Any]) -> dict[str, Any]:
    """The changes with a shim under the rear mount that brings the tail to a slope, straight ahead; by bisection."""
    low, high = -180.0, 180.0  # a thicker shim lifts the tail
    for _ in range(60):
        middle = (low + high) / 2.0
        told = told_of(edited(RANCH, {**changes, "powertrain.plan_deg": 0.0, "plan.mount_shim_mm": middle}), 0)
        with np.errstate(all="ignore"):
            tail = told.number(tail_down_deg(told.facts))
        assert tail is not None
        low, high = (middle, high) if tail > slope_deg else (low, middle)
    assert abs(tail - slope_deg) < 1e-6
    return {**changes, "powertrain.plan_deg": None, "plan.mount_shim_mm": low if slope_deg > 0.0 else high}


@pytest.mark.parametrize(
    ("limit_id", "changes", "entry", "name"),
    [
        # Nose down by 10 at the measurement and raised by a wedge of 6: 4.0° with the pinion straight ahead, and
        # 4.004° with it 2° to one side, as the wedge turns about the cross-car axis.
        ("pinion_nose_down", {"axle.pinion_slope_deg": -9.999, "plan.axle_shim_deg": 6.0,
                              "axle.pinion_plan_deg": None}, "axle.pinion_plan_deg", "the pinion seen from above"),
        # Tail down by 10, the rear mount raised until it is 5°, or tail up by 10 and lowered until it is 1°: likewise.
        ("tail_down", tail_at(4.9995, {"powertrain.slope_deg": 9.999}), "powertrain.plan_deg",
         "the output seen from above"),
        ("tail_up", tail_at(-0.9995, {"powertrain.slope_deg": -9.999}), "powertrain.plan_deg",
         "the output seen from above"),
    ],
    ids=["nose down", "tail down", "tail up"],
)  # fmt: skip
def test_a_line_that_may_point_aside_is_asked_for_where_that_turns_its_slope(
    limit_id: str, changes: dict[str, Any], entry: str, name: str
) -> None:
    finding = of(solve(edited(RANCH, {**changes, "obstacles": ()})), limit_id)
    assert (finding.verdict, finding.entry) == ("unknown", entry)
    assert f"measure or enter {name}." in finding.says


def test_a_tube_that_no_stock_size_betters_is_left_alone() -> None:
    """Six inches is the largest that is kept."""
    build = edited(RANCH, {"shaft.tube.outer_diameter_mm": 152.4, "shaft.tube.wall_mm": 0.4, "obstacles": ()})
    finding = of(solve(build), "tube_shear")
    assert finding.verdict in {"caution", "hold"}
    ways = [one for one in (finding.remedy, *finding.alternatives) if one is not None]
    assert not [one for one in ways if "shaft.tube.outer_diameter_mm" in one.changes]


def test_the_joints_of_a_build_are_single_where_it_does_not_say() -> None:
    assert [joint.type for joint in joints_of(Build())] == ["cardan", "cardan"]
    double = edited(Build(), {"shaft": {"kind": "one_piece", "rear_joint": {"type": "double_cardan"}}})
    assert [joint.type for joint in joints_of(double)] == ["cardan", "double_cardan"]
    two = edited(Build(), {"shaft": {"kind": "two_piece", "centre_joint": {"type": "constant_velocity"}}})
    assert [joint.type for joint in joints_of(two)] == ["cardan", "constant_velocity", "cardan"]
    assert is_front_axle(edited(Build(), {"axle.end": "front"}))
    assert not is_front_axle(edited(Build(), {"axle.end": "rear"}))
    assert not is_front_axle(Build())


@pytest.mark.parametrize(
    ("wanted", "words"), [(1.04, "which is what is wanted."), (1.06, "so the knuckles are turned")]
)
def test_a_caster_that_comes_out_as_wanted_needs_no_turned_knuckle(one_piece: Build, wanted: float, words: str) -> None:
    """4° before, a wedge of 3° that raises the nose: 1.0° is left; a twentieth of a degree is nothing to turn."""
    changes = front(axle__caster_deg=4.0, axle__caster_wanted_deg=wanted)
    says = found_in(edited(one_piece, changes))[1]["caster", "axle"].says
    assert "it comes to 1.0°" in says
    assert words in says


def test_without_a_wheelbase_no_loose_pinion_is_set_to_a_slope_on_the_tyres() -> None:
    """How uneven lifts tip the vehicle is not known then, so no slope read on the tyres can be told."""
    uneven = {
        "plan.perches": "loose",
        "plan.axle_shim_deg": None,
        "plan.rear_lift_mm": 30.0,
        "plan.front_lift_mm": 80.0,
    }
    changes = {**uneven, "axle.pinion_slope_deg": 12.0, "obstacles": ()}
    known, open_ = (edited(RANCH, {**changes, "vehicle.wheelbase_mm": base}) for base in (3238.0, None))

    def paths(build: Build) -> set[str]:
        ways = [
            one for found in solve(build).findings for one in (found.remedy, *found.alternatives) if one is not None
        ]
        return {path for one in ways for path in one.changes}

    assert "plan.pinion_slope_deg" in paths(known)
    assert "plan.pinion_slope_deg" not in paths(open_)


LINKS = sample("transfer_case_double_joint")


@pytest.mark.parametrize(
    ("build", "lift", "by", "why"),
    [
        (RANCH, 900.0, "spring", "the spring as entered cannot reach so far"),
        (RANCH, 900.0, "shackle", "no shackle brings the axle there without passing through the spring's line"),
        (LINKS, 60.0, "block", "links have no block; plan it by the springs over them"),
        (LINKS, 60.0, "shackle", "links have no shackle; plan it by the springs over them"),
        (LINKS, 900.0, "spring", "the links as entered do not reach so far"),
        (edited(RANCH, {"suspension.seat": "under"}), 60.0, "block",
         "a block under a spring that hangs below the axle lowers the vehicle"),
    ],
)  # fmt: skip
def test_why_a_lift_cannot_be_had(build: Build, lift: float, by: str, why: str) -> None:
    plan = {"rear_lift_mm": lift, "front_lift_mm": lift, "rear_lift_by": by}
    finding = of(solve(edited(build, {"plan": plan})), "lift")
    assert finding.verdict == "hold"
    assert f"cannot be had: {why}." in finding.says


# --- what is asked for ----------------------------------------------------------------------------------------------

BLOCK = {"plan.rear_lift_mm": 50.0, "plan.rear_lift_by": "block", "readings.seat_slope_deg": None}
"""A block stands square on the spring's seat: it leans as that does."""


def asked(says: str) -> tuple[set[str], list[list[set[str]]]]:
    """What a sentence asks for whatever else is, and each choice that it leaves."""
    told = says.partition("measure or enter ")[2].partition(". ")[0].rstrip(".")
    plain, choices = set[str](), list[list[set[str]]]()
    for part in told.split("; and ") if told else []:
        first, either, rest = part.partition("either ")
        plain |= set(filter(None, re.split(r", and |, | and ", first)))
        if either:
            choices.append([set(re.split(r", and |, | and ", one)) for one in rest.split(", or ")])
    return plain, choices


@pytest.mark.parametrize("build", [*WHOLE, edited(RANCH, BLOCK)], ids=[*(one.title[:12] for one in WHOLE), "blocks"])
def test_no_choice_is_left_between_what_is_asked_for_anyway_and_something_else(build: Build) -> None:
    """Whichever entry is lost: a choice of which one answer must be measured as it is would be no choice."""
    for path, _ in entries_of(build):
        told = told_of(edited(build, {path: None}), 9)
        with np.errstate(all="ignore"):
            found = findings_of(told)
        for one in found:
            plain, choices = asked(one.says)
            assert not any(answer <= plain for choice in choices for answer in choice), (path, one.says)


@pytest.mark.parametrize("lost", ["front_half_mm", "rear_half_mm", "front_eye_mm", "shackle_length_mm"])
def test_a_block_on_a_spring_asks_for_its_seat_or_for_the_spring(lost: str) -> None:
    """Either tells how the seat leans, and so the block; with the one the other is asked for no more."""
    build = edited(RANCH, {**BLOCK, f"suspension.{lost}": None})
    told = of(solve(build), "ends_parallel")
    assert told.verdict == "unknown"
    plain, choices = asked(told.says)
    assert plain == set()
    assert len(choices) == 1
    assert {"the spring seat slope"} in choices[0]
    assert len(choices[0]) == 2
    assert of(solve(edited(build, {"readings.seat_slope_deg": 3.0})), "ends_parallel").verdict != "unknown"


@pytest.mark.parametrize(("lift", "verdict"), [(60.0, "hold"), (-60.0, "unknown")])
def test_a_block_under_a_spring_below_the_axle_never_raises_it_whatever_is_not_measured(
    lift: float, verdict: str
) -> None:
    """Which way it moves the axle is known without the spring; how far it can be lowered is not."""
    under = {"suspension.seat": "under", "suspension.front_half_mm": None, "readings.seat_slope_deg": None}
    build = edited(RANCH, {**under, "plan.rear_lift_by": "block", "plan.rear_lift_mm": lift})
    assert of(solve(build), "lift").verdict == verdict
