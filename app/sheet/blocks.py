"""The sheet's panes: set-points with boxes to write in, shaft order, check list, cautions, lines to write on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.cautions import CAUTIONS
from app.drawing.board import Board
from app.drawing.fonts import PX_PER_PT, shortened, width
from app.setpoints import SetPoint
from app.sheet.checks import Checks
from app.sheet.flow import (
    BODY_PT,
    PAPER,
    SMALL_PT,
    Block,
    box,
    heading,
    indented,
    line_height,
    lines,
    paragraph,
    rule,
    stacked,
)  # fmt: skip
from app.sheet.order import Row

VALUE_PTS: Final = (16.0, 15.0, 14.0)
"""Of a set-point, to be read from under the vehicle; the largest with which the rows are lowest."""
_TIMES: Final = ("before", "tacked", "welded")
_BOX, _BOX_HIGH, _BETWEEN = 50.0, 19.0, 5.0
ROW: Final = 24.0
LOW_ROW: Final = 20.0
"""Of a page on which rows would be left out: boxes as high as a pencil writes."""
_LABEL, _APART = 118.0, 8.0
_CAUTIONS: Final = 66.0
_TICK, _INDENT, _ASIDE = 9.5, 13.0, 10.0
_PITCH: Final = 22.0


def set_points_block(
    rows: Sequence[SetPoint], title: str, variant: str = "", least: float = ROW, states: Sequence[str] = ()
) -> Block:
    """Set-points in large type, each with three boxes to write what was measured; `variant` says whose they are.

    A row is `least` high. `states` says of which state they are, and what they come to in the others.
    """
    box_high = min(_BOX_HIGH, least - 2.0)

    def draw(board: Board, x: float, y: float, room: float) -> float:
        boxes = [x + room - (3 - number) * _BOX - (2 - number) * _BETWEEN for number in range(3)]
        top = heading(title)(board, x, y, room)
        for left, words in zip(boxes, _TIMES, strict=True):
            board.write(left + _BOX / 2.0, top - 10.0, words, SMALL_PT, PAPER.muted, align="middle")
        if variant:
            top = paragraph(variant, SMALL_PT)(board, x, top, room) + 2.0
        label = max((width(line, BODY_PT) for row in rows for line in _named(row.label)), default=0.0)
        free = boxes[0] - x - label - 2.0 * _APART
        sizes = VALUE_PTS[least < ROW :]  # the largest would touch the lines of low rows
        told = min(([_Row(row, label, free, pt, least) for row in rows] for pt in sizes), key=_high)
        for number, row in enumerate(told):
            if number:
                rule(board, x, top, x + room, 0.6, board.tint(0.2))
            row.draw(board, x, top)
            for left in boxes:
                box(board, left, top + (row.high - box_high) / 2.0, _BOX, box_high)
            top += row.high
        for number, words in enumerate(states):
            top = paragraph(words, SMALL_PT, bold=words.endswith(":"))(
                board, x, top + (4.0 if not number else 0.0), room
            )
        return top

    return draw


class _Row:
    """One set-point: its note beside the value, with what is now; the note under the label where that is too wide."""

    def __init__(self, row: SetPoint, label: float, free: float, pt: float, least: float) -> None:
        self.value, self.pt, self.label = row.value, pt, label
        self.left = label + _APART
        self.value_wide = width(row.value, pt, bold=True) + 6.0 if row.value else 0.0
        room = free - self.value_wide
        note = row.note[1:-1] if row.note.startswith("(") and row.note.endswith(")") else row.note
        now = [f"now {row.now}"] if row.now else []
        split = ["now", row.now] if row.now else []
        self.named = _named(row.label)
        self.under, self.under_now, self.now = list[str](), list[str](), now
        self.one_line = False
        """Whether what is now stands behind the note and not under it."""
        if not row.value:
            self.beside, self.now = lines(row.wants, SMALL_PT, room), []
        elif least < ROW and now and note and _widest([f"{note}   "], bold=False) + _widest(now, bold=True) <= room:
            self.beside, self.one_line = [note], True
        elif _widest([note], bold=False) <= room and _widest(now, bold=True) <= room:
            self.beside = [note] if note else []
        elif width(note, SMALL_PT) <= label:
            self.under, self.beside = [note] if note else [], []
            if _widest(now, bold=True) > room:
                self.now = split
            if now and _widest(self.now, bold=True) > room:
                self.under_now, self.now = lines(now[0], SMALL_PT, label, bold=True), []
        else:
            self.beside, self.now = (
                lines(note, SMALL_PT, room),
                [line for part in now for line in lines(part, SMALL_PT, room, bold=True)],
            )
        under = len(self.under) + len(self.under_now)
        left = len(self.named) * line_height(BODY_PT) + under * line_height(SMALL_PT)
        self.notes = 1 if self.one_line else len(self.beside) + len(self.now)
        notes = self.notes * line_height(SMALL_PT)
        self.high = max(least, left + 3.0, notes + (3.0 if least >= ROW else 1.0))
        self.left_high = left

    def draw(self, board: Board, x: float, y: float) -> None:
        """Draw it from y down."""
        middle = y + self.high / 2.0
        top = middle - self.left_high / 2.0
        for told, pt, colour in (
            (self.named, BODY_PT, PAPER.ink),
            (self.under, SMALL_PT, PAPER.muted),
            (self.under_now, SMALL_PT, PAPER.ink),
        ):
            for line in told:
                bold = told is self.under_now
                top = paragraph(line, pt, bold=bold, colour=colour)(board, x, top, self.label)
        if self.value:
            base = middle + 0.37 * self.pt * PX_PER_PT
            board.write(x + self.left, base, self.value, self.pt, PAPER.ink, bold=True)
        top, left = middle - self.notes * line_height(SMALL_PT) / 2.0, x + self.left + self.value_wide
        for told, colour, bold in ((self.beside, PAPER.muted, False), (self.now, PAPER.ink, True)):
            for line in told:
                base = top + 0.9 * SMALL_PT * PX_PER_PT
                board.write(left, base, line, SMALL_PT, colour, bold=bold)
                if self.one_line:
                    left += width(f"{line}   ", SMALL_PT)
                else:
                    top += line_height(SMALL_PT)


def _named(label: str) -> list[str]:
    """A label on one line, or a long one on more: what is moved, and which way."""
    parts = [label] if width(label, BODY_PT) <= _LABEL else label.split(": ")
    return [line for part in parts for line in lines(part, BODY_PT, _LABEL)]


def _high(rows: Sequence[_Row]) -> float:
    return sum(row.high for row in rows)


def _widest(told: Sequence[str], *, bold: bool) -> float:
    return max((width(one, SMALL_PT, bold=bold) for one in told), default=0.0)


def order_block(rows: Sequence[Row], pt: float) -> Block:
    """Shaft order, short labels beside their words."""
    label = max(width(name, pt, bold=True) for name, _ in rows) + 8.0

    def draw(board: Board, x: float, y: float, room: float) -> float:
        for name, words in rows:
            paragraph(name, pt, bold=True)(board, x, y, label)
            colour = PAPER.muted if words.startswith("measure: ") else PAPER.ink
            y = paragraph(words, pt, colour=colour)(board, x + label, y, room - label) + 1.5
        return y

    return draw


def checks_block(checks: Checks) -> Block:
    """Boxes to tick, the stages beside one another, each as wide as its longest words in share.

    Who set and who checked it signs under the last two, which are shorter.
    """
    wide = [max(width(words, SMALL_PT) for words in boxes) + _INDENT for _, boxes in checks]

    def draw(board: Board, x: float, y: float, room: float) -> float:
        more = (room - sum(wide) - _ASIDE * (len(wide) - 1)) / len(wide)
        ends, lefts = [], []
        for (stage, boxes), one in zip(checks, wide, strict=True):
            ends.append(_stage(stage, boxes)(board, x, y, one + more))
            lefts.append(x)
            x += one + more + _ASIDE
        for left, words in zip(lefts[1:], ("set by", "checked by"), strict=True):
            board.write(left, max(ends) - 4.0, words, SMALL_PT, PAPER.muted)
        return max(ends)

    return draw


def _stage(stage: str, boxes: Sequence[str]) -> Block:
    def tick(words: str) -> Block:
        said = indented(paragraph(words, SMALL_PT), _INDENT)

        def draw(board: Board, x: float, y: float, room: float) -> float:
            box(board, x + 0.5, y + 2.0, _TICK, _TICK)
            return said(board, x, y, room) + 1.0

        return draw

    return stacked(heading(stage, pt=BODY_PT), *(tick(words) for words in boxes))


def cautions_block() -> Block:
    """The cautions that every sheet carries, whole, under a line, their name beside them."""
    told = stacked(*(paragraph(f"• {words}", SMALL_PT) for words in CAUTIONS))

    def draw(board: Board, x: float, y: float, room: float) -> float:
        rule(board, x, y, x + room, 0.9)
        paragraph("Cautions", bold=True)(board, x, y + 3.0, _CAUTIONS)
        return told(board, x + _CAUTIONS, y + 4.0, room - _CAUTIONS)

    return draw


def writing_block(high: float) -> Block:
    """Room to write at the vehicle."""

    def draw(board: Board, x: float, y: float, room: float) -> float:
        end = heading("Notes at the vehicle")(board, x, y, room) - 3.0
        while end + _PITCH <= y + high:
            end += _PITCH
            rule(board, x, end, x + room, 0.7, board.tint(0.35))
        return end

    return draw


def foot(board: Board, frame: tuple[float, float, float], told: Sequence[str], page: str) -> None:
    """Strip at the foot: file, date, units, program, and which page of how many; a long file name is cut with "…"."""
    left, right, base = frame
    rule(board, left, base - 16.0, right, 1.2)
    end = right - width(page, SMALL_PT, bold=True) - 16.0
    board.write(right, base, page, SMALL_PT, PAPER.ink, bold=True, align="right")
    name, *others = told
    rest = " · ".join(others)
    name = shortened(name, SMALL_PT, end - left - width(f" · {rest}", SMALL_PT))
    board.write(left, base, f"{name} · {rest}" if name else rest, SMALL_PT, PAPER.ink)
