"""The measurements: sections in the order of measuring, and a line that says where the gauge or tape goes."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QFrame, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from app.drawing.palette import LIGHT, Theme
from app.measuring.entries import Entry
from app.measuring.sections import AT_WILL, CALLED, HEADINGS, HURRY, PARTS, SectionKey, is_begun, part_of, section_of
from app.measuring.walk import number_and_line
from app.measuring.wanted import next_entry, next_words, wanted_by
from app.window.document import Document
from app.window.form.field_sentence import against
from app.window.form.heading_button import LOW, MIDDLE, TALL, HeadingButton
from app.window.form.measured_head import HEIGHT, MeasuredHead
from app.window.form.rows import EntryRow, Hands
from app.window.form.section_box import SectionBox
from app.window.form.where_picture import WherePicture
from app.window.plain import Label, set_tip
from app.window.selection import Selection
from geometry.document import is_front_axle
from geometry.words.wording import small

_FOOT_PX: Final = 114
_LOW_PX: Final = 820
_TALL_PX: Final = 700
_ROWS_PX: Final = 124  # four rows
_MANY: Final = 24  # letters of a heading
_LEAST: Final = 4  # letters of a name that is cut
_SHORT: Final = 104
_ENOUGH: Final = 40
_BRACKETS: Final = re.compile(r" ?\([^)]*\)")
_SENTENCES: Final = re.compile(r"\. (?=[A-Z])")  # not behind "e.g."
_NO_HELP: Final = "Put the cursor into a field: here stands where the gauge or the tape goes."


class MeasurePane(QWidget):
    """All entries of the build as a form; `told` hands on a sentence for the foot, `tube_wanted` asks for the tubes."""

    told = Signal(str)
    tube_wanted = Signal()

    def __init__(self, document: Document, selection: Selection, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._theme = LIGHT
        self._last = ""
        self._opened_for: SectionKey | None = None
        hands = Hands(self.take, self._focused, document.preview, self.told.emit, document.hand_in)
        self.boxes: dict[SectionKey, SectionBox] = {}
        self.head = MeasuredHead(document)
        column = QVBoxLayout()
        column.setContentsMargins(0, 4, 0, 4)
        column.setSpacing(0)
        self._headings = column
        for heading in HEADINGS:
            box = SectionBox(heading, hands)
            box.button.focused.connect(lambda part=heading.part: self._choose_part(part))
            box.button.clicked.connect(lambda _=False, part=heading.part: self._choose_part(part))
            box.built.connect(lambda box=box: self._wire(box))
            box.opened.connect(lambda opened, box=box: self._opened(box, opened=opened))
            box.tube_wanted.connect(self.tube_wanted)
            box.added.connect(lambda path: self.bring_forward(path, focus=True))
            self.boxes[heading.key] = box
            column.addWidget(box)
        self._spread = False
        self.more = HeadingButton("")
        self.more.setCheckable(False)
        self.more.be_quiet()
        self.more.clicked.connect(self._spread_out)
        column.addWidget(self.more)
        column.addStretch(1)
        foot = self._foot()
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(self.head)
        outer.addWidget(_line())
        outer.addLayout(column, 1)
        outer.addWidget(_line())
        outer.addWidget(foot)
        for key, way in (("Ctrl+Down", 1), ("Ctrl+Up", -1)):
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(lambda way=way: self._go_to_section(way))
        document.changed.connect(self._show)
        document.settling.connect(self._settle)
        document.opened.connect(self._begin)
        selection.changed.connect(self._follow)
        self._show()
        self._begin()

    def _begin(self) -> None:
        """Open the section where the worst finding is decided; with nothing wrong, the first that lacks something."""
        build, solution = self._document.build, self._document.solution
        self._last = ""
        worst = next((one for one in solution.findings if one.bad and one.entry), None)
        lacking: list[SectionKey] = [key for key, box in self.boxes.items() if box.button.lacking]
        key, path = (*lacking, "hurry")[0], ""
        if worst is not None:
            key, path = section_of(build, worst.entry)
        self._opened_for = None
        self.boxes[key].set_open(opened=True)
        row = self.boxes[key].row_for(path) if path else None
        if row is not None:
            self._scroll_to(row)
        self._show_rest()

    def _foot(self) -> QWidget:
        """Where the gauge or tape goes, as a picture and in words."""
        self.picture = WherePicture()
        self._help = Label(_NO_HELP)
        self._help.setObjectName("small")
        self._help.setWordWrap(True)
        self._help.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._help.setContentsMargins(14, 0, 10, 0)
        foot = QWidget()
        foot.setFixedHeight(_FOOT_PX)
        under = QVBoxLayout(foot)
        under.setContentsMargins(0, 1, 0, 1)
        under.setSpacing(0)
        under.addWidget(self.picture)
        under.addWidget(self._help, 1)
        return foot

    def _opened(self, box: SectionBox, *, opened: bool) -> None:
        """One section is open at a time; its body has all the room that the headings leave."""
        if opened:
            for other in self.boxes.values():
                if other is not box and other.is_open and not any(other.pending()):
                    other.set_open(opened=False)
        for one in self.boxes.values():
            high = QSizePolicy.Policy.Expanding if one.is_open else QSizePolicy.Policy.Fixed
            one.setSizePolicy(QSizePolicy.Policy.Preferred, high)
            self._headings.setStretchFactor(one, 1 if one.is_open else 0)
        last = self._headings.count() - 1
        self._headings.setStretch(last, 0 if any(one.is_open for one in self.boxes.values()) else 1)
        self._gather()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Gather the empty sections where the window is low."""
        super().resizeEvent(event)
        self._gather()

    def _gather(self) -> None:
        """In a low window the sections that hold nothing share one heading, which shows them when it is pressed."""
        low = self.height() < _LOW_PX and not self._spread
        closed = [key for key in AT_WILL if not self.boxes[key].is_open]
        empty = [key for key in closed if not is_begun(self._document.shown.build, key)]
        gathered = [key for key in empty if key not in CALLED]
        room = self.height() - HEIGHT - _FOOT_PX - 10
        others = len(self.boxes) - len(empty) + (low and bool(gathered))
        if low and room - others * LOW < _ROWS_PX:
            # Fewer than four rows would have room: what is begun shares the heading too.
            gathered = [key for key in closed if key not in CALLED]
            empty = [*empty, *gathered]
        hide = low and len(gathered) > 1
        for key in AT_WILL:
            self.boxes[key].setVisible(not (key in empty and (hide or key in CALLED)))
        self.more.setVisible(hide)
        names = [self.boxes[key].heading.title for key in gathered]
        whole = ", ".join([*names[:1], *[small(name) for name in names[1:]]])
        bare = ", empty" if all(not is_begun(self._document.shown.build, key) for key in gathered) else ""
        self.more.setText(whole if len(whole) <= _MANY else self._short(names[0], f" and {len(names) - 1} more", bare))
        set_tip(self.more, whole)
        shown = sum(not box.isHidden() for box in self.boxes.values()) + hide
        likely = TALL if self.height() >= _TALL_PX else MIDDLE
        high = likely if room - shown * likely >= _ROWS_PX else LOW
        for button in (self.more, *(box.button for box in self.boxes.values())):
            button.setFixedHeight(high)

    def _short(self, name: str, counted: str, bare: str) -> str:
        """A name, how many more, and that they are bare; in a narrow window less of the name, never of the count."""
        names = [name, *(f"{name[:letters].rstrip()}…" for letters in range(len(name) - 1, _LEAST - 1, -1))]
        told = [f"{one}{counted}{end}" for end in (bare, "") for one in names]
        return next((one for one in told if self.more.fits(one, self.width())), told[-1])

    def _spread_out(self) -> None:
        self._spread = True
        self._gather()
        first = next((key for key in AT_WILL if not self.boxes[key].is_open), None)
        if first is not None:
            self.boxes[first].button.setFocus(Qt.FocusReason.OtherFocusReason)

    @property
    def help_text(self) -> str:
        """The words at the foot, whole."""
        return self._help.accessibleName() or self._help.text()

    def take(self, changes: Mapping[str, object], text: str) -> str | None:
        """Hand edits to the document; return the sentence against them, or None when they were taken."""
        return against(self._document, changes, text)

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
            if focus and box.adder is not None:  # nothing is there yet
                box.adder.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        self._scroll_to(row)
        if focus:
            row.focus_first()

    def measure_next(self) -> str:
        """Go to the first entry that a finding wants, in the order of measuring; its name, or nothing."""
        entry = next_entry(self._document.shown.build, self._document.shown.solution)
        if entry is None:
            return ""
        words = next_words(self._document.shown.build, self._document.shown.solution)
        self.bring_forward(entry.path, focus=True)
        return words

    def focus_last(self) -> None:
        """Put the cursor where it was last, or into the first field of the section that is open."""
        box = next((one for one in self.boxes.values() if one.is_open), None)
        row = next((one for one in self._all_rows() if one.entry.path == self._last), None)
        if row is not None and row.isVisible():
            self._put(row.editors()[0], Qt.FocusReason.ShortcutFocusReason)
        elif row is not None:
            self.bring_forward(self._last, focus=True)
        elif box is not None:
            self._put(next(iter(box.stops()), box.button), Qt.FocusReason.ShortcutFocusReason)
        else:
            self.bring_forward(HURRY[0].path, focus=True)

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self.head.show_theme(theme)
        self.more.show_theme(theme)
        self.picture.show_theme(theme)
        for box in self.boxes.values():
            box.show_theme(theme)

    def _all_rows(self) -> list[EntryRow]:
        return [row for box in self.boxes.values() for row in box.rows]

    def _show(self) -> None:
        shown = self._document.shown
        wanted = wanted_by(shown.build, shown.solution)
        for box in self.boxes.values():
            box.show_build(self._document.build, wanted)
        if not self._last:
            self._show_rest()

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

    def _wire(self, box: SectionBox) -> None:
        for row in box.rows:
            row.settled.connect(self._go_on)
            row.complained.connect(lambda row=row: self._scroll_to(row))

    # ---- from field to field

    def focusNextPrevChild(self, onward: bool) -> bool:  # noqa: FBT001  (Qt's own)
        """Tab goes from field to field, and from a section's last on into the next one; back from its first to its
        heading, and from heading to heading.
        """
        if self._hand_in_here():
            return True
        focus, boxes = self.window().focusWidget(), self._boxes_in_sight()
        here = next((place for place, box in enumerate(boxes) if focus is not None and box.isAncestorOf(focus)), None)
        if here is None or focus is None:
            return super().focusNextPrevChild(onward)
        box, after = boxes[here], boxes[here + 1] if here + 1 < len(boxes) else None
        chain = [box.button, *box.stops()]
        place = (chain.index(focus) if focus in chain else 0) + (1 if onward else -1)
        follows: QWidget | None
        if 0 <= place < len(chain):
            follows = chain[place]
        elif not onward:
            follows = [boxes[here - 1].button, *boxes[here - 1].stops()][-1] if here else None
        elif focus is box.button:  # closed, or with nothing in it
            follows = None if after is None else after.button
        else:
            follows = self._into(after)
        reason = Qt.FocusReason.TabFocusReason if onward else Qt.FocusReason.BacktabFocusReason
        if follows is not None:
            self._put(follows, reason)
        elif onward and self.more.isVisible():
            self.more.setFocus(reason)
        else:
            return super().focusNextPrevChild(onward)
        return True

    def _go_on(self) -> None:
        """After Enter the cursor goes to the next field, and from a section's last on into the next one."""
        focus = self.window().focusWidget()
        box = next((one for one in self.boxes.values() if one.holds_cursor()), None)
        if box is None or focus is None:
            return
        stops = box.stops()
        rest = stops[stops.index(focus) + 1 :] if focus in stops else []
        fields = [one for one in rest if not isinstance(one, QPushButton)]
        after = [*self._boxes_in_sight(), None]
        follows = fields[0] if fields else self._into(after[after.index(box) + 1])
        if follows is not None:
            self._put(follows, Qt.FocusReason.TabFocusReason)

    def _go_to_section(self, way: int) -> None:
        """Into the first field of the next section, or the one before."""
        if self._hand_in_here():
            return
        boxes, key = self._boxes_in_sight(), self.section_with_cursor()
        place = next((place for place, box in enumerate(boxes) if box.heading.key == key), -1) + way
        if 0 <= place < len(boxes):
            self._put(self._into(boxes[place]) or boxes[place].button, Qt.FocusReason.TabFocusReason)

    def _boxes_in_sight(self) -> list[SectionBox]:
        return [box for box in self.boxes.values() if not box.isHidden()]

    def _hand_in_here(self) -> bool:
        """Hand in what is typed where the cursor is, before it leaves; True where that made the rows anew, so that the
        cursor already went to what is new.
        """
        box = next((one for one in self.boxes.values() if one.holds_cursor()), None)
        focus = self.window().focusWidget()
        if box is None or focus is None:
            return False
        row = next((one for one in box.rows if one.isAncestorOf(focus)), None)
        if row is not None:
            row.commit()
        if row is None or row in box.rows:
            return False
        self.bring_forward(".".join(row.entry.path.split(".")[:2]), focus=True)
        return True

    def _into(self, box: SectionBox | None) -> QWidget | None:
        """First thing that takes the cursor in a section, which opens; its heading where it has none."""
        if box is None:
            return None
        self._opened_for = None
        box.set_open(opened=True)
        return next(iter(box.stops()), box.button)

    def _put(self, widget: QWidget, reason: Qt.FocusReason) -> None:
        """Put the cursor somewhere, in sight."""
        self._scroll_to(widget)
        widget.setFocus(reason)

    def _choose_part(self, part: str) -> None:
        self._selection.choose(self, part=part or None)

    def _focused(self, entry: Entry) -> None:
        self._last = entry.path
        self._opened_for = None  # where the person types stays open
        focus = self.window().focusWidget()
        row = next((one for one in self._all_rows() if focus is not None and one.isAncestorOf(focus)), None)
        self._show_help(entry, row.group if row is not None else "")
        if row is not None:
            self._scroll_to(row)
        self._selection.choose(self, part=part_of(entry.path) or None, entry=entry.path)

    def _follow(self, origin: object) -> None:
        part = self._selection.part
        place = PARTS.get(part or "")
        here = self.section_with_cursor() if origin is self else place[0] if place is not None else None
        for key, box in self.boxes.items():
            box.button.show_selected(selected=key == here)
        if origin is self:
            return
        if self._selection.entry:
            self.bring_forward(self._selection.entry)
        elif place is not None:
            self._bring_part(*place)

    def section_with_cursor(self) -> SectionKey | None:
        """Section in which the cursor is, on its heading or in its rows."""
        widget = self.window().focusWidget()
        return next((key for key, box in self.boxes.items() if widget is not None and box.isAncestorOf(widget)), None)

    def _bring_part(self, key: SectionKey, path: str) -> None:
        box = self._open_box(key)
        label = box.group_label(path)
        row = box.row_for(path)
        if label is not None:
            self._scroll_to(label)
        elif row is not None and path.count(".") >= 1:
            self._scroll_to(row)

    def _open_box(self, key: SectionKey) -> SectionBox:
        """Open a section for the selection; the one that was opened for the selection before closes again."""
        box, before = self.boxes[key], self._opened_for
        if before is not None and before != key:
            if self.section_with_cursor() != before and not any(self.boxes[before].pending()):
                self.boxes[before].set_open(opened=False)
            self._opened_for = None
        if not box.is_open:
            box.set_open(opened=True)
            self._opened_for = key
        return box

    def _scroll_to(self, widget: QWidget) -> None:
        box = next((one for one in self.boxes.values() if one.paper.isAncestorOf(widget)), None)
        if box is not None:
            box.paper.bring(widget)

    def _show_rest(self) -> None:
        """With the cursor in no field: what to measure next."""
        shown = self._document.shown
        entry, words = next_entry(shown.build, shown.solution), next_words(shown.build, shown.solution)
        self.picture.show_entry("", "text", ahead=False)
        self._help.setText(_NO_HELP if entry is None else f"Measure next: {words}. F4 goes there.")
        self._help.setAccessibleName("")
        set_tip(self._help, "" if entry is None else entry.help)

    def _show_help(self, entry: Entry, group: str) -> None:
        """Where the gauge or tape goes: a picture, and as much of its words as two lines hold; all of them as a tip.

        The group, whose heading may be out of sight, is said with them: whose torque limit it is.
        """
        build = self._document.shown.build
        self.picture.show_entry(entry.path, entry.kind, ahead=is_front_axle(build))
        whole = f"{entry.title}: {entry.help}" if entry.help else entry.title
        whole = f"{group}, {small(whole)}" if group else whole
        self._help.setText(f"{group}: {small(short_help(entry))}" if group else short_help(entry))
        self._help.setAccessibleName(whole)
        on_card = number_and_line(build, entry.path)
        set_tip(self._help, whole if on_card is None else f"{whole} Number {on_card[0]} on the measuring card.")


def short_help(entry: Entry) -> str:
    """An entry's help in about two lines: its first sentence without what stands in brackets, and of a long one what
    comes before its last mark. All of it is the tip.
    """
    first = _SENTENCES.split(_BRACKETS.sub("", entry.help), maxsplit=1)[0].rstrip(".")
    for mark in (";", ":", ","):
        while len(first) > _SHORT and first.rfind(mark) >= _ENOUGH:
            first = first[: first.rfind(mark)]
    return f"{first}." if first else entry.title


def _line() -> QFrame:
    line = QFrame()
    line.setObjectName("line")
    return line
