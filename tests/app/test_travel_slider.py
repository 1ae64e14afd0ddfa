"""The slider moves the drawing and nothing else: true places, words, keyboard, and a hint where there is no travel."""

from pathlib import Path

import numpy as np
import pytest
from app.sketch.words import place_words, state_words
from PySide6.QtCore import QPoint, QPointF, QSettings, Qt
from PySide6.QtGui import QColor
from pytestqt.qtbot import QtBot

from app.window.canvas import SketchCanvas
from geometry import Build, edited, solve
from geometry.document.vehicle import Display
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


def stroke_of(canvas: SketchCanvas, key: str) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    assert canvas.scene is not None
    return next(one.points for one in canvas.scene.strokes if one.key == key)


def joint_colour(canvas: SketchCanvas, x: float, z: float) -> QColor:
    """Colour a little beside the joint's centre, on its ring's paper or off it."""
    assert canvas.page is not None
    across, down = canvas.page.camera.to_px("side", np.array([[x, z]]))[0].tolist()
    return canvas.grab().toImage().pixelColor(QPoint(round(across), round(down)))


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
    centre, picture = there.picture.axle_centre_mm, there.picture
    assert centre is not None
    tube = stroke_of(made.canvas, "side axle tube").mean(axis=0)
    assert tube == pytest.approx((centre[0], centre[2]), abs=1e-6)
    ride = made.document.solution.picture.axle_centre_mm
    assert ride is not None
    # The travel is counted in the frame's axes, a degree or so from the floor's; half a millimetre is below a pixel.
    assert centre[2] - ride[2] == pytest.approx(travel, abs=0.5)
    for index, (x, _, z) in enumerate(picture.joint_centres_mm):
        key = f"side joint {index} body"
        keys = {one.key for one in made.canvas.scene.strokes} if made.canvas.scene else set()
        ring = stroke_of(made.canvas, key if key in keys else f"side joint {index} housing")
        assert 0.5 * (ring.min(axis=0) + ring.max(axis=0)) == pytest.approx((x, z), abs=1e-6)
    if picture.spring_mm:
        assert stroke_of(made.canvas, "side main leaf") == pytest.approx(np.array(picture.spring_mm))
        assert stroke_of(made.canvas, "side shackle") == pytest.approx(np.array(picture.shackle_mm))
    for index, link in enumerate(picture.links_mm):
        assert stroke_of(made.canvas, f"side link {index}") == pytest.approx(np.array(link))


def test_the_wheel_moves_with_the_axle_and_the_other_one_stays(truck: Desk) -> None:
    before = stroke_of(truck.canvas, "side rear tyre").mean(axis=0)
    other = stroke_of(truck.canvas, "side front tyre").copy()
    truck.desk.state.go(60.0)
    after = stroke_of(truck.canvas, "side rear tyre").mean(axis=0)
    assert after[1] - before[1] == pytest.approx(60.0, abs=0.5)
    assert stroke_of(truck.canvas, "side front tyre") == pytest.approx(other)


def test_pixels_of_the_joint_move(truck: Desk) -> None:
    x, _, z = truck.document.solution.picture.joint_centres_mm[-1]
    there = moved(truck.document.build, 70.0)
    assert there is not None
    new_x, _, new_z = there.picture.joint_centres_mm[-1]
    truck.desk.bar.ends.setChecked(False)
    at_ride = (joint_colour(truck.canvas, x, z), joint_colour(truck.canvas, new_x, new_z))
    truck.desk.state.go(70.0)
    at_bump = (joint_colour(truck.canvas, x, z), joint_colour(truck.canvas, new_x, new_z))
    assert at_ride[0] == at_bump[1]  # the cross of the joint, wherever it is
    assert at_ride[1] != at_bump[1]


@pytest.mark.parametrize(
    ("travel", "torque", "display", "words"),
    [
        (0.0, "none", MILLIMETRES, ""),
        (60.0, "none", MILLIMETRES, "at 60 mm bump"),
        (60.0, "launch", MILLIMETRES, "at 60 mm bump, launch torque"),
        (-50.8, "cruise", INCHES, "at 2.00 in droop, cruise torque"),
        (0.0, "launch", INCHES, "at ride height, launch torque"),
    ],
)
def test_words_say_which_state_is_drawn(travel: float, torque: str, display: Display, words: str) -> None:
    assert state_words(travel, torque, display) == words  # type: ignore[arg-type]


def test_the_drawing_says_its_state_and_its_angles(truck: Desk) -> None:
    page = truck.canvas.page
    assert page is not None
    assert not any(row.text.startswith("at ") for row in page.fixed)
    truck.desk.state.go(50.8)
    truck.desk.state.load("launch")
    page = truck.canvas.page
    assert page is not None
    assert "at 2.00 in bump, launch torque" in [row.text for row in page.fixed]
    there = moved(truck.document.build, 50.8, "launch")
    assert there is not None
    for joint in there.joints:
        shown = [callout for callout in page.callouts if callout.label.key == f"angle {joint.name}"]
        assert f"{joint.operating_deg:.1f}" in shown[0].words[0].text
    assert "at 2.00 in bump, launch torque" in truck.canvas.accessibleDescription()


def test_shaft_callout_follows_the_travel(truck: Desk) -> None:
    truck.desk.state.go(70.0)
    there = moved(truck.document.build, 70.0)
    assert there is not None
    assert truck.canvas.scene is not None
    text = next(one.text for one in truck.canvas.scene.labels if one.key == "shaft 0")
    assert f"{there.angles.shaft_slope_deg:.1f}°" in text


def test_findings_and_flags_stay_those_of_the_whole_build(truck: Desk) -> None:
    solution, count = truck.document.solution, truck.document.stack.count()
    flags = (
        {row[1:] for callout in truck.canvas.page.callouts for row in callout.findings} if truck.canvas.page else set()
    )
    truck.desk.state.go(-90.0)
    truck.desk.state.load("cruise")
    assert truck.document.solution is solution
    assert truck.desk.state.there is not None
    assert truck.desk.state.there.findings == solution.findings
    assert truck.document.stack.count() == count == 0
    assert truck.canvas.page is not None
    assert {row[1:] for callout in truck.canvas.page.callouts for row in callout.findings} == flags


def test_an_angle_away_from_ride_height_carries_no_verdict_of_its_own(qtbot: QtBot) -> None:
    made = Desk(sample("lifted_short_shaft"))
    qtbot.addWidget(made)

    def tones() -> set[str]:
        assert made.canvas.scene is not None
        return {label.colour for label in made.canvas.scene.labels if label.key.startswith("angle ")}

    assert tones() == {"hold"}
    made.desk.state.go(40.0)
    assert tones() == {"accent"}


def test_a_hundred_steps_draw_the_page_not_once_more(truck: Desk) -> None:
    stage = truck.canvas.stage
    assert stage is not None
    low, high = truck.desk.state.range_mm or (0.0, 0.0)
    full, blits = truck.canvas.full_draws, truck.canvas.blits
    artists = [id(artist) for axes in stage.figure.axes for artist in axes.get_children()]
    for travel in np.linspace(low, high, 100):
        truck.desk.state.go(float(travel))
    truck.grab()
    assert truck.canvas.full_draws == full
    assert truck.canvas.blits == blits + 100
    assert [id(artist) for axes in stage.figure.axes for artist in axes.get_children()] == artists


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
    assert made.desk.bar.place.text() == "10 mm bump"


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
    assert there.picture.axle_centre_mm is not None
    tube = stroke_of(truck.canvas, "side axle tube").mean(axis=0)
    assert tube[1] == pytest.approx(there.picture.axle_centre_mm[2], abs=1e-6)


def test_another_file_opens_at_ride_height(truck: Desk) -> None:
    truck.desk.state.go(40.0)
    truck.document.open(sample("front_axle_lift"), None)
    assert truck.desk.state.at_rest
    assert truck.desk.bar.place.text() == place_words(0.0, INCHES) == "ride height"


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


def test_what_the_axle_carries_is_left_out_where_it_is_not_known(qtbot: QtBot) -> None:
    build = edited(
        sample("ranch_truck_swap"),
        {"shocks.0": {"axle_point_mm": (3300.0, 400.0, 350.0), "frame_point_mm": (3200.0, 400.0, 800.0)}},
    )
    made = Desk(build)
    qtbot.addWidget(made)

    def drawn() -> bool:
        assert made.canvas.scene is not None
        return any(one.part == "shocks" for one in made.canvas.scene.strokes)

    assert drawn()
    made.desk.state.go(30.0)
    assert not drawn()
    made.desk.state.go(0.0)
    made.desk.state.load("cruise")
    assert solve(build) == made.document.solution


def test_flags_drawn_away_from_ride_height_say_what_they_are_about(truck: Desk) -> None:
    truck.desk.state.go(60.0)
    truck.grab()
    assert truck.canvas.page is not None
    rows = [row.text for callout in truck.canvas.page.callouts for row in callout.label.rows if row.finding]
    about = [text for text in rows if "uneven running" in text or "shaft slope" in text]
    assert about
    assert all("at ride height" in text for text in about)
    assert not [text for text in rows if "wind-up" in text and "ride height" in text]
