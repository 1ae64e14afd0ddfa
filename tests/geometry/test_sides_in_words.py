"""Which way, in words: by four tenths to one side and to the other, where a sign read amiss lies nearest to nought.

What each side is called follows from the axes (x rearward, y to the right, z up; a slope is positive when its rear end
is lower) and from the trade's words: nose and tail, toe and camber, caster.
"""

from collections.abc import Callable

import pytest

from geometry import Build, edited
from tests.geometry.words_builds import (
    Case,
    base,
    both_turn,
    drag,
    found_in,
    front,
    lateral,
    leaning,
    lifted,
    lines,
    standing,
    toed,
)

Row = tuple[str, str, str, Callable[[float], Case], str, str]
ROWS: tuple[Row, ...] = (
    ("ends_parallel", "shaft", "empty", lambda by: lines(by, 6.0, by),
     "(tail 0.4° down, pinion's nose 0.4° up)", "(tail 0.4° up, pinion's nose 0.4° down)"),
    ("shaft_slope", "shaft", "empty", lambda by: lines(by, by, by),
     "the shaft runs 0.4° down", "the shaft runs 0.4° up"),
    ("thrust_angle", "axle", "empty", standing, "the axle's right end stands", "the axle's left end stands"),
    ("thrust_angle", "axle", "empty", standing, "to the right, which pulls the vehicle to the left",
     "to the left, which pulls the vehicle to the right"),
    # Farther from the left rail, the axle stands to the left.
    ("axle_centred", "axle", "empty", lambda by: standing(0.0) | {"square.offset_left_mm": 300.0 + by},
     "to the left of the frame's middle", "to the right of the frame's middle"),
    ("toe_before", "axle", "empty", toed, "the flanges toe in by 0.40°", "the flanges toe out by 0.40°"),
    ("toe_welded", "axle", "empty", lambda by: toed(by, 2.0 * by),
     "toe in by 0.40° before: welding drew the ends forward by 0.40°",
     "toe out by 0.40° before: welding drew the ends back by 0.40°"),
    ("toe_welded", "axle", "empty", lambda by: toed(-by, by), "toe in by 0.40° together", "toe out by 0.40° together"),
    ("camber_before", "axle", "empty", lambda by: leaning(by, 0.0), "lean out at the top by 0.40°",
     "lean in at the top by 0.40°"),
    ("camber_welded", "axle", "empty", lambda by: leaning(by, 0.0) | leaning(by, by, "after"),
     "lean out at the top by 0.40° before: welding drew the ends down by 0.40°",
     "lean in at the top by 0.40° before: welding drew the ends up by 0.40°"),
    ("lift", "suspension", "one_piece", lifted, "A lift of 0.4 mm", "A lowering of 0.4 mm"),
    # A wedge that raises a front pinion's nose leans the upper pivots forward.
    ("caster", "axle", "one_piece", lambda by: front(plan__axle_shim_deg=by),
     "0.4° to less: the upper pivots go forward",
     "0.4° to more: the upper pivots go rearward"),
    ("caster", "axle", "one_piece", lambda by: front(
        plan__axle_shim_deg=by, axle__caster_deg=5.0, axle__caster_wanted_deg=5.0 - 2.0 * by),
     "by 0.4°, upper pivots forward", "by 0.4°, upper pivots rearward"),
    ("lateral_lift", "lateral_link", "one_piece", lambda by: lateral(30.0 * by), "to the left", "to the right"),
    ("link_slope", "lateral_link", "one_piece", lambda by: lateral(low=430.0 + by), "its right end higher",
     "its left end higher"),
    ("drag_slope", "lateral_link", "one_piece", lambda by: drag(
        (2300.0, -400.0, 400.0), (2300.0, 400.0, 400.0 + 14.0 * by)) | {"plan.axle_shim_deg": 0.0},
     "0.4° up to the right, the lateral link not", "0.4° up to the left, the lateral link not"),
    ("front_against_rear", "axle", "empty", lambda by: both_turn(400.0 + 4.0 * by, 400.0, "part_time"),
     "the front shaft turns 0.4 % faster", "the front shaft turns 0.4 % slower"),
)  # fmt: skip


def test_no_difference_at_all_is_told_as_that() -> None:
    for by in (-0.4, 0.0, 0.4):
        says = found_in(edited(Build(), lines(by, 6.0, by)))[1]["ends_parallel", "shaft"].says
        assert ": they are 0.00° apart; " in says


@pytest.mark.parametrize("way", [1.0, -1.0], ids=["over", "under"])
@pytest.mark.parametrize("row", ROWS, ids=[f"{row[0]} {number}" for number, row in enumerate(ROWS)])
def test_a_little_to_either_side_is_told_as_that_side(request: pytest.FixtureRequest, row: Row, way: float) -> None:
    name, part, of, case, over, under = row
    says = found_in(edited(base(of, request), case(way * 0.4)))[1][name, part].says
    assert (over if way > 0.0 else under) in says
    assert (under if way > 0.0 else over) not in says
