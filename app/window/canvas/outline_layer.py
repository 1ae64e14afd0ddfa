"""A clear sheet over the drawing that takes mouse and keys while an obstacle's outline is drawn on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.window.canvas.outline import OutlineTool

if TYPE_CHECKING:
    from app.drawing.items import ViewName
    from app.window.canvas.canvas import Canvas
    from geometry.document.vehicle import Display
    from geometry.words.picture import Floor

_WAYS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}


class OutlineLayer(QWidget):
    """Click corners, double-click or Enter closes, Esc gives up.

    From the keyboard: arrows move the next corner, space sets it, backspace takes the last one away. With Alt held the
    corners snap to half units. The wheel still magnifies the drawing below, and the middle button still moves it.
    """

    drawn = Signal(str, object)
    """View, and corners as (station, height or distance right), as measured, mm."""
    ended = Signal()
    """The layer has gone, with an outline or without."""

    def __init__(self, canvas: Canvas, display: Display, floor: Floor) -> None:
        super().__init__(canvas)
        self._canvas = canvas
        self.tool = OutlineTool(display, floor)
        self.setAccessibleName("Outline of an obstacle")
        self.setAccessibleDescription("Arrows move the next corner, space sets it, Enter closes, Escape gives up.")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setGeometry(canvas.rect())
        canvas.installEventFilter(self)
        self.show()
        self.raise_()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def leave(self) -> None:
        """Take the layer away without an outline."""
        self._canvas.removeEventFilter(self)
        self.hide()
        self._canvas.setFocus(Qt.FocusReason.OtherFocusReason)
        self.ended.emit()
        self.deleteLater()

    def close_outline(self) -> None:
        """Hand the outline over, if it bounds something, and go."""
        if self.tool.whole:
            self.drawn.emit(self.tool.view, self.tool.outline)
            self.leave()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep the size of the drawing below."""
        if event.type() == QEvent.Type.Resize:
            self.setGeometry(self._canvas.rect())
        return super().eventFilter(watched, event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the outline so far."""
        del event
        view = self._canvas.view(self.tool.view)
        if view is None:
            return
        with QPainter(self) as painter:
            self.tool.paint(painter, view, self._canvas.theme, float(self.width()))
            self.tool.paint_hint(painter, self._canvas.theme, float(self.width()))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Set a corner."""
        if event.button() != Qt.MouseButton.LeftButton:
            event.ignore()
            return
        self._aim(event)
        self.tool.put()
        self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Show where the next corner would be."""
        if event.buttons() & Qt.MouseButton.MiddleButton:
            event.ignore()
        else:
            self._aim(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Leave the middle button to the drawing below."""
        event.setAccepted(event.button() == Qt.MouseButton.LeftButton)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Close the outline."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.close_outline()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Do from the keyboard what the mouse does."""
        key = event.key()
        if key == Qt.Key.Key_Escape:
            self.leave()
        elif key in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.close_outline()
        elif key in {Qt.Key.Key_Backspace, Qt.Key.Key_Delete}:
            self.tool.take_back()
        elif key == Qt.Key.Key_Space:
            self.tool.put()
        elif key in _WAYS:
            if self.tool.near is None:
                self._aim_at_middle("side")
            self.tool.nudge(*_WAYS[Qt.Key(key)], half=_half(event))
        elif not (key in {Qt.Key.Key_PageUp, Qt.Key.Key_PageDown} and self._turn()):
            super().keyPressEvent(event)
        self.update()

    def _turn(self) -> bool:
        """Go to the other view, before the first corner."""
        if self.tool.corners or self._canvas.view("top") is None:
            return False
        self._aim_at_middle("top" if self.tool.view == "side" else "side")
        return True

    def _aim_at_middle(self, name: ViewName) -> None:
        view = self._canvas.view(name)
        if view is not None:
            left, top, right, bottom = view.box
            self.tool.aim(self._canvas, (left + right) / 2.0, (top + bottom) / 2.0)

    def _aim(self, event: QMouseEvent) -> None:
        at = event.position()
        self.tool.aim(self._canvas, at.x(), at.y(), half=_half(event))
        self.update()


def _half(event: QMouseEvent | QKeyEvent) -> bool:
    return bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
