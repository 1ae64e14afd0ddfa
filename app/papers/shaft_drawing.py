"""The shaft as it is ordered: both ends in true proportion, the tube cut by a break, and each end seen along the shaft.

What is not known of a mating part is dashed, with a question mark.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from app.drawing.board import CENTRE_DASH, Board
from app.drawing.items import Box, Point, Stroke
from app.drawing.places import Pair, View, boxed
from app.drawing.shaft import ShaftPainter
from app.drawing.subject import JointType
from app.papers.kit import INK, MUTED, hair, lead, marked
from app.sheet.flow import PAPER, SMALL_PT

MateType = Literal["flange", "straps", "u_bolts", "clips", "spline", "joint"]
"""What the shaft goes to; `joint` is the next section's yoke."""
_CUT, _CROSS, _MATE = 34.0, 27.0, 128.0
"""Width of the break, radius of a cross, and reach of a mating part, mm."""
_WELD: Final = 62.0
"""From a joint's centre to the tube that its yoke is welded to, mm."""
_TUBE_MM, _STROKE_MM, _ENGAGED_MM = 76.0, 110.0, 65.0
"""For the picture where they are not entered."""


@dataclass(frozen=True)
class Drawn:
    """What is drawn of a section, front end first: joints, what they go to, tube, and slip with the end it sits at.

    `bearing` tells which end the support bearing is at, and `told` are the words of engagement and length.
    """

    joints: tuple[JointType, JointType]
    mates: tuple[MateType | None, MateType | None]
    tube_mm: float | None
    slip_at: int | None
    stroke_mm: float | None
    engaged_mm: float | None
    bearing: int | None
    told: tuple[str, str, str]
    """Engaged, joint centre to joint centre, and the same in the other unit."""
    tube_words: str


class ShaftDrawing:
    """Draws a section between two ends in a box."""

    def __init__(self, board: Board, box: Box, drawn: Drawn) -> None:
        self.board, self.box, self.drawn = board, box, drawn
        self.half = (drawn.tube_mm or _TUBE_MM) / 2.0
        self.stroke = drawn.stroke_mm or _STROKE_MM
        self.engaged = min(drawn.engaged_mm or min(_ENGAGED_MM, self.stroke), self.stroke)
        lengths = [self._end_length(end) for end in (0, 1)]
        self.long = sum(lengths) + _CUT
        over = max(self.half, 50.0)  # a flange is wider than a thin tube
        self.cut = (lengths[0], lengths[0] + _CUT)
        scale = min((box[2] - box[0]) / (self.long + 2.0 * _MATE + 8.0), (box[3] - box[1] - 94.0) / (self.half + over))
        middle = box[1] + 30.0 + over * scale
        spare = (box[2] - box[0]) / scale - self.long
        self.view = View(box, scale, -spare / 2.0, (middle - box[1]) / scale)
        self.middle = middle
        self.painter = ShaftPainter(board, self.view, _CROSS)

    def _end_length(self, end: int) -> float:
        if self.drawn.slip_at != end:
            return 165.0
        return _WELD + self._sleeve + self._bare + 16.0 + 105.0

    @property
    def _sleeve(self) -> float:
        return self.stroke + 34.0

    @property
    def _bare(self) -> float:
        return self.stroke - self.engaged + 14.0

    def draw(self) -> tuple[Point, Point]:
        """Draw it with its dimensions; return the page points of the two joints."""
        for end in (0, 1):
            self._end(end)
        self._tube()
        for end in (0, 1):
            joint = (self._at(end, 0.0), 0.0)
            self.painter.joint(joint, (1.0, 0.0), self.drawn.joints[end])
        self._centre_line()
        return self._dimensions()

    # ---- a frame for each end: along from its joint into the shaft

    def _at(self, end: int, t: float) -> float:
        return t if end == 0 else self.long - t

    def _shape(self, end: int, points: Sequence[Pair], fill: str, *, z: float, thick: float = 1.6, edge: str = "",
               dash: tuple[float, ...] = ()) -> None:  # fmt: skip
        made = self.view.all_px([(self._at(end, t), w) for t, w in points])
        self.board.shape(made, fill, Stroke(edge or PAPER.accent, thick, dash), z=z)
        self.board.edges.append((*made, made[0]))

    def _round(self, end: int, first: float, last: float, half: float, *, z: float) -> None:
        """A tube with light and shade."""
        board = self.board
        for top, bottom, share in ((1.0, -1.0, 0.30), (0.80, 0.34, 0.12), (-0.36, -0.97, 0.50)):
            band = [(first, top * half), (last, top * half), (last, bottom * half), (first, bottom * half)]
            board.shape(self.view.all_px([(self._at(end, t), w) for t, w in band]), board.shade(share), None, z=z)
        self._shape(end, [(first, half), (last, half), (last, -half), (first, -half)], "", z=z + 0.01, thick=1.8)

    def _end(self, end: int) -> None:
        r, board, yoke = _CROSS, self.board, self.board.shade(0.52)
        self._mate(end)
        near = 2.1 * r if self.drawn.joints[end] == "double_cardan" else 0.0
        ears = [
            (near / 2 + 0.1 * r, r),
            (near / 2 + 0.9 * r, 1.02 * r),
            (near / 2 + 1.7 * r, 24.0),
            (_WELD + 2.0, 24.0),
        ]
        self._shape(end, [*ears, *[(t, -w) for t, w in reversed(ears)]], yoke, z=7.0)
        if self.drawn.slip_at == end:
            self._slip(end)
            return
        cone = [(_WELD - 4.0, 24.0), (_WELD + 12.0, self.half), (_WELD + 12.0, -self.half), (_WELD - 4.0, -24.0)]
        self._shape(end, cone, board.shade(0.30), z=7.05)
        self._weld(end, _WELD + 18.0)
        if self.drawn.bearing == end:
            self._bearing(end)

    def _weld(self, end: int, at: float) -> None:
        line = self.view.all_px([(self._at(end, at), w) for w in (self.half, -self.half)])
        self.board.line(line, PAPER.accent, 1.3, z=7.3)

    def _slip(self, end: int) -> None:
        """Sleeve, the spline in it dashed, the bare spline, and paint marks on both halves."""
        board, half = self.board, self.half
        first, last, wide, spline = _WELD, _WELD + self._sleeve, 0.66 * half + 4.0, 0.40 * half
        bare = last + self._bare
        self._round(end, first, last, wide, z=7.15)
        lip = [(last - 14.0, wide + 3.0), (last, wide + 3.0), (last, -wide - 3.0), (last - 14.0, -wide - 3.0)]
        self._shape(end, lip, board.shade(0.50), z=7.2, thick=1.4)
        inside = last - self.engaged
        for line in (
            ((inside, spline), (last, spline)),
            ((inside, -spline), (last, -spline)),
            ((inside, spline), (inside, -spline)),
        ):
            board.line(
                self.view.all_px([(self._at(end, t), w) for t, w in line]), PAPER.accent, 1.1, z=7.6, dash=(4.0, 2.6)
            )
        self._shape(
            end,
            [(last, spline), (bare, spline), (bare, -spline), (last, -spline)],
            board.shade(0.16),
            z=7.05,
            thick=1.4,
        )
        for share in (-0.6, -0.2, 0.2, 0.6):
            groove = self.view.all_px([(self._at(end, t), share * spline) for t in (last, bare - 6.0)])
            board.line(groove, board.shade(0.6), 0.8, z=7.07)
        cone = [(bare, spline), (bare + 16.0, half), (bare + 16.0, -half), (bare, -spline)]
        self._shape(end, cone, board.shade(0.30), z=7.06)
        self._weld(end, bare + 22.0)
        for at in (last - 9.0, bare + 7.0):
            mark = [(at - 3.5, 4.0), (at + 3.5, 4.0), (at + 3.5, -4.0), (at - 3.5, -4.0)]
            self._shape(end, mark, PAPER.paper, z=9.0, thick=1.0, edge=INK)
        self._engaged(end, inside, last)
        paint = self.view.px((self._at(end, bare + 7.0), -4.0))
        self._say(paint, self.view.y(-self.half) + 15.0, "paint marks in line", below=True)
        spline_at = self.view.px((self._at(end, (last + bare) / 2.0), 0.0))
        self._say(spline_at, self.view.y(half) - 22.0, "bare spline")

    def _bearing(self, end: int) -> None:
        """The support bearing behind the section's joint, in its rubber."""
        t = _WELD + 44.0
        for half_wide, half_high, share, z in (
            (19.0, self.half + 34.0, 0.30, 7.4),
            (24.0, self.half + 14.0, 0.55, 7.45),
        ):
            body = [
                (t - half_wide, half_high),
                (t + half_wide, half_high),
                (t + half_wide, -half_high),
                (t - half_wide, -half_high),
            ]
            self._shape(end, body, self.board.tint(share), z=z, thick=1.2, edge=INK)
        at = self.view.px((self._at(end, t), -self.half - 24.0))
        self._say(at, self.view.y(-self.half - 34.0) + 15.0, "support bearing", below=True)

    def _tube(self) -> None:
        """The tube on both sides of the break, and the break: paper between two waves."""
        board, half = self.board, self.half
        for end in (0, 1):
            start = _WELD + 12.0 if self.drawn.slip_at != end else _WELD + self._sleeve + self._bare + 16.0
            self._round(end, start, self.cut[0] if end == 0 else self.long - self.cut[1], half, z=7.1)
        waves = []
        for at in self.cut:
            steps = [share / 18.0 for share in range(19)]
            waves.append(
                self.view.all_px([(at + 5.0 * math.sin(2.0 * math.pi * s), half - 2.0 * half * s) for s in steps])
            )
        board.shape((*waves[0], *reversed(waves[1])), PAPER.paper, None, z=7.9)
        for wave in waves:
            board.line(wave, PAPER.accent, 1.3, z=8.0)
        if self.drawn.tube_words:
            end = 0 if self.drawn.slip_at == 1 or self.drawn.bearing == 1 else 1
            tip = self.view.px((self._at(end, 125.0), 0.4 * half))
            self._say(tip, self.view.y(half) - 22.0, self.drawn.tube_words, bold=True)

    def _mate(self, end: int) -> None:
        """What the shaft goes to, in ink; dashed and with a question mark where it is not known."""
        mate, r, board = self.drawn.mates[end], _CROSS, self.board
        light, mid, dark = board.tint(0.12), board.tint(0.24), board.tint(0.75)
        if mate is None:
            half = [
                (-0.2 * r, r),
                (-0.9 * r, r),
                (-1.5 * r, 18.0),
                (-60.0, 18.0),
                (-60.0, 44.0),
                (-78.0, 44.0),
                (-78.0, 24.0),
                (-118.0, 24.0),
            ]
            self._shape(
                end, [*half, *[(t, -w) for t, w in reversed(half)]], "", z=6.0, thick=1.1, edge=MUTED, dash=(5.0, 3.0)
            )
            x, y = self.view.px((self._at(end, -96.0), 0.0))
            board.write(x, y + 5.0, "?", 11.0, MUTED, bold=True, align="middle", z=22.0)
        elif mate == "flange":
            self._own_flange(end)
            self._shape(end, boxed(-76.0, 50.0, -63.5, -50.0), mid, z=6.5, thick=1.3, edge=INK)
            self._shape(
                end, [(-76.0, 26.0), (-118.0, 24.0), (-118.0, -24.0), (-76.0, -26.0)], light, z=6.4, thick=1.3, edge=INK
            )
            for w in (38.0, -38.0):
                self._shape(end, boxed(-52.0, w + 8.0, -45.0, w - 8.0), dark, z=7.2, thick=0.8, edge=INK)
                self._shape(end, boxed(-84.0, w + 8.0, -76.0, w - 8.0), dark, z=7.2, thick=0.8, edge=INK)
        elif mate == "spline":
            self._shape(end, boxed(-0.1 * r - 92.0, 21.0, -1.2 * r, -21.0), board.shade(0.30), z=6.8)
            ears = [(-0.1 * r, r), (-0.9 * r, 1.02 * r), (-1.5 * r, 21.0)]
            self._shape(end, [*ears, *[(t, -w) for t, w in reversed(ears)]], board.shade(0.52), z=6.9)
            self._shape(
                end, [(-66.0, 34.0), (-128.0, 44.0), (-128.0, -44.0), (-66.0, -34.0)], light, z=7.0, thick=1.3, edge=INK
            )
        else:
            ears = [(-0.1 * r, 0.98 * r), (-0.9 * r, r), (-1.5 * r, 17.0), (-66.0, 17.0)]
            self._shape(end, [*ears, *[(t, -w) for t, w in reversed(ears)]], mid, z=6.5, thick=1.3, edge=INK)
            if mate == "joint":
                self._shape(end, boxed(-80.0, 20.0, -64.0, -20.0), light, z=6.4, thick=1.3, edge=INK)
            else:
                self._shape(end, boxed(-80.0, 30.0, -66.0, -30.0), mid, z=6.5, thick=1.3, edge=INK)
            self._shape(
                end, [(-80.0, 20.0), (-118.0, 24.0), (-118.0, -24.0), (-80.0, -20.0)], light, z=6.4, thick=1.3, edge=INK
            )
            if mate in ("straps", "u_bolts"):
                for w in (0.62 * r + 4.0, -0.62 * r - 4.0):
                    self._shape(end, boxed(-14.0, w + 4.0, 12.0, w - 4.0), dark, z=9.4, thick=0.8, edge=INK)

    def _own_flange(self, end: int) -> None:
        """The shaft's own flange yoke."""
        r, yoke = _CROSS, self.board.shade(0.52)
        half = [(-0.1 * r, r), (-1.0 * r, r), (-1.35 * r, 22.0), (-52.0, 22.0)]
        self._shape(end, [*half, *[(t, -w) for t, w in reversed(half)]], yoke, z=6.9)
        self._shape(end, boxed(-63.0, 50.0, -52.0, -50.0), yoke, z=6.95)

    def _centre_line(self) -> None:
        view = self.view
        for ends in ((-_MATE, self.cut[0] - 4.0), (self.cut[1] + 4.0, self.long + _MATE)):
            self.board.line(view.all_px([(at, 0.0) for at in ends]), INK, 0.8, z=9.0, dash=CENTRE_DASH)

    # ---- words and dimensions

    def _say(self, tip: Point, base: float, words: str, *, below: bool = False, bold: bool = False) -> None:
        """Words over or under the shaft with a line down or up to what they name, clear of what is there already."""
        board, pt = self.board, 9.5 if bold else SMALL_PT
        step = 12.0 if below else -12.0
        for shift in (0.0, -40.0, 40.0, -80.0, 80.0):
            for row in range(3):
                at = base + step * row
                box = board.box_of(tip[0] + shift, at, words, pt, bold=bold, align="middle")
                free = not any(
                    box[0] - 4.0 < b[2] and b[0] < box[2] + 4.0 and box[1] < b[3] and b[1] < box[3]
                    for b, _ in board.words
                )
                if free and self.box[0] <= box[0] and box[2] <= self.box[2]:
                    start = (tip[0] + max(min(shift, 8.0), -8.0), box[1] if below else box[3] + 1.0)
                    lead(board, start, tip)
                    board.write(tip[0] + shift, at, words, pt, INK, bold=bold, align="middle")
                    return

    def _engaged(self, end: int, inside: float, last: float) -> None:
        words = self.drawn.told[0]
        if not words:
            return
        y = self.view.y(-self.half) + 33.0
        one, two = (self.view.x(self._at(end, t)) for t in (inside, last))
        left, right = min(one, two), max(one, two)
        for x in (left, right):
            hair(self.board, (x, self.view.y(-0.4 * self.half)), (x, y + 4.0))
        for start, tip in (((left - 13.0, y), (left, y)), ((right + 13.0, y), (right, y))):
            self.board.arrow(start, tip, INK, 1.0, z=14.0, head=7.0, half=2.3)
        self.board.line(((left, y), (right, y)), INK, 0.8, z=14.0)
        if left - 18.0 - self.box[0] > 130.0:
            self.board.write(left - 17.0, y + 4.0, words, 9.0, INK, bold=True, align="right")
        else:
            self.board.write(right + 17.0, y + 4.0, words, 9.0, INK, bold=True)

    def _dimensions(self) -> tuple[Point, Point]:
        view, board = self.view, self.board
        one, two = view.px((0.0, 0.0)), view.px((self.long, 0.0))
        y = self.box[3] - 12.0
        for x, _ in (one, two):
            hair(board, (x, view.y(-_CROSS) + 3.0), (x, y + 5.0))
        marked(board, (one[0], y), (two[0], y), self.drawn.told[1], self.drawn.told[2])
        return one, two


def end_view(board: Board, at: Point, radius: float, kind: MateType | None, says: str) -> None:
    """An end seen along the shaft, whose own ears stand upright at both ends, so that their phase is seen."""
    (x, y), edge = at, Stroke(PAPER.accent, 1.6)
    board.write(x, y - 1.16 * radius - 8.0, says, SMALL_PT, MUTED, align="middle")
    scale = 0.92 * radius / (50.0 if kind == "flange" else 41.0)
    cap, span = 13.5 * scale, 41.0 * scale * (0.86 if kind == "flange" else 1.0)

    def rect(left: float, top: float, wide: float, high: float, share: float, z: float) -> None:
        board.shape(boxed(left, top, left + wide, top + high), board.shade(share), Stroke(PAPER.accent, 1.3), z=z)

    if kind == "flange":
        board.disc(at, 50.0 * scale, board.shade(0.28), edge, z=4.2)
        board.disc(at, 39.7 * scale, "", Stroke(INK, 0.8, (7.0, 2.5, 1.5, 2.5)), z=5.0)
        for turn in (45.0, 135.0, 225.0, 315.0):
            hole = (x + 39.7 * scale * math.cos(math.radians(turn)), y + 39.7 * scale * math.sin(math.radians(turn)))
            board.disc(hole, 5.6 * scale, PAPER.paper, Stroke(PAPER.accent, 1.2), z=5.1)
        board.disc(at, 30.2 * scale, PAPER.paper, Stroke(PAPER.accent, 1.3), z=5.2)
        rect(x - 29.0 * scale, y - 0.75 * cap, 58.0 * scale, 1.5 * cap, 0.14, 5.4)
        for left in (x - 29.5 * scale, x + 15.0 * scale):
            rect(left, y - cap, 14.5 * scale, 2.0 * cap, 0.30, 5.5)
        board.disc(at, 0.75 * cap, board.shade(0.10), Stroke(PAPER.accent, 1.2), z=5.6)
    else:
        board.disc(at, 38.0 * scale, board.shade(0.10), Stroke(board.shade(0.55), 1.0), z=4.0)
        for way in (-1.0, 1.0):
            turns = [math.pi * (step / 12.0 - 0.5) for step in range(13)]
            tip = [(x + 1.15 * cap * math.sin(t), y + way * (38.0 * scale + 0.55 * cap * math.cos(t))) for t in turns]
            board.shape(((x - 1.15 * cap, y), *tip, (x + 1.15 * cap, y)), board.shade(0.46), edge, z=5.0)
        rect(x - 0.7 * span, y - 0.72 * cap, 1.4 * span, 1.44 * cap, 0.16, 6.0)
        for left in (x - span, x + 0.6 * span):
            rect(left, y - cap, 0.4 * span, 2.0 * cap, 0.26, 6.1)
        for side in (-0.9, 0.9):
            board.line(((x + side * span, y - cap), (x + side * span, y + cap)), INK, 2.0, z=6.2)
        board.disc(at, 0.9 * cap, board.shade(0.10), Stroke(PAPER.accent, 1.3), z=6.3)
    for line in (((x - 1.1 * radius, y), (x + 1.1 * radius, y)), ((x, y - 1.14 * radius), (x, y + 1.14 * radius))):
        board.line(line, INK, 0.8, z=7.0, dash=CENTRE_DASH)
    _end_words(board, at, radius, kind, scale, cap, span)


def _end_words(
    board: Board, at: Point, radius: float, kind: MateType | None, scale: float, cap: float, span: float
) -> None:  # fmt: skip
    x, y = at
    low = y + 1.24 * radius
    if kind == "flange":
        for words, side, tip in (
            ("pilot", -0.7, (x - 18.0 * scale, y + 24.0 * scale)),
            ("bolt circle", 0.55, (x + 18.0 * scale, y + 35.4 * scale)),
        ):
            board.write(x + side * radius, low + 16.0, words, SMALL_PT, INK, align="middle")
            lead(board, (x + side * radius, low + 6.0), tip)
        return
    for side in (-span, span):
        hair(board, (x + side, y + cap), (x + side, low + 4.0))
    marked(board, (x - span, low), (x + span, low), "span", "", pt=SMALL_PT)
    right = x + span + 9.0
    for side in (-cap, cap):
        hair(board, (x + span + 1.0, y + side), (right + 4.0, y + side))
    for start, tip in (((right, y - cap - 13.0), (right, y - cap)), ((right, y + cap + 13.0), (right, y + cap))):
        board.arrow(start, tip, INK, 1.0, z=14.0, head=7.0, half=2.2)
    board.write(right + 2.0, y - cap - 17.0, "cap", SMALL_PT, INK, align="middle")
