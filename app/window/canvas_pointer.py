"""Mouse and keys on a page: moving and magnifying it, and what a click takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from app.sketch.camera import Camera
    from app.sketch.layout import Page
    from app.sketch.picking import Target
    from app.sketch.primitives import Scene, View

_CLICK_PX = 4  # farther, and a press was a drag
_ZOOM_A_STEP = 1.15
_STEPS = {
    Qt.Key.Key_Left: (60.0, 0.0),
    Qt.Key.Key_Right: (-60.0, 0.0),
    Qt.Key.Key_Up: (0.0, 60.0),
    Qt.Key.Key_Down: (0.0, -60.0),
}


class PointedPage(QWidget):
    """A page that is moved and magnified, and says what was clicked; what is on it is the business of who inherits."""

    part_clicked = Signal(str)
    flag_clicked = Signal(str, str)
    obstacle_clicked = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._press: QPoint | None = None
        self._dragged = False
        self._space = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)

    @property
    def camera(self) -> Camera | None:
        """What of the vehicle the page shows, and how large."""
        raise NotImplementedError

    @property
    def scene(self) -> Scene | None:
        """What is drawn."""
        raise NotImplementedError

    @property
    def page(self) -> Page | None:
        """Where everything stands."""
        raise NotImplementedError

    def look(self, camera: Camera) -> None:
        """Show another part of the vehicle, or at another size."""
        raise NotImplementedError

    def fit(self) -> None:
        """Show all of it."""
        raise NotImplementedError

    @property
    def moving_page(self) -> bool:
        """Whether the mouse is to move the page, whatever lies under it."""
        return self._space

    def forget_press(self) -> None:
        """The button that is down belongs to someone else."""
        self._press = None

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Magnify about the pointer."""
        turns = event.angleDelta().y() / 120.0
        if turns and self.camera is not None:
            at = event.position()
            self.look(self.camera.zoomed(_ZOOM_A_STEP**turns, at.x(), at.y()))
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a click or a drag."""
        if event.button() in {Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton}:
            self._press = event.position().toPoint()
            self._dragged = False
        self.setFocus(Qt.FocusReason.MouseFocusReason)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the page, or show what a click would take."""
        at = event.position().toPoint()
        if self._press is None or self.camera is None:
            self._hover(at)
            return
        moved = at - self._press
        if not self._dragged and moved.manhattanLength() <= _CLICK_PX:
            return
        middle = bool(event.buttons() & Qt.MouseButton.MiddleButton)
        if not self._dragged and not (middle or self._space) and self._target(self._press) is not None:
            return
        view: View = self.camera.view_at(float(self._press.x()), float(self._press.y())) or "side"
        self._dragged = True
        self._press = at
        self.look(self.camera.panned(float(moved.x()), float(moved.y()), view))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End a drag, or take what was clicked."""
        pressed, self._press = self._press, None
        if pressed is None or self._dragged or event.button() != Qt.MouseButton.LeftButton:
            return
        at = event.position().toPoint()
        target = self._target(at)
        if target is None:
            return
        finding, part, obstacle = target
        if finding:
            self.flag_clicked.emit(finding, part)
        elif obstacle is not None:
            self.obstacle_clicked.emit(obstacle)
        else:
            self.part_clicked.emit(part)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Show everything again, from empty space."""
        if self._target(event.position().toPoint()) is None:
            self.fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Fit (0, Home), magnify (+, −), move (arrows); while space is held, any drag moves the page."""
        camera, key = self.camera, event.key()
        if key == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = True
            return
        if camera is None:
            super().keyPressEvent(event)
            return
        middle = (camera.side.left + 0.5 * camera.side.width, camera.side.top + 0.5 * camera.side.height)
        if key in {Qt.Key.Key_0, Qt.Key.Key_Home}:
            self.fit()
        elif key in {Qt.Key.Key_Plus, Qt.Key.Key_Equal}:
            self.look(camera.zoomed(_ZOOM_A_STEP, *middle))
        elif key == Qt.Key.Key_Minus:
            self.look(camera.zoomed(1.0 / _ZOOM_A_STEP, *middle))
        elif key in _STEPS:
            self.look(camera.panned(*_STEPS[Qt.Key(key)], "side"))
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let go of the page."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
        else:
            super().keyReleaseEvent(event)

    def _hover(self, at: QPoint) -> None:
        over = self._target(at) is not None
        self.setCursor(Qt.CursorShape.PointingHandCursor if over else Qt.CursorShape.ArrowCursor)

    def _target(self, at: QPoint) -> Target | None:
        from app.sketch.picking import target_at

        if self.scene is None or self.camera is None or self.page is None:
            return None
        return target_at(self.scene, self.page, self.camera, float(at.x()), float(at.y()))
