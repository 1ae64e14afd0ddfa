"""What a press on the drawing chooses: the topmost place under it."""

import pytest
import shapely

from app.drawing.drawing import Drawing
from app.drawing.items import Point, Target
from tests.app.drawing.drawn import SAMPLES, SIZES, pages

EVERY = pytest.mark.parametrize(("name", "size"), [(name, size) for name in SAMPLES for size in SIZES])


def hit(made: Drawing, at: Point) -> Target | None:
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
