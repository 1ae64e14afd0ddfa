"""Over speed, in the terminal and on its page: the judge's numbers, the line at cruise, the press that sets it."""

import re
from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.commands import main
from app.speeds import rows_of, sentence, wants_of
from app.window.ranges.speed_page import SpeedPage
from app.window.shell.main_window import MainWindow
from app.window.theme import sized
from geometry import Build, edited, solve
from geometry.words.speeds import over_speed

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
RANCH = Build.model_validate_json((SAMPLES / "ranch_truck_swap.json").read_bytes())
HURRY = Build.model_validate_json((SAMPLES / "three_angles_and_a_length.json").read_bytes())


def opened(window: MainWindow, qtbot: QtBot, build: Build, size: tuple[int, int] = (1366, 768)) -> SpeedPage:
    window.resize(*size)
    window.drawing.load()
    window.document.open(build, None)
    qtbot.waitExposed(window)
    window.views.show("speed")
    page = window.views.in_sight("speed")
    assert page is not None
    qtbot.waitUntil(lambda: page.found is not None and page.settled)
    return page


def test_the_command_tells_each_speed_and_marks_cruise(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["speeds", str(SAMPLES / "ranch_truck_swap.json")]) == 0
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 98
    assert " ".join(out.splitlines()[1:3]) == sentence(over_speed(RANCH), RANCH.display)
    [cruise] = [line for line in out.splitlines() if "cruise  " in line]
    residual = next(one for one in solve(RANCH).findings if one.id == "pinion_residual")
    assert f"▲ {residual.value:.0f} rad/s²" in cruise
    assert "Gear 3, 1.50: to 59 mph at the redline" in out


def test_what_is_missing_is_asked_for_and_no_number_stands_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["speeds", str(SAMPLES / "three_angles_and_a_length.json")]) == 0
    out = capsys.readouterr().out
    assert "Not judged yet." in out
    assert "measure or enter the rear tyre radius and the axle ratio" in " ".join(out.split())
    rows = "Uneven running at the pinion; shaft uneven, driving / coasting: measure or enter the rear tyre"
    assert rows in out  # which of them want it
    assert "rpm" not in out
    assert "cruising speed" not in out  # any speed does
    assert wants_of(RANCH, over_speed(RANCH)) == ()


def test_at_cruise_the_page_says_what_the_findings_say() -> None:
    found = over_speed(RANCH)
    assert found.cruise_kmh is not None
    said = {one.id: one for one in solve(RANCH).findings}
    rows = {row.short: row for row in rows_of(found)}
    uneven = rows["Uneven at pinion"]
    assert uneven.verdict(found.speeds_kmh, found.cruise_kmh) == said["pinion_residual"].verdict
    assert uneven.value_words(found.speeds_kmh, found.cruise_kmh, RANCH.display) == "349 rad/s²"
    assert uneven.lines_words(found.speeds_kmh, found.cruise_kmh, RANCH.display) == "most 300, hold 400 rad/s²"
    drive, coast = (said[f"shaft_inertia_{way}"].value for way in ("drive", "coast"))
    both = rows["Shaft, drive / coast"].value_words(found.speeds_kmh, found.cruise_kmh, RANCH.display)
    assert both == f"{drive:.0f} / {coast:.0f} rad/s²"


def test_a_press_sets_the_cruising_speed_in_one_step(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, RANCH)
    assert not page.press.isEnabled()  # the line stands at it
    page.focus()
    for _ in range(6):
        qtbot.keyClick(page.view, Qt.Key.Key_Left)
    assert page.press.isEnabled()
    qtbot.keyClick(page.view, Qt.Key.Key_Return)
    vehicle = window.document.build.vehicle
    assert vehicle is not None
    assert vehicle.cruise_speed_kmh == pytest.approx(55.0 * 1.609344)
    qtbot.waitUntil(lambda: page.settled)
    assert page.view.accessibleDescription().startswith("At 55 mph: Uneven running at the pinion")
    assert "clear" in page.view.accessibleDescription()
    window.document.undo()
    assert window.document.build.vehicle == RANCH.vehicle
    qtbot.waitUntil(lambda: page.settled)
    assert not page.press.isEnabled()  # the line follows the cruising speed that it stood at
    qtbot.keyClick(page.view, Qt.Key.Key_Escape)
    assert window.views.in_sight("speed") is None


def test_the_hand_and_the_keys_stay_within_the_scale(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, RANCH)
    view = page.view
    most = float(over_speed(RANCH).speeds_kmh[-1])
    for key, at in ((Qt.Key.Key_End, most), (Qt.Key.Key_Right, most), (Qt.Key.Key_Home, 1.609344)):
        qtbot.keyClick(view, key)
        assert f"Set the cruising speed to {round(at / 1.609344)} mph" == page.press.text()
    x = round(view.x_of(40.0 * 1.609344))
    qtbot.mouseClick(view, Qt.MouseButton.LeftButton, pos=QPoint(x, 60))
    assert page.press.text() == "Set the cruising speed to 40 mph"


@pytest.mark.parametrize("size", [(1280, 720), (1366, 768), (1920, 1080)])
@pytest.mark.parametrize("name", ["ranch_truck_swap", "transfer_case_double_joint"])
def test_panels_have_room_and_words_are_whole(
    window: MainWindow, qtbot: QtBot, name: str, size: tuple[int, int]
) -> None:
    build = Build.model_validate_json((SAMPLES / f"{name}.json").read_bytes())
    page = opened(window, qtbot, build, size)
    QApplication.processEvents()
    view, found = page.view, page.found
    assert found is not None
    rows = rows_of(found)
    boxes = [view.panel_of(number) for number in range(len(rows) + 1)]
    assert all(upper.bottom() < lower.top() for upper, lower in pairwise(boxes))
    assert view.height() >= view.minimumHeight()
    assert page.height() >= page.minimumSizeHint().height()
    bold, small = (QFontMetricsF(sized(10, bold=True)), QFontMetricsF(sized(8)))
    for row in rows:
        assert bold.horizontalAdvance(row.short) <= 166.0
        assert small.horizontalAdvance(row.lines_words(found.speeds_kmh, 90.0, build.display)) <= 172.0


def test_another_shaft_is_judged_anew(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, RANCH)
    before = page.sentence.text()
    window.document.apply({"plan.axle_shim_deg": 1.5}, "wedge")
    qtbot.waitUntil(lambda: page.settled and page.sentence.text() != before)
    wedged = edited(RANCH, {"plan.axle_shim_deg": 1.5})
    assert page.sentence.text() == sentence(over_speed(wedged), RANCH.display)
    window.document.open(HURRY, None)
    qtbot.waitUntil(lambda: page.sentence.text() == "Not judged yet.")
    assert page.wants.isVisible()


def test_what_is_not_judged_at_some_speeds_alone_says_what_is_missing() -> None:
    """Near half the critical speed the loaded radius does not tell: the tyres' turns do."""
    build = edited(RANCH, {"plan.axle_shim_deg": 1.5, "shaft.tube.outer_diameter_mm": 55.0})
    found = over_speed(build, 160.0)
    assert "not judged" in sentence(found, build.display)
    (says,) = wants_of(build, found)
    assert "turns" in says
    counted = edited(build, {"vehicle.tyre_turns_per_km": 380.0})
    assert wants_of(counted, over_speed(counted, 160.0)) == ()


def test_half_the_critical_speed_is_told_of_both_sections(capsys: pytest.CaptureFixture[str]) -> None:
    van = SAMPLES / "long_van_two_piece.json"
    assert main(["speeds", str(van)]) == 0
    low, high = (
        f"{half:,.0f} rpm"
        for half in over_speed(Build.model_validate_json(van.read_text(encoding="utf-8"))).half_critical_rpm
    )
    assert f"half of it {low}, half of the other section's {high}" in capsys.readouterr().out


def test_columns_of_the_command_stand_apart(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Four digits twice once ran into the shaft's speed: "1,343 / 1,343 rad/s²○ 2,223 rpm"."""
    build = edited(Build(), {
        "powertrain.slope_deg": 2.5, "readings.shaft_slope_deg": 11.5, "axle.pinion_slope_deg": 2.5, "axle.ratio": 4.1,
        "vehicle.rear_tyre_radius_mm": 393.7, "vehicle.cruise_speed_kmh": 88.5,
    })  # fmt: skip
    path = tmp_path / "steep.json"
    path.write_text(build.model_dump_json(), encoding="utf-8")
    assert main(["speeds", str(path)]) == 0
    signs = [line for line in capsys.readouterr().out.splitlines() if "rpm" in line]
    assert signs
    assert not [line for line in signs if re.search(r"\S[●▲■○]", line)]
