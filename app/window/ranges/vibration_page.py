"""The page that tells what a vibration may come from: what is felt on top, under it the next test and suspects."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.drawing.palette import VERDICT_SIGNS, Theme
from app.naming import name_of
from app.reading import ReadingError, parse
from app.sure import percent
from app.units import DisplayChoice, Kind, edit_text, show, shown_unit
from app.vibration import BASIS, CAUTION, NOTHING, SOUNDS, TOLD, UNDER, out_words, reasons_words, turning_rows, untold
from app.window.document import Document
from app.window.form.choice_rows import Chooser
from app.window.plain import Label, set_tip
from app.window.ranges.judged import JudgedPage
from app.window.theme import sized
from geometry.document.vehicle import Display
from geometry.words.names import whole_name
from geometry.words.vibration import Diagnosis, Felt, diagnosis

_REST_MS: Final = 60
_HINT: Final = "Say what you know; all of it may stay empty. It is not kept with the build."
_FIRST: Final = "Say at which speed it is felt, what it is like and when: then comes what to try next."
_MOST: Final = 10
_ROOMY: Final = 700
"""All suspects that there may be, and the height of the page from which on all are shown."""
_SIDE: Final = 222
"""Width of what turns and of what would say more, beside the suspects."""


class Said(QLineEdit):
    """A number that the person may tell: read while it is typed, left as typed where it is none."""

    def __init__(self, name: str, kind: Kind, most: float, wide: int, *, whole: bool = False) -> None:
        super().__init__()
        self.name, self._kind, self._most, self._whole = name, kind, most, whole
        self.value: float | None = None
        self._turned: tuple[str, float] | None = None
        self.complaint = ""
        self.setAccessibleName(name)
        self.setFixedWidth(wide)

    def read(self, display: DisplayChoice) -> None:
        """Take what stands here, or say what is wrong with it."""
        text = self.text().strip()
        self.value, self.complaint = None, ""
        if self._turned is not None and self._turned[0] == text:
            self.value = self._turned[1]
        elif text:
            try:
                value = parse(text, self._kind, display)
            except ReadingError as error:
                self.complaint = f"{self.name}: {error}"
            else:
                self._take(text, value, display)
        self.setPlaceholderText(shown_unit(self._kind, display).symbol)
        self._mark()

    def refuse(self, complaint: str) -> None:
        """Say what is wrong with a number that could be read."""
        self.value, self.complaint = None, complaint
        self._mark()

    def _mark(self) -> None:
        self.setProperty("refused", bool(self.complaint))
        self.style().polish(self)

    def _take(self, text: str, value: float, display: DisplayChoice) -> None:
        shown = f"{self.name}: “{text if len(text) <= 20 else f'{text[:19]}…'}”"
        if not 0.0 < value <= self._most:
            self.complaint = f"{shown} must be above 0 and at most {show(self._most, self._kind, display)}."
        elif self._whole and value != int(value):
            self.complaint = f"{shown} is not a whole number; type one such as 4."
        else:
            self.value = value

    def show_unit(self, display: DisplayChoice) -> None:
        """Show what was taken with its unit, digit for digit; what was refused stays as typed."""
        if self.value is not None and (self._turned is None or self._turned[0] != self.text()):
            sign = shown_unit(self._kind, display).symbol
            self.setText(f"{edit_text(self.value, self._kind, display)} {sign}".strip())
        self.setCursorPosition(0)

    def turn(self, display: DisplayChoice) -> None:
        """Show what was taken in another unit, as short as it reads well; it stays what it was."""
        if self.value is not None:
            places = 1 if self._kind == "km/h" else None
            self._turned = show(self.value, self._kind, display, places=places), self.value
            self.setText(self._turned[0])


class _Row(QWidget):
    """A suspect: its title and frequency, its reasons, and a press to the finding that is about it."""

    def __init__(self) -> None:
        super().__init__()
        self.title, self.reasons = _label(10, bold=True), _label(10)
        self.press = QPushButton()
        self.press.setObjectName("quiet")
        self.press.setFont(sized(10))
        head = QHBoxLayout()
        head.setSpacing(10)
        head.addWidget(self.title, 1)
        head.addWidget(self.press, 0, Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self.reasons)


class VibrationPage(JudgedPage):
    """What is felt and what it may come from; what is said is kept as long as the window, and is no part of the build.

    `going` asks to go to an entry, `finding_wanted` to a finding, as its id and part.
    """

    going = Signal(str)
    finding_wanted = Signal(str, str)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, _REST_MS, parent)
        self.found: Diagnosis | None = None
        """What is found by now."""
        self.felt = Felt()
        """What is said by now."""
        self._display: Display = document.shown.build.display
        self.speed = Said("Road speed", "km/h", 500.0, 78)
        self.frequency = Said("Frequency", "Hz", 10_000.0, 68)
        self.gear = Said("Gear", "count", 30.0, 44, whole=True)
        self.engine = Said("Tachometer", "rpm", 100_000.0, 74)
        self.cylinders = Said("Cylinders", "count", 16.0, 58, whole=True)
        self.numbers = (self.speed, self.frequency, self.gear, self.engine, self.cylinders)
        self.sounds = _choice("What it is like", SOUNDS.items())
        self.under = _choice("When it is felt", UNDER.items())
        self.note = _label(9)
        self.test = _label(13, bold=True)
        self.rows = [_Row() for _ in range(_MOST)]
        self.out = _label(9)
        self.out.setObjectName("muted")
        self.turning = QGridLayout()
        self.share = _label(9)
        self.untold = _label(10)
        self.wants = [QPushButton() for _ in range(4)]
        self.cautions = _label(9)
        self.cautions.setText(CAUTION)
        self._connect()
        self._lay_out()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Vibration")

    def _connect(self) -> None:
        for field in self.numbers:
            field.textEdited.connect(self.begin)
            field.editingFinished.connect(lambda one=field: one.show_unit(self._display))
        for box in (self.sounds, self.under):
            box.activated.connect(self.begin)
        for row in self.rows:
            row.press.clicked.connect(lambda _=False, one=row: self.finding_wanted.emit(*one.press.property("finding")))
        for one in self.wants:
            one.setObjectName("quiet")
            one.setFont(sized(10))
            one.clicked.connect(lambda _=False, button=one: self.going.emit(button.property("path")))

    def _lay_out(self) -> None:
        """What is said, the next test in large, suspects beside what turns; the cautions stay below what scrolls."""
        asked = QGridLayout()
        asked.setHorizontalSpacing(7)
        asked.setVerticalSpacing(0)
        boxes = (self.speed, self.frequency, self.sounds, self.under, self.gear, self.engine, self.cylinders)
        for place, box in enumerate(boxes):
            asked.addWidget(_label(9, box.accessibleName(), wrap=False), 0, place)
            asked.addWidget(box, 1, place)
        asked.setColumnStretch(len(boxes), 1)
        inner = QWidget()
        both = QHBoxLayout(inner)
        both.setContentsMargins(0, 0, 8, 0)
        both.setSpacing(16)
        both.addLayout(self._suspects(), 1)
        both.addWidget(self._beside())
        self.answer = QScrollArea()
        self.answer.setWidgetResizable(True)
        self.answer.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.answer.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.answer.setWidget(inner)
        line = QFrame()
        line.setObjectName("line")
        page = QVBoxLayout(self)
        page.setContentsMargins(14, 8, 12, 6)
        page.setSpacing(5)
        page.addLayout(asked)
        page.addWidget(self.note)
        self._next = _head("Try next")
        page.addWidget(self._next)
        page.addWidget(self.test)
        page.addWidget(self.answer, 1)
        page.addWidget(line)
        page.addWidget(self.cautions)

    def _suspects(self) -> QVBoxLayout:
        left = QVBoxLayout()
        left.setSpacing(6)
        self._suspects_head = _head("")
        left.addWidget(self._suspects_head)
        for row in self.rows:
            left.addWidget(row)
        self._out_head = _head("Ruled out by what was said")
        left.addWidget(self._out_head)
        left.addWidget(self.out)
        left.addStretch(1)
        return left

    def _beside(self) -> QWidget:
        side = QWidget()
        side.setFixedWidth(_SIDE)
        right = QVBoxLayout(side)
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(5)
        self.turning.setHorizontalSpacing(8)
        self.turning.setVerticalSpacing(1)
        self.turning.setColumnStretch(0, 1)
        right.addLayout(self.turning)
        right.addWidget(self.share)
        right.addWidget(_head("To say more"))
        right.addWidget(self.untold)
        for one in self.wants:
            right.addWidget(one)
        basis = _label(9, BASIS)
        basis.setObjectName("muted")
        right.addWidget(basis)
        right.addStretch(1)
        return side

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours: its labels and fields have the window's own."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show as many suspects as have room."""
        super().resizeEvent(event)
        self._follow()

    def focus(self) -> None:
        """Put the keyboard into the road speed."""
        self.speed.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _read(self) -> None:
        """Take what stands in the fields, in the unit in which it was typed."""
        display = self._document.shown.build.display
        if display != self._display:
            self._display = display
            for field in self.numbers:
                field.turn(display)
        for field in self.numbers:
            field.read(display)
        self._check_gear()
        gear, cylinders = (None if one.value is None else int(one.value) for one in (self.gear, self.cylinders))
        self.felt = Felt(
            self.speed.value,
            self.frequency.value,
            self.sounds.currentData(),
            self.under.currentData(),
            gear,
            self.engine.value,
            cylinders,
        )
        wrong = next((field.complaint for field in self.numbers if field.complaint), "")
        self.note.setText(wrong or _HINT)
        self.note.setObjectName("complaint" if wrong else "muted")
        self.note.style().polish(self.note)

    def _working(self) -> Iterator[Diagnosis]:
        self._read()
        shown = self._document.shown
        return iter((diagnosis(shown.build, shown.solution, self.felt),))

    def _show_found(self, found: Diagnosis) -> None:
        self.found = found
        shown = self._document.shown
        told = self.felt != Felt()
        lost = self.felt.frequency_hz is not None and not any(one.agrees for one in found.suspects)
        self._next.setVisible(told)
        self.test.setText(f"{NOTHING} {found.test}" if lost and found.cleared else found.test if told else _FIRST)
        count = len(found.suspects)
        most = _MOST if self.height() >= _ROOMY else TOLD
        of = f": {most} of {count}" if count > most else ""
        build = shown.build
        shaft = f" at the {whole_name(build)}" if build.drivelines else ""
        self._suspects_head.setText(f"Suspects{shaft}, the likeliest first{of}")
        known = {(one.id, str(one.part)): one for one in shown.solution.findings}
        for number, (row, one) in enumerate(zip(self.rows, found.suspects, strict=False), start=1):
            at = "" if one.expected_hz is None else f"{show(one.expected_hz, 'Hz', shown.build.display)}. "
            row.title.setText(f"{number}  {one.title}")
            row.reasons.setText(f"{at}{reasons_words(one)}")
            finding = known.get(one.finding) if one.finding is not None else None
            row.press.setVisible(finding is not None)
            if finding is not None:
                row.press.setText(f"{VERDICT_SIGNS[finding.verdict]} Finding ▸")
                row.press.setProperty("finding", (finding.id, str(finding.part)))
                row.press.setAccessibleName(f"Go to the finding: {finding.title}")
                set_tip(row.press, finding.title)
        for number, row in enumerate(self.rows):
            row.setVisible(number < min(count, most))
        self._out_head.setVisible(bool(found.cleared))
        self.out.setVisible(bool(found.cleared))
        self.out.setText("\n".join(out_words(one) for one in found.cleared))
        self._show_beside(found)

    def _show_beside(self, found: Diagnosis) -> None:
        build = self._document.shown.build
        while (item := self.turning.takeAt(0)) is not None:
            item.widget().deleteLater()  # type: ignore[union-attr]
        lines = turning_rows(found.turning, self.felt, build.display)
        for row, words in enumerate((("Turns", "a second", "a minute"), *lines)):
            for column, text in enumerate(words):
                label = _label(10 if row else 9, text, wrap=False)
                right = Qt.AlignmentFlag.AlignRight if column else Qt.AlignmentFlag.AlignLeft
                self.turning.addWidget(label, row, column, right)
        share = found.turning.critical_share
        self.share.setVisible(share is not None)
        self.share.setText("" if share is None else f"The shaft is at {percent(share)} of its critical speed.")
        more = untold(self.felt, found.turning)
        self.untold.setText(more)
        self.untold.setVisible(bool(more))
        for number, button in enumerate(self.wants):
            button.setVisible(number < len(found.wants))
            if number < len(found.wants):
                button.setProperty("path", found.wants[number])
                button.setText(f"{name_of(build, found.wants[number])} ▸")

    def _check_gear(self) -> None:
        """Say so where the gear is none of those entered."""
        powertrain = self._document.shown.build.powertrain
        ratios = () if powertrain is None else powertrain.gear_ratios or ()
        if ratios and self.gear.value is not None and self.gear.value > len(ratios):
            count = "is only one gear" if len(ratios) == 1 else f"are only {len(ratios)} gears"
            self.gear.refuse(f"Gear: “{self.gear.text().strip()}” is too high; there {count} entered.")


def _choice(name: str, words: Iterable[tuple[str, str]]) -> Chooser:
    box = Chooser(lambda: None)
    box.setAccessibleName(name)
    box.addItem("–", None)
    for key, text in words:
        box.addItem(text, key)
    box.setFixedWidth(box.wanted_width())
    return box


def _head(text: str) -> Label:
    made = _label(9, text, bold=True, wrap=False)
    made.setObjectName("muted")
    return made


def _label(size: int, text: str = "", *, bold: bool = False, wrap: bool = True) -> Label:
    made = Label(text)
    made.setFont(sized(size, bold=bold))
    made.setWordWrap(wrap)
    return made
