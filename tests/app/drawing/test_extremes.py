"""Builds that hold little, much, or odd things: drawn without a word over another, and saying what to measure next."""

import itertools
from typing import Any

import pytest
import shapely

from app.drawing.board import FAINT_DASH, Board
from app.drawing.drawing import Drawing, Style, drawing
from app.drawing.items import Disc, Shape
from app.drawing.numbers import cells_of
from app.drawing.palette import LIGHT
from app.drawing.subject import Subject
from app.drawing.wanting import beginning
from app.drawing.wording import short_name
from app.sheet import sheet_bytes
from geometry import solve
from geometry.document import Build, edited
from tests.app.drawing.drawn import (
    SAMPLES,
    SIZES,
    box,
    changed,
    discs,
    draw,
    items,
    line,
    pairs,
    sample,
    shapes,
    subject_of,
    written,
)
from tests.geometry.strategies import HURRY

SIZE = pytest.mark.parametrize("size", SIZES)


def sound(made: Drawing) -> None:
    """Nothing over anything, nothing off the page, no number of no meaning."""
    for one in items(made):
        points = (
            one.points if isinstance(one, Shape) else (one.centre,) if isinstance(one, Disc) else ((one.x, one.base),)
        )
        assert all(x == x and y == y and abs(x) < 1e7 and abs(y) < 1e7 for x, y in points)  # noqa: PLR0124
    for bounds, text in made.words:
        assert bounds[0] >= 0.0, text
        assert bounds[2] <= made.width + 0.1, text
        assert bounds[1] >= 0.0, text
        assert bounds[3] <= made.height + 1.0, text
    for (one, first), (two, second) in pairs(made.words):
        assert box(one, 0.5).intersection(box(two, 0.5)).area == 0.0, f"{first!r} lies on {second!r}"
    for one, two in pairs((*made.leaders, *made.lower)):
        assert not line(one.points).intersects(line(two.points)), f"{one.key} crosses {two.key}"
    bodies = shapely.union_all([shapely.Polygon(one).buffer(0.0) for one in made.bodies])
    for bounds, text in made.words:
        assert not bodies.intersects(box(bounds, 0.5)), f"{text!r} lies on the shaft"


@SIZE
def test_of_an_empty_build_the_page_says_what_to_measure(size: tuple[int, int]) -> None:
    made = draw(Build(), size)
    sound(made)
    assert made.zones is None
    assert made.leaders == ()
    texts = [text for _, text in made.words]
    assert texts[:1] == ["Nothing to draw yet"]
    assert "The drawing begins with" in texts
    assert any("slope" in text for text in texts)


ENOUGH = {
    "powertrain.output_joint_mm": (1600.0, 0.0, 600.0), "axle.centre_mm": (3000.0, 0.0, 400.0),
    "axle.pinion_slope_deg": 3.0, "axle.pinion_length_mm": 300.0,
}  # fmt: skip
TWO_PIECE = {"shaft.bearing_mm": (2300.0, 0.0, 550.0), **ENOUGH}


@pytest.mark.parametrize("whole", [ENOUGH, TWO_PIECE], ids=["one piece", "two pieces"])
def test_what_is_named_and_nothing_less_begins_the_drawing(whole: dict[str, Any]) -> None:
    """Every subset of the measurements that are wanted: where nothing is drawn yet, each one missing is named."""
    start = edited(Build(), {"shaft": {"kind": "two_piece"}} if "shaft.bearing_mm" in whole else {})
    for many in range(len(whole) + 1):
        for left_out in itertools.combinations(whole, many):
            build = edited(start, {path: value for path, value in whole.items() if path not in left_out})
            shown = subject_of(build)
            assert shown is not None
            assert shown.drawable == (not left_out)
            if not left_out:
                continue
            heading, wanted = beginning(build)
            places = {"powertrain.output_joint_mm", "axle.centre_mm", "shaft.bearing_mm"} & set(whole)
            placed = bool(places - set(left_out))
            assert heading == ("The drawing still wants" if placed else "The drawing begins with")
            assert len(wanted) == (len(left_out) if placed else 1)
            made = draw(build, (694, 430))
            sound(made)
            assert set(wanted) <= {text for _, text in made.words}


def test_a_plan_that_moves_the_stick_says_what_the_drawing_then_wants() -> None:
    """Half an inch of lift once asked for the shaft's slope, which stood in its field."""
    build = edited(Build(), HURRY | {"plan.rear_lift_mm": 12.7})
    shown = subject_of(build)
    assert shown is not None
    assert not shown.drawable
    heading, wanted = beginning(build)
    assert heading == "With this plan the drawing wants"
    assert not any("shaft's slope" in one for one in wanted)
    assert any("springs or the links" in one for one in wanted)
    made = draw(build, (694, 430))
    sound(made)
    assert {heading, *wanted} <= {text for _, text in made.words}


@pytest.mark.parametrize("entered", [
    {"axle.centre_mm": (2900.0, 0.0, 400.0)},
    {"powertrain.output_joint_mm": (1500.0, 0.0, 600.0)},
    {"axle.centre_mm": (2900.0, 0.0, 400.0), "vehicle.wheelbase_mm": 2900.0, "vehicle.rear_tyre_radius_mm": 400.0},
    {"axle.centre_mm": (2900.0, 0.0, 400.0), "powertrain.output_joint_mm": (1500.0, 0.0, 600.0)},
])  # fmt: skip
def test_the_shaft_stays_in_the_drawing_between_the_first_place_and_the_last(entered: dict[str, object]) -> None:
    made = draw(edited(sample("three_angles_and_a_length"), entered))
    said = [one.text for one in written(made)]
    assert "positions still missing" in said
    assert any("joint to joint" in one for one in said)
    dashed = [one.stroke for one in shapes(made) if one.stroke is not None and one.stroke.dash]
    assert any(stroke.colour == LIGHT.accent for stroke in dashed)


def test_a_sticks_slope_begins_a_drawing() -> None:
    (wanted,) = beginning(Build())[1]
    assert wanted.startswith("the shaft's slope")
    shown = subject_of(edited(Build(), {"readings.shaft_slope_deg": 8.0}))
    assert shown is not None
    assert shown.drawable


@SIZE
def test_three_angles_and_a_length_are_a_shaft_with_its_angles(size: tuple[int, int]) -> None:
    """No tube, no places: a dashed bar to scale with its four numbers, and no view from above."""
    made = draw(sample("three_angles_and_a_length"), size)
    sound(made)
    assert made.zones is not None
    assert made.zones.top is None
    assert {one.key for one in made.leaders} == {"output", "front_joint", "rear_joint", "pinion"}
    assert any(isinstance(one, Shape) and one.stroke and one.stroke.dash == FAINT_DASH for one in items(made))
    assert any(text.startswith("measure next: ") for _, text in made.words)


@SIZE
def test_with_wheelbase_and_tyres_but_no_positions_all_is_to_one_scale(size: tuple[int, int]) -> None:
    """Shaft, hub and tyre are drawn with the same millimetres: the pinion's joint a usual nose ahead of the hub."""
    build = edited(sample("three_angles_and_a_length"), {
        "vehicle": {"wheelbase_mm": 3000.0, "front_tyre_radius_mm": 380.0, "rear_tyre_radius_mm": 380.0},
    })  # fmt: skip
    shown = subject_of(build)
    assert shown is not None
    made = drawing(shown, size, Style())
    sound(made)
    assert made.zones is not None
    view = made.zones.side
    tyre = max(discs(made), key=lambda one: (round(one.radius, 3), one.centre[0]))
    assert tyre.radius == pytest.approx(380.0 * view.scale)
    x, y = view.px(shown.nose)
    long = shown.whole.shaft.length_mm
    assert long is not None
    front = view.px(shown.output)
    assert ((x - front[0]) ** 2 + (y - front[1]) ** 2) ** 0.5 == pytest.approx(long * view.scale, rel=1e-6)
    hub_x, hub_y = tyre.centre
    assert hub_y == pytest.approx(view.y(380.0))
    assert 200.0 < (hub_x - x) / view.scale < 500.0
    # The assumed housing is dashed and holds no fill.
    around = [one for one in discs(made) if one.stroke is not None and one.stroke.dash]
    assert around
    assert all(not one.fill for one in around)


EXTREMES: dict[str, dict[str, Any]] = {
    "joint 3 m away": {"powertrain__output_joint_mm": (400.0, 0.0, 640.0)},
    "short of half a metre": {"powertrain__output_joint_mm": (2500.0, 0.0, 640.0)},
    "far to the side": {"powertrain__output_joint_mm": (1600.0, -600.0, 640.0)},
    "steep output": {"powertrain__slope_deg": 60.0},
    "steep pinion": {"axle__pinion_slope_deg": 60.0},
    "pinion up": {"axle__pinion_slope_deg": -60.0},
    "high output": {"powertrain__output_joint_mm": (1700.0, 0.0, 2400.0)},
    "huge tyre": {"vehicle__rear_tyre_radius_mm": 1200.0, "vehicle__front_tyre_radius_mm": 1200.0},
    "tiny tyre": {"vehicle__rear_tyre_radius_mm": 60.0, "vehicle__front_tyre_radius_mm": 60.0},
    "thick tube": {"shaft__tube__outer_diameter_mm": 300.0},
    "thick axle": {"axle__tube_diameter_mm": 400.0},
    "thin axle": {"axle__tube_diameter_mm": 10.0},
    "no gearbox": {"powertrain__gearbox_length_mm": None, "powertrain__engine_length_mm": None},
    "no springs": {"suspension": None},
    "no vehicle": {"vehicle": None},
    "no axle slope": {"axle__pinion_slope_deg": None},
    "no obstacles": {"obstacles": ()},
}


@SIZE
@pytest.mark.parametrize("case", EXTREMES)
def test_odd_builds_are_drawn_soundly(case: str, size: tuple[int, int]) -> None:
    shown: Subject | None = subject_of(changed("ranch_truck_swap", **EXTREMES[case]))
    assert shown is not None
    made = drawing(shown, size, Style())
    sound(made)
    keys = {one.key for one in made.leaders}
    for joint, name in zip(shown.whole.joints, shown.joint_names, strict=False):
        if joint.operating_deg is not None:
            assert f"{name}_joint" in keys
    again = drawing(shown, size, Style())
    assert again == made


@SIZE
@pytest.mark.parametrize("look", ["whole", "axle"])
@pytest.mark.parametrize("name", ["ranch_truck_swap", "front_axle_lift", "long_van_two_piece", "lifted_short_shaft"])
def test_whole_vehicle_and_axle_are_drawn_soundly(name: str, look: Any, size: tuple[int, int]) -> None:
    made = draw(sample(name), size, look=look)
    sound(made)
    assert made.zones is not None
    for one in made.leaders:
        assert made.zones.side.holds(one.at)


@pytest.mark.parametrize("name", ["ranch_truck_swap", "front_axle_lift", "lifted_short_shaft"])
def test_in_a_chosen_view_a_number_stands_over_its_own_joint_or_has_no_leader(name: str) -> None:
    """What lies outside the view is told in quiet ink where it is in no one's way."""
    shown = subject_of(sample(name))
    assert shown is not None
    made = drawing(shown, (1000, 700), Style(), look="axle")
    assert made.zones is not None
    at = {
        f"{joint}_joint": made.zones.side.px(one)
        for joint, one in zip(shown.joint_names, shown.side_joints, strict=True)
    }
    seen = {key for key, one in at.items() if made.zones.side.holds(one)}
    led = {one.key: one for one in made.leaders}
    assert seen == set(led) & set(at)
    big = [one for one in written(made) if one.pt == 22.0]
    for key in seen:
        assert abs(led[key].points[0][0] - at[key][0]) < 45.0
    for one in big:
        if one.colour == LIGHT.accent:
            assert any(abs(one.x - at[key][0]) < 80.0 for key in seen)


@pytest.mark.parametrize("name", ["ranch_truck_swap", "front_axle_lift", "lifted_short_shaft", "long_van_two_piece"])
@pytest.mark.parametrize("wide", [700, 1000, 1500])
def test_in_a_chosen_view_the_row_has_no_hole(name: str, wide: int) -> None:
    """What lies outside is told from the nearest on, to either side; on a wide page all of it."""
    shown = subject_of(sample(name))
    assert shown is not None
    made = drawing(shown, (wide, 700), Style(), look="axle")
    names = [cell.name for cell in cells_of(Board(LIGHT), shown)]
    texts = {one.text for one in written(made)}
    told = [place for place, one in enumerate(names) if one in texts]
    assert told == list(range(told[0], told[-1] + 1))
    if wide == 1500:
        assert len(told) == len(names)


@pytest.mark.parametrize("size", SIZES[-2:])
@pytest.mark.parametrize("name", SAMPLES)
def test_what_holds_at_a_joint_that_has_no_place_yet_is_told(name: str, size: tuple[int, int]) -> None:
    """Torque is judged by the engine's numbers alone, wherever the joints are."""
    build = sample(name)
    joints = [one for one in ("front", "centre", "rear") if getattr(build.shaft, f"{one}_joint", None) is not None]
    weak = {f"shaft.{one}_joint.torque_limit_nm": 1.0 for one in joints}
    nowhere = {"powertrain.output_joint_mm": None, "axle.centre_mm": None, "readings": None, "plan": None}
    bare = edited(build, nowhere | weak)
    made = draw(bare, size)
    sound(made)
    holding = [one for one in solve(bare).findings if one.id == "joint_torque" and one.verdict == "hold"]
    assert len(holding) == len(joints)
    assert all(short_name(one) in made.says for one in holding)
    sheet_bytes(bare, solve(bare))
