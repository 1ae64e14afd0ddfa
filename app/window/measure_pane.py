"""The measurements: sections in the order of measuring, and a line that says where the gauge or tape goes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from pydantic import ValidationError
from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QApplication, QFrame, QScrollArea, QVBoxLayout, QWidget

from app.drawing.palette import LIGHT, Theme
from app.window.document import Document
from app.window.entries import Entry
from app.window.field_sentence import sentence_for
from app.window.plain import Label
from app.window.rows import EntryRow, Hands
from app.window.section_box import SectionBox
from app.window.sections import HEADINGS, HURRY, PARTS, SectionKey, contents, flat, part_of, section_of
from app.window.selection import Selection

_HELP_HEIGHT: Final = 92
_NO_HELP: Final = "Put the cursor into a field: here stands where the gauge or the tape goes."


class MeasurePane(QWidget):
    """All entries of the build as a form; `told` hands on a sentence for the foot."""

    told = Signal(str)

    def __init__(self, document: Document, selection: Selection, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._theme = LIGHT
        self._last = ""
        self._opened_for: SectionKey | None = None
        hands = Hands(self.take, self._focused, self._preview, self.told.emit, document.hand_in)
        self.boxes: dict[SectionKey, SectionBox] = {}
        self._page = QWidget()
        column = QVBoxLayout(self._page)
        column.setContentsMargins(8, 8, 12, 24)
        column.setSpacing(2)
        for heading in HEADINGS:
            box = SectionBox(heading, hands)
            box.button.focused.connect(lambda part=heading.part: self._choose_part(part))
            box.button.clicked.connect(lambda _=False, part=heading.part: self._choose_part(part))
            box.built.connect(lambda box=box: self._wire(box))
            self.boxes[heading.key] = box
            column.addWidget(box)
        column.addStretch(1)
        self._scroll = QScrollArea()
        self._scroll.setWidget(self._page)
        self._scroll.setWidgetResizable(True)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.viewport().installEventFilter(self)
        self._help = Label(_NO_HELP)
        self._help.setObjectName("muted")
        self._help.setWordWrap(True)
        self._help.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._help.setContentsMargins(26, 8, 12, 8)
        self._help.setFixedHeight(_HELP_HEIGHT)
        line = QFrame()
        line.setObjectName("line")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(self._scroll, 1)
        outer.addWidget(line)
        outer.addWidget(self._help)
        document.changed.connect(self._show)
        document.settling.connect(self._settle)
        selection.changed.connect(self._follow)
        self.boxes["hurry"].set_open(opened=True)
        self._show()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the help the lines that it takes at the new width."""
        super().resizeEvent(event)
        self._fit_help()

    def _fit_help(self) -> None:
        self._help.setFixedHeight(max(_HELP_HEIGHT, self._help.heightForWidth(self.width())))

    @property
    def help_text(self) -> str:
        """The line at the foot."""
        return self._help.text()

    def take(self, changes: Mapping[str, object], text: str) -> str | None:
        """Hand edits to the document; return the sentence against them, or None when they were taken."""
        try:
            self._document.apply(changes, text)
        except ValidationError as error:
            return sentence_for(error, self._document.build.display)
        return None

    def pending(self) -> list[EntryRow]:
        """Rows that hold typing which the build does not."""
        return [row for row in self._all_rows() if row.pending]

    def row_for(self, path: str) -> EntryRow:
        """Row of an entry; its section is made if need be.

        Raises
        ------
        KeyError
            When the form has no such entry.
        """
        key, own = section_of(self._document.build, path)
        row = self.boxes[key].row_for(own)
        if row is None:
            raise KeyError(path)
        return row

    def bring_forward(self, path: str, *, focus: bool = False) -> None:
        """Open the section of an entry, scroll to it, and put the cursor there if asked."""
        key, own = section_of(self._document.build, path)
        box = self._open_box(key)
        row = box.row_for(own)
        if row is None:
            self._scroll_to(box)
            return
        if focus:
            row.focus_first()
        self._scroll_to(row)

    def measure_next(self) -> bool:
        """Go to the first entry that a finding wants, in the order of measuring; False where none is wanted."""
        wanted = self._wanted()
        for heading in HEADINGS:
            for entry in flat(contents(self._document.build, heading.key)):
                if entry.path in wanted:
                    self.bring_forward(entry.path, focus=True)
                    return True
        return False

    def focus_last(self) -> None:
        """Put the cursor where it was last, or into the first field."""
        row = next((one for one in self._all_rows() if one.entry.path == self._last and one.isVisible()), None)
        if row is None:
            self.bring_forward(HURRY[0].path, focus=True)
        else:
            row.focus_first()

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        for box in self.boxes.values():
            box.show_theme(theme)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep the page as wide as the pane."""
        if event.type() == QEvent.Type.Resize:
            self._page.setMaximumWidth(self._scroll.viewport().width())
        return super().eventFilter(watched, event)

    def _all_rows(self) -> list[EntryRow]:
        return [row for box in self.boxes.values() for row in box.rows]

    def _wanted(self) -> dict[str, str]:
        """Entries that unknown findings want, with the findings' titles."""
        wanted: dict[str, list[str]] = {}
        shown = self._document.shown
        for finding in shown.solution.findings:
            if finding.verdict == "unknown" and finding.entry:
                own = section_of(shown.build, finding.entry)[1]
                wanted.setdefault(own, []).append(finding.title)
        return {path: ", ".join(dict.fromkeys(titles)) for path, titles in wanted.items()}

    def _show(self) -> None:
        wanted = self._wanted()
        for box in self.boxes.values():
            box.show_build(self._document.build, wanted)

    def forget(self) -> None:
        """Drop typing that was not taken, as when it belonged to another build."""
        for row in self.pending():
            row.forget()

    def _settle(self, drop: bool) -> None:  # noqa: FBT001  (Qt's own signal)
        """Hand in what is typed in any field, before something else is done with the build, and drop what is left."""
        for row in self.pending():
            row.commit()
            if drop:
                row.drop()

    def _preview(self, changes: Mapping[str, object] | None) -> None:
        if changes is None:
            self._document.end_preview()
        else:
            self._document.preview(changes)

    def _wire(self, box: SectionBox) -> None:
        for row in box.rows:
            row.settled.connect(self.focusNextChild)  # after Enter the cursor goes to the next field
            row.complained.connect(lambda row=row: self._scroll_to(row))

    def _choose_part(self, part: str) -> None:
        self._selection.choose(self, part=part or None)

    def _focused(self, entry: Entry) -> None:
        self._last = entry.path
        self._opened_for = None  # where the person types stays open
        self._help.setText(f"{entry.title}: {entry.help}" if entry.help else entry.title)
        self._fit_help()
        self._selection.choose(self, part=part_of(entry.path) or None, entry=entry.path)

    def _follow(self, origin: object) -> None:
        part = self._selection.part
        place = PARTS.get(part or "")
        here = self._section_with_cursor() if origin is self else place[0] if place is not None else None
        for key, box in self.boxes.items():
            box.button.show_selected(selected=key == here)
        if origin is self:
            return
        if self._selection.entry:
            self.bring_forward(self._selection.entry)
        elif place is not None:
            self._bring_part(*place)

    def _section_with_cursor(self) -> SectionKey | None:
        widget = QApplication.focusWidget()
        return next((key for key, box in self.boxes.items() if widget is not None and box.isAncestorOf(widget)), None)

    def _bring_part(self, key: SectionKey, path: str) -> None:
        box = self._open_box(key)
        label = box.group_label(path)
        row = box.row_for(path)
        if label is not None:
            self._scroll_to(label)
        elif row is not None and path.count(".") >= 1:
            self._scroll_to(row)
        else:
            self._scroll_to(box)

    def _open_box(self, key: SectionKey) -> SectionBox:
        """Open a section for the selection; the one that was opened for the selection before closes again."""
        box, before = self.boxes[key], self._opened_for
        if before is not None and before != key:
            if self._section_with_cursor() != before and not any(self.boxes[before].pending()):
                self.boxes[before].set_open(opened=False)
            self._opened_for = None
        if not box.is_open:
            box.set_open(opened=True)
            self._opened_for = key
        return box

    def _scroll_to(self, widget: QWidget) -> None:
        # Rows that have just been made have no place yet: after this turn of the event loop they do.
        QTimer.singleShot(0, widget, lambda: self._scroll_now(widget))

    def _scroll_now(self, widget: QWidget) -> None:
        if not self._page.isAncestorOf(widget):
            return
        top = widget.mapTo(self._page, widget.rect().topLeft()).y()
        bar = self._scroll.verticalScrollBar()
        high = self._scroll.viewport().height()
        bottom = top + min(widget.height(), high - 16)
        if top < bar.value() or bottom > bar.value() + high:
            close = bar.value() <= top < bar.value() + high  # half in sight: no farther than is needed
            bar.setValue(max(0, bottom - high + 8 if close else top - 8))
