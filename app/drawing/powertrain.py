"""Engine, bell housing, gearbox or transfer case, and mounts, in side view.

Engine and gearbox have the outlines that clearance is judged by. Where their sizes are not entered they are dashed:
such an outline is for the picture and judges nothing.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from app.drawing.board import FAINT_DASH
from app.drawing.items import Stroke
from app.drawing.places import Hung, level
from geometry.document.vehicle import Powertrain
from geometry.mechanics.outline import (
    ENGINE_HEIGHT_MM,
    ENGINE_LENGTH_MM,
    GEARBOX_HEIGHT_MM,
    GEARBOX_LENGTH_MM,
)

if TYPE_CHECKING:
    from app.drawing.board import Board
    from app.drawing.items import Point
    from app.drawing.places import Pair, View
    from app.drawing.subject import Subject

_LOW_RANGE = 1.01
"""Beyond this ratio there is a transfer case behind the gearbox."""


def sizes_of(powertrain: Powertrain | None) -> tuple[float, float, float, float]:
    """Length and height of gearbox and engine, usual ones where they are not entered, mm."""
    if powertrain is None:
        return GEARBOX_LENGTH_MM, GEARBOX_HEIGHT_MM, ENGINE_LENGTH_MM, ENGINE_HEIGHT_MM
    return (
        powertrain.gearbox_length_mm or GEARBOX_LENGTH_MM,
        powertrain.gearbox_height_mm or GEARBOX_HEIGHT_MM,
        powertrain.engine_length_mm or ENGINE_LENGTH_MM,
        powertrain.engine_height_mm or ENGINE_HEIGHT_MM,
    )


def has_transfer_case(powertrain: Powertrain | None) -> bool:
    """Whether the output is a transfer case's."""
    return powertrain is not None and (powertrain.low_range or 1.0) > _LOW_RANGE


def draw_powertrain(board: Board, view: View, subject: Subject) -> None:
    """Draw what is ahead of the output's joint; for a front axle the transfer case behind it."""
    line, powertrain, picture = subject.output_line, subject.build.powertrain, subject.picture
    if line is None or not subject.measured:
        return
    hung = Hung(subject.output, line)
    if subject.ahead:
        _case_behind(board, view, hung, picture.powertrain_outline_mm)
    else:
        gearbox, engine = picture.powertrain_outline_mm, picture.engine_outline_mm
        known = powertrain is not None and bool(powertrain.gearbox_length_mm and powertrain.gearbox_height_mm)
        whole = known and powertrain is not None and bool(powertrain.engine_length_mm and powertrain.engine_height_mm)
        long, tall, length, height = sizes_of(powertrain)
        if engine:
            _engine(board, view, hung, engine, -long, length, height, known=whole)
        if gearbox:
            _gearbox(board, view, hung, gearbox, long, tall, known=known, case=has_transfer_case(powertrain))
        _broken_off(board, view, (engine, gearbox))
    for mount in (picture.front_mount_mm, picture.rear_mount_mm):
        if mount is not None and (not subject.ahead or mount[0] > subject.output[0]):
            _mount(board, view, mount)


def _body(board: Board, view: View, outline: tuple[Pair, ...], share: float, *, z: float, known: bool) -> None:
    made = view.all_px(outline)
    board.edges.append((*made, made[0]))
    stroke = Stroke(board.theme.ink, 1.3) if known else Stroke(board.theme.muted, 1.0, FAINT_DASH)
    board.shape(made, board.tint(share if known else 0.04), stroke, z=z)
    board.target("powertrain", made)


def _engine(
    board: Board, view: View, hung: Hung, outline: tuple[Pair, ...], rear: float, long: float, high: float, *,
    known: bool,
) -> None:  # fmt: skip
    """Block, head, cover and sump within the engine's outline."""
    _body(board, view, outline, 0.07, z=3.0, known=known)
    if not known:
        return
    faint = board.tint(0.13)
    cover = [(rear - 0.12 * long, 0.655 * high), (rear - 0.88 * long, 0.655 * high),
             (rear - 0.945 * long, 0.53 * high), (rear - 0.03 * long, 0.53 * high)]  # fmt: skip
    board.shape(view.all_px(hung.all(cover)), faint, None, z=3.02)
    sump = [(rear - 0.02 * long, -0.20 * high), (rear - 0.10 * long, -0.335 * high),
            (rear - 0.62 * long, -0.335 * high), (rear - 0.94 * long, -0.20 * high)]  # fmt: skip
    board.shape(view.all_px(hung.all(sump)), board.tint(0.11), None, z=3.02)
    for first, last, up, share in ((0.0, 0.945, 0.53, 0.6), (0.0, 1.0, 0.38, 0.35), (0.0, 0.95, -0.20, 0.6)):
        board.seam(
            view, hung, (rear - first * long, up * high), (rear - last * long, up * high), share, z=3.1, thick=1.0
        )
    for way in (0.2, 0.4, 0.6, 0.8):
        board.seam(view, hung, (rear - way * long, 0.02 * high), (rear - way * long, 0.32 * high), 0.22, z=3.1)
    pulley = [(rear - 0.955 * long, 0.09 * high), (rear - long, 0.09 * high),
              (rear - long, -0.09 * high), (rear - 0.955 * long, -0.09 * high)]  # fmt: skip
    board.part(view, hung, pulley, 0.2, z=3.15, thick=0.9)


def _gearbox(
    board: Board, view: View, hung: Hung, outline: tuple[Pair, ...], long: float, tall: float, *, known: bool,
    case: bool,
) -> None:  # fmt: skip
    """Bell housing, main case and tail within the gearbox's outline; behind the main case a transfer case."""
    _body(board, view, outline, 0.09, z=3.2, known=known)
    bell = min(0.28 * long, 200.0)
    bell_to, tail = bell - long, -0.42 * long
    if known:
        house = [(-long, 0.55 * tall), (bell_to, 0.46 * tall), (bell_to, -0.45 * tall), (-long, -0.45 * tall)]
        board.shape(view.all_px(hung.all(house)), board.tint(0.11), None, z=3.22)
        for at, top, bottom, half in ((-long + 9.0, 0.548, -0.45, 9.0), (bell_to, 0.46, -0.45, 7.0)):
            band = [(at - half, top * tall), (at + half, top * tall), (at + half, bottom * tall),
                    (at - half, bottom * tall)]  # fmt: skip
            board.part(view, hung, band, 0.2, z=3.26, thick=0.9)
        board.seam(view, hung, (bell_to + 0.05 * long, -0.33 * tall), (tail - 0.05 * long, -0.33 * tall), 0.35, z=3.26)
        band = [(tail - 7.0, 0.40 * tall), (tail + 7.0, 0.395 * tall), (tail + 7.0, -0.415 * tall),
                (tail - 7.0, -0.42 * tall)]  # fmt: skip
        board.part(view, hung, band, 0.2, z=3.26, thick=0.9)
        for share in (-0.33, -0.25):
            board.seam(view, hung, (share * long, 0.34 * tall), (share * long, -0.36 * tall), 0.22, z=3.26)
        end = [(-72.0, 0.31 * tall), (-55.0, 0.30 * tall), (-55.0, -0.34 * tall), (-72.0, -0.345 * tall)]
        board.part(view, hung, end, 0.2, z=3.27, thick=0.9)
    if case:
        # Its size is taken from the gearbox, so it is dashed and judges nothing.
        middle = (tail - 62.0) / 2.0 - 10.0
        body = [(tail, 0.34 * tall), (middle, 0.38 * tall), (middle + 70.0, 0.30 * tall), (middle + 70.0, -0.30 * tall),
                (middle + 55.0, -0.62 * tall), (tail + 28.0, -0.62 * tall), (tail, -0.40 * tall)]  # fmt: skip
        made = board.part(
            view, hung, body, 0.13, z=3.3, round_mm=0.09 * tall, fill=board.tint(0.13), dash=FAINT_DASH,
            edge=board.tint(0.78),
        )  # fmt: skip
        board.target("powertrain", made)
        # What was measured shows through it.
        board.line(view.all_px((*outline, outline[0])), board.tint(0.30), 0.8, z=3.31)
        for at, share, thick in ((middle + 6.0, 0.75, 1.3), (middle - 2.0, 0.4, 0.7)):
            board.seam(view, hung, (at, 0.37 * tall), (at, -0.61 * tall), share, z=3.32, thick=thick)


def _case_behind(board: Board, view: View, hung: Hung, outline: tuple[Pair, ...]) -> None:
    """A transfer case behind a front output, of usual size: dashed, it judges nothing."""
    if not outline:
        return
    made = view.all_px(outline)
    board.edges.append((*made, made[0]))
    board.shape(made, board.tint(0.12), Stroke(board.tint(0.78), 1.0, FAINT_DASH), z=3.2)
    board.target("powertrain", made)
    tall = GEARBOX_HEIGHT_MM
    for at, share, thick in ((232.0, 0.75, 1.3), (241.0, 0.4, 0.7)):
        board.seam(view, hung, (at, 0.59 * tall), (at, -0.51 * tall), share, z=3.22, thick=thick)
    flange = [(55.0, 0.34 * tall), (72.0, 0.40 * tall), (72.0, -0.38 * tall), (55.0, -0.34 * tall)]
    board.part(view, hung, flange, 0.2, z=3.25, thick=0.9)


def _mount(board: Board, view: View, at: Pair) -> None:
    """Rubber between two plates."""
    hung = level(at)
    rubber = [(-30.0, 13.0), (30.0, 13.0), (36.0, -13.0), (-36.0, -13.0)]
    board.target("powertrain", board.part(view, hung, rubber, 0.34, z=3.6, thick=0.8, round_mm=6.0))
    for up in (14.0, -14.0):
        plate = [(-44.0, up - 4.0), (44.0, up - 4.0), (44.0, up + 4.0), (-44.0, up + 4.0)]
        made = board.part(view, hung, plate, 0.52, z=3.65, thick=0.6)
        board.target("powertrain", made)


def _broken_off(board: Board, view: View, outlines: tuple[tuple[Pair, ...], ...]) -> None:
    """A wavy line where the left edge of the view cuts the powertrain off: ISO 128, from memory."""
    left = view.box[0]
    cut: list[float] = []
    for outline in outlines:
        made: tuple[Point, ...] = view.all_px(outline)
        for (ax, ay), (bx, by) in zip(made, (*made[1:], *made[:1]), strict=True):
            if (ax - left) * (bx - left) < 0.0:
                cut.append(ay + (by - ay) * (left - ax) / (bx - ax))
    if len(cut) < 2:
        return
    top, bottom = min(cut) - 3.0, max(cut) + 3.0
    wave = [
        (left + 2.5 + 2.5 * math.sin(4.0 * math.pi * step / 40.0), top + (bottom - top) * step / 40.0)
        for step in range(41)
    ]
    board.shape([*wave, (left - 2.0, bottom), (left - 2.0, top)], board.theme.paper, None, z=3.9)
    board.line(wave, board.theme.ink, z=3.95)
