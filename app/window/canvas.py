"""The drawing on the screen: strokes by matplotlib in three layers, words by Qt over them.

The empty page (paper and grid) is drawn anew only when size, theme or camera change. What seldom changes (floor, tyres,
rails, obstacles) is drawn over it once and kept; an edit restores that picture, draws the moving strokes on it, and Qt
paints the words. matplotlib is imported with the first drawing, so that the window shows before it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.sketch.palette import THEMES, ThemeName
from app.window.canvas_pointer import PointedPage

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from app.sketch.camera import Camera
    from app.sketch.ends import End
    from app.sketch.grid import Grid
    from app.sketch.layout import Page
    from app.sketch.placed import Placed
    from app.sketch.primitives import Extents, Kind, Scene
    from app.sketch.scene import Posed
    from app.window.canvas_stage import Stage
    from app.window.canvas_touched import Overlay
    from app.window.canvas_words import WordPainter
    from geometry.document import Build
    from geometry.words.solution import Part, Solution

_SMALLEST_SHARE = 0.2  # of the page's width; a smaller subject has the page fitted anew


class SketchCanvas(PointedPage):
    """Side view over top view of one solution.

    `full_draws` counts drawings of the empty page, `blits` drawings of the moving strokes alone, `layouts` how often
    all words were placed. `overlay` paints over everything, last.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.full_draws = 0
        self.blits = 0
        self.layouts = 0
        self._theme: ThemeName = "light"
        self._shown: tuple[Build, Solution] | None = None
        self._posed: Posed | None = None
        self._ends: Sequence[End] = ()
        self._extents: Extents | None = None
        self._selected: Part | None = None
        self._obstacle: int | None = None
        self._scene: Scene | None = None
        self._lasting: Scene | None = None
        self._camera: Camera | None = None
        self._drawn_as: tuple[Kind, bool] | None = None
        self._own_view = False
        self._held = False
        self._grid: Grid | None = None
        self._page: Page | None = None
        self._places: Mapping[str, Placed] = {}
        self._stage: Stage | None = None
        self._words: WordPainter | None = None
        self._stale = True
        self.overlay: Overlay | None = None
        self.setObjectName("sketch")
        self.setAccessibleName("Sketch of the driveline")
        self.setAccessibleDescription("Side view over top view. Nothing is drawn yet.")
        self.setMinimumSize(420, 280)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    # ---- what others tell it

    def show_solution(
        self, build: Build, solution: Solution, *, posed: Posed | None = None, ends: Sequence[End] = ()
    ) -> None:
        """Draw this build and its solution; the view stays where it is while the shaft is in it.

        `posed` is the state to draw instead of ride height, `ends` are outlined faintly.
        """
        anew = self._shown is None or self._shown[0] is not build or self._shown[1] is not solution
        if anew and not self._held:
            self._extents = None
        self._shown = (build, solution)
        self._posed, self._ends = posed, ends
        self._edit()

    def show_edit(
        self, build: Build, solution: Solution, *, posed: Posed | None = None, ends: Sequence[End] = ()
    ) -> bool:
        """Draw an edit at once, with its words where they stood as long as they stand well there; `show_solution` is to
        follow when there is time.

        `ends` are those that are known to be this build's. False, and nothing is drawn, where the page is to be drawn
        anew.
        """
        if not self._held:
            self._extents = None
        self._shown = (build, solution)
        self._posed, self._ends = posed, ends
        made, camera = self._make_scene(), self._camera
        if made is None or camera is None or not self._ready(made):
            return False
        self.setAccessibleDescription(made.says)
        page = self._carried(made, strict=True)
        self._draw_edit(made, self._with_room(made, camera) if page is None else page)
        return True

    def show_glimpse(self, build: Build, solution: Solution) -> None:
        """Draw what lies under a hand that moves; view and words stand still until `let_go`, leaders follow."""
        self._held = True
        self._shown = (build, solution)
        self._posed, self._ends = None, ()
        made = self._make_scene()
        page = self._carried(made, strict=False) if made is not None and self._ready(made) else None
        if made is not None and page is not None:
            self._draw_edit(made, page)
        else:
            self._edit()

    def let_go(self) -> None:
        """The hand has let go: from the next solution on, the view fits it again."""
        if self._held:
            self._held = False
            self._extents = None

    def show_pose(self, posed: Posed | None) -> None:
        """Draw another state of the solution that is shown; None for ride height."""
        self._posed = posed
        self._edit()

    def show_ends(self, ends: Sequence[End]) -> None:
        """Outline these ends of the travel, or none."""
        self._ends = ends
        self._edit()

    def select_part(self, part: Part | None, obstacle: int | None = None) -> None:
        """Give a part the accent's halo, or none; of obstacles, the one with that number if it is given."""
        if (part, obstacle) != (self._selected, self._obstacle):
            self._selected, self._obstacle = part, obstacle
            self._edit()

    def set_theme(self, name: ThemeName) -> None:
        """Take the light or the dark colours."""
        if name != self._theme:
            self._theme = name
            self._stale = True
            self.update()

    def fit(self) -> None:
        """Show the whole subject as large as it can be, for a new build or after wandering."""
        self._own_view = False
        self._camera = None
        self._places = {}
        self._stale = True
        self.update()

    def look(self, camera: Camera) -> None:
        """Show this view, and keep it through edits until `fit`."""
        self._camera = camera
        self._own_view = True
        self._places = {}
        self._stale = True
        self.update()

    @property
    def theme(self) -> ThemeName:
        """Name of the colours in use."""
        return self._theme

    @property
    def stage(self) -> Stage | None:
        """Figure and artists, once something was drawn."""
        return self._stage

    @property
    def words(self) -> WordPainter | None:
        """Fonts of the drawing, once something was drawn."""
        return self._words

    @property
    def page(self) -> Page | None:
        """The page as last drawn: where words, leaders and flags stand."""
        return self._page

    @property
    def camera(self) -> Camera | None:
        """What of the vehicle the page shows, and how large; None before the first drawing."""
        return self._camera

    @property
    def scene(self) -> Scene | None:
        """The scene as last drawn."""
        return self._scene

    # ---- drawing

    def _edit(self) -> None:
        """Draw an edit at once where the page is ready for it; otherwise with the next paint."""
        made = self._make_scene()
        if made is None:
            return
        self.setAccessibleDescription(made.says)
        self._lasting = made
        if self._ready(made) and self._camera is not None:
            self._draw_edit(made, self._laid_out(made, self._camera))
        else:
            self._stale = True
            self.update()

    def _make_scene(self) -> Scene | None:
        """The scene of what is shown; a view that no longer serves it is given up."""
        if self._shown is None:
            return None
        from app.sketch.scene import scene

        build, solution = self._shown
        made = self._scene = scene(
            build,
            solution,
            selected=self._selected,
            obstacle=self._obstacle,
            posed=self._posed,
            ends=self._ends,
            extents=self._extents,
            travel_room=True,
        )
        self._extents = made.extents
        if self._camera is not None and not self._serves(made, self._camera):
            self._own_view = False
            self._camera = None
            self._places = {}
        return made

    def _ready(self, scene: Scene) -> bool:
        """Whether the page is drawn, and as this scene wants it."""
        drawn = not self._stale and self._stage is not None and self._camera is not None
        return drawn and self._drawn_as == (scene.kind, scene.inches)

    def _draw_edit(self, scene: Scene, page: Page) -> None:
        """Draw the moving strokes alone, and have painted what is another than before."""
        from app.window.canvas_touched import touched

        if self._stage is None:
            return
        before, self._page = self._page, page
        changed = self._stage.draw_scene(scene)
        self.blits += 1
        region = None if changed is None or before is None else touched(changed, before, page)
        if region is None:
            self.update()
        else:
            self.update(region if self.overlay is None else region + self.overlay.stale())

    def _serves(self, scene: Scene, camera: Camera) -> bool:
        """Whether the view still shows the subject at a fair size; one that the person chose is never taken away."""
        if self._drawn_as is not None and self._drawn_as[0] != scene.kind:
            return False
        x0, x1 = scene.extents.subject[:2]
        small = x1 > x0 and (x1 - x0) * camera.scale < _SMALLEST_SHARE * camera.side.width
        return self._own_view or self._held or (camera.shows(scene.extents.subject) and not small)

    def _draw_page(self, scene: Scene) -> None:
        """Draw everything anew: another size, theme or view."""
        from app.sketch.camera import fitted, resized
        from app.sketch.grid import grid_of
        from app.window.canvas_stage import Stage

        theme = THEMES[self._theme]
        if self._stage is None:
            self._stage = Stage(theme)
        width, height = max(self.width(), 2), max(self.height(), 2)
        camera = self._camera
        if camera is None or (camera.width, camera.height) != (width, height):
            fresh = fitted(scene, width, height)
            camera = resized(camera, fresh) if self._own_view or self._held else fresh
        self._camera = camera
        self._grid = grid_of(camera, inches=scene.inches)
        self._stage.draw_page(camera, self._grid, theme, self.devicePixelRatioF())
        self._stage.draw_scene(scene)
        self._page = self._laid_out(scene, camera)
        self._drawn_as = (scene.kind, scene.inches)
        self.full_draws += 1
        self._stale = False

    def _laid_out(self, scene: Scene, camera: Camera) -> Page:
        """The page with its words in their best places, or where they stood while that is good."""
        from app.sketch.layout import laid_out

        page = laid_out(scene, camera, self._fonts().measure, grid=self._grid, previous=self._places)
        self.layouts += 1
        # What is not there for a while, as the ends of the travel, comes back to where it stood.
        gone = self._places.keys() - {label.key for label in scene.labels}
        self._places = {**{key: self._places[key] for key in gone}, **page.places}
        return page

    def _with_room(self, scene: Scene, camera: Camera) -> Page:
        """The page of an edit with its words in their best places beside the ends of the travel, which are to follow
        about where they were.
        """
        from app.sketch.ends import with_ends_of

        if self._lasting is None:
            return self._laid_out(scene, camera)
        page = self._laid_out(with_ends_of(scene, self._lasting), camera)
        shown = {label.key for label in scene.labels}
        return replace(page, callouts=tuple(one for one in page.callouts if one.label.key in shown))

    def _carried(self, scene: Scene, *, strict: bool) -> Page | None:
        """The page with its words where they stood; where that is `strict`, None if they would stand badly."""
        from app.sketch.layout import carried_over

        before, camera = self._page, self._camera
        if before is None or camera is None or not self._places:
            return None
        return carried_over(
            scene, camera, self._fonts().measure, self._places, grid=self._grid,
            left_out=before.left_out if strict else None,
        )  # fmt: skip

    def _fonts(self) -> WordPainter:
        from app.window.canvas_words import WordPainter

        if self._words is None:
            self._words = WordPainter()
        return self._words

    def paintEvent(self, event: QPaintEvent) -> None:
        """Put the drawing and its words on the screen."""
        painter = QPainter(self)
        if self._scene is None:
            painter.fillRect(event.rect(), QColor(THEMES[self._theme].paper))
            return
        if self._stale:
            self._draw_page(self._scene)
        if self._stage is not None:
            painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Source)
            painter.drawImage(QPointF(0.0, 0.0), self._stage.image)
            painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)
        if self._page is not None and self._words is not None:
            self._words.paint(painter, self._page, THEMES[self._theme], event.region())
        if self.overlay is not None:
            self.overlay.paint(painter)
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the page to another size."""
        super().resizeEvent(event)
        camera = self._camera
        if camera is None or (camera.width, camera.height) != (self.width(), self.height()):
            self._places = {}
            self._stale = True

    def sizeHint(self) -> QSize:
        """Size at which the drawing is at its best."""
        return QSize(1400, 900)
