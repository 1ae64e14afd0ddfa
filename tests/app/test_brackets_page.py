"""Perches and brackets on paper: the build's numbers, a box for what is not known, nothing over anything."""

import itertools
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from pypdf import PdfReader

from app.commands import main
from app.drawing.items import Page, Words
from app.papers.brackets import bracket_pages, rows_of
from app.setpoints import recommended
from app.sheet.paper import SIZES, PaperName, frame_of
from app.units import show
from geometry import Build, Solution, edited, solve, value_at
from tests.app.sheets import DAY, LONG_NAME, PAPERS, RANCH, SAMPLES, UNITS, box_of, sample
from tests.app.test_card import SMALLEST_PT, boxes_on, clash, words_on

CASES = [
    *((path.stem, unit, paper) for path in SAMPLES for unit in UNITS for paper in PAPERS),
    *(("empty", unit, paper) for unit in UNITS for paper in PAPERS),
    ("long title", "inch", "letter"),
]
every_case = pytest.mark.parametrize("case", CASES, ids=", ".join)


@cache
def solved(name: str, unit: str) -> tuple[Build, Solution]:
    found = [path for path in SAMPLES if path.stem == name]
    units = UNITS[unit]
    if name == "empty":
        build = edited(Build(), units)
    elif name == "long title":
        build = sample(RANCH, title="W" * 200)
    else:
        build = sample(found[0], **units)
    return build, solve(build)


@pytest.fixture
def page(case: tuple[str, str, PaperName], qapp: object) -> Page:
    """The page of a case."""
    assert qapp
    [page] = bracket_pages(*solved(*case[:2]), case[2], source_name=LONG_NAME, printed_on=DAY)
    return page


def bold(page: Page) -> Iterator[Words]:
    return (one for one in words_on(page) if one.bold)


@every_case
def test_no_words_lie_over_words_or_the_edge_of_a_box(page: Page) -> None:
    words = [(box_of(item), item.text) for item in words_on(page)]
    for (box, text), (other, second) in itertools.combinations(words, 2):
        assert not clash(box, other), (text, second)
    for box, text in words:
        for edge in boxes_on(page):
            within = edge[0] <= box[0] and box[2] <= edge[2] and edge[1] <= box[1] + 1.0 and box[3] <= edge[3] + 1.5
            assert within or not clash(box, edge), text


@every_case
def test_nothing_leaves_the_margins_and_type_can_be_read(page: Page, case: tuple[str, str, PaperName]) -> None:
    frame = frame_of(SIZES[case[2]])
    for layer in page.layers:
        for item in layer.items:
            left, top, right, bottom = box_of(item)
            assert left >= frame.left - 2.0
            assert top >= frame.top - 2.0
            assert right <= frame.right + 2.0
            assert bottom <= frame.bottom + 2.0
    assert all(words.pt >= SMALLEST_PT for words in words_on(page))


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
