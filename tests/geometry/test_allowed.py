"""The travel that the parts can take: with stops set so nothing holds, and a little beyond them just that part does."""

import numpy as np
import pytest

from geometry import edited, solve
from geometry.judge.allowed import _JUDGES as EVERYTHING
from geometry.judge.allowed import BEYOND_MM, _comes_near
from geometry.judge.allowed import _Ends as Ends
from geometry.judge.allowed import allowed as travel_of
from geometry.words.brackets import allowed_of, brackets_of
from geometry.words.solution import Brackets, TravelAllowed
from geometry.words.solve import Work
from geometry.words.told import Told
from tests.geometry.strategies import sample

RANCH = edited(sample("ranch_truck_swap"), {"suspension.bump_squash_mm": 20.0, "shocks": ()})
SHOCK = {"axle_point_mm": (3320.0, 440.0, 360.0), "frame_point_mm": (3300.0, 420.0, 800.0), "compressed_mm": 300.0,
         "extended_mm": 700.0}  # fmt: skip
BAR = {"axle_point_mm": (3200.0, 300.0, 250.0), "frame_point_mm": (2500.0, 300.0, 290.0), "float_mm": 60.0}
HUNG = edited(RANCH, {"shocks": (SHOCK,), "torque_bars": (BAR,)})


def as_planned(build) -> Brackets:
    """Of the plan itself, where `solve` tells of the variant that its set-points are of."""
    with np.errstate(all="ignore"):
        found = brackets_of(Told(build, Work(build).facts, {}))
    assert found is not None
    return found


def allowed(build) -> TravelAllowed:
    found = as_planned(build).allowed
    assert found is not None
    return found


def holding(build) -> set[str]:
    """What the travel makes hold; crossed axles are judged apart."""
    return {
        one.id for one in solve(build).findings
        if one.verdict == "hold" and not one.id.startswith("shock_crossed") and one.id != "shock_place_1"
    }  # fmt: skip


WAYS = {
    "shock closed": ({"shocks.0.compressed_mm": 340.0}, "up", "shock_bump_1", "shock too long closed"),
    "shock open": ({"shocks.0.extended_mm": 520.0}, "down", "shock_droop_1", "shock too short open"),
    "joint": ({"shaft.rear_joint.max_angle_deg": 13.0}, "down", "joint_bind", "joint short of reach"),
    "slip pushed in": ({"shaft.slip.stroke_mm": 100.0, "shocks.0.compressed_mm": 150.0}, "up", "slip_left", "slip"),
    "slip pulled out": ({"shaft.slip.engaged_mm": 39.0}, "down", "slip_engaged", "little spline engaged"),
    "bar": ({"torque_bars.0.float_mm": 11.0}, "down", "bar_bind_1", "torque bar binds"),
    "hose": ({"flexible_lines": ({"name": "brake hose", "type": "brake_hose", "frame_point_mm": (3000.0, 300.0, 700.0),
                                  "axle_point_mm": (3200.0, 350.0, 450.0), "free_length_mm": 420.0},)},
             "down", "line_slack_1", "brake hose"),
    "floor": ({"obstacles": ({"name": "floor", "outline_mm": (
        (2000.0, 730.0), (2900.0, 650.0), (2900.0, 690.0), (2000.0, 770.0),
    )},), "shaft.front_joint.swing_mm": 90.0, "shaft.rear_joint.swing_mm": 90.0, "shocks.0.compressed_mm": 150.0,
        "shaft.slip.stroke_mm": 150.0}, "up", "gap_1", "gap to floor"),
}  # fmt: skip


@pytest.mark.parametrize("name", WAYS)
def test_up_to_there_nothing_holds_and_beyond_it_does(name: str) -> None:
    """Against whole solutions of the build with its stops set to what is allowed, and four millimetres farther."""
    changes, way, holds, words = WAYS[name]
    build = edited(HUNG, changes)
    found = allowed(build)
    most, by = (found.bump_mm, found.bump_by) if way == "up" else (found.droop_mm, found.droop_by)
    assert by is not None
    assert words in by
    assert 10.0 < most < 220.0
    for more, expected in ((-4.0, False), (4.0, True)):
        stop = {"suspension.bump_mm": most - 20.0 + more} if way == "up" else {"suspension.droop_mm": most + more}
        other = {"suspension.droop_mm": 20.0} if way == "up" else {"suspension.bump_mm": 20.0}
        if name == "bar":
            other = {}  # whose float is used by both ways together
        assert (holds in holding(edited(build, stop | other))) is expected


TOGETHER = {
    "crossed": ({"shocks.0.axle_point_mm": (3320.0, 560.0, 360.0), "shocks.0.frame_point_mm": (3300.0, 540.0, 800.0),
                 "shocks.0.compressed_mm": 300.0, "suspension.stop_spacing_mm": 600.0}, "jams with the axle crossed"),
    "hanging": ({"suspension.stop_spacing_mm": 500.0, "shocks.0.compressed_mm": 100.0, "shocks.0.extended_mm": 900.0,
                 "flexible_lines": ({
        "name": "brake hose", "type": "brake_hose", "frame_point_mm": (3200.0, 620.0, 620.0),
        "axle_point_mm": (3200.0, 640.0, 450.0), "free_length_mm": 330.0,
    },)}, "brake hose"),
}  # fmt: skip
PARTS = (
    "joint_bind",
    "slip_",
    "shock_bump",
    "shock_droop",
    "shock_crossed",
    "bar_bind",
    "line_slack",
    "gap",
    "pair_gap",
)


@pytest.mark.parametrize("changes", [
    *(changes for changes, *_ in WAYS.values()), *(changes for changes, _ in TOGETHER.values()), {},
    {"suspension.bump_squash_mm": None}, {"plan.rear_lift_mm": 40.0, "suspension.bump_squash_mm": 12.7},
])  # fmt: skip
def test_with_its_stops_where_they_are_told_no_part_holds(changes: dict[str, object]) -> None:
    """The whole build judged with both stops as told: both wheels alike, crossed, and one hanging."""
    build = edited(HUNG, changes)
    found = allowed(build)
    lift = float(Work(build).facts.ride.stop_gain_mm)
    if min(found.stop_mm, found.droop_mm) < 1.0 or found.stop_mm - lift < 0.0:
        return
    set_so = {"suspension.bump_mm": found.stop_mm - lift, "suspension.droop_mm": found.droop_mm}
    squash = {} if build.suspension.bump_squash_mm else {"suspension.bump_squash_mm": 25.0}
    wrong = {one.id for one in solve(edited(build, set_so | squash)).findings if one.verdict == "hold"}
    assert not {one for one in wrong if one.startswith(PARTS)}
    assert found.stop_mm == pytest.approx(round(found.stop_mm))
    assert found.droop_mm == pytest.approx(round(found.droop_mm))


@pytest.mark.parametrize("name", TOGETHER)
def test_both_ends_of_the_travel_have_a_part_in_it(name: str) -> None:
    changes, words = TOGETHER[name]
    build = edited(HUNG, changes)
    found = allowed(build)
    assert words in f"{found.bump_by} {found.droop_by}"
    lift = float(Work(build).facts.ride.stop_gain_mm)
    farther = {"suspension.bump_mm": found.stop_mm - lift + 4.0, "suspension.droop_mm": found.droop_mm + 4.0}
    part = {"crossed": "shock_crossed_1", "hanging": "line_slack_1"}[name]
    assert part in {one.id for one in solve(edited(build, farther)).findings if one.verdict == "hold"}


@pytest.mark.parametrize("carried", ["axle", "engine"])
def test_an_outline_that_moves_counts_too(carried: str) -> None:
    """Right under the shaft it is met on the way down or up, or at once."""
    outline = ((2700.0, 300.0), (2760.0, 300.0), (2760.0, 420.0), (2700.0, 420.0))
    sizes = {f"shaft.{end}_joint.swing_mm": 90.0 for end in ("front", "rear")}
    shelf = {"name": "shelf", "outline_mm": tuple((x, z + 900.0) for x, z in outline)}
    lug = {"name": "lug", "outline_mm": outline, "carried_by": carried}
    build = edited(HUNG, {"obstacles": (lug, shelf), **sizes})
    assert allowed(build).says
    far = edited(build, {"obstacles.0.outline_mm": tuple((x, z - 3000.0) for x, z in outline)})
    assert "lug" not in f"{allowed(far).bump_by} {allowed(far).droop_by}"


@pytest.mark.parametrize(("narrow", "low", "high", "near"), [
    (40.0, -20.0, 50.0, True), (60.0, -20.0, 50.0, True), (80.0, -20.0, 50.0, False), (-40.0, -20.0, 50.0, True),
    (-60.0, -20.0, 50.0, False), (0.0, -20.0, 50.0, True), (100.0, -100.0, 100.0, True),
])  # fmt: skip
def test_a_gap_is_near_where_it_is_narrow_between_the_ends_or_one_place_beyond(narrow, low, high, near):
    """Places 20 mm apart: from the next one beyond an end a gap may still be used up before that end."""
    travel = np.arange(-100.0, 100.1, 20.0)
    assert _comes_near(travel, np.where(travel == narrow, 10.0, 90.0), low, high) is near


def test_stops_and_straps_are_told() -> None:
    found = allowed(edited(HUNG, {"shocks.0.compressed_mm": 340.0, "shocks.0.extended_mm": 520.0}))
    assert found.stop_mm == pytest.approx(found.bump_mm - 20.0)
    up, down = found.says
    assert "beyond: shock too long closed" in up
    assert f"({found.stop_mm:.0f} mm) above ride height" in up
    assert "beyond: shock too short open" in down
    assert f"({found.droop_mm:.0f} mm) down" in down


def test_where_nothing_is_met_it_says_so_and_names_what_it_did_not_count() -> None:
    free = edited(HUNG, {
        "shaft.slip": None, "shaft.rear_joint.max_angle_deg": None, "shaft.front_joint.max_angle_deg": 60.0,
        "shocks.0.compressed_mm": 50.0, "shocks.0.extended_mm": 2000.0, "torque_bars": (), "obstacles": (),
        "suspension.bump_mm": 10.0, "suspension.droop_mm": 10.0, "flexible_lines": (),
    })  # fmt: skip
    found = allowed(free)
    assert (found.bump_mm, found.bump_by) == (pytest.approx(10.0 + BEYOND_MM + 20.0), None)
    assert "nothing is met yet" in found.says[0]
    assert "not counted, as not known: joint within reach" in found.says[1]
    many = edited(
        free, {"shocks": ({"name": "a"}, {"name": "b"}, {"name": "c"}), "shaft.front_joint.max_angle_deg": None}
    )
    assert "what is not judged is not counted" in allowed(many).says[0]


def test_what_holds_at_ride_height_allows_nothing() -> None:
    found = allowed(edited(HUNG, {"shocks.0.extended_mm": 380.0}))
    assert (found.droop_mm, found.stop_mm) == (0.0, 0.0)


def test_springs_that_end_end_it() -> None:
    found = allowed(edited(HUNG, {
        "shaft.slip": None, "shaft.front_joint.max_angle_deg": 80.0, "shaft.rear_joint.max_angle_deg": 80.0,
        "shocks.0.extended_mm": 2000.0, "torque_bars": (), "obstacles": (), "suspension.droop_mm": 90.0,
    }))  # fmt: skip
    assert found.droop_by == "springs or links end"


def test_without_a_travel_or_without_brackets_nothing_is_told() -> None:
    assert solve(RANCH).brackets is None
    assert solve(edited(HUNG, {"suspension.droop_mm": None})).brackets.allowed is None
    assert solve(edited(HUNG, {"suspension": None})).brackets.allowed is None
    with np.errstate(all="ignore"):
        assert allowed_of(Told(RANCH, Work(RANCH).facts, {})) is not None  # which a paper may ask for


def test_what_is_told_of_shocks_and_bars() -> None:
    found = as_planned(HUNG)
    (shock,), (bar,) = found.shocks, found.torque_bars
    ride = float(np.linalg.norm(np.subtract(SHOCK["frame_point_mm"], SHOCK["axle_point_mm"])))
    assert shock.ride_mm == pytest.approx(ride)
    assert shock.to_push_in_share == pytest.approx((ride - 300.0) / 400.0)
    assert shock.closed_at_most_mm == pytest.approx(shock.least_mm - 12.7)
    assert shock.open_at_least_mm == pytest.approx(shock.most_mm + 12.7)
    assert (shock.side_deg, shock.behind_deg) == (
        pytest.approx(np.degrees(np.arctan2(20.0, 440.0))), pytest.approx(np.degrees(np.arctan2(20.0, 440.0)))
    )  # fmt: skip
    assert bar.length_mm == pytest.approx(np.linalg.norm(np.subtract(BAR["frame_point_mm"], BAR["axle_point_mm"])))
    assert bar.slope_deg == pytest.approx(np.degrees(np.arctan2(40.0, 700.0)))
    assert bar.float_wanted_mm == pytest.approx((bar.farther_mm - bar.nearer_mm) * 1.25)
    assert min(bar.apart_mm) == pytest.approx(bar.nearer_mm)
    unknown = solve(edited(HUNG, {"shocks": ({},), "torque_bars": ({},), "suspension": None})).brackets
    assert unknown.shocks[0].ride_mm is unknown.torque_bars[0].force_n is unknown.shocks[0].closed_at_most_mm is None


@pytest.mark.parametrize("over_mm", [0.0, 2.5, 4.0, 11.0])
def test_what_straight_lines_between_places_gave_too_much_is_taken_back(over_mm: float) -> None:
    """Ways a little too long come back by no more than is needed: the next smaller step back would still hold."""
    build = edited(HUNG, {"shocks.0.compressed_mm": 340.0, "shocks.0.extended_mm": 520.0})
    with np.errstate(all="ignore"):
        plan = Work(build).facts
        true = travel_of(plan)
        assert true is not None
        keys = {true.up.by, true.down.by} - {None}
        far = [way._replace(most_mm=way.most_mm + over_mm + 0.2) for way in (true.up, true.down)]
        ends = Ends(plan, 20.0)
        up, down = ends.judged(*far, keys, EVERYTHING)
        for more, holds in ((0.0, False), (5.0, True)):
            at = ends.at(np.array([up.most_mm + more]), np.array([down.most_mm + more]), plan.positions)
            found = {(one.id, one.part) for one in solve(edited(build, {
                "suspension.bump_mm": float(at.v["suspension.bump_mm"][0]),
                "suspension.droop_mm": float(at.v["suspension.droop_mm"][0]),
            })).findings if one.verdict == "hold"}  # fmt: skip
            assert bool(found & keys) is holds


WIDE = {"shaft.front_joint.max_angle_deg": 60.0, "shaft.rear_joint.max_angle_deg": 60.0}


@pytest.mark.parametrize("high_mm", np.arange(0.0, 160.0, 10.0).tolist())
def test_a_gap_that_is_left_out_of_the_last_look_holds_nowhere(high_mm: float) -> None:
    """A floor ever higher over the shaft, first in the way, then out of it: with the stops as told it never holds."""
    changes, *_ = WAYS["floor"]
    (floor,) = changes["obstacles"]
    higher = {**floor, "outline_mm": tuple((x, z + high_mm) for x, z in floor["outline_mm"])}
    build = edited(HUNG, {**changes, **WIDE, "obstacles": (higher,)})
    found = allowed(build)
    stops = {"suspension.bump_mm": found.stop_mm, "suspension.droop_mm": found.droop_mm}
    assert "gap_1" not in holding(edited(build, stops))
    if found.bump_by == "gap to floor":
        beyond = {**stops, "suspension.bump_mm": found.stop_mm + 4.0}
        assert "gap_1" in holding(edited(build, beyond))
