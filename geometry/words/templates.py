"""Templates at true scale to cut out and hold to the work: seat against pinion, saddle of a perch, holes of a plate.

Outlines are seen from the vehicle's left or from above, in mm, x to the right and y up. A corner's third number is the
bulge of the side that begins there: the tangent of a quarter of the angle that its arc turns through, positive to the
left, nil for a straight side.
"""

from dataclasses import dataclass, replace
from math import atan, ceil, cos, hypot, pi, radians, sin, sqrt, tan

from geometry.document import Build, is_front_axle, value_at
from geometry.document.running_gear import TwoPieceShaft
from geometry.words.solution import Solution
from geometry.words.wording import degrees, inches, number

Corner = tuple[float, float, float]
Pair = tuple[float, float]
GAUGE_MM, LOW_MM = 160.0, 34.0
"""Length of the edge that lies on the seat, and how high the card is at its lower end."""
CHORD_MM = 0.01
"""How far a straight piece may lie off the arc that it stands for."""
_CLEARANCE_MM = 1.5
"""A hole over its bolt: medium fit of ISO 273 for M12 to M16 is 1.5 to 2 mm less a half (13.5, 15.5, 17.5; from memory)."""
_EDGE = 2.0
"""From a hole's centre to the plate's edge, over the hole: common practice is one and a half at least."""
_OVER_MM = 10.0
"""How much farther than the U-bolts a perch reaches on each side."""
_WINGS = 0.35
"""How high over the tube's centre the saddle's wings end, over its radius."""


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole by its centre and diameter; diameter 0 where only the centre is known, to be punched."""

    x: float
    y: float
    diameter_mm: float


@dataclass(frozen=True, slots=True)
class Template:
    """One template: its outline, holes, lines to scribe, words with their places, and how it is used.

    `wants` are the entries without which it cannot be drawn; then there is nothing else, nor is there where all of them
    are entered and what they come to is not known.
    """

    key: str
    title: str
    outline: tuple[Corner, ...] = ()
    holes: tuple[Hole, ...] = ()
    scribed: tuple[tuple[Pair, Pair], ...] = ()
    labels: tuple[tuple[float, float, str], ...] = ()
    says: tuple[str, ...] = ()
    wants: tuple[str, ...] = ()

    @property
    def drawn(self) -> bool:
        """Whether there is anything of it."""
        return bool(self.outline)

    @property
    def size_mm(self) -> Pair:
        """How wide and high it is."""
        left, low, right, high = self.bounds
        return right - left, high - low

    def turned(self) -> "Template":
        """The same by a quarter to the right, its words upright: what was at the left is at the top.

        >>> one = Template("", "", ((0.0, 0.0, 0.5), (4.0, 1.0, 0.0)), labels=((1.0, 0.0, "front at the left"),)).turned()
        >>> one.outline, one.labels
        (((0.0, 0.0, 0.5), (1.0, -4.0, 0.0)), ((0.0, -1.0, 'front at the top'),))
        """

        def at(x: float, y: float) -> Pair:
            return y, 0.0 - x

        def said(words: str) -> str:
            return words.replace("at the left", "at the top").replace("at the right", "at the bottom")

        return replace(
            self,
            outline=tuple((*at(x, y), bulge) for x, y, bulge in self.outline),
            holes=tuple(Hole(*at(hole.x, hole.y), hole.diameter_mm) for hole in self.holes),
            scribed=tuple((at(*one), at(*two)) for one, two in self.scribed),
            labels=tuple((*at(x, y), said(words)) for x, y, words in self.labels),
        )

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, low, right, high of outline and holes."""
        flat = flattened(self.outline) + [
            (hole.x + side * hole.diameter_mm / 2.0, hole.y + side * hole.diameter_mm / 2.0)
            for hole in self.holes
            for side in (-1.0, 1.0)
        ]
        xs, ys = [x for x, _ in flat], [y for _, y in flat]
        return min(xs), min(ys), max(xs), max(ys)


def templates_of(build: Build, solution: Solution) -> tuple[Template, ...]:
    """Every template that the build's kinds take, those that cannot be drawn yet with what they want."""
    found = []
    if value_at(build, "suspension.kind") != "links":
        found += [_seat_to_pinion(build, solution), _perch(build, solution), _plate(build)]
    if isinstance(build.shaft, TwoPieceShaft):
        found.append(_bearing(build, build.shaft))
    return tuple(found)


def flattened(outline: tuple[Corner, ...]) -> list[Pair]:
    """Corners of an outline with its arcs cut into straight pieces, none of which lies more than `CHORD_MM` off.

    >>> half = flattened(((1.0, 0.0, 1.0), (-1.0, 0.0, 0.0)))  # half a circle to the left
    >>> all(abs(hypot(x, y) - 1.0) < 1e-9 for x, y in half), len(half) > 10
    (True, True)
    """
    points: list[Pair] = []
    for place, (x, y, bulge) in enumerate(outline):
        points.append((x, y))
        if bulge:
            points += _arc((x, y), outline[(place + 1) % len(outline)][:2], bulge)
    return points


def _arc(one: Pair, two: Pair, bulge: float) -> list[Pair]:
    """Points between the ends of an arc."""
    turn = 4.0 * atan(bulge)
    away = hypot(two[0] - one[0], two[1] - one[1])
    radius = away / 2.0 / abs(sin(turn / 2.0))
    # From the chord's middle the centre lies to its left for a turn to the left of less than half a circle.
    off = radius * cos(turn / 2.0) * (1.0 if bulge > 0.0 else -1.0)
    middle = ((one[0] + two[0]) / 2.0, (one[1] + two[1]) / 2.0)
    centre = (middle[0] - off * (two[1] - one[1]) / away, middle[1] + off * (two[0] - one[0]) / away)
    pieces = max(ceil(abs(turn) / (2.0 * sqrt(2.0 * min(CHORD_MM / radius, 0.5)))), 2)
    start = (one[0] - centre[0], one[1] - centre[1])
    made = []
    for piece in range(1, pieces):
        angle = turn * piece / pieces
        c, s = cos(angle), sin(angle)
        made.append((centre[0] + c * start[0] - s * start[1], centre[1] + s * start[0] + c * start[1]))
    return made


def _seat_to_pinion(build: Build, solution: Solution) -> Template:
    """A card whose one edge lies on the perch's flat; the other is then along the pinion."""
    title, set_to = "Seat against pinion", solution.setpoints
    angle = set_to.tack_to_pinion_deg if set_to.tack_to_pinion_deg is not None else set_to.perch_to_pinion_deg
    if angle is None:
        return Template(
            "seat_to_pinion", title, wants=_lacking(build, "readings.seat_slope_deg", "axle.pinion_slope_deg")
        )
    drop = GAUGE_MM * tan(radians(angle))
    over = value_at(build, "suspension.seat") != "under"
    # Under the tube the flat looks down: the card hangs from it, its other edge below with the same slope.
    way = 1.0 if over else -1.0
    left, right = (LOW_MM + way * drop, LOW_MM) if way * drop > 0.0 else (LOW_MM, LOW_MM - way * drop)
    corners = [(0.0, 0.0), (GAUGE_MM, 0.0), (GAUGE_MM, way * right), (0.0, way * left)]
    outline = tuple((x, y, 0.0) for x, y in (corners if over else corners[::-1]))
    nose = "right" if is_front_axle(build) else "left"
    tacked = set_to.tack_to_pinion_deg is not None
    return Template(
        "seat_to_pinion",
        title,
        outline,
        labels=(
            (GAUGE_MM / 2.0, way * 6.0, "this edge on the flat of the perch"),
            (GAUGE_MM / 2.0, way * (min(left, right) - 9.0), "this edge along the pinion"),
            (GAUGE_MM / 2.0, way * 18.0, f"front of the vehicle at the left; pinion's nose at the {nose}"),
        ),
        says=(
            f"Between the two edges lie {degrees(abs(angle))}"
            + (", the pull of the weld allowed for: tack at this angle." if tacked else "."),
            "Held upright on the perch, its front at the front, the other edge slopes as the pinion does.",
            "Try it on both perches.",
        ),
    )


def _perch(build: Build, solution: Solution) -> Template:
    """The saddle of a perch, seen from the left, with the pinion's line on it."""
    title = "Saddle of a perch"
    tube, high, rod = (
        value_at(build, path) for path in ("axle.tube_diameter_mm", "clamp.perch_height_mm", "clamp.rod_mm")
    )
    if tube is None or high is None:
        return Template("perch", title, wants=_lacking(build, "axle.tube_diameter_mm", "clamp.perch_height_mm"))
    radius = tube / 2.0
    half = radius + (rod or 0.0) + _OVER_MM
    low = _WINGS * radius
    inner = sqrt(radius**2 - low**2)
    turn = pi - 2.0 * atan(low / inner)
    top = radius + high
    # Round the tube the arc turns to the right, seen along the outline.
    over = (
        (-half, top, 0.0),
        (-half, low, 0.0),
        (-inner, low, -tan(turn / 4.0)),
        (inner, low, 0.0),
        (half, low, 0.0),
        (half, top, 0.0),
    )
    says = [
        f"Fits a tube of {_said(build, tube)}; from the tube to the flat {_said(build, high)}.",
        f"As long as the U-bolts reach and {_said(build, _OVER_MM)} more at each end: cut it to the perch's own length.",
    ]
    # A perch under the tube is the same one turned over; the pinion's line keeps its slope.
    way = -1.0 if value_at(build, "suspension.seat") == "under" else 1.0
    outline: tuple[Corner, ...] = tuple((x, way * y, way * bulge) for x, y, bulge in over)
    middle = way * (top + radius) / 2.0
    scribed: tuple[tuple[Pair, Pair], ...] = (((0.0, way * top), (0.0, way * radius)),)
    angle = solution.setpoints.perch_to_pinion_deg
    if angle is not None:
        drop = tan(radians(angle)) * half
        scribed = (*scribed, ((-half, middle + drop), (half, middle - drop)))
        says.append("The slanting line is along the pinion when the perch sits right.")
    label = (-half * 0.72, way * (low + 4.0), "front")
    return Template("perch", title, outline, (), scribed, (label,), tuple(says))


def _plate(build: Build) -> Template:
    """Holes of the spring plate, seen from above, front at the left."""
    title = "Spring plate"
    paths = ("axle.tube_diameter_mm", "clamp.spring_width_mm", "clamp.rod_mm")
    tube, wide, rod = (value_at(build, path) for path in paths)
    if tube is None or wide is None or rod is None:
        return Template("spring_plate", title, wants=_lacking(build, *paths))
    hole = rod + _CLEARANCE_MM
    x, y = (tube + rod) / 2.0, (wide + rod) / 2.0
    edge = _EDGE * hole
    pin = value_at(build, "clamp.pin_mm")
    middle = Hole(0.0, 0.0, 0.0 if pin is None else pin + _CLEARANCE_MM)
    corners = ((-x - edge, -y - edge), (x + edge, -y - edge), (x + edge, y + edge), (-x - edge, y + edge))
    return Template(
        "spring_plate",
        title,
        tuple((*corner, 0.0) for corner in corners),
        (middle, *(Hole(sx * x, sy * y, hole) for sx in (-1.0, 1.0) for sy in (-1.0, 1.0))),
        (((-x - edge, 0.0), (x + edge, 0.0)), ((0.0, -y - edge), (0.0, y + edge))),
        ((-x / 2.0, y + edge - 7.0, "front at the left"),),
        (
            (
                f"Holes {_said(build, hole)} for U-bolts of {_said(build, rod)}, centres {_said(build, 2.0 * x)} apart along the vehicle "
                f"and {_said(build, 2.0 * y)} across."
            ),
            "Measure the U-bolts that you have between their legs before you drill.",
            "How thick the plate must be is for its maker, local rules or a licensed engineer to say.",
        ),
    )


def _bearing(build: Build, shaft: TwoPieceShaft) -> Template:
    """Centres of the support bearing's bolts, seen from above."""
    title, apart = "Bolts of the support bearing", shaft.bearing_bolts_mm
    if apart is None:
        return Template("bearing", title, wants=("shaft.bearing_bolts_mm",))
    half, deep = apart / 2.0 + 25.0, 25.0
    outline = ((-deep, -half, 0.0), (deep, -half, 0.0), (deep, half, 0.0), (-deep, half, 0.0))
    return Template(
        "bearing",
        title,
        outline,
        (Hole(0.0, -apart / 2.0, 0.0), Hole(0.0, apart / 2.0, 0.0)),
        (((-deep, 0.0), (deep, 0.0)), ((0.0, -half), (0.0, half))),
        ((-deep / 2.0, half - 7.0, "front"),),
        (
            f"Punch the two centres, {_said(build, apart)} apart; the long line lies square across, the short one along the shaft.",
        ),
    )


def _said(build: Build, value_mm: float) -> str:
    """A length to cut or to drill by, in both units where inches are read."""
    metric = f"{number(value_mm, 1)} mm"
    return metric if build.display.length == "millimetre" else f"{inches(value_mm, build.display)} ({metric})"


def _lacking(build: Build, *paths: str) -> tuple[str, ...]:
    return tuple(path for path in paths if value_at(build, path) is None)
