"""Find a plan, in the window: what a press makes is what was promised, undo takes it back, and all words are whole."""

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.units import edit_text
from app.window.plain import Label
from app.window.ranges.changeable import changeable
from app.window.ranges.plan_page import PlanPage
from app.window.ranges.plan_rows import Mark
from app.window.shell.main_window import MainWindow
from app.window.theme import words_wide
from geometry import Build, edited, solve
from geometry.words.plans import choices_of, plans, started

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
WEDGE, SHIM, LIFT = "plan.axle_shim_deg", "plan.mount_shim_mm", "plan.rear_lift_mm"


def sample(name: str) -> Build:
    return Build.model_validate_json((SAMPLES / f"{name}.json").read_bytes())


SHORT = edited(sample("lifted_short_shaft"), {"torque_bars": ()})  # which wraps its springs up
HURRY = sample("three_angles_and_a_length")


def opened(
    window: MainWindow, qtbot: QtBot, build: Build, size: tuple[int, int] = (1366, 768), *, wait: bool = True
) -> PlanPage:
    window.resize(*size)
    window.drawing.load()
    window.document.open(build, None)
    qtbot.waitExposed(window)
    window.views.show("plans")
    page = window.views.in_sight("plans")
    assert page is not None
    if wait:
        ended(page, qtbot)
    else:
        qtbot.waitUntil(lambda: page.found is not None, timeout=30_000)
    return page


def ended(page: PlanPage, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: page.settled and page.found is not None and page.found.ended, timeout=30_000)


def the_mark(page: PlanPage, path: str) -> Mark:
    return next(one for one in page.marks if one.path == path)


def test_a_press_makes_what_was_promised_and_undo_takes_it_back(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, SHORT)
    assert [one.path for one in page.marks if one.on] == [WEDGE, SHIM]
    found = page.found
    assert found is not None
    assert found.judged == found.combinations
    assert found.plans == plans(SHORT, {one.path: one.values for one in page.marks if one.on})
    assert page.sentence.text() == "As it is ■ 6 hold, 4 caution; with the best plan ▲ 3 caution."
    best = page.rows[0]
    assert QApplication.focusWidget() is best.press
    assert best.orders.text() == (
        "At both perches fit 4° wedges that raise the pinion's nose; lower the rear mount by 2 in."
    )
    assert "▲ Little spline engaged, shaft, 1.87 in, at least 2.06 in" in best.left.text()
    assert "At the end of its range: shim under the rear mount; a wider range may hold" in best.left.text()
    qtbot.keyClick(best.press, Qt.Key.Key_Return)
    words = [one.verdict for one in window.document.solution.findings]
    assert (words.count("hold"), words.count("caution"), words.count("unknown")) == (0, 3, 0)
    assert window.document.solution.verdict == "caution"
    assert window.document.stack.undoText() == "plan: wedge at the perches, shim under the rear mount"
    assert window.foot.told.text().startswith(
        "Planned: at both perches fit 4° wedges that raise the pinion's nose; lower"
    )
    assert not best.press.isEnabled()  # what was found is of the build before
    ended(page, qtbot)
    assert page.sentence.text() == "As it is ▲ 3 caution; nothing within these ranges is better."
    assert not best.press.isVisible()
    focus = QApplication.focusWidget()
    assert focus is page or page.isAncestorOf(focus)  # and the keyboard stays where it was
    window.document.undo()
    assert window.document.build == SHORT
    ended(page, qtbot)
    assert best.press.isEnabled()
    qtbot.keyClick(page.rows[0].press, Qt.Key.Key_Escape)
    assert window.views.in_sight("plans") is None


def test_what_is_marked_and_typed_is_what_is_looked_at(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, SHORT)
    shim, lift = the_mark(page, SHIM), the_mark(page, LIFT)
    assert lift.first.isHidden()
    qtbot.mouseClick(shim.press, Qt.MouseButton.LeftButton)
    qtbot.mouseClick(lift.press, Qt.MouseButton.LeftButton)
    for field, text in ((lift.first, "2"), (lift.last, "2 1/2")):
        field.setFocus()
        field.selectAll()
        qtbot.keyClicks(field, text)
        qtbot.keyClick(field, Qt.Key.Key_Return)
    ended(page, qtbot)
    assert lift.values.tolist() == pytest.approx([50.8, 57.15, 63.5])
    found = page.found
    assert found is not None
    assert found.combinations == 25 * 4
    assert {path for plan in found.plans for path in plan.changes} <= {WEDGE, LIFT}
    lift.first.setFocus()
    lift.first.selectAll()
    qtbot.keyClicks(lift.first, "9")
    with qtbot.waitSignal(page.told, check_params_cb=lambda said: "from a lower to a higher value" in said):
        qtbot.keyClick(lift.first, Qt.Key.Key_Return)
    for one in (lift, the_mark(page, WEDGE)):
        qtbot.mouseClick(one.press, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: page.sentence.text() == "Mark what may be changed.")
    assert not any(row.isVisible() for row in page.rows)
    window.document.open(SHORT, None)  # another vehicle
    ended(page, qtbot)
    assert [one.path for one in page.marks if one.on] == [WEDGE, SHIM]
    assert the_mark(page, LIFT).values[-1] == pytest.approx(152.4)


def test_an_empty_build_is_not_left_as_it_is(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, Build())
    assert page.sentence.text().endswith(" unknown: measure more before a plan can be found.")
    assert page.rows[0].orders.text() == "Not known yet."
    assert "measure next: output slope" in page.wants.text()


def test_what_is_not_known_is_told_with_what_to_measure(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, HURRY)
    assert page.sentence.text() == "As it is ▲ 1 caution, 15 unknown; nothing within these ranges is better."
    assert page.wants.text().startswith(
        "15 not judged; measure next: rear tyre radius, loaded. Shim under the rear mount"
    )
    assert "measure or enter the front mounts" in page.wants.text()
    assert "▲ Shaft steep, shaft, 8.2°, at most 7.0°" in page.rows[0].left.text()
    assert not page.rows[0].press.isVisible()


@pytest.mark.parametrize("size", [(1280, 720), (1366, 768), (1920, 1080)])
def test_plans_are_whole_and_no_word_is_clipped(window: MainWindow, qtbot: QtBot, size: tuple[int, int]) -> None:
    page = opened(window, qtbot, SHORT, size)
    for path in (SHIM, "shaft.slip.engaged_mm"):
        qtbot.mouseClick(the_mark(page, path).press, Qt.MouseButton.LeftButton)
    ended(page, qtbot)
    QApplication.processEvents()
    assert page.rows[0].isVisible()
    assert page.looked.geometry().bottom() <= page.height()
    labels = [label for label in page.findChildren(Label) if label.isVisible() and label.text()]
    assert len(labels) > 8
    for label in labels:
        assert label.height() >= label.heightForWidth(label.width()), label.text()
        assert label.width() >= label.minimumSizeHint().width(), label.text()
    for mark in page.marks:
        assert words_wide(mark.press.text(), 10) <= mark.press.width() - 10.0
        assert mark.press.mapTo(page, mark.press.rect().bottomRight()).x() <= page.width()
        for field in (mark.first, mark.last):
            assert not field.isVisible() or words_wide(field.text(), 10) <= field.width() - 4.0, field.text()


@pytest.mark.parametrize("name", [path.stem for path in SAMPLES.glob("*.json")])
def test_everything_that_may_be_changed_makes_a_build(name: str) -> None:
    build = sample(name)
    some = changeable(build, solve(build))
    assert [one.usual for one in some] == sorted((one.usual for one in some), reverse=True)
    for one in some:
        for other in one.others:
            edited(build, {one.path: other})
        if one.others:
            continue
        values = one.values(one.first, one.last)
        assert values.size > 1
        assert max(len(edit_text(end, one.kind, build.display)) for end in (one.first, one.last)) <= 5
        for value in (values[0], values[-1]):
            edited(build, started(build, {one.path: float(value)}))


def test_a_loose_engine_and_pinion_are_set_and_raised() -> None:
    build = edited(SHORT, {"plan.perches": "loose", "plan.mounts": "loose", "display.length": "millimetre"})
    some = {one.path: one for one in changeable(build, solve(build))}
    assert [path for path, one in some.items() if one.usual] == ["plan.pinion_slope_deg", "plan.powertrain_slope_deg"]
    up = some["plan.powertrain_shift_mm.1"]
    assert up.values(-12.0, 7.0).tolist() == [-10.0, -5.0, 0.0, 5.0]
    assert up.values(1.0, 2.0).tolist() == [1.0, 2.0]  # no step lies within


def test_the_pieces_of_the_shaft_are_marked_without_a_range_and_taken_in_one_step(
    window: MainWindow, qtbot: QtBot
) -> None:
    van = sample("long_van_two_piece")
    page = opened(window, qtbot, edited(van, {"shaft": choices_of(van)["shaft"][0]}), wait=False)
    mark = the_mark(page, "shaft")
    assert mark.press.text() == "☐ Shaft in one or two pieces"
    for one in (mark, the_mark(page, WEDGE), the_mark(page, SHIM)):  # that alone
        qtbot.mouseClick(one.press, Qt.MouseButton.LeftButton)
    ended(page, qtbot)
    assert [one.path for one in page.marks if one.on] == ["shaft"]
    assert not mark.first.isVisible()
    best = page.rows[0]
    assert "ake the shaft in two pieces, its support bearing" in best.orders.text()
    assert "At the end of its range: shaft" not in best.left.text()
    qtbot.mouseClick(best.press, Qt.MouseButton.LeftButton)
    shaft = window.document.build.shaft
    assert shaft is not None
    assert shaft.kind == "two_piece"
    assert "shaft in one or two pieces" in window.document.stack.undoText()
    window.document.undo()
    assert window.document.build.shaft is not None
    assert window.document.build.shaft.kind == "one_piece"


def test_nothing_changes_under_a_finger(window: MainWindow, qtbot: QtBot) -> None:
    """What is found while a button is held down is shown once it is let go of."""
    page = opened(window, qtbot, SHORT)
    found, row = page.found, page.rows[0]
    assert found is not None
    before = row.plan
    qtbot.mousePress(row.press, Qt.MouseButton.LeftButton)
    page._show_found(replace(found, plans=found.plans[1:]))
    assert row.plan is before
    row.press.setDown(False)  # as Qt does where the finger slides off, which no test can
    row.press.released.emit()
    qtbot.waitUntil(lambda: row.plan == found.plans[1])
    assert window.document.build == SHORT
