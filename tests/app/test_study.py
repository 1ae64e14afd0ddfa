"""The command that judges a build over ranges of its entries: what it prints, writes and refuses."""

import csv
from pathlib import Path

import numpy as np
import pytest

from app.commands import main
from app.files import read_build
from app.plans import plans_text
from app.study import RangeTrouble, ranges_of, study_text
from app.units import show_tape
from geometry import Build, edited, solve
from geometry.words.plans import Looked, PlanFound, plans, plans_in_turns
from geometry.words.study import over_range, study

RANCH = Path(__file__).parents[2] / "sample_builds" / "ranch_truck_swap.json"
LIFT, WEDGE = "plan.rear_lift_mm", "plan.axle_shim_deg"


def out_of(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(["study", *words]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def test_one_entry_tells_from_where_to_where(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(capsys, str(RANCH), "--vary", f"{LIFT}=0:150:25")
    head, _, findings = out.partition("Whole build\n")
    assert "Rear lift (plan.rear_lift_mm), 0 in to ≈ 5 7/8 in" in head
    first, second, *rest = findings.splitlines()
    border = over_range(read_build(RANCH), LIFT, 0.0, 150.0).whole[0].last
    said = show_tape(border, read_build(RANCH).display)
    assert first.startswith(f"  ▲ caution   0 in to {said}; decides: ")
    assert second.startswith(f"  ■ hold      {said} to ≈ 5 7/8 in; decides: ")
    assert rest[-1].startswith("7 combinations: ")
    assert any(line.startswith("Of the other findings ") for line in rest)
    names = [line for line in rest if line and not line.startswith((" ", "Of the", "7 "))]
    assert len(names) == len(set(names)), "two findings of one name"
    assert all(len(line) <= 98 for line in out.splitlines())


def test_two_entries_make_a_map_of_verdicts(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(capsys, str(RANCH), "--vary", f"{LIFT}=0:100:50", "--vary", f"{WEDGE}=-2:2:2")
    shapes = [line.split("in  ")[1].split() for line in out.splitlines() if "in  " in line]
    build = read_build(RANCH)
    word = {"▲": "caution", "■": "hold", "●": "clear", "○": "unknown"}
    for lift, row in zip((0.0, 50.0, 100.0), shapes, strict=True):
        for wedge, shape in zip((-2.0, 0.0, 2.0), row, strict=True):
            assert word[shape] == solve(edited(build, {LIFT: lift, WEDGE: wedge})).verdict
    assert "down: Rear lift" in out
    assert "● clear; ▲ caution; ■ hold; ○ unknown" in out


def test_three_entries_are_counted(capsys: pytest.CaptureFixture[str]) -> None:
    three = [f"{path}=1:3:1" for path in (LIFT, WEDGE, "powertrain.output_joint_mm.2")]
    out = out_of(capsys, str(RANCH), *(word for one in three for word in ("--vary", one)))
    assert "27 combinations: " in out
    assert "Joint at the output, up (powertrain.output_joint_mm.2), ≈ 1/16 in to ≈ 1/8 in" in out


def test_the_csv_holds_what_solve_says(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    target = tmp_path / "lifts.csv"
    out_of(capsys, str(RANCH), "--vary", f"{LIFT}=0:60:30", "--csv", str(target))
    rows = list(csv.DictReader(target.read_text(encoding="utf-8").splitlines()))
    build = read_build(RANCH)
    assert [float(row[LIFT]) for row in rows] == [0.0, 30.0, 60.0]
    for row in rows:
        whole = solve(edited(build, {LIFT: float(row[LIFT])}))
        assert row["verdict"] == whole.verdict
        counts = [sum(one.verdict == word for one in whole.findings) for word in ("hold", "caution", "unknown")]
        assert [int(row[name]) for name in ("holds", "cautions", "unknown")] == counts
        assert row["decides"] == f"{whole.findings[0].id} {whole.findings[0].part}"
        for one in whole.findings:
            name = f"{one.id} {one.part}"
            assert row[f"{name} verdict"] == one.verdict
            cell = row[f"{name} [{one.unit}]" if one.unit else name]
            assert (cell == "") == (one.value is None)
            if one.value is not None:
                assert float(cell) == pytest.approx(one.value, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["x"], "x: must read ENTRY=FROM:TO:STEP"),
        ([f"{LIFT}=0:150"], "must read ENTRY=FROM:TO:STEP"),
        ([f"{LIFT}=0:inf:1"], "must read ENTRY=FROM:TO:STEP"),
        ([f"{LIFT}=0:1e9:1e-9"], "has more than 100,000 steps; take larger ones"),
        ([f"{LIFT}=3:3:1"], "must go from a lower to a higher value by a step above 0"),
        ([f"{LIFT}=0:3:-1"], "must go from a lower to a higher value by a step above 0"),
        (["plan.rear_lft_mm=0:1:1"], "is no number of a build; did you mean plan.rear_lift_mm?"),
        (["title=0:1:1"], "is no number of a build; "),
        (["axle.ratio=0:4:1"], "axle.ratio (Axle ratio): must be more than 0.5 and at most 30"),
        (["shaft.bearing_mm.0=0:4:1"], "shaft.bearing_mm (Support bearing): is not in the build"),
        (["obstacles.9.gap_mm=0:4:1"], "there is no item 9 in this build"),
        ([f"{LIFT}=0:9:1", f"{LIFT}=0:9:2"], "is varied twice"),
        ([f"{LIFT}=0:500:1", f"{WEDGE}=-4:4:.01"], "have 401,301 combinations and at most 100,000"),
        (["plan.rear_lift_mm\x1b[31m=0:1:1"], "\\x1b[31m"),
    ],
)
def test_what_cannot_be_studied_is_one_sentence(
    capsys: pytest.CaptureFixture[str], words: list[str], says: str, tmp_path: Path
) -> None:
    target = tmp_path / "none.csv"
    varied = [part for word in words for part in ("--vary", word)]
    assert main(["study", str(RANCH), *varied, "--csv", str(target)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert says in err
    assert err.count("\n") == 1
    assert not target.exists()


def test_a_range_ends_where_it_says() -> None:
    assert ranges_of(Build(), [f"{LIFT}=0:1:.1"])[LIFT].tolist() == pytest.approx([n / 10 for n in range(11)])
    assert ranges_of(Build(), [f"{LIFT}=0:10:4"])[LIFT].tolist() == [0.0, 4.0, 8.0, 10.0]
    assert ranges_of(Build(), [f"{LIFT}=-1:1:5"])[LIFT].tolist() == [-1.0, 1.0]


def test_a_corner_that_cannot_be_is_refused() -> None:
    """A wall of more than half the diameter: each end of both ranges is possible, not the two together."""
    build = edited(Build(), {"shaft": {"kind": "one_piece", "tube": {"outer_diameter_mm": 80.0, "wall_mm": 2.0}}})
    with pytest.raises(RangeTrouble, match="wall"):
        ranges_of(build, ["shaft.tube.outer_diameter_mm=20:80:1", "shaft.tube.wall_mm=2:12:1"])


def test_csv_beside_another_ending_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["study", str(RANCH), "--vary", f"{LIFT}=0:9:1", "--csv", "a.txt"]) == 2
    assert "must end in .csv" in capsys.readouterr().err


def test_the_best_plans_are_told_with_what_they_leave(capsys: pytest.CaptureFixture[str]) -> None:
    ranges = {WEDGE: [n / 2 for n in range(-4, 9)], "plan.mount_shim_mm": [-10.0, 0.0, 10.0]}
    assert main(["plan", str(RANCH), "--change", f"{WEDGE}=-2:4:.5", "--change", "plan.mount_shim_mm=-10:10:10"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    found = plans(read_build(RANCH), ranges)
    for number, plan in enumerate(found, start=1):
        assert f"{number}  " in out
        assert f"{plan.verdict}: " in out
        for left in plan.left[:6]:
            assert left.title in out
    assert f"Wedge at the perches ({WEDGE}), −2.0° to 4.0°" in out
    assert f"at both perches fit {found[0].changes[WEDGE]:.0f}° wedges that raise the pinion's nose" in out
    assert "All 39 combinations judged.\nAs it is: ▲ caution: 5 caution\n" in out
    assert all(len(line) <= 98 for line in out.splitlines())


def test_what_gauge_and_tape_leave_open_is_told_by_how_much(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", str(RANCH), "--change", "plan.mount_shim_mm=-4:4:1"]) == 0
    assert "remains: ▲ Gauge too coarse, readings, ± 0.15°" in capsys.readouterr().out


def test_where_no_plan_is_better_it_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    build = edited(
        Build(), {"powertrain.slope_deg": 3.0, "readings.shaft_slope_deg": 6.0, "axle.pinion_slope_deg": 3.0}
    )
    path = tmp_path / "three.json"
    path.write_text(build.model_dump_json(), encoding="utf-8")
    assert main(["plan", str(path), "--change", "axle.pinion_slope_deg=8:9:1"]) == 0
    assert "leave it as it is: nothing on these values is better" in capsys.readouterr().out


def test_nobody_is_told_to_leave_what_is_not_measured(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Of an empty build all is unknown: no plan for it, nor "unknown all along" without what to measure."""
    path = tmp_path / "empty.json"
    path.write_text(Build().model_dump_json(), encoding="utf-8")
    assert main(["plan", str(path), "--change", "plan.axle_shim_deg=-1:1:1"]) == 0
    out = capsys.readouterr().out
    assert "not known yet: measure more before a plan can be found" in out
    assert "leave it" not in out
    assert main(["study", str(path), "--vary", "plan.rear_lift_mm=0:50:25"]) == 0
    assert "measure or enter the output slope, the shaft slope" in " ".join(capsys.readouterr().out.split())


def test_of_four_entries_no_more_than_three_are_changed(capsys: pytest.CaptureFixture[str]) -> None:
    four = [
        part
        for path in (LIFT, WEDGE, "plan.mount_shim_mm", "plan.front_lift_mm")
        for part in ("--change", f"{path}=0:1:1")
    ]
    assert main(["plan", str(RANCH), *four]) == 0
    assert "All 15 combinations judged." in capsys.readouterr().out  # 16 but for the one that changes all four
    assert main(["plan", str(RANCH), "--change", "x"]) == 2
    assert "must read ENTRY=FROM:TO:STEP" in capsys.readouterr().err


def test_what_cannot_be_judged_is_told_with_what_to_measure(capsys: pytest.CaptureFixture[str]) -> None:
    three = RANCH.parent / "three_angles_and_a_length.json"
    assert main(["plan", str(three), "--change", "plan.mount_shim_mm=-10:10:5"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "leave it as it is: nothing on these values is better" in out
    assert "▲ Shaft steep, shaft, 8.2°, at most 7.0°" in out
    assert "Shim under the rear mount: with another, " in out
    assert " is not judged: measure or enter the front mounts, the rear mount, " in out


def test_a_shim_of_less_than_nothing_is_a_mount_lowered() -> None:
    plan = PlanFound({"plan.mount_shim_mm": -12.0, "plan.axle_shim_deg": -1.0}, "clear", 0, 0, 0, 0.1, ())
    found = Looked((plan,), plan, 9, 20, ended=True)
    said = plans_text(edited(Build(), {"display.length": "millimetre"}), found, {}, "none")
    assert "clear: nothing against it; 10 % left to the nearest line" in said
    assert "lower the rear mount by 12 mm" in said
    assert "at both perches fit 1° wedges that lower the pinion's nose" in said
    assert "9 of 20 combinations judged: some values of each, then step by step about the best." in said


def test_a_plan_at_the_end_of_its_range_and_a_lift_that_jumps_at_nought_are_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", str(RANCH), "--change", f"{WEDGE}=-2:.5:.5"]) == 0
    out = capsys.readouterr().out
    first = plans(read_build(RANCH), {WEDGE: np.arange(-2.0, 1.0, 0.5)})[0]
    assert first.at_edge == (WEDGE,)
    assert "at the end of its range: wedge at the perches; a wider range may hold a better plan" in out
    build = edited(read_build(RANCH), {"use.rear_settling_mm": None, "use.rear_least_kg": 0.0})
    path = tmp_path / "new.json"
    path.write_text(build.model_dump_json(), encoding="utf-8")
    assert over_range(build, LIFT, 0.0, 150.0).says in " ".join(
        out_of(capsys, str(path), "--vary", f"{LIFT}=0:150:25").split()
    )


def test_no_line_is_wider_than_a_terminal_whatever_things_are_called(capsys: pytest.CaptureFixture[str]) -> None:
    long = "the left shock of the driven axle, behind it, leaning forward, from the truck that was sold"
    build = edited(read_build(RANCH), {"title": f"{long} {long}"[:110], "shocks.0.name": long[:40]})
    path = "shocks.0.frame_point_mm.2"
    ranges = {path: np.array([500.0, 505.0])}
    found = study(build, ranges)
    *_, best = plans_in_turns(build, ranges)
    for told in (study_text(build, found, None, "a.json"), plans_text(build, best, ranges, "a.json")):
        assert all(len(line) <= 98 for line in told.splitlines())
        assert path in told
