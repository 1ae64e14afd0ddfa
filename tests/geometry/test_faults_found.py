"""Faults that a reviewer who did not write the judge found by trying to break it, each as the kind that it is of."""

from pathlib import Path

import numpy as np
import pytest

from geometry import Build, Solution, edited, solve
from geometry.document.entries import variants
from geometry.judge import judge
from geometry.words.solution import Finding

SAMPLES = Path(__file__).parents[2] / "sample_builds"


def sample(name: str) -> Build:
    return Build.model_validate_json((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))


RANCH, RIG, FOREST = (sample(name) for name in ("ranch_truck_swap", "transfer_case_double_joint", "front_axle_lift"))
RANCH = edited(RANCH, {"shocks": (), "state": None, "use": None})
"""Without shocks, which a lift leaves too short whatever is done about the pinion, and in one state alone."""


def found(answer: Solution, name: str) -> Finding:
    return next(one for one in answer.findings if one.id == name)


@pytest.mark.parametrize("mounts", ["fixed", "loose"])
def test_no_remedy_mends_a_finding_by_making_it_unknown(mounts):
    """Without a wheelbase nobody knows how a lift at one end tips the vehicle: no slope on the tyres can be set."""
    bare = {"vehicle.wheelbase_mm": None, "plan.rear_lift_mm": 50.0, "plan.mounts": mounts}
    answer = solve(edited(RANCH, {**bare, "axle.pinion_slope_deg": 0.0}))
    assert found(answer, "pinion_residual").verdict == "hold"
    for one in answer.findings:
        for way in [*([one.remedy] if one.remedy else []), *one.alternatives]:
            assert way.after is not None
            assert "not known" not in way.says
    first = found(answer, "pinion_residual").remedy
    assert first is not None
    assert first.changes == {"plan.axle_shim_deg": 5.0}
    assert answer.setpoints.axle_shim_deg == 5.0


def test_lowering_by_a_block_asks_what_the_bump_stop_strikes():
    low = {"suspension.seat_to_axle_mm": 200.0, "plan.rear_lift_by": "block", "plan.rear_lift_mm": -70.0}
    one = found(solve(edited(RANCH, low)), "bump_left")
    assert one.verdict == "unknown"
    assert "If it is the axle, 0.39 in (10 mm) of bump travel is left" in one.says  # 80 − 70 mm
    beyond = found(solve(edited(RANCH, {**low, "plan.rear_lift_mm": -90.0})), "bump_left")
    assert beyond.verdict == "unknown"
    assert "it stands 0.39 in (10 mm) beyond it" in beyond.says


def test_an_axle_on_its_stop_is_held():
    one = found(solve(edited(RANCH, {"plan.rear_lift_mm": -80.0})), "bump_left")
    assert (one.verdict, one.value) == ("hold", 0.0)
    assert "it rides on the stop" in one.says


def test_a_swing_below_what_the_series_has_is_not_believed():
    corners = ((2800.0, 575.0), (2880.0, 575.0), (2880.0, 640.0), (2800.0, 640.0))
    near = {
        "obstacles": ({"name": "bracket", "view": "side", "outline_mm": corners, "gap_mm": 15.0},),
        "suspension.bump_mm": 30.0,
        "shaft.front_joint.series": "1350",
        "shaft.rear_joint.series": "1350",
    }
    small = {f"shaft.{end}_joint.swing_mm": 20.0 for end in ("front", "rear")}
    whole, shrunk = solve(edited(RANCH, near)), solve(edited(RANCH, {**near, **small}))
    assert found(shrunk, "gap_1").value == found(whole, "gap_1").value


@pytest.mark.parametrize(
    ("entry", "value", "name"),
    [("suspension.rate_n_per_mm", 40.0, "windup_launch"), ("shaft.tube.wall_mm", 1.4, "tube_shear")],
)
def test_a_caution_that_may_be_a_hold_is_unknown(entry, value, name):
    low, tall = (
        found(solve(edited(RANCH, {entry: value, "vehicle.mass_centre_height_mm": height})), name)
        for height in (1.0, 850.0)
    )
    assert (low.verdict, tall.verdict) == ("caution", "hold")
    assert found(solve(edited(RANCH, {entry: value, "vehicle.mass_centre_height_mm": None})), name).verdict == "unknown"


def test_a_squash_that_is_not_entered_takes_nothing_off_the_gap_at_first_touch():
    """What stays at first touch is held there: no bend of its path may be taken from the sudden stop."""
    wide = {"obstacles": ({**RANCH.obstacles[1].model_dump(), "gap_mm": 50.5},)}
    none, open_, full = (
        found(solve(edited(RANCH, {**wide, "suspension.bump_squash_mm": squash})), "gap_1")
        for squash in (0.0, None, 25.0)
    )
    assert (none.verdict, open_.verdict, full.verdict) == ("clear", "unknown", "caution")
    assert none.value is not None
    assert f"({none.value:.1f} mm)" in open_.says


def test_an_axle_on_links_has_no_perches():
    for perches in ("welded", "loose"):
        answer = solve(edited(RIG, {"axle.pinion_slope_deg": 8.0, "plan.perches": perches}))
        said = " ".join(way.says for one in answer.findings if one.remedy for way in (one.remedy, *one.alternatives))
        assert "link" in said
        assert "perch" not in said
        assert all(one.id != "wedge_size" for one in answer.findings)


def test_what_is_entered_is_not_said_to_be_missing():
    says = found(
        solve(edited(RANCH, {"vehicle.tyre_grip": 1.2, "vehicle.mass_centre_height_mm": 2800.0})), "tube_shear"
    ).says
    assert "not all entered" not in says
    assert "front wheels lift" in says


def test_an_engine_stands_in_steps_from_where_it_is_planned():
    answer = solve(
        edited(RANCH, {"plan.mounts": "loose", "plan.powertrain_shift_mm": (0.0, -48.0), "axle.pinion_slope_deg": 0.0})
    )
    said = [way.says for one in answer.findings if one.remedy for way in (one.remedy, *one.alternatives)]
    assert said
    assert not any("by 0 in" in one for one in said)


def test_no_empty_brackets_where_a_slope_is_not_known():
    answer = solve(
        edited(RANCH, {"vehicle.wheelbase_mm": None, "plan.rear_lift_mm": 50.0, "axle.pinion_slope_deg": 0.0})
    )
    assert not any("()" in one.says for one in answer.findings)


def test_a_block_that_lowers_is_not_called_a_lift():
    block = found(solve(edited(FOREST, {"plan.front_lift_mm": -20.0, "plan.front_lift_by": "block"})), "front_block")
    assert "lowers the front by" in block.says
    assert "lift" not in block.says


def test_part_of_a_point_that_is_not_entered_leaves_the_whole_out():
    some = variants(RANCH, {"axle.centre_mm.0": [3239.0, np.nan]})
    rows = judge(some)
    answer = solve(some.build_at(1))
    for one in answer.findings:
        if (one.id, one.part) in rows and not one.id.startswith(("gap_", "joint_bind")):
            assert rows[one.id, one.part].verdict[1] == {"clear": 1, "unknown": 2, "caution": 3, "hold": 4}[one.verdict]


def test_a_caster_that_comes_out_right_is_said_to():
    """A wedge of 2° on an axle that neither lift nor springs turn: the caster ends two degrees from where it was."""
    wedged = edited(FOREST, {"plan.axle_shim_deg": 2.0, "plan.front_lift_mm": 0.0, "plan.rear_lift_mm": 0.0})
    before = {"axle.caster_deg": 4.0, "axle.caster_wanted_deg": None}
    says = found(solve(edited(wedged, before)), "caster").says
    comes = float(says.split("it comes to ")[1].split("°")[0])
    assert abs(comes - 4.0) == pytest.approx(2.0, abs=0.06)
    right = found(solve(edited(wedged, {**before, "axle.caster_wanted_deg": comes})), "caster").says
    assert right.endswith("which is what is wanted.")
    off = found(solve(edited(wedged, {**before, "axle.caster_wanted_deg": comes + 1.0})), "caster").says
    assert "the knuckles are turned by 1.0°, upper pivots rearward" in off
    for more, way in ((0.07, "rearward"), (-0.07, "forward")):
        little = found(solve(edited(wedged, {**before, "axle.caster_wanted_deg": comes + more})), "caster").says
        assert f"the knuckles are turned by 0.1°, upper pivots {way}" in little


def test_a_shim_too_thick_for_the_mounts_leads_to_the_shim():
    answer = solve(edited(RANCH, {"powertrain.rear_mount_mm": (700.0, 640.0), "plan.mount_shim_mm": 250.0}))
    barred = [one for one in answer.findings if "cannot take a shim so thick" in one.says]
    assert barred
    assert {one.entry for one in barred} == {"plan.mount_shim_mm"}
