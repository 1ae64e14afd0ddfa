"""Corners that once went wrong: right angles, two tubes of different strength, yokes out of phase, odd paths."""

from typing import Any

import numpy as np
import pytest
from pydantic import ValidationError

from geometry import Build, Solution, edited, solve, value_at
from geometry.document.entries import variants
from geometry.judge import judge
from geometry.judge.codes import CAUTION, CLEAR
from geometry.judge.facts import Facts
from geometry.words.solution import Finding

HURRY = {
    "powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8, "axle.pinion_slope_deg": 3.5,
    "readings.shaft_length_mm": 1524.0,
}  # fmt: skip
POSITIONS = {
    "powertrain.output_joint_mm": (1100.0, 30.0, 560.0), "powertrain.slope_deg": 3.5,
    "axle.centre_mm": (2600.0, 0.0, 390.0), "axle.pinion_slope_deg": 3.4, "axle.pinion_length_mm": 350.0,
}  # fmt: skip
CRUISE = {"vehicle.rear_tyre_radius_mm": 350.0, "axle.ratio": 4.0}


def at_cruise(rpm: float) -> dict[str, Any]:
    return CRUISE | {"vehicle.cruise_speed_kmh": rpm / 60.0 / 4.0 * 2.0 * np.pi * 0.35 * 3.6}


def answer_to(changes: dict[str, Any]) -> Solution:
    answer = solve(edited(Build(), changes))
    answer.model_dump_json()
    return answer


def finding(answer: Solution, name: str, part: str) -> Finding:
    found = [one for one in answer.findings if (one.id, one.part) == (name, part)]
    assert len(found) == 1, [(one.id, one.part) for one in answer.findings]
    return found[0]


def test_a_joint_at_a_right_angle() -> None:
    """single_joint_peak divides nought by nought."""
    square = HURRY | {"powertrain.slope_deg": -60.0, "readings.shaft_slope_deg": 30.0}
    answer_to(square)
    # With speed, gauge and tape known nothing else is missing, and yet no acceleration can be given.
    gauge = {"gauge.angle_uncertainty_deg": 0.1, "gauge.tape_uncertainty_mm": 1.0}
    answer = solve(edited(Build(), square | at_cruise(2500.0) | gauge))
    says = {finding.id: finding.says for finding in answer.findings if finding.verdict == "unknown"}
    assert "a joint stands at a right angle" in says["shaft_inertia_drive"]
    assert finding(answer, "pinion_residual", "rear_joint").verdict in {"unknown", "hold"}


@pytest.mark.parametrize(
    "tiny",
    [
        {"readings.shaft_length_mm": 1e-200, "shaft.tube.outer_diameter_mm": 80.0, "shaft.tube.wall_mm": 2.0},
        {"shaft.tube.outer_diameter_mm": 1e-100, "shaft.tube.wall_mm": 1e-101, "powertrain.peak_torque_nm": 100.0,
         "powertrain.gear_ratios": (2.0,)},
        at_cruise(2500.0) | {"vehicle.rear_tyre_radius_mm": 1e-300},
        at_cruise(2500.0) | {"powertrain.peak_torque_nm": 1e-300, "powertrain.gear_ratios": (1.0,),
                             "shaft.front_joint.life_rating_nm": 500.0},
    ],
)  # fmt: skip
def test_impossibly_small_entries_are_refused(tiny: dict[str, Any]) -> None:
    """Entries that only have to be above nought bring division by nought and overflow into the mechanics."""
    with pytest.raises(ValidationError):
        edited(Build(), HURRY | tiny)


def test_the_tube_nearest_to_its_own_yield_is_judged(two_piece: Build) -> None:
    """Front steel 76.2 × 2.11 at T, rear aluminium 88.9 × 2.11: less stress, but nearer to its own yield."""
    build = edited(
        two_piece,
        {
            "shaft.front_tube.yield_mpa": 900.0, "shaft.rear_tube.outer_diameter_mm": 80.0,
            "shaft.rear_tube.yield_mpa": 60.0,
        },
    )  # fmt: skip
    answer = solve(build)
    rear = answer.shaft.sections[1].shear_mpa
    assert rear is not None
    assert rear > 0.8 * 60.0 / 3.0**0.5  # the rear tube is past its hold line
    assert finding(answer, "tube_shear", "shaft").verdict == "hold"


def test_half_the_critical_speed_of_either_section(two_piece: Build) -> None:
    """Cruise at exactly half the critical speed of the section that is not the lower one."""
    rolled = {"vehicle.tyre_turns_per_km": 1e6 / (2.0 * np.pi * 390.0)}
    build = edited(two_piece, {"shaft.front_tube.outer_diameter_mm": 88.9} | rolled)
    criticals = [section.critical_rpm for section in solve(build).shaft.sections]
    other = max(one for one in criticals if one is not None) / 2.0
    speed = other / 60.0 / 3.9 * 2.0 * np.pi * 0.39 * 3.6
    assert speed < 400.0
    assert (
        finding(solve(edited(build, {"vehicle.cruise_speed_kmh": speed})), "half_critical_speed", "shaft").verdict
        == "caution"
    )


@pytest.mark.parametrize(
    "changes", [{"shaft.phase_deg": 90.0}, {"axle.pinion_plan_deg": 7.43, "axle.pinion_slope_deg": 10.8}]
)
def test_equal_angles_alone_do_not_cancel(changes: dict[str, Any]) -> None:
    """Yokes a quarter turn out, or joint planes square to each other: equal angles add up instead of cancelling."""
    build = edited(
        Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8, "axle.pinion_slope_deg": 3.5} | changes
    )
    answer = solve(build)
    left = answer.motion.equivalent_angle_deg
    assert left is not None
    assert left > 5.0
    one = finding(answer, "ends_parallel", "shaft")
    assert one.verdict != "clear" or " cancel" not in one.says


def test_reach_is_unknown_without_lines() -> None:
    """Both joints' greatest angles are entered, no line is: nothing at all is said about reach."""
    build = edited(Build(), {"shaft.front_joint.max_angle_deg": 25.0, "shaft.rear_joint.max_angle_deg": 25.0})
    assert any(one.id == "joint_bind" for one in solve(build).findings)


def test_the_verdict_is_not_the_same_all_over_the_band() -> None:
    """A hold that a coarse gauge could turn into clear is not 'the same all over that band'."""
    build = edited(
        Build(),
        {"powertrain.slope_deg": 0.0, "readings.shaft_slope_deg": 7.0, "axle.pinion_slope_deg": 2.0,
         "gauge.angle_uncertainty_deg": 1.0} | at_cruise(3000.0),
    )  # fmt: skip
    answer = solve(build)
    assert finding(answer, "pinion_residual", "rear_joint").verdict == "hold"
    nearer = solve(edited(build, {"axle.pinion_slope_deg": 0.0}))
    assert finding(nearer, "pinion_residual", "rear_joint").verdict == "clear"  # 2° away, and the band is 2.8°
    assert "same all over" not in finding(answer, "gauge_resolution", "readings").says


def test_parallel_ends_do_not_feel_the_shafts_reading() -> None:
    """b1 = s − g and b2 = s − p: the shaft's error falls out of the difference, which errs by p − g only.

    Standard uncertainty a·sqrt(2/3), drawn by luck here; a·√2 holds where the lines meet (b2 = p − s).
    """
    luck = np.random.default_rng(3).uniform(-0.1, 0.1, (3, 1_000_000))
    output, shaft, pinion = 3.5 + luck[0], 10.8 + luck[1], 3.5 + luck[2]
    half = float(np.quantile(np.abs(np.abs(shaft - output) - np.abs(shaft - pinion)), 0.95))
    build = edited(Build(), HURRY | {"gauge.angle_uncertainty_deg": 0.1})
    assert float(Facts(variants(build)).band_deg) == pytest.approx(half, rel=0.05)
    at_speed = solve(edited(build, at_cruise(2500.0)))
    assert finding(at_speed, "gauge_resolution", "readings").value == pytest.approx(half, rel=0.05)


def test_uncertainty_of_a_front_joint_counts_its_own_section(two_piece: Build) -> None:
    """The front joint's shaft line is the front section: moving the axle back must not sharpen it."""
    near = solve(two_piece).joints[0].uncertainty_deg
    far = solve(edited(two_piece, {"axle.centre_mm": (5900.0, 0.0, 390.0)})).joints[0].uncertainty_deg
    assert near == pytest.approx(far)


def test_a_rear_mount_lies_behind_the_front_mounts() -> None:
    """With rear_mount ahead of front_mount a positive shim lowers the tail; so it is refused."""
    with pytest.raises(ValidationError, match="rear_mount_mm"):
        edited(Build(), {"powertrain.front_mount_mm": (900.0, 500.0), "powertrain.rear_mount_mm": (100.0, 500.0)})


def test_words_in_place_of_numbers_in_a_path() -> None:
    """KeyError is promised, ValueError comes."""
    with pytest.raises(KeyError):
        edited(Build(), {"shocks.first.name": "left"})


@pytest.mark.parametrize("path", ["title.upper", "model_dump", "shocks.first"])
def test_only_entries_have_values(path: str) -> None:
    assert value_at(Build(), path) is None


def test_a_larger_tube_is_judged_with_the_other_tube(two_piece: Build) -> None:
    """Both tubes whirl; ordering a larger one for the worse of them does not clear the finding."""
    build = edited(
        two_piece,
        {
            "shaft.front_tube.outer_diameter_mm": 38.1, "shaft.rear_tube.outer_diameter_mm": 36.0,
            "powertrain.redline_rpm": 6500.0, "vehicle.top_speed_kmh": None,
        },
    )  # fmt: skip
    found = finding(solve(build), "critical_speed", "shaft")
    assert found.verdict == "hold"
    assert found.remedy is not None
    after = finding(solve(edited(build, found.remedy.changes)), "critical_speed", "shaft")
    assert after.verdict == found.remedy.after_verdict


def test_joints_in_one_place_with_a_tube() -> None:
    """A length of nought is divided by in the critical speed."""
    answer = answer_to(
        POSITIONS
        | {
            "powertrain.output_joint_mm": (2250.0, 0.0, 390.0), "axle.pinion_slope_deg": 0.0,
            "shaft.tube.outer_diameter_mm": 76.2, "shaft.tube.wall_mm": 2.11,
        }
    )  # fmt: skip
    assert answer.shaft.critical_rpm is None


SHORT_SHAFT = Build.model_validate_json("""{
    "vehicle": {"wheelbase_mm": 3378.0},
    "powertrain": {"output_joint_mm": [2388.0, 0.0, 446.0], "slope_deg": 3.0, "plan_deg": 0.0},
    "axle": {"centre_mm": [3378.0, 0.0, 371.0], "pinion_slope_deg": 9.0, "pinion_plan_deg": 0.0,
        "pinion_length_mm": 305.0, "pinion_drop_mm": 33.0, "pinion_offset_mm": 0.0},
    "shaft": {"kind": "one_piece"}
}""")
"""A shaft of 0.7 m, of which an inch at one end is two degrees."""
IN_BETWEEN = {
    "axle.pinion_drop_mm": np.linspace(-50.0, 50.0, 41), "axle.pinion_offset_mm": np.linspace(-25.0, 25.0, 21),
    "powertrain.plan_deg": np.linspace(-2.0, 2.0, 17), "axle.pinion_plan_deg": np.linspace(-2.0, 2.0, 17),
}  # fmt: skip
"""Entries that count as usual where they are empty, and all that they may be."""


@pytest.mark.parametrize("path", IN_BETWEEN)
@pytest.mark.parametrize("aside", [{}, {"powertrain.plan_deg": 1.0}, {"axle.pinion_plan_deg": -1.0}], ids=str)
def test_needles_that_stand_for_something_in_between_are_not_called_rolling(path: str, aside: dict[str, float]) -> None:
    """Half an inch of a pinion's drop that nobody taped may lay a joint straight that bends by a degree without.

    Every row with the entry at each of its values, as a judge of its own; clear without it is clear at all of them.
    More rows at once than are ever told in words find the same as those few.
    """
    build = edited(SHORT_SHAFT, aside)
    slopes = np.linspace(0.0, 13.5, 10)
    with_it = [judge(variants(edited(build, {path: value}), {"axle.pinion_slope_deg": slopes}))
               for value in IN_BETWEEN[path].tolist()]  # fmt: skip
    few = judge(variants(edited(build, {path: None}), {"axle.pinion_slope_deg": slopes}))
    many = judge(variants(edited(build, {path: None}), {"axle.pinion_slope_deg": np.tile(slopes, 110)}))
    for key in (("operating_angle_least", "front_joint"), ("operating_angle_least", "rear_joint")):
        stands = np.any([one[key].verdict == CAUTION for one in with_it], axis=0)
        assert not (stands & (few[key].verdict == CLEAR)).any()
        assert (many[key].verdict[: slopes.size] == few[key].verdict).all()


def test_the_entry_that_may_lay_a_joint_straight_is_asked_for() -> None:
    answer = solve(edited(SHORT_SHAFT, {"axle.pinion_slope_deg": 10.5, "axle.pinion_drop_mm": None}))
    one = next(one for one in answer.findings if (one.id, one.part) == ("operating_angle_least", "front_joint"))
    assert one.verdict == "unknown"
    assert one.says.startswith("Not judged: measure or enter the pinion drop.")
