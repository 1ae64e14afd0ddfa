"""The heading of a section: opens and closes it, and says how much of it is entered."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPolygonF,
)
from PySide6.QtWidgets import QAbstractButton, QWidget

from app.drawing.palette import LIGHT, Theme, mixed
from app.window.form.rows import GUTTER
from app.window.painted import frame
from app.window.shapes import paint_verdict
from app.window.theme import sized, words_wide

LOW, MIDDLE, TALL = 24, 26, 30
"""Heights: the lowest is the least that is pressed with ease."""
_BAR_PX: Final = 52
_TRIANGLE: Final = {True: ((-5, -2.5), (5, -2.5), (0, 3.5)), False: ((-2.5, -5), (-2.5, 5), (3.5, 0))}


class HeadingButton(QAbstractButton):
    """Heading of a section: its title, how much of it is entered, and a ring where a finding wants something in it."""

    focused = Signal()

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setText(title)
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self._filled, self._most = 0, 0
        self._quiet = self._free = False
        self._wanted = False
        self._selected = False
        self._theme = LIGHT

    def show_state(self, filled: int, most: int, *, wanted: bool, free: bool = False) -> None:
        """Show how much of how much is entered, and whether a finding wants more; `free` where nothing need be."""
        if (filled, most, wanted, free) != (self._filled, self._most, self._wanted, self._free):
            self._filled, self._most, self._wanted, self._free = filled, most, wanted, free
            self._quiet = free and not filled
            said = f"{self.count} entered" if most else ""
            self.setAccessibleDescription(f"{said}; a finding wants more" if wanted else said)
            self.update()

    def be_quiet(self) -> None:
        """Stand for what is empty."""
        self._quiet = True

    @property
    def count(self) -> str:
        """How much of how much is entered; nothing where there is nothing to count."""
        return f"{self._filled} of {self._most}" if self._most else ""

    @property
    def lacking(self) -> bool:
        """Whether something is not entered."""
        return self._filled < self._most and not self._free

    def show_selected(self, *, selected: bool) -> None:
        """Show whether its part is the selected one."""
        if selected != self._selected:
            self._selected = selected
            self.update()

    @property
    def selected(self) -> bool:
        """Whether its part is the selected one."""
        return self._selected

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self.update()

    def sizeHint(self) -> QSize:
        """As high as all headings in sight allow."""
        return QSize(180, MIDDLE)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses as Space does."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter} and not event.isAutoRepeat():
            self.click()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Tell that the keyboard came here; only the keyboard does not already mean to press."""
        super().focusInEvent(event)
        if event.reason() in {Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason}:
            self.focused.emit()

    def fits(self, text: str, wide: int) -> bool:
        """Whether a title would be whole in a heading so wide."""
        return words_wide(text, 10, bold=self.isChecked()) <= self._title_room() - self.width() + wide

    def _title_room(self) -> float:
        """Between the triangle and what is said at the right."""
        count = words_wide(self.count, 9, bold=self.lacking)
        told = max(count, _BAR_PX if self.lacking else 0.0) + 5.0 if self._most else 0.0
        return self.width() - 12.0 - told - (12.0 if self._wanted else 0.0) - GUTTER - 4.0

    def _title_points(self) -> int:
        """A point smaller where it would run into what is said beside it."""
        return 11 if words_wide(self.text(), 11, bold=self.isChecked()) <= self._title_room() else 10

    def spare(self) -> float:
        """Room that is left beside the title; the title is whole as long as that is not below nought."""
        return self._title_room() - words_wide(self.text(), self._title_points(), bold=self.isChecked())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint triangle, title and count, with a bar where something is missing, and the ring of what is wanted."""
        del event
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            theme, box = self._theme, self.rect()
            if self.underMouse():
                painter.fillRect(box, QColor(theme.grid))
            if self._selected:
                painter.fillRect(0, 4, 3, box.height() - 8, QColor(theme.accent))
            middle = box.height() / 2
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(theme.muted))
            painter.translate(11, middle)
            painter.drawPolygon(QPolygonF.fromList([QPointF(x, y) for x, y in _TRIANGLE[self.isChecked()]]))
            painter.translate(-11, -middle)
            right = box.width() - 12.0
            if self._most:
                painter.setFont(sized(9, bold=self.lacking))
                painter.setPen(QColor(theme.ink if self.lacking else theme.muted))
                wide = words_wide(self.count, 9, bold=self.lacking)
                painter.drawText(
                    QRectF(right - wide, 0, wide + 2, box.height()), Qt.AlignmentFlag.AlignVCenter, self.count
                )
                if self.lacking:
                    line = QRectF(right - _BAR_PX, middle + 8.0, _BAR_PX, 2.0)
                    painter.fillRect(line, QColor(mixed(theme.muted, theme.paper, 0.45)))
                    line.setWidth(_BAR_PX * self._filled / self._most)
                    painter.fillRect(line, QColor(theme.ink))
                right -= max(wide, _BAR_PX if self.lacking else 0) + 5
            if self._wanted:
                paint_verdict(painter, QRectF(right - 11, middle - 6, 11, 11), "unknown", theme.accent)
            painter.setFont(sized(self._title_points(), bold=self.isChecked()))
            painter.setPen(QColor(theme.accent if self._selected else theme.muted if self._quiet else theme.ink))
            painter.drawText(QPointF(GUTTER + 4.0, middle + painter.fontMetrics().capHeight() / 2.0), self.text())
            if self.hasFocus():
                frame(painter, QRectF(box).adjusted(1, 1, -1, -1), theme)
