"""Hoses, cables and wires: the farthest that their ends come apart, against brute force, and the words and lengths."""

import re

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from geometry import edited, solve
from geometry.document.entries import variants
from geometry.judge.facts import Facts
from geometry.judge.flexible import LEFT_HANGS, RIGHT_HANGS, TOGETHER, apart_mm, farthest
from geometry.judge.judging import judge
from geometry.mechanics.tilted import carried, ends_apart
from geometry.mechanics.vectors import Vector, number
from geometry.words.wording import MM_PER_INCH
from tests.geometry.strategies import sample
from tests.geometry.words_builds import SETTLED

FRAME, HELD = (2380.0, -120.0, 640.0), (2560.0, -330.0, 440.0)


def hose(**changes):
    return {"name": "rear hose", "frame_point_mm": FRAME, "axle_point_mm": HELD, "free_length_mm": 450.0} | changes


@pytest.fixture(scope="module")
def hosed(one_piece):
    """The shared build with nothing left open, stiff springs, a lateral link, and a hose from frame to axle."""
    link = {"frame_point_mm": (2700.0, -450.0, 430.0), "axle_point_mm": (2690.0, 450.0, 380.0)}
    return edited(
        one_piece,
        SETTLED | {"suspension.rate_n_per_mm": 200.0, "lateral_link": link, "flexible_lines": (hose(),)},
    )


def found(build):
    return next(one for one in solve(build).findings if one.id == "line_slack_1")


def facts_of(build, positions=41):
    with np.errstate(all="ignore"):
        return Facts(variants(build), positions)


def turned(degrees):
    """Side view's turn, nose up: x' = x cos + z sin, z' = z cos - x sin."""
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return np.array([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])


def brute(build, left, right, wound_deg):
    """Distance of the ends with either end of the axle at a travel of its own, by turning matrices."""
    f = facts_of(build, 0)
    line = build.flexible_lines[0]
    with np.errstate(all="ignore"):
        from geometry.mechanics import springs

        path = springs.axle_path(f.ride.leaf, f.ride.curvature, np.array([left, right]))
        dx, dz, turn = (np.asarray(part) for part in path[:3])
        spacing = build.axle.perch_spacing_mm
        lean = np.array([dx[1] - dx[0], 0.0, dz[1] - dz[0]])
        lean[1] = np.sqrt(spacing**2 - lean @ lean)
        up, back = float(dz.mean() + f.ride.shift.z), float(dx.mean() + f.ride.shift.x)
        aside = float(f.sideways(np.float64(up), np.float64(back)))
        arm = np.subtract(line.axle_point_mm, build.axle.centre_mm)
        arm = turned(float(f.axle_turn_deg) + turn.mean() + wound_deg) @ arm
        way = lean / np.linalg.norm(lean)
        axis = np.cross([0.0, 1.0, 0.0], way)
        size = np.linalg.norm(axis)
        if size > 0.0:
            arm = Rotation.from_rotvec(axis / size * np.arctan2(size, way[1])).apply(arm)
        centre = np.add(build.axle.centre_mm, (back, aside, up))
        return float(np.linalg.norm(centre + arm - line.frame_point_mm))


PLANS = [
    {},
    {"plan.rear_lift_mm": 60.0},
    {"plan.rear_lift_mm": 50.0, "plan.rear_lift_by": "block", "plan.axle_shim_deg": 3.0},
    {"flexible_lines.0": hose(axle_point_mm=(2640.0, 420.0, 380.0), frame_point_mm=(2700.0, 300.0, 300.0))},
]  # fmt: skip


@pytest.mark.parametrize("plan", PLANS)
def test_farthest_is_that_of_brute_force_over_both_wheels(hosed, plan):
    build = edited(hosed, plan)
    f = facts_of(build)
    with np.errstate(all="ignore"):
        known = float(np.ravel(farthest(f, 0).known_mm)[0])
        launch = float(f.launch_most_deg)
        assert f.launch_certain.all()
    places = f.sweep.travel_mm.ravel()
    low = places[0]
    far = {
        wheels: max(brute(build, *ends(place), wound) for place in places for wound in (0.0, launch))
        for wheels, ends in (
            (TOGETHER, lambda place: (place, place)),
            (LEFT_HANGS, lambda place: (low, place)),
            (RIGHT_HANGS, lambda place: (place, low)),
        )
    }
    assert known == pytest.approx(max(far.values()), abs=1e-6)
    # Nowhere on the whole square of both wheels' travels do they come farther apart by as much as a tape can tell.
    every = [brute(build, one, two, wound) for one in places[::5] for two in places[::5] for wound in (0.0, launch)]
    assert max(every) < known + 0.1
    assert found(build).value == pytest.approx(build.flexible_lines[0].free_length_mm - known, abs=1e-6)


def test_it_rolls_on_its_stops_where_these_are_entered(hosed):
    """As shocks are: stops that stand as far apart as the perches change nothing, and nearer ones tilt it farther."""
    spacing = hosed.axle.perch_spacing_mm
    same, nearer, lost = (
        found(edited(hosed, {"suspension.stop_spacing_mm": stops, "axle.perch_spacing_mm": perches}))
        for stops, perches in ((spacing, None), (0.6 * spacing, spacing), (None, None))
    )
    assert same.value == pytest.approx(found(hosed).value, abs=1e-9)
    assert nearer.value < same.value - 1.0
    assert (lost.verdict, lost.entry) == ("unknown", "axle.perch_spacing_mm")
    assert "either the perch spacing, or the" in lost.says


def test_a_level_tilt_by_hand():
    """An axle 1,000 mm between perches, one end 600 higher: 800 across; 3-4-5. A point 500 out stands 300 higher."""
    apart = ends_apart(number(1000.0), number(0.0), number(600.0))
    assert float(apart.y) == pytest.approx(800.0)
    there = carried(Vector(number(0.0), number(500.0), number(0.0)), number(0.0), apart)
    assert [float(part) for part in there] == pytest.approx([0.0, 400.0, 300.0])
    over = carried(Vector(number(0.0), number(0.0), number(100.0)), number(0.0), apart)
    assert [float(part) for part in over] == pytest.approx([0.0, -60.0, 80.0])


@pytest.mark.parametrize("turn", [-20.0, 0.0, 7.0])
def test_a_tilted_axle_stays_rigid(turn):
    rng = np.random.default_rng(3)
    one, two = rng.normal(0.0, 300.0, (2, 3))
    lean = ends_apart(number(1000.0), number(40.0), number(-220.0))
    there = [np.array(carried(Vector(*map(number, arm)), number(turn), lean)) for arm in (one, two)]
    assert there[0] @ there[1] == pytest.approx(one @ two)


@pytest.mark.parametrize(
    ("over", "verdict"), [(25.41, "clear"), (25.39, "caution"), (6.36, "caution"), (6.34, "hold"), (-3.0, "hold")]
)
@pytest.mark.parametrize("unit", ["inch", "millimetre"])
def test_verdicts_each_side_of_their_lines(hosed, over, verdict, unit):
    """Common practice: an inch of slack where its ends are farthest apart."""
    with np.errstate(all="ignore"):
        known = float(np.ravel(farthest(facts_of(hosed), 0).known_mm)[0])
    assert 0.05 * known < 25.4
    one = found(edited(hosed, {"flexible_lines.0.free_length_mm": known + over, "display.length": unit}))
    assert (one.verdict, one.part, one.entry) == (verdict, "flexible_lines", "flexible_lines.0.free_length_mm")
    assert one.title == ("Rear hose long enough" if verdict == "clear" else "Rear hose too short")
    assert "least bend radius and local rules come first" in one.says
    assert ("leaves no brakes" in one.says) == (over < 0.0)
    assert ("too short" in one.says) == (over < 0.0)


@pytest.mark.parametrize("kind", ["vent_hose", "cable", "sensor_wire"])
def test_another_line_that_is_too_short_is_torn_off(hosed, kind):
    one = found(edited(hosed, {"flexible_lines.0.free_length_mm": 200.0, "flexible_lines.0.type": kind}))
    assert one.verdict == "hold"
    assert "would be torn off" in one.says
    assert "brakes" not in one.says


def test_a_long_line_wants_a_twentieth_and_an_entered_slack_wins(hosed):
    far = edited(hosed, {"flexible_lines.0.frame_point_mm": (1500.0, -120.0, 640.0)})
    with np.errstate(all="ignore"):
        known = float(np.ravel(farthest(facts_of(far), 0).known_mm)[0])
    assert found(far).limit == pytest.approx(0.05 * known)
    assert found(edited(far, {"flexible_lines.0.slack_mm": 80.0})).limit == 80.0
    assert found(edited(far, {"flexible_lines.0.slack_mm": 0.0})).limit == 6.35


@pytest.mark.parametrize(
    ("path", "name"),
    [
        ("flexible_lines.0.frame_point_mm", "the line's fixed end"),
        ("flexible_lines.0.axle_point_mm", "the line's moving end"),
        ("flexible_lines.0.free_length_mm", "the line's free length"),
        ("axle.perch_spacing_mm", "the perch spacing"),
        ("axle.centre_mm", "the axle centre"),
        ("suspension.droop_mm", "the travel to full droop"),
        ("suspension.front_half_mm", "front half"),
        ("lateral_link.axle_point_mm", "axle end"),
        ("suspension.rate_n_per_mm", "the rate of one spring"),
    ],
)
def test_what_is_lacking_is_unknown_and_named(hosed, path, name):
    build = edited(hosed, {path: None})
    one = found(build)
    assert one.verdict == "unknown", one.says
    assert name in one.says
    assert "This is for rear hose" in one.says
    assert solve(build).lines[0].buy_mm is None or path == "flexible_lines.0.free_length_mm"


def test_a_pinion_set_anew_wants_to_know_where_it_was(hosed):
    loose = {"plan.perches": "loose", "plan.pinion_slope_deg": 6.0}
    assert found(edited(hosed, loose)).verdict != "unknown"
    one = found(edited(hosed, loose | {"axle.pinion_slope_deg": None}))
    assert one.verdict == "unknown"
    assert "the pinion slope" in one.says


def test_a_squash_that_is_not_entered_may_turn_it(hosed):
    """A hose that is stretched by bump: the usual inch of rubber stretches it farther."""
    up = {
        "flexible_lines.0.frame_point_mm": (2600.0, -400.0, 100.0),
        "flexible_lines.0.axle_point_mm": (2600.0, -400.0, 300.0),
    }
    build = edited(hosed, up)
    with np.errstate(all="ignore"):
        known = float(np.ravel(farthest(facts_of(build), 0).known_mm)[0])
    just = edited(build, {"flexible_lines.0.free_length_mm": known + 26.0})
    assert found(just).verdict == "clear"
    one = found(edited(just, {"suspension.bump_squash_mm": None}))
    assert one.verdict == "unknown"
    assert "the squash of the bump rubber" in one.says
    far = solve(edited(just, {"suspension.bump_squash_mm": None})).lines[0]
    assert far.apart_mm > known + 5.0


def test_at_ride_height_alone_it_may_hold_and_is_never_clear(hosed):
    v = {length: variants(edited(hosed, {"flexible_lines.0.free_length_mm": length})) for length in (200.0, 900.0)}
    words = {length: judge(one)["line_slack_1", "flexible_lines"].verdict.tolist() for length, one in v.items()}
    assert words == {200.0: [4], 900.0: [2]}
    short = found(edited(hosed, {"flexible_lines.0.free_length_mm": 200.0, "suspension": None}))
    assert (short.verdict, short.travel_mm) == ("hold", 0.0)


def test_on_stands_under_the_frame_nothing_is_known(hosed):
    build = edited(hosed, {"state.on": "frame_stands"})
    assert found(build).verdict == "unknown"
    assert solve(build).lines[0].buy_mm is None


def test_a_mirrored_vehicle_has_the_same_hose(hosed):
    flat = edited(hosed, {"lateral_link": None, "powertrain.output_joint_mm.1": 0.0, "axle.pinion_offset_mm": 0.0})
    out = (HELD[0], -640.0, HELD[2])  # outside the perch, where a wheel that hangs alone draws it farther
    flat = edited(flat, {"flexible_lines.0.axle_point_mm": out})
    other = edited(flat, {f"flexible_lines.0.{end}_point_mm.1": -where[1]
                          for end, where in (("frame", FRAME), ("axle", out))})  # fmt: skip
    one, two = found(flat), found(other)
    assert one.value == pytest.approx(two.value, abs=1e-9)
    assert "left wheel at full droop" in one.says
    assert one.says.replace("left", "*").replace("right", "left").replace("*", "right") == two.says


@pytest.mark.parametrize(("unit", "step"), [("inch", MM_PER_INCH), ("millimetre", 10.0)])
def test_the_length_to_buy_is_rounded_up_to_what_is_sold(hosed, unit, step):
    one = solve(edited(hosed, {"display.length": unit})).lines[0]
    assert one.slack_mm == 25.4
    assert 0.0 <= one.buy_mm - (one.apart_mm + one.slack_mm) < step
    assert one.buy_mm / step == pytest.approx(round(one.buy_mm / step))
    bought = edited(hosed, {"display.length": unit, "flexible_lines.0.free_length_mm": one.buy_mm})
    assert found(bought).verdict == "clear"


def test_a_row_is_its_own_solve(hosed):
    lengths, drops = np.array([400.0, 450.0, np.nan, 520.0]), np.array([90.0, 130.0, 90.0, np.nan])
    v = variants(hosed, {"flexible_lines.0.free_length_mm": lengths, "suspension.droop_mm": drops})
    rows = judge(v, positions=41)["line_slack_1", "flexible_lines"]
    for row in range(4):
        one = judge(variants(v.build_at(row)), positions=41)["line_slack_1", "flexible_lines"]
        assert rows.verdict[row] == one.verdict[0]
        assert rows.value[row] == pytest.approx(one.value[0], abs=1e-9, nan_ok=True)


def test_links_and_a_front_axle_have_hoses_too():
    for name in ("transfer_case_double_joint", "front_axle_lift"):
        build = sample(name)
        x, y, z = build.axle.centre_mm
        line = {"frame_point_mm": (x, y - 300.0, z + 200.0), "axle_point_mm": (x, y - 350.0, z + 50.0)}
        spacing = {"axle.perch_spacing_mm": 900.0, "suspension.bump_squash_mm": 20.0}
        f = facts_of(edited(build, spacing | {"flexible_lines": (line,)}))
        with np.errstate(all="ignore"):
            both, left = (apart_mm(f, 0, wheels) for wheels in (TOGETHER, LEFT_HANGS))
            rest = f.sweep.travel_mm.ravel()
            # With the other wheel hanging as well both stand alike.
            np.testing.assert_allclose(left[0, 0], both[0, 0], atol=1e-9)
            assert np.isfinite(both[0][f.sweep.reachable[:, 0]]).all()
            assert rest[0] < 0.0


def test_it_is_drawn_hanging_by_its_slack_and_straight_without():
    build = edited(sample("ranch_truck_swap"), {"flexible_lines": (
        {"frame_point_mm": (2900.0, -60.0, 650.0), "axle_point_mm": (3200.0, -90.0, 470.0), "free_length_mm": 420.0},
        {"frame_point_mm": (2900.0, -60.0, 650.0), "axle_point_mm": (3200.0, -90.0, 470.0), "free_length_mm": 300.0},
        {"frame_point_mm": (2900.0, -60.0, 650.0), "axle_point_mm": (3200.0, -90.0, 470.0)},
        {"frame_point_mm": (2900.0, -60.0, 650.0)},
    )})  # fmt: skip
    slack, taut, plain, nowhere = solve(build).picture.flexible_lines_mm
    steps = np.linalg.norm(np.diff(np.array(slack), axis=0), axis=1)
    assert steps.sum() == pytest.approx(420.0, rel=0.03)
    # From end to end, bowed downward in the upright plane through both, most half way, square to the chord.
    one, two = np.array(taut)
    off = np.array(slack) - np.linspace(one, two, len(slack))
    assert off[[0, -1]] == pytest.approx(np.zeros((2, 3)), abs=1e-9)
    middle = off[len(slack) // 2]
    assert np.abs(off @ (two - one)) == pytest.approx(np.zeros(len(slack)), abs=1e-6)
    assert np.cross(two - one, (0.0, 0.0, 1.0)) @ middle == pytest.approx(0.0, abs=1e-6)
    assert middle[2] == off[:, 2].min() < -20.0
    assert (len(taut), len(plain), nowhere) == (2, 2, ())
    lost = edited(build, {"axle.centre_mm": None, "plan.rear_lift_mm": 40.0})
    assert solve(lost).picture.flexible_lines_mm == ((), (), (), ())


def test_the_basis_names_what_is_entered(hosed):
    assert re.search("common practice: an inch of slack", found(hosed).basis)


@pytest.mark.parametrize(("spare", "verdict"), [(41.0, "clear"), (20.0, "caution"), (6.0, "hold"), (-50.0, "hold")])
def test_short_with_one_wheel_hanging_alone_it_is_too_short(hosed, spare, verdict):
    """Far out on an axle that rolls on near stops: that it reaches with both wheels alike helps none."""
    line = hose(axle_point_mm=(2600.0, 640.0, 450.0), frame_point_mm=(2600.0, 620.0, 620.0), slack_mm=40.0)
    build = edited(hosed, {"flexible_lines": (line,), "suspension.stop_spacing_mm": 500.0})
    f = facts_of(build)
    with np.errstate(all="ignore"):
        together, hanging = (float(np.nanmax(apart_mm(f, 0, wheels))) for wheels in (TOGETHER, RIGHT_HANGS))
    assert together + 40.0 < hanging - 50.0
    assert found(edited(build, {"flexible_lines.0.free_length_mm": hanging + spare})).verdict == verdict
