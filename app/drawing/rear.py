"""The view from behind, left is left: the driven axle between its tyres, and what is bolted between it and the frame.

Points are those of the picture. What no entry tells, such as how wide a tyre is, is as on a usual vehicle, dashed, and
judges nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from app.drawing.board import CENTRE_DASH, FAINT_DASH
from app.drawing.fonts import width
from app.drawing.items import Stroke
from app.drawing.places import Hung, View, arc, boxed, level, on_polyline, rounded
from app.drawing.rear_words import FACE_MM, QUIET_PT, RAIL_MM, RearWords
from app.drawing.running_gear import BEHIND, draw_brackets, draw_flexible_lines, view_height
from geometry.document import value_at
from geometry.document.running_gear import LeafSuspension

if TYPE_CHECKING:
    from collections.abc import Sequence

    from app.drawing.board import Board
    from app.drawing.items import Box
    from app.drawing.places import Pair
    from app.drawing.subject import Subject
    from geometry.words.solution import Part

CAPTIONS: Final = ("from behind, left is left · dashed: not measured", "from behind, left is left", "from behind")
_TYRE_MM, _OFFSET_MM, _PERCH_MM, _FLANGE_MM = 215.0, 18.0, 500.0, 220.0
"""How wide a tyre is, how far its middle lies beyond the flange, a perch from the middle, a flange from its perch."""
_RAIL_SHARE, _WEB_MM = 0.85, 9.0
"""Where the rails lie, of a perch's distance from the middle, and how thick they are."""
_SPRING_MM, _LEAF_MM, _LEAVES, _COIL_MM = 64.0, 8.0, 3, 62.0
"""Of leaf springs width, thickness of a leaf, and leaves; half of how wide a coil's seat is."""
_PINION_MM: Final = 24.0
"""Radius at which the pinion is drawn. All usual sizes, for the picture only: common practice, no source."""
_LOW, _PAD_PX = 10.0, 17.0
"""How much is shown under the floor, mm, and air all round, pixels."""
LEAST_PX: Final = 96.0
"""A view lower than that shows nothing."""


def shows_behind(subject: Subject, part: Part | None) -> bool:
    """Whether a part that is chosen is one that is read from behind, and there to be seen."""
    picture = subject.whole.picture
    if not subject.measured or picture.axle_centre_mm is None:
        return False
    there = {
        "shocks": picture.shocks_mm, "torque_bars": picture.torque_bars_mm, "perches": (picture.axle_centre_mm,),
        "lateral_link": picture.lateral_link_mm or picture.drag_link_mm,
        "flexible_lines": any(picture.flexible_lines_mm),
    }  # fmt: skip
    return bool(part is not None and there.get(part))


@dataclass(frozen=True)
class Across:
    """Where the axle's parts lie across the vehicle, mm right of its middle, left first; what of it was measured."""

    perches: Pair
    flanges: Pair
    rails: Pair
    perched: bool
    flanged: bool
    railed: tuple[bool, bool]

    @property
    def tyres(self) -> tuple[Pair, Pair]:
        """Where the left tyre lies, from its left side to its right one, and the right one."""
        left, right = (flange + way * _OFFSET_MM for way, flange in zip((-1.0, 1.0), self.flanges, strict=True))
        half = _TYRE_MM / 2.0
        return (left - half, left + half), (right - half, right + half)


def across_of(subject: Subject) -> Across:
    """Perches by the picture, flanges by their distances from them, rails by theirs from the flanges."""
    picture, build = subject.picture, subject.build
    centre = picture.axle_centre_mm
    middle = 0.0 if centre is None else centre[1]
    half = (value_at(build, "axle.perch_spacing_mm") or 2.0 * _PERCH_MM) / 2.0
    beside = [value_at(build, f"axle.flange_to_perch_{side}_mm") for side in ("left", "right")]
    perched = bool(picture.perches_mm)
    flanged = perched and None not in beside
    out = [half + (_FLANGE_MM if one is None else one) for one in beside]
    # The frame stays where it is while the axle goes sideways.
    stood = (value_at(build, "axle.centre_mm") or (0.0, middle, 0.0))[1]
    gaps = [value_at(build, f"square.offset_{side}_mm") if flanged else None for side in ("left", "right")]
    rails = [
        way * _RAIL_SHARE * half if gap is None else stood + way * (far - gap)
        for way, gap, far in zip((-1.0, 1.0), gaps, out, strict=True)
    ]
    return Across(
        (middle - half, middle + half), (middle - out[0], middle + out[1]), (rails[0], rails[1]), perched, flanged,
        (gaps[0] is not None, gaps[1] is not None),
    )  # fmt: skip


def extent_of(subject: Subject) -> Box:
    """What is to be seen, mm: leftmost, lowest, rightmost, highest; of ride height, so that nothing jumps."""
    still = subject if subject.here is subject.whole else replace(subject, here=subject.whole)
    picture, across = still.picture, across_of(still)
    (left, _), (_, right) = across.tyres
    points = [end for ends in (*picture.shocks_mm, *picture.torque_bars_mm) for end in ends]
    for link in (picture.lateral_link_mm, picture.drag_link_mm):
        points += link or ()
    points += [point for line in picture.flexible_lines_mm for point in line]
    ys, zs = [left, right, *(y for _, y, _ in points)], [0.0, *(z for _, _, z in points)]
    z = 0.0 if picture.axle_centre_mm is None else picture.axle_centre_mm[2]
    zs += [z + (still.tyre_mm or 0.0), z + still.housing_mm]
    rail = rail_of(still)
    zs += rail or ()
    return min(ys), min(zs) - _LOW, max(ys), max(zs)


def view_of(subject: Subject, box: Box, k: float) -> View:
    """The view that shows all of it in a box, as large as it can be; the floor at the foot."""
    left, low, right, high = extent_of(subject)
    pad = _PAD_PX * k
    scale = scale_of(subject, (box[2] - box[0], box[3] - box[1]), k)
    middle = (box[0] + box[2]) / 2.0
    top = box[3] - 2.0 * k - (high - low) * scale - pad
    return View(box, scale, (left + right) / 2.0 - (middle - box[0]) / scale, high + (top + pad - box[1]) / scale)


def scale_of(subject: Subject, size: tuple[float, float], k: float) -> float:
    """Pixels a millimetre with which all of it fits into a width and a height."""
    left, low, right, high = extent_of(subject)
    pad = _PAD_PX * k
    return min((size[0] - 2.0 * pad) / (right - left), (size[1] - pad - 2.0 * k) / (high - low))


def width_of(subject: Subject, tall: float, k: float) -> float:
    """How wide the view is, pixels, where its height alone limits it."""
    left, low, right, high = extent_of(subject)
    pad = _PAD_PX * k
    return (right - left) * (tall - pad - 2.0 * k) / (high - low) + 2.0 * pad


def rail_of(subject: Subject) -> tuple[float, float] | None:
    """Under and upper side of the frame rail over the axle, mm; None where its height is not known."""
    outline, centre = subject.picture.frame_rail_mm, subject.picture.axle_centre_mm
    if not outline or centre is None:
        return None
    under, over = view_height(outline, centre[0]), view_height(outline[:1:-1], centre[0])
    return None if under is None or over is None else (under, over)


def draw_behind(
    board: Board, view: View, subject: Subject, caption: tuple[float, float, float], *, names: bool = True
) -> list[str]:
    """Draw the view, and what it is under it: left, right, baseline; return the names that found no place."""
    made = _Behind(board, view, subject)
    made.draw(names=names)
    board.finish(view.box)
    left, right, base = caption
    pt = QUIET_PT * board.k
    words = next((one for one in CAPTIONS if width(one, pt) <= right - left), "")
    board.write(left, base, words, pt, board.theme.muted)
    board.finish()
    return made.left_out


class _Behind:
    def __init__(self, board: Board, view: View, subject: Subject) -> None:
        self.board, self.view, self.subject = board, view, subject
        self.across = across_of(subject)
        x, y, z = subject.picture.axle_centre_mm or (0.0, 0.0, 0.0)
        self.x, self.y, self.z = x, y, z
        self.half = subject.axle_tube_mm / 2.0
        self.tubed = bool(value_at(subject.build, "axle.tube_diameter_mm"))
        self.left_out: list[str] = []

    def draw(self, *, names: bool) -> None:
        """Draw all of it, from the farthest to the nearest, then its words."""
        self._floor()
        self._frame()
        for place in (0, 1):
            self._wheel(place)
        self._axle()
        for place in (0, 1):
            self._perch(place)
        draw_brackets(self.board, self.view, self.subject, BEHIND)
        draw_flexible_lines(self.board, self.view, self.subject, BEHIND)
        words = RearWords(self.board, self.view, self.subject, self.across, rail_of(self.subject))
        self.left_out = words.write(names=names)

    # ---- parts

    def _part(
        self, points: Sequence[Pair], share: float, *, z: float, known: bool = True, part: Part | None = None,
        thick: float = 1.0,
    ) -> None:  # fmt: skip
        """A part of a silhouette; dashed, and pale, where it is not as measured."""
        board = self.board
        dash, fill = ((), "") if known else (FAINT_DASH, board.tint(0.5 * share))
        made = board.part(self.view, level((0.0, 0.0)), list(points), share, z=z, thick=thick, dash=dash, fill=fill)
        if part is not None:
            board.target(part, made)

    def _floor(self) -> None:
        board, view = self.board, self.view
        if self.subject.travel_mm == 0.0:
            left, _, right, bottom = view.box
            y = view.y(0.0)
            board.shape([(left, y), (right, y), (right, bottom), (left, bottom)], board.theme.band, None, z=1.0)
            board.line(((left, y), (right, y)), board.theme.ink, 1.4, z=1.1)
        middle = view.all_px(((0.0, 0.0), (0.0, view.high_mm)))
        board.line(middle, board.tint(0.34), 0.8, z=1.05, dash=CENTRE_DASH)

    def _frame(self) -> None:
        rail = rail_of(self.subject)
        if rail is None:
            return
        under, over = rail
        for way, at, known in zip((-1.0, 1.0), self.across.rails, self.across.railed, strict=True):
            web, lip = at - way * _WEB_MM, at - way * RAIL_MM
            channel = [(at, under), (lip, under), (lip, under + _WEB_MM), (web, under + _WEB_MM),
                       (web, over - _WEB_MM), (lip, over - _WEB_MM), (lip, over), (at, over)]  # fmt: skip
            self._part(channel, 0.22, z=2.0, known=known)

    def _wheel(self, place: int) -> None:
        board, view, radius = self.board, self.view, self.subject.tyre_mm
        way, flange = (-1.0, 1.0)[place], self.across.flanges[place]
        if radius:
            inner, outer = self.across.tyres[place]
            box = boxed(inner, self.z + radius, outer, self.z - radius)
            tyre = view.all_px(rounded(box, 42.0))
            stroke = Stroke(board.tint(0.50), 1.0, FAINT_DASH)
            board.edges.append((*tyre, tyre[0]))
            board.shape(tyre, board.tint(0.06), stroke, z=1.5)
        face = boxed(flange - way * 12.0, self.z + FACE_MM, flange, self.z - FACE_MM)
        self._part(face, 0.50, z=3.4, known=self.across.flanged)

    def _axle(self) -> None:
        board, view, subject = self.board, self.view, self.subject
        left, right = self.across.flanges
        tube = boxed(left + 12.0, self.z + self.half, right - 12.0, self.z - self.half)
        self._part(tube, 0.14, z=3.5, known=self.tubed)
        r, half = subject.housing_mm, self.half
        offset = value_at(subject.build, "axle.pinion_offset_mm")
        beside = self.y + (offset or 0.0)
        joint = subject.picture.pinion_joint_mm or (self.x, beside, self.z)
        if offset is None and subject.ahead:  # drawn in line with its output, as in the other views
            beside = joint[1]
        hung = Hung((beside, self.z), (1.0, 0.0))
        neck = [(-1.28 * r, half), (-0.8 * r, 0.72 * r), (0.8 * r, 0.72 * r), (1.28 * r, half), (1.28 * r, -half),
                (0.8 * r, -0.72 * r), (-0.8 * r, -0.72 * r), (-1.28 * r, -half)]  # fmt: skip
        dash = () if self.tubed else FAINT_DASH
        fill = board.tint(0.12)
        board.part(view, hung, neck, 0.12, z=3.6, dash=dash, fill=fill)
        ink = board.theme.ink if self.tubed else board.theme.muted
        at, size = view.px(hung.origin), 0.93 * r * view.scale
        board.disc(at, size, board.tint(0.17), Stroke(ink, 1.2, dash), z=3.7)
        outline = tuple((at[0] + x, at[1] + y) for x, y in arc(size, 0.0, 360.0, 32))
        board.edges.append(outline)
        pinion = view.px((joint[1], joint[2]))
        if subject.ahead:  # a front axle's pinion points at the eye
            board.disc(pinion, 1.5 * _PINION_MM * view.scale, board.tint(0.30), Stroke(ink, 1.1), z=3.9)
            board.disc(pinion, _PINION_MM * view.scale, board.theme.paper, Stroke(board.theme.accent, 1.4), z=3.95)
            return
        board.disc(at, 0.78 * size, board.tint(0.10), Stroke(board.tint(0.6), 0.8), z=3.8)
        for x, z in arc(0.86 * r, 0.0, 324.0, 9):
            board.disc(view.px(hung.at(0.97 * x, 0.97 * z)), max(5.0 * view.scale, 1.0), board.tint(0.55), z=3.85)
        board.disc(pinion, _PINION_MM * view.scale, "", Stroke(board.theme.accent, 1.4, (4.0, 2.5)), z=3.95)

    def _perch(self, place: int) -> None:
        """Spring and perch with the U-bolts about them; of coils their seat on the tube."""
        y, known = self.across.perches[place], self.across.perched
        spring = self.subject.build.suspension
        if not self.subject.spring or not isinstance(spring, LeafSuspension):
            seat = boxed(y - _COIL_MM, self.z + self.half + 16.0, y + _COIL_MM, self.z + 0.5 * self.half)
            self._part(seat, 0.40, z=5.0, known=known, part="perches")
            return
        (_, main), _ = on_polyline(self.subject.spring, self.subject.bolt_share)
        half = float(value_at(self.subject.build, "clamp.spring_width_mm") or _SPRING_MM) / 2.0
        pack = float(value_at(self.subject.build, "clamp.pack_height_mm") or _LEAVES * _LEAF_MM)
        leaf = pack / _LEAVES
        top = main + 0.5 * leaf
        over = spring.seat != "under"
        flat, tube = (top - pack, self.z) if over else (top, self.z)
        pad = flat - (1.0 if over else -1.0) * min(10.0, 0.4 * abs(flat - tube))
        saddle = [(-half - 6.0, flat), (half + 6.0, flat), (half + 6.0, pad), (half - 3.0, pad), (half - 3.0, tube),
                  (3.0 - half, tube), (3.0 - half, pad), (-half - 6.0, pad)]  # fmt: skip
        self._part([(y + aside, up) for aside, up in saddle], 0.40, z=5.0, known=known, part="perches")
        for number in range(_LEAVES):
            high = top - number * leaf
            self._part(boxed(y - half, high, y + half, high - leaf), 0.66, z=5.4, known=known, thick=0.7)
        near, far = (top + 10.0, self.z - self.half - 12.0) if over else (top - pack - 10.0, self.z + self.half + 12.0)
        for way in (-1.0, 1.0):
            leg = self.view.all_px(((y + way * (half + 7.0), near), (y + way * (half + 7.0), far)))
            self.board.line(leg, self.board.theme.ink, max(9.0 * self.view.scale, 1.3), z=5.5)
            self.board.edges.append(leg)
        for edge in (near, far):
            plate = boxed(y - half - 18.0, edge + 6.0, y + half + 18.0, edge - 6.0)
            self._part(plate, 0.55, z=5.6, known=known, part="perches")
