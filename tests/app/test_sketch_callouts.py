"""Words on a page: none over another, none over the shaft, leaders apart, flags always there; checked with shapely."""

from collections.abc import Iterable
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from app.sketch.callouts import place
from app.sketch.camera import Rect, fitted
from app.sketch.crossings import cut_boxes, cuts_box, line_crosses, lines_cross
from app.sketch.figure import measure
from app.sketch.layout import Callout, Page, laid_out
from app.sketch.occupancy import Occupancy
from app.sketch.placed import Item, Placed
from app.sketch.primitives import Scene
from app.sketch.scene import scene
from shapely.geometry import LineString, Polygon, box

from geometry import Build, edited, solve

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"


def sample(name: str) -> Build:
    return Build.model_validate_json((SAMPLES / f"{name}.json").read_bytes())


def truck(**changes: object) -> Build:
    return edited(sample("ranch_truck_swap"), {path.replace("__", "."): value for path, value in changes.items()})


BUILDS = {
    **{path.stem: sample(path.stem) for path in sorted(SAMPLES.glob("*.json"))},
    "short": truck(powertrain__output_joint_mm=(2450.0, -35.0, 560.0)),
    "steep": truck(powertrain__output_joint_mm=(2100.0, -35.0, 860.0), powertrain__slope_deg=8.0),
    "straight": truck(
        powertrain__output_joint_mm=(1632.0, 15.0, 415.0), powertrain__slope_deg=0.2, axle__pinion_slope_deg=0.1
    ),
    "unequal perches": truck(axle__flange_to_perch_left_mm=220.0),
    "millimetres": truck(display__length="millimetre", display__torque="newton_metre"),
}


def page_of(build: Build, size: tuple[float, float], words: float = 1.0) -> tuple[Scene, Page]:
    made = scene(build, solve(build))
    return made, laid_out(made, fitted(made, *size, words=words), measure)


def area(rect: Rect, grow: float = 0.0) -> Polygon:
    polygon: Polygon = box(rect.left - grow, rect.top - grow, rect.right + grow, rect.bottom + grow)
    return polygon


def leaders(callouts: Iterable[Callout]) -> list[tuple[str, LineString]]:
    found = []
    for one in callouts:
        if one.placed.leader is not None:
            x0, y0, x1, y1 = one.placed.leader
            found.append((one.label.key, LineString([(x0, y0), (x1, y1)])))
    return found


@pytest.mark.parametrize("size", [(1400.0, 900.0), (1100.0, 700.0)])
@pytest.mark.parametrize("name", BUILDS)
def test_words_keep_clear_of_each_other_the_shaft_and_the_edge(name: str, size: tuple[float, float]) -> None:
    made, page = page_of(BUILDS[name], size)
    assert page.callouts
    camera = page.camera
    for one, other in combinations(page.callouts, 2):
        assert not area(one.box).intersects(area(other.box)), (one.label.text, other.label.text)
    for one in page.callouts:
        frame = camera.box(one.label.view)
        assert frame is not None
        assert area(frame).contains(area(one.box)), one.label.text
    for stroke in made.strokes:
        if stroke.role == "shaft" or (stroke.role == "joint" and stroke.closed):
            outline = Polygon(camera.to_px(stroke.view, stroke.points))
            for one in page.callouts:
                if one.label.view == stroke.view:
                    assert not outline.intersects(area(one.box)), (one.label.text, stroke.key)


@pytest.mark.parametrize("size", [(1400.0, 900.0), (1100.0, 700.0), (700.0, 420.0)])
@pytest.mark.parametrize("name", BUILDS)
def test_leaders_cross_neither_each_other_nor_words(name: str, size: tuple[float, float]) -> None:
    _, page = page_of(BUILDS[name], size)
    lines = leaders(page.callouts)
    for (one, line), (other, second) in combinations(lines, 2):
        assert not line.intersects(second), (one, other)
    for key, line in lines:
        for callout in page.callouts:
            if callout.label.key != key:
                assert not line.intersects(area(callout.box)), (key, callout.label.text)


@pytest.mark.parametrize("size", [(1400.0, 900.0), (1100.0, 700.0), (700.0, 420.0)])
@pytest.mark.parametrize("name", BUILDS)
def test_a_leader_from_above_or_below_ends_at_words(name: str, size: tuple[float, float]) -> None:
    """Rows differ in length, and the end of a leader beside a short one would hang in the air."""
    _, page = page_of(BUILDS[name], size)
    for one in page.callouts:
        if one.placed.leader is None:
            continue
        x, y = one.placed.leader[2:]
        row = one.words[0] if y < one.box.top else one.words[-1]
        if not one.box.top <= y <= one.box.bottom:
            assert one.box.left <= x <= row.x + measure(row.text, row.size_px, bold=row.bold) + 3.0


@pytest.mark.parametrize("name", BUILDS)
def test_words_do_not_overlap_even_where_there_is_little_room(name: str) -> None:
    _, page = page_of(BUILDS[name], (700.0, 420.0))
    for one, other in combinations(page.callouts, 2):
        assert not area(one.box).intersects(area(other.box)), (one.label.text, other.label.text)


@pytest.mark.parametrize("size", [(1400.0, 900.0), (700.0, 420.0), (520.0, 300.0)])
@pytest.mark.parametrize("name", BUILDS)
def test_flags_and_operating_angles_are_never_dropped(name: str, size: tuple[float, float]) -> None:
    made, page = page_of(BUILDS[name], size)
    there = {one.label.key for one in page.callouts}
    assert {one.key for one in made.labels if one.kept} <= there
    shown = [finding for one in page.callouts for _, finding, _ in one.findings]
    solution = solve(BUILDS[name])
    parts = {one.part for one in solution.findings if one.verdict in {"hold", "caution"}}
    assert bool(parts) == bool(shown)


def test_a_flag_tells_verdict_value_and_limit() -> None:
    made = scene(BUILDS["lifted_short_shaft"], solve(BUILDS["lifted_short_shaft"]))
    flag = next(one for one in made.labels if one.key == "flag shaft")
    assert flag.rows[0].verdict == "hold"
    assert flag.rows[0].text.startswith("HOLD shaft turns unevenly")
    assert flag.rows[0].text.endswith("rad/s², at most 1,000")
    assert flag.rows[-1].text.endswith("more in the list")


def test_the_least_important_words_yield_first() -> None:
    dropped = set()
    for width in (1400.0, 1000.0, 800.0, 640.0, 520.0, 440.0):
        made, page = page_of(BUILDS["steep"], (width, 0.58 * width))
        there = {one.label.key for one in page.callouts}
        dropped |= {one.rank for one in made.labels if one.key not in there}
    assert dropped
    assert min(dropped) >= 10  # ranks below are flags and angles


def test_placing_again_gives_the_same_page() -> None:
    one, other = (page_of(BUILDS["ranch_truck_swap"], (1400.0, 900.0))[1] for _ in range(2))
    assert one.places == other.places


def test_words_stand_still_while_the_shaft_moves_a_little() -> None:
    build = BUILDS["ranch_truck_swap"]
    made = scene(build, solve(build))
    camera = fitted(made, 1400.0, 900.0)
    page = laid_out(made, camera, measure)
    start = page.places
    for step in range(1, 11):
        moved = edited(build, {"axle.pinion_slope_deg": 3.2 + 0.002 * step})
        page = laid_out(scene(moved, solve(moved)), camera, measure, previous=page.places)
    still = [key for key in start if key in page.places and page.places[key].top == start[key].top]
    assert len(still) >= len(start) - 1


FRAME = Rect(0.0, 0.0, 400.0, 300.0)


def item(key: str, x: float, y: float, *, rank: int = 5, kept: bool = False) -> Item:
    return Item(key, ((90.0, 16.0),), ((x, y),), ((0.0, -1.0),), rank, kept=kept)


def test_words_go_where_they_would_when_nothing_is_in_the_way() -> None:
    placed = place([item("a", 200.0, 150.0)], Occupancy(FRAME))["a"]
    assert placed.top + placed.height < 150.0
    assert placed.left + 45.0 == pytest.approx(200.0)


def test_words_leave_a_hard_area_and_cover_no_line_where_they_can() -> None:
    taken = Occupancy(FRAME)
    wall = np.array([[100.0, 60.0], [300.0, 60.0], [300.0, 140.0], [100.0, 140.0]])
    taken.add_polygon(wall)
    rail = np.array([[0.0, 190.0]]), np.array([[400.0, 190.0]])
    taken.add_segments(*rail, weight=1)
    placed = place([item("a", 200.0, 150.0)], taken)["a"]
    assert not area(placed.box).intersects(Polygon(wall))
    assert not area(placed.box).intersects(LineString([(0.0, 190.0), (400.0, 190.0)]))


def test_the_more_important_words_choose_first() -> None:
    placed = place([item("late", 200.0, 150.0, rank=9), item("early", 200.0, 150.0, rank=1)], Occupancy(FRAME))
    alone = place([item("early", 200.0, 150.0)], Occupancy(FRAME))
    assert placed["early"].box == alone["early"].box


def test_words_that_must_stay_find_a_place_even_on_a_covered_page() -> None:
    taken = Occupancy(FRAME)
    taken.add_box(FRAME)
    placed = place([item("kept", 200.0, 150.0, kept=True), item("other", 50.0, 50.0)], taken)
    assert set(placed) == {"kept"}
    assert not placed["kept"].clear


def test_a_place_that_is_taken_meanwhile_is_given_up() -> None:
    first = place([item("a", 200.0, 150.0)], Occupancy(FRAME))
    taken = Occupancy(FRAME)
    taken.add_box(first["a"].box)
    again = place([item("a", 200.0, 150.0)], taken, first)
    assert not area(again["a"].box).intersects(area(first["a"].box, -1.0))


def test_twenty_five_words_round_a_shaft_all_fit_without_a_crossing() -> None:
    taken = Occupancy(Rect(0.0, 0.0, 1400.0, 900.0))
    items = [item(str(i), 150.0 + 45.0 * i, 300.0 + 8.0 * i + (40.0 if i % 2 else 0.0), kept=True) for i in range(25)]
    placed: dict[str, Placed] = place(items, taken)
    assert len(placed) == 25
    lines = [LineString([one.leader[:2], one.leader[2:]]) for one in placed.values() if one.leader is not None]
    assert not any(one.intersects(other) for one, other in combinations(lines, 2))
    assert not any(area(a.box).intersects(area(b.box)) for a, b in combinations(placed.values(), 2))


def test_occupancy_counts_the_cells_under_a_box() -> None:
    taken = Occupancy(FRAME)
    taken.add_segments(np.array([[0.0, 100.0]]), np.array([[400.0, 100.0]]), weight=3)
    _, over = taken.covered(np.array([60.0, 60.0]), np.array([90.0, 200.0]), 60.0, 20.0)
    # 60 px are 10 cells of 6 px, and the one that the right edge touches.
    assert over.tolist() == [3 * 11, 0]


def test_many_lines_at_once_cut_what_each_of_them_cuts() -> None:
    rng = np.random.default_rng(3)
    lines = rng.integers(0, 12, (60, 4)).astype(
        float
    )  # on a coarse grid, so that many touch, stand upright or are points
    corners = rng.integers(0, 12, (40, 2, 2)).astype(float)
    boxes = np.concatenate((corners.min(axis=1), corners.max(axis=1)), axis=1)
    crossed = lines_cross(lines[:, None], lines[None])
    cut = cut_boxes(lines[:, None], boxes[None])
    for i, line in enumerate(lines.tolist()):
        assert crossed[i].tolist() == [line_crosses(tuple(line), tuple(other)) for other in lines.tolist()]
        assert cut[i].tolist() == [cuts_box(tuple(line), *each) for each in boxes.tolist()]
        for number, each in enumerate(corners):
            upright = box(*each.min(axis=0), *each.max(axis=0))
            assert cut[i, number] == LineString([line[:2], line[2:]]).intersects(upright)
