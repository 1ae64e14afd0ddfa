"""The numbers to set, each with what it is now: one column, in the order of the work."""

from __future__ import annotations

from typing import Final, NamedTuple

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.drawing.palette import LIGHT, Theme
from app.setpoints import set_points
from app.window.plain import set_tip
from app.window.theme import sized
from geometry.document import Build
from geometry.words.solution import Solution

_HEAD: Final = 26.0
_LEAST_ROW: Final = 17.0
_LARGE_FROM: Final = 900
_SHORT: Final = {"Wedge, each perch": "Wedge", "Rear mount": "Rear mount shim", "Spline engaged": "Engaged"}
_WAYS: Final = {
    "raises the nose": "raises nose",
    "lowers the nose": "lowers nose",
    "nose up from seat": "nose up",
    "nose down from seat": "nose down",
    "down to the rear": "down",
    "up to the rear": "up",
}
"""The sheet's words in fewer letters."""


class Point(NamedTuple):
    """A row: its name, what it is now, what to set, and which way; nothing to set where it stays."""

    name: str
    now: str
    set: str
    way: str


def points_of(build: Build, solution: Solution) -> list[Point]:
    """What is known of the set-points, with what each is now; what stays has nothing to set."""
    told = []
    for one in set_points(build, solution):
        if not one.value or one.spare:
            continue
        name, _, moved = one.label.partition(": ")
        way = "" if one.note.startswith("(") else _WAYS.get(one.note, one.note)
        now = one.now or one.value
        if moved:
            # What is moved says which way before how far: that is never cut.
            name, now = f"{moved.removesuffix(' by').capitalize()} {name.lower()}", ""
        told.append(Point(_SHORT.get(name, name), now, one.value if one.changes else "", way))
    return told


class SetpointTable(QWidget):
    """Set-points in their zone; what does not fit is named in one line, what stays first."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme: Theme = LIGHT
        self.points: list[Point] = []
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Set-points")

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self.update()

    def show_points(self, build: Build, solution: Solution) -> None:
        """Show other set-points."""
        known = solution.setpoints.pinion_slope_deg is not None or solution.setpoints.axle_shim_deg is not None
        self.points = points_of(build, solution) if known else []
        said = [f"{one.name} {one.set or one.now} {one.way}".strip() for one in self.points]
        self.setAccessibleDescription("; ".join(said) or "Nothing to set yet.")
        set_tip(self, "")
        self.update()

    def sizeHint(self) -> QSize:
        """Room for the fewest rows."""
        return QSize(240, 163)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint heading and rows."""
        del event
        painter, theme = QPainter(self), self._theme
        left, right = 14.0, self.width() - 12.0
        set_x, now_x = left + 0.575 * (right - left), left + 0.53 * (right - left)
        self._write(painter, left, 19.0, "Set-points", theme.ink, 11, bold=True)
        if not self.points:
            self._rows_of_words(painter, left, right)
            painter.end()
            return
        self._write(painter, now_x, 19.0, "now", theme.muted, 9, right=True)
        self._write(painter, set_x + 14.0, 19.0, "set", theme.muted, 9)
        shown, left_out = self._fitting()
        large = self.window().height() >= _LARGE_FROM
        high = min((self.height() - _HEAD - (16.0 if left_out else 4.0)) / max(len(shown), 1), 28.0 if large else 22.0)
        base = _HEAD + high * 0.72
        for one in shown:
            self._write(
                painter, left, base, one.name, theme.ink, 10, room=now_x - left - self._wide(painter, one.now) - 8.0
            )
            self._write(painter, now_x, base, one.now, theme.muted if not one.set else theme.ink, 10, right=True)
            if one.set:
                self._write(painter, set_x - 7.0, base, "→", theme.ink, 10, right=False)
                end = self._write(painter, set_x + 14.0, base, one.set, theme.ink, 15 if large else 11, bold=True)
                self._write(painter, end + 6.0, base, one.way, theme.muted, 9, room=right - end - 6.0)
            else:
                self._write(painter, set_x + 14.0, base, "stays", theme.muted, 9)
            base += high
        if left_out:
            names = ", ".join(one.name.lower() for one in left_out)
            stays = not any(one.set for one in left_out)
            words = f"{'stay' if stays else 'and'}: {names}"
            self._write(painter, left, self.height() - 5.0, words, theme.muted, 9, room=right - left)
        painter.end()

    def _fitting(self) -> tuple[list[Point], list[Point]]:
        """Rows for which there is room, and those that yield: first what stays, from the last."""
        most = int((self.height() - _HEAD - 4.0) / _LEAST_ROW)
        if len(self.points) <= most:
            return self.points, []
        most -= 1
        order = sorted(range(len(self.points)), key=lambda place: (not self.points[place].set, place))
        kept = set(order[:most])
        shown = [one for place, one in enumerate(self.points) if place in kept]
        return shown, [one for place, one in enumerate(self.points) if place not in kept]

    def _rows_of_words(self, painter: QPainter, left: float, right: float) -> None:
        painter.setFont(sized(self.font(), 10))
        painter.setPen(QColor(self._theme.muted))
        box = QRectF(left, _HEAD + 2.0, right - left, self.height() - _HEAD - 6.0)
        flags = int(Qt.TextFlag.TextWordWrap)
        painter.drawText(box, flags, "The numbers appear once the slopes of output, shaft and pinion are in.")

    def _wide(self, painter: QPainter, text: str) -> float:
        painter.setFont(sized(self.font(), 10))
        return float(painter.fontMetrics().horizontalAdvance(text))

    def _write(
        self, painter: QPainter, x: float, base: float, text: str, colour: str, points: int, *, bold: bool = False,
        right: bool = False, room: float | None = None,
    ) -> float:  # fmt: skip
        painter.setFont(sized(self.font(), points, bold=bold))
        painter.setPen(QColor(colour))
        metrics = painter.fontMetrics()
        said = text if room is None else metrics.elidedText(text, Qt.TextElideMode.ElideRight, max(int(room), 0))
        wide = float(metrics.horizontalAdvance(said))
        painter.drawText(QPointF(x - wide if right else x, base), said)
        return x if right else x + wide
