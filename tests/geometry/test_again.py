"""Readings taken again after tack, weld and drive: what is off, what that does to the build, and what to do."""

from math import hypot, sqrt

import pytest

from geometry import Build, edited, solve
from geometry.document import value_at
from geometry.document.again import ReadAgain
from geometry.document.sides import swapped
from geometry.words.again import MOVED_DEG, SET_DEG, SET_MM, Compared, SetAgain, _some, read_again, stage_words
from tests.geometry.strategies import joined, sample

BUILD = edited(sample("ranch_truck_swap"), {"measured_again": ()})
WHOLE = solve(BUILD)
POINTS = WHOLE.setpoints
PERCH = POINTS.flange_to_perch_mm
AS_SET = {
    "pinion_slope_deg": POINTS.pinion_slope_deg,
    "output_slope_deg": POINTS.output_slope_deg,
    "flange_to_perch_left_mm": PERCH,
    "flange_to_perch_right_mm": PERCH,
}
LOOKED = {"ubolts_tight": True, "slip_in_stroke": True, "oil_right": True, "breather_dry": True}


def sets(*some: dict[str, object], of: Build = BUILD) -> tuple[SetAgain, ...]:
    return read_again(
        edited(of, {"measured_again": tuple(ReadAgain(**one).model_dump() for one in some)}),
        WHOLE if of is BUILD else solve(of),
    )


def last(*some: dict[str, object], of: Build = BUILD) -> SetAgain:
    return sets(*some, of=of)[-1]


def number(made: SetAgain, name: str):
    return next(one for one in made.numbers if one.name == name)


@pytest.mark.parametrize("stage", ["tacked", "welded", "driven"])
def test_what_sits_as_set_goes_on(stage: str) -> None:
    made = last(AS_SET | LOOKED | {"stage": stage})
    assert made.verdict == "clear"
    assert made.says.startswith(("It sits as", "It came out"))
    assert made.worse == ()


@pytest.mark.parametrize(("off", "verdict"), [(0.49, "clear"), (0.51, "hold"), (-0.51, "hold")])
def test_tacks_are_broken_past_half_a_degree(off: float, verdict: str) -> None:
    """Common practice, no source."""
    assert SET_DEG == 0.5
    made = last(AS_SET | {"pinion_slope_deg": POINTS.pinion_slope_deg + off})
    assert number(made, "pinion").verdict == verdict
    assert number(made, "pinion").off == pytest.approx(off)
    assert made.says.startswith("Break the tacks") == (verdict == "hold")


def test_an_output_that_is_off_is_no_reason_to_break_tacks() -> None:
    """Fact of the trade: perches are tacked to the axle tube, and the output lies as its mounts hold it."""
    output, pinion = ({f"{one}_slope_deg": getattr(POINTS, f"{one}_slope_deg") - 0.8} for one in ("output", "pinion"))
    made = last(AS_SET | output)
    assert made.verdict == "hold"
    assert made.says.startswith("Do not weld it yet, set the mounts first and read it again: output slope 0.8")
    assert last(AS_SET | output | pinion).says.startswith("Break the tacks")


@pytest.mark.parametrize("stage", ["welded", "driven"])
def test_once_welded_half_a_degree_warns_and_the_whole_decides(stage: str) -> None:
    a_little = last(AS_SET | LOOKED | {"stage": stage, "pinion_slope_deg": POINTS.pinion_slope_deg + 0.6})
    assert a_little.verdict == "caution"
    far = last(AS_SET | LOOKED | {"stage": stage, "pinion_slope_deg": POINTS.pinion_slope_deg - 2.5})
    assert far.verdict == "hold"
    assert "as it is read now, uneven" in far.says
    assert far.says.startswith("Do not drive it")


@pytest.mark.parametrize(
    ("off", "tacked", "welded"), [(1.5, "clear", "clear"), (1.7, "hold", "caution"), (3.3, "hold", "hold")]
)
def test_perches_left_and_right(off: float, tacked: str, welded: str) -> None:
    """Both to the same measurement within 1/16 in: common practice, no source."""
    assert pytest.approx(25.4 / 16, abs=0.02) == SET_MM
    sides = {"flange_to_perch_right_mm": PERCH + off}
    for stage, verdict in (("tacked", tacked), ("welded", welded)):
        made = last(AS_SET | sides | {"stage": stage})
        assert number(made, "perches").verdict == verdict
        assert number(made, "perches").off == pytest.approx(-off)
        assert number(made, "perch_right").verdict == verdict
        assert number(made, "perch_left").verdict == "clear"


@pytest.mark.parametrize(
    ("name", "left", "right", "off", "verdict"),
    [
        ("seats", "seat_left_deg", "seat_right_deg", 0.1, "clear"),
        ("seats", "seat_left_deg", "seat_right_deg", 0.4, "caution"),
        ("seats", "seat_left_deg", "seat_right_deg", 0.6, "hold"),
        ("diagonals", "diagonal_left_mm", "diagonal_right_mm", 3.0, "clear"),
        ("diagonals", "diagonal_left_mm", "diagonal_right_mm", 5.0, "caution"),
        ("diagonals", "diagonal_left_mm", "diagonal_right_mm", 7.0, "hold"),
        ("wheelbases", "wheelbase_left_mm", "wheelbase_right_mm", 3.0, "clear"),
        ("wheelbases", "wheelbase_left_mm", "wheelbase_right_mm", 5.0, "caution"),
        ("wheelbases", "wheelbase_left_mm", "wheelbase_right_mm", 7.0, "hold"),
    ],
)
def test_left_against_right(name: str, left: str, right: str, off: float, verdict: str) -> None:
    at = 3.0 if name == "seats" else 1500.0
    made = last(AS_SET | {left: at + off, right: at})
    assert (number(made, name).off, number(made, name).verdict) == (pytest.approx(off), verdict)
    assert made.verdict == verdict
    if verdict != "clear":
        assert "left less right" in made.says
    half = last(AS_SET | {left: at})
    assert number(half, name).verdict == "unknown"
    assert half.says.startswith("Read first: ")


def test_the_build_is_judged_with_its_lines_as_read() -> None:
    """Of three angles alone, as read is the very build with these angles entered: that one is solved by itself."""
    three = {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8, "axle.pinion_slope_deg": 3.5}
    build = edited(Build(), three | {"plan.perches": "loose"})
    made = last({"output_slope_deg": 3.4, "pinion_slope_deg": 7.1}, of=build)
    alone = solve(edited(build, {"powertrain.slope_deg": 3.4, "axle.pinion_slope_deg": 7.1}))
    assert made.whole == alone.verdict
    assert [(one.id, one.value) for one in made.worse] == [
        (one.id, one.value) for one in alone.findings if one.id == "ends_parallel"
    ]
    assert made.worse[0].value == pytest.approx(3.7)


def test_a_planned_slope_is_turned_and_not_the_measured_one() -> None:
    """With loose perches the pinion is as planned, whatever it was; what it is read as takes the plan's place."""
    loose = edited(BUILD, {"plan": {"perches": "loose", "pinion_slope_deg": 6.0}})
    whole = solve(loose)
    off = read_again(
        edited(loose, {"measured_again.0": ReadAgain(pinion_slope_deg=whole.setpoints.pinion_slope_deg + 2.0)}), whole
    )[0]
    planned = solve(edited(loose, {"plan.pinion_slope_deg": whole.setpoints.pinion_slope_deg + 2.0}))
    assert off.whole == planned.verdict
    told = {(one.id, one.part): one.value for one in planned.findings}
    assert off.worse
    for one in off.worse:
        assert one.value == pytest.approx(told[one.id, one.part], rel=2e-2)  # set-points are whole tenths


def test_with_the_remedy_that_the_set_points_are_of() -> None:
    """Set-points are with the first remedy: read as set, nothing is worse than that comes to."""
    build = edited(BUILD, {"plan": None})
    whole = solve(build)
    remedy = next(one.remedy for one in whole.findings if one.remedy is not None)
    points = whole.setpoints
    read = AS_SET | {"pinion_slope_deg": points.pinion_slope_deg, "output_slope_deg": points.output_slope_deg}
    read |= dict.fromkeys(("flange_to_perch_left_mm", "flange_to_perch_right_mm"), points.flange_to_perch_mm or 200.0)
    made = last(read, of=build)
    assert made.whole == remedy.verdict
    assert made.worse == ()


def test_the_rails_slope_is_taken_out() -> None:
    rail = WHOLE.angles.frame_slope_deg
    assert rail is not None
    tilted = {"pinion_slope_deg": POINTS.pinion_slope_deg + 1.0, "output_slope_deg": POINTS.output_slope_deg + 1.0}
    level, down = last(AS_SET), last(AS_SET | tilted | {"rail_slope_deg": rail + 1.0})
    for name in ("pinion", "output"):
        assert number(down, name).off == pytest.approx(number(level, name).off, abs=1e-9)
    assert down.verdict == level.verdict == "clear"


def test_what_moved_on_the_road_is_told_from_the_set_before() -> None:
    one = AS_SET | {"stage": "welded", "pinion_slope_deg": POINTS.pinion_slope_deg - 0.3}
    two = AS_SET | LOOKED | {"stage": "driven", "pinion_slope_deg": POINTS.pinion_slope_deg + 0.3}
    welded, driven = sets(one, two)
    assert welded.verdict == "clear"
    assert number(driven, "pinion").moved == pytest.approx(0.6)
    assert number(driven, "pinion").verdict == "caution"
    assert MOVED_DEG == 0.5
    assert "pinion slope has moved by 0.6° since it was read before" in driven.says
    assert driven.says.startswith("Look at springs, centre pins and U-bolts")
    again = AS_SET | {"pinion_slope_deg": POINTS.pinion_slope_deg + 0.3}
    assert last(one, again).verdict == "clear"  # tacked anew: what it was before does not matter


def test_after_the_drive_settled_springs_are_expected() -> None:
    build = edited(BUILD, {"state": {"springs": "new"}, "use": {"rear_settling_mm": 25.0}})
    whole = solve(build)
    settled = next(one for one in whole.states if one.name == "settled")
    made = last({"stage": "driven", "pinion_slope_deg": whole.setpoints.pinion_slope_deg}, of=build)
    assert number(made, "pinion").wanted == settled.pinion_slope_deg
    assert number(last({"pinion_slope_deg": 4.0}, of=build), "pinion").wanted == whole.setpoints.pinion_slope_deg
    shaft = number(last({"stage": "driven", "shaft_slope_deg": 8.0}, of=build), "shaft")
    assert shaft.wanted == settled.shaft_slope_deg
    assert abs(shaft.wanted - whole.setpoints.shaft_slope_deg) > 0.5  # which settling flattens: it tells the two apart


@pytest.mark.parametrize(
    ("name", "verdict", "words"),
    [
        ("ubolts_tight", "hold", "torque them with the weight on"),
        ("slip_in_stroke", "hold", "the slip comes to the end of its stroke"),
        ("oil_right", "caution", "the oil does not stand right"),
        ("breather_dry", "caution", "the breather is shut or wet"),
    ],
)
def test_what_is_looked_at_after_the_drive(name: str, verdict: str, words: str) -> None:
    driven = AS_SET | LOOKED | {"stage": "driven"}
    wrong = last(driven | {name: False})
    assert wrong.verdict == verdict
    assert words in wrong.says
    unseen = last(driven | {name: None})
    assert unseen.verdict == "unknown"
    assert unseen.says.startswith("Read first: ")
    assert last(AS_SET | {name: False}).checks == ()  # of the drive alone


@pytest.mark.parametrize("lost", ["pinion_slope_deg", "flange_to_perch_left_mm", "flange_to_perch_right_mm"])
def test_nothing_goes_on_without_the_pinion_and_both_perches(lost: str) -> None:
    made = last(AS_SET | {lost: None})
    assert made.verdict == "unknown"
    assert made.lacking
    assert made.lacking[0] in made.says
    assert last({}).whole is None
    assert last({}).verdict == "unknown"


@pytest.mark.parametrize("lost", [name for name in ReadAgain.model_fields if name != "stage"])
def test_what_is_not_read_never_clears(lost: str) -> None:
    """Whatever is wrong, leaving a reading out turns nothing to clear, but what it alone tells of."""
    for stage in ("tacked", "welded", "driven"):
        bad = AS_SET | LOOKED | {"stage": stage, "seat_left_deg": 3.0, "seat_right_deg": 3.7, "pinion_slope_deg": 9.9}
        before = {one.name: one.verdict for one in last(bad).numbers}
        after = {one.name: one.verdict for one in last(bad | {lost: "" if lost == "day" else None}).numbers}
        assert all(after.get(name) != "clear" or before[name] == "clear" or lost.startswith(name) for name in before)
        assert last(bad | {lost: "" if lost == "day" else None}).verdict != "clear"


def test_only_what_was_read_is_told_of() -> None:
    unread = {"pinion_slope_deg": None, "flange_to_perch_left_mm": None}
    told = {one.name: one for one in last(AS_SET | unread).numbers}
    assert set(told) == {"output", "perch_right", "perches"}
    assert told["perches"].read is None  # of two sides one was read
    assert told["perches"].verdict == "unknown"


def test_what_gauge_and_tape_leave_open() -> None:
    """Linear law of JCGM 100: reading and zero together, and of two tapings each its own."""
    gauge = {"angle_uncertainty_deg": 0.1, "zero_uncertainty_deg": 0.2, "tape_uncertainty_mm": 0.5}
    build = edited(BUILD, {"gauge": gauge})
    read = {"pinion_slope_deg": POINTS.pinion_slope_deg + 0.6, "seat_left_deg": 3.0, "seat_right_deg": 3.0}
    made = last(AS_SET | read, of=build)
    assert number(made, "pinion").doubt == pytest.approx(hypot(0.1, 0.2))
    assert number(made, "seats").doubt == pytest.approx(0.1 * sqrt(2.0))
    assert number(made, "perches").doubt == pytest.approx(0.5 * sqrt(2.0))
    assert number(made, "perch_left").doubt == 0.5
    assert number(made, "pinion").near
    assert "too near its line to tell: read it again" in made.says
    assert number(last(AS_SET | read), "pinion").near is (BUILD.gauge is not None)


def test_an_axle_on_links_needs_no_perches_and_what_is_read_of_them_counts() -> None:
    """Coil seats, say: entered and passed over in silence once, with the seats 5° apart and a clear verdict."""
    build = sample("transfer_case_double_joint")
    assert build.suspension is not None
    assert build.suspension.kind == "links"
    slope = {"pinion_slope_deg": solve(build).setpoints.pinion_slope_deg}
    bare = last(slope, of=build)
    assert {one.name for one in bare.numbers} == {"pinion"}
    assert (bare.lacking, bare.verdict) == ((), "clear")
    apart = last(slope | {"seat_left_deg": 1.0, "seat_right_deg": 6.0}, of=build)
    assert (number(apart, "seats").off, apart.verdict) == (-5.0, "hold")
    half = last(slope | {"flange_to_perch_left_mm": 200.0}, of=build)
    assert (number(half, "perches").verdict, half.verdict) == ("unknown", "unknown")


def test_a_build_that_is_at_hold_as_set_is_not_to_be_welded_however_well_it_sits() -> None:
    """Joints that turn 6° at most, set as told: it sits as set, and the joints bind. It said: weld it."""
    bound = edited(BUILD, {"shaft.front_joint.max_angle_deg": 6.0, "shaft.rear_joint.max_angle_deg": 6.0})
    points = solve(bound).setpoints
    read = {"pinion_slope_deg": points.pinion_slope_deg, "output_slope_deg": points.output_slope_deg}
    read |= dict.fromkeys(("flange_to_perch_left_mm", "flange_to_perch_right_mm"), points.flange_to_perch_mm)
    for stage, words in (
        ("tacked", "Do not weld it: "),
        ("welded", "Do not drive it: "),
        ("driven", "Do not drive it on: "),
    ):
        made = last(read | LOOKED | {"stage": stage}, of=bound)
        assert made.worse == ()
        assert (made.whole, made.verdict) == ("hold", "hold")
        assert made.says.startswith(f"{words}as it was set the build is at hold, ")
        assert made.says.endswith(". Else it sits as set.")
    open_ = last(read | {"flange_to_perch_left_mm": None}, of=bound)
    assert open_.verdict == "hold"
    assert open_.says.endswith("Read first: left flange to perch and perches, left less right.")


def test_what_moved_is_told_from_the_last_set_in_which_it_was_read() -> None:
    """A set between in which it was forgotten hides no move; what was before it was tacked anew tells none."""
    low, high = ({"pinion_slope_deg": POINTS.pinion_slope_deg + off} for off in (-0.4, 0.4))
    welded, between = AS_SET | low | {"stage": "welded"}, LOOKED | {"stage": "driven", "output_slope_deg": 4.6}
    after = AS_SET | LOOKED | high | {"stage": "driven"}
    made = last(welded, between, after)
    assert number(made, "pinion").moved == pytest.approx(0.8)
    assert (number(made, "pinion").verdict, made.verdict) == ("caution", "caution")
    anew = last(welded, {"stage": "tacked"}, after)
    assert number(anew, "pinion").moved is None


@pytest.mark.parametrize("stage", ["tacked", "driven"])
def test_a_slope_with_the_other_sign_asks_whether_it_was_entered_the_right_way_round(stage: str) -> None:
    rig = sample("front_axle_lift")
    points = solve(rig).setpoints
    made = last({"stage": stage, "pinion_slope_deg": -points.pinion_slope_deg}, of=rig)
    assert number(made, "pinion").turned
    assert "pinion slope slopes the other way than as set" not in made.says
    assert "pinion slopes the other way than as set: see that it was entered the right way round" in made.says
    assert not number(last({"pinion_slope_deg": 3.0}, of=rig), "pinion").turned
    flat = edited(Build(), {"powertrain.slope_deg": 0.2, "readings.shaft_slope_deg": 0.4, "axle.pinion_slope_deg": 0.2})
    assert not number(last({"output_slope_deg": -0.2}, of=flat), "output").turned  # which is near enough


@pytest.mark.parametrize(("wanted", "read", "turned"), [
    (3.0, -3.0, True), (3.0, -2.0, True), (3.0, -1.9, False),  # a degree is near the other sign, not more
    (1.5, -0.6, True), (1.5, -0.5, False),  # and twice as near it as to what was set: 0.9 to 2.1, 1.0 to 2.0
    (0.5, -0.5, False), (0.6, -0.6, True), (3.0, 3.0, False), (None, -3.0, False),
])  # fmt: skip
def test_turned_is_what_sits_much_nearer_the_other_sign(wanted: float | None, read: float, turned: bool) -> None:
    off = None if wanted is None else read - wanted
    assert Compared("pinion", "Pinion", "deg", wanted, None, read, off, None, None, "hold").turned is turned
    assert not Compared("pinion", "Pinion", "mm", wanted, None, read, off, None, None, "hold").turned


def test_of_many_that_are_worse_three_are_named() -> None:
    made = last({"output_slope_deg": -60.0, "pinion_slope_deg": 60.0}, of=sample("long_van_two_piece"))
    assert len(made.worse) > 8
    assert " more" in made.says
    assert len(made.says) < 600


def test_what_holds_though_it_sits_as_set_is_named() -> None:
    """A joint too weak at both ends, and a shaft that whirls: what no line read again can mend."""
    joints = {f"shaft.{end}_joint.torque_limit_nm": 100.0 for end in ("front", "rear")}
    held = edited(BUILD, {**joints, "vehicle.cruise_speed_kmh": 250.0})
    points = solve(held).setpoints
    lines = {"pinion_slope_deg": points.pinion_slope_deg, "output_slope_deg": points.output_slope_deg}
    says = last(AS_SET | lines, of=held).says
    assert says.startswith("Do not weld it: as it was set the build is at hold, too near critical speed ")
    assert says.count("joint too weak ") == 2


@pytest.mark.parametrize(
    ("held", "says"),
    [("a", "a"), ("abc", "a, b and c"), ("abcd", "a, b, c and 1 more"), ("abcdef", "a, b, c and 3 more")],
)
def test_of_many_that_hold_three_are_named(held: str, says: str) -> None:
    assert _some(list(held)) == says


def test_a_line_beyond_all_reason_is_not_judged() -> None:
    three = {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 0.0, "axle.pinion_slope_deg": 40.0}
    build = edited(Build(), three | {"plan.axle_shim_deg": -30.0})
    made = last({"pinion_slope_deg": 60.0}, of=build)
    assert made.whole is None
    assert made.verdict == "hold"


@pytest.mark.parametrize("name", ReadAgain.model_fields)
def test_each_entry_counts(name: str) -> None:
    """No entry of a set is dead: another value, or none, tells something else."""
    full: dict[str, object] = {**AS_SET, **LOOKED, "stage": "driven", "day": "12 May", "odometer_km": 9000.0}
    full |= {"rail_slope_deg": 0.4, "shaft_slope_deg": 8.0, "seat_left_deg": 2.0, "seat_right_deg": 2.0}
    full |= dict.fromkeys(("wheelbase_left_mm", "wheelbase_right_mm"), 2800.0)
    full |= dict.fromkeys(("diagonal_left_mm", "diagonal_right_mm"), 1500.0)
    assert set(full) == set(ReadAgain.model_fields)
    other = {"stage": "welded", "day": "13 May"}.get(name)
    assert last(full | {name: other}) != last(full)


def test_without_a_place_to_set_perches_are_held_against_each_other() -> None:
    made = last({"flange_to_perch_left_mm": 200.0, "flange_to_perch_right_mm": 200.0}, of=Build())
    assert [one.name for one in made.numbers if one.unit == "mm"] == ["perches"]


def test_stages_have_headings() -> None:
    assert [stage_words(one) for one in ("tacked", "welded", "driven")] == ["Tacked", "Welded, cold", "After the drive"]


def of_both(front: dict[str, object], **changes: object) -> Build:
    """The truck with a front shaft of three angles, which cancels where nothing is said of it."""
    at = {"slope_deg": 3.0}, {"shaft_slope_deg": -4.0}, {"end": "front", "pinion_slope_deg": 3.0}
    second = dict(zip(("output", "readings", "axle"), at, strict=True))
    return edited(
        BUILD, {"drivelines": (second,)} | {f"drivelines.0.{path}": one for path, one in front.items()} | changes
    )


@pytest.mark.parametrize("stage", ["tacked", "welded", "driven"])
def test_nothing_goes_on_while_the_other_shaft_holds(stage: str) -> None:
    """It said: weld it. The other shaft's joints, 7° and 1°, are 6° apart; with 7° and 7° it is not at hold."""
    held, fine = of_both({"axle.pinion_slope_deg": -3.0}), of_both({})
    assert solve(swapped(held)).verdict == "hold" != solve(swapped(fine)).verdict
    made = last(AS_SET | LOOKED | {"stage": stage}, of=held)
    assert (made.verdict, made.whole) == ("hold", "hold")
    assert made.says.startswith(("Do not weld it: the front shaft is on hold, ", "Do not drive it"))
    assert made.says.endswith(". Else it sits as set.")
    assert last(AS_SET | LOOKED | {"stage": stage}, of=fine).verdict == "clear"
    nothing = last({"stage": stage}, of=held)
    assert (nothing.verdict, nothing.whole) == ("hold", None)


def test_an_engine_read_otherwise_turns_the_other_output_too() -> None:
    """Tail 4° farther down: the front joints, 7° and 7° as set, are then 11° and 7°, 4° apart and at hold."""
    off = last(AS_SET | {"output_slope_deg": POINTS.output_slope_deg + 4.0}, of=of_both({}))
    apart = next(one for one in off.worse_there if one.id == "ends_parallel")
    assert (apart.verdict, apart.value) == ("hold", pytest.approx(4.0, abs=0.01))
    assert " on the front shaft" in off.says
    assert off.verdict == "hold"


@pytest.mark.parametrize("slope_to", ["plan.powertrain_slope_deg", "drivelines.0.plan.powertrain_slope_deg"])
@pytest.mark.parametrize("mounts", ["fixed", "loose"])
def test_a_loose_engine_is_set_to_one_slope_and_read_at_another(slope_to: str, mounts: str) -> None:
    """The slope that either output is to be set to is what moves; with fixed mounts it has no effect, and what was
    measured moves. Either way the other output hangs down by as much more.
    """
    three = {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8, "axle.pinion_slope_deg": 3.5}
    both = joined(edited(Build(), three), sample("front_axle_lift"))
    both = edited(both, {"plan.mount_shim_mm": None, "plan.mounts": mounts})
    first = value_at(both, "powertrain.slope_deg"), value_at(both, "drivelines.0.output.slope_deg")
    build = edited(both, {slope_to: first[slope_to.startswith("drivelines")]})
    wanted = solve(build).setpoints.output_slope_deg
    as_set, off = (last({"output_slope_deg": wanted + by}, of=build) for by in (0.0, 5.0))
    assert as_set.worse_there == ()
    assert [(one.id, one.verdict) for one in off.worse_there] == [("tail_down", "caution")]
    assert off.worse_there[0].value == pytest.approx(first[1] + 5.0)
