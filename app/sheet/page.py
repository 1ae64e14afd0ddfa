"""What a sheet is made of before anything draws it: words, rules, boxes and verdict shapes, in points, y down.

The layout is plain data, so that it can be measured and checked without drawing it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

from app.sketch.camera import Rect
from geometry.words.solution import Verdict

PaperName = Literal["letter", "a4"]
Align = Literal["left", "right", "center"]

ASCENT: Final = 0.76  # of the type size, from the baseline to the top of capitals and tall letters
DESCENT: Final = 0.24
GUTTER: Final = 15.0


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet size in points, with the margins inside which everything lies."""

    name: PaperName
    width: float
    height: float
    side: float
    top: float
    bottom: float

    @property
    def left(self) -> float:
        """Left edge of what is printed."""
        return self.side

    @property
    def right(self) -> float:
        """Right edge of what is printed."""
        return self.width - self.side

    @property
    def foot(self) -> float:
        """Lower edge of what is printed."""
        return self.height - self.bottom

    @property
    def content(self) -> float:
        """Printed width."""
        return self.right - self.left

    @property
    def column(self) -> float:
        """Width of one of the three columns on which everything is aligned."""
        return (self.content - 2.0 * GUTTER) / 3.0

    def column_left(self, number: int) -> float:
        """Left edge of column 0, 1 or 2."""
        return self.left + number * (self.column + GUTTER)


PAPERS: Final = MappingProxyType({
    "letter": Paper("letter", 612.0, 792.0, 30.0, 28.0, 26.0),  # 8.5 × 11 in
    "a4": Paper("a4", 210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0, 30.0, 32.0, 28.0),  # ISO 216
})  # fmt: skip
"""Margins are wider than the unprintable edge of a common laser printer, about 12 pt."""


@dataclass(frozen=True, slots=True)
class Words:
    """One run of words on a baseline; `width` is as measured."""

    x: float
    baseline: float
    text: str
    size: float
    width: float
    colour: str
    bold: bool = False
    align: Align = "left"

    @property
    def box(self) -> Rect:
        """Box round the letters."""
        left = self.x - {"left": 0.0, "right": self.width, "center": 0.5 * self.width}[self.align]
        return Rect(left, self.baseline - ASCENT * self.size, left + self.width, self.baseline + DESCENT * self.size)

    def moved(self, dx: float, dy: float) -> Words:
        """Return the same words elsewhere."""
        return Words(
            self.x + dx, self.baseline + dy, self.text, self.size, self.width, self.colour, self.bold, self.align
        )


@dataclass(frozen=True, slots=True)
class Rule:
    """One straight line."""

    x0: float
    y0: float
    x1: float
    y1: float
    width: float
    colour: str

    def moved(self, dx: float, dy: float) -> Rule:
        """Return the same line elsewhere."""
        return Rule(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy, self.width, self.colour)


@dataclass(frozen=True, slots=True)
class Square:
    """One empty box to tick, or to write a reading into."""

    left: float
    top: float
    width: float
    height: float
    line: float
    colour: str

    def moved(self, dx: float, dy: float) -> Square:
        """Return the same box elsewhere."""
        return Square(self.left + dx, self.top + dy, self.width, self.height, self.line, self.colour)


@dataclass(frozen=True, slots=True)
class Mark:
    """The shape of a verdict, round a centre; `half` is half its height."""

    x: float
    y: float
    half: float
    verdict: Verdict

    def moved(self, dx: float, dy: float) -> Mark:
        """Return the same shape elsewhere."""
        return Mark(self.x + dx, self.y + dy, self.half, self.verdict)


Item = Words | Rule | Square | Mark


@dataclass(frozen=True, slots=True)
class Block:
    """Items laid out from (0, 0) down, and the height that they take."""

    items: tuple[Item, ...]
    height: float

    def at(self, x: float, y: float) -> tuple[Item, ...]:
        """Items with the block's upper left corner at a point of the page."""
        return tuple(item.moved(x, y) for item in self.items)


EMPTY: Final = Block((), 0.0)


def stacked(blocks: Iterable[Block], gap: float = 0.0) -> Block:
    """Blocks one under the other; empty ones leave no gap."""
    items: list[Item] = []
    y = 0.0
    for block in blocks:
        if block.height > 0.0:
            y += gap if y > 0.0 else 0.0
            items += block.at(0.0, y)
            y += block.height
    return Block(tuple(items), y)


def spaced(height: float) -> Block:
    """Plain white."""
    return Block((), height)
