"""The slider moves the drawing and nothing else: true places, words, keyboard, and a hint where there is no travel."""

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QSettings, Qt
from pytestqt.qtbot import QtBot

from app.drawing.items import Disc, Words
from app.drawing.subject import Subject
from app.drawing.wording import place_words
from app.drawing.zones import Zones
from geometry import Build, edited, solve
from geometry.document.vehicle import Display
from geometry.words.place import Torque
from tests.app.desk import SAMPLES, Desk, moved, sample

INCHES, MILLIMETRES = Display(), Display(length="millimetre", torque="newton_metre")
TRAVELLING = sorted(path.stem for path in SAMPLES.glob("*.json") if path.stem != "three_angles_and_a_length")


@pytest.fixture(autouse=True)
def own_settings(tmp_path: Path) -> None:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))


@pytest.fixture
def truck(qtbot: QtBot) -> Desk:
    made = Desk(sample("ranch_truck_swap"))
    qtbot.addWidget(made)
    return made


def zones(desk: Desk) -> Zones:
    assert desk.canvas.drawing is not None
    assert desk.canvas.drawing.zones is not None
    return desk.canvas.drawing.zones


def shown(desk: Desk) -> Subject:
    assert desk.canvas.subject is not None
    return desk.canvas.subject


def words_of(desk: Desk) -> set[str]:
    assert desk.canvas.drawing is not None
    return {text for _, text in desk.canvas.drawing.words}


def wheels(desk: Desk) -> list[tuple[float, float]]:
    """Middles of the wheels that are drawn in full, page pixels, front to rear."""
    assert desk.canvas.drawing is not None
    radius = 300.0 * zones(desk).side.scale
    found = [one for layer in desk.canvas.drawing.layers for one in layer.items if isinstance(one, Disc)]
    whole = {one.centre for one in found if one.radius > radius and not (one.stroke and one.stroke.dash)}
    return sorted(whole)


@pytest.mark.parametrize("name", TRAVELLING)
@pytest.mark.parametrize("share", [0.0, 0.35, 1.0])
def test_every_sample_is_drawn_where_the_geometry_has_it(qtbot: QtBot, name: str, share: float) -> None:
    made = Desk(sample(name))
    qtbot.addWidget(made)
    low, high = made.desk.state.range_mm or (0.0, 0.0)
    travel = low + share * (high - low)
    made.desk.state.go(travel)
    there = moved(made.document.build, travel)
    assert there is not None
    assert (shown(made).travel_mm, shown(made).here.picture) == (travel, there.picture)
    centre, ride = there.picture.axle_centre_mm, made.document.solution.picture.axle_centre_mm
    assert centre is not None
    assert ride is not None
    # The travel is counted in the frame's axes, a degree or so from the floor's; half a millimetre is below a pixel.
    assert centre[2] - ride[2] == pytest.approx(travel, abs=0.5)
    for joint, (x, _, z) in zip(there.joints, there.picture.joint_centres_mm, strict=True):
        target = made.canvas.target_at(*zones(made).side.px((x, z)))
        assert target is not None
        assert target.part == f"{joint.name}_joint"


def test_the_wheel_moves_with_the_axle_and_the_other_one_stays(truck: Desk) -> None:
    truck.canvas.look("whole")
    (front, rear), scale = wheels(truck), zones(truck).side.scale
    truck.desk.state.go(60.0)
    assert zones(truck).side.scale == scale  # steady over the travel
    other, after = wheels(truck)
    assert rear[1] - after[1] == pytest.approx(60.0 * scale, abs=0.5 * scale)
    assert other == pytest.approx(front)


def test_pixels_of_the_joint_move(truck: Desk) -> None:
    x, _, z = truck.document.solution.picture.joint_centres_mm[-1]
    before = truck.canvas.grab().toImage()
    old = truck.pixel("side", x, z)
    there = moved(truck.document.build, 70.0)
    assert there is not None
    x, _, z = there.picture.joint_centres_mm[-1]
    truck.desk.state.go(70.0)
    after, new = truck.canvas.grab().toImage(), truck.pixel("side", x, z)
    assert (new - old).manhattanLength() > 10
    assert before.pixelColor(old) != after.pixelColor(old)
    assert before.pixelColor(new) != after.pixelColor(new)


@pytest.mark.parametrize(
    ("travel", "torque", "units", "head", "more"),
    [
        (0.0, "none", MILLIMETRES, "Ride height", "level on the tyres"),
        (60.0, "none", MILLIMETRES, "60 mm of bump", ""),
        (60.0, "launch", MILLIMETRES, "60 mm of bump, launch torque", ""),
        (-50.8, "cruise", INCHES, "2.00 in of droop, cruise torque", ""),
        (0.0, "launch", INCHES, "Launch torque", "axle at ride height, springs wound up"),
        (100.0, "none", MILLIMETRES, "Full bump", "axle 100 mm above ride height"),
        (-90.0, "launch", MILLIMETRES, "Full droop, launch torque", "axle 90 mm below ride height"),
    ],
)
def test_the_drawing_says_in_large_words_which_state_it_shows(
    qtbot: QtBot, travel: float, torque: Torque, units: Display, head: str, more: str
) -> None:
    made = Desk(sample("ranch_truck_swap").model_copy(update={"display": units}))
    qtbot.addWidget(made)
    made.desk.state.go(travel)
    made.desk.state.load(torque)
    assert head in words_of(made)
    assert not more or more in words_of(made)
    assert head in made.canvas.accessibleDescription()
    assert made.canvas.drawing is not None
    largest = max(
        (one for layer in made.canvas.drawing.layers for one in layer.items if isinstance(one, Words)),
        key=lambda one: (one.pt, -one.base),
    )
    assert largest.pt >= 15.0


def test_the_drawing_says_the_angles_of_its_state(truck: Desk) -> None:
    truck.desk.state.go(50.8)
    truck.desk.state.load("launch")
    there = moved(truck.document.build, 50.8, "launch")
    assert there is not None
    for joint in there.joints:
        assert any(text.startswith(f"{joint.operating_deg:.1f}") for text in words_of(truck)), joint.name
    assert f"{abs(there.angles.pinion_slope_deg or 0.0):.1f}°" in words_of(truck)
    assert any(f"shaft {there.angles.shaft_slope_deg:.1f}°" in text for text in words_of(truck))


def test_findings_stay_those_of_the_whole_build(truck: Desk) -> None:
    solution, count = truck.document.solution, truck.document.stack.count()

    def cells() -> set[tuple[str, str]]:
        assert truck.canvas.drawing is not None
        return {(one.finding, one.part) for one in truck.canvas.drawing.targets if one.finding}

    before, form = cells(), truck.canvas.drawing and truck.canvas.drawing.form
    truck.desk.state.go(-90.0)
    truck.desk.state.load("cruise")
    assert truck.document.solution is solution
    assert truck.desk.state.there is not None
    assert truck.desk.state.there.findings == solution.findings
    assert truck.document.stack.count() == count == 0
    assert cells() == before != set()
    assert truck.canvas.drawing is not None
    assert truck.canvas.drawing.form == form  # said as at ride height, so that nothing jumps


def test_scale_and_place_of_the_view_stay_over_the_whole_travel(truck: Desk) -> None:
    low, high = truck.desk.state.range_mm or (0.0, 0.0)
    before = zones(truck)
    for travel in np.linspace(low, high, 7):
        truck.desk.state.go(float(travel))
        assert (zones(truck).side, zones(truck).top) == (before.side, before.top)


def test_each_step_is_drawn_once(qtbot: QtBot, truck: Desk) -> None:
    truck.show()
    qtbot.waitExposed(truck)
    low, high = truck.desk.state.range_mm or (0.0, 0.0)
    truck.canvas.grab()
    draws = truck.canvas.draws
    for travel in np.linspace(low + 1.0, high, 20):
        truck.desk.state.go(float(travel))
        truck.canvas.grab()
    assert truck.canvas.draws == draws + 20
    truck.canvas.grab()
    assert truck.canvas.draws == draws + 20


def test_facts_are_worked_out_once_a_build(truck: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    import app.window.document as under_test

    counted: list[Build] = []
    real = under_test.Work
    monkeypatch.setattr(under_test, "Work", lambda build: counted.append(build) or real(build))
    truck.document.apply({"axle.pinion_slope_deg": 2.5}, "pinion")
    for travel in (5.0, 10.0, 20.0):
        truck.desk.state.go(travel)
    assert counted == [truck.document.build]


def test_keys_step_on_sixteenths_and_home_is_ride_height(qtbot: QtBot, truck: Desk) -> None:
    state, scale = truck.desk.state, truck.desk.bar.scale
    qtbot.keyClick(scale, Qt.Key.Key_Right)
    assert state.travel_mm == pytest.approx(25.4 / 16)  # 1 in = 25.4 mm exactly
    qtbot.keyClick(scale, Qt.Key.Key_PageDown)
    assert state.travel_mm == pytest.approx(0.0)  # the next half inch down from a sixteenth over ride height
    qtbot.keyClick(scale, Qt.Key.Key_PageDown)
    assert state.travel_mm == pytest.approx(-12.7)
    qtbot.keyClick(scale, Qt.Key.Key_End)
    assert state.travel_mm == truck.document.solution.travel.axle_mm[-1]  # type: ignore[union-attr]
    qtbot.keyClick(scale, Qt.Key.Key_Right)
    assert state.travel_mm == truck.document.solution.travel.axle_mm[-1]  # type: ignore[union-attr]
    qtbot.keyClick(scale, Qt.Key.Key_Home)
    assert state.travel_mm == 0.0
    assert scale.accessibleDescription() == "ride height"


def test_millimetres_step_by_one_and_by_ten(qtbot: QtBot) -> None:
    made = Desk(sample("long_van_two_piece"))
    qtbot.addWidget(made)
    qtbot.keyClick(made.desk.bar.scale, Qt.Key.Key_Left)
    assert made.desk.state.travel_mm == -1.0
    qtbot.keyClick(made.desk.bar.scale, Qt.Key.Key_PageUp)
    assert made.desk.state.travel_mm == 0.0
    qtbot.keyClick(made.desk.bar.scale, Qt.Key.Key_PageUp)
    assert made.desk.bar.scale.accessibleDescription() == "10 mm bump"


def test_the_pointer_moves_the_handle_and_snaps_to_ride_height(qtbot: QtBot, truck: Desk) -> None:
    scale, state = truck.desk.bar.scale, truck.desk.state
    at = QPointF(scale.x_of(40.0), 14.0).toPoint()
    qtbot.mouseClick(scale, Qt.MouseButton.LeftButton, pos=at)
    assert state.travel_mm == pytest.approx(40.0, abs=0.5)
    qtbot.mouseClick(scale, Qt.MouseButton.LeftButton, pos=QPointF(scale.x_of(0.0) + 4.0, 14.0).toPoint())
    assert state.travel_mm == 0.0


def test_assistive_technology_may_set_the_value(truck: Desk) -> None:
    truck.desk.bar.scale.setValue(2_500)
    assert truck.desk.state.travel_mm == pytest.approx(25.0)


def test_torque_is_a_word_to_press(qtbot: QtBot, truck: Desk) -> None:
    bar = truck.desk.bar
    qtbot.mouseClick(bar.torques["launch"], Qt.MouseButton.LeftButton)
    assert truck.desk.state.torque == "launch"
    assert [name for name, button in bar.torques.items() if button.isChecked()] == ["launch"]
    qtbot.mouseClick(bar.torques["none"], Qt.MouseButton.LeftButton)
    assert truck.desk.state.at_rest
    assert truck.desk.state.there is None


def test_a_torque_that_is_not_known_cannot_be_pressed_and_says_what_is_missing(qtbot: QtBot) -> None:
    made = Desk(edited(sample("ranch_truck_swap"), {"suspension.rate_n_per_mm": None}))
    qtbot.addWidget(made)
    button = made.desk.bar.torques["launch"]
    assert not button.isEnabled()
    assert "rate of one spring" in button.toolTip()
    made.desk.state.load("launch")
    assert made.desk.state.torque == "none"


def test_an_edit_keeps_the_place_and_draws_the_new_build_there(truck: Desk) -> None:
    truck.desk.state.go(80.0)
    truck.document.apply({"suspension.bump_mm": 50.0}, "bump")
    assert truck.document.build.suspension is not None
    assert truck.document.build.suspension.bump_squash_mm == 20.0
    assert truck.desk.state.travel_mm == 70.0  # 50 to the stop, and 20 by which it squashes
    there = moved(truck.document.build, 70.0)
    assert there is not None
    assert shown(truck).here.picture == there.picture


def test_before_anyone_moves_it_an_edit_leaves_the_axle_at_ride_height(truck: Desk) -> None:
    truck.document.apply({"axle.pinion_slope_deg": 2.5}, "pinion")
    assert (truck.desk.state.travel_mm, truck.desk.state.torque) == (0.0, "none")
    assert truck.desk.state.at_rest


@pytest.mark.parametrize(("bump", "droop"), [(0.01, 80.0), (80.0, 0.01), (0.3, 0.3), (0.0, 0.0)])
def test_a_travel_is_shown_however_little_of_it_there_is(qtbot: QtBot, bump: float, droop: float) -> None:
    """On one stop at rest, or blocked but for a hair: ride height stays in it. Where nothing moves there is none."""
    changes = {"suspension.bump_mm": bump, "suspension.bump_squash_mm": 0.0, "suspension.droop_mm": droop}
    made = Desk(edited(sample("ranch_truck_swap"), changes))
    qtbot.addWidget(made)
    found = made.desk.state.range_mm
    assert made.desk.bar.scale.isVisibleTo(made) == (found is not None) == (bump + droop > 0.0)
    if found is not None:
        assert found == pytest.approx((-droop, bump), abs=0.02)
        assert found[0] <= 0.0 <= found[1]
        made.desk.state.go(60.0 if bump > droop else -60.0)
        assert made.desk.state.travel_mm == pytest.approx(min(bump, 60.0) if bump > droop else -min(droop, 60.0))


@pytest.mark.parametrize("beside", [-500.0, -13.0, 13.0, 500.0])
def test_a_pointer_beside_the_scale_holds_the_axle_at_that_end(qtbot: QtBot, truck: Desk, beside: float) -> None:
    scale, ends = truck.desk.bar.scale, truck.desk.state.range_mm
    assert ends is not None
    end = ends[0] if beside < 0.0 else ends[1]
    at = QPointF(scale.x_of(end) + beside, 14.0).toPoint()
    qtbot.mousePress(scale, Qt.MouseButton.LeftButton, pos=QPointF(scale.x_of(end / 2.0), 14.0).toPoint())
    qtbot.mouseMove(scale, at)
    qtbot.mouseRelease(scale, Qt.MouseButton.LeftButton, pos=at)
    assert truck.desk.state.travel_mm == end


def test_another_file_opens_at_ride_height(truck: Desk) -> None:
    truck.desk.state.go(40.0)
    truck.document.open(sample("front_axle_lift"), None)
    assert truck.desk.state.at_rest
    assert truck.desk.bar.scale.accessibleDescription() == place_words(0.0, INCHES) == "ride height"


def test_a_hurry_build_has_no_slider_but_says_what_to_measure(qtbot: QtBot) -> None:
    made = Desk(sample("three_angles_and_a_length"))
    qtbot.addWidget(made)
    bar = made.desk.bar
    assert not bar.scale.isVisibleTo(made)
    assert not bar.torques["none"].isVisibleTo(made)
    assert bar.hint.isVisibleTo(made)
    assert "springs or links" in bar.hint.text()
    made.desk.state.go(30.0)
    assert made.desk.state.at_rest
    made.document.open(sample("ranch_truck_swap"), None)
    assert bar.scale.isVisibleTo(made)
    assert not bar.hint.isVisibleTo(made)


def test_the_slider_follows_the_units_and_says_both_ends(qtbot: QtBot, truck: Desk) -> None:
    scale = truck.desk.bar.scale
    before = scale.grab().toImage()
    truck.document.apply({"display.length": "millimetre"}, "units")
    assert scale.grab().toImage() != before
    qtbot.keyClick(scale, Qt.Key.Key_Right)
    assert truck.desk.state.travel_mm == 1.0


def test_what_the_axle_carries_is_drawn_at_ride_height(qtbot: QtBot) -> None:
    build = edited(
        sample("ranch_truck_swap"),
        {"shocks.0": {"axle_point_mm": (3300.0, 400.0, 350.0), "frame_point_mm": (3200.0, 400.0, 800.0)}},
    )
    made = Desk(build)
    qtbot.addWidget(made)
    made.canvas.look("whole")

    def drawn() -> bool:
        assert made.canvas.drawing is not None
        return any(one.part == "shocks" for one in made.canvas.drawing.targets)

    assert drawn()
    for travel in (30.0, 0.0):
        made.desk.state.go(travel)
        assert drawn() == bool(shown(made).here.picture.shocks_mm)
    assert drawn()
    assert solve(build) == made.document.solution
