"""One page: a scene through a camera with its words placed, in page pixels; painters only paint it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np

from app.sketch.callouts import carried, place, stands_well
from app.sketch.camera import POINT_PX, SIZES_PT, Camera, Rect
from app.sketch.grid import Grid, Words, grid_of
from app.sketch.occupancy import Occupancy
from app.sketch.placed import Item, Placed
from app.sketch.primitives import VIEWS, Floats, Label, Row, Scene, Stroke, View
from app.sketch.words import row_variants
from geometry.words.solution import Verdict


class Measure(Protocol):
    """What a painter tells of its font."""

    def __call__(self, text: str, size_px: float, *, bold: bool) -> float:
        """Width in page pixels of words at a letter size in page pixels."""


_ROW = 1.3  # of the letter size
_SHAPE_ROOM = 1.15  # of the letter size, before words with a verdict's shape
_NEVER_IN_THE_WAY = frozenset({"selected", "joint_mark", "grid"})
# Words rather lie over a thin line than over these.
_FIRM = frozenset({"outline", "spring", "pivot", "middle", "obstacle"})
_LEAST_VIEW_ROWS = 5.0  # a lower view has no room for its caption beside the shaft
_UNMEASURED = (0.0, 0.0)
_FRAME_PX = 5.0  # kept free along the edges of a view
_REACH_PX = 4.0  # how far paper and dots reach beyond words and leaders


@dataclass(frozen=True, slots=True)
class Shape:
    """One verdict's shape."""

    x: float
    y: float
    half_px: float
    verdict: Verdict


@dataclass(frozen=True)
class Callout:
    """One label that found its place, with what a click on it means.

    A leader whose end is not `on_page` runs to the edge behind which its point lies.
    """

    label: Label
    placed: Placed
    box: Rect
    words: tuple[Words, ...]
    shapes: tuple[Shape, ...]
    findings: tuple[tuple[Rect, str, str], ...]
    on_page: bool

    @cached_property
    def reach(self) -> Rect:
        """Box round all that is painted of it."""
        box, leader = self.box, self.placed.leader
        x0, y0, x1, y1 = leader or (box.left, box.top, box.right, box.bottom)
        around = Rect(
            min(box.left, x0, x1), min(box.top, y0, y1), max(box.right, x0, x1), max(box.bottom, y0, y1)
        )  # fmt: skip
        return around.inset(-_REACH_PX)

    def looks_like(self, other: Callout) -> bool:
        """Whether the same is painted of both."""
        return (
            self.placed == other.placed
            and self.words == other.words
            and self.shapes == other.shapes
            and self.label.colour == other.label.colour
            and self.on_page == other.on_page
        )

    def grounds(self, measure: Measure) -> Iterator[tuple[float, float, float, float]]:
        """Paper to clear under each row of words: left, top, width, height; no wider than the row."""
        for row in self.words:
            right = row.x + measure(row.text, row.size_px, bold=row.bold)
            left = self.box.left - 2.0
            yield left, row.baseline - (0.86 + 0.5 * (_ROW - 1.0)) * row.size_px, right + 3.0 - left, _ROW * row.size_px


@dataclass(frozen=True, slots=True, eq=False)
class Page:
    """All that is painted over the strokes, the places to give to the next page as `previous`, and the labels that
    found none.
    """

    camera: Camera
    callouts: tuple[Callout, ...]
    fixed: tuple[Words, ...]
    quiet: tuple[tuple[float, float, float, float], ...]
    grid: Grid
    places: Mapping[str, Placed]
    left_out: frozenset[str]


Find = Callable[[View, list[Item], list[Rect]], dict[str, Placed] | None]
"""Places for the words of a view round the boxes of its captions, by their keys; or None to give the page up."""


def laid_out(
    scene: Scene,
    camera: Camera,
    measure: Measure,
    *,
    grid: Grid | None = None,
    previous: Mapping[str, Placed] | None = None,
) -> Page:
    """Place every word of a scene on a page; a `grid` of the same camera saves making it anew."""

    def find(view: View, items: list[Item], boxes: list[Rect]) -> dict[str, Placed]:
        return place(items, _taken(scene, camera, view, boxes, items), previous)

    page = _page(scene, camera, measure, grid, find, {})
    assert page is not None  # noqa: S101  a page that places its words anew is never given up
    return page


def carried_over(
    scene: Scene,
    camera: Camera,
    measure: Measure,
    previous: Mapping[str, Placed],
    *,
    grid: Grid | None = None,
    left_out: Collection[str] | None = None,
) -> Page | None:
    """Page whose words stand where they stood in `previous` while their leaders follow; new ones wait for `laid_out`.

    Where it is given which labels were `left_out` before, None if another one would be left out too, or if words would
    stand badly.
    """

    def find(view: View, items: list[Item], boxes: list[Rect]) -> dict[str, Placed] | None:
        del boxes
        found = carried(items, previous)
        if left_out is None:
            return found
        wanted = [item for item in items if item.kept or item.key not in left_out]
        frame = (camera.box(view) or camera.side).inset(_FRAME_PX)
        return found if stands_well(wanted, found, frame) else None

    return _page(scene, camera, measure, grid, find, previous)


def _page(
    scene: Scene, camera: Camera, measure: Measure, grid: Grid | None, find: Find, stood: Mapping[str, Placed]
) -> Page | None:
    grid = grid or grid_of(camera, inches=scene.inches)
    fixed, boxes = _fixed_words(scene, camera, measure)
    places: dict[str, Placed] = {}
    callouts: list[Callout] = []
    for view in VIEWS:
        frame = camera.box(view)
        labels = [label for label in scene.labels if label.view == view]
        if frame is None or not labels:
            continue
        if frame.height < 3.0 * SIZES_PT["label"] * POINT_PX * camera.words:
            labels = [label for label in labels if label.kept]
        items = _items(labels, camera, view, measure, stood)
        found = find(view, items, [box for where, box in boxes if where == view])
        if found is None:
            return None
        places |= found
        callouts += [_callout(label, found[label.key], camera) for label in labels if label.key in found]
    left_out = frozenset(label.key for label in scene.labels if label.key not in places)
    return Page(camera, tuple(callouts), tuple(fixed) + grid.words, _quiet(boxes), grid, places, left_out)


def letter_px(label: Label, camera: Camera) -> float:
    """Letter size of a label on a page."""
    return SIZES_PT[label.size] * POINT_PX * camera.words


def row_px(row: Row, label_px: float, camera: Camera) -> float:
    """Letter size of one row of a label that has that letter size."""
    return min(label_px, SIZES_PT["label"] * POINT_PX * camera.words) if row.small else label_px


def _items(
    labels: list[Label], camera: Camera, view: View, measure: Measure, stood: Mapping[str, Placed]
) -> list[Item]:
    """What there is to place; of words that `stood` somewhere only the size that they had is measured."""
    items = []
    frame = (camera.box(view) or camera.side).inset(_FRAME_PX)
    for label in labels:
        px = letter_px(label, camera)
        sizes, edges = [], []
        before = stood.get(label.key)
        variants = row_variants(label.rows)
        for number, variant in enumerate(variants):
            if before is not None and number != before.size:
                sizes.append(_UNMEASURED)
                edges.append(_UNMEASURED)
                continue
            heights = [row_px(row, px, camera) for row in variant]
            widths = [
                measure(row.text, high, bold=_bold(label, row)) + (_SHAPE_ROOM * high if row.verdict else 0.0)
                for row, high in zip(variant, heights, strict=True)
            ]
            sizes.append((max(widths) + 2.0, _ROW * sum(heights)))
            edges.append((widths[0] + 2.0, widths[-1] + 2.0))
        anchors = [camera.point_px(view, *at) for at in label.anchors]
        inside = [at for at in anchors if frame.holds(*at)]
        if label.anchors and not inside:
            if not label.kept:
                continue
            x, y = anchors[0]
            inside = [(min(max(x, frame.left), frame.right), min(max(y, frame.top), frame.bottom))]
        towards = tuple((dx, -up) for dx, up in label.towards)
        places = tuple(inside) or ((frame.right, frame.top),)
        items.append(
            Item(
                label.key,
                tuple(sizes),
                places,
                towards,
                label.rank,
                label.kept,
                bool(label.anchors),
                0,
                tuple(edges),
                spare=int(len(variants) > 2),
            )
        )
    return items


def _taken(scene: Scene, camera: Camera, view: View, boxes: list[Rect], items: list[Item]) -> Occupancy:
    taken = Occupancy((camera.box(view) or camera.side).inset(_FRAME_PX))
    shown = [one for one in scene.strokes if one.view == view and one.role not in _NEVER_IN_THE_WAY]
    hard = [one for one in shown if one.hard]
    for stroke in hard:
        if stroke.role in {"joint", "ground_fill"}:  # small or upright: their boxes will do
            (left, low), (right, high) = stroke.points.min(axis=0), stroke.points.max(axis=0)
            corners = camera.to_px(view, np.array(((left, high), (right, low)))).ravel().tolist()
            taken.add_box(Rect(*corners))
        elif stroke.closed:
            taken.add_polygon(camera.to_px(view, stroke.points))
    firm = [one for one in shown if not one.hard and one.role in _FIRM]
    soft = [one for one in shown if not one.hard and one.role not in _FIRM]
    for strokes, weight in ((soft, 1), (firm, 3), (hard, 0)):
        if strokes:
            starts, ends = _segments(strokes)
            taken.add_segments(camera.to_px(view, starts), camera.to_px(view, ends), weight=weight)
    points = [item.anchors[0] for item in items if len(item.anchors) == 1]
    for box in (*boxes, *(Rect(x - 2.0, y - 2.0, x + 2.0, y + 2.0) for x, y in points)):
        taken.add_box(box)
    return taken


def _segments(strokes: list[Stroke]) -> tuple[Floats, Floats]:
    """Both ends of all segments of some strokes, mm, (n, 2) each."""
    starts, ends = [], []
    for stroke in strokes:
        points = stroke.points
        starts.append(points if stroke.closed else points[:-1])
        ends.append(points[1:])
        if stroke.closed:
            ends.append(points[:1])
    return np.concatenate(starts), np.concatenate(ends)


def _bold(label: Label, row: Row) -> bool:
    """Whether a row is written bold: all of a bold label but the one that counts what is left over."""
    return label.bold and not (row.finding and row.verdict is None)


def _callout(label: Label, placed: Placed, camera: Camera) -> Callout:
    words, shapes, findings = [], [], []
    on_page = False
    if placed.leader is not None:
        left, top = placed.leader[:2]
        anchors = (camera.point_px(label.view, *at) for at in label.anchors)
        on_page = any(abs(x - left) < 0.5 and abs(y - top) < 0.5 for x, y in anchors)
    top = placed.top
    for row in row_variants(label.rows)[placed.size]:
        px = row_px(row, letter_px(label, camera), camera)
        baseline = top + 0.5 * (_ROW - 1.0) * px + 0.86 * px
        x = placed.left + 1.0
        colour = label.colour
        if row.verdict is not None:
            shapes.append(Shape(x + 0.42 * px, baseline - 0.36 * px, 0.42 * px, row.verdict))
            x += _SHAPE_ROOM * px
            colour = row.verdict
        elif row.finding:
            colour = "muted"
        words.append(Words(x, baseline, row.text, px, _bold(label, row), colour))
        if row.finding:
            findings.append(
                (Rect(placed.left, top, placed.left + placed.width, top + _ROW * px), row.finding, row.part)
            )
        top += _ROW * px
    return Callout(label, placed, placed.box, tuple(words), tuple(shapes), tuple(findings), on_page)


def _fixed_words(scene: Scene, camera: Camera, measure: Measure) -> tuple[list[Words], list[tuple[View, Rect]]]:
    """Captions of the views and the hint what to measure next, in the corners; boxes that callouts keep clear of."""
    px = SIZES_PT["axis"] * POINT_PX * camera.words
    if scene.kind == "empty":
        return _nothing_yet(scene, camera), []
    words: list[Words] = []
    boxes: list[tuple[View, Rect]] = []
    right_edge = camera.side.left
    for view in VIEWS:
        box, caption = camera.box(view), scene.captions[view]
        if box is None or not caption or box.height < _LEAST_VIEW_ROWS * px:
            continue
        x, baseline = box.left + 8.0, box.top + 1.35 * px
        words.append(Words(x, baseline, caption, px))
        width = measure(caption, px, bold=False)
        boxes.append((view, Rect(x, box.top, x + width, baseline + 0.4 * px)))
        if view == "side":
            right_edge = x + width
            if scene.state:
                label_px = SIZES_PT["label"] * POINT_PX * camera.words
                words.append(Words(x, baseline + 1.45 * label_px, scene.state, label_px, bold=True, colour="ink"))
                width = measure(scene.state, label_px, bold=True)
                boxes.append((view, Rect(x, baseline, x + width, baseline + 1.9 * label_px)))
    if scene.hint:
        box = camera.side
        width = measure(scene.hint, px, bold=False)
        if box.right - 8.0 - width > right_edge + 20.0:
            baseline = box.top + 1.35 * px
            words.append(Words(box.right - 8.0, baseline, scene.hint, px, align="right"))
            boxes.append(("side", Rect(box.right - 8.0 - width, box.top, box.right, baseline + 0.4 * px)))
    return words, boxes


def _quiet(boxes: list[tuple[View, Rect]]) -> tuple[tuple[float, float, float, float], ...]:
    """Boxes of captions, left, top, right, bottom: painters clear the strokes under them."""
    return tuple((box.left - 3.0, box.top + 1.0, box.right + 3.0, box.bottom) for _, box in boxes)


def _nothing_yet(scene: Scene, camera: Camera) -> list[Words]:
    x, y = 0.5 * camera.width, 0.46 * camera.height
    big, small = (SIZES_PT[size] * POINT_PX * camera.words for size in ("big", "label"))
    return [
        Words(x, y, "nothing to draw yet", big, align="centre"),
        Words(x, y + 1.9 * small, scene.hint, small, align="centre"),
    ]
