"""The open build, its solution and its history: the window's only state, changed in one way and told by one signal.

A drag shows more than it keeps: every move is answered at once for ride height, which is what the hand must see
(`glimpsed`), and the whole answer with its findings follows when the hand rests, or a few times a second while it does
not (`changed`). Typing shows more than it keeps as well: `shown` is the build with what stands in a field, once that is
whole, while `build` stays what was handed in. The history holds builds alone: sections that an edit left as they were
are shared between them, and the answer is worked out anew on the way back, so a step costs a few kilobytes instead of a
whole solution.

Of a vehicle with two drivelines one is shown: every view gets the build as seen from it, as if it were the only one,
and an edit of that is an edit of the whole (`geometry.document.sides`). Which one is shown is no part of the history;
undo shows the one in which a step was made.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Final

from pydantic import ValidationError
from PySide6.QtCore import QElapsedTimer, QObject, QTimer, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from geometry import Build, Solution, edited
from geometry.document.brackets import Plan
from geometry.document.sides import driveline, swapped, unplanned
from geometry.words.solve import Work, solved

Changes = Mapping[str, object]
UNDO_STEPS: Final = 1_000
_NO_MERGE: Final = -1
_REST_MS: Final = 40  # a hand that has not moved for so long rests
_FOLLOW_MS: Final = 250  # under a hand that never rests, the findings follow this often
_gestures = count(1)


@dataclass(frozen=True, slots=True)
class Answered:
    """A build, what was worked out about it and the answer made from that; none is ever shown without the others."""

    build: Build
    solution: Solution
    work: Work


@dataclass(slots=True)
class _Gesture:
    """A drag that is under way: where it began, what it is called, and which build lies under the hand."""

    number: int
    origin: Answered
    text: str
    glimpse: Answered | None = None


class _Edit(QUndoCommand):
    """One step of the history: both builds have been solved before, so neither undo nor redo can fail."""

    def __init__(self, document: Document, before: Build, after: Build, text: str, gesture: int, number: int) -> None:
        super().__init__(text)
        self._document = document
        self._number = number
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
        self.setObsolete(self._after == self._before)
        return True

    def undo(self) -> None:
        """Go back to the state before the step."""
        self._document.show_build(self._before, self._number)

    def redo(self) -> None:
        """Go to the state after the step."""
        self._document.show_build(self._after, self._number)


class Document(QObject):
    """What is open: build, solution, file path and undo stack.

    `build`, `solution` and `work` are what is kept, seen from the driveline that is shown; `whole` is what is undone
    and saved: of a vehicle with one driveline the same. `shown` is what to draw and to judge: as `build`, but for what
    is being typed. Before a command, `settling` asks whoever holds typing to hand in whole values; with True, to drop
    the rest too and say so, so that the window shows what is undone or saved.

    `changed` says that what is shown is another one than before, `opened` that it is another file's, `turned` that it
    is another driveline's, `renamed` that the path is another one, `clean_changed` whether everything is saved,
    `history_changed` that undo or redo means something else. The stack's own signals come through here, as they would
    outlive the window at its end. `glimpsed` says that `glimpse` is another one, `refused` hands on why a drag cannot
    go there, `let_go` says that a drag has ended.
    """

    changed = Signal()
    opened = Signal()
    turned = Signal()
    renamed = Signal()
    clean_changed = Signal(bool)
    history_changed = Signal()
    glimpsed = Signal()
    refused = Signal(object)
    let_go = Signal()
    settling = Signal(bool)

    def __init__(
        self,
        build: Build | None = None,
        path: Path | None = None,
        parent: QObject | None = None,
        as_read: str | None = None,
    ) -> None:
        super().__init__(parent)
        self._number = 0
        self._now = _answered(Build() if build is None else build)
        self._fresh: tuple[Build, Answered] | None = None
        self._beside: tuple[Build, Solution] | None = None
        self._path = path
        self._as_read = as_read
        self._stack = QUndoStack(self)
        self._stack.setUndoLimit(UNDO_STEPS)
        self._stack.cleanChanged.connect(self.clean_changed)
        self._stack.indexChanged.connect(self.history_changed)
        self._stack.undoTextChanged.connect(self.history_changed)
        self._stack.redoTextChanged.connect(self.history_changed)
        self._measured: tuple[Build, Solution] | None = None
        self._settling = False
        self._tried: Changes | None = None
        self._preview: Answered | None = None
        self._preview_timer = self._timer(self._take_preview)
        self._gesture: _Gesture | None = None
        self._dragged: Changes | None = None
        self._drag_timer = self._timer(lambda: self._take_drag(shown=True))
        self._follow_timer = self._timer(self._follow)
        self._followed = QElapsedTimer()
        self._restless = False

    @property
    def build(self) -> Build:
        """The build as it stands, without what is only being typed, seen from the driveline that is shown."""
        return self._now.build

    @property
    def whole(self) -> Build:
        """The build as the file has it."""
        return driveline(self._now.build, self._number)

    @property
    def number(self) -> int:
        """Which driveline of the file is shown, 0 the first."""
        return self._number

    @property
    def beside(self) -> Solution | None:
        """The answer to the driveline that is not shown, without ways out; None where there is no other."""
        build = self.shown.build
        if not build.drivelines:
            return None
        other = swapped(build)
        if self._beside is None or self._beside[0] != other:
            self._beside = (other, solved(Work(other), with_ways=False))
        return self._beside[1]

    @property
    def solution(self) -> Solution:
        """The answer to the build as it stands."""
        return self._now.solution

    @property
    def work(self) -> Work:
        """What was worked out about the build as it stands."""
        return self._now.work

    @property
    def shown(self) -> Answered:
        """What the views show: the build with what is being typed where that is whole, else as it stands."""
        return self._preview or self._now

    @property
    def measured(self) -> Solution | None:
        """The answer to the vehicle as measured, without ways out; None where nothing is planned.

        It is kept while only the plan moves.
        """
        build = self.shown.build
        if build.plan is None or build.plan == Plan():
            return None
        bare = unplanned(build)
        if self._measured is None or self._measured[0] != bare:
            self._measured = (bare, solved(Work(bare), with_ways=False))
        return self._measured[1]

    @property
    def glimpse(self) -> Answered | None:
        """What lies under the hand in a drag: the build there, its answer at ride height, the findings of before."""
        return None if self._gesture is None else self._gesture.glimpse

    @property
    def dragging(self) -> bool:
        """Whether a drag is under way."""
        return self._gesture is not None

    @property
    def restless(self) -> bool:
        """Whether what now follows follows a hand that has not come to rest, so that another move comes at once."""
        return self._gesture is not None and self._restless

    @property
    def path(self) -> Path | None:
        """The file that the build was read from or last saved to."""
        return self._path

    @property
    def as_read(self) -> str | None:
        """Digest of what the file held when it was read or last saved; None where that is not known."""
        return self._as_read

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

    def turn(self) -> None:
        """Show the other driveline; what is being typed is handed in, or dropped, before."""
        self.settle()
        if self.build.drivelines:
            self.show_build(self.whole, 1 - self._number)

    def hand_in(self) -> None:
        """End what is under way: a drag is taken, whole typing is handed in; what is refused stays in its field."""
        self._hand_in(drop=False)

    def settle(self) -> None:
        """Hand in as `hand_in` does and drop the rest, so that the window shows what the build holds."""
        self._hand_in(drop=True)
        self.end_preview()

    def apply(self, changes: Changes, text: str) -> bool:
        """Make the edits at dotted paths as one step of the history; False where they change nothing.

        What is being typed is handed in before, as a step of its own.

        Raises
        ------
        pydantic.ValidationError
            When the build with these edits is not possible; then nothing has changed.
        """
        self.hand_in()
        try:
            build = edited(self.build, changes)
        except ValidationError:
            self.end_preview()
            raise
        if build == self.build:
            self.end_preview()
            return False
        tried = self._preview
        if tried is None or tried.build != build:
            tried = _answered(_sharing(build, self.build))
        self._push(tried, text, _NO_MERGE)
        return True

    def preview(self, changes: Changes | None) -> None:
        """Show the build with these edits and keep nothing of it; in one turn of the event loop the latest wins.

        Where the build with them is not possible, the last one that was stays on the screen. None ends it.
        """
        if changes is None:
            self.end_preview()
            return
        self._tried = changes
        self._preview_timer.start()

    def end_preview(self) -> None:
        """Show the build as it stands again."""
        if self._forget_preview():
            self.changed.emit()

    def begin_gesture(self, text: str) -> None:
        """Begin a drag: whatever `drag` does until `end_gesture` becomes one step named `text`."""
        self.hand_in()
        self.end_preview()
        self._gesture = _Gesture(next(_gestures), self._now, text)
        self._followed.start()

    def drag(self, changes: Changes) -> None:
        """Ask for the edits of a drag, counted from where it began; in one turn of the event loop the latest wins."""
        if self._gesture is None:
            raise RuntimeError("drag without begin_gesture")
        self._dragged = changes
        self._drag_timer.start()

    def end_gesture(self) -> None:
        """End a drag, taking what was asked for last."""
        if self._gesture is None:
            return
        self._take_drag(shown=False)
        self._follow()
        self._leave_gesture()

    def cancel_gesture(self) -> None:
        """End a drag and take all of it back; no step is left."""
        gesture = self._gesture
        if gesture is None:
            return
        gesture.glimpse = None
        self._dragged = None
        if self.build is not gesture.origin.build:
            self._push(gesture.origin, gesture.text, gesture.number)
        self._leave_gesture()

    def undo(self) -> None:
        """Take the last step back, that of a drag under way as it stands, or what was being typed."""
        self.settle()
        self._stack.undo()

    def redo(self) -> None:
        """Do again what was taken back; typing that is whole is a new step, after which nothing is left to do again."""
        self.settle()
        self._stack.redo()

    def open(self, build: Build, path: Path | None, as_read: str | None = None) -> None:
        """Show another build with a history of its own."""
        self.cancel_gesture()
        self.settle()
        answered = _answered(build)
        self._stack.clear()
        self._number = 0
        self._path, self._as_read = path, as_read
        self._show(answered)
        self.opened.emit()
        self.renamed.emit()

    def mark_saved(self, path: Path, as_read: str | None = None) -> None:
        """Note that the build as it stands is what the file holds."""
        self._path, self._as_read = path, as_read
        self._stack.setClean()
        self.renamed.emit()

    def mark_unsaved(self) -> None:
        """Note that no file holds this build, as after a recovery."""
        self._stack.resetClean()

    def show_build(self, whole: Build, number: int) -> None:
        """Show a build of the history from one of its drivelines; for its steps, and turning, alone."""
        fresh, self._fresh = self._fresh, None
        number = min(number, len(whole.drivelines))
        turned, self._number = number != self._number, number
        here = fresh is not None and fresh[0] is whole
        self._show(fresh[1] if fresh is not None and here else _answered(driveline(whole, number)))
        if turned:
            self.turned.emit()

    def _hand_in(self, *, drop: bool) -> None:
        self.end_gesture()
        if self._settling:  # what a field hands in on the way
            return
        self._settling = True
        try:
            self.settling.emit(drop)
        finally:
            self._settling = False

    def _take_preview(self) -> None:
        self._preview_timer.stop()
        changes, self._tried = self._tried, None
        if changes is None or self._gesture is not None:
            return
        try:
            build = edited(self.build, changes)
        except ValidationError:
            return
        if build == self.shown.build:
            return
        self._preview = None if build == self.build else _answered(_sharing(build, self.build))
        self.changed.emit()

    def _forget_preview(self) -> bool:
        """Take away what is shown of typing; whether there was any."""
        self._preview_timer.stop()
        shown, self._preview, self._tried = self._preview, None, None
        return shown is not None

    def _take_drag(self, *, shown: bool) -> None:
        """Answer the last move, at ride height where that is `shown`; the findings follow."""
        self._drag_timer.stop()
        gesture, changes = self._gesture, self._dragged
        if gesture is None or changes is None:
            return
        self._dragged = None
        try:
            build = _sharing(edited(gesture.origin.build, changes), gesture.origin.build)
        except ValidationError as error:
            self.refused.emit(error)
            return
        if build == (gesture.glimpse or self._now).build:
            return
        work = Work(build)
        there = work.posed(self.solution) if shown else None
        gesture.glimpse = Answered(build, self.solution if there is None else there, work)
        if there is None:  # nothing is to be shown of it but the whole answer
            self._follow()
            return
        self._restless = self._followed.elapsed() >= _FOLLOW_MS
        self._follow_timer.start(0 if self._restless else _REST_MS)
        self.glimpsed.emit()

    def _follow(self) -> None:
        """Give what lies under the hand its whole answer and a step of the history."""
        self._follow_timer.stop()
        gesture = self._gesture
        if gesture is None or gesture.glimpse is None:
            return
        glimpse, gesture.glimpse = gesture.glimpse, None
        self._followed.start()
        if glimpse.build == self.build:  # back before anything followed
            self.changed.emit()
            return
        whole = gesture.origin
        if glimpse.build != whole.build:
            whole = Answered(glimpse.build, solved(glimpse.work), glimpse.work)
        self._push(whole, gesture.text, gesture.number)

    def _leave_gesture(self) -> None:
        self._drag_timer.stop()
        self._follow_timer.stop()
        self._gesture = self._dragged = None
        self._restless = False
        self.let_go.emit()

    def _push(self, after: Answered, text: str, gesture: int) -> None:
        number = min(self._number, len(after.build.drivelines))
        whole = driveline(after.build, number)
        if number == self._number:
            self._fresh = (whole, after)
        self._stack.push(_Edit(self, self.whole, whole, text, gesture, self._number))

    def _show(self, answered: Answered) -> None:
        self._forget_preview()
        self._now = answered
        self.changed.emit()

    def _timer(self, done: Callable[[], None]) -> QTimer:
        made = QTimer(self)
        made.setSingleShot(True)
        made.setInterval(0)
        made.timeout.connect(done)
        return made


def _answered(build: Build) -> Answered:
    work = Work(build)
    return Answered(build, solved(work), work)


def _sharing(build: Build, other: Build) -> Build:
    """The same build, made of the other's sections where they are equal."""
    same = {name: getattr(other, name) for name in Build.model_fields if getattr(other, name) == getattr(build, name)}
    return build.model_copy(update=same)
