"""What matters is said: the sentences of findings, what they want, names of entries, and the verdict over all."""

import re
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from geometry import Build, edited, solve, value_at
from geometry.judge.limits import LIMITS
from geometry.words.finding import ORDER, findings_of, help_for, overall
from geometry.words.names import field_of, name_of
from geometry.words.one import One
from geometry.words.solution import Finding
from geometry.words.solve import Work
from geometry.words.wants import Need, lacking, wants_of
from geometry.words.wording import worded
from tests.geometry.strategies import SAMPLES, entries_of, sample
from tests.geometry.words_builds import (
    CRITICAL_RPM,
    LEVEL,
    NOTHING,
    SETTLED,
    TUBE,
    Case,
    at_cruise,
    base,
    beside,
    double,
    found_in,
    front,
    lasting,
    lateral,
    lifted,
    lines,
    one_cross,
    sheared,
    told_of,
    turned,
    up_to,
    whole,
)


@pytest.mark.parametrize(
    ("name", "part", "of", "changes", "words"),
    [
        (
            "ends_parallel",
            "shaft",
            "empty",
            lines(0.0, 8.0, 3.04),
            [
                "3.04° apart",
                "at most 1° is wanted, and 3° is the most",
                "Seen from above, the lines are taken to run straight ahead.",
            ],
        ),
        (
            "pinion_residual",
            "rear_joint",
            "empty",
            one_cross("rear", 300.4),
            ["by 300.4 rad/s²", "at most 300 rad/s² is wanted"],
        ),
        (
            "shaft_inertia_drive",
            "shaft",
            "empty",
            TUBE | one_cross("front", 1500.0),
            ["many drive it so", "lb·ft", "on its tube"],
        ),
        (
            "tube_shear",
            "shaft",
            "empty",
            sheared(0.6) | {"powertrain.shock_factor": None, "shaft.tube.material": "aluminium"},
            ["A rough start's torque of", "of launch torque times a shock factor of 1.5 taken", "beside the weld"],
        ),
        (
            "joint_torque",
            "rear_joint",
            "empty",
            turned(999.0) | {"shaft.rear_joint.torque_limit_nm": 500.0, "powertrain.low_range": None},
            ["at least, as the low range is not entered"],
        ),
        (
            "joint_torque",
            "rear_joint",
            "one_piece",
            whole(vehicle__mass_centre_height_mm=None),
            ["load transfer not counted, as the centre of gravity's height is not entered"],
        ),
        (
            "windup_cruise",
            "suspension",
            "one_piece",
            whole(powertrain__cruise_torque_share=None, axle__pinion_slope_deg=0.0),
            ["(0.3 of the engine's peak taken)"],
        ),
        ("joint_life", "rear_joint", "empty", lasting(6000.0), ["6,000 h", "miles"]),
        ("joint_life", "rear_joint", "empty", lasting(6000.0) | {"display.length": "millimetre"}, ["6,000 h", " km"]),
        (
            "operating_angle_most",
            "front_joint",
            "empty",
            double(2.0, 6000.0),
            ["the table of angles over shaft speed ends at 5,000 rpm"],
        ),
        (
            "operating_angle_most",
            "front_joint",
            "empty",
            double(14.1, 2500.0),
            ["14.1°, 7.1° in each cross", "at most 7° is wanted"],
        ),
        (
            "shaft_slope",
            "shaft",
            "empty",
            lines(10.0, 15.6, 10.0) | at_cruise(2000.0) | {"shaft.phase_deg": 0.0},
            ["its joints turn evenly enough"],
        ),
        (
            "front_block",
            "suspension",
            "one_piece",
            whole(plan__front_lift_mm=30.0, plan__front_lift_by="block"),
            ["unsafe", "unlawful in many places"],
        ),
        ("wedge_size", "perches", "empty", {"plan.axle_shim_deg": 4.5}, ["steel", "bolted to the spring"]),
        (
            "lift",
            "suspension",
            "one_piece",
            lifted(30.0, "block", suspension__seat="under"),
            ["a block under a spring that hangs below the axle lowers the vehicle"],
        ),
        ("lift", "suspension", "one_piece", lifted(900.0), ["the spring as entered cannot reach so far"]),
        (
            "joint_bind",
            "rear_joint",
            "one_piece",
            whole(shaft__rear_joint__max_angle_deg=5.0),
            ["would bind at", "of droop"],
        ),
        (
            "slip_left",
            "shaft",
            "one_piece",
            whole(suspension__bump_squash_mm=None, shaft__slip={"stroke_mm": 120.0, "engaged_mm": 90.5}),
            ["the squash of the bump rubber"],
        ),
        (
            "gap_1",
            "obstacles",
            "one_piece",
            beside(700.0) | {"shaft.rear_joint.series": None},
            ["either the rear joint's yoke swing, or the rear joint's series"],
        ),
        (
            "caster",
            "axle",
            "one_piece",
            front(axle__caster_deg=4.0, axle__caster_wanted_deg=3.0),
            ["3.0° to less", "forward", "it comes to 1.0°", "turned by 2.0°, upper pivots rearward"],
        ),
        (
            "caster",
            "axle",
            "one_piece",
            front(plan__axle_shim_deg=-2.0, axle__caster_deg=4.0, axle__caster_wanted_deg=3.0),
            ["2.0° to more", "it comes to 6.0°", "turned by 3.0°, upper pivots forward"],
        ),
        ("critical_speed", "shaft", "empty", TUBE | up_to(0.6501 * CRITICAL_RPM), ["(0.65 of it)"]),
        (
            "critical_speed",
            "shaft",
            "empty",
            TUBE,
            ["either the highest engine speed and the gear ratios, or the top speed"],
        ),
        ("pinion_nose_up", "axle", "empty", NOTHING, ["measure or enter the pinion slope."]),
        (
            "lateral_lift",
            "lateral_link",
            "one_piece",
            lateral(30.0) | {"lateral_link": {"frame_point_mm": (0.0, 0.0, 0.0)}},
            ["the lateral link's axle end"],
        ),
        (
            "windup_launch",
            "suspension",
            "one_piece",
            whole(suspension__front_half_mm=None),
            ["the spring's front half"],
        ),
        (
            "stick_slope",
            "readings",
            "empty",
            LEVEL | {"readings.shaft_slope_deg": 1.0, "gauge": None},
            ["the angle gauge's give or take and the tape's give or take"],
        ),
        (
            "slip_left",
            "shaft",
            "one_piece",
            whole(suspension__shackle_pivot_mm=(2000.0, 700.0)),
            ["cannot hold the axle at its height"],
        ),
        (
            "ends_parallel",
            "shaft",
            "empty",
            lines(0.0, 8.0, 1.0) | {"shaft.phase_deg": None},
            ["the phase of the yokes"],
        ),
    ],
)
def test_what_matters_is_said(
    request: pytest.FixtureRequest, name: str, part: str, of: str, changes: Case, words: list[str]
) -> None:
    _, found = found_in(edited(base(of, request), changes))
    for word in words:
        assert word in found[name, part].says


def test_both_lines_stay_whatever_the_verdict() -> None:
    for slope in (0.5, 2.0, 8.0):
        finding = found_in(edited(Build(), lines(0.0, 8.0, slope)))[1]["ends_parallel", "shaft"]
        assert (finding.limit, finding.hold_limit, finding.sense) == (1.0, 3.0, "at most")
    needles = found_in(edited(Build(), lines(0.0, 8.0, 0.0)))[1]["operating_angle_least", "rear_joint"]
    assert (needles.limit, needles.hold_limit, needles.sense) == (0.5, None, "at least")


@pytest.mark.parametrize(
    ("path", "name"),
    [
        ("powertrain.gear_ratios", "the gear ratios"),
        ("axle.pinion_plan_deg", "the pinion seen from above"),
        ("vehicle.rear_tyre_radius_mm", "the rear tyre radius"),
        ("shaft.rear_tube.wall_mm", "the rear section's tube wall"),
        ("suspension", "the springs or links"),
        ("lateral_link.frame_point_mm", "the lateral link's frame end"),
        ("suspension.lower_axle_mm", "the lower link at the axle"),
        ("shaft.bearing_mm", "the support bearing"),
    ],
)
def test_an_entry_is_called_by_the_documents_own_title(path: str, name: str) -> None:
    assert name_of(Build(), path) == name


def test_names_no_entry_that_the_document_has_not() -> None:
    with pytest.raises(KeyError):
        field_of(Build(), "axle.nonsense")
    with pytest.raises(KeyError):
        field_of(edited(Build(), {"suspension": {"kind": "links"}}), "suspension.front_eye_mm")


def test_a_finding_that_never_holds_has_no_help() -> None:
    with pytest.raises(KeyError):
        help_for(told_of(edited(Build(), lines(0.0, 0.4, 0.0))), ("operating_angle_least", "front_joint"))


@pytest.mark.parametrize(
    ("verdicts", "verdict", "says"),
    [
        ([], "unknown", "Nothing found against it so far, but nothing is measured yet."),
        (["clear", "unknown"], "unknown", "Nothing found against it so far, but 1 finding still wants a measurement."),
        (
            ["clear", "caution", "unknown"],
            "caution",
            "Tack only once you have weighed 1 caution. 1 finding still wants a measurement.",
        ),
        (["hold", "hold", "caution"], "hold", "Do not tack yet: 2 findings hold the job up."),
        (["clear"], "clear", "Nothing found against it: tack, measure again, then weld."),
    ],
)
def test_the_verdict_over_all(verdicts: list[str], verdict: str, says: str) -> None:
    assert overall([named("tail_down", one) for one in verdicts]) == (verdict, says)


def test_no_tacking_while_it_is_not_known_whether_the_joints_cancel() -> None:
    verdict, says = overall([named("ends_parallel", "unknown"), named("tail_down", "caution")])
    assert verdict == "caution"
    assert says.startswith("Do not tack yet: whether the joints cancel is not known. 1 caution.")


def named(name: str, verdict: Any) -> Finding:
    return Finding(
        id=name, title="", part="shaft", verdict=verdict, value=None, limit=None, hold_limit=None, sense="at most",
        unit="", says="", remedy=None, alternatives=(), basis="", entry="",
    )  # fmt: skip


def test_they_come_in_their_order_whatever_they_say(one_piece: Build) -> None:
    told = told_of(edited(one_piece, whole(obstacles=beside(700.0)["obstacles"] * 2)))
    with np.errstate(all="ignore"):
        names = [re.sub(r"_\d+$", "", one.id) for one in findings_of(told)]
    assert names == sorted(names, key=ORDER.index)
    assert names.count("gap") == 2


@pytest.mark.parametrize(
    ("needs", "says"),
    [
        (["axle.ratio"], ["the axle ratio"]),
        (["axle.ratio", "axle.pinion_drop_mm", "axle.ratio"], ["the axle ratio", "the pinion drop"]),
        ([(("axle.ratio", "axle.efficiency"), ("axle.pinion_drop_mm",))],
         ["either the pinion drop, or the axle ratio and the axle efficiency"]),
        # Of a choice nothing is said where what is asked otherwise is one of its answers.
        ([(("axle.ratio", "axle.efficiency"), ("axle.pinion_drop_mm",)), "axle.pinion_drop_mm"], ["the pinion drop"]),
        ([(("axle.ratio", "axle.efficiency"), ("axle.pinion_drop_mm",)), "axle.ratio"],
         ["either the pinion drop, or the axle ratio and the axle efficiency", "the axle ratio"]),
    ],
)  # fmt: skip
def test_what_is_lacking_is_asked_once(needs: list[Need], says: list[str]) -> None:
    assert [one.name for one in lacking(Build(), needs)] == says


ENTRIES = ("vehicle", "powertrain", "axle", "suspension", "shaft", "readings", "gauge")
PLANNED: tuple[dict[str, object], ...] = (
    {},
    {"plan.rear_lift_mm": 50.0, "plan.rear_lift_by": "shackle", "plan.front_lift_mm": 20.0, "plan.mount_shim_mm": 8.0},
    {"plan.mounts": "loose", "plan.powertrain_slope_deg": 2.0, "plan.perches": "loose", "plan.pinion_slope_deg": 4.0,
     "plan.rear_lift_mm": 50.0},
)  # fmt: skip
STATED: tuple[dict[str, object], ...] = (
    {},
    {"state.on": "axle_stands", "state.rail_slope_deg": 0.7, "vehicle.frame_slope_deg": 0.2},
    {"state": {"rail_slope_deg": 0.7, "rear_load_kg": 100.0, "springs": "new"}, "use.rear_most_kg": 200.0,
     "use.front_most_kg": 40.0, "vehicle.frame_slope_deg": 0.2, "vehicle.other_axle_rate_n_per_mm": 40.0},
)  # fmt: skip


@settings(
    max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow], deadline=None
)
@given(data=st.data())
def test_wants_name_only_what_is_lacking(one_piece: Build, data: st.DataObject) -> None:
    """Whatever is left out, a list of wants names nothing that is there, and nothing unknown goes unexplained."""
    base = edited(one_piece, data.draw(st.sampled_from(PLANNED)) | data.draw(st.sampled_from(STATED)))
    paths = [f"{head}.{name}" for head in ENTRIES for name, value in value_at(base, head) if value is not None]
    paths = [path for path in paths if not path.endswith((".kind", ".end", ".seat", ".shackle_hangs"))]
    out: dict[str, object] = dict.fromkeys(data.draw(st.sets(st.sampled_from(paths), max_size=6)))
    build = edited(base, SETTLED | out)
    told = told_of(build)
    with np.errstate(all="ignore"):
        found = findings_of(told)
        unknown = [One(told, (one.id, one.part)) for one in found if one.verdict == "unknown"]
        for one in unknown:
            for want in wants_of(one):
                assert all(value_at(build, path) is None for path in want.paths)
    for finding in found:
        assert "though none is lacking" not in finding.says
        assert field_of(build, finding.entry) is not None


LOST = ("powertrain.", "axle.", "suspension.", "lateral_link.", "readings.", "vehicle.frame_slope", "vehicle.wheelbase",
        "vehicle.other_axle", "use.front_most", "use.rear_most")  # fmt: skip
SET: dict[str, dict[str, object]] = {
    "as planned": {},
    "set anew": {"plan.perches": "loose", "plan.pinion_slope_deg": 4.0, "plan.axle_shim_deg": None,
                 "plan.mounts": "loose", "plan.powertrain_slope_deg": 2.0, "plan.mount_shim_mm": None},
    "by a block": {"plan.rear_lift_by": "block", "plan.rear_lift_mm": 40.0},
}  # fmt: skip


def unknown_of(build: Build) -> dict[tuple[str, str], str]:
    told = Work(build).told
    with np.errstate(all="ignore"):
        return {(one.id, one.part): one.says for one in findings_of(told) if one.verdict == "unknown"}


@pytest.mark.parametrize("plan", SET)
@pytest.mark.parametrize("name", sorted(path.stem for path in SAMPLES.glob("*.json")))
def test_with_any_one_entry_lost_it_is_said_which(name: str, plan: str) -> None:
    """Loose perches whose pinion hung when the shaft was taped, so that nobody read it: "though none is lacking"."""
    build = Build.model_validate_json((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    build = edited(build, SET[plan] | {"measured_again": (), "variants": ()})
    before = unknown_of(build)
    for path, _ in entries_of(build):
        if path.startswith(LOST) and path.endswith(("_mm", "_deg", "_kg")):
            lost = edited(build, {path: None})
            for key, says in unknown_of(lost).items():
                assert "though none is lacking" not in says, (path, key)
                assert key in before or name_of(lost, path) in says, (path, key, says)


ASIDE = {
    "powertrain.plan_deg": "Seen from above, the output is taken to run straight ahead.",
    "axle.pinion_plan_deg": "Seen from above, the pinion is taken to run straight ahead.",
    "axle.pinion_offset_mm": "Seen from above, the pinion is taken to lie in the axle's middle.",
    "shaft.phase_deg": "The yokes are taken to be in line",
}


@pytest.mark.parametrize("lost", ASIDE)
def test_what_is_taken_of_the_lines_and_the_yokes_is_said_where_it_is_judged(lost: str) -> None:
    """A build that does not cancel is judged without its phase too, and once read "the yokes are in line"."""
    build = edited(sample("ranch_truck_swap"), {"axle.pinion_slope_deg": -4.0})
    for without in (False, True):
        found = found_in(edited(build, {lost: None} if without else {}))[1]
        for key in (("pinion_residual", "rear_joint"), ("ends_parallel", "shaft")):
            says = found[key].says
            assert found[key].verdict == "hold"
            assert (ASIDE[lost] in says or "the yokes are taken to be in line" in says) == without
            assert says.count("taken to be in line") == (without and lost == "shaft.phase_deg")


@given(value=st.floats(0.0, 5e4), unit=st.sampled_from(sorted({row.unit for row in LIMITS.values()})))
def test_a_value_is_worded_alike_whichever_way_its_sign(value: float, unit: str) -> None:
    display = Build().display
    assert worded(-value, unit, display).replace("−", "") == worded(value, unit, display)


@pytest.mark.parametrize("gauge", [None, 0.05, 0.1, 0.3])
@pytest.mark.parametrize("angle", [0.0, 0.2, 0.45, 0.6, 0.9])
def test_it_is_said_where_the_gauge_cannot_tell_whether_needles_stand(angle: float, gauge: float | None) -> None:
    """Of two readings, each even within ± a, 95 per cent of the differences lie within 2a(1 − √0.05): drawn here."""
    case = lines(0.0, angle, 0.0) | {"gauge.angle_uncertainty_deg": gauge}
    says = found_in(edited(Build(), case))[1]["operating_angle_least", "front_joint"].says
    off = np.random.default_rng(4).uniform(-1.0, 1.0, (2, 40_000)) * (gauge or 0.0)
    low, high = np.quantile(angle + off[0] - off[1], (0.025, 0.975))
    assert ("your gauge, which knows it within" in says) == (low < 0.5 < high)
    assert ("cannot tell" in says) == (low < 0.5 < high)
    assert ("stand still" in says) == (angle < 0.5)


def test_of_taped_joints_gauge_and_tape_cannot_tell(two_piece: Build) -> None:
    """Every joint of a shaft by tape whose angle lies nearer to half a degree than what is known of it."""
    seen = 0
    for height in np.linspace(400.0, 540.0, 15):
        build = edited(two_piece, {"shaft.bearing_mm": (*two_piece.shaft.bearing_mm[:2], float(height)),  # type: ignore[union-attr, index]
                                   "gauge.angle_uncertainty_deg": 0.3, "gauge.tape_uncertainty_mm": 3.0})  # fmt: skip
        whole = solve(build)
        found = {finding.part: finding for finding in whole.findings if finding.id == "operating_angle_least"}
        for joint in whole.joints:
            one = found[f"{joint.name}_joint"]
            assert joint.operating_deg is not None
            assert joint.uncertainty_deg is not None
            near = one.verdict != "unknown" and abs(joint.operating_deg - 0.5) < joint.uncertainty_deg
            assert ("your gauge and tape, which know it within" in one.says) == near
            seen += near
    assert seen >= 4


@pytest.mark.parametrize("plan", [2.0, 5.0])
def test_planes_apart_are_not_told_as_yokes_out_of_phase(plan: float) -> None:
    """Yokes in line, joints that bend in two planes: nobody is told to turn a yoke. The planes by plain vectors."""
    case = {"powertrain.slope_deg": 0.0, "powertrain.plan_deg": 0.0, "axle.pinion_slope_deg": 1.0,
            "axle.pinion_plan_deg": plan,
            "powertrain.output_joint_mm": (1500.0, 0.0, 600.0), "axle.centre_mm": (3000.0, 0.0, 400.0),
            "axle.pinion_length_mm": 300.0, "axle.pinion_drop_mm": 0.0, "axle.pinion_offset_mm": 0.0,
            "shaft": {"kind": "one_piece", "phase_deg": 0.0}}  # fmt: skip
    _, found = found_in(edited(Build(), case))
    says = found["ends_parallel", "shaft"].says

    def line(slope: float, turn: float) -> np.ndarray:
        s, p = np.radians([slope, turn])
        return np.array([np.cos(s) * np.cos(p), np.cos(s) * np.sin(p), -np.sin(s)])

    output, pinion = line(0.0, 0.0), line(1.0, plan)
    shaft = np.array([3000.0, 0.0, 400.0]) - 300.0 * pinion - np.array([1500.0, 0.0, 600.0])
    one, two = (np.cross(before, after) for before, after in ((output, shaft), (shaft, pinion)))
    apart = np.degrees(np.arccos(abs(one @ two) / np.linalg.norm(one) / np.linalg.norm(two)))
    assert f"the yokes are in line, but the joints bend in planes {apart:.1f}° apart, seen along the shaft" in says
    assert "out of phase" not in says


@pytest.mark.parametrize("pinion", [1.0, 6.9, 9.3])
@pytest.mark.parametrize("phase", [0.0, 0.6, 4.4, 30.0, 90.0])
def test_angles_said_to_be_apart_are_so_by_subtraction_or_it_is_said_why_not(pinion: float, phase: float) -> None:
    """8.0° and the pinion's own: arithmetic; with the yokes out of phase they cancel less than the difference says."""
    case = lines(0.0, 8.0, pinion) | {"shaft.phase_deg": phase}
    _, found = found_in(edited(Build(), case))
    says = found["ends_parallel", "shaft"].says
    angles, _, counted = re.sub(r"\(.*?\)", "", says).partition(": ")
    front, rear = (float(one) for one in re.findall(r"([\d.]+)°", angles))
    apart = float(re.findall(r"([\d.]+)° apart", counted)[0])
    told = f"the yokes are turned {phase:.1f}° out of line, so that" in counted  # and not the same number twice
    assert told or apart == pytest.approx(abs(front - rear), abs=0.021)
    assert told or phase < 1.0
    assert phase or not told
