"""How sure it is, in the terminal and on its page: the numbers of the draws, and the way to what to read again."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.commands import main
from app.naming import name_of
from app.sure import chance_words, interval_words, percent, tools_words
from app.window.ranges import sure_page
from app.window.ranges.sure_page import SurePage
from app.window.shell.main_window import MainWindow
from app.window.theme import sized
from geometry import Build, edited
from geometry.words.sure import TURN, sure

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
ALL = sorted(SAMPLES.glob("*.json"))
RANCH = Build.model_validate_json((SAMPLES / "ranch_truck_swap.json").read_bytes())
HURRY = edited(
    Build(),
    {
        "powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8, "axle.pinion_slope_deg": 4.5,
        "gauge.angle_uncertainty_deg": 0.1,
    },
)  # fmt: skip


FEW = 2 * TURN


@pytest.fixture(autouse=True)
def few_draws(monkeypatch: pytest.MonkeyPatch) -> None:
    """Draw less often, as what is drawn is tested elsewhere."""
    monkeypatch.setattr(sure_page, "DRAWS", FEW)


def opened(window: MainWindow, qtbot: QtBot, build: Build, size: tuple[int, int] = (1366, 768)) -> SurePage:
    window.resize(*size)
    window.drawing.load()
    window.document.open(build, None)
    qtbot.waitExposed(window)
    window.views.show("sure")
    page = window.views.in_sight("sure")
    assert page is not None
    qtbot.waitUntil(lambda: page.found is not None and page.settled, timeout=60_000)
    return page


def test_the_command_tells_chances_intervals_and_what_totake_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "three.json"
    path.write_text(HURRY.model_dump_json(), encoding="utf-8")
    assert main(["sure", str(path), "--draws", "1000"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    found = sure(HURRY, 1000)
    assert "All readings drawn 1,000 times within gauge ± 0.1°, tape taken as exact" in out
    assert f"Whole build  {chance_words(found.whole)}" in out
    for one in found.intervals:
        assert f"  {one.name:14}{interval_words(one, HURRY.display)}" in out
    doubtful = next(one for one in found.findings if one.id == "ends_parallel")
    assert f"Ends apart, shaft{' ' * 29}{chance_words(doubtful)}" in out
    assert "Take again first" in out
    assert all(len(line) <= 98 for line in out.splitlines())


@pytest.mark.parametrize(
    ("gauge", "says"),
    [
        (None, "How sure is not known: enter what gauge and tape read give or take."),
        ({"angle_uncertainty_deg": 0.01}, "No verdict hangs on the gauge; of the tape enter"),
        ({"tape_uncertainty_mm": 0.01}, "No verdict hangs on the tape; of the gauge enter"),
        ({"angle_uncertainty_deg": 0.01, "tape_uncertainty_mm": 0.01}, "No verdict hangs on gauge or tape."),
    ],
)
def test_what_a_tool_reads_give_or_take_is_never_taken_for_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], gauge: dict[str, float] | None, says: str
) -> None:
    """Missing data is unknown: a build without give or take once was sure to 100 %, its angles "9.0° to 9.0°"."""
    path = tmp_path / "three.json"
    path.write_text(edited(HURRY, {"gauge": gauge, "axle.pinion_slope_deg": 4.0}).model_dump_json(), encoding="utf-8")
    assert main(["sure", str(path), "--draws", "100"]) == 0
    out = capsys.readouterr().out
    assert says in out
    assert ("100 %" in out) == (gauge is not None)
    assert all(len(line) <= 98 for line in out.splitlines())
    assert "Take again" not in out


@pytest.mark.parametrize("draws", ["99", "100001", "-5"])
def test_too_few_or_too_many_draws_are_refused(capsys: pytest.CaptureFixture[str], draws: str) -> None:
    assert main(["sure", str(ALL[0]), f"--draws={draws}"]) == 2
    assert "must be from 100 to 100,000" in capsys.readouterr().err


def test_a_share_is_never_rounded_to_all_or_nothing() -> None:
    for number in range(2001):
        words = percent(number / 2000)
        assert (words == "0 %") == (number == 0)
        assert (words == "100 %") == (number == 2000)


def test_tools_are_named() -> None:
    assert tools_words(edited(HURRY, {"gauge.zero_uncertainty_deg": 0.3, "gauge.tape_uncertainty_mm": 2.0})) == (
        "gauge ± 0.1°, its zero ± 0.3°, tape ± 0.08 in"
    )
    assert tools_words(edited(Build(), {"gauge.tape_uncertainty_mm": 2.0})) == "gauge taken as exact, tape ± 0.08 in"


def test_the_page_counts_on_and_shows_what_is_drawn(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, HURRY)
    found = sure(HURRY, FEW)
    assert page.found == found
    assert page.sentence.text().endswith(chance_words(found.whole))
    assert f"drawn {FEW:,} of {FEW:,} times" in page.drawn.text()
    assert [one.text() for one in page.again if one.isVisible()] == [
        f"{name_of(HURRY, path)}: {percent(share)} of the doubt ▸" for path, share in found.again
    ]
    assert chance_words(found.whole) in page.shares.accessibleDescription()
    page.begin()
    assert page.found is not None
    assert page.found.draws == TURN


def test_a_press_goes_to_the_reading_totake_again(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, RANCH)
    first = page.again[0]
    assert first.isVisible()
    path = page.found.again[0][0] if page.found is not None else ""
    assert first.property("path") == path
    qtbot.mouseClick(first, Qt.MouseButton.LeftButton)
    focused = QApplication.focusWidget()
    assert focused is not None
    assert window.measurements.isAncestorOf(focused)
    window.take_again("axle.centre_mm.2")
    focused = QApplication.focusWidget()
    assert focused is not None
    assert window.measurements.isAncestorOf(focused)


def test_a_key_shows_it_escape_goes_back_and_nothing_is_drawn_out_of_sight(window: MainWindow, qtbot: QtBot) -> None:
    opened(window, qtbot, HURRY)
    window.go_to_drawing()
    assert window.views.in_sight("sure") is None
    qtbot.keyClick(window, Qt.Key.Key_G, Qt.KeyboardModifier.ControlModifier)
    page = window.views.in_sight("sure")
    assert page is not None
    assert window.menus.pages["sure"].isChecked()
    focused = QApplication.focusWidget()
    assert focused is not None
    assert page is focused or page.isAncestorOf(focused)
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    assert window.views.in_sight("sure") is None
    before = page.found
    window.document.apply({"powertrain.slope_deg": 6.0}, "output slope")
    QApplication.processEvents()
    assert page.settled
    assert page.found is before
    window.views.show("range")
    window.views.show("sure")
    qtbot.waitUntil(lambda: page.settled)
    assert page.found == sure(window.document.build, FEW)


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_rows_have_room_and_words_are_whole(window: MainWindow, qtbot: QtBot, path: Path) -> None:
    build = edited(
        Build.model_validate_json(path.read_bytes()),
        {"gauge.angle_uncertainty_deg": 0.5, "gauge.tape_uncertainty_mm": 6.0},
    )
    page = opened(window, qtbot, build, (1280, 720))
    assert page.shares.hidden == 0
    metrics = QFontMetricsF(sized(10))
    for _, name, _ in page.shares._rows[1:]:
        assert metrics.horizontalAdvance(name) <= 166.0, name
    page.grab()
