"""Both ends of a section in a shaft order: what is on the shaft, what it goes to, and their sizes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from app.papers.kit import FROM_MEMORY, ROW, choice, field, lettered
from app.papers.shaft_drawing import end_view
from app.units import degrees, leaning
from geometry.document import value_at

if TYPE_CHECKING:
    from app.drawing.board import Board
    from app.papers.ordered import End, Ordered
    from app.sheet.paper import Frame

_LEVEL_DEG: Final = 0.05
_SQUARE_DEG: Final = 2.0
"""How far from square to the shaft a support bearing may sit: trade custom, from memory."""
_TYPES: Final = {"cardan": "single cross", "double_cardan": "double cross", "constant_velocity": "constant velocity"}
_SHAFT_ENDS: Final = (("flange", "flange"), ("caps", "bare caps"), ("spline", "slip yoke"))
_MATES: Final = (
    ("flange", "flange"),
    ("straps", "straps"),
    ("u_bolts", "U-bolts"),
    ("clips", "clips"),
    ("spline", "spline"),
)


class Ends:
    """Both ends of a section, beside one another in a frame."""

    def __init__(self, board: Board, frame: Frame, of: Ordered) -> None:
        self.board, self.frame, self.of = board, frame, of

    def draw(self, y: float) -> float:
        """Draw both from y down; return where the longer one ends."""
        left = self.frame.left
        half = (self.frame.room - 24.0) / 2.0
        lows = [
            self._one_end(end, left + number * (half + 24.0), y, half, "AB"[number])
            for number, end in enumerate(self.of.ends)
        ]
        return max(lows)

    def _one_end(self, end: End, x: float, y: float, wide: float, letter: str) -> float:
        board = self.board
        said = [self._joint_words(end), self._turns(end)]
        lettered(board, x, y, letter, end.title, x + wide, " · ".join(one for one in said if one))
        y += 24.0
        if end.between:
            return self._at_bearing(end, x, y, wide)
        on_shaft, goes_to = self.of.value(f"{end.shaft}.type"), self.of.value(f"{end.mate}.type")
        choice(board, x, y, "On shaft", 58.0, [(words, on_shaft == name) for name, words in _SHAFT_ENDS])
        y += 16.0
        mates = _MATES if end.title == "Gearbox end" else _MATES[:-1]
        choice(board, x, y, "Bolts to", 58.0, [(words, goes_to == name) for name, words in mates])
        mate = self.of.mate(end)
        seen = "seen from the front" if letter == "A" else "seen from the rear"
        flange = mate == "flange"
        end_view(board, (x + 54.0, y + 84.0), 46.0, "flange" if flange else None, seen)
        low = y + (157.0 if flange else 145.0)
        y = self._sizes(end, self._rows(end), x + 132.0, y + 21.0, wide - 132.0)
        return max(y - ROW, low)

    def _sizes(self, end: End, rows: list[tuple[str, str, str]], x: float, y: float, wide: float) -> float:
        """Rows beside an end's picture; return where the next would stand."""
        for label, value, inside in rows:
            if label == "Clips":
                clip = self.of.value(f"{end.shaft}.clip") or self.of.value(f"{end.mate}.clip")
                choice(self.board, x, y, label, 97.0, [(one, clip == one) for one in ("outside", "inside")])
            else:
                field(self.board, x, y, label, value, wide, 97.0, inside)
            y += ROW
        return y

    def _turns(self, end: End) -> str:
        ordered = end.ordered
        if ordered is None or ordered.operating_deg is None:
            return ""
        most = "" if ordered.most_deg is None else f", most {degrees(ordered.most_deg)}"
        return f"runs at {degrees(ordered.operating_deg)}{most}"

    def _cross(self, end: End) -> list[tuple[str, str, str]]:
        """The joint's cross: label, value, and what stands in the box of one that is not known."""
        unit, ordered = self.of.unit, end.ordered
        if ordered is None:
            return []
        memory = ordered.from_memory
        sizes = [("Joint series", self._series(end), "number, or:")]
        for label, name, value, inside in (
            ("Cap diameter", "cap_mm", ordered.cap_mm, "caliper"),
            ("Span over caps", "span_mm", ordered.span_mm, "over caps"),
        ):
            mark = f" {FROM_MEMORY}" if memory and self.of.value(f"{end.shaft}.{name}") is None else ""
            sizes.append((label, f"{self.of.caliper(value)}{mark}" if value is not None else "", f"{unit} · {inside}"))
        return [*sizes, ("Clips", "", "")]

    def _rows(self, end: End) -> list[tuple[str, str, str]]:
        """The same of all that an end has."""
        unit, sizes = self.of.unit, self._cross(end)
        if self.of.mate(end) in ("straps", "u_bolts", "clips") or self.of.value(f"{end.shaft}.type") == "caps":
            takes = self.of.value(f"{end.mate}.series")
            return [*sizes, ("Yoke takes", "" if takes is None else str(takes), "series, or its seats")]
        adapter = self.of.mm(end.adapter) or "none planned"
        if self.of.mate(end) == "spline":
            teeth = self._either(end, "spline_teeth")
            spline = "" if not teeth else f"{teeth} × {self._either(end, 'spline_diameter_mm')}"
            return [*sizes, ("Spline", spline, f"teeth × {unit}"), ("Seal Ø", self._either(end, "seal_mm"), unit),
                    ("Barrel", self.of.mm(f"{end.shaft}.barrel_mm"), f"{unit} long")]  # fmt: skip
        pilot = self._pilot(end)
        circle, bolts = self._either(end, "bolt_circle_mm"), self._either(end, "bolts")
        round_ = f"{circle} × {bolts}" if circle and bolts else ""
        size, thread = (
            self._either(end, "bolt_mm"),
            self.of.value(f"{end.shaft}.thread") or self.of.value(f"{end.mate}.thread"),
        )
        return [
            *sizes,
            ("Pilot, or seal Ø", pilot, unit),
            ("Bolt circle", round_, f"{unit} × holes"),
            ("Bolts", f"{size} {thread}" if size and thread else "", "size, thread"),
            ("Adapter", adapter, unit),
        ]

    def _joint_words(self, end: End) -> str:
        return _TYPES[self.of.joint_type(end)] if self.of.value(end.joint) is not None else ""

    def _series(self, end: End) -> str:
        series, other = self.of.value(f"{end.joint}.series"), self.of.value(f"{end.shaft}.other_series")
        if series is None:
            return ""
        return f"{series}, other caps {other}" if other is not None and other != series else str(series)

    def _either(self, end: End, name: str) -> str:
        """A size of the shaft's half; of the other half where only that is known, as both are alike; both if not."""
        own, other = (value_at(self.of.build, f"{half}.{name}") for half in (end.shaft, end.mate))
        said = [self.of.caliper(one) if name.endswith("_mm") else f"{one:g}" for one in (own, other) if one is not None]
        if len(set(said)) < 2:
            return said[0] if said else ""
        return f"{said[0].removesuffix(self.of.unit).strip()} on {said[1]}"

    def _pilot(self, end: End) -> str:
        size = self._either(end, "pilot_mm")
        own, other = (value_at(self.of.build, f"{half}.pilot") for half in (end.shaft, end.mate))
        if not size or " on " in size:
            return size
        if own is not None:
            return f"{size}, {own}"
        return size if other is None else f"{size}, mate {other}"

    def _at_bearing(self, end: End, x: float, y: float, wide: float) -> float:
        """The joint between two sections, and on the bearing's section how that is hung."""
        unit, bearing = self.of.unit, value_at(self.of.build, "shaft.bearing_mm")
        height = self.of.solution.setpoints.bearing_height_mm
        up = height if height is not None else None if bearing is None else bearing[2]
        seen = "seen from the rear" if end is self.of.ends[1] else "seen from the front"
        end_view(self.board, (x + 54.0, y + 68.0), 46.0, None, seen)
        low = y + 129.0
        beside = self._cross(end)
        if not self.of.slips:
            beside += [("Bearing's bore", self.of.bore(), unit), ("Joint past it", "", f"{unit} · middle to cross")]
        y = max(self._sizes(end, beside, x + 132.0, y, wide - 132.0), low + 22.0)
        rows: list[tuple[str, str, str]] = []
        if not self.of.slips:
            off = None if bearing is None else bearing[1]
            side = (
                ""
                if off is None
                else "on the centreline"
                if abs(off) < 0.5
                else f"{self.of.length(abs(off))} {'right' if off > 0.0 else 'left'}"
            )
            slope, plan = self.of.value("shaft.bearing_slope_deg"), self.of.value("shaft.bearing_plan_deg")
            turned = "" if plan is None else "square to it" if abs(plan) < _LEVEL_DEG else (
                f"{degrees(abs(plan))} off, to the {'right' if plan > 0.0 else 'left'}"
            )  # fmt: skip
            rows += [
                ("Bearing, floor up", self.of.length(up), unit),
                ("Bearing, aside", side, unit),
                ("Bolt spacing", self.of.mm("shaft.bearing_bolts_mm"), unit),
                ("Housing's slope", "" if slope is None else leaning(slope, down="rear low", up="rear high"), "°"),
                ("In plan, to vehicle", turned, "° off square"),
                ("Square to shaft", f"within {_SQUARE_DEG:g}° {FROM_MEMORY}", ""),
            ]
        for label, value, inside in rows:
            field(self.board, x, y, label, value, wide, 118.0, inside)
            y += ROW
        return max(y - ROW, low)
