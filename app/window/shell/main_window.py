"""The window: measurements on the left, the drawing in the middle, findings on the right, a caution at the foot."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Final, cast

from PySide6.QtCore import QByteArray, QEvent, QRect, Qt
from PySide6.QtGui import QCloseEvent, QGuiApplication, QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QFrame,
    QHBoxLayout,
    QMainWindow,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.complaints import one_line
from app.drawing.palette import Theme, ThemeName
from app.measuring.sections import HURRY
from app.units import Display, Inches, Length, Torque, length_words
from app.window.canvas.drawing_pane import DrawingPane
from app.window.document import Document
from app.window.findings.drivelines import KEY
from app.window.findings.pane import FindingsPane
from app.window.form.measure_pane import MeasurePane
from app.window.keeping import asking
from app.window.keeping.filing import Filing
from app.window.keeping.recovery import Keeper, left_copies
from app.window.plan.strip import PlanStrip
from app.window.selection import Selection
from app.window.settings import NAME, remember, settings, word
from app.window.shell import exports, pages
from app.window.shell.foot import Foot
from app.window.shell.menus import Menus
from app.window.shell.start import StartPage
from app.window.shell.views import Views
from app.window.theme import dress
from geometry.document import Build
from geometry.document.sides import SECOND, end_of, other_end, path_swapped, with_driveline

if TYPE_CHECKING:
    from app.drawing.zones import Look
    from app.papers.kinds import What
    from app.window.beside.page import BesidePage
    from app.window.shell.views import View

_SIZE: Final = (1440, 900)
_LEAST: Final = (1240, 680)
_START, _DESK = 0, 1


class MainWindow(QMainWindow):
    """Everything that is on the screen, round one document."""

    def __init__(self, build: Build | None = None, path: Path | None = None, as_read: str | None = None) -> None:
        super().__init__()
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, on=False)
        theme: ThemeName = "dark" if word("theme", _system_theme()) == "dark" else "light"
        self._framed = False
        self.views = Views(self)
        self.theme: Theme = self._dress(theme)  # first, so that every pane is made with its fonts
        self.document = Document(build, path, self, as_read)
        self.selection = Selection(self)
        self.keeper = Keeper(self.document)
        self.measurements = MeasurePane(self.document, self.selection)
        self.drawing = DrawingPane(self.document, self.selection)
        self.plan = PlanStrip(self.document, self.selection)
        self.findings = FindingsPane(self.document, self.selection)
        self.start = StartPage(self.document)
        self.foot = Foot()
        self.filing = Filing(self.document, self, self.document.hand_in, lambda: len(self.measurements.pending()))
        self.findings.going.connect(self._go_to)
        self.foot.asked.connect(lambda: pages.show_cautions(self))
        for one in (self.measurements, self.filing, self.drawing, self.plan, self.findings, self.start):
            one.told.connect(self.foot.tell)
        self.measurements.tube_wanted.connect(self.choose_tube)
        self.keeper.troubled.connect(self._say_unkept)
        self.drawing.travel.naming.connect(lambda entry: self.measurements.bring_forward(entry, focus=True))
        self.plan.bared.connect(self.drawing.travel.show_measured)
        self.plan.dressed.connect(self.drawing.travel.show_planned)
        self.plan.lift_asked.connect(self.views.show_lifts)
        self.start.going_on.connect(self.show_desk)
        self.start.measuring.connect(self._measure)
        self.start.opening.connect(self.filing.open)
        self.start.sample_wanted.connect(self.filing.open_sample)
        self.start.file_wanted.connect(self.filing.open_path)
        self.drawing.ready.connect(self._order_tabs)
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
        """Begin with the start page where nothing is entered, else with the build."""
        if self.document.build == Build(display=self.document.build.display):
            self.pages.setCurrentIndex(_START)
            self.start.begin()
        else:
            self.show_desk()

    def show_desk(self) -> None:
        """Show the build: measurements, plan and drawing, findings."""
        self.document.hand_in()
        if self.pages.currentIndex() != _DESK:
            self.pages.setCurrentIndex(_DESK)
            self.menus.show_view(self.views.in_the_middle)
            self.go_to_findings()

    def _measure(self) -> None:
        """Show the build with the cursor in the first measurement."""
        self.show_desk()
        self.measurements.bring_forward(HURRY[0].path, focus=True)

    def _lay_out(self) -> None:
        """Three columns, one reading line: measured, plan over the drawing, verdict."""
        middle = QWidget()
        stack = QVBoxLayout(middle)
        stack.setContentsMargins(0, 0, 0, 0)
        stack.setSpacing(0)
        stack.addWidget(self.plan)
        stack.addWidget(_hairline())
        self.middle = QStackedWidget()
        self.middle.addWidget(self.drawing)
        stack.addWidget(self.middle, 1)
        columns = QHBoxLayout()
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(0)
        columns.addWidget(self.measurements)
        columns.addWidget(_hairline(upright=True))
        columns.addWidget(middle, 1)
        columns.addWidget(_hairline(upright=True))
        columns.addWidget(self.findings)
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(columns, 1)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.start)
        self.pages.addWidget(whole)
        self.pages.setCurrentIndex(_DESK)
        central = QWidget()
        around = QVBoxLayout(central)
        around.setContentsMargins(0, 0, 0, 0)
        around.setSpacing(0)
        around.addWidget(self.pages, 1)
        around.addWidget(self.foot)
        self.setCentralWidget(central)
        self.setMinimumSize(*_LEAST)

    def _order_tabs(self) -> None:
        """Let the drawing, which is made late, come after the plan and not last."""
        last: QWidget = self.plan.bare
        after = self.plan.nextInFocusChain()
        while after is not None and self.plan.isAncestorOf(after):
            last = after if after.focusPolicy() & Qt.FocusPolicy.TabFocus else last
            after = after.nextInFocusChain()
        if self.drawing.canvas is not None:
            self.setTabOrder(last, self.drawing.canvas)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the outer columns the widths that suit the window's."""
        super().resizeEvent(event)
        left, right = self.side_widths(self.width())
        self.measurements.setFixedWidth(left)
        self.findings.setFixedWidth(right)
        self.drawing.travel.fold(self.height())

    # ---- what the menus do

    def undo(self) -> None:
        """Take the last step back; typing that is whole is a step too."""
        self.document.undo()

    def redo(self) -> None:
        """Do again what was taken back."""
        self.document.redo()

    def measure_next(self) -> None:
        """Go to the first entry that a finding wants."""
        self.show_desk()
        self.document.hand_in()
        wanted = self.measurements.measure_next()
        self.foot.tell(f"Measure next: {wanted}." if wanted else "No finding wants a measurement.")

    def _go_to(self, entry: str) -> None:
        """Put the cursor into an entry; one of the other driveline brings that into sight first."""
        here = path_swapped(entry) if entry.startswith(SECOND) else entry
        if here != entry:
            self.turn()
        self.measurements.bring_forward(here, focus=True)

    def turn(self) -> None:
        """Show the other driveline of the vehicle."""
        self.show_desk()
        self.document.turn()
        if self.document.build.drivelines:
            self.foot.tell(f"The {end_of(self.document.build)} shaft is shown; {KEY} goes back to the other one.")

    def add_driveline(self) -> None:
        """Give the vehicle an empty driveline at its other end, and show that."""
        self.document.settle()
        end = other_end(end_of(self.document.build))
        if self.document.apply(with_driveline(self.document.build), f"the {end} driveline"):
            self.document.turn()
            self._measure()
            self.foot.tell(f"The {end} shaft is shown, with nothing measured yet; {KEY} goes back to the other one.")

    def drop_driveline(self) -> None:
        """Take out the driveline that is not shown."""
        self.document.settle()
        end = other_end(end_of(self.document.build))
        if self.document.apply({"drivelines": ()}, f"the {end} driveline taken out"):
            self.foot.tell(f"The {end} driveline is taken out, with all that was measured of it; undo brings it back.")

    def go_to_measurements(self) -> None:
        """Put the keyboard into the measurements, where it was last."""
        self.show_desk()
        self.measurements.focus_last()

    def go_to_drawing(self) -> None:
        """Put the keyboard into the drawing."""
        self.show_desk()
        self.show_drawing()
        self.drawing.focus()

    def go_to_travel(self) -> None:
        """Put the keyboard on the axle's travel."""
        self.show_desk()
        self.show_drawing()
        self.drawing.travel.focus()

    def draw_obstacle(self) -> None:
        """Let the person draw an obstacle on the drawing."""
        self.show_desk()
        self.show_drawing()
        self.drawing.travel.draw_obstacle()

    def look(self, look: Look) -> None:
        """Show the shaft, the whole vehicle, or the axle with its perches in the drawing."""
        if self.beside is not None:
            self.show_desk()
        self.show_drawing()
        self.drawing.look(look)

    def go_to_plan(self, place: int = 0) -> None:
        """Put the keyboard into a cell of the plan."""
        self.show_desk()
        self.plan.boxes[place].stepper.field.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def choose_tube(self) -> None:
        """Show every tube that can be had, each judged, and make the shaft of the one that is chosen."""
        from app.window.shell.tube_choice import TubeChoice

        self.show_desk()
        self.document.settle()
        asked = TubeChoice(self.document, self.theme, self)
        asked.exec()
        if asked.own_wanted:
            self.measurements.bring_forward("tube_stock", focus=True)
        asked.deleteLater()

    @property
    def beside(self) -> BesidePage | None:
        """The page of two builds, where it is in sight."""
        return cast("BesidePage | None", self.views.in_sight("beside"))

    def keep_beside(self) -> None:
        """Keep what is chosen beside the build, under a name made of what is planned."""
        from app.window.beside import kept

        self.document.hand_in()
        self.foot.tell(kept.keep(self.document))

    def rename_kept(self) -> None:
        """Ask what to call the plan that is kept; of several the one on the page of two builds."""
        from app.window.beside import kept

        self.document.hand_in()
        self.foot.tell(kept.rename(self.document, self._kept_number(), self))

    def drop_kept(self) -> None:
        """Drop the plan that is kept; of several the one on the page of two builds."""
        from app.window.beside import kept

        self.document.hand_in()
        self.foot.tell(kept.drop(self.document, self._kept_number()))

    def _kept_number(self) -> int:
        """Which of the kept plans is meant: it is shown first, so that the person sees which."""
        if self.beside is None:
            self.views.show("beside")
        return 0 if self.beside is None else self.beside.number

    def show_drawing(self) -> None:
        """Show the drawing."""
        self.middle.setCurrentWidget(self.drawing)
        self.menus.show_view("drawing")

    def take_again(self, path: str) -> None:
        """Put the cursor into an entry whose reading is to be taken again."""
        head, _, last = path.rpartition(".")
        self.measurements.bring_forward(head if last.isdecimal() else path, focus=True)

    def show_bare(self, on: bool) -> None:  # noqa: FBT001  (a switch)
        """Show the vehicle as measured, without the plan, until this is taken back or something changes."""
        self.plan.bare.turn(on=on)
        if on:
            self.foot.tell("The drawing shows the vehicle as measured; F7 brings the plan back.")

    def go_to_findings(self) -> None:
        """Put the keyboard into the list of findings."""
        self.show_desk()
        self.findings.list.view.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def go_to_finding(self, which: str, part: str) -> None:
        """Choose a finding and put the keyboard into the list."""
        self.selection.choose(self, part=part, finding=(which, part))
        self.go_to_findings()

    def go_round(self, way: int) -> None:
        """Put the keyboard into the next pane, in reading order."""
        if self.beside is not None:
            self.focusNextPrevChild(way > 0)
            return
        self.show_desk()
        focused, travel = QApplication.focusWidget(), self.drawing.travel
        panes: list[tuple[QWidget, Callable[[], None]]] = [
            (self.measurements, self.go_to_measurements),
            (self.plan, self.go_to_plan),
            (self.drawing, self.go_to_drawing),
            (travel.bar, self.go_to_travel),
            (self.findings, self.go_to_findings),
            (self.findings.setpoints, self._go_to_setpoints),
        ]
        page = self.views.in_sight(self.views.in_the_middle)
        if page is not None:
            panes[2:4] = [(page, cast("View", page).focus)]
        elif travel.state.range_mm is None:
            panes.pop(3)
        # The bar lies within the drawing's pane and the set-points within the findings': the inner one counts.
        holding = [place for place, (pane, _) in enumerate(panes) if focused is not None and _holds(pane, focused)]
        here = holding[-1] if holding else -1 if way > 0 else 0
        panes[(here + way) % len(panes)][1]()

    def _go_to_setpoints(self) -> None:
        self.findings.setpoints.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def show_theme(self, name: ThemeName) -> Theme:
        """Show the window in light or in dark."""
        self.theme = self._dress(name)
        for pane in (self.start, self.measurements, self.plan, self.drawing, self.findings):
            pane.show_theme(self.theme)
        self.views.show_theme(self.theme)
        self.menus.show_theme(name)
        remember("theme", name)
        return self.theme

    def show_length(self, length: Length, inches: Inches | None = None) -> None:
        """Show and type lengths in another unit, inches as decimals or as a tape reads; a step of the history, as the
        build carries it. Typing takes them all.
        """
        words = length_words(Display(length, self.document.build.display.torque, inches))
        self._display({"length": length, "inches": inches}, words)

    def show_torque(self, torque: Torque) -> None:
        """Show and type torques in another unit."""
        self._display({"torque": torque}, "lb·ft" if torque == "pound_foot" else "N·m")

    def export_sketch(self) -> None:
        """Write the drawing."""
        self.document.hand_in()
        self._say_written(exports.export_sketch(self.document, self))

    def export_curves(self) -> None:
        """Write the curves over the travel."""
        self.document.hand_in()
        self._say_written(exports.export_curves(self.document, self))

    def export_paper(self, what: What) -> None:
        """Write the build sheet, or a paper for the bench."""
        self.document.hand_in()
        self._say_written(exports.export_paper(self.document, self, what))

    def preview_paper(self, what: What) -> None:
        """Show a paper as it prints; it is printed from there."""
        self.document.hand_in()
        exports.preview(self.document, self, what)

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

    def _display(self, choice: Mapping[str, str | None], words: str) -> None:
        self.document.settle()  # typing is read in the unit in which it was typed, or not at all
        self.document.apply({f"display.{key}": value for key, value in choice.items()}, f"showing {words}")
        for key, value in choice.items():
            remember(key, value or "")

    def _say_written(self, path: Path | None) -> None:
        if path is not None:
            from app.lettering import lacking

            self.foot.tell(f"Wrote {path.name}. {lacking(self.document.build)}".rstrip())

    def _say_unkept(self, trouble: str) -> None:
        self.foot.warn(f"No safety copy can be kept ({trouble}): save now." if trouble else "")

    # ---- the window's own

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses what has the focus, as Space does: buttons, links, segments."""
        focused = QApplication.focusWidget()
        enter = event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter} and not event.isAutoRepeat()
        if enter and isinstance(focused, QAbstractButton) and self.isAncestorOf(focused):
            focused.click()
        else:
            super().keyPressEvent(event)

    def _name(self) -> None:
        name = one_line(self.document.name).replace("[*]", "[*][*]")  # one alone is where Qt marks what is not saved
        self.setWindowTitle(f"{name}[*] – {NAME}")
        self.setWindowModified(not self.document.stack.isClean())
        self._say_state()

    def _say_state(self) -> None:
        """At the foot: what is open, whether it is saved, and in which units it is shown."""
        build, clean = self.document.build, self.document.stack.isClean()
        units = f"{length_words(build.display)}, {'lb·ft' if build.display.torque == 'pound_foot' else 'N·m'}"
        if clean and self.document.path is None and build == Build(display=build.display):
            self.foot.show_state("", units)
            return
        kept = "changes not saved" if not clean else "saved" if self.document.path is not None else "not saved yet"
        self.foot.show_state(self.document.name.partition(":")[0], f"{kept} · {units}")

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask before unsaved work goes; remember sizes."""
        if not self.filing.may_go():
            event.ignore()
            return
        self.keeper.drop()
        kept = settings()
        kept.setValue("window", self.saveGeometry())
        event.accept()

    def showEvent(self, event: QShowEvent) -> None:
        """Fit the screen once more, now that the frame is there, unless another size was asked for since."""
        super().showEvent(event)
        if self.size() == self._fitted:
            self._fit_screen()

    def changeEvent(self, event: QEvent) -> None:
        """Fit once more when the window first becomes the active one: some screens give it its frame only then."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow() and not self._framed:
            self._framed = True
            if self.size() == self._fitted:
                self._fit_screen()

    def _restore(self) -> None:
        window = settings().value("window")
        if not (isinstance(window, QByteArray) and self.restoreGeometry(window)):
            self.resize(*_SIZE)
        self._fit_screen()

    def _fit_screen(self) -> None:
        """Keep the window within what the screen has free; where that is less than the least size, that yields."""
        free = self._free()
        frame = self.frameGeometry().size() - self.size()
        wide, high = free.width() - frame.width(), free.height() - frame.height()
        self.setMinimumSize(min(_LEAST[0], wide), min(_LEAST[1], high))
        self._fitted = self.size()
        if self.isMaximized() or self.isFullScreen():
            return
        self.resize(min(self.width(), wide), min(self.height(), high))
        self._fitted = self.size()
        place = self.frameGeometry()
        left = max(free.left(), min(place.left(), free.left() + free.width() - place.width()))
        top = max(free.top(), min(place.top(), free.top() + free.height() - place.height()))
        if (left, top) != (place.left(), place.top()):
            self.move(left, top)

    def _free(self) -> QRect:
        """What the screen has free on which the window is, or is to be."""
        screen = QGuiApplication.screenAt(self.frameGeometry().center()) or self.screen()
        return screen.availableGeometry()

    @staticmethod
    def side_widths(width: int) -> tuple[int, int]:
        """Widths of the outer columns that suit a window's width: the drawing gets the most of it."""
        left = 260 + max(0, width - 1440) // 12
        return min(left, 300), min(max(300 + (width - 1280) // 8, 300), 400)


def _holds(pane: QWidget, widget: QWidget) -> bool:
    return pane is widget or pane.isAncestorOf(widget)


def _hairline(*, upright: bool = False) -> QFrame:
    line = QFrame()
    line.setObjectName("upright" if upright else "line")
    return line


def _system_theme() -> str:
    scheme = QGuiApplication.styleHints().colorScheme()
    return "dark" if scheme == Qt.ColorScheme.Dark else "light"
