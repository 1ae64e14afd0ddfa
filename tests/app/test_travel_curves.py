"""Curves over the travel: the solution's own values, limits with their words, one cursor with the slider, files."""

import io
import re
from pathlib import Path

import numpy as np
import pytest
from app.sketch.figure import measure
from app.travel_plots import save_plots
from app.travel_plots.curves import Curves, Panel, at_travel, curves_of, worst_of
from app.travel_plots.figure import plots_bytes
from app.travel_plots.layout import CurvePage, laid_out
from pypdf import PdfReader
from PySide6.QtCore import QPointF, QSettings, Qt
from pytestqt.qtbot import QtBot

from app.window.document import Document
from app.window.travel.curves import CurvesPane
from app.window.travel.state import TravelState
from geometry import Build, edited, solve
from tests.app.desk import moved

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
TRAVELLING = sorted(path.stem for path in SAMPLES.glob("*.json") if path.stem != "three_angles_and_a_length")
SIZES = [(760.0, 290.0), (420.0, 520.0), (1400.0, 200.0), (1100.0, 640.0)]


def sample(name: str) -> Build:
    return Build.model_validate_json((SAMPLES / f"{name}.json").read_bytes())


def curves(build: Build) -> Curves:
    made = curves_of(build, solve(build))
    assert made is not None
    return made


def panel(made: Curves, title: str) -> Panel:
    return next(one for one in made.panels if one.title == title)


@pytest.mark.parametrize("name", TRAVELLING)
def test_angles_and_residual_are_those_of_the_moved_axle(name: str) -> None:
    build = sample(name)
    made = curves(build)
    for travel in made.travel_mm[[0, 25, -1]].tolist():
        there = moved(build, travel)
        assert there is not None
        angles = [at_travel(made, one, travel) for one in panel(made, "joint angles").series]
        assert angles == pytest.approx([joint.operating_deg for joint in there.joints], abs=1e-9)
        residual = at_travel(made, panel(made, "uneven running").series[0], travel)
        assert residual == pytest.approx(there.motion.pinion_residual_rad_s2)


def test_limits_are_the_ones_that_the_findings_judge_by() -> None:
    build = sample("ranch_truck_swap")
    made, solution = curves(build), solve(build)
    # Judged lines: 400 rad/s², a two-joint table citing SAE AE-7 (3.1.1); the joints' own greatest angle as entered.
    assert [(one.word, one.value) for one in panel(made, "uneven running").limits] == [
        ("hold", 400.0),
        ("caution", 300.0),
    ]
    assert build.shaft is not None
    assert build.shaft.front_joint is not None
    most = build.shaft.front_joint.max_angle_deg
    assert most is not None
    # A degree to spare to the joint's own greatest angle at least, three wanted: common practice.
    assert [(one.word, one.value) for one in panel(made, "joint angles").limits] == [
        ("hold", most - 1.0),
        ("caution", most - 3.0),
    ]
    for name, title in (("slip_left", "slip left"), ("slip_engaged", "slip engaged")):
        one = next(one for one in solution.findings if one.id == name)
        assert [line.value for line in panel(made, title).limits] == [one.hold_limit, one.limit]
    near = min((one for one in solution.findings if one.id.startswith("gap_")), key=lambda one: one.value or 0.0)
    assert [one.value for one in panel(made, "least gap").limits] == [near.hold_limit, near.limit]


def test_joints_of_unlike_reach_have_limits_of_their_own() -> None:
    words = [one.word for one in panel(curves(sample("transfer_case_double_joint")), "joint angles").limits]
    assert words == ["hold, rear", "caution, rear", "hold, front", "caution, front"]


def test_the_worst_point_is_the_findings() -> None:
    # Torque does not wind links up, so the finding and the curve are both of the axle at rest.
    build = sample("transfer_case_double_joint")
    made, solution = curves(build), solve(build)
    slip = next(one for one in solution.findings if one.id == "slip_left")
    assert worst_of(made, panel(made, "slip left").series[0]) == pytest.approx((made.travel_mm[-1], slip.value))
    flat = curves(sample("ranch_truck_swap"))
    # The gearbox, which stands still, comes nearest everywhere: the mark stands at ride height.
    assert worst_of(flat, panel(flat, "least gap").series[0]) == pytest.approx((0.0, 24.34), abs=0.01)


def test_what_is_not_known_says_what_to_measure() -> None:
    made = curves(edited(sample("ranch_truck_swap"), {"shaft.slip": None, "obstacles": ()}))
    assert panel(made, "slip left").series == ()
    assert "slip engaged at ride height" in panel(made, "slip left").wants
    assert "No obstacle" in panel(made, "least gap").wants
    assert curves_of(sample("three_angles_and_a_length"), solve(sample("three_angles_and_a_length"))) is None


def boxes(page: CurvePage) -> list[tuple[str, float, float, float, float]]:
    found = []
    for one in (*page.words, *page.values(0.0)):
        wide = measure(one.text, one.size_px, bold=one.bold)
        left = one.x - {"left": 0.0, "centre": 0.5 * wide, "right": wide}[one.align]
        found.append((one.text, left, one.baseline - 0.72 * one.size_px, left + wide, one.baseline))
    return found


@pytest.mark.parametrize("name", TRAVELLING)
@pytest.mark.parametrize("size", SIZES)
def test_words_lie_on_the_page_and_on_no_other_words(name: str, size: tuple[float, float]) -> None:
    page = laid_out(curves(sample(name)), *size, measure)
    rows = boxes(page)
    for text, left, top, right, bottom in rows:
        assert left >= -0.5, text
        assert right <= size[0] + 0.5, text
        assert top >= -0.5, text
        assert bottom <= size[1] + 0.5, text
    for i, (text, left, top, right, bottom) in enumerate(rows):
        for other, left2, top2, right2, bottom2 in rows[i + 1 :]:
            apart = right <= left2 or right2 <= left or bottom <= top2 or bottom2 <= top
            assert apart, (text, other)


@pytest.mark.parametrize("size", SIZES)
def test_plots_in_a_column_share_their_travel_axis(size: tuple[float, float]) -> None:
    page = laid_out(curves(sample("ranch_truck_swap")), *size, measure)
    for one in page.plots:
        assert page.x_of(one, page.curves.travel_mm[0]) == pytest.approx(one.box.left)
        below = [other for other in page.plots if abs(other.box.left - one.box.left) < 30.0]
        assert {round(other.box.left, 6) for other in below} == {round(one.box.left, 6)}
        assert {round(other.box.right, 6) for other in below} == {round(one.box.right, 6)}


def test_curves_differ_by_dash_and_by_a_word_at_their_end() -> None:
    page = laid_out(curves(sample("long_van_two_piece")), 1100.0, 640.0, measure)
    styles = [one.style for one in page.lines if one.style.startswith("curve")]
    assert styles[:3] == ["curve0", "curve1", "curve2"]
    assert {"front", "centre", "rear"} <= {one.text for one in page.words}


@pytest.mark.parametrize("ending", ["svg", "png", "pdf"])
def test_the_same_build_gives_the_same_file(tmp_path: Path, ending: str) -> None:
    build = sample("ranch_truck_swap")
    for name in ("one", "other"):
        save_plots(build, solve(build), tmp_path / f"{name}.{ending}")
    assert (tmp_path / f"one.{ending}").read_bytes() == (tmp_path / f"other.{ending}").read_bytes()


def test_words_of_the_files_are_text() -> None:
    build = sample("ranch_truck_swap")
    words = re.findall(r"<text[^>]*>([^<]*)</text>", plots_bytes(build, solve(build), "svg").decode())
    for expected in ("joint angles", "uneven running", "slip left", "slip engaged", "least gap", "hold 400", "droop"):
        assert expected in words
    text = PdfReader(io.BytesIO(plots_bytes(build, solve(build), "pdf"))).pages[0].extract_text()
    assert "caution 300" in text
    assert "worst 521 rad/s²" in text


def test_a_build_without_travel_and_a_strange_ending_are_refused(tmp_path: Path) -> None:
    hurry, build = sample("three_angles_and_a_length"), sample("ranch_truck_swap")
    with pytest.raises(ValueError, match="travel is not known"):
        save_plots(hurry, solve(hurry), tmp_path / "curves.svg")
    with pytest.raises(ValueError, match=r"\.svg, \.png or \.pdf"):
        save_plots(build, solve(build), tmp_path / "curves.doc")
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def pane(qtbot: QtBot, tmp_path: Path) -> CurvesPane:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    document = Document(sample("ranch_truck_swap"))
    state = TravelState(document, document)
    made = CurvesPane(document, state)
    document.setParent(made)
    made.state = state  # type: ignore[attr-defined]
    made.document = document  # type: ignore[attr-defined]
    qtbot.addWidget(made)
    made.resize(760, 300)
    made.grab()
    return made


def test_the_cursor_follows_the_slider_and_costs_no_drawing(pane: CurvesPane) -> None:
    assert pane.page is not None
    plot = pane.page.plots[1]
    assert pane.cursor_x(plot) == pytest.approx(pane.page.x_of(plot, 0.0))
    before = pane.grab().toImage()
    pane.state.go(60.0)  # type: ignore[attr-defined]
    after = pane.grab().toImage()
    assert pane.full_draws == 1
    at = QPointF(pane.page.x_of(plot, 60.0), plot.box.top + 4.0).toPoint()
    assert pane.cursor_x(plot) == pytest.approx(pane.page.x_of(plot, 60.0))
    assert before.pixelColor(at) != after.pixelColor(at)


def test_dragging_in_a_plot_moves_the_axle_and_snaps_to_ride_height(qtbot: QtBot, pane: CurvesPane) -> None:
    assert pane.page is not None
    state, plot = pane.state, pane.page.plots[2]  # type: ignore[attr-defined]
    y = plot.box.top + 0.5 * plot.box.height
    start = QPointF(pane.page.x_of(plot, -40.0), y).toPoint()
    qtbot.mousePress(pane, Qt.MouseButton.LeftButton, pos=start)
    assert state.travel_mm == pytest.approx(-40.0, abs=1.0)
    qtbot.mouseMove(pane, QPointF(pane.page.x_of(plot, 30.0), y).toPoint())
    assert state.travel_mm == pytest.approx(30.0, abs=1.0)
    qtbot.mouseMove(pane, QPointF(pane.page.x_of(plot, 0.0) + 2.0, y).toPoint())
    assert state.travel_mm == 0.0
    qtbot.mouseMove(pane, QPointF(5_000.0, y).toPoint())
    assert state.travel_mm == pane.page.curves.travel_mm[-1]
    qtbot.mouseRelease(pane, Qt.MouseButton.LeftButton, pos=start)
    qtbot.mouseMove(pane, start)
    assert state.travel_mm == pane.page.curves.travel_mm[-1]


def test_an_edit_draws_the_curves_anew_and_says_the_worst(pane: CurvesPane) -> None:
    pane.document.apply({"axle.pinion_slope_deg": 6.0}, "pinion")  # type: ignore[attr-defined]
    pane.grab()
    assert pane.full_draws == 2
    made = curves(pane.document.build)  # type: ignore[attr-defined]
    found = worst_of(made, panel(made, "uneven running").series[0])
    assert found is not None
    assert f"uneven running {found[1]:.0f} rad/s²" in pane.accessibleDescription()
    assert np.isfinite(found[1])
