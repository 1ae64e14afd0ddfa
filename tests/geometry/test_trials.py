"""Trying out wedges and shims, choosing among them, and the sentence over all findings."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import minimize_scalar
from scipy.spatial.transform import Rotation

from geometry import Build, edited, solve
from geometry.facts import gather
from geometry.findings import overall
from geometry.frames import direction, slope_deg
from geometry.joints import peak_accelerations
from geometry.pose import setting
from geometry.remedies import shim_words, wedge_words
from geometry.trials import WEDGES_DEG, least_row, options, shims_mm, with_wedges

HURRY = {"powertrain.slope_deg": 3.0, "readings.shaft_slope_deg": 9.0, "axle.pinion_slope_deg": 1.0}


def test_wedges_are_half_degrees_and_shims_can_be_cut() -> None:
    assert np.all(np.round(2.0 * WEDGES_DEG) == (2.0 * WEDGES_DEG))
    assert 0.0 in WEDGES_DEG
    inch, metric = Build(), edited(Build(), {"display.length": "millimetre"})
    assert shims_mm(inch) / 25.4 * 16.0 == pytest.approx(np.arange(-32.0, 33.0))
    assert shims_mm(metric) == pytest.approx(np.arange(-50.0, 51.0))


def test_nothing_can_be_chosen_without_lines() -> None:
    (nothing,) = options(Build(), 0.0, np.inf, with_wedges(setting(), WEDGES_DEG))
    assert least_row(Build(), nothing) is None


def test_the_wedge_chosen_has_the_least_residual() -> None:
    """Output 3°, shaft 9° by stick, pinion 1° and a wedge w: in one plane, least where 9 − (1 + w) = 6, w = 2."""
    build = edited(Build(), HURRY)
    (choices,) = options(build, 0.0, np.inf, with_wedges(setting(), WEDGES_DEG))
    row = least_row(build, choices)
    assert row is not None
    assert WEDGES_DEG[row] == 2.0


def test_the_pinions_best_slope_against_a_search_by_scipy() -> None:
    """A skew pair, so that nothing cancels wholly: output with plan, shaft read by stick, pinion with plan."""
    build = edited(Build(), HURRY | {"powertrain.plan_deg": 1.5, "axle.pinion_plan_deg": -0.7})

    def left(wedge: float) -> float:
        pinion = Rotation.from_euler("y", wedge, degrees=True).apply(direction(1.0, -0.7))
        lines = np.stack((direction(3.0, 1.5), direction(9.0), pinion))[:, None, :]
        return float(peak_accelerations(lines, np.array([False, False]), np.array([[0.0]]))[-1, 0])

    best = minimize_scalar(left, bounds=(0.0, 5.0), method="bounded", options={"xatol": 1e-8}).x
    slope = np.degrees(np.arcsin(-Rotation.from_euler("y", best, degrees=True).apply(direction(1.0, -0.7))[2]))
    assert solve(build).setpoints.pinion_slope_deg == pytest.approx(slope, abs=1e-4)


def test_one_straight_joint_opposite_an_even_one_is_left_half_a_degree() -> None:
    """Its needles have to roll, and torque raises the nose: half a degree low of 9°."""
    build = edited(Build(), HURRY | {"shaft.front_joint.type": "double_cardan"})
    assert solve(build).setpoints.pinion_slope_deg == pytest.approx(8.5, abs=1e-6)


def test_words_for_nothing_at_all() -> None:
    facts = gather(Build())
    assert wedge_words(0.0) == "Take the wedges out at both perches"
    assert shim_words(facts, 0.0) == "Take the shims out from under the rear mount"
    assert wedge_words(-2.5).startswith("At both perches fit 2.5° wedges that lower")
    assert shim_words(facts, 12.7).startswith("Put 1/2 in")
    assert shim_words(facts, -12.7).startswith("Lower the rear mount by 1/2 in")


def test_the_sentence_over_all_findings(one_piece: Build) -> None:
    findings = solve(one_piece).findings
    clear = tuple(one for one in findings if one.verdict == "clear")
    open_one = solve(Build()).findings[:1]
    warning = tuple(one for one in findings if one.verdict == "caution")[:1]
    assert overall(clear)[0] == "clear"
    assert overall(())[0] == "unknown"
    assert overall((*clear, *open_one)) == (
        "unknown", "Nothing found against it so far, but 1 finding still wants a measurement.",
    )  # fmt: skip
    verdict, says = overall((*clear, *open_one, *warning))
    assert verdict == "caution"
    assert "1 caution" in says
    assert "1 finding still wants" in says
    assert overall((*clear, replace(warning[0], verdict="hold")))[0] == "hold"


def test_nobody_is_told_to_tack_before_the_ends_can_be_judged() -> None:
    without = {entry: value for entry, value in HURRY.items() if entry != "axle.pinion_slope_deg"}
    answer = solve(edited(Build(), without | {"powertrain.slope_deg": 6.0}))
    assert answer.verdict == "caution"  # the tail hangs, the shaft is steep
    assert answer.says.startswith("Do not tack yet: whether the joints cancel is not known. 2 cautions.")
    assert "still want a measurement" in answer.says
    van = sample("long_van_two_piece", axle__pinion_slope_deg=None, powertrain__slope_deg=6.0)
    assert solve(van).says.startswith("Do not tack yet: whether the joints cancel is not known.")


def test_numbers_of_numpy_come_out_plain(one_piece: Build) -> None:
    answer = solve(one_piece)
    odd = replace(answer, motion=replace(answer.motion, equivalent_angle_deg=np.float64(1.5)))
    assert type(odd.model_dump()["motion"]["equivalent_angle_deg"]) is float


@pytest.mark.parametrize("end", ["rear", "front"])
def test_the_wedge_to_fit_is_the_one_that_the_remedies_name_and_leaves_needles_rolling(end: str) -> None:
    """A single joint at the pinion opposite an even one: off to the side that torque spares, half a degree or more.

    Common practice, no source: opposite a double joint the pinion points at it, a little off for the torque.
    """
    toward = 1.0 if end == "rear" else -1.0
    single, even = ("rear", "front") if end == "rear" else ("front", "rear")
    for shaft in np.arange(6.0, 9.1, 0.3):
        build = edited(Build(), {
            "axle.end": end, "powertrain.slope_deg": 2.0, "readings.shaft_slope_deg": toward * float(shaft),
            "axle.pinion_slope_deg": toward * 2.0, f"shaft.{even}_joint.type": "double_cardan",
        })  # fmt: skip
        answer = solve(build)
        wedge = answer.setpoints.axle_shim_deg
        assert wedge is not None
        named = [one.remedy.changes for one in answer.findings if one.id == "straight_end" and one.remedy is not None]
        assert named in ([], [{"plan.axle_shim_deg": wedge}])
        fitted = solve(edited(build, {"plan.axle_shim_deg": wedge}))
        (joint,) = [one for one in fitted.joints if one.name == single]
        assert 0.5 - 1e-9 <= joint.operating_deg < 1.0
        pinion, line = fitted.angles.pinion_slope_deg, fitted.angles.shaft_slope_deg
        assert pinion < line  # rear: low of the shaft; front: high of it, its nose being the rear end


def test_the_wedge_that_is_named_first_is_the_set_points_own_where_both_pass() -> None:
    """Two wedges cancel the pair, ends parallel and ends meeting: one recommendation, not two."""
    samples = Path(__file__).parent.parent.parent / "sample_builds"
    van = Build.model_validate_json((samples / "long_van_two_piece.json").read_text(encoding="utf-8"))
    for pinion in (-4.0, -2.0, -1.0, 0.0, 8.0, 9.0):
        answer = solve(edited(van, {"axle.pinion_slope_deg": pinion}))
        named = [
            remedy.changes["plan.axle_shim_deg"]
            for one in answer.findings
            for remedy in (one.remedy, *one.alternatives)
            if remedy is not None and "plan.axle_shim_deg" in remedy.changes
            and remedy.changes.get("plan.mount_shim_mm", 0.0) == 0.0
        ]  # fmt: skip
        assert named
        assert set(named) == {answer.setpoints.axle_shim_deg}


def test_a_wedge_that_nobody_sells_is_no_remedy() -> None:
    build = edited(Build(), HURRY | {"axle.pinion_slope_deg": -14.0})
    answer = solve(build)
    assert answer.setpoints.axle_shim_deg is not None
    assert answer.setpoints.axle_shim_deg > WEDGES_DEG[-1]
    wedges = [
        remedy.changes["plan.axle_shim_deg"]
        for one in answer.findings
        for remedy in (one.remedy, *one.alternatives)
        if remedy is not None and "plan.axle_shim_deg" in remedy.changes
    ]
    assert wedges
    assert max(wedges) <= WEDGES_DEG[-1]


SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"


def sample(name: str, **changes: object) -> Build:
    build = Build.model_validate_json((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return edited(build, {path.replace("__", "."): value for path, value in changes.items()})


@pytest.mark.parametrize("share", [0.1, 0.6, 1.0])
def test_on_a_front_axle_torque_lowers_the_nose_so_it_is_set_high(share: float) -> None:
    """Torque lifts the front of the housing, where a front axle has no pinion: statics of the reaction torque."""
    build = sample("front_axle_lift", powertrain__cruise_torque_share=share, vehicle__cruise_speed_kmh=100.0)
    answer = solve(build)
    wedge = answer.setpoints.axle_shim_deg
    assert wedge is not None
    named = {
        remedy.changes["plan.axle_shim_deg"]
        for one in answer.findings
        for remedy in (one.remedy, *one.alternatives)
        if remedy is not None and list(remedy.changes) == ["plan.axle_shim_deg"]
    }
    assert named == {wedge}
    fitted = edited(build, {"plan.axle_shim_deg": wedge})
    facts, after = gather(fitted), solve(fitted)
    assert after.angles.pinion_slope_deg < after.angles.shaft_slope_deg  # the nose, its rear end, is the higher one
    assert facts.cruising is not None
    assert facts.cruising.motion is not None
    assert 0.5 - 1e-6 <= facts.cruising.motion.operating_deg[0, 0] < 1.3
    assert {one.verdict for one in after.findings if one.id == "windup_cruise"} == {"clear"}


@pytest.mark.parametrize("height", np.arange(600.0, 720.0, 0.7).tolist())
def test_the_valley_of_one_single_joint_is_never_missed(height: float) -> None:
    build = sample("transfer_case_double_joint", powertrain__output_joint_mm=(1560.0, 60.0, height))
    facts = gather(edited(build, {"plan.axle_shim_deg": solve(build).setpoints.axle_shim_deg}))
    assert facts.planned.motion is not None
    at_pinion = facts.planned.motion.operating_deg[-1, 0]
    assert at_pinion >= 0.5 - 1e-6
    lines = facts.planned.pose.lines
    assert lines is not None
    assert at_pinion < 1.3
    assert slope_deg(lines[-1])[0] < slope_deg(lines[-2])[0] + 1e-9


def test_where_no_wedge_changes_anything_the_pinion_stays_as_planned() -> None:
    even = {"shaft.rear_joint.type": "constant_velocity", "axle.pinion_slope_deg": 2.0}
    for planned in (0.0, 3.0):
        build = edited(Build(), HURRY | even | {"plan.axle_shim_deg": planned})
        assert solve(build).setpoints.axle_shim_deg == planned
    van = sample(
        "long_van_two_piece", shaft__centre_joint__type="double_cardan", shaft__rear_joint__type="constant_velocity",
        powertrain__slope_deg=-4.0,
    )  # fmt: skip
    wedges = [
        remedy.changes["plan.axle_shim_deg"]
        for one in solve(van).findings
        for remedy in (one.remedy, *one.alternatives)
        if remedy is not None and "plan.axle_shim_deg" in remedy.changes
    ]
    assert wedges
    assert set(wedges) == {0.0}
