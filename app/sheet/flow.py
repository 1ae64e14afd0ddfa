"""Words in lines, and blocks of them one under the other, in frames and from page to page."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Final, NamedTuple, TypeAlias

from app.drawing.board import Board
from app.drawing.fonts import PX_PER_PT, width
from app.drawing.items import Box, Stroke
from app.drawing.palette import LIGHT, Theme

PAPER: Final[Theme] = replace(LIGHT, paper="#FFFFFF", muted="#56616A", unknown="#56616A")
"""White: a laser would print a tinted ground as a haze of dots."""
BODY_PT: Final = 9.0
SMALL_PT: Final = 8.0
"""The smallest type that any page has."""
HEADING_PT: Final = 11.0
GUTTER: Final = 26.0
Block: TypeAlias = Callable[[Board, float, float, float], float]
"""Draws itself on a board from (x, y) down, in a width, and returns where it ends; all in page pixels."""
_LEADING: Final = 1.18
_BASE: Final = 0.9
"""Of a line's type size, from the line's top to its baseline."""
AFTER: Final = 14.0
_TIED: Final = re.compile(
    r"(?<=\d) (?=(?:in|mm|N·m|lb·ft|rpm|rad/s²|MPa|psi|h)\b)|(?<=[■▲●○→]) |(?<=\d|°) (?=as set)|(?<=as) (?=set)"
)
"""Spaces between a number and its unit, and after a sign."""
_NO_BREAK: Final = "\u00a0"


class Section(NamedTuple):
    """Blocks under a heading, and quiet words behind that."""

    title: str
    blocks: tuple[Block, ...]
    aside: str = ""


def line_height(pt: float) -> float:
    """From one baseline to the next."""
    return _LEADING * pt * PX_PER_PT


def plain(text: str) -> str:
    """Text on one line."""
    return " ".join(text.split())


def lines(text: str, pt: float, room: float, *, bold: bool = False) -> list[str]:
    """Break words into lines no wider than the room, never before a unit; a word that no line holds is broken.

    >>> lines("one two", 9.0, 1000.0)
    ['one two']
    """
    made: list[str] = []
    for word in _TIED.sub(_NO_BREAK, plain(text)).split(" "):
        longer = f"{made[-1]} {word}" if made else word
        if made and width(longer, pt, bold=bold) <= room:
            made[-1] = longer
        else:
            made += _broken(word, pt, room, bold=bold)
    return [line.replace(_NO_BREAK, " ") for line in made]


def _broken(word: str, pt: float, room: float, *, bold: bool) -> Iterator[str]:
    while width(word, pt, bold=bold) > room and len(word) > 1:
        kept = next(
            (length for length in range(len(word) - 1, 1, -1) if width(word[:length], pt, bold=bold) <= room), 1
        )
        yield word[:kept]
        word = word[kept:]
    yield word


def paragraph(text: str, pt: float = BODY_PT, *, bold: bool = False, colour: str = PAPER.ink) -> Block:
    """Words in as many lines as they take."""

    def draw(board: Board, x: float, y: float, room: float) -> float:
        for line in lines(text, pt, room, bold=bold):
            board.write(x, y + _BASE * pt * PX_PER_PT, line, pt, colour, bold=bold)
            y += line_height(pt)
        return y

    return draw


def stacked(*blocks: Block, gap: float = 0.0) -> Block:
    """Blocks one under the other."""

    def draw(board: Board, x: float, y: float, room: float) -> float:
        for number, block in enumerate(blocks):
            y = block(board, x, y + (gap if number else 0.0), room)
        return y

    return draw


def indented(block: Block, by: float) -> Block:
    """The same block farther right."""
    return lambda board, x, y, room: block(board, x + by, y, room - by)


def beside(*blocks: Block) -> Block:
    """Two blocks beside one another, the second one perhaps none."""

    def draw(board: Board, x: float, y: float, room: float) -> float:
        wide = (room - GUTTER) / 2.0
        return max(block(board, x + at * (wide + GUTTER), y, wide) for at, block in enumerate(blocks))

    return draw


def in_rows(section: Section) -> Section:
    """The same section with its blocks two beside one another."""
    some = section.blocks
    return section._replace(blocks=tuple(beside(*some[at : at + 2]) for at in range(0, len(some), 2)))


def space(high: float) -> Block:
    """Plain white."""
    return lambda _board, _x, y, _room: y + high


def heading(title: str, aside: str = "", pt: float = HEADING_PT) -> Block:
    """Bold words over a line, quiet ones behind them where there is room."""

    def draw(board: Board, x: float, y: float, room: float) -> float:
        for line in lines(title, pt, room, bold=True):
            y += line_height(pt)
            end = board.write(x, y - 3.0, line, pt, PAPER.ink, bold=True)
        if aside and end + 8.0 + width(aside, SMALL_PT) <= x + room:
            board.write(end + 8.0, y - 3.0, aside, SMALL_PT, PAPER.muted)
        rule(board, x, y + 2.0, x + room, 0.9)
        return y + 7.0

    return draw


def rule(board: Board, left: float, y: float, right: float, thick: float, colour: str = PAPER.ink) -> None:
    """Draw a line across."""
    board.line(((left, y), (right, y)), colour, thick, z=10.0)


def box(board: Board, left: float, top: float, wide: float, high: float) -> None:
    """Draw an empty box, to tick or to write into."""
    corners = ((left, top), (left + wide, top), (left + wide, top + high), (left, top + high))
    board.shape(corners, "", Stroke(PAPER.ink, 0.9), z=10.0)


def height(block: Block, room: float) -> float:
    """How high a block is in a width."""
    return block(Board(PAPER), 0.0, 0.0, room)


def section_height(sections: Sequence[Section], room: float) -> float:
    """How high sections are, one under the other."""
    board = Board(PAPER)
    return fill(board, sections, (0.0, 0.0, room, float("inf")))[0]


def fill(
    board: Board, sections: Sequence[Section], frame: Box, *, whole_page: bool = False, after: float = AFTER
) -> tuple[float, list[Section]]:
    """Draw as much of some sections as a frame holds; return where that ends, and what is left.

    Sections are `after` apart. No heading stands without its first block. What is left of a broken section says that
    it goes on. On a whole page the first block stands even if it is higher than that, as no other page would hold it.
    """
    left, y, right, bottom = frame
    room = right - left
    for at, section in enumerate(sections):
        top = y + (after if at else 0.0)
        head = heading(section.title, section.aside) if section.title else space(0.0)
        for number, block in enumerate(section.blocks):
            whole = block if number else stacked(head, block)
            end = (y if number else top) + height(whole, room)
            if end > bottom and not (whole_page and y == frame[1]):
                rest = Section(_continued(section.title) if number else section.title, section.blocks[number:])
                return y, [rest if number else section, *sections[at + 1 :]]
            y = whole(board, left, y if number else top, room)
    return y, []


def _continued(title: str) -> str:
    return title if title.endswith(", continued") else f"{title}, continued"
