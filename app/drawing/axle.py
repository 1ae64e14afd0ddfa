"""The driven axle in side view: cover, housing, snout, flange and tube; and the yokes of output and pinion."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.drawing.board import FAINT_DASH
from app.drawing.items import Stroke
from app.drawing.places import Hung, arc, rounded

if TYPE_CHECKING:
    from app.drawing.board import Board
    from app.drawing.places import Pair, View
    from app.drawing.subject import Subject

YOKE_MM = 62.0
"""From a joint's centre to the flange or stub that its yoke sits on."""


class Housing:
    """The housing hung on the axle's centre: its frame points toward the joint, which lies `drop` off that line."""

    def __init__(self, centre: Pair, joint: Pair, toward: Pair, tube_mm: float) -> None:
        self.hung = Hung(centre, toward)
        (ax, az), (dx, dz) = toward, (joint[0] - centre[0], joint[1] - centre[1])
        up = (az, -ax) if ax < 0.0 else (-az, ax)
        self.reach = dx * ax + dz * az
        self.drop = dx * up[0] + dz * up[1]
        self.tube_mm, self.radius = tube_mm, 1.62 * tube_mm
        self.back = -0.10 * self.radius
        self.neck = max(self.reach - 118.0, 0.9 * self.radius)

    @property
    def cover(self) -> list[Pair]:
        """The cover away from the pinion."""
        return [(self.back - x, z) for x, z in arc(0.86 * self.radius, -90.0, 90.0, flatten=0.95 / 0.86)]

    @property
    def casting(self) -> list[Pair]:
        """From the cover's flange to the neck."""
        r, d, k = self.radius, self.drop, self.neck
        return [
            (self.back, 0.95 * r), (0.30 * r, 0.90 * r), (0.62 * r, 0.66 * r + 0.3 * d), (0.86 * r, 0.42 * r + 0.7 * d),
            (k, 0.33 * r + d), (k, -0.33 * r + d), (0.86 * r, -0.42 * r + 0.7 * d), (0.62 * r, -0.66 * r + 0.3 * d),
            (0.30 * r, -0.90 * r), (self.back, -0.95 * r),
        ]  # fmt: skip


def housing_of(subject: Subject) -> Housing | None:
    """The housing where centre and pinion are known, or where a hub stands for the centre."""
    centre, line = subject.axle_centre, subject.pinion_line
    if centre is None or line is None:
        return None
    toward = line if subject.ahead else (-line[0], -line[1])
    return Housing(centre, subject.nose, toward, subject.axle_tube_mm)


def draw_axle(board: Board, view: View, subject: Subject, housing: Housing) -> None:
    """Draw the housing; dashed where its place or the tube's diameter is not entered."""
    axle = subject.build.axle
    if not subject.measured or axle is None or not axle.tube_diameter_mm:
        made = draw_ghost(board, view, housing, z=4.0)
        board.target("axle", made)
        return
    hung, r, d, k, back = housing.hung, housing.radius, housing.drop, housing.neck, housing.back
    body = board.part(view, hung, housing.casting, 0.10, z=4.0, thick=1.3, round_mm=0.10 * r)
    cover = board.part(view, hung, housing.cover, 0.16, z=4.02, thick=1.3)
    board.target("axle", body)
    board.target("axle", cover)
    for x, z in arc(0.76 * r, -62.0, 62.0, 5):
        board.disc(view.px(hung.at(back - x, 1.05 * z)), max(0.026 * r * view.scale, 0.8), board.tint(0.45), z=4.1)
    board.part(
        view, hung, [(back - 6.0, 0.99 * r), (back + 6.0, 0.99 * r), (back + 6.0, -0.99 * r), (back - 6.0, -0.99 * r)],
        0.26, z=4.1, thick=0.9,
    )  # fmt: skip
    for way in (1.0, -1.0):
        board.seam(view, hung, (0.34 * r, way * 0.50 * r), (k - 6.0, d + way * 0.14 * r), 0.3, z=4.1)
    ring = [(k - 8.0, 0.38 * r + d), (k + 16.0, 0.38 * r + d), (k + 16.0, -0.38 * r + d), (k - 8.0, -0.38 * r + d)]
    board.target("axle", board.part(view, hung, ring, 0.2, z=4.2))
    far = housing.reach - YOKE_MM
    if far > k + 16.0:
        stub = [(k + 16.0, 0.22 * r + d), (far, 0.22 * r + d), (far, -0.22 * r + d), (k + 16.0, -0.22 * r + d)]
        board.target("axle", board.part(view, hung, stub, 0.14, z=4.15))


def draw_tube_end(board: Board, view: View, housing: Housing) -> None:
    """Draw the axle tube's end, nearest to the eye."""
    at, half = view.px(housing.hung.origin), housing.tube_mm / 2.0
    board.disc(at, half * view.scale, board.tint(0.30), Stroke(board.theme.ink, 1.3), z=5.4)
    board.disc(at, 0.6 * half * view.scale, board.theme.paper, Stroke(board.theme.ink, 0.9), z=5.5)


def draw_ghost(board: Board, view: View, housing: Housing, *, z: float) -> list[tuple[float, float]]:
    """Draw the housing as a dashed outline alone."""
    outline = housing.casting[1:-1] + housing.cover
    made = list(view.all_px(housing.hung.all(rounded(outline, 0.06 * housing.radius))))
    stroke = Stroke(board.theme.muted, 1.0, FAINT_DASH)
    board.shape(made, "", stroke, z=z)
    board.edges.append((*made, made[0]))
    board.disc(view.px(housing.hung.origin), housing.tube_mm / 2.0 * view.scale, "", stroke, z=z)
    return made


def draw_yoke(board: Board, view: View, joint: Pair, toward: Pair, r: float) -> None:
    """Draw the yoke of output or pinion: from the joint outward two ears, a flange, and the hub that it sits on."""
    hung, edge = Hung(joint, toward), Stroke(board.theme.ink)
    neck = min(1.5 * r, YOKE_MM - 20.0)
    outline = [
        (0.1 * r, 0.95 * r), (min(0.9 * r, neck - 6.0), 0.98 * r), (neck, 0.52 * r), (YOKE_MM, 0.60 * r),
        (YOKE_MM, -0.60 * r), (neck, -0.52 * r), (min(0.9 * r, neck - 6.0), -0.98 * r), (0.1 * r, -0.95 * r),
    ]  # fmt: skip
    board.shape(view.all_px(hung.all(outline)), board.tint(0.26), edge, z=6.9)
    flange = [(neck + 4.0, 0.86 * r), (neck + 14.0, 0.86 * r), (neck + 14.0, -0.86 * r), (neck + 4.0, -0.86 * r)]
    board.shape(view.all_px(hung.all(flange)), board.tint(0.36), edge, z=6.91)
