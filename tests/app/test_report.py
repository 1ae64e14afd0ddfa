"""The terminal report: widths, units, what is said of unknown values, and that it repeats the solution faithfully.

The angles of the small builds are those of a shop exercise (output and pinion 3.5°, shaft 10.8°: both joints at 7.3°);
unit sizes are exact: 1 in = 25.4 mm, 1 lb·ft = 1.3558179… N·m (yard and pound agreement of 1959, from memory).
"""

import dataclasses
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.cautions import CAUTIONS
from app.files import read_build
from app.report import report_text
from app.setpoints import ordered_for
from geometry import Build, Solution, edited, solve
from geometry.words.solution import Finding, Remedy

HURRY = Build.model_validate_json(
    '{"title": "Yard truck", "powertrain": {"slope_deg": 3.5}, "axle": {"pinion_slope_deg": 3.5},'
    ' "readings": {"shaft_slope_deg": 10.8, "shaft_length_mm": 1524}}'
)
METRIC = edited(HURRY, {"display.length": "millimetre", "display.torque": "newton_metre"})


def lines(build: Build, solution: Solution | None = None) -> list[str]:
    return report_text(build, solve(build) if solution is None else solution, "yard.json").splitlines()


def row(found: list[str], label: str) -> str:
    """The text behind a label, its first occurrence, with the lines that continue it."""
    start = next(number for number, line in enumerate(found) if line.strip().startswith(label))
    more = []
    for line in found[start + 1 :]:
        if not line.startswith(" " * 20):
            break
        more.append(line.strip())
    return " ".join([found[start].strip().removeprefix(label).strip(), *more])


def test_angles_and_joints_of_the_shop_exercise() -> None:
    found = lines(HURRY)
    assert row(found, "Output ") == "3.5°"
    assert row(found, "Shaft  ") == "10.8°"
    assert row(found, "Pinion  ") == "3.5°"
    assert row(found, "Front joint, single").startswith("7.3° (from the side 7.3°, from above 0.0°)")
    assert row(found, "Rear joint, single").startswith("7.3° (from the side 7.3°, from above 0.0°)")


@pytest.mark.parametrize(("shaft", "good"), [(10.8, "good for 2,370 rpm"), (4.2, "good for 5,000 rpm and more")])
def test_a_joint_is_good_for_no_more_than_anybody_knows(shaft: float, good: str) -> None:
    """7.3° is good for 2,367 rpm by √1,000/0.1274, in tens; 0.7° is for whatever a shaft turns, not for 24,690 rpm."""
    found = lines(edited(HURRY, {"readings.shaft_slope_deg": shaft}))
    assert sum(line.strip() == good for line in found) == 2


def test_lengths_in_the_persons_units_with_the_other_behind() -> None:
    assert row(lines(HURRY), "Length, joint to joint") == "60.00 in (1,524 mm)"
    assert row(lines(METRIC), "Length, joint to joint") == "1,524 mm (60.00 in)"
    assert row(lines(HURRY), "Joint to joint") == "60.00 in (1,524 mm)"


def test_what_the_shaft_is_ordered_by() -> None:
    build = read_build(Path("sample_builds") / "ranch_truck_swap.json")
    found, (_, variant) = lines(build), ordered_for(build, solve(build))
    start = found.index("Shaft to order, joint centre to joint centre")
    told = " ".join(line.strip() for line in found[start : start + 18])
    assert row(found, "At ride height") == "50.81 in (1,291 mm), at the least load"
    assert row(found[start:], "Over the travel") == "50.36 in to 50.86 in"
    assert row(found[start:], "Collapsed and extended") == "49.08 in to 53.41 in"
    assert all(one in told for one in variant.order.says)
    assert "Shaft to order" not in "\n".join(lines(Build()))
    bare = lines(HURRY)
    assert row(bare, "At ride height") == "60.00 in (1,524 mm)"
    assert not [line for line in bare if line.strip().startswith("Collapsed")]


@pytest.mark.parametrize("path", sorted(Path("sample_builds").glob("*.json")), ids=lambda path: path.stem)
def test_the_shaft_to_order_is_the_one_that_is_set(path: Path) -> None:
    """The short hauler's was 21.58 in here, of a plan that holds, and 20.97 in in the set-points and on the order."""
    build = edited(read_build(path), {"state": None, "use": None})  # ordered as measured, as the set-points are
    found = lines(build)
    start = next(number for number, line in enumerate(found) if line.startswith("Shaft to order"))
    label = "Rear section" if any(line.strip().startswith("Rear section  ") for line in found) else "Joint to joint"
    as_set = row(found[start:], label)
    assert as_set.partition(" (")[0].partition(", now")[0] == row(found[start:], "At ride height").partition(" (")[0]


def test_torque_in_both_units() -> None:
    # 300 N·m × 3.0 first gear = 900 N·m = 663.8 lb·ft; no low range, converter or loss is given
    build = edited(HURRY, {"powertrain.peak_torque_nm": 300.0, "powertrain.gear_ratios": (3.0, 1.0)})
    assert row(lines(build), "in the lowest gear") == "664 lb·ft (900 N·m)"
    metric = edited(METRIC, {"powertrain.peak_torque_nm": 300.0, "powertrain.gear_ratios": (3.0, 1.0)})
    assert row(lines(metric), "in the lowest gear") == "900 N·m (664 lb·ft)"


def test_unknown_value_says_what_to_measure_and_only_that() -> None:
    found = lines(HURRY)
    wants = "unknown; measure or enter: Rear tyre radius, loaded; Axle ratio; Cruising speed"
    assert row(found, "Speed at cruise") == wants
    known = edited(HURRY, {"axle.ratio": 3.73, "vehicle.rear_tyre_radius_mm": 368.0})
    assert row(lines(known), "Speed at cruise") == "unknown; measure or enter: Cruising speed"
    front = edited(HURRY, {"axle.end": "front"})
    assert "Front tyre radius, loaded" in row(lines(front), "Speed at cruise")


def test_travel_of_a_build_without_obstacles_or_slip_wants_them() -> None:
    build = Build.model_validate_json(
        '{"powertrain": {"output_joint_mm": [1600, 0, 560], "slope_deg": 4},'
        ' "axle": {"centre_mm": [2946, 0, 368], "pinion_slope_deg": 5, "pinion_length_mm": 320},'
        ' "suspension": {"kind": "links", "lower_frame_mm": [2300, 420], "lower_axle_mm": [2946, 300],'
        ' "upper_frame_mm": [2400, 560], "upper_axle_mm": [2900, 520], "bump_mm": 80, "droop_mm": 90}}'
    )
    found = lines(build)
    start = next(number for number, line in enumerate(found) if line.startswith("Over the travel, from "))
    assert "3 9/16 in of droop to ≈ 3 1/8 in of bump" in found[start]  # 90 and 80 mm to the nearest sixteenth
    assert row(found[start:], "Gap to the nearest obstacle") == "unknown; measure or enter: Obstacles"
    assert row(found[start:], "Slip left") == "unknown; measure or enter: Slip engaged at ride height; Slip stroke"
    assert row(found[start:], "Pinion slope").endswith("°")


def test_nothing_measured_is_unknown_and_still_a_whole_report() -> None:
    found = lines(Build())
    assert found[0] == "Untitled build (yard.json)"
    assert found[2].startswith("UNKNOWN: ")
    assert row(found, "Output ") == "unknown; measure or enter: Output slope"
    text = "\n".join(found)
    assert "None" not in text
    assert "nan" not in text


@pytest.mark.parametrize("build", [Build(), HURRY, METRIC, edited(HURRY, {"title": "x" * 200, "notes": "word " * 900})])
def test_no_line_is_wider_than_a_terminal(build: Build) -> None:
    found = lines(build)
    assert max(map(len, found)) <= 100
    assert not any(line != line.rstrip() for line in found)


def test_samples_fit_a_terminal(sample_path: Path) -> None:
    found = lines(read_build(sample_path))
    assert max(map(len, found)) <= 100
    assert "None" not in " ".join(found)


def finding(title: str, says: str, **changes: object) -> Finding:
    plain = Finding(
        id="shaft_slope", title=title, part="shaft", verdict="hold", value=16.0, limit=7.0, hold_limit=15.0,
        sense="at most", unit="deg", says=says, remedy=None, alternatives=(), basis="common practice",
        entry="axle.centre_mm",
    )  # fmt: skip
    return dataclasses.replace(plain, **changes)  # type: ignore[arg-type]


def test_findings_keep_their_order_with_remedy_and_basis() -> None:
    remedy = Remedy("Fit 2° wedges.", {"plan.axle_shim_deg": 2.0}, 0.1, "clear", "caution", (), 0, 1)
    other = Remedy("Lower the rear mount.", {"plan.mount_shim_mm": -6.0}, 0.2, "clear", "clear", (), 0, 0)
    findings = (
        finding("Slope", "Too steep.", remedy=remedy, alternatives=(other,)),
        finding("Angle", "At the front.", part="front_joint", verdict="caution"),
        finding("Angle", "At the rear.", part="rear_joint", verdict="unknown", basis=""),
    )
    found = lines(HURRY, dataclasses.replace(solve(HURRY), findings=findings))
    start = found.index("Findings, worst first")
    assert found[start + 1 : start + 11] == [
        "  HOLD     Slope: 16.0°, at most 7.0°, hold beyond 15.0°",
        "           Too steep.",
        "           Remedy: Fit 2° wedges. Whole build then: caution.",
        "           or: Lower the rear mount. Whole build then: clear.",
        "           Basis: common practice",
        "  CAUTION  Angle (front joint): 16.0°, at most 7.0°, hold beyond 15.0°",
        "           At the front.",
        "           Basis: common practice",
        "  UNKNOWN  Angle (rear joint)",
        "           At the rear.",
    ]


def test_verdict_and_reason_come_first() -> None:
    solution = dataclasses.replace(solve(HURRY), verdict="hold", says="Do not tack yet.")
    assert lines(HURRY, solution)[2] == "HOLD: Do not tack yet."


def test_every_caution_is_there() -> None:
    text = " ".join(" ".join(lines(HURRY)).split())
    assert all(caution in text for caution in CAUTIONS)
    carried = " ".join(CAUTIONS).lower()
    for word in ("stands", "level", "chocked", "battery", "fuel", "wiring", "warp", "tack", "cool", "running shaft"):
        assert word in carried
    for word in ("plan", "driveshaft builder", "ratings", "construction rules", "licensed welder or engineer"):
        assert word in carried


def test_colour_only_when_asked_for() -> None:
    solution = solve(HURRY)
    plain, coloured = (report_text(HURRY, solution, "yard.json", colour=colour) for colour in (False, True))
    assert "\x1b" not in plain
    assert "\x1b[1;" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain


def test_names_cannot_steer_the_terminal() -> None:
    build = edited(HURRY, {"title": "a\x1b[2J\nb", "notes": "one\ntwo\x07"})
    text = report_text(build, solve(build), "c\x1b.json")
    assert "\x1b" not in text
    assert "\x07" not in text
    assert text.startswith("a�[2J b (c\\x1b.json)\n")
    assert "\n  | one\n  | two�\n" in text


def test_notes_cannot_pass_for_findings() -> None:
    forged = "\n  CLEAR    Everything\n\nFindings, worst first\u2028  CLEAR    Nothing holds"
    build = edited(HURRY, {"notes": forged, "title": "Truck\n\nFindings, worst first"})
    lines = report_text(build, solve(build), "truck\nFindings, worst first.json").splitlines()
    assert lines.count("Findings, worst first") == 1
    assert not [line for line in lines if "Everything" in line and not line.startswith("  | ")]
    assert not [line for line in lines if "Nothing holds" in line and not line.startswith("  | ")]


@given(st.text(max_size=200), st.text(max_size=80))
def test_no_line_of_the_report_holds_what_a_terminal_would_obey(text: str, name: str) -> None:
    build = edited(HURRY, {"title": text, "notes": text, "shocks": ({"name": f"x{text[:60]}"},)})
    assert all(line.isprintable() for line in report_text(build, solve(build), name).split("\n"))


@pytest.mark.parametrize(("verdict", "colour"), [("clear", 32), ("caution", 33), ("hold", 31), ("unknown", 36)])
def test_each_verdict_has_its_colour_in_the_terminal(verdict: str, colour: int) -> None:
    """Green, yellow, red and cyan are 32, 33, 31 and 36 in ECMA-48, select graphic rendition (from memory)."""
    solution = dataclasses.replace(
        solve(HURRY), verdict=verdict, findings=(dataclasses.replace(finding("Steep", "It is."), verdict=verdict),)
    )
    word = verdict.upper()
    plain, bright = (report_text(HURRY, solution, "x.json", colour=colour) for colour in (False, True))
    assert bright.count(f"\x1b[1;{colour}m{word}\x1b[0m") == 2
    assert bright.count("\x1b") == 4
    assert re.sub(r"\x1b\[[0-9;]*m", "", bright) == plain
