"""Perches and clamp: where they belong, how the weld pulls, what to buy, and how far off each number may be."""

from math import cos, radians, sin, tan

import numpy as np
import pytest

from geometry import Build, Solution, edited, solve, value_at
from geometry.judge.clamp import NEEDS as CLAMP_NEEDS
from geometry.judge.perches import NEEDS as PERCH_NEEDS
from geometry.judge.square import NEEDS as SQUARE_NEEDS
from geometry.mechanics.perch import rise_mm, tenth_mm
from geometry.mechanics.vectors import number
from geometry.words.setpoints import setpoints_of
from geometry.words.solution import Bought, TapeCheck
from geometry.words.tolerance import Tolerance, tolerances_of
from tests.geometry.strategies import sample
from tests.geometry.test_judge_findings import SET_UP
from tests.geometry.words_builds import told_of

OWN = {*PERCH_NEEDS, *CLAMP_NEEDS, *SQUARE_NEEDS}
RANCH = sample("ranch_truck_swap")
BARE = edited(RANCH, {"perches": None, "clamp": None, "square": None})
CLAMP = {"spring_width_mm": 63.5, "pack_height_mm": 50.0, "perch_height_mm": 20.0, "plate_mm": 10.0, "rod_mm": 14.0,
         "block_mm": 0.0, "wedge_mm": 0.0, "pin_mm": 10.0}  # fmt: skip
"""On the truck's tube of 82 the U-bolts reach round 162."""


def found(build: Build, limit: str) -> str:
    return next((one.verdict for one in solve(build).findings if one.id == limit), "")


# --- asked only where it is begun -----------------------------------------------------------------------------------


def test_nothing_is_asked_and_nothing_is_bought_before_any_of_it_is_entered() -> None:
    for build in (Build(), BARE, edited(BARE, {"perches": {}, "clamp": {}, "square": {}})):
        answer = solve(build)
        assert not OWN & {one.id for one in answer.findings}
    assert solve(BARE).buying == ()


def test_one_entry_begins_a_check_and_the_rest_is_wanted_by_name() -> None:
    for section, name, limit, wanted in (
        ("perches", "seat_left_deg", "pad_twist", "the right seat slope"),
        ("square", "wheelbase_right_mm", "wheelbases_equal", "the wheelbase, left"),
        ("square", "holes_apart_mm", "thrust_angle", "the frame to flange, left"),
        ("square", "toe_front_after_mm", "toe_welded", "the tape across in front, before"),
    ):
        answer = solve(edited(Build(), {f"{section}.{name}": 5.0}))
        one = next(one for one in answer.findings if one.id == limit)
        assert one.verdict == "unknown"
        assert wanted in one.says


@pytest.mark.parametrize("wrong", [
    {"perches.seat_left_deg": 3.0, "perches.springs_apart_mm": 1050.0, "perches.flange_to_flange_mm": 1500.0,
     "perches.casting_gap_mm": 0.0},
    {"clamp.leg_mm": 90.0, "axle.perch_spacing_mm": 1040.0},
    {"clamp.block_mm": 40.0, "clamp.wedge_mm": 6.0, "axle.perch_spacing_mm": 1040.0},
    {"square.wheelbase_left_mm": 3300.0, "square.diagonal_left_mm": 1850.0, "square.offset_left_mm": 350.0},
    {"square.toe_rear_after_mm": 1530.0, "square.camber_left_after_deg": 2.0, "square.toe_rear_before_mm": 1520.0,
     "square.camber_right_before_deg": 1.0},
])  # fmt: skip
def test_a_measurement_taken_away_never_clears(wrong: dict[str, object]) -> None:
    build = edited(SET_UP, wrong)
    before = {(one.id, one.part): one.verdict for one in solve(build).findings if one.id in OWN}
    assert sum(verdict != "clear" for verdict in before.values()) >= 2
    for section in ("perches", "clamp", "square", "axle", "gauge"):
        for name, value in value_at(build, section).model_dump().items():
            if not isinstance(value, float):
                continue
            after = solve(edited(build, {f"{section}.{name}": None})).findings
            cleared = {
                (one.id, one.part) for one in after
                if one.id in OWN and one.verdict == "clear" and before[one.id, one.part] != "clear"
            }  # fmt: skip
            assert not cleared, name


# --- where they belong, and the pull of the weld ----------------------------------------------------------------------


def test_perches_belong_under_their_springs_the_same_from_both_flanges() -> None:
    points = solve(SET_UP).setpoints
    assert (points.perch_spacing_mm, points.flange_to_perch_mm) == (1010.0, (1427.0 - 1010.0) / 2.0)
    moved = solve(edited(SET_UP, {"perches.springs_apart_mm": 1000.0})).setpoints
    assert (moved.perch_spacing_mm, moved.flange_to_perch_mm) == (1000.0, 213.5)
    bare = solve(BARE).setpoints
    assert (bare.perch_spacing_mm, bare.flange_to_perch_mm) == (1010.0, None)


@pytest.mark.parametrize("name", ["ranch_truck_swap", "lifted_short_shaft", "long_van_two_piece", "front_axle_lift"])
@pytest.mark.parametrize("lift", [{}, {"plan.rear_lift_mm": 76.2, "plan.rear_lift_by": "spring"},
                                  {"plan.front_lift_mm": 50.8}])  # fmt: skip
def test_the_tube_stands_as_high_over_the_floor_after_any_lift_and_the_pinion_lies_where_it_is_drawn(
    name: str, lift: dict[str, object]
) -> None:
    """By the picture, which is worked out by itself: a lift moves the frame; the tyres, and the axle in them, stay."""
    build = edited(sample(name), lift)
    answer = solve(build)
    plain = edited(build, {"plan.axle_shim_deg": None, "plan.mount_shim_mm": None})
    centre, joint = solve(plain).picture.axle_centre_mm, answer.picture.pinion_joint_mm
    assert centre is not None
    assert joint is not None
    points = answer.setpoints
    tube = value_at(build, "axle.tube_diameter_mm")
    assert points.tube_underside_mm == pytest.approx(centre[2] - tube / 2.0, abs=0.6)
    assert points.tube_underside_mm == answer.measured.tube_underside_mm
    assert points.pinion_aside_mm == pytest.approx(joint[1], abs=0.5)


def test_where_the_tube_or_the_pinion_is_not_known_or_it_hangs_neither_is_told() -> None:
    build = sample("ranch_truck_swap")
    assert solve(edited(build, {"axle.tube_diameter_mm": None})).setpoints.tube_underside_mm is None
    bare = solve(edited(build, {"axle.centre_mm": None})).setpoints
    assert (bare.tube_underside_mm, bare.pinion_aside_mm) == (None, None)
    hung = solve(edited(build, {"state": {"on": "frame_stands"}})).setpoints
    assert (hung.tube_underside_mm, hung.pinion_aside_mm) == (None, None)
    offset = solve(edited(build, {"axle.pinion_offset_mm": 40.0})).setpoints.pinion_aside_mm
    assert offset == pytest.approx(15.0 + 40.0)  # by hand: the axle's middle lies 15 mm to the right


def test_the_seats_read_apart_stand_for_the_one_that_is_not_entered() -> None:
    apart = {"readings.seat_slope_deg": None, "perches.seat_left_deg": 0.4, "perches.seat_right_deg": 0.6}
    assert solve(edited(BARE, apart)).setpoints.perch_to_pinion_deg == solve(BARE).setpoints.perch_to_pinion_deg


@pytest.mark.parametrize(("seat", "first", "way"), [
    ("over", "front", 1.0), ("over", "rear", -1.0), ("under", "front", -1.0), ("under", "rear", 1.0),
])  # fmt: skip
def test_what_is_tacked_comes_right_when_the_weld_has_pulled_the_seat(seat: str, first: str, way: float) -> None:
    """The seat as a line in side view, its front or rear end drawn to the tube over or under it, by plain vectors."""
    pull = 0.7
    entries = {"suspension.seat": seat, "perches.first_weld": first, "perches.weld_pull_deg": pull}
    points = solve(edited(BARE, entries)).setpoints
    assert points.tack_to_pinion_deg is not None
    assert points.perch_to_pinion_deg is not None
    side = 1.0 if seat == "over" else -1.0
    ends = {"front": np.array([-50.0, side * 60.0]), "rear": np.array([50.0, side * 60.0])}
    ends[first] = ends[first] - np.array([0.0, side * 100.0 * tan(radians(pull))])  # toward the tube
    along = ends["rear"] - ends["front"]
    turned = np.degrees(np.arctan2(-along[1], along[0]))  # of the seat against the tube, rear end lower is more
    assert points.tack_to_pinion_deg - turned == pytest.approx(points.perch_to_pinion_deg, abs=0.051)
    assert turned == pytest.approx(-way * pull, abs=1e-3)


def test_a_pull_of_a_quarter_of_a_degree_is_taken_once_the_edge_is_named() -> None:
    assert solve(BARE).setpoints.tack_to_pinion_deg is None
    left_open = solve(edited(BARE, {"perches.first_weld": "rear"})).setpoints
    entered = solve(edited(BARE, {"perches.first_weld": "rear", "perches.weld_pull_deg": 0.25})).setpoints
    assert left_open == entered


# --- checks by tape ---------------------------------------------------------------------------------------------------


def check(answer: Solution, of: str) -> TapeCheck:
    return next(one for one in answer.setpoints.checks if one.of == of)


def test_the_pinions_joint_over_the_axles_centre_tells_its_slope() -> None:
    """A pinion of 335 with no drop: 335 sin of its slope; a tenth of a degree moves it by 335 cos of it over 573."""
    welded = solve(edited(BARE, {"plan.axle_shim_deg": 0.0}))
    one = check(welded, "pinion")
    slope = welded.setpoints.pinion_slope_deg
    assert slope is not None
    assert one.rise_mm == pytest.approx(335.0 * sin(radians(slope)), abs=0.3)
    assert one.tenth_mm == pytest.approx(335.0 * cos(radians(slope)) * radians(0.1), abs=1e-3)


@pytest.mark.parametrize("tilt_deg", [-8.0, 0.0, 3.0])
@pytest.mark.parametrize(("along", "up"), [(-340.0, 0.0), (-340.0, 25.0), (900.0, -150.0)])
def test_a_tenth_of_a_degree_moves_a_height_by_what_is_told(tilt_deg: float, along: float, up: float) -> None:
    """The height worked out twice, a tenth apart, on a vehicle that stands level or not."""
    arm = number(along), number(up)
    lower, higher = (rise_mm(*arm, number(tilt_deg + off)) for off in (-0.05, 0.05))
    assert float(tenth_mm(*arm, number(tilt_deg))) == pytest.approx(abs(higher - lower), rel=1e-5)


@pytest.mark.parametrize("name", ["ranch_truck_swap", "lifted_short_shaft", "front_axle_lift", "long_van_two_piece"])
def test_heights_over_the_floor_are_those_of_the_picture(name: str) -> None:
    """Of the plan itself, which the picture shows, before any remedy."""
    build = sample(name)
    with np.errstate(all="ignore"):
        checks = {one.of: one.rise_mm for one in setpoints_of(told_of(build)).checks}
    picture = solve(build).picture
    joints = [centre[2] for centre in picture.joint_centres_mm]
    assert checks["shaft"] == pytest.approx(joints[-1] - joints[-2], abs=1e-6)
    assert checks["pinion"] == pytest.approx(_up(picture.pinion_joint_mm) - _up(picture.axle_centre_mm), abs=1e-6)
    assert checks["output"] == pytest.approx(_up(picture.output_joint_mm) - _up(picture.front_mount_mm), abs=1e-6)


def _up(point: tuple[float, ...] | None) -> float:
    assert point is not None
    return point[-1]


# --- the clamp --------------------------------------------------------------------------------------------------------


def bought(build: Build) -> dict[str, Bought]:
    return {one.name.partition(",")[0]: one for one in solve(build).buying}


@pytest.mark.parametrize(
    ("unit", "changes", "leg", "width"),
    [
        # 82 + 20 + 50 + 10 = 162 round; a washer of 3.2, a nut of 14 and 9.5 beyond: 188.7, sold as 7 1/2 in or 190 mm.
        ("inch", {}, 7.5 * 25.4, 82.0),
        ("millimetre", {}, 190.0, 82.0),
        # A block of 50 and a wedge of 4 more: 242.7, sold as 9 3/4 in (247.65) or 245 mm.
        ("inch", {"clamp.block_mm": 50.0, "clamp.wedge_mm": 4.0}, 9.75 * 25.4, 82.0),
        ("millimetre", {"clamp.block_mm": 50.0, "clamp.wedge_mm": 4.0}, 245.0, 82.0),
        # A planned block lifts: 40 more is 228.7, 230.
        ("millimetre", {"plan.rear_lift_by": "block", "plan.rear_lift_mm": 40.0}, 230.0, 82.0),
        # A thinner block lowers: 50 there, 30 less, is 208.7, 210.
        ("millimetre",
         {"plan.rear_lift_by": "block", "plan.rear_lift_mm": -30.0, "clamp.block_mm": 50.0}, 210.0, 82.0),
        # Square over the spring it is as wide as the spring alone, the tube of 82 lying between two of them.
        ("millimetre", {"clamp.bend": "square", "clamp.spring_width_mm": 90.0}, 190.0, 90.0),
        ("millimetre", {"clamp.bend": "square", "clamp.spring_width_mm": 63.5}, 190.0, 63.5),
        # Round about the tube it is as wide as the tube, whatever the spring is.
        ("millimetre", {"clamp.bend": "round", "clamp.spring_width_mm": 90.0}, 190.0, 82.0),
    ],
)  # fmt: skip
def test_u_bolts_by_hand(unit: str, changes: dict[str, object], leg: float, width: float) -> None:
    build = edited(BARE, {"display.length": unit, "clamp": dict(CLAMP), "plan.axle_shim_deg": 0.0,
                          "plan.perches": "loose", **changes})  # fmt: skip
    sizes = dict(bought(edited(build, {"plan.axle_shim_deg": None}))["U-bolt"].sizes)
    assert sizes["leg, inside of the bend to its end"] == pytest.approx(leg)
    assert sizes["inside width"] == width
    assert sizes["thread on each leg, at least"] == pytest.approx(12.7 + 3.2 + 14.0 + 9.5)


def test_a_centre_pin_by_hand_and_what_it_lacks_is_named() -> None:
    """Leaves of 50, a nut of 10 and 6.35 beyond: 66.35, sold as 2 3/4 in (69.85)."""
    build = edited(BARE, {"clamp": dict(CLAMP), "plan.perches": "loose"})
    pin = bought(build)["Centre pin"]
    assert dict(pin.sizes)["length under the head"] == pytest.approx(69.85)
    assert (pin.count, pin.wants) == (2, ())
    assert bought(edited(build, {"clamp.pin_mm": None}))["Centre pin"].wants == ("clamp.pin_mm",)
    bolt = bought(edited(build, {"clamp.plate_mm": None}))["U-bolt"]
    assert (bolt.count, bolt.wants) == (4, ("clamp.plate_mm",))
    assert "leg, inside of the bend to its end" not in dict(bolt.sizes)


def test_a_planned_wedge_and_a_thinner_block_want_what_is_there() -> None:
    wedged = edited(BARE, {"clamp": CLAMP | {"leg_mm": 190.0}, "plan.axle_shim_deg": 2.0})
    says = next(one.says for one in solve(wedged).findings if one.id == "ubolt_reserve")
    assert says == (
        "Not judged: the plan has a wedge, and the one at the clamp is entered as none: enter how thick it will be."
    )
    assert "clamp.wedge_mm" in bought(wedged)["U-bolt"].wants
    wedged = edited(wedged, {"clamp.wedge_mm": None})
    says = next(one.says for one in solve(wedged).findings if one.id == "ubolt_reserve")
    assert says == "Not judged: measure or enter the wedge at its middle."
    thinner = edited(BARE, {"clamp": CLAMP | {"leg_mm": 190.0}, "plan.perches": "loose",
                            "plan.rear_lift_by": "block", "plan.rear_lift_mm": -10.0})  # fmt: skip
    says = next(one.says for one in solve(thinner).findings if one.id == "ubolt_reserve")
    assert says == "Not judged: the plan takes off more block than there is: measure it again."
    lacks = edited(thinner, {"clamp.block_mm": None})
    says = next(one.says for one in solve(lacks).findings if one.id == "ubolt_reserve")
    assert says == "Not judged: measure or enter the block that is there."
    assert found(edited(thinner, {"clamp.block_mm": 25.0}), "ubolt_reserve") == "hold"
    assert "clamp.block_mm" in bought(thinner)["U-bolt"].wants
    assert found(edited(thinner, {"clamp.block_mm": 5.0}), "ubolt_reserve") == "unknown"  # thinner than nothing


def test_new_blocks_make_old_u_bolts_short() -> None:
    old = edited(BARE, {"clamp": CLAMP | {"leg_mm": 190.0}, "plan.perches": "loose"})
    block = {"plan.rear_lift_by": "block", "plan.rear_lift_mm": 25.0}
    assert [found(build, "ubolt_reserve") for build in (old, edited(old, block))] == ["clear", "hold"]


def test_u_bolts_too_short_without_a_wedge_are_so_with_it() -> None:
    """Legs of 150 round a stack of 162: no wedge makes that less, and none is a way out of it.

    Of legs that may do without a wedge nobody knows; then too a wedge that takes the answer away mends nothing.
    """
    low = {"powertrain.slope_deg": 3.0, "readings.shaft_slope_deg": 8.0, "axle.pinion_slope_deg": -1.0}
    for leg, verdicts in ((150.0, ("hold", "hold")), (182.0, ("caution", "unknown"))):
        build = edited(BARE, {"clamp": CLAMP | {"leg_mm": leg}, **low})
        wedged = edited(build, {"plan.axle_shim_deg": 4.0})
        assert (found(build, "ubolt_reserve"), found(wedged, "ubolt_reserve")) == verdicts
        answer = solve(build)
        assert any("wedges" in one.remedy.says for one in answer.findings if one.remedy)
        short = next(one for one in answer.findings if one.id == "ubolt_reserve")
        assert short.remedy is None
    build = edited(
        BARE, {"clamp": CLAMP | {"leg_mm": 150.0}, "plan.axle_shim_deg": 4.0, "display.length": "millimetre"}
    )
    says = next(one.says for one in solve(build).findings if one.id == "ubolt_reserve")
    assert says.startswith(
        "The U-bolts clamp 162 mm (6.38 in) without the wedge and their legs are 150 mm (5.91 in) long"
    )
    assert " and as much more as the wedge is thick at its middle are wanted. New U-bolts" in says


# --- how far off each may be ------------------------------------------------------------------------------------------

RANKS = ("clear", "unknown", "caution", "hold")
LEFT_OUT = {"gauge_resolution", "wedge_size", "caster", "ubolt_reserve"}


def verdicts(build: Build) -> dict[tuple[str, str], int]:
    return {
        (one.id, one.part): RANKS.index(one.verdict) for one in solve(build).findings if one.id not in LEFT_OUT
    }  # fmt: skip


def worse(build: Build, one: Tolerance, off: float) -> bool:
    """Whether any finding is worse with the number off by so much, by solving both builds."""
    before = verdicts(edited(build, {one.path.removesuffix(".2"): _at(build, one, 0.0)}))
    after = verdicts(edited(build, {one.path.removesuffix(".2"): _at(build, one, off)}))
    return any(rank > before.get(key, 0) for key, rank in after.items())


def _at(build: Build, one: Tolerance, off: float) -> object:
    value = one.value + off
    if one.path.endswith(".2"):
        x, y, _ = value_at(build, one.path.removesuffix(".2"))
        return (x, y, value)
    return value


@pytest.mark.parametrize("name", ["ranch_truck_swap", "lifted_short_shaft", "front_axle_lift"])
def test_how_far_off_is_where_solving_says_that_a_verdict_turns(name: str) -> None:
    build, looked = sample(name), 0
    for one in tolerances_of(build):
        fine = 0.01 if one.unit == "deg" else 0.05
        for off, way in ((one.less, -1.0), (one.more, 1.0)):
            if off is None:
                continue
            assert not worse(build, one, way * off), (one.name, way)
            assert worse(build, one, way * (off + fine)), (one.name, way)
            for share in (0.3, 0.7):
                assert not worse(build, one, way * off * share), (one.name, way)
            looked += 1
    assert looked >= 8


def test_loose_perches_and_mounts_may_be_off_by_so_much() -> None:
    loose = edited(RANCH, {"plan.perches": "loose", "plan.mounts": "loose", "plan.pinion_slope_deg": 4.7})
    named = {one.name: one for one in tolerances_of(loose)}
    assert named["pinion slope"].path == "plan.pinion_slope_deg"
    assert named["pinion slope"].value == pytest.approx(4.7)
    assert named["output slope"].value == pytest.approx(4.6)
    for one in (named["pinion slope"], named["output slope"]):
        for off, way in ((one.less, -1.0), (one.more, 1.0)):
            if off is not None:
                assert worse(loose, one, way * (off + 0.01))
                assert not worse(loose, one, way * off)


def test_what_nothing_turns_by_has_no_end_and_what_is_not_known_is_left_out() -> None:
    assert tolerances_of(Build()) == ()
    spacing = next(one for one in tolerances_of(BARE) if one.name == "perch to perch")
    assert (spacing.less, spacing.more, spacing.at_less) == (None, None, "")
