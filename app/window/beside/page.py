"""The page of two builds: the one in the window and one kept beside it, drawn at one scale, over what differs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.beside import FOUND, NOTHING, PLANNED, Two, called, named, two_of
from app.drawing.drawing import Style, at_one_scale
from app.drawing.palette import LIGHT, Theme
from app.drawing.subject import Subject
from app.naming import other_words
from app.window.beside.half import HEAD, Half
from app.window.beside.tables import Mirrored
from app.window.document import Document
from app.window.plain import Label
from app.window.ranges.judged import JudgedPage
from app.window.theme import sized
from geometry.document.beside import free_name, going_on, kept_as

_REST_MS: Final = 60
_HERE, _BESIDE = "as in the window", "kept beside it"
_TABLES: Final = 0.39
_LEAST_TABLES: Final = 190
"""How high the tables are: a share of what the heads leave, and at least."""
_EMPTY_PX: Final = 420
_EMPTY: Final = (
    "Nothing is kept beside this build yet. Keep what is planned now, then change the plan: "
    "both stand here side by side."
)


class BesidePage(JudgedPage):
    """Two builds over the whole width; judging only while it is in sight."""

    told = Signal(str)
    """A sentence for the foot of the window."""
    keeping = Signal()
    renaming = Signal()
    dropping = Signal()

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, _REST_MS, parent)
        self._theme: Theme = LIGHT
        self._number = 0
        self.two: Two | None = None
        """What stands on the page; None where nothing is kept."""
        self.first = Half("A", _HERE)
        self.second = Half("B", _BESIDE)
        self._drawing = QTimer(self)
        self._drawing.setSingleShot(True)
        self._drawing.setInterval(0)
        self._drawing.timeout.connect(self._draw)
        for half in (self.first, self.second):
            half.drawn.resized.connect(self._drawing.start)
        self.first.on.clicked.connect(self.left)
        self.second.on.clicked.connect(self.go_on)
        self.second.names.activated.connect(self.choose)
        self.rename, self.drop = _quiet("Rename"), _quiet("Drop")
        self.rename.clicked.connect(self.renaming)
        self.drop.clicked.connect(self.dropping)
        self.second.under.addWidget(self.rename)
        self.second.under.addWidget(self.drop)
        self.planned, self.found = Mirrored(PLANNED), Mirrored(FOUND)
        self.keep = QPushButton("Keep this plan beside")
        self.keep.setObjectName("apply")
        self.keep.clicked.connect(self.keeping)
        document.opened.connect(lambda: self.choose(0))
        self._lay_out()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Two builds")

    def _lay_out(self) -> None:
        """Two halves over two tables; where nothing is kept, words in place of the second half and of the tables."""
        self.empty = QWidget()
        words = Label(_EMPTY)
        words.setFont(sized(13))
        words.setWordWrap(True)
        words.setFixedWidth(_EMPTY_PX)
        words.setMinimumHeight(words.heightForWidth(_EMPTY_PX))
        inside = QVBoxLayout(self.empty)
        inside.addStretch(1)
        inside.addWidget(words, 0, Qt.AlignmentFlag.AlignHCenter)
        inside.addSpacing(10)
        inside.addWidget(self.keep, 0, Qt.AlignmentFlag.AlignHCenter)
        inside.addStretch(2)
        halves = QHBoxLayout()
        halves.setSpacing(0)
        halves.addWidget(self.first, 1)
        halves.addWidget(_line(upright=True))
        halves.addWidget(self.second, 1)
        halves.addWidget(self.empty, 1)
        self.tables = QWidget()
        beside = QHBoxLayout(self.tables)
        beside.setContentsMargins(0, 0, 0, 0)
        beside.setSpacing(0)
        beside.addWidget(self.planned, 1)
        beside.addWidget(self.found, 1)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(0)
        page.addLayout(halves, 1)
        page.addWidget(_line())
        page.addWidget(self.tables)

    # ---- what others tell it

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        for one in (self.first, self.second, self.planned, self.found):
            one.show_theme(theme)
        self._drawing.start()

    def focus(self) -> None:
        """Put the keyboard on the way on, or on keeping something."""
        (self.keep if self.two is None else self.second.on).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def choose(self, number: int) -> None:
        """Hold another one of those that are kept against the build."""
        self._number = number
        if self.isVisible():
            self.begin()

    @property
    def settled(self) -> bool:
        """Whether nothing is left to be worked out or drawn."""
        return super().settled and not self._drawing.isActive()

    @property
    def number(self) -> int:
        """Which of those that are kept stands on the page."""
        return min(self._number, max(len(self._document.shown.build.variants) - 1, 0))

    def go_on(self) -> None:
        """Make the second build the window's, in one step; what was in the window is kept in its place."""
        self._document.hand_in()
        build = self._document.build
        if not build.variants:
            return
        number = self.number
        name, other = free_name(build, called(build), but=number), build.variants[number].name
        was = kept_as(build, but=number)
        name = name if was is None else build.variants[was].name
        self._document.apply(going_on(build, number, name, named=named(build, number)), f"going on with “{other}”")
        self._number = next(
            (place for place, one in enumerate(self._document.build.variants) if one.name == name), number
        )
        self.left.emit()
        self.told.emit(f"Went on with “{other}”; “{name}” is kept beside it. Ctrl+Z takes it back.")

    # ---- working it out

    def _working(self) -> Iterator[Two] | None:
        build = self._document.shown.build
        some, pressed = bool(build.variants), self.keep.hasFocus()
        for one, shown in ((self.second, some), (self.tables, some), (self.empty, not some)):
            one.setVisible(shown)
        if some and pressed:  # what had the keyboard has gone
            self.second.on.setFocus(Qt.FocusReason.OtherFocusReason)
        if not some:
            self.two = None
            self.first.show_what(_HERE, other_words(build))
            self.first.show_name(called(build))
            self.first.verdicts.show_solution(self._document.shown.solution)
            self._drawing.start()
            return None
        return self._held()

    def _held(self) -> Iterator[Two]:
        shown = self._document.shown
        yield two_of(shown.build, shown.solution, self.number)

    def _show_found(self, found: Two) -> None:
        self.two = found
        variants = found.builds[0].variants
        beside = f"{self.number + 1} of {len(variants)} kept" if len(variants) > 1 else _BESIDE
        for half, what, build in zip((self.first, self.second), (_HERE, beside), found.builds, strict=True):
            half.show_what(what, other_words(build))
        self.first.show_name(found.names[0])
        self.second.show_name(found.names[1], tuple(one.name for one in variants), self.number)
        for half, solution in zip((self.first, self.second), found.solutions, strict=True):
            half.verdicts.show_solution(solution)
        self.planned.show_rows((*found.entered, *found.notes, *found.to_set) or NOTHING[:1])
        self.found.show_rows((*(found.found or NOTHING[1:]), *filter(None, (found.open,))))
        self._drawing.start()

    def _draw(self) -> None:
        """Draw both at one scale, their findings as marks alone: the table tells them."""
        if not self.isVisible():
            return
        shown, two = self._document.shown, self.two
        pairs = [(shown.build, shown.solution)] if two is None else list(zip(two.builds, two.solutions, strict=True))
        halves = (self.first, self.second)[: len(pairs)]
        size = float(max(self.first.drawn.width(), 2)), float(max(self.first.drawn.height(), 2))
        style = Style(self._theme, marks=True, names=False, both_views=True)
        made = at_one_scale([Subject(build, solution, solution) for build, solution in pairs], size, style)
        for half, page in zip(halves, made, strict=True):
            half.drawn.show_page(page, page.says)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the tables what suits the height."""
        super().resizeEvent(event)
        self.tables.setFixedHeight(max(round(_TABLES * (self.height() - HEAD)), _LEAST_TABLES))


def _quiet(words: str) -> QPushButton:
    button = QPushButton(words)
    button.setObjectName("quiet")
    button.setMinimumHeight(24)
    return button


def _line(*, upright: bool = False) -> QFrame:
    line = QFrame()
    line.setObjectName("upright" if upright else "line")
    return line
