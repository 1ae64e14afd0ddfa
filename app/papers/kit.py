"""What papers for the bench are made of: boxes to write in, ticks, rings with numbers, gauges, dimension lines.

All in page pixels on a `Board`; sizes of type in points. Known is bold print, unknown an empty box with its unit small
inside, so that a form half filled reads as one.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, Literal

from app.drawing.board import Board, meets
from app.drawing.fonts import PX_PER_PT, shortened, width
from app.drawing.items import Box, Page, Point, Stroke
from app.drawing.palette import VERDICT_SIGNS, VERDICT_WORDS
from app.naming import other_words, shared_words
from app.setpoints import recommended, variant_words
from app.sheet import flow
from app.sheet.flow import PAPER, SMALL_PT, line_height, lines, plain, rule
from app.sheet.paper import Frame
from geometry.words.both import on_hold
from geometry.words.wording import capital, small

if TYPE_CHECKING:
    from geometry.document import Build
    from geometry.words.solution import Solution

INK, MUTED = PAPER.ink, PAPER.muted
ROW_PT, TITLE_PT = 9.5, 18.0
RING: Final = 9.6
"""Radius of a ring with a number."""
ROW: Final = 20.2
"""From one row of boxes to the next."""
FROM_MEMORY: Final = "○"
"""Behind a number that nobody measured."""
_TICK: Final = 10.0
_HAIR: Final = 0.7


def text_box(board: Board, left: float, top: float, wide: float, high: float, inside: str = "") -> None:
    """Draw an empty box to write in, with its unit or side small at the right end."""
    flow.box(board, left, top, wide, high)
    if inside:
        words = shortened(inside, SMALL_PT, wide - 6.0)
        board.write(left + wide - 3.5, top + high - 4.0, words, SMALL_PT, MUTED, align="right")


def tick(board: Board, x: float, base: float, words: str, pt: float = SMALL_PT, *, on: bool = False) -> float:
    """Draw a box to tick with its words behind it, ticked or not; return where they end."""
    size = max(_TICK, pt)
    top, part = base - size + 1.5, size / 10.0
    flow.box(board, x, top, size, size)
    if on:
        hook = (
            (x + 1.8 * part, top + 5.2 * part),
            (x + 4.2 * part, top + 8.2 * part),
            (x + 9.0 * part, top + 1.2 * part),
        )
        board.line(hook, INK, 2.0 * part, z=11.0)
    return board.write(x + size + 3.5 * part, base, words, pt, INK, bold=on)


def tick_width(words: str, pt: float = SMALL_PT, *, on: bool = False) -> float:
    """How wide a box to tick is with its words."""
    return _TICK + 3.5 + width(words, pt, bold=on)


def fitting(words: str, pt: float, room: float, *, least: float = SMALL_PT) -> float:
    """The size of type, as asked or smaller, at which bold words fit a room; `least` where none does."""
    while pt > least and width(words, pt, bold=True) > room:
        pt -= 0.25
    return pt


def ring_radius(words: str) -> float:
    """Radius of a ring with so many letters in it."""
    return RING if len(words) < 3 else RING + 1.8


def ring(board: Board, at: Point, words: str, step: int) -> None:
    """A number in a ring that tells how soon it is wanted: 1 filled, 2 grey and heavy, 3 plain, 0 faint."""
    fill, stroke = {
        1: (INK, Stroke(INK, 1.3)),
        2: (board.tint(0.2), Stroke(INK, 2.1)),
        3: (PAPER.paper, Stroke(INK, 1.2)),
        0: (PAPER.paper, Stroke(board.tint(0.45), 0.8)),
    }[step]
    radius = ring_radius(words)
    board.disc(at, radius, fill, stroke, z=24.0)
    colour = PAPER.paper if step == 1 else INK
    board.write(
        at[0], at[1] + 0.36 * SMALL_PT * PX_PER_PT, words, SMALL_PT, colour, bold=step in (1, 2), align="middle", z=25.0
    )
    board.words[-1] = (around(at, radius + 1.0), words)  # what keeps clear of words keeps clear of the ring


def around(at: Point, by: float) -> Box:
    """A square about a point."""
    return at[0] - by, at[1] - by, at[0] + by, at[1] + by


def gauge(board: Board, at: Point, turn_deg: float, *, up: bool = True) -> Point:
    """The angle gauge on a face through a page point, the face turned so far (down to the right is above nought).

    Returns the middle of its far side.
    """
    turn = math.radians(turn_deg)
    along = (math.cos(turn), math.sin(turn))
    away = (along[1], -along[0]) if up else (-along[1], along[0])

    def place(t: float, w: float) -> Point:
        return at[0] + along[0] * t + away[0] * w, at[1] + along[1] * t + away[1] * w

    body = (place(-10.0, 0.5), place(10.0, 0.5), place(10.0, 12.0), place(-10.0, 12.0))
    board.shape(body, PAPER.paper, Stroke(INK, 1.7), z=16.0)
    board.edges.append((*body, body[0]))
    middle = place(0.0, 6.2)
    board.disc(middle, 3.8, board.tint(0.15), Stroke(INK, 0.9), z=16.1)
    board.line((middle, (middle[0], middle[1] - 4.2)), PAPER.hold, 1.3, z=16.2)
    return place(0.0, 12.0)


def lead(board: Board, start: Point, tip: Point) -> None:
    """A thin line to what is meant, with a dot at its end."""
    board.line((start, tip), INK, _HAIR, z=15.0)
    board.disc(tip, 2.5, INK, Stroke(PAPER.paper, 0.8), z=15.1)
    board.edges.append((start, tip))


def double_arrow(board: Board, one: Point, two: Point, *, thick: float = 1.0) -> None:
    """A dimension line with a head at both ends; from outside where there is no room for both within."""
    away = math.hypot(two[0] - one[0], two[1] - one[1]) or 1.0
    ux, uy = (two[0] - one[0]) / away, (two[1] - one[1]) / away
    within = away > 26.0
    for tip, way in ((one, 1.0), (two, -1.0)):
        reach = away / 2.0 if within else -14.0
        start = (tip[0] + way * ux * reach, tip[1] + way * uy * reach)
        board.arrow(start, tip, INK, thick, z=14.0, head=8.0, half=2.5)
    board.edges.append((one, two))


def hair(board: Board, *points: Point) -> None:
    """A thin line from what is measured to its dimension line."""
    board.line(points, board.tint(0.6), 0.7, z=13.0)


def measured(
    board: Board,
    one: Point,
    two: Point,
    words: str,
    step: int,
    *,
    ends: tuple[Point, Point] | None = None,
    at: float = 0.5,
) -> None:
    """A dimension line with a ring on it, `at` a share of its length; `ends` are what thin lines come from."""
    for start, tip in zip(ends or (), (one, two), strict=False):
        away = math.hypot(tip[0] - start[0], tip[1] - start[1])
        if away > 1.0:
            more = 4.0 / away
            hair(board, start, (tip[0] + (tip[0] - start[0]) * more, tip[1] + (tip[1] - start[1]) * more))
    double_arrow(board, one, two)
    ring(board, (one[0] + at * (two[0] - one[0]), one[1] + at * (two[1] - one[1])), words, step)


_TURNS: Final = tuple(itertools.chain.from_iterable((turn, -turn) for turn in range(0, 181, 20)))
_FAR: Final = (26.0, 34.0, 44.0, 56.0, 70.0)


def pointed(board: Board, tip: Point, words: str, step: int, toward_deg: float, within: Box) -> None:
    """A ring with a leader to a point: in the direction asked, or in the nearest one where it lies on nothing.

    Where there is no such place it may lie on lines, not on words.
    """
    left, top, right, bottom = within
    places = []
    for far, turn in sorted(itertools.product(_FAR, _TURNS), key=lambda one: one[0] + 0.35 * abs(one[1])):
        angle = math.radians(toward_deg + turn)
        at = (tip[0] + far * math.cos(angle), tip[1] + far * math.sin(angle))
        box = around(at, RING + 1.0)
        inside = left <= box[0] and top <= box[1] and box[2] <= right and box[3] <= bottom
        if inside and not any(meets((at, tip), one) or _share(box, one) for one, _ in board.words):
            places.append(at)
    free = (at for at in places if board.is_free(around(at, RING + 1.0), 1.0))
    at = next(free, places[0] if places else (tip[0], tip[1] - _FAR[0]))
    away = RING / math.dist(at, tip)
    lead(board, (at[0] + (tip[0] - at[0]) * away, at[1] + (tip[1] - at[1]) * away), tip)
    ring(board, at, words, step)


def _share(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def caption(board: Board, x: float, base: float, words: str, align: Literal["left", "right"] = "left") -> None:
    """What a view is."""
    board.write(x, base, words, ROW_PT, INK, bold=True, align=align)


def write_line(board: Board, x: float, base: float, words: str, right: float) -> None:
    """Quiet words, and a line to write on behind them."""
    end = board.write(x, base, words, 9.0, MUTED)
    rule(board, end + 5.0, base + 2.0, right, 0.8)


def notes_of(build: Build, solution: Solution) -> tuple[tuple[str, str], ...]:
    """What every paper owns up to, each with its colour: what holds the work up, with its shape; whose plan its numbers
    are of; and what of it the other shaft has too.
    """
    said: list[tuple[str, str]] = []
    if on_hold(solution):
        mark = f"{VERDICT_SIGNS['hold']} {VERDICT_WORDS['hold']}"
        said.append((f"{mark}: {small(plain(solution.says))} Do not weld.", PAPER.hold))
    variant = plain(variant_words(build, solution))
    if variant:
        said.append((capital(variant), INK))
    if build.drivelines:
        remedy = recommended(build, solution)
        changed = {} if remedy is None else {path: to for path, to in remedy.changes.items() if to is not None}
        then = other_words(build, changed)
        said.append((f"{shared_words(build)}{f' {capital(then)}.' if then else ''}", INK))
    return tuple(said)


def head(board: Board, frame: Frame, title: str, aside: str, build: Build, solution: Solution) -> float:
    """A page's title, whose it is, and with which remedy its numbers are; return where the page begins under it."""
    y = frame.top + 22.0
    board.write(frame.left, y, title, TITLE_PT, INK, bold=True)
    board.write(frame.right, y, aside, ROW_PT, INK, align="right")
    whose = plain(build.title) or "Untitled build"
    board.write(frame.left, y + 19.0, shortened(whose, ROW_PT, frame.room), ROW_PT, INK)
    for words, colour in notes_of(build, solution):
        for line in lines(words, ROW_PT, frame.room, bold=True):
            y += 14.0
            board.write(frame.left, y + 19.0, line, ROW_PT, colour, bold=True)
    rule(board, frame.left, y + 28.0, frame.right, 1.4)
    return y + 36.0


def foot(board: Board, frame: Frame, says: str, told: Sequence[str], page: str) -> None:
    """What is to be known of the page, if anything; under it file, date, units, and which page of how many."""
    base = frame.bottom - 3.0
    rule(board, frame.left, base - (28.0 if says else 15.0), frame.right, 1.1)
    board.write(frame.left, base - 14.5, says, SMALL_PT, INK)
    board.write(frame.right, base, page, SMALL_PT, INK, bold=True, align="right")
    name, *others = told
    rest = " · ".join(others)
    room = frame.room - width(page, SMALL_PT, bold=True) - 16.0
    name = shortened(name, SMALL_PT, room - width(f" · {rest}", SMALL_PT))
    board.write(frame.left, base, f"{name} · {rest}" if name else rest, SMALL_PT, MUTED)


def page_of(board: Board, size: tuple[float, float]) -> Page:
    """The page that a board has become."""
    board.finish()
    return Page(*size, PAPER, tuple(board.layers))


def marked(board: Board, one: Point, two: Point, words: str, quiet: str, *, pt: float = 13.0) -> None:
    """A dimension line broken by its words, the quiet ones behind the bold; over it where they do not fit."""
    bold = pt > SMALL_PT
    room = two[0] - one[0] - 32.0
    if width(f"{words}  {quiet}", pt, bold=bold) > room:
        quiet = ""
    if bold:
        pt = fitting(words, pt, room, least=9.0)
    wide = width(words, pt, bold=bold) + (width(f"  {quiet}", pt - 2.0) if quiet else 0.0)
    middle, base = (one[0] + two[0]) / 2.0, one[1] + 0.36 * pt * PX_PER_PT
    fits = wide + 32.0 < two[0] - one[0]
    if fits:
        for x, tip in ((middle - wide / 2.0 - 5.0, one), (middle + wide / 2.0 + 5.0, two)):
            board.arrow((x, one[1]), tip, INK, 1.0, z=14.0, head=8.0, half=2.5)
    else:
        double_arrow(board, one, two)
        base = one[1] - 5.0
    end = board.write(middle - wide / 2.0, base, words, pt, INK, bold=bold)
    if quiet:
        board.write(end + width("  ", pt - 2.0), base, quiet, pt - 2.0, MUTED)


def field(
    board: Board, x: float, base: float, label: str, value: str, wide: float, at: float, inside: str = "",
    pt: float = 10.0,
) -> None:  # fmt: skip
    """A label and what it is in bold; or, not known, an empty box with what to measure small in it."""
    board.write(x, base, label, 8.5, INK)
    if not value:
        text_box(board, x + at, base - 14.0, wide - at, 19.0, inside)
        return
    size = fitting(value, pt, wide - at)
    for number, line in enumerate(lines(value, size, wide - at, bold=True)):
        board.write(x + at, base + number * line_height(size), line, size, INK, bold=True)


def choice(board: Board, x: float, base: float, label: str, at: float, ways: Sequence[tuple[str, bool]]) -> None:
    """A label, and boxes to tick, ticked where the build says so."""
    board.write(x, base, label, 8.5, INK)
    left = x + at
    for words, on in ways:
        left = tick(board, left, base, words, on=on) + 7.0


def hatched(board: Board, left: float, top: float, right: float, bottom: float) -> None:
    """A box with slanting lines: what must be kept."""
    board.shape(((left, top), (right, top), (right, bottom), (left, bottom)), board.tint(0.05), Stroke(INK, 0.8), z=4.0)
    high = bottom - top
    x = left - high + 6.0
    while x < right:
        low, far = max(x, left), min(x + high, right)
        if far - low > 1.0:
            board.line(((low, bottom - (low - x)), (far, bottom - (far - x))), INK, 0.9, z=4.1)
        x += 6.0


def lettered(board: Board, x: float, base: float, letter: str, title: str, right: float, aside: str = "") -> None:
    """A heading with a letter in a filled ring, over a line; quiet words at its end."""
    ring(board, (x + RING, base - 5.5), letter, 1)
    end = board.write(x + 2.0 * RING + 6.0, base, title, 11.5, INK, bold=True)
    if aside:
        pt = 9.0
        while pt > SMALL_PT and width(aside, pt) > right - end - 8.0:
            pt -= 0.25
        board.write(right, base, shortened(aside, pt, right - end - 8.0), pt, INK, align="right")
    rule(board, x, base + 6.0, right, 1.0)
