"""One set of numbers: sheet, drawing, tacking sequence and brackets page never differ, not even by a tenth."""

from dataclasses import replace
from functools import cache

import pytest

from app.drawing.board import Board
from app.drawing.numbers import cells_of
from app.drawing.palette import LIGHT
from app.drawing.subject import Subject
from app.papers.brackets import rows_of
from app.papers.tacking import steps_of
from app.papers.templates import _every
from app.setpoints import TACKED, as_told, recommended, set_points, to_tack
from app.units import degrees
from geometry import Build, Solution, edited, solve
from tests.app.sheets import SAMPLES, sample
from tests.app.test_one_rounding import PLANS

LOOSE = {"plan.perches": "loose", "plan.mounts": "loose", "plan.pinion_slope_deg": 3.4}
CASES = [(path.stem, plan) for path in SAMPLES for plan in (*PLANS, "loose", "weld")]
TURNS = {
    "plan.mount_shim_mm": "output_slope_deg", "plan.powertrain_slope_deg": "output_slope_deg",
    "plan.axle_shim_deg": "pinion_slope_deg", "plan.pinion_slope_deg": "pinion_slope_deg",
}  # fmt: skip


@cache
def solved(name: str, plan: str) -> tuple[Build, Solution]:
    changes = {**PLANS, "loose": LOOSE, "weld": {"perches": {"first_weld": "front", "weld_pull_deg": 0.5}}}[plan]
    build = sample(next(path for path in SAMPLES if path.stem == name), **changes)
    return build, solve(build)


@pytest.mark.parametrize("case", CASES, ids=", ".join)
def test_a_number_is_the_same_wherever_it_is_told(case: tuple[str, str]) -> None:
    build, solution = solved(*case)
    sheet = {one.label: one for one in set_points(build, solution)}
    steps = steps_of(build, solution)
    brackets = {label: plan for label, plan, _ in rows_of(build, solution)}
    drawn = {
        one.name: one.runs[-1][0]
        for one in cells_of(Board(LIGHT), Subject(build, solution, solution))
        if one.name in {"output", "pinion"}
    }
    pinion = sheet["Pinion slope"]
    if pinion.value:
        assert steps[2].numbers == ((pinion.value, pinion.note),)
        assert brackets["Pinion slope"] == f"{pinion.value} {pinion.note}"
        assert drawn.get("pinion", pinion.value) == pinion.value
    output = sheet["Output slope"]
    if output.value:
        assert f"Output slope read again: {output.value} {output.note}" in steps[0].ticks
        assert drawn["output"] == output.value
    seat = sheet.get(TACKED) or sheet.get("Seat to pinion")
    if seat is not None and seat.value and "Seat to pinion" in brackets:
        assert (seat.value, seat.note) in steps[3].numbers
        assert brackets["Seat to pinion"].split(" ")[0] == seat.value
        [template] = [one for one in _every(build, solution) if one.key == "seat_to_pinion"]
        assert f"lie {seat.value}" in template.says[0]


@pytest.mark.parametrize("case", CASES, ids=", ".join)
def test_what_the_remedy_turns_is_told_as_it_is_to_be_set(case: tuple[str, str]) -> None:
    """Its own sentence tells that slope: no page may tell another."""
    build, solution = solved(*case)
    told, remedy = as_told(build, solution), recommended(build, solution)
    for path in () if remedy is None else remedy.changes:
        name = TURNS.get(path)
        slope = None if name is None else getattr(told, name)
        if slope is not None and remedy is not None:
            assert slope == getattr(solution.setpoints, str(name))
            assert degrees(abs(slope)) in remedy.says


def test_even_a_tenth_that_the_remedy_turns_is_marked_to_be_set() -> None:
    build, solution = solved("long_van_two_piece", "as it is")
    assert solution.angles.output_slope_deg == pytest.approx(3.0)
    assert as_told(build, solution).output_slope_deg == 2.9
    output = next(one for one in set_points(build, solution) if one.label == "Output slope")
    assert (output.value, output.now) == ("2.9°", "3.0°")
    cell = next(one for one in cells_of(Board(LIGHT), Subject(build, solution, solution)) if one.name == "output")
    assert [text for text, *_ in cell.runs] == ["3.0°", " → ", "2.9°"]


def test_what_follows_by_less_than_anybody_sets_reads_as_drawn() -> None:
    """The shaft's slope is not turned by itself: it follows."""
    build, solution = solved("transfer_case_double_joint", "a wedge")
    assert solution.setpoints.shaft_slope_deg != solution.measured.shaft_slope_deg
    told = as_told(build, solution)
    assert told.shaft_slope_deg == solution.angles.shaft_slope_deg
    assert told.shaft_slope_deg != solution.setpoints.shaft_slope_deg


def test_seat_to_pinion_is_tacked_with_the_same_pull_whichever_of_both_is_told() -> None:
    build, solution = solved("ranch_truck_swap", "weld")
    seat, tack = solution.setpoints.perch_to_pinion_deg, solution.setpoints.tack_to_pinion_deg
    assert seat is not None
    assert tack is not None
    off = replace(solution, setpoints=replace(solution.setpoints, perch_to_pinion_deg=seat + 0.1,
                                              tack_to_pinion_deg=tack + 0.1))  # fmt: skip
    told = as_told(build, off)
    assert told.perch_to_pinion_deg == seat
    assert to_tack(told) == pytest.approx(tack)
    far = replace(solution, setpoints=replace(solution.setpoints, perch_to_pinion_deg=seat + 1.0,
                                              tack_to_pinion_deg=tack + 1.0))  # fmt: skip
    assert to_tack(as_told(build, far)) == tack + 1.0
    plain = edited(build, {"perches": None})
    assert to_tack(as_told(plain, solve(plain))) == seat
