"""The start page: three ways to begin, the first usable in place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from itertools import pairwise
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from app.drawing.palette import LIGHT, VERDICT_WORDS, Theme, mixed
from app.measuring.entries import Entry
from app.measuring.sections import HURRY
from app.measuring.wanted import next_words
from app.units import degrees
from app.window.document import Document
from app.window.form.field_sentence import against
from app.window.form.rows import GUTTER, EntryRow, Hands
from app.window.form.typed_rows import ENTRY_HIGH, NumberRow
from app.window.painted import Painted, write
from app.window.plain import Label
from app.window.settings import recent_files
from app.window.shapes import VerdictMark
from app.window.shell import pages
from app.window.shell.samples import SampleCards
from app.window.theme import sized, wear

_SIDE_PX: Final = 312
_STEPS: Final = (
    ("Output, shaft and pinion slope, length", "gives angles, cancelling"),
    ("Positions of joint, axle, mounts, springs", "gives drawing to scale, lengths"),
    ("Tyres, ratios, speeds, torque", "gives speed and load"),
    ("Springs or links, bump and droop", "gives travel, slip, reach"),
    ("Tube, joints, slip", "gives whirl, shear, joint life"),
    ("What the shaft could touch", "gives gaps"),
)
_AS_THE_TAPE: Final = "Type as the tape reads: 3 1/2, 88.9 mm, 3°30′."


class StartPage(QWidget):
    """Four readings at once, a whole vehicle, or a sample.

    `going_on` says that the build as it stands is to be shown, `measuring` that the vehicle is to be measured.
    `opening` asks for a file, `sample_wanted` and `file_wanted` for one by its path.
    """

    going_on = Signal()
    measuring = Signal()
    opening = Signal()
    sample_wanted = Signal(object)
    file_wanted = Signal(object)
    told = Signal(str)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._theme: Theme = LIGHT
        hands = Hands(self._take, self._focused, document.preview, self.told.emit, document.hand_in)
        self.rows: list[EntryRow] = [NumberRow(entry, hands) for entry in HURRY]
        self.numbers: list[QLabel] = []
        """Before each field the number that it has in the picture."""
        self.picture = _Readings()
        self.help = _words("", "small")
        self.mark = VerdictMark(18)
        self.word = _words("", "headline")
        self.next = _words("", "small")
        self.on = QPushButton("See it drawn")
        self.on.setObjectName("apply")
        self.on.clicked.connect(self.going_on)
        self.samples = SampleCards()
        self.samples.chosen.connect(self.sample_wanted)
        self._links: list[QPushButton] = []
        columns = QHBoxLayout()
        columns.setContentsMargins(28, 22, 28, 8)
        columns.setSpacing(22)
        columns.addWidget(self._quick())
        columns.addWidget(_upright())
        columns.addWidget(self._whole())
        columns.addWidget(_upright())
        columns.addWidget(self._look(), 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(columns, 1)
        line = QFrame()
        line.setObjectName("line")
        column.addWidget(line)
        column.addLayout(self._foot())
        for place, row in enumerate(self.rows):
            row.settled.connect(lambda place=place: self._next_field(place))
        self._order_tabs()
        document.changed.connect(self._show)
        document.settling.connect(self._settle)
        self._show()

    def _order_tabs(self) -> None:
        """Tab goes through the page as it is read."""
        fields = [editor for row in self.rows for editor in row.editors()]
        order = [*fields, self.on, self.measure, self.how, *self.samples.cards, *self._links]
        for one, after in pairwise(order):
            self.setTabOrder(one, after)

    # ---- the three columns

    def _quick(self) -> QWidget:
        column = _Column(
            "1  Three readings and a length", "A verdict on the joints in five minutes, with a gauge and a tape."
        )
        column.box.addWidget(self.picture)
        for number, row in enumerate(self.rows, 1):
            row.grid.addWidget(row.complaint, row.grid.rowCount(), 0, 1, row.grid.columnCount())
            column.box.addLayout(self._numbered(number, row))
        column.box.addWidget(self.help)
        column.box.addWidget(_words(_AS_THE_TAPE, "axis"))
        line = QFrame()
        line.setObjectName("line")
        column.box.addWidget(line)
        verdict = QHBoxLayout()
        verdict.setSpacing(8)
        verdict.addWidget(self.mark)
        verdict.addWidget(self.word, 1)
        column.box.addLayout(verdict)
        column.box.addWidget(self.next)
        column.box.addWidget(self.on, 0, Qt.AlignmentFlag.AlignLeft)
        column.box.addStretch(1)
        return column

    def _numbered(self, number: int, row: EntryRow) -> QHBoxLayout:
        """A field behind the number that it has in the picture."""
        word = Label(str(number))
        word.setObjectName("small")
        word.setStyleSheet("font-weight: bold")
        word.setFixedSize(GUTTER, ENTRY_HIGH + 2)
        row.grid.setContentsMargins(0, 1, 0, 1)
        self.numbers.append(word)
        line = QHBoxLayout()
        line.setSpacing(0)
        line.addWidget(word, 0, Qt.AlignmentFlag.AlignTop)
        line.addWidget(row, 1)
        return line

    def _whole(self) -> QWidget:
        column = _Column(
            "2  Measure a vehicle", "In the order you take it; every step answers more. Stop and save anywhere."
        )
        self.steps = _Steps()
        column.box.addWidget(self.steps)
        self.measure = QPushButton("Begin measuring")
        self.measure.setObjectName("apply")
        self.measure.clicked.connect(self.measuring)
        self.how = QPushButton("How to measure")
        self.how.setObjectName("quiet")
        self.how.clicked.connect(lambda: pages.show_how_to_measure(self))
        row = QHBoxLayout()
        row.setSpacing(14)
        row.addWidget(self.measure)
        row.addWidget(self.how)
        row.addStretch(1)
        column.box.addLayout(row)
        column.box.addStretch(1)
        return column

    def _look(self) -> QWidget:
        column = _Column("3  Look at a sample", "Builds of an invented workshop; change anything.", wide=True)
        column.box.addWidget(self.samples, 1)
        return column

    def _foot(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(28, 4, 28, 4)
        row.setSpacing(14)
        row.addWidget(_words("Or go on with", "axis"))
        for path in recent_files()[:3]:
            if path.exists():
                row.addWidget(self._link(path.name, partial(self.file_wanted.emit, path)))
        row.addWidget(self._link("Open a build…", self.opening.emit))
        row.addStretch(1)
        return row

    def _link(self, words: str, act: Callable[[], object]) -> QPushButton:
        button = QPushButton(words.replace("&", "&&"))
        button.setObjectName("quiet")
        button.clicked.connect(lambda _=False: act())
        self._links.append(button)
        return button

    # ---- what it shows

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        for row in self.rows:
            row.show_theme(theme)
        self.samples.show_theme(theme)
        self.picture.show_theme(theme)
        self.steps.show_theme(theme)
        self._show()

    def begin(self) -> None:
        """Put the cursor into the first field."""
        self.rows[0].focus_first()

    def _show(self) -> None:
        shown = self._document.shown
        for row in self.rows:
            row.show_build(self._document.build)  # what is typed is its field's own
        solution = shown.solution
        known = [one for one in solution.joints if one.operating_deg is not None]
        judged = bool(known)
        verdict = solution.verdict if judged else "unknown"
        self.mark.show_verdict(verdict, self._theme)
        self.word.setText(VERDICT_WORDS[verdict] if judged else "not judged yet")
        wear(self.word, f"font-size: 15pt; font-weight: bold; color: {self._theme.colour(verdict)}")
        angles = [f"{one.name} joint {degrees(one.operating_deg or 0.0)}" for one in known]
        wanted = next_words(shown.build, solution)
        self.next.setText(f"{', '.join(angles)}. {solution.says}" if judged else f"measure next: {wanted}")
        self.on.setVisible(judged)

    def _focused(self, entry: Entry) -> None:
        place = [one.path for one in HURRY].index(entry.path)
        self.picture.show_reading(place)
        self.help.setText(f"{entry.title}: {entry.help}" if entry.help else entry.title)

    def _next_field(self, place: int) -> None:
        """After Enter the next field; after the last the way on, once there is a verdict."""
        if place + 1 < len(self.rows):
            self.rows[place + 1].focus_first()
        elif self.on.isVisibleTo(self):
            self.on.setFocus(Qt.FocusReason.OtherFocusReason)

    def _take(self, changes: Mapping[str, object], text: str) -> str | None:
        return against(self._document, changes, text)

    def _settle(self, drop: bool) -> None:  # noqa: FBT001  (Qt's own signal)
        for row in self.rows:
            if row.pending:
                row.commit()
                if drop:
                    row.drop()


class _Column(QWidget):
    """A heading, a line under it, and room for more."""

    def __init__(self, title: str, lead: str, *, wide: bool = False) -> None:
        super().__init__()
        self.box = QVBoxLayout(self)
        self.box.setContentsMargins(0, 0, 0, 0)
        self.box.setSpacing(8)
        head = _words(title, "says")
        head.setFont(sized(12, bold=True))
        head.setStyleSheet("font-size: 12pt; font-weight: bold")
        under = _words(lead, "axis")
        self.box.addWidget(head)
        self.box.addWidget(under)
        if not wide:
            self.setFixedWidth(_SIDE_PX)


class _Readings(Painted):
    """The four readings on a shaft, numbered; the one that is typed stands out."""

    def __init__(self) -> None:
        super().__init__()
        self._place = 0
        self.setFixedHeight(128)
        self.setAccessibleName("Where the four readings are taken")

    def show_reading(self, place: int) -> None:
        """Let one of the readings stand out."""
        self._place = place
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        theme = self._theme
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            ink, accent = QColor(theme.ink), QColor(theme.accent)
            front, rear = QPointF(70.0, 42.0), QPointF(236.0, 92.0)
            centre = QPen(ink, 1.0, Qt.PenStyle.CustomDashLine)
            centre.setDashPattern([9.0, 3.0, 2.0, 3.0])
            painter.setPen(centre)
            painter.drawLine(QPointF(14.0, 38.0), QPointF(130.0, 49.0))
            painter.drawLine(QPointF(174.0, 88.0), QPointF(302.0, 97.0))
            painter.setPen(QPen(accent, 1.6))
            painter.setBrush(QColor(mixed(theme.accent, theme.paper, 0.30)))
            away = rear - front
            size = (away.x() ** 2 + away.y() ** 2) ** 0.5
            side = QPointF(-away.y() / size * 8.0, away.x() / size * 8.0)
            one, two = front + away * 0.06, rear - away * 0.06
            painter.drawPolygon(QPolygonF([one + side, two + side, two - side, one - side]))
            painter.setBrush(QColor(theme.paper))
            for at in (front, rear):
                painter.drawEllipse(at, 7.0, 7.0)
            painter.setPen(QPen(QColor(theme.muted), 1.0))
            for at in (front, rear):
                painter.drawLine(at + QPointF(0.0, 12.0), QPointF(at.x(), 122.0))
            painter.drawLine(QPointF(front.x(), 118.0), QPointF(rear.x(), 118.0))
            painter.setBrush(QColor(theme.muted))
            for at, way in ((front, 1.0), (rear, -1.0)):
                back = at.x() + 9.0 * way
                painter.drawPolygon(QPolygonF([QPointF(at.x(), 118.0), QPointF(back, 115.4), QPointF(back, 120.6)]))
            for place, at in enumerate(
                (QPointF(26.0, 22.0), QPointF(170.0, 44.0), QPointF(288.0, 78.0), QPointF(153.0, 118.0))
            ):
                _number(painter, at, place + 1, theme, loud=place == self._place)


class _Steps(Painted):
    """The six steps of measuring a vehicle, and what each gives."""

    def __init__(self) -> None:
        super().__init__()
        self.setFixedHeight(52 * len(_STEPS))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("; ".join(f"{what}: {gives}" for what, gives in _STEPS))

    def sizeHint(self) -> QSize:
        """Its one height."""
        return QSize(_SIDE_PX, 52 * len(_STEPS))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint them."""
        del event
        theme = self._theme
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(QColor(mixed(theme.muted, theme.paper, 0.45)), 1.4))
            painter.drawLine(QPointF(11.0, 14.0), QPointF(11.0, 52.0 * len(_STEPS) - 38.0))
            for place, (what, gives) in enumerate(_STEPS):
                top = 52.0 * place
                _number(painter, QPointF(11.0, top + 14.0), place + 1, theme, loud=False)
                write(painter, 32.0, top + 18.0, what, theme.ink, 10)
                write(painter, 32.0, top + 34.0, gives, theme.muted, 9)


def _number(painter: QPainter, at: QPointF, number: int, theme: Theme, *, loud: bool) -> None:
    """A number in a circle."""
    painter.save()
    painter.setPen(QPen(QColor(theme.accent if loud else theme.ink), 2.0 if loud else 1.3))
    painter.setBrush(QColor(theme.paper))
    painter.drawEllipse(at, 10.0, 10.0)
    painter.setFont(sized(10, bold=True))
    painter.setPen(QColor(theme.ink))
    box = QRectF(at.x() - 10.0, at.y() - 10.0, 20.0, 20.0)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(number))
    painter.restore()


def _words(text: str, name: str) -> QLabel:
    label = Label(text)
    label.setObjectName(name)
    label.setWordWrap(True)
    return label


def _upright() -> QFrame:
    line = QFrame()
    line.setObjectName("upright")
    return line
