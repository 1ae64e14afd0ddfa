"""What each part looks like: which way round, how thick, on which side of what, and alike on both sides of its line."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import shapely
from shapely import affinity

from app.drawing import above
from app.drawing.axle import Housing, draw_axle, draw_tube_end, draw_yoke
from app.drawing.board import FAINT_DASH, Board
from app.drawing.drawing import Drawing, Style, drawing
from app.drawing.items import Disc, Shape
from app.drawing.palette import LIGHT
from app.drawing.places import Hung, View, hung_on, on_polyline
from app.drawing.powertrain import _mount, has_transfer_case
from app.drawing.running_gear import LeafPainter, _rod, _shock, draw_bar
from app.drawing.shaft import Section, ShaftPainter
from app.drawing.subject import Subject
from geometry.document import Build, edited
from tests.app.drawing.drawn import changed, discs, draw, sample, shapes, subject, subject_of

VIEW = View((-2000.0, -2000.0, 4000.0, 4000.0), 1.0, -2000.0, 2000.0)
"""One pixel to the millimetre, the view's origin on the page's: heights turn into −y."""


def drawn_by(draw_part: Callable[[Board], object]) -> list[Shape | Disc]:
    """The items of one part alone."""
    board = Board(LIGHT)
    draw_part(board)
    board.finish()
    return [one for one in board.layers[0].items if isinstance(one, Shape | Disc)]


def covered(some: list[Shape | Disc]) -> Any:
    """All the paper that items cover, lines with their width."""
    made = []
    for one in some:
        if isinstance(one, Disc):
            made.append(shapely.Point(one.centre).buffer(one.radius, quad_segs=64))
        elif one.closed and len(one.points) > 2:
            made.append(shapely.Polygon(one.points).buffer(0.0))
        elif one.stroke is not None:
            made.append(shapely.LineString(one.points).buffer(one.stroke.width / 2.0, cap_style="flat"))
    return shapely.union_all(made)


def unlike(one: Any, other: Any) -> float:
    """Share of two places' area that only one of them has."""
    return float(one.symmetric_difference(other).area / one.union(other).area)


def about_line(hung: Hung, what: Any) -> Any:
    """The mirror image about a line in the view (its heights are −y on the page)."""
    turn = math.degrees(math.atan2(-hung.along[1], hung.along[0]))
    origin = (hung.origin[0], -hung.origin[1])
    level = affinity.rotate(what, -turn, origin=origin)
    return affinity.rotate(affinity.scale(level, 1.0, -1.0, origin=origin), turn, origin=origin)


# --- alike on both sides --------------------------------------------------------------------------------------------

TILTED = (math.cos(math.radians(7.0)), -math.sin(math.radians(7.0)))
WAYS = pytest.mark.parametrize("along", [TILTED, (-TILTED[0], -TILTED[1])], ids=["rearward", "forward"])


@WAYS
def test_a_yoke_is_alike_above_and_below_its_line(along: tuple[float, float]) -> None:
    made = covered(drawn_by(lambda board: draw_yoke(board, VIEW, (100.0, 50.0), along, 27.0)))
    assert unlike(made, about_line(Hung((100.0, 50.0), along), made)) < 1e-6


@WAYS
def test_a_housing_is_alike_above_and_below_the_pinions_line(along: tuple[float, float]) -> None:
    joint = (300.0 * along[0], 300.0 * along[1])
    housing = Housing((0.0, 0.0), joint, along, 80.0)
    shown = subject("ranch_truck_swap")
    assert shown is not None
    made = covered(drawn_by(lambda board: draw_axle(board, VIEW, shown, housing)))
    assert unlike(made, about_line(Hung((0.0, 0.0), along), made)) < 1e-6


@pytest.mark.parametrize("kind", ["cardan", "double_cardan"])
@WAYS
def test_a_section_and_its_joints_are_alike_above_and_below_the_shafts_line(
    kind: Any, along: tuple[float, float]
) -> None:
    one, two = (0.0, 0.0), (1200.0 * along[0], 1200.0 * along[1])

    def shaft(board: Board) -> None:
        painter = ShaftPainter(board, VIEW, 27.0)
        painter.section(Section(one, two, 76.0), (kind, "cardan"), (120.0, 70.0), sleeve_first=True)
        painter.joint(one, along, kind)
        painter.joint(two, along, "cardan")

    made = covered(drawn_by(shaft))
    assert unlike(made, about_line(Hung(one, along), made)) < 1e-5  # circles are polygons of 256 corners here


@pytest.mark.parametrize("name", ["ranch_truck_swap", "lifted_short_shaft", "front_axle_lift", "long_van_two_piece"])
def test_u_bolts_and_perch_are_alike_on_both_sides_of_the_bolt(name: str) -> None:
    """About the line from the spring's centre bolt square to the leaf; the leaf itself is bent, its wedge one-sided."""
    build = changed(name, plan__axle_shim_deg=None, plan__pinion_slope_deg=None)
    shown = subject_of(build)
    assert shown is not None
    housing = Housing(shown.axle_centre or (0.0, 0.0), shown.nose, shown.pinion_line or (1.0, 0.0), shown.axle_tube_mm)
    board = Board(LIGHT)
    painter = LeafPainter(board, VIEW, shown, housing)
    painter._perch(housing)
    board.finish()
    items = [one for one in board.layers[0].items if isinstance(one, Shape)]
    at, along = on_polyline(shown.spring, shown.bolt_share)
    square = Hung(at, (-along[1], along[0]))
    made = covered(list(items))
    assert unlike(made, about_line(square, made)) < 1e-6


FAR = (900.0 * TILTED[0], 900.0 * TILTED[1])
BARS: list[tuple[str, Callable[[Board], object]]] = [
    ("link", lambda board: draw_bar(board, VIEW, (0.0, 0.0), FAR, 24.0)),
    ("shock", lambda board: _shock(board, VIEW, (0.0, 0.0), FAR)),
    ("short shock", lambda board: _shock(board, VIEW, (0.0, 0.0), (40.0 * TILTED[0], 40.0 * TILTED[1]))),
    ("rod", lambda board: _rod(board, VIEW, (0.0, 0.0), FAR, 19.0, "torque_bars", z=5.25)),
]


@pytest.mark.parametrize(("name", "draw_part"), BARS)
def test_a_bar_and_what_may_be_pressed_of_it_is_alike_on_both_sides_of_its_line(
    name: str, draw_part: Callable[[Board], object]
) -> None:
    """But for the light on a link, which comes from above and adds nothing to its outline."""
    board = Board(LIGHT)
    draw_part(board)
    board.finish()
    drawn = covered([one for one in board.layers[0].items if isinstance(one, Shape | Disc)])
    pressed = shapely.union_all([shapely.Polygon(one.outline) for one in board.targets])
    for made in (drawn, pressed):
        assert unlike(made, about_line(Hung((0.0, 0.0), TILTED), made)) < 1e-4, name  # circles are polygons here


SHORT: list[tuple[str, Callable[[Board, tuple[float, float]], object]]] = [
    ("shock", lambda board, end: _shock(board, VIEW, (0.0, 0.0), end)),
    ("torque bar", lambda board, end: _rod(board, VIEW, (0.0, 0.0), end, 7.0, "torque_bars", z=5.25)),
    ("lateral link", lambda board, end: _rod(board, VIEW, (0.0, 0.0), end, 7.0, "lateral_link", z=4.6)),
]


@pytest.mark.parametrize(("name", "draw_part"), SHORT)
@pytest.mark.parametrize("long", [0.0, 20.0, 45.0])
def test_what_is_seen_end_on_is_its_two_eyes_and_nothing_between_and_can_be_pressed(
    name: str, draw_part: Callable[[Board, tuple[float, float]], object], long: float
) -> None:
    board = Board(LIGHT)
    draw_part(board, (long * TILTED[0], long * TILTED[1]))
    board.finish()
    drawn = [one for one in board.layers[0].items if isinstance(one, Shape | Disc)]
    eyes = [one for one in drawn if isinstance(one, Disc)]
    assert drawn == eyes, name
    assert len({one.centre for one in eyes}) == (2 if long else 1)
    pressed = shapely.union_all([shapely.Polygon(one.outline) for one in board.targets])
    radius = max(one.radius for one in eyes)
    assert pressed.area == pytest.approx((long + 2.0 * radius) * 2.0 * radius)
    assert pressed.buffer(0.3 * radius).covers(covered(list(eyes)))


@pytest.mark.parametrize("two", [(3.0, 4.0), (-3.0, 4.0), (0.0, -9.0), (0.0, 0.0)])
def test_a_part_lies_from_its_one_end_to_its_other_also_where_both_are_one(two: tuple[float, float]) -> None:
    hung, long = hung_on((5.0, 7.0), (5.0 + two[0], 7.0 + two[1]))
    assert long == math.hypot(*two)
    assert math.hypot(*hung.along) == pytest.approx(1.0)
    assert hung.at(long, 0.0) == pytest.approx((5.0 + two[0], 7.0 + two[1]))
    assert hung.all([(0.0, 0.0), (long, 0.0)]) == [(5.0, 7.0), pytest.approx((5.0 + two[0], 7.0 + two[1]))]


@pytest.mark.parametrize("ends", [13.0, 24.0])
def test_a_link_and_its_bushes_are_alike_at_both_ends(ends: float) -> None:
    made = covered(drawn_by(lambda board: draw_bar(board, VIEW, (-450.0, 0.0), (450.0, 0.0), ends)))
    assert unlike(made, affinity.scale(made, -1.0, 1.0, origin=(0.0, 0.0))) < 1e-6


def test_a_mount_is_alike_ahead_and_behind() -> None:
    made = covered(drawn_by(lambda board: _mount(board, VIEW, (0.0, 0.0))))
    assert unlike(made, affinity.scale(made, -1.0, 1.0, origin=(0.0, 0.0))) < 1e-6


@WAYS
@pytest.mark.parametrize("rail", [None, 220.0, -220.0], ids=["no rail", "rail above", "rail below"])
def test_a_bearings_ring_is_alike_about_the_shaft_and_its_hanger_about_the_plumb_line(
    along: tuple[float, float], rail: float | None
) -> None:
    """Ahead of the joint by 1.35 tubes; the hanger hangs from the rail, or stands on one that is lower."""
    at = (0.0, 0.0)
    foot, hanger, *ring = sorted(
        (one for one in drawn_by(lambda board: ShaftPainter(board, VIEW, 27.0).bearing(at, along, 76.0, rail))),
        key=lambda one: isinstance(one, Shape) and len(one.points) == 4 and one.closed, reverse=True,
    )  # fmt: skip
    middle = Hung(at, along).at(-1.35 * 76.0, 0.0)
    about_shaft = covered(list(ring))
    assert unlike(about_shaft, about_line(Hung(at, along), about_shaft)) < 1e-6
    for one in (foot, hanger):
        made = covered([one])
        assert unlike(made, affinity.scale(made, -1.0, 1.0, origin=(middle[0], 0.0))) < 1e-6
    heights = [-y for one in (foot, hanger) if isinstance(one, Shape) for _, y in one.points]
    beyond = middle[1] + 152.0 if rail is None else rail - 2.0
    assert (max(heights) if rail is None or rail > 0.0 else min(heights)) == pytest.approx(beyond)


@pytest.mark.parametrize("name", ["ranch_truck_swap", "front_axle_lift", "lifted_short_shaft"])
def test_from_above_engine_gearbox_and_axle_are_alike_on_both_sides(name: str) -> None:
    shown = subject(name)
    assert shown is not None
    joints = [(x, y) for x, y, _ in shown.joints]
    output, nose = (joints[-1], joints[0]) if shown.ahead else (joints[0], joints[-1])
    made = covered(drawn_by(lambda board: above._powertrain(board, VIEW, shown, output)))
    assert not made.is_empty
    assert unlike(made, affinity.scale(made, 1.0, -1.0, origin=(0.0, VIEW.y(output[1])))) < 1e-6
    behind = [one for one in drawn_by(lambda board: above._axle(board, VIEW, shown, nose)) if isinstance(one, Shape)]
    tube = max(behind, key=lambda one: max(y for _, y in one.points))  # it runs off the page on both sides
    centre = shown.picture.axle_centre_mm
    assert centre is not None
    xs, ys = [x for x, _ in tube.points], [y for _, y in tube.points]
    assert (min(xs) + max(xs)) / 2.0 == pytest.approx(VIEW.x(centre[0]))
    assert max(xs) - min(xs) == pytest.approx(shown.axle_tube_mm)
    assert (min(ys) + max(ys)) / 2.0 == pytest.approx(VIEW.y(centre[1]))


def mirrored(item: Shape | Disc) -> Shape | Disc:
    """An item in a mirror that stands across the page at x = 0."""
    if isinstance(item, Disc):
        return item._replace(centre=(-item.centre[0], item.centre[1]))
    return item._replace(points=tuple((-x, y) for x, y in item.points))


def test_a_mirrored_vehicle_is_a_mirrored_drawing() -> None:
    """Axle, yoke, shaft and joints of a front axle are those of a rear axle in a mirror, drops and all."""
    shown = subject("ranch_truck_swap")
    assert shown is not None
    cosine, sine = math.cos(math.radians(5.0)), math.sin(math.radians(5.0))

    def vehicle(way: float) -> Callable[[Board], None]:
        nose = (way * 340.0, 20.0)

        def draw_all(board: Board) -> None:
            housing = Housing((0.0, 0.0), nose, (way * cosine, sine), 80.0)
            draw_axle(board, VIEW, shown, housing)
            draw_tube_end(board, VIEW, housing)
            draw_yoke(board, VIEW, nose, (-way * cosine, -sine), 27.0)
            painter = ShaftPainter(board, VIEW, 27.0)
            far = (way * 1500.0, 260.0)
            hung, _ = hung_on(nose, far)
            painter.section(Section(nose, far, 76.0), ("cardan", "double_cardan"), (120.0, 70.0), sleeve_first=False)
            painter.joint(nose, hung.along, "cardan")
            painter.joint(far, hung.along, "double_cardan")

        return draw_all

    rear, front = drawn_by(vehicle(-1.0)), drawn_by(vehicle(1.0))
    assert len(rear) == len(front)
    assert unlike(covered(front), covered([mirrored(one) for one in rear])) < 1e-6


# --- springs, wedge and block ---------------------------------------------------------------------------------------


def wedges(made: Drawing) -> list[Shape]:
    """Wedges: four corners filled with the accent, and no line."""
    return [one for one in shapes(made) if one.fill == LIGHT.accent and one.stroke is None and len(one.points) == 4]


def thick_end_derived(*, nose_behind: bool, over: bool) -> str:
    """At which end a wedge that raises the nose is thick, from turning the perch under a spring that stays.

    The axle turns about its centre until its nose, a unit ahead or behind, is a little higher. The perch's pad turns
    with it; where it has come away from the spring, there the wedge is thick.
    """
    pad = 1.0 if over else -1.0  # above or below the axle
    best = {}
    for turn in (0.02, -0.02):
        matrix = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
        nose = matrix @ np.array([1.0 if nose_behind else -1.0, 0.0])
        gaps = {
            end: pad * (pad - float((matrix @ np.array([x, pad]))[1])) for end, x in (("front", -0.5), ("rear", 0.5))
        }
        if nose[1] > 0.0:
            best = gaps
    return max(best, key=lambda end: best[end])


def with_spring(name: str, *, turned: bool, under: bool) -> Build:
    """A sample with its springs mirrored about the axle, shackle at the other end, or hung below its tube."""
    build = sample(name)
    spring, axle = build.suspension, build.axle
    assert spring is not None
    assert spring.kind == "leaf"
    assert axle is not None
    assert axle.centre_mm is not None
    assert spring.front_eye_mm is not None
    assert spring.shackle_pivot_mm is not None
    middle, lower = axle.centre_mm[0], 2.0 * (spring.seat_to_axle_mm or 0.0) if under else 0.0
    eyes = [(2.0 * middle - x if turned else x, z - lower) for x, z in (spring.front_eye_mm, spring.shackle_pivot_mm)]
    return changed(
        name, suspension__front_eye_mm=eyes[0], suspension__shackle_pivot_mm=eyes[1],
        suspension__seat="under" if under else "over",
    )  # fmt: skip


@pytest.mark.parametrize("turned", [False, True], ids=["shackle behind", "shackle ahead"])
@pytest.mark.parametrize("seat", ["over", "under"])
@pytest.mark.parametrize("name", ["ranch_truck_swap", "front_axle_lift"])
@pytest.mark.parametrize("degrees", [2.0, -2.0])
def test_a_wedge_is_thick_at_the_end_that_turns_the_nose_its_way(
    name: str, seat: str, degrees: float, turned: bool
) -> None:
    build = with_spring(name, turned=turned, under=seat == "under")
    build = edited(build, {"plan": {"axle_shim_deg": degrees, "perches": "welded"}})
    shown = subject_of(build)
    assert shown is not None
    made = drawing(shown, (1240, 700), Style(), look="axle")
    found = wedges(made)
    assert len(found) == 1
    points = sorted(found[0].points)
    ends = {"front": abs(points[0][1] - points[1][1]), "rear": abs(points[2][1] - points[3][1])}
    wanted = thick_end_derived(nose_behind=shown.ahead, over=seat == "over")
    if degrees < 0.0:
        wanted = {"front": "rear", "rear": "front"}[wanted]
    assert ends[wanted] > 2.5
    assert ends[wanted] == max(ends.values())
    assert min(ends.values()) < 0.3


def test_without_a_wedge_there_is_none() -> None:
    assert wedges(draw(changed("ranch_truck_swap", plan__axle_shim_deg=None))) == []


@pytest.mark.parametrize("name", ["ranch_truck_swap", "front_axle_lift"])
@pytest.mark.parametrize("seat", ["over", "under"])
def test_a_block_is_as_high_as_it_lifts_or_lowers_and_lies_between_spring_and_axle(name: str, seat: str) -> None:
    """Over the axle a block raises the vehicle; between the axle and a spring below it, it lowers it."""
    end, lift = "front" if name == "front_axle_lift" else "rear", 76.0 if seat == "over" else -76.0
    build = with_spring(name, turned=False, under=seat == "under")
    build = edited(build, {"plan": {f"{end}_lift_mm": lift, f"{end}_lift_by": "block"}})
    shown = subject_of(build)
    assert shown is not None
    made = drawing(shown, (1240, 700), Style(), look="axle")
    assert made.zones is not None
    view = made.zones.side
    blocks = [
        one for one in shapes(made) if one.closed and len(one.points) == 4 and one.fill == Board(LIGHT).tint(0.22)
    ]
    sizes = []
    for one in blocks:
        sides = sorted(math.dist(a, b) for a, b in zip(one.points, (*one.points[1:], one.points[0]), strict=True))
        sizes.append(sides[0] / view.scale)
    assert pytest.approx(76.0) in sizes
    block = blocks[[round(size, 6) for size in sizes].index(76.0)]
    middle = shapely.Polygon(block.points).centroid
    assert shown.axle_centre is not None
    axle, leaf = (
        view.px(shown.axle_centre)[1],
        view.y(min(z for x, z in shown.spring if abs(x - shown.axle_centre[0]) < 60)),
    )
    assert min(axle, leaf) < middle.y < max(axle, leaf)
    assert (leaf < axle) == (seat == "over")


@pytest.mark.parametrize("hangs", [True, False], ids=["hung down", "standing up"])
def test_a_shackle_hangs_or_stands_as_it_was_told(hangs: bool) -> None:
    still = subject("ranch_truck_swap")
    assert still is not None
    (px, pz), (ex, ez) = still.picture.shackle_mm
    # The same spring, with the bolt on the frame straight below its eye instead of above it.
    pivot = (px, pz) if hangs else (ex, ez - math.dist((px, pz), (ex, ez)))
    build = changed("ranch_truck_swap", suspension__shackle_pivot_mm=pivot, suspension__shackle_hangs=hangs)
    shown = subject_of(build)
    assert shown is not None
    assert shown.spring, "the spring can be drawn"
    (_, pivot_z), (_, eye_z) = shown.picture.shackle_mm
    assert (eye_z < pivot_z) is hangs
    made = drawing(shown, (1500, 820), Style(), look="whole")
    assert made.zones is not None
    centres = {(round(one.centre[0], 3), round(one.centre[1], 3)) for one in discs(made)}
    for end in shown.picture.shackle_mm:
        x, y = made.zones.side.px(end)
        assert (round(x, 3), round(y, 3)) in centres


def test_of_a_lowered_vehicle_everything_is_drawn() -> None:
    made = draw(changed("ranch_truck_swap", plan__rear_lift_mm=-50.0, plan__front_lift_mm=-50.0))
    assert made.zones is not None
    assert {"front_joint", "rear_joint", "output", "pinion"} == {one.key for one in made.leaders}


# --- shaft and joints -----------------------------------------------------------------------------------------------


def joint_items(kind: str) -> list[Shape | Disc]:
    board = Board(LIGHT)
    ShaftPainter(board, VIEW, 30.0).joint((0.0, 0.0), (1.0, 0.0), kind)  # type: ignore[arg-type]
    board.finish()
    return [one for one in board.layers[0].items if isinstance(one, Shape | Disc)]


def test_each_kind_of_joint_is_known_by_its_crosses_or_balls() -> None:
    """A cross has a ring and two arms; a double joint two of them in a cage; a constant-velocity joint three balls."""
    rings = {kind: [one for one in joint_items(kind) if isinstance(one, Disc)] for kind in (
        "cardan", "double_cardan", "constant_velocity")}  # fmt: skip
    arms = {kind: [one for one in joint_items(kind) if isinstance(one, Shape) and not one.closed] for kind in rings}
    assert (len(rings["cardan"]), len(arms["cardan"])) == (1, 2)
    assert (len(rings["double_cardan"]), len(arms["double_cardan"])) == (2, 4)
    assert (len(rings["constant_velocity"]), len(arms["constant_velocity"])) == (4, 0)
    first, second = rings["double_cardan"]
    assert first.centre[0] == pytest.approx(-second.centre[0])


@pytest.mark.parametrize("kind", ["cardan", "double_cardan", "constant_velocity"])
def test_a_build_is_drawn_with_the_joints_that_it_has(kind: str) -> None:
    shown = subject_of(changed("ranch_truck_swap", shaft__front_joint__type=kind))
    assert shown is not None
    made = drawing(shown, (1240, 700), Style())
    assert made.zones is not None
    x, y = made.zones.side.px(shown.side_joints[0])
    near = [one for one in discs(made) if one.fill == LIGHT.paper and math.dist(one.centre, (x, y)) < 30.0]
    assert len(near) == {"cardan": 1, "double_cardan": 2, "constant_velocity": 1}[kind]


def boot_length(made: Drawing) -> float:
    """Length of the boot over the bare spline, mm: the only shape of the boot's tint with many folds."""
    assert made.zones is not None
    tint = Board(LIGHT).tint(0.42)
    side = next(layer for layer in made.layers if layer.box is not None)
    folded = [one for one in side.items if isinstance(one, Shape) and one.fill == tint and len(one.points) > 12]
    assert len(folded) == 1
    points = np.array(folded[0].points)
    return float(np.ptp(points @ _along(points)) / made.zones.side.scale)


def _along(points: Any) -> Any:
    """Direction in which points spread most."""
    return np.linalg.svd(points - points.mean(axis=0))[2][0]


def test_the_boot_opens_by_as_much_as_the_shaft_grows() -> None:
    """From ride height to full droop, where the section has room for it."""
    ride, droop = subject("front_axle_lift"), subject("front_axle_lift", "droop")
    assert ride is not None
    assert droop is not None
    grown = (droop.here.shaft.length_mm or 0.0) - (ride.whole.shaft.length_mm or 0.0)
    lengths = [boot_length(drawing(one, (1240, 700), Style())) for one in (ride, droop)]
    assert lengths[1] - lengths[0] == pytest.approx(grown, abs=1.5)


def test_a_two_piece_shaft_has_two_sections_and_a_bearing_between() -> None:
    shown = subject("long_van_two_piece")
    assert shown is not None
    made = drawing(shown, (1240, 700), Style())
    assert made.zones is not None
    names = [text for _, text in made.words]
    assert sum("°" in text and "down" in text and "·" in text for text in names) == 2
    bearing = [one for one in made.targets if one.part == "bearing"]
    xs = [x for x, _ in bearing[-1].outline]  # its ring, over foot and hanger
    front, centre, _ = (made.zones.side.x(x) for x, _ in shown.side_joints)
    assert front < min(xs) < max(xs) <= centre + 1.0, "just ahead of the centre joint"


def test_a_shaft_of_no_entered_tube_is_dashed() -> None:
    made = draw(changed("ranch_truck_swap", shaft__tube=None))
    dashed = [one for one in shapes(made) if one.stroke is not None and one.stroke.dash == FAINT_DASH]
    assert any(one.stroke is not None and one.stroke.colour == LIGHT.accent and not one.fill for one in dashed)


# --- what is measured and what is assumed ---------------------------------------------------------------------------


def outline_of(made: Drawing, points: tuple[tuple[float, float], ...]) -> Shape:
    """The shape that was drawn with an outline of the picture."""
    assert made.zones is not None
    wanted = made.zones.side.all_px(points)
    return next(one for one in shapes(made) if one.points == wanted and one.closed)


def test_engine_and_gearbox_are_the_outlines_that_clearance_judges() -> None:
    shown = subject("ranch_truck_swap")
    assert shown is not None
    made = drawing(shown, (1240, 700), Style(), look="whole")
    for outline in (shown.picture.powertrain_outline_mm, shown.picture.engine_outline_mm):
        one = outline_of(made, outline)
        assert one.stroke is not None
        assert one.stroke.dash == ()


@pytest.mark.parametrize("unknown", ["gearbox_length_mm", "gearbox_height_mm"])
def test_a_gearbox_of_no_entered_size_is_dashed(unknown: str) -> None:
    shown = subject_of(changed("ranch_truck_swap", **{f"powertrain__{unknown}": None}))
    assert shown is not None
    one = outline_of(drawing(shown, (1240, 700), Style()), shown.picture.powertrain_outline_mm)
    assert one.stroke is not None
    assert one.stroke.dash == FAINT_DASH


def test_an_assumed_transfer_case_is_dashed_and_filled() -> None:
    """It is dashed as its size is taken from the gearbox, and stands before the gearbox, which shows through thin."""
    shown: Subject | None = subject("lifted_short_shaft")
    assert shown is not None
    assert has_transfer_case(shown.build.powertrain)
    made = drawing(shown, (1240, 700), Style())
    dashed = [one for one in shapes(made) if one.stroke is not None and one.stroke.dash == FAINT_DASH and one.fill]
    assert len(dashed) == 1
    assert made.zones is not None
    thin = made.zones.side.all_px((*shown.picture.powertrain_outline_mm, shown.picture.powertrain_outline_mm[0]))
    order = shapes(made)
    assert [one.points for one in order].index(thin) > order.index(dashed[0])


def test_an_axle_of_no_entered_tube_is_dashed() -> None:
    made = draw(changed("ranch_truck_swap", axle__tube_diameter_mm=None))
    assert any(one.stroke is not None and one.stroke.dash == FAINT_DASH for one in discs(made))


def test_shock_torque_bar_and_lateral_link_are_drawn_named_and_pressed() -> None:
    """Each from its frame point to where the axle has carried the other, an eye at each end."""
    build = edited(sample("ranch_truck_swap"), {
        "shocks": ({"frame_point_mm": (3000.0, 400.0, 650.0), "axle_point_mm": (3280.0, 430.0, 330.0)},),
        "torque_bars": ({"frame_point_mm": (2450.0, -380.0, 430.0), "axle_point_mm": (3170.0, -390.0, 290.0)},),
        "lateral_link": {"frame_point_mm": (3300.0, -460.0, 520.0), "axle_point_mm": (3290.0, 440.0, 430.0)},
        "plan": {"rear_lift_mm": 50.0},
    })  # fmt: skip
    shown = subject_of(build)
    assert shown is not None
    made = drawing(shown, (1240, 700), Style())
    assert made.zones is not None
    centres = {(round(one.centre[0], 3), round(one.centre[1], 3)) for one in discs(made)}
    picture = shown.picture
    assert picture.lateral_link_mm is not None
    for ends in (*picture.shocks_mm, *picture.torque_bars_mm, picture.lateral_link_mm):
        for x, _, z in ends:
            at = made.zones.side.px((x, z))
            assert (round(at[0], 3), round(at[1], 3)) in centres
    assert {"shocks", "torque_bars", "lateral_link"} <= {one.part for one in made.targets}
    assert {"shock", "torque bar"} <= {text for _, text in made.words}


def test_what_is_nearer_to_the_eye_lies_over_what_is_farther() -> None:
    """From beside the vehicle: lateral link, shock and torque bar behind the spring, it behind its U-bolts' plates.

    And a shock's dust cover over its body, the shaft over all of them.
    """
    build = edited(sample("ranch_truck_swap"), {
        "shocks": ({"frame_point_mm": (3000.0, 400.0, 650.0), "axle_point_mm": (3280.0, 430.0, 330.0)},),
        "torque_bars": ({"frame_point_mm": (2450.0, -380.0, 430.0), "axle_point_mm": (3170.0, -390.0, 290.0)},),
        "lateral_link": {"frame_point_mm": (3200.0, -460.0, 520.0), "axle_point_mm": (3290.0, 440.0, 430.0)},
    })  # fmt: skip
    made = draw(build)
    side = next(layer for layer in made.layers if layer.box is not None)
    depth = {one.points: place for place, one in enumerate(side.items) if isinstance(one, Shape)}
    pressed = {
        part: [depth[one.outline] for one in made.targets if one.part == part and one.outline in depth]
        for part in ("shocks", "torque_bars", "lateral_link", "axle", "perches", "shaft")
    }
    tint = Board(LIGHT).tint(0.66)
    leaves = [
        place
        for place, one in enumerate(side.items)
        if isinstance(one, Shape) and one.stroke and one.stroke.colour == tint
    ]
    shaft = [
        place for place, one in enumerate(side.items) if isinstance(one, Shape) and one.fill == Board(LIGHT).shade(0.30)
    ]
    assert len(leaves) == 3
    body, cover = pressed["shocks"][:2]
    assert body < cover < min(leaves)
    assert max(pressed["axle"]) < min(pressed["lateral_link"]) < min(pressed["torque_bars"]) < min(leaves)
    assert max(leaves) < max(pressed["perches"])
    assert max(leaves) < min(shaft)
    assert body < cover < min(shaft)
