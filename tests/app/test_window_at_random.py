"""The real window at random: whatever is typed, refused, undone, dragged, applied, switched, saved or opened.

An ordinary run tries a few seeds; with SHAFTWRIGHT_RANDOM=full it is fifty seeds of some hundred steps. Each step
says what it may have changed; at the end of each trial undoing all gives the first build and redoing all the last.
"""

import os
import sys
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from functools import wraps
from pathlib import Path
from types import TracebackType
from typing import Any, ClassVar

import pytest
from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)
from PySide6.QtCore import QCoreApplication, QEvent, QPointF, QSettings, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QPlainTextEdit, QPushButton
from pytestqt.qtbot import QtBot

from app.files import read_build, write_build
from app.measuring.sections import LISTS, SectionKey
from app.window.form.choice_rows import ChoiceRow, KindRow
from app.window.form.rows import EntryRow, LineEdit
from app.window.form.section_box import SectionBox
from app.window.keeping import asking, recovery
from app.window.shell.main_window import MainWindow
from app.window.travel.state import TORQUES
from geometry import Build, edited, value_at

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
BUILDS = (Build(), *(Build.model_validate_json(path.read_bytes()) for path in sorted(SAMPLES.glob("*.json"))))
FULL = os.environ.get("SHAFTWRIGHT_RANDOM") == "full"
SEEDS = range(50 if FULL else 5)
TRIALS, STEPS = (5, 40) if FULL else (3, 15)
LEAST_STEPS = 80 if FULL else 15

NUMBERS = (
    "0",
    "1",
    "2.5",
    "-3",
    "4.6",
    "12 3/8",
    "12-3/8 in",
    "3/8",
    "60",
    "61.25",
    "900",
    "1524 mm",
    "88,9 mm",
    "3°30'",
)
REFUSED = ("abc", "3 banana", "12 3/", "1,524", "650", "9999999", "-9999", "12 kg", "", " ")
CORNERS = (
    "40, 20\n60, 20\n60, 30",
    "1000 mm, 500 mm\n1200 mm, 500 mm\n1100 mm, 700 mm",
    "40, 20\n60, 20",
    "banana",
    "",
)
CONTRADICTIONS = {"stick_slope", "tape_length", "axle_station", "axle_height", "spring_station", "speeds_agree"}
"""Findings on whether one thing that was measured in two ways is the same."""
PICK = st.integers(0, 10_000)


class NothingThere(Exception):  # noqa: N818  (a step that is no step)
    """There is nothing that the step could be done with."""


def picked(found: Any, number: int) -> Any:
    """One of several things; raises NothingThere."""
    several = list(found)
    if not several:
        raise NothingThere
    return several[number % len(several)]


def step(act: Callable[..., None]) -> Callable[..., None]:
    """Count a step that could be done, by its name; the others are no steps."""

    @wraps(act)
    def counted(trial: "Trial", **drawn: Any) -> None:
        try:
            act(trial, **drawn)
        except NothingThere:
            return
        trial.done[act.__name__] += 1

    return counted


def expected(before: Build, after: Build, path: str) -> Build:
    """What the build may be after an edit of one entry."""
    return before if after == before else edited(before, {path: value_at(after, path)})


class Trial(RuleBasedStateMachine):
    """One window, from its opening to its end."""

    folder: ClassVar[Path]
    done: ClassVar[Counter[str]] = Counter()
    answer: ClassVar[str] = "discard"

    def __init__(self) -> None:
        super().__init__()
        self.errors: list[str] = []
        self.hook = sys.excepthook
        sys.excepthook = self.caught
        self.window = MainWindow()
        self.window.resize(1366, 768)
        self.window.drawing.load()
        self.window.show()
        self.window.show_desk()
        self.window.activateWindow()
        QApplication.processEvents()
        self.document = self.window.document
        self.path = self.folder / "open.json"
        self.first = self.document.build

    def caught(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        self.errors.append("".join(traceback.format_exception(kind, error, trace)))
        print(self.errors[-1])

    @property
    def rows(self) -> list[EntryRow]:
        return [row for box in self.window.measurements.boxes.values() for row in box.rows]

    @property
    def pending(self) -> list[EntryRow]:
        return self.window.measurements.pending()

    def box(self, number: int, *, leave: bool = True) -> SectionBox:
        if leave:
            self.leave()
        box: SectionBox = picked(self.window.measurements.boxes.values(), number)
        box.set_open(opened=True)
        QApplication.processEvents()
        return box

    def leave(self) -> None:
        """Take the cursor out of the form, which hands in what is typed."""
        self.window.findings.list.setFocus()
        QApplication.processEvents()

    # ---- steps

    @initialize(number=PICK)
    def open_first(self, number: int) -> None:
        write_build(self.path, BUILDS[number % len(BUILDS)])
        self.window.filing.open_path(self.path)
        self.first = self.document.build

    @rule(
        section=PICK, number=PICK, text=st.one_of(*map(st.sampled_from, (NUMBERS, REFUSED))),
        end=st.sampled_from(("nothing", "nothing", "enter", "enter", "tab", "escape")),
    )  # fmt: skip
    @step
    def type(self, section: int, number: int, text: str, end: str) -> None:
        row, edit = picked(
            ((row, one) for row in self.box(section).rows for one in row.editors() if isinstance(one, LineEdit)), number
        )
        edit.setFocus()  # whatever held the cursor hands in
        QApplication.processEvents()
        assert edit.hasFocus()
        others = {id(one) for one in self.pending}
        settled, count = self.document.build, self.document.stack.index()
        edit.selectAll()
        QTest.keyClick(edit, Qt.Key.Key_Delete)
        QTest.keyClicks(edit, text)
        QApplication.processEvents()
        assert self.document.build is settled, "typing alone is not kept"
        assert self.document.stack.index() == count
        if end == "escape":
            QTest.keyClick(edit, Qt.Key.Key_Escape)
            assert not row.pending
            assert self.document.shown.build is settled
        elif end != "nothing":
            QTest.keyClick(edit, Qt.Key.Key_Return if end == "enter" else Qt.Key.Key_Tab)
            QApplication.processEvents()
            after = self.document.build
            assert after == expected(settled, after, row.entry.path), "only the entry that was typed"
            assert self.document.stack.index() - count == (after != settled), "one step"
            assert {id(one) for one in self.pending} - others <= {id(row)}, "typing elsewhere is not made up"

    @rule(number=PICK, text=st.sampled_from(CORNERS))
    @step
    def outline(self, number: int, text: str) -> None:
        self.leave()
        box = self.window.measurements.boxes["obstacles"]
        box.set_open(opened=True)
        row = picked((one for one in box.rows if one.entry.kind == "outline"), number)
        editor = row.editors()[0]
        assert isinstance(editor, QPlainTextEdit)
        editor.setFocus()
        assert editor.hasFocus()
        editor.selectAll()
        editor.insertPlainText(text)

    @rule(section=PICK, number=PICK)
    @step
    def remove_a_measurement(self, section: int, number: int) -> None:
        box = self.box(section)
        if box.heading.key in {"plan", "title", "lateral_link"}:  # of a link, one end tells that there is one
            raise NothingThere
        self.document.settle()
        rows = [
            one
            for one in box.rows
            if one.entry.optional
            and one.entry.kind in {"number", "point"}
            and value_at(self.document.build, one.entry.path) is not None
        ]
        row = picked(rows, number)
        before, was = self.document.build, {(one.id, one.part): one.verdict for one in self.document.solution.findings}
        for edit in row.editors():
            edit.setFocus()
            edit.selectAll()  # type: ignore[attr-defined]
            QTest.keyClick(edit, Qt.Key.Key_Delete)
        QTest.keyClick(row.editors()[-1], Qt.Key.Key_Return)
        QApplication.processEvents()
        if row.pending:
            return  # refused, as where another entry needs it
        assert self.document.build == edited(before, {row.entry.path: None})
        if any(was.get(key) in {"hold", "caution"} for key in was if key[0] in CONTRADICTIONS):
            return  # two measurements say different things, and the window says so: the one that is left decides
        now = {(one.id, one.part): one.verdict for one in self.document.solution.findings}
        turned = {key: was[key] for key, verdict in now.items() if verdict == "clear" != was.get(key, "clear")}
        assert not turned, f"without {row.entry.path}: {turned}"

    @precondition(lambda self: self.document.stack.canUndo())
    @rule()
    @step
    def undo(self) -> None:
        self.window.menus.undo.trigger()
        assert not self.pending

    @precondition(lambda self: self.document.stack.canRedo())
    @rule()
    @step
    def redo(self) -> None:
        typed, after = self.pending, self.document.stack.index()
        self.window.menus.redo.trigger()
        assert not self.pending
        if not typed:
            assert self.document.stack.index() == after + 1

    @rule(number=PICK, right=st.integers(-60, 60), down=st.integers(-60, 60), given_up=st.booleans())
    @step
    def drag(self, number: int, right: int, down: int, given_up: bool) -> None:
        tool, canvas = self.window.drawing.drag, self.window.drawing.canvas
        assert tool is not None
        assert canvas is not None
        drawn = [one for one in tool.handles if canvas.view(one.view) is not None]  # a low page has but one view
        handle = picked(drawn, number)
        view = canvas.view(handle.view)
        assert view is not None
        at = QPointF(*view.px(handle.at))
        self.mouse(QEvent.Type.MouseButtonPress, at, Qt.MouseButton.LeftButton)
        before, index = self.document.build, self.document.stack.index()
        for part in (0.3, 0.7, 1.0):
            self.mouse(QEvent.Type.MouseMove, at + part * QPointF(right, down), Qt.MouseButton.LeftButton)
            QApplication.processEvents()
        if given_up:
            QTest.keyClick(canvas, Qt.Key.Key_Escape)
            assert self.document.build == before
        self.mouse(QEvent.Type.MouseButtonRelease, at + QPointF(right, down), Qt.MouseButton.NoButton)
        assert not self.document.dragging
        assert self.document.stack.index() - index in {0, 1}, "one drag is one step"

    def mouse(self, kind: QEvent.Type, at: QPointF, held: Qt.MouseButton) -> None:
        canvas = self.window.drawing.canvas
        assert canvas is not None
        button = Qt.MouseButton.NoButton if kind == QEvent.Type.MouseMove else Qt.MouseButton.LeftButton
        if kind == QEvent.Type.MouseButtonPress:
            canvas.setFocus(Qt.FocusReason.MouseFocusReason)
        event = QMouseEvent(kind, at, canvas.mapToGlobal(at), button, held, Qt.KeyboardModifier.NoModifier)
        QApplication.sendEvent(canvas, event)

    @rule(share=st.floats(0.0, 1.0), torque=st.sampled_from(TORQUES))
    @step
    def slide(self, share: float, torque: Any) -> None:
        state, before = self.window.drawing.travel.state, self.document.build
        ends = picked([one for one in [state.range_mm] if one is not None], 0)
        state.go(ends[0] + share * (ends[1] - ends[0]))
        state.load(torque)
        assert self.document.build is before

    @rule(number=PICK, which=PICK)
    @step
    def apply(self, number: int, which: int) -> None:
        finding = picked(
            (one for one in self.document.shown.solution.findings if one.remedy is not None and one.remedy.changes),
            number,
        )
        self.window.selection.choose(None, part=finding.part, finding=(finding.id, finding.part))
        button = picked(self.window.findings.detail.buttons, which)
        assert isinstance(button, QPushButton)
        button.click()

    @rule(section=PICK, number=PICK)
    @step
    def add_or_remove(self, section: int, number: int) -> None:
        key: SectionKey = picked(LISTS, section)
        box = self.window.measurements.boxes[key]
        box.set_open(opened=True)
        QApplication.processEvents()
        buttons = [one for one in box.findChildren(QPushButton) if one.isVisibleTo(box)]
        picked((one for one in buttons if one.text() == "Remove" or one is box.adder), number).click()

    @rule(section=PICK, number=PICK, which=PICK)
    @step
    def choose(self, section: int, number: int, which: int) -> None:
        row = picked(
            (one for one in self.box(section, leave=False).rows if isinstance(one, (ChoiceRow, KindRow))), number
        )
        chooser = row.editors()[0]
        assert isinstance(chooser, QComboBox)
        index = which % chooser.count()
        chooser.setCurrentIndex(index)
        chooser.activated.emit(index)

    @rule(which=PICK)
    @step
    def switch_units(self, which: int) -> None:
        menus = self.window.menus
        actions = (menus.inches, menus.millimetres, menus.sixteenths, menus.pound_feet, menus.newton_metres)
        action = picked((one for one in actions if one.isEnabled()), which)
        typed = self.pending
        before = self.document.build
        action.trigger()
        QApplication.processEvents()
        assert not self.pending
        if not typed:
            assert self.document.build == edited(before, {"display": self.document.build.display.model_dump()})

    @precondition(lambda self: self.pending or not self.document.stack.isClean())
    @rule()
    @step
    def save(self) -> None:
        assert self.window.filing.save()
        assert not self.pending
        assert read_build(self.path) == self.document.build
        assert self.document.stack.isClean()

    @rule(number=PICK, answer=st.sampled_from(("save", "discard", "cancel")))
    @precondition(lambda self: self.document.stack.count() > 4)
    @step
    def open(self, number: int, answer: str) -> None:
        type(self).answer = answer
        other = self.folder / "other.json"
        write_build(other, BUILDS[number % len(BUILDS)])
        self.window.filing.open_path(other)
        QApplication.processEvents()
        if self.document.path == other:
            assert self.document.build == BUILDS[number % len(BUILDS)]
            assert self.document.stack.count() == 0
            assert not self.pending
            self.document.mark_saved(self.path, write_build(self.path, self.document.build))
            self.first = self.document.build
        else:
            assert answer == "cancel"

    # ---- what holds after each

    @invariant()
    def nothing_went_wrong(self) -> None:
        QApplication.processEvents()
        assert not self.errors, self.errors

    @invariant()
    def what_is_shown_is_what_is_kept_but_for_typing(self) -> None:
        if not self.pending:
            assert self.document.shown.build is self.document.build
        if self.document.stack.isClean() and self.path.exists():
            assert read_build(self.path) == self.document.build
        for row in self.rows:
            if row.complaint.isVisibleTo(row) and not isinstance(row, (ChoiceRow, KindRow)):
                assert row.pending, f"a complaint without typing: {row.entry.path}"

    def teardown(self) -> None:
        try:
            self.undo_all_and_redo_all()
        finally:
            sys.excepthook = self.hook
            self.window.document.cancel_gesture()
            self.window.measurements.forget()
            self.document.stack.setClean()
            self.window.close()
            self.window.deleteLater()
            QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)

    def undo_all_and_redo_all(self) -> None:
        self.document.settle()
        last, steps = self.document.build, self.document.stack.index()
        for _ in range(steps):
            self.window.undo()
        assert self.document.build == self.first
        assert not self.document.stack.canUndo()
        for _ in range(steps):
            self.window.redo()
        assert self.document.build == last
        QApplication.processEvents()
        assert not self.errors, self.errors


@pytest.fixture
def folder(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder for files, settings and copies; the questions are answered at once, and nothing else is asked."""
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")
    monkeypatch.setattr(asking, "what_about_unsaved", lambda *_: Trial.answer)

    def never(*what: object) -> None:
        raise AssertionError(what)

    monkeypatch.setattr(asking, "tell", never)
    yield tmp_path
    Trial.answer = "discard"


@pytest.mark.parametrize("number", SEEDS)
def test_nothing_is_lost_and_nothing_forged(number: int, folder: Path) -> None:
    trial: Callable[[], Trial] = seed(number)(type("Seeded", (Trial,), {"folder": folder, "done": Counter()}))
    run_state_machine_as_test(
        trial,
        settings=settings(
            max_examples=TRIALS,
            stateful_step_count=STEPS,
            deadline=None,
            database=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        ),
    )
    done = trial.done  # type: ignore[attr-defined]
    print(f"{done.total()} steps: {dict(done)}")
    assert done.total() >= LEAST_STEPS
