"""The heading of a section: opens and closes it, and says how much of it is entered."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QAbstractButton, QWidget

from app.drawing.palette import LIGHT, Theme
from app.window.form.rows import GUTTER
from app.window.shapes import paint_verdict
from app.window.theme import sized

HEADING_HIGH: Final = 26
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
        self._count = ""
        self._wanted = False
        self._selected = False
        self._theme = LIGHT

    def show_state(self, count: str, *, wanted: bool) -> None:
        """Show how much is entered, and whether more is wanted."""
        if (count, wanted) != (self._count, self._wanted):
            self._count, self._wanted = count, wanted
            said = f"{count} entered" if count else ""
            self.setAccessibleDescription(f"{said}; a finding wants more" if wanted else said)
            self.update()

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
        return QSize(180, HEADING_HIGH)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses it too, as space does."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.click()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Tell that the keyboard came here; only the keyboard does not already mean to press."""
        super().focusInEvent(event)
        if event.reason() in {Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason}:
            self.focused.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint triangle, title, count and ring."""
        del event
        painter = QPainter(self)
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
        right = box.width() - 6
        if self._count and self._count != "none":
            painter.setFont(sized(self.font(), 9))
            painter.setPen(QColor(theme.muted))
            wide = painter.fontMetrics().horizontalAdvance(self._count)
            painter.drawText(
                QRectF(right - wide, 0, wide + 2, box.height()), Qt.AlignmentFlag.AlignVCenter, self._count
            )
            right -= wide + 8
        if self._wanted:
            paint_verdict(painter, QRectF(right - 12, middle - 6, 12, 12), "unknown", theme.accent)
            right -= 16
        painter.setFont(sized(self.font(), 11, bold=self.isChecked()))
        painter.setPen(QColor(theme.accent if self._selected else theme.ink if self._count != "none" else theme.muted))
        room = right - GUTTER - 4
        text = painter.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, int(room))
        painter.drawText(QRectF(GUTTER + 4, 0, room, box.height()), Qt.AlignmentFlag.AlignVCenter, text)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(theme.accent), 2))
            painter.drawRect(QRectF(box).adjusted(1, 1, -1, -1))
        painter.end()
