"""One section of the measurements: its heading opens and closes it, its rows are made when first opened."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.drawing.palette import LIGHT, Theme
from app.measuring.entries import Entry, Group
from app.measuring.sections import (
    AT_WILL,
    KINDS,
    LISTS,
    Heading,
    contents,
    flat,
    is_begun,
    kind_of,
    sections_behind,
    switched,
)
from app.window.form.choice_rows import ChoiceRow, KindRow
from app.window.form.heading_button import HeadingButton
from app.window.form.page_row import PageRow
from app.window.form.row_paper import RowPaper
from app.window.form.rows import GUTTER, EntryRow, Hands
from app.window.form.typed_rows import NumberRow, PointRow, RatiosRow, TextRow
from app.window.plain import Label
from geometry.document import Build, value_at
from geometry.words.wording import small


class SectionBox(QWidget):
    """A section: heading and body. The body is made when first opened, and anew when the build changes shape there.

    `built` says that its rows are new, `opened` that it opened or closed, `added` the path of what was just added,
    `tube_wanted` that a tube is to be chosen.
    """

    built = Signal()
    opened = Signal(bool)
    added = Signal(str)
    tube_wanted = Signal()

    def __init__(self, heading: Heading, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.heading = heading
        self._hands = hands
        self._build = Build()
        self._counted = False
        self._sections = ("display", *sections_behind(heading.key))
        self._theme = LIGHT
        self._wanted: Mapping[str, str] = {}
        self._made_for: object = None
        self._rows: list[EntryRow] = []
        self._marks: dict[str, QLabel] = {}
        self.adder: QPushButton | None = None
        self.button = HeadingButton(heading.title)
        self.button.toggled.connect(self._toggle)
        self._body = QWidget()
        self.paper = RowPaper()
        self.paper.hide()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.button)
        self._column.addWidget(self.paper, 1)

    @property
    def rows(self) -> list[EntryRow]:
        """Rows that are made, in the order of measuring."""
        return self._rows

    @property
    def is_open(self) -> bool:
        """Whether its rows are shown."""
        return self.button.isChecked()

    def set_open(self, *, opened: bool) -> None:
        """Open or close it."""
        self.button.setChecked(opened)

    def row_for(self, path: str) -> EntryRow | None:
        """Row of an entry, or of the first entry below a path; None where it has none."""
        self._make()
        exact = next((row for row in self._rows if row.entry.path == path), None)
        return exact or next((row for row in self._rows if row.entry.path.startswith(f"{path}.")), None)

    def group_label(self, path: str) -> QLabel | None:
        """Heading of a group of entries within the section."""
        return self._marks.get(path)

    def show_build(self, build: Build, wanted: Mapping[str, str]) -> None:
        """Bring heading and rows up to date; `wanted` gives the findings that want an entry, by its path."""
        before, same_wants = self._build, self._counted and wanted == self._wanted
        self._build, self._wanted = build, wanted
        if same_wants and all(getattr(before, name) is getattr(build, name) for name in self._sections):
            return
        self._counted = True
        entries = flat(contents(build, self.heading.key))
        counted = [entry for entry in entries if entry.optional and entry.kind in {"number", "point", "ratios"}]
        filled = sum(value_at(build, entry.path) is not None for entry in counted)
        missing = any(entry.path in wanted for entry in entries)
        free = self.heading.key == "plan" or (self.heading.key in AT_WILL and not is_begun(build, self.heading.key))
        self.button.show_state(filled, len(counted), wanted=missing, free=free)
        if self._made_for is None:
            return
        if self._made_for != self._shape():
            self._make()
        else:
            self._refresh()

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self.button.show_theme(theme)
        for row in self._rows:
            row.show_theme(theme)

    def pending(self) -> Iterator[EntryRow]:
        """Rows that hold typing which the build does not."""
        return (row for row in self._rows if row.pending)

    def _shape(self) -> object:
        """What decides which rows there are."""
        return tuple(entry.path for entry in flat(contents(self._build, self.heading.key))), self._kind()

    def _kind(self) -> str:
        return kind_of(self._build, self.heading.key) if self.heading.key in KINDS else ""

    def _toggle(self, opened: bool) -> None:  # noqa: FBT001  (Qt's own signal)
        if opened:
            self._make()
        elif self.holds_cursor():  # which would go wherever comes next
            self.button.setFocus(Qt.FocusReason.OtherFocusReason)
        self.paper.setVisible(opened)
        self.opened.emit(opened)

    def holds_cursor(self) -> bool:
        """Whether the cursor is in its rows."""
        focus = self.window().focusWidget()
        return focus is not None and self.paper.isAncestorOf(focus)

    def stops(self) -> list[QWidget]:
        """What Tab reaches in the rows, in order; nothing while the section is closed."""
        if not self.is_open:
            return []
        return [
            one
            for one in self._body.findChildren(QWidget)
            if one.focusPolicy() & Qt.FocusPolicy.TabFocus and one.isEnabled() and one.isVisibleTo(self._body)
        ]

    def _make(self) -> None:
        shape = self._shape()
        if self._made_for == shape:
            return
        self._made_for = shape
        for row in self._rows:
            row.drop()
        held = next((row.entry.path for row in self._rows if row.isAncestorOf(self.window().focusWidget() or self)), "")
        if self.holds_cursor():
            self.button.setFocus(Qt.FocusReason.OtherFocusReason)
        self._rows, self._marks = [], {}
        self._body = QWidget()
        column = QVBoxLayout(self._body)
        column.setContentsMargins(0, 0, 2, 6)
        column.setSpacing(3)
        lead: QWidget | None = None
        if self.heading.lead:
            lead = Label(self.heading.lead)
            lead.setObjectName("axis")
            lead.setWordWrap(True)
            lead.setContentsMargins(GUTTER, 0, 0, 4)
            column.addWidget(lead)
        if self.heading.key in KINDS:
            self._add_row(column, self._kind_row())
        for item in contents(self._build, self.heading.key):
            if isinstance(item, Group):
                self._add_group(column, item)
            else:
                self._add_row(column, self._row(item))
        if self.heading.key in LISTS:
            self._add_adder(column)
        self.paper.set_page(self._body, lead)
        self._order_tabs()
        self._refresh()
        self.built.emit()
        chosen = next((row for row in self._rows if isinstance(row, ChoiceRow) and row.entry.path == held), None)
        if chosen is not None:  # the cursor stays at the word that changed the rows
            chosen.focus_first()

    def _order_tabs(self) -> None:
        """Let the rows come after their heading, as what is made later would come last."""
        before: QWidget = self.button
        for one in self._body.findChildren(QWidget):
            if one.focusPolicy() & Qt.FocusPolicy.TabFocus and one.window() is self.window():
                self.setTabOrder(before, one)
                before = one

    def _refresh(self) -> None:
        for row in self._rows:
            row.show_build(self._build)
            row.show_wanted(self._wanted.get(row.entry.path, ""))

    def _add_row(self, column: QVBoxLayout, row: EntryRow) -> None:
        row.show_theme(self._theme)
        row.grid.addWidget(row.complaint, row.grid.rowCount(), 0, 1, row.grid.columnCount())
        self._rows.append(row)
        column.addWidget(row)

    def _add_group(self, column: QVBoxLayout, group: Group) -> None:
        line = QHBoxLayout()
        line.setContentsMargins(GUTTER, 10, 0, 0)
        label = Label(group.title)
        label.setObjectName("heading")
        label.setProperty("leads", self.heading.key not in LISTS)
        line.addWidget(label, 1)
        self._marks[group.path] = label
        if self.heading.key in LISTS:
            remove = QPushButton("Remove")
            remove.setObjectName("quiet")
            remove.setAccessibleName(f"Remove {small(group.title)}")
            remove.clicked.connect(lambda: self._hands.take({group.path: None}, f"removing {small(group.title)}"))
            line.addWidget(remove)
        elif group.path.startswith("shaft.") and group.path.endswith("tube"):
            choose = QPushButton("Choose…")
            choose.setObjectName("quiet")
            choose.setAccessibleName(f"Choose the {small(group.title)}")
            choose.clicked.connect(self.tube_wanted)
            line.addWidget(choose)
        column.addLayout(line)
        for entry in group.entries:
            row = self._row(entry)
            row.group = group.title
            self._add_row(column, row)

    def _row(self, entry: Entry) -> EntryRow:
        match entry.kind:
            case "number":
                return NumberRow(entry, self._hands)
            case "point":
                return PointRow(entry, self._hands)
            case "choice":
                return ChoiceRow(entry, self._hands)
            case "ratios":
                return RatiosRow(entry, self._hands)
            case "text":
                return TextRow(entry, self._hands)
            case "notes" | "outline":
                return PageRow(entry, self._hands)

    def _kind_row(self) -> EntryRow:
        key = self.heading.key
        kinds = {kind: words for kind, (words, _) in KINDS[key].items()}
        entry = Entry(
            f"{key}.kind", "Kind", "Changing the kind keeps what both kinds have; undo brings the rest back.", "choice"
        )

        def change(kind: str) -> None:
            self._hands.hand_in()  # before the section is copied
            held = self.holds_cursor()
            self._hands.take(switched(self._build, key, kind), f"{small(self.heading.title)}: {kinds[kind]}")
            if held:  # the rows are new
                self._rows[0].focus_first()

        return KindRow(entry, kinds, self._hands, change)

    def _add_by_size(self, count: int) -> None:
        """Ask for a crossmember, pipe or floor by its size, and add it."""
        from app.window.form.by_size import BySize

        self._hands.hand_in()
        asked = BySize(self, self._build.display)
        if asked.exec() and asked.made is not None:
            self._add(count, asked.made, f"adding a {asked.made['name']}")
        asked.deleteLater()

    def _add(self, count: int, thing: Mapping[str, object], text: str) -> str | None:
        """Add a thing to the list, and say where it is."""
        path = f"{self.heading.key}.{count}"
        sentence = self._hands.take({path: thing}, text)
        if sentence is None:
            self.added.emit(path)
        return sentence

    def _add_adder(self, column: QVBoxLayout) -> None:
        key = self.heading.key
        word = LISTS[key][0]
        count = len(getattr(self._build, key))
        if key == "obstacles":
            entry = Entry(
                f"obstacles.{count}.outline_mm",
                "Outline of another obstacle",
                "Corners in order, at least three, one on each line: rearward and up. Taken when you leave the field.",
                "outline",
                "mm",
            )

            def whole(changes: Mapping[str, object]) -> Mapping[str, object]:
                return {f"obstacles.{count}": {"outline_mm": changes[entry.path]}}

            def take(changes: Mapping[str, object], text: str) -> str | None:
                del text
                return self._hands.take(whole(changes), "adding an obstacle")

            def preview(changes: Mapping[str, object] | None) -> None:
                self._hands.preview(None if changes is None else whole(changes))

            self._add_row(column, PageRow(entry, replace(self._hands, take=take, preview=preview)))
            by_size = QPushButton("Add one by its size…")
            by_size.setObjectName("quiet")
            by_size.clicked.connect(lambda: self._add_by_size(count))
            line = QHBoxLayout()
            line.setContentsMargins(GUTTER - 2, 4, 0, 0)
            line.addWidget(by_size)
            line.addStretch(1)
            column.addLayout(line)
            return
        add = self.adder = QPushButton(f"Add a {word}")
        add.setObjectName("quiet")
        add.clicked.connect(lambda: self._add(count, {}, f"adding a {word}"))
        line = QHBoxLayout()
        line.setContentsMargins(GUTTER - 2, 4, 0, 0)
        line.addWidget(add)
        line.addStretch(1)
        column.addLayout(line)
