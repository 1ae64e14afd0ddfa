"""The pane with the curves: its cursor is the slider's, and dragging in a panel moves the axle."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, QSettings, Qt
from pytestqt.qtbot import QtBot

from app.curves.curves import curves_of, worst_of
from app.curves.panels import Panels
from app.drawing.palette import DARK
from app.window.document import Document
from app.window.travel.curves import CurvesPane
from app.window.travel.state import TravelState
from geometry import solve
from tests.app.desk import sample


class Shown(CurvesPane):
    """The pane on a document of its own."""

    def __init__(self, name: str) -> None:
        self.document = Document(sample(name))
        self.state = TravelState(self.document, self.document)
        super().__init__(self.document, self.state)
        self.document.setParent(self)
        self.resize(760, 130)
        self.grab()

    @property
    def drawn(self) -> Panels:
        assert self.page is not None
        return self.page


@pytest.fixture
def pane(qtbot: QtBot, tmp_path: Path) -> Shown:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    made = Shown("ranch_truck_swap")
    qtbot.addWidget(made)
    return made


def test_the_cursor_and_the_values_follow_the_slider(pane: Shown) -> None:
    plot = pane.drawn.plots[1]
    before = pane.grab().toImage()
    at_ride = QPointF(pane.drawn.x_of(plot, 0.0), plot.box[1] + 2.0).toPoint()
    there = QPointF(pane.drawn.x_of(plot, 60.0), plot.box[1] + 2.0).toPoint()
    words = [text for _, text in pane.drawn.words]
    pane.state.go(60.0)
    after = pane.grab().toImage()
    assert before.pixelColor(there) != after.pixelColor(there)
    assert before.pixelColor(at_ride) != after.pixelColor(at_ride)
    assert [text for _, text in pane.drawn.words] != words


def test_dragging_in_a_panel_moves_the_axle_and_snaps_to_ride_height(qtbot: QtBot, pane: Shown) -> None:
    state, page, plot = pane.state, pane.drawn, pane.drawn.plots[2]
    low, high = page.curves.travel_mm[0], page.curves.travel_mm[-1]
    near = 1.5 * float(high - low) / (plot.box[2] - plot.box[0])  # a pixel and a half
    y = (plot.box[1] + plot.box[3]) / 2.0
    start = QPointF(page.x_of(plot, -40.0), y).toPoint()
    qtbot.mousePress(pane, Qt.MouseButton.LeftButton, pos=start)
    assert state.travel_mm == pytest.approx(-40.0, abs=near)
    qtbot.mouseMove(pane, QPointF(page.x_of(plot, 30.0), y).toPoint())
    assert state.travel_mm == pytest.approx(30.0, abs=near)
    qtbot.mouseMove(pane, QPointF(page.x_of(plot, 0.0) + 2.0, y).toPoint())
    assert state.travel_mm == 0.0
    qtbot.mouseMove(pane, QPointF(5_000.0, y).toPoint())
    assert state.travel_mm == high
    qtbot.mouseRelease(pane, Qt.MouseButton.LeftButton, pos=start)
    qtbot.mouseMove(pane, start)
    assert state.travel_mm == high


def test_a_press_beside_the_panels_moves_nothing(qtbot: QtBot, pane: Shown) -> None:
    qtbot.mousePress(pane, Qt.MouseButton.LeftButton, pos=QPointF(pane.drawn.plots[0].box[0] + 5.0, 5.0).toPoint())
    assert pane.state.travel_mm == 0.0


def test_an_edit_draws_the_curves_anew_and_says_the_worst(pane: Shown) -> None:
    before = pane.grab().toImage()
    pane.document.apply({"axle.pinion_slope_deg": 6.0}, "pinion")
    assert pane.grab().toImage() != before
    made = curves_of(pane.document.build, solve(pane.document.build))
    assert made is not None
    found = worst_of(made, made.panels[1].series[0])
    assert found is not None
    assert f"uneven running {found[1]:,.0f} rad/s²" in pane.accessibleDescription()


def test_the_theme_colours_paper_and_curves(pane: Shown) -> None:
    pane.show_theme(DARK)
    assert pane.grab().toImage().pixelColor(1, 1).name().upper() == DARK.paper
    assert pane.drawn.theme == DARK


def test_without_a_travel_it_is_empty_and_says_so(qtbot: QtBot, tmp_path: Path) -> None:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    made = Shown("three_angles_and_a_length")
    qtbot.addWidget(made)
    assert made.page is None
    assert made.accessibleDescription() == "The travel is not known."
