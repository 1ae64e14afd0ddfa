"""The page over a range: what it shows is what the judge says there, and one press sets it."""

from functools import partial
from pathlib import Path

import pytest
from PySide6.QtCore import QBuffer, QPoint, Qt
from PySide6.QtGui import QFontMetricsF, QImage
from PySide6.QtSvg import QSvgGenerator
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.commands import main
from app.complaints import title_of
from app.units import show_tape, shown_unit
from app.window.ranges import page as page_module
from app.window.ranges.bands import ROWS, Bands, axis_words, marks
from app.window.ranges.page import RangePage
from app.window.ranges.varied import varied
from app.window.shell.main_window import MainWindow
from app.window.theme import sized
from geometry import Build, edited, solve, value_at
from geometry.document.entries import is_numeric
from geometry.judge.codes import WORDS
from geometry.words.study import in_turns, map_in_turns, over_range

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
ALL = sorted(SAMPLES.glob("*.json"))
RANCH = Build.model_validate_json((SAMPLES / "ranch_truck_swap.json").read_bytes())
LIFT, WEDGE = "plan.rear_lift_mm", "plan.axle_shim_deg"


def opened(window: MainWindow, qtbot: QtBot, build: Build, size: tuple[int, int] = (1366, 768)) -> RangePage:
    window.resize(*size)
    window.drawing.load()
    window.document.open(build, None)
    qtbot.waitExposed(window)
    window.views.show("range")
    page = window.views.in_sight("range")
    assert page is not None
    qtbot.waitUntil(lambda: page.range is not None and page.settled, timeout=60_000)
    return page


def settled(qtbot: QtBot, page: RangePage) -> None:
    qtbot.waitUntil(lambda: page.settled, timeout=60_000)


@pytest.fixture
def page(window: MainWindow, qtbot: QtBot) -> RangePage:
    """The page on a sample, which is varied in its rear lift at first."""
    return opened(window, qtbot, edited(RANCH, {"plan": None}))


def test_a_key_shows_it_and_escape_goes_back(window: MainWindow, qtbot: QtBot) -> None:
    window.resize(1366, 768)
    window.drawing.load()
    window.document.open(RANCH, None)
    qtbot.waitExposed(window)
    assert window.views.in_sight("range") is None
    qtbot.keyClick(window, Qt.Key.Key_R, Qt.KeyboardModifier.ControlModifier)
    page = window.views.in_sight("range")
    assert page is not None
    assert page.isVisible()
    assert not window.drawing.isVisible()
    assert QApplication.focusWidget() is page.bands
    assert window.menus.pages["range"].isChecked()
    qtbot.keyClick(page.bands, Qt.Key.Key_Escape)
    assert window.views.in_sight("range") is None
    assert window.drawing.isVisible()
    assert window.menus.pages["drawing"].isChecked()
    assert QApplication.focusWidget() is window.drawing.canvas


def test_whatever_is_of_the_drawing_brings_the_drawing_back(window: MainWindow, qtbot: QtBot) -> None:
    opened(window, qtbot, RANCH)
    for act in (window.go_to_drawing, window.go_to_travel, window.draw_obstacle, lambda: window.look("whole")):
        window.views.show("range")
        assert window.views.in_sight("range") is not None
        act()
        assert window.views.in_sight("range") is None


def test_a_page_is_pressed_beside_the_menus(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, RANCH)
    drawing, ranges, *_ = window.menus.page_row.buttons
    assert (drawing.isChecked(), ranges.isChecked()) == (False, True)
    qtbot.mouseClick(drawing, Qt.MouseButton.LeftButton)
    assert not page.isVisible()
    assert (drawing.isChecked(), ranges.isChecked()) == (True, False)
    qtbot.mouseClick(ranges, Qt.MouseButton.LeftButton)
    assert page.isVisible()
    assert (drawing.isChecked(), ranges.isChecked()) == (False, True)


def test_a_page_is_named_by_its_question_where_the_mouse_rests(window: MainWindow) -> None:
    tips = [button.toolTip() for button in window.menus.page_row.buttons]
    assert len(set(tips)) == len(tips) == len(window.menus.pages)
    assert all(tip.rstrip("</p>\n ").endswith("?") for tip in tips), tips
    assert any("How much lift can I have?" in tip for tip in tips)


def test_going_round_the_panes_takes_it_in_place_of_the_drawing(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, RANCH)
    seen = set()
    for _ in range(12):
        window.go_round(1)
        focused = QApplication.focusWidget()
        assert focused is not None
        seen.add(page.isAncestorOf(focused))
        assert window.views.in_sight("range") is page
    assert seen == {True, False}


def test_what_it_shows_is_what_the_judge_says(page: RangePage) -> None:
    build = page._document.build
    assert page.range == over_range(build, LIFT, 0.0, 152.4)
    border = show_tape(page.range.whole[0].last, build.display)  # type: ignore[union-attr]
    assert page.sentence.text().startswith(f"Caution to {border}; then hold to 6 in: ")


def test_every_turn_shows_the_whole_range_finer_and_finer(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, RANCH)
    page.begin()
    turns = 0
    while page._turning.isActive():
        found = page.range
        assert found is not None
        assert (found.whole[0].first, found.whole[-1].last) == (0.0, 152.4)
        page._turn()
        turns += 1
    assert turns > 3


def test_keys_step_as_it_can_be_set_and_enter_sets_in_one_step(
    window: MainWindow, page: RangePage, qtbot: QtBot
) -> None:
    bands, before, said = page.bands, window.document.build, list[str]()
    page.told.connect(said.append)
    for key, value in (
        (Qt.Key.Key_Right, 25.4 / 16), (Qt.Key.Key_Right, 25.4 / 8), (Qt.Key.Key_Left, 25.4 / 16),
        (Qt.Key.Key_PageUp, 9 * 25.4 / 16), (Qt.Key.Key_PageDown, 25.4 / 16), (Qt.Key.Key_End, 152.4),
        (Qt.Key.Key_Right, 152.4), (Qt.Key.Key_Home, 0.0), (Qt.Key.Key_Left, 0.0), (Qt.Key.Key_PageUp, 12.7),
    ):  # fmt: skip
        qtbot.keyClick(bands, key)
        assert page._at == pytest.approx(value)
    assert window.document.stack.count() == 0
    qtbot.keyClick(bands, Qt.Key.Key_Return)
    assert value_at(window.document.build, LIFT) == pytest.approx(12.7)
    assert window.document.stack.count() == 1
    assert said == ["Set: rear lift 1/2 in."]
    page.set_value()
    assert said[1:] == ["It is so already: rear lift 1/2 in."]
    settled(qtbot, page)
    assert page._over is not None
    assert page._over.now == pytest.approx(12.7)
    window.undo()
    assert window.document.build == before


def test_a_hand_moves_the_line_and_the_press_sets_it(window: MainWindow, page: RangePage, qtbot: QtBot) -> None:
    bands = page.bands
    middle = QPoint(round(bands.x_of(76.2)), bands.height() // 2)
    qtbot.mousePress(bands, Qt.MouseButton.LeftButton, pos=QPoint(round(bands.x_of(30.0)), 40))
    qtbot.mouseMove(bands, middle)
    qtbot.mouseRelease(bands, Qt.MouseButton.LeftButton, pos=middle)
    at = page._at
    assert at % (25.4 / 16) == pytest.approx(0.0, abs=1e-6) or at % (25.4 / 16) == pytest.approx(25.4 / 16)
    qtbot.mouseClick(page.press, Qt.MouseButton.LeftButton)
    assert value_at(window.document.build, LIFT) == pytest.approx(at)


def test_beside_the_bands_stands_what_the_build_is_at_the_line(page: RangePage) -> None:
    page.go_to(50.8)
    whole = solve(edited(page._document.build, {LIFT: 50.8}))
    told = page.bands._told
    assert {key: one[0] for key, one in told.items()} == {(one.id, one.part): one.verdict for one in whole.findings}
    assert page.bands._whole == whole.verdict
    holds = sum(one.verdict == "hold" for one in whole.findings)
    assert f"■ {holds} hold" in page.here.text()
    assert "At 2 in" in page.here.text()
    subject = page.view._subject
    assert subject is not None
    assert value_at(subject.build, LIFT) == 50.8
    page.view.grab()


def test_another_entry_is_varied_and_remembers_its_range(window: MainWindow, page: RangePage, qtbot: QtBot) -> None:
    page.vary(WEDGE)
    settled(qtbot, page)
    assert page.range is not None
    assert page.range.path == WEDGE
    assert page.first.text() == "-6°"
    page.last.setFocus()
    page.last.selectAll()
    qtbot.keyClicks(page.last, "4")
    qtbot.keyClick(page.last, Qt.Key.Key_Return)
    settled(qtbot, page)
    assert page.range.whole[-1].last == 4.0
    page.vary(LIFT)
    settled(qtbot, page)
    page.vary(WEDGE)
    settled(qtbot, page)
    assert page.range.whole[-1].last == 4.0
    assert page.entry.currentText() == title_of(WEDGE)
    page.go_to(1.3)
    assert page._at == 1.5, "wedges come in half degrees"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("abc", "was not understood"),
        ("-1 in", "must go from a lower to a higher value"),
        ("9000 in", "Rear lift"),
        ("3°", "which is not wanted here"),
    ],
)
def test_a_range_that_cannot_be_is_said_and_the_old_one_stays(
    window: MainWindow, page: RangePage, qtbot: QtBot, typed: str, says: str
) -> None:
    before, said = page.range, list[str]()
    page.told.connect(said.append)
    page.last.setFocus()
    page.last.selectAll()
    qtbot.keyClicks(page.last, typed)
    qtbot.keyClick(page.last, Qt.Key.Key_Return)
    assert says in said[0]
    assert page.range is before
    assert page.last.text() == typed
    page.last.selectAll()
    qtbot.keyClicks(page.last, "3 in")
    qtbot.keyClick(page.last, Qt.Key.Key_Return)
    settled(qtbot, page)
    assert page.range is not None
    assert page.range.whole[-1].last == pytest.approx(76.2)


def test_it_follows_the_build_and_rests_while_out_of_sight(window: MainWindow, page: RangePage, qtbot: QtBot) -> None:
    window.document.apply({"powertrain.slope_deg": 6.0}, "output slope")
    settled(qtbot, page)
    assert page.range == over_range(window.document.build, LIFT, 0.0, 152.4)
    window.show_drawing()
    before = page.range
    window.document.apply({"powertrain.slope_deg": 5.0}, "output slope")
    QApplication.processEvents()
    assert page.settled
    assert page.range is before
    window.views.show("range")
    settled(qtbot, page)
    assert page.range == over_range(window.document.build, LIFT, 0.0, 152.4)


def test_another_build_in_millimetres_shows_millimetres(window: MainWindow, page: RangePage, qtbot: QtBot) -> None:
    window.show_length("millimetre")
    settled(qtbot, page)
    assert page.last.text() == "150 mm"
    qtbot.keyClick(page.bands, Qt.Key.Key_Right)
    assert page._at == 1.0


def test_an_empty_build_can_be_varied_too(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, Build())
    assert page.sentence.text().startswith("Unknown all along")
    assert page.bands.names == ()
    page.bands.grab()


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_what_may_be_varied_is_possible_at_both_ends_and_named_apart(path: Path) -> None:
    build = Build.model_validate_json(path.read_bytes())
    for changes in (
        {},
        {"plan.perches": "loose", "plan.axle_shim_deg": None, "plan.mounts": "loose", "plan.mount_shim_mm": None},
    ):
        changed = edited(build, changes)
        found = varied(changed, solve(changed))
        assert found[0].path == (LIFT if build.axle is None or build.axle.end == "rear" else "plan.front_lift_mm")
        assert len({one.name for one in found}) == len(found)
        for one in found:
            assert is_numeric(one.path)
            assert one.first <= one.now <= one.last or one.path.startswith("plan.")
            for end in (one.first, one.last):
                edited(changed, {one.path: end})


@pytest.mark.parametrize("size", [(1280, 720), (1920, 1080)], ids=str)
@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_rows_have_room_and_words_are_whole(
    window: MainWindow, qtbot: QtBot, path: Path, size: tuple[int, int]
) -> None:
    page = opened(window, qtbot, Build.model_validate_json(path.read_bytes()), size)
    for share in (0.0, 0.4, 1.0):
        page.go_to(152.4 * share)
        bands = page.bands
        assert bands.hidden == 0
        assert len(set(bands.names)) == len(bands.names), "two rows of one name"
        assert ROWS[0] <= bands._row <= ROWS[1]
        bottom = bands._y_of(len(bands.names)) + bands._row + 4.0 + 42.0
        assert bottom <= bands.height() + 1.0
        assert_whole(bands)
        assert (
            QFontMetricsF(sized(10)).horizontalAdvance(max(page.here.text().splitlines(), key=len)) <= page.here.width()
        )
    page.grab()


def assert_whole(bands: Bands) -> None:
    """Every name, and every value without its limit, fits its column."""
    font = QFontMetricsF(sized(10, bold=True))
    for name in bands.names:
        assert font.horizontalAdvance(name) <= 168.0, name
    plain = QFontMetricsF(sized(10))
    for _, words in bands._told.values():
        assert plain.horizontalAdvance(words.rpartition(", ")[0] or words) <= 150.0, words


def test_three_angles_are_told_what_a_lift_wants_measured(
    window: MainWindow, qtbot: QtBot, capsys: pytest.CaptureFixture[str]
) -> None:
    """How much lift, of three angles and a length, once was "caution to 0 in; then unknown", and no more."""
    path = SAMPLES / "three_angles_and_a_length.json"
    page = opened(window, qtbot, Build.model_validate_json(path.read_bytes()))
    main(["study", str(path), "--vary", "plan.rear_lift_mm=0:150:25"])
    printed = capsys.readouterr().out
    assert all(len(line) <= 98 for line in printed.splitlines())
    for said in (page.sentence.text(), printed):
        told = " ".join(said.split())
        assert "0 in alone" in told
        assert "measure or enter the joint at the output, the axle centre, the springs or links and the pinion" in told


def test_why_a_lift_of_nought_stands_alone_is_told_at_the_foot(window: MainWindow, qtbot: QtBot) -> None:
    told: list[str] = []
    page = opened(window, qtbot, edited(RANCH, {"use.rear_settling_mm": None, "use.rear_least_kg": 0.0}))
    page.told.connect(told.append)
    page.begin()
    settled(qtbot, page)
    assert page.range is not None
    assert page.range.says
    assert told == [page.range.says]
    assert page.bands.toolTip()
    page.vary(WEDGE)
    settled(qtbot, page)
    assert told == told[:1]
    assert not page.bands.toolTip()


# --- two entries ------------------------------------------------------------------------------------------------------


@pytest.fixture
def two(window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> RangePage:
    """The page on a sample with wedges against the lift, in few cells."""
    monkeypatch.setattr(page_module, "map_in_turns", partial(map_in_turns, cells=12))
    monkeypatch.setattr(page_module, "in_turns", partial(in_turns, steps=20))
    page = opened(window, qtbot, edited(RANCH, {"plan": None, "state": None, "use": None, "shocks": ()}))
    page.vary(WEDGE)
    settled(qtbot, page)
    page.vary_against(LIFT)
    settled(qtbot, page)
    return page


def test_two_entries_make_a_map_that_solve_agrees_with(two: RangePage) -> None:
    found = two.over_two
    assert found is not None
    assert found.exact
    assert (two.map.isVisible(), two.bands.isVisible()) == (True, False)
    build = two._document.build
    for row, up in list(enumerate(found.up))[::5]:
        for column, across in list(enumerate(found.across))[::4]:
            whole = solve(edited(build, {WEDGE: float(across), LIFT: float(up)}))
            assert WORDS[found.codes[row, column]] == whole.verdict


def test_keys_step_across_and_up_and_enter_sets_both_in_one_step(
    window: MainWindow, two: RangePage, qtbot: QtBot
) -> None:
    before, said = window.document.build, list[str]()
    two.told.connect(said.append)
    assert QApplication.focusWidget() is not None
    for key, modifier, pair in (
        (Qt.Key.Key_Right, Qt.KeyboardModifier.NoModifier, (0.5, 0.0)),
        (Qt.Key.Key_Up, Qt.KeyboardModifier.NoModifier, (0.5, 25.4 / 16)),
        (Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier, (0.5, 9 * 25.4 / 16)),
        (Qt.Key.Key_Down, Qt.KeyboardModifier.NoModifier, (0.5, 12.7)),
        (Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier, (-3.5, 12.7)),
        (Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier, (0.5, 12.7)),
    ):
        qtbot.keyClick(two.map, key, modifier)
        assert (two._at, two._up_at) == pytest.approx(pair)
    qtbot.keyClick(two.map, Qt.Key.Key_Return)
    assert said == ["Set: wedge at the perches 0.5°, rear lift 1/2 in."]
    assert value_at(window.document.build, LIFT) == pytest.approx(12.7)
    assert value_at(window.document.build, WEDGE) == 0.5
    assert window.document.stack.count() == 1
    window.undo()
    assert window.document.build == before
    qtbot.keyClick(two.map, Qt.Key.Key_Escape)
    assert window.views.in_sight("range") is None


def test_a_hand_moves_the_cross_to_where_it_points(two: RangePage, qtbot: QtBot) -> None:
    at = two.map.point_of(2.0, 50.8).toPoint()
    qtbot.mousePress(two.map, Qt.MouseButton.LeftButton, pos=two.map.point_of(-3.0, 10.0).toPoint())
    qtbot.mouseMove(two.map, at)
    qtbot.mouseRelease(two.map, Qt.MouseButton.LeftButton, pos=at)
    assert two._at == 2.0
    assert two._up_at == pytest.approx(50.8, abs=25.4 / 16)
    whole = solve(edited(two._document.build, {WEDGE: two._at, LIFT: two._up_at}))
    assert whole.verdict in two.map.accessibleDescription()
    assert two.map.decides(two._at, two._up_at) in two.sentence.text()


def test_one_entry_again_shows_the_bands_again(two: RangePage, qtbot: QtBot) -> None:
    two.vary_against(None)
    settled(qtbot, two)
    assert (two.map.isVisible(), two.bands.isVisible()) == (False, True)
    two.vary_against(LIFT)
    settled(qtbot, two)
    two.vary(LIFT)  # it cannot be varied against itself
    settled(qtbot, two)
    assert two._up is None
    assert two.against.currentText() == "nothing else"
    assert two.against.findData(LIFT) == -1


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_verdicts_on_the_map_differ_by_pattern_not_by_colour_alone(
    window: MainWindow, two: RangePage, theme: str
) -> None:
    window.show_theme(theme)  # type: ignore[arg-type]
    found = two.over_two
    assert found is not None
    grey = two.map.grab().toImage().convertToFormat(QImage.Format.Format_Grayscale8)
    looks: dict[str, list[int]] = {}
    for row, up in enumerate(found.up[1:-1], start=1):
        for column, across in enumerate(found.across[1:-1], start=1):
            at = two.map.point_of(float(across), float(up)).toPoint()
            values = [
                grey.pixelColor(at.x() + dx, at.y() + dy).lightness() for dx in (-5, -2, 1, 4) for dy in (-4, -1, 2, 5)
            ]
            looks.setdefault(WORDS[found.codes[row, column]], []).append(max(values) - min(values))
    assert set(looks) == {"caution", "hold"}
    middle = {word: sorted(some)[len(some) // 2] for word, some in looks.items()}
    assert middle["hold"] == 0, "filled"
    assert middle["caution"] > 40, "hatched"


def test_every_scale_says_what_it_is_of_and_its_unit(two: RangePage) -> None:
    """On the bands and both ways on the map; where there is too little room the name yields, never the unit."""
    metrics = QFontMetricsF(sized(9, bold=True))
    build = two._document.build
    for display, lift in (("inch", "in"), ("millimetre", "mm")):
        shown = edited(build, {"display.length": display})
        units = set()
        for one in varied(shown, solve(shown)):
            sign = shown_unit(one.kind, shown.display).symbol
            units.add(sign)
            for room in (60.0, 130.0, 900.0):
                said = axis_words(one, shown.display, metrics, room)
                assert said.endswith(f"({sign})" if sign else "")
                assert metrics.horizontalAdvance(said) <= room + 1.0
            assert axis_words(one, shown.display, metrics, 900.0) == (f"{one.name} ({sign})" if sign else one.name)
            assert not any(sign and sign in text for _, text in marks(one, shown.display, 6.0))
        assert {lift, "°"} <= units


def painted_words(widget: QWidget) -> str:
    """What a widget writes, read off its vector picture."""
    buffer = QBuffer()
    picture = QSvgGenerator()
    picture.setOutputDevice(buffer)
    picture.setSize(widget.size())
    widget.render(picture)
    return bytes(buffer.data().data()).decode()


def test_both_drawings_write_their_axes(two: RangePage, qtbot: QtBot) -> None:
    on_map = painted_words(two.map)
    assert "Wedge at the perches (°)" in on_map
    assert "Rear lift (in)" in on_map
    two.vary_against(None)
    two.vary(LIFT)
    settled(qtbot, two)
    assert "Rear lift (in)" in painted_words(two.bands)
