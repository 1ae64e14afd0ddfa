"""The tacking sequence on paper: its numbers are the set-points, nothing lies over anything, one page a build."""

from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

from app.commands import main
from app.drawing.items import Page
from app.papers.tacking import steps_of, tacking_pages
from app.setpoints import as_told, flange_of, set_points, to_fit, to_tack, variant_words
from app.sheet.paper import SIZES, PaperName, frame_of
from app.units import show
from geometry import solve
from geometry.judge.limits import LIMITS
from tests.app.one_page import bold, check_apart, check_within, every_case, solved
from tests.app.sheets import DAY, LONG_NAME, RANCH, box_of, sample
from tests.app.test_card import words_on


@pytest.fixture
def page(case: tuple[str, str, PaperName], qapp: object) -> Page:
    """The page of a case."""
    assert qapp
    [page] = tacking_pages(*solved(*case[:2]), case[2], source_name=LONG_NAME, printed_on=DAY)
    return page


@every_case
def test_no_words_lie_over_words_or_the_edge_of_a_box(page: Page) -> None:
    check_apart(page)


@every_case
def test_nothing_leaves_the_margins_and_type_can_be_read(page: Page, case: tuple[str, str, PaperName]) -> None:
    check_within(page, case[2])


@every_case
def test_its_numbers_are_the_set_points_and_read_at_arms_length(page: Page, case: tuple[str, str, PaperName]) -> None:
    build, solution = solved(*case[:2])
    big = [one.text for one in bold(page) if one.pt >= 13.0]
    points = as_told(build, solution)
    if points.pinion_slope_deg is not None:
        assert show(abs(points.pinion_slope_deg), "deg", build.display) in big
    seat = to_tack(points)
    if seat is not None and case[0] != "transfer_case_double_joint":
        assert show(abs(seat), "deg", build.display) in big
    if points.flange_to_perch_mm is not None:
        assert show(points.flange_to_perch_mm, "mm", build.display) in big
    assert [str(number) in big for number in range(1, 9)] == [True] * 8


@every_case
def test_no_heading_runs_into_its_picture(page: Page, case: tuple[str, str, PaperName]) -> None:
    edge = frame_of(SIZES[case[2]]).right - 190.0
    for one in words_on(page):
        left, top, right, _ = box_of(one)
        assert right <= edge or left >= edge - 2.0 or top < 170.0 or one.pt < 8.5, one.text


def test_the_pull_of_the_weld_is_tacked_for() -> None:
    build = sample(RANCH, perches={"first_weld": "front", "weld_pull_deg": 0.5})
    solution = solve(build)
    assert solution.setpoints.tack_to_pinion_deg is not None
    numbers = [number for number, _ in steps_of(build, solution)[3].numbers]
    assert show(abs(solution.setpoints.tack_to_pinion_deg), "deg", build.display) in numbers


@pytest.mark.parametrize(("perches", "stay"), [("welded", True), ("loose", False)])
def test_perches_that_stay_welded_are_not_tacked(perches: str, stay: bool) -> None:
    """Wedges were ordered on both perches, and two steps on the same perches were to be loose on the tube."""
    build = sample(RANCH, **{"plan.perches": perches})
    said = next(one.ticks[0] for one in steps_of(build, solve(build)) if one.title == "Set the pinion")
    assert said.startswith("New perches loose on the tube; where welded ones stay") == stay
    assert said.startswith("Perches loose on the tube") != stay


def test_links_are_told_of_brackets_not_of_perches() -> None:
    build, solution = solved("transfer_case_double_joint", "inch")
    said = " ".join(
        " ".join((step.title, *step.ticks, *(words for pair in step.numbers for words in pair)))
        for step in steps_of(build, solution)
    )
    assert "brackets" in said.lower()
    assert "perch" not in said.lower()


def test_the_command_writes_it(tmp_path: Path) -> None:
    target = tmp_path / "tacking.pdf"
    assert main(["tacking", str(RANCH), "-o", str(target)]) == 0
    [page] = PdfReader(target).pages
    text = " ".join(page.extract_text().split())
    for words in (
        "Tacking sequence",
        "Never under a running shaft.",
        "break the tacks, go to 3",
        "Compare with step 6.",
    ):
        assert words in text


@pytest.mark.parametrize("name", ["ranch_truck_swap", "long_van_two_piece"])
def test_what_the_angles_are_with_is_put_in_place_before_they_are_read(name: str) -> None:
    """A wedge or mount shim that the set-points count on is in the first step: read without it, all would be off."""
    build, solution = solved(name, "inch")
    points = solution.setpoints
    said = " ".join(steps_of(build, solution)[0].ticks)
    assert ("wedges on both perches" in said) == bool(points.axle_shim_deg)
    assert ("the rear mount by" in said) == bool(points.mount_shim_mm)
    assert points.axle_shim_deg or points.mount_shim_mm


@every_case
def test_the_head_says_with_which_remedy_its_numbers_are(page: Page, case: tuple[str, str, PaperName]) -> None:
    variant = variant_words(*solved(*case[:2]))
    said = [one.text.lower() for one in words_on(page)]
    assert any(variant in text for text in said) if variant else not any("first remedy" in text for text in said)


@every_case
def test_all_that_is_fitted_first_is_ordered_whole_and_is_a_row_of_the_sheet(
    page: Page, case: tuple[str, str, PaperName]
) -> None:
    build, solution = solved(*case[:2])
    text = " ".join(one.text for one in words_on(page)).lower()
    orders = to_fit(build, solution)
    for order in orders:
        assert order.lower() in text, order
    fitted = ("Block", "Wedge", "Rear mount: ", "Engine: ", "Plate", "Shackle")
    rows = [
        one for one in set_points(build, solution)
        if one.label.startswith(fitted) and one.value not in {"", "none", "not sold"}
    ]  # fmt: skip
    assert len(rows) == len(orders)
    for row in rows:
        assert any(row.value in order for order in orders), row


def test_orders_say_which_way() -> None:
    """The axle is set to what stands: its wedges come after the engine."""
    assert to_fit(*solved("much to fit", "inch")) == (
        "fit 3.00 in blocks at the rear",
        "fit 3.00 in blocks at the front",
        "lower the rear mount by 9/16 in",
        "raise the engine by 1/4 in",
        "move the engine forward by 1/2 in",
        "fit 2° wedges on both perches, raising the nose",
        "put a 0.50 in plate between the flanges at the gearbox",
        "put a 0.75 in plate between the flanges at the pinion",
    )
    other = sample(
        RANCH, **{"plan.rear_lift_mm": -25.4, "plan.rear_lift_by": "block", "plan.axle_shim_deg": -1.0,
                  "plan.mount_shim_mm": 6.35, "plan.powertrain_shift_mm": (25.4, -12.7)}
    )  # fmt: skip
    plain = replace(solve(other), findings=())
    assert to_fit(other, replace(plain, setpoints=solve(other).setpoints))[0] == (
        "fit 1.00 in blocks at the rear, which lower it"
    )
    points = replace(plain.setpoints, axle_shim_deg=-1.0, mount_shim_mm=6.35, shackle_length_mm=127.0)
    assert to_fit(other, replace(plain, setpoints=points))[1:] == (
        "fit shackles of 5.00 in, bolt to bolt",
        "raise the rear mount by 1/4 in",
        "lower the engine by 1/2 in",
        "move the engine back by 1 in",
        "fit 1° wedges on both perches, lowering the nose",
    )


@pytest.mark.parametrize("where", [None, "wheel_flange", "housing_flange"])
def test_the_flange_is_the_one_that_was_entered_and_neutral_without(where: str | None) -> None:
    build = sample(RANCH, **{"perches.measured_from": where})
    [words] = [words for _, words in steps_of(build, solve(build))[3].numbers if "flange" in words]
    assert words == f"to {flange_of(build)}"
    assert flange_of(build) == {None: "flange", "wheel_flange": "wheel flange", "housing_flange": "end flange"}[where]


def test_seats_are_let_through_no_farther_apart_than_the_findings_let_them() -> None:
    words = " ".join(one for step in steps_of(*solved("ranch_truck_swap", "inch")) for one in step.ticks)
    assert f"seats within {LIMITS['pad_twist'].clear:.1f}°" in words
