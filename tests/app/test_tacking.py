"""The tacking sequence on paper: its numbers are the set-points, nothing lies over anything, one page a build."""

from pathlib import Path

import pytest
from pypdf import PdfReader

from app.commands import main
from app.drawing.items import Page
from app.papers.tacking import steps_of, tacking_pages
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
    points = solution.setpoints
    if points.pinion_slope_deg is not None:
        assert show(abs(points.pinion_slope_deg), "deg", build.display) in big
    seat = points.tack_to_pinion_deg if points.tack_to_pinion_deg is not None else points.perch_to_pinion_deg
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
    assert ("of shim under the rear mount" in said) == bool(points.mount_shim_mm)
    assert points.axle_shim_deg or points.mount_shim_mm


def test_seats_are_let_through_no_farther_apart_than_the_findings_let_them() -> None:
    words = " ".join(one for step in steps_of(*solved("ranch_truck_swap", "inch")) for one in step.ticks)
    assert f"seats within {LIMITS['pad_twist'].clear:.1f}°" in words
