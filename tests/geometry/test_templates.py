"""Templates measured back: angles, radii and distances from their corners, against what they are made by."""

from itertools import pairwise
from math import atan2, degrees, dist, hypot, radians, tan
from pathlib import Path

import pytest
import shapely

from geometry import Build, edited, solve, value_at
from geometry.words.templates import CHORD_MM, GAUGE_MM, Hole, Template, flattened, templates_of

SAMPLES = Path(__file__).parents[2] / "sample_builds"
RANCH, VAN, RIG, WAGON = (
    Build.model_validate_json((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    for name in ("ranch_truck_swap", "long_van_two_piece", "front_axle_lift", "transfer_case_double_joint")
)
CLAMP: dict[str, object] = {
    "clamp.spring_width_mm": 63.5, "clamp.rod_mm": 14.0, "clamp.perch_height_mm": 16.0, "clamp.pin_mm": 10.0,
    "axle.tube_diameter_mm": 82.0,
}  # fmt: skip


def template(build: Build, key: str) -> Template:
    return next(one for one in templates_of(build, solve(build)) if one.key == key)


def slope(one: tuple[float, ...], two: tuple[float, ...]) -> float:
    """Degrees down to the right."""
    left, right = sorted((one[:2], two[:2]))
    return degrees(atan2(left[1] - right[1], right[0] - left[0]))


@pytest.mark.parametrize("seat", ["over", "under"])
@pytest.mark.parametrize("turn", [0.0, 6.0, -9.0])
def test_the_cards_edges_lie_at_the_angle_that_is_set(seat: str, turn: float) -> None:
    build = edited(RANCH, {"suspension.seat": seat, "readings.seat_slope_deg": 0.5 + turn, "plan.perches": "loose"})
    angle = solve(build).setpoints.perch_to_pinion_deg
    assert angle is not None
    card = template(edited(build, {"perches": None}), "seat_to_pinion")
    on_seat = [corner for corner in card.outline if corner[1] == 0.0]
    other = [corner for corner in card.outline if corner[1] != 0.0]
    assert dist(on_seat[0][:2], on_seat[1][:2]) == GAUGE_MM
    assert slope(*other) == pytest.approx(angle, abs=1e-9)
    assert all((corner[1] > 0.0) == (seat == "over") for corner in other)
    assert min(abs(corner[1]) for corner in other) == pytest.approx(34.0)


def test_the_pull_of_the_weld_is_allowed_for() -> None:
    build = edited(RANCH, {"perches": {"first_weld": "front", "weld_pull_deg": 0.5}})
    points = solve(build).setpoints
    assert points.tack_to_pinion_deg is not None
    assert points.tack_to_pinion_deg != points.perch_to_pinion_deg
    card = template(build, "seat_to_pinion")
    assert slope(*card.outline[2:]) == pytest.approx(points.tack_to_pinion_deg, abs=1e-9)
    assert "tack at this angle" in card.says[0]


def test_a_front_axles_nose_is_at_the_right() -> None:
    front = edited(RIG, {"readings.seat_slope_deg": 0.5})
    assert any("nose at the right" in words for _, _, words in template(front, "seat_to_pinion").labels)
    assert any("nose at the left" in words for _, _, words in template(RANCH, "seat_to_pinion").labels)


@pytest.mark.parametrize("seat", ["over", "under"])
def test_the_saddle_fits_the_tube(seat: str) -> None:
    build = edited(RANCH, {**CLAMP, "suspension.seat": seat})
    saddle = template(build, "perch")
    way = 1.0 if seat == "over" else -1.0
    flat = flattened(saddle.outline)
    arc = [(x, y) for x, y in flat if hypot(x, y) < 41.0 + 1.0]
    assert len(arc) > 20
    assert all(hypot(x, y) == pytest.approx(41.0, abs=1e-9) for x, y in arc)
    assert max(way * y for _, y in arc) == pytest.approx(41.0, abs=CHORD_MM)
    assert max(way * y for _, y in flat) == pytest.approx(57.0)
    ends = [
        max(x for x, _ in flattened(template(edited(build, {"clamp.rod_mm": rod}), "perch").outline))
        for rod in (None, 10.0, 16.0)
    ]
    assert [one - ends[0] for one in ends] == pytest.approx(
        [0.0, 10.0, 16.0]
    )  # the leg's own thickness beside the tube
    assert ends[0] == pytest.approx(41.0 + 10.0)
    angle = solve(build).setpoints.perch_to_pinion_deg
    assert angle is not None
    assert slope(*saddle.scribed[1]) == pytest.approx(angle, abs=1e-9)
    bare = edited(build, {"readings.seat_slope_deg": None, "perches": None})
    if solve(bare).setpoints.perch_to_pinion_deg is None:
        assert len(template(bare, "perch").scribed) == 1


def test_holes_lie_round_the_tube_and_beside_the_spring() -> None:
    plate = template(edited(RANCH, CLAMP), "spring_plate")
    middle, *holes = plate.holes
    assert (middle.x, middle.y, middle.diameter_mm) == (0.0, 0.0, 11.5)
    assert {(abs(hole.x), abs(hole.y), hole.diameter_mm) for hole in holes} == {
        ((82.0 + 14.0) / 2, (63.5 + 14.0) / 2, 15.5)
    }
    assert len({(hole.x, hole.y) for hole in holes}) == 4
    left, low, right, high = plate.bounds
    assert all(hole.x - left > hole.diameter_mm for hole in holes if hole.x < 0.0)
    assert (right - left, high - low) == plate.size_mm
    punched = template(edited(RANCH, {**CLAMP, "clamp.pin_mm": None}), "spring_plate")
    assert punched.holes[0].diameter_mm == 0.0


def test_bearing_bolts_are_as_far_apart_as_entered() -> None:
    strip = template(edited(VAN, {"shaft.bearing_bolts_mm": 190.0}), "bearing")
    one, two = strip.holes
    assert dist((one.x, one.y), (two.x, two.y)) == 190.0
    assert not any(one.key == "bearing" for one in templates_of(RANCH, solve(RANCH)))


def test_what_lacks_an_entry_wants_it_and_is_not_drawn() -> None:
    for build in (Build(), edited(VAN, {"shaft.bearing_bolts_mm": None, "clamp": None, "axle.tube_diameter_mm": None})):
        for one in templates_of(build, solve(build)):
            if one.wants:
                assert one.outline == ()
                assert all(value_at(build, path) is None for path in one.wants)
    assert all(one.wants for one in templates_of(Build(), solve(Build())))
    assert templates_of(WAGON, solve(WAGON)) == ()


def test_what_all_is_entered_for_and_comes_to_nothing_is_not_drawn() -> None:
    """A spring that cannot hold the axle where it was measured: nobody knows how the pinion lies on it."""
    lost = edited(RANCH, {"readings.seat_slope_deg": 0.5, "suspension.front_half_mm": 150.0, "plan.rear_lift_mm": 30.0})
    card = template(lost, "seat_to_pinion")
    assert solve(lost).setpoints.perch_to_pinion_deg is None
    assert (card.drawn, card.wants) == (False, ())
    assert template(edited(lost, {"suspension.front_half_mm": 690.0}), "seat_to_pinion").drawn


def test_an_arc_is_cut_finely_enough_and_turns_the_way_its_bulge_says() -> None:
    for turn in (20.0, 90.0, 180.0, 250.0, -90.0, -200.0):
        bulge = tan(radians(turn) / 4.0)
        points = flattened(((50.0, 0.0, bulge), (0.0, 30.0, 0.0)))
        # All of it lies on one circle, and every chord within the tolerance of it.
        (ax, ay), (bx, by), (cx, cy) = points[0], points[len(points) // 2], points[-1]
        d = 2.0 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by))
        ux = ((ax**2 + ay**2) * (by - cy) + (bx**2 + by**2) * (cy - ay) + (cx**2 + cy**2) * (ay - by)) / d
        uy = ((ax**2 + ay**2) * (cx - bx) + (bx**2 + by**2) * (ax - cx) + (cx**2 + cy**2) * (bx - ax)) / d
        radius = dist((ux, uy), points[0])
        for one, two in pairwise(points):
            assert dist((ux, uy), one) == pytest.approx(radius)
            middle = ((one[0] + two[0]) / 2.0, (one[1] + two[1]) / 2.0)
            assert radius - dist((ux, uy), middle) <= CHORD_MM + 1e-9
        swept = sum(
            degrees(
                atan2(
                    (p[0] - ux) * (q[1] - uy) - (p[1] - uy) * (q[0] - ux),
                    (p[0] - ux) * (q[0] - ux) + (p[1] - uy) * (q[1] - uy),
                )
            )
            for p, q in pairwise(points)
        )
        assert swept == pytest.approx(turn)


@pytest.mark.parametrize("build", [edited(RANCH, CLAMP), edited(VAN, {**CLAMP, "shaft.bearing_bolts_mm": 190.0}),
                                   edited(RIG, CLAMP), WAGON])  # fmt: skip
def test_every_template_can_be_cut_and_leaves_metal_round_its_holes(build: Build) -> None:
    """One outline that crosses itself nowhere, a hole's centre one and a half of it from the edge: common practice."""
    drawn = [one for one in templates_of(build, solve(build)) if one.outline]
    for one in drawn:
        sheet = shapely.Polygon([corner[:2] for corner in flattened(one.outline)])
        assert sheet.is_valid, one.key
        for hole in one.holes:
            assert sheet.contains(shapely.Point(hole.x, hole.y)), one.key
            assert sheet.exterior.distance(shapely.Point(hole.x, hole.y)) >= 1.5 * hole.diameter_mm - 1e-9, one.key
        if one.key in {"spring_plate", "bearing"}:  # alike on both sides, so that it may be laid either way round
            box = shapely.box(*sheet.bounds)
            assert sheet.area == pytest.approx(box.area), one.key
            assert sheet.centroid.coords[0] == pytest.approx((0.0, 0.0), abs=1e-9), one.key
    assert drawn or build is WAGON


def test_bounds_hold_outline_and_whole_holes() -> None:
    """A hole of 8 and one of 2 beyond each side of a square of 10; a centre to be punched takes no room."""
    square = ((0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (10.0, 10.0, 0.0), (0.0, 10.0, 0.0))
    assert Template("", "", square).bounds == (0.0, 0.0, 10.0, 10.0)
    holes = (Hole(-1.0, 5.0, 8.0), Hole(5.0, 10.0, 2.0), Hole(12.0, -3.0, 0.0))
    assert Template("", "", square, holes).bounds == (-5.0, -3.0, 12.0, 11.0)
