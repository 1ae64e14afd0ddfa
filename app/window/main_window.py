"""The window: measurements on the left, the drawing in the middle, findings on the right, a caution at the foot."""

from __future__ import annotations

from pathlib import Path
from typing import Final, Literal

from PySide6.QtCore import QByteArray, Qt
from PySide6.QtGui import QCloseEvent, QGuiApplication
from PySide6.QtWidgets import QApplication, QMainWindow, QSplitter, QVBoxLayout, QWidget

from app.complaints import one_line
from app.sketch.palette import Theme, ThemeName
from app.window import asking, exports, pages
from app.window.document import Document
from app.window.drawing_pane import DrawingPane
from app.window.filing import Filing
from app.window.findings_pane import FindingsPane
from app.window.foot import Foot
from app.window.measure_pane import MeasurePane
from app.window.menus import Menus
from app.window.recovery import Keeper, left_copies
from app.window.sections import HURRY
from app.window.selection import Selection
from app.window.settings import NAME, remember, settings, word
from app.window.theme import dress
from geometry.document import Build

_SIZE: Final = (1440, 900)


class MainWindow(QMainWindow):
    """Everything that is on the screen, round one document."""

    def __init__(self, build: Build | None = None, path: Path | None = None, as_read: str | None = None) -> None:
        super().__init__()
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, on=False)
        theme: ThemeName = "dark" if word("theme", _system_theme()) == "dark" else "light"
        self.theme: Theme = self._dress(theme)  # first, so that every pane is made with its fonts
        self.document = Document(build, path, self, as_read)
        self.selection = Selection(self)
        self.keeper = Keeper(self.document)
        self.measurements = MeasurePane(self.document, self.selection)
        self.drawing = DrawingPane(self.document, self.selection)
        self.findings = FindingsPane(self.document, self.selection)
        self.foot = Foot()
        self.filing = Filing(self.document, self, self.document.hand_in, lambda: len(self.measurements.pending()))
        self.findings.going.connect(lambda entry: self.measurements.bring_forward(entry, focus=True))
        self.foot.asked.connect(lambda: pages.show_cautions(self))
        self.measurements.told.connect(self.foot.tell)
        self.filing.told.connect(self.foot.tell)
        self.keeper.troubled.connect(self._say_unkept)
        self.drawing.told.connect(self.foot.tell)
        self.findings.told.connect(self.foot.tell)
        self._lay_out()
        self.menus = Menus(self)
        self.document.renamed.connect(self._name)
        self.document.clean_changed.connect(self._name)
        self.document.changed.connect(self._name)
        self.show_theme(theme)
        self._name()
        self._restore()
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.setFocus()
        self.document.opened.connect(self._begin)
        self._begin()

    def _begin(self) -> None:
        """Put the cursor into the first field of an empty build."""
        if self.document.build.powertrain is None:
            self.measurements.bring_forward(HURRY[0].path, focus=True)

    def _lay_out(self) -> None:
        self.panes = QSplitter(Qt.Orientation.Horizontal)
        self.panes.setHandleWidth(1)
        self.panes.setChildrenCollapsible(False)
        for pane in (self.measurements, self.drawing, self.findings):
            self.panes.addWidget(pane)
        self.measurements.setMinimumWidth(300)
        self.findings.setMinimumWidth(300)
        self.panes.setStretchFactor(0, 0)
        self.panes.setStretchFactor(1, 1)
        self.panes.setStretchFactor(2, 0)
        middle = QWidget()
        column = QVBoxLayout(middle)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.panes, 1)
        column.addWidget(self.foot)
        self.setCentralWidget(middle)

    # ---- what the menus do

    def undo(self) -> None:
        """Take the last step back; typing that is whole is a step too."""
        self.document.undo()

    def redo(self) -> None:
        """Do again what was taken back."""
        self.document.redo()

    def measure_next(self) -> None:
        """Go to the first entry that a finding wants."""
        self.document.hand_in()
        if not self.measurements.measure_next():
            self.foot.tell("No finding wants a measurement.")

    def go_to_measurements(self) -> None:
        """Put the keyboard into the measurements, where it was last."""
        self.measurements.focus_last()

    def go_to_drawing(self) -> None:
        """Put the keyboard into the drawing."""
        self.drawing.focus()

    def go_to_findings(self) -> None:
        """Put the keyboard into the list of findings."""
        self.findings.list.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def show_theme(self, name: ThemeName) -> Theme:
        """Show the window in light or in dark."""
        self.theme = self._dress(name)
        for pane in (self.measurements, self.drawing, self.findings):
            pane.show_theme(self.theme)
        self.menus.show_theme(name)
        remember("theme", name)
        return self.theme

    def show_length(self, length: Literal["inch", "millimetre"]) -> None:
        """Show and type lengths in another unit; a step of the history, as the build carries it."""
        self._display("length", length, "inches" if length == "inch" else "millimetres")

    def show_torque(self, torque: Literal["pound_foot", "newton_metre"]) -> None:
        """Show and type torques in another unit."""
        self._display("torque", torque, "lb·ft" if torque == "pound_foot" else "N·m")

    def show_sixteenths(self, on: bool) -> None:  # noqa: FBT001  (a switch)
        """Show inches as a tape reads, or as decimals; typing takes both."""
        self._display("inches", "sixteenths" if on else None, "sixteenths" if on else "decimals")

    def export_sheet(self) -> None:
        """Write the build sheet."""
        self.document.hand_in()
        self._say_written(exports.export_sheet(self.document, self))

    def export_sketch(self) -> None:
        """Write the drawing."""
        self.document.hand_in()
        self._say_written(exports.export_sketch(self.document, self))

    def export_curves(self) -> None:
        """Write the curves over the travel."""
        self.document.hand_in()
        self._say_written(exports.export_curves(self.document, self))

    def preview(self) -> None:
        """Show the sheet as it prints."""
        self.document.hand_in()
        exports.preview_sheet(self.document, self)

    def print(self) -> None:
        """Print the sheet."""
        self.document.hand_in()
        if exports.print_sheet(self.document, self):
            from app.lettering import lacking

            self.foot.tell(f"Sent the sheet to the printer. {lacking(self.document.build)}".rstrip())

    def offer_kept(self) -> bool:
        """Offer what other windows kept that ended without saving; False where there is nothing."""
        copies = left_copies()
        if not copies:
            return False
        chosen = asking.which_copy(self, copies)
        for copy in copies:
            if copy is not chosen:
                copy.leave()
        if chosen is None or chosen.build is None:
            return True
        if not self.filing.may_go():
            chosen.leave()
            return True
        self.document.open(chosen.build, chosen.origin, chosen.as_read)
        self.keeper.adopt(chosen)
        self.document.mark_unsaved()
        self.foot.tell(f"Opened the copy of {chosen.name}; it is not saved yet.")
        return True

    def look_for_kept(self) -> None:
        """Offer what was kept, or say that there is nothing."""
        if not self.offer_kept():
            self.foot.tell("No unsaved work of another window is kept.")

    @staticmethod
    def _dress(name: ThemeName) -> Theme:
        application = QApplication.instance()
        assert isinstance(application, QApplication)  # noqa: S101  a window needs one
        return dress(application, name)

    def _display(self, key: str, value: str | None, words: str) -> None:
        self.document.settle()  # typing is read in the unit in which it was typed, or not at all
        self.document.apply({f"display.{key}": value}, f"showing {words}")
        remember(key, value or "")

    def _say_written(self, path: Path | None) -> None:
        if path is not None:
            from app.lettering import lacking

            self.foot.tell(f"Wrote {path.name}. {lacking(self.document.build)}".rstrip())

    def _say_unkept(self, trouble: str) -> None:
        self.foot.warn(f"No safety copy can be kept ({trouble}): save now." if trouble else "")

    # ---- the window's own

    def _name(self) -> None:
        name = one_line(self.document.name).replace("[*]", "[*][*]")  # one alone is where Qt marks what is not saved
        self.setWindowTitle(f"{name}[*] – {NAME}")
        self.setWindowModified(not self.document.stack.isClean())

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask before unsaved work goes; remember sizes."""
        if not self.filing.may_go():
            event.ignore()
            return
        self.keeper.drop()
        kept = settings()
        kept.setValue("window", self.saveGeometry())
        kept.setValue("panes", self.panes.saveState())
        event.accept()

    def _restore(self) -> None:
        kept = settings()
        window, panes = kept.value("window"), kept.value("panes")
        screen = QGuiApplication.primaryScreen().availableGeometry()
        if not (isinstance(window, QByteArray) and self.restoreGeometry(window)):
            self.resize(min(_SIZE[0], screen.width()), min(_SIZE[1], screen.height()))
        if not (isinstance(panes, QByteArray) and self.panes.restoreState(panes)):
            left, right = self.side_widths(self.width())
            self.panes.setSizes([left, self.width() - left - right, right])

    @staticmethod
    def side_widths(width: int) -> tuple[int, int]:
        """Widths of the outer panes that suit a window's width: the drawing gets the most of it."""
        more = max(0, width - 1280) // 8
        return min(318 + more, 400), min(318 + more, 440)


def _system_theme() -> str:
    scheme = QGuiApplication.styleHints().colorScheme()
    return "dark" if scheme == Qt.ColorScheme.Dark else "light"
