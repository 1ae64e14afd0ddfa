"""A build over ranges of its entries: every combination is what `solve` says of it, and borders lie where it turns."""

import itertools
from pathlib import Path

import numpy as np
import pytest

from geometry import Build, edited, solve
from geometry.judge.codes import CAUTION, CLEAR, HOLD, UNKNOWN, Judged
from geometry.judge.limits import LIMITS
from geometry.words.study import MOST_ROWS, Band, Stretch, _Judged, in_turns, map_in_turns, over_range, study

SAMPLES = sorted((Path(__file__).parents[2] / "sample_builds").glob("*.json"))
LIFT, WEDGE = "plan.rear_lift_mm", "plan.axle_shim_deg"


def sample(name: str) -> Build:
    return Build.model_validate_json((SAMPLES[0].parent / f"{name}.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_each_combination_is_what_solve_says_of_it(path: Path) -> None:
    build = Build.model_validate_json(path.read_text(encoding="utf-8"))
    tube, slope = "axle.pinion_slope_deg", "powertrain.slope_deg"
    found = study(build, {slope: [2.0, 6.5], tube: [-1.0, 3.0, 9.0]})
    assert found.columns[slope].tolist() == [2.0, 2.0, 2.0, 6.5, 6.5, 6.5]
    for row in range(6):
        whole = solve(edited(build, {path: float(values[row]) for path, values in found.columns.items()}))
        assert found.verdict(row) == whole.verdict
        told = {(one.id, one.part): one for one in whole.findings}
        here = {(one.id, one.part): one.judged for one in found.findings if one.judged.verdict[row]}
        assert set(here) == set(told)
        for key, one in told.items():
            assert ("", "clear", "unknown", "caution", "hold")[here[key].verdict[row]] == one.verdict, key
            if one.value is not None:
                assert here[key].value[row] == pytest.approx(one.value, rel=1e-9, abs=1e-9), key
        counts = [sum(one.verdict == word for one in whole.findings) for word in ("hold", "caution", "unknown")]
        assert [found.count(code)[row] for code in (HOLD, CAUTION, UNKNOWN)] == counts
        decides = found.findings[found.decides[row]]
        assert (decides.id, decides.part) == (whole.findings[0].id, whole.findings[0].part)


def test_a_border_lies_where_solve_turns() -> None:
    build = sample("ranch_truck_swap")
    over = over_range(build, LIFT, 0.0, 150.0)
    step = 150.0 / 200 / 8
    borders = [one.last for one in over.whole[:-1]]
    assert borders
    for border in borders:
        verdicts = {solve(edited(build, {LIFT: border + side})).verdict for side in (-step, step)}
        assert len(verdicts) == 2
    for band in over.bands:
        for one in band.stretches:
            # A narrower stretch is of one value alone, where the range begins: any lift settles, none does not.
            at = (one.first + one.last) / 2.0 if one.last - one.first > step else one.first
            middle = solve(edited(build, {LIFT: at}))
            told = {(each.id, each.part): each.verdict for each in middle.findings}
            assert told.get((band.id, band.part)) == one.verdict


def test_stretches_cover_the_range_without_a_gap() -> None:
    for name in ("ranch_truck_swap", "lifted_short_shaft", "long_van_two_piece"):
        over = over_range(sample(name), LIFT, -50.0, 120.0, steps=60)
        for stretches in (over.whole, *(band.stretches for band in over.bands)):
            assert (stretches[0].first, stretches[-1].last) == (-50.0, 120.0)
            assert all(one.last == after.first for one, after in itertools.pairwise(stretches))
            assert all(one.verdict != after.verdict for one, after in itertools.pairwise(stretches))


def test_the_worst_stands_on_top_and_what_is_clear_throughout_is_counted() -> None:
    build = sample("ranch_truck_swap")
    over = over_range(build, LIFT, 0.0, 150.0)
    starts = [next((one.first for one in band.stretches if one.verdict == "hold"), np.inf) for band in over.bands]
    assert starts == sorted(starts)
    assert len(over.bands) + over.clear + over.partly + over.unknown == len(
        study(build, {LIFT: np.linspace(0.0, 150.0, 201)}).findings
    )


def test_what_decides_is_what_turns_at_the_border() -> None:
    """Ends apart hold on either side, beyond 3° of 3.5°, though the steep shaft warns all over."""
    build = edited(Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8})
    apart, steep = LIMITS["ends_parallel"].trouble, LIMITS["shaft_slope"].trouble
    over = over_range(build, "axle.pinion_slope_deg", -1.0, 30.0, steps=310)
    assert [(round(one.last, 1), one.verdict, one.decides) for one in over.whole] == [
        (0.5, "hold", apart), (6.5, "caution", steep), (15.1, "hold", apart), (20.0, "caution", steep),
        (30.0, "hold", LIMITS["pinion_nose_up"].trouble),
    ]  # fmt: skip


def test_a_whole_of_one_verdict_is_decided_by_what_is_so_for_longest() -> None:
    build = edited(Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8})
    over = over_range(build, "axle.pinion_slope_deg", 7.0, 12.0, steps=4)
    assert over.whole == (Stretch(7.0, 12.0, "hold", LIMITS["ends_parallel"].trouble),)
    assert over_range(Build(), LIFT, 10.0, 50.0, steps=2).whole == (
        Stretch(10.0, 50.0, "unknown", over_range(Build(), LIFT, 10.0, 50.0, steps=2).whole[0].decides),
    )


@pytest.mark.parametrize(("first", "last", "steps"), [(1.0, 1.0, 10), (2.0, 1.0, 10), (0.0, 1.0, 0), (np.nan, 1.0, 1)])
def test_a_range_without_length_is_refused(first: float, last: float, steps: int) -> None:
    with pytest.raises(ValueError, match="from a lower to a higher value"):
        over_range(Build(), LIFT, first, last, steps=steps)


@pytest.mark.parametrize("ranges", [{}, {LIFT: []}, {LIFT: np.zeros(MOST_ROWS // 2), WEDGE: np.zeros(3)}])
def test_too_many_or_no_combinations_are_refused(ranges: dict[str, list[float]]) -> None:
    with pytest.raises(ValueError, match="combinations"):
        study(Build(), ranges)


@pytest.mark.parametrize("steps", [30, 31, 45, 200])
def test_a_range_in_turns_shows_both_its_ends_from_the_first_turn(steps: int) -> None:
    build = edited(
        Build(), {"powertrain.slope_deg": 3.5, "axle.pinion_slope_deg": 3.0, "readings.shaft_slope_deg": 8.0}
    )
    first, *_ = in_turns(build, "readings.shaft_slope_deg", 2.0, 12.0, steps=steps)
    assert (first.whole[0].first, first.whole[-1].last) == (2.0, 12.0)


def test_an_entry_that_there_is_not_is_refused() -> None:
    with pytest.raises(KeyError):
        study(Build(), {"plan.colour": [1.0]})


def test_a_map_is_every_pair_and_its_first_turn_stands_for_the_neighbours() -> None:
    build = sample("ranch_truck_swap")
    turns = list(map_in_turns(build, (WEDGE, -2.0, 4.0), (LIFT, 0.0, 60.0), cells=8))
    assert [one.exact for one in turns] == [False] * (len(turns) - 1) + [True]
    last, whole = turns[-1], study(build, {LIFT: np.linspace(0.0, 60.0, 9), WEDGE: np.linspace(-2.0, 4.0, 9)})
    assert (last.codes == whole.codes.reshape(9, 9)).all()
    assert (turns[0].codes[::4, ::4] == last.codes[::4, ::4]).all()
    assert (turns[0].codes[:4, :4] == turns[0].codes[0, 0]).all()
    for row in range(9):
        for column in range(9):
            decides = whole.findings[whole.decides[row * 9 + column]].title
            assert last.decides[row, column] == ("" if last.codes[row, column] == 1 else decides)


def test_a_map_is_exact_only_once_its_last_row_is_judged() -> None:
    """With 18 cells six rows go in a turn: the third ends at row 17 and leaves one."""
    build = edited(Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8})
    across, up = ("axle.pinion_slope_deg", 2.5, 9.5), ("powertrain.slope_deg", 3.5, 4.5)
    turns = list(map_in_turns(build, across, up, cells=18))
    assert [one.exact for one in turns] == [False] * 4 + [True]


@pytest.mark.parametrize(
    ("across", "up", "cells"),
    [
        ((LIFT, 0.0, 1.0), (LIFT, 0.0, 1.0), 8),
        ((LIFT, 1.0, 1.0), (WEDGE, 0.0, 1.0), 8),
        ((LIFT, 0.0, 1.0), (WEDGE, 2.0, 1.0), 8),
        ((LIFT, 0.0, 1.0), (WEDGE, 0.0, 1.0), 3),
    ],
)
def test_a_map_of_less_than_two_ranges_is_refused(
    across: tuple[str, float, float], up: tuple[str, float, float], cells: int
) -> None:
    with pytest.raises(ValueError, match="two entries"):
        next(map_in_turns(Build(), across, up, cells=cells))


NEW_SPRINGS = {"use.rear_settling_mm": None, "use.rear_least_kg": 0.0}


def test_a_band_at_a_lift_of_nought_alone_is_told_why() -> None:
    """Any lift's springs settle by the usual amount, none at 0: a finding that this turns is judged otherwise at 0."""
    build = edited(sample("ranch_truck_swap"), NEW_SPRINGS)
    over = over_range(build, LIFT, 0.0, 50.0)
    step = 50.0 / 200
    assert any(band.stretches[0].last == 0.0 for band in over.bands)
    assert not any(0.0 < band.stretches[0].last < step for band in over.bands)
    both = over_range(build, LIFT, -50.0, 50.0)
    assert any((one.first, one.last) == (0.0, 0.0) for band in both.bands for one in band.stretches)
    assert "At 0 nothing settles" in over.says
    assert "0.79 in (20 mm)" in over.says
    assert "At 0 nothing settles" in both.says
    for number in (0.0, 1.0):  # the usual amount in the states of the answer itself
        states = solve(edited(build, {LIFT: number})).states
        assert any("settled" in state.name for state in states) == (number != 0.0)


@pytest.mark.parametrize(
    ("changes", "path", "first", "last"),
    [
        ({"use.rear_settling_mm": 10.0}, LIFT, 0.0, 50.0),  # entered: it settles whatever the lift
        ({"plan.rear_lift_by": "block"}, LIFT, 0.0, 50.0),  # no new springs
        ({"state.springs": "new"}, LIFT, 0.0, 50.0),  # they settle at 0 too
        ({}, LIFT, 5.0, 50.0),
        ({}, LIFT, -50.0, -5.0),
        ({}, WEDGE, -2.0, 2.0),
    ],
)
def test_what_does_not_jump_at_nought_is_told_no_reason(
    changes: dict[str, object], path: str, first: float, last: float
) -> None:
    build = edited(sample("ranch_truck_swap"), {**NEW_SPRINGS, **changes})
    assert over_range(build, path, first, last, steps=40).says == ""


def test_what_is_bad_anywhere_is_named_by_its_trouble_and_clear_ground_is_decided_by_nothing() -> None:
    """From plain numbers: clear up to 2 of 4, then warned of; and a whole that is clear has nothing that decides it."""
    values, codes = np.arange(5.0), np.array([CLEAR, CLEAR, CLEAR, CAUTION, CAUTION])
    steep, quiet = (Judged(values, values, values, verdict) for verdict in (codes, np.full(5, CLEAR)))
    found = {("shaft_slope", "shaft"): steep, ("tube_shear", "shaft"): quiet}
    told = _Judged(values, found).told(Build(), "axle.pinion_slope_deg")
    assert [(one.first, one.last, one.verdict, one.decides) for one in told.whole] == [
        (0.0, 2.5, "clear", ""), (2.5, 4.0, "caution", LIMITS["shaft_slope"].trouble),
    ]  # fmt: skip
    [band] = told.bands
    assert (band.title, band.bad, told.clear) == (LIMITS["shaft_slope"].trouble, True, 1)
    assert not Band("tube_shear", "shaft", "", told.whole[:1]).bad


@pytest.mark.parametrize(
    ("steep", "weak", "decides"),
    [
        ("13314", "13333", ["", "tube_shear", "shaft_slope"]),  # both where it begins: the one that lasts
        ("11333311", "11133111", ["", "shaft_slope", ""]),
        ("1113333", "1133311", ["", "tube_shear"]),  # where it borders on what is better, not what is so for longest
        ("3333311", "1133331", ["tube_shear", ""]),
        ("3331", "4411", ["tube_shear", "shaft_slope", ""]),
        ("3311333", "3333333", ["tube_shear"]),
        ("4411334", "4333333", ["shaft_slope", "tube_shear", "shaft_slope"]),  # on no side is it better
    ],
)
def test_a_stretch_is_decided_where_it_borders_on_a_better_one(steep: str, weak: str, decides: list[str]) -> None:
    """From plain verdicts, 1 clear, 3 caution, 4 hold, at each of some values."""
    values = np.arange(float(len(steep)))
    found = {
        (name, "shaft"): Judged(values, values, values, np.array(list(map(int, codes)), np.uint8))
        for name, codes in (("shaft_slope", steep), ("tube_shear", weak))
    }
    told = _Judged(values, found).told(Build(), "axle.pinion_slope_deg")
    titles = {LIMITS[name].trouble: name for name in ("shaft_slope", "tube_shear")}
    assert [titles.get(one.decides, "") for one in told.whole] == decides
