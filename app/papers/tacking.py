"""The tacking sequence, one page: eight steps in order, each with its number to set, boxes for what is read, a picture.

Branches are told at the step where they are taken. Nothing is worked out here: numbers are the solution's set-points.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Final

from app.drawing.board import Board
from app.drawing.fonts import width
from app.drawing.items import Stroke
from app.drawing.palette import VERDICT_SIGNS
from app.papers.kit import INK, MUTED, double_arrow, foot, head, page_of, text_box, tick
from app.setpoints import as_told, flange_of, on_links, to_fit, to_tack
from app.sheet.flow import PAPER, SMALL_PT, rule
from app.sheet.paper import SIZES, Frame, PaperName, frame_of, told_at_the_foot
from app.units import degrees, leaning, show
from geometry.document import Build, is_front_axle, value_at
from geometry.judge.limits import LIMITS
from geometry.words.both import on_hold
from geometry.words.wording import capital

if TYPE_CHECKING:
    from app.drawing.items import Page
    from geometry.words.solution import Solution

_STEP_PT, _HEAD_PT, _BODY_PT = 22.0, 11.5, 9.5
_SET_PTS: Final = (15.0, 14.0, 13.0)
"""Sizes of the numbers to set: the largest with which a heading keeps off its picture."""
_PICTURE: Final = 190.0
_PITCH: Final = 19.0
"""From one line to tick to the next."""
_FEW, _TICK_ROOM = 3, 480.0
"""Of so many orders each has a line of its own; how long a line may be."""
_BOX: Final = (88.0, 21.0)
_FRAME_HIGH: Final = 78.0
_EVEN_DEG: Final = 0.5
_JOINED: Final = ("Tack", "Weld")
"""Steps that cannot be taken back."""
_NOT_YET: Final = f"{VERDICT_SIGNS['hold']} not yet: on hold"
_SEATS_DEG: Final = LIMITS["pad_twist"].clear
_SIZES: Final = {"inch": ("1/16 in", "1/8 in", "1 1/2 in"), "millimetre": ("1.5 mm", "3 mm", "40 mm")}
"""How even left and right are, how even the diagonals, and the longest pass: common practice. Past the first, or half a
degree, the tacks are broken."""
_CAUTIONS: Final = (
    ("Rated stands, wheels chocked.", "Never on a jack alone."),
    ("Battery off. Clamp beside the weld,", "never through a bearing."),
    ("Fire watch. Lines, tank, wiring clear.", "No paint, oil or plating in the heat."),
    ("Never under a running shaft.", "Eyes, lungs and skin covered."),
)
_LOOSE: Final = "Perches loose on the tube, U-bolts finger tight"
_STAY: Final = "New perches loose on the tube; where welded ones stay, leave out 5 and 7"
"""With perches that are planned to be loose, and where wedges turn the axle on those that it has."""
_FOOT: Final = "A plan: makers' ratings, the shaft's builder, local rules and a licensed welder decide."
_ORDER: Final = ((1, 5, 7, 3), (2, 6, 8, 4))
"""Tacks and passes left and right in turn: each perch's corners, front outer, front inner … as drawn."""


@dataclass(frozen=True)
class Step:
    """One step: its heading, numbers to set with their words, what is ticked, what is read, its picture."""

    title: str
    numbers: tuple[tuple[str, str], ...]
    ticks: tuple[str, ...]
    reads: tuple[str, ...]
    picture: Callable[[Board, float, float, float], None]


def tacking_pages(
    build: Build,
    solution: Solution,
    paper: PaperName = "letter",
    *,
    source_name: str = "",
    printed_on: date | None = None,
) -> tuple[Page, ...]:
    """Return the one page."""
    size = SIZES[paper]
    board, frame = Board(PAPER), frame_of(size)
    told = told_at_the_foot(build, "tacking sequence", source_name, printed_on)
    y = head(board, frame, "Tacking sequence", "tick each before the next", build, solution)
    y = _cautions(board, frame, y)
    steps = steps_of(build, solution)
    room = frame.bottom - 36.0 - y
    # Lines come nearer together where much is to be fitted first.
    over = sum(_high(step) for step in steps) - room
    pitch = _PITCH - max(over, 0.0) / sum(len(step.ticks) for step in steps)
    spare = max(-over, 0.0) / len(steps)
    held = on_hold(solution)
    for number, step in enumerate(steps, start=1):
        high = _high(step, pitch) + spare
        _draw(board, frame, number, step, y, high, pitch)
        if held and step.title in _JOINED:
            board.write(frame.left + 100.0, y + 23.0, _NOT_YET, _HEAD_PT, PAPER.hold, bold=True)
        y += high
        if number < len(steps):
            rule(board, frame.left, y, frame.right, 0.6)
    foot(board, frame, _FOOT, told, "Tacking sequence · 1 of 1")
    return (page_of(board, size),)


def steps_of(build: Build, solution: Solution) -> tuple[Step, ...]:
    """The eight steps of a build, those of perches in other words where links hold the axle."""
    points, display = as_told(build, solution), build.display
    ahead, links = is_front_axle(build), on_links(build)
    up, down = ("nose down", "nose up") if ahead else ("nose up", "nose down")

    def length(value: float | None) -> str:
        return "" if value is None else show(value, "mm", display)

    under = points.tube_underside_mm
    output = points.output_slope_deg
    pinion = points.pinion_slope_deg
    low, high = ("nose down from seat", "nose up from seat") if ahead else ("nose up from seat", "nose down from seat")
    even, apart, longest = _SIZES[display.length]
    past = f"past {degrees(_EVEN_DEG)} or {even}"
    bracket = "brackets" if links else "perches"
    perch_numbers = [_slope(to_tack(points), low, high)]
    if points.flange_to_perch_mm is not None:
        perch_numbers.insert(0, (length(points.flange_to_perch_mm), f"to {flange_of(build)}"))
    elif points.perch_spacing_mm is not None:
        perch_numbers.insert(0, (length(points.perch_spacing_mm), "perch to perch"))
    read = "Output slope read again" + (
        "" if output is None else f": {leaning(output, down='tail down', up='tail up')}"
    )
    fitted, loose = _fitted(build, solution), points.axle_shim_deg is None
    return (
        Step(
            "Support",
            () if under is None else ((length(under), "floor to underside of tube, both"),),
            (
                "Level floor. Stands under the axle, beside the springs",
                "Axle at ride height, springs carry it",
                *fitted,
                read,
            ),
            ("left", "right", "output °"),
            _stands,
        ),
        Step(
            "Square",
            ((length(value_at(build, "vehicle.wheelbase_mm")), "wheelbase, both"),)
            if value_at(build, "vehicle.wheelbase_mm")
            else (),
            ("Wheelbase left and right, hub to hub", f"Diagonals from the same frame holes: equal within {apart}"),
            ("base left", "right", "diagonal A", "B"),
            _square,
        ),
        Step(
            "Set the pinion",
            (_slope(pinion, up, down),) if pinion is not None else (),
            (
                "Links' axle brackets clamped, not welded" if links else _LOOSE if loose else _STAY,
                "Gauge on the flange's face; rail's slope taken out",
            ),
            ("pinion °", "rail °"),
            _pinion,
        ),
        Step(
            "Both brackets" if links else "Both perches",
            () if links else tuple(one for one in perch_numbers if one[0]),
            (
                f"Left and right equal within {even}"
                + ("" if links else f", seats within {degrees(_SEATS_DEG)} of each other"),
            ),
            ("left", "right") if links else ("to flange L", "R", "seat L °", "R °"),
            _perches,
        ),
        Step(
            "Tack",
            (),
            (
                f"Four tacks on each of the {bracket}, in the order drawn, left and right in turn",
                f"{capital(bracket)} that meet a casting: stop, ask first",
            ),
            (),
            _tacks,
        ),
        Step(
            "Weight on, read again",
            (),
            ("Stands out, roll it, bounce it; same state as before", f"Moved {past}: break the tacks, go to 3"),
            ("pinion °", "left", "right", "diagonal A − B"),
            _weight,
        ),
        Step(
            "Weld",
            (),
            (
                f"Short passes, {longest} at most, opposite, in the order drawn",
                "Hand warm before the next: wait, no water, no air",
            ),
            (),
            _passes,
        ),
        Step(
            "Cold: read, then clamp",
            (),
            (
                "Bolts to torque with the weight on; again at 500 miles (800 km)",
                "Toe and camber at the flanges: tube still straight",
                "Breather, oil level, brake lines, joints greased",
            ),
            ("pinion °", "left", "right", "bolts"),
            _compare(past),
        ),
    )


def _fitted(build: Build, solution: Solution) -> tuple[str, ...]:
    """What is fitted before anything is read, an order a line; of many, as many on a line as it has room for."""
    orders = [capital(one) for one in to_fit(build, solution)]
    if len(orders) <= _FEW:
        return tuple(orders)
    packed = list[str]()
    for order in orders:
        together = f"{packed[-1]}. {order}" if packed else ""
        if together and width(together, _BODY_PT) <= _TICK_ROOM:
            packed[-1] = together
        else:
            packed.append(order)
    return tuple(packed)


def _slope(value: float | None, down: str, up: str) -> tuple[str, str]:
    """A slope to set and which way: the words of `leaning` apart."""
    if value is None:
        return "", ""
    number, _, way = leaning(value, down=down, up=up).partition(" ")
    return number, way


def _cautions(board: Board, frame: Frame, y: float) -> float:
    corners = (frame.left, y), (frame.right, y), (frame.right, y + _FRAME_HIGH), (frame.left, y + _FRAME_HIGH)
    board.shape(corners, "", Stroke(INK, 2.6), z=2.0)
    x, middle = frame.left + 34.0, y + _FRAME_HIGH / 2.0
    board.shape(((x, middle - 22.0), (x + 24.0, middle + 19.0), (x - 24.0, middle + 19.0)), "", Stroke(INK, 2.4), z=2.1)
    board.write(x, middle + 14.0, "!", 17.0, INK, bold=True, align="middle")
    for number, (bold, quiet) in enumerate(_CAUTIONS):
        left = frame.left + 74.0 + (number % 2) * (frame.room - 74.0) / 2.0
        base = y + 20.0 + (number // 2) * 34.0
        board.write(left, base, bold, _BODY_PT, INK, bold=True)
        board.write(left, base + 14.0, quiet, SMALL_PT, INK)
    return y + _FRAME_HIGH + 8.0


def _high(step: Step, pitch: float = _PITCH) -> float:
    return 32.0 + pitch * len(step.ticks) + (_BOX[1] + 7.0 if step.reads else 0.0)


def _numbers_wide(step: Step, pt: float) -> float:
    """How wide a step's numbers are with their words, in this size of type."""
    return sum(18.0 + width(value, pt, bold=True) + width(words, 8.5) for value, words in step.numbers)


def _draw(board: Board, frame: Frame, number: int, step: Step, y: float, high: float, pitch: float) -> None:
    base = y + 23.0
    board.write(frame.left, base + 4.0, str(number), _STEP_PT, INK, bold=True)
    x = board.write(frame.left + 36.0, base, step.title, _HEAD_PT, INK, bold=True)
    right = frame.right - _PICTURE - 12.0
    pt = next((one for one in _SET_PTS if _numbers_wide(step, one) <= right - x), _SET_PTS[-1])
    for value, words in step.numbers:
        x = board.write(x + 12.0, base, value, pt, INK, bold=True)
        x = board.write(x + 6.0, base, words, 8.5, INK)
    for place, words in enumerate(step.ticks):
        tick(board, frame.left + 36.0, base + 20.0 + pitch * place, words, _BODY_PT)
    bottom = y + high
    for place, words in enumerate(reversed(step.reads)):
        left = right - (place + 1) * (_BOX[0] + 6.0) + 6.0
        text_box(board, left, bottom - _BOX[1] - 5.0, *_BOX, words)
    step.picture(board, frame.right - _PICTURE, y + 4.0, high - 10.0)


# --- pictures, each in a box of its own: left, top, height; all of them 190 pixels wide -------------------------------


def _bar(board: Board, left: float, top: float, wide: float, high: float, share: float, *, thick: float = 1.2) -> None:
    corners = (left, top), (left + wide, top), (left + wide, top + high), (left, top + high)
    board.shape(corners, board.tint(share), Stroke(INK, thick), z=4.0)


def _axle(board: Board, left: float, middle: float) -> None:
    """The axle from behind: tube, housing, two perches."""
    _bar(board, left + 18.0, middle - 6.0, _PICTURE - 36.0, 12.0, 0.08)
    board.disc((left + _PICTURE / 2.0, middle), 15.0, board.tint(0.14), Stroke(INK, 1.3), z=4.2)
    for share in (0.26, 0.74):
        x = left + share * _PICTURE
        _bar(board, x - 7.0, middle - 14.0, 14.0, 9.0, 0.4)


def _stands(board: Board, x: float, y: float, high: float) -> None:
    floor, middle = y + high - 3.0, y + 0.42 * high
    board.line(((x, floor), (x + _PICTURE, floor)), INK, 1.4, z=3.0)
    for at in (0.0, _PICTURE - 18.0):
        _bar(board, x + at, y + 2.0, 18.0, floor - y - 2.0, 0.07, thick=0.9)
    _axle(board, x, middle)
    for share in (0.34, 0.66):
        at = x + share * _PICTURE
        top = middle + 6.0
        board.shape(
            ((at - 3.0, top), (at + 3.0, top), (at + 11.0, floor), (at - 11.0, floor)),
            board.tint(0.3),
            Stroke(INK, 1.1),
            z=4.3,
        )
    double_arrow(board, (x + _PICTURE - 26.0, middle + 6.0), (x + _PICTURE - 26.0, floor))


def _square(board: Board, x: float, y: float, high: float) -> None:
    top, bottom = y + 0.24 * high, y + 0.76 * high
    for at in (top, bottom):
        _bar(board, x + 6.0, at - 3.5, _PICTURE - 46.0, 7.0, 0.06, thick=0.8)
        board.disc((x + 22.0, at), 3.5, PAPER.paper, Stroke(INK, 1.4), z=5.0)
    rear = x + _PICTURE - 30.0
    _bar(board, rear - 5.0, y + 6.0, 10.0, high - 14.0, 0.12)
    board.disc((rear, y + high / 2.0 - 1.0), 9.0, board.tint(0.2), Stroke(INK, 1.2), z=5.0)
    for at in (y + 2.0, y + high - 12.0):
        _bar(board, rear - 16.0, at, 32.0, 9.0, 0.07, thick=0.9)
    for one, two in (((x + 24.0, top), (rear - 5.0, y + high - 10.0)), ((x + 24.0, bottom), (rear - 5.0, y + 8.0))):
        board.arrow(one, two, PAPER.accent, 1.4, z=6.0, head=7.0, half=2.8)
    board.write(x + 4.0, y + high / 2.0 + 4.0, "equal", 8.5, PAPER.accent, bold=True)


def _pinion(board: Board, x: float, y: float, high: float) -> None:
    """The axle from the left with its springs, and the gauge on the pinion's flange."""
    cx, cy = x + 0.62 * _PICTURE, y + 0.52 * high
    radius = min(0.42 * high, 30.0)
    board.disc((cx, cy), radius, board.tint(0.1), Stroke(INK, 1.3), z=4.0)
    board.disc((cx, cy), 8.0, PAPER.paper, Stroke(INK, 1.4), z=4.3)
    flange = x + 0.26 * _PICTURE
    board.shape(
        ((flange, cy - 1.0), (cx - radius + 4.0, cy - 11.0), (cx - radius + 4.0, cy + 15.0), (flange, cy + 9.0)),
        board.tint(0.1), Stroke(INK, 1.2), z=4.1,
    )  # fmt: skip
    _bar(board, flange - 6.0, cy - 10.0, 6.0, 26.0, 0.3)
    for drop in (0.0, 5.0):
        board.line(((x + 20.0, cy - 24.0 + drop), (x + _PICTURE - 8.0, cy - 20.0 + drop)), board.tint(0.66), 2.4, z=4.6)
    _bar(board, flange - 19.0, cy - 9.0, 13.0, 22.0, 0.0, thick=1.6)
    board.disc((flange - 12.5, cy - 1.0), 4.0, board.tint(0.15), Stroke(INK, 0.9), z=5.0)
    board.line(((flange - 12.5, cy - 1.0), (flange - 12.5, cy - 5.0)), PAPER.hold, 1.3, z=5.1)
    board.line(((x, cy - 5.0), (cx + radius + 16.0, cy + 12.0)), PAPER.accent, 1.0, z=5.2, dash=(10.0, 3.0, 2.0, 3.0))


def _perches(board: Board, x: float, y: float, high: float) -> None:
    middle = y + 0.36 * high
    _axle(board, x, middle)
    for at in (x + 12.0, x + _PICTURE - 18.0):
        _bar(board, at, middle - 17.0, 6.0, 34.0, 0.5)
    base = y + high - 9.0
    for one, two in ((x + 18.0, x + 0.26 * _PICTURE), (x + 0.74 * _PICTURE, x + _PICTURE - 18.0)):
        for at in (one, two):
            board.line(((at, middle + 14.0), (at, base + 4.0)), board.tint(0.6), 0.7, z=3.0)
        double_arrow(board, (one, base), (two, base))


def _pair(
    board: Board, x: float, y: float, high: float, draw: Callable[[int, float, float, float, float], None]
) -> None:
    """Both perches from above, the tube under them: left and right, and what is drawn on each."""
    for side, words in enumerate(("left", "right")):
        left = x + side * (_PICTURE / 2.0 + 2.0)
        wide = _PICTURE / 2.0 - 4.0
        middle = y + 0.56 * high
        tall = min(0.72 * high, 46.0)
        _bar(board, left, middle - 0.3 * tall, wide, 0.6 * tall, 0.08)
        _bar(board, left + 0.3 * wide, middle - tall / 2.0, 0.4 * wide, tall, 0.36)
        board.write(left + wide / 2.0, middle - tall / 2.0 - 3.0, words, SMALL_PT, MUTED, align="middle")
        draw(side, left + 0.3 * wide, left + 0.7 * wide, middle - 0.3 * tall, middle + 0.3 * tall)


def _tacks(board: Board, x: float, y: float, high: float) -> None:
    def draw(side: int, left: float, right: float, top: float, bottom: float) -> None:
        for number, (at, where) in zip(
            _ORDER[side], ((left, top), (right, top), (left, bottom), (right, bottom)), strict=True
        ):
            board.disc((at, where), 3.6, INK, z=6.0)
            away = -9.0 if at == left else 9.0
            base = where - 4.0 if where == top else where + 11.0
            board.write(at + away, base, str(number), SMALL_PT, INK, bold=True, align="middle")

    _pair(board, x, y, high, draw)


def _passes(board: Board, x: float, y: float, high: float) -> None:
    def draw(side: int, left: float, right: float, top: float, bottom: float) -> None:
        half = (bottom - top) / 2.0
        for number, (at, where) in zip(
            _ORDER[side], ((left, top), (right, top), (left, top + half), (right, top + half)), strict=True
        ):
            board.line(((at, where + 1.5), (at, where + half - 1.5)), INK, 5.0, z=6.0)
            away = -10.0 if at == left else 10.0
            board.write(at + away, where + half / 2.0 + 4.0, str(number), SMALL_PT, INK, bold=True, align="middle")

    _pair(board, x, y, high, draw)


def _weight(board: Board, x: float, y: float, high: float) -> None:
    floor, cx = y + high - 3.0, x + 0.68 * _PICTURE
    board.line(((x, floor), (x + _PICTURE, floor)), INK, 1.4, z=3.0)
    radius = min(0.34 * high, 26.0)
    board.disc((cx, floor - radius), radius, board.tint(0.07), Stroke(board.tint(0.6), 1.2), z=3.5)
    board.disc((cx, floor - radius), 6.0, board.tint(0.3), Stroke(INK, 1.2), z=4.5)
    _bar(board, x + 8.0, y + 2.0, _PICTURE - 16.0, 10.0, 0.05, thick=0.9)
    deep = floor - radius - y - 26.0
    sides = [number / 8.0 - 1.0 for number in range(17)]
    spring = [(cx + side * 56.0, y + 18.0 + (1.0 - side * side) * deep) for side in sides]
    board.line(spring, board.tint(0.66), 2.6, z=4.0)
    for side in (-1.0, 1.0):
        board.line(((cx + side * 56.0, y + 12.0), (cx + side * 56.0, y + 19.0)), board.tint(0.66), 2.0, z=4.0)
    board.arrow((cx, y + 13.0), (cx, floor - radius - 9.0), INK, 2.2, z=6.0, head=9.0, half=4.0)
    board.write(x + 4.0, y + 0.6 * high, "weight on", 8.5, INK, bold=True)


def _compare(past: str) -> Callable[[Board, float, float, float], None]:
    def draw(board: Board, x: float, y: float, high: float) -> None:
        lines: Sequence[tuple[str, bool]] = (
            ("Compare with step 6.", True),
            (f"{capital(past)}:", False),
            ("judge it before it is driven.", False),
        )
        for number, (words, bold) in enumerate(lines):
            board.write(x, y + 14.0 + 16.0 * number, words, 9.0, INK, bold=bold)
        base = y + high - 8.0
        end = board.write(x, base, "Done by", 8.5, MUTED)
        rule(board, end + 6.0, base + 2.0, x + _PICTURE, 0.8)

    return draw
