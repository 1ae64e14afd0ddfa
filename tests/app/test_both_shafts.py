"""The window on a vehicle with two drivelines: turned by key or press, undone across a turn, saved; its papers."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

from app.beside import two_of
from app.commands import main
from app.drawing.subject import Subject
from app.drawing.wording import state_words
from app.files import write_build
from app.measuring.sections import HEADINGS, contents, flat
from app.naming import other_words
from app.papers.kinds import PAPERS, What, on_paper, paper_pages
from app.plans import left_words
from app.report import whole_report
from app.sheet.flow import PAPER
from app.window.findings.effect import effect_words
from app.window.ranges.page import RangePage
from app.window.ranges.plan_rows import PlanRow
from app.window.shell.exports import _told
from app.window.shell.main_window import MainWindow
from app.window.shell.views import VIEWS
from geometry import Build, edited, solve
from geometry.document.beside import keeping
from geometry.document.driveline import Output, OwnPlan, Wheels
from geometry.document.sides import path_swapped, swapped
from geometry.words.both import solve_whole
from geometry.words.plans import Left, PlanFound
from tests.app.test_card import words_on
from tests.geometry.strategies import HURRY, joined, sample

BOTH = joined(sample("ranch_truck_swap"), sample("front_axle_lift"))
PLAIN = edited(Build(), HURRY | {"drivelines": ({"axle": {"end": "front", "pinion_slope_deg": 2.0}},)})
"""A rear shaft that is read in a hurry, and a front one of which one angle is known."""
PARTS = {"output": Output, "wheels": Wheels, "plan": OwnPlan}
STEEP = edited(PLAIN, {"powertrain.slope_deg": 20.0})


@pytest.fixture
def desk(window: MainWindow, qtbot: QtBot) -> Callable[[Build], MainWindow]:
    def opened(build: Build) -> MainWindow:
        window.resize(1366, 768)
        window.document.open(build, None)
        window.drawing.load()
        window.activateWindow()
        qtbot.waitExposed(window)
        settle()
        return window

    return opened


def settle() -> None:
    for _ in range(6):
        QApplication.processEvents()


def said(window: MainWindow) -> list[str]:
    """What the two buttons over the verdict say, the pressed one in brackets."""
    buttons = window.findings.drivelines.buttons
    return [f"[{one.text().strip()}]" if one.isChecked() else one.text().strip() for one in buttons]


def press(qtbot: QtBot, window: MainWindow, key: Qt.Key) -> None:
    qtbot.keyClick(window, key)
    settle()


def test_a_key_and_a_press_show_the_other_shaft(desk: Callable[[Build], MainWindow], qtbot: QtBot) -> None:
    window = desk(STEEP)
    assert said(window) == ["Front: unknown", "[Rear: hold]"]
    assert window.document.build.axle.pinion_slope_deg == 3.5
    press(qtbot, window, Qt.Key.Key_F8)
    assert said(window) == ["[Front: unknown]", "Rear: hold"]
    assert window.document.build == swapped(STEEP)
    assert window.document.whole == STEEP
    assert window.measurements.head.heading == "Front shaft"
    assert (
        state_words(Subject(window.document.build, window.document.solution, window.document.solution))[1]
        == "front shaft"
    )
    assert "rear shaft, hold" in [one.accessibleName().lower() for one in window.findings.drivelines.buttons]
    qtbot.mouseClick(window.findings.drivelines.buttons[0], Qt.MouseButton.LeftButton)  # which is shown
    assert window.document.number == 1
    qtbot.mouseClick(window.findings.drivelines.buttons[1], Qt.MouseButton.LeftButton)
    assert said(window) == ["Front: unknown", "[Rear: hold]"]
    assert not window.document.stack.canUndo()


def test_one_shaft_alone_has_no_choice(desk: Callable[[Build], MainWindow], qtbot: QtBot) -> None:
    window = desk(edited(PLAIN, {"drivelines": ()}))
    assert window.findings.drivelines.isHidden()
    assert window.document.beside is None
    press(qtbot, window, Qt.Key.Key_F8)
    assert window.document.number == 0
    assert not window.menus.turn.isVisible()
    assert window.measurements.head.heading == "Measured"


def test_an_edit_goes_to_the_shaft_that_is_shown_and_undo_shows_it(
    desk: Callable[[Build], MainWindow], qtbot: QtBot
) -> None:
    window = desk(PLAIN)
    document = window.document
    press(qtbot, window, Qt.Key.Key_F8)
    document.apply({"axle.pinion_slope_deg": 4.5}, "front pinion")
    press(qtbot, window, Qt.Key.Key_F8)
    document.apply({"axle.pinion_slope_deg": 5.5}, "rear pinion")
    document.apply({"plan.rear_lift_mm": 25.0}, "lift")
    assert (document.whole.axle.pinion_slope_deg, document.whole.drivelines[0].axle.pinion_slope_deg) == (5.5, 4.5)
    press(qtbot, window, Qt.Key.Key_F8)
    assert document.build.plan.rear_lift_mm == 25.0  # one lift for both
    window.undo()
    assert document.number == 0  # where the lift was set
    window.undo()
    window.undo()
    assert document.number == 1
    assert document.whole == PLAIN
    window.redo()
    assert document.build.axle.pinion_slope_deg == 4.5
    assert said(window)[0].startswith("[Front")
    window.redo()
    assert (document.number, document.build.axle.pinion_slope_deg) == (0, 5.5)


def test_a_drag_of_the_other_shaft_is_one_step_of_the_whole(desk: Callable[[Build], MainWindow], qtbot: QtBot) -> None:
    window = desk(BOTH)
    document = window.document
    press(qtbot, window, Qt.Key.Key_F8)
    document.begin_gesture("moving the axle")
    for z in (405.0, 410.0):
        document.drag({"axle.centre_mm": (0.0, -260.0, z)})
        settle()
    document.end_gesture()
    assert document.whole.drivelines[0].axle.centre_mm == (0.0, -260.0, 410.0)
    assert document.whole.axle == BOTH.axle
    assert document.stack.count() == 1
    press(qtbot, window, Qt.Key.Key_F8)
    window.undo()
    assert document.whole == BOTH
    assert document.number == 1


def test_typing_is_handed_in_before_it_turns(desk: Callable[[Build], MainWindow], qtbot: QtBot) -> None:
    window = desk(PLAIN)
    window.measurements.bring_forward("axle.pinion_slope_deg", focus=True)
    settle()
    field = QApplication.focusWidget()
    assert field is not None
    qtbot.keyClicks(field, "7.5")
    press(qtbot, window, Qt.Key.Key_F8)
    assert window.document.whole.axle.pinion_slope_deg == 7.5
    assert window.document.whole.drivelines == PLAIN.drivelines


def test_a_second_is_added_at_the_other_end_and_taken_out(desk: Callable[[Build], MainWindow]) -> None:
    alone = edited(PLAIN, {"drivelines": ()})
    window = desk(alone)
    assert window.menus.second.text().replace("&", "") == "Add the front driveline"
    window.menus.second.trigger()
    settle()
    assert window.document.number == 1
    assert window.document.build.axle.end == "front"
    assert said(window)[0].startswith("[Front")
    window.document.apply({"drivelines.0.drive": "part_time"}, "drive")
    assert window.document.whole.drivelines[0].drive == "part_time"
    window.turn()
    assert window.menus.one.text().replace("&", "") == "Take the front driveline out"
    window.menus.one.trigger()
    assert window.document.whole == alone
    assert window.findings.drivelines.isHidden()
    window.undo()
    window.undo()
    window.undo()
    assert window.document.whole == alone
    window.redo()
    window.turn()
    window.menus.one.trigger()  # the rear one, with all that was read in a hurry
    assert window.document.build.axle.end == "front"
    assert (window.document.number, window.document.build.readings) == (0, None)
    window.undo()
    assert (window.document.number, window.document.whole.readings) == (1, PLAIN.readings)


def test_the_form_has_every_entry_of_the_other_shaft_once_it_is_shown() -> None:
    own = [f"drivelines.0.{part}.{name}" for part, model in PARTS.items() for name in model.model_fields]
    shown = {entry.path for heading in HEADINGS for entry in flat(contents(swapped(PLAIN), heading.key))}
    assert {path_swapped(path) for path in own} - {"powertrain.output_end"} <= shown
    assert "drivelines.0.drive" in shown
    assert "drivelines.0.drive" in {entry.path for entry in flat(contents(PLAIN, "powertrain"))}
    assert "drivelines.0.drive" not in {entry.path for entry in flat(contents(Build(), "powertrain"))}


def test_an_entry_of_the_other_shaft_is_gone_to(desk: Callable[[Build], MainWindow]) -> None:
    ratios = {
        "axle.ratio": 4.0,
        "vehicle.tyre_turns_per_km": 450.0,
        "drivelines.0.wheels": {"tyre_turns_per_km": 450.0},
    }
    window = desk(edited(PLAIN, ratios))
    (wanting,) = (one for one in window.document.solution.findings if one.id == "front_against_rear")
    assert wanting.entry == "drivelines.0.axle.ratio"
    window.findings.going.emit(wanting.entry)
    settle()
    assert window.document.number == 1
    assert window.selection.entry == "axle.ratio"


def test_what_gets_worse_on_the_other_shaft_stands_beside_apply() -> None:
    loose = {
        "plan.mounts": "loose", "plan.mount_shim_mm": None, "plan.axle_shim_deg": None, "powertrain.slope_deg": 9.0,
        "plan.rear_lift_mm": None, "plan.front_lift_mm": None, "plan.powertrain_slope_deg": 5.0,
        "drivelines.0.output.slope_deg": 2.5,
    }  # fmt: skip
    build = edited(BOTH, loose)
    solution = solve(build)
    told = [
        effect_words(one, way, solution, build)[1]
        for one in solution.findings
        for way in (one.remedy, *one.alternatives)
        if way is not None and any(worse.end for worse in way.worse)
    ]
    assert told
    assert all(words.startswith("rear shaft: ") and "worse: front shaft " in words for words in told)


def test_the_file_holds_both_whichever_is_shown(
    desk: Callable[[Build], MainWindow], qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = desk(BOTH)
    press(qtbot, window, Qt.Key.Key_F8)
    path = tmp_path / "both.json"
    monkeypatch.setattr("app.window.keeping.asking.where_to_save", lambda *_: path)
    assert window.filing.save_as()
    assert Build.model_validate_json(path.read_text(encoding="utf-8")) == BOTH
    assert window.document.number == 1
    window.keeper.keep()


def words_of(path: Path) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())


def test_papers_name_their_shaft_and_what_the_other_is(
    desk: Callable[[Build], MainWindow], qtbot: QtBot, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    window = desk(STEEP)
    press(qtbot, window, Qt.Key.Key_F8)
    build, solution = _told(window.document)
    assert build.title == "Front shaft: untitled build"
    assert solution.says.startswith("Do not tack yet: the rear shaft is on hold.")
    assert on_paper(STEEP, solve(STEEP), None)[0] is STEEP
    assert paper_pages("sheet", build, solution, "letter", "x.json")
    path, out = tmp_path / "both.json", tmp_path / "sheet.pdf"
    write_build(path, edited(STEEP, {"title": "Yard truck"}))
    assert main(["sheet", str(path), "-o", str(out)]) == 0
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(out).pages]
    assert "Rear shaft: Yard truck" in pages[0]
    assert "Front shaft: unknown." in pages[0]
    assert any("Front shaft: Yard truck" in page for page in pages[1:])
    assert main(["order", str(path), "-o", str(out), "--shaft", "front"]) == 0
    assert [name for name in ("Front", "Rear") if f"{name} shaft: Yard truck" in words_of(out)] == ["Front"]
    assert main(["template", str(path), "-o", str(tmp_path / "t.dxf")]) == 2
    assert "say --shaft front or --shaft rear" in capsys.readouterr().err
    write_build(tmp_path / "one.json", edited(PLAIN, {"drivelines": ()}))
    assert main(["card", str(tmp_path / "one.json"), "-o", str(out), "--shaft", "front"]) == 2
    assert "the build has the rear shaft alone" in capsys.readouterr().err


@pytest.mark.parametrize("what", PAPERS)
def test_every_paper_is_of_both_and_names_each(what: What, tmp_path: Path) -> None:
    path, out = tmp_path / "both.json", tmp_path / "paper.pdf"
    write_build(path, edited(BOTH, {"title": "Yard truck"}))
    assert main([PAPERS[what].word, str(path), "-o", str(out)]) == 0
    words = words_of(out)
    name = "" if what == "templates" else "Yard truck"  # which have the parts' names
    assert words.index(f"Rear shaft: {name}") < words.index(f"Front shaft: {name}")


def test_the_terminal_has_both_the_worse_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "both.json"
    write_build(path, swapped(STEEP))
    assert main(["solve", str(path)]) == 0
    text = capsys.readouterr().out
    assert text == whole_report(solve_whole(swapped(STEEP)), "both.json")
    assert "HOLD: Rear shaft, do not tack yet: " in text
    assert 0 < text.index("REAR SHAFT ====") < text.index("FRONT SHAFT ====")
    assert text.count("Cautions\n") == 1
    assert max(map(len, text.splitlines())) <= 100
    assert main(["solve", str(path), "--json"]) == 0
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert (answer["verdict"], answer["worse"], [one["end"] for one in answer["drivelines"]]) == (
        "hold", "rear", ["front", "rear"],
    )  # fmt: skip


def test_what_a_plan_leaves_of_the_other_shaft_is_named_by_it() -> None:
    one = Left("tail_down", "powertrain", "Powertrain tail low", "caution", 7.5, 5.0, "deg", "most", "front")
    assert left_words(one, BOTH) == "▲ front shaft: Powertrain tail low, powertrain, 7.5°, at most 5.0°"
    assert left_words(replace(one, end=None), BOTH) == "▲ Powertrain tail low, powertrain, 7.5°, at most 5.0°"


FOUR = sample("wagon_both_shafts")


def test_every_page_says_which_shaft_it_is_about(desk: Callable[[Build], MainWindow], qtbot: QtBot) -> None:
    window = desk(edited(FOUR, {"variants": ({"name": "less", "changes": {"plan.rear_lift_mm": 25.4}},)}))
    for end in ("rear", "front"):
        for name in VIEWS:
            window.views.show(name)
            page = window.middle.currentWidget() if name != "beside" else window.beside
            assert page is not None
            qtbot.waitUntil(lambda page=page, end=end: f"{end} shaft" in told_on(page), timeout=20_000)
        window.views.show("drawing")
        press(qtbot, window, Qt.Key.Key_F8)


def told_on(page: QWidget) -> str:
    """The words of a page's labels in sight, and of what it paints as it is told to those who do not see it."""
    said = [one.text() for one in page.findChildren(QLabel) if one.isVisible()]
    said += [f"{one.accessibleName()} {one.accessibleDescription()}" for one in [page, *page.findChildren(QWidget)]]
    return " ".join(said).lower()


def test_what_both_share_says_what_the_other_shaft_then_is(desk: Callable[[Build], MainWindow], qtbot: QtBot) -> None:
    """How much lift can I have? The rear shaft alone does not know: the lift is the front one's too."""
    assert other_words(FOUR, {"plan.rear_lift_mm": 25.4}) == "front shaft then: ■ hold"
    assert other_words(FOUR, {"plan.axle_shim_deg": 2.0}) == ""
    assert other_words(sample("lifted_short_shaft"), {"plan.rear_lift_mm": 0.0}) == ""
    window = desk(FOUR)
    window.views.show("range")
    page = window.views.in_sight("range")
    assert isinstance(page, RangePage)
    qtbot.waitUntil(lambda: "front shaft then: ■ hold" in page.here.text(), timeout=20_000)
    page.vary("plan.axle_shim_deg")
    qtbot.waitUntil(lambda: "joints" in page.here.text() and "front shaft" not in page.here.text(), timeout=20_000)
    row = PlanRow()
    qtbot.addWidget(row)
    plan = PlanFound({"plan.front_lift_mm": 0.0}, "caution", 0, 1, 0, 0.1, (), ())
    row.show_plan(plan, 0, FOUR)
    assert "Front shaft then: ■ hold." in row.left.text()


def test_papers_own_up_to_a_hold_and_to_what_both_shafts_share() -> None:
    """Nobody welds at the rear while the front is on hold, nor lifts one end for one shaft alone."""
    rear, front = solve_whole(FOUR).drivelines
    for one, other in ((rear, front), (front, rear)):
        told = on_paper(one.build, one.solution, other.solution)
        for what in PAPERS:
            if what == "card":
                continue  # which measures, and says nothing of a plan
            pages = paper_pages(what, *told, "letter", "")
            words = words_on(pages[0])
            text = " ".join(item.text for item in words)
            assert f"are the {other.end} shaft's too." in text, what
            red = [item for item in words if item.colour == PAPER.hold]
            assert any("hold" in item.text.lower() or "do not" in item.text.lower() for item in red), what
            if what != "sheet":  # which has the badge of its verdict
                assert any(item.text.startswith("■ ") for item in red), what
            if what == "tacking":
                assert [item.text for item in red].count("■ not yet: on hold") == 2
    alone = sample("three_angles_and_a_length")
    for what in ("tacking", "brackets", "templates"):
        text = " ".join(item.text for item in words_on(paper_pages(what, alone, solve(alone), "letter", "")[0]))
        assert "too." not in text
        assert "■" not in text


@pytest.mark.parametrize(
    "words",
    [
        ["sure", "--draws", "100"], ["speeds"], ["again"], ["vibration", "--speed", "55"],
        ["study", "--vary", "plan.rear_lift_mm=40:50:10"], ["plan", "--change", "plan.axle_shim_deg=1:2:1"],
    ],
    ids=lambda words: words[0],
)  # fmt: skip
def test_no_command_tells_of_one_shaft_and_keeps_the_others_hold_to_itself(
    words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is tacked while either is on hold: "Rear shaft ▲ 100 %" once stood alone over a front one on hold."""
    path = tmp_path / "four.json"
    write_build(path, FOUR)
    name, *rest = words
    assert main([name, str(path), *rest]) == 0
    first, second, *_ = capsys.readouterr().out.splitlines()
    assert first.startswith("Rear shaft: ")
    assert second == "Front shaft: ■ hold; --shaft front tells of it"


def test_a_plan_just_kept_differs_in_nothing_seen_from_either_shaft() -> None:
    """From the front, "second driveline: Perches are, none, welded on" once stood there though nothing was changed."""
    for build in (FOUR, swapped(FOUR)):
        both = edited(build, keeping(build, "now"))
        two = two_of(both, solve(both), 0)
        assert (two.entered, two.to_set, two.found) == ((), (), ())
    loose = edited(swapped(FOUR), {"variants": ({"name": "x", "changes": {"drivelines.0.plan.perches": "loose"}},)})
    [row] = two_of(loose, solve(loose), 0).entered
    assert row.name == "perches are at the rear"
    assert row.first != row.second
