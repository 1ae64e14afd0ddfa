"""Bar, canvas and curves of one build, without the rest of the window."""

from pathlib import Path

from PySide6.QtCore import QPoint, QPointF
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.drawing.items import ViewName
from app.window.canvas.canvas import Canvas
from app.window.document import Document
from app.window.selection import Selection
from app.window.travel.desk import TravelDesk
from geometry import Build, Solution
from geometry.words.place import Torque
from geometry.words.solve import Work, solved

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"


def sample(name: str) -> Build:
    """A sample build by its file's name."""
    return Build.model_validate_json((SAMPLES / f"{name}.json").read_bytes())


def moved(build: Build, travel_mm: float, torque: Torque = "none") -> Solution | None:
    """The answer at a place of a build's travel, under torque."""
    work = Work(build)
    return work.posed(solved(work), travel_mm, torque)


class Desk(QWidget):
    """The drawing with its travel, shown and painted once."""

    def __init__(self, build: Build) -> None:
        super().__init__()
        self.document = Document(build, parent=self)
        self.selection = Selection(self)
        self.canvas = Canvas()
        self.desk = TravelDesk(self.document, self.selection, self)
        column = QVBoxLayout(self)
        for widget in (self.canvas, self.desk.bar, self.desk.curves):
            column.addWidget(widget)
        self.desk.attach(self.canvas)
        self.resize(1300, 1000)
        self.grab()

    def pixel(self, view: ViewName, x: float, y: float) -> QPoint:
        """Where a place of a view, mm, is on the page."""
        shown = self.canvas.view(view)
        assert shown is not None
        return QPointF(*shown.px((x, y))).toPoint()
