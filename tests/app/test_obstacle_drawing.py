"""Obstacles drawn with the mouse or the keyboard: one step each, snapped, named, shown and picked."""

import itertools
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, QSettings, Qt
from PySide6.QtGui import QImage, QPainter
from pytestqt.qtbot import QtBot

from app.drawing.palette import LIGHT
from app.window.travel.desk import obstacle_of_entry
from geometry import edited
from tests.app.desk import Desk, sample

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def van(qtbot: QtBot, tmp_path: Path) -> Desk:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    made = Desk(edited(sample("long_van_two_piece"), {"obstacles": ()}))
    qtbot.addWidget(made)
    return made


def test_clicks_and_a_double_click_add_one_obstacle_as_one_step(qtbot: QtBot, van: Desk) -> None:
    van.desk.draw_obstacle()
    layer = van.desk.layer
    assert layer is not None
    corners = [(2203.0, 604.0), (2398.0, 604.0), (2401.0, 702.0)]
    for x, z in corners:
        qtbot.mouseClick(layer, LEFT, pos=van.pixel("side", x, z))
    with qtbot.waitSignal(van.document.changed):
        qtbot.mouseDClick(layer, LEFT, pos=van.pixel("side", *corners[-1]))
    assert van.desk.layer is None
    assert van.document.stack.count() == 1
    assert van.document.stack.undoText() == "drawing obstacle 1"
    made = van.document.build.obstacles[0]
    assert (made.name, made.view) == ("obstacle 1", "side")
    for got, wanted in zip(made.outline_mm, corners, strict=True):
        assert got == pytest.approx(wanted, abs=7.0)  # half a centimetre and half a pixel
        assert all(one % 10.0 == 0.0 for one in got)
    assert (van.selection.part, van.selection.entry) == ("obstacles", "obstacles.0.name")
    van.document.stack.undo()
    assert van.document.build.obstacles == ()


def test_alt_snaps_to_half_units_in_the_top_view(qtbot: QtBot, tmp_path: Path) -> None:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    truck = Desk(sample("ranch_truck_swap"))
    qtbot.addWidget(truck)
    truck.desk.draw_obstacle()
    layer = truck.desk.layer
    assert layer is not None
    alt = Qt.KeyboardModifier.AltModifier
    for inches in ((70.5, -5.5), (75.0, -5.5), (75.0, -2.5), (70.5, -2.5)):
        x, y = (25.4 * one for one in inches)  # 1 in = 25.4 mm exactly
        qtbot.mouseClick(layer, LEFT, alt, truck.pixel("top", x, y))
    qtbot.keyClick(layer, Qt.Key.Key_Return)
    made = truck.document.build.obstacles[-1]
    assert (made.name, made.view) == ("obstacle 4", "top")
    steps = np.array(made.outline_mm) / 12.7
    assert steps == pytest.approx(np.round(steps), abs=1e-9)
    assert np.array(made.outline_mm)[0] / 25.4 == pytest.approx((70.5, -5.5), abs=0.26)


def test_where_a_low_page_says_the_view_from_above_in_words_it_comes_back_to_be_drawn_in(
    qtbot: QtBot, tmp_path: Path
) -> None:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    hauler = Desk(sample("lifted_short_shaft"))
    qtbot.addWidget(hauler)
    hauler.canvas.setFixedSize(794, 472)
    hauler.grab()
    assert hauler.canvas.view("top") is None
    hauler.desk.draw_obstacle()
    assert hauler.canvas.view("top") is not None
    assert hauler.desk.layer is not None
    hauler.desk.layer.leave()
    assert hauler.canvas.view("top") is None


def test_escape_and_too_few_corners_add_nothing(qtbot: QtBot, van: Desk) -> None:
    van.desk.draw_obstacle()
    layer = van.desk.layer
    assert layer is not None
    for x in (2200.0, 2400.0):
        qtbot.mouseClick(layer, LEFT, pos=van.pixel("side", x, 600.0))
    qtbot.keyClick(layer, Qt.Key.Key_Return)
    assert van.desk.layer is layer
    qtbot.mouseClick(layer, LEFT, pos=van.pixel("side", 2600.0, 600.0))  # three in one line bound nothing
    qtbot.keyClick(layer, Qt.Key.Key_Return)
    assert van.desk.layer is layer
    qtbot.keyClick(layer, Qt.Key.Key_Escape)
    assert van.desk.layer is None
    assert van.document.stack.count() == 0


def test_the_whole_outline_can_be_drawn_from_the_keyboard(qtbot: QtBot, van: Desk) -> None:
    van.desk.draw_obstacle()
    layer = van.desk.layer
    assert layer is not None
    qtbot.keyClick(layer, Qt.Key.Key_Up)
    qtbot.keyClick(layer, Qt.Key.Key_Space)
    start = layer.tool.near
    assert start is not None
    qtbot.keyClick(layer, Qt.Key.Key_Right)
    qtbot.keyClick(layer, Qt.Key.Key_Space)
    qtbot.keyClick(layer, Qt.Key.Key_Space)  # the same corner once more is not set twice
    qtbot.keyClick(layer, Qt.Key.Key_Down)
    qtbot.keyClick(layer, Qt.Key.Key_Space)
    qtbot.keyClick(layer, Qt.Key.Key_Left)
    qtbot.keyClick(layer, Qt.Key.Key_Space)
    qtbot.keyClick(layer, Qt.Key.Key_Backspace)
    qtbot.keyClick(layer, Qt.Key.Key_Enter)
    x, z = start
    assert van.document.build.obstacles[0].outline_mm == ((x, z), (x + 10.0, z), (x + 10.0, z - 10.0))


def test_page_keys_go_to_the_view_from_above(qtbot: QtBot, van: Desk) -> None:
    van.desk.draw_obstacle()
    layer = van.desk.layer
    assert layer is not None
    qtbot.keyClick(layer, Qt.Key.Key_PageDown)
    assert layer.tool.view == "top"
    assert "right" in layer.tool.words()


def test_the_outline_so_far_is_seen_and_its_place_told(qtbot: QtBot, van: Desk) -> None:
    before = van.canvas.grab().toImage()
    van.desk.draw_obstacle()
    layer = van.desk.layer
    assert layer is not None
    at = van.pixel("side", 2200.0, 600.0)
    qtbot.mouseClick(layer, LEFT, pos=at)
    assert layer.tool.words() == "back 2,200 mm, up 600 mm"
    after = van.canvas.grab().toImage()
    near = [at + QPoint(dx, dy) for dx in range(-5, 6) for dy in range(-5, 6)]
    assert sum(after.pixelColor(one) != before.pixelColor(one) for one in near) > 12  # a ring about the corner


class _Noting(QPainter):
    """A painter that notes the dashed lines it is asked for."""

    def __init__(self, on: QImage) -> None:
        super().__init__(on)
        self.dashed: list[tuple[tuple[float, float], tuple[float, float]]] = []

    def drawLine(self, one: QPointF, two: QPointF) -> None:
        if self.pen().style() == Qt.PenStyle.DashLine:
            self.dashed.append((one.toTuple(), two.toTuple()))
        super().drawLine(one, two)


@pytest.mark.parametrize("corners", [0, 1, 2, 3])
def test_dashes_lead_from_the_last_corner_to_the_next_and_from_two_on_back_to_the_first(
    qtbot: QtBot, van: Desk, corners: int
) -> None:
    """So one sees what Enter would close."""
    van.desk.draw_obstacle()
    layer = van.desk.layer
    assert layer is not None
    places = [(2200.0, 600.0), (2400.0, 600.0), (2400.0, 700.0)][:corners]
    for x, z in places:
        qtbot.mouseClick(layer, LEFT, pos=van.pixel("side", x, z))
    layer.tool.aim(van.canvas, *van.pixel("side", 2300.0, 750.0).toTuple())
    view, image = van.canvas.view("side"), QImage(1300, 1000, QImage.Format.Format_RGB32)
    assert view is not None
    painter = _Noting(image)
    layer.tool.paint(painter, view, LIGHT, 1300.0)
    painter.end()
    assert layer.tool.near is not None
    near = layer.tool.near
    made = layer.tool.corners
    wanted = [(made[-1], near)] if made else []
    if corners >= 2:
        wanted.append((near, made[0]))
    assert len(painter.dashed) == len(wanted)
    for (one, two), (first, second) in zip(painter.dashed, wanted, strict=True):
        assert one == pytest.approx(view.px(first), abs=0.01)
        assert two == pytest.approx(view.px(second), abs=0.01)


@pytest.mark.parametrize("other", ["ranch_truck_swap", "three_angles_and_a_length"])
def test_another_file_is_shown_whole_and_ends_an_outline_of_the_one_before(qtbot: QtBot, van: Desk, other: str) -> None:
    van.desk.draw_obstacle()
    layer = van.desk.layer
    assert layer is not None
    qtbot.mouseClick(layer, LEFT, pos=van.pixel("side", 2200.0, 600.0))
    van.document.open(sample(other), None)
    assert van.desk.layer is None
    assert van.desk.settled
    assert van.canvas.subject is not None
    assert van.canvas.subject.build == sample(other)
    assert van.document.stack.count() == 0


def test_corners_under_a_lift_are_kept_as_they_would_be_measured(qtbot: QtBot, tmp_path: Path) -> None:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    lifted = Desk(sample("lifted_short_shaft"))
    qtbot.addWidget(lifted)
    lifted.desk.draw_obstacle()
    layer = lifted.desk.layer
    assert layer is not None
    clicked = [(2200.0, 700.0), (2300.0, 700.0), (2300.0, 800.0)]
    for x, z in clicked:
        qtbot.mouseClick(layer, LEFT, pos=lifted.pixel("side", x, z))
    drawn = layer.tool.outline
    qtbot.keyClick(layer, Qt.Key.Key_Return)
    # Corners are told and kept as a tape reads them before the lift; they are drawn where they were clicked.
    kept = np.array(lifted.document.build.obstacles[0].outline_mm)
    assert kept == pytest.approx(np.array(drawn), abs=2e-3)
    shown = np.array(lifted.document.solution.picture.obstacles_mm[0])
    plan = lifted.document.build.plan
    assert plan is not None
    assert shown[:, 1] - kept[:, 1] == pytest.approx(plan.front_lift_mm, abs=0.01)
    assert np.abs(shown - np.array(clicked)).max() <= 12.7 + 2.0  # to the nearest inch and pixel


def test_an_obstacle_is_named_picked_and_gets_the_halo_alone(qtbot: QtBot, tmp_path: Path) -> None:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    truck = Desk(sample("ranch_truck_swap"))
    qtbot.addWidget(truck)
    assert truck.canvas.drawing is not None
    assert "crossmember" in {text for _, text in truck.canvas.drawing.words}
    middle = np.mean(truck.document.build.obstacles[1].outline_mm, axis=0)
    with qtbot.waitSignal(truck.canvas.obstacle_clicked) as caught:
        qtbot.mouseClick(truck.canvas, LEFT, pos=truck.pixel("side", *middle.tolist()))
    assert caught.args == [1]
    assert truck.selection.entry == "obstacles.1.name"
    changed = truck.canvas.grab().toImage()
    truck.canvas.select_part(None)
    plain = truck.canvas.grab().toImage()
    for number, (one, outline) in enumerate(
        zip(truck.document.build.obstacles, truck.document.solution.picture.obstacles_mm, strict=True)
    ):
        edges = [truck.pixel(one.view, *np.mean(side, axis=0)) for side in itertools.pairwise(outline)]
        view = truck.canvas.view(one.view)
        assert view is not None
        seen = [at for at in edges if view.holds((at.x(), at.y()))]
        assert seen
        assert any(changed.pixelColor(at) != plain.pixelColor(at) for at in seen) == (number == 1), one.name


def test_nothing_to_draw_into_without_positions(qtbot: QtBot, tmp_path: Path) -> None:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    hurry = Desk(sample("three_angles_and_a_length"))
    qtbot.addWidget(hurry)
    hurry.desk.draw_obstacle()
    assert hurry.desk.layer is None


@pytest.mark.parametrize(
    ("entry", "number"), [("obstacles.2.name", 2), ("obstacles", None), ("axle.ratio", None), (None, None)]
)
def test_entries_know_their_obstacle(entry: str | None, number: int | None) -> None:
    assert obstacle_of_entry(entry) == number
