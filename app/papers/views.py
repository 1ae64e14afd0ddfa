"""The card's views of a usual vehicle of the build's kind, with gauge, tape and a line's number where each goes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

from app.drawing.axle import draw_yoke
from app.drawing.board import Board
from app.drawing.items import Box, Point, Stroke
from app.drawing.places import Hung, View, boxed, hung_on, on_polyline
from app.drawing.shaft import ShaftPainter
from app.drawing.side import SideView
from app.drawing.subject import Subject
from app.measuring.usual import BuildKind, usual
from app.measuring.walk import Line
from app.papers.behind import draw_behind
from app.papers.kit import INK, RING, caption, gauge, hair, measured, pointed, ring
from app.sheet.flow import BODY_PT, PAPER, SMALL_PT
from geometry.document import Build, edited
from geometry.words.solve import solve

_UNDER: Final = 48.0
"""How far under the shaft its dimension line lies."""
_OVER: Final = 16.0
"""How far over the face that it lies on the output's gauge reaches, with some air under the words above."""
_POINT_SAYS: Final = "A point is taped back from the front hub, right of the centreline, up from the floor."
_OTHER_WAY: Final = "Ahead or left: write the word."


class Number(NamedTuple):
    """A line of the card with its number."""

    number: int
    line: Line


Numbers = Mapping[str, Number]
"""By the dotted path of an entry."""


class _Gauge(NamedTuple):
    """An angle gauge: of which entry, where on its face, how that is turned, where its ring goes, on which side."""

    path: str
    at: Point
    turn_deg: float
    toward_deg: float
    up: bool = True


class Views:
    """Draws the views of one kind of vehicle on the card's boards."""

    def __init__(self, kind: BuildKind, numbers: Numbers) -> None:
        self.kind, self.numbers = kind, numbers
        build = usual(kind)
        bare = edited(build, {"shocks": (), "torque_bars": (), "lateral_link": None})
        wheels = {f"vehicle.{end}_tyre_radius_mm": None for end in ("front", "rear")}
        self.build, self.subject = bare, _subject(bare)
        self.no_wheels = _subject(edited(bare, wheels))
        self.no_springs = _subject(edited(bare, {**wheels, "suspension": None}))
        self.way = 1.0 if self.subject.ahead else -1.0
        """Which way the pinion points from the axle: rearward is above nought."""

    # ---- rings

    def _said(self, path: str) -> tuple[str, int] | None:
        found = self.numbers.get(path)
        return None if found is None else (str(found.number), found.line.step)

    def _to(self, board: Board, view: View, path: str, tip: Point, toward_deg: float) -> None:
        said = self._said(path)
        if said is not None:
            pointed(board, tip, *said, toward_deg, view.box)

    def _dim(
        self,
        board: Board,
        path: str,
        one: Point,
        two: Point,
        *,
        ends: tuple[Point, Point] | None = None,
        at: float = 0.5,
    ) -> None:
        said = self._said(path)
        if said is not None:
            measured(board, one, two, *said, ends=ends, at=at)

    def _gauges(self, board: Board, view: View, some: Sequence[_Gauge]) -> None:
        """Gauges, then the ring of each, and beside it which way is above nought, where there is room for the words."""
        tops = [gauge(board, one.at, one.turn_deg, up=one.up) for one in some]
        for one, top in zip(some, tops, strict=True):
            self._name(board, view, one.path, top, one.toward_deg)

    def _name(self, board: Board, view: View, path: str, top: Point, toward: float) -> None:
        said = self.numbers.get(path)
        if said is None:
            return
        before = len(board.words)
        self._to(board, view, path, top, toward)
        ringed = board.words[before][0]
        words = f"{said.line.ways[0]} +"
        middle = (ringed[1] + ringed[3]) / 2.0 + 4.0
        for x, align in ((ringed[2] + 3.0, "left"), (ringed[0] - 3.0, "right")):
            box = board.box_of(x, middle, words, BODY_PT, bold=True, align=align)  # type: ignore[arg-type]
            if board.is_free(box, 1.0) and view.box[0] <= box[0] and box[2] <= view.box[2]:
                board.write(x, middle, words, BODY_PT, INK, bold=True, align=align)  # type: ignore[arg-type]
                return

    @staticmethod
    def _side(board: Board, view: View, subject: Subject, *, ground: bool = False, shaft: bool = True) -> SideView:
        board.finish()  # what was drawn before is not cut off at the view's edge
        side = SideView(board, view, subject, ground=ground, most_low=view.box[3])
        side.draw(angles=False, shaft=shaft)
        board.finish(view.box)
        return side

    # ---- the whole vehicle

    def whole(self, board: Board, box: Box) -> float:
        """The whole vehicle from the left, with the three directions of a point; return where its words end."""
        picture, vehicle = self.subject.picture, self.build.vehicle
        front, rear = picture.front_hub_mm, picture.rear_hub_mm
        if vehicle is None or front is None or rear is None:
            return box[3]
        r_front, r_rear = vehicle.front_tyre_radius_mm or 0.0, vehicle.rear_tyre_radius_mm or 0.0
        view = _fitted(box, front[0] - r_front - 330.0, rear[0] + r_rear + 330.0, -150.0, 1175.0)
        self._side(board, view, self.subject, ground=True)
        floor = view.y(0.0)
        low = floor + 15.0
        hubs = view.px(front), view.px(rear)
        self._dim(board, "vehicle.wheelbase_mm", (hubs[0][0], low), (hubs[1][0], low), ends=hubs)
        for path, hub, radius, side in (
            ("vehicle.front_tyre_radius_mm", hubs[0], r_front, -1.0),
            ("vehicle.rear_tyre_radius_mm", hubs[1], r_rear, 1.0),
        ):  # fmt: skip
            x = hub[0] + side * (radius * view.scale + 20.0)
            hair(board, hub, (x + side * 4.0, hub[1]))
            self._dim(board, path, (x, hub[1]), (x, floor))
        self._axes(board, (hubs[0][0], floor))
        rail = picture.frame_rail_mm
        if rail:
            self._rail(board, view, floor)
        mounts = self.build.powertrain
        if mounts is not None and mounts.front_mount_mm and mounts.rear_mount_mm:
            if picture.engine_outline_mm:
                self._to(board, view, "powertrain.front_mount_mm", view.px(mounts.front_mount_mm), 215.0)
            self._to(board, view, "powertrain.rear_mount_mm", view.px(mounts.rear_mount_mm), 130.0)
        for path, outline in (
            ("powertrain.engine_length_mm", picture.engine_outline_mm),
            ("powertrain.gearbox_length_mm", picture.powertrain_outline_mm),
        ):
            if outline:
                middle = (sum(x for x, _ in outline) / len(outline), sum(z for _, z in outline) / len(outline))
                self._to(board, view, path, view.px(middle), 290.0)
        board.finish()
        end = board.write(box[0], box[3] + 16.0, _POINT_SAYS, BODY_PT, INK, bold=True)
        board.write(end + 6.0, box[3] + 16.0, _OTHER_WAY, SMALL_PT, INK)
        return box[3] + 19.0

    def _rail(self, board: Board, view: View, floor: float) -> None:
        rail = self.subject.picture.frame_rail_mm
        middle = 0.5 * (self.subject.output[0] + self.subject.nose[0])
        (ax, az), (bx, bz) = rail[:2]
        under = az + (bz - az) * (middle - ax) / (bx - ax)
        x, y = view.px((middle, under))
        self._dim(board, "vehicle.frame_height_mm", (x, y), (x, floor), at=0.6)
        top = view.px((middle + 330.0, rail[2][1]))
        self._gauges(board, view, (_Gauge("vehicle.frame_slope_deg", top, 0.0, 330.0),))

    @staticmethod
    def _axes(board: Board, at: Point) -> None:
        """Back and up, from where the front hub stands on the floor."""
        for tip, words, place in (((at[0] + 44.0, at[1]), "back", (at[0] + 46.0, at[1] - 4.0)),
                                  ((at[0], at[1] - 38.0), "up", (at[0] + 4.0, at[1] - 27.0))):  # fmt: skip
            board.arrow(at, tip, PAPER.accent, 2.2, z=17.0, head=9.0, half=3.2)
            board.write(*place, words, SMALL_PT, PAPER.accent, bold=True, z=18.0)

    # ---- from the gearbox to the pinion

    def driveline(self, board: Board, box: Box) -> None:
        """Gearbox, shaft and pinion, large."""
        subject = self.subject
        joints = subject.side_joints
        before, behind = (390.0, 330.0) if subject.ahead else (330.0, 390.0)
        scale = (box[2] - box[0]) / (joints[-1][0] + behind - joints[0][0] + before)
        low = min(z for _, z in joints) - (_UNDER + 14.0) / scale
        way = self.way
        # On a face of the output that is square to it, toward the shaft.
        line = subject.output_line or (1.0, 0.0)
        slope = math.degrees(math.atan2(-line[1], line[0]))
        face = Hung(subject.output, line).at(way * 60.0, 48.0)
        high = face[1] + _OVER / scale
        view = _fitted(box, joints[0][0] - before, joints[-1][0] + behind, low, high)
        side = self._side(board, view, self.no_springs)
        output = _Gauge("powertrain.slope_deg", view.px(face), slope + 90.0, 260.0, not subject.ahead)
        self._gauges(board, view, (output, *self._at_pinion(view, side), self._at_shaft(view, side)))
        self._to(board, view, "powertrain.output_joint_mm", view.px(subject.output), 80.0)
        self._to(board, view, "powertrain.plan_deg", view.px(Hung(subject.output, line).at(way * 130.0, -30.0)), 90.0)
        self._sections(board, view, side)
        board.finish()

    def _at_pinion(self, view: View, side: SideView) -> tuple[_Gauge, ...]:
        """The gauge on the pinion's flange, where the axle is drawn."""
        housing, line = side.housing, self.subject.pinion_line or (1.0, 0.0)
        if housing is None:
            return ()
        slope = math.degrees(math.atan2(-line[1], line[0]))
        face = view.px(housing.hung.at(housing.neck + 16.0, 0.30 * housing.radius + housing.drop))
        toward = 250.0 if self.subject.ahead else 290.0
        return (_Gauge("axle.pinion_slope_deg", face, slope + 90.0, toward, self.subject.ahead),)

    def _at_shaft(self, view: View, side: SideView) -> _Gauge:
        """The gauge on the shaft's last section, or on its first one of a front axle."""
        part = side.sections[0 if self.subject.ahead else -1]
        ends = view.px(part.one), view.px(part.two)
        slope = math.degrees(math.atan2(ends[1][1] - ends[0][1], ends[1][0] - ends[0][0]))
        share = 0.45 if self.subject.ahead else 0.55
        middle = part.tube[0] + share * (part.tube[1] - part.tube[0])
        return _Gauge("readings.shaft_slope_deg", view.px(part.hung.at(middle, part.half)), slope, 300.0)

    def _sections(self, board: Board, view: View, side: SideView) -> None:
        """What is measured of the shaft: on its last section, or on its first one of a front axle."""
        part = side.sections[0 if self.subject.ahead else -1]
        ends = view.px(part.one), view.px(part.two)
        run, rise = ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]
        size = math.hypot(run, rise)
        ux, uy = run / size, rise / size

        def on(t: float, w: float) -> Point:
            return view.px(part.hung.at(t, w))

        tube = part.tube
        off = _UNDER
        base = tuple((x - uy * off, y + ux * off) for x, y in ends)
        self._dim(board, "readings.shaft_length_mm", base[0], base[1], ends=ends)
        for path, t, toward in (
            ("outer_diameter_mm", tube[0] + 0.25 * (tube[1] - tube[0]), 70.0),
            ("wall_mm", tube[0] + 0.82 * (tube[1] - tube[0]), 110.0),
        ):
            for name in ("tube", "rear_tube", "front_tube"):
                if self._said(f"shaft.{name}.{path}") is not None:
                    self._to(board, view, f"shaft.{name}.{path}", on(t, -part.half), toward)
                    break
        sleeve = part.sleeve
        if sleeve[1] > sleeve[0]:
            mouth = sleeve[0] if self.subject.ahead else sleeve[1]
            self._to(board, view, "shaft.slip.stroke_mm", on((sleeve[0] + sleeve[1]) / 2.0, 0.0), 270.0)
            self._to(board, view, "shaft.slip.engaged_mm", on(mouth, 0.0), 285.0)
        nose = view.px(self.subject.nose)
        reach = "shaft.front_joint.max_angle_deg"
        self._to(board, view, reach, nose, 60.0 if not self.subject.ahead else 120.0)
        if len(side.sections) == 2:
            self._to(board, view, "shaft.bearing_mm", view.px(self.subject.side_joints[1]), 270.0)
        for name, place in (("phase_deg", self.subject.nose), ("rear_phase_deg", self.subject.nose)):
            self._to(board, view, f"shaft.{name}", view.px(place), 300.0 if not self.subject.ahead else 240.0)

    # ---- the axle from the left

    def axle(self, board: Board, box: Box) -> None:
        """The axle with its springs or links from the left."""
        subject, picture = self.subject, self.subject.picture
        xs = [subject.nose[0] + self.way * 60.0]
        zs: list[float] = []
        if self.kind.suspension == "leaf":
            xs += [x for x, _ in picture.spring_eyes_mm] + [x for x, _ in picture.shackle_mm]
        else:
            xs += [x for link in picture.links_mm for x, _ in link] + [
                (subject.axle_centre or (0.0, 0.0))[0] - self.way * 520.0
            ]
        zs = [(subject.axle_centre or (0.0, 0.0))[1] - 165.0]
        view = _fitted((box[0], box[1] + 14.0, box[2], box[3]), min(xs) - 130.0, max(xs) + 130.0, min(zs))
        side = self._side(board, view, self.no_wheels, shaft=False)
        line, r = subject.pinion_line, subject.joint_radius_mm
        if line is not None:
            draw_yoke(board, view, subject.nose, (-self.way * line[0], -self.way * line[1]), r)
            ShaftPainter(board, view, r).joint(subject.nose, line, subject.joint_types[0 if subject.ahead else -1])
        self._axle_numbers(board, view, side)
        if self.kind.suspension == "leaf":
            self._springs(board, view, side)
        else:
            for number, name in enumerate(("lower", "upper")):
                for end, (at, toward) in enumerate(zip(picture.links_mm[number], (110.0, 70.0), strict=True)):
                    where = ("frame", "axle")[end]
                    self._to(
                        board, view, f"suspension.{name}_{where}_mm", view.px(at), toward if not number else -toward
                    )
        board.finish()
        caption(board, box[0], box[1] - 3.0, "From the left")

    def _axle_numbers(self, board: Board, view: View, side: SideView) -> None:
        subject, housing = self.subject, side.housing
        if housing is None:
            return
        self._gauges(board, view, self._at_pinion(view, side))
        centre, nose = view.px(housing.hung.origin), view.px(subject.nose)
        low = centre[1] + housing.radius * view.scale + 13.0
        rise = nose[1] - centre[1]
        self._dim(board, "axle.pinion_length_mm", (nose[0], low + rise), (centre[0], low), ends=(nose, centre))
        away = 20.0 if self.way < 0.0 else 160.0
        self._to(board, view, "axle.centre_mm", centre, away)
        rim = view.px(housing.hung.at(-0.36 * housing.tube_mm, -0.35 * housing.tube_mm))
        self._to(board, view, "axle.tube_diameter_mm", rim, 50.0 if self.way < 0.0 else 130.0)
        x = centre[0] - self.way * 150.0
        hair(board, (x - 11.0, centre[1]), (x + 11.0, centre[1]))
        for path, up, words in (
            ("suspension.bump_mm", -1.0, "to rubber or metal"),
            ("suspension.droop_mm", 1.0, "to strap or shock"),
        ):
            tip = (x, centre[1] + up * 30.0)
            board.arrow((x, centre[1]), tip, INK, 1.1, z=14.0, head=8.0, half=2.5)
            said = self._said(path)
            if said is not None:
                at = (x - self.way * (RING + 5.0), centre[1] + up * 19.0)
                ring(board, at, *said)
                beside = at[0] - self.way * (RING + 4.0)
                board.write(beside, at[1] + 3.5, words, SMALL_PT, INK, align="left" if self.way < 0.0 else "right")

    def _springs(self, board: Board, view: View, side: SideView) -> None:
        subject, picture = self.subject, self.subject.picture
        fixed, hung = (view.px(eye) for eye in picture.spring_eyes_mm)
        pivot = view.px(picture.shackle_mm[0])
        at, _ = on_polyline(subject.spring, subject.bolt_share)
        bolt = view.px(at)
        self._to(board, view, "suspension.front_eye_mm", fixed, 110.0)
        self._to(board, view, "suspension.shackle_pivot_mm", pivot, 10.0)
        top = min(fixed[1], hung[1], bolt[1]) - 34.0
        for path, end in (("suspension.front_half_mm", fixed), ("suspension.rear_half_mm", hung)):
            self._dim(board, path, (end[0], top), (bolt[0], top), ends=(end, bolt))
        away = 20.0
        frame, _ = hung_on(picture.shackle_mm[0], picture.shackle_mm[1])
        ux, uz = frame.along
        left = (uz, ux) if uz < 0.0 else (-uz, -ux)
        one, two = ((x + left[0] * away, y + left[1] * away) for x, y in (pivot, hung))
        self._dim(board, "suspension.shackle_length_mm", one, two, ends=(pivot, hung))
        centre = view.px(subject.axle_centre or at)
        x = centre[0] + self.way * 58.0
        hair(board, bolt, (x + self.way * 4.0, bolt[1]))
        hair(board, centre, (x + self.way * 4.0, centre[1]))
        self._dim(board, "suspension.seat_to_axle_mm", (x, bolt[1]), (x, centre[1]))
        seat = (centre[0] - self.way * 62.0, bolt[1] - 5.0)
        self._gauges(board, view, (_Gauge("readings.seat_slope_deg", seat, 0.0, 300.0),))
        del side

    # ---- from behind, and what is drawn by itself

    def behind(self, board: Board, box: Box) -> None:
        """The axle from behind, left is left."""
        places = draw_behind(board, (box[0], box[1] + 16.0, box[2], box[3]), usual(self.kind))
        caption(board, box[0], box[1] + 10.0, "From behind, left is left")
        view = View((box[0], box[1] + 16.0, box[2], box[3]), 1.0, 0.0, 0.0)
        low = places["floor"][1] + 13.0
        if self.kind.suspension == "leaf":
            stations = [places[name] for name in ("left flange", "left perch", "right perch", "right flange")]
            paths = ("axle.flange_to_perch_left_mm", "axle.perch_spacing_mm", "axle.flange_to_perch_right_mm")
            for path, one, two in zip(paths, stations, stations[1:], strict=False):
                self._dim(board, path, (one[0], low), (two[0], low), ends=(one, two))
        for path, name, toward in (
            ("axle.pinion_offset_mm", "pinion", 70.0), ("axle.pinion_drop_mm", "pinion", 110.0),
            ("shocks.0.axle_point_mm", "shock low", 40.0), ("shocks.0.frame_point_mm", "shock top", 340.0),
            ("lateral_link.frame_point_mm", "link frame", 200.0), ("lateral_link.axle_point_mm", "link axle", 300.0),
        ):  # fmt: skip
            self._to(board, view, path, places[name], toward)
        board.finish()

    def apart(self, board: Board, box: Box) -> None:
        """A torque bar from the left, and a shock in and out."""
        left, top, right, bottom = box
        caption(board, left, top + 10.0, "Torque bar from the left")
        caption(board, right, top + 10.0, "Shock in and out", "right")
        view = View((left, top + 14.0, right, bottom), 1.0, 0.0, 0.0)
        rail = (left + 4.0, top + 20.0, left + 0.62 * (right - left), top + 30.0)
        board.shape(boxed(*rail), board.tint(0.06), Stroke(board.tint(0.5), 1.0), z=3.0)
        one, two = (left + 34.0, top + 48.0), (left + 0.5 * (right - left), top + 84.0)
        board.shape(((one[0] - 15.0, top + 30.0), (one[0] + 15.0, top + 30.0), (one[0] + 9.0, one[1] + 8.0),
                     (one[0] - 9.0, one[1] + 8.0)), board.tint(0.2), Stroke(INK, 1.0), z=3.5)  # fmt: skip
        tube = (two[0] + 26.0, two[1] - 20.0)
        board.disc(tube, 17.0, board.tint(0.14), Stroke(INK, 1.3), z=3.0)
        board.disc(tube, 8.0, PAPER.paper, Stroke(INK, 1.0), z=3.1)
        board.shape(((tube[0] - 12.0, tube[1] - 8.0), (tube[0] - 4.0, tube[1] + 14.0), (two[0] + 6.0, two[1] + 9.0),
                     (two[0] - 8.0, two[1] - 5.0)), board.tint(0.3), Stroke(INK, 1.0), z=3.4)  # fmt: skip
        size = math.dist(one, two)
        ux, uy = (two[0] - one[0]) / size, (two[1] - one[1]) / size
        bar = [
            (one[0] - uy * w + ux * t, one[1] + ux * w + uy * t)
            for t, w in ((4.0, 5.0), (size - 4.0, 5.0), (size - 4.0, -5.0), (4.0, -5.0))
        ]
        board.shape(bar, board.tint(0.16), Stroke(INK, 1.3), z=4.0)
        board.edges.append((one, two))
        for end in (one, two):
            board.disc(end, 7.0, board.tint(0.42), Stroke(INK, 1.2), z=5.0)
            board.disc(end, 2.6, PAPER.paper, Stroke(INK, 0.8), z=5.1)
        self._to(board, view, "torque_bars.0.frame_point_mm", one, 130.0)
        self._to(board, view, "torque_bars.0.axle_point_mm", two, 110.0)
        x = one[0] + 0.42 * (two[0] - one[0])
        self._dim(board, "torque_bars.0.float_mm", (x - 17.0, top + 41.0), (x + 17.0, top + 41.0), at=1.6)
        for number, (x, long) in enumerate(((right - 84.0, 72.0), (right - 22.0, 106.0))):
            y = top + 22.0
            board.shape(boxed(x - 8.0, y, x + 8.0, y + 50.0), board.tint(0.2), Stroke(INK, 1.2), z=4.0)
            board.shape(boxed(x - 3.5, y + 50.0, x + 3.5, y + long), PAPER.paper, Stroke(INK, 1.0), z=3.9)
            for eye in (y - 3.0, y + long):
                board.disc((x, eye), 5.0, board.tint(0.4), Stroke(INK, 1.0), z=4.2)
            low, high = (x - 19.0, y - 3.0), (x - 19.0, y + long)
            hair(board, (x, low[1]), (low[0] - 3.0, low[1]))
            hair(board, (x, high[1]), (high[0] - 3.0, high[1]))
            path = ("shocks.0.compressed_mm", "shocks.0.extended_mm")[number]
            self._dim(board, path, low, high)
        board.finish()


def _subject(build: Build) -> Subject:
    found = solve(build)
    return Subject(build, found, found)


def _fitted(box: Box, first_mm: float, last_mm: float, low_mm: float, high_mm: float = 0.0) -> View:
    """A view from one station to another that stands on a height; smaller, in the middle, to show another."""
    wide, tall = box[2] - box[0], box[3] - box[1]
    scale = wide / (last_mm - first_mm)
    if high_mm:
        scale = min(scale, tall / (high_mm - low_mm))
    return View(box, scale, (first_mm + last_mm - wide / scale) / 2.0, low_mm + tall / scale)
