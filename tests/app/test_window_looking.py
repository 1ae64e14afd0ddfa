"""Looking about in the real window: drawing, findings and measurements point at each other, by mouse and keyboard."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, QRect, QSettings, QSize, Qt
from PySide6.QtGui import Qt as Rich
from PySide6.QtGui import QTextDocument
from PySide6.QtWidgets import QApplication, QPlainTextEdit, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from app.drawing.palette import THEMES
from app.measuring.entries import Entry, entries_of
from app.measuring.sections import HEADINGS, LISTS, PARTS, contents, flat, part_of
from app.window.form.choice_rows import Chooser
from app.window.keeping import recovery
from app.window.shell.main_window import MainWindow
from geometry import Build, edited
from geometry.document.brackets import LateralLink, Plan
from geometry.document.perches import AxleSquare, Clamp, Perches
from geometry.document.quantity import Section
from geometry.document.running_gear import Axle
from geometry.document.shaft_ends import Wishes
from geometry.document.state import State, Use
from geometry.document.vehicle import Gauge, Powertrain, Readings, Vehicle
from geometry.words.solution import Part

RANCH = Path(__file__).parent.parent.parent / "sample_builds" / "ranch_truck_swap.json"


@pytest.fixture
def window(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, let_go: Callable[[MainWindow], None]
) -> Iterator[MainWindow]:
    """A window on a sample, its settings and copies in a folder of their own, its drawing loaded."""
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")
    whole = Build.model_validate_json(RANCH.read_text(encoding="utf-8"))
    made = MainWindow(edited(whole, {"state": None, "use": None, "order": None}))
    made.resize(1280, 800)
    made.drawing.load()
    made.show()
    qtbot.waitExposed(made)
    yield made
    let_go(made)


def in_sight(window: MainWindow, widget: QWidget) -> bool:
    """Whether a widget of the form can be seen without scrolling."""
    return widget.isVisible() and not widget.visibleRegion().isEmpty()


def test_a_click_on_a_part_brings_its_measurements_forward(qtbot: QtBot, window: MainWindow) -> None:
    canvas = window.drawing.canvas
    assert canvas is not None
    box = window.measurements.boxes["suspension"]
    assert not box.is_open
    canvas.part_clicked.emit("suspension")
    assert box.is_open
    assert box.button.selected
    qtbot.waitUntil(lambda: in_sight(window, box.rows[0]))
    canvas.part_clicked.emit("rear_joint")
    shaft = window.measurements.boxes["shaft"]
    assert shaft.button.selected
    assert not box.is_open  # it was opened only to be looked at
    label = shaft.group_label("shaft.rear_joint")
    assert label is not None
    qtbot.waitUntil(lambda: in_sight(window, label))


def test_a_flag_selects_its_finding(window: MainWindow) -> None:
    canvas = window.drawing.canvas
    assert canvas is not None
    finding = window.document.solution.findings[1]
    canvas.flag_clicked.emit(finding.id, finding.part)
    assert window.findings.list.chosen == finding
    assert window.selection.part == finding.part


def test_a_finding_selects_its_part_and_brings_its_entry_forward(qtbot: QtBot, window: MainWindow) -> None:
    canvas = window.drawing.canvas
    assert canvas is not None
    selected: list[object] = []
    window.selection.changed.connect(lambda _: selected.append(window.selection.part))
    window.go_to_findings()
    rows = window.findings.list.model.rows
    assert [one.kind for one in rows[:4]] == ["finding"] * 4
    for row_of_list in rows[1:4]:
        finding = row_of_list.findings[0]
        qtbot.keyClick(window.findings.list.view, Qt.Key.Key_Down)
        assert window.findings.list.chosen == finding
        assert selected[-1] == finding.part
        row = window.measurements.row_for(finding.entry)
        qtbot.waitUntil(lambda row=row: in_sight(window, row))


def test_a_finding_leads_into_its_field(qtbot: QtBot, window: MainWindow) -> None:
    window.go_to_findings()
    finding = window.findings.list.chosen
    assert finding is not None
    qtbot.mouseClick(window.findings.detail.go, Qt.MouseButton.LeftButton)
    row = window.measurements.row_for(finding.entry)
    qtbot.waitUntil(lambda: any(editor.hasFocus() for editor in row.editors()))
    window.document.apply({"suspension.rate_n_per_mm": None}, "without the rate")
    window.go_to_findings()
    wanting = next(one for one in window.document.solution.findings if one.verdict == "unknown" and one.entry)
    window.selection.choose(None, part=wanting.part, finding=(wanting.id, wanting.part))
    qtbot.keyClick(window.findings.list.view, Qt.Key.Key_Return)  # there is no way out to apply
    row = window.measurements.row_for(wanting.entry)
    qtbot.waitUntil(lambda: any(editor.hasFocus() for editor in row.editors()))


def test_a_field_selects_its_part_and_says_where_to_measure(qtbot: QtBot, window: MainWindow) -> None:
    window.measurements.bring_forward("suspension.shackle_length_mm", focus=True)
    qtbot.waitUntil(lambda: window.selection.part == "suspension")
    assert "Bolt centre to bolt centre" in window.measurements.help_text
    window.measurements.boxes["axle"].button.click()
    assert window.selection.part == "axle"


def test_measure_next_goes_to_the_first_wanted_entry(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(Build(), None)
    window.measure_next()
    first = window.measurements.row_for("powertrain.slope_deg").editors()[0]
    qtbot.waitUntil(first.hasFocus)
    assert "Wanted by:" in first.accessibleDescription()
    qtbot.keyClicks(first, "3.5")
    window.measure_next()
    qtbot.waitUntil(lambda: not first.hasFocus())
    assert QApplication.focusWidget() is not window.drawing.canvas


def test_every_part_has_a_section_and_every_entry_of_a_part_a_way_back(window: MainWindow) -> None:
    assert set(PARTS) == set(Part.__args__)  # type: ignore[attr-defined]
    for part, (key, path) in PARTS.items():
        assert key in window.measurements.boxes
        if part not in {"readings", "vehicle"}:
            assert part_of(path) == part
    assert part_of("shaft.front_joint.max_angle_deg") == "front_joint"
    assert part_of("notes") == ""


def test_the_form_has_every_entry_of_the_document(window: MainWindow) -> None:
    build = edited(window.document.build, {"axle.end": "front"})  # which has all that a rear one has, and caster
    ends = [f"{on}_end.type" for on in ("shaft.front", "shaft.rear", "powertrain.output", "axle.pinion")]
    builds = [edited(build, dict.fromkeys(ends, kind)) for kind in ("flange", "spline")]
    builds.append(edited(build, dict(zip(ends, ("caps", "caps", "clips", "clips"), strict=True))))
    shown = {entry.path for one in builds for heading in HEADINGS for entry in flat(contents(one, heading.key))}
    models: dict[str, type[Section]] = {
        "gauge": Gauge, "state": State, "readings": Readings, "vehicle": Vehicle, "powertrain": Powertrain,
        "axle": Axle, "plan": Plan, "use": Use, "suspension": type(build.suspension), "shaft": type(build.shaft),
        "lateral_link": LateralLink, "perches": Perches, "clamp": Clamp, "square": AxleSquare, "order": Wishes,
    }  # type: ignore[dict-item]  # fmt: skip
    others = {"format", "display", "title", "notes", "drivelines", "variants", *LISTS}
    assert set(models) | others == set(Build.model_fields)
    for name, model in models.items():
        for item in entries_of(model, name):
            paths = [item.path] if isinstance(item, Entry) else [entry.path for entry in item.entries]
            assert set(paths) <= shown, name


def test_every_field_has_a_name_and_tab_goes_in_the_order_of_measuring(qtbot: QtBot, window: MainWindow) -> None:
    """From the first heading through all that is typed or chosen, on into section after section, and out of the form.

    Each is wholly in sight while it has the cursor, with its unit, and each is reached once.
    """
    window.activateWindow()
    pane = window.measurements
    for size in ((1240, 680), (1280, 720), (1366, 768), (1920, 1080)):
        window.resize(*size)
        QApplication.processEvents()
        first = pane.boxes["hurry"]
        first.set_open(opened=True)
        first.button.setFocus(Qt.FocusReason.TabFocusReason)
        reached: list[QWidget] = []
        for _ in range(400):
            qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
            QApplication.processEvents()
            here = QApplication.focusWidget()
            assert here is not None
            if not pane.isAncestorOf(here) or here is pane.more:
                break
            reached.append(here)
            row = next((row for box in pane.boxes.values() for row in box.rows if row.isAncestorOf(here)), None)
            assert whole_in_sight(here if row is None else row, pane), (size, here.accessibleName())
        shown = [box for box in pane.boxes.values() if not box.isHidden()]
        editors = [editor for box in shown for row in box.rows for editor in row.editors()]
        assert all(editor.accessibleName() for editor in editors)
        assert [one for one in reached if one in editors] == editors
        assert len(set(reached)) == len(reached)
        keys = {box.heading.key for box in shown}
        assert keys >= {"hurry", "shaft", "title"}
        # Where the window is low it is behind the last heading.
        assert "obstacles" in keys or "obstacles" in pane.more.toolTip().lower()
        assert "obstacles" in keys or size[1] < 768
        assert len(editors) > 90


def test_back_by_tab_goes_the_same_way_and_stays_in_sight(qtbot: QtBot, window: MainWindow) -> None:
    """From a section's first field to its heading, and from heading to heading before it."""
    window.activateWindow()
    window.resize(1280, 720)
    pane = window.measurements
    pane.bring_forward("suspension.front_eye_mm", focus=True)
    editors = [editor for row in pane.boxes["suspension"].rows for editor in row.editors()]
    editors[-1].setFocus()
    reached: list[QWidget] = []
    while not reached or pane.isAncestorOf(QApplication.focusWidget()):
        here = QApplication.focusWidget()
        assert here is not None
        reached.append(here)
        row = next((row for row in pane.boxes["suspension"].rows if row.isAncestorOf(here)), None)
        QApplication.processEvents()
        assert whole_in_sight(here if row is None else row, pane)
        qtbot.keyClick(here, Qt.Key.Key_Tab, Qt.KeyboardModifier.ShiftModifier)
    before = ("suspension", "axle", "powertrain", "vehicle", "gauge", "hurry")
    assert reached == [*editors[::-1], *(pane.boxes[key].button for key in before)]


def whole_in_sight(widget: QWidget, pane: QWidget) -> bool:
    """Whether nothing of a widget is cut off or covered, up to the pane."""
    seen = widget.visibleRegion().boundingRect()
    place = QRect(widget.mapTo(pane, QPoint(0, 0)), widget.size())
    return seen == widget.rect() and pane.rect().contains(place)


def test_enter_goes_through_the_whole_form_and_never_back(qtbot: QtBot, window: MainWindow) -> None:
    """Enter takes what is typed and goes on to the next field in order, the choices between them too."""
    window.activateWindow()
    pane = window.measurements
    pane.bring_forward("gauge.angle_uncertainty_deg", focus=True)
    before, keys = window.document.build, []
    for _ in range(400):
        here = QApplication.focusWidget()
        assert here is not None
        box = next((box for box in pane.boxes.values() if box.isAncestorOf(here)), None)
        assert box is not None
        assert box.is_open
        row = next((row for row in box.rows if row.isAncestorOf(here)), None)
        assert whole_in_sight(here if row is None else row, pane)
        if box.heading.key not in keys:
            keys.append(box.heading.key)
        if isinstance(here, QPlainTextEdit):
            if box.heading.key == "title":
                break
            qtbot.keyClick(here, Qt.Key.Key_Tab)  # Enter begins a line there
        else:
            qtbot.keyClick(here, Qt.Key.Key_Tab if isinstance(here, Chooser | QPushButton) else Qt.Key.Key_Return)
        QApplication.processEvents()
        assert QApplication.focusWidget() is not here
    assert keys == [heading.key for heading in HEADINGS[1:] if not pane.boxes[heading.key].isHidden()]
    assert window.document.build is before


def test_control_and_the_arrows_go_from_section_to_section(qtbot: QtBot, window: MainWindow) -> None:
    window.activateWindow()
    pane = window.measurements
    keys = [key for key, box in pane.boxes.items() if not box.isHidden()]
    pane.bring_forward("gauge.angle_uncertainty_deg", focus=True)
    for way, order in ((Qt.Key.Key_Down, keys[2:]), (Qt.Key.Key_Up, keys[-2::-1])):
        for key in order:
            qtbot.keyClick(QApplication.focusWidget(), way, Qt.KeyboardModifier.ControlModifier)
            assert pane.boxes[key].is_open
            assert pane.boxes[key].holds_cursor()
            assert sum(box.is_open for box in pane.boxes.values()) == 1


def test_both_themes_are_shown_everywhere(window: MainWindow) -> None:
    for name, theme in THEMES.items():
        assert window.show_theme(name) is theme
        assert window.drawing.canvas is not None
        assert window.drawing.canvas.theme is theme
        painted = window.grab().toImage()
        assert painted.pixelColor(2, window.height() // 2).name().upper() == theme.paper


def test_all_three_columns_are_usable_on_the_smallest_screen(qtbot: QtBot, window: MainWindow) -> None:
    window.document.apply({"use": {"rear_settling_mm": 15.0, "rear_most_kg": 100.0}}, "states, which are chosen from")
    assert len(window.document.shown.solution.states) == 4
    qtbot.waitUntil(lambda: window.minimumSizeHint().width() <= 1240)
    window.resize(window.minimumSize())
    qtbot.waitUntil(lambda: window.width() == 1240)
    left, middle, right = (pane.width() for pane in (window.measurements, window.drawing, window.findings))
    assert (left, right) == (260, 300)
    assert middle > left + 100 + right - left
    for box in window.measurements.boxes.values():
        box.set_open(opened=True)
        QApplication.processEvents()
        for row in box.rows:
            for editor in row.editors():
                right_edge = editor.mapTo(window.measurements, editor.rect().topRight()).x()
                assert right_edge < window.measurements.width() - 10, row.entry.path  # not under the scroll bar


def test_a_caution_is_always_in_sight(window: MainWindow) -> None:
    from app.cautions import CAUTIONS, SHORTEST

    assert window.foot.caution.text() == CAUTIONS[0]
    assert in_sight(window, window.foot.caution)
    window.foot.tell("A new build: begin with three angles and a length, read with the gauge and the tape.")
    QApplication.processEvents()
    caution = window.foot.caution
    assert in_sight(window, caution)
    assert caution.text() in CAUTIONS[0] + SHORTEST
    assert caution.fontMetrics().horizontalAdvance(caution.text()) <= caution.width()  # whole, not cut off


def test_the_drawing_library_waits_for_the_first_paint() -> None:
    import subprocess
    import sys

    code = (
        "import sys; import app.window.shell.main;"
        "names = 'matplotlib', 'app.window.canvas.canvas', 'shapely', 'scipy';"
        "print([name for name in names if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_wheel_does_not_change_a_choice(window: MainWindow) -> None:
    from PySide6.QtCore import QPointF
    from PySide6.QtGui import QWheelEvent

    window.measurements.bring_forward("shaft.front_joint.type")
    box = window.measurements.row_for("shaft.front_joint.type").editors()[0]
    assert isinstance(box, Chooser)
    before = window.document.build
    event = QWheelEvent(
        QPointF(5, 5), QPointF(5, 5), QPoint(0, 0), QPoint(0, -120), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(box, event)
    assert window.document.build is before
    assert not event.isAccepted()


def test_help_is_never_cut(window: MainWindow) -> None:
    """Every entry's help fits the foot of the narrowest pane in short, and stands whole in its tip."""
    window.resize(window.minimumSize())
    window.document.open(Build(), None)
    window.show_desk()
    pane = window.measurements
    entries = {entry.path: entry for heading in HEADINGS for entry in flat(contents(Build(), heading.key))}
    assert len(entries) > 70
    for entry in entries.values():
        pane._focused(entry)
        QApplication.processEvents()
        label = pane._help
        assert label.text()
        assert label.heightForWidth(label.width()) <= label.height(), entry.path
        assert entry.help in pane.help_text
        assert entry.help in words_of_tip(label.toolTip())


def words_of_tip(tip: str) -> str:
    page = QTextDocument()
    page.setHtml(tip) if Rich.mightBeRichText(tip) else page.setPlainText(tip)
    return page.toPlainText()


@pytest.mark.parametrize("resized", [False, True])
def test_when_first_made_active_the_window_is_fitted_once_more_unless_it_was_resized(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch, *, resized: bool
) -> None:
    """Some screens give a window its frame only then; what the person made of it since it was fitted stays."""
    fitted: list[QSize] = []
    monkeypatch.setattr(window, "_fit_screen", lambda: fitted.append(window.size()))
    monkeypatch.setattr(window, "isActiveWindow", lambda: True)
    window._framed = False
    window._fitted = window.size() + QSize(40, 0) if resized else window.size()
    for _ in range(2):
        QApplication.sendEvent(window, QEvent(QEvent.Type.ActivationChange))
    assert len(fitted) == (0 if resized else 1)
