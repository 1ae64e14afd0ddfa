"""The pages that take the drawing's place: each is made when it is first shown, and one is in sight at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Final, Literal, Protocol, cast

from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from app.drawing.palette import Theme
    from app.window.beside.page import BesidePage
    from app.window.ranges.again_page import AgainPage
    from app.window.ranges.page import RangePage
    from app.window.ranges.plan_page import PlanPage
    from app.window.ranges.speed_page import SpeedPage
    from app.window.ranges.sure_page import SurePage
    from app.window.ranges.vibration_page import VibrationPage
    from app.window.shell.main_window import MainWindow

ViewName = Literal["drawing", "range", "plans", "speed", "sure", "again", "vibration", "beside"]
VIEWS: Final[Mapping[ViewName, tuple[str, str]]] = {
    "drawing": ("Dra&wing", ""),
    "range": ("Over a ran&ge", "Ctrl+R"),
    "plans": ("&Find a plan", "Ctrl+F"),
    "speed": ("Over s&peed", "Ctrl+Shift+R"),
    "sure": ("How s&ure", "Ctrl+G"),
    "again": ("M&easured again", "Ctrl+M"),
    "vibration": ("&Vibration", "Ctrl+H"),
    "beside": ("Two &builds", "Ctrl+B"),
}
"""Each in the order of menu and row: its word in the menu, and its key."""
ASKED: Final[Mapping[ViewName, str]] = {
    "drawing": "Can I tack it?",
    "range": "How much lift can I have?",
    "plans": "What is the best I can do: which wedge, which shim?",
    "speed": "Up to which speed does it run smooth?",
    "sure": "How sure is it, with this gauge and tape?",
    "again": "Does it sit as set: after the tack, after the weld, after the drive?",
    "vibration": "What is that vibration?",
    "beside": "Which of two plans is better?",
}
"""What a person asks whom each answers: said where the mouse rests on its word."""
WIDE: Final[ViewName] = "beside"
"""The one that takes the whole width."""


class View(Protocol):
    """What every page has."""

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""

    def focus(self) -> None:
        """Put the keyboard where it is wanted first."""


class Views:
    """The window's pages."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self._made: dict[ViewName, QWidget] = {}

    def show(self, name: ViewName) -> None:
        """Put a page in sight, with the keyboard on it."""
        window = self._window
        if name == WIDE:
            window.document.hand_in()
        else:
            window.show_desk()
        if name == "drawing":
            window.go_to_drawing()
            return
        if name not in self._made:
            page = self._made[name] = _MAKERS[name](window)
            page.left.connect(window.go_to_drawing)  # type: ignore[attr-defined]
            cast("View", page).show_theme(window.theme)
            (window.pages if name == WIDE else window.middle).addWidget(page)
        page = self._made[name]
        (window.pages if name == WIDE else window.middle).setCurrentWidget(page)
        window.menus.show_view(name)
        if name == WIDE:
            cast("BesidePage", page).begin()
        cast("View", page).focus()

    def show_lifts(self) -> None:
        """Show how much lift there can be, at the driven axle."""
        self.show("range")
        cast("RangePage", self._made["range"]).vary_lift()

    def in_sight(self, name: ViewName) -> QWidget | None:
        """A page, where it is in sight."""
        before = name != WIDE and self._on_top(WIDE)
        return self._made[name] if self._on_top(name) and not before else None

    @property
    def in_the_middle(self) -> ViewName:
        """Which page the middle column holds, if another is before it or not."""
        return next((name for name in self._made if name != WIDE and self._on_top(name)), "drawing")

    def _on_top(self, name: ViewName) -> bool:
        page = self._made.get(name)
        return (
            page is not None and (self._window.pages if name == WIDE else self._window.middle).currentWidget() is page
        )

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        for page in self._views():
            page.show_theme(theme)

    def _views(self) -> Iterator[View]:
        return (cast("View", page) for page in self._made.values())


def _range(window: MainWindow) -> RangePage:
    from app.window.ranges.page import RangePage

    page = RangePage(window.document)
    page.told.connect(window.foot.tell)
    return page


def _plans(window: MainWindow) -> PlanPage:
    from app.window.ranges.plan_page import PlanPage

    page = PlanPage(window.document)
    page.told.connect(window.foot.tell)
    return page


def _speed(window: MainWindow) -> SpeedPage:
    from app.window.ranges.speed_page import SpeedPage

    page = SpeedPage(window.document)
    page.told.connect(window.foot.tell)
    return page


def _sure(window: MainWindow) -> SurePage:
    from app.window.ranges.sure_page import SurePage

    page = SurePage(window.document)
    page.going.connect(window.take_again)
    return page


def _again(window: MainWindow) -> AgainPage:
    from app.window.ranges.again_page import AgainPage

    page = AgainPage(window.document)
    page.going.connect(window.take_again)
    page.vibrates.connect(lambda: window.views.show("vibration"))
    return page


def _vibration(window: MainWindow) -> VibrationPage:
    from app.window.ranges.vibration_page import VibrationPage

    page = VibrationPage(window.document)
    page.going.connect(window.take_again)
    page.finding_wanted.connect(window.go_to_finding)
    return page


def _beside(window: MainWindow) -> BesidePage:
    from app.window.beside.page import BesidePage

    page = BesidePage(window.document)
    page.told.connect(window.foot.tell)
    page.keeping.connect(window.keep_beside)
    page.renaming.connect(window.rename_kept)
    page.dropping.connect(window.drop_kept)
    return page


_MAKERS: Final[Mapping[ViewName, Callable[[MainWindow], QWidget]]] = {
    "range": _range, "plans": _plans, "speed": _speed, "sure": _sure, "again": _again,
    "vibration": _vibration, "beside": _beside,
}  # fmt: skip
