"""Shocks over the travel against brute force: an axle moved by scipy, eyes carried by scipy's rotations, in rows."""

from itertools import pairwise
from math import acos, asin, cos, degrees, hypot, radians, sin, sqrt

import numpy as np
import pytest
import shapely

from geometry import Build, edited, solve
from geometry.document.entries import variants
from geometry.judge.codes import CAUTION, CLEAR, HOLD, UNKNOWN
from geometry.judge.facts import Facts
from geometry.judge.judging import judge
from geometry.mechanics import shocks
from geometry.mechanics.trade_sizes import STOCK_SHOCKS
from geometry.mechanics.vectors import number
from geometry.words.sentences.brackets import fitting, in_hand
from geometry.words.solve import Work, solved
from geometry.words.told import Told
from tests.geometry.brackets_help import BUMP, CENTRE, DROOP, SQUASH, WAGON, axle_at, carried, dense, with_shock
from tests.geometry.strategies import sample

RANCH = sample("ranch_truck_swap")
ROWS = 300


def random_shocks(rows: int, seed: int) -> dict[str, np.ndarray]:
    """Columns of shocks of all sorts round the wagon's axle, some that fit and more that do not."""
    random = np.random.default_rng(seed)
    eye = np.array([2680.0, 0.0, 350.0]) + random.uniform(-80.0, 80.0, (rows, 3))
    eye[:, 1] = random.uniform(200.0, 650.0, rows) * random.choice([-1.0, 1.0], rows)
    top = eye + random.uniform((-250.0, -200.0, 250.0), (250.0, 200.0, 600.0), (rows, 3))
    ride = np.linalg.norm(top - eye, axis=1)
    closed = ride - random.uniform(-10.0, 260.0, rows)
    opened = np.maximum(ride + random.uniform(-10.0, 260.0, rows), closed + 1.0)
    points = {
        f"shocks.0.{end}_point_mm.{axis}": at[:, axis]
        for end, at in (("axle", eye), ("frame", top))
        for axis in range(3)
    }
    return {**points, "shocks.0.compressed_mm": closed, "shocks.0.extended_mm": opened}


def ends(columns: dict[str, np.ndarray], row: int) -> tuple[np.ndarray, np.ndarray, float, float]:
    eye, top = (
        np.array([columns[f"shocks.0.{end}_point_mm.{axis}"][row] for axis in range(3)]) for end in ("axle", "frame")
    )
    return eye, top, columns["shocks.0.compressed_mm"][row], columns["shocks.0.extended_mm"][row]


@pytest.fixture(scope="module")
def judged():
    columns = random_shocks(ROWS, 7)
    return columns, judge(variants(with_shock(), columns), positions=41)


def test_random_shocks_against_brute_force_over_the_travel(judged) -> None:
    """Of 300 shocks the least left at either end is that of 201 places; none that cannot work is clear."""
    columns, found = judged
    centre, turn = axle_at(dense())
    close, opens = found["shock_bump_1", "shocks"], found["shock_droop_1", "shocks"]
    wrong = 0
    for row in range(ROWS):
        eye, top, closed, opened = ends(columns, row)
        lengths = np.array([np.linalg.norm(carried(eye, *at) - top) for at in zip(centre, turn, strict=True)])
        assert close.value[row] == pytest.approx(lengths.min() - closed, abs=0.05)
        assert opens.value[row] == pytest.approx(opened - lengths.max(), abs=0.05)
        for one, left in ((close, lengths.min() - closed), (opens, opened - lengths.max())):
            if left < 0.0:
                wrong += 1
                assert one.verdict[row] == HOLD
            if left < 12.6:
                assert one.verdict[row] in {CAUTION, HOLD}
            if left > 12.8:
                assert one.verdict[row] == CLEAR
    assert wrong > 100
    assert (close.verdict == CLEAR).sum() > 50


def test_random_shocks_with_the_axle_crossed_against_brute_force(judged) -> None:
    """Each side anywhere from droop to squashed bump, 13 × 13 places: nothing there is worse than what is judged."""
    columns, found = judged
    one_side = np.unique(np.append(np.linspace(-DROOP, BUMP + SQUASH, 12), 0.0))
    own, other = (grid.ravel() for grid in np.meshgrid(one_side, one_side))
    centre, turn = axle_at((own + other) / 2.0)
    crossed = found["shock_crossed_1", "shocks"]
    for row in range(0, ROWS, 6):
        eye, top, closed, opened = ends(columns, row)
        way = 1.0 if eye[1] >= CENTRE[1] else -1.0
        rolls = [asin(way * (a - b) / 850.0) for a, b in zip(own, other, strict=True)]
        lengths = np.array([np.linalg.norm(carried(eye, *at) - top) for at in zip(centre, turn, rolls, strict=True)])
        least = min(lengths.min() - closed, opened - lengths.max())
        assert crossed.value[row] == pytest.approx(least, abs=0.1)
        if least < -0.3:
            assert crossed.verdict[row] == HOLD


@pytest.mark.parametrize("changes", [
    {}, {"plan.rear_lift_mm": 60.0}, {"plan.rear_lift_mm": 40.0, "plan.rear_lift_by": "block"},
    {"plan.axle_shim_deg": -2.5},
    {"plan.rear_lift_mm": -25.0, "plan.front_lift_mm": 20.0}, {"plan.perches": "loose", "plan.pinion_slope_deg": 5.0},
    {"lateral_link": {"frame_point_mm": (3300.0, -450.0, 560.0), "axle_point_mm": (3290.0, 420.0, 470.0)}},
])  # fmt: skip
def test_on_springs_it_is_as_long_as_it_is_drawn(changes: dict[str, object]) -> None:
    """The picture carries the eye by the pinion's line: at every tenth of the travel, at rest and wound up."""
    shock = {"axle_point_mm": (3320.0, -440.0, 350.0), "frame_point_mm": (3200.0, -380.0, 800.0)}
    build = edited(RANCH, {"shocks": (shock,), **changes})
    work = Work(build)
    whole = solved(work)
    with np.errstate(all="ignore"):
        one = work.facts.fitted.shocks[0]
        lengths, travel = one.lengths_mm, work.facts.sweep.travel_mm[:, 0]
        assert work.facts.launch_settled.all()
        for place in range(0, 41, 4):
            for sweep, torque in enumerate(("none", "launch")):
                there = work.posed(whole, float(travel[place]), torque)
                frame, eye = there.picture.shocks_mm[0]
                assert float(lengths[sweep, place, 0]) == pytest.approx(
                    np.linalg.norm(np.subtract(frame, eye)), abs=1e-6
                )
        frame, eye = whole.picture.shocks_mm[0]
        assert float(np.ravel(one.ride_mm)[0]) == pytest.approx(np.linalg.norm(np.subtract(frame, eye)), abs=1e-6)


# --- motion ratio and lean --------------------------------------------------------------------------------------------


def parallel(radius: float, frame: tuple[float, float, float], eye: tuple[float, float, float]):
    """An axle on two level links of one length, which so goes round an arc without turning."""
    x, _, z = CENTRE
    links = {
        "lower_frame_mm": (x - radius, z - 50.0), "lower_axle_mm": (x, z - 50.0),
        "upper_frame_mm": (x - radius, z + 150.0), "upper_axle_mm": (x, z + 150.0),
    }  # fmt: skip
    shock = {"frame_point_mm": frame, "axle_point_mm": eye, "compressed_mm": 200.0, "extended_mm": 900.0}
    return edited(WAGON, {**{f"suspension.{end}": at for end, at in links.items()}, "shocks": (shock,)})


@pytest.mark.parametrize("top", [(2600.0, 400.0, 800.0), (2300.0, 250.0, 700.0), (2900.0, 400.0, 650.0)])
def test_motion_ratio_by_the_cosine_rule(top: tuple[float, float, float]) -> None:
    """On an arc of radius r about a centre at distance c from the upper eye, L² = r² + c² − 2 r c cos a (Euclid II.12).

    So dL/da = r c sin a / L, and the axle rises by r da where the arm lies level.
    """
    radius, eye = 700.0, (2680.0, 400.0, 350.0)
    build = parallel(radius, top, eye)
    facts = Facts(variants(build))
    shock = facts.fitted.shocks[0]
    hub = np.array([eye[0] - radius, eye[1], eye[2]])
    arm, to_top = np.array(eye) - hub, np.array(top) - hub
    flat = hypot(to_top[0], to_top[2])
    angle = np.arctan2(to_top[2], to_top[0]) - np.arctan2(arm[2], arm[0])
    across = (top[1] - eye[1]) ** 2
    length = sqrt(radius**2 + flat**2 - 2.0 * radius * flat * cos(angle) + across)
    with np.errstate(all="ignore"):
        assert float(np.ravel(shock.ride_mm)[0]) == pytest.approx(length, abs=1e-9)
        rate = radius * flat * sin(angle) / length / radius  # of its length by the axle's rise, pushed in by bump
        assert float(shock.ratio[0]) == pytest.approx(rate, abs=2e-6)
        assert float(shock.lean_deg[0]) == pytest.approx(degrees(acos(rate)), abs=1e-3)


def test_motion_ratios_against_a_difference_over_the_drawing() -> None:
    """Both wheels: lengths as drawn 2 mm apart; one wheel: the axle of the wagon rolled by scipy."""
    build = edited(with_shock(), {
        "axle.perch_spacing_mm": 900.0, "axle.flange_to_perch_left_mm": 250.0, "axle.flange_to_perch_right_mm": 250.0,
    })  # fmt: skip
    eye, top = (np.array(part) for part in ((2700.0, 420.0, 360.0), (2720.0, 360.0, 800.0)))
    with np.errstate(all="ignore"):
        facts = Facts(variants(build))
        shock = facts.fitted.shocks[0]
        both, one = float(shock.ratio[0]), float(shock.ratio_one_wheel[0])
    centre, turn = axle_at(np.array([-1.0, 1.0]))
    low, high = (np.linalg.norm(carried(eye, *at) - top) for at in zip(centre, turn, strict=True))
    assert both == pytest.approx((low - high) / 2.0, abs=1e-7)
    centre, turn = axle_at(np.array([-0.5, 0.5]))
    rolls = [asin(-1.0 / 1400.0), asin(1.0 / 1400.0)]
    low, high = (np.linalg.norm(carried(eye, *at) - top) for at in zip(centre, turn, rolls, strict=True))
    assert one == pytest.approx((low - high) / 2.0, abs=1e-7)
    assert one < both


def test_damping_falls_with_the_square() -> None:
    """Between 0 and 45°: the square of the motion ratio of a shock that leans so far from a straight way."""
    for lean in (0.0, 15.0, 30.0, 45.0):
        low, high = (hypot(500.0 * sin(radians(lean)), 500.0 * cos(radians(lean)) - step) for step in (-1.0, 1.0))
        ratio = float(shocks.motion_ratio(number(high), number(low), number(1.0)))
        assert float(shocks.damping_share(number(lean))) == pytest.approx(ratio**2, abs=5e-6)


# --- what is not known, and what is the same -------------------------------------------------------------------------


def verdicts(build) -> dict[str, str]:
    return {one.id: one.verdict for one in solve(build).findings if one.part == "shocks"}


def lengths_of(build) -> np.ndarray:
    """Lengths of its first shock over the travel, (sweeps, places, rows)."""
    facts = Facts(variants(build), 41)
    return facts.fitted.shocks[0].lengths_mm


def test_without_shocks_there_is_no_finding() -> None:
    assert verdicts(WAGON) == {}


ENTRIES = (
    "shocks.0.axle_point_mm", "shocks.0.frame_point_mm", "shocks.0.compressed_mm", "shocks.0.extended_mm",
    "axle.centre_mm", "suspension.bump_mm", "suspension.droop_mm", "suspension.bump_squash_mm",
    "suspension.lower_axle_mm",
    "suspension.stop_spacing_mm", "suspension", "powertrain.peak_torque_nm", "axle.pinion_slope_deg",
)  # fmt: skip


@pytest.mark.parametrize("entry", ENTRIES)
@pytest.mark.parametrize("closed", [300.0, 395.0, 450.0])
def test_what_is_taken_out_never_clears(entry: str, closed: float) -> None:
    for build in (with_shock(compressed_mm=closed), edited(RANCH, {"shocks": ({
        "axle_point_mm": (3320.0, -440.0, 350.0), "frame_point_mm": (3200.0, -380.0, 800.0), "compressed_mm": closed,
        "extended_mm": 560.0,
    },)})):  # fmt: skip
        if entry == "suspension.lower_axle_mm" and build.suspension.kind == "leaf":
            continue
        was = verdicts(build)
        for name, verdict in verdicts(edited(build, {entry: None})).items():
            assert verdict != "clear" or was[name] == "clear", (name, was[name])


def test_a_shock_without_lengths_names_them() -> None:
    build = with_shock(compressed_mm=None, extended_mm=None)
    found = {one.id: one for one in solve(build).findings if one.part == "shocks"}
    assert (
        found["shock_bump_1"].verdict == found["shock_droop_1"].verdict == found["shock_place_1"].verdict == "unknown"
    )
    assert "the shock's length compressed" in found["shock_bump_1"].says
    assert found["shock_droop_1"].entry == "shocks.0.extended_mm"
    assert found["shock_lean_1"].verdict == "clear"


def test_with_a_pinion_that_is_set_its_slope_is_wanted() -> None:
    """Nobody knows how far the axle is turned to a slope whose old one was not read."""
    build = edited(with_shock(), {
        "plan.perches": "loose", "plan.pinion_slope_deg": 9.0, "axle.pinion_slope_deg": None,
    })  # fmt: skip
    found = next(one for one in solve(build).findings if one.id == "shock_bump_1")
    assert (found.verdict, found.entry) == ("unknown", "axle.pinion_slope_deg")


def test_a_short_shock_across_a_long_span_never_passes() -> None:
    build = edited(RANCH, {"shocks": ({
        "axle_point_mm": (3320.0, -440.0, 350.0), "frame_point_mm": (3320.0, -440.0, 910.0), "compressed_mm": 200.0,
        "extended_mm": 300.0,
    },)})  # fmt: skip
    found = verdicts(build)
    assert solve(build).verdict == "hold"
    assert {name for name, verdict in found.items() if verdict == "hold"} == {
        "shock_droop_1", "shock_crossed_1", "shock_place_1",
    }  # fmt: skip


def mirrored(build):
    """The build seen in a mirror: left is right."""
    flip = {
        path: (one[0], -one[1], one[2])
        for path, one in (
            ("axle.centre_mm", build.axle.centre_mm), ("powertrain.output_joint_mm", build.powertrain.output_joint_mm),
            ("shocks.0.axle_point_mm", build.shocks[0].axle_point_mm),
            ("shocks.0.frame_point_mm", build.shocks[0].frame_point_mm),
        )
    }  # fmt: skip
    return edited(build, flip)


def test_the_mirror_says_the_same() -> None:
    build = with_shock()
    for one, two in zip(*(
        [(found.id, found.verdict, found.value) for found in solve(one).findings if found.part == "shocks"]
        for one in (build, mirrored(build))
    ), strict=True):  # fmt: skip
        assert one[:2] == two[:2]
        assert one[2] == pytest.approx(two[2], abs=1e-9)


def test_rows_are_what_each_build_says_alone() -> None:
    columns = random_shocks(12, 3)
    columns["suspension.bump_mm"] = np.linspace(40.0, 130.0, 12)
    columns["suspension.bump_squash_mm"] = np.where(np.arange(12) % 3 == 0, np.nan, 20.0)
    columns["plan.rear_lift_mm"] = np.linspace(-20.0, 60.0, 12)
    v = variants(with_shock(), columns)
    found = judge(v, positions=41)
    for row in range(12):
        alone = judge(variants(v.build_at(row)), positions=41)
        for key, one in found.items():
            if key[1] == "shocks":
                assert one.verdict[row] == alone[key].verdict[0]
                assert one.value[row] == pytest.approx(alone[key].value[0], abs=1e-9, nan_ok=True)


def test_a_squash_that_is_not_entered_may_only_unsettle() -> None:
    build = with_shock()
    with np.errstate(all="ignore"):
        low = float(lengths_of(build).min())
    near = edited(build, {"shocks.0.compressed_mm": low - 14.0, "suspension.bump_squash_mm": None})
    assert verdicts(edited(near, {"suspension.bump_squash_mm": SQUASH}))["shock_bump_1"] == "clear"
    assert verdicts(edited(near, {"suspension.bump_squash_mm": 5.0}))["shock_bump_1"] == "clear"
    nearer = edited(near, {"shocks.0.compressed_mm": low - 8.0})
    found = next(one for one in solve(nearer).findings if one.id == "shock_bump_1")
    assert (found.verdict, found.entry) == ("unknown", "suspension.bump_squash_mm")


def test_a_windup_that_is_not_known_unsettles_what_it_can_turn() -> None:
    build = edited(RANCH, {"shocks": ({
        "axle_point_mm": (3440.0, -440.0, 350.0), "frame_point_mm": (3400.0, -380.0, 800.0), "compressed_mm": 300.0,
        "extended_mm": 700.0,
    },)})  # fmt: skip
    with np.errstate(all="ignore"):
        lengths = lengths_of(build)
    wound, still = float(lengths[1].max()), float(lengths[0].max())
    assert wound > still + 5.0  # torque pulls an eye behind the axle down
    between = edited(build, {"shocks.0.extended_mm": still + 12.7 + 2.0})
    assert verdicts(between)["shock_droop_1"] in {"caution", "hold"}
    found = next(
        one for one in solve(edited(between, {"suspension.rate_n_per_mm": None})).findings if one.id == "shock_droop_1"
    )
    assert (found.verdict, found.entry) == ("unknown", "suspension.rate_n_per_mm")
    assert verdicts(build)["shock_droop_1"] == "clear"
    assert verdicts(edited(build, {"suspension.rate_n_per_mm": None}))["shock_droop_1"] == "unknown"
    short = edited(build, {"shocks.0.extended_mm": still + 6.35 - 0.1, "suspension.rate_n_per_mm": None})
    assert verdicts(short)["shock_droop_1"] == "hold"  # at rest it is so whatever torque does


# --- ways out ---------------------------------------------------------------------------------------------------------


def test_stocked_shocks_run_upward_and_none_is_shorter_than_its_rod() -> None:
    for one, two in pairwise(STOCK_SHOCKS):
        assert one.closed_mm < two.closed_mm
        assert one.open_mm < two.open_mm
    assert all(one.open_mm - one.closed_mm < one.closed_mm for one in STOCK_SHOCKS)


def test_a_stocked_shock_that_fits_is_offered_and_keeps_its_promise() -> None:
    build = edited(
        with_shock(compressed_mm=300.0, extended_mm=450.0), {"suspension.bump_mm": 45.0, "suspension.droop_mm": 50.0}
    )
    finding = next(one for one in solve(build).findings if one.id == "shock_droop_1")
    assert finding.verdict == "hold"
    assert finding.remedy is not None
    assert set(finding.remedy.changes) == {"shocks.0.compressed_mm", "shocks.0.extended_mm"}
    after = solve(edited(build, dict(finding.remedy.changes)))
    assert {one.verdict for one in after.findings if one.part == "shocks"} == {"clear"}
    assert finding.remedy.verdict == after.verdict
    assert "Fit the shock of " in finding.remedy.says


SHORT = {"suspension.bump_mm": 45.0, "suspension.droop_mm": 50.0}
SMALL = {"name": "the short one", "compressed_mm": 200.0, "extended_mm": 300.0}


@pytest.mark.parametrize("off", [-1.0, 0.0, 1.0])
def test_of_the_shocks_to_be_had_the_one_that_fits_is_offered_by_its_name(off: float) -> None:
    """Their own list wins over what is usually kept; half an inch is left at either end."""
    wrong = edited(with_shock(compressed_mm=300.0, extended_mm=450.0), SHORT)
    state = solve(wrong).brackets.shocks[0]  # type: ignore[union-attr]
    assert state.fit is None
    closed, opened = state.closed_at_most_mm, state.open_at_least_mm
    assert closed is not None
    assert opened is not None
    ours = {"name": "the blue one", "compressed_mm": closed - off, "extended_mm": opened + 5.0}
    build = edited(wrong, {"shock_stock": (SMALL, ours, {"name": "not measured"})})
    whole = solve(build)
    finding = next(one for one in whole.findings if one.id == "shock_droop_1")
    fits = off >= 0.0
    assert whole.brackets is not None
    told = whole.brackets.shocks[0].fit
    if not fits:
        assert finding.remedy is None
        assert "as none of those to be had is" in finding.says
        assert told == ()
        return
    assert finding.remedy is not None
    assert dict(finding.remedy.changes) == {
        "shocks.0.compressed_mm": ours["compressed_mm"], "shocks.0.extended_mm": ours["extended_mm"],
    }  # fmt: skip
    assert "which is the blue one, of those to be had" in finding.remedy.says


def test_names_of_those_that_fit() -> None:
    others = SMALL | {"name": "longer", "extended_mm": 320.0}, SMALL | {"name": "open", "compressed_mm": None}
    build = edited(Build(), {"shock_stock": (SMALL, *others)})
    assert in_hand(build, (200.0, 300.0)) == ("the short one", "longer")
    assert in_hand(build, (200.0, 310.0)) == ("longer",)
    assert in_hand(build, (199.9, 300.0)) == ()
    assert in_hand(Build(), (200.0, 300.0)) is None


def test_those_that_fit_are_named_where_nothing_is_offered() -> None:
    build = edited(with_shock(compressed_mm=300.0, extended_mm=450.0), SHORT)
    work = Work(edited(build, {"shock_stock": (SMALL | {"extended_mm": 900.0},)}))
    with np.errstate(all="ignore"):
        says = fitting(Told(work.build, work.facts, {}), ("shock_droop_1", "shocks"))
    assert says.endswith(": of those to be had, the short one. Other places for its eyes would do too.")


def test_where_no_shock_fits_the_lengths_are_told() -> None:
    build = with_shock(compressed_mm=300.0, extended_mm=430.0)
    finding = next(one for one in solve(build).findings if one.id == "shock_droop_1")
    assert finding.remedy is None
    with np.errstate(all="ignore"):
        facts = Facts(variants(build), 41)
        low, high = (float(part[0]) for part in facts.fitted.shocks[0].span_mm)
    for line in (
        f"at most {low - 12.7:,.0f} mm",
        f"at least {high + 12.7:,.0f} mm",
        "other places for its eyes are wanted",
    ):
        assert line in finding.says, finding.says
    fits = with_shock(compressed_mm=low - 12.8, extended_mm=high + 12.8)
    assert {name for name, verdict in verdicts(fits).items() if verdict != "clear"} == set()


def test_unknown_places_want_themselves() -> None:
    found = judge(variants(edited(WAGON, {"shocks": ({},)})), positions=41)
    assert {int(one.verdict[0]) for key, one in found.items() if key[1] == "shocks"} == {int(UNKNOWN)}


# --- where the upper eye may go ---------------------------------------------------------------------------------------


def test_the_region_for_the_upper_eye_is_where_builds_do_not_hold() -> None:
    """Random places inside it, each solved as a build of its own, do not hold; and places well outside it do."""
    build = with_shock(compressed_mm=412.0, extended_mm=716.0, frame_point_mm=(2740.0, 360.0, 912.0))
    outlines = [shapely.Polygon(one) for one in Work(build).shock_region(0)]
    assert outlines
    whole = shapely.unary_union(outlines)
    random, inside, outside = np.random.default_rng(5), 0, 0
    for _ in range(60):
        x, z = float(random.uniform(2300.0, 3100.0)), float(random.uniform(700.0, 1100.0))
        near = whole.distance(shapely.Point(x, z))
        if whole.buffer(-11.0).contains(shapely.Point(x, z)) or near > 22.0:
            holds = "hold" in verdicts(edited(build, {"shocks.0.frame_point_mm": (x, 360.0, z)})).values()
            assert holds is (near > 0.0), (x, z)
            inside, outside = inside + (near == 0.0), outside + (near > 0.0)
    assert inside > 3
    assert outside > 10
    # As far forward as rearward of the eye is looked at: a shock that may lean either way has room on both sides.
    eye = build.shocks[0].axle_point_mm[0]
    assert whole.bounds[0] < eye - 50.0
    assert whole.bounds[2] > eye + 50.0


def test_no_region_where_it_fits_nowhere_or_is_not_known() -> None:
    assert Work(with_shock(compressed_mm=500.0, extended_mm=520.0)).shock_region(0) == ()
    assert Work(with_shock(extended_mm=None)).shock_region(0) == ()
    work = Work(with_shock(compressed_mm=412.0, extended_mm=716.0))
    assert work.shock_region(0) is work.shock_region(0)  # worked out once


def test_no_shock_is_shorter_than_nothing() -> None:
    """Both eyes in one place: what would fit was once to be -13 mm long when closed."""
    build = with_shock(frame_point_mm=(2700.0, 420.0, 360.0))
    for one in solve(build).findings:
        assert "−" not in one.says, one.says
    told = next(one.says for one in solve(build).findings if one.id == "shock_bump_1")
    assert "No shock is so short: other places for its eyes are wanted." in told


def test_links_roll_on_their_stops_alone() -> None:
    """Perches are of leaf springs: how far links' stops stand apart nobody can tell from them."""
    lost = edited(with_shock(), {"suspension.stop_spacing_mm": None, "axle.perch_spacing_mm": 1000.0})
    assert verdicts(with_shock())["shock_crossed_1"] != "unknown"
    assert verdicts(lost)["shock_crossed_1"] == "unknown"


def test_a_shock_that_holds_crossed_is_on_hold_though_the_springs_cannot_follow_to_both_stops() -> None:
    """Where the axle cannot get nothing is known, and that unsettles what is clear where it can; no hold."""
    far = edited(RANCH, {"suspension.droop_mm": 250.0, "state": None, "use": None})
    for (closed, opened), verdict, whole in (
        ((400.0, 700.0), "hold", "hold"), ((100.0, 900.0), "unknown", "clear"),
    ):  # fmt: skip
        shock = {"shocks.0.compressed_mm": closed, "shocks.0.extended_mm": opened}
        assert verdicts(edited(far, shock))["shock_crossed_1"] == verdict
        assert verdicts(edited(RANCH, {**shock, "state": None, "use": None}))["shock_crossed_1"] == whole
    pressed = edited(far, {"shocks.0.compressed_mm": 400.0, "shocks.0.extended_mm": 700.0})
    (said,) = (one.says for one in solve(pressed).findings if one.id == "shock_crossed_1")
    assert "its side on the bump stop, the left shock is pushed right in, 1.55 in (39 mm) short" in said


def test_a_shock_crossed_beyond_what_the_springs_reach_says_so() -> None:
    """All of it is measured: what stands in the way are stops that the springs do not reach."""
    long = {
        f"shocks.{index}.{entry}": size
        for index in (0, 1)
        for entry, size in (("extended_mm", 900.0), ("compressed_mm", 200.0))
    }
    build = edited(sample("ranch_truck_swap"), {**long, "suspension.bump_mm": 80.0, "suspension.droop_mm": 260.0})
    found = [one for one in solve(build).findings if one.id.startswith("shock_crossed")]
    assert [one.verdict for one in found] == ["unknown", "unknown"]
    assert all("do not reach both stops" in one.says and "measure again" not in one.says for one in found)
