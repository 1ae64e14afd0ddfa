"""The best plans: against solving every combination, ranked by hand."""

from itertools import product

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from geometry import Build, edited, solve, value_at
from geometry.words.plans import MOST_CHANGES, PLANS, plans
from geometry.words.solution import Solution
from tests.geometry.strategies import WHOLE, builds

WEDGE, SHIM, LIFT = "plan.axle_shim_deg", "plan.mount_shim_mm", "plan.rear_lift_mm"


def rank(
    whole: Solution, changes: dict[str, float], sizes: dict[str, float], start: dict[str, float]
) -> tuple[float, ...]:
    """What a plan is ranked by but for the margin, worked out from a whole answer."""
    counts = [sum(one.verdict == word for one in whole.findings) for word in ("hold", "caution", "unknown")]
    moved = sum(abs(value - start[path]) / sizes[path] for path, value in changes.items())
    return (*counts, len(changes), round(moved, 9))


SET_BY = {"plan.pinion_slope_deg": "axle.pinion_slope_deg"}


def start_of(build: Build, ranges: dict[str, list[float]]) -> tuple[dict[str, float], dict[str, float]]:
    """Where a change of each entry is counted from, and how wide each range is."""
    start = {}
    for path in ranges:
        now = value_at(build, path)
        if now is None and path in SET_BY:
            now = value_at(build, SET_BY[path])
        start[path] = float(now or 0.0)
    return start, {path: max(*some, start[path]) - min(*some, start[path]) for path, some in ranges.items()}


def by_brute_force(build: Build, ranges: dict[str, list[float]]) -> list[tuple[tuple[float, ...], dict[str, float]]]:
    """Every combination solved and ranked."""
    start, sizes = start_of(build, ranges)
    # An entry that stays as it is stays unentered; a shim or a lift of nought is none.
    values = {
        path: [None, *(one for one in some if one != value_at(build, path) and (one or path in SET_BY))]
        for path, some in ranges.items()
    }
    made = []
    for some in product(*values.values()):
        changes = {path: value for path, value in zip(values, some, strict=True) if value is not None}
        made.append((rank(solve(edited(build, changes)), changes, sizes, start), changes))
    return sorted(made, key=lambda one: one[0])


@pytest.mark.parametrize("build", WHOLE, ids=range(len(WHOLE)))
def test_no_combination_is_better_than_the_first_plan(build: Build) -> None:
    ranges = {WEDGE: [-3.0, 0.0, 3.0], SHIM: [-20.0, 0.0, 12.0]}
    if value_at(build, "plan.perches") == "loose":
        ranges = {"plan.pinion_slope_deg": [2.0, 5.0], SHIM: [-20.0, 0.0, 12.0]}
    brute = by_brute_force(build, ranges)
    found = plans(build, ranges)
    whole = solve(edited(build, found[0].changes))
    start, sizes = start_of(build, ranges)
    assert rank(whole, dict(found[0].changes), sizes, start) == brute[0][0]
    for plan in found:
        answer = solve(edited(build, plan.changes))
        assert plan.verdict == answer.verdict
        assert [plan.holds, plan.cautions, plan.unknown] == [
            sum(one.verdict == word for one in answer.findings) for word in ("hold", "caution", "unknown")
        ]
        open_ones = [(one.id, one.part) for one in answer.findings if one.verdict in {"hold", "caution"}]
        assert sorted((one.id, one.part) for one in plan.left) == sorted(open_ones)
        assert [one.verdict for one in plan.left] == sorted(
            (one.verdict for one in plan.left), key=lambda one: one != "hold"
        )


@given(build=builds())
@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
def test_the_same_on_any_build(build: Build) -> None:
    if value_at(build, "plan.perches") == "loose" or value_at(build, "plan.mounts") == "loose":
        return
    ranges = {SHIM: [-10.0, 10.0]}
    found, brute = plans(build, ranges), by_brute_force(build, ranges)
    whole = solve(edited(build, found[0].changes))
    start, sizes = start_of(build, ranges)
    assert rank(whole, dict(found[0].changes), sizes, start) == brute[0][0]


@pytest.mark.parametrize(("path", "loose"), [
    ("plan.pinion_slope_deg", {"plan.perches": "loose"}), ("plan.powertrain_slope_deg", {"plan.mounts": "loose"}),
    ("axle.pinion_slope_deg", {}), ("axle.ratio", {}), ("gauge.angle_uncertainty_deg", {}), (WEDGE, {}), (LIFT, {}),
])  # fmt: skip
def test_what_is_left_as_it_is_stays_unentered(path: str, loose: dict[str, object]) -> None:
    """Of an entry that is not there the plan without any change is the build itself, and nought is not."""
    build = edited(WHOLE[0], {"plan": None, **loose, path: None})
    value = {"axle.ratio": 3.9, LIFT: 400.0, WEDGE: 20.0}.get(path, 30.0)
    bare = solve(build)
    for plan in plans(build, {path: [value, value + 1.0]}):
        answer = bare if not plan.changes else solve(edited(build, plan.changes))
        assert plan.verdict == answer.verdict
        counts = [sum(one.verdict == word for one in answer.findings) for word in ("hold", "caution", "unknown")]
        assert [plan.holds, plan.cautions, plan.unknown] == counts


def test_nought_of_a_slope_that_is_set_is_a_change_and_of_a_shim_is_none() -> None:
    three = edited(
        Build(), {"powertrain.slope_deg": 0.2, "readings.shaft_slope_deg": 6.0, "axle.pinion_slope_deg": 5.0,
                  "plan.perches": "loose"}
    )  # fmt: skip
    best = plans(three, {"plan.pinion_slope_deg": [0.0, 3.0], SHIM: [0.0]})
    assert [plan.changes for plan in best] == [{"plan.pinion_slope_deg": 0.0}]


def test_each_plan_changes_another_set_and_all_are_better_than_none() -> None:
    build = WHOLE[0]
    found = plans(build, {WEDGE: np.arange(-4.0, 4.5, 1.0), SHIM: [-10.0, 10.0], LIFT: [0.0, 20.0]})
    sets = [frozenset(plan.changes) for plan in found]
    assert len(set(sets)) == len(sets) <= PLANS
    bare = solve(build)
    holds = sum(one.verdict == "hold" for one in bare.findings)
    cautions = sum(one.verdict == "caution" for one in bare.findings)
    assert all((plan.holds, plan.cautions) <= (holds, cautions) for plan in found)


def test_no_more_plans_are_told_than_a_person_reads() -> None:
    """Three entries make seven sets of changes."""
    build = edited(WHOLE[0], {"plan": None, "powertrain.slope_deg": 12.0})
    found = plans(build, {WEDGE: [-3.0, 3.0], SHIM: [12.0, 30.0], "axle.pinion_slope_deg": [9.0, 11.0, 12.0]})
    assert len(found) == PLANS


def test_where_nothing_is_better_that_is_said() -> None:
    build = edited(
        Build(), {"powertrain.slope_deg": 3.0, "readings.shaft_slope_deg": 6.0, "axle.pinion_slope_deg": 3.0}
    )
    [plan] = plans(build, {"axle.pinion_slope_deg": [9.0, -3.0]})
    assert plan.changes == {}
    assert plan.left == ()


def test_the_margin_is_the_share_that_the_nearest_line_is_away() -> None:
    """Ends apart by 0.4° of 1° and a slope of 6° of 7°: the slope's line is the nearer, 1/7 away."""
    build = edited(
        Build(), {"powertrain.slope_deg": 3.0, "readings.shaft_slope_deg": 6.0, "axle.pinion_slope_deg": 12.0}
    )
    plan = plans(build, {"axle.pinion_slope_deg": [3.4]})[0]
    assert plan.changes == {"axle.pinion_slope_deg": 3.4}
    assert plan.margin == pytest.approx(1.0 / 7.0)


@pytest.mark.parametrize("count", [0, MOST_CHANGES + 1])
def test_no_change_and_too_many_are_refused(count: int) -> None:
    paths = [WEDGE, SHIM, LIFT, "plan.front_lift_mm"][:count]
    with pytest.raises(ValueError, match="a plan has 1 to 3 changes"):
        plans(Build(), {path: [1.0] for path in paths})


def test_a_change_at_the_end_of_its_range_is_told_as_that() -> None:
    """The ends are in line at 3°: a range that goes beyond has it inside, one that ends before has it at its end."""
    build = edited(
        Build(), {"powertrain.slope_deg": 3.0, "readings.shaft_slope_deg": 6.0, "axle.pinion_slope_deg": 9.0}
    )
    path = "axle.pinion_slope_deg"
    inside, most, least = (plans(build, {path: some})[0] for some in ([1.0, 3.0, 5.0], [0.0, 2.0], [4.0, 20.0]))
    assert (inside.changes, inside.at_edge) == ({path: 3.0}, ())
    assert (most.changes, most.at_edge) == ({path: 2.0}, (path,))
    assert (least.changes, least.at_edge) == ({path: 4.0}, (path,))
    assert plans(build, {path: [20.0, 30.0]})[0].at_edge == ()  # left as it is
