"""The best plans: against solving every combination, ranked by hand."""

from itertools import combinations, product
from math import prod

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from geometry import Build, edited, solve, value_at
from geometry.document.sides import swapped
from geometry.words import plans as plans_module
from geometry.words.plans import (
    MOST_CHANGES,
    PLANS,
    PlanFound,
    choices_of,
    plan_words,
    plans,
    plans_in_turns,
    started,
)
from geometry.words.solution import Solution
from geometry.words.solve import Work, solved
from tests.geometry.strategies import WHOLE, builds, sample
from tests.geometry.told_build import deeper

WEDGE, SHIM, LIFT = "plan.axle_shim_deg", "plan.mount_shim_mm", "plan.rear_lift_mm"


def answered(build: Build, changes: dict[str, float]) -> Solution:
    """The whole answer with some changes, without ways out."""
    return solved(Work(edited(build, changes)), with_ways=False)


def rank(
    whole: Solution, bare: Solution, changes: dict[str, float], sizes: dict[str, float], start: dict[str, float]
) -> tuple[float, ...]:
    """What a plan is ranked by but for the margin, worked out from whole answers: its own, and that as it is.

    What is unknown counts as it is without the plan; a clear value that is lost is a caution; a hold made clearly worse
    is one more.
    """
    were = {(one.id, one.part): one.verdict for one in bare.findings}
    told: list[str] = []
    for one in whole.findings:
        was = were.get((one.id, one.part), "unknown")
        if one.verdict != "unknown" or (was == "clear" and one.value is not None):
            told.append(one.verdict)
        else:
            told.append("caution" if was == "clear" else was)
    holds, cautions, unknown = (told.count(word) for word in ("hold", "caution", "unknown"))
    holds += deeper(whole, bare)
    moved = sum(abs(value - start[path]) / sizes[path] for path, value in changes.items())
    return (holds, cautions, unknown, len(changes), round(moved, 9))


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


Ranked = list[tuple[tuple[float, ...], dict[str, float]]]


def by_brute_force(build: Build, ranges: dict[str, list[float]]) -> Ranked:
    """Every combination of at most three changes solved and ranked."""
    start, sizes = start_of(build, ranges)
    bare = answered(build, {})
    # An entry that stays as it is stays unentered; a shim or a lift of nought is none.
    values = {
        path: [None, *(one for one in some if one != value_at(build, path) and (one or path in SET_BY))]
        for path, some in ranges.items()
    }
    made = []
    for some in product(*values.values()):
        changes = {path: value for path, value in zip(values, some, strict=True) if value is not None}
        if len(changes) <= MOST_CHANGES:
            made.append((rank(answered(build, changes), bare, changes, sizes, start), changes))
    return sorted(made, key=lambda one: one[0])


def promised(build: Build, found: tuple[PlanFound, ...], ranges: dict[str, list[float]]) -> tuple[float, ...]:
    """The rank of the first plan; each of them is what the answer to the build with it says."""
    start, sizes = start_of(build, ranges)
    for plan in found:
        answer = answered(build, dict(plan.changes))
        words = [one.verdict for one in answer.findings]
        assert plan.verdict == answer.verdict
        assert [plan.holds, plan.cautions, plan.unknown] == [words.count(w) for w in ("hold", "caution", "unknown")]
        known = {(one.id, one.part) for one in answered(build, {}).findings if one.verdict != "unknown"}
        open_ones = [
            key
            for key, verdict in (((one.id, one.part), one.verdict) for one in answer.findings)
            if verdict in {"hold", "caution"} or (verdict == "unknown" and key in known)
        ]
        assert sorted((one.id, one.part) for one in plan.left) == sorted(open_ones)
        assert [one.verdict for one in plan.left] == sorted(
            [one.verdict for one in plan.left], key=["hold", "caution", "unknown"].index
        )
    first = dict(found[0].changes)
    return rank(answered(build, first), answered(build, {}), first, sizes, start)


@pytest.mark.parametrize("build", WHOLE, ids=range(len(WHOLE)))
def test_no_combination_is_better_than_the_first_plan(build: Build) -> None:
    ranges = {WEDGE: [-3.0, 0.0, 3.0], SHIM: [-20.0, 0.0, 12.0]}
    if value_at(build, "plan.perches") == "loose":
        ranges = {"plan.pinion_slope_deg": [2.0, 5.0], SHIM: [-20.0, 0.0, 12.0]}
    assert promised(build, plans(build, ranges), ranges) == by_brute_force(build, ranges)[0][0]


FOUR = {WEDGE: [-4.0, 2.0], SHIM: [-40.0, 10.0], LIFT: [20.0], "plan.front_lift_mm": [15.0]}


@given(build=builds())
@settings(max_examples=6, deadline=None, suppress_health_check=list(HealthCheck))
def test_of_any_build_no_combination_of_three_changes_is_better(build: Build) -> None:
    if value_at(build, "plan.perches") == "loose" or value_at(build, "plan.mounts") == "loose":
        return
    *_, last = plans_in_turns(build, FOUR)
    brute = by_brute_force(build, FOUR)
    assert last.judged == last.combinations >= len(brute) - 1  # one may be as it is already
    assert promised(build, last.plans, FOUR) == brute[0][0]


@pytest.mark.parametrize("most", [130, 400])
@pytest.mark.parametrize("name", [1, 2])
def test_where_not_all_can_be_judged_nothing_on_the_first_grid_or_a_step_beside_is_better(name: int, most: int) -> None:
    """On all single changes, all sets of three on the least, middle and greatest value, and all neighbours."""
    build = WHOLE[name]
    ranges = {
        WEDGE: [*np.arange(-6.0, 0.0), *np.arange(1.0, 7.0)],
        SHIM: [*np.arange(-42.0, 0.0, 6.0), *np.arange(6.0, 43.0, 6.0)],
        LIFT: [*np.arange(4.0, 45.0, 4.0)],
    }
    now = [value_at(build, path) for path in ranges]
    turns = list(plans_in_turns(build, ranges, most=most))
    last = turns[-1]
    assert (
        last.judged
        <= most
        < last.combinations
        == prod(len(some) + 1 - (one in some) for some, one in zip(ranges.values(), now, strict=True))
    )
    assert [one.ended for one in turns] == [False] * (len(turns) - 1) + [True]
    counts = [(one.plans[0].holds, one.plans[0].cautions) for one in turns]
    assert counts == sorted(counts, reverse=True), "a turn is worse than the one before"
    best, first = promised(build, last.plans, ranges), dict(last.plans[0].changes)
    start, sizes = start_of(build, ranges)
    bare = answered(build, {})
    looked: list[dict[str, float]] = [{path: value} for path, some in ranges.items() for value in some]
    rough = {path: [some[0], some[(len(some) - 1) // 2], some[-1]] for path, some in ranges.items()}
    for size in (2, 3):
        for paths in combinations(ranges, size):
            looked += [dict(zip(paths, some, strict=True)) for some in product(*(rough[path] for path in paths))]
    if most > 130:  # there is room to look about the best
        beside = [
            [ranges[path][place] for place in range(len(ranges[path])) if abs(place - ranges[path].index(value)) <= 1]
            for path, value in first.items()
        ]
        looked += [dict(zip(first, some, strict=True)) for some in product(*beside)]
    worse = [one for one in looked if rank(answered(build, one), bare, one, sizes, start) < best]
    assert worse == []


def test_a_change_that_loses_what_is_known_mends_nothing() -> None:
    """Without mounts a shim leaves every angle unknown: no plan has it, however many findings it takes away."""
    three = edited(
        Build(), {"powertrain.slope_deg": 3.0, "readings.shaft_slope_deg": 8.2, "axle.pinion_slope_deg": 3.0}
    )
    *_, last = plans_in_turns(three, {SHIM: [-5.0, 5.0], "axle.pinion_slope_deg": [3.5]})
    assert last.unjudged == (SHIM,)
    assert last.as_it_is.cautions > 0
    assert all(SHIM not in plan.changes for plan in last.plans)


def test_what_a_plan_loses_is_told_with_what_it_leaves() -> None:
    """A wedge mends what holds, though the clamp was entered without one: that the U-bolts are long enough is lost."""
    van = edited(WHOLE[3], {"axle.pinion_slope_deg": 9.0})
    assert next(one for one in answered(van, {}).findings if one.id == "ubolt_reserve").verdict == "clear"
    *_, last = plans_in_turns(van, {WEDGE: [-5.0, -4.0]})
    assert last.unjudged == (WEDGE,)
    assert last.plans[0].holds < last.as_it_is.holds
    assert last.plans[0].left[-1].id == "ubolt_reserve"
    assert last.plans[0].left[-1].verdict == "unknown"


def test_a_part_of_a_point_that_is_not_entered_starts_at_nought() -> None:
    """The whole engine raised, where its shift is not planned: the plan is that of the build with the whole point."""
    up = "plan.powertrain_shift_mm.1"
    build = edited(WHOLE[1], {"plan.mounts": "loose"})
    *_, last = plans_in_turns(build, {up: [-20.0, 20.0]})
    for plan in last.plans:
        answer = answered(build, started(build, plan.changes))
        assert plan.verdict == answer.verdict
    raised = answered(build, {"plan.powertrain_shift_mm": (0.0, 20.0)})
    assert raised == answered(build, started(build, {up: 20.0}))
    assert plan_words(build, {up: 20.0}) == {up: "raise the whole engine by 13/16 in (20.0 mm)"}
    assert "plan.powertrain_shift_mm" not in started(edited(build, {"plan.powertrain_shift_mm": (1.0, 2.0)}), {up: 9.0})


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({LIFT: 50.8}, "lift the rear by 2.00 in (51 mm) instead of 3.00 in (76 mm)"),
        ({LIFT: 0.0}, "leave the rear as high as it was measured"),
        ({LIFT: -25.4}, "lower the rear by 1.00 in (25 mm)"),
        ({"plan.front_lift_mm": 127.0}, "lift the front by 5.00 in (127 mm) instead of 3.00 in (76 mm)"),
        ({SHIM: -12.7}, "lower the rear mount by 1/2 in (12.7 mm)"),
        ({WEDGE: 1.5}, "at both perches fit 1.5° wedges that raise the pinion's nose"),
        ({"axle.ratio": 4.1}, ""),
    ],
)
def test_each_change_is_told_as_an_order(changes: dict[str, float], says: str) -> None:
    assert plan_words(WHOLE[1], changes) == dict.fromkeys(changes, says)


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
        answer = bare if not plan.changes else answered(build, dict(plan.changes))
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


PINION, OUTPUT, SHAFT = "axle.pinion_slope_deg", "powertrain.slope_deg", "readings.shaft_slope_deg"


@pytest.mark.parametrize(
    ("lines", "ranges", "first"),
    [
        # Ends 6° apart: one of 5.9 in 36 ends it, as do two of 3.1 in 36 and 2.8 in 40, which together are less.
        ((0.0, 6.5, 6.0), {PINION: [0.1, 2.9, -30.0], OUTPUT: [2.8, 40.0]}, {PINION: 0.1}),
        # Needles that stand: 2° more or 4° more of slope make them roll, the wider one with more to spare to 0.5°.
        ((3.0, 3.2, 3.0), {SHAFT: [5.2, 3.8, 6.9]}, {SHAFT: 3.8}),
        # Up or down by as much: a slope of 0.2° is farther from its line at 7° than one of 6.2°.
        ((3.0, 3.2, 3.0), {SHAFT: [6.2, 0.2]}, {SHAFT: 0.2}),
    ],
    ids=["fewest changes", "smallest change", "most margin"],
)  # fmt: skip
def test_of_plans_that_mend_as_much(
    lines: tuple[float, float, float], ranges: dict[str, list[float]], first: dict[str, float]
) -> None:
    build = edited(Build(), dict(zip((OUTPUT, SHAFT, PINION), lines, strict=True)))
    found = plans(build, ranges)
    assert found[0].changes == first
    assert (found[0].holds, found[0].cautions) == (0, 0)
    bare = answered(build, {})
    assert {one.verdict for one in bare.findings} & {"hold", "caution"}


def test_no_more_plans_are_told_than_a_person_reads_and_none_that_only_changes_more() -> None:
    """Five entries make some nine sets of changes that are better than none, and none is another one with more."""
    stroke = "shaft.slip.stroke_mm"
    found = plans(WHOLE[1], {WEDGE: [4.0], SHIM: [-50.8], LIFT: [0.0], "plan.front_lift_mm": [12.7], stroke: [120.0]})
    sets = [set(plan.changes) for plan in found]
    assert len(found) == PLANS
    assert not any(one <= other for place, one in enumerate(sets) for other in sets[place + 1 :])


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


def test_no_change_and_too_many_to_look_at_are_refused() -> None:
    with pytest.raises(ValueError, match="a plan changes some entries"):
        plans(Build(), {})
    two_of_each = {path: [1.0, 2.0] for path in (WEDGE, SHIM, LIFT)}  # 3 · 2 alone, 3 · 4 in pairs, 8 of all three
    with pytest.raises(ValueError, match="at most 25 combinations"):
        plans(Build(), two_of_each, most=25)
    assert plans(Build(), two_of_each, most=26)
    with pytest.raises(KeyError):
        plans(Build(), {"plan.rear_lft_mm": [1.0]})


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


def test_a_plan_that_ends_one_hold_and_drives_others_farther_in_is_no_better() -> None:
    """The front pinion raised, away from the output's slope, once came first: ends 14.2° apart instead of 6.9°.

    Common practice: single joints at both ends want output and pinion parallel; here that is the nose down, which no
    wedge does far enough.
    """
    front = swapped(sample("wagon_both_shafts"))
    [plan] = plans(front, {WEDGE: [-2.0, 3.0, 6.0], SHIM: [-35.0, -20.0]})
    assert plan.changes == {}


# --- choices that are no numbers --------------------------------------------------------------------------------------


def one_piece_van() -> Build:
    """The van with its two-piece shaft made in one, which whirls."""
    return edited(sample("long_van_two_piece"), {"shaft": choices_of(sample("long_van_two_piece"))["shaft"][0]})


@pytest.mark.parametrize("build", [sample("lifted_short_shaft"), one_piece_van()], ids=["hauler", "van"])
def test_what_the_lift_is_by_and_the_pieces_are_searched_as_the_rest_is(build: Build) -> None:
    choices, ranges = choices_of(build), {WEDGE: [-2.0, 2.0, 4.0], SHIM: [-40.0, -20.0]}
    assert set(choices) == {"plan.rear_lift_by", "shaft"}
    *_, found = plans_in_turns(build, ranges, choices=choices)
    assert found.judged == found.combinations
    some = {**ranges, **choices}
    bare, every = answered(build, {}), list[tuple[float, ...]]()
    for size in range(MOST_CHANGES + 1):
        for paths in combinations(some, size):
            for values in product(*(some[path] for path in paths)):
                changes = dict(zip(paths, values, strict=True))
                moved = {path: value for path, value in changes.items() if path in ranges}
                ranked = rank(
                    answered(build, changes), bare, moved, dict.fromkeys(moved, 1.0), start_of(build, ranges)[0]
                )
                every.append((*ranked[:3], len(changes)))
    best = found.plans[0]
    whole = answered(build, started(build, best.changes))
    assert (*rank(whole, bare, {}, {}, {})[:3], len(best.changes)) == min(every)
    for plan in found.plans:
        made = answered(build, started(build, plan.changes))
        words = [one.verdict for one in made.findings]
        assert (words.count("hold"), words.count("caution")) == (plan.holds, plan.cautions)
        assert all(plan_words(build, plan.changes).values())


def test_a_shaft_that_whirls_is_made_in_two_pieces() -> None:
    van = one_piece_van()
    assert any(one.id == "critical_speed" and one.verdict == "hold" for one in answered(van, {}).findings)
    best = plans(van, {WEDGE: [-1.0, 1.0]}, choices=choices_of(van))[0]
    assert best.changes["shaft"]["kind"] == "two_piece"
    assert plan_words(van, best.changes)["shaft"].startswith("make the shaft in two pieces, its support bearing ")
    back = edited(van, started(van, best.changes))
    assert plan_words(back, {"shaft": choices_of(back)["shaft"][0]})["shaft"] == (
        "make the shaft in one piece, of its rear tube"
    )


def test_another_shaft_goes_with_nothing_of_the_one_that_there_is() -> None:
    build = sample("lifted_short_shaft")
    ranges = {"shaft.tube.outer_diameter_mm": [76.2, 88.9], WEDGE: [2.0]}
    *_, found = plans_in_turns(build, ranges, choices={"shaft": choices_of(build)["shaft"]})
    assert found.combinations == 1 + 2 + 1 + 1 + 2 + 1  # as it is; tubes, wedge, shaft; tube and wedge, shaft and wedge


def test_what_a_lift_is_by_is_asked_of_leaf_springs_alone_and_said_with_what_it_was() -> None:
    build = sample("lifted_short_shaft")
    assert choices_of(build)["plan.rear_lift_by"] == ("spring", "shackle")  # lifted by blocks
    assert plan_words(build, {"plan.rear_lift_by": "spring"}) == {
        "plan.rear_lift_by": "lift the rear by springs instead of blocks"
    }
    assert set(choices_of(sample("transfer_case_double_joint"))) == {"shaft"}


def test_a_choice_that_both_shafts_share_is_judged_on_the_other_one_too() -> None:
    both = sample("wagon_both_shafts")
    for path, choice in product((SHIM, WEDGE), choices_of(both)["plan.rear_lift_by"]):
        search = plans_module._Search.of(both, {path: [3.0]}, {"plan.rear_lift_by": (choice,)}, 100)
        search.judge([(0, 0), (0, 1), (1, 1)])
        for row in ((0, 1), (1, 1)):
            (plan,) = (one for _, places, one in search.best.values() if places == row)
            made = edited(both, started(both, plan.changes))
            then, now = (
                {(one.id, one.part): one.verdict for one in answered(swapped(one), {}).findings} for one in (made, both)
            )
            order = ("clear", "unknown", "caution", "hold")
            worse = {key for key in now if key in then and order.index(then[key]) > order.index(now[key])}
            assert worse <= {(one.id, one.part) for one in plan.left if one.end == "front"}


def test_every_other_choice_counts_as_one_whole_change() -> None:
    """None of them is farther from what there is than another, and no choice is made up."""
    choices = choices_of(sample("wagon_both_shafts"))
    search = plans_module._Search.of(sample("wagon_both_shafts"), {SHIM: [3.0]}, choices, 1000)
    told = dict(zip(search.paths, zip(search.values, search.shares, strict=True), strict=True))
    assert len(choices["plan.rear_lift_by"]) == 2
    for path, others in choices.items():
        values, shares = told[path]
        assert values.tolist() == list(range(1 + len(others)))
        assert shares.tolist() == [0.0] + [1.0] * len(others)


def test_a_choice_that_the_build_refuses_is_no_plan() -> None:
    wedged = edited(sample("lifted_short_shaft"), {WEDGE: 2.0})
    search = plans_module._Search.of(wedged, {SHIM: [3.0]}, {"plan.perches": ("loose",)}, 100)
    search.judge([(0, 0), (1, 0), (0, 1)])  # a wedge beside loose perches
    assert set(search.best) == {(), (0,)}


def test_what_is_judged_as_it_is_stays_that_of_the_build_whatever_is_tried_with_it() -> None:
    build = sample("lifted_short_shaft")
    search = plans_module._Search.of(build, {SHIM: [3.0]}, choices_of(build), 100)
    search.judge([(0, 0, 0), (0, 1, 0), (0, 0, 1), (1, 0, 1)])  # all in the first turn
    bare = answered(build, {})
    verdicts = {key: plans_module.WORDS[code] for key, code in search.judged_now.items() if code}
    assert verdicts == {(one.id, one.part): one.verdict for one in bare.findings}
    assert set(search.held_now) == {(one.id, one.part) for one in bare.findings if one.verdict == "hold"}


@pytest.mark.parametrize(
    ("leg_mm", "was", "counts"),
    [(170.0, "clear", (0, 1, -1)), (165.0, "caution", (0, 1, -1)), (150.0, "hold", (0, 0, 0)), (None, "", (0, 0, 0))],
)
def test_what_is_not_known_any_more_counts_as_it_was_and_as_nothing_else(
    leg_mm: float | None, was: str, counts: tuple[int, int, int]
) -> None:
    """U-bolts that no wedge was reckoned with: with one, whether they are long enough is not known.

    Clear before, that is a caution more; a caution stays what it was; and none is an unknown besides. What is too short
    without a wedge is so with it.
    """
    van = edited(WHOLE[3], {"axle.pinion_slope_deg": 9.0, "clamp.leg_mm": leg_mm})
    bare, wedged = (answered(van, changes) for changes in ({}, {WEDGE: -4.0}))
    verdicts = [[one.verdict for one in some.findings if one.id == "ubolt_reserve"] for some in (bare, wedged)]
    assert verdicts == ([[was], ["hold" if was == "hold" else "unknown"]] if was else [[], []])
    search = plans_module._Search.of(van, {WEDGE: [-4.0]}, {}, 100)
    search.judge([(0,), (1,)])
    ranked, _, plan = search.best[0,]
    more = ranked[0] - plan.holds - deeper(wedged, bare), ranked[1] - plan.cautions, ranked[2] - plan.unknown
    assert more == counts
    assert (0 in search.offered) == (was in {"", "hold"})


@pytest.mark.parametrize("most", [200, 500, 2_000, 100_000])
def test_first_as_many_values_of_each_are_looked_at_as_two_fifths_of_all_that_may_be_judged_allow(most: int) -> None:
    """With n values of three entries sets of up to three changes are 3 n + 3 n² + n³; no entry has more than twelve."""
    search = plans_module._Search.of(Build(), {path: np.arange(1.0, 13.0) for path in (WEDGE, SHIM, LIFT)}, {}, most)
    rows = [3 * n + 3 * n**2 + n**3 for n in range(14)]
    room = 0.4 * min(most, 1 + rows[12])
    assert search.combinations == 1 + rows[12]
    assert search.finest == max(n for n in range(2, 13) if n == 2 or rows[n] <= room)
    looked_at = np.round(np.linspace(1.0, 12.0, search.finest))
    assert search._gap() == max(np.diff(looked_at).max(), 1.0)  # about the best it is gone on from as far off as that
    assert search._about(0, 6, 4) == [2, 4, 6, 8, 10]
    assert search._about(0, 2, 4) == [1, 2, 4, 6]
