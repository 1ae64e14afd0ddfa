"""What a press on the drawing chooses: the topmost place under it."""

from collections.abc import Callable
from typing import Any

import pytest
import shapely

from app.drawing.axle import draw_axle, housing_of
from app.drawing.board import Board
from app.drawing.drawing import Drawing
from app.drawing.items import Disc, Point, Shape, Target
from app.drawing.palette import LIGHT
from app.drawing.places import View
from app.drawing.powertrain import draw_powertrain
from app.drawing.running_gear import ABOVE, SIDE, LeafPainter, draw_brackets, draw_links, draw_rail
from app.drawing.shaft import ShaftPainter
from app.drawing.subject import Subject
from tests.app.drawing.drawn import SAMPLES, SIZES, changed, pages, subject_of

EVERY = pytest.mark.parametrize(("name", "size"), [(name, size) for name in SAMPLES for size in SIZES])


def hit(made: Drawing | Board, at: Point) -> Target | None:
    """The topmost target at a point: the last, as later ones lie over earlier ones."""
    for one in reversed(made.targets):
        if shapely.Polygon(one.outline).buffer(0.0).covers(shapely.Point(at)):
            return one
    return None


@EVERY
def test_each_joint_is_hit_at_its_middle(name: str, size: tuple[int, int]) -> None:
    for shown, made in pages(name, size):
        assert made.zones is not None
        for joint, at in zip(shown.joint_names, shown.side_joints, strict=True):
            found = hit(made, made.zones.side.px(at))
            assert found is not None
            assert found.part == f"{joint}_joint"


@EVERY
def test_each_section_is_hit_at_its_middle(name: str, size: tuple[int, int]) -> None:
    for shown, made in pages(name, size):
        assert made.zones is not None
        for (ax, az), (bx, bz) in zip(shown.side_joints, shown.side_joints[1:], strict=False):
            found = hit(made, made.zones.side.px(((ax + bx) / 2.0, (az + bz) / 2.0)))
            assert found is not None
            assert found.part == "shaft"


@EVERY
def test_the_axle_is_hit_at_its_nose_and_the_powertrain_at_its_body(name: str, size: tuple[int, int]) -> None:
    for shown, made in pages(name, size):
        assert made.zones is not None
        view = made.zones.side
        if shown.axle_centre is not None and shown.measured and shown.travel_mm <= 0.0:  # at bump leaves come before it
            (x, z), (nx, nz) = shown.axle_centre, shown.nose
            found = hit(made, view.px((x + 0.65 * (nx - x), z + 0.65 * (nz - z))))
            assert found is not None
            assert found.part == "axle"
        outline = shown.picture.powertrain_outline_mm
        if outline and not shown.ahead:
            (x, z), (ux, uz) = shown.output, shown.output_line or (1.0, 0.0)
            found = hit(made, view.px((x - 90.0 * ux, z - 90.0 * uz)))
            assert found is not None
            assert found.part == "powertrain"


@EVERY
def test_each_obstacle_is_hit_where_nothing_is_before_it(name: str, size: tuple[int, int]) -> None:
    for shown, made in pages(name, size):
        told = {one.obstacle for one in made.targets if one.obstacle is not None}
        assert made.zones is not None
        views = {"side": made.zones.side, "top": made.zones.top}
        for number, (one, outline) in enumerate(zip(shown.build.obstacles, shown.picture.obstacles_mm, strict=True)):
            view = views[one.view]
            assert view is not None
            in_sight = shapely.Polygon(view.all_px(outline)).buffer(0.0).intersection(shapely.box(*view.box)).area
            assert (number in told) == (in_sight > 0.0)
        for one in made.targets:
            if one.obstacle is None:
                continue
            free = shapely.Polygon(one.outline).buffer(0.0)
            for over in made.targets[made.targets.index(one) + 1 :]:
                free = free.difference(shapely.Polygon(over.outline).buffer(0.0))
            if free.is_empty:
                continue
            found = hit(made, tuple(free.representative_point().coords[0]))
            assert found is not None
            assert (found.part, found.obstacle) == ("obstacles", one.obstacle)


@EVERY
def test_each_findings_cell_is_hit_at_its_middle(name: str, size: tuple[int, int]) -> None:
    for shown, made in pages(name, size):
        cells = [one for one in made.targets if one.finding]
        ids = {(one.id, one.part) for one in shown.whole.findings if one.verdict in {"hold", "caution"}}
        assert {(one.finding, one.part) for one in cells} <= ids
        assert cells or not ids
        for one in cells:
            middle = shapely.Polygon(one.outline).centroid
            assert hit(made, (middle.x, middle.y)) == one
        if made.form.startswith("all") or made.form == "marks":
            assert {(one.finding, one.part) for one in cells} == ids


@EVERY
def test_each_number_is_hit_and_chooses_its_part(name: str, size: tuple[int, int]) -> None:
    for shown, made in pages(name, size):
        parts = [f"{one}_joint" for one in shown.joint_names] + ["axle", "powertrain"]
        assert made.zones is not None
        top = made.zones.side.box[1]
        above = [one for one in made.targets if max(y for _, y in one.outline) <= top + 0.01]
        assert sorted(one.part for one in above) == sorted(parts)
        for one in above:
            middle = shapely.Polygon(one.outline).centroid
            assert hit(made, (middle.x, middle.y)) == one


def test_a_press_beside_everything_chooses_nothing() -> None:
    for _, made in pages("three_angles_and_a_length", (860, 560)):
        assert hit(made, (430.0, 150.0)) is None


# --- each part on a board of its own --------------------------------------------------------------------------------

VIEW = View((-2000.0, -2000.0, 9000.0, 4000.0), 1.0, -2000.0, 2000.0)
"""One pixel to the millimetre."""
_NUT_MM2 = 200.0
"""What is no larger is no place that a hand aims at: a nut."""
BRACKETS: dict[str, Any] = {
    "shocks": ({"frame_point_mm": (3000.0, 400.0, 650.0), "axle_point_mm": (3280.0, 430.0, 330.0)},),
    "torque_bars": ({"frame_point_mm": (2450.0, -380.0, 430.0), "axle_point_mm": (3170.0, -390.0, 290.0)},),
    "lateral_link": {"frame_point_mm": (3300.0, -460.0, 520.0), "axle_point_mm": (3290.0, 440.0, 430.0)},
}
SHORT: dict[str, Any] = {
    "shocks": ({"frame_point_mm": (3280.0, 430.0, 370.0), "axle_point_mm": (3280.0, 430.0, 330.0)},),
    "torque_bars": ({"frame_point_mm": (3140.0, -380.0, 290.0), "axle_point_mm": (3170.0, -390.0, 290.0)},),
    "lateral_link": {"frame_point_mm": (3300.0, -460.0, 430.0), "axle_point_mm": (3300.0, 440.0, 430.0)},
}
"""Seen end-on: nothing but their ends."""


def _axle(board: Board, shown: Subject) -> None:
    housing = housing_of(shown)
    assert housing is not None
    draw_axle(board, VIEW, shown, housing)


def _springs(board: Board, shown: Subject) -> None:
    LeafPainter(board, VIEW, shown, housing_of(shown)).draw(shown.picture.frame_rail_mm)


def _bearing(board: Board, shown: Subject) -> None:
    x, z = shown.side_joints[1]
    for rail in (None, z + 200.0, z - 200.0):
        ShaftPainter(board, VIEW, 27.0).bearing((x, z), (1.0, 0.0), 76.0, rail)
        x += 800.0


PARTS: list[tuple[str, dict[str, Any], Callable[[Board, Subject], object], set[str]]] = [
    ("ranch_truck_swap", {}, _axle, {"axle"}),
    ("front_axle_lift", {}, _axle, {"axle"}),
    ("ranch_truck_swap", {"axle__tube_diameter_mm": None}, _axle, {"axle"}),
    ("ranch_truck_swap", {"powertrain__rear_mount_mm": (1420.0, 200.0), "powertrain__front_mount_mm": (560.0, 150.0)},
     lambda board, shown: draw_powertrain(board, VIEW, shown), {"powertrain"}),
    ("lifted_short_shaft", {}, lambda board, shown: draw_powertrain(board, VIEW, shown), {"powertrain"}),
    ("front_axle_lift", {}, lambda board, shown: draw_powertrain(board, VIEW, shown), {"powertrain"}),
    ("ranch_truck_swap", {"plan__axle_shim_deg": 4.0}, _springs, {"suspension", "perches"}),
    ("ranch_truck_swap", {"plan__rear_lift_mm": 80.0, "plan__rear_lift_by": "block"}, _springs,
     {"suspension", "perches"}),
    ("front_axle_lift", {}, _springs, {"suspension", "perches"}),
    ("transfer_case_double_joint", {}, lambda board, shown: draw_links(board, VIEW, shown, shown.picture.frame_rail_mm),
     {"suspension", "axle"}),
    ("ranch_truck_swap", BRACKETS, lambda board, shown: draw_brackets(board, VIEW, shown, SIDE), set(BRACKETS)),
    ("ranch_truck_swap", BRACKETS, lambda board, shown: draw_brackets(board, VIEW, shown, ABOVE), set(BRACKETS)),
    ("ranch_truck_swap", SHORT, lambda board, shown: draw_brackets(board, VIEW, shown, SIDE), set(SHORT)),
    ("ranch_truck_swap", {}, lambda board, shown: draw_rail(board, VIEW, shown.picture.frame_rail_mm), {"vehicle"}),
    ("long_van_two_piece", {}, _bearing, {"bearing"}),
]  # fmt: skip


@pytest.mark.parametrize(("name", "entries", "draw_part", "parts"), PARTS)
def test_all_that_is_drawn_of_a_part_can_be_pressed(
    name: str, entries: dict[str, Any], draw_part: Callable[[Board, Subject], object], parts: set[str]
) -> None:
    """Filled or dashed, seven tenths of each piece of its silhouette, and it chooses that part."""
    shown = subject_of(changed(name, **entries))
    assert shown is not None
    board = Board(LIGHT)
    draw_part(board, shown)
    board.finish()
    assert {one.part for one in board.targets} == parts
    pressed = shapely.union_all([shapely.Polygon(one.outline).buffer(0.0) for one in board.targets])
    for one in board.layers[0].items:
        if not isinstance(one, Shape) or not one.closed or not (one.fill or (one.stroke and one.stroke.dash)):
            continue
        silhouette = shapely.Polygon(one.points).buffer(0.0)
        if silhouette.area > _NUT_MM2:
            assert silhouette.intersection(pressed).area > 0.7 * silhouette.area, one
    if entries is SHORT:
        ends = [shapely.Point(one.centre) for one in board.layers[0].items if isinstance(one, Disc)]
        assert all(pressed.covers(one) for one in ends)


@pytest.mark.parametrize(
    "plan", [{"plan__axle_shim_deg": 4.0}, {"plan__rear_lift_mm": 80.0, "plan__rear_lift_by": "block"}]
)
def test_wedge_and_block_are_pressed_as_the_perches_though_they_lie_on_the_spring(plan: dict[str, Any]) -> None:
    shown = subject_of(changed("ranch_truck_swap", **({"plan__axle_shim_deg": None} | plan)))
    assert shown is not None
    board = Board(LIGHT)
    painter = LeafPainter(board, VIEW, shown, housing_of(shown))
    painter.draw(shown.picture.frame_rail_mm)
    board.finish()
    if "plan__axle_shim_deg" in plan:
        (wedge,) = [one for one in board.layers[0].items if isinstance(one, Shape) and one.fill == LIGHT.accent]
        middle = shapely.Polygon(wedge.points).centroid
        at = (middle.x, middle.y)
    else:
        assert painter.block is not None
        at = VIEW.px(painter.block[:2])
    found = hit(board, at)
    assert found is not None
    assert found.part == "perches"
