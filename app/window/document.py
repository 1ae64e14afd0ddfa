"""The open build, its solution and its history: the window's only state, changed in one way and told by one signal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from geometry import Build, Solution, edited, solve

Changes = Mapping[str, object]
_NO_MERGE = -1
_gestures = count(1)


@dataclass(frozen=True, slots=True)
class Answered:
    """A build together with its whole answer; neither is ever shown without the other."""

    build: Build
    solution: Solution


class _Edit(QUndoCommand):
    """One step of the history: it carries both states, so neither undo nor redo can fail."""

    def __init__(self, document: Document, before: Answered, after: Answered, text: str, gesture: int) -> None:
        super().__init__(text)
        self._document = document
        self._before = before
        self._after = after
        self._gesture = gesture

    def id(self) -> int:
        """Gesture that the step belongs to; steps of one gesture become one."""
        return self._gesture

    def mergeWith(self, other: QUndoCommand) -> bool:
        """Take over the later step of the same gesture; a gesture that ends where it began leaves no step."""
        if not isinstance(other, _Edit):
            return False
        self._after = other._after
        self.setObsolete(self._after.build == self._before.build)
        return True

    def undo(self) -> None:
        """Go back to the state before the step."""
        self._document._show(self._before)

    def redo(self) -> None:
        """Go to the state after the step."""
        self._document._show(self._after)


class Document(QObject):
    """What is open: build, solution, file path and undo stack.

    `changed` says that build and solution are other ones than before, `opened` that they are another file's, `renamed`
    that the path is another one, `clean_changed` whether everything is saved, `history_changed` that undo or redo
    means something else. The stack's own signals come through here, as they would outlive the window at its end.
    """

    changed = Signal()
    opened = Signal()
    renamed = Signal()
    clean_changed = Signal(bool)
    history_changed = Signal()

    def __init__(self, build: Build | None = None, path: Path | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        first = Build() if build is None else build
        self._now = Answered(first, solve(first))
        self._path = path
        self._stack = QUndoStack(self)
        self._stack.cleanChanged.connect(self.clean_changed)
        self._stack.indexChanged.connect(self.history_changed)
        self._stack.undoTextChanged.connect(self.history_changed)
        self._stack.redoTextChanged.connect(self.history_changed)
        self._gesture: tuple[int, Build, str] | None = None
        self._dragged: Changes | None = None
        self._drag_timer = QTimer(self)
        self._drag_timer.setSingleShot(True)
        self._drag_timer.setInterval(0)
        self._drag_timer.timeout.connect(self._take_drag)

    @property
    def build(self) -> Build:
        """The build as it stands."""
        return self._now.build

    @property
    def solution(self) -> Solution:
        """The answer to the build as it stands."""
        return self._now.solution

    @property
    def path(self) -> Path | None:
        """The file that the build was read from or last saved to."""
        return self._path

    @property
    def stack(self) -> QUndoStack:
        """The history."""
        return self._stack

    @property
    def name(self) -> str:
        """What to call the open build in a sentence: its file's name, else its title."""
        if self._path is not None:
            return self._path.name
        return self.build.title or "Untitled"

    def apply(self, changes: Changes, text: str) -> bool:
        """Make the edits at dotted paths as one step of the history; False where they change nothing.

        Raises
        ------
        pydantic.ValidationError
            When the build with these edits is not possible; then nothing has changed.
        """
        return self._step(self.build, changes, text, _NO_MERGE)

    def begin_gesture(self, text: str) -> None:
        """Begin a drag: whatever `drag` does until `end_gesture` becomes one step named `text`."""
        self.end_gesture()
        self._gesture = (next(_gestures), self.build, text)

    def drag(self, changes: Changes) -> None:
        """Ask for the edits of a drag, counted from where it began; in one turn of the event loop the latest wins."""
        if self._gesture is None:
            raise RuntimeError("drag without begin_gesture")
        self._dragged = changes
        self._drag_timer.start()

    def end_gesture(self) -> None:
        """End a drag, taking what was asked for last."""
        self._take_drag()
        self._gesture = None

    def open(self, build: Build, path: Path | None) -> None:
        """Show another build with a history of its own."""
        self._drag_timer.stop()
        self._gesture = self._dragged = None
        answered = Answered(build, solve(build))
        self._stack.clear()
        self._path = path
        self._show(answered)
        self.opened.emit()
        self.renamed.emit()

    def mark_saved(self, path: Path) -> None:
        """Note that the build as it stands is what the file holds."""
        self._path = path
        self._stack.setClean()
        self.renamed.emit()

    def mark_unsaved(self) -> None:
        """Note that no file holds this build, as after a recovery."""
        self._stack.resetClean()

    def _take_drag(self) -> None:
        self._drag_timer.stop()
        if self._gesture is None or self._dragged is None:
            return
        gesture, origin, text = self._gesture
        changes, self._dragged = self._dragged, None
        self._step(origin, changes, text, gesture)

    def _step(self, origin: Build, changes: Changes, text: str, gesture: int) -> bool:
        build = edited(origin, changes)
        if build == self.build:
            return False
        after = Answered(build, solve(build))
        self._stack.push(_Edit(self, self._now, after, text, gesture))
        return True

    def _show(self, answered: Answered) -> None:
        self._now = answered
        self.changed.emit()
