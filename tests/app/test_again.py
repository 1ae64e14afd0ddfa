"""What was measured again, in the terminal, in the form and on its page."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.again import COLUMNS, again_text, heading, sets_of
from app.commands import main
from app.files import read_build
from app.lettering import lacking
from app.measuring.sections import contents, flat, is_begun, section_of
from app.report import report_text
from app.window.plain import Label
from app.window.ranges.again_page import AgainPage
from app.window.shell.main_window import MainWindow
from geometry import Build, edited, solve
from geometry.document.again import ReadAgain
from tests.app.drawing.drawn import SAMPLES
from tests.app.sheets import sample

TACKED = {"day": "12 May", "odometer_km": 98_500.0, "flange_to_perch_left_mm": 209.0, "flange_to_perch_right_mm": 209.0}


def build_with(*some: dict[str, object]) -> Build:
    return sample(measured_again=tuple(ReadAgain(**one).model_dump() for one in some))


def text_of(build: Build) -> str:
    return again_text(build, solve(build), "truck.json")


def test_nothing_read_again_is_said() -> None:
    assert "Nothing has been measured again yet." in text_of(build_with())


def test_a_set_is_told_with_each_number_and_what_to_do() -> None:
    bare = solve(build_with()).setpoints
    assert bare.pinion_slope_deg is not None
    tacked = TACKED | {"pinion_slope_deg": bare.pinion_slope_deg + 0.7}
    driven = {"stage": "driven", "pinion_slope_deg": bare.pinion_slope_deg, "oil_right": True, "ubolts_tight": False}
    text = text_of(build_with(tacked, driven))
    lines = text.splitlines()
    assert max(map(len, lines)) <= 98
    assert "Tacked · 12 May · 61,205 mi" in lines
    assert any(line.startswith("■ Break the tacks and set it again: pinion slope 0.7° off what was") for line in lines)
    row = next(line for line in lines if "Pinion slope" in line)
    to_be, now = (f"{slope:.1f}° nose up" for slope in (bare.pinion_slope_deg, bare.pinion_slope_deg + 0.7))
    assert " ".join(row.split()).startswith(f"■ Pinion slope {to_be} – {now} 0.7°")
    assert "Shaft slope" not in text  # which was not read
    assert "■ U-bolts to torque: not right" in lines
    assert "● Oil level right: right" in lines
    assert "○ Breather dry: not looked at" in lines


def test_slopes_have_their_way_as_everywhere_and_no_sign() -> None:
    """A front axle's nose is up where the file's sign is less than nothing: −8.9 beside "8.9° nose up" to set."""
    rig = edited(read_build(SAMPLES["front_axle_lift"]), {"measured_again.0": ReadAgain(pinion_slope_deg=-8.7)})
    row = next(line for line in again_text(rig, solve(rig), "rig.json").splitlines() if "Pinion slope" in line)
    assert " ".join(row.split()).startswith("● Pinion slope 8.9° nose up – 8.7° nose up 0.2°")
    wide = edited(rig, {"measured_again.0": ReadAgain(
        output_slope_deg=-12.5, shaft_slope_deg=-11.0, pinion_slope_deg=-10.1, flange_to_perch_left_mm=100.0,
        flange_to_perch_right_mm=1900.0, wheelbase_left_mm=9999.0, wheelbase_right_mm=10.0,
    )})  # fmt: skip
    assert max(map(len, again_text(wide, solve(wide), "rig.json").splitlines())) <= 98


def test_a_set_of_nothing_has_no_empty_table() -> None:
    text = text_of(build_with({"stage": "welded"}))
    assert "to be" not in text


def test_kilometres_where_lengths_are_in_millimetres() -> None:
    build = edited(build_with(TACKED), {"display.length": "millimetre"})
    (one,) = sets_of(build, solve(build))
    assert heading(one, build.display) == "Tacked · 12 May · 98,500 km"


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "truck.json"
    path.write_text(build_with(TACKED).model_dump_json(), encoding="utf-8")
    assert main(["again", str(path)]) == 0
    out = capsys.readouterr().out
    assert "○ Read first: pinion slope." in out
    assert "stands rated for its weight" in " ".join(out.split())


def test_the_report_tells_the_last_set() -> None:
    build = build_with(TACKED, TACKED | {"stage": "welded", "pinion_slope_deg": 9.9})
    text = " ".join(report_text(build, solve(build), "truck.json").split())
    assert "Measured again HOLD Welded, cold · 12 May · 61,205 mi: Do not drive it yet: " in text
    bare = build_with()
    assert "Measured again" not in report_text(bare, solve(bare), "truck.json")


def test_the_form_has_a_group_for_each_set() -> None:
    build = build_with(TACKED, TACKED)
    assert is_begun(build, "measured_again")
    assert not is_begun(build_with(), "measured_again")
    paths = {one.path for one in flat(contents(build, "measured_again"))}
    assert paths == {f"measured_again.{number}.{name}" for number in (0, 1) for name in ReadAgain.model_fields}
    assert section_of(build, "measured_again.1.day") == ("measured_again", "measured_again.1.day")


def test_a_letter_that_the_font_lacks_is_told_of_its_set() -> None:
    assert lacking(build_with(TACKED | {"day": "漢"})).startswith("Set of readings 1: Day: ")


# --- its page in the window -------------------------------------------------------------------------------------------


def opened(window: MainWindow, qtbot: QtBot, build: Build, size: tuple[int, int] = (1366, 768)) -> AgainPage:
    window.resize(*size)
    window.drawing.load()
    window.document.open(build, None)
    qtbot.waitExposed(window)
    window.views.show("again")
    page = window.views.in_sight("again")
    assert page is not None
    qtbot.waitUntil(lambda: page.settled and page.sentence.text() != "", timeout=60_000)
    return page


def test_the_page_follows_what_is_typed_and_goes_to_the_form(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, build_with())
    assert page.sentence.text().startswith("Nothing has been measured again yet.")
    assert page.rows() == []
    bare = window.document.solution.setpoints
    assert bare.pinion_slope_deg is not None
    tacked = TACKED | {"pinion_slope_deg": bare.pinion_slope_deg + 0.7}
    window.document.apply({"measured_again.0": ReadAgain(**tacked)}, "measured again")
    qtbot.waitUntil(lambda: page.found != () and page.settled, timeout=60_000)
    assert page.sentence.text().startswith("■ Break the tacks and set it again: pinion slope 0.7° off")
    assert page.of.text().startswith("Tacked · 12 May · 61,205 mi · the whole build with these lines: ")
    assert page.rows()[0] == COLUMNS
    assert "■ Pinion slope" in [row[0] for row in page.rows()]
    window.document.apply({"measured_again.1": ReadAgain(stage="driven", oil_right=False)}, "measured again")
    qtbot.waitUntil(lambda: len(page.found) == 2 and page.settled, timeout=60_000)
    assert ("▲ Oil level right", "not right") in page.rows()
    assert page.before.text().startswith("Tacked · 12 May · 61,205 mi: ■ Break the tacks")
    qtbot.mouseClick(page.enter, Qt.MouseButton.LeftButton)
    box = window.measurements.boxes["measured_again"]
    assert box.is_open
    row, focused = box.row_for("measured_again.1.stage"), QApplication.focusWidget()  # the last set, not the first
    assert row is not None
    assert focused is not None
    assert row.isAncestorOf(focused)
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    assert window.views.in_sight("again") is None


@pytest.mark.parametrize("size", [(1240, 680), (1366, 768)])
def test_the_page_has_room_for_a_full_set(window: MainWindow, qtbot: QtBot, size: tuple[int, int]) -> None:
    read = {name: 2.0 if "_deg" in name else 900.0 for name in ReadAgain.model_fields if name.endswith(("_deg", "_mm"))}
    page = opened(window, qtbot, build_with(TACKED, read | {"stage": "driven"}), size)
    labels = [one for one in page.findChildren(Label) if one.isVisible() and one.text()]
    assert len(page.rows()) >= 14
    for one in labels:
        assert one.width() >= min(one.minimumSizeHint().width(), one.sizeHint().width())
        assert one.height() >= one.heightForWidth(one.width()) if one.wordWrap() else one.sizeHint().height()
        assert page.rect().contains(one.geometry())
