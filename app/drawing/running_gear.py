"""Leaf springs with perches and U-bolts, links, shocks, torque bars, lateral link, tyres, frame and obstacles."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from app.drawing.board import FAINT_DASH
from app.drawing.items import Stroke
from app.drawing.places import Hung, bar, hung_on, level, on_polyline, rounded
from geometry.document.running_gear import LeafSuspension
from geometry.words.solution import BAD

if TYPE_CHECKING:
    from app.drawing.axle import Housing
    from app.drawing.board import Board
    from app.drawing.items import Point
    from app.drawing.places import Pair, View
    from app.drawing.subject import Subject
    from geometry.words.solution import Part, Triple

Axes = tuple[int, int]
SIDE: Final[Axes] = (0, 2)
ABOVE: Final[Axes] = (0, 1)
BEHIND: Final[Axes] = (1, 2)
"""Which of a point's numbers a view shows, across its page and up."""
_LEAF_MM: Final = 8.0
_LEAVES: Final = (1.0, 0.72, 0.46)
"""How long each leaf is, of the main one."""
_HOSE_MM: Final = 5.0
"""Half of how thick hoses, cables and wires are drawn."""
_BUSH_MM: Final = 9.0
"""How much wider a link's bush is than its bar, on each side."""


def draw_tyre(board: Board, view: View, hub: Pair, radius: float) -> None:
    """Draw a wheel: it is the ground of everything else, so it is pale."""
    at, size = view.px(hub), radius * view.scale
    edge = board.tint(0.50)
    board.disc(at, size, board.tint(0.085), Stroke(edge), z=1.0)
    board.disc(at, 0.93 * size, "", Stroke(board.tint(0.18), 0.7), z=1.0)
    board.disc(at, 0.60 * size, board.theme.paper, Stroke(edge), z=1.0)
    board.disc(at, 0.55 * size, board.tint(0.04), Stroke(board.tint(0.22), 0.8), z=1.0)


def draw_rail(board: Board, view: View, outline: tuple[Pair, ...]) -> None:
    """Draw the frame rail; `outline` goes along its underside and back along its top."""
    made = view.all_px(outline)
    board.shape(made, board.tint(0.055), Stroke(board.tint(0.50), 0.9), z=1.5)
    (ax, az), (bx, bz), (_, right), (_, left) = outline
    for share in (0.13, 0.87):
        lip = view.all_px(((ax, az + (left - az) * share), (bx, bz + (right - bz) * share)))
        board.line(lip, board.tint(0.16), 0.7, z=1.6)
    board.edges += [(made[0], made[1]), (made[2], made[3])]
    board.target("vehicle", made)


def draw_obstacle(
    board: Board, view: View, outline: tuple[Pair, ...], number: int, *, carried: bool = False
) -> tuple[Point, ...]:
    """Draw what is in the way; of what axle or engine carry the outline lies over them."""
    made = view.all_px(outline)
    board.edges.append((*made, made[0]))
    board.shape(made, board.tint(0.16), Stroke(board.theme.muted, 1.0, (5.0, 2.5)), z=2.1)
    if carried:
        board.shape(made, "", Stroke(board.theme.ink, 1.1, (5.0, 2.5)), z=5.9)
    board.target("obstacles", made, obstacle=number)
    return made


def _hanger(board: Board, view: View, eye: Pair, top: float, wide: float) -> None:
    """A bracket from the frame down to an eye."""
    if top - eye[1] <= 12.0:
        return
    x, z = eye
    outline = [(x - wide, top + 8.0), (x + wide, top + 8.0), (x + 20.0, z - 14.0), (x - 20.0, z - 14.0)]
    made = view.all_px(rounded(outline, 12.0))
    board.edges.append((*made, made[0]))
    board.shape(made, board.tint(0.13), Stroke(board.tint(0.5), 0.9), z=2.4)
    board.target("suspension", made)


class LeafPainter:
    """A leaf spring in side view, with all that holds it to frame and axle."""

    def __init__(self, board: Board, view: View, subject: Subject, housing: Housing | None) -> None:
        self.board, self.view, self.subject, self.housing = board, view, subject, housing
        self.curve = subject.spring
        self.spring = subject.build.suspension if isinstance(subject.build.suspension, LeafSuspension) else None
        self.thick = max(_LEAF_MM * view.scale, 2.0)
        self.step = (self.thick + 1.0) / view.scale
        """From leaf to leaf, mm."""
        self.block: tuple[float, float, float, float] | None = None
        """Middle of a lift's block, half of its width, and half of its height, mm."""

    def draw(self, rail: tuple[Pair, ...]) -> None:
        """Draw all of it; without the spring's own curve its eyes alone."""
        picture, view = self.subject.picture, self.view
        tops = [view_height(rail, eye[0]) for eye in picture.spring_eyes_mm]
        for (eye, top), wide in zip(zip(picture.spring_eyes_mm, tops, strict=True), (66.0, 58.0), strict=False):
            at = picture.shackle_mm[0] if wide == 58.0 and picture.shackle_mm else eye
            if top is not None:
                _hanger(self.board, view, at, top, wide)
        if not self.curve:
            for eye in picture.spring_eyes_mm:
                self._eye(eye)
            return
        self._pack()
        self._shackle()
        if self.housing is not None:
            self._perch(self.housing)

    def _pack(self) -> None:
        board, view, total = self.board, self.view, len(self.curve) - 1
        middle = self.subject.bolt_share
        leaf = board.tint(0.66)
        for number, fraction in enumerate(_LEAVES):
            first, last = middle - fraction * middle, middle + fraction * (1.0 - middle)
            line: list[Point] = []
            away = self.step * number
            for place in range(round(first * total), round(last * total) + 1):
                (ax, az), (x, z) = self.curve[max(place - 1, 0)], self.curve[place]
                bx, bz = self.curve[min(place + 1, total)]
                run = math.hypot(bx - ax, bz - az) or 1.0
                line.append(view.px((x + (bz - az) / run * away, z - (bx - ax) / run * away)))
            if len(line) > 1:
                board.line(line, leaf, self.thick, z=5.6)
                board.edges.append(tuple(line))
                if number == 0:
                    self._pressable(line)
        for share in (middle - 0.33, middle + 0.33):
            at, along = on_polyline(self.curve, share)
            half = self.thick / view.scale
            clip = [(-9.0, 0.9 * half), (9.0, 0.9 * half), (9.0, -1.7 * self.step), (-9.0, -1.7 * self.step)]
            board.part(view, Hung(at, along), clip, 0.5, z=5.65, thick=0.8)

    def _pressable(self, line: list[Point]) -> None:
        deep = 3.0 * self.thick + 4.0
        above, below = [(x, y - 5.0) for x, y in line], [(x, y + deep) for x, y in reversed(line)]
        self.board.target("suspension", [*above, *below])

    def _eye(self, at: Pair) -> None:
        board, view = self.board, self.view
        board.disc(view.px(at), max(15.0 * view.scale, 3.6), board.theme.paper, Stroke(board.theme.ink, 1.3), z=5.8)
        board.disc(view.px(at), max(5.0 * view.scale, 1.2), board.theme.ink, z=5.9)

    def _shackle(self) -> None:
        picture = self.subject.picture
        if len(picture.shackle_mm) == 2:
            hung, long = hung_on(*picture.shackle_mm)
            plate = rounded(bar(long + 19.0, 19.0, -19.0), 18.0)
            self.board.target("suspension", self.board.part(self.view, hung, plate, 0.20, z=5.7))
            self._eye(picture.shackle_mm[0])
        for eye in picture.spring_eyes_mm:
            self._eye(eye)

    def _perch(self, housing: Housing) -> None:
        """Perch, block and wedge between spring and axle tube, U-bolts and plates about them."""
        board, view, plan, tube = self.board, self.view, self.subject.build.plan, housing.tube_mm
        at, along = on_polyline(self.curve, self.subject.bolt_share)
        hung = Hung(at, along)
        over = self.spring is None or self.spring.seat != "under"
        down = -1.0 if over else 1.0
        half = self.thick / 2.0 / view.scale
        pack = half + 2.0 * self.step if over else half
        away = math.hypot(at[0] - housing.hung.origin[0], at[1] - housing.hung.origin[1])
        seat, wide = down * pack, 0.5 * tube + 26.0
        front = self.subject.ahead
        by = None if plan is None else plan.front_lift_by if front else plan.rear_lift_by
        lift = 0.0 if plan is None else (plan.front_lift_mm if front else plan.rear_lift_mm) or 0.0
        # A block over the axle raises the vehicle, one over a spring that hangs below the axle lowers it.
        high = lift if over else -lift
        if by == "block" and high > 0.0:
            block = [(-wide + 6.0, seat), (wide - 6.0, seat), (wide - 6.0, seat + down * high),
                     (-wide + 6.0, seat + down * high)]  # fmt: skip
            made = board.part(view, hung, block, 0.22, z=5.55)
            board.target("perches", made)
            self.block = (*hung.at(0.0, seat + down * high / 2.0), wide, high / 2.0)
            for share in (0.33, 0.67):
                line = seat + down * high * share
                board.seam(view, hung, (-wide + 6.0, line), (wide - 6.0, line), 0.4, z=5.56)
            seat += down * high
        wedge = 0.0 if plan is None else plan.axle_shim_deg or 0.0
        if wedge:
            thick = max(math.tan(math.radians(abs(wedge))) * 2.0 * wide, 3.0 / view.scale)
            # A rear axle's nose goes up where the wedge is thick behind, over the axle; a front axle's the other way.
            rear = (wedge > 0.0) != front
            ends = (0.0, thick) if rear == over else (thick, 0.0)
            outline = [(-wide, seat), (wide, seat), (wide, seat + down * ends[1]), (-wide, seat + down * ends[0])]
            made = view.all_px(hung.all(outline))
            board.shape(made, board.theme.accent, None, z=5.57)
            board.target("perches", made)
            seat += down
        base = down * away
        pad = seat + down * min(11.0, max((away - 0.5 * tube - abs(seat)) * 0.6, 4.0))
        saddle = [
            (-wide, seat), (wide, seat), (wide, pad), (0.5 * tube + 11.0, pad), (0.5 * tube + 3.0, base),
            (-0.5 * tube - 3.0, base), (-0.5 * tube - 11.0, pad), (-wide, pad),
        ]  # fmt: skip
        made = board.part(view, hung, saddle, 0.40, z=5.3)
        board.target("perches", made)
        self._bolts(hung, down, half, away, tube)

    def _bolts(self, hung: Hung, down: float, half: float, away: float, tube: float) -> None:
        board, view = self.board, self.view
        apart = 0.5 * tube + 12.0
        top, bottom = -down * (half + 17.0), down * (away + 0.5 * tube + 26.0)
        for side in (-apart, apart):
            legs = view.all_px(hung.all(((side, top), (side, bottom))))
            board.line(legs, board.theme.ink, max(9.0 * view.scale, 1.5), z=6.0)
        above, below = -down * half, down * (away + 0.5 * tube + 2.0)
        for edge, way, more in ((above, -down, 12.0), (below, down, 14.0)):
            plate = [(-apart - more, edge), (apart + more, edge), (apart + more, edge + way * 10.0),
                     (-apart - more, edge + way * 10.0)]  # fmt: skip
            made = board.part(view, hung, plate, 0.55, z=6.1)
            board.target("perches", made)
        for side in (-apart, apart):
            nut = [(side - 9.0, below + down * 10.0), (side + 9.0, below + down * 10.0),
                   (side + 9.0, below + down * 20.0), (side - 9.0, below + down * 20.0)]  # fmt: skip
            board.part(view, hung, nut, 0.75, z=6.1, thick=0.6)


def draw_links(board: Board, view: View, subject: Subject, rail: tuple[Pair, ...]) -> None:
    """Draw links with their bushes, and brackets at frame and axle."""
    centre, tube = subject.axle_centre, subject.axle_tube_mm
    for number, (frame, axle) in enumerate(subject.picture.links_mm):
        half = _half_of_link(number)
        top = view_height(rail, frame[0])
        if top is not None:
            _hanger(board, view, (frame[0], frame[1] - 14.0), top, 46.0)
        if centre is not None:
            hung, long = hung_on(axle, centre)
            arm = rounded([(-26.0, 22.0), (long, 0.48 * tube), (long, -0.48 * tube), (-26.0, -22.0)], 14.0)
            board.target("axle", board.part(view, hung, arm, 0.24, z=5.2))
        draw_bar(board, view, frame, axle, half)


def _half_of_link(number: int) -> float:
    return (24.0, 18.0)[min(number, 1)]


def bush_of_link(number: int) -> float:
    """Radius at which the bushes of a link are drawn, mm; the lower one is the first."""
    return _half_of_link(number) + _BUSH_MM


def draw_bar(board: Board, view: View, one: Pair, two: Pair, half: float) -> None:
    """Draw a bar with a bush at each end."""
    hung, long = hung_on(one, two)
    made = board.part(view, hung, bar(long - 20.0, half, 20.0), 0.15, z=5.6)
    board.target("suspension", made)
    shine = [(22.0, 0.55 * half), (long - 22.0, 0.55 * half), (long - 22.0, 0.1 * half), (22.0, 0.1 * half)]
    board.shape(view.all_px(hung.all(shine)), board.tint(0.05), None, z=5.61)
    for end in (one, two):
        board.disc(view.px(end), (half + _BUSH_MM) * view.scale, board.tint(0.42), Stroke(board.theme.ink), z=5.7)
        board.disc(view.px(end), max(8.0 * view.scale, 1.4), board.theme.paper, Stroke(board.theme.ink, 0.8), z=5.75)


def draw_brackets(board: Board, view: View, subject: Subject, axes: Axes) -> None:
    """Draw shocks, torque bars and lateral link, in a view that shows these axes; the drag link from behind alone."""
    picture = subject.picture
    for outline in subject.region if axes == SIDE else ():
        points = view.all_px(outline)
        board.shape(points, board.theme.accent, None, z=5.9, opacity=0.12)
        board.shape(points, "", Stroke(board.theme.accent, 1.0, (5.0, 4.0)), z=5.91)
    for frame, axle in picture.shocks_mm:
        _shock(board, view, _flat(frame, axes), _flat(axle, axes))
    for frame, axle in picture.torque_bars_mm:
        _rod(board, view, _flat(frame, axes), _flat(axle, axes), 19.0, "torque_bars", z=5.25)
    drag = picture.drag_link_mm if axes == BEHIND else None
    for ends, half in ((drag, 10.0), (picture.lateral_link_mm, 14.0)):
        if ends is not None:
            frame, axle = ends
            _rod(board, view, _flat(frame, axes), _flat(axle, axes), half, "lateral_link", z=4.6)


def draw_flexible_lines(board: Board, view: View, subject: Subject, axes: Axes) -> None:
    """Draw hoses, cables and wires as they hang; one that is too short in the colour of its verdict."""
    found = {one.id: one.verdict for one in subject.whole.findings if one.part == "flexible_lines"}
    for number, hung in enumerate(subject.picture.flexible_lines_mm, 1):
        if not hung:
            continue
        made = view.all_px(_flat(point, axes) for point in hung)
        verdict = found.get(f"line_slack_{number}")
        wrong = verdict in BAD
        colour = board.theme.colour(verdict) if verdict is not None and wrong else board.tint(0.70)
        thick = max(2.0 * _HOSE_MM * view.scale, 2.2 if wrong else 1.6)
        board.line(made, board.theme.paper, thick + 1.6, z=5.78)
        board.edges.append(board.line(made, colour, thick, z=5.8))
        for end in (made[0], made[-1]):
            board.disc(end, max(1.4 * _HOSE_MM * view.scale, 2.4), colour, z=5.82)
        (ax, ay), (bx, by) = made[0], made[-1]
        middle = made[len(made) // 2] if len(made) > 2 else ((ax + bx) / 2.0, (ay + by) / 2.0)
        reach = 6.0 * board.k
        for x, y in (made[0], middle, made[-1]):
            square = [(x - reach, y - reach), (x + reach, y - reach), (x + reach, y + reach), (x - reach, y + reach)]
            board.target("flexible_lines", square)


def _flat(point: Triple, axes: Axes) -> Pair:
    return point[axes[0]], point[axes[1]]


def _shock(board: Board, view: View, frame: Pair, axle: Pair) -> None:
    """Body at the axle, rod with its dust cover at the frame, an eye at each end."""
    hung, long = hung_on(axle, frame)
    if long < 60.0:
        _ends(board, view, (frame, axle), 13.0)
        _short(board, view, hung, long, 13.0, "shocks")
        return
    body = board.part(view, hung, bar(0.55 * long, 24.0, 16.0), 0.22, z=5.15)
    cover = board.part(view, hung, bar(long - 18.0, 29.0, 0.42 * long), 0.12, z=5.16)
    board.target("shocks", body)
    board.target("shocks", cover)
    _ends(board, view, (frame, axle), 13.0)


def _rod(board: Board, view: View, frame: Pair, axle: Pair, half: float, part: Part, *, z: float) -> None:
    hung, long = hung_on(frame, axle)
    if long > 50.0:
        board.target(part, board.part(view, hung, bar(long - 14.0, half, 14.0), 0.18, z=z))
    else:
        _short(board, view, hung, long, half + 6.0, part)
    _ends(board, view, (frame, axle), half + 6.0)


def _short(board: Board, view: View, hung: Hung, long: float, radius: float, part: Part) -> None:
    """Let the ends be pressed of what is seen end-on, with nothing between them."""
    board.target(part, view.all_px(hung.all(bar(long + radius, radius, -radius))))


def _ends(board: Board, view: View, ends: tuple[Pair, Pair], radius: float) -> None:
    for end in ends:
        board.disc(view.px(end), radius * view.scale, board.tint(0.42), Stroke(board.theme.ink, 1.0), z=5.7)
        board.disc(view.px(end), max(6.0 * view.scale, 1.2), board.theme.paper, Stroke(board.theme.ink, 0.8), z=5.75)


def draw_hub_ghost(board: Board, view: View, hub: Pair, radius: float) -> None:
    """Draw a wheel's outline alone, dashed, at an end of the travel."""
    board.disc(view.px(hub), radius * view.scale, "", Stroke(board.theme.muted, 1.0, FAINT_DASH), z=2.2)


def view_height(rail: tuple[Pair, ...], across: float) -> float | None:
    """Height of the rail's underside at a station; None without a rail."""
    if len(rail) < 2:
        return None
    (ax, az), (bx, bz) = rail[:2]
    return az + (bz - az) * (across - ax) / (bx - ax)


def draw_plate(
    board: Board, view: View, at: Pair, along_mm: float, across_mm: float, share: float, *, z: float
) -> None:
    """Draw a plate that lies square to the vehicle, from above."""
    outline = [(-along_mm, across_mm), (along_mm, across_mm), (along_mm, -across_mm), (-along_mm, -across_mm)]
    board.part(view, level(at), outline, share, z=z)
