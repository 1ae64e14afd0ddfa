"""Ties travel, torque and obstacles to the drawing: what the canvas shows of them, and what is drawn on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from app.drawing.palette import Theme
from app.drawing.subject import Subject
from app.window.document import Document
from app.window.selection import Selection
from app.window.travel.bar import TravelBar
from app.window.travel.curves import CurvesPane
from app.window.travel.state import TravelState
from geometry.document import Build
from geometry.document.sides import unplanned
from geometry.words.solution import Solution

if TYPE_CHECKING:
    from app.window.canvas.canvas import Canvas
    from app.window.canvas.outline_layer import OutlineLayer

_NO_PART = frozenset({"format", "title", "notes", "display", "gauge", "obstacles", "variants"})
"""Sections without a part in where the axle goes."""
Corners = tuple[tuple[float, float], ...]
_REST_MS = 40
_CURVES_FROM = 740  # pixels of the window; below it the drawing has all the height
_AT_LEAST_MM = 1.0  # an end of the travel that is nearer to ride height is not shown beside it


def shock_of_entry(entry: str | None) -> int | None:
    """Which shock's upper eye an entry is; None of any other.

    >>> shock_of_entry("shocks.1.frame_point_mm"), shock_of_entry("shocks.1.extended_mm")
    (1, None)
    """
    steps = (entry or "").split(".")
    return int(steps[1]) if steps[0] == "shocks" and steps[-1] == "frame_point_mm" else None


class TravelDesk(QObject):
    """The bar and the curves of one document, and their hold on the drawing."""

    naming = Signal(str)
    """An obstacle was drawn and wants a name in this entry."""

    def __init__(self, document: Document, selection: Selection, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._canvas: Canvas | None = None
        self._layer: OutlineLayer | None = None
        self._ends: tuple[Solution, ...] | None = None
        self._ended: Build | None = None
        self._height = 0
        self._regioned: int | None = None
        self._curves_wanted = True
        self._resting = QTimer(self)
        self._resting.setSingleShot(True)
        self._resting.timeout.connect(self._show)
        self.state = TravelState(document, self)
        self.bar = TravelBar(document, self.state)
        self.curves = CurvesPane(document, self.state)
        self.state.moved.connect(self._show)
        self.state.rebuilt.connect(self._rebuild)
        document.glimpsed.connect(self._glimpse)
        document.let_go.connect(self._let_go)
        selection.changed.connect(self._follow)
        self.bar.ends_wanted.connect(lambda _on: self._show())
        for shown_anew in (document.opened, document.turned):
            shown_anew.connect(self._open)
        self._fold()

    def attach(self, canvas: Canvas) -> None:
        """Take the canvas, once there is one, and show the document on it."""
        self._canvas = canvas
        canvas.obstacle_clicked.connect(self._pick)
        self._show()

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self.bar.show_theme(theme)
        self.curves.show_theme(theme)

    def focus(self) -> None:
        """Put the keyboard on the slider, where there is one."""
        if self.state.range_mm is not None:
            self.bar.scale.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def draw_obstacle(self) -> None:
        """Let the person draw an obstacle's outline on the drawing."""
        from app.window.canvas.outline_layer import OutlineLayer

        canvas = self._canvas
        if canvas is None or not canvas.to_scale or self._layer is not None:
            return
        canvas.show_both_views(on=True)
        layer = self._layer = OutlineLayer(canvas, self._document.build.display, self.state.work.floor)
        layer.drawn.connect(self._take_outline)
        layer.ended.connect(self._layer_gone)

    @property
    def layer(self) -> OutlineLayer | None:
        """The sheet on which an outline is being drawn, if any."""
        return self._layer

    # ---- what the canvas shows

    @property
    def settled(self) -> bool:
        """Whether everything of the document is on the drawing, in its last place."""
        return not self._resting.isActive()

    @property
    def resting_ms(self) -> int:
        """How long until the rest of an edit follows; −1 where all is settled."""
        return self._resting.remainingTime()

    def _show(self) -> None:
        self._resting.stop()
        if self._canvas is not None:
            self._canvas.show_subject(self._subject(), held=self._document.dragging)

    def _subject(self) -> Subject:
        shown, state = self._document.shown, self.state
        there = state.there or shown.solution
        ends = self._ends_shown()
        region = () if self._document.dragging else self._region()
        return Subject(
            shown.build, shown.solution, there, state.travel_mm, state.torque, ends, used=state.used, region=region
        )

    def _region(self) -> tuple[tuple[tuple[float, float], ...], ...]:
        """Where the upper eye of the shock that is chosen may go; none where no upper eye is chosen."""
        shock = shock_of_entry(self._selection.entry)
        if shock is None or shock >= len(self._document.shown.build.shocks):
            return ()
        return self.state.work.shock_region(shock)

    def show_measured(self) -> None:
        """Show the vehicle as measured, without the plan."""
        measured, canvas = self._document.measured, self._canvas
        if canvas is not None and measured is not None:
            bare = unplanned(self._document.shown.build)
            canvas.show_subject(Subject(bare, measured, measured, bare=True), held=True)
            self.curves.show_bare((bare, measured))

    def show_planned(self) -> None:
        """Show the document again."""
        self.curves.show_bare(None)
        self._show()

    def _rebuild(self) -> None:
        if self._ended is None or not _same_ends(self._ended, self._document.shown.build):
            self._ends = None
        if self._document.restless and self._canvas is not None:
            self._resting.start(_REST_MS)  # the next move draws it
        else:
            self._show()
        self._fold()

    def _open(self) -> None:
        """Show another file whole."""
        self._leave_layer()
        self._show()

    def _glimpse(self) -> None:
        """Show what lies under the hand."""
        self._resting.stop()
        glimpse = self._document.glimpse
        if self._canvas is not None and glimpse is not None and self.state.at_rest:
            self._canvas.show_subject(Subject(glimpse.build, glimpse.solution, glimpse.solution), held=True)

    def _let_go(self) -> None:
        """Bring the ends back, which stand aside during a drag, and let the view fit what was made."""
        self._show()

    def fold(self, window_height: int) -> None:
        """Show the curves where the window is high enough for them beside the drawing, and higher in a higher one."""
        self._height = window_height
        self._fold()

    def _fold(self) -> None:
        shown = self._height >= _CURVES_FROM and self.state.range_mm is not None and self._curves_wanted
        self.curves.setVisible(shown)
        self.curves.setFixedHeight(104 + max(0, int(0.21 * (self._height - 768))))

    def want_curves(self, on: bool) -> None:  # noqa: FBT001  (Qt's own signal)
        """Show the curves, or leave all room to the drawing."""
        self._curves_wanted = on
        self._fold()

    def _ends_shown(self) -> tuple[Solution, ...]:
        """Full droop and full bump, worked out once a build and only where they are wanted."""
        if not self.bar.ends.isChecked() or self.state.range_mm is None or self._document.dragging or self.state.used:
            return ()
        if self._ends is None:
            work, whole = self.state.work, self._document.shown.solution
            ends = [work.posed(whole, one) for one in self.state.range_mm if abs(one) > _AT_LEAST_MM]
            self._ends = tuple(one for one in ends if one is not None)
            self._ended = self._document.shown.build
        return self._ends

    # ---- obstacles

    def _follow(self, origin: object) -> None:
        del origin
        shock = shock_of_entry(self._selection.entry)
        if shock != self._regioned:
            self._regioned = shock
            self._show()
        if self._canvas is not None:
            self._canvas.select_part(self._selection.part, obstacle_of_entry(self._selection.entry))  # type: ignore[arg-type]

    def _pick(self, number: int) -> None:
        self._selection.choose(self, part="obstacles", entry=f"obstacles.{number}.name")

    def _take_outline(self, view: str, corners: Corners) -> None:
        """Add the outline as an obstacle, one step of the history, and bring its entry forward."""
        self._document.hand_in()  # another obstacle may be among what is typed
        corners = tuple((round(x, 3), round(y, 3)) for x, y in corners)
        number = len(self._document.build.obstacles)
        name = self._free_name()
        made = {"name": name, "view": view, "outline_mm": corners}
        if self._document.apply({f"obstacles.{number}": made}, f"drawing {name}"):
            self._pick(number)
            self.naming.emit(f"obstacles.{number}.name")

    def _free_name(self) -> str:
        taken = {one.name for one in self._document.build.obstacles}
        number = len(taken) + 1
        while f"obstacle {number}" in taken:
            number += 1
        return f"obstacle {number}"

    def _layer_gone(self) -> None:
        self._layer = None
        if self._canvas is not None:
            self._canvas.show_both_views(on=False)

    def _leave_layer(self) -> None:
        if self._layer is not None:
            self._layer.leave()


def _same_ends(one: Build, other: Build) -> bool:
    """Whether the axle's travel ends alike in both builds, of which one was made from the other by edits."""
    return all(getattr(one, name) is getattr(other, name) for name in Build.model_fields if name not in _NO_PART)


def obstacle_of_entry(entry: str | None) -> int | None:
    """Number of the obstacle that an entry belongs to, or None."""
    steps = (entry or "").split(".")
    return int(steps[1]) if steps[0] == "obstacles" and len(steps) > 1 and steps[1].isdigit() else None
