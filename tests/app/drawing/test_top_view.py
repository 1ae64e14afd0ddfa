"""The view from above: same stations and scale, what lies beside the shaft, and the offset between its ends."""

import pytest
import shapely

from app.drawing.above import draw_above
from app.drawing.board import Board
from app.drawing.drawing import Drawing, Style, drawing
from app.drawing.items import Shape
from app.drawing.palette import LIGHT
from app.drawing.places import View
from app.drawing.zones import is_busy
from tests.app.drawing.drawn import SAMPLES, SIZES, changed, draw, page, subject, subject_of

EVERY = pytest.mark.parametrize(("name", "size"), [(name, size) for name in SAMPLES for size in SIZES])
SIDE = {
    "name": "pipe",
    "view": "side",
    "outline_mm": ((2000.0, 300.0), (2300.0, 300.0), (2300.0, 360.0), (2000.0, 360.0)),
}
TOP = {
    "name": "tank",
    "view": "top",
    "outline_mm": ((2000.0, 160.0), (2600.0, 160.0), (2600.0, 400.0), (2000.0, 400.0)),
}
LEFT = {
    "name": "tank",
    "view": "top",
    "outline_mm": ((2000.0, -400.0), (2600.0, -400.0), (2600.0, -160.0), (2000.0, -160.0)),
}


def above(made: Drawing) -> list[Shape]:
    """Shapes of the view from above: those of the last layer, which is cut off at its box."""
    assert made.zones is not None
    assert made.zones.top is not None
    layer = made.layers[-1]
    assert layer.box == made.zones.top.box
    return [one for one in layer.items if isinstance(one, Shape)]


@EVERY
def test_it_has_the_stations_and_the_scale_of_the_side_view(name: str, size: tuple[int, int]) -> None:
    made = page(name, size)
    assert made is not None
    assert made.zones is not None
    side, top = made.zones.side, made.zones.top
    if top is None:
        # Nothing is measured from above, or on a low page nothing lies beside the shaft, which words say as well.
        shown = subject(name)
        assert shown is not None
        idle = (
            size[1] < 480 and not is_busy(shown) and "no offset · straight in plan" in {text for _, text in made.words}
        )
        assert name == "three_angles_and_a_length" or idle
        return
    assert (top.scale, top.left_mm, top.box[0]) == (side.scale, side.left_mm, side.box[0])
    assert side.box[3] < top.box[1] < top.box[3] <= size[1] - 16.0


@EVERY
def test_the_shaft_is_whole_in_it(name: str, size: tuple[int, int]) -> None:
    shown, made = subject(name), page(name, size)
    assert shown is not None
    assert made is not None
    assert made.zones is not None
    top = made.zones.top
    if top is not None:
        for x, y, _ in shown.joints:
            assert top.holds(top.px((x, y)))
            assert top.y(y) - 12.0 * top.scale >= top.box[1]
            assert top.y(y) + 12.0 * top.scale <= top.box[3]


@EVERY
def test_where_there_is_nothing_beside_the_shaft_it_takes_little_unless_height_is_spare(
    name: str, size: tuple[int, int]
) -> None:
    """An idle one: 8 % of a page under 480 pixels, 11 % of a taller one, where the side view needs the height."""
    shown, made = subject(name), page(name, size)
    assert shown is not None
    assert made is not None
    assert made.zones is not None
    top = made.zones.top
    if top is None:
        return
    tall, share = top.box[3] - top.box[1], 0.26 if is_busy(shown) else 0.08 if size[1] < 480 else 0.11
    least = 30.0
    rail = shown.picture.frame_rail_mm
    spare = not rail or made.zones.side.high_mm > max(z for _, z in rail[2:]) + 11.0
    assert spare or tall <= max(share * size[1], least) + 1.0


def test_each_obstacle_is_drawn_in_its_own_view() -> None:
    both = subject_of(changed("ranch_truck_swap", obstacles=(SIDE, TOP)))
    assert both is not None
    made = drawing(both, (1240, 700), Style())
    assert made.zones is not None
    assert made.zones.top is not None
    side, top = made.zones.side, made.zones.top
    drawn = {one.obstacle: one.outline for one in made.targets if one.obstacle is not None}
    assert set(drawn) == {0, 1}
    assert shapely.box(*side.box).buffer(0.1).covers(shapely.Polygon(drawn[0]))
    assert shapely.box(*top.box).buffer(0.1).covers(shapely.Polygon(drawn[1]))
    assert min(x for x, _ in drawn[0]) == pytest.approx(side.x(2000.0))
    assert max(y for _, y in drawn[1]) == pytest.approx(top.y(160.0))


@pytest.mark.parametrize(("obstacle", "sense"), [(TOP, -1.0), (LEFT, 1.0)], ids=["right", "left"])
def test_right_is_up_in_it_and_its_obstacle_has_its_name(obstacle: dict[str, object], sense: float) -> None:
    shown = subject_of(changed("ranch_truck_swap", obstacles=(obstacle,)))
    assert shown is not None
    made = drawing(shown, (1240, 700), Style())
    assert made.zones is not None
    assert made.zones.top is not None
    outline = next(one.outline for one in made.targets if one.obstacle == 0)
    shaft = made.zones.top.y(shown.joints[0][1])
    assert all((y - shaft) * sense > 0.0 for _, y in outline)
    (bounds,) = [bounds for bounds, text in made.words if text == "tank"]
    assert shapely.Polygon(outline).covers(shapely.box(*bounds))


@pytest.mark.parametrize("across", [0.0, 60.0, -60.0])
def test_an_offset_has_arrows_from_outside_onto_both_lines(across: float) -> None:
    shown = subject_of(changed("ranch_truck_swap", obstacles=(), axle__pinion_offset_mm=across))
    assert shown is not None
    made = drawing(shown, (1240, 700), Style())
    heads = [one for one in above(made) if one.closed and len(one.points) == 3 and one.fill == LIGHT.ink]
    ys = sorted(made.zones.top.y(one[1]) for one in (shown.joints[0], shown.joints[-1]))  # type: ignore[union-attr]
    if ys[1] - ys[0] < 2.5:
        assert heads == []
        return
    tips = sorted(one.points[0][1] for one in heads)
    assert tips == pytest.approx(ys)
    words = [text for _, text in made.words if "of the output" in text]
    real = shown.joints[-1][1] - shown.joints[0][1]
    assert len(words) == 1
    assert ("right" in words[0]) == (real > 0.0)


@pytest.mark.parametrize(("apart_px", "arrows"), [(2.4, 0), (2.5, 0), (2.6, 2), (12.0, 2)])
def test_two_lines_are_one_up_to_two_and_a_half_pixels(apart_px: float, arrows: int) -> None:
    """Nearer to each other than a line is broad twice over, arrows between them would say nothing."""
    shown = subject_of(changed("ranch_truck_swap", obstacles=(), axle__pinion_offset_mm=60.0))
    assert shown is not None
    off = abs(shown.joints[-1][1] - shown.joints[0][1])
    board = Board(LIGHT)
    view = View((0.0, 0.0, 900.0, 300.0), apart_px / off, 0.0, 8.0 * off)
    draw_above(board, view, shown, busy=False)
    board.finish()
    heads = [one for one in board.layers[0].items if isinstance(one, Shape) and one.fill == LIGHT.ink]
    assert len(heads) == arrows
    for one in heads:  # each comes from outside
        tip, back, _ = one.points
        between = sorted(view.y(joint[1]) for joint in (shown.joints[0], shown.joints[-1]))
        assert not between[0] < back[1] < between[1]
        assert min(abs(tip[1] - y) for y in between) < 0.01


def test_a_front_axles_offset_that_nobody_measured_is_said_not_to_be() -> None:
    texts = {text for _, text in draw(changed("front_axle_lift", axle__pinion_offset_mm=None), (1240, 700)).words}
    assert "pinion offset not measured: drawn in line" in texts
    assert not any(text.startswith("no offset") for text in texts)


def test_a_front_axles_offset_is_told_from_its_output() -> None:
    """Its pinion lies ahead of the output: the first joint, not the last, is the pinion's."""
    shown = subject_of(changed("front_axle_lift", axle__pinion_offset_mm=300.0))
    assert shown is not None
    pinion, output = shown.joints[0][1], shown.joints[-1][1]
    made = drawing(shown, (1240, 700), Style())
    (words,) = [text for _, text in made.words if "of the output" in text]
    assert ("right" in words) == (pinion > output)


def test_without_it_the_side_view_has_its_height() -> None:
    shown = subject("ranch_truck_swap")
    assert shown is not None
    bare = drawing(shown, (860, 560), Style(top=False))
    full = drawing(shown, (860, 560), Style())
    assert bare.zones is not None
    assert full.zones is not None
    assert bare.zones.top is None
    assert bare.zones.side.box[3] > full.zones.side.box[3]
