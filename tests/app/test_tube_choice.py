"""The page on which a tube is chosen: the table, its sorting, and what a press on it does."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton, QTableWidget
from pytestqt.qtbot import QtBot

from app.drawing.palette import LIGHT
from app.window.document import Document
from app.window.shell.main_window import MainWindow
from app.window.shell.tube_choice import HEADS, TubeChoice
from geometry import Build, edited, value_at
from geometry.words.tubes import tube_options
from tests.geometry.strategies import sample


@pytest.fixture
def document() -> Document:
    return Document(sample("ranch_truck_swap"))


@pytest.fixture
def page(qtbot: QtBot, document: Document) -> TubeChoice:
    page = TubeChoice(document, LIGHT)
    qtbot.addWidget(page)
    page.show()
    return page


def column(table: QTableWidget, name: str) -> list[str]:
    place = HEADS.index(name)
    return [table.model().index(row, place).data() for row in range(table.rowCount())]


def test_every_tube_has_its_row_with_a_verdicts_shape_and_the_best_is_chosen(
    page: TubeChoice, document: Document
) -> None:
    options = tube_options(document.build)
    assert column(page.table, "Tube") == [f"{one.name}{', as entered' if one.present else ''}" for one in options]
    assert page.chosen == options[0]
    assert page.says.text() == options[0].says
    for row in range(page.table.rowCount()):
        for head in ("Whole build", "Of critical", "Shear", "Least gap"):
            assert not page.table.model().index(row, HEADS.index(head)).data(Qt.ItemDataRole.DecorationRole).isNull()
    assert "not known" not in " ".join(column(page.table, "Shear"))


@pytest.mark.parametrize("name", HEADS)
def test_a_heading_sorts_by_the_number_and_the_row_keeps_its_words(page: TubeChoice, name: str) -> None:
    place = HEADS.index(name)
    page.table.sortItems(place, Qt.SortOrder.AscendingOrder)
    orders = [page.table.item(row, place).order for row in range(page.table.rowCount())]  # type: ignore[union-attr]
    assert orders == sorted(orders)
    for row in (0, page.table.rowCount() - 1):
        page.table.selectRow(row)
        assert column(page.table, "Tube")[row].startswith(page.chosen.name)
        assert page.says.text() == page.chosen.says


def test_a_press_makes_the_shaft_so_in_one_step(qtbot: QtBot, page: TubeChoice, document: Document) -> None:
    before = document.build
    row = column(page.table, "Tube").index("3.50 × 0.095 in steel")
    page.table.selectRow(row)
    qtbot.mouseClick(page.apply, Qt.MouseButton.LeftButton)
    assert not page.isVisible()
    assert value_at(document.build, "shaft.tube.outer_diameter_mm") == pytest.approx(88.9)
    assert document.stack.undoText().endswith("a shaft of 3.50 × 0.095 in steel in one piece")
    document.stack.undo()
    assert document.build == before


def test_one_piece_becomes_two_with_its_bearing(page: TubeChoice, document: Document) -> None:
    page.table.selectRow(column(page.table, "Pieces").index("2"))
    assert "Its support bearing sits" in page.says.text()
    chosen = page.chosen
    page.apply.click()
    assert value_at(document.build, "shaft.kind") == "two_piece"
    assert value_at(document.build, "shaft.bearing_mm") == chosen.bearing_mm


def test_the_present_tube_is_bold_and_cannot_be_taken_again(page: TubeChoice) -> None:
    row = next(place for place, name in enumerate(column(page.table, "Tube")) if name.endswith("as entered"))
    page.table.selectRow(row)
    assert page.table.item(row, 1).font().bold()  # type: ignore[union-attr]
    assert not page.apply.isEnabled()
    page.table.selectRow(row + 1)
    assert page.apply.isEnabled()


def test_with_nothing_measured_it_says_what_is_not_known(qtbot: QtBot) -> None:
    page = TubeChoice(Document(Build()), LIGHT)
    qtbot.addWidget(page)
    assert set(column(page.table, "Of critical")) == {"not known"}
    assert set(column(page.table, "Least gap")) == {"no obstacle"}
    assert set(column(page.table, "Whole build")) == {"unknown"}


def test_it_opens_from_the_menu_and_from_the_shaft(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    window.filing.open_sample(Path("sample_builds") / "ranch_truck_swap.json")
    shown: list[TubeChoice] = []
    monkeypatch.setattr(TubeChoice, "exec", lambda page: shown.append(page) or 0)
    plan = next(one for one in window.menuBar().actions() if one.text() == "&Plan").menu()
    next(one for one in plan.actions() if "tube" in one.text().replace("&", "")).trigger()  # type: ignore[union-attr]
    assert len(shown) == 1
    window.measurements.bring_forward("shaft.tube.wall_mm")
    box = window.measurements.boxes["shaft"]
    next(one for one in box.findChildren(QPushButton) if one.accessibleName() == "Choose the tube").click()
    assert len(shown) == 2


def test_the_persons_own_list_is_one_press_away(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.filing.open_sample(Path("sample_builds") / "ranch_truck_swap.json")
    box = window.measurements.boxes["tube_stock"]
    assert box.isHidden()

    def press(page: TubeChoice) -> int:
        next(one for one in page.findChildren(QPushButton) if "can get" in one.text()).click()
        return 0

    monkeypatch.setattr(TubeChoice, "exec", press)
    window.choose_tube()
    assert box.isVisible()
    assert box.is_open
    assert box.adder is not None
    qtbot.waitUntil(box.adder.hasFocus)
    box.adder.click()
    assert len(window.document.build.tube_stock) == 1
    document = window.document
    document.apply({"tube_stock.0": {"outer_diameter_mm": 90.0, "wall_mm": 3.0}}, "a tube")
    assert {one.outer_mm for one in tube_options(document.build) if not one.present} == {90.0}


def test_sizes_are_in_the_persons_own_unit(qtbot: QtBot) -> None:
    document = Document(edited(sample("ranch_truck_swap"), {"display.length": "millimetre"}))
    page = TubeChoice(document, LIGHT)
    qtbot.addWidget(page)
    assert "88.9 × 2.1 mm steel" in column(page.table, "Tube")
