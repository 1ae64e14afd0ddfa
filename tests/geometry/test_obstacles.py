"""Which body comes nearest to which obstacle, and what is said where that cannot be known."""

import numpy as np
import pytest

from geometry import edited, solve
from geometry.document.entries import variants
from geometry.judge.facts import Facts

FLOOR = {"name": "floor", "outline_mm": ((1500.0, 620.0), (1700.0, 620.0), (1700.0, 640.0), (1500.0, 640.0))}
EXHAUST = {
    "name": "exhaust",
    "view": "top",
    "outline_mm": ((1300.0, 130.0), (2000.0, 130.0), (2000.0, 180.0), (1300.0, 180.0)),
}
LEVEL = {
    # Output and pinion joint at one height, the shaft level and straight down the middle: 1100 to 2200.
    "powertrain.output_joint_mm": (1100.0, 0.0, 500.0),
    "powertrain.slope_deg": 0.0,
    "axle.centre_mm": (2600.0, 0.0, 500.0),
    "axle.pinion_slope_deg": 0.0,
    "axle.pinion_length_mm": 400.0,
    "axle.pinion_drop_mm": 0.0,
    "axle.pinion_offset_mm": 0.0,
    "suspension": None,
    "shaft.tube.outer_diameter_mm": 80.0,
}
ENGINE = {
    "powertrain.gearbox_length_mm": 700.0,
    "powertrain.gearbox_height_mm": 240.0,
    "powertrain.engine_length_mm": 600.0,
    "powertrain.engine_height_mm": 600.0,
}


SIZED = {"shaft.front_joint.swing_mm": 100.0, "shaft.rear_joint.swing_mm": 100.0}
"""Yokes without which no gap is known."""
SETTLED = {
    "axle.pinion_plan_deg": 0.0, "powertrain.shock_factor": 1.0, "vehicle.mass_centre_height_mm": 500.0,
    "suspension.bump_squash_mm": 10.0, **SIZED,
}  # fmt: skip
"""What the shared build leaves open."""


@pytest.fixture
def settled(one_piece):
    return edited(one_piece, SETTLED)


def gaps_of(build):
    """Least gap to each obstacle, mm, and each body's own by its name."""
    with np.errstate(all="ignore"):
        facts = Facts(variants(build), 41)
        gaps = [facts.gap(index) for index in range(len(build.obstacles))]
    return [
        (float(np.ravel(gap.least_mm)[0]), {name: float(np.ravel(one.least_mm)[0]) for name, one in gap.bodies})
        for gap in gaps
    ]


def nearest_of(build):
    """Least gap to the only obstacle, and the body that has it."""
    ((least, bodies),) = gaps_of(build)
    return least, min((name for name in bodies if bodies[name] == bodies[name]), key=lambda name: bodies[name])


def found_for(build):
    return [finding for finding in solve(build).findings if finding.id.startswith("gap")]


def test_without_obstacles_nothing_is_said(one_piece):
    assert found_for(one_piece) == []
    assert solve(one_piece).travel.gap_mm is None


def test_level_shaft_by_hand_in_both_views(one_piece):
    floor, exhaust = gaps_of(edited(one_piece, {**LEVEL, **SIZED, "obstacles": (FLOOR, EXHAUST)}))
    # 620 - 500 less half of an 80 mm tube, and 130 less half of it; the yokes, 100 mm across, are farther off.
    assert (floor[0], exhaust[0]) == (pytest.approx(80.0), pytest.approx(90.0))
    assert list(floor[1]) == list(exhaust[1]) == ["the shaft"]


@pytest.mark.parametrize(
    ("entry", "wanted"),
    [
        ("shaft.tube.outer_diameter_mm", "the tube outside diameter"),
        ("shaft", "the tube outside diameter"),
        ("powertrain.output_joint_mm", "the joint at the output"),
        ("axle.pinion_length_mm", "the pinion length"),
        ("shaft.front_joint", "either the front joint's yoke swing, or the front joint's series"),
    ],
)
def test_only_a_shaft_whose_tube_yokes_and_joints_are_known_is_judged(settled, entry, wanted):
    build = edited(settled, {"obstacles": (FLOOR, EXHAUST), entry: None})
    for finding, name in zip(found_for(build), ("floor", "exhaust"), strict=True):
        assert (finding.verdict, finding.value) == ("unknown", None)
        assert wanted in finding.says
        assert f"This is for {name}." in finding.says


def test_a_swing_is_never_a_share_of_the_tube(settled):
    """By series the yokes sweep what the caps span at the least; another tube sweeps no more and no less."""
    post = {"name": "post", "outline_mm": ((1080.0, 640.0), (1120.0, 640.0), (1120.0, 700.0), (1080.0, 700.0))}
    series = {f"shaft.{end}_joint.{name}": value for end in ("front", "rear")
              for name, value in (("swing_mm", None), ("series", "1310"))}  # fmt: skip
    gaps = []
    for tube in (50.8, 63.5):
        build = edited(settled, {**LEVEL, **series, "obstacles": (post,), "shaft.tube.outer_diameter_mm": tube})
        gaps.append(gaps_of(build)[0][0])
    assert gaps[0] == pytest.approx(gaps[1], abs=1e-9)
    assert gaps[0] <= 140.0 - 82.0 / 2.0 + 1e-9  # two caps of the smallest series alone span 82 mm


def test_a_shaft_that_the_plan_cannot_place_is_not_judged(settled):
    build = edited(settled, {"obstacles": (FLOOR,), "plan.mount_shim_mm": 5.0, "powertrain.rear_mount_mm": None})
    (finding,) = found_for(build)
    assert (finding.verdict, finding.value) == ("unknown", None)
    assert "the rear mount" in finding.says


def test_a_place_that_is_known_only_at_ride_height_is_not_called_clear(settled):
    (finding,) = found_for(edited(settled, {**LEVEL, "obstacles": (FLOOR,)}))
    assert finding.verdict == "unknown"
    assert "The shaft comes within 80 mm (3.15 in) of floor at ride height." in finding.says
    (struck,) = found_for(edited(settled, {**LEVEL, "obstacles": ({**FLOOR, "gap_mm": 300.0},)}))
    assert (struck.verdict, struck.limit) == ("caution", 300.0)  # less than is wanted even there


def test_the_powertrain_counts_only_as_far_as_it_was_measured(settled):
    # A shelf over the gearbox, 20 mm above its entered top; the shaft is far behind it.
    shelf = {"name": "shelf", "outline_mm": ((500.0, 640.0), (700.0, 640.0), (700.0, 660.0), (500.0, 660.0))}
    build = edited(settled, {**LEVEL, "obstacles": (shelf,)})

    def nearest(**left_out):
        return nearest_of(edited(build, {**ENGINE, **{f"powertrain.{name}": None for name in left_out}}))

    least, what = nearest()
    assert what == "the gearbox"
    # The case is hung on the joint: it rises to 0.55 of its height at the bell, 700 mm ahead of the joint.
    assert least < 640.0 - (500.0 + 0.46 * 240.0)
    assert nearest(gearbox_height_mm=None)[1] == "the engine"
    assert nearest(gearbox_length_mm=None)[1] == "the shaft"  # the engine hangs on the gearbox's length
    assert nearest(gearbox_height_mm=None, engine_height_mm=None)[1] == "the shaft"
    assert nearest(gearbox_height_mm=None, engine_length_mm=None)[1] == "the shaft"


@pytest.mark.parametrize("size", ["gearbox_length_mm", "gearbox_height_mm", "engine_length_mm", "engine_height_mm"])
def test_what_reaches_to_a_powertrain_that_was_not_measured_is_not_called_clear(settled, size):
    """The same shelf far above: clear with every size entered, unknown without one of those that reach under it."""
    far = {"name": "shelf", "outline_mm": ((-100.0, 1140.0), (300.0, 1140.0), (300.0, 1160.0), (-100.0, 1160.0))}
    build = edited(settled, {**ENGINE, "obstacles": (far,)})
    assert found_for(build)[0].verdict == "clear"
    (finding,) = found_for(edited(build, {f"powertrain.{size}": None}))
    assert finding.verdict == "unknown"
    assert size.split("_")[0] in finding.says


@pytest.mark.parametrize("size", ["gearbox_length_mm", "gearbox_height_mm", "engine_length_mm", "engine_height_mm"])
def test_a_row_without_a_size_leaves_the_powertrain_of_the_others_alone(settled, size):
    shelf = {"name": "shelf", "outline_mm": ((-100.0, 640.0), (700.0, 640.0), (700.0, 660.0), (-100.0, 660.0))}
    build = edited(settled, {**LEVEL, **ENGINE, "obstacles": (shelf,)})
    path = f"powertrain.{size}"
    sizes = np.array([ENGINE[path], np.nan, 0.9 * ENGINE[path]])
    with np.errstate(all="ignore"):
        rows = Facts(variants(build, {path: sizes}), 41).gap(0).least_mm
    alone = [gaps_of(edited(build, {path: None if np.isnan(one) else one}))[0][0] for one in sizes]
    assert rows == pytest.approx(alone)


def test_engine_is_the_nearest_where_it_is(settled):
    fan = {"name": "fan", "outline_mm": ((-250.0, 500.0), (-230.0, 500.0), (-230.0, 600.0), (-250.0, 600.0))}
    least, what = nearest_of(edited(settled, {**LEVEL, **ENGINE, "obstacles": (fan,)}))
    assert what == "the engine"
    assert least == pytest.approx(1100.0 - 700.0 - 600.0 + 230.0)


@pytest.mark.parametrize(("rise", "verdict"), [(0.0, "clear"), (25.0, "hold")])
def test_a_gearbox_that_is_too_near_holds_though_the_shaft_is_clear(settled, rise, verdict):
    shelf = {"name": "shelf", "outline_mm": ((420.0, 740.0), (600.0, 740.0), (600.0, 750.0), (420.0, 750.0))}
    lower = edited(settled, {**ENGINE, "powertrain.engine_height_mm": 200.0, "powertrain.slope_deg": 0.0,
                             "obstacles": (shelf,)})  # fmt: skip
    least, what = nearest_of(lower)
    assert what == "the gearbox"
    dropped = tuple((x, z - least + 30.0 - rise) for x, z in shelf["outline_mm"])
    (finding,) = found_for(edited(lower, {"obstacles": ({**shelf, "outline_mm": dropped},)}))
    assert finding.verdict == verdict
    assert finding.says.startswith("The gearbox comes within")


def test_powertrain_is_not_held_against_what_is_seen_from_above_or_on_a_front_shaft(settled):
    over_the_gearbox = {**EXHAUST, "outline_mm": ((500.0, -50.0), (700.0, -50.0), (700.0, 50.0))}
    assert nearest_of(edited(settled, {**LEVEL, **ENGINE, "obstacles": (over_the_gearbox,)}))[1] == "the shaft"
    shelf = {"name": "shelf", "outline_mm": ((500.0, 640.0), (700.0, 640.0), (700.0, 660.0))}
    front = {"axle.end": "front", "axle.centre_mm": (0.0, 0.0, 500.0), "obstacles": (shelf,)}
    assert nearest_of(edited(settled, {**LEVEL, **ENGINE, **front}))[1] == "the shaft"


def test_a_front_section_that_is_nearer_is_named(two_piece):
    over_front = {"outline_mm": ((1600.0, 600.0), (1700.0, 600.0), (1700.0, 640.0))}
    over_rear = {"outline_mm": ((2900.0, 560.0), (3000.0, 560.0), (3000.0, 640.0))}
    sized = {**SIZED, "shaft.centre_joint.swing_mm": 100.0}
    first, second = (
        nearest_of(edited(two_piece, {**sized, "obstacles": (one,)}))[1] for one in (over_front, over_rear)
    )
    assert (first, second) == ("the front shaft section", "the rear shaft section")
    half = edited(two_piece, {**sized, "obstacles": (over_front,), "shaft.rear_tube": None})
    assert found_for(half)[0].verdict == "unknown"


def test_the_list_over_the_travel_holds_the_nearest_of_all_bodies(settled):
    shelf = {"name": "shelf", "outline_mm": ((500.0, 780.0), (700.0, 780.0), (700.0, 790.0), (500.0, 790.0))}
    alone = [solve(edited(settled, {**ENGINE, "obstacles": (one,)})).travel.gap_mm for one in (FLOOR, shelf)]
    answer = solve(edited(settled, {**ENGINE, "obstacles": (FLOOR, shelf)}))
    np.testing.assert_allclose(answer.travel.gap_mm, np.minimum(*alone))
    assert np.ptp(alone[1]) == pytest.approx(0.0)
    found = {finding.id: finding for finding in answer.findings}
    assert found["gap_2"].says.startswith("The gearbox comes within")
    assert found["gap_1"].title == "Gap to floor"
    assert "of bump" in found["gap_1"].says  # the floor is above: nearest at full bump


@pytest.mark.parametrize(
    ("wanted", "carries", "limit"),
    [(None, None, 25.4), (0.0, None, 12.7), (60.0, None, 60.0), (None, "fuel", 50.8), (30.0, "brakes", 50.8),
     (80.0, "fuel", 80.0)],
)  # fmt: skip
def test_the_gap_that_is_wanted_draws_the_line(settled, wanted, carries, limit):
    """An inch, two to fuel and brake lines, or what is entered; under half an inch it holds: common practice."""
    floor = {**FLOOR, "gap_mm": wanted, "carries": carries}
    (finding,) = found_for(edited(settled, {"obstacles": (floor,)}))
    assert (finding.limit, finding.hold_limit) == (limit, 12.7)
    here = finding.value
    for air, verdict in ((limit + 0.2, "clear"), (limit - 0.2, "caution"), (12.9, None), (12.5, "hold")):
        down = tuple((x, z - here + air) for x, z in FLOOR["outline_mm"])
        (moved,) = found_for(edited(settled, {"obstacles": ({**floor, "outline_mm": down},)}))
        assert moved.value == pytest.approx(air, abs=0.1)
        if verdict is None:
            assert moved.verdict == ("caution" if limit > 12.9 else "clear")
        else:
            assert moved.verdict == ("hold" if air < 12.7 else verdict)


def test_striking_is_said_and_holds_whatever_gap_is_wanted(settled):
    through = {"outline_mm": ((1500.0, 400.0), (1600.0, 400.0), (1600.0, 600.0)), "name": "bracket", "gap_mm": 0.0}
    (finding,) = found_for(edited(settled, {"obstacles": (through,)}))
    assert finding.verdict == "hold"
    assert finding.value <= 0.0
    assert finding.says.startswith("The shaft strikes bracket")


def test_after_a_lift_the_gap_is_the_lifted_ones(settled):
    under = {"name": "brace", "outline_mm": ((1800.0, 200.0), (1900.0, 200.0), (1900.0, 230.0))}
    build = edited(settled, {"obstacles": (under,)})
    before, after = (gaps_of(edited(build, {"plan.rear_lift_mm": lift}))[0][0] for lift in (0.0, 40.0))
    assert before - after > 10.0
