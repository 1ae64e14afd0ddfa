"""What the sheet says: set-points, what is now, what is planned, shaft order, ways out, names, checks."""

from dataclasses import replace
from pathlib import Path

import pytest

from app.report import report_text
from app.setpoints import ordered_for, set_points, variant_words
from app.sheet.order import shaft_order
from app.sheet.pages import sheet_of
from app.sheet.planned import planned_words
from app.sheet.ways import Ways
from geometry import Build, edited, solve
from geometry.document import value_at
from geometry.document.vehicle import Display
from geometry.words.solution import Finding, Remedy, Solution, Verdict
from tests.app.sheets import HAULER, SAMPLES, sample, shapes, text_of


@pytest.fixture(autouse=True)
def application(qapp: object) -> None:
    """Words are measured by Qt."""
    assert qapp


INCHES_FEET, METRIC = Display(), Display(length="millimetre", torque="newton_metre")


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_shaft_is_ordered_as_the_set_points_have_it(path: Path) -> None:
    build = sample(path, state=None, use=None)  # in another state the shaft stands otherwise than it is set
    solution = solve(build)
    points = {point.label: f"{point.value} {point.note}" for point in set_points(build, solution)}
    order = dict(shaft_order(*ordered_for(build, solution)))
    if "Length" in order:
        assert order["Length"].startswith(points["Joint to joint"])
    else:
        assert order["Rear tube"].startswith(points["Rear section"])
    if points["Spline engaged"].strip():
        assert f"engaged {points['Spline engaged']} at ride height" in order["Slip"]
    if "Slip stroke" in points:
        assert f"stroke {points['Slip stroke']}" in order["Slip"]


LOOSE = {"plan.perches": "loose", "plan.mounts": "loose"}


def test_loose_perches_have_no_wedge_and_loose_mounts_no_shim() -> None:
    """What is not welded yet is set by its angle: the pinion's first, as the perches are tacked to it."""
    labels = [point.label for point in set_points(sample(**LOOSE), solve(sample(**LOOSE)))]
    assert labels[:2] == ["Pinion slope", "Output slope"]
    assert "Wedge, each perch" not in labels
    assert "Rear mount" not in labels
    labels = [point.label for point in set_points(sample(), solve(sample()))]
    assert labels[:4] == ["Output slope", "Pinion slope", "Wedge, each perch", "Rear mount"]


def test_a_shackle_to_make_a_link_a_bearing_and_another_slip_have_rows() -> None:
    build = sample()
    solution = solve(build)
    new = {"slip_stroke_mm": 152.4, "shackle_length_mm": 127.0, "lateral_link_mm": 920.0, "bearing_height_mm": 455.0}
    made = replace(solution.setpoints, **new)
    rows = {point.label: point.value for point in set_points(build, replace(solution, setpoints=made))}
    assert rows["Slip stroke"] == "6.00 in"  # 152.4 mm = 6 × 25.4 mm, and so on
    assert rows["Shackle to make"] == "5.00 in"
    assert rows["Lateral link"] == "36.22 in"
    assert rows["Bearing height"] == "17.91 in"
    same = replace(made, slip_stroke_mm=110.0, shackle_length_mm=None, lateral_link_mm=None, bearing_height_mm=None)
    labels = {point.label for point in set_points(build, replace(solution, setpoints=same))}
    assert labels.isdisjoint({"Shackle to make", "Lateral link", "Bearing height"})


def unmended(solution: Solution) -> Solution:
    """An answer without any way out."""
    return replace(solution, findings=tuple(replace(one, remedy=None) for one in solution.findings))


def test_set_points_say_whose_they_are() -> None:
    build = sample()
    solution = solve(build)
    assert (
        variant_words(build, solution)
        == "with the first remedy of: uneven running at the pinion; whole build then: caution"
    )
    assert variant_words(build, unmended(solution)) == ""
    text = text_of(sheet_of(build, solution))
    assert "with the first remedy of: uneven running at the pinion" in text
    assert "of the shaft with that remedy" in text


def ways_of(findings: list[Finding]) -> list[str]:
    ways = Ways(Build(display=INCHES_FEET))
    return [ways.of(finding, number + 1) for number, finding in enumerate(findings)]


def way(says: str, after: float | None, verdict: Verdict = "clear", **changes: float) -> Remedy:
    return Remedy(
        says, {entry.replace("__", "."): value for entry, value in changes.items()}, after, verdict, "caution", (), 0, 1
    )


def test_repeated_remedies_are_told_once() -> None:
    one = solve(sample()).findings[0]
    angle = replace(one, unit="deg")
    wedge, shim = way("Fit wedges.", 88.0, plan__axle_shim_deg=1.0), way("Fit a shim.", 163.0, plan__mount_shim_mm=12.7)
    again = way("Fit wedges, ends cancel.", 0.371, plan__axle_shim_deg=1.0)
    worse_shim = way("Fit a shim, ends cancel.", 1.53, "caution", plan__mount_shim_mm=12.7)
    other = way("Fit more wedges.", None, plan__axle_shim_deg=2.0)
    bare = way("Buy a longer shaft.", None)
    told = ways_of([
        replace(one, remedy=wedge, alternatives=(shim,)),
        replace(angle, remedy=again, alternatives=(worse_shim,)),
        replace(angle, remedy=worse_shim, alternatives=()),
        replace(angle, remedy=worse_shim, alternatives=(wedge,)),
        replace(angle, remedy=other, alternatives=(again,)),
        replace(angle, remedy=other, alternatives=()),
        replace(angle, remedy=bare, alternatives=()),
        replace(angle, remedy=bare, alternatives=()),
        replace(angle, remedy=None, alternatives=()),
    ])  # fmt: skip
    then = "Whole build then: ▲ caution."
    assert told == [
        f"→ Fit wedges. {then}",
        "→ as for 1: then 0.37°.",
        f"→ Fit a shim, ends cancel. {then}",  # the first finding has it as another way, which the sheet leaves
        "→ as for 3: then 1.5° (caution).",
        f"→ Fit more wedges. {then}",
        "→ as for 5.",
        f"→ Buy a longer shaft. {then}",
        f"→ Buy a longer shaft. {then}",
        "",
    ]


WITH_A_NOSE = [path for path in SAMPLES if path.stem != "three_angles_and_a_length"]


@pytest.mark.parametrize("path", WITH_A_NOSE, ids=lambda path: path.stem)
@pytest.mark.parametrize("wedge", [-2.0, 2.0])
def test_the_wedge_is_said_to_move_the_nose_as_the_drawing_moves_it(path: Path, wedge: float) -> None:
    before, after = (solve(sample(path, **{"plan.axle_shim_deg": size})) for size in (0.0, wedge))
    was, now = before.picture.pinion_joint_mm, after.picture.pinion_joint_mm
    assert was is not None
    assert now is not None
    stated = replace(after, setpoints=replace(after.setpoints, axle_shim_deg=wedge))
    (row,) = [row for row in set_points(sample(path), stated) if row.label.startswith(("Wedge", "Turn"))]
    assert row.note == ("raises the nose" if now[2] > was[2] else "lowers the nose")


def test_the_shaft_is_ordered_for_the_torque_that_it_is_judged_by() -> None:
    """With the shock factor; where something that sets the torque is not entered, it is no more than a bound."""
    build = sample()
    solution = solve(build)
    tube = next(one for one in solution.findings if one.id == "tube_shear")
    assert solution.shaft.torque_nm is not None
    assert solution.shaft.shock_torque_nm == pytest.approx(1.5 * solution.shaft.torque_nm)  # the factor taken
    shear = solution.shaft.shear_mpa
    assert shear is not None
    assert tube.value == pytest.approx(shear)
    torque = dict(shaft_order(build, solution))["Torque"]
    assert torque.startswith("must carry 1,541 lb·ft (2,089 N·m) in a rough start, 1,027 lb·ft (1,392 N·m) at launch")
    for entry in ("vehicle.tyre_grip", "powertrain.peak_torque_nm", "vehicle.mass_centre_height_mm"):
        other = sample(**{entry: None})
        assert "as far as entered" in dict(shaft_order(other, solve(other)))["Torque"], entry
    gentle = {"vehicle.tyre_grip": 1.2, "powertrain.peak_torque_nm": 100.0}
    for entry in ("powertrain.low_range", "powertrain.converter_ratio"):
        both = {"powertrain.low_range": 1.0, "powertrain.converter_ratio": 1.0}
        whole, less = sample(**gentle, **both), sample(**gentle, **{**both, entry: None})
        assert "as far as entered" not in dict(shaft_order(whole, solve(whole)))["Torque"]
        assert "as far as entered" in dict(shaft_order(less, solve(less)))["Torque"], entry


def test_the_sheet_of_an_axle_on_links_tells_of_brackets_not_perches() -> None:
    for path in SAMPLES:
        build = sample(path)
        text = text_of(sheet_of(build, solve(build))).lower()
        links = value_at(build, "suspension.kind") == "links"
        assert ("perch" not in text and "brackets both sides" in text) if links else "both perches" in text, path.stem


def test_what_is_now_stands_beside_what_is_to_be_set_and_only_where_it_is_another() -> None:
    build = sample()
    solution = solve(build)
    rows = {row.label: row for row in set_points(build, solution)}
    assert (rows["Pinion slope"].value, rows["Pinion slope"].now) == ("4.7°", "3.2°")
    assert (rows["Wedge, each perch"].value, rows["Wedge, each perch"].now) == ("1.5°", "none")
    assert rows["Joint to joint"].now == "50.85 in"
    assert rows["Output slope"].now == ""  # 4.6° and stays
    assert not rows["Output slope"].changes
    assert rows["Pinion slope"].changes
    points = replace(solution.setpoints, pinion_slope_deg=-1.0, axle_shim_deg=0.0, output_slope_deg=4.6 + 0.3)
    fitted = edited(build, {"plan.axle_shim_deg": 2.0})
    planned = replace(solution.measured, axle_shim_deg=2.0)
    rows = {row.label: row for row in set_points(fitted, replace(solution, setpoints=points, measured=planned))}
    assert rows["Pinion slope"].now == "3.2° nose up"  # to nose down: the way is told where it turns
    assert rows["Wedge, each perch"].now == "2°"
    assert rows["Output slope"].now == "4.6°"
    moved = replace(solution, setpoints=replace(solution.setpoints, mount_shim_mm=-12.7))
    rows = {row.label: row for row in set_points(build, moved)}
    assert rows["Rear mount: lower by"].now == "none"
    block = edited(build, {"plan.rear_lift_mm": 76.2, "plan.rear_lift_by": "block"})
    rows = {row.label: row for row in set_points(block, solve(block))}
    assert (rows["Block, rear"].value, rows["Block, rear"].now) == ("3.00 in", "none")  # not fitted yet
    assert rows["Pinion slope"].now == "3.2°"  # the gauge shows what is, not what is planned
    assert rows["Slip stroke"].value == "4.33 in"  # 110 mm, to be ordered or not


def test_what_stays_is_what_reads_as_measured_or_differs_by_less_than_anybody_sets() -> None:
    """Every sample with and without its plan; half a degree wedge and half a millimetre are the least that is set."""
    for path in SAMPLES:
        for build in (sample(path), edited(sample(path), {"plan": None})):
            solution = solve(build)
            bare = edited(build, {"plan": None})
            own = replace(solve(bare), setpoints=solution.measured)
            measured = {row.label: row for row in set_points(bare, own)}
            for row in set_points(build, solution):
                before = measured.get(row.label)
                if row.label.startswith("To st"):  # the most that stops and straps may let it go, which nobody measured
                    continue
                if before is not None and row.value and before.value:
                    turned = row.leans and before.leans and row.leans != before.leans
                    differs = row.value != before.value or bool(turned)
                    assert not row.changes or differs, row
                    if differs and not row.changes:
                        one, two = (float(words.value.split("°")[0].split(" ")[0]) for words in (row, before))
                        assert abs(one - two) <= (0.25 if row.value.endswith("°") else 0.02) + 0.05, row
                    assert not row.changes or row.now.startswith(before.value)


def test_nothing_is_now_where_nothing_is_known() -> None:
    for build in (Build(), edited(Build(), {"powertrain.slope_deg": 3.0})):
        assert all(not row.now for row in set_points(build, solve(build)))


RIDE, THAT = "Angles are for ride height, level on the tyres.", "Angles are for that height."
PLANS = [
    ({}, f"Nothing planned: as it stands. {RIDE}"),
    (
        {"plan.rear_lift_mm": 76.2, "plan.rear_lift_by": "block", "plan.front_lift_mm": 50.8},
        f"Planned: rear up 3.00 in (76.2 mm) by block, front up 2.00 in (50.8 mm) by spring. {THAT}",
    ),
    ({"plan.rear_lift_mm": -25.4}, f"Planned: rear down 1.00 in (25.4 mm) by spring. {THAT}"),
    (
        {"plan.axle_shim_deg": 2.0, "plan.mount_shim_mm": -12.7},
        f"Planned: 2° wedges raising the nose, rear mount lowered by 1/2 in (12.7 mm). {RIDE}",
    ),
    (
        {"plan.axle_shim_deg": -1.5, "plan.mounts": "loose", "plan.powertrain_slope_deg": 3.0,
         "plan.powertrain_shift_mm": (-25.4, 0.0)},
        (
            "Planned: 1.5° wedges lowering the nose, output set to 3.0° tail down, "
            f"engine forward 1.00 in (25.4 mm). {RIDE}"
        ),
    ),
    (
        {"plan.perches": "loose", "plan.pinion_slope_deg": 3.4, "plan.mounts": "loose"},
        f"Planned: pinion welded at 3.4° nose up, mounts loose. {RIDE}",
    ),
    ({"plan.perches": "loose"}, f"Planned: perches loose. {RIDE}"),
    (
        {"axle.end": "front", "plan.perches": "loose", "plan.pinion_slope_deg": 3.4},
        f"Planned: pinion welded at 3.4° nose down. {RIDE}",
    ),
    (
        {"suspension.kind": "links", "plan.rear_lift_mm": 50.8, "plan.axle_shim_deg": 2.0,
         "plan.lateral_link_longer_mm": 6.35},
        (
            "Planned: rear up 2.00 in (50.8 mm), 2° turn of the axle raising the nose, "
            f"lateral link 0.25 in (6.4 mm) longer. {THAT}"
        ),
    ),
    (
        {"plan.output_adapter_mm": 12.7, "plan.pinion_adapter_mm": 25.4},
        (
            "Planned: plate of 0.50 in (12.7 mm) between the flanges at the gearbox, "
            f"plate of 1.00 in (25.4 mm) between the flanges at the pinion. {RIDE}"
        ),
    ),
]  # fmt: skip


def test_a_plate_that_is_planned_is_a_set_point() -> None:
    build = edited(Build(), {"plan.output_adapter_mm": 12.7, "plan.pinion_adapter_mm": 25.4})
    rows = {row.label: (row.value, row.note, row.now) for row in set_points(build, solve(build))}
    assert rows["Plate, gearbox"] == ("0.50 in", "(12.7 mm)", "none")
    assert rows["Plate, pinion"] == ("1.00 in", "(25.4 mm)", "none")
    assert not [row for row in set_points(Build(), solve(Build())) if row.label.startswith("Plate")]


@pytest.mark.parametrize(("changes", "expected"), PLANS)
def test_what_is_planned_stands_in_one_line(changes: dict[str, object], expected: str) -> None:
    assert planned_words(edited(Build(), changes)) == expected


def test_the_planned_line_stands_under_the_title_in_the_persons_own_unit_first() -> None:
    build = sample(HAULER, **{"display.length": "millimetre"})
    text = text_of(sheet_of(build, solve(build)), 0)
    assert "rear up 76.2 mm (3.00 in) by block" in text
    assert "Angles are for that height." in text


def test_a_clear_value_beyond_its_line_is_told_without_the_line() -> None:
    """A steep shaft is clear where its joints are judged and pass: the line is not what it is judged by."""
    build = sample()
    solution = solve(build)
    slope = next(one for one in solution.findings if one.id == "shaft_slope")
    assert slope.verdict == "clear"
    assert slope.value is not None
    assert slope.limit is not None
    assert slope.value > slope.limit
    text = text_of(sheet_of(build, solution), 1)
    assert "Shaft slope 9.6°" in text
    assert "9.6°, most" not in text


def test_unknown_findings_that_want_the_same_are_told_once() -> None:
    build = Build()
    sheet = sheet_of(build, solve(build))
    text = text_of(sheet).lower()
    wanted = {one.says.lower().partition("measure or enter ")[2].partition(".")[0] for one in solve(build).findings}
    assert len(wanted) < len(solve(build).findings)
    assert shapes(sheet, "unknown") == len(wanted) + 1  # with the whole build's own
    for one in wanted:
        assert f"measure {one}" in text
    for finding in solve(build).findings:
        assert finding.title.lower() in text


STAYS = {label: (name, 0.25 if name.endswith("deg") else 0.5) for label, name in {
    "Output slope": "output_slope_deg", "Pinion slope": "pinion_slope_deg", "Shaft slope": "shaft_slope_deg",
    "Seat to pinion": "perch_to_pinion_deg", "Joint to joint": "shaft_length_mm", "Rear section": "shaft_length_mm",
    "Spline engaged": "slip_engaged_mm",
}.items()}  # fmt: skip
"""Each row that may stay, what it shows, and from which difference it is set: half a wedge's step, or half a mm."""


@pytest.mark.parametrize("label", STAYS)
def test_a_number_is_set_from_half_a_wedges_step_or_half_a_millimetre_on(label: str) -> None:
    name, least = STAYS[label]
    seen = 0
    for path in SAMPLES:
        build = edited(sample(path), {"plan": None, "display": INCHES_FEET})  # two decimals of an inch are 0.25 mm
        solution = unmended(solve(build))  # what a remedy turns is told even by a tenth
        now = getattr(solution.measured, name)
        if now is None or label not in {one.label for one in set_points(build, solution)}:
            continue
        for share in (-1.04, -0.96, 0.0, 0.96, 1.04):
            points = replace(solution.setpoints, **{name: now + share * least})
            told = set_points(build, replace(solution, setpoints=points))
            row = next(one for one in told if one.label == label)
            assert row.changes is (abs(share) > 1.0), (path.stem, share, row)
            seen += 1
    assert seen


@pytest.mark.parametrize(
    ("lost", "asks"),
    [("readings.seat_slope_deg", "measure: spring seat slope"), ("readings.shaft_slope_deg", "measure: shaft slope"),
     ("readings.shaft_length_mm", "measure: shaft length, joint to joint")],
)  # fmt: skip
def test_under_a_block_slope_and_length_of_a_shaft_that_was_taped_along_ask_for_what_tilts_it(
    lost: str, asks: str
) -> None:
    lift = {"plan.rear_lift_mm": 76.2, "plan.front_lift_mm": 76.2, "plan.rear_lift_by": "block"}
    hurry = sample(next(path for path in SAMPLES if path.stem == "three_angles_and_a_length"))
    block = edited(hurry, {"readings.seat_slope_deg": 0.5, **lift, lost: None})
    solution = solve(block)
    wants = {point.label: point.wants for point in set_points(block, solution)}
    assert wants["Shaft slope"] == wants["Joint to joint"] == dict(shaft_order(block, solution))["Length"] == asks
    told = report_text(block, solution, "x").splitlines()
    for label in ("  Shaft  ", "  Length, joint to joint"):
        line = next(one for one in told if one.startswith(label))
        assert line.lower().endswith(asks.replace("measure", "unknown; measure or enter"))
