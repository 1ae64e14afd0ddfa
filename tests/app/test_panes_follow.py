"""Form and findings redo only what an edit changed, and show what panes made anew would show."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QSettings, Qt
from pytestqt.qtbot import QtBot

from app.window.document import Document
from app.window.findings.chosen import ChosenFinding, own_unit, way_words, without_wish
from app.window.form.measure_pane import MeasurePane
from app.window.form.typed_rows import TypedRow
from app.window.keeping import recovery
from app.window.selection import Selection
from app.window.shell.main_window import MainWindow
from geometry import Build, solve

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
EDITS: list[dict[str, object]] = [
    {"powertrain.slope_deg": 4.4},
    {"readings.seat_slope_deg": 1.0},
    {"readings.shaft_length_mm": 1270.0},
    {"axle.tube_diameter_mm": None},
    {"vehicle.cruise_speed_kmh": None},
    {"display.length": "millimetre"},
    {"shaft.tube.outer_diameter_mm": None},
    {"suspension.rate_n_per_mm": None},
    {"plan.rear_lift_mm": 25.0},
    {"obstacles.2": None},
    {"shocks.0": {"name": "left"}},
    {"lateral_link.frame_point_mm": (3300.0, -400.0, 500.0)},
    {"title": "another", "notes": "none"},
    {"gauge": None},
]


@pytest.fixture
def window(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, let_go: Callable[[MainWindow], None]
) -> Iterator[MainWindow]:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")
    made = MainWindow(Build.model_validate_json((SAMPLES / "ranch_truck_swap.json").read_bytes()))
    made.resize(1280, 800)
    made.show()
    qtbot.waitExposed(made)
    yield made
    let_go(made)


def form(pane: MeasurePane) -> dict[str, object]:
    """All that the form says: each section's count, and the words in each row."""
    said: dict[str, object] = {}
    for key, box in pane.boxes.items():
        box.set_open(opened=True)
        said[key] = box.button.accessibleDescription()
        for row in box.rows:
            if isinstance(row, TypedRow):
                said[f"{key} {row.entry.path}"] = [edit.text() for edit in row.edits]
    return said


def test_the_form_says_what_a_form_made_anew_says(qtbot: QtBot, window: MainWindow) -> None:
    form(window.measurements)  # every row is made, and from here on kept
    for changes in EDITS:
        assert window.document.apply(changes, "edit"), changes
        fresh = MeasurePane(Document(window.document.build), Selection())
        qtbot.addWidget(fresh)
        assert form(window.measurements) == form(fresh), changes


def test_a_finding_looked_at_again_says_its_own_words_and_applies_its_own_remedy(qtbot: QtBot) -> None:
    detail = ChosenFinding()
    qtbot.addWidget(detail)
    detail.resize(380, 900)
    detail.show()
    solutions = [
        solve(Build.model_validate_json((SAMPLES / f"{name}.json").read_bytes()))
        for name in ("ranch_truck_swap", "lifted_short_shaft")
    ]
    findings = [(one, solution) for solution in solutions for one in solution.findings]
    assert sum(one.remedy is not None for one, _ in findings) > 1
    for finding, solution in [*findings, *reversed(findings)]:
        detail.show_finding(finding, solution, Build())
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        said = own_unit(finding.says)
        assert detail.sentence.text() == (without_wish(said) if detail.bar.isVisible() else said)
        assert finding.basis in detail.sentence.texts()
        remedies = [] if finding.remedy is None else [finding.remedy, *finding.alternatives]
        assert detail.place == 0
        for remedy in remedies:
            assert detail.says.text() == way_words(remedy)
            assert [one.isVisible() for one in detail.buttons] == [True] * bool(remedy.changes)
            for button in detail.buttons:
                with qtbot.waitSignal(detail.applied) as caught:
                    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
                assert caught.args == [remedy]
            qtbot.mouseClick(detail.on, Qt.MouseButton.LeftButton)
