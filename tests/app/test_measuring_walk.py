"""The walk: every measurement has its line, its number and its short words, and what the first ones buy is counted."""

import itertools

import pytest

from app.measuring.entries import Entry
from app.measuring.ladder import ladder, ladder_of
from app.measuring.sections import HEADINGS, contents, flat
from app.measuring.usual import BuildKind, kind_of_build, usual
from app.measuring.walk import (
    FIRST,
    LEFT_OUT,
    MOST_LETTERS,
    SECOND,
    THIRD,
    in_walking_order,
    lines_of,
    number_and_line,
    stops,
)  # fmt: skip
from app.measuring.wanted import next_entry
from geometry import Build, edited, solve
from geometry.document import value_at
from tests.app.sheets import RANCH, SAMPLES, sample

KINDS = [
    BuildKind(axle, suspension, shaft, ("cardan",) * (3 if shaft == "two_piece" else 2))
    for axle, suspension, shaft in itertools.product(("rear", "front"), ("leaf", "links"), ("one_piece", "two_piece"))
]  # type: ignore[arg-type]
every_kind = pytest.mark.parametrize("kind", KINDS, ids=lambda kind: " ".join(kind[:3]))
MEASURED = {"number", "point", "ratios"}
PERCHES = {
    "readings.seat_slope_deg", "axle.perch_spacing_mm", "axle.flange_to_perch_left_mm", "axle.flange_to_perch_right_mm",
    "perches.seat_left_deg", "perches.seat_right_deg",
}  # fmt: skip
"""What an axle on links has not."""
BRACKETS: dict[str, object] = {"shocks": (), "torque_bars": (), "lateral_link": None}


def entries(build: Build) -> list[Entry]:
    """Numeric entries of a build as the form has them."""
    found = {one.path: one for heading in HEADINGS for one in flat(contents(build, heading.key))}
    return [one for one in found.values() if one.kind in MEASURED]


@every_kind
def test_every_numeric_entry_stands_on_one_line_or_is_left_out_with_a_reason(kind: BuildKind) -> None:
    build = usual(kind)
    paths = [path for line in lines_of(build) for path in line.paths]
    assert len(paths) == len(set(paths))
    missing = {
        one.path for one in entries(build)
        if one.path not in paths and not any(f"{one.path}.".startswith(f"{key}.") for key in LEFT_OUT)
    }  # fmt: skip
    assert missing == (PERCHES if kind.suspension == "links" else set())
    assert set(paths) - {one.path for one in entries(build)} == {
        path for line in lines_of(build) if line.choices for path in line.paths
    }


@every_kind
def test_every_line_says_where_the_tool_goes_in_few_letters(kind: BuildKind) -> None:
    for line in lines_of(usual(kind)):
        assert 0 < len(line.short) <= MOST_LETTERS, line
        assert line.title
        assert line.step in {FIRST, SECOND, THIRD, 0}


@every_kind
def test_the_usual_vehicle_of_a_kind_is_of_it_and_whole(kind: BuildKind) -> None:
    """No verdict of it hangs on anything that the card does not ask for."""
    build = usual(kind)
    assert kind_of_build(build) == kind
    for line in lines_of(build):
        assert all(value_at(build, path) is not None for path in line.paths), line
    assert {one.id for one in solve(edited(build, BRACKETS)).findings if one.verdict == "unknown"} == set()


@every_kind
def test_signed_entries_have_words_for_both_ways(kind: BuildKind) -> None:
    for one in entries(usual(kind)):
        found = number_and_line(usual(kind), one.path)
        if found is None or one.kind != "number":
            continue
        can_be_less = value_is_possible(usual(kind), one.path, -1.0)
        assert bool(found[1].ways[0]) == can_be_less, one.path


def value_is_possible(build: Build, path: str, value: float) -> bool:
    try:
        edited(build, {path: value})
    except ValueError:
        return False
    return True


def test_a_rear_axle_on_leaf_springs_with_a_shaft_of_one_piece_is_judged_by_4_15_and_40_values() -> None:
    assert [rung.values for rung in ladder(BuildKind()).rungs] == [4, 15, 40]


@every_kind
def test_each_step_of_the_ladder_is_what_solve_then_says(kind: BuildKind) -> None:
    """Counted here anew: a build of the kind made of nothing but the values of the steps."""
    whole = usual(kind)
    words = {
        "axle.end": kind.axle, "suspension.kind": kind.suspension, "shaft.kind": kind.shaft,
        **({"suspension.rigid": True} if kind.suspension == "links" else {}),
    }  # fmt: skip
    made = edited(Build(), {"suspension": {"kind": kind.suspension}, "shaft": {"kind": kind.shaft}, **words})
    before = 0
    for rung in ladder(kind).rungs:
        values = {
            path: value_at(whole, path) for stop in stops(kind) for line in stop.lines if line.step == rung.step
            for path in line.paths
        }  # fmt: skip
        made = edited(made, values)
        judged = {(one.id, one.part) for one in solve(made).findings if one.verdict != "unknown"}
        assert judged == set(rung.judged)
        assert rung.values == before + len(values)
        before = rung.values
    assert len(ladder(kind).rungs[-1].judged) < ladder(kind).of_all == len(solve(edited(whole, BRACKETS)).findings)


def test_a_build_that_is_measured_is_counted_with_its_own_numbers() -> None:
    """Whether a tube is strong enough can hang on what is still open: of this truck it does, of the usual one not."""
    build = sample(RANCH)
    found = ladder_of(build)
    assert found.own
    made = edited(Build(), {"suspension": {"kind": "leaf"}, "shaft": {"kind": "one_piece"}})
    for rung in found.rungs:
        made = edited(made, {
            path: value_at(build, path) for stop in stops(BuildKind()) for line in stop.lines if line.step == rung.step
            for path in line.paths
        })  # fmt: skip
        assert {(one.id, one.part) for one in solve(made).findings if one.verdict != "unknown"} == set(rung.judged)
    usual_ones = ladder(BuildKind()).rungs
    assert usual_ones[1].judged - found.rungs[1].judged == {("tube_shear", "shaft")}
    assert not ladder_of(edited(build, {"axle.ratio": None})).own


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_numbers_run_through_and_an_entry_is_found_by_its_number(path: object) -> None:
    build = sample(path)  # type: ignore[arg-type]
    lines = lines_of(build)
    for number, line in enumerate(lines, 1):
        for entry in line.paths:
            assert number_and_line(build, entry) == (number, line)
    assert number_and_line(build, "plan.rear_lift_mm") is None
    order = in_walking_order(build)
    assert order[:4] == tuple(path for line in lines if line.step == FIRST for path in line.paths)
    assert sorted(order) == sorted(path for line in lines for path in line.paths)


def test_what_to_measure_next_is_told_in_walking_order_those_in_a_hurry_first() -> None:
    build = edited(Build(), {"suspension": {"kind": "leaf"}, "shaft": {"kind": "one_piece"}})
    seen: list[int] = []
    whole = usual(BuildKind())
    while (entry := next_entry(build, solve(build))) is not None:
        found = number_and_line(build, entry.path)
        if found is None:
            break
        seen.append(found[0] if found[1].step != FIRST else 0)
        assert value_at(build, entry.path) is None
        build = edited(build, {entry.path: value_at(whole, entry.path)})
    assert len(seen) > 20
    assert seen[:2] == [0, 0]
    assert next_entry(whole, solve(whole)) is None
