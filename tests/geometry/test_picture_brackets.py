"""Shocks, torque bars and the lateral link: held at the frame, carried by the axle as one rigid body with it."""

import numpy as np
import pytest

from geometry import solve
from geometry.document import Build, edited
from geometry.words.solution import Behind
from tests.geometry.told_build import answer_of, moved, told_of

FRAME, AXLE = (2380.0, 400.0, 620.0), (2660.0, 430.0, 320.0)
BAR_FRAME, BAR_AXLE = (1900.0, -380.0, 410.0), (2590.0, -390.0, 300.0)
LINK_FRAME, LINK_AXLE = (2720.0, -460.0, 520.0), (2700.0, 440.0, 430.0)
DRAG_BOX, DRAG_AXLE = (2450.0, -410.0, 560.0), (2560.0, 390.0, 400.0)
BRACKETS = {
    "shocks": ({"frame_point_mm": FRAME, "axle_point_mm": AXLE},),
    "torque_bars": ({"frame_point_mm": BAR_FRAME, "axle_point_mm": BAR_AXLE},),
    "lateral_link": {
        "frame_point_mm": LINK_FRAME, "axle_point_mm": LINK_AXLE, "drag_box_mm": DRAG_BOX, "drag_axle_mm": DRAG_AXLE,
    },
}  # fmt: skip
MEASURED = {
    "shocks_mm": (FRAME, AXLE),
    "torque_bars_mm": (BAR_FRAME, BAR_AXLE),
    "lateral_link_mm": (LINK_FRAME, LINK_AXLE),
    "drag_link_mm": (DRAG_BOX, DRAG_AXLE),
}


@pytest.fixture
def braced(one_piece: Build) -> Build:
    """The one-piece build with a bracket of each kind."""
    return edited(one_piece, dict(BRACKETS))


def ends(picture, kind):
    """Frame and axle end of the only bracket of a kind."""
    found = getattr(picture, kind)
    return found if kind in {"lateral_link_mm", "drag_link_mm"} else found[0]


def seat(point, centre, pinion):
    """A point as someone riding on the axle sees it: along the pinion's line, beside, and up from it."""
    along = np.array([pinion[0], pinion[2]]) / np.hypot(pinion[0], pinion[2])
    off = np.array([point[0] - centre[0], point[2] - centre[2]])
    return float(off @ along), point[1] - centre[1], float(along[0] * off[1] - along[1] * off[0])


@pytest.mark.parametrize("kind", MEASURED)
def test_unmoved_they_stand_where_they_were_measured(braced: Build, kind: str) -> None:
    frame, axle = ends(answer_of(braced).picture, kind)
    assert frame == pytest.approx(MEASURED[kind][0])
    assert axle == pytest.approx(MEASURED[kind][1])


@pytest.mark.parametrize("changes", [
    {"plan.rear_lift_mm": 60.0}, {"plan.rear_lift_mm": 60.0, "plan.front_lift_mm": 20.0}, {"plan.rear_lift_mm": -40.0},
    {"plan.axle_shim_deg": 3.0}, {"plan.axle_shim_deg": -2.0, "plan.rear_lift_mm": 50.0, "plan.rear_lift_by": "block"},
])  # fmt: skip
@pytest.mark.parametrize("kind", MEASURED)
def test_the_axle_carries_its_end_and_the_frame_the_other(braced: Build, kind: str, changes: dict[str, object]) -> None:
    was = answer_of(braced).picture
    build = edited(braced, changes)
    now, told = answer_of(build).picture, told_of(build)
    frame, axle = ends(now, kind)
    assert seat(axle, now.axle_centre_mm, now.pinion_direction) == pytest.approx(
        seat(MEASURED[kind][1], was.axle_centre_mm, was.pinion_direction), abs=1e-6
    )
    # The frame's end keeps its place beside another point of the frame, the front eye, however the frame tilts.
    eye = now.spring_mm[0]
    assert np.hypot(frame[0] - eye[0], frame[2] - eye[1]) == pytest.approx(
        np.hypot(MEASURED[kind][0][0] - 2000.0, MEASURED[kind][0][2] - 480.0)
    )
    assert told.build is build


@pytest.mark.parametrize("at", [-70.0, 60.0])
@pytest.mark.parametrize("kind", MEASURED)
def test_over_the_travel_the_axle_end_goes_with_it(braced: Build, kind: str, at: float) -> None:
    was, now = answer_of(braced).picture, moved(braced, at).picture
    frame, axle = ends(now, kind)
    assert frame == pytest.approx(MEASURED[kind][0])
    assert seat(axle, now.axle_centre_mm, now.pinion_direction) == pytest.approx(
        seat(MEASURED[kind][1], was.axle_centre_mm, was.pinion_direction), abs=1e-6
    )


def test_a_bracket_with_one_end_is_not_drawn(braced: Build) -> None:
    half = edited(braced, {
        "shocks": ({"frame_point_mm": FRAME}, {"axle_point_mm": AXLE}), "torque_bars": ({"axle_point_mm": BAR_AXLE},),
        "lateral_link": {"frame_point_mm": LINK_FRAME, "drag_axle_mm": DRAG_AXLE},
    })  # fmt: skip
    drawn = answer_of(half).picture
    assert (drawn.shocks_mm, drawn.torque_bars_mm, drawn.lateral_link_mm) == ((), (), None)
    assert drawn.drag_link_mm is None
    assert answer_of(edited(half, {"lateral_link": {"drag_box_mm": DRAG_BOX}})).picture.drag_link_mm is None


def test_without_brackets_there_are_none(one_piece: Build) -> None:
    drawn = answer_of(one_piece).picture
    assert (drawn.shocks_mm, drawn.torque_bars_mm, drawn.lateral_link_mm) == ((), (), None)


@pytest.mark.parametrize("unknown", ["axle", "axle.centre_mm", "axle.pinion_slope_deg"])
def test_of_an_unknown_axle_they_stand_as_measured_until_something_moves(braced: Build, unknown: str) -> None:
    """What is not known is not drawn: after a lift nobody can say where the axle's end has gone."""
    build = edited(braced, {unknown: None, "readings": None})
    stands = answer_of(build).picture
    assert ends(stands, "shocks_mm") == (pytest.approx(FRAME), pytest.approx(AXLE))
    for plan in ({"rear_lift_mm": 60.0}, {"axle_shim_deg": 3.0}):
        after = answer_of(edited(build, {"plan": plan})).picture
        assert (after.shocks_mm, after.torque_bars_mm, after.lateral_link_mm) == ((), (), None)
    for place in (moved(build, 60.0), moved(build, -50.0), moved(build, 0.0, "launch")):
        drawn = None if place is None else place.picture
        assert drawn is None or (drawn.shocks_mm, drawn.torque_bars_mm, drawn.lateral_link_mm) == ((), (), None)


def off_plumb(frame, axle):
    """How far a line is off plumb seen from behind, by its two points alone, degrees."""
    return float(np.degrees(np.arctan2(abs(frame[1] - axle[1]), frame[2] - axle[2])))


def rises_to_the_right(one, other):
    left, right = sorted((one, other), key=lambda point: point[1])
    return float(np.degrees(np.arctan2(right[2] - left[2], right[1] - left[1])))


def test_seen_from_behind_shocks_and_links_stand_as_their_points_do(braced: Build) -> None:
    behind = answer_of(braced).behind
    assert behind.shocks_deg == pytest.approx((off_plumb(FRAME, AXLE),))
    assert behind.link_slope_deg == pytest.approx(rises_to_the_right(LINK_FRAME, LINK_AXLE))
    assert behind.drag_slope_deg == pytest.approx(rises_to_the_right(DRAG_BOX, DRAG_AXLE))


def test_they_are_told_of_the_axle_where_the_plan_puts_it_wherever_it_is_shown(braced: Build) -> None:
    """In the frame's axes, as the findings' sentences have them."""
    build = edited(braced, {"plan.rear_lift_mm": 60.0, "plan.front_lift_mm": 60.0})
    answer = answer_of(build)
    picture = answer.picture
    frame, axle = picture.shocks_mm[0]
    assert answer.behind.shocks_deg == pytest.approx((off_plumb(frame, axle),), abs=0.02)
    assert answer.behind.shocks_deg[0] < answer_of(braced).behind.shocks_deg[0]  # the eyes are farther apart
    findings = solve(build).findings
    lean = next(one for one in findings if one.id == "shock_lean_1")
    assert f"{answer.behind.shocks_deg[0]:.1f}° from behind" in lean.says
    slope = next(one for one in findings if one.id == "link_slope")
    assert abs(answer.behind.link_slope_deg) == pytest.approx(slope.value)
    for place in (moved(build, 40.0), moved(build, 0.0, "launch")):
        assert place is None or place.behind == answer.behind


def test_what_is_not_there_or_not_known_has_no_number_from_behind(one_piece: Build, braced: Build) -> None:
    assert answer_of(one_piece).behind == Behind()
    half = edited(braced, {
        "shocks": ({"frame_point_mm": FRAME}, {"frame_point_mm": FRAME, "axle_point_mm": AXLE}),
        "lateral_link": {"frame_point_mm": LINK_FRAME},
    })  # fmt: skip
    behind = answer_of(half).behind
    assert behind.shocks_deg == (None, pytest.approx(off_plumb(FRAME, AXLE)))
    assert (behind.link_slope_deg, behind.drag_slope_deg) == (None, None)
    lost = edited(braced, {"axle": None, "readings": None, "plan": {"rear_lift_mm": 60.0}})
    assert answer_of(lost).behind == Behind((None,), None, None)
