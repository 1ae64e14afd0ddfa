"""The plan strip over the drawing: four cells, and the drawing as measured while that is held."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction, QFocusEvent, QFontMetrics, QHideEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QMenu, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from app.drawing.palette import LIGHT, Theme, mixed
from app.measuring.sections import part_of
from app.reading import ReadingError, parse
from app.window.document import Document
from app.window.form.field_sentence import against
from app.window.plain import Label, set_tip
from app.window.plan.cells import Cell, Choice, cells_of, words_of
from app.window.plan.stepper import Stepper
from app.window.selection import Selection
from app.window.theme import sized
from geometry.document import value_at

HEIGHT: Final = 78
_WIDEST: Final = 270
_HOLD: Final = "The vehicle as measured shows for as long as the button is held; F7 keeps it."
_BARE: Final = ("without it", "as measured")
_SEGMENTS_FROM: Final = 1000
"""From this width on a choice of two shows both."""


class _CellBox(QWidget):
    """One cell on the screen."""

    chosen = Signal(str, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.cell: Cell | None = None
        self.caption = Label()
        self.caption.setObjectName("axis")
        self.caption.setFixedHeight(24)  # as high as the choice that may stand beside it
        self.choice = QPushButton()
        self.choice.setObjectName("quiet")
        self.choice.setFixedHeight(24)
        self.menu = QMenu(self.choice)
        self.choice.setMenu(self.menu)
        self.segments: dict[str, QPushButton] = {}
        self._group = QButtonGroup(self)
        self.stepper = Stepper()
        self.line = Label()
        self.line.setObjectName("axis")
        self.line.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        top = QHBoxLayout()
        top.setContentsMargins(0, 0, 0, 0)
        top.setSpacing(5)
        top.addWidget(self.caption)
        top.addWidget(self.choice)
        top.addStretch(1)
        self._row = QHBoxLayout()
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(4)
        self._row.addWidget(self.stepper)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(top)
        column.addLayout(self._row)
        column.addWidget(self.line)
        column.addStretch(1)

    def show_cell(self, cell: Cell, words: tuple[str, ...], *, wide: bool) -> None:
        """Show the cell as the build stands."""
        self.cell = cell
        self.caption.setText(cell.caption)
        self.stepper.show_value(words, planned=bool(cell.value), able=cell.able, name=cell.caption.removesuffix(" by"))
        self._say()
        choice = cell.choice
        if choice is None:
            self.choice.hide()
            return
        two = wide and len(choice.words) == 2
        self._show_segments(choice, shown=two)
        self.choice.setVisible(not two)
        self.choice.setText(f"{choice.words[choice.now]} ▾")
        self.choice.setAccessibleName(f"{cell.caption}: {choice.words[choice.now]}")
        if len(self.menu.actions()) != len(choice.words):
            self.menu.clear()
            for word, shown in choice.words.items():
                action = QAction(shown, self.menu)
                action.triggered.connect(lambda _=False, word=word: self.chosen.emit(choice.path, word))
                self.menu.addAction(action)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Say in its line as much as fits."""
        super().resizeEvent(event)
        self._say()

    def _say(self) -> None:
        """What the cell comes to, in as many words as its line takes."""
        cell = self.cell
        if cell is None:
            return
        metrics = QFontMetrics(sized(9))
        told = cell.comes_to
        self.line.setText(next((one for one in told if metrics.horizontalAdvance(one) <= self.width()), told[-1]))
        set_tip(self.line, told[0])

    def _show_segments(self, choice: Choice, *, shown: bool) -> None:
        if shown and not self.segments:
            for place, (word, said) in enumerate(choice.words.items()):
                button = QPushButton(said)
                button.setObjectName("segment")
                button.setCheckable(True)
                button.setFixedHeight(26)
                bold = QFontMetrics(sized(10, bold=True))
                button.setMinimumWidth(bold.horizontalAdvance(said) + 18)
                button.clicked.connect(lambda _=False, word=word: self.chosen.emit(choice.path, word))
                self._group.addButton(button)
                self._row.insertWidget(place, button)
                self.segments[word] = button
        for word, button in self.segments.items():
            button.setVisible(shown)
            button.setChecked(word == choice.now)


class _Bare(QPushButton):
    """Held by the mouse or the space bar, or turned over by Enter; `held` says so, and that it no longer is."""

    held = Signal(bool)

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self._turned = False
        self.pressed.connect(lambda: self.turn(on=True))
        self.released.connect(lambda: self.turn(on=False))

    def turn(self, *, on: bool) -> None:
        """Show the vehicle as measured, or the plan again."""
        if on != self._turned:
            self._turned = on
            self.held.emit(on)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter turns it over."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            if not event.isAutoRepeat():
                self.turn(on=not self._turned)
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Whoever goes on wants the plan again."""
        super().focusOutEvent(event)
        self.turn(on=False)

    def hideEvent(self, event: QHideEvent) -> None:
        """There is no plan any more."""
        super().hideEvent(event)
        self.turn(on=False)


class PlanStrip(QWidget):
    """Lifts, perches and mounts. `told` hands on a sentence for the foot.

    `bared` says that the vehicle as measured is wanted, `dressed` that the plan is again; `lift_asked` asks how much
    lift there can be.
    """

    told = Signal(str)
    bared = Signal()
    dressed = Signal()
    lift_asked = Signal()

    def __init__(self, document: Document, selection: Selection, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._theme: Theme = LIGHT
        self.setFixedHeight(HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.heading = Label("Plan")
        self.heading.setObjectName("planheading")
        self.nothing = Label("nothing yet")
        self.nothing.setObjectName("axis")
        self.bare = _Bare(_BARE[0])
        self.bare.setObjectName("bare")
        set_tip(
            self.bare,
            "Held down, by the mouse or the space bar, the drawing shows the vehicle as measured; Enter turns it over",
        )
        self.bare.setFixedHeight(24)
        self.bare.held.connect(self._hold)
        self.bare.released.connect(lambda: self.told.emit(_HOLD))
        self.bare.setFixedWidth(max(QFontMetrics(sized(9)).horizontalAdvance(one) for one in _BARE) + 8)
        self.lift = QPushButton("how much lift?")
        self.lift.setObjectName("bare")
        self.lift.setFixedHeight(22)
        self.lift.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the menu and a key lead there too
        set_tip(self.lift, "Every lift judged, from none to six inches, over the travel: Ctrl+R")
        self.lift.clicked.connect(self.lift_asked)
        self.complaint = Label("", self)
        self.complaint.setObjectName("refusal")
        self.complaint.setWordWrap(True)
        self.complaint.hide()
        self._complaints: dict[_CellBox, str] = {}
        first = QVBoxLayout()
        first.setContentsMargins(0, 6, 0, 0)
        first.setSpacing(2)
        for one in (self.heading, self.nothing, self.bare, self.lift):
            first.addWidget(one)
        first.addStretch(1)
        self.boxes = [_CellBox() for _ in range(4)]
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 0, 12, 0)
        row.setSpacing(12)
        row.addLayout(first)
        for box in self.boxes:
            row.addWidget(box, 4)
            box.chosen.connect(self._choose)
            box.stepper.stepped.connect(lambda steps, box=box: self._step(box, steps))
            box.stepper.typed.connect(lambda text, box=box: self._type(box, text))
            box.stepper.focused.connect(lambda box=box: self._focus(box))
            box.stepper.complained.connect(lambda sentence, box=box: self._complain(box, sentence))
        for box in self.boxes:
            box.setMaximumWidth(_WIDEST)
        row.addStretch(1)
        document.changed.connect(self._show)
        document.settling.connect(self._settle)
        self._show()

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        tint = mixed(theme.accent, theme.paper, 0.14)
        self.setStyleSheet(
            f"QLabel#planheading {{ font-size: 12pt; font-weight: bold; }}"
            f"QLineEdit#planned {{ border: 1px solid {theme.muted}; padding: 0 3px; }}"
            f"QLineEdit#planned:focus {{ border: 2px solid {theme.accent}; padding: 0 2px; }}"
            f"QLineEdit#planned:disabled {{ color: {theme.muted}; border-color: {theme.band}; }}"
            f"QPushButton#step {{ padding: 0; font-size: 12pt; }}"
            f"QPushButton#step:disabled {{ color: {theme.muted}; }}"
            f"QPushButton#segment {{ border: 1px solid {theme.muted}; padding: 0 7px; font-size: 10pt; }}"
            f"QPushButton#segment:checked {{ background: {tint}; font-weight: bold; border-color: {theme.accent}; }}"
            f"QPushButton#quiet {{ font-size: 10pt; }}"
            f"QPushButton#bare {{ font-size: 9pt; text-align: left; padding: 0; }}"
            f"QPushButton#bare {{ border: 2px solid transparent; color: {theme.accent}; }}"
            f"QPushButton#bare:focus {{ border: 2px solid {theme.accent}; }}"
            f"QLabel#refusal {{ font-size: 9pt; color: {theme.hold}; background: {theme.paper}; }}"
            f'QLineEdit#planned[refused="true"] {{ border: 2px solid {theme.hold}; color: {theme.hold}; }}'
            f"QPushButton#quiet::menu-indicator {{ image: none; width: 0; }}"
        )

    def focus(self) -> None:
        """Put the keyboard into the first cell."""
        self.boxes[0].stepper.field.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def sizeHint(self) -> QSize:
        """Its one height."""
        return QSize(700, HEIGHT)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show both words of a choice where there is room."""
        super().resizeEvent(event)
        self._show()
        self._lay_complaint()

    def _hold(self, held: bool) -> None:  # noqa: FBT001  (Qt's own signal)
        """Show the vehicle as measured, or the plan again."""
        self.bare.setText(_BARE[held])
        (self.bared if held else self.dressed).emit()

    def _complain(self, box: _CellBox, sentence: str) -> None:
        """Say over the cells' lines why what is typed cannot be taken, for as long as it stands."""
        self._complaints.pop(box, None)
        if sentence:
            self._complaints[box] = sentence
        self._lay_complaint()

    def _lay_complaint(self) -> None:
        words = next(reversed(self._complaints.values()), "")
        self.complaint.setText(words)
        set_tip(self.complaint, words)
        self.complaint.setVisible(bool(words))
        first, last = self.boxes[0], self.boxes[-1]
        top = first.y() + first.stepper.geometry().bottom() + 1
        self.complaint.setGeometry(first.x(), top, last.geometry().right() - first.x(), self.height() - top)
        self.complaint.raise_()

    def _settle(self, drop: bool) -> None:  # noqa: FBT001  (Qt's own signal)
        """Hand in what is typed in a cell, before something else is done with the build, and drop what is refused."""
        for box in self.boxes:
            box.stepper.hand_in()
            refused = box.stepper.refused
            if drop and refused and box.cell is not None:
                box.stepper.drop()
                self.told.emit(
                    f"{box.cell.caption.removesuffix(' by')}: “{refused}” could not be taken and is dropped."
                )

    def _show(self) -> None:
        shown, measured = self._document.shown, self._document.measured
        planned = measured is not None
        self.nothing.setVisible(not planned)
        self.bare.setVisible(planned)
        cells = cells_of(shown.build, shown.solution, measured)
        for box, cell in zip(self.boxes, cells, strict=True):
            box.show_cell(cell, words_of(cell, shown.build.display), wide=self.width() >= _SEGMENTS_FROM)

    def _choose(self, path: str, word: str) -> None:
        changes: dict[str, object] = {path: word}
        if path == "plan.perches" and word == "loose":
            changes["plan.axle_shim_deg"] = None  # a wedge lies under welded perches alone
        if path == "plan.mounts" and word == "loose":
            changes["plan.mount_shim_mm"] = None
        sentence = self._apply(changes, f"{path.rpartition('.')[2].replace('_', ' ')}: {word}")
        if sentence:
            self.told.emit(sentence)

    def _step(self, box: _CellBox, steps: int) -> None:
        """Go to the next whole step, so that round values are met."""
        cell = box.cell
        if cell is None:
            return
        here = (cell.value or 0.0) / cell.step
        nearest = round(here)
        if abs(here - nearest) > 1e-6:
            nearest = int(here // 1.0) + (0 if steps > 0 else 1)
        box.stepper.drop()
        sentence = self._set(cell, round((nearest + steps) * cell.step, 6))
        if sentence:
            self.told.emit(sentence)

    def _type(self, box: _CellBox, text: str) -> None:
        cell = box.cell
        if cell is None:
            return
        if text.lower() in {"", "none"}:
            self._set(cell, None)
            return
        try:
            sentence = self._set(cell, parse(text.removeprefix("≈").strip(), cell.kind, self._document.build.display))
        except ReadingError as error:
            sentence = f"{cell.caption.removesuffix(' by')}: {error}"
        if sentence:
            box.stepper.refuse(sentence)

    def _set(self, cell: Cell, value: float | None) -> str:
        kept = value_at(self._document.build, cell.path) is not None or value
        return self._apply({cell.path: value if kept else None}, cell.key)

    def _apply(self, changes: Mapping[str, object], text: str) -> str:
        """Make the edit as one step; the sentence on why it cannot be, or nothing."""
        sentence = against(self._document, changes, text)
        self._show()
        return sentence or ""

    def _focus(self, box: _CellBox) -> None:
        if box.cell is not None:
            self._selection.choose(self, part=part_of(box.cell.path) or None)
