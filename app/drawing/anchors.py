"""Where on the drawing the leaders of the lower row end, part by part."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from app.drawing.flags import Anchor, on_circle
from app.drawing.running_gear import bush_of_link
from app.drawing.wording import numbered, obstacles_of

if TYPE_CHECKING:
    from app.drawing.side import SideView
    from geometry.words.solution import Triple

Span = tuple[float, float]


def anchor_of(side: SideView, key: str) -> Anchor | None:
    """Where a leader to a part may end; None where the part is not in the view."""
    found = _anchor(side, key)
    if found is None:
        return None
    left, _, right, _ = side.view.box
    edge = 8.0 * side.board.k
    spans = tuple(
        (max(low, left + edge), min(high, right - edge)) for low, high in found.spans if high >= left and low <= right
    )
    spans = tuple((low, max(low, high)) for low, high in spans)
    return Anchor(spans, found.height) if spans else None


def _anchor(side: SideView, key: str) -> Anchor | None:  # noqa: PLR0911
    view, subject, k = side.view, side.subject, side.board.k
    names = [f"{name}_joint" for name in subject.joint_names]
    if key in names:
        place = names.index(key)
        x, y = view.px(subject.side_joints[place])
        radius = subject.joint_radius_mm * view.scale
        # Beside the extension line of the dimension, so that neither lies on the other.
        beside = max(0.75 * radius, 7.0 * k) * (-1.0 if place == 0 else 1.0)
        return Anchor(((x + beside, x + beside),), on_circle((x, y), radius))
    if key == "shaft":
        return Anchor(_on_shaft(side), side.lower_edge)
    if key == "suspension":
        return _suspension(side)
    if key == "bearing" and side.bearing:
        xs, ys = [x for x, _ in side.bearing], [y for _, y in side.bearing]
        return Anchor(((min(xs), max(xs)),), lambda _: max(ys))
    if key in {"axle", "perches"} and side.housing is not None:
        centre = view.px(side.housing.hung.origin)
        radius = 0.93 * side.housing.radius * view.scale
        if key == "perches":
            half = (0.5 * side.housing.tube_mm + 20.0) * view.scale
            return Anchor(((centre[0] - half, centre[0] + half),), lambda _: centre[1] + half)
        bare = _less(((centre[0] - 0.35 * radius, centre[0] + 0.60 * radius),), _bushes(side))
        return Anchor(bare, on_circle(centre, radius))
    if key == "obstacles" and side.obstacles:
        return _obstacle(side)
    if key == "powertrain" and subject.picture.powertrain_outline_mm:
        made = view.all_px(subject.picture.powertrain_outline_mm)
        near = [one for one in made if one[0] >= view.box[0]] or list(made)
        low = max(near, key=lambda one: one[1])
        return Anchor(((low[0], low[0]),), lambda _: low[1] - 3.0)
    return _bracket(side, key)


def _on_shaft(side: SideView) -> tuple[Span, ...]:
    """Where the worst of the shaft's findings is: on its slip, on the tube of its section, or anywhere on it."""
    spans = _beside_words(side)
    worst = next(
        (one for _, one in numbered(side.subject.whole) if one.part == "shaft" and one.verdict != "unknown"), None
    )
    entry = "" if worst is None else worst.entry
    own: list[Span] = []
    others: list[Span] = []
    for place, part in enumerate(side.sections):
        of_tube = entry.startswith(("shaft.tube.", f"shaft.{('front', 'rear')[place]}_tube."))
        along = part.sleeve if entry.startswith("shaft.slip.") else part.tube if of_tube else (0.0, 0.0)
        if along[1] > along[0]:
            own += _within(spans, *(side.view.x(part.hung.at(t, 0.0)[0]) for t in along))
            others += _within(spans, side.view.x(part.one[0]), side.view.x(part.two[0]))
    return tuple(own or others) or spans


def _within(spans: tuple[Span, ...], first: float, last: float) -> list[Span]:
    """What of stretches lies within another one, where that is more than a line."""
    found = [(max(low, first), min(high, last)) for low, high in spans]
    return [(low, high) for low, high in found if high - low > 2.0]


def _bushes(side: SideView) -> list[Span]:
    """Over which stretches of x the links' bushes lie before the lower half of the axle's housing."""
    view, centre = side.view, side.subject.axle_centre
    return [
        (view.x(x - bush_of_link(number)) - 4.0, view.x(x + bush_of_link(number)) + 4.0)
        for number, (_, (x, z)) in enumerate(side.subject.picture.links_mm)
        if centre is not None and z < centre[1]
    ]


def _less(spans: tuple[Span, ...], others: Sequence[Span]) -> tuple[Span, ...]:
    """What is left of stretches where others lie; the whole where nothing is."""
    left = list(spans)
    for first, last in others:
        left = [piece for low, high in left for piece in ((low, min(high, first)), (max(low, last), high))]
        left = [(low, high) for low, high in left if high > low]
    return tuple(left) or spans


def _beside_words(side: SideView) -> tuple[tuple[float, float], ...]:
    """Stretches of the shaft from a tenth to nine tenths of each section, less the words of its dimension."""
    view, k = side.view, side.board.k
    spans: list[tuple[float, float]] = []
    for part, (first, last) in zip(side.sections, side.dimension_words, strict=False):
        low, high = view.x(part.hung.at(0.1 * part.long, 0.0)[0]), view.x(part.hung.at(0.9 * part.long, 0.0)[0])
        spans += [(low, min(first - 3.0 * k, high)), (max(last + 3.0 * k, low), high)]
    wide = [one for one in spans if one[1] - one[0] > 2.0]
    if wide:
        return tuple(wide)
    part = side.sections[-1]
    at = view.x(part.hung.at(0.1 * part.long, 0.0)[0])
    return ((at, at),)


def _suspension(side: SideView) -> Anchor | None:
    view, subject = side.view, side.subject
    picture = subject.picture
    if subject.spring and subject.axle_centre is not None:
        way = -1.0 if subject.ahead else 1.0
        near = view.x(subject.axle_centre[0] + way * 1.12 * subject.housing_mm)
        far = view.x(subject.spring[0][0] + 25.0 if subject.ahead else subject.spring[-1][0] - 25.0)
        low, high = sorted((near, far))
        low, high = max(low, view.box[0] + 8.0), min(high, view.box[2] - 8.0)
        return Anchor(((low, max(low, high)),), side.spring_height)
    if picture.links_mm:
        (ax, _), (bx, _) = picture.links_mm[0]
        low, high = sorted((view.x(ax + 0.2 * (bx - ax)), view.x(ax + 0.6 * (bx - ax))))
        return Anchor(((low, high),), side.spring_height)
    if side.housing is not None:
        centre = view.px(side.housing.hung.origin)
        return Anchor(((centre[0], centre[0]),), on_circle(centre, 0.93 * side.housing.radius * view.scale))
    return None


def _obstacle(side: SideView) -> Anchor | None:
    """The lower edge of the obstacle whose gap is worst, of those in side view."""
    wrong = [one for one in side.subject.whole.findings if one.bad]
    for number in (number for one in wrong for number in obstacles_of(one, side.subject.build)):
        if number in side.obstacles:
            outline = side.obstacles[number]
            xs = [x for x, _ in outline]
            return Anchor(((min(xs), max(xs)),), _at(max(y for _, y in outline) - 2.0))
    return None


def _bracket(side: SideView, key: str) -> Anchor | None:
    view, picture = side.view, side.subject.picture
    ends = {
        "shocks": picture.shocks_mm[:1],
        "torque_bars": picture.torque_bars_mm[:1],
        "flexible_lines": _worst_line(side),
        "lateral_link": () if picture.lateral_link_mm is None else (picture.lateral_link_mm,),
    }.get(key, ())
    for frame, axle in ends:
        x = (view.x(frame[0]) + view.x(axle[0])) / 2.0
        return Anchor(((x, x),), _at((view.y(frame[2]) + view.y(axle[2])) / 2.0))
    return None


def _worst_line(side: SideView) -> tuple[tuple[Triple, Triple], ...]:
    """The two ends of the middle stretch of the flexible line that is worst."""
    drawn = side.subject.picture.flexible_lines_mm
    for finding in side.subject.whole.findings:
        if finding.part == "flexible_lines" and finding.bad:
            hung = drawn[int(finding.id.rpartition("_")[2]) - 1]
            middle = len(hung) // 2
            return ((hung[middle - 1], hung[middle]),) if hung else ()
    return ()


def _at(y: float) -> Callable[[float], float]:
    return lambda _: y
