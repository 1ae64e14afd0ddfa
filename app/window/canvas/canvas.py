"""The drawing on the screen: painted once when it changes, then put up as a picture with what the hand does over it."""

from __future__ import annotations

from typing import Final, Protocol

from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPixmap, QPolygonF, QWheelEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.drawing.board import inside
from app.drawing.drawing import Drawing, Style, drawing
from app.drawing.items import VIEWS, Target, ViewName
from app.drawing.painter import paint
from app.drawing.palette import THEMES, Theme, ThemeName
from app.drawing.places import View
from app.drawing.rear import shows_behind
from app.drawing.subject import Subject
from app.drawing.zones import Look, Zones
from geometry.words.solution import Part, Solution

_CLICK_PX: Final = 4  # farther, and a press was a drag
_ZOOM_A_STEP: Final = 1.15
SCALES: Final = (0.04, 20.0)
"""Pixels a millimetre: a vehicle as long as a finger, and a bolt as large as the page."""
_STEPS: Final = {
    Qt.Key.Key_Left: (60.0, 0.0),
    Qt.Key.Key_Right: (-60.0, 0.0),
    Qt.Key.Key_Up: (0.0, 60.0),
    Qt.Key.Key_Down: (0.0, -60.0),
}
_LOOKS: Final[dict[Qt.Key, Look]] = {
    Qt.Key.Key_0: "shaft",
    Qt.Key.Key_Home: "shaft",
    Qt.Key.Key_S: "shaft",
    Qt.Key.Key_W: "whole",
    Qt.Key.Key_A: "axle",
}


class Overlay(Protocol):
    """What paints over the drawing, last."""

    def paint(self, painter: QPainter) -> None:
        """Paint it."""


class Canvas(QWidget):
    """The drawing of one subject. Says what was clicked; `draws` counts how often it was made."""

    part_clicked = Signal(str)
    flag_clicked = Signal(str, str)
    obstacle_clicked = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.draws = 0
        self.overlay: Overlay | None = None
        self._theme: Theme = THEMES["light"]
        self._subject: Subject | None = None
        self._look: Look | View = "shaft"
        self._held: Zones | None = None
        self._drawing: Drawing | None = None
        self._form: tuple[Solution | None, tuple[int, int], str | None] = (None, (0, 0), None)
        self._picture = QPixmap()
        self._painted = False
        self._selected: Part | None = None
        self._obstacle: int | None = None
        self._press: QPoint | None = None
        self._dragged = False
        self._space = False
        self._both_views = False
        self.setObjectName("drawing")
        self.setAccessibleName("Drawing of the driveline")
        self.setAccessibleDescription("Side view over top view. Nothing is drawn yet.")
        self.setMinimumSize(420, 280)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)

    # ---- what others tell it

    def show_subject(self, subject: Subject, *, held: bool = False) -> None:
        """Draw this subject; while it is `held` in a hand, scale and forms stand still."""
        if not held:
            if self._held is not None:
                self._held, self._form = None, (None, (0, 0), None)
        elif self._held is None and self.drawing is not None:
            self._held = self.drawing.zones
        if held and self._subject is not None:
            self._form = (subject.whole, self._form[1], self._form[2])
        self._subject = subject
        self._renew()

    def select_part(self, part: Part | None, obstacle: int | None = None) -> None:
        """Give a part the accent's halo, or none; of obstacles, the one with that number if it is given."""
        if (part, obstacle) == (self._selected, self._obstacle):
            return
        before, self._selected, self._obstacle = self._behind, part, obstacle
        if before or self._behind:  # the view from behind comes and goes with the choice
            self._held = None
            self._renew()
        self.update()

    @property
    def _behind(self) -> bool:
        """Whether what is chosen is read from behind."""
        return self._subject is not None and shows_behind(self._subject, self._selected)

    def set_theme(self, name: ThemeName) -> None:
        """Take the light or the dark colours."""
        if name != self._theme.name:
            self._theme = THEMES[name]
            self._renew()

    def look(self, look: Look | View) -> None:
        """Show the shaft, the whole vehicle, the axle with its perches, or a view that the hand has chosen."""
        if look != self._look:
            self._look, self._held = look, None
            self._renew()

    def show_both_views(self, *, on: bool) -> None:
        """Keep the view from above, as while something is drawn, where a low page would leave it to words."""
        if on != self._both_views:
            self._both_views, self._held = on, None
            self._renew()

    def _zoom(self, side: View, at: tuple[float, float], factor: float) -> None:
        """Magnify about a place, as far as there is anything to see."""
        scale = side.scale
        within = min(max(scale * factor, min(SCALES[0], scale)), max(SCALES[1], scale))
        self.look(side.zoomed(at, within / scale))

    def fit(self) -> None:
        """Show what the person came for, as large as it can be."""
        self.look("shaft")

    # ---- what others ask

    @property
    def theme(self) -> Theme:
        """Colours in use."""
        return self._theme

    @property
    def subject(self) -> Subject | None:
        """What is drawn."""
        return self._subject

    @property
    def drawing(self) -> Drawing | None:
        """The drawing as it stands; None before there is anything to draw."""
        if self._drawing is None and self._subject is not None:
            self._draw(self._subject)
        return self._drawing

    @property
    def to_scale(self) -> bool:
        """Whether the drawing has a scale, so that places in it can be taken hold of."""
        return self._subject is not None and self._subject.measured

    @property
    def moving_page(self) -> bool:
        """Whether the mouse is to move the page, whatever lies under it."""
        return self._space

    def forget_press(self) -> None:
        """The button that is down belongs to someone else."""
        self._press = None

    def view(self, name: ViewName) -> View | None:
        """One of the views, where it is drawn."""
        zones = None if self.drawing is None else self.drawing.zones
        if zones is None:
            return None
        return {"side": zones.side, "top": zones.top, "rear": zones.rear}[name]

    def view_at(self, x: float, y: float) -> ViewName | None:
        """Which view lies under a place of the page."""
        for name in VIEWS:
            view = self.view(name)
            if view is not None and view.holds((x, y)):
                return name
        return None

    def target_at(self, x: float, y: float) -> Target | None:
        """What a press takes there: the topmost."""
        made = self.drawing
        if made is None:
            return None
        return next((one for one in reversed(made.targets) if inside((x, y), one.outline)), None)

    # ---- drawing

    def _renew(self) -> None:
        self._drawing, self._painted = None, False
        self.update()

    def _draw(self, subject: Subject) -> None:
        size = (max(self.width(), 2), max(self.height(), 2))
        whole, of, form = self._form
        known = form if whole is subject.whole and of == size else None
        look = self._held if self._held is not None else self._look
        names = self._held is None  # nobody reads names under a moving hand
        style = Style(theme=self._theme, names=names, both_views=self._both_views, chosen=self._selected)
        made = drawing(subject, size, style, look=look, form=known)
        self._form = (subject.whole, size, made.form)
        self._drawing = made
        self.draws += 1
        self.setAccessibleDescription(made.says)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Put the drawing on the screen."""
        with QPainter(self) as painter:
            made = self.drawing
            if made is None:
                painter.fillRect(event.rect(), QColor(self._theme.paper))
                return
            if not self._painted:
                ratio = self.devicePixelRatioF()
                size = QSize(round(self.width() * ratio), round(self.height() * ratio))
                if self._picture.size() != size:
                    self._picture = QPixmap(size)
                self._picture.setDevicePixelRatio(ratio)
                with QPainter(self._picture) as on_picture:
                    paint(on_picture, made)
                self._painted = True
            painter.drawPixmap(QPointF(0.0, 0.0), self._picture)
            self._paint_selected(painter, made)
            if self.overlay is not None:
                self.overlay.paint(painter)

    def _paint_selected(self, painter: QPainter, made: Drawing) -> None:
        if self._selected is None or made.zones is None:
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        halo = QColor(self._theme.accent)
        halo.setAlphaF(0.45)
        pen = QPen(halo, 4.0)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for view in (made.zones.side, made.zones.top, made.zones.rear):
            if view is None:
                continue
            left, top, right, bottom = view.box
            painter.save()
            painter.setClipRect(QRectF(left, top, right - left, bottom - top))
            for one in made.targets:
                other = self._obstacle is not None and one.obstacle != self._obstacle
                inside_view = any(left - 0.5 < x < right + 0.5 and top + 2.0 < y < bottom for x, y in one.outline)
                if one.part != self._selected or one.finding or other or not inside_view:
                    continue
                painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in one.outline]))
            painter.restore()

    def resizeEvent(self, event: object) -> None:
        """Fit the page to another size."""
        del event
        self._renew()

    def sizeHint(self) -> QSize:
        """Size at which the drawing is at its best."""
        return QSize(1240, 700)

    # ---- mouse and keys

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Magnify about the pointer."""
        turns, at, side = event.angleDelta().y() / 120.0, event.position(), self.view("side")
        if turns and side is not None:
            over = self.view_at(at.x(), at.y()) == "side"
            y = at.y() if over else (side.box[1] + side.box[3]) / 2.0
            self._zoom(side, (at.x(), y), _ZOOM_A_STEP**turns)
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a click or a drag of the page."""
        if event.button() in {Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton}:
            self._press = event.position().toPoint()
            self._dragged = False
        self.setFocus(Qt.FocusReason.MouseFocusReason)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the page, or show what a click would take."""
        at, side = event.position().toPoint(), self.view("side")
        if self._press is None or side is None:
            over = self.target_at(at.x(), at.y()) is not None
            self.setCursor(Qt.CursorShape.PointingHandCursor if over else Qt.CursorShape.ArrowCursor)
            return
        moved = at - self._press
        if not self._dragged and moved.manhattanLength() <= _CLICK_PX:
            return
        middle = bool(event.buttons() & Qt.MouseButton.MiddleButton)
        taken = self.target_at(self._press.x(), self._press.y()) is not None
        if not self._dragged and not (middle or self._space) and taken:
            return
        self._dragged = True
        self._press = at
        self.look(side.shifted(float(moved.x()), float(moved.y())))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End a drag, or take what was clicked."""
        pressed, self._press = self._press, None
        if pressed is None or self._dragged or event.button() != Qt.MouseButton.LeftButton:
            return
        at = event.position()
        target = self.target_at(at.x(), at.y())
        if target is None:
            return
        if target.finding:
            self.flag_clicked.emit(target.finding, target.part)
        elif target.obstacle is not None:
            self.obstacle_clicked.emit(target.obstacle)
        else:
            self.part_clicked.emit(target.part)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Show the shaft again, from empty space."""
        at = event.position()
        if self.target_at(at.x(), at.y()) is None:
            self.fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Look at the shaft (S, 0, Home), the whole vehicle (W) or the axle (A), magnify (+, −), move (arrows).

        While space is held, any drag moves the page.
        """
        side, key = self.view("side"), event.key()
        if key == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = True
            return
        plain = event.modifiers() in {Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier}
        if side is None or not (plain or key in {Qt.Key.Key_Plus, Qt.Key.Key_Equal}):
            super().keyPressEvent(event)
            return
        left, top, right, bottom = side.box
        middle = ((left + right) / 2.0, (top + bottom) / 2.0)
        if key in _LOOKS:
            self.look(_LOOKS[Qt.Key(key)])
        elif key in {Qt.Key.Key_Plus, Qt.Key.Key_Equal}:
            self._zoom(side, middle, _ZOOM_A_STEP)
        elif key == Qt.Key.Key_Minus:
            self._zoom(side, middle, 1.0 / _ZOOM_A_STEP)
        elif key in _STEPS:
            self.look(side.shifted(*_STEPS[Qt.Key(key)]))
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let go of the page."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
        else:
            super().keyReleaseEvent(event)
