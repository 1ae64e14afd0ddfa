"""Perches and brackets on paper: the build's numbers, a box for what is not known, nothing over anything."""

from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

from app.commands import main
from app.drawing.items import Page
from app.papers.brackets import bracket_pages, rows_of
from app.setpoints import recommended
from app.sheet.paper import PaperName
from app.units import show
from geometry import edited, solve, value_at
from tests.app.one_page import bold, check_apart, check_within, every_case, solved
from tests.app.sheets import DAY, LONG_NAME, RANCH
from tests.app.test_card import boxes_on, words_on


@pytest.fixture
def page(case: tuple[str, str, PaperName], qapp: object) -> Page:
    """The page of a case."""
    assert qapp
    [page] = bracket_pages(*solved(*case[:2]), case[2], source_name=LONG_NAME, printed_on=DAY)
    return page


@every_case
def test_no_words_lie_over_words_or_the_edge_of_a_box(page: Page) -> None:
    check_apart(page)


@every_case
def test_nothing_leaves_the_margins_and_type_can_be_read(page: Page, case: tuple[str, str, PaperName]) -> None:
    check_within(page, case[2])


@every_case
def test_its_numbers_are_the_builds_and_the_solutions(page: Page, case: tuple[str, str, PaperName]) -> None:
    build, solution = solved(*case[:2])
    remedy = recommended(build, solution)
    if remedy is not None:  # all of the page is of one plan: that of the set-points
        solution = replace(solution, brackets=solve(edited(build, remedy.changes)).brackets)
    bold_texts = [one.text for one in bold(page)]
    for _, plan, _ in rows_of(build, solution):
        assert not plan or any(
            text.removesuffix("…").rstrip() and plan.startswith(text.removesuffix("…")) for text in bold_texts
        )
    for state in () if solution.brackets is None else solution.brackets.shocks[:3]:
        for value in (state.ride_mm, state.least_mm, state.most_mm):
            if value is not None:
                assert show(value, "mm", build.display) in bold_texts
    spacing = solution.setpoints.perch_spacing_mm or value_at(build, "axle.perch_spacing_mm")
    if spacing is not None and case[0] != "transfer_case_double_joint":
        assert any(text.startswith(f"{show(spacing, 'mm', build.display)} perch to perch") for text in bold_texts)


@every_case
def test_what_is_not_known_is_a_box_and_never_a_guess(page: Page, case: tuple[str, str, PaperName]) -> None:
    if case[0] == "empty":
        numbers = [one.text for one in words_on(page) if any(letter.isdigit() for letter in one.text)]
        assert all(
            text.startswith(("500 miles", "9 Mar", "Perches and brackets")) or LONG_NAME[:8] in text for text in numbers
        ), numbers
        assert len(boxes_on(page)) >= 4


def test_links_have_no_perches_on_the_page(qapp: object) -> None:
    assert qapp
    build, solution = solved("transfer_case_double_joint", "inch")
    assert not any("erch" in label for label, _, _ in rows_of(build, solution))


def test_the_command_writes_it(tmp_path: Path) -> None:
    target = tmp_path / "brackets.pdf"
    assert main(["brackets", str(RANCH), "-o", str(target)]) == 0
    [page] = PdfReader(target).pages
    text = " ".join(page.extract_text().split())
    for words in ("Perches and brackets", "perch to perch", "Set and read", "a licensed engineer or local rules"):
        assert words in text
