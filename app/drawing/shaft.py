"""The shaft in a view: sections with yokes, weld tapers, sleeve and boot, joints of each kind, support bearing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.drawing.board import FAINT_DASH
from app.drawing.items import Stroke
from app.drawing.places import Hung, arc, bar, hung_on, rounded

if TYPE_CHECKING:
    from app.drawing.board import Board
    from app.drawing.items import Point
    from app.drawing.places import Pair, View
    from app.drawing.subject import JointType

_LEAST_BOOT_MM = 8.0


class Section:
    """One section from joint to joint in a view, and half its width along it for what points at its edge."""

    def __init__(self, one: Pair, two: Pair, diameter: float, *, known: bool = True) -> None:
        self.one, self.two, self.half, self.known = one, two, diameter / 2.0, known
        self.hung, self.long = hung_on(one, two)
        self.profile: list[Pair] = []
        self.tube, self.sleeve = (0.0, self.long), (0.0, 0.0)
        """From where to where along it its bare tube is, and its slip; the same twice of a section that has none."""

    def half_at(self, t: float) -> float:
        """Half its width, so far along, mm."""
        before = (0.0, 0.0)
        for here in self.profile:
            if t <= here[0]:
                run = here[0] - before[0]
                return here[1] if run <= 0.0 else before[1] + (here[1] - before[1]) * (t - before[0]) / run
            before = here
        return before[1]


class ShaftPainter:
    """Draws sections and joints of radius `r` in one view."""

    def __init__(self, board: Board, view: View, r: float) -> None:
        self.board, self.view, self.r = board, view, r
        dark = board.theme.name == "dark"
        # The light comes from above in either theme.
        base, light, shadow = (0.40, 0.62, 0.22) if dark else (0.30, 0.14, 0.50)
        self._base, self._light, self._shadow = (board.shade(share) for share in (base, light, shadow))
        self._yoke = board.shade(0.52)
        self._edge = board.theme.accent

    # ---- sections

    def section(
        self, part: Section, types: tuple[JointType, JointType], slip: tuple[float, float] | None, *, sleeve_first: bool
    ) -> None:
        """Draw a section; `slip` is stroke and engagement, with the sleeve at the first or the last joint.

        Where the tube's diameter is not entered its outline is dashed.
        """
        r, h, hung, long = self.r, part.half, part.hung, part.long
        if not part.known or long < 8.0 * r:
            self._plain(part)
            return
        neck = min(0.62 * h, 0.8 * r)
        near, far = (2.1 * r if kind == "double_cardan" else 0.0 for kind in types)
        yoke = max(1.9 * r, 0.9 * h) + 0.5 * h
        first, last = yoke + 0.55 * near, long - yoke - 0.55 * far
        self._ears(hung, 0.5 * near, 1.0, first + 2.0, neck)
        self._ears(hung, long - 0.5 * far, -1.0, last - 2.0, neck)
        ends = [first, last]
        profile = [(0.0, r), (first, neck), (last, neck), (long, r)]
        taper = 0.35 * h + 12.0
        if slip is not None:
            profile += self._slip(hung, ends, slip, taper, h, long, sleeve_first=sleeve_first)
            part.sleeve = (first, ends[0]) if sleeve_first else (ends[1], last)
        for end, way in ((ends[0], 1.0), (ends[1], -1.0)):
            cone = [(end, neck), (end + way * taper, h), (end + way * taper, -h), (end, -neck)]
            self._shape(hung, cone, self._base, 1.6, z=7.06)
        low, high = ends[0] + taper, ends[1] - taper
        self._round(hung, low, high, h, z=7.1)
        for end, way in ((low, 1.0), (high, -1.0)):
            weld = self.view.all_px(hung.all(((end + way * 5.0, h), (end + way * 5.0, -h))))
            self.board.line(weld, self._edge, z=7.3)
        part.tube = (low, high)
        profile += [(low, h), (high, h)]
        part.profile = sorted(profile)
        half = [(t, w) for t, w in part.profile if near <= t <= long - far]
        outline = self.view.all_px(hung.all([*half, *[(t, -w) for t, w in reversed(half)]]))
        self.board.bodies.append(outline)
        self.board.target("shaft", outline)

    def ghost(self, part: Section) -> None:
        """Draw a section as two dashed lines with a ring at each end."""
        stroke = Stroke(self.board.theme.muted, 1.0, FAINT_DASH)
        for up in (part.half, -part.half):
            ends = part.hung.all(((1.6 * self.r, up), (part.long - 1.6 * self.r, up)))
            made = self.board.line(self.view.all_px(ends), stroke.colour, z=2.2, dash=FAINT_DASH)
            self.board.edges.append(made)
        for end in (part.one, part.two):
            self.board.disc(self.view.px(end), self.r * self.view.scale, "", stroke, z=2.2)

    def _plain(self, part: Section) -> None:
        """A tube of no entered size, or too short for yokes: a bar."""
        dash = () if part.known else FAINT_DASH
        outline = bar(part.long - self.r, part.half, self.r)
        made = self.view.all_px(part.hung.all(outline))
        self.board.shape(made, self._base if part.known else "", Stroke(self._edge, 1.5, dash), z=7.1)
        part.profile = [(0.0, part.half), (part.long, part.half)]
        self.board.bodies.append(made)
        self.board.target("shaft", made)

    def _shape(self, hung: Hung, points: list[Pair], fill: str, thick: float, *, z: float) -> None:
        self.board.shape(self.view.all_px(hung.all(points)), fill, Stroke(self._edge, thick), z=z)

    def _ears(self, hung: Hung, at: float, way: float, to: float, neck: float) -> None:
        """A yoke: two ears at a joint, and its neck."""
        r = self.r
        upper = [(at + way * 0.1 * r, 0.97 * r), (at + way * 0.9 * r, r), (at + way * 1.7 * r, neck), (to, neck)]
        self._shape(hung, [*upper, *[(t, -w) for t, w in reversed(upper)]], self._yoke, 1.5, z=7.0)

    def _round(self, hung: Hung, first: float, last: float, half: float, *, z: float, edge: float = 1.7) -> None:
        """A tube with the light above its middle and the shade below."""
        if last <= first:
            return
        for low, high, fill, over in (
            (-1.0, 1.0, self._base, 0.0), (0.34, 0.80, self._light, 0.01), (-0.97, -0.36, self._shadow, 0.01)
        ):  # fmt: skip
            up, thick = (low + high) / 2.0 * half, (high - low) * half * self.view.scale
            self.board.line(self.view.all_px(hung.all(((first, up), (last, up)))), fill, thick, z=z + over)
        edges = self.view.all_px(hung.all(bar(last, half, first)))
        self.board.shape(edges, "", Stroke(self._edge, edge), z=z + 0.02)

    def _slip(
        self, hung: Hung, ends: list[float], slip: tuple[float, float], taper: float, h: float, long: float,
        *, sleeve_first: bool,
    ) -> list[Pair]:  # fmt: skip
        """Sleeve, and behind it the boot over the bare spline, which opens as the slip is drawn out."""
        stroke, engaged = slip
        first, last = ends
        wide, boot = 0.66 * h + 3.0, 0.56 * h
        room = (last - first) - 2.0 * taper - 0.22 * long
        sleeve = min(stroke + 34.0, max(0.62 * room, 40.0))
        bare = min(max(stroke - engaged, 10.0), max(room - sleeve, 14.0)) + _LEAST_BOOT_MM
        if sleeve_first:
            start, mouth, end = first, first + sleeve, first + sleeve + bare
            ends[0] = end
        else:
            start, mouth, end = last, last - sleeve, last - sleeve - bare
            ends[1] = end
        low, high = sorted((start, mouth))
        self._round(hung, low, high, wide, z=7.15, edge=1.6)
        lip = mouth - 8.0 if sleeve_first else mouth + 8.0
        self.board.line(self.view.all_px(hung.all(((lip, wide), (lip, -wide)))), self._edge, 1.3, z=7.3)
        left, right = sorted((mouth, end))
        folds = max(int((right - left) * self.view.scale / 4.2), 3)
        step = (right - left) / folds
        upper = [
            (left + (fold + half) * step, boot * (1.12 if half else 0.72))
            for fold in range(folds) for half in (0.0, 0.5)
        ]  # fmt: skip
        upper.append((right, boot * 0.72))
        rubber = [*upper, *[(t, -w) for t, w in reversed(upper)]]
        self.board.shape(
            self.view.all_px(hung.all(rubber)), self.board.tint(0.42), Stroke(self.board.theme.ink, 0.8), z=7.05
        )
        return [(low + 0.1, wide), (high - 0.1, wide), (left + 0.2, boot), (right - 0.2, boot)]

    # ---- joints

    def joint(self, at: Pair, along: Pair, kind: JointType) -> None:
        """Draw a joint: a cross in its circle, two of them in a cage, or balls in a bell."""
        r, hung, board = self.r, Hung(at, along), self.board
        if kind == "double_cardan":
            cage = rounded(bar(2.0 * r, 1.22 * r, -2.0 * r), 0.9 * r)
            self._shape(hung, cage, board.shade(0.40), 1.9, z=7.9)
            self._shape(hung, bar(0.20 * r, 1.45 * r, -0.20 * r), board.shade(0.75), 1.0, z=7.95)
            for way in (-1.02, 1.02):
                self._cross(hung.at(way * r, 0.0), hung, 0.72 * r)
        elif kind == "constant_velocity":
            bell = rounded(bar(0.5 * r, 1.25 * r, -1.1 * r), 0.5 * r)
            self._shape(hung, bell, board.shade(0.40), 1.9, z=7.9)
            px = self.view.px(at)
            board.disc(px, 0.9 * r * self.view.scale, board.theme.paper, Stroke(self._edge, 1.9), z=8.0)
            for x, z in arc(0.6 * r, 90.0, 330.0, 2):
                board.disc(self.view.px(hung.at(x, z)), 0.24 * r * self.view.scale, self._edge, z=8.1)
        else:
            self._cross(at, hung, r)

    def _cross(self, at: Pair, hung: Hung, r: float) -> None:
        board, size = self.board, r * self.view.scale
        board.disc(self.view.px(at), size, board.theme.paper, Stroke(self._edge, max(1.9, min(2.6, 0.2 * size))), z=8.0)
        here, thick = hung._replace(origin=at), max(1.5, min(2.6, 0.17 * size))
        for arm in (((-0.62 * r, 0.0), (0.62 * r, 0.0)), ((0.0, -0.62 * r), (0.0, 0.62 * r))):
            board.line(self.view.all_px(here.all(arm)), self._edge, thick, z=8.1)

    # ---- support bearing

    def bearing(self, at: Pair, along: Pair, tube: float, rail: float | None) -> tuple[Point, ...]:
        """Draw the support bearing side-on, just ahead of its joint: its housing hung from a foot under the rail."""
        board, view = self.board, self.view
        middle = Hung(at, along).at(-1.35 * tube, 0.0)
        over, across = Hung(middle, (1.0, 0.0)), Hung(middle, along)
        high = 2.0 * tube
        if rail is not None and abs(rail - middle[1]) < 3.2 * tube:
            high = rail - 2.0 - middle[1]
        low, foot, within = (0.7, 0.20, 6.0) if high > 0.0 else (-0.7, -0.20, -6.0)
        hanger = [(-0.34 * tube, high - within), (0.34 * tube, high - within), (0.30 * tube, low * tube),
                  (-0.30 * tube, low * tube)]  # fmt: skip
        board.target("bearing", board.part(view, over, hanger, 0.20, z=6.2))
        plate = [(-1.15 * tube, high), (1.15 * tube, high), (1.15 * tube, high - foot * tube),
                 (-1.15 * tube, high - foot * tube)]  # fmt: skip
        board.target("bearing", board.part(view, over, plate, 0.32, z=6.25))
        ring = rounded(bar(0.30 * tube, 1.02 * tube, -0.30 * tube), 0.16 * tube)
        made = board.part(view, across, ring, 0.30, z=7.45)
        board.target("bearing", made)
        for way in (-0.11, 0.11):
            board.seam(view, across, (way * tube, 0.86 * tube), (way * tube, -0.86 * tube), 0.6, z=7.5)
        board.part(view, across, rounded(bar(0.40 * tube, 0.60 * tube, -0.40 * tube), 0.05 * tube), 0.55, z=7.44)
        return made
