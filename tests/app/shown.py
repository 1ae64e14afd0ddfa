"""What a window says: in its drawing, its list of findings and its labels."""

from PySide6.QtWidgets import QLabel, QWidget

from app.drawing.items import Words
from app.window.findings.setpoints import Point
from app.window.shell.main_window import MainWindow


def drawn_words(window: MainWindow) -> str:
    """All that is written in the drawing."""
    canvas = window.drawing.canvas
    assert canvas is not None
    assert canvas.drawing is not None
    return " | ".join(item.text for layer in canvas.drawing.layers for item in layer.items if isinstance(item, Words))


def labels(widget: QWidget) -> list[str]:
    """Words of the labels of a widget that can be seen."""
    return [one.text() for one in widget.findChildren(QLabel) if one.isVisible() and one.text()]


def set_point(window: MainWindow, name: str) -> Point:
    """One of the set-points of the window by its name."""
    return next(one for one in window.findings.setpoints.points if one.name == name)
