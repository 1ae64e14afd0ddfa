"""The board on which a drawing is made: takes outlines, lines, circles, words and marks, and sorts them by depth."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Final, Literal

from app.drawing.fonts import PX_PER_PT, width
from app.drawing.items import Box, Disc, Item, Layer, Leader, Point, Shape, Stroke, Target, Words
from app.drawing.palette import Theme, mixed, verdict_shape
from app.drawing.places import Hung, Pair, View, arc, rounded
from app.lettering import printable
from geometry.words.solution import Part, Verdict

Align = Literal["left", "middle", "right"]
CENTRE_DASH: Final = (11.0, 3.0, 1.8, 3.0)
"""A centre line: ISO 128, from memory."""
FAINT_DASH: Final = (5.0, 3.0)


class Board:
    """Where items are collected, and what later stages ask: where words stand, what may be pressed."""

    def __init__(self, theme: Theme, k: float = 1.0) -> None:
        self.theme, self.k = theme, k
        self.layers: list[Layer] = []
        self.words: list[tuple[Box, str]] = []
        self.leaders: list[Leader] = []
        self.lower: list[Leader] = []
        self.targets: list[Target] = []
        self.pressable: list[tuple[Box | None, tuple[Target, ...]]] = []
        """By layers that are closed, with what each is cut off at."""
        self.bodies: list[tuple[Point, ...]] = []
        """Outlines that no word may lie on: the shaft's."""
        self.edges: list[tuple[Point, ...]] = []
        """Lines that a part's name keeps clear of, leaders among them."""
        self._bounds: list[Box] = []
        self._items: list[tuple[float, Item]] = []
        self._closed = (0, 0)
        """How many targets and bodies belong to layers that are closed."""

    def finish(self, box: Box | None = None) -> None:
        """Close a layer: what was drawn and may be pressed since the last one, cut off at a box."""
        targets, bodies = self._closed
        self.pressable.append((box, tuple(self.targets[targets:])))
        if box is not None:
            self.bodies[bodies:] = [one for one in (cut_off(body, box) for body in self.bodies[bodies:]) if one]
        self._closed = len(self.targets), len(self.bodies)
        self._items.sort(key=lambda one: one[0])
        self.layers.append(Layer(tuple([item for _, item in self._items]), box))
        self._items = []

    def tint(self, share: float) -> str:
        """So much ink on paper."""
        return mixed(self.theme.ink, self.theme.paper, share)

    def shade(self, share: float) -> str:
        """So much accent on paper."""
        return mixed(self.theme.accent, self.theme.paper, share)

    # ---- strokes

    def shape(
        self, points: Iterable[Point], fill: str = "", stroke: Stroke | None = None, *, z: float, closed: bool = True,
        opacity: float = 1.0,
    ) -> tuple[Point, ...]:  # fmt: skip
        """Draw an outline, or a line that is not closed; z is its depth, the greatest on top."""
        made = tuple(points)
        self._items.append((z, Shape(made, fill, stroke, closed, opacity)))
        return made

    def line(
        self, points: Iterable[Point], colour: str, thick: float = 1.0, *, z: float, dash: tuple[float, ...] = ()
    ) -> tuple[Point, ...]:
        """Draw a line."""
        return self.shape(points, "", Stroke(colour, thick, dash), z=z, closed=False)

    def disc(self, centre: Point, radius: float, fill: str = "", stroke: Stroke | None = None, *, z: float) -> None:
        """Draw a circle; words keep clear of a dashed one, as of a line."""
        if stroke is not None and stroke.dash:
            steps = 16 if radius < 40.0 else 96  # a corner of the outline lies within a third of a pixel of the circle
            self.edges.append(tuple((centre[0] + x, centre[1] + y) for x, y in arc(radius, 0.0, 360.0, steps)))
        self._items.append((z, Disc(centre, radius, fill, stroke)))

    def arrow(self, start: Point, tip: Point, colour: str, thick: float, *, z: float, head: float, half: float) -> None:
        """Draw a line with a solid head at its tip."""
        away = math.hypot(tip[0] - start[0], tip[1] - start[1]) or 1.0
        ux, uy = (tip[0] - start[0]) / away, (tip[1] - start[1]) / away
        neck = (tip[0] - ux * head, tip[1] - uy * head)
        self.line((start, neck), colour, thick, z=z)
        self.shape(
            (tip, (neck[0] - uy * half, neck[1] + ux * half), (neck[0] + uy * half, neck[1] - ux * half)), colour, z=z
        )

    # ---- parts, told in their own frames

    def part(
        self, view: View, hung: Hung, points: Sequence[Pair], share: float, *, z: float, thick: float = 1.0,
        round_mm: float = 0.0, fill: str = "", dash: tuple[float, ...] = (), edge: str = "",
    ) -> tuple[Point, ...]:  # fmt: skip
        """Draw a part of a silhouette, tinted with a share of ink; a dashed one is not filled unless told to be."""
        told = rounded(points, round_mm) if round_mm else points
        made = view.all_px(hung.all(told))
        self.edges.append((*made, made[0]))
        stroke = Stroke(edge or (self.theme.muted if dash else self.theme.ink), thick, dash)
        return self.shape(made, fill or ("" if dash else self.tint(share)), stroke, z=z)

    def seam(self, view: View, hung: Hung, one: Pair, two: Pair, share: float, *, z: float, thick: float = 0.8) -> None:
        """Draw a line within a silhouette."""
        made = view.all_px(hung.all((one, two)))
        if share > 0.3:
            self.edges.append(made)
        self.line(made, self.tint(share), thick, z=z)

    def target(self, part: Part, outline: Iterable[Point], *, finding: str = "", obstacle: int | None = None) -> None:
        """Let a place on the page be pressed; later ones lie over earlier ones."""
        self.targets.append(Target(part, tuple(outline), finding, obstacle))

    # ---- words

    def box_of(self, x: float, base: float, text: str, pt: float, *, bold: bool = False, align: Align = "left") -> Box:
        """The box that words take."""
        wide, high = width(text, pt, bold=bold), pt * PX_PER_PT
        left = x if align == "left" else x - wide / 2.0 if align == "middle" else x - wide
        return left, base - 0.76 * high, left + wide, base + 0.22 * high

    def write(
        self, x: float, base: float, text: str, pt: float, colour: str, *, bold: bool = False, align: Align = "left",
        z: float = 20.0,
    ) -> float:  # fmt: skip
        """Write words and return where they end; a letter that the font lacks is left to a sign."""
        text = printable(text)
        box = self.box_of(x, base, text, pt, bold=bold, align=align)
        self.words.append((box, text))
        self._items.append((z, Words(box[0], base, text, pt, colour, bold)))
        return box[2]

    def mark(self, x: float, y: float, size: float, verdict: Verdict, *, z: float = 21.0) -> None:
        """Draw a verdict's shape about a point."""
        colour = self.theme.colour(verdict)
        outline = verdict_shape(verdict)
        if outline:
            self.shape([(x + size * across, y + size * down) for across, down in outline], colour, z=z)
        elif verdict == "clear":
            self.disc((x, y), 0.85 * size, colour, z=z)
        else:
            self.disc((x, y), 0.8 * size, "", Stroke(colour, 1.4), z=z)

    def is_free(self, box: Box, pad: float, aside: float = 0.0) -> bool:
        """Whether words would stand clear of words, lines and the shaft there, of words beside them by `aside` more."""
        left, top, right, bottom = box[0] - pad, box[1] - pad, box[2] + pad, box[3] + pad
        if any(left - aside < b[2] and b[0] < right + aside and top < b[3] and b[1] < bottom for b, _ in self.words):
            return False
        padded = (left, top, right, bottom)
        for one in self.edges[len(self._bounds) :]:
            self._bounds.append(_bounds(one))
        for line, (x0, y0, x1, y1) in zip(self.edges, self._bounds, strict=True):
            if left <= x1 and x0 <= right and top <= y1 and y0 <= bottom and meets(line, padded):
                return False
        return not any(overlaps(body, padded) for body in self.bodies)


def _bounds(points: Sequence[Point]) -> Box:
    """The box about a line."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def meets(line: Sequence[Point], box: Box) -> bool:
    """Whether a line of several corners meets a box: no stretch that does has the box wholly on one side.

    >>> meets(((0.0, 0.0), (9.0, 9.0)), (4.0, 1.0, 6.0, 3.0)), meets(((0.0, 0.0), (9.0, 9.0)), (4.0, 1.0, 6.0, 4.5))
    (False, True)
    """
    left, top, right, bottom = box
    ax, ay = line[0]
    for bx, by in line[1:]:
        beside = (ax < left and bx < left) or (ax > right and bx > right)
        if not (beside or (ay < top and by < top) or (ay > bottom and by > bottom)):
            dx, dy = bx - ax, by - ay
            sides = [dx * (y - ay) - dy * (x - ax) for x in (left, right) for y in (top, bottom)]
            if min(sides) <= 0.0 <= max(sides):
                return True
        ax, ay = bx, by
    return False


def cut_off(outline: tuple[Point, ...], box: Box) -> tuple[Point, ...]:
    """The part of an outline that lies in a box; empty where none does.

    Source: cutting a polygon at each side of a convex one in turn (Sutherland and Hodgman, from memory).

    >>> cut_off(((0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0)), (1.0, -1.0, 3.0, 5.0))
    ((1.0, 0.0), (3.0, 0.0), (3.0, 2.0), (1.0, 2.0))
    """
    left, top, right, bottom = _bounds(outline)
    if left > box[2] or right < box[0] or top > box[3] or bottom < box[1]:
        return ()
    for axis, edge, way, over in (
        (0, box[0], 1.0, left < box[0]), (0, box[2], -1.0, right > box[2]),
        (1, box[1], 1.0, top < box[1]), (1, box[3], -1.0, bottom > box[3]),
    ):  # fmt: skip
        if not over:
            continue
        kept: list[Point] = []
        for before, here in zip((outline[-1], *outline[:-1]), outline, strict=True):
            was, now = way * (before[axis] - edge), way * (here[axis] - edge)
            if was * now < 0.0:
                share = was / (was - now)
                (ax, ay), (bx, by) = before, here
                kept.append((ax + (bx - ax) * share, ay + (by - ay) * share))
            if now >= 0.0:
                kept.append(here)
        outline = tuple(kept)
        if not outline:
            return ()
    return outline


def inside(point: Point, outline: Sequence[Point]) -> bool:
    """Whether a point lies within an outline."""
    x, y = point
    within = False
    for (ax, ay), (bx, by) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
            within = not within
    return within


def overlaps(outline: Sequence[Point], box: Box) -> bool:
    """Whether an outline and a box share any place."""
    return meets((*outline, outline[0]), box) or inside((box[0], box[1]), outline)
