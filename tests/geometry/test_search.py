"""Ways out as rows of the one judge: each tried row says what the changed build says by itself."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from geometry import solve
from geometry.document import Build, edited, value_at
from geometry.document.entries import variants
from geometry.judge import search
from geometry.judge.codes import CAUTION, CLEAR, HOLD, NOT_ASKED, WORDS, Found, Judged
from geometry.judge.facts import Facts
from geometry.judge.judging import judge, judged_block
from geometry.judge.search import Tried, beyond_clear, deeper_holds, holds_and_cautions, tried
from geometry.judge.ways import PINION, leaning_ways
from geometry.words.remedies import document_changes
from geometry.words.told import Told
from tests.geometry.strategies import SAMPLES, WHOLE, hurried, plausible, sample

SLOW = settings(max_examples=25, suppress_health_check=list(HealthCheck))
POSITIONS = 41
CARDANS = {"shaft.front_joint.type": "cardan", "shaft.rear_joint.type": "cardan"}
TRUCK_ON_CARDANS, WAGON_ON_CARDANS = edited(WHOLE[0], CARDANS), edited(WHOLE[4], CARDANS)
HEALTHY = edited(
    sample("ranch_truck_swap"),
    {"axle.pinion_slope_deg": 4.5, "powertrain.output_joint_mm": (1632.0, -5.0, 580.0), "obstacles": (),
     "shaft.tube.wall_mm": 3.4, "shaft.tube.outer_diameter_mm": 88.9, "readings.shaft_slope_deg": None,
     "readings.shaft_length_mm": None, "suspension.rate_n_per_mm": 200.0, "vehicle.cruise_speed_kmh": 80.0,
     "shaft.slip.stroke_mm": 130.0, "shaft.slip.engaged_mm": 85.0},
)  # fmt: skip


def searched(build: Build, positions: int = POSITIONS) -> tuple[Facts, Found, Tried]:
    """The plan's facts and findings, judged alone, and what is tried."""
    with np.errstate(all="ignore"):
        plan = Facts(variants(build), positions)
        return plan, judged_block(plan), tried(Facts(variants(build), positions))


def broken_promises(build: Build, positions: int = POSITIONS) -> list[str]:
    """What a tried row says otherwise than the changed build, judged alone."""
    plan, before, some = searched(build, positions)
    told = []
    for row, changes in enumerate(some.changes):
        alone = judge(
            variants(edited(build, document_changes(Told(build, plan, before), changes))), positions=positions
        )
        for key in dict.fromkeys((*some.found, *alone)):
            if key not in some.found or key not in alone:
                told.append(f"{changes}: {key} only {'tried' if key in some.found else 'alone'}")
                continue
            one, other = some.found[key], alone[key]
            here, there = one.verdict[row], other.verdict[0]
            if here != there:
                told.append(f"{changes}: {key} {WORDS[here] or 'not asked'} tried, {WORDS[there] or 'not asked'} alone")
            elif here >= CAUTION:
                numbers = [
                    [float(of[place]) for of in (got.value, got.clear, got.hold)]
                    for got, place in ((one, row), (other, 0))
                ]
                if not np.allclose(*numbers, rtol=1e-9, atol=1e-9, equal_nan=True):
                    told.append(f"{changes}: {key} {numbers[0]} tried, {numbers[1]} alone")
            # How wide a gap is that is wide enough stays open: at least what is said.
            elif key[0].startswith("gap_") and here == CLEAR and one.value[row] > other.value[0] + 1e-9:
                told.append(f"{changes}: {key} at least {one.value[row]} tried, {other.value[0]} alone")
    return told


@pytest.mark.parametrize("build", WHOLE, ids=lambda build: build.title[:12])
@pytest.mark.parametrize("positions", [0, 9, POSITIONS])
def test_a_tried_row_is_the_changed_build(build, positions):
    assert broken_promises(build, positions) == []


@given(build=plausible())
@SLOW
def test_a_tried_row_is_the_changed_build_whatever_it_is(build):
    assert broken_promises(build) == []


@given(build=plausible(holes=3))
@SLOW
def test_a_tried_row_is_the_changed_build_with_holes(build):
    assert broken_promises(build) == []


@given(build=plausible(obstacles=1), wish=st.sampled_from([-0.3, 0.3, 0.7, 1.5]))
@settings(max_examples=40, suppress_health_check=list(HealthCheck))
def test_a_gap_hardly_wide_enough_is_so_in_every_row(build, wish):
    """The gap wanted is hardly more or less than what there is: no row calls clear what alone is not."""
    for number in range(len(build.obstacles)):
        least = float(judge(variants(build), positions=POSITIONS)[f"gap_{number + 1}", "obstacles"].value[0])
        if 13.0 < least < 400.0:
            wanted = {f"obstacles.{number}.gap_mm": least + wish, f"obstacles.{number}.carries": None}
            assert broken_promises(edited(build, wanted)) == []


def test_a_gap_between_two_places_counts_in_every_row():
    """Near the ends of its travel the shaft comes nearer between two places than at them by more than a millimetre.

    The gap wanted is 0.8 mm more than there is; a phase that moves nothing does not widen it.
    """
    stops = {"suspension.droop_mm": 150.0, "suspension.bump_mm": 150.0}
    calm = {"powertrain.peak_torque_nm": 0.001, "suspension.rate_n_per_mm": 2000.0}
    box = ((2560.0, 180.0), (2620.0, 180.0), (2620.0, 220.0), (2560.0, 220.0))
    build = edited(sample("long_van_two_piece"), {**stops, **calm, "obstacles": ({"outline_mm": box},)})
    least = float(judge(variants(build), positions=POSITIONS)["gap_1", "obstacles"].value[0])
    wedged = edited(build, {"obstacles.0.gap_mm": least + 0.8, "plan.axle_shim_deg": 2.0})
    assert broken_promises(wedged) == []


def test_a_gap_too_small_is_told_exactly_in_every_row() -> None:
    """A long floor above the shaft, as near at one place of the travel as at another: each row's gap is its own."""
    build = WHOLE[3]
    x, z = 2780.0, 733.0
    floor = ((x - 400.0, z - 20.0), (x + 400.0, z - 20.0), (x + 400.0, z + 20.0), (x - 400.0, z + 20.0))
    low = edited(build, {"obstacles": ({"outline_mm": floor, "gap_mm": 300.0},)})
    changes = [{}, *({"plan.axle_shim_deg": wedge} for wedge in (-8.0, 4.0, 8.0)), {"axle.pinion_drop_mm": -40.0}]
    with np.errstate(all="ignore"):
        plan = Facts(variants(low), POSITIONS)
        rows = Facts(search.wide(plan.v, changes), POSITIONS, like=plan, leads=True)
        alone = [Facts(variants(edited(low, change)), POSITIONS) for change in changes]
        own = [float(one.in_the_way.gap(0).least_mm[0]) for one in alone]
        assert rows.in_the_way.gap(0).least_mm == pytest.approx(own, abs=1e-9)


@given(build=hurried())
@SLOW
def test_a_tried_row_is_the_changed_build_of_three_angles(build):
    assert broken_promises(build) == []


@given(build=plausible(holes=1))
@SLOW
def test_judged_at_once_or_one_after_another_it_is_the_same(build):
    """Whether the plan is judged beside its changes or before them hangs on a glance at it, which may be wrong."""
    at_once = searched(build)[2]
    tail = {("tail_down", "powertrain"): Judged(*(np.ones(1) for _ in range(3)), np.array([HOLD]))}
    for few, glance in ((10_000, {}), (0, tail), (0, {})):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(search, "FEW", few)
            patch.setattr(search, "_glance", lambda _, glance=glance: glance)
            other = searched(build)[2]
        assert (other.changes, other.kinds) == (at_once.changes, at_once.kinds)
        for key in at_once.found.keys() | other.found.keys():
            for here, there in zip(at_once.found[key], other.found[key], strict=True):
                assert np.allclose(here, there, rtol=1e-12, atol=1e-12, equal_nan=True), key


def test_where_nothing_is_wrong_nothing_is_tried():
    plan, found, some = searched(HEALTHY)
    assert [key for key, one in found.items() if one.verdict[0] >= CAUTION] == []
    assert some.changes == ({},)
    assert plan.positions == POSITIONS
    assert searched(Build())[2].changes == ({},)


def test_two_changes_together_where_none_alone_helps():
    """The short hauler holds six times or more as planned, and with pinion and mount changed together not at all."""
    plan, found, some = searched(sample("lifted_short_shaft"))
    held, _ = holds_and_cautions(found)
    assert held[0] >= 6
    holds, _ = holds_and_cautions(some.found)
    single = np.array([len(kinds) == 1 for kinds in some.kinds])
    assert holds.min() == 0
    assert holds[single].min() > 0
    assert plan.v.rows == 1


NEAR = {f"obstacles.{index}.gap_mm": 80.0 for index in range(3)}


@pytest.mark.parametrize(
    "build",
    [sample("ranch_truck_swap"), sample("long_van_two_piece"), edited(sample("ranch_truck_swap"), NEAR)],
)
def test_the_gap_that_is_told_of_a_tried_row_is_the_changed_build_s(build):
    plan, found, some = searched(build)
    for row, changes in enumerate(some.changes):
        alone = judge(variants(edited(build, document_changes(Told(build, plan, found), changes))), positions=POSITIONS)
        for index in range(len(build.obstacles)):
            key = f"gap_{index + 1}", "obstacles"
            told, truly = some.found[key].value[row], alone[key].value[0]
            if found[key].verdict[0] == CLEAR and some.found[key].verdict[row] == CLEAR:
                assert told <= truly + 1e-9  # no way out mends it, nor is it against one
            else:
                assert told == pytest.approx(truly, abs=1e-9)


@given(build=plausible(holes=1))
@SLOW
def test_what_is_tried_is_a_change_and_each_only_once(build):
    plan, found, some = searched(build, 9)
    assert len(some.changes) == len(some.kinds) == len(some.effort) == len(some.meets) == some.facts.v.rows
    assert (some.changes[0], some.kinds[0], some.effort[0]) == ({}, (), 0.0)
    assert len(some.changes) == 1 or any(one.verdict[0] >= CAUTION for one in found.values())
    assert (some.effort[1:] > 0.0).all()
    for row, changes in enumerate(some.changes[1:], 1):
        assert changes not in some.changes[:row]
        document = edited(build, document_changes(Told(build, plan, found), changes))
        assert document != build
        assert some.kinds[row]


def test_holds_and_cautions_are_counted():
    _, found, _ = searched(sample("lifted_short_shaft"))
    codes = [int(one.verdict[0]) for one in found.values()]
    holds, cautions = holds_and_cautions(found)
    assert (holds[0], cautions[0]) == (codes.count(HOLD), codes.count(CAUTION))
    assert NOT_ASKED in codes


@pytest.mark.parametrize(
    ("changes", "weak"),
    [
        # A section of 1.95 m whirls below the highest speed of 4,800 rpm, one of 0.5 m far beyond it.
        ({"shaft.bearing_mm": (1600.0, 20.0, 540.0)}, {"rear"}),
        ({"shaft.bearing_mm": (3050.0, 20.0, 450.0)}, {"front"}),
        ({"powertrain.redline_rpm": 15_000.0}, {"front", "rear"}),
        # No highest speed: cruise alone is too fast.
        (
            {"shaft.bearing_mm": (1600.0, 20.0, 540.0), "powertrain.redline_rpm": None,
             "vehicle.cruise_speed_kmh": 200.0},
            {"rear"},
        ),
        # The steel of one is as soft as lead.
        ({"shaft.front_tube.yield_mpa": 20.0}, {"front"}),
        ({"shaft.rear_tube.yield_mpa": 20.0}, {"rear"}),
        # One whirls, and the other yields.
        ({"shaft.bearing_mm": (1600.0, 20.0, 540.0), "shaft.front_tube.yield_mpa": 20.0}, {"front", "rear"}),
        ({}, set()),
    ],
)  # fmt: skip
def test_only_tubes_that_whirl_or_yield_are_made_larger(two_piece, changes, weak):
    plain: dict = {"vehicle.cruise_speed_kmh": 40.0, "vehicle.top_speed_kmh": None}
    plain["shaft.bearing_mm"] = (2325.0, 20.0, 500.0)  # halfway: nothing whirls
    plain |= {f"shaft.{name}_tube.yield_mpa": 2000.0 for name in ("front", "rear")}
    some = searched(edited(two_piece, plain | changes), 0)[2]
    tried_ones = list(zip(some.kinds, some.changes, strict=True))
    larger = {path for kinds, change in tried_ones for path in change if kinds == ("tube",)}
    assert larger == {f"shaft.{name}_tube.outer_diameter_mm" for name in weak}


@pytest.mark.parametrize("build", [TRUCK_ON_CARDANS, WAGON_ON_CARDANS], ids=["springs", "links"])
@pytest.mark.parametrize(("down", "sag"), [(35.0, 60.0), (20.0, 90.0)])
def test_loose_perches_are_tried_where_the_worst_state_is_best(build: Build, down: float, sag: float) -> None:
    """Against every tenth of a degree: the slope with which the worst of all states is best is one of those tried."""
    used = {"rear_settling_mm": down, "front_settling_mm": 0.0, "rear_most_kg": 300.0, "rear_sag_mm": sag}
    loose = edited(build, {"plan": {"perches": "loose", "pinion_slope_deg": build.axle.pinion_slope_deg}, "use": used})
    every = np.round(np.arange(-30.0, 30.01, 0.1), 1)
    found = judge(variants(loose, {"plan.pinion_slope_deg": every}))
    with np.errstate(all="ignore"):
        slopes, alone = (
            next(
                way.changes["plan.pinion_slope_deg"] for way in leaning_ways(Facts(variants(one))) if way.kind == PINION
            )
            for one in (loose, edited(loose, {"use": None}))
        )
    assert slopes.size < 2.5 * alone.size
    for key in (("ends_parallel", "shaft"), ("pinion_residual", "rear_joint")):
        best = every[np.nanargmin(found[key].value)]
        assert np.abs(slopes - best).min() < 0.06, key
    if build is WAGON_ON_CARDANS:  # as measured alone is not enough there
        best = every[np.nanargmin(found["ends_parallel", "shaft"].value)]
        assert np.abs(alone - best).min() > 0.06


# --- no way out is missed ---------------------------------------------------------------------------------------------


def with_bar(build: Build, above_mm: float) -> Build:
    """The build with a bar so far above the shaft's rear third: whatever lifts the pinion too far strikes it."""
    assert build.axle is not None
    assert build.powertrain is not None
    (x, _, z), (to_x, _, to_z) = build.powertrain.output_joint_mm, build.axle.centre_mm
    x, z = 0.3 * x + 0.7 * to_x, 0.45 * z + 0.55 * to_z + 70.0 + above_mm
    corners = ((x - 30.0, z), (x + 30.0, z), (x + 30.0, z + 40.0), (x - 30.0, z + 40.0))
    return edited(build, {"obstacles": ({"name": "bar", "outline_mm": corners},)})


VAN = Build.model_validate_json((SAMPLES / "long_van_two_piece.json").read_text(encoding="utf-8"))
MISSED = {
    # U-bolts whose length beside a wedge is not known: no wedge was ever offered.
    "legs": edited(VAN, {"axle.pinion_slope_deg": 12.0}),
    # The wedge with the best verdict is too thick, a thinner one will do.
    "thick": edited(sample("ranch_truck_swap"), {"axle.pinion_slope_deg": -4.0}),
    # What mends it best strikes the bar, which only a full look sees.
    "bar in front": with_bar(
        edited(sample("front_axle_lift"), {"axle.pinion_slope_deg": -4.0, "plan.axle_shim_deg": -6.0}), 20.0
    ),
    "bar behind": with_bar(
        edited(sample("transfer_case_double_joint"), {"axle.pinion_slope_deg": 7.0, "plan.axle_shim_deg": -6.0}), 60.0
    ),
}


@pytest.mark.parametrize("name", MISSED)
def test_a_hold_that_a_wedge_alone_mends_has_a_way_out(name: str) -> None:
    """Every wedge in half degrees tried here, whole: none that makes fewer holds and no new one may be missed."""
    build = MISSED[name]
    wedges = [value_at(build, "plan.axle_shim_deg") or 0.0, *np.arange(-8.0, 8.1, 0.5)]
    found = judge(variants(build, {"plan.axle_shim_deg": wedges}), positions=POSITIONS)
    keys = list(found)
    codes, value, clear = (
        np.array([getattr(one, part) for one in found.values()]) for part in ("verdict", "value", "clear")
    )
    holds = (codes == HOLD).sum(axis=0) + deeper_holds(codes, beyond_clear(keys, value, clear))
    fits = (holds < holds[0]) & ~((codes == HOLD) & (codes[:, :1] != HOLD)).any(axis=0)
    ends = {key for place, key in enumerate(keys) if codes[place, 0] == HOLD and (fits & (codes[place] < HOLD)).any()}
    assert ends
    told = {(one.id, one.part): one for one in solve(build).findings}
    assert [key for key in ends if told[key].remedy is None] == []
    assert broken_promises(build) == []
