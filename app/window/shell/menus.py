"""The menus: plain words, each with its key, each connected to one thing that the window can do."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QAbstractButton, QHBoxLayout, QMenu, QPushButton, QWidget

from app.papers.kinds import BEHIND, PAPERS, What
from app.window.findings.drivelines import KEY
from app.window.keeping.filing import samples
from app.window.plain import menu_words, set_tip
from app.window.settings import papers_behind, recent_files, want_behind
from app.window.shell import pages
from app.window.shell.views import ASKED, VIEWS, ViewName
from app.window.theme import LABEL_PT, words_wide
from geometry.document.sides import end_of, other_end
from geometry.words.wording import capital

if TYPE_CHECKING:
    from app.window.shell.main_window import MainWindow

_Key = QKeySequence.StandardKey | str


class Menus(QObject):
    """All menus of one window; the actions that change with the build are kept by name."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._file()
        self._edit()
        self._plan()
        self._view()
        self._help()
        self.page_row = PageRow(*self.pages.values())
        for button, name in zip(self.page_row.buttons, self.pages, strict=True):
            set_tip(button, ASKED[name])
        window.menuBar().setCornerWidget(self.page_row)
        document = window.document
        document.history_changed.connect(self._name_undo)
        document.changed.connect(self._tick)
        window.plan.bared.connect(lambda: self.bare.setChecked(True))
        window.plan.dressed.connect(lambda: self.bare.setChecked(False))
        window.filing.recent_changed.connect(self.list_recent)
        self._name_undo()
        self._tick()
        self.list_recent()

    def _file(self) -> None:
        window, filing = self._window, self._window.filing
        menu = self._menu("&File")
        _add(menu, "&New", filing.new, QKeySequence.StandardKey.New)
        _add(menu, "&Open…", filing.open, QKeySequence.StandardKey.Open)
        self.recent = menu.addMenu("Open &recent")
        self.samples = menu.addMenu("Open a sa&mple")
        for path in samples():
            _add(self.samples, _words(path.stem), partial(filing.open_sample, path))
        self.samples.setEnabled(not self.samples.isEmpty())
        _add(menu, "&Unsaved work that was kept…", window.look_for_kept)
        menu.addSeparator()
        self.save = _add(menu, "&Save", filing.save, QKeySequence.StandardKey.Save)
        _add(menu, "Save &as…", filing.save_as, "Ctrl+Shift+S")
        menu.addSeparator()
        _add(menu, "&Build sheet as PDF…", partial(window.export_paper, "sheet"), "Ctrl+E")
        self.behind: QMenu = menu.addMenu("&Further pages of the sheet")
        for what in BEHIND:
            self._page_behind(what)
        _add(menu, "S&ketch as a picture…", window.export_sketch)
        self.curves_out = _add(menu, "&Travel curves as a picture…", window.export_curves)
        bench: QMenu = menu.addMenu("Papers for the ben&ch")
        for what, paper in PAPERS.items():
            for words, act in zip(paper.menu or (), (window.export_paper, window.preview_paper), strict=False):
                _add(bench, words, partial(act, what))
        menu.addSeparator()
        _add(menu, "Print pre&view…", partial(window.preview_paper, "sheet"), "Ctrl+Shift+P")
        _add(menu, "&Print…", window.print, QKeySequence.StandardKey.Print)
        menu.addSeparator()
        _add(menu, "&Quit", window.close, "Ctrl+Q").setMenuRole(QAction.MenuRole.QuitRole)

    def _page_behind(self, what: What) -> None:
        """A paper that goes behind the sheet while it is ticked."""
        one = _add(self.behind, PAPERS[what].title, lambda: want_behind(what, on=one.isChecked()))
        one.setCheckable(True)
        one.setChecked(what in papers_behind())

    def _edit(self) -> None:
        window = self._window
        menu = self._menu("&Edit")
        self.undo = _add(menu, "&Undo", window.undo, QKeySequence.StandardKey.Undo)
        self.redo = _add(menu, "&Redo", window.redo, "Ctrl+Shift+Z")
        self.redo.setShortcuts([QKeySequence("Ctrl+Shift+Z"), QKeySequence("Ctrl+Y")])
        menu.addSeparator()
        self.next = _add(menu, "Measure &next", window.measure_next, "F4")
        menu.addSeparator()
        _add(menu, "Go to the &measurements", window.go_to_measurements, "Ctrl+1")
        _add(menu, "Go to the &drawing", window.go_to_drawing, "Ctrl+2")
        _add(menu, "Go to the &findings", window.go_to_findings, "Ctrl+3")
        self.to_travel = _add(menu, "Go to the &travel", window.go_to_travel, "Ctrl+4")
        _add(menu, "Ne&xt pane", partial(window.go_round, 1), "F6")
        _add(menu, "Pre&vious pane", partial(window.go_round, -1), "Shift+F6")
        menu.addSeparator()
        self.outline = _add(menu, "Draw an &obstacle", window.draw_obstacle, "Ctrl+D")
        menu.addSeparator()
        self.second = _add(menu, "Add the &front driveline", window.add_driveline)
        self.one = _add(menu, "Take the &front driveline out", window.drop_driveline)

    def _plan(self) -> None:
        window = self._window
        menu = self._menu("&Plan")
        _add(menu, "Go to the &plan", window.go_to_plan, "Ctrl+5")
        self.bare = _add(menu, "&Without it, as measured", lambda: window.show_bare(self.bare.isChecked()), "F7")
        self.bare.setCheckable(True)
        menu.addSeparator()
        for place, words in enumerate(("&Rear lift", "&Front lift", "P&erches", "&Mounts")):
            _add(menu, words, partial(window.go_to_plan, place), f"Alt+{place + 1}")
        menu.addSeparator()
        _add(menu, "Choose a &tube…", window.choose_tube, "Ctrl+U")
        menu.addSeparator()
        _add(menu, "&Keep the plan beside", window.keep_beside, "Ctrl+K")
        self.of_kept = (
            _add(menu, "Re&name what is kept…", window.rename_kept), _add(menu, "&Drop what is kept", window.drop_kept),
        )  # fmt: skip

    def _view(self) -> None:
        window = self._window
        menu = self._menu("&View")
        self.light, self.dark = self._group(
            menu, ("&Light", partial(window.show_theme, "light")), ("&Dark", partial(window.show_theme, "dark"))
        )
        menu.addSeparator()
        self.inches, self.sixteenths, self.millimetres = self._group(
            menu,
            ("&Inches", partial(window.show_length, "inch")),
            ("Inches in si&xteenths", partial(window.show_length, "inch", "sixteenths")),
            ("&Millimetres", partial(window.show_length, "millimetre")),
        )
        menu.addSeparator()
        self.pound_feet, self.newton_metres = self._group(
            menu,
            ("lb·&ft", partial(window.show_torque, "pound_foot")),
            ("&N·m", partial(window.show_torque, "newton_metre")),
        )
        menu.addSeparator()
        self.pages = dict(
            zip(
                VIEWS,
                self._group(menu, *((words, partial(window.views.show, name)) for name, (words, _) in VIEWS.items())),
                strict=True,
            )
        )
        self.pages["drawing"].setChecked(True)
        for name, (_, key) in VIEWS.items():
            self.pages[name].setShortcut(QKeySequence(key))
        menu.addSeparator()
        self.turn = _add(menu, "The &other shaft", window.turn, KEY)
        menu.addSeparator()
        _add(menu, "See the &shaft", partial(window.look, "shaft"), "Ctrl+0")
        _add(menu, "See the w&hole vehicle", partial(window.look, "whole"), "Ctrl+9")
        _add(menu, "See the &axle and perches", partial(window.look, "axle"), "Ctrl+8")
        menu.addSeparator()
        travel = window.drawing.travel
        self.ends = _switch(menu, "B&oth ends of the travel", travel.bar.ends)
        self.curves = _add(menu, "Travel &curves", lambda: travel.want_curves(self.curves.isChecked()), "Ctrl+T")
        self.curves.setCheckable(True)
        self.curves.setChecked(True)

    def _help(self) -> None:
        menu = self._menu("&Help")
        window = self._window
        _add(menu, "&How to measure", partial(pages.show_how_to_measure, window), QKeySequence.StandardKey.HelpContents)
        _add(menu, "&Cautions", partial(pages.show_cautions, window))

    def list_recent(self) -> None:
        """Fill the recent files in anew."""
        self.recent.clear()
        for number, path in enumerate(recent_files(), start=1):
            action = _add(
                self.recent, f"&{number} {menu_words(path.name)}", partial(self._window.filing.open_path, path)
            )
            set_tip(action, str(path))
        self.recent.setToolTipsVisible(True)
        self.recent.setEnabled(not self.recent.isEmpty())

    def show_theme(self, name: str) -> None:
        """Tick the theme in use."""
        (self.dark if name == "dark" else self.light).setChecked(True)

    def show_view(self, name: ViewName) -> None:
        """Tick the page that is in sight."""
        self.pages[name].setChecked(True)

    def _menu(self, title: str) -> QMenu:
        menu: QMenu = self._window.menuBar().addMenu(title)
        return menu

    def _group(self, menu: QMenu, *choices: tuple[str, Callable[[], object]]) -> list[QAction]:
        """Entries of which one holds."""
        group, made = QActionGroup(menu), []
        for words, act in choices:
            action = _add(menu, words, act)
            action.setCheckable(True)
            group.addAction(action)
            made.append(action)
        return made

    def _name_undo(self) -> None:
        stack = self._window.document.stack
        for action, able, word, what in (
            (self.undo, stack.canUndo(), "&Undo", stack.undoText()),
            (self.redo, stack.canRedo(), "&Redo", stack.redoText()),
        ):
            action.setEnabled(able)
            action.setText(f"{word} {menu_words(what)}".rstrip())
            set_tip(action, what)

    def _tick(self) -> None:
        display = self._window.document.build.display
        inches = self.sixteenths if display.inches == "sixteenths" else self.inches
        (inches if display.length == "inch" else self.millimetres).setChecked(True)
        (self.pound_feet if display.torque == "pound_foot" else self.newton_metres).setChecked(True)
        self.bare.setEnabled(self._window.document.measured is not None)
        self._window.plan.bare.turn(on=False)  # what changed is shown
        build = self._window.document.build
        for action in self.of_kept:
            action.setEnabled(bool(build.variants))
        other = other_end(end_of(build))
        self.second.setText(f"Add the &{other} driveline")
        self.one.setText(f"Take the &{other} driveline out")
        self.turn.setText(f"The &{other} shaft")
        both = bool(build.drivelines)
        self.second.setVisible(not both)
        for action in (self.one, self.turn):
            action.setVisible(both)
        known = self._window.drawing.travel.state.range_mm is not None
        for action in (self.curves_out, self.to_travel, self.ends, self.curves):
            action.setEnabled(known)


class PageRow(QWidget):
    """The pages of the middle column, to be pressed beside the menus; the View menu has them for the keyboard."""

    def __init__(self, *actions: QAction) -> None:
        super().__init__()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 8, 0)
        row.setSpacing(0)
        self.buttons: list[QPushButton] = []
        for action in actions:
            button = QPushButton(action.text().replace("&", ""))
            button.setObjectName("page")
            button.setCheckable(True)
            button.setChecked(action.isChecked())
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            button.setMinimumWidth(round(words_wide(button.text(), LABEL_PT, bold=True)) + 16)
            button.clicked.connect(lambda _=False, one=action: one.trigger())
            action.toggled.connect(button.setChecked)
            row.addWidget(button)
            self.buttons.append(button)


def _add(menu: QMenu, words: str, act: Callable[[], object], key: _Key | None = None) -> QAction:
    action: QAction = menu.addAction(words)
    action.triggered.connect(lambda _=False: act())
    if key is not None:
        action.setShortcut(QKeySequence(key))
    return action


def _switch(menu: QMenu, words: str, box: QAbstractButton, key: _Key | None = None) -> QAction:
    """A menu entry that is one with a check box elsewhere."""
    action: QAction = menu.addAction(words)
    action.setCheckable(True)
    action.setChecked(box.isChecked())
    action.toggled.connect(box.setChecked)
    box.toggled.connect(action.setChecked)
    if key is not None:
        action.setShortcut(QKeySequence(key))
    return action


def _words(stem: str) -> str:
    return capital(stem.replace("_", " "))
