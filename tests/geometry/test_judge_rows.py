"""Rows of the judge: each says what its build says alone; what is lost never clears; a mirrored vehicle is the same."""

import re

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from geometry.document import Build, edited, value_at
from geometry.document.entries import Variants, variants
from geometry.judge import judging
from geometry.judge.codes import CLEAR, NOT_ASKED, UNKNOWN, WORDS, Found, Judged
from geometry.judge.judging import judge
from tests.geometry.strategies import SAMPLES, WHOLE, Point, agreed, builds, entries_of, parts_of, plausible, sample
from tests.geometry.test_judge_findings import HUNG, VAN, WAGON
from tests.geometry.test_no_entry_is_dead import IN_STATES, pool

SLOW = settings(max_examples=20, suppress_health_check=list(HealthCheck))
NEAR = 1e-9
POOL: dict[str, float | Point] = {path: value for build in reversed(WHOLE) for path, value in entries_of(build)}
"""A usual value of every entry that some sample has."""
OPEN = ("vehicle", "powertrain", "axle", "gauge", "readings", "plan")
"""Sections that are all numbers, or have words that are there without being entered."""
WISHES = {"axle.caster_wanted_deg"}
FOR_GRANTED = {"powertrain.shock_factor", "powertrain.efficiency"}
"""Left empty these are taken as usual, and the findings say so: 1.5 for a rough start, no loss in the gearbox."""


def close(one: float, other: float) -> bool:
    """Whether two numbers are the same to 1e-9 of themselves, or to 1e-9 near nil; nan and infinity like themselves."""
    return bool(np.isclose(one, other, rtol=NEAR, atol=NEAR, equal_nan=True))


COUNTS = ("_teeth", ".bolts")
"""Ends of the paths of what is counted, which is whole."""


def differences(several: Found, row: int, alone: Found) -> list[str]:
    """What one row says otherwise than the same build alone."""
    none = Judged(*np.full((3, row + 1), np.nan), np.zeros(row + 1, np.uint8))
    told = []
    for key in dict.fromkeys((*several, *alone)):
        one, other = several.get(key, none), alone.get(key, none)
        here, there = one.verdict[row], other.verdict[0]
        if here != there:
            told.append(f"{key}: {WORDS[here] or 'not asked'} among others, {WORDS[there] or 'not asked'} alone")
        elif here != NOT_ASKED:
            for name in ("value", "clear", "hold"):
                a, b = float(getattr(one, name)[row]), float(getattr(other, name)[0])
                if not close(a, b):
                    told.append(f"{key}: {name} {a!r} among others, {b!r} alone")
    return told


def alone(v: Variants, row: int, positions: int) -> Found | None:
    """The build of a row judged by itself; None where the document does not allow it."""
    try:
        build = v.build_at(row)
    except ValidationError:
        return None
    return judge(variants(build), positions=positions)


def columns_of(build: Build, rng: np.random.Generator, rows: int, count: int, lost: float) -> dict[str, np.ndarray]:
    """Columns for some entries, entered or not: near what it is now, some not entered; the rows as documents allow."""
    entered = dict(entries_of(build))
    several = [path for path in POOL if path.split(".")[0] in OPEN and path != "powertrain.gear_ratios"]
    several += [path for path in entered if path not in several and path != "powertrain.gear_ratios"]
    if "powertrain.gear_ratios" in entered:
        several.append("powertrain.gear_ratios")
    made: dict[str, np.ndarray] = {}
    for path in rng.choice(several, min(count, len(several)), replace=False):
        parts = parts_of(path, entered[path] if path in entered else POOL[path])
        same = 1.0 + 0.02 * rng.normal(size=rows) if path.endswith(("gear_ratios", "mount_mm")) else None
        empty = rng.random(rows) < (0.0 if path.endswith("gear_ratios") else lost)
        for part, value in parts.items():
            factor = 1.0 + 0.02 * rng.normal(size=rows) if same is None else same
            near = np.round(value * factor) if part.endswith(COUNTS) else value * factor
            made[part] = np.where(empty, np.nan, near)
    return made


@pytest.mark.parametrize("positions", [0, 41])
@given(build=builds(), seed=st.integers(0, 2**32 - 1), lost=st.sampled_from([0.0, 0.3]))
@SLOW
def test_a_row_says_what_its_build_says_alone(positions, build, seed, lost):
    rng = np.random.default_rng(seed)
    v = variants(build, columns_of(build, rng, 4, int(rng.integers(1, 12)), lost))
    found = judge(v, positions=positions)
    judged = 0
    for row in range(v.rows):
        one = alone(v, row, positions)
        if one is not None:
            judged += 1
            assert differences(found, row, one) == []


@pytest.mark.parametrize("build", WHOLE, ids=lambda build: build.title[:12])
def test_every_measured_entry_at_once(build):
    """A Monte Carlo over all that is measured, with holes."""
    rng = np.random.default_rng(11)
    judged = 0
    for lost in (0.0, 0.03, 0.15):
        v = variants(build, columns_of(build, rng, 6, 200, lost))
        found = judge(v, positions=41)
        for row in range(v.rows):
            one = alone(v, row, 41)
            if one is not None:
                judged += 1
                assert differences(found, row, one) == []
    assert judged >= 9


@pytest.mark.parametrize("positions", [0, 41])
@given(build=builds(), seed=st.integers(0, 2**32 - 1), size=st.integers(1, 10))
@SLOW
def test_blocks_of_any_size_give_the_same(positions, build, seed, size):
    rng = np.random.default_rng(seed)
    v = variants(build, columns_of(build, rng, 11, 6, 0.3))
    whole, parts = judge(v, positions=positions), judge(v, positions=positions, rows=size)
    for row in range(v.rows):
        one = {key: Judged(*(column[row : row + 1] for column in judged)) for key, judged in whole.items()}
        assert differences(parts, row, one) == []


def test_so_many_rows_that_they_are_judged_one_finding_after_another_say_the_same():
    """2,000 rows of some 40 findings are more than are judged in one go; what is asked of some rows only stays so."""
    lifts, wedges = np.tile([-25.0, 0.0, 30.0, 0.0], 500), np.tile([0.0, 2.0, -5.0, 0.0], 500)
    columns = {
        "plan.rear_lift_mm": lifts,
        "plan.axle_shim_deg": wedges,
        "powertrain.low_range": np.tile([1, np.nan], 1000),
    }
    v = variants(edited(sample("ranch_truck_swap"), {"obstacles": ()}), columns)
    found = judge(v, rows=v.rows)
    few = judge(variants(v.build, {path: column[:4] for path, column in columns.items()}))
    for row in (0, 1, 2, 3, 1998, 1999):
        one = {key: Judged(*(column[row % 4 : row % 4 + 1] for column in judged)) for key, judged in few.items()}
        assert differences(found, row, one) == []
    assert (found["wedge_size", "perches"].verdict == NOT_ASKED).tolist() == (wedges == 0.0).tolist()
    assert (found["bump_left", "suspension"].verdict == NOT_ASKED).tolist() == (lifts >= 0.0).tolist()


def test_many_rows_of_which_a_finding_with_open_values_has_one_for_all_are_judged():
    """600 lifts of the short hauler: what is open of its bump is one value for all of them."""
    v = variants(Build.model_validate_json((SAMPLES / "lifted_short_shaft.json").read_bytes()),
                 {"plan.rear_lift_mm": np.linspace(1.0, 50.0, 600)})  # fmt: skip
    several, few = judge(v, positions=41), judge(v, positions=41, rows=60)
    assert [key for key, one in few.items() if not np.array_equal(one.verdict, several[key].verdict)] == []


@pytest.mark.parametrize("late", [False, True])
def test_what_only_some_blocks_are_asked_is_not_asked_in_the_others(late):
    """A stick that was read on few vehicles of many: in no other block does its finding say anything."""
    rows = [np.nan, np.nan, 9.7, 9.7]
    v = variants(sample("ranch_truck_swap"), {"readings.shaft_slope_deg": rows if late else rows[::-1]})
    found = judge(v, rows=2)["stick_slope", "readings"].verdict
    expected = [0, 0, CLEAR, CLEAR]
    assert found.tolist() == (expected if late else expected[::-1])


@given(build=builds(), size=st.integers(1, 9), positions=st.sampled_from([0, 9]))
@settings(max_examples=15, suppress_health_check=list(HealthCheck))
def test_each_sees_every_row_once(build, size, positions):
    column = np.linspace(0.0, 60.0, 7)
    v = variants(build, {"plan.rear_lift_mm": column})
    seen, verdicts = np.zeros(7, int), {}

    def each(part: slice, found: Found) -> None:
        seen[part] += 1
        for key, judged in found.items():
            assert {column.shape for column in judged} == {seen[part].shape}
            verdicts.setdefault(key, np.zeros(7, np.uint8))[part] = judged.verdict

    assert judge(v, rows=size, positions=positions, each=each) == {}
    assert (seen == 1).all()
    for key, judged in judge(v, positions=positions).items():
        assert (judged.verdict == verdicts[key]).all()


def test_what_is_not_entered_makes_its_own_row_unknown():
    build = sample("ranch_truck_swap")
    v = variants(build, {"axle.pinion_slope_deg": [3.2, np.nan, 3.3], "axle.ratio": [3.9, 3.9, 3.9]})
    found = judge(v, positions=41)
    for key in (("ends_parallel", "shaft"), ("pinion_residual", "rear_joint"), ("joint_bind", "rear_joint")):
        assert (found[key].verdict == UNKNOWN).tolist() == [False, True, False]


GRANTED = edited(WHOLE[0], dict.fromkeys((
    "powertrain.plan_deg", "axle.pinion_plan_deg", "axle.pinion_offset_mm", "axle.pinion_drop_mm",
    "powertrain.cruise_torque_share", "shaft.phase_deg",
)))  # fmt: skip
"""A build with all of what is then taken for granted left empty."""


def test_what_is_taken_for_granted_is_the_same_one_case_at_a_time(monkeypatch):
    v = variants(GRANTED, {"plan.axle_shim_deg": [-2.0, 0.0, 3.0, 5.0]})
    at_once = judge(v, positions=41)
    for key in (("gap_2", "obstacles"), ("pinion_residual", "rear_joint"), ("joint_life", "rear_joint")):
        assert UNKNOWN in at_once[key].verdict
    monkeypatch.setattr(judging, "CROWDED_BLOCK", 4)
    monkeypatch.setattr(judging, "BLOCK", 4)
    one_by_one = judge(v, positions=41)
    assert [differences(at_once, row, {key: Judged(*(part[row:] for part in one)) for key, one in one_by_one.items()})
            for row in range(4)] == [[]] * 4  # fmt: skip


def test_what_is_taken_for_granted_takes_few_blocks(monkeypatch):
    """Not one for every end of every entry: sixteen of them here."""
    blocks = []

    class Counted(judging.Table):
        def __init__(self, rows: int) -> None:
            blocks.append(rows)
            super().__init__(rows)

    monkeypatch.setattr(judging, "Table", Counted)
    judge(variants(GRANTED), positions=41)
    assert blocks == [1, 11, 5]  # the build, what moves joints, what does not


def test_a_path_that_is_none_and_columns_of_two_lengths():
    with pytest.raises(KeyError):
        judge(variants(WHOLE[0], {"axle.pinion": [1.0]}))
    with pytest.raises(ValueError, match="one length"):
        judge(variants(WHOLE[0], {"axle.ratio": [3.0, 4.0], "plan.axle_shim_deg": [1.0, 2.0, 3.0]}))


# --- a measurement lost -----------------------------------------------------------------------------------------------


def turned_clear(build: Build, positions: int = 41) -> list[str]:
    """Findings that are clear with one measurement left out and said something else before."""
    lost = [
        (path, value)
        for path, value in entries_of(build)
        if not path.startswith("plan.") and path not in WISHES | FOR_GRANTED
        and not path.endswith(("gap_mm", "slack_mm", "yield_mpa"))
    ]  # fmt: skip
    before = judge(variants(build), positions=positions)
    told = []
    for path, _ in lost:
        after = judge(variants(edited(build, {path: None})), positions=positions)
        told += [
            f"{path} left out: {key} was {WORDS[before[key].verdict[0]]} at {before[key].value[0]:.6g}"
            f" and is clear at {one.value[0]:.6g}"
            for key, one in after.items()
            if one.verdict[0] == CLEAR and key in before and before[key].verdict[0] not in {NOT_ASKED, CLEAR}
        ]
    return told


@pytest.mark.parametrize("build", WHOLE, ids=lambda build: build.title[:12])
def test_a_measurement_lost_clears_nothing_of_a_sample(build):
    assert turned_clear(build) == []


def test_a_stick_says_nothing_of_where_the_shaft_points_in_plan():
    """The output lies 165 mm to the left of the axle; with a place lost the stick must not do for the line."""
    places = {"powertrain.output_joint_mm": (1632.0, -150.0, 645.0), "readings.shaft_slope_deg": 9.0}
    assert turned_clear(agreed(edited(sample("ranch_truck_swap"), {"obstacles": (), **places})), 0) == []


@given(build=plausible())
@settings(SLOW, max_examples=4)
def test_a_measurement_lost_clears_nothing(build):
    assert turned_clear(build) == []


@given(build=plausible(holes=3))
@settings(SLOW, max_examples=4)
def test_another_measurement_lost_clears_nothing(build):
    assert turned_clear(build) == []


# --- mirrored ---------------------------------------------------------------------------------------------------------

TURNED = (
    "plan_deg",
    "pinion_plan_deg",
    "bearing_plan_deg",
    "phase_deg",
    "front_phase_deg",
    "rear_phase_deg",
    "pinion_offset_mm",
)
OTHER_SIDE = {"left": "right", "right": "left"}
SWAPPED = re.compile("|".join(OTHER_SIDE))


def mirrored(build: Build) -> Build:
    """The same vehicle with its left side on the right."""
    changes: dict[str, object] = {}
    for path, value in entries_of(build):
        if isinstance(value, tuple) and len(value) == 3 and not path.endswith("gear_ratios"):
            changes[path] = (value[0], -value[1], value[2])
        elif path.rsplit(".", 1)[-1] in TURNED:
            changes[path] = -value
    for number, one in enumerate(build.obstacles):
        if one.view == "top":
            changes[f"obstacles.{number}.outline_mm"] = tuple((x, -y) for x, y in one.outline_mm)
        left, right = one.left_mm, one.right_mm
        changes[f"obstacles.{number}.left_mm"] = None if right is None else -right
        changes[f"obstacles.{number}.right_mm"] = None if left is None else -left
    for path, value in entries_of(build):
        section, _, name = path.rpartition(".")
        if not section.startswith("obstacles") and ("left" in name or "right" in name):
            other = f"{section}.{SWAPPED.sub(lambda found: OTHER_SIDE[found[0]], name)}"
            changes |= {other: value, path: value_at(build, other)}
    return edited(build, changes)


@given(build=builds(holes=1))
@SLOW
def test_a_mirrored_vehicle_is_judged_the_same(build):
    one, other = (judge(variants(of), positions=41) for of in (build, mirrored(build)))
    assert mirrored(mirrored(build)) == build
    assert differences(one, 0, other) == []


@pytest.mark.parametrize("by", ["spring", "block", "shackle"])
@pytest.mark.parametrize("shackles", [False, True], ids=["one spring", "several springs"])
@pytest.mark.parametrize("settling", [None, 15.0], ids=["as measured", "settled"])
def test_a_grid_in_which_few_lifts_come_often_is_its_rows(by, shackles, settling):
    """A lift that comes back in a grid is worked out once where the spring is one for all."""
    build = edited(sample("ranch_truck_swap"), {"plan.rear_lift_by": by, "use.rear_settling_mm": settling})
    lifts = np.tile([0.0, 20.0, 35.0], 5)
    columns = {"plan.rear_lift_mm": lifts, "plan.axle_shim_deg": np.linspace(-2.0, 2.0, 15)}
    if shackles:
        columns["suspension.shackle_length_mm"] = np.linspace(110.0, 120.0, 15)
    v = variants(build, columns)
    found = judge(v, positions=9)
    assert (found["lift", "suspension"].verdict == NOT_ASKED).tolist() == (lifts == 0.0).tolist()
    for row in range(v.rows):
        assert differences(found, row, alone(v, row, 9)) == []


def test_what_is_one_number_for_all_in_one_block_and_not_in_the_next_keeps_each_of_them(monkeypatch):
    build = sample("ranch_truck_swap")
    v = variants(build, {"gauge.angle_uncertainty_deg": [np.nan, np.nan, 0.1, 0.4]})
    at_once = judge(v)
    monkeypatch.setattr("geometry.judge.table.STACKED", 0)  # so that what is one for all stays one number
    in_blocks = judge(v, rows=2)
    for key, one in at_once.items():
        for whole, part in zip(one, in_blocks[key], strict=True):
            np.testing.assert_allclose(part, whole, rtol=1e-9, atol=1e-9)
    assert at_once["gauge_resolution", "readings"].verdict.tolist()[:2] == [UNKNOWN, UNKNOWN]


LOOSE = {"plan.axle_shim_deg": None, "plan.perches": "loose", "plan.pinion_slope_deg": -4.0, "plan.mount_shim_mm": None,
         "plan.mounts": "loose", "plan.powertrain_slope_deg": -2.0, "plan.powertrain_shift_mm": (5.0, 8.0)}  # fmt: skip
RICH = (
    edited(HUNG, IN_STATES), sample("wagon_both_shafts"), VAN, edited(sample("front_axle_lift"), LOOSE),
)  # fmt: skip


@pytest.mark.parametrize("build", RICH, ids=lambda build: build.title[:12])
def test_a_row_that_lacks_an_entry_leaves_the_others_alone(build):
    """One block of the build as it is and, for each of its entries, the build without that one."""
    entered = [(path, value) for path, value in entries_of(build) if not path.endswith("gear_ratios")]
    columns: dict[str, np.ndarray] = {}
    for row, (path, value) in enumerate(entered, 1):
        for part, number in parts_of(path, value).items():
            columns[part] = np.full(len(entered) + 1, number)
            columns[part][row] = np.nan
    v = variants(build, columns)
    found, judged = judge(v, positions=9), 0
    for row in range(v.rows):
        one = alone(v, row, 9)
        if one is not None:
            judged += 1
            assert differences(found, row, one) == []
    assert judged > 0.8 * v.rows


SHARES_LOST = np.array((0.0, 0.02, 0.05, 0.1, 0.2, 0.4, 0.7, 0.97))
"""Of how many of its entries each row of a block lacks."""


@pytest.mark.parametrize("number", range(len(pool())))
def test_rows_that_lack_much_and_rows_that_lack_little_leave_one_another_alone(number):
    """Whole rows beside nearly empty ones in one block, and each of them in a block of its own."""
    build = pool()[number]
    rng = np.random.default_rng(number)
    columns: dict[str, np.ndarray] = {}
    for path, value in entries_of(build):
        if not path.endswith("gear_ratios"):
            lost = rng.random(SHARES_LOST.size) < SHARES_LOST
            columns |= {part: np.where(lost, np.nan, one) for part, one in parts_of(path, value).items()}
    v = variants(build, columns)
    together, apart = judge(v, positions=9), judge(v, positions=9, rows=1)
    for row in range(v.rows):
        one = {key: Judged(*(column[row : row + 1] for column in judged)) for key, judged in apart.items()}
        assert differences(together, row, one) == []


def test_an_engine_that_does_not_rock_needs_no_slope_though_one_beside_it_rocks():
    """What it carries stands where it was measured; which way the crankshaft points counts once it rocks."""
    build = pool()[11]
    v = variants(build, {"powertrain.rock_deg": [3.0, 0.0, 3.0], "powertrain.slope_deg": [3.0, np.nan, np.nan]})
    assert judge(v, positions=9)["pair_gap_1", "obstacles"].verdict.tolist() == [CLEAR, CLEAR, UNKNOWN]


@pytest.mark.parametrize("path", ["suspension.lower_frame_mm.0", "suspension.upper_axle_mm.1", "use.rear_most_kg"])
def test_one_column_of_links_in_several_states_says_what_each_row_says_alone(path):
    """Where an axle goes is worked out once for a build in several states, and once a row where its links differ."""
    build = edited(WAGON, {"suspension.rate_n_per_mm": 40.0, "use": {"rear_settling_mm": 15.0, "rear_most_kg": 300.0}})
    now = dict(part for whole, value in entries_of(build) for part in parts_of(whole, value).items())[path]
    v = variants(build, {path: [now, now + 3.0, np.nan]})
    found = judge(v, positions=9)
    for row in range(3):
        one = alone(v, row, 9)
        assert one is None or differences(found, row, one) == []
