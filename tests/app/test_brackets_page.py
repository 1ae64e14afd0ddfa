"""Perches and brackets on paper: the build's numbers, a box for what is not known, nothing over anything."""

from dataclasses import replace
from math import atan2, degrees
from pathlib import Path

import pytest
from pypdf import PdfReader

from app.commands import main
from app.drawing.board import Board
from app.drawing.items import Page, Words
from app.files import read_build
from app.papers.behind import draw_behind
from app.papers.brackets import bracket_pages, rows_of
from app.setpoints import FLANGES, TACKED, set_points, to_perches
from app.sheet.flow import PAPER
from app.sheet.paper import PaperName
from app.units import show
from geometry import Build, edited, solve, value_at
from tests.app.drawing.drawn import SAMPLES
from tests.app.one_page import bold, check_apart, check_within, every_case, solved
from tests.app.sheets import DAY, LONG_NAME, RANCH, sample
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
    bold_texts = [one.text for one in bold(page)]
    for _, plan, _ in rows_of(build, solution):
        assert not plan or any(
            text.removesuffix("…").rstrip() and plan.startswith(text.removesuffix("…")) for text in bold_texts
        )
    for state in () if solution.brackets is None else solution.brackets.shocks[:3]:
        for value in (state.ride_mm, state.least_mm, state.most_mm):
            if value is not None:
                assert show(value, "mm", build.display) in bold_texts
    spacing = solution.setpoints.perch_spacing_mm
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


@every_case
def test_its_rows_are_those_of_the_sheet(case: tuple[str, str, PaperName]) -> None:
    build, solution = solved(*case[:2])
    told = {one.label: one for one in set_points(build, solution)}
    rows = {label: plan for label, plan, _ in rows_of(build, solution)}
    flange = to_perches(build)
    named = {
        "Pinion slope": ["Pinion slope"], "Perch to perch": ["Perch to perch"], flange.removesuffix("es"): [flange],
        "Seat to pinion": [TACKED, "Seat to pinion"],
        "Lateral link, bolt to bolt": ["Link that centres", "Lateral link"],
    }  # fmt: skip
    for label, names in named.items():
        if label in rows:
            point = next((told[name] for name in names if name in told), None)
            assert rows[label].startswith("" if point is None else point.value)
            assert bool(rows[label]) == bool(point is not None and point.value)


@every_case
def test_what_has_no_room_is_counted(page: Page, case: tuple[str, str, PaperName]) -> None:
    build, _ = solved(*case[:2])
    text = " ".join(one.text for one in words_on(page))
    said = [
        f"{more} more: see the findings" for more in (len(build.torque_bars) - 2, len(build.shocks) - 3) if more > 0
    ]
    assert text.count("more: see the findings") == len(said)
    assert all(one in text for one in said)
    assert len(said) == (2 if case[0] == "many brackets" else 0)


@every_case
def test_a_bars_curve_has_its_value_at_both_ends(page: Page, case: tuple[str, str, PaperName]) -> None:
    build, solution = solved(*case[:2])
    bars = () if solution.brackets is None else solution.brackets.torque_bars[:2]
    texts = [one.text for one in words_on(page)]
    for one in bars:
        for apart in (one.apart_mm[0], one.apart_mm[-1]):
            assert apart is not None
            way = "farther" if apart > 0.0 else "nearer"
            assert f"{show(abs(apart), 'mm', build.display)} {way}" in texts
    assert bool(bars) == (case[0] in {"lifted_short_shaft", "long_van_two_piece", "many brackets", "front"})


@pytest.mark.parametrize("where", ["flange", "wheel flange", "end flange"])
def test_the_flange_is_called_as_on_the_sheet(where: str, qapp: object) -> None:
    assert qapp
    entered = {words: key for key, words in FLANGES.items()}[where]
    build = sample(RANCH, **{"perches.measured_from": entered})
    solution = solve(build)
    [page] = bracket_pages(build, solution)
    texts = [one.text for one in words_on(page)]
    assert texts.count(where) == 2
    assert f"{where[:1].upper()}{where[1:]} to perch" in texts
    assert f"{where[:1].upper()}{where[1:]} to perches" in {one.label for one in set_points(build, solution)}


@pytest.mark.parametrize(
    ("pinion_mm", "words"),
    [(15.0, "pinion 0.59 in right of the middle"), (-15.0, "pinion 0.59 in left of the middle"),
     (0.2, "pinion in the middle")],
)  # fmt: skip
def test_where_the_pinion_lies_across(pinion_mm: float, words: str, qapp: object) -> None:
    assert qapp
    solution = replace(solve(sample(RANCH)), findings=())
    [page] = bracket_pages(
        sample(RANCH), replace(solution, setpoints=replace(solution.setpoints, pinion_aside_mm=pinion_mm))
    )
    assert words in [one.text for one in words_on(page)]


def written(build: Build) -> list[Words]:
    [page] = bracket_pages(build, solve(build))
    return words_on(page)


def test_a_bar_over_the_axle_is_told_so_and_wants_no_float_where_its_bushes_do(qapp: object) -> None:
    """The short hauler's bar passes 135 mm over the axle and asks for 1.4 mm, less than the 3.2 mm that bushes give."""
    assert qapp
    texts = [one.text for one in written(read_build(SAMPLES["lifted_short_shaft"]))]
    assert "Passes above the axle" in texts
    assert "Passes below the axle" not in texts
    assert not any(text.startswith("−") for text in texts)
    assert texts[texts.index("Float wanted") + 1] == "none"
    under = [one.text for one in written(read_build(SAMPLES["long_van_two_piece"]))]
    assert under.count("Passes below the axle") == 2


def test_each_shock_has_its_own_number_on_its_own_side(qapp: object) -> None:
    """Left plumb, right leaning by atan(100 over 562), by hand."""
    assert qapp
    build = read_build(SAMPLES["transfer_case_double_joint"])
    build = edited(build, {"shocks.0.frame_point_mm": (2740.0, -470.0, 912.0),
                           "shocks.1.frame_point_mm": (2740.0, 370.0, 912.0)})  # fmt: skip
    words = written(build)
    captions = sorted(one.x for one in words if one.text == "shock off plumb")
    told = {one.text: one.x for one in words if one.text in {"0.0°", "10.1°"}}
    middle = (captions[0] + captions[1]) / 2.0
    assert len(captions) == 2
    assert told["0.0°"] < middle < told["10.1°"]


def test_the_page_draws_brackets_where_they_are_after_the_plan(qapp: object) -> None:
    """The forest rig's link lies level as measured, and slopes by asin(50.8/660) once it is lifted, by hand 4.4°."""
    assert qapp
    rig = read_build(SAMPLES["front_axle_lift"])
    frame, axle = (value_at(rig, f"lateral_link.{end}_point_mm") for end in ("frame", "axle"))
    assert frame[2] == axle[2]
    solution = solve(rig)
    places = draw_behind(Board(PAPER), (0.0, 0.0, 700.0, 400.0), rig, solution.picture)
    (left, high), (right, low) = places["link frame"], places["link axle"]
    assert degrees(atan2(low - high, right - left)) == pytest.approx(4.4, abs=0.05)
    texts = [one.text for one in written(rig)]
    assert "lateral link 4.4°, left end higher" in texts
    assert "drag link 3.9°, left end higher" in texts
    link_mm = solution.setpoints.lateral_link_mm
    assert link_mm is not None
    plan = {label: plan for label, plan, _ in rows_of(rig, solution)}
    assert plan["Lateral link, bolt to bolt"] == show(
        solution.setpoints.lateral_link_mm, "mm", rig.display
    )  # which nobody has to make anew


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
