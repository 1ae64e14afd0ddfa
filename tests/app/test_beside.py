"""Two builds side by side: in the terminal, in a file's complaints, and on their page in the window."""

import itertools
from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QApplication, QDialog, QWidget
from pytestqt.qtbot import QtBot

from app.beside import FoundRow, Pair, beside_text, called, two_of
from app.commands import main
from app.differing import differing
from app.drawing.drawing import Style, at_one_scale, drawing
from app.drawing.subject import Subject
from app.files import FileTrouble, build_text, read_build, write_build
from app.setpoints import set_points
from app.window.beside.page import BesidePage
from app.window.beside.tables import HEAD, Mirrored
from app.window.keeping import asking
from app.window.keeping.name_page import NamePage
from app.window.plain import Label
from app.window.shell.main_window import MainWindow
from app.window.theme import words_wide
from geometry import Build, edited, solve
from geometry.document.beside import kept
from tests.app.sheets import HAULER, SAMPLES, sample

LOWER = {"plan.rear_lift_mm": 25.4, "plan.front_lift_mm": 25.4}


def with_beside(path: Path = HAULER, *more: dict[str, object]) -> Build:
    variants = [{"name": "1 in of lift", "changes": LOWER}, *more]
    return edited(sample(path), {"variants": tuple(variants)})


# --- the file ---------------------------------------------------------------------------------------------------------


def test_a_file_keeps_it_with_what_is_left_empty(tmp_path: Path) -> None:
    changes = {"plan": None, "shaft.tube": None, "shocks": (), "title": ""}
    build = with_beside(HAULER, {"name": "bare", "changes": changes})
    path = tmp_path / "two.json"
    write_build(path, build)
    assert read_build(path) == build
    text = path.read_text(encoding="utf-8")
    assert '"plan": null,\n        "shaft.tube": null,\n        "shocks": [],\n        "title": ""\n' in text
    assert build_text(read_build(path)) == text
    assert differing(build, edited(build, {"variants.1.changes": {}})) == ["Kept beside 2: Changes"]


@pytest.mark.parametrize(
    ("variants", "says"),
    [
        (
            '[{"name": "x", "changes": {"plan.rear_lift": 3}}]',
            "variants.0.changes.plan.rear_lift: is not an entry of this document; did you mean rear_lift_mm?",
        ),
        (
            '[{"name": "x", "changes": {"plan.rear_lift_mm": 5000}}]',
            "variants.0.changes.plan.rear_lift_mm (Rear lift): must be from -500 to 1000 mm; this is 5000.",
        ),
        (
            '[{"name": "x", "changes": {"shaft.slip.engaged_mm": 900}}]',
            "variants.0.changes.shaft.slip.engaged_mm (Slip engaged at ride height): must not be more than stroke_mm.",
        ),
        (
            '[{"name": "x", "changes": {"variants.0.name": "y"}}]',
            "variants.0.changes.variants.0.name: must not lead into variants; remove it.",
        ),
        (
            '[{"name": "x", "changes": {"shocks.9.name": "y"}}]',
            "variants.0.changes.shocks.9.name: leads nowhere: there is no item 9 in this build; correct it.",
        ),
        (
            '[{"name": "x"}, {"name": "x"}]',
            "variants.1.name (Kept beside 2: Name): must not be what another kept plan is called; change one.",
        ),
        ('[{"changes": {}}]', "variants.0.name (Kept beside 1: Name): must be given. Add it."),
        ('[{"name": " "}]', "variants.0.name (Kept beside 1: Name): must not be empty. Give it a name."),
    ],
)
def test_a_file_with_a_wrong_one_is_refused_by_its_entry(tmp_path: Path, variants: str, says: str) -> None:
    path = tmp_path / "wrong.json"
    text = HAULER.read_text(encoding="utf-8").rstrip().removesuffix("}")
    path.write_text(f'{text}, "variants": {variants}}}', encoding="utf-8")
    with pytest.raises(FileTrouble) as caught:
        read_build(path)
    assert caught.value.what.startswith(says)


# --- the words --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_what_it_says_is_what_both_say_apart(path: Path) -> None:
    build = with_beside(path)
    other = edited(sample(path), LOWER)
    solutions = solve(build), solve(other)
    two = two_of(build, solutions[0], 0)
    assert two.builds == (build, other)
    one, its = (
        {row.label: row.value for row in set_points(at, of)} for at, of in zip(two.builds, solutions, strict=True)
    )
    for row in two.to_set:
        for label in one.keys() & its.keys():
            if label.lower() == row.name.lower() and one[label] and its[label]:
                assert (row.first.split()[0], row.second.split()[0]) == (one[label].split()[0], its[label].split()[0])
    assert {row.name for row in two.to_set} >= {
        label[:1].lower() + label[1:]
        for label in ("Joint to joint", "Spline engaged", "Output slope", "Pinion slope")
        if one.get(label) and its.get(label) and one[label] != its[label]
    }
    assert {row.name for row in two.entered} >= (
        {"rear lift"} if build.plan is None or not build.plan.rear_lift_mm else set()
    )
    assert all(row.chosen for row in two.entered)
    for found in two.found:
        assert found.tells == (found.turn in {"better", "worse"})
        assert (found.first, found.turn) != (found.second, "same")
    text = beside_text(two, path.name)
    assert all(len(line) <= 98 for line in text.splitlines())
    assert text.splitlines()[0].endswith(f"({path.name})")


@pytest.mark.parametrize(
    ("plan", "name"),
    [
        ({}, "as measured"),
        ({"rear_lift_mm": 76.2, "front_lift_mm": 76.2}, "3 in of lift"),
        ({"rear_lift_mm": 76.2, "front_lift_mm": 50.8}, "3 in of lift at the rear, 2 in of lift at the front"),
        ({"front_lift_mm": -6.35}, "front lowered by 1/4 in"),
        ({"axle_shim_deg": 2.5, "mount_shim_mm": -12.7}, "2.5° wedge, −1/2 in shim"),
        ({"perches": "loose", "pinion_slope_deg": 4.1}, "pinion to 4.1°"),
    ],
)
def test_a_plan_is_called_by_what_it_changes(plan: dict[str, object], name: str) -> None:
    assert called(edited(Build(), {"plan": plan})) == name


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "two.json"
    write_build(path, with_beside(HAULER, {"name": "a wedge", "changes": {"plan.axle_shim_deg": 2.0}}))
    assert main(["beside", str(path)]) == 0
    out = capsys.readouterr().out
    assert "A  3 in of lift, in the file: ■ hold (" in out
    assert "B  1 in of lift, kept beside it: ■ hold (" in out
    assert "A to set with the first remedy of: shaft uneven, driving; whole build then: caution" in out
    assert (
        "B to set with the first remedy of: shaft uneven, driving; whole build then: hold" in out
    )  # its bar is for 3 in
    rows = [line.split("  ") for line in out.splitlines()]
    assert ["rear lift", "3.00 in", "1.00 in"] in [[cell.strip() for cell in row if cell.strip()] for row in rows]
    assert any(line.startswith("shaft steep") and line.endswith("▲ 14.5° caution, better") for line in out.splitlines())
    assert any(line.startswith("joint short of reach, front") and line.endswith("hold") for line in out.splitlines())
    assert "stands rated for its weight" in " ".join(out.split())
    assert main(["beside", str(path), "--kept", "a wedge"]) == 0
    assert "B  a wedge, kept beside it" in capsys.readouterr().out
    assert main(["beside", str(path), "--kept", "a wegde"]) == 2
    assert capsys.readouterr().err == "--kept a wegde: is not kept beside this build; did you mean a wedge?\n"
    assert main(["beside", str(HAULER)]) == 2
    assert "has nothing kept beside it" in capsys.readouterr().err


# --- the drawings -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("size", [(683.0, 400.0), (640.0, 370.0), (960.0, 590.0)])
def test_both_are_drawn_at_one_scale(path: Path, size: tuple[float, float]) -> None:
    builds = [sample(path), edited(sample(path), LOWER), edited(sample(path), {"plan.rear_lift_mm": 127.0})]
    subjects = [Subject(one, solution, solution) for one in builds for solution in (solve(one),)]
    style = Style(marks=True, names=False, both_views=True)
    drawn = [subject for subject in subjects if subject.drawable]
    scales = {one.zones.side.scale for one in at_one_scale(subjects, size, style) if one.zones is not None}
    assert len(scales) == (1 if drawn else 0)
    alone = [one.zones.side.scale for one in (drawing(subject, size, style) for subject in drawn) if one.zones]
    assert scales == ({min(alone)} if drawn else set())


def test_a_wheelbase_has_the_same_pixels_in_both(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, with_beside(next(one for one in SAMPLES if one.stem == "long_van_two_piece")))
    assert page.two is not None
    long = []
    for half, build, solution in zip((page.first, page.second), page.two.builds, page.two.solutions, strict=True):
        zones = half.drawn._page.zones  # type: ignore[union-attr]
        hubs = solution.picture.front_hub_mm, solution.picture.rear_hub_mm
        long.append(zones.side.x(hubs[1][0]) - zones.side.x(hubs[0][0]))
        assert hubs[1][0] - hubs[0][0] == pytest.approx(build.vehicle.wheelbase_mm, rel=1e-3)  # type: ignore[union-attr]
    assert long[0] == pytest.approx(long[1], abs=1.0)
    assert long[0] > 300.0


# --- the page ---------------------------------------------------------------------------------------------------------


def opened(window: MainWindow, qtbot: QtBot, build: Build, size: tuple[int, int] = (1366, 768)) -> BesidePage:
    window.resize(*size)
    window.drawing.load()
    window.document.open(build, None)
    qtbot.waitExposed(window)
    window.views.show("beside")
    page = window.beside
    assert page is not None
    qtbot.waitUntil(lambda: page.settled, timeout=60_000)
    return page


def press(qtbot: QtBot, button: QWidget) -> None:
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def test_keep_go_on_and_take_it_back(window: MainWindow, qtbot: QtBot) -> None:
    build = sample(HAULER)
    page = opened(window, qtbot, build)
    assert page.two is None
    assert page.empty.isVisible()
    assert not page.second.isVisible()
    assert QApplication.focusWidget() is page.keep
    press(qtbot, page.keep)
    assert [one.name for one in window.document.build.variants] == ["3 in of lift"]
    press(qtbot, page.keep)
    assert len(window.document.build.variants) == 1
    assert window.foot.told.text().endswith(
        "This plan is kept already, as “3 in of lift”: change the plan now, Ctrl+B shows both."
    )
    qtbot.waitUntil(lambda: page.two is not None and page.settled)
    assert QApplication.focusWidget() is page.second.on
    assert page.planned.shown == ("The same is planned and to be set in both.",)
    assert page.found.shown[0] == "What is judged comes out the same in both."
    window.document.apply(LOWER, "lower")
    qtbot.waitUntil(lambda: page.two is not None and page.two.names[0] == "1 in of lift" and page.settled)
    assert (page.first.name.text(), page.second.name.text()) == ("1 in of lift", "3 in of lift")
    before = window.document.build
    steps = window.document.stack.count()
    press(qtbot, page.second.on)
    assert window.beside is None
    assert window.drawing.isVisible()
    assert window.menus.pages["drawing"].isChecked()
    assert window.document.stack.count() == steps + 1
    after = window.document.build
    assert after.model_copy(update={"variants": ()}) == build
    assert [one.name for one in after.variants] == ["1 in of lift"]
    assert kept(after, 0) == before.model_copy(update={"variants": ()})
    window.undo()
    assert window.document.build == before
    window.redo()
    assert window.document.build == after


def test_a_name_that_a_person_gave_outlives_going_on(window: MainWindow, qtbot: QtBot) -> None:
    """To there and back, over and over: nothing is kept twice, and each step is one."""
    build = with_beside(HAULER, {"name": "Ole's way", "changes": {"plan.axle_shim_deg": 2.0}})
    page = opened(window, qtbot, build)
    named = [(one.name, kept(build, number)) for number, one in enumerate(build.variants)]
    page.choose(1)
    for there in range(4):
        before, steps = window.document.build, window.document.stack.count()
        qtbot.waitUntil(lambda: page.two is not None and page.settled)
        page.go_on()
        assert window.document.stack.count() == steps + 1
        now = window.document.build
        assert called(now) == ("Ole's way" if there % 2 == 0 else "3 in of lift")
        assert dict(named)["Ole's way"] in [kept(now, place) for place in range(len(now.variants))] + [
            now.model_copy(update={"variants": ()})
        ]
        assert {one.name for one in now.variants} >= {"1 in of lift", "Ole's way"}
        assert len(now.variants) <= 3
        window.undo()
        assert window.document.build == before
        window.redo()
        window.views.show("beside")
        assert page.first.name.text() == called(now)
        assert page.number == [one.name for one in now.variants].index(called(before))


def test_a_key_shows_it_escape_goes_back_and_files_lead_to_the_desk(window: MainWindow, qtbot: QtBot) -> None:
    opened(window, qtbot, with_beside())
    window.views.show("range")
    assert window.beside is None
    assert window.views.in_sight("range") is not None
    qtbot.keyClick(window, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    page = window.beside
    assert page is not None
    assert window.menus.pages["beside"].isChecked()
    assert QApplication.focusWidget() is page.second.on
    window.go_round(1)
    assert window.beside is page
    assert QApplication.focusWidget() is not page.second.on
    window.go_to_findings()
    assert window.beside is None
    assert window.menus.pages["range"].isChecked()
    for act in (window.go_to_drawing, lambda: window.look("whole"), window.go_to_plan, window.measure_next):
        window.views.show("beside")
        assert window.beside is not None
        act()
        assert window.beside is None
    window.views.show("beside")
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    assert window.beside is None
    window.views.show("beside")
    press(qtbot, page.first.on)
    assert window.drawing.isVisible()
    window.views.show("beside")
    page.choose(1)
    window.document.open(sample(HAULER), None)
    assert window.beside is None
    assert page.number == 0


def test_of_several_the_page_chooses_which_is_named_and_dropped(
    window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = opened(window, qtbot, with_beside(HAULER, {"name": "a wedge", "changes": {"plan.axle_shim_deg": 2.0}}))
    assert page.second.names.isVisible()
    page.second.names.activated.emit(1)
    assert page.two is not None
    assert page.two.names[1] == "a wedge"
    asked: list[str] = []
    monkeypatch.setattr(asking, "what_to_call", lambda _, now: asked.append(now) or "1 in of lift")
    press(qtbot, page.rename)
    assert asked == ["a wedge"]
    assert "must not be what another kept plan is called" in window.foot.told.text()
    monkeypatch.setattr(asking, "what_to_call", lambda _, now: f"only {now}")
    press(qtbot, page.rename)
    assert [one.name for one in window.document.build.variants] == ["1 in of lift", "only a wedge"]
    monkeypatch.setattr(asking, "what_to_call", lambda *_: None)
    press(qtbot, page.rename)
    assert window.document.build.variants[1].name == "only a wedge"
    rename, drop = window.menus.of_kept
    assert rename.isEnabled()
    window.go_to_drawing()
    drop.trigger()
    assert window.beside is page  # so that it is seen which one went
    assert [one.name for one in window.document.build.variants] == ["1 in of lift"]
    drop.trigger()
    assert window.document.build.variants == ()
    assert not drop.isEnabled()
    page.go_on()
    window.drop_kept()
    window.rename_kept()
    assert window.document.build.variants == ()
    window.undo()
    assert [one.name for one in window.document.build.variants] == ["1 in of lift"]


def test_twelve_are_kept_and_no_more(window: MainWindow, qtbot: QtBot) -> None:
    some = tuple({"name": f"plan {number}", "changes": {"plan.axle_shim_deg": 0.5 * number}} for number in range(1, 13))
    page = opened(window, qtbot, edited(sample(HAULER), {"variants": some}))
    window.keep_beside()
    assert len(window.document.build.variants) == 12
    assert "must have at most 12 items" in window.foot.told.text()
    assert page.isVisible()


def test_a_name_is_asked_for(window: MainWindow, qtbot: QtBot) -> None:
    page = NamePage(window, "Rename", "What is this plan called?", "before")
    page.show()
    assert page.field.selectedText() == "before"
    qtbot.keyClicks(page.field, "  ")
    assert not page.take.isEnabled()
    qtbot.keyClicks(page.field, "after ")
    done = []

    def taken(*_: object) -> int:
        done.append(True)
        return QDialog.DialogCode.Accepted

    page.exec = taken  # type: ignore[method-assign]
    assert page.ask() == "after"
    other = NamePage(window, "Rename", "What is this plan called?", "before")
    other.exec = lambda *_: QDialog.DialogCode.Rejected  # type: ignore[method-assign]
    assert other.ask() is None
    assert done == [True]


@pytest.mark.parametrize(
    ("size", "names"),
    [
        ((1366, 768), ("lifted_short_shaft", "three_angles_and_a_length", "ranch_truck_swap")),
        ((1280, 720), ("long_van_two_piece", "ranch_truck_swap")),
        ((1920, 1080), ("front_axle_lift", "transfer_case_double_joint")),
    ],
)
def test_nothing_is_clipped(window: MainWindow, qtbot: QtBot, size: tuple[int, int], names: tuple[str, ...]) -> None:
    long = {
        "name": "everything that the shop has ever thought of, and then some more of it besides",
        "changes": {"plan.axle_shim_deg": 2.0},
    }
    for name, more in zip(names, itertools.cycle(((), (long,))), strict=False):
        page = opened(window, qtbot, with_beside(next(one for one in SAMPLES if one.stem == name), *more), size)
        if more:
            page.choose(1)
        qtbot.waitUntil(lambda page=page: page.settled)
        check_whole(page)
    window.show_theme("dark")
    qtbot.waitUntil(lambda: page.settled)
    check_whole(page)
    page.grab()


def test_a_long_name_holds_no_half_wide_and_is_written_small_before_it_is_cut(window: MainWindow, qtbot: QtBot) -> None:
    wedge = {"plan.axle_shim_deg": 2.0}
    for name, whole in (("a two degree wedge with the old springs", True), ("every idea of the shop " * 3, False)):
        for more in ((), ({"name": "x", "changes": {"plan.axle_shim_deg": 1.0}},)):
            build = edited(sample(HAULER), {"variants": ({"name": name, "changes": wedge}, *more)})
            page = opened(window, qtbot, build, (1920, 1080))
            window.resize(1280, 720)
            qtbot.waitUntil(lambda page=page: page.settled and page.width() == 1280)
            assert abs(page.first.width() - page.second.width()) <= 1
            shown = page.second.names.currentText() if more else page.second.name.text()
            assert (shown == name.strip()) == whole
            label = page.second.names if more else page.second.name
            assert words_wide(shown, label.font().pointSize(), bold=True) <= label.width()


def check_whole(page: BesidePage) -> None:
    """Labels and buttons have the room that their words want, tables whole rows, and no row's words meet."""
    for label in page.findChildren(Label):
        if label.isVisible() and label.text():
            assert label.width() >= label.sizeHint().width() or label.wordWrap(), label.text()
            assert page.rect().contains(label.mapTo(page, label.rect().bottomRight())), label.text()
    for half in (page.first, page.second):
        assert half.verdicts.width() >= half.verdicts.minimumSizeHint().width()
        made = half.drawn._page
        assert made is not None
        assert (made.width, made.height) == pytest.approx((half.drawn.width(), half.drawn.height()), abs=1.0)
        for box, text in made.words:  # type: ignore[attr-defined]
            assert box[0] >= 0.0, text
            assert box[2] <= half.drawn.width(), text
    for table in (page.planned, page.found):
        check_table(table)


def check_table(table: Mirrored) -> None:
    points, high = table._size()
    assert HEAD + high * (len(table.shown) + (sum(table.hidden) > 0)) <= table.height()
    wide = table._names_wide(points)
    middle = table._middle(wide, points)
    left, right = table._sides_wide(points)
    assert middle - wide / 2.0 - 16.0 - left >= 0.0
    assert middle + wide / 2.0 + 16.0 + right <= table.width()
    assert wide >= 120.0
    for row in table.shown:
        if isinstance(row, Pair | FoundRow):
            assert words_wide(row.name, points) <= wide + 1.0 or words_wide(row.name, points) > 150.0


def test_rows_without_room_are_counted_and_brought_up(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(
        window, qtbot, with_beside(next(one for one in SAMPLES if one.stem == "ranch_truck_swap")), (1280, 720)
    )
    table, assert_all = page.found, page.found._rows
    room = len(table.shown)
    above, below = table.hidden
    assert above == 0
    assert room + below == len(assert_all)
    if not below:
        table.show_rows((*assert_all, *assert_all))
        below = table.hidden[1]
    assert below
    seen = set(table.shown)
    qtbot.keyClick(table, Qt.Key.Key_Down)
    assert table.hidden[0] == 1
    for _ in range(len(table._rows)):
        qtbot.keyClick(table, Qt.Key.Key_Down)
        seen |= set(table.shown)
    assert seen == set(table._rows)
    assert table.hidden[1] == 0
    qtbot.keyClick(table, Qt.Key.Key_Home)
    assert table.hidden == (0, below)
    foot = QPointF(table.width() / 2.0, HEAD + len(table.shown) * table._size()[1] + 8.0).toPoint()
    qtbot.mouseClick(table, Qt.MouseButton.LeftButton, pos=foot)
    assert table.hidden[0] > 0
    qtbot.keyClick(table, Qt.Key.Key_End)
    qtbot.mouseClick(table, Qt.MouseButton.LeftButton, pos=foot)
    assert table.hidden == (0, below)
    assert QFontMetricsF(table.font()).height() < table._size()[1]


def test_the_slip_that_was_measured_is_not_called_what_is_set() -> None:
    """With the plan the slip stands otherwise engaged than as measured: one name for both would be set wrongly."""
    build = sample(HAULER)
    remedy = next(one.remedy for one in solve(build).findings if one.remedy is not None)
    build = edited(build, {"variants": ({"name": "longer", "changes": dict(remedy.changes)},)})
    two = two_of(build, solve(build), 0)
    assert "slip engaged at ride height, before the plan" in {row.name for row in two.entered}
