"""Outlines that axle or engine carry, in the form, on the drawing and under the mouse."""

import pytest

from app.drawing.drawing import drawing
from app.drawing.subject import Subject
from app.drawing.wording import MOST_OF_A_NAME, obstacles_of, short_name
from app.files import read_build, write_build
from app.measuring.sections import contents, flat
from geometry import edited, solve
from geometry.judge.carried import pairs_of
from tests.app.sheets import sample

TUBE = {"name": "axle cover", "carried_by": "axle",
        "outline_mm": ((3200.0, 480.0), (3290.0, 480.0), (3290.0, 530.0), (3200.0, 530.0))}  # fmt: skip
TANK = {"name": "fuel tank", "outline_mm": ((3180.0, 600.0), (3300.0, 600.0), (3300.0, 640.0), (3180.0, 640.0))}


def build_with(*obstacles):
    return sample(obstacles=obstacles)


def test_the_form_asks_who_carries_it():
    build = build_with(TUBE)
    entries = {one.path: one for one in flat(contents(build, "obstacles"))}
    assert entries["obstacles.0.carried_by"].choices == ("frame", "axle", "engine")
    sides = {"obstacles.0.left_mm", "obstacles.0.right_mm"}
    assert not sides & set(entries)
    by_engine = edited(build, {"obstacles.0.carried_by": "engine"})
    assert sides <= {one.path for one in flat(contents(by_engine, "obstacles"))}


def test_the_file_keeps_it(tmp_path):
    build = build_with(TUBE, TANK)
    path = tmp_path / "a.json"
    write_build(path, build)
    assert read_build(path) == build


def test_an_old_file_opens_with_all_on_the_frame():
    build = sample()
    assert {one.carried_by for one in build.obstacles} == {"frame"}


def test_a_pair_that_is_near_stands_in_the_drawing(qapp):
    assert qapp
    build = build_with(TANK, TUBE)
    whole = solve(build)
    found = next(one for one in whole.findings if one.id == "pair_gap_1")
    assert found.verdict == "hold"
    assert obstacles_of(found, build) == tuple(pairs_of(build)[0]) == (0, 1)
    assert short_name(found) == "fuel tank to axl…"
    assert len(short_name(found)) <= MOST_OF_A_NAME
    page = drawing(Subject(build, whole, whole), (1240.0, 700.0))
    assert any(one.finding == found.id for one in page.targets) or "fuel tank" in " ".join(
        text for _, text in page.words
    )


@pytest.mark.parametrize("carrier", ["frame", "axle", "engine"])
def test_what_is_not_known_where_is_not_drawn_and_does_no_harm(carrier, qapp):
    assert qapp
    lost = {"axle.centre_mm": None, "plan.rear_lift_mm": 40.0, "plan.mounts": "loose", "plan.powertrain_slope_deg": 3.0,
            "powertrain.front_mount_mm": None}  # fmt: skip
    build = edited(build_with({**TUBE, "carried_by": carrier}), lost)
    whole = solve(build)
    assert bool(whole.picture.obstacles_mm[0]) == (carrier == "frame")
    drawing(Subject(build, whole, whole), (1240.0, 700.0))


def test_a_short_pair_is_named_whole(qapp):
    assert qapp
    build = build_with({**TANK, "name": "tank"}, {**TUBE, "name": "cover"})
    found = next(one for one in solve(build).findings if one.id == "pair_gap_1")
    assert short_name(found) == "tank to cover"
