"""Where a leader from the row of findings may end: on its own part, wherever along it the row has room for its cell."""

from typing import Any

import pytest
import shapely

from app.drawing.anchors import anchor_of
from app.drawing.board import Board
from app.drawing.palette import LIGHT
from app.drawing.places import View
from app.drawing.side import SideView
from app.drawing.subject import Subject
from geometry.document import Build
from tests.app.drawing.drawn import SAMPLES, changed, sample, subject_of
from tests.app.drawing.test_targets import BRACKETS

VIEW = View((0.0, 0.0, 3000.0, 1000.0), 0.5, -200.0, 1600.0)
"""Half a pixel to the millimetre; it holds every sample whole."""
LOWERED = View((0.0, 0.0, 900.0, 1000.0), 0.5, 1000.0, 1600.0)
"""From a metre behind the front axle to nearly three: it cuts off what lies farther out."""
PIPE = {
    "name": "pipe",
    "view": "side",
    "outline_mm": ((2000.0, 430.0), (2300.0, 430.0), (2300.0, 520.0), (2000.0, 520.0)),
}
BEAM = {
    "name": "beam",
    "view": "side",
    "outline_mm": ((2500.0, 900.0), (2600.0, 900.0), (2600.0, 990.0), (2500.0, 990.0)),
}
TANK = {
    "name": "tank",
    "view": "top",
    "outline_mm": ((2000.0, 160.0), (2600.0, 160.0), (2600.0, 400.0), (2000.0, 400.0)),
}
KEYS = (
    "powertrain", "front_joint", "shaft", "bearing", "centre_joint", "rear_joint", "axle", "perches", "suspension",
    "obstacles", "shocks", "torque_bars", "lateral_link",
)  # fmt: skip


def drawn(build: Build, view: View = VIEW) -> SideView:
    shown = subject_of(build)
    assert shown is not None
    return side_of(shown, view)


def side_of(shown: Subject, view: View = VIEW) -> SideView:
    made = SideView(Board(LIGHT), view, shown, ground=False, most_low=900.0)
    made.draw()
    made.dimension(beside_flag=False)
    return made


def places(side: SideView, key: str) -> Any:
    """Both ends and the middle of every stretch that a leader to a part may end on; None where it has none."""
    anchor = anchor_of(side, key)
    if anchor is None:
        return None
    xs = [x for low, high in anchor.spans for x in (low, (low + high) / 2.0, high)]
    return [shapely.Point(x, anchor.height(x)) for x in (*xs, anchor.middle)]


def whole(side: SideView, key: str) -> Any:
    """All the paper on which a press takes a part."""
    return shapely.union_all(
        [shapely.Polygon(one.outline).buffer(0.0) for one in side.board.targets if one.part == key]
    )


FULL: list[tuple[str, dict[str, Any]]] = [
    *[(name, {}) for name in SAMPLES],
    ("ranch_truck_swap", {**BRACKETS, "obstacles": (TANK, BEAM, PIPE)}),
    ("ranch_truck_swap", {"plan__rear_lift_mm": 80.0, "plan__rear_lift_by": "block", "obstacles": (PIPE,)}),
    ("transfer_case_double_joint", {"axle__tube_diameter_mm": None}),
]


@pytest.mark.parametrize(("name", "entries"), FULL)
def test_a_leader_ends_on_its_own_part(name: str, entries: dict[str, Any]) -> None:
    """Within six pixels of where a press takes it; a part that is not drawn has no leader, one that is has one.

    Perches of an axle on links are not drawn: what is found of them is on the axle.
    """
    side = drawn(changed(name, **entries))
    parts = {one.part for one in side.board.targets}
    for key in KEYS:
        drawn_as = "axle" if key == "perches" and key not in parts else key
        found, on = places(side, key), whole(side, drawn_as)
        if key != "obstacles":  # of those only one that is in the way
            assert (found is not None) == (drawn_as in parts), key
        for at in found or ():
            assert on.distance(at) <= 6.0, key


def test_the_leader_of_obstacles_ends_on_the_one_whose_gap_is_worst() -> None:
    """The pipe lies in the shaft, the beam a metre from anything, the tank in the other view."""
    side = drawn(changed("ranch_truck_swap", obstacles=(TANK, BEAM, PIPE)))
    found = places(side, "obstacles")
    (pipe,) = [shapely.Polygon(one.outline) for one in side.board.targets if one.obstacle == 2]
    assert found
    assert all(pipe.distance(at) <= 1.0 for at in found)
    assert anchor_of(drawn(changed("ranch_truck_swap", obstacles=(BEAM,))), "obstacles") is None
    assert anchor_of(drawn(changed("ranch_truck_swap", obstacles=(TANK,))), "obstacles") is None


@pytest.mark.parametrize("name", SAMPLES)
def test_a_leader_stays_eight_pixels_within_the_view(name: str) -> None:
    """Of a part that is cut off it ends on what is in sight; one that is out of sight has none."""
    side = drawn(sample(name), LOWERED)
    left, _, right, _ = side.view.box
    told = 0
    for key in KEYS:
        at = anchor_of(side, key)
        if at is None:
            continue
        told += 1
        assert all(left + 8.0 <= low <= high for low, high in at.spans), key
        assert all(high <= right - 8.0 or low == high for low, high in at.spans), key
    assert told
    for key in [f"{one}_joint" for one in side.subject.joint_names]:
        x, _ = side.view.px(side.subject.side_joints[side.subject.joint_names.index(key.removesuffix("_joint"))])
        if not left - 40.0 <= x <= right + 40.0:
            assert anchor_of(side, key) is None
