"""The page that answers how much: one entry from here to there, the build judged all along, and set by a press."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np
from pydantic import ValidationError
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app.amounts import reach_deg
from app.complaints import first_complaint
from app.drawing.drawing import silhouette
from app.drawing.items import Page
from app.drawing.painter import paint
from app.drawing.palette import LIGHT, VERDICT_SIGNS, Theme
from app.drawing.subject import Subject
from app.drawing.wording import value_words
from app.naming import other_words
from app.reading import ReadingError, parse
from app.study import wants_words
from app.units import degrees, edit_text, shown_unit
from app.window.document import Document
from app.window.painted import Painted
from app.window.plain import Label, set_tip
from app.window.ranges.bands import Bands, least_high
from app.window.ranges.judged import JudgedPage
from app.window.ranges.map_view import MapView
from app.window.ranges.varied import Varied, varied
from app.window.theme import sized, wear, words_wide
from geometry import Build, Solution, edited
from geometry.document.vehicle import Display
from geometry.judge.codes import WORDS
from geometry.words.names import of_shaft, whole_name
from geometry.words.solution import Finding, Verdict
from geometry.words.solve import Work, solved
from geometry.words.study import Map, Range, in_turns, map_in_turns
from geometry.words.wording import capital, small

_SILHOUETTE: Final = 130
_MOST_WIDE: Final = 236.0
"""Width that a choice of entry may take."""
_ROOMY: Final = 500
"""Height of the page from which on the side view has room beside the bands."""
_AROUND: Final = 130
"""What of the page's height is neither bands nor side view."""
_REST_MS: Final = 30


class _View(Painted):
    """The side view at the value chosen, without a word."""

    def __init__(self) -> None:
        super().__init__()
        self._subject: Subject | None = None
        self._page: Page | None = None
        self.setMinimumHeight(_SILHOUETTE)

    def show_subject(self, subject: Subject | None, theme: Theme) -> None:
        self._subject, self._theme, self._page = subject, theme, None
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        del event
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(self._theme.paper))
            if self._subject is not None:
                size = float(self.width()), float(self.height())
                if self._page is None or (self._page.width, self._page.height) != size:
                    self._page = silhouette(self._subject, size, self._theme)
                paint(painter, self._page)


class RangePage(JudgedPage):
    """One entry over a range; shown beside the drawing, and judging only while it is in sight."""

    told = Signal(str)
    """A sentence for the foot of the window."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, _REST_MS, parent)
        self._theme: Theme = LIGHT
        self._all: tuple[Varied, ...] = ()
        self._over: Varied | None = None
        self._up: Varied | None = None
        self._kept: dict[str, tuple[float, float]] = {}
        self._at = self._up_at = 0.0
        self.range: Range | None = None
        """What is judged by now; None where nothing can be."""
        self.over_two: Map | None = None
        """The same over two entries; None while only one is varied."""
        self._build_up()

    def _build_up(self) -> None:
        self.entry = QComboBox()
        self.entry.setAccessibleName("What is varied")
        self.entry.setMaxVisibleItems(24)
        self.entry.activated.connect(lambda place: self.vary(self._all[place].path))
        self.first, self.last = self._field("From"), self._field("To")
        self.against = QComboBox()
        self.against.setObjectName("against")
        self.against.setAccessibleName("What is varied against it, upward")
        self.against.setMaxVisibleItems(24)
        self.against.activated.connect(lambda place: self.vary_against(self.against.itemData(place)))
        self.sentence = Label()
        self.sentence.setFont(sized(11))
        self.sentence.setWordWrap(True)
        self.bands = Bands()
        self.bands.moved.connect(self.go_to)
        self.bands.chosen.connect(self.set_value)
        self.bands.left.connect(self.left)
        self.map = MapView()
        self.map.moved.connect(self.go_to)
        self.map.chosen.connect(self.set_value)
        self.map.left.connect(self.left)
        self.map.hide()
        self.others = Label()
        self.others.setWordWrap(True)
        self.others.setObjectName("muted")
        self.others.setFont(sized(9))
        self.view = _View()
        self.here = Label()
        self.here.setFont(sized(10))
        self.here.setWordWrap(True)
        self.here.setFixedWidth(190)
        self.press = QPushButton()
        self.press.setObjectName("apply")
        self.press.clicked.connect(self.set_value)
        self._lay_out()

    def _lay_out(self) -> None:
        """What is varied, what comes of it in a line, the bands or the map, and how it looks at the value chosen."""
        head = QHBoxLayout()
        head.setSpacing(8)
        for one in (self.entry, Label("from"), self.first, Label("to"), self.last, Label("against"), self.against):
            head.addWidget(one)
        head.addStretch(1)
        under = QHBoxLayout()
        under.addWidget(self.sentence, 1)
        under.addWidget(self.press)
        foot = QHBoxLayout()
        foot.addWidget(self.here, 0, Qt.AlignmentFlag.AlignTop)
        foot.addWidget(self.view, 1)
        page = QVBoxLayout(self)
        page.setContentsMargins(14, 10, 12, 8)
        page.setSpacing(4)
        page.addLayout(head)
        page.addLayout(under)
        page.addWidget(self.bands, 20)
        page.addWidget(self.map, 20)
        page.addWidget(self.others)
        page.addLayout(foot, 1)

    def _field(self, name: str) -> QLineEdit:
        field = QLineEdit()
        field.setAccessibleName(f"{name}, of the range")
        field.setFixedWidth(78)
        field.setAlignment(Qt.AlignmentFlag.AlignRight)
        field.editingFinished.connect(self._typed)
        return field

    # ---- what others tell it

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        sheet = "QComboBox { font-size: 12pt; font-weight: bold; } QLineEdit { font-size: 11pt; }"
        wear(self, f"{sheet} QComboBox#against {{ font-size: 11pt; font-weight: normal; }}")
        self.bands.show_theme(theme)
        self.map.show_theme(theme)
        self._show_here()

    def vary(self, path: str) -> None:
        """Vary another entry, over the range that it had when it was varied before."""
        self._over = self._as_kept(next(one for one in self._all if one.path == path))
        if self._up is not None and self._up.path == path:
            self._up = None
        self._at = self._over.now
        self._follow()

    def vary_lift(self) -> None:
        """Vary the driven axle's lift alone, as at first."""
        self._over = self._up = self.over_two = None
        self._follow()

    def vary_against(self, path: str | None) -> None:
        """Vary a second entry against the first, upward on a map; None varies the first alone."""
        self._up = None if path is None else self._as_kept(next(one for one in self._all if one.path == path))
        self._up_at = 0.0 if self._up is None else self._up.now
        self.over_two = None
        self._follow()

    def _as_kept(self, one: Varied) -> Varied:
        """An entry with the range that was typed for it, if any was."""
        if one.path not in self._kept:
            return one
        first, last = self._kept[one.path]
        return replace(one, first=first, last=last)

    def go_to(self, value: float, up: float | None = None) -> None:
        """Look at another value, or at another pair, as near as can be set."""
        self._at = self._snapped(self._over, value)
        if up is not None:
            self._up_at = self._snapped(self._up, up)
        self._show_here()

    def set_value(self) -> None:
        """Make the build one with this value, or with both: one step, which undo takes back."""
        over = self._over
        if over is None:
            return
        said = self._said()
        said = small(said)
        try:
            done = self._document.apply(self._changes(), said)
        except ValidationError as error:
            self.told.emit(first_complaint(error, self._document.build.display).sentence)
            return
        self.told.emit(f"Set: {said}." if done else f"It is so already: {said}.")

    def _changes(self) -> dict[str, float]:
        """What is chosen, by its paths."""
        changes = {} if self._over is None else {self._over.path: self._at}
        return changes if self._up is None else {**changes, self._up.path: self._up_at}

    def _said(self) -> str:
        """What is chosen, in words."""
        display = self._document.shown.build.display
        chosen = ((self._over, self._at), (self._up, self._up_at))
        said = ", ".join(one.chosen(at, display) for one, at in chosen if one is not None)
        return capital(said)

    def focus(self) -> None:
        """Put the keyboard on the bands."""
        (self.bands if self._up is None else self.map).setFocus(Qt.FocusReason.ShortcutFocusReason)

    # ---- working it out

    def _working(self) -> Iterator[Range | Map] | None:
        build = self._document.shown.build
        self._all = varied(build, self._document.shown.solution)
        path = self._over.path if self._over is not None else ""
        over = next((one for one in self._all if one.path == path), self._all[0] if self._all else None)
        if over is None:
            self._over = self._up = None
            return None
        if over.path != path:
            self._at = over.now
        up = next((one for one in self._all if self._up is not None and one.path == self._up.path), None)
        self._over, self._up = self._as_kept(over), None if up is None else self._as_kept(up)
        self._at, self._up_at = self._snapped(self._over, self._at), self._snapped(self._up, self._up_at)
        self._list()
        self.bands.setVisible(self._up is None)
        self.map.setVisible(self._up is not None)
        self._show_here()
        ends = self._over.path, self._over.first, self._over.last
        if self._up is None:
            return in_turns(build, *ends)
        return map_in_turns(build, ends, (self._up.path, self._up.first, self._up.last))

    def _show_found(self, found: Range | Map) -> None:
        over = self._over
        if over is None:
            return
        display = self._document.shown.build.display
        if isinstance(found, Map):
            self._show_map(found, over, display)
            return
        self.range = found
        self.bands.show_range(found, over, display, capital(whole_name(self._document.shown.build)))
        self.sentence.setText(_sentence(found, over, self._document.shown.build))
        set_tip(self.bands, found.says)
        self._share_out()

    def _ended(self) -> None:
        if self._up is not None or self.range is None:
            return
        wants = wants_words(self._document.shown.build, self.range)
        if wants and any(one.verdict == "unknown" for one in self.range.whole):
            self.sentence.setText(f"{self.sentence.text()} {wants}")
        if self.range.says or wants:
            self.told.emit(self.range.says or wants)

    def _show_map(self, found: Map, over: Varied, display: Display) -> None:
        if self._up is None:
            return
        self.over_two = found
        self.map.show_map(found, over, self._up, display)
        self.sentence.setText(self._map_sentence())
        words = (("clear", "hollow"), ("caution", "hatched"), ("hold", "filled"), ("unknown", "empty, not judged"))
        held = {WORDS[code] for code in np.unique(found.codes)}
        self.others.setText(" · ".join(f"{how}: {word}" for word, how in words if word in held))

    def _map_sentence(self) -> str:
        decides = self.map.decides(self._at, self._up_at)
        says = f"{self._said()}: {f'{decides} decides' if decides else 'clear'}."
        return of_shaft(self._document.shown.build, says)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the side view its room only where the bands have theirs."""
        super().resizeEvent(event)
        self._share_out()

    def _share_out(self) -> None:
        """Leave the side view its room only where all bands have theirs."""
        rows = 0 if self.range is None or self._up is not None else len(self.range.bands)
        self.view.setVisible(self.height() > max(_ROOMY, _AROUND + _SILHOUETTE + least_high(rows)))
        self._count()

    def _count(self) -> None:
        """What the bands leave out."""
        found = self.range
        if found is None or self._up is not None:
            return
        counts = (
            (self.bands.hidden, "without room here"),
            (found.clear, "clear throughout"),
            (found.partly, "clear as far as they can be judged"),
            (found.unknown, "not judged"),
        )
        self.others.setText(" · ".join(f"{count} more {words}" for count, words in counts if count))

    def _snapped(self, over: Varied | None, value: float) -> float:
        """A value within an entry's range, as it can be set; the ends are taken as they are."""
        if over is None:
            return value
        step = over.step(self._document.shown.build.display)
        value = round(value / step) * step
        return min(max(value, over.first), over.last) + 0.0

    # ---- showing it

    def _list(self) -> None:
        """The entries to choose from, and the ends of the range."""
        over, display = self._over, self._document.shown.build.display
        assert over is not None  # noqa: S101  listed once there is one
        names = [one.name for one in self._all]
        if [self.entry.itemText(place) for place in range(self.entry.count())] != names:
            self.entry.clear()
            self.entry.addItems(names)
        self.entry.setCurrentIndex([one.path for one in self._all].index(over.path))
        others = [one for one in self._all if one.path != over.path]
        if [self.against.itemData(place) for place in range(1, self.against.count())] != [one.path for one in others]:
            self.against.clear()
            self.against.addItem("nothing else", None)
            for one in others:
                self.against.addItem(one.name, one.path)
        self.against.setCurrentIndex(0 if self._up is None else self.against.findData(self._up.path))
        for box, points, bold in ((self.entry, 12, True), (self.against, 11, False)):
            wide = words_wide(box.currentText(), points, bold=bold)
            box.setFixedWidth(round(min(wide + 34.0, _MOST_WIDE)))
        for field, value in ((self.first, over.first), (self.last, over.last)):
            if not field.isModified():
                sign = shown_unit(over.kind, display).symbol
                text = edit_text(value, over.kind, display)
                field.setText(f"{text}{sign}" if sign == "°" else f"{text} {sign}".strip())
                field.setCursorPosition(0)

    def _typed(self) -> None:
        """Take another range, or say what is wrong with it."""
        over, build = self._over, self._document.shown.build
        if over is None or not (self.first.isModified() or self.last.isModified()):
            return
        try:
            first, last = (parse(field.text(), over.kind, build.display) for field in (self.first, self.last))
            for end in (first, last):
                edited(build, {over.path: end})
        except ReadingError as error:
            self.told.emit(str(error))
            return
        except ValidationError as error:
            self.told.emit(first_complaint(error, build.display).sentence)
            return
        if first >= last:
            self.told.emit("The range must go from a lower to a higher value.")
            return
        self._kept[over.path] = first, last
        self.first.setModified(False)
        self.last.setModified(False)
        self.begin()

    def _show_here(self) -> None:
        """What the build is at the value chosen: its findings beside the bands, its counts, its side view."""
        over = self._over
        if over is None or not self.isVisible():
            return
        build = self._document.shown.build
        said = over.said(self._at, build.display)
        if self._up is not None:
            said = f"{said}, {self._up.said(self._up_at, build.display)}"
        self.press.setText(
            f"Set {small(over.name)} to {said}" if len(over.name) < 24 and self._up is None else f"Set to {said}"
        )
        here, solution = self._answer(build)
        if here is None or solution is None:
            self.here.setText(f"At {said}: no build is possible.")
            self.view.show_subject(None, self._theme)
            return
        told: dict[tuple[str, str], tuple[Verdict, str]] = {
            (one.id, one.part): (one.verdict, _value(one, here)) for one in solution.findings
        }
        self.bands.show_value(self._at, solution.verdict, told)
        if self._up is not None:
            self.map.show_pair(self._at, self._up_at, solution.verdict)
            self.sentence.setText(self._map_sentence())
        counts = [
            f"{VERDICT_SIGNS[verdict]} {sum(one.verdict == verdict for one in solution.findings)} {verdict}"
            for verdict in ("hold", "caution")
            if any(one.verdict == verdict for one in solution.findings)
        ]
        other = other_words(build, self._changes())
        lines = [f"At {said}", *(counts or [f"{solution.verdict}"]), *_angles(solution), *([other] if other else [])]
        self.here.setText("\n".join(lines))
        self.view.show_subject(Subject(here, solution, solution), self._theme)

    def _answer(self, build: Build) -> tuple[Build, Solution] | tuple[None, None]:
        try:
            here = edited(build, self._changes())
        except (ValidationError, KeyError):
            return None, None
        return here, solved(Work(here), with_ways=False)


def _value(finding: Finding, build: Build) -> str:
    """A finding's value with its limit, shortly."""
    if finding.verdict == "unknown":
        return "not judged"
    # In which state it is worst the findings tell; here is no room for it.
    return value_words(replace(finding, state=None), build.display, reach_deg(finding.part, build))


def _angles(solution: Solution) -> list[str]:
    """Joint angles and the shaft's slope, for those that are known."""
    joints = [degrees(one.operating_deg) for one in solution.joints if one.operating_deg is not None]
    lines = [f"joints {' / '.join(joints)}"] if joints else []
    if solution.angles.shaft_slope_deg is not None:
        lines.append(f"shaft {degrees(abs(solution.angles.shaft_slope_deg))}")
    return lines


def _sentence(found: Range, over: Varied, build: Build) -> str:
    """From where to where the whole build is what, in one line."""
    parts = []
    for one in found.whole:
        word = one.verdict or "not judged"
        end = over.said(one.last, build.display)
        reach = (
            "all along"
            if len(found.whole) == 1
            else f"at {end} alone"
            if over.said(one.first, build.display) == end
            else f"to {end}"
        )
        parts.append(f"{word} {reach}" + (f": {one.decides} decides" if one.verdict == "hold" else ""))
    if len(parts) > 4:
        parts = [*parts[:4], "…"]
    text = "; then ".join(parts)
    return of_shaft(build, f"{capital(text)}.")
