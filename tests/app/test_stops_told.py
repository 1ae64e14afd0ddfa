"""Stops and straps among the set-points and in the report, and the region of an upper eye on the drawing."""

import pytest

from app.drawing.drawing import drawing
from app.drawing.items import Shape
from app.drawing.picture_files import SIZE
from app.drawing.subject import Subject
from app.report import report_text
from app.setpoints import set_points
from app.window.travel.desk import shock_of_entry
from geometry import edited, solve
from geometry.words.solve import Work, solved
from tests.app.sheets import sample

RANCH = sample(**{"display.length": "inch"})


def labels(build) -> dict[str, str]:
    return {one.label: one.value for one in set_points(build, solve(build))}


def test_stops_and_straps_stand_among_the_set_points_where_there_are_shocks() -> None:
    told, allowed = labels(RANCH), solve(RANCH).brackets.allowed
    assert told["To stops, at most"].startswith(f"{allowed.stop_mm / 25.4:.2f}")
    assert told["To straps, at most"].startswith(f"{allowed.droop_mm / 25.4:.2f}")
    assert not {"To stops, at most", "To straps, at most"} & set(labels(edited(RANCH, {"shocks": ()})))


def test_a_link_that_would_centre_the_axle_is_told_where_it_is_another() -> None:
    link = {"frame_point_mm": (3300.0, -450.0, 560.0), "axle_point_mm": (3290.0, 420.0, 470.0)}
    lifted = edited(RANCH, {"lateral_link": link, "plan.rear_lift_mm": 60.0})
    assert "Link that centres" in labels(lifted)
    assert "Link that centres" not in labels(edited(lifted, {"plan.rear_lift_mm": None}))
    points = solve(lifted)
    longer = points.setpoints.link_centring_mm - points.measured.lateral_link_mm
    # As measured: settled or laden the axle stands elsewhere.
    centred = edited(lifted, {"plan.lateral_link_longer_mm": longer, "state": None, "use": None})
    moved = next(one for one in solve(centred).findings if one.id == "lateral_lift")
    assert moved.value == pytest.approx(0.0, abs=1e-6)


def test_the_report_says_how_far_stops_and_straps_may_be() -> None:
    said = " ".join(report_text(RANCH, solve(RANCH), "ranch.json").split())
    assert "so its stops are touched at most" in said
    assert "straps that hang plumb" in said


@pytest.mark.parametrize(("entry", "shock"), [
    ("shocks.1.frame_point_mm", 1), ("shocks.0.axle_point_mm", None), ("torque_bars.0.frame_point_mm", None),
    (None, None),
])  # fmt: skip
def test_whose_upper_eye_is_chosen(entry: str | None, shock: int | None) -> None:
    assert shock_of_entry(entry) == shock


def test_the_region_of_a_chosen_eye_is_drawn(qapp) -> None:
    del qapp
    work = Work(RANCH)
    whole = solved(work)
    region = work.shock_region(0)

    def dashed(subject: Subject) -> int:
        items = [one for layer in drawing(subject, SIZE).layers for one in layer.items if isinstance(one, Shape)]
        return sum(one.stroke is not None and one.stroke.dash == (5.0, 4.0) for one in items)

    bare, drawn = dashed(Subject(RANCH, whole, whole)), dashed(Subject(RANCH, whole, whole, region=region))
    assert drawn == bare + len(region)


def test_choosing_an_upper_eye_shows_where_it_may_go_and_choosing_another_thing_takes_it_away(window) -> None:
    window.document.open(RANCH, None)
    window.show_desk()
    desk, selection = window.drawing.travel, window.selection
    assert desk._subject().region == ()
    selection.choose(None, part="shocks", entry="shocks.0.frame_point_mm")
    assert desk._subject().region == Work(RANCH).shock_region(0)
    selection.choose(None, part="shocks", entry="shocks.0.extended_mm")
    assert desk._subject().region == ()
    selection.choose(None, part="shocks", entry="shocks.7.frame_point_mm")
    assert desk._subject().region == ()
