"""The driven axle from behind, left is left: tyres, tube and housing, perches with their springs, shocks, side link."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from app.drawing.board import CENTRE_DASH, Board
from app.drawing.items import Box, Point, Stroke
from app.drawing.places import Hung, Pair, View, arc, bar, boxed, hung_on, level, rounded
from app.drawing.rear_words import seen
from app.drawing.running_gear import view_height
from app.sheet.flow import PAPER
from geometry.document import Build, is_front_axle, value_at
from geometry.words.solution import Picture, Triple

_TYRE_MM, _HIGH = 215.0, 850.0
"""How wide a tyre is drawn, and how high the view reaches at least, mm."""
_LINK_MM, _FLANGE_MM = 400.0, 300.0
"""How far a lower link lies from the middle, and a flange beyond it, mm."""
_RAIL: Final = (430.0, 700.0, 810.0)
"""How far from the middle the rails lie, and their under and upper side, mm."""
_RAIL_SHARE: Final = 0.85
"""Where rails lie, of a perch's distance from the middle."""
Ends = tuple[Triple, Triple]


def draw_behind(board: Board, box: Box, build: Build, planned: Picture | None = None) -> dict[str, Point]:
    """Draw a usual vehicle's axle, with all its entries, in a box; return the page points that are measured.

    Brackets and rails lie where they are after the plan, where its picture is given, else as they were measured.
    """
    return _Behind(board, box, build, planned).draw()


class _Behind:
    def __init__(self, board: Board, box: Box, build: Build, planned: Picture | None) -> None:
        self.board, self.build, self.ahead = board, build, is_front_axle(build)
        self._bolted(planned)
        end = "front" if is_front_axle(build) else "rear"
        self.tube = float(value_at(build, "axle.tube_diameter_mm"))
        self.z = float(value_at(build, f"vehicle.{end}_tyre_radius_mm"))
        leaf = value_at(build, "suspension.kind") == "leaf"
        self.perch = float(value_at(build, "axle.perch_spacing_mm") or 2.0 * _LINK_MM) / 2.0
        self.flange = self.perch + float(value_at(build, "axle.flange_to_perch_left_mm") if leaf else _FLANGE_MM)
        centre = value_at(build, "axle.centre_mm") or (0.0, 0.0, 0.0)
        self.beside = centre[1] + (value_at(build, "axle.pinion_offset_mm") or 0.0)
        """Where the pinion lies: to the right of the vehicle's middle, whatever the points of the brackets."""
        wide = self.flange + _TYRE_MM
        high = max(_HIGH, self.rail[2] + 30.0, *(frame[2] + 40.0 for frame, _ in self.shocks))
        scale = min((box[2] - box[0]) / (2.0 * wide), (box[3] - box[1] - 30.0) / high)
        middle = (box[0] + box[2]) / 2.0
        self.view = View(box, scale, -(middle - box[0]) / scale, high)
        self.radius = 1.62 * self.tube

    def _bolted(self, planned: Picture | None) -> None:
        """Take what is bolted between frame and axle, and the rails over the axle."""
        link = self.build.lateral_link
        half = value_at(self.build, "axle.perch_spacing_mm")
        self.rail = (_RAIL[0] if half is None or planned is None else _RAIL_SHARE * half / 2.0, *_RAIL[1:])
        if planned is None:
            self.shocks = tuple(_whole((one.frame_point_mm, one.axle_point_mm) for one in self.build.shocks))
            self.bars: tuple[Ends, ...] = ()
            self.link = None if link is None else next(_whole([(link.frame_point_mm, link.axle_point_mm)]), None)
            self.drag: Ends | None = None
            return
        self.shocks, self.bars = planned.shocks_mm, planned.torque_bars_mm
        self.link, self.drag = planned.lateral_link_mm, planned.drag_link_mm
        outline, centre = planned.frame_rail_mm, planned.axle_centre_mm
        if outline and centre is not None:
            under, over = (view_height(one, centre[0]) for one in (outline, outline[:1:-1]))
            if under is not None and over is not None:
                self.rail = (self.rail[0], under, over)

    def draw(self) -> dict[str, Point]:
        """Draw all of it."""
        px = self.view.px
        self._frame()
        for side in (-1.0, 1.0):
            self._wheel(side)
        self._tube()
        leaf = value_at(self.build, "suspension.kind") == "leaf"
        for side in (-1.0, 1.0):
            if leaf:
                self._spring(side)
            else:
                self._link(side)
        places = {
            "floor": px((0.0, 0.0)), "pinion": px((self.beside, self.z)),
            "under tube": px((0.0, self.z - self.tube / 2.0)), "over housing": px((0.0, self.z + self.radius)),
            "left flange": px((-self.flange, self.z - 80.0)), "right flange": px((self.flange, self.z - 80.0)),
            "left perch": px((-self.perch, self.z - self.tube)), "right perch": px((self.perch, self.z - self.tube)),
        }  # fmt: skip
        return places | self._brackets()

    # ---- parts

    def _part(self, points: Sequence[Pair], share: float, *, z: float, thick: float = 1.1, edge: str = "") -> None:
        self.board.part(self.view, level((0.0, 0.0)), list(points), share, z=z, thick=thick, edge=edge)

    def _frame(self) -> None:
        at, under, over = self.rail
        left, _, right, _ = self.view.box
        floor = self.view.y(0.0)
        self.board.line(((left, floor), (right, floor)), self.board.theme.ink, 1.6, z=2.0)
        soft = self.board.tint(0.6)
        for side in (-1.0, 1.0):
            out, web, lip = side * (at + 30.0), side * (at + 21.0), side * (at - 30.0)
            channel = [(out, under), (lip, under), (lip, under + 9.0), (web, under + 9.0), (web, over - 9.0),
                       (lip, over - 9.0), (lip, over), (out, over)]  # fmt: skip
            self._part(channel, 0.30, z=2.2, thick=1.0, edge=soft)
        tall = over - under
        beam = boxed(-at + 32.0, under + 0.2 * tall, at - 32.0, over - 0.38 * tall)
        self._part(beam, 0.07, z=2.0, thick=1.0, edge=soft)

    def _wheel(self, side: float) -> None:
        top = 2.0 * self.z + 8.0
        middle = side * (self.flange + 18.0)
        inner, outer = middle - _TYRE_MM / 2.0, middle + _TYRE_MM / 2.0
        tyre = rounded([(inner, 0.0), (outer, 0.0), (outer, top), (inner, top)], 40.0)
        self._part(tyre, 0.085, z=1.5, edge=self.board.tint(0.5))
        for up in (0.43, 1.57):
            self.board.seam(
                self.view, level((0.0, 0.0)), (inner + 4.0, up * self.z), (outer - 4.0, up * self.z), 0.25, z=1.6
            )
        drum = sorted((side * self.flange, side * (self.flange - 92.0)))
        self._part(rounded(boxed(drum[0], self.z - 142.0, drum[1], self.z + 142.0), 8.0), 0.17, z=3.2)
        face = sorted((side * self.flange, side * (self.flange + 9.0)))
        self._part(boxed(face[0], self.z - 80.0, face[1], self.z + 80.0), 0.55, z=3.4)
        line = self.view.all_px(((middle, -10.0), (middle, top + 14.0)))
        self.board.line(line, self.board.theme.ink, 0.7, z=3.5, dash=CENTRE_DASH)

    def _tube(self) -> None:
        half, end, r = self.tube / 2.0, self.flange - 98.0, self.radius
        self._part(boxed(-end, self.z - half, end, self.z + half), 0.14, z=3.6)
        hung = Hung((self.beside, self.z), (1.0, 0.0))
        neck = [(-1.28 * r, half), (-0.8 * r, 0.72 * r), (0.8 * r, 0.72 * r), (1.28 * r, half), (1.28 * r, -half),
                (0.8 * r, -0.72 * r), (-0.8 * r, -0.72 * r), (-1.28 * r, -half)]  # fmt: skip
        self.board.part(self.view, hung, neck, 0.12, z=3.7)
        at, scale, ink = self.view.px(hung.origin), self.view.scale, self.board.theme.ink
        self.board.disc(at, r * scale, self.board.tint(0.18), Stroke(ink, 1.4), z=3.9)
        if self.ahead:  # a front axle's pinion points at the eye
            self.board.disc(at, 36.0 * scale, self.board.tint(0.30), Stroke(ink, 1.1), z=4.0)
            self.board.disc(at, 24.0 * scale, PAPER.paper, Stroke(self.board.theme.accent, 1.4), z=4.1)
            return
        self.board.disc(at, 0.8 * r * scale, self.board.tint(0.11), Stroke(self.board.tint(0.6), 0.9), z=4.0)
        for x, z in arc(0.9 * r, 0.0, 324.0, 9):
            self.board.disc(self.view.px(hung.at(x, z)), 1.5, self.board.tint(0.6), z=4.1)
        self.board.disc(at, 24.0 * scale, "", Stroke(self.board.theme.accent, 1.3, (4.0, 2.5)), z=9.0)

    def _spring(self, side: float) -> None:
        """Perch, leaves in section, plates and U-bolts."""
        y, z, half, wide = side * self.perch, self.z, self.tube / 2.0, 32.0
        main, thick = z + 75.0, 9.5
        low = main - 2.0 * (thick + 1.5) - thick / 2.0
        pad = [(-wide - 6.0, low), (wide + 6.0, low), (wide + 6.0, low - 9.0), (wide - 2.0, low - 9.0), (wide - 2.0, z),
               (-wide + 2.0, z), (-wide + 2.0, low - 9.0), (-wide - 6.0, low - 9.0)]  # fmt: skip
        self._part([(y + across, up) for across, up in pad], 0.42, z=5.2)
        for leaf in range(3):
            top = main + thick / 2.0 - leaf * (thick + 1.5)
            self._part(boxed(y - wide, top - thick, y + wide, top), 0.66, z=5.6, thick=0.7)
        for way in (-1.0, 1.0):
            bolt = y + way * (wide + 9.0)
            legs = self.view.all_px(((bolt, main + 26.0), (bolt, z - half - 30.0)))
            self.board.line(legs, self.board.theme.ink, 2.2, z=6.0)
        self._part(boxed(y - wide - 20.0, main + thick / 2.0, y + wide + 20.0, main + thick / 2.0 + 11.0), 0.5, z=5.9)
        self._part(boxed(y - wide - 20.0, z - half - 15.0, y + wide + 20.0, z - half - 3.0), 0.5, z=6.1)

    def _link(self, side: float) -> None:
        """A lower link end-on in its bracket under the tube."""
        y, z, half = side * self.perch, self.z, self.tube / 2.0
        self._part([(y - 34.0, z), (y + 34.0, z), (y + 28.0, z - half - 45.0), (y - 28.0, z - half - 45.0)], 0.3, z=5.2)
        at = self.view.px((y, z - half - 18.0))
        self.board.disc(at, 24.0 * self.view.scale, self.board.tint(0.42), Stroke(self.board.theme.ink, 1.1), z=5.4)
        self.board.disc(at, 8.0 * self.view.scale, PAPER.paper, Stroke(self.board.theme.ink, 0.8), z=5.5)

    def _brackets(self) -> dict[str, Point]:
        px, places = self.view.px, dict[str, Point]()
        for number, ends in enumerate(self.shocks):
            top, low = seen(ends)
            for y in (1.0,) if len(self.shocks) > 1 else (-1.0, 1.0):  # one alone stands for its twin too
                self._shock((y * low[0], low[1]), (y * top[0], top[1]))
            places |= {f"shock low {number}": px(low), f"shock top {number}": px(top)}
        if self.shocks:
            (_, top_y, top_z), (_, low_y, low_z) = self.shocks[0]
            places |= {"shock low": px((abs(low_y), low_z)), "shock top": px((abs(top_y), top_z))}
        for number, ends in enumerate(self.bars):
            self._bar(ends)
            frame, axle = seen(ends)
            places |= {f"bar frame {number}": px(frame), f"bar axle {number}": px(axle)}
        if self.drag is not None:
            self._rod(self.drag, 10.0, z=7.7)
        if self.link is not None:
            frame, axle = seen(self.link)
            over = self.rail[1]
            if over > frame[1]:
                self._part([(frame[0] - 34.0, over), (frame[0] + 34.0, over), (frame[0] + 22.0, frame[1] - 24.0),
                            (frame[0] - 22.0, frame[1] - 24.0)], 0.22, z=7.6, thick=1.0)  # fmt: skip
            self._rod(self.link, 15.0, z=7.8)
            places |= {"link frame": px(frame), "link axle": px(axle)}
        return places

    def _bar(self, ends: Ends) -> None:
        """A torque bar, nearly end-on, with a bracket down from the rail and one on the tube."""
        (y, z), (end, at) = seen(ends)
        under, half = self.rail[1], self.tube / 2.0
        if under > z:
            self._part([(y - 26.0, under), (y + 26.0, under), (y + 20.0, z), (y - 20.0, z)], 0.05, z=2.4, thick=0.9)
        foot = self.z + (half if at > self.z else -half)
        self._part([(end - 30.0, foot), (end + 30.0, foot), (end + 22.0, at), (end - 22.0, at)], 0.3, z=5.0, thick=1.0)
        self._rod(ends, 19.0, z=7.6)

    def _rod(self, ends: Ends, half: float, *, z: float) -> None:
        """A bar with a bush at each end."""
        one, two = seen(ends)
        hung, long = hung_on(one, two)
        if long > 50.0:
            self.board.part(self.view, hung, bar(long - 16.0, half, 16.0), 0.15, z=z)
        self._ends((one, two), half + 8.0, z=z + 0.2)

    def _shock(self, low: Pair, top: Pair) -> None:
        half = self.tube / 2.0
        top_z = self.z - 0.2 * half
        self._part([(low[0] - 24.0, top_z), (low[0] + 24.0, top_z), (low[0] + 17.0, low[1] - 18.0),
                    (low[0] - 17.0, low[1] - 18.0)], 0.3, z=4.6, thick=1.0)  # fmt: skip
        hung, long = hung_on(low, top)
        self.board.part(self.view, hung, bar(long - 16.0, 13.0, 0.4 * long), 0.04, z=7.0, thick=1.0)
        self.board.part(self.view, hung, bar(0.56 * long, 23.0, 14.0), 0.22, z=7.1)
        self._ends((low, top), 17.0, z=7.4)

    def _ends(self, ends: tuple[Pair, Pair], radius: float, *, z: float) -> None:
        for end in ends:
            at, scale = self.view.px(end), self.view.scale
            self.board.disc(at, radius * scale, self.board.tint(0.42), Stroke(self.board.theme.ink, 1.0), z=z)
            self.board.disc(at, max(6.0 * scale, 1.2), PAPER.paper, Stroke(self.board.theme.ink, 0.8), z=z + 0.1)


def _whole(pairs: Iterable[tuple[Triple | None, Triple | None]]) -> Iterator[Ends]:
    """Those of some pairs of ends of which both are entered."""
    for frame, axle in pairs:
        if frame is not None and axle is not None:
            yield frame, axle
