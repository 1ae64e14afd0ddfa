"""Names of the parts, quiet, each where it stands clear; what finds no place is left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from app.drawing.board import inside
from app.drawing.fonts import PX_PER_PT, width
from app.drawing.places import Hung, Pair, boxed, on_polyline
from app.drawing.powertrain import has_transfer_case, sizes_of
from app.units import LEVEL_DEG, leaning

if TYPE_CHECKING:
    from app.drawing.board import Board
    from app.drawing.items import Point
    from app.drawing.places import View
    from app.drawing.side import SideView

QUIET_PT = 9.0
_ASIDE = 12.0
"""Paper between two names on one line, or they would read as one."""

_ALONG = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.45, 0.55, 0.35, 0.65, 0.25, 0.75)
"""Where along a part its name may stand, as shares."""


class Name(NamedTuple):
    """A name, and the places that its middle may stand at, mm: within an outline where there is one, else beside it."""

    text: str
    places: list[Pair]
    within: tuple[Point, ...] = ()
    beside: tuple[Pair, ...] = ()


def write_names(side: SideView) -> list[str]:
    """Write each part's name where it stands clear, most wanted first; return those left out."""
    return put_names(side.board, side.view, _names(side))


def put_names(board: Board, view: View, names: Iterable[Name]) -> list[str]:
    """Write names in a view where they stand clear, most wanted first; return those left out."""
    k = board.k
    left, top, right, bottom = view.box
    left_out, pt = [], QUIET_PT * k
    for name in names:
        seen = False
        for number, place in enumerate((*name.places, *name.beside)):
            x, y = view.px(place)
            if not view.holds((x, y)):
                continue
            seen = True
            base = y + 0.28 * pt * PX_PER_PT
            box = board.box_of(x, base, name.text, pt, align="middle")
            if box[0] < left + 4.0 or box[1] < top or box[2] > right or box[3] > bottom:
                continue
            corners = boxed(*box) if name.within and number < len(name.places) else []
            if not all(inside(corner, name.within) for corner in corners):
                continue
            if board.is_free(box, 3.0 * k, _ASIDE * k):
                board.write(x, base, name.text, pt, board.tint(0.78), align="middle")
                break
        else:
            if seen:
                left_out.append(name.text)
    return left_out


def _names(side: SideView) -> Iterator[Name]:
    """Names with their places, those that yield last first."""
    subject, view, k = side.subject, side.view, side.board.k
    high = QUIET_PT * k * PX_PER_PT / view.scale
    for number, outline in side.obstacles.items():
        yield _obstacle(side, subject.build.obstacles[number].name, outline, high)
    if not subject.drawable:
        return
    yield from _powertrain(side, high)
    if len(subject.joints) == 3 and side.bearing:
        wide = width("support bearing", QUIET_PT * k) / 2.0 / view.scale
        xs = [view.mm(one)[0] for one in side.bearing]
        zs = [view.mm(one)[1] for one in side.bearing]
        # Below it and beside it: above is the rail, which has a name of its own.
        middle = (min(zs) + max(zs)) / 2.0
        places = [(x, z) for z in (min(zs) - high, min(zs) - 2.0 * high, middle)
                  for x in (max(xs) + wide + 8.0, min(xs) - wide - 8.0, (min(xs) + max(xs)) / 2.0)]  # fmt: skip
        yield Name("support bearing", places)
    for text, ((fx, fz), (ax, az)) in zip(("lower link", "upper link"), subject.picture.links_mm, strict=False):
        ways = (-1.0, 1.0) if text == "lower link" else (1.0, -1.0)
        yield Name(text, [
            (fx + share * (ax - fx), fz + share * (az - fz) + way * (high * up + 26.0))
            for up in (1.0, 1.3, 1.6) for share in (0.5, 0.4, 0.3, 0.6, 0.2, 0.7) for way in ways
        ])  # fmt: skip
    for text, ends in (("shock", subject.picture.shocks_mm), ("torque bar", subject.picture.torque_bars_mm)):
        if ends:
            (fx, _, fz), (ax, _, az) = ends[0]
            wide = (width(text, QUIET_PT * k) / 2.0 + 6.0) / view.scale + 30.0
            beside = [
                (fx + share * (ax - fx) + way * wide, fz + share * (az - fz))
                for share in (0.5, 0.3, 0.7, 0.15, 0.85) for way in (1.0, -1.0, 1.5, -1.5)
            ]  # fmt: skip
            under = [
                (fx + share * (ax - fx), fz + share * (az - fz) - high * down - 24.0)
                for down in (0.8, 1.2, 1.8) for share in (0.5, 0.7, 0.3, 0.85, 0.15)
            ]  # fmt: skip
            yield Name(text, beside + under if abs(az - fz) > abs(ax - fx) else under + beside)
    yield from _flexible_lines(side, high)
    rail = subject.picture.frame_rail_mm
    if rail:
        slope = subject.here.angles.frame_slope_deg or 0.0
        lean = "level" if abs(slope) < LEVEL_DEG else leaning(slope, down="tail down", up="nose down")
        first, last = subject.joints[0][0], subject.joints[-1][0]
        (ax, az), (bx, bz), (_, tb), (_, ta) = rail
        places = []
        for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, -0.1, 1.1, -0.2, 1.2, -0.4, 1.4, -0.6, 1.6):
            x = first + share * (last - first)
            along = (x - ax) / (bx - ax)
            low, top = az + along * (bz - az), min(ta + along * (tb - ta), view.high_mm)
            places.append((x, (low + top) / 2.0))
        yield Name(f"frame rail, {lean}", places)
    yield from _spring(side, high)


def _flexible_lines(side: SideView, high: float) -> Iterator[Name]:
    """Each hose, cable or wire by its own name, beside its middle."""
    subject = side.subject
    for one, hung in zip(subject.build.flexible_lines, subject.picture.flexible_lines_mm, strict=True):
        if hung:
            wide = (width(one.name, QUIET_PT * side.board.k) / 2.0 + 8.0) / side.view.scale
            spots = [hung[round(share * (len(hung) - 1))] for share in (0.5, 0.3, 0.7, 0.1, 0.9)]
            places = [
                (x + way * far * wide, z + up * high)
                for far in (1.0, 1.5) for up in (0.0, -1.0, 1.0) for x, _, z in spots for way in (1.0, -1.0)
            ]  # fmt: skip
            x, _, z = spots[0]
            yield Name(one.name, [*places, (x, z - high), (x, z + high)])


def _spring(side: SideView, high: float) -> Iterator[Name]:
    """Leaf spring, shackle, and a block under it: beside what they name, above the spring or below."""
    leaf, subject, per_mm = side.leaf, side.subject, 1.0 / side.view.scale
    if leaf is None or not leaf.curve:
        return

    def beside(text: str, clear_mm: float) -> float:
        return (width(text, QUIET_PT * side.board.k) / 2.0 + 6.0) * per_mm + clear_mm

    if leaf.block is not None:
        x, z, half, tall = leaf.block
        aside = beside("block", half)
        ups = (0.0, 0.5 * tall, 0.8 * tall, -0.5 * tall)
        yield Name("block", [(x + way * aside, z + up) for up in ups for way in (1.0, -1.0, 1.3, -1.3)])
    shares = (0.25, 0.2, 0.3, 0.75, 0.8, 0.7, 0.85, 0.15, 0.9)
    spots = [on_polyline(leaf.curve, share)[0] for share in shares]
    pack = 3.0 * leaf.step
    yield Name("leaf spring", [(x, z + up) for up in (0.9 * high, -0.9 * high - pack) for x, z in spots])
    if len(subject.picture.shackle_mm) == 2:
        (ax, az), (bx, bz) = subject.picture.shackle_mm
        aside = beside("shackle", abs(bx - ax) / 2.0 + 20.0)
        yield Name("shackle", [((ax + bx) / 2.0 + way * aside, (az + bz) / 2.0) for way in (1.0, -1.0)])


def _obstacle(side: SideView, text: str, outline: tuple[Point, ...], high: float) -> Name:
    view, k = side.view, side.board.k
    corners = [view.mm(one) for one in outline]
    xs, zs = [x for x, _ in corners], [z for _, z in corners]
    wide = (width(text, QUIET_PT * k) / 2.0 + 6.0 * k) / view.scale
    middle = (min(xs) + max(xs)) / 2.0
    places = [(middle, (min(zs) + max(zs)) / 2.0), (middle, min(zs) - 0.9 * high), (middle, max(zs) + 0.8 * high)]
    places += [
        (x, z) for z in (min(zs) + 0.5 * high, (min(zs) + max(zs)) / 2.0, max(zs) - 0.5 * high)
        for x in (max(xs) + wide, min(xs) - wide)
    ]  # fmt: skip
    places += [(max(xs) - share * (max(xs) - min(xs)), min(zs) - 0.9 * high) for share in (0.1, 0.2, 0.3, 0.7, 0.8)]
    return Name(text, places)


def _powertrain(side: SideView, high: float) -> Iterator[Name]:
    subject, view = side.subject, side.view
    line, powertrain = subject.output_line, subject.build.powertrain
    if line is None or not subject.measured:
        return
    hung = Hung(subject.output, line)
    if subject.ahead:
        places = [
            hung.at(235.0 + dx, up * 250.0)
            for up in (-0.4, 0.45, -0.30, 0.35)
            for dx in (0.0, -20.0, 30.0, -55.0, 78.0)
        ]
        places += [hung.at(235.0, -0.52 * 250.0 - 0.9 * high)]
        yield Name("transfer case", places)
        return
    long, tall, engine, head = sizes_of(powertrain)
    bell = min(0.28 * long, 200.0)
    cut = (view.box[0] - view.x(subject.output[0])) / view.scale + 10.0

    def within(text: str, first: float, last: float, low: float, top: float, under: float) -> Name:
        start = max(first, cut)
        ways = [start + (last - start) * share for share in _ALONG] if start < last else []
        ups = [
            (low + top) / 2.0 + share * (top - low) for share in (-0.25, 0.25, -0.33, 0.33, -0.12, 0.12, -0.42, 0.42)
        ]
        box = view.all_px(hung.all([(start, low), (start, top), (last, top), (last, low)]))
        places = [hung.at(way, up) for up in ups for way in ways]
        return Name(text, places, box, tuple(hung.at(way, under - 0.9 * high) for way in ways))

    if has_transfer_case(powertrain):
        yield within("transfer case", -0.42 * long, -75.0, -0.60 * tall, 0.36 * tall, -0.62 * tall)
        yield within("gearbox", bell - long, -0.42 * long, -0.36 * tall, 0.37 * tall, -0.45 * tall)
    else:
        yield within("gearbox", bell - long, -80.0, -0.36 * tall, 0.37 * tall, -0.44 * tall)
    yield within("engine", -long - 0.92 * engine, -long, -0.20 * head, 0.38 * head, -0.36 * head)
    yield within("bell housing", -long, bell - long, -0.42 * tall, 0.45 * tall, -0.47 * tall)
    mount = subject.picture.rear_mount_mm
    if mount is not None:
        wide = (width("mount", QUIET_PT * side.board.k) / 2.0 + 5.0) / view.scale + 44.0
        yield Name(
            "mount", [(mount[0], mount[1] - 18.0 - high), (mount[0] + wide, mount[1]), (mount[0] - wide, mount[1])]
        )
