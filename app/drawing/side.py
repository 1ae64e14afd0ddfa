"""The side view: every part from the back to the front, centre lines, angle wedges and the dimension line."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING, Final, NamedTuple

from app.drawing.axle import Housing, draw_axle, draw_ghost, draw_tube_end, draw_yoke, housing_of
from app.drawing.board import CENTRE_DASH, Board
from app.drawing.fonts import width
from app.drawing.numbers import joint_verdict
from app.drawing.places import Pair, View, height_at
from app.drawing.powertrain import draw_powertrain, sizes_of
from app.drawing.running_gear import (
    SIDE,
    LeafPainter,
    draw_brackets,
    draw_flexible_lines,
    draw_hub_ghost,
    draw_links,
    draw_obstacle,
    draw_rail,
    draw_tyre,
    view_height,
)
from app.drawing.shaft import Section, ShaftPainter
from app.drawing.subject import TUBE_MM, Subject
from app.units import leaning, show

if TYPE_CHECKING:
    from app.drawing.items import Point

_WIDE: Final = 2.6
"""From so many arrows' lengths on the arrows of a wedge lie on its arc; those of a narrower one come from outside."""
_WEDGE: Final = 0.42
"""Radius of an angle's wedge, of the section's length."""
_DOWN: Final = tuple(30.0 + 8.0 * step for step in range(24))
"""How far under the shaft the dimension line may stand: at the first place where its words lie on nothing."""
WORD_PT: Final = 11.0


class _Dimension(NamedTuple):
    """The words of a section's length: the section's ends, where the words begin and how wide they are, page pixels."""

    ends: tuple[float, float]
    left: float
    wide: float
    size: str
    tail: str
    shown: bool
    room: float


class SideView:
    """What was drawn of a subject in side view, and where: what the rows point at."""

    def __init__(self, board: Board, view: View, subject: Subject, *, ground: bool, most_low: float) -> None:
        self.board, self.view, self.subject, self.ground = board, view, subject, ground
        self.most_low = most_low
        """Page y that the dimension line stays above."""
        self.housing: Housing | None = housing_of(subject) if subject.drawable else None
        self.sections: list[Section] = []
        self.bearing: tuple[Point, ...] = ()
        self.dimension_words: list[tuple[float, float]] = []
        self.leaf: LeafPainter | None = None
        self.obstacles: dict[int, tuple[Point, ...]] = {}

    def draw(self, *, angles: bool = True, shaft: bool = True) -> None:
        """Draw all of it, or leave out the shaft, or the joints' angles and the centre lines."""
        subject, board, view, picture = self.subject, self.board, self.view, self.subject.picture
        self._floor()
        if picture.frame_rail_mm:
            draw_rail(board, view, picture.frame_rail_mm)
        for number, (one, outline) in enumerate(zip(subject.build.obstacles, picture.obstacles_mm, strict=True)):
            if one.view == "side" and outline:
                self.obstacles[number] = draw_obstacle(board, view, outline, number, carried=one.carried_by != "frame")
        if not subject.drawable:
            return
        self._ghosts()
        draw_powertrain(board, view, subject)
        if self.housing is not None:
            draw_axle(board, view, subject, self.housing)
        self._suspension()
        draw_brackets(board, view, subject, SIDE)
        draw_flexible_lines(board, view, subject, SIDE)
        if self.housing is not None:
            draw_tube_end(board, view, self.housing)
        if shaft:
            self._shaft()
        if angles:
            self._wedges()
            self._centre_lines()

    def _suspension(self) -> None:
        picture = self.subject.picture
        if picture.spring_mm or picture.spring_eyes_mm:
            self.leaf = LeafPainter(self.board, self.view, self.subject, self.housing)
            self.leaf.draw(picture.frame_rail_mm)
        if picture.links_mm:
            draw_links(self.board, self.view, self.subject, picture.frame_rail_mm)

    def _floor(self) -> None:
        subject, board, view, picture = self.subject, self.board, self.view, self.subject.picture
        vehicle = subject.build.vehicle
        if vehicle is not None:
            for hub, radius in (
                (picture.front_hub_mm, vehicle.front_tyre_radius_mm), (picture.rear_hub_mm, vehicle.rear_tyre_radius_mm)
            ):  # fmt: skip
                if hub is not None and radius:
                    draw_tyre(board, view, hub, radius)
        if self.ground and subject.travel_mm == 0.0:
            left, _, right, _ = view.box
            y = view.y(0.0)
            deep = y + 7.0 * board.k
            board.shape([(left, y), (right, y), (right, deep), (left, deep)], board.theme.band, None, z=1.4)
            board.line(((left, y), (right, y)), board.theme.ink, 1.4, z=1.45)

    def _ghosts(self) -> None:
        """Housing and shaft at the ends of the travel, or at ride height where another state is shown."""
        subject, board, view = self.subject, self.board, self.view
        others = list(subject.ends)
        if subject.travel_mm != 0.0:
            others.append(subject.whole)
        painter = ShaftPainter(board, view, subject.joint_radius_mm)
        for other in others:
            there = Subject(subject.build, other, other)
            if not there.drawable:
                continue
            housing = housing_of(there)
            if housing is not None:
                draw_ghost(board, view, housing, z=2.2)
            hub = other.picture.front_hub_mm if subject.ahead else other.picture.rear_hub_mm
            if hub is not None and subject.tyre_mm and other is not subject.whole:
                draw_hub_ghost(board, view, hub, subject.tyre_mm)
            beside = 0 if subject.ahead else len(there.side_joints) - 2
            one, two = there.side_joints[beside : beside + 2]
            painter.ghost(Section(one, two, subject.tubes_mm[min(beside, len(subject.tubes_mm) - 1)] or TUBE_MM))

    def _shaft(self) -> None:
        subject, board, view = self.subject, self.board, self.view
        way = 1.0 if subject.ahead else -1.0
        r = subject.joint_radius_mm
        for line, joint, sense in (
            (subject.output_line, subject.output, way),
            (subject.pinion_line, subject.nose, -way),
        ):
            if line is not None:
                draw_yoke(board, view, joint, (sense * line[0], sense * line[1]), r)
        painter = ShaftPainter(board, view, r)
        joints, types, tubes = subject.side_joints, subject.joint_types, subject.tubes_mm
        slips = 0 if subject.ahead else len(joints) - 2
        for place, (one, two) in enumerate(itertools.pairwise(joints)):
            tube = tubes[min(place, len(tubes) - 1)]
            part = Section(one, two, tube or TUBE_MM, known=tube is not None)
            painter.section(
                part, (types[place], types[place + 1]), subject.slip if place == slips else None,
                sleeve_first=not subject.ahead,
            )  # fmt: skip
            self.sections.append(part)
        if len(joints) == 3:
            rail = view_height(subject.picture.frame_rail_mm, joints[1][0])
            tube = max((one for one in tubes if one), default=TUBE_MM)
            self.bearing = painter.bearing(joints[1], self.sections[0].hung.along, tube, rail)
        for place, (at, name) in enumerate(zip(joints, subject.joint_names, strict=True)):
            along = self.sections[min(place, len(self.sections) - 1)].hung.along
            painter.joint(at, along, types[place])
            x, y = view.px(at)
            size = max(1.15 * r * view.scale, 10.0)
            square = [(x - size, y - size), (x + size, y - size), (x + size, y + size), (x - size, y + size)]
            board.target(f"{name}_joint", square)  # type: ignore[arg-type]

    # ---- lines over the parts

    def _lines(self) -> list[Pair | None]:
        """Directions front to rear, each followed rearward."""
        subject = self.subject
        ends = (subject.output_line, subject.pinion_line)
        first, last = ends[::-1] if subject.ahead else ends
        return [first, *[one.hung.along for one in self.sections], last]

    def _wedges(self) -> None:
        subject, lines = self.subject, self._lines()
        joints = subject.side_joints
        for place, (at, joint) in enumerate(zip(joints, subject.here.joints, strict=False)):
            one, two = lines[place], lines[place + 1]
            if one is None or two is None or joint.operating_deg is None:
                continue
            last = place == len(joints) - 1
            section = self.sections[place - 1 if last else place]
            verdict = joint_verdict(subject, place, joint, away=subject.away)
            colour = self.board.theme.colour(verdict) if verdict else self.board.theme.accent
            sense = -1.0 if last else 1.0
            self._wedge(
                at, (sense * one[0], sense * one[1]), (sense * two[0], sense * two[1]), _WEDGE * section.long, colour
            )

    def _wedge(self, at: Pair, one: Pair, two: Pair, radius: float, colour: str) -> None:
        """The angle between two lines, filled, with arrows onto both: on its arc if long, else from outside."""
        board, view, k = self.board, self.view, self.board.k
        first, last = math.atan2(one[1], one[0]), math.atan2(two[1], two[0])
        if first - last > math.pi:
            last += 2.0 * math.pi
        if last - first > math.pi:
            first += 2.0 * math.pi
        low, high = sorted((first, last))

        def on_arc(turn: float) -> Point:
            return view.px((at[0] + radius * math.cos(turn), at[1] + radius * math.sin(turn)))

        arc = [on_arc(low + (high - low) * step / 12.0) for step in range(13)]
        board.shape([view.px(at), *arc], colour, None, z=7.6, opacity=0.50)
        board.edges.append(board.line(arc, colour, 1.3 * k, z=9.5))
        out = 17.0 * k / max(radius * view.scale, 1.0)
        if high - low > _WIDE * out:  # room for both heads on the arc, as an angle is dimensioned
            out = -out
        for outside, tip in ((high + out, high), (low - out, low)):
            # A rim of paper keeps an arrow apart from a wedge of its own colour.
            board.edges.append(board.line((on_arc(outside), on_arc(tip)), board.theme.paper, 3.6 * k, z=9.9))
            board.arrow(on_arc(outside), on_arc(tip), colour, 1.7 * k, z=10.0, head=7.5 * k, half=2.7 * k)

    def _centre_line(self, one: Pair, two: Pair) -> None:
        ends = self.view.all_px((one, two))
        self.board.line(ends, self.board.theme.ink, 1.0, z=9.0, dash=CENTRE_DASH)
        self.board.edges.append(ends)

    def _centre_lines(self) -> None:
        subject, r = self.subject, self.subject.joint_radius_mm
        for part in self.sections:
            self._centre_line(part.hung.at(-1.9 * r, 0.0), part.hung.at(part.long + 1.9 * r, 0.0))
        way = 1.0 if subject.ahead else -1.0
        long, _, _, _ = sizes_of(subject.build.powertrain)
        beside = self.sections[-1 if subject.ahead else 0].long
        behind = self.sections[0 if subject.ahead else -1].long
        far_output = 0.28 * beside if not subject.measured else 420.0 if subject.ahead else 0.62 * long
        far_pinion = 0.28 * behind
        if self.housing is not None:
            far_pinion = self.housing.reach + 0.95 * self.housing.radius
        for line, joint, sense, back, far in (
            (subject.output_line, subject.output, way, 0.47 * beside, far_output),
            (subject.pinion_line, subject.nose, -way, 0.47 * behind, far_pinion),
        ):
            if line is not None:
                (x, z), (ux, uz) = joint, line
                self._centre_line(
                    (x - sense * ux * back, z - sense * uz * back), (x + sense * ux * far, z + sense * uz * far)
                )
        if len(self.sections) == 2:
            first, second = self.sections
            self._centre_line(first.two, first.hung.at(first.long + 0.47 * second.long, 0.0))

    # ---- the dimension line

    def dimension(self, *, beside_flag: bool) -> None:
        """Length and slope of each section under it; room is left beside the words for the leader of a flag."""
        board, view, k = self.board, self.view, self.board.k
        if not self.sections:
            return
        low = max(max(view.y(one.one[1]), view.y(one.two[1])) + one.half * view.scale for one in self.sections)
        lowest = self.most_low - 14.0 * k
        if lowest < low + 8.0 * k:
            return  # a view that the person chose leaves no room under the shaft
        heights = [low + down * k for down in _DOWN if low + down * k <= lowest]
        told, y = self._clear_of_lines(heights, min(low + 30.0 * k, lowest), beside_flag=beside_flag)
        r = self.subject.joint_radius_mm
        for place, (part, words) in enumerate(zip(self.sections, told, strict=True)):
            for x, joint, drawn in ((words.ends[0], part.one, place > 0), (words.ends[1], part.two, False)):
                if not drawn:
                    line = ((x, view.y(joint[1]) + r * view.scale + 5.0 * k), (x, y + 5.0 * k))
                    board.line(line, board.theme.muted, 0.9 * k, z=6.5)
                    board.edges.append(line)
            self._dimension_line(words, y)

    def _clear_of_lines(
        self, heights: list[float], otherwise: float, *, beside_flag: bool
    ) -> tuple[list[_Dimension], float]:
        """The words of all sections and their height: as much as lies on nothing somewhere, as high as it does."""
        whole: list[_Dimension] | None = None
        for less in range(4):
            told = [self._dimension_words(place, less, beside_flag=beside_flag) for place in range(len(self.sections))]
            whole = whole or told
            for y in heights:
                if self._free_at(y, told):
                    return told, y
        return whole or [], otherwise

    def _free_at(self, y: float, told: list[_Dimension]) -> bool:
        """Whether words would lie on nothing there."""
        k = self.board.k
        _, top, _, bottom = self.board.box_of(0.0, y + 4.0 * k, "0", WORD_PT * k)
        boxes = ((one.left, top, one.left + one.wide, bottom) for one in told if one.shown)
        return all(self.board.is_free(one, k) for one in boxes)

    def _dimension_words(self, place: int, less: int, *, beside_flag: bool) -> _Dimension:
        """What is said of a section, as much of it as its line has room for, or less by so many steps."""
        subject, view, k = self.subject, self.view, self.board.k
        part, angles, here = self.sections[place], subject.here.angles, subject.here.shaft
        two = len(self.sections) == 2
        slope = angles.front_shaft_slope_deg if two and place == 0 else angles.shaft_slope_deg
        lengths = [one.length_mm for one in here.sections] if two else [here.length_mm]
        length = lengths[place] if place < len(lengths) else None
        size = "" if length is None else show(length, "mm", subject.build.display)
        name = ("front section", "rear section")[place] if two else "joint to joint"
        of = "" if two else "shaft "
        lean = "" if slope is None else leaning(slope, down="down", up="up to the rear")
        bare = lean.partition(" ")[0]
        tails = [f" {name} · {of}{lean}", f" · {of}{lean}", f" · {bare}", ""] if lean else [f" {name}", ""]
        if not size:
            tails = [f"{of}{lean}", bare, ""]
        tails = tails[min(less, len(tails) - (1 if size else 2)) :]
        # Of a section that the view cuts off, the part in sight is told; its line runs on without an arrow.
        ends = (view.x(part.one[0]), view.x(part.two[0]))
        seen = (max(ends[0], view.box[0]), min(ends[1], view.box[2]))
        room = seen[1] - seen[0]
        tail, wide = "", 0.0
        for tail in tails:
            wide = width(size, WORD_PT * k, bold=True) + width(tail, WORD_PT * k)
            spare = (room - wide) / 2.0 > 0.10 * room + 15.0 * k
            if wide + 56.0 * k < room and (not beside_flag or spare):
                break
        shown = seen == ends or wide + 10.0 * k <= room
        return _Dimension(ends, (seen[0] + seen[1] - wide) / 2.0, wide, size, tail, shown, room)

    def _dimension_line(self, words: _Dimension, y: float) -> None:
        board, k, ink = self.board, self.board.k, self.board.theme.ink
        if not words.shown:
            self.dimension_words.append((words.ends[0], words.ends[0]))
            return
        left, wide, ends = words.left, words.wide, words.ends
        pad = 5.0 * k if wide else 0.0
        self.dimension_words.append((left - pad - 1.0, left + wide + pad + 1.0))
        if (words.room - wide) / 2.0 - pad > 10.0 * k:
            for start, tip in ((left - pad, ends[0]), (left + wide + pad, ends[1])):
                board.arrow((start, y), (tip, y), ink, 0.9 * k, z=11.0, head=9.0 * k, half=2.6 * k)
                board.edges.append(((start, y), (tip, y)))
        end = board.write(left, y + 4.0 * k, words.size, WORD_PT * k, ink, bold=True, z=12.0) if words.size else left
        if words.tail:
            board.write(end, y + 4.0 * k, words.tail, WORD_PT * k, ink, z=12.0)

    # ---- what the lower row points at

    def lower_edge(self, x: float) -> float:
        """Page y of the shaft's lower edge at an x."""
        view = self.view
        for part in self.sections:
            first, last = view.x(part.one[0]), view.x(part.two[0])
            if first <= x <= last + 1.0:
                share = (x - first) / max(last - first, 1e-9)
                middle = part.one[1] + (part.two[1] - part.one[1]) * share
                return view.y(middle) + part.half_at(share * part.long) * view.scale
        return view.y(self.sections[-1].two[1]) if self.sections else view.box[3]

    def spring_height(self, x: float) -> float:
        """Page y of the spring pack's lower edge, or of the lower link, at an x."""
        view, picture = self.view, self.subject.picture
        across = view.left_mm + (x - view.box[0]) / view.scale
        if self.subject.spring:
            thick = 0.0 if self.leaf is None else self.leaf.thick / 2.0
            return view.y(height_at(self.subject.spring, across)) + thick
        (ax, az), (bx, bz) = picture.links_mm[0]
        return view.y(az + (bz - az) * (across - ax) / ((bx - ax) or 1.0))
