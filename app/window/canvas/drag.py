"""Dragging parts in the drawing, with the mouse and from the keyboard: a hand on the canvas that edits the document."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from pydantic import ValidationError
from PySide6.QtCore import QEvent, QObject, QPoint, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent

from app.drawing.items import VIEWS
from app.window.canvas.drag_moves import (
    FREE,
    Numbers,
    Steps,
    changes_of,
    dragged,
    nudged,
    numbers_of,
    set_words,
    steps,
    words,
)
from app.window.canvas.handles import Handle, handles_of
from app.window.canvas.rings import FRAME_PX, Rings
from app.window.form.field_sentence import sentence_for

if TYPE_CHECKING:
    from app.drawing.places import View
    from app.window.canvas.canvas import Canvas
    from app.window.canvas.handles import Pair
    from app.window.document import Document
    from app.window.selection import Selection
    from app.window.travel.state import TravelState
    from geometry.document import Build

BACK_TO_REST: Final = "To move parts, first go back to ride height and no torque."
_REACH_PX: Final = 10.0
_NEAR_PX: Final = 70.0  # a handle shows itself to a pointer that comes so near
_CLICK_PX: Final = 4  # farther, and a press is a drag
_IDLE_MS: Final = 700  # keys that come closer after one another make one step of the history
_WAYS: Final = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}
_FREE: Final = Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.ControlModifier


@dataclass(slots=True)
class _Grip:
    """A handle in the hand: what it stood for when taken, what was asked for last, and what was last possible.

    `origin` is the build from which the hand counts, `pressed` where the mouse took it; from the keyboard nowhere.
    """

    handle: Handle
    origin: Build
    start: Numbers
    asked: Numbers
    good: Numbers
    pressed: Pair | None = None


class DragTool(QObject):
    """Takes mouse and keys of the canvas where they are meant for a handle, and leaves it all others.

    A handle is taken with the mouse, or chosen with Tab and moved with the arrows. Both snap to halves of the
    person's units, with Shift to the short marks of tape and gauge, with Alt (or Control) to nothing. Escape takes a
    drag back. `told` hands on a sentence for the foot of the window.
    """

    told = Signal(str)

    def __init__(
        self,
        document: Document,
        selection: Selection,
        state: TravelState,
        canvas: Canvas,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._state = state
        self._canvas = canvas
        self._hovered: Handle | None = None
        self._pointer: Pair | None = None
        self._chosen = ""
        self._pressed: tuple[Handle, QPoint] | None = None
        self._grip: _Grip | None = None
        self._passing = False
        self._known: tuple[object, tuple[Handle, ...]] = (None, ())
        self._idle = QTimer(self)
        self._idle.setSingleShot(True)
        self._idle.setInterval(_IDLE_MS)
        self._idle.timeout.connect(self.rest)
        document.refused.connect(self._refuse)
        document.glimpsed.connect(self._accept)
        document.let_go.connect(self._forget)
        canvas.installEventFilter(self)
        canvas.overlay = Rings(self, canvas)

    # ---- what it knows

    @property
    def handles(self) -> tuple[Handle, ...]:
        """Handles in the views that the drawing has now; none where it has no scale."""
        document = self._document
        if not self._canvas.to_scale:
            return ()
        under = document.glimpse
        work = document.shown.work if under is None else under.work
        there = (self._state.there or document.shown.solution) if under is None else under.solution
        if self._known[0] is not there:
            self._known = (there, handles_of(work, there.picture))
        shown = {name: self._canvas.view(name) for name in VIEWS}
        return tuple(one for one in self._known[1] if shown[one.view] is not None)

    @property
    def held(self) -> Handle | None:
        """The handle that is in the hand, or else chosen for the keyboard, or else under the pointer."""
        key = self._grip.handle.key if self._grip is not None else self._chosen
        chosen = next((one for one in self.handles if one.key == key), None) if key else None
        return chosen or self._hovered

    @property
    def chosen(self) -> Handle | None:
        """The handle that the arrows move."""
        return next((one for one in self.handles if one.key == self._chosen), None) if self._chosen else None

    @property
    def dragging(self) -> bool:
        """Whether a handle is in the hand."""
        return self._grip is not None

    @property
    def part(self) -> str | None:
        """Part that is selected, whose handles show themselves."""
        return self._selection.part if self._state.at_rest else None

    @property
    def says(self) -> str:
        """What the handle in the hand stands for now; nothing where none is moved."""
        grip = self._grip
        return "" if grip is None else words(grip.handle, grip.good, self._document.build.display)

    def offered(self) -> list[Handle]:
        """Handles that show themselves: all to the keyboard, the near ones to a pointer, those of a selected part."""
        if self.dragging or not self._state.at_rest:
            return []
        seen = [one for one in self.handles if self._in_sight(one, self._canvas.view(one.view))]
        if self._canvas.hasFocus():
            return seen
        return [one for one in seen if one.part == self.part or self._is_near(one)]

    def _is_near(self, handle: Handle) -> bool:
        view = self._canvas.view(handle.view)
        if view is None or self._pointer is None:
            return False
        x, y = view.px(handle.at)
        return max(abs(x - self._pointer[0]), abs(y - self._pointer[1])) < _NEAR_PX

    def _in_sight(self, handle: Handle, view: View | None) -> bool:
        """Whether a handle's frame lies in a view, whole."""
        if view is None:
            return False
        x, y = view.px(handle.at)
        return all(view.holds((x + dx, y + dy)) for dx in (-FRAME_PX, FRAME_PX) for dy in (-FRAME_PX, FRAME_PX))

    def handle_at(self, x: float, y: float) -> Handle | None:
        """Nearest handle under a page pixel."""
        under = self._canvas.view_at(x, y)
        nearest, best = None, _REACH_PX
        for one in self.handles:
            view = self._canvas.view(one.view)
            if view is None or under != one.view:
                continue
            at_x, at_y = view.px(one.at)
            away = max(abs(at_x - x), abs(at_y - y))
            if away < best:
                nearest, best = one, away
        return nearest

    # ---- mouse

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take what is meant for a handle."""
        if isinstance(event, QMouseEvent):
            return self._mouse(event)
        if isinstance(event, QKeyEvent):
            return self._keyboard(event)
        kind = event.type()
        if kind == QEvent.Type.Leave:
            self._pointer = None
            self._hover(None)
            self._canvas.update()
        elif kind == QEvent.Type.FocusOut:
            self.rest()
            self._canvas.update()
        elif kind == QEvent.Type.FocusIn:
            self._passing = False
            self._canvas.update()
        return super().eventFilter(watched, event)

    def _mouse(self, event: QMouseEvent) -> bool:
        match event.type():
            case QEvent.Type.MouseMove:
                return self._move(event)
            case QEvent.Type.MouseButtonPress:
                return self._press(event)
            case QEvent.Type.MouseButtonRelease:
                return self._release(event)
        at = event.position()
        return self.handle_at(at.x(), at.y()) is not None  # a double-click

    def _press(self, event: QMouseEvent) -> bool:
        self.rest()
        self._pressed = None
        if event.button() != Qt.MouseButton.LeftButton or self._canvas.moving_page:
            return False
        at = event.position()
        handle = self.handle_at(at.x(), at.y())
        self._choose(None if handle is None or not self._state.at_rest else handle)
        if handle is not None:
            self._pressed = (handle, at.toPoint())
        return False  # it may yet be a click, which is the canvas's

    def _move(self, event: QMouseEvent) -> bool:
        at, pressed = event.position(), self._pressed
        if pressed is None:
            if event.buttons() != Qt.MouseButton.NoButton:
                return False
            handle = self.handle_at(at.x(), at.y()) if self._state.at_rest else None
            before, self._pointer = self.offered(), (at.x(), at.y())
            if self.offered() != before:
                self._canvas.update()
            self._hover(handle)
            return handle is not None
        handle, start = pressed
        if self._grip is None:
            if (at.toPoint() - start).manhattanLength() <= _CLICK_PX:
                return True
            if not self._state.at_rest:
                self.told.emit(BACK_TO_REST)
                return True
            self._take(handle, self._in_mm(handle, start))
        grip = self._grip
        if grip is not None and grip.pressed is not None:
            x, y = self._in_mm(handle, at.toPoint())
            to = (handle.at[0] + x - grip.pressed[0], handle.at[1] + y - grip.pressed[1])
            self._ask(dragged(handle, grip.start, to, self._steps(event)))
        return True

    def _release(self, event: QMouseEvent) -> bool:
        pressed, self._pressed = self._pressed, None
        if pressed is None or event.button() != Qt.MouseButton.LeftButton:
            return False
        at = event.position()
        moved = (at.toPoint() - pressed[1]).manhattanLength() > _CLICK_PX
        if self._grip is None:
            if moved:
                self._canvas.forget_press()
            return moved
        self._canvas.forget_press()
        self._end()
        self._hover(self.handle_at(at.x(), at.y()))
        self._selection.choose(self, part=pressed[0].part, entry=pressed[0].path)
        return True

    def _hover(self, handle: Handle | None) -> None:
        if handle != self._hovered:
            self._hovered = handle
            self._canvas.update()
        if handle is not None:
            turns = handle.about is not None  # in both views the nose lies ahead of the axle and goes up or down
            self._canvas.setCursor(Qt.CursorShape.SizeVerCursor if turns else Qt.CursorShape.SizeAllCursor)

    # ---- keyboard

    def _keyboard(self, event: QKeyEvent) -> bool:
        if self._grip is not None:
            if event.type() == QEvent.Type.ShortcutOverride and event.key() == Qt.Key.Key_Escape:
                event.accept()
                return True
            if event.type() == QEvent.Type.KeyRelease and not event.isAutoRepeat():
                self._idle.start()
        return event.type() == QEvent.Type.KeyPress and self._key(event)

    def _key(self, event: QKeyEvent) -> bool:
        key = event.key()
        if key == Qt.Key.Key_Escape:
            return self._give_up()
        if key in {Qt.Key.Key_Tab, Qt.Key.Key_Backtab}:
            return self._next(-1 if key == Qt.Key.Key_Backtab else 1)
        handle = self.chosen
        if handle is None or key not in _WAYS or self._pressed is not None:
            return False
        if not self._state.at_rest:
            self.told.emit(BACK_TO_REST)
            return True
        self._idle.stop()
        if self._grip is None:
            self._take(handle, None)
        grip = self._grip
        if grip is not None:
            self._ask(nudged(grip.handle, grip.asked, *_WAYS[Qt.Key(key)], self._steps(event)))
        return True

    def _give_up(self) -> bool:
        """Take a drag back, or else let go of the handle that the keyboard has; then Tab leaves the drawing."""
        if self._grip is not None:
            self._pressed = None
            self._canvas.forget_press()
            self._document.cancel_gesture()
            return True
        if self._chosen:
            self._choose(None)
            self._passing = True
            return True
        return False

    def _next(self, way: int) -> bool:
        """Go to the next handle; past the last one the keyboard leaves the drawing."""
        self.rest()
        handles = [one for one in self.handles if self._shown_by(one) is not None] if self._state.at_rest else []
        keys = [one.key for one in handles]
        here = keys.index(self._chosen) if self._chosen in keys else None
        first = 0 if way > 0 and not self._passing else -1
        there = first if here is None else here + way
        if not 0 <= there < len(handles):
            self._choose(None)
            return False
        self._choose(handles[there])
        self._bring_into_view(handles[there])
        build = self._document.shown.build
        says = words(handles[there], numbers_of(handles[there], build), build.display)
        self.told.emit(f"{says}.  Arrows move it, with Shift finely; Esc lets go.")
        return True

    def _shown_by(self, handle: Handle) -> View | None:
        """The view in which a handle is whole, as it is or pulled along so far; None of one that the strip cuts off.

        The view from behind shows all of it, and is not pulled along.
        """
        view = self._canvas.view(handle.view)
        if view is None or self._in_sight(handle, view):
            return view
        if handle.view == "rear":
            return None
        left, top, right, bottom = view.box
        x, y = view.px(handle.at)
        aside = view.shifted((left + right) / 2.0 - x, (top + bottom) / 2.0 - y if handle.view == "side" else 0.0)
        return aside if self._in_sight(handle, aside) else None

    def _bring_into_view(self, handle: Handle) -> None:
        """Show the whole vehicle, or else the handle's surroundings, where it is not in sight."""
        if self._in_sight(handle, self._canvas.view(handle.view)):
            return
        self._canvas.look("whole")
        side, there = self._canvas.view("side"), self._shown_by(handle)
        if side is not None and there is not None and not self._in_sight(handle, self._canvas.view(handle.view)):
            high = there.high_mm if handle.view == "side" else side.high_mm
            self._canvas.look(side._replace(left_mm=there.left_mm, high_mm=high))

    def rest(self) -> None:
        """End what the keyboard began: its presses so far are one step of the history."""
        if self._grip is not None and self._grip.pressed is None:
            self._end()

    def _end(self) -> None:
        """Take what the hand has moved, and say what that set."""
        grip = self._grip
        self._document.end_gesture()
        if grip is not None and self._document.build != grip.origin:
            now = self._document.build
            self.told.emit(set_words(grip.handle, numbers_of(grip.handle, now), now.display))

    def _choose(self, handle: Handle | None) -> None:
        key = "" if handle is None else handle.key
        if key != self._chosen:
            self._chosen = key
            self._canvas.update()

    # ---- the hand

    def _take(self, handle: Handle, pressed: Pair | None) -> None:
        self._document.begin_gesture(handle.step_name)
        handle = next((one for one in self.handles if one.key == handle.key), handle)
        if handle not in self.handles:  # it stood for typing that was refused
            self._document.end_gesture()
            return
        build = self._document.build
        start = numbers_of(handle, build)
        self._grip = _Grip(handle, build, start, start, start, pressed)

    def _ask(self, numbers: Numbers) -> None:
        grip = self._grip
        if grip is not None and numbers != grip.asked:
            grip.asked = numbers
            self._document.drag(changes_of(grip.handle, grip.origin, numbers))

    def _accept(self) -> None:
        if self._grip is not None:
            self._grip.good = self._grip.asked

    def _refuse(self, error: ValidationError) -> None:
        if self._grip is not None:
            self._grip.asked = self._grip.good
        # A field would want correcting; here nothing is left wrong, so the line ends before that advice.
        sentence = sentence_for(error, self._document.build.display)
        self.told.emit(sentence.removesuffix("Correct it or empty the field.").rstrip())

    def _forget(self) -> None:
        self._idle.stop()
        self._grip = None
        self._canvas.update()

    def _in_mm(self, handle: Handle, at: QPoint) -> Pair:
        view = self._canvas.view(handle.view)
        return handle.at if view is None else view.mm((float(at.x()), float(at.y())))

    def _steps(self, event: QMouseEvent | QKeyEvent) -> Steps:
        mouse = isinstance(event, QMouseEvent)
        if mouse and event.modifiers() & _FREE:
            return FREE
        return steps(self._document.build.display, fine=bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier))
