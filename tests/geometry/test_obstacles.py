"""Which body comes nearest to which obstacle, and what is said where that cannot be known."""

import numpy as np
import pytest

from geometry import edited, solve
from geometry.facts import gather

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


def found_for(build):
    return [finding for finding in solve(build).findings if finding.id.startswith("gap")]


def test_without_obstacles_nothing_is_said(one_piece):
    assert found_for(one_piece) == []
    assert solve(one_piece).travel.gap_mm is None


def test_level_shaft_by_hand_in_both_views(one_piece):
    facts = gather(edited(one_piece, {**LEVEL, "obstacles": (FLOOR, EXHAUST)}))
    # 620 - 500 less half of an 80 mm tube, and 130 less half of it; the yokes, 1.4 tubes across, are farther off.
    assert [gap.least_mm for gap in facts.gaps] == [pytest.approx(80.0), pytest.approx(90.0)]
    assert [gap.what for gap in facts.gaps] == ["the shaft", "the shaft"]


def test_only_a_shaft_whose_tube_and_joints_are_known_is_judged(one_piece):
    build = edited(one_piece, {"obstacles": (FLOOR, EXHAUST)})
    for entry, wanted in (
        ("shaft.tube.outer_diameter_mm", "the tube's outside diameter"),
        ("shaft", "the tube's outside diameter"),
        ("powertrain.output_joint_mm", "the joint at the output"),
        ("axle.pinion_length_mm", "the pinion length"),
    ):
        for finding, name in zip(found_for(edited(build, {entry: None})), ("floor", "exhaust"), strict=True):
            assert (finding.verdict, finding.value) == ("unknown", None)
            assert wanted in finding.says
            assert f"This is for {name}." in finding.says


def test_a_shaft_that_the_plan_cannot_place_is_not_judged(one_piece):
    build = edited(one_piece, {"obstacles": (FLOOR,), "plan.mount_shim_mm": 5.0, "powertrain.rear_mount_mm": None})
    assert solve(build).travel.gap_mm is None
    (finding,) = found_for(build)
    assert (finding.verdict, finding.value) == ("unknown", None)
    assert "the rear mount" in finding.says


def test_a_place_that_is_known_only_at_ride_height_is_not_called_clear(one_piece):
    (finding,) = found_for(edited(one_piece, {**LEVEL, "obstacles": (FLOOR,)}))
    assert finding.verdict == "unknown"
    assert "comes within 80 mm (3.15 in) of floor." in finding.says
    assert "at ride height only" in finding.says
    (struck,) = found_for(edited(one_piece, {**LEVEL, "obstacles": ({**FLOOR, "gap_mm": 300.0},)}))
    assert (struck.verdict, struck.limit) == ("hold", 300.0)  # even there it is less than a third of what is wanted


def test_the_powertrain_counts_only_as_far_as_it_was_measured(one_piece):
    # A shelf over the gearbox, 20 mm above its entered top; the shaft is far behind it.
    shelf = {"name": "shelf", "outline_mm": ((500.0, 640.0), (700.0, 640.0), (700.0, 660.0), (500.0, 660.0))}
    build = edited(one_piece, {**LEVEL, "obstacles": (shelf,)})

    def nearest(**left_out):
        (gap,) = gather(edited(build, {**ENGINE, **{f"powertrain.{name}": None for name in left_out}})).gaps
        return gap

    both = nearest()
    assert both.what == "the gearbox"
    assert both.at_travel_mm == 0.0
    # The case is hung on the joint: it rises to 0.55 of its height at the bell, 700 mm ahead of the joint.
    top = 500.0 + 0.46 * 240.0
    assert both.least_mm < 640.0 - top
    assert nearest(gearbox_height_mm=None).what == "the engine"
    assert nearest(gearbox_length_mm=None).what == "the shaft"  # the engine hangs on the gearbox's length
    assert nearest(gearbox_height_mm=None, engine_height_mm=None).what == "the shaft"
    assert nearest(gearbox_height_mm=None, engine_length_mm=None).what == "the shaft"


def test_engine_is_the_nearest_where_it_is(one_piece):
    fan = {"name": "fan", "outline_mm": ((-250.0, 500.0), (-230.0, 500.0), (-230.0, 600.0), (-250.0, 600.0))}
    (gap,) = gather(edited(one_piece, {**LEVEL, **ENGINE, "obstacles": (fan,)})).gaps
    assert gap.what == "the engine"
    assert gap.least_mm == pytest.approx(1100.0 - 700.0 - 600.0 + 230.0)


def test_powertrain_is_not_held_against_what_is_seen_from_above_or_on_a_front_shaft(one_piece):
    over_the_gearbox = {**EXHAUST, "outline_mm": ((500.0, -50.0), (700.0, -50.0), (700.0, 50.0))}
    (gap,) = gather(edited(one_piece, {**LEVEL, **ENGINE, "obstacles": (over_the_gearbox,)})).gaps
    assert gap.what == "the shaft"
    shelf = {"name": "shelf", "outline_mm": ((500.0, 640.0), (700.0, 640.0), (700.0, 660.0))}
    front = {"axle.end": "front", "axle.centre_mm": (0.0, 0.0, 500.0), "obstacles": (shelf,)}
    (gap,) = gather(edited(one_piece, {**LEVEL, **ENGINE, **front})).gaps
    assert gap.what == "the shaft"


def test_a_front_section_that_is_nearer_is_named(two_piece):
    over_front = {"outline_mm": ((1600.0, 600.0), (1700.0, 600.0), (1700.0, 640.0))}
    over_rear = {"outline_mm": ((2900.0, 560.0), (3000.0, 560.0), (3000.0, 640.0))}
    first, second = gather(edited(two_piece, {"obstacles": (over_front, over_rear)})).gaps
    assert (first.what, second.what) == ("the front shaft section", "the rear shaft section")
    half = edited(two_piece, {"obstacles": (over_front,), "shaft.rear_tube": None})
    assert gather(half).gaps == (None,)


def test_the_list_over_the_travel_holds_the_nearest_of_all_bodies(one_piece):
    shelf = {"name": "shelf", "outline_mm": ((500.0, 780.0), (700.0, 780.0), (700.0, 790.0), (500.0, 790.0))}
    build = edited(one_piece, {**ENGINE, "obstacles": (FLOOR, shelf)})
    answer, facts = solve(build), gather(build)
    np.testing.assert_allclose(answer.travel.gap_mm, np.minimum(facts.gaps[0].along_mm, facts.gaps[1].along_mm))
    assert facts.gaps[1].what == "the gearbox"
    assert np.ptp(facts.gaps[1].along_mm) == pytest.approx(0.0)
    found = {finding.id: finding for finding in answer.findings}
    assert found["gap_2"].says.startswith("The gearbox comes within")
    assert "at ride height" in found["gap_2"].says
    assert found["gap_1"].title == "Gap to floor"
    assert "of bump" in found["gap_1"].says  # the floor is above: nearest at full bump


@pytest.mark.parametrize(
    ("wanted", "verdict"), [(0.0, "clear"), (30.0, "clear"), (60.0, "caution"), (400.0, "hold"), (None, "clear")]
)
def test_the_gap_that_is_wanted_draws_the_line(one_piece, wanted, verdict):
    build = edited(one_piece, {"obstacles": ({**FLOOR, "gap_mm": wanted},)})
    (finding,) = found_for(build)
    assert 30.0 < finding.value < 60.0
    assert finding.verdict == verdict
    assert finding.limit == (25.0 if wanted is None else wanted)
    assert ("of air is wanted" in finding.says) == (verdict != "clear")


def test_striking_is_said_and_holds_whatever_gap_is_wanted(one_piece):
    through = {"outline_mm": ((1500.0, 400.0), (1600.0, 400.0), (1600.0, 600.0)), "name": "bracket", "gap_mm": 0.0}
    (finding,) = found_for(edited(one_piece, {"obstacles": (through,)}))
    assert finding.verdict == "hold"
    assert finding.value <= 0.0
    assert finding.says.startswith("The shaft strikes bracket")


def test_after_a_lift_the_gap_is_the_lifted_ones(one_piece):
    under = {"name": "brace", "outline_mm": ((1800.0, 200.0), (1900.0, 200.0), (1900.0, 230.0))}
    build = edited(one_piece, {"obstacles": (under,)})
    before, after = (gather(edited(build, {"plan.rear_lift_mm": lift})).gaps[0].least_mm for lift in (0.0, 40.0))
    assert before - after > 10.0
