"""The states that a vehicle is used in, as window, drawing, sheet and terminal tell them."""

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from pytestqt.qtbot import QtBot

from app.drawing.subject import Subject
from app.drawing.wording import state_words, value_words
from app.measuring.sections import HEADINGS, contents, flat, section_of
from app.report import report_text
from app.setpoints import states_words
from app.sheet import sheet_pages
from app.window.findings.setpoints import SetpointTable
from geometry import Build, edited, solve
from geometry.words.solve import Work
from tests.app.desk import Desk, sample
from tests.app.sheets import words_of

USED = {
    "use.rear_settling_mm": 25.0, "use.front_settling_mm": 25.0, "use.rear_most_kg": 300.0, "use.front_most_kg": 0.0,
    "suspension.rate_n_per_mm": 40.0, "vehicle.other_axle_rate_n_per_mm": 40.0,
}  # fmt: skip
WAGON = sample("transfer_case_double_joint")
LOADED = edited(WAGON, USED)


@pytest.fixture(autouse=True)
def own_settings(tmp_path: Path) -> None:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))


@pytest.fixture
def desk(qtbot: QtBot) -> Desk:
    made = Desk(LOADED)
    qtbot.addWidget(made)
    return made


def drawn(desk: Desk) -> Subject:
    assert desk.canvas.subject is not None
    return desk.canvas.subject


def test_the_bar_offers_the_states_and_shows_one(desk: Desk) -> None:
    chooser, state = desk.desk.bar.states, desk.desk.state
    names = ["as measured", "laden", "settled", "settled and laden"]
    assert [chooser.itemText(place) for place in range(chooser.count())] == names
    low, high = state.range_mm or (0.0, 0.0)
    chooser.setCurrentIndex(2)
    chooser.activated.emit(2)
    assert state.used is not None
    assert (state.used.name, state.up_mm, state.at_rest) == ("settled", 25.0, False)
    assert state.range_mm == pytest.approx((low - 25.0, high - 25.0))  # the stops stay where they are
    there = Work(LOADED).posed(solve(LOADED), state=2)
    assert there is not None
    assert drawn(desk).here.picture == there.picture
    assert drawn(desk).here.joints[-1].operating_deg == pytest.approx(0.08, abs=0.005)
    assert state_words(drawn(desk)) == ("Settled", "frame 25.0 mm lower over the driven axle")
    state.load("launch")
    assert state_words(drawn(desk))[0] in {"Settled, launch torque", "Settled"}
    state.to_ride_height()
    assert chooser.currentText() == "as measured"
    assert state_words(drawn(desk)) == ("Ride height", "level on the tyres")


def test_the_travel_goes_on_from_the_state(desk: Desk) -> None:
    state = desk.desk.state
    state.use(2)
    low, high = state.range_mm or (0.0, 0.0)
    state.go(high)
    whole = solve(LOADED)
    bump = Work(LOADED).posed(whole, whole.travel.axle_mm[-1])
    assert bump is not None
    assert drawn(desk).here.shaft.length_mm == pytest.approx(bump.shaft.length_mm, abs=1e-6)
    assert state_words(drawn(desk))[0] == "Full bump, settled"
    state.go(low)
    assert state_words(drawn(desk))[0] == "Full droop, settled"
    state.go(12.0)
    assert state_words(drawn(desk))[0] == "12 mm of bump, settled"


def test_a_state_that_an_edit_takes_away_is_left(desk: Desk) -> None:
    desk.desk.state.use(3)
    assert desk.document.apply(
        {"use.rear_most_kg": None, "use.front_most_kg": None, "use.front_settling_mm": None}, "less load"
    )
    assert [one.name for one in desk.desk.state.states] == ["as measured", "settled"]
    assert desk.desk.state.used is None
    assert desk.document.apply({"use": None}, "no use")
    assert not desk.desk.bar.states.isVisibleTo(desk.desk.bar)


def test_a_state_of_which_nothing_is_known_is_not_offered(qtbot: QtBot) -> None:
    made = Desk(edited(LOADED, {"suspension.rate_n_per_mm": None}))
    qtbot.addWidget(made)
    chooser = made.desk.bar.states
    assert [chooser.itemText(place) for place in range(chooser.count())] == ["as measured", "settled"]
    chooser.setCurrentIndex(1)
    chooser.activated.emit(1)
    assert made.desk.state.used is not None
    assert made.desk.state.used.name == "settled"


def test_a_value_is_told_with_its_state() -> None:
    needles = next(one for one in solve(LOADED).findings if one.id == "operating_angle_least")
    assert value_words(needles, LOADED.display) == "0.1° settled, least 0.5°"
    laden = next(one for one in solve(LOADED).findings if one.state == "as measured")
    assert "as measured" not in value_words(laden, LOADED.display)


def test_set_points_say_for_which_state_they_are(qtbot: QtBot) -> None:
    solution = solve(LOADED)
    lines = states_words(LOADED, solution)
    assert lines[0] == "Set so as measured; it then comes to:"
    assert [line.partition(":")[0] for line in lines[1:]] == ["laden", "settled", "settled and laden"]
    settled = solution.states[2]
    assert f"pinion {settled.pinion_slope_deg}° nose up" in lines[2]
    table = SetpointTable()
    qtbot.addWidget(table)
    table.show_points(LOADED, solution)
    assert [one.partition(":")[0] for one in table.later] == ["laden", "settled", "settled and laden"]
    assert "it then comes to" in table.accessibleDescription()
    assert states_words(WAGON, solve(WAGON)) == ()
    high = table.needs()
    table.show_points(WAGON, solve(WAGON))
    assert table.later == []
    assert table.needs() < high


def test_what_is_taken_as_usual_stands_beside_its_state() -> None:
    new = edited(WAGON, {"state.springs": "new"})
    assert states_words(new, solve(new))[1].startswith(
        "settled (taken as usual: new springs to settle by 20 mm (0.79 in)):"
    )
    unknown = edited(WAGON, {"use.rear_most_kg": 200.0})
    assert states_words(unknown, solve(unknown))[1] == "laden: not known, as its load or its springs are not"


def test_sheet_and_terminal_tell_the_states() -> None:
    solution = solve(LOADED)
    pages = sheet_pages(LOADED, solution, "letter", source_name="x.json", printed_on=date(2026, 1, 15))
    sheet = " ".join(one.text for page in pages for one in words_of(page))
    told = " ".join(report_text(LOADED, solution, "x.json").split())
    assert "Set so as measured; it then comes to:" in told
    assert "settled and laden: output" in told
    # On paper, as there is room: each state, or what lies at both ends of them all.
    assert "it then comes to:" in sheet or "Set so as measured; in its 3 other states it comes to: output " in sheet


def test_the_state_stands_among_the_first_sections() -> None:
    keys = [heading.key for heading in HEADINGS]
    assert keys[:2] == ["hurry", "state"]
    assert keys.index("use") == keys.index("plan") - 1
    paths = [one.path for one in flat(contents(Build(), "state"))]
    assert paths[0] == "state.on"
    assert section_of(Build(), "state.rail_slope_deg") == ("state", "state.rail_slope_deg")
    assert section_of(Build(), "use.rear_most_kg") == ("use", "use.rear_most_kg")
    driver = next(one for one in flat(contents(Build(), "state")) if one.path == "state.driver_in")
    assert driver.choices == (None, True, False)


def test_a_painted_table_asks_once_what_stands_behind_its_rows(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is laid out for that, a third of the painting: not anew for every size of letters and every line."""
    asked: list[None] = []
    made_shown = SetpointTable._made_shown
    monkeypatch.setattr(SetpointTable, "_made_shown", lambda table: asked.append(None) or made_shown(table))
    table = SetpointTable()
    qtbot.addWidget(table)
    table.show_points(LOADED, solve(LOADED))
    table.resize(300, 420)
    table.grab()
    assert len(asked) == 1
