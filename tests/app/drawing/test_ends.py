"""Faint outlines stand where the axle really ends, and change nothing else of the drawing."""

import pytest
import shapely

from app.drawing.drawing import drawing
from app.drawing.items import Disc, Item, Point
from app.drawing.subject import Subject
from geometry.words.solution import Solution
from geometry.words.solve import Work, solved
from tests.app.drawing.drawn import SAMPLES, items, sample, subject

TRAVELLING = [name for name in SAMPLES if name != "three_angles_and_a_length"]


def both_ends(name: str) -> tuple[Solution, ...]:
    work = Work(sample(name))
    whole = solved(work)
    assert whole.travel is not None
    ends = (work.posed(whole, whole.travel.axle_mm[0]), work.posed(whole, whole.travel.axle_mm[-1]))
    return tuple(one for one in ends if one is not None)


def near(item: Item, at: Point, within: float) -> bool:
    return isinstance(item, Disc) and shapely.Point(item.centre).distance(shapely.Point(at)) < within


@pytest.mark.parametrize("name", TRAVELLING)
def test_ghosts_stand_at_the_ends_of_the_travel(name: str) -> None:
    build, ends = sample(name), both_ends(name)
    assert len(ends) == 2
    plain = subject(name)
    assert plain is not None
    size = (1240.0, 700.0)
    made = drawing(Subject(build, plain.whole, plain.whole, ends=ends), size)
    bare = drawing(plain, size)
    added = [one for one in items(made) if one not in items(bare)]
    assert all(getattr(one, "stroke", None) is None or one.stroke.dash for one in added if isinstance(one, Disc))
    assert made.zones == bare.zones
    # Nothing more is said; the dimension line may say less where an outline would run through its words.
    assert {one for _, text in made.words for one in text.split()} <= {
        one for _, text in bare.words for one in text.split()
    }
    assert made.zones is not None
    view = made.zones.side
    for end in ends:
        there = Subject(build, end, end)
        assert there.axle_centre is not None
        assert any(near(one, view.px(there.axle_centre), 0.1) for one in added)
        # The section that the axle moves; what stands still has no ghost.
        moving = there.side_joints[:2] if there.ahead else there.side_joints[-2:]
        for joint in moving:
            assert any(near(one, view.px(joint), 0.1) for one in items(made))
        still = there.side_joints[0] if len(there.side_joints) == 3 else None
        assert still is None or not any(near(one, view.px(still), 0.1) for one in added)
        hub = end.picture.front_hub_mm if there.ahead else end.picture.rear_hub_mm
        assert hub is not None
        assert there.tyre_mm is not None
        wheel = [one for one in added if near(one, view.px(hub), 0.1) and isinstance(one, Disc)]
        assert any(one.radius == pytest.approx(there.tyre_mm * view.scale) for one in wheel)


def test_away_from_ride_height_a_faint_outline_stands_where_the_axle_is_at_ride() -> None:
    bump = subject("ranch_truck_swap", "bump")
    assert bump is not None
    made = drawing(bump, (1240.0, 700.0))
    assert made.zones is not None
    ride = Subject(bump.build, bump.whole, bump.whole)
    assert ride.axle_centre is not None
    at = made.zones.side.px(ride.axle_centre)
    assert any(
        near(one, at, 0.1) and one.stroke is not None and one.stroke.dash
        for one in items(made)
        if isinstance(one, Disc)
    )
