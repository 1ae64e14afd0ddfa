"""Plans that are kept beside the build: what a file may say of them, what they hold, and how they are told apart."""

import json
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from pydantic import ValidationError

from geometry import Build, Solution, edited, solve, value_at
from geometry.document.beside import chosen, chosen_paths, free_name, going_on, keeping, kept, kept_as
from geometry.document.build import with_changes
from geometry.document.variant import Variant, VariantRefused
from geometry.words.beside import beside, turned
from geometry.words.tubes import tube_options
from tests.geometry.strategies import SAMPLES, sample

NAMES = ("lifted_short_shaft", "ranch_truck_swap", "long_van_two_piece", "transfer_case_double_joint",
         "front_axle_lift", "three_angles_and_a_length")  # fmt: skip
HAULER = sample("lifted_short_shaft")
LOWER = {"plan.rear_lift_mm": 25.4, "plan.front_lift_mm": 25.4}


def beside_it(build: Build, name: str = "as it was") -> Build:
    return edited(build, keeping(build, name))


@cache
def solved(name: str) -> tuple[Build, Solution]:
    build = sample(name)
    return build, solve(build)


def refused(changes: Mapping[str, Any], build: Build = HAULER) -> VariantRefused:
    tree = json.loads(build.model_dump_json()) | {"variants": [{"name": "other", "changes": changes}]}
    with pytest.raises(ValidationError) as caught:
        Build.model_validate_json(json.dumps(tree))
    (error,) = caught.value.errors()
    assert error["loc"] == ()
    found = error["ctx"]["error"]
    assert isinstance(found, VariantRefused)
    return found


# --- what a file may say ----------------------------------------------------------------------------------------------


def test_a_kept_plan_is_the_build_with_its_entries_replaced() -> None:
    tree = json.loads(HAULER.model_dump_json())
    changes = {"plan.rear_lift_mm": 25, "axle.centre_mm": [1660, 0, 370], "shaft.tube": None, "title": "other"}
    build = Build.model_validate_json(json.dumps(tree | {"variants": [{"name": " lower\n one ", "changes": changes}]}))
    assert build.variants[0].name == "lower one"
    wanted = {**changes, "axle.centre_mm": (1660.0, 0.0, 370.0)}
    assert kept(build, 0) == edited(HAULER, wanted)
    assert build.model_copy(update={"variants": ()}) == HAULER
    assert build.variants[0].changes == wanted
    assert type(build.variants[0].changes["plan.rear_lift_mm"]) is float
    assert Build.model_validate_json(build.model_dump_json()) == build
    assert edited(build, {}) == build


def test_what_is_kept_of_a_build_is_found_again_with_a_plan_beside_it() -> None:
    """Answers that are kept have the build as their key: a build that is the same is the same key, and no other is."""
    build = beside_it(HAULER)
    answers = {build: "with one plan"}
    assert answers[Build.model_validate_json(build.model_dump_json())] == "with one plan"
    assert HAULER not in answers
    assert beside_it(build, "another") not in answers


def test_a_section_is_held_whole_so_that_a_build_has_one_text() -> None:
    two = [
        edited(HAULER, {"variants": ({"name": "x", "changes": {"plan": plan}},)})
        for plan in ({}, {"perches": "welded"})
    ]
    assert two[0] == two[1]
    assert two[0].model_dump_json() == two[1].model_dump_json()


@pytest.mark.parametrize(
    ("changes", "path"),
    [
        ({"plan.rear_lift": 3.0}, "plan.rear_lift"),
        ({"plan.rear_lift_mm": "3"}, "plan.rear_lift_mm"),
        ({"plan.rear_lift_mm": 5000.0}, "plan.rear_lift_mm"),
        ({"axle.centre_mm": [1.0, 2.0]}, "axle.centre_mm.2"),
        ({"plan.perches": "loose", "plan.axle_shim_deg": 2.0}, "plan"),
        ({"shaft.kind": "two_piece"}, "shaft.two_piece.tube"),
    ],
)
def test_what_no_build_can_be_is_refused_by_its_entry(changes: dict[str, Any], path: str) -> None:
    found = refused(changes)
    assert (found.number, found.path) == (0, path)
    assert found.why is not None
    assert found.why.errors()[0]["loc"] == tuple(int(step) if step.isdecimal() else step for step in path.split("."))


@pytest.mark.parametrize("path", ["variants", "variants.0.name", "variants.1"])
def test_a_path_may_not_lead_into_what_is_kept(path: str) -> None:
    assert str(refused({path: None})) == f"variants.0.changes.{path}: must not lead into variants; remove it"


def test_a_path_that_leads_nowhere_is_named() -> None:
    found = refused({"plan.rear_lift_mm": 3.0, "shocks.4.name": "x"})
    assert str(found) == (
        "variants.0.changes.shocks.4.name: leads nowhere: there is no item 4 in this build; correct it"
    )


def test_names_are_there_and_differ() -> None:
    for variants, place in (
        ([{"changes": {}}], ("variants", 0, "name")),
        ([{"name": ""}], ("variants", 0, "name")),
        ([{"name": " \n"}], ("variants", 0, "name")),
        ([{"name": "x"}, {"name": "y"}, {"name": "x "}], ()),
        ([{"name": "x", "plan": {}}], ("variants", 0, "plan")),
        ([{"name": str(number)} for number in range(13)], ("variants",)),
    ):
        with pytest.raises(ValidationError) as caught:
            Build.model_validate_json(json.dumps({"variants": variants}))
        assert caught.value.errors()[0]["loc"] == place
    with pytest.raises(ValidationError, match=r"variants\.2\.name: must not be what another kept plan is called"):
        Build.model_validate({"variants": ({"name": "x"}, {"name": "y"}, {"name": "x"})})


def test_an_item_taken_out_of_a_list_is_taken_out_again_after_saving() -> None:
    whole = edited(HAULER, {"shocks": ({"name": "one"}, {"name": "two"}, {"name": "three"})})
    for changes in ({"shocks.0": None}, {"shocks.1.name": "other", "shocks.0": None}, {"shocks.3": {"name": "four"}}):
        build = edited(whole, {"variants": ({"name": "x", "changes": changes},)})
        assert kept(build, 0) == edited(whole, changes)
        assert kept(Build.model_validate_json(build.model_dump_json()), 0) == edited(whole, changes)


# --- what is kept -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_what_is_chosen_later_does_not_get_in_and_what_is_measured_anew_does(name: str) -> None:
    build, solution = solved(name)
    two = beside_it(build)
    assert kept(two, 0) == build
    remedies = [way for one in solution.findings for way in (one.remedy, *one.alternatives) if way is not None]
    changes: list[Mapping[str, Any]] = [way.changes for way in remedies] or [LOWER]
    changes += [LOWER, {"plan.perches": "loose", "plan.pinion_slope_deg": 3.0, "plan.axle_shim_deg": None}]
    for one in changes:
        assert kept(edited(two, one), 0) == build, one
    corrected = {"powertrain.slope_deg": 4.25, "axle.pinion_slope_deg": 2.75, "gauge.angle_uncertainty_deg": 0.3}
    assert kept(edited(edited(two, LOWER), corrected), 0) == edited(build, corrected)


@pytest.mark.parametrize("name", ["lifted_short_shaft", "long_van_two_piece"])
def test_a_shaft_of_another_kind_leaves_the_kept_one_whole(name: str) -> None:
    build, _ = solved(name)
    option = next(
        one for one in tube_options(build) if "shaft" in one.changes or any("kind" in path for path in one.changes)
    )
    other = edited(beside_it(build), option.changes)
    assert other.shaft is not None
    assert build.shaft is not None
    assert other.shaft.kind != build.shaft.kind
    assert kept(other, 0) == build
    # The shaft alone: what was measured of the rest is one for both.
    assert set(other.variants[0].changes) == {
        "shaft",
        *(path for path in chosen(build) if path.split(".")[0] != "shaft"),
    }
    if build.torque_bars:
        anew = {"torque_bars.0.float_mm": 11.0, "axle.ratio": 3.9}
        assert kept(edited(other, anew), 0) == edited(build, anew)


def test_an_item_that_is_gone_leaves_the_kept_list_whole() -> None:
    build = edited(HAULER, {"shocks": ({"name": "one", "extended_mm": 500.0}, {"name": "two"})})
    two = edited(beside_it(build), {"variants.1": Variant(name="lower", changes=LOWER)})
    fewer = edited(two, {"shocks.1": None})
    assert [one.name for one in fewer.shocks] == ["one"]
    assert kept(fewer, 0) == build
    assert kept(fewer, 1) == edited(build, {"shocks.1": None, **LOWER})  # which still leads where it did


def test_an_edit_that_is_refused_is_refused_for_its_own_entry() -> None:
    two = beside_it(HAULER)
    with pytest.raises(ValidationError) as caught:
        edited(two, {"axle.pinion_slope_deg": 75.0})
    assert caught.value.errors()[0]["loc"] == ("axle", "pinion_slope_deg")
    with pytest.raises(ValidationError):
        edited(two, {"variants.0.changes": {"plan.rear_lift_mm": 5000.0}})
    with pytest.raises(ValidationError):  # beside another entry as well: no plan is lost without a word
        edited(two, {"axle.ratio": 4.1, "variants.0.changes": {"plan.rear_lift_mm": 5000.0}})


def test_a_slip_or_a_shaft_that_is_not_there_yet_is_kept_so() -> None:
    bare = edited(HAULER, {"shaft.slip": None})
    assert "shaft.slip" in chosen(bare)
    assert kept(edited(beside_it(bare), {"shaft.slip.stroke_mm": 90.0}), 0) == bare
    none = edited(HAULER, {"shaft": None, "plan": None, "torque_bars": ()})
    assert list(chosen_paths(none)) == ["plan"]
    measured = edited(beside_it(none), {"shaft.phase_deg": 1.0, **LOWER})
    assert kept(measured, 0) == edited(none, {"shaft.phase_deg": 1.0})


@pytest.mark.parametrize("name", NAMES)
def test_to_go_on_with_the_other_one_exchanges_both_and_back(name: str) -> None:
    build, _ = solved(name)
    lower = edited(beside_it(build), LOWER)
    lower = edited(lower, {"variants.1": Variant(name="third", changes={"axle.ratio": 4.1, "plan.rear_lift_mm": 7.0})})
    on = edited(lower, going_on(lower, 0, "lower"))
    bare = [one.model_copy(update={"variants": ()}) for one in (lower, on)]
    assert [one.name for one in on.variants] == ["lower", "third"]
    assert bare[1] == build
    assert kept(on, 0) == bare[0]
    assert kept(on, 1) == kept(lower, 1)
    assert edited(on, going_on(on, 0, "as it was")).model_copy(update={"variants": ()}) == bare[0]
    assert value_at(kept(edited(on, {"axle.ratio": 3.9}), 0), "axle.ratio") == 3.9


def test_a_plan_with_a_name_of_its_own_stays_kept_and_nothing_twice() -> None:
    build = beside_it(HAULER, "mine")
    lower = edited(build, LOWER)
    on = edited(lower, going_on(lower, 0, "lower", named=True))
    assert [one.name for one in on.variants] == ["lower", "mine"]
    assert kept_as(on) == 1
    assert kept_as(on, but=1) is None
    back = edited(on, going_on(on, 0, "mine again"))
    assert [one.name for one in back.variants] == ["mine"]
    assert kept(back, 0) == HAULER
    full = edited(
        lower, {"variants": tuple({"name": f"{n}", "changes": {"plan.axle_shim_deg": n + 0.5}} for n in range(12))}
    )
    assert len(edited(full, going_on(full, 3, "lower", named=True)).variants) == 12


def test_a_kept_plan_that_measures_otherwise_or_takes_items_out_is_exchanged_whole() -> None:
    whole = edited(HAULER, {"shocks": ({"name": "one"}, {"name": "two"})})
    for changes in ({"axle.ratio": 4.1}, {"shocks.0": None}, {"shocks.2": {"name": "three"}}, {"shaft": None}):
        build = edited(whole, {"variants": ({"name": "x", "changes": changes},)})
        on = edited(build, going_on(build, 0, "y"))
        assert on.model_copy(update={"variants": ()}) == edited(whole, changes)
        assert kept(on, 0) == whole


def test_a_name_is_free() -> None:
    build = beside_it(beside_it(HAULER, "x"), "x, 2")
    assert free_name(build, "x") == "x, 3"
    assert free_name(build, "x", but=0) == "x"
    assert free_name(build, "y") == "y"
    long = "z" * 80
    assert edited(build, keeping(beside_it(build, long), free_name(beside_it(build, long), long)))


# --- held against each other ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_it_tells_what_both_solved_apart_tell(name: str) -> None:
    build, solution = solved(name)
    other = edited(build, {**LOWER, "plan.axle_shim_deg": 2.0, "gauge.angle_uncertainty_deg": 0.25})
    its = solve(other)
    told = beside((build, solution), (other, its))
    for one in told.entered:
        assert one.first != one.second
        assert one.second == value_at(other, one.path)
        if build.plan is not None:
            assert one.first == value_at(build, one.path)
    assert {one.path for one in told.entered} >= {"plan.axle_shim_deg", "gauge.angle_uncertainty_deg"}
    first, second = ({(one.id, one.part): one for one in of.findings} for of in (solution, its))
    found = {(one.id, one.part): one for one in told.found}
    for key in first.keys() | second.keys():
        a, b = first.get(key), second.get(key)
        if a is not None and b is not None and a.verdict != b.verdict:
            assert (found[key].first, found[key].second, found[key].changed) == (a, b, True)
        elif a is not None and b is not None and a.bad and a.value != b.value:
            assert found[key].turn == "same"
        elif key in found:
            assert a is None or b is None
    changed = [one.changed for one in told.found]
    assert changed == sorted(changed, reverse=True)
    turns = [("worse", "not judged", "better", "same").index(one.turn) for one in told.found]
    assert turns == sorted(turns)
    assert told.turn == turned(solution.verdict, its.verdict)
    back = beside((other, its), (build, solution))
    ways = {"better": "worse", "worse": "better", "same": "same", "not judged": "not judged"}
    assert {(one.id, one.part): one.turn for one in back.found} == {key: ways[one.turn] for key, one in found.items()}


def test_a_build_beside_itself_differs_in_nothing() -> None:
    build, solution = solved("ranch_truck_swap")
    told = beside((build, solution), (build, solution))
    assert (told.entered, told.found, told.turn) == ((), (), "same")
    empty = edited(build, {"plan": {}})
    assert beside((build, solution), (empty, solution)).entered == ()


def test_only_a_better_verdict_is_better() -> None:
    ranks = {"clear": 0, "caution": 1, "hold": 2}
    for one in (*ranks, "unknown", None):
        for other in (*ranks, "unknown", None):
            told = turned(one, other)  # type: ignore[arg-type]
            if one == other:
                assert told == "same"
            elif one in ranks and other in ranks:
                assert told == ("better" if ranks[other] < ranks[one] else "worse")  # type: ignore[index]
            else:
                assert told == "not judged"


def test_a_value_nearer_to_its_line_with_the_same_verdict_is_not_better() -> None:
    build, solution = solved("lifted_short_shaft")
    other = edited(build, LOWER)
    told = {(one.id, one.part): one for one in beside((build, solution), (other, solve(other))).found}
    bind = told["joint_bind", "front_joint"]
    assert bind.first is not None
    assert bind.second is not None
    assert (bind.first.verdict, bind.second.verdict, bind.turn) == ("hold", "hold", "same")
    assert bind.second.value > bind.first.value  # type: ignore[operator]


def test_what_is_asked_of_one_alone_is_told_unless_it_is_clear() -> None:
    build, solution = solved("three_angles_and_a_length")
    other = edited(build, LOWER)
    told = {one.id: one for one in beside((build, solution), (other, solve(other))).found}
    assert told["lift"].first is None
    assert told["lift"].turn == "not judged"
    lifted = solve(edited(HAULER, {"plan": None})), solve(HAULER)
    told = {one.id: one for one in beside((HAULER, lifted[0]), (HAULER, lifted[1])).found}
    assert "lift" not in told
    assert any(one.id == "lift" and one.verdict == "clear" for one in lifted[1].findings)


def test_every_sample_with_itself_kept_solves_as_without() -> None:
    for path in sorted(SAMPLES.glob("*.json"))[:2]:
        build = Build.model_validate_json(path.read_bytes())
        assert solve(edited(build, keeping(build, "x"))).model_dump() == solve(build).model_dump()
        assert with_changes(build, Variant(name="x")) == build


def test_a_value_that_is_not_known_in_one_is_told_where_both_hold() -> None:
    build, solution = solved("lifted_short_shaft")
    findings = tuple(replace(one, value=None) if one.id == "joint_bind" else one for one in solution.findings)
    told = beside((build, solution), (build, replace(solution, findings=findings)))
    assert {(one.id, one.turn) for one in told.found} == {("joint_bind", "same")}
