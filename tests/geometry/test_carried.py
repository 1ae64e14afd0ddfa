"""Outlines that axle and engine carry: pairs against brute force at each place, the engine's rock, words, rows."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from geometry import Build, edited, solve
from geometry.document.entries import variants
from geometry.judge import judging
from geometry.judge.allowed import allowed
from geometry.judge.carried import USUAL_ROCK_DEG, pairs_of
from geometry.judge.codes import finding_id
from geometry.judge.facts import Facts
from geometry.judge.judging import judge
from geometry.judge.table import Table
from geometry.mechanics.clearance import section_outline
from geometry.mechanics.rolled import rise_mm, rolled_outlines
from geometry.mechanics.vectors import number
from tests.geometry.strategies import sample
from tests.geometry.words_builds import SETTLED


def box(x, z, wide, high):
    return ((x - wide, z - high), (x + wide, z - high), (x + wide, z + high), (x - wide, z + high))


COVER = {"name": "cover", "carried_by": "axle", "outline_mm": box(2680.0, 400.0, 60.0, 70.0)}
TANK = {"name": "tank", "outline_mm": box(2700.0, 640.0, 50.0, 25.0)}
PAN = {"name": "pan", "carried_by": "engine", "left_mm": -180.0, "right_mm": 160.0,
       "outline_mm": ((500.0, 380.0), (760.0, 380.0), (760.0, 480.0), (480.0, 500.0))}  # fmt: skip
CROSS = {"name": "crossmember", "outline_mm": box(640.0, 330.0, 40.0, 20.0)}
TAIL = {"name": "tail", "carried_by": "engine", "outline_mm": box(2500.0, 520.0, 30.0, 30.0), "left_mm": -60.0,
        "right_mm": 60.0}  # fmt: skip
ROCK = {"powertrain.rock_deg": 4.0, "powertrain.low_range": 1.0}


@pytest.fixture(scope="module")
def loaded(one_piece):
    """The shared build with nothing left open, and outlines on frame, axle and engine."""
    return edited(
        one_piece,
        SETTLED | ROCK | {"suspension.rate_n_per_mm": 60.0, "obstacles": (COVER, TANK, PAN, CROSS, TAIL)},
    )  # fmt: skip


def facts_of(build, positions=41):
    with np.errstate(all="ignore"):
        return Facts(variants(build), positions)


def gap_of(build, one, two):
    place = [tuple(pair) for pair in pairs_of(build)].index((one, two))
    return next(finding for finding in solve(build).findings if finding.id == f"pair_gap_{place + 1}")


def on_axle(build, corners, wound):
    """The outline at each place of the travel by turning matrices, at rest or wound up."""
    f = facts_of(build)
    with np.errstate(all="ignore"):
        turns = np.ravel(f.axle_turn_deg) + f.sweep.turn_deg[:, 0] + (float(f.launch_most_deg) if wound else 0.0)
        x = np.ravel(f.axle.centre.x) + f.sweep.shift.x[:, 0]
        z = np.ravel(f.axle.centre.z) + f.sweep.shift.z[:, 0]
    made = []
    for turn, at in zip(np.radians(turns), zip(x, z, strict=True), strict=True):
        matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        made.append(np.add((np.array(corners) - np.array(build.axle.centre_mm)[[0, 2]]) @ matrix.T, at))
    return made


def on_engine(build, outline, rock_deg):
    """Outlines of the engine's part by brute force: every roll up to the whole, every place from left to right."""
    f = facts_of(build, 0)
    with np.errstate(all="ignore"):
        line, joint = f.powertrain.line, f.powertrain.joint
        slope, turn = np.arctan2(-float(line.z), float(line.x)), np.radians(float(f.powertrain.turn_deg))
    hinge = np.array(build.powertrain.front_mount_mm)
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    corners = hinge + (np.array(outline["outline_mm"]) - hinge) @ matrix.T
    corners = corners + np.array([float(f.powertrain.shift.x), float(f.powertrain.shift.z)])
    up = np.array([np.sin(slope), np.cos(slope)])
    at = np.array([float(joint.x), float(joint.z)])
    made = []
    for roll in np.radians(np.linspace(-rock_deg, rock_deg, 17)):
        for y in np.linspace(outline["left_mm"], outline["right_mm"], 9):
            height = (corners - at) @ up
            rise = height * (np.cos(roll) - 1.0) - (y - float(joint.y)) * np.sin(roll)
            made.append(corners + rise[:, None] * up)
    return made


def sections_of(f):
    """The shaft's body at each place of the travel, at rest and at launch."""
    joints, sizes = f.in_the_way.joints, f.in_the_way.sizes[:, 0, 0]
    ends = [[(joints[:, end, 0, w, 0], joints[:, end, 2, w, 0]) for end in (0, 1)] for w in (0, 1)]
    return [section_outline(*one, *sizes) for one in ends]


def least(ones, others):
    return min(shapely.Polygon(one).distance(shapely.Polygon(two)) for one in ones for two in others)


PLANS = [{}, {"plan.rear_lift_mm": 40.0, "plan.axle_shim_deg": 2.0},
         {"plan.mounts": "loose", "plan.powertrain_slope_deg": 5.0, "plan.powertrain_shift_mm": (6.0, -9.0)},
         {"plan.mount_shim_mm": -8.0, "use.front_mount_settling_mm": 0.0}]  # fmt: skip


@pytest.mark.parametrize("plan", PLANS)
def test_cover_and_tank_are_as_near_as_at_each_place(loaded, plan):
    build = edited(loaded, plan)
    brute = min(least(on_axle(build, COVER["outline_mm"], wound), [TANK["outline_mm"]]) for wound in (False, True))
    found = gap_of(build, 0, 1)
    assert found.value <= brute + 1e-9
    assert found.value == pytest.approx(brute, abs=0.05)
    assert found.title == "Gap, cover to tank"
    assert "of bump" in found.says
    assert found.travel_mm > 0.0


@pytest.mark.parametrize("plan", PLANS)
def test_pan_and_crossmember_are_as_near_as_every_roll_and_place_across(loaded, plan):
    build = edited(loaded, plan)
    brute = least(on_engine(build, PAN, 4.0), [CROSS["outline_mm"]])
    found = gap_of(build, 2, 3)
    assert found.value <= brute + 1e-9
    assert found.value == pytest.approx(brute, abs=0.05)
    assert "under launch torque, the engine rocked as ahead or in reverse" in found.says


@pytest.mark.parametrize("plan", PLANS)
def test_cover_and_tail_are_as_near_as_both_together(loaded, plan):
    build = edited(loaded, plan)
    rest = least(on_axle(build, COVER["outline_mm"], wound=False), on_engine(build, TAIL, 0.0)[:1])
    launch = least(on_axle(build, COVER["outline_mm"], wound=True), on_engine(build, TAIL, 4.0))
    found = gap_of(build, 0, 4)
    assert found.value <= min(rest, launch) + 1e-9
    assert found.value == pytest.approx(min(rest, launch), abs=0.05)


@pytest.mark.parametrize("plan", PLANS)
def test_the_shaft_and_the_gearbox_are_held_against_what_the_axle_carries(loaded, plan):
    """By their own distance in the frame, whatever frame the judge takes."""
    build = edited(loaded, plan)
    f = facts_of(build)
    with np.errstate(all="ignore"):
        gap = f.gap(0)
        bodies = {name: float(np.ravel(one.least_mm)[0]) for name, one in gap.bodies}
        sections = sections_of(f)
        boxes = {name: np.squeeze(one) for name, one in f.in_the_way.standing_outlines.items()}
    covers = [on_axle(build, COVER["outline_mm"], wound) for wound in (False, True)]
    shaft = min(least([one], [two]) for w in (0, 1) for one, two in zip(sections[w], covers[w], strict=True))
    assert bodies["the shaft"] == pytest.approx(shaft, abs=0.05)
    for name, corners in boxes.items():
        brute = min(least(covers[w], [corners]) for w in (0, 1))
        assert bodies[name] == pytest.approx(brute, abs=0.05)
    assert set(bodies) == {"the shaft", "the gearbox", "the engine"}


def test_the_shaft_is_held_against_what_the_engine_carries_rolled(loaded):
    f = facts_of(loaded)
    with np.errstate(all="ignore"):
        gap = f.gap(4)
        made = sections_of(f)
    brute = min(least(made[0], on_engine(loaded, TAIL, 0.0)[:1]), least(made[1], on_engine(loaded, TAIL, 4.0)))
    assert [name for name, _ in gap.bodies] == ["the shaft"]
    assert float(np.ravel(gap.least_mm)[0]) == pytest.approx(brute, abs=0.05)


def test_outlines_on_one_carrier_or_in_two_views_are_no_pair(loaded):
    top = {"name": "rail", "view": "top", "outline_mm": box(2700.0, 300.0, 50.0, 25.0)}
    build = edited(loaded, {"obstacles.5": top})
    assert [tuple(pair) for pair in pairs_of(build)] == [(0, 1), (0, 2), (0, 3), (0, 4), (1, 2), (1, 4), (2, 3), (3, 4)]
    assert pairs_of(Build()) == ()


def test_what_is_seen_from_above_stays_on_the_frame():
    for carrier in ("axle", "engine"):
        with pytest.raises(ValidationError, match="draw it from the side"):
            edited(
                Build(), {"obstacles.0": {"view": "top", "carried_by": carrier, "outline_mm": box(0.0, 0.0, 1.0, 1.0)}}
            )
    with pytest.raises(ValidationError, match="must not be less than left_mm"):
        edited(Build(), {"obstacles.0": {**PAN, "left_mm": 10.0, "right_mm": 0.0}})


# --- rock -------------------------------------------------------------------------------------------------------------


def test_launch_lifts_the_left_side_by_hand():
    """300 mm left of the crankshaft at 5° of rock: 300 sin 5° = 26.147 mm up; as far right as much down."""
    low, high = rise_mm(number(0.0), number(-300.0), number(300.0), number(5.0))
    assert float(low) == pytest.approx(-26.147, abs=5e-4)
    assert float(high) == pytest.approx(26.147, abs=5e-4)


@given(st.floats(-500.0, 500.0), st.floats(-500.0, 500.0), st.floats(0.0, 500.0), st.floats(0.0, 20.0))
@settings(max_examples=200, deadline=None)
def test_least_and_most_are_those_of_all_rolls_and_places(above, left, wide, rock):
    roll, beside = np.radians(np.linspace(0.0, rock, 200))[:, None], np.linspace(left, left + wide, 50)
    rise = above * (np.cos(roll) - 1.0) - beside * np.sin(roll)
    low, high = rise_mm(number(above), number(left), number(left + wide), number(rock))
    assert float(low) == pytest.approx(rise.min(), abs=1e-2)
    assert float(high) == pytest.approx(rise.max(), abs=1e-2)
    assert float(low) <= rise.min() + 1e-9
    assert float(high) >= rise.max() - 1e-9


def test_what_cannot_be_placed_sweeps_nothing():
    corners = np.array([box(0.0, 0.0, 10.0, 10.0), box(0.0, 0.0, 10.0, 10.0)])
    high = corners + np.array([[[0.0, 5.0]], [[0.0, np.nan]]])
    whole, lost = rolled_outlines(corners, corners, high)
    assert (lost, shapely.distance(whole, shapely.Point(0.0, 20.0))) == (None, 5.0)
    assert rolled_outlines(corners[1:], corners[1:], high[1:]).tolist() == [None]


def test_no_rock_is_the_outline_itself(loaded):
    still = gap_of(edited(loaded, {"powertrain.rock_deg": 0.0, "obstacles.2.left_mm": None}), 2, 3)
    assert still.value == pytest.approx(30.0)
    assert (still.verdict, still.launch, still.travel_mm) == ("clear", False, None)
    assert "launch" not in still.says


def test_the_crankshaft_s_own_place_counts(loaded):
    aside = {"powertrain.crank_mm": (100.0, 160.0, 600.0), "powertrain.low_range": 2.5}
    moved = gap_of(edited(loaded, aside), 2, 3)
    far = 160.0 - PAN["left_mm"]  # of the crankshaft, which sinks in reverse: by hand
    assert moved.value == pytest.approx(30.0 - far * np.sin(np.radians(4.0)), abs=1.0)
    assert moved.value < gap_of(loaded, 2, 3).value - 5.0
    lost = gap_of(edited(loaded, {"powertrain.low_range": 2.5}), 2, 3)
    assert lost.verdict == "unknown"
    assert "the crankshaft's centre" in lost.says


def test_settled_mounts_bring_the_pan_nearer_and_the_finding_names_it(loaded):
    sunk = edited(loaded, {"use.front_mount_settling_mm": 10.0, "use.rear_mount_settling_mm": 10.0})
    before, after = gap_of(loaded, 2, 3), gap_of(sunk, 2, 3)
    assert after.value == pytest.approx(before.value - 10.0, abs=0.05)
    assert (after.state, before.state) == ("settled", None)


# --- what is lacking --------------------------------------------------------------------------------------------------


NEAR = {"obstacles.3.outline_mm": box(640.0, 330.0, 40.0, 20.0)}
"""30 mm under the pan, so that usual rock decides."""


@pytest.mark.parametrize(
    ("path", "name"),
    [
        ("powertrain.rock_deg", "the engine rock on its mounts"),
        ("obstacles.2.left_mm", "the leftmost, sideways"),
        ("obstacles.2.right_mm", "the rightmost, sideways"),
        ("powertrain.low_range", "low range"),
        ("powertrain.slope_deg", "the output slope"),
        ("powertrain.output_joint_mm", "the crankshaft's centre"),
    ],
)
def test_what_the_rock_lacks_is_unknown_and_named(loaded, path, name):
    build = edited(loaded, NEAR | {path: None})
    one = gap_of(build, 2, 3)
    assert one.verdict == "unknown", one.says
    assert name in one.says


def test_rock_that_cannot_turn_it_is_not_asked_for(loaded):
    far = edited(loaded, {"obstacles.3.outline_mm": box(640.0, 100.0, 40.0, 20.0), "powertrain.rock_deg": None})
    assert gap_of(far, 2, 3).verdict == "clear"


@pytest.mark.parametrize(
    ("path", "name"),
    [
        ("axle.centre_mm", "the axle centre"),
        ("suspension.bump_mm", "the travel to bump stop"),
        ("suspension.shackle_length_mm", "the shackle length"),
        ("suspension.rate_n_per_mm", "the rate of one spring"),
    ],
)
def test_what_the_axle_lacks_is_unknown_and_named(loaded, path, name):
    for one, two in ((0, 1), (0, 4)):
        found = gap_of(edited(loaded, {path: None}), one, two)
        assert found.verdict in {"unknown", "hold", "caution"}
        if found.verdict == "unknown":
            assert name in found.says, found.says
    assert (
        gap_of(edited(loaded, {path: None, "obstacles.1.outline_mm": box(2700.0, 900.0, 50.0, 25.0)}), 0, 1).verdict
        == "unknown"
    )


def test_mounts_that_tip_the_engine_want_their_places(loaded):
    build = edited(loaded, {"plan.mount_shim_mm": 5.0, "powertrain.front_mount_mm": None})
    one = gap_of(build, 2, 3)
    assert one.verdict == "unknown"
    assert "the front mounts" in one.says


def test_at_ride_height_alone_nothing_on_the_axle_is_clear(loaded):
    found = judge(variants(loaded))
    assert found["pair_gap_1", "obstacles"].verdict.tolist() != [1]
    assert found["pair_gap_7", "obstacles"].verdict.tolist() == [3]  # pan and crossmember know no travel


def test_a_gap_wanted_to_fuel_lines_counts_for_the_pair(loaded):
    build = edited(loaded, {"obstacles.1.carries": "fuel", "obstacles.0.gap_mm": 15.0})
    assert gap_of(build, 0, 1).limit == 50.8


# --- rows, mirrored, no cost ------------------------------------------------------------------------------------------


def test_a_row_is_its_own_solve(loaded):
    columns = {
        "powertrain.rock_deg": np.array([0.0, 3.0, np.nan, 6.0]),
        "plan.powertrain_slope_deg": np.array([np.nan, 4.0, 4.5, 3.0]),
        "suspension.bump_mm": np.array([80.0, 60.0, np.nan, 95.0]),
        "obstacles.2.left_mm": np.array([-180.0, -90.0, -180.0, np.nan]),
        "axle.centre_mm.2": np.array([390.0, 392.0, 390.0, 390.0]),
    }
    v = variants(edited(loaded, {"plan.mounts": "loose", "use.rear_mount_settling_mm": 4.0}), columns)
    for positions in (0, 41):
        rows = judge(v, positions=positions)
        for row in range(4):
            alone = judge(variants(v.build_at(row)), positions=positions)
            for key, one in alone.items():
                assert rows[key].verdict[row] == one.verdict[0], (key, row)
                if "gap" in key[0]:
                    np.testing.assert_allclose(rows[key].value[row], one.value[0], atol=1e-6, err_msg=str(key))


CHANGES = [
    {"plan.axle_shim_deg": np.linspace(-4.0, 4.0, 9)},
    {"plan.powertrain_slope_deg": np.linspace(2.0, 6.0, 9)},
    {"plan.axle_shim_deg": np.linspace(-1.0, 1.0, 9), "axle.pinion_drop_mm": np.linspace(-50.0, 50.0, 9)},
    {"powertrain.rock_deg": np.linspace(0.0, 8.0, 9)},
    {"powertrain.rock_deg": np.where(np.arange(9) % 2, np.nan, 5.0)},
    {"obstacles.2.left_mm": np.linspace(-300.0, 0.0, 9)},
    {"obstacles.0.gap_mm": np.linspace(0.0, 200.0, 9)},
]


@pytest.mark.parametrize(("rock", "times"), [(4.0, 1), (None, 1), (4.0, 30)])
@pytest.mark.parametrize("change", CHANGES)
def test_beside_a_plan_a_gap_is_never_told_too_wide_and_what_is_near_is_measured(loaded, change, rock, times):
    """What is tried about a plan is measured only where the plan's own gap does not tell that it is wide enough."""
    build = edited(loaded, {"plan.mounts": "loose", "powertrain.rock_deg": rock, "plan.powertrain_slope_deg": 3.0,
                            "obstacles.0.gap_mm": 90.0})  # fmt: skip
    with np.errstate(all="ignore"):
        v = variants(build)
        rows = {path: np.concatenate(([float(v[path])], np.tile(column, times))) for path, column in change.items()}
        trials, plain = Facts(v.widened(rows), 41, leads=True), Facts(v.widened(rows), 41)
        cases = Facts(v.widened(rows), 41, like=Facts(v, 41))
        beside, alone = trials.carried, plain.carried
        near = 0
        for block in (beside, cases.carried):
            told = list(zip(block.pairs, alone.pairs, strict=True))
            told += [(block.gap(index), alone.gap(index)) for index in (0, 2, 4)]
            for here, there in told:
                assert (here.least_mm <= there.least_mm + 1e-9).all()
                some = np.broadcast_to(there.least_mm <= there.wanted_mm, here.least_mm.shape)
                np.testing.assert_allclose(here.least_mm[some], there.least_mm[some], atol=1e-9)
                if block is beside:  # whose first row is the plan
                    np.testing.assert_allclose(here.least_mm[0], there.least_mm[0], atol=1e-9)
                near += some.sum()
    assert near


def test_an_engine_rocks_both_ways(loaded):
    """Ahead its right side sinks, in reverse its left one: by hand 180 mm from the crankshaft either way."""
    wide = {"obstacles.2.left_mm": -180.0, "obstacles.2.right_mm": 0.0, "powertrain.output_joint_mm.1": 0.0}
    left = gap_of(edited(loaded, wide), 2, 3).value
    right = gap_of(edited(loaded, wide | {"obstacles.2.left_mm": 0.0, "obstacles.2.right_mm": 180.0}), 2, 3).value
    assert left == pytest.approx(right, abs=1e-9)
    assert right == pytest.approx(30.0 - 180.0 * np.sin(np.radians(4.0)), abs=0.6)


def test_without_carried_outlines_nothing_is_worked_out(loaded, monkeypatch):
    plain = edited(loaded, {"obstacles": (TANK, CROSS)})
    monkeypatch.setattr("geometry.judge.facts.Carried", None)
    assert not [one for one in solve(plain).findings if one.id.startswith("pair")]


# --- drawn ------------------------------------------------------------------------------------------------------------


def test_outlines_are_drawn_where_they_are_judged(loaded):
    from geometry.words.solve import Work

    build = edited(loaded, {"plan.rear_lift_mm": 0.0, "plan.mounts": "loose", "plan.powertrain_shift_mm": (6.0, -9.0)})
    work = Work(build)
    whole = solve(build)
    assert whole.picture.obstacles_mm[2] == pytest.approx(np.add(PAN["outline_mm"], (6.0, -9.0)))
    there = work.posed(whole, 80.0).picture.obstacles_mm
    f = facts_of(build)
    place = int(np.argmin(np.abs(f.sweep.travel_mm[:, 0] - 80.0)))
    assert f.sweep.travel_mm[place, 0] == pytest.approx(80.0)
    assert np.array(there[0]) == pytest.approx(on_axle(build, COVER["outline_mm"], wound=False)[place], abs=1e-6)
    assert there[1] == tuple(TANK["outline_mm"])
    lost = edited(build, {"axle.centre_mm": None, "plan.rear_lift_mm": 30.0, "plan.powertrain_slope_deg": 4.0,
                          "powertrain.front_mount_mm": None})  # fmt: skip
    assert [bool(one) for one in solve(lost).picture.obstacles_mm] == [False, True, False, True, False]


def test_an_engine_that_no_plan_can_place_says_why(loaded):
    thick = {"powertrain.rock_deg": 0.0, "powertrain.front_mount_mm": (700.0, 480.0), "plan.mount_shim_mm": 300.0}
    one = gap_of(edited(loaded, thick), 2, 3)
    assert one.verdict == "unknown"
    assert "the mounts as entered cannot take a shim so thick" in one.says
    lost = gap_of(edited(loaded, {**thick, "powertrain.front_mount_mm": None}), 2, 3)
    assert lost.verdict == "unknown"
    assert "the front mounts" in lost.says


def test_the_travel_that_can_be_taken_ends_where_what_the_axle_carries_comes_too_near(loaded):
    """Up to half an inch under the tank, by brute force at places of the widened travel."""
    far = edited(loaded, {"obstacles": (COVER, TANK), "shaft.front_joint.max_angle_deg": 60.0,
                          "shaft.rear_joint.max_angle_deg": 60.0, "shaft.slip": None, "shocks": ()})  # fmt: skip
    with np.errstate(all="ignore"):
        found = allowed(facts_of(far))
    assert found.up.by == ("pair_gap_1", "obstacles")
    wide = edited(far, {"suspension.bump_mm": found.up.most_mm - 10.0, "suspension.bump_squash_mm": 10.0})
    assert gap_of(wide, 0, 1).value == pytest.approx(12.7, abs=3.0)


@pytest.mark.parametrize("carrier", ["axle", "engine"])
def test_the_travel_that_can_be_taken_knows_the_shaft_beside_what_is_carried(loaded, carrier):
    near = {
        "name": "guard",
        "carried_by": carrier,
        "outline_mm": box(2000.0, 300.0, 100.0, 60.0),
        "left_mm": 0.0,
        "right_mm": 0.0,
    }
    f = facts_of(edited(loaded, {"obstacles": (TANK, near)}))
    with np.errstate(all="ignore"):
        course = f.in_the_way.course_mm(1)
        least = np.ravel(f.gap(1).least_mm)[0]
        assert f.in_the_way.course_mm(0).shape == course.shape == (2, 41, 1)
    assert course.min() == pytest.approx(least, abs=0.5)


ENGINE_SIZES = {f"powertrain.{what}_{size}_mm": None
                for what in ("engine", "gearbox") for size in ("length", "height")}  # fmt: skip
ARM = {"name": "arm", "carried_by": "axle", "outline_mm": box(1000.0, 150.0, 30.0, 20.0)}


def test_an_engine_without_sizes_leaves_open_only_what_moves_against_it(loaded):
    """What the axle carries ahead of a rear output may strike it; what the engine carries goes with it, and a front
    output has neither gearbox nor engine on its side of the joint."""

    def verdict(build, one):
        found = solve(edited(build, {**ENGINE_SIZES, "obstacles": (one,)})).findings
        return next(finding.verdict for finding in found if finding.id == "gap_1")

    assert verdict(loaded, ARM) == "unknown"
    assert verdict(loaded, PAN) == "clear"
    ahead = {**ARM, "outline_mm": box(900.0, 150.0, 30.0, 20.0)}
    assert verdict(sample("front_axle_lift"), ahead) == "clear"


@pytest.mark.parametrize(("x", "body"), [(2000.0, "shaft"), (950.0, "gearbox"), (550.0, "engine")])
def test_what_is_far_away_does_not_unsettle_what_strikes(loaded, x, body):
    """A torque arm on the axle that reaches to one of shaft, gearbox and engine; the other two are well clear of it."""
    arm = {"name": "arm", "carried_by": "axle", "outline_mm": box(x, 440.0, 30.0, 50.0)}
    struck = next(one for one in solve(edited(loaded, {"obstacles": (arm,)})).findings if one.id == "gap_1")
    assert (struck.verdict, struck.value) == ("hold", 0.0)
    assert f"{body} strikes arm" in struck.says


HOSE = {"name": "hose", "frame_point_mm": (2380.0, -120.0, 640.0), "axle_point_mm": (2560.0, -330.0, 440.0),
        "free_length_mm": 450.0}  # fmt: skip
SHOCK = {"axle_point_mm": (2650.0, 420.0, 360.0), "frame_point_mm": (2640.0, 360.0, 800.0), "compressed_mm": 300.0,
         "extended_mm": 600.0}  # fmt: skip
OVER_THE_TRAVEL = ("gap", "pair_gap", "line_slack", "joint_bind", "slip_left", "slip_engaged", "shock_bump",
                   "shock_droop", "shock_crossed", "lateral_shift", "seal_travel")  # fmt: skip


@pytest.mark.parametrize(
    "lost",
    [
        {},
        {"suspension.bump_squash_mm": None},
        {"powertrain.rock_deg": None},
        {"powertrain.engine_height_mm": None},
        {"shaft.slip.spline_diameter_mm": None},
    ],
)
@pytest.mark.parametrize("plan", PLANS)
def test_what_the_travel_may_do_besides_is_never_better_than_what_it_does(loaded, plan, lost):
    """All of the travel comes to pass: what is left open of it may only come nearer, never take back a hold."""
    arms = tuple(
        {"name": f"arm {x}", "carried_by": by, "outline_mm": box(x, z, 30.0, 30.0), **sides}
        for x, z in ((900.0, 400.0), (1400.0, 430.0), (2000.0, 440.0), (2300.0, 300.0))
        for by, sides in (("frame", {}), ("axle", {}), ("engine", {"left_mm": -50.0, "right_mm": 50.0}))
    )
    link = {"frame_point_mm": (2700.0, -450.0, 430.0), "axle_point_mm": (2690.0, 450.0, 380.0)}
    build = edited(loaded, {"obstacles": arms, "flexible_lines": (HOSE,), "shocks": (SHOCK,), "lateral_link": link,
                            **plan, **lost})  # fmt: skip
    with np.errstate(all="ignore"):
        facts, table = facts_of(build), Table(1)
        for judge_ in (*judging.RIDE, *judging.TRAVEL):
            judge_(facts, table)
    rows = {key: row for key, row in table._found.items() if finding_id(key) in OVER_THE_TRAVEL}
    assert len(rows) > 20
    assert sum(len(row.others) for row in rows.values()) > 20
    better = [key for key, row in rows.items() for other in row.others if np.any(row.way * (other - row.value) < -1e-9)]
    assert better == []


def test_an_engine_askew_and_steep_rocks_square_to_its_own_crankshaft(loaded):
    """A wall right ahead of the pan, so that what the rock does along the vehicle counts."""
    wall = {"name": "wall", "outline_mm": box(440.0, 440.0, 20.0, 60.0)}
    build = edited(loaded, {"obstacles": (PAN, wall), "powertrain.plan_deg": 20.0, "powertrain.slope_deg": 20.0})
    brute = least(on_engine(build, PAN, 4.0), [wall["outline_mm"]])
    assert 5.0 < brute < 20.0
    assert gap_of(build, 0, 1).value == pytest.approx(brute, abs=0.05)


@pytest.mark.parametrize("by", [(0.0, 3.0), (0.0, 10.0), (7.0, 10.0)])
def test_what_corners_sweep_on_their_way_leaves_nothing_out(by):
    """A plate moved straight, also clear of where it was: the hull of both, of which every edge sweeps a part."""
    plate = np.array([(0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0)])
    (swept,) = rolled_outlines(plate[None], plate[None], plate[None] + by)
    hull = shapely.MultiPoint([*map(tuple, plate), *map(tuple, plate + by)]).convex_hull
    assert shapely.union_all(list(swept.geoms)).symmetric_difference(hull).area == pytest.approx(0.0, abs=1e-9)


def test_an_engine_is_taken_to_rock_by_three_degrees():
    """Where nobody read it: common practice, no source."""
    assert USUAL_ROCK_DEG == 3.0
