"""The driven axle from behind, left is left: tyres, tube and housing, perches with their springs, shocks, side link."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.drawing.board import CENTRE_DASH, Board
from app.drawing.items import Box, Point, Stroke
from app.drawing.places import Hung, Pair, View, arc, bar, boxed, hung_on, level, rounded
from app.sheet.flow import PAPER
from geometry.document import Build, is_front_axle, value_at

_TYRE_MM, _HIGH = 215.0, 850.0
"""How wide a tyre is drawn, and how high the view reaches at least, mm."""
_LINK_MM, _FLANGE_MM = 400.0, 300.0
"""How far a lower link lies from the middle, and a flange beyond it, mm."""
_RAIL: Final = (430.0, 700.0, 810.0)
"""How far from the middle the rails lie, and their under and upper side, mm."""


def draw_behind(board: Board, box: Box, build: Build) -> dict[str, Point]:
    """Draw a usual vehicle's axle, with all its entries, in a box; return the page points that are measured."""
    return _Behind(board, box, build).draw()


class _Behind:
    def __init__(self, board: Board, box: Box, build: Build) -> None:
        self.board, self.build = board, build
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
        tops = [one.frame_point_mm[2] + 40.0 for one in build.shocks[:1] if one.frame_point_mm is not None]
        high = max(_HIGH, *tops, 0.0)
        scale = min((box[2] - box[0]) / (2.0 * wide), (box[3] - box[1] - 30.0) / high)
        middle = (box[0] + box[2]) / 2.0
        self.view = View(box, scale, -(middle - box[0]) / scale, high)
        self.radius = 1.62 * self.tube

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
            "under tube": px((0.0, self.z - self.tube / 2.0)),
            "left flange": px((-self.flange, self.z - 80.0)), "right flange": px((self.flange, self.z - 80.0)),
            "left perch": px((-self.perch, self.z - self.tube)), "right perch": px((self.perch, self.z - self.tube)),
        }  # fmt: skip
        return places | self._brackets()

    # ---- parts

    def _part(self, points: Sequence[Pair], share: float, *, z: float, thick: float = 1.1, edge: str = "") -> None:
        self.board.part(self.view, level((0.0, 0.0)), list(points), share, z=z, thick=thick, edge=edge)

    def _frame(self) -> None:
        at, under, over = _RAIL
        left, _, right, _ = self.view.box
        floor = self.view.y(0.0)
        self.board.line(((left, floor), (right, floor)), self.board.theme.ink, 1.6, z=2.0)
        soft = self.board.tint(0.6)
        for side in (-1.0, 1.0):
            out, web, lip = side * (at + 30.0), side * (at + 21.0), side * (at - 30.0)
            channel = [(out, under), (lip, under), (lip, under + 9.0), (web, under + 9.0), (web, over - 9.0),
                       (lip, over - 9.0), (lip, over), (out, over)]  # fmt: skip
            self._part(channel, 0.30, z=2.2, thick=1.0, edge=soft)
        self._part(boxed(-at + 32.0, under + 22.0, at - 32.0, over - 42.0), 0.07, z=2.0, thick=1.0, edge=soft)

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
        link = self.build.lateral_link
        places: dict[str, Point] = {}
        shock = self.build.shocks[0] if self.build.shocks else None
        ends = (None, None) if shock is None else (shock.axle_point_mm, shock.frame_point_mm)
        if ends[0] is not None and ends[1] is not None:
            for side in (-1.0, 1.0):
                low, top = ((side * abs(one[1]), one[2]) for one in ends if one is not None)
                self._shock(low, top)
                places |= {"shock low": self.view.px(low), "shock top": self.view.px(top)}
        if link is not None and link.frame_point_mm is not None and link.axle_point_mm is not None:
            frame, axle = ((one[1], one[2]) for one in (link.frame_point_mm, link.axle_point_mm))
            self._part([(frame[0] - 34.0, _RAIL[1]), (frame[0] + 34.0, _RAIL[1]), (frame[0] + 22.0, frame[1] - 24.0),
                        (frame[0] - 22.0, frame[1] - 24.0)], 0.22, z=7.6, thick=1.0)  # fmt: skip
            hung, long = hung_on(frame, axle)
            self.board.part(self.view, hung, bar(long - 16.0, 15.0, 16.0), 0.15, z=7.8)
            self._ends((frame, axle), 23.0, z=8.0)
            places |= {"link frame": self.view.px(frame), "link axle": self.view.px(axle)}
        return places

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
