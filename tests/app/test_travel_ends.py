"""Faint outlines stand where the axle really ends, on the screen and in the file."""

from pathlib import Path

import numpy as np
import pytest
from app.sketch.ends import End, ends_of
from app.sketch.figure import sketch_bytes
from app.sketch.scene import scene

from geometry import Build, solve
from geometry.words.solve import Work
from tests.app.desk import moved

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
TRAVELLING = sorted(path.stem for path in SAMPLES.glob("*.json") if path.stem != "three_angles_and_a_length")


def sample(name: str) -> Build:
    return Build.model_validate_json((SAMPLES / f"{name}.json").read_bytes())


def both_ends(build: Build) -> tuple[End, ...]:
    return ends_of(Work(build), solve(build))


@pytest.mark.parametrize("name", TRAVELLING)
def test_ghosts_stand_at_the_ends_of_the_travel(name: str) -> None:
    build = sample(name)
    solution = solve(build)
    assert solution.travel is not None
    ends = both_ends(build)
    assert [end.travel_mm for end in ends] == [solution.travel.axle_mm[0], solution.travel.axle_mm[-1]]
    made = scene(build, solution, ends=ends)
    ghosts = {one.key: one for one in made.strokes if one.role == "ghost"}
    assert all(one.layer == "static" and one.view == "side" and one.part is None for one in ghosts.values())
    for end, word in zip(ends, ("droop", "bump"), strict=True):
        there = moved(build, end.travel_mm)
        assert there is not None
        centre = there.picture.axle_centre_mm
        assert centre is not None
        tube = ghosts[f"side ghost {word} tube"].points
        assert tube.mean(axis=0) == pytest.approx((centre[0], centre[2]), abs=1e-6)
        assert ghosts[f"side ghost {word} housing"].points == pytest.approx(np.array(there.picture.housing_outline_mm))
        tyre = ghosts[f"side ghost {word} tyre"].points
        assert tyre.mean(axis=0) == pytest.approx((centre[0], centre[2]), abs=1e-6)
        assert any(key.startswith(f"{word} side shaft") for key in ghosts)


def test_a_section_that_stands_still_has_no_ghost() -> None:
    build = sample("long_van_two_piece")
    made = scene(build, solve(build), ends=both_ends(build))
    keys = [one.key for one in made.strokes if one.role == "ghost"]
    assert any("shaft 1" in key for key in keys)
    assert not any("shaft 0" in key or "joint 0" in key or "joint 1" in key for key in keys)


def test_no_travel_no_ghosts() -> None:
    assert both_ends(sample("three_angles_and_a_length")) == ()


def test_the_page_leaves_room_for_the_travel() -> None:
    build = sample("ranch_truck_swap")
    solution = solve(build)
    ends = both_ends(build)
    made = scene(build, solution, ends=ends, travel_room=True)
    x, _, _ = solution.picture.axle_centre_mm or (0.0, 0.0, 0.0)
    tyres = [one.points for one in made.strokes if one.role == "ghost" and one.key.endswith("tyre")]
    assert made.extents.heights[0] < min(points[:, 1].min() for points in tyres)
    assert made.extents.heights[1] > max(points[:, 1].max() for points in tyres)
    assert made.extents.stations[0] < x < made.extents.stations[1]


def test_the_file_names_both_ends() -> None:
    build = sample("long_van_two_piece")
    svg = sketch_bytes(build, solve(build), "svg").decode()
    assert "full bump 105 mm" in svg  # 80 to the stop, and 25 by which it squashes
    assert "full droop 80 mm" in svg
