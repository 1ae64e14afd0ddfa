"""The page that tells how sure the answer is: each verdict with its chances, and which reading to take again first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.drawing.palette import Theme
from app.drawing.wording import told_apart
from app.naming import name_of
from app.sure import SAID, chance_words, interval_words, none_words, percent, stated, tools_words
from app.window.document import Document
from app.window.painted import write_in
from app.window.plain import Label
from app.window.ranges.bands import brush
from app.window.ranges.judged import Filling, JudgedPage
from app.window.theme import sized
from geometry import Build
from geometry.words.names import of_shaft, whole_name
from geometry.words.solution import Verdict
from geometry.words.sure import DRAWS, Chance, Sure, in_turns
from geometry.words.wording import capital, small

_ROWS: Final = (16.0, 26.0)
_NAMES: Final = 176.0
_BAR: Final = 0.17
"""Share of the width that the bars take."""
_REST_MS: Final = 60
_VERDICTS: Final[tuple[Verdict, ...]] = ("clear", "unknown", "caution", "hold")


class Shares(Filling):
    """The whole build and every finding in doubt as a bar of its chances, with what its doubt hangs on most."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[tuple[Chance, str, str], ...] = ()
        self.setAccessibleName("Chances of each verdict")

    def show_chances(self, found: Sure, build: Build) -> None:
        """Show what is found by now."""
        doubtful = [one for one in found.findings if one.doubtful]
        rows = [(found.whole, capital(whole_name(build)), "")]
        for one, name in zip(doubtful, told_apart(doubtful), strict=True):
            by = f"most by {small(name_of(build, one.again))}" if one.again else ""
            rows.append((one, name, by))
        self._rows = tuple(rows)
        self.setAccessibleDescription("; ".join(f"{name}: {chance_words(one)}" for one, name, _ in rows))
        self.setMaximumHeight(self.sizeHint().height())
        self.update()

    @property
    def hidden(self) -> int:
        """How many rows have no room; they are those least in doubt."""
        return len(self._rows) - len(self._shown())

    def _shown(self) -> tuple[tuple[Chance, str, str], ...]:
        return self._rows[: max(int(self.height() / _ROWS[0]), 1)]

    def sizeHint(self) -> QSize:
        """Room for all rows."""
        return QSize(640, round(_ROWS[1] * max(len(self._rows), 1)) + 2)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.fillRect(self.rect(), QColor(self._theme.paper))
            rows = self._shown()
            high = min(max((self.height() - 2.0) / max(len(rows), 1), _ROWS[0]), _ROWS[1])
            wide, ink, points = _BAR * self.width(), self._theme.ink, 10 if high > 19.0 else 9
            for number, (one, name, by) in enumerate(rows):
                y = number * high
                write_in(painter, QRectF(0.0, y, _NAMES - 10.0, high), name, ink, points, bold=not number)
                self._bar(painter, one, QRectF(_NAMES, y + 0.2 * high, wide, 0.6 * high))
                left = _NAMES + wide + 12.0
                room = self.width() - left
                said = chance_words(one)
                said = f"{said}   {by}" if by else said
                write_in(painter, QRectF(left, y, room, high), said, ink, points, bold=not number)

    def _bar(self, painter: QPainter, one: Chance, box: QRectF) -> None:
        x = box.left()
        for verdict in _VERDICTS:
            share = getattr(one, verdict) * box.width()
            if share <= 0.0:
                continue
            painter.setPen(QPen(QColor(self._theme.colour(verdict)), 1.0))
            painter.setBrush(brush(verdict, self._theme, solid=True))
            painter.drawRect(QRectF(x, box.top(), share, box.height()))
            x += share


class SurePage(JudgedPage):
    """How sure it is; shown in place of the drawing, and drawing readings only while it is in sight."""

    going = Signal(str)
    """The person wants to take this entry's reading again."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, _REST_MS, parent)
        self.found: Sure | None = None
        """What is found by now."""
        self.sentence = Label()
        self.sentence.setFont(sized(13, bold=True))
        self.sentence.setWordWrap(True)
        self.drawn = Label()
        self.drawn.setObjectName("muted")
        self.drawn.setFont(sized(9))
        self.shares = Shares()
        self.intervals = Label()
        self.intervals.setFont(sized(10))
        self.again: list[QPushButton] = []
        self._again = QVBoxLayout()
        self._again.setSpacing(0)
        self._head = Label("Take again first")
        self._head.setFont(sized(11, bold=True))
        self._again.addWidget(self._head)
        for _ in range(SAID):
            button = QPushButton()
            button.setObjectName("quiet")
            button.clicked.connect(lambda _=False, one=button: self.going.emit(one.property("path")))
            self.again.append(button)
            self._again.addWidget(button)
        self._again.addStretch(1)
        foot = QHBoxLayout()
        foot.setSpacing(40)
        foot.addWidget(self.intervals, 0, Qt.AlignmentFlag.AlignTop)
        foot.addLayout(self._again, 1)
        page = QVBoxLayout(self)
        page.setContentsMargins(14, 10, 12, 8)
        page.setSpacing(8)
        page.addWidget(self.sentence)
        page.addWidget(self.drawn)
        page.addWidget(self.shares, 20)
        page.addLayout(foot, 1)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("How sure the answer is")

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self.shares.show_theme(theme)

    def focus(self) -> None:
        """Put the keyboard on the readings to take again, where there are any."""
        first = next((one for one in self.again if one.isVisible()), self)
        first.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _working(self) -> Iterator[Sure]:
        return in_turns(self._document.shown.build, DRAWS)

    def _show_found(self, found: Sure) -> None:
        self.found, build = found, self._document.shown.build
        doubtful = sum(one.doubtful for one in found.findings)
        self.sentence.setText(_sentence(found, doubtful, build))
        known = stated(build)
        drawn = f"All readings drawn {found.draws:,} of {DRAWS:,} times within {tools_words(build)}."
        self.drawn.setText(drawn if known else "")
        self.shares.setVisible(known)
        self.shares.show_chances(found, build)
        lines = [
            "In 95 of 100 draws",
            *(f"{one.name}: {interval_words(one, build.display)}" for one in found.intervals),
        ]
        self.intervals.setText("\n".join(lines) if found.intervals and known else "")
        told = found.again[:SAID]
        self._head.setVisible(bool(told))
        for number, button in enumerate(self.again):
            button.setVisible(number < len(told))
            if number < len(told):
                path, share = told[number]
                button.setProperty("path", path)
                button.setText(f"{name_of(build, path)}: {percent(share)} of the doubt ▸")


def _sentence(found: Sure, doubtful: int, build: Build) -> str:
    """The whole in one sentence: what gauge and tape leave open."""
    if not doubtful:
        return of_shaft(build, none_words(build))
    count = "One verdict hangs" if doubtful == 1 else f"{doubtful} verdicts hang"
    return f"{count} on gauge and tape. {capital(whole_name(build))}: {chance_words(found.whole)}"
