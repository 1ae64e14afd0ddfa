"""Two drivelines in one vehicle: either seen as if it were the only one, what is shared, and front against rear.

That front and rear shaft, locked together, may turn at most 1 per cent apart on a hard road, and that a tyre rolls on a
radius 2 to 4 per cent more than its loaded one, is common practice (from memory); the ratio is plain arithmetic.
"""

import json
import math
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from pydantic import ValidationError

from geometry import Build, Solution, edited, solve
from geometry.document.beside import going_on, keeping, kept
from geometry.document.entries import numeric_paths, variants
from geometry.document.sides import changes_swapped, driveline, end_of, path_swapped, swapped, unplanned, with_driveline
from geometry.judge.both import Apart
from geometry.judge.states import mm_per_kg_of
from geometry.mechanics.vectors import number
from geometry.words.both import says_beside, solve_whole, worse_of
from geometry.words.plans import _Search
from geometry.words.solution import Finding
from geometry.words.solve import Work, solved
from geometry.words.sure import sure
from tests.geometry.strategies import HURRY, fourfold, joined, sample

REAR, FRONT = sample("ranch_truck_swap"), sample("front_axle_lift")
BOTH = joined(edited(REAR, {"vehicle.front_tyre_radius_mm": 390.0}), FRONT)
SLOW = settings(max_examples=6, suppress_health_check=list(HealthCheck))
SECOND = {"axle": {"end": "front"}}
EMPTY = edited(Build(), HURRY | {"drivelines": (SECOND,)})


def found(build: Build, name: str) -> Finding:
    return next(one for one in solve(build).findings if one.id == name)


def told(solution: Solution) -> dict[tuple[str, str], tuple[Any, ...]]:
    """All findings but front against rear, without their ways out."""
    return {
        (one.id, one.part): (one.verdict, one.value, one.limit, one.says.partition(" No change")[0], one.state)
        for one in solution.findings
        if one.id != "front_against_rear"
    }


# --- the document ---------------------------------------------------------------------------------------------------


@given(build=fourfold(holes=2))
@SLOW
def test_seen_from_the_other_and_back_it_is_the_same(build: Build) -> None:
    other = swapped(build)
    assert end_of(other) != end_of(build)
    assert swapped(other) == build
    assert Build.model_validate(other.model_dump()) == other
    assert driveline(build, 1) == other
    assert driveline(build, 0) is build
    assert {(one.end, one.solution.verdict, one.solution.says) for one in solve_whole(build).drivelines} == {
        (one.end, one.solution.verdict, one.solution.says) for one in solve_whole(other).drivelines
    }


@given(build=fourfold(holes=2))
@SLOW
def test_an_edit_of_what_is_seen_is_an_edit_of_the_whole(build: Build) -> None:
    """What is the driveline's own leaves the other alone; what is shared is the same in both."""
    seen = edited(swapped(build), {"powertrain.slope_deg": 1.25, "axle.ratio": 3.9, "plan.rear_lift_mm": 12.0})
    whole = swapped(seen)
    assert (whole.drivelines[0].output.slope_deg, whole.drivelines[0].axle.ratio) == (1.25, 3.9)
    assert whole.plan.rear_lift_mm == 12.0
    assert edited(whole, {"drivelines": (), "plan": None}) == edited(build, {"drivelines": (), "plan": None})
    paths = {"drivelines.0.output.slope_deg": 1.25, "drivelines.0.axle.ratio": 3.9, "plan.rear_lift_mm": 12.0}
    assert edited(build, paths) == whole
    assert edited(swapped(build), {path_swapped(path): value for path, value in paths.items()}) == seen


def test_a_kept_plan_is_the_same_seen_from_either_shaft() -> None:
    """What is kept of one shaft stays that shaft's, what is shared is in both; a plan without an entry is no plan."""
    held = edited(BOTH, keeping(BOTH, "low") | {"plan.rear_lift_mm": 60.0, "plan.axle_shim_deg": 2.0})
    other = swapped(held)
    assert Build.model_validate(other.model_dump()) == other
    assert other.variants[0].name == "low"
    for seen in (held, other):
        assert solve(seen).angles != solve(kept(seen, 0)).angles
        there = swapped(kept(swapped(seen), 0))
        assert solve(kept(seen, 0)).findings == solve(there).findings
        gone = edited(seen, going_on(seen, 0, "high"))
        assert solve(gone).findings == solve(kept(seen, 0)).findings
        assert solve(kept(gone, 0)).findings == solve(seen).findings


@pytest.mark.parametrize("slopes", [(5.0, None), (None, None)])
def test_a_kept_plan_has_one_slope_for_the_engine_whichever_output_is_set_later(slopes: tuple[Any, Any]) -> None:
    """It refused the edit, or let a slope chosen later for the other output turn the engine of the kept plan."""
    names = "plan.powertrain_slope_deg", "drivelines.0.plan.powertrain_slope_deg"
    build = edited(LOOSE, dict(zip(names, slopes, strict=True)))
    for seen in (build, swapped(build)):
        two = edited(seen, keeping(seen, "kept"))
        for name in names:
            assert swapped(kept(edited(two, {name: 3.0}), 0)) == swapped(seen)
    alone = edited(edited(build, keeping(build, "kept")), {"drivelines": ()})
    assert kept(alone, 0).drivelines == ()


def test_an_edit_is_not_refused_for_a_kept_plan_that_it_contradicts() -> None:
    """Kept with the axle at the front; then a front driveline is added: the kept plan stays as it was, without one."""
    front = edited(Build(), {"variants": ({"name": "front", "changes": {"axle.end": "front", "plan": None}},)})
    both = edited(front, {"drivelines": (SECOND,)})
    assert kept(both, 0) == edited(Build(), {"axle.end": "front"})


def test_a_plan_kept_and_gone_on_with_on_the_other_shaft_holds_no_measurement_of_it() -> None:
    """It held all of `drivelines`, so that what was measured anew of that shaft was not measured in it."""
    seen = swapped(BOTH)
    seen = edited(seen, keeping(seen, "low") | {"plan.axle_shim_deg": 2.0, "shaft.tube.outer_diameter_mm": 88.9})
    both = swapped(edited(seen, going_on(seen, 0, "high")))
    on = edited(both, going_on(both, 0, "low"))
    for build in (both, on):
        (one,) = build.variants
        assert "drivelines" not in one.changes
        anew = {"drivelines.0.axle.pinion_slope_deg": 4.75, "drivelines.0.output.slope_deg": 1.75}
        assert kept(edited(build, anew), 0) == edited(kept(build, 0), anew)
    high = edited(BOTH, {"drivelines.0.plan.axle_shim_deg": 2.0, "drivelines.0.shaft.tube.outer_diameter_mm": 88.9})
    assert (swapped(kept(both, 0)), swapped(kept(on, 0))) == (swapped(high), swapped(BOTH))
    assert swapped(on.model_copy(update={"variants": ()})) == swapped(high)


@given(build=fourfold())
@SLOW
def test_either_is_judged_as_if_it_were_the_only_one(build: Build) -> None:
    """With a low range, as no output is then taken to lie in line with the crankshaft, of one driveline or of two."""
    build = edited(build, {"powertrain.low_range": 2.5})
    for seen in (build, swapped(build)):
        alone = edited(seen, {"drivelines": ()})
        turned_by_other = seen.drivelines[0].plan is not None and seen.drivelines[0].plan.powertrain_slope_deg
        if turned_by_other is not None and seen.plan is not None and seen.plan.mounts == "loose":
            continue
        assert told(solved(Work(seen), with_ways=False)) == told(solved(Work(alone), with_ways=False))


@given(build=fourfold())
@SLOW
def test_edits_change_places_with_the_drivelines(build: Build) -> None:
    """Single entries, own and shared, and whole sections of which some belongs to each."""
    plan = {"rear_lift_mm": 20.0, "axle_shim_deg": 1.0, "mounts": "fixed", "front_lift_by": "block"}
    state = {"taped_load_kg": 40.0, "rear_load_kg": 10.0}
    for changes in (
        {"plan": plan, "axle.ratio": 4.2, "vehicle.wheelbase_mm": 2700.0},
        {"plan": None, "state": state, "shaft": build.drivelines[0].shaft},
        {"drivelines.0.plan": {"pinion_adapter_mm": 12.0}, "drivelines.0.wheels": {"taped_load_kg": 5.0}},
        {"powertrain": build.powertrain, "drivelines.0.output": None, "readings": None, "drivelines.0.drive": None},
    ):
        there = edited(swapped(build), changes_swapped(changes))
        assert swapped(there) == swapped(swapped(edited(build, changes)))


def test_every_entry_of_the_second_is_one_of_the_first() -> None:
    known = numeric_paths()
    for path in known:
        if path.startswith("drivelines.*."):
            there = path_swapped(path.replace("*", "0", 1))
            assert there in known
            assert path_swapped(there).replace("0", "*", 1) == path


def test_the_second_is_at_the_other_end_and_there_is_only_one() -> None:
    with pytest.raises(
        ValidationError, match=r"drivelines.0.axle.end: must be front, as the first driveline is the rear"
    ):
        edited(Build(), {"drivelines": ({},)})
    with pytest.raises(ValidationError, match=r"drivelines.0.axle.end: must be rear"):
        edited(Build(), {"axle.end": "front", "drivelines": (SECOND,)})
    with pytest.raises(ValidationError, match="at most 1 item"):
        edited(Build(), {"drivelines": (SECOND, SECOND)})
    assert end_of(swapped(edited(FRONT, with_driveline(FRONT)))) == "rear"
    with pytest.raises(IndexError):
        driveline(Build(), 1)
    assert swapped(FRONT) is FRONT


def test_perches_of_either_are_turned_one_way() -> None:
    with pytest.raises(ValidationError, match="axle_shim_deg: must be 0 where the perches are loose"):
        edited(EMPTY, {"drivelines.0.plan": {"perches": "loose", "axle_shim_deg": 2.0}})
    loose = edited(EMPTY, {"drivelines.0.plan": {"perches": "loose"}})
    assert edited(loose, {"plan.axle_shim_deg": 2.0}).plan is not None
    assert unplanned(loose).drivelines[0].plan is None


# --- engine and gearbox are one body --------------------------------------------------------------------------------

LOOSE = edited(BOTH, {
    "plan.mounts": "loose", "plan.mount_shim_mm": None, "plan.rear_lift_mm": None, "plan.front_lift_mm": None,
    "powertrain.slope_deg": 3.0, "drivelines.0.output.slope_deg": 2.5, "plan.powertrain_slope_deg": 5.0,
    "powertrain.plan_deg": 0.0, "drivelines.0.output.plan_deg": 0.0,
})  # fmt: skip


BY_OTHER = edited(LOOSE, {"drivelines.0.plan.powertrain_slope_deg": 3.0})


def test_a_slope_set_at_one_output_turns_the_other_as_far() -> None:
    assert solve(LOOSE).angles.output_slope_deg == pytest.approx(5.0)
    assert solve(swapped(LOOSE)).angles.output_slope_deg == pytest.approx(4.5)
    there = solve(swapped(edited(LOOSE, {"plan.powertrain_slope_deg": 3.0}))).picture.output_joint_mm
    hinge, joint = LOOSE.powertrain.front_mount_mm, LOOSE.drivelines[0].output.output_joint_mm
    turned = solve(swapped(LOOSE)).picture.output_joint_mm
    assert there == pytest.approx(joint)
    reach = math.hypot(joint[0] - hinge[0], joint[2] - hinge[1])
    assert math.hypot(turned[0] - there[0], turned[2] - there[2]) == pytest.approx(
        2.0 * reach * math.sin(math.radians(1.0))
    )


def test_one_engine_turns_both_outputs_alike_where_the_lift_tips_the_vehicle() -> None:
    """Set for the other driveline, on the tyres after the lift: there as planned, here turned by as much."""
    tipped = {"plan.rear_lift_mm": 90.0, "plan.front_lift_mm": 10.0}
    build = edited(
        BY_OTHER, {**tipped, "plan.powertrain_slope_deg": None, "drivelines.0.plan.powertrain_slope_deg": 3.0}
    )
    still = edited(build, {"drivelines.0.plan.powertrain_slope_deg": None})
    slopes = [[solve(seen).angles.output_slope_deg for seen in (one, swapped(one))] for one in (build, still)]
    (here, there), (here_still, there_still) = slopes
    assert there == pytest.approx(3.0, abs=1e-6)
    assert abs(there - there_still) > 0.3
    assert here - here_still == pytest.approx(there - there_still, abs=1e-4)


def test_a_slope_set_at_the_other_output_takes_its_place() -> None:
    seen = edited(swapped(LOOSE), {"plan.powertrain_slope_deg": 4.0})
    assert seen.drivelines[0].plan.powertrain_slope_deg is None
    assert solve(swapped(seen)).angles.output_slope_deg == pytest.approx(4.5)
    back = edited(swapped(seen), {"plan.powertrain_slope_deg": 5.0})
    assert back.drivelines[0].plan.powertrain_slope_deg is None
    with pytest.raises(ValidationError, match=r"drivelines.0.plan.powertrain_slope_deg: must be left out where"):
        edited(LOOSE, {"drivelines": (SECOND | {"plan": {"powertrain_slope_deg": 4.0}},)})


def test_how_sure_it_is_counts_the_other_output_too() -> None:
    """Set at the rear, this output lies as far off as the errors of both outputs' readings put it (JCGM 101)."""
    (own,) = (one for one in sure(LOOSE, 400, travel=False).intervals if one.name == "output")
    (turned,) = (one for one in sure(swapped(LOOSE), 400, travel=False).intervals if one.name == "output")
    assert own.high - own.low < 1e-9
    # Two readings ± 0.1°: 95 of 100 of their difference lie within 2 × 0.1° × (1 − √0.05) either way.
    assert (turned.high - turned.low) / 2.0 == pytest.approx(0.2 * (1.0 - math.sqrt(0.05)), rel=0.1)


def test_how_far_it_turns_is_unknown_without_both_slopes() -> None:
    seen = swapped(edited(LOOSE, {"powertrain.slope_deg": None}))
    assert solve(seen).angles.output_slope_deg is None
    says = found(seen, "tail_down").says
    assert says.startswith("Not judged: measure or enter the output slope at the rear")
    assert "front mounts" in found(edited(seen, {"powertrain.front_mount_mm": None}), "joint_bind").says


# --- front against rear ---------------------------------------------------------------------------------------------


def turning(front: float | None, rear: float | None, drive: str | None = "part_time", **more: object) -> Build:
    """Both axles with ratio 4, and their tyres' turns a kilometre."""
    sizes = {
        "vehicle.tyre_turns_per_km": rear, "drivelines.0.wheels.tyre_turns_per_km": front, "axle.ratio": 4.0,
        "drivelines.0.axle.ratio": 4.0, "drivelines.0.drive": drive,
    }  # fmt: skip
    return edited(EMPTY, {**sizes, **more})


@pytest.mark.parametrize(
    ("front", "rear", "drive", "verdict", "value"),
    [
        (504.9, 500.0, "part_time", "clear", 0.98),
        (505.1, 500.0, "part_time", "caution", 1.02),
        (495.1, 500.0, "part_time", "clear", 0.98),
        (494.9, 500.0, "part_time", "caution", 1.02),
        (504.9, 500.0, None, "clear", 0.98),
        (505.1, 500.0, None, "unknown", 1.02),
        (550.0, 500.0, "full_time", "clear", 10.0),
        (None, 500.0, "full_time", "unknown", None),
        (None, 500.0, "part_time", "unknown", None),
    ],
)
def test_just_inside_and_outside_a_per_cent(
    front: float | None, rear: float, drive: str | None, verdict: str, value: float | None
) -> None:
    build = turning(front, rear, drive)
    for seen in (build, swapped(build)):
        one = found(seen, "front_against_rear")
        assert one.verdict == verdict
        if verdict != "unknown":
            assert one.value == pytest.approx(value)
    says = found(build, "front_against_rear").says
    assert {
        "caution": "Bring axle ratios and tyres together" in says, "unknown": says.startswith("Not judged: "),
        "clear": "may be locked together" in says or "the centre differential takes that up" in says,
    }[verdict]  # fmt: skip
    if front is not None:
        assert f" % {'faster' if front > rear else 'slower'} than the rear one" in says


def test_axle_ratios_count_as_the_tyres_do() -> None:
    ratios = {"axle.ratio": 4.10, "drivelines.0.axle.ratio": 3.73}
    one = found(turning(500.0, 450.0, **ratios), "front_against_rear")
    assert one.value == pytest.approx(100.0 * abs(3.73 * 500.0 / (4.10 * 450.0) - 1.0))


RADII = {"vehicle.front_tyre_radius_mm": 400.0, "vehicle.rear_tyre_radius_mm": 400.0, "gauge.tape_uncertainty_mm": 1.5}


def test_loaded_radii_alone_tell_only_what_is_far_apart() -> None:
    alike = found(turning(None, None, **RADII), "front_against_rear")
    assert alike.verdict == "unknown"
    assert "measure or enter the tyre turns on the road" in alike.says
    assert "at the front" in alike.says
    apart = turning(None, None, **RADII | {"drivelines.0.axle.ratio": 4.4})
    assert found(apart, "front_against_rear").verdict == "caution"
    # A tape's reading of 400 mm either way (1.96/√3 × 1.5 mm), and the shares by which a tyre rolls on more than that.
    off = 1.96 / math.sqrt(3.0) * 1.5 / 400.0
    least = 100.0 * (1.1 * (1.02 / 1.04) * (1.0 - off) / (1.0 + off) - 1.0)
    most = 100.0 * (1.1 * (1.04 / 1.02) * (1.0 + off) / (1.0 - off) - 1.0)
    assert (least, most) == pytest.approx((6.97, 13.11), abs=0.01)
    says = found(apart, "front_against_rear").says
    assert f"it may be anything from {least:.1f} % faster to {most:.1f} % faster" in says
    unsaid = edited(apart, {"drivelines.0.drive": None})
    assert found(unsaid, "front_against_rear").says.startswith(
        "Not judged: measure or enter whether it is part-time or full-time four-wheel drive."
    )


def test_what_is_missing_is_named() -> None:
    one = found(turning(None, 500.0, **{"axle.ratio": None, "drivelines.0.axle.ratio": None}), "front_against_rear")
    assert "the axle ratio and the axle ratio at the front" in one.says
    assert "either the tyre turns on the road at the front, or the front tyre radius" in one.says
    assert "front_against_rear" not in {one.id for one in solve(FRONT).findings}


# --- what is shared, and one verdict --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("build", "slope", "against"),
    [(BOTH, 0.0, False), (LOOSE, 6.0, True), (LOOSE, 9.0, True), (swapped(LOOSE), 3.0, False)],
)
def test_a_way_out_names_what_gets_worse_of_the_other_shaft(build: Build, slope: float, against: bool) -> None:
    """Held against the other driveline solved with the change and without."""
    build = edited(build, {"plan.axle_shim_deg": None, "powertrain.slope_deg": slope})
    other = "front" if end_of(build) == "rear" else "rear"
    found = [way for one in solve(build).findings for way in (one.remedy, *one.alternatives) if way is not None]
    ways = [way for way in found if any(path.startswith(("plan.mount", "plan.powertrain")) for path in way.changes)]
    assert ways
    before, named = ranks(build), []
    for way in found:
        after, told_worse = ranks(edited(build, way.changes)), {}
        for one in way.worse:
            if one.end is not None:
                assert one.end == other
                told_worse[one.id, one.part] = one.verdict
        assert way in ways or not told_worse
        worse = {
            key: WORDS[rank] for key, rank in after.items() if rank > max(before.get(key, 0), 0 if key in before else 1)
        }
        assert worse.items() <= told_worse.items()
        assert all(after[key] == before[key] > 1 for key in told_worse.keys() - worse.keys())  # farther beyond its line
        assert all(before.get(key) == 3 for key, verdict in told_worse.items() if verdict == "hold")
        assert not told_worse or f"on the {other} shaft " in way.says
        named += told_worse
    assert bool(named) == against


@pytest.mark.parametrize(
    ("build", "path", "value", "named"),
    [
        (BOTH, "plan.mount_shim_mm", 60.0, True),
        (BOTH, "plan.axle_shim_deg", 3.0, False),
        (LOOSE, "plan.powertrain_slope_deg", 16.0, True),
        (BY_OTHER, "plan.powertrain_slope_deg", 16.0, True),
    ],
)
def test_a_plan_counts_and_names_what_it_makes_worse_of_the_other_shaft(
    build: Build, path: str, value: float, named: bool
) -> None:
    """The search took no account of it. Held against the other driveline solved with the plan and without."""
    build = edited(build, {"plan.axle_shim_deg": None})
    search = _Search.of(build, {path: [value]}, {}, 10)
    search.judge([(0,), (1,)])
    (_, _, now), (_, _, plan) = search.best[()], search.best[0,]
    bare, own, before = solve(build), solve(edited(build, plan.changes)), ranks(build)
    after = ranks(edited(build, plan.changes))
    worse = {
        key: rank
        for key, rank in after.items()
        if rank > max(before.get(key, 0), 0 if key in before else 1) and key[0] != "front_against_rear"
    }
    for found, whole, there in ((now, bare, []), (plan, own, list(worse.values()))):
        mine = [WORDS.index(one.verdict) for one in whole.findings]
        assert [found.unknown, found.cautions, found.holds] == [[*mine, *there].count(rank) for rank in (1, 2, 3)]
        assert found.verdict == WORDS[max([*mine, *there])]
    theirs = {(one.id, one.part): WORDS.index(one.verdict) for one in plan.left if one.end == "front"}
    assert worse.items() <= theirs.items()
    assert all(before[key] == after[key] for key in theirs.keys() - worse.keys())  # farther beyond its line
    assert bool(worse) == named
    assert named or not theirs


WORDS = ("clear", "unknown", "caution", "hold")


def ranks(build: Build) -> dict[tuple[str, str], int]:
    """How bad each finding of the other driveline is."""
    findings = solved(Work(swapped(build)), with_ways=False).findings
    return {(one.id, one.part): WORDS.index(one.verdict) for one in findings}


def test_the_other_axle_s_rate_is_its_own_springs() -> None:
    """A load on the other axle tips the frame by that axle's springs, which are entered where it is driven too."""
    loads = {"use": {"front_most_kg": 200.0, "rear_most_kg": 300.0}, "vehicle.other_axle_rate_n_per_mm": None}
    build = edited(BOTH, loads)
    alone = edited(build, {"drivelines": (), "vehicle.other_axle_rate_n_per_mm": FRONT.suspension.rate_n_per_mm})
    assert [one.other_mm for one in solve(build).states] == [one.other_mm for one in solve(alone).states]


def test_one_verdict_names_the_worse() -> None:
    whole = solve_whole(BOTH)
    first, second = whole.drivelines
    assert (first.end, second.end) == ("rear", "front")
    assert whole.verdict == "hold"
    worst = edited(EMPTY, {"powertrain.slope_deg": 20.0})
    assert solve_whole(worst).worse.name == "rear shaft"
    assert solve_whole(worst).says.startswith("Rear shaft, do not tack yet: ")
    assert solve_whole(worst).says.endswith(" Front shaft: unknown.")
    assert solve_whole(swapped(worst)).worse.name == "rear shaft"
    assert [one.name for one in solve_whole(swapped(worst)).worst_first] == ["rear shaft", "front shaft"]
    assert worse_of([solve(Build()), solve(Build())]) == 0
    assert says_beside("rear", solve(REAR), None) == solve(REAR).says


def test_the_json_of_one_is_as_it_was_and_of_two_has_both() -> None:
    assert solve_whole(REAR).model_dump_json() == solve(REAR).model_dump_json()
    assert solve_whole(REAR).says == solve(REAR).says
    assert '"end"' not in json.dumps(solve(REAR).model_dump()["findings"])
    answer = json.loads(solve_whole(edited(EMPTY, {"powertrain.slope_deg": 20.0})).model_dump_json())
    assert (answer["verdict"], answer["worse"]) == ("hold", "rear")
    assert [(one["end"], one["verdict"]) for one in answer["drivelines"]] == [("rear", "hold"), ("front", "unknown")]
    assert answer["drivelines"][1]["setpoints"] == json.loads(solve(swapped(EMPTY)).model_dump_json())["setpoints"]


@pytest.mark.parametrize("share", [1.05, 0.94])
def test_turns_of_one_tyre_against_the_loaded_radius_of_the_other(share: float) -> None:
    """A tyre of 400 mm loaded rolls on 412, in the middle of the 2 to 4 per cent: 386.3 turns a kilometre, by hand."""
    turns = share * 1e6 / (2.0 * math.pi * 412.0)
    build = turning(turns, None, **{"vehicle.rear_tyre_radius_mm": 400.0, "gauge.tape_uncertainty_mm": 1.5})
    one = found(build, "front_against_rear")
    assert (one.verdict, one.value) == ("caution", pytest.approx(100.0 * abs(share - 1.0)))


def test_each_end_gives_by_its_own_springs() -> None:
    """The front rate stands in the other driveline, and tells nothing of the rear, not measured: 9.80665/2k."""
    sprung = edited(BOTH, {"suspension.rate_n_per_mm": None, "drivelines.0.suspension.rate_n_per_mm": 30.0,
                           "vehicle.other_axle_rate_n_per_mm": None, "use": None})  # fmt: skip
    for seen in (sprung, swapped(sprung)):
        v = variants(seen)
        assert float(mm_per_kg_of(v, "front")) == pytest.approx(9.80665 / 60.0)
        assert math.isnan(float(mm_per_kg_of(v, "rear")))


def test_a_plan_that_is_set_whole_without_a_slope_leaves_the_one_that_the_other_output_is_set_to() -> None:
    assert BY_OTHER.plan is not None
    assert (
        edited(BY_OTHER, {"plan": BY_OTHER.plan}) == edited(BY_OTHER, {"plan": BY_OTHER.plan.model_dump()}) == BY_OTHER
    )


@pytest.mark.parametrize(("least", "most", "sizes"), [
    (1.0, 3.0, (1.0, 3.0)), (-3.0, -1.0, (1.0, 3.0)), (-3.0, 1.0, (0.0, 3.0)), (-1.0, 3.0, (0.0, 3.0)),
    (0.0, 2.0, (0.0, 2.0)),
])  # fmt: skip
def test_how_far_apart_either_way_it_may_be_at_the_least_and_at_the_most(
    least: float, most: float, sizes: tuple[float, float]
) -> None:
    """Per cent that the front turns more or less; where it may be either, they may be alike."""
    assert tuple(map(float, Apart(number(0.0), number(least), number(most)).sizes)) == sizes
